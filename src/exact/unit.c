/*
 * unit.c - the table of units, and comparison and rounding across units.
 *
 * A value times a factor, both of 64-bit members, may leave 64 bits (40.123 lbf.ft in newton metres
 * does), but never 128. So the comparison of two measures, and the count of steps in one, use the
 * unreduced products. They cannot overflow.
 */
#include "exact/unit.h"

#include <string.h>

static const struct exact_unit_row rows[EXACT_UNIT_COUNT] = {
    [EXACT_NO_UNIT] = {"", EXACT_PURE, {1, 1}},
    [EXACT_DEG] = {"deg", EXACT_ANGLE, {1, 1}},
    [EXACT_ARCMIN] = {"arcmin", EXACT_ANGLE, {1, 60}},
    [EXACT_REV] = {"rev", EXACT_ANGLE, {360, 1}},
    [EXACT_NEWTON_METRE] = {"N.m", EXACT_TORQUE, {1, 1}},
    /* 4.4482216152605 x 0.3048 = 1.3558179483314004 */
    [EXACT_LBF_FT] = {"lbf.ft", EXACT_TORQUE, {3389544870828501, 2500000000000000}},
    /* 4.4482216152605 x 0.0254 = 0.1129848290276167 */
    [EXACT_LBF_IN] = {"lbf.in", EXACT_TORQUE, {1129848290276167, 10000000000000000}},
    [EXACT_KGF_M] = {"kgf.m", EXACT_TORQUE, {196133, 20000}},
    [EXACT_DEG_PER_MIN] = {"deg/min", EXACT_SPEED, {1, 1}},
    [EXACT_DEG_PER_S] = {"deg/s", EXACT_SPEED, {60, 1}},
    [EXACT_RPM] = {"rpm", EXACT_SPEED, {360, 1}},
    [EXACT_PERCENT] = {"%", EXACT_SHARE, {1, 100}},
};

const struct exact_unit_row *exact_unit_row(enum exact_unit unit)
{
    unsigned index = (unsigned)unit;

    return &rows[index < EXACT_UNIT_COUNT ? index : EXACT_NO_UNIT];
}

enum exact_unit exact_unit_find(const char *text, size_t length)
{
    for (unsigned i = 0; i < EXACT_UNIT_COUNT; i++) {
        if (strlen(rows[i].name) == length && memcmp(rows[i].name, text, length) == 0) {
            return (enum exact_unit)i;
        }
    }
    return EXACT_UNIT_COUNT;
}

/* Spellings that leave no doubt about the unit: common practice, no source. */
static const struct {
    const char *spelling;
    enum exact_unit unit;
} spellings[] = {
    {"degs", EXACT_DEG},
    {"degree", EXACT_DEG},
    {"degrees", EXACT_DEG},
    {"Deg", EXACT_DEG},
    {"DEG", EXACT_DEG},
    {"\u00b0", EXACT_DEG},
    {"arcmins", EXACT_ARCMIN},
    {"arcminute", EXACT_ARCMIN},
    {"arcminutes", EXACT_ARCMIN},
    {"revs", EXACT_REV},
    {"turn", EXACT_REV},
    {"turns", EXACT_REV},
    {"revolution", EXACT_REV},
    {"revolutions", EXACT_REV},
    {"Nm", EXACT_NEWTON_METRE},
    {"N-m", EXACT_NEWTON_METRE},
    {"N*m", EXACT_NEWTON_METRE},
    {"N m", EXACT_NEWTON_METRE},
    {"N\u00b7m", EXACT_NEWTON_METRE},
    {"NM", EXACT_NEWTON_METRE},
    {"ft-lb", EXACT_LBF_FT},
    {"ft.lb", EXACT_LBF_FT},
    {"ft lb", EXACT_LBF_FT},
    {"ft-lbs", EXACT_LBF_FT},
    {"ft-lbf", EXACT_LBF_FT},
    {"ft.lbf", EXACT_LBF_FT},
    {"lb-ft", EXACT_LBF_FT},
    {"lb.ft", EXACT_LBF_FT},
    {"lb ft", EXACT_LBF_FT},
    {"lbft", EXACT_LBF_FT},
    {"lbf-ft", EXACT_LBF_FT},
    {"lbf ft", EXACT_LBF_FT},
    {"in-lb", EXACT_LBF_IN},
    {"in.lb", EXACT_LBF_IN},
    {"in lb", EXACT_LBF_IN},
    {"in-lbs", EXACT_LBF_IN},
    {"in-lbf", EXACT_LBF_IN},
    {"in.lbf", EXACT_LBF_IN},
    {"lb-in", EXACT_LBF_IN},
    {"lb.in", EXACT_LBF_IN},
    {"lb in", EXACT_LBF_IN},
    {"lbin", EXACT_LBF_IN},
    {"lbf-in", EXACT_LBF_IN},
    {"lbf in", EXACT_LBF_IN},
    {"kgf-m", EXACT_KGF_M},
    {"kgfm", EXACT_KGF_M},
    {"kgf m", EXACT_KGF_M},
    {"kgf*m", EXACT_KGF_M},
    {"RPM", EXACT_RPM},
    {"Rpm", EXACT_RPM},
    {"rev/min", EXACT_RPM},
    {"r/min", EXACT_RPM},
    {"1/min", EXACT_RPM},
    {"\u00b0/min", EXACT_DEG_PER_MIN},
    {"degrees/min", EXACT_DEG_PER_MIN},
    {"\u00b0/s", EXACT_DEG_PER_S},
    {"deg/sec", EXACT_DEG_PER_S},
    {"degrees/s", EXACT_DEG_PER_S},
    {"percent", EXACT_PERCENT},
};

