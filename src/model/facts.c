#include "model/facts.h"

#include "turning/schedule.h"

struct turning_mesh *model_bare_path(const struct model_list *path, struct arena *arena)
{
    struct turning_mesh *meshes = arena_array(arena, path->count + 1, sizeof *meshes);
    for (size_t i = 0; i < path->count; i++) {
        meshes[i] = MODEL_ITEM(*path, struct model_mesh, i)->bare;
    }
    return meshes;
}

static int rotation_sign(const struct model_rotation *rotation)
{
    if (rotation->at.state != MODEL_GIVEN || rotation->sense.at.state != MODEL_GIVEN ||
        rotation->view.at.state != MODEL_GIVEN) {
        return 0;
    }
    return rotation->sense.value == MODEL_CW ? 1 : -1;
}

int model_spool_sign(const struct model_spool *spool)
{
    int sign = rotation_sign(&spool->rotation);
    return spool->rotation.view.value == MODEL_FORWARD_LOOKING_AFT ? -sign : sign;
}

int model_pad_sign(const struct model_pad *pad)
{
    int sign = rotation_sign(&pad->rotation);
    if (pad->rotation.view.value == MODEL_FACING_PAD) {
        return sign;
    }
    if (pad->faces.at.state != MODEL_GIVEN ||
        !turning_same_axis((enum turning_direction)pad->faces.value, TURNING_AFT)) {
        return 0;
    }
    /* Facing a pad that faces aft, one looks forward. */
    bool from_aft = pad->rotation.view.value == MODEL_AFT_LOOKING_FORWARD;
    return from_aft == (pad->faces.value == TURNING_AFT) ? sign : -sign;
}

struct exact_measure model_measure(const struct model_quantity *quantity)
{
    return (struct exact_measure){quantity->written.stated, quantity->written.unit};
}

bool model_quantity_in(const struct model_quantity *quantity, enum exact_unit unit,
                       struct exact_interval *out)
{
    struct exact_measure lo = {quantity->range.lo, quantity->written.unit};
    struct exact_measure hi = {quantity->range.hi, quantity->written.unit};
    return exact_measure_in(lo, unit, &out->lo) && exact_measure_in(hi, unit, &out->hi);
}

static bool is_plain_integer(const struct model_quantity *quantity)
{
    return quantity->written.form == EXACT_INTEGER && !quantity->written.has_tolerance;
}

/* 10, 100, 1000 ...: so many turns make a decimal: 225 in 100 is 2.25. */
static bool is_power_of_ten(struct exact_rational number)
{
    int64_t left = number.den == 1 ? number.num : 0;
    bool ten = left >= 10;
    for (; left >= 10 && left % 10 == 0; left /= 10) {
    }
    return ten && left == 1;
}

/* G from what the manual states. */
static void derive_stated(const struct model_pad *pad, struct model_pad_facts *facts)
{
    const struct model_turns *turns = &pad->turns;
    if (turns->pad.at.state != MODEL_GIVEN || turns->rotor.at.state != MODEL_GIVEN) {
        return;
    }
    struct exact_interval pad_turns = turns->pad.range;
    if (!exact_div(turns->pad.written.stated, turns->rotor.written.stated, &facts->quotient)) {
        facts->overflow = true;
        return;
    }
    bool lone = pad->path.at.state == MODEL_ABSENT && is_plain_integer(&turns->pad) &&
                is_plain_integer(&turns->rotor);
    facts->lone_integer = lone && exact_is_whole(facts->quotient) && facts->quotient.num > 1;
    if (facts->lone_integer || (lone && is_power_of_ten(turns->rotor.written.stated))) {
        struct exact_rational half = turns->pad.written.half_ulp;
        facts->overflow = !exact_sub(pad_turns.lo, half, &pad_turns.lo) ||
                          !exact_add(pad_turns.hi, half, &pad_turns.hi);
    }
    if (facts->overflow || !exact_interval_div(pad_turns, turns->rotor.range, &facts->stated)) {
        facts->overflow = true;
        return;
    }
    facts->has_stated = true;
}

static void derive_ratio(const struct model_pad *pad, const struct turning_mesh *path,
                         struct model_pad_facts *facts)
{
    derive_stated(pad, facts);
    if (pad->path.at.state == MODEL_GIVEN) {
        facts->has_path = turning_path_ratio(path, pad->path.count, &facts->path);
        facts->overflow = facts->overflow || !facts->has_path;
    }
    if (facts->overflow || pad->path.at.state == MODEL_BROKEN) {
        return;
    }
    if (facts->has_path) {
        facts->used = facts->path;
        facts->ratio = exact_point(facts->path);
    } else if (facts->has_stated) {
        facts->used = facts->quotient;
        facts->ratio = facts->stated;
    } else {
        return;
    }
    if (!turning_uncertainty(facts->ratio, facts->used, &facts->uncertainty)) {
        facts->overflow = true;
        return;
    }
    facts->ratio_known = true;
}

