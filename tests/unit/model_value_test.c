/*
 * model_value_test.c - what the fields make of sound texts: values, intervals, states, decimals.
 */
#include "unit/support.h"

/* The sound definition with one change, which has to be sound as well. */
static const struct model_engine *load(struct support *s, const char *from, const char *to)
{
    support_start(s);
    support_load(s, changed(&s->arena, sound_engine, from, to));
    (void)assert_only(s, RULE_NONE);
    ck_assert_ptr_nonnull(s->engine.engine);
    return s->engine.engine;
}

START_TEST(every_value_of_a_definition)
{
    struct support s;
    support_start(&s);
    support_load(&s, sound_engine);
    (void)assert_only(&s, RULE_NONE);
    ck_assert_int_eq(s.engine.kind, MODEL_ENGINE_KIND);
    ck_assert(s.engine.read);
    const struct model_engine *engine = s.engine.engine;
    ck_assert_int_eq(engine->version.value, 1);
    ck_assert_str_eq(engine->id.text, "plover-2");
    ck_assert_uint_eq(engine->id.length, 8);
    ck_assert_str_eq(engine->name.text, "Plover 2");
    ck_assert_uint_eq(engine->models.count, 2);
    ck_assert_str_eq(MODEL_ITEM(engine->models, struct model_text, 1)->text, "Plover 2B");
    ck_assert_int_eq(engine->revision.value, 4);
    ck_assert_int_eq(engine->status.value, MODEL_RELEASED);
    ck_assert_str_eq(engine->source.text, "Invented");
    ck_assert_uint_eq(engine->waivers.count, 0);
    ck_assert_int_eq(engine->waivers.at.state, MODEL_ABSENT);

    ck_assert_uint_eq(engine->spools.count, 1);
    const struct model_spool *spool = model_spool(engine, 0);
    ck_assert_str_eq(spool->id.text, "HP");
    ck_assert_int_eq(spool->rotation.sense.value, MODEL_CW);
    ck_assert_int_eq(spool->rotation.view.value, MODEL_AFT_LOOKING_FORWARD);
    assert_rational(120, 1, spool->max_speed.written.stated);
    ck_assert_int_eq(spool->max_speed.written.unit, EXACT_DEG_PER_MIN);
    ck_assert_int_eq(spool->turned_by.at.state, MODEL_ABSENT);
    ck_assert_int_eq(spool->never_backwards.at.state, MODEL_ABSENT);

    ck_assert_uint_eq(engine->stages.count, 1);
    const struct model_stage *stage = model_stage(engine, 0);
    ck_assert_uint_eq(stage->spool_index, 0);
    ck_assert_int_eq(stage->role.value, MODEL_COMPRESSOR);
    ck_assert_int_eq(stage->blades.value, 32);
    ck_assert_int_eq(stage->numbering.word.value, MODEL_AGAINST_ROTATION);
    ck_assert_str_eq(stage->blade_one.text, "two lugs");
    ck_assert_uint_eq(stage->ports.count, 1);
    ck_assert_int_eq(MODEL_ITEM(stage->ports, struct model_port, 0)->clock.minutes.value,
                     4 * 60 + 30);
    assert_rational(25, 2, stage->clocking.written.stated);

    ck_assert_uint_eq(engine->pads.count, 1);
    const struct model_pad *pad = model_pad(engine, 0);
    ck_assert_uint_eq(pad->spool_index, 0);
    ck_assert_int_eq(pad->faces.value, TURNING_AFT);
    ck_assert_int_eq(pad->rotation.sense.value, MODEL_CCW);
    ck_assert_int_eq(pad->rotation.view.value, MODEL_FACING_PAD);
    ck_assert_int_eq(pad->drives.value, MODEL_DRIVES_BOTH);
    ck_assert_int_eq(pad->square.value, 1);
    assert_rational(40, 1, pad->torque_limit.written.stated);
    ck_assert_int_eq(pad->torque_limit.written.unit, EXACT_LBF_FT);
    assert_rational(23, 20, pad->backlash.range.lo);
    assert_rational(5, 4, pad->backlash.range.hi);
    ck_assert_int_eq(pad->adapter.at.state, MODEL_ABSENT);
    ck_assert_uint_eq(pad->path.count, 1);
    const struct model_mesh *mesh = MODEL_ITEM(pad->path, struct model_mesh, 0);
    ck_assert(mesh->whole);
    ck_assert_int_eq(mesh->bare.kind, TURNING_EXTERNAL);
    ck_assert_int_eq(mesh->bare.pad_teeth, 20);
    ck_assert_int_eq(mesh->bare.rotor_teeth, 40);
    ck_assert_uint_eq(mesh->bare.contacts, 1);

    ck_assert_uint_eq(engine->observations.count, 1);
    const struct model_observation *observation = model_observation(engine, 0);
    ck_assert_uint_eq(observation->pad_index, 0);
    assert_rational(199, 10, observation->counted.pad.range.lo);
    assert_rational(201, 10, observation->counted.pad.range.hi);
    ck_assert_int_eq(observation->seen.pad.value, MODEL_CCW);
    ck_assert_int_eq(observation->seen.rotor.value, MODEL_CW);
    ck_assert_int_eq(observation->returned.at.state, MODEL_ABSENT);
    support_end(&s);
}
END_TEST

