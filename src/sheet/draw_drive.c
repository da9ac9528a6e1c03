/* draw_drive.c - the frame of every drawing, and the drawings in the strip of a drive. */
#include "sheet/html.h"

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
    /* From the top round to the far side, where the head points up. */
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

/* ---- device, pad and rotor ------------------------------------------------------------------- */

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
        sheet_say(page->sheet, "%s turns %s, %s", turn->name, words_sense(turn->sign), turn->view),
        sheet_say(page->sheet,
                  "An arrow round it, %s as seen %s, the way it turns when the spool "
                  "turns in its normal direction.",
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

/* ---- gears ----------------------------------------------------------------------------------- */

/*
 * Drawings of meshes, rolled out flat: pitch circles to the scale of their teeth, one mark a tooth.
 *
 * All lengths are tenths of a pixel.  The shaft runs along y = 0, pad side left.
 */

enum {
    WIDEST = 6950,   /* a drive on A4 */
    DISCS = 3000,    /* of it for device, pad and rotor */
    HIGHEST = 1100,  /* for one gear */
    LOWEST = 1000,   /* a drawing is at least as high as its neighbours, the discs */
    SCALE_MOST = 15, /* a gear of 20 teeth is 60 pixels wide ... */
    SCALE_LEAST = 6, /* ... or 24; a drive that needs more room continues in another line */
    MARGINS = 300,
    RIM = 100, /* above and below gears; the arrow round a ring is in the margins */
    COUPLING = 700,
    HEADROOM = 60 /* outside an arrow, for its head */
};

/* Teeth across a mesh, and across its largest gear. */
static int64_t across(const struct model_mesh *mesh, int64_t *largest)
{
    const struct turning_mesh *bare = &mesh->bare;
    int64_t sum = 0;
    *largest = 0;
    for (size_t i = 0; i < mesh->teeth_count; i++) {
        sum += mesh->teeth[i].value;
        *largest = mesh->teeth[i].value > *largest ? mesh->teeth[i].value : *largest;
    }
    if (bare->kind == TURNING_EPICYCLIC) {
        *largest = bare->ring_teeth;
    }
    return bare->kind == TURNING_EPICYCLIC || bare->kind == TURNING_INTERNAL ? *largest : sum;
}

/* The radii of arrows in an epicyclic: inside the sun, over the planets, round the ring. */
struct arrows {
    int64_t radius[3]; /* by enum turning_member */
};

/* However small the gears are, the arrows are so far apart that their heads do not touch. */
static struct arrows arrows_of(const struct model_mesh *mesh, int64_t tooth)
{
    enum { LEAST = 60, APART = 110, CLEAR = 50 };
    int64_t sun = mesh->bare.sun_teeth * tooth * 7 / 10;
    int64_t carrier = (mesh->bare.sun_teeth + mesh->bare.ring_teeth) * tooth / 2;
    int64_t ring = (mesh->bare.ring_teeth + 5) * tooth + CLEAR;
    sun = sun < LEAST ? LEAST : sun;
    carrier = carrier < sun + APART ? sun + APART : carrier;
    ring = ring < carrier + APART ? carrier + APART : ring;
    return (struct arrows){
        {[TURNING_SUN] = sun, [TURNING_CARRIER] = carrier, [TURNING_RING] = ring}};
}

/* How wide the drawing of a mesh is. */
static int64_t width_of(const struct model_mesh *mesh, int64_t tooth)
{
    int64_t largest = 0;
    int64_t width = 2 * tooth * across(mesh, &largest) + MARGINS;
    if (mesh->bare.kind == TURNING_DIRECT) {
        return COUPLING + MARGINS;
    }
    if (mesh->bare.kind == TURNING_EPICYCLIC) {
        int64_t least = 2 * (arrows_of(mesh, tooth).radius[TURNING_RING] + HEADROOM);
        return width < least ? least : width;
    }
    return width;
}

/* Subtracts all but the gears from the room. */
static void measure(const struct words_train *train, int64_t *room, int64_t *sum, int64_t *largest)
{
    for (size_t i = 0; i < train->count; i++) {
        int64_t own = 0;
        bool direct = train->meshes[i].mesh->bare.kind == TURNING_DIRECT;
        *room -= MARGINS + (direct ? COUPLING : 0);
        *sum += across(train->meshes[i].mesh, &own);
        *largest = own > *largest ? own : *largest;
    }
}

static bool has_ring(const struct words_train *train)
{
    for (size_t i = 0; i < train->count; i++) {
        enum turning_mesh_kind kind = train->meshes[i].mesh->bare.kind;
        if (kind == TURNING_EPICYCLIC || kind == TURNING_INTERNAL) {
            return true;
        }
    }
    return false;
}

struct sheet_scale sheet_gears_scale(const struct words_train *adapter,
                                     const struct words_train *train)
{
    int64_t room = WIDEST - DISCS;
    int64_t sum = 1;
    int64_t largest = 1;
    measure(adapter, &room, &sum, &largest);
    measure(train, &room, &sum, &largest);
    int64_t widest = room / sum / 2;
    int64_t highest = HIGHEST / largest / 2;
    struct sheet_scale scale = {widest, LOWEST};
    scale.tooth = scale.tooth < SCALE_LEAST ? SCALE_LEAST : scale.tooth;
    scale.tooth = scale.tooth > SCALE_MOST ? SCALE_MOST : scale.tooth;
    scale.tooth = scale.tooth > highest ? highest : scale.tooth;
    scale.tooth = scale.tooth < 1 ? 1 : scale.tooth;
    bool ringed = has_ring(adapter) || has_ring(train);
    int64_t height = 2 * scale.tooth * largest + (ringed ? MARGINS : RIM);
    scale.height = height > LOWEST ? height : LOWEST;
    return scale;
}

/* A mesh on paper. */
struct drawing {
    FILE *out;
    int64_t tooth;
};

static void draw_circle(const struct drawing *drawing, const char *style, int64_t x, int64_t radius)
{
    fprintf(drawing->out, "<circle class=\"%s\" cx=\"%" PRId64 "\" r=\"%" PRId64 "\"/>", style, x,
            radius);
}

/* One mark for each tooth, round the pitch circle. */
static void draw_teeth(const struct drawing *drawing, int64_t x, int64_t y, int64_t teeth)
{
    fprintf(drawing->out,
            "<circle class=\"teeth\" cx=\"%" PRId64 "\" cy=\"%" PRId64 "\" r=\"%" PRId64
            "\" stroke-width=\"%" PRId64 "\" pathLength=\"%" PRId64 "\" stroke-dasharray=\"1 1\"/>",
            x, y, teeth * drawing->tooth, 4 * drawing->tooth, 2 * teeth);
}

/* The number of teeth, if it is large enough to read. */
static void draw_number(const struct drawing *drawing, int64_t x, int64_t room, int64_t teeth)
{
    enum { LEAST = 118, MOST = 150 }; /* of the letters */
    int64_t size = room > MOST ? MOST : room < LEAST ? LEAST : room;
    if (room > LEAST * 2 / 3) {
        fprintf(drawing->out,
                "<text x=\"%" PRId64 "\" y=\"%" PRId64 "\" font-size=\"%" PRId64 "\">%" PRId64
                "</text>",
                x, size * 7 / 20, size, teeth);
    }
}

static void draw_turn(const struct drawing *drawing, int64_t x, int64_t radius, int sign)
{
    sheet_svg_turn(drawing->out, x, radius, radius < 150 ? radius * 2 / 5 : 60, sign);
}

/* A wheel with teeth outside. */
static void draw_wheel(const struct drawing *drawing, int64_t x, int64_t teeth, int sign,
                       const char *style)
{
    int64_t radius = teeth * drawing->tooth;
    draw_teeth(drawing, x, 0, teeth);
    draw_circle(drawing, style, x, radius - 2 * drawing->tooth);
    draw_number(drawing, x, radius * 3 / 4, teeth);
    draw_turn(drawing, x, radius * 7 / 10, sign);
}

/* A row of wheels that touch.  Each contact changes the sense.  Bevels have a second rim. */
static void draw_row(const struct drawing *drawing, const struct words_turn *mesh)
{
    int64_t x = MARGINS / 2;
    int sign = mesh->sign_in;
    size_t count = mesh->mesh->teeth_count;
    for (size_t i = 0; i < count; i++) {
        int64_t teeth = mesh->mesh->teeth[i].value;
        x += teeth * drawing->tooth;
        draw_wheel(drawing, x, teeth, sign, i != 0 && i + 1 < count ? "body idle" : "body");
        if (mesh->mesh->bare.kind == TURNING_BEVEL) {
            draw_circle(drawing, "cone", x, teeth * drawing->tooth * 17 / 20);
        }
        x += teeth * drawing->tooth;
        sign = -sign;
    }
}

/* A ring, its teeth inwards. */
static void draw_ring(const struct drawing *drawing, int64_t x, int64_t teeth)
{
    draw_circle(drawing, "body", x, (teeth + 5) * drawing->tooth);
    draw_circle(drawing, "space", x, (teeth + 2) * drawing->tooth);
    draw_teeth(drawing, x, 0, teeth);
}

/* A pinion inside a ring: left of its middle where the pinion is on the pad side, else right. */
static void draw_internal(const struct drawing *drawing, const struct words_turn *mesh)
{
    const struct turning_mesh *bare = &mesh->mesh->bare;
    bool pinion_first = bare->pad_teeth < bare->rotor_teeth;
    int64_t ring = pinion_first ? bare->rotor_teeth : bare->pad_teeth;
    int64_t pinion = pinion_first ? bare->pad_teeth : bare->rotor_teeth;
    int64_t side = pinion_first ? 1 : -1;
    int64_t x = MARGINS / 2 + ring * drawing->tooth;
    int64_t free = (ring - pinion) * drawing->tooth; /* half of the space beside the pinion */
    int64_t number = x + side * pinion * drawing->tooth;
    draw_ring(drawing, x, ring);
    draw_wheel(drawing, x - side * (ring - pinion) * drawing->tooth, pinion, mesh->sign_in, "body");
    draw_number(drawing, number, free * 3 / 4, ring);
    draw_turn(drawing, number, free * 7 / 10, mesh->sign_out);
}

/* Planets on the arms of their carrier. */
static void draw_planets(const struct drawing *drawing, const struct sheet *sheet,
                         const struct model_mesh *mesh, int64_t x)
{
    int64_t planets = mesh->planets.value < 12 ? mesh->planets.value : 12;
    int64_t planet = mesh->planet.value;
    int64_t arm = (mesh->bare.sun_teeth + planet) * drawing->tooth;
    for (int64_t i = 0; i < planets; i++) {
        struct exact_rational angle = exact_whole(0);
        (void)exact_make((exact_wide)360 * i, planets, &angle);
        fprintf(drawing->out, "<g transform=\"translate(%" PRId64 " 0) rotate(%s)\">", x,
                words_decimal(sheet->arena, angle, 4));
        draw_teeth(drawing, 0, -arm, planet);
        fprintf(drawing->out,
                "<circle class=\"body idle\" cy=\"%" PRId64 "\" r=\"%" PRId64
                "\"/><path class=\"arm\" d=\"M0 0V%" PRId64 "\"/></g>",
                -arm, (planet - 2) * drawing->tooth, -arm);
    }
}

static void draw_epicyclic(const struct drawing *drawing, const struct sheet *sheet,
                           const struct words_turn *mesh)
{
    const struct turning_mesh *bare = &mesh->mesh->bare;
    struct arrows arrows = arrows_of(mesh->mesh, drawing->tooth);
    int64_t x = width_of(mesh->mesh, drawing->tooth) / 2;
    int64_t sun = bare->sun_teeth * drawing->tooth;
    draw_ring(drawing, x, bare->ring_teeth);
    if (bare->held == TURNING_RING) {
        draw_circle(drawing, "held", x, (bare->ring_teeth + 7) * drawing->tooth);
    }
    draw_planets(drawing, sheet, mesh->mesh, x);
    draw_teeth(drawing, x, 0, bare->sun_teeth);
    draw_circle(drawing, bare->held == TURNING_SUN ? "body held" : "body", x,
                sun - 2 * drawing->tooth);
    draw_number(drawing, x, sun * 3 / 4, bare->sun_teeth);
    draw_turn(drawing, x, arrows.radius[bare->in], mesh->sign_in);
    draw_turn(drawing, x, arrows.radius[bare->out], mesh->sign_out);
}

static void draw_direct(const struct drawing *drawing)
{
    fputs(
        "<path class=\"line\" d=\"M0-45H940M0 45H940\"/><rect class=\"body\" x=\"270\" y=\"-130\" "
        "width=\"400\" height=\"260\" rx=\"40\"/><path class=\"line\" d=\"M470-130V130\"/>",
        drawing->out);
}

static const char *describe(const struct sheet *sheet, const struct words_turn *mesh)
{
    const char *ways = "The senses are not known, because the path does not give them.";
    if (mesh->sign_in != 0 && mesh->sign_out != 0) {
        ways = sheet_say(
            sheet,
            "Arrows show the first shaft turning %s and the next shaft %s, each in its own view.",
            words_sense(mesh->sign_in), words_sense(mesh->sign_out));
    }
    return sheet_say(
        sheet, "Pitch circles to the scale of their teeth, the pad side on the left. %s", ways);
}

void sheet_draw_mesh(struct sheet_page *page, const struct words_turn *mesh,
                     struct sheet_scale scale)
{
    struct drawing drawing = {page->out, scale.tooth};
    enum turning_mesh_kind kind = mesh->mesh->bare.kind;
    struct sheet_frame frame = {"gear", width_of(mesh->mesh, scale.tooth), scale.height, 10, true};
    sheet_svg_open(page, &frame, mesh->name, describe(page->sheet, mesh));
    switch (kind) {
    case TURNING_EXTERNAL:
    case TURNING_BEVEL: draw_row(&drawing, mesh); break;
    case TURNING_INTERNAL: draw_internal(&drawing, mesh); break;
    case TURNING_EPICYCLIC: draw_epicyclic(&drawing, page->sheet, mesh); break;
    case TURNING_DIRECT: draw_direct(&drawing); break;
    }
    fputs("</svg>", page->out);
}
