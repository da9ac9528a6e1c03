/*
 * text_tree_test.c - from YAML to a tree: texts, places, and what is refused.
 *
 * The marks of support.h stand around the place that is expected.
 */
#include "text/tree.h"
#include "unit/support.h"

/* What was read of one text; text_support_end frees it. */
struct reading {
    struct support s;
    struct text_file file;
    struct marks marks;
    struct text_node *root;
};

static void read_tree(struct reading *r, const char *text)
{
    support_start(&r->s);
    const char *bare = unmarked(&r->s.arena, text, &r->marks);
    r->file = (struct text_file){.path = "x", .bytes = bare, .length = strlen(bare)};
    r->root = text_tree_read(&r->file, &r->s.arena, &r->s.findings);
}

/* The value of key v of a map. */
static const struct text_node *value(const struct text_node *map)
{
    ck_assert_ptr_nonnull(map);
    ck_assert_int_eq(map->kind, TEXT_MAP);
    for (const struct text_node *node = map->first; node; node = node->next) {
        if (strcmp(node->key->text, "v") == 0) {
            return node;
        }
    }
    ck_abort_msg("there is no v");
}

START_TEST(places_of_scalars)
{
    const struct {
        const char *text, *value;
    } cases[] = {
        {"v: @abc@\n", "abc"},
        {"v: @abc@", "abc"},
        {"v:   @a b@   # c\n", "a b"},
        {"v:\t@x@\n", "x"},
        {"v: @12:30@\n", "12:30"},
        {"v: @0x1f@\n", "0x1f"},
        {"v: @~@\n", "~"},
        {"v: @<<@\n", "<<"},
        {"v: @'it''s'@\n", "it's"},
        {"v: @\"a b\"@\n", "a b"},
        {"v: @\"\\x41\\u00e9\"@\n", "A\xc3\xa9"},
        {"v: @\"\"@\n", ""},
        {"v:@ @\n", ""},
        {"a: {v: @7@, b: 8}\n", NULL},
        {"{\xc3\xa9\xe2\x82\xac\xf0\x9f\x94\xa7: \"\xc3\xa9\", v: @2.5 rev@}\n", "2.5 rev"},
        {"# \xc3\xa9\n\nk: \xe2\x82\xac\nv: @\xf0\x9f\x94\xa7!@\n", "\xf0\x9f\x94\xa7!"},
        {"v: @a b\n  c d@\n", "a b c d"},
        {"v: @|\n  a\n  b\n@w: 1\n", "a\nb\n"},
        {"v: @>-\n  a\n  b@", "a b"},
        {"{\"v\": @\"json\"@}", "json"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        struct reading r;
        read_tree(&r, cases[i].text);
        (void)assert_only(&r.s, RULE_NONE);
        const struct text_node *node = value(cases[i].value ? r.root : r.root->first);
        ck_assert_int_eq(node->kind, TEXT_SCALAR);
        ck_assert_str_eq(node->text, cases[i].value ? cases[i].value : "7");
        ck_assert_uint_eq(node->length, strlen(node->text));
        ck_assert_ptr_eq(node->at.file, &r.file);
        assert_marked(&node->at, &r.marks);
        support_end(&r.s);
    }
}
END_TEST

START_TEST(places_of_collections)
{
    const struct {
        const char *text;
        enum text_kind kind;
        size_t count;
    } cases[] = {
        {"v: @[1, 2]@\nw: 3\n", TEXT_LIST, 2},
        {"v: @[1,\n  2, 3]@\n", TEXT_LIST, 3},
        {"v: @[]@\n", TEXT_LIST, 0},
        {"v: @{a: 1}@ # b\n", TEXT_MAP, 1},
        {"v: @{}@\n", TEXT_MAP, 0},
        {"v:\n  @a: 1\n  b: 2@\nw: 3\n", TEXT_MAP, 2},
        {"v:\n  @a:\n    c: {d: 1}@\n", TEXT_MAP, 1},
        {"v:\n  @- 1\n  - 2@\nw: 3\n", TEXT_LIST, 2},
        {"v:\n@- 1\n- x: 1@\nw: 3\n", TEXT_LIST, 2},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        struct reading r;
        read_tree(&r, cases[i].text);
        (void)assert_only(&r.s, RULE_NONE);
        const struct text_node *node = value(r.root);
        ck_assert_int_eq(node->kind, cases[i].kind);
        ck_assert_uint_eq(node->count, cases[i].count);
        assert_marked(&node->at, &r.marks);
        size_t count = 0;
        for (const struct text_node *child = node->first; child; child = child->next) {
            count++;
            ck_assert_int_eq(child->key != NULL, node->kind == TEXT_MAP);
        }
        ck_assert_uint_eq(count, node->count);
        support_end(&r.s);
    }
}
END_TEST

START_TEST(places_of_keys)
{
    static const char *const texts[] = {"a: 1\n@v@: 2\n", "{a: 1, @\"v\"@: 2}\n",
                                        "a: \xc3\xa9\n? @v@\n: 2\n"};
    for (size_t i = 0; i < 3; i++) {
        struct reading r;
        read_tree(&r, texts[i]);
        assert_marked(&value(r.root)->key->at, &r.marks);
        support_end(&r.s);
    }
}
END_TEST

START_TEST(plain_or_quoted)
{
    const struct {
        const char *text;
        bool plain;
    } cases[] = {{"v: a\n", true},
                 {"v:\n", true},
                 {"v: 'a'\n", false},
                 {"v: \"a\"\n", false},
                 {"v: |\n  a\n", false}};
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        struct reading r;
        read_tree(&r, cases[i].text);
        ck_assert_int_eq(value(r.root)->plain, cases[i].plain);
        support_end(&r.s);
    }
}
END_TEST

