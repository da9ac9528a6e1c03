#include "report/sheet_html.h"

#include "report/sheet_draw.h"
#include "report/sheet_escape.h"
#include "report/sheet_style.h"

#include <inttypes.h>

/* <tag>text</tag>; `open` may hold attributes: "p class=\"soft\"". */
static void element(struct sheet_page *page, const char *open, const char *close, const char *text)
{
    fprintf(page->out, "<%s>", open);
    sheet_escape(page->out, text);
    fprintf(page->out, "</%s>", close);
}

static void heading(struct sheet_page *page, const char *text)
{
    fputc('\n', page->out);
    element(page, "h2", "h2", text);
    fputc('\n', page->out);
}

/*
 * The style, and the running foot of printed pages.  Ids hold only letters, digits and hyphens, so
 * they can stand in a string of CSS.
 */
static void write_style(struct sheet_page *page)
{
    const struct rules_run *run = page->sheet->run;
    fputs("<style>\n", page->out);
    for (size_t i = 0; sheet_style[i]; i++) {
        fprintf(page->out, "%s\n", sheet_style[i]);
    }
    fprintf(page->out,
            "@page{size:A4;margin:11mm 12mm 14mm;font:8pt \"Liberation Sans\",Arial,sans-serif;\n"
            "@bottom-left{content:\"%s, revision %" PRId64 ", on %s\"}\n"
            "@bottom-right{content:\"page \" counter(page) \" of \" counter(pages)}}\n</style>\n",
            run->engine->id.text, run->engine->revision.value, run->device->device->id.text);
}

static void write_head(struct sheet_page *page)
{
    const struct rules_run *run = page->sheet->run;
    fputs("<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\"/>\n"
          "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\"/>\n"
          "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; style-src "
          "'unsafe-inline'\"/>\n",
          page->out);
    element(page, "title", "title",
            sheet_say(page->sheet, "Setup sheet: %s, %s", run->engine->name.text,
                      sheet_edition(page->sheet)));
    fputc('\n', page->out);
    write_style(page);
    fputs("</head>\n<body>\n<header><div>", page->out);
    element(page, "p class=\"kind\"", "p", "Setup sheet for turning the rotor");
    element(page, "h1", "h1", run->engine->name.text);
    fputs("</div><dl>", page->out);
    element(page, "dt", "dt", "Definition");
    element(page, "dd", "dd",
            sheet_say(page->sheet, "%s, %s", run->engine->id.text, sheet_edition(page->sheet)));
    element(page, "dt", "dt", "Device");
    element(page, "dd", "dd", run->device->device->name.text);
    fputs("</dl></header>\n<main>\n", page->out);
}

static void write_cautions(struct sheet_page *page)
{
    const char *warning = sheet_status_warning(page->sheet);
    fputs("<section class=\"first\"><h2>Before anything turns</h2>\n", page->out);
    if (warning) {
        element(page, "p class=\"alarm\"", "p", warning);
    }
    fputs("<ol>\n", page->out);
    for (size_t i = 0; sheet_cautions[i]; i++) {
        element(page, "li", "li", sheet_cautions[i]);
        fputc('\n', page->out);
    }
    fputs("</ol></section>\n", page->out);
}

/* Device, pad or rotor in the strip of the drive. */
static void write_turn(struct sheet_page *page, size_t pad, enum sheet_end end,
                       struct sheet_scale scale)
{
    struct sheet_turn turn = sheet_turn(page->sheet, pad, end);
    fputs("<li><figure><div class=\"bench\">", page->out);
    sheet_draw_turn(page, end, &turn, scale);
    fputs("</div><figcaption>", page->out);
    element(page, "b", "b", turn.name);
    element(page, "span class=\"way\"", "span",
            sheet_say(page->sheet, "%s, %s", sheet_sense(turn.sign), turn.view));
    element(page, "span", "span", turn.what);
    fputs("</figcaption></figure></li>\n", page->out);
}

static void write_train(struct sheet_page *page, const struct sheet_train *train, const char *turns,
                        struct sheet_scale scale)
{
    for (size_t i = 0; i < train->count; i++) {
        const struct sheet_mesh *mesh = &train->meshes[i];
        fputs("<li class=\"mesh\"><figure><div class=\"bench\">", page->out);
        sheet_draw_mesh(page, mesh, scale);
        fputs("</div><figcaption>", page->out);
        element(page, "b", "b", mesh->name);
        if (mesh->turns) {
            element(page, "span class=\"way\"", "span", mesh->turns);
        }
        element(page, "span", "span", sheet_say(page->sheet, "%s so far %s", turns, mesh->so_far));
        fputs("</figcaption></figure></li>\n", page->out);
    }
}

static void write_columns(struct sheet_page *page, const char *const *columns)
{
    fputs("<table class=\"wide\"><thead><tr>", page->out);
    for (; *columns; columns++) {
        element(page, "th scope=\"col\"", "th", *columns);
    }
    fputs("</tr></thead><tbody>\n", page->out);
}

