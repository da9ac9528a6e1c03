"""The field reader on processors of devices, compared with the host's exact arithmetic.

A firmware image with a table of the demonstration runs on two emulated boards, a Cortex-M0 and a
Cortex-M3. The same trial runs as a program on 32-bit ARM, and on a big-endian processor. Each takes
every stage of every pad through every stop, moves from every blade to every other, and says what
the table changes after a former one. Each line is compared with what `rotortab stops` prints and
what moves.py calculates. The table is at each of four alignments in turn; a Cortex-M0 faults at an
unaligned access.
"""

import atexit
import functools
import json
import os
import pathlib
import shutil
import subprocess
import sys
import tempfile
import unittest

import moves
import newer

sys.path[1:1] = [str(pathlib.Path(__file__).resolve().parents[1] / name) for name in ("table", "")]
import layout  # noqa: E402
import share  # noqa: E402

ROOT = pathlib.Path(__file__).resolve().parents[2]
BUILD = pathlib.Path(os.environ.get("ROTORTAB_BUILD", ROOT / "build"))
PROGRAM = pathlib.Path(os.environ.get("ROTORTAB", BUILD / "rotortab"))
TRIALS = BUILD / "tests" / "device"  # the trial, built for each processor
DEMO = ROOT / "engines-demo"

HERE = ROOT / "tests" / "device"
BODY_CRC_WRONG = 9  # of enum rotor_status
SAME, OLDER, OTHER_CONTENT = 0, 4, 5  # of enum rotor_import_finding
STACK_MOST = 256


def needs(*programs):
    """Skips a class where one of these programs is missing."""
    absent = [name for name in programs if not shutil.which(name)]
    return unittest.skipIf(absent, f"{', '.join(absent)} missing: make deps-device")


class Table:
    """A demonstration table for a device, with what the host knows of it."""

    def __init__(self, folder, device, loose=False):
        profile = DEMO / "devices" / f"{device}.device.yaml"
        self.path = folder / f"{device}.rotor"
        engines = [engine for engine in sorted((DEMO / "engines").iterdir())
                   if self.run("check", "--device", profile, engine, status=None).returncode == 0]
        engines = share.sample(engines, least=3)  # former_content() changes two of each three
        self.run("compile", "--drafts", "--device", profile, "-o", self.path, *engines)
        self.shown = self.show()
        if loose:
            self.path = self.loosened(folder)
            self.shown = self.show()
        told = json.loads(self.run("stops", "--device", profile, "--format", "json",
                                   *engines).stdout)
        self.pairs = self.in_table_order([pair for pair in told if pair["pad"]])
        self.former = folder / f"former-{self.path.name}"
        self.former.write_bytes(self.former_content())
        *lines, end = moves.expected(self.pairs, self.shown)
        self.expected = [*lines, *self.changes(), end]

    @staticmethod
    def run(*arguments, status=0):
        done = subprocess.run([PROGRAM, *arguments], capture_output=True, check=False)
        if status is not None and done.returncode != status:
            raise AssertionError(f"{arguments}: {done.stderr.decode()}")
        return done

    def show(self):
        return json.loads(self.run("show", "--format", "json", self.path).stdout)

    def loosened(self, folder):
        """A copy with so much backlash that a move back by one blade is the longer one of two."""
        content = self.path.read_bytes()
        pads = [pad for engine in self.shown["engines"] for pad in engine["pads"]]
        for index, pad in enumerate(pads):
            backlash = 2 * pad["stages"][0]["whole"]
            content = layout.put(content, layout.PADS, index, 20, "I", backlash)
        path = folder / f"loose-{self.path.name}"
        path.write_bytes(content)
        return path

    def former_content(self):
        """The table with changes: each third engine the same, of a later revision, and other."""
        content = self.path.read_bytes()
        stage = 0
        for index, engine in enumerate(self.shown["engines"]):
            if index % 3 == 1:
                content = layout.put(content, layout.ENGINES, index, 8, "I",
                                     engine["revision"] + 1)
            elif index % 3 == 2:
                role = 3 if engine["stages"][0]["role"] == "fan" else 1
                content = layout.put(content, layout.STAGES, stage, 36, "B", role)
            stage += len(engine["stages"])
        return content

    def changes(self):
        """What the device must say of the table after the former one."""
        engines = [(engine["id"], (SAME, OLDER, OTHER_CONTENT)[index % 3])
                   for index, engine in enumerate(self.shown["engines"])]
        for name, finding in engines:
            yield f"import {name} {finding}"
        yield f"verdict {max(finding for _, finding in engines)}"

    def in_table_order(self, told):
        """The objects of `stops` as the table has them: engine by engine, pad by pad."""
        by_name = {(pair["engine"], pair["pad"], pair["stage"]): pair for pair in told}
        return [by_name[engine["id"], pad["id"], link["stage"]]
                for engine in self.shown["engines"] for pad in engine["pads"]
                for link in pad["stages"]]

    def counts(self):
        """Every stop that `stops` prints, in the form of a trial's line."""
        for pair in self.pairs:
            for stop in pair["stops"]:
                count = moves.FIRST_COUNTER + pair["positive"] * stop["count"]
                wrapped = (count + 2 ** 31) % 2 ** 32 - 2 ** 31
                yield f"stop {stop['blade']} {wrapped}"


