/*
 * pad.c - the part of a setup sheet about a pad: what to couple, how hard, how fast, how far.
 */
#include "sheet/facts.h"

#include "turning/schedule.h"

#include <inttypes.h>
#include <string.h>

static const struct model_pad *pad_of(const struct sheet *sheet, size_t pad)
{
    return model_pad(sheet->derived->engine, pad);
}

static bool has_adapter(const struct model_pad *pad)
{
    return pad->adapter.at.state == MODEL_GIVEN;
}

const char *sheet_pad_title(const struct sheet *sheet, size_t pad)
{
    const struct model_pad *model = pad_of(sheet, pad);
    return sheet_say(sheet, "Pad %s turns spool %s", model->id.text, model->spool.text);
}

static const char *with_square(const struct sheet *sheet, const char *what,
                               const struct model_code *square, const char *mark)
{
    return square->at.state == MODEL_GIVEN
               ? sheet_say(sheet, "%s, square %s%s", what,
                           words_square_both(sheet->arena, square->value), mark)
               : sheet_say(sheet, "%s, square not given", what);
}

static struct sheet_turn device_turn(const struct sheet *sheet, size_t index)
{
    const struct model_pad *pad = pad_of(sheet, index);
    const struct model_device *device = sheet->derived->device->device;
    struct sheet_turn turn = {.name = sheet_say(sheet, "device %s", device->id.text)};
    const char *adapter = sheet_mark(sheet, MODEL_PADS, index, "adapter");
    turn.what = with_square(sheet, device->name.text, &device->shaft.square, "");
    turn.mark = *adapter ? adapter : sheet_mark(sheet, MODEL_PADS, index, "rotation");
    turn.sign = model_pad_sign(pad) * sheet->derived->facts.pads[index].adapter_sign;
    turn.view = has_adapter(pad) ? "facing the adapter" : words_view(MODEL_FACING_PAD);
    if (has_adapter(pad)) {
        turn.what = with_square(sheet, sheet_say(sheet, "%s; then an adapter", turn.what),
                                &pad->adapter.square, adapter);
    }
    return turn;
}

struct sheet_turn sheet_turn(const struct sheet *sheet, size_t index, enum sheet_end end)
{
    const struct model_pad *pad = pad_of(sheet, index);
    const struct model_spool *spool = model_spool(sheet->derived->engine, pad->spool_index);
    struct sheet_turn turn = {.sign = model_pad_sign(pad),
                              .mark = sheet_mark(sheet, MODEL_PADS, index, "rotation"),
                              .view = words_view(MODEL_FACING_PAD)};
    switch (end) {
    case SHEET_DEVICE: return device_turn(sheet, index);
    case SHEET_PAD:
        turn.name = sheet_say(sheet, "pad %s", pad->id.text);
        turn.what =
            with_square(sheet,
                        pad->faces.at.state == MODEL_GIVEN
                            ? sheet_say(sheet, "faces %s%s",
                                        words_direction((enum turning_direction)pad->faces.value),
                                        sheet_mark(sheet, MODEL_PADS, index, "faces"))
                            : "which way it faces is not given",
                        &pad->square, sheet_mark(sheet, MODEL_PADS, index, "square"));
        break;
    case SHEET_ROTOR:
        turn.name = sheet_say(sheet, "spool %s", spool->id.text);
        turn.what = "its normal direction in service";
        turn.sign = model_spool_sign(spool);
        turn.mark = sheet_mark(sheet, MODEL_SPOOLS, pad->spool_index, "rotation");
        turn.view = words_view(MODEL_AFT_LOOKING_FORWARD);
        break;
    }
    return turn;
}

/* What the limit of the torque comes from. */
static const char *torque_reason(const struct sheet *sheet, size_t index)
{
    const struct model_pad *pad = pad_of(sheet, index);
    struct exact_measure limit = model_measure(&pad->torque_limit);
    const char *text = sheet_say(sheet, "at the device's square; the pad withstands %s",
                                 words_torque(sheet->arena, limit));
    if (pad->adapter.torque_limit.at.state == MODEL_GIVEN) {
        struct exact_measure adapter = {pad->adapter.torque_limit.written.stated,
                                        pad->adapter.torque_limit.written.unit};
        text = sheet_say(sheet, "%s, the adapter %s at its device side", text,
                         words_torque(sheet->arena, adapter));
    }
    return sheet->derived->on.pads[index].torque_capped
               ? sheet_say(sheet, "%s; the device's own maximum is the limit here", text)
               : text;
}

/* The mark of a value to which the adapter adds its own. */
static const char *mark_of_two(const struct sheet *sheet, size_t pad, const char *key)
{
    const char *mark = sheet_mark(sheet, MODEL_PADS, pad, key);
    return *mark ? mark : sheet_mark(sheet, MODEL_PADS, pad, "adapter");
}

