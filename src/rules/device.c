/*
 * device.c - what the device must be able to hold: couplings, texts, numbers, and its own profile.
 *
 * The table's bounds are judged here too.  So the compiler does not refuse a definition that passed
 * the check.
 */
#include "rules/functions.h"

#include "field/rotor_layout.h"
#include "text/utf8.h"

#include <inttypes.h>

bool rules_SQUARE_DIFFERS(struct rules_judging *judging, const struct rules_subject *subject)
{
    const struct model_pad *pad = subject->pad;
    const struct model_code *device = &judging->derived.device->device->shaft.square;
    bool adapted = pad->adapter.at.state != MODEL_ABSENT; /* BROKEN: its square is not known */
    const struct model_code *square = adapted ? &pad->adapter.square : &pad->square;
    if (square->at.state != MODEL_GIVEN || device->at.state != MODEL_GIVEN ||
        square->value == device->value) {
        return true;
    }
    struct finding *finding =
        finding_add(judging->findings, RULE_SQUARE_DIFFERS, square->at.span,
                    "the %s takes a %s square; the device has %s", adapted ? "adapter" : "pad",
                    words_square(square->value), words_square(device->value));
    finding_note(judging->findings, finding, device->at.span, "the device's square");
    return false;
}

/* A spool that no pad turns is on the setup sheet, and not in the table. */
static bool is_in_table(const struct model_engine *engine, size_t spool)
{
    return model_pad_of_spool(engine, spool) != NULL;
}

typedef bool text_judge(struct rules_judging *judging, const struct model_text *text,
                        const char *what);

/* Every text of a definition that goes into a table. */
static bool judge_texts(struct rules_judging *judging, text_judge *judge)
{
    const struct model_engine *engine = judging->derived.engine;
    bool passed = judge(judging, &engine->id, "id");
    passed = judge(judging, &engine->name, "name") && passed;
    for (size_t i = 0; i < engine->models.count; i++) {
        passed =
            judge(judging, MODEL_ITEM(engine->models, struct model_text, i), "model") && passed;
    }
    for (size_t i = 0; i < engine->spools.count; i++) {
        if (is_in_table(engine, i)) {
            passed = judge(judging, &model_spool(engine, i)->id, "spool id") && passed;
        }
    }
    for (size_t i = 0; i < engine->stages.count; i++) {
        const struct model_stage *stage = model_stage(engine, i);
        if (!is_in_table(engine, stage->spool_index)) {
            continue;
        }
        passed = judge(judging, &stage->id, "stage id") && passed;
        passed = judge(judging, &stage->blade_one, "blade-one") && passed;
        for (size_t j = 0; j < stage->known_blades.count; j++) {
            const struct model_known_blade *known =
                MODEL_ITEM(stage->known_blades, struct model_known_blade, j);
            passed = judge(judging, &known->how, "mark of a known blade") && passed;
        }
        for (size_t j = 0; j < stage->ports.count; j++) {
            const struct model_port *port = MODEL_ITEM(stage->ports, struct model_port, j);
            passed = judge(judging, &port->id, "port id") && passed;
        }
    }
    for (size_t i = 0; i < engine->pads.count; i++) {
        passed = judge(judging, &model_pad(engine, i)->id, "pad id") && passed;
    }
    return passed;
}

static bool judge_length(struct rules_judging *judging, const struct model_text *text,
                         const char *what)
{
    const struct model_integer *most = &judging->derived.device->device->limits.text_bytes;
    if (text->at.state != MODEL_GIVEN || (int64_t)text->length <= most->value) {
        return true;
    }
    struct finding *finding = finding_add(judging->findings, RULE_TEXT_TOO_LONG, text->at.span,
                                          "this %s has %zu bytes; the device takes up to %" PRId64,
                                          what, text->length, most->value);
    finding_note(judging->findings, finding, most->at.span, "the device's limit");
    rules_whole_number(judging, finding, "bytes", (int64_t)text->length);
    rules_whole_number(judging, finding, "limit", most->value);
    return false;
}

