"""Runs `rotortab ratio` and reads what it prints."""

import functools
import json
import os
import pathlib
import subprocess
from fractions import Fraction

ROOT = pathlib.Path(__file__).resolve().parent.parent.parent
PROGRAM = os.environ.get("ROTORTAB", str(ROOT / "build" / "rotortab"))


def run(*arguments):
    """The finished process; the same question is asked once."""
    return _run(*map(str, arguments))


@functools.cache
def _run(*arguments):
    return subprocess.run([PROGRAM, "ratio", *arguments], capture_output=True, text=True,
                          check=False)


def ask(*arguments):
    """The JSON answer; (status, object)."""
    done = run(*arguments, "--format", "json")
    if done.stderr:
        raise AssertionError(done.stderr)
    return done.returncode, json.loads(done.stdout)


def ratios(answer):
    """The candidates, in the order shown."""
    return [Fraction(row["ratio"]) for row in answer["candidates"]]
