/*
 * view_table.c - the view of every engine of a table, through the device's own reader.
 */
#include "compare/view.h"

#include "table/replay.h"
#include "text/file.h"

#include <string.h>

static int sign_of(uint8_t sense)
{
    return sense == ROTOR_CW ? 1 : -1;
}

static int square_of(uint8_t code)
{
    return code == ROTOR_SQUARE_NONE ? COMPARE_NO_SQUARE : table_code_value(TABLE_SQUARE, code);
}

static void view_spools(struct arena *arena, const struct rotor_table *table,
                        struct rotor_range range, struct compare_engine *out)
{
    out->spool_count = range.count;
    out->spools = arena_array(arena, range.count + (size_t)1, sizeof *out->spools);
    for (uint32_t i = 0; i < range.count; i++) {
        struct rotor_spool spool;
        rotor_get_spool(table, range.first + i, &spool);
        out->spools[i] = (struct compare_spool){.id = spool.id,
                                                .sign = sign_of(spool.rotation),
                                                .never_backwards = spool.never_backwards};
    }
}

static bool view_stage(struct arena *arena, const struct rotor_table *table,
                       const struct rotor_engine *engine, uint32_t index, struct compare_stage *out)
{
    struct rotor_stage stage;
    rotor_get_stage(table, index, &stage);
    *out = (struct compare_stage){
        .id = stage.id,
        .spool = stage.spool - engine->spools.first,
        .role = (enum model_role)table_code_value(TABLE_ROLE, stage.role),
        .numbering = (enum model_numbering)table_code_value(TABLE_NUMBERING, stage.numbering),
        .blades = stage.blades,
        .blade_one = stage.blade_one,
        .port_count = stage.ports.count,
        .clocked = stage.clocking.den != 0,
        .clocking = {0, 1},
    };
    struct rotor_range known = rotor_known_blades(table, index);
    out->known_count = known.count;
    out->known_blades = arena_array(arena, known.count + (size_t)1, sizeof *out->known_blades);
    for (uint32_t i = 0; i < known.count; i++) {
        struct rotor_known_blade blade;
        rotor_get_known_blade(table, known.first + i, &blade);
        out->known_blades[i] = (struct compare_known_blade){blade.blade, blade.how};
    }
    out->ports = arena_array(arena, stage.ports.count + (size_t)1, sizeof *out->ports);
    for (uint32_t i = 0; i < stage.ports.count; i++) {
        struct rotor_port port;
        rotor_get_port(table, stage.ports.first + i, &port);
        out->ports[i] = (struct compare_port){port.id, port.clock};
    }
    return !out->clocked || table_fraction(stage.clocking, &out->clocking);
}

static bool view_steps(struct arena *arena, const struct rotor_table *table,
                       const struct rotor_engine *engine, struct rotor_range links,
                       struct compare_on_device *out)
{
    out->step_count = links.count;
    out->steps = arena_array(arena, links.count + (size_t)1, sizeof *out->steps);
    for (uint32_t i = 0; i < links.count; i++) {
        struct rotor_link link;
        struct exact_rational part;
        rotor_get_link(table, links.first + i, &link);
        out->steps[i].stage = link.stage - engine->stages.first;
        if (!exact_make(link.r, link.d, &part) ||
            !exact_add(exact_whole(link.q), part, &out->steps[i].counts)) {
            return false;
        }
    }
    return true;
}

static bool limit_of(uint32_t steps, uint32_t num, uint32_t den, enum exact_unit unit,
                     struct compare_limit *out)
{
    out->given = true;
    out->value.unit = unit;
    return exact_make((exact_wide)steps * num, den, &out->value.value);
}

static bool view_on(struct arena *arena, const struct rotor_table *table,
                    const struct rotor_device *device, const struct rotor_engine *engine,
                    const struct rotor_pad *pad, struct compare_on_device *out)
{
    out->known = true;
    out->backlash_known = pad->backlash != ROTOR_BACKLASH_UNKNOWN;
    out->backlash_counts = out->backlash_known ? pad->backlash : 0;
    out->recheck_turns = pad->recheck;
    return table_fraction(pad->counts_per_rotor_turn, &out->counts_per_turn) &&
           limit_of(pad->torque, device->torque_num, device->torque_den,
                    (enum exact_unit)table_code_value(TABLE_TORQUE_UNIT, device->torque_unit),
                    &out->torque) &&
           limit_of(pad->speed, device->speed_num, device->speed_den,
                    (enum exact_unit)table_code_value(TABLE_SPEED_UNIT, device->speed_unit),
                    &out->speed) &&
           view_steps(arena, table, engine, pad->links, out);
}

/* G, from the counts per rotor turn: K / (counts A). */
static bool used_ratio(const struct compare_device *device, struct compare_pad *pad)
{
    struct exact_rational shaft;
    if (exact_is_point(pad->ratio)) {
        pad->used = pad->ratio.lo;
        return true;
    }
    return exact_mul(device->counts, pad->adapter_ratio, &shaft) &&
           exact_div(pad->on.counts_per_turn, shaft, &pad->used);
}

