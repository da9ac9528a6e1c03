#include "editor/fleet.h"

#include "editor/document.h"

#include <errno.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>

enum { NAMES_MOST = 50000 }; /* in a folder and below it; a home folder can have millions */

/* A file of the folders, as it was when it was read. */
struct known_file {
    const char *path;
    struct text_identity identity;
    off_t size;
    struct timespec written, changed;
    size_t source; /* in the set; SIZE_MAX: it has no names */
};

struct editor_known {
    struct arena arena;
    struct rules_set set;
    struct known_file *files; /* sorted by their paths */
    size_t count;
    const char *folder, *problem;
};

void editor_fleet_add(struct editor_fleet *fleet, const char *folder)
{
    struct arena *arena = &fleet->arena;
    char real[PATH_MAX];
    size_t length = strlen(folder);
    while (length > 1 && folder[length - 1] == '/') {
        length--;
    }
    const char *path = arena_copy(arena, folder, length);
    bool known = text_real_path(path, real);
    text_paths_add(&fleet->folders, arena, path);
    text_paths_add(&fleet->reals, arena, known ? arena_copy(arena, real, strlen(real)) : path);
    fleet->stale = true;
}

/* Whether a path is a folder or a path below it. */
static bool is_below(const char *path, const char *folder)
{
    size_t length = strlen(folder);
    length -= length > 0 && folder[length - 1] == '/';
    return strncmp(path, folder, length) == 0 && (path[length] == '/' || path[length] == '\0');
}

/* Whether a document is in one of the folders. */
static bool is_member(const struct editor_fleet *fleet, const struct editor_document *document)
{
    bool member = false;
    for (size_t i = 0; i < fleet->folders.count && !member; i++) {
        member = (document->in_file && is_below(document->path, fleet->folders.items[i])) ||
                 (document->real && is_below(document->real, fleet->reals.items[i]));
    }
    return member;
}

void editor_fleet_remove(struct editor_fleet *fleet, const char *folder)
{
    struct text_paths *folders = &fleet->folders;
    size_t kept = 0;
    for (size_t i = 0; i < folders->count; i++) {
        if (!is_below(folder, folders->items[i]) || !is_below(folders->items[i], folder)) {
            folders->items[kept] = folders->items[i];
            fleet->reals.items[kept++] = fleet->reals.items[i];
        }
    }
    folders->count = kept;
    fleet->reals.count = kept;
    fleet->stale = true;
}

void editor_fleet_look(struct editor_fleet *fleet)
{
    fleet->stale = fleet->stale || fleet->folders.count != 0;
}

static void end_known(struct editor_known *known)
{
    if (known) {
        arena_free(&known->arena);
        free(known);
    }
}

void editor_fleet_end(struct editor_fleet *fleet)
{
    end_known(fleet->known);
    arena_free(&fleet->arena);
    *fleet = (struct editor_fleet){.known = NULL};
}

const char *editor_fleet_problem(const struct editor_fleet *fleet, const char **folder)
{
    *folder = fleet->known ? fleet->known->folder : NULL;
    return fleet->known ? fleet->known->problem : NULL;
}

static int by_path(const void *a, const void *b)
{
    return strcmp(((const struct known_file *)a)->path, ((const struct known_file *)b)->path);
}

static bool is_same_time(struct timespec a, struct timespec b)
{
    return a.tv_sec == b.tv_sec && a.tv_nsec == b.tv_nsec;
}

/* The file as it was known, if nobody has written to it since; else NULL. */
static const struct known_file *find_unchanged(const struct editor_known *before,
                                               const struct known_file *file)
{
    const struct known_file *known =
        before && before->count != 0
            ? bsearch(file, before->files, before->count, sizeof *file, by_path)
            : NULL;
    bool same = known && known->identity.device == file->identity.device &&
                known->identity.inode == file->identity.inode && known->size == file->size &&
                is_same_time(known->written, file->written) &&
                is_same_time(known->changed, file->changed);
    return same ? known : NULL;
}

