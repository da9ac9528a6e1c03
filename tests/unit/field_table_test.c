/* Opening a table: every refusal by its own code, every damage refused, and what newer writers
 * append passed over. */
#include "unit/check.h"

#include "field/rotor_bytes.h"
#include "unit/field_open.h"

/* The same with a field of the header, or of the directory at its own offset */
static enum rotor_status open_header(uint32_t offset, unsigned size, uint64_t value)
{
    struct fixture f;
    fixture_build(&f, &plain);
    fixture_store(f.bytes + offset, size, value);
    fixture_seal(&f);
    return open_fixture(&f);
}

static enum rotor_status open_entry(uint32_t entry, uint32_t offset, unsigned size, uint64_t value)
{
    return open_header(ROTOR_HEADER_SIZE + entry * ROTOR_ENTRY_SIZE + offset, size, value);
}

START_TEST(fixtures_have_the_catalogues_crc)
{
    /* CRC catalogue, CRC-32/ISO-HDLC: check value of "123456789" */
    const uint8_t nine[] = "123456789";
    ck_assert_uint_eq(fixture_crc(nine, 9), 0xcbf43926);
}
END_TEST

START_TEST(plain_and_signed_tables_open)
{
    struct fixture f;
    struct rotor_table table;
    uint32_t length;
    const uint8_t *signature;

    fixture_build(&f, &plain);
    ck_assert_int_eq(open_fixture(&f), ROTOR_OK);
    ck_assert_int_eq(rotor_table_open(&table, f.bytes, f.length), ROTOR_OK);
    ck_assert(!rotor_signature(&table, &length, &signature));
    ck_assert_uint_eq(length, 0);
    ck_assert_ptr_nonnull(signature);

    fixture_build(&f, &(struct fixture_shape){.signature = true});
    ck_assert_int_eq(open_fixture(&f), ROTOR_OK);
    ck_assert_int_eq(rotor_table_open(&table, f.bytes, f.length), ROTOR_OK);
    ck_assert(rotor_signature(&table, &length, &signature));
    ck_assert_uint_eq(length, f.length - 4 - 64);
    ck_assert_uint_eq(signature[0], 0x5a);
    ck_assert_ptr_eq(signature, f.bytes + length);

    /* Other signature bytes leave the signed range, its CRC included, as it was. */
    uint32_t before = (uint32_t)fixture_load(f.bytes + ROTOR_HEADER_CRC, 4);
    fixture_put(&f, ROTOR_KIND_SIGNATURE, 0, 5, 4, 0x12345678);
    fixture_seal(&f);
    ck_assert_uint_eq((uint32_t)fixture_load(f.bytes + ROTOR_HEADER_CRC, 4), before);
    ck_assert_int_eq(open_fixture(&f), ROTOR_OK);

    /* A table opened again, or refused, forgets the signature it had. */
    f.bytes[f.length - 1] ^= 1;
    ck_assert_int_eq(rotor_table_open(&table, f.bytes, f.length), ROTOR_BODY_CRC_WRONG);
    ck_assert(!rotor_signature(&table, &length, &signature));
    f.bytes[f.length - 1] ^= 1;
    fixture_put(&f, ROTOR_KIND_SIGNATURE, 0, 0, 1, 0);
    fixture_put(&f, ROTOR_KIND_PADS, 0, ROTOR_PAD_TORQUE, 4, 0);
    fixture_seal(&f);
    ck_assert_int_eq(rotor_table_open(&table, f.bytes, f.length), ROTOR_BAD_LIMIT);
    ck_assert(!rotor_signature(&table, &length, &signature));
    memset(&table, 0xff, sizeof table);
    fixture_build(&f, &plain);
    ck_assert_int_eq(rotor_table_open(&table, f.bytes, f.length), ROTOR_OK);
    ck_assert(!rotor_signature(&table, &length, &signature));
}
END_TEST

START_TEST(every_bit_flip_is_refused)
{
    struct fixture f;
    fixture_build(&f, &(struct fixture_shape){.signature = true});
    for (uint32_t bit = 0; bit < f.length * 8; bit++) {
        struct rotor_table table;
        f.bytes[bit / 8] ^= (uint8_t)(1u << bit % 8);
        ck_assert_int_ne(rotor_table_open(&table, f.bytes, f.length), ROTOR_OK);
        ck_assert_uint_eq(rotor_count(&table, ROTOR_KIND_ENGINES), 0);
        f.bytes[bit / 8] ^= (uint8_t)(1u << bit % 8);
    }
    ck_assert_int_eq(open_fixture(&f), ROTOR_OK);
}
END_TEST

