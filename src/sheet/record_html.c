/*
 * record_html.c - the HTML form of a record, in pages that are numbered by stage.
 *
 * A browser cannot number the pages of a stage, so the pages are made here.  Rows have a fixed
 * height, and the height of every text above them is estimated for a wide font.  A page is then
 * never longer than A4, in whatever font it is printed.
 */
#include "sheet/record.h"

#include "text/utf8.h"

#include <inttypes.h>
#include <string.h>

/* Tenths of a millimetre on A4. */
enum {
    PAGE = 2770,
    ROW_LEAST = 72, /* to write in */
    ROW_MOST = 100,
    FIELDS = 135,
    HEADINGS = 75,
    FOOT = 70,
    AGAIN = 125,
    WHEEL = 370,
    LINE = 46, /* of the texts */
    TITLE_LINE = 70,
    GAP = 9,   /* after a sentence or a fact */
    BOX = 45,  /* the frame of the cautions */
    APART = 27 /* round the facts */
};

/* Characters that a line holds in a wide font. */
enum { TITLE_COLUMNS = 54, LINE_COLUMNS = 84, FACT_COLUMNS = 50 };

static const char *const record_style[] = {
    "body{max-width:56rem}",
    ".page{background:var(--card);border:1px solid var(--line);padding:1rem 1.2rem;",
    "margin-bottom:1.5rem}",
    ".page h1,.page .engine{font-size:1rem;line-height:1.3;letter-spacing:0;font-weight:bold;",
    "color:var(--soft)}",
    ".page h2{font-size:1.5rem;line-height:1.25;margin:0;padding:0;border:0}",
    ".fields{display:grid;grid-template-columns:repeat(4,1fr);margin:.6rem 0;",
    "border:2px solid var(--ink)}.fields dt{font-size:.8rem;color:var(--soft)}",
    ".fields div{min-height:3rem;padding:.1rem .4rem;border-left:1px solid var(--line)}",
    ".fields div:first-child{border-left:0}",
    ".first{border:3px solid var(--ink);padding:.4rem .8rem;margin-bottom:.6rem}",
    ".first .before{font-weight:bold}",
    ".about{display:grid;grid-template-columns:1fr 9rem;gap:.8rem;align-items:start;",
    "margin-bottom:.6rem}svg.wheel{width:100%;height:auto;overflow:visible}",
    ".about dl div{display:grid;grid-template-columns:9.5rem 1fr;gap:.5rem;margin-bottom:.2rem}",
    ".about dt{color:var(--soft)}.more{color:var(--soft)}",
    "table{border-collapse:collapse;width:100%;table-layout:fixed}",
    "th,td{text-align:left;border:1px solid var(--line);padding:0 .4rem;height:2.6rem;",
    "vertical-align:middle}thead th{height:auto;padding:.3rem .4rem;border-color:var(--ink);",
    "border-width:0 1px 2px;font-size:.9rem}thead th:first-child{border-left:0}",
    "thead th:last-child{border-right:0}tbody th{font-size:1.1rem}",
    ".blade{width:9%}.count{width:15%}.degrees{width:13%}.finding{width:36%}",
    ".again{margin:.7rem 0 .3rem}.again i{display:inline-block;border:1.5px solid var(--ink);",
    "width:1.1rem;height:1.1rem;vertical-align:-.15rem;margin:0 .3rem 0 .9rem}",
    ".again b{display:inline-block;border-bottom:1.5px solid var(--ink);width:8rem;",
    "height:1.3rem;vertical-align:-.2rem}",
    ".foot{display:flex;flex-wrap:wrap;justify-content:space-between;gap:0 1rem;",
    "font-size:.85rem;color:var(--soft);padding-top:.4rem}.foot b{color:var(--ink)}",
    "@media screen and (max-width:34rem){body{padding:.4rem}.page{padding:.5rem}",
    ".fields{grid-template-columns:1fr 1fr}.fields div:nth-child(3){border-left:0}",
    ".fields div:nth-child(n+3){border-top:1px solid var(--line)}",
    ".about{grid-template-columns:1fr}svg.wheel{max-width:11rem;margin:0 auto}",
    ".about dl div{grid-template-columns:6rem 1fr}th,td{padding:0 .2rem;font-size:.85rem}",
    "thead th{padding:.3rem .2rem;font-size:.75rem}",
    "tbody th{font-size:1rem}.blade{width:14%}.count{width:21%}.degrees{width:19%}",
    ".finding{width:25%}}",
    "@media print{body{padding:0;max-width:none;font-size:10pt;line-height:1.25}",
    "*{-webkit-print-color-adjust:exact;print-color-adjust:exact}",
    ".page{border:0;padding:0;margin:0;min-height:277mm;display:flex;flex-direction:column;",
    "break-after:page}.page:last-child{break-after:auto}",
    ".page h1,.page .engine{font-size:10pt;line-height:1.25}.page h2{font-size:14pt}",
    ".fields{margin:1mm 0 1.2mm}.fields dt{font-size:8pt}.fields div{min-height:10mm;",
    "padding:.2mm 1mm}",
    ".first{padding:1mm 2mm;margin:0 0 1.5mm}.first p{margin-bottom:.6mm}",
    ".about{grid-template-columns:1fr 34mm;gap:2mm;margin:0 0 1mm}",
    ".about dl div{grid-template-columns:36mm 1fr;gap:1mm;margin-bottom:.8mm}",
    "table{flex:none}th,td{padding:0 1mm;height:var(--row)}thead th{font-size:9pt;",
    "padding:.8mm 1mm}tbody th{font-size:11pt}.wheel text{font-size:17px}",
    ".blade{width:16mm}.count{width:27mm}.degrees{width:24mm}.finding{width:70mm}",
    ".again{margin:2.5mm 0 1mm}.foot{font-size:8pt;margin-top:auto;padding-top:1mm}}",
    "@page{size:A4;margin:9mm 11mm 10mm}",
    NULL};

