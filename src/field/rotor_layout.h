/* The layout of a rotor table: every offset, size and code, for the writer and the reader.
 *
 * A table is one block of bytes: a header, a directory of sections, the sections, and a CRC-32. A
 * section is a row of records of one fixed stride. Records refer to each other by index, and to
 * texts by offset. So a device reads the table where it is, and unpacks nothing.
 *
 *   - All numbers are little-endian and unsigned. No alignment is promised: read byte by byte.
 *   - Sections follow the directory in rising order of kind. The first begins at the directory's
 *     end, each other where the one before ends, and the last ends at the trailer. So every byte
 *     belongs to something, and no kind comes twice.
 *   - The kinds 1 to 12 are required. All of them except the device and the texts may have no
 *     records.
 *   - A range is a first index and a count, within its section. The first index of an empty shared
 *     range may be anything up to the section's count (a writer puts 0).
 *   - What engines and pads own has one owner. These ranges are an engine's spools, stages and
 * pads, and a pad's links. Each begins where that of the record before ends, also if it is empty.
 * The first begins at 0.
 *   - Reserved bytes are zero, and checked.
 *   - Enumerations begin at 1, so a record of zeroes is refused. 0 means "none" or "not known"
 * where that is an answer.
 *   - The pool of texts begins with a NUL. So reference 0 is the empty text, and means none.
 *   - Growth: a newer writer appends to records (the stride says so) and adds sections (a reader
 *     skips unknown kinds). If an old reader must not ignore something, the oldest reader's version
 *     rises. The first 32 bytes, the directory's first 16 and both CRCs keep their meaning for
 * ever.
 *
 * rotor-table(5) says the same in words. */
#ifndef ROTOR_LAYOUT_H
#define ROTOR_LAYOUT_H

enum {
    ROTOR_FORMAT_VERSION = 1, /* the version of this layout */
    ROTOR_OLDEST_READER = 1   /* the oldest reader that may read a table of this layout */
};

/* The most bytes a table may have. So a program that reads a damaged or hostile header need not
 * set aside more memory. */
enum { ROTOR_TABLE_MOST = 64 << 20 };

/* The magic: a byte with the eighth bit, three letters, then every line end and the end-of-file
 * mark that a transfer in text mode would change. */
enum {
    ROTOR_MAGIC_SIZE = 8,
    ROTOR_MAGIC_0 = 0x8e,
    ROTOR_MAGIC_1 = 0x52, /* R */
    ROTOR_MAGIC_2 = 0x54, /* T */
    ROTOR_MAGIC_3 = 0x42, /* B */
    ROTOR_MAGIC_4 = 0x0d,
    ROTOR_MAGIC_5 = 0x0a,
    ROTOR_MAGIC_6 = 0x1a,
    ROTOR_MAGIC_7 = 0x0a
};

/* Header. Its CRC-32 is of the header and the directory, [0, header size + sections * entry
 * size), with the CRC's own four bytes as zero. */
enum {
    ROTOR_HEADER_MAGIC = 0,         /* 8 bytes */
    ROTOR_HEADER_VERSION = 8,       /* u16 */
    ROTOR_HEADER_OLDEST = 10,       /* u16: 1 to the version */
    ROTOR_HEADER_LENGTH = 12,       /* u32: of the whole table, with the trailer */
    ROTOR_HEADER_OWN_SIZE = 16,     /* u16: of the header; the directory begins there */
    ROTOR_HEADER_SECTIONS = 18,     /* u16: entries in the directory */
    ROTOR_HEADER_ENTRY_STRIDE = 20, /* u16: bytes an entry */
    ROTOR_HEADER_RESERVED_22 = 22,  /* u16 */
    ROTOR_HEADER_RESERVED_24 = 24,  /* u32 */
    ROTOR_HEADER_CRC = 28,          /* u32 */
    ROTOR_HEADER_SIZE = 32
};

/* Directory entry */
enum {
    ROTOR_ENTRY_KIND = 0,      /* u32 */
    ROTOR_ENTRY_OFFSET = 4,    /* u32: from the table's first byte */
    ROTOR_ENTRY_COUNT = 8,     /* u32: records */
    ROTOR_ENTRY_STRIDE = 12,   /* u16: bytes a record, at least 1 */
    ROTOR_ENTRY_RESERVED = 14, /* u16 */
    ROTOR_ENTRY_SIZE = 16
};

