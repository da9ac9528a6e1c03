#include "command/argument.h"

#include "command/completion.h"
#include "model/load.h"

#include <string.h>

/* Names of what is read or written: all of them are paths. */
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
    for (size_t i = 0; i < COMPLETION_SHELLS; i++) {
        words = join(arena, words, completion_shells[i].name);
    }
    return words;
}

static const char *answers(struct arena *arena, const struct command *command)
{
    (void)arena;
    (void)command;
    return "yes no";
}

struct command_argument command_argument(struct arena *arena, const struct command *command,
                                         const char *shown)
{
    static const struct {
        const char *name;
        const char *(*words)(struct arena *, const struct command *);
    } worded[] = {{"FORMAT", formats},
                  {"KIND", kinds},
                  {"RULE", rules},
                  {"SHELL", shells},
                  {"ANSWER", answers}};
    struct command_argument argument = {false, ""};
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
