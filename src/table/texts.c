#include "table/texts.h"

#include "field/rotor_bytes.h"
#include "field/rotor_layout.h"
#include "text/utf8.h"
#include "text/visible.h"

/* Where the records of a table name texts. */
static const struct {
    uint32_t kind;
    uint32_t offset;
} references[] = {
    {ROTOR_KIND_DEVICE, ROTOR_DEVICE_ID},    {ROTOR_KIND_DEVICE, ROTOR_DEVICE_NAME},
    {ROTOR_KIND_NAMES, ROTOR_NAME_TEXT},     {ROTOR_KIND_ENGINES, ROTOR_ENGINE_ID},
    {ROTOR_KIND_ENGINES, ROTOR_ENGINE_NAME}, {ROTOR_KIND_SPOOLS, ROTOR_SPOOL_ID},
    {ROTOR_KIND_STAGES, ROTOR_STAGE_ID},     {ROTOR_KIND_STAGES, ROTOR_STAGE_BLADE_ONE},
    {ROTOR_KIND_PORTS, ROTOR_PORT_ID},       {ROTOR_KIND_PADS, ROTOR_PAD_ID},
};

/* What is wrong with the pool of texts itself, each character of which some text may show. */
static const char *pool_fault(struct arena *arena, const struct rotor_table *table)
{
    const uint8_t *pool = rotor_record(table, ROTOR_KIND_TEXTS, 0);
    size_t length = rotor_count(table, ROTOR_KIND_TEXTS);
    size_t size = 1;
    for (size_t i = 0; i < length; i += size) {
        uint32_t code = 0;
        size_t place = (size_t)(pool - table->bytes) + i;
        size = text_utf8_decode((const char *)pool + i, length - i, &code);
        if (size == 0) {
            return arena_printf(arena, "byte %zu, in a text, is not part of any UTF-8 character",
                                place);
        }
        if (text_is_hidden(code) && code != 0) {
            return arena_printf(arena, "the text at byte %zu has the %s character U+%04X", place,
                                text_is_control(code) ? "control" : "hidden", (unsigned)code);
        }
    }
    return NULL;
}

const char *table_text_fault(struct arena *arena, const struct rotor_table *table)
{
    const char *fault = pool_fault(arena, table);
    for (size_t i = 0; i < sizeof references / sizeof *references && !fault; i++) {
        uint32_t count = rotor_count(table, references[i].kind);
        for (uint32_t j = 0; j < count && !fault; j++) {
            const uint8_t *record = rotor_record(table, references[i].kind, j);
            const char *text = rotor_text(table, record + references[i].offset);
            if ((*text & 0xc0) == 0x80) {
                fault = arena_printf(arena, "a text begins at byte %td, within a character",
                                     text - (const char *)table->bytes);
            }
        }
    }
    return fault;
}
