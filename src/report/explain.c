#include "report/explain.h"

#include "words/budget.h"
#include "words/name.h"
#include "words/number.h"
#include "words/reading.h"
#include "words/train.h"

#include "model/field.h"
#include "model/observed.h"
#include "text/utf8.h"
#include "turning/schedule.h"
#include "turning/where.h"

#include <inttypes.h>
#include <string.h>

enum { DECIMALS = 6 };

static const char *decimal(struct arena *arena, struct exact_rational value)
{
    return words_decimal(arena, value, DECIMALS);
}

/* "the pad turns ccw facing it; it faces aft: ccw looking forward, which is cw looking aft". */
static void write_first(FILE *out, const struct model_pad *pad, const struct words_train *train)
{
    fprintf(out, "      the pad turns %s facing it; it faces %s: %s",
            words_sense(model_pad_sign(pad)),
            words_direction((enum turning_direction)pad->faces.value), train->faced);
    if (train->turned) {
        fprintf(out, ", which is %s", train->first);
    }
    fputc('\n', out);
}

/* A path, mesh by mesh: the ratio so far, and the sense if it is known. */
static void write_path(FILE *out, const struct words_train *train)
{
    for (size_t i = 0; i < train->count; i++) {
        const struct words_turn *mesh = &train->meshes[i];
        fprintf(out, "      %-34s x %-18s so far %s", mesh->name, mesh->own, mesh->so_far);
        fprintf(out, "%s%s\n", mesh->turns ? "; " : "", mesh->turns ? mesh->turns : "");
    }
}

static void write_ratio(FILE *out, const struct model_derived *derived, size_t index)
{
    struct arena *arena = derived->arena;
    const struct model_pad *pad = model_pad(derived->engine, index);
    const struct model_pad_facts *facts = &derived->facts.pads[index];
    fputs("  G, pad turns per rotor turn\n", out);
    if (facts->has_path) {
        struct words_train train = words_pad_train(arena, pad);
        if (train.faced) {
            write_first(out, pad, &train);
        }
        write_path(out, &train);
    }
    if (facts->has_stated) {
        fprintf(out, "      stated %s / %s = %s, anywhere from %s to %s\n",
                decimal(arena, pad->turns.pad.written.stated),
                decimal(arena, pad->turns.rotor.written.stated), decimal(arena, facts->quotient),
                decimal(arena, facts->stated.lo), decimal(arena, facts->stated.hi));
    }
    fprintf(out, "    G = %s%s%s\n", words_exact_and_decimal(arena, facts->used),
            facts->has_path && facts->has_stated ? ", within what is stated" : "",
            model_ratio_is_proven(derived->engine, &derived->facts, index)
                ? ", proven by an observation"
                : "");
    if (exact_sign(facts->uncertainty) > 0) {
        fprintf(out, "    rounded: the stops are uncertain by %s deg of rotor a turn\n",
                decimal(arena, facts->uncertainty));
    }
}

/* What the observations leave of a ratio that is not exact, if that is less. */
static void write_observed(FILE *out, const struct model_derived *derived, size_t index)
{
    const struct model_pad_facts *facts = &derived->facts.pads[index];
    struct exact_interval observed = model_observed_ratio(derived->engine, &derived->facts, index);
    if (!exact_equal(observed.lo, facts->ratio.lo) || !exact_equal(observed.hi, facts->ratio.hi)) {
        fprintf(out, "    with the observations: anywhere from %s to %s\n",
                decimal(derived->arena, observed.lo), decimal(derived->arena, observed.hi));
    }
}

static void write_sense(FILE *out, const struct model_derived *derived, const struct model_pad *pad,
                        const struct model_pad_facts *facts)
{
    const struct model_spool *spool = model_spool(derived->engine, pad->spool_index);
    fprintf(out, "  sense: pad %s facing it, spool %s %s aft looking forward",
            words_sense(model_pad_sign(pad)), spool->id.text, words_sense(model_spool_sign(spool)));
    fputs(facts->proof == MODEL_PROVEN ? ", proven by the path\n" : ", proven by an observation\n",
          out);
}