START_TEST(every_truncation_and_appendage_is_refused)
{
    struct fixture f;
    fixture_build(&f, &plain);
    ck_assert_int_eq(open_bytes(f.bytes, 0), ROTOR_NOT_A_TABLE);
    for (uint32_t length = 1; length < f.length; length++) {
        ck_assert_int_eq(open_bytes(f.bytes, length), ROTOR_TRUNCATED);
    }
    for (uint32_t more = 1; more < 9; more++) {
        ck_assert_int_eq(open_bytes(f.bytes, f.length + more), ROTOR_APPENDED);
    }
    struct rotor_table table;
    ck_assert_int_eq(rotor_table_open(&table, NULL, 0), ROTOR_NOT_A_TABLE);
}
END_TEST

START_TEST(damage_on_the_way_is_told_apart)
{
    struct fixture f;
    uint8_t other[FIXTURE_MOST * 2];
    uint32_t length = 0;

    fixture_build(&f, &plain);
    for (uint32_t i = 0; i < f.length; i++) { /* LF becomes CR LF */
        if (f.bytes[i] == '\n') {
            other[length++] = '\r';
        }
        other[length++] = f.bytes[i];
    }
    ck_assert_int_eq(open_bytes(other, length), ROTOR_TEXT_MODE);

    length = 0;
    for (uint32_t i = 0; i < f.length; i++) { /* CR LF becomes LF */
        if (f.bytes[i] != '\r' || f.bytes[i + 1] != '\n') {
            other[length++] = f.bytes[i];
        }
    }
    ck_assert_int_eq(open_bytes(other, length), ROTOR_TEXT_MODE);

    for (uint32_t i = 0; i < f.length; i++) {
        other[i] = f.bytes[i] & 0x7f;
    }
    ck_assert_int_eq(open_bytes(other, f.length), ROTOR_SEVEN_BIT);
    ck_assert_int_eq(open_bytes(other, 4), ROTOR_SEVEN_BIT);
    ck_assert_int_eq(open_bytes(other, 3), ROTOR_NOT_A_TABLE);
    ck_assert_int_eq(open_bytes((const uint8_t *)"engine-definition: 1", 20), ROTOR_NOT_A_TABLE);
    /* Cut at the end-of-file mark */
    ck_assert_int_eq(open_bytes(f.bytes, 6), ROTOR_TRUNCATED);
}
END_TEST

START_TEST(crcs_each_guard_their_part)
{
    struct fixture f;
    fixture_build(&f, &plain);
    f.bytes[ROTOR_HEADER_SIZE + 5] ^= 1;
    ck_assert_int_eq(open_fixture(&f), ROTOR_HEADER_CRC_WRONG);
    fixture_build(&f, &plain);
    f.bytes[ROTOR_HEADER_CRC] ^= 1;
    ck_assert_int_eq(open_fixture(&f), ROTOR_HEADER_CRC_WRONG);
    fixture_build(&f, &plain);
    f.bytes[f.length - 5] ^= 1;
    ck_assert_int_eq(open_fixture(&f), ROTOR_BODY_CRC_WRONG);
    fixture_build(&f, &plain);
    f.bytes[f.length - 1] ^= 1;
    ck_assert_int_eq(open_fixture(&f), ROTOR_BODY_CRC_WRONG);
    /* The first byte after the directory is the body's. */
    fixture_build(&f, &plain);
    f.bytes[f.offset[0]] ^= 1;
    ck_assert_int_eq(open_fixture(&f), ROTOR_BODY_CRC_WRONG);
}
END_TEST

