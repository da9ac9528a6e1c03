#include "text/write.h"

#include "text/folder.h"

#include <dirent.h>
#include <errno.h>
#include <fcntl.h>
#include <limits.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <unistd.h>

enum { LINKS_MOST = 40 }; /* as the system has it */

/* What a file is called until it is in place: short, since a longer name may not be allowed. */
static const char temporary_name[] = ".rotortab-XXXXXX";

bool text_write_to(int fd, const void *bytes, size_t length)
{
    const char *next = bytes;
    while (length != 0) {
        ssize_t written = write(fd, next, length);
        if (written < 0 && errno == EINTR) {
            continue;
        }
        if (written < 0) {
            return false;
        }
        next += written;
        length -= (size_t)written;
    }
    return true;
}

/* The path that a link names, from the folder of the link. */
static const char *follow(struct arena *arena, const char *path)
{
    char name[PATH_MAX];
    ssize_t length = readlink(path, name, sizeof name);
    if (length < 0) {
        return NULL;
    }
    const char *to = arena_copy(arena, name, (size_t)length);
    const char *slash = strrchr(path, '/');
    return *to == '/' || !slash ? to
                                : arena_printf(arena, "%.*s%s", (int)(slash - path) + 1, path, to);
}

/* Whether a path names something that is open already: /proc/self/fd/1, /dev/fd/1. */
static bool is_open_file(const char *path)
{
    const char *process = strncmp(path, "/proc/", 6) == 0 ? strchr(path + 6, '/') : NULL;
    return strncmp(path, "/dev/fd/", 8) == 0 || (process && strncmp(process, "/fd/", 4) == 0);
}

/*
 * Where the links lead; NULL with errno where that is nowhere.  *open is set where they lead to
 * something that is open already (/dev/stdout is a link to /proc/self/fd/1): another file put in
 * its place would not be the one that is open.
 */
static const char *target_of(struct arena *arena, const char *path, bool *open)
{
    for (int links = 0; links < LINKS_MOST; links++) {
        struct stat status;
        *open = is_open_file(path);
        if (*open || lstat(path, &status) != 0 || !S_ISLNK(status.st_mode)) {
            return path;
        }
        path = follow(arena, path);
        if (!path) {
            return NULL;
        }
    }
    errno = ELOOP;
    return NULL;
}

/* At the end of what is there: a file that is open already may hold something. */
static bool write_directly(const struct text_writing *writing)
{
    int fd = open(writing->target, O_WRONLY | O_APPEND | O_CLOEXEC | O_NOCTTY);
    if (fd < 0) {
        return false;
    }
    bool written = text_write_to(fd, writing->bytes, writing->length);
    int saved = errno;
    bool closed = close(fd) == 0;
    errno = written ? errno : saved;
    return written && closed;
}

void text_write_sync(const struct text_writing *writing)
{
    int fd = open(writing->folder, O_RDONLY | O_CLOEXEC);
    if (fd >= 0) {
        (void)fsync(fd); /* some file systems cannot; the file itself is safe */
        close(fd);
    }
}

const char *text_write_target(struct arena *arena, const char *path)
{
    bool open = false;
    return target_of(arena, path, &open);
}

bool text_write_start(struct text_writing *writing, struct arena *arena, const char *path,
                      const void *bytes, size_t length)
{
    struct stat status;
    bool is_open = false;
    *writing = (struct text_writing){.bytes = bytes, .length = length};
    writing->target = target_of(arena, path, &is_open);
    if (!writing->target) {
        return false;
    }
    bool there = stat(writing->target, &status) == 0;
    if (there && S_ISDIR(status.st_mode)) {
        errno = EISDIR;
        return false;
    }
    writing->direct = is_open || (there && !S_ISREG(status.st_mode));
    if (writing->direct) {
        return true;
    }
    writing->folder = text_path_folder(arena, writing->target);
    const char *slash = strrchr(writing->target, '/');
    writing->names[0] =
        arena_printf(arena, "%.*s%s", slash ? (int)(slash - writing->target) + 1 : 0,
                     writing->target, temporary_name);
    writing->names[1] = arena_printf(arena, "%s.before", writing->names[0]);
    mode_t mask = umask(0);
    umask(mask);
    writing->mode = there ? status.st_mode & 0777 : 0666 & ~mask;
    if (there && access(writing->target, W_OK) != 0) {
        return false; /* a file that is write-protected has been protected by somebody */
    }
    return access(writing->folder, W_OK | X_OK) == 0;
}

bool text_write_is_temporary(const char *name)
{
    static const char made[] = "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ0123456789";
    size_t fixed = strcspn(temporary_name, "X");
    return strlen(name) == strlen(temporary_name) && strncmp(name, temporary_name, fixed) == 0 &&
           strspn(name + fixed, made) == strlen(name + fixed);
}

/* A run makes its journal before it dies, so this is asked after the file is locked. */
static bool has_journal(int folder)
{
    struct stat status;
    return fstatat(folder, TEXT_WRITE_JOURNAL, &status, AT_SYMLINK_NOFOLLOW) == 0 ||
           errno != ENOENT;
}

/*
 * Removes a file that a run left which was killed.  A run that lives holds the lock on its own; one
 * that has just put the file in place has taken the name away.
 */
