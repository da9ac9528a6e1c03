"""Tables against tables, and tables against sources."""

import unittest

from definitions import DEVICE, HARROW, TERN, Folder, edited, layout

RAISED = ("revision: 4", "revision: 5")


class Tables(Folder):
    """Both sides as a device would read them."""

    def both(self, *edits, more=(), device=None):
        """The tables of harrow-20 and of what it becomes, each with tern-5 beside it."""
        old, new = self.two(HARROW, edited(HARROW, RAISED, *edits))
        tern = self.write("tern-5.engine.yaml", TERN)
        return (self.table("a.rotor", old, tern),
                self.table("b.rotor", new, tern, *more, device=device or DEVICE))

    def test_same(self):
        old, _ = self.two(HARROW, HARROW)
        self.table("a.rotor", old)
        self.table("b.rotor", old)
        self.assertEqual(self.compare("a.rotor", "b.rotor", status=0),
                         ["no difference: 1 engine: 1 the same"])

    def test_signed_since(self):
        old, _ = self.two(HARROW, HARROW)
        table = (self.folder / self.table("a.rotor", old)).read_bytes()
        self.write("b.rotor", layout.signed(table))
        self.assertEqual(self.compare("a.rotor", "b.rotor")[:2], [
            "table: text",
            "  both tables hold the same values in other bytes: one is signed, or another "
            "version wrote it"])

    def test_blades_and_limits(self):
        lines = self.compare(*self.both(("blades: 68", "blades: 67"), ("40 lbf.ft", "45 lbf.ft")))
        self.assertEqual(lines, [
            "harrow-20: stops",
            "  HPC-3: 68 -> 67 blades: every stop moves, at most 5.3 deg of rotor",
            "  crank: torque limit at the device 40 lbf.ft -> 45 lbf.ft, rises",
            "  revision 4 -> 5",
            "2 engines: 1 changed, 1 the same; the worst is stops"])

    def test_ratio(self):
        lines = self.compare(*self.both(("[19, 37]", "[19, 38]")))
        self.assertIn("  crank: 2.25215 -> 2.31302 pad turns per rotor turn: every stop moves, "
                      "by up to 9.8 deg of rotor a turn", lines)
        self.assertFalse(any("from blade to blade" in line for line in lines), lines)

    def test_rounded_ratio(self):
        lines = self.compare(*self.both(("0.5655", "0.5657")))
        self.assertIn("  starter: 0.5655 -> 0.5657 pad turns per rotor turn: every stop moves, "
                      "by up to 0.2 deg of rotor a turn", lines)

    def test_certainty_and_recheck(self):
        lines = self.compare(*self.both(("0.5655", "0.56550")))
        self.assertIn("  starter: uncertainty of the stops, in each rotor turn, 0.03183 deg -> "
                      "0.00318 deg of rotor", lines)
        self.assertTrue(any(line.startswith("  starter: find blade one again after ")
                            for line in lines), lines)

    def test_senses(self):
        lines = self.compare(*self.both(
            ("  - id: starter\n    spool: HP\n    rotation: {sense: ccw",
             "  - id: starter\n    spool: HP\n    rotation: {sense: cw"),
            ("{pad: ccw, rotor: cw}", "{pad: cw, rotor: cw}"), ("drives: ccw", "drives: cw")))
        self.assertIn("  starter: turns ccw -> cw, facing the pad, "
                      "when HP turns in its normal direction: "
                      "every move goes in the opposite direction", lines)
        self.assertIn("  starter: drives ccw -> cw, facing the pad: every move goes in that "
                      "direction", lines)
        self.assertFalse(any("device and pad turn" in line for line in lines), lines)

    def test_adapters_idler(self):
        lines = self.compare(*self.both(("[20, 30]", "[20, 25, 30]")))
        self.assertIn("  starter: device and pad turn opposite ways -> the same way: every move "
                      "goes in the opposite direction", lines)

    def test_backlash(self):
        lines = self.compare(*self.both(("1.2 +/- 0 deg", "2 +/- 0 deg")))
        self.assertIn("  crank: backlash at the device 540 -> 900 counts", lines)
        lines = self.compare(*self.both(("    backlash: 1.2 +/- 0 deg\n", "")))
        self.assertIn(
            "  crank: backlash at the device 540 -> not known counts: it never turns back", lines)

    def test_rotor_speed_shows_at_the_device(self):
        lines = self.compare(*self.both(("120 deg/min", "150 deg/min")))
        self.assertIn("  crank: speed limit at the device 270.2 deg/min -> 337.8 deg/min, rises",
                      lines)

    def test_ports_clocking_and_blade_one(self):
        lines = self.compare(*self.both(('"4:30"', '"5:00"'), ("12.5 deg", "13 deg"),
                                        ("two locking lugs", "file mark")))
        self.assertIn("  HPC-1: port P3 at 4:30 -> 5:00: the probe enters 15 deg of rotor away "
                      "from its earlier place", lines)
        self.assertIn("  HPC-1: clocking 12.5 deg -> 13 deg: blade one found from another "
                      "stage moves by 0.5 deg of rotor", lines)
        self.assertTrue(any("make sure that it is the same blade" in line for line in lines), lines)

    def test_gears_of_one_ratio(self):
        report = self.report(*self.both(("[27, 33, 44]", "[27, 30, 44]")))
        self.assertEqual([(c["class"], c["field"], c["before"], c["after"])
                          for c in report["engines"][0]["changes"]], [
            ("limits", "gears[1].second_teeth", "33", "30"),
            ("limits", "gears[2].first_teeth", "33", "30"), ("text", "revision", "4", "5")])

    def test_more_gears(self):
        lines = self.compare(*self.both(("[27, 33, 44]", "[27, 44]"),
                                        ("sense: ccw, view: facing-pad}\n    path",
                                         "sense: cw, view: facing-pad}\n    path")))
        self.assertIn("  crank: gears external 27 33, external 33 44, bevel 31 22 aft up, bevel 19 "
                      "37 down aft -> external 27 44, bevel 31 22 aft up, bevel 19 37 down aft",
                      lines)

    def test_engines_and_designations(self):
        kite = self.write("kite-1.engine.yaml", edited(TERN, ("tern-5", "kite-1"),
                                                       ("[Tern 5]", "[Kite]"),
                                                       ("blades: 25", "blades: 26")))
        report = self.report(*self.both((", Harrow 20A]", "]"), more=(kite,)))
        self.assertEqual([(e["id"], e["fate"]) for e in report["engines"]],
                         [("harrow-20", "changed"), ("kite-1", "added")])
        self.assertEqual(report["engines"][0]["changes"][0]["message"],
                         "designation Harrow 20A is removed: under it the device now finds "
                         "nothing")

    def test_comment_alone(self):
        old, new = self.two(HARROW, "# Seen again.\n" + HARROW)
        report = self.report(self.table("a.rotor", old), self.table("b.rotor", new))
        self.assertEqual(report["class"], "text")

    def test_revision_kept_names_the_table(self):
        old, new = self.two(HARROW, edited(HARROW, ("blades: 68", "blades: 67")))
        found, = self.report(self.table("a.rotor", old), self.table("b.rotor", new))["findings"]
        self.assertEqual((found["rule"], found["file"], "line" in found),
                         ("revision-kept", "b.rotor", False))

    def test_device_with_other_counts(self):
        lines = self.compare(*self.both(device=edited(DEVICE, ("turn: 2000", "turn: 4000"),
                                                      ("id: bench-9", "id: bench-10"))))
        self.assertEqual(lines[0], "table: stops")
        self.assertIn("  device 162000 -> 324000 counts per turn of its shaft: every stop has "
                      "another count", lines)
        self.assertIn("  made for the device bench-9 -> bench-10", lines)

    def test_device_that_repeats_whole_steps(self):
        tern = self.write("tern-5.engine.yaml", TERN)
        self.table("a.rotor", tern)
        self.table("b.rotor", tern, device=edited(DEVICE, ("scheduled", "fixed"),
                                                  ("turn: 2000", "turn: 2000")))
        lines = self.compare("a.rotor", "b.rotor")
        self.assertIn("  the device's stepping scheduled -> fixed", lines)

    def test_whole_steps_for_exact_ones(self):
        tern = self.write("tern-5.engine.yaml", edited(TERN, ("blades: 25", "blades: 41")))
        self.table("a.rotor", tern)
        self.table("b.rotor", tern, device=edited(DEVICE, ("scheduled", "fixed")))
        lines = self.compare("a.rotor", "b.rotor")
        self.assertFalse(any("revision-kept" in line for line in lines), lines)
        # K = 162000 * 2: 324000/41 = 7902.43902; a turn of 41 * 7902 leaves 18 counts over.
        self.assertIn("  C-1: 7902.43902 -> 7902 counts from blade to blade through nose: the "
                      "stops move, by up to 0.1 deg of rotor a turn", lines)
        report = self.report("a.rotor", "b.rotor")
        step = next(c for c in report["engines"][0]["changes"] if c["field"] == "step")
        self.assertEqual((step["before"], step["after"], step["degrees_at_most"],
                          step["each_turn"]), ("324000/41", "7902", "1/50", True))

    def test_device_whose_count_rises_the_other_way(self):
        lines = self.compare(*self.both(device=edited(DEVICE, ("positive: cw", "positive: ccw"))))
        self.assertIn("  the device's count rises with cw -> ccw, facing the pad", lines)
        self.assertFalse(any("device and pad turn" in line for line in lines), lines)

    def test_profile_alone(self):
        report = self.report(*self.both(device=edited(DEVICE, ("engines: 200", "engines: 100"))))
        self.assertEqual([(c["class"], c["field"]) for c in report["table"]], [("text", "profile")])


