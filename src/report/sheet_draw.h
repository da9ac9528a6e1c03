/*
 * sheet_draw.h - the drawings of a setup sheet, as inline SVG.
 *
 * No sine is needed: what stands at an angle is drawn at twelve o'clock and turned there by SVG's
 * own rotate(), with the exact angle written as a decimal; circles and half turns do the rest.  A
 * drawing has a title and a description for those who do not see it, and shows nothing by colour
 * alone.
 */
#ifndef ROTORTAB_REPORT_SHEET_DRAW_H
#define ROTORTAB_REPORT_SHEET_DRAW_H

#include "report/sheet_facts.h"
#include "report/sheet_train.h"

#include <stdio.h>

/* A page being written. */
struct sheet_page {
    FILE *out;
    const struct sheet *sheet;
    unsigned drawings; /* so far: their ids are told apart by it */
};

/*
 * Opens an <svg> whose viewBox is `width` by `height` about the origin (left edge at 0 where
 * `from_left`), shown at one pixel for `scale` units; closed by the caller with </svg>.
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

/* Tenths of a pixel for a tooth of a gear's radius, and the height they all need. */
struct sheet_scale {
    int64_t tooth, height;
};

/* The scale in which a pad's train and its adapter's fit the sheet's width side by side. */
struct sheet_scale sheet_gears_scale(const struct sheet_train *adapter,
                                     const struct sheet_train *train);

/* The gears of a mesh to the scale of their teeth, each with the way it turns. */
void sheet_draw_mesh(struct sheet_page *page, const struct sheet_mesh *mesh,
                     struct sheet_scale scale);

/* Device, pad or rotor, with the way it turns; as high as the gears beside it. */
void sheet_draw_turn(struct sheet_page *page, enum sheet_end end, const struct sheet_turn *turn,
                     struct sheet_scale scale);

/* The blades of a stage about their hub, blade one at the port, seen aft looking forward. */
void sheet_draw_wheel(struct sheet_page *page, size_t index);

#endif
