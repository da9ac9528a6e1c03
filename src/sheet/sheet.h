/*
 * sheet.h - the setup sheet: one engine on one device, for the people who turn the rotor.
 *
 * The text and the HTML form take every sentence from facts.h, so they cannot differ.
 */
#ifndef ROTORTAB_SHEET_SHEET_H
#define ROTORTAB_SHEET_SHEET_H

#include "base/finding.h"
#include "model/on_device.h"

#include <stdio.h>

/* One engine on one device, derived without errors. */
struct sheet {
    const struct model_derived *derived;
    struct arena *arena;
    const struct findings *findings;               /* what is open: warnings, and what is waived */
    const char *definition_digest, *device_digest; /* SHA-256, hexadecimal */
};

/* The sheet as plain text, at most 100 columns wide. */
void sheet_text(FILE *out, const struct sheet *sheet);

/*
 * The sheet as one self-contained HTML file with drawings.  It is also well-formed XML, has no
 * script and fetches nothing.  It shows on a screen and on a telephone, light and dark, and prints
 * on A4.
 */
void sheet_html(FILE *out, const struct sheet *sheet);

#endif
