/*
 * calculator.c - answers questions about exact numbers, for the Python tests beside it.
 *
 * A question is one line of words, an answer one line: a fraction, a number, or `none` where the
 * function reports an overflow.  `read DIMENSION HEX` takes a text as hexadecimal.
 */
#include "exact/interval.h"
#include "exact/quantity.h"

#include <inttypes.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

/* The next word of the question that strtok holds. */
static const char *word(void)
{
    const char *next = strtok(NULL, " \n");

    if (next == NULL) {
        fputs("calculator: a word is missing\n", stderr);
        exit(2);
    }
    return next;
}

static int64_t whole(void)
{
    return (int64_t)strtoll(word(), NULL, 10);
}

/* "n" or "n/d" in lowest terms. */
static struct exact_rational fraction(void)
{
    char *end;
    int64_t num = (int64_t)strtoll(word(), &end, 10);

    return (struct exact_rational){num, *end == '/' ? (int64_t)strtoll(end + 1, NULL, 10) : 1};
}

static struct exact_measure measure(void)
{
    struct exact_rational value = fraction();
    const char *unit = word();

    return (struct exact_measure){value, exact_unit_find(unit, strlen(unit))};
}

static void answer(bool there, struct exact_rational value)
{
    char text[EXACT_TEXT_SIZE];

    puts(there ? exact_to_text(value, text) : "none");
}

static void answer_whole(bool there, int64_t value)
{
    answer(there, (struct exact_rational){value, 1});
}

static bool operate(const char *name, struct exact_rational a, struct exact_rational b,
                    struct exact_rational *out)
{
    switch (name[0]) {
    case 'a': return exact_add(a, b, out);
    case 's': return exact_sub(a, b, out);
    case 'm': return exact_mul(a, b, out);
    default: return exact_div(a, b, out);
    }
}

static void answer_round(void)
{
    struct exact_rational a = fraction();

    printf("%" PRId64 " %" PRId64 " %" PRId64 " ", exact_floor(a), exact_ceil(a),
           exact_round_half_up(a));
    answer(true, exact_fraction_part(a));
}

static void answer_decimal(void)
{
    struct exact_rational a = fraction();
    int decimals = (int)whole();
    char text[EXACT_TEXT_SIZE];

    puts(exact_to_decimal(a, decimals, text));
}

static void answer_steps(void)
{
    struct exact_measure a = measure();
    struct exact_measure step = measure();
    int64_t steps = 0;
    bool fits = exact_measure_steps_down(a, step, &steps);

    printf("%s%" PRId64 " ", fits ? "" : "no ", steps);
    steps = 0;
    fits = exact_measure_steps_up(a, step, &steps);
    answer_whole(fits, steps);
}

static void answer_read(void)
{
    enum exact_dimension dimension = (enum exact_dimension)whole();
    const char *hex = word();
    size_t length = strlen(hex) / 2;
    char *text = malloc(length + 1);
    struct exact_quantity q;
    struct exact_quantity_result result;
    char stated[EXACT_TEXT_SIZE];
    char tolerance[EXACT_TEXT_SIZE];
    char half_ulp[EXACT_TEXT_SIZE];

    if (text == NULL) {
        exit(2);
    }
    for (size_t i = 0; i < length; i++) {
        char digits[3] = {hex[2 * i], hex[2 * i + 1], '\0'};

        text[i] = (char)strtol(digits, NULL, 16);
    }
    result = exact_quantity_read(text, length, dimension, &q);
    if (result.error == EXACT_QUANTITY_FINE) {
        printf("0 %s %s %s %d %d %s\n", exact_to_text(q.stated, stated),
               q.has_tolerance ? exact_to_text(q.tolerance, tolerance) : "-",
               exact_to_text(q.half_ulp, half_ulp), (int)q.form, q.decimals,
               exact_unit_row(q.unit)->name);
    } else {
        printf("%d %zu %zu\n", (int)result.error, result.offset, result.length);
    }
    free(text);
}

static void answer_in(void)
{
    struct exact_measure a = measure();
    const char *unit = word();
    struct exact_rational out = {0, 1};
    bool fits = exact_measure_in(a, exact_unit_find(unit, strlen(unit)), &out);

    answer(fits, out);
}

static void answer_operation(const char *name)
{
    struct exact_rational a = fraction();
    struct exact_rational b = fraction();
    struct exact_rational out = {0, 1};
    bool fits = operate(name, a, b, &out);

    answer(fits, out);
}

static void answer_question(const char *name)
{
    if (strcmp(name, "nearest") == 0) {
        struct exact_rational target = fraction();

        answer(true, exact_nearest(target, whole()));
    } else if (strcmp(name, "simplest") == 0) {
        struct exact_interval within;

        within.lo = fraction();
        within.hi = fraction();
        answer(true, exact_simplest_in(within));
    } else if (strcmp(name, "compare") == 0) {
        struct exact_measure a = measure();

        answer_whole(true, exact_measure_compare(a, measure()));
    } else if (strcmp(name, "round") == 0) {
        answer_round();
    } else if (strcmp(name, "decimal") == 0) {
        answer_decimal();
    } else if (strcmp(name, "in") == 0) {
        answer_in();
    } else if (strcmp(name, "steps") == 0) {
        answer_steps();
    } else if (strcmp(name, "read") == 0) {
        answer_read();
    } else {
        answer_operation(name);
    }
}

int main(void)
{
    static char question[4096];

    while (fgets(question, sizeof question, stdin) != NULL) {
        answer_question(strtok(question, " \n"));
    }
    return 0;
}
