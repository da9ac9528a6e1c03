#include "report/table_differ.h"

#include "report/clean.h"
#include "report/table_rows.h"
#include "table/words.h"

#include <string.h>

struct differing {
    report_difference_visit *visit;
    void *context;
    size_t count;
};

static void tell(struct differing *differing, struct report_difference difference)
{
    differing->count++;
    differing->visit(differing->context, &difference);
}

/* The row of that place and field, looked for first where it stands on the other side. */
static const struct report_row *find(const struct report_rows *rows, size_t likely,
                                     const char *place, const char *field)
{
    for (size_t i = 0; i < rows->count; i++) {
        const struct report_row *row = &rows->items[(likely + i) % rows->count];
        if (strcmp(row->place, place) == 0 && (!field || strcmp(row->field, field) == 0)) {
            return row;
        }
    }
    return NULL;
}

static void differ_rows(struct differing *differing, const char *engine,
                        const struct report_rows *left, const struct report_rows *right)
{
    const char *before = NULL;
    for (size_t i = 0; i < left->count; i++) {
        const struct report_row *row = &left->items[i];
        const struct report_row *other = find(right, i, row->place, row->field);
        if (other && strcmp(row->value, other->value) != 0) {
            tell(differing, (struct report_difference){engine, row->place, row->field, row->value,
                                                       other->value});
        } else if (!other && row->place != before) {
            tell(differing, (struct report_difference){engine, row->place, NULL, "there", NULL});
        }
        before = row->place;
    }
    before = NULL;
    for (size_t i = 0; i < right->count; i++) {
        const struct report_row *row = &right->items[i];
        if (row->place != before && !find(left, i, row->place, NULL)) {
            tell(differing, (struct report_difference){engine, row->place, NULL, NULL, "there"});
        }
        before = row->place;
    }
}

static const char *designations(const struct rotor_table *table, const struct table_names *names,
                                uint32_t engine, struct arena *arena)
{
    const char *text = "";
    for (uint32_t i = names->first[engine]; i != ROTOR_NONE; i = names->next[i]) {
        struct rotor_name name;
        rotor_get_name(table, i, &name);
        text =
            arena_printf(arena, "%s%s%s", text, *text ? ", " : "", report_clean(arena, name.text));
    }
    return text;
}

/* The engine with that id in another table, or ROTOR_NONE. */
static uint32_t counterpart(const struct rotor_table *table, const char *id)
{
    struct rotor_engine engine;
    uint32_t index = rotor_find_engine(table, id);
    return rotor_get_engine(table, index, &engine) && strcmp(engine.id, id) == 0 ? index
                                                                                 : ROTOR_NONE;
}

static void differ_devices(struct differing *differing, const struct rotor_table *left,
                           const struct rotor_table *right)
{
    struct arena arena = {.newest = NULL};
    struct report_rows left_rows = report_device_rows(left, &arena);
    struct report_rows right_rows = report_device_rows(right, &arena);
    differ_rows(differing, NULL, &left_rows, &right_rows);
    arena_free(&arena);
}

size_t report_table_differ(const struct rotor_table *left, const struct rotor_table *right,
                           report_difference_visit *visit, void *context)
{
    struct differing differing = {visit, context, 0};
    struct arena arena = {.newest = NULL};
    struct table_names left_names = table_names(&arena, left);
    struct table_names right_names = table_names(&arena, right);
    struct rotor_engine engine;
    differ_devices(&differing, left, right);
    for (uint32_t i = 0; rotor_get_engine(left, i, &engine); i++) {
        struct arena own = {.newest = NULL};
        const char *id = report_clean(&own, engine.id);
        uint32_t other = counterpart(right, engine.id);
        if (other == ROTOR_NONE) {
            tell(&differing, (struct report_difference){id, "", NULL, "there", NULL});
        } else {
            struct report_rows left_rows =
                report_engine_rows(left, i, designations(left, &left_names, i, &own), &own);
            struct report_rows right_rows = report_engine_rows(
                right, other, designations(right, &right_names, other, &own), &own);
            differ_rows(&differing, id, &left_rows, &right_rows);
        }
        arena_free(&own);
    }
    for (uint32_t i = 0; rotor_get_engine(right, i, &engine); i++) {
        if (counterpart(left, engine.id) == ROTOR_NONE) {
            tell(&differing, (struct report_difference){report_clean(&arena, engine.id), "", NULL,
                                                        NULL, "there"});
        }
    }
    arena_free(&arena);
    return differing.count;
}
