/* model_cross_check_test.c - two readings of a definition, value by value. */
#include "model/agree.h"
#include "unit/support.h"

/* Everything that is read twice, in a definition of two spools. */
static const char first_text[] =
    "engine-definition: 1\n"
    "id: plover-2\n"
    "name: Plover 2\n"
    "models: [Plover 2]\n"
    "revision: 4\n"
    "status: released\n"
    "source: Invented\n"
    "spools:\n"
    "  - id: HP\n"
    "    rotation: {sense: cw, view: aft-looking-forward}\n"
    "    max-speed: 90 deg/min\n"
    "  - id: LP\n"
    "    rotation: {sense: ccw, view: aft-looking-forward}\n"
    "    turned-by: hand\n"
    "stages:\n"
    "  - id: S1\n"
    "    spool: HP\n"
    "    role: compressor\n"
    "    blades: 32\n"
    "    numbering: against-rotation\n"
    "    blade-one: two lugs\n"
    "    known-blades: [{blade: 9, how: a notch}, {blade: 17, how: a lug}]\n"
    "    port: [{id: P1, clock: \"4:30\"}, {id: P2, clock: \"9:00\"}]\n"
    "    clocking: 12.5 deg\n"
    "  - id: FAN\n"
    "    spool: LP\n"
    "    role: fan\n"
    "    blades: 22\n"
    "    numbering: with-rotation\n"
    "pads:\n"
    "  - id: crank\n"
    "    spool: HP\n"
    "    faces: aft\n"
    "    rotation: {sense: ccw, view: facing-pad}\n"
    "    turns: {pad: 2.25, rotor: 1}\n"
    "    path:\n"
    "      - external: [20, 30]\n"
    "      - bevel: {teeth: [30, 20], backs: [aft, up]}\n"
    "      - epicyclic: {sun: 24, ring: 96, planet: 36, planets: 4, in: carrier, out: sun, held: "
    "ring}\n"
    "      - direct\n"
    "    drives: both\n"
    "    square: 3/8 in\n"
    "    torque-limit: 40 lbf.ft\n"
    "    backlash: 1.2 +/- 0.1 deg\n"
    "    adapter: {faces: aft, square: 1/2 in, torque-limit: 30 lbf.ft, backlash: 0.3 deg}\n";

/* The same, as another person writes it: in other units, from other ends, in another order. */
static const char second_text[] =
    "cross-check: 1\n"
    "of: {id: plover-2, revision: 4}\n"
    "read-from: Invented\n"
    "read-on: 2026-05-04\n"
    "spools:\n"
    "  - id: LP\n"
    "    rotation: {sense: cw, view: forward-looking-aft}\n"
    "    turned-by: hand\n"
    "  - id: HP\n"
    "    rotation: {sense: ccw, view: forward-looking-aft}\n"
    "    max-speed: 1/4 rpm\n"
    "stages:\n"
    "  - id: FAN\n"
    "    spool: LP\n"
    "    role: fan\n"
    "    blades: 22\n"
    "    numbering: {sense: cw, view: forward-looking-aft}\n"
    "  - id: S1\n"
    "    spool: HP\n"
    "    role: compressor\n"
    "    blades: 32\n"
    "    numbering: {sense: cw, view: forward-looking-aft}\n"
    "    known-blades: [{blade: 17}, {blade: 9, how: nick in the tip}]\n"
    "    port: [{id: P2, clock: {at: \"3:00\", view: forward-looking-aft}}, {id: P1, clock: "
    "\"4:30\"}]\n"
    "    clocking: 750 arcmin\n"
    "pads:\n"
    "  - id: crank\n"
    "    spool: HP\n"
    "    faces: aft\n"
    "    rotation: {sense: cw, view: forward-looking-aft}\n"
    "    turns: {pad: 2.250, rotor: 1}\n"
    "    path:\n"
    "      - external: [20, 30]\n"
    "      - bevel: {teeth: [30, 20], backs: [aft, up]}\n"
    "      - epicyclic: {sun: 24, ring: 96, planet: 36, planets: 4, in: carrier, out: sun, held: "
    "ring}\n"
    "      - direct\n"
    "    drives: both\n"
    "    square: 3/8 in\n"
    "    torque-limit: 54.2 N.m\n"
    "    backlash: 72 +/- 6 arcmin\n"
    "    adapter: {faces: aft, square: 12.5 mm, torque-limit: 30 lbf.ft, backlash: 18 arcmin}\n";

/* Two readings in one arena. */
struct pair {
    struct support s;
    struct model_source second;
    const char *all; /* one word each for all that does not agree */
    size_t agreed;
};

