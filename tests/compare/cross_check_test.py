"""A cross-check that comes, changes or goes is evidence, and not a change on the engine."""

import itertools
import json
import operator
import pathlib
import shutil
import sys
import unittest

from definitions import DEVICE, HARROW, TERN, edited
from repository import Repository

sys.path.insert(1, str(pathlib.Path(__file__).resolve().parents[1]))
import share  # noqa: E402 pylint: disable=wrong-import-position

SECOND = """\
cross-check: 1
of: {id: tern-5, revision: 1}
read-from: Invented
read-on: 2026-06-02
spools:
  - {id: N1, rotation: {sense: ccw, view: forward-looking-aft}, max-speed: 360 deg/min}
stages:
  - {id: C-1, spool: N1, blades: 25, numbering: with-rotation}
"""
NEXT = edited(SECOND, ("revision: 1}", "revision: 2}"), ("06-02", "07-01"))
FIRST_NAME, SECOND_NAME = "tern-5.engine.yaml", "tern-5.cross-check.yaml"


@unittest.skipUnless(shutil.which("git"), "git is not installed")
class Evidence(Repository):
    """tern-5 with and without its cross-check."""

    def sides(self, before, after, first=TERN, now=TERN):
        """The changes from one pair to another, as one line each."""
        for side, text, second in (("a", first, before), ("b", now, after)):
            self.write(f"{side}/{FIRST_NAME}", text)
            if second:
                self.write(f"{side}/{SECOND_NAME}", second)
            else:
                (self.folder / side / SECOND_NAME).unlink(missing_ok=True)
        status, out, err = self.run_program("compare", f"a/{FIRST_NAME}", f"b/{FIRST_NAME}")
        folders = self.run_program("compare", "a", "b")
        self.assertEqual((status, out, err), folders)
        self.assertEqual((status, err), (int(not out.startswith("no difference")), ""), out)
        return out.splitlines()

    def test_the_same(self):
        self.assertEqual(self.sides(SECOND, SECOND), ["no difference: 1 engine: 1 the same"])

    def test_comes_changes_and_goes(self):
        for before, after, line in (
                (None, SECOND, "cross-check added: revision 1, read on 2026-06-02"),
                (SECOND, None, "cross-check removed: revision 1, read on 2026-06-02"),
                (SECOND, NEXT, "cross-check of revision 1, read on 2026-06-02 -> of revision 2, "
                               "read on 2026-07-01"),
                (SECOND, edited(SECOND, ("blades: 25, ", "")),
                 "the text of the cross-check has changed: revision 1, read on 2026-06-02")):
            self.assertEqual(self.sides(before, after), [
                "tern-5: text", f"  evidence: {line}", "1 engine: 1 changed; the worst is text"])

    def test_has_a_field_of_its_own(self):
        self.sides(None, SECOND)
        report = self.report("a", "b")
        self.assertEqual((report["class"], report["findings"]), ("text", []))
        (change,) = report["engines"][0]["changes"]
        self.assertEqual((change["class"], change["subject"], change["field"], change["before"],
                          change["after"]),
                         ("text", "engine", "cross_check", None,
                          "revision 1, read on 2026-06-02"))

    def test_beside_other_changes(self):
        now = edited(TERN, ("revision: 1", "revision: 2"), ("40 N.m", "41 N.m"))
        lines = self.sides(SECOND, NEXT, TERN, now)
        self.assertEqual(lines[0], "tern-5: limits")
        self.assertIn("  evidence: cross-check of revision 1, read on 2026-06-02 -> of revision 2, "
                      "read on 2026-07-01", lines)
        lines = self.sides(None, SECOND, TERN, TERN + "# a comment\n")
        self.assertEqual(lines[1:3], [
            "  only comments, layout or the way numbers are written differ",
            "  evidence: cross-check added: revision 1, read on 2026-06-02"])

    def test_no_revision_has_to_rise_for_it(self):
        self.assertEqual(self.sides(None, SECOND)[-1], "1 engine: 1 changed; the worst is text")

    def test_a_table_does_not_have_it(self):
        """The bytes of a table do not depend on it."""
        self.sides(None, SECOND)
        for side in "ab":
            self.table(f"{side}.rotor", f"{side}/{FIRST_NAME}")
        self.assertEqual(*((self.folder / f"{side}.rotor").read_bytes() for side in "ab"))
        self.compare("a.rotor", "b.rotor", status=0)
        self.compare("-d", self.write("bench-9.device.yaml", DEVICE), "a.rotor", f"b/{FIRST_NAME}",
                     status=0)

    def test_since_a_revision(self):
        """It is looked for in the revision where the definition comes from, not in the folder."""
        beside = self.folder / "engines/small" / SECOND_NAME
        name = str(beside.relative_to(self.folder))
        ways = (["engines"], ["."], [self.tern], [name], [self.tern, "engines"])
        cases = share.sample(itertools.product(("added", "kept", "removed"), ways),
                             lambda case: tuple(case[1]))
        for state, same in itertools.groupby(cases, operator.itemgetter(0)):
            if state == "removed":
                beside.unlink()
            else:
                beside.write_text(SECOND)
            if state == "kept":
                self.commit()
            for _, paths in same:
                engines = 1 if len(paths) == 1 and "small" in paths[0] else 2
                if state == "kept":
                    self.assertEqual(self.compare("--base", "HEAD", *paths, status=0),
                                     [f"no difference: {engines} engine{'s' * (engines > 1)}: "
                                      f"{engines} the same"])
                    continue
                named = [self.tern] if state == "removed" else []
                self.assertEqual(self.compare("--base", "HEAD", *named, *paths)[1],
                                 f"  evidence: cross-check {state}: revision 1, read on 2026-06-02")

    def test_mistakes_in_an_earlier_one(self):
        """They leave the earlier numbers known; what is wrong now gives status 2."""
        for wrong in ("cross-check: 1\n", edited(SECOND, ("25", "twenty")),
                      edited(SECOND, ("25", "52")), "{", "policy: 1\n"):
            self.write(f"a/{FIRST_NAME}", TERN)
            self.write(f"a/{SECOND_NAME}", wrong)
            self.write(f"b/{FIRST_NAME}", TERN)
            self.write(f"b/{SECOND_NAME}", SECOND)
            status, out, err = self.run_program("compare", "--format", "json", "a", "b")
            report = json.loads(out)
            self.assertEqual((status, report["class"], report["failures"]), (1, "text", []), err)
            self.assertEqual([change["field"] for change in report["engines"][0]["changes"]],
                             ["cross_check"])
            self.assertEqual(len(report["remarks"]), 1, err)
            status, out, err = self.run_program("compare", "--format", "json", "b", "a")
            report = json.loads(out)
            self.assertEqual((status, report["class"]), (2, "text"), err)
            self.assertEqual(len(report["failures"]), 1, err)

    def test_a_slip_that_the_revision_finds(self):
        """Each side is judged with its own second reading."""
        self.write(self.harrow, HARROW)
        beside = self.write("engines/harrow-20.cross-check.yaml",
                            "cross-check: 1\nof: {id: harrow-20, revision: 4}\nread-from: x\n"
                            "read-on: 2026-06-02\nstages: [{id: HPC-3, blades: 69}]\n")
        self.commit()
        status, out, err = self.run_program("compare", "--base", "HEAD", "engines")
        self.assertEqual(status, 2, out)
        self.assertEqual(err.count("check finds 1 error"), 2, err)
        (self.folder / beside).unlink()
        status, out, err = self.run_program("compare", "--base", "HEAD", "engines")
        self.assertEqual((status, err.count("check finds 1 error")), (1, 1), out + err)


if __name__ == "__main__":
    unittest.main()
