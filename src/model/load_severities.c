/*
 * load_severities.c - a policy's list of rules, each with its severity.
 *
 * The keys of this map are the ids of rules.  No policy can lower a rule that guards people and
 * pads.
 */
#include "model/load_parts.h"
#include "text/near.h"

const char *model_guess_rule(const char *text, size_t length)
{
    struct text_near near = text_near_start(text, length);
    for (int i = RULE_NONE + 1; i < RULE_COUNT; i++) {
        text_near_try(&near, rule_row((enum rule_id)i)->id);
    }
    return text_near_best(&near);
}

static void report_unknown_rule(struct model_loader *loader, const struct text_node *key)
{
    struct finding *finding = finding_add(loader->findings, RULE_UNKNOWN_KEY, key->at,
                                          "there is no rule %.*s", text_shown(key), key->text);
    const char *guess = model_guess_rule(key->text, key->length);
    if (guess) {
        finding_guess(loader->findings, finding, guess);
    }
}

/* A rule that guards people and pads keeps its severity; false if the policy would lower it. */
static bool may_weigh(struct model_loader *loader, const struct text_node *item, enum rule_id rule,
                      enum severity severity)
{
    const struct rule_row *row = rule_row(rule);
    if (!rule_is_locked(rule) || severity >= row->severity) {
        return true;
    }
    struct finding *finding =
        finding_add(loader->findings, RULE_OUT_OF_RANGE, item->at, "%s cannot be less than %s",
                    row->id, severity_name(row->severity));
    finding_consequence(loader->findings, finding, "%s", row->why);
    finding_remedy(loader->findings, finding, "Delete this line.");
    return false;
}

/* One line; `seen` holds the first line of each rule. */
static void read_severity(struct model_loader *loader, const struct text_node *item,
                          const struct text_node **seen, struct model_list *list)
{
    const struct model_field field = {.key = item->key->text,
                                      .type = MODEL_WORD,
                                      .words = model_severity_words,
                                      .meaning = "the severity of a finding"};
    struct model_code severity = {.value = 0};
    enum rule_id rule = rule_find(item->key->text, item->key->length);
    if (rule == RULE_NONE) {
        report_unknown_rule(loader, item->key);
        return;
    }
    if (seen[rule]) {
        struct finding *finding = finding_add(loader->findings, RULE_DUPLICATE_KEY, item->key->at,
                                              "the key %s is written twice", item->key->text);
        finding_note(loader->findings, finding, seen[rule]->key->at, "the first one");
        return;
    }
    seen[rule] = item;
    if (model_read_word(loader, &field, item, &severity) &&
        may_weigh(loader, item, rule, (enum severity)severity.value)) {
        struct model_severity *entry = MODEL_ITEM(*list, struct model_severity, list->count++);
        entry->at = model_at_node(item);
        entry->rule = rule;
        entry->severity = (enum severity)severity.value;
    }
}

bool model_read_severities(struct model_loader *loader, const struct model_field *field,
                           const struct text_node *node, void *out)
{
    struct model_list *list = out;
    const struct text_node *seen[RULE_COUNT] = {NULL};
    if (node->refused) {
        return false;
    }
    if (node->kind != TEXT_MAP) {
        finding_add(loader->findings, RULE_WRONG_SHAPE, node->at,
                    "%s takes rule ids, each with error, warning, note or off", field->key);
        return false;
    }
    list->items = arena_array(loader->arena, node->count, sizeof(struct model_severity));
    for (const struct text_node *item = node->first; item; item = item->next) {
        if (!item->key->refused) {
            read_severity(loader, item, seen, list);
        }
    }
    return true;
}
