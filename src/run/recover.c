#include "run/recover.h"

#include "field/rotor_bytes.h"
#include "report/definition.h"
#include "report/verification.h"
#include "run/judge.h"
#include "run/nearest.h"
#include "table/builder.h"
#include "table/form.h"
#include "text/digest.h"
#include "text/stream.h"

#include <inttypes.h>
#include <string.h>

struct recovering {
    struct arena *arena;
    const struct rotor_table *table;
    struct run_standard standard;
    struct run_judged profile, policy;
    struct model_device_facts device;
    uint8_t digest[TEXT_DIGEST_SIZE];
    struct table_builder builder;
    struct table_names names;
    const char *folder;
    const char *until;
    struct run_recovered *recovered;
};

/* What check would find in a file, or NULL. */
static const char *problem_of(struct arena *arena, const char *name, const struct run_judged *file)
{
    const struct finding *error = findings_first_error(&file->findings, NULL);
    return error ? arena_printf(arena, "check would refuse %s: %s [%s]", name, error->message,
                                rule_row(error->rule)->id)
                 : NULL;
}

static void keep_file(struct recovering *recovering, const char *name,
                      const struct text_stream *text)
{
    struct run_recovered *recovered = recovering->recovered;
    recovered->files[recovered->count++] = (struct run_file){
        run_in_folder(recovering->arena, recovering->folder, name), text->bytes, text->length};
}

/* ---- the policy and the profile ---------------------------------------------------------------
 */

static const char *recover_policy(struct recovering *recovering)
{
    struct text_stream text = {.arena = NULL};
    FILE *out = text_stream_open(&text, recovering->arena);
    const char *problem = report_policy(out, recovering->table, recovering->arena);
    text_stream_close(&text, out);
    if (problem) {
        return problem;
    }
    run_judge_start(&recovering->policy, recovering->arena);
    run_read_text(&recovering->policy, RUN_POLICY_NAME, text.bytes, text.length);
    problem = problem_of(recovering->arena, "the policy", &recovering->policy);
    if (!problem) {
        model_policy_complete(recovering->policy.source.policy);
        recovering->standard.policy = recovering->policy.source.policy;
        recovering->standard.device_policy = recovering->policy.source.policy;
        keep_file(recovering, RUN_POLICY_NAME, &text);
    }
    return problem;
}

static const char *recover_profile(struct recovering *recovering)
{
    struct arena *arena = recovering->arena;
    struct rotor_device device;
    struct text_stream text = {.arena = NULL};
    FILE *out = text_stream_open(&text, arena);
    const char *problem = report_profile(out, recovering->table, arena);
    text_stream_close(&text, out);
    if (problem) {
        return problem;
    }
    rotor_get_device(recovering->table, &device);
    const char *name =
        arena_printf(arena, "%s%s.yaml", device.id, model_kinds[MODEL_DEVICE_KIND].extension);
    struct run_judged *file = &recovering->profile;
    run_judge_start(file, arena);
    run_read_text(file, name, text.bytes, text.length);
    run_judge(file, &recovering->standard);
    problem = problem_of(arena, "the device profile", file);
    if (!problem) {
        recovering->device = model_device_derive(file->source.device);
        recovering->standard.device = &recovering->device;
        text_digest_source(text.bytes, text.length, recovering->digest);
        keep_file(recovering, name, &text);
    }
    return problem;
}

/* ---- the definitions --------------------------------------------------------------------------
 */

static bool is_accepted(const struct report_beside *beside, const struct finding *finding)
{
    for (size_t i = 0; i < beside->accepted_count; i++) {
        const struct report_accepted *accepted = &beside->accepted[i];
        if (accepted->rule == finding->rule &&
            (!accepted->pad || (finding->pad && strcmp(accepted->pad, finding->pad) == 0)) &&
            (!accepted->stage ||
             (finding->stage && strcmp(accepted->stage, finding->stage) == 0))) {
            return true;
        }
    }
    return false;
}

/*
 * Adds what the definition had beside the values of the table: that both senses of a pad were seen,
 * and errors that were accepted. False if an error cannot be accepted.
 */
static bool add_beside(struct recovering *recovering, const struct run_judged *file,
                       struct report_beside *beside)
{
    const struct model_engine *engine = file->source.engine;
    struct arena *arena = recovering->arena;
    bool added = false;
    for (size_t i = 0; engine && i < file->findings.count; i++) {
        const struct finding *finding = file->findings.items[i];
        if (finding_counts_as(finding) != SEVERITY_ERROR || is_accepted(beside, finding)) {
            continue;
        }
        bool unproven = finding->rule == RULE_SENSE_UNPROVEN;
        for (size_t p = 0; unproven && p < engine->pads.count; p++) {
            if (finding->pad && strcmp(model_pad(engine, p)->id.text, finding->pad) == 0) {
                added = added || !beside->seen[p];
                beside->seen[p] = true;
            }
        }
        if (!unproven && rule_is_waivable(finding->rule)) {
            beside->accepted = arena_grow(arena, beside->accepted, beside->accepted_count,
                                          &beside->accepted_capacity, sizeof *beside->accepted);
            beside->accepted[beside->accepted_count++] =
                (struct report_accepted){finding->rule, finding->pad, finding->stage};
            added = true;
        }
    }
    return added;
}

