"""Repositories from strangers: nothing of theirs runs, nothing is fetched, and they are bounded."""

import hashlib
import itertools
import os
import pathlib
import resource
import shutil
import socket
import subprocess
import sys
import unittest
import zlib

from definitions import HARROW, PROGRAM, TERN, edited
from repository import Repository, start

sys.path.insert(1, str(pathlib.Path(__file__).resolve().parents[1]))
import share  # noqa: E402 pylint: disable=wrong-import-position

RAISED = ("revision: 4", "revision: 5")
FEWER = ("blades: 68", "blades: 67")
MEMORY = 512 << 20  # bytes of address space
WHO = "Somebody <somebody@example.org> 0 +0000"
SAME = "no difference: 2 engines: 2 the same\n"

PROMISED = """\
[core]
    repositoryformatversion = 1
    bare = {bare}
{core}[extensions]
    partialClone = origin
[remote "origin"]
    promisor = true
    url = {url}
    uploadpack = "touch '{ran}'; false"
    fetch = +refs/heads/*:refs/remotes/origin/*
[protocol]
    allow = always
[protocol "file"]
    allow = always
[protocol "ext"]
    allow = always
"""


@unittest.skipUnless(shutil.which("git"), "git is not installed")
class Strange(Repository):
    """Each repository here would make the file `ran` if git did what it asks for."""

    def setUp(self):
        super().setUp()
        self.ran = self.folder.parent / (self.folder.name + ".ran")
        self.addCleanup(self.ran.unlink, missing_ok=True)

    def quiet(self, *paths, status, environment=None, revision="HEAD"):
        """Compares, and sees that nothing has run; returns both outputs."""
        got, out, err = self.run_program("compare", "--base", revision, *(paths or ["engines"]),
                                         environment=environment)
        self.assertFalse(self.ran.exists(), "a command of the repository has run: " + err)
        self.assertEqual(got, status, out + err)
        return out, err

    def hash_of(self, name):
        return self.git("rev-parse", name).decode().strip()

    def lose(self, name):
        """Takes an object out of the repository, as a clone without blobs has it."""
        hash_ = self.hash_of(name)
        (self.folder / ".git/objects" / hash_[:2] / hash_[2:]).unlink()

    def promise(self, url=".", core="", where=".git/config", bare="false"):
        self.write(where, PROMISED.format(url=url, core=core, ran=self.ran, bare=bare))

    def script(self):
        """A program that leaves a trace."""
        path = self.folder.parent / (self.folder.name + ".sh")
        path.write_text(f"#!/bin/sh\ntouch '{self.ran}'\nfalse\n", "utf-8")
        path.chmod(0o755)
        self.addCleanup(path.unlink)
        return path

    def test_sources_that_look_like_a_bare_repository(self):
        """Four files that any commit can add."""
        first = self.hash_of("HEAD")
        self.write("engines/HEAD", "ref: refs/heads/main\n")
        self.write("engines/objects/x", "")
        self.write("engines/refs/x", "")
        for core in ("    worktree = .\n", ""):
            for bare in ("false", "true"):
                self.promise(core=core, where="engines/config", bare=bare)
                self.assertEqual(self.quiet(status=0, revision=first), (SAME, ""))
                self.assertEqual(self.quiet(status=0), (SAME, ""))

    def test_what_is_missing_is_fetched_by_no_protocol(self):
        script = self.script()
        for url, core in ((".", ""), (f"file://{self.folder}", ""), (f"ext::{script}", ""),
                          ("ssh://127.0.0.1/x", f"    sshCommand = {script}\n"),
                          ("git://127.0.0.1:9/x", f"    gitProxy = {script}\n")):
            self.promise(url, core)
            self.write(self.harrow, edited(HARROW, RAISED, FEWER))
            self.lose("HEAD:" + self.harrow)
            out, err = self.quiet(status=2)
            self.assertEqual(out, "", url)
            self.assertIn(f"HEAD:{self.harrow} is missing from the clone {self.folder}", err)
            self.assertIn(f"git -C {self.folder} archive -o /dev/null HEAD engines'", err)
            self.write(self.harrow, HARROW)
            self.git("hash-object", "-w", self.harrow)

    def test_a_missing_tree_is_not_fetched(self):
        self.promise()
        self.lose("HEAD:engines/small")
        self.assertIn("HEAD:engines is missing from the clone", self.quiet(status=2)[1])

    def test_a_missing_commit_is_not_fetched(self):
        self.promise()
        self.assertIn("there is no revision", self.quiet(status=2, revision="1" * 40)[1])

    def test_nobody_is_called_over_the_network(self):
        with socket.socket() as listening:
            listening.bind(("127.0.0.1", 0))
            listening.listen()
            listening.settimeout(0.2)
            port = listening.getsockname()[1]
            for protocol in ("http", "git"):
                self.promise(f"{protocol}://127.0.0.1:{port}/x")
                self.lose("HEAD:" + self.harrow)
                self.quiet(status=2)
                with self.assertRaises(TimeoutError):
                    listening.accept()
                self.git("hash-object", "-w", self.harrow)

    def test_settings_that_name_programs(self):
        script = self.script()
        hooks = self.folder / "hooks"
        hooks.mkdir()
        for hook in ("post-index-change", "reference-transaction", "post-checkout"):
            shutil.copy(script, hooks / hook)
        self.configure(("core.fsmonitor", script), ("core.hooksPath", hooks),
                       ("core.pager", script), ("pager.cat-file", script),
                       ("core.editor", script), ("core.askPass", script),
                       ("core.alternateRefsCommand", script), ("diff.external", script),
                       ("diff.evil.textconv", script), ("filter.evil.smudge", script),
                       ("filter.evil.process", script), ("filter.evil.clean", script),
                       ("alias.rev-parse", f"!{script}"), ("alias.cat-file", f"!{script}"),
                       ("credential.helper", f"!{script}"), ("gpg.program", script),
                       ("log.showSignature", "true"), ("interactive.diffFilter", script),
                       ("uploadpack.packObjectsHook", script))
        self.write(".git/info/attributes", "*.yaml filter=evil diff=evil\n")
        self.write(self.harrow, edited(HARROW, RAISED, FEWER))
        for revision in ("HEAD", ":/Definitions", "HEAD@{0}"):
            self.assertIn("1 changed, 1 the same", self.quiet(status=1, revision=revision)[0])
        self.assertIn("there is no revision",
                      self.quiet(status=2, revision=":0:" + self.harrow)[1])

    def test_settings_from_another_file(self):
        self.promise(where="more")
        self.write(".git/config", "[include]\n    path = ../more\n")
        self.lose("HEAD:" + self.harrow)
        self.quiet(status=2)

    def test_a_repository_that_a_file_points_to(self):
        (self.folder / ".git").rename(self.folder / "elsewhere")
        self.promise(where="elsewhere/config")
        self.write(".git", "gitdir: elsewhere\n")
        self.assertEqual(self.quiet(status=0), (SAME, ""))
        elsewhere = self.folder / "elsewhere/objects"
        for name in elsewhere.glob("[0-9a-f][0-9a-f]/*"):
            if zlib.decompress(name.read_bytes()).startswith(b"blob"):
                name.unlink()
        self.assertIn("is missing from the clone", self.quiet(status=2)[1])

    def test_objects_of_another_repository(self):
        """They are read, as git is asked to, and nothing of that repository runs."""
        (self.folder / ".git/objects").rename(self.folder / "theirs")
        (self.folder / ".git/objects/info").mkdir(parents=True)
        self.write(".git/objects/info/alternates", "../../theirs\n")
        self.configure(("core.alternateRefsCommand", self.script()))
        self.assertEqual(self.quiet(status=0), (SAME, ""))

    def test_a_working_tree_elsewhere(self):
        (self.folder / "empty").mkdir()
        for worktree in ("../empty", "../engines", "../.."):
            self.configure(("core.worktree", worktree))
            self.assertIn("correct its core.worktree", self.quiet(status=2)[1])

    def test_another_past_in_place_of_a_commit(self):
        self.write(self.harrow, edited(HARROW, RAISED, FEWER))
        first = self.hash_of("HEAD")
        self.commit()
        self.git("replace", first, "HEAD")
        self.assertIn("1 changed, 1 the same", self.quiet(status=1, revision=first)[0])

    def test_a_repository_among_the_sources(self):
        """Whoever puts it there could give the definitions another past."""
        start(self.folder / "engines")
        self.git("add", "-A", folder="engines")
        self.git("commit", "-q", "-m", "Another past", folder="engines")
        for path in ("engines", "engines/small", self.harrow, str(self.folder / "engines")):
            out, err = self.quiet(path, status=2)
            self.assertEqual(out, "")
            self.assertIn(f"{self.folder}/engines is a separate repository inside the "
                          f"repository {self.folder}", err)
            self.assertIn(f"'cd {self.folder}/engines'", err)
        self.folder /= "engines"
        self.quiet(".", status=0)

    def test_a_repository_of_somebody_else(self):
        """What git refuses for its owner stays refused."""
        self.assertIn("dubious ownership",
                      self.quiet(status=2, environment={"GIT_TEST_ASSUME_DIFFERENT_OWNER": "1"})[1]
                      if os.geteuid() else self.of_another_owner())

    def of_another_owner(self):
        for where, folders, files in os.walk(self.folder):
            for name in [".", *folders, *files]:
                os.chown(os.path.join(where, name), 65534, 65534)
        return self.quiet(status=2)[1]


