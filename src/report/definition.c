#include "report/definition.h"

#include "report/written.h"
#include "table/replay.h"
#include "words/number.h"

#include <inttypes.h>
#include <string.h>

/* ---- turns and paths --------------------------------------------------------------------------
 */

/* A decimal that means this interval, half a unit of its last place about it; NULL: none does. */
static const char *rounded(struct report_written *w, struct exact_rational value,
                           struct exact_interval means)
{
    int64_t power = 10;
    for (int decimals = 1; decimals < 16; decimals++, power *= 10) {
        struct exact_rational scaled;
        struct exact_rational half;
        struct exact_interval about;
        if (!exact_mul(value, exact_whole(power), &scaled) ||
            !exact_make(1, (exact_wide)2 * power, &half) || !exact_sub(value, half, &about.lo) ||
            !exact_add(value, half, &about.hi)) {
            return NULL;
        }
        if (exact_is_whole(scaled) && report_is_writable(scaled.num) &&
            exact_equal(about.lo, means.lo) && exact_equal(about.hi, means.hi)) {
            int64_t whole = scaled.num / power;
            return arena_printf(w->arena, "%" PRId64 ".%0*" PRId64, whole, decimals,
                                scaled.num % power);
        }
    }
    return NULL;
}

static const char *tolerated(struct report_written *w, struct exact_rational value,
                             struct exact_rational tolerance)
{
    return arena_printf(w->arena, "%s +/- %s", report_exact_number(w, value),
                        report_exact_number(w, tolerance));
}

static bool inverse(struct exact_interval from, struct exact_interval *out)
{
    return exact_div(exact_whole(1), from.hi, &out->lo) &&
           exact_div(exact_whole(1), from.lo, &out->hi);
}

/*
 * Pad turns p +/- s in q +/- t rotor turns are a ratio from (p - s)/(q + t) to (p + s)/(q - t), and
 * the device uses p/q. So with q = 1: t = (lo + hi - 2 p)/(hi - lo), and s = p - lo (1 + t).
 */
static const char *both_tolerated(struct report_written *w,
                                  const struct report_pad_numbers *numbers)
{
    const struct exact_rational one = exact_whole(1);
    struct exact_rational sum;
    struct exact_rational twice;
    struct exact_rational apart;
    struct exact_rational t;
    struct exact_rational s;
    if (!exact_add(numbers->ratio.lo, numbers->ratio.hi, &sum) ||
        !exact_mul(numbers->used, exact_whole(2), &twice) || !exact_sub(sum, twice, &t) ||
        !exact_sub(numbers->ratio.hi, numbers->ratio.lo, &apart) || !exact_div(t, apart, &t) ||
        !exact_add(one, t, &s) || !exact_mul(s, numbers->ratio.lo, &s) ||
        !exact_sub(numbers->used, s, &s) || exact_sign(s) < 0 || exact_sign(t) < 0) {
        report_written_refuse(w, "the limits of its rounded ratio cannot be written");
        return "";
    }
    return arena_printf(w->arena, "{pad: %s, rotor: %s}", tolerated(w, numbers->used, s),
                        exact_sign(t) == 0 ? "1" : tolerated(w, one, t));
}

static const char *turns_of(struct report_written *w, const struct report_pad_numbers *numbers)
{
    struct exact_interval other;
    struct exact_rational other_used;
    if (exact_is_point(numbers->ratio)) { /* two whole numbers alone would count as rounded */
        return exact_is_whole(numbers->used) ? arena_printf(w->arena, "{pad: %s +/- 0, rotor: 1}",
                                                            report_exact_number(w, numbers->used))
                                             : arena_printf(w->arena, "{pad: %s, rotor: 1}",
                                                            words_exact(w->arena, numbers->used));
    }
    const char *decimal = rounded(w, numbers->used, numbers->ratio);
    if (decimal) {
        return arena_printf(w->arena, "{pad: %s, rotor: 1}", decimal);
    }
    if (inverse(numbers->ratio, &other) && exact_div(exact_whole(1), numbers->used, &other_used)) {
        decimal = rounded(w, other_used, other);
        if (decimal) {
            return arena_printf(w->arena, "{pad: 1, rotor: %s}", decimal);
        }
    }
    return both_tolerated(w, numbers);
}

