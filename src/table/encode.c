#include "table/encode.h"

#include "field/rotor_layout.h"
#include "table/bytes.h"
#include "table/form.h"
#include "table/words.h"
#include "turning/where.h"

#include <inttypes.h>
#include <string.h>

/* The records of one mesh: one, or one for each contact of a row of external gears. */
static size_t encode_mesh(const struct model_mesh *mesh, uint8_t *out)
{
    size_t count = mesh->teeth_count > 1 ? mesh->teeth_count - 1 : 1;
    for (size_t i = 0; i < count; i++, out += ROTOR_MESH_SIZE) {
        out[ROTOR_MESH_KIND] = table_code_for(TABLE_MESH, (int)mesh->bare.kind);
        out[ROTOR_MESH_BACK_A] = table_code_for(TABLE_DIRECTION, (int)mesh->bare.backs[0]);
        out[ROTOR_MESH_BACK_B] = table_code_for(TABLE_DIRECTION, (int)mesh->bare.backs[1]);
        if (mesh->bare.kind == TURNING_EPICYCLIC) {
            out[ROTOR_MESH_IN] = table_code_for(TABLE_MEMBER, (int)mesh->bare.in);
            out[ROTOR_MESH_OUT] = table_code_for(TABLE_MEMBER, (int)mesh->bare.out);
            out[ROTOR_MESH_HELD] = table_code_for(TABLE_MEMBER, (int)mesh->bare.held);
            table_put16(out + ROTOR_MESH_TEETH_A, (uint32_t)mesh->sun.value);
            table_put16(out + ROTOR_MESH_TEETH_B, (uint32_t)mesh->ring.value);
            table_put16(out + ROTOR_MESH_TEETH_C, (uint32_t)mesh->planet.value);
            table_put16(out + ROTOR_MESH_PLANETS, (uint32_t)mesh->planets.value);
        } else if (mesh->teeth_count > 1) {
            table_put16(out + ROTOR_MESH_TEETH_A, (uint32_t)mesh->teeth[i].value);
            table_put16(out + ROTOR_MESH_TEETH_B, (uint32_t)mesh->teeth[i + 1].value);
        }
    }
    return count;
}

uint32_t table_keep_path(struct table_builder *builder, const struct model_list *path,
                         uint8_t *count)
{
    uint8_t range[MODEL_PATH_MOST * (MODEL_MESH_TEETH - 1) * ROTOR_MESH_SIZE] = {0};
    size_t meshes = 0;
    for (size_t i = 0; i < path->count; i++) {
        meshes +=
            encode_mesh(MODEL_ITEM(*path, struct model_mesh, i), range + meshes * ROTOR_MESH_SIZE);
    }
    table_put16(count, (uint32_t)meshes);
    return table_pool_keep(&builder->meshes, range, meshes * ROTOR_MESH_SIZE);
}

bool table_refuse(struct table_builder *builder, const char *format, ...)
{
    va_list arguments;
    va_start(arguments, format);
    builder->problem = arena_vprintf(builder->arena, format, arguments);
    va_end(arguments);
    builder->refused = true;
    return false;
}

uint32_t table_text(struct table_builder *builder, const struct model_text *text)
{
    if (text->at.state != MODEL_GIVEN || text->length == 0) {
        return 0;
    }
    const void *bytes = text->text;
    return table_pool_keep(&builder->texts, bytes, text->length + 1);
}

/* The code of a value; 0 where the source does not have it. */
static uint8_t code_of(enum table_code kind, const struct model_code *value)
{
    return value->at.state == MODEL_GIVEN ? table_code_for(kind, value->value) : 0;
}

static uint8_t sense_code(int sign)
{
    return sign > 0 ? ROTOR_CW : ROTOR_CCW;
}

/* A rational > 0 as two numbers of 64 bits. */
static void put_fraction(uint8_t *at, struct exact_rational value)
{
    table_put64(at, (uint64_t)value.num);
    table_put64(at + 8, (uint64_t)value.den);
}

static bool fits32(int64_t value)
{
    return value >= 0 && value <= UINT32_MAX;
}

/* Writes a resolution from `num` on, and its least and greatest multiple from `min_at` on. */
static void put_span(const struct model_span *span, int64_t min, int64_t max, uint8_t *num,
                     uint8_t *min_at)
{
    struct exact_rational step = span->resolution.written.stated;
    table_put32(num, (uint32_t)step.num);
    table_put32(num + 4, (uint32_t)step.den);
    table_put32(min_at, (uint32_t)min);
    table_put32(min_at + 4, (uint32_t)max);
}

