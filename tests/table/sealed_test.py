"""Every field of the demonstration's tables changed in several ways, with both CRCs right again.

`verify` refuses each change without the sources, or the field has free information: nothing else in
the table follows from it. Only this file lists these fields.
"""

import os
import pathlib
import random
import struct
import subprocess
import sys
import tempfile
import unittest

import layout
import reader

ROOT = pathlib.Path(__file__).resolve().parent.parent.parent
sys.path[:0] = [str(ROOT / "tests" / name) for name in ("fuzz", "")]
import seeds  # noqa: E402
import share  # noqa: E402

PROGRAM = pathlib.Path(os.environ.get("ROTORTAB", ROOT / "build" / "rotortab")).resolve()
SEALED = pathlib.Path(os.environ.get("ROTORTAB_BUILD", ROOT / "build")) / "tests/table/sealed"
MISFITS = 15  # the last of enum table_misfit_kind
SAMPLES = share.number(20, least=2)  # changes of each table that verify itself is asked about

# The fields of each section: offset, size, name. A digest is in four parts, texts are bytes.
HEADER = [(0, 8, "magic"), (8, 2, "version"), (10, 2, "oldest"), (12, 4, "length"), (16, 2, "size"),
          (18, 2, "sections"), (20, 2, "entry"), (22, 2, "reserved"), (24, 4, "reserved")]
ENTRY = [(0, 4, "kind"), (4, 4, "offset"), (8, 4, "count"), (12, 2, "stride"), (14, 2, "reserved")]
DIGEST = [(at, 8, "digest") for at in range(0, 32, 8)]
FIELDS = {
    layout.DEVICE: [
        (0, 4, "id"), (4, 4, "name"), (8, 4, "torque-num"), (12, 4, "torque-den"),
        (16, 4, "speed-num"), (20, 4, "speed-den"), (24, 4, "torque-min"), (28, 4, "torque-max"),
        (32, 4, "speed-min"), (36, 4, "speed-max"), (40, 1, "stepping"), (41, 1, "positive"),
        (42, 1, "counter-bits"), (43, 1, "square"), (44, 1, "torque-unit"), (45, 1, "speed-unit"),
        (46, 2, "reserved"), (48, 8, "counts-num"), (56, 8, "counts-den"),
        *((64 + at, size, name) for at, size, name in DIGEST)],
    layout.NAMES: [(0, 4, "text"), (4, 4, "engine")],
    layout.ENGINES: [
        (0, 4, "id"), (4, 4, "name"), (8, 4, "revision"), (12, 4, "spools"), (16, 4, "stages"),
        (20, 4, "pads"), (24, 2, "spool-count"), (26, 2, "stage-count"), (28, 2, "pad-count"),
        (30, 1, "status"), (31, 1, "reserved"),
        *((32 + at, size, name) for at, size, name in DIGEST)],
    layout.SPOOLS: [(0, 4, "id"), (4, 1, "rotation"), (5, 1, "never-backwards"),
                    (6, 2, "reserved")],
    layout.STAGES: [
        (0, 4, "id"), (4, 4, "spool"), (8, 4, "blade-one"), (12, 4, "ports"),
        (16, 8, "clocking-num"), (24, 8, "clocking-den"), (32, 2, "blades"), (34, 2, "port-count"),
        (36, 1, "role"), (37, 1, "numbering"), (38, 2, "reserved")],
    layout.PORTS: [(0, 4, "id"), (4, 2, "clock"), (6, 2, "reserved")],
    layout.PADS: [
        (0, 4, "id"), (4, 4, "spool"), (8, 4, "path"), (12, 4, "adapter-path"), (16, 4, "links"),
        (20, 4, "backlash"), (24, 4, "torque"), (28, 4, "speed"), (32, 4, "recheck"),
        (36, 2, "path-count"), (38, 2, "adapter-count"), (40, 2, "link-count"), (42, 1, "faces"),
        (43, 1, "rotation"), (44, 1, "drives"), (45, 1, "positive"), (46, 1, "square"),
        (47, 1, "own-square"), (48, 8, "K-num"), (56, 8, "K-den"), (64, 8, "lo-num"),
        (72, 8, "lo-den"), (80, 8, "hi-num"), (88, 8, "hi-den"), (96, 8, "A-num"),
        (104, 8, "A-den")],
    layout.MESHES: [
        (0, 1, "kind"), (1, 1, "in"), (2, 1, "out"), (3, 1, "held"), (4, 1, "back-a"),
        (5, 1, "back-b"), (6, 2, "teeth-a"), (8, 2, "teeth-b"), (10, 2, "planet"),
        (12, 2, "planets")],
    layout.SCHEDULES: [(0, 4, "q"), (4, 4, "r"), (8, 4, "d")],
    layout.LINKS: [(0, 4, "stage"), (4, 4, "schedule"), (8, 4, "datums"), (12, 2, "datum-count"),
                   (14, 1, "order"), (15, 1, "reserved")],
    layout.DATUMS: [(0, 4, "count")],
    layout.TEXTS: [(0, 1, "byte")],
    layout.KNOWN_BLADES: [(0, 4, "stage"), (4, 4, "how"), (8, 2, "blade"), (10, 2, "reserved")],
}
SECTIONS = {kind: word for word, kind in vars(layout).items() if word.isupper()
            and isinstance(kind, int) and word not in ("HEADER", "ENTRY", "TRAILER", "SIGNATURE")}

