/*
 * trial.c - opens a table, steps through every stop, makes every move, and reports; then what the
 * table changes.
 *
 * The lines are words and numbers between blanks:
 *
 *   table BYTES, or refused STATUS
 *   pair ENGINE PAD STAGE BLADES   then for each known blade of the stage
 *   known BLADE HOW
 *   from BLADE COUNTER             at the next stop, counted from the known blade
 * and for the stops of the pair
 *   stop BLADE COUNTER             from blade one on, and blade one again a turn later
 *   back BLADE COUNTER             to blade one
 *   move BLADE LEGS FIRST SECOND COUNTER FOUND
 * and after all pairs
 *   import ENGINE FINDING          for each engine
 *   verdict FINDING
 *   end
 *
 * LEGS are the move's, in the device's counts, as is the COUNTER after it; FOUND is the blade that
 * the reader finds at that counter.  The counter begins shortly before it wraps at 32 bits.
 */
#include "device/trial.h"

#include "field/rotor_import.h"

#define FIRST_COUNTER INT64_C(2147480000)

/* ---- lines: no library, no division --------------------------------------------------------- */

static char line[200];
static uint32_t length;

static void add_char(char character)
{
    if (length < sizeof line - 1) {
        line[length++] = character;
        line[length] = '\0';
    }
}

static void add_text(const char *text)
{
    if (length > 0) {
        add_char(' ');
    }
    while (*text != '\0') {
        add_char(*text++);
    }
}

static void add_number(int64_t number)
{
    static const uint64_t powers[] = {UINT64_C(1000000000000000000),
                                      UINT64_C(100000000000000000),
                                      UINT64_C(10000000000000000),
                                      UINT64_C(1000000000000000),
                                      UINT64_C(100000000000000),
                                      UINT64_C(10000000000000),
                                      UINT64_C(1000000000000),
                                      UINT64_C(100000000000),
                                      UINT64_C(10000000000),
                                      UINT64_C(1000000000),
                                      UINT64_C(100000000),
                                      UINT64_C(10000000),
                                      UINT64_C(1000000),
                                      UINT64_C(100000),
                                      UINT64_C(10000),
                                      UINT64_C(1000),
                                      UINT64_C(100),
                                      UINT64_C(10),
                                      1};
    uint64_t rest = number < 0 ? 0 - (uint64_t)number : (uint64_t)number;
    bool begun = false;

    add_text(number < 0 ? "-" : "");
    for (uint32_t i = 0; i < sizeof powers / sizeof powers[0]; i++) {
        char digit = '0';
        for (; rest >= powers[i]; rest -= powers[i]) {
            digit++;
        }
        begun = begun || digit != '0' || powers[i] == 1;
        if (begun) {
            add_char(digit);
        }
    }
}

static void begin(const char *word)
{
    length = 0;
    add_text(word);
}

/* ---- what a device does --------------------------------------------------------------------- */

static void tell_stop(const char *word, const struct rotor_motion *motion,
                      const struct rotor_position *position, trial_say *say)
{
    begin(word);
    add_number(position->blade);
    add_number(rotor_counter(motion, position));
    say(line);
}

static void find_again(const struct rotor_table *table, uint32_t stage,
                       const struct rotor_motion *motion, trial_say *say)
{
    struct rotor_range range = rotor_known_blades(table, stage);
    struct rotor_position position;
    struct rotor_known_blade known;

    for (uint32_t i = 0; i < range.count; i++) {
        rotor_get_known_blade(table, range.first + i, &known);
        begin("known");
        add_number(known.blade);
        add_text(known.how);
        say(line);
        rotor_start(motion, known.blade, FIRST_COUNTER, &position);
        rotor_next(motion, &position);
        tell_stop("from", motion, &position, say);
    }
}

