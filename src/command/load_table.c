#include "command/load_table.h"

#include "field/rotor_bytes.h"
#include "table/words.h"

#include <errno.h>
#include <string.h>

struct reading {
    FILE *file;
    struct arena *arena;
    uint8_t *bytes;
    size_t length, capacity;
};

/* Reads on until there are `most` bytes or the file ends. */
static void read_up_to(struct reading *reading, size_t most)
{
    size_t taken = 1;
    while (reading->length < most && taken != 0) {
        reading->bytes =
            arena_grow(reading->arena, reading->bytes, reading->length, &reading->capacity, 1);
        size_t room = reading->capacity - reading->length;
        room = room < most - reading->length ? room : most - reading->length;
        taken = fread(reading->bytes + reading->length, 1, room, reading->file);
        reading->length += taken;
    }
}

bool command_load_table(struct command_call *call, const char *path, struct rotor_table *table,
                        enum rotor_status *status)
{
    bool standard = strcmp(path, "-") == 0;
    struct reading reading = {.file = standard ? stdin : fopen(path, "rb"), .arena = &call->arena};
    if (!reading.file) {
        command_fail("cannot read %s: %s", path, strerror(errno));
        return false;
    }
    errno = 0;
    read_up_to(&reading, ROTOR_HEADER_SIZE);
    static const uint8_t magic[] = {ROTOR_MAGIC_0, ROTOR_MAGIC_1, ROTOR_MAGIC_2, ROTOR_MAGIC_3};
    uint32_t claimed = 0;
    if (reading.length == ROTOR_HEADER_SIZE && memcmp(reading.bytes, magic, sizeof magic) == 0) {
        claimed = rotor_u32(reading.bytes + ROTOR_HEADER_LENGTH);
        /* What claims more than a table may have is refused by its header alone. */
        read_up_to(&reading, claimed > ROTOR_TABLE_MOST ? 0 : (size_t)claimed + 1);
    }
    bool fine = !ferror(reading.file);
    int error = errno;
    if (!standard) {
        fclose(reading.file);
    }
    if (!fine) {
        command_fail("cannot read %s: %s", path, strerror(error));
        return false;
    }
    uint32_t length = reading.length > UINT32_MAX ? UINT32_MAX : (uint32_t)reading.length;
    *status = rotor_table_open(table, reading.bytes, length);
    if (*status == ROTOR_TRUNCATED && claimed > ROTOR_TABLE_MOST) { /* only the header was read */
        *status = ROTOR_BAD_HEADER;
    }
    return true;
}

int command_refuse_table(const char *path, enum rotor_status status)
{
    command_fail("%s: %s", path, rotor_status_text(status));
    command_say("%s", table_word_remedy(status));
    return COMMAND_FINDINGS;
}
