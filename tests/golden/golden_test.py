"""Golden tests: what the program prints, byte for byte, for the cases in cases.txt.

A case is a line `name: command`. The command is a shell line; it runs in a fresh copy of
engines-demo with `rotortab` on the path, without colour, in the C locale and on a fixed day. Only
where the command names it, the folder `broken` with its many files is in that copy. What
it must print is in expected/NAME.txt: the exit status, standard output and standard error.

GOLDEN_UPDATE=1 in the environment writes the expected files anew, for a review with `git diff`.
"""

import os
import pathlib
import re
import shutil
import subprocess
import tempfile
import unittest

HERE = pathlib.Path(__file__).resolve().parent
ROOT = HERE.parent.parent
EXPECTED = HERE / "expected"
UPDATE = os.environ.get("GOLDEN_UPDATE") == "1"
PROGRAM = pathlib.Path(os.environ.get("ROTORTAB", ROOT / "build" / "rotortab"))

CASE = re.compile(r"([a-z0-9][a-z0-9-]*):\s+(\S.*)")
MIDSUMMER_2026 = "1782043200"


def read_cases():
    """The cases as a list of (name, command); a malformed or doubled line is an error."""
    cases = {}
    for number, line in enumerate((HERE / "cases.txt").read_text().splitlines(), 1):
        if not line.strip() or line.startswith("#"):
            continue
        match = CASE.fullmatch(line)
        if not match:
            raise ValueError(f"cases.txt:{number}: not of the form 'name: command'")
        if match[1] in cases:
            raise ValueError(f"cases.txt:{number}: '{match[1]}' is there twice")
        cases[match[1]] = match[2]
    return list(cases.items())


def section(title, text):
    """One part of an expected file; a missing last newline is made visible."""
    if text and not text.endswith("\n"):
        text += "\n(no newline at the end)\n"
    return f"---- {title}\n{text}"


def run_case(command):
    """Runs a command in a copy of the demonstration engines; returns the text to be expected."""
    environment = {
        "PATH": f"{PROGRAM.resolve().parent}:{os.environ.get('PATH', '/usr/bin:/bin')}",
        "LC_ALL": "C",
        "NO_COLOR": "1",
        "SOURCE_DATE_EPOCH": MIDSUMMER_2026,
    }
    for name in ("ASAN_OPTIONS", "UBSAN_OPTIONS"):
        if name in os.environ:
            environment[name] = os.environ[name]
    with tempfile.TemporaryDirectory() as scratch:
        folder = pathlib.Path(scratch) / "engines-demo"
        left_out = None if "broken" in command else shutil.ignore_patterns("broken")
        shutil.copytree(ROOT / "engines-demo", folder, ignore=left_out)
        done = subprocess.run(["sh", "-c", command], cwd=folder, env=environment, timeout=300,
                              stdin=subprocess.DEVNULL, capture_output=True, check=False)
    out, err = (s.decode("utf-8", "backslashreplace") for s in (done.stdout, done.stderr))
    return (f"$ {command}\n" + section(f"exit status {done.returncode}", "")
            + section("standard output", out) + section("standard error", err))


class Golden(unittest.TestCase):
    """One test a case; they are added below."""

    maxDiff = None

    def test_no_expectation_without_a_case(self):
        cases = {name for name, _ in read_cases()}
        files = {path.stem for path in EXPECTED.glob("*.txt")}
        if UPDATE:
            for name in files - cases:
                (EXPECTED / f"{name}.txt").unlink()
        else:
            self.assertEqual(files - cases, set())


def add_case(name, command):
    """Gives the class a test for one case."""
    def test(self):
        path = EXPECTED / f"{name}.txt"
        actual = run_case(command)
        if UPDATE:
            path.parent.mkdir(exist_ok=True)
            path.write_text(actual, encoding="utf-8")
        self.assertTrue(path.exists(), f"{path} is missing: run with GOLDEN_UPDATE=1")
        self.assertEqual(path.read_text(encoding="utf-8"), actual)
    setattr(Golden, "test_" + name.replace("-", "_"), test)


for _name, _command in read_cases():
    add_case(_name, _command)

if __name__ == "__main__":
    unittest.main()
