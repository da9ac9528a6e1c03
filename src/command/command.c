/*
 * command.c - reads a command line by the tables, and says what is wrong with it.
 */
#include "command/command.h"

#include "run/origin.h"
#include "run/threads.h"
#include "text/near.h"
#include "text/utf8.h"
#include "text/wrap.h"
#include "words/number.h"

#include <errno.h>
#include <stdarg.h>
#include <string.h>

const struct command *command_find(const char *name)
{
    for (const struct command *command = command_table; command->name; command++) {
        if (strcmp(command->name, name) == 0) {
            return command;
        }
    }
    return NULL;
}

int command_unknown(const char *name)
{
    struct text_near near = text_near_start(name, strlen(name));
    for (const struct command *command = command_table; command->name; command++) {
        text_near_try(&near, command->name);
    }
    const char *best = text_near_best(&near);
    return run_error("there is no command %s%s%s%s  (rotortab --help)", name,
                     best ? ". Did you mean " : "", best ? best : "", best ? "?" : "");
}

static bool takes(const struct command *command, enum command_option_id id)
{
    bool takes = id == OPTION_HELP;
    for (size_t i = 0; i < COMMAND_OPTIONS && command->options[i] != OPTION_NONE; i++) {
        takes = takes || command->options[i] == id;
    }
    return takes;
}

/* The option of this command with the name text[0..length), or with that letter. */
static enum command_option_id find_option(const struct command *command, const char *text,
                                          size_t length, bool letter)
{
    for (int i = OPTION_NONE + 1; i < OPTION_COUNT; i++) {
        enum command_option_id id = (enum command_option_id)i;
        const struct command_option *option = command_option(id);
        bool same = letter
                        ? option->letter == text[0]
                        : strlen(option->name) == length && memcmp(option->name, text, length) == 0;
        if (same && takes(command, id)) {
            return id;
        }
    }
    return OPTION_NONE;
}

static void keep(struct command_call *call, struct command_values *values, const char *value)
{
    values->items = arena_grow(&call->arena, values->items, values->count, &values->capacity,
                               sizeof *values->items);
    values->items[values->count++] = value;
}

void command_misuse(struct command_call *call, const char *format, ...)
{
    va_list arguments;
    va_start(arguments, format);
    const char *sentence = arena_vprintf(&call->arena, format, arguments);
    va_end(arguments);
    run_error("%s", sentence);
    keep(call, &call->misuses, sentence);
}

void command_report_misuses(const struct command_call *call, struct report_sink *sink)
{
    for (size_t i = 0; i < call->misuses.count; i++) {
        report_failure(sink, call->misuses.items[i], NULL);
    }
}

static void unknown_option(struct command_call *call, const char *word, size_t length)
{
    const struct command *command = call->command;
    struct text_near near = text_near_start(word, length);
    for (int i = OPTION_NONE + 1; i < OPTION_COUNT; i++) {
        if (takes(command, (enum command_option_id)i)) {
            text_near_try(&near, command_option((enum command_option_id)i)->name);
        }
    }
    const char *best = text_near_best(&near);
    command_misuse(call, "%s has no option %s%.*s%s%s%s  (rotortab %s --help)", command->name,
                   length == 1 ? "-" : "--", (int)length, word, best ? ". Did you mean --" : "",
                   best ? best : "", best ? "?" : "", command->name);
}

/* Whether a word is an option of the command, so that it is probably no value of another one. */
static bool is_option(const struct command *command, const char *word)
{
    return strncmp(word, "--", 2) == 0 &&
           find_option(command, word + 2, strcspn(word + 2, "="), false) != OPTION_NONE;
}

