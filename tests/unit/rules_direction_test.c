/*
 * rules_direction_test.c - senses against geometry, against each other, and what proves them.
 *
 * In the sound definition a pad that faces aft turns ccw through one external mesh: looking
 * forward the pad's shaft turns ccw, the rotor cw.
 */
#include "unit/rules_support.h"

#define FACES "    faces: aft\n"
#define PATH "[external: [20, 40]]"
#define SEEN "    seen: {pad: ccw, rotor: cw}\n"
#define BACKLASH "    backlash: 1.2 deg\n"

/* A second pad on the same spool, through two meshes. */
#define SECOND(rotation, path)                                                                     \
    "  - id: quill\n"                                                                              \
    "    spool: HP\n"                                                                              \
    "    faces: forward\n"                                                                         \
    "    rotation: " rotation "\n"                                                                 \
    "    path: [" path "]\n"                                                                       \
    "    drives: both\n"                                                                           \
    "    torque-limit: 10 N.m\n"                                                                   \
    "    backlash: 1 deg\n"                                                                        \
    "observations:\n"                                                                              \
    "  - pad: quill\n"                                                                             \
    "    counted: {pad: 20 +/- 0.1 rev, rotor: 10 rev}\n"

START_TEST(sense_against_the_path)
{
    struct trial t;
    trial_start(&t);
    trial_change(&t, SEEN, "");
    trial_change(&t, "rotation: {sense: ccw, view: facing-pad}",
                 "rotation: @{sense: cw, view: facing-pad}@");
    const struct finding *finding = trial_finds(&t, RULE_SENSE_DISAGREES, SEVERITY_ERROR);
    ck_assert_str_eq(number_of(finding, "derived"), "ccw");
    ck_assert_str_eq(number_of(finding, "stated"), "cw");
    ck_assert_uint_eq(finding->notes->at.line, 10);
    ck_assert_uint_eq(finding->notes->next->at.line, 27);
    trial_end(&t);
}
END_TEST

/* Every way in which two of the six statements can be turned round, and still agree or not. */
START_TEST(senses_turned_round)
{
    for (int i = 0; i < 64; i++) {
        struct trial t;
        bool spool_ccw = i & 1;
        bool spool_fla = i & 2;
        bool pad_cw = i & 4;
        bool faces_forward = i & 8;
        bool idler = i & 16;
        bool ring = i & 32;
        trial_start(&t);
        trial_change(&t, SEEN, "");
        trial_change(&t, "ccw, view: facing-pad",
                     pad_cw ? "cw, view: facing-pad" : "ccw, view: facing-pad");
        trial_change(&t, "{sense: cw, view: aft-looking-forward}",
                     arena_printf(&t.s.arena, "{sense: %s, view: %s}", spool_ccw ? "ccw" : "cw",
                                  spool_fla ? "forward-looking-aft" : "aft-looking-forward"));
        trial_change(&t, "faces: aft", faces_forward ? "faces: forward" : "faces: aft");
        trial_change(&t, PATH,
                     arena_printf(&t.s.arena, "[%s: [20, %s40]]", ring ? "internal" : "external",
                                  idler && !ring ? "30, " : ""));
        /* Each of them turns the answer round once; an idler and a ring gear do the same. */
        int turned = spool_ccw + spool_fla + pad_cw + faces_forward + (idler || ring);
        if (turned % 2 == 0) {
            trial_finds_nothing(&t);
        } else {
            (void)trial_finds(&t, RULE_SENSE_DISAGREES, SEVERITY_ERROR);
        }
        trial_end(&t);
    }
}
END_TEST