void table_encode_device(struct table_builder *builder, const uint8_t digest[32])
{
    const struct model_device *device = builder->device;
    const struct model_device_facts *facts = builder->device_facts;
    uint8_t *out = arena_alloc(builder->arena, ROTOR_DEVICE_SIZE);
    builder->device_record = out;
    table_put32(out + ROTOR_DEVICE_ID, table_text(builder, &device->id));
    table_put32(out + ROTOR_DEVICE_NAME, table_text(builder, &device->name));
    out[ROTOR_DEVICE_STEPPING] = table_code_for(TABLE_STEPPING, device->stepping.value);
    out[ROTOR_DEVICE_POSITIVE] = sense_code(device->shaft.positive.value == MODEL_CW ? 1 : -1);
    out[ROTOR_DEVICE_COUNTER_BITS] = (uint8_t)device->counter_bits.value;
    out[ROTOR_DEVICE_SQUARE] = code_of(TABLE_SQUARE, &device->shaft.square);
    out[ROTOR_DEVICE_TORQUE_UNIT] =
        table_code_for(TABLE_TORQUE_UNIT, (int)device->torque.resolution.written.unit);
    out[ROTOR_DEVICE_SPEED_UNIT] =
        table_code_for(TABLE_SPEED_UNIT, (int)device->speed.resolution.written.unit);
    put_fraction(out + ROTOR_DEVICE_COUNTS_NUM, facts->counts_per_turn);
    memcpy(out + ROTOR_DEVICE_DIGEST, digest, ROTOR_DIGEST_SIZE);
    put_span(&device->torque, facts->torque_min, facts->torque_max, out + ROTOR_DEVICE_TORQUE_NUM,
             out + ROTOR_DEVICE_TORQUE_MIN);
    put_span(&device->speed, facts->speed_min, facts->speed_max, out + ROTOR_DEVICE_SPEED_NUM,
             out + ROTOR_DEVICE_SPEED_MIN);
}

void table_encode_spool(struct table_builder *builder, const struct model_spool *spool,
                        uint8_t *out)
{
    table_put32(out + ROTOR_SPOOL_ID, table_text(builder, &spool->id));
    out[ROTOR_SPOOL_ROTATION] = sense_code(model_spool_sign(spool));
    out[ROTOR_SPOOL_NEVER_BACKWARDS] =
        spool->never_backwards.at.state == MODEL_GIVEN && spool->never_backwards.value != 0;
}

static uint32_t keep_ports(struct table_builder *builder, const struct model_stage *stage)
{
    uint8_t range[MODEL_PORTS_MOST * ROTOR_PORT_SIZE] = {0};
    for (size_t i = 0; i < stage->ports.count; i++) {
        const struct model_port *port = MODEL_ITEM(stage->ports, struct model_port, i);
        table_put32(range + i * ROTOR_PORT_SIZE + ROTOR_PORT_ID, table_text(builder, &port->id));
        table_put16(range + i * ROTOR_PORT_SIZE + ROTOR_PORT_CLOCK,
                    (uint32_t)port->clock.minutes.value);
    }
    return table_pool_keep(&builder->ports, range, stage->ports.count * ROTOR_PORT_SIZE);
}

/* The clocking in degrees, within a turn. */
static bool clocking_of(struct table_builder *builder, const struct model_stage *stage,
                        struct exact_rational *out)
{
    struct exact_interval degrees;
    return (model_quantity_in(&stage->clocking, EXACT_DEG, &degrees) &&
            turning_within_turn(degrees.lo, out)) ||
           table_refuse(builder, "stage %s: its clocking does not fit 64 bits", stage->id.text);
}

bool table_encode_stage(struct table_builder *builder, const struct model_stage *stage,
                        uint32_t spool, uint8_t *out)
{
    table_put32(out + ROTOR_STAGE_ID, table_text(builder, &stage->id));
    table_put32(out + ROTOR_STAGE_SPOOL, spool);
    table_put32(out + ROTOR_STAGE_BLADE_ONE, table_text(builder, &stage->blade_one));
    table_put32(out + ROTOR_STAGE_PORTS, keep_ports(builder, stage));
    table_put16(out + ROTOR_STAGE_PORT_COUNT, (uint32_t)stage->ports.count);
    table_put16(out + ROTOR_STAGE_BLADES, (uint32_t)stage->blades.value);
    out[ROTOR_STAGE_ROLE] = table_code_for(TABLE_ROLE, stage->role.value);
    out[ROTOR_STAGE_NUMBERING] = table_code_for(TABLE_NUMBERING, stage->numbering.word.value);
    if (stage->clocking.at.state == MODEL_GIVEN) {
        struct exact_rational clocking = {0, 1};
        if (!clocking_of(builder, stage, &clocking)) {
            return false;
        }
        put_fraction(out + ROTOR_STAGE_CLOCKING_NUM, clocking);
    }
    return true;
}

