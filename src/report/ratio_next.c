#include "report/ratio_next.h"

#include <inttypes.h>

/* Beyond this many rotor turns nobody counts by hand: common practice, no source. */
enum { COUNTABLE = 500 };

/* A reading is written to a quarter of its uncertainty or finer, in so many decimals at most. */
enum { FINER = 4, DECIMALS_MOST = 9 };

static const char *plural(int64_t count)
{
    return count == 1 ? "" : "s";
}

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
        fputs("The first two are too near each other to be told apart by counting.\n", out);
        return;
    }
    fprintf(out, "Count %" PRId64 " rotor turn%s: %s or %s pad turns tell the first two apart.\n",
            next->first_two, plural(next->first_two),
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
        fprintf(out, "%" PRId64 " rotor turn%s tell%s %s from every other one shown", next->first,
                plural(next->first), next->first == 1 ? "s" : "", first);
        if (next->all > next->first) {
            fprintf(out, ", %" PRId64 " tell all of them apart", next->all);
        }
        fputs(".\n", out);
    }
    if (next->first_two < 0 || next->first_two > COUNTABLE) {
        fputs("That is more than one counts by hand: a tooth count from a drawing (--known), or a\n"
              "narrower --teeth or --meshes, settles it sooner.\n",
              out);
    } else {
        fputs("Give the new count as one more --counted; what contradicts it then drops out.\n",
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
        fputs("It is as sure as the ratio is exact.\n", out);
    } else {
        write_outside(out, ratio, "The nearest other one is");
        fputs("It is as sure as the tolerance, and as the bounds on teeth and meshes.\n", out);
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
            fprintf(out, "It would agree if the digits of %s were cut off, not rounded.\n",
                    ratio->given[i]);
        }
    }
    fprintf(out, "Wider bounds may help: more --meshes, other --teeth%s, or a larger tolerance.\n",
            ratio->space.epicyclic ? "" : ", --epicyclic yes");
}

void report_ratio_next(FILE *out, const struct report_ratio *ratio)
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
