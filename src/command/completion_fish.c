/*
 * completion_fish.c - the completion script for fish: a line for each thing that can be offered.
 *
 * The shell quotes each name that it puts on the line.
 */
#include "command/completion.h"

#include <string.h>

static const char helpers[] =
    "# Whether the command on the line is this one.\n"
    "function __rotortab_command\n"
    "    set -l words (commandline -opc)\n"
    "    test \"$words[2]\" = \"$argv[1]\"\n"
    "end\n"
    "\n"
    "# The operands on the line without the word at the cursor; with \"before\", those before it.\n"
    "function __rotortab_operands\n"
    "    set -l words (commandline -op)\n"
    "    set -l last (count $words)\n"
    "    set -l cursor (math 1 + (count (commandline -opc)))\n"
    "    set -l typed (commandline -ct)\n"
    "    set -l takes (__rotortab_takes \"$words[2]\")\n"
    "    set -l skip no\n"
    "    set -l i 3\n"
    "    if test \"$argv[1]\" = before\n"
    "        set last (math $cursor - 1)\n"
    "    end\n"
    "    while test $i -le $last\n"
    "        if test $i -eq $cursor\n"
    "            set skip no\n"
    "        end\n"
    "        if test $skip = yes\n"
    "            set skip no\n"
    "        else if contains -- \"$words[$i]\" $takes\n"
    "            set skip yes\n"
    "        else if test $i -eq $cursor -a -n \"$typed\"\n"
    "        else if string match -qr -- '^~/' \"$words[$i]\"\n"
    "            printf '%s\\n' $HOME(string sub -s 2 -- \"$words[$i]\")\n"
    "        else if not string match -q -- '-*' \"$words[$i]\"\n"
    "            printf '%s\\n' \"$words[$i]\"\n"
    "        end\n"
    "        set i (math $i + 1)\n"
    "    end\n"
    "end\n"
    "\n"
    "# Whether the command is this one and the cursor is at its first operand, or after it.\n"
    "function __rotortab_first\n"
    "    __rotortab_command $argv[1]; and test (count (__rotortab_operands before)) -eq 0\n"
    "end\n"
    "function __rotortab_rest\n"
    "    __rotortab_command $argv[1]; and test (count (__rotortab_operands before)) -ne 0\n"
    "end\n"
    "\n"
    "# Names in the sources that are on the line.\n"
    "function __rotortab_names\n"
    "    command rotortab names $argv[1] -- (__rotortab_operands) 2>/dev/null\n"
    "end\n"
    "\n"
    "# Files; if none of the kind is there, others.\n"
    "function __rotortab_files\n"
    "    set -l all (complete -C \"__rotortab_no_command \"(commandline -ct))\n"
    "    set -l plain (string match -v -- '*.rotor' $all)\n"
    "    switch $argv[1]\n"
    "        case sources\n"
    "            string match -r -- '^.*(?:/|\\.yaml|\\.yml|\\.json)$' $plain\n"
    "            or printf '%s\\n' $plain\n"
    "        case tables\n"
    "            string match -r -- '^.*(?:/|\\.rotor)$' $all\n"
    "            or printf '%s\\n' $all\n"
    "        case plain\n"
    "            printf '%s\\n' $plain\n"
    "        case any\n"
    "            printf '%s\\n' $all\n"
    "    end\n"
    "end\n"
    "\n"
    "complete -c rotortab -f\n";

/* What is offered: words, or the output of one of the functions above. */
static void write_argument(struct completion_argument argument)
{
    switch (argument.offer) {
    case COMPLETION_NOTHING: fputs(" -f", stdout); break;
    case COMPLETION_WORDS: printf(" -f -a '%s'", argument.words); break;
    case COMPLETION_NAMES: printf(" -f -a '(__rotortab_names %s)'", argument.words); break;
    case COMPLETION_FILES: printf(" -f -a '(__rotortab_files %s)'", argument.words); break;
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
        write_argument(completion_option(arena, command, id));
    }
    write_meaning(option->meaning);
}

static void write_operand(const char *condition, const struct command *command,
                          struct completion_argument argument)
{
    if (argument.offer != COMPLETION_NOTHING) {
        printf("complete -c rotortab -n '%s %s'", condition, command->name);
        write_argument(argument);
        putchar('\n');
    }
}

static void write_operands(struct arena *arena, const struct command *command)
{
    struct completion_operands operands = completion_operands(arena, command);
    if (operands.same) {
        write_operand("__rotortab_command", command, operands.first);
    } else {
        write_operand("__rotortab_first", command, operands.first);
        write_operand("__rotortab_rest", command, operands.rest);
    }
}

/* The function that says which options of a command take an argument. */
static void write_takes(void)
{
    puts("# The options of a command whose argument is the next word.\n"
         "function __rotortab_takes\n    set -l takes\n    switch \"$argv[1]\"");
    for (const struct command *command = command_table; command->name; command++) {
        printf("        case %s\n            set takes", command->name);
        completion_write_taking(command);
        putchar('\n');
    }
    puts("    end\n    printf '%s\\n' $takes\nend\n");
}

void completion_fish(struct arena *arena)
{
    write_takes();
    fputs(helpers, stdout);
    for (size_t i = 0; i < COMPLETION_TOP; i++) {
        const struct command_option *option = command_option(completion_top[i]);
        fputs("complete -c rotortab -n \"__rotortab_command ''\"", stdout);
        write_spellings(option);
        write_meaning(option->meaning);
    }
    for (const struct command *command = command_table; command->name; command++) {
        printf("complete -c rotortab -n \"__rotortab_command ''\" -f -a %s", command->name);
        write_meaning(command->summary);
        write_operands(arena, command);
        completion_each_option(arena, command, write_option);
    }
}
