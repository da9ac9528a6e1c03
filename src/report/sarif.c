/*
 * sarif.c - findings as a SARIF log, with fingerprints, and with one name for each file.
 */
#include "report/sarif.h"

#include "report/json.h"
#include "text/file.h"
#include "text/utf8.h"

#include <inttypes.h>
#include <jansson.h>
#include <limits.h>
#include <stdbool.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

static json_t *text_object(const char *text)
{
    return json_pack("{so}", "text", report_json_text(text));
}

static json_t *rule_descriptor(enum rule_id rule)
{
    const struct rule_row *row = rule_row(rule);
    json_t *help = json_sprintf("%s %s", row->why, row->remedy);
    /* A rule that is off has the level that SARIF takes for granted. */
    bool off = row->severity == SEVERITY_OFF;
    return json_pack("{sssososo s{sssb}s{s[s]}}", "id", row->id, "shortDescription",
                     text_object(row->summary), "fullDescription", text_object(row->why), "help",
                     json_pack("{so}", "text", help), "defaultConfiguration", "level",
                     severity_name(off ? SEVERITY_WARNING : row->severity), "enabled", (int)!off,
                     "properties", "tags", rule_family_name(row->family));
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

const uint64_t *report_fingerprints(struct arena *arena, const struct finding *const *findings,
                                    size_t count, size_t whole)
{
    uint64_t *prints = arena_array(arena, count + 1, sizeof *prints);
    struct print *sorted = arena_array(arena, count + 1, sizeof *sorted);
    const char *path = NULL;
    for (size_t i = 0; i < count; i++) {
        const struct text_file *file = findings[i]->at.file;
        if (!path || file != findings[i - 1]->at.file) { /* this asks the system */
            path = report_plain_path(arena, file ? file->path : "");
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

/* ---- one name for a file --------------------------------------------------------------------- */

/* Without `.` and doubled slashes; what is left of the working folder itself is one `.`. */
static char *tidy(struct arena *arena, const char *path)
{
    char *text = arena_alloc(arena, strlen(path) + 2);
    char *end = text;
    bool rooted = path[0] == '/';
    for (path += strspn(path, "/"); *path; path += strspn(path, "/")) {
        size_t length = strcspn(path, "/");
        if (length != 1 || *path != '.') {
            if (rooted || end != text) {
                *end++ = '/';
            }
            memcpy(end, path, length);
            end += length;
        }
        path += length;
    }
    if (end == text) {
        *end = rooted ? '/' : '.';
    }
    return text;
}

/* The rest of the path below a folder, or NULL if it does not lead there. */
static const char *below(const char *path, const char *folder)
{
    size_t length = strcmp(folder, "/") == 0 ? 0 : strlen(folder);
    if (strncmp(path, folder, length) != 0 || (path[length] != '/' && path[length] != '\0')) {
        return NULL;
    }
    path += length + strspn(path + length, "/");
    return *path ? path : ".";
}

/* The working folder as the shell names it, with links; NULL if that is now another folder. */
static const char *named_folder(void)
{
    const char *named = getenv("PWD");
    if (!named) {
        return NULL;
    }
    struct text_identity here = text_identity_of(".");
    struct text_identity there = text_identity_of(named);
    return here.device == there.device && here.inode == there.inode ? named : NULL;
}

const char *report_plain_path(struct arena *arena, const char *path)
{
    if (!*path) {
        return path;
    }
    const char *plain = tidy(arena, path);
    if (plain[0] != '/') {
        return plain;
    }
    char real[PATH_MAX];
    const char *named = named_folder();
    const char *rest = getcwd(real, sizeof real) ? below(plain, real) : NULL;
    rest = !rest && named ? below(plain, named) : rest;
    return rest ? rest : plain;
}

json_t *report_uri(const char *path)
{
    static const char unreserved[] = "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ"
                                     "0123456789-._~/";
    struct arena arena = {.newest = NULL};
    const char *plain = report_plain_path(&arena, path);
    char *text = arena_alloc(&arena, 3 * strlen(plain) + sizeof "file://");
    char *end = text;
    if (plain[0] == '/') {
        end += sprintf(end, "file://");
    }
    for (; *plain; plain++) {
        if (strchr(unreserved, *plain)) {
            *end++ = *plain;
        } else {
            end += sprintf(end, "%%%02X", (unsigned)(unsigned char)*plain);
        }
    }
    json_t *string = json_string(text);
    arena_free(&arena);
    return string;
}
