#include "report/sarif.h"

#include "report/clean.h"
#include "report/json.h"
#include "report/uri.h"
#include "text/file.h"

#include <inttypes.h>

static json_t *text_object(const char *text)
{
    return json_pack("{so}", "text", report_json_text(text));
}

static json_t *rule_descriptor(enum rule_id rule)
{
    const struct rule_row *row = rule_row(rule);
    json_t *help = json_sprintf("%s %s", row->why, row->remedy);
    return json_pack("{sssososo s{ss}s{s[s]}}", "id", row->id, "shortDescription",
                     text_object(row->summary), "fullDescription", text_object(row->why), "help",
                     json_pack("{so}", "text", help), "defaultConfiguration", "level",
                     severity_name(row->severity), "properties", "tags",
                     rule_family_name(row->family));
}

void report_sarif_open(FILE *out)
{
    json_t *rules = json_array();
    for (int i = RULE_NONE + 1; i < RULE_COUNT; i++) {
        report_add(rules, rule_descriptor((enum rule_id)i));
    }
    json_t *driver = json_pack("{ssssso}", "name", "rotortab", "semanticVersion", ROTORTAB_VERSION,
                               "rules", rules);
    fputs("{\"$schema\": \"https://json.schemastore.org/sarif-2.1.0.json\", \"version\": \"2.1.0\","
          " \"runs\": [{\"tool\": {\"driver\": ",
          out);
    report_json(out, driver, JSON_COMPACT);
    fputs("}, \"columnKind\": \"unicodeCodePoints\", \"results\": [", out);
}

static json_t *physical(const struct span *at)
{
    json_t *place =
        json_pack("{s{so}}", "artifactLocation", "uri", report_uri(at->file ? at->file->path : ""));
    if (at->line != 0) {
        report_set(place, "region",
                   json_pack("{sIsIsIsI}", "startLine", (json_int_t)at->line, "startColumn",
                             (json_int_t)at->column, "endLine", (json_int_t)at->end_line,
                             "endColumn", (json_int_t)at->end_column));
    }
    return place;
}

void report_sarif_result(FILE *out, const struct finding *finding, uint64_t print)
{
    const struct rule_row *row = rule_row(finding->rule);
    struct arena arena = {.newest = NULL};
    const char *message = arena_printf(&arena, "%s. %s %s", finding->message,
                                       finding->consequence ? finding->consequence : row->why,
                                       finding->remedy ? finding->remedy : row->remedy);
    json_t *result =
        json_pack("{sssisssos[{so}]s{so}}", "ruleId", row->id, "ruleIndex", (int)finding->rule - 1,
                  "level", severity_name(finding->severity), "message", text_object(message),
                  "locations", "physicalLocation", physical(&finding->at), "partialFingerprints",
                  "placeInText/v1", json_sprintf("%016" PRIx64, print));
    arena_free(&arena);
    json_t *related = json_array();
    for (const struct finding_note *note = finding->notes; note; note = note->next) {
        report_add(related, json_pack("{soso}", "physicalLocation", physical(&note->at), "message",
                                      text_object(note->text)));
    }
    if (json_array_size(related) != 0) {
        report_set(result, "relatedLocations", json_incref(related));
    }
    json_decref(related);
    if (finding->waived) {
        report_set(result, "suppressions",
                   json_pack("[{ssss}]", "kind", "inSource", "justification", finding->waived));
    }
    json_t *numbers = json_object();
    for (const struct finding_number *number = finding->numbers; number; number = number->next) {
        report_set(numbers, number->name, json_string(number->text));
    }
    if (json_object_size(numbers) != 0) {
        report_set(result, "properties", json_incref(numbers));
    }
    json_decref(numbers);
    report_json(out, result, JSON_COMPACT);
}

static json_t *notification(const struct report_sentence *said, const char *level)
{
    json_t *object = json_pack("{ssso}", "level", level, "message", text_object(said->sentence));
    if (said->path && *said->path) {
        report_set(object, "locations",
                   json_pack("[{s{s{so}}}]", "physicalLocation", "artifactLocation", "uri",
                             report_uri(said->path)));
    }
    return object;
}

void report_sarif_close(FILE *out, const struct report_sentences *failures,
                        const struct report_sentences *remarks, int status)
{
    json_t *notifications = json_array();
    for (size_t i = 0; i < failures->count; i++) {
        report_add(notifications, notification(&failures->items[i], "error"));
    }
    for (size_t i = 0; i < remarks->count; i++) {
        report_add(notifications, notification(&remarks->items[i], "warning"));
    }
    json_t *invocation = json_pack("{sbsiso}", "executionSuccessful", failures->count == 0,
                                   "exitCode", status, "toolExecutionNotifications", notifications);
    fputs("], \"invocations\": [", out);
    report_json(out, invocation, JSON_COMPACT);
    fputs("]}]}\n", out);
}
