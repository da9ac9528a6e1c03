/*
 * sheet_text.h - the setup sheet as plain text, at most 100 columns wide.
 */
#ifndef ROTORTAB_REPORT_SHEET_TEXT_H
#define ROTORTAB_REPORT_SHEET_TEXT_H

#include "report/sheet_words.h"

#include <stdio.h>

void report_sheet_text(FILE *out, const struct sheet *sheet);

#endif
