/*
 * report_finding_test.c - findings as text and as JSON, and a whole run's of them.
 */
#include "report/finding.h"
#include "report/sink.h"
#include "text/utf8.h"
#include "unit/support.h"

static const struct report_look plain = {false, 0};
static const struct report_look coloured = {true, 0};

/* What is written to an open stream, in memory. */
struct written {
    FILE *out;
    char *text;
    size_t length;
    struct arena arena; /* of the words */
};

static void start(struct written *w)
{
    w->arena = (struct arena){.newest = NULL};
    w->out = open_memstream(&w->text, &w->length);
    ck_assert_ptr_nonnull(w->out);
}

static void assert_written(struct written *w, const char *expected)
{
    ck_assert_int_eq(fclose(w->out), 0);
    ck_assert_str_eq(w->text, expected);
    free(w->text);
    arena_free(&w->arena);
}

/* A file with some lines and an empty list of findings. */
struct sheet {
    struct arena arena;
    struct findings list;
    struct text_file file;
};

static void lay(struct sheet *sheet, const char *path, const char *text)
{
    memset(sheet, 0, sizeof *sheet);
    findings_start(&sheet->list, &sheet->arena);
    sheet->file =
        (struct text_file){.path = path, .bytes = text, .length = text ? strlen(text) : 0};
}

static struct span at(const struct sheet *sheet, uint32_t line, uint32_t column, uint32_t end)
{
    return (struct span){&sheet->file, line, column, line, end};
}

/* The finding, as people see it without a terminal. */
static void assert_text(const struct finding *finding, const char *expected)
{
    struct written w;
    start(&w);
    report_finding_text(w.out, &w.arena, finding, &plain, false);
    assert_written(&w, expected);
}

START_TEST(text_of_a_finding)
{
    struct sheet s;
    lay(&s, "a.engine.yaml", "id: a\nblades: 7\nteeth: 9\n");
    struct finding *finding =
        finding_add(&s.list, RULE_BLADE_COUNT_UNUSUAL, at(&s, 2, 9, 10), "%d blades", 7);
    assert_text(finding, "a.engine.yaml:2:9: warning: 7 blades [blade-count-unusual]\n"
                         "     2 | blades: 7\n"
                         "       |         ^\n"
                         "  A wrong blade count skips blades or shows them twice.\n"
                         "  Count again, or change the policy's limit.\n");
    finding_note(&s.list, finding, at(&s, 3, 1, 6), "beside it");
    finding_note(&s.list, finding, at(&s, 1, 5, 6), "and this");
    finding_consequence(&s.list, finding, "It skips.");
    finding_remedy(&s.list, finding, "Count.");
    finding->severity = SEVERITY_ERROR;
    assert_text(finding, "a.engine.yaml:2:9: error: 7 blades [blade-count-unusual]\n"
                         "     2 | blades: 7\n"
                         "       |         ^\n"
                         "a.engine.yaml:3:1: note: beside it\n"
                         "     3 | teeth: 9\n"
                         "       | ^~~~~\n"
                         "a.engine.yaml:1:5: note: and this\n"
                         "     1 | id: a\n"
                         "       |     ^\n"
                         "  It skips.\n"
                         "  Count.\n");
    arena_free(&s.arena);
}
END_TEST

/* A note is one line, as is a waived finding, and any that is to be brief. */
START_TEST(text_in_one_line)
{
    struct sheet s;
    struct written w;
    lay(&s, "a.yaml", "blades: 7\n");
    struct finding *finding =
        finding_add(&s.list, RULE_STEP_NOT_WHOLE, at(&s, 1, 9, 10), "not whole");
    assert_text(finding, "a.yaml:1:9: note: not whole [step-not-whole]\n");
    finding->severity = SEVERITY_ERROR;
    start(&w);
    report_finding_text(w.out, &w.arena, finding, &plain, true);
    assert_written(&w, "a.yaml:1:9: error: not whole [step-not-whole]\n");
    finding->waived = "seen to\033[31m it";
    assert_text(finding, "a.yaml:1:9: note: waived error (seen to\xef\xbf\xbd[31m it): not whole "
                         "[step-not-whole]\n");
    arena_free(&s.arena);
}
END_TEST

