/*
 * model_slips_test.c - each kind of field, written wrongly: one finding, at its place, and nothing
 * that merely follows from it, not even where the definition is judged on a device.
 */
#include "unit/support.h"

#define DIGITS "Write it with digits only."
#define OWN "(the rule's own)"
#define AGAIN "Read the number again in its source: it is a whole number."

struct slip {
    const char *from, *to; /* `to` with marks around the place */
    enum rule_id rule;
    const char *remedy; /* a part of the remedy; NULL: whatever it is */
};

static void assert_slip(const char *sound, const struct slip *slip)
{
    struct support s;
    struct marks marks;
    support_start(&s);
    const char *text = unmarked(&s.arena, changed(&s.arena, sound, slip->from, slip->to), &marks);
    if (sound == sound_engine) {
        support_device(&s, sound_device);
        support_load(&s, text);
    } else {
        support_load_as(&s, &s.device, "x.yaml", text, strlen(text));
    }
    const struct finding *finding = assert_only(&s, slip->rule);
    ck_assert_msg(finding->at.line == marks.line && finding->at.column == marks.column &&
                      (marks.end_line == 0 || (finding->at.end_line == marks.end_line &&
                                               finding->at.end_column == marks.end_column)),
                  "%s: expected at %u:%u-%u:%u, not %u:%u-%u:%u%s", slip->to, marks.line,
                  marks.column, marks.end_line, marks.end_column, finding->at.line,
                  finding->at.column, finding->at.end_line, finding->at.end_column,
                  support_words(&s));
    ck_assert_int_eq(finding->severity, SEVERITY_ERROR);
    if (slip->remedy) {
        const char *remedy = finding->remedy ? finding->remedy : OWN;
        ck_assert_msg(strstr(remedy, slip->remedy), "%s: %s", slip->to, remedy);
    }
    if (sound == sound_engine && s.engine.engine) {
        s.findings.count = 0;
        support_judge(&s, text, true);
        (void)assert_only(&s, slip->rule);
    }
    support_end(&s);
}

#define ASSERT_SLIPS(sound, slips)                                                                 \
    do {                                                                                           \
        for (size_t i_ = 0; i_ < sizeof(slips) / sizeof *(slips); i_++) {                          \
            assert_slip(sound, &(slips)[i_]);                                                      \
        }                                                                                          \
    } while (0)

#define A_LINE_OF_0 "000000000000000000000000000000000000000000000000000000000000"
#define A_LINE_OF_61 "a123456789b123456789c123456789d123456789e123456789f1234567890"
#define A_LINE_OF_50 "xxxxxxxxxx\xc3\xa9xxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxxx"

START_TEST(sound_texts_are_sound)
{
    struct support s;
    support_start(&s);
    support_device(&s, sound_device);
    support_judge(&s, sound_engine, true);
    (void)assert_only(&s, RULE_NONE);
    support_end(&s);
}
END_TEST

START_TEST(former_keys)
{
    static const struct slip slips[] = {
        {"    backlash:", "    @lash@:", RULE_UNKNOWN_KEY, "Write backlash."},
        {"observations:\n", "@witness@:\n", RULE_UNKNOWN_KEY, "Write observations."},
    };
    ASSERT_SLIPS(sound_engine, slips);
}
END_TEST

START_TEST(ids)
{
    /* clang-format off */
    static const struct slip slips[] = {
        {"id: plover-2", "id: @Plover-2@", RULE_ID_MALFORMED, NULL},
        {"id: plover-2", "id: @plover--2@", RULE_ID_MALFORMED, NULL},
        {"id: plover-2", "id: @-plover@", RULE_ID_MALFORMED, NULL},
        {"id: plover-2", "id: @plover-@", RULE_ID_MALFORMED, NULL},
        {"id: plover-2", "id: @plover_2@", RULE_ID_MALFORMED, NULL},
        {"id: plover-2", "id: @plover 2@", RULE_ID_MALFORMED, NULL},
        {"id: plover-2", "id: @pl\xc3\xb6ver@", RULE_ID_MALFORMED, NULL},
        {"id: plover-2", "id: @" A_LINE_OF_61 "@", RULE_ID_MALFORMED, NULL},
        {"- id: HP", "- id: @H/P@", RULE_ID_MALFORMED, NULL},
        {"- id: S1", "- id: @S1-@", RULE_ID_MALFORMED, NULL},
        {"- id: crank", "- id: @\"\"@", RULE_MISSING_KEY, NULL},
        {"id: P1,", "id: @P.1@,", RULE_ID_MALFORMED, NULL},
    };
    /* clang-format on */
    ASSERT_SLIPS(sound_engine, slips);
}
END_TEST

