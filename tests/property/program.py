"""Runs the program under test and reads what it prints."""

import json
import os
import subprocess
from pathlib import Path


def path():
    """The program: ROTORTAB, or the one the build leaves at the top of the tree."""
    top = Path(__file__).resolve().parents[2]
    return str(Path(os.environ.get("ROTORTAB", top / "build" / "rotortab")).resolve())


def run(folder, *arguments):
    """Run it inside `folder`, away from anybody's policy; bytes out, so that we decode."""
    environment = {**os.environ, "NO_COLOR": "1", "LC_ALL": "C.UTF-8"}
    return subprocess.run(
        [path(), *arguments], cwd=folder, env=environment, capture_output=True, check=False
    )


def findings(folder, device, names):
    """(exit status, findings) of `check`; raises ValueError where it does not print JSON."""
    done = run(folder, "check", "--format", "json", "--device", device, *names)
    try:
        return done.returncode, json.loads(done.stdout)["findings"]
    except (ValueError, KeyError, TypeError) as error:
        said = (done.stderr or done.stdout).decode("utf-8", "replace").strip()[:400]
        raise ValueError(f"check: status {done.returncode}, no JSON: {said}") from error


def stops(folder, *arguments):
    """The objects of `stops`; raises ValueError with what it said where it fails."""
    done = run(folder, "stops", "--format", "json", *arguments)
    if done.returncode == 0:
        try:
            return json.loads(done.stdout)
        except ValueError as error:
            raise ValueError(f"stops: not the JSON it should be: {error}") from error
    said = done.stderr.decode("utf-8", "replace").strip()[:400]
    raise ValueError(f"stops: status {done.returncode}: {said}")


def harmful(found):
    """Errors and warnings; notes are for information."""
    return [f for f in found if f["severity"] in ("error", "warning")]
