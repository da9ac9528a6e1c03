/*
 * stops_answer.c - the answers of `stops`.
 */
#include "command/stops_answer.h"

#include <string.h>

static bool is_wanted(const char *wanted, const struct model_text *id)
{
    return !wanted || strcmp(wanted, id->text) == 0;
}

/* Keeps the first reason. */
static void explain(struct stops_request *request, const char *why)
{
    request->why = request->why ? request->why : why;
}

static void leave_out(struct stops_request *request, const char *why)
{
    request->left_out++;
    explain(request, why);
}

/* Whether the stage has the blade; if not, that is a reason. */
static bool has_blade(struct stops_request *request, const struct model_stage *stage)
{
    const int64_t blade = request->is.from.blade;
    if (blade > stage->blades.value) {
        leave_out(request,
                  arena_printf(request->arena,
                               "stage %s has %lld blades, so there is no blade %lld",
                               stage->id.text, (long long)stage->blades.value, (long long)blade));
        return false;
    }
    return true;
}

/* Whether the clocking and the port of the stage are known; if not, that is a reason. */
static bool has_datum(struct stops_request *request, const struct model_stage *stage)
{
    bool clocking = stage->clocking.at.state == MODEL_GIVEN;
    if (clocking && stage->ports.count != 0) {
        return true;
    }
    explain(request, arena_printf(request->arena, "stage %s has no %s", stage->id.text,
                                  clocking                  ? "port"
                                  : stage->ports.count == 0 ? "clocking and no port"
                                                            : "clocking"));
    return false;
}

/* The port of the place where the count begins: the one that is named, else the first. */
static bool find_from_port(struct stops_request *request, const struct model_stage *stage,
                           size_t *out)
{
    const char *named = request->is.from.port;
    *out = named ? model_port_named(stage, named) : 0;
    if (*out != REPORT_NO_PORT && *out < stage->ports.count) {
        return true;
    }
    if (named) {
        explain(request,
                arena_printf(request->arena, "stage %s has no port %s", stage->id.text, named));
    } else {
        (void)has_datum(request, stage);
    }
    return false;
}

/* The ports of a stage that are asked for; how many. */
struct ports {
    size_t items[MODEL_PORTS_MOST], count;
};

static struct ports wanted_ports(const struct stops_request *request,
                                 const struct model_stage *stage)
{
    const struct command_values *named = request->is.ports;
    const bool all = request->is.question == STOPS_CARRY || request->is.question == STOPS_PASS;
    struct ports ports = {.count = 0};
    for (size_t i = 0; i < stage->ports.count && i < MODEL_PORTS_MOST; i++) {
        bool wanted = named->count == 0 && (all || i == 0);
        for (size_t j = 0; j < named->count; j++) {
            wanted = wanted || is_wanted(named->items[j],
                                         &MODEL_ITEM(stage->ports, struct model_port, i)->id);
        }
        if (wanted) {
            ports.items[ports.count++] = i;
        }
    }
    if (named->count == 0 && !all && stage->ports.count == 0) {
        ports.items[ports.count++] = REPORT_NO_PORT;
    }
    return ports;
}

static void note_result(struct stops_request *request, enum report_where_result result)
{
    request->answers++;
    request->unsure += result == REPORT_WHERE_UNSURE;
    request->overflow = request->overflow || result == REPORT_WHERE_OVERFLOW;
}

static void answer_pair(struct stops_request *request, const struct model_derived *derived,
                        const struct model_pair *pair)
{
    const struct model_stage *stage = model_stage(derived->engine, pair->stage);
    const struct ports ports = wanted_ports(request, stage);
    if (ports.count == 0 || !has_blade(request, stage)) {
        return;
    }
    for (size_t i = 0; i < ports.count; i++) {
        if (request->is.question == STOPS_AT_COUNT) {
            note_result(request, report_where_count(&request->where, derived, pair, ports.items[i],
                                                    request->is.from.blade, request->is.count));
        } else {
            note_result(request, report_stops_pair(&request->stops, derived, pair, ports.items[i])
                                     ? REPORT_WHERE_NAMED
                                     : REPORT_WHERE_OVERFLOW);
        }
    }
}

