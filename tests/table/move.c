/*
 * move.c - the movements of the device's library.
 *
 *   move TABLE PAD STAGE FROM TO...
 *   move TABLE PAD STAGE carry OTHER-STAGE
 *
 * By indices and blade numbers.  The first form goes from the first blade to each of the others in
 * turn; one line for each gives the legs in the device's counts.  The second has blade one at the
 * first port of the stage at count 0.  It gives the other stage's stop at its first port: count,
 * blade, and how far the rotor is beyond it.
 */
#include "field/rotor_field.h"

#include <inttypes.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>

static int carry(const struct rotor_table *table, uint32_t pad, uint32_t stage, uint32_t other)
{
    struct rotor_motion from;
    struct rotor_motion to;
    struct rotor_position position;
    if (rotor_motion_open(&from, table, pad, stage) != ROTOR_MOVE_OK ||
        rotor_motion_open(&to, table, pad, other) != ROTOR_MOVE_OK ||
        rotor_start(&from, 1, 0, &position) != ROTOR_MOVE_OK ||
        rotor_carry(table, &from, 0, &position, &to, 0, &position) != ROTOR_MOVE_OK) {
        fputs("no such motion\n", stderr);
        return 2;
    }
    printf("%" PRId64 " %u %" PRId32 "\n", position.counts, position.blade, position.away);
    return 0;
}

int main(int argc, char **argv)
{
    static uint8_t bytes[1 << 18];
    struct rotor_table table;
    struct rotor_motion motion;
    struct rotor_position position;
    struct rotor_move move;
    FILE *file = argc > 5 ? fopen(argv[1], "rb") : NULL;
    if (!file) {
        fputs("usage: move TABLE PAD STAGE FROM TO...\n", stderr);
        return 2;
    }
    uint32_t length = (uint32_t)fread(bytes, 1, sizeof bytes, file);
    fclose(file);
    bool opened = rotor_table_open(&table, bytes, length) == ROTOR_OK;
    if (opened && strcmp(argv[4], "carry") == 0) {
        return carry(&table, (uint32_t)atoi(argv[2]), (uint32_t)atoi(argv[3]),
                     (uint32_t)atoi(argv[5]));
    }
    if (!opened ||
        rotor_motion_open(&motion, &table, (uint32_t)atoi(argv[2]), (uint32_t)atoi(argv[3])) !=
            ROTOR_MOVE_OK ||
        rotor_start(&motion, (uint16_t)atoi(argv[4]), 0, &position) != ROTOR_MOVE_OK) {
        fputs("no such motion\n", stderr);
        return 2;
    }
    for (int i = 5; i < argc; i++) {
        if (rotor_go_to_blade(&motion, &position, (uint16_t)atoi(argv[i]), &move) !=
            ROTOR_MOVE_OK) {
            fputs("no such blade\n", stderr);
            return 2;
        }
        for (int leg = 0; leg < move.legs; leg++) {
            printf("%s%" PRId32, leg > 0 ? " " : "", move.leg[leg]);
        }
        putchar('\n');
    }
    return 0;
}
