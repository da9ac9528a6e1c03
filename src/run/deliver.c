#include "run/deliver.h"

#include "run/journal.h"
#include "run/precious.h"

#include <errno.h>
#include <limits.h>
#include <signal.h>
#include <stdlib.h>
#include <string.h>
#include <sys/resource.h>
#include <sys/stat.h>
#include <unistd.h>

static bool is_output(const char *path)
{
    return strcmp(path, "-") == 0;
}

/*
 * The target of a path, under one name for all paths that lead to it. NULL for a device, which
 * several outputs may share.
 */
static const char *target_of(struct arena *arena, const char *path)
{
    char real[PATH_MAX];
    struct stat status;
    if (is_output(path)) {
        return path;
    }
    path = text_write_target(arena, path);
    if (!path) {
        return NULL; /* it cannot be written: the write reports that */
    }
    if (!text_real_path(path, real)) {
        return path; /* this cannot be written either */
    }
    bool device = stat(real, &status) == 0 && S_ISCHR(status.st_mode);
    return device ? NULL : arena_copy(arena, real, strlen(real));
}

/* The identity of an open file; zero for a pipe or a device, which several outputs may share. */
static struct text_identity identity_of_open(int fd)
{
    struct stat status;
    bool regular = fstat(fd, &status) == 0 && S_ISREG(status.st_mode);
    return regular ? (struct text_identity){status.st_dev, status.st_ino}
                   : (struct text_identity){0, 0};
}

static bool is_same(struct text_identity one, struct text_identity other)
{
    return one.inode != 0 && one.inode == other.inode && one.device == other.device;
}

/*
 * Whether a target is a file that was read: under a name, as standard input, or as the key. The
 * file that --name names counts too, even if it does not exist: an editor may write it later.
 */
static bool is_input(struct arena *arena, const char *path, const char *target,
                     const struct run_inputs *inputs)
{
    struct text_identity identity =
        is_output(path) ? identity_of_open(STDOUT_FILENO) : text_identity_of(path);
    const char *name = inputs->name;
    const char *key = inputs->key;
    const char *named = name ? target_of(arena, name) : NULL;
    return text_seen_has(inputs->seen, identity) ||
           is_same(identity, identity_of_open(STDIN_FILENO)) ||
           (key && is_same(identity, text_identity_of(key))) ||
           (name && is_same(identity, text_identity_of(name))) ||
           (named && target && !is_output(path) && strcmp(named, target) == 0);
}

/* Whether the target may be written; false with a message if not. `fresh`: it may not exist. */
static bool may_take(struct arena *arena, const char *path, const char *target,
                     const struct run_inputs *inputs, bool fresh)
{
    if (is_input(arena, path, target, inputs)) {
        run_error("%s is one of the files that this run reads, so it is not overwritten; name "
                  "another file",
                  is_output(path) ? "standard output" : path);
        return false;
    }
    const char *precious = is_output(path) || fresh ? NULL : run_what_is_precious(arena, path);
    if (precious) {
        run_error("%s is %s, so it is not overwritten; name another file", path, precious);
    }
    return !precious;
}

/* Whether each file has its own target, and no target is a source or a key. */
static bool have_targets(struct arena *arena, const struct run_file *files, size_t count,
                         const struct run_inputs *inputs, bool fresh)
{
    const char **targets = arena_array(arena, count + 1, sizeof *targets);
    for (size_t i = 0; i < count; i++) {
        const char *path = files[i].path;
        targets[i] = target_of(arena, path);
        if (!may_take(arena, path, targets[i], inputs, fresh)) {
            return false;
        }
        for (size_t j = 0; j < i; j++) {
            if (targets[i] && targets[j] && strcmp(targets[i], targets[j]) == 0) {
                run_error("two outputs would be written to %s; name another file for one of them",
                          is_output(path) ? "standard output" : path);
                return false;
            }
        }
    }
    return true;
}

/*
 * The files of one delivery; `failed` is the index of the one that could not be written, or `count`
 * for the journal.
 */
struct delivery {
    struct arena *arena;
    const struct run_file *files;
    struct text_writing *writings;
    size_t count, failed;
    bool fresh;    /* no target may exist */
    int error;     /* errno of that file */
    int *not_back; /* errno of each that cannot be put back, else 0 */
    struct run_journal journal;
};

