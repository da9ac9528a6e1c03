/*
 * profile.c - the device profile of a table, and the shares of a policy that its rechecks follow
 * from.
 */
#include "report/definition.h"

#include "report/written.h"
#include "text/utf8.h"
#include "turning/schedule.h"

#include <inttypes.h>

static const char *span_of(struct report_written *w, enum table_code kind, uint8_t unit,
                           uint32_t num, uint32_t den, uint32_t min, uint32_t max)
{
    return arena_printf(w->arena, "{min: %s, max: %s, resolution: %s}",
                        report_in_table_unit(w, report_steps_of(w, min, num, den), kind, unit),
                        report_in_table_unit(w, report_steps_of(w, max, num, den), kind, unit),
                        report_in_table_unit(w, report_steps_of(w, 1, num, den), kind, unit));
}

static void write_shaft(struct report_written *w, const void *of, int depth)
{
    const struct rotor_device *device = of;
    struct exact_rational counts = report_fraction_of(w, device->counts);
    int64_t motor = counts.num;
    if (!report_is_writable(counts.num) || !report_is_writable(counts.den)) {
        report_written_refuse(w, "its counts per turn have more than 18 digits");
    }
    const char *square = table_word_code(TABLE_SQUARE, device->square);
    const struct report_known known[] = {
        {.key = "counts-per-motor-turn",
         .value = "1",
         .remark = "a table has only the product of these counts and the reduction"},
        {.key = "reduction",
         .value = arena_printf(w->arena, "{motor: %" PRId64 ", output: %" PRId64 "}", motor,
                               counts.den)},
        {.key = "positive", .value = table_word_code(TABLE_SENSE, device->positive)},
        {.key = square ? "square" : "", .value = square},
        {.key = NULL}};
    report_write_record(w, report_record_of(&model_device_record, "shaft"), depth, false, known);
}

/* What the device has to hold at least, because it holds this table. */
struct least {
    uint32_t engines, stages, pads, blades, text_bytes;
    bool ascii, latin;
};

static struct least least_of(const struct rotor_table *table)
{
    struct least least = {.ascii = true, .latin = true};
    struct rotor_engine engine;
    struct rotor_stage stage;
    least.engines = rotor_count(table, ROTOR_KIND_ENGINES);
    for (uint32_t i = 0; rotor_get_engine(table, i, &engine); i++) {
        least.stages = engine.stages.count > least.stages ? engine.stages.count : least.stages;
        least.pads = engine.pads.count > least.pads ? engine.pads.count : least.pads;
    }
    for (uint32_t i = 0; rotor_get_stage(table, i, &stage); i++) {
        least.blades = stage.blades > least.blades ? stage.blades : least.blades;
    }
    const char *pool = (const char *)table->bytes + table->sections[ROTOR_KIND_TEXTS - 1].offset;
    uint32_t length = rotor_count(table, ROTOR_KIND_TEXTS);
    uint32_t begin = 0;
    for (uint32_t i = 0; i < length;) {
        uint32_t code = 0;
        size_t size = text_utf8_decode(pool + i, length - i, &code);
        least.ascii = least.ascii && code < 0x80;
        least.latin = least.latin && code < 0x100;
        if (code == 0) {
            least.text_bytes = i - begin > least.text_bytes ? i - begin : least.text_bytes;
            begin = i + 1;
        }
        i += size != 0 ? (uint32_t)size : 1;
    }
    return least;
}

static void write_limits(struct report_written *w, const void *of, int depth)
{
    (void)of;
    struct least least = least_of(w->table);
    const struct report_known known[] = {
        {.key = "table-bytes", .value = arena_printf(w->arena, "%" PRIu32, w->table->length)},
        {.key = "engines", .value = arena_printf(w->arena, "%" PRIu32, least.engines)},
        {.key = "stages", .value = arena_printf(w->arena, "%" PRIu32, least.stages)},
        {.key = "pads", .value = arena_printf(w->arena, "%" PRIu32, least.pads)},
        {.key = "blades", .value = arena_printf(w->arena, "%" PRIu32, least.blades)},
        {.key = "text-bytes", .value = arena_printf(w->arena, "%" PRIu32, least.text_bytes)},
        {.key = "text",
         .value = least.ascii   ? "ascii"
                  : least.latin ? "latin-1"
                                : "utf-8"},
        {.key = NULL}};
    report_write_record(w, report_record_of(&model_device_record, "limits"), depth, false, known);
}