static const char *recover_engine(struct recovering *recovering, uint32_t index)
{
    enum { TRIES = 4 }; /* a rule can be silent until an earlier mistake is accepted */
    struct arena *arena = recovering->arena;
    struct rotor_engine engine;
    rotor_get_engine(recovering->table, index, &engine);
    const char *name =
        arena_printf(arena, "%s%s.yaml", engine.id, model_kinds[MODEL_ENGINE_KIND].extension);
    struct report_beside beside = {
        .seen = arena_array(arena, engine.pads.count + (size_t)1, sizeof *beside.seen),
        .until = recovering->until};
    struct text_stream text;
    struct run_judged *file = NULL;
    for (int i = 0; i < TRIES; i++) {
        text = (struct text_stream){.arena = NULL};
        FILE *out = text_stream_open(&text, arena);
        const char *problem =
            report_definition(out, recovering->table, &recovering->names, index, &beside, arena);
        text_stream_close(&text, out);
        if (problem) {
            return problem;
        }
        file = arena_alloc(arena, sizeof *file);
        run_judge_start(file, arena);
        run_read_text(file, name, text.bytes, text.length);
        run_judge(file, &recovering->standard);
        if (!findings_first_error(&file->findings, NULL) ||
            !add_beside(recovering, file, &beside)) {
            break;
        }
    }
    const char *problem = problem_of(arena, engine.id, file);
    if (problem) {
        return problem;
    }
    if (!table_add(&recovering->builder, file->source.engine, &file->judging.derived.facts,
                   &file->judging.derived.on, file->source.digest, arena)) {
        return recovering->builder.problem;
    }
    keep_file(recovering, name, &text);
    return NULL;
}

/* ---- whether it is the same table -------------------------------------------------------------
 */

/* Where a record can differ: status and digests. */
static bool is_free(uint32_t kind, uint32_t at)
{
    return (kind == ROTOR_KIND_ENGINES &&
            (at == ROTOR_ENGINE_STATUS || at >= ROTOR_ENGINE_DIGEST)) ||
           (kind == ROTOR_KIND_DEVICE && at >= ROTOR_DEVICE_DIGEST);
}

/* The first record that differs, or where one table has more records. */
static bool same_section(const struct rotor_table *one, const struct rotor_table *other,
                         uint32_t kind, uint32_t *index)
{
    uint32_t count = rotor_count(one, kind);
    for (*index = 0; *index < count && *index < rotor_count(other, kind); ++*index) {
        const uint8_t *a = rotor_record(one, kind, *index);
        const uint8_t *b = rotor_record(other, kind, *index);
        for (uint32_t at = 0; at < table_strides[kind]; at++) {
            if (a[at] != b[at] && !is_free(kind, at)) {
                return false;
            }
        }
    }
    return count == rotor_count(other, kind);
}

static const char *compare(struct recovering *recovering)
{
    const uint8_t *bytes = NULL;
    size_t length = 0;
    struct rotor_table made;
    uint32_t index = 0;
    if (!table_finish(&recovering->builder, recovering->arena, &bytes, &length)) {
        return recovering->builder.problem;
    }
    (void)rotor_table_open(&made, bytes, (uint32_t)length); /* table_finish has opened it */
    for (uint32_t kind = 1; kind <= ROTOR_KIND_LAST_KNOWN; kind++) {
        if (!same_section(recovering->table, &made, kind, &index)) {
            return arena_printf(recovering->arena,
                                "compiled again, record %" PRIu32 " of its %s would differ", index,
                                report_section_name(kind));
        }
    }
    return NULL;
}

const char *run_recover(struct arena *arena, const struct rotor_table *table, const char *folder,
                        int today, struct run_recovered *recovered)
{
    struct recovering recovering = {
        .arena = arena,
        .table = table,
        .folder = folder,
        .standard = {.today = today, .compiling = true, .to_be_used = true, .with_drafts = true},
        .recovered = recovered};
    struct table_misfit misfit;
    uint32_t engines = rotor_count(table, ROTOR_KIND_ENGINES);
    enum { YEAR = 10000, MONTH = 100 };
    *recovered = (struct run_recovered){.definitions = engines};
    recovered->files = arena_array(arena, (size_t)engines + 2, sizeof *recovered->files);
    recovering.until = words_date(arena, (today / MONTH) * MONTH + YEAR + 1);
    if (rotor_u16(table->bytes + ROTOR_HEADER_VERSION) != ROTOR_FORMAT_VERSION) {
        return "a later version of this program wrote it, and what only that version knows would "
               "be lost; use that version";
    }
    if (!table_form(table, &misfit)) {
        return "no compiler writes such a table; verify says where";
    }
    recovering.names = table_names(arena, table);
    const char *problem = recover_policy(&recovering);
    problem = problem ? problem : recover_profile(&recovering);
    if (problem) {
        return problem;
    }
    table_start(&recovering.builder, arena, recovering.profile.source.device, &recovering.device,
                recovering.digest);
    for (uint32_t i = 0; i < engines && !problem; i++) {
        problem = recover_engine(&recovering, i);
    }
    return problem ? problem : compare(&recovering);
}
