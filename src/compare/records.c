/*
 * records.c - the records of a table, row by row, and the trees of its device and engines.
 */
#include "compare/records.h"

#include "compare/tree.h"
#include "field/rotor_bytes.h"

#include <inttypes.h>
#include <string.h>

/* clang-format off */
#define END {.label = NULL}
#define ROW(name, kind, weight, at) \
    .label = (name), .type = COMPARE_ROW_##kind, .class = COMPARE_##weight, .offset = (at)
#define CODE(name, words, weight, at) {ROW(name, CODE, weight, at), .code = TABLE_##words}
#define PAIR(name, kind, weight, at, next) {ROW(name, kind, weight, at), .second = (next)}
#define RESERVED(at, bytes) {ROW("reserved", RESERVED, TEXT, at), .second = (bytes)}

static const struct compare_row port_rows[] = {
    {ROW("id", TEXT, LIMITS, ROTOR_PORT_ID)},
    {ROW("clock", CLOCK, STOPS, ROTOR_PORT_CLOCK)},
    RESERVED(ROTOR_PORT_RESERVED, 2),
    END};
static const struct compare_record port_record = {ROTOR_KIND_PORTS, ROTOR_PORT_SIZE, port_rows};

static const struct compare_row mesh_rows[] = {
    CODE("kind", MESH, LIMITS, ROTOR_MESH_KIND),
    {ROW("first teeth", TEETH, LIMITS, ROTOR_MESH_TEETH_A)},
    {ROW("second teeth", TEETH, LIMITS, ROTOR_MESH_TEETH_B)},
    {ROW("planet teeth", TEETH, LIMITS, ROTOR_MESH_TEETH_C)},
    {ROW("planets", TEETH, LIMITS, ROTOR_MESH_PLANETS)},
    CODE("in", MEMBER, LIMITS, ROTOR_MESH_IN),
    CODE("out", MEMBER, LIMITS, ROTOR_MESH_OUT),
    CODE("held", MEMBER, LIMITS, ROTOR_MESH_HELD),
    CODE("first back", DIRECTION, LIMITS, ROTOR_MESH_BACK_A),
    CODE("second back", DIRECTION, LIMITS, ROTOR_MESH_BACK_B),
    END};
static const struct compare_record mesh_record = {ROTOR_KIND_MESHES, ROTOR_MESH_SIZE, mesh_rows};

static const struct compare_row schedule_rows[] = {
    {ROW("whole counts", U32, STOPS, ROTOR_SCHEDULE_Q)},
    {ROW("counts over", U32, STOPS, ROTOR_SCHEDULE_R)},
    {ROW("parts of a count", U32, STOPS, ROTOR_SCHEDULE_D)},
    END};
static const struct compare_record schedule_record = {
    ROTOR_KIND_SCHEDULES, ROTOR_SCHEDULE_SIZE, schedule_rows};

static const struct compare_row datum_rows[] = {
    {ROW("count", U32, STOPS, ROTOR_DATUM_COUNT)},
    END};
static const struct compare_record datum_record = {
    ROTOR_KIND_DATUMS, ROTOR_DATUM_SIZE, datum_rows};

static const struct compare_row link_rows[] = {
    {ROW("stage", STAGE, STOPS, ROTOR_LINK_STAGE)},
    {ROW("counts from blade to blade", SCHEDULE, STOPS, ROTOR_LINK_SCHEDULE),
     .record = &schedule_record},
    CODE("order of the blades", ORDER, STOPS, ROTOR_LINK_ORDER),
    {ROW("counts from the datum mark to blade one", ITEMS, STOPS, ROTOR_LINK_DATUMS),
     .second = ROTOR_LINK_DATUM_COUNT, .record = &datum_record},
    RESERVED(ROTOR_LINK_RESERVED, 1),
    END};
static const struct compare_record link_record = {ROTOR_KIND_LINKS, ROTOR_LINK_SIZE, link_rows};

static const struct compare_row spool_rows[] = {
    {ROW("id", TEXT, STOPS, ROTOR_SPOOL_ID)},
    CODE("rotation aft looking forward", SENSE, STOPS, ROTOR_SPOOL_ROTATION),
    {ROW("never backwards", YES_NO, LIMITS, ROTOR_SPOOL_NEVER_BACKWARDS)},
    RESERVED(ROTOR_SPOOL_RESERVED, 2),
    END};
