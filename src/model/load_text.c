/*
 * load_text.c - what is written in letters: ids, texts, words, and dates and clock positions.
 */
#include "model/load_parts.h"

#include "text/near.h"
#include "text/utf8.h"

#include <string.h>

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
        finding_add(loader->findings, RULE_WRONG_SHAPE, node->at, "%s has a tab in it", field->key);
        return false;
    }
    if (blanks.first || blanks.last) {
        struct finding *finding =
            finding_add(loader->findings, RULE_WRONG_SHAPE, node->at, "%s %s with a blank",
                        field->key, blanks.first ? "begins" : "ends");
        finding_consequence(loader->findings, finding,
                            "Nobody sees the blank, so nobody who types this name finds it.");
        finding_remedy(loader->findings, finding, "Take the blank out.");
        return false;
    }
    if (text_utf8_count(node->text, node->length) > MODEL_TEXT_MOST) {
        finding_add(loader->findings, RULE_OUT_OF_RANGE, node->at, "%s has more than %d characters",
                    field->key, MODEL_TEXT_MOST);
        return false;
    }
    return true;
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
        finding_add(loader->findings, RULE_ID_MALFORMED, node->at, "%.*s is not an id",
                    text_shown(node), node->text);
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

void model_report_word(struct model_loader *loader, const char *key, const struct text_node *node,
                       const struct model_word_row *words)
{
    struct text_near near = text_near_start(node->text, node->length);
    for (const struct model_word_row *row = words; row->word && !row->alias; row++) {
        text_near_try(&near, row->word);
    }
    struct finding *finding =
        finding_add(loader->findings, RULE_WRONG_SHAPE, node->at, "%s cannot be %.*s; it is %s",
                    key, text_shown(node), node->text, model_word_list(loader->arena, words));
    if (text_near_best(&near)) {
        finding_guess(loader->findings, finding, text_near_best(&near));
    }
}

/* Digits at text[0..length) as a number; -1 where something else stands there. */
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
static int read_clock(const struct text_node *node)
{
    size_t colon = node->length < 3 ? 0 : node->length - 3;
    if (colon < 1 || colon > 2 || node->text[colon] != ':' || node->text[0] == '0') {
        return -1;
    }
    int hours = digits(node->text, colon);
    int minutes = digits(node->text + colon + 1, 2);
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
        model_report_word(loader, field->key, node, field->words);
        return false;
    }
    word->value =
        field->type == MODEL_CLOCK ? read_clock(node) : model_date(node->text, node->length);
    if (word->value < 0) {
        finding_add(loader->findings, RULE_WRONG_SHAPE, node->at, "%s takes %s, not %.*s",
                    field->key, wanted[field->type], text_shown(node), node->text);
        return false;
    }
    return true;
}
