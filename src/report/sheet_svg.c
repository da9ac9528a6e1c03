/*
 * What all drawings begin with, and the arrow that most of them have.
 */
#include "report/sheet_draw.h"

#include "report/sheet_escape.h"

#include <inttypes.h>

void sheet_svg_open(struct sheet_page *page, const struct sheet_frame *frame, const char *title,
                    const char *description)
{
    unsigned id = ++page->drawings;
    int64_t width = frame->width;
    int64_t height = frame->height;
    fprintf(page->out,
            "<svg class=\"%s\" role=\"img\" aria-labelledby=\"d%u-t d%u-d\" viewBox=\"%" PRId64
            " %" PRId64 " %" PRId64 " %" PRId64 "\" width=\"%" PRId64 "\" height=\"%" PRId64
            "\"><title id=\"d%u-t\">",
            frame->style, id, id, frame->from_left ? 0 : -width / 2, -height / 2, width, height,
            width / frame->scale, height / frame->scale, id);
    sheet_escape(page->out, title);
    fprintf(page->out, "</title><desc id=\"d%u-d\">", id);
    sheet_escape(page->out, description);
    fputs("</desc>\n", page->out);
}

void sheet_svg_turn(FILE *out, int64_t x, int64_t radius, int64_t head, int sign)
{
    if (sign == 0) {
        return;
    }
    /* From the top round to the far side, where the head points up again. */
    int64_t end = sign > 0 ? x - radius : x + radius;
    fprintf(out,
            "<path class=\"turn\" d=\"M%" PRId64 " %" PRId64 "A%" PRId64 " %" PRId64
            " 0 1 %d %" PRId64 " 0\"/>",
            x, -radius, radius, radius, sign > 0 ? 1 : 0, end);
    fprintf(out,
            "<path class=\"head\" d=\"M%" PRId64 " %" PRId64 "l%" PRId64 " %" PRId64 "h%" PRId64
            "z\"/>\n",
            end, -head, -head * 2 / 3, head + head / 4, head * 2 / 3 * 2);
}
