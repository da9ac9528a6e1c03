"""A policy that nobody named: what is taken for one, and what ends the run with status 2.

Each trap lies nearer than a lax policy that would hold if the walk went on.
"""

import json
import os
import shutil
import socket
import subprocess
import threading
import unittest

import confined
from hostile_case import GOOD, HostileCase, as_root

POLICY = "rotortab.policy.yaml"
ENGINE = "neighbour.engine.yaml"
DEVICE = "plain.device.yaml"
SECRET = "password: open-sesame\n"
STRANGER, OWNER = 12345, 12346
NO_BACKLASH = GOOD.replace("    backlash: 0.5 deg\n", "")
LAX = "policy: 1\nrules: {backlash-missing: off}\n"
STRICT = "policy: 1\nrules: {backlash-missing: error}\n"


class Found(HostileCase):
    """A folder below the lax policy, with a definition that a stricter one would refuse."""

    def setUp(self):
        super().setUp()
        self.put(POLICY, LAX)
        self.put("sub/" + ENGINE, NO_BACKLASH)
        self.trap = self.folder / "sub" / POLICY

    def git(self, *arguments, folder="."):
        subprocess.run(["git", "-c", "user.name=x", "-c", "user.email=x@x", *arguments],
                       cwd=self.folder / folder, check=True, capture_output=True)

    def refused(self, reason, source="sub/" + ENGINE, **how):
        """Every command that judges the definition ends with 2 and says why: once for each side."""
        for command in (("check",), ("check", "-d", DEVICE), ("explain",),
                        ("compile", "-d", DEVICE, "-o", "t.rotor"),
                        ("stops", "-d", DEVICE), ("compare", ENGINE)):
            done = self.run_it(*command, source, status=2, **how)
            with self.subTest(command=command):
                sides = 2 if command[0] == "compare" else 1
                self.assertIn(done.said.count(reason), (1, sides), done.said)
                self.assertNotIn(b"open-sesame", done.out + done.err)
        done = self.run_it("check", "--format", "json", os.path.dirname(source) or ".", status=2,
                           **how)
        self.assertTrue(any(reason in said for said in json.loads(done.out)["failures"]), done.out)
        self.assertNotIn(b"open-sesame", done.out + done.err)
        return done

    def holds(self, **how):
        """The policy of the definition's own folder judges it."""
        self.assertEqual(self.check("sub/" + ENGINE, **how), ["backlash-missing"])


class Links(Found):
    """No link is followed, wherever it leads."""

    def test_that_leads_nowhere(self):
        self.trap.symlink_to("gone")
        self.refused(f"sub/{POLICY} is a link")
        done = self.run_it("check", "sub", status=2)
        self.assertIn(b"0 notes; the check is not complete\n", done.out)

    def test_that_leads_to_a_secret(self):
        self.put("secret", SECRET)
        self.trap.symlink_to("../secret")
        self.refused("name it with --policy")
        done = self.run_it("check", "--policy", POLICY, "sub", status=2)
        self.assertNotIn(b"open-sesame", done.out + done.err)

    def test_that_leads_round(self):
        self.trap.symlink_to(POLICY)
        self.refused(f"sub/{POLICY} is a link")

    def test_that_leads_to_a_policy(self):
        self.put("fleet.policy.yaml", STRICT)
        self.trap.symlink_to("../fleet.policy.yaml")
        self.refused(f"sub/{POLICY} is a link")
        self.assertEqual(self.check("--policy", f"sub/{POLICY}", "sub/" + ENGINE),
                         ["backlash-missing"])

    def test_in_the_working_folder(self):
        (self.folder / POLICY).rename(self.folder / "fleet.policy.yaml")
        (self.folder / POLICY).symlink_to("fleet.policy.yaml")
        self.put("sub/" + POLICY, "policy: 1\n")
        self.refused(f"{POLICY} is a link")

    def test_of_a_folder_on_the_way(self):
        (self.folder / "way").symlink_to("sub")
        self.put("sub/" + POLICY, STRICT)
        self.assertEqual(self.check(f"way/{ENGINE}"), ["backlash-missing"])
        (self.folder / "lost").symlink_to("gone")
        done = self.run_it("check", "--name", f"lost/{ENGINE}", "-", status=2,
                           stdin=NO_BACKLASH.encode())
        self.assertIn("cannot look for a policy or a source register from lost/ upwards: No such",
                      done.said)


