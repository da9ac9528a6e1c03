/*
 * rules_gears_test.c - tooth counts that can be, and ids and texts that fit.
 */
#include "unit/rules_support.h"

/* A train of -2 in the place of the sound one, so that only the teeth are judged. */
#define EPICYCLIC(sun, ring, planet, planets)                                                      \
    "[epicyclic: {sun: " sun ", ring: " ring ", planet: " planet ", planets: " planets             \
    ", in: sun, out: ring, held: carrier}]"

struct gears {
    const char *path;
    enum rule_id rule;
    enum severity severity;
};

static void assert_gears(const struct gears *gears, bool of_device)
{
    struct trial t;
    trial_start(&t);
    if (of_device) {
        struct marks marks;
        struct support *s = &t.s;
        const char *text = changed(&s->arena, sound_device, "reduction: {motor: 80, output: 1}",
                                   arena_printf(&s->arena, "path: %s", gears->path));
        support_device(s, unmarked(&s->arena, text, &marks));
        struct model_policy policy;
        memset(&policy, 0, sizeof policy);
        model_policy_complete(&policy);
        struct rules_judging judging = {.file = &s->device.file,
                                        .policy = &policy,
                                        .device_policy = &policy,
                                        .arena = &s->arena,
                                        .findings = &s->findings};
        rules_judge_device(&judging, s->device.device);
        const struct finding *finding = assert_only(s, gears->rule);
        if (finding) {
            ck_assert_int_eq(finding->severity, gears->severity);
            assert_marked(&finding->at, &marks);
        }
    } else {
        trial_change(&t, "[external: [20, 40]]", gears->path);
        trial_change(&t, "    turns: {pad: 2, rotor: 1}\n", "");
        trial_change(&t, "counted: {pad: 20 +/- 0.1 rev, rotor: 10 rev}",
                     "counted: {pad: 100 +/- 99 rev, rotor: 10 rev}");
        trial_change(&t, "backlash: 1.2 deg", "backlash: 0.11 deg");
        t.policy = "policy: 1\nrules: {observation-missing: off}\n"; /* it fits every ratio */
        if (gears->rule == RULE_NONE) {
            trial_finds_nothing(&t);
        } else {
            (void)trial_finds(&t, gears->rule, gears->severity);
        }
    }
    trial_end(&t);
}

START_TEST(teeth)
{
    static const struct gears cases[] = {
        {"[external: [8, 16]]", RULE_NONE, SEVERITY_OFF},
        {"[external: [@7@, 16]]", RULE_TEETH_FEW, SEVERITY_WARNING},
        {"[external: [16, @7@, 20, 16]]", RULE_TEETH_FEW, SEVERITY_WARNING}, /* an idler too */
        {"[external: [125, 250]]", RULE_NONE, SEVERITY_OFF},
        {"[external: [125, @251@]]", RULE_TEETH_MANY, SEVERITY_WARNING},
        {"[external: [20, 20], internal: [@7@, 16]]", RULE_TEETH_FEW, SEVERITY_WARNING},
        {EPICYCLIC("20", "40", "10", "4"), RULE_NONE, SEVERITY_OFF},
        {EPICYCLIC("14", "28", "@7@", "3"), RULE_TEETH_FEW, SEVERITY_WARNING},
        {EPICYCLIC("@7@", "31", "12", "2"), RULE_TEETH_FEW, SEVERITY_WARNING},
        {EPICYCLIC("126", "@252@", "63", "3"), RULE_TEETH_MANY, SEVERITY_WARNING},
        {"[external: [20, 20], internal: [20, 29]]", RULE_NONE, SEVERITY_OFF},
        {"[external: [20, 20], @internal: [20, 28]@]", RULE_INTERNAL_CLEARANCE, SEVERITY_WARNING},
        {"[external: [20, 20], @internal: [28, 20]@]", RULE_INTERNAL_CLEARANCE, SEVERITY_WARNING},
        {"[external: [20, 20], internal: [29, 20]]", RULE_NONE, SEVERITY_OFF},
        {EPICYCLIC("16", "48", "16", "@64@"), RULE_PLANETS_COLLIDE, SEVERITY_ERROR},
        {EPICYCLIC("20", "@42@", "10", "2"), RULE_RING_SUM, SEVERITY_WARNING},
        {EPICYCLIC("20", "@38@", "10", "2"), RULE_RING_SUM, SEVERITY_WARNING},
        {EPICYCLIC("20", "@41@", "10", "2"), RULE_RING_SUM, SEVERITY_WARNING}, /* and spacing */
        {EPICYCLIC("20", "40", "10", "@7@"), RULE_PLANETS_SPACING, SEVERITY_WARNING},
        {EPICYCLIC("20", "40", "10", "5"), RULE_NONE, SEVERITY_OFF},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        assert_gears(&cases[i], false);
        assert_gears(&cases[i], true); /* a device's own reduction is judged as well */
    }
}
END_TEST

