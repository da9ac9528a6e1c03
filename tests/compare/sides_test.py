"""Folders against folders: engines added, gone, renamed; the rule revision-kept; broken sides."""

import subprocess
import unittest

from definitions import DEVICE, HARROW, PROGRAM, TERN, Folder, edited

FEWER = ("blades: 68", "blades: 67")
RAISED = ("revision: 4", "revision: 5")
# The waiver of what is missing.
NO_MODELS = "waive: [{rule: models-missing, because: one of a kind, until: 2099-12-31}]"


class Folders(Folder):
    """What is in one folder and not in the other."""

    def test_same(self):
        for side in "ab":
            self.write(f"{side}/harrow-20.engine.yaml", HARROW)
            self.write(f"{side}/below/tern-5.engine.yaml", TERN)
        self.assertEqual(self.compare("a", "b", status=0),
                         ["no difference: 2 engines: 2 the same"])

    def test_added_and_gone(self):
        self.write("a/harrow-20.engine.yaml", HARROW)
        self.write("b/tern-5.engine.yaml", TERN)
        self.assertEqual(self.compare("a", "b"), [
            "harrow-20: stops",
            "  removed: the device no longer finds it",
            "tern-5: stops",
            "  added: 1 stage, 1 pad",
            "2 engines: 1 added, 1 removed; the worst is stops"])
        report = self.report("a", "b")
        self.assertEqual([(e["id"], e["fate"], e["revision_before"], e["revision_after"])
                          for e in report["engines"]],
                         [("harrow-20", "gone", 4, None), ("tern-5", "added", None, 1)])
        self.assertEqual(report["findings"], [])

    def test_renamed_with_its_designations(self):
        self.write("a/harrow-20.engine.yaml", HARROW)
        self.write("b/harrow-21.engine.yaml",
                   edited(HARROW, ("id: harrow-20", "id: harrow-21"), RAISED, FEWER))
        self.assertEqual(self.compare("a", "b"), [
            "harrow-21: stops",
            "  renamed: the device finds it as harrow-21, no longer as harrow-20",
            "  HPC-3: 68 -> 67 blades: every stop moves, at most 5.3 deg of rotor",
            "  revision 4 -> 5",
            "1 engine: 1 renamed; the worst is stops"])

    def test_renamed_with_its_numbers(self):
        self.write("a/harrow-20.engine.yaml", HARROW)
        self.write("b/harrow-21.engine.yaml",
                   edited(HARROW, ("id: harrow-20", "id: harrow-21"),
                          ("[Harrow 20, Harrow 20A]", "[Harrow 21]")))
        report = self.report("a", "b")
        self.assertEqual([e["fate"] for e in report["engines"]], ["renamed"])
        self.assertEqual([c["message"] for c in report["engines"][0]["changes"]], [
            "renamed: the device finds it as harrow-21, no longer as harrow-20",
            "designation Harrow 20 is removed: under it the device now finds nothing",
            "designation Harrow 20A is removed: under it the device now finds nothing",
            "designation Harrow 21 is added: the device now uses these stops for it too"])

    def test_renamed_with_its_numbers_and_another_status(self):
        self.write("a/harrow-20.engine.yaml", HARROW)
        for status in ("draft", "withdrawn"):
            self.write("b/harrow-21.engine.yaml",
                       edited(HARROW, ("id: harrow-20", "id: harrow-21"), ("released", status),
                              ("[Harrow 20, Harrow 20A]", "[Harrow 21]")))
            self.assertEqual([e["fate"] for e in self.report("a", "b")["engines"]], ["renamed"])

    def test_other_designations_and_numbers_are_another_engine(self):
        self.write("a/harrow-20.engine.yaml", HARROW)
        for models in ("models: [Harrow 21]", "models: [Harrow 21, Harrow 21A]", NO_MODELS):
            for change in (FEWER, ("40 lbf.ft", "41 lbf.ft")):
                self.write("b/harrow-21.engine.yaml",
                           edited(HARROW, ("id: harrow-20", "id: harrow-21"), change,
                                  ("models: [Harrow 20, Harrow 20A]", models)))
                self.assertEqual([e["fate"] for e in self.report("a", "b")["engines"]],
                                 ["gone", "added"], models)

    def test_without_designations_the_numbers_decide(self):
        for side, change in (("a", ("blades: 25", "blades: 25")),
                             ("b", ("blades: 25", "blades: 26"))):
            for number in (1, 2) if side == "a" else (3, 4):
                self.write(f"{side}/tern-{number}.engine.yaml",
                           edited(TERN, ("tern-5", f"tern-{number}"),
                                  ("models: [Tern 5]", NO_MODELS),
                                  change if number != 4 else ("blades: 25", "blades: 25")))
        self.assertEqual([(e["id"], e["fate"]) for e in self.report("a", "b")["engines"]],
                         [("tern-2", "gone"), ("tern-3", "added"), ("tern-4", "renamed")])

    def test_designation_moves(self):
        for side, harrow, tern in (("a", "[Harrow 20, Harrow 20A]", "[Tern 5]"),
                                   ("b", "[Harrow 20]", "[Tern 5, Harrow 20A]")):
            self.write(f"{side}/harrow-20.engine.yaml",
                       edited(HARROW, ("[Harrow 20, Harrow 20A]", harrow)))
            self.write(f"{side}/tern-5.engine.yaml", edited(TERN, ("[Tern 5]", tern)))
        lines = self.compare("a", "b")
        self.assertIn("  designation Harrow 20A is removed: under it the device now finds the "
                      "stops of tern-5", lines)
        self.assertIn("  designation Harrow 20A is added, was one of harrow-20: the device now "
                      "uses these stops for it too", lines)

    def test_each_of_many_designations_moves(self):
        names = "ABCDEFGHI"
        for name in names:
            for side, harrow, tern in (("a", names, "Z"), ("b", names.replace(name, ""),
                                                          name + "Z")):
                self.write(f"{side}/harrow-20.engine.yaml", edited(
                    HARROW, ("[Harrow 20, Harrow 20A]", f"[{', '.join(harrow)}]")))
                self.write(f"{side}/tern-5.engine.yaml",
                           edited(TERN, ("[Tern 5]", f"[{', '.join(tern)}]")))
            lines = self.compare("a", "b")
            self.assertIn(f"  designation {name} is removed: under it the device now finds "
                          "the stops of tern-5", lines)
            self.assertIn(f"  designation {name} is added, was one of harrow-20: the device now "
                      "uses these stops for it too", lines)

    def test_worst_engine_first_then_by_id(self):
        changes = {"kite-1": ("name: Tern 5", "name: Tern five"),
                   "auk-1": ("name: Tern 5", "name: Tern five"),
                   "tern-5": ("blades: 25", "blades: 26"),
                   "gull-3": ("40 N.m", "39 N.m")}
        for name, change in changes.items():
            own = edited(TERN, ("id: tern-5", f"id: {name}"), ("[Tern 5]", f"[{name} A]"))
            self.write(f"a/{name}.engine.yaml", own)
            self.write(f"b/{name}.engine.yaml", edited(own, change))
        heads = [line for line in self.compare("a", "b") if line.endswith(("stops", "limits",
                                                                           "text"))]
        self.assertEqual(heads[:4], ["tern-5: stops", "gull-3: limits", "auk-1: text",
                                     "kite-1: text"])

    def test_a_definition_from_a_pipe(self):
        """Nothing is taken from it by looking what it is."""
        self.write("harrow-20.engine.yaml", HARROW)
        done = subprocess.run(
            ["bash", "-c", '"$0" compare <(cat harrow-20.engine.yaml) harrow-20.engine.yaml',
             PROGRAM], cwd=self.folder, stdin=subprocess.DEVNULL, capture_output=True, check=False)
        self.assertEqual(done.stdout, b"no difference: 1 engine: 1 the same\n", done.stderr)

    def test_one_definition_against_a_folder(self):
        self.write("a.yaml", edited(HARROW, FEWER))
        self.write("b/harrow-20.engine.yaml", HARROW)
        self.write("b/tern-5.engine.yaml", TERN)
        self.assertEqual([(e["id"], e["fate"]) for e in self.report("a.yaml", "b", status=2)[
            "engines"]], [("harrow-20", "changed"), ("tern-5", "added")])