static bool is_direct(const struct delivery *delivery, size_t i)
{
    return is_output(delivery->files[i].path) || delivery->writings[i].direct;
}

static bool look(struct delivery *delivery, size_t i)
{
    const struct run_file *file = &delivery->files[i];
    return is_output(file->path) || text_write_start(&delivery->writings[i], delivery->arena,
                                                     file->path, file->bytes, file->length);
}

static bool write_direct(struct delivery *delivery, size_t i)
{
    const struct run_file *file = &delivery->files[i];
    if (!is_direct(delivery, i)) {
        return true;
    }
    return is_output(file->path) ? text_write_to(STDOUT_FILENO, file->bytes, file->length)
                                 : text_write_finish(&delivery->writings[i]);
}

/* Whether the file before this one goes to the same folder, which needs a step only once. */
static bool is_in_same_folder(const struct delivery *delivery, size_t i)
{
    return i != 0 && !is_direct(delivery, i) && !is_direct(delivery, i - 1) &&
           strcmp(delivery->writings[i].folder, delivery->writings[i - 1].folder) == 0;
}

/* Asked when the folders are locked, and what killed runs began there is finished. */
static bool is_absent(struct delivery *delivery, size_t i)
{
    struct stat status;
    if (lstat(delivery->files[i].path, &status) == 0) {
        errno = EEXIST;
        return false;
    }
    return errno == ENOENT;
}

static bool write_beside(struct delivery *delivery, size_t i)
{
    struct text_writing *writing = &delivery->writings[i];
    if (is_direct(delivery, i)) {
        return true;
    }
    if (!is_in_same_folder(delivery, i)) {
        text_write_tidy(writing, delivery->journal.held);
    }
    return text_write_beside(writing);
}

/* After the last file no step can fail, so its old content need not be kept. */
static bool put_at_target(struct delivery *delivery, size_t i)
{
    struct text_writing *writing = &delivery->writings[i];
    if (is_direct(delivery, i)) {
        return true;
    }
    bool last = i + 1 == delivery->count;
    return (last || text_write_keep(writing)) && text_write_finish(writing);
}

/* Does one step for each file, up to the first that fails. */
static bool each(struct delivery *delivery, bool step(struct delivery *, size_t))
{
    for (size_t i = 0; i < delivery->count; i++) {
        if (!step(delivery, i)) {
            delivery->error = errno;
            delivery->failed = i;
            return false;
        }
    }
    return true;
}

static bool record(struct delivery *delivery)
{
    bool recorded = run_journal_record(&delivery->journal);
    delivery->error = errno;
    delivery->failed = delivery->count;
    return recorded;
}

/* Restores every target first, and then reports the fault: the report needs memory. */
static int take_back(struct delivery *delivery)
{
    const char *path = delivery->failed == delivery->count ? "the journal of these files"
                                                           : delivery->files[delivery->failed].path;
    bool back = true;
    run_journal_turn_back(&delivery->journal);
    for (size_t i = 0; i < delivery->count; i++) {
        delivery->not_back[i] = text_write_undo(&delivery->writings[i]) ? 0 : errno;
        back = back && delivery->not_back[i] == 0;
    }
    run_journal_close(&delivery->journal, back);
    if (delivery->fresh && delivery->error == EEXIST) {
        run_error("%s exists, and only new files are written here; name another folder", path);
    } else {
        run_error("cannot write %s: %s", is_output(path) ? "to standard output" : path,
                  strerror(delivery->error));
    }
    for (size_t i = 0; i < delivery->count; i++) {
        const struct text_writing *writing = &delivery->writings[i];
        const char *error = strerror(delivery->not_back[i]);
        if (delivery->not_back[i] == 0) {
            continue;
        }
        if (writing->kept) {
            run_error(
                "the old %s cannot be put back: %s; its content is in %s: rename that file back",
                writing->target, error, writing->kept);
        } else {
            run_error("%s is new and cannot be removed: %s; delete it, or compile again",
                      writing->target, error);
        }
    }
    return RUN_FAILED;
}