/* The reader of lines and libyaml have to count lines alike, or the mark stands below another line.
 */
START_TEST(lines_are_counted_alike)
{
    static const char *const ends[] = {"\n",       "\r\n",         "\r",
                                       "\xc2\x85", "\xe2\x80\xa8", "\xe2\x80\xa9"};
    for (size_t i = 0; i < 6; i++) {
        struct reading r;
        char text[64];
        size_t length;
        snprintf(text, sizeof text, "a: 1%s# c%s%sv: 2%s", ends[i], ends[i], ends[i], ends[i]);
        read_tree(&r, text);
        const struct text_node *node = value(r.root);
        ck_assert_uint_eq(node->at.line, 4);
        ck_assert_uint_eq(node->at.column, 4);
        const char *line = text_file_line(&r.file, node->at.line, &length);
        ck_assert_uint_eq(length, 4);
        ck_assert_mem_eq(line, "v: 2", 4);
        support_end(&r.s);
    }
}
END_TEST

START_TEST(what_is_refused)
{
    const struct {
        const char *text;
        enum rule_id rule;
    } cases[] = {
        {"a: @&x 1@\n", RULE_ALIAS_REFUSED},
        {"a: @&x [@1]\n", RULE_ALIAS_REFUSED},
        {"a: @&x {@b: 1}\n", RULE_ALIAS_REFUSED},
        {"@&x a@: 1\n", RULE_ALIAS_REFUSED},
        {"a: @*x@\n", RULE_ALIAS_REFUSED},
        {"@*x@ : 1\n", RULE_ALIAS_REFUSED},
        {"@<<@: {a: 1}\n", RULE_ALIAS_REFUSED},
        {"a: {@<<@: 1}\n", RULE_ALIAS_REFUSED},
        {"a: @!!int 1@\n", RULE_TAG_REFUSED},
        {"a: @! 1@\n", RULE_TAG_REFUSED},
        {"a: @!m {@b: 1}\n", RULE_TAG_REFUSED},
        {"a: @!l [@b]\n", RULE_TAG_REFUSED},
        {"a: 1\n@---@\nb: 2\n", RULE_MANY_DOCUMENTS},
        {"a: 1\n...\n@---@\n", RULE_MANY_DOCUMENTS},
        {"? @[a]@\n: 1\n", RULE_WRONG_SHAPE},
        {"@{a: 1}@: 1\n", RULE_WRONG_SHAPE},
        {"a: [1, {@[b]@: 1}]\n", RULE_WRONG_SHAPE},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        struct reading r;
        read_tree(&r, cases[i].text);
        assert_marked(&assert_only(&r.s, cases[i].rule)->at, &r.marks);
        ck_assert_int_eq(r.root == NULL, cases[i].rule == RULE_MANY_DOCUMENTS);
        support_end(&r.s);
    }
}
END_TEST

/* What was refused says so, and no key is anything but a scalar. */
START_TEST(refused_nodes_are_told)
{
    struct reading r;
    read_tree(&r, "v: *x\n<<: 1\n[a]: 1\n'<<': 1\n\"\": 1\nb: &y 1\n");
    static const bool refused[][2] = {{false, true},  {true, false},  {true, false},
                                      {false, false}, {false, false}, {false, false}};
    size_t i = 0;
    for (const struct text_node *node = r.root->first; node; node = node->next, i++) {
        ck_assert_int_eq(node->key->kind, TEXT_SCALAR);
        ck_assert_int_eq(node->key->refused, refused[i][0]);
        ck_assert_int_eq(node->refused, refused[i][1]);
    }
    ck_assert_uint_eq(i, 6);
    ck_assert_uint_eq(r.s.findings.count, 4);
    support_end(&r.s);
}
END_TEST

START_TEST(decorated_twice)
{
    struct reading r;
    read_tree(&r, "a: &x !!int 1\n");
    ck_assert_uint_eq(r.s.findings.count, 2);
    ck_assert_int_eq(r.s.findings.items[0]->rule, RULE_ALIAS_REFUSED);
    ck_assert_int_eq(r.s.findings.items[1]->rule, RULE_TAG_REFUSED);
    support_end(&r.s);
}
END_TEST

