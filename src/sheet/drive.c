/*
 * drive.c - pads and stages in the HTML form: the strip of a drive, the limits with the steps, the
 * wheels of a spool.
 */
#include "sheet/html.h"

#include <inttypes.h>

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
                  sheet_say(page->sheet, "%s%s, %s", words_sense(turn.sign), turn.mark, turn.view));
    sheet_element(page, "span", "span", turn.what);
    fputs("</figcaption></figure></li>\n", page->out);
}

/* `first` is what turns the first shaft: "pad". */
static void write_train(struct sheet_page *page, const struct words_train *train, const char *first,
                        struct sheet_scale scale)
{
    for (size_t i = 0; i < train->count; i++) {
        const struct words_turn *mesh = &train->meshes[i];
        fputs("<li class=\"mesh\"><figure><div class=\"bench\">", page->out);
        sheet_draw_mesh(page, mesh, scale);
        fputs("</div><figcaption>", page->out);
        sheet_element(page, "b", "b", mesh->name);
        if (i == 0 && train->turned) {
            sheet_element(page, "span class=\"from\"", "span",
                          sheet_say(page->sheet, "%s %s,", first, train->first));
        }
        if (mesh->turns) {
            sheet_element(page, "span class=\"way\"", "span", mesh->turns);
        }
        sheet_element(page, "span", "span",
                      sheet_say(page->sheet, "%s turns so far %s", first, mesh->so_far));
        fputs("</figcaption></figure></li>\n", page->out);
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

/* Where blade one of the clocked stages is. */
static void write_datums(struct sheet_page *page, size_t pad)
{
    const char *datums = sheet_datums(page->sheet, pad);
    if (datums) {
        sheet_element(page, "p class=\"after\"", "p", datums);
        fputc('\n', page->out);
    }
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

/* What a shape in the drawings of gears means, and in which kind of mesh it is. */
static const struct gear_sign {
    enum turning_mesh_kind kind;
    const char *words;
} gear_signs[] = {
    {TURNING_EXTERNAL, "White wheel between two others: idler."},
    {TURNING_BEVEL, "Second rim: bevel gear."},
    {TURNING_INTERNAL, "Rim with teeth inside: ring."},
    {TURNING_EPICYCLIC, "Rim with teeth inside: ring; white wheels: planets, on the arms of their "
                        "carrier; thick broken rim: held."},
    {TURNING_DIRECT, "Box across the shaft: direct coupling."},
};

/* Whether a path has a mesh of this kind.  A row of two external gears needs no words. */
static bool has_sign(const struct model_list *path, enum turning_mesh_kind kind)
{
    for (size_t i = 0; i < path->count; i++) {
        const struct model_mesh *mesh = MODEL_ITEM(*path, struct model_mesh, i);
        if (mesh->bare.kind == kind && (kind != TURNING_EXTERNAL || mesh->teeth_count > 2)) {
            return true;
        }
    }
    return false;
}

/* How to read the strips of all drives. */
static void write_drive_key(struct sheet_page *page)
{
    const struct model_engine *engine = page->sheet->derived->engine;
    fputs("<p class=\"key\">All arrows show the spool turning in its normal direction, each in the "
          "view named below it. The last gear has the view of the spool. If a path shows its first "
          "shaft from the other end, its first mesh says so. Gears are rolled out flat, to the "
          "scale of their teeth; &quot;so far&quot; is the number of turns so far, for one turn of "
          "the shaft after the mesh.",
          page->out);
    for (size_t i = 0; i < sizeof gear_signs / sizeof *gear_signs; i++) {
        bool occurs = false;
        for (size_t j = 0; j < engine->pads.count; j++) {
            const struct model_pad *pad = model_pad(engine, j);
            occurs = occurs || has_sign(&pad->path, gear_signs[i].kind) ||
                     has_sign(&pad->adapter.path, gear_signs[i].kind);
        }
        if (occurs) {
            fprintf(page->out, " %s", gear_signs[i].words);
        }
    }
    fputs("</p>\n", page->out);
}

void sheet_write_pad(struct sheet_page *page, size_t pad)
{
    struct words_train adapter =
        words_adapter_train(page->sheet->arena, model_pad(page->sheet->derived->engine, pad),
                            page->sheet->derived->facts.pads[pad].adapter_sign);
    struct words_train train =
        words_pad_train(page->sheet->arena, model_pad(page->sheet->derived->engine, pad));
    struct sheet_scale scale = sheet_gears_scale(&adapter, &train);
    sheet_section(page, "pad", sheet_pad_title(page->sheet, pad));
    if (pad == 0) {
        write_drive_key(page);
    }
    fputs("<ol class=\"drive\">\n", page->out);
    write_turn(page, pad, SHEET_DEVICE, scale);
    write_train(page, &adapter, "device", scale);
    write_turn(page, pad, SHEET_PAD, scale);
    write_train(page, &train, "pad", scale);
    write_turn(page, pad, SHEET_ROTOR, scale);
    fputs("</ol>\n", page->out);
    if (train.count == 0) {
        sheet_element(page, "p class=\"note\"", "p",
                      "The gears between pad and rotor are not known.");
    }
    write_notes(page, pad);
    write_limits(page, pad);
    write_datums(page, pad);
    fputs("</section>\n", page->out);
}

/* ---- steps, and how far off they are --------------------------------------------------------- */

static void write_error(struct sheet_page *page, const struct words_place *place)
{
    sheet_element(page, "td", "td", place->turns);
    if (place->degrees) {
        sheet_element(page, "td", "td", place->degrees);
        sheet_element(page, "td", "td", place->percent);
        sheet_element(page, "td", "td", place->bare_parts);
    } else {
        sheet_element(page, "td colspan=\"3\"", "td", place->most);
    }
    fputs("</tr>\n", page->out);
}

static void write_step(struct sheet_page *page, const struct model_pair *pair)
{
    struct words_place places[2];
    struct sheet_step step = sheet_step(page->sheet, pair);
    const char *const numbers[] = {step.counts, step.rotor, step.device};
    size_t count = sheet_errors(page->sheet, pair, places);
    const char *cell = sheet_say(page->sheet, "td rowspan=\"%zu\"", count);
    fputs("<tr>", page->out);
    sheet_element(page, sheet_say(page->sheet, "th scope=\"row\" rowspan=\"%zu\"", count), "th",
                  model_stage(page->sheet->derived->engine, pair->stage)->id.text);
    for (size_t i = 0; i < sizeof numbers / sizeof *numbers; i++) {
        sheet_element(page, cell, "td", numbers[i]);
    }
    for (size_t i = 0; i < count; i++) {
        fputs(i == 0 ? "" : "<tr>", page->out);
        write_error(page, &places[i]);
    }
}

void sheet_write_steps(struct sheet_page *page, size_t pad)
{
    static const char *const columns[] = {
        "Stage",       "Step, counts",       "Rotor, deg", "Device, deg",
        "Rotor turns", "Error at most, deg", "% of pitch", "Its parts, deg, largest first",
        NULL};
    const struct model_pad_on_device *on = &page->sheet->derived->on.pads[pad];
    const char *id = model_pad(page->sheet->derived->engine, pad)->id.text;
    sheet_section(page, "rounding", sheet_say(page->sheet, "Steps through pad %s", id));
    fputs("<div class=\"steps\">", page->out);
    sheet_columns(page, columns);
    for (size_t i = 0; i < on->pair_count; i++) {
        write_step(page, &on->pairs[i]);
    }
    fputs("</tbody></table></div></section>\n", page->out);
}

/* ---- stages ---------------------------------------------------------------------------------- */

/* The stages of a spool. */
struct blades {
    size_t spool, count;
    const char *numbering; /* if it is the same for all, and is written once */
};

static bool is_on(const struct sheet_page *page, size_t stage, size_t spool)
{
    return model_stage(page->sheet->derived->engine, stage)->spool_index == spool;
}

static struct blades blades_of(const struct sheet_page *page, size_t spool)
{
    struct blades blades = {spool, 0, NULL};
    const struct model_engine *engine = page->sheet->derived->engine;
    for (size_t i = 0; i < engine->stages.count; i++) {
        if (is_on(page, i, spool)) {
            const char *numbering = sheet_numbering(model_stage(engine, i));
            bool same = blades.count == 0 || blades.numbering == numbering;
            blades.numbering = same ? numbering : NULL;
            blades.count++;
        }
    }
    return blades;
}

/* A line below a wheel. */
static void write_item(struct sheet_page *page, const struct sheet_row *row)
{
    fputs("<div>", page->out);
    sheet_element(page, "dt", "dt", sheet_say(page->sheet, "%s:", row->label));
    fputs(" <dd>", page->out);
    sheet_escape(page->out, row->value);
    if (row->detail) {
        fputs(", ", page->out);
        sheet_escape(page->out, row->detail);
    }
    fputs("</dd></div>\n", page->out);
}

static void write_stage(struct sheet_page *page, size_t index, const struct blades *blades)
{
    const struct model_stage *stage = model_stage(page->sheet->derived->engine, index);
    const struct model_spool *spool = model_spool(page->sheet->derived->engine, stage->spool_index);
    struct sheet_rows rows = {NULL, 0, 0};
    fputs("<article class=\"stage\"><h3>", page->out);
    sheet_escape(page->out, stage->id.text);
    fputc(' ', page->out);
    sheet_element(page, "span", "span",
                  sheet_say(page->sheet, "%s%s, %" PRId64 " blade%s%s", sheet_role(stage),
                            sheet_mark(page->sheet, MODEL_STAGES, index, "role"),
                            stage->blades.value, words_plural(stage->blades.value),
                            sheet_mark(page->sheet, MODEL_STAGES, index, "blades")));
    fputs("</h3>\n", page->out);
    sheet_draw_wheel(page, index);
    sheet_element(
        page, "p class=\"way\"", "p",
        sheet_say(page->sheet, "%s, aft looking forward", words_sense(model_spool_sign(spool))));
    sheet_stage_rows(page->sheet, index, &rows);
    fputs("<dl>\n", page->out);
    for (size_t i = 0; i < rows.count; i++) {
        struct sheet_row row = rows.items[i];
        row.detail = row.detail == blades->numbering ? NULL : row.detail;
        write_item(page, &row);
    }
    fputs("</dl></article>\n", page->out);
}

/* How to read the wheels of a spool. */
static void write_wheels_key(struct sheet_page *page, const struct blades *blades)
{
    fputs("<p class=\"key\">", page->out);
    sheet_escape(page->out, sheet_spool_way(page->sheet, blades->spool));
    fputs(", and so is every drawing here", page->out);
    if (blades->numbering) {
        fprintf(page->out, "; all are %s", blades->numbering);
    }
    fputs(".</p>\n", page->out);
    if (page->legends++ == 0) {
        sheet_draw_legend(page);
    }
}

/* The stages of a spool with several ports: how far the others are from the first one. */
static void write_other_ports(struct sheet_page *page, size_t spool)
{
    static const char *const columns[] = {"Stage", "Other port", "Farther by", "Stops there", NULL};
    const struct model_engine *engine = page->sheet->derived->engine;
    bool open = false;
    for (size_t i = 0; i < engine->stages.count; i++) {
        const struct model_stage *stage = model_stage(engine, i);
        for (size_t j = 1; is_on(page, i, spool) && j < stage->ports.count; j++) {
            const struct sheet_other_port other = sheet_other_port(page->sheet, i, j);
            if (!open) {
                fputs("<div class=\"ports\">", page->out);
                sheet_columns(page, columns);
                open = true;
            }
            fputs("<tr>", page->out);
            sheet_element(page, "th scope=\"row\"", "th", stage->id.text);
            sheet_element(page, "td", "td", other.port);
            sheet_element(page, "td", "td", other.apart);
            sheet_element(page, "td", "td", other.stops);
            fputs("</tr>\n", page->out);
        }
    }
    if (open) {
        fputs("</tbody></table></div>\n", page->out);
    }
}

void sheet_write_driven(struct sheet_page *page, size_t spool)
{
    const struct model_engine *engine = page->sheet->derived->engine;
    const char *id = model_spool(engine, spool)->id.text;
    struct blades blades = blades_of(page, spool);
    sheet_section(page, "driven", sheet_say(page->sheet, "Stages of spool %s", id));
    write_wheels_key(page, &blades);
    fprintf(page->out, "<div class=\"stages %s\">\n", blades.count < 5 ? "few" : "many");
    for (size_t i = 0; i < engine->stages.count; i++) {
        if (is_on(page, i, spool)) {
            write_stage(page, i, &blades);
        }
    }
    fputs("</div>\n", page->out);
    write_other_ports(page, spool);
    fputs("</section>\n", page->out);
}

void sheet_write_by_hand(struct sheet_page *page, size_t spool)
{
    static const char *const columns[] = {
        "Stage",     "Blades", "Pitch, deg", "Order at the port, deg of rotor",
        "Blade one", "Port",   NULL};
    const struct model_engine *engine = page->sheet->derived->engine;
    const char *id = model_spool(engine, spool)->id.text;
    sheet_section(page, "by-hand", sheet_say(page->sheet, "Spool %s, turned by hand", id));
    sheet_element(page, "p class=\"key\"", "p",
                  sheet_say(page->sheet, "%s. No pad turns it, and no device counts it.",
                            sheet_spool_way(page->sheet, spool)));
    sheet_columns(page, columns);
    for (size_t i = 0; i < engine->stages.count; i++) {
        const struct model_stage *stage = model_stage(engine, i);
        const char *ports = sheet_ports(page->sheet, i);
        if (!is_on(page, i, spool)) {
            continue;
        }
        fputs("<tr>", page->out);
        sheet_element(page, "th scope=\"row\"", "th",
                      sheet_say(page->sheet, "%s, %s%s", stage->id.text, sheet_role(stage),
                                sheet_mark(page->sheet, MODEL_STAGES, i, "role")));
        const bool noted = stage->note.at.state == MODEL_GIVEN;
        sheet_element(page, "td", "td",
                      sheet_say(page->sheet, "%" PRId64 "%s%s%s", stage->blades.value,
                                sheet_mark(page->sheet, MODEL_STAGES, i, "blades"),
                                noted ? "; " : "", noted ? stage->note.text : ""));
        sheet_element(page, "td", "td", sheet_pitch(page->sheet, stage));
        sheet_element(page, "td", "td",
                      sheet_say(page->sheet, "%s%s", sheet_hand_stops(page->sheet, stage),
                                sheet_mark(page->sheet, MODEL_STAGES, i, "numbering")));
        const char *one =
            stage->blade_one.at.state == MODEL_GIVEN ? stage->blade_one.text : "not described";
        const char *known = sheet_known_blades(page->sheet, stage);
        sheet_element(page, "td", "td",
                      known ? sheet_say(page->sheet, "%s; known blades: %s%s", one, known,
                                        sheet_mark(page->sheet, MODEL_STAGES, i, "known-blades"))
                            : one);
        sheet_element(page, "td", "td", ports ? ports : "none given");
        fputs("</tr>\n", page->out);
    }
    fputs("</tbody></table>\n", page->out);
    write_other_ports(page, spool);
    fputs("</section>\n", page->out);
}
