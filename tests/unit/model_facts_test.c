/* model_facts_test.c - what is derived from a definition alone. */
#include "unit/model_support.h"

/* S1 turns cw, and has its blade one 12.5 degrees ahead of the datum mark. */
START_TEST(ports_of_a_stage)
{
    struct derived d;
    start(&d);
    change(&d, "port: {id: P1, clock: \"4:30\"}",
           "port: [{id: P1, clock: \"4:30\"}, {id: P2, clock: \"9:00\"}]\n"
           "    known-blades: [{blade: 17, how: a long root}]");
    (void)derive(&d);
    const struct model_stage *stage = model_stage(d.s.engine.engine, 0);
    struct exact_rational angle;
    ck_assert(model_port_angle(d.s.engine.engine, stage, 0, &angle));
    assert_rational(245, 2, angle);
    ck_assert(model_port_angle(d.s.engine.engine, stage, 1, &angle));
    assert_rational(515, 2, angle);
    const struct turning_apart apart = model_ports_apart(d.s.engine.engine, stage, 0, 1);
    assert_rational(135, 1, apart.degrees);
    assert_rational(12, 1, apart.blades);
    assert_rational(225, 1, model_ports_apart(d.s.engine.engine, stage, 1, 0).degrees);
    ck_assert_str_eq(model_known_by(stage, 17), "a long root");
    ck_assert_ptr_null(model_known_by(stage, 16));
    end(&d);
    start(&d);
    change(&d, "    clocking: 12.5 deg\n", "");
    (void)derive(&d);
    ck_assert(model_port_angle(d.s.engine.engine, model_stage(d.s.engine.engine, 0), 0, &angle));
    assert_rational(135, 1, angle);
    end(&d);
}
END_TEST

START_TEST(ratio_of_path_and_turns)
{
    struct derived d;
    start(&d);
    change(&d, "{pad: 2, rotor: 1}", "{pad: 4.0, rotor: 2}");
    const struct model_pad_facts *facts = derive(&d);
    ck_assert(facts->has_path && facts->has_stated && facts->ratio_known);
    ck_assert(!facts->overflow && !facts->lone_integer);
    assert_rational(2, 1, facts->path);
    assert_rational(2, 1, facts->quotient);
    assert_rational(79, 40, facts->stated.lo); /* 3.95/2 */
    assert_rational(81, 40, facts->stated.hi);
    assert_rational(2, 1, facts->used); /* the path wins, and is exact */
    ck_assert(exact_is_point(facts->ratio));
    assert_rational(0, 1, facts->uncertainty);
    ck_assert(facts->has_finest);
    assert_rational(45, 4, facts->finest_pitch);
    ck_assert_uint_eq(facts->finest_stage, 0);
    end(&d);
}
END_TEST

/* Beside a path a whole number of turns is no more than what it says. */
START_TEST(ratio_of_path_and_whole_turns)
{
    struct derived d;
    start(&d);
    const struct model_pad_facts *facts = derive(&d);
    ck_assert(!facts->lone_integer);
    ck_assert(exact_is_point(facts->stated));
    assert_rational(2, 1, facts->stated.lo);
    end(&d);
}
END_TEST

START_TEST(ratio_of_turns_alone)
{
    struct derived d;
    start(&d);
    change(&d, "    path: [external: [20, 40]]\n", "");
    change(&d, "{pad: 2, rotor: 1}", "{pad: 2.0, rotor: 1}");
    const struct model_pad_facts *facts = derive(&d);
    ck_assert(!facts->has_path && facts->has_stated && facts->ratio_known);
    ck_assert(!facts->lone_integer);
    assert_rational(2, 1, facts->used);
    assert_rational(39, 20, facts->ratio.lo);
    assert_rational(41, 20, facts->ratio.hi);
    assert_rational(120, 13, facts->uncertainty); /* 360 x 0.05/1.95 */
    end(&d);
}
END_TEST

/* Both ends rounded: the quotient's interval is wide. */
START_TEST(ratio_of_two_decimals)
{
    struct derived d;
    start(&d);
    change(&d, "    path: [external: [20, 40]]\n", "");
    change(&d, "{pad: 2, rotor: 1}", "{pad: 3.0, rotor: 1.5}");
    const struct model_pad_facts *facts = derive(&d);
    ck_assert(exact_equal(facts->ratio.lo, rat(295, 155)));
    ck_assert(exact_equal(facts->ratio.hi, rat(305, 145)));
    end(&d);
}
END_TEST

