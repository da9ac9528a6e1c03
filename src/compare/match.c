/*
 * match.c - which part of an engine is which part of the other.
 */
#include "compare/parts.h"

#include <string.h>

bool compare_is_matched(const size_t *match, size_t after_count, size_t before)
{
    for (size_t i = 0; i < after_count; i++) {
        if (match[i] == before) {
            return true;
        }
    }
    return false;
}

static void match_by(const struct compare_both *both, size_t before_count, size_t after_count,
                     compare_same *same, bool by_id, size_t *match)
{
    for (size_t after = 0; after < after_count; after++) {
        for (size_t before = 0; match[after] == SIZE_MAX && before < before_count; before++) {
            if (!compare_is_matched(match, after_count, before) &&
                same(both, before, after, by_id)) {
                match[after] = before;
            }
        }
    }
}

size_t *compare_match(const struct compare_both *both, size_t before_count, size_t after_count,
                      compare_same *same)
{
    size_t *match = arena_array(both->changes->arena, after_count + 1, sizeof *match);
    for (size_t i = 0; i < after_count; i++) {
        match[i] = SIZE_MAX;
    }
    match_by(both, before_count, after_count, same, true, match);
    match_by(both, before_count, after_count, same, false, match);
    return match;
}
