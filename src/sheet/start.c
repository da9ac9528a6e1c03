/*
 * start.c - the start page of a folder of sheets: all engines in one list that can be searched.
 *
 * The Content-Security-Policy of the page names the digest of its script, so that a browser runs no
 * other one.
 */
#include "sheet/html.h"

#include "text/digest.h"

#include <inttypes.h>
#include <string.h>

const char *sheet_file_name(struct arena *arena, const char *engine, bool html)
{
    return arena_printf(arena, "%s.sheet.%s", engine, html ? "html" : "txt");
}

/* ---- script and style ------------------------------------------------------------------------ */

/*
 * Shows the engines that have all the words of the field, in any order.  pageshow comes after the
 * browser has put back what was in the field.  No character of the script means anything in XML.
 */
static const char script[] =
    "\n\"use strict\";\n"
    "{\n"
    "const plain = (text) => text.normalize(\"NFKC\").toLowerCase();\n"
    "const field = document.getElementById(\"words\");\n"
    "const engines = Array.from(document.querySelectorAll(\"tbody\"),\n"
    "    (body) => ({ body, text: plain(body.textContent) }));\n"
    "const find = () => {\n"
    "    const words = plain(field.value).split(/\\s+/);\n"
    "    let found = 0;\n"
    "    for (const { body, text } of engines) {\n"
    "        body.hidden = !words.every((word) => text.includes(word));\n"
    "        found += body.hidden ? 0 : 1;\n"
    "    }\n"
    "    document.getElementById(\"found\").textContent =\n"
    "        `${found} of ${engines.length} engine${engines.length === 1 ? \"\" : \"s\"}`;\n"
    "};\n"
    "field.addEventListener(\"input\", find);\n"
    "window.addEventListener(\"pageshow\", find);\n"
    "document.getElementById(\"find\").hidden = false;\n"
    "}\n";

static const char *const start_style[] = {
    "body{max-width:76rem}[hidden]{display:none!important}",
    ".first{margin-top:1rem;border:3px solid var(--ink);background:var(--card);padding:.6rem 1rem}",
    /* the search */
    ".find{display:flex;flex-wrap:wrap;align-items:center;gap:.4rem .8rem;margin-top:1.2rem}",
    ".find label,.find p{font-weight:bold}.find p{min-width:8.5rem}",
    ".find input{flex:1 1 14rem;min-width:0;font:inherit;padding:.45rem .7rem;color:var(--ink);",
    "border:2px solid var(--ink);border-radius:0;background:var(--card)}",
    "a:focus-visible,input:focus-visible{outline:3px solid var(--move);outline-offset:2px}",
    /* the list */
    "table{border-collapse:collapse;width:100%;margin-top:1rem;background:var(--card);",
    "border:1px solid var(--line);line-height:1.35}",
    "th,td{text-align:left;vertical-align:top;padding:.35rem .7rem;font-weight:normal}",
    "thead th{position:sticky;top:0;background:var(--card);font-weight:bold;font-size:.85rem;",
    "box-shadow:0 2px var(--ink);overflow-wrap:normal}",
    "tbody{border-top:2px solid var(--line)}tbody th,tbody tr:first-child td{padding-top:.6rem}",
    "tbody tr:last-child td{padding-bottom:.6rem}",
    "a{color:var(--move);font-weight:bold;font-size:1.15rem;text-underline-offset:.15em}",
    "tbody th{width:20%}tbody th span{display:block;font-size:.85rem;color:var(--soft)}",
    "td{font-size:.95rem;font-variant-numeric:tabular-nums}",
    ".pad,.by-hand{min-width:6.2rem}.edition{min-width:7.6rem}.stages{min-width:13.5rem}",
    ".turns,.torque{white-space:nowrap}", ".stages,::placeholder{color:var(--soft);opacity:1}",
    ".stages span{display:inline-block;max-width:100%}",
    ".alarm{border:3px double var(--alarm);color:var(--alarm);padding:0 .3rem}",
    ".foot{font-size:.85rem;color:var(--soft);margin-top:.6rem}",
    /* small screens: each engine is a card, and each cell says what it is */
    "@media screen and (max-width:62rem){",
    "thead{position:absolute;clip-path:inset(50%);width:1px;height:1px;overflow:hidden}",
    "table,tbody,tr,th,td{display:block}table{border:0;background:none}",
    "tbody{border:1px solid var(--line);background:var(--card);margin-bottom:.7rem;",
    "padding:.5rem .8rem .7rem}tbody th{width:auto}",
    "th,td,tbody th,tbody tr:first-child td,tbody tr:last-child td{padding:.1rem 0}",
    "tr+tr,.edition+td{margin-top:.4rem}.turns,.torque{white-space:normal}",
    "td:empty{display:none}.spool{font-weight:bold}",
    ".edition::before{content:\"Revision \"}.spool::before{content:\"Spool \"}",
    ".pad::before{content:\"Pad \"}",
    ".by-hand::before{content:\"Turned \"}.turns::before{content:\"Pad turns per rotor turn: \"}",
    ".torque::before{content:\"Torque, at most: \"}.stages::before{content:\"Stages: \"}}",
    "@media (max-width:34rem){body{padding:.6rem}h1{font-size:1.7rem}}",
    /* paper: the cautions are 10pt, the list 8pt */
    "@media print{body{padding:0;max-width:none;font-size:10pt;line-height:1.3}h1{font-size:18pt}",
    "header dl,.foot{font-size:8pt}.find{display:none}",
    ".first{margin-top:2mm;padding:1.2mm 2.5mm}",
    "table{margin-top:3mm;line-height:1.25}tbody{break-inside:avoid;border-top-width:1px}",
    "thead th{position:static;box-shadow:none;border-bottom:2px solid var(--ink);font-size:8pt}",
    "th,td{padding:.4mm 1.2mm}tbody th,tbody tr:first-child td{padding-top:1mm}",
    "tbody tr:last-child td{padding-bottom:1mm}td,tbody th span{font-size:8pt}",
    "a{font-size:10pt;color:inherit;text-decoration:none}tbody th{width:36mm}",
    ".edition{min-width:20mm}.pad,.by-hand{min-width:18mm}.stages{min-width:46mm}}", NULL};

