#include "table/words.h"

#include <inttypes.h>
#include <string.h>

enum { MOST_CODES = 7 };

static const char *const words[TABLE_CODES][MOST_CODES] = {
    [TABLE_SENSE] = {[ROTOR_CW] = "cw", [ROTOR_CCW] = "ccw", [ROTOR_BOTH] = "both"},
    [TABLE_DIRECTION] = {[ROTOR_AFT] = "aft",
                         [ROTOR_FORWARD] = "forward",
                         [ROTOR_UP] = "up",
                         [ROTOR_DOWN] = "down",
                         [ROTOR_LEFT] = "left",
                         [ROTOR_RIGHT] = "right"},
    [TABLE_SQUARE] = {[ROTOR_SQUARE_QUARTER] = "1/4 in",
                      [ROTOR_SQUARE_THREE_EIGHTHS] = "3/8 in",
                      [ROTOR_SQUARE_HALF] = "1/2 in",
                      [ROTOR_SQUARE_THREE_QUARTERS] = "3/4 in",
                      [ROTOR_SQUARE_ONE] = "1 in"},
    [TABLE_TORQUE_UNIT] = {[ROTOR_TORQUE_N_M] = "N.m",
                           [ROTOR_TORQUE_LBF_FT] = "lbf.ft",
                           [ROTOR_TORQUE_LBF_IN] = "lbf.in",
                           [ROTOR_TORQUE_KGF_M] = "kgf.m"},
    [TABLE_SPEED_UNIT] = {[ROTOR_SPEED_RPM] = "rpm",
                          [ROTOR_SPEED_DEG_PER_MIN] = "deg/min",
                          [ROTOR_SPEED_DEG_PER_S] = "deg/s"},
    [TABLE_STEPPING] = {[ROTOR_STEPPING_SCHEDULED] = "scheduled", [ROTOR_STEPPING_FIXED] = "fixed"},
    [TABLE_STATUS] = {[ROTOR_STATUS_DRAFT] = "draft", [ROTOR_STATUS_RELEASED] = "released"},
    [TABLE_ROLE] = {[ROTOR_ROLE_FAN] = "fan",
                    [ROTOR_ROLE_COMPRESSOR] = "compressor",
                    [ROTOR_ROLE_TURBINE] = "turbine"},
    [TABLE_NUMBERING] = {[ROTOR_NUMBERED_AGAINST_ROTATION] = "against-rotation",
                         [ROTOR_NUMBERED_WITH_ROTATION] = "with-rotation"},
    [TABLE_ORDER] = {[ROTOR_ORDER_RISING] = "rising", [ROTOR_ORDER_FALLING] = "falling"},
    [TABLE_MESH] = {[ROTOR_MESH_EXTERNAL] = "external",
                    [ROTOR_MESH_INTERNAL] = "internal",
                    [ROTOR_MESH_BEVEL] = "bevel",
                    [ROTOR_MESH_EPICYCLIC] = "epicyclic",
                    [ROTOR_MESH_DIRECT] = "direct"},
    [TABLE_MEMBER] = {[ROTOR_MEMBER_SUN] = "sun",
                      [ROTOR_MEMBER_RING] = "ring",
                      [ROTOR_MEMBER_CARRIER] = "carrier"},
};

const char *table_word_code(enum table_code kind, uint8_t code)
{
    return code < MOST_CODES ? words[kind][code] : NULL;
}

bool table_fraction(struct rotor_fraction from, struct exact_rational *out)
{
    return exact_make((exact_wide)from.num, (exact_wide)from.den, out);
}

const char *table_word_fraction(struct arena *arena, struct rotor_fraction fraction)
{
    struct exact_rational value;
    if (table_fraction(fraction, &value)) {
        char text[EXACT_TEXT_SIZE];
        exact_to_text(value, text);
        return arena_copy(arena, text, strlen(text));
    }
    return arena_printf(arena, "%" PRIu64 "/%" PRIu64, fraction.num, fraction.den);
}

const char *table_word_decimal(struct arena *arena, struct rotor_fraction fraction, int decimals)
{
    struct exact_rational value;
    char text[EXACT_TEXT_SIZE];
    if (!table_fraction(fraction, &value)) {
        return table_word_fraction(arena, fraction);
    }
    exact_to_decimal(value, decimals, text);
    return arena_copy(arena, text, strlen(text));
}

struct rotor_fraction table_word_steps(uint32_t steps, uint32_t num, uint32_t den)
{
    return (struct rotor_fraction){(uint64_t)steps * num, den};
}

const char *table_word_clock(struct arena *arena, uint16_t minutes)
{
    return arena_printf(arena, "%d:%02d", minutes < 60 ? 12 : minutes / 60, minutes % 60);
}

static const char *known(enum table_code kind, uint8_t code)
{
    const char *word = table_word_code(kind, code);
    return word ? word : "?";
}

