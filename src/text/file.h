/*
 * file.h - a source file in memory, and the lines in it.
 *
 * A definition has a few kilobytes, so a file is read whole, and one larger than TEXT_FILE_LIMIT is
 * refused before it is.  The text is checked to be UTF-8 before anything else looks at it, so all
 * later code may take that for granted.
 */
#ifndef ROTORTAB_TEXT_FILE_H
#define ROTORTAB_TEXT_FILE_H

#include "base/finding.h"

#include <stdbool.h>
#include <sys/types.h>

enum { TEXT_FILE_LIMIT = 1 << 20 }; /* bytes */

/* Which file it is, whatever path led to it. */
struct text_identity {
    dev_t device;
    ino_t inode; /* 0: none, as for standard input; no file has it */
};

/* The identity of what is at a path, with links followed; none if nothing is there. */
struct text_identity text_identity_of(const char *path);

struct text_file {
    const char *path;  /* as people named it; "-" for standard input */
    const char *bytes; /* NULL where only the name is kept */
    size_t length;
    struct text_identity identity;
};

enum text_load {
    TEXT_LOADED,
    TEXT_REFUSED,   /* a finding says why */
    TEXT_UNREADABLE /* errno says why; nothing was reported */
};

/*
 * Reads the file at `path` ("-": standard input) into the arena.  `file` is filled in any case, its
 * identity even where it cannot be read, as long as it is there.
 */
enum text_load text_file_load(struct text_file *file, const char *path, struct arena *arena,
                              struct findings *findings);

/* The same for a file that is open for reading and stays open; `path` is its name. */
enum text_load text_file_load_open(struct text_file *file, const char *path, int fd,
                                   struct arena *arena, struct findings *findings);

/*
 * Opens a file that was found beside another, for the function above; -1 with errno. It follows no
 * link and does not wait: in the repository of another person, a link could name any file that the
 * user can read, and the report would quote it. Opening a pipe could take for ever.
 */
int text_file_open_found(const char *path);

/*
 * The same for bytes at hand, which must live as long as `file`: TEXT_LOADED or TEXT_REFUSED.
 * `path` is what to call it.
 */
enum text_load text_file_take(struct text_file *file, const char *path, const char *bytes,
                              size_t length, struct findings *findings);

/* Bytes of the byte order mark that the text begins with, 0 where there is none; no part of it. */
size_t text_file_mark(const struct text_file *file);

/* The number of the line that is the `nth` to begin with these words; 0 where there are fewer. */
uint32_t text_file_line_beginning(const struct text_file *file, const char *words, size_t nth);

/* The file as a whole, as a place. */
struct span text_file_span(const struct text_file *file);

/*
 * Line `number` (from 1) without its end; *length counts bytes.  NULL where there is no such line.
 * Lines end as YAML 1.1 ends them: LF, CR LF, CR, NEL, LS or PS.
 */
const char *text_file_line(const struct text_file *file, uint32_t number, size_t *length);

/* Bytes of the file before this column of line `number`. */
size_t text_file_offset(const struct text_file *file, uint32_t number, uint32_t column);

/*
 * The text at a place of a file, in the arena.  Where it is `folded`, blanks and line ends between
 * its parts are one blank each, so that it fits a sentence.
 */
const char *text_file_at(struct arena *arena, struct span at, bool folded);

#endif
