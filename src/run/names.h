/*
 * names.h - the names that are in sources, for a person who types them: engines, stages, revisions.
 *
 * A shell asks for them between two keys, so the answer must be quick. A source is read and not
 * judged, and its mistakes are passed over: a broken definition still has the stages that could be
 * read. The number of files has a limit.
 */
#ifndef ROTORTAB_RUN_NAMES_H
#define ROTORTAB_RUN_NAMES_H

#include "text/folder.h"

enum run_named {
    RUN_ENGINES,
    RUN_SPOOLS,
    RUN_STAGES,
    RUN_PADS,
    RUN_PORTS,
    RUN_DOCUMENTS,
    RUN_REVISIONS,
    RUN_NAMED
};

/* What each of them is called on the command line: "engines". */
extern const char *const run_named_words[RUN_NAMED];

/*
 * Adds the names in the sources at the paths and below paths that are folders, in byte order and
 * each once. Names with a character that nothing shows are left out. Revisions are the branches and
 * the tags of the git repository around the first path. The names live in the arena. Returns
 * RUN_CLEAN; or RUN_FAILED if something cannot be read or there are too many files: that has been
 * said, and what was found is still added.
 */
int run_names(struct arena *arena, enum run_named named, const struct text_paths *paths,
              struct text_paths *names);

#endif
