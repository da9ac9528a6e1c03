"""Every kind of change to a definition: its sentence, its class and the exit status."""

import unittest

from definitions import HARROW, TERN, Folder, edited

RAISED = ("revision: 4", "revision: 5")
FEWER = ("blades: 68", "blades: 67")
OBSERVATION_GONE = ("observations:\n  - pad: starter\n    seen: {pad: ccw, rotor: cw}\n", "")

# name: (edits, class, sentence); the revision is raised beside them.
CHANGES = {
    "fewer blades": (
        [("blades: 68", "blades: 67")], "stops",
        "HPC-3: 68 -> 67 blades: every stop moves, at most 5.3 deg of rotor"),
    "more blades": (
        [("blades: 31", "blades: 32")], "stops",
        "HPC-1: 31 -> 32 blades: every stop moves, at most 11.3 deg of rotor"),
    "blades of a spool turned by hand": (
        [("blades: 22", "blades: 24")], "stops",
        "FAN: 22 -> 24 blades: the inspector turns LP by hand and counts another number; issue "
        "a new setup sheet"),
    "before turning": (
        [("source: Invented\n", "source: Invented\nbefore-turning: [Wait an hour]\n")], "limits",
        "before-turning none -> [Wait an hour]"),
    "before turning a pad": (
        [("    backlash: 1.2 +/- 0 deg\n",
          "    backlash: 1.2 +/- 0 deg\n    before-turning: [Cover off]\n")], "limits",
        "crank: before-turning none -> [Cover off]"),
    "note of a stage": (
        [("68, numbering: with-rotation", "68, numbering: with-rotation, note: blisk")], "text",
        "HPC-3: note none -> blisk"),
    "numbering": (
        [("68, numbering: with", "68, numbering: against")], "stops",
        "HPC-3: blade numbers grow with the rotation -> against the rotation: the blades pass "
        "the port in the opposite order, and each number except one is now another blade"),
    "stage on another spool": (
        [("HPC-3, spool: HP", "HPC-3, spool: LP")], "stops",
        "HPC-3: on spool HP -> LP: another pad turns it, and every stop moves"),
    "role": (
        [("HPC-3, spool: HP, role: compressor", "HPC-3, spool: HP, role: turbine")], "text",
        "HPC-3: role compressor -> turbine"),
    "clocking": (
        [("12.5 deg", "13 deg")], "stops",
        "HPC-1: clocking 12.5 deg -> 13 deg: blade one found from another stage moves by "
        "0.5 deg of rotor"),
    "clocking the shorter way round": (
        [("12.5 deg", "350 deg")], "stops",
        "HPC-1: clocking 12.5 deg -> 350 deg: blade one found from another stage moves by "
        "22.5 deg of rotor"),
    "clocking gone": (
        [("    clocking: 12.5 deg\n", "")], "limits",
        "HPC-1: clocking 12.5 deg -> none: blade one can no longer be found from another stage"),
    "clocking added": (
        [("68, numbering: with-rotation", "68, numbering: with-rotation, clocking: 3/2 deg")],
        "limits",
        "HPC-3: clocking none -> 1.5 deg: blade one can now be found from another stage"),
    "port moved": (
        [('"4:30"', '"5:00"')], "stops",
        "HPC-1: port P3 at 4:30 -> 5:00: the probe enters 15 deg of rotor away from its "
        "earlier place"),
    "port gone": (
        [('      - {id: P4, clock: "9:00"}\n', "")], "limits", "HPC-1: port P4 at 9:00 is removed"),
    "port added": (
        [('clock: "9:00"}\n', 'clock: "9:00"}\n      - {id: P5, clock: "12:15"}\n')], "limits",
        "HPC-1: port P5 at 12:15 is added"),
    "blade one": (
        [("two locking lugs", "file mark")], "limits",
        'HPC-1: blade one is marked by "two locking lugs" -> "file mark": make sure that it is '
        "the same blade"),
    "blade one no longer described": (
        [("    blade-one: two locking lugs\n", "")], "limits",
        'HPC-1: blade one is marked by "two locking lugs" -> nothing: make sure that it is '
        "the same blade"),
    "known blade": (
        [("two locking lugs\n", "two locking lugs\n    known-blades: [{blade: 17, how: slot}]\n")],
        "limits", 'HPC-1: blade 17 is now known by "slot": the count can be found again there'),
    "stage added": (
        [("pads:", "  - {id: HPT-1, spool: HP, role: turbine, blades: 61, numbering: "
          "with-rotation}\npads:")], "stops",
        "HPT-1: added: 61 blades on HP"),
    "stage gone": (
        [("  - {id: HPC-3, spool: HP, role: compressor, blades: 68, numbering: with-rotation}\n",
          "")], "stops",
        "HPC-3: removed: the device can no longer stop at its blades"),
    "stage renamed": ([("id: HPC-3", "id: HPC-4")], "stops", "HPC-4: renamed, was HPC-3"),
    "stage replaced": (
        [("id: HPC-3", "id: HPC-4"), ("blades: 68", "blades: 67")], "stops",
        "HPC-4: added: 67 blades on HP"),
    "pad replaced": (
        [("id: crank", "id: hand-crank"), ("[19, 37]", "[19, 38]")], "stops",
        "hand-crank: added: it turns HP"),
    "pad on another spool": (
        [("  - id: starter\n    spool: HP", "  - id: starter\n    spool: LP"),
         ("HPC-3, spool: HP", "HPC-3, spool: LP"),
         ("    turned-by: hand\n", "    max-speed: 1 rpm\n")], "stops",
        "starter: turns spool HP -> LP"),
    "gears": (
        [("[19, 37]", "[19, 38]")], "stops",
        "crank: 2.25215 -> 2.31302 pad turns per rotor turn: every stop moves, by up to 9.8 deg of "
        "rotor a turn"),
    "stated ratio": (
        [("0.5655", "0.5656")], "stops",
        "starter: 0.5655 -> 0.5656 pad turns per rotor turn: every stop moves, by up to 0.1 deg of "
        "rotor a turn"),
    "ratio better known": (
        [("0.5655", "0.56550")], "limits",
        "starter: uncertainty of the stops, in each rotor turn, 0.03183 deg -> 0.00318 deg "
        "of rotor"),
    "idler": (
        [("[27, 33, 44]", "[27, 30, 44]")], "limits",
        "crank: path[1].external[2] 33 -> 30"),
    "more gears": (
        [("[27, 33, 44]", "[27, 33, 30, 44]"), ("sense: ccw, view: facing-pad}\n    path",
                                                "sense: cw, view: facing-pad}\n    path")], "stops",
        "crank: path - external: [27, 33, 44] - bevel: {teeth: [31, 22], backs: [aft, up]} - "
        "bevel: {teeth: [19, 37], backs: [down, aft]} -> - external: [27, 33, 30, 44] - bevel: "
        "{teeth: [31, 22], backs: [aft, up]} - bevel: {teeth: [19, 37], backs: [down, aft]}"),
    "sense": (
        [("  - id: starter\n    spool: HP\n    rotation: {sense: ccw",
          "  - id: starter\n    spool: HP\n    rotation: {sense: cw"),
         ("{pad: ccw, rotor: cw}", "{pad: cw, rotor: cw}"), ("drives: ccw", "drives: cw")],
        "stops",
        "starter: turns ccw -> cw, facing the pad, when HP turns in its normal direction: "
        "every move "
        "goes in the opposite direction"),
    "drives both": (
        [("drives: ccw", "drives: both")], "limits",
        "starter: drives ccw -> both, facing the pad: a move may go either way"),
    "drives one way": (
        [("    torque-limit: 40", "    drives: ccw\n    torque-limit: 40")], "limits",
        "crank: drives both -> ccw, facing the pad: every move goes in that direction"),
    "faces": (
        [("  - id: starter\n", "  - id: starter\n    faces: left\n")], "text",
        "starter: faces not known -> left"),
    "torque rises": (
        [("40 lbf.ft", "45 lbf.ft")], "limits",
        "crank: torque limit 40 lbf.ft -> 45 lbf.ft, rises"),
    "torque falls": (
        [("40 lbf.ft", "39.5 lbf.ft")], "limits",
        "crank: torque limit 40 lbf.ft -> 39.5 lbf.ft"),
    "torque in another unit": (
        [("40 lbf.ft", "55 N.m")], "limits",
        "crank: torque limit 40 lbf.ft -> 55 N.m, rises"),
    "torque too near for five decimals": (
        [("40 lbf.ft", "40.0000001 lbf.ft")], "limits",
        "crank: torque limit 40 lbf.ft -> 40.0000001 lbf.ft, rises"),
    "backlash": (
        [("1.2 +/- 0 deg", "2 +/- 0 deg")], "limits",
        "crank: backlash at most 1.2 deg -> 2 deg: a move back overshoots by more"),
    "less backlash": (
        [("1.2 +/- 0 deg", "60 +/- 0 arcmin")], "limits",
        "crank: backlash at most 1.2 deg -> 1 deg: a move back overshoots by less"),
    "backlash no longer known": (
        [("    backlash: 1.2 +/- 0 deg\n", "")], "limits",
        "crank: backlash at most 1.2 deg -> not known"),
    "square": (
        [("    square: 3/8 in\n    torque-limit: 40", "    square: 1/2 in\n    torque-limit: 40")],
        "limits", "crank: driving square 3/8 in -> 1/2 in: another drive is needed"),
    "adapter's gears": (
        [("[20, 30]", "[20, 40]")], "stops",
        "starter: adapter 1.5 -> 2 device turns per pad turn: every stop moves, by up to 120 deg "
        "of rotor a turn"),
    "adapter's gears written otherwise": (
        [("[20, 30]", "[22, 33]")], "limits",
        "starter: adapter.path[1].external[1] 20 -> 22"),
    "adapter's idler": (
        [("[20, 30]", "[20, 25, 30]")], "stops",
        "starter: device and pad turn opposite ways -> the same way: every move goes in the "
        "opposite direction"),
    "adapter's torque": (
        [("10 lbf.ft", "12 lbf.ft")], "limits",
        "starter: torque limit of the adapter 10 lbf.ft -> 12 lbf.ft, rises"),
    "adapter's backlash": (
        [("0.2 +/- 0", "0.3 +/- 0")], "limits",
        "starter: backlash of the adapter at most 0.2 deg -> 0.3 deg: a move back overshoots by "
        "more"),
    "adapter's square": (
        [("      square: 3/8 in", "      square: 1/2 in")], "limits",
        "starter: driving square of the adapter 3/8 in -> 1/2 in: another drive is needed"),
    "adapter gone": (
        [("    adapter:\n      path: [external: [20, 30]]\n      square: 3/8 in\n"
          "      torque-limit: 10 lbf.ft\n      backlash: 0.2 +/- 0 deg\n", "")], "stops",
        "starter: adapter 1.5 -> 1 device turns per pad turn: every stop moves, by up to 180 deg "
        "of rotor a turn"),
    "adapter gone is said": (
        [("    adapter:\n      path: [external: [20, 30]]\n      square: 3/8 in\n"
          "      torque-limit: 10 lbf.ft\n      backlash: 0.2 +/- 0 deg\n", "")], "stops",
        "starter: the adapter is removed"),
    "pad gone": (
        [(HARROW[HARROW.index("  - id: starter"):], "")], "stops",
        "starter: removed: HP can no longer be turned through it"),
    "pad renamed": (
        [("id: crank", "id: hand-crank")], "stops", "hand-crank: renamed, was crank"),
    "speed rises": (
        [("120 deg/min", "1/2 rpm")], "limits",
        "HP: speed limit of the rotor 120 deg/min -> 0.5 rpm, rises"),
    "never backwards": (
        [("    max-speed", "    never-backwards: yes\n    max-speed")], "limits",
        "HP: may be turned backwards -> never backwards: every move goes in the normal direction"),
    "not by hand": (
        [("    turned-by: hand\n", "    max-speed: 1 rpm\n"),
         ("pads:\n", "pads:\n  - id: nose\n    spool: LP\n    faces: forward\n    rotation: {sense:"
          " ccw, view: facing-pad}\n    path: [direct]\n    torque-limit: 9 N.m\n")], "stops",
        "LP: turned by hand -> through a pad"),
    "spool gone": (
        [("  - id: LP\n    rotation: {sense: cw, view: aft-looking-forward}\n    turned-by: hand\n",
          ""),
         ("  - {id: FAN, spool: LP, role: fan, blades: 22, numbering: with-rotation}\n", "")],
        "stops", "LP: removed"),
    "spool renamed": (
        [("id: LP", "id: N1"), ("spool: LP", "spool: N1")], "stops", "N1: renamed, was LP"),
    "designation added": (
        [("Harrow 20A]", "Harrow 20A, Harrow 20B]")], "stops",
        "designation Harrow 20B is added: the device now uses these stops for it too"),
    "designation gone": (
        [(", Harrow 20A]", "]")], "stops",
        "designation Harrow 20A is removed: under it the device now finds nothing"),
    "withdrawn": (
        [("status: released", "status: withdrawn")], "stops",
        "status released -> withdrawn: it no longer goes into tables"),
    "draft again": (
        [("status: released", "status: draft")], "stops",
        "status released -> draft: it no longer goes into tables, except with --drafts"),
    "name": ([("name: Harrow 20", "name: Harrow twenty")], "text",
             'name "Harrow 20" -> "Harrow twenty"'),
    "source": ([("source: Invented", "source: Invented again")], "text",
               "the source has changed"),
    "revision alone": ([], "text", "revision 4 -> 5"),
}


