/*
 * completion.c - writes the completion scripts for bash, zsh and fish, from the tables.
 *
 * All three offer the same: commands, options, and the words or files that an argument can be.
 */
#include "command/command.h"
#include "model/harm.h"
#include "model/load.h"

#include <string.h>

/* What the shell offers for an argument that the tables show as FORMAT, [RULE], FILE|FOLDER... */
struct argument {
    bool file;         /* a file or a folder */
    const char *words; /* else all its words, with spaces between them; "": any text */
};

enum { SHELLS = 3 };
static const char *const shell_names[SHELLS] = {"bash", "zsh", "fish"};

/* The names of arguments that are paths. */
static const char *const files[] = {"FILE", "FOLDER", "PATH", "TABLE", "PUBLIC", "SECRET"};

static const char *join(struct arena *arena, const char *words, const char *word)
{
    return arena_printf(arena, "%s%s%s", words, *words ? " " : "", word);
}

static const char *formats(struct arena *arena, const struct command *command)
{
    const char *words = "";
    for (size_t i = 0; i < COMMAND_FORMATS && command->formats[i]; i++) {
        words = join(arena, words, command->formats[i]);
    }
    return words;
}

static const char *kinds(struct arena *arena, const struct command *command)
{
    const char *words = "";
    (void)command;
    for (int kind = 0; kind < MODEL_KINDS; kind++) {
        words = join(arena, words, model_kinds[kind].key);
    }
    return words;
}

static const char *rules(struct arena *arena, const struct command *command)
{
    const char *words = "";
    (void)command;
    for (int rule = RULE_NONE + 1; rule < RULE_COUNT; rule++) {
        words = join(arena, words, rule_row((enum rule_id)rule)->id);
    }
    return words;
}

static const char *shells(struct arena *arena, const struct command *command)
{
    const char *words = "";
    (void)command;
    for (size_t i = 0; i < SHELLS; i++) {
        words = join(arena, words, shell_names[i]);
    }
    return words;
}

static const char *harms(struct arena *arena, const struct command *command)
{
    const char *words = "";
    (void)command;
    for (const struct model_word_row *row = model_allowed_words; row->word; row++) {
        words = join(arena, words, row->word);
    }
    return words;
}

static const char *answers(struct arena *arena, const struct command *command)
{
    (void)arena;
    (void)command;
    return "yes no";
}

/* By the name that the tables show for it; the words live in the arena. */
static struct argument argument_of(struct arena *arena, const struct command *command,
                                   const char *shown)
{
    static const struct {
        const char *name;
        const char *(*words)(struct arena *, const struct command *);
    } worded[] = {{"FORMAT", formats}, {"KIND", kinds}, {"RULE", rules},
                  {"SHELL", shells},   {"HARM", harms}, {"ANSWER", answers}};
    struct argument argument = {false, ""};
    for (size_t i = 0; i < sizeof files / sizeof *files; i++) {
        argument.file = argument.file || strstr(shown, files[i]);
    }
    for (size_t i = 0; i < sizeof worded / sizeof *worded; i++) {
        if (strstr(shown, worded[i].name)) {
            argument.words = worded[i].words(arena, command);
        }
    }
    return argument;
}

/* The options that can come instead of a command. */
static const enum command_option_id top[2] = {OPTION_HELP, OPTION_VERSION};

/* Calls `write` for each option of a command, --help included. */
static void each_option(struct arena *arena, const struct command *command,
                        void (*write)(struct arena *, const struct command *,
                                      enum command_option_id))
{
    for (size_t i = 0; i < COMMAND_OPTIONS && command->options[i] != OPTION_NONE; i++) {
        write(arena, command, command->options[i]);
    }
    write(arena, command, OPTION_HELP);
}

/* Writes a text; each `sign` in it becomes `instead`, its form in a quoted word of the shell. */
static void quote(const char *text, char sign, const char *instead)
{
    for (; *text; text++) {
        if (*text == sign) {
            fputs(instead, stdout);
        } else {
            putchar(*text);
        }
    }
}

