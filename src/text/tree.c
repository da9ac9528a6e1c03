#include "text/tree.h"

#include "base/end.h"
#include "text/json_tree.h"
#include "text/syntax.h"
#include "text/utf8.h"

#include <assert.h>
#include <string.h>
#include <yaml.h>

/* Definitions need nine levels; a bracket that was never closed needs thousands. */
enum { DEPTH_LIMIT = 32 };

enum { DIRECTIVES_MOST = 100 }; /* lines that begin with %TAG */

enum { MOST_SHOWN = 60 }; /* characters of a text in a message */

/* What is open while events come in: the collection, and where its next child goes. */
struct level {
    struct text_node *node;
    struct text_node **end;
    struct text_node *key; /* read, still without its value */
};

struct reader {
    const struct text_file *file;
    struct arena *arena;
    struct findings *findings;
    struct text_node *root;
    struct level levels[DEPTH_LIMIT];
    size_t depth;
    size_t documents;
    bool odd_keys; /* there is a key that is a collection */
    bool escapes;  /* the file has a backslash: nothing else can make a hidden character */
};

/* What spans nothing (a blank) is shown one column wide. */
static struct span span_between(const struct reader *r, const yaml_mark_t *start,
                                const yaml_mark_t *end)
{
    return (struct span){r->file, (uint32_t)start->line + 1, (uint32_t)start->column + 1,
                         (uint32_t)end->line + 1,
                         (uint32_t)end->column + (start->index == end->index ? 2 : 1)};
}

/* Hangs the node where the collection that is open wants it.  A map takes key and value in turn. */
static void attach(struct reader *r, struct text_node *node)
{
    if (r->depth == 0) {
        if (!r->root) {
            r->root = node;
        }
        return;
    }
    struct level *level = &r->levels[r->depth - 1];
    assert(level->node); /* a level is open because its collection was */
    if (level->node->kind == TEXT_MAP && !level->key) {
        level->key = node;
        r->odd_keys = r->odd_keys || node->kind != TEXT_SCALAR;
        return;
    }
    node->key = level->key;
    level->key = NULL;
    level->node->count++;
    *level->end = node;
    level->end = &node->next;
    level->node->at.end_line = node->at.end_line;
    level->node->at.end_column = node->at.end_column;
}

static void refuse_decoration(struct reader *r, struct span at, const yaml_char_t *anchor,
                              const yaml_char_t *tag)
{
    if (anchor) {
        finding_add(r->findings, RULE_ALIAS_REFUSED, at, "the anchor &%s is used",
                    (const char *)anchor);
    }
    if (tag) {
        finding_add(r->findings, RULE_TAG_REFUSED, at, "the tag %s is used", (const char *)tag);
    }
}

/*
 * Refuses a character that is not visible and that comes from an escape, except tab and line end.
 * A control character could end a text on the device, or be read there as a command.  The node ends
 * at it.
 */
static void refuse_hidden(struct reader *r, struct text_node *node)
{
    uint32_t code = 0;
    size_t size = 0;
    for (size_t i = 0; r->escapes && i < node->length; i += size) {
        size = text_utf8_decode(node->text + i, node->length - i, &code);
        if (!text_is_hidden(code) || code == '\t' || code == '\n' || code == '\r') {
            continue;
        }
        bool control = text_is_control(code);
        struct finding *finding =
            finding_add(r->findings, control ? RULE_YAML_SYNTAX : RULE_HIDDEN_CHARACTER, node->at,
                        "the escape of the %s character U+%04X is used",
                        control ? "control" : "hidden", (unsigned)code);
        finding_consequence(
            r->findings, finding,
            code == 0 ? "On the device the text would end at this character."
            : control
                ? "No device can show it, and a device could read it as a command."
                : "It is not visible, and it can show a text that is not the one in the file.");
        finding_remedy(r->findings, finding, "Delete the escape.");
        node->refused = true;
        node->text = arena_copy(r->arena, node->text, i);
        node->length = i;
        return;
    }
}

/* The same of a whole tree, with the texts of its keys. */
static void refuse_all_hidden(struct reader *r, struct text_node *node)
{
    if (node->key) {
        refuse_hidden(r, node->key);
    }
    if (node->kind == TEXT_SCALAR && !node->plain) {
        refuse_hidden(r, node);
    }
    for (struct text_node *child = node->first; child; child = child->next) {
        refuse_all_hidden(r, child);
    }
}

