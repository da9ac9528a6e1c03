/*
 * stops.c - the stops of a stage.
 */
#include "report/stops.h"

#include "report/csv.h"
#include "report/json.h"
#include "text/utf8.h"
#include "turning/where.h"
#include "words/budget.h"
#include "words/number.h"

#include <inttypes.h>
#include <string.h>

/* One stop, in exact numbers. */
struct stop {
    int64_t blade, count;
    struct exact_rational pad_deg;
    struct exact_rational error; /* counts, actual minus exact */
    int64_t milliseconds;        /* from the first row, at the speed limit, with the pauses */
    const char *known_by;        /* how to recognise the blade; NULL: it cannot be recognised */
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
    struct model_budget budget;
    struct arena *arena;
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
    context->budget = model_budget(derived, pair);
    context->arena = derived->arena;
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

/* How to recognise a blade other than blade one; NULL if it cannot be recognised. */
static const char *known_by(const struct model_stage *stage, int64_t blade)
{
    for (size_t i = 0; i < stage->known_blades.count; i++) {
        const struct model_known_blade *known =
            MODEL_ITEM(stage->known_blades, struct model_known_blade, i);
        if (known->blade.value == blade) {
            return known->how.text;
        }
    }
    return NULL;
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
    stop->known_by = known_by(context->stage, stop->blade);
    stop->milliseconds = exact_round_half_up(time) + j * context->pause_s * 1000;
    return true;
}

static const char *order(const struct context *context)
{
    return context->pair->falling ? "falling" : "rising";
}

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

static void write_budget_text(FILE *out, const struct context *context)
{
    struct words_place places[2];
    size_t count = words_budget(context->arena, &context->budget, places);
    for (size_t i = 0; i < count; i++) {
        fprintf(out, "error%s%s: %s", *places[i].when ? ", " : "", places[i].when, places[i].most);
        if (*places[i].parts) {
            fprintf(out, " (%s)", places[i].parts);
        }
        fputc('\n', out);
    }
}

/* Written by hand: only a mark needs escapes, and a time is a decimal and never a float. */
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
    fprintf(out, ", \"order\": \"%s\", \"positive\": %d, \"error_budget\": ", order(context),
            context->on->positive);
    write_budget_json(out, &context->budget);
    fputs(", \"stops\": [", out);
    for (int64_t j = 0; j < context->stage->blades.value; j++) {
        char degrees[EXACT_TEXT_SIZE];
        fprintf(out,
                "%s\n{\"blade\": %" PRId64 ", \"count\": %" PRId64
                ", \"pad_deg\": \"%s\", \"error_counts\": \"%s\", \"time_s\": %" PRId64
                ".%03" PRId64 ", \"known_by\": ",
                j == 0 ? "" : ",", stops[j].blade, stops[j].count,
                exact_to_text(stops[j].pad_deg, degrees), exact_to_text(stops[j].error, exact),
                stops[j].milliseconds / 1000, stops[j].milliseconds % 1000);
        report_json(out, stops[j].known_by ? report_json_text(stops[j].known_by) : json_null(),
                    JSON_ENCODE_ANY);
        fputc('}', out);
    }
    fputs("]}", out);
}

static void write_csv(FILE *out, const struct context *context, const struct stop *stops)
{
    char degrees[EXACT_TEXT_SIZE];
    char error[EXACT_TEXT_SIZE];
    for (int64_t j = 0; j < context->stage->blades.value; j++) {
        fprintf(out, "%s,%s,%s,%" PRId64 ",%" PRId64 ",%s,%s,%" PRId64 ".%03" PRId64 ",",
                context->engine->id.text, context->pad->id.text, context->stage->id.text,
                stops[j].blade, stops[j].count, exact_to_text(stops[j].pad_deg, degrees),
                exact_to_text(stops[j].error, error), stops[j].milliseconds / 1000,
                stops[j].milliseconds % 1000);
        report_csv_text(out, stops[j].known_by ? stops[j].known_by : "");
        fputc('\n', out);
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
    write_budget_text(out, context);
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
        fprintf(out, " %8" PRId64 ".%" PRId64, stops[j].milliseconds / 1000,
                stops[j].milliseconds % 1000 / 100);
        if (stops[j].known_by) {
            fputs("  known by: ", out);
            text_write_clean(out, stops[j].known_by, strlen(stops[j].known_by));
        }
        fputc('\n', out);
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
        fputs(first ? "engine,pad,stage,blade,count,pad_deg,error_counts,time_s,known_by\n" : "",
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
