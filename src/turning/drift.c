#include "turning/drift.h"

struct exact_rational turning_pitch(int64_t blades)
{
    struct exact_rational pitch = exact_whole(360);
    (void)exact_make(360, blades, &pitch); /* cannot overflow */
    return pitch;
}

bool turning_uncertainty(struct exact_interval within, struct exact_rational used,
                         struct exact_rational *out)
{
    struct exact_rational below;
    struct exact_rational above;
    if (!exact_sub(used, within.lo, &below) || !exact_div(below, within.lo, &below) ||
        !exact_sub(within.hi, used, &above) || !exact_div(above, within.hi, &above)) {
        return false;
    }
    return exact_mul(exact_whole(360), exact_compare(below, above) > 0 ? below : above, out);
}

bool turning_drift(struct exact_rational used, struct exact_rational real,
                   struct exact_rational *out)
{
    return exact_sub(used, real, out) && exact_div(exact_abs(*out), real, out) &&
           exact_mul(*out, exact_whole(360), out);
}

bool turning_closure(int64_t whole, int64_t blades, struct exact_rational counts_per_turn,
                     struct exact_rational *counts, struct exact_rational *degrees)
{
    struct exact_rational left;
    struct exact_rational share;
    if (!exact_mul(exact_whole(whole), exact_whole(blades), &left) ||
        !exact_sub(left, counts_per_turn, &left) || !exact_div(left, counts_per_turn, &share) ||
        !exact_mul(share, exact_whole(360), degrees)) {
        return false;
    }
    *counts = left;
    return true;
}

bool turning_turns_to(struct exact_rational per_turn, struct exact_rational degrees, int64_t *out)
{
    struct exact_rational turns;
    if (!exact_div(degrees, per_turn, &turns)) {
        return false;
    }
    *out = exact_floor(turns);
    return true;
}

bool turning_turns_to_both(struct exact_rational one, struct exact_rational other,
                           struct exact_rational degrees, int64_t *out)
{
    exact_wide num = (exact_wide)one.num * other.den;
    exact_wide den = (exact_wide)one.den * other.den;
    if (!exact_wide_add(num, (exact_wide)other.num * one.den, &num) || num <= 0) {
        return false;
    }
    exact_wide common = exact_wide_gcd(num, den);
    exact_wide above;
    exact_wide below;
    if (!exact_wide_mul(den / common, degrees.num, &above) ||
        !exact_wide_mul(num / common, degrees.den, &below)) {
        return false;
    }
    exact_wide turns = exact_wide_floor_div(above, below);
    *out = turns > INT64_MAX ? INT64_MAX : (int64_t)turns;
    return true;
}

bool turning_backlash_at_device(struct exact_rational pad, struct exact_rational adapter_ratio,
                                struct exact_rational adapter_backlash, struct exact_rational *out)
{
    struct exact_rational through;
    return exact_mul(pad, adapter_ratio, &through) && exact_add(through, adapter_backlash, out);
}

bool turning_backlash_counts(struct exact_rational at_device,
                             struct exact_rational counts_per_device_turn, int64_t *out)
{
    struct exact_rational counts;
    if (!exact_mul(at_device, counts_per_device_turn, &counts) ||
        !exact_div(counts, exact_whole(360), &counts)) {
        return false;
    }
    *out = exact_ceil(counts);
    return true;
}
