#include "command/git.h"

#include "command/git_run.h"
#include "command/policy.h"

#include <errno.h>
#include <string.h>
#include <unistd.h>

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
    *started = git_start(&git, arena_of(asking), asking->folder, words, -1, quiet);
    if (!*started) {
        return NULL;
    }
    bool told = git_read_word(git.out, arena_of(asking), '\n', &line);
    return git_finish(&git) && told ? line : NULL;
}

/* A shallow clone, as machines make it for a job, lacks what a whole one has. */
static void lacks_revision(const struct asking *asking)
{
    bool started = false;
    const char *const shallow[] = {"rev-parse", "--is-shallow-repository", NULL};
    const char *answer = ask_line(asking, shallow, true, &started);
    bool is_shallow = answer && strcmp(answer, "true") == 0;
    pipeline_fail(asking->pipeline, "there is no revision %s in the git repository %s%s",
                  asking->revision, asking->top,
                  is_shallow ? ": it is a shallow clone, without older commits and perhaps without "
                               "other branches; fetch them, with 'git fetch --unshallow' say"
                             : "; 'git branch --all' and 'git log' show which there are");
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
        pipeline_fail(pipeline,
                      "cannot run git: %s; --base reads the earlier definitions through it: "
                      "install git and see that PATH leads to it, or compare two folders",
                      strerror(errno));
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
        lacks_revision(asking);
        return false;
    }
    return true;
}

/* As in a folder of the working tree. */
static bool is_hidden(const char *path)
{
    return path[0] == '.' || strstr(path, "/.");
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

/* Says that a submodule is left out, unless it stands in the working tree: there it is said. */
static void leave_out(const struct asking *asking, const char *full)
{
    if (access(arena_printf(arena_of(asking), "%s/%s/.git", asking->top, full), F_OK) != 0) {
        command_fail("%s:%s is a submodule: it is left out", asking->revision, full);
    }
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
    if (!tab || strlen(tab + 1) < below) {
        return;
    }
    if (strncmp(line, "160", 3) == 0 && !is_hidden(tab + 1 + below)) {
        leave_out(asking, tab + 1);
    }
    if (strncmp(line, "100", 3) != 0) {
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
    if ((!named && (is_hidden(full + below) || !text_is_source_name(full))) ||
        is_listed(asking, path)) {
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
    if (!started || !git_start(&git, arena, asking->folder, words, -1, false)) {
        return false;
    }
    const char *line = NULL;
    while (git_read_word(git.out, arena, '\0', &line)) {
        take_entry(asking, line, below ? strlen(below) : 0, wanted);
    }
    return git_finish(&git);
}

/*
 * Reads an object as `cat-file --batch` writes it: "HASH blob SIZE", the bytes, a line end.  Of one
 * that is too large for a source no more is kept than shows that.
 */
static bool fetch(FILE *in, struct arena *arena, struct pipeline_item *item)
{
    const char *head = NULL;
    int64_t size = 0;
    if (!git_read_word(in, arena, '\n', &head) || !strstr(head, " blob ")) {
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
        !git_start(&git, arena_of(asking), asking->folder, words, fileno(wanted), false)) {
        return false;
    }
    for (size_t i = asking->first; fine && i < asking->list->count; i++) {
        fine = fetch(git.out, arena_of(asking), &asking->list->items[i]);
    }
    return git_finish(&git) && fine;
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