/* Without a line, without a file, and with a file of which only the name is kept. */
START_TEST(text_without_an_excerpt)
{
    static const char said[] =
        "  The program did not read the file, so nothing in it is checked.\n"
        "  Find out which file this is. A source file has a few kilobytes.\n";
    struct sheet s;
    lay(&s, "a.yaml", "x\n");
    struct finding *finding =
        finding_add(&s.list, RULE_TOO_LARGE, text_file_span(&s.file), "large");
    assert_text(finding, arena_printf(&s.arena, "a.yaml: error: large [too-large]\n%s", said));
    finding->at.file = NULL;
    assert_text(finding, arena_printf(&s.arena, "rotortab: error: large [too-large]\n%s", said));
    s.file.bytes = NULL;
    finding->at = at(&s, 3, 7, 9);
    assert_text(finding, arena_printf(&s.arena, "a.yaml:3:7: error: large [too-large]\n%s", said));
    arena_free(&s.arena);
}
END_TEST

static const char why[] = "  A wrong digit in a tooth count makes every step wrong.\n"
                          "  Compare the count with the drawing, or change the policy's limit.\n";

/* Columns are characters.  A tab is one, and is shown as a blank, so that the mark is in place. */
START_TEST(text_marks_characters)
{
    struct sheet s;
    lay(&s, "a.yaml", "\xc3\xa9\xe2\x82\xac\xf0\x9f\x94\xa7:\t[7, \xc3\xa9]\n");
    struct finding *finding = finding_add(&s.list, RULE_TEETH_FEW, at(&s, 1, 7, 8), "few");
    assert_text(finding, arena_printf(&s.arena,
                                      "a.yaml:1:7: warning: few [teeth-few]\n"
                                      "     1 | \xc3\xa9\xe2\x82\xac\xf0\x9f\x94\xa7: [7, \xc3\xa9]"
                                      "\n"
                                      "       |       ^\n%s",
                                      why));
    finding->at = at(&s, 1, 6, 12);
    assert_text(finding, arena_printf(&s.arena,
                                      "a.yaml:1:6: warning: few [teeth-few]\n"
                                      "     1 | \xc3\xa9\xe2\x82\xac\xf0\x9f\x94\xa7: [7, \xc3\xa9]"
                                      "\n"
                                      "       |      ^~~~~~\n%s",
                                      why));
    /* over several lines: to the end of the first */
    finding->at = (struct span){&s.file, 1, 7, 3, 2};
    assert_text(finding, arena_printf(&s.arena,
                                      "a.yaml:1:7: warning: few [teeth-few]\n"
                                      "     1 | \xc3\xa9\xe2\x82\xac\xf0\x9f\x94\xa7: [7, \xc3\xa9]"
                                      "\n"
                                      "       |       ^~~~~\n%s",
                                      why));
    arena_free(&s.arena);
}
END_TEST

/* Ninety-six characters of a long line, from thirty-two before the mark on. */
START_TEST(text_cuts_long_lines)
{
    struct sheet s;
    char line[302];
    for (size_t i = 0; i < 300; i++) {
        line[i] = (char)('0' + (i + 1) % 10);
    }
    line[300] = '\n';
    line[301] = '\0';
    lay(&s, "a.yaml", line);
    struct finding *finding = finding_add(&s.list, RULE_TEETH_FEW, at(&s, 1, 5, 200), "few");
    char tildes[300];
    memset(tildes, '~', sizeof tildes);
    assert_text(finding, arena_printf(&s.arena,
                                      "a.yaml:1:5: warning: few [teeth-few]\n"
                                      "     1 | %.96s...\n"
                                      "       |     ^%.*s\n%s",
                                      line, 91, tildes, why));
    finding->at = at(&s, 1, 101, 103);
    assert_text(finding, arena_printf(&s.arena,
                                      "a.yaml:1:101: warning: few [teeth-few]\n"
                                      "     1 | ...%.96s...\n"
                                      "       | %*s^~\n%s",
                                      line + 68, 35, "", why));
    finding->at = at(&s, 1, 300, 301);
    assert_text(finding, arena_printf(&s.arena,
                                      "a.yaml:1:300: warning: few [teeth-few]\n"
                                      "     1 | ...%.33s\n"
                                      "       | %*s^\n%s",
                                      line + 267, 35, "", why));
    arena_free(&s.arena);
}
END_TEST

