/*
 * facts.c - the parts of a setup sheet around pads and stages: cautions, observations, sources; and
 * the words that all parts use.
 */
#include "sheet/facts.h"

#include <inttypes.h>
#include <stdarg.h>

const char *const sheet_cautions[] = {
    "This sheet shows checked arithmetic, not airworthiness. The engine manufacturer's current "
    "manual, "
    "local rules and licensed staff decide; where they differ from it, the sheet is wrong.",
    "Make the engine safe, and isolate its starting and ignition, before anything is coupled to "
    "it.",
    "Keep hands, clothing and tools clear of rotor, pad and coupling. Say it aloud before the "
    "rotor "
    "moves.",
    "Start at low torque, and see the first blades pass in the order given here. Never force a "
    "rotor "
    "that does not turn freely: stop and find out why.",
    NULL};

static const char *status_word(const struct model_engine *engine)
{
    switch ((enum model_status)engine->status.value) {
    case MODEL_DRAFT: return "draft";
    case MODEL_RELEASED: return "released";
    case MODEL_WITHDRAWN: return "withdrawn";
    }
    return "?";
}

const char *sheet_status_warning(const struct sheet *sheet)
{
    switch ((enum model_status)sheet->derived->engine->status.value) {
    case MODEL_DRAFT:
        return "Draft: this definition has not been released. Do not turn an engine by it.";
    case MODEL_WITHDRAWN: return "Withdrawn: this definition must not be used any more.";
    case MODEL_RELEASED: break;
    }
    return NULL;
}

const char *sheet_edition(const struct sheet *sheet)
{
    return sheet_say(sheet, "revision %" PRId64 ", %s", sheet->derived->engine->revision.value,
                     status_word(sheet->derived->engine));
}

bool sheet_is_driven(const struct sheet *sheet, size_t spool)
{
    for (size_t i = 0; i < sheet->derived->engine->pads.count; i++) {
        if (model_pad(sheet->derived->engine, i)->spool_index == spool) {
            return true;
        }
    }
    return false;
}

const char *sheet_spool_way(const struct sheet *sheet, size_t spool)
{
    const struct model_spool *model = model_spool(sheet->derived->engine, spool);
    return sheet_say(sheet, "%s turns %s, seen aft looking forward", model->id.text,
                     sheet_sense(model_spool_sign(model)));
}

struct sheet_row sheet_observation(const struct sheet *sheet, size_t index)
{
    const struct model_observation *observation = model_observation(sheet->derived->engine, index);
    const char *text = "";
    if (observation->counted.at.state == MODEL_GIVEN) {
        text = sheet_say(sheet, "the pad turned %s for %s of the rotor",
                         sheet_quantity(sheet, &observation->counted.pad),
                         sheet_quantity(sheet, &observation->counted.rotor));
    }
    if (observation->returned.at.state == MODEL_GIVEN) {
        text = sheet_say(
            sheet, "%s%sblade one of %s came back after %" PRId64 " blades and %s of the pad", text,
            *text ? "; " : "", observation->returned.stage.text, observation->returned.after.value,
            sheet_quantity(sheet, &observation->returned.pad));
    }
    if (observation->passed.at.state == MODEL_GIVEN) {
        text = sheet_say(sheet, "%s%s%" PRId64 " blades of %s passed while the rotor turned %s",
                         text, *text ? "; " : "", observation->passed.blades.value,
                         observation->passed.stage.text,
                         sheet_quantity(sheet, &observation->passed.rotor));
    }
    if (observation->step.at.state == MODEL_GIVEN) {
        text = sheet_say(sheet, "%s%sthe pad turned %s from blade to blade of %s", text,
                         *text ? "; " : "", sheet_quantity(sheet, &observation->step.pad),
                         observation->step.stage.text);
    }
    if (observation->backlash.at.state == MODEL_GIVEN) {
        text = sheet_say(sheet, "%s%sa backlash of %s at the pad", text, *text ? "; " : "",
                         sheet_quantity(sheet, &observation->backlash));
    }
    if (observation->seen.at.state == MODEL_GIVEN) {
        text = sheet_say(sheet, "%s%spad %s facing it, rotor %s aft looking forward", text,
                         *text ? "; " : "",
                         sheet_sense(observation->seen.pad.value == MODEL_CW ? 1 : -1),
                         sheet_sense(observation->seen.rotor.value == MODEL_CW ? 1 : -1));
    }
    bool noted = observation->note.at.state == MODEL_GIVEN;
    return (struct sheet_row){sheet_say(sheet, "Pad %s", observation->pad.text), text,
                              noted ? observation->note.text : NULL};
}

