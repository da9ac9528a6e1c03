"""The listing of a whole table in rotor-table(5): every byte with its meaning, and what follows.

    listing.py PROGRAM

`make generated` puts it into the page. It compiles flail-2 for the device bench, both of
tests/vectors/sources. The numbers come from the bytes; the meanings are the words of the page.
"""

import pathlib
import subprocess
import sys
import tempfile
from fractions import Fraction

import layout
import reader

SOURCES = pathlib.Path(__file__).resolve().parents[1] / "vectors" / "sources"
ROW = 8  # bytes a line
HEADER = ("magic:8s version:H oldest:H length:I size:H sections:H entry:H reserved:H reserved:I "
          "crc:I")
ENTRY = "kind:I offset:I count:I stride:H reserved:H"
SENSE = ("", "cw", "ccw", "both")
DIRECTIONS = ("not known", "aft", "forward", "up", "down", "left", "right")
SQUARES = ("none", "1/4 in", "3/8 in", "1/2 in", "3/4 in", "1 in")

# What the fields are called in the listing, where that is not their name.
MEANINGS = {
    "oldest": "oldest reader's version", "length": "length of the table",
    "size": "size of the header", "sections": "directory entries", "entry": "bytes of an entry",
    "crc": "CRC of header and directory", "digest": "SHA-256 of the source",
    "torque_num": "torque resolution, numerator", "torque_den": "denominator, in N.m",
    "speed_num": "speed resolution, numerator", "speed_den": "denominator, in deg/min",
    "torque_min": "least torque", "torque_max": "most torque", "speed_min": "least speed",
    "speed_max": "most speed", "positive": "rising count turns the shaft",
    "counter_bits": "bits of the counter", "torque_unit": "unit of torque",
    "speed_unit": "unit of speed", "counts_num": "counts a shaft turn, numerator",
    "counts_den": "denominator", "spools": "first spool", "stages": "first stage",
    "pads": "first pad", "spools_count": "spools", "stages_count": "stages", "pads_count": "pads",
    "never_backwards": "never backwards", "blade_one": "text on blade one", "ports": "first port",
    "clocking_num": "clocking, numerator", "clocking_den": "denominator", "ports_count": "ports",
    "numbering": "numbers grow", "clock": "place, minutes past 12:00", "path": "first mesh of path",
    "adapter": "first mesh of adapter", "links": "first link", "recheck": "rotor turns to recheck",
    "path_count": "meshes of path", "adapter_count": "meshes of adapter", "links_count": "links",
    "drives": "can be driven", "own_square": "square of the pad", "K_num": "K, numerator",
    "K_den": "denominator", "lo_num": "lowest pad turns, numerator", "lo_den": "denominator",
    "hi_num": "highest pad turns, numerator", "hi_den": "denominator", "A_num": "A, numerator",
    "A_den": "denominator, 0: no adapter", "first": "member, pad's side",
    "second": "member, rotor's side", "held": "member held", "back_a": "first back",
    "back_b": "second back", "teeth_a": "teeth, pad's side", "teeth_b": "teeth, rotor's side",
    "planet": "teeth of a planet", "datums": "first datum", "datums_count": "datums",
    "order": "numbers pass a port", "count": "count",
}
WORDS = {
    ("device", "stepping"): ("", "scheduled", "fixed"), ("device", "positive"): SENSE,
    ("device", "square"): SQUARES, ("device", "torque_unit"): ("", "N.m"),
    ("device", "speed_unit"): ("", "rpm", "deg/min"), ("engines", "status"): ("", "draft",
                                                                             "released"),
    ("spools", "rotation"): SENSE, ("spools", "never_backwards"): ("no", "yes"),
    ("stages", "role"): ("", "fan", "compressor", "turbine"),
    ("stages", "numbering"): ("", "against the rotation", "with the rotation"),
    ("pads", "faces"): DIRECTIONS, ("pads", "rotation"): SENSE, ("pads", "drives"): SENSE,
    ("pads", "positive"): ("", "normal direction", "the other way"), ("pads", "square"): SQUARES,
    ("pads", "own_square"): SQUARES,
    ("meshes", "kind"): ("", "external", "internal", "bevel", "epicyclic", "direct"),
    ("meshes", "back_a"): ("none",), ("meshes", "back_b"): ("none",),
    ("links", "order"): ("", "rising", "falling"),
}
TEXTS = {("device", "id"), ("device", "name"), ("names", "text"), ("engines", "id"),
         ("engines", "name"), ("spools", "id"), ("stages", "id"), ("stages", "blade_one"),
         ("ports", "id"), ("pads", "id")}
SIZES = {"B": 1, "H": 2, "I": 4, "Q": 8, "8s": 8, "32s": 32}


def compiled(program):
    """The bytes of the table."""
    with tempfile.TemporaryDirectory() as scratch:
        path = pathlib.Path(scratch) / "one.rotor"
        done = subprocess.run([program, "compile", "-d", SOURCES / "bench.device.yaml", "-o", path,
                               SOURCES / "flail-2.engine.yaml"], capture_output=True, text=True,
                              check=False)
        if done.returncode != 0:
            sys.exit(f"listing.py: the example does not compile:\n{done.stderr}")
        return path.read_bytes()


