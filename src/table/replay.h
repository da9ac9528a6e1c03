/*
 * replay.h - does a table do what its own exact numbers say?
 *
 * The device's motion functions go through the stops of a stage one by one. Each stop is compared
 * with round(j K/N). That comes from exact integers, and from the pad's K and the stage's blades
 * alone. K is compared with the device's counts, the adapter and the gears. Only the device's
 * reader reads the table.
 */
#ifndef ROTORTAB_TABLE_REPLAY_H
#define ROTORTAB_TABLE_REPLAY_H

#include "table/pool.h"
#include "table/words.h"
#include "turning/path.h"

enum { TABLE_MESHES_MOST = 256 }; /* of one path; more than a definition can have */

/* The meshes of a path; false where one is impossible, or there are more than TABLE_MESHES_MOST. */
bool table_path_of(const struct rotor_table *table, struct rotor_range range,
                   struct turning_mesh meshes[TABLE_MESHES_MOST]);

enum table_fault {
    TABLE_FINE,
    TABLE_RATIO_WRONG,    /* the pad's ratio, or its adapter's, is not what the gears make */
    TABLE_COUNTS_WRONG,   /* K is not the device's counts times adapter times ratio */
    TABLE_SENSE_WRONG,    /* the gears turn the spool the other way */
    TABLE_POSITIVE_WRONG, /* through an adapter, a rising count turns the spool the other way */
    TABLE_STOP_WRONG,     /* a stop is not at its blade */
    TABLE_SCHEDULE_WRONG, /* the stops are right, and the schedule is not K/N */
    TABLE_DATUM_WRONG,    /* blade one is not at a port at its datum */
    TABLE_BEYOND          /* the numbers leave 64 bits, so nothing can be compared */
};

struct table_replay {
    enum table_fault fault;
    uint64_t stops;          /* walked and compared */
    int64_t stop;            /* STOP: the first wrong one, in blades from blade one; < 0: back */
    int64_t found, expected; /* counts */
    uint16_t port;           /* DATUM: which of the stage's ports, from 0 */
    bool approximated;       /* the remainder does not fit the device: it drifts, */
    int64_t turns;           /* by one count after so many rotor turns */
    struct exact_rational closure_counts, closure_degrees; /* a fixed device's, a rotor turn */
};

enum { TABLE_REPLAY_TURNS = 1000 }; /* no stage is followed for more rotor turns than that */

/* Compares a pad's own numbers with each other. */
void table_replay_pad(const struct rotor_table *table, uint32_t pad, struct table_replay *out);

/*
 * Remembers which walks were right. Stops follow from K, blades, schedule and order alone, and a
 * fleet has far fewer of those than stages.
 */
struct table_replayer {
    const struct rotor_table *table;
    struct arena arena;
    struct table_pool walks;
    uint64_t *stops; /* by item of `walks`: how many, 0 where it was not right */
    size_t stops_capacity;
};

void table_replayer_start(struct table_replayer *replayer, const struct rotor_table *table);
void table_replayer_end(struct table_replayer *replayer);

/*
 * Walks the stops of the link with index `link`, one of the pad's. It goes forward until the
 * schedule begins again (at least a rotor turn), and a rotor turn back.
 */
void table_replay_link(struct table_replayer *replayer, uint32_t pad, uint32_t link,
                       struct table_replay *out);

#endif
