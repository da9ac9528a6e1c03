/*
 * tree.h - an engine as a tree of named values, and every difference between two of them.
 *
 * The tree of a definition is made by walking its field rows (tree_model.c), that of a table by
 * walking its records (records.c).  So each key and each byte is in it, whether or not a sentence
 * is written for it.  The walk compares values only. It knows nothing of engines.
 */
#ifndef ROTORTAB_COMPARE_TREE_H
#define ROTORTAB_COMPARE_TREE_H

#include "compare/change.h"
#include "field/rotor_field.h"
#include "model/load.h"

enum compare_shape {
    COMPARE_LEAF,
    COMPARE_RECORD, /* children by their keys */
    COMPARE_ITEMS,  /* children by their places, from 1 */
    COMPARE_PARTS   /* records by their ids; their order is a value too */
};

/* A quantity: an equal value in another unit is the same, another interval is not. */
struct compare_amount {
    struct exact_measure stated;
    struct exact_measure slack; /* the interval reaches so far to either side; 0: exact */
};

struct compare_node {
    enum compare_shape shape;
    enum compare_class class; /* the weight of a change that has no sentence */
    const char *key;          /* of a record; the id of a part; "" in a list */
    const char *word;         /* of parts: the word before the id, "stage" */
    const char *joint;        /* of parts within a part: the text after the id */
    const char *text;         /* of a leaf, one text for one value; compared without an amount */
    const struct compare_amount *amount;
    struct span at; /* where it is written; no file: it is not */
    struct compare_node *first, *last, *next;
    size_t count;
};

/* Adds a child with this shape, class and key; all else is zero. */
struct compare_node *compare_grow(struct arena *arena, struct compare_node *parent,
                                  enum compare_shape shape, enum compare_class class,
                                  const char *key);

/* The way from the root down to a value. */
struct compare_trail {
    const struct compare_trail *up; /* NULL at the root */
    const struct compare_node *node;
};

/* One difference.  A side without the value is NULL.  Two PARTS differ in their order. */
struct compare_difference {
    const struct compare_trail *trail;
    const struct compare_node *before, *after;
};

typedef void compare_visit(void *context, const struct compare_difference *difference);

/*
 * Visits each difference between two records, in the order of `before`, then of what only `after`
 * has.  A list whose items cannot be matched by their places is one difference.  `above` is the way
 * to the two, NULL for roots.
 */
void compare_trees(const struct compare_trail *above, const struct compare_node *before,
                   const struct compare_node *after, compare_visit *visit, void *context);

/* Whether two trees have the same values. */
bool compare_same_tree(const struct compare_node *a, const struct compare_node *b);

/* "path[1].epicyclic.planets": the key below the root; in the arena. */
const char *compare_key(struct arena *arena, const struct compare_trail *trail);

/* "stage HPC-2 through pad crank": the parts on the way, the innermost first; and the key below
 * them.  Either may be empty. */
const char *compare_where(struct arena *arena, const struct compare_trail *trail);
const char *compare_field(struct arena *arena, const struct compare_trail *trail);

/* The value as written, on one line.  A value that is not written is given in words. */
const char *compare_written(struct arena *arena, const struct compare_node *node);

/*
 * The tree of a definition; everything is copied except the file's bytes, which must outlive it.
 * `file` is the file kept so.
 */
struct compare_node *compare_model_tree(struct arena *arena, const struct model_engine *engine,
                                        const struct text_file *file);

/*
 * The lists of a definition whose records have no ids, such as its observations: the one after
 * `after`, from the first for NULL; NULL where there are no more.
 */
const struct model_field *compare_loose_field(const struct model_field *after);

/* The trees of a table's device and of one engine; their texts are the table's. */
struct compare_node *compare_device_tree(struct arena *arena, const struct rotor_table *table);
struct compare_node *compare_engine_tree(struct arena *arena, const struct rotor_table *table,
                                         uint32_t engine, const char *designations);

/* One difference between two tables, complete in itself. */
struct compare_table_difference {
    const char *engine;       /* id; NULL for the device */
    const char *where;        /* "pad crank", "stage HPC-1 through pad crank"; "" for the engine */
    const char *field;        /* "torque limit"; NULL where the whole place is on one side only */
    const char *left, *right; /* the values; NULL on the side where there is none */
};

typedef void compare_table_visit(void *context, const struct compare_table_difference *difference);

/*
 * Visits every difference between the values of two tables.  The left table's engines come first,
 * then those that only the right one has.  Returns the number of differences.  The texts can hold
 * anything that a table can, and live until the visit returns.
 */
size_t compare_tables(const struct rotor_table *left, const struct rotor_table *right,
                      compare_table_visit *visit, void *context);

/* The child of a record with this key, or NULL. */
const struct compare_node *compare_child(const struct compare_node *record, const char *key);

#endif
