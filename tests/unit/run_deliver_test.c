/*
 * run_deliver_test.c - several files that reach their places together or not, whatever the system
 * refuses and whoever ends the run.
 *
 * The program's calls of rename, link, mkstemp, flock and fsync end here. So each of them can be
 * made to fail, and a signal can come during any of them.
 */
#include "run/deliver.h"
#include "unit/support.h"

#include <errno.h>
#include <fcntl.h>
#include <signal.h>
#include <sys/file.h>
#include <sys/stat.h>
#include <sys/syscall.h>
#include <sys/wait.h>

enum { FILES = 3 };

/* A folder with the targets, and what the system does. */
static struct {
    struct arena arena;
    struct text_seen seen;
    struct run_file files[FILES];
    char folder[PATH_MAX];
    const char *refused; /* no file can be renamed to this target, except back */
    bool without_links;  /* a file system without hard links */
    bool stuck;          /* no old file can be put back either */
    int taken_away;      /* another run removes this number of new files before they are locked */
    const char *newest;  /* the last file that mkstemp made */
    int signal;          /* comes while a file is written; 0: none */
    int folders;         /* that were synced */
    int killed_back;     /* the run is killed before this rename of an old file back; 0: never */
    bool without_locks;  /* a file system that locks nothing */
    enum run_promise promise;
} bench;

static bool ends(const char *path, const char *ending)
{
    size_t length = strlen(path);
    return length >= strlen(ending) && strcmp(path + length - strlen(ending), ending) == 0;
}

int rename(const char *from, const char *to)
{
    bool back = ends(from, ".before");
    bool refused = bench.refused && strcmp(to, bench.refused) == 0;
    if (back && bench.killed_back > 0 && --bench.killed_back == 0) {
        raise(SIGKILL);
    }
    if (back ? bench.stuck : refused) {
        errno = EPERM;
        return -1;
    }
    return renameat(AT_FDCWD, from, AT_FDCWD, to);
}

int link(const char *from, const char *to)
{
    if (bench.without_links) {
        errno = EPERM;
        return -1;
    }
    return linkat(AT_FDCWD, from, AT_FDCWD, to, 0);
}

int mkstemp(char *path)
{
    static char newest[PATH_MAX];
    static unsigned number;
    char *name = path + strlen(path) - 6;
    snprintf(name, 7, "%06u", ++number);
    snprintf(newest, sizeof newest, "%s", path);
    bench.newest = newest;
    return open(path, O_RDWR | O_CREAT | O_EXCL, 0600);
}

int flock(int fd, int operation)
{
    if (operation == LOCK_EX && bench.taken_away > 0) {
        bench.taken_away--;
        ck_assert_int_eq(unlink(bench.newest), 0);
    }
    if (bench.without_locks) {
        errno = ENOLCK;
        return -1;
    }
    return (int)syscall(SYS_flock, fd, operation);
}

/* Called for each file that is written, and for each folder. */
int fsync(int fd)
{
    struct stat status;
    ck_assert_int_eq(fstat(fd, &status), 0);
    bench.folders += S_ISDIR(status.st_mode);
    return bench.signal == 0 ? 0 : raise(bench.signal);
}

static const char *in(const char *name)
{
    return arena_printf(&bench.arena, "%s/%s", bench.folder, name);
}

static void setup(void)
{
    static const char *const names[FILES] = {"one", "two", "three"};
    memset(&bench, 0, sizeof bench);
    bench.seen.arena = &bench.arena;
    support_folder(bench.folder);
    for (size_t i = 0; i < FILES; i++) {
        bench.files[i] = (struct run_file){in(names[i]), "new", 3};
    }
}

static void teardown(void)
{
    const char *command = arena_printf(&bench.arena, "rm -rf '%s'", bench.folder);
    ck_assert_int_eq(system(command), 0);
    arena_free(&bench.arena);
}

static int deliver(void)
{
    return run_deliver(&bench.arena, bench.files, FILES, &(struct run_inputs){.seen = &bench.seen},
                       bench.promise);
}

