/*
 * text_wrap_test.c - a text in lines: where they end, and where the next ones begin.
 */
#include "text/wrap.h"
#include "unit/support.h"

static void assert_lines(const char *text, size_t at, struct text_wrap wrap, const char *expected)
{
    char buffer[256];
    FILE *out = fmemopen(buffer, sizeof buffer, "w");
    ck_assert_ptr_nonnull(out);
    text_write_wrapped(out, at, wrap, text);
    ck_assert_int_eq(fclose(out), 0);
    ck_assert_str_eq(buffer, expected);
}

START_TEST(lines_end_at_blanks)
{
    const struct text_wrap wrap = {10, 2};
    assert_lines("", 0, wrap, "\n");
    assert_lines("one two", 0, wrap, "one two\n");
    assert_lines("one two and", 0, wrap, "one two\n  and\n");
    assert_lines("one two and", 3, wrap, "one two\n  and\n");
    assert_lines("one two and", 4, wrap, "one\n  two and\n");
}
END_TEST

START_TEST(characters_count_and_not_bytes)
{
    const struct text_wrap wrap = {7, 0};
    assert_lines("\xc3\xa4\xc3\xa4\xc3\xa4 \xc3\xa4\xc3\xa4\xc3\xa4", 0, wrap,
                 "\xc3\xa4\xc3\xa4\xc3\xa4 \xc3\xa4\xc3\xa4\xc3\xa4\n");
}
END_TEST

START_TEST(a_word_longer_than_a_line_is_cut)
{
    const struct text_wrap wrap = {5, 1};
    assert_lines("abcdefghij k", 1, wrap, "abcd\n efgh\n ij k\n");
}
END_TEST

START_TEST(a_no_break_blank_breaks_nothing)
{
    const struct text_wrap wrap = {8, 0};
    assert_lines("one a\xc2\xa0"
                 "1, b\xc2\xa0"
                 "2",
                 0, wrap, "one a 1,\nb 2\n");
    assert_lines("four a\xc2\xa0"
                 "1",
                 0, wrap, "four a 1\n");
    assert_lines("fours a\xc2\xa0"
                 "1",
                 0, wrap, "fours\na 1\n");
}
END_TEST

int main(void)
{
    TCase *tests = tcase_create("wrap");
    tcase_add_test(tests, lines_end_at_blanks);
    tcase_add_test(tests, characters_count_and_not_bytes);
    tcase_add_test(tests, a_word_longer_than_a_line_is_cut);
    tcase_add_test(tests, a_no_break_blank_breaks_nothing);
    return run_case("text", tests);
}
