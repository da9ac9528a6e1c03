/* Neighbouring planets: published conditions, exact cases, and every set within small bounds. */
#include "unit/check.h"
#include <math.h>

#include "turning/planets.h"
#include "unit/support.h"

/* SDP/SI, Elements of Metric Gear Technology, p. T-116: the worked set of sun 16, planet 16. */
START_TEST(sets)
{
    ck_assert(!turning_planets_touch(16, 16, 3));
    ck_assert(!turning_planets_touch(16, 16, 4));
    ck_assert(turning_planets_touch(16, 16, 64));
    ck_assert(!turning_planets_touch(20, 30, 4));
    ck_assert(turning_planets_touch(20, 30, 5));
    ck_assert(!turning_planets_touch(9999, 1, 1));
}
END_TEST

/* With two planets the sine is 1, with six it is 1/2: they touch at equality. */
START_TEST(equality_touches)
{
    ck_assert(turning_planets_touch(2, 30, 2));
    ck_assert(!turning_planets_touch(3, 30, 2));
    ck_assert(turning_planets_touch(14, 10, 6));
    ck_assert(!turning_planets_touch(15, 10, 6));
}
END_TEST

/* The C library's sine, wherever it is sure. */
START_TEST(the_librarys_sine_agrees)
{
    unsigned decided = 0;
    for (int planets = 3; planets <= 97; planets++) {
        long double sine = sinl(acosl(-1.0L) / planets);
        for (int sun = 5; sun <= 400; sun += 3) {
            for (int planet = 5; planet <= 120; planet += 5) {
                long double gap = (sun + planet) * sine - (planet + 2);
                if (fabsl(gap) > 1e-9L) {
                    ck_assert_int_eq(turning_planets_touch(sun, planet, planets), gap < 0);
                    decided++;
                }
            }
        }
    }
    ck_assert_uint_gt(decided, 200000);
    for (int planets = 3; planets <= 9999; planets += 7) {
        long double gap = 19998 * sinl(acosl(-1.0L) / planets) - 10001;
        ck_assert_int_eq(turning_planets_touch(9999, 9999, planets), gap < 0);
    }
}
END_TEST

int main(void)
{
    TCase *tests = tcase_create("planets");
    tcase_add_test(tests, sets);
    tcase_add_test(tests, equality_touches);
    tcase_add_test(tests, the_librarys_sine_agrees);
    return run_case("turning", tests);
}