const char *report_profile(FILE *out, const struct rotor_table *table, struct arena *arena)
{
    struct report_written w = report_written_start(out, table, arena);
    const struct rotor_device *device = &w.device;
    const struct report_known known[] = {
        {.key = "device-profile", .value = "1"},
        {.key = "id", .value = report_id(&w, device->id)},
        {.key = "name", .value = report_quoted(&w, device->name)},
        {.key = "shaft", .block = write_shaft, .of = device},
        {.key = "stepping", .value = table_word_code(TABLE_STEPPING, device->stepping)},
        {.key = "counter-bits", .value = arena_printf(arena, "%u", device->counter_bits)},
        {.key = "speed",
         .value = span_of(&w, TABLE_SPEED_UNIT, device->speed_unit, device->speed_num,
                          device->speed_den, device->speed_min, device->speed_max)},
        {.key = "torque",
         .value = span_of(&w, TABLE_TORQUE_UNIT, device->torque_unit, device->torque_num,
                          device->torque_den, device->torque_min, device->torque_max)},
        {.key = "limits",
         .block = write_limits,
         .remark = "a table does not have them: these are the least that hold this table"},
        {.key = NULL}};
    fputs("# Written from a table. What a table does not have is a comment.\n", out);
    report_write_record(&w, &model_device_record, 0, false, known);
    return w.problem;
}

/* ---- the policy -------------------------------------------------------------------------------
 */

/*
 * Shares of a pitch in millionths of a per cent. A greater share gives more rotor turns until blade
 * one must be found again. So a range of shares has the turns that the table holds.
 */
enum { SHARE = 1000000, MOST_SHARE = 100 * SHARE, USUAL_SHARE = 10 * SHARE };

struct shares {
    int64_t lo, hi; /* lo > hi: none */
};

static struct shares common(struct shares a, struct shares b)
{
    return (struct shares){a.lo > b.lo ? a.lo : b.lo, a.hi < b.hi ? a.hi : b.hi};
}

static bool has(struct shares shares, int64_t share)
{
    return share >= shares.lo && share <= shares.hi;
}

/* The plainest share of a range: the usual one, else the lowest with the fewest decimals. */
static int64_t choose(struct shares shares)
{
    if (has(shares, USUAL_SHARE)) {
        return USUAL_SHARE;
    }
    for (int64_t unit = SHARE; unit > 1; unit /= 10) {
        int64_t share = (shares.lo + unit - 1) / unit * unit;
        if (has(shares, share)) {
            return share;
        }
    }
    return shares.lo;
}

/* How far the stops of a pad drift in a rotor turn, by its ratio and by whole steps; and a pitch.
 */
struct drift {
    struct exact_rational ratio, closure, pitch;
};

static struct drift drift_of(struct report_written *w, const struct rotor_pad *pad)
{
    const struct report_pad_numbers numbers = report_pad_numbers_of(w, pad);
    const struct exact_rational counts = report_fraction_of(w, pad->counts_per_rotor_turn);
    struct drift drift = {exact_whole(0), exact_whole(0), exact_whole(360)};
    uint16_t most = 1;
    if (!turning_uncertainty(numbers.ratio, numbers.used, &drift.ratio)) {
        report_written_refuse(w, "a number does not fit 64 bits");
    }
    for (uint32_t i = 0; i < pad->links.count; i++) {
        struct rotor_link link;
        struct rotor_stage stage;
        struct exact_rational over;
        struct exact_rational degrees = exact_whole(0);
        rotor_get_link(w->table, pad->links.first + i, &link);
        rotor_get_stage(w->table, link.stage, &stage);
        most = stage.blades > most ? stage.blades : most;
        if (w->device.stepping == ROTOR_STEPPING_FIXED &&
            !turning_closure(link.q, stage.blades, counts, &over, &degrees)) {
            report_written_refuse(w, "a number does not fit 64 bits");
        }
        degrees = exact_abs(degrees);
        drift.closure = exact_compare(degrees, drift.closure) > 0 ? degrees : drift.closure;
    }
    drift.pitch = turning_pitch(most);
    return drift;
}