/* Every pair that is the same; a train that cannot be is not calculated with. */
START_TEST(members)
{
    static const char *const names[] = {"sun", "ring", "carrier"};
    for (int i = 0; i < 27; i++) {
        const int m[] = {i / 9, i / 3 % 3, i % 3};
        bool whole = m[0] != m[1] && m[0] != m[2] && m[1] != m[2];
        struct trial t;
        trial_start(&t);
        trial_change(&t, "[external: [20, 40]]",
                     arena_printf(&t.s.arena,
                                  "[epicyclic: {sun: 20, ring: 40, planet: 10, planets: 4, in: %s, "
                                  "out: %s, held: %s}]",
                                  names[m[0]], names[m[1]], names[m[2]]));
        (void)trial_judge(&t);
        if (!whole) {
            const struct finding *finding = assert_only(&t.s, RULE_EPICYCLIC_MEMBERS);
            ck_assert_int_eq(finding->severity, SEVERITY_ERROR);
            ck_assert_uint_gt(finding->at.column, finding->notes->at.column);
        } else {
            for (size_t f = 0; f < t.s.findings.count; f++) {
                ck_assert_int_ne(t.s.findings.items[f]->rule, RULE_EPICYCLIC_MEMBERS);
            }
        }
        trial_end(&t);
    }
}
END_TEST

START_TEST(numbers_too_large)
{
    struct trial t;
    trial_start(&t);
    t.device = sound_device;
    t.policy = "policy: 1\nlimits: {teeth: {min: 8, max: 9999}}\n";
    trial_change(&t, "[external: [20, 40]]",
                 "@[external: [9999, 9998], external: [9999, 9998], external: [9999, 9998], "
                 "external: [9999, 9998], external: [9999, 9998]]@");
    (void)trial_finds(&t, RULE_NUMBER_TOO_LARGE, SEVERITY_ERROR);
    trial_end(&t);

    /* On the device: more counts a turn than a table holds. */
    trial_start(&t);
    trial_device(&t, "counts-per-motor-turn: 2000", "counts-per-motor-turn: 6710887");
    trial_change(&t, "[external: [20, 40]]", "@[external: [20, 40]]@");
    (void)trial_finds(&t, RULE_NUMBER_TOO_LARGE, SEVERITY_ERROR);
    trial_end(&t);

    /* At the rotor: the backlash. */
    trial_start(&t);
    t.policy = "policy: 1\nlimits: {teeth: {min: 8, max: 9999}}\n";
    trial_change(&t, "    turns: {pad: 2, rotor: 1}\n", "");
    trial_change(&t, "[external: [20, 40]]",
                 "[external: [9998, 9999], external: [9998, 9999], external: [9998, 9999]]");
    trial_change(&t, "counted: {pad: 20 +/- 0.1 rev", "counted: {pad: 10 +/- 0.1 rev");
    trial_change(&t, "backlash: 1.2 deg", "backlash: @0.12345678901234567 deg@");
    (void)trial_finds(&t, RULE_NUMBER_TOO_LARGE, SEVERITY_ERROR);
    trial_end(&t);
}
END_TEST

/* Within one file: without case, spaces and hyphens. */
START_TEST(ids_taken_within_a_file)
{
    static const struct {
        const char *id;
        bool taken;
    } cases[] = {{"@S1@", true}, {"@s1@", true}, {"@S-1@", true}, {"S2", false}, {"HP", false}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        struct trial t;
        trial_start(&t);
        trial_change(&t, "pads:\n",
                     arena_printf(&t.s.arena,
                                  "  - {id: %s, spool: HP, role: turbine, blades: 30, numbering: "
                                  "with-rotation}\npads:\n",
                                  cases[i].id));
        if (cases[i].taken) {
            const struct finding *finding = trial_finds(&t, RULE_ID_TAKEN, SEVERITY_ERROR);
            ck_assert_uint_eq(finding->notes->at.line, 13);
        } else {
            trial_finds_nothing(&t);
        }
        trial_end(&t);
    }
}
END_TEST

