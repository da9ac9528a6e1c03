"""The command slips as a gate: what is allowed, by whom, and what it reports to programs."""

import json
import shutil
import unittest

import jsonschema
import yaml

import gate_test
from gate_test import DEMO, SLIPWAY
from sarif_test import SARIF_SCHEMA, node
from terminal_test import on_terminal

# The smallest ones, because the search for slips takes nearly all the time here.
SNATH = "engines/snath-5.engine.json"        # read once: degrees and miscounts pass
BILLHOOK = "engines/billhook-8.engine.yaml"  # read twice: nothing passes


class Slips(gate_test.Gate):
    """Over the demonstration."""

    def allowed(self, *arguments, status):
        """The harm that each definition is allowed."""
        done = self.run_program("slips", "-f", "json", *arguments, status=status)
        return [told["allowed"] for told in json.loads(done.stdout)["definitions"]]

    def test_what_is_worse_than_allowed_fails(self):
        cross_check = (self.demo / BILLHOOK).with_name("billhook-8.cross-check.yaml")
        self.assertEqual(self.allowed(BILLHOOK, status=0), ["degrees"])
        cross_check.unlink()
        self.assertEqual(self.allowed(BILLHOOK, status=1), ["degrees"])
        # The torque and the speed are read twice, and the senses; a miscount passes, because
        # nobody saw which blade followed which.
        text = (self.demo / BILLHOOK).read_text()
        self.assertNotIn("blade-order", text)
        reading = yaml.load((DEMO / "engines/billhook-8.cross-check.yaml").read_text(),
                            yaml.CSafeLoader)
        for stage in reading["stages"]:
            stage.pop("blades")
        reading["read-on"] = str(reading["read-on"])
        cross_check.write_text(json.dumps(reading))
        self.assertEqual(self.allowed("--allow", "miscount", BILLHOOK, status=0), ["miscount"])
        self.assertEqual(self.allowed("--allow", "degrees", BILLHOOK, status=1), ["degrees"])
        for old, status in (("released", 1), ("draft", 0), ("withdrawn", 0)):
            (self.demo / BILLHOOK).write_text(text.replace("status: released", f"status: {old}"))
            with self.subTest(old):
                self.assertEqual(self.allowed(BILLHOOK, status=status),
                                 ["degrees" if old == "released" else "miscount"])

    def test_the_policy_limits_by_status(self):
        policy = self.demo / "own.policy.yaml"
        policy.write_text("policy: 1\nlimits:\n  slips: {released: miscount, draft: label}\n")
        draft = SNATH
        self.edit(draft, '"status": "released"', '"status": "draft"')
        self.assertEqual(self.allowed("--policy", "own.policy.yaml", BILLHOOK, draft, status=1),
                         ["miscount", "label"])
        self.assertEqual(
            self.allowed("--policy", "own.policy.yaml", "--allow", "degrees", BILLHOOK, draft,
                         status=1), ["degrees", "degrees"])
        policy.write_text("policy: 1\nlimits:\n  slips: {released: overload}\n")
        done = self.run_program("slips", "--policy", "own.policy.yaml", BILLHOOK, status=1)
        self.assertIn(b"released cannot be overload; it is label, degrees or miscount", done.stderr)

    def test_errors_are_reported_and_their_slips_are_not_made(self):
        broken = "broken/bad-number.engine.yaml"
        done = self.run_program("slips", "-f", "json", broken, BILLHOOK, status=1)
        told = json.loads(done.stdout)["definitions"]
        self.assertEqual([definition["id"] for definition in told], ["billhook-8"])
        self.assertIn(b"[bad-number]", done.stderr)
        self.run_program("slips", "nowhere.engine.yaml", BILLHOOK, status=2)

    def test_the_kinds_of_slips_are_of_no_file(self):
        self.assertIn(b"doubl", self.run_program("slips", "-f", "man").stdout)
        done = self.run_program("slips", "-f", "man", BILLHOOK, status=2)
        self.assertEqual(done.stdout, b"")
        self.assertIn(b"takes no file", done.stderr)

    def test_sources_come_as_for_check(self):
        names = f"{BILLHOOK}\0{SNATH}\0".encode()
        done = self.run_program("slips", "-f", "json", "-0", data=names, status=1)
        self.assertEqual(len(json.loads(done.stdout)["definitions"]), 2)
        text = (self.demo / BILLHOOK).read_bytes()
        by_name = self.run_program("slips", "-d", SLIPWAY, BILLHOOK).stdout
        done = self.run_program("slips", "-d", SLIPWAY, "-", "--name", BILLHOOK, data=text)
        self.assertEqual(done.stdout, by_name)
        some = (BILLHOOK, SNATH, "engines/mattock-40.engine.yaml")
        one = self.run_program("slips", "-j", "1", *some, status=1).stdout
        self.assertEqual(one, self.run_program("slips", "-j", "5", *some, status=1).stdout)
        self.run_program("slips", status=2)
        self.run_program("slips", "-0", data=b"", status=2)

    def test_sarif_has_a_result_for_each_value_that_fails(self):
        """The others are one note with their count."""
        told = json.loads(self.run_program("slips", "-f", "json", SNATH, status=1).stdout)
        passing = [value for value in told["definitions"][0]["values"]
                   if sum(value["counts"]["passed"].values())]
        failing = [value for value in passing
                   if any(value["counts"]["passed"][harm] for harm in
                          ("backwards", "overload", "miscount"))]
        self.assertTrue(0 < len(failing) < len(passing) - 1)
        log = json.loads(self.run_program("slips", "-f", "sarif", SNATH, status=1).stdout)
        results = log["runs"][0]["results"]
        once = {"count-unproven", "order-unproven"}
        self.assertEqual({result["ruleId"] for result in results}, {"slip-passes", *once})
        results = [result for result in results if result["ruleId"] not in once]
        self.assertEqual(log["runs"][0]["automationDetails"]["id"], "rotortab/slips/")
        places = [(result["locations"][0]["physicalLocation"]["region"], result["level"])
                  for result in results]
        self.assertEqual([(p["startLine"], p["startColumn"]) for p, level in places
                          if level == "error"],
                         sorted((v["line"], v["column"]) for v in failing))
        (note,) = [result for result in results if result["level"] == "note"]
        self.assertEqual(note["occurrenceCount"], len(passing) - len(failing))
        for wrong in (("--frob",), ("--allow", "much", SNATH), (), ("-0",)):
            log = json.loads(self.run_program("slips", "-f", "sarif", *wrong, data=b"",
                                              status=2).stdout)
            self.assertFalse(log["runs"][0]["invocations"][0]["executionSuccessful"])

    @unittest.skipIf(node.ABSENT, f"not on this machine: {', '.join(node.ABSENT)}")
    def test_sarif_is_valid_against_the_official_schema(self):
        schema = json.loads((node.modules("gate") / SARIF_SCHEMA).read_text())
        validator = jsonschema.validators.validator_for(schema)(schema)
        for source, status in ((SNATH, 1), (BILLHOOK, 0), ("nowhere", 2)):
            log = self.run_program("slips", "-f", "sarif", source, status=status).stdout
            validator.validate(json.loads(log))

    def test_progress_over_many_files(self):
        many = self.demo / "many"
        many.mkdir()
        text = (self.demo / SNATH).read_text()
        (many / "snath-5.engine.json").write_text(text)
        for i in range(19):  # without slips, so quick
            (many / f"p-{i}.policy.yaml").write_text("policy: 1\n")
        shown = on_terminal(["slips", "many"], self.demo)
        self.assertIn(b"\r7 of 20 files", shown)
        self.assertNotIn(b"of 20", self.run_program("slips", "many", status=1).stderr)
        shutil.rmtree(many)


if __name__ == "__main__":
    unittest.main()
