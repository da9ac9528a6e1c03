"""The layout of a rotor table as far as these tests damage it, and its checksums by zlib."""

import struct
import zlib

HEADER, ENTRY, TRAILER = 32, 16, 4
(DEVICE, NAMES, ENGINES, SPOOLS, STAGES, PORTS, PADS, MESHES, SCHEDULES, LINKS, DATUMS,
 TEXTS, KNOWN_BLADES) = range(1, 14)
SIGNATURE = 0xffff


def body_start(table):
    """Where the directory ends."""
    return HEADER + struct.unpack_from("<H", table, 18)[0] * ENTRY


def section(table, kind):
    """Offset, count and stride of a section; of one that is not there, where the last one ends."""
    for at in range(HEADER, body_start(table), ENTRY):
        found, offset, count, stride, _ = struct.unpack_from("<IIIHH", table, at)
        if found == kind:
            return offset, count, stride
    return offset + count * stride, 0, 0


def seal(table):
    """The bytes with both checksums right again."""
    table = bytearray(table)
    start = body_start(table)
    struct.pack_into("<I", table, 28, 0)
    struct.pack_into("<I", table, 28, zlib.crc32(table[:start]))
    struct.pack_into("<I", table, len(table) - TRAILER, zlib.crc32(table[start:-TRAILER]))
    return bytes(table)


def put(table, kind, index, offset, form, value):
    """The bytes with one field of one record changed, sealed."""
    table = bytearray(table)
    start, _, stride = section(table, kind)
    struct.pack_into("<" + form, table, start + index * stride + offset, value)
    return seal(table)


def signed(table):
    """The bytes with a signature section of 64 zeroes appended, as a signer would make it."""
    start = body_start(table)
    sections = struct.unpack_from("<H", table, 18)[0]
    head = bytearray(table[:start])
    for kind in range(1, sections + 1):
        at = HEADER + (kind - 1) * ENTRY + 4
        struct.pack_into("<I", head, at, struct.unpack_from("<I", head, at)[0] + ENTRY)
    end = len(table) - TRAILER + ENTRY
    head += struct.pack("<IIIHH", SIGNATURE, end, 1, 64, 0)
    struct.pack_into("<H", head, 18, sections + 1)
    struct.pack_into("<I", head, 12, end + 64 + TRAILER)
    return seal(bytes(head) + table[start:-TRAILER] + bytes(64) + bytes(TRAILER))
