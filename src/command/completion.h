/*
 * completion.h - what a shell offers at each place of a command line, for all three shells.
 *
 * The tables show an argument by a name: FORMAT, [RULE], FILE|FOLDER... From that name follows what
 * is offered for it, so each shell offers the same. Names that are in files come from the command
 * `names`, which the script runs; the script puts them on the line as text, and evaluates none of
 * them.
 */
#ifndef ROTORTAB_COMMAND_COMPLETION_H
#define ROTORTAB_COMMAND_COMPLETION_H

#include "command/command.h"

enum completion_offer {
    COMPLETION_NOTHING, /* any text */
    COMPLETION_WORDS,   /* `words` */
    COMPLETION_NAMES,   /* names in the sources on the line; `words` says which */
    COMPLETION_FILES    /* files and folders; `words` says which files are meant: */
};

/*
 * The files of an offer. Each script has these words. A folder is always offered. If no source or
 * table is there, other files are offered; but a table only if it belongs there.
 */
#define COMPLETION_SOURCES "sources" /* files whose name is that of a source */
#define COMPLETION_TABLES "tables"   /* files whose name ends in .rotor */
#define COMPLETION_PLAIN "plain"     /* all but tables */
#define COMPLETION_ANY "any"         /* all files */

struct completion_argument {
    enum completion_offer offer;
    const char *words; /* with spaces between them; "" for nothing */
};

/* What follows the command: the first operand, and each after it. */
struct completion_operands {
    struct completion_argument first, rest;
    bool same; /* every operand is like the first */
};

/* What is offered for the argument of an option; the words live in the arena. */
struct completion_argument completion_option(struct arena *arena, const struct command *command,
                                             enum command_option_id id);

/* The same for the operands of a command. */
struct completion_operands completion_operands(struct arena *arena, const struct command *command);

/* The options that can come instead of a command. */
enum { COMPLETION_TOP = 2 };
extern const enum command_option_id completion_top[COMPLETION_TOP];

/* Calls `write` for each option of a command, --help included. */
void completion_each_option(struct arena *arena, const struct command *command,
                            void (*write)(struct arena *, const struct command *,
                                          enum command_option_id));

/* Writes the spellings of the options of a command that take an argument, a blank before each. */
void completion_write_taking(const struct command *command);

/* Writes a text; each `sign` in it becomes `instead`, its form in a quoted word of the shell. */
void completion_quote(const char *text, char sign, const char *instead);

/* Each writes the script of a shell. */
void completion_bash(struct arena *arena);
void completion_zsh(struct arena *arena);
void completion_fish(struct arena *arena);

#endif
