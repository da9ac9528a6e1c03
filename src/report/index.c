/*
 * index.c - the list of all engines as text, JSON and CSV.
 */
#include "report/index.h"

#include "report/csv.h"
#include "report/json.h"
#include "text/utf8.h"
#include "text/wrap.h"
#include "words/name.h"
#include "words/number.h"

#include <inttypes.h>
#include <stdlib.h>
#include <string.h>

enum { DECIMALS = 9 };

/* ---- the facts ------------------------------------------------------------------------------- */

static const char *copy(struct arena *arena, const char *text)
{
    return arena_copy(arena, text, strlen(text));
}

static struct report_index_pad pad_of(struct arena *arena, const struct model_derived *derived,
                                      size_t index)
{
    const struct model_pad_facts *facts = &derived->facts.pads[index];
    struct report_index_pad pad = {.id = copy(arena, model_pad(derived->engine, index)->id.text),
                                   .turns = facts->ratio};
    pad.ratio = words_interval(arena, pad.turns);
    pad.torque_known = model_torque_limit(derived, index, &pad.torque);
    pad.torque_words = pad.torque_short = "not given";
    if (pad.torque_known) {
        const char *number = words_decimal(arena, pad.torque.value, DECIMALS);
        pad.torque_short = words_in_unit(arena, number, pad.torque.unit);
        pad.torque_words = words_torque(arena, pad.torque);
    }
    return pad;
}

/* "HPC-1 31, HPC-2 43": each stage, a blank of some kind, and its blades. */
static const char *list_stages(struct arena *arena, const struct report_index_spool *spool,
                               const char *blank)
{
    const char *text = "";
    for (size_t i = 0; i < spool->stage_count; i++) {
        text = arena_printf(arena, "%s%s%s%s%" PRId64, text, *text ? ", " : "", spool->stages[i].id,
                            blank, spool->stages[i].blades);
    }
    return text;
}

static struct report_index_spool spool_of(struct arena *arena, const struct model_derived *derived,
                                          size_t index)
{
    const struct model_engine *engine = derived->engine;
    struct report_index_spool spool = {.id = copy(arena, model_spool(engine, index)->id.text)};
    spool.pads = arena_array(arena, engine->pads.count + 1, sizeof *spool.pads);
    spool.stages = arena_array(arena, engine->stages.count + 1, sizeof *spool.stages);
    for (size_t i = 0; i < engine->pads.count; i++) {
        if (model_pad(engine, i)->spool_index == index) {
            spool.pads[spool.pad_count++] = pad_of(arena, derived, i);
        }
    }
    for (size_t i = 0; i < engine->stages.count; i++) {
        const struct model_stage *stage = model_stage(engine, i);
        if (stage->spool_index != index) {
            continue;
        }
        spool.stages[spool.stage_count++] = (struct report_index_stage){
            copy(arena, stage->id.text), words_role((enum model_role)stage->role.value),
            stage->blades.value};
    }
    spool.stage_words = list_stages(arena, &spool, "\xc2\xa0");
    return spool;
}

void report_index_add(struct report_index *index, const struct model_derived *derived)
{
    struct arena *arena = index->arena;
    const struct model_engine *engine = derived->engine;
    enum model_status status = (enum model_status)engine->status.value;
    struct report_index_engine added = {.id = copy(arena, engine->id.text),
                                        .name = copy(arena, engine->name.text),
                                        .model_count = engine->models.count,
                                        .spool_count = engine->spools.count,
                                        .revision = engine->revision.value,
                                        .draft = status == MODEL_DRAFT,
                                        .status = words_status(status),
                                        .model_words = ""};
    added.models = arena_array(arena, added.model_count + 1, sizeof *added.models);
    added.spools = arena_array(arena, added.spool_count + 1, sizeof *added.spools);
    for (size_t i = 0; i < added.model_count; i++) {
        added.models[i] = copy(arena, MODEL_ITEM(engine->models, struct model_text, i)->text);
        added.model_words =
            arena_printf(arena, "%s%s%s", added.model_words, i == 0 ? "" : ", ", added.models[i]);
    }
    for (size_t i = 0; i < added.spool_count; i++) {
        added.spools[i] = spool_of(arena, derived, i);
    }
    index->engines =
        arena_grow(arena, index->engines, index->count, &index->capacity, sizeof added);
    index->engines[index->count++] = added;
}

static int by_id(const void *a, const void *b)
{
    const struct report_index_engine *left = a;
    const struct report_index_engine *right = b;
    return strcmp(left->id, right->id);
}

