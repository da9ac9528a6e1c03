/*
 * sheet_style.h - how the setup sheet looks: on a screen, small or large, light or dark, and on A4.
 */
#ifndef ROTORTAB_REPORT_SHEET_STYLE_H
#define ROTORTAB_REPORT_SHEET_STYLE_H

/* Lines of CSS; NULL ends. */
extern const char *const sheet_style[];

#endif
