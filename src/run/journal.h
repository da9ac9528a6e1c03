/*
 * journal.h - a set of files that changes as one: the lock of its folders, and its journal.
 *
 * A run that writes a set makes the file .rotortab-journal in each folder of the set, and locks it.
 * Another such run waits.  When all files are written beside their targets, the run records in the
 * journals what it will rename.  From then on the set is new, even if the run is killed: the next
 * run that writes into the folders finishes the renaming.  A set without a complete record is old.
 *
 * The journal of a folder names only files of that folder.  If a set has several folders, each
 * journal is a part, and the first part is recorded last.  A run finishes a set only if it writes
 * into all folders of the set, so it never follows a path that a journal states.
 *
 * A journal is input.  It acts only if its owner is the user or root, and if it was written in its
 * folder: it names the inodes of the folder and of the files, which no copy and no archive keeps.
 */
#ifndef ROTORTAB_RUN_JOURNAL_H
#define ROTORTAB_RUN_JOURNAL_H

#include "text/write.h"

/* How long a run waits for another one that writes into the same folder. */
enum { RUN_JOURNAL_SECONDS = 10 };

struct run_journal_part;

/* The journals of a run: one for each folder that it writes into. */
struct run_journal {
    struct arena *arena;
    struct text_writing *writings;
    size_t writing_count;
    struct run_journal_part *parts; /* in the order of their inodes, so that no two runs wait for
                                       each other */
    size_t count;
    bool held; /* this run writes a set, and has locked the folders */
};

/*
 * Finishes what killed runs began in the folders of these writings; those without a folder do not
 * count.  If they are a set, it locks the folders.  Returns NULL, or a sentence that says what is
 * wrong: then no folder is locked.  All that the set needs from the arena is taken here.
 */
const char *run_journal_open(struct run_journal *journal, struct arena *arena,
                             struct text_writing *writings, size_t count, bool set);

/*
 * Records the set: each of its files is written beside its target.  From here on the next run
 * finishes it.  False with errno if the record cannot be written.  No set: it does nothing.
 */
bool run_journal_record(struct run_journal *journal);

/* Records that the set is taken back, so that the next run takes back the rest. */
void run_journal_turn_back(struct run_journal *journal);

/* Unlocks the folders; removes the journals if the set is done, or is taken back as a whole. */
void run_journal_close(struct run_journal *journal, bool done);

#endif
