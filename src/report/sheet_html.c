#include "report/sheet_html.h"

#include "report/sheet_escape.h"
#include "report/sheet_part.h"

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

/* Spool by spool: the pads that turn it, and right behind them the stages seen through them. */
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

void report_sheet_html(FILE *out, const struct sheet *sheet)
{
    struct sheet_page page = {.out = out, .sheet = sheet};
    const struct model_engine *engine = sheet->derived->engine;
    sheet_write_head(&page);
    sheet_write_cautions(&page);
    write_drives(&page);
    fputs("<div class=\"rest\">", out);
    for (size_t i = 0; i < engine->spools.count; i++) {
        if (!sheet_is_driven(sheet, i)) {
            sheet_write_by_hand(&page, i);
        }
    }
    sheet_write_observations(&page);
    sheet_write_sources(&page);
    fputs("</div>\n</main>\n</body>\n</html>\n", out);
}
