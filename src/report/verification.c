#include "report/verification.h"

#include "report/clean.h"
#include "report/table_words.h"

#include <inttypes.h>
#include <jansson.h>
#include <string.h>

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
    json_object_set_new(object, key, value);
}

/* Keeps the first problem: that is what the report as a whole has to say. */
static void keep_problem(struct report_verification *report, const char *problem)
{
    report->problem = report->problem ? report->problem : problem;
}

static json_t *array_of(struct report_verification *report, const char *key)
{
    return json_object_get(report->object, key);
}

struct report_verification report_verification(FILE *out, bool json, const char *path)
{
    struct report_verification report = {.out = out, .json = json, .path = path};
    if (json) {
        struct arena arena = {.newest = NULL};
        report.object = json_object();
        set(report.object, "table", json_string(report_clean(&arena, path)));
        arena_free(&arena);
    }
    return report;
}

void report_verification_opened(struct report_verification *report,
                                const struct rotor_table *table, enum rotor_status status)
{
    uint32_t engines = rotor_count(table, ROTOR_KIND_ENGINES);
    report->faults += status != ROTOR_OK;
    if (report->json) {
        set(report->object, "status", json_string(report_status_id(status)));
        set(report->object, "message", json_string(rotor_status_text(status)));
        set(report->object, "way_out", json_string(report_way_out(status)));
        set(report->object, "bytes", json_integer(table->length));
        set(report->object, "engines", json_integer(engines));
    } else if (status == ROTOR_OK) {
        fprintf(report->out, "%s: whole and undamaged, %" PRIu32 " bytes, %" PRIu32 " engine%s\n",
                report->path, table->length, engines, engines == 1 ? "" : "s");
    } else {
        fprintf(report->out, "%s: refused: %s\n%s\n", report->path, rotor_status_text(status),
                report_way_out(status));
    }
    if (report->json && status == ROTOR_OK) {
        set(report->object, "faults", json_array());
        set(report->object, "closures", json_array());
        set(report->object, "drifts", json_array());
    }
}

void report_verification_signature(struct report_verification *report,
                                   enum table_signature signature)
{
    static const struct {
        const char *id, *text;
    } words[] = {
        [TABLE_SIGNATURE_HOLDS] = {"holds", "signed by the key's owner, and unchanged since"},
        [TABLE_SIGNATURE_MISSING] = {"missing", "refused: it is not signed"},
        [TABLE_SIGNATURE_WRONG] = {"wrong", "refused: it was signed with another key, or changed "
                                            "after it was signed"},
    };
    report->signature_holds = signature == TABLE_SIGNATURE_HOLDS;
    report->signature_refused = !report->signature_holds;
    if (report->signature_refused) {
        keep_problem(report, words[signature].text);
    }
    if (report->json) {
        set(report->object, "signature", json_string(words[signature].id));
    } else {
        fprintf(report->out, "%s: %s\n", report->path, words[signature].text);
    }
}

void report_verification_unchecked(struct report_verification *report)
{
    if (report->json) {
        set(report->object, "signature", json_string("not-checked"));
    } else {
        fprintf(report->out, "%s: signed; nobody checked by whom (--key PUBLIC does)\n",
                report->path);
    }
}

/* "quern-12, stage HPC-1 through pad crank" */
struct place {
    const char *engine, *pad, *stage; /* stage NULL: the pad itself */
    const char *port;
};

static struct place place_of(struct arena *arena, const struct rotor_table *table,
                             uint32_t engine_index, uint32_t pad_index, uint32_t link_index,
                             const struct table_replay *replay)
{
    struct rotor_engine engine;
    struct rotor_pad pad;
    struct rotor_link link;
    rotor_get_engine(table, engine_index, &engine);
    rotor_get_pad(table, pad_index, &pad);
    struct place place = {report_clean(arena, engine.id), report_clean(arena, pad.id), NULL, NULL};
    if (rotor_get_link(table, link_index, &link)) {
        struct rotor_stage stage;
        struct rotor_port port;
        rotor_get_stage(table, link.stage, &stage);
        rotor_get_port(table, stage.ports.first + replay->port, &port);
        place.stage = report_clean(arena, stage.id);
        place.port = report_clean(arena, port.id);
    }
    return place;
}

static void write_place(FILE *out, const struct place *place)
{
    if (place->stage) {
        fprintf(out, "  %s, stage %s through pad %s: ", place->engine, place->stage, place->pad);
    } else {
        fprintf(out, "  %s, pad %s: ", place->engine, place->pad);
    }
}

