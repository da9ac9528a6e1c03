#include "command/build.h"

#include "table/builder.h"
#include "table/sign.h"
#include "table/words.h"

#include <inttypes.h>
#include <stdlib.h>
#include <string.h>

struct building {
    struct pipeline *pipeline;
    struct table_builder builder;
    struct command_table *table;
    size_t added;
};

static void report_refused(struct pipeline *pipeline, struct span at, const char *problem)
{
    struct findings findings;
    findings_start(&findings, &pipeline->call->arena);
    finding_add(&findings, RULE_NUMBER_TOO_LARGE, at, "%s", problem);
    (void)pipeline_report(pipeline, &findings);
}

static void keep_source(struct building *building, const struct model_source *source, bool left_out)
{
    struct arena *arena = &building->pipeline->call->arena;
    struct command_table *table = building->table;
    const struct model_text *id = &source->engine->id;
    table->sources = arena_grow(arena, table->sources, table->source_count, &table->source_capacity,
                                sizeof *table->sources);
    table->sources[table->source_count++] =
        (struct command_source){arena_copy(arena, source->file.path, strlen(source->file.path)),
                                arena_copy(arena, id->text, id->length),
                                words_hex(arena, source->digest, ROTOR_DIGEST_SIZE),
                                source->engine->revision.value, left_out};
}

static void add_engine(void *context, const struct model_source *source,
                       const struct rules_judging *judging)
{
    struct building *building = context;
    bool left_out = source->engine->status.value == MODEL_DRAFT && !judging->with_drafts;
    keep_source(building, source, left_out);
    if (left_out) {
        return;
    }
    if (!table_add(&building->builder, source->engine, &judging->derived.facts,
                   &judging->derived.on, source->digest, judging->arena)) {
        report_refused(building->pipeline, source->engine->id.at.span, building->builder.problem);
    }
    building->added++;
}

static int by_id(const void *a, const void *b)
{
    return strcmp(((const struct command_source *)a)->id, ((const struct command_source *)b)->id);
}

static void check_size(struct pipeline *pipeline, size_t length)
{
    const struct model_integer *most = &pipeline->device.device->limits.table_bytes;
    if (length <= (size_t)most->value) {
        return;
    }
    struct findings findings;
    findings_start(&findings, &pipeline->call->arena);
    finding_add(&findings, RULE_TABLE_TOO_LARGE, most->at.span,
                "the table has %zu bytes; the device holds %" PRId64, length, most->value);
    (void)pipeline_report(pipeline, &findings);
}

bool command_build(struct pipeline *pipeline, const struct command_values *operands, size_t first,
                   struct command_table *table)
{
    struct building building = {.pipeline = pipeline, .table = table};
    *table = (struct command_table){.bytes = NULL};
    table_start(&building.builder, &pipeline->call->arena, pipeline->device.device,
                &pipeline->device, pipeline->device_digest);
    pipeline_run(pipeline, operands, first, add_engine, &building);
    if (pipeline_status(pipeline) != COMMAND_CLEAN) {
        return false;
    }
    if (building.added == 0) {
        pipeline_fail(pipeline, "there is no engine definition to compile%s",
                      table->source_count != 0 ? " but drafts; --drafts takes them too" : "");
        return false;
    }
    table->engines = building.added;
    qsort(table->sources, table->source_count, sizeof *table->sources, by_id);
    if (!table_finish(&building.builder, &pipeline->call->arena, &table->bytes, &table->length)) {
        report_refused(pipeline, text_file_span(&pipeline->device_source.file),
                       building.builder.problem);
        return false;
    }
    bool signing = command_value(pipeline->call, OPTION_SIGN) != NULL;
    check_size(pipeline, table->length + (signing ? TABLE_SIGNATURE_ROOM : 0));
    return pipeline_status(pipeline) == COMMAND_CLEAN;
}
