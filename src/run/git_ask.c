#include "run/git_ask.h"

#include "exact/quantity.h"

#include <errno.h>
#include <fcntl.h>
#include <spawn.h>
#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>
#include <unistd.h>

extern char **environ;

enum { MOST_WORDS = 8 };

/*
 * The first words of every git command. A bare repository inside the sources is ignored, so are
 * replacement objects, and no setting of the repository starts a program.
 */
static const char *const first_words[] = {"git",
                                          "--no-replace-objects",
                                          "--literal-pathspecs",
                                          "-c",
                                          "safe.bareRepository=explicit",
                                          "-c",
                                          "core.fsmonitor=false",
                                          "-c",
                                          "core.hooksPath=/dev/null",
                                          "-C"};

/* Git fetches nothing: no protocol is allowed, and missing objects stay missing. */
static const char *const settings[] = {"GIT_ALLOW_PROTOCOL=", "GIT_NO_LAZY_FETCH=1"};

/*
 * Whether a setting, "NAME=value", is removed from git's environment. Inside a hook, git has set
 * the place of its repository, and a shell may have set more. Every name that points git to another
 * place begins with GIT_, newer names too.
 */
static bool is_withheld(const char *setting)
{
    static const char *const kept[] = {
        "GIT_CEILING_DIRECTORIES=", "GIT_DISCOVERY_ACROSS_FILESYSTEM=", "GIT_CONFIG_GLOBAL=",
        "GIT_CONFIG_SYSTEM=", "GIT_CONFIG_NOSYSTEM="};
    bool withheld = strncmp(setting, "GIT_", 4) == 0;
    for (size_t i = 0; i < sizeof kept / sizeof *kept; i++) {
        withheld = withheld && strncmp(setting, kept[i], strlen(kept[i])) != 0;
    }
    return withheld;
}

/* The environment that git is run in. */
static char **surroundings(struct arena *arena)
{
    enum { SETTINGS = sizeof settings / sizeof *settings };
    size_t count = 0;
    while (environ[count]) {
        count++;
    }
    char **kept = arena_array(arena, count + SETTINGS + 1, sizeof *kept);
    size_t out = 0;
    for (size_t i = 0; i < count; i++) {
        if (!is_withheld(environ[i])) {
            kept[out++] = environ[i];
        }
    }
    for (size_t i = 0; i < SETTINGS; i++) {
        kept[out++] = arena_copy(arena, settings[i], strlen(settings[i]));
    }
    return kept;
}

/* The words of the command, in the arena and ending with NULL. */
static char **command_line(struct arena *arena, const char *folder, const char *const *words)
{
    enum { FIRST = sizeof first_words / sizeof *first_words };
    char **line = arena_array(arena, FIRST + 1 + MOST_WORDS + 1, sizeof *line);
    size_t count = 0;
    for (size_t i = 0; i < FIRST; i++) {
        line[count++] = arena_copy(arena, first_words[i], strlen(first_words[i]));
    }
    line[count++] = arena_copy(arena, folder, strlen(folder));
    for (size_t i = 0; i < MOST_WORDS && words[i]; i++) {
        line[count++] = arena_copy(arena, words[i], strlen(words[i]));
    }
    return line;
}

/* Connects the input and the output of the child, and drops its messages if `quiet`. */
static int wire(posix_spawn_file_actions_t *actions, int in, int out, bool quiet)
{
    int error =
        in >= 0 ? posix_spawn_file_actions_adddup2(actions, in, STDIN_FILENO)
                : posix_spawn_file_actions_addopen(actions, STDIN_FILENO, "/dev/null", O_RDONLY, 0);
    if (error == 0) {
        error = posix_spawn_file_actions_adddup2(actions, out, STDOUT_FILENO);
    }
    if (error == 0 && quiet) {
        error = posix_spawn_file_actions_addopen(actions, STDERR_FILENO, "/dev/null", O_WRONLY, 0);
    }
    return error;
}

