"""Each rule finds the mistake in a file with one mistake, at the place to correct.

The last lines of each broken file of the demonstration say what has to be found in it; nothing else
may be. What only shows when a table is made or two revisions are compared is made here.
"""

import functools
import re
import unittest

from checking import (ARITHMETIC, BROKEN, DEMO, GOOD, Folder, changed, expected, findings,
                      rules_by_id, run)

# What is missing, or wrong as it stands in the file.
NOTHING_CALCULATED = {"observation-missing", "backlash-missing", "torque-missing",
                      "speed-missing", "epicyclic-members",
                      "clocking-range"}

# Which tests below trip the rules that no file of the demonstration does.
ELSEWHERE = {"too-large", "draft-compiled", "table-too-large", "slip-passes",
             "stages-not-in-table",
             "waiver-expired", "waiver-unused", "waiver-refused", "revision-kept"}


@functools.cache
def judged(arguments):
    """(status, findings) of a file of the demonstration, with all notes."""
    return findings(DEMO, *arguments, unproven=True)


def place(finding):
    """A finding as expected() has it, and its file."""
    return (finding["file"], finding.get("line"), finding.get("column"), finding["severity"],
            finding["rule"])


class Broken(unittest.TestCase):
    """The broken files of the demonstration."""

    maxDiff = None

    def test_exactly_what_is_expected(self):
        for arguments, places in expected().items():
            status, found = judged(arguments)
            with self.subTest(arguments=arguments):
                wanted = [(arguments[-1], *row) for row in places]
                self.assertEqual(sorted(map(place, found)), sorted(wanted))
                self.assertEqual(status, int(any(row[2] == "error" for row in places)))

    def test_every_file_is_expected(self):
        named = {word for arguments in expected() for word in arguments}
        helpers = {"broken/neighbour.engine.yaml", "broken/rotortab.policy.yaml",
                   "broken/rotortab.sources.yaml",
                   "broken/tiny-table.device.yaml"}
        files = {f"broken/{path.name}" for path in BROKEN.glob("*.yaml")}
        self.assertEqual({name for name in files - named - helpers
                          if self.beside(name) not in named}, set())

    @staticmethod
    def beside(name):
        """The file that is judged together with it: of a definition and its cross-check."""
        other = {"engine": "cross-check", "cross-check": "engine"}
        stem, kind, ending = name.rsplit(".", 2)
        return f"{stem}.{other.get(kind, kind)}.{ending}"

    def test_neighbour_is_clean(self):
        for device in ([], ["--device", "broken/plain.device.yaml"]):
            clean = "broken/neighbour.engine.yaml"
            self.assertEqual(findings(DEMO, *device, clean, unproven=True), (0, []))

    def test_every_rule_is_tripped(self):
        tripped = {row[3] for places in expected().values() for row in places}
        self.assertEqual(set(rules_by_id()) - tripped, ELSEWHERE)

    def test_severities_are_those_of_the_rows(self):
        """A finding weighs what its row says, usually or in its special case."""
        rules = rules_by_id()
        for places in expected().values():
            for _, _, severity, rule in places:
                usual_or_special = {rules[rule]["severity"], rules[rule].get("special_severity")}
                if usual_or_special != {"off", None}:  # else the policy gives it one
                    self.assertIn(severity, usual_or_special, rule)

    def test_special_cases_are_tripped(self):
        """What a row says of a special case is true of a file; one shows when a table is made."""
        told = {(row[3], row[2]) for places in expected().values() for row in places}
        special = {(rule, row["special_severity"]) for rule, row in rules_by_id().items()
                   if "special_severity" in row}
        self.assertEqual(special - told, {("draft-compiled", "note"), ("slip-passes", "note")})


class Listed(unittest.TestCase):
    """What `rules` prints."""

    def test_every_row_is_listed(self):
        said = run(DEMO, "rules").stdout.decode()
        for rule, row in rules_by_id().items():
            self.assertRegex(said, rf"(?m)^  {rule} +{row['severity']} +{re.escape(row['finds'])}$")

    def test_every_row_is_explained(self):
        for rule, row in rules_by_id().items():
            said = run(DEMO, "rules", rule).stdout.decode()
            for text in (row["finds"], row["why"], row["remedy"], row["family"]):
                self.assertIn(text, said)
            special = (f", {row['special_severity']} {row['special_when']}"
                       if "special_severity" in row else "")
            self.assertIn(f"severity  {row['severity']}{special};", said)


