"""Runs that are killed: tables, depfile and manifest of one compilation change together.

failing.c kills the program before its Nth call, for every N; other runs are killed at random times.
After the next run into the same folder, which writes another file, the set is the old one or the
new one. The next run is killed too, and then the run after it finishes both. Journals that no run
of the program wrote here are refused, and nothing is renamed.
"""

import os
import pathlib
import random
import re
import shutil
import signal
import subprocess
import sys
import tempfile
import time
import unittest

HERE = pathlib.Path(__file__).resolve().parent
sys.path[1:1] = [str(HERE.parent), str(HERE.parent / "hostile")]
import confined  # noqa: E402
import failing_test  # noqa: E402
import share  # noqa: E402

SLIPWAY = "devices/slipway-4.device.yaml"
CAPSTAN = "devices/capstan-2.device.yaml"
LEFT = re.compile(r"\.rotortab-")
AT_RANDOM = share.number(300, least=30)
AT_ONCE = share.number(200, least=16)
KILLED = 2  # as failing.c has it
NEXT = 1 if os.environ.get("FAILING_ALL") == "1" else 4  # of so many calls, the next run is killed

# Where the tables, the manifest and the depfile go.
ONE_FOLDER = ("out", "out/fleet.json", "out/fleet.d")
THREE_FOLDERS = ("out", "lists/fleet.json", "rules/fleet.d")


def compile_set(places, source, *more):
    out, manifest, depfile = places
    return ["compile", "-d", SLIPWAY, "-d", CAPSTAN, "-o", out, "--manifest", manifest,
            "--depfile", depfile, *more, source]


def compile_other(places):
    """A run that writes other files into the same folders, and no set."""
    out, manifest, _ = places
    other = os.path.join(os.path.dirname(manifest), "other.html")
    return ["sheet", "-d", SLIPWAY, "-f", "html", "-o", other, "later/dibble-3.engine.yaml"]


class Sets(unittest.TestCase):
    """A folder with two sources that make two sets."""

    def setUp(self):
        self.folder = pathlib.Path(tempfile.mkdtemp(prefix="killed-"))
        self.addCleanup(shutil.rmtree, self.folder, True)
        text = (confined.DEMO / "engines" / "dibble-3.engine.yaml").read_text()
        later = text.replace("revision: 7", "revision: 8").replace("blades: 26", "blades: 27")
        for name, content in (
                ("now/dibble-3.engine.yaml", text), ("later/dibble-3.engine.yaml", later),
                (SLIPWAY, (confined.DEMO / SLIPWAY).read_text()),
                (CAPSTAN, (confined.DEMO / CAPSTAN).read_text())):
            (self.folder / name).parent.mkdir(exist_ok=True, parents=True)
            (self.folder / name).write_text(content)
        for name in ("out", "lists", "rules"):
            (self.folder / name).mkdir()
        self.environment = {**os.environ, "SOURCE_DATE_EPOCH": "1782043200", "LC_ALL": "C"}

    def run_program(self, arguments, status=0):
        done = subprocess.run([confined.PROGRAM, *arguments], cwd=self.folder, check=False,
                              capture_output=True, text=True, env=self.environment, timeout=60)
        self.assertEqual(done.returncode, status, done.stderr)
        return done.stderr

    def files(self, folders=("out", "lists", "rules")):
        """All files that a run wrote; those that are not complete yet too."""
        return {str(path.relative_to(self.folder)): path.read_bytes()
                for folder in folders for path in sorted((self.folder / folder).iterdir())
                if path.is_file() and not path.is_symlink()}

    def set_of(self):
        """The files without those that have a name of the program's own."""
        return {name: content for name, content in self.files().items()
                if not LEFT.search(name) and "other" not in name}

    def left(self):
        return [name for name in self.files() if LEFT.search(name)]

    def restore(self, contents):
        for name in self.files():
            (self.folder / name).unlink()
        for name, content in contents.items():
            (self.folder / name).write_bytes(content)

    def made(self, places, source):
        self.run_program(compile_set(places, source))
        self.assertEqual(self.left(), [])
        return self.set_of()


