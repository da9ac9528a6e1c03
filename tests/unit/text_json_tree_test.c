/*
 * text_json_tree_test.c - JSON as a tree, compared with what the YAML parser makes of the same
 * text.
 */
#include "text/json_tree.h"
#include "unit/support.h"

static struct text_file file_of(const char *text)
{
    return (struct text_file){.path = "x", .bytes = text, .length = strlen(text)};
}

static void assert_same(const struct text_node *a, const struct text_node *b)
{
    ck_assert_int_eq(!a, !b);
    if (!a) {
        return;
    }
    ck_assert_int_eq(a->kind, b->kind);
    ck_assert_int_eq(a->plain, b->plain);
    ck_assert_int_eq(a->refused, b->refused);
    ck_assert_uint_eq(a->count, b->count);
    ck_assert_uint_eq(a->length, b->length);
    if (a->kind == TEXT_SCALAR) {
        ck_assert_mem_eq(a->text, b->text, a->length + 1);
    }
    ck_assert_uint_eq(a->at.line, b->at.line);
    ck_assert_uint_eq(a->at.column, b->at.column);
    ck_assert_uint_eq(a->at.end_line, b->at.end_line);
    ck_assert_uint_eq(a->at.end_column, b->at.end_column);
    assert_same(a->key, b->key);
    const struct text_node *other = b->first;
    for (const struct text_node *child = a->first; child; child = child->next) {
        assert_same(child, other);
        other = other->next;
    }
    ck_assert_ptr_null(other);
}

/* With a comment after it a text is YAML only. */
START_TEST(the_same_tree)
{
    static const char *const texts[] = {
        "{}",
        " {\"a\": {}, \"b\": []} ",
        "{\"a\":1,\"b\":[2,-3.5,4e5,6E-7,0,-0.10],\"c\":[true,false,null]}",
        "{\n  \"a\": \"x\",\n  \"b\": [\n    \"y\",\n    {\"z\": \"\"}\n  ]\n}\n",
        "{\r\n \"a\" : \"x\" ,\r\n \"b\" : 1\r\n}\r\n",
        "{\"a\":\r \"x\"}",
        "{\t\"a\":\t[\t1\t,\t2\t]\t}",
        "\xef\xbb\xbf{\"a\": 1}",
        "{\"\xc3\xa9\xe2\x82\xac\": \"\xf0\x9f\x94\xa7!\", \"b\": \"c\"}",
        "{\"a\": \"\\\"\\\\\\/\\b \\t \\n \\r \\u00e9 \\u20AC \\uD7FF \\uE000\", \"b\": \"c\"}",
        "{\"a\": \"x\\u0000y\", \"b\": \"\\u202e\", \"\\u0007\": 1, \"c\": \"\\f\"}",
        "{\"a\": \"12:30\", \"a\": \"~\", \"<<\": \"*x\"}",
        "{\"a\": [[[[[[1]]]]]]}",
    };
    for (size_t i = 0; i < sizeof texts / sizeof *texts; i++) {
        struct support s;
        support_start(&s);
        const struct text_file json = file_of(texts[i]);
        ck_assert_ptr_nonnull(text_json_read(&json, 32, &s.arena));
        const struct text_node *a = text_tree_read(&json, &s.arena, &s.findings);
        size_t found = s.findings.count;
        const struct text_file yaml = file_of(arena_printf(&s.arena, "%s # c", texts[i]));
        ck_assert_ptr_null(text_json_read(&yaml, 32, &s.arena));
        const struct text_node *b = text_tree_read(&yaml, &s.arena, &s.findings);
        ck_assert_msg(b, "%s: %s", texts[i], support_words(&s));
        assert_same(a, b);
        ck_assert_uint_eq(s.findings.count, 2 * found);
        for (size_t k = 0; k < found; k++) {
            ck_assert_str_eq(s.findings.items[k]->message, s.findings.items[found + k]->message);
            ck_assert_uint_eq(s.findings.items[k]->at.column,
                              s.findings.items[found + k]->at.column);
        }
        support_end(&s);
    }
}
END_TEST

