/*
 * server.h - a language server: findings, hover, completion and the rest for any editor that speaks
 * the Language Server Protocol (version 3.17).
 */
#ifndef ROTORTAB_EDITOR_SERVER_H
#define ROTORTAB_EDITOR_SERVER_H

#include "editor/document.h"

#include <stdio.h>

/*
 * Serves until the client says exit or its input ends.  True where it shut down in order:
 * `shutdown` came before `exit`.
 */
bool editor_serve(FILE *in, FILE *out, const struct editor_judge *judge);

#endif
