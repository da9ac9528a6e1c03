/*
 * sheet.h - the setup sheet: one engine on one device, for the people who turn the rotor.
 *
 * The text and the HTML form take every sentence from facts.h, so they cannot differ.
 */
#ifndef ROTORTAB_SHEET_SHEET_H
#define ROTORTAB_SHEET_SHEET_H

#include "base/finding.h"
#include "model/known.h"
#include "model/on_device.h"
#include "report/index.h"

#include <stdio.h>

/* One engine on one device, derived without errors. */
struct sheet {
    const struct model_derived *derived;
    struct arena *arena;
    const struct findings *findings;               /* what is open: warnings, and what is waived */
    const char *definition_digest, *device_digest; /* SHA-256, hexadecimal */
    const struct model_cross_check *cross_check;   /* of the definition; NULL: there is none */
    const struct model_known_values *known;        /* for the marks; NULL: no marks */
};

/* The sheet as plain text, at most 100 columns wide. */
void sheet_text(FILE *out, const struct sheet *sheet);

/*
 * The sheet as one self-contained HTML file with drawings.  It is also well-formed XML, has no
 * script and fetches nothing.  It shows on a screen and on a telephone, light and dark, and prints
 * on A4.
 */
void sheet_html(FILE *out, const struct sheet *sheet);

enum sheet_form { SHEET_TEXT, SHEET_HTML, SHEET_CSV };

/* Which stages of a record are wanted; NULL: all. */
struct sheet_wanted {
    const char *pad, *stage;
};

/*
 * Writes the record, which somebody fills in while the rotor is turned: for each stage through each
 * pad, or by hand, a page or more with a row for each blade.  `stages` is how many are written.
 * False if a number does not fit 64 bits; then what is written is of no use.
 */
bool sheet_record(FILE *out, const struct sheet *sheet, enum sheet_form form,
                  const struct sheet_wanted *wanted, size_t *stages);

/* The name of a sheet's file in a folder of sheets: "quern-12.sheet.html", or .txt. */
const char *sheet_file_name(struct arena *arena, const char *engine, bool html);

/* A folder of sheets on one device. */
struct sheet_folder {
    const struct report_index *index; /* sorted, derived with the device */
    const struct model_device *device;
    const char *device_digest; /* SHA-256, hexadecimal */
};

/*
 * The start page of the folder, index.html: a list of all engines with links to their sheets.  It
 * is one self-contained file like a sheet.  Its only script searches the list; without scripts the
 * list is complete.
 */
void sheet_start_html(FILE *out, const struct sheet_folder *folder);

#endif
