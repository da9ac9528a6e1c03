#include "table/form.h"

#include "field/rotor_bytes.h"
#include "field/rotor_layout.h"
#include "model/engine.h"
#include "table/replay.h"
#include "text/utf8.h"

#include <string.h>

/* Where the records of a table refer to texts. */
static const struct {
    uint32_t kind;
    uint32_t offset;
} references[] = {
    {ROTOR_KIND_DEVICE, ROTOR_DEVICE_ID},
    {ROTOR_KIND_DEVICE, ROTOR_DEVICE_NAME},
    {ROTOR_KIND_NAMES, ROTOR_NAME_TEXT},
    {ROTOR_KIND_ENGINES, ROTOR_ENGINE_ID},
    {ROTOR_KIND_ENGINES, ROTOR_ENGINE_NAME},
    {ROTOR_KIND_SPOOLS, ROTOR_SPOOL_ID},
    {ROTOR_KIND_STAGES, ROTOR_STAGE_ID},
    {ROTOR_KIND_STAGES, ROTOR_STAGE_BLADE_ONE},
    {ROTOR_KIND_PORTS, ROTOR_PORT_ID},
    {ROTOR_KIND_PADS, ROTOR_PAD_ID},
    {ROTOR_KIND_KNOWN_BLADES, ROTOR_KNOWN_BLADE_HOW},
};

/* What is wrong with the pool of texts. Each of its characters may be shown in some text. */
static const char *pool_fault(struct arena *arena, const struct rotor_table *table)
{
    const uint8_t *pool = rotor_record(table, ROTOR_KIND_TEXTS, 0);
    size_t length = rotor_count(table, ROTOR_KIND_TEXTS);
    size_t size = 1;
    for (size_t i = 0; i < length; i += size) {
        uint32_t code = 0;
        size_t offset = (size_t)(pool - table->bytes) + i;
        size = text_utf8_decode((const char *)pool + i, length - i, &code);
        if (size == 0) {
            return arena_printf(arena, "byte %zu, in a text, is not part of any UTF-8 character",
                                offset);
        }
        if (text_is_hidden(code) && code != 0) {
            return arena_printf(arena, "the text at byte %zu has the %s character U+%04X", offset,
                                text_is_control(code) ? "control" : "hidden", (unsigned)code);
        }
    }
    return NULL;
}

const char *table_text_fault(struct arena *arena, const struct rotor_table *table)
{
    const char *fault = pool_fault(arena, table);
    for (size_t i = 0; i < sizeof references / sizeof *references && !fault; i++) {
        uint32_t count = rotor_count(table, references[i].kind);
        for (uint32_t j = 0; j < count && !fault; j++) {
            const uint8_t *record = rotor_record(table, references[i].kind, j);
            const char *text = rotor_text(table, record + references[i].offset);
            if ((*text & 0xc0) == 0x80) {
                fault = arena_printf(arena, "a text begins within a character, at byte %td",
                                     text - (const char *)table->bytes);
            }
        }
    }
    return fault;
}

bool table_misfit_at(struct table_misfit *misfit, enum table_misfit_kind what, uint32_t kind,
                     uint32_t index)
{
    *misfit = (struct table_misfit){what, kind, index};
    return false;
}

static bool lowest(uint64_t num, uint64_t den)
{
    struct exact_rational value;
    return table_fraction((struct rotor_fraction){num, den}, &value) &&
           (uint64_t)value.num == num && (uint64_t)value.den == den;
}

static bool lowest_of(struct rotor_fraction fraction)
{
    return lowest(fraction.num, fraction.den);
}

bool table_counter_holds(uint64_t counts_num, uint64_t counts_den, uint32_t backlash, uint8_t bits)
{
    uint64_t back = backlash == ROTOR_BACKLASH_UNKNOWN ? 0 : (uint64_t)backlash + backlash / 4 + 1;
    uint64_t turn = counts_num / counts_den + (counts_num % counts_den != 0);
    return turn <= ROTOR_TURN_MOST && turn + back < (uint64_t)1 << (bits - 1);
}

