#include "run/journal.h"

#include "run/journal_text.h"
#include "run/precious.h"
#include "run/say.h"
#include "text/utf8.h"

#include <errno.h>
#include <fcntl.h>
#include <limits.h>
#include <stdlib.h>
#include <string.h>
#include <sys/file.h>
#include <sys/random.h>
#include <sys/stat.h>
#include <time.h>
#include <unistd.h>

enum { BYTES_MOST = 1 << 26, LOOKS_A_SECOND = 50 };

struct run_journal_part {
    const char *folder; /* as text_write_folder has it */
    const char *path;   /* of the journal in it */
    const char *real;   /* the folder without links */
    struct stat status; /* of the folder */
    int opened;         /* the journal, locked, and 1; 0: there is none */
    bool spent;         /* the journal says nothing any more, and may be removed */
    bool left;          /* a killed run left a whole journal: */
    struct run_journal_text old;
    struct run_journal_text text; /* of this run */
    size_t *members;              /* the writings that its files are */
    char *bytes;
    size_t room;
};

static bool is_same_folder(const struct stat *one, const struct stat *other)
{
    return one->st_ino == other->st_ino && one->st_dev == other->st_dev;
}

/* ---- the folders of a run -------------------------------------------------------------------- */

static int by_inode(const void *a, const void *b)
{
    const struct stat *left = &((const struct run_journal_part *)a)->status;
    const struct stat *right = &((const struct run_journal_part *)b)->status;
    int devices = (left->st_dev > right->st_dev) - (left->st_dev < right->st_dev);
    return devices ? devices : (left->st_ino > right->st_ino) - (left->st_ino < right->st_ino);
}

static struct run_journal_part *part_of(const struct run_journal *journal,
                                        const struct stat *folder)
{
    for (size_t i = 0; i < journal->count; i++) {
        if (is_same_folder(&journal->parts[i].status, folder)) {
            return &journal->parts[i];
        }
    }
    return NULL;
}

/* A folder that cannot be found is left out: the file in it cannot be written, which is said then.
 */
static void add_folder(struct run_journal *journal, const struct text_writing *writing)
{
    struct arena *arena = journal->arena;
    struct stat status;
    char real[PATH_MAX];
    if (stat(writing->folder, &status) != 0 || part_of(journal, &status) ||
        !realpath(writing->folder, real)) {
        return;
    }
    bool here = strcmp(writing->folder, ".") == 0;
    journal->parts[journal->count++] = (struct run_journal_part){
        .folder = writing->folder,
        .path = arena_printf(arena, "%s%s", here ? "" : writing->folder, TEXT_WRITE_JOURNAL),
        .real = arena_copy(arena, real, strlen(real)),
        .status = status};
}

static const char *path_in(struct arena *arena, const struct run_journal_part *part,
                           const char *name)
{
    bool here = strcmp(part->folder, ".") == 0;
    return arena_printf(arena, "%s%s", here ? "" : part->folder, name);
}

/* Makes the names in the folders last. */
static void sync_folders(const struct run_journal *journal)
{
    for (size_t i = 0; i < journal->count; i++) {
        const struct text_writing writing = {.folder = journal->parts[i].folder};
        text_write_sync(&writing);
    }
}

/* ---- opening and locking --------------------------------------------------------------------- */

/* What is wrong with a journal, and what to do. */
static const char *refuse(const struct run_journal *journal, const char *path, const char *reason)
{
    return arena_printf(journal->arena,
                        "%s %s, so this run does not finish what an interrupted run began, and "
                        "writes nothing; look at it, delete it, and run this again",
                        path, reason);
}

static const char *cannot(const struct run_journal *journal, const char *what, const char *path,
                          int error)
{
    return arena_printf(journal->arena, "cannot %s %s: %s", what, path, strerror(error));
}

/* What keeps a journal from being used, by what kind of file it is; NULL: nothing. */
static const char *what_is_wrong(const struct run_journal *journal, const struct stat *status)
{
    if (S_ISLNK(status->st_mode)) {
        return "is a link, and a link can lead to any file";
    }
    if (!S_ISREG(status->st_mode)) {
        return "is not a regular file";
    }
    if (status->st_uid != geteuid() && status->st_uid != 0) {
        return arena_printf(journal->arena, "belongs to user %lu, who is not you and not root",
                            (unsigned long)status->st_uid);
    }
    return status->st_nlink > 1 ? "is a file with a second name" : NULL;
}