@functools.lru_cache(maxsize=None)
def demonstration():
    """The folder of this run, and its tables by name; made once for all processors."""
    scratch = tempfile.TemporaryDirectory()
    atexit.register(scratch.cleanup)
    folder = pathlib.Path(scratch.name)
    tables = {device: Table(folder, device) for device in ("slipway-4", "capstan-2", "skiff-1")}
    tables["loose"] = Table(folder, "skiff-1", loose=True)
    return folder, tables


class Trial(unittest.TestCase):
    """What all processors share."""

    @classmethod
    def setUpClass(cls):
        cls.folder, cls.tables = demonstration()

    def run_it(self, *command):
        """The lines printed; the process has to end well by itself."""
        done = subprocess.run(command, capture_output=True, text=True, check=False, timeout=300,
                              stdin=subprocess.DEVNULL)
        self.assertEqual(done.returncode, 0, done.stdout[-400:] + done.stderr[-400:])
        return done.stdout.splitlines()

    def compare(self, table, lines):
        """Line by line, so that a difference is shown where it begins."""
        for number, (found, wanted) in enumerate(zip(lines, table.expected)):
            if found != wanted:
                before = "\n".join(lines[max(number - 3, 0):number])
                self.fail(f"line {number}: {found}\nexpected: {wanted}\nafter:\n{before}")
        self.assertEqual(len(lines), len(table.expected))

    def damaged(self, table):
        """A copy of the table with one bit of its last text changed."""
        content = bytearray(table.path.read_bytes())
        content[-6] ^= 1
        path = self.folder / "damaged.rotor"
        path.write_bytes(content)
        return path


class Expectation(Trial):
    """moves.py itself: small cases by hand, and its stops beside those of `stops`."""

    def test_stops_are_those_of_stops(self):
        for table in self.tables.values():
            told = list(table.counts())
            worked_out = []
            for pair in table.pairs:
                worked_out += moves.row_of(pair, table.shown).steps()[:pair["blades"]]
            self.assertGreater(len(told), 500)
            self.assertEqual(told, worked_out)

    def test_moves_by_hand(self):
        row = moves.Row(4, 10, "rising", -1, backlash=3)
        self.assertEqual(row.move(0, 1), (0, []))
        self.assertEqual(row.move(0, 2), (1, [-10]))
        self.assertEqual(row.move(0, 4), (-1, [14, -4]))   # 10 + 4 back, 4 on: 18 below 30
        self.assertEqual(row.move(0, 3), (2, [-20]))       # 28 back is more than 20
        self.assertEqual(moves.Row(4, 10, "falling", 1).move(0, 2), (3, [30]))
        self.assertEqual([moves.overshoot(backlash) for backlash in (0, 1, 4, 5, 576)],
                         [1, 2, 5, 7, 720])

    def test_a_tie_goes_the_normal_way(self):
        row = moves.Row(3, 10, "rising", 1, backlash=4)        # 10 + 2 * 5 back, 20 on
        self.assertEqual(row.move(0, 3), (2, [20]))

    def test_the_demonstration_has_both(self):
        lines = self.tables["slipway-4"].expected
        for kind in ("1", "2"):
            self.assertTrue(any(line.split()[2] == kind for line in lines if line[:4] == "move"))


