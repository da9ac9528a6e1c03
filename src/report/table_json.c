#include "report/table.h"

#include "field/rotor_bytes.h"
#include "report/json.h"
#include "table/words.h"

/* The state of the writer; texts live until an engine is written. */
struct writing {
    const struct rotor_table *table;
    const struct rotor_device *device;
    struct arena arena;
};

/* A text as the table has it: `show` refuses a table with texts that are not UTF-8. */
static void set_text(json_t *object, const char *key, const char *text)
{
    report_set(object, key, json_string(text));
}

/* The word of a code, or null for none. */
static void set_code(json_t *object, const char *key, enum table_code kind, uint8_t code)
{
    const char *word = table_word_code(kind, code);
    report_set(object, key, word ? json_string(word) : json_null());
}

/* The exact fraction as a string, or null for none. */
static void set_fraction(struct writing *w, json_t *object, const char *key,
                         struct rotor_fraction fraction)
{
    report_set(object, key,
               fraction.den == 0 ? json_null()
                                 : json_string(table_word_fraction(&w->arena, fraction)));
}

/* A range of a device: multiples of its resolution, and the same in its unit. */
static json_t *span(struct writing *w, const char *unit, uint32_t num, uint32_t den, uint32_t min,
                    uint32_t max)
{
    json_t *object = json_object();
    report_set(object, "unit", json_string(unit));
    set_fraction(w, object, "resolution", (struct rotor_fraction){num, den});
    set_fraction(w, object, "min", table_word_steps(min, num, den));
    set_fraction(w, object, "max", table_word_steps(max, num, den));
    report_set(object, "min_steps", json_integer(min));
    report_set(object, "max_steps", json_integer(max));
    return object;
}

static json_t *device_object(struct writing *w)
{
    const struct rotor_device *device = w->device;
    json_t *object = json_object();
    set_text(object, "id", device->id);
    set_text(object, "name", device->name);
    report_set(object, "sha256",
               json_string(words_hex(&w->arena, device->digest, ROTOR_DIGEST_SIZE)));
    set_code(object, "stepping", TABLE_STEPPING, device->stepping);
    set_code(object, "positive", TABLE_SENSE, device->positive);
    report_set(object, "counter_bits", json_integer(device->counter_bits));
    set_fraction(w, object, "counts_per_shaft_turn", device->counts);
    set_code(object, "square", TABLE_SQUARE, device->square);
    report_set(object, "torque",
               span(w, table_word_code(TABLE_TORQUE_UNIT, device->torque_unit), device->torque_num,
                    device->torque_den, device->torque_min, device->torque_max));
    report_set(object, "speed",
               span(w, table_word_code(TABLE_SPEED_UNIT, device->speed_unit), device->speed_num,
                    device->speed_den, device->speed_min, device->speed_max));
    return object;
}

static json_t *spool_object(struct writing *w, uint32_t index)
{
    struct rotor_spool spool;
    json_t *object = json_object();
    rotor_get_spool(w->table, index, &spool);
    set_text(object, "id", spool.id);
    set_code(object, "rotation", TABLE_SENSE, spool.rotation);
    report_set(object, "never_backwards", json_boolean(spool.never_backwards));
    return object;
}

static void set_spool(struct writing *w, json_t *object, uint32_t index)
{
    struct rotor_spool spool;
    rotor_get_spool(w->table, index, &spool);
    set_text(object, "spool", spool.id);
}

/* The blades of a stage that can be recognised, without blade one. */
static json_t *known_array(struct writing *w, uint32_t stage)
{
    struct rotor_range range = rotor_known_blades(w->table, stage);
    json_t *array = json_array();
    for (uint32_t i = 0; i < range.count; i++) {
        struct rotor_known_blade known;
        json_t *item = json_object();
        rotor_get_known_blade(w->table, range.first + i, &known);
        report_set(item, "blade", json_integer(known.blade));
        set_text(item, "how", known.how);
        report_add(array, item);
    }
    return array;
}

