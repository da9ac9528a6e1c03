/*
 * rows.h - how the field tables are written: one row a key, by the type of its value.
 *
 * A row names the struct and the member, the key, and whether the key is REQUIRED, OPTIONAL, or
 * ASKED_FOR: optional, but a blank in a new file.  Then come what its type needs, the meaning in
 * one line, and what else there is to say: FOUND, ASIDE, PAPER, FORMER, LOST, STANDARD, EXAMPLE,
 * UNLESS, INSTEAD, NEEDS (see field.h).  A row whose member has another type does not compile.
 */
#ifndef ROTORTAB_MODEL_ROWS_H
#define ROTORTAB_MODEL_ROWS_H

#include "model/field.h"

#define REQUIRED .required = true
#define OPTIONAL .required = false
#define ASKED_FOR .asked_for = true

#define FOUND(where) .found = (where)
#define ASIDE .aside = true
#define PAPER .paper = true
#define FORMER(key_) .former = (key_)
#define LOST(effect) .lost = (effect)
#define STANDARD(text) .standard = (text)
#define EXAMPLE(text) .example = (text)
#define UNLESS(key_) .unless = (key_)
#define INSTEAD(key_) .instead = (key_)
#define NEEDS(key_) .needs = (key_)

/* The offset of a member that has that type. */
#define MODEL_OFFSET(owner, member, holder)                                                        \
    (offsetof(struct model_##owner, member) +                                                      \
     0 * sizeof((const struct holder *){&((struct model_##owner *)0)->member}))

#define MODEL_ROW(holder, owner, member, key_, ...)                                                \
    {                                                                                              \
        .key = (key_), .offset = MODEL_OFFSET(owner, member, holder), __VA_ARGS__                  \
    }

/* A file may name its JSON Schema for an editor; nothing opens it. */
#define SCHEMA(owner)                                                                              \
    TEXT(owner, schema, MODEL_SCHEMA_KEY, OPTIONAL,                                                \
         "the address of the JSON Schema, for editors; the program does not open it", ASIDE)
#define VERSION(owner, member, key, need, ...)                                                     \
    MODEL_ROW(model_integer, owner, member, key, .type = MODEL_VERSION, need, .least = 1,          \
              .most = 1, .meaning = __VA_ARGS__)
#define FILE_ID(owner, member, key, need, ...)                                                     \
    MODEL_ROW(model_text, owner, member, key, .type = MODEL_FILE_ID, need, .meaning = __VA_ARGS__)
#define ID(owner, member, key, need, ...)                                                          \
    MODEL_ROW(model_text, owner, member, key, .type = MODEL_ID, need, .meaning = __VA_ARGS__)
/* The id of a record in `list`.  The index of the record there goes into `index_member`. */
#define REFERENCE(owner, member, key, need, list, index_member, ...)                               \
    MODEL_ROW(model_text, owner, member, key, .type = MODEL_ID, need, .refers = (list),            \
              .index = offsetof(struct model_##owner, index_member), .meaning = __VA_ARGS__)
#define TEXT(owner, member, key, need, ...)                                                        \
    MODEL_ROW(model_text, owner, member, key, .type = MODEL_TEXT, need, .meaning = __VA_ARGS__)
#define PROSE(owner, member, key, need, ...)                                                       \
    MODEL_ROW(model_text, owner, member, key, .type = MODEL_PROSE, need, .meaning = __VA_ARGS__)
#define WORD(owner, member, key, need, words_, ...)                                                \
    MODEL_ROW(model_code, owner, member, key, .type = MODEL_WORD, need, .words = (words_),         \
              .meaning = __VA_ARGS__)
#define CLOCK(owner, member, key, need, ...)                                                       \
    MODEL_ROW(model_code, owner, member, key, .type = MODEL_CLOCK, need, .meaning = __VA_ARGS__)
/* A word or a clock position that may be written as a record too. */
#define WORD_OR(owner, member, key, need, words_, record_, ...)                                    \
    MODEL_ROW(model_code, owner, member, key, .type = MODEL_WORD, need, .words = (words_),         \
              .record = &(record_), .meaning = __VA_ARGS__)
#define CLOCK_OR(owner, member, key, need, record_, ...)                                           \
    MODEL_ROW(model_code, owner, member, key, .type = MODEL_CLOCK, need, .record = &(record_),     \
              .meaning = __VA_ARGS__)
#define DATE(owner, member, key, need, ...)                                                        \
    MODEL_ROW(model_code, owner, member, key, .type = MODEL_DATE, need, .meaning = __VA_ARGS__)
#define RULE(owner, member, key, need, ...)                                                        \
    MODEL_ROW(model_code, owner, member, key, .type = MODEL_RULE, need, .meaning = __VA_ARGS__)
#define INTEGER(owner, member, key, need, least_, most_, ...)                                      \
    MODEL_ROW(model_integer, owner, member, key, .type = MODEL_INTEGER, need, .least = (least_),   \
              .most = (most_), .meaning = __VA_ARGS__)
#define QUANTITY(owner, member, key, need, dimension_, sign_, ...)                                 \
    MODEL_ROW(model_quantity, owner, member, key, .type = MODEL_QUANTITY, need,                    \
              .dimension = EXACT_##dimension_, .sign = MODEL_##sign_, .meaning = __VA_ARGS__)
#define INTERVAL(owner, member, key, need, dimension_, sign_, ...)                                 \
    MODEL_ROW(model_quantity, owner, member, key, .type = MODEL_INTERVAL, need,                    \
              .dimension = EXACT_##dimension_, .sign = MODEL_##sign_, .meaning = __VA_ARGS__)
#define RECORD(owner, member, key_, need, record_, ...)                                            \
    {                                                                                              \
        .key = (key_), .offset = offsetof(struct model_##owner, member), .type = MODEL_RECORD,     \
        need, .record = &(record_), .meaning = __VA_ARGS__                                         \
    }
#define RECORDS(owner, member, key, need, record_, least_, most_, ...)                             \
    MODEL_ROW(model_list, owner, member, key, .type = MODEL_RECORDS, need, .record = &(record_),   \
              .least = (least_), .most = (most_), .meaning = __VA_ARGS__)
#define ONE_OR_MORE(owner, member, key, need, record_, most_, ...)                                 \
    MODEL_ROW(model_list, owner, member, key, .type = MODEL_ONE_OR_MORE, need,                     \
              .record = &(record_), .least = 1, .most = (most_), .meaning = __VA_ARGS__)
#define TEXTS(owner, member, key, need, least_, most_, ...)                                        \
    MODEL_ROW(model_list, owner, member, key, .type = MODEL_TEXTS, need, .least = (least_),        \
              .most = (most_), .meaning = __VA_ARGS__)
#define PATH(owner, member, key, need, ...)                                                        \
    MODEL_ROW(model_list, owner, member, key, .type = MODEL_PATH, need, .least = 1,                \
              .most = MODEL_PATH_MOST, .meaning = __VA_ARGS__)

/*
 * A record: what people call it, its meaning, its table; then the keys of which one must be there,
 * or NULL.
 */
#define RECORD_OF(owner, name, meaning, fields, ...)                                               \
    {                                                                                              \
        name, meaning, fields, sizeof(struct model_##owner),                                       \
        {                                                                                          \
            __VA_ARGS__                                                                            \
        }                                                                                          \
    }

/* Ends a table. */
#define END                                                                                        \
    {                                                                                              \
        .key = NULL                                                                                \
    }

#endif
