/*
 * completion_zsh.c - the completion script for zsh: specifications for its own _arguments.
 *
 * The shell quotes each name that it puts on the line.
 */
#include "command/completion.h"

#include <string.h>

static const char helpers[] =
    "# Names in the sources that are on the line. (Q) removes quotes, and evaluates nothing.\n"
    "_rotortab_names()\n"
    "{\n"
    "    local -a found operands=(\"${(@Q)line}\")\n"
    "    local expl\n"
    "    operands=(\"${(@)operands/#\\~\\//$HOME/}\")\n"
    "    found=(\"${(@f)$(command rotortab names $1 -- $operands 2> /dev/null)}\")\n"
    "    found=($found)\n"
    "    _wanted $1 expl $1 compadd -a found\n"
    "}\n"
    "\n"
    "# Files; if none of the kind is there, others.\n"
    "_rotortab_files()\n"
    "{\n"
    "    case $1 in\n"
    "    sources) _files -F '(*.rotor)' -g '*.(yaml|yml|json)' ;;\n"
    "    tables) _files -g '*.rotor' ;;\n"
    "    plain) _files -F '(*.rotor)' ;;\n"
    "    any) _files ;;\n"
    "    esac\n"
    "}\n";

/* ":NAME:ACTION": the name of the argument, and where its words come from. */
static void write_argument(const char *shown, struct completion_argument argument)
{
    putchar(':');
    completion_quote(shown, ':', "\\:");
    switch (argument.offer) {
    case COMPLETION_NOTHING: fputs(": ", stdout); break; /* any text; the shell offers nothing */
    case COMPLETION_WORDS: printf(":(%s)", argument.words); break;
    case COMPLETION_NAMES: printf(": _rotortab_names %s", argument.words); break;
    case COMPLETION_FILES: printf(": _rotortab_files %s", argument.words); break;
    }
}

/* A meaning in brackets and in quotes. */
static void write_meaning(const char *meaning)
{
    for (; *meaning; meaning++) {
        switch (*meaning) {
        case '\'': fputs("'\\''", stdout); break;
        case '[':
        case ']': printf("\\%c", *meaning); break;
        default: putchar(*meaning);
        }
    }
}

/* One spelling of an option; `joins` is the sign that joins it with its argument. */
static void write_spelling(struct arena *arena, const struct command *command,
                           enum command_option_id id, const char *spelt, char joins)
{
    const struct command_option *option = command_option(id);
    fputs(" \\\n            '", stdout);
    if (option->argument && command_option_is_many(id)) {
        putchar('*');
    } else if (option->letter) {
        printf("(-%c --%s)", option->letter, option->name);
    }
    fputs(spelt, stdout);
    if (option->argument) {
        putchar(joins);
    }
    putchar('[');
    write_meaning(option->meaning);
    putchar(']');
    if (option->argument) {
        write_argument(option->argument, completion_option(arena, command, id));
    }
    putchar('\'');
}

static void write_option(struct arena *arena, const struct command *command,
                         enum command_option_id id)
{
    const struct command_option *option = command_option(id);
    const char letter[] = {'-', option->letter, '\0'};
    write_spelling(arena, command, id, arena_printf(arena, "--%s", option->name), '=');
    if (option->letter) {
        write_spelling(arena, command, id, letter, '+');
    }
}

static void write_operand(const char *place, const char *shown, struct completion_argument argument)
{
    printf(" \\\n            '%s", place);
    write_argument(shown, argument);
    putchar('\'');
}

static void write_operands(struct arena *arena, const struct command *command)
{
    struct completion_operands operands = completion_operands(arena, command);
    if (!*command->operands) {
        return;
    }
    if (!operands.same) {
        write_operand("1", command->operands, operands.first);
    }
    if (command->most != 1) {
        write_operand("*", command->operands, operands.rest);
    }
}

/* An element of a list for _describe. */
static void write_described(const char *dashes, const char *name, const char *meaning)
{
    printf("        '%s%s:", dashes, name);
    completion_quote(meaning, '\'', "'\\''");
    puts("'");
}

void completion_zsh(struct arena *arena)
{
    puts("#compdef rotortab");
    fputs(helpers, stdout);
    puts("\n_rotortab()\n{\n    local -a line commands=(");
    for (const struct command *command = command_table; command->name; command++) {
        write_described("", command->name, command->summary);
    }
    puts("    )\n    local -a options=(");
    for (size_t i = 0; i < COMPLETION_TOP; i++) {
        const struct command_option *option = command_option(completion_top[i]);
        write_described("--", option->name, option->meaning);
    }
    puts("    )\n    if (( CURRENT == 2 )); then\n        _describe command commands\n"
         "        _describe -o option options\n        return\n    fi\n"
         "    # the command's own words\n    shift words\n"
         "    (( CURRENT-- ))\n    case $words[1] in");
    for (const struct command *command = command_table; command->name; command++) {
        printf("    %s)\n        _arguments", command->name);
        completion_each_option(arena, command, write_option);
        write_operands(arena, command);
        puts(" ;;");
    }
    puts("    esac\n}\n_rotortab \"$@\"");
}