static void note(void *context, const struct model_reading *reading)
{
    static const char *const words[] = {[MODEL_DISAGREES] = "differs",
                                        [MODEL_READ_ONCE] = "once",
                                        [MODEL_READ_ANEW] = "anew",
                                        [MODEL_NOT_COMPARED] = "unknown"};
    struct pair *pair = context;
    ck_assert_ptr_nonnull(reading->first);
    ck_assert_ptr_nonnull(reading->second);
    ck_assert(reading->part || reading->part_again);
    if (reading->agreement == MODEL_AGREES) {
        ck_assert_ptr_nonnull(reading->part);
        ck_assert_ptr_nonnull(reading->part_again);
        pair->agreed++;
        return;
    }
    pair->all = arena_printf(&pair->s.arena, "%s%s%s %s%s%s", pair->all, *pair->all ? ", " : "",
                             words[reading->agreement], reading->id->text ? reading->id->text : "?",
                             *reading->key ? " " : "", reading->key);
}

/* Reads two texts and compares them. */
static void compare_texts(struct pair *pair, const char *first, const char *second)
{
    support_load(&pair->s, first);
    support_load_as(&pair->s, &pair->second, "plover-2.cross-check.yaml", second, strlen(second));
    ck_assert_ptr_nonnull(pair->s.engine.engine);
    ck_assert_ptr_nonnull(pair->second.cross_check);
    model_cross_check_link(pair->second.cross_check, pair->s.engine.engine, &pair->s.findings);
    pair->all = "";
    model_each_reading(pair->s.engine.engine, pair->second.cross_check, &pair->s.arena, note, pair);
}

/* A change in one of the two readings, and all that does not agree then. */
struct change {
    const char *from, *to;
    const char *all;
};

static void compare_changed(const struct change *change, bool in_second)
{
    struct pair pair;
    memset(&pair, 0, sizeof pair);
    support_start(&pair.s);
    const char *text =
        changed(&pair.s.arena, in_second ? second_text : first_text, change->from, change->to);
    compare_texts(&pair, in_second ? first_text : text, in_second ? text : second_text);
    ck_assert_msg(strcmp(pair.all, change->all) == 0, "%s -> %s: '%s' instead of '%s'",
                  change->from, change->to, pair.all, change->all);
    support_end(&pair.s);
}

#define COMPARE_CHANGED(changes, in_second)                                                        \
    do {                                                                                           \
        for (size_t i_ = 0; i_ < sizeof(changes) / sizeof *(changes); i_++) {                      \
            compare_changed(&(changes)[i_], in_second);                                            \
        }                                                                                          \
    } while (0)

START_TEST(two_persons_agree)
{
    struct pair pair;
    memset(&pair, 0, sizeof pair);
    support_start(&pair.s);
    compare_texts(&pair, first_text, second_text);
    (void)assert_only(&pair.s, RULE_NONE);
    ck_assert_str_eq(pair.all, "");
    /* of the spools; S1; FAN; the pad's first keys, path, last keys, adapter */
    ck_assert_uint_eq(pair.agreed, 4 + 9 + 4 + 5 + 14 + 4 + 4);
    support_end(&pair.s);
}
END_TEST