/* The step of every stage through a pad. */
static void write_steps(struct sheet_page *page, size_t pad)
{
    const struct model_pad_on_device *on = &page->sheet->run->on.pads[pad];
    const char *const columns[] = {"Stage",
                                   "Step, counts",
                                   "Rotor, deg",
                                   "Device, deg",
                                   sheet_is_fixed(page->sheet) ? "Left over a turn"
                                                               : "Error, at most",
                                   NULL};
    write_columns(page, columns);
    for (size_t i = 0; i < on->pair_count; i++) {
        struct sheet_step step = sheet_step(page->sheet, &on->pairs[i]);
        fputs("<tr>", page->out);
        element(page, "th scope=\"row\"", "th",
                model_stage(page->sheet->run->engine, on->pairs[i].stage)->id.text);
        element(page, "td class=\"whole\"", "td", step.counts);
        element(page, "td class=\"whole\"", "td", step.rotor);
        element(page, "td class=\"whole\"", "td", step.device);
        element(page, "td", "td", step.error);
        fputs("</tr>\n", page->out);
    }
    fputs("</tbody></table>\n", page->out);
    const char *datums = sheet_datums(page->sheet, pad);
    if (datums) {
        element(page, "p class=\"after\"", "p", datums);
    }
}

static void write_limits(struct sheet_page *page, size_t pad)
{
    struct sheet_rows rows = {NULL, 0, 0};
    sheet_pad_rows(page->sheet, pad, &rows);
    fputs("<dl class=\"limits\">\n", page->out);
    for (size_t i = 0; i < rows.count; i++) {
        fputs("<div>", page->out);
        element(page, "dt", "dt", rows.items[i].label);
        element(page, "dd class=\"value\"", "dd", rows.items[i].value);
        if (rows.items[i].detail) {
            element(page, "dd class=\"more\"", "dd", rows.items[i].detail);
        }
        fputs("</div>\n", page->out);
    }
    fputs("</dl>\n", page->out);
}

static void write_notes(struct sheet_page *page, size_t pad)
{
    struct sheet_rows rows = {NULL, 0, 0};
    sheet_pad_notes(page->sheet, pad, &rows);
    for (size_t i = 0; i < rows.count; i++) {
        fputs("<p class=\"note\">", page->out);
        element(page, "b", "b", sheet_say(page->sheet, "%s:", rows.items[i].label));
        fputc(' ', page->out);
        sheet_escape(page->out, rows.items[i].value);
        fputs("</p>\n", page->out);
    }
}

/* How to read the strip of a drive. */
static void write_key(struct sheet_page *page)
{
    element(
        page, "p class=\"key\"", "p",
        "All arrows show the spool turning its normal way, each in the view named below it. Gears "
        "are rolled out flat, to the scale of their teeth; \"so far\" counts turns for one turn of "
        "the shaft behind the mesh.");
}

static void write_pad(struct sheet_page *page, size_t pad)
{
    struct sheet_train adapter = sheet_adapter_train(page->sheet, pad);
    struct sheet_train train = sheet_pad_train(page->sheet, pad);
    struct sheet_scale scale = sheet_gears_scale(&adapter, &train);
    heading(page, sheet_pad_title(page->sheet, pad));
    if (pad == 0) {
        write_key(page);
    }
    fputs("<ol class=\"drive\">\n", page->out);
    write_turn(page, pad, SHEET_DEVICE, scale);
    write_train(page, &adapter, "device turns", scale);
    write_turn(page, pad, SHEET_PAD, scale);
    write_train(page, &train, "pad turns", scale);
    write_turn(page, pad, SHEET_ROTOR, scale);
    fputs("</ol>\n", page->out);
    if (train.count == 0) {
        element(page, "p class=\"note\"", "p", "The gears between pad and rotor are not known.");
    }
    write_notes(page, pad);
    write_limits(page, pad);
    write_steps(page, pad);
}

static void write_row(struct sheet_page *page, const struct sheet_row *row)
{
    fputs("<tr>", page->out);
    element(page, "th scope=\"row\"", "th", row->label);
    fputs("<td>", page->out);
    sheet_escape(page->out, row->value);
    if (row->detail) {
        fputs("<br/>", page->out);
        element(page, "span class=\"more\"", "span", row->detail);
    }
    fputs("</td></tr>\n", page->out);
}

static void write_rows(struct sheet_page *page, const struct sheet_rows *rows)
{
    for (size_t i = 0; i < rows->count; i++) {
        write_row(page, &rows->items[i]);
    }
}

/* A line below a wheel. */
static void write_item(struct sheet_page *page, const struct sheet_row *row)
{
    fputs("<div>", page->out);
    element(page, "dt", "dt", sheet_say(page->sheet, "%s:", row->label));
    fputs(" <dd>", page->out);
    sheet_escape(page->out, row->value);
    if (row->detail) {
        fputs(", ", page->out);
        sheet_escape(page->out, row->detail);
    }
    fputs("</dd></div>\n", page->out);
}

