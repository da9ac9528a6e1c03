/*
 * builder.h - from models to the bytes of a table.
 *
 * Engines are added one by one, in any order, and may be freed at once. The builder keeps a draft
 * of each: its records as they will be written. Where the table has indices, a draft has numbers of
 * the builder's pools.
 *
 * At the end the builder sorts the drafts by id. Those numbers become indices in the order of first
 * use, and everything is laid out. So the bytes depend on the definitions and the device alone.
 *
 * Only definitions without findings of error severity may be added.
 */
#ifndef ROTORTAB_TABLE_BUILDER_H
#define ROTORTAB_TABLE_BUILDER_H

#include "field/rotor_layout.h"
#include "model/on_device.h"
#include "table/pool.h"

/* An engine's records, one after the other in the order of the members. */
struct table_draft {
    const char *id;
    uint8_t *engine;
    uint8_t *names; /* items of the pool of texts, 4 bytes each: id and models, each once */
    uint8_t *spools, *stages, *pads, *links, *known_blades;
    uint32_t name_count, spool_count, stage_count, pad_count, link_count, known_count;
};

struct table_builder {
    struct arena *arena;
    const struct model_device *device;
    const struct model_device_facts *device_facts;
    uint8_t *device_record;
    struct table_pool texts, ports, meshes, schedules, datums;
    struct table_draft *drafts;
    size_t count, capacity;
    bool refused; /* something was refused: there will be no table */
    const char
        *problem; /* why the last was refused, a sentence without full stop; NULL: it was not */
};

/* Bytes of a record of this version, by kind of section; 0 for other kinds. */
extern const uint16_t table_strides[ROTOR_KIND_LAST_KNOWN + 1];

/*
 * Starts a table for a device. The profile, its facts and the arena must outlive the builder.
 * `device_digest` is the SHA-256 of the profile (text_digest_source).
 */
void table_start(struct table_builder *builder, struct arena *arena,
                 const struct model_device *device, const struct model_device_facts *facts,
                 const uint8_t device_digest[32]);

/*
 * Adds an engine with everything that follows from it. False, with builder->problem set, where a
 * number of it does not fit a table. Then others may still be added, to find their problems too.
 * What it takes from `scratch` is not needed afterwards.
 */
bool table_add(struct table_builder *builder, const struct model_engine *engine,
               const struct model_engine_facts *facts, const struct model_on_device *on,
               const uint8_t digest[32], struct arena *scratch);

/*
 * Makes the table, in the arena; the builder is used up. The field reader opens the bytes before
 * they are returned. False, with builder->problem set, in three cases: something was refused, the
 * signed table would have more than ROTOR_TABLE_MOST bytes, or the reader refuses it.
 */
bool table_finish(struct table_builder *builder, struct arena *arena, const uint8_t **bytes,
                  size_t *length);

#endif