/* Trailer, the last four bytes: CRC-32 of [directory's end, length - 4). */
enum { ROTOR_TRAILER_SIZE = 4 };

/* Kinds of section */
enum {
    ROTOR_KIND_DEVICE = 1, /* exactly one record */
    ROTOR_KIND_NAMES = 2,
    ROTOR_KIND_ENGINES = 3,
    ROTOR_KIND_SPOOLS = 4,
    ROTOR_KIND_STAGES = 5,
    ROTOR_KIND_PORTS = 6,
    ROTOR_KIND_PADS = 7,
    ROTOR_KIND_MESHES = 8,
    ROTOR_KIND_SCHEDULES = 9,
    ROTOR_KIND_LINKS = 10,
    ROTOR_KIND_DATUMS = 11,
    ROTOR_KIND_TEXTS = 12,         /* stride 1: a pool of NUL-terminated UTF-8, first byte NUL */
    ROTOR_KIND_LAST_REQUIRED = 12, /* 1 to here are required */
    ROTOR_KIND_KNOWN_BLADES = 13,  /* optional */
    ROTOR_KIND_LAST_KNOWN = 13,    /* 1 to here have accessors */
    ROTOR_KIND_SIGNATURE = 0xffff  /* optional, one record; no kind is above it, so it is last */
};

/* Senses of rotation. With both, they are a set of bits. */
enum { ROTOR_CW = 1, ROTOR_CCW = 2, ROTOR_BOTH = 3 };

/* Directions as seen aft looking forward */
enum {
    ROTOR_DIRECTION_UNKNOWN = 0,
    ROTOR_AFT = 1,
    ROTOR_FORWARD = 2,
    ROTOR_UP = 3,
    ROTOR_DOWN = 4,
    ROTOR_LEFT = 5,
    ROTOR_RIGHT = 6
};

/* Driving squares */
enum {
    ROTOR_SQUARE_NONE = 0,
    ROTOR_SQUARE_QUARTER = 1,        /* 1/4 in, 6.3 mm */
    ROTOR_SQUARE_THREE_EIGHTHS = 2,  /* 3/8 in, 10 mm */
    ROTOR_SQUARE_HALF = 3,           /* 1/2 in, 12.5 mm */
    ROTOR_SQUARE_THREE_QUARTERS = 4, /* 3/4 in, 20 mm */
    ROTOR_SQUARE_ONE = 5             /* 1 in, 25 mm */
};

enum {
    ROTOR_TORQUE_N_M = 1,
    ROTOR_TORQUE_LBF_FT = 2,
    ROTOR_TORQUE_LBF_IN = 3,
    ROTOR_TORQUE_KGF_M = 4
};
enum { ROTOR_SPEED_RPM = 1, ROTOR_SPEED_DEG_PER_MIN = 2, ROTOR_SPEED_DEG_PER_S = 3 };
enum { ROTOR_STEPPING_SCHEDULED = 1, ROTOR_STEPPING_FIXED = 2 };
enum { ROTOR_STATUS_DRAFT = 1, ROTOR_STATUS_RELEASED = 2 };
enum { ROTOR_ROLE_FAN = 1, ROTOR_ROLE_COMPRESSOR = 2, ROTOR_ROLE_TURBINE = 3 };
enum { ROTOR_NUMBERED_AGAINST_ROTATION = 1, ROTOR_NUMBERED_WITH_ROTATION = 2 };
enum { ROTOR_ORDER_RISING = 1, ROTOR_ORDER_FALLING = 2 };
enum { ROTOR_POSITIVE_NORMAL = 1, ROTOR_POSITIVE_REVERSE = 2 };
enum {
    ROTOR_MESH_EXTERNAL = 1,
    ROTOR_MESH_INTERNAL = 2,
    ROTOR_MESH_BEVEL = 3,
    ROTOR_MESH_EPICYCLIC = 4,
    ROTOR_MESH_DIRECT = 5
};
enum {
    ROTOR_MEMBER_NONE = 0,
    ROTOR_MEMBER_SUN = 1,
    ROTOR_MEMBER_RING = 2,
    ROTOR_MEMBER_CARRIER = 3
};

enum { ROTOR_DIGEST_SIZE = 32, ROTOR_SIGNATURE_SIZE = 64 };

/* Device: the profile that the table was compiled for. Minima and maxima are whole multiples of
 * the resolution (minima rounded up, maxima down), 1 <= minimum <= maximum. */
