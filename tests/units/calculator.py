"""Builds calculator.c on the exact numbers of src/ and puts questions to it, many at a time."""

import atexit
import functools
import os
import pathlib
import subprocess
import tempfile

ROOT = pathlib.Path(__file__).resolve().parents[2]


@functools.lru_cache(maxsize=None)
def _program():
    """The calculator, built with the sanitizers so that a wrong shift or overflow shows."""
    folder = tempfile.TemporaryDirectory(prefix="exact-")
    atexit.register(folder.cleanup)
    program = os.path.join(folder.name, "calculator")
    sources = sorted(str(path) for path in (ROOT / "src/exact").glob("*.c"))
    subprocess.run([os.environ.get("CC", "cc"), "-std=c11", "-D_POSIX_C_SOURCE=200809L", "-O1",
                    "-g", "-fsanitize=address,undefined", "-fno-sanitize-recover=all",
                    f"-I{ROOT / 'src'}", "-o", program,
                    str(ROOT / "tests/units/calculator.c"), *sources], check=True)
    return program


def ask(questions):
    """One answer for each question, without the end of line."""
    done = subprocess.run([_program()], input="".join(q + "\n" for q in questions), text=True,
                          capture_output=True, check=False)
    if done.returncode != 0:
        raise AssertionError(done.stderr)
    answers = done.stdout.split("\n")[:-1]
    if len(answers) != len(questions):
        raise AssertionError(f"{len(questions)} questions, {len(answers)} answers")
    return answers
