/*
 * resting.c - what rests on a document, as text, JSON and CSV.
 */
#include "report/resting.h"

#include "report/csv.h"
#include "report/json.h"
#include "text/utf8.h"
#include "text/wrap.h"
#include "words/name.h"
#include "words/number.h"

#include <inttypes.h>
#include <stdlib.h>
#include <string.h>

/* ---- the documents of a definition ------------------------------------------------------------
 */

struct gathering {
    struct arena *arena;
    const struct model_engine *engine;
    struct report_restings *restings;
};

static void gather(void *context, const struct model_resting *resting)
{
    struct gathering *gathering = context;
    if (!resting->document) {
        return;
    }
    size_t index = (size_t)(resting->document - model_document(gathering->engine, 0));
    struct report_resting *on = &gathering->restings->items[index];
    on->parts[on->part_count++] = model_resting_part(gathering->arena, resting);
}

/* The most parts that can rest on one document. */
static size_t most_parts(const struct model_engine *engine)
{
    return engine->spools.count + engine->stages.count + 2 * engine->pads.count +
           engine->observations.count + 1;
}

struct report_restings report_resting_of(const struct model_engine *engine,
                                         const struct model_cross_check *second,
                                         struct arena *arena)
{
    struct report_restings restings = {.count = engine->documents.count};
    struct gathering gathering = {arena, engine, &restings};
    restings.items = arena_array(arena, restings.count + 1, sizeof *restings.items);
    for (size_t i = 0; i < restings.count; i++) {
        const struct model_document *document = model_document(engine, i);
        restings.items[i] = (struct report_resting){
            arena_copy(arena, document->document.text, document->document.length),
            arena_copy(arena, document->revision.text, document->revision.length),
            words_date(arena, document->date.value),
            arena_array(arena, most_parts(engine), sizeof(const char *)), 0};
    }
    model_each_resting(engine, second, gather, &gathering);
    return restings;
}

static json_t *parts_array(const struct report_resting *resting)
{
    json_t *parts = json_array();
    for (size_t i = 0; i < resting->part_count; i++) {
        report_add(parts, json_string(resting->parts[i]));
    }
    return parts;
}

json_t *report_resting_array(const struct report_restings *restings)
{
    json_t *list = json_array();
    for (size_t i = 0; i < restings->count; i++) {
        const struct report_resting *on = &restings->items[i];
        report_add(list, json_pack("{ssssssso}", "document", on->document, "revision", on->revision,
                                   "date", on->date, "parts", parts_array(on)));
    }
    return list;
}

/* ---- the list ---------------------------------------------------------------------------------
 */

/* Whether the text is the name with an @ and something after it. */
static bool is_with_revision(const char *asked, const char *document)
{
    size_t length = strlen(document);
    return strncmp(asked, document, length) == 0 && asked[length] == '@';
}

bool report_resting_names(const char *asked, const char *document)
{
    return strcmp(asked, document) == 0 || is_with_revision(asked, document);
}

void report_resting_add(struct report_resting_list *list, const char *asked,
                        const struct report_resting_engine *engine,
                        const struct report_restings *restings)
{
    for (size_t i = 0; i < restings->count; i++) {
        const struct report_resting *on = &restings->items[i];
        bool wanted = strcmp(asked, on->document) == 0 ||
                      (is_with_revision(asked, on->document) &&
                       strcmp(asked + strlen(on->document) + 1, on->revision) == 0);
        if (wanted) {
            list->items = arena_grow(list->arena, list->items, list->count, &list->capacity,
                                     sizeof *list->items);
            list->items[list->count] = *engine;
            list->items[list->count++].on = *on;
        }
    }
}

static int by_place(const void *a, const void *b)
{
    const struct report_resting_engine *left = a;
    const struct report_resting_engine *right = b;
    const char *const texts[][2] = {
        {left->table ? left->table : "", right->table ? right->table : ""},
        {left->id, right->id},
        {left->on.document, right->on.document},
        {left->on.revision, right->on.revision}};
    int compared = 0;
    for (size_t i = 0; compared == 0 && i < sizeof texts / sizeof *texts; i++) {
        compared = strcmp(texts[i][0], texts[i][1]);
    }
    return compared;
}

/* Whether two lines are of the same definition or of the same table. */
static bool same_place(const struct report_resting_engine *a, const struct report_resting_engine *b,
                       bool engine_too)
{
    bool same =
        (!a->table && !b->table) || (a->table && b->table && strcmp(a->table, b->table) == 0);
    return same && (!engine_too || strcmp(a->id, b->id) == 0);
}

/* How many definitions, or how many tables, are in the sorted list. */
static size_t count_of(const struct report_resting_list *list, bool tables)
{
    size_t count = 0;
    for (size_t i = 0; i < list->count; i++) {
        const struct report_resting_engine *item = &list->items[i];
        count +=
            (item->table != NULL) == tables && (i == 0 || !same_place(item, item - 1, !tables));
    }
    return count;
}

/* ---- text -------------------------------------------------------------------------------------
 */

