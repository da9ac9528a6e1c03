/*
 * completion.c - the command, and what is offered for each argument that the tables show.
 */
#include "command/completion.h"
#include "model/harm.h"
#include "model/load.h"
#include "run/names.h"

#include <string.h>

struct shell {
    const char *name;
    void (*write)(struct arena *arena);
};

enum { SHELLS = 3 };
static const struct shell shells[SHELLS] = {
    {"bash", completion_bash}, {"zsh", completion_zsh}, {"fish", completion_fish}};

const enum command_option_id completion_top[COMPLETION_TOP] = {OPTION_HELP, OPTION_VERSION};

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

static const char *shell_names(struct arena *arena, const struct command *command)
{
    const char *words = "";
    (void)command;
    for (size_t i = 0; i < SHELLS; i++) {
        words = join(arena, words, shells[i].name);
    }
    return words;
}

static const char *commands(struct arena *arena, const struct command *command)
{
    const char *words = "";
    (void)command;
    for (const struct command *row = command_table; row->name; row++) {
        words = join(arena, words, row->name);
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

static const char *named(struct arena *arena, const struct command *command)
{
    const char *words = "";
    (void)command;
    for (int i = 0; i < RUN_NAMED; i++) {
        words = join(arena, words, run_named_words[i]);
    }
    return words;
}

static const char *colours(struct arena *arena, const struct command *command)
{
    const char *words = "";
    (void)command;
    for (size_t i = 0; i < COMMAND_COLOURS; i++) {
        words = join(arena, words, command_colours[i]);
    }
    return words;
}

static const char *answers(struct arena *arena, const struct command *command)
{
    (void)arena;
    (void)command;
    return "yes no";
}

/* What the names in the tables mean: files, names in files, or words. */
static const struct {
    const char *shown, *files;
} filed[] = {{"FILE|FOLDER", COMPLETION_SOURCES}, {"ID|DEFINITION", COMPLETION_SOURCES},
             {"TABLE", COMPLETION_TABLES},        {"PATH", COMPLETION_ANY},
             {"FILE", COMPLETION_PLAIN},          {"PUBLIC", COMPLETION_PLAIN},
             {"SECRET", COMPLETION_PLAIN}};
static const struct {
    const char *shown;
    enum run_named named;
} in_files[] = {{"ID", RUN_ENGINES},        {"SPOOL", RUN_SPOOLS}, {"STAGE", RUN_STAGES},
                {"PAD", RUN_PADS},          {"PORT", RUN_PORTS},   {"DOCUMENT", RUN_DOCUMENTS},
                {"REVISION", RUN_REVISIONS}};
static const struct {
    const char *shown;
    const char *(*words)(struct arena *, const struct command *);
} worded[] = {{"ANSWER", answers}, {"COMMAND", commands},  {"FORMAT", formats},
              {"HARM", harms},     {"KIND", kinds},        {"NAMES", named},
              {"RULE", rules},     {"SHELL", shell_names}, {"WHEN", colours}};

/* By the name alone. */
static struct completion_argument argument_of(struct arena *arena, const struct command *command,
                                              const char *name)
{
    for (size_t i = 0; i < sizeof filed / sizeof *filed; i++) {
        if (strcmp(filed[i].shown, name) == 0) {
            return (struct completion_argument){COMPLETION_FILES, filed[i].files};
        }
    }
    for (size_t i = 0; i < sizeof in_files / sizeof *in_files; i++) {
        if (strcmp(in_files[i].shown, name) == 0) {
            return (struct completion_argument){COMPLETION_NAMES,
                                                run_named_words[in_files[i].named]};
        }
    }
    for (size_t i = 0; i < sizeof worded / sizeof *worded; i++) {
        if (strcmp(worded[i].shown, name) == 0) {
            return (struct completion_argument){COMPLETION_WORDS, worded[i].words(arena, command)};
        }
    }
    return (struct completion_argument){COMPLETION_NOTHING, ""};
}

struct completion_argument completion_option(struct arena *arena, const struct command *command,
                                             enum command_option_id id)
{
    const char *name = command_option(id)->argument;
    return name ? argument_of(arena, command, name)
                : (struct completion_argument){COMPLETION_NOTHING, ""};
}

/* The name in [NAME]... without the signs around it. */
static const char *bare(struct arena *arena, const char *shown, size_t length)
{
    static const char signs[] = "[].";
    const char *end = shown + length;
    shown += strspn(shown, signs);
    length = strcspn(shown, signs);
    return arena_copy(arena, shown, shown + length < end ? length : (size_t)(end - shown));
}

struct completion_operands completion_operands(struct arena *arena, const struct command *command)
{
    struct completion_operands operands = {.first = {COMPLETION_NOTHING, ""},
                                           .rest = {COMPLETION_NOTHING, ""}};
    const char *forms = strstr(command->operands, " | "); /* "A B | PATH...": any number of paths */
    const char *shown = forms ? forms + strlen(" | ") : command->operands;
    size_t first = strcspn(shown, " ");
    operands.first = argument_of(arena, command, bare(arena, shown, first));
    if (shown[first]) {
        const char *second = shown + first + 1;
        operands.rest = argument_of(arena, command, bare(arena, second, strlen(second)));
    } else if (command->most != 1) {
        operands.rest = operands.first;
        operands.same = true;
    }
    return operands;
}

void completion_each_option(struct arena *arena, const struct command *command,
                            void (*write)(struct arena *, const struct command *,
                                          enum command_option_id))
{
    for (size_t i = 0; i < COMMAND_OPTIONS && command->options[i] != OPTION_NONE; i++) {
        write(arena, command, command->options[i]);
    }
    write(arena, command, OPTION_HELP);
}

void completion_write_taking(const struct command *command)
{
    for (size_t i = 0; i < COMMAND_OPTIONS && command->options[i] != OPTION_NONE; i++) {
        const struct command_option *option = command_option(command->options[i]);
        if (option->argument) {
            printf(" --%s", option->name);
        }
        if (option->argument && option->letter) {
            printf(" -%c", option->letter);
        }
    }
}

void completion_quote(const char *text, char sign, const char *instead)
{
    for (; *text; text++) {
        if (*text == sign) {
            fputs(instead, stdout);
        } else {
            putchar(*text);
        }
    }
}

int command_completion(struct command_call *call)
{
    const char *name = call->operands.items[0];
    for (size_t i = 0; i < SHELLS; i++) {
        if (strcmp(shells[i].name, name) == 0) {
            shells[i].write(&call->arena);
            return RUN_CLEAN;
        }
    }
    return run_error("completion knows bash, zsh and fish, not %s", name);
}
