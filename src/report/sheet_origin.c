/*
 * What the sheet's numbers rest on, in the HTML form: observations, source, digests.
 */
#include "report/sheet_escape.h"
#include "report/sheet_part.h"

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
    const struct model_engine *engine = page->sheet->derived->engine;
    sheet_section(page, "measured", "Measured on an engine");
    if (engine->observations.count == 0) {
        sheet_element(page, "p", "p",
                      "Nothing: no observation ties these numbers to a real engine.");
        fputs("</section>\n", page->out);
        return;
    }
    fputs("<table class=\"wide facts\"><tbody>\n", page->out);
    for (size_t i = 0; i < engine->observations.count; i++) {
        struct sheet_row row = sheet_observation(page->sheet, i);
        write_row(page, &row);
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
