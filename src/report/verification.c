#include "report/verification.h"

#include "report/clean.h"
#include "report/json.h"
#include "table/words.h"

#include <inttypes.h>
#include <string.h>

static void set(void *object, const char *key, json_t *value)
{
    report_set(object, key, value);
}

/* Keeps the first problem: that is what the report as a whole has to say. */
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
        set(report.object, "table", json_string(path));
    }
    return report;
}

void report_verification_opened(struct report_verification *report, const struct rotor_table *table,
                                enum rotor_status status)
{
    uint32_t engines = rotor_count(table, ROTOR_KIND_ENGINES);
    report->faults += status != ROTOR_OK;
    if (report->json) {
        set(report->object, "status", json_string(table_word_status(status)));
        set(report->object, "message", json_string(rotor_status_text(status)));
        set(report->object, "remedy", json_string(table_word_remedy(status)));
        set(report->object, "bytes", json_integer(table->length));
        set(report->object, "engines", json_integer(engines));
    } else if (status == ROTOR_OK) {
        fprintf(report->out, "%s: whole and undamaged, %" PRIu32 " bytes, %" PRIu32 " engine%s\n",
                report->path, table->length, engines, engines == 1 ? "" : "s");
    } else {
        fprintf(report->out, "%s: refused: %s\n%s\n", report->path, rotor_status_text(status),
                table_word_remedy(status));
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

void report_verification_replayed(struct report_verification *report,
                                  const struct rotor_table *table)
{
    struct rotor_device device;
    rotor_get_device(table, &device);
    if (report->faults != 0) {
        keep_problem(report, "refused: its numbers are not what exact arithmetic says");
    }
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
    set(object, "engine", text_or_null(d->engine));
    set(object, "place", json_string(d->where));
    set(object, "field", text_or_null(d->field));
    set(object, "table", text_or_null(d->left));
    set(object, "sources", text_or_null(d->right));
    report_add(differences, object);
}

static const char *clean_or_null(struct arena *arena, const char *text)
{
    return text ? report_clean(arena, text) : NULL;
}

/* The texts are a table's, and may hold anything. */
static void visit_difference(void *context, const struct compare_table_difference *d)
{
    struct report_verification *report = context;
    struct arena arena = {.newest = NULL};
    const struct compare_table_difference clean = {
        clean_or_null(&arena, d->engine), report_clean(&arena, d->where), d->field,
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
    const char *verdict = "what its sources make, byte for byte";
    if (report->json) {
        set(report->object, "differences", json_array());
    }
    if (!same) {
        report->differences = compare_tables(table, made, visit_difference, report);
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
    bool fine = report->faults == 0 && report->differences == 0 && !report->signature_refused &&
                !report->texts_refused;
    if (report->json) {
        if (report->problem) {
            set(report->object, "message", json_string(report->problem));
            set(report->object, "remedy",
                json_string("Do not load this table into a device; "
                            "compile it anew from its sources."));
        }
        set(report->object, "fine", json_boolean(fine));
        report_json(report->out, report->object, JSON_INDENT(2));
        fputc('\n', report->out);
    } else if (report->problem) {
        fputs("do not load this table into a device; compile it anew from its sources\n",
              report->out);
    }
    return fine;
}
