#include "report/table.h"

#include "field/rotor_bytes.h"
#include "table/words.h"
#include "text/utf8.h"
#include "words/number.h"

#include <inttypes.h>
#include <string.h>

/* The state of the writer; texts live until an engine is written. */
struct writing {
    FILE *out;
    const struct rotor_table *table;
    struct rotor_device device;
    struct arena arena;
};

enum { STAGE_WIDTH = 6 };

static const char *clean(struct writing *w, const char *text)
{
    return text_clean(&w->arena, text);
}

static const char *word(enum table_code kind, uint8_t code, const char *none)
{
    const char *found = table_word_code(kind, code);
    return found ? found : none;
}

static const char *sense(uint8_t code)
{
    return word(TABLE_SENSE, code, "?");
}

static const char *decimal(struct writing *w, struct rotor_fraction fraction)
{
    return table_word_decimal(&w->arena, fraction, 4);
}

/* "2.2522, exactly 35816/15903", or the number alone where it is whole. */
static const char *exactly(struct writing *w, struct rotor_fraction fraction)
{
    const char *exact = table_word_fraction(&w->arena, fraction);
    return strchr(exact, '/')
               ? arena_printf(&w->arena, "%s, exactly %s", decimal(w, fraction), exact)
               : exact;
}

static void write_device(struct writing *w)
{
    const struct rotor_device *device = &w->device;
    const char *torque = word(TABLE_TORQUE_UNIT, device->torque_unit, "?");
    const char *speed = word(TABLE_SPEED_UNIT, device->speed_unit, "?");
    const struct rotor_fraction torque_step = {device->torque_num, device->torque_den};
    const struct rotor_fraction speed_step = {device->speed_num, device->speed_den};
    fprintf(w->out, "device %s: %s\n", clean(w, device->id), clean(w, device->name));
    fprintf(w->out, "  stepping  %s, %s counts a turn of its shaft, %u-bit counter\n",
            device->stepping == ROTOR_STEPPING_FIXED ? "fixed, one whole step repeated"
                                                     : "scheduled, remainders carried",
            exactly(w, device->counts), device->counter_bits);
    fprintf(w->out, "  positive  %s facing the pad\n", sense(device->positive));
    fprintf(w->out, "  square    %s\n", word(TABLE_SQUARE, device->square, "not stated"));
    fprintf(
        w->out, "  torque    %s to %s %s by %s\n",
        decimal(w, table_word_steps(device->torque_min, device->torque_num, device->torque_den)),
        decimal(w, table_word_steps(device->torque_max, device->torque_num, device->torque_den)),
        torque, decimal(w, torque_step));
    fprintf(w->out, "  speed     %s to %s %s by %s\n",
            decimal(w, table_word_steps(device->speed_min, device->speed_num, device->speed_den)),
            decimal(w, table_word_steps(device->speed_max, device->speed_num, device->speed_den)),
            speed, decimal(w, speed_step));
    fprintf(w->out, "  profile   sha256 %s\n",
            words_hex(&w->arena, device->digest, ROTOR_DIGEST_SIZE));
}

/* "1 2 3 ... 31" as the numbers pass a port. */
static const char *passing(struct writing *w, const struct rotor_stage *stage)
{
    uint32_t last = stage->blades;
    bool rising = stage->numbering == ROTOR_NUMBERED_AGAINST_ROTATION;
    if (last <= 4) {
        return rising ? "rising" : "falling";
    }
    return rising ? arena_printf(&w->arena, "1 2 3 ... %" PRIu32, last)
                  : arena_printf(&w->arena, "1 %" PRIu32 " %" PRIu32 " ... 2", last, last - 1);
}

static const char *ports(struct writing *w, const struct rotor_stage *stage)
{
    const char *text = stage->ports.count == 0 ? "" : ", seen through port ";
    for (uint32_t i = 0; i < stage->ports.count; i++) {
        struct rotor_port port;
        rotor_get_port(w->table, stage->ports.first + i, &port);
        text = arena_printf(&w->arena, "%s%s%s at %s", text, i == 0 ? "" : ", ", clean(w, port.id),
                            words_clock(&w->arena, port.clock));
    }
    return text;
}

static void write_stage(struct writing *w, uint32_t index)
{
    struct rotor_stage stage;
    rotor_get_stage(w->table, index, &stage);
    fprintf(w->out, "    %-*s  %s, %u blade%s passing %s%s\n", STAGE_WIDTH, clean(w, stage.id),
            word(TABLE_ROLE, stage.role, "?"), stage.blades, words_plural(stage.blades),
            passing(w, &stage), ports(w, &stage));
    if (*stage.blade_one || stage.clocking.den != 0) {
        fprintf(w->out, "    %-*s  blade one: %s", STAGE_WIDTH, "", clean(w, stage.blade_one));
        if (stage.clocking.den != 0) {
            fprintf(w->out, "%s%s deg ahead of the datum mark", *stage.blade_one ? ", " : "",
                    decimal(w, stage.clocking));
        }
        fputc('\n', w->out);
    }
    struct rotor_range range = rotor_known_blades(w->table, index);
    for (uint32_t i = 0; i < range.count; i++) {
        struct rotor_known_blade known;
        rotor_get_known_blade(w->table, range.first + i, &known);
        fprintf(w->out, "    %-*s  blade %u: %s\n", STAGE_WIDTH, "", known.blade,
                clean(w, known.how));
    }
}

