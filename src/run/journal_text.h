/*
 * journal_text.h - the text of a journal: one part of a set, in one folder.
 *
 *     rotortab-journal 1 F
 *     set 0f3c...
 *     part 1 of 1
 *     file 77 75 .rotortab-aB3dEf a.rotor
 *     end 5d41...
 *
 * F means forward, to the new files; B means back to the old ones.  The name of the set is the same
 * in each part.  The set is new when part 1 is whole.  Each part has a folder, with its inode and
 * its path; the path is only shown and compared.  The last line has the SHA-256 of the lines above
 * it, with F in the first one.
 *
 * A file has its inode, that of the old file (0: there is none), its name until it is renamed, and
 * its name after that.  Bytes of names that are not plain are written as %XX.
 */
#ifndef ROTORTAB_RUN_JOURNAL_TEXT_H
#define ROTORTAB_RUN_JOURNAL_TEXT_H

#include "base/arena.h"

#include <stdbool.h>
#include <stdint.h>

enum {
    RUN_JOURNAL_ID = 32,       /* digits of the name of a set */
    RUN_JOURNAL_DIRECTION = 19 /* the place of F or B in the text */
};

struct run_journal_file {
    uint64_t inode, old;
    const char *temporary, *target; /* both in the folder of the journal */
};

struct run_journal_folder {
    uint64_t inode;
    const char *path; /* without links */
};

struct run_journal_text {
    bool back;
    char id[RUN_JOURNAL_ID + 1];
    size_t part; /* from 0 */
    struct run_journal_folder *folders;
    size_t folder_count;
    struct run_journal_file *files;
    size_t file_count;
};

/* The most bytes that the text takes; the names .rotortab-XXXXXX need not be there yet. */
size_t run_journal_room(const struct run_journal_text *text);

/* Writes the text into `room` bytes, and returns its length.  It allocates no memory. */
size_t run_journal_write(const struct run_journal_text *text, char *out, size_t room);

enum run_journal_state {
    RUN_JOURNAL_WHOLE,
    RUN_JOURNAL_BEGUN, /* the run was killed before the text was whole: nothing was renamed */
    RUN_JOURNAL_WRONG  /* this program does not write such a text */
};

/* Reads a text that ends with a NUL after its length. What is read is in the arena. */
enum run_journal_state run_journal_read(struct arena *arena, const char *bytes, size_t length,
                                        struct run_journal_text *text);

#endif
