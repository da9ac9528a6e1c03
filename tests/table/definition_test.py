"""From a table back to sources, and to the same table: `show --format definition`.

Every table of the demonstration and tables of random definitions are shown as definitions. Compiled
again, these are the same table, except for status and digests. A table that no compiler writes
gives no file, and no file is overwritten.
"""

import json
import os
import pathlib
import random
import re
import subprocess
import sys
import tempfile
import unittest

import layout
import page_test

ROOT = pathlib.Path(__file__).resolve().parents[2]
sys.path[1:1] = [str(ROOT / "tests" / name) for name in ("property", "")]
import devices  # noqa: E402
import generate  # noqa: E402
import share  # noqa: E402

PROGRAM = pathlib.Path(os.environ.get("ROTORTAB", ROOT / "build" / "rotortab")).resolve()
DEMO = ROOT / "engines-demo"
VECTORS = ROOT / "tests" / "vectors"
SEED, CHUNK = 41, 20


def run(*arguments, folder="/"):
    environment = {**os.environ, "SOURCE_DATE_EPOCH": "1800000000", "LC_ALL": "C.UTF-8"}
    return subprocess.run([PROGRAM, *map(str, arguments)], capture_output=True, check=False,
                          text=True, cwd=folder, env=environment)


def bare(table):
    """A table without what does not come back: status, digests and a signature."""
    start, count, stride = layout.section(table, layout.ENGINES)
    device = layout.section(table, layout.DEVICE)[0]
    body = bytearray(table)
    for record in range(start, start + count * stride, stride):
        body[record + 30] = 1
        body[record + 32:record + 64] = bytes(32)
    body[device + 64:device + 96] = bytes(32)
    sections = [bytes(body[at:at + number * size]) for kind in range(1, 14)
                for at, number, size in [layout.section(table, kind)]]
    return sections


class Folder(unittest.TestCase):
    """Tables and folders of sources, in a scratch folder."""

    def setUp(self):
        self.scratch = tempfile.TemporaryDirectory()
        self.addCleanup(self.scratch.cleanup)
        self.folder = pathlib.Path(self.scratch.name)
        self.made = 0

    def new_folder(self):
        self.made += 1
        path = self.folder / f"from-{self.made}"
        path.mkdir()
        return path

    def compile(self, device, *sources, folder="/", status=0):
        """A table of these sources; None where the program refuses them."""
        self.made += 1
        path = self.folder / f"{self.made}.rotor"
        done = run("compile", "--drafts", "-d", device, "-o", path, *sources, folder=folder)
        if status is not None:
            self.assertEqual(done.returncode, status, done.stderr[-3000:])
        return path if done.returncode == 0 else None

    def show(self, table, folder, *options, status=0):
        done = run("show", "-f", "definition", "-o", folder, *options, table)
        self.assertEqual((done.returncode, done.stdout), (status, ""), done.stderr)
        return done.stderr

    def there_and_back(self, table):
        """Shows a table as sources, compiles them, and compares; returns the folder."""
        folder = self.new_folder()
        self.show(table, folder)
        device, = folder.glob("*.device.yaml")
        again = self.compile(device, *sorted(folder.glob("*.engine.yaml")), folder=folder)
        self.assertEqual(bare(again.read_bytes()), bare(table.read_bytes()), table)
        return folder

    def texts(self, folder):
        return "".join(path.read_text("utf-8") for path in sorted(folder.iterdir()))


