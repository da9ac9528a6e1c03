/*
 * facts.c - the content of a setup sheet around its pads: spools, observations, sources, stages.
 */
#include "sheet/facts.h"

#include "model/observed.h"
#include "turning/schedule.h"
#include "turning/where.h"
#include "words/port.h"
#include "words/reading.h"

#include <inttypes.h>
#include <stdarg.h>
#include <string.h>

const char *sheet_edition(const struct sheet *sheet)
{
    return sheet_say(sheet, "revision %" PRId64 ", %s", sheet->derived->engine->revision.value,
                     words_status((enum model_status)sheet->derived->engine->status.value));
}

bool sheet_is_driven(const struct sheet *sheet, size_t spool)
{
    return model_pad_of_spool(sheet->derived->engine, spool) != NULL;
}

const char *sheet_spool_way(const struct sheet *sheet, size_t spool)
{
    const struct model_spool *model = model_spool(sheet->derived->engine, spool);
    return sheet_say(
        sheet, "%s turns %s%s, seen %s", model->id.text, words_sense(model_spool_sign(model)),
        sheet_mark(sheet, MODEL_SPOOLS, spool, "rotation"), words_view(MODEL_AFT_LOOKING_FORWARD));
}

/* What to say of a measurement of the ratio that proves nothing. */
static const char *if_coarse(const struct sheet *sheet, const struct model_observation *observation,
                             enum model_measure measure)
{
    const struct model_derived *derived = sheet->derived;
    return model_proves_ratio(derived->engine, &derived->facts, observation, measure)
               ? ""
               : " (too coarse to prove the ratio)";
}

/* "blade 1 of C-1 at A and blade 20 of C-3 at C at the same count" */
static const char *say_together(const struct sheet *sheet, const struct model_list *together)
{
    const char *text = "";
    for (size_t i = 0; i < together->count; i++) {
        const struct model_at_port *at = MODEL_ITEM(*together, struct model_at_port, i);
        text = sheet_say(sheet, "%s%sblade %" PRId64 " of %s at %s", text, *text ? " and " : "",
                         at->blade.at.state == MODEL_GIVEN ? at->blade.value : 1, at->stage.text,
                         at->port.text);
    }
    return sheet_say(sheet, "%s at the same count", text);
}

static struct sheet_row row_of_observation(const struct sheet *sheet, size_t index)
{
    const struct model_observation *observation = model_observation(sheet->derived->engine, index);
    const char *text = "";
    if (observation->counted.at.state == MODEL_GIVEN) {
        text = sheet_say(sheet, "the pad turned %s for %s of the rotor%s",
                         words_quantity_and_tolerance(sheet->arena, &observation->counted.pad),
                         words_quantity_and_tolerance(sheet->arena, &observation->counted.rotor),
                         if_coarse(sheet, observation, MODEL_COUNTED));
    }
    if (observation->returned.at.state == MODEL_GIVEN) {
        text = sheet_say(
            sheet, "%s%sblade one of %s came back after %" PRId64 " blade%s and %s of the pad%s",
            text, *text ? "; " : "", observation->returned.stage.text,
            observation->returned.after.value, words_plural(observation->returned.after.value),
            words_quantity_and_tolerance(sheet->arena, &observation->returned.pad),
            if_coarse(sheet, observation, MODEL_RETURNED));
    }
    if (observation->passed.at.state == MODEL_GIVEN) {
        text = sheet_say(sheet, "%s%s%" PRId64 " blade%s of %s passed while the rotor turned %s",
                         text, *text ? "; " : "", observation->passed.blades.value,
                         words_plural(observation->passed.blades.value),
                         observation->passed.stage.text,
                         words_quantity_and_tolerance(sheet->arena, &observation->passed.rotor));
    }
    if (observation->step.at.state == MODEL_GIVEN) {
        text = sheet_say(sheet, "%s%sthe pad turned %s from blade to blade of %s", text,
                         *text ? "; " : "",
                         words_quantity_and_tolerance(sheet->arena, &observation->step.pad),
                         observation->step.stage.text);
    }
    if (observation->blade_order.at.state == MODEL_GIVEN) {
        text = sheet_say(sheet, "%s%sblade %" PRId64 " of %s followed blade %" PRId64, text,
                         *text ? "; " : "", observation->blade_order.then.value,
                         observation->blade_order.stage.text, observation->blade_order.first.value);
    }
    if (observation->together.at.state == MODEL_GIVEN) {
        text = sheet_say(sheet, "%s%s%s", text, *text ? "; " : "",
                         say_together(sheet, &observation->together));
    }
    const struct {
        const struct model_quantity *is;
        const char *when;
    } backlashes[] = {{&observation->backlash, "at the pad"},
                      {&observation->backlash_as_new, "on a new gearbox"},
                      {&observation->backlash_at_limit, "at the service limit"}};
    for (size_t i = 0; i < sizeof backlashes / sizeof *backlashes; i++) {
        if (backlashes[i].is->at.state == MODEL_GIVEN) {
            text = sheet_say(sheet, "%s%sa backlash of %s %s", text, *text ? "; " : "",
                             words_quantity_and_tolerance(sheet->arena, backlashes[i].is),
                             backlashes[i].when);
        }
    }
    if (observation->seen.at.state == MODEL_GIVEN) {
        text = sheet_say(sheet, "%s%spad %s facing it, rotor %s aft looking forward", text,
                         *text ? "; " : "",
                         words_sense(observation->seen.pad.value == MODEL_CW ? 1 : -1),
                         words_sense(observation->seen.rotor.value == MODEL_CW ? 1 : -1));
    }
    bool noted = observation->note.at.state == MODEL_GIVEN;
    bool by_hand = observation->spool.at.state == MODEL_GIVEN;
    return (struct sheet_row){sheet_say(sheet, "%s %s", by_hand ? "Spool" : "Pad",
                                        by_hand ? observation->spool.text : observation->pad.text),
                              text, noted ? observation->note.text : NULL};
}

