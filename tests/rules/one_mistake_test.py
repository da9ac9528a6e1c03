"""One mistake in a demonstration engine gives one finding, where its cross-check is beside it.

Two mistakes that have nothing to do with each other give two.
"""

import re
import unittest

from checking import DEMO, Folder, findings

DEVICE = DEMO / "devices" / "slipway-4.device.yaml"
DIBBLE, QUERN, COULTER = "dibble-3", "quern-12", "coulter-70"
BILLHOOK, MATTOCK = "billhook-8", "mattock-40"

# engine, text, the text with the mistake, and what the place must be at
MISTAKES = [
    (DIBBLE, "planets: 4", "planets: 5", "5,"),
    (DIBBLE, "planets: 4", "planets: 3", "3,"),
    (DIBBLE, "sun: 24, ring: 96", "sun: 96, ring: 24", "96, ring"),
    (DIBBLE, "sun: 31, ring: 95", "sun: 95, ring: 31", "95, ring"),
    (DIBBLE, "planet: 36", "planet: 63", "63,"),
    (DIBBLE, "in: carrier, out: sun", "in: sun, out: carrier", "sun, out"),
    (DIBBLE, "[19, 41]", "[41, 19]", "41, 19"),
    (DIBBLE, "[32, 57]", "[32, 75]", "75]"),
    (DIBBLE, "pad: 0.769", "pad: 0.796", "0.796"),
    (DIBBLE, "backs: [down, aft]", "backs: [up, aft]", "up, aft"),
    (DIBBLE, "faces: down", "faces: up", "up"),
    (DIBBLE, "{sense: ccw, view: aft", "{sense: cw, view: aft", "{sense: cw"),
    (DIBBLE, "drives: both", "drives: cw", "cw"),
    (DIBBLE, "backlash: 0.5 deg", "backlash: 5 deg", "5 deg"),
    (DIBBLE, "square: 3/8 in", "square: 1/2 in", "1/2 in"),
    (DIBBLE, '{id: E1, clock: "12:00"}', '{id: E1, clock: "1:00"}', '"1:00"'),
    (DIBBLE, "max-speed: 180", "max-speed: 1800", "1800 deg"),
    (DIBBLE, "spool: PT\n    faces", "spool: GG\n    faces", "GG"),
    (DIBBLE, "clocking: 0 deg", "clocking: 360 deg", "360 deg"),
    (DIBBLE, "blades: 26", "blades: 260", "260"),
    (QUERN, "blades: 31", "blades: 13", "13"),
    (QUERN, "    turned-by: hand", "", "id: LP"),
    (QUERN, "[24, 35, 47]", "[24, 47]", "external"),
    (QUERN, "40 lbf.ft", "400 lbf.ft", "400 lbf.ft"),
    (BILLHOOK, "internal: [17, 50]", "external: [17, 50]", "external"),
    (BILLHOOK, "internal: [17, 50]", "internal: [50, 17]", "50, 17"),
    (COULTER, "drives: ccw", "drives: cw", "cw"),
    (COULTER, "blade: 13", "blade: 31", "31"),
    (COULTER, "blade: 13", "blade: 1,", "1"),
    (COULTER, "blade: 32", "blade: 62", "62"),
    (COULTER, "blades: 24", "blades: 12", "12"),
    (COULTER, "blades: 92", "blades: 29", "29"),
    (MATTOCK, "pad: 4.127, rotor: 1", "pad: 1, rotor: 4.127", "{pad: 1"),
    (MATTOCK, "pad: 4.127", "pad: 41.27", "41.27"),
    (MATTOCK, "rotation: {sense: ccw, view: facing-pad}",
     "rotation: {sense: cw, view: facing-pad}", "{sense: cw"),
]