static const char *direction_word(uint8_t code)
{
    return table_word_code(TABLE_DIRECTION, code);
}

static const char *mesh_text(struct report_written *w, const struct rotor_mesh *mesh)
{
    const char *kind = table_word_code(TABLE_MESH, mesh->kind);
    switch (mesh->kind) {
    case ROTOR_MESH_DIRECT: return kind;
    case ROTOR_MESH_EPICYCLIC:
        return arena_printf(w->arena,
                            "%s: {sun: %u, ring: %u, planet: %u, planets: %u, in: %s, out: %s, "
                            "held: %s}",
                            kind, mesh->teeth_a, mesh->teeth_b, mesh->teeth_c, mesh->planets,
                            table_word_code(TABLE_MEMBER, mesh->in),
                            table_word_code(TABLE_MEMBER, mesh->out),
                            table_word_code(TABLE_MEMBER, mesh->held));
    case ROTOR_MESH_BEVEL:
        if (mesh->back_a != ROTOR_DIRECTION_UNKNOWN) {
            return arena_printf(w->arena, "%s: {teeth: [%u, %u], backs: [%s, %s]}", kind,
                                mesh->teeth_a, mesh->teeth_b, direction_word(mesh->back_a),
                                direction_word(mesh->back_b));
        }
        break;
    default: break;
    }
    return arena_printf(w->arena, "%s: [%u, %u]", kind, mesh->teeth_a, mesh->teeth_b);
}

/* A path mesh by mesh. External gears of which one meshes with the next are a row. */
static void write_path(struct report_written *w, const void *of, int depth)
{
    const struct rotor_range *range = of;
    struct rotor_mesh mesh;
    for (uint32_t i = 0; i < range->count; i++) {
        rotor_get_mesh(w->table, range->first + i, &mesh);
        if (mesh.kind != ROTOR_MESH_EXTERNAL) {
            fprintf(w->out, "%*s- %s\n", 2 * depth, "", mesh_text(w, &mesh));
            continue;
        }
        fprintf(w->out, "%*s- external: [%u, %u", 2 * depth, "", mesh.teeth_a, mesh.teeth_b);
        for (int gears = 2; gears < MODEL_MESH_TEETH && i + 1 < range->count; gears++) {
            struct rotor_mesh next;
            rotor_get_mesh(w->table, range->first + i + 1, &next);
            if (next.kind != ROTOR_MESH_EXTERNAL || next.teeth_a != mesh.teeth_b) {
                break;
            }
            fprintf(w->out, ", %u", next.teeth_b);
            mesh = next;
            i++;
        }
        fputs("]\n", w->out);
    }
}

/* ---- limits -----------------------------------------------------------------------------------
 */

/* The torque at the pad that gives the limit at the device's shaft. */
static const char *torque_of(struct report_written *w, const struct rotor_pad *pad,
                             const struct report_pad_numbers *numbers)
{
    const struct rotor_device *device = &w->device;
    const struct exact_rational one = exact_whole(1);
    struct exact_rational lo = one;
    struct exact_rational hi = one;
    if (!report_scale(w, report_steps_of(w, pad->torque, device->torque_num, device->torque_den),
                      numbers->device, one, &lo) ||
        !report_scale(w,
                      report_fraction_of(
                          w, table_word_steps(pad->torque, device->torque_num, device->torque_den)),
                      numbers->device, one, &hi)) {
        return "";
    }
    /* One step more would be another limit. */
    struct exact_rational step = report_steps_of(w, 1, device->torque_num, device->torque_den);
    if (!exact_mul(step, numbers->device, &step) || !exact_add(lo, step, &hi)) {
        report_written_refuse(w, "its torque limit does not fit 64 bits");
    }
    return report_in_table_unit(w, report_plainest(lo, hi, false), TABLE_TORQUE_UNIT,
                                device->torque_unit);
}

