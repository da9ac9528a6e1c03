/*
 * stops.c - the stops of a stage, and which blade is at a port.
 */
#include "report/stops.h"

#include "turning/where.h"
#include "words/number.h"

#include <inttypes.h>

/* One stop, in exact numbers. */
struct stop {
    int64_t blade, count;
    struct exact_rational pad_deg;
    struct exact_rational error; /* counts, actual minus exact */
    int64_t milliseconds;        /* from the first row, at the speed limit, with the pauses */
};

/* What all stops of a pair share. */
struct context {
    const struct model_engine *engine;
    const struct model_pad *pad;
    const struct model_stage *stage;
    const struct model_pad_on_device *on;
    const struct model_pair *pair;
    struct exact_rational deg_per_count; /* of the pad */
    struct exact_rational ms_per_count;
    int64_t from_blade, pause_s;
};

static bool start(struct context *context, const struct model_derived *derived,
                  const struct model_pair *pair)
{
    const struct model_pad_facts *facts = &derived->facts.pads[pair->pad];
    const struct model_span *speed = &derived->device->device->speed;
    context->engine = derived->engine;
    context->pad = model_pad(derived->engine, pair->pad);
    context->stage = model_stage(derived->engine, pair->stage);
    context->on = &derived->on.pads[pair->pad];
    context->pair = pair;
    /* The device's shaft: degrees a count, then the pad after the adapter. */
    struct exact_rational shaft_deg;
    struct exact_measure step = model_measure(&speed->resolution);
    struct exact_rational per_minute;
    return exact_div(exact_whole(360), derived->device->counts_per_turn, &shaft_deg) &&
           exact_div(shaft_deg, facts->adapter_ratio, &context->deg_per_count) &&
           exact_measure_in(step, EXACT_DEG_PER_MIN, &per_minute) &&
           exact_mul(per_minute, exact_whole(context->on->speed_steps), &per_minute) &&
           exact_div(shaft_deg, per_minute, &context->ms_per_count) &&
           exact_mul(context->ms_per_count, exact_whole(60000), &context->ms_per_count);
}

/* The j-th stop from the first row's blade, in passing order. */
static bool stop_at(const struct context *context, int64_t j, struct stop *stop)
{
    int64_t blades = context->stage->blades.value;
    struct exact_rational time;
    int64_t first = turning_step_of(context->from_blade, blades, context->pair->falling);
    stop->blade = turning_blade_after(first + j, blades, context->pair->falling);
    if (!turning_stop(&context->pair->schedule, j, &stop->count) ||
        !turning_stop_error(stop->count, j, context->on->counts_per_turn, blades, &stop->error) ||
        !exact_mul(exact_whole(stop->count), context->deg_per_count, &stop->pad_deg) ||
        !exact_mul(exact_whole(stop->count), context->ms_per_count, &time)) {
        return false;
    }
    stop->milliseconds = exact_round_half_up(time) + j * context->pause_s * 1000;
    return true;
}

static const char *order(const struct context *context)
{
    return context->pair->falling ? "falling" : "rising";
}

/* Written by hand: ids need no escapes, and a time is a decimal and never a float. */
static void write_json(FILE *out, const struct context *context, const struct stop *stops)
{
    const struct turning_schedule *schedule = &context->pair->schedule;
    char exact[EXACT_TEXT_SIZE];
    fprintf(out, "{\"engine\": \"%s\", \"pad\": \"%s\", \"stage\": \"%s\", \"blades\": %" PRId64,
            context->engine->id.text, context->pad->id.text, context->stage->id.text,
            context->stage->blades.value);
    fprintf(out, ", \"counts_per_rotor_turn\": \"%s\"",
            exact_to_text(context->on->counts_per_turn, exact));
    fprintf(out, ", \"whole\": %" PRId64 ", \"num\": %" PRId64 ", \"den\": %" PRId64,
            schedule->whole, schedule->num, schedule->den);
    fprintf(out, ", \"order\": \"%s\", \"positive\": %d, \"stops\": [", order(context),
            context->on->positive);
    for (int64_t j = 0; j < context->stage->blades.value; j++) {
        char degrees[EXACT_TEXT_SIZE];
        fprintf(out,
                "%s\n{\"blade\": %" PRId64 ", \"count\": %" PRId64
                ", \"pad_deg\": \"%s\", \"error_counts\": \"%s\", \"time_s\": %" PRId64
                ".%03" PRId64 "}",
                j == 0 ? "" : ",", stops[j].blade, stops[j].count,
                exact_to_text(stops[j].pad_deg, degrees), exact_to_text(stops[j].error, exact),
                stops[j].milliseconds / 1000, stops[j].milliseconds % 1000);
    }
    fputs("]}", out);
}

