#include "turning/measured.h"

/* A number in the unit of a quantity as turns, and back. */
static bool as_turns(struct exact_rational value, enum exact_unit unit, struct exact_rational *out)
{
    if (unit == EXACT_NO_UNIT) {
        *out = value;
        return true;
    }
    return exact_measure_in((struct exact_measure){value, unit}, EXACT_REV, out);
}

static bool from_turns(struct exact_rational turns, enum exact_unit unit,
                       struct exact_rational *out)
{
    if (unit == EXACT_NO_UNIT) {
        *out = turns;
        return true;
    }
    return exact_measure_in((struct exact_measure){turns, EXACT_REV}, unit, out);
}

static bool interval_in_turns(const struct exact_quantity *quantity, struct exact_interval *out)
{
    struct exact_interval written;
    return exact_quantity_interval(quantity, &written) &&
           as_turns(written.lo, quantity->unit, &out->lo) &&
           as_turns(written.hi, quantity->unit, &out->hi);
}

enum turning_measured_result turning_measured(struct turning_measured *measured)
{
    struct exact_interval pad;
    struct exact_interval rotor;
    if (!interval_in_turns(&measured->pad, &pad) || !interval_in_turns(&measured->rotor, &rotor)) {
        return TURNING_BEYOND;
    }
    if (exact_sign(pad.lo) <= 0 || exact_sign(rotor.lo) <= 0) {
        return TURNING_NOT_POSITIVE;
    }
    return exact_interval_div(pad, rotor, &measured->within) ? TURNING_MEASURED : TURNING_BEYOND;
}

bool turning_measured_cut(const struct turning_measured *measured, struct exact_interval *out)
{
    const struct exact_quantity *const ends[] = {&measured->pad, &measured->rotor};
    struct exact_interval cut[2];
    bool rounded = false;
    for (size_t i = 0; i < 2; i++) {
        if (!interval_in_turns(ends[i], &cut[i])) {
            return false;
        }
        if (ends[i]->form == EXACT_DECIMAL && !ends[i]->has_tolerance) {
            rounded = true;
            if (!as_turns(ends[i]->stated, ends[i]->unit, &cut[i].lo) ||
                !exact_add(ends[i]->stated, ends[i]->half_ulp, &cut[i].hi) ||
                !exact_add(cut[i].hi, ends[i]->half_ulp, &cut[i].hi) ||
                !as_turns(cut[i].hi, ends[i]->unit, &cut[i].hi)) {
                return false;
            }
        }
    }
    return rounded && exact_interval_div(cut[0], cut[1], out);
}

static bool half_width(struct exact_interval interval, struct exact_rational *out)
{
    return exact_sub(interval.hi, interval.lo, out) && exact_div(*out, exact_whole(2), out);
}

bool turning_measured_tolerance(const struct turning_measured *measured, struct exact_rational *out)
{
    struct exact_interval pad;
    struct exact_interval rotor;
    struct exact_rational through;
    return interval_in_turns(&measured->pad, &pad) && interval_in_turns(&measured->rotor, &rotor) &&
           half_width(pad, &pad.lo) && half_width(rotor, &rotor.lo) &&
           exact_mul(rotor.lo, measured->within.hi, &through) && exact_add(pad.lo, through, out);
}

bool turning_measured_off(const struct turning_measured *measured, struct exact_rational ratio,
                          struct exact_rational *out)
{
    struct exact_rational rotor;
    return as_turns(measured->rotor.stated, measured->rotor.unit, &rotor) &&
           exact_mul(rotor, ratio, &rotor) && from_turns(rotor, measured->pad.unit, &rotor) &&
           exact_sub(rotor, measured->pad.stated, out);
}

bool turning_measured_meet(const struct turning_measured *measured, size_t count,
                           struct exact_interval *out)
{
    struct exact_interval shared = measured[0].within;
    for (size_t i = 1; i < count; i++) {
        if (!exact_intervals_meet(shared, measured[i].within)) {
            return false;
        }
        shared = exact_intervals_share(shared, measured[i].within);
    }
    *out = shared;
    return true;
}
