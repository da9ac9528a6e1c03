/* What a new table changes: every finding of an engine and of a table, and every byte of a table.
 */
#include "unit/check.h"
#include <stdio.h>

#include "field/rotor_import.h"
#include "unit/field_fixture.h"

static struct fixture before, after;
static struct rotor_table old_table, new_table;
static struct rotor_import import;

static const struct fixture_shape known = {.known_blades = true};

static void set_up(void)
{
    fixture_build(&before, &known);
    fixture_build(&after, &known);
}

/* The verdict, on this device, with both tables as they are now. */
static enum rotor_import_finding verdict(void)
{
    fixture_seal(&before);
    fixture_seal(&after);
    ck_assert_int_eq(rotor_table_open(&old_table, before.bytes, before.length), ROTOR_OK);
    ck_assert_int_eq(rotor_table_open(&new_table, after.bytes, after.length), ROTOR_OK);
    return rotor_import_open(&import, &old_table, &new_table, "bench-9");
}

/* The findings of all engines, each as its letter, in the order in which they come. */
static const char *findings(void)
{
    static const char letters[ROTOR_IMPORT_OTHER_CONTENT + 1] = {
        [ROTOR_IMPORT_SAME] = 's', [ROTOR_IMPORT_ADDED] = 'a', [ROTOR_IMPORT_NEWER] = 'n',
        [ROTOR_IMPORT_GONE] = 'g', [ROTOR_IMPORT_OLDER] = 'o', [ROTOR_IMPORT_OTHER_CONTENT] = 'c',
    };
    static char text[256];
    text[0] = '\0';
    for (import.place = 0; rotor_import_next(&import);) {
        size_t used = strlen(text);
        snprintf(text + used, sizeof text - used, "%s%s:%c", used == 0 ? "" : " ", import.id,
                 letters[import.finding]);
    }
    return text;
}

static void put_in(struct fixture *f, uint32_t kind, uint32_t index, uint32_t offset, unsigned size,
                   uint64_t value)
{
    fixture_put(f, kind, index, offset, size, value);
}

static void put(uint32_t kind, uint32_t index, uint32_t offset, unsigned size, uint64_t value)
{
    put_in(&after, kind, index, offset, size, value);
}

START_TEST(the_same_table)
{
    ck_assert_int_eq(verdict(), ROTOR_IMPORT_SAME);
    ck_assert_str_eq(findings(), "harrow-20:s tern-5:s");
    ck_assert(!rotor_import_next(&import));
}
END_TEST

START_TEST(a_newer_format_has_the_same_content)
{
    const struct fixture_shape grown = {.version = 2,
                                        .header_more = 8,
                                        .entry_more = 4,
                                        .record_more = 6,
                                        .known_blades = true,
                                        .unknown_section = true};
    fixture_build(&after, &grown);
    ck_assert_int_eq(verdict(), ROTOR_IMPORT_SAME);
    fixture_build(&after, &known);
    fixture_build(&before, &grown);
    ck_assert_int_eq(verdict(), ROTOR_IMPORT_SAME);
}
END_TEST

START_TEST(revisions)
{
    uint64_t revision =
        fixture_load(fixture_at(&before, ROTOR_KIND_ENGINES, 1, ROTOR_ENGINE_REVISION), 4);
    put(ROTOR_KIND_ENGINES, 1, ROTOR_ENGINE_REVISION, 4, revision + 1);
    put(ROTOR_KIND_STAGES, 2, ROTOR_STAGE_ROLE, 1, ROTOR_ROLE_FAN);
    ck_assert_int_eq(verdict(), ROTOR_IMPORT_NEWER);
    ck_assert_str_eq(findings(), "harrow-20:s tern-5:n");
    put_in(&before, ROTOR_KIND_ENGINES, 1, ROTOR_ENGINE_REVISION, 4, revision + 2);
    ck_assert_int_eq(verdict(), ROTOR_IMPORT_OLDER);
    ck_assert_str_eq(findings(), "harrow-20:s tern-5:o");
}
END_TEST