enum {
    ROTOR_DEVICE_ID = 0,            /* text */
    ROTOR_DEVICE_NAME = 4,          /* text */
    ROTOR_DEVICE_TORQUE_NUM = 8,    /* u32: resolution, numerator >= 1 */
    ROTOR_DEVICE_TORQUE_DEN = 12,   /* u32: denominator >= 1 */
    ROTOR_DEVICE_SPEED_NUM = 16,    /* u32 >= 1 */
    ROTOR_DEVICE_SPEED_DEN = 20,    /* u32 >= 1 */
    ROTOR_DEVICE_TORQUE_MIN = 24,   /* u32 */
    ROTOR_DEVICE_TORQUE_MAX = 28,   /* u32 */
    ROTOR_DEVICE_SPEED_MIN = 32,    /* u32 */
    ROTOR_DEVICE_SPEED_MAX = 36,    /* u32 */
    ROTOR_DEVICE_STEPPING = 40,     /* u8: ROTOR_STEPPING_* */
    ROTOR_DEVICE_POSITIVE = 41,     /* u8: ROTOR_CW or ROTOR_CCW, facing the pad */
    ROTOR_DEVICE_COUNTER_BITS = 42, /* u8: 8 to 64, two's complement */
    ROTOR_DEVICE_SQUARE = 43,       /* u8: ROTOR_SQUARE_* */
    ROTOR_DEVICE_TORQUE_UNIT = 44,  /* u8: ROTOR_TORQUE_* */
    ROTOR_DEVICE_SPEED_UNIT = 45,   /* u8: ROTOR_SPEED_* */
    ROTOR_DEVICE_RESERVED = 46,     /* u16 */
    ROTOR_DEVICE_COUNTS_NUM = 48,   /* u64: counts per turn of the device's shaft, motor counts */
    ROTOR_DEVICE_COUNTS_DEN = 56,   /* u64: times reduction; K = this * A * G */
    ROTOR_DEVICE_DIGEST = 64,       /* SHA-256 of the profile's bytes */
    ROTOR_DEVICE_SIZE = 96
};

/* Names: every designation, strictly rising by its text's bytes as unsigned numbers */
/*
 * Bytes of a designation, without the NUL.  The reader compares neighbouring designations, and many
 * can share one text: without a bound, a hostile table could keep it busy for hours.
 */
enum { ROTOR_NAME_MOST = 255 };
enum {
    ROTOR_NAME_TEXT = 0,   /* text of at most ROTOR_NAME_MOST bytes */
    ROTOR_NAME_ENGINE = 4, /* u32: engine */
    ROTOR_NAME_SIZE = 8
};

/* Engines */
enum {
    ROTOR_ENGINE_ID = 0,           /* text */
    ROTOR_ENGINE_NAME = 4,         /* text */
    ROTOR_ENGINE_REVISION = 8,     /* u32 */
    ROTOR_ENGINE_SPOOLS = 12,      /* u32: first spool */
    ROTOR_ENGINE_STAGES = 16,      /* u32: first stage */
    ROTOR_ENGINE_PADS = 20,        /* u32: first pad */
    ROTOR_ENGINE_SPOOL_COUNT = 24, /* u16 */
    ROTOR_ENGINE_STAGE_COUNT = 26, /* u16 */
    ROTOR_ENGINE_PAD_COUNT = 28,   /* u16 */
    ROTOR_ENGINE_STATUS = 30,      /* u8: ROTOR_STATUS_* */
    ROTOR_ENGINE_RESERVED = 31,    /* u8 */
    ROTOR_ENGINE_DIGEST = 32,      /* SHA-256 of the definition's bytes */
    ROTOR_ENGINE_SIZE = 64
};

/* Spools */
enum {
    ROTOR_SPOOL_ID = 0,       /* text */
    ROTOR_SPOOL_ROTATION = 4, /* u8: ROTOR_CW or _CCW, normal direction, aft looking forward */
    ROTOR_SPOOL_NEVER_BACKWARDS = 5, /* u8: 0 or 1 */
    ROTOR_SPOOL_RESERVED = 6,        /* u16 */
    ROTOR_SPOOL_SIZE = 8
};

