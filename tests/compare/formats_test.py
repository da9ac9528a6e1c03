"""The forms of a comparison: JSON for programs, Markdown for a review, and texts from anywhere."""

import json
import re
import unittest

from definitions import HARROW, TERN, Folder, edited, layout

RAISED = ("revision: 4", "revision: 5")
FEWER = ("blades: 68", "blades: 67")
NO_TORQUE = ("    torque-limit: 40 lbf.ft\n", "")


class Json(Folder):
    """Keys are snake_case, exact numbers are strings."""

    def nothing(self, *arguments):
        """The JSON if nothing can be compared: as usual, except what could not be read."""
        report = self.report(*arguments, status=2)
        self.assertEqual({key: report[key] for key in ("class", "same", "table", "engines")},
                         {"class": None, "same": 0, "table": [], "engines": []})
        self.assertEqual((report["before"], report["after"]), arguments[-2:])
        return [f["rule"] for f in report["findings"]], report["failures"]

    def test_what_cannot_be_read(self):
        a, b = self.two(HARROW, "{")
        self.assertEqual(self.nothing(a, b), (["yaml-syntax"], []))
        missing = "cannot read nowhere.yaml: No such file or directory"
        self.assertEqual(self.nothing(a, "nowhere.yaml"), ([], [missing]))
        self.assertEqual(self.nothing("nowhere.yaml", b), (["yaml-syntax"], [missing]))
        self.assertEqual(self.nothing("-d", "nowhere.yaml", a, a), ([], [missing]))
        table = self.table("a.rotor", a)
        self.write("empty.rotor", b"")
        self.assertEqual(self.nothing(table, "empty.rotor"),
                         ([], ["empty.rotor: this is not a rotor table"]))
        self.assertEqual(self.nothing(table, a)[1],
                         ["compare needs --device FILE to compare sources with a table"])
        report = self.report("--base", "HEAD", a, status=2)
        self.assertEqual((report["before"], report["after"], report["class"]), ("HEAD", a, None))
        self.assertEqual(len(report["failures"]), 1)

    def test_wrong_words(self):
        a, b = self.two(HARROW, HARROW)
        for words, says in (((a, b, "--bose", "x"), "no option --bose"), ((a,), "two sides"),
                            (("--base", "HEAD"), "needs at least one definition"),
                            ((a, b, "--today", "2026-02-29"), "takes a date like")):
            report = self.report(*words, status=2)
            self.assertEqual((report["class"], report["engines"]), (None, []))
            self.assertIn(says, " ".join(report["failures"]))

    def test_what_cannot_be_read_is_json_alone(self):
        a, _ = self.two(HARROW, HARROW)
        for form in ("text", "markdown"):
            self.assertEqual(self.run_program("compare", "-f", form, a, "nowhere.yaml")[:2],
                             (2, ""))

    def test_whole(self):
        a, b = self.two(HARROW, edited(HARROW, RAISED, FEWER, ("40 lbf.ft", "121/3 lbf.ft")))
        self.assertEqual(self.report(a, b), {
            "before": a, "after": b, "class": "stops", "same": 0, "table": [], "findings": [],
            "failures": [], "remarks": [],
            "engines": [{
                "id": "harrow-20", "fate": "changed", "class": "stops", "revision_before": 4,
                "revision_after": 5, "changes": [
                    {"class": "stops", "subject": "stage", "id": "HPC-3", "field": "blades",
                     "before": "68", "after": "67", "unit": None, "rises": False,
                     "degrees_at_most": "90/17", "each_turn": False,
                     "message": "HPC-3: 68 -> 67 blades: every stop moves, at most 5.3 deg of "
                                "rotor"},
                    {"class": "limits", "subject": "pad", "id": "crank", "field": "torque_limit",
                     "before": "40", "after": "121/3", "unit": "lbf.ft", "rises": True,
                     "degrees_at_most": None, "each_turn": False,
                     "message": "crank: torque limit 40 lbf.ft -> 40.33333 lbf.ft, rises"},
                    {"class": "text", "subject": "engine", "id": None, "field": "revision",
                     "before": "4", "after": "5", "unit": None, "rises": False,
                     "degrees_at_most": None, "each_turn": False, "message": "revision 4 -> 5"}]}]})

    def test_ratio_is_exact(self):
        report = self.report(*self.two(HARROW, edited(HARROW, RAISED, ("[19, 37]", "[19, 38]"))))
        change = report["engines"][0]["changes"][0]
        self.assertEqual((change["before"], change["after"], change["degrees_at_most"],
                          change["each_turn"]),
                         ("35816/15903", "1936/837", "360/37", True))

    def test_units_that_differ_stand_with_the_numbers(self):
        report = self.report(*self.two(HARROW, edited(HARROW, RAISED, ("40 lbf.ft", "50 N.m"))))
        change = report["engines"][0]["changes"][0]
        self.assertEqual((change["before"], change["after"], change["unit"]),
                         ("40 lbf.ft", "50 N.m", None))

    def test_keys_are_snake_case(self):
        def keys(value):
            if isinstance(value, dict):
                yield from value
            for inner in (value.values() if isinstance(value, dict) else
                          value if isinstance(value, list) else ()):
                yield from keys(inner)
        report = self.report(*self.two(HARROW, edited(HARROW, FEWER)))
        for key in keys(report):
            self.assertRegex(key, r"^[a-z][a-z_]*$")

    def test_source_is_there_whole(self):
        report = self.report(*self.two(HARROW, edited(HARROW, ("source: Invented",
                                                           'source: "one\\ntwo"'))))
        change = report["engines"][0]["changes"][0]
        self.assertEqual((change["field"], change["before"]), ("source", "Invented"))
        self.assertIn("two", change["after"])


    def test_why_the_status_is_2(self):
        a, b = self.two(HARROW, edited(HARROW, RAISED, NO_TORQUE))
        report = self.report(a, b, status=2)
        self.assertEqual((report["class"], report["failures"], report["remarks"]), ("limits", [
            f"{b}: check finds 1 error; compare uses its values as they are "
            "written: correct it before it is released"], []))
        report = self.report(b, a, status=2)  # the revision fell
        self.assertEqual((report["failures"], report["remarks"]), ([], [
            f"{b}: check finds 1 error; compare uses its values as they are written"]))


