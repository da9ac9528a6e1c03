#include "run/outputs.h"

#include "report/json.h"
#include "run/nearest.h"
#include "table/words.h"
#include "text/stream.h"
#include "text/utf8.h"
#include "text/write.h"

#include <inttypes.h>
#include <stdlib.h>
#include <string.h>

static const char *digest_of(struct arena *arena, const void *bytes, size_t length)
{
    uint8_t digest[TEXT_DIGEST_SIZE];
    text_digest_bytes(bytes, length, digest);
    return words_hex(arena, digest, ROTOR_DIGEST_SIZE);
}

static json_t *sources_of(const struct run_table *table)
{
    json_t *list = json_array();
    for (size_t i = 0; i < table->source_count; i++) {
        const struct run_source *source = &table->sources[i];
        json_t *object = json_pack(
            "{sssosIsssbso}", "id", source->id, "file", report_json_text(source->path), "revision",
            (json_int_t)source->revision, "sha256", source->digest, "compiled", !source->left_out,
            "documents", report_resting_array(&source->rests_on));
        if (source->cross_check) {
            report_set(object, "cross_check",
                       json_pack("{soss}", "file", report_json_text(source->cross_check), "sha256",
                                 source->cross_check_digest));
        }
        report_add(list, object);
    }
    return list;
}

/* The policies or the registers, in the order in which they were read. */
static json_t *nearest_of(struct arena *arena, const struct run *run, enum model_kind kind)
{
    json_t *list = json_array();
    for (const struct run_nearest *entry = run->loaded; entry; entry = entry->older) {
        if (entry->kind == kind) {
            report_add_first(list,
                             json_pack("{soss}", "file", report_json_text(entry->path), "sha256",
                                       words_hex(arena, entry->digest, ROTOR_DIGEST_SIZE)));
        }
    }
    return list;
}

static const char *device_id(const struct run_output *output)
{
    return output->run.device.device->id.text;
}

static json_t *table_of(struct arena *arena, const struct run_output *output)
{
    const struct run *run = &output->run;
    json_t *device = json_pack("{sssoss}", "id", device_id(output), "file",
                               report_json_text(run->profile.source.file.path), "sha256",
                               words_hex(arena, run->device_digest, ROTOR_DIGEST_SIZE));
    return json_pack("{sosssIso}", "file", report_json_text(output->path), "sha256",
                     digest_of(arena, output->table.bytes, output->table.length), "bytes",
                     (json_int_t)output->table.length, "device", device);
}

static int by_device(const void *a, const void *b)
{
    const struct run_output *const *left = a;
    const struct run_output *const *right = b;
    return strcmp(device_id(*left), device_id(*right));
}

/*
 * Sorted by the ids of their devices, which all differ; the order on the command line does not
 * matter.
 */