/* The turns that a share gives, as a table has them. */
static uint32_t turns_at(const struct drift *drift, int64_t share)
{
    int64_t turns = 0;
    struct exact_rational part;
    if (!exact_make(share, (exact_wide)100 * SHARE, &part) ||
        !exact_mul(part, drift->pitch, &part) ||
        !turning_turns_to_both(drift->ratio, drift->closure, part, &turns)) {
        return 0;
    }
    turns = turns < 1 ? 1 : turns;
    return turns > UINT32_MAX ? UINT32_MAX : (uint32_t)turns;
}

/* The least share that gives at least so many turns; above MOST_SHARE: none does. */
static int64_t least_share(const struct drift *drift, uint64_t turns)
{
    int64_t low = 1;
    int64_t high = MOST_SHARE + 1;
    while (low < high) {
        int64_t middle = low + (high - low) / 2;
        if (turns_at(drift, middle) >= turns) {
            high = middle;
        } else {
            low = middle + 1;
        }
    }
    return low;
}

struct policy_shares {
    struct shares ratio, closure, lesser; /* of the two shares, and of the lesser of both */
    bool has_lesser;
};

static struct policy_shares shares_of(struct report_written *w)
{
    const struct shares all = {1, MOST_SHARE};
    struct policy_shares shares = {.ratio = all, .closure = all, .lesser = all};
    struct rotor_pad pad;
    for (uint32_t i = 0; rotor_get_pad(w->table, i, &pad); i++) {
        if (pad.recheck == 0) {
            continue;
        }
        const struct drift drift = drift_of(w, &pad);
        const struct shares fit = {least_share(&drift, pad.recheck),
                                   least_share(&drift, (uint64_t)pad.recheck + 1) - 1};
        if (exact_sign(drift.closure) == 0) {
            shares.ratio = common(shares.ratio, fit);
        } else if (exact_sign(drift.ratio) == 0) {
            shares.closure = common(shares.closure, fit);
        } else {
            shares.lesser = common(shares.lesser, fit);
            shares.has_lesser = true;
        }
    }
    return shares;
}

/* Chooses both shares, the first of them as the lesser one; false if there are none. */
static bool choose_both(struct shares lesser, struct shares other, int64_t *first, int64_t *second)
{
    if (lesser.lo > lesser.hi) {
        return false;
    }
    *first = choose(lesser);
    struct shares above = common(other, (struct shares){*first, MOST_SHARE});
    if (above.lo > above.hi) {
        *first = lesser.lo;
        above = common(other, (struct shares){*first, MOST_SHARE});
    }
    *second = above.lo > above.hi ? 0 : choose(above);
    return *second != 0;
}

static const char *percent(struct report_written *w, int64_t share)
{
    struct exact_rational value = exact_whole(share);
    (void)exact_make(share, SHARE, &value); /* fits: both are small */
    return report_exact_number(w, value);
}

const char *report_policy(FILE *out, const struct rotor_table *table, struct arena *arena)
{
    struct report_written w = report_written_start(out, table, arena);
    const struct policy_shares shares = shares_of(&w);
    int64_t ratio = choose(shares.ratio);
    int64_t closure = choose(shares.closure);
    bool fits = shares.ratio.lo <= shares.ratio.hi && shares.closure.lo <= shares.closure.hi;
    if (fits && shares.has_lesser && !has(shares.lesser, ratio < closure ? ratio : closure)) {
        fits = choose_both(common(shares.ratio, shares.lesser), shares.closure, &ratio, &closure) ||
               choose_both(common(shares.closure, shares.lesser), shares.ratio, &closure, &ratio);
    }
    if (!fits) {
        w.where = "the policy";
        report_written_refuse(
            &w, "no limits give the turns after which blade one is found again on every pad");
    }
    fprintf(out,
            "# Written from a table: the limits from which its rotor turns follow until blade one "
            "must be\n# found again. It does not have the other limits and the severities.\n"
            "policy: 1\n"
            "limits:\n"
            "  ratio-coarse: %s %%\n"
            "  closure: %s %%\n",
            percent(&w, ratio), percent(&w, closure));
    return w.problem;
}
