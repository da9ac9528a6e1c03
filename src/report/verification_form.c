/*
 * verification_form.c - a table that its compiler could not have written.
 *
 * Its stops are right where it comes to this, so the fault names the record and what is odd about
 * it; what all of them mean is that somebody changed the table.
 */
#include "report/verification.h"

#include "report/json.h"

#include <inttypes.h>

static const struct {
    const char *id, *what;
} words[] = {
    [TABLE_FITS] = {"fits", ""},
    [TABLE_MISFIT_STRIDE] = {"form-size", "its size or kind is none of this version's"},
    [TABLE_MISFIT_PLACE] = {"form-place", "it, or what it refers to, is not where the compiler "
                                          "puts it"},
    [TABLE_MISFIT_UNUSED] = {"form-unused", "nothing refers to it"},
    [TABLE_MISFIT_TEXT] = {"form-text", "a text of it is missing, too long, or the id of another "
                                        "beside it"},
    [TABLE_MISFIT_DESIGNATION] = {"form-designation", "its id does not lead to it"},
    [TABLE_MISFIT_NUMBER] = {"form-number", "a number of it is one that no source can have"},
    [TABLE_MISFIT_FRACTION] = {"form-fraction", "a fraction of it is not in lowest terms"},
    [TABLE_MISFIT_MESH] = {"form-mesh", "it has what its kind of mesh does not have, or lacks what "
                                        "it has"},
    [TABLE_MISFIT_BACKS] = {"form-backs", "the back of a bevel gear is off the axis of its shaft"},
    [TABLE_MISFIT_ADAPTER] = {"form-adapter", "its adapter and the adapter's meshes do not go "
                                              "together"},
    [TABLE_MISFIT_SQUARE] = {"form-square", "it has two driving squares and no adapter"},
    [TABLE_MISFIT_RECHECK] = {"form-recheck",
                              "blade one is to be found again where nothing drifts, "
                              "or never where something does"},
    [TABLE_MISFIT_COUNTER] = {"form-counter", "a rotor turn does not fit the device's counter"},
    [TABLE_MISFIT_UNLINKED] = {"form-unlinked", "it has no link to a stage of its spool"},
    [TABLE_MISFIT_UNTURNED] = {"form-unturned", "no pad turns it"},
};

static const char *const sections[] = {
    [ROTOR_KIND_DEVICE] = "device",       [ROTOR_KIND_NAMES] = "names",
    [ROTOR_KIND_ENGINES] = "engines",     [ROTOR_KIND_SPOOLS] = "spools",
    [ROTOR_KIND_STAGES] = "stages",       [ROTOR_KIND_PORTS] = "ports",
    [ROTOR_KIND_PADS] = "pads",           [ROTOR_KIND_MESHES] = "meshes",
    [ROTOR_KIND_SCHEDULES] = "schedules", [ROTOR_KIND_LINKS] = "links",
    [ROTOR_KIND_DATUMS] = "datums",       [ROTOR_KIND_TEXTS] = "texts",
};

static const char means[] =
    "somebody changed the table after it was compiled, and other changes may not show";

void report_verification_form(struct report_verification *report, const struct table_misfit *misfit)
{
    const char *section = sections[misfit->kind];
    report->faults++;
    if (!report->problem) {
        report->problem = "refused: the compiler writes no such table";
    }
    if (!report->json) {
        fprintf(report->out, "  %s, record %" PRIu32 ": %s; %s\n", section, misfit->index,
                words[misfit->what].what, means);
        return;
    }
    json_t *object = json_pack("{snsnsnsssIssssss}", "engine", "pad", "stage", "section", section,
                               "record", (json_int_t)misfit->index, "fault", words[misfit->what].id,
                               "message", words[misfit->what].what, "consequence", means);
    report_add(json_object_get(report->object, "faults"), object);
}
