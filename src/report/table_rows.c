#include "report/table_rows.h"

#include "report/clean.h"
#include "table/words.h"

#include <inttypes.h>

static void add(struct report_rows *rows, const char *field, const char *value)
{
    rows->items =
        arena_grow(rows->arena, rows->items, rows->count, &rows->capacity, sizeof *rows->items);
    rows->items[rows->count++] = (struct report_row){rows->place, field, value};
}

static void add_text(struct report_rows *rows, const char *field, const char *text)
{
    add(rows, field, *text ? report_clean(rows->arena, text) : "none");
}

static void add_code(struct report_rows *rows, const char *field, enum table_code kind,
                     uint8_t code)
{
    const char *word = table_word_code(kind, code);
    add(rows, field, word ? word : "none");
}

static void add_number(struct report_rows *rows, const char *field, uint64_t value)
{
    add(rows, field, arena_printf(rows->arena, "%" PRIu64, value));
}

static void add_fraction(struct report_rows *rows, const char *field,
                         struct rotor_fraction fraction)
{
    add(rows, field, fraction.den == 0 ? "none" : table_word_fraction(rows->arena, fraction));
}

static const char *torque(struct report_rows *rows, uint32_t steps)
{
    const struct rotor_device *device = &rows->device;
    return arena_printf(
        rows->arena, "%s %s",
        table_word_fraction(rows->arena, table_word_steps(steps, device->torque_num, device->torque_den)),
        table_word_code(TABLE_TORQUE_UNIT, device->torque_unit));
}

static const char *speed(struct report_rows *rows, uint32_t steps)
{
    const struct rotor_device *device = &rows->device;
    return arena_printf(
        rows->arena, "%s %s",
        table_word_fraction(rows->arena, table_word_steps(steps, device->speed_num, device->speed_den)),
        table_word_code(TABLE_SPEED_UNIT, device->speed_unit));
}

struct report_rows report_device_rows(const struct rotor_table *table, struct arena *arena)
{
    struct report_rows rows = {.arena = arena, .table = table, .place = "device"};
    struct rotor_device *device = &rows.device;
    rotor_get_device(table, device);
    add_text(&rows, "id", device->id);
    add_text(&rows, "name", device->name);
    add_code(&rows, "stepping", TABLE_STEPPING, device->stepping);
    add_code(&rows, "positive rotation", TABLE_SENSE, device->positive);
    add_number(&rows, "counter bits", device->counter_bits);
    add_fraction(&rows, "counts per turn of its shaft", device->counts);
    add_code(&rows, "square", TABLE_SQUARE, device->square);
    add(&rows, "torque resolution", torque(&rows, 1));
    add(&rows, "least torque", torque(&rows, device->torque_min));
    add(&rows, "greatest torque", torque(&rows, device->torque_max));
    add(&rows, "speed resolution", speed(&rows, 1));
    add(&rows, "least speed", speed(&rows, device->speed_min));
    add(&rows, "greatest speed", speed(&rows, device->speed_max));
    add(&rows, "digest of its profile", table_word_hex(arena, device->digest));
    return rows;
}

static void add_spool(struct report_rows *rows, uint32_t index)
{
    struct rotor_spool spool;
    rotor_get_spool(rows->table, index, &spool);
    rows->place = arena_printf(rows->arena, "spool %s", report_clean(rows->arena, spool.id));
    add_code(rows, "rotation aft looking forward", TABLE_SENSE, spool.rotation);
    add(rows, "never backwards", spool.never_backwards ? "yes" : "no");
}

/* The spool a stage sits on or a pad turns. */
static void add_spool_of(struct report_rows *rows, uint32_t index)
{
    struct rotor_spool spool;
    rotor_get_spool(rows->table, index, &spool);
    add_text(rows, "spool", spool.id);
}

static void add_stage(struct report_rows *rows, uint32_t index)
{
    struct rotor_stage stage;
    const char *ports = "";
    rotor_get_stage(rows->table, index, &stage);
    rows->place = arena_printf(rows->arena, "stage %s", report_clean(rows->arena, stage.id));
    add_spool_of(rows, stage.spool);
    add_code(rows, "role", TABLE_ROLE, stage.role);
    add_number(rows, "blades", stage.blades);
    add_code(rows, "numbering", TABLE_NUMBERING, stage.numbering);
    add_text(rows, "blade one", stage.blade_one);
    add_fraction(rows, "clocking in degrees", stage.clocking);
    for (uint32_t i = 0; i < stage.ports.count; i++) {
        struct rotor_port port;
        rotor_get_port(rows->table, stage.ports.first + i, &port);
        ports = arena_printf(rows->arena, "%s%s%s at %s", ports, i == 0 ? "" : ", ", port.id,
                             table_word_clock(rows->arena, port.clock));
    }
    add_text(rows, "ports", ports);
}

static void add_path(struct report_rows *rows, const char *field, struct rotor_run run)
{
    const char *text = "";
    for (uint32_t i = 0; i < run.count; i++) {
        struct rotor_mesh m;
        rotor_get_mesh(rows->table, run.first + i, &m);
        text = arena_printf(rows->arena, "%s%s%s", text, i == 0 ? "" : "; ",
                            table_word_mesh(rows->arena, &m));
    }
    add(rows, field, *text ? text : "none");
}

