/*
 * support.h - for the tests of text/, model/, rules/ and report/: texts with marks in them, loaded
 * and judged as the program does it.
 *
 * A case is a sound text with one change.  Where a finding is expected the changed text carries an
 * @ before the first character of its place, and another one behind the last; both are taken out
 * before the text is read, and the lines and columns are counted here, apart from the program.
 */
#ifndef ROTORTAB_TESTS_SUPPORT_H
#define ROTORTAB_TESTS_SUPPORT_H

#include "unit/check.h"
#include <limits.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "rules/rules.h"

/* Runs one test case as its program's only one. */
static inline int run_case(const char *name, TCase *tests)
{
    Suite *suite = suite_create(name);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_set_fork_status(runner, CK_NOFORK);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}

static inline struct exact_rational rat(int64_t num, int64_t den)
{
    struct exact_rational made = {0, 1};
    ck_assert(exact_make(num, den, &made));
    return made;
}

#define assert_rational(expected_num, expected_den, actual)                                        \
    do {                                                                                           \
        struct exact_rational actual_ = (actual);                                                  \
        ck_assert_int_eq(actual_.num, (expected_num));                                             \
        ck_assert_int_eq(actual_.den, (expected_den));                                             \
    } while (0)

/* A folder of its own for a test's files; support_unfold removes it, which has to be empty. */
static inline const char *support_folder(char path[PATH_MAX])
{
    const char *parent = getenv("TMPDIR");
    snprintf(path, PATH_MAX, "%s/rotortab-test-XXXXXX", parent && *parent ? parent : "/tmp");
    ck_assert_ptr_nonnull(mkdtemp(path));
    return path;
}

static inline void support_write(const char *path, const void *bytes, size_t length)
{
    FILE *file = fopen(path, "wb");
    ck_assert_ptr_nonnull(file);
    ck_assert_uint_eq(fwrite(bytes, 1, length, file), length);
    ck_assert_int_eq(fclose(file), 0);
}

/* `text` with `to` in the place of `from`, which has to stand there once. */
static inline const char *changed(struct arena *arena, const char *text, const char *from,
                                  const char *to)
{
    const char *at = strstr(text, from);
    ck_assert_msg(at && !strstr(at + 1, from), "'%s' has to stand once in the text", from);
    return arena_printf(arena, "%.*s%s%s", (int)(at - text), text, to, at + strlen(from));
}

/* A place as the marks in a text say: line 0 without any, end_line 0 with one. */
struct marks {
    uint32_t line, column, end_line, end_column;
};

/* Takes the marks out of the text. */
static inline const char *unmarked(struct arena *arena, const char *text, struct marks *marks)
{
    char *bare = arena_copy(arena, text, strlen(text));
    char *end = bare;
    uint32_t line = 1;
    uint32_t column = 1;
    *marks = (struct marks){0, 0, 0, 0};
    for (; *text; text++) {
        if (*text == '@') {
            ck_assert_msg(marks->end_line == 0, "at most two marks");
            *(marks->line == 0 ? &marks->line : &marks->end_line) = line;
            *(marks->column == 0 ? &marks->column : &marks->end_column) = column;
            continue;
        }
        *end++ = *text;
        column += ((unsigned char)*text & 0xc0) != 0x80;
        if (*text == '\n') {
            line++;
            column = 1;
        }
    }
    *end = '\0';
    return bare;
}

static inline void assert_marked(const struct span *at, const struct marks *marks)
{
    ck_assert_uint_eq(at->line, marks->line);
    ck_assert_uint_eq(at->column, marks->column);
    if (marks->end_line != 0) {
        ck_assert_uint_eq(at->end_line, marks->end_line);
        ck_assert_uint_eq(at->end_column, marks->end_column);
    }
}

/* What one case reads and finds; all zero, then support_start, support_end. */
struct support {
    struct arena arena;
    struct findings findings;
    struct model_source engine, device, policy;
    struct model_device_facts on;
    struct rules_judging judging;
    bool with_unproven; /* asks for a second reading of the stages; no sound text has one */
};

static inline void support_start(struct support *s)
{
    memset(s, 0, sizeof *s);
    findings_start(&s->findings, &s->arena);
}

static inline void support_end(struct support *s)
{
    arena_free(&s->arena);
}

/* Loads a text from a file of the given name, which is gone afterwards. */
static inline void support_load_as(struct support *s, struct model_source *source, const char *name,
                                   const char *text, size_t length)
{
    char folder[PATH_MAX];
    const char *path = arena_printf(&s->arena, "%s/%s", support_folder(folder), name);
    support_write(path, text, length);
    ck_assert(model_source_load(source, path, &s->arena, &s->findings));
    ck_assert_int_eq(unlink(path), 0);
    ck_assert_int_eq(rmdir(folder), 0);
}

/* Sound texts; each value in them stands for cases to change.  Invented data, chosen so that the
 * numbers can be worked out by heart: G = 2, a pitch of 11.25 deg, 320000 counts a rotor turn,
 * 10000 a blade. */
