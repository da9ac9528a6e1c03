/*
 * verification_replay.c - what came of walking the stops of a pad or a stage.
 *
 * A fault is told by its kind and subject, by the numbers behind it, and by what it would mean on
 * the engine.  Closure and drift are no faults: the device can do no better, and is said to be so
 * far off.
 */
#include "report/json.h"
#include "report/verification.h"

#include "report/clean.h"

#include <inttypes.h>

/* What a fault of the replay is called, what it is, and what it means on the engine. */
static const struct {
    const char *id, *what, *means;
} faults[] = {
    [TABLE_FINE] = {"fine", "", ""},
    [TABLE_RATIO_WRONG] = {"ratio-wrong", "the ratio is not what its gears make",
                           "the stops would drift off the blades from turn to turn"},
    [TABLE_COUNTS_WRONG] = {"counts-wrong",
                            "the counts per rotor turn are not the device's counts times the ratio",
                            "the stops would drift off the blades from turn to turn"},
    [TABLE_SENSE_WRONG] = {"sense-wrong", "the gears turn the spool against its normal way",
                           "the rotor would turn the wrong way round"},
    [TABLE_POSITIVE_WRONG] = {"positive-wrong",
                              "a rising count would turn the pad the other way than it says",
                              "the rotor would turn the wrong way round"},
    [TABLE_STOP_WRONG] = {"stop-wrong", "a stop does not stand at its blade",
                          "the probe would look beside the blade"},
    [TABLE_BLADE_WRONG] = {"blade-wrong", "the blades pass the port in another order",
                           "a finding would be written down for another blade"},
    [TABLE_SCHEDULE_WRONG] = {"schedule-wrong",
                              "the schedule is not the exact step in lowest terms",
                              "the stops would drift off the blades in the long run"},
    [TABLE_DATUM_WRONG] = {"datum-wrong", "blade one does not stand at the port there",
                           "going over to this stage would find another blade"},
    [TABLE_BEYOND] = {"beyond-64-bits", "its numbers are too large to be held against each other",
                      "nothing can be said of its stops"},
};

static void set(void *object, const char *key, json_t *value)
{
    report_set(object, key, value);
}

/* Adds to one of the lists that were begun when the table was opened. */
static void add(struct report_verification *report, const char *list, json_t *object)
{
    report_add(json_object_get(report->object, list), object);
}

/* "quern-12, stage HPC-1 through pad crank" */
struct subject {
    const char *engine, *pad, *stage; /* stage NULL: the pad itself */
    const char *port;
};

static struct subject subject_of(struct arena *arena, const struct rotor_table *table,
                                 uint32_t engine_index, uint32_t pad_index, uint32_t link_index,
                                 const struct table_replay *replay)
{
    struct rotor_engine engine;
    struct rotor_pad pad;
    struct rotor_link link;
    rotor_get_engine(table, engine_index, &engine);
    rotor_get_pad(table, pad_index, &pad);
    struct subject subject = {report_clean(arena, engine.id), report_clean(arena, pad.id), NULL,
                              NULL};
    if (rotor_get_link(table, link_index, &link)) {
        struct rotor_stage stage;
        struct rotor_port port;
        rotor_get_stage(table, link.stage, &stage);
        rotor_get_port(table, stage.ports.first + replay->port, &port);
        subject.stage = report_clean(arena, stage.id);
        subject.port = report_clean(arena, port.id);
    }
    return subject;
}

static void write_subject(FILE *out, const struct subject *subject)
{
    if (subject->stage) {
        fprintf(out, "  %s, stage %s through pad %s: ", subject->engine, subject->stage,
                subject->pad);
    } else {
        fprintf(out, "  %s, pad %s: ", subject->engine, subject->pad);
    }
}

static json_t *subject_object(const struct subject *subject)
{
    json_t *object = json_object();
    set(object, "engine", json_string(subject->engine));
    set(object, "pad", json_string(subject->pad));
    set(object, "stage", subject->stage ? json_string(subject->stage) : json_null());
    return object;
}

