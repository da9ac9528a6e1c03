"""A definition as JSON, as other programs write it."""

import json
import re
import unittest

import yaml

from checking import GOOD, PROFILE, Folder, changed, findings, run

NAMES = changed(("name: Hayrake 6", "name: \"Hayrake \U0001F600 6\""),
                ("Hayrake 6B", "\"\U00010348\""))
SCHEMA = "https://example.invalid/engine-definition.schema.json"


class Json(Folder):
    """Each way of writing means the same as the YAML."""

    def setUp(self):
        super().setUp()
        self.put("plain.device.yaml", changed(("text: ascii", "text: utf-8"), text=PROFILE))
        self.put("neighbour.engine.yaml", NAMES)
        self.put("yaml/neighbour.engine.yaml", NAMES)
        self.values = yaml.load(NAMES, yaml.BaseLoader)

    def assert_same(self, name):
        """The definition is clean, and differs from the YAML in its writing only."""
        done = run(self.folder, "check", "--strict", "-d", "plain.device.yaml", name)
        self.assertEqual(done.returncode, 0, done.stdout.decode() + done.stderr.decode())
        done = run(self.folder, "compare", "yaml/neighbour.engine.yaml", name)
        for change in re.findall("^  (.+)", done.stdout.decode(), re.M):
            self.assertRegex(change, r"^only comments, layout|^\$schema none ->")
        self.assertIn(b"1 engine", done.stdout)

    def test_same_table(self):
        for ascii_only in (True, False):
            for indent in (None, 2, "\t"):
                text = json.dumps(self.values, ensure_ascii=ascii_only, indent=indent)
                self.put("neighbour.engine.json", text)
                self.assert_same("neighbour.engine.json")

    def test_place_after_a_pair(self):
        values = dict(self.values, revision="two")
        self.put("neighbour.engine.json", json.dumps(values))
        finding, = findings(self.folder, "neighbour.engine.json")[1]
        at = finding["column"] - 1
        self.assertEqual(json.dumps(values)[at:].split(",")[0], '"two"')

    def test_half_of_a_pair(self):
        self.put("neighbour.engine.json",
                 json.dumps(self.values).replace("\\ude00", ""))
        finding, = findings(self.folder, "neighbour.engine.json")[1]
        self.assertEqual(finding["rule"], "yaml-syntax")
        self.assertIn("half of a pair", finding["message"])

    def test_schema(self):
        first = {"$schema": SCHEMA, **self.values}
        last = {**self.values, "$schema": SCHEMA}
        for values in (first, last):
            for text in (json.dumps(values), json.dumps(values, indent=1)):
                self.put("neighbour.engine.json", text)
                self.assert_same("neighbour.engine.json")
        self.put("neighbour.engine.yaml", f"$schema: {SCHEMA}\n{NAMES}")
        self.assert_same("neighbour.engine.yaml")

    def test_schema_of_profile_and_policy(self):
        profile = (self.folder / "plain.device.yaml").read_text()
        self.put("plain.device.yaml", f"$schema: {SCHEMA}\n{profile}")
        self.put("rotortab.policy.yaml", f"$schema: {SCHEMA}\npolicy: 1\n")
        self.assert_same("neighbour.engine.yaml")

    def test_found_by_its_first_key(self):
        """A file of another name is a source by its first key, $schema aside."""
        for text in (json.dumps({"$schema": SCHEMA, **self.values}),
                     json.dumps({"$schema": SCHEMA, **self.values}, indent=1),
                     f"# a comment\n$schema: {SCHEMA}\n{NAMES}",
                     f"\"$schema\": \"{SCHEMA}\"\n{NAMES}"):
            self.put("some/engine.json", text)
            found = findings(self.folder, "some")[1]
            self.assertEqual([finding["rule"] for finding in found], ["id-not-file-name"])
        for text in (json.dumps({"$schema": SCHEMA, "title": "another"}),
                     json.dumps({"$schema": SCHEMA})):
            self.put("some/engine.json", text)
            self.assertIn(b"some", run(self.folder, "check", "some").stderr)

    def test_only_a_schema(self):
        self.put("neighbour.engine.json", json.dumps({"$schema": SCHEMA}))
        finding, = findings(self.folder, "neighbour.engine.json")[1]
        self.assertEqual((finding["rule"], finding["message"]),
                         ("unknown-kind", "the first key is $schema"))


if __name__ == "__main__":
    unittest.main()
