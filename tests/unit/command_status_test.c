/*
 * command_status_test.c - the program itself: its exit statuses, and what goes to which stream.
 *
 * The program is the one that ROTORTAB names, or build/rotortab.
 */
#include "command/command.h"
#include "unit/support.h"

#include <fcntl.h>
#include <sys/stat.h>
#include <sys/wait.h>

enum { WORDS = 12, SAID = 1 << 16 };

/* A folder with files, and the last output of the program. */
struct bench {
    struct arena arena;
    char folder[PATH_MAX];
    char out[SAID], err[SAID];
};

static struct bench bench;

static void setup(void)
{
    memset(&bench, 0, sizeof bench);
    support_folder(bench.folder);
}

static void teardown(void)
{
    const char *command = arena_printf(&bench.arena, "rm -rf '%s'", bench.folder);
    ck_assert_int_eq(system(command), 0);
    arena_free(&bench.arena);
}

static const char *in(const char *name)
{
    return arena_printf(&bench.arena, "%s/%s", bench.folder, name);
}

static void put(const char *name, const char *text)
{
    support_write(in(name), text, strlen(text));
}

/* The correct files, and others with one change each. */
static void put_files(void)
{
    struct arena *arena = &bench.arena;
    put("plover-2.engine.yaml",
        changed(arena, sound_engine, "    seen: {pad: ccw, rotor: cw}\n",
                "    seen: {pad: ccw, rotor: cw}\n"
                "    blade-order: {stage: S1, first: 32, then: 1}\n")); /* nothing is unproven */
    put("bench-3.device.yaml", sound_device);
    put("broken.engine.yaml", "engine-definition: 1\nid: broken\n");
    const char *warned = changed(arena, sound_engine, "id: plover-2", "id: plover-3");
    warned = changed(arena, warned, "    backlash: 1.2 deg\n", "");
    warned = changed(arena, warned, "name: Plover 2\nmodels: [Plover 2, Plover 2B]\n",
                     "name: Plover 3\nmodels: [Plover 3]\n");
    put("plover-3.engine.yaml", warned);
}

static void read_back(const char *name, char said[SAID])
{
    FILE *file = fopen(in(name), "rb");
    ck_assert_ptr_nonnull(file);
    said[fread(said, 1, SAID - 1, file)] = '\0';
    fclose(file);
    ck_assert_int_eq(unlink(in(name)), 0);
}

static void redirect(const char *path, int flags, int to)
{
    int file = open(path, flags, 0600);
    if (file < 0 || dup2(file, to) < 0) {
        _exit(99);
    }
    close(file);
}

/*
 * Runs the program in the folder. `input` is its standard input, or NULL. `output` takes its
 * output; NULL: a file that is read back. Returns its exit status.
 */
static int run_with(const char *input, const char *output, const char *const words[])
{
    const char *program = getenv("ROTORTAB");
    char path[PATH_MAX];
    char *argv[WORDS + 2] = {NULL};
    ck_assert_ptr_nonnull(realpath(program ? program : "build/rotortab", path));
    put(".in", input ? input : "");
    argv[0] = path;
    for (int i = 0; words[i]; i++) {
        argv[i + 1] = arena_copy(&bench.arena, words[i], strlen(words[i]));
    }
    pid_t child = fork();
    ck_assert_int_ge(child, 0);
    if (child == 0) {
        if (chdir(bench.folder) != 0) {
            _exit(99);
        }
        redirect(".in", O_RDONLY, STDIN_FILENO);
        redirect(output ? output : ".out", O_WRONLY | O_CREAT, STDOUT_FILENO);
        redirect(".err", O_WRONLY | O_CREAT, STDERR_FILENO);
        execv(path, argv);
        _exit(98);
    }
    int status;
    ck_assert_int_eq(waitpid(child, &status, 0), child);
    ck_assert(WIFEXITED(status));
    bench.out[0] = '\0';
    if (!output) {
        read_back(".out", bench.out);
    }
    read_back(".err", bench.err);
    ck_assert_int_eq(unlink(in(".in")), 0);
    return WEXITSTATUS(status);
}

#define run(...) run_with(NULL, NULL, (const char *const[]){__VA_ARGS__, NULL})

#define ASSERT_STATUS(expected, ...)                                                               \
    do {                                                                                           \
        int status_ = run(__VA_ARGS__);                                                            \
        ck_assert_msg(status_ == (expected), "status %d, not %d\n%s%s", status_, (int)(expected),  \
                      bench.out, bench.err);                                                       \
    } while (0)

static void assert_said(const char *stream, const char *part)
{
    ck_assert_msg(strstr(stream, part), "'%s' does not say '%s'", stream, part);
}