const char *table_word_mesh(struct arena *arena, const struct rotor_mesh *mesh)
{
    const char *text = known(TABLE_MESH, mesh->kind);
    if (mesh->kind == ROTOR_MESH_DIRECT) {
        return text;
    }
    if (mesh->kind == ROTOR_MESH_EPICYCLIC) {
        text = arena_printf(arena, "epicyclic sun %u, ring %u", mesh->teeth_a, mesh->teeth_b);
        if (mesh->teeth_c != 0) {
            text = arena_printf(arena, "%s, planet %u", text, mesh->teeth_c);
        }
        if (mesh->planets != 0) {
            text = arena_printf(arena, "%s, %u planets", text, mesh->planets);
        }
        return arena_printf(arena, "%s, %s to %s, %s held", text, known(TABLE_MEMBER, mesh->in),
                            known(TABLE_MEMBER, mesh->out), known(TABLE_MEMBER, mesh->held));
    }
    text = arena_printf(arena, "%s %u-%u", text, mesh->teeth_a, mesh->teeth_b);
    if (mesh->back_a != ROTOR_DIRECTION_UNKNOWN || mesh->back_b != ROTOR_DIRECTION_UNKNOWN) {
        text = arena_printf(arena, "%s (backs %s, %s)", text, known(TABLE_DIRECTION, mesh->back_a),
                            known(TABLE_DIRECTION, mesh->back_b));
    }
    return text;
}

const char *table_word_hex(struct arena *arena, const uint8_t digest[ROTOR_DIGEST_SIZE])
{
    static const char digits[] = "0123456789abcdef";
    char *text = arena_alloc(arena, 2 * ROTOR_DIGEST_SIZE + 1);
    for (size_t i = 0; i < ROTOR_DIGEST_SIZE; i++) {
        text[2 * i] = digits[digest[i] >> 4];
        text[2 * i + 1] = digits[digest[i] & 15];
    }
    return text;
}

struct table_names table_names(struct arena *arena, const struct rotor_table *table)
{
    uint32_t engines = rotor_count(table, ROTOR_KIND_ENGINES);
    uint32_t count = rotor_count(table, ROTOR_KIND_NAMES);
    struct table_names names;
    names.first = arena_array(arena, engines + (size_t)1, sizeof *names.first);
    names.next = arena_array(arena, count + (size_t)1, sizeof *names.next);
    memset(names.first, 0xff, (engines + (size_t)1) * sizeof *names.first);
    for (uint32_t i = count; i-- > 0;) {
        struct rotor_name name;
        rotor_get_name(table, i, &name);
        names.next[i] = names.first[name.engine];
        names.first[name.engine] = i;
    }
    return names;
}

const char *table_word_status(enum rotor_status status)
{
    static const char *const ids[ROTOR_STATUS_COUNT] = {
        [ROTOR_OK] = "fine",
        [ROTOR_NOT_A_TABLE] = "not-a-table",
        [ROTOR_TEXT_MODE] = "text-mode",
        [ROTOR_SEVEN_BIT] = "seven-bit",
        [ROTOR_TRUNCATED] = "truncated",
        [ROTOR_APPENDED] = "appended",
        [ROTOR_BAD_HEADER] = "bad-header",
        [ROTOR_HEADER_CRC_WRONG] = "header-crc-wrong",
        [ROTOR_TOO_NEW] = "too-new",
        [ROTOR_BODY_CRC_WRONG] = "body-crc-wrong",
        [ROTOR_RESERVED_USED] = "reserved-used",
        [ROTOR_SECTION_ORDER] = "section-order",
        [ROTOR_SECTION_BOUNDS] = "section-bounds",
        [ROTOR_SECTION_MISSING] = "section-missing",
        [ROTOR_SECTION_STRIDE] = "section-stride",
        [ROTOR_SECTION_COUNT] = "section-count",
        [ROTOR_BAD_TEXTS] = "bad-texts",
        [ROTOR_BAD_REFERENCE] = "bad-reference",
        [ROTOR_BAD_CODE] = "bad-code",
        [ROTOR_BAD_ZERO] = "bad-zero",
        [ROTOR_NAMES_UNSORTED] = "names-unsorted",
        [ROTOR_BAD_FRACTION] = "bad-fraction",
        [ROTOR_BAD_SCHEDULE] = "bad-schedule",
        [ROTOR_BAD_LIMIT] = "bad-limit",
        [ROTOR_BAD_DRIVE] = "bad-drive",
        [ROTOR_WRONG_SPOOL] = "wrong-spool",
        [ROTOR_BAD_LINK] = "bad-link",
    };
    return ids[status];
}

const char *table_word_remedy(enum rotor_status status)
{
    switch (status) {
    case ROTOR_OK: return "Nothing has to be done.";
    case ROTOR_NOT_A_TABLE: return "Name a file that 'rotortab compile' wrote.";
    case ROTOR_TEXT_MODE:
        return "Something on the way took it for text: copy it again byte for byte.";
    case ROTOR_SEVEN_BIT:
        return "Something on the way passes seven bits only: copy it again another way.";
    case ROTOR_TRUNCATED: return "Copy it again and see that the copy is as long as the original.";
    case ROTOR_APPENDED: return "Copy it again by itself; it is not to be joined or padded.";
    case ROTOR_TOO_NEW: return "Read it with a newer rotortab, or compile it anew with this one.";
    case ROTOR_BAD_HEADER:
    case ROTOR_HEADER_CRC_WRONG:
    case ROTOR_BODY_CRC_WRONG:
        return "Bytes changed since it was written: take another copy, or compile it anew.";
    default:
        return "Its checksums are right, so whatever wrote it is at fault: do not load it into a "
               "device, compile it anew.";
    }
}
