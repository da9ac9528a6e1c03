#include "sheet/sheet.h"

#include "sheet/facts.h"
#include "sheet/html.h"
#include "text/utf8.h"
#include "text/wrap.h"

#include <inttypes.h>
#include <string.h>

enum { COLUMNS = 100, INDENT = 2, VALUES = 28 /* the column in which values begin */ };

struct writer {
    FILE *out;
    const struct sheet *sheet;
};

/* Writes from column `at` on to the end of the line, and wraps to `indent`. */
static void wrap(struct writer *writer, size_t at, size_t indent, const char *raw)
{
    const struct text_wrap lines = {COLUMNS, indent};
    text_write_wrapped(writer->out, at, lines, sheet_clean(writer->sheet->arena, raw));
}

static void line(struct writer *writer, size_t indent, const char *text)
{
    fprintf(writer->out, "%*s", (int)indent, "");
    wrap(writer, indent, indent, text);
}

static void heading(struct writer *writer, const char *text)
{
    size_t length = text_utf8_count(text, strlen(text));
    fputc('\n', writer->out);
    line(writer, 0, text);
    for (size_t i = 0; i < length && i < COLUMNS; i++) {
        fputc('-', writer->out);
    }
    fputc('\n', writer->out);
}

/* "  label   value: detail" with the value in its column. */
static void row(struct writer *writer, size_t indent, const struct sheet_row *row)
{
    size_t column = VALUES + indent - INDENT;
    size_t length = text_utf8_count(row->label, strlen(row->label));
    if (indent + length + 2 > column) {
        line(writer, indent, row->label);
        fprintf(writer->out, "%*s", (int)column, "");
    } else {
        fprintf(writer->out, "%*s%-*s", (int)indent, "", (int)(column - indent), row->label);
    }
    wrap(writer, column, column,
         row->detail ? sheet_say(writer->sheet, "%s; %s", row->value, row->detail) : row->value);
}

static void rows(struct writer *writer, size_t indent, const struct sheet_rows *rows)
{
    for (size_t i = 0; i < rows->count; i++) {
        row(writer, indent, &rows->items[i]);
    }
}

static void write_numbered(struct writer *writer, size_t number, const char *text)
{
    const char *lead = sheet_say(writer->sheet, "  %zu. ", number);
    fputs(lead, writer->out);
    wrap(writer, strlen(lead), strlen(lead), text);
}

static void write_cautions(struct writer *writer)
{
    const char *warning = sheet_status_warning(writer->sheet);
    heading(writer, "Before anything turns");
    if (warning) {
        line(writer, INDENT, warning);
    }
    for (size_t i = 0; i < writer->sheet->derived->engine->spools.count; i++) {
        const char *by_hand = sheet_hand_warning(writer->sheet, i);
        if (by_hand) {
            line(writer, INDENT, by_hand);
        }
    }
    const struct words_cautions own = sheet_before_turning(writer->sheet);
    const char *marks = sheet_mark_caution(writer->sheet);
    size_t number = 0;
    for (size_t i = 0; i < own.count; i++) {
        write_numbered(writer, ++number, own.items[i]);
    }
    if (marks) {
        write_numbered(writer, ++number, marks);
    }
    for (size_t i = 0; sheet_cautions[i]; i++) {
        write_numbered(writer, ++number, sheet_cautions[i]);
    }
}

static void write_open_findings(struct writer *writer)
{
    if (!sheet_has_open_finding(writer->sheet)) {
        return;
    }
    heading(writer, "Open findings");
    for (size_t i = 0; i < writer->sheet->findings->count; i++) {
        const char *open = sheet_open_finding(writer->sheet, i);
        if (open) {
            line(writer, INDENT, open);
        }
    }
}

static void write_turns(struct writer *writer, size_t pad)
{
    static const enum sheet_end ends[] = {SHEET_DEVICE, SHEET_PAD, SHEET_ROTOR};
    line(writer, INDENT, "Which way each turns when the spool turns in its normal direction:");
    for (size_t i = 0; i < sizeof ends / sizeof *ends; i++) {
        struct sheet_turn turn = sheet_turn(writer->sheet, pad, ends[i]);
        struct sheet_row turns = {
            turn.name,
            sheet_say(writer->sheet, "%s%s, %s", words_sense(turn.sign), turn.mark, turn.view),
            turn.what};
        row(writer, INDENT + 2, &turns);
    }
}

static void write_train(struct writer *writer, const char *title, const char *first,
                        const struct words_train *train)
{
    if (train->count == 0) {
        return;
    }
    line(writer, INDENT,
         sheet_say(writer->sheet,
                   "%s; the %s's turns so far, for one turn of the shaft after the mesh:", title,
                   first));
    if (train->first) {
        struct sheet_row shaft = {
            sheet_say(writer->sheet, "the %s itself", first), train->first,
            train->turned ? sheet_say(writer->sheet, "facing it: %s", train->faced) : NULL};
        row(writer, INDENT + 2, &shaft);
    }
    for (size_t i = 0; i < train->count; i++) {
        const struct words_turn *mesh = &train->meshes[i];
        struct sheet_row step = {mesh->name, mesh->so_far, mesh->turns};
        row(writer, INDENT + 2, &step);
    }
}

