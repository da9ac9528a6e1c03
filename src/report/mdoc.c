#include "report/mdoc.h"

static char capital(char c)
{
    return c >= 'a' && c <= 'z' ? (char)(c - 'a' + 'A') : c;
}

/* A backslash begins an escape, and a point or quote at the line's begin a macro. */
static void put(FILE *out, char c, int at_line_start)
{
    if (c == '\\') {
        fputs("\\e", out);
        return;
    }
    if (at_line_start && (c == '.' || c == '\'')) {
        fputs("\\&", out);
    }
    fputc(c, out);
}

void mdoc_text(FILE *out, const char *text)
{
    int start = 1;
    for (; *text; text++) {
        if (text[0] == '.' && text[1] == ' ' && capital(text[2]) == text[2]) {
            fputs(".\n", out);
            text++;
            start = 1;
        } else {
            put(out, *text, start);
            start = 0;
        }
    }
    fputc('\n', out);
}

void mdoc_sentence(FILE *out, const char *phrase)
{
    fputc(capital(phrase[0]), out);
    for (const char *c = phrase + 1; *c; c++) {
        put(out, *c, 0);
    }
    fputs(".\n", out);
}

void mdoc_heading(FILE *out, const char *word)
{
    for (; *word; word++) {
        fputc(capital(*word), out);
    }
}
