/*
 * journal_parts.h - the parts of the journal's code, for each other only.
 */
#ifndef ROTORTAB_RUN_JOURNAL_PARTS_H
#define ROTORTAB_RUN_JOURNAL_PARTS_H

#include "run/journal.h"
#include "run/journal_text.h"

#include <stddef.h>
#include <sys/stat.h>

/* The journal of one folder. */
struct run_journal_part {
    const char *folder; /* as text_path_folder has it */
    const char *path;   /* of the journal in it */
    const char *real;   /* the folder without links */
    struct stat status; /* of the folder */
    int opened;         /* the journal, locked, and 1; 0: there is none */
    bool spent;         /* the journal says nothing any more, and may be removed */
    bool left;          /* a killed run left a whole journal: */
    struct run_journal_text old;
    struct run_journal_text text; /* of this run */
    size_t *members;              /* the writings that its files are */
    char *bytes;
    size_t room;
};

/* Whether two looks at a folder or a file saw the same one. */
bool run_journal_is_same(const struct stat *one, const struct stat *other);

/* Makes the names in the folders last. */
void run_journal_sync(const struct run_journal *journal);

/*
 * Each returns the sentence for a journal that this run does not use, in the journal's memory: a
 * `reason` that begins with a verb; what cannot be done, with the system's reason.
 */
const char *run_journal_refuse(const struct run_journal *journal, const char *path,
                               const char *reason);
const char *run_journal_cannot(const struct run_journal *journal, const char *what,
                               const char *path, int error);

/*
 * Opens and locks the journal of a folder, and waits for another run that writes a set there, at
 * most RUN_JOURNAL_SECONDS.  Only a run that writes a set makes a journal.  Returns NULL, or why
 * this run must not write; then nothing is held.
 */
const char *run_journal_hold(const struct run_journal *journal, struct run_journal_part *part);

/*
 * Finishes, or takes back, what killed runs left in the folders whose journals are held.  Returns
 * NULL, or why it cannot; then no file of a set that is not understood has changed.
 */
const char *run_journal_finish_left(const struct run_journal *journal);

#endif