void table_encode_known_blades(struct table_builder *builder, const struct model_stage *stage,
                               uint32_t stage_index, uint8_t *out)
{
    for (size_t i = 0; i < stage->known_blades.count; i++) {
        const struct model_known_blade *known =
            MODEL_ITEM(stage->known_blades, struct model_known_blade, i);
        size_t place = 0; /* how many lesser numbers there are */
        for (size_t j = 0; j < stage->known_blades.count; j++) {
            const struct model_known_blade *other =
                MODEL_ITEM(stage->known_blades, struct model_known_blade, j);
            place += other->blade.value < known->blade.value;
        }
        uint8_t *record = out + place * ROTOR_KNOWN_BLADE_SIZE;
        table_put32(record + ROTOR_KNOWN_BLADE_STAGE, stage_index);
        table_put32(record + ROTOR_KNOWN_BLADE_HOW, table_text(builder, &known->how));
        table_put16(record + ROTOR_KNOWN_BLADE_NUMBER, (uint32_t)known->blade.value);
    }
}

/* Where the pad faces, how it turns, and what is coupled to it. */
static bool encode_coupling(struct table_builder *builder, const struct model_pad *pad,
                            const struct model_pad_on_device *on, uint8_t *out)
{
    bool adapted = pad->adapter.at.state == MODEL_GIVEN;
    if (on->positive == 0) {
        return table_refuse(builder, "pad %s: which way the device turns the spool is not known",
                            pad->id.text);
    }
    out[ROTOR_PAD_FACES] = code_of(TABLE_DIRECTION, &pad->faces);
    out[ROTOR_PAD_ROTATION] = sense_code(model_pad_sign(pad));
    out[ROTOR_PAD_DRIVES] = pad->drives.at.state == MODEL_GIVEN
                                ? table_code_for(TABLE_SENSE, pad->drives.value)
                                : ROTOR_BOTH;
    out[ROTOR_PAD_POSITIVE] = on->positive > 0 ? ROTOR_POSITIVE_NORMAL : ROTOR_POSITIVE_REVERSE;
    out[ROTOR_PAD_SQUARE] = code_of(TABLE_SQUARE, adapted ? &pad->adapter.square : &pad->square);
    out[ROTOR_PAD_OWN_SQUARE] = code_of(TABLE_SQUARE, &pad->square);
    return true;
}

static uint32_t backlash_of(const struct model_pad_on_device *on)
{
    return on->backlash_known ? (uint32_t)on->backlash_counts : ROTOR_BACKLASH_UNKNOWN;
}

/* Whether the device's counter holds a turn of num/den counts, either way, and an overshoot. */
static bool counter_holds(const struct table_builder *builder, const struct model_pad_on_device *on,
                          uint64_t num, uint64_t den)
{
    return table_counter_holds(num, den, backlash_of(on),
                               builder->device_record[ROTOR_DEVICE_COUNTER_BITS]);
}

static bool encode_limits(struct table_builder *builder, const struct model_pad *pad,
                          const struct model_pad_on_device *on, uint8_t *out)
{
    if (!on->torque_known || on->torque_steps < 1 ||
        on->torque_steps < builder->device_facts->torque_min) {
        return table_refuse(builder, "pad %s: the device cannot keep its torque limit",
                            pad->id.text);
    }
    if (on->speed_steps < 1 || on->speed_steps < builder->device_facts->speed_min) {
        return table_refuse(builder, "pad %s: the device cannot turn slowly enough", pad->id.text);
    }
    const struct exact_rational turn = on->counts_per_turn;
    if (!counter_holds(builder, on, (uint64_t)turn.num, (uint64_t)turn.den)) {
        return table_refuse(builder,
                            "pad %s: a rotor turn does not fit the device's counter of %d bits",
                            pad->id.text, builder->device_record[ROTOR_DEVICE_COUNTER_BITS]);
    }
    table_put32(out + ROTOR_PAD_BACKLASH, backlash_of(on));
    table_put32(out + ROTOR_PAD_TORQUE, (uint32_t)on->torque_steps);
    table_put32(out + ROTOR_PAD_SPEED, (uint32_t)on->speed_steps);
    /* More turns than the table can hold become fewer, which is safe. */
    table_put32(out + ROTOR_PAD_RECHECK,
                fits32(on->recheck_turns) ? (uint32_t)on->recheck_turns : UINT32_MAX);
    return true;
}

