#include "slips/slip.h"

#include "exact/unit.h"

#include <string.h>

const struct slips_kind_row slips_kinds[SLIPS_KINDS] = {
    [SLIPS_BESIDE] = {"key-beside", "a digit becomes one beside it on the number row or the keypad",
                      "The keypad has 7, 8 and 9 at its top, and 0 below 1 and 2."},
    [SLIPS_TRANSPOSED] = {"digits-transposed", "two digits beside each other change places",
                          "92 becomes 29."},
    [SLIPS_DROPPED] = {"digit-dropped", "one of several digits is left out", "131 becomes 31."},
    [SLIPS_DOUBLED] = {"digit-doubled", "a digit is written twice", "31 becomes 331."},
    [SLIPS_POINT] = {"point-moved", "the decimal point moves by one digit",
                     "3.2 becomes 0.32 or 32."},
    [SLIPS_LINE] = {"line-beside", "the value of the line above or below is read",
                    "It is the same key of the part before or after this one."},
    [SLIPS_UNIT] = {"other-unit", "the number keeps its digits and gets another unit",
                    "Each other unit is tried that the key takes."},
    [SLIPS_WORD] = {"other-word", "another word of the key is written",
                    "Each other sense, view, direction, member, square, role, spool is tried."},
    [SLIPS_OTHER_END] = {"other-end", "the value is read from the other end",
                         "4:30 becomes 7:30.  An angle that can have either sign changes it."},
    [SLIPS_SWAPPED] = {"ends-swapped", "the two ends of a pair change places",
                       "Pairs are pad and rotor, the first and the last gear of a mesh, and the "
                       "input and the output of an epicyclic set."},
    [SLIPS_IDLER] = {"idler-dropped", "a gear between two others is left out",
                     "The sense changes, and the ratio does not."},
};

/* The value that slips are made of. */
struct making {
    struct slips_list *list;
    size_t value;     /* its index */
    size_t first;     /* its first slip */
    size_t from, to;  /* its bytes in the file */
    const char *text; /* the same bytes, terminated */
};

/* ---- adding slips ------------------------------------------------------------------------------
 */

static bool same_edits(const struct slips_slip *a, const struct slips_slip *b)
{
    bool same = a->edit_count == b->edit_count;
    for (size_t i = 0; same && i < a->edit_count; i++) {
        same = a->edits[i].from == b->edits[i].from && a->edits[i].to == b->edits[i].to &&
               a->edits[i].text && b->edits[i].text &&
               strcmp(a->edits[i].text, b->edits[i].text) == 0;
    }
    return same;
}

static void add(struct making *making, const struct slips_slip *slip)
{
    struct slips_list *list = making->list;
    for (size_t i = making->first; i < list->count; i++) {
        if (same_edits(&list->slips[i], slip)) {
            return;
        }
    }
    list->slips =
        arena_grow(list->arena, list->slips, list->count, &list->capacity, sizeof *list->slips);
    list->slips[list->count++] = *slip;
}

/* The whole value becomes another text. */
static void add_text(struct making *making, enum slips_kind kind, const char *text)
{
    if (strcmp(text, making->text) == 0) {
        return;
    }
    const struct slips_slip slip = {.kind = kind,
                                    .value = making->value,
                                    .edits = {{making->from, making->to, text, making->value}},
                                    .edit_count = 1,
                                    .written = text};
    add(making, &slip);
}

/* Bytes [from, to) of the value's text become `with`. */
static void add_part(struct making *making, enum slips_kind kind, size_t from, size_t to,
                     const char *with)
{
    add_text(making, kind,
             arena_printf(making->list->arena, "%.*s%s%s", (int)from, making->text, with,
                          making->text + to));
}

/* ---- digits ------------------------------------------------------------------------------------
 */

static bool is_digit(char c)
{
    return c >= '0' && c <= '9';
}

/* The keys beside each digit: on the number row, and on a keypad with 7 8 9 above and 0 below. */
static const char *const keys_beside[10] = {"912",  "240",  "1350", "246", "3571",
                                            "4682", "5793", "684",  "795", "806"};

static void slip_digit(struct making *making, size_t at)
{
    const char *text = making->text;
    char two[3] = {text[at], text[at], '\0'};
    for (const char *key = keys_beside[text[at] - '0']; *key; key++) {
        const char other[2] = {*key, '\0'};
        add_part(making, SLIPS_BESIDE, at, at + 1, other);
    }
    if (is_digit(text[at + 1])) {
        const char swapped[3] = {text[at + 1], text[at], '\0'};
        add_part(making, SLIPS_TRANSPOSED, at, at + 2, swapped);
    }
    if ((at > 0 && is_digit(text[at - 1])) || is_digit(text[at + 1])) {
        add_part(making, SLIPS_DROPPED, at, at + 1, "");
    }
    add_part(making, SLIPS_DOUBLED, at, at + 1, two);
}

