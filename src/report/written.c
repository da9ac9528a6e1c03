#include "report/written.h"

#include "words/number.h"

#include <inttypes.h>
#include <string.h>
#include <strings.h>

void report_written_refuse(struct report_written *w, const char *what)
{
    if (!w->problem) {
        w->problem = arena_printf(w->arena, "%s: %s", w->where, what);
    }
}

/* A text in double quotes. A line separator is an escape, because YAML would fold it. */
const char *report_quoted(struct report_written *w, const char *text)
{
    char *copy = arena_alloc(w->arena, 2 * strlen(text) + 3);
    char *out = copy;
    *out++ = '"';
    for (; *text; text++) {
        bool separator = strncmp(text, "\xe2\x80\xa8", 3) == 0;
        if (separator || strncmp(text, "\xe2\x80\xa9", 3) == 0) {
            *out++ = '\\';
            *out++ = separator ? 'L' : 'P';
            text += 2;
            continue;
        }
        if (*text == '"' || *text == '\\') {
            *out++ = '\\';
        }
        *out++ = *text;
    }
    *out++ = '"';
    *out = '\0';
    return copy;
}

/* Words that a reader of YAML 1.1 takes for something else than a text. */
static bool is_word_of_yaml(const char *text)
{
    static const char *const words[] = {"y",   "n",    "yes",   "no",   "on",
                                        "off", "true", "false", "null", "nan"};
    for (size_t i = 0; i < sizeof words / sizeof *words; i++) {
        if (strcasecmp(text, words[i]) == 0) {
            return true;
        }
    }
    return false;
}

const char *report_id(struct report_written *w, const char *id)
{
    static const char letters[] = "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ";
    static const char others[] = "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789-";
    bool plain = strspn(id, letters) != 0 && id[strspn(id, others)] == '\0';
    return plain && !is_word_of_yaml(id) ? id : report_quoted(w, id);
}

static const struct report_known *find_known(const struct report_known *known, const char *key)
{
    while (known->key && strcmp(known->key, key) != 0) {
        known++;
    }
    return known->key ? known : NULL;
}

void report_write_record(struct report_written *w, const struct model_record *record, int depth,
                         bool dash, const struct report_known *known)
{
    for (const struct model_field *field = record->fields; field->key; field++) {
        const struct report_known *value = find_known(known, field->key);
        if (strcmp(field->key, MODEL_SCHEMA_KEY) == 0) {
            continue;
        }
        fprintf(w->out, "%*s", 2 * depth, "");
        if (dash) {
            fputs(field == record->fields ? "- " : "  ", w->out);
        }
        if (!value) {
            fprintf(w->out, "# %s:  # %s\n", field->key, field->meaning);
        } else if (value->block) {
            fprintf(w->out, "%s:%s%s\n", field->key, value->remark ? "  # " : "",
                    value->remark ? value->remark : "");
            value->block(w, value->of, depth + (dash ? 2 : 1));
        } else {
            fprintf(w->out, "%s: %s%s%s\n", field->key, value->value, value->remark ? "  # " : "",
                    value->remark ? value->remark : "");
        }
    }
}

enum { DIGITS_MOST = 18 }; /* of a number in a source */

bool report_is_writable(int64_t number)
{
    return number >= 0 && number < INT64_C(1000000000000000000);
}

const char *report_exact_number(struct report_written *w, struct exact_rational value)
{
    int64_t power = 1;
    for (int decimals = 0; decimals < DIGITS_MOST; decimals++, power *= 10) {
        struct exact_rational scaled;
        if (exact_mul(value, exact_whole(power), &scaled) && exact_is_whole(scaled) &&
            report_is_writable(scaled.num)) {
            return words_decimal(w->arena, value, decimals);
        }
    }
    if (!report_is_writable(value.num) || !report_is_writable(value.den)) {
        report_written_refuse(w, "a number has more than 18 digits");
    }
    return words_exact(w->arena, value);
}

struct exact_rational report_plainest(struct exact_rational lo, struct exact_rational hi,
                                      bool greatest)
{
    int64_t power = 1;
    struct exact_rational end = greatest ? hi : lo;
    for (int decimals = 0; decimals < 12; decimals++, power *= 10) {
        struct exact_rational scaled;
        struct exact_rational number;
        if (!exact_mul(end, exact_whole(power), &scaled) ||
            !exact_make(greatest ? exact_floor(scaled) : exact_ceil(scaled), power, &number)) {
            break;
        }
        if (exact_sign(number) > 0 &&
            (greatest ? exact_compare(number, lo) > 0 : exact_compare(number, hi) < 0)) {
            return number;
        }
    }
    return end;
}

bool report_scale(struct report_written *w, struct exact_rational a, struct exact_rational b,
                  struct exact_rational c, struct exact_rational *out)
{
    if (exact_mul(a, b, out) && exact_div(*out, c, out)) {
        return true;
    }
    report_written_refuse(w, "a number does not fit 64 bits");
    return false;
}

struct exact_rational report_fraction_of(struct report_written *w, struct rotor_fraction from)
{
    struct exact_rational value = {1, 1};
    if (!table_fraction(from, &value)) {
        report_written_refuse(w, "a number does not fit 64 bits");
    }
    return value;
}

struct exact_rational report_steps_of(struct report_written *w, uint32_t steps, uint32_t num,
                                      uint32_t den)
{
    return report_fraction_of(w, table_word_steps(steps, num, den));
}

const char *report_in_table_unit(struct report_written *w, struct exact_rational value,
                                 enum table_code kind, uint8_t unit)
{
    return arena_printf(w->arena, "%s %s", report_exact_number(w, value),
                        table_word_code(kind, unit));
}

struct report_written report_written_start(FILE *out, const struct rotor_table *table,
                                           struct arena *arena)
{
    struct report_written w = {.out = out, .arena = arena, .table = table, .where = "the device"};
    rotor_get_device(table, &w.device);
    return w;
}

const struct model_record *report_record_of(const struct model_record *record, const char *key)
{
    const struct model_field *field = record->fields;
    while (strcmp(field->key, key) != 0) {
        field++;
    }
    return field->record;
}

struct report_pad_numbers report_pad_numbers_of(struct report_written *w,
                                                const struct rotor_pad *pad)
{
    struct report_pad_numbers numbers = {.device = exact_whole(1)};
    struct exact_rational shaft;
    numbers.ratio.lo = report_fraction_of(w, pad->turns_lo);
    numbers.ratio.hi = report_fraction_of(w, pad->turns_hi);
    numbers.used = numbers.ratio.lo;
    if (pad->adapter.den != 0) {
        numbers.device = report_fraction_of(w, pad->adapter);
    }
    if (!exact_is_point(numbers.ratio) &&
        (!exact_mul(report_fraction_of(w, w->device.counts), numbers.device, &shaft) ||
         !exact_div(report_fraction_of(w, pad->counts_per_rotor_turn), shaft, &numbers.used))) {
        report_written_refuse(w, "a number does not fit 64 bits");
    }
    return numbers;
}
