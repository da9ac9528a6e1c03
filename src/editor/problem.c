#include "editor/problem.h"

#include "editor/document.h"
#include "run/cross_check.h"
#include "run/nearest.h"

#include <string.h>

/* The problem of a policy's file, in words. */
static struct editor_problem policy_problem(struct arena *arena, const struct run_nearest *file)
{
    if (!file || !file->problem) {
        return (struct editor_problem){NULL, NULL};
    }
    const char *consequence =
        file->policy
            ? "The wrong part of the policy is ignored; its other parts and the defaults are used."
            : "The policy cannot be used, so the findings follow the defaults; check ends with "
              "status 2.";
    return (struct editor_problem){
        file->path,
        arena_printf(arena, "%s\n%s\nCorrect the policy, or name another one with --policy.",
                     file->problem, consequence)};
}

/* The same of a source register's file. */
static struct editor_problem register_problem(struct arena *arena, const struct run_nearest *file)
{
    if (!file || !file->problem) {
        return (struct editor_problem){NULL, NULL};
    }
    const char *consequence =
        file->registered
            ? "The wrong part of the source register is ignored; its other parts are used."
            : "The source register cannot be used, so no source is compared with it; check ends "
              "with status 2.";
    return (struct editor_problem){
        file->path,
        arena_printf(arena, "%s\n%s\nCorrect the source register.", file->problem, consequence)};
}

void editor_problems(struct editor_documents *documents, struct editor_problem *problems)
{
    const struct run *run = &documents->run;
    problems[EDITOR_POLICY] = (struct editor_problem){NULL, NULL};
    problems[EDITOR_CROSS_CHECK] = (struct editor_problem){NULL, NULL};
    problems[EDITOR_SET_POLICY] = policy_problem(&documents->arena, run->set_file);
    problems[EDITOR_REGISTER] = (struct editor_problem){NULL, NULL};
    problems[EDITOR_DEVICE] = (struct editor_problem){NULL, NULL};
    const char *folder = NULL;
    const char *left_out = editor_fleet_problem(&documents->fleet, &folder);
    problems[EDITOR_FOLDER] = (struct editor_problem){folder, left_out};
    if (run->device_problem) {
        problems[EDITOR_DEVICE] = (struct editor_problem){
            run->options.device,
            arena_printf(&documents->arena,
                         "%s\nThe device profile cannot be used, so no rule that needs the device "
                         "is checked.\nCorrect the profile.",
                         run->device_problem)};
    }
}

/* Keeps the problems that concern this document, each file once. */
static void keep_all(struct editor_documents *documents, struct editor_document *document)
{
    struct run *run = &documents->run;
    struct editor_problem *problems = document->problems;
    enum model_kind kind = document->file.source.kind;
    editor_problems(documents, problems);
    problems[EDITOR_FOLDER] = (struct editor_problem){NULL, NULL};
    problems[EDITOR_POLICY] =
        policy_problem(&documents->arena, run_policy_file(run, document->path));
    problems[EDITOR_REGISTER] =
        register_problem(&documents->arena, run_register_file(run, document->path));
    for (int i = 0; i < EDITOR_PROBLEMS; i++) {
        bool twice = i == EDITOR_SET_POLICY && problems[i].path && problems[EDITOR_POLICY].path &&
                     strcmp(problems[i].path, problems[EDITOR_POLICY].path) == 0;
        /* A policy or a register is not judged, and a profile is judged only by policies. */
        bool other = kind == MODEL_DEVICE_KIND && (i == EDITOR_DEVICE || i == EDITOR_REGISTER);
        bool foreign = run_is_foreign(document->path, &document->file.source);
        if (kind == MODEL_POLICY_KIND || kind == MODEL_REGISTER_KIND || other || twice || foreign) {
            problems[i] = (struct editor_problem){NULL, NULL};
        }
    }
}

static void keep_cross_check_problem(struct editor_document *document, struct arena *arena)
{
    const char *problem = document->file.cross_check_problem;
    if (problem) {
        document->problems[EDITOR_CROSS_CHECK] = (struct editor_problem){
            run_cross_check_path(arena, document->path),
            arena_printf(arena,
                         "%s\nThe definition is judged without its cross-check; check ends with "
                         "status 2.",
                         problem)};
    }
}

void editor_keep_problems(struct editor_documents *documents, struct editor_document *document)
{
    keep_all(documents, document);
    keep_cross_check_problem(document, &document->arena);
}