ALWAYS = lambda table, record, old, new: True  # noqa: E731


def pads_of(table, spool):
    return [pad for pad in table.pads if pad.spool == spool]


def rounded(pad):
    return (pad.lo_num, pad.lo_den) != (pad.hi_num, pad.hi_den)


def unclocked(table, record):
    """Whether no stage with clocking uses the port."""
    return all(stage.clocking_den == 0 for stage in table.stages
               if stage.ports <= record < stage.ports + stage.ports_count)


def proven(table, pad):
    """Whether the gears and where they face can tell which way the pad turns the spool."""
    return pad.faces != 0 and pad.path_count > 0 and all(
        mesh.kind != 3 or mesh.back_a != 0 for mesh in table.run(pad, "path"))


def all_whole(table):
    return all(link_is_whole(table, pad, link)
               for pad in table.pads for link in table.run(pad, "links"))


def link_is_whole(table, pad, link):
    schedule, stage = table.schedules[link.schedule], table.stages[link.stage]
    return schedule.r == 0 and schedule.q * stage.blades * pad.K_den == pad.K_num


# The fields that verify cannot judge: nothing else in the table follows from them. A condition
# gets the table before the change (reader.Table), the record's index, the old and the new value.
# A text is looked up, so a reference may change to a text that was used before, where the one
# that it named is used elsewhere as well.
FREE = {
    "header version": lambda t, i, old, new: new > old,  # a later one may write the same
    **dict.fromkeys(("DEVICE digest", "ENGINES digest", "ENGINES status", "ENGINES revision",
                     "ENGINES name", "STAGES role", "STAGES blade-one", "STAGES id", "NAMES text",
                     "SPOOLS never-backwards", "PADS drives", "PADS backlash"), ALWAYS),
    # what the device can do, and what it is limited to within that
    **dict.fromkeys((f"DEVICE {of}-{what}" for of in ("torque", "speed")
                     for what in ("num", "den", "min", "max", "unit")), ALWAYS),
    **dict.fromkeys(("DEVICE counter-bits", "DEVICE square", "PADS torque", "PADS speed"), ALWAYS),
    # whole steps are the same for both
    "DEVICE stepping": lambda t, i, old, new: all_whole(t),
    # which engine a designation finds that is not an id
    "NAMES engine": lambda t, i, old, new: t.text(t.names[i].text) not in
    [t.text(engine.id) for engine in t.engines],
    # without clocking nothing follows from where the ports are
    "PORTS clock": lambda t, i, old, new: unclocked(t, i),
    "STAGES ports": lambda t, i, old, new: t.stages[i].clocking_den == 0,
    "STAGES port-count": lambda t, i, old, new: t.stages[i].clocking_den == 0,
    "STAGES clocking-den": lambda t, i, old, new: t.stages[i].ports_count == 0,
    # the policy's
    "PADS recheck": lambda t, i, old, new: old != 0 and new != 0,
    # a sense that was seen, and that gears do not prove
    "PADS faces": ALWAYS,
    "MESHES kind": ALWAYS,
    "MESHES back-a": ALWAYS,
    "MESHES back-b": ALWAYS,
    "SPOOLS rotation": lambda t, i, old, new: not any(proven(t, p) for p in pads_of(t, i)),
    # K has a ratio that was rounded
    **dict.fromkeys(("PADS K-num", "PADS lo-num", "PADS lo-den", "PADS hi-den"),
                    lambda t, i, old, new: rounded(t.pads[i])),
    "DEVICE counts-num": lambda t, i, old, new: all(rounded(pad) for pad in t.pads),
    # which way an adapter faces is not in a table
    "PADS positive": lambda t, i, old, new: t.pads[i].A_den != 0 and t.pads[i].faces != 0,
    "DEVICE positive": lambda t, i, old, new: all(p.A_den != 0 and p.faces != 0 for p in t.pads),
    "PADS square": lambda t, i, old, new: t.pads[i].A_den != 0,
    "PADS own-square": lambda t, i, old, new: t.pads[i].A_den != 0,
    # of an epicyclic that does not fit together, check warns
    "MESHES planet": lambda t, i, old, new: t.meshes[i].kind == 4,
    "MESHES planets": lambda t, i, old, new: t.meshes[i].kind == 4,
    # which blades can be recognised
    **dict.fromkeys(("KNOWN_BLADES stage", "KNOWN_BLADES blade"), ALWAYS),
    # the words
    "TEXTS byte": lambda t, i, old, new: old != 0 and new != 0,
    "SIGNATURE byte": ALWAYS,
}