static void bash_argument(struct argument argument)
{
    if (argument.file) {
        fputs(" files=yes", stdout);
    } else if (*argument.words) {
        printf(" words=\"%s\"", argument.words);
    }
}

/* What can come after an option that takes an argument. */
static void bash_after(struct arena *arena, const struct command *command,
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
    bash_argument(argument_of(arena, command, option->argument));
    puts(" ;;");
}

static void bash_name(struct arena *arena, const struct command *command, enum command_option_id id)
{
    (void)arena;
    (void)command;
    printf(" --%s", command_option(id)->name);
}

static void bash_command(struct arena *arena, const struct command *command)
{
    printf("    %s)\n        case $before in\n", command->name);
    each_option(arena, command, bash_after);
    fputs("        *)", stdout);
    bash_argument(argument_of(arena, command, command->operands));
    fputs(" options=\"", stdout);
    each_option(arena, command, bash_name);
    puts("\" ;;\n        esac ;;");
}

/* A function that sorts a word by the command and by the word before it. */
static void write_bash(struct arena *arena)
{
    puts("_rotortab()\n{\n    local word=${COMP_WORDS[COMP_CWORD]} command=${COMP_WORDS[1]}\n"
         "    local before=${COMP_WORDS[COMP_CWORD-1]} files='' words='' options=''\n"
         "    # --option=word comes in three pieces\n"
         "    if [ \"$word\" = = ]; then\n        word=''\n"
         "    elif [ \"$before\" = = ]; then\n        before=${COMP_WORDS[COMP_CWORD-2]}\n    fi\n"
         "    if [ \"$COMP_CWORD\" -eq 1 ]; then\n        command=''\n    fi\n"
         "    case $command in");
    fputs("    '') words=\"", stdout);
    for (size_t i = 0; i < sizeof top / sizeof *top; i++) {
        printf("--%s ", command_option(top[i])->name);
    }
    for (const struct command *command = command_table; command->name; command++) {
        printf("%s%s", command == command_table ? "" : " ", command->name);
    }
    puts("\" ;;");
    for (const struct command *command = command_table; command->name; command++) {
        bash_command(arena, command);
    }
    puts("    esac\n    if [[ $word == -* && $options ]]; then\n        words=$options files=''\n"
         "    fi\n    if [ \"$files\" ]; then\n        compopt -o filenames\n"
         "        mapfile -t COMPREPLY < <(compgen -f -- \"$word\")\n    else\n"
         "        mapfile -t COMPREPLY < <(compgen -W \"$words\" -- \"$word\")\n    fi\n}\n"
         "complete -F _rotortab rotortab");
}

/* ":NAME:ACTION": the name of the argument, and where its words come from. */
static void zsh_argument(struct arena *arena, const struct command *command, const char *shown)
{
    struct argument argument = argument_of(arena, command, shown);
    putchar(':');
    quote(shown, ':', "\\:");
    if (argument.file) {
        fputs(":_files", stdout);
    } else if (*argument.words) {
        printf(":(%s)", argument.words);
    } else {
        fputs(": ", stdout); /* any text; the shell offers nothing */
    }
}

/* One spelling of an option; `joins` is the sign that joins it with its argument. */
static void zsh_spelling(struct arena *arena, const struct command *command,
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
    quote(option->meaning, '\'', "'\\''");
    putchar(']');
    if (option->argument) {
        zsh_argument(arena, command, option->argument);
    }
    putchar('\'');
}

static void zsh_option(struct arena *arena, const struct command *command,
                       enum command_option_id id)
{
    const struct command_option *option = command_option(id);
    const char letter[] = {'-', option->letter, '\0'};
    zsh_spelling(arena, command, id, arena_printf(arena, "--%s", option->name), '=');
    if (option->letter) {
        zsh_spelling(arena, command, id, letter, '+');
    }
}

