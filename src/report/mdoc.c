#include "report/mdoc.h"

#include <stdbool.h>
#include <stddef.h>

static char capital(char c)
{
    return c >= 'a' && c <= 'z' ? (char)(c - 'a' + 'A') : c;
}

enum { LINE = 78 };

/* Where the word at text ends, and whether a sentence ends with it. */
static size_t word_length(const char *text)
{
    size_t length = 0;
    while (text[length] && text[length] != ' ') {
        length++;
    }
    return length;
}

/* A backslash begins an escape; a point or quote would be a macro where a line begins. */
static void put_word(FILE *out, const char *word, size_t length, bool line_start)
{
    if (line_start && (word[0] == '.' || word[0] == '\'')) {
        fputs("\\&", out);
    }
    for (size_t i = 0; i < length; i++) {
        if (word[i] == '\\') {
            fputs("\\e", out);
        } else {
            fputc(word[i], out);
        }
    }
}

void mdoc_text(FILE *out, const char *text)
{
    size_t column = 0;
    bool sentence_ended = false;
    while (*text) {
        size_t length = word_length(text);
        bool capital_next = capital(text[0]) == text[0];
        if (column != 0) {
            bool full = column + 1 + length > LINE;
            fputc(full || (sentence_ended && capital_next) ? '\n' : ' ', out);
            column = full || (sentence_ended && capital_next) ? 0 : column + 1;
        }
        put_word(out, text, length, column == 0);
        column += length;
        sentence_ended = length != 0 && (text[length - 1] == '.' || text[length - 1] == '?');
        text += length;
        text += *text == ' ';
    }
    fputc('\n', out);
}

void mdoc_sentence(FILE *out, const char *phrase)
{
    char text[512];
    snprintf(text, sizeof text, "%c%s.", capital(phrase[0]), phrase + 1);
    mdoc_text(out, text);
}

void mdoc_heading(FILE *out, const char *word)
{
    for (; *word; word++) {
        fputc(capital(*word), out);
    }
}
