"""The mark at each value of a setup sheet that rests on one reading, in both forms."""

import pathlib
import re
import shutil
import sys
import tempfile
import unittest

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parent))
from sheets import ENGINES, SLIPWAY, run, sheet  # pylint: disable=wrong-import-position

CAUTION = "A value with a * rests on one reading"
SECOND = ENGINES["quern-12"].with_name("quern-12.cross-check.yaml").read_text()


def plain(text):
    """The words of a sheet in either form, on one line."""
    text = re.sub(r"<style>.*?</style>|<svg.*?</svg>", "", text, flags=re.S)
    return " ".join(re.sub(r"<[^>]*>", " ", text).split())


def marked(text):
    """The words that end with a mark."""
    return re.findall(r"\S+\*(?!\S)", plain(text).replace("a * rests", ""))


class Marks(unittest.TestCase):
    """Quern 12 without what was seen of its blades' order: alone, and beside a cross-check."""

    def setUp(self):
        self.folder = pathlib.Path(tempfile.mkdtemp(prefix="marks-"))
        self.addCleanup(shutil.rmtree, self.folder)
        self.file = self.folder / "quern-12.engine.yaml"
        self.file.write_text(re.sub(r"(?m)^.*blade-order: \{.*\n", "",
                                    ENGINES["quern-12"].read_text()))

    def sheets(self, second=None):
        """Both forms, with a cross-check beside the definition or without one."""
        if second:
            (self.folder / "quern-12.cross-check.yaml").write_text(second)
        for form in ("text", "html"):
            done = run("sheet", "-d", SLIPWAY, "-f", form, self.file)
            self.assertEqual(done.returncode, 0, done.stderr)
            yield done.stdout

    def test_none_if_all_was_read_twice(self):
        for engine in sorted(set(ENGINES) - {"snath-5", "swingle-25"}):
            for form in ("text", "html"):
                self.assertNotIn("*", plain(sheet(engine, form=form)), engine)

    def test_what_nothing_else_proves(self):
        """The blades of LPT-1 were counted; ratio and sense follow from the gears."""
        for text in self.sheets():
            words = plain(text)
            self.assertIn(CAUTION, words)
            for count in (22, 82, 31):
                self.assertRegex(words, rf"{count}( blades)?\*")
            self.assertNotRegex(words, r"74( blades)?\*")
            for value in ("L1 at 5:00*", "31, 1*", "12.5 deg ahead of the "
                          "datum mark*", "turbine*", "40 lbf.ft (54.2 N.m)*", "576 counts*",
                          "363.8 deg/min (1.01 rpm)*", "LP turns cw*", "3/8 in (10 mm)*"):
                self.assertIn(value, words)
            for value in ("3.032362*", "HP turns cw*", "ccw*", "aft*"):
                self.assertNotIn(value, words)

    def test_what_the_second_reader_left_out(self):
        for text in self.sheets(SECOND.replace("    square: 10 mm\n", "")):
            self.assertEqual(marked(text), ["mm)*"])
            self.assertIn(CAUTION, plain(text))
        for text in self.sheets(SECOND.replace("    blades: 43\n", "")):
            self.assertEqual(marked(text), ["blades*"])

    def test_what_the_sheet_does_not_show(self):
        """A pad that drives both ways has no word there, so nothing is marked."""
        for text in self.sheets(SECOND.replace("    drives: both\n", "")):
            self.assertEqual(marked(text), [])
            self.assertNotIn(CAUTION, plain(text))

    def test_a_record_has_none(self):
        done = run("sheet", "-d", SLIPWAY, "--record", self.file)
        self.assertEqual(done.returncode, 0, done.stderr)
        self.assertNotIn(CAUTION, done.stdout)
        self.assertNotIn("22*", done.stdout)


if __name__ == "__main__":
    unittest.main()
