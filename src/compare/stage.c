/* stage.c - the changes of the stages: blades, blade numbers, ports. */
#include "compare/parts.h"

#include <inttypes.h>
#include <string.h>

static bool same_ports(const struct compare_stage *a, const struct compare_stage *b)
{
    if (a->port_count != b->port_count) {
        return false;
    }
    for (size_t i = 0; i < a->port_count; i++) {
        if (a->ports[i].clock != b->ports[i].clock || strcmp(a->ports[i].id, b->ports[i].id) != 0) {
            return false;
        }
    }
    return true;
}

int64_t compare_finest(const struct compare_engine *engine, size_t spool, bool clocked)
{
    int64_t most = 1;
    for (size_t i = 0; i < engine->stage_count; i++) {
        const struct compare_stage *stage = &engine->stages[i];
        bool counts = stage->spool == spool && (stage->clocked || !clocked);
        most = counts && stage->blades > most ? stage->blades : most;
    }
    return most;
}

static bool same_stage(const struct compare_both *both, size_t before, size_t after, bool by_id)
{
    const struct compare_stage *a = &both->before->stages[before];
    const struct compare_stage *b = &both->after->stages[after];
    if (by_id) {
        return strcmp(a->id, b->id) == 0;
    }
    return both->spools[b->spool] == a->spool && a->role == b->role && a->blades == b->blades &&
           a->numbering == b->numbering && same_ports(a, b) && a->clocked == b->clocked &&
           exact_equal(a->clocking, b->clocking);
}

static struct compare_change *say(const struct compare_both *both,
                                  const struct compare_stage *stage, enum compare_class class,
                                  const char *field, const char *before, const char *after,
                                  const char *sentence)
{
    return compare_say(both->changes, class, compare_of(COMPARE_OF_STAGE, stage->id, field), before,
                       after, "%s", sentence);
}

/* Whether a pad turns the stage.  If not, an inspector turns it by hand. */
static bool is_driven(const struct compare_engine *engine, const struct compare_stage *stage)
{
    bool driven = false;
    for (size_t i = 0; i < engine->pad_count; i++) {
        driven = driven || engine->pads[i].spool == stage->spool;
    }
    return driven;
}

/* Another number of blades; `effect` is what follows from it. */
static struct compare_change *say_blades(const struct compare_both *both,
                                         const struct compare_stage *before,
                                         const struct compare_stage *after, const char *effect)
{
    struct arena *arena = both->changes->arena;
    const char *was = arena_printf(arena, "%" PRId64, before->blades);
    const char *is = arena_printf(arena, "%" PRId64, after->blades);
    return say(both, after, COMPARE_STOPS, "blades", was, is,
               arena_printf(arena, "%s -> %s blades: %s", was, is, effect));
}

static void blades_change(const struct compare_both *both, const struct compare_stage *before,
                          const struct compare_stage *after)
{
    struct arena *arena = both->changes->arena;
    struct exact_rational degrees;
    if (before->blades == after->blades) {
        return;
    }
    if (!is_driven(both->after, after)) {
        say_blades(both, before, after,
                   arena_printf(arena,
                                "the inspector turns %s by hand and counts another number; issue "
                                "a new setup sheet",
                                both->after->spools[after->spool].id));
    } else if (compare_blades_move(before->blades, after->blades, &degrees)) {
        const char *effect = arena_printf(arena, "every stop moves, at most %s of rotor",
                                          words_degrees_at_most(arena, degrees));
        compare_moves(say_blades(both, before, after, effect), degrees, false);
    } else {
        say_blades(both, before, after, "every stop moves");
    }
}

static void clocking_change(const struct compare_both *both, const struct compare_stage *before,
                            const struct compare_stage *after)
{
    struct arena *arena = both->changes->arena;
    struct exact_rational degrees;
    if (before->clocked == after->clocked && exact_equal(before->clocking, after->clocking)) {
        return;
    }
    const char *was = before->clocked ? words_exact(arena, before->clocking) : NULL;
    const char *is = after->clocked ? words_exact(arena, after->clocking) : NULL;
    struct compare_change *change;
    if (!was || !is) {
        const char *value =
            words_decimal(arena, was ? before->clocking : after->clocking, COMPARE_DECIMALS);
        const char *sentence = arena_printf(
            arena,
            was ? "clocking %s deg -> none: blade one can no longer be found from another stage"
                : "clocking none -> %s deg: blade one can now be found from another stage",
            value);
        change = say(both, after, COMPARE_LIMITS, "clocking", was, is, sentence);
    } else {
        bool known = compare_shorter_way(before->clocking, after->clocking, &degrees);
        struct compare_two shown = compare_two_decimals(arena, before->clocking, after->clocking);
        degrees = known ? exact_abs(degrees) : exact_whole(180);
        const char *sentence = arena_printf(
            arena,
            "clocking %s deg -> %s deg: blade one found from another stage moves by %s of rotor",
            shown.before, shown.after, words_degrees_at_most(arena, degrees));
        change = say(both, after, COMPARE_STOPS, "clocking", was, is, sentence);
        compare_moves(change, degrees, false);
        change->harm =
            compare_harm_beside(degrees, compare_finest(both->before, before->spool, true));
    }
    change->unit = "deg";
}

