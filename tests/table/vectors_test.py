"""The vectors of rotor-table(5): the program and the page judge each as the index says.

And the requirements themselves: each has a vector and a status, and the reader's source names it.
"""

import json
import os
import pathlib
import re
import shutil
import subprocess
import unittest

import page_reader

ROOT = pathlib.Path(__file__).resolve().parents[2]
PROGRAM = pathlib.Path(os.environ.get("ROTORTAB", ROOT / "build" / "rotortab")).resolve()
FOLDER = ROOT / "tests" / "vectors"
MAGIC = ROOT / "schemas" / "rotor-table.magic"
PAGE = (ROOT / "man" / "rotor-table.5").read_text(encoding="utf-8")
INDEX = json.loads((FOLDER / "index.json").read_text(encoding="utf-8"))
WITHOUT_VECTORS = {"W1", "W3"}  # of a reader; too long to ship


def ask(*arguments):
    return subprocess.run([PROGRAM, *map(str, arguments)], capture_output=True, check=False)


def verify(path):
    return json.loads(ask("verify", "--format", "json", path).stdout)


def named(text):
    """The requirements that a text names, alone or as a range: R23 to R25."""
    found = set(re.findall(r"\bR\d+\b", text))
    for first, last in re.findall(r"\bR(\d+) to R(\d+)\b", text):
        found |= {f"R{number}" for number in range(int(first), int(last) + 1)}
    return found


class Vectors(unittest.TestCase):
    def test_good_ones(self):
        for row in INDEX["good"]:
            with self.subTest(row["file"]):
                path = FOLDER / row["file"]
                self.assertEqual(ask("show", "--format", "json", path).stdout,
                                 (FOLDER / row["shown"]).read_bytes())
                self.assertTrue(verify(path)["fine"])
                self.assertEqual(page_reader.broken(path.read_bytes()), {})
                self.assertEqual(page_reader.unwritten(path.read_bytes()), set())

    def test_the_signature_holds(self):
        done = ask("verify", "--key", FOLDER / "good" / "signed.public.pem",
                   FOLDER / "good" / "signed.rotor")
        self.assertEqual(done.returncode, 0, done.stdout)

    def test_refused_ones(self):
        for row in INDEX["refused"]:
            with self.subTest(row["file"]):
                path = FOLDER / row["file"]
                self.assertEqual(verify(path)["status"], row["status"])
                broken = page_reader.broken(path.read_bytes())
                self.assertEqual(broken.get(row["requirement"]), row["status"])
                self.assertEqual(set(broken.values()), {row["status"]}, broken)
                self.assertEqual(ask("show", path).returncode, 1)

    def test_those_that_no_writer_writes(self):
        for row in INDEX["unwritten"]:
            with self.subTest(row["file"]):
                path = FOLDER / row["file"]
                report = verify(path)
                self.assertEqual((report["status"], report["fine"]), ("fine", False))
                self.assertEqual(page_reader.broken(path.read_bytes()), {})
                self.assertEqual(page_reader.unwritten(path.read_bytes()), {row["requirement"]})

    def test_no_other_file(self):
        listed = {name for rows in INDEX.values() for row in rows
                  for name in (row["file"], row.get("shown")) if name}
        there = {str(path.relative_to(FOLDER)) for kind in INDEX
                 for path in (FOLDER / kind).iterdir()}
        self.assertEqual(there, listed | {"good/signed.public.pem"})


class Requirements(unittest.TestCase):
    def test_each_has_a_vector_with_its_status(self):
        stated = {}
        for number, statuses in re.findall(r"^\.It Sy (R\d+) Pq (.*)$", PAGE, re.M):
            stated[number] = set(statuses.split(" , "))
        self.assertEqual(list(stated), [f"R{number}" for number in range(1, 42)])
        shipped = {}
        for row in INDEX["refused"]:
            shipped.setdefault(row["requirement"], set()).add(row["status"])
        self.assertEqual(shipped, stated)
        written = re.findall(r"^\.It Sy (W\d+)$", PAGE, re.M)
        self.assertEqual(written, [f"W{number}" for number in range(1, 26)])
        self.assertEqual({row["requirement"] for row in INDEX["unwritten"]},
                         set(written) - WITHOUT_VECTORS)

    def test_each_is_named_where_it_is_checked(self):
        for names, folder in ((("rotor_table.c", "rotor_check.c"), "src/field"),
                              (("page_reader.py",), "tests/table")):
            text = "".join((ROOT / folder / name).read_text(encoding="utf-8") for name in names)
            self.assertEqual(named(text), {f"R{number}" for number in range(1, 42)}, names)
        self.assertLessEqual({"R12", "R15", "R19", "R20", "R21"}, named(
            (ROOT / "src/field/rotor_read.c").read_text(encoding="utf-8")))

    def test_every_mark_of_the_page_is_a_requirement(self):
        marks = set(re.findall(r"\b[RW]\d+\b", PAGE)) - {"R4"}
        numbers = set(re.findall(r"^\.It Sy ([RW]\d+)", PAGE, re.M))
        self.assertLessEqual(marks, numbers)


@unittest.skipUnless(shutil.which("file"), "file is not installed: make deps-test")
class Magic(unittest.TestCase):
    """The pattern for file(1)."""

    def said(self, name, *options):
        return subprocess.run(["file", "-b", "-m", MAGIC, *options, FOLDER / name],
                              capture_output=True, text=True, check=True).stdout.strip()

    def test_good_tables(self):
        for row in INDEX["good"]:
            length = (FOLDER / row["file"]).stat().st_size
            version = 7 if "later" in row["file"] else 1
            self.assertEqual(self.said(row["file"]),
                             f"Rotor table, format version {version}, {length} bytes")
            self.assertEqual(self.said(row["file"], "--mime-type"), "application/x-rotor-table")
            self.assertEqual(self.said(row["file"], "--extension"), "rotor")

    def test_tables_for_later_readers(self):
        (row,) = [row for row in INDEX["refused"] if row["requirement"] == "R6"]
        self.assertIn("for readers of version 2 or later", self.said(row["file"]))

    def test_damage_of_a_transfer(self):
        says = {row["status"]: self.said(row["file"]) for row in INDEX["refused"]
                if row["requirement"] == "R1"}
        self.assertIn("line ends were converted", says["text-mode"])
        self.assertIn("the eighth bits are lost", says["seven-bit"])
        self.assertNotIn("Rotor table", says["not-a-table"])

    def test_the_page_names_type_and_suffix(self):
        for words in (".Pa .rotor .", "application/x-rotor-table", MAGIC.name):
            self.assertIn(words, PAGE)


if __name__ == "__main__":
    unittest.main()
