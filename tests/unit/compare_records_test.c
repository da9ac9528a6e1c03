/* Every byte of a table's records belongs to one row, so that none can differ unseen. */
#include "compare/records.h"

#include "unit/check.h"
#include <stdlib.h>
#include <string.h>

/* Marks the bytes of a row as taken; each may be taken once. */
static void take(unsigned char *taken, size_t size, unsigned offset, unsigned bytes)
{
    for (unsigned i = offset; i < offset + bytes; i++) {
        ck_assert_uint_lt(i, size);
        ck_assert_msg(taken[i] == 0, "byte %u has two rows", i);
        taken[i] = 1;
    }
}

START_TEST(every_byte_has_its_row)
{
    for (size_t i = 0; i < COMPARE_RECORDS; i++) {
        const struct compare_record *record = compare_records[i];
        unsigned char taken[128] = {0};
        ck_assert_uint_le(record->size, sizeof taken);
        for (const struct compare_row *row = record->rows; row->label; row++) {
            take(taken, record->size, row->offset, compare_row_bytes(row));
            if (compare_row_second_bytes(row) != 0) {
                take(taken, record->size, row->second, compare_row_second_bytes(row));
            }
        }
        for (unsigned at = 0; at < record->size; at++) {
            ck_assert_msg(taken[at] == 1, "byte %u of kind %u has no row", at, record->kind);
        }
    }
}
END_TEST

START_TEST(every_kind_has_its_record)
{
    for (uint32_t kind = ROTOR_KIND_DEVICE; kind <= ROTOR_KIND_LAST_KNOWN; kind++) {
        size_t found = kind == ROTOR_KIND_TEXTS ? 1 : 0;
        for (size_t i = 0; i < COMPARE_RECORDS; i++) {
            found += compare_records[i]->kind == kind;
        }
        ck_assert_uint_eq(found, 1);
    }
}
END_TEST

START_TEST(a_part_begins_with_its_id)
{
    for (size_t i = 0; i < COMPARE_RECORDS; i++) {
        for (const struct compare_row *row = compare_records[i]->rows; row->label; row++) {
            if (row->type == COMPARE_ROW_PARTS || row->type == COMPARE_ROW_OWNED) {
                enum compare_row_type first = row->record->rows[0].type;
                ck_assert(first == COMPARE_ROW_TEXT || first == COMPARE_ROW_STAGE ||
                          first == COMPARE_ROW_U16);
                ck_assert(row->word && row->joint);
            }
        }
    }
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("records");
    TCase *tests = tcase_create("records");
    tcase_add_test(tests, every_byte_has_its_row);
    tcase_add_test(tests, every_kind_has_its_record);
    tcase_add_test(tests, a_part_begins_with_its_id);
    suite_add_tcase(suite, tests);
    SRunner *runner = srunner_create(suite);
    srunner_run_all(runner, CK_ENV);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}
