/*
 * load_scalar.c - single values without numbers: ids, texts, words, dates, clock positions.
 */
#include "model/load_parts.h"

#include "text/near.h"
#include "text/utf8.h"

#include <ctype.h>
#include <string.h>
#include <strings.h>

static bool is_id_letter(char c, bool capitals)
{
    return (c >= 'a' && c <= 'z') || (c >= '0' && c <= '9') || (capitals && c >= 'A' && c <= 'Z');
}

bool model_is_id(const char *text, size_t length, bool capitals)
{
    bool hyphen = true; /* none may come now */
    for (size_t i = 0; i < length; i++) {
        bool is_hyphen = text[i] == '-';
        if ((is_hyphen && hyphen) || (!is_hyphen && !is_id_letter(text[i], capitals))) {
            return false;
        }
        hyphen = is_hyphen;
    }
    return !hyphen && length <= MODEL_ID_MOST;
}

const char *model_id_from(struct arena *arena, const char *name)
{
    const size_t length = strlen(name);
    char *id = arena_alloc(arena, length + 1);
    size_t count = 0;
    for (size_t i = 0; i < length; i++) {
        if (is_id_letter(name[i], true)) {
            id[count++] = (char)tolower((unsigned char)name[i]);
        } else if ((unsigned char)name[i] >= 0x80) {
            return NULL; /* a letter of another script would be lost */
        } else if (count != 0 && id[count - 1] != '-') {
            id[count++] = '-';
        }
    }
    count -= count != 0 && id[count - 1] == '-';
    id[count] = '\0';
    return model_is_id(id, count, false) ? id : NULL;
}

/* What shows as nothing: the white space of Unicode, of which U+0085 was refused before. */
static bool is_blank(uint32_t code)
{
    return code == ' ' || (code >= '\t' && code <= '\r') || code == 0xa0 || code == 0x1680 ||
           (code >= 0x2000 && code <= 0x200a) || code == 0x2028 || code == 0x2029 ||
           code == 0x202f || code == 0x205f || code == 0x3000;
}

/* Whether it is a character of ASCII and no blank. */
static bool is_visible(char c)
{
    return c > ' ' && c < 0x7f;
}

/* Which of a text's characters are blanks. */
struct blanks {
    bool first, last, all;
};

static struct blanks find_blanks(const struct text_node *node)
{
    struct blanks blanks = {.all = true};
    uint32_t code = 0;
    size_t size = 0;
    if (node->length != 0 && is_visible(node->text[0]) &&
        is_visible(node->text[node->length - 1])) {
        return (struct blanks){false, false, false}; /* nearly always */
    }
    for (size_t i = 0; i < node->length; i += size) {
        size = text_utf8_decode(node->text + i, node->length - i, &code);
        blanks.last = is_blank(code);
        blanks.first = i == 0 ? blanks.last : blanks.first;
        blanks.all = blanks.all && blanks.last;
    }
    return blanks;
}

/* A text of one line, as it is shown and looked for. */
static bool check_line(struct model_loader *loader, const struct model_field *field,
                       const struct text_node *node, struct blanks blanks)
{
    if (strpbrk(node->text, "\n\r")) {
        finding_add(loader->findings, RULE_WRONG_SHAPE, node->at, "%s takes one line", field->key);
        return false;
    }
    if (strchr(node->text, '\t')) {
        finding_add(loader->findings, RULE_WRONG_SHAPE, node->at, "%s has a tab in its value",
                    field->key);
        return false;
    }
    if (blanks.first || blanks.last) {
        struct finding *finding =
            finding_add(loader->findings, RULE_WRONG_SHAPE, node->at, "%s %s with a blank",
                        field->key, blanks.first ? "begins" : "ends");
        finding_consequence(
            loader->findings, finding,
            "The blank is not visible, so a person who types the name cannot find it.");
        finding_remedy(loader->findings, finding, "Delete the blank.");
        return false;
    }
    if (text_utf8_count(node->text, node->length) > MODEL_TEXT_MOST) {
        finding_add(loader->findings, RULE_OUT_OF_RANGE, node->at, "%s has more than %d characters",
                    field->key, MODEL_TEXT_MOST);
        return false;
    }
    return true;
}

