"""What the working tree changes against a revision of git."""

import os
import pathlib
import re
import shlex
import shutil
import sys
import tempfile
import unittest

from definitions import HARROW, PROGRAM, TERN, edited
from repository import Repository, start

sys.path.insert(1, str(pathlib.Path(__file__).resolve().parents[1]))
import share  # noqa: E402 pylint: disable=wrong-import-position

RAISED = ("revision: 4", "revision: 5")
FEWER = ("blades: 68", "blades: 67")


@unittest.skipUnless(shutil.which("git"), "git is not installed")
class Since(Repository):
    """Two definitions that change, go and come, and git as it is found."""

    def test_nothing(self):
        for paths in (["engines"], ["."], ["engines/"], [self.harrow, self.tern]):
            self.assertEqual(self.compare("--base", "HEAD", *paths, status=0),
                             ["no difference: 2 engines: 2 the same"])

    def test_changed(self):
        self.write(self.harrow, edited(HARROW, RAISED, FEWER))
        for paths in (["engines"], [self.harrow, "engines"], ["./engines", "engines"]):
            self.assertEqual(self.compare("--base", "HEAD", *paths), [
                "harrow-20: stops",
                "  HPC-3: 68 -> 67 blades: every stop moves, at most 5.3 deg of rotor",
                "  revision 4 -> 5",
                "2 engines: 1 changed, 1 the same; the worst is stops"])

    def test_named_by_another_way(self):
        self.write(self.harrow, edited(HARROW, RAISED, FEWER))
        report = self.report("--base", "main", str(self.folder / "engines"))
        self.assertEqual((report["before"], report["class"], report["same"]), ("main", "stops", 1))

    def test_from_within_a_folder(self):
        self.write(self.harrow, edited(HARROW, RAISED, FEWER))
        self.folder /= "engines"
        self.assertEqual([e["id"] for e in self.report("--base", "HEAD", "harrow-20.engine.yaml")[
            "engines"]], ["harrow-20"])

    def test_in_a_hook(self):
        """There git has set GIT_DIR and GIT_INDEX_FILE, in a linked worktree as well."""
        hook = self.folder / self.write(".git/hooks/pre-commit", (
            f"#!/bin/sh\n'{PROGRAM}' compare --base HEAD engines > report 2>&1\ntrue\n"))
        hook.chmod(0o755)
        self.write("elsewhere/kite-1.engine.yaml",
                   edited(TERN, ("tern-5", "kite-1"), ("[Tern 5]", "[Kite]")))
        self.git("add", "elsewhere")
        self.git("commit", "-q", "-m", "A kite, not among those compared")
        self.git("worktree", "add", "-q", "linked")
        changed = edited(HARROW, RAISED, FEWER)
        for folder in (".", "linked"):
            self.write(f"{folder}/{self.harrow}", changed)
            self.git("commit", "-q", "-a", "-m", "Fewer blades", folder=folder)
            report = (self.folder / folder / "report").read_text("utf-8").splitlines()
            self.assertEqual(report, [
                "harrow-20: stops",
                "  HPC-3: 68 -> 67 blades: every stop moves, at most 5.3 deg of rotor",
                "  revision 4 -> 5",
                "2 engines: 1 changed, 1 the same; the worst is stops"], folder)

    def test_the_folder_says_which_repository_is_meant(self):
        self.write(self.harrow, edited(HARROW, RAISED, FEWER))
        for setting in (".git", str(self.folder / ".git"), "nowhere"):
            status, out, err = self.run_program("compare", "--base", "HEAD", "engines",
                                                environment={"GIT_DIR": setting})
            self.assertEqual((status, err), (1, ""), out)
            self.assertIn("1 changed, 1 the same", out)

    def test_an_older_revision(self):
        self.write(self.harrow, edited(HARROW, FEWER))
        self.commit()
        self.compare("--base", "HEAD", "engines", status=0)
        self.assertEqual(self.report("--base", "HEAD~1", "engines")["findings"][0]["rule"],
                         "revision-kept")

    def test_a_revision_by_words_of_its_message(self):
        self.write(self.harrow, edited(HARROW, RAISED, FEWER))
        self.git("commit", "-q", "-a", "-m", "Fewer blades")
        for revision in share.sample((":/Fewer", "HEAD^{/Fewer}", ":/^Fewer", "@", "@{0}"),
                                     least=2):
            self.compare("--base", revision, "engines", status=0)
        for revision in share.sample((":/Definitions", "HEAD^{/Definitions}", "HEAD~", "HEAD@{1}"),
                                     least=2):
            self.assertEqual(self.report("--base", revision, "engines")["class"], "stops", revision)
        for revision in (":/Kites", "HEAD^{/Kites}", "^HEAD", "HEAD~1..HEAD", "--all", "HEAD:"):
            self.assertIn("there is no revision",
                          self.trouble(f"--base={revision}", "engines"))

    def test_only_the_path_counts(self):
        self.write(self.harrow, edited(HARROW, RAISED, FEWER))
        self.compare("--base", "HEAD", "engines/small", status=0)

    def test_untracked_is_added(self):
        self.write("engines/kite-1.engine.yaml", edited(TERN, ("tern-5", "kite-1"),
                                                        ("[Tern 5]", "[Kite]"),
                                                        ("blades: 25", "blades: 26")))
        report = self.report("--base", "HEAD", "engines")
        self.assertEqual([(e["id"], e["fate"]) for e in report["engines"]], [("kite-1", "added")])

    def test_deleted_file(self):
        (self.folder / self.harrow).unlink()
        for path in (self.harrow, "engines"):
            report = self.report("--base", "HEAD", path)
            self.assertEqual([(e["id"], e["fate"]) for e in report["engines"]],
                             [("harrow-20", "gone")])

    def test_deleted_folder(self):
        shutil.rmtree(self.folder / "engines" / "small")
        report = self.report("--base", "HEAD", "engines/small/")
        self.assertEqual([(e["id"], e["fate"]) for e in report["engines"]], [("tern-5", "gone")])

    def test_file_renamed(self):
        self.git("mv", self.harrow, "engines/harrow-21.engine.yaml")
        self.write("engines/harrow-21.engine.yaml",
                   edited(HARROW, ("id: harrow-20", "id: harrow-21")))
        report = self.report("--base", "HEAD", "engines")
        self.assertEqual([(e["id"], e["fate"]) for e in report["engines"]],
                         [("harrow-21", "renamed")])

    def test_line_ends_of_a_checkout(self):
        self.write(self.harrow, HARROW.replace("\n", "\r\n"))
        self.compare("--base", "HEAD", "engines", status=0)

    def test_names_that_a_shell_or_git_could_take_otherwise(self):
        names = ("engines/tern-5 (copy) $HOME;`x`.yaml", "engines/*.yaml", "-n.yaml",
                 "engines/:(top)x.yaml", "engines/über\n.yaml")
        for name in names:
            self.write(name, edited(TERN, ("tern-5", "kite-1"), ("[Tern 5]", "[Kite]")))
        self.commit()
        for name in names:
            path = "./" + name if name.startswith("-") else name
            report = self.report("--base", "HEAD", path, status=2)
            self.assertEqual((report["class"], report["same"]), ("none", 1), name)

    def test_at_the_top(self):
        self.write("harrow-20.engine.yaml", HARROW)
        self.commit()
        self.write("harrow-20.engine.yaml", edited(HARROW, RAISED, FEWER))
        self.assertEqual(self.report("--base", "HEAD", "harrow-20.engine.yaml")["class"], "stops")

    def test_a_file_that_is_named_needs_no_ending(self):
        self.write("harrow", HARROW)
        self.commit()
        report = self.report("--base", "HEAD", "harrow", status=2)  # its name is not its id
        self.assertEqual((report["class"], report["same"]), ("none", 1))

    def test_broken_now(self):
        self.write(self.harrow, "{")
        self.assertIn("engines/harrow-20.engine.yaml:", self.trouble("--base", "HEAD", "engines"))

    def test_policies_are_not_compared(self):
        """Those of the working tree hold; what they were at the revision is nobody's matter."""
        policies = ["rotortab.policy.yaml", "engines/rotortab.policy.yaml",
                    "engines/small/own.policy.yaml"]
        for name in policies:
            self.write(name, "policy: 1\nseverities: {no-such-rule: error}\n")
        self.commit()
        for name in policies:
            self.write(name, "policy: 1\n")
        for paths in (["engines"], ["."], ["engines", *policies]):
            status, out, err = self.run_program("compare", "--base", "HEAD", *paths)
            self.assertEqual((status, out, err),
                             (0, "no difference: 2 engines: 2 the same\n", ""), paths)
        (self.folder / policies[0]).unlink()
        (self.folder / policies[2]).unlink()
        self.compare("--base", "HEAD", ".", status=0)

    def test_links_are_left_out(self):
        """On both sides, whether a link or what it leads to comes first in a folder."""
        (self.folder / "elsewhere").mkdir()
        self.write("elsewhere/kite-1.engine.yaml",
                   edited(TERN, ("tern-5", "kite-1"), ("[Tern 5]", "[Kite]")))
        links = {"engines/a.engine.yaml": "harrow-20.engine.yaml",
                 "engines/z.engine.yaml": "harrow-20.engine.yaml",
                 "engines/a": "small", "engines/z": "small", "engines/small/round": "..",
                 "engines/kites": "../elsewhere", "engines/lost.engine.yaml": "nothing.yaml"}
        for link, target in links.items():
            os.symlink(target, self.folder / link)
        same = ["no difference: 2 engines: 2 the same"]
        self.assertEqual(self.compare("--base", "HEAD", "engines", status=0), same)
        self.commit()
        self.assertEqual(self.compare("--base", "HEAD", "engines", status=0), same)
        for link in links:
            (self.folder / link).unlink()
        self.assertEqual(self.compare("--base", "HEAD", "engines", status=0), same)

    def test_a_folder_may_be_named_by_a_link_but_no_file(self):
        os.symlink("engines", self.folder / "now")
        os.symlink("engines/harrow-20.engine.yaml", self.folder / "link.engine.yaml")
        os.symlink("nothing.yaml", self.folder / "lost.engine.yaml")
        for path in ("now", "now/", "now/harrow-20.engine.yaml"):
            self.compare("--base", "HEAD", path, status=0)
        for path in ("link.engine.yaml", "lost.engine.yaml"):
            self.assertIn(f"{path} is a link",
                          self.trouble("--base", "HEAD", path))

    def test_submodules_are_left_out(self):
        self.write("engines/sub/kite-1.engine.yaml",
                   edited(TERN, ("tern-5", "kite-1"), ("[Tern 5]", "[Kite]")))
        start(self.folder / "engines/sub")
        self.git("add", "-A", folder="engines/sub")
        self.git("commit", "-q", "-m", "Kites", folder="engines/sub")
        here = (0, "no difference: 2 engines: 2 the same\n",
                "rotortab: engines/sub/ is a separate repository; it is left out\n")
        for is_submodule in (False, True):
            if is_submodule:
                self.commit()
            self.assertEqual(self.run_program("compare", "--base", "HEAD", "engines"), here)
            self.assertIn("engines/sub is a separate repository inside the repository",
                          self.trouble("--base", "HEAD", "engines/sub"))
        shutil.rmtree(self.folder / "engines/sub")
        self.assertEqual(self.run_program("compare", "--base", "HEAD", "engines"),
                         (*here[:2], "rotortab: HEAD:engines/sub is a submodule; it is left out\n"))

    def test_a_folder_that_was_emptied(self):
        (self.folder / self.tern).unlink()
        report = self.report("--base", "HEAD", "engines/small")
        self.assertEqual([(e["id"], e["fate"]) for e in report["engines"]], [("tern-5", "gone")])

    def test_no_such_revision(self):
        for revision in ("nothing", "-h", "--help", "HEAD:engines"):
            self.assertIn(f"there is no revision {revision} in the git repository",
                          self.trouble(f"--base={revision}", "engines"))

    def test_no_such_revision_in_a_shallow_clone(self):
        self.write(self.harrow, edited(HARROW, RAISED, FEWER))
        self.commit()
        self.git("clone", "-q", "--depth=1", f"file://{self.folder}", "shallow")
        self.folder /= "shallow"
        said = self.trouble("--base", "HEAD~1", "engines")
        self.assertIn("/shallow: it is a shallow clone", said)
        self.assertIn("git fetch --unshallow", said)
        self.git("fetch", "-q", "--unshallow")
        self.compare("--base", "HEAD~1", "engines")
        said = self.trouble("--base", "HEAD~2", "engines")
        self.assertNotIn("shallow clone", said)
        self.assertIn("'git branch --all'", said)

    def test_a_clone_without_contents_fetches_none_and_says_how(self):
        self.write(self.harrow, edited(HARROW, RAISED, FEWER))
        self.commit()
        self.configure(("uploadpack.allowFilter", "true"))
        for what in ("blob:none", "tree:0"):
            self.git("clone", "-q", f"--filter={what}", f"file://{self.folder}", "partial")
            whole, self.folder = self.folder, self.folder / "partial"
            for path in ("engines", self.harrow):
                said = self.trouble("--base", "HEAD~1", path)
                self.assertRegex(said, "HEAD~1:engines.* is missing from the clone")
                self.assertEqual(said.count("\n"), 1, "git's own words")
            command = shlex.split(re.search("'git (.*)'", said).group(1))
            self.git(*command)
            self.assertEqual(self.report("--base", "HEAD~1", path)["class"], "stops")
            self.folder = whole
            shutil.rmtree(self.folder / "partial")

    def test_no_such_path(self):
        self.assertIn("there is no engine definition, now or in HEAD",
                      self.trouble("--base", "HEAD", "nowhere.yaml"))

    def test_no_repository(self):
        shutil.rmtree(self.folder / ".git")
        ceiling = {"GIT_CEILING_DIRECTORIES": str(self.folder.parent)}
        self.assertIn("is not in a git repository",
                      self.trouble("--base", "HEAD", "engines", environment=ceiling))

    def test_two_repositories(self):
        self.git("init", "-q", "other")
        with tempfile.TemporaryDirectory() as around:
            shutil.move(self.folder / "other", around)
            self.assertIn("but the paths are in two",
                          self.trouble("--base", "HEAD", "engines", around + "/other"))

    def test_no_git(self):
        said = self.trouble("--base", "HEAD", "engines", environment={"PATH": "/nowhere"})
        self.assertIn("cannot run git: No such file or directory; ", said)
        self.assertIn("install git, or compare two folders", said)

    def test_standard_input_has_no_past(self):
        self.assertIn("not -", self.trouble("--base", "HEAD", "-"))

    def test_needs_a_path(self):
        self.assertIn("'rotortab compare --base HEAD engines'", self.trouble("--base", "HEAD"))


if __name__ == "__main__":
    unittest.main()
