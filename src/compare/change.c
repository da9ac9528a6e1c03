#include "compare/change.h"

#include <stdarg.h>
#include <string.h>

const char *compare_class_name(enum compare_class class)
{
    static const char *const names[] = {"none", "text", "limits", "stops"};
    return names[class];
}

const char *compare_subject_name(enum compare_subject subject)
{
    static const char *const names[] = {"table", "engine", "spool", "stage", "pad"};
    return names[subject];
}

struct compare_change *compare_say(struct compare_changes *changes, enum compare_class class,
                                   struct compare_about about, const char *before,
                                   const char *after, const char *format, ...)
{
    va_list arguments;
    changes->items = arena_grow(changes->arena, changes->items, changes->count, &changes->capacity,
                                sizeof *changes->items);
    struct compare_change *change = &changes->items[changes->count++];
    *change = (struct compare_change){
        .class = class, .about = about, .before = before, .after = after, .degrees = {0, 1}};
    va_start(arguments, format);
    change->sentence = arena_vprintf(changes->arena, format, arguments);
    va_end(arguments);
    changes->worst = class > changes->worst ? class : changes->worst;
    return change;
}

void compare_moves(struct compare_change *change, struct exact_rational degrees, bool each_turn)
{
    change->moves = true;
    change->degrees = degrees;
    change->each_turn = each_turn;
}

static bool is_number(const struct compare_about *about)
{
    return about->subject != COMPARE_OF_ENGINE ||
           (strcmp(about->field, "status") != 0 && strcmp(about->field, "id") != 0);
}

enum compare_class compare_worst_number(const struct compare_changes *changes)
{
    enum compare_class worst = COMPARE_SAME;
    for (size_t i = 0; i < changes->count; i++) {
        const struct compare_change *change = &changes->items[i];
        if (change->class > worst && is_number(&change->about)) {
            worst = change->class;
        }
    }
    return worst;
}

/* Insertion: stable, and an engine has few changes. */
void compare_sort(struct compare_changes *changes)
{
    for (size_t i = 1; i < changes->count; i++) {
        struct compare_change moved = changes->items[i];
        size_t to = i;
        while (to > 0 && changes->items[to - 1].class < moved.class) {
            changes->items[to] = changes->items[to - 1];
            to--;
        }
        changes->items[to] = moved;
    }
}
