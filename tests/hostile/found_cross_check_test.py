"""A cross-check that nobody named: what is read as one, what ends the run with status 2, and what
hostile text in one does."""

import json
import os
import socket
import subprocess
import unittest

import confined
from hostile_case import GOOD, HostileCase, as_root, share

ENGINE = "neighbour.engine.yaml"
SECOND = "neighbour.cross-check.yaml"
DEVICE = "plain.device.yaml"
SECRET = "password: open-sesame\n"
HEAD = ("cross-check: 1\nof: {id: neighbour, revision: 2}\nread-from: Invented\n"
        "read-on: 2026-06-02\n")
SPOOL = "spools: [{id: HP, max-speed: 90 deg/min}]\n"


class Found(HostileCase):
    """A definition, and something under the name of its cross-check."""

    def setUp(self):
        super().setUp()
        self.trap = self.folder / SECOND

    def refused(self, *reasons, **how):
        """Every command that judges the definition ends with 2 and says why, and leaks nothing."""
        for command in (("check",), ("check", "-d", DEVICE), ("explain",),
                        ("compile", "-d", DEVICE, "-o", "t.rotor"), ("stops", "-d", DEVICE),
                        ("sheet", "-d", DEVICE), ("slips",), ("compare", ENGINE), ("index",)):
            for source in (ENGINE, "."):
                if source == "." and command[0] not in ("check", "compile", "index"):
                    continue
                with self.subTest(command=command, source=source):
                    done = self.run_it(*command, source, status=2, **how)
                    for reason in reasons:
                        self.assertIn(reason, done.said)
                    self.assertNotIn(b"open-sesame", done.out + done.err)
                    self.assertNotIn(b"one reading", done.out + done.err)
                    if command[0] in ("explain", "slips", "stops", "sheet"):
                        self.assertNotIn(b"neighbour,", done.out)
        done = self.run_it("check", "--format", "json", ".", status=2, **how)
        self.assertTrue(any(all(reason in said for reason in reasons)
                            for said in json.loads(done.out)["failures"]), done.out)
        done = self.run_it("check", "--name", ENGINE, "-", status=2, stdin=GOOD.encode(), **how)
        self.assertIn(reasons[-1], done.said)


class Places(Found):
    """Only a regular file is read, and no link is followed."""

    def test_link_that_leads_nowhere(self):
        self.trap.symlink_to("gone")
        self.refused(f"{SECOND} is a link")

    def test_link_to_a_secret(self):
        self.put("secret", SECRET)
        self.trap.symlink_to("secret")
        self.refused(f"{SECOND} is a link")

    def test_link_to_a_cross_check(self):
        self.put("other", HEAD)
        self.trap.symlink_to("other")
        self.refused(f"{SECOND} is a link")

    def test_folder(self):
        self.trap.mkdir()
        self.refused(f"{SECOND} is not a regular file")

    def test_pipe(self):
        os.mkfifo(self.trap)
        self.refused(f"{SECOND} is not a regular file")

    def test_socket(self):
        with socket.socket(socket.AF_UNIX) as listener:
            listener.bind(str(self.trap))
            self.refused("cannot read ", f"{SECOND}: ")

    @unittest.skipUnless(as_root(), "needs root to become nobody")
    def test_that_cannot_be_read(self):
        self.put(SECOND, HEAD + SECRET)
        os.chmod(self.folder, 0o755)
        os.chmod(self.trap, 0)
        self.refused("cannot read ", f"{SECOND}: Permission denied", user=confined.NOBODY)

    def test_compared_with_a_revision(self):
        """A revision can hold links too; git gives their targets as texts, which are no YAML."""
        def git(*arguments):
            subprocess.run(["git", "-c", "user.name=x", "-c", "user.email=x@x", *arguments],
                           cwd=self.folder, check=True, capture_output=True)
        self.put("secret", SECRET)
        self.trap.symlink_to("secret")
        git("init", "-q")
        git("add", "-A")
        git("commit", "-q", "-m", "x")
        done = confined.run(self.folder, "compare", "--base", "HEAD", ".")
        self.assertEqual(done.status, 2, done.said)
        self.assertIn(f"{SECOND} is a link", done.said)
        self.assertNotIn(b"open-sesame", done.out + done.err)
        self.trap.unlink()
        done = confined.run(self.folder, "compare", "--base", "HEAD", ".")
        self.assertNotIn(b"open-sesame", done.out + done.err)


