/* The texts for the verdict on an import. They are in a separate file, so that a firmware with
 * other texts, or none, need not contain them. */
#include "field/rotor_import.h"

static const char *const texts[ROTOR_IMPORT_COUNT] = {
    [ROTOR_IMPORT_SAME] = "the new table does the same as the old one",
    [ROTOR_IMPORT_ADDED] = "the new table adds engines",
    [ROTOR_IMPORT_NEWER] = "the new table has later revisions",
    [ROTOR_IMPORT_GONE] = "the new table lacks an engine: the device cannot turn it any more",
    [ROTOR_IMPORT_OLDER] = "the new table has an earlier revision of an engine: ask who made it",
    [ROTOR_IMPORT_OTHER_CONTENT] =
        "an engine has other content under the same revision: ask who made the table",
    [ROTOR_IMPORT_OTHER_PROFILE] =
        "the new table has other values for this device: ask who made the table",
    [ROTOR_IMPORT_SIGNATURE_MISSING] =
        "the old table is signed and the new one is not: ask who made it",
    [ROTOR_IMPORT_OTHER_DEVICE] = "the new table is for another device: do not use it",
};

const char *rotor_import_text(enum rotor_import_finding verdict)
{
    if ((unsigned)verdict >= ROTOR_IMPORT_COUNT) {
        return "unknown verdict";
    }
    return texts[verdict];
}
