/* The view of a definition and that of its table: each as it should be, and both alike. */
#include "compare/compare.h"

#include "table_engines.h"
#include "table_support.h"

static struct support support;

static struct model_source load(const char *text)
{
    struct model_source source = support_load(&support, text);
    source.file.path = "a.yaml"; /* the file itself is gone, and its name with it */
    return source;
}

/* The view of the engine in this text, with what it is on the support's device. */
static struct compare_side model_side(const char *text)
{
    struct compare_side side = {.arena = &support.arena};
    struct model_source source = load(text);
    struct model_engine_facts facts = model_derive(source.engine, &support.arena);
    struct model_on_device on = model_derive_on(source.engine, &facts, &support.device_facts,
                                                &support.policy, &support.arena);
    ck_assert(compare_add_model(&side, &source, &facts, &on, support.device));
    return side;
}

/* The view of a table of the engines in these texts; NULL ends them. */
static struct compare_side table_side(const char *const *texts)
{
    struct compare_side side = {.arena = &support.arena};
    struct rotor_table *table = arena_alloc(&support.arena, sizeof *table);
    struct text_file *file = arena_alloc(&support.arena, sizeof *file);
    const uint8_t *bytes = NULL;
    const char *at = NULL;
    file->path = "a.rotor";
    for (size_t i = 0; texts[i]; i++) {
        ck_assert(support_add(&support, texts[i]));
    }
    support_finish(&support, &bytes, table);
    ck_assert(compare_add_table(&side, table, file, &at));
    compare_side_sort(&side);
    return side;
}

static void set_up(void)
{
    support_start(&support, SUPPORT_DEVICE("scheduled", ""));
}

static void tear_down(void)
{
    support_end(&support);
}

#define assert_is(actual, n, d)                                                                    \
    do {                                                                                           \
        ck_assert_int_eq((actual).num, (n));                                                       \
        ck_assert_int_eq((actual).den, (d));                                                       \
    } while (0)

START_TEST(a_definition_is_seen_whole)
{
    struct compare_side side = model_side(engine_harrow);
    const struct compare_engine *engine = &side.engines[0];
    ck_assert_uint_eq(side.count, 1);
    ck_assert_str_eq(engine->id, "harrow-20");
    ck_assert_str_eq(engine->name, "Harrow 20");
    ck_assert_int_eq(engine->revision, 4);
    ck_assert_int_eq(engine->status, MODEL_RELEASED);
    ck_assert_str_eq(engine->source, "Invented");
    ck_assert_uint_eq(engine->revision_at.line, 5);
    /* The id is not a separate designation. */
    ck_assert_uint_eq(engine->designation_count, 2);
    ck_assert_str_eq(engine->designations[0], "Harrow 20");
    ck_assert_str_eq(engine->designations[1], "Harrow 20A");
    ck_assert_uint_eq(engine->spool_count, 2);
    ck_assert(engine->spools[0].by_hand && !engine->spools[1].by_hand);
    ck_assert(!engine->spools[0].speed.given);
    assert_is(engine->spools[1].speed.value.value, 120, 1);
    ck_assert_int_eq(engine->spools[1].speed.value.unit, EXACT_DEG_PER_MIN);

    const struct compare_stage *stage = &engine->stages[1];
    ck_assert_str_eq(stage->id, "HPC-1");
    ck_assert_uint_eq(stage->spool, 1);
    ck_assert_int_eq(stage->blades, 31);
    ck_assert_int_eq(stage->numbering, MODEL_AGAINST_ROTATION);
    ck_assert_int_eq(stage->role, MODEL_COMPRESSOR);
    ck_assert_str_eq(stage->blade_one, "two locking lugs");
    ck_assert_uint_eq(stage->port_count, 2);
    ck_assert_int_eq(stage->ports[0].clock, 270);
    ck_assert(stage->clocked && !engine->stages[0].clocked);
    assert_is(stage->clocking, 25, 2);
}
END_TEST

