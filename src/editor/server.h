/*
 * server.h - a language server: findings, hover, completion and the rest for any editor that speaks
 * the Language Server Protocol (version 3.17).
 */
#ifndef ROTORTAB_EDITOR_SERVER_H
#define ROTORTAB_EDITOR_SERVER_H

#include "editor/document.h"

#include <stdio.h>

enum editor_served {
    EDITOR_IN_ORDER,     /* `shutdown` came before `exit` */
    EDITOR_OUT_OF_ORDER, /* the client left, or its input ended, without that */
    EDITOR_LOST          /* the client's messages cannot be followed any more */
};

/*
 * Serves until the client says exit or its input ends.  `options` is what the command line says of
 * the run that judges the documents, `today` the value of --today or NULL.  *problem says why, in a
 * sentence, where the result is EDITOR_LOST.
 */
enum editor_served editor_serve(FILE *in, FILE *out, const struct run_options *options,
                                const char *today, const char **problem);

#endif