class Shape(unittest.TestCase):
    """What every finding has."""

    @staticmethod
    def every_finding():
        return [finding for arguments in expected()
                for finding in judged(arguments)[1]]

    def test_words(self):
        rules = rules_by_id()
        for finding in self.every_finding():
            with self.subTest(finding=finding):
                for key in ("message", "consequence", "remedy"):
                    self.assertGreaterEqual(len(finding[key].strip()), len("Nothing."))
                    self.assertNotIn("\n", finding[key])
                for key in ("consequence", "remedy"):
                    self.assertRegex(finding[key], r"^[A-Z].*[.?]$")
                self.assertEqual(finding["family"], rules[finding["rule"]]["family"])

    def test_places_lie_in_their_files(self):
        for finding in self.every_finding():
            for span in (finding, *finding["related"]):
                with self.subTest(finding=finding):
                    self.assert_in_file(span)

    def assert_in_file(self, span):
        lines = (DEMO / span["file"]).read_bytes().decode("utf-8", "replace").split("\n")
        start, end = (span["line"], span["column"]), (span["end_line"], span["end_column"])
        self.assertLess(start, end)
        self.assertGreaterEqual(min(start), 1)
        self.assertLessEqual(end[0], len(lines))
        # What is missing at the very end is shown one column wide behind the last character.
        for line, column in (start, end):
            self.assertLessEqual(column, len(lines[line - 1]) + 2)

    def test_numbers_of_the_arithmetic(self):
        for finding in self.every_finding():
            if finding["family"] in ARITHMETIC and finding["rule"] not in NOTHING_CALCULATED:
                with self.subTest(finding=finding):
                    self.assertTrue(finding["numbers"])
            for name, number in finding["numbers"].items():
                self.assertRegex(name, r"^[a-z][a-z0-9_]*$")
                self.assertIsInstance(number, str)

    def test_notes_of_the_other_end(self):
        """A contradiction shows both its ends."""
        both = {"duplicate-key", "id-taken", "ratio-disagrees", "ratio-swapped", "sense-disagrees",
                "observation-disagrees", "observation-sense"}
        for finding in self.every_finding():
            if finding["rule"] in both:
                self.assertTrue(finding["related"], finding)