START_TEST(pads_are_seen_whole)
{
    struct compare_side side = model_side(engine_harrow);
    const struct compare_pad *crank = &side.engines[0].pads[0];
    const struct compare_pad *starter = &side.engines[0].pads[1];
    /* 44/27 * 22/31 * 37/19, by hand. */
    assert_is(crank->used, 35816, 15903);
    ck_assert(exact_is_point(crank->ratio));
    ck_assert_int_eq(crank->sign, -1);
    ck_assert_int_eq(crank->faces, TURNING_AFT);
    assert_is(crank->torque.value.value, 40, 1);
    assert_is(crank->backlash.value.value, 6, 5);
    ck_assert(!crank->adapted);
    assert_is(crank->adapter_ratio, 1, 1);

    assert_is(starter->used, 1131, 2000);
    assert_is(starter->ratio.lo, 11309, 20000);
    assert_is(starter->ratio.hi, 11311, 20000);
    ck_assert_int_eq(starter->faces, TURNING_NOWHERE);
    ck_assert_int_eq(starter->drives, MODEL_DRIVES_CCW);
    ck_assert_str_eq(model_squares[starter->square].inch, "1/2 in");
    ck_assert(starter->adapted && !starter->backlash.given);
    assert_is(starter->adapter_ratio, 3, 2);
    ck_assert_int_eq(starter->adapter_sign, -1);
    ck_assert_str_eq(model_squares[starter->adapter_square].inch, "3/8 in");
    assert_is(starter->adapter_torque.value.value, 10, 1);
    /* 0.2 deg as written is up to 0.25. */
    assert_is(starter->adapter_backlash.value.value, 1, 4);
}
END_TEST

static void assert_same_limit(struct compare_limit a, struct compare_limit b)
{
    ck_assert(a.given && b.given);
    ck_assert_int_eq(exact_measure_compare(a.value, b.value), 0);
}

static void assert_same_pad(const struct compare_pad *a, const struct compare_pad *b)
{
    ck_assert_str_eq(a->id, b->id);
    ck_assert_int_eq(a->sign, b->sign);
    ck_assert_int_eq(a->drives, b->drives);
    ck_assert_int_eq(a->faces, b->faces);
    ck_assert_int_eq(a->square, b->square);
    ck_assert(exact_equal(a->used, b->used));
    ck_assert(exact_equal(a->ratio.lo, b->ratio.lo));
    ck_assert(exact_equal(a->ratio.hi, b->ratio.hi));
    ck_assert_int_eq(a->adapted, b->adapted);
    ck_assert(exact_equal(a->adapter_ratio, b->adapter_ratio));
    ck_assert_int_eq(a->adapter_sign, b->adapter_sign);
    ck_assert_int_eq(a->adapter_square, b->adapter_square);
    ck_assert(a->on.known && b->on.known);
    ck_assert(exact_equal(a->on.counts_per_turn, b->on.counts_per_turn));
    assert_same_limit(a->on.torque, b->on.torque);
    assert_same_limit(a->on.speed, b->on.speed);
    ck_assert_int_eq(a->on.backlash_known, b->on.backlash_known);
    ck_assert(!a->on.backlash_known || a->on.backlash_counts == b->on.backlash_counts);
    ck_assert_int_eq(a->on.recheck_turns, b->on.recheck_turns);
    ck_assert_uint_eq(a->on.step_count, b->on.step_count);
    for (size_t i = 0; i < a->on.step_count; i++) {
        ck_assert(exact_equal(a->on.steps[i].counts, b->on.steps[i].counts));
    }
}

/* What a table keeps of a definition is the same numbers. Stages of hand-turned spools are not in
 * it. */
static void assert_same(const struct compare_engine *a, const struct compare_engine *b,
                        size_t skipped)
{
    ck_assert_str_eq(a->id, b->id);
    ck_assert_str_eq(a->name, b->name);
    ck_assert_int_eq(a->revision, b->revision);
    ck_assert_int_eq(a->status, b->status);
    ck_assert_mem_eq(a->digest, b->digest, sizeof a->digest);
    ck_assert_uint_eq(a->designation_count, b->designation_count);
    for (size_t i = 0; i < a->designation_count; i++) {
        ck_assert_str_eq(a->designations[i], b->designations[i]);
    }
    ck_assert_uint_eq(a->stage_count, b->stage_count + skipped);
    for (size_t i = 0; i < b->stage_count; i++) {
        const struct compare_stage *left = &a->stages[i + skipped];
        const struct compare_stage *right = &b->stages[i];
        ck_assert_str_eq(left->id, right->id);
        ck_assert_str_eq(a->spools[left->spool].id, b->spools[right->spool].id);
        ck_assert_int_eq(a->spools[left->spool].sign, b->spools[right->spool].sign);
        ck_assert_int_eq(a->spools[left->spool].never_backwards,
                         b->spools[right->spool].never_backwards);
        ck_assert_int_eq(left->blades, right->blades);
        ck_assert_int_eq(left->numbering, right->numbering);
        ck_assert_int_eq(left->role, right->role);
        ck_assert_str_eq(left->blade_one, right->blade_one);
        ck_assert_int_eq(left->clocked, right->clocked);
        ck_assert(exact_equal(left->clocking, right->clocking));
        ck_assert_uint_eq(left->port_count, right->port_count);
        ck_assert_uint_eq(left->known_count, right->known_count);
        for (size_t k = 0; k < left->known_count; k++) {
            ck_assert_int_eq(left->known_blades[k].blade, right->known_blades[k].blade);
            ck_assert_str_eq(left->known_blades[k].how, right->known_blades[k].how);
        }
    }
    ck_assert_uint_eq(a->pad_count, b->pad_count);
    for (size_t i = 0; i < a->pad_count; i++) {
        assert_same_pad(&a->pads[i], &b->pads[i]);
    }
}

