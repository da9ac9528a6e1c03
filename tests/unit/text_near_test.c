/*
 * text_near_test.c - the nearest of known words, against a distance worked out plainly.
 */
#include "text/near.h"
#include "unit/support.h"

/* The best of the words, "-" for none. */
static const char *near(const char *word, const char *const known[])
{
    struct text_near search = text_near_start(word, strlen(word));
    for (; *known; known++) {
        text_near_try(&search, *known);
    }
    const char *best = text_near_best(&search);
    return best ? best : "-";
}

START_TEST(slips_of_every_kind)
{
    static const char *const keys[] = {"id", "rotation", "spool", "torque-limit", "blades", NULL};
    const struct {
        const char *word, *best;
    } cases[] = {
        {"blades", "blades"},
        {"bldes", "blades"},   /* a letter left out */
        {"bladess", "blades"}, /* one too many */
        {"blodes", "blades"},  /* another one */
        {"balades", "blades"}, /* one put in */
        {"baldes", "blades"},  /* two swapped */
        {"torque_limit", "torque-limit"},
        {"torquelimit", "torque-limit"},
        {"torq-limits", "torque-limit"},
        {"torque", "-"}, /* six letters left out */
        {"Rotation", "rotation"},
        {"ROTATION", "rotation"},
        {"ID", "id"},
        {"rotn", "-"},
        {"ids", "id"},
        {"di", "id"},
        {"i", "id"},
        {"x", "-"},
        {"xy", "-"},
        {"", "-"},
        {"spools", "spool"},
        {"spoolss", "spool"},
        {"stage", "-"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        ck_assert_str_eq(near(cases[i].word, keys), cases[i].best);
    }
}
END_TEST

/* A third of the letters, and one slip at least; the word's, not the known one's. */
START_TEST(how_near_is_near)
{
    const struct {
        const char *word, *known;
        bool fits;
    } cases[] = {{"abcde", "abcdX", true},         {"abcde", "abcXX", false},
                 {"abcdef", "abcdXX", true},       {"abcdef", "abcXXX", false},
                 {"abcdefgh", "abcdefXX", true},   {"abcdefgh", "abcdeXXX", false},
                 {"abcdefghi", "abcdefXXX", true}, {"abcdefghi", "abcdeXXXX", false}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        const char *const known[] = {cases[i].known, NULL};
        ck_assert_str_eq(near(cases[i].word, known), cases[i].fits ? cases[i].known : "-");
    }
}
END_TEST

START_TEST(first_of_equals)
{
    static const char *const known[] = {"abcdX", "abcdY", "Xbcde", NULL};
    static const char *const nearer[] = {"abcdX", "abcde", "abcdY", NULL};
    ck_assert_str_eq(near("abcde", known), "abcdX");
    ck_assert_str_eq(near("abcde", nearer), "abcde");
}
END_TEST

START_TEST(length_is_the_callers)
{
    struct text_near search = text_near_start("idle", 2);
    text_near_try(&search, "id");
    ck_assert_str_eq(text_near_best(&search), "id");
    ck_assert_uint_eq(search.distance, 0);
}
END_TEST

START_TEST(nothing_is_near_to_nothing)
{
    static const char *const letter[] = {"v", NULL};
    ck_assert_str_eq(near("", letter), "-");
}
END_TEST

START_TEST(long_words_are_left_alone)
{
    char word[64];
    memset(word, 'a', 41);
    word[41] = '\0';
    const char *const same[] = {word, NULL};
    ck_assert_str_eq(near(word, same), "-");
    word[40] = '\0';
    ck_assert_str_eq(near(word, same), word);
    char other[42];
    memset(other, 'a', 41);
    other[41] = '\0';
    const char *const longer[] = {other, NULL};
    ck_assert_str_eq(near(word, longer), "-");
    ck_assert_str_eq(near(other, same), "-");
}
END_TEST

/* Optimal string alignment by its definition, from the ends. */
static size_t plain_distance(const char *a, size_t a_length, const char *b, size_t b_length)
{
    if (a_length == 0 || b_length == 0) {
        return a_length + b_length;
    }
    size_t best = plain_distance(a, a_length - 1, b, b_length) + 1;
    size_t other = plain_distance(a, a_length, b, b_length - 1) + 1;
    best = other < best ? other : best;
    other = plain_distance(a, a_length - 1, b, b_length - 1) + (a[a_length - 1] != b[b_length - 1]);
    best = other < best ? other : best;
    if (a_length > 1 && b_length > 1 && a[a_length - 1] == b[b_length - 2] &&
        a[a_length - 2] == b[b_length - 1]) {
        other = plain_distance(a, a_length - 2, b, b_length - 2) + 1;
        best = other < best ? other : best;
    }
    return best;
}

/* Every word of six letters a, b beside some of the words of four to seven: near where the plain
 * distance is two at most. Some are a quarter of them, or by default a sixteenth. */
START_TEST(against_the_definition)
{
    const unsigned step = 64 / (unsigned)share_number(16, 4);
    size_t different = 0;
    for (unsigned i = 0; i < 64; i++) {
        for (unsigned length = 4; length <= 7; length++) {
            for (unsigned j = i % step; j < 1u << length; j += step) {
                char word[7] = "";
                char known[8] = "";
                for (unsigned n = 0; n < 6; n++) {
                    word[n] = i >> n & 1 ? 'b' : 'a';
                }
                for (unsigned n = 0; n < length; n++) {
                    known[n] = j >> n & 1 ? 'b' : 'a';
                }
                struct text_near search = text_near_start(word, 6);
                text_near_try(&search, known);
                size_t plain = plain_distance(word, 6, known, length);
                different +=
                    plain <= 2 ? !search.best || search.distance != plain : search.best != NULL;
            }
        }
    }
    ck_assert_uint_eq(different, 0);
}
END_TEST

int main(void)
{
    TCase *tests = tcase_create("near");
    tcase_add_test(tests, slips_of_every_kind);
    tcase_add_test(tests, how_near_is_near);
    tcase_add_test(tests, first_of_equals);
    tcase_add_test(tests, length_is_the_callers);
    tcase_add_test(tests, nothing_is_near_to_nothing);
    tcase_add_test(tests, long_words_are_left_alone);
    tcase_add_test(tests, against_the_definition);
    return run_case("text", tests);
}
