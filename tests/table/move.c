/*
 * move.c - the movements of the device's library.
 *
 *   move TABLE PAD STAGE FROM TO...
 *
 * By indices and blade numbers.  From the first blade it goes to each of the others in turn; a line
 * each gives the legs in the device's counts.
 */
#include "field/rotor_field.h"

#include <inttypes.h>
#include <stdio.h>
#include <stdlib.h>

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
    if (rotor_table_open(&table, bytes, length) != ROTOR_OK ||
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
