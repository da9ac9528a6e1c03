/*
 * model_device_test.c - what follows from a device profile alone.
 */
#include "unit/support.h"

/* The sound profile with one text in the place of another. */
static struct model_device_facts derive(const char *from, const char *to)
{
    struct support s;
    support_start(&s);
    const char *text = changed(&s.arena, sound_device, from, to);
    support_load_as(&s, &s.device, "bench-3.device.yaml", text, strlen(text));
    struct model_device_facts facts = model_device_derive(s.device.device);
    support_end(&s);
    return facts;
}

/* Within what it gives: the least is rounded up to a step, the greatest down. */
START_TEST(least_and_greatest_steps)
{
    struct model_device_facts facts =
        derive("{min: 5 lbf.ft, max: 60 lbf.ft", "{min: 5.1 lbf.ft, max: 59.9 lbf.ft");
    ck_assert(facts.known && !facts.counts_exceed);
    ck_assert_int_eq(facts.torque_min, 11);
    ck_assert_int_eq(facts.torque_max, 119);
    facts = derive("{min: 1 deg/min, max: 6 rpm", "{min: 1.01 deg/min, max: 35.99 deg/s");
    ck_assert_int_eq(facts.speed_min, 11);
    ck_assert_int_eq(facts.speed_max, 21594);
}
END_TEST

/* Nothing follows from a part of a device; and what is read may still be too large. */
START_TEST(devices_that_are_not_known)
{
    static const struct {
        const char *from, *to;
        bool exceeds;
    } cases[] = {{"counts-per-motor-turn: 2000", "counts-per-motor-turn: x", false},
                 {"motor: 80", "motor: x", false},
                 {"output: 1", "output: x", false},
                 {"min: 1 deg/min", "min: 1", false},
                 {"max: 6 rpm", "max: 6", false},
                 {"resolution: 0.1 deg/min", "resolution: 0.1", false},
                 {"min: 5 lbf.ft", "min: 5", false},
                 {"max: 60 lbf.ft", "max: 60", false},
                 {"resolution: 0.5 lbf.ft", "resolution: 0.5", false},
                 {"motor: 80", "motor: 9223372036854775", true}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        struct model_device_facts facts = derive(cases[i].from, cases[i].to);
        ck_assert_msg(!facts.known, "%s", cases[i].to);
        ck_assert_int_eq(facts.counts_exceed, cases[i].exceeds);
    }
}
END_TEST

int main(void)
{
    TCase *tests = tcase_create("device");
    tcase_add_test(tests, least_and_greatest_steps);
    tcase_add_test(tests, devices_that_are_not_known);
    return run_case("model", tests);
}
