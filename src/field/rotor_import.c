/* Two tables compared, engine by engine. Records are compared byte for byte. Where a record refers
 * to something, the texts or the records there are compared instead of the references. */
#include "field/rotor_import.h"

#include <stddef.h>

#include "field/rotor_bytes.h"

/* What the u32 at a byte of a record refers to. Other codes are the kind of a section: a range of
 * its records begins there. The u16 so many bytes after it is their number; without one
 * there is one record. */
enum {
    TEXT = 0x80,
    ID,  /* a record of the kind `more`, which begins with its id */
    REST /* from here on the record is not compared */
};

/* By byte within a kind, up to the bytes that this reader does not know */
static const struct reference {
    uint8_t kind, at, to, more;
} references[] = {
    {ROTOR_KIND_DEVICE, ROTOR_DEVICE_ID, TEXT, 0},
    {ROTOR_KIND_DEVICE, ROTOR_DEVICE_NAME, TEXT, 0},
    {ROTOR_KIND_DEVICE, ROTOR_DEVICE_DIGEST, REST, 0},

    {ROTOR_KIND_ENGINES, ROTOR_ENGINE_ID, TEXT, 0},
    {ROTOR_KIND_ENGINES, ROTOR_ENGINE_NAME, TEXT, 0},
    {ROTOR_KIND_ENGINES, ROTOR_ENGINE_SPOOLS, ROTOR_KIND_SPOOLS,
     ROTOR_ENGINE_SPOOL_COUNT - ROTOR_ENGINE_SPOOLS},
    {ROTOR_KIND_ENGINES, ROTOR_ENGINE_STAGES, ROTOR_KIND_STAGES,
     ROTOR_ENGINE_STAGE_COUNT - ROTOR_ENGINE_STAGES},
    {ROTOR_KIND_ENGINES, ROTOR_ENGINE_PADS, ROTOR_KIND_PADS,
     ROTOR_ENGINE_PAD_COUNT - ROTOR_ENGINE_PADS},
    {ROTOR_KIND_ENGINES, ROTOR_ENGINE_STATUS, REST, 0},

    {ROTOR_KIND_SPOOLS, ROTOR_SPOOL_ID, TEXT, 0},
    {ROTOR_KIND_SPOOLS, ROTOR_SPOOL_SIZE, REST, 0},

    {ROTOR_KIND_STAGES, ROTOR_STAGE_ID, TEXT, 0},
    {ROTOR_KIND_STAGES, ROTOR_STAGE_SPOOL, ID, ROTOR_KIND_SPOOLS},
    {ROTOR_KIND_STAGES, ROTOR_STAGE_BLADE_ONE, TEXT, 0},
    {ROTOR_KIND_STAGES, ROTOR_STAGE_PORTS, ROTOR_KIND_PORTS,
     ROTOR_STAGE_PORT_COUNT - ROTOR_STAGE_PORTS},
    {ROTOR_KIND_STAGES, ROTOR_STAGE_SIZE, ROTOR_KIND_KNOWN_BLADES, 0},
    {ROTOR_KIND_STAGES, ROTOR_STAGE_SIZE + 4, REST, 0},

    {ROTOR_KIND_PORTS, ROTOR_PORT_ID, TEXT, 0},
    {ROTOR_KIND_PORTS, ROTOR_PORT_SIZE, REST, 0},

    {ROTOR_KIND_PADS, ROTOR_PAD_ID, TEXT, 0},
    {ROTOR_KIND_PADS, ROTOR_PAD_SPOOL, ID, ROTOR_KIND_SPOOLS},
    {ROTOR_KIND_PADS, ROTOR_PAD_PATH, ROTOR_KIND_MESHES, ROTOR_PAD_PATH_COUNT - ROTOR_PAD_PATH},
    {ROTOR_KIND_PADS, ROTOR_PAD_ADAPTER_PATH, ROTOR_KIND_MESHES,
     ROTOR_PAD_ADAPTER_COUNT - ROTOR_PAD_ADAPTER_PATH},
    {ROTOR_KIND_PADS, ROTOR_PAD_LINKS, ROTOR_KIND_LINKS, ROTOR_PAD_LINK_COUNT - ROTOR_PAD_LINKS},
    {ROTOR_KIND_PADS, ROTOR_PAD_SIZE, REST, 0},

    {ROTOR_KIND_MESHES, ROTOR_MESH_SIZE, REST, 0},

    {ROTOR_KIND_SCHEDULES, ROTOR_SCHEDULE_SIZE, REST, 0},

    {ROTOR_KIND_LINKS, ROTOR_LINK_STAGE, ID, ROTOR_KIND_STAGES},
    {ROTOR_KIND_LINKS, ROTOR_LINK_SCHEDULE, ROTOR_KIND_SCHEDULES, 0},
    {ROTOR_KIND_LINKS, ROTOR_LINK_DATUMS, ROTOR_KIND_DATUMS,
     ROTOR_LINK_DATUM_COUNT - ROTOR_LINK_DATUMS},
    {ROTOR_KIND_LINKS, ROTOR_LINK_SIZE, REST, 0},

    {ROTOR_KIND_DATUMS, ROTOR_DATUM_SIZE, REST, 0},

    {ROTOR_KIND_KNOWN_BLADES, ROTOR_KNOWN_BLADE_STAGE, ID, ROTOR_KIND_STAGES},
    {ROTOR_KIND_KNOWN_BLADES, ROTOR_KNOWN_BLADE_HOW, TEXT, 0},
    {ROTOR_KIND_KNOWN_BLADES, ROTOR_KNOWN_BLADE_SIZE, REST, 0},
};

