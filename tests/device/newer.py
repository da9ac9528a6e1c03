"""A table as a later minor version would write it: everything longer, and a section more.

Header, directory entries and records are longer than this version's. There is a section of a kind
that this version does not know, with a text that nothing else uses. The version is higher, while
the oldest reader is still the first. The texts alone keep their stride, which is 1 for ever.
"""

import struct
import zlib

VERSION, HEADER_MORE, ENTRY_MORE, RECORD_MORE = 7, 12, 4, 5
HEADER, ENTRY, TRAILER, TEXTS, UNKNOWN = 32, 16, 4, 12, 300
TEXT = b"later\0"


def sections_of(table):
    """(kind, stride, records) of each section."""
    number, entry = struct.unpack_from("<HH", table, 18)
    start = struct.unpack_from("<H", table, 16)[0]
    for at in range(start, start + number * entry, entry):
        kind, offset, count, stride = struct.unpack_from("<IIIH", table, at)
        yield kind, stride, [table[offset + i * stride:offset + (i + 1) * stride]
                             for i in range(count)]


def longer(kind, stride, records):
    """The same section with bytes after each record that this version does not know."""
    if kind == TEXTS:
        return kind, stride, [*records, *(bytes([byte]) for byte in TEXT)]
    return kind, stride + RECORD_MORE, [record + b"\xaa" * RECORD_MORE for record in records]


def unknown_records(table):
    """Those of the unknown section; each refers to the text that comes after all others."""
    old = {kind: known for kind, _, known in sections_of(table)}
    return [letter + struct.pack("<IH", len(old[TEXTS]), 0) for letter in (b"a", b"b")]


def grown(table, oldest=1):
    """The table in the form of a later version that readers from `oldest` on may read."""
    sections = [longer(*section) for section in sections_of(table)]
    sections.append((UNKNOWN, 7, unknown_records(table)))
    sections.sort(key=lambda section: section[0])
    body = HEADER + HEADER_MORE + len(sections) * (ENTRY + ENTRY_MORE)
    directory, content, at = b"", b"", body
    for kind, stride, records in sections:
        directory += struct.pack("<IIIHH", kind, at, len(records), stride, 0)
        directory += b"\xbb" * ENTRY_MORE
        content += b"".join(records)
        at += stride * len(records)
    head = table[:8] + struct.pack("<HHIHHHHII", VERSION, oldest, at + TRAILER,
                                   HEADER + HEADER_MORE, len(sections), ENTRY + ENTRY_MORE,
                                   0, 0, 0)
    head += b"\xcc" * HEADER_MORE + directory
    head = head[:28] + struct.pack("<I", zlib.crc32(head)) + head[32:]
    return head + content + struct.pack("<I", zlib.crc32(content))