class Kinds(Found):
    """Only a regular file is a policy."""

    def test_folder(self):
        self.trap.mkdir()
        self.refused(f"sub/{POLICY}: Is a directory")

    def test_pipe(self):
        os.mkfifo(self.trap)
        self.refused(f"sub/{POLICY} is not a regular file")

    def test_pipe_that_is_named(self):
        path = self.folder / "fleet"
        os.mkfifo(path)
        writer = threading.Thread(target=path.write_text, args=(STRICT,))
        writer.start()
        self.assertEqual(self.check("--policy", "fleet", "sub/" + ENGINE), ["backlash-missing"])
        writer.join()

    def test_socket(self):
        with socket.socket(socket.AF_UNIX) as listener:
            listener.bind(str(self.trap))
            self.refused(f"cannot read sub/{POLICY}: ")


class Ways(Found):
    """What cannot be looked up is not taken for absent."""

    def test_path_too_long(self):
        here = os.getcwd()
        self.addCleanup(os.chdir, here)
        os.chdir(self.folder)
        while len(os.getcwd()) + 201 < 4000:
            os.mkdir("d" * 200)
            os.chdir("d" * 200)
        name = "e" * (4085 - len(os.getcwd()) - 1)
        os.mkdir(name)
        os.chdir(name)
        shutil.copy(self.folder / "sub" / ENGINE, ".")
        script = 'exec "$1" check ' + ENGINE
        done = subprocess.run(["sh", "-c", script, "sh", confined.PROGRAM], capture_output=True,
                              check=False)
        self.assertEqual(done.returncode, 2, done.stderr)
        self.assertIn(b"File name too long", done.stderr)

    @unittest.skipUnless(as_root(), "needs root to become nobody")
    def test_folder_that_cannot_be_searched(self):
        os.chmod(self.folder, 0o700)
        os.chmod(self.folder / "sub", 0o755)
        command = f"cd {self.folder}/sub && exec setpriv --reuid {confined.NOBODY} " \
                  f"--clear-groups {confined.PROGRAM} check {ENGINE}"
        done = subprocess.run(["sh", "-c", command], capture_output=True, check=False)
        self.assertEqual(done.returncode, 2, done.stdout)
        self.assertIn(b"Permission denied", done.stderr)

    @unittest.skipUnless(as_root(), "needs root to become nobody")
    def test_policy_that_cannot_be_read(self):
        os.chmod(self.folder, 0o755)
        self.put("sub/" + POLICY, STRICT)
        os.chmod(self.trap, 0)
        self.refused(f"cannot read sub/{POLICY}: Permission denied", user=confined.NOBODY)

    def test_folder_that_is_gone(self):
        """The walk begins at the nearest folder that is there."""
        self.put("sub/" + POLICY, STRICT)
        for name in ("sub/gone/", "sub/gone/more/", f"sub/{ENGINE}/", "sub/"):
            self.assertEqual(self.check("--name", name + ENGINE, "-", stdin=NO_BACKLASH.encode()),
                             ["backlash-missing"], name)


