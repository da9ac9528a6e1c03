#include "report/pattern.h"

#include <inttypes.h>
#include <stdio.h>
#include <string.h>

/* A pattern while it grows; it is cut, never overrun, and none here comes near the size. */
struct pattern {
    char *text;
    size_t length;
};

static void put(struct pattern *pattern, const char *text)
{
    size_t length = strlen(text);
    if (pattern->length + length < REPORT_PATTERN_SIZE) {
        memcpy(pattern->text + pattern->length, text, length + 1);
        pattern->length += length;
    }
}

static void put_range(struct pattern *pattern, char low, char high)
{
    char text[8];
    if (low == high) {
        snprintf(text, sizeof text, "%c", low);
    } else {
        snprintf(text, sizeof text, "[%c-%c]", low, high);
    }
    put(pattern, text);
}

static void put_any_digits(struct pattern *pattern, size_t count)
{
    char text[16];
    if (count != 0) {
        snprintf(text, sizeof text, count == 1 ? "[0-9]" : "[0-9]{%zu}", count);
        put(pattern, text);
    }
}

static bool is_all(const char *digits, char digit)
{
    return strspn(digits, (const char[]){digit, '\0'}) == strlen(digits);
}

/* The numbers from low to high, both with the same number of digits. */
static void put_between(struct pattern *pattern, const char *low, const char *high)
{
    size_t rest = strlen(low) - 1;
    if (rest == 0 || (is_all(low + 1, '0') && is_all(high + 1, '9'))) {
        put_range(pattern, low[0], high[0]);
        put_any_digits(pattern, rest);
        return;
    }
    if (low[0] == high[0]) {
        put_range(pattern, low[0], low[0]);
        put(pattern, "(?:");
        put_between(pattern, low + 1, high + 1);
        put(pattern, ")");
        return;
    }
    char zeros[24] = "";
    char nines[24] = "";
    memset(zeros, '0', rest);
    memset(nines, '9', rest);
    put_range(pattern, low[0], low[0]);
    put(pattern, "(?:");
    put_between(pattern, low + 1, nines);
    put(pattern, ")|");
    if (low[0] + 1 < high[0]) {
        put_range(pattern, (char)(low[0] + 1), (char)(high[0] - 1));
        put_any_digits(pattern, rest);
        put(pattern, "|");
    }
    put_range(pattern, high[0], high[0]);
    put(pattern, "(?:");
    put_between(pattern, zeros, high + 1);
    put(pattern, ")");
}

const char *report_integer_pattern(int64_t least, int64_t most, char buffer[REPORT_PATTERN_SIZE])
{
    struct pattern pattern = {buffer, 0};
    put(&pattern, "^(?:");
    /* One alternative a number of digits. */
    for (int64_t low = least; low <= most;) {
        int64_t end = 9;
        while (end < low) {
            end = end * 10 + 9;
        }
        int64_t high = end < most ? end : most;
        char from[24];
        char to[24];
        snprintf(from, sizeof from, "%" PRId64, low);
        snprintf(to, sizeof to, "%" PRId64, high);
        put(&pattern, low == least ? "" : "|");
        put_between(&pattern, from, to);
        low = high + 1;
    }
    put(&pattern, ")$");
    return buffer;
}

static void put_unit(struct pattern *pattern, const char *name)
{
    for (; *name; name++) {
        char letter[3] = {*name, '\0', '\0'};
        if (*name == '.') {
            letter[0] = '\\';
            letter[1] = '.';
        }
        put(pattern, letter);
    }
}

/* A number of at most 18 digits, not negative: a whole one, a decimal, a fraction. */
#define NUMBER                                                                                     \
    "(?:(?![0-9.]{20})(?:0|[1-9][0-9]{0,17})(?:\\.[0-9]+)?"                                        \
    "|(?:0|[1-9][0-9]{0,17})/[1-9][0-9]{0,17})"
#define BLANKS "[ \\t]*"

const char *report_quantity_pattern(const struct model_field *field,
                                    char buffer[REPORT_PATTERN_SIZE])
{
    struct pattern pattern = {buffer, 0};
    put(&pattern, "^");
    put(&pattern, field->sign == MODEL_ANY_SIGN ? "-?" : "");
    /* A positive number does not consist of zeros. */
    put(&pattern, field->sign == MODEL_POSITIVE ? "(?!0+(?:\\.0+)?(?![0-9.]))(?!0+/)" : "");
    put(&pattern, NUMBER);
    if (field->type == MODEL_INTERVAL) {
        put(&pattern, "(?:" BLANKS "(?:\\+/-|\xc2\xb1)" BLANKS NUMBER ")?");
    }
    bool first = true;
    for (int unit = EXACT_NO_UNIT + 1; unit < EXACT_UNIT_COUNT; unit++) {
        const struct exact_unit_row *row = exact_unit_row((enum exact_unit)unit);
        if (row->dimension == field->dimension) {
            put(&pattern, first ? BLANKS "(?:" : "|");
            put_unit(&pattern, row->name);
            first = false;
        }
    }
    put(&pattern, first ? "$" : ")$");
    return buffer;
}