void sheet_source_rows(const struct sheet *sheet, struct sheet_rows *rows)
{
    const struct model_engine *engine = sheet->derived->engine;
    const struct model_device *device = sheet->derived->device->device;
    const char *models = "";
    for (size_t i = 0; i < engine->models.count; i++) {
        models = sheet_say(sheet, "%s%s%s", models, i == 0 ? "" : ", ",
                           MODEL_ITEM(engine->models, struct model_text, i)->text);
    }
    bool sourced = engine->source.at.state == MODEL_GIVEN;
    sheet_row(sheet, rows, "Holds for", models, NULL);
    sheet_row(sheet, rows, "Source", sourced ? engine->source.text : "not given", NULL);
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

const char *sheet_decimal(const struct sheet *sheet, struct exact_rational value, int decimals)
{
    char text[EXACT_TEXT_SIZE];
    return sheet_say(sheet, "%s", exact_to_decimal(value, decimals, text));
}

const char *sheet_both(const struct sheet *sheet, struct exact_rational value)
{
    char text[EXACT_TEXT_SIZE];
    exact_to_text(value, text);
    return exact_is_whole(value)
               ? sheet_say(sheet, "%s", text)
               : sheet_say(sheet, "%s = %s", text, sheet_decimal(sheet, value, 6));
}

const char *sheet_quantity(const struct sheet *sheet, const struct model_quantity *quantity)
{
    const struct exact_quantity *written = &quantity->written;
    const char *unit = exact_unit_row(written->unit)->name;
    const char *text = sheet_decimal(sheet, written->stated, 9);
    if (written->has_tolerance) {
        text = sheet_say(sheet, "%s +/- %s", text, sheet_decimal(sheet, written->tolerance, 9));
    }
    return *unit ? sheet_say(sheet, "%s %s", text, unit) : text;
}

/* In its own unit, and behind it in those of the two others that it is not; rounded down there. */
static const char *in_units(const struct sheet *sheet, struct exact_measure value,
                            const enum exact_unit units[2], const int decimals[2])
{
    const char *text = sheet_say(sheet, "%s %s", sheet_decimal(sheet, value.value, 6),
                                 exact_unit_row(value.unit)->name);
    const char *others = "";
    for (size_t i = 0; i < 2; i++) {
        struct exact_measure step = {exact_whole(1), units[i]};
        for (int j = 0; j < decimals[i]; j++) {
            step.value.den *= 10;
        }
        int64_t steps = 0;
        struct exact_rational rounded;
        if (units[i] != value.unit && exact_measure_steps_down(value, step, &steps) &&
            exact_mul(exact_whole(steps), step.value, &rounded)) {
            others = sheet_say(sheet, "%s%s%s %s", others, *others ? ", " : "",
                               sheet_decimal(sheet, rounded, decimals[i]),
                               exact_unit_row(units[i])->name);
        }
    }
    return *others ? sheet_say(sheet, "%s (%s)", text, others) : text;
}

const char *sheet_torque(const struct sheet *sheet, struct exact_measure torque)
{
    static const enum exact_unit units[] = {EXACT_NEWTON_METRE, EXACT_LBF_FT};
    static const int decimals[] = {1, 1};
    return in_units(sheet, torque, units, decimals);
}

const char *sheet_speed(const struct sheet *sheet, struct exact_measure speed)
{
    static const enum exact_unit units[] = {EXACT_DEG_PER_MIN, EXACT_RPM};
    static const int decimals[] = {1, 3};
    return in_units(sheet, speed, units, decimals);
}

const char *sheet_duration(const struct sheet *sheet, struct exact_rational seconds)
{
    int64_t whole = exact_ceil(seconds);
    if (whole < 60) {
        return sheet_say(sheet, "%" PRId64 " s", whole);
    }
    if (whole < 3600) {
        return sheet_say(sheet, "%" PRId64 " min %" PRId64 " s", whole / 60, whole % 60);
    }
    return sheet_say(sheet, "%" PRId64 " h %" PRId64 " min", whole / 3600,
                     (whole % 3600 + 59) / 60);
}

const char *sheet_square(const struct sheet *sheet, const struct model_code *square)
{
    if (square->at.state != MODEL_GIVEN) {
        return NULL;
    }
    const struct model_square *row = &model_squares[square->value];
    return sheet_say(sheet, "%s (%s)", row->inch, row->millimetre);
}

const char *sheet_clock(const struct sheet *sheet, int minutes)
{
    return sheet_say(sheet, "%d:%02d", minutes < 60 ? 12 : minutes / 60, minutes % 60);
}

const char *sheet_sense(int sign)
{
    return sign > 0 ? "cw" : sign < 0 ? "ccw" : "?";
}

const char *sheet_direction(enum turning_direction direction)
{
    return model_word_for(model_direction_words, (int)direction);
}

static const char *gear_row(const struct sheet *sheet, const struct model_mesh *mesh)
{
    const char *text = "external";
    for (size_t i = 0; i < mesh->teeth_count; i++) {
        text = sheet_say(sheet, "%s %s%" PRId64, text, i == 0 ? "" : "- ", mesh->teeth[i].value);
    }
    return text;
}

const char *sheet_mesh_name(const struct sheet *sheet, const struct model_mesh *mesh)
{
    const struct turning_mesh *bare = &mesh->bare;
    switch (bare->kind) {
    case TURNING_EXTERNAL: return gear_row(sheet, mesh);
    case TURNING_INTERNAL:
        return sheet_say(sheet, "internal %" PRId64 " - %" PRId64, bare->pad_teeth,
                         bare->rotor_teeth);
    case TURNING_BEVEL:
        return sheet_say(sheet, "bevel %" PRId64 " - %" PRId64, bare->pad_teeth, bare->rotor_teeth);
    case TURNING_EPICYCLIC:
        return sheet_say(sheet,
                         "epicyclic, sun %" PRId64 ", %" PRId64 " planets of %" PRId64
                         ", ring %" PRId64 "; %s in, %s out, %s held",
                         bare->sun_teeth, mesh->planets.value, mesh->planet.value, bare->ring_teeth,
                         model_word_for(model_member_words, (int)bare->in),
                         model_word_for(model_member_words, (int)bare->out),
                         model_word_for(model_member_words, (int)bare->held));
    case TURNING_DIRECT: break;
    }
    return "direct, one to one";
}