/* "at most 0.35 deg (written 0.3 deg)": the end that is used, and the value as written. */
static const char *most_degrees(struct arena *arena, const struct model_quantity *backlash)
{
    struct exact_interval degrees;
    if (!model_quantity_in(backlash, EXACT_DEG, &degrees)) {
        return words_quantity(arena,
                              backlash); /* in its own unit: in degrees it does not fit 64 bits */
    }
    const char *most = decimal(arena, degrees.hi);
    if (exact_is_point(degrees) && backlash->written.unit == EXACT_DEG) {
        return arena_printf(arena, "%s deg", most);
    }
    return arena_printf(arena, "at most %s deg (written %s)", most,
                        words_quantity_and_tolerance(arena, backlash));
}

static void write_backlash(FILE *out, const struct model_derived *derived,
                           const struct model_pad *pad, const struct model_pad_facts *facts,
                           const struct model_pad_on_device *on)
{
    struct arena *arena = derived->arena;
    if (pad->backlash.at.state != MODEL_GIVEN) {
        fputs("  backlash is not given\n", out);
        return;
    }
    if (!on->backlash_known) {
        fputs("  backlash of the adapter is not given\n", out);
        return;
    }
    fprintf(out, "  backlash: %s at the pad", most_degrees(arena, &pad->backlash));
    if (pad->adapter.at.state == MODEL_GIVEN) {
        fprintf(out, " x A %s", words_exact_and_decimal(arena, facts->adapter_ratio));
    }
    if (pad->adapter.backlash.at.state == MODEL_GIVEN) {
        fprintf(out, " + %s of the adapter", most_degrees(arena, &pad->adapter.backlash));
    }
    fprintf(out, ", x %s counts / 360, rounded up: %" PRId64 " count%s; the same degrees",
            decimal(arena, derived->device->counts_per_turn), on->backlash_counts,
            words_plural(on->backlash_counts));
    if (pad->adapter.at.state == MODEL_GIVEN) {
        fputs(" / A", out);
    }
    fprintf(out, " / G %s: %s deg of rotor\n", decimal(arena, facts->ratio.lo),
            decimal(arena, on->rotor_backlash));
}

static void write_limits(FILE *out, const struct model_derived *derived,
                         const struct model_pad *pad, const struct model_pad_facts *facts,
                         const struct model_pad_on_device *on)
{
    struct arena *arena = derived->arena;
    const struct model_device *device = derived->device->device;
    const struct model_spool *spool = model_spool(derived->engine, pad->spool_index);
    if (on->torque_known) {
        fprintf(out, "  torque: %s at the pad", words_quantity(arena, &pad->torque_limit));
        if (pad->adapter.at.state == MODEL_GIVEN) {
            fprintf(out, " / A %s", words_exact_and_decimal(arena, facts->adapter_ratio));
        }
        if (pad->adapter.torque_limit.at.state == MODEL_GIVEN) {
            fprintf(out, ", adapter %s", words_quantity(arena, &pad->adapter.torque_limit));
        }
        fprintf(out, ", device %s; the least, rounded down to steps of %s: %s, %" PRId64 " steps\n",
                words_quantity(arena, &device->torque.max),
                words_quantity(arena, &device->torque.resolution),
                words_torque_steps(arena, on->torque_steps, &device->torque.resolution),
                on->torque_steps);
    }
    if (on->speed_asked) {
        fprintf(out,
                "  speed: %s of rotor x G %s x A %s, device %s; the least, rounded down to steps "
                "of %s: %s, %" PRId64 " steps\n",
                words_quantity(arena, &spool->max_speed), decimal(arena, facts->ratio.lo),
                decimal(arena, facts->adapter_ratio), words_quantity(arena, &device->speed.max),
                words_quantity(arena, &device->speed.resolution),
                words_speed_steps(arena, on->speed_steps, &device->speed.resolution),
                on->speed_steps);
    } else {
        fprintf(out, "  speed: the spool sets no limit; the device's %s: %s, %" PRId64 " steps\n",
                words_quantity(arena, &device->speed.max),
                words_speed_steps(arena, on->speed_steps, &device->speed.resolution),
                on->speed_steps);
    }
    if (on->recheck_turns != 0) {
        fprintf(out, "  find blade one again after %" PRId64 " rotor turn%s\n", on->recheck_turns,
                words_plural(on->recheck_turns));
    }
}

