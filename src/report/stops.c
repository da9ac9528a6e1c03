/*
 * stops.c - the stops of a stage.
 */
#include "report/stops.h"

#include "report/csv.h"
#include "report/stops_parts.h"
#include "turning/where.h"
#include "words/budget.h"
#include "words/name.h"
#include "words/number.h"
#include "words/port.h"

#include <inttypes.h>

/* What all stops of a stage share. */
struct context {
    const struct model_derived *derived;
    const struct model_stage *stage;
    size_t port; /* REPORT_NO_PORT: none */
    bool falling;
    int64_t from_blade, pause_s;
    /* NULL for a stage that is turned by hand: */
    const struct model_pair *pair;
    const struct model_pad *pad;
    const struct model_pad_on_device *on;
    struct exact_rational deg_per_count; /* of the pad */
    struct exact_rational ms_per_count;
    struct model_budget budget;
};

static struct context context_of(const struct report_stops *stops,
                                 const struct model_derived *derived, size_t stage, size_t port)
{
    struct context context = {.derived = derived,
                              .stage = model_stage(derived->engine, stage),
                              .port = port,
                              .from_blade = stops->from_blade,
                              .pause_s = stops->pause_s};
    context.falling = model_numbers_fall(context.stage);
    return context;
}

/* Adds what a pad and a device make of it. */
static bool add_pair(struct context *context, const struct model_pair *pair)
{
    const struct model_derived *derived = context->derived;
    context->pair = pair;
    context->pad = model_pad(derived->engine, pair->pad);
    context->on = &derived->on.pads[pair->pad];
    context->budget = model_budget(derived, pair);
    return model_count_at_pad(derived, pair->pad, &context->deg_per_count, &context->ms_per_count);
}

/* The j-th stop from the first row's blade, in passing order. */
static bool stop_at(const struct context *context, int64_t j, struct stops_stop *stop)
{
    int64_t blades = context->stage->blades.value;
    struct exact_rational time;
    int64_t first = turning_step_of(context->from_blade, blades, context->falling);
    stop->blade = turning_blade_after(first + j, blades, context->falling);
    stop->rotor_deg = turning_angle_of(j, blades);
    stop->known_by = model_known_by(context->stage, stop->blade);
    if (!context->pair) {
        return true;
    }
    if (!turning_stop(&context->pair->schedule, j, &stop->count) ||
        !turning_stop_error(stop->count, j, context->on->counts_per_turn, blades, &stop->error) ||
        !exact_mul(exact_whole(stop->count), context->deg_per_count, &stop->pad_deg) ||
        !exact_mul(exact_whole(stop->count), context->ms_per_count, &time)) {
        return false;
    }
    stop->milliseconds = exact_round_half_up(time) + j * context->pause_s * 1000;
    return true;
}

static const struct model_port *port_of(const struct context *context, size_t port)
{
    return MODEL_ITEM(context->stage->ports, struct model_port, port);
}

static const char *port_id(const struct context *context)
{
    return context->port == REPORT_NO_PORT ? NULL : port_of(context, context->port)->id.text;
}

/* The ports of the stage that the stops are not for; calls `write` for each. */
static void each_other_port(FILE *out, const struct context *context,
                            void (*write)(FILE *, const struct context *, const struct model_port *,
                                          const struct turning_apart *))
{
    for (size_t i = 0; context->port != REPORT_NO_PORT && i < context->stage->ports.count; i++) {
        if (i != context->port) {
            const struct turning_apart apart =
                model_ports_apart(context->derived->engine, context->stage, context->port, i);
            write(out, context, port_of(context, i), &apart);
        }
    }
}

/* ---- JSON ------------------------------------------------------------------------------------ */

