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
            self.assertEqual(finding["remedy"], "Write it with digits only." if "." not in pairs[1]
                             else "Read the number again in its source: it is a whole number.")
            self.assertNotIn("stops", finding["consequence"])

    def test_nothing_between_the_braces(self):
        for pairs in (("turns: {pad: 2.25, rotor: 1}", "turns: {}"),
                      ("{sense: cw, view: facing-pad}", "{}"), ("{id: P1, clock: \"4:00\"}", "{}"),
                      ("{pad: 22.5 +/- 0.1 rev, rotor: 10 rev}", "{}")):
            finding = self.only("missing-key", pairs)
            self.assertRegex(finding["message"], '^"(turns|rotation|counted|port)" has no keys')
            self.assertIn("Write it as {", finding["remedy"])

    def test_a_missing_key_is_named_in_quotes(self):
        finding = self.only("missing-key", (", view: facing-pad}", "}"))
        self.assertEqual(finding["message"], 'this pad rotation has no "view"')

    def test_nothing_between_the_brackets(self):
        for pairs, remedy in (
                (("models: [Hayrake 6, Hayrake 6B]", "models: []"), "or delete the key"),
                (("path: [internal: [20, 60]]", "path: []"), "or delete the key"),
                (("external: [20, 30]", "external: []"), "Write the items")):
            finding = self.only("out-of-range", pairs)
            self.assertIn("is an empty list", finding["message"])
            self.assertIn(remedy, finding["remedy"])

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


class Forms(Slip):
    """What people write in the form of a manual, or of their own."""

    def test_tolerances(self):
        for wrong, meant in (("0.5 +- 0.1 deg", "0.5 +/- 0.1 deg"),
                             ("0.5+-0.1 deg", "0.5+/- 0.1 deg"),
                             ("0.5 deg +/- 0.1 deg", "0.5 +/- 0.1 deg"),
                             ("30 arcmin \u00b1 5 arcmin", "30 +/- 5 arcmin")):
            finding = self.only("bad-number", ("backlash: 0.5 deg", f"backlash: {wrong}"))
            self.assertEqual(finding["remedy"], f"Write {meant}.")
        for wrong in ("30 arcmin +/- 0.1 deg", "0.5 deg +/- 0.1", "0.5 +- deg"):
            finding = self.only("wrong-unit", ("backlash: 0.5 deg", f"backlash: {wrong}"))
            self.assertNotIn("+/-", finding["remedy"])
        finding = self.only("bad-number", ("backlash: 0.5 deg", "backlash: 0.4-0.6 deg"))
        self.assertIn("half its width", finding["remedy"])

    def test_words(self):
        for pairs, remedy in (
                (("rotation: {sense: cw, view: facing-pad}\n    turns",
                  "rotation: {sense: clockwise, view: facing-pad}\n    turns"),
                 "Write cw for clockwise."),
                (("role: fan", "role: HPC"), "Write compressor for HPC."),
                (("faces: aft", "faces: rear"), "Write aft for rear."),
                (("role: fan", "role: nozzle"), "Write one of these words."),
                (("square: 3/8 in\n    torque-limit: 40", "square: 3/8\n    torque-limit: 40"),
                 "Write one of these sizes, with its unit."),
                (("{id: P1, clock: \"4:00\"}", "{id: P1, clock: 4 o'clock}"),
                 "Write it like \"4:30\"."),
                (("port: {id: P1, clock: \"4:00\"}", "port: P1"),
                 "Write it as {id: ..., clock: ...}."),
                (("models: [Hayrake 6, Hayrake 6B]", "models: Hayrake 6, Hayrake 6B"),
                 "Write it in square brackets, with commas between the items."),
                (("external: [20, 30]", "external: 20/30"),
                 "Write it in square brackets, with commas between the items.")):
            self.assertEqual(self.only("wrong-shape", pairs)["remedy"], remedy)

    def test_one_habit(self):
        finding = self.only("bad-number", ("[20, 30]", "[20T, 30T]"))
        self.assertIn("a tooth count takes a whole number, not 20T", finding["message"])
        self.assertEqual(len(finding["related"]), 1)

    def test_a_dash_is_missing(self):
        for pairs in (("  - id: LP\n", "    id: LP\n"), ("  - id: HPC-2\n", "    id: HPC-2\n"),
                      ("  - id: starter\n", "    id: starter\n")):
            finding = self.only("duplicate-key", pairs)
            self.assertIn("write a dash before its id", finding["remedy"])

    def test_kind_by_the_name(self):
        self.put("neighbour.engine.yaml", GOOD.replace("engine-definition: 1\n", ""))
        finding, = findings(self.folder, "neighbour.engine.yaml")[1]
        self.assertEqual(finding["remedy"], "Begin the file with engine-definition: 1.")


