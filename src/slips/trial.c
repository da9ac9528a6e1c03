#include "slips/trial.h"

#include "sheet/sheet.h"
#include "table/builder.h"
#include "text/stream.h"

#include <string.h>

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

static void make_table(struct slips_artefact *artefact, const struct rules_judging *judging,
                       struct arena *arena)
{
    const struct model_derived *derived = &judging->derived;
    struct table_builder builder;
    table_start(&builder, arena, derived->device->device, derived->device, no_digest);
    bool fits =
        table_add(&builder, derived->engine, &derived->facts, &derived->on, no_digest, arena) &&
        table_finish(&builder, arena, &artefact->table, &artefact->table_length);
    if (!fits) {
        artefact->table = NULL;
        artefact->table_length = 0;
    }
}

static void make_sheet(struct slips_artefact *artefact, const struct rules_judging *judging,
                       struct arena *arena)
{
    const struct findings none = {.arena = arena};
    const struct sheet sheet = {&judging->derived, arena, &none, "", "", NULL, NULL};
    struct text_stream stream;
    FILE *out = text_stream_open(&stream, arena);
    sheet_text(out, &sheet);
    text_stream_close(&stream, out);
    artefact->sheet = stream.bytes;
    artefact->sheet_length = stream.length;
}

static struct slips_artefact *artefact_of(const struct rules_judging *judging, struct arena *arena)
{
    struct slips_artefact *artefact = arena_alloc(arena, sizeof *artefact);
    make_table(artefact, judging, arena);
    make_sheet(artefact, judging, arena);
    return artefact;
}

static bool same_bytes(const void *a, size_t a_length, const void *b, size_t b_length)
{
    return a_length == b_length && (a_length == 0 || memcmp(a, b, a_length) == 0);
}

/* Whether the definition makes this table and this sheet.  A sheet costs more, so it comes last. */
static bool makes_same(const struct slips_artefact *artefact, const struct rules_judging *judging,
                       struct arena *arena)
{
    struct slips_artefact own;
    make_table(&own, judging, arena);
    if (!same_bytes(artefact->table, artefact->table_length, own.table, own.table_length)) {
        return false;
    }
    make_sheet(&own, judging, arena);
    return same_bytes(artefact->sheet, artefact->sheet_length, own.sheet, own.sheet_length);
}

/* ---- what it would do ---------------------------------------------------------------------------
 */

/* "HPC-1: 31 -> 21 blades: every stop moves": a change with the id of its part. */
static const char *sentence_of(const struct compare_change *change, struct arena *arena)
{
    return arena_printf(arena, "%s%s%s", change->about.id ? change->about.id : "",
                        change->about.id ? ": " : "", change->sentence);
}

/* "crank: path[1].external[2] 35 -> 25": of a slip that changes nothing but its word. */
static const char *sentence_of_slip(const struct slips_trials *trials, size_t slip,
                                    struct arena *arena)
{
    size_t index = trials->list->slips[slip].value;
    const struct model_value *value = &trials->list->values[index];
    return arena_printf(arena, "%s: %s %s -> %s", value->id->text, value->key,
                        trials->list->texts[index], trials->list->slips[slip].written);
}

/* The harm and the sentence of the worst change. */
static void weigh(const struct slips_trials *trials, size_t slip,
                  const struct compare_changes *changes, struct arena *arena,
                  struct slips_result *result)
{
    const struct compare_change *worst = NULL;
    for (size_t i = 0; i < changes->count; i++) {
        const struct compare_change *change = &changes->items[i];
        worst = !worst || change->harm < worst->harm ? change : worst;
    }
    result->harm = worst ? worst->harm : MODEL_LABEL;
    result->consequence = worst ? sentence_of(worst, arena) : sentence_of_slip(trials, slip, arena);
}

static bool add_side(struct compare_side *side, const struct model_source *source,
                     const struct rules_judging *judging)
{
    const struct model_derived *derived = &judging->derived;
    return compare_add_model(side, source, &derived->facts, derived->device ? &derived->on : NULL,
                             derived->device ? derived->device->device : NULL);
}