class Demonstration(Folder):
    """Every table that the demonstration makes."""

    def tables(self):
        for device in sorted((DEMO / "devices").iterdir()):
            tables = {engine: self.compile(device, engine, folder=DEMO, status=None)
                      for engine in sorted((DEMO / "engines").glob("*.engine.*"))}
            taken = [engine for engine, table in tables.items() if table]
            yield from (tables[engine] for engine in share.sample(taken, least=2))
            yield self.compile(device, *taken, folder=DEMO)

    def test_every_table(self):
        devices = len(list((DEMO / "devices").iterdir()))
        tables = list(self.tables())
        self.assertGreaterEqual(len(tables), 2 * devices)
        for table in tables:
            self.there_and_back(table)

    def test_what_a_table_does_not_have_is_a_comment(self):
        device = DEMO / "devices" / "slipway-4.device.yaml"
        table = self.compile(device, DEMO / "engines" / "quern-12.engine.yaml",
                             DEMO / "engines" / "mattock-40.engine.yaml", folder=DEMO)
        folder = self.there_and_back(table)
        text = (folder / "quern-12.engine.yaml").read_text("utf-8")
        for line in ("# source:  # where", "status: draft  # its", "    # turns:  # how far",
                     "# observations:  # what", "      - external: [24, 35, 47]\n"):
            self.assertIn(line, text)
        profile = (folder / "slipway-4.device.yaml").read_text("utf-8")
        self.assertIn("limits:  # a table does not have them: these are the least", profile)
        self.assertIn("  ratio-coarse: 8 %\n", (folder / "rotortab.policy.yaml").read_text("utf-8"))
        self.assertEqual(run("check", "-d", folder / "slipway-4.device.yaml", folder,
                             folder=folder).returncode, 0)

    def test_a_hand_turned_spool_does_not_come_back(self):
        device = DEMO / "devices" / "slipway-4.device.yaml"
        engine = DEMO / "engines" / "quern-12.engine.yaml"
        self.assertIn("turned-by: hand", engine.read_text("utf-8"))
        folder = self.there_and_back(self.compile(device, engine, folder=DEMO))
        self.assertNotIn("id: LP", self.texts(folder))


