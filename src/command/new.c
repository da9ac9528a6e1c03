/*
 * new.c - a commented source file to fill in: from options, or by asking on a terminal.
 */
#include "command/command.h"
#include "report/form.h"
#include "report/template.h"
#include "run/cross_check.h"
#include "run/deliver.h"
#include "run/nearest.h"
#include "text/near.h"
#include "text/stream.h"
#include "text/utf8.h"

#include <errno.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

/* Whether a value can be written: UTF-8 in which nothing is hidden, on one line. */
static bool can_be_written(const char *value)
{
    size_t length = strlen(value);
    size_t size = 1;
    for (size_t i = 0; i < length; i += size) {
        uint32_t code = 0;
        size = text_utf8_decode(value + i, length - i, &code);
        if (size == 0 || text_is_hidden(code) || code == 0x2028 || code == 0x2029) {
            return false;
        }
    }
    return true;
}

/*
 * Keeps only the errors that a blank cannot cause, and returns their number. The first `read`
 * findings come from reading and concern one value each. If there is a blank, the later findings
 * can disappear when it is filled in.
 */
static size_t keep_errors(struct findings *findings, size_t read)
{
    size_t errors = 0;
    bool blank = false;
    for (size_t i = 0; i < read; i++) {
        blank = blank || findings->items[i]->rule == RULE_MISSING_KEY;
    }
    for (size_t i = 0; i < findings->count; i++) {
        struct finding *finding = findings->items[i];
        bool error = finding_counts_as(finding) == SEVERITY_ERROR &&
                     finding->rule != RULE_MISSING_KEY && !(blank && i >= read);
        errors += error;
        if (!error) {
            finding_leave_out(finding);
        }
    }
    return errors;
}

/*
 * Judges the text of a form by the default policy: each value alone if a blank is left, else all of
 * it as check does. False if check would find an error: it has been said. `path` is the name of the
 * file, "-": standard output.
 */
static bool passes_check(struct command_call *call, const char *path, const char *text,
                         size_t length)
{
    struct run_judged form;
    struct model_policy policy = {.at = {.state = MODEL_ABSENT}};
    struct report_sink sink = command_sink(call, stderr, REPORT_TEXT);
    struct run_standard standard = {.policy = &policy, .device_policy = &policy};
    const char *problem =
        run_today(&call->arena, command_value(call, OPTION_TODAY), &standard.today);
    if (problem) {
        run_error("%s", problem);
        return false;
    }
    model_policy_complete(&policy);
    run_judge_start(&form, &call->arena);
    run_read_text(&form, path, text, length);
    run_judge(&form, &standard);
    if (keep_errors(&form.findings, form.read) == 0) {
        return true;
    }
    report_findings(&sink, &form.findings);
    run_error("check refuses a value of --set, so no file was written; correct the value, or leave "
              "it out and fill in the blank");
    return false;
}

struct answers {
    struct command_call *call;
    const char *id;
    const char *spools; /* as they were given, for keys that name a spool */
    bool ask;
    bool failed;               /* an answer could not be read; that has been said */
    bool *used;                /* one for each --set: the file has this key */
    struct command_values has; /* the paths of all keys of the file */
};

/* The value of --set PATH=VALUE, or NULL. */
static const char *given(const struct answers *answers, const char *path)
{
    const struct command_values *sets = &answers->call->options[OPTION_SET];
    size_t length = strlen(path);
    const char *value = NULL;
    for (size_t i = 0; i < sets->count; i++) {
        if (strncmp(sets->items[i], path, length) == 0 && sets->items[i][length] == '=') {
            value = sets->items[i] + length + 1;
            answers->used[i] = true;
        }
    }
    return value;
}

/* Whether one of these texts begins with path[0..length) and a '/'. */
static bool any_below(const struct command_values *texts, const char *path, size_t length)
{
    for (size_t i = 0; i < texts->count; i++) {
        if (strncmp(texts->items[i], path, length) == 0 && texts->items[i][length] == '/') {
            return true;
        }
    }
    return false;
}