/* ---- head ------------------------------------------------------------------------------------ */

static void write_head(struct sheet_page *page, const struct sheet_folder *folder)
{
    uint8_t digest[TEXT_DIGEST_SIZE];
    char encoded[TEXT_DIGEST_BASE64_SIZE];
    text_digest_bytes(script, strlen(script), digest);
    text_digest_base64(digest, encoded);
    fputs("<!DOCTYPE html>\n<html lang=\"en\">\n<head>\n<meta charset=\"utf-8\"/>\n"
          "<meta name=\"viewport\" content=\"width=device-width, initial-scale=1\"/>\n",
          page->out);
    fprintf(page->out,
            "<meta http-equiv=\"Content-Security-Policy\" content=\"default-src 'none'; style-src "
            "'unsafe-inline'; script-src 'sha256-%s'\"/>\n<title>Setup sheets: ",
            encoded);
    sheet_escape(page->out, folder->device->name.text);
    fputs("</title>\n<style>\n", page->out);
    sheet_lines(page->out, sheet_basic_style);
    sheet_lines(page->out, start_style);
    fprintf(page->out,
            "@page{size:A4;margin:8mm 10mm 11mm;font:8pt \"Liberation Sans\",Arial,sans-serif;\n"
            "@bottom-left{content:\"Setup sheets on %s\"}\n"
            "@bottom-right{content:\"page \" counter(page) \" of \" counter(pages)}}\n</style>\n"
            "</head>\n<body>\n",
            folder->device->id.text);
}

static void write_begin(struct sheet_page *page, const struct sheet_folder *folder)
{
    fputs("<header><div>", page->out);
    sheet_element(page, "p class=\"kind\"", "p", "Setup sheets for turning the rotor");
    fputs("<h1>Engines on ", page->out);
    sheet_escape(page->out, folder->device->name.text);
    fputs("</h1>", page->out);
    fputs("</div><dl>", page->out);
    sheet_element(page, "dt", "dt", "Device");
    sheet_element(page, "dd", "dd", folder->device->id.text);
    sheet_element(page, "dt", "dt", "Sheets");
    fprintf(page->out, "<dd>%zu</dd></dl></header>\n<main>\n", folder->index->count);
    sheet_element(page, "p class=\"first\"", "p",
                  "Each sheet begins with its cautions: read them before anything is coupled to "
                  "the engine. The sheets show checked arithmetic, not airworthiness. The engine "
                  "manufacturer's current manual, local rules and licensed staff decide.");
    fputs("\n<div class=\"find\" role=\"search\" id=\"find\" hidden=\"hidden\">"
          "<label for=\"words\">Find an engine</label>\n<input id=\"words\" type=\"search\" "
          "placeholder=\"model, id, stage, pad, draft ...\" autocomplete=\"off\"/>\n"
          "<p id=\"found\" role=\"status\"></p></div>\n",
          page->out);
}

/* ---- the list -------------------------------------------------------------------------------- */

