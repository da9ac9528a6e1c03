/*
 * cross_check.c - whether the second reader read what the definition says, and how much of it.
 *
 * The values of both files are shown as they are written.  Where observations on the engine agree
 * with one of the two and not with the other, they decide which reader is right.
 */
#include "rules/functions.h"

#include "text/near.h"
#include "text/utf8.h"

#include <inttypes.h>
#include <string.h>

/* What a wrong value of a key does on the engine. */
static const struct {
    const char *key; /* of the part, or the end of the way to it */
    const char *consequence;
} consequences[] = {
    {"numbering",
     "With a wrong order, the device names a wrong blade at each stop. Then findings are "
     "written down for the wrong blades."},
    {"known-blades",
     "The inspector would take a different blade for the one that the device names."},
    {"port", "The blade at the port would not be the one that the device names."},
    {"clocking", "The blade at the port would not be the one that the device names."},
    {"spool", "The device would count the blades of a rotor that does not turn."},
    {"rotation", "The device would turn the rotor the wrong way."},
    {"backs", "The device could turn the rotor the wrong way."},
    {"faces", "The device could turn the rotor the wrong way."},
    {"drives", "The device could drive the pad in the sense in which its clutch overruns."},
    {"never-backwards", "The device could turn a rotor backwards that must never turn backwards."},
    {"turned-by", "The device would have no stops for a rotor, or stops that no pad can reach."},
    {"planet", "The ratio is the same, but one of the readings is of another gear set."},
    {"planets", "The ratio is the same, but one of the readings is of another gear set."},
    {"turns", "A wrong ratio moves the stops with every turn, until a blade is miscounted."},
    {"path", "A wrong ratio moves the stops with every turn, until a blade is miscounted."},
    {"torque-limit",
     "With the higher limit, the device could apply more torque than the pad withstands."},
    {"square", "The drive would not fit the pad, or fit it loosely."},
    {"role", "The device and the setup sheet would name the wrong kind of stage."},
    {"max-speed", "With the higher limit, the device could turn the rotor faster than is allowed."},
    {"backlash", "After a change of direction the stops would be beside the blades."},
};

/*
 * After how many stops a count that is wrong by the difference of the two is off by half a pitch:
 * whichever of them is right, no later than that.
 */
static const char *say_miscount(struct arena *arena, int64_t one, int64_t other)
{
    int64_t more = one > other ? one : other;
    int64_t apart = 2 * (more - (one > other ? other : one));
    int64_t stops = (more + apart - 1) / apart;
    return arena_printf(
        arena,
        "With the wrong count, the device is half a pitch off after %" PRId64
        " stop%s at the latest. Then it shows a different blade from the one that it names.",
        stops, words_plural(stops));
}

static const char *consequence_of(struct arena *arena, const struct model_reading *reading)
{
    const char *key = reading->key;
    if (reading->agreement == MODEL_DISAGREES && strcmp(key, "blades") == 0) {
        return say_miscount(arena,
                            ((const struct model_integer *)(const void *)reading->first)->value,
                            ((const struct model_integer *)(const void *)reading->second)->value);
    }
    for (size_t i = 0; i < sizeof consequences / sizeof *consequences; i++) {
        const char *known = consequences[i].key;
        const char *at = strstr(key, known);
        char end = at ? at[strlen(known)] : 'x';
        if (at && (at == key || at[-1] == '.') && (!end || end == '.' || end == '[')) {
            return consequences[i].consequence;
        }
    }
    return NULL;
}

static const char *name_of(const struct model_reading *reading)
{
    return reading->id->text ? reading->id->text : "without an id";
}

enum {
    SHOWN_MOST = 80, /* characters of a value: a list can be as long as its file */
    DECIMALS = 2     /* of a value in another unit */
};

/* What a value is written as, on one line. */
static const char *text_at(const struct rules_judging *judging, const struct model_at *at)
{
    const char *text = text_file_at(judging->arena, at->span, true);
    size_t length = strlen(text);
    size_t shown = text_utf8_bytes(text, length, SHOWN_MOST);
    return text_clean(judging->arena,
                      shown == length ? text
                                      : arena_printf(judging->arena, "%.*s...", (int)shown, text));
}