/* An element of a list for _describe. */
static void zsh_described(const char *dashes, const char *name, const char *meaning)
{
    printf("        '%s%s:", dashes, name);
    quote(meaning, '\'', "'\\''");
    puts("'");
}

/* Specifications for zsh's own _arguments. */
static void write_zsh(struct arena *arena)
{
    puts("#compdef rotortab\n_rotortab()\n{\n    local -a commands=(");
    for (const struct command *command = command_table; command->name; command++) {
        zsh_described("", command->name, command->summary);
    }
    puts("    )\n    local -a options=(");
    for (size_t i = 0; i < sizeof top / sizeof *top; i++) {
        const struct command_option *option = command_option(top[i]);
        zsh_described("--", option->name, option->meaning);
    }
    puts("    )\n    if (( CURRENT == 2 )); then\n        _describe command commands\n"
         "        _describe -o option options\n        return\n    fi\n"
         "    # the command's own words\n    shift words\n"
         "    (( CURRENT-- ))\n    case $words[1] in");
    for (const struct command *command = command_table; command->name; command++) {
        printf("    %s)\n        _arguments", command->name);
        each_option(arena, command, zsh_option);
        if (*command->operands) {
            fputs(" \\\n            '*", stdout);
            zsh_argument(arena, command, command->operands);
            putchar('\'');
        }
        puts(" ;;");
    }
    puts("    esac\n}\n_rotortab \"$@\"");
}

/* What the shell offers: files, or only the words. */
static void fish_argument(struct argument argument)
{
    fputs(argument.file ? " -F" : " -f", stdout);
    if (*argument.words) {
        printf(" -a '%s'", argument.words);
    }
}

static void fish_meaning(const char *meaning)
{
    fputs(" -d '", stdout);
    quote(meaning, '\'', "\\'");
    puts("'");
}

static void fish_spellings(const struct command_option *option)
{
    printf(" -l %s", option->name);
    if (option->letter) {
        printf(" -s %c", option->letter);
    }
}

static void fish_option(struct arena *arena, const struct command *command,
                        enum command_option_id id)
{
    const struct command_option *option = command_option(id);
    printf("complete -c rotortab -n '__rotortab_command %s'", command->name);
    fish_spellings(option);
    if (option->argument) {
        fputs(" -r", stdout);
        fish_argument(argument_of(arena, command, option->argument));
    }
    fish_meaning(option->meaning);
}

/* A line for each thing that can come after a command. */
static void write_fish(struct arena *arena)
{
    puts("function __rotortab_command\n    set -l words (commandline -opc)\n"
         "    test \"$words[2]\" = \"$argv[1]\"\nend");
    for (size_t i = 0; i < sizeof top / sizeof *top; i++) {
        const struct command_option *option = command_option(top[i]);
        fputs("complete -c rotortab -n \"__rotortab_command ''\"", stdout);
        fish_spellings(option);
        fish_meaning(option->meaning);
    }
    for (const struct command *command = command_table; command->name; command++) {
        printf("complete -c rotortab -n \"__rotortab_command ''\" -f -a %s", command->name);
        fish_meaning(command->summary);
        printf("complete -c rotortab -n '__rotortab_command %s'", command->name);
        fish_argument(argument_of(arena, command, command->operands));
        putchar('\n');
        each_option(arena, command, fish_option);
    }
}

static void (*const writers[SHELLS])(struct arena *) = {write_bash, write_zsh, write_fish};

int command_completion(struct command_call *call)
{
    const char *shell = call->operands.items[0];
    for (size_t i = 0; i < SHELLS; i++) {
        if (strcmp(shell_names[i], shell) == 0) {
            writers[i](&call->arena);
            return RUN_CLEAN;
        }
    }
    return run_error("completion knows bash, zsh and fish, not %s", shell);
}
