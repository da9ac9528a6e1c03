/*
 * view.c - the sides of a comparison, and the view of a definition.
 */
#include "compare/view.h"

#include "turning/where.h"
#include "words/name.h"

#include <stdlib.h>
#include <string.h>

struct compare_engine *compare_side_grow(struct compare_side *side)
{
    side->engines =
        arena_grow(side->arena, side->engines, side->count, &side->capacity, sizeof *side->engines);
    struct compare_engine *engine = &side->engines[side->count++];
    *engine = (struct compare_engine){.id = ""};
    return engine;
}

void compare_add_unknown(struct compare_side *side, const char *id, const char *path,
                         const char *why)
{
    struct arena *arena = side->arena;
    struct text_file *file = arena_alloc(arena, sizeof *file);
    file->path = arena_copy(arena, path, strlen(path));
    struct compare_engine *engine = compare_side_grow(side);
    engine->id = arena_copy(arena, id, strlen(id));
    engine->unknown = arena_copy(arena, why, strlen(why));
    engine->revision_at.file = file;
}

/*
 * Definitions that share an id keep the order of their files, so that the order is always the same.
 */
static int by_id(const void *a, const void *b)
{
    const struct compare_engine *left = a;
    const struct compare_engine *right = b;
    int order = strcmp(left->id, right->id);
    return order != 0 ? order : memcmp(left->digest, right->digest, sizeof left->digest);
}

void compare_side_sort(struct compare_side *side)
{
    if (side->count > 1) {
        qsort(side->engines, side->count, sizeof *side->engines, by_id);
    }
}

static int by_bytes(const void *a, const void *b)
{
    return strcmp(*(const char *const *)a, *(const char *const *)b);
}

void compare_settle_designations(struct compare_engine *engine)
{
    size_t kept = 0;
    const char **names = engine->designations;
    if (engine->designation_count > 1) {
        qsort(names, engine->designation_count, sizeof *names, by_bytes);
    }
    for (size_t i = 0; i < engine->designation_count; i++) {
        bool again = kept > 0 && strcmp(names[kept - 1], names[i]) == 0;
        if (!again && strcmp(names[i], engine->id) != 0) {
            names[kept++] = names[i];
        }
    }
    engine->designation_count = kept;
}

/* ---- a definition -----------------------------------------------------------------------------
 */

static const char *copy(struct arena *arena, const struct model_text *text)
{
    return text->at.state == MODEL_GIVEN ? arena_copy(arena, text->text, text->length) : "";
}

static int word_or(const struct model_code *word, int otherwise)
{
    return word->at.state == MODEL_GIVEN ? word->value : otherwise;
}

/* The safe end of a quantity, if it is given. */
static struct compare_limit limit_of(const struct model_quantity *quantity)
{
    struct compare_limit limit = {.given = quantity->at.state == MODEL_GIVEN};
    if (limit.given) {
        limit.value = (struct exact_measure){quantity->range.hi, quantity->written.unit};
    }
    return limit;
}

static void view_spools(struct arena *arena, const struct model_engine *model,
                        struct compare_engine *out)
{
    out->spool_count = model->spools.count;
    out->spools = arena_array(arena, out->spool_count + 1, sizeof *out->spools);
    for (size_t i = 0; i < out->spool_count; i++) {
        const struct model_spool *spool = model_spool(model, i);
        out->spools[i] = (struct compare_spool){
            .id = copy(arena, &spool->id),
            .sign = model_spool_sign(spool),
            .never_backwards = word_or(&spool->never_backwards, 0) != 0,
            .by_hand = spool->turned_by.at.state == MODEL_GIVEN,
            .speed = limit_of(&spool->max_speed),
        };
    }
}

static void view_ports(struct arena *arena, const struct model_stage *stage,
                       struct compare_stage *out)
{
    out->port_count = stage->ports.count;
    out->ports = arena_array(arena, out->port_count + 1, sizeof *out->ports);
    for (size_t i = 0; i < out->port_count; i++) {
        const struct model_port *port = MODEL_ITEM(stage->ports, struct model_port, i);
        out->ports[i] = (struct compare_port){copy(arena, &port->id), port->clock.minutes.value};
    }
}

