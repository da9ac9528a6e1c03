#include "command/git_run.h"

#include <errno.h>
#include <fcntl.h>
#include <spawn.h>
#include <stdlib.h>
#include <string.h>
#include <sys/wait.h>
#include <unistd.h>

extern char **environ;

enum { MOST_WORDS = 8 };

/* Whether a setting, "NAME=value", is one by which git tells its hooks where they are run. */
static bool is_of_hook(const char *setting)
{
    static const char *const names[] = {"GIT_DIR=", "GIT_INDEX_FILE=", "GIT_PREFIX="};
    bool found = false;
    for (size_t i = 0; i < sizeof names / sizeof *names; i++) {
        found = found || strncmp(setting, names[i], strlen(names[i])) == 0;
    }
    return found;
}

/*
 * The environment that git is run in.  In a hook git has set GIT_DIR, and without GIT_WORK_TREE it
 * would take any folder for the top of the working tree: without both it finds the repository by
 * the folder.  Who has set both has said which one is meant.
 */
static char **surroundings(struct arena *arena)
{
    size_t count = 0;
    while (environ[count]) {
        count++;
    }
    char **kept = arena_array(arena, count + 1, sizeof *kept);
    bool meant = getenv("GIT_WORK_TREE") != NULL;
    size_t out = 0;
    for (size_t i = 0; i < count; i++) {
        if (meant || !is_of_hook(environ[i])) {
            kept[out++] = environ[i];
        }
    }
    return kept;
}

bool git_start(struct git *git, struct arena *arena, const char *folder, const char *const *words,
               int in, bool quiet)
{
    const char *const first[] = {"git", "--literal-pathspecs", "-C", folder};
    char *argv[sizeof first / sizeof *first + MOST_WORDS + 1] = {NULL};
    posix_spawn_file_actions_t actions;
    int ends[2];
    size_t count = 0;
    for (size_t i = 0; i < sizeof first / sizeof *first; i++) {
        argv[count++] = arena_copy(arena, first[i], strlen(first[i]));
    }
    for (size_t i = 0; i < MOST_WORDS && words[i]; i++) {
        argv[count++] = arena_copy(arena, words[i], strlen(words[i]));
    }
    if (pipe(ends) != 0) {
        return false;
    }
    fcntl(ends[0], F_SETFD, FD_CLOEXEC);
    fcntl(ends[1], F_SETFD, FD_CLOEXEC);
    posix_spawn_file_actions_init(&actions);
    if (in >= 0) {
        posix_spawn_file_actions_adddup2(&actions, in, STDIN_FILENO);
    } else {
        posix_spawn_file_actions_addopen(&actions, STDIN_FILENO, "/dev/null", O_RDONLY, 0);
    }
    posix_spawn_file_actions_adddup2(&actions, ends[1], STDOUT_FILENO);
    if (quiet) {
        posix_spawn_file_actions_addopen(&actions, STDERR_FILENO, "/dev/null", O_WRONLY, 0);
    }
    int error = posix_spawnp(&git->process, argv[0], &actions, NULL, argv, surroundings(arena));
    posix_spawn_file_actions_destroy(&actions);
    close(ends[1]);
    git->out = error == 0 ? fdopen(ends[0], "rb") : NULL;
    if (!git->out) {
        close(ends[0]);
        errno = error != 0 ? error : ENOMEM;
    }
    return git->out != NULL;
}

bool git_finish(struct git *git)
{
    int status = 0;
    fclose(git->out);
    while (waitpid(git->process, &status, 0) < 0) {
        if (errno != EINTR) {
            return false;
        }
    }
    return WIFEXITED(status) && WEXITSTATUS(status) == 0;
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
