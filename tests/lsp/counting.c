/*
 * counting.c - loaded before the language server, it counts the memory that is in use.
 *
 * The count of live bytes is in the file that COUNTING names, as a native uint64_t that is shared.
 * So a test can read it between two requests. The C library's own names of its functions are
 * called, because a search for them can ask for memory itself.
 */
#define _GNU_SOURCE
#include <fcntl.h>
#include <malloc.h>
#include <stdatomic.h>
#include <stdint.h>
#include <stdlib.h>
#include <sys/mman.h>
#include <unistd.h>

void *__libc_malloc(size_t size);
void *__libc_calloc(size_t count, size_t size);
void *__libc_realloc(void *piece, size_t size);
void __libc_free(void *piece);

static _Atomic uint64_t early;          /* until the file is open */
static _Atomic uint64_t *live = &early; /* wraps below 0, and comes back */

__attribute__((constructor)) static void begin(void)
{
    const char *path = getenv("COUNTING");
    int fd = path ? open(path, O_RDWR | O_CREAT | O_CLOEXEC, 0600) : -1;
    if (fd < 0 || ftruncate(fd, sizeof early) != 0) {
        abort();
    }
    void *shared = mmap(NULL, sizeof early, PROT_READ | PROT_WRITE, MAP_SHARED, fd, 0);
    if (shared == MAP_FAILED) {
        abort();
    }
    close(fd);
    atomic_store((_Atomic uint64_t *)shared, atomic_load(&early));
    live = shared;
}

static void *added(void *piece)
{
    atomic_fetch_add(live, malloc_usable_size(piece));
    return piece;
}

void *malloc(size_t size)
{
    return added(__libc_malloc(size));
}

void *calloc(size_t count, size_t size)
{
    return added(__libc_calloc(count, size));
}

void free(void *piece)
{
    atomic_fetch_sub(live, malloc_usable_size(piece));
    __libc_free(piece);
}

void *realloc(void *piece, size_t size)
{
    size_t before = malloc_usable_size(piece);
    void *moved = __libc_realloc(piece, size);
    if (moved || size == 0) {
        atomic_fetch_sub(live, before);
        added(moved);
    }
    return moved;
}
