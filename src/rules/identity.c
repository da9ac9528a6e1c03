/*
 * identity.c - which engine this is, and whether everything on it is reached.
 */
#include "rules/functions.h"
#include "rules/say.h"

#include <string.h>

bool rules_judge_file_name(struct rules_run *run, const struct model_text *id, enum model_kind kind)
{
    const char *path = run->file->path;
    if (id->at.state != MODEL_GIVEN || strcmp(path, "-") == 0) {
        return true;
    }
    const char *slash = strrchr(path, '/');
    const char *name = slash ? slash + 1 : path;
    const char *extension = model_kinds[kind].extension;
    const size_t length = strlen(extension);
    if (strncmp(name, id->text, id->length) == 0 &&
        strncmp(name + id->length, extension, length) == 0) {
        const char *ending = name + id->length + length;
        if (strcmp(ending, ".yaml") == 0 || strcmp(ending, ".yml") == 0 ||
            strcmp(ending, ".json") == 0) {
            return true;
        }
    }
    struct finding *finding =
        finding_add(run->findings, RULE_ID_NOT_FILE_NAME, id->at.span,
                    "the id is %s, but the file is called %s", id->text, name);
    finding_mend(run->findings, finding, "Call the file %s%s.yaml, or correct the id.", id->text,
                 extension);
    return false;
}

bool rules_ID_NOT_FILE_NAME(struct rules_run *run, const struct rules_subject *subject)
{
    (void)subject;
    return rules_judge_file_name(run, &run->engine->id, MODEL_ENGINE_KIND);
}

bool rules_PAD_MISSING(struct rules_run *run, const struct rules_subject *subject)
{
    (void)subject;
    const struct model_engine *engine = run->engine;
    if (engine->pads.at.state == MODEL_BROKEN || engine->pads.count > 0) {
        return true;
    }
    struct span at = engine->pads.at.state == MODEL_GIVEN ? engine->pads.at.key : engine->at.span;
    if (engine->pads.at.state == MODEL_ABSENT) {
        at = engine->pads.at.span;
    }
    finding_add(run->findings, RULE_PAD_MISSING, at, "the definition has no pad");
    return false;
}

static size_t pads_of(const struct rules_run *run, size_t spool)
{
    size_t count = 0;
    for (size_t i = 0; i < run->engine->pads.count; i++) {
        count += model_pad(run->engine, i)->spool_index == spool;
    }
    return count;
}

/* Something names a spool that is not known, so nothing can be said of what reaches this one. */
static bool pads_are_whole(const struct rules_run *run)
{
    bool whole = run->engine->pads.at.state != MODEL_BROKEN;
    for (size_t i = 0; i < run->engine->pads.count; i++) {
        whole = whole && model_pad(run->engine, i)->spool_index != SIZE_MAX;
    }
    return whole;
}

static bool stages_are_whole(const struct rules_run *run)
{
    bool whole = run->engine->stages.at.state == MODEL_GIVEN;
    for (size_t i = 0; i < run->engine->stages.count; i++) {
        whole = whole && model_stage(run->engine, i)->spool_index != SIZE_MAX;
    }
    return whole;
}

bool rules_HAND_AND_PAD(struct rules_run *run, const struct rules_subject *subject)
{
    const struct model_spool *spool = subject->spool;
    if (spool->turned_by.at.state != MODEL_GIVEN || pads_of(run, subject->index) == 0) {
        return true;
    }
    struct finding *finding =
        finding_add(run->findings, RULE_HAND_AND_PAD, spool->turned_by.at.span,
                    "spool %s is said to be turned by hand, but a pad turns it", spool->id.text);
    for (size_t i = 0; i < run->engine->pads.count; i++) {
        const struct model_pad *pad = model_pad(run->engine, i);
        if (pad->spool_index == subject->index) {
            finding_note(run->findings, finding, pad->spool.at.span, "pad %s",
                         pad->id.text ? pad->id.text : "without an id");
        }
    }
    return false;
}

bool rules_SPOOL_UNREACHED(struct rules_run *run, const struct rules_subject *subject)
{
    const struct model_spool *spool = subject->spool;
    if (spool->id.at.state != MODEL_GIVEN || spool->turned_by.at.state != MODEL_ABSENT ||
        !pads_are_whole(run) || pads_of(run, subject->index) > 0) {
        return true;
    }
    finding_add(run->findings, RULE_SPOOL_UNREACHED, spool->id.at.span, "no pad turns spool %s",
                spool->id.text);
    return false;
}

bool rules_STAGE_MISSING(struct rules_run *run, const struct rules_subject *subject)
{
    const struct model_spool *spool = subject->spool;
    if (spool->id.at.state != MODEL_GIVEN || !stages_are_whole(run) ||
        pads_of(run, subject->index) == 0) {
        return true;
    }
    for (size_t i = 0; i < run->engine->stages.count; i++) {
        if (model_stage(run->engine, i)->spool_index == subject->index) {
            return true;
        }
    }
    finding_add(run->findings, RULE_STAGE_MISSING, spool->id.at.span,
                "a pad turns spool %s, but no stage sits on it", spool->id.text);
    return false;
}