static void take_scalar(struct reader *r, const yaml_event_t *event)
{
    struct text_node *node = arena_alloc(r->arena, sizeof *node);
    node->kind = TEXT_SCALAR;
    node->plain = event->data.scalar.style == YAML_PLAIN_SCALAR_STYLE;
    node->at = span_between(r, &event->start_mark, &event->end_mark);
    node->text =
        arena_copy(r->arena, (const char *)event->data.scalar.value, event->data.scalar.length);
    node->length = event->data.scalar.length;
    if (!node->plain) { /* only quotes have escapes */
        refuse_hidden(r, node);
    }
    refuse_decoration(r, node->at, event->data.scalar.anchor, event->data.scalar.tag);
    const struct level *level = r->depth ? &r->levels[r->depth - 1] : NULL;
    if (level && level->node->kind == TEXT_MAP && !level->key && node->plain &&
        node->text[0] == '<' && strcmp(node->text, "<<") == 0) {
        finding_add(r->findings, RULE_ALIAS_REFUSED, node->at, "a merge key is used");
        node->refused = true;
    }
    attach(r, node);
}

/* False where the nesting is too deep to go on. */
static bool open_collection(struct reader *r, const yaml_event_t *event, enum text_kind kind)
{
    struct span at = span_between(r, &event->start_mark, &event->end_mark);
    if (r->depth == DEPTH_LIMIT) {
        finding_add(r->findings, RULE_TOO_DEEP, at, "there are more than %d nested levels here",
                    DEPTH_LIMIT);
        return false;
    }
    struct text_node *node = arena_alloc(r->arena, sizeof *node);
    node->kind = kind;
    node->at = at;
    if (kind == TEXT_MAP) {
        refuse_decoration(r, at, event->data.mapping_start.anchor, event->data.mapping_start.tag);
    } else {
        refuse_decoration(r, at, event->data.sequence_start.anchor, event->data.sequence_start.tag);
    }
    r->levels[r->depth++] = (struct level){node, &node->first, NULL};
    return true;
}

static void close_collection(struct reader *r, const yaml_event_t *event)
{
    struct text_node *node = r->levels[--r->depth].node;
    /* A flow collection ends with its bracket; a block one with its last child, set in attach(). */
    if (event->end_mark.index > event->start_mark.index) {
        node->at.end_line = (uint32_t)event->end_mark.line + 1;
        node->at.end_column = (uint32_t)event->end_mark.column + 1;
    }
    attach(r, node);
}

/* A key that is a collection, in a tree whose keys are scalars, is reported and made a scalar. */
static void check_keys(struct reader *r, struct text_node *node)
{
    for (struct text_node *child = node->first; child; child = child->next) {
        if (child->key && child->key->kind != TEXT_SCALAR) {
            finding_add(r->findings, RULE_WRONG_SHAPE, child->key->at, "a key is not a word");
            child->key->refused = true;
            child->key->kind = TEXT_SCALAR;
            child->key->text = "";
            child->key->length = 0;
        }
        check_keys(r, child);
    }
}

static void report_syntax(struct reader *r, const yaml_parser_t *parser)
{
    const struct text_fault fault = {
        parser->problem, span_between(r, &parser->problem_mark, &parser->problem_mark),
        parser->context, span_between(r, &parser->context_mark, &parser->context_mark)};
    text_report_fault(r->findings, r->file, &fault);
}

