"""The same sources give the same program and library, bit for bit, in every folder.

The sources are built again in a folder with a longer name, and compared with this folder's build.
"""

import os
import pathlib
import shutil
import sys
import tempfile
import unittest

from install_test import ROOT, run, user_environment

sys.path.insert(1, str(ROOT / "tests"))
import share  # noqa: E402

BUILD = ROOT / "build"
MADE = ("rotortab", "librotortab.a")
# The other variants have the names of folders in what they say of an error.
RELEASED = pathlib.Path(os.environ.get("ROTORTAB_BUILD", BUILD)).resolve() == BUILD


@unittest.skipUnless(share.COUNT >= share.WHOLE, "a second build takes long; .ci/run makes it")
@unittest.skipUnless(RELEASED, "only the released build is the same from every folder")
class Reproducible(unittest.TestCase):
    """Two builds"""

    def test_same_bytes_from_another_folder(self):
        with tempfile.TemporaryDirectory() as scratch:
            folder = pathlib.Path(scratch) / "another folder with a longer name" / "deeper"
            shutil.copytree(ROOT / "src", folder / "src")
            shutil.copy(ROOT / "Makefile", folder)
            run(["make", "all"], cwd=folder, env=user_environment())
            flags = (folder / "build/flags").read_text().replace(str(folder), str(ROOT))
            if flags != (BUILD / "flags").read_text():
                self.skipTest("this folder's build has other flags than those by default")
            for name in MADE:
                self.assertEqual((folder / "build" / name).read_bytes(),
                                 (BUILD / name).read_bytes(), name)


if __name__ == "__main__":
    unittest.main()