static void remove_left(int folder, const char *name, bool holds_journal)
{
    struct stat opened;
    struct stat named;
    int fd = openat(folder, name, O_RDONLY | O_NOFOLLOW | O_NONBLOCK | O_NOCTTY | O_CLOEXEC);
    if (fd < 0) {
        return;
    }
    if (fstat(fd, &opened) == 0 && S_ISREG(opened.st_mode) && opened.st_uid == geteuid() &&
        flock(fd, LOCK_EX | LOCK_NB) == 0 &&
        fstatat(folder, name, &named, AT_SYMLINK_NOFOLLOW) == 0 && named.st_ino == opened.st_ino &&
        named.st_dev == opened.st_dev && (holds_journal || !has_journal(folder))) {
        (void)unlinkat(folder, name, 0);
    }
    close(fd);
}

void text_write_tidy(const struct text_writing *writing, bool holds_journal)
{
    DIR *folder = opendir(writing->folder); /* if it cannot be listed, nothing is tidied */
    if (!folder) {
        return;
    }
    for (const struct dirent *entry = readdir(folder); entry; entry = readdir(folder)) {
        if (text_write_is_temporary(entry->d_name)) {
            remove_left(dirfd(folder), entry->d_name, holds_journal);
        }
    }
    closedir(folder);
}

/*
 * Opens a file with a new name in the folder of the target; -1 with errno if that fails.  The file
 * is locked, so that another run does not remove it as a leftover.  Another run can remove it
 * before it is locked.  Then the next name is tried.
 */
static int open_temporary(struct text_writing *writing)
{
    char *path = writing->names[0];
    char *name = path + strlen(path) - strlen(temporary_name);
    for (;;) {
        struct stat status;
        memcpy(name, temporary_name, strlen(temporary_name));
        int fd = mkstemp(path);
        if (fd < 0) {
            return -1;
        }
        (void)flock(fd, LOCK_EX); /* where nothing can be locked, nobody tidies either */
        if (fstat(fd, &status) != 0 || status.st_nlink != 0) {
            writing->temporary = path;
            return fd;
        }
        close(fd);
    }
}

bool text_write_beside(struct text_writing *writing)
{
    int fd = open_temporary(writing);
    writing->locked = fd + 1;
    return fd >= 0 && text_write_to(fd, writing->bytes, writing->length) &&
           fchmod(fd, writing->mode) == 0 && fsync(fd) == 0;
}

/* Unlocks the file that was written: it is in place, or removed. */
static void unlock(struct text_writing *writing)
{
    if (writing->locked != 0) {
        close(writing->locked - 1); /* it was synced: nothing can fail now */
        writing->locked = 0;
    }
}

/*
 * A file of the same owner gets a second name, so that the target is never missing.  In a sticky
 * folder the second name of another owner's file could not be removed again.  That file is moved
 * aside, which works only if it may be replaced too.
 */
bool text_write_keep(struct text_writing *writing)
{
    struct stat status;
    if (stat(writing->target, &status) != 0) {
        return errno == ENOENT; /* there is nothing to keep */
    }
    char *kept = writing->names[1];
    memcpy(kept, writing->temporary, strlen(writing->temporary));
    bool own = status.st_uid == geteuid();
    if (!(own && link(writing->target, kept) == 0) && rename(writing->target, kept) != 0) {
        return false;
    }
    writing->kept = kept;
    return true;
}

/* The file has its own name now. */
static void settle_place(struct text_writing *writing)
{
    writing->temporary = NULL;
    writing->placed = true;
    unlock(writing);
}

bool text_write_finish(struct text_writing *writing)
{
    if (writing->direct) {
        return write_directly(writing);
    }
    if (rename(writing->temporary, writing->target) != 0) {
        return false;
    }
    settle_place(writing);
    return true;
}

/* Holds a place that must be free, with an empty file; false with errno where it is not. */
static bool reserve(const char *path)
{
    int fd = open(path, O_WRONLY | O_CREAT | O_EXCL | O_CLOEXEC | O_NOCTTY, 0666);
    bool held = fd >= 0 && close(fd) == 0;
    int saved = errno;
    if (fd >= 0 && !held) {
        (void)unlink(path);
    }
    errno = saved;
    return held;
}

bool text_write_finish_new(struct text_writing *writing)
{
    if (link(writing->temporary, writing->target) == 0) {
        (void)unlink(writing->temporary);
    } else if (errno == EEXIST || !reserve(writing->target)) {
        return false;
    } else if (rename(writing->temporary, writing->target) != 0) { /* links cannot be made here */
        int saved = errno;
        (void)unlink(writing->target);
        errno = saved;
        return false;
    }
    settle_place(writing);
    return true;
}

bool text_write_undo(struct text_writing *writing)
{
    bool back = true;
    if (writing->kept) {
        back = rename(writing->kept, writing->target) == 0;
    } else if (writing->placed) {
        back = unlink(writing->target) == 0;
    }
    int saved = errno;
    if (back) {
        text_write_settle(writing); /* where both names are one file's, rename leaves both */
        writing->placed = false;
    }
    if (writing->temporary) {
        unlink(writing->temporary);
        writing->temporary = NULL;
    }
    unlock(writing);
    errno = saved;
    return back;
}

void text_write_settle(struct text_writing *writing)
{
    if (writing->kept) {
        unlink(writing->kept);
        writing->kept = NULL;
    }
}