@unittest.skipUnless(shutil.which("git"), "git is not installed")
class Pointed(Repository):
    """Variables that point git elsewhere, as hooks and shells have set them."""

    def test_every_variable_that_git_calls_its_own(self):
        """All at once: one that is left set has its effect. Each alone says which it is."""
        self.write(self.harrow, edited(HARROW, RAISED, FEWER))
        names = self.git("rev-parse", "--local-env-vars").decode().split()
        self.assertIn("GIT_WORK_TREE", names)
        elsewhere = self.folder.parent / (self.folder.name + ".elsewhere")
        elsewhere.mkdir()
        self.addCleanup(elsewhere.rmdir)
        for which, value in [*itertools.product([names], (str(elsewhere), "1")),
                             *share.sample(itertools.product([[name] for name in names],
                                                             (str(elsewhere), "1")))]:
            status, out, err = self.run_program("compare", "--base", "HEAD", "engines",
                                                environment=dict.fromkeys(which, value))
            self.assertEqual((status, err), (1, ""), f"{which}={value} {out}")
            self.assertIn("1 changed, 1 the same", out)

    def test_a_kept_revision_is_found_whatever_is_set(self):
        self.write(self.harrow, edited(HARROW, FEWER))
        for setting in ({}, {"GIT_WORK_TREE": "/elsewhere"},
                        {"GIT_DIR": str(self.folder / ".git"), "GIT_WORK_TREE": "/"},
                        {"GIT_NAMESPACE": "x"}, {"GIT_ATTR_SOURCE": "x"},
                        {"GIT_LITERAL_PATHSPECS": "0", "GIT_GLOB_PATHSPECS": "1"},
                        {"GIT_EXEC_PATH": "/nowhere"}, {"GIT_DEFAULT_HASH": "x"}):
            status, out, _ = self.run_program("compare", "--base", "HEAD", "engines",
                                              environment=setting)
            self.assertEqual((status, "[revision-kept]" in out), (2, True), setting)

    def test_settings_of_the_environment_start_nothing(self):
        ran = self.folder.parent / (self.folder.name + ".ran")
        self.run_program("compare", "--base", "HEAD", "engines", environment={
            "GIT_CONFIG_COUNT": "1", "GIT_CONFIG_KEY_0": "core.fsmonitor",
            "GIT_CONFIG_VALUE_0": f"touch {ran}"})
        self.assertFalse(ran.exists())

    def test_settings_of_the_user_count(self):
        """A setting that git cannot read shows that git reads it."""
        broken = self.write("broken", "[core\n")
        for name in ("GIT_CONFIG_GLOBAL", "GIT_CONFIG_SYSTEM"):
            status, _, err = self.run_program("compare", "--base", "HEAD", "engines", environment={
                name: str(self.folder / broken), "GIT_CONFIG_NOSYSTEM": "0"})
            self.assertEqual(status, 2, err)
        status, _, err = self.run_program("compare", "--base", "HEAD", "engines", environment={
            "GIT_CONFIG_SYSTEM": str(self.folder / broken), "GIT_CONFIG_NOSYSTEM": "1"})
        self.assertEqual(status, 0, err)