class References(Slip):
    """Ids that are not what the others call them."""

    def test_a_part_with_another_name(self):
        """Each list: one finding for all that name the part."""
        for old, new, places in (("  - id: HP\n", "  - id: N2\n", 5),
                                 ("  - id: crank\n", "  - id: handle\n", 1),
                                 ("  - id: HPC-2\n", "  - id: HPC-3\n", 1)):
            finding = self.only("reference-unknown", (old, new))
            self.assertEqual(1 + len(finding["related"]), places)
            if places > 1:
                self.assertIn("Define spool HP", finding["remedy"])

    def test_two_that_are_lost(self):
        self.put("neighbour.engine.yaml", changed(("  - id: HP\n", "  - id: N2\n"),
                                                  ("  - pad: starter", "  - pad: starer")))
        found = findings(self.folder, "neighbour.engine.yaml")[1]
        self.assertEqual([finding["rule"] for finding in found], ["reference-unknown"] * 2)
        self.assertEqual(found[1]["remedy"], "Did you mean starter?")

    def test_an_id_twice(self):
        """Whoever types an id twice has one less, and what names that leads nowhere."""
        self.only("id-taken", ("  - id: starter\n", "  - id: crank\n"))
        self.only("id-taken", ("  - id: HPC-2\n", "  - id: HPC-1\n"))


EPICYCLIC = "{sun: 24, ring: 96, planet: 36, planets: 4, in: carrier, out: sun, held: ring}"
WAIVER = "waive:\n  - {rule: RULE, because: a test, until: 2030-01-31}\nobservations:\n"


