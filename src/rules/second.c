/*
 * second.c - what follows from one value that the second reader read differently.
 *
 * A wrong value of a definition can break several rules, and the second reader finds it as well.
 * So each value that disagrees is tried: the rules judge a copy of the definition with what the
 * second reader read.  A finding that is gone then follows from that value, and becomes a note.
 * The second reader can be wrong too.  Where the copy has a finding that the definition does not
 * have, nothing is joined.  So a second mistake keeps its finding.
 */
#include "rules/functions.h"

#include "text/file.h"

#include <string.h>

/* ---- a copy with the second reader's value -----------------------------------------------------
 */

/* The row of the part's key that the value is in or below. */
static const struct model_field *top_of(const struct model_record *record, const char *key)
{
    const size_t length = strcspn(key, ".[");
    const struct model_field *field = record->fields;
    while (field->key && (strlen(field->key) != length || strncmp(field->key, key, length) != 0)) {
        field++;
    }
    return field->key ? field : NULL;
}

/* Ports as the second reader has them, in the order of the definition. */
static void read_ports(const struct rules_judging *judging, struct model_list *ports,
                       const struct model_stage *second)
{
    struct model_port *copy = arena_array(judging->arena, ports->count + 1, sizeof *copy);
    for (size_t i = 0; i < ports->count; i++) {
        copy[i] = MODEL_ITEM(*ports, struct model_port, i)[0];
        size_t at = copy[i].id.at.state == MODEL_GIVEN ? model_port_named(second, copy[i].id.text)
                                                       : SIZE_MAX;
        if (at != SIZE_MAX) {
            copy[i].clock = MODEL_ITEM(second->ports, struct model_port, at)->clock;
        }
    }
    ports->items = copy;
}

/* The known blades with one number of the second reader; their marks are the definition's. */
static bool read_known_blade(const struct rules_judging *judging, struct model_list *known,
                             const struct model_reading *reading)
{
    struct model_known_blade *copy = arena_array(judging->arena, known->count + 1, sizeof *copy);
    bool found = false;
    for (size_t i = 0; i < known->count; i++) {
        const struct model_known_blade *blade = MODEL_ITEM(*known, struct model_known_blade, i);
        copy[i] = *blade;
        if (&blade->blade.at == reading->first) {
            copy[i].blade = *(const struct model_integer *)(const void *)reading->second;
            found = true;
        }
    }
    known->items = copy;
    return found;
}

/* The id of a reference that the second reader read, and the index of what it names. */
static bool read_reference(const struct rules_judging *judging, const struct model_field *field,
                           char *part, const struct model_text *second)
{
    const struct model_engine *engine = judging->derived.engine;
    memcpy(part + field->offset, second, sizeof *second);
    for (size_t i = 0; i < model_listed_count(engine, field->refers); i++) {
        const struct model_text *known = model_listed_id(engine, field->refers, i);
        if (known->text && strcmp(known->text, second->text) == 0) {
            memcpy(part + field->index, &i, sizeof i);
            return true;
        }
    }
    return false;
}

/* Puts what the second reader read for one key into a copy of the part; false: it cannot be. */
static bool read_key(const struct rules_judging *judging, const struct model_field *field,
                     char *part, const struct model_reading *reading)
{
    char *to = part + field->offset;
    const char *second = (const void *)reading->part_again;
    const char *from = second + field->offset;
    if (((const struct model_at *)(const void *)from)->state != MODEL_GIVEN) {
        return false;
    }
    switch (field->type) {
    case MODEL_INTEGER: memcpy(to, from, sizeof(struct model_integer)); return true;
    case MODEL_QUANTITY:
    case MODEL_INTERVAL: memcpy(to, from, sizeof(struct model_quantity)); return true;
    case MODEL_WORD: memcpy(to, from, sizeof(struct model_code)); return true;
    case MODEL_RECORD: memcpy(to, from, field->record->size); return true;
    case MODEL_PATH: memcpy(to, from, sizeof(struct model_list)); return true;
    case MODEL_ONE_OR_MORE: /* only a stage has such a key, and the next one */
        read_ports(judging, (void *)to, (const void *)second);
        return true;
    case MODEL_RECORDS: return read_known_blade(judging, (void *)to, reading);
    case MODEL_ID: return read_reference(judging, field, part, (const void *)from);
    default: return false;
    }
}

