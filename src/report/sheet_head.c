/*
 * How the HTML form of the sheet begins: its style, its title, and the cautions.
 */
#include "report/sheet_escape.h"
#include "report/sheet_part.h"
#include "report/sheet_style.h"

#include <inttypes.h>

/*
 * The style, and the running foot of printed pages.  Ids hold only letters, digits and hyphens, so
 * they can stand in a string of CSS.
 */
static void write_style(struct sheet_page *page)
{
    const struct model_derived *derived = page->sheet->derived;
    fputs("<style>\n", page->out);
    for (size_t i = 0; sheet_style[i]; i++) {
        fprintf(page->out, "%s\n", sheet_style[i]);
    }
    fprintf(page->out,
            "@page{size:A4;margin:8mm 10mm 11mm;font:7.5pt \"Liberation Sans\",Arial,sans-serif;\n"
            "@bottom-left{content:\"%s, revision %" PRId64 ", on %s\"}\n"
            "@bottom-right{content:\"page \" counter(page) \" of \" counter(pages)}}\n</style>\n",
            derived->engine->id.text, derived->engine->revision.value,
            derived->device->device->id.text);
}

void sheet_write_head(struct sheet_page *page)
{
    const struct model_derived *derived = page->sheet->derived;
    fputs("<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\"/>\n"
          "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\"/>\n"
          "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; style-src "
          "'unsafe-inline'\"/>\n",
          page->out);
    sheet_element(page, "title", "title",
                  sheet_say(page->sheet, "Setup sheet: %s, %s", derived->engine->name.text,
                            sheet_edition(page->sheet)));
    fputc('\n', page->out);
    write_style(page);
    fputs("</head>\n<body>\n<header><div>", page->out);
    sheet_element(page, "p class=\"kind\"", "p", "Setup sheet for turning the rotor");
    sheet_element(page, "h1", "h1", derived->engine->name.text);
    fputs("</div><dl>", page->out);
    sheet_element(page, "dt", "dt", "Definition");
    sheet_element(
        page, "dd", "dd",
        sheet_say(page->sheet, "%s, %s", derived->engine->id.text, sheet_edition(page->sheet)));
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
    fputs("<ol>\n", page->out);
    for (size_t i = 0; sheet_cautions[i]; i++) {
        sheet_element(page, "li", "li", sheet_cautions[i]);
        fputc('\n', page->out);
    }
    fputs("</ol></section>\n", page->out);
}