class Elsewhere(Folder):
    """Rules that no file of the demonstration trips."""

    def compile(self, name, *options, device="plain.device.yaml", status):
        done = run(self.folder, "compile", "--device", device, "-o", "t.rotor", *options, name)
        self.assertEqual(done.returncode, status, done.stderr.decode())
        self.assertEqual((self.folder / "t.rotor").exists(), status == 0)
        return done.stderr.decode()

    def test_too_large(self):
        self.put("big.engine.yaml", "#" * (1 << 20) + "\n")
        self.assertEqual(self.found("big.engine.yaml"), [("too-large", "error")])

    def test_table_too_large(self):
        self.put("neighbour.engine.yaml", GOOD)
        self.put("tiny-table.device.yaml", (BROKEN / "tiny-table.device.yaml").read_text())
        self.assertEqual(self.found("--device", "tiny-table.device.yaml",
                                    "neighbour.engine.yaml"), [])
        said = self.compile("neighbour.engine.yaml", device="tiny-table.device.yaml", status=1)
        self.assertRegex(said, r"tiny-table.device.yaml:\d+:\d+: error: .*\[table-too-large\]")

    def test_draft(self):
        self.put("neighbour.engine.yaml", changed(("status: released", "status: draft")))
        self.assertEqual(self.found("neighbour.engine.yaml"), [])
        said = self.compile("neighbour.engine.yaml", "--drafts", status=0)
        self.assertRegex(said, r":7:9: warning: .*\[draft-compiled\]")
        (self.folder / "t.rotor").unlink()
        self.compile("neighbour.engine.yaml", "--drafts", "--strict", status=1)

    def test_stages_not_in_table(self):
        """Only where a table is made, and only of a definition that goes into it."""
        note = r":14:9: note: (.*) \[stages-not-in-table\]"
        self.put("neighbour.engine.yaml", GOOD)
        self.assertEqual(self.found("neighbour.engine.yaml"), [])
        said = self.compile("neighbour.engine.yaml", status=0)
        self.assertEqual(re.findall(note, said),
                         ["1 stage of spool LP is not in the table: no pad turns the spool"])
        more = ("    spool: HP\n    role: turbine", "    spool: LP\n    role: turbine")
        self.put("neighbour.engine.yaml", changed(more))
        said = self.compile("neighbour.engine.yaml", status=0)
        self.assertEqual(re.findall(note, said),
                         ["2 stages of spool LP are not in the table: no pad turns the spool"])
        self.put("neighbour.engine.yaml", changed(("status: released", "status: draft")))
        (self.folder / "t.rotor").unlink()
        self.assertNotIn("stages-not-in-table", self.compile("neighbour.engine.yaml", status=2))
        said = self.compile("neighbour.engine.yaml", "--drafts", status=0)
        self.assertIn("stages-not-in-table", said)

    def test_withdrawn(self):
        self.put("neighbour.engine.yaml", changed(("status: released", "status: withdrawn")))
        self.assertEqual(self.found("neighbour.engine.yaml"), [("withdrawn", "note")])
        said = self.compile("neighbour.engine.yaml", status=1)
        self.assertRegex(said, r":7:9: error: .*\[withdrawn\]")
        for command in ("sheet", "stops"):
            done = run(self.folder, command, "-d", "plain.device.yaml", "neighbour.engine.yaml")
            self.assertEqual((done.returncode, done.stdout), (1, b""))
            self.assertRegex(done.stderr, rb":7:9: error: .*\[withdrawn\]")

    def test_withdrawn_stays_withdrawn(self):
        waived = changed(("status: released", "status: withdrawn"))
        waived += "waive: [{rule: withdrawn, because: x, until: 2099-01-01}]\n"
        self.put("neighbour.engine.yaml", waived)
        said = self.compile("neighbour.engine.yaml", status=1)
        self.assertIn("[withdrawn]", said)
        self.assertIn("[waiver-refused]", said)

    def test_mistyped_key_is_one_mistake(self):
        for key in ("numbering: against", "torque-limit: 40", "backlash: 0.5", "blades: 30",
                    "faces: "):
            wrong = key.replace("i", "", 1) if "i" in key else key.replace("a", "", 1)
            self.put("neighbour.engine.yaml", GOOD.replace(key, wrong, 1))
            self.assertEqual(self.found("neighbour.engine.yaml"), [("unknown-key", "error")], wrong)

    def test_unread_observations_may_have_counted(self):
        head, _ = GOOD.split("observations:\n")
        self.put("neighbour.engine.yaml", head)
        self.assertIn(("observation-missing", "note"), self.found("neighbour.engine.yaml"))
        self.put("neighbour.engine.yaml", head + "observations: 5\n")
        self.assertEqual(self.found("neighbour.engine.yaml"), [("wrong-shape", "error")])

    def test_measured_too_exactly(self):
        """An observation that cannot be worked out is not taken for one that agrees."""
        long = "61.1234567890123456"
        for key in (f"counted: {{pad: {long} arcmin, rotor: 10 rev}}",
                    f"returned: {{stage: HPC-2, after: 40, pad: {long} arcmin}}",
                    "passed: {stage: HPC-1, blades: 400, rotor: 3600.00000000000001 deg}",
                    f"step: {{stage: HPC-1, pad: {long} deg}}",
                    f"backlash: {long} rev"):
            self.put("neighbour.engine.yaml", GOOD + f"  - pad: crank\n    {key}\n")
            found = self.found("neighbour.engine.yaml")
            self.assertIn(("number-too-large", "error"), found, key)

    def test_revision_kept(self):
        self.put("old/neighbour.engine.yaml", GOOD)
        self.put("new/neighbour.engine.yaml", changed(("backlash: 0.5 deg", "backlash: 0.6 deg")))
        done = run(self.folder, "compare", "old", "new")
        self.assertEqual(done.returncode, 2, done.stderr.decode())
        self.assertIn(b"[revision-kept]", done.stdout + done.stderr)
        self.put("new/neighbour.engine.yaml",
                 changed(("backlash: 0.5 deg", "backlash: 0.6 deg"), ("revision: 2",
                                                                      "revision: 3")))
        done = run(self.folder, "compare", "old", "new")
        self.assertEqual(done.returncode, 1, done.stderr.decode())
        self.assertNotIn(b"[revision-kept]", done.stdout + done.stderr)


