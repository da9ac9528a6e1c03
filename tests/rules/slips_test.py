"""One mistake gives one finding, and the finding says what is true of it."""

import unittest

from checking import GOOD, Folder, changed, findings

DEVICE = ("--device", "plain.device.yaml")


class Slip(Folder):
    """The clean definition with one mistake in it."""

    def only(self, rule, *pairs, text=GOOD):
        """The one finding, alone and on a device."""
        self.put("neighbour.engine.yaml", changed(*pairs, text=text))
        for device in ((), DEVICE):
            found = [finding for finding in findings(self.folder, *device,
                                                     "neighbour.engine.yaml")[1]
                     if finding["severity"] != "note"]
            self.assertEqual([finding["rule"] for finding in found], [rule], (pairs, found))
        return found[0]


class Words(Slip):
    """What is said of a value that was not read."""

    def test_id_of_a_part(self):
        for pairs in (("{id: P1,", "{id: P_1,"), ("- id: HPT-1", "- id: HPT_1"),
                      ("- id: crank", "- id: crank pad")):
            finding = self.only("id-malformed", pairs)
            self.assertNotIn("engine", finding["consequence"])
            self.assertNotIn("lower", finding["remedy"])

    def test_id_of_the_file(self):
        finding = self.only("id-malformed", ("id: neighbour", "id: Neighbour 6"))
        self.assertIn("lower-case", finding["remedy"])

    def test_whole_numbers(self):
        for pairs in (("blades: 60", "blades: 6O"), ("revision: 2", "revision: 2.0"),
                      ("revision: 2", "revision: B"), ("blades: 60", "blades: sixty"),
                      ("[20, 30]", "[2O, 30]"), ("sun: 24", "sun: 24.5"),
                      ("after: 40", "after: 4O")):
            finding = self.only("bad-number", pairs)
            self.assertIn("takes a whole number", finding["message"])
            self.assertEqual(finding["remedy"], "Write it with digits only.")
            self.assertNotIn("stops", finding["consequence"])

    def test_nothing_between_the_braces(self):
        for pairs in (("turns: {pad: 2.25, rotor: 1}", "turns: {}"),
                      ("{sense: cw, view: facing-pad}", "{}"), ("{id: P1, clock: \"4:00\"}", "{}"),
                      ("{pad: 22.5 +/- 0.1 rev, rotor: 10 rev}", "{}")):
            finding = self.only("missing-key", pairs)
            self.assertIn("has no keys", finding["message"])
            self.assertIn("Write it as {", finding["remedy"])

    def test_nothing_in_the_file(self):
        for text, said in (("", "the file is empty"), ("# later\n", "the file has no keys"),
                           ("{}\n", "the file has no keys"), ("[]\n", "keys and values")):
            self.put("neighbour.engine.yaml", text)
            finding, = findings(self.folder, "neighbour.engine.yaml")[1]
            self.assertEqual(finding["rule"], "unknown-kind")
            self.assertIn(said, finding["message"])
            self.assertNotIn("map", finding["message"])

    def test_one_turn(self):
        finding = self.only("observation-disagrees",
                            ("    seen: {pad: cw",
                             "    passed: {stage: HPC-1, blades: 31, rotor: 1 rev}\n"
                             "    seen: {pad: cw"))
        self.assertIn("31 blades of HPC-1 in 1 rotor turn make 31 a turn", finding["message"])

    def test_torque_without_a_source(self):
        finding = self.only("torque-above-square", ("torque-limit: 40 lbf.ft",
                                                    "torque-limit: 400 lbf.ft"))
        self.assertIn("common practice, no source", finding["message"])
        self.assertNotIn("memory", finding["message"])


class Commas(Slip):
    """A comma where a point or quotes belong."""

    def test_decimal(self):
        for pairs, meant in (
                (("pad: 2.25,", "pad: 2,25,"), "2.25"),
                (("{pad: 22.5 +/- 0.1 rev,", "{pad: 22,5 +/- 0,1 rev,"), "22.5 +/- 0.1 rev"),
                (("rotor: 10 rev}\n    returned", "rotor: 10,0 rev}\n    returned"), "10.0 rev"),
                (("pad: 2.25 +/- 0.02 rev}", "pad: 2,25 +/- 0.02 rev}"), "2.25 +/- 0.02 rev"),
                (("pad: 2.25 +/- 0.02 rev}", "pad: 2.25 +/- 0,020 rev}"), "2.25 +/- 0.020 rev"),
                (("clocking: 12.5 deg", "clocking: 12,5 deg"), "12.5 deg"),
                (("clocking: 12.5 deg", "clocking: \"12,5 deg\""), "12.5 deg"),
                (("backlash: 0.5 deg", "backlash: 0,500 deg"), "0.500 deg"),
                (("torque-limit: 40 lbf.ft", "torque-limit: 40,5 +/- 1,25 lbf.ft"),
                 "40.5 +/- 1.25 lbf.ft")):
            finding = self.only("bad-number", pairs)
            self.assertIn("comma", finding["message"])
            self.assertEqual(finding["remedy"], f"Write {meant}.")

    def test_thousands_or_decimal(self):
        """No number is offered where it could be a thousand times too small."""
        for pairs in (("clocking: 12.5 deg", "clocking: 12,500 deg"),
                      ("torque-limit: 40 lbf.ft", "torque-limit: 1,040 lbf.in"),
                      ("pad: 2.25,", "pad: 2,250,"), ("pad: 2.25,", "pad: 10,250,"),
                      ("torque-limit: 40 lbf.ft", "torque-limit: 1,040,5 lbf.in")):
            finding = self.only("bad-number", pairs)
            self.assertIn("thousands without a comma", finding["remedy"])

    def test_whole_number(self):
        for pairs in (("after: 40,", "after: 4,0,"), ("sun: 24,", "sun: 24,0,")):
            self.assertIn("digits only", self.only("bad-number", pairs)["remedy"])

    def test_text(self):
        for note in ("chalk, red", "chalk, red, wet", "chalk,red"):
            finding = self.only("unknown-key", (
                "observations:\n", "observations:\n  - {pad: crank, seen: {pad: cw, rotor: cw}, "
                f"note: {note}}}\n"))
            self.assertEqual(finding["remedy"], "Put the whole text in quotes.")
        finding = self.only("unknown-key", (
            "observations:\n", "observations:\n  - {pad: crank, seen: {pad: cw, rotor: cw}, "
            "note: chalk, colour: red}\n"))
        self.assertNotIn("quotes", finding["remedy"])


if __name__ == "__main__":
    unittest.main()
