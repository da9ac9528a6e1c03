/* html.c - the HTML form of the setup sheet: its frame, its beginning, and its sources. */
#include "sheet/html.h"

#include "sheet/sheet.h"
#include "text/utf8.h"

#include <inttypes.h>
#include <stdbool.h>
#include <string.h>

void sheet_element(struct sheet_page *page, const char *open, const char *close, const char *text)
{
    fprintf(page->out, "<%s>", open);
    sheet_escape(page->out, text);
    fprintf(page->out, "</%s>", close);
}

void sheet_section(struct sheet_page *page, const char *style, const char *title)
{
    fprintf(page->out, "\n<section class=\"%s\">", style);
    sheet_element(page, "h2", "h2", title);
    fputc('\n', page->out);
}

void sheet_columns(struct sheet_page *page, const char *const *columns)
{
    fputs("<table class=\"wide\"><thead><tr>", page->out);
    for (; *columns; columns++) {
        sheet_element(page, "th scope=\"col\"", "th", *columns);
    }
    fputs("</tr></thead><tbody>\n", page->out);
}

void sheet_lines(FILE *out, const char *const *lines)
{
    for (; *lines; lines++) {
        fprintf(out, "%s\n", *lines);
    }
}

/* Whether no pad before this one turns the same spool. */
static bool is_first_of_spool(const struct model_engine *engine, size_t pad)
{
    for (size_t i = 0; i < pad; i++) {
        if (model_pad(engine, i)->spool_index == model_pad(engine, pad)->spool_index) {
            return false;
        }
    }
    return true;
}

/* Spool by spool: the pads that turn it, then its stages. */
static void write_drives(struct sheet_page *page)
{
    const struct model_engine *engine = page->sheet->derived->engine;
    for (size_t first = 0; first < engine->pads.count; first++) {
        size_t spool = model_pad(engine, first)->spool_index;
        if (!is_first_of_spool(engine, first)) {
            continue;
        }
        for (size_t i = first; i < engine->pads.count; i++) {
            if (model_pad(engine, i)->spool_index == spool) {
                sheet_write_pad(page, i);
            }
        }
        sheet_write_driven(page, spool);
    }
}

void sheet_html(FILE *out, const struct sheet *sheet)
{
    struct sheet_page page = {.out = out, .sheet = sheet};
    const struct model_engine *engine = sheet->derived->engine;
    sheet_write_head(&page);
    sheet_write_cautions(&page);
    write_drives(&page);
    for (size_t i = 0; i < engine->spools.count; i++) {
        if (!sheet_is_driven(sheet, i)) {
            sheet_write_by_hand(&page, i);
        }
    }
    /* What nobody needs at the engine.  On paper its end stays together, so that the last page is
     * never nearly empty.
     */
    for (size_t i = 0; i + 1 < engine->pads.count; i++) {
        sheet_write_steps(&page, i);
    }
    fputs("<div class=\"rest\">", out);
    if (engine->pads.count != 0) {
        sheet_write_steps(&page, engine->pads.count - 1);
    }
    sheet_write_observations(&page);
    sheet_write_sources(&page);
    fputs("</div>\n</main>\n</body>\n</html>\n", out);
}

/* ---- how it begins --------------------------------------------------------------------------- */

/*
 * The rest of the style, and the running foot of printed pages.  Ids hold only letters, digits and
 * hyphens, so they are safe in a string of CSS.
 */
static void write_style(struct sheet_page *page)
{
    const struct model_derived *derived = page->sheet->derived;
    sheet_lines(page->out, sheet_basic_style);
    sheet_lines(page->out, sheet_drawing_style);
    sheet_lines(page->out, sheet_style);
    fprintf(page->out,
            "@page{size:A4;margin:8mm 10mm 11mm;font:8pt \"Liberation Sans\",Arial,sans-serif;\n"
            "@bottom-left{content:\"%s, revision %" PRId64 ", on %s\"}\n"
            "@bottom-right{content:\"page \" counter(page) \" of \" counter(pages)}}\n</style>\n",
            derived->engine->id.text, derived->engine->revision.value,
            derived->device->device->id.text);
}

void sheet_write_start(struct sheet_page *page, const char *title)
{
    fputs("<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\"/>\n"
          "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\"/>\n"
          "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; style-src "
          "'unsafe-inline'\"/>\n",
          page->out);
    sheet_element(page, "title", "title", title);
    fputs("\n<style>\n", page->out);
}

void sheet_write_head(struct sheet_page *page)
{
    const struct model_derived *derived = page->sheet->derived;
    sheet_write_start(page, sheet_say(page->sheet, "Setup sheet: %s, %s",
                                      derived->engine->name.text, sheet_edition(page->sheet)));
    write_style(page);
    fputs("</head>\n<body>\n<header><div>", page->out);
    sheet_element(page, "p class=\"kind\"", "p", "Setup sheet for turning the rotor");
    sheet_element(page, "h1", "h1", derived->engine->name.text);
    fputs("</div><dl>", page->out);
    sheet_element(page, "dt", "dt", "Definition");
    sheet_element(
        page, "dd", "dd",
        sheet_say(page->sheet, "%s, %s", derived->engine->id.text, sheet_edition(page->sheet)));
    sheet_element(page, "dt", "dt", "Holds for");
    sheet_element(page, "dd", "dd", words_models(page->sheet->arena, derived->engine));
    sheet_element(page, "dt", "dt", "Device");
    sheet_element(page, "dd", "dd", derived->device->device->name.text);
    fputs("</dl></header>\n<main>\n", page->out);
}

