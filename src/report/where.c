/*
 * where.c - which blade is at a port: at a count, or beside a blade of another stage.
 */
#include "report/where.h"

#include "turning/where.h"
#include "words/number.h"

#include <inttypes.h>

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

static const char *port_id(const struct model_stage *stage, size_t port)
{
    return port == REPORT_NO_PORT ? NULL
                                  : MODEL_ITEM(stage->ports, struct model_port, port)->id.text;
}

/* The answer for a count. */
struct at_count {
    const char *engine, *pad, *stage;
    const char *port; /* NULL: none is known */
    int64_t from_blade, count;
    int64_t device_count;      /* what the counter of the device shows, from its 0 there */
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
    at->device_count = on->positive * at->count;
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
    const char *quote = at->port ? "\"" : "";
    char text[EXACT_TEXT_SIZE];
    fprintf(out,
            "{\"engine\": \"%s\", \"pad\": \"%s\", \"stage\": \"%s\", \"port\": %s%s%s, "
            "\"from_blade\": %" PRId64 ", \"count\": %" PRId64 ", \"device_count\": %" PRId64,
            at->engine, at->pad, at->stage, quote, at->port ? at->port : "null", quote,
            at->from_blade, at->count, at->device_count);
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
    fprintf(out, "%s,%s,%s,%s,%" PRId64 ",%" PRId64 ",%" PRId64, at->engine, at->pad, at->stage,
            at->port ? at->port : "", at->from_blade, at->count, at->device_count);
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
    const char *from =
        at->from_blade == 1 ? "one" : exact_to_text(exact_whole(at->from_blade), text);
    fprintf(out, "%s, pad %s, count %" PRId64 " from its own blade %s", at->engine, at->pad,
            at->count, from);
    if (at->named) {
        fprintf(out, ": blade %" PRId64 " of %s%s%s, %s counts, ", at->blade, at->stage,
                at->port ? " at " : "", at->port ? at->port : "",
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
                                            const struct model_pair *pair, size_t port,
                                            int64_t from_blade, int64_t count)
{
    struct at_count at = {.from_blade = from_blade, .count = count};
    at.port = port_id(model_stage(derived->engine, pair->stage), port);
    if (!look(derived, pair, &at)) {
        return REPORT_WHERE_OVERFLOW;
    }
    separate(where, "engine,pad,stage,port,from_blade,count,device_count,blade,off_counts,off_deg,"
                    "uncertain_deg,device_blade,device_off_counts,recheck_turns");
    switch (where->format) {
    case REPORT_STOPS_JSON: write_count_json(where->out, &at); break;
    case REPORT_STOPS_CSV: write_count_csv(where->out, &at); break;
    case REPORT_STOPS_TEXT: write_count_text(where->out, &at); break;
    }
    return at.named ? REPORT_WHERE_NAMED : REPORT_WHERE_UNSURE;
}

static void write_carried(struct report_where *where, const char *engine,
                          const struct report_blade_at *from, const struct report_blade_at *to,
                          struct exact_rational beyond)
{
    const char *from_port = port_id(from->stage, from->port);
    const char *port = port_id(to->stage, to->port);
    FILE *out = where->out;
    char text[EXACT_TEXT_SIZE];
    separate(where, "engine,from_stage,from_port,from_blade,stage,port,blade,off_deg");
    switch (where->format) {
    case REPORT_STOPS_JSON:
        fprintf(out,
                "{\"engine\": \"%s\", \"from_stage\": \"%s\", \"from_port\": \"%s\", "
                "\"from_blade\": %" PRId64
                ", \"stage\": \"%s\", \"port\": \"%s\", \"blade\": %" PRId64
                ", \"off_deg\": \"%s\"}",
                engine, from->stage->id.text, from_port, from->blade, to->stage->id.text, port,
                to->blade, exact_to_text(beyond, text));
        break;
    case REPORT_STOPS_CSV:
        fprintf(out, "%s,%s,%s,%" PRId64 ",%s,%s,%" PRId64 ",%s\n", engine, from->stage->id.text,
                from_port, from->blade, to->stage->id.text, port, to->blade,
                exact_to_text(beyond, text));
        break;
    case REPORT_STOPS_TEXT:
        fprintf(out, "%s, while blade %" PRId64 " of %s is at %s: blade %" PRId64 " of %s at %s, ",
                engine, from->blade, from->stage->id.text, from_port, to->blade, to->stage->id.text,
                port);
        write_apart(out, beyond, 4, "its stop");
        fputc('\n', out);
        break;
    }
}

enum report_where_result report_where_carried(struct report_where *where,
                                              const struct model_derived *derived,
                                              const struct report_blade_at *from,
                                              const struct model_stage *to, size_t port)
{
    const int64_t blades = from->stage->blades.value;
    const int64_t turned = turning_step_of(from->blade, blades, model_numbers_fall(from->stage));
    struct exact_rational angle;
    struct exact_rational blade_one;
    struct exact_rational beyond;
    int64_t step = 0;
    if (!model_port_angle(derived->engine, from->stage, from->port, &angle) ||
        !exact_add(angle, turning_angle_of(turned, blades), &angle) ||
        !model_port_angle(derived->engine, to, port, &blade_one) ||
        !turning_angle_near(angle, blade_one, to->blades.value, &step, &beyond)) {
        return REPORT_WHERE_OVERFLOW;
    }
    const struct report_blade_at there = {
        to, port, turning_blade_after(step, to->blades.value, model_numbers_fall(to))};
    write_carried(where, derived->engine->id.text, from, &there, beyond);
    return REPORT_WHERE_NAMED;
}
