#include "text/json_tree.h"

#include "text/utf8.h"

#include <string.h>

struct reader {
    const struct text_file *file;
    struct arena *arena;
    size_t at; /* the next byte, at most the length */
    uint32_t line, column;
};

static char next(const struct reader *r)
{
    return r->at < r->file->length ? r->file->bytes[r->at] : '\0';
}

/* Moves past the next byte of a line. */
static void pass(struct reader *r)
{
    r->column += ((unsigned char)r->file->bytes[r->at] & 0xc0) != 0x80;
    r->at++;
}

static void skip_blanks(struct reader *r)
{
    for (char c = next(r); c == ' ' || c == '\t' || c == '\n' || c == '\r'; c = next(r)) {
        bool pair = c == '\r' && r->at + 1 < r->file->length && r->file->bytes[r->at + 1] == '\n';
        pass(r);
        if (c == '\n' || (c == '\r' && !pair)) {
            r->line++;
            r->column = 1;
        }
    }
}

static bool take(struct reader *r, char wanted)
{
    if (r->at == r->file->length || next(r) != wanted) {
        return false;
    }
    pass(r);
    return true;
}

static struct text_node *start(struct reader *r, enum text_kind kind)
{
    struct text_node *node = arena_alloc(r->arena, sizeof *node);
    node->kind = kind;
    node->at = (struct span){r->file, r->line, r->column, r->line, r->column};
    return node;
}

static struct text_node *end(const struct reader *r, struct text_node *node)
{
    node->at.end_line = r->line;
    node->at.end_column = r->column;
    return node;
}

/* Four hexadecimal digits; -1 where they are not there. */
static int32_t take_hex(struct reader *r)
{
    int32_t value = 0;
    for (int i = 0; i < 4; i++) {
        static const char digits[] = "0123456789abcdef0123456789ABCDEF";
        const char *digit = next(r) ? strchr(digits, next(r)) : NULL;
        if (!digit) {
            return -1;
        }
        value = value * 16 + (int32_t)((digit - digits) % 16);
        pass(r);
    }
    return value;
}

/* The character of \u and what follows, a pair of them for one above U+FFFF; -1: none. */
static int32_t take_code(struct reader *r)
{
    int32_t code = take_hex(r);
    if (code < 0xd800 || code > 0xdfff) {
        return code;
    }
    int32_t low = code < 0xdc00 && take(r, '\\') && take(r, 'u') ? take_hex(r) : -1;
    return low < 0xdc00 || low > 0xdfff ? -1 : 0x10000 + (code - 0xd800) * 0x400 + (low - 0xdc00);
}

/* The same of the other escapes: what follows the backslash. */
static int32_t take_escape(struct reader *r)
{
    static const char letters[] = "\"\\/bfnrt";
    static const char meanings[] = "\"\\/\b\f\n\r\t";
    const char *letter = next(r) ? strchr(letters, next(r)) : NULL;
    if (take(r, 'u')) {
        return take_code(r);
    }
    if (!letter) {
        return -1;
    }
    pass(r);
    return meanings[letter - letters];
}

/* Writes the character in UTF-8; its bytes. */
static size_t put(char *out, int32_t code)
{
    if (code < 0x80) {
        out[0] = (char)code;
        return 1;
    }
    size_t size = code < 0x800 ? 2 : code < 0x10000 ? 3 : 4;
    static const unsigned char marks[] = {0, 0, 0xc0, 0xe0, 0xf0};
    for (size_t i = size; i-- > 0; code >>= 6) {
        out[i] = (char)(i == 0 ? marks[size] | code : 0x80 | (code & 0x3f));
    }
    return size;
}

/* The length of the string that the quote at the cursor opens, as written; 0: none, or no JSON. */
static size_t string_length(const struct reader *r)
{
    const char *bytes = r->file->bytes;
    for (size_t i = r->at + 1; i < r->file->length && (unsigned char)bytes[i] >= ' '; i++) {
        if (bytes[i] == '"') {
            return i + 1 - r->at;
        }
        i += bytes[i] == '\\';
    }
    return 0;
}

/* U+2028 and U+2029 end a line of YAML, so such a text is left to it. */
static bool ends_line(const char *byte)
{
    return memcmp(byte, "\xe2\x80\xa8", 3) == 0 || memcmp(byte, "\xe2\x80\xa9", 3) == 0;
}

