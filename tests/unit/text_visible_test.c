/*
 * text_visible_test.c - what is shown of each character.
 */
#include "text/visible.h"
#include "unit/support.h"

static const struct {
    const char *text, *shown;
    size_t taken;
} characters[] = {
    {"a", "a", 1},
    {"\xc3\xa4!", "\xc3\xa4", 2},
    {"\xe2\x82\xac", "\xe2\x82\xac", 3},
    {"\t", " ", 1},
    {"\n", " ", 1},
    {"\r", " ", 1},
    {"\xe2\x80\xa8", " ", 3},                    /* line separator */
    {"\xe2\x80\xa9", " ", 3},                    /* paragraph separator */
    {"\x1b[", "\xef\xbf\xbd", 1},                /* escape */
    {"\xc2\x9b", "\xef\xbf\xbd", 2},             /* the same in one character */
    {"\x7f", "\xef\xbf\xbd", 1},                 /* delete */
    {"\xff", "\xef\xbf\xbd", 1},                 /* no UTF-8 */
    {"\xe2\x82", "\xef\xbf\xbd", 1},             /* cut short */
    {"\xe2\x80\x8b", "\xef\xbf\xbd", 3},         /* zero width space */
    {"\xe2\x80\x8c", "\xe2\x80\x8c", 3},         /* zero width non-joiner */
    {"\xe2\x80\x8d", "\xe2\x80\x8d", 3},         /* zero width joiner */
    {"\xe2\x80\x8e", "\xe2\x80\x8e", 3},         /* left-to-right mark */
    {"\xe2\x80\x8f", "\xe2\x80\x8f", 3},         /* right-to-left mark */
    {"\xd8\x9c", "\xd8\x9c", 2},                 /* Arabic letter mark */
    {"\xe2\x80\xaa", "\xef\xbf\xbd", 3},         /* left-to-right embedding */
    {"\xe2\x80\xae", "\xef\xbf\xbd", 3},         /* right-to-left override */
    {"\xe2\x80\xaf", "\xe2\x80\xaf", 3},         /* narrow no-break space */
    {"\xe2\x81\x9f", "\xe2\x81\x9f", 3},         /* medium mathematical space */
    {"\xe2\x81\xa0", "\xef\xbf\xbd", 3},         /* word joiner */
    {"\xe2\x81\xa6", "\xef\xbf\xbd", 3},         /* left-to-right isolate */
    {"\xe2\x81\xa9", "\xef\xbf\xbd", 3},         /* pop directional isolate */
    {"\xe2\x81\xb0", "\xe2\x81\xb0", 3},         /* superscript zero */
    {"\xef\xbb\xbf", "\xef\xbf\xbd", 3},         /* byte order mark */
    {"\xef\xbf\xb9", "\xef\xbf\xbd", 3},         /* annotation anchor */
    {"\xef\xbf\xbe", "\xef\xbf\xbd", 3},         /* no character */
    {"\xef\xb7\x90", "\xef\xbf\xbd", 3},         /* no character */
    {"\xf0\x9f\xbf\xbf", "\xef\xbf\xbd", 4},     /* no character */
    {"\xf3\xa0\x81\x81", "\xef\xbf\xbd", 4},     /* tag letter */
    {"\xf3\xa0\x84\x80", "\xf3\xa0\x84\x80", 4}, /* variation selector */
};

START_TEST(each_is_shown_or_replaced)
{
    const char *text = characters[_i].text;
    struct text_visible first = text_visible_first(text, strlen(text));
    ck_assert_uint_eq(first.taken, characters[_i].taken);
    ck_assert_uint_eq(first.size, strlen(characters[_i].shown));
    ck_assert_mem_eq(first.bytes, characters[_i].shown, first.size);
}
END_TEST

START_TEST(a_nul_is_hidden)
{
    struct text_visible first = text_visible_first("\0a", 2);
    ck_assert_uint_eq(first.taken, 1);
    ck_assert_mem_eq(first.bytes, "\xef\xbf\xbd", 3);
}
END_TEST

int main(void)
{
    TCase *tests = tcase_create("visible");
    tcase_add_loop_test(tests, each_is_shown_or_replaced, 0,
                        sizeof characters / sizeof *characters);
    tcase_add_test(tests, a_nul_is_hidden);
    return run_case("text", tests);
}