bool rules_read_again(const struct rules_judging *judging, struct model_engine *copy,
                      const struct model_reading *reading)
{
    const struct model_field *top = top_of(model_listed_field(reading->list)->record, reading->key);
    const struct model_engine as_it_was = *copy;
    if (!top || !reading->part_again || reading->index == SIZE_MAX ||
        !read_key(judging, top, rules_copy_part(judging, copy, reading->list, reading->index),
                  reading)) {
        *copy = as_it_was;
        return false;
    }
    return true;
}

/* ---- the findings of the copy ------------------------------------------------------------------
 */

static bool same_id(const char *a, const char *b)
{
    return a == b || (a && b && strcmp(a, b) == 0);
}

/* Whether the findings of one rule are at one value; in the copy it can be the second reader's. */
static bool is_same(const struct rules_judging *judging, const struct finding *finding,
                    const struct finding *tried)
{
    return finding->rule == tried->rule && same_id(finding->pad, tried->pad) &&
           same_id(finding->stage, tried->stage) &&
           (tried->at.file != judging->file ||
            (finding->at.line == tried->at.line && finding->at.column == tried->at.column));
}

static bool has_finding(const struct rules_judging *judging, const struct findings *tried,
                        const struct finding *finding)
{
    for (size_t i = 0; i < tried->count; i++) {
        if (is_same(judging, finding, tried->items[i])) {
            return true;
        }
    }
    return false;
}

/* Whether a rule is about the second reading: it compares, or is asked where the readings agree. */
static bool is_of_readings(enum rule_id rule)
{
    const enum rule_id *needs = rule_row(rule)->needs;
    bool asked_after = false;
    for (size_t i = 0; i < RULE_NEEDS && needs[i] != RULE_NONE; i++) {
        asked_after = asked_after || needs[i] == RULE_CROSS_CHECK_DISAGREES;
    }
    return asked_after || rule == RULE_CROSS_CHECK_DISAGREES;
}

/* Whether it can follow from a value that was read differently. */
static bool can_follow(const struct finding *finding)
{
    return finding_counts_as(finding) >= SEVERITY_WARNING && rules_function_of(finding->rule) &&
           !is_of_readings(finding->rule);
}

/* A definition with more values that disagree is read anew, and needs no cause of each finding. */
enum { TRIALS_MOST = 64 };

struct trying {
    struct rules_judging *judging;
    size_t before;
    struct finding *const *known; /* the definition's own findings, also those that are joined */
    size_t known_count;
    size_t trials;             /* so far */
    struct model_reading last; /* that disagrees */
    struct finding *last_finding;
};

/* Whether a finding of the copy is one that the definition has as well. */
static bool is_known(const struct trying *trying, const struct finding *tried)
{
    for (size_t i = 0; i < trying->known_count; i++) {
        if (is_same(trying->judging, trying->known[i], tried)) {
            return true;
        }
    }
    return false;
}

/* Judges the copy; false where the second reader's value brings another finding. */
static bool judge_copy(const struct trying *trying, const struct model_engine *copy,
                       struct findings *tried)
{
    struct rules_judging other = *trying->judging;
    findings_start(tried, other.arena);
    tried->unread = true;
    other.findings = tried;
    other.derived.engine = copy;
    rules_judge_values(&other);
    for (size_t i = 0; i < tried->count; i++) {
        if (can_follow(tried->items[i]) && !is_known(trying, tried->items[i])) {
            return false;
        }
    }
    return true;
}

/* The finding of a reading that disagrees, or NULL. */
static struct finding *finding_of(const struct trying *trying, const struct model_reading *reading)
{
    const struct findings *list = trying->judging->findings;
    const struct span *at = &reading->first->span;
    for (size_t i = trying->before; i < list->count; i++) {
        struct finding *finding = list->items[i];
        if (finding->rule == RULE_CROSS_CHECK_DISAGREES && finding->at.file == at->file &&
            finding->at.line == at->line && finding->at.column == at->column) {
            return finding;
        }
    }
    return NULL;
}

static bool has_candidate(const struct trying *trying)
{
    const struct findings *list = trying->judging->findings;
    for (size_t i = trying->before; i < list->count; i++) {
        if (can_follow(list->items[i])) {
            return true;
        }
    }
    return false;
}

