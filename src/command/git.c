#include "command/git.h"

#include "command/policy.h"

#include <errno.h>
#include <fcntl.h>
#include <spawn.h>
#include <string.h>
#include <sys/wait.h>
#include <unistd.h>

extern char **environ;

/* git under way: what it writes is read from `out`. */
struct git {
    pid_t process;
    FILE *out;
};

enum { MOST_WORDS = 8 };

/*
 * Starts `git -C folder words...`, words ending with NULL; its input is `in`, -1 for none.  Where
 * it is to be quiet it says nothing on standard error.  False, with errno, where it cannot be
 * started.
 */
static bool start(struct git *git, struct arena *arena, const char *folder,
                  const char *const *words, int in, bool quiet)
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
    int error = posix_spawnp(&git->process, argv[0], &actions, NULL, argv, environ);
    posix_spawn_file_actions_destroy(&actions);
    close(ends[1]);
    git->out = error == 0 ? fdopen(ends[0], "rb") : NULL;
    if (!git->out) {
        close(ends[0]);
        errno = error != 0 ? error : ENOMEM;
    }
    return git->out != NULL;
}

/* Waits for git's end; whether it did what it was asked. */
static bool finish(struct git *git)
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

/* Reads up to the next `end` and drops it; false where nothing is left. */
static bool read_word(FILE *in, struct arena *arena, int end, const char **out)
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

/* What the revision is asked for. */
struct asking {
    struct pipeline *pipeline;
    struct pipeline_items *list;
    const char *revision;
    size_t first;       /* in the list, of the path that is asked for now */
    const char *folder; /* where git is run: there, and at or above the path */
    const char *name;   /* the path below it; NULL for the folder itself */
    const char *top;    /* the working tree's own folder */
    const char *commit; /* the revision's full name */
};

static struct arena *arena_of(const struct asking *asking)
{
    return &asking->pipeline->call->arena;
}

/* Splits the path at the lowest folder that is there. */
static void place(struct asking *asking, const char *path)
{
    struct arena *arena = arena_of(asking);
    char *folder = arena_copy(arena, path, strlen(path));
    size_t length = strlen(folder);
    while (length > 1 && folder[length - 1] == '/') {
        folder[--length] = '\0';
    }
    const char *whole = arena_copy(arena, folder, length);
    asking->folder = folder;
    asking->name = NULL;
    while (!text_is_folder(folder)) {
        char *slash = strrchr(folder, '/');
        if (!slash || slash == folder) {
            asking->folder = slash ? "/" : ".";
            asking->name = slash ? whole + 1 : whole;
            return;
        }
        *slash = '\0';
        asking->name = whole + (slash - folder) + 1;
    }
}

/* The one line that git answers; NULL where it does not, or cannot be started: *started says so. */
static const char *ask_line(const struct asking *asking, const char *const *words, bool quiet,
                            bool *started)
{
    struct git git;
    const char *line = NULL;
    *started = start(&git, arena_of(asking), asking->folder, words, -1, quiet);
    if (!*started) {
        return NULL;
    }
    bool told = read_word(git.out, arena_of(asking), '\n', &line);
    return finish(&git) && told ? line : NULL;
}

/* Finds the repository, which is one for all paths, and in it the commit. */
static bool find_commit(struct asking *asking)
{
    struct pipeline *pipeline = asking->pipeline;
    const char *before = asking->top;
    bool started = false;
    const char *const top[] = {"rev-parse", "--show-toplevel", NULL};
    asking->top = ask_line(asking, top, false, &started);
    if (!started) {
        pipeline_fail(pipeline, "cannot run git: %s", strerror(errno));
        return false;
    }
    if (!asking->top) {
        pipeline_fail(pipeline, "%s is in no git repository that can be read", asking->folder);
        return false;
    }
    if (before && strcmp(before, asking->top) != 0) {
        pipeline_fail(pipeline, "--base is a revision of one repository, and there are two: %s, %s",
                      before, asking->top);
        return false;
    }
    /* With what stands behind it no revision is an option of git's, whatever it begins with. */
    const char *const commit[] = {"rev-parse", "--verify", "--quiet",
                                  arena_printf(arena_of(asking), "%s^{commit}", asking->revision),
                                  NULL};
    asking->commit = ask_line(asking, commit, true, &started);
    if (!asking->commit) {
        pipeline_fail(pipeline, "there is no revision %s in the git repository %s",
                      asking->revision, asking->top);
        return false;
    }
    return true;
}

/* As in a folder of the working tree: the names of sources, hidden ones left out. */
static bool is_source(const char *path)
{
    static const char *const endings[] = {".yaml", ".yml", ".json"};
    size_t length = strlen(path);
    if (path[0] == '.' || strstr(path, "/.")) {
        return false;
    }
    for (size_t i = 0; i < sizeof endings / sizeof *endings; i++) {
        size_t size = strlen(endings[i]);
        if (length > size && strcmp(path + length - size, endings[i]) == 0) {
            return true;
        }
    }
    return false;
}

/* Whether another path of the command line leads to it as well. */
static bool is_listed(const struct asking *asking, const char *path)
{
    for (size_t i = 0; i < asking->first; i++) {
        if (strcmp(asking->list->items[i].path, path) == 0) {
            return true;
        }
    }
    return false;
}

