/* A text as one value of a line of CSV: a program reads back what was written. */
#include "report/csv.h"

#include "unit/check.h"
#include <stdlib.h>
#include <string.h>

static const struct {
    const char *text, *written;
} rows[] = {
    {"", ""},
    {"long root", "\"long root\""},
    {"long, notched", "\"long, notched\""},
    {"marked \"17\"", "\"marked \"\"17\"\"\""},
    {"\"", "\"\"\"\""},
    {"caf\xc3\xa9", "\"caf\xc3\xa9\""},
    {"a\nb", "\"a b\""},
    /* A spreadsheet calculates what begins so. */
    {"=1+1", "\"'=1+1\""},
    {"+1", "\"'+1\""},
    {"-1", "\"'-1\""},
    {"@a", "\"'@a\""},
    {" =a,b", "\"' =a,b\""},
    {"\xef\xbc\x9d"
     "1",
     "\"'\xef\xbc\x9d"
     "1\""},
    {"a=b", "\"a=b\""},
};

START_TEST(a_text_is_one_value)
{
    char *bytes = NULL;
    size_t length = 0;
    FILE *out = open_memstream(&bytes, &length);
    ck_assert_ptr_nonnull(out);
    report_csv_text(out, rows[_i].text);
    ck_assert_int_eq(fclose(out), 0);
    ck_assert_str_eq(bytes, rows[_i].written);
    free(bytes);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("csv");
    TCase *tests = tcase_create("csv");
    tcase_add_loop_test(tests, a_text_is_one_value, 0, (int)(sizeof rows / sizeof *rows));
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
