"""A definition that was broken at the base can still be compared, also with its repair."""

import itertools
import operator
import pathlib
import shutil
import sys
import unittest

from definitions import HARROW, TERN, edited
from repository import Repository

sys.path.insert(1, str(pathlib.Path(__file__).resolve().parents[1]))
import share  # noqa: E402 pylint: disable=wrong-import-position


@unittest.skipUnless(shutil.which("git"), "git is not installed")
class Base(Repository):
    """Definitions that were broken at HEAD."""

    UNKNOWN = ("what it was before is not known, as HEAD:engines/harrow-20.engine.yaml cannot be "
               "read: any stop may have moved; look at every stop again")
    REMARK = ("HEAD:engines/harrow-20.engine.yaml cannot be read: it has {}. The earlier stops of "
              "harrow-20 are not known, so any of them may have moved: check every stop of the new "
              "release")

    def corrected(self, broken):
        """Commits harrow-20 broken, corrects it and gives tern-5 another blade."""
        self.write(self.harrow, broken)
        self.write(self.tern, TERN)
        self.commit()
        self.write(self.harrow, HARROW)
        self.write(self.tern, edited(TERN, ("revision: 1", "revision: 2"),
                                     ("blades: 25", "blades: 26")))

    def test_broken_then(self):
        """What was broken keeps neither its repair nor other engines from being compared."""
        cases = itertools.product(
            (["engines"], [self.harrow, self.tern]),
            (("{", "1 error"),
             (edited(HARROW, ("40 lbf.ft", "40"), ("20 lbf.ft", "20")), "2 errors"),
             (HARROW + "#" * (1 << 20), "1 error")))
        for paths, (broken, errors) in share.sample(cases, operator.itemgetter(1)):
            self.corrected(broken)
            status, out, err = self.run_program("compare", "--base", "HEAD", *paths)
            self.assertEqual((status, err), (1, f"rotortab: {self.REMARK}\n".format(errors)))
            self.assertEqual(out.splitlines(), [
                "harrow-20: stops", "  " + self.UNKNOWN, "tern-5: stops",
                "  C-1: 25 -> 26 blades: every stop moves, at most 13.9 deg of rotor",
                "  revision 1 -> 2", "2 engines: 2 changed; the worst is stops"])

    def test_broken_then_for_programs_and_reviewers(self):
        self.corrected("{")
        remark = self.REMARK.format("1 error")
        report = self.report("--base", "HEAD", "engines")
        self.assertEqual([report[key] for key in ("class", "failures", "remarks", "findings")],
                         ["stops", [], [remark], []])
        engine = report["engines"][0]
        self.assertEqual([engine[key] for key in ("id", "fate", "revision_before",
                                                  "revision_after")],
                         ["harrow-20", "changed", None, 4])
        self.assertEqual([(c["class"], c["field"], c["message"]) for c in engine["changes"]],
                         [("stops", "earlier_release", self.UNKNOWN)])
        lines = self.compare("-f", "markdown", "--base", "HEAD", "engines")
        self.assertIn(f"- {remark}", lines)
        self.assertIn(f"| **stops** | engine | {self.UNKNOWN} |", lines)

    def test_broken_then_is_told_by_its_text_before_its_name(self):
        self.write(self.tern, "policy: 1\nseverities: {no-such-rule: error}\n")
        self.write("engines/own.policy.yaml", "{")
        self.write("engines/bench-9.device.yaml", "device-profile: 1\n: {\n")
        self.write(self.harrow, edited(HARROW, ("id: harrow-20", "id: harrow-21"),
                                       ("40 lbf.ft", "40")))
        self.commit()
        self.write(self.harrow, HARROW)
        for name in (self.tern, "engines/own.policy.yaml", "engines/bench-9.device.yaml"):
            (self.folder / name).unlink()
        report = self.report("--base", "HEAD", "engines")
        self.assertEqual([(e["id"], e["fate"]) for e in report["engines"]],
                         [("harrow-20", "added"), ("harrow-21", "gone")])
        self.assertEqual(report["engines"][1]["changes"][0]["message"],
                         "removed: the device no longer finds it, and what it was is not known, as "
                         "HEAD:engines/harrow-20.engine.yaml cannot be read")

    def test_errors_of_check_then(self):
        self.corrected(edited(HARROW, ("    torque-limit: 40 lbf.ft\n", ""), ("revision: 4",
                                                                           "revision: 3")))
        status, out, err = self.run_program("compare", "--base", "HEAD", "engines")
        self.assertEqual((status, err), (
            1, "rotortab: HEAD:engines/harrow-20.engine.yaml: check finds 1 error; compare "
               "uses its values as they are written\n"))
        self.assertIn("  crank: torque limit none -> 40 lbf.ft\n", out)

    def test_one_id_twice_then(self):
        self.write("engines/x/harrow-20.engine.yaml", HARROW)
        self.commit()
        (self.folder / "engines/x/harrow-20.engine.yaml").unlink()
        report = self.report("--base", "HEAD", "engines")
        self.assertIn("HEAD:engines/x/harrow-20.engine.yaml both define it: any stop may have",
                      report["engines"][0]["changes"][0]["message"])
        self.assertEqual((report["same"], len(report["remarks"])), (1, 1))

    def test_a_ratio_beyond_64_bits_then(self):
        long = "path: [" + ", ".join(["external: [9973, 9967]"] * 20) + "]"
        self.write(self.tern, edited(TERN, ("path: [external: [20, 40]]", long)))
        self.commit()
        self.write(self.tern, TERN)
        report = self.report("--base", "HEAD", "engines")
        self.assertEqual([(e["id"], e["changes"][0]["field"]) for e in report["engines"]],
                         [("tern-5", "earlier_release")])

    def test_broken_then_and_now(self):
        self.corrected("{")
        self.write(self.harrow, "{")
        err = self.trouble("--base", "HEAD", "engines")
        self.assertIn(self.REMARK.format("1 error"), err)
        self.assertIn("engines/harrow-20.engine.yaml:2:1: error: ", err.split("new release")[1])


if __name__ == "__main__":
    unittest.main()
