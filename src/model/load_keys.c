/*
 * load_keys.c - the keys of a map: which one is meant, which one is missing, which ones exclude
 * each other.
 *
 * The rows of a record say which keys it takes, which it needs, and which one replaces another.
 */
#include "model/load_parts.h"
#include "text/near.h"

#include <string.h>

/* Turns and limits are many. */
static bool is_many(const char *word)
{
    return word[strlen(word) - 1] == 's';
}

/* "a ", "an ", and nothing before limits and turns. */
static const char *article(const char *word)
{
    return is_many(word) ? "" : strchr("aeiou", word[0]) ? "an " : "a ";
}

/* "this stage has", "these turns have": with the verb for one and for many. */
static const char *this_one(const struct model_record *record, struct arena *arena, const char *has,
                            const char *have)
{
    const bool many = is_many(record->name);
    return arena_printf(arena, "%s %s %s", many ? "these" : "this", record->name,
                        many ? have : has);
}

static const char *this_has(const struct model_record *record, struct arena *arena)
{
    return this_one(record, arena, "has", "have");
}

const struct model_field *model_find_key(const struct model_record *record,
                                         const struct model_field *last,
                                         const struct text_node *key)
{
    const struct model_field *field = last ? last + 1 : record->fields;
    for (int round = 0; round < 2; round++) {
        for (; field->key; field++) {
            if (field->key[0] == key->text[0] && strcmp(field->key, key->text) == 0) {
                return field;
            }
        }
        field = record->fields;
    }
    return NULL;
}

uint64_t model_keys_there(const struct model_record *record, const struct text_node *map)
{
    uint64_t there = 0;
    for (const struct text_node *node = map->first; node; node = node->next) {
        const struct model_field *field = model_find_key(record, NULL, node->key);
        there |= field ? UINT64_C(1) << (field - record->fields) % 64 : 0;
    }
    return there;
}

const struct model_field *model_report_unknown_key(struct model_loader *loader,
                                                   const struct model_record *record,
                                                   uint64_t there, const struct text_node *key,
                                                   bool text_cut)
{
    if (key->refused) {
        return NULL;
    }
    struct text_near near = text_near_start(key->text, key->length);
    for (const struct model_field *field = record->fields; field->key; field++) {
        if (field->former && strcmp(field->former, key->text) == 0) {
            struct finding *finding =
                finding_add(loader->findings, RULE_UNKNOWN_KEY, key->at,
                            "the key %s is called %s now", field->former, field->key);
            finding_remedy(loader->findings, finding, "Write %s.", field->key);
            finding_instead(loader->findings, finding, field->key);
            return field;
        }
        if (!(there >> (field - record->fields) % 64 & 1)) {
            text_near_try(&near, field->key);
        }
    }
    const char *name = arena_copy(loader->arena, key->text, (size_t)text_shown(key));
    struct finding *finding = finding_add(loader->findings, RULE_UNKNOWN_KEY, key->at,
                                          "%s%s has no key %s", article(record->name), record->name,
                                          key->length == 0 ? "without a name" : name);
    if (text_cut) {
        finding_consequence(loader->findings, finding,
                            "The comma ends the text before it, so this is read as a key.");
        finding_remedy(loader->findings, finding, "Put the whole text in quotes.");
        return NULL;
    }
    if (text_near_best(&near)) {
        finding_guess(loader->findings, finding, text_near_best(&near));
    }
    for (const struct model_field *field = record->fields; field->key; field++) {
        if (field->key == text_near_best(&near)) {
            return field;
        }
    }
    return NULL;
}

struct model_at *model_at_of(const struct model_field *field, void *out)
{
    return (struct model_at *)(void *)((char *)out + field->offset);
}

static const struct model_field *field_of(const struct model_record *record, const char *key)
{
    for (const struct model_field *field = record->fields; key && field->key; field++) {
        if (strcmp(field->key, key) == 0) {
            return field;
        }
    }
    return NULL;
}

static bool is_written(const struct model_record *record, const char *key, void *out)
{
    const struct model_field *field = field_of(record, key);
    return field && model_at_of(field, out)->state != MODEL_ABSENT;
}

struct span model_gap_in(const struct text_node *map)
{
    return map->first && map->first->key ? map->first->key->at : map->at;
}

