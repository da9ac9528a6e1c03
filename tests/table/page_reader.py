"""The requirements of rotor-table(5), each as a function, written from that page alone.

broken(table) gives the requirements of a reader that a table breaks: the first of R1 to R8, or all
of R9 to R15, or all of R16 to R41. unwritten(table) gives those of a writer, W2 to W25, of a table
that breaks none of these. It shares nothing with the program, and what the page does not say it
cannot know.
"""

import struct
import zlib
from fractions import Fraction

import reader

# The section of each kind, and the length of its record
STRIDES = {1: 96, 2: 8, 3: 64, 4: 8, 5: 40, 6: 8, 7: 112, 8: 14, 9: 12, 10: 16, 11: 4, 12: 1,
           13: 12, 65535: 64}
NAMES = list(reader.RECORDS)
PART_MOST = 2 ** 63 - 1
TEXTS = {"device": ["id", "name"], "names": ["text"], "engines": ["id", "name"],
         "spools": ["id"], "stages": ["id", "blade_one"], "ports": ["id"], "pads": ["id"],
         "known_blades": ["how"]}
INDICES = {"names": {"engine": "engines"}, "stages": {"spool": "spools"},
           "pads": {"spool": "spools"}, "links": {"stage": "stages", "schedule": "schedules"},
           "known_blades": {"stage": "stages"}}
RANGES = {"engines": {"spools": "spools", "stages": "stages", "pads": "pads"},
          "stages": {"ports": "ports"},
          "pads": {"path": "meshes", "adapter": "meshes", "links": "links"},
          "links": {"datums": "datums"}}
OWNED = [("engines", "spools"), ("engines", "stages"), ("engines", "pads"), ("pads", "links")]
CODES = {"device": {"stepping": (1, 2), "positive": (1, 2), "counter_bits": (8, 64),
                    "square": (0, 5), "torque_unit": (1, 4), "speed_unit": (1, 3)},
         "engines": {"status": (1, 2)},
         "spools": {"rotation": (1, 2), "never_backwards": (0, 1)},
         "stages": {"role": (1, 3), "numbering": (1, 2)},
         "ports": {"clock": (0, 719)},
         "pads": {"faces": (0, 6), "rotation": (1, 2), "drives": (1, 3), "positive": (1, 2),
                  "square": (0, 5), "own_square": (0, 5)},
         "meshes": {"kind": (1, 5), "first": (0, 3), "second": (0, 3), "held": (0, 3),
                    "back_a": (0, 6), "back_b": (0, 6)},
         "links": {"order": (1, 2)}}
NOT_ZERO = {"device": ["torque_num", "torque_den", "speed_num", "speed_den", "counts_num",
                       "counts_den"],
            "stages": ["blades"],
            "pads": ["K_num", "K_den", "lo_num", "lo_den", "hi_num", "hi_den"],
            "schedules": ["q", "d"]}
EXTERNAL, INTERNAL, BEVEL, EPICYCLIC, DIRECT = range(1, 6)
AFT, FORWARD = 1, 2


def u16(table, at):
    return struct.unpack_from("<H", table, at)[0]


def u32(table, at):
    return struct.unpack_from("<I", table, at)[0]


# ---- a reader: R1 to R41 -------------------------------------------------------------------------

def status_of_magic(table):
    """The status of R1, or None."""
    start = table[:8]
    if start == reader.MAGIC:
        return None
    if start and reader.MAGIC.startswith(start):
        return "truncated"
    if start[:4] == reader.MAGIC[:4]:
        return "text-mode"
    return "seven-bit" if start[:4] == bytes(byte & 0x7f for byte in reader.MAGIC[:4]) \
        else "not-a-table"


def broken_before_the_directory(table):
    """(requirement, status) of the first of R1 to R8, or None."""
    if status := status_of_magic(table):
        return "R1", status
    if len(table) < 32 or len(table) < u32(table, 12):
        return "R2", "truncated"
    if len(table) > u32(table, 12):
        return "R2", "appended"
    start, count, entry = struct.unpack_from("<HHH", table, 16)
    end = start + count * entry
    if start < 32 or entry < 16 or end + 4 > len(table):
        return "R3", "bad-header"
    if zlib.crc32(table[:28] + bytes(4) + table[32:end]) != u32(table, 28):
        return "R4", "header-crc-wrong"
    version, oldest = struct.unpack_from("<HH", table, 8)
    if not 1 <= oldest <= version:
        return "R5", "bad-header"
    if oldest > 1:
        return "R6", "too-new"
    if zlib.crc32(table[end:-4]) != u32(table, len(table) - 4):
        return "R7", "body-crc-wrong"
    return None if table[22:28] == bytes(6) else ("R8", "reserved-used")


