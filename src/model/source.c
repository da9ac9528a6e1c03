/*
 * source.c - a file, from its bytes to the model of its kind.
 */
#include "model/load.h"

#include "model/load_parts.h"
#include "text/near.h"

#include <string.h>

const struct model_kind_row model_kinds[MODEL_KINDS] = {
    [MODEL_ENGINE_KIND] = {"engine-definition", ".engine", &model_engine_record},
    [MODEL_DEVICE_KIND] = {"device-profile", ".device", &model_device_record},
    [MODEL_POLICY_KIND] = {"policy", ".policy", &model_policy_record},
};

bool model_kind_is_claimed(const struct text_file *file)
{
    const char *text = file->bytes;
    const char *end = text ? text + file->length : NULL;
    while (text < end) {
        const char *line_end = memchr(text, '\n', (size_t)(end - text));
        size_t length = line_end ? (size_t)(line_end - text) : (size_t)(end - text);
        size_t skip = 0;
        while (skip < length && strchr("\xef\xbb\xbf {\"'\t\r", text[skip])) {
            skip++;
        }
        bool empty = skip == length || text[skip] == '#' || strncmp(text, "---", 3) == 0;
        for (int kind = 0; !empty && kind < MODEL_KINDS; kind++) {
            size_t key = strlen(model_kinds[kind].key);
            if (length - skip >= key && memcmp(text + skip, model_kinds[kind].key, key) == 0) {
                return true;
            }
        }
        if (!empty) {
            return false;
        }
        text += length + 1;
    }
    return false;
}

static enum model_kind kind_of(const struct text_node *root)
{
    if (!root || root->kind != TEXT_MAP || !root->first) {
        return MODEL_KINDS;
    }
    for (int kind = 0; kind < MODEL_KINDS; kind++) {
        if (strcmp(root->first->key->text, model_kinds[kind].key) == 0) {
            return (enum model_kind)kind;
        }
    }
    return MODEL_KINDS;
}

static void report_kind(const struct text_node *root, const struct text_file *file,
                        struct findings *findings)
{
    if (!root) {
        if (findings->count == 0 || findings->items[findings->count - 1]->at.file != file) {
            finding_add(findings, RULE_UNKNOWN_KIND, text_file_span(file), "the file is empty");
        }
        return;
    }
    if (root->refused) {
        return;
    }
    if (root->kind != TEXT_MAP || !root->first) {
        finding_add(findings, RULE_UNKNOWN_KIND, root->at, "this is no map of keys and values");
        return;
    }
    const struct text_node *key = root->first->key;
    if (key->refused) {
        return;
    }
    struct text_near near = text_near_start(key->text, key->length);
    for (int kind = 0; kind < MODEL_KINDS; kind++) {
        text_near_try(&near, model_kinds[kind].key);
    }
    struct finding *finding = finding_add(findings, RULE_UNKNOWN_KIND, key->at,
                                          "the first key is %.*s", text_shown(key), key->text);
    if (text_near_best(&near)) {
        finding_guess(findings, finding, text_near_best(&near));
    }
}

/* What a slip in a policy leads to, where nothing more was said: the rules speak of definitions. */
static void word_for_policy(struct findings *findings, size_t from)
{
    for (size_t i = from; i < findings->count; i++) {
        if (!findings->items[i]->consequence) {
            finding_consequence(findings, findings->items[i],
                                "What the policy was meant to say here does not hold.");
        }
    }
}

static void parse(struct model_source *out, struct arena *arena, struct findings *findings)
{
    const struct text_node *root = text_tree_read(&out->file, arena, findings);
    out->kind = kind_of(root);
    if (out->kind == MODEL_KINDS) {
        report_kind(root, &out->file, findings);
        return;
    }
    struct model_loader loader = {arena, findings};
    const struct model_record *record = model_kinds[out->kind].record;
    void *model = arena_alloc(arena, record->size);
    size_t before = findings->count;
    (void)model_load_record(&loader, record, root, model);
    for (size_t i = before; i < findings->count; i++) {
        if (findings->items[i]->rule == RULE_UNKNOWN_VERSION) {
            /* Whatever else was said of the file is said of another format. */
            findings->items[before] = findings->items[i];
            findings->count = before + 1;
            return;
        }
    }
    out->read = true;
    switch (out->kind) {
    case MODEL_ENGINE_KIND:
        out->engine = model;
        model_engine_link(out->engine, findings);
        break;
    case MODEL_DEVICE_KIND:
        out->device = model;
        model_device_check_order(out->device, findings);
        break;
    case MODEL_POLICY_KIND:
        out->policy = model;
        model_policy_check_order(out->policy, findings);
        word_for_policy(findings, before);
        break;
    case MODEL_KINDS: break;
    }
}

void model_source_parse(struct model_source *out, struct arena *arena, struct findings *findings)
{
    findings_bound(findings, MODEL_FINDINGS_MOST);
    parse(out, arena, findings);
    findings_bound(findings, 0);
}

bool model_source_load(struct model_source *out, const char *path, struct arena *arena,
                       struct findings *findings)
{
    *out = (struct model_source){.kind = MODEL_KINDS};
    enum text_load loaded = text_file_load(&out->file, path, arena, findings);
    if (loaded == TEXT_LOADED) {
        model_source_parse(out, arena, findings);
    }
    return loaded != TEXT_UNREADABLE;
}