static int by_blade(const void *a, const void *b)
{
    const struct compare_known_blade *left = a;
    const struct compare_known_blade *right = b;
    return left->blade < right->blade ? -1 : left->blade > right->blade;
}

/* Rising by blade: the order of the list has no meaning. */
static void view_known_blades(struct arena *arena, const struct model_stage *stage,
                              struct compare_stage *out)
{
    out->known_count = stage->known_blades.count;
    out->known_blades = arena_array(arena, out->known_count + 1, sizeof *out->known_blades);
    for (size_t i = 0; i < out->known_count; i++) {
        const struct model_known_blade *known =
            MODEL_ITEM(stage->known_blades, struct model_known_blade, i);
        out->known_blades[i] =
            (struct compare_known_blade){known->blade.value, copy(arena, &known->how)};
    }
    if (out->known_count > 1) {
        qsort(out->known_blades, out->known_count, sizeof *out->known_blades, by_blade);
    }
}

static bool view_stages(struct arena *arena, const struct model_engine *model,
                        struct compare_engine *out)
{
    out->stage_count = model->stages.count;
    out->stages = arena_array(arena, out->stage_count + 1, sizeof *out->stages);
    for (size_t i = 0; i < out->stage_count; i++) {
        const struct model_stage *stage = model_stage(model, i);
        struct compare_stage *view = &out->stages[i];
        *view = (struct compare_stage){
            .id = copy(arena, &stage->id),
            .spool = stage->spool_index,
            .role = (enum model_role)stage->role.value,
            .numbering = (enum model_numbering)stage->numbering.word.value,
            .blades = stage->blades.value,
            .blade_one = copy(arena, &stage->blade_one),
            .clocked = stage->clocking.at.state == MODEL_GIVEN,
            .clocking = {0, 1},
        };
        view_known_blades(arena, stage, view);
        view_ports(arena, stage, view);
        struct exact_interval degrees;
        if (view->clocked && (!model_quantity_in(&stage->clocking, EXACT_DEG, &degrees) ||
                              !turning_within_turn(degrees.lo, &view->clocking))) {
            return false;
        }
    }
    return true;
}

/* `steps` whole multiples of a resolution. */
static bool steps_of(const struct model_quantity *step, int64_t steps, struct compare_limit *out)
{
    out->given = true;
    out->value.unit = step->written.unit;
    return exact_mul(exact_whole(steps), step->written.stated, &out->value.value);
}

static bool view_step(const struct model_pair *pair, struct compare_step *out)
{
    struct exact_rational part;
    out->stage = pair->stage;
    return exact_make(pair->schedule.num, pair->schedule.den, &part) &&
           exact_add(exact_whole(pair->schedule.whole), part, &out->counts);
}

/* What does not fit this device stays unknown: the rules report it. */
static bool view_on(struct arena *arena, const struct model_pad_on_device *on,
                    const struct model_device *device, struct compare_on_device *out)
{
    out->known = on->known;
    if (!on->known) {
        return on->excess == MODEL_NO_EXCESS;
    }
    out->counts_per_turn = on->counts_per_turn;
    out->backlash_known = on->backlash_known;
    out->backlash_counts = on->backlash_counts;
    out->recheck_turns = on->recheck_turns;
    if ((on->torque_known &&
         !steps_of(&device->torque.resolution, on->torque_steps, &out->torque)) ||
        !steps_of(&device->speed.resolution, on->speed_steps, &out->speed)) {
        return false;
    }
    out->step_count = on->pair_count;
    out->steps = arena_array(arena, on->pair_count + 1, sizeof *out->steps);
    for (size_t i = 0; i < on->pair_count; i++) {
        if (!view_step(&on->pairs[i], &out->steps[i])) {
            return false;
        }
    }
    return true;
}

/* The greatest backlash, in degrees, so that both sides have one unit. */
static bool backlash_of(const struct model_quantity *backlash, struct compare_limit *out)
{
    struct exact_interval degrees;
    out->given = backlash->at.state == MODEL_GIVEN;
    if (out->given) {
        if (!model_quantity_in(backlash, EXACT_DEG, &degrees)) {
            return false;
        }
        out->value = (struct exact_measure){degrees.hi, EXACT_DEG};
    }
    return true;
}

