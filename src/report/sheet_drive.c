/*
 * A pad in the HTML form: the strip of its drive, then its limits with the steps through it.
 */
#include "report/sheet_escape.h"
#include "report/sheet_part.h"

/* Device, pad or rotor in the strip of the drive. */
static void write_turn(struct sheet_page *page, size_t pad, enum sheet_end end,
                       struct sheet_scale scale)
{
    struct sheet_turn turn = sheet_turn(page->sheet, pad, end);
    fputs("<li><figure><div class=\"bench\">", page->out);
    sheet_draw_turn(page, end, &turn, scale);
    fputs("</div><figcaption>", page->out);
    sheet_element(page, "b", "b", turn.name);
    sheet_element(page, "span class=\"way\"", "span",
                  sheet_say(page->sheet, "%s, %s", sheet_sense(turn.sign), turn.view));
    sheet_element(page, "span", "span", turn.what);
    fputs("</figcaption></figure></li>\n", page->out);
}

static void write_train(struct sheet_page *page, const struct sheet_train *train, const char *turns,
                        struct sheet_scale scale)
{
    for (size_t i = 0; i < train->count; i++) {
        const struct sheet_mesh *mesh = &train->meshes[i];
        fputs("<li class=\"mesh\"><figure><div class=\"bench\">", page->out);
        sheet_draw_mesh(page, mesh, scale);
        fputs("</div><figcaption>", page->out);
        sheet_element(page, "b", "b", mesh->name);
        if (mesh->turns) {
            sheet_element(page, "span class=\"way\"", "span", mesh->turns);
        }
        sheet_element(page, "span", "span",
                      sheet_say(page->sheet, "%s so far %s", turns, mesh->so_far));
        fputs("</figcaption></figure></li>\n", page->out);
    }
}

static void write_step(struct sheet_page *page, const struct model_pair *pair)
{
    struct sheet_step step = sheet_step(page->sheet, pair);
    const char *const numbers[] = {step.counts, step.rotor,       step.device,
                                   step.off,    step.off_degrees, step.off_share};
    fputs("<tr>", page->out);
    sheet_element(page, "th scope=\"row\"", "th",
                  model_stage(page->sheet->derived->engine, pair->stage)->id.text);
    for (size_t i = 0; i < sizeof numbers / sizeof *numbers && numbers[i]; i++) {
        sheet_element(page, "td", "td", numbers[i]);
    }
    if (!step.off) {
        sheet_element(page, "td colspan=\"3\"", "td", "nothing");
    }
    fputs("</tr>\n", page->out);
    if (step.later) {
        fputs("<tr>", page->out);
        sheet_element(page, "td class=\"more\" colspan=\"7\"", "td", step.later);
        fputs("</tr>\n", page->out);
    }
}

/* The step of every stage through a pad, and where blade one of the clocked stages is. */
static void write_steps(struct sheet_page *page, size_t pad)
{
    static const char *const rounded[] = {
        "Stage",      "Step, counts",      "Rotor, deg", "Device, deg", "Error at most, counts",
        "Error, deg", "Error, % of pitch", NULL};
    static const char *const repeated[] = {"Stage",
                                           "Step, counts",
                                           "Rotor, deg",
                                           "Device, deg",
                                           "Left over a turn, counts",
                                           "Left over, deg",
                                           "Left over, % of pitch",
                                           NULL};
    const struct model_pad_on_device *on = &page->sheet->derived->on.pads[pad];
    const char *datums = sheet_datums(page->sheet, pad);
    fputs("<div class=\"steps\">", page->out);
    sheet_columns(page, sheet_is_fixed(page->sheet) ? repeated : rounded);
    for (size_t i = 0; i < on->pair_count; i++) {
        write_step(page, &on->pairs[i]);
    }
    fputs("</tbody></table></div>\n", page->out);
    if (datums) {
        sheet_element(page, "p class=\"after\"", "p", datums);
        fputc('\n', page->out);
    }
}

static void write_limits(struct sheet_page *page, size_t pad)
{
    struct sheet_rows rows = {NULL, 0, 0};
    sheet_pad_rows(page->sheet, pad, &rows);
    fputs("<dl class=\"limits\">\n", page->out);
    for (size_t i = 0; i < rows.count; i++) {
        fputs("<div>", page->out);
        sheet_element(page, "dt", "dt", rows.items[i].label);
        sheet_element(page, "dd class=\"value\"", "dd", rows.items[i].value);
        if (rows.items[i].detail) {
            sheet_element(page, "dd class=\"more\"", "dd", rows.items[i].detail);
        }
        fputs("</div>\n", page->out);
    }
    fputs("</dl>\n", page->out);
}

/* On paper limits and steps lie side by side, and the datum marks below the shorter of them. */
static void write_numbers(struct sheet_page *page, size_t pad)
{
    enum { LONG = 10 }; /* as many steps are as high as the limits */
    bool is_long = page->sheet->derived->on.pads[pad].pair_count >= LONG;
    fprintf(page->out, "<div class=\"numbers%s\">\n", is_long ? " long" : "");
    write_limits(page, pad);
    write_steps(page, pad);
    fputs("</div>", page->out);
}

static void write_notes(struct sheet_page *page, size_t pad)
{
    struct sheet_rows rows = {NULL, 0, 0};
    sheet_pad_notes(page->sheet, pad, &rows);
    for (size_t i = 0; i < rows.count; i++) {
        fputs("<p class=\"note\">", page->out);
        sheet_element(page, "b", "b", sheet_say(page->sheet, "%s:", rows.items[i].label));
        fputc(' ', page->out);
        sheet_escape(page->out, rows.items[i].value);
        fputs("</p>\n", page->out);
    }
}

/* How to read the strip of a drive. */
static void write_key(struct sheet_page *page)
{
    sheet_element(
        page, "p class=\"key\"", "p",
        "All arrows show the spool turning its normal way, each in the view named below it. Gears "
        "are rolled out flat, to the scale of their teeth; \"so far\" counts turns for one turn of "
        "the shaft behind the mesh.");
}

void sheet_write_pad(struct sheet_page *page, size_t pad)
{
    struct sheet_train adapter = sheet_adapter_train(page->sheet, pad);
    struct sheet_train train = sheet_pad_train(page->sheet, pad);
    struct sheet_scale scale = sheet_gears_scale(&adapter, &train);
    sheet_section(page, "pad", sheet_pad_title(page->sheet, pad));
    if (pad == 0) {
        write_key(page);
    }
    fputs("<ol class=\"drive\">\n", page->out);
    write_turn(page, pad, SHEET_DEVICE, scale);
    write_train(page, &adapter, "device turns", scale);
    write_turn(page, pad, SHEET_PAD, scale);
    write_train(page, &train, "pad turns", scale);
    write_turn(page, pad, SHEET_ROTOR, scale);
    fputs("</ol>\n", page->out);
    if (train.count == 0) {
        sheet_element(page, "p class=\"note\"", "p",
                      "The gears between pad and rotor are not known.");
    }
    write_notes(page, pad);
    write_numbers(page, pad);
    fputs("</section>\n", page->out);
}
