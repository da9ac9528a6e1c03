/*
 * text_folder_test.c - the files below a folder, files taken once, and files written whole.
 */
#define _LARGEFILE64_SOURCE /* readdir64 */

#include "text/folder.h"
#include "text/write.h"
#include "unit/support.h"

#include <dirent.h>
#include <errno.h>
#include <fcntl.h>
#include <signal.h>
#include <sys/resource.h>
#include <sys/stat.h>
#include <sys/wait.h>

/* How many more entries a folder gives before it cannot be read; -1: all of them. */
static int entries_left = -1;

/* The C library's, but for a disk that fails half-way. */
struct dirent *readdir(DIR *directory)
{
    if (entries_left == 0) {
        errno = EIO;
        return NULL;
    }
    entries_left -= entries_left > 0;
    return (struct dirent *)(void *)readdir64(directory);
}

/* A folder with an arena for the paths in it. */
struct scratch {
    struct arena arena;
    char folder[PATH_MAX];
};

static void place_start(struct scratch *p)
{
    memset(p, 0, sizeof *p);
    support_folder(p->folder);
}

static const char *in(struct scratch *p, const char *name)
{
    return arena_printf(&p->arena, "%s/%s", p->folder, name);
}

static void make(struct scratch *p, const char *name)
{
    support_write(in(p, name), name, strlen(name));
}

/* All the steps of writing a file; where one fails nothing is left. */
static bool write_file(const char *path, const void *bytes, size_t length)
{
    struct arena arena = {.newest = NULL};
    struct text_writing writing;
    bool written = text_write_start(&writing, &arena, path, bytes, length) &&
                   (writing.direct || text_write_beside(&writing)) && text_write_finish(&writing);
    int saved = errno;
    if (!written) {
        text_write_undo(&writing);
    }
    arena_free(&arena);
    errno = saved;
    return written;
}

static void make_folder(struct scratch *p, const char *name)
{
    ck_assert_int_eq(mkdir(in(p, name), 0700), 0);
}

static void place_end(struct scratch *p)
{
    const char *command = arena_printf(&p->arena, "rm -rf '%s'", p->folder);
    ck_assert_int_eq(system(command), 0);
    arena_free(&p->arena);
}

/* The paths that are found, from the folder on, each with a blank behind it. */
static const char *listed(struct scratch *p, const char *folder, bool *whole, const char **at)
{
    struct text_paths paths = {NULL, 0, 0};
    struct text_paths folders = {NULL, 0, 0};
    const char *text = "";
    *whole = text_folder_list(folder, &p->arena, &paths, &folders, at);
    for (size_t i = 0; i < paths.count; i++) {
        ck_assert_int_eq(strncmp(paths.items[i], p->folder, strlen(p->folder)), 0);
        ck_assert_int_eq(paths.items[i][strlen(p->folder)], '/');
        text = arena_printf(&p->arena, "%s%s ", text, paths.items[i] + strlen(p->folder) + 1);
    }
    return text;
}

START_TEST(sources_in_order)
{
    struct scratch p;
    bool whole;
    const char *at;
    place_start(&p);
    make(&p, "b.yaml");
    make(&p, "B.yml");
    make(&p, "c.json");
    make(&p, "d.yaml.txt");
    make(&p, "yaml");
    make(&p, ".hidden.yaml");
    make(&p, ".yaml");
    make_folder(&p, ".git");
    make(&p, ".git/e.yaml");
    make_folder(&p, "empty");
    /* As paths: a-1.yaml, a.yaml, a/z.yaml, a0.yaml, for '-' '.' '/' '0' follow each other. */
    make_folder(&p, "a");
    make(&p, "a/z.yaml");
    make_folder(&p, "a/y");
    make(&p, "a/y/x.yaml");
    make(&p, "a-1.yaml");
    make(&p, "a.yaml");
    make(&p, "a0.yaml");
    static const char expected[] =
        "B.yml a-1.yaml a.yaml a/y/x.yaml a/z.yaml a0.yaml b.yaml c.json ";
    ck_assert_str_eq(listed(&p, p.folder, &whole, &at), expected);
    ck_assert(whole);
    ck_assert_ptr_null(at);
    ck_assert_str_eq(listed(&p, in(&p, ""), &whole, &at), expected);
    ck_assert_str_eq(listed(&p, in(&p, "empty"), &whole, &at), "");
    ck_assert(whole);
    place_end(&p);
}
END_TEST