def directory(table):
    """(kind, offset, count, stride, reserved) of each entry, and where the directory ends."""
    start, count, entry = struct.unpack_from("<HHH", table, 16)
    return [struct.unpack_from("<IIIHH", table, start + i * entry)
            for i in range(count)], start + count * entry


def broken_in_the_directory(table):
    """Those of R9 to R15."""
    entries, at = directory(table)
    before = 0
    if [entry[0] for entry in entries[:12]] != list(range(1, 13)):
        yield "R11", "section-missing"
    for kind, offset, count, stride, reserved in entries:
        if reserved:
            yield "R9", "reserved-used"
        if not before < kind <= 65535:
            yield "R10", "section-order"
        if stride < STRIDES.get(kind, 1) or (kind == 12 and stride != 1):
            yield "R12", "section-stride"
        if offset != at or at + count * stride > len(table) - 4:
            yield "R13", "section-bounds"
        if kind in (1, 65535) and count != 1:
            yield "R14", "section-count"
        if kind == 12 and not texts_are_closed(table, offset, count):
            yield "R15", "bad-texts"
        before, at = kind, at + count * stride
    if at != len(table) - 4:
        yield "R13", "section-bounds"


def texts_are_closed(table, offset, count):
    pool = table[offset:offset + count]
    return pool[:1] == b"\0" and pool[-1:] == b"\0"


def of(table, rows):
    """(section's name, field, the rest of the row, record) for each record of a table of rows."""
    for section, fields in rows.items():
        for record in getattr(table, section):
            for field in fields:
                more = fields[field] if isinstance(fields, dict) else None
                yield section, field, more, record


def broken_in_fields(table):
    """Those of R16 to R29 that concern single records, and R21."""
    counts = {name: len(getattr(table, name)) for name in NAMES if name != "texts"}
    for name in NAMES:
        if any(getattr(record, "reserved", 0) for record in getattr(table, name)):
            yield "R16", "reserved-used"
    for _, field, (low, high), record in of(table, CODES):
        if not low <= getattr(record, field) <= high:
            yield "R17", "bad-code"
    for _, field, _, record in of(table, NOT_ZERO):
        if getattr(record, field) == 0:
            yield "R18", "bad-zero"
    for _, field, _, record in of(table, TEXTS):
        if getattr(record, field) >= len(table.pool):
            yield "R19", "bad-reference"
    for _, field, target, record in of(table, INDICES):
        if getattr(record, field) >= counts[target]:
            yield "R19", "bad-reference"
    for _, field, target, record in of(table, RANGES):
        if getattr(record, field) + getattr(record, field + "_count") > counts[target]:
            yield "R20", "bad-reference"
    for section, field in OWNED:
        at = 0
        for record in getattr(table, section):
            if getattr(record, field) != at:
                yield "R21", "bad-reference"
            at += getattr(record, field + "_count")
    for pad in table.pads:
        if (pad.A_num == 0) != (pad.A_den == 0):
            yield "R22", "bad-fraction"
    for stage in table.stages:
        if stage.clocking_den == 0 and stage.clocking_num != 0:
            yield "R22", "bad-fraction"
    yield from broken_limits(table)


def broken_limits(table):
    """R23 to R29"""
    device = table.device[0]
    if not (1 <= device.torque_min <= device.torque_max and
            1 <= device.speed_min <= device.speed_max):
        yield "R23", "bad-limit"
    for pad in table.pads:
        if not device.torque_min <= pad.torque <= device.torque_max:
            yield "R24", "bad-limit"
        if not device.speed_min <= pad.speed <= device.speed_max:
            yield "R25", "bad-limit"
        if pad.backlash > 2 ** 28 and pad.backlash != reader.BACKLASH_UNKNOWN:
            yield "R26", "bad-limit"
        if pad.drives & pad.rotation == 0:
            yield "R28", "bad-drive"
    for datum in table.datums:
        if datum.count > 2 ** 30:
            yield "R27", "bad-limit"
    for schedule in table.schedules:
        if schedule.r >= schedule.d or schedule.d > 2 ** 31:
            yield "R29", "bad-schedule"