static const struct compare_record spool_record = {
    ROTOR_KIND_SPOOLS, ROTOR_SPOOL_SIZE, spool_rows};

static const struct compare_row known_blade_rows[] = {
    {ROW("blade", U16, LIMITS, ROTOR_KNOWN_BLADE_NUMBER)},
    {ROW("how", TEXT, LIMITS, ROTOR_KNOWN_BLADE_HOW)},
    {ROW("stage", OWNER, LIMITS, ROTOR_KNOWN_BLADE_STAGE)},
    RESERVED(ROTOR_KNOWN_BLADE_RESERVED, 2),
    END};
static const struct compare_record known_blade_record = {
    ROTOR_KIND_KNOWN_BLADES, ROTOR_KNOWN_BLADE_SIZE, known_blade_rows};

static const struct compare_row stage_rows[] = {
    {ROW("id", TEXT, STOPS, ROTOR_STAGE_ID)},
    {ROW("spool", SPOOL, STOPS, ROTOR_STAGE_SPOOL)},
    CODE("role", ROLE, TEXT, ROTOR_STAGE_ROLE),
    {ROW("blades", U16, STOPS, ROTOR_STAGE_BLADES)},
    CODE("numbering", NUMBERING, STOPS, ROTOR_STAGE_NUMBERING),
    {ROW("blade one", TEXT, LIMITS, ROTOR_STAGE_BLADE_ONE)},
    PAIR("clocking in degrees", FRACTION, STOPS, ROTOR_STAGE_CLOCKING_NUM,
         ROTOR_STAGE_CLOCKING_DEN),
    {ROW("ports", PARTS, LIMITS, ROTOR_STAGE_PORTS), .second = ROTOR_STAGE_PORT_COUNT,
     .record = &port_record, .word = "port", .joint = " of "},
    {ROW("known blades", OWNED, LIMITS, ROTOR_STAGE_SIZE), .record = &known_blade_record,
     .word = "known blade", .joint = " of "},
    RESERVED(ROTOR_STAGE_RESERVED, 2),
    END};
static const struct compare_record stage_record = {
    ROTOR_KIND_STAGES, ROTOR_STAGE_SIZE, stage_rows};

static const struct compare_row pad_rows[] = {
    {ROW("id", TEXT, STOPS, ROTOR_PAD_ID)},
    {ROW("spool", SPOOL, STOPS, ROTOR_PAD_SPOOL)},
    CODE("faces", DIRECTION, TEXT, ROTOR_PAD_FACES),
    CODE("rotation facing the pad", SENSE, STOPS, ROTOR_PAD_ROTATION),
    CODE("drives", SENSE, LIMITS, ROTOR_PAD_DRIVES),
    {ROW("a rising count turns the spool", POSITIVE, STOPS, ROTOR_PAD_POSITIVE)},
    CODE("square the device couples to", SQUARE, LIMITS, ROTOR_PAD_SQUARE),
    CODE("square of the pad", SQUARE, LIMITS, ROTOR_PAD_OWN_SQUARE),
    {ROW("torque limit", TORQUE, LIMITS, ROTOR_PAD_TORQUE)},
    {ROW("speed limit", SPEED, LIMITS, ROTOR_PAD_SPEED)},
    {ROW("backlash in counts", BACKLASH, LIMITS, ROTOR_PAD_BACKLASH)},
    {ROW("rotor turns until blade one is found again, 0 never", U32, LIMITS, ROTOR_PAD_RECHECK)},
    PAIR("counts per rotor turn", FRACTION, STOPS, ROTOR_PAD_K_NUM, ROTOR_PAD_K_DEN),
    PAIR("least pad turns per rotor turn", FRACTION, STOPS, ROTOR_PAD_G_LO_NUM, ROTOR_PAD_G_LO_DEN),
    PAIR("greatest pad turns per rotor turn", FRACTION, STOPS, ROTOR_PAD_G_HI_NUM,
         ROTOR_PAD_G_HI_DEN),
    PAIR("device turns per pad turn", FRACTION, STOPS, ROTOR_PAD_A_NUM, ROTOR_PAD_A_DEN),
    {ROW("gears", ITEMS, LIMITS, ROTOR_PAD_PATH), .second = ROTOR_PAD_PATH_COUNT,
     .record = &mesh_record},
    {ROW("gears of the adapter", ITEMS, LIMITS, ROTOR_PAD_ADAPTER_PATH),
     .second = ROTOR_PAD_ADAPTER_COUNT, .record = &mesh_record},
    {ROW("stages", PARTS, STOPS, ROTOR_PAD_LINKS), .second = ROTOR_PAD_LINK_COUNT,
     .record = &link_record, .word = "stage", .joint = " through "},
    END};