void sheet_observation_rows(const struct sheet *sheet, struct sheet_rows *rows)
{
    for (size_t i = 0; i < sheet->derived->engine->observations.count; i++) {
        struct sheet_row row = row_of_observation(sheet, i);
        struct sheet_row *last = rows->count == 0 ? NULL : &rows->items[rows->count - 1];
        if (last && !last->detail && !row.detail && strcmp(last->label, row.label) == 0) {
            last->value = sheet_say(sheet, "%s; %s", last->value, row.value);
        } else {
            sheet_row(sheet, rows, row.label, row.value, row.detail);
        }
    }
}

void sheet_source_rows(const struct sheet *sheet, struct sheet_rows *rows)
{
    const struct model_engine *engine = sheet->derived->engine;
    const struct model_device *device = sheet->derived->device->device;
    const char *sources = engine->source.at.state == MODEL_GIVEN ? engine->source.text : "";
    for (size_t i = 0; i < engine->documents.count; i++) {
        sources = sheet_say(sheet, "%s%s%s", sources, *sources ? "; " : "",
                            words_document(sheet->arena, model_document(engine, i)));
    }
    sheet_row(sheet, rows, "Source", *sources ? sources : "not given", NULL);
    sheet_row(sheet, rows, "Read again", words_read_again(sheet->arena, engine, sheet->cross_check),
              NULL);
    sheet_row(sheet, rows, "Definition",
              sheet_say(sheet, "%s, %s", engine->id.text, sheet_edition(sheet)), NULL);
    sheet_row(sheet, rows, "its SHA-256", sheet->definition_digest, NULL);
    sheet_row(sheet, rows, "Device profile",
              sheet_say(sheet, "%s, %s", device->id.text, device->name.text), NULL);
    sheet_row(sheet, rows, "its SHA-256", sheet->device_digest, NULL);
}

/* ---- words ----------------------------------------------------------------------------------- */

void sheet_row(const struct sheet *sheet, struct sheet_rows *rows, const char *label,
               const char *value, const char *detail)
{
    rows->items =
        arena_grow(sheet->arena, rows->items, rows->count, &rows->capacity, sizeof *rows->items);
    rows->items[rows->count++] = (struct sheet_row){label, value, detail};
}

const char *sheet_say(const struct sheet *sheet, const char *format, ...)
{
    va_list arguments;
    va_start(arguments, format);
    const char *text = arena_vprintf(sheet->arena, format, arguments);
    va_end(arguments);
    return text;
}