/* 20 bytes and ASCII on the sound device. */
START_TEST(texts_on_the_device)
{
    static const struct {
        const char *from, *to, *charset;
        enum rule_id rule;
    } cases[] = {
        {"name: Plover 2", "name: a2345678901234567890", "ascii", RULE_NONE},
        {"name: Plover 2", "name: @a23456789012345678901@", "ascii", RULE_TEXT_TOO_LONG},
        {"name: Plover 2", "name: @caf\xc3\xa9@", "ascii", RULE_TEXT_NOT_SHOWN},
        {"name: Plover 2", "name: Plover ~", "ascii", RULE_NONE}, /* its last */
        {"name: Plover 2", "name: caf\xc3\xa9", "latin-1", RULE_NONE},
        {"name: Plover 2", "name: Plover \xc3\xbf", "latin-1", RULE_NONE}, /* its last, U+00FF */
        {"name: Plover 2", "name: @Plover \xc4\x80@", "latin-1", RULE_TEXT_NOT_SHOWN},
        {"name: Plover 2", "name: @\xe2\x82\xac 5@", "latin-1", RULE_TEXT_NOT_SHOWN},
        {"name: Plover 2", "name: \xe2\x82\xac\xf0\x9f\x94\xa7", "utf-8", RULE_NONE},
        /* bytes, not characters */
        {"name: Plover 2",
         "name: \xc3\xa9\xc3\xa9\xc3\xa9\xc3\xa9\xc3\xa9\xc3\xa9\xc3\xa9\xc3\xa9"
         "\xc3\xa9\xc3\xa9",
         "utf-8", RULE_NONE},
        {"name: Plover 2",
         "name: @\xc3\xa9\xc3\xa9\xc3\xa9\xc3\xa9\xc3\xa9\xc3\xa9\xc3\xa9\xc3\xa9"
         "\xc3\xa9\xc3\xa9x@",
         "utf-8", RULE_TEXT_TOO_LONG},
        {"blade-one: two lugs", "blade-one: @two locking lugs at it@", "ascii", RULE_TEXT_TOO_LONG},
        {"Plover 2, Plover 2B", "Plover 2, @Plover 2B and all others@", "ascii",
         RULE_TEXT_TOO_LONG},
        {"id: P1,", "id: @P123456789-123456789-X@,", "ascii", RULE_TEXT_TOO_LONG},
        /* what does not go into a table may be longer */
        {"source: Invented", "source: Invented for this test, at some length, \xc3\xa9", "ascii",
         RULE_NONE},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        struct trial t;
        trial_start(&t);
        trial_device(&t, "text: ascii", arena_printf(&t.s.arena, "text: %s", cases[i].charset));
        trial_change(&t, cases[i].from, cases[i].to);
        if (cases[i].rule == RULE_NONE) {
            trial_finds_nothing(&t);
        } else {
            (void)trial_finds(&t, cases[i].rule, SEVERITY_ERROR);
        }
        trial_end(&t);
    }
}
END_TEST

START_TEST(more_than_fits)
{
    static const struct {
        const char *limit, *to;
        bool fits;
    } cases[] = {{"stages: 24", "stages: 1", true},
                 {"pads: 4", "pads: 1", true},
                 {"blades: 255", "blades: 32", true},
                 {"blades: 255", "blades: 31", false}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        struct trial t;
        trial_start(&t);
        trial_device(&t, cases[i].limit, cases[i].to);
        if (cases[i].fits) {
            trial_finds_nothing(&t);
        } else {
            trial_change(&t, "blades: 32", "blades: @32@");
            const struct finding *finding = trial_finds(&t, RULE_TOO_MANY, SEVERITY_ERROR);
            ck_assert_str_eq(number_of(finding, "count"), "32");
            ck_assert_str_eq(number_of(finding, "limit"), "31");
        }
        trial_end(&t);
    }
}
END_TEST

int main(void)
{
    TCase *tests = tcase_create("gears");
    tcase_add_test(tests, teeth);
    tcase_add_test(tests, members);
    tcase_add_test(tests, numbers_too_large);
    tcase_add_test(tests, ids_taken_within_a_file);
    tcase_add_test(tests, texts_on_the_device);
    tcase_add_test(tests, more_than_fits);
    return run_case("rules", tests);
}
