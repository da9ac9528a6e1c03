#include "report/template.h"

#include <string.h>

bool report_template_has_ids(const struct model_field *field)
{
    return field->type == MODEL_RECORDS && strcmp(field->record->fields[0].key, "id") == 0;
}

struct template
{
    FILE *out;
    report_fill *fill;
    void *context;
    struct arena *arena;
};

static void indent(const struct template *t, int depth)
{
    fprintf(t->out, "%*s", 2 * depth, "");
}

/* The comment above a key: its meaning, the words it takes, and where it is found. */
static void write_comment(const struct template *t, const struct model_field *field, int depth)
{
    indent(t, depth);
    fprintf(t->out, "# %s", field->meaning);
    const struct model_word_row *row = field->words;
    for (bool first = true; row && row->word && !row->alias; row++, first = false) {
        fprintf(t->out, "%s%s", first ? ": " : ", ", row->word);
    }
    if (field->type == MODEL_QUANTITY || field->type == MODEL_INTERVAL) {
        const char *units = exact_dimension_units(field->dimension);
        fprintf(t->out, "%s%s", *units ? ", in " : "", units);
    }
    if (field->standard) {
        fprintf(t->out, "; default: %s", field->standard);
    }
    fputc('\n', t->out);
    if (field->found) {
        indent(t, depth);
        fprintf(t->out, "# usually found in: %s\n", field->found);
    }
}

/* Letters, digits and the marks between them in names and quantities need no quotes. */
static bool is_plain(const char *value)
{
    static const char plain[] = "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789"
                                " ./%+-";
    size_t length = strlen(value);
    return length != 0 && strspn(value, plain) == length && value[0] != ' ' && value[0] != '-' &&
           value[0] != '%' && value[length - 1] != ' ';
}

/* One value, in quotes where it needs them. */
static void write_scalar(const struct template *t, const char *value)
{
    if (is_plain(value)) {
        fputs(value, t->out);
        return;
    }
    fputc('"', t->out);
    for (; *value; value++) {
        if (*value == '"' || *value == '\\') {
            fputc('\\', t->out);
        }
        fputc(*value, t->out);
    }
    fputc('"', t->out);
}

/* The next of several texts with commas between them, without the blanks around it. */
static const char *next_text(const struct template *t, const char **texts)
{
    const char *from = *texts + strspn(*texts, " ");
    size_t length = strcspn(from, ",");
    size_t end = length;
    while (end != 0 && from[end - 1] == ' ') {
        end--;
    }
    *texts = from + length + (from[length] == ',' ? 1 : 0);
    return arena_copy(t->arena, from, end);
}

/* Texts with commas between them, as a list. */
static void write_texts(const struct template *t, const char *texts)
{
    const char *between = "[";
    while (*texts) {
        fputs(between, t->out);
        write_scalar(t, next_text(t, &texts));
        between = ", ";
    }
    fputs(*between == '[' ? "[]" : "]", t->out);
}

/* Whether a value of the type has parts; it may then be given as YAML in one line. */
static bool has_parts(const struct model_field *field)
{
    switch (field->type) {
    case MODEL_PATH:
    case MODEL_TEXTS:
    case MODEL_RECORDS:
    case MODEL_ONE_OR_MORE:
    case MODEL_SEVERITIES: return true;
    default: return field->record != NULL;
    }
}

static void write_value(const struct template *t, const struct model_field *field,
                        const char *value)
{
    fputc(' ', t->out);
    if (has_parts(field) && (value[0] == '[' || value[0] == '{')) {
        fputs(value, t->out);
    } else if (field->type == MODEL_TEXTS) {
        write_texts(t, value);
    } else {
        write_scalar(t, value);
    }
    fputc('\n', t->out);
}

static void write_record(const struct template *t, const struct model_record *record,
                         const char *path, const char *id, int depth, bool in_list);

/* A list of records that carry ids: one for each id that is known, or a blank one. */
static void write_list(const struct template *t, const struct model_field *field, const char *path,
                       int depth)
{
    const char *ids = t->fill(t->context, path, field);
    indent(t, depth);
    fprintf(t->out, "%s:\n", field->key);
    do {
        const char *id = ids ? next_text(t, &ids) : "";
        const char *below = arena_printf(t->arena, "%s/%s", path, id);
        write_record(t, field->record, below, id, depth + 1, true);
    } while (ids && ids[strspn(ids, " ")] != '\0');
}

static bool is_either(const struct model_record *record, const struct model_field *field)
{
    return record->either[0] && strcmp(record->either[0], field->key) == 0;
}

static void write_field(const struct template *t, const struct model_record *record,
                        const struct model_field *field, const char *path, const char *id,
                        int depth)
{
    const char *here = *path ? arena_printf(t->arena, "%s/%s", path, field->key) : field->key;
    bool wanted = field->required || field->asked_for || is_either(record, field);
    if (report_template_has_ids(field)) {
        write_comment(t, field, depth);
        write_list(t, field, here, depth);
        return;
    }
    const char *value = strcmp(field->key, "id") == 0 && *id ? id : NULL;
    if (!value && field->type == MODEL_VERSION) {
        value = "1";
    }
    if (!value && !(wanted && field->type == MODEL_RECORD)) {
        value = t->fill(t->context, here, field);
    }
    write_comment(t, field, depth);
    indent(t, depth);
    if ((wanted || value) && field->type == MODEL_RECORD) {
        fprintf(t->out, "%s:\n", field->key);
        write_record(t, field->record, here, "", depth + 1, false);
    } else if (value) {
        fprintf(t->out, "%s:", field->key);
        write_value(t, field, value);
    } else {
        fprintf(t->out, "%s%s:\n", wanted ? "" : "# ", field->key);
    }
}

static void write_record(const struct template *t, const struct model_record *record,
                         const char *path, const char *id, int depth, bool in_list)
{
    for (const struct model_field *field = record->fields; field->key; field++) {
        if (in_list && field == record->fields) {
            indent(t, depth);
            fprintf(t->out, "- %s:", field->key);
            if (*id) {
                write_value(t, field, id);
            } else {
                fprintf(t->out, "  # %s\n", field->meaning);
            }
            continue;
        }
        write_field(t, record, field, path, id, in_list ? depth + 1 : depth);
    }
}

void report_template(FILE *out, enum model_kind kind, report_fill *fill, void *context,
                     struct arena *arena)
{
    const struct template t = {out, fill, context, arena};
    fprintf(out, "# %s\n# Fill in the blanks; 'rotortab check' says what is missing.\n",
            model_kinds[kind].record->meaning);
    write_record(&t, model_kinds[kind].record, "", "", 0, false);
}