/* What the second reader's value is in the definition's terms: "(3:30 aft looking forward)". */
static const char *in_other_terms(struct arena *arena, const struct model_reading *reading,
                                  const struct model_at *at)
{
    const struct model_field *field = reading->field;
    if (model_has_view(field, at)) {
        int value = ((const struct model_code *)(const void *)at)->value;
        return field->type == MODEL_CLOCK
                   ? arena_printf(arena, " (%s aft looking forward)", words_clock(arena, value))
                   : arena_printf(arena, " (%s)", model_word_for(field->words, value));
    }
    if (at == reading->second && (field->type == MODEL_QUANTITY || field->type == MODEL_INTERVAL)) {
        const struct model_quantity *first = (const void *)reading->first;
        const struct model_quantity *second = (const void *)at;
        enum exact_unit unit = first->written.unit;
        struct exact_rational value;
        if (unit != second->written.unit && exact_measure_in(model_measure(second), unit, &value)) {
            return arena_printf(arena, " (%s %s)", words_decimal(arena, value, DECIMALS),
                                exact_unit_row(unit)->name);
        }
    }
    return "";
}

static struct finding *report_two(struct rules_judging *judging,
                                  const struct model_reading *reading)
{
    return finding_add(
        judging->findings, RULE_CROSS_CHECK_DISAGREES, reading->first->span,
        "%s %s has %s: %s%s, but the second reader read %s%s", model_listed_name(reading->list),
        name_of(reading), reading->key, text_at(judging, reading->first),
        in_other_terms(judging->arena, reading, reading->first), text_at(judging, reading->second),
        in_other_terms(judging->arena, reading, reading->second));
}

/* The ids of parts that the second reader did not find, and one that could be among them. */
struct unmatched {
    struct text_near near;
    enum model_listed list;
};

static void try_unmatched(void *context, const struct model_unread *unread)
{
    struct unmatched *unmatched = context;
    if (unread->list == unmatched->list && !*unread->keys) {
        text_near_try(&unmatched->near, unread->id->text);
    }
}

/* A part that only the second reader found. */
static struct finding *report_new_part(struct rules_judging *judging,
                                       const struct model_reading *reading)
{
    const char *part = model_listed_name(reading->list);
    const struct model_engine *engine = judging->derived.engine;
    struct unmatched unmatched = {text_near_start(reading->id->text, reading->id->length),
                                  reading->list};
    model_each_unread(engine, rules_second_reading(judging), judging->arena, try_unmatched,
                      &unmatched);
    const char *best = text_near_best(&unmatched.near);
    struct finding *finding = finding_add(
        judging->findings, RULE_CROSS_CHECK_DISAGREES, reading->second->span,
        "the second reader read a %s %s, and the definition has none", part, name_of(reading));
    finding_note(judging->findings, finding, engine->id.at.span, "the definition");
    if (best) {
        finding_guess(judging->findings, finding, best);
    } else {
        finding_remedy(judging->findings, finding,
                       "Look at the source again. Add the %s to the definition, or delete it from "
                       "the cross-check.",
                       part);
    }
    return finding;
}

/* A value that only the second reader found. */
static struct finding *report_new(struct rules_judging *judging,
                                  const struct model_reading *reading)
{
    struct finding *finding = finding_add(
        judging->findings, RULE_CROSS_CHECK_DISAGREES, reading->first->span,
        "%s %s has no %s, but the second reader read %s", model_listed_name(reading->list),
        name_of(reading), reading->key, text_at(judging, reading->second));
    finding_remedy(judging->findings, finding,
                   "Look at the source again. Add the value to the definition, or delete it from "
                   "the cross-check.");
    return finding;
}

/* Whether a place is in a part; in any part, if `part` is NULL. */
static bool is_in(const struct span *at, const struct model_at *part)
{
    return !part || (part->span.line <= at->line && at->line <= part->span.end_line);
}

/*
 * Whether a key in a part of this file was not read: it is unknown, or written twice.  It can be
 * the key that seems to be missing.
 */