/* An engine of another id, in both directions; its old id becomes a designation. */
static void rename_engine(struct fixture *f)
{
    uint64_t text = fixture_load(fixture_at(f, ROTOR_KIND_NAMES, 0, ROTOR_NAME_TEXT), 4);
    ck_assert_str_eq((const char *)fixture_at(f, ROTOR_KIND_TEXTS, (uint32_t)text, 0), "Harrow 20");
    put_in(f, ROTOR_KIND_ENGINES, 0, ROTOR_ENGINE_ID, 4, text);
}

START_TEST(engines_come_and_go)
{
    rename_engine(&after);
    ck_assert_int_eq(verdict(), ROTOR_IMPORT_GONE);
    ck_assert_str_eq(findings(), "Harrow 20:a tern-5:s harrow-20:g");
    import.place = 0;
    while (rotor_import_next(&import) && import.finding != ROTOR_IMPORT_GONE) {
    }
    ck_assert_uint_eq(import.engines[0], 0);
    ck_assert_uint_eq(import.engines[1], ROTOR_NONE);
}
END_TEST

START_TEST(without_a_table_in_use_every_engine_is_added)
{
    ck_assert_int_eq(verdict(), ROTOR_IMPORT_SAME);
    ck_assert_int_eq(rotor_table_open(&old_table, "no table", 8), ROTOR_NOT_A_TABLE);
    ck_assert_int_eq(rotor_import_open(&import, &old_table, &new_table, "bench-9"),
                     ROTOR_IMPORT_ADDED);
    ck_assert_str_eq(findings(), "harrow-20:a tern-5:a");
    ck_assert_uint_eq(import.engines[0], ROTOR_NONE);
    ck_assert_uint_eq(import.engines[1], 1);
}
END_TEST

START_TEST(a_table_that_was_refused_is_not_for_this_device)
{
    ck_assert_int_eq(verdict(), ROTOR_IMPORT_SAME);
    ck_assert_int_eq(rotor_table_open(&new_table, "no table", 8), ROTOR_NOT_A_TABLE);
    ck_assert_int_eq(rotor_import_open(&import, &old_table, &new_table, "bench-9"),
                     ROTOR_IMPORT_OTHER_DEVICE);
    ck_assert_str_eq(findings(), "harrow-20:g tern-5:g");
}
END_TEST

/* A designation that finds another engine is other content of both. */
START_TEST(designations_are_content)
{
    put(ROTOR_KIND_NAMES, 1, ROTOR_NAME_ENGINE, 4, 1);
    ck_assert_int_eq(verdict(), ROTOR_IMPORT_OTHER_CONTENT);
    ck_assert_str_eq(findings(), "harrow-20:c tern-5:c");
    set_up();
    put_in(&before, ROTOR_KIND_NAMES, 1, ROTOR_NAME_ENGINE, 4, 1);
    ck_assert_str_eq((verdict(), findings()), "harrow-20:c tern-5:c");
}
END_TEST

START_TEST(known_blades_are_content)
{
    const struct fixture_shape none = {0};
    put(ROTOR_KIND_KNOWN_BLADES, 2, ROTOR_KNOWN_BLADE_NUMBER, 2, 3);
    ck_assert_int_eq(verdict(), ROTOR_IMPORT_OTHER_CONTENT);
    ck_assert_str_eq(findings(), "harrow-20:s tern-5:c");
    fixture_build(&after, &none);
    ck_assert_int_eq(verdict(), ROTOR_IMPORT_OTHER_CONTENT);
    ck_assert_str_eq(findings(), "harrow-20:c tern-5:c");
    fixture_build(&after, &known);
    fixture_build(&before, &none);
    ck_assert_str_eq((verdict(), findings()), "harrow-20:c tern-5:c");
}
END_TEST

