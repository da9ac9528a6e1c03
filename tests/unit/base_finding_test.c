/*
 * base_finding_test.c - findings gathered in one list, each with what was said of it.
 */
#include "base/finding.h"
#include "unit/support.h"

static const struct span here = {NULL, 3, 5, 3, 9};
static const struct span there = {NULL, 7, 1, 7, 2};

START_TEST(a_finding_as_added)
{
    struct arena arena = {.newest = NULL};
    struct findings list;
    findings_start(&list, &arena);
    ck_assert_uint_eq(list.count, 0);
    struct finding *finding = finding_add(&list, RULE_TEETH_FEW, here, "%d of %s", 7, "them");
    ck_assert_uint_eq(list.count, 1);
    ck_assert_ptr_eq(list.items[0], finding);
    ck_assert_int_eq(finding->rule, RULE_TEETH_FEW);
    ck_assert_int_eq(finding->severity, SEVERITY_WARNING);
    ck_assert_str_eq(finding->message, "7 of them");
    ck_assert_uint_eq(finding->at.line, 3);
    ck_assert_uint_eq(finding->at.end_column, 9);
    ck_assert_ptr_null(finding->consequence);
    ck_assert_ptr_null(finding->remedy);
    ck_assert_ptr_null(finding->notes);
    ck_assert_ptr_null(finding->numbers);
    arena_free(&arena);
}
END_TEST

/* Notes and numbers keep their order; texts are copies. */
START_TEST(what_more_is_said)
{
    struct arena arena = {.newest = NULL};
    struct findings list;
    char text[] = "22/7";
    findings_start(&list, &arena);
    struct finding *finding = finding_add(&list, RULE_RATIO_DISAGREES, here, "x");
    finding_note(&list, finding, there, "the %s", "first");
    finding_note(&list, finding, here, "the %s", "second");
    finding_number(&list, finding, "stated", text);
    finding_number(&list, finding, "path", "3");
    memset(text, '?', 4);
    finding_consequence(&list, finding, "It %s.", "drifts");
    finding_remedy(&list, finding, "Count %d times.", 2);
    ck_assert_str_eq(finding->notes->text, "the first");
    ck_assert_uint_eq(finding->notes->at.line, 7);
    ck_assert_str_eq(finding->notes->next->text, "the second");
    ck_assert_ptr_null(finding->notes->next->next);
    ck_assert_str_eq(finding->numbers->name, "stated");
    ck_assert_str_eq(finding->numbers->text, "22/7");
    ck_assert_str_eq(finding->numbers->next->name, "path");
    ck_assert_ptr_null(finding->numbers->next->next);
    ck_assert_str_eq(finding->consequence, "It drifts.");
    ck_assert_str_eq(finding->remedy, "Count 2 times.");
    arena_free(&arena);
}
END_TEST

START_TEST(many_of_every_weight)
{
    struct arena arena = {.newest = NULL};
    struct findings list;
    findings_start(&list, &arena);
    struct finding *first = finding_add(&list, RULE_YAML_SYNTAX, here, "first");
    for (size_t i = 0; i < 100; i++) {
        enum rule_id rule = i < 30   ? RULE_TEETH_FEW
                            : i < 50 ? RULE_TORQUE_CAPPED
                                     : RULE_YAML_SYNTAX;
        struct finding *finding = finding_add(&list, rule, here, "%zu", i);
        if (i >= 50 && i < 60) {
            finding_leave_out(finding);
        }
    }
    ck_assert_uint_eq(list.count, 101);
    ck_assert_ptr_eq(list.items[0], first);
    ck_assert_str_eq(list.items[0]->message, "first");
    ck_assert_str_eq(list.items[100]->message, "99");
    ck_assert_uint_eq(findings_with(&list, SEVERITY_WARNING), 30);
    ck_assert_uint_eq(findings_with(&list, SEVERITY_NOTE), 20);
    ck_assert_uint_eq(findings_with(&list, SEVERITY_OFF), 10);
    ck_assert_uint_eq(findings_with(&list, SEVERITY_ERROR), 41);
    arena_free(&arena);
}
END_TEST

