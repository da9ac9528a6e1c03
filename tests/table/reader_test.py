"""rotor-table(5) is enough to turn a rotor: a reader written from it alone, beside the program.

Every stop and every sign of the demonstration's tables, for scheduled and fixed devices, pads that
turn with the device and against it; and the worked examples of the page.
"""

import atexit
import functools
import json
import os
import pathlib
import re
import subprocess
import tempfile
import unittest
from fractions import Fraction

import reader

ROOT = pathlib.Path(__file__).resolve().parent.parent.parent
PROGRAM = pathlib.Path(os.environ.get("ROTORTAB", ROOT / "build" / "rotortab")).resolve()
MOVE = pathlib.Path(os.environ.get("ROTORTAB_BUILD", ROOT / "build")) / "tests/table/move"
DEMO = ROOT / "engines-demo"
PAGE = (ROOT / "man" / "rotor-table.5").read_text(encoding="utf-8")
ENGINES = sorted((DEMO / "engines").glob("*.engine.*"))
DEVICES = ("capstan-2", "skiff-1", "slipway-4")


def run(*arguments):
    """What the program prints, or None where it finds an error."""
    done = subprocess.run([PROGRAM, *map(str, arguments)], capture_output=True, check=False,
                          text=True, cwd=DEMO)
    return done.stdout if done.returncode == 0 else None


@functools.lru_cache(maxsize=None)
def demonstration():
    """The folder and the tables; made once for all classes."""
    scratch = tempfile.TemporaryDirectory()
    atexit.register(scratch.cleanup)
    folder = pathlib.Path(scratch.name)
    tables = {}
    for device in DEVICES:
        for engine in ENGINES:
            name = engine.name.split(".")[0]
            path = folder / f"{device}-{name}.rotor"
            if run("compile", "--drafts", "-d", f"devices/{device}.device.yaml", "-o", path,
                   engine) is not None:
                tables[device, name] = (path, reader.Table(path.read_bytes()))
    return folder, tables


class Demonstration(unittest.TestCase):
    """A table of every engine for every device that takes it."""

    @classmethod
    def setUpClass(cls):
        cls.folder, cls.tables = demonstration()

    def pairs(self, device, name):
        """(pad, link, what `stops` says) of every stage of every pad."""
        _, table = self.tables[device, name]
        engine = next(path for path in ENGINES if path.name.startswith(name + "."))
        said = json.loads(run("stops", "-d", f"devices/{device}.device.yaml", "-f", "json", engine))
        said = [pair for pair in said if pair["pad"]]  # without the stages that a hand turns
        links = [(pad, link) for pad in table.run(table.engines[0], "pads")
                 for link in table.run(pad, "links")]
        self.assertEqual([(table.text(pad.id), table.text(table.stages[link.stage].id))
                          for pad, link in links],
                         [(pair["pad"], pair["stage"]) for pair in said])
        return [(pad, link, pair) for (pad, link), pair in zip(links, said)]

    def legs(self, device, name, pad, link, *blades):
        """The legs by which the device's library goes from the first blade to each other."""
        path, _ = self.tables[device, name]
        done = subprocess.run([MOVE, path, str(pad.index), str(link.stage),
                               *map(str, blades)], capture_output=True, check=True, text=True)
        return [[int(leg) for leg in line.split()] for line in done.stdout.splitlines()]

    def carry(self, device, name, pad, link, other):
        """Count, blade and distance of the other stage's stop, with the first at its blade one."""
        path, _ = self.tables[device, name]
        done = subprocess.run([MOVE, path, str(pad.index), str(link.stage), "carry",
                               str(other.stage)], capture_output=True, check=True, text=True)
        return [int(number) for number in done.stdout.split()]