/*
 * Stops follow from a clock position in two cases.  Blade one of a clocked stage is found from it,
 * and a count goes on from one port to another.  In all other cases a person looks for the port.
 */
static enum model_harm harm_of_port(const struct compare_both *both,
                                    const struct compare_stage *stage,
                                    struct exact_rational degrees)
{
    if (stage->clocked) {
        return compare_harm_beside(degrees, compare_finest(both->before, stage->spool, true));
    }
    return stage->port_count > 1 ? compare_harm_beside(degrees, stage->blades) : MODEL_LABEL;
}

static void port_moves(const struct compare_both *both, const struct compare_stage *of,
                       const struct compare_stage *stage, const struct compare_port *before,
                       const struct compare_port *after)
{
    struct arena *arena = both->changes->arena;
    struct exact_rational was;
    struct exact_rational is;
    struct exact_rational degrees = {0, 1};
    /* Half a degree a minute of the clock face: always within range. */
    if (before->clock == after->clock || !exact_make(before->clock, 2, &was) ||
        !exact_make(after->clock, 2, &is) || !compare_shorter_way(was, is, &degrees)) {
        return;
    }
    degrees = exact_abs(degrees);
    const char *was_at = words_clock(arena, before->clock);
    const char *is_at = words_clock(arena, after->clock);
    const char *sentence = arena_printf(
        arena, "port %s at %s -> %s: the probe enters %s of rotor away from its earlier place",
        after->id, was_at, is_at, words_degrees_at_most(arena, degrees));
    struct compare_change *change =
        say(both, stage, COMPARE_STOPS, "port", was_at, is_at, sentence);
    compare_moves(change, degrees, false);
    change->harm = harm_of_port(both, of, degrees);
}

/*
 * The same port in another list, or NULL.  Of several ports with one id, which is an error, the
 * n-th matches the n-th.
 */
static const struct compare_port *port_like(const struct compare_stage *stage,
                                            const struct compare_stage *of, size_t index)
{
    const char *id = of->ports[index].id;
    size_t before = 0;
    for (size_t i = 0; i < index; i++) {
        before += strcmp(of->ports[i].id, id) == 0;
    }
    for (size_t i = 0; i < stage->port_count; i++) {
        if (strcmp(stage->ports[i].id, id) == 0 && before-- == 0) {
            return &stage->ports[i];
        }
    }
    return NULL;
}

static void ports_change(const struct compare_both *both, const struct compare_stage *before,
                         const struct compare_stage *after)
{
    struct arena *arena = both->changes->arena;
    for (size_t i = 0; i < after->port_count; i++) {
        const struct compare_port *port = &after->ports[i];
        const struct compare_port *was = port_like(before, after, i);
        if (was) {
            port_moves(both, before, after, was, port);
        } else {
            const char *at = words_clock(arena, port->clock);
            say(both, after, COMPARE_LIMITS, "port", NULL, at,
                arena_printf(arena, "port %s at %s is added", port->id, at));
        }
    }
    for (size_t i = 0; i < before->port_count; i++) {
        const struct compare_port *port = &before->ports[i];
        if (!port_like(after, before, i)) {
            const char *at = words_clock(arena, port->clock);
            say(both, after, COMPARE_LIMITS, "port", at, NULL,
                arena_printf(arena, "port %s at %s is removed", port->id, at));
        }
    }
}

/* The next of two lists that rise by blade; NULL where the list ends or has a greater number. */
static const struct compare_known_blade *next_known(const struct compare_stage *stage, size_t *at,
                                                    int64_t blade)
{
    return *at < stage->known_count && stage->known_blades[*at].blade == blade
               ? &stage->known_blades[(*at)++]
               : NULL;
}

/* A number that is not in a list is greater than all of its numbers. */
static int64_t known_number(const struct compare_stage *stage, size_t at)
{
    return at < stage->known_count ? stage->known_blades[at].blade : INT64_MAX;
}

