/*
 * ratio.c - candidates for a ratio, and what to do about them, as text and as JSON.
 *
 * If several are left, the text says what to measure next to separate them.  If one is left, it
 * says how sure that is; if none is left, what may be wrong.
 */
#include "report/ratio.h"

#include "report/json.h"
#include "words/name.h"
#include "words/number.h"

#include <inttypes.h>
#include <string.h>

/* Decimals shown of a ratio. */
enum { PLACES = 9 };

static void write_interval(FILE *out, struct exact_interval interval)
{
    char lo[EXACT_TEXT_SIZE];
    char hi[EXACT_TEXT_SIZE];
    if (exact_is_point(interval)) {
        fprintf(out, "%s exactly", exact_to_text(interval.lo, lo));
        return;
    }
    exact_to_decimal(interval.lo, PLACES, lo);
    exact_to_decimal(interval.hi, PLACES, hi);
    if (strcmp(lo, hi) == 0) { /* too narrow for so many decimals */
        exact_to_text(interval.lo, lo);
        exact_to_text(interval.hi, hi);
    }
    fprintf(out, "%s to %s", lo, hi);
}

/* A whole number without a tolerance: the most common rounding. */
static bool is_bare_integer(const struct turning_measured *measured)
{
    return measured->pad.form == EXACT_INTEGER && !measured->pad.has_tolerance &&
           exact_is_point(measured->within) && exact_is_whole(measured->within.lo);
}

static void write_measured(FILE *out, const struct report_ratio *ratio)
{
    for (size_t i = 0; i < ratio->measured_count; i++) {
        const struct turning_measured *measured = &ratio->measured[i];
        fprintf(out, "%s: ", ratio->given[i]);
        write_interval(out, measured->within);
        fputs(" pad turns per rotor turn\n", out);
        if (is_bare_integer(measured)) {
            fprintf(out, "  taken as exact; if it is rounded, give %" PRId64 "+/-0.5\n",
                    measured->pad.stated.num);
        }
    }
    if (ratio->answer && ratio->measured_count > 1) {
        fputs("together: ", out);
        write_interval(out, ratio->within);
        fputc('\n', out);
    }
}

/* Whether the second agrees with the first when its ends are swapped. */
static bool agrees_swapped(const struct turning_measured *first,
                           const struct turning_measured *second)
{
    struct exact_interval inverse;
    return exact_interval_div(exact_point(exact_whole(1)), second->within, &inverse) &&
           exact_intervals_meet(first->within, inverse);
}

static void write_contradictions(FILE *out, const struct report_ratio *ratio)
{
    for (size_t i = 0; i < ratio->measured_count; i++) {
        for (size_t j = i + 1; j < ratio->measured_count; j++) {
            const struct turning_measured *a = &ratio->measured[i];
            const struct turning_measured *b = &ratio->measured[j];
            if (exact_intervals_meet(a->within, b->within)) {
                continue;
            }
            fprintf(out, "%s and %s contradict each other: no ratio is ", ratio->given[i],
                    ratio->given[j]);
            write_interval(out, a->within);
            fputs(" and ", out);
            write_interval(out, b->within);
            fputs("\n", out);
            if (agrees_swapped(a, b)) {
                fputs("  they agree if the two ends of one are swapped: pad turns come first\n",
                      out);
            }
        }
    }
    fputs("One of them was misread, or is not of this pad. Measure again to see which.\n", out);
}

/* "Trains of 1 to 3 meshes, one of them known, 12 to 120 teeth" */
static void write_space(FILE *out, const struct report_ratio *ratio)
{
    const struct turning_space *space = &ratio->space;
    unsigned known = (unsigned)ratio->known_count;
    unsigned most = space->meshes_most + known;
    fputs("Trains of ", out);
    if (space->meshes_fewest != space->meshes_most) {
        fprintf(out, "%u to ", space->meshes_fewest + known);
    }
    fprintf(out, "%u mesh%s", most, most == 1 ? "" : "es");
    if (known != 0) {
        fprintf(out, ", %u of them known", known);
    }
    fprintf(out, ", %" PRId64 " to %" PRId64 " teeth%s: ", space->teeth_fewest, space->teeth_most,
            space->epicyclic ? ", with or without an epicyclic" : "");
}

