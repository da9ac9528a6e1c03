/*
 * identity.c - which engine this is, whether everything on it is reached, and ids taken twice; and
 * which blade is which.
 */
#include "rules/functions.h"

#include "text/folder.h"

#include <inttypes.h>
#include <stdlib.h>
#include <string.h>

bool rules_judge_file_name(struct rules_judging *judging, const struct model_text *id,
                           enum model_kind kind)
{
    const char *path = judging->file->path;
    if (id->at.state != MODEL_GIVEN || strcmp(path, "-") == 0) {
        return true;
    }
    const char *name = text_path_name(path);
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
    struct finding *finding = finding_add(judging->findings, RULE_ID_NOT_FILE_NAME, id->at.span,
                                          "the id is %s, but the file name is %s", id->text, name);
    finding_remedy(judging->findings, finding, "Rename the file to %s%s.yaml, or correct the id.",
                   id->text, extension);
    return false;
}

bool rules_ID_NOT_FILE_NAME(struct rules_judging *judging, const struct rules_subject *subject)
{
    (void)subject;
    return rules_judge_file_name(judging, &judging->derived.engine->id, MODEL_ENGINE_KIND);
}

bool rules_PAD_MISSING(struct rules_judging *judging, const struct rules_subject *subject)
{
    (void)subject;
    const struct model_engine *engine = judging->derived.engine;
    if (engine->pads.at.state == MODEL_BROKEN || engine->pads.count > 0) {
        return true;
    }
    struct span at = engine->pads.at.state == MODEL_GIVEN ? engine->pads.at.key : engine->at.span;
    if (engine->pads.at.state == MODEL_ABSENT) {
        at = engine->pads.at.span;
    }
    finding_add(judging->findings, RULE_PAD_MISSING, at, "the definition has no pad");
    return false;
}

/*
 * False where a pad or a stage names a spool that is not known.  False too where two of them are
 * read as one (its id is BROKEN then).  Nothing can be said then of what turns a spool, or is on
 * it.
 */
static bool are_whole(const struct rules_judging *judging, enum model_listed list)
{
    const struct model_engine *engine = judging->derived.engine;
    bool whole = model_listed(engine, list)->at.state != MODEL_BROKEN;
    for (size_t i = 0; whole && i < model_listed_count(engine, list); i++) {
        size_t spool = list == MODEL_PADS ? model_pad(engine, i)->spool_index
                                          : model_stage(engine, i)->spool_index;
        whole = spool != SIZE_MAX && model_listed_id(engine, list, i)->at.state != MODEL_BROKEN;
    }
    return whole;
}

bool rules_HAND_AND_PAD(struct rules_judging *judging, const struct rules_subject *subject)
{
    const struct model_spool *spool = subject->spool;
    if (spool->turned_by.at.state != MODEL_GIVEN ||
        model_pads_of_spool(judging->derived.engine, subject->index) == 0) {
        return true;
    }
    struct finding *finding =
        finding_add(judging->findings, RULE_HAND_AND_PAD, spool->turned_by.at.span,
                    "spool %s has turned-by: hand, but a pad turns it", spool->id.text);
    finding->about = spool;
    for (size_t i = 0; i < judging->derived.engine->pads.count; i++) {
        const struct model_pad *pad = model_pad(judging->derived.engine, i);
        if (pad->spool_index == subject->index) {
            finding_note(judging->findings, finding, pad->spool.at.span, "pad %s",
                         pad->id.text ? pad->id.text : "without an id");
        }
    }
    return false;
}

bool rules_SPOOL_UNREACHED(struct rules_judging *judging, const struct rules_subject *subject)
{
    const struct model_spool *spool = subject->spool;
    if (spool->id.at.state != MODEL_GIVEN || spool->turned_by.at.state != MODEL_ABSENT ||
        !are_whole(judging, MODEL_PADS) ||
        model_pads_of_spool(judging->derived.engine, subject->index) > 0) {
        return true;
    }
    finding_add(judging->findings, RULE_SPOOL_UNREACHED, spool->id.at.span, "no pad turns spool %s",
                spool->id.text);
    return false;
}

/* Whether the definition goes into the table. */
static bool is_compiled(const struct rules_judging *judging)
{
    const struct model_code *status = &judging->derived.engine->status;
    return status->at.state == MODEL_GIVEN &&
           (status->value == MODEL_RELEASED ||
            (status->value == MODEL_DRAFT && judging->with_drafts));
}

