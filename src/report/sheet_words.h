/*
 * sheet_words.h - numbers and senses of a setup sheet, as people read them.
 *
 * A sheet stands in a hangar, so a limit that does not come out even in the other unit is rounded
 * down, a duration up, and a sense is never written without the view it is seen from.  All texts
 * live in the sheet's arena.
 */
#ifndef ROTORTAB_REPORT_SHEET_WORDS_H
#define ROTORTAB_REPORT_SHEET_WORDS_H

#include "model/on_device.h"

/* One engine on one device, derived without errors. */
struct sheet {
    const struct model_derived *derived;
    struct arena *arena;
    const char *definition_digest, *device_digest; /* SHA-256, hexadecimal */
};

/* Something named, its value, and what else is to be known of it (NULL: nothing). */
struct sheet_row {
    const char *label, *value, *detail;
};

struct sheet_rows {
    struct sheet_row *items;
    size_t count, capacity;
};

void sheet_row(const struct sheet *sheet, struct sheet_rows *rows, const char *label,
               const char *value, const char *detail);

/* printf into the sheet's arena. */
const char *sheet_say(const struct sheet *sheet, const char *format, ...)
    __attribute__((format(printf, 2, 3)));

/* A decimal of at most `places` places, rounded to the nearest. */
const char *sheet_decimal(const struct sheet *sheet, struct exact_rational value, int places);

/* "47/24 = 1.958333", or just the number where it is whole. */
const char *sheet_both(const struct sheet *sheet, struct exact_rational value);

/* As it is written: "22.5 +/- 0.1 rev". */
const char *sheet_quantity(const struct sheet *sheet, const struct model_quantity *quantity);

/* "40 lbf.ft (54.2 N.m)": in its own unit, then in N.m and lbf.ft, rounded down. */
const char *sheet_torque(const struct sheet *sheet, struct exact_measure torque);

/* "363.8 deg/min (1.01 rpm)": in its own unit, then in deg/min and rpm, rounded down. */
const char *sheet_speed(const struct sheet *sheet, struct exact_measure speed);

/* "3 min 2 s" for 181.4 seconds. */
const char *sheet_duration(const struct sheet *sheet, struct exact_rational seconds);

/* "3/8 in (10 mm)", or NULL where no square is given. */
const char *sheet_square(const struct sheet *sheet, const struct model_code *square);

/* "4:30" for 270 minutes past 12:00. */
const char *sheet_clock(const struct sheet *sheet, int minutes);

/* "cw" or "ccw"; "?" for 0. */
const char *sheet_sense(int sign);

/* "aft": which way something faces, or lies. */
const char *sheet_direction(enum turning_direction direction);

/* "external 24 - 35 - 47". */
const char *sheet_mesh_name(const struct sheet *sheet, const struct model_mesh *mesh);

#endif
