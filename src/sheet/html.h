/*
 * html.h - private to the HTML form of the setup sheet: its parts, its drawings, its style.
 *
 * What a part says comes from facts.h.  Drawings are inline SVG and need no sine: SVG's own
 * rotate() turns what is drawn at twelve o'clock, by the exact angle as a decimal.  A drawing has a
 * title and a description for people who cannot see it.  Nothing is shown by colour alone.
 */
#ifndef ROTORTAB_SHEET_HTML_H
#define ROTORTAB_SHEET_HTML_H

#include "sheet/facts.h"

/* A page being written. */
struct sheet_page {
    FILE *out;
    const struct sheet *sheet;
    unsigned drawings; /* so far: it makes their ids different */
    unsigned legends;  /* so far: one is enough */
};

/* ---- texts ------------------------------------------------------------------------------------
 */

/*
 * A copy on one line, in the arena.  White space of any kind is one blank, and text/utf8.h decides
 * the rest.
 */
const char *sheet_clean(struct arena *arena, const char *text);

/*
 * Writes the text, cleaned in the same way, for HTML and XML: between tags and inside quoted
 * attributes.
 */
void sheet_escape(FILE *out, const char *text);

/* ---- parts, each written where it is called ---------------------------------------------------
 */

/* <tag>text</tag>; `open` may hold attributes: "p class=\"soft\"". */
void sheet_element(struct sheet_page *page, const char *open, const char *close, const char *text);

/* Opens a <section> with its heading; the caller closes it. */
void sheet_section(struct sheet_page *page, const char *style, const char *title);

/* Opens a table, up to and with its <tbody>; NULL ends the columns. */
void sheet_columns(struct sheet_page *page, const char *const *columns);

/* Writes each line and ends it; NULL ends the lines. */
void sheet_lines(FILE *out, const char *const *lines);

/* From the first byte of a page without scripts to its open <style>. */
void sheet_write_start(struct sheet_page *page, const char *title);

/* From the first byte of a sheet to the open <main>; then the cautions. */
void sheet_write_head(struct sheet_page *page);
void sheet_write_cautions(struct sheet_page *page);

/* What to couple, which way it turns, how hard, how fast, how far. */
void sheet_write_pad(struct sheet_page *page, size_t pad);

/* The step of each stage through a pad, and what is rounded in it. */
void sheet_write_steps(struct sheet_page *page, size_t pad);

/* The stages of a spool: drawn if a pad turns it, in a table if it is turned by hand. */
void sheet_write_driven(struct sheet_page *page, size_t spool);
void sheet_write_by_hand(struct sheet_page *page, size_t spool);

/* What was measured; where the numbers come from. */
void sheet_write_observations(struct sheet_page *page);
void sheet_write_sources(struct sheet_page *page);

/* ---- drawings ---------------------------------------------------------------------------------
 */

/*
 * Opens an <svg> whose viewBox is `width` by `height` about the origin (left edge at 0 where
 * `from_left`), shown at one pixel for `scale` units; the caller closes it with </svg>.
 */
struct sheet_frame {
    const char *style; /* its class */
    int64_t width, height;
    int64_t scale;
    bool from_left;
};
void sheet_svg_open(struct sheet_page *page, const struct sheet_frame *frame, const char *title,
                    const char *description);

/* Three quarters of a circle about (x, 0) with a head: + clockwise. Nothing for sign 0. */
void sheet_svg_turn(FILE *out, int64_t x, int64_t radius, int64_t head, int sign);

/* Tenths of a pixel for each tooth, in a gear's radius, and the height of all drawings. */
struct sheet_scale {
    int64_t tooth, height;
};

/* The scale at which a pad's train and its adapter's fit side by side into the sheet's width. */
struct sheet_scale sheet_gears_scale(const struct words_train *adapter,
                                     const struct words_train *train);

/* The gears of a mesh to the scale of their teeth, each with the way it turns. */
void sheet_draw_mesh(struct sheet_page *page, const struct words_turn *mesh,
                     struct sheet_scale scale);

/* Device, pad or rotor, with the way it turns; as high as the gears beside it. */
void sheet_draw_turn(struct sheet_page *page, enum sheet_end end, const struct sheet_turn *turn,
                     struct sheet_scale scale);

/* The blades of a stage about their hub, blade one at the port, seen aft looking forward. */
void sheet_draw_wheel(struct sheet_page *page, size_t index);

/* What every shape on the wheels of the sheet means. */
void sheet_draw_legend(struct sheet_page *page);

/* ---- style ------------------------------------------------------------------------------------
 */

/* How all pages look: colours, light and dark, text and head.  Lines of CSS; NULL ends. */
extern const char *const sheet_basic_style[];

/* How drawings look. */
extern const char *const sheet_drawing_style[];

/* How the sheet looks on a screen, small or large, and on A4. */
extern const char *const sheet_style[];

#endif