START_TEST(texts)
{
    /* clang-format off */
    static const struct slip slips[] = {
        {"name: Plover 2", "name: @\"a\\nb\"@", RULE_WRONG_SHAPE, NULL},
        {"name: Plover 2\n", "name: @|\n  a\n@", RULE_WRONG_SHAPE, NULL},
        {"name: Plover 2", "name: @[a]@", RULE_WRONG_SHAPE, NULL},
        {"name: Plover 2", "name: @{a: b}@", RULE_WRONG_SHAPE, NULL},
        {"name: Plover 2", "@name@:", RULE_MISSING_KEY, NULL},
        {"name: Plover 2", "name: @''@", RULE_MISSING_KEY, NULL},
        {"name: Plover 2", "name: @'  '@", RULE_MISSING_KEY, "Write the value"},
        {"name: Plover 2", "name: @\"\\_\\u3000\\t\"@", RULE_MISSING_KEY, NULL},
        {"name: Plover 2", "name: @' Plover 2'@", RULE_WRONG_SHAPE, "Delete the blank"},
        {"models: [Plover 2, Plover 2B]", "models: [@'Plover 2 '@, Plover 2B]", RULE_WRONG_SHAPE,
         "Delete the blank"},
        {"models: [Plover 2, Plover 2B]", "models: [@\"Plover 2\\_\"@]", RULE_WRONG_SHAPE, NULL},
        {"models: [Plover 2, Plover 2B]", "models: [a, @' '@]", RULE_MISSING_KEY, NULL},
        {"source: Invented", "source: @\" \\n \"@", RULE_MISSING_KEY, NULL},
        {"- id: crank", "- id: @' '@", RULE_ID_MALFORMED, NULL},
        {"name: Plover 2", "name: @x" A_LINE_OF_50 A_LINE_OF_50 A_LINE_OF_50 A_LINE_OF_50 "@",
         RULE_OUT_OF_RANGE, NULL},
        {"blade-one: two lugs", "blade-one: @[two, lugs]@", RULE_WRONG_SHAPE, NULL},
        {"source: Invented", "source: @{a: b}@", RULE_WRONG_SHAPE, NULL},
        {"models: [Plover 2, Plover 2B]", "models: @Plover@", RULE_WRONG_SHAPE, NULL},
        {"models: [Plover 2, Plover 2B]", "models: @[]@", RULE_OUT_OF_RANGE, NULL},
        {"models: [Plover 2, Plover 2B]", "models: [a, @[b]@]", RULE_WRONG_SHAPE, NULL},
        {"models: [Plover 2, Plover 2B]", "models: [a, @\"\"@]", RULE_MISSING_KEY, NULL},
        {"models: [Plover 2, Plover 2B]", "models: @{a: b}@", RULE_WRONG_SHAPE, NULL},
        {"models: [Plover 2, Plover 2B]", "@models@:", RULE_MISSING_KEY, NULL},
    };
    /* clang-format on */
    ASSERT_SLIPS(sound_engine, slips);
}
END_TEST

START_TEST(words)
{
    /* clang-format off */
    static const struct slip slips[] = {
        {"status: released", "status: @relased@", RULE_WRONG_SHAPE, "Did you mean released?"},
        {"status: released", "status: @final@", RULE_WRONG_SHAPE, NULL},
        {"status: released", "status: @Released@", RULE_WRONG_SHAPE, "Did you mean released?"},
        {"role: compressor", "role: @compresor@", RULE_WRONG_SHAPE, "Did you mean compressor?"},
        {"numbering: against-rotation", "numbering: @backwards@", RULE_WRONG_SHAPE,
         "Write one of these forms."},
        {"{sense: cw, view: aft", "{sense: @clockwise@, view: aft", RULE_WRONG_SHAPE, NULL},
        {"view: aft-looking-forward", "view: @facing-pad@", RULE_WRONG_SHAPE, NULL},
        {"view: facing-pad", "view: @from-behind@", RULE_WRONG_SHAPE, NULL},
        {"view: facing-pad", "view: @ALF@", RULE_WRONG_SHAPE, "Write aft-looking-forward for ALF"},
        {"view: facing-pad", "view: @fla@", RULE_WRONG_SHAPE, "Write forward-looking-aft for fla"},
        {"view: aft-looking-forward", "view: @FLA@", RULE_WRONG_SHAPE,
         "Write forward-looking-aft for FLA"},
        {"view: aft-looking-forward", "view: @alf@", RULE_WRONG_SHAPE,
         "Write aft-looking-forward for alf"},
        {"drives: both", "drives: @ALF@", RULE_WRONG_SHAPE, NULL},
        {"numbering: against-rotation", "numbering: {sense: cw, view: @alf@}", RULE_WRONG_SHAPE,
         "Write aft-looking-forward for alf"},
        {"numbering: against-rotation", "numbering: {@sense@: cw}", RULE_MISSING_KEY, "Add view:"},
        {"numbering: against-rotation", "numbering: {sense: cw, view: @facing-pad@}",
         RULE_WRONG_SHAPE, NULL},
        {"clock: \"4:30\"", "clock: {@at@: \"4:30\"}", RULE_MISSING_KEY, "Add view:"},
        {"clock: \"4:30\"", "clock: {at: @\"13:30\"@, view: aft-looking-forward}",
         RULE_WRONG_SHAPE, NULL},
        {"clock: \"4:30\"", "clock: @[\"4:30\"]@", RULE_WRONG_SHAPE, NULL},
        {"faces: aft", "faces: @rear@", RULE_WRONG_SHAPE, NULL},
        {"drives: both", "drives: @bot@", RULE_WRONG_SHAPE, "Did you mean both?"},
        {"square: 3/8 in", "square: @3/8@", RULE_WRONG_SHAPE, NULL},
        {"square: 3/8 in", "square: @7/8 in@", RULE_WRONG_SHAPE, NULL},
        {"square: 3/8 in", "square: @9.5 mm@", RULE_WRONG_SHAPE,
         "Write 3/8 in: it is the same size."},
        {"square: 3/8 in", "square: @0.5 inch@", RULE_WRONG_SHAPE,
         "Write 1/2 in: it is the same size."},
        {"square: 3/8 in", "square: @10.00mm@", RULE_WRONG_SHAPE,
         "Write 10 mm: it is the same size."},
        {"square: 3/8 in", "square: @9.4 mm@", RULE_WRONG_SHAPE, NULL},
        {"square: 3/8 in", "square: @[3/8 in]@", RULE_WRONG_SHAPE, NULL},
        {"seen: {pad: ccw,", "seen: {pad: @CCW@,", RULE_WRONG_SHAPE, NULL},
    };
    /* clang-format on */
    ASSERT_SLIPS(sound_engine, slips);
}
END_TEST

