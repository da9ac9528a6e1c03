/*
 * device.h - a device profile: what a field device can do, and what its tables hold.
 */
#ifndef ROTORTAB_MODEL_DEVICE_H
#define ROTORTAB_MODEL_DEVICE_H

#include "model/engine.h"

enum model_stepping { MODEL_SCHEDULED, MODEL_FIXED };
enum model_charset { MODEL_ASCII, MODEL_LATIN_1, MODEL_UTF_8 };

extern const struct model_word_row model_stepping_words[]; /* what a profile calls them */

struct model_reduction {
    struct model_at at;
    struct model_quantity motor, output;
};

struct model_shaft {
    struct model_at at;
    struct model_integer counts_per_motor_turn;
    struct model_reduction reduction;
    struct model_list path;     /* motor side first; makes exactly `reduction` */
    struct model_code positive; /* model_sense facing the pad, when the count rises */
    struct model_code square;
};

/* The least and greatest a device can hold to, and its smallest difference. */
struct model_span {
    struct model_at at;
    struct model_quantity min, max, resolution;
};

struct model_limits {
    struct model_at at;
    struct model_integer table_bytes, engines, stages, pads, blades, text_bytes;
    struct model_code text; /* model_charset */
};

struct model_device {
    struct model_at at;
    struct model_text schema;
    struct model_integer version;
    struct model_text id;
    struct model_text name;
    struct model_shaft shaft;
    struct model_code stepping;
    struct model_integer counter_bits;
    struct model_span speed;
    struct model_span torque;
    struct model_limits limits;
};

extern const struct model_record model_device_record;

/* Whether all three of its values could be read. */
bool model_span_is_read(const struct model_span *span);

#endif
