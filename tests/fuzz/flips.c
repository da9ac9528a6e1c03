/*
 * flips.c - every table that is one bit, one cut or one byte more away from a whole one.
 *
 * flips TABLE
 *
 * Prints how many there were and how many of them the reader took. It should take none.
 */
#include "field/rotor_field.h"

#include <stdio.h>
#include <stdlib.h>

static unsigned long tried, taken;

static void try_open(const uint8_t *bytes, size_t length)
{
    struct rotor_table table;
    tried++;
    taken += rotor_table_open(&table, bytes, (uint32_t)length) == ROTOR_OK;
}

int main(int argc, char **argv)
{
    enum { MOST = 1 << 16 };
    uint8_t *bytes = malloc(MOST + 1);
    FILE *file = argc == 2 ? fopen(argv[1], "rb") : NULL;
    if (!file || !bytes) {
        fputs("usage: flips TABLE\n", stderr);
        return 2;
    }
    size_t length = fread(bytes, 1, MOST, file);
    fclose(file);
    try_open(bytes, length);
    if (taken != 1) {
        fputs("the table itself is refused\n", stderr);
        return 2;
    }
    tried = taken = 0;
    for (size_t bit = 0; bit < 8 * length; bit++) {
        bytes[bit / 8] ^= (uint8_t)(1u << bit % 8);
        try_open(bytes, length);
        bytes[bit / 8] ^= (uint8_t)(1u << bit % 8);
    }
    for (size_t cut = 0; cut < length; cut++) {
        try_open(bytes, cut);
    }
    for (unsigned byte = 0; byte < 256; byte++) {
        bytes[length] = (uint8_t)byte;
        try_open(bytes, length + 1);
    }
    printf("%lu tried, %lu taken\n", tried, taken);
    free(bytes);
    return 0;
}
