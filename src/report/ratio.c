#include "report/ratio.h"

#include "report/ratio_next.h"

#include <inttypes.h>
#include <string.h>

/* Decimals shown of a ratio. */
enum { PLACES = 9 };

const char *report_ratio_member(enum turning_member member)
{
    static const char *const names[] = {
        [TURNING_SUN] = "sun", [TURNING_RING] = "ring", [TURNING_CARRIER] = "carrier"};
    return names[member];
}

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

/* A whole number that was written without a tolerance: the commonest rounding of all. */
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
            fprintf(out, "  taken as exact; if it was rounded, say so: %" PRId64 "+/-0.5\n",
                    measured->pad.stated.num);
        }
    }
    if (ratio->answer && ratio->measured_count > 1) {
        fputs("together: ", out);
        write_interval(out, ratio->within);
        fputc('\n', out);
    }
}

/* Whether the second would agree with the first if its ends were swapped. */
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
                fputs("  they agree if the ends of one are swapped: pad turns stand first\n", out);
            }
        }
    }
    fputs("One of them was misread, or is not of this pad; what is left says which.\n", out);
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
        fputs("none makes it.\n", out);
        return;
    }
    fprintf(out, "%s%" PRIu64 " fraction%s", candidates->more ? "at least " : "", candidates->total,
            candidates->total == 1 ? "" : "s");
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

static void write_gears(FILE *out, const struct turning_train *train)
{
    if (train->count == 0) {
        fputs("  the known ones", out);
    }
    for (unsigned i = 0; i < train->count; i++) {
        const struct turning_mesh *mesh = &train->meshes[i];
        if (mesh->kind == TURNING_EPICYCLIC) {
            fprintf(out, "  sun %" PRId64 " planet %" PRId64 " ring %" PRId64 " (%s to %s)",
                    mesh->sun_teeth, (mesh->ring_teeth - mesh->sun_teeth) / 2, mesh->ring_teeth,
                    report_ratio_member(mesh->in), report_ratio_member(mesh->out));
        } else {
            fprintf(out, "  %" PRId64 ":%" PRId64, mesh->pad_teeth, mesh->rotor_teeth);
        }
    }
}

/* One measurement is spoken of in its own unit, several in pad turns per rotor turn. */
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
    fprintf(out, "%10s  %10s  %s\n", "told apart", "gear sets", "gears, pad side first");
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
    report_ratio_next(out, ratio);
}
