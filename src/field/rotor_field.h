/* The device's side of rotortab: read a rotor table in place, and move a rotor by it.
 *
 * There are three steps. rotor_table_open() checks every byte of a table once and refuses it with
 * the reason. The accessors then give its records, and can fail only by returning false. A motion
 * is what one pad does to one stage; a position is where the rotor is in it.
 *
 * Nothing here allocates, divides, keeps state or needs a C library. The table's bytes may be at
 * any alignment, in flash or in memory. They must not change while the table is used: texts and
 * digests are pointers into them.
 *
 * Turning an engine can hurt people and damage the engine. A table is arithmetic. The engine
 * manufacturer's current manual, local rules and licensed staff decide. The firmware must keep
 * to the torque and speed limits in the pad's record. */
#ifndef ROTOR_FIELD_H
#define ROTOR_FIELD_H

#include <stdbool.h>
#include <stdint.h>

#include "field/rotor_layout.h"

/* C++ links them by their plain names. */
#ifdef __cplusplus
extern "C" {
#endif

/* ---- opening a table ------------------------------------------------------------------------- */

enum rotor_status {
    ROTOR_OK = 0,
    ROTOR_NOT_A_TABLE,      /* the first bytes are not those of a table */
    ROTOR_TEXT_MODE,        /* a transfer converted line ends: transfer it again as binary */
    ROTOR_SEVEN_BIT,        /* a transfer lost the eighth bits: transfer it again as binary */
    ROTOR_TRUNCATED,        /* fewer bytes than the header says */
    ROTOR_APPENDED,         /* more bytes than the header says */
    ROTOR_BAD_HEADER,       /* impossible sizes or versions in the header */
    ROTOR_HEADER_CRC_WRONG, /* header or directory damaged */
    ROTOR_TOO_NEW,          /* the table is for a newer reader; its header is undamaged */
    ROTOR_BODY_CRC_WRONG,   /* damaged after the directory */
    ROTOR_RESERVED_USED,    /* reserved bytes not zero */
    ROTOR_SECTION_ORDER,    /* kinds not strictly rising, or one after the signature */
    ROTOR_SECTION_BOUNDS,   /* a gap, an overlap, or an end beyond the trailer */
    ROTOR_SECTION_MISSING,  /* a required kind is missing */
    ROTOR_SECTION_STRIDE,   /* records shorter than this version's */
    ROTOR_SECTION_COUNT,    /* not exactly one device, or not exactly one signature */
    ROTOR_BAD_TEXTS,        /* the pool begins or ends without NUL; a name too long */
    ROTOR_BAD_REFERENCE,    /* an index, a range or a text outside its section */
    ROTOR_BAD_CODE,         /* a value outside its enumeration or range */
    ROTOR_BAD_ZERO,         /* a number is zero that cannot be zero */
    ROTOR_NAMES_UNSORTED,   /* designations not strictly rising */
    ROTOR_BAD_FRACTION,     /* a numerator or a denominator alone */
    ROTOR_BAD_SCHEDULE,     /* r not below d, or d above 2^31 */
    ROTOR_BAD_LIMIT,        /* a torque, speed, backlash or datum outside its limits */
    ROTOR_BAD_DRIVE,        /* a pad that cannot turn its spool in the normal direction */
    ROTOR_WRONG_SPOOL,      /* a spool or stage that does not belong to the engine or to the pad */
    ROTOR_BAD_LINK,         /* links out of order, a turn too long, numbers that pass the other way,
                               or not one datum for each port */
    ROTOR_BAD_KNOWN_BLADE,  /* known blades out of order, or one that its stage does not have */
    ROTOR_BAD_SIGN,         /* the device would turn a spool against its pad's direction */
    ROTOR_BAD_COUNTER,      /* a rotor turn does not fit the device's counter */
    ROTOR_STATUS_COUNT
};

/* A short English sentence for a status, never NULL. It is in a separate file (rotor_status.c),
 * which a firmware with other texts may leave out. */
const char *rotor_status_text(enum rotor_status status);

struct rotor_section {
    uint32_t offset;
    uint32_t count;
    uint16_t stride;
};

/* An opened table. The caller owns it, and the library owns its fields. */
struct rotor_table {
    const uint8_t *bytes;
    uint32_t length;
    uint32_t signature; /* offset of the signature, 0 without one */
    uint32_t kinds;     /* from 1 to here can be read; 0 if the table was refused */
    struct rotor_section sections[ROTOR_KIND_LAST_KNOWN + 1]; /* the directory is the last */
};

/* Checks the `length` bytes at `bytes` completely and makes them readable through `table`. The
 * time is a small multiple of the length. On any status except ROTOR_OK the table is empty. Then
 * every accessor returns false, so a forgotten check does no harm. `bytes` may be NULL with
 * length 0. */
enum rotor_status rotor_table_open(struct rotor_table *table, const void *bytes, uint32_t length);

/* The Ed25519 signature, if there is one: its 64 bytes, and how many bytes from the table's
 * first it signs. False without one. The firmware checks it with its own cryptography. */
bool rotor_signature(const struct rotor_table *table, uint32_t *signed_length,
                     const uint8_t **signature);

/* ---- reading a table -------------------------------------------------------------------------- *
 *
 * Each accessor fills a record and returns true. For an index out of range it returns false, and
 * the record is one of zeroes with empty texts. Texts are NUL-terminated UTF-8 inside the table and
 * never NULL. Codes are those of rotor_layout.h. A range's members are first to first + count - 1.
 */

#define ROTOR_NONE 0xffffffffu /* no such index */

struct rotor_range {
    uint32_t first;
    uint16_t count;
};

/* A fraction whose denominator is 0 means none. */
struct rotor_fraction {
    uint64_t num;
    uint64_t den;
};

struct rotor_device {
    const char *id;
    const char *name;
    const uint8_t *digest;           /* SHA-256 of the profile, 32 bytes */
    struct rotor_fraction counts;    /* counts per turn of the device's shaft */
    uint32_t torque_num, torque_den; /* torque resolution, in torque_unit */
    uint32_t speed_num, speed_den;   /* speed resolution, in speed_unit */
    uint32_t torque_min, torque_max; /* multiples of the resolution */
    uint32_t speed_min, speed_max;
    uint8_t stepping;     /* ROTOR_STEPPING_* */
    uint8_t positive;     /* ROTOR_CW or ROTOR_CCW facing the pad, as the count rises */
    uint8_t counter_bits; /* 8 to 64 */
    uint8_t square;       /* ROTOR_SQUARE_* */
    uint8_t torque_unit;  /* ROTOR_TORQUE_* */
    uint8_t speed_unit;   /* ROTOR_SPEED_* */
};

struct rotor_name {
    const char *text;
    uint32_t engine;
};

struct rotor_engine {
    const char *id;
    const char *name;
    const uint8_t *digest; /* SHA-256 of the definition, 32 bytes */
    uint32_t revision;
    struct rotor_range spools;
    struct rotor_range stages;
    struct rotor_range pads;
    uint8_t status; /* ROTOR_STATUS_* */
};

struct rotor_spool {
    const char *id;
    uint8_t rotation; /* ROTOR_CW or ROTOR_CCW, in the normal direction, aft looking forward */
    bool never_backwards;
};

struct rotor_stage {
    const char *id;
    const char *blade_one; /* how to know blade one */
    struct rotor_fraction
        clocking; /* degrees from the datum mark, in the normal direction; or none */
    struct rotor_range ports;
    uint32_t spool;
    uint16_t blades;   /* at least 1 */
    uint8_t role;      /* ROTOR_ROLE_* */
    uint8_t numbering; /* ROTOR_NUMBERED_* */
};

struct rotor_port {
    const char *id;
    uint16_t clock; /* minutes past 12:00, 0 to 719, aft looking forward */
};

struct rotor_pad {
    const char *id;
    struct rotor_fraction counts_per_rotor_turn;
    struct rotor_fraction turns_lo; /* pad turns per rotor turn, lowest and highest; */
    struct rotor_fraction turns_hi; /* equal if exact */
    struct rotor_fraction adapter;  /* device turns per pad turn, or none */
    struct rotor_range path;
    struct rotor_range adapter_path;
    struct rotor_range links;
    uint32_t spool;
    uint32_t backlash; /* counts, or ROTOR_BACKLASH_UNKNOWN */
    uint32_t torque;   /* the most torque at the device's shaft, in multiples of the resolution */
    uint32_t speed;    /* the most speed there, in multiples of the resolution */
    uint32_t recheck;  /* rotor turns until blade one must be found again; 0 never */
    uint8_t faces;     /* ROTOR_DIRECTION_UNKNOWN or a direction */
    uint8_t rotation;  /* ROTOR_CW or ROTOR_CCW facing the pad, as the spool turns in the normal
                          direction */
    uint8_t drives;    /* ROTOR_CW, ROTOR_CCW or ROTOR_BOTH */
    int8_t positive;   /* +1 if the device's positive rotation is the normal direction, else -1 */
    uint8_t square;    /* ROTOR_SQUARE_*, what the device couples to */
    uint8_t own_square;
};

struct rotor_mesh {
    uint16_t teeth_a, teeth_b, teeth_c, planets;
    uint8_t kind;           /* ROTOR_MESH_* */
    uint8_t in, out, held;  /* ROTOR_MEMBER_* */
    uint8_t back_a, back_b; /* directions */
};

struct rotor_link {
    uint32_t stage;
    uint32_t q, r, d; /* the schedule: q + r / d counts from stop to stop */
    struct rotor_range datums;
    uint8_t order; /* ROTOR_ORDER_RISING or ROTOR_ORDER_FALLING */
};

/* A blade besides blade one that can be recognised. If it is at the port, rotor_start() with its
 * number finds the count again. */
struct rotor_known_blade {
    const char *how; /* how to recognise it */
    uint32_t stage;
    uint16_t blade; /* 2 to the stage's blades */
};

/* How many records a section has, for ROTOR_KIND_DEVICE to ROTOR_KIND_KNOWN_BLADES; 0 for other
 * kinds. */
uint32_t rotor_count(const struct rotor_table *table, uint32_t kind);

/* The index of the engine with this designation, byte for byte, or ROTOR_NONE. */
uint32_t rotor_find_engine(const struct rotor_table *table, const char *designation);

bool rotor_get_device(const struct rotor_table *table, struct rotor_device *device);
bool rotor_get_name(const struct rotor_table *table, uint32_t index, struct rotor_name *name);
bool rotor_get_engine(const struct rotor_table *table, uint32_t index, struct rotor_engine *engine);
bool rotor_get_spool(const struct rotor_table *table, uint32_t index, struct rotor_spool *spool);
bool rotor_get_stage(const struct rotor_table *table, uint32_t index, struct rotor_stage *stage);
bool rotor_get_port(const struct rotor_table *table, uint32_t index, struct rotor_port *port);
bool rotor_get_pad(const struct rotor_table *table, uint32_t index, struct rotor_pad *pad);
bool rotor_get_mesh(const struct rotor_table *table, uint32_t index, struct rotor_mesh *mesh);
bool rotor_get_link(const struct rotor_table *table, uint32_t index, struct rotor_link *link);
bool rotor_get_datum(const struct rotor_table *table, uint32_t index, uint32_t *count);
bool rotor_get_known_blade(const struct rotor_table *table, uint32_t index,
                           struct rotor_known_blade *known);

/* The known blades of the stage with index `stage`, in rising order of their numbers. */
struct rotor_range rotor_known_blades(const struct rotor_table *table, uint32_t stage);

/* ---- moving ----------------------------------------------------------------------------------- *
 *
 * Counts "in the normal direction" rise as the spool turns the way it does in service. The device's
 * counter rises with them or falls, and a motion knows which. A stop is where a blade is at the
 * port with the backlash taken up in the normal direction. So the last movement must go in the
 * normal direction and be longer than the backlash before rotor_start(). The same is true before
 * rotor_locate(), after a movement that the firmware made without this library. */

enum rotor_move_status {
    ROTOR_MOVE_OK = 0,
    ROTOR_MOVE_NO_PAD,      /* the table does not have the pad */
    ROTOR_MOVE_OTHER_SPOOL, /* the pad does not turn that stage, or two pads where one is needed */
    ROTOR_MOVE_NO_BLADE,    /* the blade is not 1 to the stage's number of blades */
    ROTOR_MOVE_NO_PORT,     /* the stage does not have the port */
    ROTOR_MOVE_NO_CLOCKING, /* the place of blade one on the spool is not known */
    ROTOR_MOVE_TOO_FAR      /* 2^62 counts or more from where blade one was found */
};

/* What one pad does to one stage. The caller owns it. Read it, and do not write it. */
struct rotor_motion {
    uint64_t recheck; /* counts from where blade one was found, at which it must be found again; 0
                         never */
    uint32_t q, r, d; /* counts from stop to stop: q + r / d */
    uint8_t order;    /* ROTOR_ORDER_* */
    uint8_t counter_bits;
    bool counter_falls; /* the device's counter falls as the spool turns in the normal direction */
    bool never_back;    /* one-way pad, never-backwards spool, or backlash not known */
    uint16_t blades;
    uint32_t overshoot; /* counts of a movement back beyond its stop: backlash, and a quarter of it,
                           at least 1 */
    uint32_t pad;       /* index */
    struct rotor_range datums;
};

/* Where the rotor is: at a stop or, by `away`, beside it. Plain data that may be stored and
 * restored with its motion. `blade`, `counts` and `accumulator` are one state: never set one
 * alone. */
struct rotor_position {
    int64_t origin;       /* the device's counter where blade one was found (counts 0) */
    int64_t counts;       /* counts in the normal direction from there to the stop, never wrapped */
    uint32_t accumulator; /* of the schedule, 0 to d - 1 */
    int32_t away;         /* counts in the normal direction from the stop to the rotor's place */
    uint16_t blade;       /* the blade of the stop, 1 to the stage's blades */
};

/* A movement: legs in the device's own counts, one after the other, each to a standstill.
 * Positive is up the device's counter. The last leg always goes in the normal direction. */
struct rotor_move {
    uint8_t legs; /* 0, 1 or 2 */
    int32_t leg[2];
};

/* Prepares the motion of the stage with index `stage` through the pad with index `pad`. */
enum rotor_move_status rotor_motion_open(struct rotor_motion *motion,
                                         const struct rotor_table *table, uint32_t pad,
                                         uint32_t stage);

/* Says that blade `blade` is at the port now, with the device's counter at `counter`. All stops
 * are counted from here. */
enum rotor_move_status rotor_start(const struct rotor_motion *motion, uint16_t blade,
                                   int64_t counter, struct rotor_position *position);

/* The next stop in the normal direction, and the stop before. Only the position changes. The
 * movement is the difference of their counters, or that of rotor_go_to_blade(). `away` becomes 0.
 *
 * If the schedule is exact, a stop is never off by more than half a count. The number of stops
 * does not matter, either way (see "Stops" in rotor-field(3)). */
void rotor_next(const struct rotor_motion *motion, struct rotor_position *position);
void rotor_previous(const struct rotor_motion *motion, struct rotor_position *position);

/* The device's counter at the position's stop, wrapped to the counter's bits. */
int64_t rotor_counter(const struct rotor_motion *motion, const struct rotor_position *position);

/* Takes the position to the stop nearest to the device's counter, the later one at a tie. The
 * distance from the stop goes into `away`. The counter may have moved either way by less than
 * half its range. */
enum rotor_move_status rotor_locate(const struct rotor_motion *motion,
                                    struct rotor_position *position, int64_t counter);

/* Counts in the normal direction from blade one to this blade, in the first turn: 0 for blade one.
 */
enum rotor_move_status rotor_count_of_blade(const struct rotor_motion *motion, uint16_t blade,
                                            uint32_t *count);

/* The movement from the rotor's place to this blade, and the position after it. It is the way
 * with less travel, in the normal direction at a tie. A movement back goes beyond the stop and
 * returns, so that the backlash is taken up. On a motion that must never go back, all movements go
 * in the normal direction. */
enum rotor_move_status rotor_go_to_blade(const struct rotor_motion *motion,
                                         struct rotor_position *position, uint16_t blade,
                                         struct rotor_move *move);

/* Makes the position in another stage of the same spool and pad from a position in one stage,
 * through both stages' clocking. `from_port` and `to_port` number the stages' ports from 0:
 * where the probe was, and where it will be. The rotor does not move. `there` is its position
 * among the other stage's blades, true to two counts. `here` and `there` may be the same object. */
enum rotor_move_status rotor_carry(const struct rotor_table *table, const struct rotor_motion *from,
                                   uint16_t from_port, const struct rotor_position *here,
                                   const struct rotor_motion *to, uint16_t to_port,
                                   struct rotor_position *there);

/* Whether blade one must be found again, because a rounded ratio or whole steps move the stops.
 * Then call rotor_start(). */
bool rotor_recheck_due(const struct rotor_motion *motion, const struct rotor_position *position);

#ifdef __cplusplus
}
#endif

#endif
