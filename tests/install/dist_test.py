"""The archive of `make dist` holds what is committed, nothing else, and always the same bytes.

`make distcheck` builds and tests it without git's history and without a network.
"""

import functools
import io
import pathlib
import re
import shutil
import subprocess
import tarfile
import unittest

from install_test import ROOT, run, user_environment

VERSION = re.search(r"^VERSION := (\S+)$", (ROOT / "Makefile").read_text(), re.M)[1]
NAME = f"rotortab-{VERSION}"
ARCHIVE = ROOT / "build" / f"{NAME}.tar.gz"


def has_history():
    """Whether this folder is the top of a clone."""
    return shutil.which("git") and (ROOT / ".git").exists() and subprocess.run(
        ["git", "rev-parse", "-q", "--verify", "HEAD"], cwd=ROOT, capture_output=True,
        check=False).returncode == 0


@functools.cache
def dist(umask):
    """Makes the archive, once for each umask; returns its bytes."""
    run(["make", "dist"], cwd=ROOT, env=user_environment(), umask=umask)
    return ARCHIVE.read_bytes()


@unittest.skipUnless(has_history(), "no git history here, as in an unpacked archive")
class Dist(unittest.TestCase):
    """`make dist`"""

    def test_holds_what_is_committed(self):
        made = dist(0o022)
        listed = run(["git", "ls-tree", "-r", "-z", "--name-only", "HEAD"], cwd=ROOT)
        with tarfile.open(fileobj=io.BytesIO(made)) as archive:
            members = archive.getmembers()
        files = [member.name for member in members if not member.isdir()]
        self.assertEqual(files, [f"{NAME}/{name}" for name in listed.split("\0")[:-1]])
        self.assertNotIn(".git", [part for name in files for part in pathlib.Path(name).parts])
        self.assertEqual({oct(member.mode) for member in members}, {"0o644", "0o755"})

    def test_same_bytes_every_time(self):
        self.assertEqual(dist(0o022), dist(0o077))


if __name__ == "__main__":
    unittest.main()