START_TEST(lone_integers)
{
    const struct {
        const char *turns;
        bool lone;
        int64_t lo[2], hi[2];
    } cases[] = {{"{pad: 2, rotor: 1}", true, {3, 2}, {5, 2}},
                 {"{pad: 6, rotor: 3}", true, {11, 6}, {13, 6}},
                 {"{pad: 2 +/- 0, rotor: 1}", false, {2, 1}, {2, 1}},
                 {"{pad: 2, rotor: 1 +/- 0}", false, {2, 1}, {2, 1}},
                 {"{pad: 4/2, rotor: 1}", false, {2, 1}, {2, 1}},
                 {"{pad: 1, rotor: 1}", false, {1, 1}, {1, 1}},
                 {"{pad: 1, rotor: 2}", false, {1, 2}, {1, 2}},
                 {"{pad: 3, rotor: 2}", false, {3, 2}, {3, 2}}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        struct derived d;
        start(&d);
        change(&d, "    path: [external: [20, 40]]\n", "");
        change(&d, "{pad: 2, rotor: 1}", cases[i].turns);
        const struct model_pad_facts *facts = derive(&d);
        ck_assert_int_eq(facts->lone_integer, cases[i].lone);
        ck_assert(exact_equal(facts->ratio.lo, rat(cases[i].lo[0], cases[i].lo[1])));
        ck_assert(exact_equal(facts->ratio.hi, rat(cases[i].hi[0], cases[i].hi[1])));
        end(&d);
    }
}
END_TEST

/* A path that cannot be read is not replaced by the turns beside it, nor the other way round. */
START_TEST(broken_ratios)
{
    struct derived d;
    start(&d);
    change(&d, "[20, 40]", "[20, x]");
    const struct model_pad_facts *facts = derive(&d);
    ck_assert(!facts->ratio_known && !facts->has_path && !facts->overflow);
    ck_assert(!facts->lone_integer);
    ck_assert_int_eq(facts->proof, MODEL_UNREAD);
    end(&d);
    start(&d);
    change(&d, "{pad: 2,", "{pad: x,");
    facts = derive(&d);
    ck_assert(facts->ratio_known && !facts->has_stated);
    end(&d);
    start(&d);
    change(&d, "{pad: 2,", "{pad: x,");
    change(&d, "    path: [external: [20, 40]]\n", "");
    facts = derive(&d);
    ck_assert(!facts->ratio_known && !facts->overflow);
    end(&d);
}
END_TEST

START_TEST(ratios_that_overflow)
{
    struct derived d;
    start(&d);
    change(&d, "[external: [20, 40]]",
           "[external: [9999, 9998], external: [9999, 9998], external: [9999, 9998], external: "
           "[9999, 9998], external: [9999, 9998]]");
    const struct model_pad_facts *facts = derive(&d);
    ck_assert(facts->overflow && !facts->ratio_known);
    end(&d);
    start(&d);
    change(&d, "{pad: 2, rotor: 1}", "{pad: 2.0000000000000001, rotor: 12345678901/12345678903}");
    facts = derive(&d);
    ck_assert(facts->overflow && !facts->ratio_known);
    end(&d);
    start(&d);
    change(
        &d, "    backlash: 1.2 deg\n",
        "    backlash: 1.2 deg\n    adapter: {torque-limit: 9 N.m, path: [external: [9999, 9998], "
        "external: [9999, 9998], external: [9999, 9998], external: [9999, 9998], external: "
        "[9999, 9998]]}\n");
    facts = derive(&d);
    ck_assert(facts->overflow && !facts->ratio_known);
    end(&d);
}
END_TEST

