/*
 * text_file_test.c - reading a file, its lines, and what is refused before anything reads it.
 */
#include "text/file.h"
#include "unit/support.h"

#include <errno.h>
#include <sys/stat.h>

/* How many bytes a file is said to be shorter than it is. */
static off_t grown_by;

/* The C library's, but for a file that grew as soon as it was asked for its size. */
int fstat(int fd, struct stat *status)
{
    int result = fstatat(fd, "", status, 0x1000); /* AT_EMPTY_PATH */
    status->st_size -= result == 0 ? grown_by : 0;
    return result;
}

/* Loads bytes from a file; the file is gone afterwards. */
static enum text_load load(struct support *s, struct text_file *file, const void *bytes,
                           size_t length)
{
    char folder[PATH_MAX];
    const char *path = arena_printf(&s->arena, "%s/text", support_folder(folder));
    support_write(path, bytes, length);
    enum text_load loaded = text_file_load(file, path, &s->arena, &s->findings);
    ck_assert_int_eq(unlink(path), 0);
    ck_assert_int_eq(rmdir(folder), 0);
    return loaded;
}

/* YAML 1.1's line ends. */
static const char *const line_ends[] = {"\n",       "\r\n",         "\r",
                                        "\xc2\x85", "\xe2\x80\xa8", "\xe2\x80\xa9"};
enum { LINE_ENDS = sizeof line_ends / sizeof *line_ends };

static void assert_line(const struct text_file *file, uint32_t number, const char *expected)
{
    size_t length = 99;
    const char *line = text_file_line(file, number, &length);
    if (!expected) {
        ck_assert_ptr_null(line);
        return;
    }
    ck_assert_ptr_nonnull(line);
    ck_assert_uint_eq(length, strlen(expected));
    ck_assert_mem_eq(line, expected, length);
}

START_TEST(lines_of_every_kind)
{
    for (size_t i = 0; i < LINE_ENDS * LINE_ENDS; i++) {
        char text[64];
        snprintf(text, sizeof text, "one%s\xc3\xa9 two%sthree", line_ends[i / LINE_ENDS],
                 line_ends[i % LINE_ENDS]);
        const struct text_file file = {.path = "x", .bytes = text, .length = strlen(text)};
        assert_line(&file, 0, NULL);
        assert_line(&file, 1, "one");
        assert_line(&file, 2, "\xc3\xa9 two");
        assert_line(&file, 3, "three");
        assert_line(&file, 4, NULL);
    }
}
END_TEST

/* Eight bytes are passed at a time: a line may end at each of them, and after any of them. */
START_TEST(lines_of_every_length)
{
    static const char letters[] = "~ a~ b~ c~ d~ e~ f~ g~ h";
    for (size_t i = 0; i < LINE_ENDS * sizeof letters; i++) {
        char text[64];
        char line[sizeof letters];
        snprintf(line, sizeof line, "%.*s", (int)(i / LINE_ENDS), letters);
        snprintf(text, sizeof text, "%s%s%s", line, line_ends[i % LINE_ENDS], letters);
        const struct text_file file = {.path = "x", .bytes = text, .length = strlen(text)};
        assert_line(&file, 1, line);
        assert_line(&file, 2, letters);
        assert_line(&file, 3, NULL);
    }
}
END_TEST

/* Neighbours of the line ends' bytes, whole and cut off, end no line. */
START_TEST(what_ends_no_line)
{
    static const char *const others[] = {"\xc2\x84",     "\xc2\x86",     "\xe2\x80\xa7",
                                         "\xe2\x80\xaa", "\xe2\x81\xa8", "\xc2",
                                         "\xe2\x80",     "\t",           "\x0b"};
    for (size_t i = 0; i < sizeof others / sizeof *others; i++) {
        const struct text_file file = {
            .path = "x", .bytes = others[i], .length = strlen(others[i])};
        assert_line(&file, 1, others[i]);
        assert_line(&file, 2, NULL);
    }
    for (size_t length = 1; length <= 2; length++) {
        const struct text_file file = {.path = "x", .bytes = "\xe2\x80\xa8", .length = length};
        assert_line(&file, 2, NULL);
    }
    const struct text_file file = {.path = "x", .bytes = "\xc2\x85", .length = 1};
    assert_line(&file, 2, NULL);
}
END_TEST

