/*
 * tree_table.c - the trees of a table's device and engines, made by walking their records.
 */
#include "compare/records.h"
#include "compare/tree.h"

#include "field/rotor_bytes.h"

#include <inttypes.h>
#include <string.h>

struct walking {
    struct arena *arena;
    const struct rotor_table *table;
    struct rotor_device device;
};

static uint64_t number64(const uint8_t *at)
{
    return rotor_u32(at) | (uint64_t)rotor_u32(at + 4) << 32;
}

static const char *number_text(const struct walking *walking, uint32_t number)
{
    return arena_printf(walking->arena, "%" PRIu32, number);
}

static const char *fraction_text(const struct walking *walking, struct rotor_fraction fraction)
{
    /* Half a fraction is refused, so no fraction is 0 over 0. */
    return fraction.den == 0 ? "none" : table_word_fraction(walking->arena, fraction);
}

static const char *torque(const struct walking *walking, uint32_t steps)
{
    const struct rotor_device *device = &walking->device;
    return arena_printf(
        walking->arena, "%s %s",
        fraction_text(walking, table_word_steps(steps, device->torque_num, device->torque_den)),
        table_word_code(TABLE_TORQUE_UNIT, device->torque_unit));
}

static const char *speed(const struct walking *walking, uint32_t steps)
{
    const struct rotor_device *device = &walking->device;
    return arena_printf(
        walking->arena, "%s %s",
        fraction_text(walking, table_word_steps(steps, device->speed_num, device->speed_den)),
        table_word_code(TABLE_SPEED_UNIT, device->speed_unit));
}

static const char *schedule(const struct walking *walking, uint32_t index)
{
    const uint8_t *at = rotor_record(walking->table, ROTOR_KIND_SCHEDULES, index);
    uint32_t over = rotor_u32(at + ROTOR_SCHEDULE_R);
    uint32_t parts = rotor_u32(at + ROTOR_SCHEDULE_D);
    const char *whole = number_text(walking, rotor_u32(at + ROTOR_SCHEDULE_Q));
    return over == 0 && parts == 1
               ? whole
               : arena_printf(walking->arena, "%s + %" PRIu32 "/%" PRIu32, whole, over, parts);
}

static const char *id_of(const struct walking *walking, uint32_t kind, uint32_t index)
{
    /* Spools and stages begin with their ids. */
    return rotor_text(walking->table, rotor_record(walking->table, kind, index));
}

/* The value of a row that is not a range, in words. */
static const char *text_of(const struct walking *walking, const struct compare_row *row,
                           const uint8_t *record)
{
    const uint8_t *at = record + row->offset;
    const char *word;
    switch (row->type) {
    case COMPARE_ROW_TEXT: word = rotor_text(walking->table, at); return *word ? word : "none";
    case COMPARE_ROW_CODE: word = table_word_code(row->code, *at); return word ? word : "none";
    case COMPARE_ROW_YES_NO: return *at ? "yes" : "no";
    case COMPARE_ROW_POSITIVE: return *at == ROTOR_POSITIVE_NORMAL ? "its normal way" : "backwards";
    case COMPARE_ROW_U8: return number_text(walking, *at);
    case COMPARE_ROW_U16: return number_text(walking, rotor_u16(at));
    case COMPARE_ROW_TEETH:
        return rotor_u16(at) == 0 ? "none" : number_text(walking, rotor_u16(at));
    case COMPARE_ROW_U32: return number_text(walking, rotor_u32(at));
    case COMPARE_ROW_CLOCK: return words_clock(walking->arena, rotor_u16(at));
    case COMPARE_ROW_BACKLASH:
        return rotor_u32(at) == ROTOR_BACKLASH_UNKNOWN ? "not known"
                                                       : number_text(walking, rotor_u32(at));
    case COMPARE_ROW_TORQUE: return torque(walking, rotor_u32(at));
    case COMPARE_ROW_SPEED: return speed(walking, rotor_u32(at));
    case COMPARE_ROW_TORQUE_STEP: return torque(walking, 1);
    case COMPARE_ROW_SPEED_STEP: return speed(walking, 1);
    case COMPARE_ROW_FRACTION:
        return fraction_text(walking,
                             (struct rotor_fraction){number64(at), number64(record + row->second)});
    case COMPARE_ROW_DIGEST: return words_hex(walking->arena, at, ROTOR_DIGEST_SIZE);
    case COMPARE_ROW_SPOOL: return id_of(walking, ROTOR_KIND_SPOOLS, rotor_u32(at));
    case COMPARE_ROW_STAGE: return id_of(walking, ROTOR_KIND_STAGES, rotor_u32(at));
    case COMPARE_ROW_SCHEDULE: return schedule(walking, rotor_u32(at));
    case COMPARE_ROW_ITEMS:
    case COMPARE_ROW_PARTS:
    case COMPARE_ROW_RESERVED: break;
    }
    return "";
}

static void walk_record(const struct walking *walking, const struct compare_record *record,
                        uint32_t index, struct compare_node *out);

