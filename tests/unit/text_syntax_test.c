/*
 * text_syntax_test.c - what is said of a text that is not YAML, and where.
 */
#include "text/tree.h"
#include "unit/support.h"

struct fault {
    const char *text;
    uint32_t line, column;
    const char *message;
    const char *remedy; /* a part of it */
};

static void assert_faults(const struct fault *faults, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        struct support s;
        support_start(&s);
        const struct text_file file = {
            .path = "x", .bytes = faults[i].text, .length = strlen(faults[i].text)};
        ck_assert_ptr_null(text_tree_read(&file, &s.arena, &s.findings));
        const struct finding *finding = assert_only(&s, RULE_YAML_SYNTAX);
        ck_assert_str_eq(finding->message, faults[i].message);
        ck_assert_uint_eq(finding->at.line, faults[i].line);
        ck_assert_uint_eq(finding->at.column, faults[i].column);
        ck_assert_ptr_nonnull(finding->remedy);
        ck_assert_msg(strstr(finding->remedy, faults[i].remedy), "%s", finding->remedy);
        support_end(&s);
    }
}

#define ASSERT_FAULTS(faults) assert_faults(faults, sizeof(faults) / sizeof *(faults))

START_TEST(tabs)
{
    static const struct fault faults[] = {
        {"a:\n  -\tb: 1\n", 2, 4, "there is a tab after the dash", "after the dash"},
        {"a:\n-\t b: 1\n", 2, 2, "there is a tab after the dash", "after the dash"},
        {"a:\n\t- b\n", 2, 1, "this line is indented with a tab", "Replace the tab"},
        {"a: b\n\tc: d\n", 2, 1, "this line is indented with a tab", "Replace the tab"},
        {"a:\n  b: c\n  \td: e\n", 3, 3, "this line is indented with a tab", "Replace the tab"},
    };
    ASSERT_FAULTS(faults);
}
END_TEST

START_TEST(colons_and_indents)
{
    static const char indented[] = "this line is not indented like the lines before it";
    static const char no_colon[] = "this line has no colon with a blank after its key";
    const struct fault faults[] = {
        {"a: b\nc d\ne: f\n", 2, 1, no_colon, "a colon, a blank"},
        {"a: b\nc:d\n", 2, 1, no_colon, "a colon, a blank"},
        {"a: b\nc = d\n", 2, 1, no_colon, "a colon, a blank"},
        {"a: b: c\n", 1, 5, "this line has a second colon", "in quotes"},
        {"a:\n  - b\n      c: d\n", 3, 8, indented, "Indent it"},
        {"a: b\n  c: d\n", 2, 4, indented, "Indent it"},
        {"a:\n    b: c\n  d: e\n", 3, 3, indented, "Indent it"},
        {"a:\n  - b\n - c\n", 3, 2, indented, "Indent it"},
        {"a:\n  - b: 1\n   - c: 2\n", 3, 4, "this line is not indented like the items before it",
         "all items"},
        {"a:\n  - b: 1\n   c: 2\n", 3, 4, indented, "Indent it"},
        {"a: b\n: c\n", 2, 1, "this line has no key before its colon", "Write the key"},
        {"a: b\n- c\n", 2, 1, "an item of a list does not belong here", "the key of the list"},
        {"a: - b\n", 1, 4, "a list with dashes cannot begin in the line of its key", "next line"},
    };
    ASSERT_FAULTS(faults);
}
END_TEST

START_TEST(brackets_and_quotes)
{
    static const char before[] = "a value cannot begin with this character";
    const struct fault faults[] = {
        {"a: {b: 1\nc: 2\n", 2, 2, "a comma or } is missing before this", "comma or the bracket"},
        {"a: [1, 2}\n", 1, 9, "a comma or ] is missing before this", "comma or the bracket"},
        {"a: {b: 1}}\n", 1, 10, "no bracket is open that this one could close", "Delete it"},
        {"a: [1]]\n", 1, 7, "no bracket is open that this one could close", "Delete it"},
        {"a: [- b]\n", 1, 5, "a value is missing here", "Write the value"},
        {"a: \"b\nc: d\n", 1, 4, "this quote is not closed", "closing quote"},
        {"a: 'b\nc: d\n", 1, 4, "this quote is not closed", "closing quote"},
        {"a: \"b\" c\n", 1, 8, "there is text after the closing quote", "above"},
        {"a: [b] c\n", 1, 8, "this does not belong to the value before it", "in quotes"},
        {"a: @b\n", 1, 4, before, "in quotes"},
        {"a: `b`\n", 1, 4, before, "in quotes"},
        {"a: *b* c\n", 1, 4, before, "in quotes"},
        {"a: | b\n", 1, 6, "a text after | or > begins on the next line", "next line"},
        {"a: \"b\\dc\"\n", 1, 6, "this letter after a backslash has no meaning in double quotes",
         "single quotes"},
        {"a: \"\\ud83d\"\n", 1, 7, "this escape is not a character, or is half of a pair",
         "the character itself"},
        {"a: \"\\u12\"\n", 1, 7, "this escape has too few digits", "the character itself"},
        {"a: b\n%c: d\n", 2, 1, "a line cannot begin with this character", "in quotes"},
    };
    ASSERT_FAULTS(faults);
}
END_TEST

/* A fault that has no words here keeps those of the parser. */
START_TEST(other_faults)
{
    struct support s;
    support_start(&s);
    const char *text = "%YAML 1.1\n%YAML 1.1\n--- a\n";
    const struct text_file file = {.path = "x", .bytes = text, .length = strlen(text)};
    ck_assert_ptr_null(text_tree_read(&file, &s.arena, &s.findings));
    ck_assert_str_eq(assert_only(&s, RULE_YAML_SYNTAX)->message, "found duplicate %YAML directive");
    support_end(&s);
}
END_TEST

int main(void)
{
    TCase *tests = tcase_create("syntax");
    tcase_add_test(tests, tabs);
    tcase_add_test(tests, colons_and_indents);
    tcase_add_test(tests, brackets_and_quotes);
    tcase_add_test(tests, other_faults);
    return run_case("text_syntax", tests);
}