START_TEST(whole_numbers)
{
    /* clang-format off */
    static const struct slip slips[] = {
        {"revision: 4", "revision: @0@", RULE_OUT_OF_RANGE, NULL},
        {"revision: 4", "revision: @-1@", RULE_OUT_OF_RANGE, NULL},
        {"revision: 4", "revision: @1000000@", RULE_OUT_OF_RANGE, NULL},
        {"revision: 4", "revision: @four@", RULE_BAD_NUMBER, DIGITS},
        {"revision: 4", "revision: @~@", RULE_BAD_NUMBER, DIGITS},
        {"revision: 4", "revision: @off@", RULE_BAD_NUMBER, DIGITS},
        {"revision: 4", "revision: @0x1f@", RULE_BAD_NUMBER, DIGITS},
        {"revision: 4", "revision: @1_000@", RULE_BAD_NUMBER, DIGITS},
        {"revision: 4", "revision: @1e3@", RULE_BAD_NUMBER, DIGITS},
        {"revision: 4", "revision: @4.0@", RULE_BAD_NUMBER, AGAIN},
        {"revision: 4", "revision: @04@", RULE_BAD_NUMBER, "Write 4, without the zero before it."},
        {"revision: 4", "revision: @0040@", RULE_BAD_NUMBER, "Write 40, without zeros before it."},
        {"revision: 4", "revision: @00@", RULE_BAD_NUMBER, "Write 0, without the zero before it."},
        {"revision: 4", "revision: @" A_LINE_OF_0 A_LINE_OF_0 "4@", RULE_BAD_NUMBER, DIGITS},
        {"revision: 4", "revision: @+4@", RULE_BAD_NUMBER, DIGITS},
        {"revision: 4", "revision: @12:30@", RULE_BAD_NUMBER, DIGITS},
        {"revision: 4", "revision: @4 5@", RULE_BAD_NUMBER, AGAIN},
        {"revision: 4", "revision: @12345678901234567890@", RULE_NUMBER_TOO_LARGE, NULL},
        {"revision: 4", "revision: @[4]@", RULE_WRONG_SHAPE, NULL},
        {"revision: 4", "@revision@:", RULE_MISSING_KEY, NULL},
        {"blades: 32", "blades: @32.5@", RULE_BAD_NUMBER, AGAIN},
        {"blades: 32", "blades: @0@", RULE_OUT_OF_RANGE, NULL},
        {"blades: 32", "blades: @10000@", RULE_OUT_OF_RANGE, NULL},
        {"blades: 32", "@blades@:", RULE_MISSING_KEY, "Usually found in"},
        {"engine-definition: 1", "engine-definition: @2@", RULE_UNKNOWN_VERSION, NULL},
        {"engine-definition: 1", "engine-definition: @0@", RULE_UNKNOWN_VERSION, NULL},
        {"engine-definition: 1", "engine-definition: @2@\nbogus: 1", RULE_UNKNOWN_VERSION, NULL},
        {"engine-definition: 1", "engine-definition: @one@", RULE_BAD_NUMBER, NULL},
    };
    /* clang-format on */
    ASSERT_SLIPS(sound_engine, slips);
}
END_TEST

START_TEST(quantities)
{
    /* clang-format off */
    static const struct slip slips[] = {
        {"max-speed: 120 deg/min", "max-speed: @120@", RULE_MISSING_UNIT, "deg/min"},
        {"max-speed: 120 deg/min", "max-speed: 120 @deg@", RULE_WRONG_UNIT, "deg/min"},
        {"max-speed: 120 deg/min", "max-speed: 120 @rps@", RULE_WRONG_UNIT, "rpm"},
        {"max-speed: 120 deg/min", "max-speed: 120 @DEG/MIN@", RULE_WRONG_UNIT, NULL},
        {"max-speed: 120 deg/min", "max-speed: @fast@", RULE_BAD_NUMBER, NULL},
        {"max-speed: 120 deg/min", "max-speed: @1,5 rpm@", RULE_BAD_NUMBER, "Write 1.5 rpm."},
        {"max-speed: 120 deg/min", "max-speed: @.5@ rpm", RULE_BAD_NUMBER, NULL},
        {"max-speed: 120 deg/min", "max-speed: @1/0@ rpm", RULE_BAD_NUMBER, NULL},
        {"max-speed: 120 deg/min", "max-speed: @0 rpm@", RULE_OUT_OF_RANGE, NULL},
        {"max-speed: 120 deg/min", "max-speed: @-2 rpm@", RULE_OUT_OF_RANGE, NULL},
        {"max-speed: 120 deg/min", "max-speed: @2 +/- 1 rpm@", RULE_WRONG_SHAPE, NULL},
        {"max-speed: 120 deg/min", "max-speed: @1234567890123456789@ rpm", RULE_NUMBER_TOO_LARGE,
         NULL},
        {"max-speed: 120 deg/min", "max-speed: @[120 deg/min]@", RULE_WRONG_SHAPE, NULL},
        {"max-speed: 120 deg/min", "@max-speed@:", RULE_MISSING_KEY, NULL},
        {"torque-limit: 40 lbf.ft", "torque-limit: 40 @lbfft@", RULE_WRONG_UNIT, "lbf.ft"},
        {"torque-limit: 40 lbf.ft", "torque-limit: \"40 @ft.lb@\"", RULE_WRONG_UNIT, NULL},
        {"torque-limit: 40 lbf.ft", "torque-limit: 40 @rpm@", RULE_WRONG_UNIT, NULL},
        {"clocking: 12.5 deg", "clocking: @12.5@", RULE_MISSING_UNIT, "arcmin"},
        {"clocking: 12.5 deg", "clocking: 12.5 @mm@", RULE_WRONG_UNIT, NULL},
    };
    /* clang-format on */
    ASSERT_SLIPS(sound_engine, slips);
}
END_TEST

