"""Installs below a temporary folder, and builds and runs a small program against what is there."""

import os
import pathlib
import shutil
import subprocess
import tempfile
import unittest

ROOT = pathlib.Path(__file__).resolve().parent.parent.parent

DEVICE = r"""
#include <field/crc32.h>
#include <stdio.h>

int main(void)
{
    return 0;
}
"""


class Install(unittest.TestCase):
    """`make install`, the pkg-config file, and `make uninstall`."""

    @classmethod
    def setUpClass(cls):
        cls.scratch = tempfile.mkdtemp()
        cls.addClassCleanup(shutil.rmtree, cls.scratch)
        cls.prefix = pathlib.Path(cls.scratch) / "opt"
        cls.make("install")

    @classmethod
    def make(cls, target):
        """Runs make as a user would: without the variables of the make that runs the tests."""
        environment = {name: value for name, value in os.environ.items()
                       if name not in ("MAKEFLAGS", "MFLAGS", "MAKELEVEL", "SANITIZE", "COVERAGE")}
        subprocess.run(["make", target, f"DESTDIR={cls.scratch}", "PREFIX=/opt"], cwd=ROOT,
                       env=environment, check=True, stdout=subprocess.PIPE)
