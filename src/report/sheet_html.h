/*
 * sheet_html.h - the setup sheet as one self-contained HTML file with drawings.
 */
#ifndef ROTORTAB_REPORT_SHEET_HTML_H
#define ROTORTAB_REPORT_SHEET_HTML_H

#include "report/sheet_words.h"

#include <stdio.h>

/*
 * HTML that is well-formed XML too, without script and without anything to be fetched; it shows on
 * a screen and on a telephone, light and dark, and prints on A4.
 */
void report_sheet_html(FILE *out, const struct sheet *sheet);

#endif
