"""SARIF logs under the validator that the authors of the standard's library publish.

Its rules come in kinds: Sarif is the default, Gh and Ghas are what GitHub takes. By default it
reports errors and warnings of the kind Sarif; here there are none of these kinds. STRICT is what
its notes still say, and PIPELINE what the kind Ado says, each with the reason.
A start of it takes a second or two, so `make test` shows it one log, and .ci/run all.

`make deps-platform` installs the validator, a program of 100 MB from the npm package
@microsoft/sarif-multitool-linux.
"""

import json
import os
import pathlib
import platform
import shutil
import subprocess
import sys
import tempfile
import unittest

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parent.parent))
import node  # pylint: disable=wrong-import-position
import share  # pylint: disable=wrong-import-position

DEMO = pathlib.Path("engines-demo").resolve()
BUILD = pathlib.Path(os.environ.get("ROTORTAB_BUILD", "build")).resolve()
PROGRAM = pathlib.Path(os.environ.get("ROTORTAB", "build/rotortab")).resolve()
WITH_HOME_PAGE = BUILD / "tests/gate/with-home-page"
TOOL = "@microsoft/sarif-multitool-linux/Sarif.Multitool"
REASON = next((reason for missing, reason in (
    (platform.machine() != "x86_64", "the validator runs on x86-64 only"),
    (not node.are_installed("platform"), "the validator is not there: make deps-platform"))
    if missing), None)

STRICT = {
    "SARIF2002": "messages are whole sentences: a rule has no fixed text with gaps for values",
    "SARIF2006": "the validator asks the network whether addresses exist, and tests have none",
    "SARIF2009": "rules have words as ids (ratio-swapped), because people write them in waivers",
    "SARIF2010": "an id that is taken is found when only the names of the files are left",
    "SARIF2011": "the same",
}
PIPELINE = {
    "GHAzDO1019": "the numbers of the pipeline, which only the pipeline can add to a log",
    "GHAzDO1020": "the same",
}


ALL = unittest.skipUnless(share.COUNT >= share.WHOLE, "other SARIF logs for the validator: .ci/run")


@unittest.skipIf(REASON, REASON)
class Multitool(unittest.TestCase):
    """Logs of a copy of the demonstration, with the defects of all rules, in a repository."""

    @classmethod
    def setUpClass(cls):
        scratch = tempfile.TemporaryDirectory()
        cls.addClassCleanup(scratch.cleanup)
        cls.scratch = pathlib.Path(scratch.name)
        cls.tool = node.modules("platform") / TOOL
        cls.tool.chmod(0o755)  # npm forgets that it is a program
        cls.demo = cls.scratch / "demo"
        shutil.copytree(DEMO, cls.demo)
        for words in (("init", "-q"), ("add", "."), ("commit", "-q", "-m", "all")):
            subprocess.run(["git", "-c", "user.name=A", "-c", "user.email=a@b.example", *words],
                           cwd=cls.demo, check=True)

    def log(self, *words, program=WITH_HOME_PAGE):
        done = subprocess.run([program, *words], cwd=self.demo, capture_output=True, check=False,
                              timeout=60)
        self.assertIn(done.returncode, (0, 1, 2), done.stderr)
        return json.loads(done.stdout)

    def said(self, log, kinds="Sarif", levels="Error;Warning"):
        """The rules of the validator that are not content, with what they say first."""
        source, result = self.scratch / "log.sarif", self.scratch / "said.sarif"
        source.write_text(json.dumps(log))
        result.unlink(missing_ok=True)
        done = subprocess.run([self.tool, "validate", source, f"--rule-kind={kinds}",
                               f"--level={levels}", f"--output={result}"], capture_output=True,
                              text=True, check=False, timeout=300,
                              env={"PATH": os.environ["PATH"], "HOME": str(self.scratch)})
        self.assertIn("Analysis completed successfully", done.stdout, done.stderr)
        (run,) = json.loads(result.read_text(encoding="utf-8-sig"))["runs"]
        told = {}
        for found in run["results"]:
            told.setdefault(found["ruleId"], found["message"])
        return told

    CALLS = (("check", "-f", "sarif", "-d", "devices/slipway-4.device.yaml", "broken", "engines"),
             ("check", "-f", "sarif", "engines"),
             ("check", "-f", "sarif", "gone.engine.yaml", "--frob"),
             ("slips", "-f", "sarif", "engines/snath-5.engine.json"))

    def test_errors_and_warnings(self):
        for call in share.sample(self.CALLS, least=1):
            with self.subTest(call):
                self.assertEqual(self.said(self.log(*call), "Sarif;Gh;Ghas"), {})

    @ALL
    def test_without_a_home_page_only_its_address_is_missing(self):
        log = self.log(*self.CALLS[1], program=PROGRAM)
        self.assertEqual(set(self.said(log)), {"SARIF2005"})

    @ALL
    def test_notes_are_those_that_are_listed(self):
        """The network can answer, so that a listed note is missing; no other may be there."""
        said = set(self.said(self.log(*self.CALLS[0]), "Sarif;Gh;Ghas;Ado", "Error;Warning;Note"))
        self.assertLessEqual(said, {*STRICT, *PIPELINE})
        self.assertLessEqual({*STRICT, *PIPELINE} - {"SARIF2006"}, said)

    @ALL
    def test_silence_means_something(self):
        """A log with a fault for each kind of rules."""
        log = self.log(*self.CALLS[-1])
        first, second = log["runs"][0]["results"][:2]
        del first["locations"][0]["physicalLocation"]["region"]
        second["locations"] = []
        self.assertLessEqual({"SARIF2017"}, set(self.said(log)))
        for kind in ("Gh", "Ghas"):
            self.assertIn("GH1015", self.said(log, kind))


if __name__ == "__main__":
    unittest.main()