bool rules_TEXT_TOO_LONG(struct rules_judging *judging, const struct rules_subject *subject)
{
    (void)subject;
    return judge_texts(judging, judge_length);
}

static bool judge_characters(struct rules_judging *judging, const struct model_text *text,
                             const char *what)
{
    const struct model_code *charset = &judging->derived.device->device->limits.text;
    static const uint32_t last[] = {
        [MODEL_ASCII] = 0x7e, [MODEL_LATIN_1] = 0xff, [MODEL_UTF_8] = 0x10ffff};
    static const char *const names[] = {"ASCII", "Latin-1", "UTF-8"};
    if (text->at.state != MODEL_GIVEN) {
        return true;
    }
    for (size_t i = 0; i < text->length;) {
        uint32_t code = 0;
        size_t size = text_utf8_decode(text->text + i, text->length - i, &code);
        if (size == 0) {
            return true; /* cannot be: the file was checked */
        }
        if (code > last[charset->value]) {
            struct finding *finding =
                finding_add(judging->findings, RULE_TEXT_NOT_SHOWN, text->at.span,
                            "this %s has the character %.*s (U+%04X); the device can show only %s",
                            what, (int)size, text->text + i, (unsigned)code, names[charset->value]);
            finding_note(judging->findings, finding, charset->at.span, "the device's characters");
            return false;
        }
        i += size;
    }
    return true;
}

bool rules_TEXT_NOT_SHOWN(struct rules_judging *judging, const struct rules_subject *subject)
{
    (void)subject;
    return judge_texts(judging, judge_characters);
}

/* The finding where there are more than the device takes, else NULL. */
static struct finding *report_many(struct rules_judging *judging, int64_t count,
                                   const struct model_integer *most, struct span at,
                                   const char *what)
{
    if (count <= most->value) {
        return NULL;
    }
    struct finding *finding = finding_add(
        judging->findings, RULE_TOO_MANY, at,
        "there are %" PRId64 " %s; the device takes up to %" PRId64, count, what, most->value);
    finding_note(judging->findings, finding, most->at.span, "the device's limit");
    rules_whole_number(judging, finding, "count", count);
    rules_whole_number(judging, finding, "limit", most->value);
    return finding;
}

bool rules_TOO_MANY(struct rules_judging *judging, const struct rules_subject *subject)
{
    (void)subject;
    const struct model_engine *engine = judging->derived.engine;
    const struct model_limits *limits = &judging->derived.device->device->limits;
    int64_t stages = 0;
    bool passed = !report_many(judging, (int64_t)engine->pads.count, &limits->pads,
                               engine->pads.at.key, "pads");
    for (size_t i = 0; i < engine->stages.count; i++) {
        const struct model_stage *stage = model_stage(engine, i);
        if (!is_in_table(engine, stage->spool_index)) {
            continue;
        }
        stages++;
        struct finding *finding = stage->blades.at.state == MODEL_GIVEN
                                      ? report_many(judging, stage->blades.value, &limits->blades,
                                                    stage->blades.at.span, "blades")
                                      : NULL;
        if (finding) {
            finding->about = &stage->blades;
            passed = false;
        }
    }
    return !report_many(judging, stages, &limits->stages, engine->stages.at.key, "stages") &&
           passed;
}

bool rules_judge_engines(struct rules_judging *judging, size_t engines)
{
    const struct model_integer *most = &judging->derived.device->device->limits.engines;
    return !report_many(judging, (int64_t)engines, most, most->at.span, "engines for a table");
}