START_TEST(intervals)
{
    /* clang-format off */
    static const struct slip slips[] = {
        {"turns: {pad: 2,", "turns: {pad: 2 @rev@,", RULE_WRONG_UNIT, "Delete the unit"},
        {"turns: {pad: 2,", "turns: {pad: @0@,", RULE_OUT_OF_RANGE, NULL},
        {"turns: {pad: 2,", "turns: {pad: @-2@,", RULE_OUT_OF_RANGE, NULL},
        {"turns: {pad: 2,", "turns: {pad: @2 +/- 2@,", RULE_OUT_OF_RANGE, NULL},
        {"turns: {pad: 2,", "turns: {pad: 2 +/- @-1@,", RULE_BAD_NUMBER, NULL},
        {"turns: {pad: 2,", "turns: {pad: @two@,", RULE_BAD_NUMBER, NULL},
        {"turns: {pad: 2,", "turns: {@pad@: ,", RULE_MISSING_KEY, NULL},
        {"backlash: 1.2 deg", "backlash: @1.2@", RULE_MISSING_UNIT, NULL},
        {"backlash: 1.2 deg", "backlash: @-0.1 deg@", RULE_OUT_OF_RANGE, NULL},
        {"backlash: 1.2 deg", "backlash: 1.2 @+/-@ x deg", RULE_BAD_NUMBER, NULL},
        {"counted: {pad: 20 +/- 0.1 rev,", "counted: {pad: @20@,", RULE_MISSING_UNIT, "rev"},
        {"counted: {pad: 20 +/- 0.1 rev,", "counted: {pad: @0.1 +/- 0.1 rev@,", RULE_OUT_OF_RANGE,
         NULL},
        {"rotor: 10 rev}", "rotor: 10 @N.m@}", RULE_WRONG_UNIT, NULL},
    };
    /* clang-format on */
    ASSERT_SLIPS(sound_engine, slips);
}
END_TEST

START_TEST(clocks)
{
    /* clang-format off */
    static const struct slip slips[] = {
        {"\"4:30\"", "@\"0:30\"@", RULE_WRONG_SHAPE, "Write it like \"4:30\"."},
        {"\"4:30\"", "@\"13:00\"@", RULE_WRONG_SHAPE, NULL},
        {"\"4:30\"", "@\"4:60\"@", RULE_WRONG_SHAPE, NULL},
        {"\"4:30\"", "@\"4:3\"@", RULE_WRONG_SHAPE, NULL},
        {"\"4:30\"", "@\"04:30\"@", RULE_WRONG_SHAPE, "Write \"4:30\"."},
        {"\"4:30\"", "@\"4.30\"@", RULE_WRONG_SHAPE, NULL},
        {"\"4:30\"", "@\"4:3x\"@", RULE_WRONG_SHAPE, NULL},
        {"\"4:30\"", "@\"x:30\"@", RULE_WRONG_SHAPE, NULL},
        {"\"4:30\"", "@\":30\"@", RULE_WRONG_SHAPE, NULL},
        {"\"4:30\"", "@\"123:00\"@", RULE_WRONG_SHAPE, NULL},
        {"\"4:30\"", "@\"4:30 \"@", RULE_WRONG_SHAPE, "Write it like \"4:30\"."},
        {"\"4:30\"", "@\"7:15 FLA\"@", RULE_WRONG_SHAPE,
         "Write {at: \"7:15\", view: forward-looking-aft} or {at: \"7:15\", view: aft-"},
        {"\"4:30\"", "@\"13:00 FLA\"@", RULE_WRONG_SHAPE, "Write it like \"4:30\"."},
        {"\"4:30\"", "@270@", RULE_WRONG_SHAPE, NULL}, /* what YAML 1.1 makes of 4:30 */
        {"\"4:30\"", "@\"\"@", RULE_MISSING_KEY, NULL},
        {", clock: \"4:30\"", ", @clock@: ", RULE_MISSING_KEY, NULL},
    };
    /* clang-format on */
    ASSERT_SLIPS(sound_engine, slips);
}
END_TEST

#define WAIVER(rule, until)                                                                        \
    "waive:\n  - {rule: " rule ", because: x, until: " until "}\nobservations:\n"

