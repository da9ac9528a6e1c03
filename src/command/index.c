/*
 * index.c - the list of all engines, or of those that rest on a document.
 */
#include "report/index.h"
#include "command/command.h"
#include "report/resting.h"
#include "run/manifest.h"
#include "run/sources.h"
#include "text/near.h"
#include "words/name.h"
#include "words/number.h"

#include <string.h>

static void take(void *context, const struct model_source *source,
                 const struct rules_judging *judging)
{
    struct report_index *index = context;
    (void)source;
    report_index_add(index, &judging->derived);
}

static enum report_index_format format_of(const struct command_call *call)
{
    return command_format_is(call, "json")  ? REPORT_INDEX_JSON
           : command_format_is(call, "csv") ? REPORT_INDEX_CSV
                                            : REPORT_INDEX_TEXT;
}

/* ---- what rests on a document -----------------------------------------------------------------
 */

struct search {
    const char *asked; /* DOCUMENT[@REVISION] */
    struct report_resting_list list;
    bool known;            /* a definition or a manifest has the document */
    struct text_near near; /* the most similar name */
    size_t definitions;    /* that were looked at */
};

static void look_at(struct search *search, const struct report_resting_engine *engine,
                    const struct report_restings *restings)
{
    for (size_t i = 0; i < restings->count; i++) {
        const char *document = restings->items[i].document;
        search->known = search->known || report_resting_names(search->asked, document);
        text_near_try(&search->near, document);
    }
    report_resting_add(&search->list, search->asked, engine, restings);
}

static void look_at_table(void *context, const struct report_resting_engine *engine,
                          const struct report_restings *restings)
{
    look_at(context, engine, restings);
}

static void look_at_definition(void *context, const struct model_source *source,
                               const struct rules_judging *judging)
{
    struct search *search = context;
    struct arena *arena = search->list.arena;
    const struct model_engine *engine = source->engine;
    const struct model_cross_check *second =
        judging->cross_check ? judging->cross_check->cross_check : NULL;
    const struct report_resting_engine found = {
        .id = arena_copy(arena, engine->id.text, engine->id.length),
        .status = words_status((enum model_status)engine->status.value),
        .revision = engine->revision.value};
    const struct report_restings restings = report_resting_of(engine, second, arena);
    search->definitions++;
    look_at(search, &found, &restings);
}

/* Reads the operands that are manifests, and keeps the others; false if one cannot be used. */
static bool read_manifests(struct command_call *call, struct search *search,
                           struct text_paths *others)
{
    for (size_t i = 0; i < call->operands.count; i++) {
        const char *path = call->operands.items[i];
        switch (run_manifest_read(&call->arena, path, look_at_table, search)) {
        case RUN_MANIFEST_READ: break;
        case RUN_NOT_MANIFEST: text_paths_add(others, &call->arena, path); break;
        case RUN_MANIFEST_REFUSED: return false;
        }
    }
    return true;
}

static int report_no_document(const struct search *search)
{
    const char *best = text_near_best(&search->near);
    return run_error("nothing that was read names a document %s%s%s%s", search->asked,
                     best ? "; did you mean " : "", best ? best : "", best ? "?" : "");
}

static int find_resting(struct command_call *call, struct run *run)
{
    const char *asked = command_value(call, OPTION_SOURCE);
    struct search search = {.asked = asked, .list.arena = &call->arena};
    struct text_paths others = {NULL, 0, 0};
    const char *at = strrchr(asked, '@');
    search.near = text_near_start(asked, at ? (size_t)(at - asked) : strlen(asked));
    if (!read_manifests(call, &search, &others)) {
        return RUN_FAILED;
    }
    run_judge_paths(run, &others, look_at_definition, &search);
    int status = run_status(run);
    command_say_missing(run->definitions - search.definitions, "in the list");
    if (status == RUN_CLEAN && !search.known) {
        return report_no_document(&search);
    }
    report_resting_write(stdout, &search.list,
                         command_format_is(call, "json")  ? REPORT_RESTING_JSON
                         : command_format_is(call, "csv") ? REPORT_RESTING_CSV
                                                          : REPORT_RESTING_TEXT);
    return status;
}

int command_index(struct command_call *call)
{
    struct report_sink sink = command_sink(call, stderr, REPORT_TEXT);
    struct report_index index = {.arena = &call->arena};
    struct run_options options;
    struct run run;
    sink.without_notes = true;
    if (!command_run_options(call, &sink, &options)) {
        return RUN_FAILED;
    }
    if (!run_start(&run, &options)) {
        return run_status(&run);
    }
    if (command_value(call, OPTION_SOURCE)) {
        return find_resting(call, &run);
    }
    run_judge_paths(&run, &call->operands, take, &index);
    report_index_sort(&index);
    report_index_write(stdout, &index, format_of(call));
    command_say_missing(run.definitions - index.count, "in the list");
    return run_status(&run);
}
