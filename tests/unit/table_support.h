/* Tables for tests. Definitions are written as text, and loaded, derived and built as the program
 * does it. A finished table can be damaged, with both CRCs made right again. Invented data. */
#ifndef TABLE_SUPPORT_H
#define TABLE_SUPPORT_H

#include "unit/check.h"
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

#include "field/rotor_bytes.h"
#include "model/load.h"
#include "table/builder.h"
#include "table/bytes.h"
#include "text/digest.h"

#define SUPPORT_DEVICE(stepping, more)                                                             \
    "device-profile: 1\n"                                                                          \
    "id: bench-9\n"                                                                                \
    "name: Bench nine indexer\n"                                                                   \
    "shaft:\n"                                                                                     \
    "  counts-per-motor-turn: 2000\n"                                                              \
    "  reduction: {motor: 81, output: 1}\n"                                                        \
    "  positive: cw\n"                                                                             \
    "  square: 3/8 in\n"                                                                           \
    "stepping: " stepping "\n"                                                                     \
    "counter-bits: 32\n"                                                                           \
    "speed: {min: 1 deg/min, max: 6 rpm, resolution: 0.1 deg/min}\n"                               \
    "torque: {min: 5 lbf.ft, max: 60 lbf.ft, resolution: 0.5 lbf.ft}\n" more                       \
    "limits: {table-bytes: 65536, engines: 200, stages: 24, pads: 4, blades: 255, "                \
    "text-bytes: 20, text: ascii}\n"

/* Everything that one table comes from. */
struct support {
    struct arena arena;
    struct findings findings;
    struct model_device *device;
    struct model_device_facts device_facts;
    struct model_policy policy;
    struct table_builder builder;
};

static inline struct model_source support_load(struct support *s, const char *text)
{
    char path[] = "/tmp/rotortab-test-XXXXXX";
    struct model_source source;
    int file = mkstemp(path);
    ck_assert_int_ge(file, 0);
    ck_assert_int_eq(write(file, text, strlen(text)), (ssize_t)strlen(text));
    close(file);
    ck_assert(model_source_load(&source, path, &s->arena, &s->findings));
    unlink(path);
    for (size_t i = 0; i < s->findings.count; i++) {
        fprintf(stderr, "finding: %s\n", s->findings.items[i]->message);
    }
    ck_assert_uint_eq(s->findings.count, 0);
    return source;
}

static inline void support_digest(const struct model_source *source, uint8_t digest[32])
{
    text_digest_source(source->file.bytes, source->file.length, digest);
}

/* Starts a table for the device in this text. */
static inline void support_start(struct support *s, const char *device)
{
    uint8_t digest[32];
    memset(s, 0, sizeof *s);
    findings_start(&s->findings, &s->arena);
    struct model_source source = support_load(s, device);
    s->device = source.device;
    s->device_facts = model_device_derive(s->device);
    model_policy_complete(&s->policy);
    support_digest(&source, digest);
    table_start(&s->builder, &s->arena, s->device, &s->device_facts, digest);
}

/* Adds the engine in this text, and frees it. */
static inline bool support_add(struct support *s, const char *engine)
{
    struct support own = {.device = s->device};
    uint8_t digest[32];
    findings_start(&own.findings, &own.arena);
    struct model_source source = support_load(&own, engine);
    support_digest(&source, digest);
    struct model_engine_facts facts = model_derive(source.engine, &own.arena);
    struct model_on_device on =
        model_derive_on(source.engine, &facts, &s->device_facts, &s->policy, &own.arena);
    bool added = table_add(&s->builder, source.engine, &facts, &on, digest, &own.arena);
    arena_free(&own.arena);
    return added;
}

/* Finishes the table and opens it; the bytes live as long as the support. */
static inline uint32_t support_finish(struct support *s, const uint8_t **bytes,
                                      struct rotor_table *table)
{
    size_t length = 0;
    bool finished = table_finish(&s->builder, &s->arena, bytes, &length);
    ck_assert_msg(finished, "%s", s->builder.problem);
    ck_assert_int_eq(rotor_table_open(table, *bytes, (uint32_t)length), ROTOR_OK);
    return (uint32_t)length;
}

static inline void support_end(struct support *s)
{
    arena_free(&s->arena);
}

/* Where a field of a record of a table is, found by its directory. */
static inline uint8_t *support_at(uint8_t *bytes, uint32_t kind, uint32_t index, uint32_t offset)
{
    const uint8_t *entry = bytes + ROTOR_HEADER_SIZE + (size_t)(kind - 1) * ROTOR_ENTRY_SIZE;
    return bytes + rotor_u32(entry + ROTOR_ENTRY_OFFSET) +
           (size_t)index * rotor_u16(entry + ROTOR_ENTRY_STRIDE) + offset;
}

/* Makes both CRCs right for the bytes as they are. */
static inline void support_seal(uint8_t *bytes, uint32_t length)
{
    uint32_t sections = rotor_u16(bytes + ROTOR_HEADER_SECTIONS);
    uint32_t body = ROTOR_HEADER_SIZE + sections * ROTOR_ENTRY_SIZE;
    table_put32(bytes + ROTOR_HEADER_CRC, 0);
    table_put32(bytes + ROTOR_HEADER_CRC, rotor_crc32(0, bytes, body));
    table_put32(bytes + length - 4, rotor_crc32(0, bytes + body, length - 4 - body));
}

/* One binary, one suite. */
static inline int support_run(Suite *suite)
{
    SRunner *runner = srunner_create(suite);
    srunner_set_fork_status(runner, CK_NOFORK);
    srunner_run_all(runner, CK_NORMAL);
    int failed = srunner_ntests_failed(runner);
    srunner_free(runner);
    return failed == 0 ? EXIT_SUCCESS : EXIT_FAILURE;
}

#endif