class Parts(Folder):
    """Single definitions with what is rare, changed from one of the demonstration."""

    DEVICE = DEMO / "devices" / "slipway-4.device.yaml"

    def back(self, *edits, device=DEVICE, engine="quern-12", policy=None):
        """The written definition of a changed one."""
        text = next((DEMO / "engines").glob(f"{engine}.engine.yaml")).read_text("utf-8")
        for old, new in edits:
            self.assertRegex(text, old)
            text = re.sub(old, new, text, count=1)
        folder = self.new_folder()
        source = folder / f"{engine}.engine.yaml"
        source.write_text(text, "utf-8")
        if policy:
            (folder / "rotortab.policy.yaml").write_text(policy, "utf-8")
        written = self.there_and_back(self.compile(device, source, folder=folder))
        return (written / source.name).read_text("utf-8")

    def test_texts(self):
        device = self.folder / self.DEVICE.name
        device.write_text(self.DEVICE.read_text("utf-8").replace("latin-1", "utf-8"), "utf-8")
        text = self.back(('name: Quern 12', r'name: "a\\\\ \\" b\\u2028c # d: e"'),
                         (r"models: \[", 'models: ["Ünicode", '), device=device)
        self.assertIn(r'name: "a\\ \" b\Lc # d: e"', text)

    def test_ids_that_yaml_takes_for_words(self):
        self.assertIn('id: "on"\n', self.back(("id: T1", "id: \"on\"")).replace("{id: \"on\",",
                                                                                 'id: "on"\n'))

    def test_no_models(self):
        self.assertIn("# models:", self.back((r"models: .*\n", ""), ("released", "draft")))

    def test_clock_of_noon(self):
        self.assertIn('clock: "12:15"', self.back(('"4:30"', '"12:15"')))

    def test_backlash(self):
        self.assertIn("# backlash:", self.back((r"    backlash: .*\n", "")))
        self.assertIn("backlash: 0 deg\n", self.back((r"backlash: .*", "backlash: 0 +/- 0 deg")))

    def test_a_speed_above_the_device(self):
        self.assertIn("# max-speed:", self.back(("max-speed: 120 deg/min", "max-speed: 30 rpm")))

    def test_waivers(self):
        """An error that the definition had accepted is accepted again, for about a year."""
        policy = "policy: 1\nlimits: {backlash-large: 1 %}\n"
        text = self.back((r"\npads:", "\nwaive:\n  - {rule: backlash-large, because: measured, "
                          "until: 2099-01-01}\npads:"),
                         (r"backlash: .*", "backlash: 9 +/- 0 deg"), policy=policy)
        self.assertIn("- rule: backlash-large\n    because: The table was compiled with it. Find "
                      "out why.\n    until: 2028-01-01\n    pad: crank\n", text)

    def test_turns(self):
        """Every form of a rounded ratio: its limits come back, and the one that the device uses."""
        for turns, written in (
                ("{pad: 3.03241, rotor: 1}", "{pad: 3.03241, rotor: 1}"),
                ("{pad: 303.241, rotor: 100}", "{pad: 3.03241, rotor: 1}"),
                ("{pad: 1, rotor: 0.329777}", "{pad: 1, rotor: 0.329777}"),
                ("{pad: 303/100, rotor: 1}", "{pad: 303/100, rotor: 1}"),
                ("{pad: 3 +/- 0, rotor: 1}", "{pad: 3 +/- 0, rotor: 1}"),
                ("{pad: 3.0324 +/- 0.0001, rotor: 1}", "{pad: 3.0324 +/- 0.0001, rotor: 1}"),
                ("{pad: 30.3241, rotor: 10.0000}",
                 "{pad: 3.03241 +/- 0.000005, rotor: 1 +/- 0.000005}")):
            text = self.back((r"turns: .*", f"turns: {turns}"), (r"    path:\n(      - .*\n)+", ""),
                             (r"observations:\n(  .*\n)+", "observations:\n  - {pad: crank, seen: "
                              "{pad: ccw, rotor: cw}}\n"))
            self.assertIn(f"    turns: {written}\n", text)
            self.assertIn("seen: {pad: ccw, rotor: cw}\n    note: The table was", text)

    def test_adapters(self):
        adapter = ("    adapter: {%s, torque-limit: 20 lbf.ft, backlash: 0.3 deg}\n"
                   "    drives: both")
        for inside, written in (
                ("square: 3/8 in", "square: 3/8 in"),
                ("path: [{external: [20, 30]}, {external: [30, 25]}]", "external: [20, 30, 25]"),
                ("path: [{bevel: {teeth: [20, 30], backs: [up, aft]}}], faces: up",
                 "faces: up  # a table does not have it"),
                ("path: [{bevel: {teeth: [20, 30], backs: [down, forward]}}], faces: down",
                 "backs: [down, forward]"),
                ("path: [direct]", "- direct\n"),
                ("path: [{epicyclic: {sun: 20, ring: 80, planet: 30, planets: 4, in: sun, "
                 "out: carrier, held: ring}}]", "- epicyclic: {sun: 20, ring: 80, planet: 30, ")):
            text = self.back(("    drives: both", adapter % inside))
            self.assertIn(written, text)
            self.assertIn("  # it is in that of the pad\n", text)

    def test_a_row_of_many_idlers(self):
        rows = "external: [24, 35, 36, 37, 38, 39, 35, 34]\n      - external: [34, 47]"
        self.assertIn(rows, self.back((r"external: \[24, 35, 47\]", rows)))