/* Reads the names in a file.  It is parsed only if it is meant as a source. */
static void read_names(struct editor_known *known, struct known_file *file, struct arena *scratch)
{
    struct findings unread;
    struct model_source source = {.kind = MODEL_KINDS};
    arena_reset(scratch);
    findings_start(&unread, scratch);
    unread.unread = true;
    if (text_file_load(&source.file, file->path, scratch, &unread) != TEXT_LOADED ||
        run_is_foreign(file->path, &source)) {
        return;
    }
    model_source_parse(&source, scratch, &unread);
    if (source.engine || source.device) {
        file->source = known->set.source_count;
        rules_set_add(&known->set, &source);
    }
}

/* Lists the folders; the paths are in `scratch`. */
static void list_folders(struct editor_known *known, const struct text_paths *folders,
                         struct arena *scratch, struct text_paths *paths)
{
    for (size_t i = 0; i < folders->count; i++) {
        const char *at = NULL;
        size_t left = NAMES_MOST;
        bool fine = text_folder_list_first(folders->items[i], scratch, paths, &left, &at);
        if (fine && left != 0) {
            continue;
        }
        const char *reason =
            fine ? arena_printf(&known->arena, "there are more than %d files in %s", NAMES_MOST,
                                folders->items[i])
                 : arena_printf(&known->arena, "cannot read %s: %s", at, strerror(errno));
        known->folder = folders->items[i];
        known->problem =
            arena_printf(&known->arena,
                         "%s\nDesignations are not compared with all files of the folder.\nOpen "
                         "the folder of the definitions itself.",
                         reason);
    }
}

/* Looks at the folders; what has not changed is taken from what was known. */
static struct editor_known *look(const struct text_paths *folders,
                                 const struct editor_known *before)
{
    struct editor_known *known = memory_get(sizeof *known);
    struct arena scratch = {.newest = NULL};
    struct arena listing = {.newest = NULL};
    struct text_paths paths = {NULL, 0, 0};
    struct stat status;
    *known = (struct editor_known){.arena.newest = NULL};
    rules_set_start(&known->set, &known->arena, false);
    list_folders(known, folders, &listing, &paths);
    known->files = arena_array(&known->arena, paths.count + 1, sizeof *known->files);
    for (size_t i = 0; i < paths.count; i++) {
        if (stat(paths.items[i], &status) == 0 && S_ISREG(status.st_mode)) {
            known->files[known->count++] = (struct known_file){
                .path = arena_copy(&known->arena, paths.items[i], strlen(paths.items[i])),
                .identity = {status.st_dev, status.st_ino},
                .size = status.st_size,
                .written = status.st_mtim,
                .changed = status.st_ctim,
                .source = SIZE_MAX,
            };
        }
    }
    if (known->count != 0) {
        qsort(known->files, known->count, sizeof *known->files, by_path);
    }
    for (size_t i = 0; i < known->count; i++) {
        struct known_file *file = &known->files[i];
        const struct known_file *unchanged = find_unchanged(before, file);
        if (!unchanged) {
            read_names(known, file, &scratch);
        } else if (unchanged->source != SIZE_MAX) {
            file->source = known->set.source_count;
            rules_set_add_again(&known->set, &before->set, unchanged->source);
        }
    }
    arena_free(&scratch);
    arena_free(&listing);
    return known;
}

/* A source of the set: an open document, or a file that is known. */
struct member {
    const char *path;
    struct text_identity identity;
    const struct editor_document *document; /* NULL: it is not open */
    size_t source;                          /* in the known set, if it is not open */
};

struct members {
    struct arena *arena;
    struct member *items;
    size_t count, capacity;
};

static void add_member(struct members *members, struct member member)
{
    members->items = arena_grow(members->arena, members->items, members->count, &members->capacity,
                                sizeof *members->items);
    members->items[members->count++] = member;
}

static int by_member_path(const void *a, const void *b)
{
    return strcmp(((const struct member *)a)->path, ((const struct member *)b)->path);
}