static void write_counts(FILE *out, const struct model_derived *derived,
                         const struct model_pad *pad, const struct model_pad_facts *facts,
                         const struct model_pad_on_device *on)
{
    struct arena *arena = derived->arena;
    const struct model_shaft *shaft = &derived->device->device->shaft;
    fprintf(out, "  K, counts per rotor turn on %s\n", derived->device->device->id.text);
    fprintf(out, "      %" PRId64 " a motor turn x reduction %s = %s a turn of the shaft\n",
            shaft->counts_per_motor_turn.value,
            words_exact_and_decimal(arena, derived->device->reduction),
            words_exact_and_decimal(arena, derived->device->counts_per_turn));
    if (pad->adapter.at.state == MODEL_GIVEN) {
        fputs("      A, device turns per pad turn through the adapter\n", out);
        struct words_train train = words_adapter_train(arena, pad, facts->adapter_sign);
        write_path(out, &train);
        fprintf(out, "      A = %s; device and pad turn %s way, each facing its side\n",
                words_exact_and_decimal(arena, facts->adapter_ratio),
                facts->adapter_sign > 0 ? "the same" : "the other");
    }
    fprintf(out, "    K = counts x A x G = %s\n",
            words_exact_and_decimal(arena, on->counts_per_turn));
    fprintf(out, "    a rising count turns the spool %s\n",
            on->positive > 0 ? "in its normal direction" : "backwards");
}

void report_explain_pad(FILE *out, const struct model_derived *derived, size_t index)
{
    const struct model_pad *pad = model_pad(derived->engine, index);
    const struct model_pad_facts *facts = &derived->facts.pads[index];
    fprintf(out, "%s, pad %s\n", derived->engine->id.text, pad->id.text);
    write_ratio(out, derived, index);
    write_observed(out, derived, index);
    write_sense(out, derived, pad, facts);
    if (derived->device && derived->on.pads[index].known) {
        const struct model_pad_on_device *on = &derived->on.pads[index];
        write_counts(out, derived, pad, facts, on);
        write_backlash(out, derived, pad, facts, on);
        write_limits(out, derived, pad, facts, on);
    }
}

void report_explain_readings(FILE *out, const struct model_derived *derived,
                             const struct model_cross_check *second)
{
    const char *again = words_read_again(derived->arena, derived->engine, second);
    fprintf(out, "%s, read again\n  ", derived->engine->id.text);
    text_write_clean(out, again, strlen(again));
    fputc('\n', out);
}

/* ---- how values are known -----------------------------------------------------------------------
 */

enum { WAYS = 8 }; /* each of three, or not */

/* Which of the ways a value is known, from 0. */
static size_t way_of(struct model_known known)
{
    return 4U * known.observed + 2U * known.twice + known.follows;
}

static struct model_known known_in(size_t way)
{
    return (struct model_known){
        .observed = (way & 4U) != 0, .twice = (way & 2U) != 0, .follows = (way & 1U) != 0};
}

/* One number or word of a part; a pair or a row as a whole is known as what is in it. */
static bool is_one_of(const struct model_known_value *value, enum model_listed list, size_t index)
{
    return value->value.list == list && value->value.index == index &&
           (value->value.shape == MODEL_SCALAR || value->value.shape == MODEL_TOOTH);
}

