#include "command/named.h"

#include <string.h>

void command_name(struct command_named *named, enum model_listed list, const char *id)
{
    if (id) {
        named->ids = arena_grow(named->arena, named->ids, named->count, &named->capacity,
                                sizeof *named->ids);
        named->ids[named->count++] = (struct command_named_id){.id = id, .list = list, .there = ""};
    }
}

static void note(struct command_named *named, struct command_named_id *asked, const char *id)
{
    asked->seen = asked->seen || strcmp(asked->id, id) == 0;
    if (named->definitions == 0) {
        asked->there =
            arena_printf(named->arena, "%s%s%s", asked->there, *asked->there ? ", " : "", id);
    }
}

/* Notes the ports of all stages; several stages may have a port of one id. */
static void note_ports(struct command_named *named, struct command_named_id *asked,
                       const struct model_engine *engine)
{
    for (size_t i = 0; i < engine->stages.count; i++) {
        const struct model_list *ports = &model_stage(engine, i)->ports;
        for (size_t j = 0; j < ports->count; j++) {
            const char *id = MODEL_ITEM(*ports, struct model_port, j)->id.text;
            size_t before = 0;
            while (before < i && model_port_named(model_stage(engine, before), id) == SIZE_MAX) {
                before++;
            }
            if (before == i) {
                note(named, asked, id);
            }
        }
    }
}

void command_named_look(struct command_named *named, const struct model_engine *engine)
{
    for (size_t i = 0; i < named->count; i++) {
        struct command_named_id *asked = &named->ids[i];
        if (asked->list == MODEL_NOT_LISTED) {
            note_ports(named, asked, engine);
            continue;
        }
        for (size_t j = 0; j < model_listed_count(engine, asked->list); j++) {
            note(named, asked, model_listed_id(engine, asked->list, j)->text);
        }
    }
    named->definitions++;
}

const char *command_named_nowhere(const struct command_named *named)
{
    for (size_t i = 0; i < named->count; i++) {
        const struct command_named_id *asked = &named->ids[i];
        if (!asked->seen) {
            const bool listed = named->definitions == 1;
            return arena_printf(named->arena, "there is no %s %s%s%s",
                                asked->list == MODEL_NOT_LISTED ? "port"
                                                                : model_listed_name(asked->list),
                                asked->id, listed ? "; " : "",
                                listed ? command_there_is(named->arena, asked->there) : "");
        }
    }
    return NULL;
}

const char *command_there_is(struct arena *arena, const char *ids)
{
    return arena_printf(arena, "there %s %s", strchr(ids, ',') ? "are" : "is", *ids ? ids : "none");
}