static void write_csv(FILE *out, const struct context *context, const struct stop *stops)
{
    char degrees[EXACT_TEXT_SIZE];
    char error[EXACT_TEXT_SIZE];
    for (int64_t j = 0; j < context->stage->blades.value; j++) {
        fprintf(out, "%s,%s,%s,%" PRId64 ",%" PRId64 ",%s,%s,%" PRId64 ".%03" PRId64 "\n",
                context->engine->id.text, context->pad->id.text, context->stage->id.text,
                stops[j].blade, stops[j].count, exact_to_text(stops[j].pad_deg, degrees),
                exact_to_text(stops[j].error, error), stops[j].milliseconds / 1000,
                stops[j].milliseconds % 1000);
    }
}

static void write_text(FILE *out, const struct context *context, const struct stop *stops)
{
    const struct turning_schedule *schedule = &context->pair->schedule;
    int64_t blades = context->stage->blades.value;
    char text[EXACT_TEXT_SIZE];
    fprintf(out, "%s, stage %s through pad %s: %" PRId64 " blades, ", context->engine->id.text,
            context->stage->id.text, context->pad->id.text, blades);
    fprintf(out, "%s counts a rotor turn, step %" PRId64,
            exact_to_decimal(context->on->counts_per_turn, 3, text), schedule->whole);
    if (schedule->num != 0) {
        fprintf(out, " + %" PRId64 "/%" PRId64, schedule->num, schedule->den);
    }
    fprintf(out, "\nblade numbers %s at the port; the device counts %s in the normal direction\n",
            context->pair->falling ? "fall" : "rise", context->on->positive > 0 ? "up" : "down");
    if (context->pad->drives.value != MODEL_DRIVES_BOTH) {
        fputs("this pad drives one way only: find blade one again if the rotor ran on\n", out);
    }
    fputc('\n', out);
    fputs("  blade       count     pad deg  off, counts   off, rotor deg  off, pitch     time s\n",
          out);
    for (int64_t j = 0; j < blades; j++) {
        struct exact_rational share;
        struct exact_rational degrees;
        char pad[EXACT_TEXT_SIZE];
        char error[EXACT_TEXT_SIZE];
        char off[EXACT_TEXT_SIZE];
        char pitch[EXACT_TEXT_SIZE];
        bool fits = exact_div(stops[j].error, context->on->counts_per_turn, &share) &&
                    exact_mul(share, exact_whole(360), &degrees) &&
                    exact_mul(share, exact_whole(100 * blades), &share);
        fprintf(out, "  %5" PRId64 " %11" PRId64 " %11s %12s %16s %10s%%", stops[j].blade,
                stops[j].count, exact_to_decimal(stops[j].pad_deg, 3, pad),
                exact_to_decimal(stops[j].error, 3, error),
                fits ? exact_to_decimal(degrees, 6, off) : "-",
                fits ? exact_to_decimal(share, 3, pitch) : "-");
        fprintf(out, " %8" PRId64 ".%" PRId64 "\n", stops[j].milliseconds / 1000,
                stops[j].milliseconds % 1000 / 100);
    }
}

bool report_stops_pair(struct report_stops *stops, const struct model_derived *derived,
                       const struct model_pair *pair)
{
    struct context context;
    if (!start(&context, derived, pair)) {
        return false;
    }
    context.from_blade = stops->from_blade;
    context.pause_s = stops->pause_s;
    int64_t blades = context.stage->blades.value;
    struct stop *list = arena_array(derived->arena, (size_t)blades, sizeof *list);
    for (int64_t j = 0; j < blades; j++) {
        if (!stop_at(&context, j, &list[j])) {
            return false;
        }
    }
    bool first = stops->pairs++ == 0;
    switch (stops->format) {
    case REPORT_STOPS_JSON:
        fputs(first ? "[\n" : ",\n", stops->out);
        write_json(stops->out, &context, list);
        break;
    case REPORT_STOPS_CSV:
        fputs(first ? "engine,pad,stage,blade,count,pad_deg,error_counts,time_s\n" : "",
              stops->out);
        write_csv(stops->out, &context, list);
        break;
    case REPORT_STOPS_TEXT:
        fputs(first ? "" : "\n", stops->out);
        write_text(stops->out, &context, list);
        break;
    }
    return true;
}

void report_stops_close(struct report_stops *stops)
{
    if (stops->format == REPORT_STOPS_JSON) {
        fputs(stops->pairs == 0 ? "[]\n" : "\n]\n", stops->out);
    }
}

