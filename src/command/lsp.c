/*
 * lsp.c - the language server over standard input and output.
 *
 * Whenever something changes, the profile and the policies are read anew: from the files, or from
 * the texts that the editor has open.  So what is shown is what `check` would find once all is
 * saved.
 */
#include "command/pipeline.h"
#include "command/policy.h"
#include "editor/server.h"

#include <limits.h>
#include <stdlib.h>
#include <string.h>

/* What documents are judged by, as it is now. */
struct standard {
    struct command_call call; /* its arena holds what was read since the last change */
    struct pipeline pipeline;
    struct pipeline_open_texts texts;
    const struct editor_document *open;
};

static const char *find_text(void *context, const char *real, size_t *length)
{
    const struct standard *standard = context;
    const struct editor_document *document = standard->open;
    for (; document; document = document->next) {
        char path[PATH_MAX];
        if (realpath(document->path, path) && strcmp(path, real) == 0) {
            *length = document->length;
            return document->text;
        }
    }
    return NULL;
}

static void renew(void *context, const struct editor_document *open)
{
    struct standard *standard = context;
    standard->open = open;
    arena_reset(&standard->call.arena);
    (void)pipeline_start_beside(&standard->pipeline, &standard->call, &standard->texts);
}

/* What is wrong with a policy's file, in words. */
static struct editor_problem problem_of(struct standard *standard,
                                        const struct pipeline_policy *file)
{
    struct arena *arena = &standard->call.arena;
    if (!file || !file->problem) {
        return (struct editor_problem){NULL, NULL};
    }
    const char *consequence =
        file->policy ? "What the policy was meant to say there does not hold; its other rules and "
                       "the defaults do."
                     : "The policy cannot be used, so the defaults are shown instead; check ends "
                       "without success.";
    return (struct editor_problem){
        file->path,
        arena_printf(arena, "%s\n%s\nMend the policy, or name another one with --policy.",
                     file->problem, consequence)};
}

static struct editor_standard standard_for(void *context, const char *path)
{
    struct standard *standard = context;
    struct pipeline *pipeline = &standard->pipeline;
    struct editor_standard found = {
        .policy = path ? pipeline_policy_for(pipeline, path) : pipeline->set_policy,
        .device_policy = pipeline->set_policy,
        .device = pipeline->has_device ? &pipeline->device : NULL,
        .today = pipeline->today,
    };
    const struct pipeline_policy *file =
        path ? pipeline_policy_file(pipeline, path) : pipeline->set_file;
    found.problems[EDITOR_POLICY] = problem_of(standard, file);
    found.problems[EDITOR_SET_POLICY] = problem_of(standard, pipeline->set_file);
    if (pipeline->device_problem) {
        found.problems[EDITOR_DEVICE] = (struct editor_problem){
            command_value(&standard->call, OPTION_DEVICE),
            arena_printf(&standard->call.arena,
                         "%s\nThe device profile cannot be used, so nothing is judged on the "
                         "device.\nMend the profile.",
                         pipeline->device_problem)};
    }
    return found;
}

int command_lsp(struct command_call *call)
{
    struct report_sink sink = report_sink(stderr, REPORT_TEXT, &call->arena);
    struct standard standard = {.call = *call};
    /* On the command line once, for what cannot be run at all; the rest is shown in the editor. */
    (void)pipeline_start(&standard.pipeline, call, &sink, false);
    if (standard.pipeline.misused) {
        return COMMAND_FAILED;
    }
    standard.call.arena = (struct arena){.newest = NULL};
    standard.texts = (struct pipeline_open_texts){find_text, &standard};
    const struct editor_judge judge = {renew, standard_for, &standard};
    const char *problem = NULL;
    enum editor_served served = editor_serve(stdin, stdout, &judge, &problem);
    arena_free(&standard.call.arena);
    if (served == EDITOR_LOST) {
        return command_fail("%s", problem);
    }
    return served == EDITOR_IN_ORDER ? COMMAND_CLEAN : COMMAND_FINDINGS;
}
