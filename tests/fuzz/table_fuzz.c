/*
 * table_fuzz.c - tables as an enemy would write them: anything wrong, and every CRC right.
 *
 * The CRCs refuse a table that is damaged by accident, so they hide the checks after them. Here the
 * mutator damages fields, records, the directory and plain bytes. Then both CRCs are made right
 * again, and the table is opened. The other checks must find every damage without the CRCs. A
 * refused table is empty. A table that opens is read and moved by in every way (exercise.c), under
 * the sanitizers and in a block of exactly its size.
 *
 * Built on libFuzzer; `make fuzz-table` makes the seeds and runs it.
 */
#include "fuzz/exercise.h"

#include <stdio.h>
#include <stdlib.h>
#include <string.h>

size_t LLVMFuzzerMutate(uint8_t *data, size_t size, size_t most);
size_t LLVMFuzzerCustomMutator(uint8_t *data, size_t size, size_t most, unsigned seed);
int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size);
int LLVMFuzzerInitialize(int *argc, char ***argv);

static struct {
    unsigned long tried, opened;
} tally;

static void tell_tally(void)
{
    fprintf(stderr, "tables tried: %lu, of which opened: %lu\n", tally.tried, tally.opened);
}

int LLVMFuzzerInitialize(int *argc, char ***argv)
{
    (void)argc;
    (void)argv;
    return atexit(tell_tally);
}

/* ---- checksums: a table of 256 words, nothing in common with the reader's ------------------- */

static uint32_t crc_over(uint32_t crc, const uint8_t *bytes, size_t length)
{
    static uint32_t words[256];
    if (words[1] == 0) {
        for (uint32_t i = 0; i < 256; i++) {
            uint32_t word = i;
            for (int bit = 0; bit < 8; bit++) {
                word = word >> 1 ^ (word & 1 ? 0xedb88320u : 0);
            }
            words[i] = word;
        }
    }
    for (crc = ~crc; length > 0; length--, bytes++) {
        crc = crc >> 8 ^ words[(crc ^ *bytes) & 0xff];
    }
    return ~crc;
}

static uint32_t get(const uint8_t *at, int bytes)
{
    uint32_t value = 0;
    for (int i = bytes - 1; i >= 0; i--) {
        value = value << 8 | at[i];
    }
    return value;
}

static void put(uint8_t *at, int bytes, uint64_t value)
{
    for (int i = 0; i < bytes; i++) {
        at[i] = (uint8_t)(value >> 8 * i);
    }
}

/* Where the directory ends by the header, or 0 where that is outside the table. */
static size_t body_of(const uint8_t *data, size_t size)
{
    if (size < ROTOR_HEADER_SIZE + ROTOR_TRAILER_SIZE) {
        return 0;
    }
    size_t body =
        get(data + ROTOR_HEADER_OWN_SIZE, 2) +
        (size_t)get(data + ROTOR_HEADER_SECTIONS, 2) * get(data + ROTOR_HEADER_ENTRY_STRIDE, 2);
    return body >= ROTOR_HEADER_SIZE && body <= size - ROTOR_TRAILER_SIZE ? body : 0;
}

/* Makes both CRCs right, as far as there is room for them. */
static void seal(uint8_t *data, size_t size)
{
    size_t body = body_of(data, size);
    if (body == 0) {
        return;
    }
    size_t trailer = size - ROTOR_TRAILER_SIZE;
    put(data + ROTOR_HEADER_CRC, 4, 0);
    put(data + ROTOR_HEADER_CRC, 4, crc_over(0, data, body));
    put(data + trailer, 4, crc_over(0, data + body, trailer - body));
}

/* ---- damage --------------------------------------------------------------------------------- */

static uint64_t state;

static uint32_t below(uint32_t limit)
{
    state = state * UINT64_C(6364136223846793005) + UINT64_C(1442695040888963407);
    return limit == 0 ? 0 : (uint32_t)(state >> 33) % limit;
}

/* A number at a limit, or a little more or less than the present one. */
static uint64_t wrong(const uint8_t *at, int bytes)
{
    static const uint64_t edges[] = {0,
                                     1,
                                     2,
                                     3,
                                     7,
                                     0x7f,
                                     0x80,
                                     0xff,
                                     0x7fff,
                                     0xffff,
                                     0x10000,
                                     0x0fffffff,
                                     0x10000000,
                                     0x10000001,
                                     0x3fffffff,
                                     0x40000000,
                                     0x7fffffff,
                                     0x80000000,
                                     0x80000001,
                                     0xfffffffe,
                                     0xffffffff,
                                     UINT64_C(0x7fffffffffffffff),
                                     UINT64_C(0x8000000000000000),
                                     UINT64_MAX};
    switch (below(4)) {
    case 0: return edges[below(sizeof edges / sizeof edges[0])];
    case 1: return below(64);
    case 2: return get(at, bytes < 4 ? bytes : 4) + (uint64_t)below(9) - 4;
    default: return (uint64_t)below(UINT32_MAX) << 32 | below(UINT32_MAX);
    }
}

static void spoil(uint8_t *from, size_t length)
{
    static const int sizes[] = {1, 2, 4, 8};
    int bytes = sizes[below(4)];
    if (length >= (size_t)bytes) {
        uint8_t *at = from + below((uint32_t)(length - (size_t)bytes + 1));
        put(at, bytes, wrong(at, bytes));
    }
}

/* A section by the directory, as far as it is inside the table. */
struct extent {
    uint8_t *entry;
    size_t offset, count, stride;
};

