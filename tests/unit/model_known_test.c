/* model_known_test.c - how the values of a definition are known. */
#include "unit/model_support.h"

#include "model/known.h"

#define SECOND(parts)                                                                              \
    "cross-check: 1\nof: {id: plover-2, revision: 4}\nread-from: Invented\n"                       \
    "read-on: 2026-05-04\n" parts
#define OBSERVED "counted: {pad: 20 +/- 0.1 rev, rotor: 10 rev}\n    seen: {pad: ccw, rotor: cw}"
#define PORT "port: {id: P1, clock: \"4:30\"}"
#define LOW                                                                                        \
    "  - {id: LP, rotation: {sense: cw, view: aft-looking-forward}, turned-by: hand}\n"            \
    "stages:\n"                                                                                    \
    "  - id: FAN\n    spool: LP\n    role: fan\n    blades: 22\n    numbering: with-rotation\n"
#define SET(planets)                                                                               \
    "[epicyclic: {sun: 24, ring: 96, " planets "in: carrier, out: sun, held: ring}]"

/* A change of the definition, and which of the three is true of a value then. */
struct known_case {
    const char *from, *to;
    const char *second; /* NULL: none */
    enum model_listed list;
    const char *key;
    const char *known; /* of o, t and f */
};

static const char *letters(struct arena *arena, struct model_known known)
{
    return arena_printf(arena, "%s%s%s", known.observed ? "o" : "", known.twice ? "t" : "",
                        known.follows ? "f" : "");
}

static void check_case(const struct known_case *known_case)
{
    struct derived d;
    struct model_source second = {.kind = MODEL_KINDS};
    const char *found = NULL;
    start(&d);
    change(&d, known_case->from, known_case->to);
    (void)derive(&d);
    (void)assert_only(&d.s, RULE_NONE);
    if (known_case->second) {
        support_load_as(&d.s, &second, "plover-2.cross-check.yaml", known_case->second,
                        strlen(known_case->second));
        ck_assert_ptr_nonnull(second.cross_check);
        model_cross_check_link(second.cross_check, d.s.engine.engine, &d.s.findings);
    }
    const struct model_known_values values =
        model_known_values(d.s.engine.engine, &d.facts, second.cross_check, &d.s.arena);
    for (size_t i = 0; i < values.count && !found; i++) {
        const struct model_known_value *value = &values.items[i];
        if (value->value.list == known_case->list &&
            strcmp(value->value.key, known_case->key) == 0) {
            found = letters(&d.s.arena, value->known);
            ck_assert_int_eq(model_rests_on_one(value->known), !*found);
        }
    }
    /* The rules ask for less at once, and must not say anything else. */
    const struct model_engine *engine = d.s.engine.engine;
    if (strcmp(known_case->key, "blades") == 0 && found) {
        ck_assert(!*found || model_count_is_confirmed(engine, &d.facts, second.cross_check, 0));
        ck_assert(*found || second.cross_check ||
                  !model_count_is_confirmed(engine, &d.facts, NULL, 0));
    }
    if (strcmp(known_case->key, "numbering") == 0 && found) {
        ck_assert(!*found || model_order_is_confirmed(engine, second.cross_check, 0));
        ck_assert(*found || second.cross_check || !model_order_is_confirmed(engine, NULL, 0));
    }
    ck_assert_msg(found && strcmp(found, known_case->known) == 0, "%s with %s: %s, not %s",
                  known_case->key, known_case->to, found ? found : "nothing", known_case->known);
    end(&d);
}

static void check_cases(const struct known_case *cases, size_t count)
{
    for (size_t i = 0; i < count; i++) {
        check_case(&cases[i]);
    }
}

START_TEST(observed)
{
    static const struct known_case cases[] = {
        {OBSERVED, OBSERVED, NULL, MODEL_STAGES, "blades", ""},
        {OBSERVED, "passed: {stage: S1, blades: 64, rotor: 2 rev}", NULL, MODEL_STAGES, "blades",
         "o"},
        {OBSERVED, "passed: {stage: S1, blades: 64, rotor: 2 +/- 0.5 rev}", NULL, MODEL_STAGES,
         "blades", ""},
        {OBSERVED, "passed: {stage: S1, blades: 64, rotor: 2 +/- 0.5 rev}", NULL, MODEL_STAGES,
         "spool", "of"},
        {OBSERVED, "blade-order: {stage: S1, first: 3, then: 4}", NULL, MODEL_STAGES, "numbering",
         "o"},
        {OBSERVED, OBSERVED, NULL, MODEL_STAGES, "numbering", ""},
        {OBSERVED, OBSERVED, NULL, MODEL_PADS, "turns.pad", "of"},
        {OBSERVED, "counted: {pad: 20 +/- 5 rev, rotor: 10 rev}", NULL, MODEL_PADS, "turns.pad",
         "f"},
        {PATH, "[external: [20, 33, 40]]", NULL, MODEL_PADS, "path[1].external[1]", "of"},
        {OBSERVED, "backlash: 1.2 deg", NULL, MODEL_PADS, "backlash", "o"},
        {OBSERVED, "backlash: 1.2 +/- 0.5 deg", NULL, MODEL_PADS, "backlash", ""},
        {"    backlash: 1.2 deg\nobservations:\n  - pad: crank\n",
         "    backlash: 1.2 +/- 0.2 deg\nobservations:\n  - pad: crank\n    backlash: 1.2 deg\n",
         NULL, MODEL_PADS, "backlash", ""},
        {OBSERVED, "backlash-as-new: 1.2 deg", NULL, MODEL_PADS, "backlash", ""},
        {OBSERVED, "backlash-as-new: 1.2 deg\n    backlash-at-limit: 1.2 deg", NULL, MODEL_PADS,
         "backlash", "o"},
        {OBSERVED, "backlash: 1.2 deg", NULL, MODEL_PADS, "rotation.sense", "f"},
        {OBSERVED, OBSERVED, NULL, MODEL_SPOOLS, "rotation.view", "of"},
        {OBSERVED, OBSERVED, NULL, MODEL_SPOOLS, "max-speed", ""},
    };
    check_cases(cases, sizeof cases / sizeof *cases);
}
END_TEST

