/*
 * draw_stage.c - the drawing of a stage: one mark a blade, blade one at the port, aft looking
 * forward.
 *
 * Everything is drawn at twelve o'clock and turned to its place.  What depends on a sense is drawn
 * for clockwise, and mirrored for the other sense.  In the middle are the number of blades and the
 * arrow of the rotor.  Then come the datum mark, the arrow of the blade numbers, the blades and the
 * casing.  Outside are the ports, the arrow in which blades come to the first port, and the numbers
 * of known blades.
 */
#include "sheet/html.h"

#include <inttypes.h>

enum { WIDTH = 224, HEIGHT = 210, HALF_DEGREES = 720, APART = 52 /* of two numbers */ };

/* The shapes, at twelve o'clock; their legend shows the same ones. */
#define ONE "<path class=\"blade one\" d=\"M-4.5-55h9v-26h-9z\""
#define KNOWN "<path class=\"known\" d=\"M-3.5-55h7v-26h-7z\""
#define PORT "d=\"M0-83 6-91V-103H-6V-91z\""
#define GROW                                                                                       \
    "<path class=\"grow\" d=\"M14.2-43.7A46 46 0 0 1 45.8 4\"/><path class=\"tip\" "               \
    "d=\"M-5-51 6-46-5-41z\" transform=\"rotate(93)\"/>"
#define PASS                                                                                       \
    "<path class=\"pass\" d=\"M-73.3-57.3A93 93 0 0 1-25.6-89.4\"/><path class=\"head\" "          \
    "d=\"M-9-100 5-93-9-86z\" transform=\"rotate(-13)\"/>"
#define DATUM "<path class=\"datum\" d=\"M0-45 4-40 0-35-4-40z\""
#define NOON "<path class=\"line\" d=\"M0-82V-88\"/>"

struct wheel {
    FILE *out;
    const struct sheet *sheet;
    const struct model_stage *stage;
    int rotation; /* +1: the rotor turns clockwise */
    int growth;   /* +1: the blade numbers grow clockwise */
    int port;     /* of the first port: half degrees clockwise from twelve o'clock */
};

static const char *angle_text(const struct wheel *wheel, int64_t half_degrees)
{
    struct exact_rational value;
    return exact_make(half_degrees, 2, &value) ? words_decimal(wheel->sheet->arena, value, 1) : "0";
}

/* The angle of blade number `index` + 1, clockwise from twelve o'clock. */
static const char *blade_angle(const struct wheel *wheel, int64_t index)
{
    struct exact_rational value;
    int64_t blades = wheel->stage->blades.value;
    exact_wide doubled =
        (exact_wide)wheel->port * blades + (exact_wide)(wheel->growth * HALF_DEGREES) * index;
    if (doubled < 0) {
        doubled += (exact_wide)HALF_DEGREES * blades;
    }
    return exact_make(doubled, (exact_wide)2 * blades, &value)
               ? words_decimal(wheel->sheet->arena, value, 4)
               : "0";
}

static void draw_blades(const struct wheel *wheel)
{
    int64_t blades = wheel->stage->blades.value;
    struct exact_rational thickness = exact_whole(5);
    struct exact_rational half_gap; /* half of 2 x 3.14 x 68 / blades */
    if (exact_make(213, blades, &half_gap) && exact_compare(half_gap, thickness) < 0) {
        thickness = half_gap;
    }
    fprintf(wheel->out, "<g stroke-width=\"%s\">",
            words_decimal(wheel->sheet->arena, thickness, 2));
    for (int64_t i = 1; i < blades; i++) {
        fprintf(wheel->out, "<path class=\"blade\" d=\"M-2-57 2-78\" transform=\"rotate(%s)\"/>",
                blade_angle(wheel, i));
    }
    fputs("</g>\n", wheel->out);
    fprintf(wheel->out, ONE " transform=\"rotate(%s)\"/>", blade_angle(wheel, 0));
}

/* A text that stays upright at a place on a circle; half degrees clockwise. */
static void draw_label(const struct wheel *wheel, int64_t at, int radius, const char *style,
                       const char *text)
{
    const char *turned = angle_text(wheel, (at % HALF_DEGREES + HALF_DEGREES) % HALF_DEGREES);
    fprintf(wheel->out,
            "<text class=\"%s\" y=\"5.5\" font-size=\"16\" transform=\"rotate(%s) translate(0 -%d) "
            "rotate(-%s)\">%s</text>",
            style, turned, radius, turned, text);
}

/* The angle of a known blade: half degrees clockwise from twelve o'clock, rounded down. */
static int known_at(const struct wheel *wheel, size_t index)
{
    const struct model_known_blade *known =
        MODEL_ITEM(wheel->stage->known_blades, struct model_known_blade, index);
    int64_t ahead = HALF_DEGREES * (known->blade.value - 1) / wheel->stage->blades.value;
    return (int)((wheel->port + wheel->growth * ahead + HALF_DEGREES) % HALF_DEGREES);
}

