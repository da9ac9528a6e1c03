#include "command/deliver.h"

#include "command/precious.h"
#include "text/write.h"

#include <errno.h>
#include <limits.h>
#include <signal.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

static bool is_output(const char *path)
{
    return strcmp(path, "-") == 0;
}

/* A place under one name, whatever path leads to it; NULL for a device, which takes any number. */
static const char *target_of(struct arena *arena, const char *path)
{
    char real[PATH_MAX];
    struct stat status;
    if (is_output(path)) {
        return path;
    }
    path = text_write_target(arena, path);
    if (!path) {
        return NULL; /* it cannot be written: that is said when it is tried */
    }
    if (realpath(path, real)) {
        bool device = stat(real, &status) == 0 && S_ISCHR(status.st_mode);
        return device ? NULL : arena_copy(arena, real, strlen(real));
    }
    const char *slash = strrchr(path, '/');
    if (!realpath(text_write_folder(arena, path), real)) {
        return path; /* nor can this */
    }
    return arena_printf(arena, "%s/%s", real, slash ? slash + 1 : path);
}

/* The identity of an open file; none of a pipe or a device, which many can share. */
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
 * Whether a place is that of a file which was read: under a name, as standard input, or as the key.
 * What --name names is one too, and need not be there: an editor may not have written it yet.
 */
static bool is_input(struct command_call *call, const char *path, const char *target,
                     const struct text_seen *inputs)
{
    struct text_identity identity =
        is_output(path) ? identity_of_open(STDOUT_FILENO) : text_identity_of(path);
    const char *name = command_value(call, OPTION_NAME);
    const char *key = command_value(call, OPTION_SIGN);
    const char *named = name ? target_of(&call->arena, name) : NULL;
    return text_seen_has(inputs, identity) || is_same(identity, identity_of_open(STDIN_FILENO)) ||
           (key && is_same(identity, text_identity_of(key))) ||
           (name && is_same(identity, text_identity_of(name))) ||
           (named && target && !is_output(path) && strcmp(named, target) == 0);
}

/* Whether the place is free for this file; false with a message where it is not. */
static bool may_take(struct command_call *call, const char *path, const char *target,
                     const struct text_seen *inputs)
{
    if (is_input(call, path, target, inputs)) {
        command_fail("%s is one of the files that this is made of; name another place",
                     is_output(path) ? "standard output" : path);
        return false;
    }
    const char *precious = is_output(path) ? NULL : command_precious(&call->arena, path);
    if (precious) {
        command_fail("%s is %s, and no output replaces one; name another place", path, precious);
    }
    return !precious;
}

/* Whether each file has a place of its own, where nothing is lost that somebody wrote. */
static bool have_targets(struct command_call *call, const struct command_file *files, size_t count,
                         const struct text_seen *inputs)
{
    const char **targets = arena_array(&call->arena, count + 1, sizeof *targets);
    for (size_t i = 0; i < count; i++) {
        const char *path = files[i].path;
        targets[i] = target_of(&call->arena, path);
        if (!may_take(call, path, targets[i], inputs)) {
            return false;
        }
        for (size_t j = 0; j < i; j++) {
            if (targets[i] && targets[j] && strcmp(targets[i], targets[j]) == 0) {
                command_fail("two files would be written to %s; name another place for one",
                             is_output(path) ? "standard output" : path);
                return false;
            }
        }
    }
    return true;
}

/* The files on their way; `failed` tells which could not be written. */
struct delivery {
    struct arena *arena;
    const struct command_file *files;
    struct text_writing *writings;
    size_t count, failed;
    int error;     /* errno of that one */
    int *not_back; /* errno of each that cannot be put back, else 0 */
};

static bool is_direct(const struct delivery *delivery, size_t i)
{
    return is_output(delivery->files[i].path) || delivery->writings[i].direct;
}

static bool look(struct delivery *delivery, size_t i)
{
    const struct command_file *file = &delivery->files[i];
    return is_output(file->path) || text_write_start(&delivery->writings[i], delivery->arena,
                                                     file->path, file->bytes, file->length);
}

static bool write_direct(struct delivery *delivery, size_t i)
{
    const struct command_file *file = &delivery->files[i];
    if (!is_direct(delivery, i)) {
        return true;
    }
    return is_output(file->path) ? text_write_to(STDOUT_FILENO, file->bytes, file->length)
                                 : text_write_finish(&delivery->writings[i]);
}