/* ---- where the rotor is ---------------------------------------------------------------------- */

/* Between two answers: JSON's brackets and commas, CSV's line of headings. */
static void separate(struct report_where *where, const char *headings)
{
    bool first = where->answers++ == 0;
    if (where->format == REPORT_STOPS_JSON) {
        fputs(first ? "[\n" : ",\n", where->out);
    } else if (where->format == REPORT_STOPS_CSV && first) {
        fprintf(where->out, "%s\n", headings);
    }
}

void report_where_close(struct report_where *where)
{
    if (where->format == REPORT_STOPS_JSON) {
        fputs(where->answers == 0 ? "[]\n" : "\n]\n", where->out);
    }
}

/* "0.5 deg of rotor beyond its stop", "... before its stop" or "exactly at its stop". */
static void write_apart(FILE *out, struct exact_rational degrees, int decimals, const char *stop)
{
    char text[EXACT_TEXT_SIZE];
    if (exact_sign(degrees) == 0) {
        fprintf(out, "exactly at %s", stop);
        return;
    }
    fprintf(out, "%s deg of rotor %s %s", exact_to_decimal(exact_abs(degrees), decimals, text),
            exact_sign(degrees) > 0 ? "beyond" : "before", stop);
}

/* The answer for a count. */
struct at_count {
    const char *engine, *pad, *stage;
    int64_t from_blade, count;
    bool named;                /* else the ratio is too uncertain, and the next six are not known */
    int64_t blade, off_counts; /* off: from the whole count that is nearest to the blade */
    struct exact_rational off, degrees;          /* counts and degrees of rotor beyond it */
    int64_t device_blade, device_off;            /* the answer of the device's own steps */
    bool drifts;                                 /* they are whole steps, with a closure */
    struct exact_rational uncertain, half_pitch; /* degrees */
    struct exact_rational turns;                 /* of the rotor, from count 0 */
    int64_t recheck;                             /* rotor turns; 0 never */
};

/*
 * A device that carries the remainder is within half a count of the blade, so its stops give the
 * answer.  A device that repeats a whole step drifts, so the counts of a rotor turn give it.
 */
static bool find_blade(const struct model_derived *derived, const struct model_pair *pair,
                       struct at_count *at)
{
    const struct model_stage *stage = model_stage(derived->engine, pair->stage);
    struct exact_rational counts_per_turn = derived->on.pads[pair->pad].counts_per_turn;
    int64_t blades = stage->blades.value;
    int64_t first = turning_step_of(at->from_blade, blades, pair->falling);
    int64_t step = 0;
    int64_t device_step = 0;
    if (!turning_stop_near(&pair->schedule, at->count, &device_step, &at->device_off)) {
        return false;
    }
    step = device_step;
    if (at->drifts) {
        if (!turning_blade_near(counts_per_turn, blades, at->count, &step, &at->off,
                                &at->degrees)) {
            return false;
        }
        at->off_counts = -exact_round_half_up(exact_negate(at->off));
    } else {
        at->off_counts = at->device_off;
        at->off = exact_whole(at->off_counts);
        if (!exact_div(at->off, counts_per_turn, &at->degrees) ||
            !exact_mul(at->degrees, exact_whole(360), &at->degrees)) {
            return false;
        }
    }
    at->blade = turning_blade_after(first + step % blades, blades, pair->falling);
    at->device_blade = turning_blade_after(first + device_step % blades, blades, pair->falling);
    return true;
}

static bool look(const struct model_derived *derived, const struct model_pair *pair,
                 struct at_count *at)
{
    const struct model_stage *stage = model_stage(derived->engine, pair->stage);
    const struct model_pad_on_device *on = &derived->on.pads[pair->pad];
    at->engine = derived->engine->id.text;
    at->pad = model_pad(derived->engine, pair->pad)->id.text;
    at->stage = stage->id.text;
    at->drifts = exact_sign(pair->closure_counts) != 0;
    at->recheck = on->recheck_turns;
    if (!exact_make(180, stage->blades.value, &at->half_pitch) ||
        !exact_div(exact_whole(at->count), on->counts_per_turn, &at->turns) ||
        !turning_uncertain_at(derived->facts.pads[pair->pad].uncertainty, on->counts_per_turn,
                              at->count, &at->uncertain)) {
        return false;
    }
    at->named = exact_compare(at->uncertain, at->half_pitch) <= 0;
    return !at->named || find_blade(derived, pair, at);
}

/* A number, or nothing if no blade is named. */
static const char *known(const struct at_count *at, const char *nothing, int64_t value,
                         char buffer[EXACT_TEXT_SIZE])
{
    return at->named ? exact_to_text(exact_whole(value), buffer) : nothing;
}

