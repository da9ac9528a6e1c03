/*
 * report_index_test.c - the list of engines: where the torque is from, and one that is not given.
 */
#include "report/index.h"
#include "unit/rules_support.h"

/* A definition that was judged, listed. */
struct listed {
    struct trial t;
    struct report_index index;
    char text[2048];
};

static const struct report_index_pad *list(struct listed *l)
{
    (void)trial_judge(&l->t);
    l->index = (struct report_index){.arena = &l->t.s.arena};
    report_index_add(&l->index, &l->t.s.judging.derived);
    report_index_sort(&l->index);
    ck_assert_uint_eq(l->index.count, 1);
    return &l->index.engines[0].spools[0].pads[0];
}

static const char *written(struct listed *l, enum report_index_format format)
{
    FILE *out = fmemopen(l->text, sizeof l->text, "w");
    ck_assert_ptr_nonnull(out);
    report_index_write(out, &l->index, format);
    ck_assert_int_eq(fclose(out), 0);
    return l->text;
}

START_TEST(the_torque_of_the_pad)
{
    struct listed l;
    trial_start(&l.t);
    trial_change(&l.t, "torque-limit: 40 lbf.ft", "torque-limit: 40.2 lbf.ft");
    ck_assert_str_eq(list(&l)->torque_words, "40.2 lbf.ft (54.5 N.m)");
    ck_assert_ptr_nonnull(strstr(written(&l, REPORT_INDEX_CSV), ",2,2,40.2,lbf.ft,\"S1 32\"\n"));
    trial_end(&l.t);
}
END_TEST

START_TEST(the_torque_at_the_device)
{
    struct listed l;
    trial_start(&l.t);
    trial_change(&l.t, "torque-limit: 40 lbf.ft", "torque-limit: 40.2 lbf.ft");
    trial_device(&l.t, "0.5 lbf.ft", "0.5 lbf.ft");
    ck_assert_str_eq(list(&l)->torque_words, "40 lbf.ft (54.2 N.m)");
    trial_end(&l.t);
}
END_TEST

START_TEST(a_torque_that_is_not_given)
{
    struct listed l;
    trial_start(&l.t);
    trial_change(&l.t, "    torque-limit: 40 lbf.ft\n", "");
    ck_assert_str_eq(list(&l)->torque_words, "not given");
    ck_assert_ptr_nonnull(strstr(written(&l, REPORT_INDEX_TEXT), "2          not given  S1 32\n"));
    ck_assert_ptr_nonnull(strstr(written(&l, REPORT_INDEX_JSON), "\"torque_limit\":null"));
    ck_assert_ptr_nonnull(strstr(written(&l, REPORT_INDEX_CSV), ",2,2,,,\"S1 32\"\n"));
    trial_end(&l.t);
}
END_TEST

int main(void)
{
    TCase *tests = tcase_create("index");
    tcase_add_test(tests, the_torque_of_the_pad);
    tcase_add_test(tests, the_torque_at_the_device);
    tcase_add_test(tests, a_torque_that_is_not_given);
    return run_case("report", tests);
}
