/*
 * table.c - the tables of commands and options.
 */
#include "command/command.h"

static const struct command_option options[OPTION_COUNT] = {
    [OPTION_NONE] = {"", 0, NULL, ""},
    [OPTION_AGAINST] = {"against", 0, "FILE|FOLDER", "the sources the table must come from"},
    [OPTION_AT_COUNT] = {"at-count", 0, "COUNT",
                         "instead: the blade at this count, in the normal direction"},
    [OPTION_BASE] = {"base", 0, "REVISION", "compare with this revision of git"},
    [OPTION_BLADES] = {"blades", 0, "NUMBER", "say when a blade of so many is miscounted"},
    [OPTION_CARRY] = {"carry", 0, "STAGE:BLADE",
                      "instead: the blades of other stages while this one is at its port"},
    [OPTION_COUNTED] = {"counted", 0, "COUNT", "pad turns / rotor turns: 22.5+/-0.1/10"},
    [OPTION_DEPFILE] = {"depfile", 0, "FILE", "write what the tables depend on, for make, ninja"},
    [OPTION_DEVICE] = {"device", 'd', "FILE", "the profile of the field device"},
    [OPTION_DEVICES] = {"device", 'd', "FILE", "the profile of a field device: a table for each"},
    [OPTION_DRAFTS] = {"drafts", 0, NULL, "compile drafts as well"},
    [OPTION_ENGINE] = {"engine", 'e', "ID", "which of several engines"},
    [OPTION_EPICYCLIC] = {"epicyclic", 0, "ANSWER", "whether a mesh may be one: yes, no"},
    [OPTION_FORMAT] = {"format", 'f', "FORMAT", "the form of the output"},
    [OPTION_FROM_BLADE] = {"from-blade", 'b', "BLADE", "begin at this blade, with count 0 there"},
    [OPTION_HELP] = {"help", 'h', NULL, "show this help"},
    [OPTION_JOBS] = {"jobs", 'j', "NUMBER", "threads to use; all processors without it"},
    [OPTION_KEY] = {"key", 'k', "PUBLIC", "the public key that the table must be signed for"},
    [OPTION_KIND] = {"kind", 0, "KIND", "engine-definition (the usual), device-profile, policy"},
    [OPTION_KNOWN] = {"known", 0, "TEETH", "teeth of a mesh that is known, pad side first: 27/44"},
    [OPTION_LIST] = {"list", '0', NULL, "read names of sources from standard input too, NUL-ended"},
    [OPTION_MANIFEST] = {"manifest", 0, "FILE", "write what went into the tables, as JSON"},
    [OPTION_MESHES] = {"meshes", 0, "RANGE", "meshes of the path: 1..3, known ones included"},
    [OPTION_MOST] = {"most", 0, "NUMBER", "how many to show: 20"},
    [OPTION_NAME] = {"name", 0, "FILE", "the name of what is read from standard input (-)"},
    [OPTION_NEW_FILE] = {"output", 'o', "FILE", "the file to write; called after ID without it"},
    [OPTION_OUTPUT] = {"output", 'o', "PATH", "where to write; a folder for several devices"},
    [OPTION_OUTPUT_FILE] = {"output", 'o', "FILE", "where it goes; standard output without it"},
    [OPTION_PAD] = {"pad", 'p', "PAD", "only through this pad"},
    [OPTION_PAUSE] = {"pause", 0, "SECONDS", "time at each blade, added up in the times"},
    [OPTION_POLICY] = {"policy", 0, "FILE", "this policy instead of the nearest one"},
    [OPTION_READING] = {"reading", 0, "ANGLE", "how well the angle of the pad is read: 5 deg"},
    [OPTION_SET] = {"set", 0, "KEY=VALUE", "a value: name=..., spools=HP,LP, spools/HP/..."},
    [OPTION_SIGN] = {"sign", 0, "SECRET", "sign the table with this Ed25519 key"},
    [OPTION_STAGE] = {"stage", 's', "STAGE", "only this stage"},
    [OPTION_STRICT] = {"strict", 0, NULL, "take warnings for errors"},
    [OPTION_TEETH] = {"teeth", 0, "RANGE", "teeth of a gear: 12..120"},
    [OPTION_TODAY] = {"today", 0, "DATE", "the day by which waivers are judged, YYYY-MM-DD"},
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
           id == OPTION_KNOWN || id == OPTION_SET || id == OPTION_TURNS || !options[id].argument;
}

