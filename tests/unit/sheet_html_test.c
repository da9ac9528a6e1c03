/*
 * report_sheet_escape_test.c - texts on a sheet: on one line, and harmless in HTML.
 */
#include "sheet/html.h"
#include "unit/support.h"

static const char *escaped(struct arena *arena, const char *text)
{
    char buffer[256];
    FILE *out = fmemopen(buffer, sizeof buffer, "w");
    ck_assert_ptr_nonnull(out);
    sheet_escape(out, text);
    ck_assert_int_eq(fclose(out), 0);
    return arena_copy(arena, buffer, strlen(buffer));
}

START_TEST(what_is_hidden_is_replaced)
{
    struct arena arena = {.newest = NULL};
    const char *text = "a\xe2\x80\xae"
                       "b\xe2\x80\x8b\xf3\xa0\x81\x81\x1b\xff"
                       "c\xe2\x80\x8d"
                       "d";
    const char *shown = "a\xef\xbf\xbd"
                        "b\xef\xbf\xbd\xef\xbf\xbd\xef\xbf\xbd\xef\xbf\xbd"
                        "c\xe2\x80\x8d"
                        "d";
    ck_assert_str_eq(sheet_clean(&arena, text), shown);
    ck_assert_str_eq(escaped(&arena, text), shown);
    arena_free(&arena);
}
END_TEST

START_TEST(blanks_of_any_kind_are_one)
{
    struct arena arena = {.newest = NULL};
    const char *text = "a \t\r\n\v\f\xc2\x85\xe2\x80\xa8\xe2\x80\xa9"
                       "b\n";
    ck_assert_str_eq(sheet_clean(&arena, text), "a b ");
    ck_assert_str_eq(escaped(&arena, text), "a b ");
    arena_free(&arena);
}
END_TEST

START_TEST(html_is_no_html)
{
    struct arena arena = {.newest = NULL};
    ck_assert_str_eq(escaped(&arena, "<a b=\"c\">'&"), "&lt;a b=&quot;c&quot;&gt;&#39;&amp;");
    arena_free(&arena);
}
END_TEST

int main(void)
{
    TCase *tests = tcase_create("sheet_escape");
    tcase_add_test(tests, what_is_hidden_is_replaced);
    tcase_add_test(tests, blanks_of_any_kind_are_one);
    tcase_add_test(tests, html_is_no_html);
    return run_case("report", tests);
}