def text(table, offset):
    """The bytes of a text."""
    return table.pool[offset:table.pool.index(b"\0", offset)]


def overshoot(pad):
    """What R41 and W25 add to a turn."""
    return 0 if pad.backlash == reader.BACKLASH_UNKNOWN else pad.backlash + pad.backlash // 4 + 1


def broken_between_records(table):
    """R30 to R41, of a table whose references are right."""
    device, before = table.device[0], b""
    for name in table.names:
        designation = text(table, name.text)
        if len(designation) > 255:
            yield "R30", "bad-texts"
        if designation <= before:
            yield "R31", "names-unsorted"
        before = designation
    for link in table.links:
        stage, schedule = table.stages[link.stage], table.schedules[link.schedule]
        if link.datums_count != (stage.ports_count if stage.clocking_den else 0):
            yield "R32", "bad-link"
        if (schedule.q + 1) * stage.blades > 2 ** 30:
            yield "R33", "bad-link"
        if link.order != stage.numbering:
            yield "R34", "bad-link"
    place = (0, 1)
    for known in table.known_blades:
        if not 2 <= known.blade <= table.stages[known.stage].blades or \
                (known.stage, known.blade) <= place:
            yield "R35", "bad-known-blade"
        place = (known.stage, known.blade)
    for engine in table.engines:
        spools = range(engine.spools, engine.spools + engine.spools_count)
        stages = range(engine.stages, engine.stages + engine.stages_count)
        for stage in table.run(engine, "stages"):
            if stage.spool not in spools:
                yield "R36", "wrong-spool"
        for pad in table.run(engine, "pads"):
            yield from broken_pad(table, device, pad, spools, stages)


def broken_pad(table, device, pad, spools, stages):
    """R37 to R41"""
    if pad.spool not in spools:
        yield "R37", "wrong-spool"
    last = -1
    for link in table.run(pad, "links"):
        stage, schedule = table.stages[link.stage], table.schedules[link.schedule]
        if link.stage not in stages or stage.spool != pad.spool:
            yield "R38", "wrong-spool"
        if link.stage <= last:
            yield "R39", "bad-link"
        if schedule.q * stage.blades + overshoot(pad) > 2 ** (device.counter_bits - 1) - 1:
            yield "R41", "bad-counter"
        last = link.stage
    if pad.A_den == 0 and pad.positive != (1 if pad.rotation == device.positive else 2):
        yield "R40", "bad-sign"


def broken(table):
    """{requirement: status} of what a reader finds broken; empty if it takes the table."""
    if found := broken_before_the_directory(table):
        return dict([found])
    if found := dict(broken_in_the_directory(table)):
        return found
    read = reader.Table(table)
    found = dict(broken_in_fields(read))
    # What refers to nothing cannot be followed.
    return found if {"R19", "R20"} & set(found) else {**found, **dict(broken_between_records(read))}


# ---- a writer: W2 to W25 -------------------------------------------------------------------------

def of_the_form(table):
    """W2 and W3; a later version is not held to W2."""
    entries, _ = directory(table)
    if u16(table, 8) == 1:
        kinds = {entry[0] for entry in entries}
        known = any(kind == 13 and count > 0 for kind, _, count, _, _ in entries)
        if kinds - {65535} != set(range(1, 14 if known else 13)) or \
                struct.unpack_from("<HHH", table, 16) != (32, len(entries), 16) or \
                any(stride != STRIDES[kind] for kind, _, _, stride, _ in entries
                    if kind in STRIDES):
            yield "W2"
    if len(table) > 67108864:
        yield "W3"