enum { COLUMNS = 100, BELOW = 2 };

static void write_engine(FILE *out, const struct report_resting_engine *engine, size_t indent,
                         struct arena *arena)
{
    const struct report_resting *on = &engine->on;
    const char *parts = on->part_count == 0 ? "no part" : "";
    for (size_t i = 0; i < on->part_count; i++) {
        parts = arena_printf(arena, "%s%s%s", parts, i == 0 ? "" : ", ", on->parts[i]);
    }
    fprintf(out, "%*s", (int)indent, "");
    text_write_wrapped(
        out, indent, (struct text_wrap){COLUMNS, indent + BELOW},
        text_clean(arena, arena_printf(arena,
                                       "%s, revision %" PRId64 "%s%s: %s, "
                                       "revision %s of %s",
                                       engine->id, engine->revision, engine->status ? ", " : "",
                                       engine->status ? engine->status : "", on->document,
                                       on->revision, on->date)));
    fprintf(out, "%*s", (int)(indent + BELOW), "");
    text_write_wrapped(out, indent + BELOW, (struct text_wrap){COLUMNS, indent + BELOW + BELOW},
                       text_clean(arena, parts));
}

static void write_text(FILE *out, const struct report_resting_list *list)
{
    struct arena arena = {.newest = NULL};
    for (size_t i = 0; i < list->count; i++) {
        const struct report_resting_engine *item = &list->items[i];
        if (item->table && (i == 0 || !same_place(item, item - 1, false))) {
            text_write_wrapped(out, 0, (struct text_wrap){COLUMNS, BELOW},
                               text_clean(&arena, arena_printf(&arena, "table %s, for %s",
                                                               item->table, item->device)));
        }
        write_engine(out, item, item->table ? BELOW : 0, &arena);
        arena_reset(&arena);
    }
    arena_free(&arena);
    size_t engines = count_of(list, false);
    size_t tables = count_of(list, true);
    fprintf(out, "%s%zu definition%s, %zu table%s\n", list->count == 0 ? "" : "\n", engines,
            words_plural((int64_t)engines), tables, words_plural((int64_t)tables));
}

/* ---- JSON and CSV -----------------------------------------------------------------------------
 */

static json_t *engine_object(const struct report_resting_engine *engine)
{
    const struct report_resting *on = &engine->on;
    json_t *object =
        json_pack("{sssI}", "id", engine->id, "revision", (json_int_t)engine->revision);
    if (engine->status) {
        report_set(object, "status", json_string(engine->status));
    }
    report_set(object, "document", json_string(on->document));
    report_set(object, "document_revision", json_string(on->revision));
    report_set(object, "document_date", json_string(on->date));
    report_set(object, "parts", parts_array(on));
    return object;
}

static void write_json(FILE *out, const struct report_resting_list *list)
{
    json_t *definitions = json_array();
    json_t *tables = json_array();
    json_t *engines = NULL;
    for (size_t i = 0; i < list->count; i++) {
        const struct report_resting_engine *item = &list->items[i];
        if (item->table && (i == 0 || !same_place(item, item - 1, false))) {
            engines = json_array();
            report_add(tables, json_pack("{sosssO}", "file", report_json_text(item->table),
                                         "device", item->device, "engines", engines));
            json_decref(engines); /* the table holds it */
        }
        report_add(item->table ? engines : definitions, engine_object(item));
    }
    report_json(out, json_pack("{soso}", "definitions", definitions, "tables", tables),
                JSON_INDENT(2));
    fputc('\n', out);
}

static void write_csv(FILE *out, const struct report_resting_list *list)
{
    fputs("table,device,engine,revision,status,document,document_revision,document_date,part\n",
          out);
    for (size_t i = 0; i < list->count; i++) {
        const struct report_resting_engine *item = &list->items[i];
        const char *const before[] = {item->table ? item->table : "",
                                      item->device ? item->device : "", item->id};
        const char *const after[] = {item->status ? item->status : "", item->on.document,
                                     item->on.revision, item->on.date};
        for (size_t part = 0; part == 0 || part < item->on.part_count; part++) {
            for (size_t k = 0; k < sizeof before / sizeof *before; k++) {
                report_csv_text(out, before[k]);
                fputc(',', out);
            }
            fprintf(out, "%" PRId64, item->revision);
            for (size_t k = 0; k < sizeof after / sizeof *after; k++) {
                fputc(',', out);
                report_csv_text(out, after[k]);
            }
            fputc(',', out);
            report_csv_text(out, item->on.part_count == 0 ? "" : item->on.parts[part]);
            fputc('\n', out);
        }
    }
}

void report_resting_write(FILE *out, struct report_resting_list *list,
                          enum report_resting_format format)
{
    if (list->count != 0) {
        qsort(list->items, list->count, sizeof *list->items, by_place);
    }
    switch (format) {
    case REPORT_RESTING_TEXT: write_text(out, list); break;
    case REPORT_RESTING_JSON: write_json(out, list); break;
    case REPORT_RESTING_CSV: write_csv(out, list); break;
    }
}
