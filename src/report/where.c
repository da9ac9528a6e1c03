#include "report/where.h"

#include "turning/where.h"

#include <inttypes.h>

/* "0.5 deg beyond", "0.5 deg before" or "exactly". */
static void write_apart(FILE *out, struct exact_rational degrees)
{
    char text[EXACT_TEXT_SIZE];
    if (exact_sign(degrees) == 0) {
        fputs("exactly at its stop", out);
        return;
    }
    fprintf(out, "%s deg of rotor %s its stop", exact_to_decimal(exact_abs(degrees), 4, text),
            exact_sign(degrees) > 0 ? "beyond" : "before");
}

bool report_where_count(FILE *out, bool json, const struct rules_run *run,
                        const struct model_pair *pair, int64_t count)
{
    const struct model_stage *stage = model_stage(run->engine, pair->stage);
    const struct model_pad *pad = model_pad(run->engine, pair->pad);
    int64_t step = 0;
    int64_t beyond = 0;
    struct exact_rational degrees;
    char text[EXACT_TEXT_SIZE];
    if (!turning_stop_near(&pair->schedule, count, &step, &beyond) ||
        !exact_div(exact_whole(beyond), run->on.pads[pair->pad].counts_per_turn, &degrees) ||
        !exact_mul(degrees, exact_whole(360), &degrees)) {
        return false;
    }
    int64_t blade = turning_blade_after(step, stage->blades.value, pair->falling);
    if (json) {
        fprintf(out,
                "{\"engine\": \"%s\", \"pad\": \"%s\", \"stage\": \"%s\", \"count\": %" PRId64
                ", \"blade\": %" PRId64 ", \"off_counts\": %" PRId64 ", \"off_deg\": \"%s\"}",
                run->engine->id.text, pad->id.text, stage->id.text, count, blade, beyond,
                exact_to_text(degrees, text));
        return true;
    }
    fprintf(out, "%s, pad %s, count %" PRId64 ": blade %" PRId64 " of %s, %" PRId64 " counts, ",
            run->engine->id.text, pad->id.text, count, blade, stage->id.text, beyond);
    write_apart(out, degrees);
    fputc('\n', out);
    return true;
}

/* The rotor angle at which blade one stands at a port; false where that is not known. */
static bool blade_one_at(const struct rules_run *run, const struct model_stage *stage, size_t port,
                         struct exact_rational *out)
{
    struct exact_interval clocking;
    if (stage->clocking.at.state != MODEL_GIVEN || port >= stage->ports.count ||
        !model_quantity_in(&stage->clocking, EXACT_DEG, &clocking)) {
        return false;
    }
    const struct model_port *place = MODEL_ITEM(stage->ports, struct model_port, port);
    bool ccw = model_spool_sign(model_spool(run->engine, stage->spool_index)) < 0;
    return turning_port_angle(place->clock.value, ccw, clocking.lo, out);
}

/* What was asked: a blade of one stage, for the blades of another. */
struct carried {
    const struct model_stage *from, *to;
    int64_t from_blade;
};

static void write_carried(FILE *out, bool json, const char *engine, const struct carried *asked,
                          size_t port, int64_t blade, struct exact_rational beyond)
{
    const struct model_port *place = MODEL_ITEM(asked->to->ports, struct model_port, port);
    char text[EXACT_TEXT_SIZE];
    if (json) {
        fprintf(out,
                "{\"engine\": \"%s\", \"from_stage\": \"%s\", \"from_blade\": %" PRId64
                ", \"stage\": \"%s\", \"port\": \"%s\", \"blade\": %" PRId64
                ", \"off_deg\": \"%s\"}",
                engine, asked->from->id.text, asked->from_blade, asked->to->id.text, place->id.text,
                blade, exact_to_text(beyond, text));
        return;
    }
    fprintf(
        out, "%s, while blade %" PRId64 " of %s is at its port: blade %" PRId64 " of %s at %s, ",
        engine, asked->from_blade, asked->from->id.text, blade, asked->to->id.text, place->id.text);
    write_apart(out, beyond);
    fputc('\n', out);
}

bool report_where_carried(FILE *out, bool json, const struct rules_run *run,
                          const struct model_stage *from, int64_t blade,
                          const struct model_stage *to)
{
    struct exact_rational angle;
    struct exact_rational turned;
    const struct carried asked = {from, to, blade};
    bool falling = from->numbering.value == MODEL_WITH_ROTATION;
    int64_t steps = turning_step_of(blade, from->blades.value, falling);
    if (!blade_one_at(run, from, 0, &angle) ||
        !exact_make((exact_wide)steps * 360, from->blades.value, &turned) ||
        !exact_add(angle, turned, &angle)) {
        return false;
    }
    for (size_t port = 0; port < to->ports.count; port++) {
        struct exact_rational blade_one;
        struct exact_rational beyond;
        int64_t step = 0;
        if (!blade_one_at(run, to, port, &blade_one) ||
            !turning_angle_near(angle, blade_one, to->blades.value, &step, &beyond)) {
            return false;
        }
        fputs(json && port > 0 ? ",\n" : "", out);
        bool to_falling = to->numbering.value == MODEL_WITH_ROTATION;
        write_carried(out, json, run->engine->id.text, &asked, port,
                      turning_blade_after(step, to->blades.value, to_falling), beyond);
    }
    return to->ports.count != 0;
}