enum opening { OPENED, ABSENT, AGAIN, REFUSED };

/* Opens the journal of a folder, or makes it; *made is set then. */
static enum opening open_journal(const struct run_journal *journal,
                                 const struct run_journal_part *part, int *fd, bool *made,
                                 const char **problem)
{
    enum { SAFELY = O_RDWR | O_NOFOLLOW | O_NONBLOCK | O_NOCTTY | O_CLOEXEC };
    struct stat status;
    *made = false;
    if (lstat(part->path, &status) == 0) {
        const char *wrong = what_is_wrong(journal, &status);
        *fd = wrong ? -1 : open(part->path, SAFELY);
        if (wrong) {
            *problem = refuse(journal, part->path, wrong);
            return REFUSED;
        }
    } else if (errno == ENOENT && journal->held) {
        *fd = open(part->path, SAFELY | O_CREAT | O_EXCL, 0644);
        *made = *fd >= 0;
    } else if (errno == ENOENT) {
        return ABSENT;
    } else {
        *fd = -1;
    }
    if (*fd >= 0) {
        return OPENED;
    }
    if (errno == ENOENT || errno == EEXIST) { /* another run has removed or made it meanwhile */
        return AGAIN;
    }
    *problem = cannot(journal, "open", part->path, errno);
    return REFUSED;
}

/* Whether an open journal still has its name: the run that held it removes it before it lets go. */
static bool is_there(const struct run_journal_part *part, int fd)
{
    struct stat opened;
    struct stat named;
    return fstat(fd, &opened) == 0 && lstat(part->path, &named) == 0 &&
           is_same_folder(&opened, &named) && S_ISREG(opened.st_mode);
}

/* Locks what is open. AGAIN: another run holds it. Where nothing can be locked, a new one is held.
 */
static enum opening lock_journal(const struct run_journal *journal,
                                 const struct run_journal_part *part, int fd, bool made,
                                 const char **problem)
{
    if (flock(fd, LOCK_EX | LOCK_NB) == 0 || (errno != EWOULDBLOCK && errno != EINTR && made)) {
        return is_there(part, fd) ? OPENED : AGAIN;
    }
    if (errno == EWOULDBLOCK || errno == EINTR) {
        return journal->held ? AGAIN : ABSENT; /* a living run needs no help */
    }
    *problem = arena_printf(journal->arena,
                            "cannot lock %s: %s; another run may be writing there: if none is, "
                            "delete that file",
                            part->path, strerror(errno));
    return REFUSED;
}

/* Opens and locks the journal of a folder, and waits for another run that writes a set there. */
static const char *hold(const struct run_journal *journal, struct run_journal_part *part)
{
    static const struct timespec pause = {.tv_nsec = 1000000000 / LOOKS_A_SECOND};
    const char *problem = NULL;
    for (int look = 0; look < RUN_JOURNAL_SECONDS * LOOKS_A_SECOND; look++) {
        int fd = -1;
        bool made = false;
        enum opening opening = open_journal(journal, part, &fd, &made, &problem);
        if (opening == OPENED) {
            opening = lock_journal(journal, part, fd, made, &problem);
            part->opened = opening == OPENED ? fd + 1 : 0;
            if (opening != OPENED) {
                close(fd);
            }
        }
        if (opening != AGAIN) {
            return problem;
        }
        (void)nanosleep(&pause, NULL);
    }
    return arena_printf(journal->arena,
                        "another run has held %s for %d seconds, so this run writes nothing; wait "
                        "until it ends, and run this again",
                        part->path, RUN_JOURNAL_SECONDS);
}

/* ---- what killed runs left ------------------------------------------------------------------- */