/* Starts git with its output into `out`; returns 0 or an errno. */
static int spawn(struct git *git, char **line, char **environment, int in, int out, bool quiet)
{
    posix_spawn_file_actions_t actions;
    int error = posix_spawn_file_actions_init(&actions);
    if (error != 0) {
        return error;
    }
    error = wire(&actions, in, out, quiet);
    if (error == 0) {
        error = posix_spawnp(&git->process, line[0], &actions, NULL, line, environment);
    }
    posix_spawn_file_actions_destroy(&actions);
    return error;
}

bool git_start(struct git *git, struct arena *arena, const char *folder, const char *const *words,
               int in, bool quiet)
{
    int ends[2];
    if (pipe(ends) != 0) {
        return false;
    }
    (void)fcntl(ends[0], F_SETFD, FD_CLOEXEC);
    (void)fcntl(ends[1], F_SETFD, FD_CLOEXEC);
    git->out = fdopen(ends[0], "rb");
    int error = git->out ? spawn(git, command_line(arena, folder, words), surroundings(arena), in,
                                 ends[1], quiet)
                         : errno;
    close(ends[1]);
    if (error != 0) {
        if (git->out) {
            fclose(git->out);
        } else {
            close(ends[0]);
        }
    }
    errno = error;
    return error == 0;
}

/* Waits until git ends. False with errno if its output was not read or it did not end by itself. */
static bool end(struct git *git, int *exit_status)
{
    int status = 0;
    bool read = !ferror(git->out);
    fclose(git->out);
    while (waitpid(git->process, &status, 0) < 0) {
        if (errno != EINTR) {
            return false;
        }
    }
    *exit_status = WIFEXITED(status) ? WEXITSTATUS(status) : -1;
    errno = !read ? EIO : ECHILD;
    return read && WIFEXITED(status);
}

bool git_finish(struct git *git)
{
    int status = 0;
    return end(git, &status) && status == 0;
}

bool git_read_word(FILE *in, struct arena *arena, int end, const char **out)
{
    char *text = NULL;
    size_t length = 0;
    size_t capacity = 0;
    int c = getc(in);
    if (c == EOF) {
        return false;
    }
    for (; c != EOF && c != end; c = getc(in)) {
        text = arena_grow(arena, text, length, &capacity, 1);
        text[length++] = (char)c;
    }
    *out = arena_copy(arena, text ? text : "", length);
    return true;
}

bool git_line(struct arena *arena, const char *folder, const char *const *words, bool quiet,
              struct git_answer *answer)
{
    struct git git = {.process = -1};
    *answer = (struct git_answer){.line = NULL};
    if (!git_start(&git, arena, folder, words, -1, quiet)) {
        return false;
    }
    const char *line = NULL;
    bool said = git_read_word(git.out, arena, '\n', &line);
    if (!end(&git, &answer->status)) {
        return false;
    }
    answer->line = said && answer->status == 0 ? line : NULL;
    return true;
}

const char *git_holder(struct arena *arena, const char *path)
{
    char *folder = arena_copy(arena, path, strlen(path));
    for (;;) {
        if (access(arena_printf(arena, "%s/.git", folder), F_OK) == 0) {
            return *folder ? folder : "/";
        }
        char *slash = strrchr(folder, '/');
        if (!slash) {
            return NULL;
        }
        *slash = '\0';
    }
}

/* A question to `cat-file` about objects; it asks for each name once. */
struct question {
    struct arena *arena; /* of git's answers and the bytes */
    const char *top;
    const char *type;            /* the type that the objects must have, for a measurement */
    struct git_object **objects; /* sorted by name, so equal names are neighbours */
    size_t count;
    bool broke_off; /* git ended before its last answer */
};

static int by_name(const void *a, const void *b)
{
    const struct git_object *const *left = a;
    const struct git_object *const *right = b;
    return strcmp((*left)->name, (*right)->name);
}

static bool is_new(const struct question *question, size_t i)
{
    return i == 0 || strcmp(question->objects[i - 1]->name, question->objects[i]->name) != 0;
}

