/*
 * rules_rows_test.c - the rule table against itself.
 */
#include "rules/functions.h"
#include "unit/support.h"

#include <ctype.h>
#include <sys/wait.h>
#include <unistd.h>

#define FOR_EACH_RULE(rule)                                                                        \
    for (enum rule_id rule = RULE_NONE + 1; rule < RULE_COUNT; rule = (enum rule_id)(rule + 1))

/* A row's symbol, which binds enumerator and function, and its id are one name. */
START_TEST(ids_are_the_symbols)
{
#define ROW(symbol, id, family, severity, hold, scope, setting, needs, summary, why, remedy)       \
#symbol,
    static const char *const symbols[RULE_COUNT] = {
        "",
#include "base/rule_rows.def"
    };
#undef ROW
    FOR_EACH_RULE(rule)
    {
        const char *symbol = symbols[rule];
        const char *id = rule_row(rule)->id;
        ck_assert_uint_eq(strlen(id), strlen(symbol));
        for (size_t i = 0; symbol[i]; i++) {
            int expected = symbol[i] == '_' ? '-' : tolower((unsigned char)symbol[i]);
            ck_assert_msg(id[i] == expected, "%s is called %s", symbol, id);
        }
    }
}
END_TEST

/* What is found before a policy is asked is an error, and no policy would change that. */
START_TEST(severities)
{
    FOR_EACH_RULE(rule)
    {
        const struct rule_row *row = rule_row(rule);
        bool evidence =
            row->family == FAMILY_EVIDENCE; /* an organisation decides how much it asks */
        ck_assert(row->severity > SEVERITY_OFF || evidence);
        if ((row->scope == SCOPE_ELSEWHERE && !evidence) || row->family == FAMILY_TEXT) {
            ck_assert_msg(row->severity == SEVERITY_ERROR && rule_is_locked(rule), "%s", row->id);
        }
        if (row->family == FAMILY_DIRECTION || row->family == FAMILY_TORQUE) {
            ck_assert_msg(rule_is_locked(rule), "%s guards people and pads", row->id);
        }
        ck_assert_msg((row->special != SEVERITY_OFF) == (row->special_when != NULL), "%s", row->id);
        ck_assert_msg(!row->special_when || row->special != row->severity, "%s has no special case",
                      row->id);
    }
}
END_TEST

/* Of what a definition may waive a table can be made: no device is too small for it. */
START_TEST(waivable_rules)
{
    FOR_EACH_RULE(rule)
    {
        const struct rule_row *row = rule_row(rule);
        ck_assert_msg(!rule_is_waivable(rule) || !rule_is_locked(rule), "%s", row->id);
        ck_assert_msg(!rule_is_waivable(rule) || row->family != FAMILY_DEVICE ||
                          row->severity != SEVERITY_ERROR,
                      "%s", row->id);
    }
}
END_TEST

/* Each rule that is not found elsewhere has a function, and its own. */
START_TEST(rows_and_functions)
{
    FOR_EACH_RULE(rule)
    {
        bool elsewhere = rule_row(rule)->scope == SCOPE_ELSEWHERE;
        ck_assert_msg((rules_function_of(rule) == NULL) == elsewhere, "%s", rule_row(rule)->id);
        for (enum rule_id other = RULE_NONE + 1; other < rule; other = (enum rule_id)(other + 1)) {
            ck_assert(!rules_function_of(rule) ||
                      rules_function_of(rule) != rules_function_of(other));
        }
    }
    ck_assert(rules_function_of(RULE_NONE) == NULL);
}
END_TEST

static bool fails_silently(struct rules_judging *judging, const struct rules_subject *subject)
{
    (void)judging;
    (void)subject;
    return false;
}

static bool passes_with_a_note(struct rules_judging *judging, const struct rules_subject *subject)
{
    const struct span at = {NULL, 1, 1, 1, 2};
    (void)subject;
    finding_add(judging->findings, RULE_TORQUE_CAPPED, at, "a note");
    return true;
}

/* A rule that did not pass has added a finding, or the program ends and nothing is written. */
START_TEST(a_failure_has_a_finding)
{
    const struct rules_subject subject = {.index = 0};
    struct support s;
    int ends[2];
    char said[128] = "";
    int status;
    support_start(&s);
    struct rules_judging judging = {.arena = &s.arena, .findings = &s.findings};
    ck_assert(rules_ask(&judging, RULE_TORQUE_CAPPED, passes_with_a_note, &subject));
    ck_assert_int_eq(pipe(ends), 0);
    pid_t child = fork();
    ck_assert_int_ge(child, 0);
    if (child == 0) {
        dup2(ends[1], STDERR_FILENO);
        (void)rules_ask(&judging, RULE_BACKLASH_LARGE, fails_silently, &subject);
        _exit(0);
    }
    close(ends[1]);
    ck_assert_int_gt(read(ends[0], said, sizeof said - 1), 0);
    close(ends[0]);
    ck_assert_str_eq(said, "rotortab: the rule backlash-large failed without a finding\n");
    ck_assert_int_eq(waitpid(child, &status, 0), child);
    ck_assert(WIFEXITED(status));
    ck_assert_int_eq(WEXITSTATUS(status), 2);
    support_end(&s);
}
END_TEST