START_TEST(newer_writers_are_read_where_they_allow_it)
{
    struct fixture f;
    struct rotor_table table;
    struct rotor_link link;
    const struct fixture_shape newer = {.version = 9,
                                        .header_more = 7,
                                        .entry_more = 3,
                                        .record_more = 5,
                                        .unknown_section = true,
                                        .signature = true};

    fixture_build(&f, &newer);
    ck_assert_int_eq(open_fixture(&f), ROTOR_OK);
    ck_assert_int_eq(rotor_table_open(&table, f.bytes, f.length), ROTOR_OK);
    ck_assert_uint_eq(rotor_find_engine(&table, "tern-5"), 1);
    ck_assert(rotor_get_link(&table, 3, &link));
    ck_assert_uint_eq(link.q, 3508);

    fixture_build(&f, &(struct fixture_shape){.version = 9, .oldest = 2});
    ck_assert_int_eq(open_fixture(&f), ROTOR_TOO_NEW);
    /* Too new comes before whatever else such a table may do its own way, */
    fixture_build(&f, &(struct fixture_shape){.version = 2, .oldest = 2});
    fixture_store(f.bytes + ROTOR_HEADER_RESERVED_22, 2, 1);
    f.bytes[f.length - 5] ^= 1;
    fixture_store(f.bytes + ROTOR_HEADER_CRC, 4, 0);
    fixture_store(f.bytes + ROTOR_HEADER_CRC, 4, fixture_crc(f.bytes, f.offset[0]));
    ck_assert_int_eq(open_fixture(&f), ROTOR_TOO_NEW);
    /* and damage comes before too new. */
    fixture_build(&f, &(struct fixture_shape){.version = 2, .oldest = 2});
    f.bytes[ROTOR_HEADER_CRC] ^= 1;
    ck_assert_int_eq(open_fixture(&f), ROTOR_HEADER_CRC_WRONG);
}
END_TEST

START_TEST(impossible_headers_are_refused)
{
    struct fixture f;

    ck_assert_int_eq(open_header(ROTOR_HEADER_OLDEST, 2, 0), ROTOR_BAD_HEADER);
    ck_assert_int_eq(open_header(ROTOR_HEADER_OLDEST, 2, 2), ROTOR_BAD_HEADER);
    ck_assert_int_eq(open_header(ROTOR_HEADER_RESERVED_22, 2, 0x100), ROTOR_RESERVED_USED);
    ck_assert_int_eq(open_header(ROTOR_HEADER_RESERVED_24, 4, 0x1000000), ROTOR_RESERVED_USED);
    fixture_build(&f, &plain);
    fixture_store(f.bytes + ROTOR_HEADER_OWN_SIZE, 2, 31);
    ck_assert_int_eq(open_fixture(&f), ROTOR_BAD_HEADER);
    fixture_build(&f, &plain);
    fixture_store(f.bytes + ROTOR_HEADER_OWN_SIZE, 2, 0xffff);
    ck_assert_int_eq(open_fixture(&f), ROTOR_BAD_HEADER);
    fixture_build(&f, &plain);
    fixture_store(f.bytes + ROTOR_HEADER_ENTRY_STRIDE, 2, 15);
    ck_assert_int_eq(open_fixture(&f), ROTOR_BAD_HEADER);
    fixture_build(&f, &plain);
    fixture_store(f.bytes + ROTOR_HEADER_SECTIONS, 2, 0xffff);
    fixture_store(f.bytes + ROTOR_HEADER_ENTRY_STRIDE, 2, 0xffff);
    ck_assert_int_eq(open_fixture(&f), ROTOR_BAD_HEADER);

    /* A directory that ends just after the table's end, and one without room for the trailer */
    fixture_build(&f, &plain);
    fixture_store(f.bytes + ROTOR_HEADER_SECTIONS, 2, f.length / ROTOR_ENTRY_SIZE);
    ck_assert_int_eq(open_fixture(&f), ROTOR_BAD_HEADER);
    fixture_build(&f, &plain);
    fixture_store(f.bytes + ROTOR_HEADER_OWN_SIZE, 2,
                  f.length - ROTOR_KIND_LAST_REQUIRED * ROTOR_ENTRY_SIZE - 3);
    ck_assert_int_eq(open_fixture(&f), ROTOR_BAD_HEADER);

    /* A header alone is whole, but has no sections. Without room for the trailer it is not whole.
     */
    fixture_build(&f, &plain);
    f.sections = 0;
    f.length = 36;
    fixture_store(f.bytes + ROTOR_HEADER_SECTIONS, 2, 0);
    fixture_store(f.bytes + ROTOR_HEADER_LENGTH, 4, 36);
    fixture_seal(&f);
    ck_assert_int_eq(open_fixture(&f), ROTOR_SECTION_MISSING);
    fixture_store(f.bytes + ROTOR_HEADER_LENGTH, 4, 35);
    ck_assert_int_eq(open_bytes(f.bytes, 35), ROTOR_BAD_HEADER);
    fixture_store(f.bytes + ROTOR_HEADER_LENGTH, 4, 32);
    ck_assert_int_eq(open_bytes(f.bytes, 32), ROTOR_BAD_HEADER);
}
END_TEST