@needs("arm-none-eabi-gcc", "qemu-system-arm")
class Board(Trial):
    """Firmware images on emulated boards."""

    def image(self, core, table, offset, path):
        image = self.folder / f"{core}-{path.stem}-{offset}.elf"
        subprocess.run(["arm-none-eabi-gcc", f"-mcpu={core}", "-mthumb", "-nostdlib",
                        f"-DOFFSET={offset}", f'-DTABLE="{path}"', f'-DFORMER="{table.former}"',
                        "-T", HERE / "board.ld", TRIALS / core, HERE / "table.S", "-lgcc", "-o",
                        image], check=True)
        return image

    def boot(self, machine, core, table, offset=0, path=None):
        """The lines of a board's trial after the first, which is the stack. `path` has a copy."""
        lines = self.run_it(
            "qemu-system-arm", "-M", machine, "-nographic", "-serial", "none", "-monitor", "none",
            "-chardev", "stdio,id=out", "-semihosting-config",
            "enable=on,target=native,chardev=out", "-kernel",
            self.image(core, table, offset, path or table.path))
        self.assertRegex(lines[0], r"^stack \d+$")
        self.stack = int(lines[0].split()[1])
        return lines[1:]

    def test_cortex_m0(self):
        """Every table, and every alignment, at which the core may not fault."""
        places = [("slipway-4", 0), ("capstan-2", 1), ("skiff-1", 2), ("loose", 3),
                  ("slipway-4", 1), ("slipway-4", 2), ("slipway-4", 3)]
        for device, offset in places[:4] + share.sample(places[4:]):
            with self.subTest(device=device, offset=offset):
                table = self.tables[device]
                self.compare(table, self.boot("microbit", "cortex-m0", table, offset))
                self.assertGreater(self.stack, 50)
                self.assertLessEqual(self.stack, STACK_MOST)

    def test_a_later_versions_table(self):
        """Longer records and an unknown section change nothing but the table's size."""
        table = self.tables["skiff-1"]
        path = self.folder / "newer.rotor"
        path.write_bytes(newer.grown(table.path.read_bytes()))
        lines = self.boot("microbit", "cortex-m0", table, path=path)
        self.assertEqual(lines[0], f"table {path.stat().st_size}")
        self.compare(table, table.expected[:1] + lines[1:])

    def test_cortex_m3(self):
        for offset, (device, table) in share.sample(enumerate(self.tables.items())):
            with self.subTest(device):
                self.compare(table, self.boot("mps2-an385", "cortex-m3", table, offset))

    def test_a_damaged_table_is_refused(self):
        for machine, core in (("microbit", "cortex-m0"), ("mps2-an385", "cortex-m3")):
            table = self.tables["slipway-4"]
            self.assertEqual(self.boot(machine, core, table, path=self.damaged(table)),
                             [f"refused {BODY_CRC_WRONG}", "end"])


class Hosted:
    """The trial as a program on another processor; mixed into Trial."""

    EMULATOR = PROCESSOR = None

    def trial(self, table, offset, path=None):
        return self.run_it(self.EMULATOR, TRIALS / self.PROCESSOR, path or table.path, str(offset),
                           table.former)

    def test_every_table_at_every_alignment(self):
        places = [(device, offset) for device in self.tables for offset in range(4)]
        for device, offset in share.sample(places, kind=lambda place: place[0] == "loose"):
            with self.subTest(device=device, offset=offset):
                table = self.tables[device]
                self.compare(table, self.trial(table, offset))

    def test_a_damaged_table_is_refused(self):
        table = self.tables["slipway-4"]
        self.assertEqual(self.trial(table, 0, self.damaged(table)),
                         [f"refused {BODY_CRC_WRONG}", "end"])


@needs("s390x-linux-gnu-gcc", "qemu-s390x")
class BigEndian(Hosted, Trial):
    EMULATOR, PROCESSOR = "qemu-s390x", "s390x"


@needs("arm-linux-gnueabihf-gcc", "qemu-arm")
class Arm32(Hosted, Trial):
    EMULATOR, PROCESSOR = "qemu-arm", "arm"


if __name__ == "__main__":
    unittest.main()