static void write_stage(struct sheet_page *page, size_t index)
{
    const struct model_stage *stage = model_stage(page->sheet->run->engine, index);
    const struct model_spool *spool = model_spool(page->sheet->run->engine, stage->spool_index);
    struct sheet_rows rows = {NULL, 0, 0};
    fputs("<article class=\"stage\"><h3>", page->out);
    sheet_escape(page->out, stage->id.text);
    fputc(' ', page->out);
    element(
        page, "span", "span",
        sheet_say(page->sheet, "%s, %" PRId64 " blades", sheet_role(stage), stage->blades.value));
    fputs("</h3>\n", page->out);
    sheet_draw_wheel(page, index);
    element(
        page, "p class=\"way\"", "p",
        sheet_say(page->sheet, "%s, aft looking forward", sheet_sense(model_spool_sign(spool))));
    sheet_stage_rows(page->sheet, index, &rows);
    fputs("<dl>\n", page->out);
    for (size_t i = 0; i < rows.count; i++) {
        write_item(page, &rows.items[i]);
    }
    fputs("</dl></article>\n", page->out);
}

static bool is_on(const struct sheet_page *page, size_t stage, size_t spool)
{
    return model_stage(page->sheet->run->engine, stage)->spool_index == spool;
}

static void write_driven(struct sheet_page *page, size_t spool)
{
    const struct model_engine *engine = page->sheet->run->engine;
    heading(page,
            sheet_say(page->sheet, "Stages of spool %s", model_spool(engine, spool)->id.text));
    element(page, "p class=\"key\"", "p",
            sheet_say(page->sheet,
                      "%s, and so is every drawing here. Blade one (solid) stands at the port "
                      "(wedge); a thick arrow brings the next blade there, a broken one shows how "
                      "the numbers grow. Diamond: datum mark.",
                      sheet_spool_way(page->sheet, spool)));
    fputs("<div class=\"stages\">\n", page->out);
    for (size_t i = 0; i < engine->stages.count; i++) {
        if (is_on(page, i, spool)) {
            write_stage(page, i);
        }
    }
    fputs("</div>\n", page->out);
}

static void write_by_hand(struct sheet_page *page, size_t spool)
{
    static const char *const columns[] = {"Stage",     "Blades", "Order at the port",
                                          "Blade one", "Port",   NULL};
    const struct model_engine *engine = page->sheet->run->engine;
    heading(page, sheet_say(page->sheet, "Spool %s, turned by hand",
                            model_spool(engine, spool)->id.text));
    element(page, "p class=\"key\"", "p",
            sheet_say(page->sheet, "%s. No pad turns it, and no device counts it.",
                      sheet_spool_way(page->sheet, spool)));
    write_columns(page, columns);
    for (size_t i = 0; i < engine->stages.count; i++) {
        const struct model_stage *stage = model_stage(engine, i);
        const char *ports = sheet_ports(page->sheet, stage);
        if (!is_on(page, i, spool)) {
            continue;
        }
        fputs("<tr>", page->out);
        element(page, "th scope=\"row\"", "th",
                sheet_say(page->sheet, "%s, %s", stage->id.text, sheet_role(stage)));
        element(page, "td", "td", sheet_say(page->sheet, "%" PRId64, stage->blades.value));
        element(page, "td", "td", sheet_passing(page->sheet, stage));
        element(page, "td", "td",
                stage->blade_one.at.state == MODEL_GIVEN ? stage->blade_one.text : "not described");
        element(page, "td", "td", ports ? ports : "none given");
        fputs("</tr>\n", page->out);
    }
    fputs("</tbody></table>\n", page->out);
}

static void write_witnesses(struct sheet_page *page)
{
    const struct model_engine *engine = page->sheet->run->engine;
    heading(page, "Measured on an engine");
    if (engine->witnesses.count == 0) {
        element(page, "p", "p", "Nothing: no witness ties these numbers to a real engine.");
        return;
    }
    fputs("<table class=\"wide facts\"><tbody>\n", page->out);
    for (size_t i = 0; i < engine->witnesses.count; i++) {
        struct sheet_row row = sheet_witness(page->sheet, i);
        write_row(page, &row);
    }
    fputs("</tbody></table>\n", page->out);
}

static void write_sources(struct sheet_page *page)
{
    struct sheet_rows rows = {NULL, 0, 0};
    heading(page, "Where these numbers come from");
    sheet_source_rows(page->sheet, &rows);
    fputs("<table class=\"wide facts\"><tbody>\n", page->out);
    write_rows(page, &rows);
    fputs("</tbody></table>\n", page->out);
}

void report_sheet_html(FILE *out, const struct sheet *sheet)
{
    struct sheet_page page = {.out = out, .sheet = sheet};
    const struct model_engine *engine = sheet->run->engine;
    write_head(&page);
    write_cautions(&page);
    for (size_t i = 0; i < engine->pads.count; i++) {
        write_pad(&page, i);
    }
    for (size_t i = 0; i < engine->spools.count; i++) {
        if (sheet_is_driven(sheet, i)) {
            write_driven(&page, i);
        }
    }
    for (size_t i = 0; i < engine->spools.count; i++) {
        if (!sheet_is_driven(sheet, i)) {
            write_by_hand(&page, i);
        }
    }
    write_witnesses(&page);
    write_sources(&page);
    fputs("</main>\n</body>\n</html>\n", out);
}
