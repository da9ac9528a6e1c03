/*
 * import.c - what the device's library says of pairs of tables.
 *
 *   import PROFILE < PAIRS
 *
 * Each line of the input is two paths, OLD NEW.  For each it prints "verdict NUMBER", then
 * "engine NUMBER ID" for each engine, its id in hexadecimal.  It prints "refused" if the device
 * does not open one of the tables.
 */
#include "field/rotor_import.h"

#include <stdio.h>

enum { LARGEST = 1 << 20 };

static bool open_file(struct rotor_table *table, uint8_t *bytes, const char *path)
{
    FILE *file = fopen(path, "rb");
    if (!file) {
        return false;
    }
    size_t length = fread(bytes, 1, LARGEST, file);
    fclose(file);
    return rotor_table_open(table, bytes, (uint32_t)length) == ROTOR_OK;
}

int main(int argc, char **argv)
{
    static uint8_t old_bytes[LARGEST], new_bytes[LARGEST];
    struct rotor_table old_table, new_table;
    struct rotor_import import;
    char old_path[1024], new_path[1024];
    while (argc == 2 && scanf("%1023s %1023s", old_path, new_path) == 2) {
        if (!open_file(&old_table, old_bytes, old_path) ||
            !open_file(&new_table, new_bytes, new_path)) {
            puts("refused");
            continue;
        }
        printf("verdict %d\n", (int)rotor_import_open(&import, &old_table, &new_table, argv[1]));
        while (rotor_import_next(&import)) {
            printf("engine %d ", (int)import.finding);
            for (const char *at = import.id; *at; at++) {
                printf("%02x", (unsigned)(unsigned char)*at);
            }
            puts("");
        }
    }
    return 0;
}