static void write_total(FILE *out, const struct report_ratio *ratio)
{
    const struct turning_candidates *candidates = &ratio->answer->candidates;
    size_t shown = ratio->answer->count;
    if (candidates->total == 0 && !candidates->more) {
        fputs("no train makes this ratio.\n", out);
        return;
    }
    fprintf(out, "%s%" PRIu64 " fraction%s", candidates->more ? "at least " : "", candidates->total,
            words_plural((int64_t)candidates->total));
    if (shown < candidates->total) {
        fprintf(out, ", here the %zu simplest", shown);
    } else if (candidates->more) {
        fprintf(out, ", all with numerator and denominator up to %" PRId64 " together",
                candidates->searched_to);
    }
    fputs(".\n", out);
}

static const char *decimal(struct turning_maybe number, int decimals, char buffer[EXACT_TEXT_SIZE])
{
    return number.fits ? exact_to_decimal(number.value, decimals, buffer) : "-";
}

static void write_turns(FILE *out, int width, int64_t turns, int64_t none)
{
    if (turns == none) {
        fprintf(out, "  %*s", width, "-");
    } else {
        fprintf(out, "  %*" PRId64, width, turns);
    }
}

/* The kind of a plain pair is not searched, so a pair shows its teeth alone. */
static void write_gears(FILE *out, const struct turning_train *train)
{
    struct arena arena = {.newest = NULL};
    if (train->count == 0) {
        fputs("  the known ones", out);
    }
    for (unsigned i = 0; i < train->count; i++) {
        const struct turning_mesh *mesh = &train->meshes[i];
        struct words_mesh words = {.kind = TURNING_EPICYCLIC,
                                   .sun = mesh->sun_teeth,
                                   .ring = mesh->ring_teeth,
                                   .planet = (mesh->ring_teeth - mesh->sun_teeth) / 2,
                                   .in = words_member(mesh->in),
                                   .out = words_member(mesh->out)};
        if (mesh->kind == TURNING_EPICYCLIC) {
            fprintf(out, "  %s", words_mesh(&arena, &words));
        } else {
            fprintf(out, "  %" PRId64 "-%" PRId64, mesh->pad_teeth, mesh->rotor_teeth);
        }
    }
    arena_free(&arena);
}

/* One measurement is shown in its own unit, several in pad turns per rotor turn. */
static struct turning_maybe own_off(const struct report_ratio *ratio, const struct turning_row *row)
{
    struct turning_maybe off = row->off;
    if (ratio->measured_count == 1) {
        off.fits = turning_measured_off(&ratio->measured[0], row->ratio, &off.value);
    }
    return off;
}

static void write_heading(FILE *out, const struct report_ratio *ratio)
{
    const struct turning_measured *only = &ratio->measured[0];
    const char *unit = exact_unit_row(only->pad.unit)->name;
    char rotor[EXACT_TEXT_SIZE];
    char own[EXACT_TEXT_SIZE + 20] = "off";
    if (ratio->measured_count == 1 && only->counted) {
        snprintf(own, sizeof own, "off, %s in %s", *unit ? unit : "rev",
                 exact_to_decimal(only->rotor.stated, 3, rotor));
    }
    fprintf(out, "\n%11s  %12s  %16s  %17s  ", "G", "decimal", own, "off, deg of rotor");
    if (ratio->blades != 0) {
        fprintf(out, "%14s  ", "blade missed");
    }
    fprintf(out, "%10s  %10s  %s\n", "separated", "gear sets", "gears, pad side first");
}