class Revision(Folder):
    """The rule revision-kept."""

    def found(self, *edits):
        """The findings where harrow-20 is changed so."""
        return self.report(*self.two(HARROW, edited(HARROW, *edits)))["findings"]

    def test_kept(self):
        found, = self.found(FEWER)
        self.assertEqual((found["rule"], found["severity"], found["line"], found["column"]),
                         ("revision-kept", "error", 5, 11))
        self.assertEqual(found["file"], "b/harrow-20.engine.yaml")
        self.assertEqual(found["numbers"], {"revision_before": "4", "revision_after": "4",
                                            "changed": "stops"})

    def test_kept_with_other_limits(self):
        found, = self.found(("40 lbf.ft", "39 lbf.ft"))
        self.assertEqual(found["numbers"]["changed"], "limits")

    def test_fell(self):
        found, = self.found(FEWER, ("revision: 4", "revision: 3"))
        self.assertIn("fell: 4 -> 3", found["message"])

    def test_raised(self):
        self.assertEqual(self.found(FEWER, RAISED), [])

    def test_text_needs_no_revision(self):
        self.assertEqual(self.found(("name: Harrow 20", "name: Harrow")), [])

    def test_withdrawing_needs_no_revision(self):
        self.assertEqual(self.found(("status: released", "status: withdrawn")), [])

    def renamed(self, *edits):
        """The comparison where harrow-20 becomes harrow-21 and is changed so."""
        a = self.write("harrow-20.engine.yaml", HARROW)
        b = self.write("harrow-21.engine.yaml",
                       edited(HARROW, ("id: harrow-20", "id: harrow-21"), *edits))
        return self.report(a, b)

    def test_renamed_under_the_same_designations(self):
        for revision, said in ((4, "did not rise: 4 -> 4"), (1, "fell: 4 -> 1")):
            found, = self.renamed(FEWER, ("revision: 4", f"revision: {revision}"))["findings"]
            self.assertEqual(found["message"], "harrow-21 has other stops than before as "
                                               f"harrow-20, but its revision {said}")
            self.assertEqual((found["file"], found["line"]), ("harrow-21.engine.yaml", 5))
        found, = self.renamed(("40 lbf.ft", "41 lbf.ft"))["findings"]
        self.assertEqual(found["numbers"]["changed"], "limits")
        found, = self.renamed(("id: HPC-3", "id: HPC-4"))["findings"]
        self.assertEqual(found["numbers"]["changed"], "stops")
        self.assertEqual(self.renamed(FEWER, RAISED)["findings"], [])

    def test_a_new_name_alone_needs_no_revision(self):
        report = self.renamed(("revision: 4", "revision: 1"))
        self.assertEqual(([e["fate"] for e in report["engines"]], report["findings"]),
                         (["renamed"], []))

    def test_a_new_id_and_new_designations_begin_anew(self):
        report = self.renamed(("[Harrow 20, Harrow 20A]", "[Harrow 21]"))
        self.assertEqual(([e["fate"] for e in report["engines"]], report["findings"]),
                         (["renamed"], []))

    def test_in_text_with_its_place(self):
        status, out, err = self.run_program("compare", *self.two(HARROW, edited(HARROW, FEWER)))
        self.assertEqual((status, err), (2, ""))
        self.assertIn("b/harrow-20.engine.yaml:5:11: error: harrow-20 has other stops than before, "
                      "but its revision did not rise: 4 -> 4 [revision-kept]\n     5 | revision: 4",
                      out)

    def test_it_cannot_be_waived(self):
        waived = edited(HARROW, FEWER) + (
            "waive:\n  - rule: revision-kept\n    because: no reason\n    until: 2999-01-01\n")
        report = self.report(*self.two(HARROW, waived), status=2)
        self.assertEqual([f["rule"] for f in report["findings"]], ["revision-kept"])


