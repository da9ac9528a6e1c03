/* words_reading_test.c - who read a definition a second time, and what was left out. */
#include "unit/support.h"
#include "words/reading.h"

static const char head[] = "cross-check: 1\nof: {id: plover-2, revision: 3}\n"
                           "read-from: The second copy\nread-on: 2026-06-02\n";
static const char spools[] =
    "spools: [{id: HP, rotation: {sense: cw, view: aft-looking-forward}, max-speed: 1/3 rpm}]\n";
static const char stages[] =
    "stages: [{id: S1, spool: HP, blades: 32, numbering: against-rotation, port: {id: P1, clock: "
    "\"4:30\"}, clocking: 12.5 deg}]\n";
static const char pads[] =
    "pads: [{id: crank, spool: HP, faces: aft, rotation: {sense: ccw, view: facing-pad}, turns: "
    "{pad: 2, rotor: 1}, path: [external: [20, 40]], drives: both, square: 3/8 in, torque-limit: "
    "40 lbf.ft, backlash: 1.2 deg}]\n";

/* What is said of the sound definition with this second reading; NULL: without one. */
static void assert_said(const char *second, const char *expected)
{
    struct support s;
    struct model_source source = {.kind = MODEL_KINDS};
    support_start(&s);
    support_load(&s, sound_engine);
    if (second) {
        support_load_as(&s, &source, "plover-2.cross-check.yaml", second, strlen(second));
        (void)assert_only(&s, RULE_NONE);
        model_cross_check_link(source.cross_check, s.engine.engine, &s.findings);
    }
    ck_assert_str_eq(words_read_again(&s.arena, s.engine.engine, source.cross_check), expected);
    support_end(&s);
}

static const char *text_of(struct arena *arena, const char *a, const char *b, const char *c)
{
    return arena_printf(arena, "%s%s%s%s", head, a, b, c);
}

#define WHO "The second copy; on 2026-06-02, of revision 3; "

START_TEST(who_read_what)
{
    struct arena arena = {.newest = NULL};
    assert_said(NULL, "by nobody");
    assert_said(text_of(&arena, spools, stages, pads), WHO "all values");
    assert_said(text_of(&arena, spools, "", pads), WHO "not read again: stage S1");
    assert_said(text_of(&arena, "", "", ""), WHO "not read again: spool HP; stage S1; pad crank");
    assert_said(text_of(&arena, spools, changed(&arena, stages, "blades: 32, ", ""),
                        changed(&arena, pads, "drives: both, square: 3/8 in, ", "")),
                WHO "not read again: stage S1 (blades); pad crank (drives, square)");
    assert_said(text_of(&arena, spools, changed(&arena, stages, "blades: 32", "blades: 33"), pads),
                WHO "all values");
    arena_free(&arena);
}
END_TEST

START_TEST(how_it_is_known)
{
    static const struct {
        struct model_known known;
        const char *words;
    } cases[] = {
        {{false, false, false}, "read once"},
        {{true, false, false}, "read twice"},
        {{false, true, false}, "observed"},
        {{false, false, true}, "follows from others"},
        {{true, true, true}, "observed, read twice, follows from others"},
    };
    struct arena arena = {.newest = NULL};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        ck_assert_str_eq(words_known(&arena, cases[i].known), cases[i].words);
    }
    arena_free(&arena);
}
END_TEST

int main(void)
{
    TCase *tests = tcase_create("reading");
    tcase_add_test(tests, who_read_what);
    tcase_add_test(tests, how_it_is_known);
    return run_case("words_reading", tests);
}