static void write_pad(struct writer *writer, size_t pad)
{
    const struct sheet *sheet = writer->sheet;
    struct sheet_rows limits = {NULL, 0, 0};
    struct sheet_rows notes = {NULL, 0, 0};
    struct words_train adapter =
        words_adapter_train(sheet->arena, model_pad(sheet->derived->engine, pad),
                            sheet->derived->facts.pads[pad].adapter_sign);
    struct words_train train =
        words_pad_train(sheet->arena, model_pad(sheet->derived->engine, pad));
    heading(writer, sheet_pad_title(sheet, pad));
    write_turns(writer, pad);
    sheet_pad_notes(sheet, pad, &notes);
    rows(writer, INDENT, &notes);
    fputc('\n', writer->out);
    sheet_pad_rows(sheet, pad, &limits);
    rows(writer, INDENT, &limits);
    if (sheet_datums(sheet, pad)) {
        line(writer, INDENT, sheet_datums(sheet, pad));
    }
    fputc('\n', writer->out);
    write_train(writer, "Gears of the adapter, device side first", "device", &adapter);
    write_train(writer, "Gear path, pad side first", "pad", &train);
    if (train.count == 0) {
        line(writer, INDENT, "The gears between pad and rotor are not known.");
    }
}

static void write_stage(struct writer *writer, size_t index, bool driven)
{
    const struct sheet *sheet = writer->sheet;
    const struct model_stage *stage = model_stage(sheet->derived->engine, index);
    struct sheet_rows facts = {NULL, 0, 0};
    fputc('\n', writer->out);
    line(writer, INDENT,
         sheet_say(sheet, "%s, %s%s: %" PRId64 " blades%s", stage->id.text, sheet_role(stage),
                   sheet_mark(sheet, MODEL_STAGES, index, "role"), stage->blades.value,
                   sheet_mark(sheet, MODEL_STAGES, index, "blades")));
    sheet_stage_rows(sheet, index, &facts);
    sheet_other_port_rows(sheet, index, &facts);
    if (driven) {
        sheet_step_rows(sheet, index, &facts);
    }
    rows(writer, INDENT + 2, &facts);
}

static void write_spool(struct writer *writer, size_t spool)
{
    const struct sheet *sheet = writer->sheet;
    const struct model_engine *engine = sheet->derived->engine;
    bool driven = sheet_is_driven(sheet, spool);
    heading(writer, sheet_say(sheet, driven ? "Stages of spool %s" : "Spool %s, turned by hand",
                              model_spool(engine, spool)->id.text));
    line(writer, INDENT,
         sheet_say(sheet, "%s; all that follows is in this view.", sheet_spool_way(sheet, spool)));
    for (size_t i = 0; i < engine->stages.count; i++) {
        if (model_stage(engine, i)->spool_index == spool) {
            write_stage(writer, i, driven);
        }
    }
}

static void write_observations(struct writer *writer)
{
    struct sheet_rows observations = {NULL, 0, 0};
    sheet_observation_rows(writer->sheet, &observations);
    heading(writer, "Measured on an engine");
    if (observations.count == 0) {
        line(writer, INDENT,
             "Nothing: no observation shows that these numbers are right for a real engine.");
    }
    rows(writer, INDENT, &observations);
}

void sheet_text(FILE *out, const struct sheet *sheet)
{
    struct writer writer = {out, sheet};
    const struct model_engine *engine = sheet->derived->engine;
    struct sheet_rows sources = {NULL, 0, 0};
    fputs("SETUP SHEET: ", out);
    wrap(&writer, 13, 13,
         sheet_say(sheet, "%s, %s, turned with %s", engine->name.text, sheet_edition(sheet),
                   sheet->derived->device->device->name.text));
    struct sheet_row models = {"Holds for", words_models(sheet->arena, engine), NULL};
    row(&writer, 0, &models);
    write_cautions(&writer);
    write_open_findings(&writer);
    for (size_t i = 0; i < engine->pads.count; i++) {
        write_pad(&writer, i);
    }
    for (size_t hand = 0; hand < 2; hand++) {
        for (size_t i = 0; i < engine->spools.count; i++) {
            if (sheet_is_driven(sheet, i) != (hand == 1)) {
                write_spool(&writer, i);
            }
        }
    }
    write_observations(&writer);
    heading(&writer, "Where these numbers come from");
    sheet_source_rows(sheet, &sources);
    rows(&writer, INDENT, &sources);
}