START_TEST(directories_that_lie_are_refused)
{
    struct fixture f;
    const uint32_t last = ROTOR_KIND_LAST_REQUIRED - 1;

    ck_assert_int_eq(open_entry(3, ROTOR_ENTRY_RESERVED, 2, 1), ROTOR_RESERVED_USED);
    ck_assert_int_eq(open_entry(3, ROTOR_ENTRY_KIND, 4, 3), ROTOR_SECTION_ORDER);
    ck_assert_int_eq(open_entry(0, ROTOR_ENTRY_KIND, 4, 0), ROTOR_SECTION_ORDER);
    ck_assert_int_eq(open_entry(3, ROTOR_ENTRY_KIND, 4, 5), ROTOR_SECTION_MISSING);
    ck_assert_int_eq(open_entry(0, ROTOR_ENTRY_KIND, 4, 2), ROTOR_SECTION_MISSING);
    ck_assert_int_eq(open_entry(last, ROTOR_ENTRY_KIND, 4, 13), ROTOR_SECTION_MISSING);
    ck_assert_int_eq(open_entry(last, ROTOR_ENTRY_KIND, 4, 0x10000), ROTOR_SECTION_ORDER);
    ck_assert_int_eq(open_entry(2, ROTOR_ENTRY_STRIDE, 2, ROTOR_ENGINE_SIZE - 1),
                     ROTOR_SECTION_STRIDE);
    ck_assert_int_eq(open_entry(2, ROTOR_ENTRY_STRIDE, 2, 0), ROTOR_SECTION_STRIDE);
    ck_assert_int_eq(open_entry(0, ROTOR_ENTRY_COUNT, 4, 0), ROTOR_SECTION_COUNT);
    ck_assert_int_eq(open_entry(0, ROTOR_ENTRY_COUNT, 4, 2), ROTOR_SECTION_COUNT);

    /* One byte too early or too late, and counts whose product with the stride overflows */
    for (uint32_t entry = 0; entry <= last; entry++) {
        fixture_build(&f, &plain);
        ck_assert_int_eq(open_entry(entry, ROTOR_ENTRY_OFFSET, 4, f.offset[entry] + 1),
                         ROTOR_SECTION_BOUNDS);
        ck_assert_int_eq(open_entry(entry, ROTOR_ENTRY_OFFSET, 4, f.offset[entry] - 1),
                         ROTOR_SECTION_BOUNDS);
        ck_assert_int_eq(open_entry(entry, ROTOR_ENTRY_COUNT, 4, 0xffffffff), ROTOR_SECTION_BOUNDS);
        ck_assert_int_eq(open_entry(entry, ROTOR_ENTRY_COUNT, 4, 0x80000000), ROTOR_SECTION_BOUNDS);
    }
    /* So many engines of 65 or 66 bytes are the section's size again, modulo 2^32. */
    static const uint32_t wrapping[][2] = {{65, 2114445440u}, {66, 65075264u}};
    for (size_t i = 0; i < 2; i++) {
        ck_assert_uint_eq((uint32_t)(wrapping[i][0] * wrapping[i][1]), 2 * ROTOR_ENGINE_SIZE);
        fixture_build(&f, &plain);
        uint8_t *entry = f.bytes + f.directory + 2 * ROTOR_ENTRY_SIZE;
        fixture_store(entry + ROTOR_ENTRY_STRIDE, 2, wrapping[i][0]);
        fixture_store(entry + ROTOR_ENTRY_COUNT, 4, wrapping[i][1]);
        fixture_seal(&f);
        ck_assert_int_eq(open_fixture(&f), ROTOR_SECTION_BOUNDS);
    }
    /* A byte between the last section and the trailer */
    fixture_build(&f, &plain);
    f.length++;
    f.bytes[f.length - 5] = 0;
    fixture_store(f.bytes + ROTOR_HEADER_LENGTH, 4, f.length);
    fixture_seal(&f);
    ck_assert_int_eq(open_fixture(&f), ROTOR_SECTION_BOUNDS);
    /* Texts without a byte */
    fixture_build(&f, &plain);
    f.length = f.offset[last] + 4;
    fixture_store(f.bytes + ROTOR_HEADER_LENGTH, 4, f.length);
    fixture_store(f.bytes + f.directory + last * ROTOR_ENTRY_SIZE + ROTOR_ENTRY_COUNT, 4, 0);
    fixture_seal(&f);
    ck_assert_int_eq(open_fixture(&f), ROTOR_BAD_TEXTS);
}
END_TEST

