#include "report/template.h"

#include <string.h>

bool report_template_has_ids(const struct model_field *field)
{
    return field->type == MODEL_RECORDS && model_has_id(field->record);
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

/* Comment lines below a key: the lines of an example, or each kind of mesh. */
static void write_lines(const struct template *t, const struct model_field *field, int depth)
{
    for (const char *line = field->example; line && *line;) {
        size_t length = strcspn(line, "\n");
        indent(t, depth);
        fprintf(t->out, "#   %.*s\n", (int)length, line);
        line += length + (line[length] == '\n' ? 1 : 0);
    }
    const struct model_mesh_row *row = field->type == MODEL_PATH ? model_mesh_rows : NULL;
    for (; row && row->key; row++) {
        indent(t, depth);
        fprintf(t->out, "#   - %s  # %s\n", row->form, row->meaning);
    }
}

/* An optional key as a comment, with an example of its value; the first line is indented. */
static void write_comment_key(const struct template *t, const struct model_field *field, int depth)
{
    bool beside = field->example && !strchr(field->example, '\n');
    if (field->example || field->type == MODEL_PATH) {
        fputs("# for example:\n", t->out);
        indent(t, depth);
    }
    fprintf(t->out, "# %s:%s%s\n", field->key, beside ? " " : "", beside ? field->example : "");
    if (!beside) {
        write_lines(t, field, depth);
    }
}

void report_template_comment(FILE *out, const struct model_field *field, int depth,
                             struct arena *arena)
{
    fprintf(out, "%*s", 2 * depth, "");
    fprintf(out, "# %s", field->meaning);
    const struct model_word_row *row = field->words;
    for (bool first = true; row && row->word && !row->alias; row++, first = false) {
        fprintf(out, "%s%s", first ? " (" : ", ", row->word);
    }
    if (field->words && field->record) {
        fprintf(out, ", or {%s}", model_record_form(arena, field->record));
    }
    fputs(field->words ? ")" : "", out);
    if (field->type == MODEL_QUANTITY || field->type == MODEL_INTERVAL) {
        const char *units = exact_dimension_units(field->dimension);
        fprintf(out, "%s%s", *units ? ", in " : "", units);
    }
    if (field->standard) {
        fprintf(out, "; default: %s", field->standard);
    }
    fputc('\n', out);
    if (field->found) {
        fprintf(out, "%*s", 2 * depth, "");
        fprintf(out, "# usually found in: %s\n", field->found);
    }
}

static void write_comment(const struct template *t, const struct model_field *field, int depth)
{
    report_template_comment(t->out, field, depth, t->arena);
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

/* Whether a value can have parts; it may then be given as YAML in one line. */
static bool has_parts(const struct model_field *field)
{
    return field->record || field->type == MODEL_PATH || field->type == MODEL_TEXTS ||
           field->type == MODEL_SEVERITIES;
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

/* The way to a key of the record at `path`. */
static const char *key_path(const struct template *t, const char *path,
                            const struct model_field *field)
{
    return *path ? arena_printf(t->arena, "%s/%s", path, field->key) : field->key;
}

/* Whether a key of the record is known beside which nobody asks for this one. */
static bool is_pointless(const struct template *t, const struct model_record *record,
                         const struct model_field *field, const char *path)
{
    for (const struct model_field *other = record->fields; field->unless && other->key; other++) {
        if (strcmp(other->key, field->unless) == 0) {
            return t->fill(t->context, key_path(t, path, other), other);
        }
    }
    return false;
}

static bool is_either(const struct model_record *record, const struct model_field *field)
{
    return record->either[0] && strcmp(record->either[0], field->key) == 0;
}

static void write_field(const struct template *t, const struct model_record *record,
                        const struct model_field *field, const char *path, const char *id,
                        int depth)
{
    const char *here = key_path(t, path, field);
    bool wanted = (field->required || field->asked_for || is_either(record, field)) &&
                  !is_pointless(t, record, field, path);
    if (report_template_has_ids(field) && !is_pointless(t, record, field, path)) {
        write_comment(t, field, depth);
        write_list(t, field, here, depth);
        return;
    }
    const char *value = strcmp(field->key, "id") == 0 && *id ? id : NULL;
    if (!value && field->type == MODEL_VERSION) {
        value = "1";
    }
    if (!value) {
        value = t->fill(t->context, here, field);
    }
    write_comment(t, field, depth);
    if (wanted && is_either(record, field) && record->either[1] && !record->either[2]) {
        indent(t, depth);
        fprintf(t->out, "# %s or %s is needed; delete %s if only %s is known\n", field->key,
                record->either[1], field->key, record->either[1]);
    }
    indent(t, depth);
    if (field->type == MODEL_RECORD && (value ? !*value : wanted)) {
        fprintf(t->out, "%s:\n", field->key);
        write_record(t, field->record, here, "", depth + 1, false);
    } else if (value) {
        fprintf(t->out, "%s:", field->key);
        write_value(t, field, value);
    } else if (wanted) {
        fprintf(t->out, "%s:%s%s\n", field->key, field->example ? "  # for example: " : "",
                field->example ? field->example : "");
    } else {
        write_comment_key(t, field, depth);
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