bool rules_STAGES_NOT_IN_TABLE(struct rules_judging *judging, const struct rules_subject *subject)
{
    const struct model_spool *spool = subject->spool;
    const size_t stages = model_stages_of_spool(judging->derived.engine, subject->index);
    if (stages == 0 || spool->id.at.state != MODEL_GIVEN || !is_compiled(judging) ||
        !are_whole(judging, MODEL_PADS) ||
        model_pads_of_spool(judging->derived.engine, subject->index) > 0) {
        return true;
    }
    finding_add(judging->findings, RULE_STAGES_NOT_IN_TABLE, spool->id.at.span,
                "%zu stage%s of spool %s %s not in the table: no pad turns the spool", stages,
                words_plural((int64_t)stages), spool->id.text, stages == 1 ? "is" : "are");
    return false;
}

bool rules_STAGE_MISSING(struct rules_judging *judging, const struct rules_subject *subject)
{
    const struct model_spool *spool = subject->spool;
    const struct model_list *stages = &judging->derived.engine->stages;
    if (spool->id.at.state != MODEL_GIVEN || stages->at.state == MODEL_ABSENT ||
        !are_whole(judging, MODEL_STAGES) ||
        model_pads_of_spool(judging->derived.engine, subject->index) == 0 ||
        model_stages_of_spool(judging->derived.engine, subject->index) != 0) {
        return true;
    }
    finding_add(judging->findings, RULE_STAGE_MISSING, spool->id.at.span,
                "a pad turns spool %s, but the spool has no stage", spool->id.text);
    return false;
}

/* One list of records with ids; `size` and `offset` find the id in each record. */
struct id_list {
    const struct model_list *list;
    size_t size, offset;
    const char *what; /* a record of it */
    bool again;       /* it is of a cross-check */
};

static void report_same_id(struct rules_judging *judging, const struct id_list *ids_of,
                           const struct model_text *first, const struct model_text *second)
{
    struct finding *finding = finding_add(judging->findings, RULE_ID_TAKEN, second->at.span,
                                          "there is already a %s %s", ids_of->what, first->text);
    finding_note(judging->findings, finding, first->at.span, "the first one");
    if (ids_of->list == &judging->derived.engine->documents) {
        finding_consequence(judging->findings, finding,
                            "Nobody could tell which of the two a part rests on.");
    } else if (ids_of->again) {
        finding_consequence(judging->findings, finding,
                            "The second reading of this %s is not compared.", ids_of->what);
    } else {
        finding_consequence(judging->findings, finding,
                            "A person who selects this %s could get the other one.", ids_of->what);
    }
    finding_remedy(judging->findings, finding, "Give one of them another id.");
}

/* Ids of one list that are the same. */
static bool judge_list(struct rules_judging *judging, const struct id_list *ids_of)
{
    bool passed = true;
    const struct model_list *list = ids_of->list;
    const struct model_text **ids = arena_array(judging->arena, list->count + 1, sizeof *ids);
    const char **names = arena_array(judging->arena, list->count + 1, sizeof *names);
    for (size_t i = 0; i < list->count; i++) {
        const char *item = (const char *)list->items + i * ids_of->size + ids_of->offset;
        ids[i] = (const struct model_text *)(const void *)item;
        names[i] = ids[i]->at.state == MODEL_GIVEN ? rules_bare(judging->arena, ids[i]) : NULL;
        for (size_t j = 0; names[i] && j < i; j++) {
            if (names[j] && strcmp(names[i], names[j]) == 0) {
                report_same_id(judging, ids_of, ids[j], ids[i]);
                passed = false;
                break;
            }
        }
    }
    return passed;
}

/* The ids of spools, stages with their ports, and pads, in a definition or a cross-check. */
static bool judge_ids(struct rules_judging *judging, const struct model_list *spools,
                      const struct model_list *stages, const struct model_list *pads, bool again)
{
    const struct id_list lists[] = {
        {spools, sizeof(struct model_spool), offsetof(struct model_spool, id), "spool", again},
        {stages, sizeof(struct model_stage), offsetof(struct model_stage, id), "stage", again},
        {pads, sizeof(struct model_pad), offsetof(struct model_pad, id), "pad", again},
    };
    bool passed = true;
    for (size_t i = 0; i < sizeof lists / sizeof *lists; i++) {
        passed = judge_list(judging, &lists[i]) && passed;
    }
    for (size_t i = 0; i < stages->count; i++) {
        const struct id_list ports = {&MODEL_ITEM(*stages, struct model_stage, i)->ports,
                                      sizeof(struct model_port), offsetof(struct model_port, id),
                                      "port", again};
        passed = judge_list(judging, &ports) && passed;
    }
    return passed;
}