START_TEST(nesting)
{
    enum { LIMIT = 32 };
    char text[2 * LIMIT + 4];
    for (int depth = LIMIT; depth <= LIMIT + 1; depth++) {
        struct reading r;
        memset(text, '[', (size_t)depth);
        memset(text + depth, ']', (size_t)depth);
        text[2 * depth] = '\0';
        read_tree(&r, text);
        if (depth <= LIMIT) {
            (void)assert_only(&r.s, RULE_NONE);
            ck_assert_ptr_nonnull(r.root);
        } else {
            const struct finding *finding = assert_only(&r.s, RULE_TOO_DEEP);
            assert_marked(&finding->at, &(struct marks){1, LIMIT + 1, 1, LIMIT + 2});
            ck_assert_ptr_null(r.root);
        }
        support_end(&r.s);
    }
}
END_TEST

START_TEST(text_that_is_no_yaml)
{
    static const char *const texts[] = {"a: 1\nb\n", "a: [1, 2\n", "a: 1\n\tb: 2\n", "a: \"b\n",
                                        "a: 1\n b: 2\n"};
    for (size_t i = 0; i < sizeof texts / sizeof *texts; i++) {
        struct reading r;
        read_tree(&r, texts[i]);
        const struct finding *finding = assert_only(&r.s, RULE_YAML_SYNTAX);
        ck_assert_ptr_null(r.root);
        ck_assert_uint_ge(finding->at.line, 1);
        ck_assert_uint_gt(finding->at.end_column, 0);
        ck_assert_uint_gt(strlen(finding->message), 0);
        support_end(&r.s);
    }
    struct reading r;
    read_tree(&r, "a: [1, 2\nb: 3\n");
    const struct finding *finding = assert_only(&r.s, RULE_YAML_SYNTAX);
    ck_assert_ptr_nonnull(finding->notes);
    ck_assert_uint_eq(finding->notes->at.line, 1);
    ck_assert_uint_eq(finding->notes->at.column, 4);
    support_end(&r.s);
}
END_TEST

START_TEST(nothing_to_read)
{
    static const char *const texts[] = {"", "\n", "# only a comment\n"};
    for (size_t i = 0; i < 3; i++) {
        struct reading r;
        read_tree(&r, texts[i]);
        ck_assert_ptr_null(r.root);
        (void)assert_only(&r.s, RULE_NONE);
        support_end(&r.s);
    }
}
END_TEST

/* The marked part of a value; where it does not stand in the file as it is, the marks stand around
 * the whole. */
START_TEST(parts_of_scalars)
{
    const struct {
        const char *text, *part;
    } cases[] = {
        {"v: 40 @lbfft@\n", "lbfft"},
        {"v: @40@ lbf.ft\n", "40"},
        {"v: \"40 @lbfft@\"\n", "lbfft"},
        {"v: '@40@ lbfft'\n", "40"},
        {"k: {v: 1}\nv: \xc3\xa9\xe2\x82\xac @\xc2\xb5m@ x\n", "\xc2\xb5m"},
        {"v: @\"4\\x30 lbfft\"@\n", "lbfft"},
        {"v: @'it''s lbfft'@\n", "lbfft"},
        {"v: @40\n  lbfft@\n", "lbfft"},
        {"v: @a\n     bb@\n", "bb"},
        {"v: @|\n  40 lbfft\n@", "lbfft"},
    };
    for (size_t i = 0; i < sizeof cases / sizeof *cases; i++) {
        struct reading r;
        read_tree(&r, cases[i].text);
        const struct text_node *node = value(r.root);
        const char *part = strstr(node->text, cases[i].part);
        ck_assert_ptr_nonnull(part);
        struct span at = text_part(node, (size_t)(part - node->text), strlen(cases[i].part));
        assert_marked(&at, &r.marks);
        support_end(&r.s);
    }
    struct reading r;
    read_tree(&r, "v: 40@ @\n");
    struct span at = text_part(value(r.root), 2, 0); /* nothing at its end, one column wide */
    assert_marked(&at, &r.marks);
    support_end(&r.s);
}
END_TEST

int main(void)
{
    TCase *tests = tcase_create("tree");
    tcase_add_test(tests, places_of_scalars);
    tcase_add_test(tests, places_of_collections);
    tcase_add_test(tests, places_of_keys);
    tcase_add_test(tests, plain_or_quoted);
    tcase_add_test(tests, lines_are_counted_alike);
    tcase_add_test(tests, what_is_refused);
    tcase_add_test(tests, refused_nodes_are_told);
    tcase_add_test(tests, decorated_twice);
    tcase_add_test(tests, nesting);
    tcase_add_test(tests, text_that_is_no_yaml);
    tcase_add_test(tests, nothing_to_read);
    tcase_add_test(tests, parts_of_scalars);
    return run_case("text", tests);
}