START_TEST(every_value_of_a_profile)
{
    struct support s;
    support_start(&s);
    support_device(&s, sound_device);
    ck_assert_int_eq(s.device.kind, MODEL_DEVICE_KIND);
    const struct model_device *device = s.device.device;
    ck_assert_str_eq(device->id.text, "bench-3");
    ck_assert_int_eq(device->shaft.counts_per_motor_turn.value, 2000);
    assert_rational(80, 1, device->shaft.reduction.motor.written.stated);
    ck_assert_int_eq(device->shaft.positive.value, MODEL_CW);
    ck_assert_int_eq(device->shaft.square.value, 1);
    ck_assert_int_eq(device->stepping.value, MODEL_SCHEDULED);
    ck_assert_int_eq(device->counter_bits.value, 32);
    assert_rational(6, 1, device->speed.max.written.stated);
    ck_assert_int_eq(device->speed.max.written.unit, EXACT_RPM);
    assert_rational(1, 2, device->torque.resolution.written.stated);
    ck_assert_int_eq(device->limits.table_bytes.value, 65536);
    ck_assert_int_eq(device->limits.engines.value, 200);
    ck_assert_int_eq(device->limits.stages.value, 24);
    ck_assert_int_eq(device->limits.pads.value, 4);
    ck_assert_int_eq(device->limits.blades.value, 255);
    ck_assert_int_eq(device->limits.text_bytes.value, 20);
    ck_assert_int_eq(device->limits.text.value, MODEL_ASCII);
    ck_assert(s.on.known);
    assert_rational(80, 1, s.on.reduction);
    assert_rational(160000, 1, s.on.counts_per_turn);
    ck_assert_int_eq(s.on.torque_min, 10);
    ck_assert_int_eq(s.on.torque_max, 120);
    ck_assert_int_eq(s.on.speed_min, 10);
    ck_assert_int_eq(s.on.speed_max, 21600); /* 2160 deg/min */
    support_end(&s);
}
END_TEST

/* A profile's limits round towards safe: the least up, the greatest down; a path is as good as a
 * reduction. */
START_TEST(profiles_round_towards_safe)
{
    struct support s;
    support_start(&s);
    const char *text = changed(&s.arena, sound_device, "min: 5 lbf.ft, max: 60 lbf.ft",
                               "min: 5.1 lbf.ft, max: 60.9 lbf.ft");
    text = changed(&s.arena, text, "reduction: {motor: 80, output: 1}",
                   "path: [external: [20, 90], epicyclic: {sun: 16, ring: 48, planet: 16, planets: "
                   "4, in: sun, out: carrier, held: ring}]");
    support_device(&s, text);
    ck_assert_int_eq(s.on.torque_min, 11);
    ck_assert_int_eq(s.on.torque_max, 121);
    assert_rational(18, 1, s.on.reduction);
    assert_rational(36000, 1, s.on.counts_per_turn);
    support_end(&s);
}
END_TEST