static json_t *place_object(const struct place *place)
{
    json_t *object = json_object();
    set(object, "engine", json_string(place->engine));
    set(object, "pad", json_string(place->pad));
    set(object, "stage", place->stage ? json_string(place->stage) : json_null());
    return object;
}

/* The numbers behind a fault, after its sentence. */
static void write_numbers(FILE *out, const struct place *place, const struct table_replay *replay)
{
    const char *back = replay->stop < 0 ? "back " : "";
    int64_t stop = replay->stop < 0 ? -replay->stop : replay->stop;
    if (replay->fault == TABLE_STOP_WRONG) {
        fprintf(out, ": %" PRId64 " %sfrom blade one it is at count %" PRId64
                     ", exact arithmetic says %" PRId64, stop, back, replay->found,
                replay->expected);
    } else if (replay->fault == TABLE_BLADE_WRONG) {
        fprintf(out,
                ": %" PRId64 " %sfrom blade one comes %" PRId64 ", the numbering says %" PRId64,
                stop, back, replay->found, replay->expected);
    } else if (replay->fault == TABLE_DATUM_WRONG) {
        fprintf(out,
                ": %s at count %" PRId64 " from the datum mark, exact arithmetic says %" PRId64,
                place->port, replay->found, replay->expected);
    }
}

static void report_fault(struct report_verification *report, const struct place *place,
                         const struct table_replay *replay)
{
    report->faults++;
    keep_problem(report, "refused: its numbers are not what exact arithmetic says");
    if (!report->json) {
        write_place(report->out, place);
        fputs(faults[replay->fault].what, report->out);
        write_numbers(report->out, place, replay);
        fprintf(report->out, "; %s\n", faults[replay->fault].means);
        return;
    }
    json_t *object = place_object(place);
    set(object, "fault", json_string(faults[replay->fault].id));
    set(object, "message", json_string(faults[replay->fault].what));
    set(object, "consequence", json_string(faults[replay->fault].means));
    if (replay->fault == TABLE_STOP_WRONG || replay->fault == TABLE_BLADE_WRONG) {
        set(object, "stop", json_integer(replay->stop));
    }
    if (replay->fault == TABLE_DATUM_WRONG) {
        set(object, "port", json_string(place->port));
    }
    if (replay->fault == TABLE_STOP_WRONG || replay->fault == TABLE_BLADE_WRONG ||
        replay->fault == TABLE_DATUM_WRONG) {
        set(object, "found", json_integer(replay->found));
        set(object, "expected", json_integer(replay->expected));
    }
    json_array_append_new(array_of(report, "faults"), object);
}

static void report_closure(struct report_verification *report, const struct place *place,
                           const struct table_replay *replay)
{
    char counts[EXACT_TEXT_SIZE];
    char degrees[EXACT_TEXT_SIZE];
    if (!report->json) {
        write_place(report->out, place);
        fprintf(report->out, "its whole steps leave %s counts, %s deg, over after a rotor turn\n",
                exact_to_decimal(replay->closure_counts, 3, counts),
                exact_to_decimal(replay->closure_degrees, 5, degrees));
        return;
    }
    json_t *object = place_object(place);
    set(object, "counts", json_string(exact_to_text(replay->closure_counts, counts)));
    set(object, "degrees", json_string(exact_to_text(replay->closure_degrees, degrees)));
    json_array_append_new(array_of(report, "closures"), object);
}

static void report_drift(struct report_verification *report, const struct place *place,
                         const struct table_replay *replay)
{
    if (!report->json) {
        write_place(report->out, place);
        fprintf(report->out, "it is a count off after %" PRId64 " rotor turns\n", replay->turns);
        return;
    }
    json_t *object = place_object(place);
    set(object, "turns", json_integer(replay->turns));
    json_array_append_new(array_of(report, "drifts"), object);
}

void report_verification_replay(struct report_verification *report,
                                const struct rotor_table *table, uint32_t engine, uint32_t pad,
                                uint32_t link, const struct table_replay *replay)
{
    struct arena arena = {.newest = NULL};
    struct place place = place_of(&arena, table, engine, pad, link, replay);
    report->pads += link == ROTOR_NONE;
    report->links += link != ROTOR_NONE;
    report->stops += replay->stops;
    if (replay->fault != TABLE_FINE) {
        report_fault(report, &place, replay);
    } else if (exact_sign(replay->closure_counts) != 0) {
        report_closure(report, &place, replay);
    } else if (replay->approximated) {
        report_drift(report, &place, replay);
    }
    arena_free(&arena);
}