/* Text that moves a terminal's cursor, and bytes that are not text, never reach it. */
START_TEST(text_from_a_hostile_file)
{
    struct sheet s;
    lay(&s, "a\033[2J\xff.yaml", "x\033]0;t\007: \xc2\x9b\x7f\xff\n");
    struct finding *finding =
        finding_add(&s.list, RULE_TEETH_FEW, at(&s, 1, 1, 2), "a \033[31mred\r\n one");
    assert_text(finding,
                arena_printf(
                    &s.arena,
                    "a\xef\xbf\xbd[2J\xef\xbf\xbd.yaml:1:1: warning: a \xef\xbf\xbd[31mred   one "
                    "[teeth-few]\n"
                    "     1 | x\xef\xbf\xbd]0;t\xef\xbf\xbd: \xef\xbf\xbd\xef\xbf\xbd\xef\xbf\xbd\n"
                    "       | ^\n%s",
                    why));
    ck_assert_str_eq(text_clean(&s.arena, "a\033\xff\x7f\xc2\x9b\xc3\xa9"),
                     "a\xef\xbf\xbd\xef\xbf\xbd\xef\xbf\xbd\xef\xbf\xbd\xc3\xa9");
    arena_free(&s.arena);
}
END_TEST

START_TEST(text_in_colour)
{
    static const char *const colours[] = {"\033[36m", "\033[35m", "\033[1;31m"};
    struct sheet s;
    lay(&s, "a.yaml", "x: 7\n");
    struct finding *finding = finding_add(&s.list, RULE_TEETH_FEW, at(&s, 1, 4, 5), "few");
    for (int severity = SEVERITY_NOTE; severity <= SEVERITY_ERROR; severity++) {
        struct written w;
        start(&w);
        finding->severity = (enum severity)severity;
        report_finding_text(w.out, &w.arena, finding, &coloured, true);
        assert_written(&w, arena_printf(&s.arena, "a.yaml:1:4: %s%s\033[0m: few [teeth-few]\n",
                                        colours[severity - SEVERITY_NOTE],
                                        severity_name(finding->severity)));
    }
    struct written w;
    start(&w);
    report_finding_text(w.out, &w.arena, finding, &coloured, false);
    fflush(w.out);
    ck_assert_ptr_nonnull(strstr(w.text, "    \033[1;33m^\033[0m\n"));
    ck_assert_ptr_nonnull(strstr(w.text, "\033[2mCompare the count"));
    fclose(w.out);
    free(w.text);
    arena_free(&w.arena);
    arena_free(&s.arena);
}
END_TEST

/* On a terminal lines are broken at words; the excerpt is not. */
START_TEST(text_in_columns)
{
    static const struct report_look narrow = {false, 44};
    struct sheet s;
    struct written w;
    lay(&s, "a.yaml", "x: 7                                          # a long comment\n");
    struct finding *finding = finding_add(&s.list, RULE_TEETH_FEW, at(&s, 1, 4, 5),
                                          "seven words that do not fit one line of it");
    finding_note(&s.list, finding, at(&s, 0, 0, 0), "a note with more words than one line");
    finding_consequence(&s.list, finding, "The teeth are loaded more than others are, always.");
    finding_remedy(&s.list, finding, "Count.");
    finding->severity = SEVERITY_WARNING;
    start(&w);
    report_finding_text(w.out, &w.arena, finding, &narrow, false);
    assert_written(&w, "a.yaml:1:4: warning: seven words that do not\n"
                       "    fit one line of it [teeth-few]\n"
                       "     1 | x: 7                                          # a long comment\n"
                       "       |    ^\n"
                       "a.yaml: note: a note with more words than\n"
                       "    one line\n"
                       "  The teeth are loaded more than others are,\n"
                       "  always.\n"
                       "  Count.\n");
    arena_free(&s.arena);
}
END_TEST

static void assert_string(json_t *object, const char *key, const char *expected)
{
    const char *value = json_string_value(json_object_get(object, key));
    ck_assert_msg(value && strcmp(value, expected) == 0, "%s is %s, not %s", key,
                  value ? value : "missing", expected);
}

static void assert_number(json_t *object, const char *key, json_int_t expected)
{
    ck_assert(json_is_integer(json_object_get(object, key)));
    ck_assert_int_eq(json_integer_value(json_object_get(object, key)), expected);
}