static void write_rows(FILE *out, const struct report_ratio *ratio)
{
    write_heading(out, ratio);
    for (size_t i = 0; i < ratio->answer->count; i++) {
        const struct turning_row *row = &ratio->answer->rows[i];
        char exact[EXACT_TEXT_SIZE];
        char rounded[EXACT_TEXT_SIZE];
        char own[EXACT_TEXT_SIZE];
        char degrees[EXACT_TEXT_SIZE];
        fprintf(out, "%11s  %12s  %16s  %17s", exact_to_text(row->ratio, exact),
                exact_to_decimal(row->ratio, PLACES, rounded), decimal(own_off(ratio, row), 6, own),
                decimal(row->off_deg, 6, degrees));
        if (ratio->blades != 0) {
            write_turns(out, 14, row->miscount, -1);
        }
        if (i == 0) {
            fprintf(out, "  %10s", "the first");
        } else {
            write_turns(out, 10, row->apart, -1);
        }
        fprintf(out, "  %10" PRIu64, row->train.ways);
        write_gears(out, &row->train);
        fputc('\n', out);
    }
}

/* ---- what to do next ------------------------------------------------------------------------- */

/* Nobody counts more rotor turns than this by hand: common practice, no source. */
enum { COUNTABLE = 500 };

/* A reading is written to a quarter of its uncertainty or finer, with at most so many decimals. */
enum { FINER = 4, DECIMALS_MOST = 9 };

/* Decimals that show where two readings differ by twice the uncertainty. */
static int decimals_for(struct exact_rational uncertainty)
{
    int decimals = 0;
    struct exact_rational step = {FINER, 1};
    while (decimals < DECIMALS_MOST && exact_compare(step, uncertainty) > 0) {
        decimals++;
        step.den *= 10;
    }
    return decimals;
}

static void write_reading(FILE *out, const struct report_ratio *ratio)
{
    char text[EXACT_TEXT_SIZE];
    struct exact_rational degrees;
    if (exact_mul(ratio->reading, exact_whole(360), &degrees)) {
        fprintf(out, " within %s deg", exact_to_decimal(degrees, 3, text));
    }
    fputs(ratio->reading_assumed ? " (assumed; --reading says otherwise)" : "", out);
}

static void write_first_two(FILE *out, const struct report_ratio *ratio)
{
    const struct turning_next *next = &ratio->answer->next;
    char pad[2][EXACT_TEXT_SIZE];
    int decimals = decimals_for(ratio->reading);
    if (!next->pad[0].fits || !next->pad[1].fits) {
        fputs("The first two are too close together: counting cannot separate them.\n", out);
        return;
    }
    fprintf(out, "Count %" PRId64 " rotor turn%s: %s or %s pad turns separate the first two.\n",
            next->first_two, words_plural(next->first_two),
            exact_to_decimal(next->pad[0].value, decimals, pad[0]),
            exact_to_decimal(next->pad[1].value, decimals, pad[1]));
}

static void write_next(FILE *out, const struct report_ratio *ratio)
{
    const struct turning_answer *answer = ratio->answer;
    const struct turning_next *next = &answer->next;
    char first[EXACT_TEXT_SIZE];
    fputs("\nNext measurement, with the pad read", out);
    write_reading(out, ratio);
    fputs(":\n", out);
    write_first_two(out, ratio);
    exact_to_text(answer->rows[0].ratio, first);
    if (answer->count > 2 && next->first > 0) {
        fprintf(out, "%" PRId64 " rotor turn%s separate%s %s from every other one shown",
                next->first, words_plural(next->first), next->first == 1 ? "s" : "", first);
        if (next->all > next->first) {
            fprintf(out, ", %" PRId64 " separate all of them", next->all);
        }
        fputs(".\n", out);
    }
    if (next->first_two < 0 || next->first_two > COUNTABLE) {
        fputs("That is too many to count by hand. Take a tooth count from a drawing (--known), or "
              "narrow\n--teeth or --meshes.\n",
              out);
    } else {
        fputs("Give the new count as one more --counted. Candidates that contradict it then drop "
              "out.\n",
              out);
    }
}

static void write_outside(FILE *out, const struct report_ratio *ratio, const char *before)
{
    const struct turning_outside *outside = &ratio->answer->outside;
    char exact[EXACT_TEXT_SIZE];
    char far[EXACT_TEXT_SIZE];
    if (!outside->found) {
        return;
    }
    fprintf(out, "%s %s", before, exact_to_text(outside->ratio, exact));
    if (outside->far.fits) {
        fprintf(out, ", %s times the tolerance from the middle",
                exact_to_decimal(outside->far.value, 2, far));
    }
    fputs(".\n", out);
}

