#include "words/caution.h"

/* Adds each sentence of a list, after the name of what it is about ("": the engine). */
static void add(struct arena *arena, const struct model_list *sentences, const char *name,
                struct words_cautions *out, size_t *capacity)
{
    for (size_t i = 0; i < sentences->count; i++) {
        const struct model_text *sentence = MODEL_ITEM(*sentences, struct model_text, i);
        if (sentence->at.state == MODEL_GIVEN) {
            out->items = arena_grow(arena, out->items, out->count, capacity, sizeof *out->items);
            out->items[out->count++] = arena_printf(arena, "%s%s", name, sentence->text);
        }
    }
}

struct words_cautions words_before_turning(struct arena *arena, const struct model_engine *engine,
                                           size_t spool, size_t pad)
{
    struct words_cautions cautions = {NULL, 0};
    size_t capacity = 0;
    add(arena, &engine->before_turning, "", &cautions, &capacity);
    for (size_t i = 0; i < engine->spools.count; i++) {
        const struct model_spool *model = model_spool(engine, i);
        if (spool == WORDS_ALL || spool == i) {
            add(arena, &model->before_turning, arena_printf(arena, "Spool %s: ", model->id.text),
                &cautions, &capacity);
        }
    }
    for (size_t i = 0; i < engine->pads.count; i++) {
        const struct model_pad *model = model_pad(engine, i);
        if ((spool == WORDS_ALL || spool == model->spool_index) && (pad == WORDS_ALL || pad == i)) {
            add(arena, &model->before_turning, arena_printf(arena, "Pad %s: ", model->id.text),
                &cautions, &capacity);
        }
    }
    return cautions;
}

const char *words_models(struct arena *arena, const struct model_engine *engine)
{
    const char *models = "";
    for (size_t i = 0; i < engine->models.count; i++) {
        const struct model_text *model = MODEL_ITEM(engine->models, struct model_text, i);
        if (model->at.state == MODEL_GIVEN) {
            models = arena_printf(arena, "%s%s%s", models, *models ? ", " : "", model->text);
        }
    }
    return *models ? models : "not stated";
}
