/* The form of a compiled table, beyond what one changed field can show. */
#include "table/form.h"
#include "table/replay.h"
#include "unit/table_engines.h"
#include "unit/table_support.h"

static struct support support;
static struct rotor_table table;
static struct table_misfit misfit;
static uint8_t bytes[8192];
static uint32_t length;

static void build(const char *const *engines)
{
    const uint8_t *made;
    support_start(&support, SUPPORT_DEVICE("scheduled", ""));
    for (; *engines; engines++) {
        ck_assert_msg(support_add(&support, *engines), "%s", support.builder.problem);
    }
    length = support_finish(&support, &made, &table);
    ck_assert_uint_le(length, sizeof bytes);
    memcpy(bytes, made, length);
}

static void put(uint32_t kind, uint32_t index, uint32_t offset, unsigned size, uint64_t value)
{
    uint8_t *at = support_at(bytes, kind, index, offset);
    for (unsigned i = 0; i < size; i++, value >>= 8) {
        at[i] = (uint8_t)value;
    }
}

/* The reader takes the table, but its form is wrong at that record. */
static void assert_misfit(enum table_misfit_kind what, uint32_t kind, uint32_t index)
{
    support_seal(bytes, length);
    ck_assert_int_eq(rotor_table_open(&table, bytes, length), ROTOR_OK);
    ck_assert(!table_form(&table, &misfit));
    ck_assert_int_eq(misfit.what, what);
    ck_assert_uint_eq(misfit.kind, kind);
    ck_assert_uint_eq(misfit.index, index);
    support_end(&support);
}

static void build_all(void)
{
    build((const char *const[]){engine_tern, engine_harrow, engine_auk, NULL});
}

START_TEST(what_is_compiled_fits)
{
    build_all();
    ck_assert_int_eq(rotor_table_open(&table, bytes, length), ROTOR_OK);
    ck_assert(table_form(&table, &misfit));
    ck_assert_int_eq(misfit.what, TABLE_FITS);
    support_end(&support);
    build((const char *const[]){NULL});
    ck_assert_int_eq(rotor_table_open(&table, bytes, length), ROTOR_OK);
    ck_assert(table_form(&table, &misfit));
    support_end(&support);
}
END_TEST

START_TEST(an_id_twice)
{
    build((const char *const[]){engine_harrow, NULL});
    put(ROTOR_KIND_STAGES, 1, ROTOR_STAGE_ID, 4,
        rotor_number(&table, ROTOR_KIND_STAGES, 0, ROTOR_STAGE_ID));
    assert_misfit(TABLE_MISFIT_TEXT, ROTOR_KIND_STAGES, 1);
    build((const char *const[]){engine_harrow, NULL});
    put(ROTOR_KIND_PADS, 1, ROTOR_PAD_ID, 4,
        rotor_number(&table, ROTOR_KIND_PADS, 0, ROTOR_PAD_ID));
    assert_misfit(TABLE_MISFIT_TEXT, ROTOR_KIND_PADS, 1);
    build((const char *const[]){engine_harrow, NULL});
    put(ROTOR_KIND_PORTS, 1, ROTOR_PORT_ID, 4,
        rotor_number(&table, ROTOR_KIND_PORTS, 0, ROTOR_PORT_ID));
    assert_misfit(TABLE_MISFIT_TEXT, ROTOR_KIND_PORTS, 1);
}
END_TEST

/* A clocking of a whole turn, in lowest terms. */
START_TEST(numbers_beyond_their_ends)
{
    build((const char *const[]){engine_harrow, NULL});
    put(ROTOR_KIND_STAGES, 0, ROTOR_STAGE_CLOCKING_NUM, 8, 360);
    put(ROTOR_KIND_STAGES, 0, ROTOR_STAGE_CLOCKING_DEN, 8, 1);
    assert_misfit(TABLE_MISFIT_NUMBER, ROTOR_KIND_STAGES, 0);
    build((const char *const[]){engine_harrow, NULL});
    put(ROTOR_KIND_ENGINES, 0, ROTOR_ENGINE_REVISION, 4, 1000000);
    assert_misfit(TABLE_MISFIT_NUMBER, ROTOR_KIND_ENGINES, 0);
}
END_TEST

