/*
 * completion_zsh.c - specifications for zsh's own _arguments.
 */
#include "command/argument.h"
#include "command/completion.h"

/* ":NAME:ACTION": what is asked for, and where it comes from. */
static void write_argument(struct arena *arena, const struct command *command, const char *shown)
{
    struct command_argument argument = command_argument(arena, command, shown);
    putchar(':');
    completion_quote(shown, ':', "\\:");
    if (argument.file) {
        fputs(":_files", stdout);
    } else if (*argument.words) {
        printf(":(%s)", argument.words);
    } else {
        fputs(": ", stdout); /* anything, and nothing to offer */
    }
}

/* One spelling of an option; `joins` is the sign with which an argument may be joined to it. */
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
    completion_quote(option->meaning, '\'', "'\\''");
    putchar(']');
    if (option->argument) {
        write_argument(arena, command, option->argument);
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

/* An element of a list for _describe. */
static void write_described(const char *dashes, const char *name, const char *meaning)
{
    printf("        '%s%s:", dashes, name);
    completion_quote(meaning, '\'', "'\\''");
    puts("'");
}

void completion_zsh(struct arena *arena)
{
    puts("#compdef rotortab\n_rotortab()\n{\n    local -a commands=(");
    for (const struct command *command = command_table; command->name; command++) {
        write_described("", command->name, command->summary);
    }
    puts("    )\n    local -a options=(");
    for (size_t i = 0; i < sizeof completion_top / sizeof *completion_top; i++) {
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
        if (*command->operands) {
            fputs(" \\\n            '*", stdout);
            write_argument(arena, command, command->operands);
            putchar('\'');
        }
        puts(" ;;");
    }
    puts("    esac\n}\n_rotortab \"$@\"");
}
