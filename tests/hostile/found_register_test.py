"""A source register that nobody named: it is trusted as little as a policy that was found."""

import os
import unittest

import confined
from hostile_case import GOOD, HostileCase, as_root, share

REGISTER = "rotortab.sources.yaml"
ENGINE = "neighbour.engine.yaml"
SECRET = "password: open-sesame\n"
STRANGER, OWNER = 12345, 12346
OLD = "source-register: 1\ndocuments: [{document: Notes, revision: 1, date: 2020-01-01}]\n"
NEW = "source-register: 1\ndocuments: [{document: Notes, revision: 2, date: 2026-01-01}]\n"
SOURCED = GOOD.replace('source: "Invented for demonstration: training notes of Saltmere Air '
                       'Ferries"\n',
                       "sources: [{id: notes, document: Notes, revision: 1, date: 2020-01-01}]\n")


class Found(HostileCase):
    """A folder below a register in which all is current, with a definition that rests on it."""

    def setUp(self):
        super().setUp()
        self.put(REGISTER, OLD)
        self.put("sub/" + ENGINE, SOURCED)
        self.trap = self.folder / "sub" / REGISTER

    def refused(self, reason, **how):
        for command in (("check",), ("compile", "-d", "plain.device.yaml", "-o", "t.rotor"),
                        ("index",), ("check", "--policy", "rotortab.policy.yaml")):
            done = self.run_it(*command, "sub/" + ENGINE, status=2, **how)
            self.assertEqual(done.said.count(reason), 1, done.said)
            self.assertNotIn(b"open-sesame", done.out + done.err)

    def test_it_judges(self):
        self.assertEqual(self.check("sub/" + ENGINE), [])
        self.put("sub/" + REGISTER, NEW)
        self.assertEqual(set(self.check("sub/" + ENGINE)), {"source-superseded"})
        self.assertEqual(set(self.check("--name", "sub/" + ENGINE, "-", stdin=SOURCED.encode())),
                         {"source-superseded"})

    def test_a_link(self):
        self.put("secret", SECRET)
        for target in ("gone", "../secret", REGISTER, "../" + REGISTER):
            self.trap.symlink_to(target)
            self.refused(f"sub/{REGISTER} is a link")
            self.trap.unlink()

    def test_a_folder(self):
        self.trap.mkdir()
        self.refused(f"sub/{REGISTER}: Is a directory")

    def test_a_pipe(self):
        os.mkfifo(self.trap)
        self.refused(f"sub/{REGISTER} is not a regular file")
        done = self.run_it("check", "sub", status=2)
        self.assertIn(f"sub/{REGISTER} is not a regular file", done.said)

    def test_above_the_repository(self):
        (self.folder / "sub/.git").mkdir()
        self.put("sub/rotortab.policy.yaml", "policy: 1\n")
        self.refused(f"{REGISTER} is outside the repository")
        self.put("sub/" + REGISTER, NEW)
        self.assertEqual(set(self.check("sub/" + ENGINE)), {"source-superseded"})

    @unittest.skipUnless(as_root(), "needs root to give files away")
    def test_a_stranger(self):
        os.chmod(self.folder, 0o777)
        self.put("sub/" + REGISTER, NEW)
        os.chown(self.trap, STRANGER, STRANGER)
        os.chown(self.folder / "sub" / ENGINE, OWNER, OWNER)
        self.refused(f"sub/{REGISTER} belongs to user {STRANGER}")
        os.chown(self.trap, OWNER, OWNER)
        self.assertEqual(set(self.check("sub/" + ENGINE)), {"source-superseded"})

    @unittest.skipUnless(as_root(), "needs root to become nobody")
    def test_that_cannot_be_read(self):
        os.chmod(self.folder, 0o755)
        self.put("sub/" + REGISTER, NEW)
        os.chmod(self.trap, 0)
        self.refused(f"cannot read sub/{REGISTER}: Permission denied", user=confined.NOBODY)


class Texts(Found):
    """What can be in it: each is a finding, and nothing is compared by halves in silence."""

    def found(self, content, *rules):
        self.put("sub/" + REGISTER, content)
        self.assertEqual(sorted(set(self.check("sub/" + ENGINE))), sorted(rules))
        said = self.run_it("check", "sub/" + ENGINE, status=1).out.decode()
        self.assertFalse(any(ord(letter) < 32 and letter != "\n" for letter in said))

    def test_half(self):
        for length in share.sample(range(len(NEW) - 2), least=20):
            self.put("sub/" + REGISTER, NEW[:length])
            self.run_it("check", "--format", "json", "sub/" + ENGINE, status=1)

    def test_empty(self):
        self.found("", "unknown-kind")

    def test_huge(self):
        self.found(NEW + "#" * (1 << 20), "too-large")

    def test_bytes(self):
        self.found(NEW.encode() + b"# \xff", "not-utf8")
        self.found(NEW.replace("Notes", "No\u202etes"), "hidden-character")

    def test_shapes(self):
        self.found("source-register: 2\n", "unknown-version")
        self.found("source-register: 1\ndocuments: 3\n", "wrong-shape")
        self.found("source-register: 1\n", "missing-key")
        self.found(NEW.replace("2026-01-01", "2026-13-01"), "wrong-shape")
        self.found(NEW.replace("revision: 2", "revision: [2]"), "wrong-shape")


if __name__ == "__main__":
    unittest.main()