/* The folder: each name with the content of the file. */
static const char *content(void)
{
    char text[256] = "";
    const char *command = arena_printf(&bench.arena,
                                       "cd '%s' && LC_ALL=C tail -n 1 -- $(LC_ALL=C ls -A) "
                                       "/dev/null 2>&1 | tr -d '\\n' | "
                                       "sed 's|==> /dev/null <==$||'",
                                       bench.folder);
    FILE *list = popen(command, "r");
    ck_assert_ptr_nonnull(list);
    size_t length = fread(text, 1, sizeof text - 1, list);
    pclose(list);
    return arena_copy(&bench.arena, text, length);
}

/*
 * Writes two of the three, the first and the last, so that each way to restore a target is needed.
 */
static void put_old(void)
{
    support_write(in("one"), "old", 3);
    support_write(in("three"), "old", 3);
}

static const char all_old[] = "==> one <==old==> three <==old";
static const char all_new[] = "==> one <==new==> three <==new==> two <==new";

START_TEST(all_come_into_their_places)
{
    bench.promise = (enum run_promise)_i;
    put_old();
    ck_assert_int_eq(deliver(), RUN_CLEAN);
    ck_assert_str_eq(content(), all_new);
    bench.without_links = true;
    ck_assert_int_eq(deliver(), RUN_CLEAN);
    ck_assert_str_eq(content(), all_new);
}
END_TEST

START_TEST(where_one_is_refused_all_are_as_they_were)
{
    bench.promise = (enum run_promise)_i;
    put_old();
    struct stat before;
    struct stat after;
    ck_assert_int_eq(stat(in("one"), &before), 0);
    for (size_t i = 0; i < 2 * FILES; i++) {
        bench.refused = bench.files[i % FILES].path;
        bench.without_links = i >= FILES;
        ck_assert_int_eq(deliver(), RUN_FAILED);
        ck_assert_str_eq(content(), all_old);
    }
    ck_assert_int_eq(stat(in("one"), &after), 0);
    ck_assert_uint_eq(before.st_ino, after.st_ino);
}
END_TEST

/* The old content is not lost, and a message says where it is. */
START_TEST(what_cannot_be_put_back_is_kept)
{
    put_old();
    bench.refused = bench.files[FILES - 1].path;
    bench.stuck = true;
    ck_assert_int_eq(deliver(), RUN_FAILED);
    const char *found = content();
    ck_assert_ptr_eq(strstr(found, "==> .rotortab-"), found);
    ck_assert_ptr_nonnull(strstr(found, ".before <==old==> one <==new==> three <==old"));
    ck_assert_ptr_null(strstr(found, "two"));
}
END_TEST

/* The next run puts it back, if it can: the journal of a set still names it. */
START_TEST(what_cannot_be_put_back_is_put_back_later)
{
    bench.promise = RUN_A_SET;
    put_old();
    bench.refused = bench.files[FILES - 1].path;
    bench.stuck = true;
    ck_assert_int_eq(deliver(), RUN_FAILED);
    ck_assert_int_eq(access(in(".rotortab-journal"), F_OK), 0);
    bench.stuck = false;
    ck_assert_int_eq(deliver(), RUN_FAILED);
    ck_assert_str_eq(content(), all_old);
}
END_TEST

/* A run that is killed while it takes a set back: the next run takes back the rest. */
START_TEST(what_was_half_taken_back_is_taken_back)
{
    bench.promise = RUN_A_SET;
    support_write(in("two"), "old", 3);
    put_old();
    bench.refused = bench.files[FILES - 1].path;
    bench.killed_back = _i + 1;
    pid_t child = fork();
    ck_assert_int_ge(child, 0);
    if (child == 0) {
        deliver();
        _exit(0);
    }
    int status;
    ck_assert_int_eq(waitpid(child, &status, 0), child);
    ck_assert(WIFSIGNALED(status));
    bench.killed_back = 0;
    bench.refused = NULL;
    struct run_file other = {in("other"), "new", 3};
    ck_assert_int_eq(run_deliver(&bench.arena, &other, 1, &(struct run_inputs){.seen = &bench.seen},
                                 RUN_EACH_FILE),
                     RUN_CLEAN);
    ck_assert_str_eq(content(), "==> one <==old==> other <==new==> three <==old==> two <==old");
}
END_TEST

