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
                     words_status((enum model_status)sheet->derived->engine->status.value));
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
    return sheet_say(sheet, "%s turns %s, seen %s", model->id.text,
                     words_sense(model_spool_sign(model)), words_view(MODEL_AFT_LOOKING_FORWARD));
}

struct sheet_row sheet_observation(const struct sheet *sheet, size_t index)
{
    const struct model_observation *observation = model_observation(sheet->derived->engine, index);
    const char *text = "";
    if (observation->counted.at.state == MODEL_GIVEN) {
        text = sheet_say(sheet, "the pad turned %s for %s of the rotor",
                         words_quantity_and_tolerance(sheet->arena, &observation->counted.pad),
                         words_quantity_and_tolerance(sheet->arena, &observation->counted.rotor));
    }
    if (observation->returned.at.state == MODEL_GIVEN) {
        text = sheet_say(
            sheet, "%s%sblade one of %s came back after %" PRId64 " blades and %s of the pad", text,
            *text ? "; " : "", observation->returned.stage.text, observation->returned.after.value,
            words_quantity_and_tolerance(sheet->arena, &observation->returned.pad));
    }
    if (observation->passed.at.state == MODEL_GIVEN) {
        text = sheet_say(sheet, "%s%s%" PRId64 " blades of %s passed while the rotor turned %s",
                         text, *text ? "; " : "", observation->passed.blades.value,
                         observation->passed.stage.text,
                         words_quantity_and_tolerance(sheet->arena, &observation->passed.rotor));
    }
    if (observation->step.at.state == MODEL_GIVEN) {
        text = sheet_say(sheet, "%s%sthe pad turned %s from blade to blade of %s", text,
                         *text ? "; " : "",
                         words_quantity_and_tolerance(sheet->arena, &observation->step.pad),
                         observation->step.stage.text);
    }
    if (observation->backlash.at.state == MODEL_GIVEN) {
        text = sheet_say(sheet, "%s%sa backlash of %s at the pad", text, *text ? "; " : "",
                         words_quantity_and_tolerance(sheet->arena, &observation->backlash));
    }
    if (observation->seen.at.state == MODEL_GIVEN) {
        text = sheet_say(sheet, "%s%spad %s facing it, rotor %s aft looking forward", text,
                         *text ? "; " : "",
                         words_sense(observation->seen.pad.value == MODEL_CW ? 1 : -1),
                         words_sense(observation->seen.rotor.value == MODEL_CW ? 1 : -1));
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