static bool write_beside(struct delivery *delivery, size_t i)
{
    return is_direct(delivery, i) || text_write_beside(&delivery->writings[i]);
}

/* Behind the last one nothing is left that could fail: its place is never without a file. */
static bool put_at_target(struct delivery *delivery, size_t i)
{
    struct text_writing *writing = &delivery->writings[i];
    if (is_direct(delivery, i)) {
        return true;
    }
    bool last = i + 1 == delivery->count;
    return (last || text_write_keep(writing)) && text_write_finish(writing);
}

/* Takes a step with each file, up to the first that fails. */
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

/* Every place as it was; then what is the matter, which takes memory. */
static int take_back(struct delivery *delivery)
{
    const char *path = delivery->files[delivery->failed].path;
    for (size_t i = 0; i < delivery->count; i++) {
        delivery->not_back[i] = text_write_undo(&delivery->writings[i]) ? 0 : errno;
    }
    command_fail("cannot write %s: %s", is_output(path) ? "to standard output" : path,
                 strerror(delivery->error));
    for (size_t i = 0; i < delivery->count; i++) {
        const struct text_writing *writing = &delivery->writings[i];
        const char *error = strerror(delivery->not_back[i]);
        if (delivery->not_back[i] == 0) {
            continue;
        }
        if (writing->kept) {
            command_fail("%s cannot be put back as it was: %s; what it was is in %s, rename that",
                         writing->target, error, writing->kept);
        } else {
            command_fail("%s is new and cannot be removed: %s; remove it, or compile again",
                         writing->target, error);
        }
    }
    return COMMAND_FAILED;
}

/* Writes what comes into a place, or leaves every place as it was. */
static int write_files(struct delivery *delivery)
{
    if (!each(delivery, write_beside) || !each(delivery, put_at_target)) {
        return take_back(delivery);
    }
    for (size_t i = 0; i < delivery->count; i++) {
        text_write_settle(&delivery->writings[i]);
    }
    return COMMAND_CLEAN;
}

/* Whoever ends the run while files are written, which is short, ends it when all are in place. */
static int undisturbed(struct delivery *delivery, int write(struct delivery *))
{
    sigset_t held;
    sigset_t before;
    sigemptyset(&held);
    sigaddset(&held, SIGHUP);
    sigaddset(&held, SIGINT);
    sigaddset(&held, SIGPIPE); /* of a message that nobody reads */
    sigaddset(&held, SIGTERM);
    pthread_sigmask(SIG_BLOCK, &held, &before);
    int status = write(delivery);
    pthread_sigmask(SIG_SETMASK, &before, NULL);
    return status;
}

int command_deliver(struct command_call *call, const struct command_file *files, size_t count,
                    const struct text_seen *inputs)
{
    if (!have_targets(call, files, count, inputs)) {
        return COMMAND_FAILED;
    }
    struct delivery delivery = {.arena = &call->arena, .files = files, .count = count};
    delivery.writings = arena_array(&call->arena, count + 1, sizeof *delivery.writings);
    delivery.not_back = arena_array(&call->arena, count + 1, sizeof *delivery.not_back);
    /* What goes into a pipe cannot be taken back and may wait for ever: nothing else is begun. */
    if (!each(&delivery, look) || !each(&delivery, write_direct)) {
        return take_back(&delivery);
    }
    return undisturbed(&delivery, write_files);
}

static int write_new(struct delivery *delivery)
{
    struct text_writing *writing = &delivery->writings[0];
    if (text_write_beside(writing) && text_write_finish_new(writing)) {
        return COMMAND_CLEAN;
    }
    delivery->error = errno;
    return take_back(delivery);
}

int command_deliver_new(struct command_call *call, const struct command_file *file)
{
    struct text_writing writing;
    int not_back = 0;
    struct delivery delivery = {.arena = &call->arena,
                                .files = file,
                                .writings = &writing,
                                .count = 1,
                                .not_back = &not_back};
    if (!text_write_start(&writing, &call->arena, file->path, file->bytes, file->length)) {
        delivery.error = errno;
        return take_back(&delivery);
    }
    return undisturbed(&delivery, write_new);
}