/* Equal fractions, neither of them in lowest terms: the ratio is the same as before. */
START_TEST(a_fraction_written_otherwise)
{
    struct rotor_pad pad;
    build((const char *const[]){engine_harrow, NULL});
    rotor_get_pad(&table, 0, &pad);
    put(ROTOR_KIND_PADS, 0, ROTOR_PAD_G_LO_NUM, 8, 2 * pad.turns_lo.num);
    put(ROTOR_KIND_PADS, 0, ROTOR_PAD_G_LO_DEN, 8, 2 * pad.turns_lo.den);
    assert_misfit(TABLE_MISFIT_FRACTION, ROTOR_KIND_PADS, 0);
}
END_TEST

/* The second pad of harrow-20 has an adapter with meshes. */
START_TEST(an_adapter_and_its_meshes)
{
    build((const char *const[]){engine_harrow, NULL});
    put(ROTOR_KIND_PADS, 1, ROTOR_PAD_A_NUM, 8, 0);
    put(ROTOR_KIND_PADS, 1, ROTOR_PAD_A_DEN, 8, 0);
    put(ROTOR_KIND_PADS, 1, ROTOR_PAD_POSITIVE, 1, ROTOR_POSITIVE_REVERSE);
    assert_misfit(TABLE_MISFIT_ADAPTER, ROTOR_KIND_PADS, 1);
    build((const char *const[]){engine_harrow, NULL});
    put(ROTOR_KIND_PADS, 1, ROTOR_PAD_ADAPTER_COUNT, 2, 0);
    assert_misfit(TABLE_MISFIT_ADAPTER, ROTOR_KIND_PADS, 1);
    build((const char *const[]){engine_harrow, NULL});
    put(ROTOR_KIND_PADS, 1, ROTOR_PAD_A_NUM, 8, 2);
    put(ROTOR_KIND_PADS, 1, ROTOR_PAD_A_DEN, 8, 2);
    assert_misfit(TABLE_MISFIT_ADAPTER, ROTOR_KIND_PADS, 1);
}
END_TEST

/* Records at the end that no engine has, every reference being right. */
START_TEST(an_engine_without_its_pads)
{
    build((const char *const[]){engine_harrow, NULL});
    put(ROTOR_KIND_ENGINES, 0, ROTOR_ENGINE_PAD_COUNT, 2, 1);
    assert_misfit(TABLE_MISFIT_UNUSED, ROTOR_KIND_PADS, 1);
}
END_TEST

/* Two schedules that have changed places, and the links with them: all stops are right. */
START_TEST(an_order_that_is_not_of_first_use)
{
    struct rotor_link links[2];
    build((const char *const[]){engine_harrow, NULL});
    for (uint32_t i = 0; i < 2; i++) {
        rotor_get_link(&table, i, &links[i]);
    }
    ck_assert_uint_eq(rotor_number(&table, ROTOR_KIND_LINKS, 0, ROTOR_LINK_SCHEDULE), 0);
    ck_assert_uint_eq(rotor_number(&table, ROTOR_KIND_LINKS, 1, ROTOR_LINK_SCHEDULE), 1);
    for (uint32_t i = 0; i < 2; i++) {
        put(ROTOR_KIND_SCHEDULES, 1 - i, ROTOR_SCHEDULE_Q, 4, links[i].q);
        put(ROTOR_KIND_SCHEDULES, 1 - i, ROTOR_SCHEDULE_R, 4, links[i].r);
        put(ROTOR_KIND_SCHEDULES, 1 - i, ROTOR_SCHEDULE_D, 4, links[i].d);
    }
    for (uint32_t i = 0; i < rotor_count(&table, ROTOR_KIND_LINKS); i++) {
        uint32_t schedule = rotor_number(&table, ROTOR_KIND_LINKS, i, ROTOR_LINK_SCHEDULE);
        put(ROTOR_KIND_LINKS, i, ROTOR_LINK_SCHEDULE, 4, schedule < 2 ? 1 - schedule : schedule);
    }
    assert_misfit(TABLE_MISFIT_PLACE, ROTOR_KIND_LINKS, 0);
}
END_TEST