bool table_encode_pad(struct table_builder *builder, const struct model_pad *pad,
                      const struct model_pad_facts *facts, const struct model_pad_on_device *on,
                      uint32_t spool, uint8_t *out)
{
    if (!on->known) {
        return table_refuse(builder, "pad %s: its counts per rotor turn are not known",
                            pad->id.text);
    }
    table_put32(out + ROTOR_PAD_ID, table_text(builder, &pad->id));
    table_put32(out + ROTOR_PAD_SPOOL, spool);
    table_put32(out + ROTOR_PAD_PATH,
                table_keep_path(builder, &pad->path, out + ROTOR_PAD_PATH_COUNT));
    table_put32(out + ROTOR_PAD_ADAPTER_PATH,
                table_keep_path(builder, &pad->adapter.path, out + ROTOR_PAD_ADAPTER_COUNT));
    put_fraction(out + ROTOR_PAD_K_NUM, on->counts_per_turn);
    put_fraction(out + ROTOR_PAD_G_LO_NUM, facts->ratio.lo);
    put_fraction(out + ROTOR_PAD_G_HI_NUM, facts->ratio.hi);
    if (pad->adapter.at.state == MODEL_GIVEN) {
        put_fraction(out + ROTOR_PAD_A_NUM, facts->adapter_ratio);
    }
    return encode_coupling(builder, pad, on, out) && encode_limits(builder, pad, on, out);
}

static bool keep_datums(struct table_builder *builder, const struct model_engine *engine,
                        const struct model_stage *stage, struct exact_rational counts_per_turn,
                        uint8_t *out)
{
    uint8_t range[MODEL_PORTS_MOST * ROTOR_DATUM_SIZE];
    struct exact_rational clocking = {0, 1};
    if (stage->clocking.at.state != MODEL_GIVEN || stage->ports.count == 0) {
        return true;
    }
    if (!clocking_of(builder, stage, &clocking)) {
        return false;
    }
    bool ccw = model_spool_sign(model_spool(engine, stage->spool_index)) < 0;
    for (size_t i = 0; i < stage->ports.count; i++) {
        const struct model_port *port = MODEL_ITEM(stage->ports, struct model_port, i);
        int64_t count = turning_datum(port->clock.minutes.value, ccw, clocking, counts_per_turn);
        table_put32(range + i * ROTOR_DATUM_SIZE, (uint32_t)count);
    }
    table_put16(out + ROTOR_LINK_DATUM_COUNT, (uint32_t)stage->ports.count);
    table_put32(out + ROTOR_LINK_DATUMS,
                table_pool_keep(&builder->datums, range, stage->ports.count * ROTOR_DATUM_SIZE));
    return true;
}

bool table_encode_link(struct table_builder *builder, const struct model_engine *engine,
                       const struct model_pad_on_device *on, const struct model_pair *pair,
                       uint32_t stage_index, uint8_t *out)
{
    const struct model_stage *stage = model_stage(engine, pair->stage);
    const struct turning_schedule *schedule = &pair->schedule;
    uint8_t record[ROTOR_SCHEDULE_SIZE];
    const int64_t most = model_step_most(stage->blades.value);
    if (schedule->whole < 1 || schedule->whole > most) {
        return table_refuse(builder,
                            "stage %s: %" PRId64 " counts from blade to blade; a table holds 1 to "
                            "%" PRId64 " for %" PRId64 " blades",
                            stage->id.text, schedule->whole, most, stage->blades.value);
    }
    /* Whole steps of a fixed device can take more counts than a rotor turn. */
    if (!counter_holds(builder, on, (uint64_t)(schedule->whole * stage->blades.value), 1)) {
        return table_refuse(builder,
                            "stage %s: a rotor turn does not fit the device's counter of %d bits",
                            stage->id.text, builder->device_record[ROTOR_DEVICE_COUNTER_BITS]);
    }
    table_put32(record + ROTOR_SCHEDULE_Q, (uint32_t)schedule->whole);
    table_put32(record + ROTOR_SCHEDULE_R, (uint32_t)schedule->num);
    table_put32(record + ROTOR_SCHEDULE_D, (uint32_t)schedule->den);
    table_put32(out + ROTOR_LINK_STAGE, stage_index);
    table_put32(out + ROTOR_LINK_SCHEDULE,
                table_pool_keep(&builder->schedules, record, sizeof record));
    out[ROTOR_LINK_ORDER] = pair->falling ? ROTOR_ORDER_FALLING : ROTOR_ORDER_RISING;
    return keep_datums(builder, engine, stage, on->counts_per_turn, out);
}