START_TEST(dates_and_rules)
{
    /* clang-format off */
    static const struct slip slips[] = {
        {"observations:\n", WAIVER("backlash-large", "@2027-02-29@"), RULE_WRONG_SHAPE, NULL},
        {"observations:\n", WAIVER("backlash-large", "@2100-02-29@"), RULE_WRONG_SHAPE, NULL},
        {"observations:\n", WAIVER("backlash-large", "@2027-13-01@"), RULE_WRONG_SHAPE, NULL},
        {"observations:\n", WAIVER("backlash-large", "@2027-00-01@"), RULE_WRONG_SHAPE, NULL},
        {"observations:\n", WAIVER("backlash-large", "@2027-04-31@"), RULE_WRONG_SHAPE, NULL},
        {"observations:\n", WAIVER("backlash-large", "@2027-06-00@"), RULE_WRONG_SHAPE, NULL},
        {"observations:\n", WAIVER("backlash-large", "@2027-6-30@"), RULE_WRONG_SHAPE, NULL},
        {"observations:\n", WAIVER("backlash-large", "@0000-06-30@"), RULE_WRONG_SHAPE, NULL},
        {"observations:\n", WAIVER("backlash-large", "@2027/06/30@"), RULE_WRONG_SHAPE, NULL},
        {"observations:\n", WAIVER("backlash-large", "@30.06.2027@"), RULE_WRONG_SHAPE, NULL},
        {"observations:\n", WAIVER("@backlash-larg@", "2027-06-30"), RULE_WRONG_SHAPE,
         "Did you mean backlash-large?"},
        {"observations:\n", WAIVER("@anything@", "2027-06-30"), RULE_WRONG_SHAPE, NULL},
        {"observations:\n", WAIVER("backlash-large, @pad@: ", "2027-06-30"), RULE_MISSING_KEY,
         NULL},
        {"observations:\n", WAIVER("backlash-large, pad: @cank@", "2027-06-30"),
         RULE_REFERENCE_UNKNOWN,
         "Did you mean crank?"},
        {"observations:\n", WAIVER("backlash-large, stage: @S2@", "2027-06-30"),
         RULE_REFERENCE_UNKNOWN,
         "Did you mean S1?"},
        {"observations:\n",
         "waive:\n  - {@rule@: backlash-large, until: 2027-06-30}\nobservations:\n",
         RULE_MISSING_KEY, "because"},
    };
    /* clang-format on */
    ASSERT_SLIPS(sound_engine, slips);
}
END_TEST

START_TEST(records)
{
    /* clang-format off */
    static const struct slip slips[] = {
        {"turns: {pad: 2, rotor: 1}", "turns: @2@", RULE_WRONG_SHAPE, NULL},
        {"turns: {pad: 2, rotor: 1}", "turns: @[2, 1]@", RULE_WRONG_SHAPE, NULL},
        {"turns: {pad: 2, rotor: 1}", "@turns@:", RULE_MISSING_KEY, NULL},
        {"turns: {pad: 2, rotor: 1}", "turns: @*x@", RULE_ALIAS_REFUSED, NULL},
        {"turns: {pad: 2, rotor: 1}", "turns: {@pad@: 2}", RULE_MISSING_KEY, "Add rotor"},
        {"{sense: ccw, view: facing-pad}", "{@sense@: ccw}", RULE_MISSING_KEY, "Add view"},
        {"    square: 3/8 in\n", "    @sqare@: 3/8 in\n", RULE_UNKNOWN_KEY, "Did you mean square?"},
        {"    square: 3/8 in\n", "    square: 3/8 in\n    @sqare@: 1/2 in\n", RULE_UNKNOWN_KEY,
         OWN},
        {"    square: 3/8 in\n", "    @colour@: grey\n", RULE_UNKNOWN_KEY, NULL},
        {"    square: 3/8 in\n", "    @\"\"@: grey\n", RULE_UNKNOWN_KEY, NULL},
        {"    square: 3/8 in\n", "    @\"<<\"@: grey\n", RULE_UNKNOWN_KEY, NULL},
        {"    square: 3/8 in\n", "    @<<@: {square: 3/8 in}\n", RULE_ALIAS_REFUSED, NULL},
        {"    square: 3/8 in\n", "    @[a]@: grey\n", RULE_WRONG_SHAPE, NULL},
        {"    square: 3/8 in\n", "    square: 3/8 in\n    @square@: 1/2 in\n", RULE_DUPLICATE_KEY,
         NULL},
        {"engine-definition: 1\nid: plover-2\nname: Plover 2\n",
         "@engine-definition@: 1\nid: plover-2\n", RULE_MISSING_KEY, "Add name"},
        {"- id: S1\n    spool: HP\n", "- @id@: S1\n", RULE_MISSING_KEY, "Add spool"},
        {"    faces: aft\n", "    faces: @*x@\n", RULE_ALIAS_REFUSED, NULL},
        {"    faces: aft\n", "    faces: @!x aft@\n", RULE_TAG_REFUSED, NULL},
    };
    /* clang-format on */
    ASSERT_SLIPS(sound_engine, slips);
}
END_TEST

START_TEST(lists_of_records)
{
    /* clang-format off */
    static const struct slip slips[] = {
        /* what refers to something in a list that was not read stays silent */
        {"spools:\n"
         "  - id: HP\n"
         "    rotation: {sense: cw, view: aft-looking-forward}\n"
         "    max-speed: 120 deg/min\n",
         "spools: @HP@\n", RULE_WRONG_SHAPE, NULL},
        {"    port: {id: P1, clock: \"4:30\"}", "    port: @P1@", RULE_WRONG_SHAPE, NULL},
        {"    port: {id: P1, clock: \"4:30\"}", "    port: @[]@", RULE_OUT_OF_RANGE, NULL},
        {"    port: {id: P1, clock: \"4:30\"}", "    port: [@P1@]", RULE_WRONG_SHAPE, NULL},
        {"    port: {id: P1, clock: \"4:30\"}", "    @port@:", RULE_MISSING_KEY, NULL},
        {"    port: {id: P1, clock: \"4:30\"}", "    port: {@id@: P1}", RULE_MISSING_KEY,
         "Add clock"},
        {"observations:\n  - pad: crank\n",
         "observations:\n  - @pad@: crank\n    note: x\n  - pad: crank\n",
         RULE_MISSING_KEY, NULL},
        {"observations:\n  - pad: crank\n", "observations:\n  - @crank@\n  - pad: crank\n",
         RULE_WRONG_SHAPE,
         NULL},
    };
    /* clang-format on */
    ASSERT_SLIPS(sound_engine, slips);
}
END_TEST