/* Reads the option at argv[*index]; *index stays at the last word it took. */
static void read_option(struct command_call *call, int argc, char *const *argv, int *index)
{
    const char *word = argv[*index];
    bool letter = word[1] != '-';
    const char *name = letter ? word + 1 : word + 2;
    const char *equals = letter ? NULL : strchr(name, '=');
    size_t length = letter ? 1 : equals ? (size_t)(equals - name) : strlen(name);
    enum command_option_id id = find_option(call->command, name, length, letter);
    if (id == OPTION_NONE) {
        unknown_option(call, name, length);
        return;
    }
    const struct command_option *option = command_option(id);
    const char *value = equals ? equals + 1 : letter && name[1] ? name + 1 : NULL;
    if (!option->argument) {
        if (value) {
            command_misuse(call, "--%s takes no value", option->name);
        } else {
            keep(call, &call->options[id], "");
        }
        return;
    }
    if (!value && *index + 1 < argc) {
        const char *next = argv[*index + 1];
        if (is_option(call->command, next)) {
            command_misuse(call,
                           "--%s needs a value: --%s %s. %s is the next option; if it is meant as "
                           "the value, write --%s=%s",
                           option->name, option->name, option->argument, next, option->name, next);
            return;
        }
        value = next;
        ++*index;
    }
    if (value && *value) {
        keep(call, &call->options[id], value);
    } else {
        command_misuse(call, "--%s needs a value%s: --%s %s", option->name,
                       value ? ", not an empty text" : "", option->name, option->argument);
    }
}

static void check_format(struct command_call *call)
{
    const char *format = command_value(call, OPTION_FORMAT);
    if (!format) {
        return;
    }
    const char *list = "";
    struct text_near near = text_near_start(format, strlen(format));
    for (size_t i = 0; i < COMMAND_FORMATS && call->command->formats[i]; i++) {
        if (strcmp(call->command->formats[i], format) == 0) {
            return;
        }
        text_near_try(&near, call->command->formats[i]);
        list = arena_printf(&call->arena, "%s%s%s", list, i == 0 ? "" : ", ",
                            call->command->formats[i]);
    }
    const char *best = text_near_best(&near);
    command_misuse(call, "%s has no format %s%s%s%s  (%s)", call->command->name, format,
                   best ? ". Did you mean " : "", best ? best : "", best ? "?" : "", list);
}

/* The words of --color, in the order of their enum. */
const char *const command_colours[COMMAND_COLOURS] = {"auto", "always", "never"};

static enum text_terminal_colour colour_of(const struct command_call *call)
{
    const char *word = command_value(call, OPTION_COLOR);
    int colour = 0;
    while (word && colour < COMMAND_COLOURS && strcmp(command_colours[colour], word) != 0) {
        colour++;
    }
    return (enum text_terminal_colour)colour;
}

static void check_colour(struct command_call *call)
{
    if ((int)colour_of(call) == COMMAND_COLOURS) {
        command_misuse(call, "--color takes auto, always or never, not %s",
                       command_value(call, OPTION_COLOR));
    }
}

/* The name of a report. Reports of one command for several devices are kept beside each other. */
static const char *task_name(struct command_call *call)
{
    const char *device = command_value(call, OPTION_DEVICE);
    const char *file = device ? text_path_name(device) : NULL;
    return arena_printf(&call->arena, "rotortab/%s/%s%s", call->command->name,
                        file ? text_clean(&call->arena, file) : "", file ? "/" : "");
}

struct report_sink command_sink(struct command_call *call, FILE *out, enum report_format format)
{
    struct report_sink sink = report_sink(out, format, &call->arena);
    report_sink_look(&sink, colour_of(call));
    sink.task.name = task_name(call);
    sink.quiet = call->options[OPTION_QUIET].count != 0;
    return sink;
}

/* Refuses an option that is given twice: the last one would silently replace the first. */
static void check_single(struct command_call *call)
{
    for (int id = OPTION_NONE + 1; id < OPTION_COUNT; id++) {
        const struct command_option *option = command_option((enum command_option_id)id);
        if (call->options[id].count > 1 && !command_option_is_many((enum command_option_id)id)) {
            command_misuse(call, "%s takes --%s once, not %zu times", call->command->name,
                           option->name, call->options[id].count);
        }
    }
}