/* A decimal alone is rounded; integers and fractions are exact; +/- says it all. */
START_TEST(intervals_of_turns)
{
    const struct {
        const char *text;
        int64_t lo[2], hi[2];
    } cases[] = {{"2.2522", {225215, 100000}, {225225, 100000}},
                 {"2", {2, 1}, {2, 1}},
                 {"2.0", {195, 100}, {205, 100}},
                 {"9/4", {9, 4}, {9, 4}},
                 {"2 +/- 0.5", {3, 2}, {5, 2}},
                 {"2 \xc2\xb1 1/8", {15, 8}, {17, 8}},
                 {"2.25 +/- 0", {9, 4}, {9, 4}},
                 {"48 +/- 0", {48, 1}, {48, 1}}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        struct support s;
        char to[64];
        snprintf(to, sizeof to, "turns: {pad: %s,", cases[i].text);
        const struct model_engine *engine = load(&s, "turns: {pad: 2,", to);
        struct exact_interval range = model_pad(engine, 0)->turns.pad.range;
        ck_assert(exact_equal(range.lo, rat(cases[i].lo[0], cases[i].lo[1])));
        ck_assert(exact_equal(range.hi, rat(cases[i].hi[0], cases[i].hi[1])));
        support_end(&s);
    }
}
END_TEST

/* Free play is never less than none; other quantities are exact as written. */
START_TEST(intervals_of_others)
{
    struct support s;
    const struct model_engine *engine = load(&s, "backlash: 1.2 deg", "backlash: 0.2 +/- 0.5 deg");
    assert_rational(0, 1, model_pad(engine, 0)->backlash.range.lo);
    assert_rational(7, 10, model_pad(engine, 0)->backlash.range.hi);
    support_end(&s);
    engine = load(&s, "backlash: 1.2 deg", "backlash: 0 deg");
    assert_rational(0, 1, model_pad(engine, 0)->backlash.range.hi);
    support_end(&s);
    engine = load(&s, "torque-limit: 40 lbf.ft", "torque-limit: 40.5 N.m");
    ck_assert(exact_is_point(model_pad(engine, 0)->torque_limit.range));
    assert_rational(81, 2, model_pad(engine, 0)->torque_limit.range.hi);
    support_end(&s);
    engine = load(&s, "clocking: 12.5 deg", "clocking: -3 arcmin");
    assert_rational(-3, 1, model_stage(engine, 0)->clocking.range.lo);
    ck_assert_int_eq(model_stage(engine, 0)->clocking.written.unit, EXACT_ARCMIN);
    support_end(&s);
}
END_TEST

START_TEST(clock_positions)
{
    const struct {
        const char *text;
        int minutes;
    } cases[] = {{"\"12:00\"", 0}, {"\"1:00\"", 60},   {"4:30", 270},
                 {"'6:05'", 365},  {"\"11:59\"", 719}, {"12:59", 59}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        struct support s;
        const struct model_engine *engine = load(&s, "\"4:30\"", cases[i].text);
        const struct model_list *ports = &model_stage(engine, 0)->ports;
        ck_assert_int_eq(MODEL_ITEM(*ports, struct model_port, 0)->clock.minutes.value,
                         cases[i].minutes);
        support_end(&s);
    }
}
END_TEST

START_TEST(clock_positions_with_a_view)
{
    const struct {
        const char *text;
        int minutes;
    } cases[] = {{"{at: \"2:00\", view: aft-looking-forward}", 120},
                 {"{at: \"2:00\", view: forward-looking-aft}", 600},
                 {"{view: forward-looking-aft, at: 11:59}", 1},
                 {"{at: \"6:00\", view: forward-looking-aft}", 360},
                 {"{at: \"12:00\", view: forward-looking-aft}", 0}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        struct support s;
        const struct model_engine *engine = load(&s, "\"4:30\"", cases[i].text);
        const struct model_list *ports = &model_stage(engine, 0)->ports;
        ck_assert_int_eq(MODEL_ITEM(*ports, struct model_port, 0)->clock.minutes.value,
                         cases[i].minutes);
        support_end(&s);
    }
}
END_TEST

