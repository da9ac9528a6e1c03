#include "report/uri.h"

#include "text/file.h"

#include <jansson.h>
#include <limits.h>
#include <stdio.h>
#include <stdlib.h>
#include <string.h>
#include <unistd.h>

/* Without `.` and doubled slashes; what is left of the working folder itself is one `.`. */
static char *tidy(struct arena *arena, const char *path)
{
    char *text = arena_alloc(arena, strlen(path) + 2);
    char *end = text;
    bool rooted = path[0] == '/';
    for (path += strspn(path, "/"); *path; path += strspn(path, "/")) {
        size_t length = strcspn(path, "/");
        if (length != 1 || *path != '.') {
            if (rooted || end != text) {
                *end++ = '/';
            }
            memcpy(end, path, length);
            end += length;
        }
        path += length;
    }
    if (end == text) {
        *end = rooted ? '/' : '.';
    }
    return text;
}

/* The rest of the path below a folder, or NULL where it does not lead there. */
static const char *below(const char *path, const char *folder)
{
    size_t length = strcmp(folder, "/") == 0 ? 0 : strlen(folder);
    if (strncmp(path, folder, length) != 0 || (path[length] != '/' && path[length] != '\0')) {
        return NULL;
    }
    path += length + strspn(path + length, "/");
    return *path ? path : ".";
}

/* The working folder as the shell calls it, links and all; NULL where it is another by now. */
static const char *named_folder(void)
{
    const char *named = getenv("PWD");
    if (!named) {
        return NULL;
    }
    struct text_identity here = text_identity_of(".");
    struct text_identity there = text_identity_of(named);
    return here.device == there.device && here.inode == there.inode ? named : NULL;
}

const char *report_plain_path(struct arena *arena, const char *path)
{
    if (!*path) {
        return path;
    }
    const char *plain = tidy(arena, path);
    if (plain[0] != '/') {
        return plain;
    }
    char real[PATH_MAX];
    const char *named = named_folder();
    const char *rest = getcwd(real, sizeof real) ? below(plain, real) : NULL;
    rest = !rest && named ? below(plain, named) : rest;
    return rest ? rest : plain;
}

json_t *report_uri(const char *path)
{
    static const char unreserved[] = "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ"
                                     "0123456789-._~/";
    struct arena arena = {.newest = NULL};
    const char *plain = report_plain_path(&arena, path);
    char *text = arena_alloc(&arena, 3 * strlen(plain) + sizeof "file://");
    char *end = text;
    if (plain[0] == '/') {
        end += sprintf(end, "file://");
    }
    for (; *plain; plain++) {
        if (strchr(unreserved, *plain)) {
            *end++ = *plain;
        } else {
            end += sprintf(end, "%%%02X", (unsigned)(unsigned char)*plain);
        }
    }
    json_t *string = json_string(text);
    arena_free(&arena);
    return string;
}
