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

/* ---- how it begins --------------------------------------------------------------------------- */

/*
 * The style, and the running foot of printed pages.  Ids hold only letters, digits and hyphens, so
 * they are safe in a string of CSS.
 */
static void write_style(struct sheet_page *page)
{
    const struct model_derived *derived = page->sheet->derived;
    fputs("<style>\n", page->out);
    sheet_lines(page->out, sheet_basic_style);
    sheet_lines(page->out, sheet_style);
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
    for (size_t i = 0; i < page->sheet->derived->engine->spools.count; i++) {
        const char *by_hand = sheet_hand_warning(page->sheet, i);
        if (by_hand) {
            sheet_element(page, "p class=\"alarm\"", "p", by_hand);
        }
    }
    fputs("<ol>\n", page->out);
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

/* ---- style --------------------------------------------------------------------------------------
 */

/*
 * Ink on paper, and two more colours.  One is for what moves, one is for blade one and its port.
 * Each also has its own shape, so that a sheet printed in black shows the same.
 */
const char *const sheet_basic_style[] = {
    /* colours */
    ":root{color-scheme:light dark;--paper:#f4f1ea;--card:#fffdf9;--ink:#1b2730;--soft:#4d5b65;",
    "--line:#b8bfc2;--fill:#e4e8e6;--move:#0b5c86;--mark:#a3370b;--alarm:#7d1f0a}",
    "@media screen and (prefers-color-scheme:dark){:root{--paper:#11181d;--card:#1a242b;",
    "--ink:#e9eef0;--soft:#aebbc3;--line:#4a5a65;--fill:#2a3740;--move:#7fc8ef;--mark:#ffb184;",
    "--alarm:#ffb3a0}}",
    "@media print{:root{--paper:#fff;--card:#fff;--ink:#000;--soft:#333;--line:#999;",
    "--fill:#e6e6e6;--move:#004a75;--mark:#8c2c00;--alarm:#000}}",
    /* text */
    "*{box-sizing:border-box}",
    "body{margin:0 auto;max-width:62rem;padding:1rem;background:var(--paper);color:var(--ink);",
    "font:1rem/1.45 \"Liberation Sans\",Arial,Helvetica,sans-serif;overflow-wrap:anywhere;",
    "-webkit-text-size-adjust:100%}", "h1,h2,h3,p,ol,ul,dl,dd,figure,table{margin:0;padding:0}",
    "h1{font-size:2.1rem;line-height:1.15;letter-spacing:-.01em}",
    "h2{font-size:1.25rem;line-height:1.25;margin:1.8rem 0 .7rem;padding-top:.5rem;",
    "border-top:3px solid var(--ink)}", "h3{font-size:1.05rem;line-height:1.25}",
    /* head */
    "header{display:flex;flex-wrap:wrap;gap:.3rem 1.5rem;justify-content:space-between;",
    "align-items:flex-end}",
    "header .kind{font-weight:bold;color:var(--soft);margin-bottom:.15rem}",
    "header dl{display:grid;grid-template-columns:auto 1fr;gap:0 .7rem;font-size:.95rem}",
    "header dt{color:var(--soft)}header dd{font-weight:bold}", NULL};

const char *const sheet_style[] = {
    /* cautions */
    ".first{margin-top:1rem;border:3px solid var(--ink);background:var(--card);",
    "padding:.7rem 1rem .8rem;position:relative}", ".first h2{border:0;margin:0 0 .4rem;padding:0}",
    "section>ul,.first ol{padding-left:1.4rem}",
    ".first li{margin-top:.3rem}.first li::marker{font-weight:bold}",
    ".alarm{border:3px double var(--alarm);color:var(--alarm);font-weight:bold;",
    "padding:.4rem .7rem;margin:0 0 .6rem}",
    /* the drive */
    ".drive{display:flex;flex-wrap:wrap;list-style:none;background:var(--card);",
    "border:1px solid var(--line);padding:.6rem 0 .7rem}",
    ".drive li{flex:1 1 auto;min-width:6.5rem;max-width:100%;text-align:center}",
    ".bench{position:relative;display:flex;justify-content:center}",
    ".bench svg{position:relative;max-width:100%;height:auto}",
    ".bench::before{content:\"\";position:absolute;left:0;right:0;top:50%;margin-top:-2px;",
    "border-top:4px solid var(--soft)}", ".drive li:first-child .bench::before{left:50%}",
    ".drive li:last-child .bench::before{right:50%}",
    "figcaption{width:0;min-width:100%;padding:.3rem .4rem 0;font-size:.82rem;line-height:1.35}",
    "figcaption b,figcaption span{display:block}", "figcaption .way{font-size:.95rem}",
    ".note{margin-top:.6rem;padding:.45rem .8rem;border-left:6px solid var(--ink);",
    "background:var(--card)}",
    ".key,.after{font-size:.85rem;color:var(--soft);margin:.5rem 0 .7rem}",
    /* limits */
    ".limits{display:grid;grid-template-columns:repeat(auto-fit,minmax(17rem,1fr));gap:1px;",
    "margin-top:.7rem;background:var(--line);border:1px solid var(--line)}",
    ".limits div{background:var(--card);padding:.5rem .75rem .6rem}",
    ".limits dt{font-size:.85rem;color:var(--soft)}",
    ".limits .value{font-size:1.2rem;font-weight:bold;line-height:1.25}",
    ".limits .more{font-size:.82rem;line-height:1.35;color:var(--soft)}",
    /* stages */
    ".stages{display:grid;grid-template-columns:repeat(auto-fill,minmax(min(13rem,47%),1fr));",
    "gap:.7rem}",
    ".stage{background:var(--card);border:1px solid var(--line);padding:.5rem .6rem .6rem}",
    ".stage h3 span{display:block;font-weight:normal;color:var(--soft);font-size:.85rem}",
    ".stage .way{text-align:center;font-size:.85rem}",
    ".stage dl{margin-top:.2rem;font-size:.82rem;line-height:1.35}",
    ".stage dt,.stage dd{display:inline}.stage dt{color:var(--soft)}",
    ".way{font-weight:bold;color:var(--move)}",
    ".wheel{width:100%;max-width:15rem;height:auto;margin:0 auto}",
    /* tables */
    "table{border-collapse:collapse;width:100%;font-size:.85rem;line-height:1.35}",
    "th,td{text-align:left;vertical-align:top;padding:.14rem .4rem .14rem 0}",
    "th{font-weight:normal;color:var(--soft)}",
    ".wide{margin-top:.7rem;background:var(--card);border:1px solid var(--line)}",
    ".wide th,.wide td{padding:.3rem .6rem;border-top:1px solid var(--line)}",
    ".wide thead th{border-top:0;color:var(--ink);font-weight:bold}",
    ".wide tbody th{color:var(--ink);font-weight:bold;min-width:3.7rem}",
    "thead th,.steps th,.steps td{overflow-wrap:normal}", /* numbers stay whole */
    ".facts th{width:10rem}",
    ".sources dl{background:var(--card);border:1px solid var(--line);border-top:0;",
    "font-size:.85rem;line-height:1.35}",
    ".sources div{display:grid;grid-template-columns:10rem 1fr;border-top:1px solid var(--line)}",
    ".sources dt,.sources dd{padding:.3rem .6rem}.sources dt{font-weight:bold}",
    ".more{color:var(--soft)}",
    /* drawings */
    "svg{display:block}svg text{font-family:\"Liberation Sans\",Arial,Helvetica,sans-serif;",
    "font-weight:bold;text-anchor:middle;fill:var(--ink)}", ".gear .back{fill:var(--card)}",
    ".gear .body,.gear .hole{fill:var(--card);stroke:var(--ink);stroke-width:14}",
    ".gear .body{fill:var(--fill)}.gear .idle{fill:var(--card)}",
    ".gear .cone{fill:none;stroke:var(--ink);stroke-width:8}",
    ".gear .space{fill:var(--card);stroke:var(--ink);stroke-width:10}",
    ".gear .solid{fill:var(--ink)}", ".gear .teeth{fill:none;stroke:var(--ink)}",
    ".gear .held{stroke:var(--ink);stroke-width:44;stroke-dasharray:30 26}",
    ".gear circle.held:not(.body){fill:none}",
    ".gear .arm{stroke:var(--soft);stroke-width:36;stroke-linecap:round}",
    ".gear .line{fill:none;stroke:var(--ink);stroke-width:16}",
    ".gear .turn{fill:none;stroke:var(--move);stroke-width:28}.gear .head{fill:var(--move)}",
    ".wheel .casing{fill:none;stroke:var(--soft);stroke-width:1.5}",
    ".wheel .hub{fill:var(--fill);stroke:var(--ink);stroke-width:1}",
    ".wheel .blade{stroke:var(--ink);fill:none}",
    ".wheel .one{fill:var(--mark);stroke:var(--card);stroke-width:1}",
    ".wheel .known{fill:var(--card);stroke:var(--mark);stroke-width:2}",
    ".wheel .mark{fill:var(--mark)}.wheel .next{fill:var(--move)}.wheel .soft{fill:var(--soft)}",
    ".wheel .port{fill:var(--mark);stroke:var(--mark);stroke-width:1.5}",
    ".wheel .other{fill:var(--card)}", ".wheel .datum{fill:var(--ink)}",
    ".wheel .next,.wheel .soft,.wheel "
    ".outside{stroke:var(--card);stroke-width:3;paint-order:stroke}",
    ".wheel .line{stroke:var(--soft);stroke-width:2}",
    ".wheel .turn,.wheel .pass{fill:none;stroke:var(--move);stroke-width:4}",
    ".wheel .head{fill:var(--move)}",
    ".wheel .grow{fill:none;stroke:var(--ink);stroke-width:1.8;stroke-dasharray:4 2.5}",
    ".wheel .tip{fill:var(--ink)}",
    /* small screens */
    "@media (max-width:34rem){body{padding:.6rem}h1{font-size:1.7rem}",
    "table{font-size:.75rem}.wide th,.wide td{padding:.25rem .22rem}.facts th{width:6rem}",
    ".steps{overflow-x:auto}.steps table{font-size:.7rem}",
    ".steps th,.steps td{padding:.25rem .15rem}", ".drive li{min-width:9.5rem}",
    ".stages{gap:.4rem}.stage{padding:.4rem}", ".limits .value{font-size:1.1rem}}",
    /* paper: all that is small is 7pt, and no text in a drawing is below 6.5pt = 8.67px */
    "@media print{body{padding:0 .3mm;max-width:none;font-size:8pt;line-height:1.28}",
    "*{-webkit-print-color-adjust:exact;print-color-adjust:exact}",
    "h1{font-size:17pt}h2{font-size:10.5pt;margin:2mm 0 .8mm;padding-top:.6mm;break-after:avoid;",
    "border-top-width:2px}h3{font-size:8.5pt}",
    "header dl,table,figcaption,.key,.after,.limits,.stage,.sources dl{font-size:7pt;",
    "line-height:1.2}", "header .kind{margin:0}",
    ".first{margin-top:2mm;padding:1.2mm 2.5mm 1.4mm}.first h2{margin-bottom:.4mm}",
    ".first li{margin-top:.3mm}",
    ".pad,.first,.rest section,.stage,.wide tr,.note,.key{break-inside:avoid}",
    ".key{margin:0 0 1mm;break-after:avoid}.after{margin:1mm 0 0}",
    /* the drive */
    ".drive{padding:1mm 0}.drive li{flex:1 1 24mm;min-width:min-content}.gear{zoom:.8}",
    ".bench svg{max-width:225mm}", "figcaption{padding:0 .6mm}figcaption .way{font-size:7.5pt}",
    ".note{margin-top:1.2mm;padding:.5mm 2mm;border-left-width:4px}",
    /* limits beside the steps */
    ".numbers{display:grid;grid-template:auto 1fr/minmax(0,1fr) auto;column-gap:1.2mm;",
    "margin-top:1.2mm;align-items:start}.limits,.numbers .wide{margin-top:0}",
    ".limits{grid-area:1/1/3/2}.steps{grid-area:1/2/2/3}.after{grid-area:2/2/3/3}",
    ".long .limits{grid-area:1/1/2/2}.long .steps{grid-area:1/2/3/3}",
    ".long .after{grid-area:2/1/3/2}.after{width:0;min-width:100%}",
    ".limits{display:block;background:none}",
    ".limits div{position:relative;min-height:6.9mm;padding:.4mm 1mm .4mm 20mm;background:none;",
    "border-top:1px solid var(--line)}.limits div:first-child{border-top:0}",
    ".limits dt{position:absolute;left:1mm;width:18.5mm;font-size:7pt}",
    ".limits dd{display:inline}.limits .value{font-size:8.5pt;line-height:1.15;margin-right:.6mm}",
    ".limits .more{font-size:7pt;line-height:1.2}",
    ".steps thead th{width:11mm}.steps th:nth-child(5){width:13.5mm}",
    ".steps td,.steps tbody th{white-space:nowrap}",
    "th,td{padding:.2mm 1mm .2mm 0}.wide th,.wide td{padding:.35mm 1.1mm}",
    ".wide tbody th{min-width:0}",
    /* stages: as many side by side as their class says; if there are few, words beside the wheel */
    ".stages{grid-template-columns:repeat(5,minmax(0,1fr));gap:1mm}.stage{padding:.6mm .8mm 1mm}",
    ".stage .way,.stage dl,.stage h3 span{font-size:7pt;line-height:1.2}.wheel{width:100%}",
    ".of-1,.of-2{grid-template-columns:repeat(2,minmax(0,1fr))}",
    ".of-3{grid-template-columns:repeat(3,minmax(0,1fr))}",
    ".of-4{grid-template-columns:repeat(4,minmax(0,1fr))}",
    ".of-6{grid-template-columns:repeat(6,minmax(0,1fr))}",
    ".of-7{grid-template-columns:repeat(7,minmax(0,1fr))}",
    ".of-8{grid-template-columns:repeat(8,minmax(0,1fr))}",
    ".few .stage{display:grid;grid-template:auto auto 1fr/32mm 1fr;column-gap:1mm}",
    ".of-4 .stage{grid-template-columns:26mm 1fr}",
    ".few .wheel{grid-area:1/1/4/2}.few .way{text-align:left}", ".some .wheel{width:31mm}",
    ".many .way{display:none}", /* it is above all of them */
    ".many .wheel .pass,.many .wheel .turn{stroke-width:5}.many .wheel .grow{stroke-width:2.4}",
    ".of-7 h3 span,.of-8 h3 span{display:inline;line-height:1}",
    ".of-7 h3{line-height:1.05;min-height:6.3mm}.of-8 h3{line-height:1.05;min-height:9.4mm}",
    ".wheel{overflow:visible}.wheel text{font-size:17px}.of-4 text{font-size:20.5px}",
    ".of-6 text{font-size:18.5px}.of-7 text{font-size:22px}.of-8 text{font-size:25.5px}",
    ".driven~.driven .legend{display:none}", /* once on a sheet */
    /* what no pad turns, and the sources of the numbers: side by side */
    ".rest{display:flex;flex-wrap:wrap;column-gap:3mm}.rest section{flex:1 1 90mm}",
    ".rest .wide{margin-top:0}.facts th{width:16mm}",
    ".facts br{display:none}.facts .more::before{content:\"; \"}",
    ".rest section:nth-child(odd):last-child dl{display:grid;grid-template-columns:3fr 5fr}",
    ".sources div{grid-template-columns:19mm 1fr}.sources dt,.sources dd{padding:.35mm 1.1mm}}",
    NULL};
