/* The texts for a refusal. They are in a separate file, so that a firmware with other texts, or
 * none, need not contain them. */
#include "field/rotor_field.h"

static const char *const texts[ROTOR_STATUS_COUNT] = {
    [ROTOR_OK] = "the table is in order",
    [ROTOR_NOT_A_TABLE] = "this is not a rotor table",
    [ROTOR_TEXT_MODE] = "a transfer changed the line ends: transfer the table again, as binary",
    [ROTOR_SEVEN_BIT] =
        "a transfer lost the eighth bit of each byte: transfer the table again, as binary",
    [ROTOR_TRUNCATED] = "the table is cut short",
    [ROTOR_APPENDED] = "there are bytes after the table's end",
    [ROTOR_BAD_HEADER] = "sizes or versions in the header are impossible",
    [ROTOR_HEADER_CRC_WRONG] = "the header or the directory is damaged",
    [ROTOR_TOO_NEW] = "the table is for a newer reader",
    [ROTOR_BODY_CRC_WRONG] = "the table is damaged",
    [ROTOR_RESERVED_USED] = "reserved bytes are not zero",
    [ROTOR_SECTION_ORDER] = "the sections are out of order",
    [ROTOR_SECTION_BOUNDS] = "the sections leave a gap, overlap, or do not fit",
    [ROTOR_SECTION_MISSING] = "a section is missing",
    [ROTOR_SECTION_STRIDE] = "a section's records are too short",
    [ROTOR_SECTION_COUNT] = "there is not exactly one device, or more than one signature",
    [ROTOR_BAD_TEXTS] = "the texts do not begin and end with NUL, or a designation is too long",
    [ROTOR_BAD_REFERENCE] = "a record refers to something that is not in the table",
    [ROTOR_BAD_CODE] = "a code is outside its range",
    [ROTOR_BAD_ZERO] = "a number is zero that cannot be zero",
    [ROTOR_NAMES_UNSORTED] = "the designations are not sorted",
    [ROTOR_BAD_FRACTION] = "a fraction has only a numerator or only a denominator",
    [ROTOR_BAD_SCHEDULE] = "a schedule's remainder does not fit",
    [ROTOR_BAD_LIMIT] = "a limit is outside the device's range",
    [ROTOR_BAD_DRIVE] = "a pad cannot turn its spool in the normal direction",
    [ROTOR_WRONG_SPOOL] = "a spool or stage does not belong to the engine or to the pad",
    [ROTOR_BAD_LINK] = "the stops of a stage do not fit the stage",
    [ROTOR_BAD_KNOWN_BLADE] = "a known blade does not fit its stage",
    [ROTOR_BAD_SIGN] = "the device would turn a spool against its pad's direction",
    [ROTOR_BAD_COUNTER] = "a rotor turn does not fit the device's counter",
};

const char *rotor_status_text(enum rotor_status status)
{
    if ((unsigned)status >= ROTOR_STATUS_COUNT) {
        return "unknown status";
    }
    return texts[status];
}
