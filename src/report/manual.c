/*
 * manual.c - text for man pages, and the field tables as sections of rotor-definition(5).
 */
#include "report/manual.h"

#include "model/field.h"
#include "report/schema.h"

#include <inttypes.h>
#include <stdbool.h>
#include <stddef.h>
#include <string.h>

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

void report_mdoc_text(FILE *out, const char *text)
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

void report_mdoc_sentence(FILE *out, const char *phrase)
{
    char text[512];
    snprintf(text, sizeof text, "%c%s.", capital(phrase[0]), phrase + 1);
    report_mdoc_text(out, text);
}

void report_mdoc_heading(FILE *out, const char *word)
{
    for (; *word; word++) {
        fputc(capital(*word), out);
    }
}

/* ---- the fields of a kind of file ------------------------------------------------------------ */

enum { FORM_SIZE = 256 };

/* The words of an enumeration, with commas. */
static void list_words(const struct model_word_row *words, char text[FORM_SIZE])
{
    size_t length = 0;
    text[0] = '\0';
    for (const struct model_word_row *row = words; row->word && !row->alias; row++) {
        int more = snprintf(text + length, FORM_SIZE - length, "%s%s", row == words ? "" : ", ",
                            row->word);
        length += more > 0 && (size_t)more < FORM_SIZE - length ? (size_t)more : 0;
    }
}

/* That the value may be written as a record instead. */
static void add_record_form(const struct model_field *field, char text[FORM_SIZE])
{
    size_t length = strlen(text);
    snprintf(text + length, FORM_SIZE - length, "%s",
             field->record ? ", or keys and values, see below" : "");
}

/* What a key takes, in words.  Returns text. */
static const char *form(const struct model_field *field, char text[FORM_SIZE])
{
    static const char *const plain[] = {
        [MODEL_VERSION] = "the number 1",
        [MODEL_FILE_ID] = "an id in lower case",
        [MODEL_ID] = "an id",
        [MODEL_TEXT] = "one line of text",
        [MODEL_PROSE] = "text",
        [MODEL_DATE] = "a date, YYYY-MM-DD",
        [MODEL_RULE] = "the id of a rule",
        [MODEL_RECORD] = "keys and values, see below",
        [MODEL_TEXTS] = "a list of texts",
        [MODEL_RECORDS] = "a list, see below",
        [MODEL_ONE_OR_MORE] = "one of these or a list of them, see below",
        [MODEL_PATH] = "a list of meshes, see the section on gear paths",
        [MODEL_BACKS] = "two of forward, aft, up, down, left and right",
        [MODEL_TEETH] = "two tooth counts",
        [MODEL_SEVERITIES] = "rule ids, each with error, warning, note or off",
    };
    switch (field->type) {
    case MODEL_WORD:
        list_words(field->words, text);
        add_record_form(field, text);
        break;
    case MODEL_CLOCK:
        snprintf(text, FORM_SIZE, "a clock position, 1:00 to 12:59");
        add_record_form(field, text);
        break;
    case MODEL_INTEGER:
        snprintf(text, FORM_SIZE, "a whole number, %" PRId64 " to %" PRId64, field->least,
                 field->most);
        break;
    case MODEL_QUANTITY:
    case MODEL_INTERVAL:
        snprintf(text, FORM_SIZE, "a number%s%s%s", field->dimension == EXACT_PURE ? "" : " in ",
                 exact_dimension_units(field->dimension),
                 field->type == MODEL_INTERVAL ? ", with or without a tolerance" : "");
        break;
    default: snprintf(text, FORM_SIZE, "%s", plain[field->type]);
    }
    return text;
}

static void write_sentence(FILE *out, const char *lead, const char *rest)
{
    char text[2 * FORM_SIZE];
    snprintf(text, sizeof text, "%s%s.", lead, rest);
    report_mdoc_text(out, text);
}

static void write_record(FILE *out, const struct model_record *record, const char *path)
{
    fprintf(out, ".Ss %s\n", path);
    report_mdoc_text(out, record->meaning);
    if (record->either[0]) {
        char keys[FORM_SIZE] = "";
        size_t end = 0;
        for (size_t i = 0; i < MODEL_EITHER && record->either[i]; i++) {
            end += (size_t)snprintf(keys + end, sizeof keys - end, "%s%s", i == 0 ? "" : ", ",
                                    record->either[i]);
        }
        write_sentence(out, "At least one of these is there: ", keys);
    }
    for (const struct model_field *field = record->fields; field->key; field++) {
        if (field->instead) {
            fprintf(out, "Either %s or %s is there.\n", field->key, field->instead);
        }
    }
    fputs(".Bl -tag -width Ds\n", out);
    for (const struct model_field *field = record->fields; field->key; field++) {
        char text[FORM_SIZE];
        fprintf(out, ".It Ic %s%s\n", field->key,
                field->required && !field->instead ? "" : " Pq optional");
        report_mdoc_sentence(out, field->meaning);
        write_sentence(out, "Takes ", form(field, text));
        if (field->needs) {
            write_sentence(out, "Needs ", field->needs);
        }
        if (field->standard) {
            write_sentence(out, "Default: ", field->standard);
        }
        if (field->found) {
            write_sentence(out, "Usually found in: ", field->found);
        }
    }
    fputs(".El\n", out);
    for (const struct model_field *field = record->fields; field->key; field++) {
        if (field->record) {
            char below[128];
            snprintf(below, sizeof below, "%s / %s", path, field->key);
            write_record(out, field->record, below);
        }
    }
}

static void write_meshes(FILE *out)
{
    fputs(".Sh GEAR PATHS\n"
          "A path is a list of meshes in their order; each is one of these.\n"
          ".Bl -tag -width Ds\n",
          out);
    for (const struct model_mesh_row *row = model_mesh_rows; row->key; row++) {
        fprintf(out, ".It Ic %s\n", row->key);
        report_mdoc_sentence(out, row->meaning);
        fprintf(out, "Written\n.Li \"%s\" .\n", row->form);
    }
    fputs(".El\n", out);
    write_record(out, &model_bevel_record, "bevel");
    write_record(out, &model_epicyclic_record, "epicyclic");
}

void report_schema_man(FILE *out, enum model_kind kind)
{
    static const char *const headings[MODEL_KINDS] = {
        [MODEL_ENGINE_KIND] = "ENGINE DEFINITION KEYS",
        [MODEL_CROSS_CHECK_KIND] = "CROSS-CHECK KEYS",
        [MODEL_DEVICE_KIND] = "DEVICE PROFILE KEYS",
        [MODEL_POLICY_KIND] = "POLICY KEYS",
        [MODEL_REGISTER_KIND] = "SOURCE REGISTER KEYS"};
    fprintf(out, ".Sh %s\n", headings[kind]);
    write_record(out, model_kinds[kind].record, model_kinds[kind].key);
    if (kind == MODEL_ENGINE_KIND) {
        write_meshes(out);
    }
}
