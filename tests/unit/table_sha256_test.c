/* SHA-256 against published values, and the digest that line ends do not change. */
#include <check.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "table/sha256.h"

/* The steps as the standard writes them, where the program takes a processor's instructions */
#define TABLE_SHA256_PLAIN
#define table_sha256_start plain_start
#define table_sha256_take plain_take
#define table_sha256_end plain_end
#define table_digest plain_digest
void plain_start(struct table_sha256 *hash);
void plain_take(struct table_sha256 *hash, const void *bytes, size_t length);
void plain_end(struct table_sha256 *hash, uint8_t out[TABLE_SHA256_SIZE]);
void plain_digest(const char *bytes, size_t length, uint8_t out[TABLE_SHA256_SIZE]);
#include "table/sha256.c"
#undef table_sha256_start
#undef table_sha256_take
#undef table_sha256_end
#undef table_digest

static const char *hex(const uint8_t digest[TABLE_SHA256_SIZE])
{
    static char text[2 * TABLE_SHA256_SIZE + 1];
    for (size_t i = 0; i < TABLE_SHA256_SIZE; i++) {
        snprintf(text + 2 * i, 3, "%02x", digest[i]);
    }
    return text;
}

static const char *sha256(const char *bytes, size_t length)
{
    static uint8_t digest[TABLE_SHA256_SIZE];
    uint8_t plain[TABLE_SHA256_SIZE];
    struct table_sha256 hash;
    table_sha256_start(&hash);
    table_sha256_take(&hash, bytes, length);
    table_sha256_end(&hash, digest);
    plain_start(&hash);
    plain_take(&hash, bytes, length);
    plain_end(&hash, plain);
    ck_assert_mem_eq(digest, plain, sizeof plain);
    return hex(digest);
}

static const char *digest_of(const char *text)
{
    static uint8_t digest[TABLE_SHA256_SIZE];
    table_digest(text, strlen(text), digest);
    return hex(digest);
}

/* The values of FIPS 180-2, appendix B, and of the empty message. */
START_TEST(published_values)
{
    ck_assert_str_eq(sha256("", 0),
                     "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855");
    ck_assert_str_eq(sha256("abc", 3),
                     "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad");
    ck_assert_str_eq(sha256("abcdbcdecdefdefgefghfghighijhijkijkljklmklmnlmnomnopnopq", 56),
                     "248d6a61d20638b8e5c026930c3e6039a33ce45964ff2167f6ecedd419db06c1");
}
END_TEST

START_TEST(a_million_letters_in_pieces)
{
    char piece[999];
    uint8_t digest[TABLE_SHA256_SIZE];
    struct table_sha256 hash;
    memset(piece, 'a', sizeof piece);
    table_sha256_start(&hash);
    for (size_t left = 1000000; left > 0;) {
        size_t taken = left < sizeof piece ? left : sizeof piece;
        table_sha256_take(&hash, piece, taken);
        left -= taken;
    }
    table_sha256_end(&hash, digest);
    ck_assert_str_eq(hex(digest),
                     "cdc76e5c9914fb9281a1c7e284d73e67f1809a48a497200e046d39ccc7112cd0");
}
END_TEST

/* Every length about the ends of blocks: all at once and byte by byte give the same. */
START_TEST(pieces_make_no_difference)
{
    char text[200];
    for (size_t i = 0; i < sizeof text; i++) {
        text[i] = (char)('!' + i % 90);
    }
    for (size_t length = 0; length <= sizeof text; length++) {
        uint8_t digest[TABLE_SHA256_SIZE];
        char whole[65];
        struct table_sha256 hash;
        strcpy(whole, sha256(text, length));
        table_sha256_start(&hash);
        for (size_t i = 0; i < length; i++) {
            table_sha256_take(&hash, text + i, 1);
        }
        table_sha256_end(&hash, digest);
        ck_assert_str_eq(hex(digest), whole);
    }
}
END_TEST

START_TEST(line_ends_make_no_difference)
{
    char plain[65];
    strcpy(plain, digest_of("a: 1\nb: 2\n\n"));
    ck_assert_str_eq(plain, sha256("a: 1\nb: 2\n\n", 11));
    ck_assert_str_eq(digest_of("a: 1\r\nb: 2\r\n\r\n"), plain);
    ck_assert_str_eq(digest_of("a: 1\r\nb: 2\n\r\n"), plain);
    ck_assert_str_ne(digest_of("a: 1\rb: 2\n\n"), plain);
    ck_assert_str_ne(digest_of("a: 1\r\r\nb: 2\n\n"), plain);
    strcpy(plain, sha256("a\r", 2));
    ck_assert_str_eq(digest_of("a\r"), plain);
    ck_assert_str_eq(digest_of(""), sha256("", 0));
    ck_assert_str_eq(digest_of("\r\n"), sha256("\n", 1));
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("sha256");
    TCase *group = tcase_create("sha256");
    tcase_add_test(group, published_values);
    tcase_add_test(group, a_million_letters_in_pieces);
    tcase_add_test(group, pieces_make_no_difference);
    tcase_add_test(group, line_ends_make_no_difference);
    suite_add_tcase(suite, group);
    SRunner *runner = srunner_create(suite);
    srunner_set_fork_status(runner, CK_NOFORK);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