class Uses:
    """What is used, in the order of use: W4 and W5."""

    def __init__(self, table, later):
        self.table = table
        self.later = later  # a later version can use texts that come after all others
        self.faults = set()
        self.end = 1  # of the texts so far, after the NUL of the empty one
        self.texts = set()
        self.ends = {"ports": 0, "meshes": 0, "schedules": 0, "datums": 0}
        self.ranges = {name: set() for name in self.ends}
        self.contents = {name: set() for name in self.ends}

    def use_text(self, offset):
        """The text that a record refers to."""
        if offset == 0:
            return
        if offset < self.end:
            return  # used before; where it may begin is W7
        content = text(self.table, offset)
        if offset != self.end or content in self.texts:
            self.faults.add("W4")
        self.texts.add(content)
        self.end = max(self.end, offset + len(content) + 1)

    def use_range(self, section, first, count):
        """A shared range; whether it is new."""
        if count == 0:
            if first != 0:
                self.faults.add("W5")
            return False
        if (first, count) in self.ranges[section]:
            return False
        content = tuple(tuple(sorted(vars(record).items() - {("index", record.index)}))
                        for record in getattr(self.table, section)[first:first + count])
        if first != self.ends[section]:
            self.faults.add("W5")
        if content in self.contents[section]:
            self.faults.add("W4")
        self.ranges[section].add((first, count))
        self.contents[section].add(content)
        self.ends[section] = max(self.ends[section], first + count)
        return True

    def use_engine(self, engine, known):
        """The parts of one engine; `known` are the known blades of its stages."""
        table = self.table
        self.use_text(engine.id)
        self.use_text(engine.name)
        for offset in sorted(name.text for name in table.names if name.engine == engine.index):
            self.use_text(offset)
        for spool in table.run(engine, "spools"):
            self.use_text(spool.id)
        for stage in table.run(engine, "stages"):
            self.use_text(stage.id)
            self.use_text(stage.blade_one)
            if self.use_range("ports", stage.ports, stage.ports_count):
                for port in table.run(stage, "ports"):
                    self.use_text(port.id)
        for blade in known:
            self.use_text(blade.how)
        pads = table.run(engine, "pads")
        for pad in pads:
            self.use_text(pad.id)
            self.use_range("meshes", pad.path, pad.path_count)
            self.use_range("meshes", pad.adapter, pad.adapter_count)
        for pad in pads:
            for link in table.run(pad, "links"):
                self.use_range("schedules", link.schedule, 1)
                self.use_range("datums", link.datums, link.datums_count)

    def find(self):
        """Goes through the table; the faults."""
        table = self.table
        self.use_text(table.device[0].id)
        self.use_text(table.device[0].name)
        for engine in table.engines:
            stages = range(engine.stages, engine.stages + engine.stages_count)
            self.use_engine(engine, [blade for blade in table.known_blades
                                     if blade.stage in stages])
        if not self.later and self.end != len(table.pool) or \
                any(end != len(getattr(table, name)) for name, end in self.ends.items()):
            self.faults.add("W4")
        for section, field in OWNED:
            if sum(getattr(record, field + "_count") for record in getattr(table, section)) != \
                    len(getattr(table, field)):
                self.faults.add("W5")
        return self.faults


def is_hidden(code):
    """A character of W8"""
    return (1 <= code <= 0x1f or 0x7f <= code <= 0x9f or code == 0x200b or
            0x202a <= code <= 0x202e or 0x2060 <= code <= 0x206f or code == 0xfeff or
            0xfff9 <= code <= 0xfffb or 0xe0000 <= code <= 0xe007f or 0xfdd0 <= code <= 0xfdef or
            code & 0xffff >= 0xfffe)


def of_the_texts(table):
    """W6 to W9"""
    ids = [text(table, engine.id) for engine in table.engines]
    if any(one >= next_one for one, next_one in zip(ids, ids[1:])) or \
            any(not any(name.engine == engine.index and text(table, name.text) == one
                        for name in table.names) for engine, one in zip(table.engines, ids)):
        yield "W6"
    for _, field, _, record in of(table, TEXTS):
        offset = getattr(record, field)
        if (not text(table, offset) and field != "blade_one") or \
                len(text(table, offset)) > 255 or (offset and table.pool[offset - 1]):
            yield "W7"
    try:
        if any(map(is_hidden, map(ord, table.pool.decode()))):
            yield "W8"
    except UnicodeDecodeError:
        yield "W8"
    groups = [table.run(engine, kind) for engine in table.engines
              for kind in ("spools", "stages", "pads")]
    groups += [table.run(stage, "ports") for stage in table.stages]
    if any(len({text(table, record.id) for record in group}) < len(group) for group in groups):
        yield "W9"


def is_lowest(num, den):
    """W11"""
    return den != 0 and num <= PART_MOST and den <= PART_MOST and \
        (Fraction(num, den).numerator, Fraction(num, den).denominator) == (num, den)


def fits(fraction):
    """Whether no part is above 2^63 - 1."""
    return fraction.numerator <= PART_MOST and fraction.denominator <= PART_MOST