def fields_of(table):
    """(offset, size, section, record, field) of everything but the two CRCs."""
    for at, size, name in HEADER:
        yield at, size, "header", 0, name
    for number in range(struct.unpack_from("<H", table, 18)[0]):
        for at, size, name in ENTRY:
            yield layout.HEADER + number * layout.ENTRY + at, size, "directory", number, name
    for kind, fields in FIELDS.items():
        start, count, stride = layout.section(table, kind)
        for record in range(count):
            for at, size, name in fields:
                yield start + record * stride + at, size, SECTIONS[kind], record, name
    start, count, _ = layout.section(table, layout.SIGNATURE)
    for at in range(64 * count):
        yield start + at, 1, "SIGNATURE", at, "byte"


def number(table, at, size):
    return int.from_bytes(table[at:at + size], "little")


def changes_of(table):
    """(offset, size, value, section, record, field) of every change."""
    same = {}  # the values that a field has in all records
    for at, size, section, _, name in fields_of(table):
        same.setdefault((section, name), set()).add(number(table, at, size))
    for at, size, section, record, name in fields_of(table):
        old, top = number(table, at, size), 1 << 8 * size
        if name == "digest" or section == "SIGNATURE":
            new = {old ^ 1}
        elif section == "TEXTS":
            new = {0, old ^ 1}
        else:
            new = {0, 1, top - 1, old + 1, old - 1, old ^ top >> 1, old * 2, old // 2, old ^ 0x10,
                   *(range(9) if size == 1 else ()), *same[section, name]}
        for value in sorted(new):
            if 0 <= value < top and value != old:
                yield at, size, value, section, record, name


class Sealed(unittest.TestCase):
    """Single changes, which no damage makes: the checksums are right."""

    @classmethod
    def setUpClass(cls):
        cls.scratch = tempfile.TemporaryDirectory()
        cls.addClassCleanup(cls.scratch.cleanup)
        cls.folder = pathlib.Path(cls.scratch.name)
        seeds.write(PROGRAM, cls.folder / "tables")
        cls.tables = sorted((cls.folder / "tables").glob("*.rotor"))

    def answers(self, path, changes):
        """What verify would say of each of the changes."""
        lines = "".join(f"{at} {size} {value}\n" for at, size, value, *_ in changes)
        done = subprocess.run([SEALED, path], input=lines, capture_output=True, text=True,
                              check=False)
        self.assertEqual(done.returncode, 0, done.stderr)
        answers = done.stdout.splitlines()
        self.assertEqual(len(answers), len(changes))
        return answers

    def verify(self, table, change):
        """Whether verify itself takes the change."""
        at, size, value, *_ = change
        path = self.folder / "changed.rotor"
        path.write_bytes(layout.seal(table[:at] + value.to_bytes(size, "little") +
                                     table[at + size:]))
        done = subprocess.run([PROGRAM, "verify", path], capture_output=True, check=False)
        self.assertIn(done.returncode, (0, 1), done.stderr)
        return done.returncode == 0

    def test_every_field_of_every_table(self):
        """What is taken is free, and each freedom is one that is there."""
        chance = random.Random(15)
        used, misfits = set(), set()
        for path in self.tables:
            content = path.read_bytes()
            table = reader.Table(content)
            changes = share.sample(changes_of(content), lambda change: (change[3], change[5]), 4)
            answers = self.answers(path, changes)
            with self.subTest(path.stem):
                for change, answer in zip(changes, answers):
                    at, size, value, section, record, name = change
                    if answer == "taken":
                        free = FREE.get(f"{section} {name}")
                        old = number(content, at, size)
                        self.assertTrue(free and free(table, record, old, value),
                                        f"{section} {record}: {name} {old} may be {value}")
                        used.add(f"{section} {name}")
                    elif answer.startswith("misfit"):
                        misfits.add(answer)
                for at in chance.sample(range(len(changes)), SAMPLES):
                    self.assertEqual(self.verify(content, changes[at]), answers[at] == "taken",
                                     changes[at])
        self.assertLessEqual(used, set(FREE))
        if share.COUNT < share.WHOLE:
            return  # not each freedom and misfit has a change among those that are tried
        self.assertEqual(used, set(FREE))
        self.assertEqual(misfits, {f"misfit {kind}" for kind in range(1, MISFITS + 1)})

    def test_every_byte_is_a_field(self):
        for path in self.tables:
            content = path.read_bytes()
            covered = sorted(at for start, size, *_ in fields_of(content)
                             for at in range(start, start + size))
            crcs = {*range(28, 32), *range(len(content) - 4, len(content))}
            self.assertEqual(covered, [at for at in range(len(content)) if at not in crcs])


if __name__ == "__main__":
    unittest.main()
