/*
 * command_line_test.c - the words of a command line, and the messages about wrong ones.
 */
#include "command/command.h"
#include "unit/support.h"

static const struct command probe = {
    "probe",
    "FILE...",
    "for this test",
    {OPTION_DEVICE, OPTION_STRICT, OPTION_FORMAT, OPTION_LIST, OPTION_SET},
    {"text", "json"},
    1,
    2,
    NULL,
    NULL};
static const struct command any = {
    "any", "[FILE]...", "takes any number", {OPTION_NONE}, {NULL}, 0, 0, NULL, NULL};

enum { WORDS = 12 };

/* Reads a command line; NULL ends its words. `said` is its output on standard error. */
static bool read_words(struct command_call *call, const struct command *command,
                       const char *const words[], char said[512])
{
    char *argv[WORDS];
    int argc = 0;
    *call = (struct command_call){.command = command};
    for (; words[argc]; argc++) {
        argv[argc] = arena_copy(&call->arena, words[argc], strlen(words[argc]));
    }
    FILE *kept = tmpfile();
    int saved = dup(STDERR_FILENO);
    ck_assert(kept && saved >= 0);
    fflush(stderr);
    ck_assert_int_ge(dup2(fileno(kept), STDERR_FILENO), 0);
    bool fine = command_read(call, argc, argv);
    fflush(stderr);
    ck_assert_int_ge(dup2(saved, STDERR_FILENO), 0);
    close(saved);
    rewind(kept);
    said[fread(said, 1, 511, kept)] = '\0';
    fclose(kept);
    return fine;
}

/* What was read, as "d=VALUE,VALUE strict f=VALUE | OPERAND OPERAND". */
static const char *words_of(struct command_call *call)
{
    static const enum command_option_id ids[] = {OPTION_DEVICE, OPTION_STRICT, OPTION_FORMAT,
                                                 OPTION_LIST,   OPTION_HELP,   OPTION_SET};
    const char *text = "";
    for (size_t i = 0; i < sizeof ids / sizeof *ids; i++) {
        const struct command_values *values = &call->options[ids[i]];
        for (size_t v = 0; v < values->count; v++) {
            text = arena_printf(&call->arena, "%s%s=%s ", text, command_option(ids[i])->name,
                                values->items[v]);
        }
    }
    text = arena_printf(&call->arena, "%s|", text);
    for (size_t i = 0; i < call->operands.count; i++) {
        text = arena_printf(&call->arena, "%s %s", text, call->operands.items[i]);
    }
    return text;
}

