/*
 * record.h - the content of a record: what an inspector fills in for one stage, blade by blade.
 *
 * All forms of the record take their words and numbers from here.  Stops are in the order in which
 * blades come to the first port, beginning with blade one, as `stops` has them.
 */
#ifndef ROTORTAB_SHEET_RECORD_H
#define ROTORTAB_SHEET_RECORD_H

#include "sheet/html.h"

/* A blade. */
struct sheet_record_row {
    int64_t blade;
    int64_t count;        /* from blade one in the normal direction; 0 by hand */
    const char *degrees;  /* of the pad, or by hand of the rotor */
    const char *rotor;    /* degrees of the rotor */
    const char *known_by; /* how to recognise it; NULL: it cannot be recognised */
};

struct sheet_record {
    size_t stage;
    const struct model_pad *pad; /* NULL: the spool is turned by hand */
    int positive;                /* -1: the device's count falls in the normal direction */
    const char *title;           /* "HPC-1, compressor, 31 blades" */
    const char *turned;          /* "turned through pad crank with Slipway 4" */
    const char *count, *degrees; /* titles of columns; `count` is NULL by hand */
    const char *const *before;   /* what comes before all others: sentences; NULL ends */
    const char *cautions;        /* the cautions in short, one sentence after the other */
    struct sheet_rows facts;     /* limits, order, blade one, ports */
    struct sheet_record_row *blades;
    size_t blade_count;
    const char *again; /* where blade one comes back, a question to answer */
};

/*
 * The record of a stage through a pad, or by hand.  False if a number of it does not fit 64 bits.
 */
bool sheet_record_through(const struct sheet *sheet, const struct model_pair *pair,
                          struct sheet_record *record);
void sheet_record_by_hand(const struct sheet *sheet, size_t stage, struct sheet_record *record);

/* What is written into a record: "Engine serial", "Date"; NULL ends. */
extern const char *const sheet_record_fields[];

/* The HTML form, piece by piece: the beginning, the pages of a stage, the end. */
void sheet_record_begin(struct sheet_page *page);
void sheet_record_pages(struct sheet_page *page, const struct sheet_record *record, bool first);
void sheet_record_end(struct sheet_page *page);

#endif