static json_t *tables_of(struct arena *arena, const struct run_output *outputs, size_t count)
{
    const struct run_output **sorted = arena_array(arena, count, sizeof *sorted);
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

/* Sorted by file, line, column and rule, so the order on the command line does not matter. */
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

char *run_manifest(struct arena *arena, const struct run_output *outputs, size_t count,
                   const struct report_sink *sink, size_t *length)
{
    json_t *manifest = json_pack("{s{ssss}sososososo}", "program", "name", "rotortab", "version",
                                 ROTORTAB_VERSION, "tables", tables_of(arena, outputs, count),
                                 "sources", sources_of(&outputs[0].table), "policies",
                                 nearest_of(arena, &outputs[0].run, MODEL_POLICY_KIND), "registers",
                                 nearest_of(arena, &outputs[0].run, MODEL_REGISTER_KIND),
                                 "findings", findings_of(arena, sink->kept));
    char *dumped = report_json_bytes(manifest, JSON_INDENT(2));
    *length = strlen(dumped) + 1;
    char *text = arena_printf(arena, "%s\n", dumped);
    free(dumped);
    return text;
}

/* Characters that a backslash makes a part of a name. */
static const char escaped[] = " #:";

/*
 * Characters that make does not accept in a name even after a backslash, or that ninja then reads
 * in another way.
 */
static const char refused[] = "%*;=?[|";

/*
 * The part of a name that make and ninja do not both accept, in words; NULL: they accept the name.
 */
static const char *what_is_refused(struct arena *arena, const char *name)
{
    size_t length = strlen(name);
    const char *bracket = strchr(name, '(');
    for (const char *at = name; *at; at++) {
        if ((unsigned char)*at < ' ' || *at == 0x7f) {
            return *at == '\n' ? "a line break" : *at == '\t' ? "a tab" : "a control character";
        }
        if (strchr(refused, *at)) {
            return arena_printf(arena, "the character %c", *at);
        }
        if (*at == '\\' &&
            (at[1] == '$' || strchr(escaped, at[1]))) { /* or at the end of the name */
            return "a backslash before a blank, #, : or $, or at the end,";
        }
    }
    if (*name == '~') {
        return "~ at the beginning";
    }
    if (length != 0 && strchr(" :&", name[length - 1])) {
        return "a blank, : or & at the end";
    }
    /* make reads it as a member of an archive */
    return bracket && bracket != name && name[length - 1] == ')' ? "(...) at the end" : NULL;
}

/* Whether the depfile can hold a name; false with a message if not. */
static bool can_be_named(struct arena *arena, const char *name)
{
    const char *what = what_is_refused(arena, name);
    if (what) {
        run_error("the depfile cannot name %s: make does not accept %s in a name; rename the file, "
                  "or leave out --depfile",
                  name, what);
    }
    return !what;
}

/* Folders whose time changes when a file in them comes or goes, each once. */
struct folders {
    struct text_paths *paths;
    struct arena *arena;
    struct text_seen seen; /* and the folders of the outputs, whose time changes with every run */
};

static void add_folders(struct folders *folders, const struct text_paths *more)
{
    for (size_t i = 0; i < more->count; i++) {
        if (text_seen_add(&folders->seen, text_identity_of(more->items[i]))) {
            text_paths_add(folders->paths, folders->arena, more->items[i]);
        }
    }
}

/*
 * Adds the folders that were searched for sources, and those in which a nearer policy, a nearer
 * register or a cross-check could appear.
 */
static void add_all_folders(struct text_paths *paths, struct arena *arena, const struct run *run,
                            const struct run_file *files, size_t file_count)
{
    struct folders folders = {paths, arena, {.arena = arena}};
    for (size_t i = 0; i < file_count; i++) {
        const char *target = text_write_target(arena, files[i].path);
        if (target) {
            (void)text_seen_add(&folders.seen, text_identity_of(text_path_folder(arena, target)));
        }
    }
    add_folders(&folders, &run->folders);
    add_folders(&folders, &run->without_nearest);
    add_folders(&folders, &run->without_cross_check);
}

/* The files and folders that every table depends on; each also depends on its profile. */
static struct text_paths shared_by_all(struct arena *arena, const struct run_output *output,
                                       const struct run_file *files, size_t file_count)
{
    struct text_paths paths = {NULL, 0, 0};
    for (size_t i = 0; i < output->table.source_count; i++) {
        const struct run_source *source = &output->table.sources[i];
        text_paths_add(&paths, arena, source->path);
        if (source->cross_check) {
            text_paths_add(&paths, arena, source->cross_check);
        }
    }
    const struct run_nearest *nearest = output->run.loaded;
    for (; nearest; nearest = nearest->older) {
        text_paths_add(&paths, arena, nearest->path);
    }
    add_all_folders(&paths, arena, &output->run, files, file_count);
    return paths;
}

static const char *profile_of(const struct run_output *output)
{
    return output->run.profile.source.file.path;
}

static void write_name(FILE *out, const char *name)
{
    for (; *name; name++) {
        if (*name == '$' || strchr(escaped, *name)) {
            fputc(*name == '$' ? '$' : '\\', out);
        }
        fputc(*name, out);
    }
}

/* Standard input is not a file that can change. */
static bool is_input(const char *path)
{
    return strcmp(path, "-") == 0;
}

static void write_prerequisite(FILE *out, const char *path)
{
    if (!is_input(path)) {
        fputs(" \\\n ", out);
        write_name(out, path);
    }
}

static void write_without_prerequisites(FILE *out, const char *path)
{
    if (!is_input(path)) {
        write_name(out, path);
        fputs(":\n", out);
    }
}

static void write_rules(FILE *out, const struct run_output *outputs, size_t count,
                        const struct text_paths *shared)
{
    for (size_t i = 0; i < count; i++) {
        write_name(out, outputs[i].path);
        fputc(':', out);
        write_prerequisite(out, profile_of(&outputs[i]));
        for (size_t j = 0; j < shared->count; j++) {
            write_prerequisite(out, shared->items[j]);
        }
        fputs("\n\n", out);
    }
    for (size_t i = 0; i < count; i++) {
        write_without_prerequisites(out, profile_of(&outputs[i]));
    }
    for (size_t i = 0; i < shared->count; i++) {
        write_without_prerequisites(out, shared->items[i]);
    }
}

bool run_depfile(struct arena *arena, const struct run_output *outputs, size_t count,
                 struct run_file *files, size_t file_count)
{
    struct text_paths shared = shared_by_all(arena, outputs, files, file_count);
    bool fine = true;
    for (size_t i = 0; i < count && fine; i++) {
        fine = can_be_named(arena, outputs[i].path) && can_be_named(arena, profile_of(&outputs[i]));
    }
    for (size_t i = 0; i < shared.count && fine; i++) {
        fine = can_be_named(arena, shared.items[i]);
    }
    if (!fine) {
        return false;
    }
    struct text_stream text;
    FILE *out = text_stream_open(&text, arena);
    write_rules(out, outputs, count, &shared);
    text_stream_close(&text, out);
    struct run_file *file = &files[file_count - 1];
    *file = (struct run_file){file->path, text.bytes, text.length};
    return true;
}