static const struct compare_record pad_record = {ROTOR_KIND_PADS, ROTOR_PAD_SIZE, pad_rows};

static const struct compare_row engine_rows[] = {
    {ROW("id", TEXT, STOPS, ROTOR_ENGINE_ID)},
    {ROW("name", TEXT, TEXT, ROTOR_ENGINE_NAME)},
    {ROW("revision", U32, TEXT, ROTOR_ENGINE_REVISION)},
    CODE("status", STATUS, TEXT, ROTOR_ENGINE_STATUS),
    {ROW("digest of its definition", DIGEST, TEXT, ROTOR_ENGINE_DIGEST)},
    {ROW("spools", PARTS, STOPS, ROTOR_ENGINE_SPOOLS), .second = ROTOR_ENGINE_SPOOL_COUNT,
     .record = &spool_record, .word = "spool", .joint = ""},
    {ROW("stages", PARTS, STOPS, ROTOR_ENGINE_STAGES), .second = ROTOR_ENGINE_STAGE_COUNT,
     .record = &stage_record, .word = "stage", .joint = ""},
    {ROW("pads", PARTS, STOPS, ROTOR_ENGINE_PADS), .second = ROTOR_ENGINE_PAD_COUNT,
     .record = &pad_record, .word = "pad", .joint = ""},
    RESERVED(ROTOR_ENGINE_RESERVED, 1),
    END};
const struct compare_record compare_engine_record = {
    ROTOR_KIND_ENGINES, ROTOR_ENGINE_SIZE, engine_rows};

static const struct compare_row device_rows[] = {
    {ROW("id", TEXT, LIMITS, ROTOR_DEVICE_ID)},
    {ROW("name", TEXT, TEXT, ROTOR_DEVICE_NAME)},
    CODE("stepping", STEPPING, STOPS, ROTOR_DEVICE_STEPPING),
    CODE("positive rotation", SENSE, STOPS, ROTOR_DEVICE_POSITIVE),
    {ROW("counter bits", U8, LIMITS, ROTOR_DEVICE_COUNTER_BITS)},
    PAIR("counts per turn of its shaft", FRACTION, STOPS, ROTOR_DEVICE_COUNTS_NUM,
         ROTOR_DEVICE_COUNTS_DEN),
    CODE("square", SQUARE, LIMITS, ROTOR_DEVICE_SQUARE),
    CODE("unit of torque", TORQUE_UNIT, LIMITS, ROTOR_DEVICE_TORQUE_UNIT),
    PAIR("torque resolution", TORQUE_STEP, LIMITS, ROTOR_DEVICE_TORQUE_NUM,
         ROTOR_DEVICE_TORQUE_DEN),
    {ROW("least torque", TORQUE, LIMITS, ROTOR_DEVICE_TORQUE_MIN)},
    {ROW("greatest torque", TORQUE, LIMITS, ROTOR_DEVICE_TORQUE_MAX)},
    CODE("unit of speed", SPEED_UNIT, LIMITS, ROTOR_DEVICE_SPEED_UNIT),
    PAIR("speed resolution", SPEED_STEP, LIMITS, ROTOR_DEVICE_SPEED_NUM, ROTOR_DEVICE_SPEED_DEN),
    {ROW("least speed", SPEED, LIMITS, ROTOR_DEVICE_SPEED_MIN)},
    {ROW("greatest speed", SPEED, LIMITS, ROTOR_DEVICE_SPEED_MAX)},
    {ROW("digest of its profile", DIGEST, TEXT, ROTOR_DEVICE_DIGEST)},
    RESERVED(ROTOR_DEVICE_RESERVED, 2),
    END};
const struct compare_record compare_device_record = {
    ROTOR_KIND_DEVICE, ROTOR_DEVICE_SIZE, device_rows};

/* The names of a table lead to its engines, so the names of an engine are collected from all. */
static const struct compare_row name_rows[] = {
    {ROW("name", TEXT, STOPS, ROTOR_NAME_TEXT)},
    {ROW("engine", U32, STOPS, ROTOR_NAME_ENGINE)},
    END};