START_TEST(folders_that_cannot_be_read)
{
    struct scratch p;
    bool whole;
    const char *at;
    place_start(&p);
    make(&p, "a.yaml");
    ck_assert_str_eq(listed(&p, in(&p, "none"), &whole, &at), "");
    ck_assert(!whole);
    ck_assert_int_eq(errno, ENOENT);
    ck_assert_str_eq(at, in(&p, "none"));
    ck_assert_str_eq(listed(&p, in(&p, "a.yaml"), &whole, &at), "");
    ck_assert(!whole);
    ck_assert_int_eq(errno, ENOTDIR);
    place_end(&p);
}
END_TEST

START_TEST(links_that_lead_round)
{
    struct scratch p;
    bool whole;
    const char *at;
    place_start(&p);
    make(&p, "a.yaml");
    make_folder(&p, "b");
    make(&p, "b/c.yaml");
    ck_assert_int_eq(symlink("..", in(&p, "b/up")), 0);
    ck_assert_str_eq(listed(&p, p.folder, &whole, &at), "a.yaml b/c.yaml ");
    ck_assert(!whole);
    ck_assert_int_eq(errno, ELOOP);
    ck_assert_int_eq(strncmp(at, in(&p, "b/up"), strlen(in(&p, "b/up"))), 0);

    ck_assert_int_eq(unlink(in(&p, "b/up")), 0);
    ck_assert_int_eq(symlink("self", in(&p, "b/self")), 0);
    ck_assert_str_eq(listed(&p, p.folder, &whole, &at), "a.yaml b/c.yaml ");
    ck_assert(!whole);
    ck_assert_int_eq(errno, ELOOP);

    ck_assert_int_eq(unlink(in(&p, "b/self")), 0);
    ck_assert_int_eq(symlink("b", in(&p, "d")), 0); /* aside, not back */
    ck_assert_str_eq(listed(&p, p.folder, &whole, &at), "a.yaml b/c.yaml ");
    ck_assert(whole);
    place_end(&p);
}
END_TEST

/* Two links to the next folder in each of thirty: a thousand million ways to the last. */
START_TEST(links_that_fan_out)
{
    struct scratch p;
    bool whole;
    const char *at;
    place_start(&p);
    for (int i = 0; i < 30; i++) {
        const char *folder = arena_printf(&p.arena, "%d", i);
        const char *next = arena_printf(&p.arena, "../%d", i + 1);
        make_folder(&p, folder);
        ck_assert_int_eq(symlink(next, in(&p, arena_printf(&p.arena, "%d/a", i))), 0);
        ck_assert_int_eq(symlink(next, in(&p, arena_printf(&p.arena, "%d/b", i))), 0);
    }
    make_folder(&p, "30");
    make(&p, "30/c.yaml");
    ck_assert_uint_gt(strlen(listed(&p, p.folder, &whole, &at)), 0);
    ck_assert(whole);
    place_end(&p);
}
END_TEST

/* What a revision of the folder would not have: links, and repositories of their own below it. */
START_TEST(what_is_its_own)
{
    struct scratch p;
    struct text_paths paths = {NULL, 0, 0};
    struct text_paths foreign = {NULL, 0, 0};
    const char *at;
    place_start(&p);
    make_folder(&p, ".git");
    make(&p, "a.yaml");
    ck_assert_int_eq(symlink("a.yaml", in(&p, "b.yaml")), 0);
    make_folder(&p, "c");
    make_folder(&p, "c/.git");
    make(&p, "c/d.yaml");
    ck_assert(text_folder_list_own(in(&p, ""), &p.arena, &paths, &foreign, &at));
    ck_assert_uint_eq(paths.count, 1);
    ck_assert_str_eq(paths.items[0], in(&p, "a.yaml"));
    ck_assert_uint_eq(foreign.count, 1);
    ck_assert_str_eq(foreign.items[0], in(&p, "c/"));
    place_end(&p);
}
END_TEST

