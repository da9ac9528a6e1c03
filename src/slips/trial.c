#include "slips/trial.h"

#include "compare/compare.h"
#include "sheet/sheet.h"
#include "table/builder.h"
#include "text/stream.h"

#include <string.h>

const struct slips_harm_row slips_harms[SLIPS_HARMS] = {
    [SLIPS_BACKWARDS] = {"backwards", "the rotor turns the wrong way"},
    [SLIPS_OVERLOAD] = {"overload", "more torque or speed than is allowed"},
    [SLIPS_MISCOUNT] = {"miscount", "another blade than the one that is named"},
    [SLIPS_DEGREES] = {"degrees", "beside the blade, by less than half a pitch"},
    [SLIPS_LABEL] = {"label", "a wrong word, or a limit on the safe side"},
};

/* ---- table and sheet ---------------------------------------------------------------------------
 */

struct slips_artefact {
    const uint8_t *table; /* NULL: no table can be made */
    size_t table_length;
    const char *sheet;
    size_t sheet_length;
};

/* Digests of sources are the same in all: they change with every character. */
static const uint8_t no_digest[TEXT_DIGEST_SIZE];

static struct slips_artefact *artefact_of(const struct rules_judging *judging, struct arena *arena)
{
    const struct model_derived *derived = &judging->derived;
    struct slips_artefact *artefact = arena_alloc(arena, sizeof *artefact);
    struct table_builder builder;
    table_start(&builder, arena, derived->device->device, derived->device, no_digest);
    bool fits =
        table_add(&builder, derived->engine, &derived->facts, &derived->on, no_digest, arena) &&
        table_finish(&builder, arena, &artefact->table, &artefact->table_length);
    if (!fits) {
        artefact->table = NULL;
        artefact->table_length = 0;
    }
    const struct findings none = {.arena = arena};
    const struct sheet sheet = {derived, arena, &none, "", ""};
    struct text_stream stream;
    FILE *out = text_stream_open(&stream, arena);
    sheet_text(out, &sheet);
    text_stream_close(&stream, out);
    artefact->sheet = stream.bytes;
    artefact->sheet_length = stream.length;
    return artefact;
}

static bool same_bytes(const void *a, size_t a_length, const void *b, size_t b_length)
{
    return a_length == b_length && (a_length == 0 || memcmp(a, b, a_length) == 0);
}

static bool same_artefact(const struct slips_artefact *a, const struct slips_artefact *b)
{
    return same_bytes(a->table, a->table_length, b->table, b->table_length) &&
           same_bytes(a->sheet, a->sheet_length, b->sheet, b->sheet_length);
}

/* ---- what it would do ---------------------------------------------------------------------------
 */

/* Where a change of the field turns the rotor the wrong way. */
static bool turns_backwards(const struct compare_change *change)
{
    static const char *const fields[] = {"rotation", "drives", "never_backwards", "adapter_sense",
                                         "turned_by"};
    for (size_t i = 0; i < sizeof fields / sizeof *fields; i++) {
        if (strcmp(change->about.field, fields[i]) == 0) {
            return true;
        }
    }
    return false;
}

/* Half the finest pitch of the engine's stages: from there on it is another blade. */
static struct exact_rational half_pitch(const struct model_engine *engine)
{
    int64_t most = 1;
    for (size_t i = 0; i < engine->stages.count; i++) {
        int64_t blades = model_stage(engine, i)->blades.value;
        most = blades > most ? blades : most;
    }
    struct exact_rational half = exact_whole(180);
    (void)exact_make(180, most, &half);
    return half;
}

static enum slips_harm harm_of(const struct compare_change *change,
                               const struct model_engine *engine)
{
    if (turns_backwards(change)) {
        return SLIPS_BACKWARDS;
    }
    if (change->rises) {
        return SLIPS_OVERLOAD;
    }
    if (change->class != COMPARE_STOPS) {
        bool backlash = strncmp(change->about.field, "backlash", 8) == 0 ||
                        strcmp(change->about.field, "adapter_backlash") == 0;
        return backlash ? SLIPS_DEGREES : SLIPS_LABEL;
    }
    bool little = change->moves && exact_compare(change->degrees, half_pitch(engine)) < 0;
    bool counted = strcmp(change->about.field, "blades") == 0;
    return little && !counted ? SLIPS_DEGREES : SLIPS_MISCOUNT;
}

/* The worst of the changes, and its sentence. */
static void weigh(const struct compare_changes *changes, const struct model_engine *engine,
                  struct arena *arena, struct slips_result *result)
{
    result->harm = SLIPS_HARMS;
    for (size_t i = 0; i < changes->count; i++) {
        const struct compare_change *change = &changes->items[i];
        enum slips_harm harm = harm_of(change, engine);
        if (harm < result->harm) {
            result->harm = harm;
            result->consequence =
                arena_printf(arena, "%s%s%s", change->about.id ? change->about.id : "",
                             change->about.id ? ": " : "", change->sentence);
        }
    }
    if (result->harm == SLIPS_HARMS) {
        result->harm = SLIPS_LABEL;
        result->consequence = NULL;
    }
}

static bool add_side(struct compare_side *side, const struct model_source *source,
                     const struct rules_judging *judging)
{
    const struct model_derived *derived = &judging->derived;
    return compare_add_model(side, source, &derived->facts, derived->device ? &derived->on : NULL,
                             derived->device ? derived->device->device : NULL);
}