static bool view_pad(struct arena *arena, const struct model_pad *pad,
                     const struct model_pad_facts *facts, struct compare_pad *out)
{
    *out = (struct compare_pad){
        .id = copy(arena, &pad->id),
        .spool = pad->spool_index,
        .faces = (enum turning_direction)word_or(&pad->faces, TURNING_NOWHERE),
        .sign = model_pad_sign(pad),
        .drives = (enum model_drives)word_or(&pad->drives, MODEL_DRIVES_BOTH),
        .square = word_or(&pad->square, COMPARE_NO_SQUARE),
        .ratio = facts->ratio,
        .used = facts->used,
        .torque = limit_of(&pad->torque_limit),
        .adapted = pad->adapter.at.state == MODEL_GIVEN,
        .adapter_ratio = facts->adapter_ratio,
        .adapter_sign = facts->adapter_sign,
        .adapter_square = word_or(&pad->adapter.square, COMPARE_NO_SQUARE),
        .adapter_torque = limit_of(&pad->adapter.torque_limit),
    };
    return facts->ratio_known && facts->adapter_known && !facts->overflow &&
           backlash_of(&pad->backlash, &out->backlash) &&
           backlash_of(&pad->adapter.backlash, &out->adapter_backlash);
}

static void view_names(struct arena *arena, const struct model_engine *model,
                       struct compare_engine *out)
{
    out->id = copy(arena, &model->id);
    out->name = copy(arena, &model->name);
    out->source = copy(arena, &model->source);
    out->designation_count = model->models.count;
    out->designations = arena_array(arena, model->models.count + 1, sizeof *out->designations);
    for (size_t i = 0; i < model->models.count; i++) {
        out->designations[i] = copy(arena, MODEL_ITEM(model->models, struct model_text, i));
    }
    compare_settle_designations(out);
    out->revision = model->revision.value;
    out->status = (enum model_status)model->status.value;
}

/* The side keeps the file, because a finding shows its line. */
static struct span keep_place(struct arena *arena, const struct text_file *file, struct span at)
{
    struct text_file *kept = arena_alloc(arena, sizeof *kept);
    kept->path = arena_copy(arena, file->path, strlen(file->path));
    kept->bytes = arena_copy(arena, file->bytes, file->length);
    kept->length = file->length;
    at.file = kept;
    return at;
}

bool compare_add_model(struct compare_side *side, const struct model_source *source,
                       const struct model_engine_facts *facts, const struct model_on_device *on,
                       const struct model_device *device)
{
    const struct model_engine *model = source->engine;
    struct arena *arena = side->arena;
    struct compare_engine view = {.id = ""};
    view_names(arena, model, &view);
    view_spools(arena, model, &view);
    if (!view_stages(arena, model, &view)) {
        return false;
    }
    view.pad_count = model->pads.count;
    view.pads = arena_array(arena, view.pad_count + 1, sizeof *view.pads);
    for (size_t i = 0; i < view.pad_count; i++) {
        const struct model_pad *pad = model_pad(model, i);
        if (!view_pad(arena, pad, &facts->pads[i], &view.pads[i]) ||
            (on && !view_on(arena, &on->pads[i], device, &view.pads[i].on))) {
            return false;
        }
    }
    text_digest_source(source->file.bytes, source->file.length, view.digest);
    view.revision_at = keep_place(arena, &source->file, model->revision.at.span);
    *compare_side_grow(side) = view;
    return true;
}

void compare_add_cross_check(struct compare_side *side, const struct model_source *cross_check)
{
    struct compare_cross_check *out = &side->engines[side->count - 1].cross_check;
    if (!cross_check) {
        return;
    }
    const struct model_cross_check *second = cross_check->cross_check;
    text_digest_source(cross_check->file.bytes, cross_check->file.length, out->digest);
    out->what = second && second->of.revision.at.state == MODEL_GIVEN &&
                        second->read_on.at.state == MODEL_GIVEN
                    ? arena_printf(side->arena, "revision %lld, read on %s",
                                   (long long)second->of.revision.value,
                                   words_date(side->arena, second->read_on.value))
                    : "it cannot be read";
}