/* The free play at the pad that gives the backlash in counts; NULL if it is not known. */
static const char *backlash_of(struct report_written *w, const struct rotor_pad *pad,
                               const struct report_pad_numbers *numbers)
{
    struct exact_rational counts = report_fraction_of(w, w->device.counts);
    struct exact_rational degrees = exact_whole(1); /* of the pad, a count */
    struct exact_rational lo = exact_whole(0);
    struct exact_rational hi = exact_whole(0);
    if (pad->backlash == ROTOR_BACKLASH_UNKNOWN) {
        return NULL;
    }
    if (pad->backlash == 0) {
        return "0 deg";
    }
    if (!report_scale(w, exact_whole(360), exact_whole(1), counts, &degrees) ||
        !report_scale(w, degrees, exact_whole(1), numbers->device, &degrees) ||
        !report_scale(w, degrees, exact_whole(pad->backlash), exact_whole(1), &hi) ||
        !report_scale(w, degrees, exact_whole((int64_t)pad->backlash - 1), exact_whole(1), &lo)) {
        return NULL;
    }
    return arena_printf(w->arena, "%s +/- 0 deg",
                        report_exact_number(w, report_plainest(lo, hi, true)));
}

/*
 * The speed of the rotor that gives the limits of all pads of its spool. NULL if none follows: each
 * of them is the limit of the device.
 */
static const char *speed_of(struct report_written *w, const struct rotor_engine *engine,
                            uint32_t spool)
{
    const struct rotor_device *device = &w->device;
    const struct exact_rational one = exact_whole(1);
    const struct exact_rational step = report_steps_of(w, 1, device->speed_num, device->speed_den);
    struct exact_rational lo = exact_whole(0);
    struct exact_rational hi = exact_whole(0);
    bool limited = false;
    for (uint32_t i = 0; i < engine->pads.count; i++) {
        struct rotor_pad pad;
        struct exact_rational least = one;
        struct exact_rational beyond = one;
        rotor_get_pad(w->table, engine->pads.first + i, &pad);
        if (pad.spool != spool) {
            continue;
        }
        const struct report_pad_numbers numbers = report_pad_numbers_of(w, &pad);
        struct exact_rational ratio = one;
        if (!report_scale(w, numbers.ratio.lo, numbers.device, one, &ratio) ||
            !report_scale(w, step, exact_whole(pad.speed), ratio, &least) ||
            !report_scale(w, step, exact_whole((int64_t)pad.speed + 1), ratio, &beyond)) {
            return NULL;
        }
        lo = exact_compare(least, lo) > 0 ? least : lo;
        if (pad.speed < device->speed_max) {
            hi = !limited || exact_compare(beyond, hi) < 0 ? beyond : hi;
            limited = true;
        }
    }
    return limited ? report_in_table_unit(w, report_plainest(lo, hi, false), TABLE_SPEED_UNIT,
                                          device->speed_unit)
                   : NULL;
}

/* ---- the parts of a definition ----------------------------------------------------------------
 */

struct part {
    const struct rotor_engine *engine;
    const struct report_beside *beside;
    const struct rotor_pad *pad;
    const struct report_pad_numbers *numbers;
};

static void write_spools(struct report_written *w, const void *of, int depth)
{
    const struct part *part = of;
    for (uint32_t i = 0; i < part->engine->spools.count; i++) {
        struct rotor_spool spool;
        uint32_t index = part->engine->spools.first + i;
        rotor_get_spool(w->table, index, &spool);
        w->where = arena_printf(w->arena, "spool %s", spool.id);
        const char *speed = speed_of(w, part->engine, index);
        const struct report_known known[] = {
            {.key = "id", .value = report_id(w, spool.id)},
            {.key = "rotation",
             .value = arena_printf(w->arena, "{sense: %s, view: aft-looking-forward}",
                                   table_word_code(TABLE_SENSE, spool.rotation))},
            {.key = speed ? "max-speed" : "",
             .value = speed,
             .remark = "the least that gives the limits at the device; it may be a little higher"},
            {.key = spool.never_backwards ? "never-backwards" : "", .value = "yes"},
            {.key = NULL}};
        report_write_record(w, report_record_of(&model_engine_record, "spools"), depth, true,
                            known);
    }
}

