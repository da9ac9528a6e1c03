"""The blades that can be recognised, on the wheel of their stage and beside it.

Where each of them must be follows from the port, the number of blades and the numbering alone.
"""

import itertools
import pathlib
import re
import sys
import unittest

sys.path[1:1] = [str(pathlib.Path(__file__).resolve().parent)]
from sheets import (Scratch, angle_of, definition, drawings, growth_of, has,  # noqa: E402
                    page, sheet, sign)


def turned(element):
    """Degrees clockwise from twelve o'clock at which an element of a wheel is drawn."""
    return float(re.match(r"rotate\(([-0-9.]+)\)", element.get("transform"))[1])


def apart(one, other):
    """Degrees between two places on the circle."""
    return abs((one - other + 180) % 360 - 180)


class KnownBlades(Scratch):
    def wheel(self, stage, known):
        """The wheel of a stage of winnow-16 with these known blades, and its page as text."""
        engine = definition("winnow-16")
        for row in engine["stages"]:
            row.pop("known-blades", None)
            if row["id"] == stage and known:
                row["known-blades"] = [{"blade": blade, "how": f"mark {blade}"}
                                       for blade in known]
        path = self.write("winnow-16.engine.json", engine)
        root = page(path)
        sheet.cache_clear()
        names = [row["id"] for row in engine["stages"] if row["spool"] == "HP"]
        return drawings(root, "wheel")[names.index(stage)], sheet(path, form="html"), engine

    def test_places(self):
        for numbering, blades in itertools.product(("against-rotation", "with-rotation"),
                                                   ((46,), (2, 31, 75), (90,))):
            with self.subTest(numbering=numbering, blades=blades):
                wheel, _, engine = self.wheel("HPT-1", blades)
                row = next(r for r in engine["stages"] if r["id"] == "HPT-1")
                rotation = sign(engine["spools"][0]["rotation"])
                growth = growth_of(row["numbering"], rotation)
                must = [(angle_of(row["port"]["clock"]) + growth * 360 * (n - 1) / row["blades"])
                        % 360 for n in blades]
                marks = [turned(path) for path in wheel.iter("path") if has(path, "known")]
                self.assertEqual(len(marks), len(must))
                for mark, place in zip(marks, must):
                    self.assertLess(apart(mark, place), 0.001)

    def test_numbers_are_where_they_can_be_read(self):
        def numbers(*blades):
            wheel, _, _ = self.wheel("HPT-1", blades)
            return [text.text for text in wheel.iter("text") if has(text, "outside")]
        self.assertEqual(numbers(46), ["46"])
        self.assertEqual(numbers(46, 52), ["46", "52"][:1])  # 24 degrees apart
        self.assertEqual(numbers(46, 54), ["46", "54"])      # 32 degrees apart
        self.assertEqual(numbers(2), [])                     # beside the port

    def test_twelve_gives_way(self):
        def labels(*blades):
            wheel, _, _ = self.wheel("HPT-1", blades)
            return {text.text for text in wheel.iter("text") if has(text, "soft")}
        self.assertEqual(labels(), {"12"})
        self.assertEqual(labels(46), {"12"})
        self.assertEqual(labels(38), set())  # at 12 o'clock

    def test_the_legend_has_what_is_drawn(self):
        _, with_one, _ = self.wheel("HPT-1", (46,))
        self.assertEqual(with_one.count("a known blade:"), 1)
        _, without, _ = self.wheel("HPT-1", ())
        self.assertNotIn("a known blade", without)
        self.assertNotIn("Known blades", without)

    def test_words(self):
        wheel, text, _ = self.wheel("HPT-1", (46, 20))
        self.assertIn("<dt>Known blades:</dt> <dd>46, mark 46; 20, mark 20*</dd>", text)
        self.assertIn("Known blades: 46, mark 46; 20, mark 20.",
                      next(wheel.iter("desc")).text)


if __name__ == "__main__":
    unittest.main()