/* Where the count is found again: another mark or number gives another count. */
static void known_blades_change(const struct compare_both *both, const struct compare_stage *before,
                                const struct compare_stage *after)
{
    struct arena *arena = both->changes->arena;
    size_t i = 0;
    size_t j = 0;
    while (i < before->known_count || j < after->known_count) {
        int64_t was_number = known_number(before, i);
        int64_t is_number = known_number(after, j);
        int64_t blade = was_number < is_number ? was_number : is_number;
        const struct compare_known_blade *was = next_known(before, &i, blade);
        const struct compare_known_blade *is = next_known(after, &j, blade);
        if (was && is && strcmp(was->how, is->how) == 0) {
            continue;
        }
        const char *sentence =
            !was ? arena_printf(arena,
                                "blade %" PRId64 " is now known by \"%s\": the count can be found "
                                "again there",
                                blade, is->how)
            : !is
                ? arena_printf(arena,
                               "blade %" PRId64 " is no longer known by \"%s\": the count cannot "
                               "be found again there",
                               blade, was->how)
                : arena_printf(arena,
                               "blade %" PRId64 " is known by \"%s\" -> \"%s\": make sure that it "
                               "is the same blade",
                               blade, was->how, is->how);
        say(both, after, COMPARE_LIMITS, "known_blades", was ? was->how : NULL, is ? is->how : NULL,
            sentence)
            ->harm = is ? MODEL_MISCOUNT : MODEL_LABEL;
    }
}

static void texts_change(const struct compare_both *both, const struct compare_stage *before,
                         const struct compare_stage *after)
{
    struct arena *arena = both->changes->arena;
    /* Another mark can be on another blade, so this is a limit and not only a text. */
    if (strcmp(before->blade_one, after->blade_one) != 0) {
        bool was = *before->blade_one != '\0';
        bool is = *after->blade_one != '\0';
        say(both, after, COMPARE_LIMITS, "blade_one", was ? before->blade_one : NULL,
            is ? after->blade_one : NULL,
            arena_printf(
                arena,
                "blade one is marked by %s%s%s -> %s%s%s: make sure that it is the same blade",
                was ? "\"" : "", was ? before->blade_one : "nothing", was ? "\"" : "",
                is ? "\"" : "", is ? after->blade_one : "nothing", is ? "\"" : ""));
    }
    if (before->role != after->role) {
        say(both, after, COMPARE_TEXT, "role", words_role(before->role), words_role(after->role),
            arena_printf(arena, "role %s -> %s", words_role(before->role),
                         words_role(after->role)));
    }
}

static void stage_change(const struct compare_both *both, const struct compare_stage *before,
                         const struct compare_stage *after)
{
    struct arena *arena = both->changes->arena;
    if (strcmp(before->id, after->id) != 0) {
        say(both, after, COMPARE_STOPS, "id", before->id, after->id,
            arena_printf(arena, "renamed, was %s", before->id));
    }
    if (both->spools[after->spool] != before->spool) {
        const char *was = both->before->spools[before->spool].id;
        const char *is = both->after->spools[after->spool].id;
        say(both, after, COMPARE_STOPS, "spool", was, is,
            arena_printf(arena, "on spool %s -> %s: another pad turns it, and every stop moves",
                         was, is));
    }
    blades_change(both, before, after);
    if (before->numbering != after->numbering) {
        const char *was = words_numbering(before->numbering);
        const char *is = words_numbering(after->numbering);
        say(both, after, COMPARE_STOPS, "numbering", was, is,
            arena_printf(arena,
                         "blade numbers grow %s -> %s: the blades pass the port in the opposite "
                         "order, and each number except one is now another blade",
                         was, is));
    }
    clocking_change(both, before, after);
    ports_change(both, before, after);
    known_blades_change(both, before, after);
    texts_change(both, before, after);
}

void compare_stages(struct compare_both *both)
{
    const struct compare_engine *before = both->before;
    const struct compare_engine *after = both->after;
    both->stages = compare_match(both, before->stage_count, after->stage_count, same_stage);
    for (size_t i = 0; i < after->stage_count; i++) {
        const struct compare_stage *stage = &after->stages[i];
        if (both->stages[i] != SIZE_MAX) {
            stage_change(both, &before->stages[both->stages[i]], stage);
            continue;
        }
        say(both, stage, COMPARE_STOPS, "stage", NULL, stage->id,
            arena_printf(both->changes->arena, "added: %" PRId64 " blades on %s", stage->blades,
                         after->spools[stage->spool].id));
    }
    for (size_t i = 0; i < before->stage_count; i++) {
        if (!compare_is_matched(both->stages, after->stage_count, i)) {
            say(both, &before->stages[i], COMPARE_STOPS, "stage", before->stages[i].id, NULL,
                "removed: the device can no longer stop at its blades");
        }
    }
}