static json_t *stage_object(struct writing *w, uint32_t index)
{
    struct rotor_stage stage;
    json_t *object = json_object();
    json_t *ports = json_array();
    rotor_get_stage(w->table, index, &stage);
    set_text(object, "id", stage.id);
    set_spool(w, object, stage.spool);
    set_code(object, "role", TABLE_ROLE, stage.role);
    report_set(object, "blades", json_integer(stage.blades));
    set_code(object, "numbering", TABLE_NUMBERING, stage.numbering);
    set_text(object, "blade_one", stage.blade_one);
    set_fraction(w, object, "clocking_deg", stage.clocking);
    for (uint32_t i = 0; i < stage.ports.count; i++) {
        struct rotor_port port;
        json_t *item = json_object();
        rotor_get_port(w->table, stage.ports.first + i, &port);
        set_text(item, "id", port.id);
        report_set(item, "clock", json_string(words_clock(&w->arena, port.clock)));
        report_add(ports, item);
    }
    report_set(object, "ports", ports);
    report_set(object, "known_blades", known_array(w, index));
    return object;
}

static json_t *mesh_object(struct writing *w, uint32_t index)
{
    struct rotor_mesh mesh;
    json_t *object = json_object();
    rotor_get_mesh(w->table, index, &mesh);
    set_code(object, "kind", TABLE_MESH, mesh.kind);
    if (mesh.kind == ROTOR_MESH_EPICYCLIC) {
        report_set(object, "sun", json_integer(mesh.teeth_a));
        report_set(object, "ring", json_integer(mesh.teeth_b));
        report_set(object, "planet", mesh.teeth_c != 0 ? json_integer(mesh.teeth_c) : json_null());
        report_set(object, "planets", mesh.planets != 0 ? json_integer(mesh.planets) : json_null());
        set_code(object, "in", TABLE_MEMBER, mesh.in);
        set_code(object, "out", TABLE_MEMBER, mesh.out);
        set_code(object, "held", TABLE_MEMBER, mesh.held);
    } else if (mesh.kind != ROTOR_MESH_DIRECT) {
        report_set(object, "teeth", json_pack("[i, i]", mesh.teeth_a, mesh.teeth_b));
    }
    if (mesh.kind == ROTOR_MESH_BEVEL) {
        json_t *backs = json_array();
        const char *a = table_word_code(TABLE_DIRECTION, mesh.back_a);
        const char *b = table_word_code(TABLE_DIRECTION, mesh.back_b);
        report_add(backs, a ? json_string(a) : json_null());
        report_add(backs, b ? json_string(b) : json_null());
        report_set(object, "backs", backs);
    }
    return object;
}

static json_t *path_array(struct writing *w, struct rotor_range range)
{
    json_t *array = json_array();
    for (uint32_t i = 0; i < range.count; i++) {
        report_add(array, mesh_object(w, range.first + i));
    }
    return array;
}

static json_t *limit(struct writing *w, const char *unit, uint32_t num, uint32_t den,
                     uint32_t steps)
{
    json_t *object = json_object();
    set_fraction(w, object, "value", table_word_steps(steps, num, den));
    report_set(object, "unit", json_string(unit));
    report_set(object, "steps", json_integer(steps));
    return object;
}

static json_t *link_object(struct writing *w, uint32_t index)
{
    struct rotor_link link;
    struct rotor_stage stage;
    json_t *object = json_object();
    json_t *datums = json_array();
    rotor_get_link(w->table, index, &link);
    rotor_get_stage(w->table, link.stage, &stage);
    set_text(object, "stage", stage.id);
    report_set(object, "whole", json_integer(link.q));
    report_set(object, "num", json_integer(link.r));
    report_set(object, "den", json_integer(link.d));
    set_code(object, "order", TABLE_ORDER, link.order);
    for (uint32_t i = 0; i < link.datums.count; i++) {
        uint32_t count = 0;
        rotor_get_datum(w->table, link.datums.first + i, &count);
        report_add(datums, json_integer(count));
    }
    report_set(object, "datums", datums);
    return object;
}

