/*
 * ratio_json.c - the same for programs: exact numbers are strings, what is not known is null.
 */
#include "report/json.h"
#include "report/ratio.h"

static void set(json_t *object, const char *key, json_t *value)
{
    report_set(object, key, value);
}

static json_t *exact(struct exact_rational value)
{
    char text[EXACT_TEXT_SIZE];
    return json_string(exact_to_text(value, text));
}

static json_t *maybe(struct turning_maybe number)
{
    return number.fits ? exact(number.value) : json_null();
}

static json_t *interval(struct exact_interval within)
{
    return json_pack("[o, o]", exact(within.lo), exact(within.hi));
}

/* Turns, or null for what stands for none. */
static json_t *turns(int64_t count, int64_t none)
{
    return count == none ? json_null() : json_integer(count);
}

static json_t *measured_array(const struct report_ratio *ratio)
{
    json_t *array = json_array();
    for (size_t i = 0; i < ratio->measured_count; i++) {
        json_t *object = json_object();
        set(object, "given", json_string(ratio->given[i]));
        set(object, "within", interval(ratio->measured[i].within));
        report_add(array, object);
    }
    return array;
}

static json_t *contradiction_array(const struct report_ratio *ratio)
{
    json_t *array = json_array();
    for (size_t i = 0; i < ratio->measured_count; i++) {
        for (size_t j = i + 1; j < ratio->measured_count; j++) {
            if (!exact_intervals_meet(ratio->measured[i].within, ratio->measured[j].within)) {
                report_add(array, json_pack("[s, s]", ratio->given[i], ratio->given[j]));
            }
        }
    }
    return array;
}

static json_t *mesh_object(const struct turning_mesh *mesh)
{
    json_t *object = json_object();
    if (mesh->kind == TURNING_EPICYCLIC) {
        set(object, "sun", json_integer(mesh->sun_teeth));
        set(object, "planet", json_integer((mesh->ring_teeth - mesh->sun_teeth) / 2));
        set(object, "ring", json_integer(mesh->ring_teeth));
        set(object, "in", json_string(report_ratio_member(mesh->in)));
        set(object, "out", json_string(report_ratio_member(mesh->out)));
        set(object, "held", json_string(report_ratio_member(mesh->held)));
    } else {
        set(object, "teeth",
            json_pack("[I, I]", (json_int_t)mesh->pad_teeth, (json_int_t)mesh->rotor_teeth));
    }
    return object;
}

static json_t *off_array(const struct report_ratio *ratio, const struct turning_row *row)
{
    json_t *array = json_array();
    for (size_t i = 0; i < ratio->measured_count; i++) {
        struct turning_maybe off;
        off.fits = turning_measured_off(&ratio->measured[i], row->ratio, &off.value);
        report_add(array, maybe(off));
    }
    return array;
}

static json_t *row_object(const struct report_ratio *ratio, const struct turning_row *row)
{
    json_t *object = json_object();
    json_t *meshes = json_array();
    for (unsigned i = 0; i < row->train.count; i++) {
        report_add(meshes, mesh_object(&row->train.meshes[i]));
    }
    set(object, "ratio", exact(row->ratio));
    set(object, "meshes", meshes);
    set(object, "teeth", json_integer(row->train.teeth));
    set(object, "gear_sets", json_integer((json_int_t)row->train.ways));
    set(object, "off", maybe(row->off));
    set(object, "off_measured", off_array(ratio, row));
    set(object, "off_rotor_deg", maybe(row->off_deg));
    if (ratio->blades != 0) {
        set(object, "turns_to_miscount", turns(row->miscount, -1));
    }
    set(object, "turns_to_tell_from_first", turns(row->apart, -1));
    return object;
}

static json_t *next_object(const struct report_ratio *ratio)
{
    const struct turning_next *next = &ratio->answer->next;
    json_t *object = json_object();
    set(object, "reading_pad_turns", exact(ratio->reading));
    set(object, "reading_assumed", json_boolean(ratio->reading_assumed));
    set(object, "turns_first_two", turns(next->first_two, -1));
    set(object, "pad_turns_first_two",
        json_pack("[o, o]", maybe(next->pad[0]), maybe(next->pad[1])));
    set(object, "turns_first_from_all", turns(next->first, -1));
    set(object, "turns_all", turns(next->all, -1));
    return object;
}

static json_t *outside_object(const struct turning_outside *outside)
{
    json_t *object = json_object();
    set(object, "ratio", exact(outside->ratio));
    set(object, "tolerances", maybe(outside->far));
    return object;
}

static void set_answer(json_t *object, const struct report_ratio *ratio)
{
    const struct turning_answer *answer = ratio->answer;
    json_t *rows = json_array();
    for (size_t i = 0; i < answer->count; i++) {
        report_add(rows, row_object(ratio, &answer->rows[i]));
    }
    set(object, "within", interval(ratio->within));
    set(object, "total", json_integer((json_int_t)answer->candidates.total));
    set(object, "total_is_least", json_boolean(answer->candidates.more));
    set(object, "searched_to_sum", turns(answer->candidates.searched_to, 0));
    set(object, "candidates", rows);
    set(object, "next", answer->count > 1 ? next_object(ratio) : json_null());
    set(object, "outside", answer->outside.found ? outside_object(&answer->outside) : json_null());
}

void report_ratio_json(FILE *out, const struct report_ratio *ratio)
{
    json_t *object = json_object();
    set(object, "measured", measured_array(ratio));
    set(object, "contradictions", contradiction_array(ratio));
    set(object, "known", exact(ratio->space.known));
    if (ratio->answer) {
        set_answer(object, ratio);
    }
    report_json(out, object, JSON_INDENT(2));
    fputc('\n', out);
}
