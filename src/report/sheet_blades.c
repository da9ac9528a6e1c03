/*
 * The stages of a spool in the HTML form.
 */
#include "report/sheet_escape.h"
#include "report/sheet_part.h"

#include <inttypes.h>

/* The stages of a spool. */
struct blades {
    size_t spool, count;
    const char *numbering; /* where it is the same for all, so that it need be said only once */
};

static bool is_on(const struct sheet_page *page, size_t stage, size_t spool)
{
    return model_stage(page->sheet->derived->engine, stage)->spool_index == spool;
}

static struct blades blades_of(const struct sheet_page *page, size_t spool)
{
    struct blades blades = {spool, 0, NULL};
    const struct model_engine *engine = page->sheet->derived->engine;
    for (size_t i = 0; i < engine->stages.count; i++) {
        if (is_on(page, i, spool)) {
            const char *numbering = sheet_numbering(model_stage(engine, i));
            bool same = blades.count == 0 || blades.numbering == numbering;
            blades.numbering = same ? numbering : NULL;
            blades.count++;
        }
    }
    return blades;
}

/* A line below a wheel. */
static void write_item(struct sheet_page *page, const struct sheet_row *row)
{
    fputs("<div>", page->out);
    sheet_element(page, "dt", "dt", sheet_say(page->sheet, "%s:", row->label));
    fputs(" <dd>", page->out);
    sheet_escape(page->out, row->value);
    if (row->detail) {
        fputs(", ", page->out);
        sheet_escape(page->out, row->detail);
    }
    fputs("</dd></div>\n", page->out);
}

static void write_stage(struct sheet_page *page, size_t index, const struct blades *blades)
{
    const struct model_stage *stage = model_stage(page->sheet->derived->engine, index);
    const struct model_spool *spool = model_spool(page->sheet->derived->engine, stage->spool_index);
    struct sheet_rows rows = {NULL, 0, 0};
    fputs("<article class=\"stage\"><h3>", page->out);
    sheet_escape(page->out, stage->id.text);
    fputc(' ', page->out);
    sheet_element(
        page, "span", "span",
        sheet_say(page->sheet, "%s, %" PRId64 " blades", sheet_role(stage), stage->blades.value));
    fputs("</h3>\n", page->out);
    sheet_draw_wheel(page, index);
    sheet_element(
        page, "p class=\"way\"", "p",
        sheet_say(page->sheet, "%s, aft looking forward", sheet_sense(model_spool_sign(spool))));
    sheet_stage_rows(page->sheet, index, &rows);
    fputs("<dl>\n", page->out);
    for (size_t i = 0; i < rows.count; i++) {
        struct sheet_row row = rows.items[i];
        row.detail = row.detail == blades->numbering ? NULL : row.detail;
        write_item(page, &row);
    }
    fputs("</dl></article>\n", page->out);
}

/*
 * How many stages stand abreast on paper: all of them while their wheels can be read, else rows of
 * one length as nearly as can be.
 */
static size_t abreast(size_t count)
{
    enum { MOST = 8 };
    size_t rows = (count + MOST - 1) / MOST;
    return rows == 0 ? 1 : (count + rows - 1) / rows;
}

/* How to read the wheels of a spool. */
static void write_key(struct sheet_page *page, const struct blades *blades)
{
    fputs("<p class=\"key\">", page->out);
    sheet_escape(page->out, sheet_spool_way(page->sheet, blades->spool));
    fputs(", and so is every drawing here", page->out);
    if (blades->numbering) {
        fprintf(page->out, "; all are %s", blades->numbering);
    }
    fputs(". <span class=\"legend\">Blade one (solid) stands at the port (wedge); a thick arrow "
          "brings the next blade there, a broken one shows how the numbers grow. Diamond: datum "
          "mark.</span></p>\n",
          page->out);
}

void sheet_write_driven(struct sheet_page *page, size_t spool)
{
    const struct model_engine *engine = page->sheet->derived->engine;
    const char *id = model_spool(engine, spool)->id.text;
    struct blades blades = blades_of(page, spool);
    sheet_section(page, "driven", sheet_say(page->sheet, "Stages of spool %s", id));
    write_key(page, &blades);
    size_t columns = abreast(blades.count);
    fprintf(page->out, "<div class=\"stages %s of-%zu\">\n",
            columns < 5   ? "few"
            : columns < 6 ? "some"
                          : "many",
            columns);
    for (size_t i = 0; i < engine->stages.count; i++) {
        if (is_on(page, i, spool)) {
            write_stage(page, i, &blades);
        }
    }
    fputs("</div></section>\n", page->out);
}

void sheet_write_by_hand(struct sheet_page *page, size_t spool)
{
    static const char *const columns[] = {"Stage",     "Blades", "Order at the port",
                                          "Blade one", "Port",   NULL};
    const struct model_engine *engine = page->sheet->derived->engine;
    const char *id = model_spool(engine, spool)->id.text;
    sheet_section(page, "by-hand", sheet_say(page->sheet, "Spool %s, turned by hand", id));
    sheet_element(page, "p class=\"key\"", "p",
                  sheet_say(page->sheet, "%s. No pad turns it, and no device counts it.",
                            sheet_spool_way(page->sheet, spool)));
    sheet_columns(page, columns);
    for (size_t i = 0; i < engine->stages.count; i++) {
        const struct model_stage *stage = model_stage(engine, i);
        const char *ports = sheet_ports(page->sheet, stage);
        if (!is_on(page, i, spool)) {
            continue;
        }
        fputs("<tr>", page->out);
        sheet_element(page, "th scope=\"row\"", "th",
                      sheet_say(page->sheet, "%s, %s", stage->id.text, sheet_role(stage)));
        sheet_element(page, "td", "td", sheet_say(page->sheet, "%" PRId64, stage->blades.value));
        sheet_element(page, "td", "td", sheet_passing(page->sheet, stage));
        sheet_element(page, "td", "td",
                      stage->blade_one.at.state == MODEL_GIVEN ? stage->blade_one.text
                                                               : "not described");
        sheet_element(page, "td", "td", ports ? ports : "none given");
        fputs("</tr>\n", page->out);
    }
    fputs("</tbody></table></section>\n", page->out);
}
