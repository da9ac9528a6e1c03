"""The schemas as other programs read them: strictly, by name, and part by part."""

import json
import pathlib
import subprocess
import sys
import tempfile
import unittest

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parent.parent))
import node  # pylint: disable=wrong-import-position

HERE = pathlib.Path(__file__).resolve().parent
SCHEMAS = sorted((HERE.parent.parent / "schemas").glob("*.schema.json"))


def parts(schema, where=""):
    """All parts of a schema, with their places; true and false have nothing to say."""
    if isinstance(schema, bool):
        return
    yield where, schema
    for key, inner in schema.get("properties", {}).items():
        yield from parts(inner, f"{where}/{key}")
    if "items" in schema:
        yield from parts(schema["items"], f"{where}/items")
    for word in ("anyOf", "oneOf"):
        for i, inner in enumerate(schema.get(word, [])):
            yield from parts(inner, f"{where}/{word}/{i}")


class Strict(unittest.TestCase):
    """Each schema that is shipped."""

    def test_every_part_has_a_title(self):
        """An editor shows the title of the nearest part above for one that has none."""
        self.assertEqual(len(SCHEMAS), 5)
        for path in SCHEMAS:
            found = list(parts(json.loads(path.read_text())))
            self.assertGreater(len(found), 10)
            self.assertEqual([where for where, part in found if not part.get("title")], [])

    def test_each_has_a_name(self):
        """No editor tries to fetch a schema by a name that is no address."""
        for path in SCHEMAS:
            kind = path.name.removesuffix(".schema.json")
            self.assertEqual(json.loads(path.read_text())["$id"], f"urn:rotortab:{kind}:1")

    @unittest.skipIf(node.ABSENT, f"not on this machine: {', '.join(node.ABSENT)}")
    def test_what_a_strict_reader_says(self):
        """It has no complaint of a schema, and complains at all."""
        wrong = {"allowUnionTypes": {"type": ["string", "number"]},
                 "strictRequired": {"type": "object", "required": ["a"]},
                 "unknown keyword": {"tipe": "object"}}
        with tempfile.TemporaryDirectory() as folder:
            files = [pathlib.Path(folder, f"{number}.json") for number in range(len(wrong))]
            for file, schema in zip(files, wrong.values()):
                file.write_text(json.dumps(schema))
            done = subprocess.run(
                ["node", HERE / "strict.js", node.modules("schema"), *SCHEMAS, *files],
                capture_output=True, text=True, check=True, timeout=120)
        answers = done.stdout.splitlines()
        self.assertEqual(len(answers), len(SCHEMAS) + len(wrong))
        self.assertEqual(answers[:len(SCHEMAS)], ["fine"] * len(SCHEMAS))
        for said, answer in zip(wrong, answers[len(SCHEMAS):]):
            self.assertIn(said, answer)


if __name__ == "__main__":
    unittest.main()