START_TEST(each_value_is_compared)
{
    static const struct change changes[] = {
        {"max-speed: 1/4 rpm", "max-speed: 1/5 rpm", "differs HP max-speed"},
        {"    turned-by: hand\n", "", "once LP turned-by"},
        {"max-speed: 1/4 rpm", "max-speed: 1/4 rpm\n    never-backwards: yes",
         "anew HP never-backwards"},
        {"role: fan", "role: turbine", "differs FAN role"},
        {"blades: 32", "blades: 23", "differs S1 blades"},
        {"spool: LP", "spool: HP", "differs FAN spool, unknown FAN numbering"},
        {"id: P1, clock: \"4:30\"", "id: P1, clock: \"7:30\"", "differs S1 port[P1].clock"},
        {"at: \"3:00\"", "at: \"9:00\"", "differs S1 port[P2].clock"},
        {"id: P2", "id: P3", "once S1 port[P2], anew S1 port[P3]"},
        {"{id: P2, clock: {at: \"3:00\", view: forward-looking-aft}}, ", "", "once S1 port[P2]"},
        {"750 arcmin", "705 arcmin", "differs S1 clocking"},
        {"faces: aft\n    rotation", "faces: forward\n    rotation",
         "differs crank faces, unknown crank rotation"},
        {"pad: 2.250", "pad: 2.205", "differs crank turns.pad"},
        {"rotor: 1}", "rotor: 2}", "differs crank turns.rotor"},
        {"pad: 2.250, rotor: 1}", "pad: 22.5, rotor: 10}", ""},
        {"pad: 2.250, rotor: 1}", "pad: 1, rotor: 0.4444}", ""},
        {"pad: 2.250, rotor: 1}", "pad: 25.2, rotor: 10}", "differs crank turns"},
        {"pad: 2.250, rotor: 1}", "pad: 1, rotor: 2.250}", "differs crank turns"},
        {"external: [20, 30]", "external: [20, 31]", "differs crank path[1].external[2]"},
        {"external: [20, 30]", "external: [20, 25, 30]", "differs crank path[1].external"},
        {"external: [20, 30]", "internal: [20, 30]", "differs crank path[1]"},
        {"teeth: [30, 20]", "teeth: [30, 21]", "differs crank path[2].bevel.teeth[2]"},
        {"[aft, up]", "[aft, down]", "differs crank path[2].bevel.backs[2]"},
        {"planets: 4", "planets: 3", "differs crank path[3].epicyclic.planets"},
        {"      - direct\n", "", "differs crank path"},
        {"drives: both", "drives: cw", "differs crank drives"},
        {"square: 3/8 in", "square: 1/2 in", "differs crank square"},
        {"54.2 N.m", "52.4 N.m", "differs crank torque-limit"},
        {"backlash: 72 +/-", "backlash: 27 +/-", "differs crank backlash"},
        {"faces: aft, square: 12.5", "faces: up, square: 12.5", "differs crank adapter.faces"},
        {"backlash: 18 arcmin", "backlash: 81 arcmin", "differs crank adapter.backlash"},
        {"    numbering: {sense: cw, view: forward-looking-aft}\n    known", "    known",
         "once S1 numbering"},
    };
    COMPARE_CHANGED(changes, true);
}
END_TEST

/* Known blades have no ids: their numbers are compared, in whatever order. */
START_TEST(known_blades)
{
    static const struct change changes[] = {
        {"{blade: 17}, {blade: 9, how: nick in the tip}", "{blade: 9}, {blade: 17}", ""},
        {"{blade: 17}, {blade: 9", "{blade: 71}, {blade: 9", "differs S1 known-blades[2].blade"},
        {"{blade: 17}, ", "", "once S1 known-blades[2].blade"},
        {"{blade: 17}", "{blade: 17}, {blade: 25}", "anew S1 known-blades[2].blade"},
        {"{blade: 17}", "{blade: 9}", "differs S1 known-blades[2].blade"},
        {"{blade: 17}", "{blade: lug}", "unknown S1 known-blades[2].blade"},
        {"    known-blades: [{blade: 17}, {blade: 9, how: nick in the tip}]\n", "",
         "once S1 known-blades"},
    };
    COMPARE_CHANGED(changes, true);
}
END_TEST

/* One rotor from two ends; what only follows from a slip in it is not compared. */
START_TEST(rotations_and_numberings_with_views)
{
    static const struct change in_second[] = {
        {"{sense: ccw, view: forward-looking-aft}\n    max",
         "{sense: cw, view: aft-looking-forward}"
         "\n    max",
         ""},
        {"{sense: ccw, view: forward-looking-aft}\n    max",
         "{sense: ccw, view: aft-looking-forward}\n    max",
         "differs HP rotation, unknown S1 numbering"},
        {"    rotation: {sense: ccw, view: forward-looking-aft}\n", "", "once HP rotation"},
        {"    numbering: {sense: cw, view: forward-looking-aft}\n    known",
         "    numbering: {sense: ccw, view: aft-looking-forward}\n    known", ""},
        {"    numbering: {sense: cw, view: forward-looking-aft}\n    known",
         "    numbering: {sense: ccw, view: forward-looking-aft}\n    known",
         "differs S1 numbering"},
        {"    numbering: {sense: cw, view: forward-looking-aft}\n    known",
         "    numbering: against-rotation\n    known", ""},
        {"    numbering: {sense: cw, view: forward-looking-aft}\n    known",
         "    numbering: with-rotation\n    known", "differs S1 numbering"},
        {"{sense: cw, view: forward-looking-aft}\n    turns",
         "{sense: ccw, view: aft-looking-forward}\n    turns", ""},
        {"{sense: cw, view: forward-looking-aft}\n    turns",
         "{sense: cw, view: facing-pad}\n    turns", "differs crank rotation"},
        {"    faces: aft\n    rotation: {sense: cw, view: forward-looking-aft}\n",
         "    rotation: {sense: cw, view: forward-looking-aft}\n", "once crank faces"},
        {"    faces: aft\n    rotation: {sense: cw, view: forward-looking-aft}\n",
         "    faces: forward\n    rotation: {sense: ccw, view: facing-pad}\n",
         "differs crank faces"},
    };
    static const struct change in_first[] = {
        {"{sense: cw, view: aft-looking-forward}\n    max",
         "{sense: ccw, view: aft-looking-forward}\n    max",
         "differs HP rotation, unknown S1 numbering"},
        {"numbering: against-rotation", "numbering: {sense: ccw, view: aft-looking-forward}", ""},
        {"numbering: against-rotation", "numbering: {sense: ccw, view: forward-looking-aft}",
         "differs S1 numbering"},
    };
    COMPARE_CHANGED(in_second, true);
    COMPARE_CHANGED(in_first, false);
}
END_TEST

