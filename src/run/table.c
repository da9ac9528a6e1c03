#include "run/table.h"

#include "field/rotor_bytes.h"
#include "table/builder.h"
#include "table/sign.h"
#include "table/words.h"

#include <errno.h>
#include <inttypes.h>
#include <stdlib.h>
#include <string.h>

struct building {
    struct run *run;
    struct table_builder builder;
    struct run_table *table;
    size_t added;
};

static void report_refused(struct run *run, struct span at, const char *problem)
{
    struct findings findings;
    findings_start(&findings, run->options.arena);
    finding_add(&findings, RULE_NUMBER_TOO_LARGE, at, "%s", problem);
    (void)run_report(run, &findings);
}

/* What only a manifest says of a source. */
static void keep_for_manifest(struct arena *arena, struct run_source *kept,
                              const struct model_source *source,
                              const struct model_source *cross_check)
{
    kept->digest = words_hex(arena, source->digest, ROTOR_DIGEST_SIZE);
    kept->rests_on =
        report_resting_of(source->engine, cross_check ? cross_check->cross_check : NULL, arena);
    if (cross_check) {
        uint8_t digest[TEXT_DIGEST_SIZE];
        text_digest_source(cross_check->file.bytes, cross_check->file.length, digest);
        kept->cross_check_digest = words_hex(arena, digest, ROTOR_DIGEST_SIZE);
    }
}

static void keep_source(struct building *building, const struct model_source *source,
                        const struct model_source *cross_check, bool left_out)
{
    struct arena *arena = building->run->options.arena;
    struct run_table *table = building->table;
    const struct model_text *id = &source->engine->id;
    table->sources = arena_grow(arena, table->sources, table->source_count, &table->source_capacity,
                                sizeof *table->sources);
    struct run_source *kept = &table->sources[table->source_count++];
    *kept =
        (struct run_source){.path = arena_copy(arena, source->file.path, strlen(source->file.path)),
                            .id = arena_copy(arena, id->text, id->length),
                            .revision = source->engine->revision.value,
                            .left_out = left_out};
    if (cross_check) {
        kept->cross_check =
            arena_copy(arena, cross_check->file.path, strlen(cross_check->file.path));
    }
    if (building->run->options.manifest) {
        keep_for_manifest(arena, kept, source, cross_check);
    }
}

static void add_engine(void *context, const struct model_source *source,
                       const struct rules_judging *judging)
{
    struct building *building = context;
    bool left_out = source->engine->status.value == MODEL_DRAFT && !judging->with_drafts;
    keep_source(building, source, judging->cross_check, left_out);
    if (left_out) {
        return;
    }
    if (!table_add(&building->builder, source->engine, &judging->derived.facts,
                   &judging->derived.on, source->digest, judging->arena)) {
        report_refused(building->run, source->engine->id.at.span, building->builder.problem);
    }
    building->added++;
}

static int by_id(const void *a, const void *b)
{
    return strcmp(((const struct run_source *)a)->id, ((const struct run_source *)b)->id);
}

static void check_size(struct run *run, size_t length)
{
    const struct model_integer *most = &run->device.device->limits.table_bytes;
    if (length <= (size_t)most->value) {
        return;
    }
    struct findings findings;
    findings_start(&findings, run->options.arena);
    finding_add(&findings, RULE_TABLE_TOO_LARGE, most->at.span,
                "the table has %zu bytes; the device holds %" PRId64, length, most->value);
    (void)run_report(run, &findings);
}

bool run_build(struct run *run, const struct text_paths *paths, struct run_table *table)
{
    struct building building = {.run = run, .table = table};
    *table = (struct run_table){.bytes = NULL};
    table_start(&building.builder, run->options.arena, run->device.device, &run->device,
                run->device_digest);
    run_judge_paths(run, paths, add_engine, &building);
    if (run_status(run) != RUN_CLEAN) {
        return false;
    }
    if (building.added == 0) {
        run_fail(run, "there is no engine definition to compile%s",
                 table->source_count != 0 ? ": all of them are drafts; compile them with --drafts"
                                          : "");
        return false;
    }
    table->engines = building.added;
    qsort(table->sources, table->source_count, sizeof *table->sources, by_id);
    if (!table_finish(&building.builder, run->options.arena, &table->bytes, &table->length)) {
        report_refused(run, text_file_span(&run->profile.source.file), building.builder.problem);
        return false;
    }
    check_size(run, table->length + (run->options.signing ? TABLE_SIGNATURE_ROOM : 0));
    return run_status(run) == RUN_CLEAN;
}

struct reading {
    FILE *file;
    struct arena *arena;
    uint8_t *bytes;
    size_t length, capacity;
};

/* Reads until there are `most` bytes or the file ends. */
static void read_up_to(struct reading *reading, size_t most)
{
    size_t taken = 1;
    while (reading->length < most && taken != 0) {
        reading->bytes =
            arena_grow(reading->arena, reading->bytes, reading->length, &reading->capacity, 1);
        size_t room = reading->capacity - reading->length;
        room = room < most - reading->length ? room : most - reading->length;
        taken = fread(reading->bytes + reading->length, 1, room, reading->file);
        reading->length += taken;
    }
}

bool run_load_table(struct arena *arena, const char *path, struct rotor_table *table,
                    enum rotor_status *status)
{
    bool standard = strcmp(path, "-") == 0;
    struct reading reading = {.file = standard ? stdin : fopen(path, "rb"), .arena = arena};
    if (!reading.file) {
        run_error("cannot read %s: %s", path, strerror(errno));
        return false;
    }
    errno = 0;
    read_up_to(&reading, ROTOR_HEADER_SIZE);
    static const uint8_t magic[] = {ROTOR_MAGIC_0, ROTOR_MAGIC_1, ROTOR_MAGIC_2, ROTOR_MAGIC_3};
    uint32_t claimed = 0;
    if (reading.length == ROTOR_HEADER_SIZE && memcmp(reading.bytes, magic, sizeof magic) == 0) {
        claimed = rotor_u32(reading.bytes + ROTOR_HEADER_LENGTH);
        /* A header that states more than a table may have is refused without the rest. */
        read_up_to(&reading, claimed > ROTOR_TABLE_MOST ? 0 : (size_t)claimed + 1);
    }
    bool fine = !ferror(reading.file);
    int error = errno;
    if (!standard) {
        fclose(reading.file);
    }
    if (!fine) {
        run_error("cannot read %s: %s", path, strerror(error));
        return false;
    }
    uint32_t length = reading.length > UINT32_MAX ? UINT32_MAX : (uint32_t)reading.length;
    *status = rotor_table_open(table, reading.bytes, length);
    if (*status == ROTOR_TRUNCATED && claimed > ROTOR_TABLE_MOST) { /* only the header was read */
        *status = ROTOR_BAD_HEADER;
    }
    return true;
}

int run_refuse_table(const char *path, enum rotor_status status)
{
    run_error("%s: %s", path, rotor_status_text(status));
    run_say("%s", table_word_remedy(status));
    return RUN_FINDINGS;
}
