/*
 * sha256.c - the standard's steps as they are written, and, where a processor has instructions for
 * them, those: the digests of the sources are a tenth of a compilation otherwise.
 */
#include "table/sha256.h"

#include <string.h>

/* Clang cannot ask a processor for them; a test asks for the steps as they are written. */
#if defined(__x86_64__) && defined(__GNUC__) && !defined(__clang__) && !defined(TABLE_SHA256_PLAIN)
#define HAS_INSTRUCTIONS
#include <immintrin.h>
#endif

/* Fractional parts of the cube roots of the first 64 primes: FIPS 180-4, section 4.2.2. */
static const uint32_t constants[TABLE_SHA256_BLOCK] = {
    0x428a2f98, 0x71374491, 0xb5c0fbcf, 0xe9b5dba5, 0x3956c25b, 0x59f111f1, 0x923f82a4, 0xab1c5ed5,
    0xd807aa98, 0x12835b01, 0x243185be, 0x550c7dc3, 0x72be5d74, 0x80deb1fe, 0x9bdc06a7, 0xc19bf174,
    0xe49b69c1, 0xefbe4786, 0x0fc19dc6, 0x240ca1cc, 0x2de92c6f, 0x4a7484aa, 0x5cb0a9dc, 0x76f988da,
    0x983e5152, 0xa831c66d, 0xb00327c8, 0xbf597fc7, 0xc6e00bf3, 0xd5a79147, 0x06ca6351, 0x14292967,
    0x27b70a85, 0x2e1b2138, 0x4d2c6dfc, 0x53380d13, 0x650a7354, 0x766a0abb, 0x81c2c92e, 0x92722c85,
    0xa2bfe8a1, 0xa81a664b, 0xc24b8b70, 0xc76c51a3, 0xd192e819, 0xd6990624, 0xf40e3585, 0x106aa070,
    0x19a4c116, 0x1e376c08, 0x2748774c, 0x34b0bcb5, 0x391c0cb3, 0x4ed8aa4a, 0x5b9cca4f, 0x682e6ff3,
    0x748f82ee, 0x78a5636f, 0x84c87814, 0x8cc70208, 0x90befffa, 0xa4506ceb, 0xbef9a3f7, 0xc67178f2};

static uint32_t rotate(uint32_t x, unsigned by)
{
    return x >> by | x << (32 - by);
}

/*
 * One step of section 6.2.2.  There a to h move up one place a step; here they stay, and step t
 * finds the standard's i-th in s[(i - t) mod 8], which a compiler works out when it unrolls eight.
 */
static inline void step(uint32_t s[8], size_t t, uint32_t word)
{
    uint32_t a = s[(0 - t) % 8], b = s[(1 - t) % 8], c = s[(2 - t) % 8];
    uint32_t e = s[(4 - t) % 8], f = s[(5 - t) % 8], g = s[(6 - t) % 8];
    uint32_t sum_e = rotate(e, 6) ^ rotate(e, 11) ^ rotate(e, 25);
    uint32_t sum_a = rotate(a, 2) ^ rotate(a, 13) ^ rotate(a, 22);
    uint32_t choice = (e & f) ^ (~e & g);
    uint32_t majority = (a & b) ^ (a & c) ^ (b & c);
    uint32_t first = s[(7 - t) % 8] + sum_e + choice + word;
    s[(3 - t) % 8] += first;
    s[(7 - t) % 8] = first + sum_a + majority;
}

static void mix_block(uint32_t state[8], const uint8_t block[TABLE_SHA256_BLOCK])
{
    uint32_t w[TABLE_SHA256_BLOCK];
    uint32_t s[8];
    for (size_t t = 0; t < 16; t++) {
        const uint8_t *at = block + 4 * t;
        w[t] = (uint32_t)at[0] << 24 | (uint32_t)at[1] << 16 | (uint32_t)at[2] << 8 | at[3];
    }
    for (size_t t = 16; t < TABLE_SHA256_BLOCK; t++) {
        uint32_t early = rotate(w[t - 15], 7) ^ rotate(w[t - 15], 18) ^ w[t - 15] >> 3;
        uint32_t late = rotate(w[t - 2], 17) ^ rotate(w[t - 2], 19) ^ w[t - 2] >> 10;
        w[t] = late + w[t - 7] + early + w[t - 16];
    }
    memcpy(s, state, sizeof s);
    for (size_t t = 0; t < TABLE_SHA256_BLOCK; t += 8) {
        step(s, 0, constants[t] + w[t]);
        step(s, 1, constants[t + 1] + w[t + 1]);
        step(s, 2, constants[t + 2] + w[t + 2]);
        step(s, 3, constants[t + 3] + w[t + 3]);
        step(s, 4, constants[t + 4] + w[t + 4]);
        step(s, 5, constants[t + 5] + w[t + 5]);
        step(s, 6, constants[t + 6] + w[t + 6]);
        step(s, 7, constants[t + 7] + w[t + 7]);
    }
    for (size_t i = 0; i < 8; i++) {
        state[i] += s[i];
    }
}

#ifdef HAS_INSTRUCTIONS

/*
 * The same with the instructions SHA256RNDS2, SHA256MSG1 and SHA256MSG2 (Intel 64 and IA-32
 * Architectures Software Developer's Manual, volume 2).  They keep the state as a, b, e, f and
 * c, d, g, h, from the highest word down, and take two steps at a time.
 */