static const char *ports_of(struct report_written *w, const struct rotor_stage *stage)
{
    const char *text = "";
    for (uint32_t i = 0; i < stage->ports.count; i++) {
        struct rotor_port port;
        rotor_get_port(w->table, stage->ports.first + i, &port);
        int hour = port.clock / 60 == 0 ? 12 : port.clock / 60;
        text = arena_printf(w->arena, "%s%s{id: %s, clock: \"%d:%02d\"}", text, i == 0 ? "" : ", ",
                            report_id(w, port.id), hour, port.clock % 60);
    }
    return stage->ports.count == 1 ? text : arena_printf(w->arena, "[%s]", text);
}

static const char *known_blades_of(struct report_written *w, struct rotor_range range)
{
    const char *text = "";
    for (uint32_t i = 0; i < range.count; i++) {
        struct rotor_known_blade known;
        rotor_get_known_blade(w->table, range.first + i, &known);
        text = arena_printf(w->arena, "%s%s{blade: %u, how: %s}", text, i == 0 ? "" : ", ",
                            known.blade, report_quoted(w, known.how));
    }
    return arena_printf(w->arena, "[%s]", text);
}

static void write_stages(struct report_written *w, const void *of, int depth)
{
    const struct part *part = of;
    for (uint32_t i = 0; i < part->engine->stages.count; i++) {
        struct rotor_stage stage;
        struct rotor_spool spool;
        uint32_t index = part->engine->stages.first + i;
        rotor_get_stage(w->table, index, &stage);
        rotor_get_spool(w->table, stage.spool, &spool);
        struct rotor_range blades = rotor_known_blades(w->table, index);
        w->where = arena_printf(w->arena, "stage %s", stage.id);
        bool clocked = stage.clocking.den != 0;
        const struct report_known known[] = {
            {.key = "id", .value = report_id(w, stage.id)},
            {.key = "spool", .value = report_id(w, spool.id)},
            {.key = "role", .value = table_word_code(TABLE_ROLE, stage.role)},
            {.key = "blades", .value = arena_printf(w->arena, "%u", stage.blades)},
            {.key = "numbering", .value = table_word_code(TABLE_NUMBERING, stage.numbering)},
            {.key = *stage.blade_one ? "blade-one" : "",
             .value = report_quoted(w, stage.blade_one)},
            {.key = blades.count != 0 ? "known-blades" : "", .value = known_blades_of(w, blades)},
            {.key = stage.ports.count != 0 ? "port" : "", .value = ports_of(w, &stage)},
            {.key = clocked ? "clocking" : "",
             .value = clocked ? arena_printf(
                                    w->arena, "%s deg",
                                    report_exact_number(w, report_fraction_of(w, stage.clocking)))
                              : ""},
            {.key = NULL}};
        report_write_record(w, report_record_of(&model_engine_record, "stages"), depth, true,
                            known);
    }
}

/*
 * Which way the device's side of an adapter has to face, so that its gears turn the spool as the
 * table says. NULL if it is the same way as the pad.
 */
static const char *adapter_faces(struct report_written *w, const struct rotor_pad *pad)
{
    struct turning_mesh meshes[TABLE_MESHES_MOST];
    enum turning_direction pad_faces = table_direction_of(pad->faces);
    int sign = pad->positive * (pad->rotation == w->device.positive ? 1 : -1);
    if (pad_faces == TURNING_NOWHERE || !table_path_of(w->table, pad->adapter_path, meshes)) {
        return NULL;
    }
    for (uint8_t code = ROTOR_DIRECTION_UNKNOWN; code <= ROTOR_RIGHT; code++) {
        struct turning_shaft end;
        size_t at = 0;
        enum turning_direction faces =
            code == ROTOR_DIRECTION_UNKNOWN ? pad_faces : table_direction_of(code);
        if (turning_path_sense(meshes, pad->adapter_path.count, turning_facing(faces, true), &end,
                               &at) == TURNING_DERIVED &&
            turning_sign_along(end, turning_opposite(pad_faces)) == sign) {
            return direction_word(code);
        }
    }
    report_written_refuse(w, "its adapter turns the spool the other way, whichever way it faces");
    return NULL;
}