class Random(Folder):
    """Random definitions of every kind, many to a table."""

    def test_there_and_back(self):
        wanted = share.number(2000, least=120)
        text = ""
        profiles = {}
        for number in range(devices.DEVICES):
            profiles[number] = devices.device(SEED, number)
            (self.folder / str(number)).mkdir()
            (self.folder / str(number) / "prop.device.yaml").write_text(
                generate.profile_text(SEED, number, profiles[number]), "utf-8", newline="")
        names = {number: [] for number in profiles}
        for index in range(wanted):
            number = devices.device_number(index)
            definition = generate.definition(SEED, index, profiles[number])
            path = self.folder / str(number) / f"{definition['id']}.engine.yaml"
            source = generate.definition_text(SEED, index, definition)
            path.write_text(source, "utf-8", newline="")
            names[number].append(path)
        for number, paths in names.items():
            device = self.folder / str(number) / "prop.device.yaml"
            for at in range(0, len(paths), CHUNK):
                with self.subTest(device=number, first=paths[at].name):
                    folder = self.there_and_back(self.compile(device, *paths[at:at + CHUNK]))
                    text += self.texts(folder)
        for kind in ("known-blades: [{", "    adapter:\n", "+/- 0, rotor: 1}", "rotor: 0.",
                     "stepping: fixed", "- internal: [", "- epicyclic: {", "- direct", "backs: [",
                     "never-backwards: yes", "clocking: ", "port: [{", "# port:", "# clocking:",
                     "# backlash:", "seen: {", "# faces:"):
            self.assertIn(kind, text)
        self.assertRegex(text, r"turns: \{pad: \d+\.\d+, rotor: 1\}")
        self.assertRegex(text, r"turns: \{pad: [\d./]+ \+/- [\d./]+, rotor: 1\}")