/* Makes a journal one that says nothing. */
static const char *empty(const struct run_journal *journal, struct run_journal_part *part)
{
    if (ftruncate(part->opened - 1, 0) != 0) {
        return cannot(journal, "empty", part->path, errno);
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
        return cannot(journal, "read", part->path, errno);
    }
    if (status.st_size > BYTES_MOST) {
        return refuse(journal, part->path, "is larger than any journal");
    }
    size_t length = (size_t)status.st_size;
    char *bytes = arena_alloc(journal->arena, length + 1);
    for (size_t done = 0; done < length;) {
        ssize_t more = pread(fd, bytes + done, length - done, (off_t)done);
        if (more < 0 && errno == EINTR) {
            continue;
        }
        if (more <= 0) {
            return cannot(journal, "read", part->path, more < 0 ? errno : EIO);
        }
        done += (size_t)more;
    }
    enum run_journal_state state = run_journal_read(journal->arena, bytes, length, &part->old);
    if (state == RUN_JOURNAL_WRONG) {
        return refuse(journal, part->path, "is not what this program writes");
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
    return *there || errno == ENOENT ? NULL : cannot(journal, "look at", path, errno);
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
        return refuse(journal, part->path,
                      arena_printf(arena, "names %s, which is another file now",
                                   has_new ? temporary : before));
    }
    const char *what = !has_target                ? NULL
                       : !S_ISREG(target.st_mode) ? "not a regular file"
                                                  : run_what_is_precious(arena, place);
    if (what) {
        return refuse(journal, part->path,
                      arena_printf(arena, "would replace %s, which is %s", place, what));
    }
    *writing = (struct text_writing){.target = place,
                                     .folder = part->folder,
                                     .temporary = has_new ? temporary : NULL,
                                     .kept = has_kept ? before : NULL,
                                     .placed = !has_new && has_target && file->old == 0 &&
                                               target.st_ino == file->inode};
    return NULL;
}

/* Renames the rest to the new files, or back to the old ones; it can be begun again at any point.
 */
static const char *switch_file(const struct run_journal *journal, struct text_writing *writing,
                               bool back)
{
    bool done = back ? text_write_undo(writing) : !writing->temporary || text_write_finish(writing);
    if (!done) {
        return cannot(journal, "finish what an interrupted run began at", writing->target, errno);
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
        sync_folders(journal);
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
            return refuse(journal, one->path, "was not written in this folder");
        }
    }
    for (size_t i = 0; i < set->folder_count; i++) {
        if (!parts[i]) {
            return refuse(journal, one->path,
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
            return refuse(journal, one->path,
                          arena_printf(arena, "is of a set whose journal in %s is gone",
                                       set->folders[i].path));
        }
    }
    return NULL;
}

static const char *finish_left(const struct run_journal *journal)
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

/* ---- the set of this run --------------------------------------------------------------------- */

static bool is_member(const struct run_journal *journal, size_t i)
{
    return journal->writings[i].folder != NULL;
}

/* The name of a path without its folder. */
static const char *name_of(const char *path)
{
    const char *slash = strrchr(path, '/');
    return slash ? slash + 1 : path;
}

/* Takes all memory for the record of a part, whose number is `index`. */
static void prepare(struct run_journal *journal, size_t index, const char *id)
{
    struct arena *arena = journal->arena;
    struct run_journal_part *part = &journal->parts[index];
    struct run_journal_text *text = &part->text;
    *text = (struct run_journal_text){.part = index, .folder_count = journal->count};
    memcpy(text->id, id, sizeof text->id);
    text->folders = arena_array(arena, journal->count, sizeof *text->folders);
    for (size_t i = 0; i < journal->count; i++) {
        text->folders[i] =
            (struct run_journal_folder){journal->parts[i].status.st_ino, journal->parts[i].real};
    }
    text->files = arena_array(arena, journal->writing_count, sizeof *text->files);
    part->members = arena_array(arena, journal->writing_count, sizeof *part->members);
    for (size_t i = 0; i < journal->writing_count; i++) {
        struct stat status;
        if (is_member(journal, i) && stat(journal->writings[i].folder, &status) == 0 &&
            is_same_folder(&status, &part->status)) {
            part->members[text->file_count] = i;
            text->files[text->file_count++].target = name_of(journal->writings[i].target);
        }
    }
    part->room = run_journal_room(text);
    part->bytes = arena_alloc(arena, part->room);
}

