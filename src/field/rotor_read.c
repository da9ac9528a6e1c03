/* The accessors. Every one decodes a record into a struct; out of range it decodes zeroes instead,
 * so there is always an answer. Texts out of such a record are the empty one, at reference 0. */
#include "field/rotor_bytes.h"

static void read_fraction(const uint8_t *at, struct rotor_fraction *fraction)
{
    fraction->num = rotor_u64(at);
    fraction->den = rotor_u64(at + 8);
}

static const char *text_at(const struct rotor_table *table, const uint8_t *at)
{
    return rotor_text(table, rotor_u32(at));
}

bool rotor_signature(const struct rotor_table *table, uint32_t *signed_length,
                     const uint8_t **signature)
{
    *signed_length = table->signature;
    *signature = table->signature == 0 ? rotor_zeroes : table->bytes + table->signature;
    return table->signature != 0;
}

/* By halves: below `low` every name is before the designation, from `high` on none is. */
uint32_t rotor_find_engine(const struct rotor_table *table, const char *designation)
{
    uint32_t low = 0;
    uint32_t high = rotor_count(table, ROTOR_KIND_NAMES);

    while (low < high) {
        uint32_t middle = low + ((high - low) >> 1);
        const uint8_t *name = rotor_record(table, ROTOR_KIND_NAMES, middle);
        int order = rotor_compare(text_at(table, name + ROTOR_NAME_TEXT), designation);
        if (order == 0) {
            return rotor_u32(name + ROTOR_NAME_ENGINE);
        }
        if (order < 0) {
            low = middle + 1;
        } else {
            high = middle;
        }
    }
    return ROTOR_NONE;
}

bool rotor_get_device(const struct rotor_table *table, struct rotor_device *device)
{
    const uint8_t *record = rotor_record(table, ROTOR_KIND_DEVICE, 0);

    device->id = text_at(table, record + ROTOR_DEVICE_ID);
    device->name = text_at(table, record + ROTOR_DEVICE_NAME);
    device->digest = record + ROTOR_DEVICE_DIGEST;
    read_fraction(record + ROTOR_DEVICE_COUNTS_NUM, &device->counts);
    device->torque_num = rotor_u32(record + ROTOR_DEVICE_TORQUE_NUM);
    device->torque_den = rotor_u32(record + ROTOR_DEVICE_TORQUE_DEN);
    device->speed_num = rotor_u32(record + ROTOR_DEVICE_SPEED_NUM);
    device->speed_den = rotor_u32(record + ROTOR_DEVICE_SPEED_DEN);
    device->torque_min = rotor_u32(record + ROTOR_DEVICE_TORQUE_MIN);
    device->torque_max = rotor_u32(record + ROTOR_DEVICE_TORQUE_MAX);
    device->speed_min = rotor_u32(record + ROTOR_DEVICE_SPEED_MIN);
    device->speed_max = rotor_u32(record + ROTOR_DEVICE_SPEED_MAX);
    device->torque_unit = record[ROTOR_DEVICE_TORQUE_UNIT];
    device->speed_unit = record[ROTOR_DEVICE_SPEED_UNIT];
    device->stepping = record[ROTOR_DEVICE_STEPPING];
    device->positive = record[ROTOR_DEVICE_POSITIVE];
    device->counter_bits = record[ROTOR_DEVICE_COUNTER_BITS];
    device->square = record[ROTOR_DEVICE_SQUARE];
    return record != rotor_zeroes;
}

bool rotor_get_name(const struct rotor_table *table, uint32_t index, struct rotor_name *name)
{
    const uint8_t *record = rotor_record(table, ROTOR_KIND_NAMES, index);

    name->text = text_at(table, record + ROTOR_NAME_TEXT);
    name->engine = rotor_u32(record + ROTOR_NAME_ENGINE);
    return record != rotor_zeroes;
}

bool rotor_get_engine(const struct rotor_table *table, uint32_t index,
                      struct rotor_engine *engine)
{
    const uint8_t *record = rotor_record(table, ROTOR_KIND_ENGINES, index);

    engine->id = text_at(table, record + ROTOR_ENGINE_ID);
    engine->name = text_at(table, record + ROTOR_ENGINE_NAME);
    engine->digest = record + ROTOR_ENGINE_DIGEST;
    engine->revision = rotor_u32(record + ROTOR_ENGINE_REVISION);
    engine->spools = rotor_run_at(record, ROTOR_ENGINE_SPOOLS, ROTOR_ENGINE_SPOOL_COUNT);
    engine->stages = rotor_run_at(record, ROTOR_ENGINE_STAGES, ROTOR_ENGINE_STAGE_COUNT);
    engine->pads = rotor_run_at(record, ROTOR_ENGINE_PADS, ROTOR_ENGINE_PAD_COUNT);
    engine->status = record[ROTOR_ENGINE_STATUS];
    return record != rotor_zeroes;
}

bool rotor_get_spool(const struct rotor_table *table, uint32_t index, struct rotor_spool *spool)
{
    const uint8_t *record = rotor_record(table, ROTOR_KIND_SPOOLS, index);

    spool->id = text_at(table, record + ROTOR_SPOOL_ID);
    spool->rotation = record[ROTOR_SPOOL_ROTATION];
    spool->never_backwards = record[ROTOR_SPOOL_NEVER_BACKWARDS] != 0;
    return record != rotor_zeroes;
}