/* Two pads that agree with each other outvote the spool: one finding, where the mistake is. */
START_TEST(spool_is_outvoted)
{
    struct trial t;
    trial_start(&t);
    trial_change(&t, SEEN, "");
    trial_change(&t, "observations:\n",
                 SECOND("{sense: ccw, view: facing-pad}", "external: [20, 30, 40]"));
    trial_finds_nothing(&t);
    trial_end(&t);

    trial_start(&t);
    trial_change(&t, SEEN, "");
    trial_change(&t, "rotation: {sense: cw, view: aft-looking-forward}",
                 "rotation: @{sense: ccw, view: aft-looking-forward}@");
    trial_change(&t, "observations:\n",
                 SECOND("{sense: ccw, view: facing-pad}", "external: [20, 30, 40]"));
    const struct finding *finding = trial_finds(&t, RULE_SENSE_DISAGREES, SEVERITY_ERROR);
    assert_says(finding->message, "all pads of spool HP");
    assert_says(finding->notes->text, "pad crank");
    assert_says(finding->notes->next->text, "pad quill");
    assert_says(finding->remedy, "the sense of the spool");
    trial_end(&t);

    /* Where another mistake keeps the first pad from being judged, the next one has the finding. */
    trial_start(&t);
    trial_change(&t, SEEN, "");
    trial_change(&t, "rotation: {sense: cw, view: aft-looking-forward}",
                 "rotation: {sense: ccw, view: aft-looking-forward}");
    trial_change(&t, BACKLASH,
                 BACKLASH
                 "    adapter: {torque-limit: 60 lbf.ft, backlash: 0 deg, faces: up, path: [bevel: "
                 "{teeth: [20, 20], backs: [up, up]}]}\n");
    trial_change(&t, "observations:\n",
                 SECOND("{sense: ccw, view: facing-pad}", "external: [20, 30, 40]"));
    (void)trial_judge(&t);
    ck_assert_msg(t.s.findings.count == 2, "%s", support_words(&t.s));
    ck_assert_int_eq(t.s.findings.items[0]->rule, RULE_BACKS_OFF_AXIS);
    ck_assert_int_eq(t.s.findings.items[1]->rule, RULE_SENSE_DISAGREES);
    ck_assert_str_eq(t.s.findings.items[1]->pad, "quill");
    trial_end(&t);

    /* One against the other: the one that disagrees is told. */
    trial_start(&t);
    trial_change(&t, SEEN, "");
    trial_change(&t, "observations:\n",
                 SECOND("@{sense: cw, view: facing-pad}@", "external: [20, 30, 40]"));
    finding = trial_finds(&t, RULE_SENSE_DISAGREES, SEVERITY_ERROR);
    assert_says(finding->message, "pad quill");
    trial_end(&t);
}
END_TEST