/* Whether the question can be answered for what no pad turns; if not, that is a reason. */
static bool has_no_pause(struct stops_request *request, const char *spool)
{
    if (request->is.pause_s == 0) {
        return true;
    }
    leave_out(request,
              arena_printf(request->arena,
                           "spool %s is turned by hand, so there are no times for --pause", spool));
    return false;
}

static void answer_by_hand(struct stops_request *request, const struct model_derived *derived,
                           size_t index)
{
    const struct model_stage *stage = model_stage(derived->engine, index);
    const struct ports ports = wanted_ports(request, stage);
    if (ports.count == 0 || !has_blade(request, stage) ||
        !has_no_pause(request, model_spool(derived->engine, stage->spool_index)->id.text)) {
        return;
    }
    for (size_t i = 0; i < ports.count; i++) {
        report_stops_by_hand(&request->stops, derived, index, ports.items[i]);
        request->answers++;
    }
}

static const char *spool_name(const struct model_engine *engine, size_t spool)
{
    return model_spool(engine, spool)->id.text;
}

static size_t find_stage_index(const struct model_engine *engine, const char *name)
{
    for (size_t i = 0; name && i < engine->stages.count; i++) {
        if (strcmp(model_stage(engine, i)->id.text, name) == 0) {
            return i;
        }
    }
    return SIZE_MAX;
}

static const struct model_stage *find_stage(const struct model_engine *engine, const char *name)
{
    const size_t index = find_stage_index(engine, name);
    return index == SIZE_MAX ? NULL : model_stage(engine, index);
}

/* Whether a wanted pad turns the spool. */
static bool turns(const struct stops_request *request, const struct model_engine *engine,
                  size_t pad, size_t spool)
{
    return is_wanted(request->is.pad, &model_pad(engine, pad)->id) &&
           model_pad(engine, pad)->spool_index == spool;
}

/*
 * Whether a wanted pad turns this stage, or no pad turns it and it may be by hand; if not, that is
 * a reason.
 */
static bool is_turned(struct stops_request *request, const struct model_engine *engine,
                      const struct model_stage *stage, bool by_hand)
{
    const struct model_pad *other = model_pad_of_spool(engine, stage->spool_index);
    bool pad_there = !request->is.pad;
    if (by_hand && !request->is.pad && !other) {
        return true;
    }
    for (size_t i = 0; i < engine->pads.count; i++) {
        if (turns(request, engine, i, stage->spool_index)) {
            return true;
        }
        pad_there = pad_there || is_wanted(request->is.pad, &model_pad(engine, i)->id);
    }
    if (pad_there) {
        explain(request, arena_printf(request->arena, "stage %s is on spool %s, which %s%s %s",
                                      stage->id.text, spool_name(engine, stage->spool_index),
                                      request->is.pad ? "pad " : "no pad",
                                      request->is.pad ? request->is.pad : "",
                                      request->is.pad ? "does not turn" : "turns"));
    }
    return false;
}

/* Whether a pad turns the spool and no device was named; that is a reason. */
static bool lacks_device(struct stops_request *request, const struct model_engine *engine,
                         size_t spool)
{
    const struct model_pad *pad = model_pad_of_spool(engine, spool);
    if (request->is.device || !pad) {
        return false;
    }
    request->no_device = true;
    leave_out(request,
              arena_printf(request->arena,
                           "spool %s is turned through pad %s, so its counts depend on the device: "
                           "name it with --device FILE",
                           spool_name(engine, spool), pad->id.text));
    return true;
}

