/* Stops: from blade to blade in whole counts, for ever without drift.
 *
 * From stop to stop are q + r/d counts. A position keeps the whole counts and, in an accumulator
 * from 0 to d - 1, what is left over; it begins at floor(d / 2), which makes each stop the exact
 * one rounded half up. Going on adds q and r and carries one count at d; going back subtracts and
 * borrows, so that there and back is the same position again. Blade one is never anything special.
 *
 * A stride is the same for many stops at once. Two equal strides after each other are one of twice
 * the length: doubling reaches any number of stops in as many steps as it has bits, and finds the
 * stop nearest to a count the way long division would, without a division. */
#include "field/rotor_stops.h"

struct stride {
    uint64_t q;     /* whole counts */
    uint32_t r;     /* and this / d */
    uint16_t turn;  /* by how many blades it turns the stage, full turns left out */
};

static struct stride one_stop(const struct rotor_motion *motion)
{
    return (struct stride){motion->q, motion->r, 1};
}

/* (a + b) mod m, for a and b below m */
static uint16_t add_modulo(uint32_t a, uint32_t b, uint32_t m)
{
    return (uint16_t)(a + b < m ? a + b : a + b - m);
}

static void twice(const struct rotor_motion *motion, struct stride *stride)
{
    bool carry = stride->r >= motion->d - stride->r;

    stride->q += stride->q + carry;
    stride->r += stride->r - (carry ? motion->d : 0);
    stride->turn = add_modulo(stride->turn, stride->turn, motion->blades);
}

/* `turn` more blades have passed the port, or where not `normal`, have come back past it. */
static void pass(const struct rotor_motion *motion, struct rotor_position *position,
                 uint16_t turn, bool normal)
{
    bool rising = (motion->order == ROTOR_ORDER_RISING) == normal;
    uint16_t by = rising || turn == 0 ? turn : (uint16_t)(motion->blades - turn);

    position->blade = (uint16_t)(add_modulo(position->blade - 1u, by, motion->blades) + 1);
}

static void forward(const struct rotor_motion *motion, struct rotor_position *position,
                    const struct stride *stride)
{
    bool carry = position->accumulator >= motion->d - stride->r;

    position->run += (int64_t)(stride->q + carry);
    position->accumulator += stride->r - (carry ? motion->d : 0);
    pass(motion, position, stride->turn, true);
}

static void backward(const struct rotor_motion *motion, struct rotor_position *position,
                     const struct stride *stride)
{
    bool borrow = position->accumulator < stride->r;

    position->run -= (int64_t)(stride->q + borrow);
    position->accumulator += (borrow ? motion->d : 0) - stride->r;
    pass(motion, position, stride->turn, false);
}

void rotor_travel(const struct rotor_motion *motion, struct rotor_position *position,
                  uint32_t stops, bool normal)
{
    struct stride stride = one_stop(motion);

    for (; stops > 0; stops >>= 1) {
        if (stops & 1) {
            if (normal) {
                forward(motion, position, &stride);
            } else {
                backward(motion, position, &stride);
            }
        }
        twice(motion, &stride);
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

/* Back by one stride, however long, to a stop at or before the target. */
static void back_behind(const struct rotor_motion *motion, struct rotor_position *position,
                        int64_t target)
{
    struct stride stride = one_stop(motion);

    while (stride.q < (uint64_t)(position->run - target)) {
        twice(motion, &stride);
    }
    backward(motion, position, &stride);
}

/* Forward by ever shorter strides to the last stop at or before the target. There is no halving:
 * each stride is doubled up anew. */
static void forward_up_to(const struct rotor_motion *motion, struct rotor_position *position,
                          int64_t target)
{
    uint64_t half = (uint64_t)(target - position->run) >> 1;
    int doublings = 0;

    for (struct stride s = one_stop(motion); s.q <= half; twice(motion, &s)) {
        doublings++;
    }
    for (; doublings >= 0; doublings--) {
        struct stride stride = one_stop(motion);
        for (int i = 0; i < doublings; i++) {
            twice(motion, &stride);
        }
        forward(motion, position, &stride);
        if (position->run > target) {
            backward(motion, position, &stride);
        }
    }
}

void rotor_seek(const struct rotor_motion *motion, struct rotor_position *position,
                int64_t target)
{
    if (target < position->run) {
        back_behind(motion, position, target);
    }
    forward_up_to(motion, position, target);

    int64_t behind = target - position->run;
    rotor_next(motion, position);
    if (position->run - target > behind) {
        rotor_previous(motion, position);
    }
    position->away = (int32_t)(target - position->run);
}
