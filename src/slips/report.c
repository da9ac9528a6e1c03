#include "slips/report.h"

#include "report/json.h"
#include "report/manual.h"
#include "text/utf8.h"
#include "words/name.h"
#include "words/number.h"
#include "words/reading.h"

#include <string.h>

enum { SHOWN = 6 }; /* slips of a value that are written out */

static const char *part_of(const struct model_value *value, struct arena *arena)
{
    return arena_printf(arena, "%s %s", model_listed_name(value->list), value->id->text);
}

/* The first slips of the value that pass, the worst first: "21, 41 and 7 more". */
static const char *passing(const struct slips_outcome *outcome, size_t value, struct arena *arena)
{
    const char *text = "";
    size_t shown = 0;
    for (int harm = 0; harm < MODEL_HARMS; harm++) {
        for (size_t i = 0; i < outcome->list.count; i++) {
            const struct slips_result *result = &outcome->results[i];
            const struct slips_slip *slip = &outcome->list.slips[i];
            if (slip->value != value || result->fate != SLIPS_PASSED || (int)result->harm != harm ||
                shown == SHOWN) {
                continue;
            }
            text = arena_printf(arena, "%s%s%s", text, *text ? ", " : "", slip->written);
            shown++;
        }
    }
    size_t more = slips_passed(&outcome->counts[value]) - shown;
    return text_clean(arena, more == 0 ? text : arena_printf(arena, "%s and %zu more", text, more));
}

/* The sentence of the worst slip that passes, or what its harm means. */
static const char *worst_sentence(const struct slips_outcome *outcome, size_t value)
{
    enum model_harm worst = slips_worst(&outcome->counts[value]);
    for (size_t i = 0; i < outcome->list.count; i++) {
        const struct slips_result *result = &outcome->results[i];
        if (outcome->list.slips[i].value == value && result->fate == SLIPS_PASSED &&
            result->harm == worst && result->consequence) {
            return result->consequence;
        }
    }
    return model_harms[worst].meaning;
}

/* "31", on one line. */
static const char *written(const struct slips_outcome *outcome, size_t value, struct arena *arena)
{
    const struct model_at *at = outcome->list.values[value].at;
    return text_clean(arena, text_file_at(arena, at->span, true));
}

static void write_value(FILE *out, const struct slips_outcome *outcome, size_t index,
                        struct arena *arena)
{
    const struct model_value *value = &outcome->list.values[index];
    const struct slips_count *count = &outcome->counts[index];
    fprintf(out, "  %s, line %u: %s %s\n", part_of(value, arena), value->at->span.line, value->key,
            written(outcome, index, arena));
    fprintf(out, "    %s; %zu of %zu slips found; these pass: %s\n",
            words_known(arena, outcome->known.items[index].known), count->found, count->made,
            passing(outcome, index, arena));
    fprintf(out, "    %s: %s\n", model_harms[slips_worst(count)].name,
            text_clean(arena, worst_sentence(outcome, index)));
}

static void write_readings(FILE *out, const struct slips_plan *plan, const char *path,
                           struct arena *arena)
{
    fprintf(out, "  Let a second person read %zu value%s and write %s into the cross-check:\n",
            plan->values, words_plural((int64_t)plan->values), plan->values == 1 ? "it" : "them");
    for (size_t i = 0; i < plan->reading_count; i++) {
        const struct slips_reading *reading = &plan->readings[i];
        fprintf(out, "    %s %s: ", model_listed_name(reading->list), reading->id);
        for (size_t k = 0; k < reading->count; k++) {
            fprintf(out, "%s%s", k == 0 ? "" : ", ", reading->keys[k]);
        }
        fprintf(out, " (catches %zu)\n", reading->catches);
    }
    fprintf(out, "  The form: rotortab new --cross-check %s\n", text_clean(arena, path));
}

static void write_observings(FILE *out, const struct slips_plan *plan)
{
    fputs("  Observe on an engine, at least as exactly as this, and write it below observations:\n",
          out);
    for (size_t i = 0; i < plan->observing_count; i++) {
        fprintf(out, "    - %s  # catches %zu\n", plan->observings[i].block,
                plan->observings[i].catches);
    }
}

/* The slips that no step catches. */
static void write_lasting(FILE *out, const struct slips_outcome *outcome,
                          const struct slips_plan *plan, struct arena *arena)
{
    if (plan->left == 0) {
        return;
    }
    fputs("  These slips would still pass. Compare the values with their source again:\n", out);
    for (size_t i = 0; i < plan->left && i < SHOWN; i++) {
        const struct slips_slip *slip = &outcome->list.slips[plan->lasting[i]];
        const struct model_value *value = &outcome->list.values[slip->value];
        fprintf(out, "    %s: %s %s -> %s\n", part_of(value, arena), value->key,
                written(outcome, slip->value, arena), text_clean(arena, slip->written));
    }
    if (plan->left > SHOWN) {
        fprintf(out, "    and %zu more\n", plan->left - SHOWN);
    }
}