void report_index_sort(struct report_index *index)
{
    if (index->count != 0) {
        qsort(index->engines, index->count, sizeof *index->engines, by_id);
    }
}

size_t report_index_rows(const struct report_index_spool *spool)
{
    return spool->pad_count == 0 ? 1 : spool->pad_count;
}

/* ---- text ------------------------------------------------------------------------------------ */

enum { COLUMNS = 100, CELLS = 4, LAST_BEGINS = 66, GAP = 2, BELOW = 4 };

/* The columns before the stages: spool, pad, ratio, torque. */
struct columns {
    size_t widths[CELLS];
};

/* What the columns are called, and what fills them for a spool that no pad turns. */
static const char *const headings[CELLS] = {"spool", "pad", "pad turns", "torque"};
static const char *const by_hand[CELLS] = {"", "by hand", "", ""};

static void set_cells(const char *cells[CELLS], const struct report_index_spool *spool, size_t pad)
{
    memcpy(cells, by_hand, sizeof by_hand);
    cells[0] = spool->id;
    if (spool->pad_count != 0) {
        cells[1] = spool->pads[pad].id;
        cells[2] = spool->pads[pad].ratio;
        cells[3] = spool->pads[pad].torque_short;
    }
}

static void widen(struct columns *columns, const char *const cells[CELLS])
{
    for (size_t i = 0; i < CELLS; i++) {
        size_t width = text_utf8_count(cells[i], strlen(cells[i]));
        columns->widths[i] = width > columns->widths[i] ? width : columns->widths[i];
    }
}

static struct columns measure(const struct report_index *index)
{
    struct columns columns = {{0}};
    widen(&columns, headings);
    for (size_t i = 0; i < index->count; i++) {
        const struct report_index_engine *engine = &index->engines[i];
        for (size_t j = 0; j < engine->spool_count; j++) {
            for (size_t pad = 0; pad < report_index_rows(&engine->spools[j]); pad++) {
                const char *cells[CELLS];
                set_cells(cells, &engine->spools[j], pad);
                widen(&columns, cells);
            }
        }
    }
    return columns;
}

/* A row.  The stages get lines of their own if the columns before them leave too little room. */
static void write_row(FILE *out, const struct columns *columns, const char *const cells[CELLS],
                      const char *last)
{
    size_t at = 0;
    size_t begins = 0;
    for (size_t i = 0; i < CELLS; i++) {
        if (*cells[i] != '\0') {
            fprintf(out, "%*s%s", (int)(begins + GAP - at), "", cells[i]);
            at = begins + GAP + text_utf8_count(cells[i], strlen(cells[i]));
        }
        begins += GAP + columns->widths[i];
    }
    if (begins > LAST_BEGINS) {
        begins = BELOW;
        fputc('\n', out);
        at = 0;
    }
    const struct text_wrap wrap = {COLUMNS, begins + GAP};
    fprintf(out, "%*s", (int)(begins + GAP - at), "");
    text_write_wrapped(out, begins + GAP, wrap, last);
}

static void write_engine(FILE *out, const struct columns *columns,
                         const struct report_index_engine *engine, struct arena *arena)
{
    const struct text_wrap wrap = {COLUMNS, BELOW};
    text_write_wrapped(out, 0, wrap,
                       arena_printf(arena, "%s, revision %" PRId64 ", %s: %s", engine->id,
                                    engine->revision, engine->status,
                                    text_clean(arena, engine->model_words)));
    for (size_t i = 0; i < engine->spool_count; i++) {
        const struct report_index_spool *spool = &engine->spools[i];
        for (size_t pad = 0; pad < report_index_rows(spool); pad++) {
            const char *cells[CELLS];
            set_cells(cells, spool, pad);
            write_row(out, columns, cells, pad == 0 ? spool->stage_words : "the same stages");
        }
    }
}

static void write_text(FILE *out, const struct report_index *index)
{
    struct columns columns = measure(index);
    struct arena arena = {.newest = NULL};
    fputs("engine, revision, status: models\n", out);
    write_row(out, &columns, headings, "stages and their blades");
    for (size_t i = 0; i < index->count; i++) {
        write_engine(out, &columns, &index->engines[i], &arena);
        arena_reset(&arena);
    }
    arena_free(&arena);
    fprintf(out, "\n%zu engine%s\n", index->count, words_plural((int64_t)index->count));
}

/* ---- JSON ------------------------------------------------------------------------------------ */

