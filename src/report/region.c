#include "report/region.h"

#include "report/json.h"
#include "text/file.h"
#include "text/utf8.h"

#include <string.h>

/* An excerpt is for a glance.  A longer text is left out, because a report can have many. */
enum { EXCERPT_BYTES = 1000, EXCERPT_LINES = 20, BESIDE = 40 };

/* A text while it grows; one that is too long is not kept. */
struct excerpt {
    char bytes[EXCERPT_BYTES + 1];
    size_t length;
    bool whole;
};

static void append(struct excerpt *excerpt, const char *bytes, size_t size)
{
    excerpt->whole = excerpt->whole && size <= EXCERPT_BYTES - excerpt->length;
    if (excerpt->whole) {
        memcpy(excerpt->bytes + excerpt->length, bytes, size);
        excerpt->length += size;
        excerpt->bytes[excerpt->length] = '\0';
    }
}

/* The text of a part of a file, unless only the file's name was kept. */
static void read_part(struct excerpt *excerpt, const struct span *part)
{
    *excerpt =
        (struct excerpt){.whole = part->file->bytes && part->end_line - part->line < EXCERPT_LINES};
    for (uint32_t number = part->line; excerpt->whole && number <= part->end_line; number++) {
        size_t length = 0;
        const char *line = text_file_line(part->file, number, &length);
        size_t from = number == part->line ? text_utf8_bytes(line, length, part->column - 1) : 0;
        size_t to =
            number == part->end_line ? text_utf8_bytes(line, length, part->end_column - 1) : length;
        while (excerpt->whole && from < to) {
            struct text_visible shown = text_visible_first(line + from, to - from);
            append(excerpt, shown.bytes, shown.size);
            from += shown.taken;
        }
        if (number != part->end_line) {
            append(excerpt, "\n", 1);
        }
    }
}

static void add_text(json_t *region, const struct excerpt *excerpt)
{
    report_set(region, "snippet", json_pack("{ss}", "text", excerpt->bytes));
}

static json_t *with_columns(const struct span *part)
{
    return json_pack("{sIsIsIsI}", "startLine", (json_int_t)part->line, "startColumn",
                     (json_int_t)part->column, "endLine", (json_int_t)part->end_line, "endColumn",
                     (json_int_t)part->end_column);
}

/* Characters of a line; false if there is no such line. */
static bool measure(const struct text_file *file, uint32_t number, uint32_t *count)
{
    size_t length = 0;
    const char *line = text_file_line(file, number, &length);
    *count = line ? (uint32_t)text_utf8_count(line, length) : 0;
    return line != NULL;
}

/* The place of a finding; a file as a whole is the beginning of its first line. */
static struct span place_of(const struct span *at)
{
    return at->line != 0 ? *at : (struct span){at->file, 1, 1, 1, 1};
}

json_t *report_region(const struct span *at, bool with_text)
{
    struct span place = place_of(at);
    struct excerpt excerpt;
    json_t *region = with_columns(&place);
    if (with_text && at->line != 0) {
        read_part(&excerpt, &place);
        if (excerpt.whole) {
            add_text(region, &excerpt);
        }
    }
    return region;
}

/* The lines from one before a place to one after it. */
static struct span lines_around(const struct span *place)
{
    struct span lines = {place->file, place->line > 1 ? place->line - 1 : 1, 1, place->end_line, 1};
    uint32_t count = 0;
    if (measure(place->file, place->end_line + 1, &count)) {
        lines.end_line++;
    } else {
        (void)measure(place->file, place->end_line, &count);
    }
    lines.end_column = count + 1;
    return lines;
}

/* The part of its line around a place. */
static struct span part_around(const struct span *place)
{
    struct span part = *place;
    uint32_t count = 0;
    (void)measure(place->file, place->line, &count);
    part.column = place->column > BESIDE ? place->column - BESIDE : 1;
    part.end_column =
        place->end_column + BESIDE < count + 1 ? place->end_column + BESIDE : count + 1;
    return part;
}

static bool same(const struct span *left, const struct span *right)
{
    return left->line == right->line && left->column == right->column &&
           left->end_line == right->end_line && left->end_column == right->end_column;
}

json_t *report_region_around(const struct span *at)
{
    struct span place = place_of(at);
    struct span lines = lines_around(&place);
    struct excerpt excerpt;
    json_t *region = NULL;
    read_part(&excerpt, &lines);
    if (excerpt.whole && !same(&lines, &place)) {
        region = json_pack("{sIsI}", "startLine", (json_int_t)lines.line, "endLine",
                           (json_int_t)lines.end_line);
    } else if (!excerpt.whole && place.line == place.end_line) {
        struct span part = part_around(&place);
        read_part(&excerpt, &part);
        region = excerpt.whole && !same(&part, &place) ? with_columns(&part) : NULL;
    }
    if (region) {
        add_text(region, &excerpt);
    }
    return region;
}