/* In the sense of the rotation, with the rotation; each of both may be seen from either end. */
START_TEST(numberings_with_a_view)
{
    static const char *const senses[] = {"cw", "ccw"};
    static const char *const views[] = {"aft-looking-forward", "forward-looking-aft"};
    for (int i = 0; i < 16; i++) {
        struct support s;
        char spool[128];
        char numbering[128];
        support_start(&s);
        snprintf(spool, sizeof spool, "rotation: {sense: %s, view: %s}", senses[i & 1],
                 views[i >> 1 & 1]);
        snprintf(numbering, sizeof numbering, "numbering: {sense: %s, view: %s}",
                 senses[i >> 2 & 1], views[i >> 3 & 1]);
        const char *text = changed(&s.arena, sound_engine,
                                   "rotation: {sense: cw, view: aft-looking-forward}", spool);
        support_load(&s, changed(&s.arena, text, "numbering: against-rotation", numbering));
        (void)assert_only(&s, RULE_NONE);
        int differences = (i & 1) + (i >> 1 & 1) + (i >> 2 & 1) + (i >> 3 & 1);
        const struct model_code *word = &model_stage(s.engine.engine, 0)->numbering.word;
        ck_assert_int_eq(word->at.state, MODEL_GIVEN);
        ck_assert_int_eq(word->value,
                         differences % 2 == 0 ? MODEL_WITH_ROTATION : MODEL_AGAINST_ROTATION);
        support_end(&s);
    }
}
END_TEST

/* What is needed for the word was not read, and that is reported once. */
START_TEST(numbering_on_a_spool_that_was_not_read)
{
    static const struct {
        const char *from, *to;
        enum rule_id rule;
    } cases[] = {
        {"    spool: HP\n    role", "    spool: H\n    role", RULE_REFERENCE_UNKNOWN},
        {"rotation: {sense: cw, view: aft", "rotation: {sense: up, view: aft", RULE_WRONG_SHAPE},
        {"numbering: {sense: cw", "numbering: {sense: up", RULE_WRONG_SHAPE},
        {", view: forward-looking-aft}", "}", RULE_MISSING_KEY},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        struct support s;
        support_start(&s);
        const char *text = changed(&s.arena, sound_engine, "numbering: against-rotation",
                                   "numbering: {sense: cw, view: forward-looking-aft}");
        support_load(&s, changed(&s.arena, text, cases[i].from, cases[i].to));
        (void)assert_only(&s, cases[i].rule);
        ck_assert_int_eq(model_stage(s.engine.engine, 0)->numbering.word.at.state, MODEL_BROKEN);
        support_end(&s);
    }
}
END_TEST

START_TEST(several_ports)
{
    struct support s;
    const struct model_engine *engine =
        load(&s, "port: {id: P1, clock: \"4:30\"}",
             "port: [{id: P1, clock: \"4:30\"}, {id: P2, clock: \"8:15\"}]");
    const struct model_list *ports = &model_stage(engine, 0)->ports;
    ck_assert_uint_eq(ports->count, 2);
    ck_assert_str_eq(MODEL_ITEM(*ports, struct model_port, 1)->id.text, "P2");
    ck_assert_int_eq(MODEL_ITEM(*ports, struct model_port, 1)->clock.minutes.value, 495);
    support_end(&s);
}
END_TEST

START_TEST(dates)
{
    const struct {
        const char *text;
        int date;
    } cases[] = {{"2027-06-30", 20270630}, {"2028-02-29", 20280229}, {"2000-02-29", 20000229},
                 {"0001-01-01", 10101},    {"9999-12-31", 99991231}, {"2027-01-31", 20270131}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        struct support s;
        char to[128];
        snprintf(
            to, sizeof to,
            "waive: [{rule: backlash-large, because: x, until: %s, pad: crank}]\nobservations:\n",
            cases[i].text);
        const struct model_engine *engine = load(&s, "observations:\n", to);
        const struct model_waiver *waiver = MODEL_ITEM(engine->waivers, struct model_waiver, 0);
        ck_assert_int_eq(waiver->until.value, cases[i].date);
        ck_assert_int_eq(waiver->rule.value, RULE_BACKLASH_LARGE);
        ck_assert_str_eq(waiver->pad.text, "crank");
        ck_assert_int_eq(waiver->stage.at.state, MODEL_ABSENT);
        support_end(&s);
    }
}
END_TEST