/* ---- a stage --------------------------------------------------------------------------------- */

static const struct model_stage *stage_of(const struct sheet *sheet, size_t stage)
{
    return model_stage(sheet->derived->engine, stage);
}

const char *sheet_role(const struct model_stage *stage)
{
    return words_role((enum model_role)stage->role.value);
}

const char *sheet_passing(const struct sheet *sheet, const struct model_stage *stage)
{
    int64_t blades = stage->blades.value;
    if (blades < 5) {
        return model_numbers_fall(stage) ? "numbers fall" : "numbers rise";
    }
    return model_numbers_fall(stage)
               ? sheet_say(sheet, "1, %" PRId64 ", %" PRId64 " ... 2, 1", blades, blades - 1)
               : sheet_say(sheet, "1, 2, 3 ... %" PRId64 ", 1", blades);
}

const char *sheet_numbering(const struct model_stage *stage)
{
    return model_numbers_fall(stage) ? "numbered with the rotation"
                                     : "numbered against the rotation";
}

const char *sheet_next_blade(const struct sheet *sheet, const struct model_stage *stage)
{
    int64_t blades = stage->blades.value;
    return sheet_say(sheet, "%" PRId64,
                     model_numbers_fall(stage) || blades < 2 ? blades : (int64_t)2);
}

const char *sheet_ports(const struct sheet *sheet, size_t index)
{
    const struct model_stage *stage = stage_of(sheet, index);
    const char *text = NULL;
    for (size_t i = 0; i < stage->ports.count; i++) {
        const struct model_port *port = MODEL_ITEM(stage->ports, struct model_port, i);
        const char *one = words_port(sheet->arena, port);
        text = text ? sheet_say(sheet, "%s, %s", text, one) : one;
    }
    return text ? sheet_say(sheet, "%s%s", text, sheet_mark(sheet, MODEL_STAGES, index, "port"))
                : NULL;
}

const char *sheet_known_blades(const struct sheet *sheet, const struct model_stage *stage)
{
    const char *text = NULL;
    for (size_t i = 0; i < stage->known_blades.count; i++) {
        const struct model_known_blade *known =
            MODEL_ITEM(stage->known_blades, struct model_known_blade, i);
        text = sheet_say(sheet, "%s%s%" PRId64 ", %s", text ? text : "", text ? "; " : "",
                         known->blade.value, known->how.text);
    }
    return text;
}

/* How far another port is in counts, through each pad that turns the stage; "" by hand. */
static const char *counts_apart(const struct sheet *sheet, size_t stage,
                                const struct turning_apart *apart)
{
    const struct model_engine *engine = sheet->derived->engine;
    const size_t spool = stage_of(sheet, stage)->spool_index;
    const size_t pads = model_pads_of_spool(sheet->derived->engine, spool);
    const char *text = "";
    for (size_t i = 0; i < engine->pads.count; i++) {
        if (model_pad(engine, i)->spool_index == spool) {
            const struct exact_rational per_turn = sheet->derived->on.pads[i].counts_per_turn;
            text = sheet_say(
                sheet, "%s, %s%s%s", text, words_apart_counts(sheet->arena, apart, per_turn),
                pads > 1 ? " through " : "", pads > 1 ? model_pad(engine, i)->id.text : "");
        }
    }
    return text;
}

struct sheet_other_port sheet_other_port(const struct sheet *sheet, size_t stage, size_t port)
{
    const struct model_stage *model = stage_of(sheet, stage);
    const struct turning_apart apart = model_ports_apart(sheet->derived->engine, model, 0, port);
    return (struct sheet_other_port){
        sheet_say(sheet, "%s%s",
                  words_port(sheet->arena, MODEL_ITEM(model->ports, struct model_port, port)),
                  sheet_mark(sheet, MODEL_STAGES, stage, "port")),
        sheet_say(sheet, "%s%s", words_apart(sheet->arena, &apart),
                  counts_apart(sheet, stage, &apart)),
        words_stops_apart(sheet->arena, &apart, model->blades.value)};
}