def rows(table, at, size, meaning):
    """The lines of one field."""
    for start in range(0, size, ROW):
        part = table[at + start:at + min(start + ROW, size)]
        yield f"{at + start:4}  {part.hex(' '):23}  {meaning if start == 0 else ''}".rstrip()


def fields(table, at, section, form, read):
    """The lines of one record."""
    for field in form.split():
        name, code = field.split(":")
        size = SIZES[code]
        value = int.from_bytes(table[at:at + size], "little")
        meaning = MEANINGS.get(name, name)
        if code.endswith("s"):
            words = meaning
        elif (section, name) in TEXTS:
            words = f'{meaning}: "{read.text(value)}"'
        elif (section, name) in WORDS:
            words = f"{meaning}: {value} {WORDS[section, name][value]}"
        elif name == "crc":
            words = f"{meaning}: 0x{value:08X}"
        else:
            words = f"{meaning}: {value}"
        yield from rows(table, at, size, words)
        at += size


def listing(table):
    """Every byte."""
    read = reader.Table(table)
    yield "header"
    yield from fields(table, 0, "header", HEADER, read)
    names = list(reader.RECORDS)
    sections = [(name, *layout.section(table, kind)) for kind, name in enumerate(names[:12], 1)]
    for index, (name, *_) in enumerate(sections):
        yield f"directory entry {index}: {name}"
        yield from fields(table, layout.HEADER + index * layout.ENTRY, "directory", ENTRY, read)
    for name, start, count, stride in sections:
        if name == "texts":
            yield from pool(table, start, count)
            continue
        for index in range(count):
            yield f"{name}, record {index}"
            yield from fields(table, start + index * stride, name, reader.RECORDS[name], read)
    yield "trailer"
    crc = int.from_bytes(table[-4:], "little")
    yield from rows(table, len(table) - 4, 4, f"CRC of bytes {layout.body_start(table)} to "
                                              f"{len(table) - 5}: 0x{crc:08X}")


def pool(table, start, count):
    """The lines of the texts."""
    yield "texts"
    yield from rows(table, start, 1, "offset 0: the empty text")
    at = 1
    for part in table[start + 1:start + count - 1].split(b"\0"):
        yield from rows(table, start + at, len(part) + 1, f'offset {at}: "{part.decode()}"')
        at += len(part) + 1


def number(fraction):
    return str(fraction)


def consequences(table):
    """What a device does by this table."""
    read = reader.Table(table)
    device, pad, link = read.device[0], read.pads[0], read.links[0]
    stage, port, spool = read.stages[0], read.ports[0], read.spools[0]
    counts, ratio = Fraction(device.counts_num, device.counts_den), reader.ratio(read.meshes)
    turn = Fraction(pad.K_num, pad.K_den)
    schedule = read.schedules[link.schedule]
    angle = Fraction(port.clock, 2) - Fraction(stage.clocking_num, stage.clocking_den)
    yield "what follows"
    yield f"  ratio      {read.meshes[0].teeth_b}/{read.meshes[0].teeth_a} = {ratio} pad turns a " \
          "rotor turn"
    yield f"  K          {counts} * 1 * {ratio} = {turn} counts a rotor turn"
    yield f"  schedule   {turn}/{stage.blades} = {schedule.q} + {schedule.r}/{schedule.d}"
    yield f"  sign       byte 41 of the device is {device.positive} and byte 43 of the pad is " \
          f"{pad.rotation}: they differ,"
    yield f"             so byte 45 is {pad.positive}, and the counter falls"
    yield f"  datum      the spool turns {SENSE[spool.rotation]}, so p is {port.clock}/2 = " \
          f"{Fraction(port.clock, 2)} degrees;"
    yield f"             ({Fraction(port.clock, 2)} - {stage.clocking_num}) / 360 * {turn} = " \
          f"{angle / 360 * turn}"
    yield f"  counter    {turn} + {pad.backlash} + {pad.backlash // 4} + 1 is at most " \
          f"2^{device.counter_bits - 1} - 1"
    motion = reader.Motion(read, pad, link)
    yield ""
    yield "    j  blade  accumulator  count  counter"
    motion.back()
    for j in range(-1, 4):
        yield f"{j:5}  {motion.blade:5}  {motion.accumulator:11}  {motion.count:5}  " \
              f"{motion.counter():7}"
        motion.forth()
    motion = reader.Motion(read, pad, link)
    motion.go_forth(4)
    yield ""
    stop = motion.count
    legs = motion.go_back(2)
    beyond = abs(legs[1])
    yield f"  back       from blade 4 at {stop} to blade 2 at {motion.count}: {stop} - " \
          f"{motion.count} + {beyond} counts back,"
    yield f"             then {beyond} in the normal direction; the counter moves " \
          f"{legs[0]:+} {legs[1]:+}"


def page(program):
    """The text between the marks in rotor-table(5)."""
    table = compiled(program)
    return "\n".join([*listing(table), "", *consequences(table)]) + "\n"


if __name__ == "__main__":
    print(page(sys.argv[1]), end="")