/* The lesser distance between two places on the circle, in half degrees. */
static int apart(int a, int b)
{
    int ahead = (a - b + HALF_DEGREES) % HALF_DEGREES;
    return ahead < HALF_DEGREES - ahead ? ahead : HALF_DEGREES - ahead;
}

/* Whether a place outside the casing is free of ports, and of what comes to the first of them. */
static bool is_free(const struct wheel *wheel, int at)
{
    for (size_t i = 0; i < wheel->stage->ports.count; i++) {
        const struct model_port *port = MODEL_ITEM(wheel->stage->ports, struct model_port, i);
        if (apart(port->clock.minutes.value, at) <= 30) {
            return false;
        }
    }
    int before = (wheel->rotation * (wheel->port - at) + HALF_DEGREES) % HALF_DEGREES;
    return wheel->stage->ports.count == 0 || before > 170;
}

/* Known blades are hollow.  Each has its number outside, if the place is free. */
static void draw_known_blades(const struct wheel *wheel)
{
    for (size_t i = 0; i < wheel->stage->known_blades.count; i++) {
        const struct model_known_blade *known =
            MODEL_ITEM(wheel->stage->known_blades, struct model_known_blade, i);
        fprintf(wheel->out, KNOWN " transform=\"rotate(%s)\"/>",
                blade_angle(wheel, known->blade.value - 1));
        bool clear = is_free(wheel, known_at(wheel, i));
        for (size_t j = 0; j < i; j++) {
            clear = clear && apart(known_at(wheel, i), known_at(wheel, j)) > APART;
        }
        if (clear) {
            draw_label(wheel, known_at(wheel, i), 94, "mark outside",
                       sheet_say(wheel->sheet, "%" PRId64, known->blade.value));
        }
    }
    fputs(wheel->stage->known_blades.count == 0 ? "" : "\n", wheel->out);
}

/* The way the numbers grow, from blade one on: 18 to 95 degrees at radius 46. */
static void draw_growth(const struct wheel *wheel)
{
    draw_label(wheel, wheel->port, 46, "mark", "1");
    fprintf(wheel->out, "<g transform=\"rotate(%s) scale(%d 1)\">" GROW "</g>\n",
            angle_text(wheel, wheel->port), wheel->growth);
}

/* The first port is drawn full, the others hollow. */
static void draw_ports(const struct wheel *wheel)
{
    for (size_t i = 0; i < wheel->stage->ports.count; i++) {
        const struct model_port *port = MODEL_ITEM(wheel->stage->ports, struct model_port, i);
        fprintf(wheel->out, "<path class=\"port%s\" " PORT " transform=\"rotate(%s)\"/>",
                i == 0 ? "" : " other", angle_text(wheel, port->clock.minutes.value));
    }
}

/* The way blades come to the port, 52 to 13 degrees before it at radius 93, and which comes next.
 */
static void draw_passing(const struct wheel *wheel)
{
    enum { LABEL = 2 * 65 };
    fprintf(wheel->out, "<g transform=\"rotate(%s) scale(%d 1)\">" PASS "</g>",
            angle_text(wheel, wheel->port), wheel->rotation);
    draw_label(wheel, wheel->port - wheel->rotation * LABEL, 94, "next",
               sheet_next_blade(wheel->sheet, wheel->stage));
}

/* The datum mark follows blade one at the clocking angle, in the sense of the rotor. */
static void draw_datum(const struct wheel *wheel)
{
    struct exact_rational clocking;
    struct exact_rational angle;
    struct exact_measure written = {wheel->stage->clocking.written.stated,
                                    wheel->stage->clocking.written.unit};
    if (wheel->stage->clocking.at.state != MODEL_GIVEN ||
        !exact_measure_in(written, EXACT_DEG, &clocking) || !exact_make(wheel->port, 2, &angle)) {
        return;
    }
    bool fits = wheel->rotation > 0 ? exact_sub(angle, clocking, &angle)
                                    : exact_add(angle, clocking, &angle);
    if (fits) {
        fprintf(wheel->out, DATUM " transform=\"rotate(%s)\"/>",
                words_decimal(wheel->sheet->arena, angle, 4));
    }
}

/* A mark at twelve o'clock, and its number if the place is free. */
static void draw_clock(const struct wheel *wheel)
{
    bool clear = is_free(wheel, 0);
    for (size_t i = 0; i < wheel->stage->known_blades.count; i++) {
        clear = clear && apart(known_at(wheel, i), 0) > APART;
    }
    fputs(NOON, wheel->out);
    if (clear) {
        draw_label(wheel, 0, 96, "soft", "12");
    }
}