/*
 * Each file is open until it is at its target, and the usual limit is 1024 open files.  Without
 * more, the file that is one too many cannot be written.
 */
static void allow_open_files(size_t count)
{
    enum { OTHERS = 64 };
    struct rlimit limit;
    rlim_t wanted = (rlim_t)count + OTHERS;
    if (getrlimit(RLIMIT_NOFILE, &limit) == 0 && limit.rlim_cur < wanted) {
        limit.rlim_cur = wanted < limit.rlim_max ? wanted : limit.rlim_max;
        (void)setrlimit(RLIMIT_NOFILE, &limit);
    }
}

/* Writes all files, or restores every target. */
static int write_files(struct delivery *delivery)
{
    if ((delivery->fresh && !each(delivery, is_absent)) || !each(delivery, write_beside) ||
        !record(delivery) || !each(delivery, put_at_target)) {
        return take_back(delivery);
    }
    for (size_t i = 0; i < delivery->count; i++) {
        text_write_settle(&delivery->writings[i]);
    }
    for (size_t i = 0; i < delivery->count; i++) {
        if (!is_direct(delivery, i) && !is_in_same_folder(delivery, i)) {
            text_write_sync(&delivery->writings[i]);
        }
    }
    run_journal_close(&delivery->journal, true);
    return RUN_CLEAN;
}

/* Blocks the signals that end a run until all files are at their targets, which is a short time. */
static int undisturbed(struct delivery *delivery, int write(struct delivery *))
{
    sigset_t held;
    sigset_t before;
    sigemptyset(&held);
    sigaddset(&held, SIGHUP);
    sigaddset(&held, SIGINT);
    sigaddset(&held, SIGPIPE); /* from a message on a closed pipe */
    sigaddset(&held, SIGTERM);
    pthread_sigmask(SIG_BLOCK, &held, &before);
    int status = write(delivery);
    pthread_sigmask(SIG_SETMASK, &before, NULL);
    return status;
}

const char *run_in_folder(struct arena *arena, const char *folder, const char *name)
{
    size_t length = strlen(folder);
    bool ended = length != 0 && folder[length - 1] == '/';
    return arena_printf(arena, "%s%s%s", folder, ended ? "" : "/", name);
}

int run_deliver(struct arena *arena, const struct run_file *files, size_t count,
                const struct run_inputs *inputs, enum run_promise promise)
{
    bool fresh = promise == RUN_A_NEW_SET;
    if (!have_targets(arena, files, count, inputs, fresh)) {
        return RUN_FAILED;
    }
    struct delivery delivery = {.arena = arena, .files = files, .count = count, .fresh = fresh};
    delivery.writings = arena_array(arena, count + 1, sizeof *delivery.writings);
    delivery.not_back = arena_array(arena, count + 1, sizeof *delivery.not_back);
    /*
     * A pipe comes first: its bytes cannot be taken back, and the write can wait for ever.  A new
     * set has none: what is there is refused.
     */
    if (!each(&delivery, look) || (!delivery.fresh && !each(&delivery, write_direct))) {
        return take_back(&delivery);
    }
    const char *problem = run_journal_open(&delivery.journal, arena, delivery.writings, count,
                                           promise != RUN_EACH_FILE);
    if (problem) {
        return run_error("%s", problem);
    }
    allow_open_files(count);
    return undisturbed(&delivery, write_files);
}

static int write_new(struct delivery *delivery)
{
    struct text_writing *writing = &delivery->writings[0];
    text_write_tidy(writing, false);
    if (text_write_beside(writing) && text_write_finish_new(writing)) {
        text_write_sync(writing);
        return RUN_CLEAN;
    }
    delivery->error = errno;
    return take_back(delivery);
}

int run_deliver_new(struct arena *arena, const struct run_file *file)
{
    struct text_writing writing;
    int not_back = 0;
    struct delivery delivery = {
        .arena = arena, .files = file, .writings = &writing, .count = 1, .not_back = &not_back};
    if (!text_write_start(&writing, arena, file->path, file->bytes, file->length)) {
        delivery.error = errno;
        return take_back(&delivery);
    }
    return undisturbed(&delivery, write_new);
}
