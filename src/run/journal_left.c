/*
 * journal_left.c - what killed runs left: the journals that are still there, and their sets.
 *
 * A whole journal says which files a run was about to switch.  The program looks at each of them
 * before it changes one, and never touches a file that is not the one in the journal. Then it
 * finishes the switch or takes it back. It can begin that again at any point.
 */
#include "run/journal_parts.h"

#include "run/precious.h"
#include "run/say.h"
#include "text/utf8.h"

#include <errno.h>
#include <string.h>
#include <unistd.h>

enum { BYTES_MOST = 1 << 26 };

static const char *path_in(struct arena *arena, const struct run_journal_part *part,
                           const char *name)
{
    bool here = strcmp(part->folder, ".") == 0;
    return arena_printf(arena, "%s%s", here ? "" : part->folder, name);
}

/* Makes a journal one that says nothing. */
static const char *empty(const struct run_journal *journal, struct run_journal_part *part)
{
    if (ftruncate(part->opened - 1, 0) != 0) {
        return run_journal_cannot(journal, "empty", part->path, errno);
    }
    part->left = false;
    part->spent = true;
    return NULL;
}

/* Reads what is in a journal; part->left is set where it is whole. */
static const char *read_left(const struct run_journal *journal, struct run_journal_part *part)
{
    struct stat status;
    int fd = part->opened - 1;
    if (fstat(fd, &status) != 0) {
        return run_journal_cannot(journal, "read", part->path, errno);
    }
    if (status.st_size > BYTES_MOST) {
        return run_journal_refuse(journal, part->path, "is larger than any journal");
    }
    size_t length = (size_t)status.st_size;
    char *bytes = arena_alloc(journal->arena, length + 1);
    for (size_t done = 0; done < length;) {
        ssize_t more = pread(fd, bytes + done, length - done, (off_t)done);
        if (more < 0 && errno == EINTR) {
            continue;
        }
        if (more <= 0) {
            return run_journal_cannot(journal, "read", part->path, more < 0 ? errno : EIO);
        }
        done += (size_t)more;
    }
    enum run_journal_state state = run_journal_read(journal->arena, bytes, length, &part->old);
    if (state == RUN_JOURNAL_WRONG) {
        return run_journal_refuse(journal, part->path, "is not what this program writes");
    }
    part->left = state == RUN_JOURNAL_WHOLE;
    return part->left ? NULL : empty(journal, part);
}

/* The folder of this run that a journal names. */
static struct run_journal_part *find_folder(const struct run_journal *journal,
                                            const struct run_journal_folder *folder)
{
    for (size_t i = 0; i < journal->count; i++) {
        struct run_journal_part *part = &journal->parts[i];
        if (part->status.st_ino == folder->inode && strcmp(part->real, folder->path) == 0) {
            return part;
        }
    }
    return NULL;
}

static bool is_of_set(const struct run_journal_part *part, const struct run_journal_text *set,
                      size_t index)
{
    return part->left && part->old.part == index && strcmp(part->old.id, set->id) == 0;
}

/* What is at a path: false with a sentence if it cannot be seen; *there is false if nothing is. */
static const char *look_at(const struct run_journal *journal, const char *path, struct stat *status,
                           bool *there)
{
    *there = lstat(path, status) == 0;
    return *there || errno == ENOENT ? NULL : run_journal_cannot(journal, "look at", path, errno);
}

/* Whether a file of a journal is as the run left it, and may be replaced; it is filled in. */
static const char *check_file(const struct run_journal *journal,
                              const struct run_journal_part *part,
                              const struct run_journal_file *file, struct text_writing *writing)
{
    struct arena *arena = journal->arena;
    struct stat new;
    struct stat target;
    struct stat kept;
    bool has_new = false;
    bool has_target = false;
    bool has_kept = false;
    const char *temporary = path_in(arena, part, file->temporary);
    const char *before = arena_printf(arena, "%s.before", temporary);
    const char *place = path_in(arena, part, file->target);
    const char *problem = look_at(journal, temporary, &new, &has_new);
    problem = problem ? problem : look_at(journal, place, &target, &has_target);
    problem = problem ? problem : look_at(journal, before, &kept, &has_kept);
    if (problem) {
        return problem;
    }
    if ((has_new && (!S_ISREG(new.st_mode) || new.st_ino != file->inode)) ||
        (has_kept && (!S_ISREG(kept.st_mode) || kept.st_ino != file->old))) {
        return run_journal_refuse(journal, part->path,
                                  arena_printf(arena, "names %s, which is another file now",
                                               has_new ? temporary : before));
    }
    bool placed = !has_new && has_target && file->old == 0 && target.st_ino == file->inode;
    bool stays = placed && !part->old.back; /* a new source that is in its place already */
    const char *what = !has_target || stays       ? NULL
                       : !S_ISREG(target.st_mode) ? "not a regular file"
                                                  : run_what_is_precious(arena, place);
    if (what) {
        return run_journal_refuse(
            journal, part->path, arena_printf(arena, "would replace %s, which is %s", place, what));
    }
    *writing = (struct text_writing){.target = place,
                                     .folder = part->folder,
                                     .temporary = has_new ? temporary : NULL,
                                     .kept = has_kept ? before : NULL,
                                     .placed = placed};
    return NULL;
}

