"""What rests on one reading: which blade counts and numberings a note is about, and which not.

The second reader, an observation on the engine, or a status other than released ends the note.
`slips` says of each value how it is known, and must agree with the notes.
"""

import json
import pathlib
import sys
import unittest

from checking import BROKEN, DEMO, GOOD, UNPROVEN, Folder, changed, findings, run

sys.path.insert(1, str(pathlib.Path(__file__).resolve().parents[1] / "property"))
sys.path.insert(1, str(pathlib.Path(__file__).resolve().parents[1]))
import devices  # noqa: E402 pylint: disable=wrong-import-position
import generate  # noqa: E402 pylint: disable=wrong-import-position
import share  # noqa: E402 pylint: disable=wrong-import-position

SECOND = (BROKEN / "cross-check-stale.cross-check.yaml").read_text().replace(
    "{id: cross-check-stale, revision: 1}", "{id: neighbour, revision: 2}")
FIRST_NAME, SECOND_NAME = "neighbour.engine.yaml", "neighbour.cross-check.yaml"
COUNT, ORDER = "count-unproven", "order-unproven"
ALL = {(COUNT, "FAN"), (COUNT, "HPC-1"), (COUNT, "HPT-1"), (ORDER, "FAN"), (ORDER, "HPC-1"),
       (ORDER, "HPC-2"), (ORDER, "HPT-1")}  # blade one of HPC-2 came back after 40
RANDOM = share.number(400, least=20)


def notes(found):
    """{(rule, stage)} of the two rules."""
    return {(item["rule"], item["stage"]) for item in found if item["rule"] in UNPROVEN}


class Unproven(Folder):
    """Runs `check` on a definition, with a cross-check or without."""

    def judge(self, first=GOOD, second=None, *options):
        """All findings."""
        self.put(FIRST_NAME, first)
        (self.folder / SECOND_NAME).unlink(missing_ok=True)
        if second is not None:
            self.put(SECOND_NAME, second)
        return findings(self.folder, *options, FIRST_NAME, unproven=True)[1]

    def noted(self, first=GOOD, second=None, *options):
        """{(rule, stage)}: no other finding is there."""
        found = self.judge(first, second, *options)
        self.assertEqual([item for item in found if item["rule"] not in UNPROVEN], [])
        return notes(found)


def seen(line, by="pad: crank", text=GOOD):
    """The clean definition with a further observation."""
    return text + f"  - {{{by}, {line}}}\n"


class Asked(Unproven):
    """Who is asked."""

    def test_a_released_definition(self):
        self.assertEqual(self.noted(), ALL)

    def test_no_other(self):
        for status in ("draft", "withdrawn"):
            text = changed(("status: released", f"status: {status}"))
            self.assertEqual(notes(self.judge(text)), set(), status)

    def test_places_are_those_of_the_values(self):
        lines = GOOD.splitlines()
        for item in self.judge():
            key = {COUNT: "blades", ORDER: "numbering"}[item["rule"]]
            line = lines[item["line"] - 1]
            self.assertEqual(line[:item["column"] - 1], f"    {key}: ")
            self.assertIn(line[item["column"] - 1:item["end_column"] - 1], item["message"])

    def test_two_blades_have_one_order(self):
        for blades, asked in ((1, False), (2, False), (3, True)):
            text = changed(("    blades: 24\n", f"    blades: {blades}\n"))
            found = notes(self.judge(text))
            self.assertIn((COUNT, "FAN"), found)
            self.assertEqual((ORDER, "FAN") in found, asked)

    def test_nothing_while_something_is_unread(self):
        """What could not be read may be the evidence."""
        for old, new, rule in (("  - pad: crank\n    counted", "  - pat: crank\n    counted", None),
                               ("returned: {stage: HPC-2", "returned: {stage: HPC-3",
                                "reference-unknown"),
                               ("id: HPT-1", "id: HPC-2", "id-taken"),
                               ("id: HPT-1", "id: HPT_1", "id-malformed")):
            found = {item["rule"] for item in self.judge(changed((old, new)))}
            self.assertEqual(found & UNPROVEN, set(), new)
            self.assertTrue(found, new)
            self.assertIn(rule, {*found, None})
        for second in ("{", SECOND.replace("blades: 30", "blades: 3o"), "policy: 1\n"):
            found = {item["rule"] for item in self.judge(GOOD, second)}
            self.assertEqual(found & UNPROVEN, set(), second[:20])
            self.assertTrue(found)


