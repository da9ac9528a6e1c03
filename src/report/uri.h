/*
 * uri.h - one name for a file, whichever way people wrote its path.
 *
 * A platform that is handed reports holds findings together by these names: it must not matter
 * whether somebody named `engines`, `./engines`, or the same folder from the root of the disk.
 */
#ifndef ROTORTAB_REPORT_URI_H
#define ROTORTAB_REPORT_URI_H

#include "base/arena.h"

/*
 * The path without `.` and doubled slashes, and relative where it leads to the working folder or
 * below; in the arena.  `..` stays: behind a link it leads elsewhere than it seems to.
 */
const char *report_plain_path(struct arena *arena, const char *path);

/* That path as a URI reference: what RFC 3986 does not leave alone is percent-encoded. */
struct json_t *report_uri(const char *path);

#endif
