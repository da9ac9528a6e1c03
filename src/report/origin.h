/*
 * origin.h - the root of a log for platforms, and one name for each file below it.
 *
 * A platform finds a file only by its name from the top of the repository.  It matches the findings
 * of two runs by these names.  So a file has one name, in whatever form its path was written and
 * in whatever folder of the repository the program was started.
 */
#ifndef ROTORTAB_REPORT_ORIGIN_H
#define ROTORTAB_REPORT_ORIGIN_H

#include "base/arena.h"

#include <jansson.h>
#include <stdbool.h>

struct report_origin {
    const char *folder;     /* the root: absolute, without links; NULL: not known */
    const char *repository; /* an absolute URI; NULL: none, or not known */
    const char *revision;   /* the hash of the commit; NULL: none */
    const char *branch;     /* NULL: none */
};

/*
 * The path from the root, or the absolute path if the file is elsewhere; in the arena.  A link has
 * the name of its target, unless that is not below the root.  Standard input is "-".
 */
const char *report_file_name(struct arena *arena, const struct report_origin *origin,
                             const char *path);

/* A SARIF artifactLocation: the name as a URI reference, and the name of its base below the root.
 */
json_t *report_artifact(const struct report_origin *origin, const char *path);

/* Adds originalUriBaseIds and versionControlProvenance to a SARIF run, as far as they are known. */
void report_origin_add(json_t *run, const struct report_origin *origin);

/*
 * An absolute path as a URI; all that RFC 3986 reserves is percent-encoded.  A folder ends with a
 * slash.  In the arena.
 */
const char *report_file_uri(struct arena *arena, const char *path, bool folder);

/* Bytes for a URI: percent-encoded, unless RFC 3986 never reserves them or `kept` has them. */
const char *report_percent(struct arena *arena, const char *bytes, const char *kept);

/*
 * An absolute path without `.`, `..` and doubled slashes; in the arena.  Only for a path without
 * links, or one that leads nowhere: after a link, `..` is another folder than it seems.
 */
const char *report_folded_path(struct arena *arena, const char *path);

#endif
