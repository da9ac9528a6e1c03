/*
 * completion_bash.c - a function that sorts a word by the command and by what stands before it.
 */
#include "command/argument.h"
#include "command/completion.h"

static void write_argument(struct command_argument argument)
{
    if (argument.file) {
        fputs(" files=yes", stdout);
    } else if (*argument.words) {
        printf(" words=\"%s\"", argument.words);
    }
}

/* What may stand behind an option that takes an argument. */
static void write_behind(struct arena *arena, const struct command *command,
                         enum command_option_id id)
{
    const struct command_option *option = command_option(id);
    if (!option->argument) {
        return;
    }
    printf("        --%s", option->name);
    if (option->letter) {
        printf(" | -%c", option->letter);
    }
    putchar(')');
    write_argument(command_argument(arena, command, option->argument));
    puts(" ;;");
}

static void write_name(struct arena *arena, const struct command *command,
                       enum command_option_id id)
{
    (void)arena;
    (void)command;
    printf(" --%s", command_option(id)->name);
}

static void write_command(struct arena *arena, const struct command *command)
{
    printf("    %s)\n        case $before in\n", command->name);
    completion_each_option(arena, command, write_behind);
    fputs("        *)", stdout);
    write_argument(command_argument(arena, command, command->operands));
    fputs(" options=\"", stdout);
    completion_each_option(arena, command, write_name);
    puts("\" ;;\n        esac ;;");
}

void completion_bash(struct arena *arena)
{
    puts("_rotortab()\n{\n    local word=${COMP_WORDS[COMP_CWORD]} command=${COMP_WORDS[1]}\n"
         "    local before=${COMP_WORDS[COMP_CWORD-1]} files='' words='' options=''\n"
         "    # --option=word comes in three pieces\n"
         "    if [ \"$word\" = = ]; then\n        word=''\n"
         "    elif [ \"$before\" = = ]; then\n        before=${COMP_WORDS[COMP_CWORD-2]}\n    fi\n"
         "    if [ \"$COMP_CWORD\" -eq 1 ]; then\n        command=''\n    fi\n"
         "    case $command in");
    fputs("    '') words=\"", stdout);
    for (size_t i = 0; i < sizeof completion_top / sizeof *completion_top; i++) {
        printf("--%s ", command_option(completion_top[i])->name);
    }
    for (const struct command *command = command_table; command->name; command++) {
        printf("%s%s", command == command_table ? "" : " ", command->name);
    }
    puts("\" ;;");
    for (const struct command *command = command_table; command->name; command++) {
        write_command(arena, command);
    }
    puts("    esac\n    if [[ $word == -* && $options ]]; then\n        words=$options files=''\n"
         "    fi\n    if [ \"$files\" ]; then\n        compopt -o filenames\n"
         "        mapfile -t COMPREPLY < <(compgen -f -- \"$word\")\n    else\n"
         "        mapfile -t COMPREPLY < <(compgen -W \"$words\" -- \"$word\")\n    fi\n}\n"
         "complete -F _rotortab rotortab");
}