/* What every command that reads sources takes. */
#define SOURCE_OPTIONS OPTION_POLICY, OPTION_TODAY, OPTION_JOBS, OPTION_LIST, OPTION_NAME

/* clang-format off */
const struct command command_table[] = {
    {"check", "FILE|FOLDER...", "validate definitions, profiles and policies",
     {OPTION_DEVICE, SOURCE_OPTIONS, OPTION_STRICT, OPTION_FORMAT},
     {"text", "json", "sarif"}, 1, 0, command_check, command_check_misused},
    {"compile", "FILE|FOLDER...", "check, then write the table for a device, or for several",
     {OPTION_DEVICES, OPTION_OUTPUT, OPTION_SIGN, OPTION_DRAFTS, OPTION_MANIFEST, OPTION_DEPFILE,
      SOURCE_OPTIONS, OPTION_STRICT}, {NULL}, 1, 0,
     command_compile, NULL},
    {"show", "TABLE", "the table in words", {OPTION_FORMAT}, {"text", "json"}, 1, 1, command_show,
     NULL},
    {"verify", "TABLE [FILE|FOLDER]...", "integrity, every stop, and the sources of a table",
     {OPTION_KEY, OPTION_AGAINST, OPTION_DEVICE, OPTION_DRAFTS, SOURCE_OPTIONS, OPTION_FORMAT},
     {"text", "json"}, 1, 0, command_verify, NULL},
    {"compare", "A B | PATH...", "what has changed on the engine, between files, folders or tables",
     {OPTION_BASE, OPTION_DEVICE, OPTION_DRAFTS, OPTION_POLICY, OPTION_TODAY, OPTION_JOBS,
      OPTION_FORMAT},
     {"text", "json", "markdown"}, 0, 0, command_compare,
     command_compare_misused},
    {"stops", "FILE|FOLDER...", "every stop of a stage, as the device will make it",
     {OPTION_DEVICE, OPTION_PAD, OPTION_STAGE, OPTION_FROM_BLADE, OPTION_PAUSE, OPTION_AT_COUNT,
      OPTION_CARRY, SOURCE_OPTIONS, OPTION_FORMAT},
     {"text", "json", "csv"}, 1, 0, command_stops, NULL},
    {"explain", "FILE|FOLDER...", "where each number comes from, line by line",
     {OPTION_DEVICE, OPTION_PAD, OPTION_STAGE, SOURCE_OPTIONS}, {NULL}, 1, 0, command_explain,
     NULL},
    {"ratio", "", "candidate tooth counts for a measured or rounded ratio",
     {OPTION_TURNS, OPTION_COUNTED, OPTION_READING, OPTION_TEETH, OPTION_MESHES, OPTION_KNOWN,
      OPTION_EPICYCLIC, OPTION_BLADES, OPTION_MOST, OPTION_FORMAT},
     {"text", "json"}, 0, 0, command_ratio, NULL},
    {"new", "ID", "a commented definition to fill in", {OPTION_KIND, OPTION_SET, OPTION_NEW_FILE},
     {NULL}, 1, 1, command_new, NULL},
    {"lsp", "", "a language server for editors, over standard input and output",
     {OPTION_DEVICE, OPTION_POLICY, OPTION_TODAY}, {NULL}, 0, 0, command_lsp, NULL},
    {"sheet", "FILE|FOLDER...", "the setup sheet of an engine, with drawings as HTML",
     {OPTION_DEVICE, OPTION_ENGINE, OPTION_OUTPUT_FILE, SOURCE_OPTIONS, OPTION_FORMAT},
     {"text", "html"}, 1, 0, command_sheet, NULL},
    {"rules", "[RULE]", "the rules, or one explained", {OPTION_FORMAT}, {"text", "json", "man"}, 0,
     1, command_rules, NULL},
    {"schema", "KIND", "the JSON Schema of a kind of source file", {OPTION_FORMAT},
     {"json", "man"}, 1, 1, command_schema, NULL},
    {"completion", "SHELL", "what bash, zsh or fish needs to complete a command line",
     {OPTION_NONE}, {NULL}, 1, 1, command_completion, NULL},
    {NULL, NULL, NULL, {OPTION_NONE}, {NULL}, 0, 0, NULL, NULL},
};
/* clang-format on */
