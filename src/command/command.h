/*
 * command.h - the command line: one table of commands and one of options.
 *
 * Parsing, --help, the guess at a mistyped word and shell completion come from these tables.
 */
#ifndef ROTORTAB_COMMAND_COMMAND_H
#define ROTORTAB_COMMAND_COMMAND_H

#include "run/run.h"

#include <stdbool.h>
#include <stdio.h>

enum command_option_id {
    OPTION_NONE,
    OPTION_AGAINST,
    OPTION_ALLOW,
    OPTION_AT_COUNT,
    OPTION_BASE,
    OPTION_BLADES,
    OPTION_CARRY,
    OPTION_COLOR,
    OPTION_COUNTED,
    OPTION_CROSS_CHECK,
    OPTION_DEPFILE,
    OPTION_DEVICE,
    OPTION_DEVICES,
    OPTION_DRAFTS,
    OPTION_ENGINE,
    OPTION_EPICYCLIC,
    OPTION_FORMAT,
    OPTION_FROM_BLADE,
    OPTION_HELP,
    OPTION_JOBS,
    OPTION_KEY,
    OPTION_KIND,
    OPTION_KNOWN,
    OPTION_LIST,
    OPTION_MANIFEST,
    OPTION_MESHES,
    OPTION_MOST,
    OPTION_NAME,
    OPTION_NEW_FILE,
    OPTION_NEW_FOLDER,
    OPTION_OBSERVE,
    OPTION_OUTPUT,
    OPTION_OUTPUT_SHEET,
    OPTION_PAD,
    OPTION_PASS,
    OPTION_PAUSE,
    OPTION_POLICY,
    OPTION_PORT,
    OPTION_QUIET,
    OPTION_READING,
    OPTION_RECORD,
    OPTION_SET,
    OPTION_SIGN,
    OPTION_SOURCE,
    OPTION_STAGE,
    OPTION_STRICT,
    OPTION_TEETH,
    OPTION_TODAY,
    OPTION_TURNS,
    OPTION_VERSION,
    OPTION_COUNT
};

struct command_option {
    const char *name;     /* without dashes */
    char letter;          /* 0: no letter */
    const char *argument; /* NULL: takes no value */
    const char *meaning;
};

enum { COMMAND_OPTIONS = 20, COMMAND_FORMATS = 5 };

struct command_call;

struct command {
    const char *name;
    const char *operands; /* as the synopsis shows them; "" for none */
    const char *summary;
    enum command_option_id options[COMMAND_OPTIONS]; /* beside --help; OPTION_NONE ends */
    const char *formats[COMMAND_FORMATS];            /* what --format takes; NULL ends */
    size_t fewest, most;                             /* operands; most 0: any number */
    int (*carry_out)(struct command_call *call);
    void (*misused)(struct command_call *call); /* runs instead if the words are wrong, and reports
                                                   that to programs; NULL: no such report */
};

/* The values of an option, in the order given. */
struct command_values {
    const char **items;
    size_t count, capacity;
};

/* A command line, read. */
struct command_call {
    const struct command *command;
    struct command_values options[OPTION_COUNT];
    struct text_paths operands;    /* files and folders, or words */
    struct command_values misuses; /* what is wrong with the words, in sentences */
    struct arena arena;            /* for all that lives as long as the run */
};

const struct command_option *command_option(enum command_option_id id);

/* Whether the option may be given more than once. */
bool command_option_is_many(enum command_option_id id);

/* The table of commands; a NULL name ends it. */
extern const struct command command_table[];

/*
 * Reads the words after the command's name into the call. False if they are wrong: that has been
 * said, with a guess at the right word, and is kept in the call. All words are read, so that the
 * format of the report is known.
 */
bool command_read(struct command_call *call, int argc, char *const *argv);

/*
 * With --list, adds the names on standard input to the operands. Each name ends with a NUL, as find
 * -print0 writes it. False if they cannot be read: that has been said.
 */
bool command_read_list(struct command_call *call);

/* Says what is wrong with the words of a call, and keeps it for the report. */
void command_misuse(struct command_call *call, const char *format, ...)
    __attribute__((format(printf, 2, 3)));

/* Puts all that was said so into the report for programs. */
void command_report_misuses(const struct command_call *call, struct report_sink *sink);

/* Whether there are as many operands as the command takes, at least `fewest`; if not, says so. */
bool command_has_operands(struct command_call *call, size_t fewest);

/* The last value of an option, or NULL. */
const char *command_value(const struct command_call *call, enum command_option_id id);

/* The words that --color takes. */
enum { COMMAND_COLOURS = 3 };
extern const char *const command_colours[COMMAND_COLOURS];

/*
 * A sink for what a command finds, as --color and --quiet ask for it. If --color has another word,
 * that has been said when the words were read.
 */
struct report_sink command_sink(struct command_call *call, FILE *out, enum report_format format);

/*
 * Says how many definitions have errors and are therefore not, for example, "in the list"; nothing
 * if there are none.
 */
void command_say_missing(size_t missing, const char *where);

/* Whether --format was given as this word. */
bool command_format_is(const struct command_call *call, const char *format);

/*
 * Reads the options that every command with sources takes; the run reports to the sink. For SARIF
 * it finds the root of the log. False if --today or --jobs cannot be read, or the root cannot be
 * found: that has been said, and is kept for the report.
 */
bool command_run_options(struct command_call *call, struct report_sink *sink,
                         struct run_options *options);

/* Help on one command, or on the program. */
void command_write_help(FILE *out, const struct command *command);
void command_overview(FILE *out);

/* Says that there is no such command, with a guess. Returns RUN_FAILED. */
int command_unknown(const char *name);

/* The command of that name, or NULL. */
const struct command *command_find(const char *name);

/* Flushes both streams. Returns RUN_FAILED if a message is lost, else the status. */
int command_flush(int status);

int command_check(struct command_call *call);
void command_check_misused(struct command_call *call);
void command_slips_misused(struct command_call *call);
int command_compare(struct command_call *call);
void command_compare_misused(struct command_call *call);
int command_compile(struct command_call *call);
int command_completion(struct command_call *call);
int command_explain(struct command_call *call);
int command_help(struct command_call *call);
int command_index(struct command_call *call);
int command_lsp(struct command_call *call);
int command_names(struct command_call *call);
int command_new(struct command_call *call);
void command_new_misused(struct command_call *call);
int command_ratio(struct command_call *call);
void command_ratio_misused(struct command_call *call);
int command_rules(struct command_call *call);
int command_schema(struct command_call *call);
int command_sheet(struct command_call *call);
int command_show(struct command_call *call);
int command_slips(struct command_call *call);
int command_stops(struct command_call *call);
int command_verify(struct command_call *call);
int command_version(struct command_call *call);

#endif