class Evidence(Unproven):
    """What ends the note."""

    def test_a_second_reading(self):
        self.assertEqual(self.noted(GOOD, SECOND), set())

    def test_its_stages_in_another_order(self):
        head, stages = SECOND.split("stages:\n")
        stages, rest = stages.split("pads:\n")
        parts = [f"  - id: {part}" for part in stages.split("  - id: ")[1:]]
        second = f"{head}stages:\n{''.join(parts[1:] + parts[:1])}pads:\n{rest}"
        self.assertEqual(self.noted(GOOD, second), set())

    def test_one_that_disagrees_is_the_only_finding(self):
        found = self.judge(GOOD, SECOND.replace("blades: 30", "blades: 31"))
        self.assertEqual([item["rule"] for item in found], ["cross-check-disagrees"])

    def test_one_of_another_engine_is_the_only_finding(self):
        found = self.judge(GOOD, SECOND.replace("id: neighbour", "id: other"))
        self.assertEqual([item["rule"] for item in found], ["cross-check-disagrees"])

    def test_one_that_leaves_the_value_out_says_so_in_one_finding(self):
        for key, line in (("blades", "    blades: 60\n"),
                          ("numbering", "    numbering: with-rotation\n")):
            at = SECOND.index("  - id: HPT-1")
            second = SECOND[:at] + SECOND[at:].replace(line, "", 1)
            self.assertNotEqual(second, SECOND)
            (finding,) = self.judge(GOOD, second)
            self.assertEqual(finding["rule"], "cross-check-partial")
            self.assertIn(key, finding["message"])
            self.assertRegex(finding["related"][0]["message"], "^only one reading says that HPT-1")

    def test_a_policy_that_asks_for_more_is_not_silenced_by_that(self):
        policy = self.put("strict.policy.yaml", f"policy: 1\nrules: {{{COUNT}: error}}\n")
        at = SECOND.index("  - id: HPT-1")
        second = SECOND[:at] + SECOND[at:].replace("    blades: 60\n", "", 1)
        found = self.judge(GOOD, second, "--policy", policy)
        self.assertEqual({(item["rule"], item["severity"]) for item in found},
                         {("cross-check-partial", "note"), (COUNT, "error")})

    def test_observations_of_the_count(self):
        for line, proven in (("passed: {stage: HPT-1, blades: 120, rotor: 2 rev}", True),
                             ("passed: {stage: HPT-1, blades: 120, rotor: 2 +/- 0.01 rev}", True),
                             ("step: {stage: HPT-1, pad: 13.5 +/- 0.1 deg}", True),
                             ("returned: {stage: HPT-1, after: 60, pad: 2.25 +/- 0.02 rev}", True),
                             ("blade-order: {stage: HPT-1, first: 9, then: 8}", False)):
            with self.subTest(line):
                self.assertEqual((COUNT, "HPT-1") in self.noted(seen(line)), not proven)

    def test_a_coarse_one_is_in_the_note(self):
        for line in ("passed: {stage: HPT-1, blades: 120, rotor: 2.00 +/- 0.05 rev}",
                     "step: {stage: HPT-1, pad: 13.5 +/- 0.3 deg}"):
            found = self.judge(seen(line))
            self.assertEqual(notes(found), ALL)
            self.assertEqual(len(found), len(ALL))
            (note,) = [item for item in found if (item["rule"], item["stage"]) == (COUNT, "HPT-1")]
            self.assertIn("of HPT-1", note["related"][0]["message"])

    def test_one_that_weighs_more_takes_the_note(self):
        policy = self.put("seen.policy.yaml", "policy: 1\nrules: {observation-missing: warning}\n")
        found = self.judge(seen("step: {stage: HPT-1, pad: 13.5 +/- 0.3 deg}"), None,
                           "--policy", policy)
        self.assertNotIn((COUNT, "HPT-1"), notes(found))
        (coarse,) = [item for item in found if item["rule"] == "observation-missing"]
        self.assertEqual(coarse["severity"], "warning")
        self.assertIn("only one reading", coarse["related"][0]["message"])

    def test_the_order(self):
        line = "blade-order: {stage: HPT-1, first: 9, then: 8}"
        self.assertEqual(self.noted(seen(line)), ALL - {(ORDER, "HPT-1")})

    def test_the_last_blade_and_blade_one_prove_both(self):
        for line in ("blade-order: {stage: HPT-1, first: 1, then: 60}",):
            self.assertEqual(self.noted(seen(line)), ALL - {(ORDER, "HPT-1"), (COUNT, "HPT-1")})