/* The error budget: null if it is not known. */
static void write_budget_json(FILE *out, const struct model_budget *budget)
{
    static const char *const names[TURNING_ERRORS] = {
        [TURNING_ROUNDING] = "rounding",
        [TURNING_CLOSURE] = "closure",
        [TURNING_BACKLASH] = "backlash",
        [TURNING_RATIO] = "ratio",
    };
    char exact[EXACT_TEXT_SIZE];
    if (!budget->known) {
        fputs("null", out);
        return;
    }
    fprintf(out, "{\"backlash_known\": %s, \"ratio\": \"%s\", \"places\": [",
            budget->backlash_known ? "true" : "false",
            budget->observed                ? "observed"
            : exact_is_point(budget->ratio) ? "exact"
                                            : "stated");
    for (size_t i = 0; i < budget->is.count; i++) {
        const struct turning_place *place = &budget->is.places[i];
        fprintf(out, "%s\n{\"rotor_turns\": %" PRId64 ", \"steps\": %" PRId64, i == 0 ? "" : ",",
                place->turns, place->steps);
        fprintf(out, ", \"deg\": \"%s\"", exact_to_text(place->degrees, exact));
        fprintf(out, ", \"share_of_pitch\": \"%s\", \"parts\": [",
                exact_to_text(place->share, exact));
        for (size_t j = 0; j < place->count; j++) {
            fprintf(out, "%s{\"part\": \"%s\", \"deg\": \"%s\"}", j == 0 ? "" : ", ",
                    names[place->parts[j].error], exact_to_text(place->parts[j].degrees, exact));
        }
        fputs("]}", out);
    }
    fputs("]}", out);
}

static void json_other_port(FILE *out, const struct context *context, const struct model_port *port,
                            const struct turning_apart *apart)
{
    const struct exact_rational per_blade = turning_pitch(context->stage->blades.value);
    struct exact_rational counts;
    struct exact_rational off;
    bool first = port == port_of(context, context->port == 0 ? 1 : 0);
    fprintf(out, "%s{\"port\": \"%s\"", first ? "" : ", ", port->id.text);
    stops_json_text(out, "clock", words_clock(context->derived->arena, port->clock.minutes.value));
    stops_json_exact(out, "rotor_deg", apart->degrees);
    stops_json_exact(out, "blades", apart->blades);
    if (context->pair && turning_counts_of(apart->degrees, context->on->counts_per_turn, &counts)) {
        stops_json_exact(out, "counts", counts);
    } else {
        stops_json_text(out, "counts", NULL);
    }
    stops_json_exact(out, "off_pitch", apart->beyond);
    if (exact_mul(apart->beyond, per_blade, &off)) {
        stops_json_exact(out, "off_deg", off);
    }
    fputc('}', out);
}

static void write_json(FILE *out, const struct context *context, const struct stops_stop *stops)
{
    struct arena *arena = context->derived->arena;
    fprintf(out, "{\"engine\": \"%s\"", context->derived->engine->id.text);
    stops_json_engine(out, arena, context->derived->engine, context->stage->spool_index,
                      context->pair ? context->pair->pad : WORDS_ALL);
    stops_json_text(out, "pad", context->pair ? context->pad->id.text : NULL);
    stops_json_text(out, "stage", context->stage->id.text);
    stops_json_text(out, "port", port_id(context));
    stops_json_text(out, "clock",
                    port_id(context)
                        ? words_clock(arena, port_of(context, context->port)->clock.minutes.value)
                        : NULL);
    fputs(", \"other_ports\": [", out);
    each_other_port(out, context, json_other_port);
    fputc(']', out);
    stops_json_whole(out, "blades", context->stage->blades.value);
    stops_json_exact(out, "pitch_deg", turning_pitch(context->stage->blades.value));
    if (context->pair) {
        const struct turning_schedule *schedule = &context->pair->schedule;
        stops_json_exact(out, "counts_per_rotor_turn", context->on->counts_per_turn);
        stops_json_whole(out, "whole", schedule->whole);
        stops_json_whole(out, "num", schedule->num);
        stops_json_whole(out, "den", schedule->den);
        stops_json_whole(out, "positive", context->on->positive);
        fputs(", \"error_budget\": ", out);
        write_budget_json(out, &context->budget);
    }
    stops_json_text(out, "order", context->falling ? "falling" : "rising");
    fputs(", \"stops\": [", out);
    for (int64_t j = 0; j < context->stage->blades.value; j++) {
        fputs(j == 0 ? "\n" : ",\n", out);
        fprintf(out, "{\"blade\": %" PRId64, stops[j].blade);
        stops_json_stop(out, &stops[j], context->on ? context->on->positive : 0);
    }
    fputs("]}", out);
}