/* ---- how high it is ---------------------------------------------------------------------------
 */

/* How many lines the text takes: a letter that is not ASCII counts twice. */
static int64_t lines_of(const struct sheet *sheet, const char *raw, int64_t columns)
{
    const char *text = sheet_clean(sheet->arena, raw);
    int64_t letters = (int64_t)text_utf8_count(text, strlen(text));
    for (const char *byte = text; *byte; byte++) {
        letters += ((unsigned char)*byte & 0xc0) == 0xc0; /* the first byte of such a letter */
    }
    return letters / columns + 1;
}

/* The height of what is on every page of a stage, without its rows. */
static int64_t height_of_all(const struct sheet *sheet, const struct sheet_record *record,
                             const char *engine)
{
    return lines_of(sheet, engine, LINE_COLUMNS) * LINE +
           lines_of(sheet, record->title, TITLE_COLUMNS) * TITLE_LINE + FIELDS + HEADINGS + FOOT;
}

/* The height of what is only on the first page. */
static int64_t height_of_first(const struct sheet *sheet, const struct sheet_record *record)
{
    int64_t height = lines_of(sheet, record->cautions, LINE_COLUMNS) * LINE + BOX;
    int64_t facts = 0;
    for (size_t i = 0; record->before[i]; i++) {
        height += lines_of(sheet, record->before[i], LINE_COLUMNS) * LINE + GAP;
    }
    for (size_t i = 0; i < record->facts.count; i++) {
        const struct sheet_row *fact = &record->facts.items[i];
        const char *text =
            sheet_say(sheet, "%s; %s", fact->value, fact->detail ? fact->detail : "");
        facts += lines_of(sheet, text, FACT_COLUMNS) * LINE + GAP;
    }
    return height + (facts < WHEEL ? WHEEL : facts) + APART;
}