START_TEST(json_of_a_finding)
{
    struct sheet s;
    lay(&s, "a.yaml", "x: 7\n");
    struct finding *finding = finding_add(&s.list, RULE_RATIO_COARSE, at(&s, 2, 9, 14), "coarse");
    json_t *object = report_finding_object(finding);
    ck_assert_uint_eq(json_object_size(object), 13);
    assert_string(object, "rule", "ratio-coarse");
    assert_string(object, "family", "ratio");
    assert_string(object, "severity", "error");
    assert_string(object, "file", "a.yaml");
    assert_number(object, "line", 2);
    assert_number(object, "column", 9);
    assert_number(object, "end_line", 2);
    assert_number(object, "end_column", 14);
    assert_string(object, "message", "coarse");
    assert_string(object, "consequence", rule_row(RULE_RATIO_COARSE)->why);
    assert_string(object, "remedy", rule_row(RULE_RATIO_COARSE)->remedy);
    ck_assert_uint_eq(json_array_size(json_object_get(object, "related")), 0);
    ck_assert(json_is_object(json_object_get(object, "numbers")));
    ck_assert_uint_eq(json_object_size(json_object_get(object, "numbers")), 0);
    json_decref(object);

    finding_note(&s.list, finding, at(&s, 1, 4, 5), "beside it");
    finding_note(&s.list, finding, text_file_span(&s.file), "all of it");
    finding_number(&s.list, finding, "degrees_per_turn", "120/13");
    finding_consequence(&s.list, finding, "It drifts.");
    finding_remedy(&s.list, finding, "Count.");
    finding->pad = "crank";
    finding->stage = "S1";
    finding->waived = "for a time";
    object = report_finding_object(finding);
    ck_assert_uint_eq(json_object_size(object), 16);
    assert_string(object, "consequence", "It drifts.");
    assert_string(object, "remedy", "Count.");
    assert_string(object, "pad", "crank");
    assert_string(object, "stage", "S1");
    assert_string(object, "waived", "for a time");
    assert_string(json_object_get(object, "numbers"), "degrees_per_turn", "120/13");
    json_t *related = json_object_get(object, "related");
    ck_assert_uint_eq(json_array_size(related), 2);
    json_t *place = json_array_get(related, 0);
    ck_assert_uint_eq(json_object_size(place), 6);
    assert_string(place, "file", "a.yaml");
    assert_number(place, "line", 1);
    assert_string(place, "message", "beside it");
    ck_assert_uint_eq(json_object_size(json_array_get(related, 1)), 2);
    json_decref(object);
    arena_free(&s.arena);
}
END_TEST

/* The same object, on one line, whatever the texts hold. */
START_TEST(json_as_written)
{
    struct sheet s;
    struct written w;
    lay(&s, "a\xff\".yaml", NULL);
    struct finding *finding = finding_add(&s.list, RULE_TOO_LARGE, text_file_span(&s.file),
                                          "a \"large\"\n\xf0\x9f\x94\xa7 \\ one");
    start(&w);
    report_finding_json(w.out, finding);
    fclose(w.out);
    ck_assert_ptr_null(strchr(w.text, '\n'));
    json_t *object = json_loads(w.text, JSON_REJECT_DUPLICATES, NULL);
    ck_assert_ptr_nonnull(object);
    assert_string(object, "file", "a\xef\xbf\xbd\".yaml");
    assert_string(object, "message", "a \"large\"\n\xf0\x9f\x94\xa7 \\ one");
    ck_assert_ptr_null(json_object_get(object, "line"));
    json_decref(object);
    free(w.text);
    arena_free(&s.arena);
}
END_TEST

