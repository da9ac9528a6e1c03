"""The form of a cross-check: the names of a definition, without a value to copy by eye."""

import json
import os
import pathlib
import shutil
import subprocess
import tempfile
import unittest

import yaml

PROGRAM = pathlib.Path(os.environ.get("ROTORTAB", "build/rotortab")).resolve()
DEMO = pathlib.Path("engines-demo").resolve()
EVERY_KEY = pathlib.Path(__file__).resolve().parents[1] / "schema/every-key.engine.yaml"
POLICY = "policy: 1\nrules: {cross-check-partial: error, cross-check-stale: error}\n"


class Form(unittest.TestCase):
    """Each definition of the fleet, and one with every key."""

    maxDiff = None

    def setUp(self):
        self.folder = pathlib.Path(tempfile.mkdtemp(prefix="form-"))
        self.addCleanup(shutil.rmtree, self.folder)
        (self.folder / "rotortab.policy.yaml").write_text(POLICY)

    def run_program(self, *arguments, status=0):
        done = subprocess.run([PROGRAM, *arguments], cwd=self.folder, capture_output=True,
                              text=True, check=False, stdin=subprocess.DEVNULL)
        self.assertEqual(done.returncode, status, done.stdout + done.stderr)
        return done

    def findings(self, name, status=0):
        done = self.run_program("check", "--format", "json", name, status=status)
        return json.loads(done.stdout)["findings"]

    def forms(self):
        """(name of a copy, its tree, the name of its form, the form's text)"""
        for path in (*sorted(DEMO.glob("engines/*.engine.*")), EVERY_KEY):
            name = pathlib.Path(shutil.copy(path, self.folder)).name
            second = f"{name.split('.')[0]}.cross-check.yaml"
            self.run_program("new", "--cross-check", name)
            yield (name, yaml.load(path.read_text(), yaml.CBaseLoader), second,
                   (self.folder / second).read_text())

    def blanks(self, value, path=()):
        """The paths of all blanks; nothing but names may be filled in."""
        if isinstance(value, dict):
            return [found for key, below in value.items()
                    for found in self.blanks(below, (*path, key))]
        if isinstance(value, list):
            return [found for i, below in enumerate(value)
                    for found in self.blanks(below, (*path, i))]
        if value is None:
            return [path]
        self.assertIn(path[-1], ("cross-check", "id", "revision"), value)
        return []

    def filled(self, form, definition):
        """The form with the values of the definition, which is as long at each place."""
        if isinstance(form, dict):
            return {key: self.filled(below, definition[key]) for key, below in form.items()}
        if isinstance(form, list):
            definition = definition if isinstance(definition, list) else [definition]
            self.assertEqual(len(form), len(definition))
            return [self.filled(*pair) for pair in zip(form, definition)]
        return definition

    def test_names_and_no_values(self):
        for name, _, _, text in self.forms():
            with self.subTest(name):
                blanks = self.blanks(yaml.load(text, yaml.CSafeLoader))
                self.assertIn(("read-from",), blanks)
                self.assertIn(("stages", 0, "blades"), blanks)
                kept = [path for path in blanks if path[-1] in ("how", "note", "blade-one")]
                self.assertEqual(kept, [], "texts are not read twice")

    def test_each_blank_is_a_finding_that_says_what_to_do(self):
        for name, _, second, text in self.forms():
            with self.subTest(name):
                found = [item for item in self.findings(name, status=1)
                         if item["file"] == second]
                self.assertEqual({item["rule"] for item in found}, {"missing-key"})
                for item in found:
                    self.assertNotIn("table", item["consequence"])
                optional = [item for item in found if "delete the key" in item["remedy"]]
                self.assertGreater(len(optional), len(found) / 4)
                self.assertFalse([item for item in optional
                                  if item["message"].startswith(("read-", "of ", "sense", "view"))])
                self.assertEqual(len(found), len(self.blanks(yaml.load(text, yaml.CSafeLoader))))

    def test_filled_in_it_agrees_in_full(self):
        for name, definition, second, text in self.forms():
            with self.subTest(name):
                form = yaml.load(text, yaml.CSafeLoader)
                head = {key: form.pop(key) for key in ("cross-check", "of")}
                for key in ("read-from", "read-on"):
                    form.pop(key)
                whole = {**head, "read-from": "x", "read-on": "2026-06-02",
                         **self.filled(form, definition)}
                (self.folder / second).write_text(json.dumps(whole))
                sound = "every-key" not in name
                found = self.findings(name, status=int(not sound))
                self.assertEqual([item for item in found
                                  if item["rule"].startswith("cross-check")], [])
                if sound:
                    self.assertIn("all values", self.run_program("explain", name).stdout)

    def test_what_is_refused(self):
        shutil.copy(DEMO / "engines/quern-12.engine.yaml", self.folder)
        text = (self.folder / "quern-12.engine.yaml").read_text()
        (self.folder / "broken.engine.yaml").write_text(text.replace("blades: 22", "blades: xx"))
        (self.folder / "x.yaml").write_text(text)
        self.run_program("new", "--cross-check", "quern-12.engine.yaml")
        for arguments, words in (
                (("quern-12.engine.yaml",), "exists already"),
                (("broken.engine.yaml",), "correct it first"), (("x.yaml",), "name the file"),
                (("gone.engine.yaml",), "cannot read gone"),
                (("rotortab.policy.yaml", "-o", "-"), "not an engine definition"),
                (("quern-12.engine.yaml", "--set", "id=x"), "leave out --set")):
            done = self.run_program("new", "--cross-check", *arguments, status=2)
            self.assertIn(words, done.stderr)
        self.assertFalse((self.folder / "broken.cross-check.yaml").exists())


if __name__ == "__main__":
    unittest.main()