static bool view_pad(struct arena *arena, const struct rotor_table *table,
                     const struct compare_device *own, const struct rotor_engine *engine,
                     uint32_t index, struct compare_pad *out)
{
    struct rotor_device device;
    struct rotor_pad pad;
    rotor_get_device(table, &device);
    rotor_get_pad(table, index, &pad);
    *out = (struct compare_pad){
        .id = pad.id,
        .spool = pad.spool - engine->spools.first,
        .faces = table_direction_of(pad.faces),
        .sign = sign_of(pad.rotation),
        .drives = (enum model_drives)table_code_value(TABLE_SENSE, pad.drives),
        .square = square_of(pad.own_square),
        .adapted = pad.adapter.den != 0,
        .adapter_ratio = {1, 1},
        .adapter_square = COMPARE_NO_SQUARE,
    };
    if (out->adapted) {
        out->adapter_square = square_of(pad.square);
        if (!table_fraction(pad.adapter, &out->adapter_ratio)) {
            return false;
        }
    }
    /*
     * Whether the device's positive rotation turns the spool in its normal direction, through pad
     * and adapter.
     */
    out->adapter_sign = own->positive * out->sign * pad.positive;
    return table_fraction(pad.turns_lo, &out->ratio.lo) &&
           table_fraction(pad.turns_hi, &out->ratio.hi) &&
           view_on(arena, table, &device, engine, &pad, &out->on) && used_ratio(own, out);
}

/* Gives each engine the names that lead to it, in one walk over the names. */
static void view_names(struct arena *arena, const struct rotor_table *table,
                       struct compare_engine *engines, uint32_t engine_count)
{
    uint32_t names = rotor_count(table, ROTOR_KIND_NAMES);
    struct rotor_name name;
    size_t *counts = arena_array(arena, engine_count + (size_t)1, sizeof *counts);
    for (uint32_t i = 0; i < names; i++) {
        rotor_get_name(table, i, &name);
        counts[name.engine]++;
    }
    for (uint32_t i = 0; i < engine_count; i++) {
        engines[i].designations =
            arena_array(arena, counts[i] + 1, sizeof *engines[i].designations);
    }
    for (uint32_t i = 0; i < names; i++) {
        rotor_get_name(table, i, &name);
        struct compare_engine *engine = &engines[name.engine];
        engine->designations[engine->designation_count++] = name.text;
        engine->names =
            *engine->names ? arena_printf(arena, "%s, %s", engine->names, name.text) : name.text;
    }
    for (uint32_t i = 0; i < engine_count; i++) {
        compare_settle_designations(&engines[i]);
    }
}

static bool view_engine(struct compare_side *side, const struct rotor_table *table, uint32_t index,
                        struct compare_engine *out)
{
    struct arena *arena = side->arena;
    struct rotor_engine engine;
    rotor_get_engine(table, index, &engine);
    out->id = engine.id;
    out->name = engine.name;
    out->in_table = true;
    out->table = table;
    out->index = index;
    out->names = "";
    out->source = "";
    out->revision = engine.revision;
    out->status = (enum model_status)table_code_value(TABLE_STATUS, engine.status);
    memcpy(out->digest, engine.digest, sizeof out->digest);
    view_spools(arena, table, engine.spools, out);
    out->stage_count = engine.stages.count;
    out->stages = arena_array(arena, out->stage_count + 1, sizeof *out->stages);
    for (uint32_t i = 0; i < engine.stages.count; i++) {
        if (!view_stage(arena, table, &engine, engine.stages.first + i, &out->stages[i])) {
            return false;
        }
    }
    out->pad_count = engine.pads.count;
    out->pads = arena_array(arena, out->pad_count + 1, sizeof *out->pads);
    for (uint32_t i = 0; i < engine.pads.count; i++) {
        if (!view_pad(arena, table, &side->device, &engine, engine.pads.first + i, &out->pads[i])) {
            return false;
        }
    }
    return true;
}

bool compare_add_table(struct compare_side *side, const struct rotor_table *table,
                       const struct text_file *file, const char **at)
{
    struct rotor_device device;
    rotor_get_device(table, &device);
    side->is_table = true;
    side->table = table;
    side->device = (struct compare_device){.id = device.id,
                                           .positive = sign_of(device.positive),
                                           .fixed = device.stepping == ROTOR_STEPPING_FIXED};
    memcpy(side->device.digest, device.digest, sizeof side->device.digest);
    text_digest_bytes(table->bytes, table->length, side->digest);
    *at = device.id;
    if (!table_fraction(device.counts, &side->device.counts)) {
        return false;
    }
    uint32_t engines = rotor_count(table, ROTOR_KIND_ENGINES);
    for (uint32_t i = 0; i < engines; i++) {
        struct compare_engine *engine = compare_side_grow(side);
        if (!view_engine(side, table, i, engine)) {
            *at = engine->id;
            return false;
        }
        engine->revision_at = text_file_span(file);
    }
    view_names(side->arena, table, side->engines, engines);
    return true;
}