/* A line from the terminal; NULL for an empty one. */
static const char *ask_once(struct answers *answers, const char *path,
                            const struct model_field *field)
{
    char *line = NULL;
    size_t length = 0;
    size_t capacity = 0;
    fprintf(stderr, "%s (%s", path, field->meaning);
    const struct model_word_row *row = field->words;
    for (bool first = true; row && row->word && !row->alias; row++, first = false) {
        fprintf(stderr, "%s%s", first ? ": " : ", ", row->word);
    }
    fprintf(stderr, "%s)? ", report_template_has_ids(field) ? "; ids, separated by commas" : "");
    fflush(stderr); /* a question has no line end */
    int c = getchar();
    for (; c != EOF && c != '\n'; c = getchar()) {
        line = arena_grow(&answers->call->arena, line, length, &capacity, 1);
        line[length++] = (char)c;
    }
    while (length > 0 && line[length - 1] == '\r') {
        length--;
    }
    answers->ask = c != EOF; /* after the end of the input the rest stays blank */
    if (ferror(stdin)) {
        run_error("cannot read the answers: %s", strerror(errno));
        answers->failed = true;
    }
    return length > 0 ? arena_copy(&answers->call->arena, line, length) : NULL;
}

/* The same, repeated until the answer can be written. */
static const char *ask(struct answers *answers, const char *path, const struct model_field *field)
{
    const char *answer = ask_once(answers, path, field);
    while (answer && !can_be_written(answer)) {
        run_say("the answer has an invisible character in it, or is not UTF-8; type it again");
        answer = ask_once(answers, path, field);
    }
    return answer;
}

static const char *fill(void *context, const char *path, const struct model_field *field)
{
    struct answers *answers = context;
    struct command_values *has = &answers->has;
    has->items = arena_grow(&answers->call->arena, has->items, has->count, &has->capacity,
                            sizeof *has->items);
    has->items[has->count++] = arena_copy(&answers->call->arena, path, strlen(path));
    const char *value = given(answers, path);
    if (!value && field->type == MODEL_RECORD) {
        return any_below(&answers->call->options[OPTION_SET], path, strlen(path)) ? "" : NULL;
    }
    if (!value && strcmp(path, "id") == 0) {
        return answers->id;
    }
    /* With one spool, every stage and pad belongs to it. */
    const char *name = strrchr(path, '/');
    if (!value && name && strcmp(name, "/spool") == 0 && answers->spools &&
        !strchr(answers->spools, ',')) {
        return answers->spools;
    }
    if (!value && answers->ask &&
        (field->required || field->asked_for || report_template_has_ids(field))) {
        value = ask(answers, path, field);
    }
    if (value && strcmp(path, "spools") == 0) {
        answers->spools = value;
    }
    return value;
}

/* Says that the file has no key path[0..length), with a guess at the right one. */
static void say_no_place(const struct answers *answers, const char *path, size_t length)
{
    /* LIST/ID/KEY: perhaps the id was not given */
    size_t list = strcspn(path, "/");
    size_t item = list < length ? list + 1 + strcspn(path + list + 1, "/") : length;
    if (item < length && !any_below(&answers->has, path, item)) {
        for (size_t i = 0; i < answers->has.count; i++) {
            const char *known = answers->has.items[i];
            if (strlen(known) == list && strncmp(known, path, list) == 0 &&
                any_below(&answers->has, known, list)) {
                run_error("--set %.*s: there is no %.*s; add it to --set %s=...", (int)length, path,
                          (int)(item - list - 1), path + list + 1, known);
                return;
            }
        }
    }
    struct text_near near = text_near_start(path, length);
    for (size_t i = 0; i < answers->has.count; i++) {
        text_near_try(&near, answers->has.items[i]);
    }
    const char *best = text_near_best(&near);
    run_error("the file has no key %.*s%s%s%s", (int)length, path, best ? ". Did you mean " : "",
              best ? best : "", best ? "?" : "");
}

