/*
 * report_json_test.c - JSON that has no holes.
 */
#include "report/json.h"
#include "unit/ending.h"
#include "unit/support.h"

static void add_what_is_not_utf8(void)
{
    report_add(json_array(), json_string("\xff"));
}

static void add_first_what_is_not_utf8(void)
{
    report_add_first(json_array(), json_string("\xff"));
}

static void set_what_is_not_utf8(void)
{
    report_set(json_object(), "key", json_string("\xff"));
}

static void write_what_is_not_utf8(void)
{
    report_json(stdout, json_pack("{ss}", "key", "\xff"), JSON_COMPACT);
}

static void dump_what_is_not_utf8(void)
{
    free(report_json_bytes(json_pack("[s]", "\xff"), JSON_COMPACT));
}

START_TEST(json)
{
    static void (*const functions[])(void) = {add_what_is_not_utf8, add_first_what_is_not_utf8,
                                              set_what_is_not_utf8, write_what_is_not_utf8,
                                              dump_what_is_not_utf8};
    for (size_t i = 0; i < sizeof functions / sizeof *functions; i++) {
        assert_ends(functions[i], "rotortab: cannot write JSON: a text in it is not UTF-8\n");
    }
    json_t *array = json_array();
    report_add(array, json_integer(2));
    report_add_first(array, json_integer(1));
    char *bytes = report_json_bytes(array, JSON_COMPACT);
    ck_assert_str_eq(bytes, "[1,2]");
    free(bytes);
}
END_TEST

int main(void)
{
    TCase *tests = tcase_create("json");
    tcase_add_test(tests, json);
    return run_case("report", tests);
}
