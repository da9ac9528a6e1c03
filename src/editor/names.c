#include "editor/names.h"

#include "editor/edit.h"
#include "report/json.h"
#include "rules/rules.h"
#include "text/utf8.h"

#include <string.h>

/* A definition and its cross-check, one of which is the document. */
struct pair {
    struct model_engine *engine; /* NULL: it is not there, or could not be read */
    const struct text_file *first;
    struct model_cross_check *second; /* NULL: the same */
    const struct text_file *second_file;
    const struct text_file *own; /* the one that is the document */
};

/* An id where it is written. */
struct mention {
    const struct text_file *file;
    enum model_listed list;
    const struct model_text *id;
    bool is_record; /* it is the record's own id; else another value names the record */
};

struct mentions {
    struct arena *arena;
    const struct text_file *file; /* whose ids are added */
    struct mention *items;
    size_t count, capacity;
};

static struct pair pair_of(const struct editor_document *document)
{
    const struct run_judged *file = &document->file;
    const struct run_judged *definition = &document->definition;
    if (!file->source.cross_check) {
        return (struct pair){file->source.engine, &file->source.file, file->cross_check.cross_check,
                             &file->cross_check.file, &file->source.file};
    }
    /* With its definition it was read again, and only then its references were resolved. */
    const struct model_source *second =
        definition->cross_check.cross_check ? &definition->cross_check : &file->source;
    return (struct pair){definition->source.engine, &definition->source.file, second->cross_check,
                         &second->file, &second->file};
}

static void add(struct mentions *mentions, enum model_listed list, const struct model_text *id,
                bool is_record)
{
    if (!id->text) {
        return;
    }
    mentions->items = arena_grow(mentions->arena, mentions->items, mentions->count,
                                 &mentions->capacity, sizeof *mentions->items);
    mentions->items[mentions->count++] = (struct mention){mentions->file, list, id, is_record};
}

/* What names no record, or the record of another spool, is still written there. */
static void add_reference(void *context, const struct model_field *field, struct model_text *id,
                          size_t *index)
{
    (void)index;
    add(context, field->refers, id, false);
}

static struct mentions mentions_of(const struct pair *pair, struct arena *arena)
{
    struct mentions mentions = {.arena = arena, .file = pair->first};
    for (int list = MODEL_SPOOLS; pair->engine && list <= MODEL_DOCUMENTS; list++) {
        for (size_t i = 0; i < model_listed_count(pair->engine, (enum model_listed)list); i++) {
            add(&mentions, (enum model_listed)list,
                model_listed_id(pair->engine, (enum model_listed)list, i), true);
        }
    }
    if (pair->engine) {
        model_each_reference(pair->engine, add_reference, &mentions);
    }
    const struct model_cross_check *second = pair->second;
    mentions.file = pair->second_file;
    for (size_t i = 0; second && i < second->spools.count; i++) {
        add(&mentions, MODEL_SPOOLS, &MODEL_ITEM(second->spools, struct model_spool, i)->id, true);
    }
    for (size_t i = 0; second && i < second->stages.count; i++) {
        add(&mentions, MODEL_STAGES, &MODEL_ITEM(second->stages, struct model_stage, i)->id, true);
    }
    for (size_t i = 0; second && i < second->pads.count; i++) {
        add(&mentions, MODEL_PADS, &MODEL_ITEM(second->pads, struct model_pad, i)->id, true);
    }
    if (second) {
        model_each_reference_again(pair->second, add_reference, &mentions);
    }
    return mentions;
}

static bool holds(const struct span *at, struct editor_point point)
{
    return at->line == point.line && at->column <= point.column && point.column <= at->end_column;
}

/* The id at a point of the document, or NULL. */
static const struct mention *find(const struct mentions *mentions, const struct pair *pair,
                                  struct editor_point point)
{
    for (size_t i = 0; i < mentions->count; i++) {
        const struct mention *mention = &mentions->items[i];
        if (mention->file == pair->own && holds(&mention->id->at.span, point)) {
            return mention;
        }
    }
    return NULL;
}

static bool is_same(const struct mention *a, const struct mention *b)
{
    return a->list == b->list && model_same_text(a->id, b->id);
}

static struct span place_of(const struct mention *mention)
{
    return editor_inside_quotes(mention->file, &mention->id->at.span);
}