/* Stages. A stage's spool is one of its engine's. */
enum {
    ROTOR_STAGE_ID = 0,            /* text */
    ROTOR_STAGE_SPOOL = 4,         /* u32: spool */
    ROTOR_STAGE_BLADE_ONE = 8,     /* text: how to know blade one, may be empty */
    ROTOR_STAGE_PORTS = 12,        /* u32: first port */
    ROTOR_STAGE_CLOCKING_NUM = 16, /* u64: degrees from the spool's datum mark to blade one, in */
    ROTOR_STAGE_CLOCKING_DEN = 24, /* u64: the normal direction, 0 <= x < 360; den 0: not known */
    ROTOR_STAGE_BLADES = 32,       /* u16 >= 1 */
    ROTOR_STAGE_PORT_COUNT = 34,   /* u16 */
    ROTOR_STAGE_ROLE = 36,         /* u8: ROTOR_ROLE_* */
    ROTOR_STAGE_NUMBERING = 37,    /* u8: ROTOR_NUMBERED_* */
    ROTOR_STAGE_RESERVED = 38,     /* u16 */
    ROTOR_STAGE_SIZE = 40
};

/* Ports. The writer stores equal ranges once. */
enum {
    ROTOR_PORT_ID = 0,       /* text */
    ROTOR_PORT_CLOCK = 4,    /* u16: minutes past 12:00, 0 to 719, aft looking forward */
    ROTOR_PORT_RESERVED = 6, /* u16 */
    ROTOR_PORT_SIZE = 8
};

/* Pads. A pad's spool is one of its engine's. The stage of every link is on that spool and of
 * that engine. "Counts" are the device's. All limits are at the device's shaft, with the
 * adapter. */
enum {
    ROTOR_PAD_ID = 0,            /* text */
    ROTOR_PAD_SPOOL = 4,         /* u32: spool */
    ROTOR_PAD_PATH = 8,          /* u32: first mesh of the path, pad side first */
    ROTOR_PAD_ADAPTER_PATH = 12, /* u32: first mesh of the adapter, device side first */
    ROTOR_PAD_LINKS = 16,        /* u32: first link */
    ROTOR_PAD_BACKLASH = 20,     /* u32: counts, rounded up, 0 to 2^28, or ROTOR_BACKLASH_UNKNOWN */
    ROTOR_PAD_TORQUE = 24,       /* u32: multiples, device's minimum to maximum */
    ROTOR_PAD_SPEED = 28,        /* u32: multiples, device's minimum to maximum */
    ROTOR_PAD_RECHECK = 32,      /* u32: rotor turns until blade one must be found again; 0 never */
    ROTOR_PAD_PATH_COUNT = 36,   /* u16: meshes, 0 if the path is not known */
    ROTOR_PAD_ADAPTER_COUNT = 38, /* u16: meshes */
    ROTOR_PAD_LINK_COUNT = 40,    /* u16 */
    ROTOR_PAD_FACES = 42,         /* u8: ROTOR_DIRECTION_UNKNOWN or a direction */
    ROTOR_PAD_ROTATION = 43, /* u8: ROTOR_CW or ROTOR_CCW facing the pad, in the normal direction */
    ROTOR_PAD_DRIVES = 44,   /* u8: ROTOR_CW, ROTOR_CCW or ROTOR_BOTH; includes the rotation */
    ROTOR_PAD_POSITIVE = 45, /* u8: ROTOR_POSITIVE_*: what its positive rotation does */
    ROTOR_PAD_SQUARE = 46,   /* u8: ROTOR_SQUARE_*, what the device couples to */
    ROTOR_PAD_OWN_SQUARE = 47, /* u8: ROTOR_SQUARE_*, the pad's own */
    ROTOR_PAD_K_NUM = 48,      /* u64: K, counts per rotor turn, in lowest terms */
    ROTOR_PAD_K_DEN = 56,      /* u64 >= 1 */
    ROTOR_PAD_G_LO_NUM = 64,   /* u64: G, pad turns per rotor turn, its lowest value */
    ROTOR_PAD_G_LO_DEN = 72,   /* u64 >= 1 */
    ROTOR_PAD_G_HI_NUM = 80,   /* u64: and its highest; equal if G is exact */
    ROTOR_PAD_G_HI_DEN = 88,   /* u64 >= 1 */
    ROTOR_PAD_A_NUM = 96,      /* u64: A, device turns per pad turn through the adapter */
    ROTOR_PAD_A_DEN = 104,     /* u64: 0 without an adapter (A is 1 then) */
    ROTOR_PAD_SIZE = 112
};

