/*
 * failing.c - loaded before a program, it runs the program again and again, each time with other
 * calls that fail: one of them, or that one and all later ones. Or it kills the program before one.
 *
 * FAILING_CALLS says which calls count. "memory": malloc and its relatives, also in the C library
 * and other libraries. "files": the calls of the program itself that write and place files, and
 * start threads. With KILLED, so do calls that open, lock, shorten and remove files, and they never
 * fail. FAILING_SOCKET is the number of a socket. A struct request asks for a run, and a
 * struct answer says how it ended. The program is loaded only once: each run is a fork of the
 * process before its main(). Standard input is read from its beginning, and standard output and
 * standard error are emptied before a run, so all three must be files. A run ends after SECONDS.
 *
 * The count of calls is in memory that is shared, so it is right however the run ends.
 */
#define _GNU_SOURCE
#include <dlfcn.h>
#include <errno.h>
#include <fcntl.h>
#include <pthread.h>
#include <signal.h>
#include <stdarg.h>
#include <stdatomic.h>
#include <stdbool.h>
#include <stddef.h>
#include <stdint.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <sys/file.h>
#include <sys/mman.h>
#include <sys/socket.h>
#include <sys/stat.h>
#include <sys/wait.h>
#include <unistd.h>

enum { NOTHING, MEMORY, FILES, SECONDS = 60 };

enum { LATER_TOO, ONCE, KILLED };

/*
 * The first call that fails, from 1; 0: none fails. With LATER_TOO all later ones fail, with ONCE
 * they work again. With KILLED the program is killed before that call.
 */
struct request {
    uint64_t first, once;
};

/* The status as wait() gives it, and the number of calls. */
struct answer {
    uint64_t status, count;
};

static int counted = NOTHING;
static _Atomic uint64_t *count;
static struct request asked;
static bool begun = false;
static volatile bool looking = false; /* dlsym can call malloc, against its description */

/* Memory for requests before malloc is found; it is never freed. */
static _Alignas(max_align_t) char early[1 << 20];
static size_t early_used = 0;

static void *early_alloc(size_t size)
{
    size = (size + 15) / 16 * 16;
    if (size > sizeof early - early_used) {
        abort();
    }
    early_used += size;
    return early + early_used - size;
}

static bool is_early(const void *piece)
{
    return (const char *)piece >= early && (const char *)piece < early + sizeof early;
}

/*
 * The function of that name that would be called without this file. NULL before begin(), when a
 * sanitizer may not be ready yet, and during the search, which can ask for memory itself.
 */