START_TEST(a_table_is_seen_as_its_sources)
{
    const char *const texts[] = {engine_tern, engine_harrow, engine_auk, engine_pipit, NULL};
    struct compare_side table = table_side(texts);
    struct compare_side harrow = model_side(engine_harrow);
    struct compare_side tern = model_side(engine_tern);
    struct compare_side auk = model_side(engine_auk);
    struct compare_side pipit = model_side(engine_pipit);
    ck_assert_uint_eq(table.count, 4);
    ck_assert(table.is_table);
    ck_assert_str_eq(table.device.id, "bench-9");
    assert_is(table.device.counts, 162000, 1);
    ck_assert_int_eq(table.device.positive, 1);
    ck_assert(!table.device.fixed);
    assert_same(&auk.engines[0], &table.engines[0], 0);
    assert_same(&harrow.engines[0], &table.engines[1],
                harrow.engines[0].stage_count - table.engines[1].stage_count);
    assert_same(&pipit.engines[0], &table.engines[2], 1);
    ck_assert_uint_eq(table.engines[2].stages[0].known_count, 3);
    assert_same(&tern.engines[0], &table.engines[3], 0);
}
END_TEST

START_TEST(a_ratio_that_is_not_known_is_not_viewed)
{
    struct compare_side side = {.arena = &support.arena};
    struct model_source source = load(engine_tern);
    struct model_engine_facts facts = model_derive(source.engine, &support.arena);
    facts.pads[0].overflow = true;
    ck_assert(!compare_add_model(&side, &source, &facts, NULL, NULL));
    facts.pads[0].overflow = false;
    facts.pads[0].ratio_known = false;
    ck_assert(!compare_add_model(&side, &source, &facts, NULL, NULL));
    ck_assert_uint_eq(side.count, 0);
}
END_TEST

START_TEST(designations_are_sorted_and_stand_once)
{
    const char *names[] = {"b", "id", "a", "b"};
    struct compare_engine engine = {.id = "id", .designations = names, .designation_count = 4};
    compare_settle_designations(&engine);
    ck_assert_uint_eq(engine.designation_count, 2);
    ck_assert_str_eq(names[0], "a");
    ck_assert_str_eq(names[1], "b");
}
END_TEST

START_TEST(two_alike_do_not_differ)
{
    struct compare_changes changes = {.arena = &support.arena};
    struct compare_side harrow = model_side(engine_harrow);
    compare_two_engines(&harrow.engines[0], &harrow.engines[0], NULL, &changes);
    ck_assert_uint_eq(changes.count, 0);
    ck_assert_int_eq(changes.worst, COMPARE_SAME);
    struct compare_result result = compare_sides(&harrow, &harrow, &support.arena);
    ck_assert_uint_eq(result.same, 1);
    ck_assert_uint_eq(result.count, 0);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("view");
    TCase *tests = tcase_create("view");
    tcase_add_checked_fixture(tests, set_up, tear_down);
    tcase_add_test(tests, a_definition_is_seen_whole);
    tcase_add_test(tests, pads_are_seen_whole);
    tcase_add_test(tests, a_table_is_seen_as_its_sources);
    tcase_add_test(tests, a_ratio_that_is_not_known_is_not_viewed);
    tcase_add_test(tests, designations_are_sorted_and_stand_once);
    tcase_add_test(tests, two_alike_do_not_differ);
    suite_add_tcase(suite, tests);
    return support_run(suite);
}
