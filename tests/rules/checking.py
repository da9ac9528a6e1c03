"""Runs `check` on the demonstration and on changed copies of its clean definition."""

import json
import os
import pathlib
import re
import shutil
import subprocess
import tempfile
import unittest

ROOT = pathlib.Path(__file__).resolve().parents[2]
DEMO = ROOT / "engines-demo"
BROKEN = DEMO / "broken"
PROGRAM = pathlib.Path(os.environ.get("ROTORTAB", ROOT / "build" / "rotortab")).resolve()
GOOD = (BROKEN / "neighbour.engine.yaml").read_text()
PROFILE = (BROKEN / "plain.device.yaml").read_text()
DAY = "2026-06-21"

# Rules whose findings calculate, and therefore have to show with what.
ARITHMETIC = {"gears", "ratio", "stops", "backlash", "torque", "speed"}


def run(folder, *arguments, **how):
    """Runs the program in a folder, on a fixed day."""
    return subprocess.run([PROGRAM, *arguments], cwd=folder, capture_output=True, check=False,
                          env={**os.environ, "NO_COLOR": "1", "SOURCE_DATE_EPOCH": "1782043200"},
                          **how)


# Notes that every stage of the clean definition has: nobody has read it again.
UNPROVEN = {"count-unproven", "order-unproven"}


def findings(folder, *arguments, unproven=False, **how):
    """(status, findings) of `check`, as told to programs; UNPROVEN as notes if asked for."""
    done = run(folder, "check", "--format", "json", *arguments, **how)
    try:
        found = json.loads(done.stdout)["findings"]
        return done.returncode, [item for item in found if unproven or item["severity"] != "note"
                                 or item["rule"] not in UNPROVEN]
    except ValueError as error:
        raise AssertionError(f"status {done.returncode}: {done.stderr.decode()}") from error


EXPECTED = re.compile(rb"^# expected(?: with (.+))?: (\d+):(\d+) (\w+) ([a-z0-9-]+)$", re.M)


def expected():
    """{arguments of check: [(line, column, severity, rule)]}, as the broken files say themselves.

    The last argument is the file that says it, and has the findings."""
    found = {}
    for path in sorted(BROKEN.glob("*.yaml")):
        for options, line, column, severity, rule in EXPECTED.findall(path.read_bytes()):
            arguments = (*options.decode().split(), f"broken/{path.name}")
            place = (int(line), int(column), severity.decode(), rule.decode())
            found.setdefault(arguments, []).append(place)
    return found


def rules_by_id():
    """The rows of the rule table."""
    return {row["id"]: row for row in json.loads(run(ROOT, "rules", "--format", "json").stdout)}


def changed(*pairs, text=GOOD):
    """The clean definition with texts replaced, each of which must be there."""
    for old, new in pairs:
        if old not in text:
            raise AssertionError(f"not in the definition: {old}")
        text = text.replace(old, new, 1)
    return text


class Folder(unittest.TestCase):
    """A test with a folder of its own, in which no policy holds but the test's."""

    def setUp(self):
        self.folder = pathlib.Path(tempfile.mkdtemp(prefix="rules-"))
        self.addCleanup(shutil.rmtree, self.folder)
        self.put("rotortab.policy.yaml", "policy: 1\n")
        self.put("plain.device.yaml", PROFILE)

    def put(self, name, text):
        """Writes a file below the folder and returns its name."""
        path = self.folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(text)
        return name

    def found(self, *arguments, **how):
        """[(rule, severity)] of `check`, whose status must agree with it."""
        status, found = findings(self.folder, *arguments, **how)
        worst = any(item["severity"] == "error" and "waived" not in item for item in found)
        self.assertEqual(status, int(worst), found)
        return [(item["rule"], item["severity"]) for item in found]

    def failed(self, *arguments):
        """Standard error of a run that must end with status 2."""
        done = run(self.folder, *arguments)
        self.assertEqual(done.returncode, 2, done.stderr.decode())
        return done.stderr.decode()