static struct finding *report_step(struct rules_judging *judging,
                                   const struct rules_subject *subject,
                                   const struct model_stage *stage, int64_t whole)
{
    const int64_t most = model_step_most(stage->blades.value);
    struct finding *finding =
        finding_add(judging->findings, RULE_NUMBER_TOO_LARGE, stage->blades.at.span,
                    "stage %s has %" PRId64 " blade%s, with %" PRId64
                    " whole counts from blade to blade through pad %s; a table takes 1 to %" PRId64,
                    stage->id.text, stage->blades.value, words_plural(stage->blades.value), whole,
                    subject->pad->id.text, most);
    finding_note(judging->findings, finding,
                 judging->derived.device->device->shaft.counts_per_motor_turn.at.span,
                 "the device's counts");
    rules_number(judging, finding, "counts_per_rotor_turn", subject->on->counts_per_turn);
    rules_whole_number(judging, finding, "step", whole);
    rules_whole_number(judging, finding, "step_most", most);
    finding_consequence(judging->findings, finding, "%s",
                        whole < 1 ? "The device would not move to the next blade."
                                  : "The sums of the device would overflow within a rotor turn. "
                                    "Every stop after that would be at a wrong angle.");
    finding_remedy(
        judging->findings, finding,
        "Compare the blade count with its source, or use a device with %s counts per turn.",
        whole < 1 ? "more" : "fewer");
    return finding;
}

/* The counts are the pad's, so its stages share a finding, at the first that does not fit. */
static bool judge_steps(struct rules_judging *judging, const struct rules_subject *subject)
{
    struct finding *finding = NULL;
    for (size_t i = 0; i < subject->on->pair_count; i++) {
        const struct model_pair *pair = &subject->on->pairs[i];
        const struct model_stage *stage = model_stage(judging->derived.engine, pair->stage);
        int64_t whole = pair->schedule.whole;
        if (whole >= 1 && whole <= model_step_most(stage->blades.value)) {
            continue;
        }
        if (finding) {
            finding_note(judging->findings, finding, stage->blades.at.span, "stage %s too",
                         stage->id.text);
        } else {
            finding = report_step(judging, subject, stage, whole);
        }
    }
    return finding == NULL;
}

/* Where the ratio that steps are made of is written. */
static struct span place_of_ratio(const struct model_pad *pad)
{
    return pad->path.at.state == MODEL_GIVEN ? pad->path.at.span : pad->turns.at.span;
}

static bool judge_ratio(struct rules_judging *judging, const struct rules_subject *subject)
{
    const struct model_pad *pad = subject->pad;
    const struct model_list *adapter = &pad->adapter.path;
    struct exact_rational ratio;
    struct span at = pad->turns.at.span;
    const char *what = "the stated ratio of this pad";
    if (!subject->pad_facts->overflow) {
        return true;
    }
    if (pad->path.at.state == MODEL_GIVEN && !subject->pad_facts->has_path) {
        at = pad->path.at.span;
        what = "the ratio of this pad's path";
    } else if (adapter->at.state == MODEL_GIVEN &&
               !turning_path_ratio(model_bare_path(adapter, judging->arena), adapter->count,
                                   &ratio)) {
        at = adapter->at.span;
        what = "the ratio of this pad's adapter";
    }
    finding_add(judging->findings, RULE_NUMBER_TOO_LARGE, at,
                "%s is too large to be exact in 64 bits", what);
    return false;
}

static void report_turn(struct rules_judging *judging, const struct rules_subject *subject)
{
    const struct exact_rational turn = subject->on->counts_per_turn;
    const struct span at = place_of_ratio(subject->pad);
    const char *pad = subject->pad->id.text;
    struct finding *finding;
    if (turn.den == 0) {
        finding = finding_add(
            judging->findings, RULE_NUMBER_TOO_LARGE, at,
            "the counts of a rotor turn through pad %s are too large to be exact in 64 bits", pad);
    } else {
        finding = finding_add(
            judging->findings, RULE_NUMBER_TOO_LARGE, at,
            "a rotor turn through pad %s has %s counts on the device; a table takes up to %" PRIu32,
            pad, words_number(judging->arena, turn), ROTOR_TURN_MOST);
        rules_number(judging, finding, "counts_per_rotor_turn", turn);
    }
    finding_note(judging->findings, finding,
                 judging->derived.device->device->shaft.counts_per_motor_turn.at.span,
                 "the device's counts");
}

