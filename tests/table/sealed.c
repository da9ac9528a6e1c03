/*
 * sealed.c - what verify says of a table with one thing changed and both CRCs right.
 *
 * sealed TABLE < CHANGES
 *
 * A change is a line `OFFSET SIZE VALUE`, the value little-endian in 1, 2, 4 or 8 bytes. For each
 * change one line is printed. It is `taken` where verify would take the table. It is `status NAME`
 * where the device's reader refuses it. It is `misfit N` where only its form is wrong, with N of
 * enum table_misfit_kind. Otherwise it is `refused`. This is a separate program, because there are
 * more changes than starts of verify would allow.
 */
#include "field/rotor_bytes.h"
#include "table/form.h"
#include "table/replay.h"
#include "table/words.h"

#include <inttypes.h>
#include <stdio.h>
#include <string.h>

enum { MOST = 1 << 18 };

static uint32_t get(const uint8_t *at, unsigned size)
{
    uint32_t value = 0;
    for (unsigned i = size; i-- > 0;) {
        value = value << 8 | at[i];
    }
    return value;
}

static void put(uint8_t *at, unsigned size, uint64_t value)
{
    for (unsigned i = 0; i < size; i++, value >>= 8) {
        at[i] = (uint8_t)value;
    }
}

static void seal(uint8_t *bytes, uint32_t length)
{
    uint32_t body =
        get(bytes + ROTOR_HEADER_OWN_SIZE, 2) +
        get(bytes + ROTOR_HEADER_SECTIONS, 2) * get(bytes + ROTOR_HEADER_ENTRY_STRIDE, 2);
    uint32_t trailer = length - ROTOR_TRAILER_SIZE;
    if (body > trailer) {
        return; /* it is refused for that */
    }
    put(bytes + ROTOR_HEADER_CRC, 4, 0);
    put(bytes + ROTOR_HEADER_CRC, 4, rotor_crc32(0, bytes, body));
    put(bytes + trailer, 4, rotor_crc32(0, bytes + body, trailer - body));
}

static bool replays(const struct rotor_table *table)
{
    struct table_replayer replayer;
    struct table_replay replay = {.fault = TABLE_FINE};
    struct rotor_pad pad;
    table_replayer_start(&replayer, table);
    for (uint32_t p = 0; replay.fault == TABLE_FINE && rotor_get_pad(table, p, &pad); p++) {
        table_replay_pad(table, p, &replay);
        for (uint32_t i = 0; replay.fault == TABLE_FINE && i < pad.links.count; i++) {
            table_replay_link(&replayer, p, pad.links.first + i, &replay);
        }
    }
    table_replayer_end(&replayer);
    return replay.fault == TABLE_FINE;
}

static bool has_fair_texts(const struct rotor_table *table)
{
    struct arena arena = {.newest = NULL};
    bool fair = table_text_fault(&arena, table) == NULL;
    arena_free(&arena);
    return fair;
}

/* The questions of verify, in the order in which they are quickest. */
static bool taken(const uint8_t *bytes, uint32_t length, enum rotor_status *status,
                  struct table_misfit *misfit)
{
    struct rotor_table table;
    misfit->what = TABLE_FITS;
    *status = rotor_table_open(&table, bytes, length);
    return *status == ROTOR_OK && table_form(&table, misfit) && has_fair_texts(&table) &&
           replays(&table);
}

int main(int argc, char **argv)
{
    static uint8_t whole[MOST];
    static uint8_t changed[MOST];
    FILE *file = argc == 2 ? fopen(argv[1], "rb") : NULL;
    if (!file) {
        fputs("usage: sealed TABLE < CHANGES\n", stderr);
        return 2;
    }
    uint32_t length = (uint32_t)fread(whole, 1, MOST, file);
    uint32_t offset;
    unsigned size;
    uint64_t value;
    enum rotor_status status;
    struct table_misfit misfit;
    fclose(file);
    if (!taken(whole, length, &status, &misfit)) {
        fprintf(stderr, "the table itself is refused: misfit %d, section %u, record %u\n",
                (int)misfit.what, (unsigned)misfit.kind, (unsigned)misfit.index);
        return 2;
    }
    while (scanf("%" SCNu32 " %u %" SCNu64, &offset, &size, &value) == 3) {
        memcpy(changed, whole, length);
        put(changed + offset, size, value);
        seal(changed, length);
        if (taken(changed, length, &status, &misfit)) {
            puts("taken");
        } else if (status != ROTOR_OK) {
            printf("status %s\n", table_word_status(status));
        } else if (misfit.what != TABLE_FITS) {
            printf("misfit %d\n", (int)misfit.what);
        } else {
            puts("refused");
        }
    }
    return 0;
}