static void derive_sense(const struct model_pad *pad, const struct turning_mesh *path,
                         struct model_pad_facts *facts)
{
    int sign = model_pad_sign(pad);
    if (rotation_sign(&pad->rotation) == 0 || pad->faces.at.state == MODEL_BROKEN ||
        pad->path.at.state == MODEL_BROKEN) {
        facts->proof = MODEL_UNREAD;
        return;
    }
    if (sign == 0) {
        facts->proof = MODEL_VIEW_UNUSABLE;
        return;
    }
    if (pad->path.at.state == MODEL_ABSENT) {
        facts->proof = MODEL_NO_PATH;
        return;
    }
    /* Without `faces` the path is still followed, from its first bevel, to find wrong backs.
     * Otherwise the pad could face anywhere. */
    bool faces = pad->faces.at.state == MODEL_GIVEN;
    enum turning_direction direction =
        faces ? (enum turning_direction)pad->faces.value : TURNING_AFT;
    for (size_t i = 0; !faces && i < pad->path.count; i++) {
        if (path[i].kind == TURNING_BEVEL) {
            direction = path[i].backs[0];
            break;
        }
    }
    struct turning_shaft end;
    enum turning_sense sense = turning_path_sense(
        path, pad->path.count, turning_facing(direction, sign > 0), &end, &facts->proof_mesh);
    if (sense == TURNING_OFF_AXIS) {
        facts->proof = MODEL_OFF_AXIS;
    } else if (!faces) {
        facts->proof = MODEL_NO_FACES;
    } else if (sense == TURNING_NO_BACKS) {
        facts->proof = MODEL_NO_BACKS;
    } else {
        facts->rotor_sign = turning_sign_along(end, TURNING_FORWARD);
        facts->proof = facts->rotor_sign == 0 ? MODEL_ENDS_OFF_AXIS : MODEL_PROVEN;
    }
}

/* Whether device and pad turn the same way, each seen facing the side that is coupled to. */
static void derive_adapter_sense(const struct model_pad *pad, const struct turning_mesh *path,
                                 struct model_pad_facts *facts)
{
    const struct model_adapter *adapter = &pad->adapter;
    /* If neither has `faces`, both face the same way.  The direction matters only to bevels, which
     * are then off their axis or cannot be derived. */
    bool bevels = false;
    for (size_t i = 0; i < adapter->path.count; i++) {
        bevels = bevels || path[i].kind == TURNING_BEVEL;
    }
    bool faces = pad->faces.at.state == MODEL_GIVEN;
    enum turning_direction pad_faces =
        faces ? (enum turning_direction)pad->faces.value : TURNING_AFT;
    enum turning_direction device_faces = adapter->faces.at.state == MODEL_GIVEN
                                              ? (enum turning_direction)adapter->faces.value
                                              : pad_faces;
    if (adapter->path.at.state == MODEL_BROKEN || adapter->faces.at.state == MODEL_BROKEN ||
        pad->faces.at.state == MODEL_BROKEN) {
        facts->adapter_proof = MODEL_UNREAD;
        return;
    }
    if (!faces && (bevels || adapter->faces.at.state == MODEL_GIVEN)) {
        facts->adapter_proof = MODEL_NO_FACES;
        return;
    }
    struct turning_shaft end;
    enum turning_sense sense = turning_path_sense(
        path, adapter->path.count, turning_facing(device_faces, true), &end, &facts->adapter_mesh);
    if (sense != TURNING_DERIVED) {
        facts->adapter_proof = sense == TURNING_NO_BACKS ? MODEL_NO_BACKS : MODEL_OFF_AXIS;
        return;
    }
    facts->adapter_sign = turning_sign_along(end, turning_opposite(pad_faces));
    facts->adapter_proof = facts->adapter_sign == 0 ? MODEL_ENDS_OFF_AXIS : MODEL_PROVEN;
}

static void derive_adapter(const struct model_pad *pad, struct arena *arena,
                           struct model_pad_facts *facts)
{
    const struct model_list *meshes = &pad->adapter.path;
    facts->adapter_known =
        pad->adapter.at.state != MODEL_BROKEN && meshes->at.state != MODEL_BROKEN;
    facts->adapter_ratio = exact_whole(1);
    facts->adapter_sign = 1;
    facts->adapter_proof = MODEL_PROVEN;
    if (pad->adapter.at.state == MODEL_BROKEN) {
        facts->adapter_proof = MODEL_UNREAD;
        return;
    }
    if (pad->adapter.at.state == MODEL_ABSENT) {
        return;
    }
    const struct turning_mesh *path = model_bare_path(meshes, arena);
    if (meshes->at.state == MODEL_GIVEN &&
        !turning_path_ratio(path, meshes->count, &facts->adapter_ratio)) {
        facts->overflow = true;
        facts->ratio_known = false;
    }
    derive_adapter_sense(pad, path, facts);
}

