#include "base/finding.h"

#include <string.h>

void findings_start(struct findings *list, struct arena *arena)
{
    *list = (struct findings){.arena = arena};
}

void findings_bound(struct findings *list, size_t most)
{
    list->most = most == 0 ? 0 : list->count + most;
    if (!list->beyond) {
        list->beyond = arena_alloc(list->arena, sizeof *list->beyond);
        list->beyond->wordless = true;
    }
}

/*
 * The one place that decides what a finding weighs.  A policy does not take weight from a locked
 * rule.  If a special case weighs less than the rule, a policy may only make it lighter. If it
 * weighs more, no policy changes it.
 */
static void decide(struct finding *finding)
{
    const struct rule_row *row = rule_row(finding->rule);
    enum severity weight = finding->policy;
    if (rule_is_locked(finding->rule) && weight < row->severity) {
        weight = row->severity;
    }
    if (finding->special && (row->special > row->severity || row->special < weight)) {
        weight = row->special;
    }
    if (finding->strict && weight == SEVERITY_WARNING) {
        weight = SEVERITY_ERROR;
    }
    finding->severity = finding->left_out ? SEVERITY_OFF : weight;
}

/* Findings that nobody reads are counted only.  To word a note for each stage takes a third of the
 * time of compiling. */
static bool is_unread(const struct findings *list, const struct finding *finding)
{
    return list->unread || (list->notes_unread && finding->severity == SEVERITY_NOTE &&
                            rule_row(finding->rule)->setting != ON_COMPILE);
}

static struct finding *add(struct findings *list, enum rule_id rule, bool special, struct span at,
                           const char *format, va_list arguments)
    __attribute__((format(printf, 5, 0)));

static struct finding *add(struct findings *list, enum rule_id rule, bool special, struct span at,
                           const char *format, va_list arguments)
{
    struct finding weighed = {.rule = rule, .special = special};
    weighed.policy = list->policy ? list->policy[rule] : rule_row(rule)->severity;
    decide(&weighed);
    if (list->most != 0 && list->count >= list->most) {
        list->more[weighed.severity]++;
        return list->beyond;
    }
    struct finding *finding = arena_alloc(list->arena, sizeof *finding);
    *finding = weighed;
    finding->wordless = is_unread(list, finding);
    finding->at = at;
    finding->notes_end = &finding->notes;
    finding->numbers_end = &finding->numbers;
    finding->instead_end = &finding->instead;
    finding->message = finding->wordless ? "" : arena_vprintf(list->arena, format, arguments);
    list->items = arena_grow(list->arena, list->items, list->count, &list->capacity,
                             sizeof(struct finding *));
    list->items[list->count++] = finding;
    return finding;
}

struct finding *finding_add(struct findings *list, enum rule_id rule, struct span at,
                            const char *format, ...)
{
    va_list arguments;
    va_start(arguments, format);
    struct finding *finding = add(list, rule, false, at, format, arguments);
    va_end(arguments);
    return finding;
}

struct finding *finding_add_case(struct findings *list, enum rule_id rule, bool special,
                                 struct span at, const char *format, ...)
{
    va_list arguments;
    va_start(arguments, format);
    struct finding *finding = add(list, rule, special, at, format, arguments);
    va_end(arguments);
    return finding;
}

void finding_be_strict(struct finding *finding)
{
    finding->strict = true;
    decide(finding);
}

void finding_leave_out(struct finding *finding)
{
    finding->left_out = true;
    decide(finding);
}

enum severity finding_counts_as(const struct finding *finding)
{
    return finding->waived ? SEVERITY_OFF : finding->severity;
}

void finding_note(struct findings *list, struct finding *finding, struct span at,
                  const char *format, ...)
{
    if (finding->wordless) {
        return;
    }
    struct finding_note *note = arena_alloc(list->arena, sizeof *note);
    note->at = at;
    va_list arguments;
    va_start(arguments, format);
    note->text = arena_vprintf(list->arena, format, arguments);
    va_end(arguments);
    *finding->notes_end = note;
    finding->notes_end = &note->next;
}

void finding_number(struct findings *list, struct finding *finding, const char *name,
                    const char *text)
{
    if (finding->wordless) {
        return;
    }
    struct finding_number *number = arena_alloc(list->arena, sizeof *number);
    number->name = name;
    number->text = arena_copy(list->arena, text, strlen(text));
    *finding->numbers_end = number;
    finding->numbers_end = &number->next;
}

void finding_instead(struct findings *list, struct finding *finding, const char *text)
{
    if (finding->wordless) {
        return;
    }
    struct finding_instead *instead = arena_alloc(list->arena, sizeof *instead);
    instead->text = arena_copy(list->arena, text, strlen(text));
    *finding->instead_end = instead;
    finding->instead_end = &instead->next;
}

void finding_guess(struct findings *list, struct finding *finding, const char *word)
{
    finding_remedy(list, finding, "Did you mean %s?", word);
    finding_instead(list, finding, word);
}

void finding_consequence(struct findings *list, struct finding *finding, const char *format, ...)
{
    if (finding->wordless) {
        return;
    }
    va_list arguments;
    va_start(arguments, format);
    finding->consequence = arena_vprintf(list->arena, format, arguments);
    va_end(arguments);
}

void finding_remedy(struct findings *list, struct finding *finding, const char *format, ...)
{
    if (finding->wordless) {
        return;
    }
    va_list arguments;
    va_start(arguments, format);
    finding->remedy = arena_vprintf(list->arena, format, arguments);
    va_end(arguments);
}

const struct finding *findings_first_error(const struct findings *list, size_t *more)
{
    const struct finding *first = NULL;
    size_t errors = 0;
    for (size_t i = 0; i < list->count; i++) {
        if (finding_counts_as(list->items[i]) == SEVERITY_ERROR) {
            first = first ? first : list->items[i];
            errors++;
        }
    }
    if (more) {
        *more = errors - (first != NULL);
    }
    return first;
}

size_t findings_with(const struct findings *list, enum severity severity)
{
    size_t count = list->more[severity];
    for (size_t i = 0; i < list->count; i++) {
        count += list->items[i]->severity == severity;
    }
    return count;
}