START_TEST(either_of_two)
{
    static const struct slip engine[] = {
        {"  - id: crank\n    spool: HP\n    faces: aft\n    rotation: {sense: ccw, view: "
         "facing-pad}\n    turns: {pad: 2, rotor: 1}\n    path: [external: [20, 40]]\n",
         "  - @id@: crank\n    spool: HP\n    faces: aft\n    rotation: {sense: ccw, view: "
         "facing-pad}\n",
         RULE_MISSING_KEY, NULL}};
    static const struct slip device[] = {
        {"shaft:\n  counts-per-motor-turn: 2000\n  reduction: {motor: 80, output: 1}\n",
         "shaft:\n  @counts-per-motor-turn@: 2000\n", RULE_MISSING_KEY, NULL}};
    ASSERT_SLIPS(sound_engine, engine);
    ASSERT_SLIPS(sound_device, device);
}
END_TEST

START_TEST(paths)
{
    static const struct slip slips[] = {
        {"[external: [20, 40]]", "@[]@", RULE_OUT_OF_RANGE, NULL},
        {"[external: [20, 40]]", "@external@", RULE_WRONG_SHAPE, NULL},
        {"[external: [20, 40]]", "[@externl@: [20, 40]]", RULE_UNKNOWN_KEY,
         "Did you mean external?"},
        {"[external: [20, 40]]", "[@spur@: [20, 40]]", RULE_UNKNOWN_KEY, "Write external"},
        {"[external: [20, 40]]", "[@external@]", RULE_WRONG_SHAPE, "Write external"},
        {"[external: [20, 40]]", "[@gears@]", RULE_UNKNOWN_KEY, NULL},
        {"[external: [20, 40]]", "[@[20, 40]@]", RULE_WRONG_SHAPE, NULL},
        {"[external: [20, 40]]", "[@{external: [20, 40], internal: [20, 40]}@]", RULE_WRONG_SHAPE,
         NULL},
        {"[external: [20, 40]]", "[external: @20@]", RULE_WRONG_SHAPE, NULL},
        {"[external: [20, 40]]", "[external: @[20]@]", RULE_OUT_OF_RANGE, NULL},
        {"[external: [20, 40]]", "[external: @[20, 1, 1, 1, 1, 1, 1, 1, 40]@]", RULE_OUT_OF_RANGE,
         NULL},
        {"[external: [20, 40]]", "[external: [20, @x@]]", RULE_BAD_NUMBER, NULL},
        {"[external: [20, 40]]", "[external: [@0@, 40]]", RULE_OUT_OF_RANGE, NULL},
        {"[external: [20, 40]]", "[external: [20, @10000@]]", RULE_OUT_OF_RANGE, NULL},
        {"[external: [20, 40]]", "[external: [20, @40.5@]]", RULE_BAD_NUMBER, NULL},
        {"[external: [20, 40]]", "[internal: @[20, 30, 40]@]", RULE_OUT_OF_RANGE, NULL},
        {"[external: [20, 40]]", "[bevel: @[20]@]", RULE_OUT_OF_RANGE, NULL},
        {"[external: [20, 40]]", "[bevel: {teeth: @[20]@, backs: [aft, up]}]", RULE_OUT_OF_RANGE,
         NULL},
        {"[external: [20, 40]]", "[bevel: {teeth: [20, @x@], backs: [aft, up]}]", RULE_BAD_NUMBER,
         NULL},
        {"[external: [20, 40]]", "[bevel: {teeth: [20, 40], backs: @aft@}]", RULE_WRONG_SHAPE,
         NULL},
        {"[external: [20, 40]]", "[bevel: {teeth: [20, 40], backs: @[aft]@}]", RULE_OUT_OF_RANGE,
         NULL},
        {"[external: [20, 40]]", "[bevel: {teeth: [20, 40], backs: [aft, @uo@]}]", RULE_WRONG_SHAPE,
         "Did you mean up?"},
        {"[external: [20, 40]]", "[bevel: {@backs@: [aft, up]}]", RULE_MISSING_KEY, "Add teeth"},
        {"[external: [20, 40]]", "[bevel: {teeth: [20, 40], @back@: [aft, up]}]", RULE_UNKNOWN_KEY,
         "Did you mean backs?"},
        {"[external: [20, 40]]", "[@direct@: 1]", RULE_WRONG_SHAPE, NULL},
        {"[external: [20, 40]]", "[epicyclic: @[20, 80]@]", RULE_WRONG_SHAPE, NULL},
        {"[external: [20, 40]]",
         "[epicyclic: {@sun@: 20, ring: 40, planets: 4, in: sun, out: ring, held: carrier}]",
         RULE_MISSING_KEY, "Add planet"},
        {"[external: [20, 40]]",
         "[epicyclic: {sun: 20, ring: 40, planet: 10, planets: 4, in: sun, out: @arm@, held: "
         "carrier}]",
         RULE_WRONG_SHAPE, NULL},
        {"[external: [20, 40]]", "[@<<@: [20, 40]]", RULE_ALIAS_REFUSED, NULL},
        {"[external: [20, 40]]", "[@*x@]", RULE_ALIAS_REFUSED, NULL},
        {"[external: [20, 40]]", "[external: @*x@]", RULE_ALIAS_REFUSED, NULL},
    };
    ASSERT_SLIPS(sound_engine, slips);
}
END_TEST