#define ROTOR_BACKLASH_MOST 0x10000000u /* 2^28 counts */
/* Not stated: the device never turns back on this pad. */
#define ROTOR_BACKLASH_UNKNOWN 0xffffffffu

/* Meshes. The writer stores equal ranges once. An idler makes two meshes: 27-33-44 is 27-33 and
 * 33-44. In an adapter, "pad side" means device side, and "rotor side" means pad side. */
enum {
    ROTOR_MESH_KIND = 0,     /* u8: ROTOR_MESH_EXTERNAL to _DIRECT */
    ROTOR_MESH_IN = 1,       /* u8: ROTOR_MEMBER_*, on the pad side; NONE unless epicyclic */
    ROTOR_MESH_OUT = 2,      /* u8: ROTOR_MEMBER_*, on the rotor side */
    ROTOR_MESH_HELD = 3,     /* u8: ROTOR_MEMBER_* */
    ROTOR_MESH_BACK_A = 4,   /* u8: direction the first bevel gear's back faces, or UNKNOWN */
    ROTOR_MESH_BACK_B = 5,   /* u8: and the second's */
    ROTOR_MESH_TEETH_A = 6,  /* u16: pad side, or sun; 0 at a direct drive */
    ROTOR_MESH_TEETH_B = 8,  /* u16: rotor side, or ring; 0 at a direct drive */
    ROTOR_MESH_TEETH_C = 10, /* u16: planet; 0 unless epicyclic */
    ROTOR_MESH_PLANETS = 12, /* u16: how many planets; 0 unless epicyclic */
    ROTOR_MESH_SIZE = 14
};

/* Schedules: K / blades = q + r / d in lowest terms. The writer stores equal ones once. A fixed
 * device has q rounded to the nearest, half up, r 0 and d 1. (q + 1) * blades <= 2^30 for every
 * stage of the schedule. */
enum {
    ROTOR_SCHEDULE_Q = 0, /* u32 >= 1 */
    ROTOR_SCHEDULE_R = 4, /* u32 < d */
    ROTOR_SCHEDULE_D = 8, /* u32, 1 to 2^31 */
    ROTOR_SCHEDULE_SIZE = 12
};

#define ROTOR_D_MOST 0x80000000u    /* 2^31: the accumulator's sum fits 32 bits */
#define ROTOR_TURN_MOST 0x40000000u /* 2^30: a rotor turn and an overshoot fit 31 bits */

/* Links: one for each stage that a pad turns, in the stages' order */
enum {
    ROTOR_LINK_STAGE = 0,        /* u32: stage */
    ROTOR_LINK_SCHEDULE = 4,     /* u32: schedule */
    ROTOR_LINK_DATUMS = 8,       /* u32: first datum */
    ROTOR_LINK_DATUM_COUNT = 12, /* u16: 0 if the clocking is not known, else the stage's ports */
    ROTOR_LINK_ORDER = 14,       /* u8: ROTOR_ORDER_*: how blade numbers pass a port */
    ROTOR_LINK_RESERVED = 15,    /* u8 */
    ROTOR_LINK_SIZE = 16
};

/* Datums, one for each port of the stage in their order: the count at which blade one is at the
 * port. It is 0 with the spool's datum mark at 12 o'clock, and rises in the normal direction. It
 * is ((p - f) mod 360) / 360 * K, half up, at most 2^30. p is the port's angle in the normal
 * direction and f the clocking, in degrees. The writer stores equal ranges once. */
enum {
    ROTOR_DATUM_COUNT = 0, /* u32 */
    ROTOR_DATUM_SIZE = 4
};

/* Known blades: blades besides blade one that can be recognised, strictly rising by stage and then
 * by blade. A compiled table has the section only if there is one. */
enum {
    ROTOR_KNOWN_BLADE_STAGE = 0,     /* u32: stage */
    ROTOR_KNOWN_BLADE_HOW = 4,       /* text: how to recognise it */
    ROTOR_KNOWN_BLADE_NUMBER = 8,    /* u16: 2 to the stage's blades */
    ROTOR_KNOWN_BLADE_RESERVED = 10, /* u16 */
    ROTOR_KNOWN_BLADE_SIZE = 12
};

/* Signature: Ed25519 of [0, this section's offset) */
enum {
    ROTOR_SIGNATURE_BYTES = 0, /* 64 bytes */
    ROTOR_SIGNATURE_RECORD_SIZE = 64
};

#endif
