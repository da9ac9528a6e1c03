/* The CRC of a table, in two ways; a build takes one of them.
 *
 * A device checks a table once, on import, and has little room. Bit by bit, 64 KiB take a small
 * processor less than a tenth of a second. A lookup table would cost 1 KiB. A desktop reads
 * large tables and has the room. With ROTOR_QUICK_CRC32 defined, the effect of each byte is
 * calculated first, on the stack. Then four bytes are done at a time. */
#include "field/rotor_bytes.h"

#ifndef ROTOR_QUICK_CRC32

uint32_t rotor_crc32(uint32_t crc, const uint8_t *bytes, uint32_t length)
{
    crc = ~crc;
    for (; length > 0; length--) {
        crc ^= *bytes++;
        for (int bit = 0; bit < 8; bit++) {
            crc = crc >> 1 ^ (0xedb88320u & (0 - (crc & 1)));
        }
    }
    return ~crc;
}

#else

enum { WIDTH = 4 };

/* The effect of a byte on the CRC: by[0] where it is the last one, by[n] where n more zeroes
 * follow. */
struct effects {
    uint32_t by[WIDTH][256];
};

static void work_out(struct effects *effects)
{
    for (uint32_t byte = 0; byte < 256; byte++) {
        uint32_t crc = byte;
        for (int bit = 0; bit < 8; bit++) {
            crc = crc >> 1 ^ (0xedb88320u & (0 - (crc & 1)));
        }
        effects->by[0][byte] = crc;
    }
    for (uint32_t n = 1; n < WIDTH; n++) {
        for (uint32_t byte = 0; byte < 256; byte++) {
            uint32_t crc = effects->by[n - 1][byte];
            effects->by[n][byte] = crc >> 8 ^ effects->by[0][crc & 0xff];
        }
    }
}

uint32_t rotor_crc32(uint32_t crc, const uint8_t *bytes, uint32_t length)
{
    struct effects effects;

    work_out(&effects);
    crc = ~crc;
    for (; length >= WIDTH; length -= WIDTH, bytes += WIDTH) {
        crc ^= rotor_u32(bytes);
        crc = effects.by[3][crc & 0xff] ^ effects.by[2][crc >> 8 & 0xff] ^
              effects.by[1][crc >> 16 & 0xff] ^ effects.by[0][crc >> 24];
    }
    for (; length > 0; length--, bytes++) {
        crc = crc >> 8 ^ effects.by[0][(crc ^ *bytes) & 0xff];
    }
    return ~crc;
}

#endif
