"""What observations on the engine decide: which of two numbers is right, and what they prove.

The clean definition turns 2.25 pad turns a rotor turn; HPC-2 has 40 blades, HPT-1 has 60.
"""

import json
import re
import unittest

from checking import BROKEN, GOOD, Folder, changed, findings, run

SECOND = (BROKEN / "cross-check-stale.cross-check.yaml").read_text().replace(
    "{id: cross-check-stale, revision: 1}", "{id: neighbour, revision: 2}")
CRANK = "    counted: {pad: 22.5 +/- 0.1 rev, rotor: 10 rev}\n" \
        "    returned: {stage: HPC-2, after: 40, pad: 2.25 +/- 0.02 rev}\n" \
        "    seen: {pad: cw, rotor: cw}\n"
BLIND = "    backlash: 0.5 deg\n"  # an observation of the crank that decides nothing else
TEETH = ("teeth: [16, 36]", "teeth: [16, 38]")
TURNS = ("turns: {pad: 2.25,", "turns: {pad: 2.52,")


def observed(*lines):
    """The clean definition with other observations of the crank."""
    return changed((CRANK, "".join(f"    {line}\n" for line in lines)))


class Decided(Folder):
    """Runs `check` on a definition, with a cross-check or without."""

    def judge(self, text, second=None):
        self.put("neighbour.engine.yaml", text)
        if second:
            self.put("neighbour.cross-check.yaml", second)
        return findings(self.folder, "neighbour.engine.yaml")[1]

    def only(self, rule, text, second=None):
        """The only finding of this rule."""
        found = [f for f in self.judge(text, second) if f["rule"] == rule]
        self.assertEqual(len(found), 1, found)
        return found[0]

    def assert_side(self, finding, side, notes=1):
        self.assertEqual(finding.get("numbers", {}).get("observed"), side, finding)
        told = [note["message"] for note in finding.get("related", [])
                if "this observation agrees" in note["message"]]
        self.assertEqual(len(told), notes, finding)


class Ratio(Decided):
    """turns against path."""

    def test_each_side_by_each_measurement(self):
        for change, side in ((TEETH, "turns"), (TURNS, "the path")):
            for measured in ("counted: {pad: 22.5 +/- 0.1 rev, rotor: 10 rev}",
                             "returned: {stage: HPC-2, after: 40, pad: 2.25 +/- 0.02 rev}",
                             "step: {stage: HPC-2, pad: 20.25 +/- 0.1 deg}"):
                with self.subTest(side=side, measured=measured):
                    text = changed(change, text=observed(measured))
                    finding = self.only("ratio-disagrees", text)
                    self.assert_side(finding, side)
                    self.assertIn(side.split()[-1], finding["consequence"])
                    remedy = "Count the teeth" if side == "turns" else "Correct the stated turns"
                    self.assertIn(remedy, finding["remedy"])

    def test_without_a_measurement_nothing_is_decided(self):
        finding = self.only("ratio-disagrees", changed(TURNS, (CRANK, BLIND)))
        self.assert_side(finding, None, 0)
        self.assertIn("If turns is correct", finding["consequence"])

    def test_one_that_agrees_with_both_decides_nothing(self):
        text = changed(TURNS, text=observed("counted: {pad: 24 +/- 2 rev, rotor: 10 rev}"))
        self.assert_side(self.only("ratio-disagrees", text), None, 0)

    def test_two_that_disagree_decide_nothing(self):
        text = changed(TURNS, ("  - pad: starter\n", "  - pad: crank\n    counted: "
                               "{pad: 25.2 +/- 0.1 rev, rotor: 10 rev}\n  - pad: starter\n"))
        self.assert_side(self.only("ratio-disagrees", text), None, 2)

    def test_every_observation_counts(self):
        text = changed(TURNS, (CRANK, BLIND), ("  - pad: starter\n", "  - pad: crank\n" + CRANK +
                                               "  - pad: starter\n"))
        self.assert_side(self.only("ratio-disagrees", text), "the path")

    def test_swapped(self):
        text = changed(("turns: {pad: 2.25, rotor: 1}", "turns: {pad: 1, rotor: 2.25}"),
                       (CRANK, BLIND), ("  - pad: starter\n", "  - pad: crank\n" + CRANK +
                                        "  - pad: starter\n"))
        finding = self.only("ratio-swapped", text)
        self.assert_side(finding, "the path")
        self.assertIn("exchange pad and rotor in turns", finding["remedy"])