/* Who cannot wait looks at so many names, in all folders together, and learns that it ended early.
 */
START_TEST(the_first_files)
{
    /* The top has four names with "." and "..", a has four, d has three. */
    static const struct {
        size_t most, left, files;
    } cases[] = {{12, 1, 2}, {11, 0, 2}, {8, 0, 1}, {4, 0, 0}, {0, 0, 0}};
    struct scratch p;
    const char *at;
    place_start(&p);
    make_folder(&p, "a");
    make(&p, "a/b.yaml");
    make(&p, "a/c.txt");
    make_folder(&p, "d");
    make(&p, "d/e.yaml");
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        struct text_paths paths = {NULL, 0, 0};
        size_t left = cases[i].most;
        ck_assert(text_folder_list_first(p.folder, &p.arena, &paths, &left, &at));
        ck_assert_uint_eq(left, cases[i].left);
        ck_assert_uint_eq(paths.count, cases[i].files);
    }
    place_end(&p);
}
END_TEST

/* Opening a pipe that nobody writes to waits for ever. */
START_TEST(pipes_are_left_out)
{
    struct scratch p;
    bool whole;
    const char *at;
    place_start(&p);
    make(&p, "a.yaml");
    ck_assert_int_eq(mkfifo(in(&p, "b.yaml"), 0600), 0);
    ck_assert_int_eq(symlink("/dev/zero", in(&p, "c.yaml")), 0);
    ck_assert_int_eq(symlink("gone", in(&p, "d.yaml")), 0);
    ck_assert_str_eq(listed(&p, p.folder, &whole, &at), "a.yaml d.yaml ");
    ck_assert(whole);
    place_end(&p);
}
END_TEST

/* What could not be listed to its end may hold anything: it is not taken for all there is. */
START_TEST(folders_that_fail_half_way)
{
    struct scratch p;
    struct text_paths paths = {NULL, 0, 0};
    const char *at = NULL;
    place_start(&p);
    make(&p, "a.yaml");
    make(&p, "b.yaml");
    make(&p, "c.yaml");
    entries_left = 3;
    ck_assert(!text_folder_list(p.folder, &p.arena, &paths, NULL, &at));
    ck_assert_int_eq(errno, EIO);
    ck_assert_str_eq(at, p.folder);
    entries_left = -1;
    ck_assert(text_folder_list(p.folder, &p.arena, &paths, NULL, &at));
    place_end(&p);
}
END_TEST

START_TEST(names_with_an_ending)
{
    struct scratch p;
    struct text_paths names = {NULL, 0, 0};
    place_start(&p);
    ck_assert(text_folder_names(p.folder, ".x.html", &p.arena, &names));
    ck_assert_uint_eq(names.count, 0);
    make(&p, "b.x.html");
    make(&p, "a.x.html");
    make(&p, "a-b.x.html");
    make(&p, ".x.html");
    make(&p, "c.html");
    make(&p, "d.x.html.gz");
    make_folder(&p, "e");
    make(&p, "e/e.x.html");
    ck_assert(text_folder_names(p.folder, ".x.html", &p.arena, &names));
    ck_assert_uint_eq(names.count, 3);
    ck_assert_str_eq(names.items[0], "a");
    ck_assert_str_eq(names.items[1], "a-b");
    ck_assert_str_eq(names.items[2], "b");
    entries_left = 3;
    ck_assert(!text_folder_names(p.folder, ".x.html", &p.arena, &names));
    ck_assert_int_eq(errno, EIO);
    entries_left = -1;
    ck_assert(!text_folder_names(in(&p, "no"), ".x.html", &p.arena, &names));
    ck_assert_int_eq(errno, ENOENT);
    place_end(&p);
}
END_TEST

