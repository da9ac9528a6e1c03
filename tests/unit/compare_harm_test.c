/* What a change does on the engine if the earlier value is the right one: each kind of harm, and
 * its bounds.  An invented engine whose numbers can be worked out by heart. */
#include "compare/compare.h"

#include "table_support.h"

static const char engine[] =
    "engine-definition: 1\nid: teasel-3\nname: Teasel 3\nmodels: [Teasel 3]\nrevision: 1\n"
    "status: draft\nsource: Invented\n"
    "spools:\n"
    "  - {id: LP, rotation: {sense: cw, view: aft-looking-forward}, turned-by: hand}\n"
    "  - {id: HP, rotation: {sense: ccw, view: aft-looking-forward}, max-speed: 120 deg/min,\n"
    "     never-backwards: no}\n"
    "stages:\n"
    "  - {id: FAN, spool: LP, role: fan, blades: 20, numbering: with-rotation, blade-one: a lug,\n"
    "     port: {id: F1, clock: \"3:10\"}}\n"
    "  - {id: C1, spool: HP, role: compressor, blades: 30, numbering: against-rotation,\n"
    "     blade-one: a lug, port: {id: P1, clock: \"4:20\"}, clocking: 10.0 deg,\n"
    "     known-blades: [{blade: 12, how: a notch}]}\n"
    "  - {id: C2, spool: HP, role: compressor, blades: 45, numbering: against-rotation,\n"
    "     blade-one: a lug, port: {id: P2, clock: \"5:20\"}, clocking: 20.0 deg}\n"
    "  - {id: C3, spool: HP, role: compressor, blades: 90, numbering: against-rotation,\n"
    "     blade-one: a lug, port: [{id: P3, clock: \"6:20\"}, {id: P4, clock: \"7:20\"}]}\n"
    "pads:\n"
    "  - {id: crank, spool: HP, rotation: {sense: ccw, view: facing-pad},\n"
    "     turns: {pad: 2.000, rotor: 1}, drives: both, square: 3/8 in, torque-limit: 40 lbf.ft,\n"
    "     backlash: 4.00 deg, adapter: {path: [external: [20, 40]], square: 3/8 in,\n"
    "     torque-limit: 60 lbf.ft, backlash: 0.50 deg}}\n";

static struct support support;

static void set_up(void)
{
    support_start(&support, SUPPORT_DEVICE("scheduled", ""));
}

static void tear_down(void)
{
    support_end(&support);
}

static void add(struct compare_side *side, const char *text)
{
    struct model_source *source = arena_alloc(&support.arena, sizeof *source);
    *source = support_load(&support, text);
    source->file.path = "a.yaml";
    struct model_engine_facts facts = model_derive(source->engine, &support.arena);
    struct model_on_device on = model_derive_on(source->engine, &facts, &support.device_facts,
                                                &support.policy, &support.arena);
    ck_assert(compare_add_model(side, source, &facts, &on, support.device));
}

/* The engine with one text for another. */
static const char *with(const char *from, const char *to)
{
    const char *at = strstr(engine, from);
    ck_assert_msg(at && !strstr(at + 1, from), "'%s' is not once in the text", from);
    return arena_printf(&support.arena, "%.*s%s%s", (int)(at - engine), engine, to,
                        at + strlen(from));
}

/* The worst harm of the changes of a field, NULL for all; MODEL_HARMS where there is none. */
static enum model_harm harm(const char *from, const char *to, const char *field)
{
    struct compare_side before = {.arena = &support.arena}, after = {.arena = &support.arena};
    struct compare_changes changes = {.arena = &support.arena};
    enum model_harm worst = MODEL_HARMS;
    add(&before, engine);
    add(&after, with(from, to));
    compare_two_numbers(&before.engines[0], &after.engines[0], &changes);
    for (size_t i = 0; i < changes.count; i++) {
        const struct compare_change *change = &changes.items[i];
        bool meant = !field || strcmp(change->about.field, field) == 0;
        worst = meant && change->harm < worst ? change->harm : worst;
    }
    return worst;
}

#define assert_harm(from, to, expected)                                                            \
    do {                                                                                           \
        enum model_harm harm_ = harm(from, to, NULL);                                              \
        ck_assert_msg(harm_ == (expected), "%s: %s", to,                                           \
                      harm_ == MODEL_HARMS ? "none" : model_harms[harm_].name);                    \
    } while (0)

START_TEST(the_wrong_way)
{
    assert_harm("LP, rotation: {sense: cw", "LP, rotation: {sense: ccw", MODEL_BACKWARDS);
    assert_harm("HP, rotation: {sense: ccw, view: aft-looking-forward",
                "HP, rotation: {sense: ccw, view: forward-looking-aft", MODEL_BACKWARDS);
    assert_harm("sense: ccw, view: facing-pad", "sense: cw, view: facing-pad", MODEL_BACKWARDS);
    assert_harm("path: [external: [20, 40]]", "path: [internal: [20, 40]]", MODEL_BACKWARDS);
}
END_TEST

START_TEST(ways_that_are_allowed)
{
    /* The spool turns in its normal direction when the pad turns ccw. */
    assert_harm("drives: both", "drives: ccw", MODEL_LABEL);
    assert_harm("drives: both", "drives: cw", MODEL_BACKWARDS);
    assert_harm("never-backwards: no", "never-backwards: yes", MODEL_LABEL);
}
END_TEST

START_TEST(limits)
{
    assert_harm("120 deg/min", "130 deg/min", MODEL_OVERLOAD);
    assert_harm("120 deg/min", "110 deg/min", MODEL_LABEL);
    assert_harm("torque-limit: 40", "torque-limit: 41", MODEL_OVERLOAD);
    assert_harm("torque-limit: 40", "torque-limit: 39", MODEL_LABEL);
    assert_harm("torque-limit: 60", "torque-limit: 61", MODEL_OVERLOAD);
    assert_harm("square: 3/8 in, torque-limit: 40", "square: 1/2 in, torque-limit: 40",
                MODEL_LABEL);
}
END_TEST