START_TEST(known_blades)
{
    build((const char *const[]){engine_pipit, NULL});
    ck_assert_int_eq(rotor_table_open(&table, bytes, length), ROTOR_OK);
    ck_assert(table_form(&table, &misfit));
    put(ROTOR_KIND_KNOWN_BLADES, 1, ROTOR_KNOWN_BLADE_HOW, 4, 0);
    assert_misfit(TABLE_MISFIT_TEXT, ROTOR_KIND_KNOWN_BLADES, 1);
    /* The text of the second is used before that of the first. */
    build((const char *const[]){engine_pipit, NULL});
    uint32_t second = rotor_number(&table, ROTOR_KIND_KNOWN_BLADES, 1, ROTOR_KNOWN_BLADE_HOW);
    put(ROTOR_KIND_KNOWN_BLADES, 0, ROTOR_KNOWN_BLADE_HOW, 4, second);
    assert_misfit(TABLE_MISFIT_PLACE, ROTOR_KIND_KNOWN_BLADES, 0);
    /* A section without records: the one with four of them loses them. */
    build((const char *const[]){engine_pipit, NULL});
    uint8_t *entry =
        bytes + ROTOR_HEADER_SIZE + (size_t)(ROTOR_KIND_KNOWN_BLADES - 1) * ROTOR_ENTRY_SIZE;
    length -= 4 * ROTOR_KNOWN_BLADE_SIZE;
    table_put32(entry + ROTOR_ENTRY_COUNT, 0);
    table_put32(bytes + ROTOR_HEADER_LENGTH, length);
    assert_misfit(TABLE_MISFIT_STRIDE, ROTOR_KIND_DEVICE, 0);
}
END_TEST

/* A definition has at most 99 of a stage. */
START_TEST(known_blades_are_few)
{
    const uint32_t more = MODEL_KNOWN_BLADES_MOST - 3;
    build((const char *const[]){engine_pipit, NULL});
    put(ROTOR_KIND_STAGES, 0, ROTOR_STAGE_BLADES, 2, 200); /* it has three, up to blade 20 */
    uint8_t *fourth = support_at(bytes, ROTOR_KIND_KNOWN_BLADES, 3, 0);
    uint8_t *entry =
        bytes + ROTOR_HEADER_SIZE + (size_t)(ROTOR_KIND_KNOWN_BLADES - 1) * ROTOR_ENTRY_SIZE;
    memmove(fourth + (size_t)(more + 1) * ROTOR_KNOWN_BLADE_SIZE, fourth, ROTOR_KNOWN_BLADE_SIZE);
    for (uint32_t i = 0; i <= more; i++) {
        uint8_t *record = fourth + (size_t)i * ROTOR_KNOWN_BLADE_SIZE;
        memcpy(record, fourth - ROTOR_KNOWN_BLADE_SIZE, ROTOR_KNOWN_BLADE_SIZE);
        table_put16(record + ROTOR_KNOWN_BLADE_NUMBER, 21 + i);
    }
    length += (more + 1) * ROTOR_KNOWN_BLADE_SIZE;
    table_put32(entry + ROTOR_ENTRY_COUNT, 4 + more + 1);
    table_put32(bytes + ROTOR_HEADER_LENGTH, length);
    assert_misfit(TABLE_MISFIT_NUMBER, ROTOR_KIND_STAGES, 0);
}
END_TEST

START_TEST(a_counter_holds_a_turn)
{
    /* 2^15 - 1 counts either way, and an overshoot of one count where there is no backlash */
    ck_assert(table_counter_holds(32766, 1, 0, 16));
    ck_assert(!table_counter_holds(32767, 1, 0, 16));
    ck_assert(!table_counter_holds(65533, 2, 0, 16)); /* rounded up */
    ck_assert(table_counter_holds(32767, 1, ROTOR_BACKLASH_UNKNOWN, 16));
    ck_assert(!table_counter_holds(32768, 1, ROTOR_BACKLASH_UNKNOWN, 16));
    ck_assert(table_counter_holds(32757, 1, 8, 16) == false); /* 8, 2 and 1 */
    ck_assert(table_counter_holds(32756, 1, 8, 16));
    ck_assert(table_counter_holds(ROTOR_TURN_MOST, 1, ROTOR_BACKLASH_MOST, 64));
    ck_assert(!table_counter_holds(ROTOR_TURN_MOST, 1, ROTOR_BACKLASH_UNKNOWN, 31));
}
END_TEST