START_TEST(what_is_a_folder)
{
    struct scratch p;
    place_start(&p);
    make(&p, "a.yaml");
    ck_assert(text_is_folder(p.folder));
    ck_assert(!text_is_folder(in(&p, "a.yaml")));
    ck_assert(!text_is_folder(in(&p, "none")));
    place_end(&p);
}
END_TEST

/* Which file it is, from reading it. */
static struct text_identity identity_of(struct scratch *p, const char *path)
{
    struct findings findings;
    struct text_file file;
    findings_start(&findings, &p->arena);
    (void)text_file_load(&file, path, &p->arena, &findings);
    return file.identity;
}

START_TEST(files_are_taken_once)
{
    struct scratch p;
    place_start(&p);
    struct text_seen seen = {.arena = &p.arena};
    make(&p, "a.yaml");
    make(&p, "b.yaml");
    make_folder(&p, "c");
    ck_assert_int_eq(symlink("a.yaml", in(&p, "soft.yaml")), 0);
    ck_assert_int_eq(link(in(&p, "a.yaml"), in(&p, "hard.yaml")), 0);
    ck_assert(text_seen_add(&seen, identity_of(&p, in(&p, "a.yaml"))));
    ck_assert(text_seen_add(&seen, identity_of(&p, in(&p, "b.yaml"))));
    ck_assert(!text_seen_add(&seen, identity_of(&p, in(&p, "a.yaml"))));
    ck_assert(!text_seen_add(&seen, identity_of(&p, in(&p, "c/../a.yaml"))));
    ck_assert(!text_seen_add(&seen, identity_of(&p, in(&p, "soft.yaml"))));
    ck_assert(!text_seen_add(&seen, identity_of(&p, in(&p, "hard.yaml"))));
    ck_assert_uint_eq(seen.count, 2);
    for (int i = 0; i < 2; i++) {
        ck_assert(text_seen_add(&seen, identity_of(&p, in(&p, "none.yaml"))));
    }
    ck_assert_uint_eq(seen.count, 2);
    place_end(&p);
}
END_TEST

/* Standard input is no file, even where one is called so, and even where it is one. */
START_TEST(standard_input_is_always_new)
{
    struct scratch p;
    char before[PATH_MAX];
    place_start(&p);
    struct text_seen seen = {.arena = &p.arena};
    make(&p, "-");
    ck_assert_ptr_nonnull(getcwd(before, sizeof before));
    ck_assert_int_eq(chdir(p.folder), 0);
    ck_assert_ptr_nonnull(freopen("./-", "r", stdin));
    bool first = text_seen_add(&seen, identity_of(&p, "-"));
    bool second = text_seen_add(&seen, identity_of(&p, "-"));
    bool file = text_seen_add(&seen, identity_of(&p, "./-"));
    ck_assert_int_eq(chdir(before), 0);
    ck_assert(first && second && file);
    place_end(&p);
}
END_TEST

/* More files than the set begins with room for. */
START_TEST(many_files_are_taken_once)
{
    enum { FILES = 300 };
    struct scratch p;
    place_start(&p);
    struct text_seen seen = {.arena = &p.arena};
    for (int i = 0; i < FILES; i++) {
        make(&p, arena_printf(&p.arena, "%d.yaml", i));
    }
    for (int round = 0; round < 2; round++) {
        for (int i = 0; i < FILES; i++) {
            const char *path = in(&p, arena_printf(&p.arena, "%d.yaml", i));
            ck_assert_int_eq(text_seen_add(&seen, identity_of(&p, path)), round == 0);
        }
    }
    ck_assert_uint_eq(seen.count, FILES);
    place_end(&p);
}
END_TEST

static void assert_content(const char *path, const char *expected)
{
    char content[64] = "";
    FILE *file = fopen(path, "rb");
    ck_assert_ptr_nonnull(file);
    size_t length = fread(content, 1, sizeof content, file);
    fclose(file);
    ck_assert_uint_eq(length, strlen(expected));
    ck_assert_mem_eq(content, expected, length);
}