static bool pick_section(uint8_t *data, size_t size, struct extent *section)
{
    size_t own = get(data + ROTOR_HEADER_OWN_SIZE, 2);
    size_t stride = get(data + ROTOR_HEADER_ENTRY_STRIDE, 2);
    section->entry = data + own + below(get(data + ROTOR_HEADER_SECTIONS, 2)) * stride;
    if (own < ROTOR_HEADER_SIZE || section->entry + ROTOR_ENTRY_SIZE > data + size) {
        return false;
    }
    section->offset = get(section->entry + ROTOR_ENTRY_OFFSET, 4);
    section->count = get(section->entry + ROTOR_ENTRY_COUNT, 4);
    section->stride = get(section->entry + ROTOR_ENTRY_STRIDE, 2);
    return section->count > 0 && section->stride > 0 && section->offset < size &&
           section->count <= (size - section->offset) / section->stride;
}

static void spoil_record(uint8_t *data, size_t size)
{
    struct extent section;
    if (pick_section(data, size, &section)) {
        size_t record = below((uint32_t)section.count) * section.stride;
        spoil(data + section.offset + record, section.stride);
    }
}

static void copy_record(uint8_t *data, size_t size)
{
    struct extent section;
    if (pick_section(data, size, &section)) {
        uint8_t *first = data + section.offset;
        memmove(first + below((uint32_t)section.count) * section.stride,
                first + below((uint32_t)section.count) * section.stride, section.stride);
    }
}

/* One record more, or one byte more in each, so that the later sections move. */
static size_t grow(uint8_t *data, size_t size, size_t most)
{
    struct extent section;
    if (!pick_section(data, size, &section) || size + section.stride > most) {
        return size;
    }
    size_t end = section.offset + section.count * section.stride;
    memmove(data + end + section.stride, data + end, size - end);
    memmove(data + end, data + end - section.stride, section.stride);
    put(section.entry + ROTOR_ENTRY_COUNT, 4, section.count + 1);
    size_t stride = get(data + ROTOR_HEADER_ENTRY_STRIDE, 2);
    for (uint8_t *entry = data + get(data + ROTOR_HEADER_OWN_SIZE, 2);
         stride >= ROTOR_ENTRY_SIZE && entry + stride <= data + body_of(data, size);
         entry += stride) {
        size_t offset = get(entry + ROTOR_ENTRY_OFFSET, 4);
        if (offset >= end && entry != section.entry) {
            put(entry + ROTOR_ENTRY_OFFSET, 4, offset + section.stride);
        }
    }
    return size + section.stride;
}

static void remedy_header(uint8_t *data, size_t size)
{
    static const uint8_t magic[ROTOR_MAGIC_SIZE] = {ROTOR_MAGIC_0, ROTOR_MAGIC_1, ROTOR_MAGIC_2,
                                                    ROTOR_MAGIC_3, ROTOR_MAGIC_4, ROTOR_MAGIC_5,
                                                    ROTOR_MAGIC_6, ROTOR_MAGIC_7};
    if (size >= ROTOR_HEADER_SIZE) {
        memcpy(data + ROTOR_HEADER_MAGIC, magic, sizeof magic);
        put(data + ROTOR_HEADER_LENGTH, 4, size);
    }
}

/* Tables that opened. Damage on damage seldom opens, so every other try begins with one. */
static struct {
    uint8_t *bytes;
    size_t size;
} kept[32];

static void keep(const uint8_t *data, size_t size)
{
    size_t slot = tally.opened % (sizeof kept / sizeof kept[0]);
    kept[slot].bytes = realloc(kept[slot].bytes, size);
    kept[slot].size = size;
    memcpy(kept[slot].bytes, data, size);
}

size_t LLVMFuzzerCustomMutator(uint8_t *data, size_t size, size_t most, unsigned seed)
{
    state = seed;
    size_t slot = below(2 * sizeof kept / sizeof kept[0]);
    if (slot < sizeof kept / sizeof kept[0] && kept[slot].size > 0 && kept[slot].size <= most) {
        size = kept[slot].size;
        memcpy(data, kept[slot].bytes, size);
    }
    for (uint32_t times = 1 + below(2); times > 0; times--) {
        uint32_t how = body_of(data, size) == 0 ? 15 : below(16);
        if (how < 9) {
            spoil_record(data, size);
        } else if (how < 11) {
            copy_record(data, size);
        } else if (how < 12) {
            size = grow(data, size, most);
        } else if (how < 13) {
            spoil(data + ROTOR_HEADER_SIZE, body_of(data, size) - ROTOR_HEADER_SIZE);
        } else if (how < 14) {
            spoil(data, ROTOR_HEADER_SIZE);
        } else {
            size = LLVMFuzzerMutate(data, size, most);
        }
    }
    if (below(16) != 0) {
        remedy_header(data, size);
    }
    return size;
}

int LLVMFuzzerTestOneInput(const uint8_t *data, size_t size)
{
    struct rotor_table table;
    uint8_t *block = malloc(size); /* exactly its size, so that a byte too far is found */
    if (size > 0) {
        memcpy(block, data, size);
    }
    seal(block, size);
    tally.tried++;
    if (rotor_table_open(&table, block, (uint32_t)size) == ROTOR_OK) {
        tally.opened++;
        keep(block, size);
        exercise_table(&table, crc_over(0, block, size));
    } else {
        exercise_empty(&table);
    }
    free(block);
    return 0;
}