/*
 * Whether table and sheet say the same.  A change of the stops is in the table, so that it need not
 * be made.  Without a device a slip is harmless only in `turns`, where nothing follows from it.
 */
static bool is_harmless(const struct slips_trials *trials, size_t slip,
                        const struct rules_judging *judging, const struct compare_changes *changes,
                        struct arena *arena)
{
    const struct model_value *value = &trials->list->values[trials->list->slips[slip].value];
    if (changes->worst == COMPARE_STOPS) {
        return false;
    }
    return trials->artefact ? makes_same(trials->artefact, judging, arena)
                            : changes->count == 0 && strcmp(value->top->key, "turns") == 0;
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
                     .registered = judging->registered,
                     .device = judging->derived.device,
                     .today = judging->today},
        .cross_check = judging->cross_check,
        .before = {.arena = arena},
    };
    (void)add_side(&trials.before, source, judging);
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

/* Reads the bench's own copies of the definition and its cross-check, once. */
static void prepare_bench(const struct slips_trials *trials, struct slips_bench *bench)
{
    struct findings unshown;
    if (bench->ready) {
        return;
    }
    bench->ready = true;
    bench->tree = slips_tree_read(trials->list, &bench->kept);
    if (trials->cross_check) {
        findings_start(&unshown, &bench->kept);
        bench->cross_check =
            (struct model_source){.file = trials->cross_check->file, .kind = MODEL_KINDS};
        model_source_parse(&bench->cross_check, &bench->kept, &unshown);
    }
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
    } else if (trials->cross_check) {
        file->cross_check = bench->cross_check;
        file->has_cross_check = true;
        if (file->cross_check.cross_check) {
            model_cross_check_link(file->cross_check.cross_check, file->source.engine,
                                   &file->findings);
        }
    }
}

/* Reads the text with the slip and the observation. */
static void read_text(const struct slips_trials *trials, const struct slips_slip *slip,
                      const char *observation, struct run_judged *file)
{
    size_t length = 0;
    const char *text = slips_text(trials->list, slip, observation, file->arena, &length);
    run_read_text(file, trials->source->file.path, text, length);
}

/* Reads and judges the definition with the slip and the evidence. */
static void judge(const struct slips_trials *trials, size_t slip,
                  const struct slips_evidence *evidence, struct slips_bench *bench,
                  struct run_judged *file)
{
    static const struct slips_slip none = {.edit_count = 0};
    const struct slips_slip *made = slip == SLIPS_NO_SLIP ? &none : &trials->list->slips[slip];
    const char *observation = evidence ? evidence->observation : NULL;
    struct slips_patch patch = {.count = 0};
    prepare_bench(trials, bench);
    run_judge_start(file, &bench->work);
    file->findings.unread = true;
    if (!observation && slips_patch_write(&bench->tree, made, &bench->work, &patch)) {
        run_read_tree(file, &trials->source->file, bench->tree.root);
    } else {
        read_text(trials, made, observation, file);
    }
    if (file->source.engine) {
        add_second_reading(trials, evidence, bench, file);
    }
    run_judge(file, &trials->standard);
    slips_patch_undo(&patch);
}

struct slips_result slips_try(const struct slips_trials *trials, size_t slip,
                              const struct slips_evidence *evidence, struct slips_bench *bench)
{
    struct slips_result result = {.fate = SLIPS_PASSED, .harm = MODEL_MISCOUNT};
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
    struct compare_side after = {.arena = arena};
    struct compare_changes changes = {.arena = arena};
    if (trials->before.count == 0 || !add_side(&after, &file.source, &file.judging)) {
        return result;
    }
    compare_two_numbers(&trials->before.engines[0], &after.engines[0], &changes);
    if (is_harmless(trials, slip, &file.judging, &changes, arena)) {
        result.fate = SLIPS_HARMLESS;
    } else {
        weigh(trials, slip, &changes, &bench->kept, &result);
    }
    return result;
}
