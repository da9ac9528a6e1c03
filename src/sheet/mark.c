/*
 * mark.c - a mark at each value of a setup sheet that rests on one reading.
 *
 * The person at the engine is the last one who can find a wrong number.  The mark says which ones
 * are worth a look into the manual (model/known.h).
 */
#include "sheet/facts.h"

#include <string.h>

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