bool rotor_get_stage(const struct rotor_table *table, uint32_t index, struct rotor_stage *stage)
{
    const uint8_t *record = rotor_record(table, ROTOR_KIND_STAGES, index);

    stage->id = text_at(table, record + ROTOR_STAGE_ID);
    stage->blade_one = text_at(table, record + ROTOR_STAGE_BLADE_ONE);
    read_fraction(record + ROTOR_STAGE_CLOCKING_NUM, &stage->clocking);
    stage->ports = rotor_run_at(record, ROTOR_STAGE_PORTS, ROTOR_STAGE_PORT_COUNT);
    stage->spool = rotor_u32(record + ROTOR_STAGE_SPOOL);
    stage->blades = rotor_u16(record + ROTOR_STAGE_BLADES);
    stage->role = record[ROTOR_STAGE_ROLE];
    stage->numbering = record[ROTOR_STAGE_NUMBERING];
    return record != rotor_zeroes;
}

bool rotor_get_port(const struct rotor_table *table, uint32_t index, struct rotor_port *port)
{
    const uint8_t *record = rotor_record(table, ROTOR_KIND_PORTS, index);

    port->id = text_at(table, record + ROTOR_PORT_ID);
    port->clock = rotor_u16(record + ROTOR_PORT_CLOCK);
    return record != rotor_zeroes;
}

bool rotor_get_pad(const struct rotor_table *table, uint32_t index, struct rotor_pad *pad)
{
    const uint8_t *record = rotor_record(table, ROTOR_KIND_PADS, index);

    pad->id = text_at(table, record + ROTOR_PAD_ID);
    read_fraction(record + ROTOR_PAD_K_NUM, &pad->counts_per_rotor_turn);
    read_fraction(record + ROTOR_PAD_G_LO_NUM, &pad->turns_lo);
    read_fraction(record + ROTOR_PAD_G_HI_NUM, &pad->turns_hi);
    read_fraction(record + ROTOR_PAD_A_NUM, &pad->adapter);
    pad->path = rotor_run_at(record, ROTOR_PAD_PATH, ROTOR_PAD_PATH_COUNT);
    pad->adapter_path = rotor_run_at(record, ROTOR_PAD_ADAPTER_PATH, ROTOR_PAD_ADAPTER_COUNT);
    pad->links = rotor_run_at(record, ROTOR_PAD_LINKS, ROTOR_PAD_LINK_COUNT);
    pad->spool = rotor_u32(record + ROTOR_PAD_SPOOL);
    pad->lash = rotor_u32(record + ROTOR_PAD_LASH);
    pad->torque = rotor_u32(record + ROTOR_PAD_TORQUE);
    pad->speed = rotor_u32(record + ROTOR_PAD_SPEED);
    pad->recheck = rotor_u32(record + ROTOR_PAD_RECHECK);
    pad->faces = record[ROTOR_PAD_FACES];
    pad->rotation = record[ROTOR_PAD_ROTATION];
    pad->drives = record[ROTOR_PAD_DRIVES];
    pad->positive = (int8_t)((record[ROTOR_PAD_POSITIVE] == ROTOR_POSITIVE_NORMAL) -
                             (record[ROTOR_PAD_POSITIVE] == ROTOR_POSITIVE_REVERSE));
    pad->square = record[ROTOR_PAD_SQUARE];
    pad->own_square = record[ROTOR_PAD_OWN_SQUARE];
    return record != rotor_zeroes;
}

bool rotor_get_mesh(const struct rotor_table *table, uint32_t index, struct rotor_mesh *mesh)
{
    const uint8_t *record = rotor_record(table, ROTOR_KIND_MESHES, index);

    mesh->teeth_a = rotor_u16(record + ROTOR_MESH_TEETH_A);
    mesh->teeth_b = rotor_u16(record + ROTOR_MESH_TEETH_B);
    mesh->teeth_c = rotor_u16(record + ROTOR_MESH_TEETH_C);
    mesh->planets = rotor_u16(record + ROTOR_MESH_PLANETS);
    mesh->kind = record[ROTOR_MESH_KIND];
    mesh->in = record[ROTOR_MESH_IN];
    mesh->out = record[ROTOR_MESH_OUT];
    mesh->held = record[ROTOR_MESH_HELD];
    mesh->back_a = record[ROTOR_MESH_BACK_A];
    mesh->back_b = record[ROTOR_MESH_BACK_B];
    return record != rotor_zeroes;
}

bool rotor_get_link(const struct rotor_table *table, uint32_t index, struct rotor_link *link)
{
    const uint8_t *record = rotor_record(table, ROTOR_KIND_LINKS, index);
    const uint8_t *schedule = rotor_zeroes;

    if (record != rotor_zeroes) {
        schedule = rotor_record(table, ROTOR_KIND_SCHEDULES,
                                rotor_u32(record + ROTOR_LINK_SCHEDULE));
    }
    link->stage = rotor_u32(record + ROTOR_LINK_STAGE);
    link->q = rotor_u32(schedule + ROTOR_SCHEDULE_Q);
    link->r = rotor_u32(schedule + ROTOR_SCHEDULE_R);
    link->d = rotor_u32(schedule + ROTOR_SCHEDULE_D);
    link->datums = rotor_run_at(record, ROTOR_LINK_DATUMS, ROTOR_LINK_DATUM_COUNT);
    link->order = record[ROTOR_LINK_ORDER];
    return record != rotor_zeroes;
}

bool rotor_get_datum(const struct rotor_table *table, uint32_t index, uint32_t *count)
{
    const uint8_t *record = rotor_record(table, ROTOR_KIND_DATUMS, index);

    *count = rotor_u32(record);
    return record != rotor_zeroes;
}