/* ---- CSV and text ---------------------------------------------------------------------------- */

static void write_csv(FILE *out, const struct context *context, const struct stops_stop *stops)
{
    for (int64_t j = 0; j < context->stage->blades.value; j++) {
        const struct stops_stop *stop = &stops[j];
        fprintf(out, "%s,%s,%s,%s,%" PRId64, context->derived->engine->id.text,
                context->pair ? context->pad->id.text : "", context->stage->id.text,
                port_id(context) ? port_id(context) : "", stop->blade);
        stops_csv_stop(out, stop, context->on ? context->on->positive : 0);
    }
}

static void text_other_port(FILE *out, const struct context *context, const struct model_port *port,
                            const struct turning_apart *apart)
{
    struct arena *arena = context->derived->arena;
    fprintf(out, "port %s is farther by %s%s%s\n  every stop there is %s\n",
            words_port(arena, port), words_apart(arena, apart), context->pair ? ", " : "",
            context->pair ? words_apart_counts(arena, apart, context->on->counts_per_turn) : "",
            words_stops_apart(arena, apart, context->stage->blades.value));
}

/* Which port the stops are for, and how far the others are. */
static void text_ports(FILE *out, const struct context *context)
{
    if (context->port == REPORT_NO_PORT) {
        return;
    }
    fprintf(out, "the stops are for port %s\n",
            words_port(context->derived->arena, port_of(context, context->port)));
    each_other_port(out, context, text_other_port);
}

static void write_budget_text(FILE *out, const struct context *context)
{
    struct words_place places[2];
    size_t count = words_budget(context->derived->arena, &context->budget, places);
    for (size_t i = 0; i < count; i++) {
        fprintf(out, "error budget%s%s: %s", *places[i].when ? " " : "", places[i].when,
                places[i].most);
        if (*places[i].parts) {
            fprintf(out, " (%s)", places[i].parts);
        }
        fputc('\n', out);
    }
}

static void text_stop(FILE *out, const struct context *context, const struct stops_stop *stop)
{
    struct exact_rational share;
    struct exact_rational degrees;
    char pad[EXACT_TEXT_SIZE];
    char error[EXACT_TEXT_SIZE];
    char off[EXACT_TEXT_SIZE];
    char pitch[EXACT_TEXT_SIZE];
    bool fits = exact_div(stop->error, context->on->counts_per_turn, &share) &&
                exact_mul(share, exact_whole(360), &degrees) &&
                exact_mul(share, exact_whole(100 * context->stage->blades.value), &share);
    fprintf(out, "  %5" PRId64 " %11" PRId64 " %11s %12s %16s %10s%%", stop->blade, stop->count,
            exact_to_decimal(stop->pad_deg, 3, pad), exact_to_decimal(stop->error, 3, error),
            fits ? exact_to_decimal(degrees, 6, off) : "-",
            fits ? exact_to_decimal(share, 3, pitch) : "-");
    fprintf(out, " %8" PRId64 ".%" PRId64, stop->milliseconds / 1000,
            stop->milliseconds % 1000 / 100);
    stops_text_known(out, stop->known_by);
}

static void text_through_pad(FILE *out, const struct context *context,
                             const struct stops_stop *stops)
{
    const struct turning_schedule *schedule = &context->pair->schedule;
    const bool up = context->on->positive > 0;
    char text[EXACT_TEXT_SIZE];
    fprintf(out, "%s, stage %s through pad %s: %" PRId64 " blades, ",
            context->derived->engine->id.text, context->stage->id.text, context->pad->id.text,
            context->stage->blades.value);
    fprintf(out, "%s counts a rotor turn, step %" PRId64,
            exact_to_decimal(context->on->counts_per_turn, 3, text), schedule->whole);
    if (schedule->num != 0) {
        fprintf(out, " + %" PRId64 "/%" PRId64, schedule->num, schedule->den);
    }
    fputc('\n', out);
    stops_text_models(out, context->derived->arena, context->derived->engine);
    fprintf(out, "blade numbers %s at the port; the device counts %s in the normal direction\n",
            context->falling ? "fall" : "rise", up ? "up" : "down");
    text_ports(out, context);
    stops_text_one_way(out, context->pad);
    write_budget_text(out, context);
    fprintf(out,
            "\n  blade   count (%c)     pad deg  off, counts   off, rotor deg  off, pitch     time "
            "s\n",
            up ? '+' : '-');
    for (int64_t j = 0; j < context->stage->blades.value; j++) {
        text_stop(out, context, &stops[j]);
    }
}