static void write_plan(FILE *out, const struct slips_report *report, struct arena *arena)
{
    const struct slips_outcome *outcome = report->outcome;
    const struct slips_plan *plan = report->plan;
    static const char *const proofs[] = {[SLIPS_SMALLEST] = "there is no smaller plan",
                                         [SLIPS_FEWEST] = "no plan has fewer observations",
                                         [SLIPS_NOT_ALL_TRIED] =
                                             "a smaller plan may exist: not all were tried"};
    if (plan->hurting == 0) {
        return;
    }
    fprintf(out, "\n%zu passing slip%s %s more harm than is allowed (%s)", plan->hurting,
            words_plural((int64_t)plan->hurting), plan->hurting == 1 ? "does" : "do",
            model_harms[report->allowed].name);
    if (plan->left == plan->hurting) {
        fputs(", and no second reading or observation catches them.\n", out);
    } else {
        fprintf(out, ".  What to do next, so that %s (%s):\n",
                plan->left == 0 ? "none of them passes" : "fewer of them pass",
                proofs[plan->proof]);
    }
    if (plan->reading_count != 0) {
        write_readings(out, plan, outcome->list.file->path, arena);
    }
    if (plan->observing_count != 0) {
        write_observings(out, plan);
    }
    write_lasting(out, outcome, plan, arena);
}

void slips_report_text(FILE *out, const struct slips_report *report, struct arena *arena)
{
    const struct slips_outcome *outcome = report->outcome;
    const struct slips_count *all = &outcome->all;
    const struct model_engine *engine = outcome->list.engine;
    size_t count = 0;
    const size_t *ranked = slips_ranked(outcome, arena, &count);
    fprintf(out, "%s, revision %lld: %zu slips of the pen, %zu found, %zu harmless, %zu pass\n",
            engine->id.text, (long long)engine->revision.value, all->made, all->found,
            all->harmless, slips_passed(all));
    if (all->found_alone != all->found) {
        fprintf(out, "without the second reader, %zu are found\n", all->found_alone);
    }
    for (int harm = 0; harm < MODEL_HARMS; harm++) {
        if (all->passed[harm] != 0) {
            fprintf(out, "  %-10s %5zu  %s\n", model_harms[harm].name, all->passed[harm],
                    model_harms[harm].meaning);
        }
    }
    for (size_t i = 0; i < count; i++) {
        fputs(i == 0 ? "\n" : "", out);
        write_value(out, outcome, ranked[i], arena);
    }
    write_plan(out, report, arena);
}

static json_t *count_object(const struct slips_count *count)
{
    json_t *passed = json_object();
    for (int harm = 0; harm < MODEL_HARMS; harm++) {
        report_set(passed, model_harms[harm].name, json_integer((json_int_t)count->passed[harm]));
    }
    return json_pack("{sIsIsIsIso}", "made", (json_int_t)count->made, "found",
                     (json_int_t)count->found, "found_without_second_reader",
                     (json_int_t)count->found_alone, "harmless", (json_int_t)count->harmless,
                     "passed", passed);
}

static json_t *slip_object(const struct slips_outcome *outcome, size_t index, struct arena *arena)
{
    static const char *const fates[] = {
        [SLIPS_FOUND] = "found", [SLIPS_HARMLESS] = "harmless", [SLIPS_PASSED] = "passed"};
    const struct slips_slip *slip = &outcome->list.slips[index];
    const struct slips_result *result = &outcome->results[index];
    json_t *rules = json_array();
    for (int rule = RULE_NONE + 1; rule < RULE_COUNT; rule++) {
        if (result->found[rule]) {
            report_add(rules, json_string(rule_row((enum rule_id)rule)->id));
        }
    }
    json_t *object =
        json_pack("{ssssssso}", "slip", slips_kinds[slip->kind].name, "written",
                  text_clean(arena, slip->written), "fate", fates[result->fate], "found_by", rules);
    if (result->fate == SLIPS_PASSED) {
        report_set(object, "harm", json_string(model_harms[result->harm].name));
        report_set(object, "consequence",
                   result->consequence ? json_string(text_clean(arena, result->consequence))
                                       : json_null());
    }
    return object;
}