START_TEST(references)
{
    /* clang-format off */
    static const struct slip slips[] = {
        {"    spool: HP\n    role", "    spool: @HPP@\n    role", RULE_REFERENCE_UNKNOWN,
         "Did you mean HP?"},
        {"    spool: HP\n    faces", "    spool: @hp@\n    faces", RULE_REFERENCE_UNKNOWN, NULL},
        {"  - pad: crank", "  - pad: @handle@", RULE_REFERENCE_UNKNOWN, NULL},
        {"    seen: {pad: ccw, rotor: cw}\n",
         "    seen: {pad: ccw, rotor: cw}\n    returned: {stage: @S2@, after: 32, pad: 2 rev}\n",
         RULE_REFERENCE_UNKNOWN, "Did you mean S1?"},
    };
    /* clang-format on */
    ASSERT_SLIPS(sound_engine, slips);
}
END_TEST

START_TEST(profiles)
{
    /* clang-format off */
    static const struct slip slips[] = {
        {"counts-per-motor-turn: 2000", "counts-per-motor-turn: @0@", RULE_OUT_OF_RANGE, NULL},
        {"{motor: 80, output: 1}", "{motor: @0@, output: 1}", RULE_OUT_OF_RANGE, NULL},
        {"{motor: 80, output: 1}", "{motor: @80 +/- 1@, output: 1}", RULE_WRONG_SHAPE, NULL},
        {"positive: cw", "positive: @up@", RULE_WRONG_SHAPE, NULL},
        {"stepping: scheduled", "stepping: @shceduled@", RULE_WRONG_SHAPE,
         "Did you mean scheduled?"},
        {"counter-bits: 32", "counter-bits: @7@", RULE_OUT_OF_RANGE, NULL},
        {"counter-bits: 32", "counter-bits: @65@", RULE_OUT_OF_RANGE, NULL},
        {"min: 1 deg/min", "min: 1 @N.m@", RULE_WRONG_UNIT, NULL},
        {"min: 1 deg/min", "min: @6.001 rpm@", RULE_OUT_OF_RANGE, NULL}, /* above max */
        {"min: 5 lbf.ft", "min: @61 lbf.ft@", RULE_OUT_OF_RANGE, NULL},
        {"resolution: 0.5 lbf.ft", "resolution: @721 lbf.in@", RULE_OUT_OF_RANGE, NULL},
        {"resolution: 0.5 lbf.ft", "resolution: @0 lbf.ft@", RULE_OUT_OF_RANGE, NULL},
        {"min: 5 lbf.ft, max: 60 lbf.ft, resolution: 0.5 lbf.ft",
         "min: 5.2 lbf.ft, max: 5.8 lbf.ft, resolution: @1 lbf.ft@", RULE_OUT_OF_RANGE,
         "resolution from the manual"}, /* 6 and 5 */
        {"min: 1 deg/min, max: 6 rpm, resolution: 0.1 deg/min",
         "min: 0.5 rpm, max: 190 deg/min, resolution: @100 deg/min@", RULE_OUT_OF_RANGE, NULL},
        {"{min: 5 lbf.ft, max: 60 lbf.ft, ", "{@min@: 5 lbf.ft, ", RULE_MISSING_KEY, "Add max"},
        {"text: ascii", "text: @asci@", RULE_WRONG_SHAPE, "Did you mean ascii?"},
        {"device-profile: 1", "@device-profle@: 1", RULE_UNKNOWN_KIND,
         "Did you mean device-profile?"},
        {"device-profile: 1", "device-profile: @1.1@", RULE_BAD_NUMBER, NULL},
        {"device-profile: 1", "device-profile: @3@", RULE_UNKNOWN_VERSION, NULL},
    };
    /* clang-format on */
    ASSERT_SLIPS(sound_device, slips);
}
END_TEST

static const char sound_policy[] = "policy: 1\n"
                                   "rules:\n"
                                   "  backlash-large: warning\n"
                                   "  step-not-whole: off\n"
                                   "limits:\n"
                                   "  stop-off-blade: 2 %\n"
                                   "  counts-few: 60\n"
                                   "  teeth: {min: 9, max: 220}\n";

