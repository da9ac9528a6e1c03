/*
 * rules_slips_test.c - ports and stages that look like a slip, and those that only nearly do.
 */
#include "unit/rules_support.h"

#define SPOOL(id)                                                                                  \
    "  - id: " id "\n    rotation: {sense: cw, view: aft-looking-forward}\n    turned-by: hand\n"
#define STAGE(id, spool, rest)                                                                     \
    "  - {id: " id ", spool: " spool ", role: compressor, blades: 32, numbering: "                 \
    "against-rotation" rest "}\n"

/* Judges the sound definition with more spools and stages. */
static void assert_slip(const char *spools, const char *stages, enum rule_id rule,
                        enum severity severity, const char *says)
{
    struct trial t;
    trial_start(&t);
    trial_change(&t, "stages:\n", arena_printf(&t.s.arena, "%sstages:\n", spools));
    trial_change(&t, "pads:\n", arena_printf(&t.s.arena, "%spads:\n", stages));
    if (rule == RULE_NONE) {
        trial_finds_nothing(&t);
    } else {
        assert_says(trial_finds(&t, rule, severity)->message, says);
    }
    trial_end(&t);
}

START_TEST(one_port_at_two_positions)
{
    static const struct {
        const char *stages;
        bool found;
    } cases[] = {
        {STAGE("S2", "HP", ", port: {id: P1, clock: @\"4:15\"@}"), true},
        {STAGE("S2", "HP", ", port: {id: P1, clock: \"4:30\"}"), false},
        {STAGE("S2", "HP", ", port: {id: P2, clock: \"4:15\"}"), false},
        {STAGE("S2", "HP", ", port: {id: P1, clock: {at: \"7:30\", view: forward-looking-aft}}"),
         false},
        {STAGE("S2", "HP", ", port: {id: P1, clock: @{at: \"4:30\", view: forward-looking-aft}@}"),
         true},
        /* the second one is wrong, and the third agrees with it */
        {STAGE("S2", "HP", ", port: {id: P1, clock: @\"4:15\"@}")
             STAGE("S3", "HP", ", blade-one: x, port: {id: P1, clock: \"4:15\"}"),
         true},
        {STAGE("S2", "HP", ", port: [{id: P0, clock: \"1:00\"}, {id: P1, clock: @\"9:00\"@}]"),
         true},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        assert_slip("", cases[i].stages, cases[i].found ? RULE_PORT_TWO_CLOCKS : RULE_NONE,
                    SEVERITY_ERROR, "at 4:30 on another stage");
    }
}
END_TEST

START_TEST(stages_named_after_another_spool)
{
    static const struct {
        const char *spools, *stages;
        bool found;
    } cases[] = {
        {SPOOL("LP"), STAGE("LPC-1", "@HP@", ""), true},
        {SPOOL("LP"), STAGE("lpc-1", "@HP@", ""), true},
        {SPOOL("LP"), STAGE("LPC-1", "LP", ""), false},
        {SPOOL("LP"), STAGE("FAN", "HP", ""), false},
        {SPOOL("LP"), STAGE("C-LP", "HP", ""), false},
        {SPOOL("S"), STAGE("S2", "HP", ""), false},       /* a letter is too little to tell */
        {SPOOL("HP-A"), STAGE("HP-A1", "HP", ""), false}, /* its own spool's name is in it too */
        {SPOOL("HP-A"), STAGE("HPC-1", "@HP-A@", ""), true},
        {SPOOL("LP"), STAGE("L", "HP", ""), false},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        assert_slip(cases[i].spools, cases[i].stages,
                    cases[i].found ? RULE_STAGE_NAME_MISLEADS : RULE_NONE, SEVERITY_NOTE,
                    "but its name begins with");
    }
}
END_TEST

#define SAME ", blade-one: two lugs, port: {id: P1, clock: \"4:30\"}, clocking: 12.5 deg"

START_TEST(stages_alike)
{
    static const struct {
        const char *stages;
        bool found;
    } cases[] = {
        {STAGE("@S2@", "HP", SAME), true},
        {STAGE("@S2@", "HP",
               ", blade-one: two lugs, port: [{id: P1, clock: \"4:30\"}], clocking: 750 arcmin"),
         true},
        {STAGE("S2", "HP", SAME ", note: blisk"), false},
        {STAGE("S2", "HP", ", blade-one: two lugs, port: {id: P1, clock: \"4:30\"}"), false},
        {STAGE("S2", "HP", ", blade-one: lug, port: {id: P1, clock: \"4:30\"}, clocking: 12.5 deg"),
         false},
        {STAGE("S2", "HP", ", blade-one: two lugs, clocking: 12.5 deg"), false},
        {STAGE("S2", "HP",
               ", blade-one: two lugs, port: {id: P2, clock: \"4:30\"}, clocking: 12.5 deg"),
         false},
        {STAGE("S2", "LP", SAME), false},
        {STAGE("S2", "HP", SAME ", known-blades: [{blade: 9, how: dot}]"), false},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        assert_slip(SPOOL("LP"), cases[i].stages, cases[i].found ? RULE_STAGES_ALIKE : RULE_NONE,
                    SEVERITY_NOTE, "the same as stage S1");
    }
    struct trial t;
    trial_start(&t);
    trial_change(&t, "pads:\n", STAGE("S2", "HP", SAME) "pads:\n");
    trial_change(&t, "    blades: 32\n", "    blades: 33\n");
    trial_finds_nothing(&t);
    trial_end(&t);
}
END_TEST

START_TEST(drives_that_are_not_stated)
{
    struct trial t;
    trial_start(&t);
    trial_change(&t, "    drives: both\n", "");
    trial_change(&t, "- id: crank", "- id: @crank@");
    (void)trial_finds(&t, RULE_DRIVES_MISSING, SEVERITY_NOTE);
    trial_end(&t);
}
END_TEST

START_TEST(models_that_are_not_stated)
{
    for (int draft = 0; draft < 2; draft++) {
        struct trial t;
        trial_start(&t);
        trial_change(&t, "models: [Plover 2, Plover 2B]\n", "");
        trial_change(&t, "status: released", draft ? "status: draft" : "status: released");
        (void)trial_finds(&t, RULE_MODELS_MISSING, draft ? SEVERITY_WARNING : SEVERITY_ERROR);
        trial_end(&t);
    }
}
END_TEST

int main(void)
{
    TCase *tests = tcase_create("slips");
    tcase_add_test(tests, one_port_at_two_positions);
    tcase_add_test(tests, stages_named_after_another_spool);
    tcase_add_test(tests, stages_alike);
    tcase_add_test(tests, drives_that_are_not_stated);
    tcase_add_test(tests, models_that_are_not_stated);
    return run_case("rules", tests);
}