void sheet_other_port_rows(const struct sheet *sheet, size_t index, struct sheet_rows *rows)
{
    for (size_t i = 1; i < stage_of(sheet, index)->ports.count; i++) {
        const struct sheet_other_port other = sheet_other_port(sheet, index, i);
        sheet_row(sheet, rows, "Other port",
                  sheet_say(sheet, "%s, farther by %s", other.port, other.apart),
                  sheet_say(sheet, "every stop there is %s", other.stops));
    }
}

/* The port that the stops are for. */
static void port_row(const struct sheet *sheet, size_t index, struct sheet_rows *rows)
{
    const struct model_stage *stage = stage_of(sheet, index);
    const char *port =
        stage->ports.count == 0
            ? "none given"
            : sheet_say(sheet, "%s%s",
                        words_port(sheet->arena, MODEL_ITEM(stage->ports, struct model_port, 0)),
                        sheet_mark(sheet, MODEL_STAGES, index, "port"));
    sheet_row(sheet, rows, "Port", port, stage->ports.count > 1 ? "for the stops" : NULL);
}

struct sheet_hand_stop sheet_hand_stop(const struct sheet *sheet, const struct model_stage *stage,
                                       int64_t j)
{
    const int64_t blades = stage->blades.value;
    return (struct sheet_hand_stop){turning_blade_after(j, blades, model_numbers_fall(stage)),
                                    words_decimal(sheet->arena, turning_angle_of(j, blades), 2)};
}

const char *sheet_pitch(const struct sheet *sheet, const struct model_stage *stage)
{
    return words_decimal(sheet->arena, turning_pitch(stage->blades.value), 4);
}

const char *sheet_hand_stops(const struct sheet *sheet, const struct model_stage *stage)
{
    enum { FIRST = 2 }; /* are shown, and the last one */
    const int64_t blades = stage->blades.value;
    const char *text = "";
    for (int64_t j = 0; j < blades; j++) {
        if (j < FIRST || j == blades - 1) {
            const struct sheet_hand_stop stop = sheet_hand_stop(sheet, stage, j);
            const char *before = j == 0 ? "" : j > FIRST ? " ... " : ", ";
            text =
                sheet_say(sheet, "%s%s%" PRId64 " at %s", text, before, stop.blade, stop.degrees);
        }
    }
    return text;
}

void sheet_stage_rows(const struct sheet *sheet, size_t index, struct sheet_rows *rows)
{
    const struct model_stage *stage = stage_of(sheet, index);
    const char *datum = NULL;
    if (stage->clocking.at.state == MODEL_GIVEN) {
        datum = exact_sign(stage->clocking.written.stated) == 0
                    ? "at the datum mark"
                    : sheet_say(sheet, "%s ahead of the datum mark",
                                words_quantity_and_tolerance(sheet->arena, &stage->clocking));
        datum = sheet_say(sheet, "%s%s", datum, sheet_mark(sheet, MODEL_STAGES, index, "clocking"));
    }
    bool marked = stage->blade_one.at.state == MODEL_GIVEN;
    sheet_row(sheet, rows, "Blade one", marked ? stage->blade_one.text : "not described", datum);
    if (stage->known_blades.count != 0) {
        sheet_row(sheet, rows, "Known blades",
                  sheet_say(sheet, "%s%s", sheet_known_blades(sheet, stage),
                            sheet_mark(sheet, MODEL_STAGES, index, "known-blades")),
                  NULL);
    }
    port_row(sheet, index, rows);
    sheet_row(sheet, rows, "Order",
              sheet_say(sheet, "%s%s", sheet_passing(sheet, stage),
                        sheet_mark(sheet, MODEL_STAGES, index, "numbering")),
              sheet_numbering(stage));
    if (stage->note.at.state == MODEL_GIVEN) {
        sheet_row(sheet, rows, "Note", stage->note.text, NULL);
    }
    if (!sheet_is_driven(sheet, stage->spool_index)) {
        sheet_row(sheet, rows, "Pitch", sheet_say(sheet, "%s deg", sheet_pitch(sheet, stage)),
                  NULL);
        sheet_row(sheet, rows, "Stops, deg of rotor", sheet_hand_stops(sheet, stage), NULL);
    }
}