static void add_link(struct report_rows *rows, const char *pad, uint32_t index)
{
    struct rotor_link link;
    struct rotor_stage stage;
    const char *datums = "";
    rotor_get_link(rows->table, index, &link);
    rotor_get_stage(rows->table, link.stage, &stage);
    rows->place = arena_printf(rows->arena, "stage %s through pad %s",
                               report_clean(rows->arena, stage.id), pad);
    add(rows, "counts from blade to blade",
        link.r == 0 ? arena_printf(rows->arena, "%" PRIu32, link.q)
                    : arena_printf(rows->arena, "%" PRIu32 " + %" PRIu32 "/%" PRIu32, link.q,
                                   link.r, link.d));
    add_code(rows, "order of the blades", TABLE_ORDER, link.order);
    for (uint32_t i = 0; i < link.datums.count; i++) {
        uint32_t count = 0;
        rotor_get_datum(rows->table, link.datums.first + i, &count);
        datums = arena_printf(rows->arena, "%s%s%" PRIu32, datums, i == 0 ? "" : ", ", count);
    }
    add(rows, "counts from the datum mark to blade one", *datums ? datums : "none");
}

static void add_pad(struct report_rows *rows, uint32_t index)
{
    struct rotor_pad pad;
    rotor_get_pad(rows->table, index, &pad);
    const char *id = report_clean(rows->arena, pad.id);
    rows->place = arena_printf(rows->arena, "pad %s", id);
    add_spool_of(rows, pad.spool);
    add_code(rows, "faces", TABLE_DIRECTION, pad.faces);
    add_code(rows, "rotation facing the pad", TABLE_SENSE, pad.rotation);
    add_code(rows, "drives", TABLE_SENSE, pad.drives);
    add(rows, "a rising count turns the spool", pad.positive > 0 ? "its normal way" : "backwards");
    add_code(rows, "square the device couples to", TABLE_SQUARE, pad.square);
    add_code(rows, "square of the pad", TABLE_SQUARE, pad.own_square);
    add(rows, "torque limit", torque(rows, pad.torque));
    add(rows, "speed limit", speed(rows, pad.speed));
    if (pad.lash == ROTOR_LASH_UNKNOWN) {
        add(rows, "lash in counts", "not known");
    } else {
        add_number(rows, "lash in counts", pad.lash);
    }
    add_number(rows, "rotor turns until blade one is found again, 0 never", pad.recheck);
    add_fraction(rows, "counts per rotor turn", pad.counts_per_rotor_turn);
    add_fraction(rows, "least pad turns per rotor turn", pad.turns_lo);
    add_fraction(rows, "greatest pad turns per rotor turn", pad.turns_hi);
    add_fraction(rows, "device turns per pad turn", pad.adapter);
    add_path(rows, "gears", pad.path);
    add_path(rows, "gears of the adapter", pad.adapter_path);
    for (uint32_t i = 0; i < pad.links.count; i++) {
        add_link(rows, id, pad.links.first + i);
    }
}

/* The ids of an engine's things in their order: what is on one side only shows, and what moved. */
static void add_order(struct report_rows *rows, const struct rotor_engine *engine)
{
    const char *spools = "";
    const char *stages = "";
    const char *pads = "";
    for (uint32_t i = 0; i < engine->spools.count; i++) {
        struct rotor_spool spool;
        rotor_get_spool(rows->table, engine->spools.first + i, &spool);
        spools = arena_printf(rows->arena, "%s%s%s", spools, i == 0 ? "" : ", ", spool.id);
    }
    for (uint32_t i = 0; i < engine->stages.count; i++) {
        struct rotor_stage stage;
        rotor_get_stage(rows->table, engine->stages.first + i, &stage);
        stages = arena_printf(rows->arena, "%s%s%s", stages, i == 0 ? "" : ", ", stage.id);
    }
    for (uint32_t i = 0; i < engine->pads.count; i++) {
        struct rotor_pad pad;
        rotor_get_pad(rows->table, engine->pads.first + i, &pad);
        pads = arena_printf(rows->arena, "%s%s%s", pads, i == 0 ? "" : ", ", pad.id);
    }
    add_text(rows, "spools", spools);
    add_text(rows, "stages", stages);
    add_text(rows, "pads", pads);
}

struct report_rows report_engine_rows(const struct rotor_table *table, uint32_t engine,
                                      const char *designations, struct arena *arena)
{
    struct report_rows rows = {.arena = arena, .table = table, .place = ""};
    struct rotor_engine record;
    rotor_get_device(table, &rows.device);
    rotor_get_engine(table, engine, &record);
    add_text(&rows, "name", record.name);
    add(&rows, "designations", designations);
    add_number(&rows, "revision", record.revision);
    add_code(&rows, "status", TABLE_STATUS, record.status);
    add(&rows, "digest of its definition", table_word_hex(arena, record.digest));
    add_order(&rows, &record);
    for (uint32_t i = 0; i < record.spools.count; i++) {
        add_spool(&rows, record.spools.first + i);
    }
    for (uint32_t i = 0; i < record.stages.count; i++) {
        add_stage(&rows, record.stages.first + i);
    }
    for (uint32_t i = 0; i < record.pads.count; i++) {
        add_pad(&rows, record.pads.first + i);
    }
    return rows;
}
