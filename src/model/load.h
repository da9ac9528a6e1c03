/*
 * load.h - from a tree to a model.
 *
 * The loader walks a map beside its record's field table.  It reads on after every mistake, so that
 * one run reports them all; a value that could not be read is BROKEN.
 */
#ifndef ROTORTAB_MODEL_LOAD_H
#define ROTORTAB_MODEL_LOAD_H

#include "model/cross_check.h"
#include "model/device.h"
#include "model/engine.h"
#include "model/policy.h"
#include "model/register.h"

/* What a loader needs at hand. */
struct model_loader {
    struct arena *arena;
    struct findings *findings;
};

/*
 * Fills `out`, a zeroed struct of record->size bytes, from `map`.  Returns false if the node is not
 * a map.  Mistakes inside are reported and marked BROKEN.
 */
bool model_load_record(struct model_loader *loader, const struct model_record *record,
                       const struct text_node *map, void *out);

/*
 * Gives every field of `out` that was not read, at any depth of maps, the standard value of its
 * row.  Such a value is GIVEN and has no place in a file.
 */
void model_complete_record(const struct model_record *record, void *out);

/* Letters (capitals too where they are allowed) and digits, with single hyphens between them. */
bool model_is_id(const char *text, size_t length, bool capitals);

/* The id of a file that a name suggests: "Tarn 2" gives "tarn-2"; NULL: it suggests none. */
const char *model_id_from(struct arena *arena, const char *name);

/* The rule whose id a mistyped one was probably meant to be, or NULL. */
const char *model_guess_rule(const char *text, size_t length);

/* YYYY-MM-DD of the Gregorian calendar as yyyymmdd, or -1. */
int model_date(const char *text, size_t length);

/* The kinds of source files.  The first key of a file gives its kind. */
enum model_kind {
    MODEL_ENGINE_KIND,
    MODEL_CROSS_CHECK_KIND,
    MODEL_DEVICE_KIND,
    MODEL_POLICY_KIND,
    MODEL_REGISTER_KIND,
    MODEL_KINDS
};

struct model_kind_row {
    const char *key;       /* and the kind's name */
    const char *extension; /* of its files, before .yaml */
    const struct model_record *record;
};

extern const struct model_kind_row model_kinds[MODEL_KINDS];

/* A source file, read. */
struct model_source {
    struct text_file file;
    const uint8_t *digest; /* of the file, if the caller wants one; else NULL */
    enum model_kind kind;
    bool read; /* one of the models below is there, if perhaps with BROKEN values */
    struct model_engine *engine;
    struct model_cross_check *cross_check;
    struct model_device *device;
    struct model_policy *policy;
    struct model_register *registered;
};

/*
 * Reads a file into `out`; everything lives in the arena.  Returns false only where the file cannot
 * be opened or read (errno says why); every other mistake is a finding.
 */
bool model_source_load(struct model_source *out, const char *path, struct arena *arena,
                       struct findings *findings);

/* Findings of reading one file that are kept; of those beyond there is a count. */
enum { MODEL_FINDINGS_MOST = 1000 };

/*
 * The same from a text at hand: out->file is filled and its characters were checked (text/file.h),
 * and everything else in `out` is zero.
 */
void model_source_parse(struct model_source *out, struct arena *arena, struct findings *findings);

/* The same from the tree of the text, which is only read; NULL: there is none. */
void model_source_take(struct model_source *out, const struct text_node *root, struct arena *arena,
                       struct findings *findings);

/*
 * Whether the text of a file begins, after comments, with the key of a known kind.  The rest may be
 * unreadable, and the file may be refused.
 */
bool model_kind_is_claimed(const struct text_file *file);

/*
 * How a record is written, without its braces: its required keys, or the first key of which one
 * must be there: "sense: ..., view: ...".
 */
const char *model_record_form(struct arena *arena, const struct model_record *record);

#endif
