/*
 * schema_man.c - the field tables as sections of rotor-definition(5).
 */
#include "report/schema.h"

#include "model/mesh.h"
#include "report/mdoc.h"

#include <inttypes.h>

/* What a key takes, in words. */
static void write_form(FILE *out, const struct model_field *field)
{
    switch (field->type) {
    case MODEL_VERSION:
        fputs("the number 1", out);
        break;
    case MODEL_FILE_ID:
        fputs("an id in lower case", out);
        break;
    case MODEL_ID:
        fputs("an id", out);
        break;
    case MODEL_TEXT:
        fputs("one line of text", out);
        break;
    case MODEL_PROSE:
        fputs("text", out);
        break;
    case MODEL_WORD: {
        const struct model_word_row *row = field->words;
        for (; row->word && !row->alias; row++) {
            fprintf(out, "%s%s", row == field->words ? "" : ", ", row->word);
        }
        break;
    }
    case MODEL_INTEGER:
        fprintf(out, "a whole number, %" PRId64 " to %" PRId64, field->least, field->most);
        break;
    case MODEL_QUANTITY:
    case MODEL_INTERVAL:
        fprintf(out, "a number%s%s%s", field->dimension == EXACT_PURE ? "" : " in ",
                field->dimension == EXACT_PURE ? "" : exact_dimension_units(field->dimension),
                field->type == MODEL_INTERVAL ? ", with or without a tolerance" : "");
        break;
    case MODEL_CLOCK:
        fputs("a clock position, 1:00 to 12:59", out);
        break;
    case MODEL_DATE:
        fputs("a date, YYYY-MM-DD", out);
        break;
    case MODEL_RULE:
        fputs("the id of a rule", out);
        break;
    case MODEL_RECORD:
        fputs("keys and values, see below", out);
        break;
    case MODEL_TEXTS:
        fputs("a list of texts", out);
        break;
    case MODEL_RECORDS:
        fputs("a list, see below", out);
        break;
    case MODEL_ONE_OR_MORE:
        fputs("one of these or a list of them, see below", out);
        break;
    case MODEL_PATH:
        fputs("a list of meshes, see", out);
        break;
    case MODEL_BACKS:
        fputs("two of forward, aft, up, down, left, right", out);
        break;
    case MODEL_TEETH:
        fputs("two tooth counts", out);
        break;
    case MODEL_SEVERITIES:
        fputs("rule ids, each with error, warning, note or off", out);
        break;
    }
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
        fprintf(out, ".It Ic %s%s\n", field->key, field->required ? "" : " Pq optional");
        mdoc_sentence(out, field->meaning);
        fputs("Takes ", out);
        write_form(out, field);
        fputs(field->type == MODEL_PATH ? "\n.Sx GEAR PATHS .\n" : ".\n", out);
        if (field->found) {
            fputs("Usually found in ", out);
            mdoc_text(out, field->found);
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
