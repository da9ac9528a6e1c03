/*
 * pass.c - one pass of a spool.
 *
 * The stops of a probe rise, so they are merged one by one, and nothing is stored.
 */
#include "report/pass.h"

#include "report/csv.h"
#include "report/stops_parts.h"
#include "words/name.h"
#include "words/number.h"
#include "words/port.h"

#include <string.h>

/* The stops of one probe. */
struct stream {
    const struct model_stage *stage;
    const struct model_port *port;
    bool falling;
    int64_t step;                /* of the first stop */
    struct exact_rational first; /* rotor angle of that from count 0, degrees */
    int64_t next;                /* stops that are written */
    struct exact_rational angle; /* of the next one */
};

/* One stop of a pass. */
struct pass_stop {
    const struct stream *from;
    struct stops_stop is;
};

struct merge {
    struct report_pass *pass;
    const struct model_derived *derived;
    const struct report_pass_ask *ask;
    const struct model_pad_on_device *on; /* NULL by hand */
    struct exact_rational deg_per_count, ms_per_count;
    struct stream *streams;
    int64_t taken, paused; /* stops, and counts with a stop before the present one */
    int64_t last_count;
    int stage_width, port_width; /* of the columns */
};

/* Where the stops of a probe begin, if the rotor is at an angle from the datum mark at count 0. */
static bool start_stream(const struct merge *merge, const struct report_probe *probe,
                         struct exact_rational zero, struct stream *stream)
{
    const struct model_engine *engine = merge->derived->engine;
    struct exact_rational blade_one;
    stream->stage = model_stage(engine, probe->stage);
    stream->port = MODEL_ITEM(stream->stage->ports, struct model_port, probe->port);
    stream->falling = model_numbers_fall(stream->stage);
    return model_port_angle(engine, stream->stage, probe->port, &blade_one) &&
           turning_angle_next(zero, blade_one, stream->stage->blades.value, &stream->step,
                              &stream->first);
}

static bool start(struct merge *merge)
{
    const struct report_pass_ask *ask = merge->ask;
    const struct model_engine *engine = merge->derived->engine;
    const struct model_stage *stage = model_stage(engine, ask->zero.stage);
    const int64_t blades = stage->blades.value;
    const bool falling = model_numbers_fall(stage);
    const int64_t turned = turning_step_of(ask->from_blade, blades, falling);
    struct exact_rational zero;
    if (!model_port_angle(engine, stage, ask->zero.port, &zero) ||
        !exact_add(zero, turning_angle_of(turned, blades), &zero)) {
        return false;
    }
    merge->streams = arena_array(merge->derived->arena, ask->count, sizeof *merge->streams);
    for (size_t i = 0; i < ask->count; i++) {
        if (!start_stream(merge, &ask->probes[i], zero, &merge->streams[i])) {
            return false;
        }
    }
    if (ask->pad == REPORT_BY_HAND) {
        return true;
    }
    merge->on = &merge->derived->on.pads[ask->pad];
    return model_count_at_pad(merge->derived, ask->pad, &merge->deg_per_count,
                              &merge->ms_per_count);
}

/* The probe with the next stop, the first of several; NULL after the last stop. */
static struct stream *next_stream(const struct merge *merge)
{
    struct stream *next = NULL;
    for (size_t i = 0; i < merge->ask->count; i++) {
        struct stream *stream = &merge->streams[i];
        if (stream->next < stream->stage->blades.value &&
            (!next || exact_compare(stream->angle, next->angle) < 0)) {
            next = stream;
        }
    }
    return next;
}

static bool count_stop(struct merge *merge, struct pass_stop *stop)
{
    struct exact_rational counts;
    struct exact_rational time;
    if (!turning_counts_of(stop->is.rotor_deg, merge->on->counts_per_turn, &counts)) {
        return false;
    }
    stop->is.count = exact_round_half_up(counts);
    if (!exact_sub(exact_whole(stop->is.count), counts, &stop->is.error) ||
        !exact_mul(exact_whole(stop->is.count), merge->deg_per_count, &stop->is.pad_deg) ||
        !exact_mul(exact_whole(stop->is.count), merge->ms_per_count, &time)) {
        return false;
    }
    merge->paused += merge->taken != 0 && stop->is.count != merge->last_count;
    merge->last_count = stop->is.count;
    stop->is.milliseconds = exact_round_half_up(time) + merge->paused * merge->pass->pause_s * 1000;
    return true;
}

/* Takes the next stop of a probe. */
static bool take_stop(struct merge *merge, struct stream *stream, struct pass_stop *stop)
{
    const int64_t blades = stream->stage->blades.value;
    stop->from = stream;
    stop->is.blade = turning_blade_after(stream->step + stream->next, blades, stream->falling);
    stop->is.known_by = model_known_by(stream->stage, stop->is.blade);
    stop->is.rotor_deg = stream->angle;
    stream->next++;
    return exact_add(stream->first, turning_angle_of(stream->next, blades), &stream->angle) &&
           (!merge->on || count_stop(merge, stop));
}

