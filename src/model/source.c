/*
 * source.c - a file, from its bytes to the model of its kind.
 *
 * When its values are read, each range is checked: its least value must not be above its greatest.
 */
#include "model/load.h"

#include "model/load_parts.h"
#include "model/on_device.h"
#include "text/blank.h"
#include "text/near.h"

#include <string.h>

/* The finding where there is one, else NULL. */
static struct finding *check_order(struct findings *findings, const struct model_quantity *least,
                                   const struct model_quantity *most, const char *what)
{
    struct finding *finding = NULL;
    if (least->at.state != MODEL_GIVEN || most->at.state != MODEL_GIVEN) {
        return NULL;
    }
    if (exact_measure_compare(model_measure(least), model_measure(most)) > 0) {
        finding = finding_add(findings, RULE_OUT_OF_RANGE, least->at.span, "%s is above max", what);
        finding_note(findings, finding, most->at.span, "max");
    }
    return finding;
}

/*
 * A device is set to whole multiples of its resolution, so one has to lie from min to max.  Steps
 * that do not fit 64 bits are found where a table is to hold them.
 */
static void check_steps(struct findings *findings, const struct model_span *span, const char *what)
{
    const struct exact_measure step = model_measure(&span->resolution);
    int64_t least = 0;
    int64_t most = 0;
    if (!exact_measure_steps_up(model_measure(&span->min), step, &least) ||
        !exact_measure_steps_down(model_measure(&span->max), step, &most) || least <= most) {
        return;
    }
    struct finding *finding =
        finding_add(findings, RULE_OUT_OF_RANGE, span->resolution.at.span,
                    "no multiple of this resolution is in the range from min to max of %s", what);
    finding_note(findings, finding, span->min.at.span, "min");
    finding_note(findings, finding, span->max.at.span, "max");
    finding_consequence(findings, finding,
                        "The device could not be set to a %s in this range, so it could not keep "
                        "the limit of a pad.",
                        what);
    finding_remedy(findings, finding,
                   "Give the resolution from the manual of the device, or a min and a max that are "
                   "multiples of it.");
}

void model_device_check_order(const struct model_device *device, struct findings *findings)
{
    const struct model_span *spans[] = {&device->speed, &device->torque};
    static const char *const names[] = {"speed", "torque"};
    for (size_t i = 0; i < sizeof spans / sizeof *spans; i++) {
        bool above = check_order(findings, &spans[i]->min, &spans[i]->max, "min");
        bool coarse = check_order(findings, &spans[i]->resolution, &spans[i]->max, "resolution");
        if (model_span_is_read(spans[i]) && !above && !coarse) {
            check_steps(findings, spans[i], names[i]);
        }
    }
}

void model_policy_check_order(struct model_policy *policy, struct findings *findings)
{
    struct model_range *ranges[] = {&policy->limits.ratio_unusual, &policy->limits.teeth,
                                    &policy->limits.blades};
    for (size_t i = 0; i < sizeof ranges / sizeof *ranges; i++) {
        struct finding *finding = check_order(findings, &ranges[i]->min, &ranges[i]->max, "min");
        if (finding) {
            finding_consequence(
                findings, finding,
                "Every definition would get a finding that its numbers are unusual.");
            finding_remedy(findings, finding, "Write the lower number at min.");
            ranges[i]->min.at.state = MODEL_BROKEN; /* the limits that the program brings hold */
            ranges[i]->max.at.state = MODEL_BROKEN;
        }
    }
}

const struct model_kind_row model_kinds[MODEL_KINDS] = {
    [MODEL_ENGINE_KIND] = {"engine-definition", ".engine", &model_engine_record},
    [MODEL_CROSS_CHECK_KIND] = {"cross-check", ".cross-check", &model_cross_check_record},
    [MODEL_DEVICE_KIND] = {"device-profile", ".device", &model_device_record},
    [MODEL_POLICY_KIND] = {"policy", ".policy", &model_policy_record},
    [MODEL_REGISTER_KIND] = {"source-register", ".sources", &model_register_record},
};

static bool begins(const char *text, size_t length, const char *word)
{
    return length >= strlen(word) && memcmp(text, word, strlen(word)) == 0;
}

/* Bytes up to one of the characters, or all. */
static size_t bytes_until(const char *text, size_t length, const char *ends)
{
    size_t at = 0;
    while (at < length && !strchr(ends, text[at])) {
        at++;
    }
    return at;
}

/* Bytes before the first key of a file that are not part of one: blanks, comments, $schema. */
static size_t before_key(const char *text, size_t length)
{
    if (begins(text, length, "#") || begins(text, length, "---")) {
        return bytes_until(text, length, "\n");
    }
    if (begins(text, length, MODEL_SCHEMA_KEY)) {
        size_t colon = bytes_until(text, length, ":\n");
        return colon + bytes_until(text + colon, length - colon, ",\n");
    }
    return length != 0 && strchr("\xef\xbb\xbf {\"'\t\r\n,", text[0]) ? 1 : 0;
}

