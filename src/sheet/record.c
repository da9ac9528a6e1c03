#include "sheet/record.h"

#include "report/csv.h"
#include "text/utf8.h"
#include "text/wrap.h"
#include "turning/where.h"
#include "words/port.h"

#include <inttypes.h>
#include <string.h>

const char *const sheet_record_fields[] = {"Engine serial", "Date", "Inspector", "At the stop",
                                           NULL};

enum { DECIMALS = 3 /* of degrees, as in stops */ };

/* ---- what it says -----------------------------------------------------------------------------
 */

static const struct model_stage *stage_of(const struct sheet *sheet,
                                          const struct sheet_record *record)
{
    return model_stage(sheet->derived->engine, record->stage);
}

/* The sentences that come before all others, by weight; the pad is WORDS_ALL by hand. */
static const char *const *before(const struct sheet *sheet, size_t spool, size_t pad)
{
    struct sheet_rows notes = {NULL, 0, 0};
    size_t count = 0;
    if (pad != WORDS_ALL) {
        sheet_pad_notes(sheet, pad, &notes);
    }
    struct words_cautions stated =
        words_before_turning(sheet->arena, sheet->derived->engine, spool, pad);
    const char **sentences =
        arena_array(sheet->arena, stated.count + notes.count + 4, sizeof *sentences);
    const char *const own[] = {sheet_status_warning(sheet), sheet_hand_warning(sheet, spool),
                               sheet_has_open_finding(sheet)
                                   ? "There are open findings: read them on the setup sheet."
                                   : NULL};
    for (size_t i = 0; i < stated.count; i++) {
        sentences[count++] = stated.items[i];
    }
    for (size_t i = 0; i < sizeof own / sizeof *own; i++) {
        if (own[i]) {
            sentences[count++] = own[i];
        }
    }
    for (size_t i = 0; i < notes.count; i++) {
        sentences[count++] = sheet_say(sheet, "%s: %s", notes.items[i].label, notes.items[i].value);
    }
    sentences[count] = NULL;
    return sentences;
}

static const char *cautions(const struct sheet *sheet, bool by_hand)
{
    const char *text = "";
    for (size_t i = 0; sheet_short_cautions[i]; i++) {
        if (!by_hand || sheet_short_cautions[i + 1]) {
            text = sheet_say(sheet, "%s%s%s", text, i == 0 ? "" : " ", sheet_short_cautions[i]);
        }
    }
    return text;
}

/* How far the other ports are from the first one, for which the stops are. */
static void add_ports(const struct sheet *sheet, const struct model_stage *stage,
                      const struct exact_rational *counts_per_turn, struct sheet_rows *rows)
{
    if (stage->ports.count == 0) {
        sheet_row(sheet, rows, "Port", "not given", NULL);
    }
    for (size_t i = 0; i < stage->ports.count; i++) {
        const struct model_port *port = MODEL_ITEM(stage->ports, struct model_port, i);
        const char *where = words_port(sheet->arena, port);
        if (i == 0) {
            sheet_row(sheet, rows, "Port", where, NULL);
            continue;
        }
        const struct turning_apart apart = model_ports_apart(sheet->derived->engine, stage, 0, i);
        const char *far = words_apart(sheet->arena, &apart);
        if (counts_per_turn) {
            far = sheet_say(sheet, "%s, %s", far,
                            words_apart_counts(sheet->arena, &apart, *counts_per_turn));
        }
        sheet_row(sheet, rows, "Other port", sheet_say(sheet, "%s, farther by %s", where, far),
                  sheet_say(sheet, "every stop there is %s",
                            words_stops_apart(sheet->arena, &apart, stage->blades.value)));
    }
}

/* What is the same for a stage through a pad and by hand. */
static void begin(const struct sheet *sheet, size_t index, size_t pad,
                  const struct exact_rational *counts_per_turn, struct sheet_record *record)
{
    const struct model_stage *stage = model_stage(sheet->derived->engine, index);
    const char *known = sheet_known_blades(sheet, stage);
    *record = (struct sheet_record){.stage = index};
    record->title =
        sheet_say(sheet, "%s, %s, %" PRId64 " blade%s", stage->id.text, sheet_role(stage),
                  stage->blades.value, words_plural(stage->blades.value));
    record->before = before(sheet, stage->spool_index, pad);
    record->cautions = cautions(sheet, pad == WORDS_ALL);
    sheet_row(sheet, &record->facts, "Blade one",
              stage->blade_one.at.state == MODEL_GIVEN ? stage->blade_one.text : "not described",
              NULL);
    if (known) {
        sheet_row(sheet, &record->facts, "Known blades, *", known, NULL);
    }
    sheet_row(sheet, &record->facts, "Order", sheet_passing(sheet, stage), sheet_numbering(stage));
    add_ports(sheet, stage, counts_per_turn, &record->facts);
    if (stage->note.at.state == MODEL_GIVEN) {
        sheet_row(sheet, &record->facts, "Note", stage->note.text, NULL);
    }
    record->blade_count = (size_t)stage->blades.value;
    record->blades = arena_array(sheet->arena, record->blade_count, sizeof *record->blades);
    for (size_t i = 0; i < record->blade_count; i++) {
        struct sheet_record_row *row = &record->blades[i];
        row->blade =
            turning_blade_after((int64_t)i, stage->blades.value, model_numbers_fall(stage));
        row->known_by = model_known_by(stage, row->blade);
        row->rotor = words_decimal(sheet->arena, turning_angle_of((int64_t)i, stage->blades.value),
                                   DECIMALS);
        row->degrees = row->rotor;
    }
}