static json_t *range_of(const struct mention *mention)
{
    const struct span at = place_of(mention);
    return editor_range(mention->file, &at);
}

/* Everything that is needed about the id at a point. */
struct asked {
    struct arena arena;
    struct pair pair;
    struct mentions mentions;
    const struct mention *at; /* NULL: there is no id */
};

static void ask(struct asked *asked, const struct editor_document *document,
                struct editor_point point)
{
    *asked = (struct asked){.pair = pair_of(document)};
    asked->mentions = mentions_of(&asked->pair, &asked->arena);
    asked->at = find(&asked->mentions, &asked->pair, point);
}

/* The index-th place of the id; NULL where another id is. */
static const struct mention *same(const struct asked *asked, size_t i)
{
    const struct mention *mention = &asked->mentions.items[i];
    return asked->at && is_same(mention, asked->at) ? mention : NULL;
}

static json_t *location(const struct editor_documents *documents,
                        const struct editor_document *document, struct arena *arena,
                        const struct mention *mention)
{
    return json_pack("{ssso}", "uri", editor_uri_of(documents, document, arena, mention->file),
                     "range", range_of(mention));
}

json_t *editor_definition(const struct editor_documents *documents,
                          const struct editor_document *document, struct editor_point point)
{
    struct asked asked;
    json_t *found = NULL;
    ask(&asked, document, point);
    for (size_t i = 0; i < asked.mentions.count && !found; i++) {
        const struct mention *mention = same(&asked, i);
        if (mention && mention->is_record && mention->file == asked.pair.first &&
            mention != asked.at) {
            found = location(documents, document, &asked.arena, mention);
        }
    }
    arena_free(&asked.arena);
    return found ? found : json_null();
}

json_t *editor_references(const struct editor_documents *documents,
                          const struct editor_document *document, struct editor_point point,
                          bool records)
{
    struct asked asked;
    json_t *list = json_array();
    ask(&asked, document, point);
    for (size_t i = 0; i < asked.mentions.count; i++) {
        const struct mention *mention = same(&asked, i);
        if (mention && (records || !mention->is_record)) {
            report_add(list, location(documents, document, &asked.arena, mention));
        }
    }
    arena_free(&asked.arena);
    return list;
}

enum { HIGHLIGHT_READ = 2, HIGHLIGHT_WRITE = 3 };

json_t *editor_highlights(const struct editor_documents *documents,
                          const struct editor_document *document, struct editor_point point)
{
    struct asked asked;
    json_t *list = json_array();
    (void)documents;
    ask(&asked, document, point);
    for (size_t i = 0; i < asked.mentions.count; i++) {
        const struct mention *mention = same(&asked, i);
        if (mention && mention->file == asked.pair.own) {
            report_add(list, json_pack("{sosi}", "range", range_of(mention), "kind",
                                       mention->is_record ? HIGHLIGHT_WRITE : HIGHLIGHT_READ));
        }
    }
    arena_free(&asked.arena);
    return list;
}

static const char no_id[] =
    "there is no id of a spool, stage, pad or source here; only these can be renamed";

/* Why there is no id to rename where nothing is. */
static const char *no_id_in(const struct editor_document *document)
{
    return document->length > TEXT_FILE_LIMIT ? "the document is larger than any source can be, so "
                                                "its ids are not known; find out "
                                                "which file this is"
                                              : no_id;
}

json_t *editor_rename_range(const struct editor_document *document, struct editor_point point,
                            const char **problem)
{
    struct asked asked;
    json_t *answer = NULL;
    ask(&asked, document, point);
    *problem = no_id_in(document);
    if (asked.at) {
        answer =
            json_pack("{soss}", "range", range_of(asked.at), "placeholder", asked.at->id->text);
    }
    arena_free(&asked.arena);
    return answer;
}

/* How many errors of reading are in a file of the pair. */
static size_t errors_in(const struct run_judged *judged, const struct text_file *file)
{
    size_t errors = 0;
    for (size_t i = 0; i < judged->read; i++) {
        const struct finding *finding = judged->findings.items[i];
        errors += finding->at.file == file && finding->severity == SEVERITY_ERROR;
    }
    return errors;
}

/* The file of the pair that was not read whole, so that an id can be missed; NULL: there is none.
 */
