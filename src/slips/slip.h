/*
 * slip.h - the slips of a tired pen: what a person can write instead of what was meant.
 *
 * The table of kinds is the model: each row says how a slip of its kind comes about.  A slip is a
 * change of the text as it is written, so that its copy is read and judged like any definition.
 * Not every wrong value is a slip: a person who reads the wrong page is found by the second reader.
 */
#ifndef ROTORTAB_SLIPS_SLIP_H
#define ROTORTAB_SLIPS_SLIP_H

#include "model/values.h"
#include "text/file.h"

enum slips_kind {
    SLIPS_BESIDE,     /* a key of the number row or of the keypad */
    SLIPS_TRANSPOSED, /* two digits */
    SLIPS_DROPPED,    /* a digit */
    SLIPS_DOUBLED,    /* a digit */
    SLIPS_POINT,      /* moved */
    SLIPS_LINE,       /* of a neighbour in the list */
    SLIPS_UNIT,
    SLIPS_WORD, /* sense, view, direction, member, part */
    SLIPS_OTHER_END,
    SLIPS_SWAPPED,
    SLIPS_IDLER,
    SLIPS_KINDS
};

struct slips_kind_row {
    const char *name;    /* kebab-case, as in JSON */
    const char *meaning; /* a phrase */
    const char *model;   /* how its slips are made, in sentences */
};
extern const struct slips_kind_row slips_kinds[SLIPS_KINDS];

/* Bytes [from, to) of the file are replaced. */
struct slips_edit {
    size_t from, to;
    const char *text;
    size_t value; /* index of the value that they are, or SLIPS_NO_VALUE */
};
#define SLIPS_NO_VALUE SIZE_MAX

enum { SLIPS_EDITS = 2 };

struct slips_slip {
    enum slips_kind kind;
    size_t value;                         /* index in the list of values */
    struct slips_edit edits[SLIPS_EDITS]; /* in the order of their places, apart */
    size_t edit_count;
    const char *written; /* the value with the slip */
};

/* All values of a definition, with the slips in them. */
struct slips_list {
    struct arena *arena;
    const struct model_engine *engine;
    const struct text_file *file;
    struct model_value *values;
    const char **texts; /* each value as it is written */
    size_t value_count, value_capacity, text_capacity;
    struct slips_slip *slips; /* by value */
    size_t count, capacity;
    /* Where one more observation goes, and the text around it; NULL: the file cannot take one. */
    size_t observation_at;
    const char *before_observation, *after_observation;
};

/*
 * Makes every slip in a definition that was read from `file` without mistakes.  No two slips of a
 * value give the same text, and none gives the text as it is.  All in the arena.
 */
struct slips_list slips_make(const struct model_engine *engine, const struct text_file *file,
                             struct arena *arena);

/*
 * The text of the file with a slip in it, in `arena`; *length counts bytes.  `observation` is one
 * more, a map in flow style; NULL: none.
 */
const char *slips_text(const struct slips_list *list, const struct slips_slip *slip,
                       const char *observation, struct arena *arena, size_t *length);

#endif
