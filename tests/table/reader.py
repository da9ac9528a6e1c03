"""A reader of rotor tables, written from rotor-table(5) alone: records by name, and motion.

It shares nothing with the program. What the page does not say, it cannot do.
"""

import struct
import zlib
from fractions import Fraction

# The fields of the records: name, format of struct. A range is two parts, NAME and NAME_count.
RECORDS = {
    "device": "id:I name:I torque_num:I torque_den:I speed_num:I speed_den:I torque_min:I "
              "torque_max:I speed_min:I speed_max:I stepping:B positive:B counter_bits:B square:B "
              "torque_unit:B speed_unit:B reserved:H counts_num:Q counts_den:Q digest:32s",
    "names": "text:I engine:I",
    "engines": "id:I name:I revision:I spools:I stages:I pads:I spools_count:H stages_count:H "
               "pads_count:H status:B reserved:B digest:32s",
    "spools": "id:I rotation:B never_backwards:B reserved:H",
    "stages": "id:I spool:I blade_one:I ports:I clocking_num:Q clocking_den:Q blades:H "
              "ports_count:H role:B numbering:B reserved:H",
    "ports": "id:I clock:H reserved:H",
    "pads": "id:I spool:I path:I adapter:I links:I backlash:I torque:I speed:I "
            "recheck:I path_count:H adapter_count:H links_count:H faces:B rotation:B drives:B "
            "positive:B square:B own_square:B K_num:Q K_den:Q lo_num:Q lo_den:Q hi_num:Q "
            "hi_den:Q A_num:Q A_den:Q",
    "meshes": "kind:B first:B second:B held:B back_a:B back_b:B teeth_a:H teeth_b:H planet:H "
              "planets:H",
    "schedules": "q:I r:I d:I",
    "links": "stage:I schedule:I datums:I datums_count:H order:B reserved:B",
    "datums": "count:I",
    "texts": "byte:B",
    "known_blades": "stage:I how:I blade:H reserved:H",
}
MAGIC = bytes.fromhex("8e5254420d0a1a0a")
BACKLASH_UNKNOWN = 0xffffffff


class Record:
    """One record; its fields are attributes."""

    def __init__(self, fields, values, index):
        self.index = index
        for (name, _), value in zip(fields, values):
            setattr(self, name, value)


class Table:
    """The sections of a table as lists of records; texts are looked up with text()."""

    def __init__(self, table):
        if table[:8] != MAGIC or struct.unpack_from("<I", table, 12) != (len(table),):
            raise ValueError("not a whole table")
        start, count, entry = struct.unpack_from("<HHH", table, 16)
        end = start + count * entry
        head = table[:28] + bytes(4) + table[32:end]
        if struct.unpack_from("<I", table, 28) != (zlib.crc32(head),) or \
                struct.unpack("<I", table[-4:]) != (zlib.crc32(table[end:-4]),):
            raise ValueError("damaged")
        kinds = {}
        for at in range(start, end, entry):
            kind, offset, records, stride = struct.unpack_from("<IIIH", table, at)
            kinds[kind] = (offset, records, stride)
        for kind, (name, form) in enumerate(RECORDS.items(), 1):
            fields = [field.split(":") for field in form.split()]
            layout = "<" + "".join(code for _, code in fields)
            offset, records, stride = kinds.get(kind, (0, 0, 0))  # the last one is optional
            setattr(self, name, [
                Record(fields, struct.unpack_from(layout, table, offset + i * stride), i)
                for i in range(records)])
        offset, length, _ = kinds[12]
        self.pool = table[offset:offset + length]

    def text(self, offset):
        """The text at an offset of the section of texts."""
        return self.pool[offset:self.pool.index(b"\0", offset)].decode()

    def run(self, record, name):
        """The records of a range."""
        first = getattr(record, name)
        section = "meshes" if name in ("path", "adapter") else name
        return getattr(self, section)[first:first + getattr(record, name + "_count")]

    def find(self, records, name):
        """The one of these records whose id is this."""
        return next(record for record in records if self.text(record.id) == name)