/* The room for the rows of a stage on its pages, in tenths of a millimetre. */
struct room {
    int64_t first, next; /* on the first page, and on each other one */
    int64_t rows, pages;
};

/* The room on a page.  Below the rows of the last one, there is a question. */
static int64_t height_on(const struct room *room, int64_t index)
{
    int64_t height = index == 0 ? room->first : room->next;
    return index + 1 == room->pages ? height - AGAIN : height;
}

/* The most rows on a page; however high the texts above it are, it has one. */
static int64_t most_on(const struct room *room, int64_t index)
{
    int64_t height = height_on(room, index);
    return height < ROW_LEAST ? 1 : height / ROW_LEAST;
}

/* The most rows from a page on. */
static int64_t most_from(const struct room *room, int64_t index)
{
    int64_t rows = 0;
    for (; index < room->pages; index++) {
        rows += most_on(room, index);
    }
    return rows;
}

static struct room room_of(const struct sheet *sheet, const struct sheet_record *record,
                           const char *engine)
{
    struct room room = {.rows = (int64_t)record->blade_count, .pages = 1};
    room.next = PAGE - height_of_all(sheet, record, engine);
    room.first = room.next - height_of_first(sheet, record);
    while (most_from(&room, 0) < room.rows) {
        room.pages++;
    }
    return room;
}

/* The rows of a page: as many as on the others, if it has room for them. */
static int64_t rows_on(const struct room *room, int64_t index, int64_t left)
{
    int64_t pages = room->pages - index;
    int64_t rows = (left + pages - 1) / pages;
    int64_t most = most_on(room, index);
    int64_t least = left - most_from(room, index + 1);
    rows = rows > most ? most : rows;
    return rows < least ? least : rows;
}

/* ---- its parts --------------------------------------------------------------------------------
 */

void sheet_record_begin(struct sheet_page *page)
{
    const struct model_engine *engine = page->sheet->derived->engine;
    sheet_write_start(page, sheet_say(page->sheet, "Record: %s, %s", engine->name.text,
                                      sheet_edition(page->sheet)));
    sheet_lines(page->out, sheet_basic_style);
    sheet_lines(page->out, sheet_drawing_style);
    sheet_lines(page->out, record_style);
    fputs("</style>\n</head>\n<body>\n<main>\n", page->out);
}

static const char *engine_of(const struct sheet_page *page, const struct sheet_record *record)
{
    return sheet_say(page->sheet, "Record of %s, %s; %s", page->sheet->derived->engine->name.text,
                     sheet_edition(page->sheet), record->turned);
}

static void write_fields(struct sheet_page *page)
{
    fputs("<dl class=\"fields\">", page->out);
    for (size_t i = 0; sheet_record_fields[i]; i++) {
        fputs("<div>", page->out);
        sheet_element(page, "dt", "dt", sheet_record_fields[i]);
        fputs("<dd></dd></div>", page->out);
    }
    fputs("</dl>\n", page->out);
}

static void write_first(struct sheet_page *page, const struct sheet_record *record)
{
    fputs("<div class=\"first\">", page->out);
    for (size_t i = 0; record->before[i]; i++) {
        sheet_element(page, "p class=\"before\"", "p", record->before[i]);
    }
    sheet_element(page, "p", "p", record->cautions);
    fputs("</div>\n<div class=\"about\"><dl>", page->out);
    for (size_t i = 0; i < record->facts.count; i++) {
        const struct sheet_row *fact = &record->facts.items[i];
        fputs("<div>", page->out);
        sheet_element(page, "dt", "dt", fact->label);
        fputs("<dd>", page->out);
        sheet_element(page, "strong", "strong", fact->value);
        if (fact->detail) {
            sheet_element(page, "span class=\"more\"", "span",
                          sheet_say(page->sheet, "; %s", fact->detail));
        }
        fputs("</dd></div>\n", page->out);
    }
    fputs("</dl>\n", page->out);
    sheet_draw_wheel(page, record->stage);
    fputs("</div>\n", page->out);
}