@unittest.skipUnless(shutil.which("git"), "git is not installed")
class Bounds(Repository):
    """What is small as it is stored, and huge once it is read."""

    def make(self, kind, content):
        """Writes an object as git stores it; returns its hash."""
        content = f"{kind} {len(content)}".encode() + b"\0" + content
        hash_ = hashlib.sha1(content).hexdigest()
        self.write(f".git/objects/{hash_[:2]}/{hash_[2:]}", zlib.compress(content, 1))
        return hash_

    def tree(self, *entries):
        """A tree of (mode, name, hash)."""
        return self.make("tree", b"".join(
            f"{mode} {name}".encode() + b"\0" + bytes.fromhex(hash_)
            for mode, name, hash_ in entries))

    def commit_tree(self, engines):
        """A commit with a tree as engines/."""
        top = self.tree(("40000", "engines", engines))
        return self.make("commit", (f"tree {top}\nauthor {WHO}\ncommitter {WHO}\n\n"
                                    "Large\n").encode())

    def bounded(self, revision):
        """Compares with little memory; returns status and both outputs."""
        def limit():
            if b"__asan_init" not in PROGRAM.read_bytes():
                resource.setrlimit(resource.RLIMIT_AS, (MEMORY, MEMORY))
        done = subprocess.run([PROGRAM, "compare", "--base", revision, "engines"], check=False,
                              cwd=self.folder, stdin=subprocess.DEVNULL, capture_output=True,
                              preexec_fn=limit, text=True)
        return done.returncode, done.stdout, done.stderr

    def refused(self, engines, word):
        status, out, err = self.bounded(self.commit_tree(engines))
        self.assertEqual((status, out), (2, ""), err)
        self.assertIn(word, err)

    def test_a_thousand_names_of_one_large_file(self):
        blob = self.make("blob", b"#" * (2 << 20))
        names = [("100644", f"e{i:04}.engine.yaml", blob) for i in range(1000)]
        status, _, err = self.bounded(self.commit_tree(self.tree(*names)))
        self.assertEqual(status, 1, err[-500:])
        self.assertEqual(err.count("cannot be read: it has 1 error"), 1000)

    def test_many_names_of_one_file_of_the_largest_size(self):
        blob = self.make("blob", b"#" * (1 << 20))
        names = [("100644", f"e{i:04}.engine.yaml", blob) for i in range(257)]
        self.refused(self.tree(*names), "the sources below it have more than 256 MiB")

    def test_folders_that_name_one_another_a_billion_times(self):
        inner = self.tree(("100644", "x.yaml", self.make("blob", b"x: 1\n")))
        for _ in range(9):
            inner = self.tree(*(("40000", f"f{i}", inner) for i in range(10)))
        self.refused(inner, "more than 100000 files and folders")

    def test_folders_nested_too_deep(self):
        inner = self.tree(("100644", "x.yaml", self.make("blob", b"x: 1\n")))
        for _ in range(70):
            inner = self.tree(("40000", "f", inner))
        self.refused(inner, "nested more than 64 deep")

    def test_one_huge_folder(self):
        blob = self.make("blob", b"x: 1\n")
        hash_ = bytes.fromhex(blob)
        name = b"n" * 4000
        tree = self.make("tree", b"".join(
            b"100644 %05d%s\0" % (i, name) + hash_ for i in range(17000)))
        self.refused(tree, "or more than 64 MiB of names")

    def test_a_commit_of_many_words(self):
        self.git("-c", "core.commentChar=;", "commit", "-q", "--allow-empty", "-m",
                 "Definitions\n\n" + "word\n" * 20000)
        self.compare("--base", "HEAD", "engines", status=0)
        body = self.git("cat-file", "commit", "HEAD")
        commit = self.make("commit", body + b"word\n" * 300000)
        self.assertIn("its commit is too large", self.trouble("--base", commit, "engines"))

    def test_names_that_lead_elsewhere(self):
        blob = self.make("blob", b"x: 1\n")
        for name in ("../x.yaml", "a/../../x.yaml", "/x.yaml"):
            top = self.make("tree", f"100644 {name}".encode() + b"\0" + bytes.fromhex(blob))
            self.refused(top, "the repository is damaged")
        long = self.tree(("40000", "n" * 3000, self.tree(("100644", "m" * 2000 + ".yaml", blob))))
        self.refused(long, "longer than any system accepts")

    def test_a_hash_of_the_longer_kind(self):
        folder = self.folder
        self.folder = folder / "longer"
        self.folder.mkdir()
        (folder / ".git").rename(folder / "not-git")
        start(self.folder, "--object-format=sha256")
        self.write("engines/tern-5.engine.yaml", TERN)
        self.commit()
        self.compare("--base", "HEAD", "engines", status=0)
        self.write("engines/tern-5.engine.yaml", edited(TERN, ("revision: 1", "revision: 2"),
                                                        ("blades: 25", "blades: 26")))
        self.assertEqual(self.report("--base", "HEAD", "engines")["class"], "stops")


if __name__ == "__main__":
    unittest.main()