static bool check_device(const struct rotor_table *table, struct table_misfit *misfit)
{
    struct rotor_device device;
    rotor_get_device(table, &device);
    return (lowest(device.torque_num, device.torque_den) &&
            lowest(device.speed_num, device.speed_den) && lowest_of(device.counts)) ||
           table_misfit_at(misfit, TABLE_MISFIT_FRACTION, ROTOR_KIND_DEVICE, 0);
}

static bool are_teeth(uint16_t teeth)
{
    return teeth >= 1 && teeth <= MODEL_TEETH_MOST;
}

/* The backs of a bevel pair are on two axes, or neither is known. */
static bool mesh_backs_fit(const struct rotor_mesh *record)
{
    if (record->back_a == ROTOR_DIRECTION_UNKNOWN || record->back_b == ROTOR_DIRECTION_UNKNOWN) {
        return record->back_a == record->back_b;
    }
    return !turning_same_axis(table_direction_of(record->back_a),
                              table_direction_of(record->back_b));
}

static bool members_fit(const struct rotor_mesh *record)
{
    return record->in != ROTOR_MEMBER_NONE && record->out != ROTOR_MEMBER_NONE &&
           record->held != ROTOR_MEMBER_NONE && record->in != record->out &&
           record->in != record->held && record->out != record->held;
}

bool table_mesh_fits(const struct rotor_mesh *record)
{
    bool pair = are_teeth(record->teeth_a) && are_teeth(record->teeth_b);
    bool no_teeth = record->teeth_a == 0 && record->teeth_b == 0;
    bool no_members = record->in == ROTOR_MEMBER_NONE && record->out == ROTOR_MEMBER_NONE &&
                      record->held == ROTOR_MEMBER_NONE && record->teeth_c == 0 &&
                      record->planets == 0;
    bool no_backs =
        record->back_a == ROTOR_DIRECTION_UNKNOWN && record->back_b == ROTOR_DIRECTION_UNKNOWN;
    switch (record->kind) {
    case ROTOR_MESH_EXTERNAL:
    case ROTOR_MESH_INTERNAL: return pair && no_members && no_backs;
    case ROTOR_MESH_BEVEL: return pair && no_members && mesh_backs_fit(record);
    case ROTOR_MESH_EPICYCLIC:
        return pair && members_fit(record) && are_teeth(record->teeth_c) &&
               are_teeth(record->planets) && no_backs;
    default: return no_teeth && no_members && no_backs;
    }
}

static bool check_meshes(const struct rotor_table *table, struct table_misfit *misfit)
{
    struct rotor_mesh mesh;
    for (uint32_t i = 0; rotor_get_mesh(table, i, &mesh); i++) {
        if (!table_mesh_fits(&mesh)) {
            return table_misfit_at(misfit, TABLE_MISFIT_MESH, ROTOR_KIND_MESHES, i);
        }
    }
    return true;
}

static bool check_stage(const struct rotor_table *table, uint32_t index,
                        struct table_misfit *misfit)
{
    struct rotor_stage stage;
    rotor_get_stage(table, index, &stage);
    if (stage.ports.count > MODEL_PORTS_MOST || stage.blades > MODEL_BLADES_MOST ||
        rotor_known_blades(table, index).count > MODEL_KNOWN_BLADES_MOST) {
        return table_misfit_at(misfit, TABLE_MISFIT_NUMBER, ROTOR_KIND_STAGES, index);
    }
    if (stage.clocking.den == 0) {
        return true;
    }
    if (!lowest_of(stage.clocking)) {
        return table_misfit_at(misfit, TABLE_MISFIT_FRACTION, ROTOR_KIND_STAGES, index);
    }
    return stage.clocking.num / stage.clocking.den < 360 ||
           table_misfit_at(misfit, TABLE_MISFIT_NUMBER, ROTOR_KIND_STAGES, index);
}

/*
 * The shafts of a path agree with the backs of its bevel gears. Without `faces` the path is
 * followed from its first bevel.
 */