class Causes(Slip):
    """What follows from one mistake is a note of its finding."""

    def noted(self, rule, note, *pairs, text=GOOD):
        """The one finding, whose notes say so."""
        finding = self.only(rule, *pairs, text=text)
        notes = [related["message"] for related in finding["related"]]
        self.assertTrue(any(note in said for said in notes), notes)
        return finding

    def test_teeth_and_ratio(self):
        for wrong, said in (("ring: 69", "the ring has 69 teeth"), ("sun: 42", "makes 114")):
            epicyclic = EPICYCLIC.replace(wrong.split(":")[0] + ": " + (
                "96" if "ring" in wrong else "24"), wrong)
            self.noted("observation-disagrees", said, (EPICYCLIC, epicyclic))
        stated = changed(("    path:\n      - epicyclic", "    turns: {pad: 3.000, rotor: 1}\n"
                          "    path:\n      - epicyclic"))
        self.noted("ratio-disagrees", "the ring has 69 teeth",
                   (EPICYCLIC, EPICYCLIC.replace("ring: 96", "ring: 69")), text=stated)
        self.noted("ratio-disagrees", "a gear of 300 teeth", ("[20, 30]", "[20, 300]"))
        self.noted("ratio-disagrees", "a gear of 2 teeth", ("[20, 30]", "[2, 30]"))
        self.noted("observation-disagrees", "ring and gear differ by 6 teeth",
                   ("[18, 54]", "[48, 54]"))

    def test_numbers_of_both(self):
        finding = self.only("ratio-disagrees", ("[20, 30]", "[20, 300]"))
        self.assertLessEqual({"stated_least", "path", "teeth"}, set(finding["numbers"]))

    def test_path_and_sense(self):
        """Wrong members, and a mesh that is missing or written twice, change ratio and sense."""
        members = EPICYCLIC.replace("in: carrier, out: sun, held: ring",
                                    "in: ring, out: sun, held: carrier")
        for note, pairs in (
                ("the observation counted", (EPICYCLIC, members)),
                ("turns states 2.25", ("      - external: [20, 30]\n", "")),
                ("turns states 2.25", ("      - external: [20, 30]\n",
                                       "      - external: [20, 30]\n" * 2)),
                ("the observation counted", ("      - external: [16, 80]\n", ""))):
            finding = self.noted("sense-disagrees", note, pairs)
            self.assertIn("mesh by mesh", finding["remedy"])
        self.noted("backs-off-axis", "turns states 2.25",
                   ("{teeth: [30, 20], backs: [aft, up]}", "{teeth: [20, 30], backs: [up, aft]}"))

    def test_two_observations(self):
        more = changed(("  - pad: starter\n", "  - pad: starter\n"
                        "    counted: {pad: 15.0 +/- 0.1 rev, rotor: 5 rev}\n  - pad: starter\n"))
        self.noted("observation-disagrees", "the observation counted", ("[16, 80]", "[18, 80]"),
                   text=more)

    def test_blades(self):
        loose = changed(("backlash: 0.5 deg", "backlash: 0.9 deg"),
                        ("backlash: 0.6 deg", "backlash: 1.3 deg"))
        self.noted("backlash-large", "250 blades; 8 to 200 are usual",
                   ("blades: 60", "blades: 250"), text=loose)
        self.put("neighbour.engine.yaml", changed(("blades: 60", "blades: 620")))
        self.assertEqual([rule for rule, severity in self.found(*DEVICE, "neighbour.engine.yaml")
                          if severity != "note"], ["too-many"])

    def test_a_sense_alone_takes_no_teeth(self):
        self.put("neighbour.engine.yaml", changed(
            ("planet: 36", "planet: 35"),
            ("faces: forward\n    rotation: {sense: cw",
             "faces: forward\n    rotation: {sense: ccw"),
            ("drives: cw\n", "drives: both\n")))
        found = {rule for rule, _ in self.found("neighbour.engine.yaml")}
        self.assertEqual(found, {"sense-disagrees", "ring-sum"})

    def test_the_wrong_pad(self):
        """An observation that names another pad, whose own is then missing."""
        self.put("rotortab.policy.yaml", "policy: 1\nrules: {observation-missing: warning}\n")
        finding = self.noted("observation-disagrees", "no observation has counted",
                             ("  - pad: starter\n", "  - pad: crank\n"))
        self.assertIn("Pad starter agrees with it", finding["remedy"])

    def test_hand_and_no_speed(self):
        self.noted("hand-and-pad", "has no max-speed",
                   ("    max-speed: 90 deg/min\n", "    turned-by: hand\n"))

    def test_a_second_document(self):
        """What is cut off by it is not missed."""
        for key in ("stages:", "pads:", "observations:"):
            self.only("many-documents", (f"\n{key}", f"\n---\n{key}"))

    def test_nothing_is_taken_by_what_weighs_less(self):
        """A finding that is waived, or lowered by the policy, takes nothing and is not taken."""
        wrong = changed(("[20, 30]", "[20, 300]"))
        both = {"ratio-disagrees", "teeth-many"}
        for rule in both:
            self.put("neighbour.engine.yaml", changed(
                ("observations:\n", WAIVER.replace("RULE", rule)), text=wrong))
            self.assertEqual({name for name, _ in self.found("neighbour.engine.yaml")}, both)
        self.put("neighbour.engine.yaml", wrong)
        self.put("rotortab.policy.yaml", "policy: 1\nrules: {ratio-disagrees: note}\n")
        self.assertEqual({name for name, _ in self.found("neighbour.engine.yaml")}, both)


if __name__ == "__main__":
    unittest.main()
