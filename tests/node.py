"""Node modules for a test, in the versions of its package-lock.json, below the build folder.

Run with the name of a folder of tests, it installs the modules of that test.
"""

import os
import pathlib
import shutil
import socket
import subprocess
import unittest
import sys

TESTS = pathlib.Path(__file__).resolve().parent
BUILD = pathlib.Path(os.environ.get("ROTORTAB_BUILD", "build")).resolve()
ABSENT = [name for name in ("node", "npm") if not shutil.which(name)]


def are_installed(name):
    """Whether the modules of tests/NAME are there, in the versions that it names."""
    stamp = BUILD / "node" / name / "installed"
    return stamp.exists() and stamp.read_text() == lock_of(name)


def lock_of(name):
    return (TESTS / name / "package-lock.json").read_text()


def offline():
    """Whether this machine, or the namespace of this run, has no network at all."""
    return all(name == "lo" for _, name in socket.if_nameindex())


def modules(name):
    """The folder with the node_modules of tests/NAME, installed where they are not yet.

    Without a network to fetch them from, the test that needs them is skipped.
    """
    folder = BUILD / "node" / name
    if not are_installed(name):
        if offline():
            raise unittest.SkipTest("no network to fetch node modules from")
        folder.mkdir(parents=True, exist_ok=True)
        for file in ("package.json", "package-lock.json"):
            shutil.copy(TESTS / name / file, folder / file)
        subprocess.run(["npm", "ci", "--ignore-scripts", "--no-audit", "--no-fund"], cwd=folder,
                       check=True, capture_output=True)
        (folder / "installed").write_text(lock_of(name))
    return folder / "node_modules"


if __name__ == "__main__":
    modules(sys.argv[1])
