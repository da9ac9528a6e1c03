/*
 * text_stream_test.c - streams that lose nothing.
 */
#include "text/stream.h"
#include "unit/ending.h"
#include "unit/support.h"

#include <fcntl.h>

/* Of every size around that of a buffer, the bytes are all there and a NUL comes after them. */
START_TEST(texts)
{
    static const size_t sizes[] = {0, 1, 7, 8, 9, 4095, 4096, 8191, 8192, 8193, 100000};
    for (size_t i = 0; i < sizeof sizes / sizeof *sizes; i++) {
        struct arena arena = {.newest = NULL};
        struct text_stream text;
        FILE *out = text_stream_open(&text, &arena);
        for (size_t k = 0; k < sizes[i]; k++) {
            ck_assert_int_ne(fputc((int)('a' + k % 26), out), EOF);
        }
        text_stream_close(&text, out);
        ck_assert_uint_eq(text.length, sizes[i]);
        ck_assert_int_eq(text.bytes[sizes[i]], '\0');
        for (size_t k = 0; k < sizes[i]; k++) {
            ck_assert_int_eq(text.bytes[k], (int)('a' + k % 26));
        }
        arena_free(&arena);
    }
}
END_TEST

static void write_to_a_full_device(void)
{
    dup2(open("/dev/full", O_WRONLY), STDOUT_FILENO);
    FILE *out = text_stream_standard_output();
    for (int i = 0; i < 100000; i++) {
        fputs("more than any buffer holds\n", out);
    }
    fputs("it went on\n", stderr);
}

static void close_a_full_device(void)
{
    dup2(open("/dev/full", O_WRONLY), STDOUT_FILENO);
    FILE *out = text_stream_standard_output();
    fputs("a little", out);
    fflush(out);
    fputs("it went on\n", stderr);
}

START_TEST(standard_output)
{
    static const char expected[] =
        "rotortab: cannot write to standard output: No space left on device\n";
    assert_ends(write_to_a_full_device, expected);
    assert_ends(close_a_full_device, expected);
}
END_TEST

int main(void)
{
    TCase *tests = tcase_create("stream");
    tcase_add_test(tests, texts);
    tcase_add_test(tests, standard_output);
    return run_case("text", tests);
}