/* One is left: how sure that is. */
static void write_only(FILE *out, const struct report_ratio *ratio)
{
    char exact[EXACT_TEXT_SIZE];
    fprintf(out, "\nOnly %s is left of all such trains.\n",
            exact_to_text(ratio->answer->rows[0].ratio, exact));
    if (exact_is_point(ratio->within)) {
        fputs("It is right if the ratio is exact.\n", out);
    } else {
        write_outside(out, ratio, "The nearest other one is");
        fputs("This holds only if the tolerance and the bounds on teeth and meshes are right.\n",
              out);
    }
}

/* None is left: what may be wrong. */
static void write_none(FILE *out, const struct report_ratio *ratio)
{
    const struct turning_outside *outside = &ratio->answer->outside;
    fputc('\n', out);
    write_outside(out, ratio, "The nearest one is");
    for (size_t i = 0; i < ratio->measured_count && outside->found; i++) {
        struct exact_interval cut;
        if (turning_measured_cut(&ratio->measured[i], &cut) &&
            exact_interval_holds(cut, outside->ratio)) {
            fprintf(out, "It agrees if the digits of %s were cut off instead of rounded.\n",
                    ratio->given[i]);
        }
    }
    fprintf(out, "Wider bounds may help: more --meshes, other --teeth%s, or a larger tolerance.\n",
            ratio->space.epicyclic ? "" : ", --epicyclic yes");
}

static void write_advice(FILE *out, const struct report_ratio *ratio)
{
    const struct turning_answer *answer = ratio->answer;
    if (answer->count > 1) {
        write_next(out, ratio);
    } else if (answer->candidates.total == 1 && !answer->candidates.more) {
        write_only(out, ratio);
    } else if (answer->candidates.total == 0) {
        write_none(out, ratio);
    }
}

/* ---- as text ----------------------------------------------------------------------------------
 */

void report_ratio_text(FILE *out, const struct report_ratio *ratio)
{
    write_measured(out, ratio);
    if (!ratio->answer) {
        write_contradictions(out, ratio);
        return;
    }
    write_space(out, ratio);
    write_total(out, ratio);
    if (ratio->answer->count != 0) {
        write_rows(out, ratio);
    }
    write_advice(out, ratio);
}

/* ---- as JSON --------------------------------------------------------------------------------- */

/* Exact numbers are strings; what is not known is null. */

static json_t *exact_object(struct exact_rational value)
{
    char text[EXACT_TEXT_SIZE];
    return json_string(exact_to_text(value, text));
}

static json_t *maybe(struct turning_maybe number)
{
    return number.fits ? exact_object(number.value) : json_null();
}

static json_t *interval(struct exact_interval within)
{
    return json_pack("[o, o]", exact_object(within.lo), exact_object(within.hi));
}

/* Turns, or null for the value `none`. */
static json_t *turns(int64_t count, int64_t none)
{
    return count == none ? json_null() : json_integer(count);
}

static json_t *measured_array(const struct report_ratio *ratio)
{
    json_t *array = json_array();
    for (size_t i = 0; i < ratio->measured_count; i++) {
        json_t *object = json_object();
        report_set(object, "given", json_string(ratio->given[i]));
        report_set(object, "within", interval(ratio->measured[i].within));
        report_add(array, object);
    }
    return array;
}

static json_t *contradiction_array(const struct report_ratio *ratio)
{
    json_t *array = json_array();
    for (size_t i = 0; i < ratio->measured_count; i++) {
        for (size_t j = i + 1; j < ratio->measured_count; j++) {
            if (!exact_intervals_meet(ratio->measured[i].within, ratio->measured[j].within)) {
                report_add(array, json_pack("[s, s]", ratio->given[i], ratio->given[j]));
            }
        }
    }
    return array;
}