/* A run of two files: errors, warnings, notes, and one that a policy turned off. */
static void report_two(struct report_sink *sink, struct sheet *first, struct sheet *second)
{
    lay(first, "a.yaml", "x: 7\ny: 8\n");
    (void)finding_add(&first->list, RULE_STEP_NOT_WHOLE, at(first, 2, 4, 5), "one");
    (void)finding_add(&first->list, RULE_STEP_NOT_WHOLE, at(first, 1, 4, 5), "two");
    (void)finding_add(&first->list, RULE_STEP_NOT_WHOLE, at(first, 2, 1, 2), "three");
    finding_add(&first->list, RULE_TEETH_FEW, at(first, 1, 1, 2), "off")->severity = SEVERITY_OFF;
    finding_add(&first->list, RULE_BACKLASH_LARGE, at(first, 1, 1, 2), "all right")->waived =
        "seen";
    finding_add(&first->list, RULE_STEP_NOT_WHOLE, at(first, 1, 2, 3), "known")->waived = "seen";
    report_findings(sink, &first->list);
    lay(second, "b.yaml", "x: 7\n");
    (void)finding_add(&second->list, RULE_RATIO_COARSE, at(second, 1, 1, 2), "coarse");
    (void)finding_add(&second->list, RULE_TEETH_MANY, at(second, 1, 1, 2), "many");
    report_findings(sink, &second->list);
}

START_TEST(run_as_text)
{
    struct sheet first;
    struct sheet second;
    struct written w;
    struct arena arena = {.newest = NULL};
    start(&w);
    struct report_sink sink = report_sink(w.out, REPORT_TEXT, &arena);
    ck_assert(!sink.look.colour);
    report_two(&sink, &first, &second);
    report_close(&sink, "2 definitions");
    ck_assert_uint_eq(sink.errors, 1);
    ck_assert_uint_eq(sink.warnings, 1);
    ck_assert_uint_eq(sink.notes, 3);
    ck_assert_uint_eq(sink.waived, 2);
    assert_written(
        &w,
        arena_printf(&arena,
                     "a.yaml:1:1: note: waived error (seen): all right [backlash-large]\n"
                     "a.yaml:1:2: note: waived note (seen): known [step-not-whole]\n"
                     "a.yaml:1:4: note: two [step-not-whole]\n"
                     "a.yaml: note: 2 more of these [step-not-whole]\n"
                     "b.yaml:1:1: error: coarse [ratio-coarse]\n"
                     "     1 | x: 7\n"
                     "       | ^\n"
                     "  %s\n"
                     "  %s\n"
                     "b.yaml:1:1: warning: many [teeth-many]\n"
                     "     1 | x: 7\n"
                     "       | ^\n"
                     "%s"
                     "\n2 definitions: 1 error, 1 warning, 3 notes, 2 waived\n",
                     rule_row(RULE_RATIO_COARSE)->why, rule_row(RULE_RATIO_COARSE)->remedy, why));
    arena_free(&first.arena);
    arena_free(&second.arena);
    arena_free(&arena);
}
END_TEST

/* More than a hundred of a file, and nobody reads them all: the rest are lines. */
START_TEST(run_with_very_many)
{
    struct sheet s;
    struct written w;
    struct arena arena = {.newest = NULL};
    lay(&s, "a.yaml", "x\n");
    for (int i = 0; i < 103; i++) {
        (void)finding_add(&s.list, RULE_TEETH_FEW, at(&s, 1, 1, 2), "few");
    }
    start(&w);
    struct report_sink sink = report_sink(w.out, REPORT_TEXT, &arena);
    report_findings(&sink, &s.list);
    fclose(w.out);
    size_t lines = 0;
    for (const char *c = w.text; *c; c++) {
        lines += *c == '\n';
    }
    ck_assert_uint_eq(lines, 100 * 5 + 3);
    free(w.text);
    arena_free(&s.arena);
    arena_free(&arena);
}
END_TEST

START_TEST(run_as_json)
{
    struct sheet first;
    struct sheet second;
    struct written w;
    struct arena arena = {.newest = NULL};
    start(&w);
    struct report_sink sink = report_sink(w.out, REPORT_JSON, &arena);
    report_two(&sink, &first, &second);
    report_failure(&sink, "cannot read \xff: no such file", "x");
    report_close(&sink, "2 definitions");
    fclose(w.out);
    json_t *report = json_loads(w.text, JSON_REJECT_DUPLICATES, NULL);
    ck_assert_ptr_nonnull(report);
    ck_assert_uint_eq(json_object_size(report), 7);
    json_t *findings = json_object_get(report, "findings");
    static const char *const messages[] = {"all right", "known",  "two", "three",
                                           "one",       "coarse", "many"};
    ck_assert_uint_eq(json_array_size(findings), 7);
    for (size_t i = 0; i < 7; i++) {
        assert_string(json_array_get(findings, i), "message", messages[i]);
    }
    assert_number(report, "errors", 1);
    assert_number(report, "warnings", 1);
    assert_number(report, "notes", 3);
    assert_number(report, "waived", 2);
    json_t *failures = json_object_get(report, "failures");
    ck_assert_uint_eq(json_array_size(failures), 1);
    ck_assert_str_eq(json_string_value(json_array_get(failures, 0)),
                     "cannot read \xef\xbf\xbd: no such file");
    json_decref(report);
    free(w.text);
    arena_free(&first.arena);
    arena_free(&second.arena);
    arena_free(&arena);
}
END_TEST