static json_t *pad_object(struct arena *arena, const struct report_index_pad *pad)
{
    json_t *turns = json_pack("{ssss}", "lo", words_exact(arena, pad->turns.lo), "hi",
                              words_exact(arena, pad->turns.hi));
    json_t *object = json_pack("{ssso}", "id", pad->id, "pad_turns_per_rotor_turn", turns);
    report_set(object, "torque_limit",
               pad->torque_known
                   ? json_pack("{ssss}", "value", words_exact(arena, pad->torque.value), "unit",
                               exact_unit_row(pad->torque.unit)->name)
                   : json_null());
    return object;
}

static json_t *spool_object(struct arena *arena, const struct report_index_spool *spool)
{
    json_t *pads = json_array();
    json_t *stages = json_array();
    for (size_t i = 0; i < spool->pad_count; i++) {
        report_add(pads, pad_object(arena, &spool->pads[i]));
    }
    for (size_t i = 0; i < spool->stage_count; i++) {
        const struct report_index_stage *stage = &spool->stages[i];
        report_add(stages, json_pack("{sssssI}", "id", stage->id, "role", stage->role, "blades",
                                     (json_int_t)stage->blades));
    }
    return json_pack("{sssoso}", "id", spool->id, "pads", pads, "stages", stages);
}

static json_t *engine_object(struct arena *arena, const struct report_index_engine *engine)
{
    json_t *models = json_array();
    json_t *spools = json_array();
    for (size_t i = 0; i < engine->model_count; i++) {
        report_add(models, json_string(engine->models[i]));
    }
    for (size_t i = 0; i < engine->spool_count; i++) {
        report_add(spools, spool_object(arena, &engine->spools[i]));
    }
    return json_pack("{sssssosIssso}", "id", engine->id, "name", engine->name, "models", models,
                     "revision", (json_int_t)engine->revision, "status", engine->status, "spools",
                     spools);
}

static void write_json(FILE *out, const struct report_index *index)
{
    struct arena arena = {.newest = NULL};
    fputc('[', out);
    for (size_t i = 0; i < index->count; i++) {
        fputs(i == 0 ? "\n" : ",\n", out);
        report_json(out, engine_object(&arena, &index->engines[i]), JSON_COMPACT);
        arena_reset(&arena);
    }
    fputs(index->count == 0 ? "]\n" : "\n]\n", out);
    arena_free(&arena);
}

/* ---- CSV ------------------------------------------------------------------------------------- */

/* The cells of a pad, from its id to the unit of its torque; all are empty for NULL. */
static void write_pad_cells(FILE *out, struct arena *arena, const struct report_index_pad *pad)
{
    bool torque = pad && pad->torque_known;
    fprintf(out, ",%s,%s,%s", pad ? pad->id : "",
            pad ? words_decimal(arena, pad->turns.lo, DECIMALS) : "",
            pad ? words_decimal(arena, pad->turns.hi, DECIMALS) : "");
    fprintf(out, ",%s,%s", torque ? words_decimal(arena, pad->torque.value, DECIMALS) : "",
            torque ? exact_unit_row(pad->torque.unit)->name : "");
}

static void write_csv(FILE *out, const struct report_index *index)
{
    struct arena arena = {.newest = NULL};
    fputs("engine,name,models,revision,status,spool,pad,turns_lo,turns_hi,torque,torque_unit,"
          "stages\n",
          out);
    for (size_t i = 0; i < index->count; i++) {
        const struct report_index_engine *engine = &index->engines[i];
        for (size_t j = 0; j < engine->spool_count; j++) {
            const struct report_index_spool *spool = &engine->spools[j];
            for (size_t pad = 0; pad < report_index_rows(spool); pad++) {
                fprintf(out, "%s,", engine->id);
                report_csv_text(out, engine->name);
                fputc(',', out);
                report_csv_text(out, engine->model_words);
                fprintf(out, ",%" PRId64 ",%s,%s", engine->revision, engine->status, spool->id);
                write_pad_cells(out, &arena, spool->pad_count == 0 ? NULL : &spool->pads[pad]);
                fputc(',', out);
                report_csv_text(out, list_stages(&arena, spool, " "));
                fputc('\n', out);
            }
        }
        arena_reset(&arena);
    }
    arena_free(&arena);
}

void report_index_write(FILE *out, const struct report_index *index,
                        enum report_index_format format)
{
    switch (format) {
    case REPORT_INDEX_TEXT: write_text(out, index); break;
    case REPORT_INDEX_JSON: write_json(out, index); break;
    case REPORT_INDEX_CSV: write_csv(out, index); break;
    }
}