bool command_has_operands(struct command_call *call, size_t fewest)
{
    const struct command *command = call->command;
    bool listed = call->options[OPTION_LIST].count != 0;
    bool few = call->operands.count < fewest && !listed;
    bool fits = !few && (command->most == 0 || call->operands.count <= command->most);
    if (!*command->operands && call->operands.count != 0) {
        command_misuse(call, "%s takes only options, not %s  (rotortab %s --help)", command->name,
                       call->operands.items[0], command->name);
        fits = false;
    } else if (!fits) {
        command_misuse(call, "%s takes %s%s", command->name, few ? "" : "only ", command->operands);
        fprintf(stderr, "usage: rotortab %s [OPTION]... %s\n", command->name, command->operands);
    }
    return fits;
}

bool command_read(struct command_call *call, int argc, char *const *argv)
{
    bool options_end = false;
    for (int i = 0; i < argc; i++) {
        const char *word = argv[i];
        if (!options_end && strcmp(word, "--") == 0) {
            options_end = true;
        } else if (!options_end && word[0] == '-' && word[1] != '\0') {
            read_option(call, argc, argv, &i);
        } else {
            text_paths_add(&call->operands, &call->arena, word);
        }
    }
    if (call->misuses.count == 0 && call->options[OPTION_HELP].count == 0) {
        check_format(call);
        check_colour(call);
        check_single(call);
        (void)command_has_operands(call, call->command->fewest);
    }
    return call->misuses.count == 0;
}

bool command_read_list(struct command_call *call)
{
    char *name = NULL;
    size_t length = 0;
    size_t capacity = 0;
    if (call->options[OPTION_LIST].count == 0) {
        return true;
    }
    size_t named = call->operands.count;
    for (int c = getchar(); c != EOF || length != 0; c = getchar()) {
        if (c != '\0' && c != EOF) {
            name = arena_grow(&call->arena, name, length, &capacity, 1);
            name[length++] = (char)c;
        } else if (length != 0) {
            text_paths_add(&call->operands, &call->arena, arena_copy(&call->arena, name, length));
            length = 0;
        }
    }
    if (ferror(stdin)) {
        command_misuse(call, "cannot read the list of files: %s", strerror(errno));
        return false;
    }
    if (call->operands.count == named) {
        command_misuse(call,
                       "the list on standard input has no name in it, so no file of it would be "
                       "checked: correct the command that writes the list, or leave out --list");
        return false;
    }
    return true;
}

void command_say_missing(size_t missing, const char *where)
{
    if (missing != 0) {
        run_error("%zu definition%s with an error %s not %s", missing,
                  words_plural((int64_t)missing), missing == 1 ? "is" : "are", where);
    }
}

const char *command_value(const struct command_call *call, enum command_option_id id)
{
    const struct command_values *values = &call->options[id];
    return values->count == 0 ? NULL : values->items[values->count - 1];
}

bool command_format_is(const struct command_call *call, const char *format)
{
    const char *value = command_value(call, OPTION_FORMAT);
    return value && strcmp(value, format) == 0;
}

/* Says what is wrong with an option's value, and keeps it for the report. */
static bool refuse(struct report_sink *sink, const char *sentence)
{
    run_error("%s", sentence);
    report_failure(sink, sentence, NULL);
    return false;
}

bool command_run_options(struct command_call *call, struct report_sink *sink,
                         struct run_options *options)
{
    const char *jobs = command_value(call, OPTION_JOBS);
    int64_t threads = 0;
    *options = (struct run_options){
        .arena = &call->arena,
        .sink = sink,
        .device = command_value(call, OPTION_DEVICE),
        .policy = command_value(call, OPTION_POLICY),
        .name = command_value(call, OPTION_NAME),
        .listed = call->options[OPTION_LIST].count != 0,
        .strict = call->options[OPTION_STRICT].count != 0,
        .with_drafts = call->options[OPTION_DRAFTS].count != 0,
        .jobs = run_processors(),
    };
    const char *problem =
        run_today(&call->arena, command_value(call, OPTION_TODAY), &options->today);
    if (problem) {
        return refuse(sink, problem);
    }
    if (jobs) {
        struct exact_quantity_result result = exact_integer_read(jobs, strlen(jobs), &threads);
        if (result.error != EXACT_QUANTITY_FINE || threads < 1 || threads > RUN_THREADS_MOST) {
            return refuse(sink, arena_printf(&call->arena,
                                             "--jobs takes a number of threads, 1 to %d, not %s",
                                             RUN_THREADS_MOST, jobs));
        }
        options->jobs = (size_t)threads;
    }
    problem = sink->format == REPORT_SARIF ? run_find_origin(sink, &call->operands) : NULL;
    return !problem || refuse(sink, problem);
}

