#include "slips/menu.h"

#include "words/name.h"

#include <inttypes.h>

/* How turns are counted, with the tolerances that can be had by it. */
static const struct {
    int64_t finest, widest;
} ways[] = {
    {10, 500}, /* a mark on the pad, by eye */
    {2, 9},    /* a protractor at the pad: 2 are 0.72 deg */
};
static const int64_t turns[] = {1, 2, 5, 10};

enum {
    WAYS = sizeof ways / sizeof *ways,
    TURNS = sizeof turns / sizeof *turns,
    OF_A_PAD = 1 + WAYS * TURNS
};

static void add(struct slips_menu *menu, const struct slips_offer *offer)
{
    menu->offers[menu->count++] = *offer;
}

/* The first pad that turns a spool; SIZE_MAX: none. */
static size_t pad_of(const struct model_engine *engine, size_t spool)
{
    for (size_t i = 0; i < engine->pads.count; i++) {
        if (model_pad(engine, i)->spool_index == spool) {
            return i;
        }
    }
    return SIZE_MAX;
}

static void add_stages(struct slips_menu *menu, const struct model_engine *engine)
{
    for (size_t i = 0; i < engine->stages.count; i++) {
        size_t spool = model_stage(engine, i)->spool_index;
        add(menu, &(struct slips_offer){.kind = SLIPS_OFFER_BLADES,
                                        .pad = pad_of(engine, spool),
                                        .spool = spool,
                                        .stage = i});
    }
}

static void add_pads(struct slips_menu *menu, const struct model_engine *engine, size_t way)
{
    for (size_t pad = 0; pad < engine->pads.count; pad++) {
        for (size_t n = 0; n < TURNS; n++) {
            add(menu, &(struct slips_offer){.kind = SLIPS_OFFER_TURNS,
                                            .pad = pad,
                                            .spool = model_pad(engine, pad)->spool_index,
                                            .turns = turns[n],
                                            .finest = ways[way].finest,
                                            .widest = ways[way].widest});
        }
    }
}

struct slips_menu slips_menu_of(const struct model_engine *engine, struct arena *arena)
{
    size_t most = engine->pads.count * OF_A_PAD + engine->stages.count;
    struct slips_menu menu = {arena_array(arena, most + 1, sizeof *menu.offers), 0};
    for (size_t pad = 0; pad < engine->pads.count; pad++) {
        add(&menu, &(struct slips_offer){.kind = SLIPS_OFFER_SENSE,
                                         .pad = pad,
                                         .spool = model_pad(engine, pad)->spool_index});
    }
    add_stages(&menu, engine);
    for (size_t way = 0; way < WAYS; way++) {
        add_pads(&menu, engine, way);
    }
    return menu;
}

/* "pad: crank", or "spool: LP" where a hand turns it. */
static const char *turned(const struct slips_offer *offer, const struct model_engine *engine,
                          struct arena *arena)
{
    return offer->pad == SIZE_MAX
               ? arena_printf(arena, "spool: %s", model_spool(engine, offer->spool)->id.text)
               : arena_printf(arena, "pad: %s", model_pad(engine, offer->pad)->id.text);
}

static const char *seen_block(const struct slips_offer *offer, const struct model_engine *engine,
                              struct arena *arena)
{
    int rotor = model_spool_sign(model_spool(engine, offer->spool));
    int pad = model_pad_sign(model_pad(engine, offer->pad));
    return rotor == 0 || pad == 0
               ? NULL
               : arena_printf(arena, "{%s, seen: {pad: %s, rotor: %s}}",
                              turned(offer, engine, arena), words_sense(pad), words_sense(rotor));
}

static const char *passed_block(const struct slips_offer *offer, const struct model_engine *engine,
                                struct arena *arena)
{
    const struct model_stage *stage = model_stage(engine, offer->stage);
    return arena_printf(arena, "{%s, passed: {stage: %s, blades: %" PRId64 ", rotor: 1 rev}}",
                        turned(offer, engine, arena), stage->id.text, stage->blades.value);
}

static const char *counted_block(const struct slips_offer *offer, int64_t tolerance,
                                 const struct model_engine *engine,
                                 const struct model_engine_facts *facts, struct arena *arena)
{
    enum { DECIMALS = 3 };
    char shown[EXACT_TEXT_SIZE], around[EXACT_TEXT_SIZE];
    struct exact_rational counted, within;
    if (!facts->pads[offer->pad].ratio_known ||
        !exact_mul(facts->pads[offer->pad].used, exact_whole(offer->turns), &counted) ||
        !exact_make(tolerance, SLIPS_TOLERANCE_STEPS, &within)) {
        return NULL;
    }
    return arena_printf(arena, "{%s, counted: {pad: %s +/- %s rev, rotor: %" PRId64 " rev}}",
                        turned(offer, engine, arena), exact_to_decimal(counted, DECIMALS, shown),
                        exact_to_decimal(within, DECIMALS, around), offer->turns);
}

const char *slips_offer_block(const struct slips_offer *offer, int64_t tolerance,
                              const struct model_engine *engine,
                              const struct model_engine_facts *facts, struct arena *arena)
{
    switch (offer->kind) {
    case SLIPS_OFFER_SENSE: return seen_block(offer, engine, arena);
    case SLIPS_OFFER_BLADES: return passed_block(offer, engine, arena);
    case SLIPS_OFFER_TURNS: return counted_block(offer, tolerance, engine, facts, arena);
    }
    return NULL;
}

bool slips_offer_concerns(const struct slips_offer *offer, const struct model_value *value)
{
    switch (value->list) {
    case MODEL_SPOOLS: return value->index == offer->spool;
    case MODEL_STAGES: return offer->kind == SLIPS_OFFER_BLADES && value->index == offer->stage;
    case MODEL_PADS: return value->index == offer->pad;
    default: return false;
    }
}