@unittest.skipIf(confined.SANITIZED, "a sanitized program takes no library before its own")
class AtEachCall(Sets):
    """failing.c kills the program before each call in turn; `make test` takes a sixth of them."""

    @classmethod
    def setUpClass(cls):
        cls.scratch = tempfile.TemporaryDirectory(prefix="killed-")
        cls.shared = pathlib.Path(cls.scratch.name, "failing.so")
        subprocess.run(["cc", "-std=c11", "-O1", "-shared", "-fPIC", "-o", cls.shared,
                        HERE / "failing.c", "-ldl"], check=True)

    @classmethod
    def tearDownClass(cls):
        cls.scratch.cleanup()

    def killer(self, arguments):
        """What kills one run after another, at any call."""
        place = type("Place", (), {"given": b"", "folder": self.folder,
                                   "environment": self.environment, "before": None})()
        killer = failing_test.Disturbed(self.shared, place, arguments, "files")
        self.addCleanup(killer.close)

        def kill(number):
            killer.socket.send(killer.REQUEST.pack(number, KILLED))
            status, counted = killer.ANSWER.unpack(killer.socket.recv(killer.ANSWER.size))
            return os.waitstatus_to_exitcode(status), counted
        return kill

    def walk(self, places, before):
        """Kills a run at each call, and then the next run at each call, too."""
        new = self.made(places, "later")
        if before:
            self.restore({})
            old = self.made(places, "now")
        else:
            old = {}
        self.restore(old)
        kill = self.killer(compile_set(places, "later"))
        other = self.next_run(places)
        kill_other = self.killer(other)
        self.assertEqual(kill(0)[0], 0)
        calls = kill(0)[1]
        self.assertGreater(calls, 30)
        seen = set()
        mixed = []
        for number in share.sample(range(1, calls + 1), least=calls // 6):
            self.restore(old)
            status, _ = kill(number)
            if status == 0:
                continue  # fewer calls than the first time
            self.assertEqual(status, -signal.SIGKILL)
            killed = self.files()
            self.run_program(["new", "knoll-1", "-o", "out/other.yaml"])  # it finishes nothing
            self.run_program(other)
            if self.set_of() not in (old, new):
                mixed.append(number)
            seen.add("old" if self.set_of() == old else "new")
            if self.left():
                mixed.append(f"{number} left {self.left()}")
            if ".rotortab-journal" in " ".join(killed) and number % NEXT == 0:
                mixed += self.walk_next(number, kill, kill_other, other, old, new)
        self.assertEqual((mixed, seen), ([], {"old", "new"}))

    def test_new_files_only(self):
        """Definitions from a table go over no file, so the next run ends with 2 or writes all."""
        self.run_program(["compile", "-d", SLIPWAY, "-o", "one.rotor", "now"])
        show = ["show", "-f", "definition", "-o", "out", "one.rotor"]
        self.run_program(show)
        new = self.set_of()
        self.assertEqual(len(new), 3)
        self.restore({})
        kill = self.killer(show)
        status, calls = kill(0)
        self.assertEqual(status, 0)
        self.assertGreater(calls, 30)
        ends = {0: 0, 2: 0}
        for number in share.sample(range(1, calls + 1), least=calls // 6):
            self.restore({})
            if kill(number)[0] == 0:
                continue
            done = subprocess.run([confined.PROGRAM, *show], cwd=self.folder, check=False,
                                  capture_output=True, text=True, env=self.environment, timeout=60)
            self.assertEqual((self.set_of(), self.left()), (new, []), (number, done.stderr))
            if done.returncode == 2:
                self.assertIn("exists, and only new files are written here", done.stderr)
            ends[done.returncode] += 1
        self.assertGreater(min(ends.values()), 0, ends)

    def next_run(self, places):
        return compile_set(places, "later")[:1] + ["-d", SLIPWAY, "-o", "out/other.rotor",
                                                   "later"] if places is ONE_FOLDER else \
            compile_set((places[0] + "/other.rotor", places[1].replace("fleet", "other"),
                         places[2].replace("fleet", "other")), "later")[:1] + [
                "-d", SLIPWAY, "-o", "out/other.rotor", "--manifest", "lists/other.json",
                "--depfile", "rules/other.d", "later"]

    def walk_next(self, number, kill, kill_other, other, old, new):
        """Kills the run that finishes a killed one."""
        wrong = []
        for again in range(1, 200, 7):
            self.restore(old)
            kill(number)
            if kill_other(again)[0] == 0:
                break
            self.run_program(other)
            if self.set_of() not in (old, new) or self.left():
                wrong.append(f"{number}, then {again}: {self.left()}")
        return wrong

    def test_in_one_folder(self):
        self.walk(ONE_FOLDER, True)

    def test_in_three_folders(self):
        self.walk(THREE_FOLDERS, True)

    def test_where_there_was_none(self):
        self.walk(ONE_FOLDER, False)


class AtRandom(Sets):
    """Kills at any time, and two runs at once."""

    def test_killed_at_random_times(self):
        new = self.made(ONE_FOLDER, "later")
        old = self.made(ONE_FOLDER, "now")
        chance = random.Random(15)
        began = time.monotonic()
        self.run_program(compile_set(ONE_FOLDER, "later"))
        whole = time.monotonic() - began
        ends = {"old": 0, "new": 0}
        for _ in range(AT_RANDOM):
            self.restore(old)
            with subprocess.Popen([confined.PROGRAM, *compile_set(ONE_FOLDER, "later")],
                                  cwd=self.folder, env=self.environment,
                                  stderr=subprocess.DEVNULL) as run:
                time.sleep(chance.uniform(0, 1.2 * whole))
                run.kill()
            self.run_program(compile_other(ONE_FOLDER))
            self.assertIn(self.set_of(), (old, new))
            self.assertEqual(self.left(), [])
            ends["old" if self.set_of() == old else "new"] += 1
        self.assertGreater(min(ends.values()), 0, ends)

    def test_two_at_once(self):
        """Both end with 0; the set is that of one of them."""
        for places in (ONE_FOLDER, THREE_FOLDERS):
            sets = [self.made(places, source) for source in ("now", "later")]
            for _ in range(AT_ONCE // 2):
                runs = [subprocess.Popen([confined.PROGRAM, *compile_set(places, source)],
                                         cwd=self.folder, env=self.environment,
                                         stderr=subprocess.DEVNULL)
                        for source in ("now", "later")]
                self.assertEqual([run.wait(60) for run in runs], [0, 0])
                self.assertIn(self.set_of(), sets)
                self.assertEqual(self.left(), [])
            self.restore({})


if __name__ == "__main__":
    unittest.main()
