#include "report/form.h"

#include "report/template.h"

#include <string.h>

struct writing {
    FILE *out;
    struct arena *arena;
    bool explained[64]; /* one a row of the list: its meaning was written */
};

static void indent(FILE *out, int depth)
{
    fprintf(out, "%*s", 2 * depth, "");
}

/* What the second reader needs to know of a key, the first time that it is asked for. */
static void explain(const struct writing *writing, const struct model_field *field, int depth)
{
    report_template_comment(writing->out, field, depth, writing->arena);
    for (const struct model_mesh_row *row = model_mesh_rows; field->type == MODEL_PATH && row->key;
         row++) {
        indent(writing->out, depth);
        fprintf(writing->out, "#   - %s  # %s\n", row->form, row->meaning);
    }
}

static const struct model_at *at_of(const struct model_field *field, const void *object)
{
    return (const void *)((const char *)object + field->offset);
}

/* The keys of a record in one line, each with a blank: "{sense: , view: }". */
static void write_blanks(FILE *out, const struct model_record *record, const void *object)
{
    const char *between = "{";
    for (const struct model_field *field = record->fields; field->key; field++) {
        const struct model_at *at = at_of(field, object);
        if (at->state == MODEL_ABSENT || field->type == MODEL_TEXT) {
            continue; /* a text for people is not read twice */
        }
        bool id = field == record->fields && model_has_id(record);
        fprintf(out, "%s%s: %s", between, field->key,
                id ? ((const struct model_text *)(const void *)at)->text : "");
        between = ", ";
    }
    fputs(*between == '{' ? "{}\n" : "}\n", out);
}

/* A list of records: those with ids by name, else as many blanks as there are. */
static void write_list(FILE *out, const struct model_field *field, const struct model_list *list,
                       int depth)
{
    fprintf(out, "%s:\n", field->key);
    for (size_t i = 0; i < list->count; i++) {
        indent(out, depth + 1);
        fputs("- ", out);
        write_blanks(out, field->record, (const char *)list->items + i * field->record->size);
    }
}

static void write_record(struct writing *writing, const struct model_record *record,
                         const void *object, int depth, bool explaining)
{
    size_t row = 0;
    for (const struct model_field *field = record->fields; field->key; field++, row++) {
        const struct model_at *at = at_of(field, object);
        if (at->state == MODEL_ABSENT || (field == record->fields && model_has_id(record))) {
            continue;
        }
        if (explaining && !writing->explained[row]) {
            writing->explained[row] = true;
            explain(writing, field, depth);
        }
        indent(writing->out, depth);
        if (field->type == MODEL_RECORDS || field->type == MODEL_ONE_OR_MORE) {
            write_list(writing->out, field, (const void *)at, depth);
        } else if (field->type == MODEL_RECORD) {
            fprintf(writing->out, "%s:\n", field->key);
            write_record(writing, field->record, at, depth + 1, false);
        } else {
            fprintf(writing->out, "%s:\n", field->key);
        }
    }
}

static void write_parts(FILE *out, const struct model_engine *engine, enum model_listed list,
                        struct arena *arena)
{
    struct writing writing = {.out = out, .arena = arena};
    const struct model_field *field = model_cross_check_parts(list);
    const char *items =
        ((const struct model_list *)(const void *)at_of(model_listed_field(list), engine))->items;
    size_t count = model_listed_count(engine, list);
    if (count == 0) {
        return;
    }
    fprintf(out, "\n# %s\n%s:\n", field->meaning, field->key);
    for (size_t i = 0; i < count; i++) {
        fprintf(out, "  - id: %s\n", model_listed_id(engine, list, i)->text);
        write_record(&writing, field->record, items + i * field->record->size, 2, true);
    }
}

void report_cross_check_form(FILE *out, const struct model_engine *engine, struct arena *arena)
{
    fprintf(out,
            "# %s\n# Read each value in the source, and not in the definition. Delete a key that "
            "you cannot read.\ncross-check: 1\nof: {id: %s, revision: %lld}\n",
            model_cross_check_record.meaning, engine->id.text, (long long)engine->revision.value);
    for (const struct model_field *field = model_cross_check_record.fields; field->key; field++) {
        if (field->type == MODEL_PROSE || field->type == MODEL_DATE) {
            fprintf(out, "# %s\n%s:\n", field->meaning, field->key);
        }
    }
    for (int list = MODEL_SPOOLS; list <= MODEL_PADS; list++) {
        write_parts(out, engine, (enum model_listed)list, arena);
    }
}