START_TEST(usage)
{
    ck_assert_int_eq(run_with(NULL, NULL, (const char *const[]){NULL}), RUN_FAILED);
    assert_said(bench.err, "usage: rotortab");
    ck_assert_str_eq(bench.out, "");
    ASSERT_STATUS(RUN_FAILED, "chekc");
    assert_said(bench.err, "ean check?");
    ASSERT_STATUS(RUN_FAILED, "helicopter");
    ASSERT_STATUS(RUN_FAILED, "check");
    ASSERT_STATUS(RUN_FAILED, "check", "--devise", "x", "y");
    ASSERT_STATUS(RUN_FAILED, "check", "--device");
    ASSERT_STATUS(RUN_FAILED, "check", "--format", "xml", "x");
    ASSERT_STATUS(RUN_FAILED, "rules", "backlash-larg");
    assert_said(bench.err, "ean backlash-large?");
    ASSERT_STATUS(RUN_FAILED, "schema", "polcy");
    ck_assert_str_eq(bench.out, "");
}
END_TEST

START_TEST(what_is_asked_for_goes_to_standard_output)
{
    ASSERT_STATUS(RUN_CLEAN, "--help");
    assert_said(bench.out, "usage: rotortab COMMAND");
    ck_assert_str_eq(bench.err, "");
    ASSERT_STATUS(RUN_CLEAN, "-h");
    ASSERT_STATUS(RUN_CLEAN, "--version");
    ck_assert_str_eq(bench.out, "rotortab " ROTORTAB_VERSION "\n");
    ASSERT_STATUS(RUN_CLEAN, "-V");
    ASSERT_STATUS(RUN_CLEAN, "check", "--help");
    assert_said(bench.out, "usage: rotortab check");
    ck_assert_str_eq(bench.err, "");
    ASSERT_STATUS(RUN_CLEAN, "rules", "backlash-large");
    assert_said(bench.out, "backlash-large");
}
END_TEST

START_TEST(check_by_what_is_found)
{
    put_files();
    ASSERT_STATUS(RUN_CLEAN, "check", "plover-2.engine.yaml");
    ck_assert_str_eq(bench.out, "1 definition: 0 errors, 0 warnings, 0 notes\n");
    ck_assert_str_eq(bench.err, "");
    ASSERT_STATUS(RUN_CLEAN, "check", "-d", "bench-3.device.yaml", "plover-2.engine.yaml");
    ASSERT_STATUS(RUN_FINDINGS, "check", "broken.engine.yaml");
    assert_said(bench.out, "broken.engine.yaml:1:1: error: ");
    ck_assert_str_eq(bench.err, "");
    ASSERT_STATUS(RUN_CLEAN, "check", "plover-3.engine.yaml");
    assert_said(bench.out, "[backlash-missing]");
    ASSERT_STATUS(RUN_FINDINGS, "check", "--strict", "plover-3.engine.yaml");
    assert_said(bench.out, "error: pad crank has no backlash [backlash-missing]");
    ASSERT_STATUS(RUN_FINDINGS, "check", ".");
    ASSERT_STATUS(RUN_FINDINGS, "check", "--format", "json", "broken.engine.yaml");
    ck_assert_int_eq(strncmp(bench.out, "{\"findings\": [", 14), 0);
}
END_TEST

START_TEST(check_from_standard_input)
{
    static const char *const words[] = {"check", "-", NULL};
    ck_assert_int_eq(run_with(sound_engine, NULL, words), RUN_CLEAN);
    ck_assert_int_eq(run_with("engine-definition: 1\n", NULL, words), RUN_FINDINGS);
    assert_said(bench.out, "-:1:1: error: ");
    ck_assert_int_eq(run_with("", NULL, words), RUN_FINDINGS);
}
END_TEST

/* A file that cannot be read decides the status, and the others are still checked. */
START_TEST(check_what_cannot_be_read)
{
    put_files();
    ASSERT_STATUS(RUN_FAILED, "check", "none.engine.yaml");
    assert_said(bench.err, "none.engine.yaml");
    ASSERT_STATUS(RUN_FAILED, "check", "none.engine.yaml", "broken.engine.yaml");
    assert_said(bench.out, "broken.engine.yaml:1:1: error: ");
    ASSERT_STATUS(RUN_FAILED, "check", "-d", "none.device.yaml", "plover-2.engine.yaml");
    ASSERT_STATUS(RUN_FAILED, "check", "--policy", "none.yaml", "plover-2.engine.yaml");
    ck_assert_int_eq(mkdir(in("empty"), 0700), 0);
    ASSERT_STATUS(RUN_FAILED, "check", "empty"); /* a gate for a wrong folder must fail */
    assert_said(bench.err, "empty");
}
END_TEST

START_TEST(output_that_cannot_be_written)
{
    put_files();
    static const char *const check[] = {"check", "plover-2.engine.yaml", NULL};
    static const char *const help[] = {"--help", NULL};
    ck_assert_int_eq(run_with(NULL, "/dev/full", check), RUN_FAILED);
    assert_said(bench.err, "cannot write to standard output");
    ck_assert_int_eq(run_with(NULL, "/dev/full", help), RUN_FAILED);
}
END_TEST