/* Records of both tables that are compared, in pairs */
struct range {
    uint32_t index[2]; /* of the next pair, in the old table and in the new one */
    uint16_t left;     /* pairs, with that one */
    uint8_t kind, at;  /* the byte of the pair that comes next */
};

/* The longest way from range to range: from an engine to a pad, a link and a schedule */
enum { DEEPEST = 4 };

ROTOR_ONCE static bool same_text(const struct rotor_import *import, const uint8_t *one,
                                 const uint8_t *other)
{
    return rotor_compare(rotor_text(import->tables[0], one),
                         rotor_text(import->tables[1], other)) == 0;
}

/* The reference that comes next in the records of a range */
static const struct reference *next_reference(const struct range *range)
{
    const struct reference *reference = references;

    while (reference->kind != range->kind || reference->at < range->at) {
        reference++;
    }
    return reference;
}

/* Follows a reference at these bytes of both records. Two ranges of one length become the range
 * after this one. Returns the range to go on with, or NULL where the two are not the same. */
static struct range *follow(const struct rotor_import *import, const struct reference *reference,
                            const uint8_t *at[2], struct range *range)
{
    struct range *next = range + 1;
    bool same_count = true;

    for (uint32_t side = 0; side < 2; side++) {
        const struct rotor_table *table = import->tables[side];
        struct rotor_range found = {rotor_u32(at[side]), 1};
        if (reference->to == ROTOR_KIND_KNOWN_BLADES) {
            found = rotor_known_blades(table, range->index[side]);
        } else if (reference->to == ID) {
            at[side] = rotor_record(table, reference->more, found.first);
        } else if (reference->more != 0) {
            found.count = rotor_u16(at[side] + reference->more);
        }
        same_count = side == 0 || next->left == found.count;
        next->index[side] = found.first;
        next->left = found.count;
    }
    if (reference->to >= TEXT) {
        return same_text(import, at[0], at[1]) ? range : NULL;
    }
    next->kind = reference->to;
    next->at = 0;
    if (!same_count) {
        return NULL;
    }
    return next->left != 0 ? next : range;
}

/* Whether two records say the same, with all that they refer to: those of this kind with the
 * indices of the two engines. Both are there. */
ROTOR_ONCE static bool same(const struct rotor_import *import, uint32_t kind)
{
    struct range ranges[DEEPEST];
    struct range *range = ranges;

    range->index[0] = import->engines[0];
    range->index[1] = import->engines[1];
    range->kind = (uint8_t)kind;
    range->left = 1;
    range->at = 0;
    for (;;) {
        const struct reference *reference = next_reference(range);
        const uint8_t *at[2];

        for (uint32_t side = 0; side < 2; side++) {
            at[side] =
                rotor_record(import->tables[side], range->kind, range->index[side]) + range->at;
        }
        for (; range->at < reference->at; range->at++) {
            if (*at[0]++ != *at[1]++) {
                return false;
            }
        }
        if (reference->to == REST) {
            range->at = 0;
            range->index[0]++;
            range->index[1]++;
            if (--range->left == 0 && range-- == ranges) {
                return true;
            }
            continue;
        }
        range->at = (uint8_t)(range->at + 4);
        range = follow(import, reference, at, range);
        if (range == NULL) {
            return false;
        }
    }
}