static bool backs_fit(const struct rotor_table *table, struct rotor_range range,
                      enum turning_direction faces)
{
    struct turning_mesh meshes[TABLE_MESHES_MOST];
    struct turning_shaft end;
    size_t at = 0;
    if (!table_path_of(table, range, meshes)) {
        return false;
    }
    for (uint16_t i = 0; faces == TURNING_NOWHERE && i < range.count; i++) {
        if (meshes[i].kind == TURNING_BEVEL) {
            faces = meshes[i].backs[0];
            break;
        }
    }
    return turning_path_sense(meshes, range.count, turning_facing(faces, true), &end, &at) !=
           TURNING_OFF_AXIS;
}

/*
 * The table does not say which way an adapter's input faces. If the pad's direction is not known,
 * an adapter without bevels faces the same way as the pad.
 */
static bool adapter_fits(const struct rotor_table *table, const struct rotor_pad *pad)
{
    struct turning_mesh meshes[TABLE_MESHES_MOST];
    bool bevels = false;
    if (pad->adapter.den == 0) {
        return pad->adapter_path.count == 0;
    }
    if (!lowest_of(pad->adapter) || !table_path_of(table, pad->adapter_path, meshes)) {
        return false;
    }
    for (uint16_t i = 0; i < pad->adapter_path.count; i++) {
        bool bevel = meshes[i].kind == TURNING_BEVEL;
        bevels = bevels || bevel;
        if (bevel && meshes[i].backs[0] == TURNING_NOWHERE) {
            return false; /* its sense would not be known */
        }
    }
    if (pad->adapter_path.count == 0 && pad->adapter.num != pad->adapter.den) {
        return false;
    }
    return !bevels || pad->faces != ROTOR_DIRECTION_UNKNOWN;
}

/* Blade one must be found again if the ratio is rounded or whole steps leave something over. */
static bool recheck_fits(const struct rotor_table *table, const struct rotor_device *device,
                         const struct rotor_pad *pad)
{
    bool drifts = pad->turns_lo.num != pad->turns_hi.num || pad->turns_lo.den != pad->turns_hi.den;
    for (uint32_t i = 0; i < pad->links.count; i++) {
        struct rotor_link link;
        struct rotor_stage stage;
        rotor_get_link(table, pad->links.first + i, &link);
        rotor_get_stage(table, link.stage, &stage);
        bool closes = pad->counts_per_rotor_turn.den == 1 &&
                      (uint64_t)link.q * stage.blades == pad->counts_per_rotor_turn.num;
        drifts = drifts || (device->stepping == ROTOR_STEPPING_FIXED && !closes);
    }
    return (pad->recheck != 0) == (drifts && pad->links.count > 0);
}

/* Whether the pad turns every stage of its spool. The reader has checked the links themselves. */
static bool turns_all(const struct rotor_table *table, const struct rotor_engine *engine,
                      const struct rotor_pad *pad)
{
    uint32_t stages = 0;
    for (uint32_t i = 0; i < engine->stages.count; i++) {
        struct rotor_stage stage;
        rotor_get_stage(table, engine->stages.first + i, &stage);
        stages += stage.spool == pad->spool;
    }
    return stages == pad->links.count;
}

static bool check_pad(const struct rotor_table *table, const struct rotor_engine *engine,
                      uint32_t index, struct table_misfit *misfit)
{
    struct rotor_device device;
    struct rotor_pad pad;
    enum table_misfit_kind what = TABLE_FITS;
    rotor_get_device(table, &device);
    rotor_get_pad(table, index, &pad);
    const struct rotor_fraction counts = pad.counts_per_rotor_turn;
    if (!lowest_of(counts) || !lowest_of(pad.turns_lo) || !lowest_of(pad.turns_hi)) {
        what = TABLE_MISFIT_FRACTION;
    } else if (!table_counter_holds(counts.num, counts.den, pad.backlash, device.counter_bits)) {
        what = TABLE_MISFIT_COUNTER;
    } else if (!adapter_fits(table, &pad)) {
        what = TABLE_MISFIT_ADAPTER;
    } else if (!backs_fit(table, pad.path, table_direction_of(pad.faces)) ||
               !backs_fit(table, pad.adapter_path, TURNING_NOWHERE)) {
        what = TABLE_MISFIT_BACKS;
    } else if (pad.adapter.den == 0 && pad.square != pad.own_square) {
        what = TABLE_MISFIT_SQUARE;
    } else if (!turns_all(table, engine, &pad)) {
        what = TABLE_MISFIT_UNLINKED;
    } else if (!recheck_fits(table, &device, &pad)) {
        what = TABLE_MISFIT_RECHECK;
    }
    return what == TABLE_FITS || table_misfit_at(misfit, what, ROTOR_KIND_PADS, index);
}