/* With views in both readings, a slip in the rotor's sense changes no numbering. */
START_TEST(a_slip_in_a_rotation_is_one)
{
    struct pair pair;
    memset(&pair, 0, sizeof pair);
    support_start(&pair.s);
    const char *first = changed(&pair.s.arena, first_text, "numbering: against-rotation",
                                "numbering: {sense: ccw, view: aft-looking-forward}");
    first = changed(&pair.s.arena, first, "{sense: cw, view: aft-looking-forward}\n    max",
                    "{sense: ccw, view: aft-looking-forward}\n    max");
    compare_texts(&pair, first, second_text);
    ck_assert_str_eq(pair.all, "differs HP rotation");
    support_end(&pair.s);
}
END_TEST

/* From an end of the engine a pad's sense is known only if the pad faces an end. */
START_TEST(a_view_that_cannot_be_used)
{
    struct pair pair;
    memset(&pair, 0, sizeof pair);
    support_start(&pair.s);
    const char *first = changed(&pair.s.arena, first_text, "    faces: aft\n", "");
    const char *second = changed(&pair.s.arena, second_text, "    faces: aft\n", "");
    compare_texts(&pair, first, second);
    ck_assert_str_eq(pair.all, "once crank rotation");
    support_end(&pair.s);
}
END_TEST

/* What could not be read is reported already; nothing else seems to be missing because of it. */
START_TEST(mistakes_of_reading)
{
    static const struct change in_second[] = {
        {"blades: 32", "blades: many", "unknown S1 blades"},
        {"blades: 32", "blads: 32", "unknown S1 blades"},
        {"sense: cw, view: forward-looking-aft}\n    turns", "sense: cw}\n    turns",
         "unknown crank rotation"},
        {"  - id: S1\n    spool", "  - id:\n    spool", "unknown S1, unknown ?"},
        {"  - id: S1\n    spool", "  - id: FAN\n    spool", "unknown S1, unknown FAN"},
        {"  - id: S1\n    spool", "  - id: S2\n    spool", "once S1, anew S2"},
        {"  - id: S1\n", "", "once S1, anew FAN known-blades, anew FAN port, anew FAN clocking"},
        {"  - id: LP\n    rotation", "  - name: LP\n    rotation", "unknown LP, unknown ?"},
    };
    static const struct change in_first[] = {
        {"blades: 32", "blades: many", "unknown S1 blades"},
        {"    clocking:", "    cloking:", "unknown S1 clocking"},
        {"  - id: FAN\n", "  - id: S1\n", "unknown S1, unknown FAN"},
        {"  - id: FAN\n", "", "anew FAN"}, /* S1 has keys twice, which is reported */
        {"  - id: FAN\n", "  - id: \"?\"\n", "unknown ?, unknown FAN"},
    };
    COMPARE_CHANGED(in_second, true);
    COMPARE_CHANGED(in_first, false);
}
END_TEST

/* A whole list that could not be read. */
START_TEST(broken_lists)
{
    struct pair pair;
    memset(&pair, 0, sizeof pair);
    support_start(&pair.s);
    const char *from = strstr(second_text, "stages:");
    const char *to = strstr(second_text, "pads:");
    const char *second = arena_printf(&pair.s.arena, "%.*sstages: none\n%s",
                                      (int)(from - second_text), second_text, to);
    compare_texts(&pair, first_text, second);
    ck_assert_str_eq(pair.all, "unknown S1, unknown FAN");
    from = strstr(first_text, "pads:");
    const char *first =
        arena_printf(&pair.s.arena, "%.*spads: none\n", (int)(from - first_text), first_text);
    compare_texts(&pair, first, second_text);
    ck_assert_str_eq(pair.all, "unknown crank");
    support_end(&pair.s);
}
END_TEST