enum exact_unit exact_unit_spelled(const char *text, size_t length)
{
    for (size_t i = 0; i < sizeof spellings / sizeof *spellings; i++) {
        if (strlen(spellings[i].spelling) == length &&
            memcmp(spellings[i].spelling, text, length) == 0) {
            return spellings[i].unit;
        }
    }
    return EXACT_UNIT_COUNT;
}

const char *exact_dimension_units(enum exact_dimension dimension)
{
    switch (dimension) {
    case EXACT_PURE: break;
    case EXACT_ANGLE: return "deg, arcmin or rev";
    case EXACT_TORQUE: return "N.m, lbf.ft, lbf.in or kgf.m";
    case EXACT_SPEED: return "rpm, deg/min or deg/s";
    case EXACT_SHARE: return "%";
    }
    return "";
}

int exact_measure_compare(struct exact_measure a, struct exact_measure b)
{
    struct exact_rational one_a = exact_unit_row(a.unit)->factor;
    struct exact_rational one_b = exact_unit_row(b.unit)->factor;

    return exact_wide_compare(
        (exact_wide)a.value.num * one_a.num, (exact_wide)a.value.den * one_a.den,
        (exact_wide)b.value.num * one_b.num, (exact_wide)b.value.den * one_b.den);
}

/* How many `to` there are in one `from`.  Between the units of one dimension it fits 64 bits. */
static bool ratio_of_units(enum exact_unit from, enum exact_unit to, struct exact_rational *out)
{
    const struct exact_unit_row *row_from = exact_unit_row(from);
    const struct exact_unit_row *row_to = exact_unit_row(to);

    return row_from->dimension == row_to->dimension &&
           exact_div(row_from->factor, row_to->factor, out);
}

bool exact_measure_in(struct exact_measure a, enum exact_unit unit, struct exact_rational *out)
{
    struct exact_rational ratio;

    if (a.unit == unit) { /* often the case */
        *out = a.value;
        return true;
    }
    return ratio_of_units(a.unit, unit, &ratio) && exact_mul(a.value, ratio, out);
}

/*
 * The most whole steps that a holds, and whether something is left over. The quotient has four
 * factors above and below and may leave 128 bits. Then n is found bit by bit: a comparison of n *
 * step with a needs products of two factors only.
 */
static bool count_steps(struct exact_measure a, struct exact_measure step, int64_t *out, bool *left)
{
    struct exact_rational ratio;
    exact_wide num;
    exact_wide den;
    uint64_t n = 0;

    if (!ratio_of_units(a.unit, step.unit, &ratio)) {
        return false;
    }
    num = (exact_wide)a.value.num * ratio.num;
    den = (exact_wide)a.value.den * ratio.den;
    exact_wide above;
    exact_wide below;
    if (exact_wide_mul(num, step.value.den, &above) &&
        exact_wide_mul(den, step.value.num, &below)) {
        exact_wide whole = above / below;
        if (whole > INT64_MAX) {
            return false;
        }
        *out = (int64_t)whole;
        *left = above % below != 0;
        return true;
    }
    for (uint64_t bit = (uint64_t)1 << 63; bit > 0; bit /= 2) {
        exact_wide steps = (exact_wide)(n | bit) * step.value.num;

        if (exact_wide_compare(steps, step.value.den, num, den) <= 0) {
            n |= bit;
        }
    }
    if (n > INT64_MAX) {
        return false;
    }
    *out = (int64_t)n;
    *left = exact_wide_compare((exact_wide)n * step.value.num, step.value.den, num, den) < 0;
    return true;
}

bool exact_measure_steps_down(struct exact_measure a, struct exact_measure step, int64_t *out)
{
    bool left;

    return count_steps(a, step, out, &left);
}

bool exact_measure_steps_up(struct exact_measure a, struct exact_measure step, int64_t *out)
{
    int64_t whole;
    bool left;

    if (!count_steps(a, step, &whole, &left) || (left && whole == INT64_MAX)) {
        return false;
    }
    *out = whole + (left ? 1 : 0);
    return true;
}
