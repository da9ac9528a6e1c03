/*
 * Drawings of what turns at the ends of a drive: the device's square, the pad, the rotor.
 */
#include "report/sheet_draw.h"

enum { WIDTH = 1000, RADIUS = 380, HEAD = 120 }; /* tenths of a pixel */

static void draw_bolts(FILE *out)
{
    for (int angle = 45; angle < 360; angle += 90) {
        fprintf(out, "<circle class=\"hole\" cy=\"-225\" r=\"28\" transform=\"rotate(%d)\"/>",
                angle);
    }
}

static void draw_spokes(FILE *out)
{
    for (int angle = 0; angle < 360; angle += 30) {
        fprintf(out, "<path class=\"line\" d=\"M-20-110 20-265\" transform=\"rotate(%d)\"/>",
                angle);
    }
}

void sheet_draw_turn(struct sheet_page *page, enum sheet_end end, const struct sheet_turn *turn,
                     struct sheet_scale scale)
{
    struct sheet_frame frame = {"gear", WIDTH, scale.height, 10, false};
    sheet_svg_open(
        page, &frame,
        sheet_say(page->sheet, "%s turns %s, %s", turn->name, sheet_sense(turn->sign), turn->view),
        sheet_say(page->sheet,
                  "An arrow round it, %s as seen %s, the way it turns when the spool "
                  "turns its normal way.",
                  turn->sign > 0 ? "clockwise" : "counter-clockwise", turn->view));
    fputs("<circle class=\"back\" r=\"450\"/>", page->out);
    switch (end) {
    case SHEET_DEVICE:
        fputs("<rect class=\"body\" x=\"-230\" y=\"-230\" width=\"460\" height=\"460\" rx=\"70\"/>"
              "<rect class=\"solid\" x=\"-90\" y=\"-90\" width=\"180\" height=\"180\"/>",
              page->out);
        break;
    case SHEET_PAD:
        fputs("<circle class=\"body\" r=\"290\"/>", page->out);
        draw_bolts(page->out);
        fputs("<rect class=\"hole\" x=\"-90\" y=\"-90\" width=\"180\" height=\"180\"/>", page->out);
        break;
    case SHEET_ROTOR:
        fputs("<circle class=\"body\" r=\"290\"/>", page->out);
        draw_spokes(page->out);
        fputs("<circle class=\"solid\" r=\"90\"/>", page->out);
        break;
    }
    sheet_svg_turn(page->out, 0, RADIUS, HEAD, turn->sign);
    fputs("</svg>", page->out);
}
