"""Many files on several threads: the same output, status and tables as on one.

Those are eight threads, and in the whole run two as well.

With ROTORTAB=build/threads/rotortab (make THREADS=1), a race between two threads fails the test
too. The sanitizer reports it on standard error and ends the program with another status.
"""

import os
import pathlib
import shutil
import subprocess
import sys
import tempfile
import unittest

HERE = pathlib.Path(__file__).resolve().parent
sys.path.insert(0, str(HERE.parent / "bench"))
import definitions  # pylint: disable=wrong-import-position
sys.path.insert(0, str(HERE.parent))
import share  # pylint: disable=wrong-import-position

PROGRAM = str(pathlib.Path(os.environ.get("ROTORTAB", "build/rotortab")).resolve())
DEMO = pathlib.Path("engines-demo").resolve()
MANY = 100    # definitions, some lots for each thread
SLIPWAY = "demo/devices/slipway-4.device.yaml"
CAPSTAN = "demo/devices/capstan-2.device.yaml"


class Threads(unittest.TestCase):
    """A folder with many definitions, the demonstration, and a second release of the many with a
    separate policy."""

    @classmethod
    def setUpClass(cls):
        scratch = tempfile.TemporaryDirectory()
        cls.addClassCleanup(scratch.cleanup)
        cls.folder = pathlib.Path(scratch.name)
        shutil.copytree(DEMO, cls.folder / "demo")
        definitions.make(cls.folder / "many", MANY)
        (cls.folder / "later").mkdir()
        for path in (cls.folder / "many").iterdir():
            text = path.read_text().replace("blades: 31", "blades: 33")
            (cls.folder / "later" / path.name).write_text(text)
        shutil.copy(DEMO / "rotortab.policy.yaml", cls.folder / "later")
        device = cls.folder / SLIPWAY
        device.write_text(device.read_text().replace("table-bytes: 65536", "table-bytes: 262144"))

    def run_with(self, jobs, command, *arguments):
        done = subprocess.run([PROGRAM, command, "-j", jobs, *arguments], cwd=self.folder,
                              capture_output=True, text=True, timeout=120,
                              env={"PATH": os.environ["PATH"], "LC_ALL": "C"})
        self.assertNotIn("ThreadSanitizer", done.stderr)
        return done.returncode, done.stdout, done.stderr

    def same(self, status, *arguments, made=()):
        """Runs on one thread and on several; status, output and files must be the same."""
        runs = []
        for jobs in ("1", *share.sample(("8", "2"))):
            run = self.run_with(jobs, *arguments)
            self.assertEqual(run[0], status, run)
            runs.append((run, [(self.folder / name).read_bytes() for name in made]))
            self.assertEqual(runs[-1], runs[0])
        return runs[0][0]

    def test_check(self):
        _, out, _ = self.same(0, "check", "many")
        self.assertIn(f"{MANY} definitions", out)
        self.same(0, "check", "demo/engines")
        self.same(1, "check", "-d", SLIPWAY, "--format", "json", "many", "demo/broken")

    def test_check_under_policies(self):
        self.same(1, "check", "many", "later", "demo/broken", "--policy",
                  "demo/broken/rotortab.policy.yaml")
        _, out, _ = self.same(1, "check", "many", "later")
        self.assertIn("1 policy", out)

    def test_a_missing_file_among_many(self):
        _, out, err = self.same(2, "check", "many", "nowhere.yaml", "demo/broken")
        self.assertEqual(err, "rotortab: cannot read nowhere.yaml: No such file or directory\n")
        self.assertIn("[ratio-swapped]", out)

    def test_compile(self):
        _, _, err = self.same(0, "compile", "-d", SLIPWAY, "-o", "one.rotor", "--manifest", "m",
                              "--depfile", "d", "many", made=("one.rotor", "m", "d"))
        self.assertIn(f"{MANY} engines", err)
        self.same(1, "compile", "-d", SLIPWAY, "-d", CAPSTAN, "-o", ".", "many", "demo/broken")
        self.same(0, "verify", "one.rotor", "-d", SLIPWAY, "many")

    def test_compare(self):
        _, out, _ = self.same(2, "compare", "many", "later")
        self.assertIn("31 -> 33 blades", out)
        self.same(2, "compare", "demo/engines", "demo/broken")


if __name__ == "__main__":
    unittest.main()