/* Nothing found is a whole report too. */
START_TEST(run_without_findings)
{
    struct arena arena = {.newest = NULL};
    struct written w;
    struct findings none;
    findings_start(&none, &arena);
    start(&w);
    struct report_sink sink = report_sink(w.out, REPORT_JSON, &arena);
    report_findings(&sink, &none);
    report_close(&sink, "1 definition");
    fclose(w.out);
    json_t *report = json_loads(w.text, 0, NULL);
    ck_assert_ptr_nonnull(report);
    ck_assert_uint_eq(json_array_size(json_object_get(report, "findings")), 0);
    ck_assert(json_is_array(json_object_get(report, "findings")));
    assert_number(report, "errors", 0);
    json_decref(report);
    free(w.text);

    start(&w);
    sink = report_sink(w.out, REPORT_TEXT, &arena);
    report_findings(&sink, &none);
    report_close(&sink, "1 definition");
    assert_written(&w, "1 definition: 0 errors, 0 warnings, 0 notes\n");
    start(&w);
    sink = report_sink(w.out, REPORT_TEXT, &arena);
    report_close(&sink, NULL);
    assert_written(&w, "");
    arena_free(&arena);
}
END_TEST

/* How often a text has a part. No strstr: under a sanitizer each call reads the rest of the text.
 */
static size_t times(const char *text, const char *part)
{
    size_t length = strlen(part);
    size_t count = 0;
    for (const char *at = text; (at = strchr(at, *part)); at++) {
        count += strncmp(at, part, length) == 0;
    }
    return count;
}

/* 900 notes, then 900 warnings and an error on the last line, of one file; one note of another. */
static void lay_many(struct sheet *sheet, struct text_file *other)
{
    lay(sheet, "b.yaml", NULL);
    *other = (struct text_file){.path = "a.yaml"};
    for (uint32_t i = 1; i <= 1800; i++) {
        struct finding *finding =
            finding_add(&sheet->list, RULE_TEETH_FEW, at(sheet, i, 1, 2), "scarce");
        finding->severity = i <= 900 ? SEVERITY_NOTE : SEVERITY_WARNING;
    }
    (void)finding_add(&sheet->list, RULE_TAG_REFUSED, at(sheet, 1801, 1, 2), "last");
    (void)finding_add(&sheet->list, RULE_TAG_REFUSED, (struct span){.file = other}, "other");
}

/* Reports as many findings in as many files, each of that severity. */
static void report_many(struct report_sink *sink, size_t count, enum severity severity)
{
    for (size_t i = 0; i < count; i++) {
        struct sheet sheet;
        lay(&sheet, "b.yaml", "x: 7\n");
        finding_add(&sheet.list, RULE_TEETH_FEW, at(&sheet, 1, 1, 2), "few")->severity = severity;
        report_findings(sink, &sheet.list);
        arena_free(&sheet.arena);
    }
}

/* Platforms show 5,000 results, so there are no more notes; and they refuse more than 25,000. */
START_TEST(run_with_more_than_platforms_take)
{
    struct written w;
    struct arena arena = {.newest = NULL};
    start(&w);
    struct report_sink sink = report_sink(w.out, REPORT_SARIF, &arena);
    report_many(&sink, 5002, SEVERITY_NOTE);
    report_many(&sink, 20003, SEVERITY_WARNING);
    report_many(&sink, 1, SEVERITY_NOTE);
    report_close(&sink, NULL);
    ck_assert_int_eq(fclose(w.out), 0);
    ck_assert_uint_eq(times(w.text, "\"level\":\"note\",\"message\""), 5000);
    ck_assert_uint_eq(times(w.text, "\"level\":\"warning\",\"message\":{\"text\":\"few"), 20000);
    ck_assert_uint_eq(times(w.text, "6 more results are not in this log: platforms refuse a log "
                                    "with more than 25000 results, and show 5000"),
                      1);
    ck_assert_uint_eq(sink.warnings + sink.notes, 5002 + 20003 + 1);
    free(w.text);
    arena_free(&arena);
}
END_TEST