START_TEST(empty_lines)
{
    const struct text_file file = {.path = "x", .bytes = "\n\na\n", .length = 4};
    assert_line(&file, 1, "");
    assert_line(&file, 2, "");
    assert_line(&file, 3, "a");
    assert_line(&file, 4, "");
    assert_line(&file, 5, NULL);
    const struct text_file empty = {.path = "x", .bytes = "", .length = 0};
    assert_line(&empty, 1, "");
    assert_line(&empty, 2, NULL);
    const struct text_file only_a_name = {.path = "x", .bytes = NULL, .length = 0};
    assert_line(&only_a_name, 1, NULL);
    assert_line(NULL, 1, NULL);
}
END_TEST

START_TEST(whole_file_as_a_place)
{
    const struct text_file file = {.path = "x", .bytes = "", .length = 0};
    struct span at = text_file_span(&file);
    ck_assert_ptr_eq(at.file, &file);
    ck_assert_uint_eq(at.line, 0);
}
END_TEST

START_TEST(bytes_come_as_they_are)
{
    static const char text[] = "\xef\xbb\xbf# caf\xc3\xa9\r\nkey:\tvalue\xc2\x85\xf0\x9f\x94\xa7";
    struct support s;
    struct text_file file;
    support_start(&s);
    ck_assert_int_eq(load(&s, &file, text, strlen(text)), TEXT_LOADED);
    ck_assert_uint_eq(file.length, strlen(text));
    ck_assert_mem_eq(file.bytes, text, file.length);
    ck_assert_int_eq(load(&s, &file, "", 0), TEXT_LOADED);
    ck_assert_uint_eq(file.length, 0);
    (void)assert_only(&s, RULE_NONE);
    support_end(&s);
}
END_TEST

/* Each is one finding at that place: behind "ab", a line end, an e with an accent and "x". */
START_TEST(characters_that_cannot_stand)
{
    const struct {
        const char *bytes;
        enum rule_id rule;
    } cases[] = {
        {"\xff", RULE_NOT_UTF8},
        {"\x80", RULE_NOT_UTF8},
        {"\xc0\xaf", RULE_NOT_UTF8},
        {"\xed\xa0\x80", RULE_NOT_UTF8}, /* a surrogate */
        {"\xe2\x82", RULE_NOT_UTF8},
        {"\xf4\x90\x80\x80", RULE_NOT_UTF8},
        {"\x01", RULE_YAML_SYNTAX},
        {"\x1b", RULE_YAML_SYNTAX},
        {"\x7f", RULE_YAML_SYNTAX},
        {"\xc2\x80", RULE_YAML_SYNTAX},
        {"\xc2\x9f", RULE_YAML_SYNTAX},
        {"\xef\xbf\xbe", RULE_YAML_SYNTAX},
        {"\xef\xbf\xbf", RULE_YAML_SYNTAX},
        {"\xef\xbb\xbf", RULE_YAML_SYNTAX}, /* a late mark */
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        for (size_t end = 0; end < LINE_ENDS; end++) {
            struct support s;
            struct text_file file;
            support_start(&s);
            const char *text =
                arena_printf(&s.arena, "ab%s\xc3\xa9x%s", line_ends[end], cases[i].bytes);
            ck_assert_int_eq(load(&s, &file, text, strlen(text)), TEXT_REFUSED);
            const struct finding *finding = assert_only(&s, cases[i].rule);
            assert_marked(&finding->at, &(struct marks){2, 3, 2, 4});
            ck_assert_ptr_eq(finding->at.file, &file);
            support_end(&s);
        }
    }
}
END_TEST

START_TEST(characters_that_may_stand)
{
    static const char *const texts[] = {"\t",
                                        " ",
                                        "~",
                                        "\xc2\x85",
                                        "\xc2\xa0",
                                        "\xed\x9f\xbf",
                                        "\xee\x80\x80",
                                        "\xef\xbf\xbd",
                                        "\xf0\x90\x80\x80",
                                        "\xf4\x8f\xbf\xbd"};
    struct support s;
    struct text_file file;
    support_start(&s);
    for (size_t i = 0; i < sizeof texts / sizeof *texts; i++) {
        ck_assert_int_eq(load(&s, &file, texts[i], strlen(texts[i])), TEXT_LOADED);
    }
    (void)assert_only(&s, RULE_NONE);
    support_end(&s);
}
END_TEST

