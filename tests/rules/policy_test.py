"""Policies: which one holds, what they may change, and what they may not."""

import json
import shutil
import unittest

from checking import GOOD, Folder, changed, findings, rules_by_id, run

MARK = "neighbour.engine.yaml"
NO_BACKLASH = changed(("    backlash: 0.5 deg\n", ""))
FEW_TEETH = changed(("[16, 80]", "[7, 35]"))
SEVERITIES = ("off", "note", "warning", "error")


def policy(rules="", limits=""):
    """A policy with lines of rules and limits."""
    parts = ["policy: 1\n"]
    parts += [f"rules:\n  {rules}\n"] if rules else []
    parts += [f"limits:\n  {limits}\n"] if limits else []
    return "".join(parts)


class Severities(Folder):
    """What a finding weighs."""

    def test_changed(self):
        self.put(MARK, NO_BACKLASH)
        self.assertEqual(self.found(MARK), [("backlash-missing", "warning")])
        for severity in ("note", "warning", "error"):
            self.put("rotortab.policy.yaml", policy(f"backlash-missing: {severity}"))
            self.assertEqual(self.found(MARK), [("backlash-missing", severity)])

    def test_off(self):
        self.put(MARK, NO_BACKLASH)
        for word in ("off", "false", '"off"'):
            self.put("rotortab.policy.yaml", policy(f"backlash-missing: {word}"))
            self.assertEqual(self.found(MARK), [])
            self.assertNotIn(b"backlash-missing", run(self.folder, "check", MARK).stdout)

    def test_unknown(self):
        self.put(MARK, GOOD)
        for line, rule in (("backlash-missing: fatal", "wrong-shape"),
                           ("backlash-missing:", "missing-key"),
                           ("backlash-missing: [off]", "wrong-shape"),
                           ("backlash-mising: off", "unknown-key")):
            self.put("rotortab.policy.yaml", policy(line))
            self.assertEqual(self.found(MARK), [(rule, "error")], line)

    def test_locked_rules_are_never_lowered(self):
        """A policy names all rules, one a line from the third on."""
        rules = rules_by_id()
        for severity in SEVERITIES:
            lines = "\n  ".join(f"{rule}: {severity}" for rule in rules)
            self.put("rotortab.policy.yaml", policy(lines))
            refused = [(line, "out-of-range", "error")
                       for line, row in enumerate(rules.values(), start=3)
                       if SEVERITIES.index(severity) < SEVERITIES.index(row["severity"])
                       and not row["can_be_lowered"]]
            status, found = findings(self.folder, "rotortab.policy.yaml")
            told = [(item["line"], item["rule"], item["severity"]) for item in found]
            self.assertEqual((status, sorted(told)), (int(bool(refused)), refused), severity)

    def test_locked_rule_keeps_its_weight(self):
        self.put(MARK, changed(("    torque-limit: 40 lbf.ft\n", "")))
        self.put("rotortab.policy.yaml", policy("torque-missing: off"))
        self.assertEqual(sorted(self.found(MARK)),
                         [("out-of-range", "error"), ("torque-missing", "error")])

    def test_strict(self):
        self.put(MARK, NO_BACKLASH)
        self.assertEqual(self.found("--strict", MARK), [("backlash-missing", "error")])
        self.put("rotortab.policy.yaml", policy("backlash-missing: note"))
        self.assertEqual(self.found("--strict", MARK), [("backlash-missing", "note")])


class Limits(Folder):
    """Thresholds."""

    def both(self, text, limits, rule, *options):
        """Asserts that a rule finds something with these limits and nothing without, or round."""
        self.put(MARK, text)
        self.put("rotortab.policy.yaml", "policy: 1\n")
        before = rule in dict(self.found(*options, MARK))
        self.put("rotortab.policy.yaml", policy(limits=limits))
        self.assertEqual(rule in dict(self.found(*options, MARK)), not before, (limits, rule))

    def test_each_changes_what_is_found(self):
        device = ("--device", "plain.device.yaml")
        for text, limits, rule, options in (
                (FEW_TEETH, "teeth: {min: 7, max: 250}", "teeth-few", ()),
                (GOOD, "teeth: {min: 8, max: 95}", "teeth-many", ()),
                (GOOD, "blades: {min: 30, max: 60}", "blade-count-unusual", ()),
                (GOOD, "blades: {min: 8, max: 59}", "blade-count-unusual", ()),
                (GOOD, "backlash-large: 1 %", "backlash-large", ()),
                (GOOD, "ratio-unusual: {min: 2.5, max: 50}", "ratio-unusual", ()),
                (GOOD, "ratio-unusual: {min: 0.05, max: 2.9}", "ratio-unusual", ()),
                (GOOD, "counts-few: 999", "counts-few", device),
                (GOOD, "counter-turns: 999999", "counter-short", device)):
            with self.subTest(limits=limits):
                self.both(text, limits, rule, *options)

    def test_edges_belong_to_what_is_usual(self):
        self.put(MARK, GOOD)
        self.put("rotortab.policy.yaml", policy(
            limits="blades: {min: 24, max: 60}\n  teeth: {min: 16, max: 96}\n"
                   "  ratio-unusual: {min: 9/4, max: 3}"))
        self.assertEqual(self.found(MARK), [])

    def test_wrong_limits(self):
        for line, rule in (("backlash-large: 25", "missing-unit"),
                           ("backlash-large: 25 deg", "wrong-unit"),
                           ("backlash-large: 101 %", "out-of-range"),
                           ("backlash-large: 0 %", "out-of-range"),
                           ("counts-few: 0", "out-of-range"), ("teeth: {min: 8}", "missing-key"),
                           ("teeth: 8", "wrong-shape"), ("backlash-larg: 25 %", "unknown-key")):
            self.put("rotortab.policy.yaml", policy(limits=line))
            self.assertEqual(self.found("rotortab.policy.yaml"), [(rule, "error")], line)

    def test_range_the_wrong_way_round(self):
        self.put("rotortab.policy.yaml", policy(limits="teeth: {min: 20, max: 10}"))
        self.put(MARK, GOOD)
        for sources in (["rotortab.policy.yaml"], [MARK], ["."]):
            self.assertEqual(self.found(*sources), [("out-of-range", "error")])
        self.put(MARK, FEW_TEETH)
        self.assertIn(("teeth-few", "warning"), self.found(MARK), "the usual limits hold")