static void torque_row(const struct sheet *sheet, size_t index, struct sheet_rows *rows)
{
    const struct model_pad_on_device *on = &sheet->derived->on.pads[index];
    const struct model_quantity *step = &sheet->derived->device->device->torque.resolution;
    if (on->torque_known) {
        sheet_row(sheet, rows, "Torque, at most",
                  sheet_say(sheet, "%s%s", words_torque_steps(sheet->arena, on->torque_steps, step),
                            mark_of_two(sheet, index, "torque-limit")),
                  torque_reason(sheet, index));
    } else {
        sheet_row(sheet, rows, "Torque, at most", "not given",
                  "do not turn the rotor before you find the limit in the maker's current manual");
    }
}

/* The limit at the device, the rotor's speed at this limit, and the time of a rotor turn. */
static void speed_row(const struct sheet *sheet, size_t index, struct sheet_rows *rows)
{
    const struct model_pad_on_device *on = &sheet->derived->on.pads[index];
    const struct model_pad_facts *facts = &sheet->derived->facts.pads[index];
    const struct exact_quantity *step = &sheet->derived->device->device->speed.resolution.written;
    struct exact_measure limit = {exact_whole(on->speed_steps), step->unit};
    struct exact_rational per_minute;
    struct exact_rational turns;
    struct exact_rational rotor;
    struct exact_rational seconds; /* 360 x 60 / rotor */
    const char *detail = "at the device's square";
    if (!exact_mul(limit.value, step->stated, &limit.value)) {
        return;
    }
    if (exact_sign(limit.value) > 0 && exact_measure_in(limit, EXACT_DEG_PER_MIN, &per_minute) &&
        exact_mul(facts->used, facts->adapter_ratio, &turns) &&
        exact_div(per_minute, turns, &rotor) && exact_div(exact_whole(21600), rotor, &seconds)) {
        detail =
            sheet_say(sheet,
                      "at the device's square; the rotor then turns at %s deg/min, and a full turn "
                      "takes %s%s",
                      words_decimal(sheet->arena, rotor, 2), words_duration(sheet->arena, seconds),
                      on->speed_asked ? "" : "; the definition sets no limit");
    }
    sheet_row(
        sheet, rows, "Speed, at most",
        sheet_say(sheet, "%s%s", words_speed(sheet->arena, limit),
                  sheet_mark(sheet, MODEL_SPOOLS, pad_of(sheet, index)->spool_index, "max-speed")),
        detail);
}

static void backlash_row(const struct sheet *sheet, size_t index, struct sheet_rows *rows)
{
    const struct model_pad *pad = pad_of(sheet, index);
    const struct model_pad_facts *facts = &sheet->derived->facts.pads[index];
    const struct model_pad_on_device *on = &sheet->derived->on.pads[index];
    struct exact_interval backlash;
    struct exact_interval adapter = exact_point(exact_whole(0));
    struct exact_rational at_device;
    bool known = on->backlash_known && model_quantity_in(&pad->backlash, EXACT_DEG, &backlash);
    if (known && pad->adapter.backlash.at.state == MODEL_GIVEN) {
        known = model_quantity_in(&pad->adapter.backlash, EXACT_DEG, &adapter);
    }
    if (!known ||
        !turning_backlash_at_device(backlash.hi, facts->adapter_ratio, adapter.hi, &at_device)) {
        sheet_row(sheet, rows, "Backlash",
                  pad->backlash.at.state == MODEL_GIVEN ? "of the adapter not given" : "not given",
                  "measure it with the rotor held; until then every stop may be off its blade by "
                  "that much");
        return;
    }
    sheet_row(sheet, rows, "Backlash",
              sheet_say(sheet, "%s deg = %" PRId64 " count%s%s",
                        words_decimal(sheet->arena, at_device, 4), on->backlash_counts,
                        words_plural(on->backlash_counts), mark_of_two(sheet, index, "backlash")),
              sheet_say(sheet,
                        "at the device's square, at most; %s deg of the rotor. Approach every stop "
                        "in the normal direction",
                        words_decimal(sheet->arena, on->rotor_backlash, 4)));
}

static void recheck_row(const struct sheet *sheet, size_t index, struct sheet_rows *rows)
{
    const struct model_pad_facts *facts = &sheet->derived->facts.pads[index];
    const struct model_pad_on_device *on = &sheet->derived->on.pads[index];
    /* A clutch that overruns does not turn back with the rotor: the count is lost. */
    bool one_way = pad_of(sheet, index)->drives.value != MODEL_DRIVES_BOTH;
    const char *lost = one_way ? ", and if the rotor ran on" : "";
    if (on->recheck_turns == 0) {
        int64_t turns = model_turns_exact(on);
        sheet_row(sheet, rows, "Find blade one again",
                  sheet_say(sheet, "after slip or uncoupling%s", lost),
                  turns == 0
                      ? "the count itself stays exact"
                      : sheet_say(sheet,
                                  "and every %" PRId64
                                  " rotor turns: by then the steps can be off by a count more",
                                  turns));
        return;
    }
    sheet_row(sheet, rows, "Find blade one again",
              sheet_say(sheet, "after %" PRId64 " rotor turn%s%s", on->recheck_turns,
                        words_plural(on->recheck_turns), lost),
              exact_sign(facts->uncertainty) > 0
                  ? sheet_say(sheet,
                              "the ratio is rounded, and the stops may drift %s deg of the rotor a "
                              "turn",
                              words_decimal(sheet->arena, facts->uncertainty, 4))
                  : "the device repeats whole steps, and what is left over adds up");
}