def of_the_numbers(table):
    """W10 to W12"""
    known = [sum(blade.stage == stage.index for blade in table.known_blades)
             for stage in table.stages]
    if any(not 1 <= engine.revision <= 999999 or engine.spools_count > 9 or
           engine.stages_count > 99 or engine.pads_count > 99 for engine in table.engines) or \
            any(stage.ports_count > 9 or stage.blades > 9999 for stage in table.stages) or \
            any(count > 99 for count in known):
        yield "W10"
    device = table.device[0]
    fractions = [(device.torque_num, device.torque_den), (device.speed_num, device.speed_den),
                 (device.counts_num, device.counts_den)]
    clockings = [(stage.clocking_num, stage.clocking_den) for stage in table.stages
                 if stage.clocking_den]
    for pad in table.pads:
        fractions += [(pad.K_num, pad.K_den), (pad.lo_num, pad.lo_den), (pad.hi_num, pad.hi_den)]
        if pad.A_den:
            fractions.append((pad.A_num, pad.A_den))
    if not all(is_lowest(num, den) for num, den in fractions + clockings):
        yield "W11"
    if any(num >= 360 * den for num, den in clockings):
        yield "W12"


def axis(direction):
    """0 fore and aft, 1 up and down, 2 left and right"""
    return (direction - 1) // 2


def mesh_is_of_its_kind(mesh):
    """W13"""
    teeth = [mesh.teeth_a, mesh.teeth_b]
    planets = [mesh.planet, mesh.planets]
    members = [mesh.first, mesh.second, mesh.held]
    backs = [mesh.back_a, mesh.back_b]
    some = lambda numbers: all(1 <= number <= 9999 for number in numbers)  # noqa: E731
    if mesh.kind == EPICYCLIC:
        return some(teeth) and some(planets) and sorted(members) == [1, 2, 3] and not any(backs)
    if any(planets) or any(members):
        return False
    if mesh.kind == DIRECT:
        return not any(teeth) and not any(backs)
    if mesh.kind == BEVEL:
        return some(teeth) and (not any(backs) or
                                (all(backs) and axis(backs[0]) != axis(backs[1])))
    return some(teeth) and not any(backs)


def backs_are_on_their_shafts(meshes, faces):
    """W14; `faces` is 0 where the direction is not known, and for an adapter."""
    at = axis(faces) if faces else None
    for mesh in meshes:
        if mesh.kind == BEVEL:
            if not mesh.back_a or not mesh.back_b:
                return True
            if at is not None and axis(mesh.back_a) != at:
                return False
            at = axis(mesh.back_b)
    return True


def opposite(direction):
    return (direction - 1 ^ 1) + 1


def through(meshes, look, clockwise):
    """Look and sense after the last mesh."""
    for mesh in meshes:
        if mesh.kind == BEVEL:
            if look == opposite(mesh.back_a):
                clockwise = not clockwise  # the same shaft from its other end
            look, clockwise = mesh.back_b, not clockwise
        elif mesh.kind == EXTERNAL or (mesh.kind == EPICYCLIC and mesh.held == 3):
            clockwise = not clockwise
    return look, clockwise


def ratio_of(meshes):
    """W17: the ratio, or None where it is impossible, or a part of a product is too large."""
    if len(meshes) > 256:
        return None
    for count in range(len(meshes) + 1):
        if not fits(reader.ratio(meshes[:count])):
            return None
    return reader.ratio(meshes)