/* Whatever is there stays: a file, a pipe that nobody reads, a link to nothing. */
START_TEST(a_new_set_goes_over_nothing)
{
    bench.promise = RUN_A_NEW_SET;
    switch (_i) {
    case 0: support_write(in("three"), "old", 3); break;
    case 1: ck_assert_int_eq(mkfifo(in("three"), 0600), 0); break;
    default: ck_assert_int_eq(symlink("elsewhere", in("three")), 0); break;
    }
    ck_assert_int_eq(deliver(), RUN_FAILED);
    ck_assert_int_ne(access(in("one"), F_OK), 0);
    ck_assert_int_ne(access(in("elsewhere"), F_OK), 0);
    ck_assert_int_ne(access(in(".rotortab-journal"), F_OK), 0);
    ck_assert_int_eq(unlink(in("three")), 0);
    ck_assert_int_eq(deliver(), RUN_CLEAN);
    ck_assert_str_eq(content(), all_new);
    ck_assert_int_eq(deliver(), RUN_FAILED);
    ck_assert_str_eq(content(), all_new);
}
END_TEST

/* Without locks a set needs a journal that nobody else has made. */
START_TEST(where_nothing_can_be_locked_a_journal_that_is_there_is_in_use)
{
    bench.promise = RUN_A_SET;
    bench.without_locks = true;
    ck_assert_int_eq(deliver(), RUN_CLEAN);
    ck_assert_str_eq(content(), all_new);
    support_write(in(".rotortab-journal"), "", 0);
    ck_assert_int_eq(deliver(), RUN_FAILED);
    ck_assert_int_eq(access(in(".rotortab-journal"), F_OK), 0);
}
END_TEST

/*
 * A file that a dead run left is removed. A file that a running program has locked stays, and so
 * does any other file.
 */
START_TEST(what_a_dead_run_left_is_removed)
{
    static const char *const others[] = {".rotortab-aBc123.before", ".rotortab-aBc12",
                                         ".rotortab-aBc-12", "rotortab-aBc123"};
    support_write(in(".rotortab-aBc123"), "left", 4);
    support_write(in(".rotortab-living"), "lock", 4);
    for (size_t i = 0; i < sizeof others / sizeof *others; i++) {
        support_write(in(others[i]), "kept", 4);
    }
    ck_assert_int_eq(symlink("rotortab-aBc123", in(".rotortab-a1link")), 0);
    ck_assert_int_eq(mkfifo(in(".rotortab-a1pipe"), 0600), 0);
    int living = open(in(".rotortab-living"), O_RDONLY | O_CLOEXEC);
    ck_assert_int_eq(flock(living, LOCK_EX), 0);
    ck_assert_int_eq(deliver(), RUN_CLEAN);
    ck_assert_int_ne(access(in(".rotortab-aBc123"), F_OK), 0);
    ck_assert_int_eq(access(in(".rotortab-living"), F_OK), 0);
    ck_assert_int_eq(access(in(".rotortab-a1pipe"), F_OK), 0);
    ck_assert_int_eq(access(in(".rotortab-a1link"), F_OK), 0);
    for (size_t i = 0; i < sizeof others / sizeof *others; i++) {
        ck_assert_int_eq(access(in(others[i]), F_OK), 0);
    }
    close(living);
    ck_assert_int_eq(deliver(), RUN_CLEAN);
    ck_assert_int_ne(access(in(".rotortab-living"), F_OK), 0);
}
END_TEST