class Sources(Folder):
    """A table on one side and its sources on the other."""

    def setUp(self):
        super().setUp()
        old, self.new = self.two(HARROW, edited(HARROW, RAISED, ("blades: 68", "blades: 67")))
        self.old = self.table("a.rotor", old)
        self.sources = old

    def test_same(self):
        self.compare("-d", "a.rotor.profile/bench-9.device.yaml", self.old, self.sources, status=0)
        self.compare("-d", "a.rotor.profile/bench-9.device.yaml", "a", self.old, status=0)

    def test_changed(self):
        for lines in (self.compare("-d", "a.rotor.profile/bench-9.device.yaml", self.old, self.new),
                      self.compare("-d", "a.rotor.profile/bench-9.device.yaml", self.old, "b")):
            self.assertEqual(lines[:2], [
                "harrow-20: stops",
                "  HPC-3: 68 -> 67 blades: every stop moves, at most 5.3 deg of rotor"])

    def test_needs_a_device(self):
        status, out, err = self.run_program("compare", self.old, self.new)
        self.assertEqual((status, out), (2, ""))
        self.assertIn("compare needs --device FILE", err)

    def test_sources_that_make_no_table(self):
        self.write("b/harrow-20.engine.yaml", edited(HARROW, ("    torque-limit: 40 lbf.ft\n", "")))
        status, out, err = self.run_program("compare", "-d", "a.rotor.profile/bench-9.device.yaml",
                                            self.old, "b")
        self.assertEqual((status, out), (2, ""))
        self.assertIn("[torque-missing]", err)

    def refused(self, *arguments):
        """What is said where nothing can be compared: the same whichever side comes first."""
        *options, a, b = arguments
        said = []
        for pair in ((a, b), (b, a)):
            status, out, err = self.run_program("compare", *options, *pair)
            self.assertEqual((status, out), (2, ""), err)
            said.append(err)
        self.assertEqual(*said)
        return said[0]

    def test_a_table_beside_what_is_none(self):
        """It is said what is the matter, as show and verify say it, not that a device is missing.

        Status 1 is a difference here, so a table that is refused is 2.
        """
        table = (self.folder / self.old).read_bytes()
        damaged = bytearray(table)
        damaged[-20] ^= 1
        refused = {"empty.rotor": b"", "cut.rotor": table[:10], "damaged.rotor": bytes(damaged),
                   "beginning.rotor": b"\0" * 8 + table[8:], "notes": b"lunch: [soup]\n"}
        for name, data in refused.items():
            self.write(name, data)
            status, _, shown = self.run_program("show", name)
            self.assertEqual(status, 1)
            self.assertEqual(self.refused(self.old, name), shown)
            self.assertEqual(self.refused("-d", "a.rotor.profile/bench-9.device.yaml", self.old,
                                          name), shown)
        self.assertEqual(self.refused(self.old, "nowhere.yaml"),
                         "rotortab: cannot read nowhere.yaml: No such file or directory\n")
        status, _, err = self.run_program("compare", "damaged.rotor", "nowhere")
        self.assertEqual((status, err),
                         (2, self.run_program("show", "damaged.rotor")[2] +
                          "rotortab: cannot read nowhere: No such file or directory\n"))

    def test_sources_of_any_name_need_a_device_beside_a_table(self):
        for name in ("harrow", "harrow.yaml"):
            self.write(name, HARROW if name == "harrow" else "")
            self.assertIn("compare needs --device FILE", self.refused(self.old, name))
        self.assertIn("compare needs --device FILE", self.refused(self.old, "a"))

    def test_a_device_that_cannot_be_read_is_said_once(self):
        said = "rotortab: cannot read nowhere.yaml: No such file or directory\n"
        for pair in ((self.old, self.old), (self.old, self.sources), (self.sources, self.new)):
            self.assertEqual(self.refused("-d", "nowhere.yaml", *pair), said)
        self.write("broken.device.yaml", "device-profile: 1\n: {\n")
        self.assertEqual(self.refused("-d", "broken.device.yaml", self.sources, self.new).count(
            "broken.device.yaml:2:"), 1)

    def test_drafts_stay_out_of_a_table_unless_wanted(self):
        self.write("b/harrow-20.engine.yaml", edited(HARROW, RAISED))
        self.write("b/tern-5.engine.yaml", edited(TERN, ("released", "draft")))
        arguments = ("-d", "a.rotor.profile/bench-9.device.yaml", self.old, "b")
        self.assertEqual([e["id"] for e in self.report(*arguments)["engines"]], ["harrow-20"])
        self.assertEqual([e["id"] for e in self.report("--drafts", *arguments)["engines"]],
                         ["tern-5", "harrow-20"])


    def test_a_draft_in_a_table_is_found_like_any_other(self):
        text = (self.folder / self.new).read_text("utf-8")
        draft = self.write("c/harrow-20.engine.yaml", edited(text, ("released", "draft")))
        released = self.table("b.rotor", self.new)
        self.assertEqual(
            self.compare("--drafts", "-d", "a.rotor.profile/bench-9.device.yaml", released,
                         draft),
            ["harrow-20: text", "  status released -> draft",
             "1 engine: 1 changed; the worst is text"])


class OnDevice(Folder):
    """Definitions, with what they become on a device."""

    def test_limits_at_the_device(self):
        self.write("bench-9.device.yaml", DEVICE)
        a, b = self.two(HARROW, edited(HARROW, RAISED, ("40 lbf.ft", "45.3 lbf.ft"),
                                       ("0.5655", "0.56550")))
        lines = self.compare("-d", "bench-9.device.yaml", a, b)
        self.assertIn("  crank: torque limit 40 lbf.ft -> 45.3 lbf.ft, rises", lines)
        self.assertIn("  crank: torque limit at the device 40 lbf.ft -> 45 lbf.ft, rises", lines)
        self.assertTrue(any("find blade one again" in line for line in lines), lines)


if __name__ == "__main__":
    unittest.main()
