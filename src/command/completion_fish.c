/*
 * completion_fish.c - a line for each thing that may stand behind a command.
 */
#include "command/argument.h"
#include "command/completion.h"

/* What may be offered: files, or else the words alone. */
static void write_argument(struct command_argument argument)
{
    fputs(argument.file ? " -F" : " -f", stdout);
    if (*argument.words) {
        printf(" -a '%s'", argument.words);
    }
}

static void write_meaning(const char *meaning)
{
    fputs(" -d '", stdout);
    completion_quote(meaning, '\'', "\\'");
    puts("'");
}

static void write_spellings(const struct command_option *option)
{
    printf(" -l %s", option->name);
    if (option->letter) {
        printf(" -s %c", option->letter);
    }
}

static void write_option(struct arena *arena, const struct command *command,
                         enum command_option_id id)
{
    const struct command_option *option = command_option(id);
    printf("complete -c rotortab -n '__rotortab_command %s'", command->name);
    write_spellings(option);
    if (option->argument) {
        fputs(" -r", stdout);
        write_argument(command_argument(arena, command, option->argument));
    }
    write_meaning(option->meaning);
}

void completion_fish(struct arena *arena)
{
    puts("function __rotortab_command\n    set -l words (commandline -opc)\n"
         "    test \"$words[2]\" = \"$argv[1]\"\nend");
    for (size_t i = 0; i < sizeof completion_top / sizeof *completion_top; i++) {
        const struct command_option *option = command_option(completion_top[i]);
        fputs("complete -c rotortab -n \"__rotortab_command ''\"", stdout);
        write_spellings(option);
        write_meaning(option->meaning);
    }
    for (const struct command *command = command_table; command->name; command++) {
        printf("complete -c rotortab -n \"__rotortab_command ''\" -f -a %s", command->name);
        write_meaning(command->summary);
        printf("complete -c rotortab -n '__rotortab_command %s'", command->name);
        write_argument(command_argument(arena, command, command->operands));
        putchar('\n');
        completion_each_option(arena, command, write_option);
    }
}