/* The sense seen from either end, of the spool and of the pad. */
START_TEST(signs_of_rotations)
{
    const struct {
        const char *sense, *view;
        int sign;
    } spools[] = {{"cw", "aft-looking-forward", 1},
                  {"ccw", "aft-looking-forward", -1},
                  {"cw", "forward-looking-aft", -1},
                  {"ccw", "forward-looking-aft", 1}};
    for (size_t i = 0; i < 4; i++) {
        struct derived d;
        char to[80];
        start(&d);
        snprintf(to, sizeof to, "{sense: %s, view: %s}", spools[i].sense, spools[i].view);
        change(&d, "{sense: cw, view: aft-looking-forward}", to);
        (void)derive(&d);
        ck_assert_int_eq(model_spool_sign(model_spool(d.s.engine.engine, 0)), spools[i].sign);
        end(&d);
    }
    const struct {
        const char *faces, *view;
        int sign; /* of cw */
    } pads[] = {{"aft", "facing-pad", 1},
                {"left", "facing-pad", 1},
                {"aft", "aft-looking-forward", 1},
                {"aft", "forward-looking-aft", -1},
                {"forward", "aft-looking-forward", -1},
                {"forward", "forward-looking-aft", 1},
                {"up", "aft-looking-forward", 0},
                {"right", "forward-looking-aft", 0}};
    for (size_t i = 0; i < sizeof pads / sizeof *pads * 2; i++) {
        struct derived d;
        char to[80];
        start(&d);
        snprintf(to, sizeof to, "faces: %s\n    rotation: {sense: %s, view: %s}", pads[i / 2].faces,
                 i % 2 ? "ccw" : "cw", pads[i / 2].view);
        change(&d, "faces: aft\n    rotation: {sense: ccw, view: facing-pad}", to);
        (void)derive(&d);
        int sign = model_pad_sign(model_pad(d.s.engine.engine, 0));
        ck_assert_int_eq(sign, i % 2 ? -pads[i / 2].sign : pads[i / 2].sign);
        end(&d);
    }
    struct derived d;
    start(&d);
    change(&d, "{sense: ccw, view: facing-pad}", "{sense: x, view: facing-pad}");
    change(&d, "{sense: cw, view: aft", "{sense: cw, view: fat");
    (void)derive(&d);
    ck_assert_int_eq(model_pad_sign(model_pad(d.s.engine.engine, 0)), 0);
    ck_assert_int_eq(model_spool_sign(model_spool(d.s.engine.engine, 0)), 0);
    end(&d);
}
END_TEST

#define FACES "    faces: aft\n"

START_TEST(proofs)
{
    const struct {
        const char *faces, *path; /* in the place of FACES and PATH; NULL: no path at all */
        enum model_proof proof;
        int sign;
        size_t mesh;
    } cases[] = {
        {FACES, PATH, MODEL_PROVEN, 1, 0},
        {"    faces: forward\n", PATH, MODEL_PROVEN, -1, 0},
        {FACES, "[external: [20, 30, 40]]", MODEL_PROVEN, -1, 0},
        {FACES, "[internal: [20, 40]]", MODEL_PROVEN, -1, 0},
        {"", PATH, MODEL_NO_FACES, 0, 0},
        {"", "[external: [20, 40], bevel: [20, 20]]", MODEL_NO_FACES, 0, 0},
        {"", "[external: [20, 40], bevel: {teeth: [20, 20], backs: [up, left]}]", MODEL_NO_FACES, 0,
         0},
        {"", "[bevel: {teeth: [20, 40], backs: [up, down]}]", MODEL_OFF_AXIS, 0, 0},
        {"",
         "[bevel: {teeth: [20, 40], backs: [aft, up]}, bevel: {teeth: [20, 20], backs: [down, "
         "aft]}]",
         MODEL_NO_FACES, 0, 0}, /* walked from the first of them */
        {FACES, NULL, MODEL_NO_PATH, 0, 0},
        {"", NULL, MODEL_NO_PATH, 0, 0},
        {FACES, "[external: [20, 40], bevel: [20, 20]]", MODEL_NO_BACKS, 0, 1},
        {FACES, "[bevel: {teeth: [20, 40], backs: [aft, up]}]", MODEL_ENDS_OFF_AXIS, 0, 0},
        {FACES, "[external: [20, 40], bevel: {teeth: [20, 20], backs: [up, aft]}]", MODEL_OFF_AXIS,
         0, 1},
        {"    faces: up\n", PATH, MODEL_ENDS_OFF_AXIS, 0, 0},
        {"    faces: rear\n", PATH, MODEL_UNREAD, 0, 0},
        /* Facing left, ccw is + along left (one looks right, where it is -); + about the back
         * that faces left is - about the one that faces forward. */
        {"    faces: left\n", "[bevel: {teeth: [20, 40], backs: [left, forward]}]", MODEL_PROVEN,
         -1, 0},
        {"    faces: left\n", "[bevel: {teeth: [20, 40], backs: [right, forward]}]", MODEL_PROVEN,
         1, 0},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        struct derived d;
        start(&d);
        change(&d, FACES, cases[i].faces);
        if (cases[i].path) {
            change(&d, PATH, cases[i].path);
        } else {
            change(&d, "    path: " PATH "\n", "");
        }
        const struct model_pad_facts *facts = derive(&d);
        ck_assert_msg(facts->proof == cases[i].proof, "case %zu: %d", i, (int)facts->proof);
        if (facts->proof == MODEL_PROVEN) {
            ck_assert_int_eq(facts->rotor_sign, cases[i].sign);
        }
        if (facts->proof == MODEL_NO_BACKS || facts->proof == MODEL_OFF_AXIS) {
            ck_assert_uint_eq(facts->proof_mesh, cases[i].mesh);
        }
        end(&d);
    }
    struct derived d;
    start(&d);
    change(&d, "faces: aft", "faces: up");
    change(&d, "{sense: ccw, view: facing-pad}", "{sense: ccw, view: aft-looking-forward}");
    ck_assert_int_eq(derive(&d)->proof, MODEL_VIEW_UNUSABLE);
    end(&d);
    start(&d);
    change(&d, "{sense: ccw, view: facing-pad}", "{sense: x, view: facing-pad}");
    ck_assert_int_eq(derive(&d)->proof, MODEL_UNREAD);
    end(&d);
}
END_TEST

