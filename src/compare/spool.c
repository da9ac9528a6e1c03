/*
 * spool.c - what has changed of the spools.
 */
#include "compare/parts.h"

#include <string.h>

const char *compare_sense(int sign)
{
    return sign > 0 ? "cw" : sign < 0 ? "ccw" : "not known";
}

static bool same_spool(const struct compare_both *both, size_t before, size_t after, bool by_id)
{
    const struct compare_spool *a = &both->before->spools[before];
    const struct compare_spool *b = &both->after->spools[after];
    if (by_id) {
        return strcmp(a->id, b->id) == 0;
    }
    return a->sign == b->sign && a->never_backwards == b->never_backwards &&
           a->by_hand == b->by_hand && compare_limits_equal(a->speed, b->speed);
}

static void spool_change(struct compare_changes *changes, const struct compare_spool *before,
                         const struct compare_spool *after)
{
    if (strcmp(before->id, after->id) != 0) {
        compare_say(changes, COMPARE_STOPS, compare_of(COMPARE_OF_SPOOL, after->id, "id"),
                    before->id, after->id, "renamed, was %s", before->id);
    }
    if (before->sign != after->sign) {
        const char *was = compare_sense(before->sign);
        const char *is = compare_sense(after->sign);
        compare_say(changes, COMPARE_STOPS, compare_of(COMPARE_OF_SPOOL, after->id, "rotation"),
                    was, is,
                    "its normal way, aft looking forward, %s -> %s: the blades pass the ports the "
                    "other way round",
                    was, is);
    }
    if (before->never_backwards != after->never_backwards) {
        compare_say(changes, COMPARE_LIMITS,
                    compare_of(COMPARE_OF_SPOOL, after->id, "never_backwards"),
                    before->never_backwards ? "yes" : "no", after->never_backwards ? "yes" : "no",
                    after->never_backwards
                        ? "may be turned backwards -> never backwards: every move goes the normal "
                          "way round"
                        : "never backwards -> may be turned backwards");
    }
    if (before->by_hand != after->by_hand) {
        compare_say(changes, COMPARE_LIMITS, compare_of(COMPARE_OF_SPOOL, after->id, "turned_by"),
                    before->by_hand ? "hand" : NULL, after->by_hand ? "hand" : NULL,
                    after->by_hand ? "turned through a pad -> by hand"
                                   : "turned by hand -> through a pad");
    }
    compare_limit_change(
        changes, &(struct compare_limits){compare_of(COMPARE_OF_SPOOL, after->id, "max_speed"),
                                          "speed limit of the rotor", before->speed, after->speed});
}

void compare_spools(struct compare_both *both)
{
    const struct compare_engine *before = both->before;
    const struct compare_engine *after = both->after;
    both->spools = compare_match(both, before->spool_count, after->spool_count, same_spool);
    for (size_t i = 0; i < after->spool_count; i++) {
        const struct compare_spool *spool = &after->spools[i];
        if (both->spools[i] == SIZE_MAX) {
            compare_say(both->changes, COMPARE_STOPS,
                        compare_of(COMPARE_OF_SPOOL, spool->id, "spool"), NULL, spool->id, "added");
        } else {
            spool_change(both->changes, &before->spools[both->spools[i]], spool);
        }
    }
    for (size_t i = 0; i < before->spool_count; i++) {
        if (!compare_is_matched(both->spools, after->spool_count, i)) {
            compare_say(both->changes, COMPARE_STOPS,
                        compare_of(COMPARE_OF_SPOOL, before->spools[i].id, "spool"),
                        before->spools[i].id, NULL, "gone");
        }
    }
}