/* Takes one event; false where nothing more is to be read. */
static bool take(struct reader *r, const yaml_event_t *event)
{
    switch (event->type) {
    case YAML_SCALAR_EVENT: take_scalar(r, event); return true;
    case YAML_MAPPING_START_EVENT: return open_collection(r, event, TEXT_MAP);
    case YAML_SEQUENCE_START_EVENT: return open_collection(r, event, TEXT_LIST);
    case YAML_MAPPING_END_EVENT:
    case YAML_SEQUENCE_END_EVENT: close_collection(r, event); return true;
    case YAML_ALIAS_EVENT: {
        struct span at = span_between(r, &event->start_mark, &event->end_mark);
        finding_add(r->findings, RULE_ALIAS_REFUSED, at, "the alias *%s is used",
                    (const char *)event->data.alias.anchor);
        struct text_node *node = arena_alloc(r->arena, sizeof *node);
        node->refused = true;
        node->at = at;
        node->text = "";
        attach(r, node);
        return true;
    }
    case YAML_DOCUMENT_START_EVENT:
        if (++r->documents > 1) {
            finding_add(r->findings, RULE_MANY_DOCUMENTS,
                        span_between(r, &event->start_mark, &event->end_mark),
                        "a second document begins here");
            r->root = NULL; /* half of a definition is not judged */
            return false;
        }
        return true;
    case YAML_STREAM_END_EVENT: return false;
    case YAML_NO_EVENT: /* is_out_of_memory */
    case YAML_STREAM_START_EVENT:
    case YAML_DOCUMENT_END_EVENT: break;
    }
    return true;
}

/*
 * Reports more tag directives than anybody has use for: each is looked for among all before it, so
 * a file of them would take minutes.
 */
static bool has_many_directives(const struct text_file *file, struct findings *findings)
{
    uint32_t line = text_file_line_beginning(file, "%TAG", DIRECTIVES_MOST + 1);
    if (line == 0) {
        return false;
    }
    struct finding *finding =
        finding_add(findings, RULE_TAG_REFUSED, (struct span){file, line, 1, line, 5},
                    "more than %d lines begin with %%TAG", DIRECTIVES_MOST);
    finding_consequence(findings, finding, "The program does not read the rest of the file.");
    return true;
}

/*
 * Libyaml reports it, with one exception: after a tag without a handle it ends without an error.
 * Then it gives no event, which it otherwise does only at the end of the stream.
 */
static bool is_out_of_memory(const yaml_parser_t *parser, bool parsed, const yaml_event_t *event)
{
    return parsed ? event->type == YAML_NO_EVENT
                  : parser->error == YAML_MEMORY_ERROR || parser->error == YAML_NO_ERROR;
}

struct text_node *text_tree_read(const struct text_file *file, struct arena *arena,
                                 struct findings *findings)
{
    if (has_many_directives(file, findings)) {
        return NULL;
    }
    struct reader reader = {.file = file,
                            .arena = arena,
                            .findings = findings,
                            .escapes = memchr(file->bytes, '\\', file->length) != NULL};
    struct text_node *json = text_json_read(file, DEPTH_LIMIT, arena);
    if (json) {
        refuse_all_hidden(&reader, json);
        return json;
    }
    yaml_parser_t parser;
    if (!yaml_parser_initialize(&parser)) {
        end_out_of_memory();
    }
    size_t mark = text_file_mark(file);
    yaml_parser_set_input_string(&parser, (const unsigned char *)file->bytes + mark,
                                 file->length - mark);
    yaml_parser_set_encoding(&parser, YAML_UTF8_ENCODING);

    bool more = true;
    bool whole = true;
    while (more) {
        yaml_event_t event;
        bool parsed = yaml_parser_parse(&parser, &event) != 0;
        if (is_out_of_memory(&parser, parsed, &event)) {
            end_out_of_memory();
        }
        if (!parsed) {
            report_syntax(&reader, &parser);
            whole = false;
            break;
        }
        more = take(&reader, &event);
        yaml_event_delete(&event);
    }
    yaml_parser_delete(&parser);
    if (!whole) {
        return NULL;
    }
    if (reader.root && reader.odd_keys) {
        check_keys(&reader, reader.root);
    }
    return reader.root;
}

int text_shown(const struct text_node *node)
{
    return (int)text_utf8_bytes(node->text, node->length, MOST_SHOWN);
}

struct span text_part(const struct text_node *node, size_t offset, size_t length)
{
    struct span at = node->at;
    size_t characters = text_utf8_count(node->text, node->length);
    size_t quotes = node->plain ? 0 : 2;
    if (at.line != at.end_line || at.end_column - at.column != characters + quotes) {
        return at;
    }
    at.column += (uint32_t)(quotes / 2 + text_utf8_count(node->text, offset));
    size_t shown = text_utf8_count(node->text + offset, length);
    at.end_column = at.column + (uint32_t)(shown == 0 ? 1 : shown);
    return at;
}