/*
 * Of one file a thousand are shown, the weighty ones first, and a line says what is not. For
 * platforms the notes are one, so there is room for it.
 */
START_TEST(run_with_more_than_are_shown)
{
    static const enum report_format formats[] = {REPORT_JSON, REPORT_SARIF};
    for (size_t i = 0; i < 2; i++) {
        bool folded = formats[i] == REPORT_SARIF;
        struct sheet sheet;
        struct text_file other;
        struct written w;
        lay_many(&sheet, &other);
        start(&w);
        struct report_sink sink = report_sink(w.out, formats[i], &sheet.arena);
        report_findings(&sink, &sheet.list);
        report_close(&sink, NULL);
        ck_assert_int_eq(fclose(w.out), 0);
        ck_assert_uint_eq(times(w.text, "\"last"), 1);
        ck_assert_uint_eq(times(w.text, "\"other"), 1);
        ck_assert_uint_eq(times(w.text, "scarce"), folded ? 901 : 999);
        ck_assert_uint_eq(times(w.text, "899 more of these in this file"), folded);
        ck_assert_uint_eq(times(w.text, "b.yaml: 801 more findings are not shown: 0 errors, 0 "
                                        "warnings, 801 notes; correct the others first"),
                          !folded);
        ck_assert_uint_eq(times(w.text, "not shown"), !folded);
        ck_assert_uint_eq(sink.errors + sink.warnings + sink.notes, 1802);
        free(w.text);
        arena_free(&sheet.arena);
    }
}
END_TEST

/* In text notes of a kind are one line, so they take no room. */
START_TEST(run_as_text_with_more_than_are_shown)
{
    struct sheet sheet;
    struct text_file other;
    struct written w;
    lay_many(&sheet, &other);
    for (uint32_t i = 1; i <= 300; i++) {
        (void)finding_add(&sheet.list, RULE_TEETH_FEW, at(&sheet, 2000 + i, 1, 2), "more");
    }
    sheet.list.more[SEVERITY_ERROR] = 7;
    start(&w);
    struct report_sink sink = report_sink(w.out, REPORT_TEXT, &sheet.arena);
    report_findings(&sink, &sheet.list);
    ck_assert_int_eq(fclose(w.out), 0);
    ck_assert_uint_eq(times(w.text, ": warning: "), 999);
    ck_assert_uint_eq(times(w.text, ": error: last"), 1);
    ck_assert_uint_eq(times(w.text, ": error: other"), 1);
    ck_assert_uint_eq(times(w.text, "b.yaml: error: 209 more findings are not shown: 7 errors, 201 "
                                    "warnings, 1 note; correct the others first\n"),
                      1);
    ck_assert_uint_eq(sink.errors, 9);
    free(w.text);
    arena_free(&sheet.arena);
}
END_TEST

int main(void)
{
    TCase *tests = tcase_create("finding");
    tcase_add_test(tests, text_of_a_finding);
    tcase_add_test(tests, text_in_one_line);
    tcase_add_test(tests, text_without_an_excerpt);
    tcase_add_test(tests, text_marks_characters);
    tcase_add_test(tests, text_cuts_long_lines);
    tcase_add_test(tests, text_from_a_hostile_file);
    tcase_add_test(tests, text_in_colour);
    tcase_add_test(tests, text_in_columns);
    tcase_add_test(tests, json_of_a_finding);
    tcase_add_test(tests, json_as_written);
    tcase_add_test(tests, run_as_text);
    tcase_add_test(tests, run_with_very_many);
    tcase_add_test(tests, run_as_json);
    tcase_add_test(tests, run_without_findings);
    tcase_add_test(tests, run_with_more_than_are_shown);
    tcase_add_test(tests, run_as_text_with_more_than_are_shown);
    tcase_add_test(tests, run_with_more_than_platforms_take);
    return run_case("report", tests);
}