class Stops(Demonstration):
    """The reader beside `stops` and the library."""

    def test_every_stop_and_its_sign(self):
        seen = set()
        for device, name in self.tables:
            _, table = self.tables[device, name]
            for pad, link, said in self.pairs(device, name):
                motion = reader.Motion(table, pad, link)
                with self.subTest(device=device, engine=name, stage=said["stage"]):
                    self.assertEqual(motion.sign, said["positive"])
                    for stop in said["stops"]:
                        self.assertEqual((motion.blade, motion.count),
                                         (stop["blade"], stop["count"]))
                        self.assertEqual(motion.counter(), motion.sign * stop["count"])
                        motion.forth()
                    for _ in said["stops"]:
                        motion.back()
                    self.assertEqual((motion.blade, motion.count), (1, 0))
                seen.add((table.device[0].stepping, motion.sign, motion.falling,
                          pad.A_den != 0))
        # fixed and scheduled, with the device and against it, rising and falling, and adapters
        self.assertGreaterEqual({key[:3] for key in seen},
                                {(s, p, f) for s in (1, 2) for p in (1, -1) for f in (False, True)})
        self.assertIn(True, {key[3] for key in seen})

    def test_byte_45_follows_from_two_others(self):
        both = set()
        for _, table in self.tables.values():
            for pad in table.pads:
                if pad.A_den == 0:
                    same = pad.rotation == table.device[0].positive
                    self.assertEqual(pad.positive, 1 if same else 2)
                    both.add(same)
        self.assertEqual(both, {True, False})

    def test_k_follows_from_counts_adapter_and_ratio(self):
        rounded = set()
        for (device, name), (_, table) in self.tables.items():
            counts = Fraction(table.device[0].counts_num, table.device[0].counts_den)
            for pad in table.pads:
                lowest = Fraction(pad.lo_num, pad.lo_den)
                highest = Fraction(pad.hi_num, pad.hi_den)
                adapter = Fraction(pad.A_num, pad.A_den) if pad.A_den else 1
                with self.subTest(device=device, engine=name, pad=table.text(pad.id)):
                    # The demonstration rounds pad turns only.
                    self.assertEqual(Fraction(pad.K_num, pad.K_den),
                                     counts * adapter * (lowest + highest) / 2)
                rounded.add(lowest != highest)
        self.assertEqual(rounded, {True, False})

    def test_what_meshes_contribute(self):
        kinds, senses = set(), 0
        for (device, name), (_, table) in self.tables.items():
            for pad in table.pads:
                path, adapter = table.run(pad, "path"), table.run(pad, "adapter")
                with self.subTest(device=device, engine=name, pad=table.text(pad.id)):
                    if path:
                        self.assertEqual(reader.ratio(path), Fraction(pad.lo_num, pad.lo_den))
                    if pad.A_den:
                        self.assertEqual(reader.ratio(adapter), Fraction(pad.A_num, pad.A_den))
                    if path and pad.faces and (sense := reader.rotor_sense(table, pad)):
                        self.assertEqual(sense, table.spools[pad.spool].rotation)
                        senses += 1
                kinds |= {(mesh.kind, mesh.held) for mesh in path + adapter}
        self.assertGreater(senses, 10)
        self.assertLessEqual({1, 2, 3, 4}, {kind for kind, _ in kinds})
        self.assertIn((4, 3), kinds)

    def test_known_blades(self):
        sections = set()
        for device, name in self.tables:
            _, table = self.tables[device, name]
            sections.add(len(table.known_blades) > 0)
            places = [(known.stage, known.blade) for known in table.known_blades]
            self.assertEqual(places, sorted(set(places)))
            for _, link, said in self.pairs(device, name):
                self.assertEqual({known.blade: table.text(known.how)
                                  for known in table.known_blades if known.stage == link.stage},
                                 {stop["blade"]: stop["known_by"] for stop in said["stops"]
                                  if stop["known_by"]})
        self.assertEqual(sections, {True, False})

    def test_every_movement(self):
        """The library goes forth or back as the page says, and back nowhere that it forbids it."""
        ways = set()
        for device, name in self.tables:
            _, table = self.tables[device, name]
            pad, link, said = self.pairs(device, name)[0]
            blades = [1, *range(said["blades"], 1, -1), *range(2, said["blades"] + 1, 3), 1]
            motion = reader.Motion(table, pad, link)
            for blade, legs in zip(blades[1:], self.legs(device, name, pad, link, *blades)):
                with self.subTest(device=device, engine=name, blade=blade):
                    if len(legs) == 2:
                        self.assertEqual(legs, motion.go_back(blade))
                    else:
                        self.assertEqual(legs or [0], motion.go_forth(blade))
                ways.add((motion.never_back, len(legs)))
        self.assertLessEqual({(True, 1), (False, 1), (False, 2)}, ways)
        self.assertNotIn((True, 2), ways)