static void step_through(const struct rotor_motion *motion, trial_say *say)
{
    struct rotor_position position;

    rotor_start(motion, 1, FIRST_COUNTER, &position);
    tell_stop("stop", motion, &position, say);
    for (uint32_t i = 0; i < motion->blades; i++) {
        rotor_next(motion, &position);
        tell_stop("stop", motion, &position, say);
    }
    for (uint32_t i = 0; i < motion->blades; i++) {
        rotor_previous(motion, &position);
        tell_stop("back", motion, &position, say);
    }
}

static void go(const struct rotor_motion *motion, struct rotor_position *position, uint16_t blade,
               trial_say *say)
{
    struct rotor_move move;
    struct rotor_position found;

    if (rotor_go_to_blade(motion, position, blade, &move) != ROTOR_MOVE_OK) {
        say("no such blade");
        return;
    }
    found = *position;
    rotor_locate(motion, &found, rotor_counter(motion, position));
    begin("move");
    add_number(blade);
    add_number(move.legs);
    add_number(move.leg[0]);
    add_number(move.leg[1]);
    add_number(rotor_counter(motion, position));
    add_number(found.away == 0 && found.counts == position->counts ? found.blade : 0);
    say(line);
}

static void move_between_all(const struct rotor_motion *motion, trial_say *say)
{
    struct rotor_position position;

    rotor_start(motion, 1, FIRST_COUNTER, &position);
    for (uint16_t from = 1; from <= motion->blades; from++) {
        for (uint16_t to = 1; to <= motion->blades; to++) {
            if (to != from) {
                go(motion, &position, from, say);
                go(motion, &position, to, say);
            }
        }
    }
}

static void try_pad(const struct rotor_table *table, const char *engine, uint32_t index,
                    trial_say *say)
{
    struct rotor_pad pad;
    struct rotor_link link;
    struct rotor_stage stage;
    struct rotor_motion motion;

    rotor_get_pad(table, index, &pad);
    for (uint32_t i = 0; i < pad.links.count; i++) {
        rotor_get_link(table, pad.links.first + i, &link);
        rotor_get_stage(table, link.stage, &stage);
        if (rotor_motion_open(&motion, table, index, link.stage) != ROTOR_MOVE_OK) {
            say("this pad does not turn that stage");
            continue;
        }
        begin("pair");
        add_text(engine);
        add_text(pad.id);
        add_text(stage.id);
        add_number(motion.blades);
        say(line);
        find_again(table, link.stage, &motion, say);
        step_through(&motion, say);
        if (i == 0) {
            move_between_all(&motion, say);
        }
    }
}

static void try_import(const struct rotor_table *former, const struct rotor_table *table,
                       trial_say *say)
{
    struct rotor_import import;
    struct rotor_device device;

    rotor_get_device(table, &device);
    enum rotor_import_finding verdict = rotor_import_open(&import, former, table, device.id);
    while (rotor_import_next(&import)) {
        begin("import");
        add_text(import.id);
        add_number(import.finding);
        say(line);
    }
    begin("verdict");
    add_number(verdict);
    say(line);
}

void trial(const void *bytes, uint32_t size, const void *former_bytes, uint32_t former_size,
           trial_say *say)
{
    struct rotor_table former;
    struct rotor_table table;
    struct rotor_engine engine;
    enum rotor_status status = rotor_table_open(&table, bytes, size);

    begin(status == ROTOR_OK ? "table" : "refused");
    add_number(status == ROTOR_OK ? (int64_t)size : (int64_t)status);
    say(line);
    for (uint32_t i = 0; i < rotor_count(&table, ROTOR_KIND_ENGINES); i++) {
        rotor_get_engine(&table, i, &engine);
        for (uint32_t p = 0; p < engine.pads.count; p++) {
            try_pad(&table, engine.id, engine.pads.first + p, say);
        }
    }
    if (status == ROTOR_OK && rotor_table_open(&former, former_bytes, former_size) == ROTOR_OK) {
        try_import(&former, &table, say);
    }
    say("end");
}
