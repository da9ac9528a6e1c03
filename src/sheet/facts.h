/*
 * facts.h - the content of a setup sheet, in the order in which it is needed at the engine.
 *
 * Both forms of the sheet, text and HTML, take their sentences from here, so they cannot differ.
 * All texts live in the sheet's arena.
 */
#ifndef ROTORTAB_SHEET_FACTS_H
#define ROTORTAB_SHEET_FACTS_H

#include "sheet/sheet.h"
#include "words/budget.h"
#include "words/caution.h"
#include "words/name.h"
#include "words/number.h"
#include "words/train.h"

/* A label, its value, and more about the value (NULL: no more). */
struct sheet_row {
    const char *label, *value, *detail;
};

struct sheet_rows {
    struct sheet_row *items;
    size_t count, capacity;
};

void sheet_row(const struct sheet *sheet, struct sheet_rows *rows, const char *label,
               const char *value, const char *detail);

/* printf into the sheet's arena. */
const char *sheet_say(const struct sheet *sheet, const char *format, ...)
    __attribute__((format(printf, 2, 3)));

/* The first part of every sheet; NULL ends. */
extern const char *const sheet_cautions[];

/* The same in short, for a page of a record; NULL ends.  The last one is for a pad. */
extern const char *const sheet_short_cautions[];

/*
 * What the definition says in before-turning: of the engine, of each spool and of each pad.  It is
 * above the cautions of every sheet.
 */
struct words_cautions sheet_before_turning(const struct sheet *sheet);

/*
 * "*" if a value of this key of a part rests on one reading, else "".  It is written after the
 * value.
 */
const char *sheet_mark(const struct sheet *sheet, enum model_listed list, size_t index,
                       const char *key);

/* The caution that says what the mark means; NULL if nothing on the sheet has it. */
const char *sheet_mark_caution(const struct sheet *sheet);

/* A sentence if the definition is not released, else NULL. */
const char *sheet_status_warning(const struct sheet *sheet);

/*
 * A finding of the definition that is still open, in a sentence with its rule: a warning, or one
 * that is waived, with its last day.  NULL for any other.
 */
const char *sheet_open_finding(const struct sheet *sheet, size_t index);

/* Whether there is one. */
bool sheet_has_open_finding(const struct sheet *sheet);

/*
 * The caution for a spool that is turned by hand and that must not turn backwards.
 * NULL for any other spool.
 */
const char *sheet_hand_warning(const struct sheet *sheet, size_t spool);

/* "revision 4, released". */
const char *sheet_edition(const struct sheet *sheet);

/* The three places where the turning is visible, in the order of the drive. */
enum sheet_end { SHEET_DEVICE, SHEET_PAD, SHEET_ROTOR };

/* Which way one of them turns when the spool turns in its normal direction. */
struct sheet_turn {
    const char *name; /* "pad crank" */
    const char *what; /* what it is and how it is coupled */
    int sign;         /* +1 for cw in the view */
    const char *mark; /* of the sense: sheet_mark */
    const char *view; /* "facing the pad" */
};
struct sheet_turn sheet_turn(const struct sheet *sheet, size_t index, enum sheet_end end);

/* "Pad crank turns spool HP". */
const char *sheet_pad_title(const struct sheet *sheet, size_t pad);

/* Limits, backlash, counts and ratio of a pad on the device; the most important first. */
void sheet_pad_rows(const struct sheet *sheet, size_t index, struct sheet_rows *rows);

/* The limits of torque and speed of a pad, and when to find blade one again, in short. */
void sheet_pad_limits(const struct sheet *sheet, size_t index, struct sheet_rows *rows);

/* Warnings for this pad; each label names the subject. */
void sheet_pad_notes(const struct sheet *sheet, size_t index, struct sheet_rows *rows);

/* "numbered with the rotation". */
const char *sheet_numbering(const struct model_stage *stage);

/*
 * "31, drilled root; 62, long root": the blades besides blade one that can be recognised;
 * NULL if there are none.
 */
const char *sheet_known_blades(const struct sheet *sheet, const struct model_stage *stage);

/*
 * Blade one, known blades, the port that the stops are for, and the order in which blades come to
 * it; its detail is the numbering.  Then the note, if there is one.  For a stage that is turned by
 * hand, also its pitch and its stops.
 */
void sheet_stage_rows(const struct sheet *sheet, size_t index, struct sheet_rows *rows);

/* A port of a stage that is not its first one. */
struct sheet_other_port {
    const char *port;  /* "T2 at 6:00" */
    const char *apart; /* "120 deg of rotor, 22.667 blades, 94777.2 counts": from the first port */
    const char *stops; /* "off by 0.333 pitch, 1.76 deg of rotor too far" */
};
struct sheet_other_port sheet_other_port(const struct sheet *sheet, size_t stage, size_t port);

/* The same in rows, for each of them. */
void sheet_other_port_rows(const struct sheet *sheet, size_t index, struct sheet_rows *rows);

/* The step from blade to blade of a stage through a pad. */
struct sheet_step {
    const char *counts;         /* "16226 + 5366/6293" */
    const char *rotor, *device; /* degrees they turn */
};
struct sheet_step sheet_step(const struct sheet *sheet, const struct model_pair *pair);

/* The error budget of the stage through the pad: one place or two. */
size_t sheet_errors(const struct sheet *sheet, const struct model_pair *pair,
                    struct words_place places[2]);

/*
 * Where blade one of the clocked stages comes to its ports, "HPC-1 at P1 171171": counts from the
 * datum mark at twelve o'clock.  NULL if no stage of the pad has both a clocking and a port.
 */
const char *sheet_datums(const struct sheet *sheet, size_t pad);

/* The same in rows, through each pad that turns the stage. */
void sheet_step_rows(const struct sheet *sheet, size_t index, struct sheet_rows *rows);

/* "1, 2, 3 ... 31, 1", and just "2": the order in which blades pass a fixed port. */
const char *sheet_passing(const struct sheet *sheet, const struct model_stage *stage);
const char *sheet_next_blade(const struct sheet *sheet, const struct model_stage *stage);

/* "P1 at 4:30", all ports of the stage; NULL where none is given. */
const char *sheet_ports(const struct sheet *sheet, size_t index);

/* The pitch of a stage, degrees of the rotor. */
const char *sheet_pitch(const struct sheet *sheet, const struct model_stage *stage);

/*
 * The j-th stop of a stage that is turned by hand, j from 0: its blade, and degrees of the rotor
 * from blade one.
 */
struct sheet_hand_stop {
    int64_t blade;
    const char *degrees;
};
struct sheet_hand_stop sheet_hand_stop(const struct sheet *sheet, const struct model_stage *stage,
                                       int64_t j);

/* "1 at 0, 74 at 4.86 ... 2 at 355.14": the first of them, and the last. */
const char *sheet_hand_stops(const struct sheet *sheet, const struct model_stage *stage);

/* "compressor": what the stage does. */
const char *sheet_role(const struct model_stage *stage);

/* Whether a pad of the definition turns the spool.  If not, it is turned by hand. */
bool sheet_is_driven(const struct sheet *sheet, size_t spool);

/* "LP turns cw, aft looking forward": the normal direction of a spool. */
const char *sheet_spool_way(const struct sheet *sheet, size_t spool);

/*
 * The observations in words.  Those of one part that follow each other share a row, unless one has
 * a note, which is the detail.
 */
void sheet_observation_rows(const struct sheet *sheet, struct sheet_rows *rows);

/* Where the numbers came from: source, revision, status, digests, profile. */
void sheet_source_rows(const struct sheet *sheet, struct sheet_rows *rows);

#endif