/* Texts are looked at many bytes at a time: every byte is told apart wherever it stands in them. */
START_TEST(every_byte_everywhere)
{
    enum { LENGTH = 80 };
    struct support s;
    support_start(&s);
    for (unsigned byte = 0; byte < 0x100; byte++) { /* from 0x80 on: half a character */
        bool stands = byte == '\t' || byte == '\n' || byte == '\r' || (byte >= ' ' && byte < 0x7f);
        for (size_t at = 0; at < 2 * LENGTH; at++) {
            char text[LENGTH];
            struct text_file file;
            for (size_t i = 0; i < LENGTH; i++) {
                text[i] = at < LENGTH ? " ~az-0\n"[i % 7] : " ~az-0!"[i % 7];
            }
            text[at % LENGTH] = (char)byte;
            size_t before = s.findings.count;
            ck_assert_int_eq(text_file_take(&file, "text", text, LENGTH, &s.findings),
                             stands ? TEXT_LOADED : TEXT_REFUSED);
            ck_assert_uint_eq(s.findings.count, before + !stands);
        }
    }
    support_end(&s);
}
END_TEST

START_TEST(other_encodings)
{
    const struct {
        const char *bytes;
        size_t length;
        enum rule_id rule;
    } cases[] = {{"\xff\xfe"
                  "a\0",
                  4, RULE_NOT_UTF8},
                 {"\xfe\xff\0a", 4, RULE_NOT_UTF8},
                 {"a\0b\0", 4, RULE_YAML_SYNTAX},
                 {"\0\0\xfe\xff", 4, RULE_YAML_SYNTAX}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        struct support s;
        struct text_file file;
        support_start(&s);
        ck_assert_int_eq(load(&s, &file, cases[i].bytes, cases[i].length), TEXT_REFUSED);
        const struct finding *finding = assert_only(&s, cases[i].rule);
        ck_assert_uint_eq(finding->at.line, 1);
        ck_assert_int_eq(strstr(finding->message, "UTF-16") != NULL,
                         cases[i].rule == RULE_NOT_UTF8);
        support_end(&s);
    }
}
END_TEST

START_TEST(largest_file)
{
    char *bytes = malloc(TEXT_FILE_LIMIT + 1);
    ck_assert_ptr_nonnull(bytes);
    memset(bytes, '#', TEXT_FILE_LIMIT + 1);
    struct support s;
    struct text_file file;
    support_start(&s);
    ck_assert_int_eq(load(&s, &file, bytes, TEXT_FILE_LIMIT), TEXT_LOADED);
    ck_assert_uint_eq(file.length, TEXT_FILE_LIMIT);
    ck_assert_int_eq(load(&s, &file, bytes, TEXT_FILE_LIMIT + 1), TEXT_REFUSED);
    ck_assert_uint_eq(assert_only(&s, RULE_TOO_LARGE)->at.line, 0);
    ck_assert_ptr_null(file.bytes);
    support_end(&s);
    free(bytes);
}
END_TEST

/* The same checks for bytes that are in memory. */
START_TEST(a_file_that_grows)
{
    static const char text[] = "a: 1\nb: 2\nc: 3\n";
    for (grown_by = 0; grown_by < (off_t)sizeof text - 1; grown_by++) {
        struct support s;
        struct text_file file;
        support_start(&s);
        ck_assert_int_eq(load(&s, &file, text, sizeof text - 1), TEXT_LOADED);
        ck_assert_uint_eq(file.length, sizeof text - 1);
        ck_assert_mem_eq(file.bytes, text, sizeof text - 1);
        support_end(&s);
    }
    grown_by = 0;
}
END_TEST