START_TEST(the_device)
{
    ck_assert_int_eq(verdict(), ROTOR_IMPORT_SAME);
    ck_assert_int_eq(rotor_import_open(&import, &old_table, &new_table, "bench-10"),
                     ROTOR_IMPORT_OTHER_DEVICE);
    put(ROTOR_KIND_DEVICE, 0, ROTOR_DEVICE_DIGEST, 1, 0);
    ck_assert_int_eq(verdict(), ROTOR_IMPORT_SAME);
    put(ROTOR_KIND_DEVICE, 0, ROTOR_DEVICE_COUNTER_BITS, 1, 31);
    ck_assert_int_eq(verdict(), ROTOR_IMPORT_OTHER_PROFILE);
    ck_assert_str_eq(findings(), "harrow-20:s tern-5:s");
}
END_TEST

START_TEST(the_signature)
{
    const struct fixture_shape signed_shape = {.known_blades = true, .signature = true};
    fixture_build(&after, &signed_shape);
    ck_assert_int_eq(verdict(), ROTOR_IMPORT_SAME);
    fixture_build(&before, &signed_shape);
    ck_assert_int_eq(verdict(), ROTOR_IMPORT_SAME);
    fixture_build(&after, &known);
    ck_assert_int_eq(verdict(), ROTOR_IMPORT_SIGNATURE_MISSING);
}
END_TEST

/* The verdict is the finding that weighs most, in the order of the enumeration. */
START_TEST(what_weighs_most_decides)
{
    put(ROTOR_KIND_STAGES, 0, ROTOR_STAGE_BLADES, 2, 32);
    put(ROTOR_KIND_ENGINES, 1, ROTOR_ENGINE_REVISION, 4, 1);
    put_in(&before, ROTOR_KIND_ENGINES, 1, ROTOR_ENGINE_REVISION, 4, 2);
    ck_assert_int_eq(verdict(), ROTOR_IMPORT_OTHER_CONTENT);
    ck_assert_str_eq(findings(), "harrow-20:c tern-5:o");
    put(ROTOR_KIND_DEVICE, 0, ROTOR_DEVICE_COUNTER_BITS, 1, 31);
    ck_assert_int_eq(verdict(), ROTOR_IMPORT_OTHER_PROFILE);
    const struct fixture_shape signed_shape = {.known_blades = true, .signature = true};
    fixture_build(&before, &signed_shape);
    ck_assert_int_eq(verdict(), ROTOR_IMPORT_SIGNATURE_MISSING);
    ck_assert_int_eq(rotor_import_open(&import, &old_table, &new_table, ""),
                     ROTOR_IMPORT_OTHER_DEVICE);
}
END_TEST

/* Where an empty range may begin anywhere */
static const struct {
    uint32_t kind, first, count;
} shared[] = {{ROTOR_KIND_STAGES, ROTOR_STAGE_PORTS, ROTOR_STAGE_PORT_COUNT},
              {ROTOR_KIND_PADS, ROTOR_PAD_PATH, ROTOR_PAD_PATH_COUNT},
              {ROTOR_KIND_PADS, ROTOR_PAD_ADAPTER_PATH, ROTOR_PAD_ADAPTER_COUNT},
              {ROTOR_KIND_LINKS, ROTOR_LINK_DATUMS, ROTOR_LINK_DATUM_COUNT}};

/* Whether the changed table says the same: in bytes that are not compared, where an empty range
 * begins, and where a reference to the empty text leads to another one. */
static bool says_the_same(uint32_t kind, uint32_t index, uint32_t byte)
{
    struct rotor_stage was, is;
    for (size_t i = 0; i < sizeof shared / sizeof shared[0]; i++) {
        if (kind == shared[i].kind && byte - shared[i].first < 4 &&
            fixture_load(fixture_at(&after, kind, index, shared[i].count), 2) == 0) {
            return true;
        }
    }
    rotor_get_stage(&old_table, index, &was);
    rotor_get_stage(&new_table, index, &is);
    return (kind == ROTOR_KIND_ENGINES && byte >= ROTOR_ENGINE_STATUS) ||
           (kind == ROTOR_KIND_DEVICE && byte >= ROTOR_DEVICE_DIGEST) ||
           (kind == ROTOR_KIND_STAGES && byte - ROTOR_STAGE_BLADE_ONE < 4 &&
            *was.blade_one == '\0' && *is.blade_one == '\0');
}