void sheet_write_cautions(struct sheet_page *page)
{
    const char *warning = sheet_status_warning(page->sheet);
    fputs("<section class=\"first\"><h2>Before anything turns</h2>\n", page->out);
    if (warning) {
        sheet_element(page, "p class=\"alarm\"", "p", warning);
    }
    for (size_t i = 0; i < page->sheet->derived->engine->spools.count; i++) {
        const char *by_hand = sheet_hand_warning(page->sheet, i);
        if (by_hand) {
            sheet_element(page, "p class=\"alarm\"", "p", by_hand);
        }
    }
    const struct words_cautions own = sheet_before_turning(page->sheet);
    fputs("<ol>\n", page->out);
    for (size_t i = 0; i < own.count; i++) {
        sheet_element(page, "li class=\"own\"", "li", own.items[i]);
        fputc('\n', page->out);
    }
    const char *marks = sheet_mark_caution(page->sheet);
    if (marks) {
        sheet_element(page, "li", "li", marks);
        fputc('\n', page->out);
    }
    for (size_t i = 0; sheet_cautions[i]; i++) {
        sheet_element(page, "li", "li", sheet_cautions[i]);
        fputc('\n', page->out);
    }
    fputs("</ol></section>\n", page->out);
    if (!sheet_has_open_finding(page->sheet)) {
        return;
    }
    fputs("<section><h2>Open findings</h2>\n<ul>\n", page->out);
    for (size_t i = 0; i < page->sheet->findings->count; i++) {
        const char *open = sheet_open_finding(page->sheet, i);
        if (open) {
            sheet_element(page, "li", "li", open);
            fputc('\n', page->out);
        }
    }
    fputs("</ul></section>\n", page->out);
}

/* ---- what its numbers rest on ---------------------------------------------------------------- */

static void write_row(struct sheet_page *page, const struct sheet_row *row)
{
    fputs("<tr>", page->out);
    sheet_element(page, "th scope=\"row\"", "th", row->label);
    fputs("<td>", page->out);
    sheet_escape(page->out, row->value);
    if (row->detail) {
        fputs("<br/>", page->out);
        sheet_element(page, "span class=\"more\"", "span", row->detail);
    }
    fputs("</td></tr>\n", page->out);
}

void sheet_write_observations(struct sheet_page *page)
{
    struct sheet_rows rows = {NULL, 0, 0};
    sheet_observation_rows(page->sheet, &rows);
    sheet_section(page, "measured", "Measured on an engine");
    if (rows.count == 0) {
        sheet_element(
            page, "p", "p",
            "Nothing: no observation shows that these numbers are right for a real engine.");
        fputs("</section>\n", page->out);
        return;
    }
    fputs("<table class=\"wide facts\"><tbody>\n", page->out);
    for (size_t i = 0; i < rows.count; i++) {
        write_row(page, &rows.items[i]);
    }
    fputs("</tbody></table></section>\n", page->out);
}

void sheet_write_sources(struct sheet_page *page)
{
    struct sheet_rows rows = {NULL, 0, 0};
    sheet_source_rows(page->sheet, &rows);
    sheet_section(page, "sources", "Where these numbers come from");
    fputs("<dl>\n", page->out);
    for (size_t i = 0; i < rows.count; i++) {
        fputs("<div>", page->out);
        sheet_element(page, "dt", "dt", rows.items[i].label);
        sheet_element(page, "dd", "dd", rows.items[i].value);
        fputs("</div>\n", page->out);
    }
    fputs("</dl></section>\n", page->out);
}

/* ---- texts ------------------------------------------------------------------------------------
 */

static bool is_blank(uint32_t code)
{
    return code == ' ' || (code >= '\t' && code <= '\r') || code == 0x85 || code == 0x2028 ||
           code == 0x2029;
}

/* The length of the blanks, of any kind, at the beginning of the text. */
static size_t blanks_of(const char *text)
{
    size_t length = 0;
    uint32_t code = 0;
    size_t size = text_utf8_decode(text, strlen(text), &code);
    while (size != 0 && is_blank(code)) {
        length += size;
        text += size;
        size = *text == '\0' ? 0 : text_utf8_decode(text, strlen(text), &code);
    }
    return length;
}

/* Takes the next character from *text, which is not at its end, as it is shown. */
static struct text_visible next(const char **text)
{
    size_t blanks = blanks_of(*text);
    struct text_visible shown = blanks != 0 ? (struct text_visible){" ", 1, blanks}
                                            : text_visible_first(*text, strlen(*text));
    *text += shown.taken;
    return shown;
}

const char *sheet_clean(struct arena *arena, const char *text)
{
    char *copy = arena_alloc(arena, 3 * strlen(text) + 1);
    size_t length = 0;
    while (*text != '\0') {
        struct text_visible clean = next(&text);
        memcpy(copy + length, clean.bytes, clean.size);
        length += clean.size;
    }
    copy[length] = '\0';
    return copy;
}

void sheet_escape(FILE *out, const char *text)
{
    while (*text != '\0') {
        struct text_visible clean = next(&text);
        switch (*clean.bytes) {
        case '&': fputs("&amp;", out); break;
        case '<': fputs("&lt;", out); break;
        case '>': fputs("&gt;", out); break;
        case '"': fputs("&quot;", out); break;
        case '\'': fputs("&#39;", out); break;
        default: fwrite(clean.bytes, 1, clean.size, out);
        }
    }
}
