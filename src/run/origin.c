#include "run/origin.h"

#include "run/git_ask.h"

#include <ctype.h>
#include <errno.h>
#include <string.h>
#include <unistd.h>

/* ---- the address of a repository as a URI ------------------------------------------------------
 */

/* Bytes from the first letter of a scheme such as "https" to "://"; 0: there is none. */
static size_t scheme_length(const char *address)
{
    size_t length = 0;
    while (isalnum((unsigned char)address[length]) ||
           (length != 0 && address[length] && strchr("+-.", address[length]))) {
        length++;
    }
    return strncmp(address + length, "://", 3) == 0 ? length : 0;
}

/* Whether what is before the first slash is a host with a port at most, and no `user:password`. */
static bool is_host(const char *text)
{
    const char *bracket = text[0] == '[' ? strchr(text, ']') : NULL; /* an address of IPv6 */
    const char *from = bracket ? bracket : text;
    const char *end = from + strcspn(from, "/");
    const char *colon = memchr(from, ':', (size_t)(end - from));
    return !colon || colon + 1 + strspn(colon + 1, "0123456789") == end;
}

/*
 * The part of an address that names the repository; NULL if that is not clear. What is before an
 * `@` in the name of the host can be a password, and so can a query: neither belongs in a log.
 */
static const char *without_secrets(struct arena *arena, const char *rest)
{
    const char *at = memchr(rest, '@', strcspn(rest, "/"));
    while (at) {
        rest = at + 1;
        at = memchr(rest, '@', strcspn(rest, "/"));
    }
    return is_host(rest) ? report_percent(arena, arena_copy(arena, rest, strcspn(rest, "?#")),
                                          "/:[]%~+,=;!$&'()*@")
                         : NULL;
}

/* The address of a remote, as git has it, as a URI; NULL if no platform can know it. */
static const char *as_uri(struct arena *arena, const char *top, const char *address)
{
    size_t scheme = scheme_length(address);
    size_t host = strcspn(address, "/:");
    const char *path = address + host + 1;
    const char *rest = NULL;
    if (scheme != 0) {
        rest = without_secrets(arena, address + scheme + 3);
        return rest ? arena_printf(arena, "%.*s://%s", (int)scheme, address, rest) : NULL;
    }
    if (address[host] != ':') { /* a folder */
        path = address[0] == '/' ? address : arena_printf(arena, "%s/%s", top, address);
        return report_file_uri(arena, report_folded_path(arena, path), false);
    }
    if (host == 0 || *path == ':' || strchr(path, '@')) { /* a program for git, or a password */
        return NULL;
    }
    /* host:path, the short form of ssh */
    path += strspn(path, "/");
    rest = without_secrets(arena, arena_printf(arena, "%.*s/%s", (int)host, address, path));
    return rest ? arena_printf(arena, "ssh://%s", rest) : NULL;
}

/* ---- what git says ----------------------------------------------------------------------------
 */

/* What came of asking git. */
enum asked { ASKED, NO_GIT, NO_ANSWER, FAILED };

/* Asks for one line; git ends with 1 if the repository has no such thing, and *line is then NULL.
 */
static enum asked ask_line(struct arena *arena, const char *top, const char *const *words,
                           const char **line)
{
    struct git_answer answer;
    bool asked = git_line(arena, top, words, true, &answer);
    *line = answer.line;
    if (!asked) {
        return errno == ENOENT ? NO_GIT : FAILED;
    }
    return answer.status <= 1 ? ASKED : NO_ANSWER;
}

/* Asks git what it knows of the repository at the root. FAILED has set errno. */
static enum asked ask(struct arena *arena, struct report_origin *origin)
{
    static const char *const tops[] = {"rev-parse", "--show-toplevel", NULL};
    static const char *const revisions[] = {"rev-parse", "--verify", "--quiet", "HEAD^{commit}",
                                            NULL};
    static const char *const branches[] = {"symbolic-ref", "--quiet", "--short", "HEAD", NULL};
    static const char *const remotes[] = {"config", "--get", "remote.origin.url", NULL};
    const char *top = origin->folder;
    const char *seen = NULL;
    const char *remote = NULL;
    enum asked asked = ask_line(arena, top, tops, &seen);
    if (asked == ASKED && (!seen || strcmp(seen, top) != 0)) {
        return NO_ANSWER; /* git sees another working tree there */
    }
    if (asked == ASKED) {
        asked = ask_line(arena, top, revisions, &origin->revision);
    }
    if (asked == ASKED) {
        asked = ask_line(arena, top, branches, &origin->branch);
    }
    if (asked == ASKED) {
        asked = ask_line(arena, top, remotes, &remote);
    }
    if (asked == ASKED) {
        const char *uri = remote ? as_uri(arena, top, remote) : NULL;
        origin->repository = uri ? uri : report_file_uri(arena, top, true);
    }
    return asked;
}

/* The top of the repository around the working folder, else around the first path; NULL: none. */
static const char *top_of(struct arena *arena, const char *here, const struct text_paths *paths)
{
    char real[PATH_MAX];
    const char *top = git_holder(arena, here);
    if (!top && paths->count != 0 && text_real_path(paths->items[0], real)) {
        top = git_holder(arena, real);
    }
    return top;
}

const char *run_find_origin(struct report_sink *sink, const struct text_paths *paths)
{
    char here[PATH_MAX];
    struct arena *arena = sink->arena;
    struct report_origin *origin = arena_alloc(arena, sizeof *origin);
    if (!getcwd(here, sizeof here)) {
        return arena_printf(arena, "cannot look up the working folder: %s", strerror(errno));
    }
    const char *top = top_of(arena, here, paths);
    *origin = (struct report_origin){.folder = top ? top : arena_copy(arena, here, strlen(here))};
    sink->task.origin = origin;
    enum asked asked = top ? ask(arena, origin) : ASKED;
    if (asked == FAILED) {
        return arena_printf(arena, "cannot ask git for the revision: %s", strerror(errno));
    }
    if (asked != ASKED) {
        report_remark(sink,
                      arena_printf(arena, "the report does not name the revision: %s %s%s",
                                   asked == NO_GIT
                                       ? "git is not installed, but there is a repository at"
                                       : "git does not answer for the repository",
                                   top, asked == NO_GIT ? "" : "; 'git status' there says why"));
    }
    return NULL;
}
