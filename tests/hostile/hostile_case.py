"""What every test with hostile input starts from: a folder of its own, and what no run may do."""

import os
import pathlib
import shutil
import sys
import tempfile
import unittest

import confined

sys.path.insert(1, str(pathlib.Path(__file__).resolve().parents[1]))
import share  # noqa: E402

# With it, no stage rests on one reading, whatever the policy.
PROOF = "".join(f"  - {{{turned}, blade-order: {{stage: {stage}, first: {first}, then: {then}}}}}\n"
                for turned, stage, first, then in (
                    ("spool: LP", "FAN", 1, 24), ("pad: crank", "HPC-1", 30, 1),
                    ("pad: crank", "HPC-2", 40, 1), ("pad: crank", "HPT-1", 1, 60)))
GOOD = (confined.DEMO / "broken" / "neighbour.engine.yaml").read_text() + PROOF
PROFILE = (confined.DEMO / "broken" / "plain.device.yaml").read_text()


def tree(folder):
    """Every path below a folder."""
    return sorted(os.path.relpath(os.path.join(where, name), folder)
                  for where, folders, files in os.walk(folder) for name in folders + files)


class HostileCase(unittest.TestCase):
    """A folder with a good definition, its device profile and an empty policy."""

    def setUp(self):
        self.folder = pathlib.Path(tempfile.mkdtemp(prefix="hostile-"))
        self.addCleanup(shutil.rmtree, self.folder, ignore_errors=True)
        self.put("rotortab.policy.yaml", "policy: 1\n")
        self.put("neighbour.engine.yaml", GOOD)
        self.put("plain.device.yaml", PROFILE)

    def put(self, name, content):
        """Writes a file of text or bytes and returns its name."""
        path = self.folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(content if isinstance(content, bytes) else content.encode())
        return name

    def run_it(self, *arguments, status=None, made=(), **how):
        """Runs the program and asserts how it ends and that it leaves nothing behind.

        Without a status it must be that of the severities in what it printed as JSON.
        """
        before = tree(self.folder)
        done = confined.run(self.folder, *arguments, **how)
        for sign in confined.SIGNS:
            self.assertNotIn(sign, done.err, done.said[-3000:])
        if status is None:
            self.assertIn(done.status, (0, 1), done.said[-2000:])
            status = int(any(found["severity"] == "error" for found in done.findings()))
        self.assertEqual(done.status, status, done.said[-2000:])
        if not confined.SANITIZED:
            self.assertLess(done.peak, confined.MEMORY)
        self.assertEqual(tree(self.folder), sorted([*before, *made]), "files left or lost")
        if status == 2:
            self.assertRegex(done.said, "(?m)^rotortab: .")
        return done

    def check(self, *names, **how):
        """The rules that `check` finds broken, sorted."""
        return self.run_it("check", "--format", "json", *names, **how).rules()

    def refuse(self, content, *rules, name="hostile.engine.yaml"):
        """Asserts that a file has exactly these findings, for programs and for people.

        People read them from `compile`, which writes no table, and in the whole run from `check`.
        """
        self.put(name, content)
        self.assertEqual(self.check(name), sorted(rules))
        self.shown_to_people(name, *rules)

    def shown_to_people(self, name, *rules):
        """Asserts that the findings are in the text for people, which no terminal acts on."""
        for command in share.sample((("compile", "--device", "plain.device.yaml", "-o", "t.rotor"),
                                     ("check",))):
            done = self.run_it(*command, name, status=1)
            said = (done.out + done.err).decode()
            for rule in rules:
                self.assertIn(f"[{rule}]", said)
            self.assertFalse(any(ord(letter) < 32 and letter != "\n" for letter in said))


def as_root():
    """Whether permissions do not hold for this user."""
    return os.geteuid() == 0