static void slip_point(struct making *making, size_t at)
{
    const char *text = making->text;
    if (at > 0 && is_digit(text[at - 1])) {
        bool leads = at == 1 || !is_digit(text[at - 2]);
        const char left[4] = {leads ? '0' : '.', leads ? '.' : text[at - 1],
                              leads ? text[at - 1] : '\0', '\0'};
        add_part(making, SLIPS_POINT, at - 1, at + 1, left);
    }
    if (is_digit(text[at + 1])) {
        bool ends = !is_digit(text[at + 2]);
        const char right[3] = {text[at + 1], ends ? '\0' : '.', '\0'};
        add_part(making, SLIPS_POINT, at, at + 2, right);
    }
}

/* Slips in every digit and point of the first `length` bytes. */
static void slip_digits(struct making *making, size_t length)
{
    for (size_t i = 0; i < length; i++) {
        if (is_digit(making->text[i])) {
            slip_digit(making, i);
        } else if (making->text[i] == '.') {
            slip_point(making, i);
        }
    }
}

/* ---- words, units, neighbours ------------------------------------------------------------------
 */

/* Whether a row above has the same value: a square has a name in inches and one in millimetres. */
static bool is_second_name(const struct model_word_row *words, const struct model_word_row *row)
{
    for (const struct model_word_row *other = words; other != row; other++) {
        if (other->value == row->value) {
            return true;
        }
    }
    return false;
}

/* The quote around the value's text, or an empty text. */
static const char *quote_of(const struct making *making)
{
    return making->text[0] == '"' ? "\"" : making->text[0] == '\'' ? "'" : "";
}

static void slip_words(struct making *making, const struct model_word_row *words, int value)
{
    const char *quote = quote_of(making);
    for (const struct model_word_row *row = words; row->word && !row->alias; row++) {
        if (row->value != value && !is_second_name(words, row)) {
            add_text(making, SLIPS_WORD,
                     arena_printf(making->list->arena, "%s%s%s", quote, row->word, quote));
        }
    }
}

static void slip_reference(struct making *making, const struct model_field *field)
{
    const struct model_engine *engine = making->list->engine;
    const char *quote = quote_of(making);
    for (size_t i = 0; i < model_listed_count(engine, field->refers); i++) {
        add_text(making, SLIPS_WORD,
                 arena_printf(making->list->arena, "%s%s%s", quote,
                              model_listed_id(engine, field->refers, i)->text, quote));
    }
}

/* Where the unit begins in a quantity as written; its end where it has none. */
static size_t unit_in(const char *text, const char *unit)
{
    const char *at = *unit ? strstr(text, unit) : NULL;
    return at ? (size_t)(at - text) : strlen(text);
}

static void slip_unit(struct making *making, const struct model_quantity *quantity)
{
    const struct exact_unit_row *own = exact_unit_row(quantity->written.unit);
    size_t at = unit_in(making->text, own->name);
    for (int unit = 0; *own->name && unit < EXACT_UNIT_COUNT; unit++) {
        const struct exact_unit_row *row = exact_unit_row((enum exact_unit)unit);
        if (row->dimension == own->dimension && row != own) {
            add_part(making, SLIPS_UNIT, at, at + strlen(own->name), row->name);
        }
    }
    slip_digits(making, at);
}

/* The same key of the part before or after. */
static void slip_line(struct making *making)
{
    const struct slips_list *list = making->list;
    const struct model_value *value = &list->values[making->value];
    for (size_t i = 0; i < list->value_count; i++) {
        const struct model_value *other = &list->values[i];
        bool beside = other->index + 1 == value->index || other->index == value->index + 1;
        if (other->shape == value->shape && other->list == value->list && beside &&
            strcmp(other->key, value->key) == 0) {
            add_text(making, SLIPS_LINE, list->texts[i]);
        }
    }
}

/* ---- the other end -----------------------------------------------------------------------------
 */

static void slip_clock(struct making *making, const struct model_code *clock)
{
    int mirrored = (720 - clock->value) % 720;
    int hour = mirrored / 60 == 0 ? 12 : mirrored / 60;
    const char *quote = quote_of(making);
    add_text(making, SLIPS_OTHER_END,
             arena_printf(making->list->arena, "%s%d:%02d%s", quote, hour, mirrored % 60, quote));
    slip_digits(making, strlen(making->text));
}

