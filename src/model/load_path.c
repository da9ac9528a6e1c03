/*
 * load_path.c - gear paths: a list of meshes, each a map with one key, or the word `direct`.
 */
#include "model/load_parts.h"

#include "model/field.h"
#include "text/near.h"

#include <string.h>

/* Makes one finding of those from `before` on, if all have one rule: [24T, 35T] is one habit. */
static void join_alike(struct findings *list, size_t before)
{
    for (size_t i = before + 1; i < list->count; i++) {
        if (list->items[i]->rule != list->items[before]->rule) {
            return;
        }
    }
    for (size_t i = before + 1; i < list->count; i++) {
        finding_note(list, list->items[before], list->items[i]->at, "%s", list->items[i]->message);
    }
    list->count = list->count > before ? before + 1 : before;
}

static bool read_teeth(struct model_loader *loader, const char *key, const struct text_node *node,
                       size_t most, struct model_mesh *mesh)
{
    const struct model_field list_field = {
        .key = key, .least = 2, .most = (int64_t)most, .meaning = "tooth counts, pad side first"};
    const struct model_field tooth_field = {.key = "a tooth count",
                                            .type = MODEL_INTEGER,
                                            .least = 1,
                                            .most = MODEL_TEETH_MOST,
                                            .meaning = "teeth of a gear"};
    struct model_integer single;
    if (node->kind == TEXT_LIST && node->count == 1 &&
        !model_read_number(loader, &tooth_field, node->first, &single)) {
        return false; /* [26; 41] is a list of one, but that is not the mistake */
    }
    if (!model_want_list(loader, &list_field, node)) {
        return false;
    }
    bool whole = true;
    size_t before = loader->findings->count;
    for (const struct text_node *item = node->first; item; item = item->next) {
        struct model_integer *tooth = &mesh->teeth[mesh->teeth_count++];
        tooth->at = model_at_node(item);
        if (!model_read_number(loader, &tooth_field, item, tooth)) {
            tooth->at.state = MODEL_BROKEN;
            whole = false;
        }
    }
    join_alike(loader->findings, before);
    mesh->bare.pad_teeth = mesh->teeth[0].value;
    mesh->bare.rotor_teeth = mesh->teeth[mesh->teeth_count - 1].value;
    mesh->bare.contacts = (unsigned)mesh->teeth_count - 1;
    return whole;
}

static bool read_backs(struct model_loader *loader, const struct model_field *field,
                       const struct text_node *node, struct model_list *backs)
{
    const struct model_field one = {.key = field->key,
                                    .type = MODEL_WORD,
                                    .words = model_direction_words,
                                    .meaning = "which way the back of a gear faces"};
    if (!model_want_list(loader, field, node)) {
        return false;
    }
    bool whole = true;
    backs->items = arena_array(loader->arena, 2, sizeof(struct model_code));
    for (const struct text_node *item = node->first; item; item = item->next) {
        struct model_code *word = MODEL_ITEM(*backs, struct model_code, backs->count++);
        word->at = model_at_node(item);
        whole = model_read_word(loader, &one, item, word) && whole;
    }
    return whole;
}

static bool read_bevel(struct model_loader *loader, const struct text_node *node,
                       struct model_mesh *mesh)
{
    if (node->kind != TEXT_MAP) {
        return read_teeth(loader, "bevel", node, 2, mesh);
    }
    if (!model_load_record(loader, &model_bevel_record, node, mesh)) {
        return false;
    }
    if (mesh->backs.at.state == MODEL_BROKEN) {
        mesh->backs.count = 0;
        return false;
    }
    for (size_t i = 0; i < mesh->backs.count; i++) {
        mesh->bare.backs[i] =
            (enum turning_direction)MODEL_ITEM(mesh->backs, struct model_code, i)->value;
    }
    return mesh->teeth_count == 2 && mesh->teeth[0].at.state == MODEL_GIVEN &&
           mesh->teeth[1].at.state == MODEL_GIVEN;
}

static bool read_epicyclic(struct model_loader *loader, const struct text_node *node,
                           struct model_mesh *mesh)
{
    if (!model_load_record(loader, &model_epicyclic_record, node, mesh)) {
        return false;
    }
    mesh->bare.sun_teeth = mesh->sun.value;
    mesh->bare.ring_teeth = mesh->ring.value;
    mesh->bare.in = (enum turning_member)mesh->in.value;
    mesh->bare.out = (enum turning_member)mesh->out.value;
    mesh->bare.held = (enum turning_member)mesh->held.value;
    return mesh->sun.at.state == MODEL_GIVEN && mesh->ring.at.state == MODEL_GIVEN &&
           mesh->in.at.state == MODEL_GIVEN && mesh->out.at.state == MODEL_GIVEN &&
           mesh->held.at.state == MODEL_GIVEN && mesh->in.value != mesh->out.value &&
           mesh->in.value != mesh->held.value && mesh->out.value != mesh->held.value;
}