/* How many names there are in a folder. */
static size_t names_in(struct scratch *p)
{
    struct stat status;
    size_t count = 0;
    FILE *list = popen(arena_printf(&p->arena, "ls -A '%s'", p->folder), "r");
    ck_assert_ptr_nonnull(list);
    for (int c; (c = fgetc(list)) != EOF;) {
        count += c == '\n';
    }
    pclose(list);
    ck_assert_int_eq(stat(p->folder, &status), 0);
    return count;
}

START_TEST(files_are_written)
{
    struct scratch p;
    struct stat status;
    place_start(&p);
    mode_t mask = umask(027);
    ck_assert(write_file(in(&p, "t"), "first", 5));
    ck_assert_int_eq(stat(in(&p, "t"), &status), 0);
    ck_assert_uint_eq(status.st_mode & 0777, 0640);
    ck_assert(write_file(in(&p, "t"), "second, longer", 14));
    assert_content(in(&p, "t"), "second, longer");
    ck_assert(write_file(in(&p, "t"), "", 0));
    assert_content(in(&p, "t"), "");
    umask(mask);
    /* What somebody has shut or opened stays so. */
    ck_assert_int_eq(chmod(in(&p, "t"), 0604), 0);
    ck_assert(write_file(in(&p, "t"), "third", 5));
    ck_assert_int_eq(stat(in(&p, "t"), &status), 0);
    ck_assert_uint_eq(status.st_mode & 07777, 0604);
    ck_assert_uint_eq(names_in(&p), 1);
    place_end(&p);
}
END_TEST

/* In the working folder, where the path has no slash. */
START_TEST(files_are_written_here)
{
    struct scratch p;
    char before[PATH_MAX];
    place_start(&p);
    ck_assert_ptr_nonnull(getcwd(before, sizeof before));
    ck_assert_int_eq(chdir(p.folder), 0);
    ck_assert(write_file("t", "here", 4));
    ck_assert_int_eq(chdir(before), 0);
    assert_content(in(&p, "t"), "here");
    ck_assert_uint_eq(names_in(&p), 1);
    place_end(&p);
}
END_TEST

/* A reader that has the old file open keeps it whole: the new one is another file. */
START_TEST(files_are_replaced)
{
    struct scratch p;
    char content[8] = "";
    place_start(&p);
    make(&p, "old");
    FILE *reader = fopen(in(&p, "old"), "rb");
    ck_assert_ptr_nonnull(reader);
    ck_assert(write_file(in(&p, "old"), "new", 3));
    ck_assert_uint_eq(fread(content, 1, sizeof content, reader), 3);
    ck_assert_str_eq(content, "old");
    fclose(reader);
    assert_content(in(&p, "old"), "new");
    place_end(&p);
}
END_TEST

/* A file that may not grow: as on a full disk, the writing fails half way. */
START_TEST(after_a_failure_the_old_file_stands)
{
    struct scratch p;
    place_start(&p);
    make(&p, "old");
    pid_t child = fork();
    ck_assert_int_ge(child, 0);
    if (child == 0) {
        static const char bytes[8192];
        const struct rlimit limit = {1000, 1000};
        signal(SIGXFSZ, SIG_IGN);
        bool written =
            setrlimit(RLIMIT_FSIZE, &limit) != 0 || write_file(in(&p, "old"), bytes, sizeof bytes);
        _exit(written ? 1 : errno == EFBIG ? 0 : 2);
    }
    int status;
    ck_assert_int_eq(waitpid(child, &status, 0), child);
    ck_assert_int_eq(status, 0);
    assert_content(in(&p, "old"), "old");
    ck_assert_uint_eq(names_in(&p), 1);
    place_end(&p);
}
END_TEST

START_TEST(where_nothing_can_be_written)
{
    struct scratch p;
    place_start(&p);
    make_folder(&p, "a");
    ck_assert(!write_file(in(&p, "none/t"), "x", 1));
    ck_assert_int_eq(errno, ENOENT);
    ck_assert(!write_file(in(&p, "a"), "x", 1));
    ck_assert_int_eq(errno, EISDIR);
    ck_assert_uint_eq(names_in(&p), 1);
    place_end(&p);
}
END_TEST