static void report_backlash(struct rules_judging *judging, const struct rules_subject *subject)
{
    const struct model_pad *pad = subject->pad;
    const struct model_quantity *backlash =
        pad->backlash.at.state == MODEL_GIVEN ? &pad->backlash : &pad->adapter.backlash;
    int64_t counts = subject->on->backlash_counts;
    if (counts > (int64_t)ROTOR_BACKLASH_MOST) {
        struct finding *finding =
            finding_add(judging->findings, RULE_NUMBER_TOO_LARGE, backlash->at.span,
                        "the backlash of pad %s is %" PRId64
                        " counts of the device; a table takes up to %" PRIu32,
                        pad->id.text, counts, ROTOR_BACKLASH_MOST);
        rules_whole_number(judging, finding, "backlash_counts", counts);
        return;
    }
    finding_add(judging->findings, RULE_NUMBER_TOO_LARGE, backlash->at.span,
                "the backlash of pad %s is too large to be exact in 64 bits", pad->id.text);
}

/* A limit in steps of the device's resolution. */
static void report_limit(struct rules_judging *judging, const struct model_quantity *limit,
                         const struct model_quantity *resolution, const char *what)
{
    struct finding *finding = finding_add(
        judging->findings, RULE_NUMBER_TOO_LARGE, limit->at.span,
        "%s of %s is too large for 64 bits in steps of the device's resolution, %s", what,
        words_quantity(judging->arena, limit), words_quantity(judging->arena, resolution));
    finding_note(judging->findings, finding, resolution->at.span, "the resolution");
}

static bool rotor_backlash_overflows(const struct rules_judging *judging, size_t pad)
{
    bool overflow = false;
    struct exact_rational degrees;
    (void)model_rotor_backlash(model_pad(judging->derived.engine, pad),
                               &judging->derived.facts.pads[pad], &degrees, &overflow);
    return overflow;
}

/* The spool's greatest speed: one finding for all the pads that turn it. */
static void report_speed(struct rules_judging *judging, const struct rules_subject *subject)
{
    size_t spool = subject->pad->spool_index;
    report_limit(judging, &model_spool(judging->derived.engine, spool)->max_speed,
                 &judging->derived.device->device->speed.resolution, "a greatest speed");
    for (size_t i = subject->index + 1; i < judging->derived.engine->pads.count; i++) {
        if (model_pad(judging->derived.engine, i)->spool_index == spool &&
            judging->derived.on.pads[i].excess == MODEL_EXCESS_SPEED &&
            !rotor_backlash_overflows(judging, i)) {
            rules_cover(judging, RULE_NUMBER_TOO_LARGE, i);
        }
    }
}

static bool judge_excess(struct rules_judging *judging, const struct rules_subject *subject)
{
    const struct model_pad *pad = subject->pad;
    const struct model_device *device = judging->derived.device->device;
    const struct model_pad_on_device *on = subject->on;
    switch (on->excess) {
    case MODEL_NO_EXCESS: return true;
    case MODEL_EXCESS_TURN: report_turn(judging, subject); break;
    case MODEL_EXCESS_STEP: {
        const struct model_stage *stage = model_stage(judging->derived.engine, on->excess_stage);
        finding_add(judging->findings, RULE_NUMBER_TOO_LARGE, stage->blades.at.span,
                    "the counts from blade to blade of stage %s through pad %s are too large to be "
                    "exact in 64 bits",
                    stage->id.text, pad->id.text);
        break;
    }
    case MODEL_EXCESS_BACKLASH: report_backlash(judging, subject); break;
    case MODEL_EXCESS_TORQUE:
        report_limit(judging, &pad->torque_limit, &device->torque.resolution, "a torque limit");
        break;
    case MODEL_EXCESS_ADAPTER_TORQUE:
        report_limit(judging, &pad->adapter.torque_limit, &device->torque.resolution,
                     "a torque limit");
        break;
    case MODEL_EXCESS_SPEED: report_speed(judging, subject); break;
    case MODEL_EXCESS_RECHECK:
        finding_add(judging->findings, RULE_NUMBER_TOO_LARGE, place_of_ratio(pad),
                    "the rotor turns after which blade one must be found again through pad %s are "
                    "too large for 64 bits",
                    pad->id.text);
        break;
    }
    return false;
}