void report_verification_replayed(struct report_verification *report,
                                  const struct rotor_table *table)
{
    struct rotor_device device;
    rotor_get_device(table, &device);
    if (report->json) {
        set(report->object, "pads", json_integer(report->pads));
        set(report->object, "stages", json_integer(report->links));
        set(report->object, "stops", json_integer((json_int_t)report->stops));
        return;
    }
    fprintf(report->out, "%" PRIu32 " pad%s, %" PRIu32 " stage%s, %" PRIu64 " stops replayed: %s\n",
            report->pads, report->pads == 1 ? "" : "s", report->links,
            report->links == 1 ? "" : "s", report->stops,
            report->faults != 0                       ? "not what exact arithmetic says"
            : device.stepping == ROTOR_STEPPING_FIXED ? "each where its whole steps take it"
                                                      : "each within half a count of its blade");
}

static void write_difference(FILE *out, const struct report_difference *d)
{
    fprintf(out, "  %s", d->engine ? d->engine : "device");
    if (d->engine && *d->place) {
        fprintf(out, ", %s", d->place);
    }
    if (!d->field) {
        fprintf(out, " is only in the %s\n", d->left ? "table" : "sources");
        return;
    }
    fprintf(out, ", %s: %s in the table, %s from the sources\n", d->field, d->left, d->right);
}

static json_t *text_or_null(const char *text)
{
    return text ? json_string(text) : json_null();
}

static void visit_difference(void *context, const struct report_difference *d)
{
    struct report_verification *report = context;
    if (!report->json) {
        write_difference(report->out, d);
        return;
    }
    json_t *object = json_object();
    set(object, "engine", text_or_null(d->engine));
    set(object, "place", json_string(d->place));
    set(object, "field", text_or_null(d->field));
    set(object, "table", text_or_null(d->left));
    set(object, "sources", text_or_null(d->right));
    json_array_append_new(array_of(report, "differences"), object);
}

void report_verification_differ(struct report_verification *report,
                                const struct rotor_table *table, const struct rotor_table *made)
{
    bool same = table->length == made->length &&
                memcmp(table->bytes, made->bytes, table->length) == 0;
    const char *verdict = "what its sources make, byte for byte";
    if (report->json) {
        set(report->object, "differences", json_array());
    }
    if (!same) {
        report->differences = report_table_differ(table, made, visit_difference, report);
        verdict = "not what its sources make";
        if (report->differences == 0 && table->signature != 0) {
            verdict = report->signature_holds
                          ? "what its sources make, with its signature"
                          : "what its sources make, with a signature, which was not checked";
        } else if (report->differences == 0) {
            verdict = "what its sources make in all it says, but not in its bytes: another version "
                      "wrote it";
            report->differences = 1;
            keep_problem(report, "refused: another version wrote it; make the table anew");
        }
        if (report->differences != 0) { /* the first problem is the one that is kept */
            keep_problem(report, "refused: it is not what its sources make");
        }
    }
    if (report->json) {
        set(report->object, "same_bytes", json_boolean(same));
        set(report->object, "verdict", json_string(verdict));
    } else {
        fprintf(report->out, "the table is %s\n", verdict);
    }
}

void report_verification_unmade(struct report_verification *report)
{
    report->differences++;
    keep_problem(report, "refused: its sources do not make a table");
    if (report->json) {
        set(report->object, "verdict", json_string("its sources do not make a table"));
    } else {
        fputs("the sources do not make a table\n", report->out);
    }
}

bool report_verification_close(struct report_verification *report)
{
    bool fine =
        report->faults == 0 && report->differences == 0 && !report->signature_refused;
    if (report->json) {
        if (report->problem) {
            set(report->object, "message", json_string(report->problem));
            set(report->object, "way_out", json_string("Do not load this table into a device; "
                                                       "compile it anew from its sources."));
        }
        set(report->object, "fine", json_boolean(fine));
        json_dumpf(report->object, report->out, JSON_INDENT(2));
        fputc('\n', report->out);
        json_decref(report->object);
    } else if (!fine && report->pads != 0) {
        fputs("do not load this table into a device; compile it anew from its sources\n",
              report->out);
    }
    return fine;
}
