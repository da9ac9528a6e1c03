#include "turning/planets.h"

#include "exact/wide.h"

/* Numbers in units of 2^-60, so that a product of two below 2 fits 128 bits. */
enum { BITS = 60, TERMS = 28 }; /* the last one is x^27 / 27!, below 2^-73 */
#define ONE ((exact_wide)1 << BITS)
#define PI_BELOW ((exact_wide)3622009729038561421) /* pi 2^60, rounded down */

/* A number between two others. */
struct bounds {
    exact_wide low, high; /* neither is negative */
};

static exact_wide divide_up(exact_wide number, exact_wide by)
{
    return (number + by - 1) / by;
}

static struct bounds product(struct bounds a, struct bounds b)
{
    return (struct bounds){a.low * b.low / ONE, divide_up(a.high * b.high, ONE)};
}

static struct bounds quotient(struct bounds a, exact_wide by)
{
    return (struct bounds){a.low / by, divide_up(a.high, by)};
}

/*
 * A number below the sine of an angle from 0 to pi/2: x - x^3/3! + x^5/5! - ...  The terms
 * alternate and shrink, so a sum that ends with a subtracted term is below the sine.
 */
static exact_wide below_sine(struct bounds x)
{
    struct bounds square = product(x, x);
    struct bounds term = x;
    exact_wide sum = x.low;
    for (exact_wide n = 2; n < TERMS; n += 2) {
        term = quotient(product(term, square), n * (n + 1));
        sum += n % 4 == 2 ? -term.high : term.low;
    }
    return sum;
}

bool turning_planets_touch(int64_t sun, int64_t planet, int64_t planets)
{
    if (planets == 1) {
        return false;
    }
    exact_wide apart = sun + planet;
    exact_wide across = planet + 2;
    if (planets == 2 || planets == 6) { /* the sine is 1, or 1/2 */
        return planets == 2 ? apart <= across : apart <= 2 * across;
    }
    struct bounds half_angle = {PI_BELOW / planets, divide_up(PI_BELOW + 1, planets)};
    return apart * below_sine(half_angle) <= across * ONE;
}