#define TOGETHER(more) "together: [{stage: S1, port: P1}, {stage: S1, port: P2, blade: 5" more "}]"
START_TEST(seen_together)
{
    static const struct {
        const char *observation, *key, *known;
    } seen[] = {
        {TOGETHER(""), "port[1].clock", "o"},
        {TOGETHER(""), "port[2].clock", "o"},
        {TOGETHER(""), "port[3].clock", ""},
        {"together: [{stage: S1, port: P1}, {stage: S1, port: P1}]", "port[1].clock", ""},
        {TOGETHER(""), "clocking", ""}, /* of one stage: it cancels */
        {TOGETHER(", beyond: 0 +/- 5 deg"), "port[1].clock", "o"},
        {TOGETHER(", beyond: 0 +/- 45/8 deg"), "port[1].clock", ""}, /* a pitch: the next blade */
    };
    for (size_t i = 0; i < sizeof seen / sizeof *seen; i++) {
        struct derived d;
        bool found = false;
        start(&d);
        change(&d, PORT,
               "port: [{id: P1, clock: \"4:30\"}, {id: P2, clock: \"6:00\"}, "
               "{id: P3, clock: \"9:00\"}]");
        change(&d, OBSERVED, seen[i].observation);
        if (strcmp(seen[i].key, "clocking") != 0) {
            change(&d, "    clocking: 12.5 deg\n", ""); /* one stage needs none */
        }
        (void)derive(&d);
        (void)assert_only(&d.s, RULE_NONE);
        const struct model_known_values values =
            model_known_values(d.s.engine.engine, &d.facts, NULL, &d.s.arena);
        for (size_t k = 0; k < values.count; k++) {
            if (strcmp(values.items[k].value.key, seen[i].key) == 0) {
                ck_assert_str_eq(letters(&d.s.arena, values.items[k].known), seen[i].known);
                found = true;
            }
        }
        ck_assert(found);
        end(&d);
    }
}
END_TEST

START_TEST(follows_from_others)
{
    static const struct known_case cases[] = {
        {"    turns: {pad: 2, rotor: 1}\n", "", NULL, MODEL_PADS, "path[1].external[1]", "o"},
        {"    turns: {pad: 2, rotor: 1}\n    path: " PATH, "    path: [external: [20, 33, 40]]",
         NULL, MODEL_PADS, "path[1].external", "of"}, /* without the idler the sense is another */
        {"    turns: {pad: 2, rotor: 1}\n", "", NULL, MODEL_PADS, "path[1].external", "o"},
        {"    path: " PATH "\n", "", NULL, MODEL_PADS, "turns.rotor", "o"},
        {"    path: " PATH "\n", "", NULL, MODEL_PADS, "faces", ""},
        {"    path: " PATH "\n", "", NULL, MODEL_PADS, "rotation.view", "o"},
        {OBSERVED, OBSERVED, NULL, MODEL_PADS, "faces", "f"},
        {PATH, "[external: [20, 33, 40]]", NULL, MODEL_PADS, "path[1].external[2]", ""},
        {PATH, "[external: [20, 33, 40]]", NULL, MODEL_PADS, "path[1].external", "of"},
        {PATH, "[bevel: {teeth: [20, 40], backs: [forward, up]}]", NULL, MODEL_PADS,
         "path[1].bevel.backs[2]", ""}, /* its end is not fore and aft */
        {PATH, SET("planet: 36, planets: 3, "), NULL, MODEL_PADS, "path[1].epicyclic.planet", "f"},
        {PATH, SET("planet: 36, planets: 3, "), NULL, MODEL_PADS, "path[1].epicyclic.planets", ""},
        {PATH, SET("planet: 36, planets: 3, "), NULL, MODEL_PADS, "path[1].epicyclic.held", "f"},
        {"stages:\n", LOW, NULL, MODEL_PADS, "spool", "f"},
        {"stages:\n", LOW, NULL, MODEL_STAGES, "spool", ""}, /* no pad: none need be on it */
        {PATH, SET("planet: 35, planets: 3, "), NULL, MODEL_PADS, "path[1].epicyclic.planet", ""},
        {OBSERVED, OBSERVED, NULL, MODEL_STAGES, "role", ""},
        {OBSERVED, OBSERVED, NULL, MODEL_PADS, "drives", ""},
        {OBSERVED, OBSERVED, NULL, MODEL_PADS, "torque-limit", ""},
    };
    check_cases(cases, sizeof cases / sizeof *cases);
}
END_TEST