class Page(Demonstration):
    """The worked examples of the page."""

    def motion(self, device, stage):
        _, table = self.tables[device, "quern-12"]
        pad = table.find(table.run(table.engines[0], "pads"), "crank")
        link = next(link for link in table.run(pad, "links")
                    if table.text(table.stages[link.stage].id) == stage)
        return table, pad, link, reader.Motion(table, pad, link)

    def test_stops(self):
        tables = re.findall(r"^(\S+), stage (\S+) of (\d+) blades\n +j .*counter\n((?: .*\n)+)",
                            PAGE, re.M)
        self.assertEqual(len(tables), 3)
        for device, stage, blades, lines in tables:
            _, _, _, motion = self.motion(device, stage)
            self.assertEqual(motion.blades, int(blades))
            at = 0
            for line in lines.splitlines():
                j, *rest = map(int, line.split())
                while at != j:
                    (motion.forth if at < j else motion.back)()
                    at += 1 if at < j else -1
                self.assertEqual([motion.blade, motion.accumulator, motion.count,
                                  motion.counter()], rest, line)

    def test_bytes_and_numbers(self):
        for device, stage, positive, rotation, sign, order in (
                ("slipway-4", "HPC-1", 1, 2, 2, 1), ("slipway-4", "HPT-1", 1, 2, 2, 2),
                ("capstan-2", "HPC-1", 2, 2, 1, 1)):
            table, pad, link, motion = self.motion(device, stage)
            self.assertEqual((table.device[0].positive, pad.rotation, pad.positive, link.order),
                             (positive, rotation, sign, order))
            self.assertIn(f"q is {motion.q}, r is {motion.r}, d is {motion.d}", PAGE)
        self.assertEqual(table.device[0].stepping, 2)
        self.assertIn(f"K is {pad.K_num}/{pad.K_den} counts", PAGE)
        self.assertIn(f"how many rotor turns, {pad.recheck}, blade one", PAGE.replace("\n", " "))
        self.assertEqual(round(motion.q * motion.blades - pad.K_num / pad.K_den), 12)

    def test_the_next_blade_as_the_counter_rises(self):
        rows = re.findall(r"^\.It ([12]) \(s is \S+\) Ta ([12]) \w+ Ta the next (\w+) number$",
                          PAGE, re.M)
        self.assertEqual(len(rows), 4)
        seen = set()
        for _, table in self.tables.values():
            for pad in table.pads:
                for link in table.run(pad, "links"):
                    motion = reader.Motion(table, pad, link)
                    (motion.forth if motion.sign > 0 else motion.back)()
                    self.assertGreaterEqual(motion.counter(), 0)
                    seen.add((str(pad.positive), str(link.order),
                              "higher" if motion.blade == 2 else "lower"))
        self.assertEqual(seen, set(rows))

    def test_from_stage_to_stage(self):
        page = " ".join(PAGE.replace("\\-", "-").split())
        _, table = self.tables["slipway-4", "snath-5"]
        pad = table.find(table.run(table.engines[0], "pads"), "crank")
        of = {table.text(table.stages[link.stage].id): (link, table.datums[link.datums].count)
              for link in table.run(pad, "links") if link.datums_count}
        (_, first), (link, second) = of["T-1"], of["T-2"]
        self.assertIn(f"Stage T-1 has its datum {first} at port X2, and stage T-2 has its datum "
                      f"{second} at port X3", page)
        start = second - first
        self.assertIn(f"0 + {second} - {first} = {start}", page)
        motion = reader.Motion(table, pad, link)
        self.assertIn(f"For T-2, q is {motion.q} and r/d is {motion.r}/{motion.d}", page)
        stops = []
        for _ in range(2):
            motion.forth()
            stops.append((start + motion.count, motion.blade))
        self.assertIn(f"its next stops are at {stops[0][0]} and {stops[1][0]}", page)
        count, blade = min(stops, key=lambda stop: abs(stop[0]))
        self.assertIn(f"blade {blade} of T-2 is at X3, and the rotor is {-count} counts beyond",
                      page)
        self.assertEqual(self.carry("slipway-4", "snath-5", pad, of["T-1"][0], link),
                         [count, blade, -count])

    def test_movements(self):
        examples = re.findall(r"^(\S+), stage (\S+), from blade (\d+) to blade (\d+):((?: \S+)+)$",
                              PAGE, re.M)
        self.assertEqual(len(examples), 2)
        for device, stage, start, goal, legs in examples:
            _, pad, link, _ = self.motion(device, stage)
            self.assertEqual(self.legs(device, "quern-12", pad, link, start, goal),
                             [[int(leg) for leg in legs.split()]])
        margin = -(-pad.backlash // 4)
        self.assertIn(f"the backlash is {pad.backlash} counts, so a movement back goes "
                      f"{pad.backlash} + {margin}", PAGE.replace("\n", " "))


if __name__ == "__main__":
    unittest.main()
