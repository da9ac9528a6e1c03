/*
 * verification.c - what verify finds: on the table as a whole, its stops, its form, and its
 * sources.
 *
 * A fault is reported with its kind and subject, its numbers, and what it would mean on the engine.
 * Closure and drift are not faults: the device can do no better, and the report says how far it is
 * off.
 */
#include "report/verification.h"

#include "report/json.h"
#include "table/words.h"
#include "text/utf8.h"
#include "words/number.h"

#include <inttypes.h>
#include <string.h>

/* Keeps the first problem, for the report as a whole. */
static void keep_problem(struct report_verification *report, const char *problem)
{
    report->problem = report->problem ? report->problem : problem;
}

struct report_verification report_verification(FILE *out, bool json, const char *path,
                                               struct arena *arena)
{
    struct report_verification report = {.out = out, .json = json, .path = path, .arena = arena};
    if (json) {
        report.object = json_object();
        report_set(report.object, "table", json_string(path));
    }
    return report;
}

void report_verification_opened(struct report_verification *report, const struct rotor_table *table,
                                enum rotor_status status)
{
    uint32_t engines = rotor_count(table, ROTOR_KIND_ENGINES);
    report->faults += status != ROTOR_OK;
    if (report->json) {
        report_set(report->object, "status", json_string(table_word_status(status)));
        report_set(report->object, "message", json_string(rotor_status_text(status)));
        report_set(report->object, "remedy", json_string(table_word_remedy(status)));
        report_set(report->object, "bytes", json_integer(table->length));
        report_set(report->object, "engines", json_integer(engines));
    } else if (status == ROTOR_OK) {
        fprintf(report->out, "%s: whole and undamaged, %" PRIu32 " bytes, %" PRIu32 " engine%s\n",
                report->path, table->length, engines, words_plural(engines));
    } else {
        fprintf(report->out, "%s: refused: %s\n%s\n", report->path, rotor_status_text(status),
                table_word_remedy(status));
    }
    if (report->json && status == ROTOR_OK) {
        report_set(report->object, "faults", json_array());
        report_set(report->object, "closures", json_array());
        report_set(report->object, "drifts", json_array());
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
        report_set(report->object, "signature", json_string(words[signature].id));
    } else {
        fprintf(report->out, "%s: %s\n", report->path, words[signature].text);
    }
}

void report_verification_unchecked(struct report_verification *report)
{
    if (report->json) {
        report_set(report->object, "signature", json_string("not-checked"));
    } else {
        fprintf(report->out, "%s: signed; the signature was not checked (--key PUBLIC checks it)\n",
                report->path);
    }
}

void report_verification_replayed(struct report_verification *report,
                                  const struct rotor_table *table)
{
    struct rotor_device device;
    rotor_get_device(table, &device);
    if (report->faults != 0) {
        keep_problem(report, "refused: its numbers are not what exact arithmetic says");
    }
    if (report->json) {
        report_set(report->object, "pads", json_integer(report->pads));
        report_set(report->object, "stages", json_integer(report->links));
        report_set(report->object, "stops", json_integer((json_int_t)report->stops));
        return;
    }
    fprintf(report->out, "%" PRIu32 " pad%s, %" PRIu32 " stage%s, %" PRIu64 " stops replayed: %s\n",
            report->pads, words_plural(report->pads), report->links, words_plural(report->links),
            report->stops,
            report->faults != 0                       ? "not what exact arithmetic says"
            : device.stepping == ROTOR_STEPPING_FIXED ? "each where its whole steps take it"
                                                      : "each within half a count of its blade");
}