class OneMistake(Folder):
    """Judges the definition of an engine with texts that are replaced, beside its cross-check."""

    def judge(self, engine, *changes, second=()):
        """The errors and warnings, and the lines of the definition."""
        for kind, made in (("engine", changes), ("cross-check", second)):
            name = f"{engine}.{kind}.yaml"
            text = (DEMO / "engines" / name).read_text()
            for old, new in made:
                self.assertIn(old, text)
                text = text.replace(old, new, 1)
            self.put(name, text)
        _, found = findings(self.folder, "-d", DEVICE, f"{engine}.engine.yaml", unproven=True)
        lines = (self.folder / f"{engine}.engine.yaml").read_text().split("\n")
        return [item for item in found if item["severity"] != "note"], lines

    def test_one_mistake_is_one_finding(self):
        for engine, old, new, at in MISTAKES:
            with self.subTest(engine=engine, new=new):
                found, lines = self.judge(engine, (old, new.rstrip(",")))
                self.assertEqual(len(found), 1, found)
                place = lines[found[0]["line"] - 1][found[0]["column"] - 1:]
                self.assertTrue(place.startswith(at), place)

    def test_two_mistakes_are_two_findings(self):
        """The mistakes are in one engine, each in another value; no finding is lost."""
        for engine in (DIBBLE, COULTER):
            of_engine = [row for row in MISTAKES if row[0] == engine]
            for first, other in zip(of_engine, of_engine[3:] + of_engine[:3]):
                changes = [(row[1], row[2].rstrip(",")) for row in (first, other)]
                with self.subTest(engine=engine, changes=changes):
                    found, _ = self.judge(engine, *changes)
                    self.assertGreaterEqual(len(found), 2, found)

    def test_each_of_several_mistakes_takes_what_follows_from_it(self):
        found, _ = self.judge(COULTER, ("blades: 92", "blades: 29"), ("blades: 24", "blades: 12"),
                              ("drives: ccw", "drives: cw"))
        self.assertEqual([item["rule"] for item in found], ["cross-check-disagrees"] * 3)

    def test_a_mistake_that_both_readers_made_keeps_its_finding(self):
        """The second reader's value explains nothing that is wrong with it as well."""
        found, _ = self.judge(DIBBLE, ("planets: 4", "planets: 5"),
                              second=[("planets: 4", "planets: 6")])
        self.assertEqual(sorted(item["rule"] for item in found),
                         ["cross-check-disagrees", "planets-collide"])

    def test_a_mistake_of_the_second_reader_takes_nothing(self):
        """The path is wrong in both files; the second reader's count does not mend it."""
        wrong = ("[32, 57]", "[32, 75]")
        found, _ = self.judge(DIBBLE, wrong, second=[wrong, ("blades: 26", "blades: 62")])
        self.assertEqual(sorted(item["rule"] for item in found),
                         ["cross-check-disagrees", "ratio-disagrees"])

    def test_a_second_value_with_another_mistake_takes_nothing(self):
        """With it the ratio is exchanged, and then nobody asks whether it agrees."""
        found, _ = self.judge(DIBBLE, ("pad: 0.769", "pad: 0.796"),
                              second=[("{pad: 0.769, rotor: 1}", "{pad: 1, rotor: 0.769}")])
        self.assertIn("ratio-disagrees", [item["rule"] for item in found])

    def test_values_that_are_not_exchanged_are_two(self):
        found, _ = self.judge(DIBBLE, ("sun: 24, ring: 96", "sun: 96, ring: 42"))
        self.assertEqual([item["rule"] for item in found], ["cross-check-disagrees"] * 2)

    def test_members_without_a_second_reading(self):
        text = (DEMO / "engines" / "dibble-3.engine.yaml").read_text()
        self.put("dibble-3.engine.yaml", re.sub("sun: 31, ring: 95", "sun: 95, ring: 31", text))
        found = [item for item in findings(self.folder, "dibble-3.engine.yaml")[1]
                 if item["severity"] != "note"]
        self.assertEqual([item["rule"] for item in found], ["ratio-swapped"])
        self.assertIn("exchanged", found[0]["remedy"])


if __name__ == "__main__":
    unittest.main()
