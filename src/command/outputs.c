#include "command/outputs.h"

#include "command/policy.h"
#include "report/clean.h"
#include "report/json.h"
#include "table/words.h"

#include <inttypes.h>
#include <string.h>

static const char *digest_of(struct arena *arena, const void *bytes, size_t length)
{
    uint8_t digest[TEXT_DIGEST_SIZE];
    text_digest_bytes(bytes, length, digest);
    return words_hex(arena, digest, ROTOR_DIGEST_SIZE);
}

static json_t *sources_of(const struct command_table *table)
{
    json_t *list = json_array();
    for (size_t i = 0; i < table->source_count; i++) {
        const struct command_source *source = &table->sources[i];
        report_add(list, json_pack("{sssosIsssb}", "id", source->id, "file",
                                   report_json_text(source->path), "revision",
                                   (json_int_t)source->revision, "sha256", source->digest,
                                   "compiled", !source->left_out));
    }
    return list;
}

/* The policies in the order in which they were read, which follows from the sources. */
static json_t *policies_of(struct arena *arena, const struct pipeline *pipeline)
{
    json_t *list = json_array();
    for (const struct pipeline_policy *entry = pipeline->loaded; entry; entry = entry->older) {
        report_add_first(list, json_pack("{soss}", "file", report_json_text(entry->path), "sha256",
                                         words_hex(arena, entry->digest, ROTOR_DIGEST_SIZE)));
    }
    return list;
}

static const char *device_id(const struct command_output *output)
{
    return output->pipeline.device.device->id.text;
}

static json_t *table_of(struct arena *arena, const struct command_output *output)
{
    const struct pipeline *pipeline = &output->pipeline;
    json_t *device = json_pack("{sssoss}", "id", device_id(output), "file",
                               report_json_text(pipeline->device_source.file.path), "sha256",
                               words_hex(arena, pipeline->device_digest, ROTOR_DIGEST_SIZE));
    return json_pack("{sosssIso}", "file", report_json_text(output->path), "sha256",
                     digest_of(arena, output->table.bytes, output->table.length), "bytes",
                     (json_int_t)output->table.length, "device", device);
}

static int by_device(const void *a, const void *b)
{
    const struct command_output *const *left = a;
    const struct command_output *const *right = b;
    return strcmp(device_id(*left), device_id(*right));
}

/* By the ids of their devices, no two of which are the same, in whatever order they were named. */
static json_t *tables_of(struct arena *arena, const struct command_output *outputs, size_t count)
{
    const struct command_output **sorted = arena_array(arena, count, sizeof *sorted);
    json_t *list = json_array();
    for (size_t i = 0; i < count; i++) {
        sorted[i] = &outputs[i];
    }
    qsort(sorted, count, sizeof *sorted, by_device);
    for (size_t i = 0; i < count; i++) {
        report_add(list, table_of(arena, sorted[i]));
    }
    return list;
}

/* By file, place and rule, so that the order in which the sources were named leaves no trace. */
static int by_place(const void *a, const void *b)
{
    const json_t *const *left = a;
    const json_t *const *right = b;
    static const char *const texts[] = {"file", "rule", "message"};
    static const char *const numbers[] = {"line", "column"};
    int compared = strcmp(json_string_value(json_object_get(*left, texts[0])),
                          json_string_value(json_object_get(*right, texts[0])));
    for (size_t i = 0; compared == 0 && i < 2; i++) {
        json_int_t l = json_integer_value(json_object_get(*left, numbers[i]));
        json_int_t r = json_integer_value(json_object_get(*right, numbers[i]));
        compared = (l > r) - (l < r);
    }
    for (size_t i = 1; compared == 0 && i < 3; i++) {
        compared = strcmp(json_string_value(json_object_get(*left, texts[i])),
                          json_string_value(json_object_get(*right, texts[i])));
    }
    return compared;
}

static json_t *findings_of(struct arena *arena, const json_t *findings)
{
    size_t count = json_array_size(findings);
    json_t **items = arena_array(arena, count + 1, sizeof *items);
    json_t *list = json_array();
    for (size_t i = 0; i < count; i++) {
        items[i] = json_array_get(findings, i);
    }
    qsort(items, count, sizeof(json_t *), by_place);
    for (size_t i = 0; i < count; i++) {
        report_add(list, json_incref(items[i]));
    }
    return list;
}

char *command_manifest(struct arena *arena, const struct command_output *outputs, size_t count,
                       const struct report_sink *sink, size_t *length)
{
    json_t *manifest = json_pack(
        "{s{ssss}sosososo}", "program", "name", "rotortab", "version", ROTORTAB_VERSION, "tables",
        tables_of(arena, outputs, count), "sources", sources_of(&outputs[0].table), "policies",
        policies_of(arena, &outputs[0].pipeline), "findings", findings_of(arena, sink->kept));
    char *dumped = report_json_bytes(manifest, JSON_INDENT(2));
    *length = strlen(dumped) + 1;
    char *text = arena_printf(arena, "%s\n", dumped);
    free(dumped);
    return text;
}