/* A question about all objects, or only about those that are wanted. */
static struct question ask_for(struct arena *arena, const char *top, struct git_object *objects,
                               size_t count, bool wanted)
{
    struct question question = {.arena = arena, .top = top};
    question.objects = arena_array(arena, count + 1, sizeof(struct git_object *));
    for (size_t i = 0; i < count; i++) {
        if (!wanted || objects[i].wanted) {
            question.objects[question.count++] = &objects[i];
        }
    }
    qsort(question.objects, question.count, sizeof(struct git_object *), by_name);
    return question;
}

static bool write_names(const struct question *question, FILE *names)
{
    for (size_t i = 0; i < question->count; i++) {
        if (is_new(question, i)) {
            fprintf(names, "%s\n", question->objects[i]->name);
        }
    }
    return fflush(names) == 0 && !ferror(names) && fseek(names, 0, SEEK_SET) == 0;
}

/* Reads git's answer about one object. */
typedef bool take_answer(struct question *question, FILE *in, struct git_object *object);

static bool ask(struct question *question, const char *how, bool quiet, take_answer *take)
{
    struct git git = {.process = -1};
    const char *const words[] = {"cat-file", how, NULL};
    FILE *names = question->count == 0 ? NULL : tmpfile();
    if (!names) {
        return question->count == 0;
    }
    bool fine = write_names(question, names) &&
                git_start(&git, question->arena, question->top, words, fileno(names), quiet);
    if (fine) {
        for (size_t i = 0; fine && i < question->count; i++) {
            struct git_object *object = question->objects[i];
            if (is_new(question, i)) {
                fine = take(question, git.out, object);
            } else {
                const char *name = object->name;
                *object = *question->objects[i - 1];
                object->name = name;
            }
        }
        fine = git_finish(&git) && fine;
    }
    fclose(names);
    return fine;
}

/*
 * Reads a line "HASH TYPE SIZE". If the object is missing or has another type, `there` is false. If
 * git would have to fetch an object, it can end at that point: then this object and all after it
 * count as missing.
 */
static bool take_size(struct question *question, FILE *in, struct git_object *object)
{
    const char *type = question->type;
    const char *line = NULL;
    int64_t size = 0;
    if (!git_read_word(in, question->arena, '\n', &line)) {
        question->broke_off = true;
        return true;
    }
    const char *word = strchr(line, ' ');
    size_t length = strlen(type);
    object->there = word && strncmp(word + 1, type, length) == 0 && word[1 + length] == ' ';
    if (!object->there) {
        return true;
    }
    const char *number = word + 1 + length + 1;
    if (exact_integer_read(number, strlen(number), &size).error != EXACT_QUANTITY_FINE) {
        return false;
    }
    object->size = (size_t)size;
    return true;
}

/* Reads such a line, the bytes and a line end. */
static bool take_bytes(struct question *question, FILE *in, struct git_object *object)
{
    const char *line = NULL;
    if (!git_read_word(in, question->arena, '\n', &line)) {
        return false;
    }
    const char *number = strrchr(line, ' ');
    if (!number || strcmp(number + 1, arena_printf(question->arena, "%zu", object->size)) != 0) {
        return false;
    }
    char *bytes = arena_alloc(question->arena, object->size + 1);
    object->bytes = bytes;
    return fread(bytes, 1, object->size, in) == object->size && getc(in) == '\n';
}

bool git_objects_measure(struct arena *arena, const char *top, const char *type,
                         struct git_object *objects, size_t count)
{
    struct question question = ask_for(arena, top, objects, count, false);
    question.type = type;
    return ask(&question, "--batch-check", true, take_size) || question.broke_off;
}

bool git_objects_read(struct arena *arena, const char *top, struct git_object *objects,
                      size_t count)
{
    struct question question = ask_for(arena, top, objects, count, true);
    return ask(&question, "--batch", false, take_bytes);
}