static json_t *pad_object(struct writing *w, uint32_t index)
{
    const struct rotor_device *device = w->device;
    struct rotor_pad pad;
    json_t *object = json_object();
    json_t *ratio = json_object();
    json_t *links = json_array();
    rotor_get_pad(w->table, index, &pad);
    set_text(object, "id", pad.id);
    set_spool(w, object, pad.spool);
    set_code(object, "faces", TABLE_DIRECTION, pad.faces);
    set_code(object, "rotation", TABLE_SENSE, pad.rotation);
    set_code(object, "drives", TABLE_SENSE, pad.drives);
    report_set(object, "positive", json_integer(pad.positive));
    set_code(object, "square", TABLE_SQUARE, pad.square);
    set_code(object, "own_square", TABLE_SQUARE, pad.own_square);
    report_set(object, "torque_limit",
               limit(w, table_word_code(TABLE_TORQUE_UNIT, device->torque_unit), device->torque_num,
                     device->torque_den, pad.torque));
    report_set(object, "speed_limit",
               limit(w, table_word_code(TABLE_SPEED_UNIT, device->speed_unit), device->speed_num,
                     device->speed_den, pad.speed));
    report_set(object, "backlash_counts",
               pad.backlash == ROTOR_BACKLASH_UNKNOWN ? json_null() : json_integer(pad.backlash));
    report_set(object, "recheck_turns", json_integer(pad.recheck));
    set_fraction(w, object, "counts_per_rotor_turn", pad.counts_per_rotor_turn);
    set_fraction(w, ratio, "lo", pad.turns_lo);
    set_fraction(w, ratio, "hi", pad.turns_hi);
    report_set(object, "pad_turns_per_rotor_turn", ratio);
    set_fraction(w, object, "device_turns_per_pad_turn", pad.adapter);
    report_set(object, "path", path_array(w, pad.path));
    report_set(object, "adapter_path", path_array(w, pad.adapter_path));
    for (uint32_t i = 0; i < pad.links.count; i++) {
        report_add(links, link_object(w, pad.links.first + i));
    }
    report_set(object, "stages", links);
    return object;
}

static json_t *engine_object(struct writing *w, const struct table_names *names, uint32_t index)
{
    struct rotor_engine engine;
    json_t *object = json_object();
    json_t *designations = json_array();
    json_t *spools = json_array();
    json_t *stages = json_array();
    json_t *pads = json_array();
    rotor_get_engine(w->table, index, &engine);
    set_text(object, "id", engine.id);
    set_text(object, "name", engine.name);
    for (uint32_t i = names->first[index]; i != ROTOR_NONE; i = names->next[i]) {
        struct rotor_name name;
        rotor_get_name(w->table, i, &name);
        report_add(designations, json_string(name.text));
    }
    report_set(object, "designations", designations);
    report_set(object, "revision", json_integer(engine.revision));
    set_code(object, "status", TABLE_STATUS, engine.status);
    report_set(object, "sha256",
               json_string(words_hex(&w->arena, engine.digest, ROTOR_DIGEST_SIZE)));
    for (uint32_t i = 0; i < engine.spools.count; i++) {
        report_add(spools, spool_object(w, engine.spools.first + i));
    }
    for (uint32_t i = 0; i < engine.stages.count; i++) {
        report_add(stages, stage_object(w, engine.stages.first + i));
    }
    for (uint32_t i = 0; i < engine.pads.count; i++) {
        report_add(pads, pad_object(w, engine.pads.first + i));
    }
    report_set(object, "spools", spools);
    report_set(object, "stages", stages);
    report_set(object, "pads", pads);
    return object;
}

/* Writes an object on a separate line, and frees it. */
static void write_object(struct writing *w, FILE *out, json_t *object)
{
    report_json(out, object, JSON_COMPACT);
    arena_free(&w->arena);
}

void report_table_json(FILE *out, const struct rotor_table *table)
{
    struct rotor_device device;
    struct arena arena = {.newest = NULL};
    struct writing w = {table, &device, {.newest = NULL}};
    struct table_names names = table_names(&arena, table);
    rotor_get_device(table, &device);
    fprintf(out, "{\"format_version\": %u, \"oldest_reader\": %u, \"bytes\": %lu, \"signed\": %s,",
            rotor_u16(table->bytes + ROTOR_HEADER_VERSION),
            rotor_u16(table->bytes + ROTOR_HEADER_OLDEST), (unsigned long)table->length,
            table->signature != 0 ? "true" : "false");
    fputs("\n\"device\": ", out);
    write_object(&w, out, device_object(&w));
    fputs(",\n\"engines\": [", out);
    for (uint32_t i = 0; i < rotor_count(table, ROTOR_KIND_ENGINES); i++) {
        fputs(i == 0 ? "\n" : ",\n", out);
        write_object(&w, out, engine_object(&w, &names, i));
    }
    fputs("\n]}\n", out);
    arena_free(&arena);
}