__attribute__((target("sha,sse4.1"))) static void
mix_by_instructions(uint32_t state[8], const uint8_t *blocks, size_t count)
{
    const __m128i turned = _mm_set_epi64x(0x0c0d0e0f08090a0b, 0x0405060700010203);
    const __m128i badc = _mm_shuffle_epi32(_mm_loadu_si128((const __m128i *)state), 0xb1);
    const __m128i hgfe = _mm_shuffle_epi32(_mm_loadu_si128((const __m128i *)state + 1), 0x1b);
    __m128i abef = _mm_alignr_epi8(badc, hgfe, 8);
    __m128i cdgh = _mm_blend_epi16(hgfe, badc, 0xf0);
    for (; count > 0; count--, blocks += TABLE_SHA256_BLOCK) {
        const __m128i *in = (const __m128i *)blocks;
        const __m128i abef_before = abef;
        const __m128i cdgh_before = cdgh;
        __m128i w[4]; /* the last sixteen words of the schedule, four to a register */
#pragma GCC unroll 16
        for (size_t t = 0; t < 16; t++) {
            if (t < 4) {
                w[t] = _mm_shuffle_epi8(_mm_loadu_si128(in + t), turned);
            } else {
                __m128i sum = _mm_sha256msg1_epu32(w[t % 4], w[(t + 1) % 4]);
                sum = _mm_add_epi32(sum, _mm_alignr_epi8(w[(t + 3) % 4], w[(t + 2) % 4], 4));
                w[t % 4] = _mm_sha256msg2_epu32(sum, w[(t + 3) % 4]);
            }
            const __m128i *constant = (const __m128i *)(constants + 4 * t);
            __m128i words = _mm_add_epi32(w[t % 4], _mm_loadu_si128(constant));
            cdgh = _mm_sha256rnds2_epu32(cdgh, abef, words);
            abef = _mm_sha256rnds2_epu32(abef, cdgh, _mm_shuffle_epi32(words, 0x0e));
        }
        abef = _mm_add_epi32(abef, abef_before);
        cdgh = _mm_add_epi32(cdgh, cdgh_before);
    }
    const __m128i feba = _mm_shuffle_epi32(abef, 0x1b);
    const __m128i dchg = _mm_shuffle_epi32(cdgh, 0xb1);
    _mm_storeu_si128((__m128i *)state, _mm_blend_epi16(feba, dchg, 0xf0));
    _mm_storeu_si128((__m128i *)state + 1, _mm_alignr_epi8(dchg, feba, 8));
}

#endif

static void mix(uint32_t state[8], const uint8_t *blocks, size_t count)
{
#ifdef HAS_INSTRUCTIONS
    if (__builtin_cpu_supports("sha") && __builtin_cpu_supports("sse4.1")) {
        mix_by_instructions(state, blocks, count);
        return;
    }
#endif
    for (; count > 0; count--, blocks += TABLE_SHA256_BLOCK) {
        mix_block(state, blocks);
    }
}

void table_sha256_start(struct table_sha256 *hash)
{
    static const uint32_t first[8] = {0x6a09e667, 0xbb67ae85, 0x3c6ef372, 0xa54ff53a,
                                      0x510e527f, 0x9b05688c, 0x1f83d9ab, 0x5be0cd19};
    memcpy(hash->state, first, sizeof first);
    hash->length = 0;
}

void table_sha256_take(struct table_sha256 *hash, const void *bytes, size_t length)
{
    const uint8_t *at = bytes;
    while (length > 0) {
        size_t filled = hash->length % TABLE_SHA256_BLOCK;
        if (filled == 0 && length >= TABLE_SHA256_BLOCK) {
            size_t whole = length / TABLE_SHA256_BLOCK;
            mix(hash->state, at, whole);
            hash->length += whole * TABLE_SHA256_BLOCK;
            at += whole * TABLE_SHA256_BLOCK;
            length %= TABLE_SHA256_BLOCK;
            continue;
        }
        size_t taken = TABLE_SHA256_BLOCK - filled;
        taken = taken < length ? taken : length;
        memcpy(hash->block + filled, at, taken);
        hash->length += taken;
        at += taken;
        length -= taken;
        if (filled + taken == TABLE_SHA256_BLOCK) {
            mix(hash->state, hash->block, 1);
        }
    }
}

void table_sha256_end(struct table_sha256 *hash, uint8_t out[TABLE_SHA256_SIZE])
{
    static const uint8_t padding[TABLE_SHA256_BLOCK] = {0x80};
    uint8_t bits[8];
    for (size_t i = 0; i < 8; i++) {
        bits[i] = (uint8_t)(hash->length * 8 >> (56 - 8 * i));
    }
    /* A one bit, and zeroes up to the last eight bytes of a block. */
    size_t filled = hash->length % TABLE_SHA256_BLOCK;
    size_t end = filled < 56 ? 56 : 56 + TABLE_SHA256_BLOCK;
    table_sha256_take(hash, padding, end - filled);
    table_sha256_take(hash, bits, sizeof bits);
    for (size_t i = 0; i < TABLE_SHA256_SIZE; i++) {
        out[i] = (uint8_t)(hash->state[i / 4] >> (24 - 8 * (i % 4)));
    }
}

void table_digest(const char *bytes, size_t length, uint8_t out[TABLE_SHA256_SIZE])
{
    struct table_sha256 hash;
    size_t start = 0;
    table_sha256_start(&hash);
    for (const char *at = bytes; (at = memchr(at, '\r', length - (size_t)(at - bytes)));) {
        size_t end = (size_t)(at - bytes);
        at++;
        if (end + 1 < length && *at == '\n') {
            table_sha256_take(&hash, bytes + start, end - start);
            start = end + 1;
        }
    }
    if (length > start) {
        table_sha256_take(&hash, bytes + start, length - start);
    }
    table_sha256_end(&hash, out);
}
