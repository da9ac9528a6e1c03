/*
 * server.h - a language server: findings, hover, completion and more, for any editor that uses the
 * Language Server Protocol (version 3.17).
 */
#ifndef ROTORTAB_EDITOR_SERVER_H
#define ROTORTAB_EDITOR_SERVER_H

#include "editor/document.h"

#include <stdio.h>

enum editor_served {
    EDITOR_IN_ORDER,     /* `shutdown` came before `exit` */
    EDITOR_OUT_OF_ORDER, /* the client left or ended, or the input ended, without it */
    EDITOR_LOST          /* the client's messages cannot be read any more */
};

/*
 * Serves until the client sends `exit`, the input ends, or the client's process has ended. `in` is
 * a descriptor. `options` come from the command line; `today` is the value of --today or NULL. For
 * EDITOR_LOST, *problem is a sentence that says why.
 */
enum editor_served editor_serve(int in, FILE *out, const struct run_options *options,
                                const char *today, const char **problem);

#endif
