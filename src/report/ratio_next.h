/*
 * ratio_next.h - what to do about the candidates for a ratio: the end of the text.
 *
 * Where several are left, what to measure next to tell them apart; where one is, how sure that is;
 * where none is, what may be wrong.
 */
#ifndef ROTORTAB_REPORT_RATIO_NEXT_H
#define ROTORTAB_REPORT_RATIO_NEXT_H

#include "report/ratio.h"

/* Writes it; ratio->answer is there. */
void report_ratio_next(FILE *out, const struct report_ratio *ratio);

#endif