class Refused(Folder):
    """Nothing is written: for tables that no compiler writes, over files, without a folder."""

    def setUp(self):
        super().setUp()
        self.table = self.compile(DEMO / "devices" / "slipway-4.device.yaml",
                                  DEMO / "engines" / "quern-12.engine.yaml", folder=DEMO)

    def changed(self, *field):
        path = self.folder / "changed.rotor"
        path.write_bytes(layout.put(self.table.read_bytes(), *field))
        return path

    def refused(self, table, status=1):
        folder = self.new_folder()
        said = self.show(table, folder, status=status)
        self.assertEqual(list(folder.iterdir()), [])
        return said

    def test_single_changes(self):
        """A changed table gives nothing, or sources of exactly the changed table."""
        tables = [self.table, *(path for path in sorted(VECTORS.glob("good/*.rotor"))
                                if path.stem != "later-version")]
        chance = random.Random(14)
        number = share.number(1000, least=60)
        ends = {0: 0, 1: 0}
        for index, table in enumerate(tables):
            content = table.read_bytes()
            part = number * (index + 1) // len(tables) - number * index // len(tables)
            for change in page_test.random_changes(content, chance, part):
                with self.subTest(table=table.name, change=change):
                    path = self.folder / "changed"
                    path.write_bytes(page_test.changed(content, *change[:3]))
                    folder = self.new_folder()
                    done = run("show", "-f", "definition", "-o", folder, path)
                    self.assertIn(done.returncode, ends, done.stderr)
                    ends[done.returncode] += 1
                    if done.returncode == 0:
                        self.there_and_back(path)
                    else:
                        self.assertEqual(list(folder.iterdir()), [])
        self.assertEqual(sum(ends.values()), number)
        self.assertGreater(min(ends.values()), number // 50, ends)

    def test_vectors(self):
        """What rotor-table(5) refuses, or no writer writes, gives nothing; a good table does."""
        none = (*sorted(VECTORS.glob("refused/*.rotor")),
                *sorted(VECTORS.glob("unwritten/*.rotor")))
        for path in share.sample(none, lambda path: (path.parent.name, path.stem.split("-")[0])):
            with self.subTest(path.stem):
                self.refused(path)
        for path in sorted(VECTORS.glob("good/*.rotor")):
            with self.subTest(path.stem):
                if path.stem == "later-version":
                    self.assertIn("what only that version knows would be lost; use that version",
                                  self.refused(path))
                else:
                    self.there_and_back(path)

    def test_a_damaged_table(self):
        path = self.folder / "damaged.rotor"
        path.write_bytes(self.table.read_bytes()[:-9] + bytes(9))
        self.assertIn("damaged", self.refused(path))

    def test_a_table_of_another_form(self):
        """The form that verify checks, and what only the sources show."""
        self.assertIn("no compiler writes such a table; verify says where",
                      self.refused(self.changed(layout.ENGINES, 0, 8, "I", 0)))
        self.assertRegex(self.refused(self.changed(layout.SCHEDULES, 0, 0, "I", 16000)),
                         "compiled again, record 0 of its schedules would differ\n"
                         "No definition was written.")
        self.assertRegex(self.refused(self.changed(layout.PADS, 0, 48, "Q", 1000003)),
                         "of its (pads|schedules|links)")

    def test_ids_that_are_no_file_names(self):
        """Nothing is written outside the folder, whatever the table's texts say."""
        content = self.table.read_bytes()
        for old, new in ((b"quern-12\0", b"../ern-2\0"), (b"slipway-4\0", b"../pway-4\0"),
                         (b"quern-12\0", b"quern/12\0"), (b"quern-12\0", b"Quern-12\0")):
            path = self.folder / "named.rotor"
            self.assertIn(old, content)
            path.write_bytes(layout.seal(content.replace(old, new)))
            before = sorted(self.folder.rglob("*"))
            said = self.refused(path)
            self.assertRegex(said, "id-malformed|no compiler writes|refuse|sorted")
            after = [file for file in self.folder.rglob("*") if file not in before]
            self.assertEqual([file.name for file in after], [f"from-{self.made}"])

    def test_no_file_is_overwritten(self):
        for name in ("quern-12.engine.yaml", "slipway-4.device.yaml", "rotortab.policy.yaml"):
            folder = self.new_folder()
            (folder / name).write_text("mine\n", "utf-8")
            said = self.show(self.table, folder, status=2)
            self.assertIn(f"{name} exists, and only new files are written here", said)
            self.assertEqual([path.name for path in folder.iterdir()], [name])
            self.assertEqual((folder / name).read_text("utf-8"), "mine\n")

    def test_a_link_is_not_followed(self):
        folder = self.new_folder()
        (folder / "quern-12.engine.yaml").symlink_to(self.folder / "elsewhere")
        self.assertIn("exists", self.show(self.table, folder, status=2))
        self.assertFalse((self.folder / "elsewhere").exists())

    def test_a_folder_that_a_link_leads_to(self):
        """It is a folder, as for every command that writes into one; a link to nothing is none."""
        folder = self.new_folder()
        (self.folder / "link").symlink_to(folder)
        (self.folder / "dangling").symlink_to(self.folder / "elsewhere")
        self.show(self.table, self.folder / "link")
        self.assertEqual(len(list(folder.iterdir())), 3)
        self.assertIn("is not a folder; make it first",
                      self.show(self.table, self.folder / "dangling", status=2))
        self.assertFalse((self.folder / "elsewhere").exists())

    def test_a_pipe_is_not_waited_for(self):
        """Nobody reads it; a file of a set has a pipe's name."""
        folder = self.new_folder()
        os.mkfifo(folder / "quern-12.engine.yaml")
        self.assertIn("exists, and only new files are written here",
                      self.show(self.table, folder, status=2))
        self.assertEqual(len(list(folder.iterdir())), 1)

    def test_misuse(self):
        for arguments, said in ((("-f", "definition"), "needs --output FOLDER"),
                                (("-o", self.folder), "add --format definition"),
                                (("-f", "json", "-o", self.folder), "add --format definition"),
                                (("-f", "definition", "-o", self.folder / "no"),
                                 "is not a folder; make it first"),
                                (("-f", "definition", "-o", self.folder, "--today", "soon"),
                                 "--today takes a date")):
            done = run("show", *arguments, self.table)
            self.assertEqual((done.returncode, done.stdout), (2, ""))
            self.assertIn(said, done.stderr)

    def test_a_signed_table(self):
        """The signature does not come back; everything else does."""
        path = self.folder / "signed.rotor"
        path.write_bytes(layout.signed(self.table.read_bytes()))
        self.there_and_back(path)


if __name__ == "__main__":
    unittest.main()