/* Beyond the bound nothing is kept, and each is counted by its weight. */
START_TEST(no_more_than_are_kept)
{
    struct arena arena = {.newest = NULL};
    struct findings list;
    findings_start(&list, &arena);
    (void)finding_add(&list, RULE_YAML_SYNTAX, here, "before");
    findings_bound(&list, 2);
    (void)finding_add(&list, RULE_YAML_SYNTAX, here, "first");
    (void)finding_add(&list, RULE_YAML_SYNTAX, here, "second");
    for (size_t i = 0; i < 5; i++) {
        struct finding *finding =
            finding_add(&list, i == 0 ? RULE_TEETH_FEW : RULE_YAML_SYNTAX, here, "%zu", i);
        finding_note(&list, finding, there, "x");
        finding_number(&list, finding, "x", "1");
        finding_guess(&list, finding, "x");
        finding_consequence(&list, finding, "x");
        ck_assert_ptr_null(finding->notes);
        ck_assert_ptr_null(finding->numbers);
        ck_assert_ptr_null(finding->instead);
        ck_assert_ptr_null(finding->remedy);
        ck_assert_ptr_null(finding->consequence);
    }
    ck_assert_uint_eq(list.count, 3);
    ck_assert_str_eq(list.items[2]->message, "second");
    ck_assert_uint_eq(findings_with(&list, SEVERITY_ERROR), 7);
    ck_assert_uint_eq(findings_with(&list, SEVERITY_WARNING), 1);
    ck_assert_uint_eq(list.more[SEVERITY_ERROR], 4);
    findings_bound(&list, 0);
    (void)finding_add(&list, RULE_YAML_SYNTAX, here, "after");
    ck_assert_uint_eq(list.count, 4);
    arena_free(&arena);
}
END_TEST

/* Every way in which a row, its special case, a policy and --strict come together. */
START_TEST(what_a_finding_weighs)
{
    enum { OFF = SEVERITY_OFF, NOTE, WARNING, ERROR };
    static const struct {
        enum rule_id rule;
        bool special;
        int policy, plain, strict;
    } cases[] = {
        /* an error by its row, that a policy may lower */
        {RULE_BACKLASH_LARGE, false, ERROR, ERROR, ERROR},
        {RULE_BACKLASH_LARGE, false, WARNING, WARNING, ERROR},
        {RULE_BACKLASH_LARGE, false, NOTE, NOTE, NOTE},
        {RULE_BACKLASH_LARGE, false, OFF, OFF, OFF},
        /* a locked rule: raised, never lowered */
        {RULE_TORQUE_ABOVE_SQUARE, false, OFF, WARNING, ERROR},
        {RULE_TORQUE_ABOVE_SQUARE, false, NOTE, WARNING, ERROR},
        {RULE_TORQUE_ABOVE_SQUARE, false, ERROR, ERROR, ERROR},
        /* a special case that weighs less: a policy only makes it lighter still */
        {RULE_SOURCE_MISSING, true, ERROR, WARNING, ERROR},
        {RULE_SOURCE_MISSING, true, WARNING, WARNING, ERROR},
        {RULE_SOURCE_MISSING, true, NOTE, NOTE, NOTE},
        {RULE_DRAFT_COMPILED, true, ERROR, NOTE, NOTE},
        {RULE_DRAFT_COMPILED, true, OFF, OFF, OFF},
        /* one of a locked rule: lighter than the row, whatever a policy says */
        {RULE_TORQUE_MISSING, true, NOTE, WARNING, ERROR},
        {RULE_TORQUE_MISSING, false, NOTE, ERROR, ERROR},
        /* one that weighs more: no policy changes it */
        {RULE_STEP_NOT_WHOLE, true, NOTE, ERROR, ERROR},
        {RULE_STEP_NOT_WHOLE, true, WARNING, ERROR, ERROR},
        {RULE_STEP_NOT_WHOLE, false, WARNING, WARNING, ERROR},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        struct arena arena = {.newest = NULL};
        struct findings list;
        enum severity policy[RULE_COUNT] = {SEVERITY_OFF};
        findings_start(&list, &arena);
        policy[cases[i].rule] = (enum severity)cases[i].policy;
        list.policy = policy;
        struct finding *finding =
            finding_add_case(&list, cases[i].rule, cases[i].special, here, "x");
        ck_assert_msg((int)finding->severity == cases[i].plain, "case %zu", i);
        ck_assert_int_eq(finding_counts_as(finding), cases[i].plain);
        finding_be_strict(finding);
        ck_assert_msg((int)finding->severity == cases[i].strict, "case %zu, strict", i);
        finding->waived = "measured again";
        ck_assert_int_eq(finding->severity, cases[i].strict);
        ck_assert_int_eq(finding_counts_as(finding), SEVERITY_OFF);
        finding_leave_out(finding);
        ck_assert_int_eq(finding->severity, SEVERITY_OFF);
        arena_free(&arena);
    }
}
END_TEST