/* Renames the rest to the new files, or back to the old ones; it can be begun again at any point.
 */
static const char *switch_file(const struct run_journal *journal, struct text_writing *writing,
                               bool back)
{
    bool done = back ? text_write_undo(writing) : !writing->temporary || text_write_finish(writing);
    if (!done) {
        return run_journal_cannot(journal, "finish what an interrupted run began at",
                                  writing->target, errno);
    }
    text_write_settle(writing);
    return NULL;
}

/* Looks at each file of a set before it changes one of them. */
static const char *finish_set(const struct run_journal *journal, const struct run_journal_text *set,
                              struct run_journal_part *const *parts)
{
    size_t count = 0;
    for (size_t i = 0; i < set->folder_count; i++) {
        count += parts[i]->old.file_count;
    }
    struct text_writing *writings = arena_array(journal->arena, count + 1, sizeof *writings);
    const char *problem = NULL;
    size_t checked = 0;
    for (size_t i = 0; i < set->folder_count; i++) {
        const struct run_journal_text *part = &parts[i]->old;
        for (size_t j = 0; j < part->file_count && !problem; j++) {
            problem = check_file(journal, parts[i], &part->files[j], &writings[checked++]);
        }
    }
    for (size_t i = 0; i < count && !problem; i++) {
        problem = switch_file(journal, &writings[i], parts[0]->old.back);
    }
    if (!problem) {
        run_journal_sync(journal);
        run_confirm(text_clean(journal->arena,
                               arena_printf(journal->arena, "%s: an interrupted run is %s first",
                                            parts[0]->path,
                                            parts[0]->old.back ? "taken back" : "finished")));
    }
    return problem;
}

/* The parts of a set that one of them names. If it was not new yet, *begun is false. */
static const char *find_set(const struct run_journal *journal, const struct run_journal_part *one,
                            struct run_journal_part **parts, bool *begun)
{
    struct arena *arena = journal->arena;
    const struct run_journal_text *set = &one->old;
    for (size_t i = 0; i < set->folder_count; i++) {
        parts[i] = find_folder(journal, &set->folders[i]);
        if (i == set->part && parts[i] != one) {
            return run_journal_refuse(journal, one->path, "was not written in this folder");
        }
    }
    for (size_t i = 0; i < set->folder_count; i++) {
        if (!parts[i]) {
            return run_journal_refuse(
                journal, one->path,
                arena_printf(arena,
                             "is of a set that has files in %s too, which this run does "
                             "not write into",
                             set->folders[i].path));
        }
        if (parts[i]->opened == 0 && access(parts[i]->path, F_OK) == 0) {
            return arena_printf(arena,
                                "another run writes into %s, so this run writes nothing; wait "
                                "until it ends, and run this again",
                                set->folders[i].path);
        }
    }
    *begun = is_of_set(parts[0], set, 0);
    for (size_t i = 1; i < set->folder_count && *begun; i++) {
        if (!is_of_set(parts[i], set, i)) {
            return run_journal_refuse(journal, one->path,
                                      arena_printf(arena, "is of a set whose journal in %s is gone",
                                                   set->folders[i].path));
        }
    }
    return NULL;
}

const char *run_journal_finish_left(const struct run_journal *journal)
{
    const char *problem = NULL;
    for (size_t i = 0; i < journal->count && !problem; i++) {
        if (journal->parts[i].opened != 0) {
            problem = read_left(journal, &journal->parts[i]);
        }
    }
    for (size_t i = 0; i < journal->count && !problem; i++) {
        const struct run_journal_part *one = &journal->parts[i];
        if (!one->left) {
            continue;
        }
        struct run_journal_text set = one->old;
        struct run_journal_part **parts =
            arena_array(journal->arena, set.folder_count, sizeof(struct run_journal_part *));
        bool begun = false;
        problem = find_set(journal, one, parts, &begun);
        problem = problem || !begun ? problem : finish_set(journal, &set, parts);
        /* The first part first: without it the others say nothing. */
        for (size_t j = 0; j < set.folder_count && !problem; j++) {
            problem = is_of_set(parts[j], &set, j) ? empty(journal, parts[j]) : NULL;
        }
    }
    return problem;
}
