#include "table/crc32.h"

#include "table/bytes.h"

enum { WIDTH = 4 };

/* What a byte does to the CRC: by[0] where it is the last one, by[n] where n more zeroes follow. */
struct effects {
    uint32_t by[WIDTH][256];
};

static void work_out(struct effects *effects)
{
    for (uint32_t byte = 0; byte < 256; byte++) {
        uint32_t crc = byte;
        for (int bit = 0; bit < 8; bit++) {
            crc = (crc & 1) != 0 ? crc >> 1 ^ 0xedb88320u : crc >> 1;
        }
        effects->by[0][byte] = crc;
    }
    for (size_t n = 1; n < WIDTH; n++) {
        for (uint32_t byte = 0; byte < 256; byte++) {
            uint32_t crc = effects->by[n - 1][byte];
            effects->by[n][byte] = crc >> 8 ^ effects->by[0][crc & 0xff];
        }
    }
}

uint32_t table_crc32(const uint8_t *bytes, size_t length)
{
    struct effects effects;
    uint32_t crc = 0xffffffff;
    work_out(&effects);
    for (; length >= WIDTH; length -= WIDTH, bytes += WIDTH) {
        crc ^= table_get32(bytes);
        crc = effects.by[3][crc & 0xff] ^ effects.by[2][crc >> 8 & 0xff] ^
              effects.by[1][crc >> 16 & 0xff] ^ effects.by[0][crc >> 24];
    }
    for (; length > 0; length--, bytes++) {
        crc = crc >> 8 ^ effects.by[0][(crc ^ *bytes) & 0xff];
    }
    return ~crc;
}