START_TEST(adapters)
{
    const struct {
        const char *faces, *adapter;
        int64_t num, den;
        enum model_proof proof;
        int sign;
    } cases[] = {
        {FACES, "square: 3/8 in", 1, 1, MODEL_PROVEN, 1},
        {FACES, "path: [external: [30, 20]]", 2, 3, MODEL_PROVEN, -1},
        {"", "path: [external: [30, 20]]", 2, 3, MODEL_PROVEN, -1},
        {FACES, "path: [external: [30, 25, 60]]", 2, 1, MODEL_PROVEN, 1},
        {"", "path: [bevel: {teeth: [20, 40], backs: [aft, up]}]", 2, 1, MODEL_NO_FACES, 0},
        {"", "faces: aft, path: [direct]", 1, 1, MODEL_NO_FACES, 0},
        {FACES, "faces: forward, path: [direct]", 1, 1, MODEL_PROVEN, -1},
        {FACES, "faces: up, path: [bevel: [20, 40]]", 2, 1, MODEL_NO_BACKS, 0},
        {FACES, "faces: up, path: [bevel: {teeth: [20, 40], backs: [aft, up]}]", 2, 1,
         MODEL_OFF_AXIS, 0},
        {FACES, "faces: up, path: [direct]", 1, 1, MODEL_ENDS_OFF_AXIS, 0},
        {FACES, "faces: rear, path: [direct]", 1, 1, MODEL_UNREAD, 0},
        {FACES, "path: [external: [x, 20]]", 1, 1, MODEL_UNREAD, 0},
        {"    faces: rear\n", "path: [external: [30, 20]]", 2, 3, MODEL_UNREAD, 0},
        /* Up and cw facing it is + along down; + about the back that faces down is - about aft,
         * + along forward, where one looks who faces the pad. */
        {FACES, "faces: up, path: [bevel: {teeth: [20, 40], backs: [down, aft]}]", 2, 1,
         MODEL_PROVEN, 1},
        {FACES, "faces: up, path: [bevel: {teeth: [20, 40], backs: [down, forward]}]", 2, 1,
         MODEL_PROVEN, -1},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        struct derived d;
        start(&d);
        change(&d, FACES, cases[i].faces);
        change(&d, "    backlash: 1.2 deg\n",
               arena_printf(&d.s.arena,
                            "    backlash: 1.2 deg\n    adapter: {torque-limit: 9 N.m, "
                            "%s}\n",
                            cases[i].adapter));
        const struct model_pad_facts *facts = derive(&d);
        ck_assert_msg(facts->adapter_proof == cases[i].proof, "case %zu: %d", i,
                      (int)facts->adapter_proof);
        assert_rational(cases[i].num, cases[i].den, facts->adapter_ratio);
        ck_assert(facts->ratio_known && !facts->overflow);
        if (facts->adapter_proof == MODEL_PROVEN) {
            ck_assert_int_eq(facts->adapter_sign, cases[i].sign);
        }
        end(&d);
    }
    struct derived d;
    start(&d);
    const struct model_pad_facts *facts = derive(&d);
    ck_assert_int_eq(facts->adapter_proof, MODEL_PROVEN);
    ck_assert_int_eq(facts->adapter_sign, 1);
    assert_rational(1, 1, facts->adapter_ratio);
    end(&d);
    start(&d);
    change(&d, "    backlash: 1.2 deg\n", "    backlash: 1.2 deg\n    adapter: reduction\n");
    ck_assert_int_eq(derive(&d)->adapter_proof, MODEL_UNREAD);
    end(&d);
}
END_TEST