/* What a writer of ASCII makes of a character above U+FFFF; what follows keeps its place. */
START_TEST(pairs)
{
    const struct {
        const char *escape, *text;
    } cases[] = {{"\\ud83d\\ude00", "\xf0\x9f\x98\x80"},
                 {"\\uD83D\\uDE00", "\xf0\x9f\x98\x80"},
                 {"\\ud800\\udc00", "\xf0\x90\x80\x80"},
                 {"\\udbff\\udffd", "\xf4\x8f\xbf\xbd"},
                 {"a\\ud83d\\ude00b\\ud83d\\ude00", "a\xf0\x9f\x98\x80"
                                                    "b\xf0\x9f\x98\x80"}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        struct support s;
        support_start(&s);
        const struct text_file file = file_of(
            arena_printf(&s.arena, "{\"%s\": \"%s\", \"b\": 7}", cases[i].escape, cases[i].escape));
        const struct text_node *root = text_tree_read(&file, &s.arena, &s.findings);
        (void)assert_only(&s, RULE_NONE);
        ck_assert_ptr_nonnull(root);
        ck_assert_str_eq(root->first->text, cases[i].text);
        ck_assert_str_eq(root->first->key->text, cases[i].text);
        ck_assert_uint_eq(root->first->length, strlen(cases[i].text));
        ck_assert_uint_eq(root->first->next->at.column, 2 * strlen(cases[i].escape) + 15);
        support_end(&s);
    }
}
END_TEST

START_TEST(what_is_not_json)
{
    static const char *const texts[] = {
        "",
        " ",
        "a: 1",
        "[1]",
        "\"a\"",
        "1",
        "{",
        "{\"a\"",
        "{\"a\":",
        "{\"a\": }",
        "{\"a\": 1",
        "{\"a\": 1,}",
        "{\"a\": [1,]}",
        "{\"a\": [1 2]}",
        "{\"a\" 1}",
        "{\"a\": 1 \"b\": 2}",
        "{a: 1}",
        "{'a': 1}",
        "{\"a\": 'b'}",
        "{\"a\": b}",
        "{\"a\": True}",
        "{\"a\": nul}",
        "{\"a\": 01}",
        "{\"a\": 1.}",
        "{\"a\": .5}",
        "{\"a\": +1}",
        "{\"a\": -}",
        "{\"a\": 1e}",
        "{\"a\": 1e+}",
        "{\"a\": 0x1f}",
        "{\"a\": 1_0}",
        "{\"a\": NaN}",
        "{\"a\": -Infinity}",
        "{\"a\": \"b\nc\"}",
        "{\"a\": \"b\tc\"}",
        "{\"a\": \"b}",
        "{\"a\": \"b\\\"}",
        "{\"a\": \"\\x41\"}",
        "{\"a\": \"\\u12\"}",
        "{\"a\": \"\\u12g4\"}",
        "{\"a\": \"\\'\"}",
        "{\"a\": \"\\ud83d\"}",
        "{\"a\": \"\\ude00\"}",
        "{\"a\": \"\\ude00\\ud83d\"}",
        "{\"a\": \"\\ud83d\\u0041\"}",
        "{\"a\": \"\\ud83d\\n\"}",
        "{\"a\": \"\\ud83dx\"}",
        "{\"a\": \"b\xe2\x80\xa8\"}",
        "{\"a\": \"b\xe2\x80\xa9\"}",
        "{\"a\": 1} x",
        "{\"a\": 1}}",
        "{\"a\": 1}{}",
        "{1: 2}",
        "{\"a\": 1 // b\n}",
        "{\"a\": [}]",
        "{\"a\": 1]",
        "{\"a\": [[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[[1]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]]}"};
    for (size_t i = 0; i < sizeof texts / sizeof *texts; i++) {
        struct support s;
        support_start(&s);
        const struct text_file file = file_of(texts[i]);
        ck_assert_msg(!text_json_read(&file, 32, &s.arena), "%s", texts[i]);
        support_end(&s);
    }
}
END_TEST

/* No byte after the end is looked at: each beginning has memory of its own size. */
START_TEST(each_beginning)
{
    static const char text[] = "{\"a\\ud83d\\ude00\": [1.5e3, true, \"\\u00e9\xe2\x82\xac\"]}";
    for (size_t length = 0; length < sizeof text - 1; length++) {
        struct support s;
        support_start(&s);
        char *beginning = malloc(length ? length : 1);
        ck_assert_ptr_nonnull(beginning);
        memcpy(beginning, text, length);
        const struct text_file file = {.path = "x", .bytes = beginning, .length = length};
        ck_assert_ptr_null(text_json_read(&file, 32, &s.arena));
        free(beginning);
        support_end(&s);
    }
}
END_TEST

int main(void)
{
    TCase *tests = tcase_create("JSON");
    tcase_add_test(tests, the_same_tree);
    tcase_add_test(tests, pairs);
    tcase_add_test(tests, what_is_not_json);
    tcase_add_test(tests, each_beginning);
    return run_case("text_json_tree", tests);
}
