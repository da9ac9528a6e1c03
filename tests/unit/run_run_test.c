/*
 * run_run_test.c - a run without a command line: its options, its files in order, its status.
 */
#include "run/nearest.h"
#include "unit/support.h"

enum { MOST_SEEN = 8 };

/* A run over the files in a folder, and the definitions that it passed on. */
static struct {
    struct arena arena;
    struct report_sink sink;
    struct run_options options;
    struct run run;
    struct text_paths paths;
    char folder[PATH_MAX];
    const char *seen[MOST_SEEN];
    size_t seen_count;
} bench;

static const char *put(const char *name, const char *text)
{
    const char *path = arena_printf(&bench.arena, "%s/%s", bench.folder, name);
    support_write(path, text, strlen(text));
    return path;
}

static void setup(void)
{
    memset(&bench, 0, sizeof bench);
    support_folder(bench.folder);
    bench.sink = report_sink(fopen("/dev/null", "w"), REPORT_TEXT, &bench.arena);
    ck_assert_ptr_nonnull(bench.sink.out);
    bench.options = (struct run_options){
        .arena = &bench.arena, .sink = &bench.sink, .jobs = 1, .today = 20260101};
}

static void teardown(void)
{
    ck_assert_int_eq(system(arena_printf(&bench.arena, "rm -rf '%s'", bench.folder)), 0);
    fclose(bench.sink.out);
    arena_free(&bench.arena);
}

static void keep_id(void *context, const struct model_source *source,
                    const struct rules_judging *judging)
{
    (void)context;
    ck_assert_ptr_eq(judging->derived.engine, source->engine);
    ck_assert_uint_lt(bench.seen_count, MOST_SEEN);
    const char *id = source->engine->id.text;
    bench.seen[bench.seen_count++] = arena_copy(&bench.arena, id, strlen(id));
}

/* Writes definitions with these ids. */
static void put_engines(const char *const ids[], size_t count)
{
    for (size_t i = 0; i < count; i++) {
        const char *id = arena_printf(&bench.arena, "id: %s", ids[i]);
        const char *names = arena_printf(&bench.arena, "[%s]", ids[i]);
        const char *text = changed(&bench.arena, sound_engine, "id: plover-2", id);
        text = changed(&bench.arena, text, "[Plover 2, Plover 2B]", names);
        (void)put(arena_printf(&bench.arena, "%s.engine.yaml", ids[i]), text);
    }
}

/* Judges the whole folder. */
static int judge(void)
{
    bench.seen_count = 0;
    bench.paths = (struct text_paths){NULL, 0, 0};
    text_paths_add(&bench.paths, &bench.arena, bench.folder);
    if (run_start(&bench.run, &bench.options)) {
        run_judge_paths(&bench.run, &bench.paths, keep_id, NULL);
    }
    return run_status(&bench.run);
}

START_TEST(definitions_come_in_order)
{
    static const char *const ids[] = {"auk-1", "bit-2", "cob-3", "dab-4", "elk-5", "fox-6"};
    put_engines(ids, 6);
    for (size_t jobs = 1; jobs <= 3; jobs++) {
        bench.options.jobs = jobs;
        ck_assert_int_eq(judge(), RUN_CLEAN);
        ck_assert_uint_eq(bench.seen_count, 6);
        for (size_t i = 0; i < 6; i++) {
            ck_assert_str_eq(bench.seen[i], ids[i]);
        }
        ck_assert_uint_eq(bench.run.definitions, 6);
        ck_assert_str_eq(run_summary(&bench.run), "6 definitions");
    }
}
END_TEST

START_TEST(a_definition_with_an_error_is_not_passed_on)
{
    static const char *const ids[] = {"auk-1", "cob-3"};
    put_engines(ids, 2);
    (void)put("bit-2.engine.yaml", "engine-definition: 1\n");
    ck_assert_int_eq(judge(), RUN_FINDINGS);
    ck_assert_uint_eq(bench.seen_count, 2);
    ck_assert_str_eq(bench.seen[1], "cob-3");
}
END_TEST

START_TEST(warnings_are_errors_if_strict)
{
    static const char *const ids[] = {"auk-1"};
    put_engines(ids, 1);
    (void)put("auk-1.engine.yaml",
              changed(&bench.arena,
                      changed(&bench.arena, sound_engine, "id: plover-2", "id: auk-1"),
                      "    backlash: 1.2 deg\n", ""));
    ck_assert_int_eq(judge(), RUN_CLEAN);
    ck_assert_uint_eq(bench.sink.warnings, 1);
    bench.options.strict = true;
    ck_assert_int_eq(judge(), RUN_FINDINGS);
    ck_assert_uint_eq(bench.seen_count, 0);
}
END_TEST

START_TEST(a_device_decides_which_rules_run)
{
    static const char *const ids[] = {"auk-1"};
    put_engines(ids, 1);
    bench.options.device = put("bench-3.device.yaml", sound_device);
    ck_assert_int_eq(judge(), RUN_CLEAN);
    ck_assert(bench.run.has_device);
    ck_assert_ptr_null(bench.run.device_problem);
    ck_assert_uint_eq(bench.run.profiles, 1);
    bench.options.device = put("rotor.device.yaml", "device-profile: 1\n");
    ck_assert_int_eq(judge(), RUN_FINDINGS);
    ck_assert(!bench.run.has_device);
    ck_assert_ptr_nonnull(bench.run.device_problem);
}
END_TEST

START_TEST(a_folder_without_a_source_fails)
{
    ck_assert_int_eq(judge(), RUN_FAILED);
    ck_assert(bench.run.failed);
    ck_assert(!bench.run.misused);
    bench.options.name = "x.engine.yaml"; /* and no source is on standard input */
    ck_assert_int_eq(judge(), RUN_FAILED);
    ck_assert(bench.run.misused);
}
END_TEST

/* The texts that an editor has open are read instead of the files, and nothing is reported. */
static const char *find_text(void *context, const char *real, size_t *length)
{
    const char *text = context;
    *length = strlen(text);
    return strstr(real, ".policy.yaml") ? text : NULL;
}

START_TEST(an_open_text_replaces_its_file)
{
    static char text[] = "policy: 1\nrules: {backlash-missing: error}\n";
    struct run_open_texts texts = {find_text, text};
    bench.options.policy = put("own.policy.yaml", "policy: 1\n");
    ck_assert(run_start(&bench.run, &bench.options));
    ck_assert_uint_eq(bench.run.set_policy->rules.count, 0);
    bench.options.open = &texts;
    ck_assert(run_start(&bench.run, &bench.options));
    ck_assert_uint_eq(bench.run.set_policy->rules.count, 1);
    memcpy(text, "polizy", 6);
    ck_assert(!run_start(&bench.run, &bench.options));
    ck_assert_ptr_nonnull(bench.run.set_file->problem);
    ck_assert_uint_eq(bench.sink.errors, 0);
}
END_TEST

int main(void)
{
    TCase *tests = tcase_create("run");
    tcase_add_checked_fixture(tests, setup, teardown);
    tcase_add_test(tests, definitions_come_in_order);
    tcase_add_test(tests, a_definition_with_an_error_is_not_passed_on);
    tcase_add_test(tests, warnings_are_errors_if_strict);
    tcase_add_test(tests, a_device_decides_which_rules_run);
    tcase_add_test(tests, a_folder_without_a_source_fails);
    tcase_add_test(tests, an_open_text_replaces_its_file);
    return run_case("run", tests);
}