/* How far the device's own square turns from blade to blade. */
static const char *device_angle(const struct sheet *sheet, const struct model_pair *pair,
                                int64_t blades)
{
    const struct model_pad_facts *facts = &sheet->derived->facts.pads[pair->pad];
    struct exact_rational degrees;
    if (!exact_mul(turning_pitch(blades), facts->used, &degrees) ||
        !exact_mul(degrees, facts->adapter_ratio, &degrees)) {
        return "?";
    }
    return words_decimal(sheet->arena, degrees, 4);
}

struct sheet_step sheet_step(const struct sheet *sheet, const struct model_pair *pair)
{
    const struct turning_schedule *schedule = &pair->schedule;
    int64_t blades = stage_of(sheet, pair->stage)->blades.value;
    struct sheet_step step = {.counts = sheet_say(sheet, "%" PRId64, schedule->whole)};
    if (schedule->num != 0) {
        step.counts = sheet_say(sheet, "%s + %" PRId64 "/%" PRId64, step.counts, schedule->num,
                                schedule->den);
    }
    step.rotor = words_decimal(sheet->arena, turning_pitch(blades), 4);
    step.device = device_angle(sheet, pair, blades);
    return step;
}

const char *sheet_datums(const struct sheet *sheet, size_t pad)
{
    const struct model_pad_on_device *on = &sheet->derived->on.pads[pad];
    const char *text = NULL;
    for (size_t i = 0; i < on->pair_count; i++) {
        const struct model_stage *stage = stage_of(sheet, on->pairs[i].stage);
        bool ccw = model_spool_sign(model_spool(sheet->derived->engine, stage->spool_index)) < 0;
        struct exact_measure written = {stage->clocking.written.stated,
                                        stage->clocking.written.unit};
        struct exact_rational clocking;
        if (stage->clocking.at.state != MODEL_GIVEN ||
            !exact_measure_in(written, EXACT_DEG, &clocking)) {
            continue;
        }
        for (size_t j = 0; j < stage->ports.count; j++) {
            const struct model_port *port = MODEL_ITEM(stage->ports, struct model_port, j);
            text = sheet_say(
                sheet, "%s%s%s at %s %" PRId64, text ? text : "", text ? ", " : "", stage->id.text,
                port->id.text,
                turning_datum(port->clock.minutes.value, ccw, clocking, on->counts_per_turn));
        }
    }
    return text ? sheet_say(sheet,
                            "Blade one at its port, in counts in the normal direction from the "
                            "datum mark at 12 o'clock: %s.",
                            text)
                : NULL;
}

size_t sheet_errors(const struct sheet *sheet, const struct model_pair *pair,
                    struct words_place places[2])
{
    struct model_budget budget = model_budget(sheet->derived, pair);
    return words_budget(sheet->arena, &budget, places);
}

/* "Error in 9 rotor turns", and its parts. */
static void error_rows(const struct sheet *sheet, const struct model_pair *pair,
                       const char *through, struct sheet_rows *rows)
{
    struct words_place places[2];
    size_t count = sheet_errors(sheet, pair, places);
    for (size_t i = 0; i < count; i++) {
        const char *when = *places[i].when ? sheet_say(sheet, " %s", places[i].when) : "";
        sheet_row(sheet, rows, sheet_say(sheet, "Error%s%s", when, through), places[i].most,
                  *places[i].parts ? places[i].parts : NULL);
    }
}

void sheet_step_rows(const struct sheet *sheet, size_t index, struct sheet_rows *rows)
{
    const struct model_engine *engine = sheet->derived->engine;
    size_t spool = stage_of(sheet, index)->spool_index;
    const size_t pads = model_pads_of_spool(sheet->derived->engine, spool);
    for (size_t i = 0; i < engine->pads.count; i++) {
        const struct model_pad_on_device *on = &sheet->derived->on.pads[i];
        for (size_t j = 0; j < on->pair_count; j++) {
            if (on->pairs[j].stage != index) {
                continue;
            }
            struct sheet_step step = sheet_step(sheet, &on->pairs[j]);
            const char *through =
                pads > 1 ? sheet_say(sheet, ", %s", model_pad(engine, i)->id.text) : "";
            sheet_row(sheet, rows, sheet_say(sheet, "Step%s", through),
                      sheet_say(sheet, "%s counts", step.counts),
                      sheet_say(sheet, "rotor %s deg, device %s deg", step.rotor, step.device));
            error_rows(sheet, &on->pairs[j], through, rows);
        }
    }
}