START_TEST(signatures_and_texts_have_their_form)
{
    struct fixture f;
    const uint32_t at = ROTOR_HEADER_SIZE + ROTOR_KIND_LAST_REQUIRED * ROTOR_ENTRY_SIZE;

    fixture_build(&f, &(struct fixture_shape){.signature = true});
    fixture_store(f.bytes + at + ROTOR_ENTRY_STRIDE, 2, 63);
    fixture_seal(&f);
    ck_assert_int_eq(open_fixture(&f), ROTOR_SECTION_STRIDE);
    fixture_build(&f, &(struct fixture_shape){.signature = true});
    fixture_store(f.bytes + at + ROTOR_ENTRY_COUNT, 4, 0);
    fixture_seal(&f);
    ck_assert_int_eq(open_fixture(&f), ROTOR_SECTION_COUNT);

    /* Known blades: records of 11 bytes, and a section that is there and has none */
    fixture_build(&f, &(struct fixture_shape){.known_blades = true});
    fixture_store(f.bytes + at + ROTOR_ENTRY_STRIDE, 2, ROTOR_KNOWN_BLADE_SIZE - 1);
    fixture_seal(&f);
    ck_assert_int_eq(open_fixture(&f), ROTOR_SECTION_STRIDE);
    fixture_build(&f, &(struct fixture_shape){.known_blades = true});
    f.length -= 3 * ROTOR_KNOWN_BLADE_SIZE;
    fixture_store(f.bytes + at + ROTOR_ENTRY_COUNT, 4, 0);
    fixture_store(f.bytes + ROTOR_HEADER_LENGTH, 4, f.length);
    fixture_seal(&f);
    ck_assert_int_eq(open_fixture(&f), ROTOR_OK);

    /* Texts of stride 2, half as many, would fit. */
    fixture_build(&f, &plain);
    fixture_store(f.bytes + at - ROTOR_ENTRY_SIZE + ROTOR_ENTRY_STRIDE, 2, 2);
    fixture_store(f.bytes + at - ROTOR_ENTRY_SIZE + ROTOR_ENTRY_COUNT, 4, f.texts_length / 2);
    fixture_seal(&f);
    ck_assert_int_eq(open_fixture(&f), ROTOR_SECTION_STRIDE);
    fixture_build(&f, &plain);
    ck_assert_int_eq(open_with(ROTOR_KIND_TEXTS, f.texts_length - 1, 0, 1, 'x'), ROTOR_BAD_TEXTS);
    ck_assert_int_eq(open_with(ROTOR_KIND_TEXTS, 0, 0, 1, 'x'), ROTOR_BAD_TEXTS);
}
END_TEST

START_TEST(every_status_has_words)
{
    for (int status = 0; status < ROTOR_STATUS_COUNT; status++) {
        const char *text = rotor_status_text((enum rotor_status)status);
        ck_assert_ptr_nonnull(text);
        ck_assert_str_ne(text, "unknown status");
        for (int other = 0; other < status; other++) {
            ck_assert_str_ne(text, rotor_status_text((enum rotor_status)other));
        }
    }
    ck_assert_str_eq(rotor_status_text(ROTOR_STATUS_COUNT), "unknown status");
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("field: opening a table");
    TCase *tcase = tcase_create("open");
    tcase_add_test(tcase, fixtures_have_the_catalogues_crc);
    tcase_add_test(tcase, plain_and_signed_tables_open);
    tcase_add_test(tcase, every_bit_flip_is_refused);
    tcase_add_test(tcase, every_truncation_and_appendage_is_refused);
    tcase_add_test(tcase, damage_on_the_way_is_told_apart);
    tcase_add_test(tcase, crcs_each_guard_their_part);
    tcase_add_test(tcase, newer_writers_are_read_where_they_allow_it);
    tcase_add_test(tcase, impossible_headers_are_refused);
    tcase_add_test(tcase, directories_that_lie_are_refused);
    tcase_add_test(tcase, signatures_and_texts_have_their_form);
    tcase_add_test(tcase, every_status_has_words);
    suite_add_tcase(suite, tcase);
    SRunner *runner = srunner_create(suite);
    srunner_set_fork_status(runner, CK_NOFORK);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? 0 : 1;
}