/* What has to have passed stands above or has a wider scope, runs wherever the rule runs, and is
 * asked of the same subject or of what holds it: the definition, or a pad for its pairs and its
 * observations. */
START_TEST(needs_point_upwards)
{
    FOR_EACH_RULE(rule)
    {
        const struct rule_row *row = rule_row(rule);
        for (size_t i = 0; i < RULE_NEEDS && row->needs[i] != RULE_NONE; i++) {
            const struct rule_row *need = rule_row(row->needs[i]);
            ck_assert_msg(row->needs[i] < rule || need->scope != row->scope,
                          "%s needs %s, which stands below", row->id, need->id);
            bool below_a_pad = row->scope == SCOPE_PAIR || row->scope == SCOPE_OBSERVATION;
            ck_assert_msg(need->scope == row->scope || need->scope == SCOPE_DEFINITION ||
                              (below_a_pad && need->scope == SCOPE_PAD),
                          "%s needs %s, which looks at something else", row->id, need->id);
            ck_assert_msg(need->setting == ALWAYS || need->setting == row->setting,
                          "%s needs %s, which does not always run", row->id, need->id);
        }
    }
}
END_TEST

/* In the table of needs nothing stands behind its end. */
START_TEST(needs_end_once)
{
    FOR_EACH_RULE(rule)
    {
        bool ended = false;
        for (size_t i = 0; i < RULE_NEEDS; i++) {
            enum rule_id need = rule_row(rule)->needs[i];
            ck_assert(!ended || need == RULE_NONE);
            ended = ended || need == RULE_NONE;
        }
    }
}
END_TEST

static void assert_sentence(const char *text, bool sentence, const char *id)
{
    size_t length = strlen(text);
    ck_assert_msg(length > 0, "%s says nothing", id);
    ck_assert_msg((text[length - 1] == '.') == sentence, "%s: %s", id, text);
    ck_assert_msg((text[0] >= 'A' && text[0] <= 'Z') == sentence, "%s: %s", id, text);
}

START_TEST(rows_say_everything)
{
    FOR_EACH_RULE(rule)
    {
        const struct rule_row *row = rule_row(rule);
        ck_assert_uint_eq(strspn(row->id, "abcdefghijklmnopqrstuvwxyz-8"), strlen(row->id));
        assert_sentence(row->summary, false, row->id);
        assert_sentence(row->why, true, row->id);
        assert_sentence(row->remedy, true, row->id);
    }
}
END_TEST

START_TEST(rules_are_found_by_their_names)
{
    FOR_EACH_RULE(rule)
    {
        const char *id = rule_row(rule)->id;
        size_t length = strlen(id);
        ck_assert_int_eq(rule_find(id, length), rule);
        ck_assert_int_eq(rule_find(id, length - 1), RULE_NONE);
    }
    ck_assert_int_eq(rule_find("backlash-large and more", 14), RULE_BACKLASH_LARGE);
    ck_assert_int_eq(rule_find("Backlash-large", 10), RULE_NONE);
    ck_assert_int_eq(rule_find("", 0), RULE_NONE);
}
END_TEST

START_TEST(severities_have_names)
{
    ck_assert_str_eq(severity_name(SEVERITY_OFF), "off");
    ck_assert_str_eq(severity_name(SEVERITY_NOTE), "note");
    ck_assert_str_eq(severity_name(SEVERITY_WARNING), "warning");
    ck_assert_str_eq(severity_name(SEVERITY_ERROR), "error");
}
END_TEST

int main(void)
{
    TCase *tests = tcase_create("rows");
    tcase_add_test(tests, ids_are_the_symbols);
    tcase_add_test(tests, severities);
    tcase_add_test(tests, waivable_rules);
    tcase_add_test(tests, rows_and_functions);
    tcase_add_test(tests, a_failure_has_a_finding);
    tcase_add_test(tests, needs_point_upwards);
    tcase_add_test(tests, needs_end_once);
    tcase_add_test(tests, rows_say_everything);
    tcase_add_test(tests, rules_are_found_by_their_names);
    tcase_add_test(tests, severities_have_names);
    return run_case("rules", tests);
}