/* Answers for every wanted stage; without a wanted pad, also for those that no pad turns. */
static void answer_stages(struct stops_request *request, const struct model_derived *derived)
{
    const struct model_engine *engine = derived->engine;
    const struct model_stage *only = find_stage(engine, request->is.stage);
    const bool by_hand = request->is.question == STOPS_ALL && !request->is.pad;
    if (only && (!is_turned(request, engine, only, by_hand) ||
                 lacks_device(request, engine, only->spool_index))) {
        return;
    }
    for (size_t i = 0; request->is.device && i < engine->pads.count; i++) {
        const struct model_pad_on_device *on = &derived->on.pads[i];
        for (size_t j = 0;
             is_wanted(request->is.pad, &model_pad(engine, i)->id) && j < on->pair_count; j++) {
            if (is_wanted(request->is.stage, &model_stage(engine, on->pairs[j].stage)->id)) {
                answer_pair(request, derived, &on->pairs[j]);
            }
        }
    }
    for (size_t i = 0; by_hand && i < engine->stages.count; i++) {
        const struct model_stage *stage = model_stage(engine, i);
        if (is_wanted(request->is.stage, &stage->id) &&
            !model_pad_of_spool(engine, stage->spool_index)) {
            answer_by_hand(request, derived, i);
        }
    }
}

/* Carries the count to one stage, at the wanted ports. */
static void carry_to(struct stops_request *request, const struct model_derived *derived,
                     const struct report_blade_at *from, const struct model_stage *to)
{
    const struct ports ports = wanted_ports(request, to);
    if (from->stage != to && ports.count == 0 && request->is.ports->count != 0) {
        return;
    }
    /* From port to port of one stage there is no need for a datum. */
    if (from->stage != to && (!has_datum(request, from->stage) || !has_datum(request, to))) {
        request->left_out++;
        return;
    }
    for (size_t i = 0; i < ports.count; i++) {
        if (from->stage != to || ports.items[i] != from->port) {
            note_result(request,
                        report_where_carried(&request->where, derived, from, to, ports.items[i]));
        }
    }
}

/* Answers --carry: from the stage that it names to every other wanted port of its spool. */
static void carry(struct stops_request *request, const struct model_derived *derived)
{
    const struct model_engine *engine = derived->engine;
    const struct model_stage *from = find_stage(engine, request->is.from.stage);
    const struct model_stage *only = find_stage(engine, request->is.stage);
    const size_t before = request->answers;
    struct report_blade_at place = {from, 0, request->is.from.blade};
    if (!from || (request->is.pad && !is_turned(request, engine, from, false)) ||
        !has_blade(request, from) || !find_from_port(request, from, &place.port)) {
        return;
    }
    if (only && only->spool_index != from->spool_index) {
        explain(request, arena_printf(request->arena,
                                      "stage %s is on spool %s, stage %s on %s: they do not turn "
                                      "together",
                                      from->id.text, spool_name(engine, from->spool_index),
                                      only->id.text, spool_name(engine, only->spool_index)));
    }
    for (size_t i = 0; i < engine->stages.count; i++) {
        const struct model_stage *to = model_stage(engine, i);
        if (to->spool_index == from->spool_index && is_wanted(request->is.stage, &to->id)) {
            carry_to(request, derived, &place, to);
        }
    }
    if (request->answers == before && only == from) {
        explain(request, arena_printf(request->arena, "stage %s has no other port", from->id.text));
    }
}

/* Where the pass begins: the place that is named, else the first port of the first stage. */
static bool find_zero(struct stops_request *request, const struct model_engine *engine,
                      size_t spool, struct report_probe *zero)
{
    zero->stage = find_stage_index(engine, request->is.from.stage);
    if (request->is.from.stage) {
        const struct model_stage *stage = find_stage(engine, request->is.from.stage);
        if (stage && stage->spool_index != spool) {
            explain(request, arena_printf(request->arena, "stage %s is on spool %s, not on %s",
                                          stage->id.text, spool_name(engine, stage->spool_index),
                                          spool_name(engine, spool)));
        }
        return stage && stage->spool_index == spool && find_from_port(request, stage, &zero->port);
    }
    /* A stage with clocking, because the others are related to it; else one with a port. */
    for (size_t clocked = 2; clocked-- > 0 && zero->stage == SIZE_MAX;) {
        for (size_t i = 0; i < engine->stages.count && zero->stage == SIZE_MAX; i++) {
            const struct model_stage *stage = model_stage(engine, i);
            if (stage->spool_index == spool && is_wanted(request->is.stage, &stage->id) &&
                (clocked == 0 || stage->clocking.at.state == MODEL_GIVEN) &&
                wanted_ports(request, stage).count != 0) {
                zero->stage = i;
                zero->port = wanted_ports(request, stage).items[0];
            }
        }
    }
    return zero->stage != SIZE_MAX;
}

