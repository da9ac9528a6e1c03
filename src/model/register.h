/*
 * register.h - the source register: which revision of each document is current.
 *
 * The definitions of an organisation rest on documents of others, and these get new revisions.  The
 * register is the one place that is changed then.  Each definition names the revision that its
 * numbers come from, so a comparison finds what an old revision is still used for.
 */
#ifndef ROTORTAB_MODEL_REGISTER_H
#define ROTORTAB_MODEL_REGISTER_H

#include "model/engine.h"

enum { MODEL_REGISTERED_MOST = 9999, MODEL_WITHDRAWN_MOST = 99 };

/* A document in the register. */
struct model_registered {
    struct model_at at;
    struct model_text document;  /* its name or number */
    struct model_text revision;  /* the current one */
    struct model_code date;      /* yyyymmdd, of that revision */
    struct model_list withdrawn; /* revisions; of struct model_text */
};

struct model_register {
    struct model_at at;
    struct model_text schema;
    struct model_integer version;
    struct model_list documents;            /* of struct model_registered */
    const struct model_registered **sorted; /* those that were read, by name, each name once */
    size_t sorted_count;
    bool whole; /* nothing in the file was refused */
};

extern const struct model_record model_register_record;

/* Sorts the documents by name, and reports a name that is there twice. */
void model_register_sort(struct model_register *known, struct arena *arena,
                         struct findings *findings);

enum model_standing {
    MODEL_CURRENT,
    MODEL_OLDER,     /* another revision is current, and not an older one */
    MODEL_RECALLED,  /* the register has the revision among the withdrawn ones */
    MODEL_NEWER,     /* another revision, of a later day than the current one */
    MODEL_REDATED,   /* the current revision, but of another day */
    MODEL_NOT_KNOWN, /* the register does not have the document */
    MODEL_NOT_READ   /* a value here or in the register is BROKEN, which is reported already */
};

/* Compares a document of a definition with the register.  Sets *entry to its line, or to NULL. */
enum model_standing model_standing_of(const struct model_register *known,
                                      const struct model_document *document,
                                      const struct model_registered **entry);

/* Whether the register has this revision of a document among the withdrawn ones. */
bool model_is_recalled(const struct model_registered *entry, const struct model_text *revision);

#endif