static const struct model_mesh_row *find_mesh(const struct text_node *key)
{
    for (const struct model_mesh_row *row = model_mesh_rows; row->key; row++) {
        if (strcmp(row->key, key->text) == 0) {
            return row;
        }
    }
    return NULL;
}

static void report_mesh(struct model_loader *loader, const struct text_node *word)
{
    struct text_near near = text_near_start(word->text, word->length);
    for (const struct model_mesh_row *row = model_mesh_rows; row->key; row++) {
        text_near_try(&near, row->key);
    }
    bool is_key = find_mesh(word) == NULL;
    struct finding *finding =
        finding_add(loader->findings, is_key ? RULE_UNKNOWN_KEY : RULE_WRONG_SHAPE, word->at,
                    is_key ? "%.*s is not a kind of mesh" : "%.*s has no value here",
                    text_shown(word), word->text);
    if (text_near_best(&near) && is_key) {
        finding_guess(loader->findings, finding, text_near_best(&near));
    } else {
        finding_remedy(loader->findings, finding,
                       "Write external: [27, 44], internal: [20, 90], bevel: [31, 22], "
                       "epicyclic: {...} or direct.");
    }
}

/* False where the mesh cannot be calculated with. */
static bool read_mesh(struct model_loader *loader, const struct text_node *node,
                      struct model_mesh *mesh)
{
    mesh->at = model_at_node(node);
    mesh->bare.backs[0] = TURNING_NOWHERE;
    mesh->bare.backs[1] = TURNING_NOWHERE;
    mesh->bare.kind = TURNING_DIRECT;
    if (node->refused) {
        return false;
    }
    if (node->kind == TEXT_SCALAR && strcmp(node->text, "direct") == 0) {
        return true;
    }
    if (node->kind == TEXT_SCALAR && node->length != 0) {
        report_mesh(loader, node);
        return false;
    }
    if (node->kind != TEXT_MAP || node->count != 1) {
        finding_add(loader->findings, RULE_WRONG_SHAPE, node->at,
                    "a mesh is one key with its teeth, or the word direct");
        return false;
    }
    const struct text_node *value = node->first;
    if (value->key->refused) {
        return false;
    }
    const struct model_mesh_row *row = find_mesh(value->key);
    if (!row) {
        report_mesh(loader, value->key);
        return false;
    }
    mesh->bare.kind = row->kind;
    switch (row->kind) {
    case TURNING_EXTERNAL: return read_teeth(loader, row->key, value, MODEL_MESH_TEETH, mesh);
    case TURNING_INTERNAL: return read_teeth(loader, row->key, value, 2, mesh);
    case TURNING_BEVEL: return read_bevel(loader, value, mesh);
    case TURNING_EPICYCLIC: return read_epicyclic(loader, value, mesh);
    case TURNING_DIRECT: break;
    }
    finding_add(loader->findings, RULE_WRONG_SHAPE, value->key->at, "direct takes no value");
    return false;
}

static bool read_meshes(struct model_loader *loader, const struct model_field *field,
                        const struct text_node *node, struct model_list *path)
{
    if (!model_want_list(loader, field, node)) {
        return false;
    }
    path->items = arena_array(loader->arena, node->count, sizeof(struct model_mesh));
    bool whole = true;
    for (const struct text_node *item = node->first; item; item = item->next) {
        struct model_mesh *mesh = MODEL_ITEM(*path, struct model_mesh, path->count++);
        mesh->whole = read_mesh(loader, item, mesh);
        mesh->at.state = mesh->whole ? MODEL_GIVEN : MODEL_BROKEN;
        whole = whole && mesh->whole;
    }
    return whole;
}

bool model_read_path(struct model_loader *loader, const struct model_field *field,
                     const struct text_node *node, void *out)
{
    if (field->type == MODEL_BACKS) {
        return read_backs(loader, field, node, out);
    }
    if (field->type == MODEL_TEETH) {
        /* `out` is the first tooth of the mesh that the bevel's record is read into. */
        char *tooth = out;
        struct model_mesh *mesh =
            (struct model_mesh *)(void *)(tooth - offsetof(struct model_mesh, teeth));
        return read_teeth(loader, field->key, node, 2, mesh);
    }
    return read_meshes(loader, field, node, out);
}