static bool has_unread_key(const struct rules_judging *judging, const struct text_file *file,
                           const struct model_at *part, bool unknown_too)
{
    for (size_t i = 0; i < judging->findings->count; i++) {
        const struct finding *finding = judging->findings->items[i];
        if (finding->at.file == file && is_in(&finding->at, part) &&
            (finding->rule == RULE_DUPLICATE_KEY ||
             (unknown_too && finding->rule == RULE_UNKNOWN_KEY))) {
            return true;
        }
    }
    return false;
}

/* Whether the value is how many blades a stage has, or in which order. */
static bool is_of_blades(const struct model_reading *reading)
{
    return reading->list == MODEL_STAGES &&
           (strncmp(reading->key, "blades", 6) == 0 || strncmp(reading->key, "numbering", 9) == 0);
}

/* Whether a mistake of reading, which is reported, can be all that is wrong with a value. */
static bool is_explained(const struct rules_judging *judging, const struct model_reading *reading)
{
    return has_unread_key(judging, judging->file, reading->part,
                          reading->agreement == MODEL_READ_ANEW) ||
           has_unread_key(judging, &judging->cross_check->file, reading->part_again,
                          reading->agreement == MODEL_READ_ONCE);
}

/* ---- which reader is right ---------------------------------------------------------------------
 */

/* Tries whether the observations agree with the definition (first) or with the second reader. */
static struct rules_decision decide(const struct rules_judging *judging,
                                    const struct model_reading *reading)
{
    struct model_engine *as_defined = rules_copy(judging);
    struct model_engine *as_read = rules_copy(judging);
    if (!rules_read_again(judging, as_read, reading)) {
        return (struct rules_decision){RULES_UNDECIDED, NULL};
    }
    if (strncmp(reading->key, "turns", 5) == 0) { /* beside a path nothing follows from them */
        const struct model_list none = {.at.state = MODEL_ABSENT};
        struct model_pad *defined =
            rules_copy_part(judging, as_defined, MODEL_PADS, reading->index);
        struct model_pad *read = rules_copy_part(judging, as_read, MODEL_PADS, reading->index);
        defined->path = none;
        read->path = none;
    }
    return rules_decide(judging, as_defined, as_read);
}

static void say_side(struct rules_judging *judging, const struct model_reading *reading,
                     struct finding *finding)
{
    if (finding->wordless || reading->agreement != MODEL_DISAGREES) {
        return;
    }
    const struct rules_decision decision = decide(judging, reading);
    rules_note_decision(judging, finding, &decision, "the definition", "the second reader");
    if (decision.side != RULES_UNDECIDED) {
        finding_remedy(judging->findings, finding,
                       decision.side == RULES_FIRST
                           ? "What was observed agrees with the definition. Let the second reader "
                             "look at the source again."
                           : "What was observed agrees with the second reader. Look at the source "
                             "again, and correct the definition.");
    }
}

static void judge_reading(void *context, const struct model_reading *reading)
{
    struct rules_judging *judging = context;
    if ((reading->agreement != MODEL_DISAGREES && reading->agreement != MODEL_READ_ANEW) ||
        is_explained(judging, reading)) {
        return;
    }
    if (!reading->field) {
        (void)report_new_part(judging, reading);
        return;
    }
    struct finding *finding = reading->agreement == MODEL_DISAGREES ? report_two(judging, reading)
                                                                    : report_new(judging, reading);
    finding_note(judging->findings, finding, reading->second->span, "the second reading");
    if (is_of_blades(reading)) {
        finding->about = reading->part; /* what was seen of the blades says the same */
    }
    const char *consequence = consequence_of(judging->arena, reading);
    if (consequence) {
        finding_consequence(judging->findings, finding, "%s", consequence);
    }
    say_side(judging, reading, finding);
}

/* Whether the cross-check names another engine: then nothing of it can be compared. */
static bool is_of_another(const struct rules_judging *judging)
{
    const struct model_text *id = &judging->derived.engine->id;
    const struct model_cross_check *second = rules_second_reading(judging);
    return second && second->of.id.at.state == MODEL_GIVEN && id->at.state == MODEL_GIVEN &&
           strcmp(second->of.id.text, id->text) != 0;
}

