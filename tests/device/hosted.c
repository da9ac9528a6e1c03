/*
 * hosted.c - the trial under an operating system, the table at any alignment.
 *
 *   hosted TABLE OFFSET FORMER
 */
#include "device/trial.h"

#include <stdio.h>
#include <stdlib.h>

static void say(const char *line)
{
    puts(line);
}

enum { LARGEST = 65536 };

static uint32_t load(const char *path, uint8_t *bytes)
{
    FILE *file = fopen(path, "rb");
    if (!file) {
        perror(path);
        exit(2);
    }
    size_t length = fread(bytes, 1, LARGEST, file);
    fclose(file);
    return (uint32_t)length;
}

int main(int argc, char **argv)
{
    static _Alignas(4) uint8_t buffer[2 * LARGEST + 4];
    if (argc != 4) {
        fputs("usage: hosted TABLE OFFSET FORMER\n", stderr);
        return 2;
    }
    uint8_t *first = buffer + atoi(argv[2]);
    uint32_t length = load(argv[1], first);
    uint8_t *former = first + length;
    trial(first, length, former, load(argv[3], former), say);
    return 0;
}