static json_t *mesh_object(const struct turning_mesh *mesh)
{
    json_t *object = json_object();
    if (mesh->kind == TURNING_EPICYCLIC) {
        report_set(object, "sun", json_integer(mesh->sun_teeth));
        report_set(object, "planet", json_integer((mesh->ring_teeth - mesh->sun_teeth) / 2));
        report_set(object, "ring", json_integer(mesh->ring_teeth));
        report_set(object, "in", json_string(words_member(mesh->in)));
        report_set(object, "out", json_string(words_member(mesh->out)));
        report_set(object, "held", json_string(words_member(mesh->held)));
    } else {
        report_set(object, "teeth",
                   json_pack("[I, I]", (json_int_t)mesh->pad_teeth, (json_int_t)mesh->rotor_teeth));
    }
    return object;
}

static json_t *off_array(const struct report_ratio *ratio, const struct turning_row *row)
{
    json_t *array = json_array();
    for (size_t i = 0; i < ratio->measured_count; i++) {
        struct turning_maybe off;
        off.fits = turning_measured_off(&ratio->measured[i], row->ratio, &off.value);
        report_add(array, maybe(off));
    }
    return array;
}

static json_t *row_object(const struct report_ratio *ratio, const struct turning_row *row)
{
    json_t *object = json_object();
    json_t *meshes = json_array();
    for (unsigned i = 0; i < row->train.count; i++) {
        report_add(meshes, mesh_object(&row->train.meshes[i]));
    }
    report_set(object, "ratio", exact_object(row->ratio));
    report_set(object, "meshes", meshes);
    report_set(object, "teeth", json_integer(row->train.teeth));
    report_set(object, "gear_sets", json_integer((json_int_t)row->train.ways));
    report_set(object, "off", maybe(row->off));
    report_set(object, "off_measured", off_array(ratio, row));
    report_set(object, "off_rotor_deg", maybe(row->off_deg));
    if (ratio->blades != 0) {
        report_set(object, "turns_to_miscount", turns(row->miscount, -1));
    }
    report_set(object, "turns_to_tell_from_first", turns(row->apart, -1));
    return object;
}

static json_t *next_object(const struct report_ratio *ratio)
{
    const struct turning_next *next = &ratio->answer->next;
    json_t *object = json_object();
    report_set(object, "reading_pad_turns", exact_object(ratio->reading));
    report_set(object, "reading_assumed", json_boolean(ratio->reading_assumed));
    report_set(object, "turns_first_two", turns(next->first_two, -1));
    report_set(object, "pad_turns_first_two",
               json_pack("[o, o]", maybe(next->pad[0]), maybe(next->pad[1])));
    report_set(object, "turns_first_from_all", turns(next->first, -1));
    report_set(object, "turns_all", turns(next->all, -1));
    return object;
}

static json_t *outside_object(const struct turning_outside *outside)
{
    json_t *object = json_object();
    report_set(object, "ratio", exact_object(outside->ratio));
    report_set(object, "tolerances", maybe(outside->far));
    return object;
}

static void set_answer(json_t *object, const struct report_ratio *ratio)
{
    const struct turning_answer *answer = ratio->answer;
    json_t *rows = json_array();
    for (size_t i = 0; i < answer->count; i++) {
        report_add(rows, row_object(ratio, &answer->rows[i]));
    }
    report_set(object, "within", interval(ratio->within));
    report_set(object, "total", json_integer((json_int_t)answer->candidates.total));
    report_set(object, "total_is_least", json_boolean(answer->candidates.more));
    report_set(object, "searched_to_sum", turns(answer->candidates.searched_to, 0));
    report_set(object, "candidates", rows);
    report_set(object, "next", answer->count > 1 ? next_object(ratio) : json_null());
    report_set(object, "outside",
               answer->outside.found ? outside_object(&answer->outside) : json_null());
}

void report_ratio_json(FILE *out, const struct report_ratio *ratio)
{
    json_t *object = json_object();
    report_set(object, "measured", measured_array(ratio));
    report_set(object, "contradictions", contradiction_array(ratio));
    report_set(object, "known", exact_object(ratio->space.known));
    if (ratio->answer) {
        set_answer(object, ratio);
    }
    report_json(out, object, JSON_INDENT(2));
    fputc('\n', out);
}
