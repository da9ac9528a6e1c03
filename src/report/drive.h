/*
 * drive.h - how a pad drives its spool, as a definition has it: turns, gears and limits.
 *
 * A table has limits in steps and counts of the device, and one set of limits for pad and adapter.
 * Each value here is the plainest one from which the compiler makes the same steps again. A value
 * that cannot be written is a problem of `w`, and all texts are in its arena.
 */
#ifndef ROTORTAB_REPORT_DRIVE_H
#define ROTORTAB_REPORT_DRIVE_H

#include "report/written.h"

/* "aft"; NULL for a direction that is not known. */
const char *report_direction(uint8_t code);

/* "{pad: 3.0324, rotor: 1}": it means the limits of the ratio, and the value that K has. */
const char *report_turns_of(struct report_written *w, const struct report_pad_numbers *numbers);

/*
 * A block: a path mesh by mesh. `of` is the rotor_range of its meshes. External gears of which each
 * meshes with the next are one row.
 */
void report_write_path(struct report_written *w, const void *of, int depth);

/* The torque at the pad that gives the limit at the device's shaft: "40 lbf.ft". */
const char *report_torque_of(struct report_written *w, const struct rotor_pad *pad,
                             const struct report_pad_numbers *numbers);

/* The free play at the pad that gives the backlash in counts; NULL if it is not known. */
const char *report_backlash_of(struct report_written *w, const struct rotor_pad *pad,
                               const struct report_pad_numbers *numbers);

/*
 * The speed of the rotor that gives the limits of all pads of the spool. NULL if none follows: each
 * of them is the limit of the device.
 */
const char *report_speed_of(struct report_written *w, const struct rotor_engine *engine,
                            uint32_t spool);

/*
 * Which way the device's side of an adapter has to face, so that its gears turn the spool as the
 * table says. NULL if it is the same way as the pad.
 */
const char *report_adapter_faces(struct report_written *w, const struct rotor_pad *pad);

#endif
