/*
 * table.c - the tables of commands and options.
 */
#include "command/command.h"

static const struct command_option options[OPTION_COUNT] = {
    [OPTION_NONE] = {"", 0, NULL, ""},
    [OPTION_AGAINST] = {"against", 0, "FILE|FOLDER", "a source of the table; may be repeated"},
    [OPTION_ALLOW] = {"allow", 0, "HARM", "the worst that may pass: label, degrees, miscount"},
    [OPTION_AT_COUNT] = {"at-count", 0, "COUNT",
                         "show the blade at this count instead of the stops"},
    [OPTION_BASE] = {"base", 0, "REVISION", "compare with this revision of git"},
    [OPTION_BLADES] = {"blades", 0, "NUMBER", "show when this number of blades is miscounted"},
    [OPTION_CARRY] = {"carry", 0, "STAGE:BLADE",
                      "show the blades at other ports while this one is at its port"},
    [OPTION_COLOR] = {"color", 0, "WHEN", "use colours: auto (default), always, never"},
    [OPTION_COUNTED] = {"counted", 0, "COUNT", "pad turns / rotor turns: 22.5+/-0.1/10"},
    [OPTION_CROSS_CHECK] = {"cross-check", 0, NULL,
                            "write the form of the second reading of a definition"},
    [OPTION_DEPFILE] = {"depfile", 0, "FILE",
                        "write what the tables depend on, for make and ninja"},
    [OPTION_DEVICE] = {"device", 'd', "FILE", "the profile of the field device"},
    [OPTION_DEVICES] = {"device", 'd', "FILE",
                        "the profile of a field device; repeat it for more tables"},
    [OPTION_DRAFTS] = {"drafts", 0, NULL, "compile drafts too"},
    [OPTION_ENGINE] = {"engine", 'e', "ID", "the engine, where there are several"},
    [OPTION_EPICYCLIC] = {"epicyclic", 0, "ANSWER", "whether a mesh may be epicyclic: yes, no"},
    [OPTION_FORMAT] = {"format", 'f', "FORMAT", "the form of the output"},
    [OPTION_FROM_BLADE] = {"from-blade", 'b', "BLADE", "start at this blade, with count 0 there"},
    [OPTION_HELP] = {"help", 'h', NULL, "show this help"},
    [OPTION_JOBS] = {"jobs", 'j', "NUMBER", "threads to use; default: one for each processor"},
    [OPTION_KEY] = {"key", 'k', "PUBLIC", "the public key that must fit the table's signature"},
    [OPTION_KIND] = {"kind", 0, "KIND",
                     "engine-definition (default), device-profile, policy, source-register"},
    [OPTION_KNOWN] = {"known", 0, "TEETH", "teeth of a known mesh, pad side first: 27/44"},
    [OPTION_LIST] = {"list", '0', NULL, "read names of sources from standard input too, NUL-ended"},
    [OPTION_MANIFEST] = {"manifest", 0, "FILE", "write what went into the tables, as JSON"},
    [OPTION_MESHES] = {"meshes", 0, "RANGE", "meshes of the path: 1..3, known ones included"},
    [OPTION_MOST] = {"most", 0, "NUMBER", "how many to show; default: 20"},
    [OPTION_NAME] = {"name", 0, "FILE", "the name of the source on standard input (-)"},
    [OPTION_NEW_FILE] = {"output", 'o', "FILE", "the file to write; default: named after ID"},
    [OPTION_NEW_FOLDER] = {"output", 'o', "FOLDER",
                           "the folder for the definitions; no file is overwritten"},
    [OPTION_OBSERVE] = {"observe", 0, NULL, "plan observations alone: there is no second reader"},
    [OPTION_OUTPUT] = {"output", 'o', "PATH", "where to write; a folder for several devices"},
    [OPTION_OUTPUT_SHEET] = {"output", 'o', "PATH",
                             "the file to write, or a folder for the sheets of all engines"},
    [OPTION_PAD] = {"pad", 'p', "PAD", "only this pad"},
    [OPTION_PASS] = {"pass", 0, "SPOOL",
                     "merge the stops of the spool's clocked stages, for several probes"},
    [OPTION_PAUSE] = {"pause", 0, "SECONDS", "time at each blade, included in the times"},
    [OPTION_POLICY] = {"policy", 0, "FILE", "this policy instead of the nearest one"},
    [OPTION_PORT] = {"port", 0, "PORT", "only this port; may be repeated"},
    [OPTION_QUIET] = {"quiet", 'q', NULL, "no notes, no last line, no names of written files"},
    [OPTION_READING] = {"reading", 0, "ANGLE", "tolerance of an angle read at the pad: 5 deg"},
    [OPTION_RECORD] = {"record", 0, NULL, "write the record to fill in, blade by blade"},
    [OPTION_SET] = {"set", 0, "KEY=VALUE", "a value: name=..., spools=HP,LP, spools/HP/..."},
    [OPTION_SIGN] = {"sign", 0, "SECRET", "sign the table with this Ed25519 key"},
    [OPTION_SOURCE] = {"source", 0, "DOCUMENT", "list what rests on this: DOCUMENT[@REVISION]"},
    [OPTION_STAGE] = {"stage", 's', "STAGE", "only this stage"},
    [OPTION_STRICT] = {"strict", 0, NULL, "treat warnings as errors"},
    [OPTION_TEETH] = {"teeth", 0, "RANGE", "teeth of a gear: 12..120"},
    [OPTION_TODAY] = {"today", 0, "DATE", "the date for waivers, YYYY-MM-DD; default: today"},
    [OPTION_TURNS] = {"turns", 0, "TURNS", "pad turns per rotor turn as stated: 2.2522"},
    [OPTION_VERSION] = {"version", 'V', NULL, "show the program's version"},
};

