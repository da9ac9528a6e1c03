/*
 * rules_rows_test.c - the rule table against itself and against the design.
 */
#include "rules/functions.h"
#include "unit/support.h"

#define FOR_EACH_RULE(rule)                                                                        \
    for (enum rule_id rule = RULE_NONE + 1; rule < RULE_COUNT; rule = (enum rule_id)(rule + 1))

/* Section 5 of the design, and two rules more (hand-and-pad, hidden-character), family by family: e
 * error, w warning, n note by default. */
static const struct {
    const char *family;
    const char *rules; /* "WEIGHT:ID " each */
} design[FAMILY_COUNT] = {
    {"text",
     "e:yaml-syntax e:not-utf8 e:alias-refused e:tag-refused e:duplicate-key e:unknown-key "
     "e:missing-key e:wrong-shape e:bad-number e:missing-unit e:wrong-unit e:number-too-large "
     "e:out-of-range e:too-deep e:too-large e:many-documents e:unknown-kind e:unknown-version "
     "e:hidden-character "},
    {"identity", "e:id-malformed e:id-taken e:id-not-file-name e:reference-unknown "
                 "e:spool-unreached e:pad-missing e:stage-missing e:hand-and-pad "},
    {"gears", "w:teeth-few w:teeth-many w:ring-sum w:planets-spacing e:epicyclic-members "
              "w:internal-clearance "},
    {"ratio", "e:ratio-disagrees e:ratio-swapped e:ratio-coarse w:ratio-unusual "
              "e:witness-disagrees n:witness-missing "},
    {"direction", "e:sense-disagrees e:sense-unproven e:backs-off-axis e:one-way-against "
                  "e:witness-sense "},
    {"stops", "n:step-not-whole e:stop-off-blade w:counts-few e:counter-short "
              "n:schedule-approximated w:blade-count-unusual e:clocking-range "},
    {"lash", "w:lash-missing e:lash-large n:lash-below-count "},
    {"torque", "e:torque-missing e:torque-below-device w:torque-above-square n:torque-capped "},
    {"speed", "e:speed-below-device n:speed-above-device "},
    {"device", "w:square-differs e:text-too-long e:text-not-shown e:table-too-large e:too-many "},
    {"provenance", "e:source-missing w:draft-compiled e:withdrawn-compiled e:revision-kept "
                   "e:waiver-expired e:waiver-unused e:waiver-refused "},
};

START_TEST(rows_are_the_designs)
{
    static const char weights[] = "?nwe";
    size_t found = 0;
    for (int family = 0; family < FAMILY_COUNT; family++) {
        ck_assert_str_eq(rule_family_name((enum rule_family)family), design[family].family);
        for (const char *at = design[family].rules; *at; at += strcspn(at, " ") + 1) {
            size_t length = strcspn(at, " ") - 2;
            enum rule_id rule = rule_find(at + 2, length);
            ck_assert_msg(rule != RULE_NONE, "there is no rule %.*s", (int)length, at + 2);
            ck_assert_int_eq(rule_row(rule)->family, family);
            ck_assert_msg(weights[rule_row(rule)->severity] == at[0], "%s is by default %s",
                          rule_row(rule)->id, severity_name(rule_row(rule)->severity));
            found++;
        }
    }
    ck_assert_uint_eq(found, RULE_COUNT - 1);
}
END_TEST

/* What a definition may waive is what leaves a table that can be made, and guards nobody. */
START_TEST(waivable_rules)
{
    FOR_EACH_RULE(rule)
    {
        const struct rule_row *row = rule_row(rule);
        bool no_table =
            rule == RULE_TEXT_TOO_LONG || rule == RULE_TEXT_NOT_SHOWN || rule == RULE_TOO_MANY;
        ck_assert_msg(rule_is_waivable(rule) == (!rule_is_locked(rule) && !no_table), "%s",
                      row->id);
        ck_assert(row->scope != SCOPE_ELSEWHERE || rule_is_locked(rule));
    }
}
END_TEST

/* What is not found while reading has a function, and nothing else has one. */
START_TEST(rows_and_functions)
{
    FOR_EACH_RULE(rule)
    {
        bool reading = rule_row(rule)->scope == SCOPE_ELSEWHERE;
        ck_assert_msg((rules_function_of(rule) == NULL) == reading, "%s", rule_row(rule)->id);
        for (enum rule_id other = RULE_NONE + 1; other < rule; other = (enum rule_id)(other + 1)) {
            ck_assert(!rules_function_of(rule) ||
                      rules_function_of(rule) != rules_function_of(other));
        }
    }
    ck_assert(rules_function_of(RULE_NONE) == NULL);
}
END_TEST

/* What has to have passed stands above, runs wherever the rule runs, and is asked of the same
 * subject or of what holds it: the definition, or a pad for its pairs and its witnesses. */
START_TEST(needs_point_upwards)
{
    FOR_EACH_RULE(rule)
    {
        const struct rule_row *row = rule_row(rule);
        for (size_t i = 0; i < RULE_NEEDS && row->needs[i] != RULE_NONE; i++) {
            const struct rule_row *need = rule_row(row->needs[i]);
            ck_assert_msg(row->needs[i] < rule, "%s needs %s, which stands below", row->id,
                          need->id);
            bool below_a_pad = row->scope == SCOPE_PAIR || row->scope == SCOPE_WITNESS;
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
        assert_sentence(row->mend, true, row->id);
        ck_assert_int_gt(row->severity, SEVERITY_OFF);
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
    ck_assert_int_eq(rule_find("lash-large and more", 10), RULE_LASH_LARGE);
    ck_assert_int_eq(rule_find("Lash-large", 10), RULE_NONE);
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
    tcase_add_test(tests, rows_are_the_designs);
    tcase_add_test(tests, waivable_rules);
    tcase_add_test(tests, rows_and_functions);
    tcase_add_test(tests, needs_point_upwards);
    tcase_add_test(tests, needs_end_once);
    tcase_add_test(tests, rows_say_everything);
    tcase_add_test(tests, rules_are_found_by_their_names);
    tcase_add_test(tests, severities_have_names);
    return run_case("rules", tests);
}
