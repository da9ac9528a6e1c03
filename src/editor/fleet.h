/*
 * fleet.h - what only several files together show: a designation that is taken, too many engines.
 *
 * `check` of a folder finds it because it reads all files of the folder.  So the server knows the
 * names in the folders that the editor has open.  A file is read again only if it has changed on
 * disk; the text of an open document counts instead of its file.  What is in none of the folders,
 * such as another copy of the fleet, does not count.
 */
#ifndef ROTORTAB_EDITOR_FLEET_H
#define ROTORTAB_EDITOR_FLEET_H

#include "base/arena.h"
#include "text/folder.h"

struct editor_documents;
struct editor_known;

struct editor_fleet {
    struct arena arena;               /* of the folders' paths */
    struct text_paths folders, reals; /* as the editor names them, and without links */
    struct editor_known *known;       /* what was found in them; NULL: they were not looked at */
    bool stale;                       /* look at them again */
};

/* Adds a folder, whose path is copied, or removes it. */
void editor_fleet_add(struct editor_fleet *fleet, const char *folder);
void editor_fleet_remove(struct editor_fleet *fleet, const char *folder);

/* Files can have changed: looks at the folders at the next judgement. */
void editor_fleet_look(struct editor_fleet *fleet);

/*
 * Looks at the folders if that is due, and judges their files and the open documents together.  The
 * findings are in documents->together; the file of each place has its text.
 */
void editor_fleet_judge(struct editor_documents *documents);

/* Why files of a folder are left out, in sentences; NULL: none is. *folder is its path. */
const char *editor_fleet_problem(const struct editor_fleet *fleet, const char **folder);

void editor_fleet_end(struct editor_fleet *fleet);

#endif