class Sense(Decided):
    """Stated senses against the path."""

    IDLER = ("external: [20, 30]", "external: [20, 25, 30]")

    def test_each_side(self):
        finding = self.only("sense-disagrees", changed(self.IDLER))
        self.assert_side(finding, "the stated senses")
        self.assertIn("Compare the path", finding["remedy"])
        other = changed(("rotation: {sense: cw, view: facing-pad}\n    turns",
                         "rotation: {sense: ccw, view: facing-pad}\n    turns"))
        finding = self.only("sense-disagrees", other)
        self.assert_side(finding, "the path")
        self.assertIn("Correct the sense", finding["remedy"])

    def test_nobody_looked(self):
        text = changed(self.IDLER, ("    seen: {pad: cw, rotor: cw}\n", ""))
        self.assert_side(self.only("sense-disagrees", text), None, 0)


class Reader(Decided):
    """The definition against the second reader."""

    # the change of one file, and the observation that decides; other lines of it are left out
    CASES = (
        (("    blades: 40", "    blades: 41"), "passed: {stage: HPC-2, blades: 80, rotor: 2 rev}"),
        (("    blades: 40", "    blades: 41"), "step: {stage: HPC-2, pad: 20.25 +/- 0.1 deg}"),
        (("    blades: 40", "    blades: 41"),
         "returned: {stage: HPC-2, after: 40, pad: 2.25 +/- 0.02 rev}"),
        (("blades: 60\n    numbering: with", "blades: 60\n    numbering: against"),
         "blade-order: {stage: HPT-1, first: 1, then: 60}"),
        (("turns: {pad: 2.25,", "turns: {pad: 2.52,"),
         "counted: {pad: 22.5 +/- 0.1 rev, rotor: 10 rev}"),
        (("teeth: [16, 36]", "teeth: [16, 38]"), "counted: {pad: 22.5 +/- 0.1 rev, rotor: 10 rev}"),
        (("external: [20, 30]", "external: [20, 25, 30]"), "seen: {pad: cw, rotor: cw}"),
        (("backs: [aft, up]", "backs: [aft, down]"), "seen: {pad: cw, rotor: cw}"),
        (("rotation: {sense: cw, view: facing-pad}", "rotation: {sense: ccw, view: facing-pad}"),
         "seen: {pad: cw, rotor: cw}"),
        (("backlash: 0.5 deg", "backlash: 0.05 deg"), "backlash: 0.5 +/- 0.1 deg"),
        (("backlash: 0.5 deg", "backlash: 0.6 deg"), "backlash-as-new: 0.45 +/- 0.02 deg"),
        (("spool: HP\n    ", "spool: LP\n    "),
         "passed: {stage: HPC-1, blades: 60, rotor: 2 rev}"),
    )

    @staticmethod
    def disagreeing(found):
        return [f for f in found if f["rule"] == "cross-check-disagrees"]

    def changed_in(self, text, change):
        """The first place after the spools, which is in the same part of both files."""
        old, new = change
        at = text.index("\nstages:")
        part = "HPC-1" if old.startswith("spool") else "HPT-1" if "60" in old else ""
        at = text.index(part, at) if part else at
        if "spool" in old:
            return re.sub(r"(id: HPC-1\n    spool: )HP", r"\1LP", text, count=1)
        if old.startswith("external") or "backs" in old or "rotation" in old or "turns" in old \
                or "backlash" in old or "teeth" in old:
            at = text.index("\npads:")
        self.assertIn(old, text[at:])
        return text[:at] + text[at:].replace(old, new, 1)

    def test_each_side(self):
        for change, line in self.CASES:
            text = observed(line)
            for side, first, second in (("the definition", text, self.changed_in(SECOND, change)),
                                        ("the second reader", self.changed_in(text, change),
                                         SECOND)):
                with self.subTest(change=change, side=side):
                    found = self.disagreeing(self.judge(first, second))
                    self.assertTrue(found)
                    for finding in found:
                        self.assert_side(finding, side)
                        self.assertIn("agrees with " + side, finding["remedy"])

    def test_without_an_observation_nothing_is_decided(self):
        for change, _ in self.CASES:
            with self.subTest(change=change):
                nothing = "    step: {stage: HPC-2, pad: 20 +/- 9 deg}\n"
                found = self.disagreeing(self.judge(changed((CRANK, nothing)),
                                                    self.changed_in(SECOND, change)))
                for finding in found:
                    self.assert_side(finding, None, 0)
                    self.assertIn("Let both readers", finding["remedy"])

    def test_what_no_observation_sees_is_not_decided(self):
        second = SECOND.replace("torque-limit: 40 lbf.ft", "torque-limit: 45 lbf.ft")
        self.assertNotEqual(second, SECOND)
        for finding in self.disagreeing(self.judge(GOOD, second)):
            self.assert_side(finding, None, 0)