/* Whether the file has a key for every --set; false if not: that has been said. */
static bool sets_fit(const struct answers *answers)
{
    const struct command_values *sets = &answers->call->options[OPTION_SET];
    for (size_t i = 0; i < sets->count; i++) {
        if (sets->items[i][0] == '=' || !strchr(sets->items[i], '=')) {
            run_error("--set takes KEY=VALUE, not %s", sets->items[i]);
            return false;
        }
        if (!can_be_written(sets->items[i])) {
            run_error("--set %s: the value has an invisible character in it, or is not UTF-8 on "
                      "one line; write it without",
                      sets->items[i]);
            return false;
        }
    }
    for (size_t i = 0; i < sets->count; i++) {
        if (!answers->used[i]) {
            say_no_place(answers, sets->items[i], strcspn(sets->items[i], "="));
            return false;
        }
    }
    const char *id = given(answers, "id");
    if (id && strcmp(id, answers->id) != 0) {
        run_error("--set id=%s: the id is %s already, from the command line; leave out --set id",
                  id, answers->id);
        return false;
    }
    return true;
}

/* Makes the form in memory, so that no half-finished file is ever found as a definition. */
static void make_form(struct answers *answers, enum model_kind kind, struct text_stream *form)
{
    FILE *out = text_stream_open(form, &answers->call->arena);
    report_template(out, kind, fill, answers, &answers->call->arena);
    text_stream_close(form, out);
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

static int fail_existing(const char *path)
{
    return run_error("%s exists already and stays as it is; name another file with --output", path);
}

/*
 * The next step, in words. They are made before the file is written, because after that nothing may
 * fail.
 */
static const char *what_next(struct arena *arena, const char *path, enum model_kind kind)
{
    const char *name = text_path_name(path);
    const char *unfound = kind == MODEL_POLICY_KIND && strcmp(name, RUN_POLICY_NAME) != 0
                              ? "\nname it with --policy; without that only " RUN_POLICY_NAME
                                " is used"
                          : kind == MODEL_REGISTER_KIND && strcmp(name, RUN_REGISTER_NAME) != 0
                              ? "\nrename it; only " RUN_REGISTER_NAME " is used"
                              : "";
    const char *shown = text_clean(arena, path);
    return arena_printf(arena, "%s was written; fill in its blanks, then: rotortab check %s%s",
                        shown, shown, unfound);
}

/* Reads the definition whose cross-check is wanted; NULL if it has errors: they have been said. */
static const struct model_engine *read_definition(struct command_call *call, const char *path)
{
    struct run_judged *file = arena_alloc(&call->arena, sizeof *file);
    struct report_sink sink = command_sink(call, stderr, REPORT_TEXT);
    run_judge_start(file, &call->arena);
    if (text_is_folder(path) || !run_read(file, path)) {
        run_error("cannot read %s: %s", path, strerror(text_is_folder(path) ? EISDIR : errno));
        return NULL;
    }
    if (findings_with(&file->findings, SEVERITY_ERROR) != 0) {
        report_findings(&sink, &file->findings);
        run_error("%s has errors, so its form would be incomplete; correct it first", path);
        return NULL;
    }
    if (!file->source.engine) {
        run_error("%s is not an engine definition", path);
        return NULL;
    }
    return file->source.engine;
}

static void confirm(const struct command_call *call, const char *done)
{
    if (call->options[OPTION_QUIET].count == 0) {
        run_confirm(done);
    }
}

/* Writes the form of a cross-check beside its definition. */
static int write_cross_check(struct command_call *call)
{
    struct arena *arena = &call->arena;
    const char *definition = call->operands.items[0];
    const char *path = command_value(call, OPTION_NEW_FILE);
    struct stat there;
    if (command_value(call, OPTION_KIND) || command_value(call, OPTION_SET)) {
        return run_error("--cross-check takes its names from the definition; leave out --%s",
                         command_value(call, OPTION_KIND) ? "kind" : "set");
    }
    path = path ? path : run_cross_check_path(arena, definition);
    if (!path) {
        return run_error("--cross-check takes a definition like quern-12.engine.yaml, not %s; name "
                         "the file to write with --output",
                         definition);
    }
    bool to_stdout = strcmp(path, "-") == 0;
    if (!to_stdout && lstat(path, &there) == 0) {
        return fail_existing(path);
    }
    const struct model_engine *engine = read_definition(call, definition);
    if (!engine) {
        return RUN_FAILED;
    }
    struct text_stream form;
    FILE *out = text_stream_open(&form, arena);
    report_cross_check_form(out, engine, arena);
    text_stream_close(&form, out);
    if (to_stdout) {
        fwrite(form.bytes, 1, form.length, stdout);
        return RUN_CLEAN;
    }
    const char *done = arena_printf(
        arena, "%s was written; let a second person fill it in, then: rotortab check %s",
        text_clean(arena, path), text_clean(arena, definition));
    const struct run_file file = {path, form.bytes, form.length};
    if (!run_has_said() || run_deliver_new(arena, &file) != RUN_CLEAN) {
        return RUN_FAILED;
    }
    confirm(call, done);
    return RUN_CLEAN;
}

int command_new(struct command_call *call)
{
    if (command_value(call, OPTION_CROSS_CHECK)) {
        return write_cross_check(call);
    }
    const char *id = call->operands.items[0];
    enum model_kind kind = kind_of(call);
    if (kind == MODEL_KINDS || kind == MODEL_CROSS_CHECK_KIND) {
        return run_error(
            "--kind is engine-definition, device-profile, policy or source-register, not %s",
            command_value(call, OPTION_KIND));
    }
    if (!model_is_id(id, strlen(id), false)) {
        const char *example = model_id_from(&call->arena, id);
        return run_error("%s is not an id: use lower-case letters, digits and single hyphens%s%s",
                         id, example ? "; for example " : "", example ? example : "");
    }
    const char *path = command_value(call, OPTION_NEW_FILE);
    if (!path) {
        path = arena_printf(&call->arena, "%s%s.yaml", id, model_kinds[kind].extension);
    }
    bool to_stdout = strcmp(path, "-") == 0;
    struct stat there;
    if (!to_stdout && lstat(path, &there) == 0) {
        return fail_existing(path); /* before the first question */
    }
    size_t sets = call->options[OPTION_SET].count;
    struct answers answers = {.call = call,
                              .id = id,
                              .ask = sets == 0 && isatty(STDIN_FILENO),
                              .used = arena_array(&call->arena, sets + 1, sizeof(bool))};
    struct text_stream form;
    make_form(&answers, kind, &form);
    bool fine = !answers.failed && sets_fit(&answers) &&
                (sets == 0 || passes_check(call, path, form.bytes, form.length));
    const char *done = what_next(&call->arena, path, kind);
    if (fine && to_stdout) {
        fwrite(form.bytes, 1, form.length, stdout);
    } else if (fine) {
        const struct run_file file = {path, form.bytes, form.length};
        fine = run_has_said() && run_deliver_new(&call->arena, &file) == RUN_CLEAN;
    }
    if (fine && !to_stdout) {
        confirm(call, done);
    }
    return fine ? RUN_CLEAN : RUN_FAILED;
}

/* Without an operand: what it is, and which kinds of files there are. */
void command_new_misused(struct command_call *call)
{
    const char *kind = kind_of(call) == MODEL_KINDS ? NULL : command_value(call, OPTION_KIND);
    if (call->operands.count != 0) {
        return;
    }
    if (call->options[OPTION_CROSS_CHECK].count != 0) {
        run_say("Name the definition that a second person reads.");
        return;
    }
    run_say("Name the new file by its id: rotortab new%s%s windrow-9", kind ? " --kind " : "",
            kind ? kind : "");
    run_say("The kinds for --kind: %s.", command_option(OPTION_KIND)->meaning);
}