class Texts(Found):
    """What a cross-check must not hold is a finding, and the definition is judged all the same."""

    def found(self, content, *rules, also=()):
        self.put(SECOND, content)
        self.assertEqual(sorted(set(self.check(ENGINE)) - set(also)), sorted(rules))
        self.shown_to_people(ENGINE, *rules)
        self.run_it("slips", ENGINE, status=1)
        self.put(ENGINE, GOOD.replace("blades: 30", "blades: 3o"))
        self.assertIn("bad-number", self.check(ENGINE))
        self.put(ENGINE, GOOD)

    def test_nothing_in_it(self):
        self.found("", "unknown-kind")
        self.found("# nothing\n", "unknown-kind")

    def test_no_text(self):
        self.found(b"cross-check: \xff\xfe\n", "not-utf8")
        self.found(HEAD + "x: \x00\n", "yaml-syntax")
        self.found(HEAD.replace("Invented", "Inv\u202eented"), "hidden-character")
        self.found(bytes(range(255, -1, -1)) * 400, "not-utf8")

    def test_escapes(self):
        self.found(HEAD + 'spools: [{id: HP, max-speed: "\\x1b]0;owned\\x07 90 deg/min"}]\n',
                   "yaml-syntax", also=["cross-check-partial"])

    def test_no_yaml(self):
        self.found(HEAD + "spools: [{id: HP\n", "yaml-syntax")
        self.found(HEAD + SPOOL + "---\n" + HEAD, "many-documents", also=["cross-check-partial"])

    def test_of_another_kind(self):
        for other in (GOOD, "policy: 1\n", (self.folder / DEVICE).read_text()):
            self.found(other, "unknown-kind")
        self.found("cross-chek: 1\n", "unknown-kind")

    def test_of_another_version(self):
        self.found(HEAD.replace("cross-check: 1", "cross-check: 2"), "unknown-version")

    def test_of_another_engine(self):
        self.found(HEAD.replace("neighbour", "other"), "cross-check-disagrees")

    def test_half(self):
        self.found("cross-check: 1\n", "missing-key", also=["cross-check-partial"])

    def test_acting_yaml(self):
        self.found(HEAD + "spools: &a [*a]\n", "alias-refused", also=["cross-check-partial"])
        self.found(HEAD + "spools: !!python/object:os.system [x]\n", "tag-refused",
                   "wrong-shape", also=["cross-check-partial"])
        self.found(HEAD + "stages: " + "[" * 5000 + "\n", "too-deep")

    def test_huge(self):
        self.found(HEAD + "#" * (3 << 20) + "\n", "too-large")
        self.found(HEAD + "stages:\n" + "".join(
            f"  - {{id: S{i}}}\n" for i in range(share.number(20000, least=1000))), "out-of-range",
                   also=["cross-check-partial"])

    def test_parts_that_are_not_in_the_definition(self):
        parts = "stages:\n" + "".join(f"  - {{id: S{i}, blades: 9}}\n" for i in range(99))
        self.put(SECOND, HEAD + parts)
        self.assertEqual(self.check(ENGINE).count("cross-check-disagrees"), 99)

    def test_a_long_value_is_cut_in_a_message(self):
        known = ", ".join(f"{{blade: {n}}}" for n in range(2, 29))
        self.put(SECOND, HEAD + f"stages: [{{id: HPC-1, known-blades: [{known}]}}]\n")
        done = self.run_it("check", "--format", "json", ENGINE, status=1)
        (found,) = [item for item in done.findings() if item["rule"] == "cross-check-disagrees"]
        self.assertLess(len(found["message"]), 200)

    def test_anew_with_every_change_of_a_byte(self):
        """No byte changed in it ends the program, or makes it hang."""
        text = (HEAD + SPOOL).encode()
        for at in share.sample(range(0, len(text), 3), least=16):
            self.put(SECOND, text[:at] + bytes([text[at] ^ 0x15]) + text[at + 1:])
            done = self.run_it("check", "--format", "json", ENGINE)
            self.assertTrue(done.findings() or done.status == 0)


if __name__ == "__main__":
    unittest.main()