/* Each field in turn that a kind of mesh does not have, and each that it lacks. */
START_TEST(meshes)
{
    const struct rotor_mesh external = {.teeth_a = 20, .teeth_b = 30, .kind = ROTOR_MESH_EXTERNAL};
    const struct rotor_mesh direct = {.kind = ROTOR_MESH_DIRECT};
    const struct rotor_mesh bevel = {.teeth_a = 20,
                                     .teeth_b = 30,
                                     .kind = ROTOR_MESH_BEVEL,
                                     .back_a = ROTOR_AFT,
                                     .back_b = ROTOR_UP};
    const struct rotor_mesh epicyclic = {.teeth_a = 20,
                                         .teeth_b = 80,
                                         .teeth_c = 30,
                                         .planets = 4,
                                         .kind = ROTOR_MESH_EPICYCLIC,
                                         .in = ROTOR_MEMBER_SUN,
                                         .out = ROTOR_MEMBER_CARRIER,
                                         .held = ROTOR_MEMBER_RING};
    ck_assert(table_mesh_fits(&external) && table_mesh_fits(&direct) && table_mesh_fits(&bevel) &&
              table_mesh_fits(&epicyclic));
#define ASSERT_NOT(mesh, field, value)                                                             \
    do {                                                                                           \
        struct rotor_mesh odd = mesh;                                                              \
        odd.field = (value);                                                                       \
        ck_assert(!table_mesh_fits(&odd));                                                         \
    } while (0)
    ASSERT_NOT(external, teeth_a, 0);
    ASSERT_NOT(external, teeth_b, 10000);
    ASSERT_NOT(external, teeth_c, 1);
    ASSERT_NOT(external, planets, 1);
    ASSERT_NOT(external, in, ROTOR_MEMBER_SUN);
    ASSERT_NOT(external, out, ROTOR_MEMBER_SUN);
    ASSERT_NOT(external, held, ROTOR_MEMBER_SUN);
    ASSERT_NOT(external, back_a, ROTOR_AFT);
    ASSERT_NOT(external, back_b, ROTOR_AFT);
    ASSERT_NOT(direct, teeth_a, 1);
    ASSERT_NOT(direct, teeth_b, 1);
    ASSERT_NOT(direct, back_b, ROTOR_UP);
    ASSERT_NOT(bevel, back_a, ROTOR_DIRECTION_UNKNOWN);
    ASSERT_NOT(bevel, back_b, ROTOR_DIRECTION_UNKNOWN);
    ASSERT_NOT(bevel, back_b, ROTOR_FORWARD);
    ASSERT_NOT(bevel, held, ROTOR_MEMBER_RING);
    ASSERT_NOT(epicyclic, in, ROTOR_MEMBER_NONE);
    ASSERT_NOT(epicyclic, held, ROTOR_MEMBER_SUN);
    ASSERT_NOT(epicyclic, out, ROTOR_MEMBER_SUN);
    ASSERT_NOT(epicyclic, out, ROTOR_MEMBER_RING);
    ASSERT_NOT(epicyclic, teeth_c, 0);
    ASSERT_NOT(epicyclic, planets, 0);
    ASSERT_NOT(epicyclic, back_a, ROTOR_AFT);
#undef ASSERT_NOT
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("table form");
    TCase *tests = tcase_create("form");
    tcase_add_test(tests, what_is_compiled_fits);
    tcase_add_test(tests, an_id_twice);
    tcase_add_test(tests, numbers_beyond_their_ends);
    tcase_add_test(tests, a_fraction_written_otherwise);
    tcase_add_test(tests, an_adapter_and_its_meshes);
    tcase_add_test(tests, an_engine_without_its_pads);
    tcase_add_test(tests, an_order_that_is_not_of_first_use);
    tcase_add_test(tests, known_blades);
    tcase_add_test(tests, known_blades_are_few);
    tcase_add_test(tests, a_counter_holds_a_turn);
    tcase_add_test(tests, meshes);
    suite_add_tcase(suite, tests);
    return support_run(suite);
}
