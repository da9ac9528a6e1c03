#include "report/csv.h"

#include "text/utf8.h"

#include <stdbool.h>
#include <string.h>

/* Whether a spreadsheet calculates the text: it begins with a sign, also one of full width. */
static bool is_formula(const char *text)
{
    static const char *const signs[] = {
        "=", "+", "-", "@", "\xef\xbc\x9d", "\xef\xbc\x8b", "\xef\xbc\x8d", "\xef\xbc\xa0"};
    for (size_t i = 0; i < sizeof signs / sizeof *signs; i++) {
        if (strncmp(text, signs[i], strlen(signs[i])) == 0) {
            return true;
        }
    }
    return false;
}

void report_csv_text(FILE *out, const char *text)
{
    struct arena arena = {.newest = NULL};
    const char *clean = text_clean(&arena, text);
    if (*clean) {
        fputs(is_formula(clean + strspn(clean, " ")) ? "\"'" : "\"", out);
        for (; *clean; clean++) {
            fputs(*clean == '"' ? "\"" : "", out);
            fputc(*clean, out);
        }
        fputc('"', out);
    }
    arena_free(&arena);
}