static void write_count_json(FILE *out, const struct at_count *at)
{
    char text[EXACT_TEXT_SIZE];
    fprintf(out,
            "{\"engine\": \"%s\", \"pad\": \"%s\", \"stage\": \"%s\", \"from_blade\": %" PRId64
            ", \"count\": %" PRId64,
            at->engine, at->pad, at->stage, at->from_blade, at->count);
    fprintf(out, ", \"blade\": %s", known(at, "null", at->blade, text));
    fprintf(out, ", \"off_counts\": %s", known(at, "null", at->off_counts, text));
    if (at->named) {
        fprintf(out, ", \"off_deg\": \"%s\"", exact_to_text(at->degrees, text));
    } else {
        fputs(", \"off_deg\": null", out);
    }
    fprintf(out, ", \"uncertain_deg\": \"%s\"", exact_to_text(at->uncertain, text));
    fprintf(out, ", \"device_blade\": %s", known(at, "null", at->device_blade, text));
    fprintf(out, ", \"device_off_counts\": %s", known(at, "null", at->device_off, text));
    fprintf(out, ", \"recheck_turns\": %" PRId64 "}", at->recheck);
}

static void write_count_csv(FILE *out, const struct at_count *at)
{
    char text[EXACT_TEXT_SIZE];
    fprintf(out, "%s,%s,%s,%" PRId64 ",%" PRId64, at->engine, at->pad, at->stage, at->from_blade,
            at->count);
    fprintf(out, ",%s", known(at, "", at->blade, text));
    fprintf(out, ",%s", known(at, "", at->off_counts, text));
    fprintf(out, ",%s", at->named ? exact_to_text(at->degrees, text) : "");
    fprintf(out, ",%s", exact_to_text(at->uncertain, text));
    fprintf(out, ",%s", known(at, "", at->device_blade, text));
    fprintf(out, ",%s,%" PRId64 "\n", known(at, "", at->device_off, text), at->recheck);
}

/* Whether the uncertainty goes beyond the middle between the blade and its neighbour. */
static bool may_be_next(const struct at_count *at)
{
    struct exact_rational reach;
    return !exact_add(exact_abs(at->degrees), at->uncertain, &reach) ||
           exact_compare(reach, at->half_pitch) > 0;
}

/* How sure the answer is, and when blade one must be found again. */
static void write_doubts(FILE *out, const struct at_count *at)
{
    char text[EXACT_TEXT_SIZE];
    bool unsure = exact_sign(at->uncertain) > 0;
    struct exact_rational off = exact_whole(at->device_off);
    bool differs = at->named && (at->device_blade != at->blade || !exact_equal(off, at->off));
    if (unsure) {
        fprintf(out, "  the ratio is rounded: %s deg of rotor either way are uncertain here",
                exact_to_decimal(at->uncertain, 4, text));
        if (!at->named) {
            fprintf(out, ", more than half a pitch, %s deg",
                    exact_to_decimal(at->half_pitch, 4, text));
        } else if (may_be_next(at)) {
            fputs(", so it may be the blade beside it", out);
        }
        fputc('\n', out);
    }
    if (differs) {
        const char *side = at->device_off < 0 ? "before" : "beyond";
        int64_t apart = at->device_off < 0 ? -at->device_off : at->device_off;
        fprintf(out,
                "  the device repeats one whole step: by its own count it is at blade %" PRId64
                ", %" PRId64 " counts %s its stop\n",
                at->device_blade, apart, side);
    }
    if ((unsure || differs) && at->recheck != 0) {
        fprintf(out, "  find blade one again after %" PRId64 " rotor turn%s; this count is %s\n",
                at->recheck, words_plural(at->recheck), exact_to_decimal(at->turns, 2, text));
    }
}

static void write_count_text(FILE *out, const struct at_count *at)
{
    char text[EXACT_TEXT_SIZE];
    fprintf(out, "%s, pad %s, count %" PRId64, at->engine, at->pad, at->count);
    if (at->from_blade != 1) {
        fprintf(out, " from blade %" PRId64, at->from_blade);
    }
    if (at->named) {
        fprintf(out, ": blade %" PRId64 " of %s, %s counts, ", at->blade, at->stage,
                exact_to_decimal(at->off, 3, text));
        write_apart(out, at->degrees, at->drifts ? 6 : 4, at->drifts ? "the port" : "its stop");
        fputc('\n', out);
    } else {
        fprintf(out, ": no blade of %s can be named\n", at->stage);
    }
    write_doubts(out, at);
}