/* A warning and an accepted error come before it, and another error after it. */
START_TEST(the_first_error)
{
    struct arena arena = {.newest = NULL};
    struct findings list;
    size_t more = 7;
    findings_start(&list, &arena);
    finding_add(&list, RULE_TEETH_FEW, here, "a warning");
    finding_add(&list, RULE_RATIO_DISAGREES, here, "accepted")->waived = "for a time";
    ck_assert_ptr_null(findings_first_error(&list, &more));
    ck_assert_uint_eq(more, 0);
    const struct finding *first = finding_add(&list, RULE_RATIO_DISAGREES, here, "first");
    ck_assert_ptr_eq(findings_first_error(&list, &more), first);
    ck_assert_uint_eq(more, 0);
    finding_add(&list, RULE_RATIO_DISAGREES, there, "second");
    ck_assert_ptr_eq(findings_first_error(&list, &more), first);
    ck_assert_uint_eq(more, 1);
    ck_assert_ptr_eq(findings_first_error(&list, NULL), first);
    arena_free(&arena);
}
END_TEST

/* Where nobody reads notes, one is counted and has no words; all else keeps its words. */
START_TEST(notes_that_nobody_reads)
{
    struct arena arena = {.newest = NULL};
    struct findings list;
    enum severity policy[RULE_COUNT];
    for (int rule = 0; rule < RULE_COUNT; rule++) {
        policy[rule] = rule_row((enum rule_id)rule)->severity;
    }
    policy[RULE_BACKLASH_LARGE] = SEVERITY_NOTE;
    policy[RULE_BACKLASH_BELOW_COUNT] = SEVERITY_WARNING;
    findings_start(&list, &arena);
    list.policy = policy;
    list.notes_unread = true;
    const struct {
        enum rule_id rule;
        bool special, worded;
    } cases[] = {
        {RULE_TORQUE_CAPPED, false, false},       {RULE_BACKLASH_LARGE, false, false},
        {RULE_BACKLASH_BELOW_COUNT, false, true}, {RULE_STEP_NOT_WHOLE, false, false},
        {RULE_STEP_NOT_WHOLE, true, true},        {RULE_RATIO_DISAGREES, true, false},
        {RULE_RATIO_DISAGREES, false, true},      {RULE_DRAFT_COMPILED, true, true},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        struct finding *finding =
            finding_add_case(&list, cases[i].rule, cases[i].special, here, "%s", "x");
        finding_note(&list, finding, there, "there");
        finding_number(&list, finding, "stated", "1");
        finding_guess(&list, finding, "word");
        finding_consequence(&list, finding, "It drifts.");
        ck_assert_str_eq(finding->message, cases[i].worded ? "x" : "");
        ck_assert_msg((finding->notes != NULL) == cases[i].worded, "case %zu", i);
        ck_assert_msg((finding->numbers != NULL) == cases[i].worded, "case %zu", i);
        ck_assert_msg((finding->instead != NULL) == cases[i].worded, "case %zu", i);
        ck_assert_msg((finding->consequence != NULL) == cases[i].worded, "case %zu", i);
        ck_assert_msg((finding->remedy != NULL) == cases[i].worded, "case %zu", i);
        ck_assert_uint_eq(list.count, i + 1);
    }
    list.notes_unread = false;
    ck_assert_str_eq(finding_add(&list, RULE_TORQUE_CAPPED, here, "y")->message, "y");
    arena_free(&arena);
}
END_TEST

int main(void)
{
    TCase *tests = tcase_create("finding");
    tcase_add_test(tests, a_finding_as_added);
    tcase_add_test(tests, what_more_is_said);
    tcase_add_test(tests, many_of_every_weight);
    tcase_add_test(tests, no_more_than_are_kept);
    tcase_add_test(tests, what_a_finding_weighs);
    tcase_add_test(tests, the_first_error);
    tcase_add_test(tests, notes_that_nobody_reads);
    return run_case("base", tests);
}
