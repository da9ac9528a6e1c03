/*
 * slips.c - ports and stages that were probably copied, or put on the wrong spool.
 *
 * The numbers of such a definition can all agree, so no other rule finds the slip.
 */
#include "rules/functions.h"

#include <string.h>
#include <strings.h>

static const struct model_port *port_at(const struct model_stage *stage, size_t i)
{
    return MODEL_ITEM(stage->ports, struct model_port, i);
}

static bool is_read(const struct model_port *port)
{
    return port->id.at.state == MODEL_GIVEN && port->clock.minutes.at.state == MODEL_GIVEN;
}

/*
 * The first port on an earlier stage that has this id, and the same clock position or another one;
 * or NULL.  The same id twice on one stage is another mistake.
 */
static const struct model_port *port_before(const struct model_engine *engine, size_t stage,
                                            const struct model_port *port, bool same_clock)
{
    int minutes = port->clock.minutes.value;
    for (size_t i = 0; i < stage; i++) {
        for (size_t j = 0; j < model_stage(engine, i)->ports.count; j++) {
            const struct model_port *other = port_at(model_stage(engine, i), j);
            if (is_read(other) && model_same_text(&other->id, &port->id) &&
                (other->clock.minutes.value == minutes) == same_clock) {
                return other;
            }
        }
    }
    return NULL;
}

bool rules_PORT_TWO_CLOCKS(struct rules_judging *judging, const struct rules_subject *subject)
{
    (void)subject;
    const struct model_engine *engine = judging->derived.engine;
    bool passed = true;
    for (size_t i = 0; i < engine->stages.count; i++) {
        const struct model_stage *stage = model_stage(engine, i);
        for (size_t j = 0; j < stage->ports.count; j++) {
            const struct model_port *port = port_at(stage, j);
            const struct model_port *first =
                is_read(port) ? port_before(engine, i, port, false) : NULL;
            if (!first || port_before(engine, i, port, true)) {
                continue; /* one finding for each position */
            }
            struct finding *finding = finding_add(
                judging->findings, RULE_PORT_TWO_CLOCKS, port->clock.minutes.at.span,
                "port %s is at %s here and at %s on another stage, both aft looking forward",
                port->id.text, words_clock(judging->arena, port->clock.minutes.value),
                words_clock(judging->arena, first->clock.minutes.value));
            finding_note(judging->findings, finding, first->clock.minutes.at.span, "port %s there",
                         first->id.text);
            passed = false;
        }
    }
    return passed;
}

static bool begins_with(const struct model_text *name, const struct model_text *with)
{
    return with->at.state == MODEL_GIVEN && with->length <= name->length &&
           strncasecmp(name->text, with->text, with->length) == 0;
}

enum { LEAST_NAME = 2 }; /* letters: a single one begins too many names */

bool rules_STAGE_NAME_MISLEADS(struct rules_judging *judging, const struct rules_subject *subject)
{
    const struct model_engine *engine = judging->derived.engine;
    const struct model_stage *stage = subject->stage;
    if (stage->id.at.state != MODEL_GIVEN || stage->spool_index == SIZE_MAX ||
        begins_with(&stage->id, &model_spool(engine, stage->spool_index)->id)) {
        return true;
    }
    for (size_t i = 0; i < engine->spools.count; i++) {
        const struct model_spool *spool = model_spool(engine, i);
        if (spool->id.length < LEAST_NAME || !begins_with(&stage->id, &spool->id)) {
            continue;
        }
        struct finding *finding =
            finding_add(judging->findings, RULE_STAGE_NAME_MISLEADS, stage->spool.at.span,
                        "stage %s is on spool %s, but its name begins with %s, another spool",
                        stage->id.text, stage->spool.text, spool->id.text);
        finding_note(judging->findings, finding, spool->id.at.span, "spool %s", spool->id.text);
        return false;
    }
    return true;
}

static bool same_ports(const struct model_stage *a, const struct model_stage *b)
{
    for (size_t i = 0; a->ports.count == b->ports.count && i < a->ports.count; i++) {
        if (!is_read(port_at(a, i)) || !is_read(port_at(b, i)) ||
            !model_same_text(&port_at(a, i)->id, &port_at(b, i)->id) ||
            port_at(a, i)->clock.minutes.value != port_at(b, i)->clock.minutes.value) {
            return false;
        }
    }
    return a->ports.count == b->ports.count && a->ports.at.state != MODEL_BROKEN &&
           b->ports.at.state != MODEL_BROKEN;
}

static bool same_clocking(const struct model_quantity *a, const struct model_quantity *b)
{
    return a->at.state == b->at.state && a->at.state != MODEL_BROKEN &&
           (a->at.state == MODEL_ABSENT ||
            exact_measure_compare(model_measure(a), model_measure(b)) == 0);
}

static bool same_known_blades(const struct model_list *a, const struct model_list *b)
{
    for (size_t i = 0; a->count == b->count && i < a->count; i++) {
        const struct model_known_blade *one = MODEL_ITEM(*a, struct model_known_blade, i);
        const struct model_known_blade *other = MODEL_ITEM(*b, struct model_known_blade, i);
        if (one->blade.value != other->blade.value || !model_same_text(&one->how, &other->how)) {
            return false;
        }
    }
    return a->count == b->count && a->at.state != MODEL_BROKEN && b->at.state != MODEL_BROKEN;
}

static bool is_whole(const struct model_stage *stage)
{
    return stage->id.at.state == MODEL_GIVEN && stage->spool_index != SIZE_MAX &&
           stage->role.at.state == MODEL_GIVEN && stage->blades.at.state == MODEL_GIVEN &&
           stage->numbering.word.at.state == MODEL_GIVEN &&
           stage->blade_one.at.state != MODEL_BROKEN && stage->note.at.state != MODEL_BROKEN;
}

static bool are_alike(const struct model_stage *a, const struct model_stage *b)
{
    return is_whole(a) && is_whole(b) && a->spool_index == b->spool_index &&
           a->role.value == b->role.value && a->blades.value == b->blades.value &&
           a->numbering.word.value == b->numbering.word.value &&
           model_same_text(&a->blade_one, &b->blade_one) &&
           same_known_blades(&a->known_blades, &b->known_blades) &&
           model_same_text(&a->note, &b->note) && same_clocking(&a->clocking, &b->clocking) &&
           same_ports(a, b);
}

bool rules_STAGES_ALIKE(struct rules_judging *judging, const struct rules_subject *subject)
{
    const struct model_stage *stage = subject->stage;
    for (size_t i = 0; i < subject->index; i++) {
        const struct model_stage *other = model_stage(judging->derived.engine, i);
        if (are_alike(other, stage)) {
            struct finding *finding =
                finding_add(judging->findings, RULE_STAGES_ALIKE, stage->id.at.span,
                            "stage %s is the same as stage %s in all but its id", stage->id.text,
                            other->id.text);
            finding_note(judging->findings, finding, other->id.at.span, "stage %s", other->id.text);
            return false;
        }
    }
    return true;
}