/* What is no plain file is written to and stays what it is. */
START_TEST(a_name_is_what_follows_the_last_slash)
{
    ck_assert_str_eq(text_path_name("a.yaml"), "a.yaml");
    ck_assert_str_eq(text_path_name("one/two/a.yaml"), "a.yaml");
    ck_assert_str_eq(text_path_name("/a.yaml"), "a.yaml");
    ck_assert_str_eq(text_path_name("one/"), "");
}
END_TEST

START_TEST(a_folder_is_what_comes_before)
{
    struct arena arena = {.newest = NULL};
    ck_assert_str_eq(text_path_folder(&arena, "a.yaml"), ".");
    ck_assert_str_eq(text_path_folder(&arena, "one/two/a.yaml"), "one/two/");
    ck_assert_str_eq(text_path_folder(&arena, "/a.yaml"), "/");
    arena_free(&arena);
}
END_TEST

START_TEST(paths_are_sorted_by_their_bytes)
{
    struct arena arena = {.newest = NULL};
    struct text_paths paths = {NULL, 0, 0};
    text_paths_sort(&paths); /* none */
    text_paths_add(&paths, &arena, "b");
    text_paths_add(&paths, &arena, "a/b");
    text_paths_add(&paths, &arena, "B");
    text_paths_sort(&paths);
    ck_assert_str_eq(paths.items[0], "B");
    ck_assert_str_eq(paths.items[1], "a/b");
    ck_assert_str_eq(paths.items[2], "b");
    arena_free(&arena);
}
END_TEST

START_TEST(pipes_are_written_to)
{
    struct scratch p;
    struct stat status;
    char content[4] = "";
    place_start(&p);
    const char *path = in(&p, "pipe");
    ck_assert_int_eq(mkfifo(path, 0600), 0);
    int reader = open(path, O_RDONLY | O_NONBLOCK);
    ck_assert_int_ge(reader, 0);
    ck_assert(write_file(path, "abc", 3));
    ck_assert_int_eq(read(reader, content, 3), 3);
    ck_assert_str_eq(content, "abc");
    close(reader);
    ck_assert_int_eq(stat(path, &status), 0);
    ck_assert(S_ISFIFO(status.st_mode));
    ck_assert(write_file("/dev/null", "abc", 3));
    ck_assert(!write_file("/dev/full", "abc", 3));
    ck_assert_int_eq(errno, ENOSPC);
    place_end(&p);
}
END_TEST

int main(void)
{
    TCase *tests = tcase_create("folder");
    tcase_add_test(tests, sources_in_order);
    tcase_add_test(tests, folders_that_cannot_be_read);
    tcase_add_test(tests, links_that_lead_round);
    tcase_add_test(tests, links_that_fan_out);
    tcase_add_test(tests, what_is_its_own);
    tcase_add_test(tests, pipes_are_left_out);
    tcase_add_test(tests, folders_that_fail_half_way);
    tcase_add_test(tests, the_first_files);
    tcase_add_test(tests, names_with_an_ending);
    tcase_add_test(tests, what_is_a_folder);
    tcase_add_test(tests, files_are_taken_once);
    tcase_add_test(tests, standard_input_is_always_new);
    tcase_add_test(tests, many_files_are_taken_once);
    tcase_add_test(tests, files_are_written);
    tcase_add_test(tests, files_are_written_here);
    tcase_add_test(tests, files_are_replaced);
    tcase_add_test(tests, after_a_failure_the_old_file_stands);
    tcase_add_test(tests, where_nothing_can_be_written);
    tcase_add_test(tests, pipes_are_written_to);
    tcase_add_test(tests, a_name_is_what_follows_the_last_slash);
    tcase_add_test(tests, a_folder_is_what_comes_before);
    tcase_add_test(tests, paths_are_sorted_by_their_bytes);
    return run_case("text", tests);
}