def ratio(meshes):
    """What a path or an adapter makes: turns of its first side per turn of its last."""
    product = Fraction(1)
    for mesh in meshes:
        if mesh.kind in (1, 2, 3):
            product *= Fraction(mesh.teeth_b, mesh.teeth_a)
        elif mesh.kind == 4:
            product *= abs(epicyclic(mesh))
    return product


def epicyclic(mesh):
    """The speed on the pad's side over the one on the rotor's side, by s ws + r wr = (s + r) wc."""
    sun, ring = mesh.teeth_a, mesh.teeth_b
    weight = {1: sun, 2: ring, 3: -(sun + ring)}
    return Fraction(-weight[mesh.second], weight[mesh.first])


def opposite(direction):
    """Of aft, forward, up, down, left and right, 1 to 6."""
    return (direction - 1 ^ 1) + 1


def rotor_sense(table, pad):
    """The sense of the rotor aft looking forward, 1 cw or 2 ccw, as byte 43 and the meshes have it;
    None where a direction is not known."""
    look, clockwise = opposite(pad.faces), pad.rotation == 1
    for mesh in table.run(pad, "path"):
        if mesh.kind == 3:
            if 0 in (mesh.back_a, mesh.back_b):
                return None
            # A look at the back of a gear goes against the direction that the back faces.
            seen = clockwise if look == opposite(mesh.back_a) else not clockwise
            look, clockwise = opposite(mesh.back_b), not seen
        elif mesh.kind == 1 or (mesh.kind == 4 and epicyclic(mesh) < 0):
            clockwise = not clockwise
    return 1 if clockwise == (look == 2) else 2


class Motion:
    """What a pad does to a stage. Counts rise in the normal direction; `sign` turns them."""

    def __init__(self, table, pad, link):
        device, stage = table.device[0], table.stages[link.stage]
        schedule, spool = table.schedules[link.schedule], table.spools[pad.spool]
        self.q, self.r, self.d = schedule.q, schedule.r, schedule.d
        self.blades, self.falling = stage.blades, link.order == 2
        self.sign, self.bits = {1: 1, 2: -1}[pad.positive], device.counter_bits
        self.backlash = pad.backlash
        self.never_back = (spool.never_backwards == 1 or pad.drives != 3 or
                           pad.backlash == BACKLASH_UNKNOWN)
        self.blade, self.accumulator, self.count = 1, self.d // 2, 0

    def counter(self, origin=0):
        """The device's counter at the stop, with `origin` where blade one was found."""
        half = 1 << self.bits - 1
        return (origin + self.sign * self.count + half) % (2 * half) - half

    def forth(self):
        """To the next stop in the normal direction."""
        self.count += self.q
        self.accumulator += self.r
        if self.accumulator >= self.d:
            self.accumulator -= self.d
            self.count += 1
        self._pass(-1 if self.falling else 1)

    def back(self):
        """To the stop before."""
        self.count -= self.q
        self.accumulator -= self.r
        if self.accumulator < 0:
            self.accumulator += self.d
            self.count -= 1
        self._pass(1 if self.falling else -1)

    def _pass(self, step):
        self.blade = (self.blade - 1 + step) % self.blades + 1

    def go_forth(self, blade):
        """In the normal direction to a blade: the device's counts."""
        before = self.count
        while self.blade != blade:
            self.forth()
        return [self.sign * (self.count - before)]

    def go_back(self, blade):
        """Back to a blade, beyond it by the backlash and the library's margin, and the normal
        way."""
        if self.never_back:
            raise ValueError("going back is forbidden")
        before = self.count
        while self.blade != blade:
            self.back()
        beyond = self.backlash + max(1, -(-self.backlash // 4))
        return [self.sign * (self.count - before - beyond), self.sign * beyond]
