#include "command/deliver.h"

#include "text/write.h"

#include <errno.h>
#include <limits.h>
#include <stdlib.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

static bool is_output(const char *path)
{
    return strcmp(path, "-") == 0;
}

/* A place under one name, whatever path leads to it; NULL for a device, which takes any number. */
static const char *place_of(struct arena *arena, const char *path)
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
    const char *folder = slash ? arena_copy(arena, path, (size_t)(slash - path) + 1) : ".";
    if (!realpath(folder, real)) {
        return path; /* nor can this */
    }
    return arena_printf(arena, "%s/%s", real, slash ? slash + 1 : path);
}

/* Whether a place is that of a file which was read: under a name, or as standard input. */
static bool is_input(const char *path, const struct text_seen *inputs)
{
    struct text_identity identity = text_identity_of(path);
    struct stat status;
    bool piped = fstat(STDIN_FILENO, &status) == 0 && S_ISREG(status.st_mode) &&
                 identity.inode == status.st_ino && identity.device == status.st_dev;
    return piped || text_seen_has(inputs, identity);
}

/* Whether each file has a place of its own, and none is an input's. */
static bool have_places(struct command_call *call, const struct command_file *files, size_t count,
                        const struct text_seen *inputs)
{
    const char **places = arena_array(&call->arena, count + 1, sizeof *places);
    for (size_t i = 0; i < count; i++) {
        const char *path = files[i].path;
        places[i] = place_of(&call->arena, path);
        if (!is_output(path) && is_input(path, inputs)) {
            command_fail("%s is one of the files that this is made of; name another place", path);
            return false;
        }
        for (size_t j = 0; j < i; j++) {
            if (places[i] && places[j] && strcmp(places[i], places[j]) == 0) {
                command_fail("two files would be written to %s; name another place for one",
                             is_output(path) ? "standard output" : path);
                return false;
            }
        }
    }
    return true;
}

static bool finish(struct text_writing *writing, const struct command_file *file,
                   struct arena *arena)
{
    if (!is_output(file->path)) {
        return text_write_finish(writing, arena);
    }
    return fwrite(file->bytes, 1, file->length, stdout) == file->length && fflush(stdout) == 0;
}

int command_deliver(struct command_call *call, const struct command_file *files, size_t count,
                    const struct text_seen *inputs)
{
    if (!have_places(call, files, count, inputs)) {
        return COMMAND_FAILED;
    }
    struct text_writing *writings = arena_array(&call->arena, count + 1, sizeof *writings);
    size_t failed = count;
    for (size_t i = 0; i < count && failed == count; i++) {
        if (!is_output(files[i].path) &&
            !text_write_start(&writings[i], &call->arena, files[i].path, files[i].bytes,
                              files[i].length)) {
            failed = i;
        }
    }
    /* Devices and pipes first: they can fail at any byte, a renaming hardly ever does. */
    for (int last = 0; last < 2; last++) {
        for (size_t i = 0; i < count && failed == count; i++) {
            if ((writings[i].temporary != NULL) == (last == 1) &&
                !finish(&writings[i], &files[i], &call->arena)) {
                failed = i;
            }
        }
    }
    if (failed == count) {
        return COMMAND_CLEAN;
    }
    int error = errno;
    for (size_t i = 0; i < count; i++) {
        text_write_drop(&writings[i]);
    }
    const char *path = files[failed].path;
    return command_fail("cannot write %s: %s", is_output(path) ? "standard output" : path,
                        strerror(error));
}
