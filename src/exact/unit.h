/*
 * unit.h - the units a definition may be written in, and their exact conversions.
 *
 * Each dimension has a base unit. The factor of a unit is the exact rational number of base units
 * in it. The base units are degrees, newton metres, degrees per minute, and the whole for a share.
 * Sources: 1 in = 0.0254 m, 1 ft = 0.3048 m, 1 lbf = 4.4482216152605 N, 1 kgf = 9.80665 N, all
 * exact by definition (NIST SP 811, appendix B). So lbf.ft = 1.3558179483314004 N.m exactly.
 */
#ifndef ROTORTAB_EXACT_UNIT_H
#define ROTORTAB_EXACT_UNIT_H

#include "exact/rational.h"

enum exact_dimension {
    EXACT_PURE,   /* a number without a unit */
    EXACT_ANGLE,  /* deg arcmin rev; base deg */
    EXACT_TORQUE, /* N.m lbf.ft lbf.in kgf.m; base N.m */
    EXACT_SPEED,  /* deg/min deg/s rpm; base deg/min */
    EXACT_SHARE   /* %; base the whole: 1 % = 1/100 */
};

enum exact_unit {
    EXACT_NO_UNIT,
    EXACT_DEG,
    EXACT_ARCMIN,
    EXACT_REV,
    EXACT_NEWTON_METRE,
    EXACT_LBF_FT,
    EXACT_LBF_IN,
    EXACT_KGF_M,
    EXACT_DEG_PER_MIN,
    EXACT_DEG_PER_S,
    EXACT_RPM,
    EXACT_PERCENT,
    EXACT_UNIT_COUNT
};

struct exact_unit_row {
    const char *name; /* as written; "" for EXACT_NO_UNIT */
    enum exact_dimension dimension;
    struct exact_rational factor; /* base units in one */
};

/* The row of a unit.  A value out of range gives EXACT_NO_UNIT's row. */
const struct exact_unit_row *exact_unit_row(enum exact_unit unit);

/*
 * The unit written as text[0..length), or EXACT_UNIT_COUNT where there is none.  Byte-exact; the
 * empty text is EXACT_NO_UNIT's name.
 */
enum exact_unit exact_unit_find(const char *text, size_t length);

/*
 * The unit that people also write as text[0..length), in a spelling that is not taken: "ft-lb" is
 * lbf.ft.  EXACT_UNIT_COUNT for any other text: a unit is never guessed.
 */
enum exact_unit exact_unit_spelled(const char *text, size_t length);

/* "deg, arcmin or rev": the units of a dimension, for messages; "" for EXACT_PURE.  Constant. */
const char *exact_dimension_units(enum exact_dimension dimension);

/* A value with the unit it is written in. */
struct exact_measure {
    struct exact_rational value;
    enum exact_unit unit;
};

/* Sign of a - b, both of one dimension.  It cannot overflow (see exact_wide_compare). */
int exact_measure_compare(struct exact_measure a, struct exact_measure b);

/* The value in another unit; false on overflow, and for a unit of another dimension. */
bool exact_measure_in(struct exact_measure a, enum exact_unit unit, struct exact_rational *out);

/*
 * How many whole `step`s there are in a, rounded down or up. Only here is a limit rounded to a
 * device's resolution. a >= 0, step > 0, same dimension. False only where the number of steps does
 * not fit 64 bits.
 */
bool exact_measure_steps_down(struct exact_measure a, struct exact_measure step, int64_t *out);
bool exact_measure_steps_up(struct exact_measure a, struct exact_measure step, int64_t *out);

#endif
