/* The writer's CRC against the check value of its catalogue entry, and beside the reader's own. */
#include "field/rotor_bytes.h"
#include "table/crc32.h"
#include "unit/support.h"

/* CRC-32/ISO-HDLC, "check": the CRC of nine digits (catalogue of parametrised CRC algorithms) */
START_TEST(the_check_value)
{
    ck_assert_uint_eq(table_crc32((const uint8_t *)"123456789", 9), 0xcbf43926u);
    ck_assert_uint_eq(table_crc32((const uint8_t *)"", 0), 0);
}
END_TEST

START_TEST(as_the_reader_reads_it)
{
    uint8_t bytes[300];
    uint32_t state = 1;
    for (size_t i = 0; i < sizeof bytes; i++) {
        state = state * 1664525u + 1013904223u;
        bytes[i] = (uint8_t)(state >> 24);
    }
    for (uint32_t from = 0; from < 8; from++) { /* at any alignment, of any length */
        for (uint32_t length = 0; length <= sizeof bytes - 8; length++) {
            ck_assert_uint_eq(table_crc32(bytes + from, length),
                              rotor_crc32(0, bytes + from, length));
        }
    }
}
END_TEST

int main(void)
{
    TCase *tests = tcase_create("crc32");
    tcase_add_test(tests, the_check_value);
    tcase_add_test(tests, as_the_reader_reads_it);
    return run_case("table", tests);
}