class OneMistake(Decided):
    """What contradicts the blades of a stage is one finding, which shows all of it."""

    OBSERVED = ("passed: {stage: HPC-2, blades: 80, rotor: 2 rev}",
                "blade-order: {stage: HPC-2, first: 40, then: 1}")

    def test_without_a_second_reader(self):
        for change, rules in (((), []), (("    blades: 40", "    blades: 41"),
                                         ["observation-disagrees"])):
            text = observed("counted: {pad: 22.5 +/- 0.1 rev, rotor: 10 rev}",
                            "seen: {pad: cw, rotor: cw}", *self.OBSERVED)
            text = text.replace(*change, 1) if change else text
            found = self.judge(text)
            self.assertEqual([f["rule"] for f in found], rules)
        notes = [note["message"] for note in found[0]["related"]]
        self.assertIn("blade 1 of HPC-2 followed blade 40; with numbering against-rotation and 41 "
                      "blades, blade 41 follows", notes)

    def test_with_a_second_reader(self):
        text = observed("counted: {pad: 22.5 +/- 0.1 rev, rotor: 10 rev}",
                        "seen: {pad: cw, rotor: cw}", *self.OBSERVED)
        for count in (39, 41):
            wrong = text.replace("    blades: 40", f"    blades: {count}", 1)
            found = self.judge(wrong, SECOND)
            self.assertEqual([f["rule"] for f in found], ["cross-check-disagrees"])
            notes = [note["message"] for note in found[0]["related"]]
            self.assertEqual(len([note for note in notes if "HPC-2" in note]), 2, notes)
            self.assertNotIn("the blade count", notes)

    def test_slips_counts_both(self):
        """There each rule counts, so that it shows what is found without the second reader."""
        self.put("neighbour.engine.yaml",
                 observed("counted: {pad: 22.5 +/- 0.1 rev, rotor: 10 rev}",
                          "seen: {pad: cw, rotor: cw}", *self.OBSERVED))
        self.put("neighbour.cross-check.yaml", SECOND)
        told = json.loads(run(self.folder, "slips", "--format", "json",
                              "neighbour.engine.yaml").stdout)["definitions"][0]
        value, = [v for v in told["values"] if (v["id"], v["key"]) == ("HPC-2", "blades")]
        slip, = [s for s in value["slips"] if s["written"] == "41"]
        self.assertEqual(slip["found_by"], ["observation-disagrees", "cross-check-disagrees"])