static const char *describe(const struct wheel *wheel)
{
    const char *note = "Blade one is drawn at the top; the port is not given.";
    if (wheel->stage->ports.count != 0) {
        note = sheet_say(wheel->sheet,
                         "Blade one is at the port at %s. The blades pass it in the order %s.",
                         words_clock(wheel->sheet->arena, wheel->port),
                         sheet_passing(wheel->sheet, wheel->stage));
    }
    const char *known = sheet_known_blades(wheel->sheet, wheel->stage);
    return sheet_say(wheel->sheet,
                     "%" PRId64 " blade%s. The rotor turns %s and the numbers grow %s. %s%s%s%s",
                     wheel->stage->blades.value, words_plural(wheel->stage->blades.value),
                     words_sense(wheel->rotation), words_sense(wheel->growth), note,
                     known ? " Known blades: " : "", known ? known : "", known ? "." : "");
}

void sheet_draw_wheel(struct sheet_page *page, size_t index)
{
    const struct model_stage *stage = model_stage(page->sheet->derived->engine, index);
    const struct model_spool *spool = model_spool(page->sheet->derived->engine, stage->spool_index);
    struct wheel wheel = {.out = page->out, .sheet = page->sheet, .stage = stage};
    wheel.rotation = model_spool_sign(spool);
    wheel.growth = model_numbers_fall(stage) ? wheel.rotation : -wheel.rotation;
    if (stage->ports.count != 0) {
        wheel.port = MODEL_ITEM(stage->ports, struct model_port, 0)->clock.minutes.value;
    }
    struct sheet_frame frame = {"wheel", WIDTH, HEIGHT, 1, false};
    sheet_svg_open(page, &frame,
                   sheet_say(page->sheet, "%s, seen aft looking forward", stage->id.text),
                   describe(&wheel));
    fputs("<circle class=\"casing\" r=\"82\"/><circle class=\"hub\" r=\"57\"/>", page->out);
    draw_clock(&wheel);
    draw_blades(&wheel);
    draw_known_blades(&wheel);
    draw_growth(&wheel);
    draw_datum(&wheel);
    draw_ports(&wheel);
    if (stage->ports.count != 0) {
        draw_passing(&wheel);
    }
    sheet_svg_turn(page->out, 0, 30, 9, wheel.rotation);
    fprintf(page->out, "<text class=\"count\" y=\"8\" font-size=\"22\">%" PRId64 "</text></svg>\n",
            stage->blades.value);
}

/* ---- legend ---------------------------------------------------------------------------------- */

/* Whether a stage that a pad turns has it. */
typedef bool has_shape(const struct model_stage *stage);

static bool has_port(const struct model_stage *stage)
{
    return stage->ports.count > 0;
}

static bool has_another_port(const struct model_stage *stage)
{
    return stage->ports.count > 1;
}

static bool has_known_blade(const struct model_stage *stage)
{
    return stage->known_blades.count > 0;
}

static bool has_datum(const struct model_stage *stage)
{
    return stage->clocking.at.state == MODEL_GIVEN;
}

static bool on_a_wheel(const struct sheet *sheet, has_shape *has)
{
    const struct model_engine *engine = sheet->derived->engine;
    for (size_t i = 0; i < engine->stages.count; i++) {
        const struct model_stage *stage = model_stage(engine, i);
        if (sheet_is_driven(sheet, stage->spool_index) && (!has || has(stage))) {
            return true;
        }
    }
    return false;
}

void sheet_draw_legend(struct sheet_page *page)
{
    static const struct sign {
        const char *frame, *shape, *words;
        has_shape *has; /* NULL: on every wheel */
    } signs[] = {
        {"-14 -84 28 32", ONE "/>", "blade one, drawn at the port", NULL},
        {"-14 -84 28 32", KNOWN "/>",
         "a known blade: there the count is found again without a full turn", has_known_blade},
        {"-14 -109 28 32", "<path class=\"port\" " PORT "/>", "the port", has_port},
        {"-14 -109 28 32", "<path class=\"port other\" " PORT "/>", "another port of the stage",
         has_another_port},
        {"-84 -109 84 61", PASS, "the way blades come to the port, and the next one's number",
         has_port},
        {"-40 -40 80 80", NULL, "the way the rotor turns, round the number of blades", NULL},
        {"6 -52 50 64", GROW, "the way the blade numbers grow", NULL},
        {"-8 -49 16 18", DATUM "/>", "datum mark", has_datum},
        {"-6 -92 12 14", NOON, "12 o'clock", NULL},
    };
    fputs("<ul class=\"legend wheel\">\n", page->out);
    for (size_t i = 0; i < sizeof signs / sizeof *signs; i++) {
        if (!on_a_wheel(page->sheet, signs[i].has)) {
            continue;
        }
        fprintf(page->out, "<li><svg aria-hidden=\"true\" viewBox=\"%s\">", signs[i].frame);
        if (signs[i].shape) {
            fputs(signs[i].shape, page->out);
        } else {
            sheet_svg_turn(page->out, 0, 30, 9, 1);
        }
        fputs("</svg> ", page->out);
        sheet_escape(page->out, signs[i].words);
        fputs("</li>\n", page->out);
    }
    fputs("</ul>\n", page->out);
}
