/*
 * words_caution_test.c - the sentences that come before anything turns: whose, and in which order.
 */
#include "unit/support.h"
#include "words/caution.h"

static const char *joined(struct support *s, size_t spool, size_t pad)
{
    const struct words_cautions list =
        words_before_turning(&s->arena, s->engine.engine, spool, pad);
    const char *text = "";
    for (size_t i = 0; i < list.count; i++) {
        text = arena_printf(&s->arena, "%s[%s]", text, list.items[i]);
    }
    return text;
}

/* HP with the pads crank and quill, then LP; each with a sentence. */
static void load(struct support *s)
{
    support_start(s);
    const char *text = changed(&s->arena, sound_engine, "source: Invented\n",
                               "source: Invented\nbefore-turning: [Wait, Look]\n");
    text = changed(&s->arena, text, "stages:\n",
                   "    before-turning: [Few turns]\n"
                   "  - {id: LP, rotation: {sense: cw, view: aft-looking-forward}, turned-by: hand,"
                   " before-turning: [Wind]}\nstages:\n");
    text = changed(
        &s->arena, text, "observations:\n",
        "    before-turning: [Cover off]\n"
        "  - {id: quill, spool: HP, rotation: {sense: ccw, view: facing-pad}, path: [direct],"
        " before-turning: [Oil on]}\nobservations:\n");
    support_load(s, text);
    (void)assert_only(s, RULE_NONE);
}

START_TEST(sentences_of_what_is_turned)
{
    struct support s;
    load(&s);
    ck_assert_str_eq(joined(&s, WORDS_ALL, WORDS_ALL),
                     "[Wait][Look][Spool HP: Few turns][Spool LP: Wind][Pad crank: Cover off]"
                     "[Pad quill: Oil on]");
    ck_assert_str_eq(joined(&s, 0, 0), "[Wait][Look][Spool HP: Few turns][Pad crank: Cover off]");
    ck_assert_str_eq(joined(&s, 0, 1), "[Wait][Look][Spool HP: Few turns][Pad quill: Oil on]");
    ck_assert_str_eq(joined(&s, 1, WORDS_ALL), "[Wait][Look][Spool LP: Wind]");
    support_end(&s);
}
END_TEST

START_TEST(without_sentences)
{
    struct support s;
    support_start(&s);
    support_load(&s, sound_engine);
    ck_assert_str_eq(joined(&s, WORDS_ALL, WORDS_ALL), "");
    support_end(&s);
}
END_TEST

START_TEST(models)
{
    struct support s;
    support_start(&s);
    support_load(&s, sound_engine);
    ck_assert_str_eq(words_models(&s.arena, s.engine.engine), "Plover 2, Plover 2B");
    support_load(&s, changed(&s.arena, sound_engine, "models: [Plover 2, Plover 2B]\n", ""));
    ck_assert_str_eq(words_models(&s.arena, s.engine.engine), "not stated");
    support_end(&s);
}
END_TEST

int main(void)
{
    TCase *tests = tcase_create("caution");
    tcase_add_test(tests, sentences_of_what_is_turned);
    tcase_add_test(tests, without_sentences);
    tcase_add_test(tests, models);
    return run_case("words", tests);
}
