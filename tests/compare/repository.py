"""A repository of git with two definitions, to be compared with. Invented data.

git makes it once in a run of a test program; each test gets a copy.
"""

import atexit
import functools
import pathlib
import shutil
import subprocess
import tempfile

from definitions import HARROW, TERN, Folder

SETTINGS = """\
[user]
    name = Somebody
    email = somebody@example.org
[commit]
    gpgsign = false
[maintenance]
    auto = false
"""
CONTENTS = {
    "engines/harrow-20.engine.yaml": HARROW,
    "engines/small/tern-5.engine.yaml": TERN,
    "engines/.hidden/x.engine.yaml": "{",
    "engines/notes.yaml": "lunch: [soup]\n"}


def git(folder, *arguments):
    """Runs git in a folder; returns what it writes."""
    return subprocess.run(["git", *arguments], cwd=folder, check=True, stdin=subprocess.DEVNULL,
                          capture_output=True).stdout


def start(folder, *options):
    """Makes an empty repository in a folder, with what git needs for a commit."""
    git(folder, "init", "-q", "-b", "main", "--template=", *options)
    with open(folder / ".git/config", "a", encoding="utf-8") as config:
        config.write(SETTINGS)


def commit(folder):
    """Commits all that is in a folder."""
    git(folder, "add", "-A")
    git(folder, "commit", "-q", "-m", "Definitions")


@functools.lru_cache(maxsize=None)
def pattern():
    """The repository that tests copy."""
    scratch = tempfile.TemporaryDirectory()
    atexit.register(scratch.cleanup)
    folder = pathlib.Path(scratch.name)
    start(folder)
    for name, text in CONTENTS.items():
        (folder / name).parent.mkdir(parents=True, exist_ok=True)
        (folder / name).write_text(text, "utf-8")
    commit(folder)
    return folder


class Repository(Folder):
    """One commit: harrow-20 and tern-5 below engines/."""

    def setUp(self):
        super().setUp()
        self.harrow, self.tern, *_ = CONTENTS
        shutil.copytree(pattern(), self.folder, dirs_exist_ok=True)

    def git(self, *arguments, folder="."):
        return git(self.folder / folder, *arguments)

    def commit(self):
        commit(self.folder)

    def configure(self, *settings):
        """Adds settings to those of the repository: ("core.pager", value)."""
        with open(self.folder / ".git/config", "a", encoding="utf-8") as config:
            for name, value in settings:
                section, *part, key = name.split(".")
                head = f'{section} "{part[0]}"' if part else section
                config.write(f'[{head}]\n    {key} = "{value}"\n')

    def trouble(self, *arguments, environment=None):
        status, out, err = self.run_program("compare", *arguments, environment=environment)
        self.assertEqual((status, out), (2, ""), err)
        return err
