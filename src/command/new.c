/*
 * new.c - a commented source file to fill in: from options, or by asking on a terminal.
 */
#include "command/command.h"
#include "report/template.h"

#include <errno.h>
#include <fcntl.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

struct answers {
    struct command_call *call;
    const char *id;
    const char *spools; /* as they were given, for what names one of them */
    bool ask;
};

/* The value of --set PATH=VALUE, or NULL. */
static const char *given(const struct answers *answers, const char *path)
{
    const struct command_values *sets = &answers->call->options[OPTION_SET];
    size_t length = strlen(path);
    for (size_t i = sets->count; i-- > 0;) {
        if (strncmp(sets->items[i], path, length) == 0 && sets->items[i][length] == '=') {
            return sets->items[i] + length + 1;
        }
    }
    return NULL;
}

/* A line from the terminal; NULL for an empty one. */
static const char *ask(struct answers *answers, const char *path, const struct model_field *field)
{
    char *line = NULL;
    size_t capacity = 0;
    fprintf(stderr, "%s (%s", path, field->meaning);
    const struct model_word_row *row = field->words;
    for (bool first = true; row && row->word && !row->alias; row++, first = false) {
        fprintf(stderr, "%s%s", first ? ": " : ", ", row->word);
    }
    fprintf(stderr, "%s)? ", field->type == MODEL_RECORDS ? "; ids with commas" : "");
    ssize_t length = getline(&line, &capacity, stdin);
    while (length > 0 && (line[length - 1] == '\n' || line[length - 1] == '\r')) {
        length--;
    }
    answers->ask = length >= 0; /* at the end of the input the rest stays blank */
    const char *answer =
        length > 0 ? arena_copy(&answers->call->arena, line, (size_t)length) : NULL;
    free(line);
    return answer;
}

static const char *fill(void *context, const char *path, const struct model_field *field)
{
    struct answers *answers = context;
    const char *value = given(answers, path);
    if (!value && strcmp(path, "id") == 0) {
        return answers->id;
    }
    /* Where there is one spool, nothing can sit on another. */
    const char *name = strrchr(path, '/');
    if (!value && name && strcmp(name, "/spool") == 0 && answers->spools &&
        !strchr(answers->spools, ',')) {
        return answers->spools;
    }
    if (!value && answers->ask &&
        (field->required || field->asked_for || field->type == MODEL_RECORDS)) {
        value = ask(answers, path, field);
    }
    if (value && strcmp(path, "spools") == 0) {
        answers->spools = value;
    }
    return value;
}

static enum model_kind kind_of(const struct command_call *call)
{
    const char *name = command_value(call, OPTION_KIND);
    for (int kind = 0; name && kind < MODEL_KINDS; kind++) {
        if (strcmp(model_kinds[kind].key, name) == 0) {
            return (enum model_kind)kind;
        }
    }
    return name ? MODEL_KINDS : MODEL_ENGINE_KIND;
}

/* Opens the file that must not be there yet; NULL with a message where it is, or cannot be made. */
static FILE *create(const char *path)
{
    int fd = open(path, O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC, 0666);
    if (fd < 0) {
        command_fail(errno == EEXIST ? "%s is there already and is left as it is%s"
                                     : "cannot write %s: %s",
                     path, errno == EEXIST ? "" : strerror(errno));
        return NULL;
    }
    return fdopen(fd, "w");
}

int command_new(struct command_call *call)
{
    const char *id = call->operands.items[0];
    enum model_kind kind = kind_of(call);
    if (kind == MODEL_KINDS) {
        return command_fail("--kind is engine-definition, device-profile or policy, not %s",
                            command_value(call, OPTION_KIND));
    }
    if (!model_is_id(id, strlen(id), false)) {
        return command_fail("%s is not an id: lower-case letters, digits and single hyphens", id);
    }
    const char *path = command_value(call, OPTION_OUTPUT);
    if (!path) {
        path = arena_printf(&call->arena, "%s%s.yaml", id, model_kinds[kind].extension);
    }
    for (size_t i = 0; i < call->options[OPTION_SET].count; i++) {
        if (!strchr(call->options[OPTION_SET].items[i], '=')) {
            return command_fail("--set takes KEY=VALUE, not %s",
                                call->options[OPTION_SET].items[i]);
        }
    }
    bool to_stdout = strcmp(path, "-") == 0;
    FILE *out = to_stdout ? stdout : create(path);
    if (!out) {
        return COMMAND_FAILED;
    }
    struct answers answers = {call, id, NULL,
                              call->options[OPTION_SET].count == 0 && isatty(STDIN_FILENO)};
    report_template(out, kind, fill, &answers, &call->arena);
    if (to_stdout) {
        return COMMAND_CLEAN;
    }
    bool failed = ferror(out) != 0;
    if (fclose(out) != 0 || failed) {
        unlink(path);
        return command_fail("cannot write %s: %s", path, strerror(errno));
    }
    fprintf(stderr, "%s is there; fill in its blanks, then: rotortab check %s\n", path, path);
    return COMMAND_CLEAN;
}