static void ratio_row(const struct sheet *sheet, size_t index, struct sheet_rows *rows)
{
    const struct model_pad *pad = pad_of(sheet, index);
    const struct model_pad_facts *facts = &sheet->derived->facts.pads[index];
    const char *detail = facts->has_path
                             ? "from the teeth, exact"
                             : sheet_say(sheet, "as stated; anywhere from %s to %s",
                                         words_decimal(sheet->arena, facts->ratio.lo, 6),
                                         words_decimal(sheet->arena, facts->ratio.hi, 6));
    if (has_adapter(pad)) {
        detail = sheet_say(sheet, "%s; device turns per pad turn %s%s", detail,
                           words_exact_and_decimal(sheet->arena, facts->adapter_ratio),
                           sheet_mark(sheet, MODEL_PADS, index, "adapter"));
    }
    sheet_row(sheet, rows, "Pad turns per rotor turn",
              sheet_say(sheet, "%s%s",
                        facts->has_path ? words_exact_and_decimal(sheet->arena, facts->used)
                                        : words_decimal(sheet->arena, facts->used, 9),
                        sheet_mark(sheet, MODEL_PADS, index, facts->has_path ? "path" : "turns")),
              detail);
}

void sheet_pad_limits(const struct sheet *sheet, size_t index, struct sheet_rows *rows)
{
    const char *at = "at the device's square";
    size_t torque = rows->count;
    torque_row(sheet, index, rows);
    if (sheet->derived->on.pads[index].torque_known) {
        rows->items[torque].detail = at;
    }
    size_t speed = rows->count;
    speed_row(sheet, index, rows);
    if (rows->count > speed) {
        rows->items[speed].detail = at;
    }
    recheck_row(sheet, index, rows);
    rows->items[rows->count - 1].detail = NULL;
}

void sheet_pad_rows(const struct sheet *sheet, size_t index, struct sheet_rows *rows)
{
    const struct model_pad_on_device *on = &sheet->derived->on.pads[index];
    torque_row(sheet, index, rows);
    speed_row(sheet, index, rows);
    backlash_row(sheet, index, rows);
    recheck_row(sheet, index, rows);
    ratio_row(sheet, index, rows);
    sheet_row(sheet, rows, "Counts per rotor turn",
              words_decimal(sheet->arena, on->counts_per_turn, 3),
              on->positive > 0 ? "the count rises while the spool turns in its normal direction"
              : on->positive < 0
                  ? "the count falls while the spool turns in its normal direction"
                  : "whether the count rises or falls in the normal direction is not known");
}

static bool squares_differ(const struct model_code *a, const struct model_code *b)
{
    return a->at.state == MODEL_GIVEN && b->at.state == MODEL_GIVEN && a->value != b->value;
}

void sheet_pad_notes(const struct sheet *sheet, size_t index, struct sheet_rows *rows)
{
    const struct model_pad *pad = pad_of(sheet, index);
    const struct model_spool *spool = model_spool(sheet->derived->engine, pad->spool_index);
    const struct model_code *square = has_adapter(pad) ? &pad->adapter.square : &pad->square;
    if (pad->drives.value != MODEL_DRIVES_BOTH) {
        sheet_row(
            sheet, rows, "One way only",
            sheet_say(
                sheet,
                "an overrunning clutch drives this pad %s%s, facing it, and releases it in the "
                "other direction. The rotor can run on after the device stops: wait until it "
                "is still. To reach an earlier blade, continue in the same direction.",
                words_drives((enum model_drives)pad->drives.value),
                sheet_mark(sheet, MODEL_PADS, index, "drives")),
            NULL);
    }
    if (spool->never_backwards.at.state == MODEL_GIVEN && spool->never_backwards.value == 1) {
        sheet_row(sheet, rows, "Never backwards",
                  sheet_say(sheet,
                            "spool %s must not be turned against its normal direction. To reach an "
                            "earlier blade, continue in the same direction.",
                            spool->id.text),
                  NULL);
    }
    if (squares_differ(&sheet->derived->device->device->shaft.square, square)) {
        sheet_row(sheet, rows, "Squares differ",
                  sheet_say(sheet, "the device has %s and its counterpart has %s: use a reducer.",
                            words_square_both(sheet->arena,
                                              sheet->derived->device->device->shaft.square.value),
                            words_square_both(sheet->arena, square->value)),
                  NULL);
    }
}
