/* What a refusal means, in words. Apart from the rest, so that a firmware with other words, or
 * none, need not carry these. */
#include "field/rotor_field.h"

static const char *const texts[ROTOR_STATUS_COUNT] = {
    [ROTOR_OK] = "the table is in order",
    [ROTOR_NOT_A_TABLE] = "this is not a rotor table",
    [ROTOR_TEXT_MODE] = "line ends were changed on the way: transfer the table again, as binary",
    [ROTOR_SEVEN_BIT] = "only seven bits of each byte arrived: transfer the table again, as binary",
    [ROTOR_TRUNCATED] = "the table is cut short",
    [ROTOR_APPENDED] = "there are bytes behind the table's end",
    [ROTOR_BAD_HEADER] = "the header's sizes or versions cannot be",
    [ROTOR_HEADER_CRC_WRONG] = "the header or the directory is damaged",
    [ROTOR_TOO_NEW] = "the table is for a newer reader",
    [ROTOR_BODY_CRC_WRONG] = "the table is damaged",
    [ROTOR_RESERVED_USED] = "reserved bytes are not zero",
    [ROTOR_SECTION_ORDER] = "the sections are out of order",
    [ROTOR_SECTION_BOUNDS] = "the sections leave a gap, overlap, or do not fit",
    [ROTOR_SECTION_MISSING] = "a section is missing",
    [ROTOR_SECTION_STRIDE] = "a section's records are too short",
    [ROTOR_SECTION_COUNT] = "there is not exactly one device, or more than one signature",
    [ROTOR_BAD_TEXTS] =
        "the texts do not begin or end as they have to, or a designation is too long",
    [ROTOR_BAD_REFERENCE] = "a record refers to what is not there",
    [ROTOR_BAD_CODE] = "a code is outside its range",
    [ROTOR_BAD_ZERO] = "a number is zero that cannot be",
    [ROTOR_NAMES_UNSORTED] = "the designations are not sorted",
    [ROTOR_BAD_FRACTION] = "half of a fraction is missing",
    [ROTOR_BAD_SCHEDULE] = "a schedule's remainder does not fit",
    [ROTOR_BAD_LIMIT] = "a limit is outside what the device can do",
    [ROTOR_BAD_DRIVE] = "a pad cannot turn its spool the normal way",
    [ROTOR_WRONG_SPOOL] = "a spool or stage is not the engine's or the pad's",
    [ROTOR_BAD_LINK] = "a stage's stops do not fit it",
};

const char *rotor_status_text(enum rotor_status status)
{
    if ((unsigned)status >= ROTOR_STATUS_COUNT) {
        return "unknown status";
    }
    return texts[status];
}