/* The sources in the order in which `check` of a folder takes them. */
static struct members list_members(struct editor_documents *documents)
{
    struct members members = {.arena = &documents->arena};
    struct text_seen open = {.arena = &documents->arena};
    const char *device = documents->run.options.device;
    const struct editor_document *profile = device ? editor_at_path(documents, device) : NULL;
    const struct editor_known *known = documents->fleet.known;
    for (const struct editor_document *at = documents->first; at; at = at->next) {
        const struct model_source *source = &at->file.source;
        const struct text_identity identity = text_identity_of(at->path);
        (void)text_seen_add(&open, identity);
        if ((source->engine || source->device) && at != profile &&
            is_member(&documents->fleet, at)) {
            add_member(&members, (struct member){at->path, identity, at, 0});
        }
    }
    for (size_t i = 0; known && i < known->count; i++) {
        const struct known_file *file = &known->files[i];
        if (file->source != SIZE_MAX && !text_seen_has(&open, file->identity)) {
            add_member(&members, (struct member){file->path, file->identity, NULL, file->source});
        }
    }
    if (members.count != 0) {
        qsort(members.items, members.count, sizeof *members.items, by_member_path);
    }
    return members;
}

/* The text of a file that is not open, or that of its document. */
static const struct text_file *text_of(struct editor_documents *documents,
                                       const struct text_file *file)
{
    struct arena *arena = &documents->arena;
    for (const struct editor_document *at = documents->first; at; at = at->next) {
        if (strcmp(at->file.source.file.path, file->path) == 0) {
            return &at->file.source.file;
        }
    }
    const struct editor_document *document = editor_at_path(documents, file->path);
    if (document || file->bytes) {
        return document ? &document->file.source.file : file;
    }
    struct findings unread;
    struct text_file *loaded = arena_alloc(arena, sizeof *loaded);
    findings_start(&unread, arena);
    if (text_file_load(loaded, file->path, arena, &unread) != TEXT_LOADED) {
        loaded->bytes = NULL;
    }
    return loaded;
}

/* The texts that were looked for; a file can have many findings. */
struct texts {
    struct editor_documents *documents;
    struct text_pair {
        const struct text_file *named, *text;
    } * items;
    size_t count, capacity;
};

static void find_text(struct texts *texts, struct span *at)
{
    for (size_t i = 0; i < texts->count; i++) {
        if (texts->items[i].named == at->file) {
            at->file = texts->items[i].text;
            return;
        }
    }
    texts->items = arena_grow(&texts->documents->arena, texts->items, texts->count,
                              &texts->capacity, sizeof *texts->items);
    struct text_pair *pair = &texts->items[texts->count++];
    *pair = (struct text_pair){at->file, text_of(texts->documents, at->file)};
    at->file = pair->text;
}

void editor_fleet_judge(struct editor_documents *documents)
{
    struct run *run = &documents->run;
    struct editor_fleet *fleet = &documents->fleet;
    struct findings *findings = &documents->together;
    if (fleet->stale) {
        struct editor_known *before = fleet->known;
        fleet->known = look(&fleet->folders, before);
        end_known(before);
        fleet->stale = false;
    }
    if (run->options.device) {
        (void)text_seen_add(&run->seen, text_identity_of(run->options.device));
    }
    struct members members = list_members(documents);
    for (size_t i = 0; i < members.count; i++) {
        const struct member *member = &members.items[i];
        if (!text_seen_add(&run->seen, member->identity)) {
            continue;
        }
        if (member->document) {
            rules_set_add(&run->set, &member->document->file.source);
        } else {
            rules_set_add_again(&run->set, &fleet->known->set, member->source);
        }
    }
    findings_start(findings, &documents->arena);
    findings_bound(findings, MODEL_FINDINGS_MOST);
    run_judge_set(run, findings);
    struct texts texts = {.documents = documents};
    for (size_t i = 0; i < findings->count; i++) {
        find_text(&texts, &findings->items[i]->at);
        for (struct finding_note *note = findings->items[i]->notes; note; note = note->next) {
            find_text(&texts, &note->at);
        }
    }
}