/* The id of a file is looked for by itself, that of a part in the table and on the sheet. */
static void report_id(struct model_loader *loader, const struct model_field *field,
                      const struct text_node *node)
{
    bool file = field->type == MODEL_FILE_ID;
    struct finding *finding = finding_add(loader->findings, RULE_ID_MALFORMED, node->at,
                                          "%.*s is not an id", text_shown(node), node->text);
    finding_consequence(loader->findings, finding,
                        file ? "The file could not be found by this name."
                             : "The part could not be found by this name in the table or on the "
                               "setup sheet.");
    finding_remedy(loader->findings, finding, "Use %s and single hyphens between them.",
                   file ? "lower-case letters, digits" : "letters, digits");
}

bool model_read_text(struct model_loader *loader, const struct model_field *field,
                     const struct text_node *node, void *out)
{
    struct model_text *text = out;
    bool id = field->type == MODEL_ID || field->type == MODEL_FILE_ID;
    if (!model_want_scalar(loader, field, node, id ? "an id" : "a text")) {
        return false;
    }
    if (id && !model_is_id(node->text, node->length, field->type == MODEL_ID)) {
        report_id(loader, field, node);
        return false;
    }
    if (!id) {
        struct blanks blanks = find_blanks(node);
        if (blanks.all) {
            model_report_blank(loader, field, node, "a text");
            return false;
        }
        if (field->type != MODEL_PROSE && !check_line(loader, field, node, blanks)) {
            return false;
        }
    }
    text->text = node->text;
    text->length = node->length;
    return true;
}

const char *model_word_list(struct arena *arena, const struct model_word_row *words)
{
    const char *list = "";
    for (const struct model_word_row *row = words; row->word && !row->alias; row++) {
        bool last = !row[1].word || row[1].alias;
        const char *before = row == words ? "" : last ? " or " : ", ";
        list = arena_printf(arena, "%s%s%s", list, before, row->word);
    }
    return list;
}

/* Reports that a value is not one of its field's words, and names all of them. */
static struct finding *report_no_word(struct model_loader *loader, const struct model_field *field,
                                      const struct text_node *node)
{
    const char *words = model_word_list(loader->arena, field->words);
    if (field->record) {
        words = arena_printf(loader->arena, "%s, or {%s}", words,
                             model_record_form(loader->arena, field->record));
    }
    return finding_add(loader->findings, RULE_WRONG_SHAPE, node->at, "%s cannot be %.*s; it is %s",
                       field->key, text_shown(node), node->text, words);
}

/* What manuals write for one of the words; NULL for any other text. */
static const char *meant_word(const struct model_field *field, const struct text_node *node)
{
    static const char *const spelled[][2] = {{"alf", "aft-looking-forward"},
                                             {"fla", "forward-looking-aft"},
                                             {"clockwise", "cw"},
                                             {"counter-clockwise", "ccw"},
                                             {"counterclockwise", "ccw"},
                                             {"anticlockwise", "ccw"},
                                             {"anti-clockwise", "ccw"},
                                             {"rear", "aft"},
                                             {"back", "aft"},
                                             {"front", "forward"},
                                             {"fwd", "forward"},
                                             {"lpc", "compressor"},
                                             {"ipc", "compressor"},
                                             {"hpc", "compressor"},
                                             {"booster", "compressor"},
                                             {"lpt", "turbine"},
                                             {"ipt", "turbine"},
                                             {"hpt", "turbine"}};
    for (size_t i = 0; i < sizeof spelled / sizeof *spelled; i++) {
        for (const struct model_word_row *row = field->words; row->word && !row->alias; row++) {
            if (strcasecmp(node->text, spelled[i][0]) == 0 &&
                strcmp(row->word, spelled[i][1]) == 0) {
                return row->word;
            }
        }
    }
    return NULL;
}