static void write_difference(FILE *out, const struct compare_table_difference *d)
{
    fprintf(out, "  %s", d->engine ? d->engine : "device");
    if (d->engine && *d->where) {
        fprintf(out, ", %s", d->where);
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

static void add_difference(json_t *differences, const struct compare_table_difference *d)
{
    json_t *object = json_object();
    report_set(object, "engine", text_or_null(d->engine));
    report_set(object, "place", json_string(d->where));
    report_set(object, "field", text_or_null(d->field));
    report_set(object, "table", text_or_null(d->left));
    report_set(object, "sources", text_or_null(d->right));
    report_add(differences, object);
}

static const char *clean_or_null(struct arena *arena, const char *text)
{
    return text ? text_clean(arena, text) : NULL;
}

/* The texts are a table's, and may hold anything. */
static void visit_difference(void *context, const struct compare_table_difference *d)
{
    struct report_verification *report = context;
    struct arena arena = {.newest = NULL};
    const struct compare_table_difference clean = {
        clean_or_null(&arena, d->engine), text_clean(&arena, d->where), d->field,
        clean_or_null(&arena, d->left), clean_or_null(&arena, d->right)};
    if (report->json) {
        add_difference(json_object_get(report->object, "differences"), &clean);
    } else {
        write_difference(report->out, &clean);
    }
    arena_free(&arena);
}

void report_verification_differ(struct report_verification *report, const struct rotor_table *table,
                                const struct rotor_table *made)
{
    bool same =
        table->length == made->length && memcmp(table->bytes, made->bytes, table->length) == 0;
    const char *verdict = "its sources make this table, byte for byte";
    if (report->json) {
        report_set(report->object, "differences", json_array());
    }
    if (!same) {
        report->differences = compare_tables(table, made, visit_difference, report);
        verdict = "its sources do not make this table";
        if (report->differences == 0 && table->signature != 0) {
            verdict = report->signature_holds
                          ? "its sources make this table, with its signature"
                          : "its sources make this table, with a signature, which was not checked";
        } else if (report->differences == 0) {
            verdict = "its sources make all values of this table, but other bytes: another "
                      "version wrote it";
            report->differences = 1;
            keep_problem(report, "refused: another version wrote it; compile it again");
        }
        if (report->differences != 0) { /* the first problem is the one that is kept */
            keep_problem(report, "refused: its sources do not make this table");
        }
    }
    if (report->json) {
        report_set(report->object, "same_bytes", json_boolean(same));
        report_set(report->object, "verdict", json_string(verdict));
    } else {
        fprintf(report->out, "%s\n", verdict);
    }
}

void report_verification_unmade(struct report_verification *report)
{
    report->differences++;
    keep_problem(report, "refused: its sources do not make a table");
    if (report->json) {
        report_set(report->object, "verdict", json_string("its sources do not make a table"));
    } else {
        fputs("the sources do not make a table\n", report->out);
    }
}

bool report_verification_close(struct report_verification *report)
{
    bool fine = report->faults == 0 && report->differences == 0 && !report->signature_refused &&
                !report->texts_refused;
    if (report->json) {
        if (report->problem) {
            report_set(report->object, "message", json_string(report->problem));
            report_set(
                report->object, "remedy",
                json_string(
                    "Do not load this table into a device; compile it again from its sources."));
        }
        report_set(report->object, "fine", json_boolean(fine));
        report_json(report->out, report->object, JSON_INDENT(2));
        fputc('\n', report->out);
    } else if (report->problem) {
        fputs("do not load this table into a device; compile it again from its sources\n",
              report->out);
    }
    return fine;
}

/* ---- stops that were replayed ---------------------------------------------------------------- */

/* The name of a fault of the replay, its sentence, and what it means on the engine. */
static const struct {
    const char *id, *what, *means;
} faults[] = {
    [TABLE_FINE] = {"fine", "", ""},
    [TABLE_RATIO_WRONG] = {"ratio-wrong", "the ratio is not what its gears make",
                           "the stops would drift off the blades from turn to turn"},
    [TABLE_COUNTS_WRONG] = {"counts-wrong",
                            "the counts per rotor turn are not the device's counts times the ratio",
                            "the stops would drift off the blades from turn to turn"},
    [TABLE_SENSE_WRONG] = {"sense-wrong", "the gears turn the spool against its normal direction",
                           "the rotor would turn in the wrong direction"},
    [TABLE_POSITIVE_WRONG] =
        {"positive-wrong", "a rising count would turn the pad against the direction in the table",
         "the rotor would turn in the wrong direction"},
    [TABLE_STOP_WRONG] = {"stop-wrong", "a stop is not at its blade",
                          "the probe would look beside the blade"},
    [TABLE_SCHEDULE_WRONG] = {"schedule-wrong",
                              "the schedule is not the exact step in lowest terms",
                              "the stops would slowly drift off the blades"},
    [TABLE_DATUM_WRONG] = {"datum-wrong", "blade one is not at the port there",
                           "a move to this stage would find another blade"},
    [TABLE_BEYOND] = {"beyond-64-bits", "its numbers are too large to be compared",
                      "its stops cannot be checked"},
};

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
    struct subject subject = {text_clean(arena, engine.id), text_clean(arena, pad.id), NULL, NULL};
    if (rotor_get_link(table, link_index, &link)) {
        struct rotor_stage stage;
        struct rotor_port port;
        rotor_get_stage(table, link.stage, &stage);
        rotor_get_port(table, stage.ports.first + replay->port, &port);
        subject.stage = text_clean(arena, stage.id);
        subject.port = text_clean(arena, port.id);
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
    report_set(object, "engine", json_string(subject->engine));
    report_set(object, "pad", json_string(subject->pad));
    report_set(object, "stage", subject->stage ? json_string(subject->stage) : json_null());
    return object;
}

/* The numbers of a fault, after its sentence. */
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
    report_set(object, "fault", json_string(faults[replay->fault].id));
    report_set(object, "message", json_string(faults[replay->fault].what));
    report_set(object, "consequence", json_string(faults[replay->fault].means));
    if (replay->fault == TABLE_STOP_WRONG) {
        report_set(object, "stop", json_integer(replay->stop));
    }
    if (replay->fault == TABLE_DATUM_WRONG) {
        report_set(object, "port", json_string(subject->port));
    }
    if (replay->fault == TABLE_STOP_WRONG || replay->fault == TABLE_DATUM_WRONG) {
        report_set(object, "found", json_integer(replay->found));
        report_set(object, "expected", json_integer(replay->expected));
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
    report_set(object, "counts", json_string(exact_to_text(replay->closure_counts, counts)));
    report_set(object, "degrees", json_string(exact_to_text(replay->closure_degrees, degrees)));
    add(report, "closures", object);
}

static void report_drift(struct report_verification *report, const struct subject *subject,
                         const struct table_replay *replay)
{
    if (!report->json) {
        write_subject(report->out, subject);
        fprintf(report->out, "it is off by one count after %" PRId64 " rotor turn%s\n",
                replay->turns, words_plural(replay->turns));
        return;
    }
    json_t *object = subject_object(subject);
    report_set(object, "turns", json_integer(replay->turns));
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

/* ---- a table that no compiler writes --------------------------------------------------------- */

/*
 * If this is reported, the stops are right.  So the fault names the record and what is wrong in it.
 * All such faults mean the same: somebody changed the table after it was compiled.
 */

static const struct {
    const char *id, *what;
} misfit_words[] = {
    [TABLE_FITS] = {"fits", ""},
    [TABLE_MISFIT_STRIDE] = {"form-size", "this version has no such size or kind"},
    [TABLE_MISFIT_PLACE] = {"form-place",
                            "it, or a record that it refers to, is not where the compiler puts it"},
    [TABLE_MISFIT_UNUSED] = {"form-unused", "nothing refers to it"},
    [TABLE_MISFIT_TEXT] =
        {"form-text", "one of its texts is missing or too long, or another record has the same id"},
    [TABLE_MISFIT_DESIGNATION] = {"form-designation", "its id does not lead to it"},
    [TABLE_MISFIT_NUMBER] = {"form-number", "it has a number that no source can have"},
    [TABLE_MISFIT_FRACTION] = {"form-fraction", "it has a fraction that is not in lowest terms"},
    [TABLE_MISFIT_MESH] =
        {"form-mesh",
         "it has a value that its kind of mesh does not have, or lacks one that it needs"},
    [TABLE_MISFIT_BACKS] = {"form-backs", "the back of a bevel gear is off the axis of its shaft"},
    [TABLE_MISFIT_ADAPTER] = {"form-adapter", "its adapter and the adapter's meshes do not go "
                                              "together"},
    [TABLE_MISFIT_SQUARE] = {"form-square", "it has two driving squares and no adapter"},
    [TABLE_MISFIT_RECHECK] = {"form-recheck", "blade one must be found again although nothing "
                                              "drifts, or never although something drifts"},
    [TABLE_MISFIT_COUNTER] = {"form-counter", "a rotor turn does not fit the device's counter"},
    [TABLE_MISFIT_UNLINKED] = {"form-unlinked", "it has no link to a stage of its spool"},
    [TABLE_MISFIT_UNTURNED] = {"form-unturned", "no pad turns it"},
};

static const char *const sections[] = {
    [ROTOR_KIND_DEVICE] = "device",
    [ROTOR_KIND_NAMES] = "names",
    [ROTOR_KIND_ENGINES] = "engines",
    [ROTOR_KIND_SPOOLS] = "spools",
    [ROTOR_KIND_STAGES] = "stages",
    [ROTOR_KIND_PORTS] = "ports",
    [ROTOR_KIND_PADS] = "pads",
    [ROTOR_KIND_MESHES] = "meshes",
    [ROTOR_KIND_SCHEDULES] = "schedules",
    [ROTOR_KIND_LINKS] = "links",
    [ROTOR_KIND_DATUMS] = "datums",
    [ROTOR_KIND_TEXTS] = "texts",
    [ROTOR_KIND_KNOWN_BLADES] = "known-blades",
};

const char *report_section_name(uint32_t kind)
{
    return sections[kind];
}

static const char means[] =
    "somebody changed the table after it was compiled, and other changes may not show";

void report_verification_form(struct report_verification *report, const struct table_misfit *misfit)
{
    const char *section = sections[misfit->kind];
    report->faults++;
    if (!report->problem) {
        report->problem = "refused: the compiler never writes such a table";
    }
    if (!report->json) {
        fprintf(report->out, "  %s, record %" PRIu32 ": %s; %s\n", section, misfit->index,
                misfit_words[misfit->what].what, means);
        return;
    }
    json_t *object =
        json_pack("{snsnsnsssIssssss}", "engine", "pad", "stage", "section", section, "record",
                  (json_int_t)misfit->index, "fault", misfit_words[misfit->what].id, "message",
                  misfit_words[misfit->what].what, "consequence", means);
    report_add(json_object_get(report->object, "faults"), object);
}

void report_verification_texts(struct report_verification *report, const char *fault)
{
    report->texts_refused = true;
    if (!report->problem) {
        report->problem = arena_printf(report->arena, "refused: %s", fault);
    }
    if (report->json) {
        report_set(report->object, "texts", json_string(fault));
    } else {
        fprintf(report->out, "%s: refused: %s\n", report->path, fault);
    }
}