static struct text_node *read_string(struct reader *r)
{
    struct text_node *node = start(r, TEXT_SCALAR);
    size_t written = string_length(r);
    if (written == 0) {
        return NULL;
    }
    char *text = arena_alloc(r->arena, written); /* no escape is shorter than its character */
    size_t last = r->at + written - 1;
    pass(r);
    while (r->at < last) {
        if (take(r, '\\')) {
            int32_t code = take_escape(r);
            if (code < 0) {
                return NULL;
            }
            node->length += put(text + node->length, code);
            continue;
        }
        if (next(r) == '\xe2' && ends_line(r->file->bytes + r->at)) {
            return NULL;
        }
        text[node->length++] = next(r);
        pass(r);
    }
    node->text = text; /* zeroed, and one longer than it needs */
    return take(r, '"') ? end(r, node) : NULL;
}

static size_t digits_at(const char *text, size_t at)
{
    size_t end_at = at;
    while (text[end_at] >= '0' && text[end_at] <= '9') {
        end_at++;
    }
    return end_at - at;
}

/* Whether a terminated word is a number of JSON. */
static bool is_number(const char *word)
{
    size_t at = word[0] == '-';
    size_t whole = digits_at(word, at);
    if (whole == 0 || (whole > 1 && word[at] == '0')) {
        return false;
    }
    at += whole;
    if (word[at] == '.') {
        size_t decimals = digits_at(word, at + 1);
        if (decimals == 0) {
            return false;
        }
        at += 1 + decimals;
    }
    if (word[at] == 'e' || word[at] == 'E') {
        at++;
        at += word[at] == '+' || word[at] == '-';
        size_t power = digits_at(word, at);
        if (power == 0) {
            return false;
        }
        at += power;
    }
    return word[at] == '\0';
}

static struct text_node *read_word(struct reader *r)
{
    struct text_node *node = start(r, TEXT_SCALAR);
    const char *bytes = r->file->bytes + r->at;
    while (next(r) && !strchr(" \t\r\n,:[]{}\"", next(r))) {
        pass(r);
    }
    node->plain = true;
    node->length = (size_t)(r->file->bytes + r->at - bytes);
    node->text = arena_copy(r->arena, bytes, node->length);
    bool known = strcmp(node->text, "true") == 0 || strcmp(node->text, "false") == 0 ||
                 strcmp(node->text, "null") == 0 || is_number(node->text);
    return known ? end(r, node) : NULL;
}

static struct text_node *read_value(struct reader *r, size_t depth);

/* An entry of an object with its key, or an item of a list. */
static struct text_node *read_child(struct reader *r, enum text_kind kind, size_t depth)
{
    struct text_node *key = NULL;
    if (kind == TEXT_MAP) {
        key = next(r) == '"' ? read_string(r) : NULL;
        skip_blanks(r);
        if (!key || !take(r, ':')) {
            return NULL;
        }
        skip_blanks(r);
    }
    struct text_node *child = read_value(r, depth);
    if (child) {
        child->key = key;
    }
    return child;
}

static struct text_node *read_collection(struct reader *r, enum text_kind kind, size_t depth)
{
    char close = kind == TEXT_MAP ? '}' : ']';
    struct text_node *node = start(r, kind);
    struct text_node **last = &node->first;
    pass(r);
    skip_blanks(r);
    if (depth == 0) {
        return NULL;
    }
    if (take(r, close)) {
        return end(r, node);
    }
    do {
        skip_blanks(r);
        struct text_node *child = read_child(r, kind, depth - 1);
        if (!child) {
            return NULL;
        }
        *last = child;
        last = &child->next;
        node->count++;
        skip_blanks(r);
    } while (take(r, ','));
    return take(r, close) ? end(r, node) : NULL;
}

static struct text_node *read_value(struct reader *r, size_t depth)
{
    switch (next(r)) {
    case '{': return read_collection(r, TEXT_MAP, depth);
    case '[': return read_collection(r, TEXT_LIST, depth);
    case '"': return read_string(r);
    default: return read_word(r);
    }
}

struct text_node *text_json_read(const struct text_file *file, size_t depth, struct arena *arena)
{
    struct reader r = {file, arena, text_file_mark(file), 1, 1};
    skip_blanks(&r);
    if (next(&r) != '{') {
        return NULL;
    }
    struct text_node *root = read_value(&r, depth);
    skip_blanks(&r);
    return root && r.at == file->length ? root : NULL;
}
