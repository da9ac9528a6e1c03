"""The picture of a setup sheet in README.md: it shows the whole sheet, and loads nothing."""

import json
import pathlib
import re
import shutil
import subprocess
import sys
import tempfile
import unittest
import xml.etree.ElementTree as ElementTree

HERE = pathlib.Path(__file__).resolve().parent
sys.path.insert(1, str(HERE))
from sheets import DEMO, MODULES  # noqa: E402

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

    @unittest.skipUnless(shutil.which("chromium") and shutil.which("node") and MODULES.is_dir(),
                         "chromium, node or modules are missing: make deps-sheet")
    def test_shows_all_of_it(self):
        """Nothing leaves the sheets of paper: else there are too few, see tests/picture.py."""
        with tempfile.TemporaryDirectory() as folder:
            page = pathlib.Path(folder, "picture.xhtml")
            page.write_text(
                '<html xmlns="http://www.w3.org/1999/xhtml"><head><title>x</title><style>'
                "html>body{margin:0;background:#fff}html>body>svg{width:100%;height:auto}"
                f"</style></head><body>{PICTURE.read_text(encoding='utf-8')}</body></html>",
                encoding="utf-8")
            asked = [{"sheet": str(page), "screen": "desk", "scheme": scheme, "axe": False}
                     for scheme in ("light", "dark")]
            done = subprocess.run(["node", HERE / "layout.js", MODULES], input=json.dumps(asked),
                                  capture_output=True, text=True, check=False)
        self.assertEqual(done.returncode, 0, done.stderr)
        for view in json.loads(done.stdout):
            self.assertEqual((view["asked"], view["wide"], view["cut"], view["faint"]),
                             (1, [], [], []))


if __name__ == "__main__":
    unittest.main()