class Places(Decided):
    """Two blades at their ports at the same count."""

    # HPC-1: 30 blades, blade one at P1 (4:00) with the rotor at 107.5 deg. HPC-2: 40 blades.
    CLOCKED = ("    port: {id: P2, clock: \"4:00\"}\n",
               "    port: {id: P2, clock: \"4:00\"}\n    clocking: 30.5 deg\n")

    def together(self, second, *changes):
        text = changed(*changes, text=observed(
            "counted: {pad: 22.5 +/- 0.1 rev, rotor: 10 rev}", "seen: {pad: cw, rotor: cw}",
            f"together: [{{stage: HPC-1, port: P1, beyond: 0 +/- 0 deg}}, {second}]"))
        return [f["rule"] for f in self.judge(text)]

    def test_angles(self):
        wrong = ["observation-together"]
        for second, rules in (
                ("{stage: HPC-2, port: P2, blade: 3, beyond: 0 +/- 0 deg}", []),
                ("{stage: HPC-2, port: P2, blade: 3, beyond: 1 +/- 1 deg}", []),  # its end
                ("{stage: HPC-2, port: P2, blade: 3, beyond: 1 +/- 0.9 deg}", wrong),
                ("{stage: HPC-2, port: P2, blade: 2, beyond: 9 +/- 0 deg}", []),
                ("{stage: HPC-2, port: P2, blade: 4, beyond: -9 +/- 0 deg}", []),
                ("{stage: HPC-2, port: P2, blade: 3}", []),
                ("{stage: HPC-2, port: P2, blade: 4}", wrong),
                ("{stage: HPC-2, port: P2}", wrong),
                ("{stage: HPC-2, port: P2, blade: 43}", wrong)):
            with self.subTest(second=second):
                self.assertEqual(self.together(second, self.CLOCKED), rules)

    def test_a_turn_farther_is_the_same_place(self):
        second = "{stage: HPC-2, port: P2, blade: 3, beyond: 360 +/- 0 deg}"
        self.assertEqual(self.together(second, self.CLOCKED), [])

    def test_the_other_clock_position(self):
        second = "{stage: HPC-2, port: P2, blade: 3}"
        mirrored = (self.CLOCKED[0], self.CLOCKED[1].replace("4:00", "8:00"))
        self.assertEqual(self.together(second, mirrored), ["observation-together"])

    def test_without_clocking_it_proves_nothing(self):
        self.assertEqual(self.together("{stage: HPC-2, port: P2, blade: 40}"), [])

    def test_two_ports_of_one_stage_need_no_clocking(self):
        ports = ("port: {id: P2, clock: \"4:00\"}",
                 "port: [{id: P2, clock: \"4:00\"}, {id: P3, clock: \"7:00\"}]")
        for blade, rules in ((11, []), (10, ["observation-together"])):
            line = "[{stage: HPC-2, port: P3, beyond: 0 +/- 1 deg}, " \
                   f"{{stage: HPC-2, port: P2, blade: {blade}, beyond: 0 +/- 1 deg}}]"
            text = changed(ports, text=observed(
                "counted: {pad: 22.5 +/- 0.1 rev, rotor: 10 rev}", "seen: {pad: cw, rotor: cw}",
                f"together: {line}"))
            self.assertEqual([f["rule"] for f in self.judge(text)], rules)

    def test_a_port_that_is_not_there(self):
        self.assertEqual(self.together("{stage: HPC-2, port: P3}"), ["reference-unknown"])

    def test_a_stage_of_another_spool(self):
        self.assertIn("reference-unknown", self.together("{stage: FAN, port: P1}"))


class Order(Decided):
    """Which blade followed which."""

    def test_orders(self):
        wrong = "observation-order"
        for stage, first, then, rule in (
                ("HPC-1", 1, 2, None), ("HPC-1", 30, 1, None), ("HPC-1", 7, 8, None),
                ("HPC-1", 1, 30, wrong), ("HPC-1", 8, 7, wrong), ("HPC-1", 1, 3, wrong),
                ("HPC-1", 31, 1, wrong), ("HPC-1", 5, 5, wrong),
                ("HPT-1", 1, 60, None), ("HPT-1", 2, 1, None), ("HPT-1", 1, 2, wrong),
                ("HPT-1", 1, 59, wrong)):
            with self.subTest(stage=stage, first=first, then=then):
                text = changed((CRANK, CRANK + f"    blade-order: {{stage: {stage}, first: {first},"
                                f" then: {then}}}\n"))
                self.assertEqual([f["rule"] for f in self.judge(text)], [rule] if rule else [])

    def test_what_would_make_it_right(self):
        """A wrong count is no reason to change the numbering."""
        for stage, first, then, remedy in (
                ("HPC-1", 8, 7, "Numbering with-rotation agrees with the observation"),
                ("HPC-1", 28, 1, "28 blades would agree with the observation: count the"),
                ("HPT-1", 1, 59, "59 blades would agree with the observation: count the"),
                ("HPC-1", 1, 3, "No numbering makes blade 3 follow blade 1: observe again"),
                ("HPC-1", 5, 5, "No numbering makes blade 5 follow blade 5: observe again")):
            with self.subTest(stage=stage, first=first, then=then):
                found, = self.judge(changed((
                    CRANK, CRANK + f"    blade-order: {{stage: {stage}, first: {first},"
                    f" then: {then}}}\n")))
                self.assertIn(remedy, found["remedy"])
                self.assertEqual(found["related"][0]["message"],
                                 "the blade count" if "count" in remedy else "the numbering")

    def test_on_a_spool_that_a_hand_turned(self):
        text = changed(("  - pad: starter\n", "  - spool: LP\n    blade-order: {stage: FAN, "
                        "first: 1, then: 2}\n  - pad: starter\n"))
        self.assertEqual([f["rule"] for f in self.judge(text)], ["observation-order"])

    def test_an_order_of_two_blades_is_any(self):
        text = changed(("    blades: 24", "    blades: 2"), ("  - pad: starter\n",
                       "  - spool: LP\n    blade-order: {stage: FAN, first: 1, then: 2}\n"
                       "  - pad: starter\n"))
        self.assertNotIn("observation-order", [f["rule"] for f in self.judge(text)])


