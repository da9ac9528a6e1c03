/*
 * schema_man.c - the field tables as sections of rotor-definition(5).
 */
#include "report/schema.h"

#include "model/field.h"
#include "report/mdoc.h"

#include <inttypes.h>

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

/* What a key takes, in words.  Returns text. */
static const char *form(const struct model_field *field, char text[FORM_SIZE])
{
    static const char *const plain[] = {
        [MODEL_VERSION] = "the number 1",
        [MODEL_FILE_ID] = "an id in lower case",
        [MODEL_ID] = "an id",
        [MODEL_TEXT] = "one line of text",
        [MODEL_PROSE] = "text",
        [MODEL_CLOCK] = "a clock position, 1:00 to 12:59",
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
    case MODEL_WORD: list_words(field->words, text); break;
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
    mdoc_text(out, text);
}

static void write_record(FILE *out, const struct model_record *record, const char *path)
{
    fprintf(out, ".Ss %s\n", path);
    mdoc_text(out, record->meaning);
    if (record->either[0]) {
        fputs("At least one of these is there:", out);
        for (size_t i = 0; i < MODEL_EITHER && record->either[i]; i++) {
            fprintf(out, "%s %s", i == 0 ? "" : ",", record->either[i]);
        }
        fputs(".\n", out);
    }
    fputs(".Bl -tag -width Ds\n", out);
    for (const struct model_field *field = record->fields; field->key; field++) {
        char text[FORM_SIZE];
        fprintf(out, ".It Ic %s%s\n", field->key, field->required ? "" : " Pq optional");
        mdoc_sentence(out, field->meaning);
        write_sentence(out, "Takes ", form(field, text));
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
        mdoc_sentence(out, row->meaning);
        fprintf(out, "Written\n.Li \"%s\" .\n", row->form);
    }
    fputs(".El\n", out);
    write_record(out, &model_bevel_record, "bevel");
    write_record(out, &model_epicyclic_record, "epicyclic");
}

void report_schema_man(FILE *out, enum model_kind kind)
{
    static const char *const headings[MODEL_KINDS] = {"ENGINE DEFINITION KEYS",
                                                      "DEVICE PROFILE KEYS", "POLICY KEYS"};
    fprintf(out, ".Sh %s\n", headings[kind]);
    write_record(out, model_kinds[kind].record, model_kinds[kind].key);
    if (kind == MODEL_ENGINE_KIND) {
        write_meshes(out);
    }
}