static const char sound_engine[] = "engine-definition: 1\n"
                                   "id: plover-2\n"
                                   "name: Plover 2\n"
                                   "models: [Plover 2, Plover 2B]\n"
                                   "revision: 4\n"
                                   "status: released\n"
                                   "source: Invented\n"
                                   "spools:\n"
                                   "  - id: HP\n"
                                   "    rotation: {sense: cw, view: aft-looking-forward}\n"
                                   "    max-speed: 120 deg/min\n"
                                   "stages:\n"
                                   "  - id: S1\n"
                                   "    spool: HP\n"
                                   "    role: compressor\n"
                                   "    blades: 32\n"
                                   "    numbering: against-rotation\n"
                                   "    blade-one: two lugs\n"
                                   "    port: {id: P1, clock: \"4:30\"}\n"
                                   "    clocking: 12.5 deg\n"
                                   "pads:\n"
                                   "  - id: crank\n"
                                   "    spool: HP\n"
                                   "    faces: aft\n"
                                   "    rotation: {sense: ccw, view: facing-pad}\n"
                                   "    turns: {pad: 2, rotor: 1}\n"
                                   "    path: [external: [20, 40]]\n"
                                   "    drives: both\n"
                                   "    square: 3/8 in\n"
                                   "    torque-limit: 40 lbf.ft\n"
                                   "    backlash: 1.2 deg\n"
                                   "observations:\n"
                                   "  - pad: crank\n"
                                   "    counted: {pad: 20 +/- 0.1 rev, rotor: 10 rev}\n"
                                   "    seen: {pad: ccw, rotor: cw}\n";

static const char sound_device[] =
    "device-profile: 1\n"
    "id: bench-3\n"
    "name: Bench three\n"
    "shaft:\n"
    "  counts-per-motor-turn: 2000\n"
    "  reduction: {motor: 80, output: 1}\n"
    "  positive: cw\n"
    "  square: 3/8 in\n"
    "stepping: scheduled\n"
    "counter-bits: 32\n"
    "speed: {min: 1 deg/min, max: 6 rpm, resolution: 0.1 deg/min}\n"
    "torque: {min: 5 lbf.ft, max: 60 lbf.ft, resolution: 0.5 lbf.ft}\n"
    "limits: {table-bytes: 65536, engines: 200, stages: 24, pads: 4, blades: 255, text-bytes: 20, "
    "text: ascii}\n";

static inline void support_load(struct support *s, const char *text)
{
    support_load_as(s, &s->engine, "plover-2.engine.yaml", text, strlen(text));
}

/* A policy for support_judge; the program's own limits where none was loaded. */
static inline void support_policy(struct support *s, const char *text)
{
    support_load_as(s, &s->policy, "rotortab.policy.yaml", text, strlen(text));
    ck_assert_uint_eq(s->findings.count, 0);
}

static inline void support_device(struct support *s, const char *text)
{
    support_load_as(s, &s->device, "bench-3.device.yaml", text, strlen(text));
    ck_assert_uint_eq(s->findings.count, 0);
    s->on = model_device_derive(s->device.device);
}

/* Turns off in a policy what every sound text would be asked for. */
static inline void support_ask_less(struct support *s, struct model_policy *policy)
{
    static const enum rule_id off[] = {RULE_COUNT_UNPROVEN, RULE_ORDER_UNPROVEN};
    const size_t more = sizeof off / sizeof *off;
    struct model_list *rules = &policy->rules;
    struct model_severity *items =
        arena_array(&s->arena, rules->count + more, sizeof(struct model_severity));
    for (size_t i = 0; i < rules->count; i++) {
        items[i] = *MODEL_ITEM(*rules, struct model_severity, i);
    }
    for (size_t i = 0; i < more; i++) {
        items[rules->count++] = (struct model_severity){
            .at.state = MODEL_GIVEN, .rule = off[i], .severity = SEVERITY_OFF};
    }
    rules->items = items;
}

/* Loads the definition and judges it, on the device where one was loaded. */
static inline void support_judge(struct support *s, const char *text, bool compiling)
{
    support_load(s, text);
    ck_assert_ptr_nonnull(s->engine.engine);
    if (!s->policy.policy) {
        s->policy.policy = arena_alloc(&s->arena, sizeof *s->policy.policy);
    }
    model_policy_complete(s->policy.policy);
    if (!s->with_unproven) {
        support_ask_less(s, s->policy.policy);
    }
    s->judging = (struct rules_judging){.file = &s->engine.file,
                                        .derived.engine = s->engine.engine,
                                        .policy = s->policy.policy,
                                        .device_policy = s->policy.policy,
                                        .derived.device = s->on.device ? &s->on : NULL,
                                        .compiling = compiling,
                                        .to_be_used = compiling,
                                        .arena = &s->arena,
                                        .findings = &s->findings};
    rules_judge_engine(&s->judging);
}

/* Every finding in words, for the message of a case that went wrong. */
static inline const char *support_words(struct support *s)
{
    const char *words = "";
    for (size_t i = 0; i < s->findings.count; i++) {
        const struct finding *finding = s->findings.items[i];
        words = arena_printf(&s->arena, "%s\n  %u:%u: %s: %s [%s]", words, finding->at.line,
                             finding->at.column, severity_name(finding->severity), finding->message,
                             rule_row(finding->rule)->id);
    }
    return words;
}

/* The only finding there is, which has to be of this rule; RULE_NONE: there is none. */
static inline const struct finding *assert_only(struct support *s, enum rule_id rule)
{
    ck_assert_msg(s->findings.count == (rule != RULE_NONE) &&
                      (rule == RULE_NONE || s->findings.items[0]->rule == rule),
                  "only %s was expected, not%s", rule ? rule_row(rule)->id : "nothing",
                  support_words(s));
    return rule == RULE_NONE ? NULL : s->findings.items[0];
}

/* The finding's exact number of that name; "" where there is none. */
static inline const char *number_of(const struct finding *finding, const char *name)
{
    for (const struct finding_number *number = finding->numbers; number; number = number->next) {
        if (strcmp(number->name, name) == 0) {
            return number->text;
        }
    }
    return "";
}

#endif