static void write_adapter(struct report_written *w, const void *of, int depth)
{
    const struct part *part = of;
    const struct rotor_pad *pad = part->pad;
    const struct rotor_device *device = &w->device;
    const char *faces = adapter_faces(w, pad);
    const char *square = table_word_code(TABLE_SQUARE, pad->square);
    const struct report_known known[] = {
        {.key = pad->adapter_path.count != 0 ? "path" : "",
         .block = write_path,
         .of = &pad->adapter_path},
        {.key = faces ? "faces" : "",
         .value = faces,
         .remark = "a table does not have it: a way that turns the spool as the table says"},
        {.key = square ? "square" : "", .value = square},
        {.key = "torque-limit",
         .value = report_in_table_unit(
             w, report_steps_of(w, pad->torque, device->torque_num, device->torque_den),
             TABLE_TORQUE_UNIT, device->torque_unit),
         .remark = "the limit at the device; it may withstand more"},
        {.key = pad->backlash == ROTOR_BACKLASH_UNKNOWN ? "" : "backlash",
         .value = "0 deg",
         .remark = "it is in that of the pad"},
        {.key = NULL}};
    report_write_record(w,
                        report_record_of(report_record_of(&model_engine_record, "pads"), "adapter"),
                        depth, false, known);
}

static void write_pads(struct report_written *w, const void *of, int depth)
{
    const struct part *whole = of;
    for (uint32_t i = 0; i < whole->engine->pads.count; i++) {
        struct rotor_pad pad;
        struct rotor_spool spool;
        rotor_get_pad(w->table, whole->engine->pads.first + i, &pad);
        rotor_get_spool(w->table, pad.spool, &spool);
        w->where = arena_printf(w->arena, "pad %s", pad.id);
        const struct report_pad_numbers numbers = report_pad_numbers_of(w, &pad);
        const struct part part = {.engine = whole->engine, .pad = &pad, .numbers = &numbers};
        const char *square = table_word_code(TABLE_SQUARE, pad.own_square);
        const char *backlash = backlash_of(w, &pad, &numbers);
        bool adapted = pad.adapter.den != 0;
        bool pathless = pad.path.count == 0;
        const struct report_known known[] = {
            {.key = "id", .value = report_id(w, pad.id)},
            {.key = "spool", .value = report_id(w, spool.id)},
            {.key = pad.faces != ROTOR_DIRECTION_UNKNOWN ? "faces" : "",
             .value = direction_word(pad.faces)},
            {.key = "rotation",
             .value = arena_printf(w->arena, "{sense: %s, view: facing-pad}",
                                   table_word_code(TABLE_SENSE, pad.rotation))},
            {.key = pathless ? "turns" : "", .value = pathless ? turns_of(w, &numbers) : ""},
            {.key = pathless ? "" : "path", .block = write_path, .of = &pad.path},
            {.key = "drives", .value = table_word_code(TABLE_SENSE, pad.drives)},
            {.key = square ? "square" : "", .value = square},
            {.key = "torque-limit",
             .value = torque_of(w, &pad, &numbers),
             .remark = "the least that gives the limit at the device; it may withstand more"},
            {.key = backlash ? "backlash" : "",
             .value = backlash,
             .remark = adapted ? "of pad and adapter together" : NULL},
            {.key = adapted ? "adapter" : "", .block = write_adapter, .of = &part},
            {.key = NULL}};
        report_write_record(w, report_record_of(&model_engine_record, "pads"), depth, true, known);
    }
}