bool sheet_record_through(const struct sheet *sheet, const struct model_pair *pair,
                          struct sheet_record *record)
{
    const struct model_derived *derived = sheet->derived;
    const struct model_pad_on_device *on = &derived->on.pads[pair->pad];
    struct exact_rational degree;
    struct exact_rational milliseconds;
    int64_t again = 0;
    begin(sheet, pair->stage, pair->pad, &on->counts_per_turn, record);
    sheet_pad_limits(sheet, pair->pad, &record->facts);
    record->pad = model_pad(derived->engine, pair->pad);
    record->positive = on->positive;
    record->turned = sheet_say(sheet, "turned through pad %s with %s", record->pad->id.text,
                               derived->device->device->name.text);
    sheet_row(sheet, &record->facts, "Count",
              sheet_say(sheet, "the device counts %s in the normal direction",
                        on->positive > 0 ? "up" : "down"),
              NULL);
    record->count = on->positive > 0 ? "Count (+)" : "Count (-)";
    record->degrees = "Pad, deg";
    if (!model_count_at_pad(derived, pair->pad, &degree, &milliseconds) ||
        !turning_stop(&pair->schedule, (int64_t)record->blade_count, &again)) {
        return false;
    }
    for (size_t i = 0; i < record->blade_count; i++) {
        struct sheet_record_row *row = &record->blades[i];
        struct exact_rational degrees;
        if (!turning_stop(&pair->schedule, (int64_t)i, &row->count) ||
            !exact_mul(exact_whole(row->count), degree, &degrees)) {
            return false;
        }
        row->degrees = words_decimal(sheet->arena, degrees, DECIMALS);
    }
    record->again =
        sheet_say(sheet, "Blade one again, at count %" PRId64 ": is it at the port?", again);
    return true;
}

void sheet_record_by_hand(const struct sheet *sheet, size_t stage, struct sheet_record *record)
{
    const struct model_spool *spool = model_spool(
        sheet->derived->engine, model_stage(sheet->derived->engine, stage)->spool_index);
    begin(sheet, stage, WORDS_ALL, NULL, record);
    record->turned = sheet_say(sheet, "spool %s turned by hand", spool->id.text);
    record->degrees = "Rotor, deg";
    record->again = "Blade one again, at 360 deg: is it at the port?";
    sheet_row(sheet, &record->facts, "Turn the spool",
              sheet_say(sheet, "%s, seen %s", words_sense(model_spool_sign(spool)),
                        words_view(MODEL_AFT_LOOKING_FORWARD)),
              NULL);
}

/* ---- as CSV -----------------------------------------------------------------------------------
 */

static void write_csv(FILE *out, const struct sheet *sheet, const struct sheet_record *record)
{
    const struct model_engine *engine = sheet->derived->engine;
    const struct model_stage *stage = stage_of(sheet, record);
    const char *port =
        stage->ports.count == 0 ? "" : MODEL_ITEM(stage->ports, struct model_port, 0)->id.text;
    for (size_t i = 0; i < record->blade_count; i++) {
        const struct sheet_record_row *row = &record->blades[i];
        fprintf(out, "%s,%" PRId64 ",%s,%s,%s,%" PRId64 ",", engine->id.text,
                engine->revision.value, record->pad ? record->pad->id.text : "", stage->id.text,
                port, row->blade);
        if (record->pad) {
            fprintf(out, "%" PRId64 ",%" PRId64 ",%s,%s,", row->count,
                    record->positive * row->count, row->degrees, row->rotor);
        } else {
            fprintf(out, ",,,%s,", row->rotor);
        }
        report_csv_text(out, row->known_by ? row->known_by : "");
        fputs(",,,,,,\n", out);
    }
}

/* ---- as text ----------------------------------------------------------------------------------
 */

enum { COLUMNS = 100, VALUES = 24 /* the column in which values begin */ };

static const char field[] = "______________________";

static void write_line(FILE *out, const struct sheet *sheet, const char *text)
{
    const struct text_wrap lines = {COLUMNS, 2};
    fputs("  ", out);
    text_write_wrapped(out, 2, lines, sheet_clean(sheet->arena, text));
}

static void write_facts(FILE *out, const struct sheet *sheet, const struct sheet_record *record)
{
    const struct text_wrap lines = {COLUMNS, VALUES};
    for (size_t i = 0; i < record->facts.count; i++) {
        const struct sheet_row *fact = &record->facts.items[i];
        const char *value =
            fact->detail ? sheet_say(sheet, "%s; %s", fact->value, fact->detail) : fact->value;
        fprintf(out, "  %-*s", VALUES - 2, fact->label);
        text_write_wrapped(out, VALUES, lines, sheet_clean(sheet->arena, value));
    }
}