static void derive_finest(const struct model_engine *engine, const struct model_pad *pad,
                          struct model_pad_facts *facts)
{
    int64_t most = 0;
    for (size_t i = 0; i < engine->stages.count; i++) {
        const struct model_stage *stage = model_stage(engine, i);
        if (stage->spool_index == pad->spool_index && pad->spool_index != SIZE_MAX &&
            stage->blades.at.state == MODEL_GIVEN && stage->blades.value > most) {
            most = stage->blades.value;
            facts->finest_stage = i;
        }
    }
    if (most > 0) {
        facts->has_finest = true;
        facts->finest_pitch = turning_pitch(most);
    }
}

struct model_engine_facts model_derive(const struct model_engine *engine, struct arena *arena)
{
    struct model_engine_facts facts;
    facts.pads = arena_array(arena, engine->pads.count + 1, sizeof *facts.pads);
    for (size_t i = 0; i < engine->pads.count; i++) {
        const struct model_pad *pad = model_pad(engine, i);
        const struct turning_mesh *path = model_bare_path(&pad->path, arena);
        derive_ratio(pad, path, &facts.pads[i]);
        derive_sense(pad, path, &facts.pads[i]);
        derive_adapter(pad, arena, &facts.pads[i]);
        derive_finest(engine, pad, &facts.pads[i]);
    }
    return facts;
}

bool model_adapter_backlash_missing(const struct model_pad *pad)
{
    const struct model_adapter *adapter = &pad->adapter;
    return adapter->at.state == MODEL_GIVEN && adapter->backlash.at.state == MODEL_ABSENT &&
           (adapter->path.at.state != MODEL_ABSENT || adapter->square.at.state != MODEL_ABSENT);
}

bool model_rotor_backlash(const struct model_pad *pad, const struct model_pad_facts *facts,
                          struct exact_rational *out, bool *overflow)
{
    const struct model_adapter *adapter = &pad->adapter;
    struct exact_interval backlash;
    struct exact_interval adapter_backlash = exact_point(exact_whole(0));
    struct exact_rational at_pad;
    if (pad->backlash.at.state != MODEL_GIVEN || !facts->ratio_known || !facts->adapter_known ||
        adapter->backlash.at.state == MODEL_BROKEN) {
        return false;
    }
    *overflow = true;
    if (!model_quantity_in(&pad->backlash, EXACT_DEG, &backlash)) {
        return false;
    }
    if (adapter->backlash.at.state == MODEL_GIVEN &&
        !model_quantity_in(&adapter->backlash, EXACT_DEG, &adapter_backlash)) {
        return false;
    }
    if (!exact_div(adapter_backlash.hi, facts->adapter_ratio, &at_pad) ||
        !exact_add(at_pad, backlash.hi, &at_pad) || !exact_div(at_pad, facts->ratio.lo, out)) {
        return false;
    }
    *overflow = false;
    return true;
}

static bool turns_ccw(const struct model_engine *engine, const struct model_stage *stage)
{
    return model_spool_sign(model_spool(engine, stage->spool_index)) < 0;
}

static int clock_of(const struct model_stage *stage, size_t port)
{
    return MODEL_ITEM(stage->ports, struct model_port, port)->clock.minutes.value;
}

bool model_port_angle(const struct model_engine *engine, const struct model_stage *stage,
                      size_t port, struct exact_rational *out)
{
    struct exact_interval clocking = exact_point(exact_whole(0));
    return (stage->clocking.at.state != MODEL_GIVEN ||
            model_quantity_in(&stage->clocking, EXACT_DEG, &clocking)) &&
           turning_port_angle(clock_of(stage, port), turns_ccw(engine, stage), clocking.lo, out);
}

struct turning_apart model_ports_apart(const struct model_engine *engine,
                                       const struct model_stage *stage, size_t from, size_t to)
{
    return turning_clocks_apart(clock_of(stage, from), clock_of(stage, to),
                                turns_ccw(engine, stage), stage->blades.value);
}

size_t model_pads_of_spool(const struct model_engine *engine, size_t spool)
{
    size_t count = 0;
    for (size_t i = 0; i < engine->pads.count; i++) {
        count += model_pad(engine, i)->spool_index == spool;
    }
    return count;
}

size_t model_stages_of_spool(const struct model_engine *engine, size_t spool)
{
    size_t count = 0;
    for (size_t i = 0; i < engine->stages.count; i++) {
        count += model_stage(engine, i)->spool_index == spool;
    }
    return count;
}
