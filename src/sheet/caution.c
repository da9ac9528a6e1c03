/*
 * caution.c - what a setup sheet warns of: the cautions, what is open in the definition, and values
 * that rest on one reading.
 *
 * The person at the engine is the last one who can find a wrong number.  A mark at such a value
 * says that it is worth a look into the manual (model/known.h).
 */
#include "sheet/facts.h"

#include <inttypes.h>
#include <string.h>

const char *const sheet_cautions[] = {
    "This sheet shows checked arithmetic, not airworthiness. The engine manufacturer's current "
    "manual, local rules and licensed staff decide. If they differ from this sheet, the sheet is "
    "wrong.",
    "Make the engine safe, and isolate its starting and ignition, before anything is coupled to "
    "it.",
    "Move the probe and its guide tube clear of the blades before the rotor moves, unless the "
    "manual says otherwise.",
    "Keep hands, clothing and tools clear of rotor, coupling and all pads: other pads turn too. "
    "Call out a warning before the rotor moves. One person holds the stop control.",
    "Start at low torque, and check that the first blades pass in the order given here. Never "
    "force a rotor that does not turn freely: stop and find out why.",
    "Put the cover and the seal of the pad back when the work is done.",
    NULL};

const char *const sheet_short_cautions[] = {
    "The engine manufacturer's current manual, local rules and licensed staff decide.",
    "Make the engine safe, and isolate its starting and ignition.",
    "Move the probe clear of the blades before the rotor moves.",
    "Keep clear, and call out a warning.",
    "One person holds the stop control.",
    "Start at low torque.",
    "Never force a rotor.",
    "Put the cover and the seal of the pad back.",
    NULL};

struct words_cautions sheet_before_turning(const struct sheet *sheet)
{
    return words_before_turning(sheet->arena, sheet->derived->engine, WORDS_ALL, WORDS_ALL);
}

const char *sheet_status_warning(const struct sheet *sheet)
{
    /* A withdrawn definition does not come here: the rule withdrawn refuses it. */
    return sheet->derived->engine->status.value == MODEL_DRAFT
               ? "Draft: this definition is not released. Do not use it to turn an engine."
               : NULL;
}

const char *sheet_open_finding(const struct sheet *sheet, size_t index)
{
    const struct finding *finding = sheet->findings->items[index];
    const char *rule = rule_row(finding->rule)->id;
    if (finding->waived) {
        return sheet_say(sheet, "%s (%s; accepted until %s: %s)", finding->message, rule,
                         words_date(sheet->arena, finding->waived_until), finding->waived);
    }
    return finding_counts_as(finding) == SEVERITY_WARNING
               ? sheet_say(sheet, "%s (%s)", finding->message, rule)
               : NULL;
}

bool sheet_has_open_finding(const struct sheet *sheet)
{
    for (size_t i = 0; i < sheet->findings->count; i++) {
        if (sheet_open_finding(sheet, i)) {
            return true;
        }
    }
    return false;
}

const char *sheet_hand_warning(const struct sheet *sheet, size_t spool)
{
    const struct model_spool *model = model_spool(sheet->derived->engine, spool);
    if (model->never_backwards.at.state != MODEL_GIVEN || model->never_backwards.value != 1 ||
        sheet_is_driven(sheet, spool)) {
        return NULL;
    }
    return sheet_say(sheet,
                     "Never turn spool %s backwards. It is turned by hand, so no device prevents "
                     "it: turn it only %s, seen %s.",
                     model->id.text, words_sense(model_spool_sign(model)),
                     words_view(MODEL_AFT_LOOKING_FORWARD));
}

/* ---- the mark of a value ----------------------------------------------------------------------
 */

/* What the sheet shows of the parts, and marks. */
static const struct {
    enum model_listed list;
    const char *key;
} marked[] = {
    {MODEL_SPOOLS, "rotation"},   {MODEL_SPOOLS, "max-speed"}, {MODEL_STAGES, "role"},
    {MODEL_STAGES, "blades"},     {MODEL_STAGES, "numbering"}, {MODEL_STAGES, "known-blades"},
    {MODEL_STAGES, "port"},       {MODEL_STAGES, "clocking"},  {MODEL_PADS, "faces"},
    {MODEL_PADS, "rotation"},     {MODEL_PADS, "turns"},       {MODEL_PADS, "path"},
    {MODEL_PADS, "square"},       {MODEL_PADS, "backlash"},    {MODEL_PADS, "drives"},
    {MODEL_PADS, "torque-limit"}, {MODEL_PADS, "adapter"},
};

static bool rests(const struct sheet *sheet, enum model_listed list, size_t index, const char *key)
{
    return sheet->known && model_key_rests_on_one(sheet->known, list, index, key);
}

const char *sheet_mark(const struct sheet *sheet, enum model_listed list, size_t index,
                       const char *key)
{
    return rests(sheet, list, index, key) ? "*" : "";
}

/* Whether the sheet shows the value: a pad that drives both ways is not worth a word. */
static bool is_shown(const struct sheet *sheet, enum model_listed list, size_t index,
                     const char *key)
{
    return list != MODEL_PADS || strcmp(key, "drives") != 0 ||
           model_pad(sheet->derived->engine, index)->drives.value != MODEL_DRIVES_BOTH;
}

const char *sheet_mark_caution(const struct sheet *sheet)
{
    for (size_t i = 0; i < sizeof marked / sizeof *marked; i++) {
        const enum model_listed list = marked[i].list;
        for (size_t k = 0; k < model_listed_count(sheet->derived->engine, list); k++) {
            if (rests(sheet, list, k, marked[i].key) && is_shown(sheet, list, k, marked[i].key)) {
                return "A value with a * rests on one reading: one person wrote it, and nothing "
                       "else proves it. Compare it with the engine manufacturer's current manual.";
            }
        }
    }
    return NULL;
}