START_TEST(sound_lines)
{
    const struct {
        const char *words[WORDS];
        const char *read;
    } cases[] = {
        {{"a"}, "| a"},
        {{"a", "b"}, "| a b"},
        {{"-"}, "| -"},
        {{"--device", "d", "a"}, "device=d | a"},
        {{"--device=d", "a"}, "device=d | a"},
        {{"--device=x=y", "a"}, "device=x=y | a"},
        {{"-d", "d", "a"}, "device=d | a"},
        {{"-dd", "a"}, "device=d | a"},
        {{"-d=d", "a"}, "device==d | a"},
        {{"-d", "-", "a"}, "device=- | a"},
        {{"--device=--strict", "a"}, "device=--strict | a"},
        {{"-d", "--other", "a"}, "device=--other | a"},
        {{"a", "--device", "d"}, "device=d | a"},
        {{"a", "-d", "d", "b"}, "device=d | a b"},
        {{"--set", "c", "--set=d", "a"}, "set=c set=d | a"},
        {{"--strict", "a"}, "strict= | a"},
        {{"--", "-d"}, "| -d"},
        {{"-d", "d", "--", "--strict", "--"}, "device=d | --strict --"},
        {{"--format", "json", "a"}, "format=json | a"},
        {{"-fjson", "a"}, "format=json | a"},
        {{"-0"}, "list= |"}, /* names come from standard input */
        {{"--help"}, "help= |"},
        {{"-h"}, "help= |"},
        {{"-h", "a", "b", "c", "-f", "none"}, "format=none help= | a b c"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        struct command_call call;
        char said[512];
        ck_assert_msg(read_words(&call, &probe, cases[i].words, said), "%s", said);
        ck_assert_str_eq(said, "");
        ck_assert_str_eq(words_of(&call), cases[i].read);
        arena_free(&call.arena);
    }
}
END_TEST

START_TEST(wrong_lines)
{
    const struct {
        const char *words[WORDS];
        const char *says, *also; /* parts of the message */
    } cases[] = {
        {{NULL}, "probe takes FILE...", "usage: rotortab probe [OPTION]... FILE..."},
        {{"a", "b", "c"}, "probe takes only FILE...", "usage"},
        {{"--devise", "d", "a"}, "no option --devise", "ean --device?"},
        {{"--devise=d", "a"}, "no option --devise", "ean --device?"},
        {{"--something-else", "a"}, "no option --something-else", "probe --help"},
        {{"--output", "o", "a"}, "no option --output", ""}, /* an option of another command */
        {{"-o", "o", "a"}, "no option -o", ""},
        {{"-x", "a"}, "no option -x", ""},
        {{"--d", "d", "a"}, "no option ", ""}, /* options cannot be abbreviated */
        {{"a", "--device"}, "--device needs a value: --device FILE", ""},
        {{"a", "-d"}, "--device needs a value", ""},
        {{"--device=", "a"}, "--device needs a value, not an empty text: --device FILE", ""},
        {{"-d", "", "a"}, "--device needs a value, not an empty text: --device FILE", ""},
        {{"-d", "--strict", "a"}, "--device needs a value: --device FILE", "--device=--strict\n"},
        {{"--device", "--format=json", "a"}, "--device needs a value", "--device=--format=json\n"},
        {{"--strict=yes", "a"}, "--strict takes no value", ""},
        {{"-0x", "a"}, "--list takes no value", ""},
        {{"--format", "jsn", "a"}, "no format jsn", "ean json?"},
        {{"--format", "csv", "a"}, "no format csv", "text, json"},
        {{"--format", "json", "--format", "xml", "a"}, "no format xml", ""}, /* the last one */
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        struct command_call call;
        char said[512];
        ck_assert(!read_words(&call, &probe, cases[i].words, said));
        ck_assert_msg(strncmp(said, "rotortab: ", 10) == 0, "%s", said);
        ck_assert_msg(strstr(said, cases[i].says) && strstr(said, cases[i].also), "%s", said);
        ck_assert_int_eq(said[strlen(said) - 1], '\n');
        ck_assert_uint_ge(call.misuses.count, 1);
        ck_assert_ptr_nonnull(strstr(said, call.misuses.items[0]));
        arena_free(&call.arena);
    }
}
END_TEST

START_TEST(any_number_of_operands)
{
    const char *const words[][WORDS] = {{NULL}, {"a", "b", "c", "d", "e"}};
    for (size_t i = 0; i < 2; i++) {
        struct command_call call;
        char said[512];
        ck_assert(read_words(&call, &any, words[i], said));
        ck_assert_uint_eq(call.operands.count, i * 5);
        arena_free(&call.arena);
    }
}
END_TEST

START_TEST(values)
{
    static const char *const words[] = {"-d", "d", "-f", "json", "a", NULL};
    struct command_call call;
    char said[512];
    ck_assert(read_words(&call, &probe, words, said));
    ck_assert_str_eq(command_value(&call, OPTION_DEVICE), "d");
    ck_assert_ptr_null(command_value(&call, OPTION_POLICY));
    ck_assert(command_format_is(&call, "json"));
    ck_assert(!command_format_is(&call, "text"));
    arena_free(&call.arena);
    static const char *const twice[] = {"-d", "c", "--device=d", "a", NULL};
    ck_assert(!read_words(&call, &probe, twice, said));
    ck_assert_ptr_nonnull(strstr(said, "takes --device once, not 2 times"));
    arena_free(&call.arena);
    static const char *const plain[] = {"a", NULL};
    ck_assert(read_words(&call, &probe, plain, said));
    ck_assert(!command_format_is(&call, "text"));
    arena_free(&call.arena);
}
END_TEST

START_TEST(commands_are_found)
{
    ck_assert_str_eq(command_find("check")->name, "check");
    ck_assert_ptr_null(command_find("chec"));
    ck_assert_ptr_null(command_find(""));
}
END_TEST

/* The tables: each option of a command has a name and words, and no letter means two of them. */
START_TEST(tables_are_whole)
{
    for (const struct command *command = command_table; command->name; command++) {
        bool letters[256] = {false};
        ck_assert(command->carry_out != NULL);
        ck_assert_uint_gt(strlen(command->summary), 0);
        ck_assert(command->most == 0 || command->most >= command->fewest);
        bool with_format = false;
        letters['h'] = true;
        for (size_t i = 0; i < COMMAND_OPTIONS && command->options[i] != OPTION_NONE; i++) {
            const struct command_option *option = command_option(command->options[i]);
            ck_assert_uint_gt(strlen(option->name), 0);
            ck_assert_uint_gt(strlen(option->meaning), 0);
            ck_assert_msg(!option->letter || !letters[(unsigned char)option->letter],
                          "-%c stands for two options of %s", option->letter, command->name);
            letters[(unsigned char)option->letter] = true;
            with_format = with_format || command->options[i] == OPTION_FORMAT;
        }
        ck_assert_int_eq(with_format, command->formats[0] != NULL);
        for (const struct command *other = command_table; other < command; other++) {
            ck_assert_str_ne(other->name, command->name);
        }
    }
}
END_TEST

/* A text in place, with each line end and the blanks around it as one blank. */
static const char *unwrapped(char *text)
{
    char *out = text;
    for (const char *in = text; *in; in++) {
        bool blank = *in == ' ' || *in == '\n';
        if (!blank || (out != text && out[-1] != ' ')) {
            *out++ = blank ? ' ' : *in;
        }
    }
    *out = '\0';
    return text;
}

/* Help fits 80 columns. */
static void assert_narrow(const char *text)
{
    for (const char *line = text; *line;) {
        size_t length = strcspn(line, "\n");
        ck_assert_msg(length <= 80, "%zu columns: %.*s", length, (int)length, line);
        line += length + (line[length] == '\n');
    }
}

START_TEST(help_names_every_option)
{
    for (const struct command *command = command_table; command->name; command++) {
        char *text = NULL;
        size_t length = 0;
        FILE *out = open_memstream(&text, &length);
        ck_assert_ptr_nonnull(out);
        command_write_help(out, command);
        fclose(out);
        assert_narrow(text);
        ck_assert_ptr_nonnull(strstr(text, command->summary));
        ck_assert_ptr_nonnull(strstr(text, "--help"));
        for (size_t i = 0; i < COMMAND_OPTIONS && command->options[i] != OPTION_NONE; i++) {
            ck_assert_ptr_nonnull(strstr(text, command_option(command->options[i])->name));
            ck_assert_ptr_nonnull(
                strstr(unwrapped(text), command_option(command->options[i])->meaning));
        }
        for (size_t i = 0; i < COMMAND_FORMATS && command->formats[i]; i++) {
            ck_assert_ptr_nonnull(strstr(text, command->formats[i]));
        }
        free(text);
    }
    char *text = NULL;
    size_t length = 0;
    FILE *out = open_memstream(&text, &length);
    command_overview(out);
    fclose(out);
    assert_narrow(text);
    for (const struct command *command = command_table; command->name; command++) {
        ck_assert_ptr_nonnull(strstr(text, command->summary));
    }
    free(text);
}
END_TEST

int main(void)
{
    TCase *tests = tcase_create("line");
    tcase_add_test(tests, sound_lines);
    tcase_add_test(tests, wrong_lines);
    tcase_add_test(tests, any_number_of_operands);
    tcase_add_test(tests, values);
    tcase_add_test(tests, commands_are_found);
    tcase_add_test(tests, tables_are_whole);
    tcase_add_test(tests, help_names_every_option);
    return run_case("command", tests);
}