class Trouble(Folder):
    """What cannot be compared is status 2, and nothing is said to have changed."""

    def trouble(self, *arguments):
        """The text on standard error; standard output is empty."""
        status, out, err = self.run_program("compare", *arguments)
        self.assertEqual((status, out), (2, ""), err)
        return err

    def test_one_side(self):
        self.assertIn("compare takes two sides", self.trouble(self.two(HARROW, HARROW)[0]))

    def test_no_side(self):
        self.assertIn("compare takes two sides", self.trouble())

    def test_three_sides(self):
        a, b = self.two(HARROW, HARROW)
        self.assertIn("compare takes two sides", self.trouble(a, b, a))

    def test_no_such_file(self):
        a, _ = self.two(HARROW, HARROW)
        self.assertIn("cannot read nowhere.yaml", self.trouble(a, "nowhere.yaml"))
        self.assertIn("cannot read nowhere.yaml", self.trouble("nowhere.yaml", a))

    def test_not_yaml(self):
        for pair in (("{", HARROW), (HARROW, "{")):
            err = self.trouble(*self.two(*pair))
            self.assertIn("[yaml-syntax]", err)

    def test_a_value_that_cannot_be_read(self):
        err = self.trouble(*self.two(HARROW, edited(HARROW, ("40 lbf.ft", "40"))))
        self.assertIn("[missing-unit]", err)
        self.assertIn("b/harrow-20.engine.yaml:", err)

    def test_what_the_rules_find_is_not_in_the_way(self):
        a, b = self.two(HARROW, edited(HARROW, RAISED, ("    torque-limit: 40 lbf.ft\n", "")))
        status, out, err = self.run_program("compare", a, b)
        self.assertEqual(status, 2)
        self.assertIn("  crank: torque limit 40 lbf.ft -> none, rises\n", out)
        self.assertEqual(err, "rotortab: b/harrow-20.engine.yaml: check finds 1 error; compare "
                              "uses its values as they are written: correct it before it is "
                              "released\n")

    def test_one_of_an_earlier_folder_that_cannot_be_read(self):
        """It keeps nothing else from being compared; named itself it does, as nothing else is."""
        self.two("{", HARROW)
        for side in "ab":
            self.write(f"{side}/tern-5.engine.yaml", TERN)
        report = self.report("a", "b")
        self.assertEqual((report["same"], [e["id"] for e in report["engines"]], report["failures"]),
                         (1, ["harrow-20"], []))
        self.assertEqual([c["field"] for c in report["engines"][0]["changes"]], ["earlier_release"])
        self.assertIn("[yaml-syntax]", self.trouble("b", "a"))
        self.assertIn("[yaml-syntax]", self.trouble("a/harrow-20.engine.yaml", "b"))

    def test_what_the_rules_find_in_the_earlier_one(self):
        a, b = self.two(edited(HARROW, ("    torque-limit: 40 lbf.ft\n", "")),
                        edited(HARROW, RAISED))
        status, out, err = self.run_program("compare", a, b)
        self.assertEqual((status, err), (1, "rotortab: a/harrow-20.engine.yaml: check finds 1 "
                                            "error; compare uses its values as they are "
                                            "written\n"), out)

    def test_a_profile_is_no_definition(self):
        a, _ = self.two(HARROW, HARROW)
        self.write("bench-9.device.yaml", DEVICE)
        self.assertIn("there is no engine definition in bench-9.device.yaml",
                      self.trouble(a, "bench-9.device.yaml"))

    def test_an_empty_folder(self):
        a, _ = self.two(HARROW, HARROW)
        (self.folder / "empty").mkdir()
        self.assertIn("there is no definition, profile or policy in empty",
                      self.trouble(a, "empty"))

    def test_one_id_twice(self):
        for name in ("a/harrow-20.engine.yaml", "a/x/harrow-20.engine.yaml",
                     "b/harrow-20.engine.yaml"):
            self.write(name, HARROW)
        self.assertIn("both define harrow-20", self.trouble("b", "a"))
        self.assertIn("  what it was before is not known, as a/harrow-20.engine.yaml and "
                      "a/x/harrow-20.engine.yaml both define it: any stop may have moved; look "
                      "at every stop again", self.compare("a", "b"))

    def test_a_ratio_beyond_64_bits(self):
        long = "path: [" + ", ".join(["external: [9973, 9967]"] * 20) + "]"
        broken = edited(TERN, ("path: [external: [20, 40]]", long))
        self.assertIn("cannot be compared", self.trouble(*self.two(TERN, broken, "tern-5")))

    def test_standard_input_twice(self):
        self.assertIn("only one side can be standard input", self.trouble("-", "-"))

    def test_a_profile_that_cannot_be_read(self):
        a, b = self.two(HARROW, HARROW)
        self.assertIn("cannot read", self.trouble("-d", "nowhere.device.yaml", a, b))


if __name__ == "__main__":
    unittest.main()
