/*
 * sarif.c - findings as a SARIF log, with fingerprints.
 */
#include "report/sarif.h"

#include "report/home.h"
#include "report/json.h"
#include "report/region.h"
#include "text/file.h"

#include <inttypes.h>
#include <jansson.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static json_t *text_object(const char *text)
{
    return json_pack("{so}", "text", report_json_text(text));
}

/* Adds "ratio-swapped" as "RatioSwapped"; returns the new length. */
static size_t add_capitalised(char *name, size_t length, size_t size, const char *words)
{
    for (bool first = true; *words && length + 1 < size; words++) {
        bool small = *words >= 'a' && *words <= 'z';
        if (*words != '-') {
            name[length++] = (char)(first && small ? *words - 'a' + 'A' : *words);
        }
        first = *words == '-';
    }
    return length;
}

/*
 * The name of a rule, in the form that the standard shows.  It has to differ from the id in more
 * than its capitals, so one word is not enough for it: the family comes before that.
 */
static json_t *rule_name(const struct rule_row *row)
{
    char name[64];
    bool one_word = strchr(row->id, '-') == NULL;
    size_t length =
        add_capitalised(name, 0, sizeof name, one_word ? rule_family_name(row->family) : "");
    length = add_capitalised(name, length, sizeof name, row->id);
    return json_stringn(name, length);
}

static json_t *rule_descriptor(enum rule_id rule)
{
    const struct rule_row *row = rule_row(rule);
    json_t *help = json_sprintf("%s %s", row->why, row->remedy);
    /* A rule that is off has the level that SARIF takes for granted. */
    bool off = row->severity == SEVERITY_OFF;
    json_t *descriptor = json_pack("{sssosososo s{sssb}s{s[s]}}", "id", row->id, "name",
                                   rule_name(row), "shortDescription", text_object(row->summary),
                                   "fullDescription", text_object(row->why), "help",
                                   json_pack("{so}", "text", help), "defaultConfiguration", "level",
                                   severity_name(off ? SEVERITY_WARNING : row->severity), "enabled",
                                   (int)!off, "properties", "tags", rule_family_name(row->family));
    if (*report_home) {
        report_set(descriptor, "helpUri",
                   json_sprintf("%s/rotortab-rules.7.html#%s", report_home, row->id));
    }
    return descriptor;
}

/* The program, with its rules. */
static json_t *this_tool(void)
{
    json_t *rules = json_array();
    for (int i = RULE_NONE + 1; i < RULE_COUNT; i++) {
        report_add(rules, rule_descriptor((enum rule_id)i));
    }
    json_t *driver =
        json_pack("{ssssssso}", "name", "rotortab", "fullName", "rotortab " ROTORTAB_VERSION,
                  "semanticVersion", ROTORTAB_VERSION, "rules", rules);
    if (*report_home) {
        report_set(driver, "informationUri", json_string(report_home));
    }
    return driver;
}

void report_sarif_open(FILE *out, const struct report_task *task)
{
    json_t *run = json_pack("{s{so}sss{ss}}", "tool", "driver", this_tool(), "columnKind",
                            "unicodeCodePoints", "automationDetails", "id", task->name);
    report_origin_add(run, task->origin);
    char *head = report_json_bytes(run, JSON_COMPACT);
    size_t length = strlen(head);
    fputs("{\"$schema\": \"https://json.schemastore.org/sarif-2.1.0.json\", \"version\": \"2.1.0\","
          " \"runs\": [",
          out);
    fwrite(head, 1, length - 1, out); /* the run goes on */
    free(head);
    fputs(",\"results\": [", out);
}

static json_t *physical(const struct span *at, const struct report_origin *origin, bool with_text)
{
    json_t *around = with_text ? report_region_around(at) : NULL;
    json_t *place = json_pack("{soso}", "artifactLocation", report_artifact(origin, at->file->path),
                              "region", report_region(at, with_text));
    if (around) {
        report_set(place, "contextRegion", around);
    }
    return place;
}

/* The other places of a finding, or an empty list. */
static json_t *related_places(const struct report_result *result,
                              const struct report_origin *origin)
{
    json_t *related = json_array();
    for (const struct finding_note *note = result->finding->notes; note; note = note->next) {
        json_t *place = json_pack("{so}", "message", text_object(note->text));
        if (note->at.file) {
            report_set(place, "physicalLocation", physical(&note->at, origin, result->with_text));
        }
        report_add(related, place);
    }
    return related;
}

static json_t *message_of(const struct report_result *result)
{
    const struct finding *finding = result->finding;
    const struct rule_row *row = rule_row(finding->rule);
    struct arena arena = {.newest = NULL};
    const char *more = result->times == 1 ? ""
                                          : arena_printf(&arena, " %zu more of these in this file.",
                                                         result->times - 1);
    json_t *message =
        text_object(arena_printf(&arena, "%s. %s %s%s", finding->message,
                                 finding->consequence ? finding->consequence : row->why,
                                 finding->remedy ? finding->remedy : row->remedy, more));
    arena_free(&arena);
    return message;
}

/* Gives a list or an object to the result, unless it is empty. */
static void set_filled(json_t *object, const char *key, json_t *value)
{
    if (json_array_size(value) + json_object_size(value) != 0) {
        report_set(object, key, json_incref(value));
    }
    json_decref(value);
}

