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
    }
}

struct finding *finding_add(struct findings *list, enum rule_id rule, struct span at,
                            const char *format, ...)
{
    if (list->most != 0 && list->count >= list->most) {
        list->more[rule_row(rule)->severity]++;
        return list->beyond;
    }
    struct finding *finding = arena_alloc(list->arena, sizeof *finding);
    finding->rule = rule;
    finding->severity = rule_row(rule)->severity;
    finding->at = at;
    finding->notes_end = &finding->notes;
    finding->numbers_end = &finding->numbers;
    finding->instead_end = &finding->instead;
    va_list arguments;
    va_start(arguments, format);
    finding->message = arena_vprintf(list->arena, format, arguments);
    va_end(arguments);

    list->items = arena_grow(list->arena, list->items, list->count, &list->capacity,
                             sizeof(struct finding *));
    list->items[list->count++] = finding;
    return finding;
}

void finding_note(struct findings *list, struct finding *finding, struct span at,
                  const char *format, ...)
{
    if (finding == list->beyond) {
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
    if (finding == list->beyond) {
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
    if (finding == list->beyond) {
        return;
    }
    struct finding_instead *instead = arena_alloc(list->arena, sizeof *instead);
    instead->text = arena_copy(list->arena, text, strlen(text));
    *finding->instead_end = instead;
    finding->instead_end = &instead->next;
}

void finding_guess(struct findings *list, struct finding *finding, const char *word)
{
    finding_mend(list, finding, "Did you mean %s?", word);
    finding_instead(list, finding, word);
}

void finding_consequence(struct findings *list, struct finding *finding, const char *format, ...)
{
    if (finding == list->beyond) {
        return;
    }
    va_list arguments;
    va_start(arguments, format);
    finding->consequence = arena_vprintf(list->arena, format, arguments);
    va_end(arguments);
}

void finding_mend(struct findings *list, struct finding *finding, const char *format, ...)
{
    if (finding == list->beyond) {
        return;
    }
    va_list arguments;
    va_start(arguments, format);
    finding->mend = arena_vprintf(list->arena, format, arguments);
    va_end(arguments);
}

size_t findings_with(const struct findings *list, enum severity severity)
{
    size_t count = list->more[severity];
    for (size_t i = 0; i < list->count; i++) {
        count += list->items[i]->severity == severity;
    }
    return count;
}