/* A square has two names, and hand and yes are words, not YAML's guesses. */
START_TEST(words_with_other_names)
{
    static const char *const names[MODEL_SQUARES][2] = {{"1/4 in", "6.3 mm"},
                                                        {"3/8 in", "10 mm"},
                                                        {"1/2 in", "12.5 mm"},
                                                        {"3/4 in", "20 mm"},
                                                        {"1 in", "25 mm"}};
    for (int i = 0; i < MODEL_SQUARES * 2; i++) {
        struct support s;
        char to[32];
        snprintf(to, sizeof to, "square: %s", names[i / 2][i % 2]);
        const struct model_engine *engine = load(&s, "square: 3/8 in", to);
        ck_assert_int_eq(model_pad(engine, 0)->square.value, i / 2);
        support_end(&s);
    }
    const struct {
        const char *text;
        int value;
    } flags[] = {{"yes", 1}, {"no", 0}, {"true", 1}, {"false", 0}, {"\"yes\"", 1}};
    for (size_t i = 0; i < sizeof flags / sizeof *flags; i++) {
        struct support s;
        char to[64];
        snprintf(to, sizeof to, "    never-backwards: %s\n    max-speed:", flags[i].text);
        const struct model_engine *engine = load(&s, "    max-speed:", to);
        ck_assert_int_eq(model_spool(engine, 0)->never_backwards.value, flags[i].value);
        support_end(&s);
    }
}
END_TEST

START_TEST(meshes_of_every_kind)
{
    struct support s;
    const struct model_engine *engine =
        load(&s, "[external: [20, 40]]",
             "[direct, external: [27, 33, 30, 44], internal: [20, 90], bevel: [31, 22],\n"
             "      {bevel: {backs: [left, up], teeth: [19, 37]}}, epicyclic: {sun: 16, ring: 48,\n"
             "      planet: 16, planets: 4, in: ring, out: carrier, held: sun}]");
    const struct model_list *path = &model_pad(engine, 0)->path;
    ck_assert_uint_eq(path->count, 6);
    const struct model_mesh *mesh[6];
    for (size_t i = 0; i < 6; i++) {
        mesh[i] = MODEL_ITEM(*path, struct model_mesh, i);
        ck_assert(mesh[i]->whole);
    }
    ck_assert_int_eq(mesh[0]->bare.kind, TURNING_DIRECT);
    ck_assert_int_eq(mesh[1]->bare.kind, TURNING_EXTERNAL);
    ck_assert_int_eq(mesh[1]->bare.pad_teeth, 27);
    ck_assert_int_eq(mesh[1]->bare.rotor_teeth, 44);
    ck_assert_uint_eq(mesh[1]->bare.contacts, 3);
    ck_assert_uint_eq(mesh[1]->teeth_count, 4);
    ck_assert_int_eq(mesh[1]->teeth[2].value, 30);
    ck_assert_int_eq(mesh[2]->bare.kind, TURNING_INTERNAL);
    ck_assert_int_eq(mesh[2]->bare.rotor_teeth, 90);
    ck_assert_int_eq(mesh[3]->bare.kind, TURNING_BEVEL);
    ck_assert_int_eq(mesh[3]->bare.backs[0], TURNING_NOWHERE);
    ck_assert_int_eq(mesh[3]->bare.backs[1], TURNING_NOWHERE);
    ck_assert_int_eq(mesh[4]->bare.pad_teeth, 19);
    ck_assert_int_eq(mesh[4]->bare.backs[0], TURNING_LEFT);
    ck_assert_int_eq(mesh[4]->bare.backs[1], TURNING_UP);
    ck_assert_int_eq(mesh[5]->bare.kind, TURNING_EPICYCLIC);
    ck_assert_int_eq(mesh[5]->bare.sun_teeth, 16);
    ck_assert_int_eq(mesh[5]->bare.ring_teeth, 48);
    ck_assert_int_eq(mesh[5]->bare.in, TURNING_RING);
    ck_assert_int_eq(mesh[5]->bare.out, TURNING_CARRIER);
    ck_assert_int_eq(mesh[5]->bare.held, TURNING_SUN);
    support_end(&s);
}
END_TEST