void report_sarif_result(FILE *out, const struct report_result *result,
                         const struct report_origin *origin)
{
    const struct finding *finding = result->finding;
    json_t *numbers = json_object();
    json_t *object =
        json_pack("{sssisssos{so}}", "ruleId", rule_row(finding->rule)->id, "ruleIndex",
                  (int)finding->rule - 1, "level", severity_name(finding->severity), "message",
                  message_of(result), "partialFingerprints", "placeInText/v1",
                  json_sprintf("%016" PRIx64, result->print));
    if (finding->at.file) {
        report_set(object, "locations",
                   json_pack("[{so}]", "physicalLocation",
                             physical(&finding->at, origin, result->with_text)));
    }
    if (result->times != 1) {
        report_set(object, "occurrenceCount", json_integer((json_int_t)result->times));
    }
    if (finding->waived) {
        report_set(object, "suppressions",
                   json_pack("[{ssss}]", "kind", "inSource", "justification", finding->waived));
    }
    for (const struct finding_number *number = finding->numbers; number; number = number->next) {
        report_set(numbers, number->name, json_string(number->text));
    }
    set_filled(object, "relatedLocations", related_places(result, origin));
    set_filled(object, "properties", numbers);
    report_json(out, object, JSON_COMPACT);
}

static json_t *notification(const struct report_sentence *said, const char *level,
                            const struct report_origin *origin)
{
    json_t *object = json_pack("{ssso}", "level", level, "message", text_object(said->sentence));
    if (said->path && *said->path) {
        report_set(object, "locations",
                   json_pack("[{s{so}}]", "physicalLocation", "artifactLocation",
                             report_artifact(origin, said->path)));
    }
    return object;
}

void report_sarif_close(FILE *out, const struct report_sentences *failures,
                        const struct report_sentences *remarks, int status,
                        const struct report_origin *origin)
{
    json_t *notifications = json_array();
    for (size_t i = 0; i < failures->count; i++) {
        report_add(notifications, notification(&failures->items[i], "error", origin));
    }
    for (size_t i = 0; i < remarks->count; i++) {
        report_add(notifications, notification(&remarks->items[i], "warning", origin));
    }
    json_t *invocation = json_pack("{sbsiso}", "executionSuccessful", failures->count == 0,
                                   "exitCode", status, "toolExecutionNotifications", notifications);
    fputs("], \"invocations\": [", out);
    report_json(out, invocation, JSON_COMPACT);
    fputs("]}]}\n", out);
}

/* ---- the fingerprint of a finding ------------------------------------------------------------ */

/* FNV-1a over the bytes and a closing zero. */
static uint64_t mix(uint64_t hash, const char *bytes, size_t length)
{
    for (size_t i = 0; i < length; i++) {
        hash = (hash ^ (unsigned char)bytes[i]) * 0x100000001b3u;
    }
    return hash * 0x100000001b3u;
}

static uint64_t print_of(const struct finding *finding, const char *path, bool with_line)
{
    uint64_t hash = 0xcbf29ce484222325u;
    const char *parts[] = {rule_row(finding->rule)->id, path, finding->pad ? finding->pad : "",
                           finding->stage ? finding->stage : ""};
    for (size_t i = 0; i < sizeof parts / sizeof *parts; i++) {
        hash = mix(hash, parts[i], strlen(parts[i]));
    }
    size_t length = 0;
    const char *line =
        with_line ? text_file_line(finding->at.file, finding->at.line, &length) : NULL;
    while (line && length != 0 && (*line == ' ' || *line == '\t')) {
        line++;
        length--;
    }
    return line ? mix(hash, line, length) : hash;
}

struct print {
    uint64_t print;
    size_t index; /* of its finding */
};

static int equal_ones_together(const void *a, const void *b)
{
    const struct print *left = a;
    const struct print *right = b;
    if (left->print != right->print) {
        return left->print < right->print ? -1 : 1;
    }
    return (left->index > right->index) - (left->index < right->index);
}

/* The fingerprint of the second, third ... among equal ones. */
static uint64_t numbered(uint64_t print, size_t number)
{
    char text[24];
    int length = snprintf(text, sizeof text, "%zu", number);
    return mix(print, text, (size_t)length);
}

const uint64_t *report_fingerprints(struct arena *arena, const struct report_origin *origin,
                                    const struct finding *const *findings, size_t count,
                                    size_t whole)
{
    uint64_t *prints = arena_array(arena, count + 1, sizeof *prints);
    struct print *sorted = arena_array(arena, count + 1, sizeof *sorted);
    const char *path = NULL;
    for (size_t i = 0; i < count; i++) {
        const struct text_file *file = findings[i]->at.file;
        if (!path || file != findings[i - 1]->at.file) { /* this asks the system */
            path = report_file_name(arena, origin, file ? file->path : "");
        }
        sorted[i] = (struct print){print_of(findings[i], path, i < whole), i};
    }
    qsort(sorted, count, sizeof *sorted, equal_ones_together);
    size_t number = 0;
    for (size_t i = 0; i < count; i++) {
        bool again = i > 0 && sorted[i].print == sorted[i - 1].print;
        number = again ? number + 1 : 1;
        prints[sorted[i].index] = again ? numbered(sorted[i].print, number) : sorted[i].print;
    }
    return prints;
}