/* Opens a cell that goes down over several rows. */
static void open_cell(FILE *out, const char *tag, size_t rows)
{
    fprintf(out, "<%s", tag);
    if (rows > 1) {
        fprintf(out, " rowspan=\"%zu\"", rows);
    }
    fputc('>', out);
}

/* What the engine is, in the first cells of its first row. */
static void write_engine(struct sheet_page *page, const struct report_index *index,
                         const struct report_index_engine *engine, size_t rows)
{
    open_cell(page->out, "th class=\"engine\" scope=\"rowgroup\"", rows);
    fputs("<a href=\"", page->out);
    sheet_escape(page->out, sheet_file_name(index->arena, engine->id, true));
    fputs("\">", page->out);
    sheet_escape(page->out, engine->name);
    fputs("</a>\n", page->out);
    sheet_element(page, "span", "span", engine->id);
    fputc('\n', page->out);
    fputs("<span>holds for ", page->out);
    sheet_escape(page->out, engine->model_words);
    fputs("</span></th>\n", page->out);
    open_cell(page->out, "td class=\"edition\"", rows);
    fprintf(page->out, "%" PRId64 ", ", engine->revision);
    sheet_element(page, engine->draft ? "b class=\"alarm\"" : "span", engine->draft ? "b" : "span",
                  engine->status);
    fputs("</td>\n", page->out);
}

/* No line ends between a stage and its blades. */
static void write_stages(FILE *out, const struct report_index_spool *spool)
{
    for (size_t i = 0; i < spool->stage_count; i++) {
        fprintf(out, "<span>%s %" PRId64 "%s</span>\n", spool->stages[i].id,
                spool->stages[i].blades, i + 1 == spool->stage_count ? "" : ",");
    }
}

/* The row of a pad; of a spool that is turned by hand if there is no pad. */
static void write_row(struct sheet_page *page, const struct report_index_spool *spool, size_t row)
{
    const struct report_index_pad *pad = spool->pad_count == 0 ? NULL : &spool->pads[row];
    if (row == 0) {
        open_cell(page->out, "td class=\"spool\"", report_index_rows(spool));
        fprintf(page->out, "%s</td>\n", spool->id);
    }
    sheet_element(page, pad ? "td class=\"pad\"" : "td class=\"by-hand\"", "td",
                  pad ? pad->id : "by hand");
    fputc('\n', page->out);
    sheet_element(page, "td class=\"turns\"", "td", pad ? pad->ratio : "");
    fputc('\n', page->out);
    sheet_element(page, "td class=\"torque\"", "td", pad ? pad->torque_words : "");
    fputc('\n', page->out);
    if (row == 0) {
        open_cell(page->out, "td class=\"stages\"", report_index_rows(spool));
        write_stages(page->out, spool);
        fputs("</td>", page->out);
    }
    fputs("</tr>\n", page->out);
}

static void write_rows(struct sheet_page *page, const struct report_index *index,
                       const struct report_index_engine *engine)
{
    size_t rows = 0;
    for (size_t i = 0; i < engine->spool_count; i++) {
        rows += report_index_rows(&engine->spools[i]);
    }
    fputs("<tbody>\n<tr>", page->out);
    write_engine(page, index, engine, rows);
    for (size_t i = 0; i < engine->spool_count; i++) {
        for (size_t row = 0; row < report_index_rows(&engine->spools[i]); row++) {
            fputs(i == 0 && row == 0 ? "" : "<tr>", page->out);
            write_row(page, &engine->spools[i], row);
        }
    }
    fputs("</tbody>\n", page->out);
}

void sheet_start_html(FILE *out, const struct sheet_folder *folder)
{
    static const char *const columns[] = {"Engine",
                                          "Revision",
                                          "Spool",
                                          "Pad",
                                          "Pad turns per rotor turn",
                                          "Torque, at most",
                                          "Stages and their blades"};
    struct sheet_page page = {.out = out};
    write_head(&page, folder);
    write_begin(&page, folder);
    fputs("<table><thead><tr>", out);
    for (size_t i = 0; i < sizeof columns / sizeof *columns; i++) {
        sheet_element(&page, "th scope=\"col\"", "th", columns[i]);
    }
    fputs("</tr></thead>\n", out);
    for (size_t i = 0; i < folder->index->count; i++) {
        write_rows(&page, folder->index, &folder->index->engines[i]);
    }
    fputs("</table>\n<p class=\"foot\">Torque is at the device's square. Device profile ", out);
    fprintf(out, "%s, SHA-256 %s.</p>\n</main>\n<script>%s</script>\n</body>\n</html>\n",
            folder->device->id.text, folder->device_digest, script);
}