START_TEST(nothing_proves_the_sense)
{
    const struct {
        const char *faces, *path; /* NULL: no path, and exact turns */
        const char *reason;
    } cases[] = {
        {"", PATH, "the pad has no faces"},
        {FACES, NULL, "the pad has no path"},
        {FACES, "[external: [20, 40], bevel: [20, 20], bevel: [20, 20]]", "has no backs"},
        {FACES, "[bevel: {teeth: [20, 40], backs: [aft, up]}]", "ends on a shaft"},
        {"    faces: up\n", PATH, "ends on a shaft"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        for (int seen = 0; seen < 2; seen++) {
            struct trial t;
            trial_start(&t);
            trial_change(&t, FACES, cases[i].faces);
            trial_change(&t, PATH, cases[i].path ? cases[i].path : "[direct]");
            trial_change(&t, "{pad: 2, rotor: 1}", "{pad: 2 +/- 0, rotor: 1}");
            if (!cases[i].path) {
                trial_change(&t, "    path: [direct]\n", "");
            }
            trial_change(&t, "{sense: ccw, view: facing-pad}", "@{sense: ccw, view: facing-pad}@");
            if (seen) {
                trial_finds_nothing(&t); /* somebody looked */
            } else {
                trial_change(&t, SEEN, "");
                const struct finding *finding =
                    trial_finds(&t, RULE_SENSE_UNPROVEN, SEVERITY_ERROR);
                assert_says(finding->message, cases[i].reason);
                if (strstr(cases[i].reason, "backs")) {
                    ck_assert_uint_eq(finding->notes->at.column, 32);
                }
            }
            trial_end(&t);
        }
    }
}
END_TEST

/* Whoever may have looked could not be read: that is told, and nothing of what follows from it. */
START_TEST(unread_observations_may_have_looked)
{
    struct trial t;
    trial_start(&t);
    t.policy = "policy: 1\nrules: {observation-missing: off}\n";
    trial_change(&t, FACES, "");
    t.text = arena_printf(&t.s.arena, "%.*sobservations: @the inspector@\n",
                          (int)(strstr(t.text, "observations:") - t.text), t.text);
    (void)trial_finds(&t, RULE_WRONG_SHAPE, SEVERITY_ERROR);
    trial_end(&t);
}
END_TEST

/* Seen along the engine a sense says nothing of a pad on the side, whoever looked. */
START_TEST(views_that_cannot_be)
{
    static const char *const faces[] = {"    faces: up\n", ""};
    static const char *const says[] = {"does not face aft or forward", "has no faces"};
    for (int i = 0; i < 2; i++) {
        struct trial t;
        trial_start(&t);
        trial_change(&t, FACES, faces[i]);
        trial_change(&t, "{sense: ccw, view: facing-pad}",
                     "@{sense: ccw, view: aft-looking-forward}@");
        const struct finding *finding = trial_finds(&t, RULE_SENSE_UNPROVEN, SEVERITY_ERROR);
        assert_says(finding->message, says[i]);
        trial_end(&t);
    }
}
END_TEST

#define ADAPTER(what)                                                                              \
    BACKLASH "    @adapter@: {torque-limit: 60 lbf.ft, backlash: 0 deg, " what "}\n"

START_TEST(nothing_proves_the_adapter)
{
    const struct {
        const char *faces, *adapter, *reason;
    } cases[] = {
        {FACES, ADAPTER("faces: up, path: [bevel: [20, 20]]"), "has no backs"},
        {"", ADAPTER("path: [bevel: {teeth: [20, 20], backs: [aft, up]}]"), "the pad has no faces"},
        {FACES, ADAPTER("faces: up, path: [direct]"), "ends on a shaft"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        struct trial t;
        trial_start(&t);
        trial_change(&t, FACES, cases[i].faces);
        trial_change(&t, BACKLASH, cases[i].adapter);
        const struct finding *finding = trial_finds(&t, RULE_SENSE_UNPROVEN, SEVERITY_ERROR);
        assert_says(finding->message, "which way the adapter turns the pad");
        assert_says(finding->message, cases[i].reason);
        trial_end(&t);
    }
}
END_TEST

START_TEST(backs_off_axis)
{
    const struct {
        const char *from, *to, *says, *note;
    } cases[] = {
        {PATH, "[bevel: {teeth: [20, 40], backs: @[up, forward]@}]",
         "is not on the axis of the back", "the pad faces aft"},
        {PATH, "[external: [20, 40], bevel: {teeth: [20, 40], backs: @[up, forward]@}]",
         "is not on the axis of the back", "the pad faces aft"},
        {PATH,
         "[bevel: {teeth: [20, 40], backs: [aft, up]}, external: [20, 20], bevel: {teeth: [20, "
         "20], backs: @[left, up]@}]",
         "is not on the axis of the back", "the bevel pair before it"},
        {PATH, "[bevel: {teeth: [20, 40], backs: @[aft, aft]@}]", "are on one axis", NULL},
        {PATH, "[bevel: {teeth: [20, 40], backs: @[aft, forward]@}]", "are on one axis", NULL},
        {BACKLASH,
         BACKLASH
         "    adapter: {torque-limit: 60 lbf.ft, backlash: 0 deg, faces: up, path: [bevel: {teeth: "
         "[20, 20], backs: @[aft, up]@}]}\n",
         "is not on the axis of the back", "the adapter faces up"},
        {BACKLASH,
         BACKLASH "    adapter: {torque-limit: 60 lbf.ft, backlash: 0 deg, path: [bevel: {teeth: "
                  "[20, 20], backs: @[up, aft]@}]}\n",
         "is not on the axis of the back", "the pad faces aft"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        struct trial t;
        trial_start(&t);
        trial_change(&t, cases[i].from, cases[i].to);
        const struct finding *finding = trial_finds(&t, RULE_BACKS_OFF_AXIS, SEVERITY_ERROR);
        assert_says(finding->message, cases[i].says);
        ck_assert(!cases[i].note == !finding->notes);
        if (cases[i].note) {
            ck_assert_str_eq(finding->notes->text, cases[i].note);
        }
        trial_end(&t);
    }
}
END_TEST

/* The pad turns ccw when the spool turns in its normal direction. */
START_TEST(clutches)
{
    const struct {
        const char *drives;
        bool against;
    } cases[] = {{"both", false}, {"ccw", false}, {"@cw@", true}};
    for (size_t i = 0; i < 3; i++) {
        struct trial t;
        trial_start(&t);
        trial_change(&t, "drives: both", arena_printf(&t.s.arena, "drives: %s", cases[i].drives));
        if (cases[i].against) {
            const struct finding *finding = trial_finds(&t, RULE_ONE_WAY_AGAINST, SEVERITY_ERROR);
            ck_assert_uint_eq(finding->notes->at.line, 25);
        } else {
            trial_finds_nothing(&t);
        }
        trial_end(&t);
    }
    struct trial t; /* looking forward instead of facing the pad that faces forward */
    trial_start(&t);
    trial_change(&t, "faces: aft\n    rotation: {sense: ccw, view: facing-pad}",
                 "faces: forward\n    rotation: {sense: ccw, view: aft-looking-forward}");
    trial_change(&t, SEEN, "");
    trial_change(&t, "drives: both", "drives: @ccw@");
    (void)trial_finds(&t, RULE_ONE_WAY_AGAINST, SEVERITY_ERROR);
    trial_end(&t);
}
END_TEST

/* A look at the engine: both turned round is the same look. */
START_TEST(what_was_seen)
{
    const struct {
        const char *seen;
        bool agrees;
    } cases[] = {{"{pad: ccw, rotor: cw}", true},
                 {"{pad: cw, rotor: ccw}", true},
                 {"@{pad: cw, rotor: cw}@", false},
                 {"@{pad: ccw, rotor: ccw}@", false}};
    for (size_t i = 0; i < 4; i++) {
        struct trial t;
        trial_start(&t);
        trial_change(&t, "{pad: ccw, rotor: cw}", cases[i].seen);
        if (cases[i].agrees) {
            trial_finds_nothing(&t);
        } else {
            (void)trial_finds(&t, RULE_OBSERVATION_SENSE, SEVERITY_ERROR);
        }
        trial_end(&t);
    }
}
END_TEST

/* The same on a spool that normally turns ccw. */
START_TEST(what_was_seen_of_a_ccw_spool)
{
    for (int agrees = 0; agrees < 2; agrees++) {
        struct trial t;
        trial_start(&t);
        trial_change(&t, "{sense: cw, view: aft", "{sense: ccw, view: aft");
        trial_change(&t, "faces: aft", "faces: forward");
        trial_change(&t, "{pad: ccw, rotor: cw}",
                     agrees ? "{pad: ccw, rotor: ccw}" : "@{pad: ccw, rotor: cw}@");
        if (agrees) {
            trial_finds_nothing(&t);
        } else {
            (void)trial_finds(&t, RULE_OBSERVATION_SENSE, SEVERITY_ERROR);
        }
        trial_end(&t);
    }
}
END_TEST

int main(void)
{
    TCase *tests = tcase_create("direction");
    tcase_add_test(tests, sense_against_the_path);
    tcase_add_test(tests, senses_turned_round);
    tcase_add_test(tests, spool_is_outvoted);
    tcase_add_test(tests, nothing_proves_the_sense);
    tcase_add_test(tests, unread_observations_may_have_looked);
    tcase_add_test(tests, views_that_cannot_be);
    tcase_add_test(tests, nothing_proves_the_adapter);
    tcase_add_test(tests, backs_off_axis);
    tcase_add_test(tests, clutches);
    tcase_add_test(tests, what_was_seen);
    tcase_add_test(tests, what_was_seen_of_a_ccw_spool);
    return run_case("rules", tests);
}