/* An angle that may have either sign, measured the other way round. */
static void slip_sign(struct making *making)
{
    size_t at = strlen(quote_of(making));
    if (making->text[at] == '-') {
        add_part(making, SLIPS_OTHER_END, at, at + 1, "");
    } else if (is_digit(making->text[at])) {
        add_part(making, SLIPS_OTHER_END, at, at, "-");
    }
}

/* ---- pairs and rows ----------------------------------------------------------------------------
 */

static size_t offset_of(const struct making *making, uint32_t line, uint32_t column)
{
    return text_file_offset(making->list->file, line, column);
}

/* The value that is written at a place; SLIPS_NO_VALUE: a part of one. */
static size_t value_at(const struct making *making, const struct model_at *at)
{
    size_t i = 0;
    while (i < making->list->value_count && making->list->values[i].at != at) {
        i++;
    }
    return i < making->list->value_count ? i : SLIPS_NO_VALUE;
}

/* One end of a pair gets the text of the other. */
static struct slips_edit edit_end(const struct making *making, const struct model_at *at,
                                  const char *text)
{
    return (struct slips_edit){offset_of(making, at->span.line, at->span.column),
                               offset_of(making, at->span.end_line, at->span.end_column), text,
                               value_at(making, at)};
}

static void slip_pair(struct making *making, const struct model_at *one,
                      const struct model_at *other)
{
    if (one->state != MODEL_GIVEN || other->state != MODEL_GIVEN) {
        return;
    }
    struct arena *arena = making->list->arena;
    const char *first = text_file_at(arena, one->span, false);
    const char *second = text_file_at(arena, other->span, false);
    struct slips_edit a = edit_end(making, one, second);
    struct slips_edit b = edit_end(making, other, first);
    struct slips_slip slip = {.kind = SLIPS_SWAPPED,
                              .value = making->value,
                              .edits = {a, b},
                              .edit_count = 2,
                              .written = arena_printf(arena, "%s and %s", second, first)};
    if (a.from > b.from) {
        slip.edits[0] = b;
        slip.edits[1] = a;
    }
    if (strcmp(first, second) != 0) {
        add(making, &slip);
    }
}

static void slip_idler(struct making *making, const struct model_mesh *mesh, size_t idler)
{
    const struct span *here = &mesh->teeth[idler].at.span;
    const struct span *next = &mesh->teeth[idler + 1].at.span;
    struct slips_slip slip = {
        .kind = SLIPS_IDLER,
        .value = making->value,
        .edits = {{offset_of(making, here->line, here->column),
                   offset_of(making, next->line, next->column), "", SLIPS_NO_VALUE}},
        .edit_count = 1,
        .written = arena_printf(making->list->arena, "without %s",
                                text_file_at(making->list->arena, *here, false))};
    add(making, &slip);
}

static void slip_row(struct making *making, const struct model_mesh *mesh)
{
    if (mesh->teeth_count < 2) {
        return;
    }
    slip_pair(making, &mesh->teeth[0].at, &mesh->teeth[mesh->teeth_count - 1].at);
    for (size_t i = 1; i + 1 < mesh->teeth_count; i++) {
        slip_idler(making, mesh, i);
    }
}

static void slip_group(struct making *making, const struct model_value *value)
{
    const struct model_record *record = value->field->record;
    if (value->field->type == MODEL_PATH) { /* an epicyclic mesh */
        const struct model_mesh *mesh = value->value;
        slip_pair(making, &mesh->in.at, &mesh->out.at);
    } else if (record->fields[0].type == MODEL_INTERVAL && record->fields[1].key &&
               record->fields[1].type == MODEL_INTERVAL && !record->fields[2].key) {
        const char *at = value->value;
        slip_pair(making, (const void *)(at + record->fields[0].offset),
                  (const void *)(at + record->fields[1].offset));
    }
}

/* ---- all of them -------------------------------------------------------------------------------
 */

static void slip_scalar(struct making *making, const struct model_value *value)
{
    const struct model_field *field = value->field;
    switch (field->type) {
    case MODEL_INTEGER: slip_digits(making, strlen(making->text)); break;
    case MODEL_QUANTITY:
    case MODEL_INTERVAL:
        slip_unit(making, value->value);
        if (field->sign == MODEL_ANY_SIGN) {
            slip_sign(making);
        }
        break;
    case MODEL_CLOCK: slip_clock(making, value->value); break;
    case MODEL_BACKS:
    case MODEL_WORD:
        slip_words(making, field->words, ((const struct model_code *)value->value)->value);
        break;
    case MODEL_ID: slip_reference(making, field); break;
    default: break;
    }
    slip_line(making);
}