/* The finest pitch among the spool's own stages. */
START_TEST(finest_stage)
{
    struct derived d;
    start(&d);
    change(&d, "stages:\n",
           "  - {id: LP, rotation: {sense: cw, view: aft-looking-forward}, turned-by: hand}\n"
           "stages:\n"
           "  - {id: F, spool: LP, role: fan, blades: 90, numbering: with-rotation}\n"
           "  - {id: S0, spool: HP, role: compressor, blades: 28, numbering: with-rotation}\n");
    change(&d, "pads:\n",
           "  - {id: S2, spool: HP, role: turbine, blades: 30, numbering: with-rotation}\npads:\n");
    const struct model_pad_facts *facts = derive(&d);
    ck_assert_uint_eq(facts->finest_stage, 2);
    assert_rational(45, 4, facts->finest_pitch);
    end(&d);
    start(&d); /* the first of two */
    change(&d, "pads:\n",
           "  - {id: S2, spool: HP, role: turbine, blades: 32, numbering: with-rotation}\npads:\n");
    ck_assert_uint_eq(derive(&d)->finest_stage, 0);
    end(&d);
    start(&d);
    change(&d, "blades: 32", "blades: x");
    ck_assert(!derive(&d)->has_finest);
    end(&d);
    start(&d); /* on a spool that is not known either, which makes it no stage of this pad */
    change(&d, "spool: HP\n    role", "spool: QP\n    role");
    change(&d, "spool: HP\n    faces", "spool: QQ\n    faces");
    ck_assert(!derive(&d)->has_finest);
    end(&d);
}
END_TEST

START_TEST(backlash_at_the_rotor)
{
    struct derived d;
    struct exact_rational backlash;
    bool overflow = false;
    start(&d);
    const struct model_pad_facts *facts = derive(&d);
    ck_assert(model_rotor_backlash(model_pad(d.s.engine.engine, 0), facts, &backlash, &overflow));
    assert_rational(5, 8, backlash); /* 1.25 deg at the pad over 2 */
    ck_assert(!overflow);
    end(&d);

    /* The adapter's 0.2 +/- 0.05 deg at its device side, which turns twice a pad turn; the least
     * ratio, 1.95. */
    start(&d);
    change(&d, "    path: " PATH "\n", "");
    change(&d, "{pad: 2,", "{pad: 2.0,");
    change(&d, "    backlash: 1.2 deg\n", ADAPTER("path: [external: [20, 40]], backlash: 0.2 deg"));
    facts = derive(&d);
    ck_assert(model_rotor_backlash(model_pad(d.s.engine.engine, 0), facts, &backlash, &overflow));
    ck_assert(exact_equal(backlash, rat((1250 + 125) * 100, 195 * 1000)));
    end(&d);

    start(&d);
    change(&d, "    backlash: 1.2 deg\n", "");
    facts = derive(&d);
    ck_assert(!model_rotor_backlash(model_pad(d.s.engine.engine, 0), facts, &backlash, &overflow));
    ck_assert(!overflow);
    end(&d);

    /* How much the adapter's adds is not known. */
    start(&d);
    change(&d, "    backlash: 1.2 deg\n", ADAPTER("backlash: little"));
    facts = derive(&d);
    ck_assert(!model_rotor_backlash(model_pad(d.s.engine.engine, 0), facts, &backlash, &overflow));
    ck_assert(!overflow);
    end(&d);

    start(&d);
    change(&d, "backlash: 1.2 deg", "backlash: 12345678901234567/12345678901234568 rev");
    change(&d, PATH, "[external: [9999, 9998], external: [9999, 9998], external: [9998, 4999]]");
    facts = derive(&d);
    ck_assert(!model_rotor_backlash(model_pad(d.s.engine.engine, 0), facts, &backlash, &overflow));
    ck_assert(overflow);
    end(&d);
}
END_TEST

int main(void)
{
    TCase *tests = tcase_create("derived");
    tcase_add_test(tests, ports_of_a_stage);
    tcase_add_test(tests, ratio_of_path_and_turns);
    tcase_add_test(tests, ratio_of_path_and_whole_turns);
    tcase_add_test(tests, ratio_of_turns_alone);
    tcase_add_test(tests, ratio_of_two_decimals);
    tcase_add_test(tests, lone_integers);
    tcase_add_test(tests, broken_ratios);
    tcase_add_test(tests, ratios_that_overflow);
    tcase_add_test(tests, signs_of_rotations);
    tcase_add_test(tests, proofs);
    tcase_add_test(tests, adapters);
    tcase_add_test(tests, finest_stage);
    tcase_add_test(tests, backlash_at_the_rotor);
    return run_case("model", tests);
}
