"""The command names, which completion asks: quick, and silent about mistakes in a source."""

import json
import os
import pathlib
import shutil
import unittest

from gate_test import Gate, git

QUERN = "engines/quern-12.engine.yaml"
SNATH = "engines/snath-5.engine.json"


class Names(Gate):
    """Over the demonstration, and over what nobody should write."""

    def named(self, *arguments, status=0, **environment):
        done = self.run_program("names", *arguments, status=status, **environment)
        self.said = done.stderr.decode()
        self.assertEqual(self.said == "", status == 0)
        return done.stdout.decode().splitlines()

    def test_each_kind(self):
        shutil.rmtree(self.demo / "broken")  # or each list of all names reads it
        for kind in ("engines", "spools", "stages", "pads", "ports", "documents"):
            found = self.named(kind)
            self.assertEqual(found, sorted(set(found)))
            self.assertTrue(found)
        self.assertEqual(self.named("engines", QUERN, SNATH), ["quern-12", "snath-5"])
        self.assertIn("HPC-1", self.named("stages", QUERN))
        self.assertNotIn("HPC-1", self.named("pads", QUERN))
        self.assertIn("P1", self.named("ports", QUERN))
        self.assertIn("HP", self.named("spools", QUERN))
        self.assertIn("crank", self.named("pads", QUERN))
        self.assertEqual(self.named("stages"), self.named("stages", "."))
        self.assertEqual(self.named("engines", "--", QUERN), ["quern-12"])

    def test_documents_are_those_of_definitions_and_registers(self):
        register = self.demo / "r.sources.yaml"
        register.write_text('source-register: 1\ndocuments:\n'
                            '  - {document: Zither manual, revision: "3"}\n'
                            '  - {document: "in\\u001bvisible", revision: "3"}\n')
        self.assertEqual(self.named("documents", register), ["Zither manual"])
        self.assertTrue(self.named("documents", "engines"))
        self.assertNotIn("Zither manual", self.named("documents", "engines"))
        self.assertEqual(self.named("stages", register), [])

    def test_broken_sources_are_passed_over(self):
        text = (self.demo / QUERN).read_text()
        whole = self.named("stages", QUERN)
        for i, (old, new) in enumerate((("blades: 31", "blades: many"), ("\nspools:", "\nspool:"),
                                        ("revision: ", "revision: x"))):
            self.assertIn(old, text)
            (self.demo / f"b-{i}.yaml").write_text(text.replace(old, new, 1))
            self.assertEqual(self.named("stages", f"b-{i}.yaml"), whole)
        (self.demo / "b.yaml").write_text(text.replace("- id: HPC-1", "- id: $(touch made)", 1))
        self.assertEqual(self.named("stages", "b.yaml"), [s for s in whole if s != "HPC-1"])
        for content in (b"", b"\xff\xfe\0", b"{", b"engine-definition: 1\n\tx", b"a: &a [*a]\n",
                        b"engine-definition: 1\nstages: 7\n", b"engine-definition: 1\nid: [",
                        b'{"engine-definition": 1, "stages": [null, {}, {"id": []}]}'):
            (self.demo / "b.yaml").write_bytes(content)
            with self.subTest(content):
                self.assertEqual(self.named("stages", "b.yaml"), [])
        self.named("stages", "broken", "devices", "README.md")

    def test_what_cannot_be_read_is_said(self):
        self.assertEqual(self.named("engines", "nowhere", QUERN, status=2), ["quern-12"])
        self.assertIn("cannot read nowhere: No such file", self.said)
        (self.demo / "round").mkdir()
        (self.demo / "round/again").symlink_to(self.demo / "round")
        self.named("engines", "round", status=2)
        self.assertIn("round/again", self.said)
        self.assertEqual(self.named("stage", QUERN, status=2), [])
        self.assertIn("no names of stage. Did you mean stages?", self.said)
        done = self.run_program("names", status=2)
        self.assertIn(b"needs a word for what to list: engines, spools,", done.stderr)

    def test_a_pipe_is_not_read(self):
        os.mkfifo(self.demo / "pipe.yaml")
        self.assertEqual(self.named("engines", "pipe.yaml", QUERN), ["quern-12"])
        self.assertIn("quern-12", self.named("engines", "."))

    def test_a_large_folder_does_not_keep_a_shell_waiting(self):
        """The files that are read are bounded."""
        many = self.demo / "many"
        many.mkdir()
        text = json.dumps({"engine-definition": 1, "id": "q-%d"})
        for i in range(4000):
            with open(f"{many}/q-{i:04}.json", "w", encoding="ascii") as file:
                file.write(text % i)
        self.assertEqual(len(self.named("engines", "many")), 4000)
        (many / "q-4000.json").write_text(text % 4000)
        found = self.named("engines", "many", status=2)
        self.assertIn("more files than names reads", self.said)
        self.assertEqual(len(found), 4000)
        self.assertNotIn("q-4000", found)


class Revisions(Gate):
    """Branches and tags, by git."""

    def git(self, *words):
        git(self.demo, *words)

    def named(self, *paths, status=0, **environment):
        done = self.run_program("names", "revisions", *paths, status=status, **environment)
        self.said = done.stderr.decode()
        return done.stdout.decode().splitlines()

    def test_branches_and_tags(self):
        self.git("init", "-b", "main")
        self.git("commit", "--allow-empty", "-m", "first")
        self.git("branch", "side/two")
        self.git("tag", "v1")
        self.git("branch", "turned\u202eround")  # nothing shows the character
        for paths in ((), ("engines",), (QUERN,), ("nowhere.yaml",), (".", "/")):
            self.assertEqual(self.named(*paths), ["main", "side/two", "v1"])

    def test_no_setting_of_a_repository_runs_a_program(self):
        self.git("init", "-b", "main")
        self.git("commit", "--allow-empty", "-m", "first")
        for setting in ("core.fsmonitor", "core.pager", "core.sshCommand", "pager.for-each-ref",
                        "alias.for-each-ref", "core.editor", "credential.helper"):
            self.git("config", setting, "!touch made #" if "alias" in setting else "touch made")
        self.assertEqual(self.named(), ["main"])
        self.assertFalse((self.demo / "made").exists())

    def test_without_git_or_a_repository(self):
        self.assertEqual(self.named("/", status=2), [])
        self.assertIn("is / in a git repository?", self.said)
        empty = pathlib.Path(self.scratch.name) / "empty"
        empty.mkdir()
        self.assertEqual(self.named(status=2, PATH=str(empty)), [])
        self.assertIn("cannot run git", self.said)


if __name__ == "__main__":
    unittest.main()