/* The rows of a page, each so many tenths of a millimetre high on paper. */
static void write_rows(struct sheet_page *page, const struct sheet_record *record, int64_t from,
                       int64_t rows, int64_t height)
{
    fprintf(page->out,
            "<table style=\"--row:%" PRId64 ".%" PRId64 "mm\"><thead><tr>"
            "<th scope=\"col\" class=\"blade\">Blade</th>",
            height / 10, height % 10);
    if (record->count) {
        sheet_element(page, "th scope=\"col\" class=\"count\"", "th", record->count);
    }
    sheet_element(page, "th scope=\"col\" class=\"degrees\"", "th", record->degrees);
    fputs("<th scope=\"col\" class=\"finding\">Finding</th><th scope=\"col\">Remark</th></tr>"
          "</thead><tbody>\n",
          page->out);
    for (int64_t i = from; i < from + rows; i++) {
        const struct sheet_record_row *row = &record->blades[i];
        fprintf(page->out, "<tr><th scope=\"row\">%" PRId64 "%s</th>", row->blade,
                row->known_by ? " *" : "");
        if (record->count) {
            fprintf(page->out, "<td>%" PRId64 "</td>", row->count);
        }
        fprintf(page->out, "<td>%s</td><td></td><td></td></tr>\n", row->degrees);
    }
    fputs("</tbody></table>\n", page->out);
}

static void write_foot(struct sheet_page *page, const struct sheet_record *record, int64_t index,
                       int64_t pages)
{
    const struct model_derived *derived = page->sheet->derived;
    fputs("<p class=\"foot\">", page->out);
    sheet_element(page, "span", "span",
                  sheet_say(page->sheet, "%s, revision %" PRId64 ", on %s; SHA-256 %.16s...",
                            derived->engine->id.text, derived->engine->revision.value,
                            derived->device->device->id.text, page->sheet->definition_digest));
    fputc('\n', page->out);
    sheet_element(page, "b", "b",
                  sheet_say(page->sheet, "%s%s%s, page %" PRId64 " of %" PRId64,
                            model_stage(derived->engine, record->stage)->id.text,
                            record->pad ? " through " : "", record->pad ? record->pad->id.text : "",
                            index + 1, pages));
    fputs("</p>", page->out);
}

void sheet_record_pages(struct sheet_page *page, const struct sheet_record *record, bool first)
{
    const char *engine = engine_of(page, record);
    const struct room room = room_of(page->sheet, record, engine);
    int64_t from = 0;
    for (int64_t i = 0; i < room.pages; i++) {
        const char *tag = first && i == 0 ? "h1" : "p";
        int64_t rows = rows_on(&room, i, room.rows - from);
        int64_t height = rows == 0 ? ROW_LEAST : height_on(&room, i) / rows;
        height = height < ROW_LEAST ? ROW_LEAST : height > ROW_MOST ? ROW_MOST : height;
        fputs("<section class=\"page\">", page->out);
        sheet_element(page, first && i == 0 ? "h1" : "p class=\"engine\"", tag, engine);
        sheet_element(page, "h2", "h2", record->title);
        write_fields(page);
        if (i == 0) {
            write_first(page, record);
        }
        write_rows(page, record, from, rows, height);
        from += rows;
        if (i + 1 == room.pages) {
            fputs("<p class=\"again\">", page->out);
            sheet_escape(page->out, record->again);
            fputs(" <i></i>yes <i></i>no, off by <b></b></p>\n", page->out);
        }
        write_foot(page, record, i, room.pages);
        fputs("</section>\n", page->out);
    }
}

void sheet_record_end(struct sheet_page *page)
{
    fputs("</main>\n</body>\n</html>\n", page->out);
}