/* The numbers behind a fault, after its sentence. */
static void write_numbers(FILE *out, const struct subject *subject,
                          const struct table_replay *replay)
{
    const char *back = replay->stop < 0 ? "back " : "";
    int64_t stop = replay->stop < 0 ? -replay->stop : replay->stop;
    if (replay->fault == TABLE_STOP_WRONG) {
        fprintf(out,
                ": %" PRId64 " %sfrom blade one it is at count %" PRId64
                ", exact arithmetic says %" PRId64,
                stop, back, replay->found, replay->expected);
    } else if (replay->fault == TABLE_BLADE_WRONG) {
        fprintf(out,
                ": %" PRId64 " %sfrom blade one comes %" PRId64 ", the numbering says %" PRId64,
                stop, back, replay->found, replay->expected);
    } else if (replay->fault == TABLE_DATUM_WRONG) {
        fprintf(out,
                ": %s at count %" PRId64 " from the datum mark, exact arithmetic says %" PRId64,
                subject->port, replay->found, replay->expected);
    }
}

static void report_fault(struct report_verification *report, const struct subject *subject,
                         const struct table_replay *replay)
{
    report->faults++;
    if (!report->json) {
        write_subject(report->out, subject);
        fputs(faults[replay->fault].what, report->out);
        write_numbers(report->out, subject, replay);
        fprintf(report->out, "; %s\n", faults[replay->fault].means);
        return;
    }
    json_t *object = subject_object(subject);
    set(object, "fault", json_string(faults[replay->fault].id));
    set(object, "message", json_string(faults[replay->fault].what));
    set(object, "consequence", json_string(faults[replay->fault].means));
    if (replay->fault == TABLE_STOP_WRONG || replay->fault == TABLE_BLADE_WRONG) {
        set(object, "stop", json_integer(replay->stop));
    }
    if (replay->fault == TABLE_DATUM_WRONG) {
        set(object, "port", json_string(subject->port));
    }
    if (replay->fault == TABLE_STOP_WRONG || replay->fault == TABLE_BLADE_WRONG ||
        replay->fault == TABLE_DATUM_WRONG) {
        set(object, "found", json_integer(replay->found));
        set(object, "expected", json_integer(replay->expected));
    }
    add(report, "faults", object);
}

static void report_closure(struct report_verification *report, const struct subject *subject,
                           const struct table_replay *replay)
{
    char counts[EXACT_TEXT_SIZE];
    char degrees[EXACT_TEXT_SIZE];
    if (!report->json) {
        write_subject(report->out, subject);
        fprintf(report->out, "its whole steps leave %s counts, %s deg, over after a rotor turn\n",
                exact_to_decimal(replay->closure_counts, 3, counts),
                exact_to_decimal(replay->closure_degrees, 5, degrees));
        return;
    }
    json_t *object = subject_object(subject);
    set(object, "counts", json_string(exact_to_text(replay->closure_counts, counts)));
    set(object, "degrees", json_string(exact_to_text(replay->closure_degrees, degrees)));
    add(report, "closures", object);
}

static void report_drift(struct report_verification *report, const struct subject *subject,
                         const struct table_replay *replay)
{
    if (!report->json) {
        write_subject(report->out, subject);
        fprintf(report->out, "it is a count off after %" PRId64 " rotor turns\n", replay->turns);
        return;
    }
    json_t *object = subject_object(subject);
    set(object, "turns", json_integer(replay->turns));
    add(report, "drifts", object);
}

void report_verification_replay(struct report_verification *report, const struct rotor_table *table,
                                uint32_t engine, uint32_t pad, uint32_t link,
                                const struct table_replay *replay)
{
    struct arena arena = {.newest = NULL};
    struct subject subject = subject_of(&arena, table, engine, pad, link, replay);
    report->pads += link == ROTOR_NONE;
    report->links += link != ROTOR_NONE;
    report->stops += replay->stops;
    if (replay->fault != TABLE_FINE) {
        report_fault(report, &subject, replay);
    } else if (exact_sign(replay->closure_counts) != 0) {
        report_closure(report, &subject, replay);
    } else if (replay->approximated) {
        report_drift(report, &subject, replay);
    }
    arena_free(&arena);
}