static void write_spool(struct writing *w, const struct rotor_engine *engine, uint32_t index)
{
    struct rotor_spool spool;
    rotor_get_spool(w->table, index, &spool);
    fprintf(w->out, "\n  spool %s: %s aft looking forward%s\n", clean(w, spool.id),
            sense(spool.rotation), spool.never_backwards ? ", never turned backwards" : "");
    for (uint32_t i = 0; i < engine->stages.count; i++) {
        struct rotor_stage stage;
        rotor_get_stage(w->table, engine->stages.first + i, &stage);
        if (stage.spool == index) {
            write_stage(w, engine->stages.first + i);
        }
    }
}

static const char *path(struct writing *w, struct rotor_range range)
{
    const char *text = "";
    for (uint32_t i = 0; i < range.count; i++) {
        struct rotor_mesh mesh;
        rotor_get_mesh(w->table, range.first + i, &mesh);
        text = arena_printf(&w->arena, "%s%s%s", text, i == 0 ? "" : "; ",
                            table_word_mesh(&w->arena, &mesh));
    }
    return text;
}

static void write_coupling(struct writing *w, const struct rotor_pad *pad)
{
    const char *square = word(TABLE_SQUARE, pad->square, "not stated");
    const char *own = word(TABLE_SQUARE, pad->own_square, "not stated");
    fprintf(w->out, "    faces     %s\n", word(TABLE_DIRECTION, pad->faces, "not stated"));
    fprintf(w->out,
            "    turns     %s facing it, when the spool turns in its normal direction; drives %s\n",
            sense(pad->rotation),
            pad->drives == ROTOR_BOTH ? "both ways"
                                      : arena_printf(&w->arena, "%s only", sense(pad->drives)));
    fprintf(w->out, "    device    a rising count turns the spool %s\n",
            pad->positive > 0 ? "in its normal direction" : "backwards");
    if (pad->adapter.den == 0) {
        fprintf(w->out, "    square    %s\n", square);
        return;
    }
    fprintf(w->out, "    square    %s at the adapter, %s at the pad\n", square, own);
    fprintf(w->out, "    adapter   %s device turn%s a pad turn%s%s\n", exactly(w, pad->adapter),
            pad->adapter.num == pad->adapter.den ? "" : "s",
            pad->adapter_path.count == 0 ? "" : ": ", path(w, pad->adapter_path));
}

typedef const char *words_of_limit(struct arena *arena, struct exact_measure limit);

/*
 * "40 lbf.ft (54.2 N.m)": so many steps of the device, in its own unit and in the others.  A step
 * that does not fit 64 bits with a sign is in its own unit alone.
 */
static const char *limit(struct writing *w, uint32_t steps, struct rotor_fraction step,
                         const char *unit, words_of_limit *words)
{
    struct rotor_fraction value = table_word_steps(steps, (uint32_t)step.num, (uint32_t)step.den);
    struct exact_measure measure = {.unit = exact_unit_find(unit, strlen(unit))};
    return measure.unit != EXACT_UNIT_COUNT && table_fraction(value, &measure.value)
               ? words(&w->arena, measure)
               : arena_printf(&w->arena, "%s %s", decimal(w, value), unit);
}

static void write_limits(struct writing *w, const struct rotor_pad *pad)
{
    const struct rotor_device *device = &w->device;
    const struct rotor_fraction torque_step = {device->torque_num, device->torque_den};
    const struct rotor_fraction speed_step = {device->speed_num, device->speed_den};
    fprintf(w->out, "    torque    at most %s, %" PRIu32 " step%s\n",
            limit(w, pad->torque, torque_step, word(TABLE_TORQUE_UNIT, device->torque_unit, "?"),
                  words_torque),
            pad->torque, words_plural(pad->torque));
    fprintf(w->out, "    speed     at most %s, %" PRIu32 " step%s\n",
            limit(w, pad->speed, speed_step, word(TABLE_SPEED_UNIT, device->speed_unit, "?"),
                  words_speed),
            pad->speed, words_plural(pad->speed));
    if (pad->backlash == ROTOR_BACKLASH_UNKNOWN) {
        fputs("    backlash  not known: every move goes in the normal direction\n", w->out);
    } else {
        fprintf(w->out, "    backlash  %" PRIu32 " count%s\n", pad->backlash,
                words_plural(pad->backlash));
    }
}

static bool same(struct rotor_fraction a, struct rotor_fraction b)
{
    return a.num == b.num && a.den == b.den;
}