/* A quantity of whichever dimension its unit has. */
static struct model_quantity quantity(const char *text)
{
    static const enum exact_dimension dimensions[] = {EXACT_PURE, EXACT_ANGLE, EXACT_SPEED,
                                                      EXACT_TORQUE};
    struct model_quantity made = {.at = {.state = MODEL_GIVEN}};
    for (size_t i = 0; i < sizeof dimensions / sizeof *dimensions; i++) {
        if (exact_quantity_read(text, strlen(text), dimensions[i], &made.written).error ==
            EXACT_QUANTITY_FINE) {
            return made;
        }
    }
    ck_abort_msg("%s", text);
}

/* Where two numbers are exactly half their last digits apart, they are not one. */
START_TEST(quantities_at_their_bounds)
{
    static const struct {
        const char *a, *b;
        bool agree;
    } cases[] = {
        {"12.5 deg", "12.5 deg", true},
        {"12.5 deg", "12.6 deg", false}, /* 0.1 apart; half digits 0.05 + 0.05 */
        {"12.5 deg", "12.50 deg", true},
        {"12.5 deg", "12.55 deg", true},   /* 0.05 apart; 0.05 + 0.005 */
        {"12.5 deg", "12.555 deg", false}, /* 0.055 apart; 0.05 + 0.0005 */
        {"2.25", "2.2549", true},          /* 0.0049 apart; 0.005 + 0.00005 */
        {"2.25", "2.25505", false},        /* 0.00505 apart; 0.005 + 0.000005 */
        {"2.25", "2.255", true},           /* 0.005 apart; 0.005 + 0.0005 */
        {"40 lbf.ft", "40 lbf.ft", true},
        {"40 lbf.ft", "41 lbf.ft", false},   /* whole numbers in one unit */
        {"40 lbf.ft", "40.4 lbf.ft", false}, /* 0.05 only: 40 is whole */
        {"40 lbf.ft", "40.04 lbf.ft", false},
        {"40 lbf.ft", "40.0 lbf.ft", true},
        {"40 lbf.ft", "54 N.m", true}, /* 54.2327 N.m */
        {"40 lbf.ft", "54.2 N.m", true},
        {"40 lbf.ft", "55 N.m", true},  /* 0.77 apart; 0.68 + 0.5 */
        {"40 lbf.ft", "56 N.m", false}, /* 1.77 apart */
        {"1/4 rpm", "90 deg/min", true},
        {"1/3 rpm", "120 deg/min", true},
        {"1/4 rpm", "91 deg/min", false}, /* 1 apart; a fraction is exact, and 0.5 */
        {"12.5 deg", "750 arcmin", true},
        {"12.5 deg", "753 arcmin", true},  /* 3 apart; 3 + 0.5 */
        {"12.5 deg", "754 arcmin", false}, /* 4 apart */
        {"1 rev", "360 deg", true},
        {"1.0 rev", "378.5 deg", false}, /* 18.5 apart; 18 + 0.05 */
        {"1.0 rev", "378 deg", true},    /* 18 apart; 18 + 0.5 */
        {"1.2 +/- 0.1 deg", "1.2 +/- 0.1 deg", true},
        {"1.2 +/- 0.1 deg", "1.2 deg", false},
        {"1.2 deg", "1.2 +/- 0.1 deg", false},
        {"1.2 +/- 0.1 deg", "1.2 +/- 0.2 deg", false},
        {"1.2 +/- 0.1 deg", "72 +/- 6 arcmin", true},
        {"1.2 +/- 0.1 deg", "72 +/- 10 arcmin", false}, /* 4 apart; 3 + 0.5 */
        {"-3 deg", "3 deg", false},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        const struct model_quantity a = quantity(cases[i].a), b = quantity(cases[i].b);
        ck_assert_msg(model_quantities_agree(&a, &b) == cases[i].agree, "%s and %s", cases[i].a,
                      cases[i].b);
        ck_assert_msg(model_quantities_agree(&b, &a) == cases[i].agree, "%s and %s", cases[i].b,
                      cases[i].a);
    }
}
END_TEST

int main(void)
{
    TCase *tests = tcase_create("cross_check");
    tcase_add_test(tests, two_persons_agree);
    tcase_add_test(tests, each_value_is_compared);
    tcase_add_test(tests, known_blades);
    tcase_add_test(tests, rotations_and_numberings_with_views);
    tcase_add_test(tests, a_slip_in_a_rotation_is_one);
    tcase_add_test(tests, a_view_that_cannot_be_used);
    tcase_add_test(tests, mistakes_of_reading);
    tcase_add_test(tests, broken_lists);
    tcase_add_test(tests, quantities_at_their_bounds);
    return run_case("model_cross_check", tests);
}