class Markdown(Folder):
    """A table an engine, the worst first, and nothing in a text taken for markup."""

    def markdown(self, before, after, status=1):
        got, out, err = self.run_program("compare", "-f", "markdown", *self.two(before, after))
        kept = "**error**" in out
        self.assertEqual(got, 2 if status == 1 and kept else status, err)
        return out

    def test_whole(self):
        changed = edited(HARROW, FEWER, ("40 lbf.ft", "45 lbf.ft"))
        self.assertEqual(self.markdown(HARROW, changed), """\
## What changes on the engine: stops

a/harrow-20.engine.yaml -> b/harrow-20.engine.yaml: 1 engine: 1 changed

- **error** b/harrow-20.engine.yaml:5: harrow-20 has other stops than before, but its revision did \
not rise: 4 -> 4 (revision-kept)

### harrow-20: stops

| class | where | what changes |
|---|---|---|
| **stops** | HPC-3 | 68 -> 67 blades: every stop moves, at most 5.3 deg of rotor |
| **limits** | crank | torque limit 40 lbf.ft -> 45 lbf.ft, rises |
""")

    def test_why_the_status_is_2(self):
        wrong = edited(HARROW, RAISED, NO_TORQUE)
        self.assertIn("\n\n- **error** b/harrow-20.engine.yaml: check finds 1 error; compare "
                      "uses its values as they are written: correct it before it is "
                      "released\n\n### ",
                      self.markdown(HARROW, wrong, 2))
        self.assertIn("\n\n- a/harrow-20.engine.yaml: check finds 1 error; compare uses "
                      "its values as they are written\n\n### harrow-20",
                      self.markdown(wrong, edited(HARROW, ("revision: 4", "revision: 6"))))

    def test_nothing(self):
        self.assertEqual(self.markdown(HARROW, HARROW, status=0), """\
## What changes on the engine: none

a/harrow-20.engine.yaml -> b/harrow-20.engine.yaml: 1 engine: 1 the same
""")

    def test_markup_in_a_text(self):
        name = "a|b *c* _d_ `e` <f> [g](h) \\\\i @j #1 & ~k~ ! $l$"
        out = self.markdown(HARROW, edited(HARROW, ("name: Harrow 20", f'name: "{name}"')))
        row = next(line for line in out.splitlines() if "name" in line)
        self.assertEqual(len(re.findall(r"(?<!\\)\|", row)), 4, row)
        self.assertIn("a\\|b \\*c\\* \\_d\\_ \\`e\\` &lt;f> \\[g\\](h) \\\\i &#64;j &#35;1 &amp; "
                      "\\~k\\~ \\! \\$l\\$", row)

    def test_tables_have_three_columns(self):
        out = self.markdown(HARROW, edited(HARROW, RAISED, FEWER, ("two locking lugs", "a|b")))
        for line in out.splitlines():
            if line.startswith("|"):
                self.assertEqual(len(re.findall(r"(?<!\\)\|", line)), 4, line)


class Everywhere(Folder):
    """What holds in each form."""

    def test_text_from_a_table_moves_no_cursor(self):
        old, new = self.two(TERN, edited(TERN, ("name: Tern 5", "name: Tern X")), "tern-5")
        a, b = self.table("a.rotor", old), self.table("b.rotor", new)
        table = (self.folder / b).read_bytes()
        self.assertEqual(table.count(b"Tern X\0"), 1)
        self.write(b, layout.seal(table.replace(b"Tern X\0", b"\x1b[2J\xff!\0")))
        for form in ("text", "json", "markdown"):
            status, out, err = self.run_program("compare", "-f", form, a, b)
            self.assertEqual(status, 1, err)
            self.assertNotIn("\x1b", out)
            self.assertIn("\ufffd", json.loads(out)["engines"][0]["changes"][0]["message"]
                          if form == "json" else out)

    def test_the_same_every_time(self):
        for side, edits in (("a", ()), ("b", (FEWER, ("40 lbf.ft", "45 lbf.ft")))):
            for number in range(30):
                text = edited(HARROW, ("id: harrow-20", f"id: harrow-{number}"),
                              ("[Harrow 20, Harrow 20A]", f"[H{number}]"), *edits)
                self.write(f"{side}/harrow-{number}.engine.yaml", text)
        for form in ("text", "json", "markdown"):
            outputs = {self.run_program("compare", "-f", form, "-j", jobs, "a", "b")[1]
                       for jobs in ("1", "2", "8", "8")}
            self.assertEqual(len(outputs), 1)


if __name__ == "__main__":
    unittest.main()