/* What is absent stands at the first key of its map; what is broken is marked. */
START_TEST(states_and_places)
{
    struct support s;
    support_start(&s);
    const char *text = changed(&s.arena, sound_engine, "blades: 32", "blades: x");
    text = changed(&s.arena, text, "    drives: both\n", "");
    support_load(&s, changed(&s.arena, text, "status: released\n", ""));
    ck_assert_uint_eq(s.findings.count, 2);
    const struct model_engine *engine = s.engine.engine;
    ck_assert_int_eq(model_stage(engine, 0)->blades.at.state, MODEL_BROKEN);
    ck_assert_int_eq(engine->status.at.state, MODEL_BROKEN);
    const struct model_pad *pad = model_pad(engine, 0);
    ck_assert_int_eq(pad->drives.at.state, MODEL_ABSENT);
    ck_assert_uint_eq(pad->drives.at.span.line, pad->id.at.key.line);
    ck_assert_uint_eq(pad->drives.at.span.column, pad->id.at.key.column);
    ck_assert_int_eq(pad->backlash.at.state, MODEL_GIVEN);
    ck_assert_uint_eq(pad->backlash.at.key.column, 5);
    ck_assert_uint_eq(pad->backlash.at.span.column, 15);
    ck_assert_uint_eq(pad->backlash.at.span.end_column, 22);
    support_end(&s);

    support_start(&s);
    text = changed(&s.arena, sound_engine, "Plover 2, Plover 2B", "Plover 2, [x]");
    text = changed(&s.arena, text, "observations:\n", "observations:\n  - x\n");
    support_load(&s,
                 changed(&s.arena, text, "    spool: HP\n    faces", "    spool: N\n    faces"));
    ck_assert_uint_eq(s.findings.count, 3);
    engine = s.engine.engine;
    ck_assert_int_eq(MODEL_ITEM(engine->models, struct model_text, 0)->at.state, MODEL_GIVEN);
    ck_assert_int_eq(MODEL_ITEM(engine->models, struct model_text, 1)->at.state, MODEL_BROKEN);
    ck_assert_int_eq(model_observation(engine, 0)->at.state, MODEL_BROKEN);
    ck_assert_int_eq(model_observation(engine, 1)->at.state, MODEL_GIVEN);
    ck_assert_int_eq(model_pad(engine, 0)->spool.at.state, MODEL_BROKEN);
    ck_assert_uint_eq(model_pad(engine, 0)->spool_index, SIZE_MAX);
    support_end(&s);
}
END_TEST

/* JSON is YAML. */
START_TEST(json_is_accepted)
{
    struct support s;
    support_start(&s);
    support_load(&s, "{\"engine-definition\": 1, \"id\": \"a\", \"name\": \"A\", \"revision\": 1,"
                     "\"status\": \"draft\", \"spools\": [{\"id\": \"N1\", \"turned-by\": \"hand\","
                     "\"rotation\": {\"sense\": \"cw\", \"view\": \"aft-looking-forward\"}}],"
                     "\"stages\": [{\"id\": \"F\", \"spool\": \"N1\", \"role\": \"fan\","
                     "\"blades\": 22, \"numbering\": \"with-rotation\"}]}");
    (void)assert_only(&s, RULE_NONE);
    ck_assert_int_eq(model_stage(s.engine.engine, 0)->blades.value, 22);
    ck_assert_int_eq(model_spool(s.engine.engine, 0)->turned_by.value, 1);
    support_end(&s);
}
END_TEST