/* How most values of the key of values[at] are known; of two, the one that comes first. */
static size_t usual_way(const struct model_known_values *values, size_t at)
{
    const struct model_value *key = &values->items[at].value;
    size_t counts[WAYS] = {0}, best = WAYS;
    for (size_t i = at; i < values->count; i++) {
        if (is_one_of(&values->items[i], key->list, key->index) &&
            values->items[i].value.top == key->top) {
            counts[way_of(values->items[i].known)]++;
        }
    }
    for (size_t i = at; i < values->count && values->items[i].value.top == key->top; i++) {
        size_t way = way_of(values->items[i].known);
        if (best == WAYS || counts[way] > counts[best]) {
            best = way;
        }
    }
    return best;
}

/* The keys of a part that are known in one way: "turns, path[1].external[2]". */
static const char *keys_known(struct arena *arena, const struct model_known_values *values,
                              enum model_listed list, size_t index, size_t way)
{
    const struct model_field *top = NULL;
    const char *text = "";
    size_t usual = WAYS;
    for (size_t i = 0; i < values->count; i++) {
        const struct model_known_value *value = &values->items[i];
        if (!is_one_of(value, list, index)) {
            continue;
        }
        bool begins = value->value.top != top;
        usual = begins ? usual_way(values, i) : usual;
        top = value->value.top;
        bool its = way_of(value->known) == way;
        const char *key = begins && usual == way ? top->key
                          : its && usual != way  ? value->value.key
                                                 : NULL;
        if (key) {
            text = arena_printf(arena, "%s%s%s", text, *text ? ", " : "", key);
        }
    }
    return text;
}

void report_explain_known(FILE *out, const struct model_derived *derived,
                          const struct model_known_values *values, enum model_listed list,
                          size_t index)
{
    for (size_t way = 0; way < WAYS; way++) {
        const char *keys = keys_known(derived->arena, values, list, index, way);
        if (*keys) {
            fprintf(out, "  %s %s, %s: %s\n", model_listed_name(list),
                    model_listed_id(derived->engine, list, index)->text,
                    words_known(derived->arena, known_in(way)), keys);
        }
    }
}

/* ---- a stage ------------------------------------------------------------------------------------
 */

/* From what a part of the error budget follows. */
static void write_part(FILE *out, const struct model_derived *derived,
                       const struct model_pair *pair, const struct model_budget *budget,
                       const struct turning_place *place, const struct turning_part *part)
{
    struct arena *arena = derived->arena;
    int64_t blades = model_stage(derived->engine, pair->stage)->blades.value;
    struct exact_rational turns = exact_whole(place->turns);
    fprintf(out, "        %s: ", words_part(arena, budget, part));
    switch (part->error) {
    case TURNING_ROUNDING:
    case TURNING_CLOSURE:
        fprintf(out, "%s counts x 360 / K", decimal(arena, part->counts));
        if (!exact_is_point(budget->ratio)) {
            fprintf(out, " x G / %s", decimal(arena, budget->ratio.lo));
        }
        fputc('\n', out);
        break;
    case TURNING_BACKLASH: fputs("at the rotor, as above\n", out); break;
    case TURNING_RATIO:
        (void)exact_make(place->steps, blades, &turns); /* fits: in lowest terms not greater */
        fprintf(out, "%s x %s deg a rotor turn\n", words_exact(arena, turns),
                words_decimal_at_most(arena, budget->is.ratio_a_turn, DECIMALS));
        break;
    case TURNING_ERRORS: break;
    }
}