class Weight(Unproven):
    """Policies, waivers, and how many notes a person reads."""

    def test_a_policy_raises_it(self):
        for rule in UNPROVEN:
            policy = self.put("strict.policy.yaml", f"policy: 1\nrules: {{{rule}: error}}\n")
            self.put(FIRST_NAME, GOOD)
            status, found = findings(self.folder, "--policy", policy, FIRST_NAME, unproven=True)
            self.assertEqual(status, 1)
            self.assertEqual({item["severity"] for item in found if item["rule"] == rule},
                             {"error"})

    def test_a_waiver_of_one_stage(self):
        waiver = (f"waive: [{{rule: {COUNT}, stage: FAN, because: counted in the shop,"
                  " until: 2099-01-01}]\n")
        found = self.judge(GOOD + waiver)
        self.assertEqual({(item["rule"], item["stage"]) for item in found if "waived" in item},
                         {(COUNT, "FAN")})
        self.assertEqual(notes(found), ALL)

    def test_text_shows_one_of_each(self):
        self.put(FIRST_NAME, GOOD)
        lines = run(self.folder, "check", FIRST_NAME).stdout.decode().splitlines()
        self.assertEqual([line.rsplit(" ", 1)[1] for line in lines if "[" in line],
                         [f"[{rule}]" for rule in (COUNT, ORDER, COUNT, ORDER)])
        self.assertIn(f"{FIRST_NAME}: note: 2 more of these [{COUNT}]", lines)
        self.assertIn(f"{FIRST_NAME}: note: 3 more of these [{ORDER}]", lines)


class Slips(Folder):
    """`slips` says that a value is read twice or observed exactly where no note is."""

    def agree(self, folder, *names):
        """Compares both for all definitions; how many values were read once, and how many not."""
        told = json.loads(run(folder, "slips", "-j1", "-f", "json", *names).stdout)["definitions"]
        found = findings(folder, *names, unproven=True)[1]
        once = known = 0
        for definition in told:  # those without an error
            values = {(rule, value["id"]):
                      value["known"]["read_twice"] or value["known"]["observed"]
                      for value in definition["values"]
                      for key, rule in (("blades", COUNT), ("numbering", ORDER))
                      if value["key"].split(".")[0] == key}
            noted = notes(item for item in found if item["file"] == definition["file"])
            self.assertEqual({value for value, is_known in values.items() if not is_known}, noted,
                             definition["file"])
            once, known = once + len(noted), known + len(values) - len(noted)
        return once, known

    def test_demonstration(self):
        names = [f"engines/{path.name}" for path in (DEMO / "engines").glob("*.engine.*")
                 if "swingle" not in path.name]  # a draft
        self.assertGreater(min(self.agree(DEMO, *names)), 0)

    def test_random_definitions(self):
        names = []
        for number in range(RANDOM):
            source = generate.definition(13, number, devices.device(13, devices.device_number(
                number)))
            source["status"] = "released"
            names.append(self.put(f"{source['id']}.engine.yaml",
                                  generate.definition_text(13, number, source)))
        self.assertGreater(min(self.agree(self.folder, *names)), RANDOM // 2)


if __name__ == "__main__":
    unittest.main()