/* The message names the word that is meant, or the nearest one. */
static void report_word(struct model_loader *loader, const struct model_field *field,
                        const struct text_node *node)
{
    struct finding *finding = report_no_word(loader, field, node);
    const char *meant = meant_word(field, node);
    struct text_near near = text_near_start(node->text, node->length);
    for (const struct model_word_row *row = field->words; row->word && !row->alias; row++) {
        text_near_try(&near, row->word);
    }
    if (meant) {
        finding_remedy(loader->findings, finding, "Write %s for %.*s.", meant, text_shown(node),
                       node->text);
        finding_instead(loader->findings, finding, meant);
    } else if (text_near_best(&near)) {
        finding_guess(loader->findings, finding, text_near_best(&near));
    } else {
        bool one = !field->words[1].word || field->words[1].alias;
        finding_remedy(loader->findings, finding,
                       field->record ? "Write one of these forms."
                       : one         ? "Write that word, or delete the key."
                                     : "Write one of these words.");
    }
}

/*
 * The driving square that a text means by its nominal size: 3/8", 0.375 in, 9.5 mm.  NULL where
 * none is within 0.05 mm.
 */
static const char *square_of_size(const char *text, size_t length)
{
    static const char *const inches[] = {"in", "inch", "inches", "\"", "''", "\u2033", "\u201d"};
    const struct exact_rational inch = {127, 5}; /* millimetres */
    struct exact_quantity size;
    size_t number = strspn(text, "0123456789./");
    size_t unit = number + strspn(text + number, " ");
    bool metric = length - unit == 2 && memcmp(text + unit, "mm", 2) == 0;
    bool imperial = false;
    for (size_t i = 0; i < sizeof inches / sizeof *inches; i++) {
        imperial = imperial || (length - unit == strlen(inches[i]) &&
                                memcmp(text + unit, inches[i], length - unit) == 0);
    }
    if ((!metric && !imperial) ||
        exact_quantity_read(text, number, EXACT_PURE, &size).error != EXACT_QUANTITY_FINE) {
        return NULL;
    }
    for (size_t i = 0; i < MODEL_SQUARES; i++) {
        struct exact_rational given = size.stated;
        struct exact_rational exact;
        struct exact_quantity nominal;
        (void)exact_quantity_read(model_squares[i].inch, strcspn(model_squares[i].inch, " "),
                                  EXACT_PURE, &nominal);
        if ((imperial && !exact_mul(given, inch, &given)) ||
            !exact_mul(nominal.stated, inch, &exact) || !exact_sub(given, exact, &given)) {
            continue;
        }
        struct exact_quantity round;
        (void)exact_quantity_read(model_squares[i].millimetre,
                                  strcspn(model_squares[i].millimetre, " "), EXACT_PURE, &round);
        if (metric && exact_compare(size.stated, round.stated) == 0) {
            return model_squares[i].millimetre;
        }
        if (exact_compare(exact_abs(given), (struct exact_rational){1, 20}) <= 0) {
            return model_squares[i].inch;
        }
    }
    return NULL;
}

/* A square is a size: no other one is offered because its name looks alike. */
static void report_square(struct model_loader *loader, const struct model_field *field,
                          const struct text_node *node)
{
    const char *meant = square_of_size(node->text, node->length);
    struct finding *finding = report_no_word(loader, field, node);
    if (meant) {
        finding_remedy(loader->findings, finding, "Write %s: it is the same size.", meant);
        finding_instead(loader->findings, finding, meant);
    } else {
        finding_remedy(loader->findings, finding, "Write one of these sizes, with its unit.");
    }
}

/* Digits at text[0..length) as a number; -1 if another character is there. */
static int digits(const char *text, size_t length)
{
    int value = 0;
    for (size_t i = 0; i < length; i++) {
        if (text[i] < '0' || text[i] > '9') {
            return -1;
        }
        value = value * 10 + (text[i] - '0');
    }
    return value;
}

/* H:MM or HH:MM on a dial: minutes from 12:00, or -1. */
static int read_clock(const char *text, size_t length)
{
    size_t colon = length < 3 ? 0 : length - 3;
    if (colon < 1 || colon > 2 || text[colon] != ':' || text[0] == '0') {
        return -1;
    }
    int hours = digits(text, colon);
    int minutes = digits(text + colon + 1, 2);
    if (hours < 1 || hours > 12 || minutes < 0 || minutes > 59) {
        return -1;
    }
    return hours % 12 * 60 + minutes;
}

