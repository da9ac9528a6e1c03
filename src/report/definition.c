#include "report/definition.h"

#include "report/drive.h"

#include <inttypes.h>
#include <string.h>
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
        const char *speed = report_speed_of(w, part->engine, index);
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
        text = arena_printf(w->arena, "%s%s{id: %s, clock: \"%s\"}", text, i == 0 ? "" : ", ",
                            report_id(w, port.id), words_clock(w->arena, port.clock));
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

static void write_adapter(struct report_written *w, const void *of, int depth)
{
    const struct part *part = of;
    const struct rotor_pad *pad = part->pad;
    const struct rotor_device *device = &w->device;
    const char *faces = report_adapter_faces(w, pad);
    const char *square = table_word_code(TABLE_SQUARE, pad->square);
    const struct report_known known[] = {
        {.key = pad->adapter_path.count != 0 ? "path" : "",
         .block = report_write_path,
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
        const char *backlash = report_backlash_of(w, &pad, &numbers);
        bool adapted = pad.adapter.den != 0;
        bool pathless = pad.path.count == 0;
        const struct report_known known[] = {
            {.key = "id", .value = report_id(w, pad.id)},
            {.key = "spool", .value = report_id(w, spool.id)},
            {.key = pad.faces != ROTOR_DIRECTION_UNKNOWN ? "faces" : "",
             .value = report_direction(pad.faces)},
            {.key = "rotation",
             .value = arena_printf(w->arena, "{sense: %s, view: facing-pad}",
                                   table_word_code(TABLE_SENSE, pad.rotation))},
            {.key = pathless ? "turns" : "", .value = pathless ? report_turns_of(w, &numbers) : ""},
            {.key = pathless ? "" : "path", .block = report_write_path, .of = &pad.path},
            {.key = "drives", .value = table_word_code(TABLE_SENSE, pad.drives)},
            {.key = square ? "square" : "", .value = square},
            {.key = "torque-limit",
             .value = report_torque_of(w, &pad, &numbers),
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
static const char *models_of(struct report_written *w, const struct table_names *names,
                             uint32_t index, const char *id)
{
    const char *models[MODEL_MODELS_MOST];
    size_t count = 0;
    w->where = "models";
    for (uint32_t i = names->first[index]; i != ROTOR_NONE; i = names->next[i]) {
        struct rotor_name name;
        rotor_get_name(w->table, i, &name);
        if (strcmp(name.text, id) == 0) {
            continue;
        }
        if (count == MODEL_MODELS_MOST) {
            report_written_refuse(w, "there are more than a definition can have");
            return NULL;
        }
        size_t at = count++;
        for (; at != 0 && models[at - 1] > name.text; at--) {
            models[at] = models[at - 1];
        }
        models[at] = name.text;
    }
    const char *text = "";
    for (size_t i = 0; i < count; i++) {
        text =
            arena_printf(w->arena, "%s%s%s", text, i == 0 ? "" : ", ", report_quoted(w, models[i]));
    }
    return count == 0 ? NULL : arena_printf(w->arena, "[%s]", text);
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

const char *report_definition(FILE *out, const struct rotor_table *table,
                              const struct table_names *names, uint32_t index,
                              const struct report_beside *beside, struct arena *arena)
{
    struct report_written w = report_written_start(out, table, arena);
    struct rotor_engine engine;
    rotor_get_engine(table, index, &engine);
    const struct part part = {.engine = &engine, .beside = beside};
    const char *models = models_of(&w, names, index, engine.id);
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