/* After an error nothing is written, and the old table stays. */
START_TEST(compile_all_or_nothing)
{
    put_files();
    ASSERT_STATUS(RUN_FINDINGS, "compile", "-d", "bench-3.device.yaml", "-o", "t",
                  "broken.engine.yaml", "plover-2.engine.yaml");
    ck_assert_int_ne(access(in("t"), F_OK), 0);
    put("t", "old");
    ASSERT_STATUS(RUN_FINDINGS, "compile", "-d", "bench-3.device.yaml", "-o", "t",
                  "broken.engine.yaml");
    read_back("t", bench.out);
    ck_assert_str_eq(bench.out, "old");
    ASSERT_STATUS(RUN_CLEAN, "compile", "-d", "bench-3.device.yaml", "-o", "t",
                  "plover-2.engine.yaml");
    ASSERT_STATUS(RUN_CLEAN, "verify", "t");
    ASSERT_STATUS(RUN_CLEAN, "show", "t");
    assert_said(bench.out, "plover-2");
    ASSERT_STATUS(RUN_FAILED, "compile", "-d", "bench-3.device.yaml", "-o", "none/t",
                  "plover-2.engine.yaml");
    ASSERT_STATUS(RUN_FAILED, "compile", "-o", "t", "plover-2.engine.yaml");
    ASSERT_STATUS(RUN_FAILED, "compile", "-d", "bench-3.device.yaml", "plover-2.engine.yaml");
}
END_TEST

START_TEST(tables_that_are_none)
{
    put("t", "this is no table at all, however long it may be, and it is refused");
    ASSERT_STATUS(RUN_FINDINGS, "verify", "t");
    ASSERT_STATUS(RUN_FINDINGS, "show", "t");
    ASSERT_STATUS(RUN_FAILED, "verify", "none");
    ASSERT_STATUS(RUN_FAILED, "show", "none");
}
END_TEST

START_TEST(stops_and_findings_on_two_streams)
{
    put_files();
    ASSERT_STATUS(RUN_CLEAN, "stops", "-d", "bench-3.device.yaml", "-f", "json",
                  "plover-2.engine.yaml");
    assert_said(bench.out, "\"counts_per_rotor_turn\": \"320000\"");
    ck_assert_str_eq(bench.err, "");
    ASSERT_STATUS(RUN_FINDINGS, "stops", "-d", "bench-3.device.yaml", "broken.engine.yaml");
    assert_said(bench.err, "broken.engine.yaml:1:1: error: ");
    ASSERT_STATUS(RUN_FAILED, "stops", "-d", "bench-3.device.yaml", "-p", "crnk",
                  "plover-2.engine.yaml");
}
END_TEST

/* A definition that is compared with itself has no differences. */
START_TEST(compare_by_differences)
{
    put_files();
    ASSERT_STATUS(RUN_CLEAN, "compare", "plover-2.engine.yaml", "plover-2.engine.yaml");
    ck_assert_int_eq(mkdir(in("other"), 0700), 0);
    put("other/plover-2.engine.yaml",
        changed(&bench.arena, sound_engine, "blades: 32", "blades: 33"));
    /* Other stops under the same revision are trouble; under a new one they are a difference. */
    ASSERT_STATUS(RUN_FAILED, "compare", "plover-2.engine.yaml", "other/plover-2.engine.yaml");
    put("other/plover-2.engine.yaml",
        changed(&bench.arena, changed(&bench.arena, sound_engine, "blades: 32", "blades: 33"),
                "revision: 4", "revision: 5"));
    ASSERT_STATUS(RUN_FINDINGS, "compare", "plover-2.engine.yaml", "other/plover-2.engine.yaml");
    ASSERT_STATUS(RUN_FAILED, "compare", "plover-2.engine.yaml", "none.engine.yaml");
}
END_TEST

int main(void)
{
    TCase *tests = tcase_create("status");
    tcase_add_checked_fixture(tests, setup, teardown);
    tcase_set_timeout(tests, 60);
    tcase_add_test(tests, usage);
    tcase_add_test(tests, what_is_asked_for_goes_to_standard_output);
    tcase_add_test(tests, check_by_what_is_found);
    tcase_add_test(tests, check_from_standard_input);
    tcase_add_test(tests, check_what_cannot_be_read);
    tcase_add_test(tests, output_that_cannot_be_written);
    tcase_add_test(tests, compile_all_or_nothing);
    tcase_add_test(tests, tables_that_are_none);
    tcase_add_test(tests, stops_and_findings_on_two_streams);
    tcase_add_test(tests, compare_by_differences);
    return run_case("command", tests);
}