class Changes(Folder):
    """One test a kind of change; they are added below."""

    def test_nothing(self):
        a, b = self.two(HARROW, HARROW)
        self.assertEqual(self.compare(a, b, status=0), ["no difference: 1 engine: 1 the same"])
        report = self.report(a, b, status=0)
        self.assertEqual((report["class"], report["same"], report["engines"]), ("none", 1, []))

    def test_line_ends_are_no_change(self):
        a, b = self.two(HARROW, HARROW.replace("\n", "\r\n"))
        self.compare(a, b, status=0)

    def test_parts_that_share_an_id_are_told_apart_by_their_order(self):
        """Check refuses them; all the same no engine differs from itself."""
        doubles = {
            "ports": [("id: P4", "id: P3")],
            "stages": [("id: HPC-3", "id: HPC-1"), ("id: FAN", "id: HPC-1")],
            "pads": [("id: starter", "id: crank"), ("pad: starter", "pad: crank")],
            "spools": [("id: LP", "id: HP"), ("spool: LP", "spool: HP")],
        }
        for name, edits in doubles.items():
            a, b = self.two(*[edited(HARROW, *edits)] * 2)
            status, out, err = self.run_program("compare", a, b)
            self.assertIn(status, (0, 2), err)
            self.assertEqual(out, "no difference: 1 engine: 1 the same\n", name)
        a, b = self.two(edited(HARROW, *doubles["ports"]),
                        edited(HARROW, *doubles["ports"], ('"9:00"', '"9:30"')))
        for pair, change in (((a, b), "9:00 -> 9:30"), ((b, a), "9:30 -> 9:00")):
            _, out, _ = self.run_program("compare", *pair)
            self.assertIn(f"  HPC-1: port P3 at {change}: the probe enters 15 deg of rotor away",
                          out)
        a, b = self.two(edited(HARROW, *doubles["ports"]),
                        edited(HARROW, ('      - {id: P4, clock: "9:00"}\n', "")))
        self.assertIn("  HPC-1: port P3 at 9:00 is removed", self.run_program("compare", a, b)[1])
        self.assertIn("  HPC-1: port P3 at 9:00 is added", self.run_program("compare", b, a)[1])

    def test_known_blades(self):
        """Another mark, another number, another order of the list."""
        def known(*blades):
            lines = "".join(f"      - {{blade: {n}, how: {how}}}\n" for n, how in blades)
            return edited(HARROW, ("two locking lugs\n",
                                   "two locking lugs\n    known-blades:\n" + lines))
        slot, root = (17, "slot"), (9, "long root")
        for before, after, changes in (
                ((slot, root), (slot, (9, "root")), [
                    ("limits", "known_blades", "long root", "root",
                     'blade 9 is known by "long root" -> "root": make sure that it is the same '
                     "blade")]),
                ((slot, root), ((18, "slot"), root), [
                    ("limits", "known_blades", "slot", None,
                     'blade 17 is no longer known by "slot": the count cannot be found again '
                     "there"),
                    ("limits", "known_blades", None, "slot",
                     'blade 18 is now known by "slot": the count can be found again there')]),
                ((slot, root), (root, slot), [
                    ("text", "order_of_known_blades", "17, 9", "9, 17",
                     "order of known-blades 17, 9 -> 9, 17")])):
            report = self.report(*self.two(known(*before), known(*after)))
            self.assertEqual([(c["class"], c["field"], c["before"], c["after"],
                               c["message"].removeprefix("HPC-1: "))
                              for c in report["engines"][0]["changes"]], changes)
            tables = [self.table(f"{side}.rotor", self.write(
                f"{side}/harrow-20.engine.yaml", known(*blades)))
                for side, blades in (("a", before), ("b", after))]
            said = [c["message"] for c in self.report(*tables)["engines"][0]["changes"]]
            self.assertEqual([f"HPC-1: {change[4]}" for change in changes
                              if change[0] != "text"],
                             [message for message in said if "known" in message])

    def test_what_the_numbers_rest_on(self):
        """Observations and waivers move nothing, but a reviewer has to see what becomes of them."""
        waiver = "waive:\n  - rule: backlash-large   # until it is measured\n    because: x\n" \
                 "    until: 2999-01-01\n"
        a, b = self.two(HARROW, edited(HARROW, OBSERVATION_GONE) + waiver)
        _, out, _ = self.run_program("compare", a, b)
        self.assertEqual(out.splitlines()[:3], [
            "harrow-20: text",
            "  observation removed: pad: starter seen: {pad: ccw, rotor: cw}",
            "  waiver added: rule: backlash-large # until it is measured because: x until: "
            "2999-01-01"])
        _, out, _ = self.run_program("compare", b, a)
        self.assertIn("  observation added: pad: starter seen: {pad: ccw, rotor: cw}", out)
        self.assertIn("  waiver removed: rule: backlash-large", out)
        twice = HARROW + "  - pad: starter\n    seen: {pad: ccw, rotor: cw}\n"
        a, b = self.two(HARROW, twice)
        report = self.report(a, b)["engines"][0]["changes"]
        self.assertEqual([(c["field"], c["before"] is None) for c in report],
                         [("observation", True)])
        long = HARROW.replace("seen: {pad: ccw, rotor: cw}",
                              "seen: {pad: ccw, rotor: cw}\n    note: " + "\u00e4" * 190)
        a, b = self.two(HARROW, long)
        self.assertIn("\u00e4...", self.run_program("compare", a, b)[1])

    def test_observations_that_differ_far_behind(self):
        def noted(end):
            return HARROW.replace("seen: {pad: ccw, rotor: cw}",
                                  "seen: {pad: ccw, rotor: cw}\n    note: " + "x" * 190 + end)
        a, b = self.two(noted("y"), noted("z"))
        _, out, _ = self.run_program("compare", a, b)
        end = "x" * 40
        self.assertIn(f"  observations[1].note ...{end}y -> ...{end}z\n", out)

    def test_blanks_within_quotes_are_a_part_of_a_text(self):
        a, b = self.two(*[HARROW.replace("{pad: ccw, rotor: cw}\n",
                                         f"{{pad: ccw, rotor: cw}}\n    note: 'a{blanks}b'\n")
                          for blanks in (" ", "  ")])
        _, out, _ = self.run_program("compare", a, b)
        self.assertIn("  observations[1].note 'a b' -> 'a  b'\n", out)

    def test_a_comment_in_an_observation_is_none_of_it(self):
        a, b = self.two(HARROW, edited(HARROW, ("  - pad: starter\n    seen",
                                                "  - pad: starter   # by hand\n    seen")))
        self.assertIn("only comments", self.run_program("compare", a, b)[1])

    def test_no_speed_limit(self):
        """An error of `check`, so the status is 2; the change is reported all the same."""
        a, b = self.two(HARROW, edited(HARROW, ("    max-speed: 120 deg/min\n", "")))
        status, out, _ = self.run_program("compare", a, b)
        self.assertEqual(status, 2)
        self.assertIn("  HP: speed limit of the rotor 120 deg/min -> none, rises\n", out)

    def test_comment_alone(self):
        a, b = self.two(HARROW, "# Seen again.\n" + HARROW)
        self.assertEqual(self.compare(a, b)[:2], [
            "harrow-20: text", "  only comments, layout or the way numbers are written differ"])

    def test_the_same_limit_in_another_unit_is_text(self):
        a, b = self.two(HARROW, edited(HARROW, ("1.2 +/- 0 deg", "72 +/- 0 arcmin")))
        self.assertEqual(self.report(a, b)["class"], "text")

    def test_worst_first(self):
        a, b = self.two(HARROW, edited(HARROW, RAISED, ("40 lbf.ft", "45 lbf.ft"),
                                       ("blades: 68", "blades: 67"),
                                       ("120 deg/min", "100 deg/min")))
        lines = self.compare(a, b)
        self.assertEqual(lines[0], "harrow-20: stops")
        self.assertIn("67 blades", lines[1])
        self.assertIn("speed", lines[2])
        self.assertIn("torque", lines[3])
        self.assertIn("revision", lines[4])
        self.assertEqual(lines[5], "1 engine: 1 changed; the worst is stops")

    def test_what_a_status_does_to_the_tables(self):
        for before, after, effect in (
                ("draft", "released", "it goes into tables from now on"),
                ("withdrawn", "released", "it goes into tables again"),
                ("draft", "withdrawn", "it no longer goes into tables"),
                ("withdrawn", "draft", "it goes into tables again with --drafts")):
            report = self.report(*self.two(edited(HARROW, ("released", before)),
                                       edited(HARROW, ("released", after))))
            change, = report["engines"][0]["changes"]
            self.assertEqual((change["class"], change["message"]),
                             ("stops", f"status {before} -> {after}: {effect}"))
            self.assertEqual(report["findings"], [])

    def test_what_is_turned_by_hand_has_no_stop_that_moves(self):
        report = self.report(*self.two(HARROW, edited(HARROW, RAISED, ("blades: 22", "blades: 24"),
                                                  FEWER)))
        self.assertEqual([(c["id"], c["degrees_at_most"]) for c in report["engines"][0]["changes"]
                          if c["field"] == "blades"], [("FAN", None), ("HPC-3", "90/17")])

    def test_spool_turns_the_other_way(self):
        turned = edited(TERN, ("revision: 1", "revision: 2"), ("sense: cw", "sense: ccw"),
                        ("{sense: ccw, view: facing-pad}", "{sense: cw, view: facing-pad}"))
        turned = turned.replace("sense: cw, view: aft", "sense: ccw, view: aft")
        a, b = self.two(TERN, turned, "tern-5")
        lines = self.compare(a, b)
        self.assertIn("  N1: its normal direction, aft looking forward, cw -> ccw: the blades pass "
                      "the ports in the opposite direction", lines)
        self.assertIn("  nose: turns ccw -> cw, facing the pad, "
                      "when N1 turns in its normal direction: "
                      "every move goes in the opposite direction", lines)


def add_test(name, edits, worst, sentence):
    """Gives the class a test for one kind of change."""
    def test(self):
        a, b = self.two(HARROW, edited(HARROW, RAISED, *edits))
        self.assertIn("  " + sentence, self.compare(a, b))
        report = self.report(a, b)
        self.assertEqual(report["class"], worst)
        self.assertEqual(report["findings"], [])
        messages = {c["message"]: c for c in report["engines"][0]["changes"]}
        self.assertIn(messages[sentence]["class"], (worst, "text", "limits"))
        self.assertEqual(messages[sentence]["rises"], sentence.endswith(", rises"))
        # The other way there is as much to be said.
        back = self.report(b, a)
        self.assertEqual(back["class"], worst)
        self.assertEqual(len(back["engines"][0]["changes"]), len(messages))
    setattr(Changes, "test_" + name.replace(" ", "_").replace("'", ""), test)


for _name, _change in CHANGES.items():
    add_test(_name, *_change)

if __name__ == "__main__":
    unittest.main()