/* A name for the set that no other set has. */
static bool make_id(char id[RUN_JOURNAL_ID + 1])
{
    static const char digits[] = "0123456789abcdef";
    unsigned char bytes[RUN_JOURNAL_ID];
    if (getrandom(bytes, sizeof bytes, 0) != (ssize_t)sizeof bytes) {
        return false;
    }
    for (size_t i = 0; i < sizeof bytes; i++) {
        id[i] = digits[bytes[i] & 15];
    }
    id[RUN_JOURNAL_ID] = '\0';
    return true;
}

const char *run_journal_open(struct run_journal *journal, struct arena *arena,
                             struct text_writing *writings, size_t count, bool set)
{
    char id[RUN_JOURNAL_ID + 1];
    const char *problem = NULL;
    size_t members = 0;
    *journal = (struct run_journal){.arena = arena, .writings = writings, .writing_count = count};
    journal->parts = arena_array(arena, count + 1, sizeof *journal->parts);
    for (size_t i = 0; i < count; i++) {
        if (is_member(journal, i)) {
            add_folder(journal, &writings[i]);
            members++;
        }
    }
    qsort(journal->parts, journal->count, sizeof *journal->parts, by_inode);
    journal->held = set && members > 1;
    for (size_t i = 0; i < journal->count && !problem; i++) {
        problem = hold(journal, &journal->parts[i]);
    }
    problem = problem ? problem : finish_left(journal);
    if (!problem && journal->held && !make_id(id)) {
        problem = "cannot name a set of files: the system gives no random bytes";
    }
    for (size_t i = 0; i < journal->count && !problem && journal->held; i++) {
        prepare(journal, i, id);
    }
    if (problem || !journal->held) {
        run_journal_close(journal, true);
    }
    return problem;
}

/* The names and inodes are known now. */
static bool fill_in(const struct run_journal *journal, const struct run_journal_part *part)
{
    for (size_t i = 0; i < part->text.file_count; i++) {
        const struct text_writing *writing = &journal->writings[part->members[i]];
        struct run_journal_file *file = &part->text.files[i];
        struct stat new;
        struct stat old;
        bool there = stat(writing->target, &old) == 0;
        if ((!there && errno != ENOENT) || fstat(writing->locked - 1, &new) != 0) {
            return false;
        }
        file->inode = new.st_ino;
        file->old = there ? old.st_ino : 0;
        file->temporary = name_of(writing->temporary);
    }
    return true;
}

static bool record_part(const struct run_journal *journal, const struct run_journal_part *part)
{
    int fd = part->opened - 1;
    if (!fill_in(journal, part)) {
        return false;
    }
    size_t length = run_journal_write(&part->text, part->bytes, part->room);
    return text_write_to(fd, part->bytes, length) && fsync(fd) == 0;
}

bool run_journal_record(struct run_journal *journal)
{
    if (!journal->held) {
        return true;
    }
    sync_folders(journal);
    for (size_t i = journal->count; i-- > 0;) {
        if (!record_part(journal, &journal->parts[i])) {
            return false;
        }
    }
    return true;
}

void run_journal_turn_back(struct run_journal *journal)
{
    if (!journal->held) {
        return;
    }
    int fd = journal->parts[0].opened - 1;
    off_t length = lseek(fd, 0, SEEK_END);
    if (length > RUN_JOURNAL_DIRECTION && lseek(fd, RUN_JOURNAL_DIRECTION, SEEK_SET) >= 0) {
        (void)(text_write_to(fd, "B", 1) && fsync(fd) == 0); /* or this run itself takes all back */
    }
}

void run_journal_close(struct run_journal *journal, bool done)
{
    for (size_t i = 0; i < journal->count; i++) {
        struct run_journal_part *part = &journal->parts[i];
        if (part->opened != 0) {
            if (done && part->spent) {
                (void)unlink(part->path); /* one that stays is finished, or empty */
            }
            close(part->opened - 1);
            part->opened = 0;
        }
    }
    journal->held = false;
}
