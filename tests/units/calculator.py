"""Puts questions on the exact numbers of src/ to calculator.c, many at a time.

`make build/tests/units/calculator` builds it, and so does `make test`.
"""

import os
import pathlib
import subprocess

ROOT = pathlib.Path(__file__).resolve().parents[2]
PROGRAM = pathlib.Path(os.environ.get("ROTORTAB_BUILD", ROOT / "build")) / "tests/units/calculator"


def ask(questions):
    """One answer for each question, without the end of line."""
    done = subprocess.run([PROGRAM], input="".join(q + "\n" for q in questions), text=True,
                          capture_output=True, check=False)
    if done.returncode != 0:
        raise AssertionError(done.stderr)
    answers = done.stdout.split("\n")[:-1]
    if len(answers) != len(questions):
        raise AssertionError(f"{len(questions)} questions, {len(answers)} answers")
    return answers
