/*
 * git_ask.h - private to git.c, git_tree.c, origin.c and names.c: runs git to answer one question.
 *
 * A repository is input like any other, and can come from a stranger. Its settings can name
 * programs: for a fetch, for a monitor of files, for hooks. Here git runs without a shell, a fetch,
 * a monitor or a hook. Only commands that read stored objects, names and settings are used: they
 * run no filter, no text conversion and no pager.
 */
#ifndef ROTORTAB_RUN_GIT_ASK_H
#define ROTORTAB_RUN_GIT_ASK_H

#include "base/arena.h"

#include <stdbool.h>
#include <stdio.h>
#include <sys/types.h>

/* A running git; its output is read from `out`. */
struct git {
    pid_t process;
    FILE *out;
};

/*
 * Starts `git -C folder words...`; NULL ends the words. Its input is `in`, -1 for none. Only the
 * folder decides which repository is used. Of the GIT_ variables git gets only those that name the
 * user's settings and limit the search upwards. If `quiet`, git prints no message. False with errno
 * if git cannot be started.
 */
bool git_start(struct git *git, struct arena *arena, const char *folder, const char *const *words,
               int in, bool quiet);

/* Waits until git ends. True if its whole output was read and its exit status is 0. */
bool git_finish(struct git *git);

/* Reads up to the next `end` and drops that; false at the end of the output. */
bool git_read_word(FILE *in, struct arena *arena, int end, const char **out);

/* What git answers to a question with one line as its answer. */
struct git_answer {
    const char *line; /* NULL: its status was not 0, or it said nothing */
    int status;       /* its exit status */
};

/*
 * Asks such a question; `words` and `quiet` as above. False with errno if git cannot be started,
 * its answer cannot be read, or it did not end by itself.
 */
bool git_line(struct arena *arena, const char *folder, const char *const *words, bool quiet,
              struct git_answer *answer);

/* The lowest folder at or above an absolute path that holds a repository; NULL: none. */
const char *git_holder(struct arena *arena, const char *path);

/*
 * An object of the repository; its size is known before it is read.
 *
 * A small repository can hold an object that is huge when it is unpacked, and can name it a
 * thousand times. So git reports the sizes first, the caller decides, and an object with many names
 * is read once.
 */
struct git_object {
    const char *name; /* its hash */
    bool there;       /* the repository has it, with the type that was asked for */
    size_t size;      /* in bytes, if it is there */
    bool wanted;      /* the caller sets this: read its bytes */
    const char *bytes;
};

/*
 * Measures objects that must all have one type, "commit", "tree" or "blob": sets `there` and
 * `size`. `top` is the folder of the repository. Git prints no message about a missing object.
 * False if git fails.
 */
bool git_objects_measure(struct arena *arena, const char *top, const char *type,
                         struct git_object *objects, size_t count);

/*
 * Reads the bytes of the wanted objects into the arena, with a NUL after them. All objects have
 * been measured; objects of one name share their bytes. False if git fails or an object does not
 * have its measured size.
 */
bool git_objects_read(struct arena *arena, const char *top, struct git_object *objects,
                      size_t count);

#endif
