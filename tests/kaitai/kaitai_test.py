"""schemas/rotor-table.ksy, compiled and run, reads what the program reads.

The compiler and the runtime come from npm, in the versions of package-lock.json, into the build
folder. The description reads each demonstration table, and the result is put into the words of
`show`. Both must be the same to the last field.
"""

import json
import os
import pathlib
import re
import struct
import subprocess
import sys
import tempfile
import unittest

import yaml

import words

ROOT = pathlib.Path(__file__).resolve().parents[2]
HERE = ROOT / "tests" / "kaitai"
for folder in ("table", "device", "fuzz", ""):
    sys.path.insert(0, str(ROOT / "tests" / folder))
import layout  # noqa: E402
import newer  # noqa: E402
import node  # noqa: E402
import seeds  # noqa: E402

PROGRAM = pathlib.Path(os.environ.get("ROTORTAB", ROOT / "build" / "rotortab")).resolve()
SCHEMA = ROOT / "schemas" / "rotor-table.ksy"


@unittest.skipIf(node.ABSENT, f"{', '.join(node.ABSENT)} missing: make deps-device")
class Description(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        cls.modules = node.modules("kaitai")
        scratch = tempfile.TemporaryDirectory()
        cls.addClassCleanup(scratch.cleanup)
        cls.folder = pathlib.Path(scratch.name)
        cls.schema = cls.folder / "schema.json"
        cls.schema.write_text(json.dumps(yaml.safe_load(SCHEMA.read_text())))
        seeds.write(PROGRAM, cls.folder)
        cls.tables = sorted(cls.folder.glob("*.rotor"))
        cls.later = cls.folder / "later"
        cls.later.write_bytes(newer.grown(cls.tables[0].read_bytes()))
        cls.wrong = {cls.folder / name: content for name, content in cls.wrong_tables().items()}
        for path, content in cls.wrong.items():
            path.write_bytes(content)
        cls.read = cls.read_all([*cls.tables, cls.later, *cls.wrong])

    @classmethod
    def read_all(cls, paths):
        """What the description reads in each of the tables, or the error it ends with.

        One run reads them all: to compile the description takes longest.
        """
        done = subprocess.run(["node", HERE / "dump.js", cls.modules, cls.schema, *paths],
                              capture_output=True, text=True, check=False)
        if done.returncode != 0:
            raise AssertionError(done.stderr)
        return dict(zip(paths, json.loads(done.stdout), strict=True))

    @classmethod
    def wrong_tables(cls):
        """Tables that cannot be, by what is wrong with them."""
        good = next(path for path in cls.tables if "quern" in path.name).read_bytes()
        marked = next(path for path in cls.tables if "winnow" in path.name).read_bytes()
        return {"magic": b"\x0e" + good[1:],
                "status": layout.put(good, layout.ENGINES, 0, 30, "B", 9),
                "reserved": layout.put(good, layout.SPOOLS, 0, 6, "H", 1),
                "clock": layout.put(good, layout.PORTS, 0, 4, "H", 720),
                "schedule": layout.put(good, layout.SCHEDULES, 0, 4, "I", 0xffffffff),
                "datum": layout.put(good, layout.DATUMS, 0, 0, "I", 0x40000001),
                "known blade": layout.put(marked, layout.KNOWN_BLADES, 0, 8, "H", 1)}

    def show(self, path):
        done = subprocess.run([PROGRAM, "show", "--format", "json", path], capture_output=True,
                              check=True)
        return json.loads(done.stdout)

    def test_every_field_is_that_of_show(self):
        self.maxDiff = 2000
        self.assertGreater(len(self.tables), 20)
        for path in self.tables:
            with self.subTest(path.name):
                self.assertNotIn("error", self.read[path])
                self.assertEqual(words.Table(self.read[path]).tell(), self.show(path))

    def test_a_later_versions_table(self):
        content = self.tables[0].read_bytes()
        read = self.read[self.later]
        self.assertEqual(words.Table(read).tell(), self.show(self.later))
        self.assertEqual(read["sections"][str(newer.UNKNOWN)],
                         [record.hex() for record in newer.unknown_records(content)])

    def test_checksums_stand_where_it_says(self):
        for path in self.tables:
            content, read = path.read_bytes(), self.read[path]
            self.assertEqual(struct.pack("<I", read["header"]["crc"]), content[28:32])
            self.assertEqual(struct.pack("<I", read["trailer"]), content[-4:])
            self.assertEqual(len(content), read["header"]["length"])

    def test_what_cannot_be_is_refused(self):
        for path in self.wrong:
            self.assertIn("Validation", self.read[path].get("error", ""), path.name)


class Schema(unittest.TestCase):
    """Against rotor_layout.h, without node."""

    def test_records_are_as_long_as_the_header_says(self):
        header = (ROOT / "src" / "field" / "rotor_layout.h").read_text()
        sizes = {"text": 4, "fraction": 16, "small_fraction": 8, "u1": 1, "u2": 2, "u4": 4,
                 "u8": 8}
        types = yaml.safe_load(SCHEMA.read_text())["types"]
        for name in ("header", "entry", "device", "name", "engine", "spool", "stage", "port",
                     "pad", "mesh", "schedule", "link", "datum", "known_blade"):
            length = sum(sizes[field["type"]] if "type" in field
                         else len(field.get("contents", range(field.get("size", 0))))
                         for field in types[name]["seq"])
            stated = re.search(rf"\bROTOR_{name.upper()}_SIZE = (\d+)", header)
            self.assertEqual(length, int(stated[1]), name)

    def test_the_lock_names_no_host(self):
        self.assertNotIn("://", (HERE / "package-lock.json").read_text())


if __name__ == "__main__":
    unittest.main()