START_TEST(references_lead_to_their_items)
{
    struct support s;
    support_start(&s);
    const char *text = changed(&s.arena, sound_engine, "stages:\n",
                               "  - id: LP\n"
                               "    rotation: {sense: cw, view: forward-looking-aft}\n"
                               "stages:\n"
                               "  - {id: F, spool: LP, role: fan, blades: 22, numbering: "
                               "with-rotation}\n");
    text = changed(&s.arena, text, "observations:\n",
                   "  - id: quill\n"
                   "    spool: LP\n"
                   "    rotation: {sense: cw, view: facing-pad}\n"
                   "    turns: {pad: 3/2, rotor: 1}\n"
                   "    torque-limit: 10 N.m\n"
                   "observations:\n"
                   "  - pad: quill\n"
                   "    returned: {stage: F, after: 22, pad: 1.5 rev}\n");
    support_load(&s, text);
    (void)assert_only(&s, RULE_NONE);
    const struct model_engine *engine = s.engine.engine;
    ck_assert_uint_eq(model_stage(engine, 0)->spool_index, 1);
    ck_assert_uint_eq(model_stage(engine, 1)->spool_index, 0);
    ck_assert_uint_eq(model_pad(engine, 0)->spool_index, 0);
    ck_assert_uint_eq(model_pad(engine, 1)->spool_index, 1);
    ck_assert_uint_eq(model_observation(engine, 0)->pad_index, 1);
    ck_assert_uint_eq(model_observation(engine, 0)->returned.stage_index, 0);
    ck_assert_int_eq(model_observation(engine, 0)->returned.after.value, 22);
    ck_assert_uint_eq(model_observation(engine, 1)->returned.stage_index, SIZE_MAX);
    support_end(&s);
}
END_TEST

/* A file's kind can be told where its text cannot be read. */
START_TEST(kinds_that_are_claimed)
{
    const struct {
        const char *text;
        bool claimed;
    } cases[] = {{"engine-definition: 1\n", true},
                 {"policy: 1", true},
                 {"# comment\n\n  # more\ndevice-profile: 1\n\t: [", true},
                 {"\xef\xbb\xbf"
                  "engine-definition: 1\n",
                  true},
                 {"---\npolicy: 1\n", true},
                 {"{\"engine-definition\": 1,", true},
                 {"engine-definition: 1\n\xff", true},
                 {"a: 1\nengine-definition: 1\n", false},
                 {"engine: 1\n", false},
                 {"", false},
                 {"# engine-definition: 1\n", false},
                 {"polic", false}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        const struct text_file file = {
            .path = "x", .bytes = cases[i].text, .length = strlen(cases[i].text)};
        ck_assert_msg(model_kind_is_claimed(&file) == cases[i].claimed, "%s", cases[i].text);
    }
    const struct text_file cut_off = {.path = "x", .bytes = "policy: 1\n", .length = 5};
    ck_assert(!model_kind_is_claimed(&cut_off));
    const struct text_file unread = {.path = "x", .bytes = NULL, .length = 0};
    ck_assert(!model_kind_is_claimed(&unread));
}
END_TEST

int main(void)
{
    TCase *tests = tcase_create("value");
    tcase_add_test(tests, every_value_of_a_definition);
    tcase_add_test(tests, every_value_of_a_profile);
    tcase_add_test(tests, profiles_round_towards_safe);
    tcase_add_test(tests, intervals_of_turns);
    tcase_add_test(tests, intervals_of_others);
    tcase_add_test(tests, clock_positions);
    tcase_add_test(tests, clock_positions_with_a_view);
    tcase_add_test(tests, numberings_with_a_view);
    tcase_add_test(tests, numbering_on_a_spool_that_was_not_read);
    tcase_add_test(tests, several_ports);
    tcase_add_test(tests, dates);
    tcase_add_test(tests, words_with_other_names);
    tcase_add_test(tests, meshes_of_every_kind);
    tcase_add_test(tests, states_and_places);
    tcase_add_test(tests, json_is_accepted);
    tcase_add_test(tests, references_lead_to_their_items);
    tcase_add_test(tests, kinds_that_are_claimed);
    return run_case("model", tests);
}