int model_date(const char *text, size_t length)
{
    static const int month_days[] = {31, 29, 31, 30, 31, 30, 31, 31, 30, 31, 30, 31};
    if (length != 10 || text[4] != '-' || text[7] != '-') {
        return -1;
    }
    int year = digits(text, 4);
    int month = digits(text + 5, 2);
    int day = digits(text + 8, 2);
    if (year < 1 || month < 1 || month > 12 || day < 1 || day > month_days[month - 1]) {
        return -1;
    }
    bool leap = (year % 4 == 0 && year % 100 != 0) || year % 400 == 0;
    if (month == 2 && day == 29 && !leap) {
        return -1;
    }
    return (year * 100 + month) * 100 + day;
}

static bool read_rule(struct model_loader *loader, const struct text_node *node,
                      struct model_code *word)
{
    enum rule_id rule = rule_find(node->text, node->length);
    if (rule == RULE_NONE) {
        struct finding *finding =
            finding_add(loader->findings, RULE_WRONG_SHAPE, node->at, "there is no rule %.*s",
                        text_shown(node), node->text);
        const char *guess = model_guess_rule(node->text, node->length);
        if (guess) {
            finding_guess(loader->findings, finding, guess);
        }
        return false;
    }
    word->value = (int)rule;
    return true;
}

/* After a clock and a blank somebody has written more, such as the view. */
static void report_clock(struct model_loader *loader, const struct model_field *field,
                         const struct text_node *node, struct finding *finding)
{
    const int clock = (int)strcspn(node->text, " ");
    const bool more = node->text[clock + (int)strspn(node->text + clock, " ")] != '\0';
    if (field->record && more && read_clock(node->text, (size_t)clock) >= 0) {
        finding_consequence(loader->findings, finding,
                            "Without the view, the port could be at the mirrored position.");
        finding_remedy(loader->findings, finding,
                       "Write {at: \"%.*s\", view: forward-looking-aft} or {at: \"%.*s\", view: "
                       "aft-looking-forward}, as the source has it.",
                       clock, node->text, clock, node->text);
    } else if (node->text[0] == '0' && read_clock(node->text + 1, node->length - 1) >= 0) {
        finding_remedy(loader->findings, finding, "Write \"%s\".", node->text + 1);
    } else {
        finding_remedy(loader->findings, finding, "Write it like \"4:30\".");
    }
}

bool model_read_word(struct model_loader *loader, const struct model_field *field,
                     const struct text_node *node, void *out)
{
    struct model_code *word = out;
    static const char *const wanted[] = {[MODEL_WORD] = "a word",
                                         [MODEL_CLOCK] = "a clock position from 1:00 to 12:59",
                                         [MODEL_DATE] = "a day of the calendar like 2027-06-30",
                                         [MODEL_RULE] = "a rule's id"};
    if (!model_want_scalar(loader, field, node, wanted[field->type])) {
        return false;
    }
    if (field->type == MODEL_RULE) {
        return read_rule(loader, node, word);
    }
    if (field->type == MODEL_WORD) {
        for (const struct model_word_row *row = field->words; row->word; row++) {
            if (row->word[0] == node->text[0] && strcmp(row->word, node->text) == 0) {
                word->value = row->value;
                return true;
            }
        }
        if (field->words == model_square_words) {
            report_square(loader, field, node);
        } else {
            report_word(loader, field, node);
        }
        return false;
    }
    word->value = (field->type == MODEL_CLOCK ? read_clock : model_date)(node->text, node->length);
    if (word->value < 0) {
        struct finding *finding =
            finding_add(loader->findings, RULE_WRONG_SHAPE, node->at, "%s takes %s, not %.*s",
                        field->key, wanted[field->type], text_shown(node), node->text);
        if (field->type == MODEL_CLOCK) {
            report_clock(loader, field, node, finding);
        } else {
            finding_remedy(loader->findings, finding, "Write it like 2027-06-30.");
        }
        return false;
    }
    return true;
}