#define NEXT(name)                                                                                 \
    static __typeof__(&name) next;                                                                 \
    if (!next && begun && !looking) {                                                              \
        looking = true;                                                                            \
        next = (__typeof__(&name))dlsym(RTLD_NEXT, #name);                                         \
        looking = false;                                                                           \
    }

/* The same for functions that are not called before begin(), so it cannot be missing. */
#define CALL(name)                                                                                 \
    static __typeof__(&name) next;                                                                 \
    if (!next) {                                                                                   \
        next = (__typeof__(&name))dlsym(RTLD_NEXT, #name);                                         \
    }

static bool fails(int kind, int error)
{
    if (counted != kind) {
        return false;
    }
    uint64_t number = atomic_fetch_add(count, 1) + 1;
    if (asked.once == KILLED && number == asked.first) {
        raise(SIGKILL);
    }
    bool fails = asked.first != 0 &&
                 (number == asked.first || (asked.once == LATER_TOO && number > asked.first));
    errno = fails ? error : errno;
    return fails;
}

void *malloc(size_t size)
{
    NEXT(malloc)
    return fails(MEMORY, ENOMEM) ? NULL : next ? next(size) : early_alloc(size);
}

void *calloc(size_t number, size_t size)
{
    NEXT(calloc)
    return fails(MEMORY, ENOMEM) ? NULL : next ? next(number, size) : early_alloc(number * size);
}

void *realloc(void *piece, size_t size)
{
    NEXT(realloc)
    if (fails(MEMORY, ENOMEM)) {
        return NULL;
    }
    if (next && !is_early(piece)) {
        return next(piece, size);
    }
    void *larger = malloc(size);
    if (larger && piece) {
        size_t room = (size_t)(early + sizeof early - (char *)piece);
        memcpy(larger, piece, size < room ? size : room);
    }
    return larger;
}

void *reallocarray(void *piece, size_t number, size_t size)
{
    CALL(reallocarray)
    return fails(MEMORY, ENOMEM) ? NULL : next(piece, number, size);
}

int posix_memalign(void **piece, size_t align, size_t size)
{
    CALL(posix_memalign)
    return fails(MEMORY, ENOMEM) ? ENOMEM : next(piece, align, size);
}

void *aligned_alloc(size_t align, size_t size)
{
    CALL(aligned_alloc)
    return fails(MEMORY, ENOMEM) ? NULL : next(align, size);
}

void free(void *piece)
{
    NEXT(free)
    if (next && !is_early(piece)) {
        next(piece);
    }
}

ssize_t write(int fd, const void *bytes, size_t length)
{
    CALL(write)
    return fails(FILES, ENOSPC) ? -1 : next(fd, bytes, length);
}

int fsync(int fd)
{
    CALL(fsync)
    return fails(FILES, EIO) ? -1 : next(fd);
}

int fchmod(int fd, mode_t mode)
{
    CALL(fchmod)
    return fails(FILES, EPERM) ? -1 : next(fd, mode);
}

int rename(const char *from, const char *to)
{
    CALL(rename)
    return fails(FILES, EACCES) ? -1 : next(from, to);
}

int link(const char *from, const char *to)
{
    CALL(link)
    return fails(FILES, EPERM) ? -1 : next(from, to);
}

int mkstemp(char *name)
{
    CALL(mkstemp)
    return fails(FILES, ENOSPC) ? -1 : next(name);
}

/* Before a call that counts only for KILLED. */
static void pass(void)
{
    if (asked.once == KILLED) {
        (void)fails(FILES, 0);
    }
}

int unlink(const char *path)
{
    CALL(unlink)
    pass();
    return next(path);
}

int unlinkat(int folder, const char *path, int flags)
{
    CALL(unlinkat)
    pass();
    return next(folder, path, flags);
}

int ftruncate(int fd, off_t length)
{
    CALL(ftruncate)
    pass();
    return next(fd, length);
}

int flock(int fd, int operation)
{
    CALL(flock)
    pass();
    return next(fd, operation);
}

int open(const char *path, int flags, ...)
{
    CALL(open)
    va_list arguments;
    va_start(arguments, flags);
    mode_t mode = (flags & O_CREAT) != 0 ? va_arg(arguments, mode_t) : 0;
    va_end(arguments);
    pass();
    return next(path, flags, mode);
}

/* The file is closed even so, as the system does it. */
int close(int fd)
{
    CALL(close)
    int result = next(fd);
    return fails(FILES, EIO) ? -1 : result;
}

int pthread_create(pthread_t *thread, const pthread_attr_t *attributes, void *(*run)(void *),
                   void *argument)
{
    CALL(pthread_create)
    return fails(FILES, EAGAIN) ? EAGAIN : next(thread, attributes, run, argument);
}

/* Forks a run for each request, and returns in it; the process itself ends with the socket. */
static void serve(int socket)
{
    int status = 0;
    while (recv(socket, &asked, sizeof asked, 0) == (ssize_t)sizeof asked) {
        atomic_store(count, 0);
        pid_t run = lseek(0, 0, SEEK_SET) == 0 && lseek(1, 0, SEEK_SET) == 0 &&
                            lseek(2, 0, SEEK_SET) == 0 && ftruncate(1, 0) == 0 &&
                            ftruncate(2, 0) == 0
                        ? fork()
                        : -1;
        if (run == 0) {
            close(socket);
            alarm(SECONDS);
            return;
        }
        if (run < 0 || waitpid(run, &status, 0) != run) {
            break;
        }
        struct answer answer = {(uint64_t)status, atomic_load(count)};
        send(socket, &answer, sizeof answer, 0);
    }
    _exit(0);
}

/* From here on calls count; programs that this program starts are not affected. */
__attribute__((constructor)) static void begin(void)
{
    begun = true;
    free(realloc(calloc(1, 1), 2)); /* finds them before there are threads */
    free(malloc(1));
    const char *calls = getenv("FAILING_CALLS");
    const char *socket = getenv("FAILING_SOCKET");
    void *shared =
        mmap(NULL, sizeof *count, PROT_READ | PROT_WRITE, MAP_SHARED | MAP_ANONYMOUS, -1, 0);
    if (!calls || !socket || shared == MAP_FAILED) {
        _exit(127);
    }
    count = shared;
    unsetenv("LD_PRELOAD");
    serve(atoi(socket));
    counted = strcmp(calls, "memory") == 0 ? MEMORY : FILES;
}