static bool judge_rotor_backlash(struct rules_judging *judging, const struct rules_subject *subject)
{
    if (!rotor_backlash_overflows(judging, subject->index)) {
        return true;
    }
    finding_add(judging->findings, RULE_NUMBER_TOO_LARGE, subject->pad->backlash.at.span,
                "the backlash at the rotor is too large to be exact in 64 bits");
    return false;
}

bool rules_NUMBER_TOO_LARGE(struct rules_judging *judging, const struct rules_subject *subject)
{
    return judge_ratio(judging, subject) && judge_rotor_backlash(judging, subject) &&
           (!subject->on || (judge_excess(judging, subject) && judge_steps(judging, subject)));
}

/* Where the teeth are known the reduction is a repetition of them; both are exact as written. */
static void judge_reduction(struct rules_judging *judging, const struct model_shaft *shaft)
{
    const struct model_reduction *reduction = &shaft->reduction;
    struct exact_rational stated = {0, 1};
    struct exact_rational path;
    if (reduction->motor.at.state != MODEL_GIVEN || reduction->output.at.state != MODEL_GIVEN ||
        shaft->path.at.state != MODEL_GIVEN ||
        !turning_path_ratio(model_bare_path(&shaft->path, judging->arena), shaft->path.count,
                            &path)) {
        return;
    }
    /* A quotient that does not fit 64 bits is not equal to one that does. */
    bool kept =
        exact_div(reduction->motor.written.stated, reduction->output.written.stated, &stated);
    if (kept && exact_equal(stated, path)) {
        return;
    }
    struct finding *finding =
        finding_add(judging->findings, RULE_RATIO_DISAGREES, reduction->at.span,
                    "reduction states %s motor turns per output turn; the path makes %s",
                    kept ? words_number_beside(judging->arena, stated, path) : "other",
                    kept ? words_number_beside(judging->arena, path, stated)
                         : words_number(judging->arena, path));
    finding_note(judging->findings, finding, shaft->path.at.span, "the path");
    rules_number(judging, finding, "path", path);
    if (kept) {
        rules_number(judging, finding, "stated", stated);
    }
    finding_consequence(judging->findings, finding,
                        "The steps follow from the path. If the reduction is correct, the stops "
                        "drift off the blades of every engine.");
    finding_remedy(judging->findings, finding,
                   "Count the teeth again, or correct the reduction. One of the two is enough.");
}

static void report_span(struct rules_judging *judging, const struct model_span *span,
                        const char *what)
{
    struct finding *finding = finding_add(
        judging->findings, RULE_NUMBER_TOO_LARGE, span->resolution.at.span,
        "this resolution of %s, or max in steps of it, does not fit the 32 bits of a table", what);
    finding_note(judging->findings, finding, span->max.at.span, "max");
    finding_consequence(judging->findings, finding,
                        "The table could not give a limit to the device.");
    finding_remedy(judging->findings, finding,
                   "Give the resolution from the manual of the device.");
}

void rules_judge_profile(struct rules_judging *judging, const struct model_device *device)
{
    struct model_device_facts facts = model_device_derive(device);
    judge_reduction(judging, &device->shaft);
    if (facts.counts_exceed) {
        finding_add(judging->findings, RULE_NUMBER_TOO_LARGE, device->shaft.at.key,
                    "the counts of a turn of the output are too large to be exact in 64 bits");
    }
    if (facts.torque_exceeds) {
        report_span(judging, &device->torque, "torque");
    }
    if (facts.speed_exceeds) {
        report_span(judging, &device->speed, "speed");
    }
}