/* ---- the three forms ------------------------------------------------------------------------- */

static void write_json(FILE *out, const struct merge *merge, const struct pass_stop *stop)
{
    fprintf(out, "%s\n{\"stage\": \"%s\"", merge->taken == 0 ? "" : ",",
            stop->from->stage->id.text);
    stops_json_text(out, "port", stop->from->port->id.text);
    stops_json_whole(out, "blade", stop->is.blade);
    stops_json_stop(out, &stop->is, merge->on ? merge->on->positive : 0);
}

static const char *pad_id(const struct merge *merge)
{
    return merge->on ? model_pad(merge->derived->engine, merge->ask->pad)->id.text : NULL;
}

static const char *spool_id(const struct merge *merge)
{
    return model_spool(merge->derived->engine, merge->ask->spool)->id.text;
}

static void write_csv(FILE *out, const struct merge *merge, const struct pass_stop *stop)
{
    fprintf(out, "%s,%s,%s,%s,%s,%" PRId64, merge->derived->engine->id.text,
            merge->on ? pad_id(merge) : "", spool_id(merge), stop->from->stage->id.text,
            stop->from->port->id.text, stop->is.blade);
    stops_csv_stop(out, &stop->is, merge->on ? merge->on->positive : 0);
}

static void write_text(FILE *out, const struct merge *merge, const struct pass_stop *stop)
{
    char text[EXACT_TEXT_SIZE];
    if (merge->on) {
        fprintf(out, "  %11" PRId64, stop->is.count);
    }
    fprintf(out, "  %-*s  %-*s  %5" PRId64, merge->stage_width, stop->from->stage->id.text,
            merge->port_width, stop->from->port->id.text, stop->is.blade);
    fprintf(out, " %11s", exact_to_decimal(stop->is.rotor_deg, 3, text));
    if (merge->on) {
        fprintf(out, " %11s", exact_to_decimal(stop->is.pad_deg, 3, text));
        fprintf(out, " %12s", exact_to_decimal(stop->is.error, 3, text));
        fprintf(out, " %8" PRId64 ".%" PRId64, stop->is.milliseconds / 1000,
                stop->is.milliseconds % 1000 / 100);
    }
    stops_text_known(out, stop->is.known_by);
}

static void write_stop(const struct merge *merge, const struct pass_stop *stop)
{
    switch (merge->pass->format) {
    case REPORT_STOPS_JSON: write_json(merge->pass->out, merge, stop); break;
    case REPORT_STOPS_CSV: write_csv(merge->pass->out, merge, stop); break;
    case REPORT_STOPS_TEXT: write_text(merge->pass->out, merge, stop); break;
    }
}

/* ---- what is before the stops ------------------------------------------------------------------
 */

static const struct model_stage *zero_stage(const struct merge *merge)
{
    return model_stage(merge->derived->engine, merge->ask->zero.stage);
}

static const struct model_port *zero_port(const struct merge *merge)
{
    return MODEL_ITEM(zero_stage(merge)->ports, struct model_port, merge->ask->zero.port);
}

static void head_json(FILE *out, const struct merge *merge)
{
    fprintf(out, "{\"engine\": \"%s\"", merge->derived->engine->id.text);
    stops_json_engine(out, merge->derived->arena, merge->derived->engine, merge->ask->spool,
                      merge->on ? merge->ask->pad : WORDS_ALL);
    stops_json_text(out, "pad", pad_id(merge));
    stops_json_text(out, "spool", spool_id(merge));
    stops_json_text(out, "from_stage", zero_stage(merge)->id.text);
    stops_json_text(out, "from_port", zero_port(merge)->id.text);
    stops_json_whole(out, "from_blade", merge->ask->from_blade);
    if (merge->on) {
        stops_json_exact(out, "counts_per_rotor_turn", merge->on->counts_per_turn);
        stops_json_whole(out, "positive", merge->on->positive);
    }
    fputs(", \"stops\": [", out);
}

/* What comes on top of the rounding that each stop shows. */
static void head_errors(FILE *out, const struct merge *merge)
{
    struct arena *arena = merge->derived->arena;
    const struct exact_rational uncertain = merge->derived->facts.pads[merge->ask->pad].uncertainty;
    if (!merge->on->backlash_known) {
        fputs("the backlash is not known, and comes on top of the error of each stop\n", out);
    } else if (exact_sign(merge->on->rotor_backlash) > 0) {
        fprintf(out, "backlash comes on top of the error of each stop: at most %s of rotor\n",
                words_degrees_at_most(arena, merge->on->rotor_backlash));
    }
    if (exact_sign(uncertain) > 0) {
        fprintf(out, "the ratio is rounded: after this turn a stop is uncertain by at most %s\n",
                words_degrees_at_most(arena, uncertain));
    }
}