/* The first name from `index` on that leads to the engine, or the number of names. */
ROTOR_ONCE static const uint8_t *next_name(const struct rotor_import *import, uint32_t side,
                                           uint32_t *index)
{
    for (;;) {
        const uint8_t *name = rotor_record(import->tables[side], ROTOR_KIND_NAMES, (*index)++);
        if (name == rotor_zeroes || rotor_u32(name + ROTOR_NAME_ENGINE) == import->engines[side]) {
            return name;
        }
    }
}

/* Both tables have their names in one order. After the last one a name reads as empty, and no name
 * is empty. */
static bool same_names(const struct rotor_import *import)
{
    uint32_t indices[2] = {0, 0};
    const uint8_t *name;

    do {
        name = next_name(import, 0, &indices[0]);
        if (!same_text(import, name, next_name(import, 1, &indices[1]))) {
            return false;
        }
    } while (name != rotor_zeroes);
    return true;
}

static const char *id_of(const struct rotor_table *table, uint32_t engine)
{
    return rotor_text(table, rotor_record(table, ROTOR_KIND_ENGINES, engine) + ROTOR_ENGINE_ID);
}

bool rotor_import_next(struct rotor_import *import)
{
    const uint32_t count = rotor_count(import->tables[1], ROTOR_KIND_ENGINES);

    do {
        uint32_t index = import->place;
        uint32_t side = 1;
        if (index >= count) {
            index -= count;
            side = 0;
        }
        const struct rotor_table *own = import->tables[side];
        const struct rotor_table *other = import->tables[1 - side];
        if (index >= rotor_count(own, ROTOR_KIND_ENGINES)) {
            return false;
        }
        import->place++;
        import->id = id_of(own, index);
        import->engines[side] = index;
        /* The id may be a designation of another engine. */
        index = rotor_find_engine(other, import->id);
        import->engines[1 - side] =
            rotor_compare(id_of(other, index), import->id) == 0 ? index : ROTOR_NONE;
    } while (import->place > count && import->engines[1] != ROTOR_NONE);

    uint32_t was = rotor_number(import->tables[0], ROTOR_KIND_ENGINES, import->engines[0],
                                ROTOR_ENGINE_REVISION);
    uint32_t is = rotor_number(import->tables[1], ROTOR_KIND_ENGINES, import->engines[1],
                               ROTOR_ENGINE_REVISION);
    if (import->engines[0] == ROTOR_NONE) {
        import->finding = ROTOR_IMPORT_ADDED;
    } else if (import->engines[1] == ROTOR_NONE) {
        import->finding = ROTOR_IMPORT_GONE;
    } else if (is > was) {
        import->finding = ROTOR_IMPORT_NEWER;
    } else if (is < was) {
        import->finding = ROTOR_IMPORT_OLDER;
    } else {
        import->finding = same(import, ROTOR_KIND_ENGINES) && same_names(import)
                              ? ROTOR_IMPORT_SAME
                              : ROTOR_IMPORT_OTHER_CONTENT;
    }
    return true;
}

enum rotor_import_finding rotor_import_open(struct rotor_import *import,
                                            const struct rotor_table *old_table,
                                            const struct rotor_table *new_table,
                                            const char *profile)
{
    enum rotor_import_finding verdict = ROTOR_IMPORT_SAME;
    const uint8_t *device = rotor_record(new_table, ROTOR_KIND_DEVICE, 0);

    import->tables[0] = old_table;
    import->tables[1] = new_table;
    import->engines[0] = 0;
    import->engines[1] = 0;
    import->place = 0;
    if (rotor_count(old_table, ROTOR_KIND_DEVICE) != 0 && !same(import, ROTOR_KIND_DEVICE)) {
        verdict = ROTOR_IMPORT_OTHER_PROFILE;
    }
    while (rotor_import_next(import)) {
        if (import->finding > verdict) {
            verdict = import->finding;
        }
    }
    import->place = 0;
    if (old_table->signature != 0 && new_table->signature == 0) {
        verdict = ROTOR_IMPORT_SIGNATURE_MISSING;
    }
    if (rotor_compare(rotor_text(new_table, device + ROTOR_DEVICE_ID), profile) != 0) {
        verdict = ROTOR_IMPORT_OTHER_DEVICE;
    }
    return verdict;
}
