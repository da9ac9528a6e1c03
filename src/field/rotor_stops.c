/* Stops: from blade to blade in whole counts, for ever without drift.
 *
 * From stop to stop are q + r/d counts. A position keeps the whole counts and, in an accumulator
 * from 0 to d - 1, what is left over; it begins at floor(d / 2), which makes each stop the exact
 * one rounded half up. Going on adds q and r and carries one count at d; going back subtracts and
 * borrows, so that there and back is the same position again. Blade one is never anything special.
 *
 * A stride is what one stop or many add to a position, and is kept like one: in `run`,
 * `accumulator` and `blade`. Two equal strides after each other are one of twice the length:
 * doubling comes near any count, however far, without a division. */
#include "field/rotor_stops.h"

#include "field/rotor_bytes.h"

/* The stride of one stop. To go back is to add the complement: ~q is one less than -q, and d - r
 * instead of -r makes up for it with a carry. */
ROTOR_ONCE static void one_stop(const struct rotor_motion *motion, bool normal,
                                struct rotor_position *stride)
{
    bool rising = motion->order == ROTOR_ORDER_RISING;

    stride->run = motion->q;
    stride->accumulator = motion->r;
    if (!normal) {
        rising = !rising;
        stride->run = ~stride->run;
        stride->accumulator = motion->d - motion->r;
    }
    stride->blade = (uint16_t)(rising ? 1 : motion->blades - 1);
}

/* Adds a stride to a position, or to itself. The accumulators' sum might not fit: hence no sum. */
static void add(const struct rotor_motion *motion, struct rotor_position *to,
                const struct rotor_position *stride)
{
    uint32_t blade = (uint32_t)to->blade + stride->blade;
    if (blade > motion->blades) {
        blade -= motion->blades;
    }
    to->blade = (uint16_t)blade;

    int64_t counts = stride->run;
    uint32_t rest = stride->accumulator;
    if (to->accumulator >= motion->d - rest) {
        counts++;
        rest -= motion->d;
    }
    to->run += counts;
    to->accumulator += rest;
}

void rotor_travel(const struct rotor_motion *motion, struct rotor_position *position,
                  uint32_t stops, bool normal)
{
    struct rotor_position stride;

    one_stop(motion, normal, &stride);
    for (; stops > 0; stops--) {
        add(motion, position, &stride);
    }
    position->away = 0;
}

void rotor_next(const struct rotor_motion *motion, struct rotor_position *position)
{
    rotor_travel(motion, position, 1, true);
}

void rotor_previous(const struct rotor_motion *motion, struct rotor_position *position)
{
    rotor_travel(motion, position, 1, false);
}

ROTOR_ONCE uint64_t rotor_magnitude(int64_t counts)
{
    return counts < 0 ? 0 - (uint64_t)counts : (uint64_t)counts;
}

/* By ever shorter strides, none of which can pass the target, to q counts or less from it: one stop
 * is at most q + 1. A stride cannot be halved: each is doubled up anew. */
static void come_near(const struct rotor_motion *motion, struct rotor_position *position,
                      int64_t target)
{
    for (;;) {
        struct rotor_position stride;
        int64_t way = target - position->run;
        bool normal = way >= 0;
        uint64_t distance = rotor_magnitude(way);
        if (distance <= motion->q) {
            return;
        }
        one_stop(motion, normal, &stride);
        while ((distance >>= 1) > motion->q) {
            add(motion, &stride, &stride);
        }
        add(motion, position, &stride);
    }
}

/* The target is now between the position's stop and the next one that way. Of the ways from these
 * two, which have opposite signs, the sum has the sign of the longer: where that is the first, the
 * next stop is the nearer one. A tie counts as above zero, which makes it the later stop's. */
void rotor_seek(const struct rotor_motion *motion, struct rotor_position *position, int64_t target)
{
    come_near(motion, position, target);

    int32_t away = (int32_t)(target - position->run);
    bool normal = away >= 0;
    rotor_travel(motion, position, 1, normal);
    int32_t other = (int32_t)(target - position->run);
    if ((away + other >= 0) != normal) {
        rotor_travel(motion, position, 1, !normal);
        other = away;
    }
    position->away = other;
}