static void head_through_pad(FILE *out, const struct merge *merge)
{
    fprintf(out, "the device counts %s in the normal direction\n",
            merge->on->positive > 0 ? "up" : "down");
    if (merge->derived->device->device->stepping.value == MODEL_FIXED) {
        fputs("these are the counts nearest to the blades, not steps of the device: it repeats "
              "one whole step\n",
              out);
    }
    stops_text_one_way(out, model_pad(merge->derived->engine, merge->ask->pad));
    head_errors(out, merge);
}

static void head_by_hand(FILE *out, const struct merge *merge)
{
    const struct model_spool *spool = model_spool(merge->derived->engine, merge->ask->spool);
    fprintf(out, "turn it %s, seen %s\n", words_sense(model_spool_sign(spool)),
            words_view(MODEL_AFT_LOOKING_FORWARD));
    if (spool->never_backwards.value == 1) {
        fputs("never turn it backwards: no device prevents it\n", out);
    }
}

static void head_text(FILE *out, struct merge *merge)
{
    struct arena *arena = merge->derived->arena;
    merge->stage_width = (int)strlen("stage");
    merge->port_width = (int)strlen("port");
    for (size_t i = 0; i < merge->ask->count; i++) {
        const struct stream *stream = &merge->streams[i];
        const int stage = (int)stream->stage->id.length;
        const int port = (int)stream->port->id.length;
        merge->stage_width = stage > merge->stage_width ? stage : merge->stage_width;
        merge->port_width = port > merge->port_width ? port : merge->port_width;
    }
    stops_text_before(out, arena, merge->derived->engine, merge->ask->spool,
                      merge->on ? merge->ask->pad : WORDS_ALL);
    fprintf(out, "%s, one pass of spool %s%s%s: %zu probe%s", merge->derived->engine->id.text,
            spool_id(merge), merge->on ? " through pad " : ", turned by hand",
            merge->on ? pad_id(merge) : "", merge->ask->count,
            words_plural((int64_t)merge->ask->count));
    if (merge->on) {
        fprintf(out, ", %s counts a rotor turn",
                words_decimal(arena, merge->on->counts_per_turn, 3));
    }
    fputc('\n', out);
    stops_text_models(out, arena, merge->derived->engine);
    fprintf(out, "%s 0 is blade %" PRId64 " of %s at port %s\n", merge->on ? "count" : "angle",
            merge->ask->from_blade, zero_stage(merge)->id.text,
            words_port(arena, zero_port(merge)));
    (merge->on ? head_through_pad : head_by_hand)(out, merge);
    fputc('\n', out);
    if (merge->on) {
        fprintf(out, "    count (%c)", merge->on->positive > 0 ? '+' : '-');
    }
    fprintf(out, "  %-*s  %-*s  blade   rotor deg%s\n", merge->stage_width, "stage",
            merge->port_width, "port", merge->on ? "     pad deg  off, counts     time s" : "");
}

static void write_head(struct merge *merge)
{
    const bool first = merge->pass->passes++ == 0;
    FILE *out = merge->pass->out;
    switch (merge->pass->format) {
    case REPORT_STOPS_JSON:
        fputs(first ? "[\n" : ",\n", out);
        head_json(out, merge);
        break;
    case REPORT_STOPS_CSV:
        fputs(first ? "engine,pad,spool,stage,port,blade,count,device_count,rotor_deg,pad_deg,"
                      "error_counts,time_s,known_by\n"
                    : "",
              out);
        break;
    case REPORT_STOPS_TEXT:
        fputs(first ? "" : "\n", out);
        head_text(out, merge);
        break;
    }
}

/* Takes all stops, and writes them if asked to. */
static bool take_all(struct merge *merge, bool writing)
{
    merge->taken = 0;
    merge->paused = 0;
    for (size_t i = 0; i < merge->ask->count; i++) {
        merge->streams[i].next = 0;
        merge->streams[i].angle = merge->streams[i].first;
    }
    for (struct stream *next = next_stream(merge); next; next = next_stream(merge)) {
        struct pass_stop stop;
        if (!take_stop(merge, next, &stop)) {
            return false;
        }
        if (writing) {
            write_stop(merge, &stop);
        }
        merge->taken++;
    }
    return true;
}

bool report_pass(struct report_pass *pass, const struct model_derived *derived,
                 const struct report_pass_ask *ask)
{
    struct merge merge = {.pass = pass, .derived = derived, .ask = ask};
    if (!start(&merge) || !take_all(&merge, false)) {
        return false;
    }
    write_head(&merge);
    (void)take_all(&merge, true); /* they fitted before */
    if (pass->format == REPORT_STOPS_JSON) {
        fputs("]}", pass->out);
    }
    return true;
}

void report_pass_close(struct report_pass *pass)
{
    if (pass->format == REPORT_STOPS_JSON) {
        fputs(pass->passes == 0 ? "[]\n" : "\n]\n", pass->out);
    }
}
