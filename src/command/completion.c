/*
 * completion.c - what bash, zsh and fish need to complete a command line, from the tables.
 */
#include "command/command.h"

#include <string.h>

/* Calls `write` for each option of a command, --help included. */
static void each_option(const struct command *command,
                        void (*write)(const struct command *, enum command_option_id))
{
    for (size_t i = 0; i < COMMAND_OPTIONS && command->options[i] != OPTION_NONE; i++) {
        write(command, command->options[i]);
    }
    write(command, OPTION_HELP);
}

static void bash_option(const struct command *command, enum command_option_id id)
{
    (void)command;
    printf(" --%s", command_option(id)->name);
}

static void write_bash(void)
{
    puts("_rotortab()\n{\n    local word=${COMP_WORDS[COMP_CWORD]} options=");
    puts("    if [ \"$COMP_CWORD\" -eq 1 ]; then");
    fputs("        mapfile -t COMPREPLY < <(compgen -W \"--help --version", stdout);
    for (const struct command *command = command_table; command->name; command++) {
        printf(" %s", command->name);
    }
    puts("\" -- \"$word\")\n        return\n    fi\n    case ${COMP_WORDS[1]} in");
    for (const struct command *command = command_table; command->name; command++) {
        printf("    %s) options=\"", command->name);
        each_option(command, bash_option);
        puts("\" ;;");
    }
    puts("    esac\n    case $word in\n    -*) mapfile -t COMPREPLY < <(compgen -W \"$options\" -- "
         "\"$word\") ;;\n    *) mapfile -t COMPREPLY < <(compgen -f -- \"$word\") ;;\n    esac\n}");
    puts("complete -o filenames -F _rotortab rotortab");
}

static void zsh_option(const struct command *command, enum command_option_id id)
{
    const struct command_option *option = command_option(id);
    (void)command;
    printf(" \\\n            '--%s[%s]%s'", option->name, option->meaning,
           option->argument ? ":value:_files" : "");
}

static void write_zsh(void)
{
    puts("#compdef rotortab\n_rotortab()\n{\n    local -a commands=(");
    for (const struct command *command = command_table; command->name; command++) {
        printf("        '%s:%s'\n", command->name, command->summary);
    }
    puts("    )\n    if (( CURRENT == 2 )); then\n        _describe command commands\n"
         "        return\n    fi\n    case $words[2] in");
    for (const struct command *command = command_table; command->name; command++) {
        printf("    %s)\n        _arguments", command->name);
        each_option(command, zsh_option);
        puts(" \\\n            '*:file:_files' ;;");
    }
    puts("    esac\n}\n_rotortab \"$@\"");
}

static void fish_option(const struct command *command, enum command_option_id id)
{
    const struct command_option *option = command_option(id);
    printf("complete -c rotortab -n '__fish_seen_subcommand_from %s' -l %s", command->name,
           option->name);
    if (option->letter) {
        printf(" -s %c", option->letter);
    }
    printf("%s -d '%s'\n", option->argument ? " -r" : "", option->meaning);
}

static void write_fish(void)
{
    for (const struct command *command = command_table; command->name; command++) {
        printf("complete -c rotortab -n __fish_use_subcommand -f -a %s -d '%s'\n", command->name,
               command->summary);
        each_option(command, fish_option);
    }
}

int command_completion(struct command_call *call)
{
    static const struct {
        const char *shell;
        void (*write)(void);
    } shells[] = {{"bash", write_bash}, {"zsh", write_zsh}, {"fish", write_fish}};
    const char *shell = call->operands.items[0];
    for (size_t i = 0; i < sizeof shells / sizeof *shells; i++) {
        if (strcmp(shells[i].shell, shell) == 0) {
            shells[i].write();
            return COMMAND_CLEAN;
        }
    }
    return command_fail("completion knows bash, zsh and fish, not %s", shell);
}
