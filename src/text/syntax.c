#include "text/syntax.h"

#include "text/utf8.h"

#include <string.h>

#define INDENT "Indent it like the lines beside it."
#define QUOTE "Put the whole text in quotes."

/* A fault in words. */
struct words {
    const char *problem; /* how the parser's words begin */
    const char *context; /* a part of the parser's context; NULL: any */
    bool at_context;     /* the place of the context is the one to look at */
    const char *message, *remedy;
    const char *note; /* what is at the context; NULL: nothing to show */
};

static const struct words rows[] = {
    {"could not find expected ':'", NULL, true, "this line has no colon with a blank after its key",
     "Write the key, a colon, a blank and the value.", NULL},
    {"did not find expected ',' or '}'", NULL, false, "a comma or } is missing before this",
     "Write the comma or the bracket.", "the { is here"},
    {"did not find expected ',' or ']'", NULL, false, "a comma or ] is missing before this",
     "Write the comma or the bracket.", "the [ is here"},
    {"found unexpected end of stream", "quoted", true, "this quote is not closed",
     "Write the closing quote, or delete this one.", NULL},
    {"found unexpected document indicator", "quoted", true, "this quote is not closed",
     "Write the closing quote, or delete this one.", NULL},
    {"found character that cannot start any token", NULL, false,
     "a value cannot begin with this character", QUOTE, NULL},
    {"did not find expected alphabetic or numeric character", NULL, true,
     "a value cannot begin with this character", QUOTE, NULL},
    {"found unexpected non-alphabetical character", NULL, true,
     "a line cannot begin with this character", QUOTE, NULL},
    {"found unknown escape character", NULL, false,
     "this letter after a backslash has no meaning in double quotes",
     "Use single quotes: in them a backslash is a backslash.", NULL},
    {"found invalid Unicode character escape code", NULL, false,
     "this escape is not a character, or is half of a pair", "Write the character itself.", NULL},
    {"did not find expected hexdecimal number", NULL, false, "this escape has too few digits",
     "Write the character itself.", NULL},
    {"did not find expected comment or line break", "block scalar", false,
     "a text after | or > begins on the next line",
     "Put the text in quotes, or begin it on the next line.", NULL},
    {"block sequence entries are not allowed", NULL, false,
     "a list with dashes cannot begin in the line of its key",
     "Begin the list on the next line, or write it in square brackets.", NULL},
    {"did not find expected node content", NULL, false, "a value is missing here",
     "Write the value, or delete what asks for it.", NULL},
};

/* The line of a place, and where in it the place is. */
struct look {
    const char *line;
    size_t length, at; /* at <= length */
};

static struct look look_at(const struct text_file *file, struct span at)
{
    struct look look = {"", 0, 0};
    const char *line = text_file_line(file, at.line, &look.length);
    if (line) {
        look.line = line;
        look.at = text_utf8_bytes(line, look.length, at.column - 1);
    } else {
        look.length = 0;
    }
    return look;
}

static bool is_char(const struct look *look, size_t at, char wanted)
{
    return at < look->length && look->line[at] == wanted;
}

/* The last character before the place that is not a blank; 0 where there is none. */
static char char_before(const struct look *look)
{
    for (size_t i = look->at; i > 0; i--) {
        if (look->line[i - 1] != ' ' && look->line[i - 1] != '\t') {
            return look->line[i - 1];
        }
    }
    return 0;
}

static bool has_colon_before(const struct look *look)
{
    for (size_t i = 1; i < look->at; i++) {
        if (look->line[i] == ' ' && look->line[i - 1] == ':') {
            return true;
        }
    }
    return false;
}

static struct words tab(const struct look *look)
{
    struct words words = {.message = "there is a tab where only blanks may be",
                          .remedy = "Replace the tab with blanks."};
    char before = char_before(look);
    if (before == '-') {
        words.message = "there is a tab after the dash";
        words.remedy = "Write a blank after the dash.";
    } else if (before == 0) {
        words.message = "this line is indented with a tab";
    }
    return words;
}

/* Where the parser expects a key: what is there instead. */
static struct words no_key(const struct look *look)
{
    struct words words = {.message = "this line is not indented like the lines before it",
                          .remedy = INDENT};
    char before = char_before(look);
    if (is_char(look, look->at, '}') || is_char(look, look->at, ']')) {
        words.message = "no bracket is open that this one could close";
        words.remedy = "Delete it, or write the opening bracket.";
    } else if (before == '"' || before == '\'') {
        words.message = "there is text after the closing quote";
        words.remedy = QUOTE " Look for a quote above that is not closed.";
    } else if (before != 0) {
        words.message = "this does not belong to the value before it";
        words.remedy = "Delete it, or put the whole text in quotes.";
    } else if (is_char(look, look->at, ':')) {
        words.message = "this line has no key before its colon";
        words.remedy = "Write the key, a colon, a blank and the value.";
    } else if (is_char(look, look->at, '-') && look->at == 0) {
        words.message = "an item of a list does not belong here";
        words.remedy = "Write the key of the list on the line before it.";
    }
    return words;
}

static struct words second_colon(const struct look *look)
{
    if (has_colon_before(look)) {
        return (struct words){.message = "this line has a second colon",
                              .remedy = "If the colon belongs to a text, put the text in quotes."};
    }
    return (struct words){.message = "this line is not indented like the lines before it",
                          .remedy = INDENT};
}

/* Where the parser expects an item of a list: another item, or a key of the item before. */
static struct words no_item(const struct look *look)
{
    if (is_char(look, look->at, '-')) {
        return (struct words){.message = "this line is not indented like the items before it",
                              .remedy = "Indent all items of a list alike.",
                              .note = "the first item"};
    }
    return (struct words){.message = "this line is not indented like the lines before it",
                          .remedy = INDENT};
}

static bool begins(const char *text, const char *with)
{
    return text && strncmp(text, with, strlen(with)) == 0;
}

/* What the place shows; without a message where only the parser knows. */
static struct words words_of(const struct text_fault *fault, const struct look *look)
{
    if (is_char(look, look->at, '\t')) {
        return tab(look);
    }
    if (begins(fault->problem, "did not find expected key")) {
        return no_key(look);
    }
    if (begins(fault->problem, "did not find expected '-' indicator")) {
        return no_item(look);
    }
    if (begins(fault->problem, "mapping values are not allowed")) {
        return second_colon(look);
    }
    for (size_t i = 0; i < sizeof rows / sizeof *rows; i++) {
        if (begins(fault->problem, rows[i].problem) &&
            (!rows[i].context || (fault->context && strstr(fault->context, rows[i].context)))) {
            return rows[i];
        }
    }
    return (struct words){.message = NULL};
}

void text_report_fault(struct findings *findings, const struct text_file *file,
                       const struct text_fault *fault)
{
    const struct look look = look_at(file, fault->at);
    const struct words words = words_of(fault, &look);
    if (!words.message) {
        struct finding *finding = finding_add(findings, RULE_YAML_SYNTAX, fault->at, "%s",
                                              fault->problem ? fault->problem : "this is not YAML");
        if (fault->context) {
            finding_note(findings, finding, fault->context_at, "%s", fault->context);
        }
        return;
    }
    bool at_context = words.at_context && fault->context;
    struct finding *finding =
        finding_add(findings, RULE_YAML_SYNTAX, at_context ? fault->context_at : fault->at, "%s",
                    words.message);
    if (words.note && fault->context) {
        finding_note(findings, finding, fault->context_at, "%s", words.note);
    }
    finding_remedy(findings, finding, "%s", words.remedy);
}