START_TEST(each_folder_is_tidied_and_synced_once)
{
    ck_assert_int_eq(deliver(), RUN_CLEAN);
    ck_assert_int_eq(bench.folders, 1);
    ck_assert_int_eq(mkdir(in("other"), 0700), 0);
    bench.files[1].path = in("other/two");
    bench.files[2].path = in("other/three");
    support_write(in(".rotortab-aBc123"), "left", 4);
    support_write(in("other/.rotortab-aBc123"), "left", 4);
    ck_assert_int_eq(deliver(), RUN_CLEAN);
    ck_assert_int_eq(bench.folders, 3);
    ck_assert_int_ne(access(in(".rotortab-aBc123"), F_OK), 0);
    ck_assert_int_ne(access(in("other/.rotortab-aBc123"), F_OK), 0);
}
END_TEST

/* Another run can remove a new file before it is locked: then the run takes another name. */
START_TEST(a_file_that_is_removed_before_it_is_locked_is_made_again)
{
    put_old();
    bench.taken_away = 2;
    ck_assert_int_eq(deliver(), RUN_CLEAN);
    ck_assert_int_eq(bench.taken_away, 0);
    ck_assert_str_eq(content(), all_new);
}
END_TEST

START_TEST(a_new_file_is_whole_or_not_there)
{
    struct run_file new = {in("fresh"), "new", 3};
    for (size_t i = 0; i < 2; i++) {
        bench.without_links = i == 1;
        bench.refused = i == 1 ? new.path : NULL;
        if (i == 1) {
            ck_assert_int_eq(run_deliver_new(&bench.arena, &new), RUN_FAILED);
            ck_assert_str_eq(content(), "");
            bench.refused = NULL;
        }
        ck_assert_int_eq(run_deliver_new(&bench.arena, &new), RUN_CLEAN);
        ck_assert_str_eq(content(), "==> fresh <==new");
        new.bytes = "two";
        ck_assert_int_eq(run_deliver_new(&bench.arena, &new), RUN_FAILED);
        ck_assert_str_eq(content(), "==> fresh <==new");
        ck_assert_int_eq(unlink(new.path), 0);
        new.bytes = "new";
    }
}
END_TEST

/* The signal still ends the run, after all files are in place. */
START_TEST(a_signal_waits_until_all_are_in_place)
{
    static const int signals[] = {SIGHUP, SIGINT, SIGTERM};
    put_old();
    bench.signal = signals[_i];
    pid_t child = fork();
    ck_assert_int_ge(child, 0);
    if (child == 0) {
        signal(bench.signal, SIG_DFL); /* the test library uses some of them */
        deliver();
        _exit(0);
    }
    int status;
    ck_assert_int_eq(waitpid(child, &status, 0), child);
    ck_assert(WIFSIGNALED(status));
    ck_assert_int_eq(WTERMSIG(status), bench.signal);
    ck_assert_str_eq(content(), all_new);
}
END_TEST

int main(void)
{
    TCase *tests = tcase_create("deliver");
    tcase_add_checked_fixture(tests, setup, teardown);
    tcase_add_loop_test(tests, all_come_into_their_places, RUN_EACH_FILE, RUN_A_SET + 1);
    tcase_add_loop_test(tests, a_new_set_goes_over_nothing, 0, 3);
    tcase_add_loop_test(tests, where_one_is_refused_all_are_as_they_were, RUN_EACH_FILE,
                        RUN_A_SET + 1);
    tcase_add_test(tests, what_cannot_be_put_back_is_kept);
    tcase_add_test(tests, what_cannot_be_put_back_is_put_back_later);
    tcase_add_loop_test(tests, what_was_half_taken_back_is_taken_back, 0, 2);
    tcase_add_test(tests, where_nothing_can_be_locked_a_journal_that_is_there_is_in_use);
    tcase_add_test(tests, what_a_dead_run_left_is_removed);
    tcase_add_test(tests, each_folder_is_tidied_and_synced_once);
    tcase_add_test(tests, a_file_that_is_removed_before_it_is_locked_is_made_again);
    tcase_add_test(tests, a_new_file_is_whole_or_not_there);
    tcase_add_loop_test(tests, a_signal_waits_until_all_are_in_place, 0, 3);
    return run_case("run", tests);
}
