/*
 * parts.h - private to the comparison of two engines: what each part of one says of the other.
 *
 * Parts are matched by their ids first; what is left over on both sides and says the same under
 * another id has been renamed.
 */
#ifndef ROTORTAB_COMPARE_PARTS_H
#define ROTORTAB_COMPARE_PARTS_H

#include "compare/change.h"
#include "compare/view.h"

/* Two engines beside each other; each list says for a part of `after` which of `before`'s it was,
 * SIZE_MAX for none. */
struct compare_both {
    const struct compare_engine *before, *after;
    struct compare_changes *changes;
    size_t *spools, *stages, *pads;
};

/* Whether a part of `before` and one of `after` are one and the same: by id, or by what they say.
 */
typedef bool compare_same(const struct compare_both *both, size_t before, size_t after, bool by_id);

size_t *compare_match(const struct compare_both *both, size_t before_count, size_t after_count,
                      compare_same *same);
bool compare_is_matched(const size_t *match, size_t after_count, size_t before);

/* Each fills its list and says what has changed; in this order, as each looks at those before. */
void compare_spools(struct compare_both *both);
void compare_stages(struct compare_both *both);
void compare_pads(struct compare_both *both);

/* Witnesses and waivers. */
void compare_evidence(const struct compare_both *both);

/* What has changed of one pad, and of the same on a device. */
void compare_pad(const struct compare_both *both, const struct compare_pad *before,
                 const struct compare_pad *after);
void compare_pad_on_device(const struct compare_both *both, const struct compare_pad *before,
                           const struct compare_pad *after);

/* A limit of which more lets more through. */
struct compare_limits {
    struct compare_about about;
    const char *what; /* "torque limit" */
    struct compare_limit before, after;
};
void compare_limit_change(struct compare_changes *changes, const struct compare_limits *limits);

/* "40 lbf.ft" of each; both given, and different. */
struct compare_two_texts {
    const char *before, *after;             /* for people */
    const char *exact_before, *exact_after; /* without the unit */
    const char *unit; /* NULL where the two differ: then the exact texts have it */
};
struct compare_two_texts compare_two_measures(struct arena *arena, struct exact_measure before,
                                              struct exact_measure after);

bool compare_limits_equal(struct compare_limit a, struct compare_limit b);
const char *compare_sense(int sign); /* "cw", "ccw", "not known" */

#endif
