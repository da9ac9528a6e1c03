/*
 * The part of a sheet that is about a stage: its blades, their order, and the step between them.
 */
#include "report/sheet_facts.h"

#include "turning/drift.h"

#include <inttypes.h>

static const struct model_stage *stage_of(const struct sheet *sheet, size_t stage)
{
    return model_stage(sheet->run->engine, stage);
}

static bool falls(const struct model_stage *stage)
{
    return stage->numbering.value == MODEL_WITH_ROTATION;
}

const char *sheet_role(const struct model_stage *stage)
{
    static const char *const roles[] = {[MODEL_FAN] = "fan",
                                        [MODEL_COMPRESSOR] = "compressor",
                                        [MODEL_TURBINE] = "turbine"};
    return roles[stage->role.value];
}

const char *sheet_passing(const struct sheet *sheet, const struct model_stage *stage)
{
    int64_t blades = stage->blades.value;
    if (blades < 5) {
        return falls(stage) ? "numbers fall" : "numbers rise";
    }
    return falls(stage)
               ? sheet_say(sheet, "1, %" PRId64 ", %" PRId64 " ... 2, 1", blades, blades - 1)
               : sheet_say(sheet, "1, 2, 3 ... %" PRId64 ", 1", blades);
}

const char *sheet_next_blade(const struct sheet *sheet, const struct model_stage *stage)
{
    int64_t blades = stage->blades.value;
    return sheet_say(sheet, "%" PRId64, falls(stage) || blades < 2 ? blades : (int64_t)2);
}

const char *sheet_ports(const struct sheet *sheet, const struct model_stage *stage)
{
    const char *text = NULL;
    for (size_t i = 0; i < stage->ports.count; i++) {
        const struct model_port *port = MODEL_ITEM(stage->ports, struct model_port, i);
        const char *one = sheet_say(sheet, "%s at %s", port->id.text,
                                    sheet_clock(sheet, port->clock.value));
        text = text ? sheet_say(sheet, "%s, %s", text, one) : one;
    }
    return text;
}

void sheet_stage_rows(const struct sheet *sheet, size_t index, struct sheet_rows *rows)
{
    const struct model_stage *stage = stage_of(sheet, index);
    const char *ports = sheet_ports(sheet, stage);
    const char *datum = NULL;
    if (stage->clocking.at.state == MODEL_GIVEN) {
        datum = sheet_say(sheet, "%s from the datum mark, the way the rotor turns",
                          sheet_quantity(sheet, &stage->clocking));
    }
    bool marked = stage->blade_one.at.state == MODEL_GIVEN;
    sheet_row(sheet, rows, "Blade one", marked ? stage->blade_one.text : "not described", datum);
    sheet_row(sheet, rows, "Port", ports ? ports : "none given", NULL);
    sheet_row(sheet, rows, "Order", sheet_passing(sheet, stage),
              falls(stage) ? "numbers grow with the rotation"
                           : "numbers grow against the rotation");
}

/* "0.484 counts, 0.000346 deg, 0.003 % of the pitch". */
static const char *off_by(const struct sheet *sheet, struct exact_rational counts,
                          struct exact_rational per_turn, int64_t blades)
{
    struct exact_rational share;
    struct exact_rational degrees;
    const char *text = sheet_say(sheet, "%s counts", sheet_decimal(sheet, counts, 3));
    if (exact_div(counts, per_turn, &share) && exact_mul(share, exact_whole(360), &degrees) &&
        exact_mul(share, exact_whole(100 * blades), &share)) {
        text = sheet_say(sheet, "%s, %s deg, %s %% of the pitch", text,
                         sheet_decimal(sheet, degrees, 6), sheet_decimal(sheet, share, 4));
    }
    return text;
}

/* How far rotor and device turn from blade to blade. */
static const char *step_angles(const struct sheet *sheet, const struct model_pair *pair,
                               int64_t blades)
{
    const char *pitch = sheet_decimal(sheet, turning_pitch(blades), 4);
    const struct model_pad_facts *facts = &sheet->run->facts.pads[pair->pad];
    struct exact_rational degrees;
    if (!exact_mul(turning_pitch(blades), facts->used, &degrees) ||
        !exact_mul(degrees, facts->adapter_ratio, &degrees)) {
        return sheet_say(sheet, "%s deg of the rotor", pitch);
    }
    return sheet_say(sheet, "%s deg of the rotor, %s of the device", pitch,
                     sheet_decimal(sheet, degrees, 4));
}

static void error_rows(const struct sheet *sheet, const struct model_pair *pair, int64_t blades,
                       const char *through, struct sheet_rows *rows)
{
    const struct turning_schedule *schedule = &pair->schedule;
    struct exact_rational per_turn = sheet->run->on.pads[pair->pad].counts_per_turn;
    if (sheet->run->device->device->stepping.value == MODEL_FIXED) {
        sheet_row(sheet, rows, sheet_say(sheet, "Left over a turn%s", through),
                  exact_sign(pair->closure_counts) == 0
                      ? "nothing"
                      : off_by(sheet, pair->closure_counts, per_turn, blades),
                  NULL);
        return;
    }
    const char *detail = NULL;
    if (schedule->approximated) {
        detail = sheet_say(sheet, "and one count more after %" PRId64 " rotor turns",
                           schedule->turns_exact);
    }
    sheet_row(sheet, rows, sheet_say(sheet, "Off at most%s", through),
              off_by(sheet, turning_worst_rounding(schedule), per_turn, blades), detail);
}

void sheet_step_rows(const struct sheet *sheet, size_t index, struct sheet_rows *rows)
{
    const struct model_stage *stage = stage_of(sheet, index);
    int64_t blades = stage->blades.value;
    size_t pads = 0;
    for (size_t i = 0; i < sheet->run->engine->pads.count; i++) {
        pads += model_pad(sheet->run->engine, i)->spool_index == stage->spool_index;
    }
    for (size_t i = 0; i < sheet->run->engine->pads.count; i++) {
        const struct model_pad_on_device *on = &sheet->run->on.pads[i];
        for (size_t j = 0; j < on->pair_count; j++) {
            const struct model_pair *pair = &on->pairs[j];
            const struct turning_schedule *schedule = &pair->schedule;
            if (pair->stage != index) {
                continue;
            }
            const char *pad = model_pad(sheet->run->engine, i)->id.text;
            const char *through = pads > 1 ? sheet_say(sheet, ", %s", pad) : "";
            const char *step = sheet_say(sheet, "%" PRId64, schedule->whole);
            if (schedule->num != 0) {
                step = sheet_say(sheet, "%s + %" PRId64 "/%" PRId64, step, schedule->num,
                                 schedule->den);
            }
            sheet_row(sheet, rows, sheet_say(sheet, "Step%s", through),
                      sheet_say(sheet, "%s counts", step), step_angles(sheet, pair, blades));
            error_rows(sheet, pair, blades, through, rows);
        }
    }
}
