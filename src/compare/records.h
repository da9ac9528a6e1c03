/*
 * records.h - the records of a table, row by row: every byte of them belongs to one row.
 *
 * rotor_layout.h says where a field is.  These rows have its name, the form of its value and the
 * weight of a change.  A byte without a row would not be compared, so a test compares the rows with
 * the sizes of the records.
 */
#ifndef ROTORTAB_COMPARE_RECORDS_H
#define ROTORTAB_COMPARE_RECORDS_H

#include "compare/change.h"
#include "table/words.h"

enum compare_row_type {
    COMPARE_ROW_TEXT,     /* u32: text */
    COMPARE_ROW_CODE,     /* u8, in the words of `code` */
    COMPARE_ROW_YES_NO,   /* u8 */
    COMPARE_ROW_POSITIVE, /* u8 */
    COMPARE_ROW_U8,       /* a number, as those below */
    COMPARE_ROW_U16,
    COMPARE_ROW_TEETH, /* u16, 0 for none */
    COMPARE_ROW_U32,
    COMPARE_ROW_CLOCK,       /* u16 */
    COMPARE_ROW_BACKLASH,    /* u32 */
    COMPARE_ROW_TORQUE,      /* u32: multiples of the device's resolution */
    COMPARE_ROW_SPEED,       /* also multiples of the device's resolution */
    COMPARE_ROW_TORQUE_STEP, /* two u32, the second at `second`: the resolution itself */
    COMPARE_ROW_SPEED_STEP,
    COMPARE_ROW_FRACTION, /* two u64, the second at `second` */
    COMPARE_ROW_DIGEST,
    COMPARE_ROW_SPOOL,    /* u32: a spool, by its id */
    COMPARE_ROW_STAGE,    /* u32: a stage, by its id */
    COMPARE_ROW_SCHEDULE, /* u32: a schedule, by its numbers */
    COMPARE_ROW_ITEMS,    /* u32: first of a range of records, u16 at `second`: their number */
    COMPARE_ROW_PARTS,    /* the same where a record has an id, its first row */
    COMPARE_ROW_OWNER,    /* u32: the stage that the record belongs to, which has it as a part */
    COMPARE_ROW_OWNED,    /* no bytes: the parts that name this stage as their owner */
    COMPARE_ROW_RESERVED  /* `second` bytes, zero in any table that opens */
};

struct compare_row {
    const char *label; /* NULL ends */
    enum compare_row_type type;
    enum compare_class class;
    uint16_t offset, second;
    enum table_code code;
    const struct compare_record *record; /* of a range */
    const char *word, *joint;            /* of parts, as in tree.h */
};

struct compare_record {
    uint32_t kind; /* of its section */
    uint16_t size;
    const struct compare_row *rows;
};

extern const struct compare_record compare_device_record, compare_engine_record;

/* Every record, one for each kind. */
extern const struct compare_record *const compare_records[];
enum { COMPARE_RECORDS = 12 };

/* How many bytes a row has at its offset, and at its second one (0: it has none). */
unsigned compare_row_bytes(const struct compare_row *row);
unsigned compare_row_second_bytes(const struct compare_row *row);

#endif
