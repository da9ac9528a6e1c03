/*
 * text_utf8_test.c - decoding, against Unicode's table of well-formed byte sequences.
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
    size_t different = 0;
    for (uint32_t i = 0; i < 0x1000000; i++) {
        const uint8_t bytes[] = {(uint8_t)(i >> 16), (uint8_t)(i >> 8), (uint8_t)i};
        different += wrong(bytes, 3);
    }
    ck_assert_uint_eq(different, 0);
}
END_TEST

START_TEST(four_bytes_at_the_edges)
{
    static const uint8_t edges[] = {0x00, 0x7f, 0x80, 0x8f, 0x90, 0x9f, 0xa0, 0xbf, 0xc0, 0xff};
    size_t different = 0;
    for (uint32_t i = 0; i < 0x10000; i++) {
        for (size_t j = 0; j < sizeof edges * sizeof edges; j++) {
            const uint8_t bytes[] = {(uint8_t)(i >> 8), (uint8_t)i, edges[j / sizeof edges],
                                     edges[j % sizeof edges]};
            different += wrong(bytes, 4);
        }
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

int main(void)
{
    TCase *tests = tcase_create("utf8");
    tcase_add_test(tests, three_bytes_exhaustively);
    tcase_add_test(tests, four_bytes_at_the_edges);
    tcase_add_test(tests, every_character_comes_back);
    tcase_add_test(tests, cut_off);
    tcase_add_test(tests, counting);
    tcase_set_timeout(tests, 60);
    return run_case("text", tests);
}
