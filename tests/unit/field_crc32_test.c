/* The reader's CRC in both of its ways: a catalogue's check value, and one beside the other. */
#include "field/rotor_bytes.h"
#include "unit/support.h"

/* The way that the program is not built with, under another name */
#define rotor_crc32 of_a_device
#undef ROTOR_QUICK_CRC32
uint32_t of_a_device(uint32_t crc, const uint8_t *bytes, uint32_t length);
#include "field/rotor_crc32.c"
#undef rotor_crc32

typedef uint32_t crc32(uint32_t crc, const uint8_t *bytes, uint32_t length);

static crc32 *const ways[] = {of_a_device, rotor_crc32};

/* CRC-32/ISO-HDLC, "check": the CRC of nine digits (catalogue of parametrised CRC algorithms) */
START_TEST(the_check_value)
{
    const uint8_t *nine = (const uint8_t *)"123456789";
    ck_assert_uint_eq(ways[_i](0, nine, 9), 0xcbf43926u);
    ck_assert_uint_eq(ways[_i](ways[_i](0, nine, 4), nine + 4, 5), 0xcbf43926u);
    ck_assert_uint_eq(ways[_i](0, nine, 0), 0);
}
END_TEST

START_TEST(one_as_the_other)
{
    uint8_t bytes[300];
    uint32_t state = 1;
    for (size_t i = 0; i < sizeof bytes; i++) {
        state = state * 1664525u + 1013904223u;
        bytes[i] = (uint8_t)(state >> 24);
    }
    for (uint32_t from = 0; from < 8; from++) { /* at any alignment, of any length, carried on */
        for (uint32_t length = 0; length <= sizeof bytes - 8; length++) {
            ck_assert_uint_eq(rotor_crc32(state, bytes + from, length),
                              of_a_device(state, bytes + from, length));
        }
    }
}
END_TEST

int main(void)
{
    TCase *tests = tcase_create("crc32");
    tcase_add_loop_test(tests, the_check_value, 0, 2);
    tcase_add_test(tests, one_as_the_other);
    return run_case("field", tests);
}