START_TEST(counts_of_blades)
{
    assert_harm("blades: 90", "blades: 91", MODEL_MISCOUNT);
    assert_harm("blades: 20", "blades: 21", MODEL_MISCOUNT);
    assert_harm("numbering: with-rotation", "numbering: against-rotation", MODEL_MISCOUNT);
    assert_harm("id: FAN, spool: LP", "id: FAN, spool: HP", MODEL_MISCOUNT);
    assert_harm("blade: 12", "blade: 13", MODEL_MISCOUNT);
    /* No speed is stated for LP, so the device turns it at its own. */
    assert_harm("crank, spool: HP", "crank, spool: LP", MODEL_OVERLOAD);
    assert_harm("role: fan", "role: turbine", MODEL_LABEL);
}
END_TEST

/* Blade one of C1 is found from C2, whose half pitch is 4 deg. */
START_TEST(half_a_pitch_of_the_clocked_stages)
{
    assert_harm("10.0 deg", "13.9 deg", MODEL_DEGREES);
    assert_harm("10.0 deg", "6.1 deg", MODEL_DEGREES);
    assert_harm("10.0 deg", "14.0 deg", MODEL_MISCOUNT);
    assert_harm("4:20", "4:27", MODEL_DEGREES);
    assert_harm("4:20", "4:28", MODEL_MISCOUNT);
}
END_TEST

/* A half pitch of C3 is 2 deg; nothing follows from the only port of a stage without clocking. */
START_TEST(ports_that_make_stops)
{
    assert_harm("6:20", "6:23", MODEL_DEGREES);
    assert_harm("6:20", "6:24", MODEL_MISCOUNT);
    assert_harm("3:10", "8:50", MODEL_LABEL);
}
END_TEST

/* The finest half pitch that the pad turns is 2 deg: 4 deg at the pad, 2 at the adapter. */
START_TEST(backlash)
{
    assert_harm("4.00 deg", "0.01 deg", MODEL_DEGREES);
    assert_harm("4.00 deg", "0.00 deg", MODEL_MISCOUNT);
    assert_harm("4.00 deg", "14.00 deg", MODEL_LABEL);
    assert_harm("0.50 deg", "0.40 deg", MODEL_DEGREES);
    assert_harm("0.50 deg", "0.60 deg", MODEL_LABEL);
}
END_TEST

/* 360 (2 - b) / b degrees a turn.  With more pad turns a rotor turn the rotor turns too fast. */
START_TEST(ratios)
{
    assert_harm("2.000,", "1.989,", MODEL_DEGREES);
    assert_harm("2.000,", "1.988,", MODEL_MISCOUNT);
    assert_harm("2.000,", "2.011,", MODEL_OVERLOAD);
}
END_TEST

/* 2.000 is known within 0.0005: 0.09 deg a turn. */
START_TEST(a_ratio_that_is_less_certain_than_stated)
{
    ck_assert_int_eq(harm("2.000,", "2.0000,", "ratio_uncertainty"), MODEL_DEGREES);
    ck_assert_int_eq(harm("2.000,", "2.00,", "ratio_uncertainty"), MODEL_LABEL);
}
END_TEST

START_TEST(a_clutch_that_lets_go)
{
    static struct compare_changes changes;
    struct compare_side before = {.arena = &support.arena}, after = {.arena = &support.arena};
    changes = (struct compare_changes){.arena = &support.arena};
    add(&before, with("drives: both", "drives: ccw"));
    add(&after, engine);
    compare_two_numbers(&before.engines[0], &after.engines[0], &changes);
    ck_assert_uint_eq(changes.count, 1);
    ck_assert_int_eq(changes.items[0].harm, MODEL_MISCOUNT);
    changes.count = 0;
    add(&after, with("drives: both", "drives: cw"));
    compare_two_numbers(&before.engines[0], &after.engines[1], &changes);
    ck_assert_int_eq(changes.items[0].harm, MODEL_BACKWARDS);
    changes.count = 0;
    before.count = after.count = 0;
    add(&before, with("never-backwards: no", "never-backwards: yes"));
    add(&after, engine);
    compare_two_numbers(&before.engines[0], &after.engines[0], &changes);
    ck_assert_int_eq(changes.items[0].harm, MODEL_BACKWARDS);
}
END_TEST

START_TEST(the_bound_itself_is_another_blade)
{
    ck_assert_int_eq(compare_harm_beside((struct exact_rational){179, 100}, 100), MODEL_DEGREES);
    ck_assert_int_eq(compare_harm_beside((struct exact_rational){180, 100}, 100), MODEL_MISCOUNT);
}
END_TEST

int main(void)
{
    Suite *suite = suite_create("harm");
    TCase *tests = tcase_create("harm");
    tcase_add_checked_fixture(tests, set_up, tear_down);
    tcase_add_test(tests, the_wrong_way);
    tcase_add_test(tests, ways_that_are_allowed);
    tcase_add_test(tests, limits);
    tcase_add_test(tests, counts_of_blades);
    tcase_add_test(tests, half_a_pitch_of_the_clocked_stages);
    tcase_add_test(tests, ports_that_make_stops);
    tcase_add_test(tests, backlash);
    tcase_add_test(tests, ratios);
    tcase_add_test(tests, a_ratio_that_is_less_certain_than_stated);
    tcase_add_test(tests, a_clutch_that_lets_go);
    tcase_add_test(tests, the_bound_itself_is_another_blade);
    suite_add_tcase(suite, tests);
    return support_run(suite);
}
