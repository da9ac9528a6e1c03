/*
 * hosted.c - the trial under an operating system, the table at any alignment.
 *
 *   hosted TABLE OFFSET
 */
#include "device/trial.h"

#include <stdio.h>
#include <stdlib.h>

static void say(const char *line)
{
    puts(line);
}

int main(int argc, char **argv)
{
    static _Alignas(4) uint8_t buffer[65536];
    FILE *file = argc == 3 ? fopen(argv[1], "rb") : NULL;
    if (!file) {
        fputs("usage: hosted TABLE OFFSET\n", stderr);
        return 2;
    }
    uint8_t *first = buffer + atoi(argv[2]);
    size_t length = fread(first, 1, sizeof buffer - 4, file);
    fclose(file);
    trial(first, (uint32_t)length, say);
    return 0;
}