#define READ(parts) SECOND("pads:\n  - {id: crank, " parts "}\n")
START_TEST(read_twice)
{
    static const struct known_case cases[] = {
        {OBSERVED, OBSERVED, SECOND("stages: [{id: S1, blades: 32}]\n"), MODEL_STAGES, "blades",
         "t"},
        {OBSERVED, OBSERVED, SECOND("stages: [{id: S1, blades: 31}]\n"), MODEL_STAGES, "blades",
         ""},
        {OBSERVED, OBSERVED, SECOND("stages: [{id: S1, blades: 32}]\n"), MODEL_STAGES, "numbering",
         ""},
        {OBSERVED, OBSERVED, SECOND("stages: [{id: S2, blades: 32}]\n"), MODEL_STAGES, "blades",
         ""},
        {OBSERVED, OBSERVED,
         "cross-check: 1\nof: {id: plover-3, revision: 4}\nread-from: Invented\n"
         "read-on: 2026-05-04\nstages: [{id: S1, blades: 32}]\n",
         MODEL_STAGES, "blades", ""},
        {OBSERVED, OBSERVED,
         SECOND("stages: [{id: S1, numbering: {sense: cw, view: forward-looking-aft}}]\n"),
         MODEL_STAGES, "numbering", "t"},
        {"numbering: against-rotation", "numbering: {sense: ccw, view: aft-looking-forward}",
         SECOND("stages: [{id: S1, numbering: against-rotation}]\n"), MODEL_STAGES,
         "numbering.view", "t"},
        {OBSERVED, OBSERVED, SECOND("stages: [{id: S1, port: {id: P1, clock: \"4:30\"}}]\n"),
         MODEL_STAGES, "port[1].clock", "t"},
        {OBSERVED, OBSERVED, SECOND("stages: [{id: S1, port: {id: P2, clock: \"4:30\"}}]\n"),
         MODEL_STAGES, "port[1].clock", ""},
        {OBSERVED, OBSERVED, READ("torque-limit: 54.2 N.m"), MODEL_PADS, "torque-limit", "t"},
        {OBSERVED, OBSERVED, READ("rotation: {sense: cw, view: forward-looking-aft}"), MODEL_PADS,
         "rotation.sense", "otf"},
        {"    turns: {pad: 2, rotor: 1}\n", "", READ("path: [external: [20, 40]]"), MODEL_PADS,
         "path[1].external[2]", "ot"},
        {OBSERVED, OBSERVED, READ("path: [external: [20, 40]]"), MODEL_PADS, "path[1].external",
         "otf"},
        {OBSERVED, OBSERVED, READ("path: [external: [20, 41]]"), MODEL_PADS, "path[1].external",
         "of"}, /* one of the two disagrees */
        {OBSERVED, OBSERVED, READ("turns: {pad: 2, rotor: 1}"), MODEL_PADS, "turns", "otf"},
        {OBSERVED, OBSERVED, READ("turns: {pad: 2, rotor: 1}"), MODEL_PADS, "path[1].external[1]",
         "of"},
    };
    check_cases(cases, sizeof cases / sizeof *cases);
}
END_TEST

/* Idlers and planets do not count, because no number follows from them. */
START_TEST(keys)
{
    struct derived d;
    start(&d);
    change(&d, PATH, "[external: [20, 33, 40]]");
    (void)derive(&d);
    const struct model_known_values values =
        model_known_values(d.s.engine.engine, &d.facts, NULL, &d.s.arena);
    ck_assert(!model_key_rests_on_one(&values, MODEL_PADS, 0, "path"));
    ck_assert(!model_key_rests_on_one(&values, MODEL_PADS, 0, "turns"));
    ck_assert(model_key_rests_on_one(&values, MODEL_PADS, 0, "torque-limit"));
    ck_assert(!model_key_rests_on_one(&values, MODEL_PADS, 1, "torque-limit"));
    ck_assert(!model_key_rests_on_one(&values, MODEL_STAGES, 0, "torque-limit"));
    ck_assert(model_key_rests_on_one(&values, MODEL_STAGES, 0, "port"));
    end(&d);
}
END_TEST

int main(void)
{
    TCase *known = tcase_create("known");
    tcase_add_test(known, observed);
    tcase_add_test(known, seen_together);
    tcase_add_test(known, follows_from_others);
    tcase_add_test(known, read_twice);
    tcase_add_test(known, keys);
    return run_case("model", known);
}