/* An empty line after each row leaves room to write by hand. */
static void write_text(FILE *out, const struct sheet *sheet, const struct sheet_record *record,
                       bool first)
{
    const struct text_wrap lines = {COLUMNS, 8};
    const struct model_engine *engine = sheet->derived->engine;
    fputs(first ? "RECORD: " : "\nRECORD: ", out);
    text_write_wrapped(
        out, 8, lines,
        sheet_clean(sheet->arena, sheet_say(sheet, "%s, %s; %s, %s", engine->name.text,
                                            sheet_edition(sheet), record->title, record->turned)));
    fputc('\n', out);
    for (size_t i = 0; record->before[i]; i++) {
        write_line(out, sheet, record->before[i]);
    }
    write_line(out, sheet, record->cautions);
    fputc('\n', out);
    write_facts(out, sheet, record);
    fputc('\n', out);
    for (size_t i = 0; sheet_record_fields[i]; i++) {
        fprintf(out, "  %-14s %s%s", sheet_record_fields[i], field, i % 2 == 0 ? "" : "\n");
    }
    fprintf(out, "\n  Blade  %11s %11s  Finding%*sRemark\n\n", record->count ? record->count : "",
            record->degrees, 28, "");
    for (size_t i = 0; i < record->blade_count; i++) {
        const struct sheet_record_row *row = &record->blades[i];
        const char *count = record->count ? sheet_say(sheet, "%" PRId64, row->count) : "";
        fprintf(out, "  %5" PRId64 "%s %11s %11s  %.*s%.*s  %s\n\n", row->blade,
                row->known_by ? "*" : " ", count, row->degrees, 22, field, 11, field, field);
    }
    write_line(out, sheet, sheet_say(sheet, "%s  yes ___  no, off by %s", record->again, field));
}

/* ---- all of them ------------------------------------------------------------------------------
 */

/* A record being written. */
struct writer {
    FILE *out;
    const struct sheet *sheet;
    enum sheet_form form;
    const struct sheet_wanted *wanted;
    struct sheet_page page; /* of the HTML form */
    size_t stages;
};

static void write_record(struct writer *writer, const struct sheet_record *record)
{
    bool first = writer->stages++ == 0;
    switch (writer->form) {
    case SHEET_CSV: write_csv(writer->out, writer->sheet, record); break;
    case SHEET_HTML: sheet_record_pages(&writer->page, record, first); break;
    case SHEET_TEXT: write_text(writer->out, writer->sheet, record, first); break;
    }
}

static bool wants(const struct writer *writer, const char *pad, size_t stage)
{
    const struct sheet_wanted *wanted = writer->wanted;
    const char *id = model_stage(writer->sheet->derived->engine, stage)->id.text;
    return (!wanted->pad || (pad && strcmp(wanted->pad, pad) == 0)) &&
           (!wanted->stage || strcmp(wanted->stage, id) == 0);
}

static bool write_pad(struct writer *writer, size_t pad)
{
    const struct model_pad_on_device *on = &writer->sheet->derived->on.pads[pad];
    const char *id = model_pad(writer->sheet->derived->engine, pad)->id.text;
    for (size_t i = 0; i < on->pair_count; i++) {
        struct sheet_record record;
        if (!wants(writer, id, on->pairs[i].stage)) {
            continue;
        }
        if (!sheet_record_through(writer->sheet, &on->pairs[i], &record)) {
            return false;
        }
        write_record(writer, &record);
    }
    return true;
}

static void write_by_hand(struct writer *writer)
{
    const struct model_engine *engine = writer->sheet->derived->engine;
    for (size_t i = 0; i < engine->stages.count; i++) {
        struct sheet_record record;
        if (!sheet_is_driven(writer->sheet, model_stage(engine, i)->spool_index) &&
            wants(writer, NULL, i)) {
            sheet_record_by_hand(writer->sheet, i, &record);
            write_record(writer, &record);
        }
    }
}

bool sheet_record(FILE *out, const struct sheet *sheet, enum sheet_form form,
                  const struct sheet_wanted *wanted, size_t *stages)
{
    struct writer writer = {out, sheet, form, wanted, {.out = out, .sheet = sheet}, 0};
    if (form == SHEET_CSV) {
        fputs("engine,revision,pad,stage,port,blade,count,device_count,pad_deg,rotor_deg,known_by,"
              "finding,remark,engine_serial,date,inspector,at_the_stop\n",
              out);
    } else if (form == SHEET_HTML) {
        sheet_record_begin(&writer.page);
    }
    for (size_t i = 0; i < sheet->derived->engine->pads.count; i++) {
        if (!write_pad(&writer, i)) {
            return false;
        }
    }
    write_by_hand(&writer);
    if (form == SHEET_HTML) {
        sheet_record_end(&writer.page);
    }
    *stages = writer.stages;
    return true;
}