/*
 * Takes a line of ls-tree, "MODE TYPE HASH<tab>PATH" with the path from the top of the tree: adds
 * it to the list, still without its text, and its hash to what is to be fetched.
 */
static void take_entry(struct asking *asking, const char *line, size_t below, FILE *wanted)
{
    struct arena *arena = arena_of(asking);
    struct pipeline_items *list = asking->list;
    const char *tab = strchr(line, '\t');
    if (!tab || strncmp(line, "100", 3) != 0 || strlen(tab + 1) < below) {
        return;
    }
    const char *hash = tab;
    while (hash > line && hash[-1] != ' ') {
        hash--;
    }
    const char *full = tab + 1;
    bool named = asking->name && strcmp(full + below, asking->name) == 0;
    const char *path =
        arena_printf(arena, "%s:%s%s", asking->revision, strchr(full, '/') ? "" : "./", full);
    if ((!named && !is_source(full + below)) || is_listed(asking, path)) {
        return;
    }
    const char *real = arena_printf(arena, "%s/%s", asking->top, full);
    list->items = arena_grow(arena, list->items, list->count, &list->capacity, sizeof *list->items);
    list->items[list->count++] =
        (struct pipeline_item){.path = path,
                               .policy = pipeline_policy_for(asking->pipeline, real),
                               .folder = named ? 0 : list->folder_count};
    fprintf(wanted, "%.*s\n", (int)(tab - hash), hash);
}

/* Lists what the commit has there. */
static bool list_entries(struct asking *asking, FILE *wanted)
{
    struct git git;
    struct arena *arena = arena_of(asking);
    bool started = false;
    const char *const prefix[] = {"rev-parse", "--show-prefix", NULL};
    const char *const words[] = {
        "ls-tree",    "-r", "-z", "--full-name", asking->commit, asking->name ? "--" : NULL,
        asking->name, NULL};
    const char *below = ask_line(asking, prefix, true, &started);
    if (!started || !start(&git, arena, asking->folder, words, -1, false)) {
        return false;
    }
    const char *line = NULL;
    while (read_word(git.out, arena, '\0', &line)) {
        take_entry(asking, line, below ? strlen(below) : 0, wanted);
    }
    return finish(&git);
}

/*
 * Reads an object as `cat-file --batch` writes it: "HASH blob SIZE", the bytes, a line end.  Of one
 * that is too large for a source no more is kept than shows that.
 */
static bool fetch(FILE *in, struct arena *arena, struct pipeline_item *item)
{
    const char *head = NULL;
    int64_t size = 0;
    if (!read_word(in, arena, '\n', &head) || !strstr(head, " blob ")) {
        return false;
    }
    const char *number = strrchr(head, ' ') + 1;
    if (exact_integer_read(number, strlen(number), &size).error != EXACT_QUANTITY_FINE) {
        return false;
    }
    int64_t most = TEXT_FILE_LIMIT + 1;
    size_t kept = (size_t)(size < most ? size : most);
    char *bytes = arena_alloc(arena, kept + 1);
    if (fread(bytes, 1, kept, in) != kept) {
        return false;
    }
    for (int64_t rest = size - (int64_t)kept; rest > 0; rest--) {
        (void)getc(in);
    }
    item->bytes = bytes;
    item->length = kept;
    return getc(in) == '\n';
}

static bool fetch_all(const struct asking *asking, FILE *wanted)
{
    struct git git;
    const char *const words[] = {"cat-file", "--batch", NULL};
    bool fine = true;
    if (fflush(wanted) != 0 || fseek(wanted, 0, SEEK_SET) != 0 ||
        !start(&git, arena_of(asking), asking->folder, words, fileno(wanted), false)) {
        return false;
    }
    for (size_t i = asking->first; fine && i < asking->list->count; i++) {
        fine = fetch(git.out, arena_of(asking), &asking->list->items[i]);
    }
    return finish(&git) && fine;
}

static bool list_path(struct asking *asking, const char *path)
{
    struct pipeline_items *list = asking->list;
    asking->first = list->count;
    place(asking, path);
    if (!find_commit(asking)) {
        return false;
    }
    /* What is not a source is passed over, as below a folder; none at all is no mistake here. */
    list->folders = arena_grow(arena_of(asking), list->folders, list->folder_count,
                               &list->folder_capacity, sizeof *list->folders);
    list->folders[list->folder_count++] = (struct pipeline_folder){path, true};
    FILE *wanted = tmpfile();
    bool fine = wanted && list_entries(asking, wanted) && fetch_all(asking, wanted);
    if (wanted) {
        fclose(wanted);
    }
    if (!fine) {
        pipeline_fail(asking->pipeline, "cannot read %s at %s from git", path, asking->revision);
    }
    return fine;
}

bool command_git_list(struct pipeline *pipeline, const char *revision,
                      const struct command_values *paths, struct pipeline_items *list)
{
    struct asking asking = {.pipeline = pipeline, .list = list, .revision = revision};
    for (size_t i = 0; i < paths->count; i++) {
        if (!list_path(&asking, paths->items[i])) {
            return false;
        }
    }
    return true;
}
