#include "table/words.h"

#include "words/number.h"

#include <inttypes.h>
#include <string.h>

enum { MOST_CODES = 7 };

static const struct model_word_row order_words[] = {{"rising", ROTOR_ORDER_RISING, false},
                                                    {"falling", ROTOR_ORDER_FALLING, false},
                                                    {NULL, 0, false}};

/* clang-format off */
/* The source's value for each code of a kind. 0 is not a code: it says that there is none. */
static const struct {
    const struct model_word_row *words; /* of those values; NULL: they have words elsewhere */
    uint8_t most;                       /* code */
    int values[MOST_CODES];             /* by the code */
} kinds[TABLE_CODES] = {
    [TABLE_SENSE] = {model_drives_words, ROTOR_BOTH,
                     {[ROTOR_CW] = MODEL_DRIVES_CW, [ROTOR_CCW] = MODEL_DRIVES_CCW,
                      [ROTOR_BOTH] = MODEL_DRIVES_BOTH}},
    [TABLE_DIRECTION] = {model_direction_words, ROTOR_RIGHT,
                         {[ROTOR_AFT] = TURNING_AFT, [ROTOR_FORWARD] = TURNING_FORWARD,
                          [ROTOR_UP] = TURNING_UP, [ROTOR_DOWN] = TURNING_DOWN,
                          [ROTOR_LEFT] = TURNING_LEFT, [ROTOR_RIGHT] = TURNING_RIGHT}},
    [TABLE_SQUARE] = {model_square_words, ROTOR_SQUARE_ONE,
                      {[ROTOR_SQUARE_QUARTER] = 0, [ROTOR_SQUARE_THREE_EIGHTHS] = 1,
                       [ROTOR_SQUARE_HALF] = 2, [ROTOR_SQUARE_THREE_QUARTERS] = 3,
                       [ROTOR_SQUARE_ONE] = 4}},
    [TABLE_TORQUE_UNIT] = {NULL, ROTOR_TORQUE_KGF_M,
                           {[ROTOR_TORQUE_N_M] = EXACT_NEWTON_METRE,
                            [ROTOR_TORQUE_LBF_FT] = EXACT_LBF_FT,
                            [ROTOR_TORQUE_LBF_IN] = EXACT_LBF_IN,
                            [ROTOR_TORQUE_KGF_M] = EXACT_KGF_M}},
    [TABLE_SPEED_UNIT] = {NULL, ROTOR_SPEED_DEG_PER_S,
                          {[ROTOR_SPEED_RPM] = EXACT_RPM,
                           [ROTOR_SPEED_DEG_PER_MIN] = EXACT_DEG_PER_MIN,
                           [ROTOR_SPEED_DEG_PER_S] = EXACT_DEG_PER_S}},
    [TABLE_STEPPING] = {model_stepping_words, ROTOR_STEPPING_FIXED,
                        {[ROTOR_STEPPING_SCHEDULED] = MODEL_SCHEDULED,
                         [ROTOR_STEPPING_FIXED] = MODEL_FIXED}},
    [TABLE_STATUS] = {model_status_words, ROTOR_STATUS_RELEASED,
                      {[ROTOR_STATUS_DRAFT] = MODEL_DRAFT,
                       [ROTOR_STATUS_RELEASED] = MODEL_RELEASED}},
    [TABLE_ROLE] = {model_role_words, ROTOR_ROLE_TURBINE,
                    {[ROTOR_ROLE_FAN] = MODEL_FAN, [ROTOR_ROLE_COMPRESSOR] = MODEL_COMPRESSOR,
                     [ROTOR_ROLE_TURBINE] = MODEL_TURBINE}},
    [TABLE_NUMBERING] = {model_numbering_words, ROTOR_NUMBERED_WITH_ROTATION,
                         {[ROTOR_NUMBERED_AGAINST_ROTATION] = MODEL_AGAINST_ROTATION,
                          [ROTOR_NUMBERED_WITH_ROTATION] = MODEL_WITH_ROTATION}},
    [TABLE_ORDER] = {order_words, ROTOR_ORDER_FALLING,
                     {[ROTOR_ORDER_RISING] = ROTOR_ORDER_RISING,
                      [ROTOR_ORDER_FALLING] = ROTOR_ORDER_FALLING}},
    [TABLE_MESH] = {NULL, ROTOR_MESH_DIRECT,
                    {[ROTOR_MESH_EXTERNAL] = TURNING_EXTERNAL,
                     [ROTOR_MESH_INTERNAL] = TURNING_INTERNAL, [ROTOR_MESH_BEVEL] = TURNING_BEVEL,
                     [ROTOR_MESH_EPICYCLIC] = TURNING_EPICYCLIC,
                     [ROTOR_MESH_DIRECT] = TURNING_DIRECT}},
    [TABLE_MEMBER] = {model_member_words, ROTOR_MEMBER_CARRIER,
                      {[ROTOR_MEMBER_SUN] = TURNING_SUN, [ROTOR_MEMBER_RING] = TURNING_RING,
                       [ROTOR_MEMBER_CARRIER] = TURNING_CARRIER}},
};
/* clang-format on */