static void write_budget(FILE *out, const struct model_derived *derived,
                         const struct model_pair *pair, const struct model_budget *budget)
{
    struct words_place places[2];
    size_t count = words_budget(derived->arena, budget, places);
    for (size_t i = 0; i < count; i++) {
        fprintf(out, "      error budget%s%s: %s\n", *places[i].when ? " " : "", places[i].when,
                places[i].most);
        const struct turning_place *place = &budget->is.places[i];
        for (size_t j = 0; budget->known && j < place->count; j++) {
            write_part(out, derived, pair, budget, place, &place->parts[j]);
        }
        if (budget->known && !budget->backlash_known) {
            fputs("        backlash not given\n", out);
        }
    }
}

/* At which stop, and at which count from blade one, each known blade is at the port. */
static void write_known_blades(FILE *out, const struct model_stage *stage,
                               const struct model_pair *pair)
{
    for (size_t i = 0; i < stage->known_blades.count; i++) {
        const struct model_known_blade *known =
            MODEL_ITEM(stage->known_blades, struct model_known_blade, i);
        int64_t step = turning_step_of(known->blade.value, stage->blades.value, pair->falling);
        int64_t count = 0;
        if (turning_stop(&pair->schedule, step, &count)) {
            fprintf(out, "      blade %" PRId64 " is known: ", known->blade.value);
            text_write_clean(out, known->how.text, known->how.length);
            fprintf(out, "; it is stop %" PRId64 ", at count %" PRId64 " from blade one\n",
                    step + 1, count);
        }
    }
}

void report_explain_stage(FILE *out, const struct model_derived *derived,
                          const struct model_pair *pair)
{
    enum { SHOWN = 3 };
    struct arena *arena = derived->arena;
    const struct model_stage *stage = model_stage(derived->engine, pair->stage);
    const struct model_pad_on_device *on = &derived->on.pads[pair->pad];
    const struct turning_schedule *schedule = &pair->schedule;
    int64_t blades = stage->blades.value;
    struct exact_rational step;
    if (!exact_div(on->counts_per_turn, exact_whole(blades), &step)) {
        return;
    }
    fprintf(out, "  stage %s, %" PRId64 " blade%s%s\n", stage->id.text, blades,
            words_plural(blades),
            model_count_is_observed(derived->engine, &derived->facts, pair->stage)
                ? ", proven by an observation"
                : "");
    fprintf(out, "      pitch 360 / %" PRId64 " = %s deg of rotor\n", blades,
            decimal(arena, turning_pitch(blades)));
    fprintf(out, "      K / %" PRId64 " = %s\n", blades, words_exact_and_decimal(arena, step));
    fprintf(out, "      step %" PRId64, schedule->whole);
    if (schedule->num != 0) {
        fprintf(out, " + %" PRId64 "/%" PRId64, schedule->num, schedule->den);
    }
    fprintf(out, " counts%s; blade 1 is followed by blade %" PRId64 "%s\n",
            schedule->approximated ? ", the nearest that fits" : "", model_blade_after(stage, 1),
            model_order_is_observed(derived->engine, pair->stage) ? ", proven by an observation"
                                                                  : "");
    for (int64_t j = 1; j <= SHOWN && j < blades; j++) {
        struct exact_rational exact;
        struct exact_rational error;
        int64_t count = 0;
        if (!exact_mul(step, exact_whole(j), &exact) || !turning_stop(schedule, j, &count) ||
            !turning_stop_error(count, j, on->counts_per_turn, blades, &error)) {
            return;
        }
        fprintf(out,
                "      stop %" PRId64 ": %" PRId64 " x K/%" PRId64 " = %s, rounded to %" PRId64
                ", off by %s counts\n",
                j + 1, j, blades, decimal(arena, exact), count, decimal(arena, error));
    }
    write_known_blades(out, stage, pair);
    if (exact_sign(pair->closure_counts) != 0) {
        fprintf(out, "      after a turn %" PRId64 " x %" PRId64 " - K = %s counts are left over\n",
                blades, schedule->whole, decimal(arena, pair->closure_counts));
    }
    struct model_budget budget = model_budget(derived, pair);
    write_budget(out, derived, pair, &budget);
}
