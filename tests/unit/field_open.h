/*
 * field_open.h - opens the fixture's tables, one field changed, for the tests of the field reader.
 */
#ifndef ROTORTAB_TESTS_FIELD_OPEN_H
#define ROTORTAB_TESTS_FIELD_OPEN_H

#include "unit/field_fixture.h"

static const struct fixture_shape plain = {0};

/* Opens a copy that lies at an odd address in a block of just its size, so that the sanitizers see
 * a read beyond it. The copy is freed: the table serves only for its status afterwards. */
static inline enum rotor_status open_bytes(const uint8_t *bytes, uint32_t length)
{
    struct rotor_table table;
    uint8_t *block = malloc((size_t)length + 1);
    memcpy(block + 1, bytes, length);
    enum rotor_status status = rotor_table_open(&table, block + 1, length);
    free(block);
    ck_assert(status == ROTOR_OK || rotor_count(&table, ROTOR_KIND_DEVICE) == 0);
    return status;
}

static inline enum rotor_status open_fixture(const struct fixture *f)
{
    return open_bytes(f->bytes, f->length);
}

/* Opens a fresh table with one field changed and both CRCs right. */
static inline enum rotor_status open_with(uint32_t kind, uint32_t index, uint32_t offset,
                                          unsigned size, uint64_t value)
{
    struct fixture f;
    fixture_build(&f, &plain);
    fixture_put(&f, kind, index, offset, size, value);
    fixture_seal(&f);
    return open_fixture(&f);
}

#endif
