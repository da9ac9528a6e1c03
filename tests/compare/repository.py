"""A repository of git with two definitions, to be compared with. Invented data."""

import subprocess

from definitions import HARROW, TERN, Folder


class Repository(Folder):
    """One commit: harrow-20 and tern-5 below engines/."""

    def setUp(self):
        super().setUp()
        self.git("init", "-q", "-b", "main")
        self.git("config", "user.name", "Somebody")
        self.git("config", "user.email", "somebody@example.org")
        self.git("config", "commit.gpgsign", "false")
        self.harrow = self.write("engines/harrow-20.engine.yaml", HARROW)
        self.tern = self.write("engines/small/tern-5.engine.yaml", TERN)
        self.write("engines/.hidden/x.engine.yaml", "{")
        self.write("engines/notes.yaml", "lunch: [soup]\n")
        self.commit()

    def git(self, *arguments, folder="."):
        subprocess.run(["git", *arguments], cwd=self.folder / folder, check=True,
                       stdin=subprocess.DEVNULL, capture_output=True)

    def commit(self):
        self.git("add", "-A")
        self.git("commit", "-q", "-m", "Definitions")

    def trouble(self, *arguments, environment=None):
        status, out, err = self.run_program("compare", *arguments, environment=environment)
        self.assertEqual((status, out), (2, ""), err)
        return err
