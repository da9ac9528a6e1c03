/*
 * text_utf8_test.c - decoding, against Unicode's table of well-formed byte sequences; and what is
 * shown of each character.
 */
#include "text/utf8.h"
#include "unit/support.h"

/* Unicode 15, table 3-7: the ranges of the first and the second byte; all further ones are 80..BF.
 */
static const struct {
    uint8_t first_least, first_most, second_least, second_most;
    size_t size;
} table_3_7[] = {
    {0x00, 0x7f, 0x00, 0x00, 1}, {0xc2, 0xdf, 0x80, 0xbf, 2}, {0xe0, 0xe0, 0xa0, 0xbf, 3},
    {0xe1, 0xec, 0x80, 0xbf, 3}, {0xed, 0xed, 0x80, 0x9f, 3}, {0xee, 0xef, 0x80, 0xbf, 3},
    {0xf0, 0xf0, 0x90, 0xbf, 4}, {0xf1, 0xf3, 0x80, 0xbf, 4}, {0xf4, 0xf4, 0x80, 0x8f, 4}};

/* The size of the character that stands at the bytes, by the table; 0 for none. */
static size_t size_by_table(const uint8_t *bytes, size_t length)
{
    for (size_t i = 0; i < sizeof table_3_7 / sizeof *table_3_7; i++) {
        if (bytes[0] < table_3_7[i].first_least || bytes[0] > table_3_7[i].first_most) {
            continue;
        }
        if (length < table_3_7[i].size) {
            return 0;
        }
        if (table_3_7[i].size > 1 &&
            (bytes[1] < table_3_7[i].second_least || bytes[1] > table_3_7[i].second_most)) {
            return 0;
        }
        for (size_t j = 2; j < table_3_7[i].size; j++) {
            if (bytes[j] < 0x80 || bytes[j] > 0xbf) {
                return 0;
            }
        }
        return table_3_7[i].size;
    }
    return 0;
}

/* Counts, so that a million comparisons need no million checks. */
static size_t wrong(const uint8_t *bytes, size_t length)
{
    uint32_t code = 0x55aa55;
    size_t size = text_utf8_decode((const char *)bytes, length, &code);
    if (size != size_by_table(bytes, length)) {
        return 1;
    }
    return size == 0 ? code != 0x55aa55 : code > 0x10ffff;
}

START_TEST(three_bytes_exhaustively)
{
    const uint32_t step = (uint32_t)share_step(0x1000000, 0x10000);
    size_t different = 0;
    for (uint32_t i = 0; i < 0x1000000; i += step) {
        const uint8_t bytes[] = {(uint8_t)(i >> 16), (uint8_t)(i >> 8), (uint8_t)i};
        different += wrong(bytes, 3);
    }
    ck_assert_uint_eq(different, 0);
}
END_TEST

START_TEST(four_bytes_at_the_edges)
{
    static const uint8_t edges[] = {0x00, 0x7f, 0x80, 0x8f, 0x90, 0x9f, 0xa0, 0xbf, 0xc0, 0xff};
    const uint32_t ends = sizeof edges * sizeof edges;
    const uint32_t step = (uint32_t)share_step(0x10000 * (long)ends, 0x10000);
    size_t different = 0;
    for (uint32_t i = 0; i < 0x10000 * ends; i += step) {
        const uint8_t bytes[] = {(uint8_t)(i / ends >> 8), (uint8_t)(i / ends),
                                 edges[i % ends / sizeof edges], edges[i % sizeof edges]};
        different += wrong(bytes, 4);
    }
    ck_assert_uint_eq(different, 0);
}
END_TEST

/* Every code point that is a character, written and read back. */
START_TEST(every_character_comes_back)
{
    size_t different = 0;
    for (uint32_t code = 0; code <= 0x10ffff; code++) {
        uint8_t bytes[4];
        uint32_t read = 0;
        size_t size = code < 0x80 ? 1 : code < 0x800 ? 2 : code < 0x10000 ? 3 : 4;
        static const uint8_t lead[] = {0, 0, 0xc0, 0xe0, 0xf0};
        for (size_t i = size - 1; i > 0; i--) {
            bytes[i] = (uint8_t)(0x80 | ((code >> (6 * (size - 1 - i))) & 0x3f));
        }
        bytes[0] = (uint8_t)(lead[size] | code >> (6 * (size - 1)));
        bool surrogate = code >= 0xd800 && code <= 0xdfff;
        size_t got = text_utf8_decode((const char *)bytes, size, &read);
        different += surrogate ? got != 0 : got != size || read != code;
    }
    ck_assert_uint_eq(different, 0);
}
END_TEST

/* What is cut off is no character; the buffer ends with the text, so a sanitizer sees more. */
START_TEST(cut_off)
{
    static const char *const characters[] = {"\xc3\xa9", "\xe2\x82\xac", "\xf0\x9f\x94\xa7"};
    for (size_t i = 0; i < 3; i++) {
        size_t whole = strlen(characters[i]);
        for (size_t length = 1; length <= whole; length++) {
            uint32_t code;
            char *text = malloc(length);
            ck_assert_ptr_nonnull(text);
            memcpy(text, characters[i], length);
            ck_assert_uint_eq(text_utf8_decode(text, length, &code), length == whole ? whole : 0);
            free(text);
            bool cut = length < whole; /* though the rest stands behind it */
            ck_assert_uint_eq(text_utf8_decode(characters[i], length, &code), cut ? 0 : whole);
        }
    }
}
END_TEST

START_TEST(counting)
{
    static const char text[] = "a\xc3\xa9\xe2\x82\xac\xf0\x9f\x94\xa7z";
    static const size_t bytes[] = {0, 1, 3, 6, 10, 11};
    ck_assert_uint_eq(text_utf8_count(text, strlen(text)), 5);
    ck_assert_uint_eq(text_utf8_count(text, 0), 0);
    for (size_t i = 0; i <= 5; i++) {
        ck_assert_uint_eq(text_utf8_bytes(text, strlen(text), i), bytes[i]);
        ck_assert_uint_eq(text_utf8_count(text, bytes[i]), i);
    }
    ck_assert_uint_eq(text_utf8_bytes(text, strlen(text), 6), 11);
    ck_assert_uint_eq(text_utf8_bytes(text, 0, 3), 0);
}
END_TEST

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
    TCase *tests = tcase_create("utf8");
    tcase_add_test(tests, three_bytes_exhaustively);
    tcase_add_test(tests, four_bytes_at_the_edges);
    tcase_add_test(tests, every_character_comes_back);
    tcase_add_test(tests, cut_off);
    tcase_add_test(tests, counting);
    tcase_add_loop_test(tests, each_is_shown_or_replaced, 0,
                        sizeof characters / sizeof *characters);
    tcase_add_test(tests, a_nul_is_hidden);
    tcase_set_timeout(tests, 60);
    return run_case("text", tests);
}
