/*
 * field.h - the field tables: one row for each key, with all that is known about it.
 *
 * The rows drive the loader, the defaults, the JSON Schema, the man page and the template for a new
 * definition, so that these cannot disagree.  A record is a map with known keys; its rows say into
 * which member of which struct each value goes.
 */
#ifndef ROTORTAB_MODEL_FIELD_H
#define ROTORTAB_MODEL_FIELD_H

#include "base/finding.h"
#include "model/value.h"
#include "text/tree.h"

#include <stddef.h>

/* A key of every kind of file; it may be written before the key that gives the kind. */
#define MODEL_SCHEMA_KEY "$schema"

enum model_type {
    MODEL_VERSION,     /* struct model_integer: 1 */
    MODEL_FILE_ID,     /* struct model_text: a-z 0-9 and single hyphens between them */
    MODEL_ID,          /* the same with capitals */
    MODEL_TEXT,        /* struct model_text: one line */
    MODEL_PROSE,       /* struct model_text: may have several lines */
    MODEL_WORD,        /* struct model_code: one of `words`; see `record` */
    MODEL_INTEGER,     /* struct model_integer: `least` to `most` */
    MODEL_QUANTITY,    /* struct model_quantity, exact as written */
    MODEL_INTERVAL,    /* struct model_quantity; a decimal is rounded, and +/- is allowed */
    MODEL_CLOCK,       /* struct model_code: H:MM, 1:00 to 12:59; see `record` */
    MODEL_DATE,        /* struct model_code: YYYY-MM-DD */
    MODEL_RULE,        /* struct model_code: a rule's id */
    MODEL_RECORD,      /* a struct: `record` */
    MODEL_TEXTS,       /* struct model_list of struct model_text, one line each */
    MODEL_RECORDS,     /* struct model_list of `record` */
    MODEL_ONE_OR_MORE, /* the same, and one record may be written without a list */
    MODEL_PATH,        /* struct model_list of struct model_mesh */
    MODEL_BACKS,       /* struct model_list of two struct model_code: directions */
    MODEL_TEETH,       /* inside a bevel: two tooth counts */
    MODEL_SEVERITIES   /* struct model_list of struct model_severity: rule ids to severities */
};

/* The lists of an engine definition whose records other values name by their ids. */
enum model_listed { MODEL_NOT_LISTED, MODEL_SPOOLS, MODEL_STAGES, MODEL_PADS, MODEL_DOCUMENTS };

/* Which numbers a quantity may be. */
enum model_sign { MODEL_ANY_SIGN, MODEL_NOT_NEGATIVE, MODEL_POSITIVE };

/* An alias is read too, but no message names it.  Aliases follow the words. */
struct model_word_row {
    const char *word;
    int value;
    bool alias;
};

struct model_record;

struct model_field {
    const char *key;
    const char *former; /* what the key was called before; NULL: it always had this name */
    enum model_type type;
    size_t offset;
    bool required;
    bool asked_for; /* not required, but somebody will ask for it: a blank in a new file */
    bool aside;     /* turning and limits do not rest on it or on its content */
    bool paper;     /* only a person acts on it; a change weighs as one of a limit */
    const struct model_word_row *words; /* ends with a NULL word */
    /*
     * Of a record, and of a list of them.  A word or a clock position that has one may be written
     * as the record instead: its struct begins with the code, and model_engine_link fills that in.
     */
    const struct model_record *record;
    enum exact_dimension dimension;
    enum model_sign sign;
    int64_t least, most;      /* of an integer; of a list's length */
    enum model_listed refers; /* of an id: the list that it names a record of */
    size_t index;     /* of such an id: where in the struct the record's place in the list goes */
    const char *lost; /* what it would do if it named nothing; NULL: what the rule says */
    const char *standard; /* the value, as text, that holds where the key is absent; NULL: none */
    const char *meaning;  /* one line */
    const char *found;    /* where such a value is usually found; NULL where that is plain */
    const char *example;  /* a value in YAML, in lines below the key or beside it; NULL: none */
    const char *unless;   /* a key of the same record beside which nobody asks for this one */
    const char *instead;  /* of a required key: the key of the record that can replace it, but not
                           * be beside it */
    const char *needs;    /* a key of the same record that must be beside this one; NULL: none */
};

enum { MODEL_EITHER = 10 };

struct model_record {
    const char *name; /* what people call it: "spool" */
    const char *meaning;
    const struct model_field *fields; /* ends with a NULL key */
    size_t size;                      /* of the struct */
    const char *either[MODEL_EITHER]; /* at least one of these keys must be there; NULL ends */
};

/* The sets of words that several fields share. */
extern const struct model_word_row model_sense_words[];
extern const struct model_word_row model_direction_words[];
extern const struct model_word_row model_member_words[];
extern const struct model_word_row model_severity_words[];

/* Driving squares: an enumeration in which each size has an inch and a millimetre name. */
struct model_square {
    const char *inch, *millimetre;
    struct exact_rational test_torque; /* N.m; common practice, no source, so it may only warn */
};
enum { MODEL_SQUARES = 5 };
extern const struct model_square model_squares[MODEL_SQUARES];
extern const struct model_word_row model_square_words[];

/* The word for a value, "?" where there is none. */
const char *model_word_for(const struct model_word_row *words, int value);

enum {
    MODEL_BLADES_MOST = 9999,
    MODEL_TEETH_MOST = 9999,
    MODEL_TEXT_MOST = 200,
    MODEL_ID_MOST = 60,
    MODEL_PATH_MOST = 24
};

struct model_mesh_row {
    const char *key; /* NULL ends */
    enum turning_mesh_kind kind;
    const char *form; /* how it is written */
    const char *meaning;
};

extern const struct model_mesh_row model_mesh_rows[];

/* The key that a mesh of this kind is written with: "external". */
const char *model_mesh_key(enum turning_mesh_kind kind);

/* The mesh of a tooth: a row of type MODEL_TEETH leads to the first one in it. */
const struct model_mesh *model_mesh_of_teeth(const void *first);

/* Whether the records of this kind have ids: their first key. */
bool model_has_id(const struct model_record *record);

/* Whether a word or a clock position is written as its record, with the view. */
bool model_has_view(const struct model_field *field, const void *value);

/* Whether two texts that were read are the same. */
bool model_same_text(const struct model_text *a, const struct model_text *b);
extern const struct model_record model_bevel_record; /* both are read into a struct model_mesh */
extern const struct model_record model_epicyclic_record;

#endif