static void report_of_another(struct rules_judging *judging)
{
    const struct model_text *id = &judging->derived.engine->id;
    const struct model_text *other = &rules_second_reading(judging)->of.id;
    struct finding *finding =
        finding_add(judging->findings, RULE_CROSS_CHECK_DISAGREES, other->at.span,
                    "this cross-check is of %s, but it is beside %s", other->text, id->text);
    finding_note(judging->findings, finding, id->at.span, "the id of the definition");
    finding_consequence(judging->findings, finding,
                        "Nothing is compared, so no second person has read %s.", id->text);
    finding_remedy(judging->findings, finding,
                   "Put it beside the definition of %s. If it is of %s, correct the id.",
                   other->text, id->text);
}

bool rules_CROSS_CHECK_DISAGREES(struct rules_judging *judging, const struct rules_subject *subject)
{
    (void)subject;
    const struct model_cross_check *second = rules_second_reading(judging);
    const size_t before = judging->findings->count;
    if (is_of_another(judging)) {
        report_of_another(judging);
    } else if (second) {
        model_each_reading(judging->derived.engine, second, judging->arena, judge_reading, judging);
    }
    return judging->findings->count == before;
}

bool rules_CROSS_CHECK_STALE(struct rules_judging *judging, const struct rules_subject *subject)
{
    (void)subject;
    const struct model_engine *engine = judging->derived.engine;
    const struct model_cross_check *second = rules_second_reading(judging);
    const struct model_integer *revision = &engine->revision;
    if (!second || is_of_another(judging) || second->of.revision.at.state != MODEL_GIVEN ||
        revision->at.state != MODEL_GIVEN || second->of.revision.value == revision->value) {
        return true;
    }
    struct finding *finding =
        finding_add(judging->findings, RULE_CROSS_CHECK_STALE, revision->at.span,
                    "the definition has revision %lld, but its cross-check is of revision %lld",
                    (long long)revision->value, (long long)second->of.revision.value);
    finding_note(judging->findings, finding, second->of.revision.at.span,
                 "the revision that was read again");
    if (second->of.revision.value > revision->value) {
        finding_consequence(judging->findings, finding,
                            "If this definition is an old one, its numbers are no longer valid.");
        finding_remedy(judging->findings, finding,
                       "Use the definition of revision %lld. If there is none, correct the "
                       "revision in the definition or in the cross-check.",
                       (long long)second->of.revision.value);
    }
    return false;
}

static void report_unread(void *context, const struct model_unread *unread)
{
    struct rules_judging *judging = context;
    const char *name = unread->id->text ? unread->id->text : "without an id";
    const char *part = model_listed_name(unread->list);
    if (is_explained(judging, unread->first)) {
        return;
    }
    struct finding *finding =
        *unread->keys
            ? finding_add(judging->findings, RULE_CROSS_CHECK_PARTIAL, unread->first->first->span,
                          "nobody read these keys of %s %s again: %s", part, name, unread->keys)
            : finding_add(judging->findings, RULE_CROSS_CHECK_PARTIAL, unread->first->first->span,
                          "nobody read %s %s again", part, name);
    finding->about = unread->first->part;
}

bool rules_CROSS_CHECK_PARTIAL(struct rules_judging *judging, const struct rules_subject *subject)
{
    (void)subject;
    const struct model_cross_check *second = rules_second_reading(judging);
    const size_t before = judging->findings->count;
    if (second) {
        model_each_unread(judging->derived.engine, second, judging->arena, report_unread, judging);
    }
    return judging->findings->count == before;
}

bool rules_CROSS_CHECK_MISSING(struct rules_judging *judging, const struct rules_subject *subject)
{
    (void)subject;
    const struct model_code *status = &judging->derived.engine->status;
    if (judging->cross_check || judging->cross_check_unread || status->at.state != MODEL_GIVEN ||
        status->value != MODEL_RELEASED) {
        return true;
    }
    finding_add(judging->findings, RULE_CROSS_CHECK_MISSING, judging->derived.engine->id.at.span,
                "%s is released without a cross-check",
                judging->derived.engine->id.text ? judging->derived.engine->id.text
                                                 : "this definition");
    return false;
}