enum report_where_result report_where_count(struct report_where *where,
                                            const struct model_derived *derived,
                                            const struct model_pair *pair, int64_t from_blade,
                                            int64_t count)
{
    struct at_count at = {.from_blade = from_blade, .count = count};
    if (!look(derived, pair, &at)) {
        return REPORT_WHERE_OVERFLOW;
    }
    separate(where, "engine,pad,stage,from_blade,count,blade,off_counts,off_deg,uncertain_deg,"
                    "device_blade,device_off_counts,recheck_turns");
    switch (where->format) {
    case REPORT_STOPS_JSON: write_count_json(where->out, &at); break;
    case REPORT_STOPS_CSV: write_count_csv(where->out, &at); break;
    case REPORT_STOPS_TEXT: write_count_text(where->out, &at); break;
    }
    return at.named ? REPORT_WHERE_NAMED : REPORT_WHERE_UNSURE;
}

/* The rotor angle at which blade one is at a port; false on overflow. */
static bool blade_one_at(const struct model_derived *derived, const struct model_stage *stage,
                         size_t port, struct exact_rational *out)
{
    struct exact_interval clocking;
    if (!model_quantity_in(&stage->clocking, EXACT_DEG, &clocking)) {
        return false;
    }
    const struct model_port *opening = MODEL_ITEM(stage->ports, struct model_port, port);
    bool ccw = model_spool_sign(model_spool(derived->engine, stage->spool_index)) < 0;
    return turning_port_angle(opening->clock.value, ccw, clocking.lo, out);
}

/* The question: a blade of one stage, for the blades of another. */
struct carried {
    const struct model_stage *from, *to;
    int64_t from_blade;
};

static void write_carried(struct report_where *where, const char *engine,
                          const struct carried *asked, size_t port, int64_t blade,
                          struct exact_rational beyond)
{
    const struct model_port *opening = MODEL_ITEM(asked->to->ports, struct model_port, port);
    FILE *out = where->out;
    char text[EXACT_TEXT_SIZE];
    separate(where, "engine,from_stage,from_blade,stage,port,blade,off_deg");
    switch (where->format) {
    case REPORT_STOPS_JSON:
        fprintf(out,
                "{\"engine\": \"%s\", \"from_stage\": \"%s\", \"from_blade\": %" PRId64
                ", \"stage\": \"%s\", \"port\": \"%s\", \"blade\": %" PRId64
                ", \"off_deg\": \"%s\"}",
                engine, asked->from->id.text, asked->from_blade, asked->to->id.text,
                opening->id.text, blade, exact_to_text(beyond, text));
        break;
    case REPORT_STOPS_CSV:
        fprintf(out, "%s,%s,%" PRId64 ",%s,%s,%" PRId64 ",%s\n", engine, asked->from->id.text,
                asked->from_blade, asked->to->id.text, opening->id.text, blade,
                exact_to_text(beyond, text));
        break;
    case REPORT_STOPS_TEXT:
        fprintf(out,
                "%s, while blade %" PRId64 " of %s is at its port: blade %" PRId64 " of %s at %s, ",
                engine, asked->from_blade, asked->from->id.text, blade, asked->to->id.text,
                opening->id.text);
        write_apart(out, beyond, 4, "its stop");
        fputc('\n', out);
        break;
    }
}

enum report_where_result report_where_carried(struct report_where *where,
                                              const struct model_derived *derived,
                                              const struct model_stage *from, int64_t blade,
                                              const struct model_stage *to)
{
    struct exact_rational angle;
    struct exact_rational turned;
    const struct carried asked = {from, to, blade};
    bool falling = from->numbering.value == MODEL_WITH_ROTATION;
    int64_t steps = turning_step_of(blade, from->blades.value, falling);
    if (!blade_one_at(derived, from, 0, &angle) ||
        !exact_make((exact_wide)steps * 360, from->blades.value, &turned) ||
        !exact_add(angle, turned, &angle)) {
        return REPORT_WHERE_OVERFLOW;
    }
    for (size_t port = 0; port < to->ports.count; port++) {
        struct exact_rational blade_one;
        struct exact_rational beyond;
        int64_t step = 0;
        if (!blade_one_at(derived, to, port, &blade_one) ||
            !turning_angle_near(angle, blade_one, to->blades.value, &step, &beyond)) {
            return REPORT_WHERE_OVERFLOW;
        }
        bool to_falling = to->numbering.value == MODEL_WITH_ROTATION;
        write_carried(where, derived->engine->id.text, &asked, port,
                      turning_blade_after(step, to->blades.value, to_falling), beyond);
    }
    return REPORT_WHERE_NAMED;
}