static void slip_value(struct slips_list *list, size_t index)
{
    const struct model_value *value = &list->values[index];
    struct making making = {.list = list, .value = index, .first = list->count};
    making.text = list->texts[index];
    making.from = offset_of(&making, value->at->span.line, value->at->span.column);
    making.to = offset_of(&making, value->at->span.end_line, value->at->span.end_column);
    switch (value->shape) {
    case MODEL_SCALAR: slip_scalar(&making, value); break;
    case MODEL_TOOTH:
        slip_digits(&making, strlen(making.text));
        slip_line(&making);
        break;
    case MODEL_ROW: slip_row(&making, value->value); break;
    case MODEL_GROUP: slip_group(&making, value); break;
    }
}

static void keep_value(void *context, const struct model_value *value)
{
    struct slips_list *list = context;
    size_t kept = list->value_count++;
    list->values =
        arena_grow(list->arena, list->values, kept, &list->value_capacity, sizeof *list->values);
    list->texts =
        arena_grow(list->arena, list->texts, kept, &list->text_capacity, sizeof *list->texts);
    list->values[kept] = *value;
    list->texts[kept] = text_file_at(list->arena, value->at->span, false);
}

/*
 * Finds where one more observation goes: before the first one, or after everything else.  A file
 * that is one map in flow style, as JSON is, takes none.
 */
static void place_observation(struct slips_list *list)
{
    const struct model_at *at = &list->engine->observations.at;
    const struct text_file *file = list->file;
    size_t begin = text_file_offset(file, at->span.line, at->span.column);
    size_t first = text_file_offset(file, list->engine->version.at.key.line,
                                    list->engine->version.at.key.column);
    bool flow = file->bytes[first] == '"' || (first > 0 && file->bytes[first - 1] == '{');
    if (at->state == MODEL_GIVEN && file->bytes[begin] == '-') {
        list->observation_at = begin;
        list->before_observation = "- ";
        list->after_observation = arena_printf(list->arena, "\n%*s", (int)at->span.column - 1, "");
    } else if (at->state == MODEL_GIVEN && file->bytes[begin] == '[') {
        list->observation_at = begin + 1;
        list->before_observation = "";
        list->after_observation = list->engine->observations.count == 0 ? "" : ", ";
    } else if (at->state == MODEL_ABSENT && !flow) {
        list->observation_at = file->length;
        list->before_observation = "\nobservations:\n  - ";
        list->after_observation = "\n";
    }
}

struct slips_list slips_make(const struct model_engine *engine, const struct text_file *file,
                             struct arena *arena)
{
    struct slips_list list = {.arena = arena, .engine = engine, .file = file};
    place_observation(&list);
    model_each_value(engine, arena, keep_value, &list);
    for (size_t i = 0; i < list.value_count; i++) {
        slip_value(&list, i);
    }
    return list;
}

/* The edits of the slip and of the observation, in the order of their places; how many. */
static size_t all_edits(const struct slips_list *list, const struct slips_slip *slip,
                        const char *observation, struct arena *arena,
                        struct slips_edit edits[SLIPS_EDITS + 1])
{
    size_t count = slip->edit_count;
    memcpy(edits, slip->edits, sizeof slip->edits);
    if (observation && list->before_observation) {
        size_t at = count++;
        for (; at > 0 && edits[at - 1].from >= list->observation_at; at--) {
            edits[at] = edits[at - 1];
        }
        edits[at] = (struct slips_edit){list->observation_at, list->observation_at,
                                        arena_printf(arena, "%s%s%s", list->before_observation,
                                                     observation, list->after_observation),
                                        SLIPS_NO_VALUE};
    }
    return count;
}

const char *slips_text(const struct slips_list *list, const struct slips_slip *slip,
                       const char *observation, struct arena *arena, size_t *length)
{
    const struct text_file *file = list->file;
    struct slips_edit edits[SLIPS_EDITS + 1];
    size_t count = all_edits(list, slip, observation, arena, edits);
    size_t size = file->length;
    for (size_t i = 0; i < count; i++) {
        size += strlen(edits[i].text);
    }
    char *text = arena_alloc(arena, size + 1);
    size_t at = 0, end = 0;
    for (size_t i = 0; i < count; i++) {
        memcpy(text + end, file->bytes + at, edits[i].from - at);
        end += edits[i].from - at;
        memcpy(text + end, edits[i].text, strlen(edits[i].text));
        end += strlen(edits[i].text);
        at = edits[i].to;
    }
    memcpy(text + end, file->bytes + at, file->length - at);
    *length = end + file->length - at;
    return text;
}