/* The compiler takes a pad whose gears do not prove its sense only if both senses were seen. */
static void write_observations(struct report_written *w, const void *of, int depth)
{
    const struct part *part = of;
    for (uint32_t i = 0; i < part->engine->pads.count; i++) {
        struct rotor_pad pad;
        struct rotor_spool spool;
        if (!part->beside->seen[i]) {
            continue;
        }
        rotor_get_pad(w->table, part->engine->pads.first + i, &pad);
        rotor_get_spool(w->table, pad.spool, &spool);
        fprintf(w->out,
                "%*s- pad: %s\n%*sseen: {pad: %s, rotor: %s}\n"
                "%*snote: The table was compiled with it. See it again on an engine.\n",
                2 * depth, "", report_id(w, pad.id), 2 * depth + 2, "",
                table_word_code(TABLE_SENSE, pad.rotation),
                table_word_code(TABLE_SENSE, spool.rotation), 2 * depth + 2, "");
    }
}

static void write_waivers(struct report_written *w, const void *of, int depth)
{
    const struct report_beside *beside = of;
    for (size_t i = 0; i < beside->accepted_count; i++) {
        const struct report_accepted *accepted = &beside->accepted[i];
        fprintf(w->out,
                "%*s- rule: %s\n%*sbecause: The table was compiled with it. Find out why.\n"
                "%*suntil: %s\n",
                2 * depth, "", rule_row(accepted->rule)->id, 2 * depth + 2, "", 2 * depth + 2, "",
                beside->until);
        if (accepted->pad) {
            fprintf(w->out, "%*spad: %s\n", 2 * depth + 2, "", report_id(w, accepted->pad));
        }
        if (accepted->stage) {
            fprintf(w->out, "%*sstage: %s\n", 2 * depth + 2, "", report_id(w, accepted->stage));
        }
    }
}

/*
 * The designations without the id, in the order in which the compiler met them: that of their
 * texts. NULL if there are none.
 */
static const char *models_of(struct report_written *w, uint32_t index, const char *id)
{
    const char *text = NULL;
    const char *last = NULL;
    for (;;) {
        const char *next = NULL;
        struct rotor_name name;
        for (uint32_t i = 0; rotor_get_name(w->table, i, &name); i++) {
            if (name.engine == index && strcmp(name.text, id) != 0 && (!last || name.text > last) &&
                (!next || name.text < next)) {
                next = name.text;
            }
        }
        if (!next) {
            return text ? arena_printf(w->arena, "[%s]", text) : NULL;
        }
        text = arena_printf(w->arena, "%s%s%s", text ? text : "", text ? ", " : "",
                            report_quoted(w, next));
        last = next;
    }
}

static bool any_seen(const struct part *part)
{
    for (uint32_t i = 0; i < part->engine->pads.count; i++) {
        if (part->beside->seen[i]) {
            return true;
        }
    }
    return false;
}

static const char what[] =
    "# Written from a table. What a table does not have is a comment: look for it in the sources "
    "of\n"
    "# the engine, and compare every number with them before this is released.\n";

const char *report_definition(FILE *out, const struct rotor_table *table, uint32_t index,
                              const struct report_beside *beside, struct arena *arena)
{
    struct report_written w = report_written_start(out, table, arena);
    struct rotor_engine engine;
    rotor_get_engine(table, index, &engine);
    const struct part part = {.engine = &engine, .beside = beside};
    const char *models = models_of(&w, index, engine.id);
    const struct report_known known[] = {
        {.key = "engine-definition", .value = "1"},
        {.key = "id", .value = report_id(&w, engine.id)},
        {.key = "name", .value = report_quoted(&w, engine.name)},
        {.key = models ? "models" : "", .value = models},
        {.key = "revision", .value = arena_printf(arena, "%" PRIu32, engine.revision)},
        {.key = "status", .value = "draft", .remark = "its sources are not known"},
        {.key = "spools", .block = write_spools, .of = &part},
        {.key = "stages", .block = write_stages, .of = &part},
        {.key = "pads", .block = write_pads, .of = &part},
        {.key = any_seen(&part) ? "observations" : "", .block = write_observations, .of = &part},
        {.key = beside->accepted_count != 0 ? "waive" : "", .block = write_waivers, .of = beside},
        {.key = NULL}};
    fputs(what, out);
    report_write_record(&w, &model_engine_record, 0, false, known);
    return w.problem ? arena_printf(arena, "%s, %s", engine.id, w.problem) : NULL;
}
