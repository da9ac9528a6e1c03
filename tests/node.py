"""Node modules for a test, in the versions of its package-lock.json, below the build folder."""

import os
import pathlib
import shutil
import subprocess

TESTS = pathlib.Path(__file__).resolve().parent
BUILD = pathlib.Path(os.environ.get("ROTORTAB_BUILD", "build")).resolve()
ABSENT = [name for name in ("node", "npm") if not shutil.which(name)]


def modules(name):
    """The folder with the node_modules of tests/NAME, installed where they are not yet."""
    folder = BUILD / "node" / name
    lock = (TESTS / name / "package-lock.json").read_text()
    stamp = folder / "installed"
    if not stamp.exists() or stamp.read_text() != lock:
        folder.mkdir(parents=True, exist_ok=True)
        for file in ("package.json", "package-lock.json"):
            shutil.copy(TESTS / name / file, folder / file)
        subprocess.run(["npm", "ci", "--ignore-scripts", "--no-audit", "--no-fund"], cwd=folder,
                       check=True, capture_output=True)
        stamp.write_text(lock)
    return folder / "node_modules"
