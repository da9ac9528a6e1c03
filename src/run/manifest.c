#include "run/manifest.h"

#include "run/say.h"

#include <fcntl.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

/* The largest manifest: one of ten thousand engines has some ten million bytes. */
enum { MANIFEST_MOST = 1 << 26 };

struct reading {
    struct arena *arena;
    run_manifest_visit *visit;
    void *context;
    json_t *tables;
};

/* The text of a key, copied; NULL where it is not a text. */
static const char *text_of(struct arena *arena, const json_t *object, const char *key)
{
    const json_t *value = json_object_get(object, key);
    return json_is_string(value)
               ? arena_copy(arena, json_string_value(value), json_string_length(value))
               : NULL;
}

static bool read_parts(struct arena *arena, const json_t *parts, struct report_resting *on)
{
    on->parts = arena_array(arena, json_array_size(parts) + 1, sizeof *on->parts);
    for (size_t i = 0; i < json_array_size(parts); i++) {
        const json_t *part = json_array_get(parts, i);
        if (!json_is_string(part)) {
            return false;
        }
        on->parts[on->part_count++] =
            arena_copy(arena, json_string_value(part), json_string_length(part));
    }
    return json_is_array(parts);
}

static bool read_documents(struct arena *arena, const json_t *list,
                           struct report_restings *restings)
{
    restings->items = arena_array(arena, json_array_size(list) + 1, sizeof *restings->items);
    for (size_t i = 0; i < json_array_size(list); i++) {
        const json_t *item = json_array_get(list, i);
        struct report_resting *on = &restings->items[restings->count++];
        *on = (struct report_resting){.document = text_of(arena, item, "document"),
                                      .revision = text_of(arena, item, "revision"),
                                      .date = text_of(arena, item, "date")};
        if (!on->document || !on->revision || !on->date ||
            !read_parts(arena, json_object_get(item, "parts"), on)) {
            return false;
        }
    }
    return json_is_array(list);
}

/* Passes an engine on, once for each table. */
static bool visit_tables(const struct reading *reading, struct report_resting_engine *engine,
                         const struct report_restings *restings)
{
    for (size_t i = 0; i < json_array_size(reading->tables); i++) {
        const json_t *table = json_array_get(reading->tables, i);
        engine->table = text_of(reading->arena, table, "file");
        engine->device = text_of(reading->arena, json_object_get(table, "device"), "id");
        if (!engine->table || !engine->device) {
            return false;
        }
        reading->visit(reading->context, engine, restings);
    }
    return true;
}

static bool read_source(const struct reading *reading, const json_t *source)
{
    const json_t *revision = json_object_get(source, "revision");
    const json_t *compiled = json_object_get(source, "compiled");
    struct report_resting_engine engine = {.id = text_of(reading->arena, source, "id"),
                                           .revision = json_integer_value(revision)};
    struct report_restings restings = {.count = 0};
    if (!engine.id || !json_is_integer(revision) || !json_is_boolean(compiled) ||
        !read_documents(reading->arena, json_object_get(source, "documents"), &restings)) {
        return false;
    }
    return json_is_false(compiled) || visit_tables(reading, &engine, &restings);
}

static bool read_all(const struct reading *reading, const json_t *root)
{
    const json_t *sources = json_object_get(root, "sources");
    for (size_t i = 0; i < json_array_size(sources); i++) {
        if (!read_source(reading, json_array_get(sources, i))) {
            return false;
        }
    }
    return json_is_array(sources) && json_is_array(reading->tables);
}

/* The JSON in a regular file of a size that a manifest can have; NULL: something else. */
static json_t *load(const char *path)
{
    struct stat status;
    json_t *root = NULL;
    int fd = open(path, O_RDONLY | O_CLOEXEC | O_NOCTTY | O_NONBLOCK);
    if (fd >= 0 && fstat(fd, &status) == 0 && S_ISREG(status.st_mode) &&
        status.st_size <= MANIFEST_MOST) {
        root = json_loadfd(fd, JSON_REJECT_DUPLICATES, NULL);
    }
    if (fd >= 0) {
        close(fd);
    }
    return root;
}

enum run_manifest_read run_manifest_read(struct arena *arena, const char *path,
                                         run_manifest_visit *visit, void *context)
{
    size_t length = strlen(path);
    json_t *root = length > 5 && strcmp(path + length - 5, ".json") == 0 ? load(path) : NULL;
    const char *program =
        json_string_value(json_object_get(json_object_get(root, "program"), "name"));
    struct reading reading = {arena, visit, context, json_object_get(root, "tables")};
    enum run_manifest_read read = RUN_NOT_MANIFEST;
    if (program && strcmp(program, "rotortab") == 0 && reading.tables) {
        read = read_all(&reading, root) ? RUN_MANIFEST_READ : RUN_MANIFEST_REFUSED;
    }
    json_decref(root);
    if (read == RUN_MANIFEST_REFUSED) {
        run_error("%s is not a whole manifest, so it does not say what its tables rest on; compile "
                  "them again with --manifest",
                  path);
    }
    return read;
}
