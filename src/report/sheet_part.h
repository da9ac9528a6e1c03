/*
 * sheet_part.h - the parts of the HTML form of the setup sheet, each written where it is called.
 *
 * What a part says comes from sheet_facts.h; how it looks, and how it lies on paper, from
 * sheet_style.h.
 */
#ifndef ROTORTAB_REPORT_SHEET_PART_H
#define ROTORTAB_REPORT_SHEET_PART_H

#include "report/sheet_draw.h"

/* <tag>text</tag>; `open` may hold attributes: "p class=\"soft\"". */
void sheet_element(struct sheet_page *page, const char *open, const char *close, const char *text);

/* Opens a <section>, which is closed by the caller, with its heading. */
void sheet_section(struct sheet_page *page, const char *style, const char *title);

/* Opens a table, up to and with its <tbody>; NULL ends the columns. */
void sheet_columns(struct sheet_page *page, const char *const *columns);

/* From the first byte to the open <main>; then what has to be minded before anything turns. */
void sheet_write_head(struct sheet_page *page);
void sheet_write_cautions(struct sheet_page *page);

/* What to couple, which way it turns, how hard, how fast, how far. */
void sheet_write_pad(struct sheet_page *page, size_t pad);

/* The stages of a spool: drawn where a pad turns it, in a table where it is turned by hand. */
void sheet_write_driven(struct sheet_page *page, size_t spool);
void sheet_write_by_hand(struct sheet_page *page, size_t spool);

/* What was measured; where the numbers come from. */
void sheet_write_observations(struct sheet_page *page);
void sheet_write_sources(struct sheet_page *page);

#endif
