/*
 * model_register_test.c - what the source register says of a revision, at the bounds of each
 * answer.
 */
#include "unit/support.h"

#define REGISTER                                                                                   \
    "source-register: 1\n"                                                                         \
    "documents:\n"                                                                                 \
    "  - {document: Zebra, revision: 7, date: 2025-01-31}\n"                                       \
    "  - {document: Book, revision: 12, date: 2025-03-01, withdrawn: [9, 11]}\n"                   \
    "  - {document: Gone, revision: B, date: 2025-03-01, withdrawn: [B]}\n"

/* The standing of one document. */
static enum model_standing ask(const char *text, const char *name, const char *revision, int date,
                               const char **current)
{
    struct support s;
    struct model_source source;
    support_start(&s);
    support_load_as(&s, &source, "rotortab.sources.yaml", text, strlen(text));
    ck_assert_ptr_nonnull(source.registered);
    const struct model_document document = {
        .document = {{.state = MODEL_GIVEN}, name, strlen(name)},
        .revision = {{.state = MODEL_GIVEN}, revision, strlen(revision)},
        .date = {{.state = date == 0 ? MODEL_BROKEN : MODEL_GIVEN}, date}};
    const struct model_registered *entry = NULL;
    enum model_standing standing = model_standing_of(source.registered, &document, &entry);
    static char kept[32];
    *current = NULL;
    if (entry) {
        snprintf(kept, sizeof kept, "%s", entry->revision.text ? entry->revision.text : "?");
        *current = kept;
    }
    support_end(&s);
    return standing;
}

START_TEST(each_standing)
{
    static const struct {
        const char *document, *revision;
        int date;
        enum model_standing standing;
        const char *current;
    } cases[] = {
        {"Book", "12", 20250301, MODEL_CURRENT, "12"},
        {"Book", "12", 20250302, MODEL_REDATED, "12"},
        {"Book", "12", 20250228, MODEL_REDATED, "12"},
        {"Book", "10", 20240101, MODEL_OLDER, "12"},
        {"Book", "10", 20250301, MODEL_OLDER, "12"},
        {"Book", "13", 20250302, MODEL_NEWER, "12"},
        {"Book", "11", 20260101, MODEL_RECALLED, "12"},
        {"Book", "9", 20200101, MODEL_RECALLED, "12"},
        {"Gone", "B", 20250301, MODEL_RECALLED, "B"},
        {"Zebra", "7", 20250131, MODEL_CURRENT, "7"},
        {"book", "12", 20250301, MODEL_NOT_KNOWN, NULL},
        {"Boo", "12", 20250301, MODEL_NOT_KNOWN, NULL},
        {"Book", "10", 0, MODEL_NOT_READ, NULL},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        const char *current = NULL;
        ck_assert_int_eq(
            ask(REGISTER, cases[i].document, cases[i].revision, cases[i].date, &current),
            cases[i].standing);
        ck_assert_pstr_eq(current, cases[i].current);
    }
}
END_TEST

/* What could not be read is not taken for absent, and what could be read holds. */
START_TEST(of_a_broken_register)
{
    const char *current = NULL;
    static const char broken[] = "source-register: 1\n"
                                 "documents:\n"
                                 "  - {document: Book, revision: 12, date: 2025-13-01}\n"
                                 "  - {document: Zebra, revision: 7, date: 2025-01-31}\n";
    ck_assert_int_eq(ask(broken, "Other", "1", 20200101, &current), MODEL_NOT_READ);
    ck_assert_int_eq(ask(broken, "Book", "1", 20200101, &current), MODEL_NOT_READ);
    ck_assert_int_eq(ask(broken, "Zebra", "6", 20200101, &current), MODEL_OLDER);
    ck_assert_int_eq(ask("source-register: 1\ndocuments: []\n", "Book", "1", 20200101, &current),
                     MODEL_NOT_KNOWN);
}
END_TEST

/* The first of two lines with one name holds. */
START_TEST(of_a_name_that_is_there_twice)
{
    const char *current = NULL;
    ck_assert_int_eq(ask(REGISTER "  - {document: Book, revision: 4, date: 2020-01-01}\n", "Book",
                         "4", 20200101, &current),
                     MODEL_OLDER);
    ck_assert_str_eq(current, "12");
}
END_TEST

int main(void)
{
    TCase *tests = tcase_create("register");
    tcase_add_test(tests, each_standing);
    tcase_add_test(tests, of_a_broken_register);
    tcase_add_test(tests, of_a_name_that_is_there_twice);
    return run_case("register", tests);
}