/* Whether all ids differ among a few records of one kind; the id is their first field. */
static bool ids_differ(const struct rotor_table *table, uint32_t kind, struct rotor_range range,
                       struct table_misfit *misfit)
{
    for (uint32_t i = range.first; i < range.first + range.count; i++) {
        const char *id = rotor_text(table, rotor_record(table, kind, i));
        for (uint32_t j = range.first; j < i; j++) {
            if (strcmp(id, rotor_text(table, rotor_record(table, kind, j))) == 0) {
                return table_misfit_at(misfit, TABLE_MISFIT_TEXT, kind, i);
            }
        }
    }
    return true;
}

static bool check_spools(const struct rotor_table *table, const struct rotor_engine *engine,
                         struct table_misfit *misfit)
{
    for (uint32_t i = 0; i < engine->spools.count; i++) {
        bool turned = false;
        for (uint32_t p = 0; p < engine->pads.count; p++) {
            struct rotor_pad pad;
            rotor_get_pad(table, engine->pads.first + p, &pad);
            turned = turned || pad.spool == engine->spools.first + i;
        }
        if (!turned) {
            return table_misfit_at(misfit, TABLE_MISFIT_UNTURNED, ROTOR_KIND_SPOOLS,
                                   engine->spools.first + i);
        }
    }
    return true;
}

static bool check_engine(const struct rotor_table *table, uint32_t index,
                         struct table_misfit *misfit)
{
    struct rotor_engine engine;
    rotor_get_engine(table, index, &engine);
    if (engine.spools.count > MODEL_SPOOLS_MOST || engine.stages.count > MODEL_STAGES_MOST ||
        engine.pads.count > MODEL_PADS_MOST || engine.revision < 1 ||
        engine.revision > MODEL_REVISION_MOST) {
        return table_misfit_at(misfit, TABLE_MISFIT_NUMBER, ROTOR_KIND_ENGINES, index);
    }
    if (!ids_differ(table, ROTOR_KIND_SPOOLS, engine.spools, misfit) ||
        !ids_differ(table, ROTOR_KIND_STAGES, engine.stages, misfit) ||
        !ids_differ(table, ROTOR_KIND_PADS, engine.pads, misfit) ||
        !check_spools(table, &engine, misfit)) {
        return false;
    }
    for (uint32_t i = 0; i < engine.stages.count; i++) {
        struct rotor_stage stage;
        if (!check_stage(table, engine.stages.first + i, misfit)) {
            return false;
        }
        rotor_get_stage(table, engine.stages.first + i, &stage);
        if (!ids_differ(table, ROTOR_KIND_PORTS, stage.ports, misfit)) {
            return false;
        }
    }
    for (uint32_t i = 0; i < engine.pads.count; i++) {
        if (!check_pad(table, &engine, engine.pads.first + i, misfit)) {
            return false;
        }
    }
    return true;
}

bool table_form(const struct rotor_table *table, struct table_misfit *misfit)
{
    *misfit = (struct table_misfit){.what = TABLE_FITS};
    if (!check_device(table, misfit) || !check_meshes(table, misfit)) {
        return false;
    }
    uint32_t engines = rotor_count(table, ROTOR_KIND_ENGINES);
    for (uint32_t i = 0; i < engines; i++) {
        if (!check_engine(table, i, misfit)) {
            return false;
        }
    }
    return table_laid_out(table, misfit);
}