/* Help fits the usual width, so that it can be put anywhere; on a narrower terminal, that one. */
static size_t help_columns(FILE *out)
{
    size_t columns = text_terminal_columns(out);
    return columns != 0 && columns < TEXT_TERMINAL_USUAL ? columns : TEXT_TERMINAL_USUAL;
}

static void help_text(FILE *out, size_t at, size_t indent, const char *text)
{
    text_write_wrapped(out, at, (struct text_wrap){help_columns(out), indent}, text);
}

static void help_option(FILE *out, struct arena *arena, const struct command *command,
                        enum command_option_id id)
{
    enum { MEANING = 29 }; /* the column where meanings begin */
    const struct command_option *option = command_option(id);
    char letter[] = {'-', option->letter, ',', '\0'};
    const char *spelt =
        arena_printf(arena, "  %-3s --%s%s%s", option->letter ? letter : "", option->name,
                     option->argument ? " " : "", option->argument ? option->argument : "");
    const char *meaning = option->meaning;
    for (size_t i = 0; id == OPTION_FORMAT && i < COMMAND_FORMATS && command->formats[i]; i++) {
        meaning = arena_printf(arena, "%s%s%s", meaning, i == 0 ? ": " : ", ", command->formats[i]);
    }
    fprintf(out, "%-*s ", MEANING - 1, spelt);
    help_text(out, MEANING, MEANING, meaning);
}

void command_write_help(FILE *out, const struct command *command)
{
    struct arena arena = {.newest = NULL};
    fprintf(out, "usage: rotortab %s [OPTION]...%s%s\n\n%s\n\n", command->name,
            *command->operands ? " " : "", command->operands, command->summary);
    for (size_t i = 0; i < COMMAND_OPTIONS && command->options[i] != OPTION_NONE; i++) {
        help_option(out, &arena, command, command->options[i]);
    }
    help_option(out, &arena, command, OPTION_HELP);
    arena_free(&arena);
}

void command_overview(FILE *out)
{
    enum { SUMMARY = 14 }; /* the column where summaries begin */
    fputs("usage: rotortab COMMAND [OPTION]... [FILE|FOLDER]...\n\n", out);
    help_text(out, 0, 0,
              "Proves that the numbers of engine definitions agree with each other, and compiles "
              "them into tables for rotor turning devices.");
    fputc('\n', out);
    for (const struct command *command = command_table; command->name; command++) {
        fprintf(out, "  %-11s ", command->name);
        help_text(out, SUMMARY, SUMMARY, command->summary);
    }
    fputc('\n', out);
    help_text(out, 0, 0,
              "'rotortab help COMMAND' shows the options of a command, 'rotortab rules' lists the "
              "rules. It checks arithmetic, not airworthiness: the engine maker's current manual, "
              "local rules and licensed staff decide.");
}

int command_help(struct command_call *call)
{
    if (call->operands.count == 0) {
        command_overview(stdout);
        return RUN_CLEAN;
    }
    const struct command *command = command_find(call->operands.items[0]);
    if (!command) {
        return command_unknown(call->operands.items[0]);
    }
    command_write_help(stdout, command);
    return RUN_CLEAN;
}

int command_version(struct command_call *call)
{
    (void)call;
    printf("rotortab %s\n", ROTORTAB_VERSION);
    return RUN_CLEAN;
}

int command_flush(int status)
{
    (void)fflush(stdout); /* if that fails, the run ends: text/stream.h */
    return run_has_said() ? status : RUN_FAILED;
}