class Coarse(Decided):
    """An observation that cannot tell a number from its neighbours."""

    def missing(self, *lines):
        return [f for f in self.judge(observed("seen: {pad: cw, rotor: cw}", *lines))
                if f["rule"] == "observation-missing"]

    def test_the_ratio_within_half_a_pitch_and_without_another_tooth(self):
        # A pitch of 60 blades is 6 deg: 10 x 2.25 x 6/726 = 45/242 either way.
        for counted, coarse in (("22.5 +/- 0.1", False), ("22.2 +/- 5", True),
                                ("22.5 +/- 2/11", False), ("22.5 +/- 45/242", True),
                                ("22.4 +/- 0.05", False), ("22.3 +/- 0.2", True)):
            with self.subTest(counted=counted):
                found = self.missing(f"counted: {{pad: {counted} rev, rotor: 10 rev}}")
                self.assertEqual(len(found), int(coarse), found)

    def test_a_tooth_more_or_fewer(self):
        few = [("blades: 60", "blades: 12"), ("blades: 40", "blades: 11"),
               ("blades: 30", "blades: 10")]
        for counted, coarse in (("22.5 +/- 0.62", False), ("22.5 +/- 5/8", True)):  # 35/16
            text = changed(*few, text=observed(
                "seen: {pad: cw, rotor: cw}", f"counted: {{pad: {counted} rev, rotor: 10 rev}}"))
            rules = [f["rule"] for f in self.judge(text)]
            self.assertEqual("observation-missing" in rules, coarse, rules)

    def test_blades_that_passed(self):
        for rotor, coarse in (("2 rev", False), ("2 +/- 0.02 rev", False), ("2 +/- 0.1 rev", True)):
            found = self.missing("counted: {pad: 22.5 +/- 0.1 rev, rotor: 10 rev}",
                                 f"passed: {{stage: HPC-2, blades: 80, rotor: {rotor}}}",
                                 "blade-order: {stage: HPC-2, first: 40, then: 1}")
            self.assertEqual(len(found), int(coarse), found)


class Backlash(Decided):
    """From new to the service limit."""

    def test_ends(self):
        for defined, lines, wrong in (
                ("0.8 +/- 0.4 deg", ("backlash-as-new: 0.42 +/- 0.05 deg",
                                     "backlash-at-limit: 1.15 +/- 0.05 deg"), 0),
                ("0.8 +/- 0.4 deg", ("backlash-as-new: 0.5 +/- 0.05 deg",), 1),
                ("0.8 +/- 0.4 deg", ("backlash-as-new: 0.5 +/- 0.1 deg",), 0),
                ("0.8 +/- 0.4 deg", ("backlash-at-limit: 1.3 +/- 0.05 deg",), 1),
                ("0.8 +/- 0.4 deg", ("backlash-at-limit: 72 arcmin",), 0),
                ("0.8 +/- 0.4 deg", ("backlash-as-new: 1.2 +/- 0.05 deg",
                                     "backlash-at-limit: 0.4 +/- 0.05 deg"), 2)):
            with self.subTest(lines=lines):
                text = changed(("    backlash: 0.5 deg\n", f"    backlash: {defined}\n"),
                               (CRANK, CRANK + "".join(f"    {line}\n" for line in lines)))
                found = [f["rule"] for f in self.judge(text)]
                self.assertEqual(found, ["observation-disagrees"] * min(wrong, len(found) or wrong))
                self.assertEqual(bool(found), bool(wrong))


if __name__ == "__main__":
    unittest.main()
