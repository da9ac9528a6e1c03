#include "report/origin.h"

#include "report/json.h"
#include "text/folder.h"

#include <stdio.h>
#include <string.h>
#include <unistd.h>

/* As platforms write the name of a repository's top. */
#define BASE "%SRCROOT%"

/* ---- names ----------------------------------------------------------------------------------- */

const char *report_folded_path(struct arena *arena, const char *path)
{
    char *text = arena_alloc(arena, strlen(path) + 2);
    char *end = text;
    for (path += strspn(path, "/"); *path; path += strspn(path, "/")) {
        size_t length = strcspn(path, "/");
        if (length == 2 && memcmp(path, "..", 2) == 0) {
            do {
                end -= end > text;
            } while (end > text && *end != '/');
        } else if (length != 1 || *path != '.') {
            *end++ = '/';
            memcpy(end, path, length);
            end += length;
        }
        path += length;
    }
    *end = '\0';
    return *text ? text : "/";
}

/* The rest of an absolute path below a folder; "." for the folder; NULL if it does not lead there.
 */
static const char *below(const char *path, const char *folder)
{
    if (!folder) {
        return NULL;
    }
    size_t length = strcmp(folder, "/") == 0 ? 0 : strlen(folder);
    if (strncmp(path, folder, length) != 0 || (path[length] != '/' && path[length] != '\0')) {
        return NULL;
    }
    path += length + strspn(path + length, "/");
    return *path ? path : ".";
}

/* The absolute path of a file in a folder that is not there. */
static const char *nowhere(struct arena *arena, const char *path)
{
    char here[PATH_MAX];
    if (path[0] != '/' && !getcwd(here, sizeof here)) {
        return path;
    }
    return report_folded_path(arena,
                              path[0] == '/' ? path : arena_printf(arena, "%s/%s", here, path));
}

const char *report_file_name(struct arena *arena, const struct report_origin *origin,
                             const char *path)
{
    char real[PATH_MAX];
    char place[PATH_MAX];
    if (!*path || strcmp(path, "-") == 0) {
        return path;
    }
    bool known = text_real_path(path, real);
    const char *whole = known ? real : nowhere(arena, path);
    const char *name = below(whole, origin->folder);
    if (!name && known && text_real_place(path, place)) {
        name = below(place, origin->folder);
    }
    name = name ? name : whole;
    return arena_copy(arena, name, strlen(name));
}

/* ---- URIs ------------------------------------------------------------------------------------ */

const char *report_percent(struct arena *arena, const char *bytes, const char *kept)
{
    static const char unreserved[] = "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ"
                                     "0123456789-._~";
    char *text = arena_alloc(arena, 3 * strlen(bytes) + 1);
    char *end = text;
    for (; *bytes; bytes++) {
        if (strchr(unreserved, *bytes) || strchr(kept, *bytes)) {
            *end++ = *bytes;
        } else {
            end += sprintf(end, "%%%02X", (unsigned)(unsigned char)*bytes);
        }
    }
    *end = '\0';
    return text;
}

const char *report_file_uri(struct arena *arena, const char *path, bool folder)
{
    const char *slash = folder && path[strlen(path) - 1] != '/' ? "/" : "";
    return arena_printf(arena, "file://%s%s", report_percent(arena, path, "/"), slash);
}

json_t *report_artifact(const struct report_origin *origin, const char *path)
{
    struct arena arena = {.newest = NULL};
    const char *name = report_file_name(&arena, origin, path);
    json_t *artifact = json_object();
    if (name[0] == '/') {
        report_set(artifact, "uri", json_string(report_file_uri(&arena, name, false)));
    } else {
        report_set(artifact, "uri", json_string(report_percent(&arena, name, "/")));
        if (origin->folder && strcmp(path, "-") != 0) {
            report_set(artifact, "uriBaseId", json_string(BASE));
        }
    }
    arena_free(&arena);
    return artifact;
}

void report_origin_add(json_t *run, const struct report_origin *origin)
{
    struct arena arena = {.newest = NULL};
    if (origin->folder) {
        report_set(
            run, "originalUriBaseIds",
            json_pack("{s{ss}}", BASE, "uri", report_file_uri(&arena, origin->folder, true)));
    }
    if (origin->folder && origin->repository) {
        json_t *control = json_pack("{sss{ss}}", "repositoryUri", origin->repository, "mappedTo",
                                    "uriBaseId", BASE);
        if (origin->revision) {
            report_set(control, "revisionId", json_string(origin->revision));
        }
        if (origin->branch) {
            report_set(control, "branch", report_json_text(origin->branch));
        }
        report_set(run, "versionControlProvenance", json_pack("[o]", control));
    }
    arena_free(&arena);
}