static json_t *value_object(const struct slips_outcome *outcome, size_t index, struct arena *arena)
{
    const struct model_value *value = &outcome->list.values[index];
    const struct model_known *known = &outcome->known.items[index].known;
    json_t *slips = json_array();
    for (size_t i = 0; i < outcome->list.count; i++) {
        if (outcome->list.slips[i].value == index) {
            report_add(slips, slip_object(outcome, i, arena));
        }
    }
    return json_pack("{sssssssIsIsss{sbsbsb}soso}", "part", model_listed_name(value->list), "id",
                     value->id->text, "key", value->key, "line", (json_int_t)value->at->span.line,
                     "column", (json_int_t)value->at->span.column, "written",
                     written(outcome, index, arena), "known", "read_twice", (int)known->twice,
                     "observed", (int)known->observed, "follows", (int)known->follows, "counts",
                     count_object(&outcome->counts[index]), "slips", slips);
}

static json_t *plan_object(const struct slips_plan *plan)
{
    static const char *const proofs[] = {[SLIPS_SMALLEST] = "smallest",
                                         [SLIPS_FEWEST] = "fewest-observations",
                                         [SLIPS_NOT_ALL_TRIED] = "not-all-tried"};
    json_t *readings = json_array();
    json_t *observations = json_array();
    for (size_t i = 0; i < plan->reading_count; i++) {
        const struct slips_reading *reading = &plan->readings[i];
        json_t *keys = json_array();
        for (size_t k = 0; k < reading->count; k++) {
            report_add(keys, json_string(reading->keys[k]));
        }
        report_add(readings,
                   json_pack("{sssssosI}", "part", model_listed_name(reading->list), "id",
                             reading->id, "keys", keys, "catches", (json_int_t)reading->catches));
    }
    for (size_t i = 0; i < plan->observing_count; i++) {
        report_add(observations, json_pack("{sssI}", "observation", plan->observings[i].block,
                                           "catches", (json_int_t)plan->observings[i].catches));
    }
    return json_pack("{sIsIsssoso}", "hurting", (json_int_t)plan->hurting, "left",
                     (json_int_t)plan->left, "proof", proofs[plan->proof], "readings", readings,
                     "observations", observations);
}

json_t *slips_report_object(const struct slips_report *report, struct arena *arena)
{
    const struct slips_outcome *outcome = report->outcome;
    const struct model_engine *engine = outcome->list.engine;
    json_t *values = json_array();
    for (size_t i = 0; i < outcome->list.value_count; i++) {
        if (outcome->counts[i].made != 0) {
            report_add(values, value_object(outcome, i, arena));
        }
    }
    return json_pack("{sosssIsssssososo}", "file", report_json_text(outcome->list.file->path), "id",
                     engine->id.text, "revision", (json_int_t)engine->revision.value, "status",
                     words_status((enum model_status)engine->status.value), "allowed",
                     model_harms[report->allowed].name, "counts", count_object(&outcome->all),
                     "plan", plan_object(report->plan), "values", values);
}

static void report_value(const struct slips_outcome *outcome, size_t index, enum model_harm allowed,
                         struct findings *findings)
{
    const struct model_value *value = &outcome->list.values[index];
    const struct slips_count *count = &outcome->counts[index];
    struct arena *arena = findings->arena;
    enum model_harm worst = slips_worst(count);
    struct finding *finding =
        finding_add_case(findings, RULE_SLIP_PASSES, worst >= allowed, value->at->span,
                         "%s of %s: %zu of %zu slips pass: %s", value->key, part_of(value, arena),
                         slips_passed(count), count->made, passing(outcome, index, arena));
    finding_consequence(findings, finding, "%s: %s.", model_harms[worst].name,
                        text_clean(arena, worst_sentence(outcome, index)));
    finding->stage = value->list == MODEL_STAGES ? value->id->text : NULL;
    finding->pad = value->list == MODEL_PADS ? value->id->text : NULL;
}

void slips_report_findings(const struct slips_outcome *outcome, enum model_harm allowed,
                           struct findings *findings)
{
    size_t count = 0;
    const size_t *ranked = slips_ranked(outcome, findings->arena, &count);
    for (size_t i = 0; i < count; i++) {
        report_value(outcome, ranked[i], allowed, findings);
    }
}

void slips_report_man(FILE *out)
{
    fputs(".Bl -tag -width Ds\n", out);
    for (int kind = 0; kind < SLIPS_KINDS; kind++) {
        fprintf(out, ".It Cm %s\n", slips_kinds[kind].name);
        report_mdoc_sentence(out, slips_kinds[kind].meaning);
        report_mdoc_text(out, slips_kinds[kind].model);
    }
    fputs(".El\n", out);
}
