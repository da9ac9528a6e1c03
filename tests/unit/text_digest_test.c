/* SHA-256 against published values, and the digest that line ends do not change. */
#include "unit/check.h"
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

#include "text/digest.h"

static const char *hex(const uint8_t digest[TEXT_DIGEST_SIZE])
{
    static char text[2 * TEXT_DIGEST_SIZE + 1];
    for (size_t i = 0; i < TEXT_DIGEST_SIZE; i++) {
        snprintf(text + 2 * i, 3, "%02x", digest[i]);
    }
    return text;
}

static const char *sha256(const char *bytes, size_t length)
{
    uint8_t digest[TEXT_DIGEST_SIZE];
    text_digest_bytes(bytes, length, digest);
    return hex(digest);
}

static const char *digest_of(const char *text)
{
    static uint8_t digest[TEXT_DIGEST_SIZE];
    text_digest_source(text, strlen(text), digest);
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

START_TEST(a_million_letters)
{
    char *letters = malloc(1000000);
    memset(letters, 'a', 1000000);
    ck_assert_str_eq(sha256(letters, 1000000),
                     "cdc76e5c9914fb9281a1c7e284d73e67f1809a48a497200e046d39ccc7112cd0");
    free(letters);
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

/* The digest of "abc", encoded by hand from the hexadecimal form above. */
START_TEST(base64)
{
    uint8_t digest[TEXT_DIGEST_SIZE];
    char text[TEXT_DIGEST_BASE64_SIZE];
    text_digest_bytes("abc", 3, digest);
    text_digest_base64(digest, text);
    ck_assert_str_eq(text, "ungWv48Bz+pBQUDeXa4iI7ADYaOWF3qctBD/YfIAFa0=");
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("digest");
    TCase *group = tcase_create("digest");
    tcase_add_test(group, published_values);
    tcase_add_test(group, a_million_letters);
    tcase_add_test(group, line_ends_make_no_difference);
    tcase_add_test(group, base64);
    suite_add_tcase(suite, group);
    SRunner *runner = srunner_create(suite);
    srunner_set_fork_status(runner, CK_NOFORK);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