const struct command_option *command_option(enum command_option_id id)
{
    return &options[id];
}

bool command_option_is_many(enum command_option_id id)
{
    return id == OPTION_AGAINST || id == OPTION_DEVICES || id == OPTION_COUNTED ||
           id == OPTION_KNOWN || id == OPTION_PORT || id == OPTION_SET || id == OPTION_TURNS ||
           !options[id].argument;
}

/* What every command that reads sources takes. */
#define SOURCE_OPTIONS                                                                             \
    OPTION_POLICY, OPTION_TODAY, OPTION_JOBS, OPTION_LIST, OPTION_NAME, OPTION_COLOR, OPTION_QUIET

/* clang-format off */
const struct command command_table[] = {
    {"check", "FILE|FOLDER...", "validate definitions, profiles and policies",
     {OPTION_DEVICE, SOURCE_OPTIONS, OPTION_STRICT, OPTION_FORMAT},
     {"text", "json", "sarif"}, 1, 0, command_check, command_check_misused},
    {"compile", "FILE|FOLDER...", "check, then write a table for each device",
     {OPTION_DEVICES, OPTION_OUTPUT, OPTION_SIGN, OPTION_DRAFTS, OPTION_MANIFEST, OPTION_DEPFILE,
      SOURCE_OPTIONS, OPTION_STRICT}, {NULL}, 1, 0,
     command_compile, NULL},
    {"show", "TABLE", "show what a table holds, or write definitions from it",
     {OPTION_NEW_FOLDER, OPTION_TODAY, OPTION_FORMAT}, {"text", "json", "definition"}, 1, 1,
     command_show, NULL},
    {"verify", "TABLE [FILE|FOLDER]...", "check a table: integrity, every stop, its sources",
     {OPTION_KEY, OPTION_AGAINST, OPTION_DEVICE, OPTION_DRAFTS, SOURCE_OPTIONS, OPTION_FORMAT},
     {"text", "json"}, 1, 0, command_verify, NULL},
    {"compare", "A B | PATH...", "show what changed between files, folders or tables",
     {OPTION_BASE, OPTION_DEVICE, OPTION_DRAFTS, OPTION_POLICY, OPTION_TODAY, OPTION_JOBS,
      OPTION_COLOR, OPTION_QUIET, OPTION_FORMAT},
     {"text", "json", "markdown"}, 0, 0, command_compare,
     command_compare_misused},
    {"stops", "FILE|FOLDER...", "show every stop of a stage, as the device makes it",
     {OPTION_DEVICE, OPTION_PAD, OPTION_STAGE, OPTION_PORT, OPTION_FROM_BLADE, OPTION_PAUSE,
      OPTION_AT_COUNT, OPTION_CARRY, OPTION_PASS, SOURCE_OPTIONS, OPTION_FORMAT},
     {"text", "json", "csv"}, 1, 0, command_stops, NULL},
    {"explain", "FILE|FOLDER...", "show where each number comes from, line by line",
     {OPTION_DEVICE, OPTION_PAD, OPTION_STAGE, SOURCE_OPTIONS}, {NULL}, 1, 0, command_explain,
     NULL},
    {"ratio", "", "find tooth counts for a measured or rounded ratio",
     {OPTION_TURNS, OPTION_COUNTED, OPTION_READING, OPTION_TEETH, OPTION_MESHES, OPTION_KNOWN,
      OPTION_EPICYCLIC, OPTION_BLADES, OPTION_MOST, OPTION_FORMAT},
     {"text", "json"}, 0, 0, command_ratio, NULL},
    {"new", "ID|DEFINITION", "write a commented source file to fill in",
     {OPTION_KIND, OPTION_CROSS_CHECK, OPTION_SET, OPTION_NEW_FILE, OPTION_COLOR,
      OPTION_QUIET}, {NULL}, 1, 1, command_new, NULL},
    {"lsp", "", "serve editors over standard input and output",
     {OPTION_DEVICE, OPTION_POLICY, OPTION_TODAY}, {NULL}, 0, 0, command_lsp, NULL},
    {"sheet", "FILE|FOLDER...", "write setup sheets or records of engines, as text or HTML",
     {OPTION_DEVICE, OPTION_ENGINE, OPTION_RECORD, OPTION_PAD, OPTION_STAGE, OPTION_OUTPUT_SHEET,
      SOURCE_OPTIONS, OPTION_FORMAT},
     {"text", "html", "csv"}, 1, 0, command_sheet, NULL},
    {"index", "FILE|FOLDER...", "list engines with their pads, ratios, torques and stages",
     {OPTION_DEVICE, OPTION_SOURCE, SOURCE_OPTIONS, OPTION_FORMAT}, {"text", "json", "csv"}, 1, 0,
     command_index, NULL},
    {"slips", "FILE|FOLDER...", "show which slips of the pen nothing would find",
     {OPTION_DEVICE, OPTION_ALLOW, OPTION_OBSERVE, SOURCE_OPTIONS, OPTION_FORMAT},
     {"text", "json", "sarif", "man"}, 0, 0, command_slips,
     command_slips_misused},
    {"rules", "[RULE]", "list the rules, or explain one",
     {OPTION_FORMAT}, {"text", "json", "man"}, 0, 1, command_rules, NULL},
    {"schema", "KIND", "print the JSON Schema of a kind of source file", {OPTION_FORMAT},
     {"json", "man"}, 1, 1, command_schema, NULL},
    {"completion", "SHELL", "print the completion script for bash, zsh or fish",
     {OPTION_NONE}, {NULL}, 1, 1, command_completion, NULL},
    {"help", "[COMMAND]", "show the commands, or the options of one",
     {OPTION_NONE}, {NULL}, 0, 1, command_help, NULL},
    {"version", "", "show the program's version", {OPTION_NONE}, {NULL}, 0, 0, command_version,
     NULL},
    {NULL, NULL, NULL, {OPTION_NONE}, {NULL}, 0, 0, NULL, NULL},
};
/* clang-format on */
