#include "run/precious.h"

#include "model/load.h"
#include "text/folder.h"
#include "text/write.h"

#include <string.h>
#include <sys/stat.h>

/* Whether a file has a source's name, like quern-12.engine.yaml. */
static bool is_source_name(const char *path)
{
    const char *name = text_path_name(path);
    const char *dot = strrchr(name, '.');
    for (int kind = 0; dot && kind < MODEL_KINDS; kind++) {
        const char *extension = model_kinds[kind].extension;
        size_t length = strlen(extension);
        if (text_is_source_name(name) && (size_t)(dot - name) >= length &&
            strncmp(dot - length, extension, length) == 0) {
            return true;
        }
    }
    return false;
}

/*
 * Whether a text begins as a source does. A depfile can begin in the same way, if the name of the
 * table is a kind's key. But the first line of a depfile continues on the next one.
 */
static bool is_source_text(const struct text_file *file)
{
    const char *end = memchr(file->bytes, '\n', file->length);
    bool goes_on = end && end != file->bytes && end[-1] == '\\';
    return model_kind_is_claimed(file) && !goes_on;
}

/* Whether a text holds a PEM key of any kind. */
static bool has_key(const char *text)
{
    static const char begin[] = "-----BEGIN ";
    for (text = strstr(text, begin); text; text = strstr(text, begin)) {
        text += sizeof begin - 1;
        size_t line = strcspn(text, "\r\n");
        const char *end = strstr(text, "KEY-----");
        if (end && (size_t)(end - text) < line) {
            return true;
        }
    }
    return false;
}

/* What it is by what is in it, in the words of run_what_is_precious. */
static const char *what_is_in(struct arena *arena, const char *target)
{
    struct text_file file;
    struct findings unshown;
    findings_start(&unshown, arena);
    if (text_file_load(&file, target, arena, &unshown) == TEXT_UNREADABLE) {
        return "a file that cannot be read, so it may be a source or a key";
    }
    if (!file.bytes) {
        return NULL; /* it is too large for a source or a key */
    }
    if (is_source_text(&file)) {
        return "a source";
    }
    return has_key(arena_copy(arena, file.bytes, file.length)) ? "a key" : NULL;
}

const char *run_what_is_precious(struct arena *arena, const char *path)
{
    struct stat status;
    const char *target = text_write_target(arena, path);
    if (!target || stat(target, &status) != 0 || !S_ISREG(status.st_mode)) {
        return NULL;
    }
    if (is_source_name(path) || is_source_name(target)) {
        return "a source";
    }
    struct arena content = {.newest = NULL};
    const char *what = what_is_in(&content, target);
    arena_free(&content);
    return what;
}