START_TEST(bytes_that_are_taken)
{
    struct support s;
    struct text_file file;
    support_start(&s);
    ck_assert_int_eq(text_file_take(&file, "x", "a: 1\n", 5, &s.findings), TEXT_LOADED);
    ck_assert_str_eq(file.path, "x");
    ck_assert_uint_eq(file.length, 5);
    (void)assert_only(&s, RULE_NONE);
    ck_assert_int_eq(text_file_take(&file, "x", "a\xff", 2, &s.findings), TEXT_REFUSED);
    assert_marked(&assert_only(&s, RULE_NOT_UTF8)->at, &(struct marks){1, 2, 1, 3});
    s.findings.count = 0;
    ck_assert_int_eq(text_file_take(&file, "x", "a", (size_t)TEXT_FILE_LIMIT + 1, &s.findings),
                     TEXT_REFUSED);
    (void)assert_only(&s, RULE_TOO_LARGE);
    ck_assert_ptr_null(file.bytes);
    support_end(&s);
}
END_TEST

START_TEST(what_cannot_be_read)
{
    struct support s;
    struct text_file file;
    char folder[PATH_MAX];
    support_start(&s);
    support_folder(folder);
    ck_assert_int_eq(text_file_load(&file, folder, &s.arena, &s.findings), TEXT_UNREADABLE);
    ck_assert_int_eq(errno, EISDIR);
    ck_assert_int_eq(rmdir(folder), 0);
    ck_assert_int_eq(text_file_load(&file, folder, &s.arena, &s.findings), TEXT_UNREADABLE);
    ck_assert_int_eq(errno, ENOENT);
    ck_assert_str_eq(file.path, folder);
    (void)assert_only(&s, RULE_NONE);
    support_end(&s);
}
END_TEST

/* Loads "-" with an open file in the place of standard input. */
static enum text_load load_input(struct support *s, struct text_file *file, int input)
{
    int saved = dup(STDIN_FILENO);
    ck_assert_int_ge(saved, 0);
    ck_assert_int_ge(dup2(input, STDIN_FILENO), 0);
    enum text_load loaded = text_file_load(file, "-", &s->arena, &s->findings);
    ck_assert_int_ge(dup2(saved, STDIN_FILENO), 0);
    close(saved);
    return loaded;
}

START_TEST(standard_input)
{
    static const char text[] = "a: 1\n";
    struct support s;
    struct text_file file;
    int ends[2];
    support_start(&s);
    ck_assert_int_eq(pipe(ends), 0);
    ck_assert_int_eq(write(ends[1], text, strlen(text)), (ssize_t)strlen(text));
    close(ends[1]);
    ck_assert_int_eq(load_input(&s, &file, ends[0]), TEXT_LOADED);
    close(ends[0]);
    ck_assert_str_eq(file.path, "-");
    ck_assert_uint_eq(file.length, strlen(text));
    ck_assert_mem_eq(file.bytes, text, file.length);
    (void)assert_only(&s, RULE_NONE);
    support_end(&s);
}
END_TEST

/* A device without end is given up where the limit is passed. */
START_TEST(standard_input_without_end)
{
    struct support s;
    struct text_file file;
    FILE *zeros = fopen("/dev/zero", "rb");
    support_start(&s);
    ck_assert_ptr_nonnull(zeros);
    ck_assert_int_eq(load_input(&s, &file, fileno(zeros)), TEXT_REFUSED);
    (void)assert_only(&s, RULE_TOO_LARGE);
    fclose(zeros);
    support_end(&s);
}
END_TEST

int main(void)
{
    TCase *tests = tcase_create("file");
    tcase_add_test(tests, lines_of_every_kind);
    tcase_add_test(tests, lines_of_every_length);
    tcase_add_test(tests, what_ends_no_line);
    tcase_add_test(tests, empty_lines);
    tcase_add_test(tests, whole_file_as_a_place);
    tcase_add_test(tests, bytes_come_as_they_are);
    tcase_add_test(tests, characters_that_cannot_stand);
    tcase_add_test(tests, characters_that_may_stand);
    tcase_add_test(tests, every_byte_everywhere);
    tcase_add_test(tests, other_encodings);
    tcase_add_test(tests, largest_file);
    tcase_add_test(tests, a_file_that_grows);
    tcase_add_test(tests, bytes_that_are_taken);
    tcase_add_test(tests, what_cannot_be_read);
    tcase_add_test(tests, standard_input);
    tcase_add_test(tests, standard_input_without_end);
    return run_case("text", tests);
}
