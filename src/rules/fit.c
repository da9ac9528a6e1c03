/*
 * fit.c - the device family: couplings, texts and numbers that have to fit the device.
 */
#include "rules/functions.h"
#include "rules/say.h"
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
    for (size_t i = 0; i < engine->pads.count; i++) {
        if (model_pad(engine, i)->spool_index == spool && spool != SIZE_MAX) {
            return true;
        }
    }
    return false;
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
                                          "this %s has %zu bytes; the device holds %" PRId64, what,
                                          text->length, most->value);
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
                            "this %s has the character %.*s (U+%04X); the device shows %s only",
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

static bool within(struct rules_judging *judging, int64_t count, const struct model_integer *most,
                   struct span at, const char *what)
{
    if (count <= most->value) {
        return true;
    }
    struct finding *finding = finding_add(judging->findings, RULE_TOO_MANY, at,
                                          "there are %" PRId64 " %s; the device holds %" PRId64,
                                          count, what, most->value);
    finding_note(judging->findings, finding, most->at.span, "the device's limit");
    rules_whole_number(judging, finding, "count", count);
    rules_whole_number(judging, finding, "limit", most->value);
    return false;
}

bool rules_TOO_MANY(struct rules_judging *judging, const struct rules_subject *subject)
{
    (void)subject;
    const struct model_engine *engine = judging->derived.engine;
    const struct model_limits *limits = &judging->derived.device->device->limits;
    int64_t stages = 0;
    bool passed =
        within(judging, (int64_t)engine->pads.count, &limits->pads, engine->pads.at.key, "pads");
    for (size_t i = 0; i < engine->stages.count; i++) {
        const struct model_stage *stage = model_stage(engine, i);
        if (!is_in_table(engine, stage->spool_index)) {
            continue;
        }
        stages++;
        if (stage->blades.at.state == MODEL_GIVEN) {
            passed = within(judging, stage->blades.value, &limits->blades, stage->blades.at.span,
                            "blades") &&
                     passed;
        }
    }
    return within(judging, stages, &limits->stages, engine->stages.at.key, "stages") && passed;
}

bool rules_judge_engines(struct rules_judging *judging, size_t engines)
{
    const struct model_integer *most = &judging->derived.device->device->limits.engines;
    return within(judging, (int64_t)engines, most, most->at.span, "engines for a table");
}