/* Joins what is gone in the copy to the finding of the value. */
static void join(const struct trying *trying, struct finding *taker, const struct findings *tried)
{
    struct findings *list = trying->judging->findings;
    const size_t count = list->count;
    size_t kept = trying->before;
    for (size_t i = trying->before; i < list->count; i++) {
        struct finding *finding = list->items[i];
        if (can_follow(finding) && finding->severity <= taker->severity &&
            !has_finding(trying->judging, tried, finding)) {
            rules_take(list, taker, finding);
        } else {
            list->items[kept++] = finding;
        }
    }
    list->count = kept;
    if (kept != count && !taker->remedy) {
        finding_remedy(list, taker,
                       "With the second reader's value, the rest agrees. Look at the source again: "
                       "the definition is probably wrong.");
    }
}

static void try_reading(struct trying *trying, const struct model_reading *reading,
                        struct finding *taker)
{
    if (trying->trials == TRIALS_MOST || !has_candidate(trying)) {
        return;
    }
    trying->trials++;
    struct model_engine *copy = rules_copy(trying->judging);
    struct findings tried;
    if (rules_read_again(trying->judging, copy, reading) && judge_copy(trying, copy, &tried)) {
        join(trying, taker, &tried);
    }
}

/* ---- two values of one mesh that are exchanged -------------------------------------------------
 */

/* The length of what comes before the key of a value in its mesh: "path[2].bevel.teeth[". */
static size_t mesh_length(const char *key)
{
    size_t length = strlen(key);
    while (length != 0 && key[length - 1] != '.' && key[length - 1] != '[') {
        length--;
    }
    return length;
}

static bool is_written_alike(struct arena *arena, const struct model_at *a,
                             const struct model_at *b)
{
    return strcmp(text_file_at(arena, a->span, true), text_file_at(arena, b->span, true)) == 0;
}

static bool is_exchanged(struct arena *arena, const struct model_reading *a,
                         const struct model_reading *b)
{
    const size_t length = mesh_length(b->key);
    return a->agreement == MODEL_DISAGREES && b->agreement == MODEL_DISAGREES &&
           a->part == b->part && strstr(b->key, "path[") && length == mesh_length(a->key) &&
           strncmp(a->key, b->key, length) == 0 && is_written_alike(arena, a->first, b->second) &&
           is_written_alike(arena, b->first, a->second);
}

/* Makes one finding of the last reading and this one. */
static void join_exchanged(const struct trying *trying, const struct model_reading *reading,
                           const struct finding *finding)
{
    struct findings *list = trying->judging->findings;
    struct arena *arena = trying->judging->arena;
    const struct model_reading *last = &trying->last;
    const char *tail = strrchr(reading->key, '.');
    size_t kept = trying->before;
    trying->last_finding->message = arena_printf(
        arena, "%s %s has %s: %s and %s: %s, but the second reader read them exchanged",
        model_listed_name(last->list), last->id->text ? last->id->text : "without an id", last->key,
        text_file_at(arena, last->first->span, true), tail ? tail + 1 : reading->key,
        text_file_at(arena, reading->first->span, true));
    finding_note(list, trying->last_finding, reading->first->span, "the other one of the two");
    finding_note(list, trying->last_finding, reading->second->span, "its second reading");
    for (size_t i = trying->before; i < list->count; i++) {
        if (list->items[i] != finding) {
            list->items[kept++] = list->items[i];
        }
    }
    list->count = kept;
}

static void look_at(void *context, const struct model_reading *reading)
{
    struct trying *trying = context;
    if ((reading->agreement != MODEL_DISAGREES && reading->agreement != MODEL_READ_ANEW) ||
        !reading->field) {
        return;
    }
    struct finding *finding = finding_of(trying, reading);
    if (!finding) {
        return;
    }
    if (trying->last_finding && is_exchanged(trying->judging->arena, &trying->last, reading)) {
        join_exchanged(trying, reading, finding);
        trying->last_finding = NULL;
        return;
    }
    try_reading(trying, reading, finding);
    trying->last = *reading;
    trying->last_finding = finding;
}

void rules_join_second_reading(struct rules_judging *judging, size_t before)
{
    const struct findings *list = judging->findings;
    const struct model_cross_check *second = rules_second_reading(judging);
    /* Who reads no finding counts which rules find a mistake, and whether one is enough. */
    if (second && judging->definition_failed[RULE_CROSS_CHECK_DISAGREES] && !list->unread) {
        const size_t count = list->count - before;
        struct finding **known = arena_array(judging->arena, count + 1, sizeof *known);
        memcpy(known, list->items + before, count * sizeof(struct finding *));
        struct trying trying = {
            .judging = judging, .before = before, .known = known, .known_count = count};
        model_each_reading(judging->derived.engine, second, judging->arena, look_at, &trying);
    }
}