static void write_ratio(struct writing *w, const struct rotor_pad *pad)
{
    if (same(pad->turns_lo, pad->turns_hi)) {
        fprintf(w->out, "    ratio     %s pad turns a rotor turn\n", exactly(w, pad->turns_lo));
    } else {
        fprintf(w->out, "    ratio     rounded: %s to %s pad turns a rotor turn\n",
                table_word_decimal(&w->arena, pad->turns_lo, 9),
                table_word_decimal(&w->arena, pad->turns_hi, 9));
    }
    if (pad->path.count > 0) {
        fprintf(w->out, "    gears     %s\n", path(w, pad->path));
    }
    fprintf(w->out, "    counts    %s a rotor turn\n", exactly(w, pad->counts_per_rotor_turn));
    const char *lost = pad->drives == ROTOR_BOTH ? "" : ", and if the rotor ran on";
    if (pad->recheck == 0) {
        fprintf(w->out, "    find blade one again after slip or uncoupling%s\n", lost);
    } else {
        fprintf(w->out, "    find blade one again after %" PRIu32 " rotor turn%s%s\n", pad->recheck,
                words_plural(pad->recheck), lost);
    }
}

static void write_link(struct writing *w, uint32_t index)
{
    struct rotor_link link;
    struct rotor_stage stage;
    rotor_get_link(w->table, index, &link);
    rotor_get_stage(w->table, link.stage, &stage);
    fprintf(w->out, "      %-*s  %" PRIu32, STAGE_WIDTH, clean(w, stage.id), link.q);
    if (link.r != 0) {
        fprintf(w->out, " + %" PRIu32 "/%" PRIu32, link.r, link.d);
    }
    fputs(" counts a blade", w->out);
    for (uint32_t i = 0; i < link.datums.count; i++) {
        struct rotor_port port;
        uint32_t count = 0;
        rotor_get_port(w->table, stage.ports.first + i, &port);
        rotor_get_datum(w->table, link.datums.first + i, &count);
        fprintf(w->out, "%s%s %" PRIu32, i == 0 ? "; datum mark to blade one: " : ", ",
                clean(w, port.id), count);
    }
    fputc('\n', w->out);
}

static void write_pad(struct writing *w, uint32_t index)
{
    struct rotor_pad pad;
    struct rotor_spool spool;
    rotor_get_pad(w->table, index, &pad);
    rotor_get_spool(w->table, pad.spool, &spool);
    fprintf(w->out, "\n  pad %s, turns spool %s\n", clean(w, pad.id), clean(w, spool.id));
    write_coupling(w, &pad);
    write_limits(w, &pad);
    write_ratio(w, &pad);
    for (uint32_t i = 0; i < pad.links.count; i++) {
        write_link(w, pad.links.first + i);
    }
}

static void write_engine(struct writing *w, const struct table_names *names, uint32_t index)
{
    struct rotor_engine engine;
    rotor_get_engine(w->table, index, &engine);
    fprintf(w->out, "\nengine %s: %s, revision %" PRIu32 ", %s\n", clean(w, engine.id),
            clean(w, engine.name), engine.revision, word(TABLE_STATUS, engine.status, "?"));
    const char *models = "";
    for (uint32_t i = names->first[index]; i != ROTOR_NONE; i = names->next[i]) {
        struct rotor_name name;
        rotor_get_name(w->table, i, &name);
        if (strcmp(name.text, engine.id) != 0) { /* an engine is found by its id too */
            models =
                arena_printf(&w->arena, "%s%s%s", models, *models ? ", " : "", clean(w, name.text));
        }
    }
    fprintf(w->out, "  holds for %s\n", *models ? models : "not stated");
    fprintf(w->out, "  source    sha256 %s\n",
            words_hex(&w->arena, engine.digest, ROTOR_DIGEST_SIZE));
    if (engine.pads.count == 0) {
        fputs("  it has no pad, so the device cannot turn it\n", w->out);
    }
    for (uint32_t i = 0; i < engine.spools.count; i++) {
        write_spool(w, &engine, engine.spools.first + i);
    }
    for (uint32_t i = 0; i < engine.pads.count; i++) {
        write_pad(w, engine.pads.first + i);
    }
}

void report_table_text(FILE *out, const struct rotor_table *table)
{
    struct arena arena = {.newest = NULL};
    struct writing w = {.out = out, .table = table};
    struct table_names names = table_names(&arena, table);
    uint32_t engines = rotor_count(table, ROTOR_KIND_ENGINES);
    rotor_get_device(table, &w.device);
    fprintf(out, "rotor table, format %u, %" PRIu32 " bytes, %" PRIu32 " engine%s%s\n\n",
            rotor_u16(table->bytes + ROTOR_HEADER_VERSION), table->length, engines,
            words_plural(engines), table->signature != 0 ? ", signed" : "");
    write_device(&w);
    for (uint32_t i = 0; i < engines; i++) {
        write_engine(&w, &names, i);
        arena_free(&w.arena);
    }
    arena_free(&w.arena);
    arena_free(&arena);
}