class Which(Folder):
    """The nearest policy above a file, or the one that is named."""

    def test_nearest_upward(self):
        self.put("a/b/" + MARK, NO_BACKLASH)
        self.put("rotortab.policy.yaml", policy("backlash-missing: error"))
        self.assertEqual(self.found("a/b"), [("backlash-missing", "error")])
        self.put("a/rotortab.policy.yaml", policy("backlash-missing: note"))
        self.assertEqual(self.found("a/b/" + MARK), [("backlash-missing", "note")])
        self.put("a/b/rotortab.policy.yaml", policy())
        self.assertEqual(self.found("a/b"), [("backlash-missing", "warning")])

    def test_each_file_has_its_own(self):
        self.put("a/" + MARK, NO_BACKLASH)
        self.put("b/other.engine.yaml", changed(
            ("id: neighbour", "id: other"), ("name: Hayrake 6", "name: Other"),
            ("models: [Hayrake 6, Hayrake 6B]", "models: [Other]"), text=NO_BACKLASH))
        self.put("a/rotortab.policy.yaml", policy("backlash-missing: error"))
        self.put("b/rotortab.policy.yaml", policy("backlash-missing: note"))
        for order in (("a", "b"), ("b", "a"), (".",)):
            self.assertEqual(sorted(self.found(*order)),
                             [("backlash-missing", "error"), ("backlash-missing", "note")])

    def test_given(self):
        self.put("a/" + MARK, NO_BACKLASH)
        self.put("a/rotortab.policy.yaml", policy("backlash-missing: error"))
        self.put("fleet.policy.yaml", policy("backlash-missing: off"))
        self.assertEqual(self.found("--policy", "fleet.policy.yaml", "a/" + MARK), [])

    def test_rules_on_a_device_go_by_the_working_folder(self):
        self.put("a/" + MARK, GOOD)
        self.put("a/rotortab.policy.yaml", policy(limits="counts-few: 999"))
        device = ("--device", "plain.device.yaml")
        self.assertEqual(self.found(*device, "a/" + MARK), [])
        self.put("rotortab.policy.yaml", policy(limits="counts-few: 999"))
        self.assertIn(("counts-few", "warning"), self.found(*device, "a/" + MARK))

    def test_by_another_name_it_holds_for_nobody(self):
        self.put(MARK, NO_BACKLASH)
        self.put("fleet.policy.yaml", policy("backlash-missing: off"))
        self.assertEqual(self.found(".",), [("backlash-missing", "warning")])

    def test_broken_policy_is_told_once(self):
        self.put(MARK, NO_BACKLASH)
        self.put("sub/neighbour.engine.yaml", NO_BACKLASH)
        self.put("rotortab.policy.yaml", policy("nonsense: off"))
        shutil.rmtree(self.folder / "sub")
        self.assertEqual(sorted(self.found(".", MARK)),
                         [("backlash-missing", "warning"), ("unknown-key", "error")])

    def test_what_is_piped_in_goes_by_its_name(self):
        self.put("a/rotortab.policy.yaml", policy("backlash-missing: error"))
        self.put("rotortab.policy.yaml", policy("backlash-missing: note"))
        for options, severity in ((("--name", f"a/{MARK}"), "error"), (("--name", MARK), "note"),
                                  ((), "note")):
            done = run(self.folder, "check", "--format", "json", *options, "-",
                       input=NO_BACKLASH.encode())
            self.assertEqual([f["severity"] for f in json.loads(done.stdout)["findings"]
                              if f["rule"] == "backlash-missing"], [severity], options)

    def test_missing(self):
        self.put(MARK, GOOD)
        said = self.failed("check", "--policy", "gone.policy.yaml", MARK)
        self.assertIn("gone.policy.yaml", said)


if __name__ == "__main__":
    unittest.main()