def of_a_pad(table, pad):
    """W14 to W20, W23 and W25, of a table that keeps W11 and W13."""
    device = table.device[0]
    path, adapter = table.run(pad, "path"), table.run(pad, "adapter")
    adapted = pad.A_den != 0
    if not backs_are_on_their_shafts(path, pad.faces) or \
            not backs_are_on_their_shafts(adapter, 0):
        yield "W14"
    bevels = [mesh for mesh in adapter if mesh.kind == BEVEL]
    if (not adapted and adapter) or (adapted and not adapter and pad.A_num != pad.A_den) or \
            any(mesh.back_a == 0 for mesh in bevels) or (bevels and pad.faces == 0):
        yield "W15"
    if not adapted and pad.square != pad.own_square:
        yield "W16"
    lowest, highest = Fraction(pad.lo_num, pad.lo_den), Fraction(pad.hi_num, pad.hi_den)
    through_adapter = Fraction(pad.A_num, pad.A_den) if adapted else Fraction(1)
    if lowest > highest or (path and not lowest == highest == ratio_of(path)) or \
            (adapter and through_adapter != ratio_of(adapter)):
        yield "W17"
    yield from of_its_senses(table, pad, path, adapter)
    counts = Fraction(device.counts_num, device.counts_den) * through_adapter
    turn = Fraction(pad.K_num, pad.K_den)
    if not lowest <= turn / counts <= highest or turn > 2 ** 30 or not fits(counts) or \
            not fits(turn / counts):
        yield "W20"
    drifts = lowest != highest or (device.stepping == 2 and any(
        table.schedules[link.schedule].q * table.stages[link.stage].blades != turn
        for link in table.run(pad, "links")))
    if (pad.recheck != 0) != (drifts and pad.links_count > 0):
        yield "W23"
    if -(-turn // 1) + overshoot(pad) > 2 ** (device.counter_bits - 1) - 1:
        yield "W25"


def of_its_senses(table, pad, path, adapter):
    """W18 and W19"""
    if pad.faces and path and all(mesh.kind != BEVEL or mesh.back_a for mesh in path):
        look, clockwise = through(path, opposite(pad.faces), pad.rotation == 1)
        if axis(look) == 0:
            if look == AFT:
                clockwise = not clockwise
            if clockwise != (table.spools[pad.spool].rotation == 1):
                yield "W18"
    if pad.A_den and not pad.faces and all(mesh.kind != BEVEL for mesh in adapter):
        _, kept = through(adapter, FORWARD, True)
        same = table.device[0].positive == pad.rotation
        if pad.positive != (1 if same == kept else 2):
            yield "W19"


def nearest(part):
    """W21: the fraction nearest to a part of a count with a denominator of at most 2^31."""
    low = part.limit_denominator(2 ** 31)
    # limit_denominator gives one of the two nearest; at a tie the page takes the smaller d.
    other = 2 * part - low
    if other != low and other.denominator <= 2 ** 31 and 0 <= other <= 1 and \
            (other.denominator, other) < (low.denominator, low):
        return other
    return low


def schedule_of(step, fixed):
    """W21: q, r, d"""
    if fixed:
        return int(step + Fraction(1, 2)), 0, 1
    whole = step.numerator // step.denominator
    part = step - whole
    if part.denominator > 2 ** 31:
        part = nearest(part)
    if part == 1:
        return whole + 1, 0, 1
    return whole, part.numerator, part.denominator


def datum_of(table, stage, port, turn):
    """W22"""
    place = Fraction(port.clock, 2)
    if table.spools[stage.spool].rotation == 2:
        place = -place
    angle = (place - Fraction(stage.clocking_num, stage.clocking_den)) % 360
    return int(angle / 360 * turn + Fraction(1, 2))


def of_a_link(table, pad, link):
    """W21 and W22"""
    stage, schedule = table.stages[link.stage], table.schedules[link.schedule]
    turn = Fraction(pad.K_num, pad.K_den)
    step = turn / stage.blades
    expected = schedule_of(step, table.device[0].stepping == 2)
    if not fits(step) or (schedule.q, schedule.r, schedule.d) != expected:
        yield "W21"
    if any(datum.count != datum_of(table, stage, port, turn)
           for datum, port in zip(table.run(link, "datums"), table.run(stage, "ports"))):
        yield "W22"


def of_the_spools(table):
    """W24"""
    for engine in table.engines:
        pads = table.run(engine, "pads")
        for spool in table.run(engine, "spools"):
            if all(pad.spool != spool.index for pad in pads):
                yield "W24"
        for pad in pads:
            stages = {stage.index for stage in table.run(engine, "stages")
                      if stage.spool == pad.spool}
            if {link.stage for link in table.run(pad, "links")} != stages:
                yield "W24"


def unwritten(table):
    """The requirements of a writer that a table breaks which a reader takes."""
    read = reader.Table(table)
    later = u16(table, 8) != 1
    found = {*of_the_form(table), *Uses(read, later).find(), *of_the_texts(read),
             *of_the_numbers(read), *of_the_spools(read)}
    if not all(map(mesh_is_of_its_kind, read.meshes)):
        found.add("W13")
    if found & {"W11", "W13"}:
        return found  # these fractions and meshes may not be fit to calculate with
    for pad in read.pads:
        found.update(of_a_pad(read, pad))
        for link in read.run(pad, "links"):
            found.update(of_a_link(read, pad, link))
    return found
