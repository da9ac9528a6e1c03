"""The picture of a setup sheet in README.md: it has the whole sheet, and loads nothing."""

import pathlib
import re
import sys
import unittest
import xml.etree.ElementTree as ElementTree

HERE = pathlib.Path(__file__).resolve().parent
sys.path.insert(1, str(HERE))
from sheets import DEMO  # noqa: E402

PICTURE = DEMO / "sheet.svg"


class Picture(unittest.TestCase):
    def test_stands_alone(self):
        text = PICTURE.read_text(encoding="utf-8")
        for word in ("<script", "<link", "<img", "<image", "@import", "url(", " src=", "href="):
            self.assertNotIn(word, text)
        self.assertEqual(set(re.findall(r"https?:[^\"]*", text)),
                         {"http://www.w3.org/2000/svg", "http://www.w3.org/1999/xhtml"})

    def test_holds_the_sheet(self):
        root = ElementTree.fromstring(PICTURE.read_text(encoding="utf-8"))
        said = " ".join(" ".join(root.itertext()).split())
        for words in ("Setup sheet: Quern 12", "Before anything turns", "Pad crank turns spool HP",
                      "Where these numbers come from"):
            self.assertIn(words, said)
        names = "{http://www.w3.org/2000/svg}svg"
        self.assertGreater(len(list(root.iter(names))), 10)


if __name__ == "__main__":
    unittest.main()