static void walk_range(const struct walking *walking, const struct compare_row *row,
                       struct rotor_range range, struct compare_node *out)
{
    const struct compare_row *first = row->record->rows;
    bool single = !first[1].label; /* such a record is its one value */
    for (uint32_t i = 0; i < range.count; i++) {
        const uint8_t *at = rotor_record(walking->table, row->record->kind, range.first + i);
        const char *text =
            single || row->type == COMPARE_ROW_PARTS ? text_of(walking, first, at) : "";
        if (single) {
            compare_grow(walking->arena, out, COMPARE_LEAF, row->class, "")->text = text;
        } else {
            walk_record(walking, row->record, range.first + i,
                        compare_grow(walking->arena, out, COMPARE_RECORD, row->class, text));
        }
    }
}

static void walk_record(const struct walking *walking, const struct compare_record *record,
                        uint32_t index, struct compare_node *out)
{
    const uint8_t *at = rotor_record(walking->table, record->kind, index);
    for (const struct compare_row *row = record->rows; row->label; row++) {
        if (row->type == COMPARE_ROW_RESERVED) {
            continue;
        }
        struct compare_node *node =
            compare_grow(walking->arena, out, COMPARE_LEAF, row->class, row->label);
        if (row->type == COMPARE_ROW_ITEMS || row->type == COMPARE_ROW_PARTS) {
            struct rotor_range range = {rotor_u32(at + row->offset), rotor_u16(at + row->second)};
            node->shape = row->type == COMPARE_ROW_PARTS ? COMPARE_PARTS : COMPARE_ITEMS;
            node->word = row->word;
            node->joint = row->joint;
            walk_range(walking, row, range, node);
        } else {
            node->text = text_of(walking, row, at);
        }
    }
}

static struct compare_node *walk(struct arena *arena, const struct rotor_table *table,
                                 const struct compare_record *record, uint32_t index)
{
    struct walking walking = {.arena = arena, .table = table};
    struct compare_node *root = compare_grow(arena, NULL, COMPARE_RECORD, COMPARE_STOPS, "");
    rotor_get_device(table, &walking.device);
    walk_record(&walking, record, index, root);
    return root;
}

struct compare_node *compare_device_tree(struct arena *arena, const struct rotor_table *table)
{
    return walk(arena, table, &compare_device_record, 0);
}

struct compare_node *compare_engine_tree(struct arena *arena, const struct rotor_table *table,
                                         uint32_t engine, const char *designations)
{
    struct compare_node *root = walk(arena, table, &compare_engine_record, engine);
    compare_grow(arena, root, COMPARE_LEAF, COMPARE_STOPS, "designations")->text = designations;
    return root;
}

/* ---- two tables ------------------------------------------------------------------------------ */

struct telling {
    compare_table_visit *visit;
    void *context;
    const char *engine;
    size_t count;
};

static void tell(void *context, const struct compare_difference *difference)
{
    struct telling *telling = context;
    struct arena arena = {.newest = NULL};
    const char *field = compare_field(&arena, difference->trail);
    const struct compare_table_difference told = {
        .engine = telling->engine,
        .where = compare_where(&arena, difference->trail),
        .field = *field ? field : NULL,
        .left = difference->before ? compare_written(&arena, difference->before) : NULL,
        .right = difference->after ? compare_written(&arena, difference->after) : NULL,
    };
    telling->count++;
    telling->visit(telling->context, &told);
    arena_free(&arena);
}

static void tell_engine(struct telling *telling, const char *left, const char *right)
{
    const struct compare_table_difference told = {telling->engine, "", NULL, left, right};
    telling->count++;
    telling->visit(telling->context, &told);
}

/* The designations of an engine, except its id. */
static const char *designations(const struct rotor_table *table, const struct table_names *names,
                                uint32_t engine, struct arena *arena)
{
    const char *text = "";
    for (uint32_t i = names->first[engine]; i != ROTOR_NONE; i = names->next[i]) {
        struct rotor_name name;
        rotor_get_name(table, i, &name);
        text = arena_printf(arena, "%s%s%s", text, *text ? ", " : "", name.text);
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

size_t compare_tables(const struct rotor_table *left, const struct rotor_table *right,
                      compare_table_visit *visit, void *context)
{
    struct telling telling = {visit, context, NULL, 0};
    struct arena arena = {.newest = NULL};
    struct table_names left_names = table_names(&arena, left);
    struct table_names right_names = table_names(&arena, right);
    struct rotor_engine engine;
    compare_trees(NULL, compare_device_tree(&arena, left), compare_device_tree(&arena, right), tell,
                  &telling);
    for (uint32_t i = 0; rotor_get_engine(left, i, &engine); i++) {
        struct arena own = {.newest = NULL};
        uint32_t other = counterpart(right, engine.id);
        telling.engine = engine.id;
        if (other == ROTOR_NONE) {
            tell_engine(&telling, "there", NULL);
        } else {
            compare_trees(
                NULL, compare_engine_tree(&own, left, i, designations(left, &left_names, i, &own)),
                compare_engine_tree(&own, right, other,
                                    designations(right, &right_names, other, &own)),
                tell, &telling);
        }
        arena_free(&own);
    }
    for (uint32_t i = 0; rotor_get_engine(right, i, &engine); i++) {
        if (counterpart(left, engine.id) == ROTOR_NONE) {
            telling.engine = engine.id;
            tell_engine(&telling, NULL, "there");
        }
    }
    arena_free(&arena);
    return telling.count;
}
