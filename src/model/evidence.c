#include "model/evidence.h"

#include "model/observed.h"

/* Whether the second reader's stage is this one. */
static bool is_same(const struct model_stage *stage, const struct model_stage *again)
{
    return stage->id.at.state == MODEL_GIVEN && again->id.at.state == MODEL_GIVEN &&
           model_same_text(&stage->id, &again->id);
}

/* The stage as the second reader has it, or NULL. */
static const struct model_stage *read_again(const struct model_engine *engine,
                                            const struct model_cross_check *second, size_t index)
{
    const struct model_stage *stage = model_stage(engine, index);
    for (size_t i = 0; second && i < second->stages.count; i++) {
        /* Its form has the stages in the order of the definition, so the search begins there. */
        size_t next = (index + i) % second->stages.count;
        const struct model_stage *again = MODEL_ITEM(second->stages, struct model_stage, next);
        if (is_same(stage, again)) {
            return again;
        }
    }
    return NULL;
}

bool model_count_is_confirmed(const struct model_engine *engine,
                              const struct model_engine_facts *facts,
                              const struct model_cross_check *second, size_t stage)
{
    const struct model_stage *again = read_again(engine, second, stage);
    return (again && again->blades.at.state == MODEL_GIVEN) ||
           model_count_is_observed(engine, facts, stage);
}

bool model_order_is_confirmed(const struct model_engine *engine,
                              const struct model_cross_check *second, size_t stage)
{
    const struct model_stage *again = read_again(engine, second, stage);
    return (again && again->numbering.word.at.state == MODEL_GIVEN) ||
           model_order_is_observed(engine, stage);
}
