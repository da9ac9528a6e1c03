/*
 * cross_check.h - the second reading of a definition, which is in the file beside it.
 *
 * The cross-check of quern-12.engine.yaml is quern-12.cross-check.yaml in the same folder.  It is
 * judged together with the definition.  So a run takes the definition where its cross-check is
 * named, and reads no cross-check on its own, unless the definition is missing.
 *
 * A cross-check that was found is trusted as little as a policy that was found: it must be a
 * regular file, and no link to one.
 */
#ifndef ROTORTAB_RUN_CROSS_CHECK_H
#define ROTORTAB_RUN_CROSS_CHECK_H

#include "run/sources.h"

/* The path of the cross-check of the definition at `path`; NULL for a path of another kind. */
const char *run_cross_check_path(struct arena *arena, const char *path);

/*
 * The path of the definition of the cross-check at `path`, with the index-th of the endings that a
 * definition can have; NULL for a path of another kind, and after the last ending.
 */
const char *run_definition_path(struct arena *arena, const char *path, size_t index);

/*
 * Settles which items of the list are judged together.  A cross-check whose definition is in the
 * list is marked `beside`.  One that was named alone is exchanged for its definition.  Texts that
 * do not come from files are given to their definitions.
 */
void run_pair_cross_checks(struct run *run, struct run_items *list);

/*
 * Reads the cross-check of the definition at `path`, which was read into `file`, if there is one.
 * An item with bytes has it in its list; else it is looked for beside the path.  Its findings are
 * findings of reading.  If it cannot be read, file->cross_check_problem says why.  It writes to
 * `file` only, so several threads may call it.
 */
void run_read_cross_check(const struct run *run, const struct run_item *item, const char *path,
                          struct run_judged *file);

/* The same from a text at hand, which must outlive the file; `path` is its name in findings. */
void run_take_cross_check(struct run_judged *file, const char *path, const char *text,
                          size_t length);

/*
 * A cross-check from standard input is exchanged for the definition that is beside its name: reads
 * the definition into `file`, with the text as its cross-check.  False if the file is something
 * else, or there is no definition: then nothing has changed.
 */
bool run_exchange_cross_check(const struct run *run, const struct run_item *item,
                              struct run_judged *file);

/*
 * Remembers what the run's outputs must know of a definition's cross-check: the file, which no
 * output may overwrite, or the folder in which it can appear.
 */
void run_remember_cross_check(struct run *run, const struct run_judged *file);

/* Reports a cross-check that a run took as a source, because its definition is missing. */
void run_report_alone(struct run_judged *file);

#endif