/* Changes one byte of one record, and checks the verdict in both directions. Returns whether the
 * changed table opens. */
static bool try_byte(uint32_t kind, uint32_t index, uint32_t byte, uint8_t value)
{
    uint8_t *at = fixture_at(&after, kind, index, byte);
    uint8_t was = *at;
    *at = value;
    fixture_seal(&after);
    bool opens = rotor_table_open(&new_table, after.bytes, after.length) == ROTOR_OK;
    if (opens) {
        enum rotor_import_finding there =
            rotor_import_open(&import, &old_table, &new_table, "bench-9");
        enum rotor_import_finding back =
            rotor_import_open(&import, &new_table, &old_table, "bench-9");
        bool same = there == ROTOR_IMPORT_SAME && back == ROTOR_IMPORT_SAME;
        ck_assert_msg((there == ROTOR_IMPORT_SAME) == (back == ROTOR_IMPORT_SAME) &&
                          same == says_the_same(kind, index, byte),
                      "kind %u record %u byte %u: %u becomes %u: %d and %d", kind, index, byte, was,
                      value, there, back);
    }
    *at = was;
    return opens;
}

/* By default one bit of each byte, and one more and one less. */
START_TEST(every_byte_of_every_record)
{
    const bool whole = share_number(8, 1) == 8;
    int opened = 0;
    ck_assert_int_eq(verdict(), ROTOR_IMPORT_SAME);
    for (uint32_t s = 0; s < after.sections; s++) {
        uint32_t kind = s + 1;
        for (uint32_t i = 0; i < rotor_count(&old_table, kind); i++) {
            for (uint32_t byte = 0; byte < after.stride[s]; byte++) {
                uint8_t was = *fixture_at(&after, kind, i, byte);
                for (uint32_t bit = whole ? 0 : (i + byte) % 8; bit < 8; bit += whole ? 1 : 8) {
                    opened += try_byte(kind, i, byte, (uint8_t)(was ^ 1u << bit));
                }
                opened += try_byte(kind, i, byte, (uint8_t)(was + 1));
                opened += try_byte(kind, i, byte, (uint8_t)(was - 1));
            }
        }
    }
    ck_assert_int_gt(opened, whole ? 3000 : 900);
}
END_TEST

START_TEST(every_verdict_has_a_text)
{
    for (int i = 0; i < ROTOR_IMPORT_COUNT; i++) {
        const char *text = rotor_import_text((enum rotor_import_finding)i);
        ck_assert_uint_gt(strlen(text), 20);
        for (int j = 0; j < i; j++) {
            ck_assert_str_ne(text, rotor_import_text((enum rotor_import_finding)j));
        }
    }
    ck_assert_str_eq(rotor_import_text(ROTOR_IMPORT_COUNT), "unknown verdict");
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("field: import");
    TCase *tcase = tcase_create("import");
    tcase_add_checked_fixture(tcase, set_up, NULL);
    tcase_set_timeout(tcase, 120);
    tcase_add_test(tcase, the_same_table);
    tcase_add_test(tcase, a_newer_format_has_the_same_content);
    tcase_add_test(tcase, revisions);
    tcase_add_test(tcase, engines_come_and_go);
    tcase_add_test(tcase, without_a_table_in_use_every_engine_is_added);
    tcase_add_test(tcase, a_table_that_was_refused_is_not_for_this_device);
    tcase_add_test(tcase, designations_are_content);
    tcase_add_test(tcase, known_blades_are_content);
    tcase_add_test(tcase, the_device);
    tcase_add_test(tcase, the_signature);
    tcase_add_test(tcase, what_weighs_most_decides);
    tcase_add_test(tcase, every_byte_of_every_record);
    tcase_add_test(tcase, every_verdict_has_a_text);
    suite_add_tcase(suite, tcase);
    SRunner *runner = srunner_create(suite);
    srunner_set_fork_status(runner, CK_NOFORK);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? 0 : 1;
}