static const char *what_is_unread(const struct editor_document *document)
{
    const bool is_second = document->file.source.cross_check != NULL;
    const struct run_judged *judged =
        is_second && document->definition_path ? &document->definition : &document->file;
    const struct text_file *second = judged == &document->file && is_second
                                         ? &document->file.source.file
                                         : &judged->cross_check.file;
    if (document->file.cross_check_problem || errors_in(judged, second) != 0) {
        return "cross-check";
    }
    bool has_first = !is_second || document->definition_path;
    bool unread = has_first && (!judged->source.engine || judged->errors != 0);
    return unread ? "definition" : NULL;
}

/* Why a record may not have this id; NULL: it may. */
static const char *refusal(const struct asked *asked, const struct editor_document *document,
                           const char *id, struct arena *arena)
{
    const char *unread = what_is_unread(document);
    const struct model_text wanted = {.text = id, .length = strlen(id)};
    const size_t shown = text_utf8_bytes(id, wanted.length, MODEL_ID_MOST);
    const struct mention *record = NULL; /* in the definition */
    if (wanted.length == 0) {
        return "the new id is empty; choose another one";
    }
    if (!model_is_id(id, wanted.length, true)) {
        return arena_printf(arena,
                            "%s%s is not an id: use letters, digits and single hyphens between "
                            "them, at most %d characters",
                            text_clean(arena, arena_copy(arena, id, shown)),
                            shown < wanted.length ? "..." : "", MODEL_ID_MOST);
    }
    if (unread) {
        return arena_printf(arena,
                            "the %s has errors, so the id could be in a part that was not read; "
                            "correct them first",
                            unread);
    }
    for (size_t i = 0; i < asked->mentions.count; i++) {
        const struct mention *mention = &asked->mentions.items[i];
        const char *name = model_listed_name(mention->list);
        if (!mention->is_record || mention->list != asked->at->list) {
            continue;
        }
        if (!is_same(mention, asked->at)) {
            if (strcmp(rules_bare(arena, mention->id), rules_bare(arena, &wanted)) == 0) {
                return arena_printf(arena, "there is already a %s %s; choose another id", name,
                                    mention->id->text);
            }
        } else if (mention->file == asked->pair.first) {
            if (record) {
                return arena_printf(arena,
                                    "there are two records of the kind %s with the id %s, and "
                                    "either can be meant; correct one of them by hand",
                                    name, mention->id->text);
            }
            record = mention;
        }
    }
    return NULL;
}

/* The edits of one file of the pair. */
static json_t *edits_in(const struct asked *asked, const struct text_file *file, const char *id)
{
    json_t *edits = json_array();
    for (size_t i = 0; i < asked->mentions.count; i++) {
        const struct mention *mention = same(asked, i);
        if (mention && mention->file == file) {
            report_add(edits, editor_word_edit(file, &mention->id->at.span, id));
        }
    }
    return edits;
}

/* Adds the edits of a file to the changes: a list with the versions, or an object without. */
static void add_change(json_t *changes, const struct editor_documents *documents, const char *uri,
                       json_t *edits)
{
    if (!json_is_array(changes)) {
        report_set(changes, uri, edits);
        return;
    }
    const struct editor_document *open = editor_find(documents, uri);
    json_t *version = open && open->version ? json_incref(open->version) : json_null();
    report_add(changes, json_pack("{s{ssso}so}", "textDocument", "uri", uri, "version", version,
                                  "edits", edits));
}

json_t *editor_rename(const struct editor_documents *documents,
                      const struct editor_document *document, struct editor_point point,
                      const char *id, bool versioned, struct arena *arena, const char **problem)
{
    struct asked asked;
    ask(&asked, document, point);
    *problem = asked.at ? refusal(&asked, document, id, arena) : no_id_in(document);
    const struct text_file *files[] = {asked.pair.first, asked.pair.second_file};
    json_t *changes = versioned ? json_array() : json_object();
    for (size_t i = 0; i < 2 && !*problem; i++) {
        json_t *edits = edits_in(&asked, files[i], id);
        if (json_array_size(edits) != 0) {
            add_change(changes, documents, editor_uri_of(documents, document, arena, files[i]),
                       edits);
        } else {
            json_decref(edits);
        }
    }
    arena_free(&asked.arena);
    if (*problem) {
        json_decref(changes);
        return NULL;
    }
    return json_pack("{so}", versioned ? "documentChanges" : "changes", changes);
}