/* Reports a key beside the key that replaces it.  Nobody knows which one was meant. */
static void check_instead(struct model_loader *loader, const struct model_record *record,
                          const struct model_field *field, void *out)
{
    struct model_at *at = model_at_of(field, out);
    const struct model_field *instead =
        at->state == MODEL_ABSENT ? NULL : field_of(record, field->instead);
    if (!instead || model_at_of(instead, out)->state == MODEL_ABSENT) {
        return;
    }
    struct model_at *other = model_at_of(instead, out);
    struct finding *finding =
        finding_add(loader->findings, RULE_WRONG_SHAPE, other->key, "%s both \"%s\" and \"%s\"",
                    this_has(record, loader->arena), field->key, field->instead);
    finding_note(loader->findings, finding, at->key, "the other one");
    finding_remedy(loader->findings, finding, "Delete one of them.");
    at->state = MODEL_BROKEN;
    other->state = MODEL_BROKEN;
}

/* Reports a key without the key that it needs.  If that one is missing too, that is reported. */
static void check_needs(struct model_loader *loader, const struct model_record *record,
                        const struct model_field *field, void *out)
{
    struct model_at *at = model_at_of(field, out);
    const struct model_field *needed =
        at->state == MODEL_ABSENT ? NULL : field_of(record, field->needs);
    if (!needed || model_at_of(needed, out)->state != MODEL_ABSENT) {
        return;
    }
    const char *instead = is_written(record, needed->instead, out) ? needed->instead : NULL;
    struct finding *finding =
        finding_add(loader->findings, RULE_MISSING_KEY, at->key, "%s \"%s\", which needs \"%s\"",
                    this_has(record, loader->arena), field->key, needed->key);
    finding_remedy(loader->findings, finding, "%s %s%s%s, or delete %s.", instead ? "Write" : "Add",
                   needed->key, instead ? " instead of " : "", instead ? instead : "", field->key);
    at->state = MODEL_BROKEN;
}

static void report_missing(struct model_loader *loader, const struct model_record *record,
                           const struct model_field *field, struct span at)
{
    const struct model_field *instead = field_of(record, field->instead);
    struct finding *finding =
        finding_add(loader->findings, RULE_MISSING_KEY, at, "%s %s\"%s\"%s%s%s",
                    this_has(record, loader->arena), instead ? "neither " : "no ", field->key,
                    instead ? " nor \"" : "", instead ? instead->key : "", instead ? "\"" : "");
    const char *meaning = field->type == MODEL_WORD && !instead
                              ? arena_printf(loader->arena, "%s (%s)", field->meaning,
                                             model_word_list(loader->arena, field->words))
                              : field->meaning;
    finding_remedy(loader->findings, finding, "Add %s: %s%s%s%s%s.%s%s%s", field->key, meaning,
                   instead ? "; or " : "", instead ? instead->key : "", instead ? ": " : "",
                   instead ? instead->meaning : "", field->found ? " Usually found in: " : "",
                   field->found ? field->found : "", field->found ? "." : "");
}

void model_check_keys(struct model_loader *loader, const struct model_record *record,
                      const struct text_node *map, void *out)
{
    for (const struct model_field *field = record->fields; field->key; field++) {
        struct model_at *at = model_at_of(field, out);
        if (at->state != MODEL_ABSENT) {
            continue;
        }
        at->span = model_gap_in(map);
        at->key = at->span;
        if (field->required && !is_written(record, field->instead, out)) {
            report_missing(loader, record, field, at->span);
            at->state = MODEL_BROKEN;
        }
    }
    for (const struct model_field *field = record->fields; field->key; field++) {
        if (field->instead) {
            check_instead(loader, record, field, out);
        }
        if (field->needs) {
            check_needs(loader, record, field, out);
        }
    }
    if (!record->either[0]) {
        return;
    }
    for (size_t i = 0; i < MODEL_EITHER && record->either[i]; i++) {
        if (is_written(record, record->either[i], out)) {
            return;
        }
    }
    const char *keys = "";
    for (size_t i = 0; i < MODEL_EITHER && record->either[i]; i++) {
        bool last = i + 1 == MODEL_EITHER || !record->either[i + 1];
        keys = arena_printf(loader->arena, "%s%s%s", keys,
                            i == 0 ? ""
                            : last ? " or "
                                   : ", ",
                            record->either[i]);
    }
    finding_add(loader->findings, RULE_MISSING_KEY, model_gap_in(map), "%s %s",
                this_one(record, loader->arena, "needs", "need"), keys);
}