bool model_kind_is_claimed(const struct text_file *file)
{
    const char *text = file->bytes ? file->bytes : "";
    size_t length = file->bytes ? file->length : 0;
    for (size_t skip = before_key(text, length); skip != 0; skip = before_key(text, length)) {
        text += skip;
        length -= skip;
    }
    for (int kind = 0; kind < MODEL_KINDS; kind++) {
        if (begins(text, length, model_kinds[kind].key)) {
            return true;
        }
    }
    return false;
}

/* The entry that gives a file's kind: the first one, or the one after $schema. */
static const struct text_node *kind_entry(const struct text_node *root)
{
    bool schema = strcmp(root->first->key->text, MODEL_SCHEMA_KEY) == 0;
    return schema && root->first->next ? root->first->next : root->first;
}

static enum model_kind kind_of(const struct text_node *root)
{
    if (!root || root->kind != TEXT_MAP || !root->first) {
        return MODEL_KINDS;
    }
    const char *key = kind_entry(root)->key->text;
    for (int kind = 0; kind < MODEL_KINDS; kind++) {
        if (strcmp(key, model_kinds[kind].key) == 0) {
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
            finding_add(findings, RULE_UNKNOWN_KIND, text_file_span(file),
                        file->length == 0 ? "the file is empty" : "the file has no keys");
        }
        return;
    }
    if (root->refused) {
        return;
    }
    if (root->kind != TEXT_MAP || !root->first) {
        finding_add(findings, RULE_UNKNOWN_KIND, root->at, "%s",
                    root->kind == TEXT_MAP ? "the file has no keys"
                                           : "this is not a text of keys and values");
        return;
    }
    const struct text_node *key = kind_entry(root)->key;
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
    for (int kind = 0; kind < MODEL_KINDS && !text_near_best(&near); kind++) {
        if (strstr(file->path, model_kinds[kind].extension)) {
            finding_remedy(findings, finding, "Begin the file with %s: 1.", model_kinds[kind].key);
        }
    }
}

/*
 * What a slip in a policy or a register leads to, where nothing more was said: the rules speak of
 * definitions.
 */
static void word_for_other(struct findings *findings, size_t from, const char *kind)
{
    for (size_t i = from; i < findings->count; i++) {
        if (!findings->items[i]->consequence) {
            finding_consequence(findings, findings->items[i],
                                "The program cannot apply this part of the %s.", kind);
        }
    }
}

/*
 * The same for a second reading.  A blank in its form can only be deleted or filled in; the rules
 * speak of what a table needs.
 */
static void word_for_cross_check(struct findings *findings, size_t from)
{
    for (size_t i = from; i < findings->count; i++) {
        struct finding *finding = findings->items[i];
        bool blank = finding->rule == RULE_MISSING_KEY && finding->consequence;
        if (blank) {
            finding_remedy(findings, finding, "%s If you cannot find it, delete the key.",
                           finding->remedy);
        }
        if (blank || !finding->consequence) {
            finding_consequence(findings, finding, "%s",
                                blank ? "Nothing is compared with the value in the definition."
                                      : "This part of the second reading is not compared.");
        }
    }
}

/* `start` is the number of findings before the file was read. */
static void take(struct model_source *out, const struct text_node *root, size_t start,
                 struct arena *arena, struct findings *findings)
{
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
    case MODEL_CROSS_CHECK_KIND:
        out->cross_check = model;
        word_for_cross_check(findings, before);
        break;
    case MODEL_DEVICE_KIND:
        out->device = model;
        model_device_check_order(out->device, findings);
        break;
    case MODEL_POLICY_KIND:
        out->policy = model;
        model_policy_check_order(out->policy, findings);
        word_for_other(findings, before, "policy");
        break;
    case MODEL_REGISTER_KIND:
        out->registered = model;
        model_register_sort(out->registered, arena, findings);
        out->registered->whole = findings->count == start;
        word_for_other(findings, before, "source register");
        break;
    case MODEL_KINDS: break;
    }
}

void model_source_parse(struct model_source *out, struct arena *arena, struct findings *findings)
{
    const size_t start = findings->count;
    findings_bound(findings, MODEL_FINDINGS_MOST);
    take(out, text_tree_read(&out->file, arena, findings), start, arena, findings);
    text_note_false_blanks(findings, &out->file, start);
    findings_bound(findings, 0);
}

void model_source_take(struct model_source *out, const struct text_node *root, struct arena *arena,
                       struct findings *findings)
{
    findings_bound(findings, MODEL_FINDINGS_MOST);
    take(out, root, findings->count, arena, findings);
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
