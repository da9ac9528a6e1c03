/*
 * documents.c - each part of a definition, with the document that it rests on.
 */
#include "model/documents.h"

struct walking {
    const struct model_engine *engine;
    model_resting_visit *visit;
    void *context;
};

/* `id` is where a part without `from` has its place. */
static void visit(const struct walking *walking, struct model_resting *resting,
                  const struct model_text *from, size_t index, const struct model_at *id)
{
    const struct model_engine *engine = walking->engine;
    bool named = from->at.state != MODEL_ABSENT;
    resting->from = from;
    resting->at = named ? from->at.span : id->span;
    if (named) {
        bool known = from->at.state == MODEL_GIVEN && index != SIZE_MAX;
        resting->document = known ? model_document(engine, index) : NULL;
    } else {
        resting->document = engine->documents.count == 1 ? model_document(engine, 0) : NULL;
    }
    walking->visit(walking->context, resting);
}

static const char *name_of(const struct model_text *id)
{
    return id->text ? id->text : "without an id";
}

static void visit_pad(const struct walking *walking, const struct model_pad *pad)
{
    struct model_resting whole = {
        .kind = "pad", .name = name_of(&pad->id), .must_tell = true, .pad = pad->id.text};
    visit(walking, &whole, &pad->from, pad->from_index, &pad->id.at);
    if (pad->path_from.at.state != MODEL_ABSENT) {
        struct model_resting path = {
            .kind = "path of pad", .name = name_of(&pad->id), .pad = pad->id.text};
        visit(walking, &path, &pad->path_from, pad->path_from_index, &pad->id.at);
    }
}

void model_each_resting(const struct model_engine *engine, const struct model_cross_check *second,
                        model_resting_visit *visit_resting, void *context)
{
    const struct walking walking = {engine, visit_resting, context};
    if (engine->documents.count == 0) {
        return;
    }
    for (size_t i = 0; i < engine->spools.count; i++) {
        const struct model_spool *spool = model_spool(engine, i);
        struct model_resting resting = {
            .kind = "spool", .name = name_of(&spool->id), .must_tell = true};
        visit(&walking, &resting, &spool->from, spool->from_index, &spool->id.at);
    }
    for (size_t i = 0; i < engine->stages.count; i++) {
        const struct model_stage *stage = model_stage(engine, i);
        struct model_resting resting = {.kind = "stage",
                                        .name = name_of(&stage->id),
                                        .must_tell = true,
                                        .stage = stage->id.text};
        visit(&walking, &resting, &stage->from, stage->from_index, &stage->id.at);
    }
    for (size_t i = 0; i < engine->pads.count; i++) {
        visit_pad(&walking, model_pad(engine, i));
    }
    for (size_t i = 0; i < engine->observations.count; i++) {
        const struct model_observation *observation = model_observation(engine, i);
        bool by_hand = observation->pad.at.state == MODEL_ABSENT;
        struct model_resting resting = {
            .kind = "observation", .number = i + 1, .pad = observation->pad.text};
        visit(&walking, &resting, &observation->from, observation->from_index,
              by_hand ? &observation->spool.at : &observation->pad.at);
    }
    if (second) {
        struct model_resting resting = {.kind = "cross-check"};
        visit(&walking, &resting, &second->from, second->from_index, &second->read_from.at);
    }
}

const char *model_resting_part(struct arena *arena, const struct model_resting *resting)
{
    if (resting->name) {
        return arena_printf(arena, "%s %s", resting->kind, resting->name);
    }
    return resting->number != 0 ? arena_printf(arena, "%s %zu", resting->kind, resting->number)
                                : resting->kind;
}
