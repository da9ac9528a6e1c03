#include "command/build.h"

#include "table/builder.h"

#include <inttypes.h>

struct building {
    struct pipeline *pipeline;
    struct table_builder builder;
    size_t added;
};

static void report_refused(struct pipeline *pipeline, struct span at, const char *problem)
{
    struct findings findings;
    findings_start(&findings, &pipeline->call->arena);
    finding_add(&findings, RULE_NUMBER_TOO_LARGE, at, "%s", problem);
    pipeline_report(pipeline, &findings);
}

static void add_engine(void *context, const struct model_source *source,
                       const struct rules_run *run)
{
    struct building *building = context;
    uint8_t digest[TABLE_SHA256_SIZE];
    table_digest(source->file.bytes, source->file.length, digest);
    if (!table_add(&building->builder, source->engine, &run->facts, &run->on, digest)) {
        report_refused(building->pipeline, source->engine->id.at.span, building->builder.problem);
    }
    building->added++;
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
    pipeline_report(pipeline, &findings);
}

bool command_build(struct pipeline *pipeline, const struct command_values *operands, size_t first,
                   const uint8_t **bytes, size_t *length)
{
    struct building building = {.pipeline = pipeline};
    table_start(&building.builder, &pipeline->call->arena, pipeline->device.device,
                &pipeline->device.facts, pipeline->device_digest);
    pipeline_run(pipeline, operands, first, add_engine, &building);
    if (pipeline_status(pipeline) != COMMAND_CLEAN) {
        return false;
    }
    if (building.added == 0) {
        pipeline_fail(pipeline, "there is no engine definition to compile");
        return false;
    }
    if (!table_finish(&building.builder, &pipeline->call->arena, bytes, length)) {
        report_refused(pipeline, text_file_span(&pipeline->device_source.file),
                       building.builder.problem);
        return false;
    }
    check_size(pipeline, *length);
    return pipeline_status(pipeline) == COMMAND_CLEAN;
}
