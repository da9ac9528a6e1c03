#include "model/agree.h"

/* How far the number that was read can be from the number as written, in base units. */
static bool half_digit(const struct model_quantity *quantity, bool one_unit,
                       struct exact_rational *out)
{
    const struct exact_quantity *written = &quantity->written;
    if (written->form == EXACT_INTEGER && one_unit) {
        *out = exact_whole(0);
        return true;
    }
    return exact_mul(written->half_ulp, exact_unit_row(written->unit)->factor, out);
}

/* Whether a and b, each in its own unit, can be one number. */
static bool can_be_one(const struct model_quantity *a, struct exact_rational a_value,
                       const struct model_quantity *b, struct exact_rational b_value)
{
    bool one_unit = a->written.unit == b->written.unit;
    struct exact_rational a_base, b_base, a_half, b_half, apart, halves;
    if (exact_measure_compare((struct exact_measure){a_value, a->written.unit},
                              (struct exact_measure){b_value, b->written.unit}) == 0) {
        return true;
    }
    return exact_mul(a_value, exact_unit_row(a->written.unit)->factor, &a_base) &&
           exact_mul(b_value, exact_unit_row(b->written.unit)->factor, &b_base) &&
           exact_sub(a_base, b_base, &apart) && half_digit(a, one_unit, &a_half) &&
           half_digit(b, one_unit, &b_half) && exact_add(a_half, b_half, &halves) &&
           exact_compare(exact_abs(apart), halves) < 0;
}

bool model_quantities_agree(const struct model_quantity *a, const struct model_quantity *b)
{
    return a->written.has_tolerance == b->written.has_tolerance &&
           can_be_one(a, a->written.stated, b, b->written.stated) &&
           (!a->written.has_tolerance ||
            can_be_one(a, a->written.tolerance, b, b->written.tolerance));
}

bool model_scalars_agree(const struct model_field *field, const void *first, const void *second)
{
    switch (field->type) {
    case MODEL_VERSION:
    case MODEL_INTEGER:
        return ((const struct model_integer *)first)->value ==
               ((const struct model_integer *)second)->value;
    case MODEL_QUANTITY:
    case MODEL_INTERVAL: return model_quantities_agree(first, second);
    case MODEL_WORD:
    case MODEL_CLOCK:
    case MODEL_DATE:
    case MODEL_RULE:
        return ((const struct model_code *)first)->value ==
               ((const struct model_code *)second)->value;
    default: return model_same_text(first, second);
    }
}

static bool is_given(const struct model_turns *turns)
{
    return turns->pad.at.state == MODEL_GIVEN && turns->rotor.at.state == MODEL_GIVEN;
}

bool model_turns_in_two_forms(const struct model_turns *a, const struct model_turns *b)
{
    return is_given(a) && is_given(b) && !model_quantities_agree(&a->pad, &b->pad) &&
           !model_quantities_agree(&a->rotor, &b->rotor);
}

bool model_turns_agree(const struct model_turns *a, const struct model_turns *b)
{
    struct exact_interval one, other;
    return exact_interval_div(a->pad.range, a->rotor.range, &one) &&
           exact_interval_div(b->pad.range, b->rotor.range, &other) &&
           exact_intervals_meet(one, other);
}