/* Whether only the numbers of `turns` differ beside a path, so that nothing follows from it. */
static bool changes_nothing(const struct compare_changes *changes)
{
    for (size_t i = 0; i < changes->count; i++) {
        const struct compare_change *change = &changes->items[i];
        if (strncmp(change->about.field, "turns", 5) != 0 || change->moves) {
            return false;
        }
    }
    return true;
}

/* ---- trials ------------------------------------------------------------------------------------
 */

struct slips_trials slips_prepare(const struct slips_list *list, const struct model_source *source,
                                  const struct rules_judging *judging, struct arena *arena)
{
    struct slips_trials trials = {
        .list = list,
        .source = source,
        .judging = judging,
        .standard = {.policy = judging->policy,
                     .device_policy = judging->device_policy,
                     .device = judging->derived.device,
                     .today = judging->today},
        .cross_check = judging->cross_check,
    };
    if (judging->derived.device) {
        trials.artefact = artefact_of(judging, arena);
    }
    return trials;
}

void slips_bench_free(struct slips_bench *bench)
{
    arena_free(&bench->work);
    arena_free(&bench->kept);
}

/* Reads the bench's own copy of the cross-check, once. */
static void copy_cross_check(const struct slips_trials *trials, struct slips_bench *bench)
{
    if (bench->ready || !trials->cross_check) {
        return;
    }
    struct findings unshown;
    findings_start(&unshown, &bench->kept);
    bench->cross_check =
        (struct model_source){.file = trials->cross_check->file, .kind = MODEL_KINDS};
    model_source_parse(&bench->cross_check, &bench->kept, &unshown);
    bench->ready = true;
}

static bool same_id(const char *a, const char *b)
{
    return a == b || (a && b && strcmp(a, b) == 0);
}

/* Whether the definition as it is has a finding of this rule at this pad and stage. */
static bool is_known(const struct slips_trials *trials, const struct finding *finding)
{
    const struct findings *known = trials->judging->findings;
    for (size_t i = 0; i < known->count; i++) {
        const struct finding *at = known->items[i];
        if (at->rule == finding->rule && finding_counts_as(at) >= SEVERITY_WARNING &&
            same_id(at->pad, finding->pad) && same_id(at->stage, finding->stage)) {
            return true;
        }
    }
    return false;
}

/* Fills in the rules that found it; true if there is one. */
static bool is_found(const struct slips_trials *trials, const struct findings *findings,
                     struct slips_result *result)
{
    bool found = false;
    for (size_t i = 0; i < findings->count; i++) {
        const struct finding *finding = findings->items[i];
        if (finding_counts_as(finding) >= SEVERITY_WARNING && !is_known(trials, finding)) {
            result->found[finding->rule] = true;
            found = true;
        }
    }
    return found;
}

/* Puts the second reading beside the definition that was read. */
static void add_second_reading(const struct slips_trials *trials,
                               const struct slips_evidence *evidence, struct slips_bench *bench,
                               struct run_judged *file)
{
    if (evidence && evidence->second) {
        struct model_cross_check *second = arena_alloc(&bench->work, sizeof *second);
        *second = *evidence->second;
        file->cross_check = (struct model_source){
            .file = trials->source->file, .read = true, .cross_check = second};
        file->has_cross_check = true;
    } else if (bench->ready) {
        file->cross_check = bench->cross_check;
        file->has_cross_check = true;
        if (file->cross_check.cross_check) {
            model_cross_check_link(file->cross_check.cross_check, file->source.engine);
        }
    }
}

/* Reads and judges the definition with the slip and the evidence. */
static void judge(const struct slips_trials *trials, size_t slip,
                  const struct slips_evidence *evidence, struct slips_bench *bench,
                  struct run_judged *file)
{
    static const struct slips_slip none = {.edit_count = 0};
    size_t length = 0;
    copy_cross_check(trials, bench);
    const char *text =
        slips_text(trials->list, slip == SLIPS_NO_SLIP ? &none : &trials->list->slips[slip],
                   evidence ? evidence->observation : NULL, &bench->work, &length);
    run_judge_start(file, &bench->work);
    file->findings.notes_unread = true;
    run_read_text(file, trials->source->file.path, text, length);
    if (file->source.engine) {
        add_second_reading(trials, evidence, bench, file);
    }
    run_judge(file, &trials->standard);
}

struct slips_result slips_try(const struct slips_trials *trials, size_t slip,
                              const struct slips_evidence *evidence, struct slips_bench *bench)
{
    struct slips_result result = {.fate = SLIPS_PASSED, .harm = SLIPS_LABEL};
    struct arena *arena = &bench->work;
    struct run_judged file;
    arena_reset(arena);
    judge(trials, slip, evidence, bench, &file);
    if (!file.source.engine || is_found(trials, &file.findings, &result)) {
        result.fate = SLIPS_FOUND;
        return result;
    }
    if (evidence) {
        return result; /* what it would do is known already */
    }
    struct compare_side before = {.arena = arena}, after = {.arena = arena};
    struct compare_changes changes = {.arena = arena};
    bool comparable = add_side(&before, trials->source, trials->judging) &&
                      add_side(&after, &file.source, &file.judging);
    if (comparable) {
        compare_two_engines(&before.engines[0], &after.engines[0], NULL, &changes);
    }
    bool harmless = trials->artefact
                        ? same_artefact(trials->artefact, artefact_of(&file.judging, arena))
                        : comparable && changes_nothing(&changes);
    if (harmless) {
        result.fate = SLIPS_HARMLESS;
    } else {
        weigh(&changes, trials->source->engine, &bench->kept, &result);
    }
    return result;
}