START_TEST(policies)
{
    /* clang-format off */
    static const struct slip slips[] = {
        {"backlash-large: warning", "backlash-large: @warn@", RULE_WRONG_SHAPE, NULL},
        {"backlash-large: warning", "@backlash-larg@: warning", RULE_UNKNOWN_KEY,
         "Did you mean backlash-large?"},
        {"backlash-large: warning", "@anything@: warning", RULE_UNKNOWN_KEY, NULL},
        {"backlash-large: warning", "@[backlash-large]@: warning", RULE_WRONG_SHAPE, NULL},
        {"backlash-large: warning", "@<<@: warning", RULE_ALIAS_REFUSED, NULL},
        {"backlash-large: warning", "@backlash-large@:", RULE_MISSING_KEY, NULL},
        {"backlash-large: warning", "backlash-large: note\n  @backlash-large@: warning",
         RULE_DUPLICATE_KEY,
         NULL},
        {"backlash-large: warning", "torque-missing: @warning@", RULE_OUT_OF_RANGE,
         "Delete this line"},
        {"backlash-large: warning", "torque-missing: @off@", RULE_OUT_OF_RANGE, NULL},
        {"backlash-large: warning", "sense-disagrees: @note@", RULE_OUT_OF_RANGE, NULL},
        {"backlash-large: warning", "torque-above-square: @note@", RULE_OUT_OF_RANGE, NULL},
        {"backlash-large: warning", "bad-number: @off@", RULE_OUT_OF_RANGE, NULL},
        {"backlash-large: warning", "reference-unknown: @warning@", RULE_OUT_OF_RANGE, NULL},
        {"rules:\n  backlash-large: warning\n  step-not-whole: off\n",
         "rules: @[backlash-large]@\n",
         RULE_WRONG_SHAPE, NULL},
        {"stop-off-blade: 2 %", "stop-off-blade: @2@", RULE_MISSING_UNIT, "%"},
        {"stop-off-blade: 2 %", "stop-off-blade: @0 %@", RULE_OUT_OF_RANGE, NULL},
        {"stop-off-blade: 2 %", "stop-off-blade: @100.1 %@", RULE_OUT_OF_RANGE, NULL},
        {"stop-off-blade: 2 %", "stop-off-blade: @0.0000000000001 %@", RULE_NUMBER_TOO_LARGE,
         "12 decimals"},
        {"stop-off-blade: 2 %", "backlash-large: @99999999999999999/999999999999999999 %@",
         RULE_NUMBER_TOO_LARGE, NULL},
        {"stop-off-blade: 2 %", "backlash-large: @99999999999999999/999999999999999998 %@",
         RULE_NUMBER_TOO_LARGE, NULL},
        {"stop-off-blade: 2 %", "closure: @1/1000000000001 %@", RULE_NUMBER_TOO_LARGE, NULL},
        {"counts-few: 60", "counts-few: @0@", RULE_OUT_OF_RANGE, NULL},
        {"counts-few: 60", "@counts-fw@: 60", RULE_UNKNOWN_KEY, "Did you mean counts-few?"},
        {"teeth: {min: 9, max: 220}", "teeth: {@min@: 9}", RULE_MISSING_KEY, "Add max"},
        {"teeth: {min: 9, max: 220}", "teeth: @9@", RULE_WRONG_SHAPE, NULL},
        {"teeth: {min: 9, max: 220}", "teeth: {min: @221@, max: 220}", RULE_OUT_OF_RANGE, NULL},
    };
    /* clang-format on */
    ASSERT_SLIPS(sound_policy, slips);
}
END_TEST

START_TEST(other_kinds)
{
    static const struct {
        const char *text;
        enum rule_id rule;
        const char *remedy;
    } cases[] = {
        {"@engine-defnition@: 1\n", RULE_UNKNOWN_KIND, "Did you mean engine-definition?"},
        {"@a@: 1\n", RULE_UNKNOWN_KIND, NULL},
        {"@name@: x\nengine-definition: 1\n", RULE_UNKNOWN_KIND, NULL},
        {"@- engine-definition: 1@\n", RULE_UNKNOWN_KIND, NULL},
        {"@engine-definition@", RULE_UNKNOWN_KIND, NULL},
        {"@{}@\n", RULE_UNKNOWN_KIND, NULL},
        {"@[a]@: 1\n", RULE_WRONG_SHAPE, NULL},
        {"", RULE_UNKNOWN_KIND, NULL},
        {"# comment\n", RULE_UNKNOWN_KIND, NULL},
        {"@*a@\n", RULE_ALIAS_REFUSED, NULL},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        struct support s;
        struct marks marks;
        support_start(&s);
        const char *text = unmarked(&s.arena, cases[i].text, &marks);
        support_load(&s, text);
        const struct finding *finding = assert_only(&s, cases[i].rule);
        assert_marked(&finding->at, &marks);
        ck_assert_int_eq(s.engine.kind, MODEL_KINDS);
        ck_assert(!s.engine.read);
        ck_assert(!cases[i].remedy || strstr(finding->remedy, cases[i].remedy));
        support_end(&s);
    }
}
END_TEST

START_TEST(a_duplicate_names_the_first)
{
    struct support s;
    support_start(&s);
    support_load(&s, changed(&s.arena, sound_engine, "revision: 4\n", "revision: 4\nid: other\n"));
    const struct finding *finding = assert_only(&s, RULE_DUPLICATE_KEY);
    ck_assert_uint_eq(finding->at.line, 6);
    ck_assert_uint_eq(finding->notes->at.line, 2);
    ck_assert_str_eq(s.engine.engine->id.text, "plover-2");
    support_end(&s);
}
END_TEST

int main(void)
{
    TCase *tests = tcase_create("slips");
    tcase_add_test(tests, sound_texts_are_sound);
    tcase_add_test(tests, former_keys);
    tcase_add_test(tests, ids);
    tcase_add_test(tests, texts);
    tcase_add_test(tests, words);
    tcase_add_test(tests, whole_numbers);
    tcase_add_test(tests, quantities);
    tcase_add_test(tests, intervals);
    tcase_add_test(tests, clocks);
    tcase_add_test(tests, dates_and_rules);
    tcase_add_test(tests, records);
    tcase_add_test(tests, lists_of_records);
    tcase_add_test(tests, either_of_two);
    tcase_add_test(tests, paths);
    tcase_add_test(tests, references);
    tcase_add_test(tests, profiles);
    tcase_add_test(tests, policies);
    tcase_add_test(tests, other_kinds);
    tcase_add_test(tests, a_duplicate_names_the_first);
    return run_case("model", tests);
}
