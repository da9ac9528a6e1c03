/*
 * journal_lock.c - opening the journal of a folder, and waiting for the run that holds it.
 *
 * Anybody may put a file of this name into a folder.  So a run opens it only if it is a regular
 * file of this user, with one name.  The lock is the kernel's: it ends with the process that
 * holds it. A run removes its journal before it unlocks it.  A locked file without its name is
 * therefore not the journal any more, and the run looks again.
 */
#include "run/journal_parts.h"

#include <errno.h>
#include <fcntl.h>
#include <string.h>
#include <sys/file.h>
#include <time.h>
#include <unistd.h>

enum { LOOKS_A_SECOND = 50 };

const char *run_journal_refuse(const struct run_journal *journal, const char *path,
                               const char *reason)
{
    return arena_printf(journal->arena,
                        "%s %s, so this run does not finish what an interrupted run began, and "
                        "writes nothing; look at it, delete it, and run this again",
                        path, reason);
}

const char *run_journal_cannot(const struct run_journal *journal, const char *what,
                               const char *path, int error)
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
            *problem = run_journal_refuse(journal, part->path, wrong);
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
    *problem = run_journal_cannot(journal, "open", part->path, errno);
    return REFUSED;
}

/* Whether an open journal still has its name: the run that held it removes it before it unlocks it.
 */
static bool is_there(const struct run_journal_part *part, int fd)
{
    struct stat opened;
    struct stat named;
    return fstat(fd, &opened) == 0 && lstat(part->path, &named) == 0 &&
           run_journal_is_same(&opened, &named) && S_ISREG(opened.st_mode);
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

const char *run_journal_hold(const struct run_journal *journal, struct run_journal_part *part)
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