static const struct compare_record name_record = {ROTOR_KIND_NAMES, ROTOR_NAME_SIZE, name_rows};
/* clang-format on */

const struct compare_record *const compare_records[COMPARE_RECORDS] = {
    &compare_device_record,
    &name_record,
    &compare_engine_record,
    &spool_record,
    &stage_record,
    &port_record,
    &pad_record,
    &mesh_record,
    &schedule_record,
    &link_record,
    &datum_record,
    &known_blade_record,
};

unsigned compare_row_bytes(const struct compare_row *row)
{
    switch (row->type) {
    case COMPARE_ROW_CODE:
    case COMPARE_ROW_YES_NO:
    case COMPARE_ROW_POSITIVE:
    case COMPARE_ROW_U8: return 1;
    case COMPARE_ROW_U16:
    case COMPARE_ROW_TEETH:
    case COMPARE_ROW_CLOCK: return 2;
    case COMPARE_ROW_FRACTION: return 8;
    case COMPARE_ROW_DIGEST: return ROTOR_DIGEST_SIZE;
    case COMPARE_ROW_RESERVED: return row->second;
    case COMPARE_ROW_OWNED: return 0;
    case COMPARE_ROW_TEXT:
    case COMPARE_ROW_U32:
    case COMPARE_ROW_BACKLASH:
    case COMPARE_ROW_TORQUE:
    case COMPARE_ROW_SPEED:
    case COMPARE_ROW_TORQUE_STEP:
    case COMPARE_ROW_SPEED_STEP:
    case COMPARE_ROW_SPOOL:
    case COMPARE_ROW_STAGE:
    case COMPARE_ROW_SCHEDULE:
    case COMPARE_ROW_OWNER:
    case COMPARE_ROW_ITEMS:
    case COMPARE_ROW_PARTS: break;
    }
    return 4;
}

unsigned compare_row_second_bytes(const struct compare_row *row)
{
    switch (row->type) {
    case COMPARE_ROW_FRACTION: return 8;
    case COMPARE_ROW_TORQUE_STEP:
    case COMPARE_ROW_SPEED_STEP: return 4;
    case COMPARE_ROW_ITEMS:
    case COMPARE_ROW_PARTS: return 2;
    default: return 0;
    }
}

/* ---- trees, made by walking the records ------------------------------------------------------ */

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
    case COMPARE_ROW_POSITIVE:
        return *at == ROTOR_POSITIVE_NORMAL ? "its normal direction" : "backwards";
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
    case COMPARE_ROW_OWNER:
    case COMPARE_ROW_OWNED:
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
            single || row->type != COMPARE_ROW_ITEMS ? text_of(walking, first, at) : "";
        if (single) {
            compare_grow(walking->arena, out, COMPARE_LEAF, row->class, "")->text = text;
        } else {
            walk_record(walking, row->record, range.first + i,
                        compare_grow(walking->arena, out, COMPARE_RECORD, row->class, text));
        }
    }
}

/* The records of a row that has others below it. */
static struct rotor_range range_of(const struct walking *walking, const struct compare_row *row,
                                   const uint8_t *record, uint32_t index)
{
    return row->type == COMPARE_ROW_OWNED ? rotor_known_blades(walking->table, index)
                                          : (struct rotor_range){rotor_u32(record + row->offset),
                                                                 rotor_u16(record + row->second)};
}

static void walk_record(const struct walking *walking, const struct compare_record *record,
                        uint32_t index, struct compare_node *out)
{
    const uint8_t *at = rotor_record(walking->table, record->kind, index);
    for (const struct compare_row *row = record->rows; row->label; row++) {
        if (row->type == COMPARE_ROW_RESERVED || row->type == COMPARE_ROW_OWNER) {
            continue; /* zero, or shown by the place in the tree */
        }
        struct compare_node *node =
            compare_grow(walking->arena, out, COMPARE_LEAF, row->class, row->label);
        if (row->record && row->type != COMPARE_ROW_SCHEDULE) {
            node->shape = row->type == COMPARE_ROW_ITEMS ? COMPARE_ITEMS : COMPARE_PARTS;
            node->word = row->word;
            node->joint = row->joint;
            walk_range(walking, row, range_of(walking, row, at, index), node);
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