static void text_by_hand(FILE *out, const struct context *context, const struct stops_stop *stops)
{
    const struct model_spool *spool =
        model_spool(context->derived->engine, context->stage->spool_index);
    struct arena *arena = context->derived->arena;
    fprintf(out, "%s, stage %s, turned by hand: %" PRId64 " blades, pitch %s deg of rotor\n",
            context->derived->engine->id.text, context->stage->id.text,
            context->stage->blades.value,
            words_exact_and_decimal(arena, turning_pitch(context->stage->blades.value)));
    stops_text_models(out, arena, context->derived->engine);
    fprintf(out, "turn spool %s %s, seen %s: blade numbers %s at the port\n", spool->id.text,
            words_sense(model_spool_sign(spool)), words_view(MODEL_AFT_LOOKING_FORWARD),
            context->falling ? "fall" : "rise");
    text_ports(out, context);
    if (spool->never_backwards.value == 1) {
        fputs("never turn it backwards: no device prevents it\n", out);
    }
    fputs("\n  blade   rotor deg\n", out);
    for (int64_t j = 0; j < context->stage->blades.value; j++) {
        char text[EXACT_TEXT_SIZE];
        fprintf(out, "  %5" PRId64 " %11s", stops[j].blade,
                exact_to_decimal(stops[j].rotor_deg, 3, text));
        stops_text_known(out, stops[j].known_by);
    }
}

/* ---- a stage ----------------------------------------------------------------------------------
 */

/* All stops of the stage; NULL if a number does not fit 64 bits. */
static const struct stops_stop *all_stops(const struct context *context)
{
    const int64_t blades = context->stage->blades.value;
    struct stops_stop *list = arena_array(context->derived->arena, (size_t)blades, sizeof *list);
    for (int64_t j = 0; j < blades; j++) {
        if (!stop_at(context, j, &list[j])) {
            return NULL;
        }
    }
    return list;
}

static bool write_stage(struct report_stops *stops, const struct context *context)
{
    const struct stops_stop *list = all_stops(context);
    if (!list) {
        return false;
    }
    bool first = stops->stages++ == 0;
    switch (stops->format) {
    case REPORT_STOPS_JSON:
        fputs(first ? "[\n" : ",\n", stops->out);
        write_json(stops->out, context, list);
        break;
    case REPORT_STOPS_CSV:
        fputs(first ? "engine,pad,stage,port,blade,count,device_count,rotor_deg,pad_deg,"
                      "error_counts,time_s,known_by\n"
                    : "",
              stops->out);
        write_csv(stops->out, context, list);
        break;
    case REPORT_STOPS_TEXT:
        fputs(first ? "" : "\n", stops->out);
        stops_text_before(stops->out, context->derived->arena, context->derived->engine,
                          context->stage->spool_index,
                          context->pair ? context->pair->pad : WORDS_ALL);
        (context->pair ? text_through_pad : text_by_hand)(stops->out, context, list);
        break;
    }
    return true;
}

bool report_stops_pair(struct report_stops *stops, const struct model_derived *derived,
                       const struct model_pair *pair, size_t port)
{
    struct context context = context_of(stops, derived, pair->stage, port);
    return add_pair(&context, pair) && write_stage(stops, &context);
}

void report_stops_by_hand(struct report_stops *stops, const struct model_derived *derived,
                          size_t stage, size_t port)
{
    const struct context context = context_of(stops, derived, stage, port);
    (void)write_stage(stops, &context); /* its angles always fit */
}

void report_stops_close(struct report_stops *stops)
{
    if (stops->format == REPORT_STOPS_JSON) {
        fputs(stops->stages == 0 ? "[]\n" : "\n]\n", stops->out);
    }
}