class Waivers(Folder):
    """A finding that is accepted for a reason, for a time, and never silently."""

    def waived(self, rule, until="2026-12-31", more="", change=("backlash: 0.5 deg",
                                                                "backlash: 9 deg"),
               policy=()):
        waiver = f"waive:\n  - rule: {rule}\n    because: measured twice\n    until: {until}\n"
        self.put("neighbour.engine.yaml", changed(change) + waiver + more)
        return self.found(*policy, "neighbour.engine.yaml")

    def test_in_date(self):
        self.assertEqual(self.waived("backlash-large"), [("backlash-large", "error")])
        status, found = findings(self.folder, "neighbour.engine.yaml")
        self.assertEqual(status, 0)
        self.assertEqual(found[0]["waived"], "measured twice")
        said = run(self.folder, "check", "neighbour.engine.yaml").stdout
        self.assertIn(b"measured twice", said)

    def test_last_day_and_the_day_after(self):
        for day, rules in (("2026-06-21", ["backlash-large"]),
                           ("2026-06-20", ["backlash-large", "waiver-expired"])):
            found = self.waived("backlash-large", until=day)
            self.assertEqual(sorted(rule for rule, _ in found), rules)

    def test_past_its_day_it_fails_whatever_is_found(self):
        """A rule that looks at a device finds nothing without one; its waiver ends all the same."""
        sound = ("backlash: 0.5 deg", "backlash: 0.5 deg")
        for rule in ("counts-few", "draft-compiled"):
            self.assertEqual(self.waived(rule, until="2026-06-21", change=sound), [])
            found = self.waived(rule, until="2026-06-20", change=sound)
            self.assertEqual(found, [("waiver-expired", "error")])

    def test_twice_is_once_too_often(self):
        again = "  - {rule: backlash-large, because: again, until: 2026-12-31"
        found = self.waived("backlash-large", more=again + "}\n")
        self.assertEqual(found, [("backlash-large", "error"), ("waiver-unused", "error")])
        self.assertIn("a waiver above accepts all",
                      run(self.folder, "check", "neighbour.engine.yaml").stdout.decode())
        found = self.waived("backlash-large", until="2026-06-20", more=again + "}\n")
        self.assertEqual(sorted(found), [("backlash-large", "error"), ("waiver-expired", "error")])
        _, both = findings(self.folder, "neighbour.engine.yaml")
        self.assertEqual([f.get("waived") for f in both if f["rule"] == "backlash-large"],
                         ["again"])

    def test_today(self):
        self.waived("backlash-large")
        for day, status in (("2026-12-31", 0), ("2027-01-01", 1)):
            done = run(self.folder, "check", "--today", day, "neighbour.engine.yaml")
            self.assertEqual(done.returncode, status, done.stdout.decode())

    def test_for_another_pad(self):
        found = self.waived("backlash-large", more="    pad: crank\n")
        self.assertEqual(found, [("backlash-large", "error")])
        found = self.waived("backlash-large", more="    pad: starter\n")
        self.assertIn(("backlash-large", "error"), found)
        self.assertEqual(findings(self.folder, "neighbour.engine.yaml")[0], 1)

    def test_unused(self):
        sound = ("backlash: 0.5 deg", "backlash: 0.5 deg")
        found = self.waived("backlash-missing", change=sound)
        self.assertEqual(found, [("waiver-unused", "error")])
        more = "  - {rule: backlash-large, because: measured too, until: 2026-12-31}\n"
        found = self.waived("backlash-missing", more=more, change=sound)
        self.assertEqual(found, [("waiver-unused", "error")] * 2, "one does not hide the other")

    def test_refused(self):
        """What guards people and pads, and what the file itself gets wrong, is not accepted."""
        rules = rules_by_id()
        locked = [rule for rule, row in rules.items() if not row["can_be_lowered"]]
        self.assertGreater(len(locked), 20)
        for rule in locked:
            found = self.waived(rule, change=("backlash: 0.5 deg", "backlash: 0.5 deg"))
            self.assertEqual(found, [("waiver-refused", "error")], rule)

    def test_torque_stays(self):
        found = self.waived("torque-missing", change=("    torque-limit: 40 lbf.ft\n", ""))
        self.assertEqual(sorted(found), [("torque-missing", "error"), ("waiver-refused", "error")])


if __name__ == "__main__":
    unittest.main()
