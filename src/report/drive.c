#include "report/drive.h"

#include "table/replay.h"
#include "words/number.h"

#include <inttypes.h>

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

const char *report_turns_of(struct report_written *w, const struct report_pad_numbers *numbers)
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

const char *report_direction(uint8_t code)
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
                                mesh->teeth_a, mesh->teeth_b, report_direction(mesh->back_a),
                                report_direction(mesh->back_b));
        }
        break;
    default: break;
    }
    return arena_printf(w->arena, "%s: [%u, %u]", kind, mesh->teeth_a, mesh->teeth_b);
}

void report_write_path(struct report_written *w, const void *of, int depth)
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

const char *report_torque_of(struct report_written *w, const struct rotor_pad *pad,
                             const struct report_pad_numbers *numbers)
{
    const struct rotor_device *device = &w->device;
    const struct exact_rational one = exact_whole(1);
    struct exact_rational step = report_steps_of(w, 1, device->torque_num, device->torque_den);
    struct exact_rational lo = one;
    struct exact_rational hi = one; /* here it would be one step more */
    if (!report_scale(w, step, numbers->device, one, &step) ||
        !report_scale(w, step, exact_whole(pad->torque), one, &lo) ||
        !report_scale(w, step, exact_whole((int64_t)pad->torque + 1), one, &hi)) {
        return "";
    }
    return report_in_table_unit(w, report_plainest(lo, hi, false), TABLE_TORQUE_UNIT,
                                device->torque_unit);
}

const char *report_backlash_of(struct report_written *w, const struct rotor_pad *pad,
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

const char *report_speed_of(struct report_written *w, const struct rotor_engine *engine,
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

const char *report_adapter_faces(struct report_written *w, const struct rotor_pad *pad)
{
    struct turning_mesh meshes[TABLE_MESHES_MOST];
    enum turning_direction pad_faces = table_direction_of(pad->faces);
    int sign = pad->positive * (pad->rotation == w->device.positive ? 1 : -1);
    if (pad_faces == TURNING_NOWHERE || !table_path_of(w->table, pad->adapter_path, meshes)) {
        return NULL;
    }
    for (unsigned at_code = ROTOR_DIRECTION_UNKNOWN; at_code <= ROTOR_RIGHT; at_code++) {
        uint8_t code = (uint8_t)at_code;
        struct turning_shaft end;
        size_t at = 0;
        enum turning_direction faces =
            code == ROTOR_DIRECTION_UNKNOWN ? pad_faces : table_direction_of(code);
        if (turning_path_sense(meshes, pad->adapter_path.count, turning_facing(faces, true), &end,
                               &at) == TURNING_DERIVED &&
            turning_sign_along(end, turning_opposite(pad_faces)) == sign) {
            return report_direction(code);
        }
    }
    report_written_refuse(w, "its adapter turns the spool the other way, whichever way it faces");
    return NULL;
}
