#include "text/blank.h"

#include "text/utf8.h"

static bool is_false_blank(uint32_t code)
{
    return code == 0xa0 || code == 0x2007 || code == 0x202f || code == 0x3000;
}

/* Whether the text has one of them anywhere.  Nearly no text has, so no line is looked through. */
static bool has_false_blank(const struct text_file *file)
{
    uint32_t code = 0;
    for (size_t i = 0; i < file->length;) {
        size_t size = text_utf8_decode(file->bytes + i, file->length - i, &code);
        if (size != 0 && is_false_blank(code)) {
            return true;
        }
        i += size != 0 ? size : 1;
    }
    return false;
}

/* Whether a blank in its place could have made the finding: a word or a number was not known. */
static bool is_of_a_word(enum rule_id rule)
{
    switch (rule) {
    case RULE_YAML_SYNTAX:
    case RULE_UNKNOWN_KIND:
    case RULE_UNKNOWN_KEY:
    case RULE_MISSING_KEY:
    case RULE_WRONG_SHAPE:
    case RULE_BAD_NUMBER:
    case RULE_MISSING_UNIT:
    case RULE_WRONG_UNIT: return true;
    default: return false;
    }
}

/* In a line that is not YAML, the fault can be anywhere. */
static bool is_within(const struct finding *finding, uint32_t column)
{
    const struct span *at = &finding->at;
    return finding->rule == RULE_YAML_SYNTAX ||
           (column >= at->column && (at->end_line > at->line || column < at->end_column));
}

static void note_first(struct findings *findings, struct finding *finding,
                       const struct text_file *file)
{
    size_t length = 0;
    const char *line = text_file_line(file, finding->at.line, &length);
    uint32_t column = 1;
    uint32_t code = 0;
    size_t size = 0;
    for (size_t i = 0; line && i < length; i += size, column++) {
        size = text_utf8_decode(line + i, length - i, &code);
        if (size == 0) {
            return;
        }
        if (is_false_blank(code) && is_within(finding, column)) {
            const uint32_t number = finding->at.line;
            finding_note(findings, finding, (struct span){file, number, column, number, column + 1},
                         "this character looks like a blank, but is another one (U+%04X)",
                         (unsigned)code);
            finding_remedy(findings, finding, "Replace it with a blank.");
            return;
        }
    }
}

void text_note_false_blanks(struct findings *findings, const struct text_file *file, size_t from)
{
    if (from == findings->count || !has_false_blank(file)) {
        return;
    }
    for (size_t i = from; i < findings->count; i++) {
        struct finding *finding = findings->items[i];
        if (finding->at.file == file && finding->at.line > 0 && is_of_a_word(finding->rule)) {
            note_first(findings, finding, file);
        }
    }
}