class Tops(Found):
    """A repository is judged by its own policies."""

    def test_above_the_repository(self):
        (self.folder / "sub/.git").mkdir()
        self.refused(f"{POLICY} is outside the repository")
        self.assertEqual(self.check("--policy", POLICY, "sub/" + ENGINE), [])

    def test_at_its_top_and_below(self):
        (self.folder / "sub/.git").write_text("gitdir: elsewhere\n")
        self.put("sub/" + POLICY, STRICT)
        self.put("sub/more/" + ENGINE, NO_BACKLASH)
        self.holds()
        self.assertEqual(self.check("sub/more"), ["backlash-missing"])

    def test_none_at_all(self):
        """Nothing above the top, nothing to refuse: the defaults hold."""
        (self.folder / POLICY).unlink()
        (self.folder / "sub/.git").mkdir()
        self.holds()

    def test_compared_with_a_revision(self):
        """The repository's definitions, gone from the working tree or not, as above."""
        self.git("init", "-q", folder="sub")
        self.git("add", ENGINE, folder="sub")
        self.git("commit", "-q", "-m", "x", folder="sub")
        done = confined.run(self.folder / "sub", "compare", "--base", "HEAD", ".")
        self.assertEqual(done.status, 2, done.said)
        self.assertEqual(done.said.count("is outside the repository"), 1)
        self.put("sub/" + POLICY, STRICT)
        done = confined.run(self.folder / "sub", "compare", "--base", "HEAD", ".")
        self.assertIn("check finds 1 error", done.said, "by the policy at the top")
        self.trap.unlink()
        self.trap.symlink_to("gone")
        done = confined.run(self.folder / "sub", "compare", "--base", "HEAD", ".")
        self.assertEqual(done.status, 2, done.said)
        self.assertIn(f"{POLICY} is a link", done.said)


@unittest.skipUnless(as_root(), "needs root to give files away")
class Owners(Found):
    """A stranger's policy in a folder that both can write to weakens nothing."""

    def setUp(self):
        super().setUp()
        os.chmod(self.folder, 0o777)
        self.put("sub/" + POLICY, STRICT)

    def give(self, owner, *names):
        for name in names:
            os.chown(self.folder / name, owner, owner)

    def test_a_stranger(self):
        self.give(STRANGER, "sub/" + POLICY)
        self.give(OWNER, "sub/" + ENGINE)
        said = self.refused(f"sub/{POLICY} belongs to user {STRANGER}").said
        self.assertIn("name it with --policy", said)
        self.refused(f"sub/{POLICY} belongs to user {STRANGER}", user=confined.NOBODY)
        self.assertEqual(self.check("--policy", f"sub/{POLICY}", "sub/" + ENGINE),
                         ["backlash-missing"])

    def test_the_owner_of_the_definition(self):
        self.give(OWNER, "sub/" + POLICY, "sub/" + ENGINE)
        self.holds()
        self.holds(user=confined.NOBODY)
        # Of several definitions in one folder each has an owner of its own.
        self.put("sub/other.engine.yaml", NO_BACKLASH.replace("id: neighbour", "id: other"))
        os.chmod(self.folder / "sub/other.engine.yaml", 0o644)
        done = self.run_it("check", f"sub/{ENGINE}", "sub/other.engine.yaml", status=2)
        self.assertIn(f"belongs to user {OWNER}", done.said)

    def test_the_user_and_root(self):
        self.give(OWNER, "sub/" + ENGINE)
        self.holds(user=confined.NOBODY)
        self.give(confined.NOBODY, "sub/" + POLICY)
        self.holds(user=confined.NOBODY)

    def test_of_the_working_folder(self):
        self.give(STRANGER, POLICY)
        done = self.run_it("check", "-d", DEVICE, "sub", status=2, user=confined.NOBODY)
        self.assertEqual(done.said.count(f"{POLICY} belongs to user {STRANGER}"), 1)
        self.give(STRANGER, ".")
        self.run_it("check", "-d", DEVICE, "sub", status=1, user=confined.NOBODY)

    def test_of_what_is_not_there(self):
        """Its folder's owner counts."""
        self.give(OWNER, "sub/" + POLICY)
        how = {"stdin": NO_BACKLASH.encode(), "user": confined.NOBODY}
        done = self.run_it("check", "--name", "sub/x.engine.yaml", "-", status=2, **how)
        self.assertIn(f"belongs to user {OWNER}", done.said)
        self.give(OWNER, "sub")
        self.assertIn("backlash-missing", self.check("--name", "sub/x.engine.yaml", "-", **how))


if __name__ == "__main__":
    unittest.main()