const char *table_word_code(enum table_code kind, uint8_t code)
{
    if (code == 0 || code > kinds[kind].most) {
        return NULL;
    }
    int value = kinds[kind].values[code];
    switch (kind) {
    case TABLE_TORQUE_UNIT:
    case TABLE_SPEED_UNIT: return exact_unit_row((enum exact_unit)value)->name;
    case TABLE_MESH: return model_mesh_key((enum turning_mesh_kind)value);
    default: return model_word_for(kinds[kind].words, value);
    }
}

uint8_t table_code_for(enum table_code kind, int value)
{
    for (uint8_t code = kinds[kind].most; code > 0; code--) {
        if (kinds[kind].values[code] == value) {
            return code;
        }
    }
    return 0;
}

int table_code_value(enum table_code kind, uint8_t code)
{
    return kinds[kind].values[code];
}

enum turning_direction table_direction_of(uint8_t code)
{
    return code == ROTOR_DIRECTION_UNKNOWN
               ? TURNING_NOWHERE
               : (enum turning_direction)table_code_value(TABLE_DIRECTION, code);
}

bool table_fraction(struct rotor_fraction from, struct exact_rational *out)
{
    return exact_make((exact_wide)from.num, (exact_wide)from.den, out);
}

const char *table_word_fraction(struct arena *arena, struct rotor_fraction fraction)
{
    uint64_t common = fraction.num;
    for (uint64_t rest = fraction.den; rest != 0;) {
        uint64_t next = common % rest;
        common = rest;
        rest = next;
    }
    uint64_t num = common > 1 ? fraction.num / common : fraction.num;
    uint64_t den = common > 1 ? fraction.den / common : fraction.den;
    return den == 1 ? arena_printf(arena, "%" PRIu64, num)
                    : arena_printf(arena, "%" PRIu64 "/%" PRIu64, num, den);
}

const char *table_word_decimal(struct arena *arena, struct rotor_fraction fraction, int decimals)
{
    struct exact_rational value;
    return table_fraction(fraction, &value) ? words_decimal(arena, value, decimals)
                                            : table_word_fraction(arena, fraction);
}

struct rotor_fraction table_word_steps(uint32_t steps, uint32_t num, uint32_t den)
{
    return (struct rotor_fraction){(uint64_t)steps * num, den};
}

static const char *member(uint8_t code)
{
    const char *word = table_word_code(TABLE_MEMBER, code);
    return word ? word : words_not_known;
}

const char *table_word_mesh(struct arena *arena, const struct rotor_mesh *mesh)
{
    struct words_mesh words = {
        .kind = (enum turning_mesh_kind)table_code_value(TABLE_MESH, mesh->kind),
        .backs = {table_direction_of(mesh->back_a), table_direction_of(mesh->back_b)},
    };
    if (mesh->kind == ROTOR_MESH_EPICYCLIC) {
        words.sun = mesh->teeth_a;
        words.ring = mesh->teeth_b;
        words.planet = mesh->teeth_c;
        words.planets = mesh->planets;
        words.in = member(mesh->in);
        words.out = member(mesh->out);
        words.held = member(mesh->held);
    } else if (mesh->kind != ROTOR_MESH_DIRECT) {
        words.teeth[words.count++] = mesh->teeth_a;
        words.teeth[words.count++] = mesh->teeth_b;
    }
    return words_mesh(arena, &words);
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
        [ROTOR_BAD_KNOWN_BLADE] = "bad-known-blade",
        [ROTOR_BAD_SIGN] = "bad-sign",
        [ROTOR_BAD_COUNTER] = "bad-counter",
    };
    return ids[status];
}

const char *table_word_remedy(enum rotor_status status)
{
    switch (status) {
    case ROTOR_OK: return "There is nothing to do.";
    case ROTOR_NOT_A_TABLE: return "Name a file that 'rotortab compile' wrote.";
    case ROTOR_TEXT_MODE: return "A transfer took it for text. Copy it again byte for byte.";
    case ROTOR_SEVEN_BIT: return "A transfer passes only seven bits. Copy it again in another way.";
    case ROTOR_TRUNCATED: return "Copy it again, and compare its length with the original's.";
    case ROTOR_APPENDED:
        return "Copy it again alone. Do not join it with other data, and do not pad it.";
    case ROTOR_TOO_NEW: return "Read it with a newer rotortab, or compile it again with this one.";
    case ROTOR_BAD_HEADER:
    case ROTOR_HEADER_CRC_WRONG:
    case ROTOR_BODY_CRC_WRONG:
        return "Bytes changed after it was written. Take another copy, or compile it again.";
    default:
        return "Its checksums are right, so the program that wrote it made an error. Do not load "
               "it "
               "into a device; compile it again.";
    }
}