/* The probes of a pass: every wanted port of every stage that is related to the place of count 0.
 */
static struct report_probe *find_probes(struct stops_request *request,
                                        const struct model_engine *engine, size_t spool,
                                        struct report_probe zero, size_t *count)
{
    const struct model_stage *from = model_stage(engine, zero.stage);
    struct report_probe *probes =
        arena_array(request->arena, engine->stages.count * MODEL_PORTS_MOST, sizeof *probes);
    *count = 0;
    for (size_t i = 0; i < engine->stages.count; i++) {
        const struct model_stage *stage = model_stage(engine, i);
        if (stage->spool_index != spool || !is_wanted(request->is.stage, &stage->id)) {
            continue;
        }
        const struct ports ports = wanted_ports(request, stage);
        if (ports.count == 0 && request->is.ports->count != 0) {
            continue;
        }
        if (stage != from && (!has_datum(request, from) || !has_datum(request, stage))) {
            request->left_out++;
            continue;
        }
        for (size_t j = 0; j < ports.count; j++) {
            probes[(*count)++] = (struct report_probe){i, ports.items[j]};
        }
    }
    return probes;
}

static void answer_pass(struct stops_request *request, const struct model_derived *derived)
{
    const struct model_engine *engine = derived->engine;
    struct report_pass_ask ask = {.pad = REPORT_BY_HAND, .from_blade = request->is.from.blade};
    while (ask.spool < engine->spools.count &&
           !is_wanted(request->is.spool, &model_spool(engine, ask.spool)->id)) {
        ask.spool++;
    }
    if (ask.spool == engine->spools.count) {
        return;
    }
    if (!find_zero(request, engine, ask.spool, &ask.zero)) {
        explain(request, arena_printf(request->arena, "spool %s has no stage with a port",
                                      request->is.spool));
        return;
    }
    if (!has_blade(request, model_stage(engine, ask.zero.stage)) ||
        lacks_device(request, engine, ask.spool)) {
        return;
    }
    const bool by_hand = !model_pad_of_spool(engine, ask.spool) && !request->is.pad;
    bool turned = by_hand && has_no_pause(request, request->is.spool);
    for (size_t i = 0; i < engine->pads.count; i++) {
        turned = turned || turns(request, engine, i, ask.spool);
    }
    if (!turned) {
        explain(request, arena_printf(request->arena, "pad %s does not turn spool %s",
                                      request->is.pad ? request->is.pad : "", request->is.spool));
        return;
    }
    ask.probes = find_probes(request, engine, ask.spool, ask.zero, &ask.count);
    /* By hand there is one pass, else one for each pad. */
    for (size_t i = 0; ask.count != 0 && i < (by_hand ? 1 : engine->pads.count); i++) {
        ask.pad = by_hand ? REPORT_BY_HAND : i;
        if (by_hand || turns(request, engine, i, ask.spool)) {
            note_result(request, report_pass(&request->pass, derived, &ask)
                                     ? REPORT_WHERE_NAMED
                                     : REPORT_WHERE_OVERFLOW);
        }
    }
}

void stops_answer(struct stops_request *request, const struct model_derived *derived)
{
    switch (request->is.question) {
    case STOPS_ALL:
    case STOPS_AT_COUNT: answer_stages(request, derived); break;
    case STOPS_CARRY: carry(request, derived); break;
    case STOPS_PASS: answer_pass(request, derived); break;
    }
}