bool rules_ID_TAKEN(struct rules_judging *judging, const struct rules_subject *subject)
{
    (void)subject;
    const struct model_engine *engine = judging->derived.engine;
    const struct model_cross_check *second =
        judging->cross_check ? judging->cross_check->cross_check : NULL;
    const struct id_list documents = {&engine->documents, sizeof(struct model_document),
                                      offsetof(struct model_document, id), "source", false};
    bool passed = judge_ids(judging, &engine->spools, &engine->stages, &engine->pads, false);
    passed = judge_list(judging, &documents) && passed;
    return (!second || judge_ids(judging, &second->spools, &second->stages, &second->pads, true)) &&
           passed;
}

/* ---- the blades of a stage that can be recognised -------------------------------------------- */

static const struct model_known_blade *known_blade(const struct model_stage *stage, size_t i)
{
    return MODEL_ITEM(stage->known_blades, struct model_known_blade, i);
}

bool rules_KNOWN_BLADE_NUMBER(struct rules_judging *judging, const struct rules_subject *subject)
{
    const struct model_stage *stage = subject->stage;
    bool passed = true;
    for (size_t i = 0; i < stage->known_blades.count; i++) {
        const struct model_integer *blade = &known_blade(stage, i)->blade;
        bool counted = stage->blades.at.state == MODEL_GIVEN;
        if (blade->at.state != MODEL_GIVEN ||
            (blade->value > 1 && (!counted || blade->value <= stage->blades.value))) {
            continue;
        }
        passed = false;
        if (blade->value == 1) {
            struct finding *finding =
                finding_add(judging->findings, RULE_KNOWN_BLADE_NUMBER, blade->at.span,
                            "blade one is in the list of known blades");
            finding_consequence(judging->findings, finding,
                                "If another blade is meant, the count would be found again at a "
                                "wrong number.");
            finding_remedy(judging->findings, finding,
                           "Correct the number, or describe blade one with blade-one.");
            continue;
        }
        struct finding *finding =
            finding_add(judging->findings, RULE_KNOWN_BLADE_NUMBER, blade->at.span,
                        "blade %" PRId64 " is known, but the stage has %" PRId64 " blades",
                        blade->value, stage->blades.value);
        finding_note(judging->findings, finding, stage->blades.at.span, "the number of blades");
        finding_remedy(judging->findings, finding, "Compare both numbers with the blade map.");
    }
    return passed;
}

bool rules_KNOWN_BLADE_TWICE(struct rules_judging *judging, const struct rules_subject *subject)
{
    const struct model_stage *stage = subject->stage;
    bool passed = true;
    for (size_t i = 0; i < stage->known_blades.count; i++) {
        const struct model_integer *blade = &known_blade(stage, i)->blade;
        for (size_t j = 0; blade->at.state == MODEL_GIVEN && j < i; j++) {
            const struct model_integer *first = &known_blade(stage, j)->blade;
            if (first->at.state == MODEL_GIVEN && first->value == blade->value) {
                struct finding *finding =
                    finding_add(judging->findings, RULE_KNOWN_BLADE_TWICE, blade->at.span,
                                "blade %" PRId64 " is in the list already", blade->value);
                finding_note(judging->findings, finding, first->at.span, "the first one");
                passed = false;
                break;
            }
        }
    }
    return passed;
}

/* Whether two marks are the same, compared as names are. */
static bool is_alike(struct arena *arena, const struct model_text *a, const struct model_text *b)
{
    return a->at.state == MODEL_GIVEN && b->at.state == MODEL_GIVEN &&
           strcmp(rules_bare(arena, a), rules_bare(arena, b)) == 0;
}

bool rules_KNOWN_BLADES_ALIKE(struct rules_judging *judging, const struct rules_subject *subject)
{
    const struct model_stage *stage = subject->stage;
    bool passed = true;
    for (size_t i = 0; i < stage->known_blades.count; i++) {
        const struct model_known_blade *known = known_blade(stage, i);
        const struct model_text *like = NULL;
        const char *other = "blade one";
        if (known->blade.at.state != MODEL_GIVEN || known->blade.value == 1) {
            continue;
        }
        if (is_alike(judging->arena, &known->how, &stage->blade_one)) {
            like = &stage->blade_one;
        }
        for (size_t j = 0; !like && j < i; j++) {
            const struct model_known_blade *first = known_blade(stage, j);
            if (first->blade.at.state == MODEL_GIVEN && first->blade.value != known->blade.value &&
                is_alike(judging->arena, &known->how, &first->how)) {
                like = &first->how;
                other = arena_printf(judging->arena, "blade %" PRId64, first->blade.value);
            }
        }
        if (like) {
            struct finding *finding =
                finding_add(judging->findings, RULE_KNOWN_BLADES_ALIKE, known->how.at.span,
                            "blade %" PRId64 " has the same mark as %s: %s", known->blade.value,
                            other, known->how.text);
            finding_note(judging->findings, finding, like->at.span, "the mark of %s", other);
            passed = false;
        }
    }
    return passed;
}
