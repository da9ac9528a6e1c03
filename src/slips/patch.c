#include "slips/patch.h"

#include <string.h>

struct matching {
    const struct slips_list *list;
    struct slips_tree *tree;
};

/* Finds the values that are written where a scalar begins. */
static void match_scalar(const struct matching *matching, struct text_node *node)
{
    for (size_t i = 0; i < matching->list->value_count; i++) {
        const struct model_value *value = &matching->list->values[i];
        bool single = value->shape == MODEL_SCALAR || value->shape == MODEL_TOOTH;
        if (single && value->at->span.line == node->at.line &&
            value->at->span.column == node->at.column && node->at.line == node->at.end_line) {
            matching->tree->scalars[i] = node;
        }
    }
}

/* libyaml's depth is bounded (text/tree.h), so this recursion is. */
static void match_below(const struct matching *matching, struct text_node *node)
{
    for (struct text_node *child = node->first; child; child = child->next) {
        if (child->kind == TEXT_SCALAR) {
            match_scalar(matching, child);
        } else {
            match_below(matching, child);
        }
    }
}

struct slips_tree slips_tree_read(const struct slips_list *list, struct arena *arena)
{
    struct slips_tree tree = {NULL, NULL};
    struct findings unshown;
    const struct matching matching = {list, &tree};
    findings_start(&unshown, arena);
    tree.root = text_tree_read(list->file, arena, &unshown);
    tree.scalars = arena_array(arena, list->value_count + 1, sizeof(struct text_node *));
    if (tree.root) {
        match_below(&matching, tree.root);
    }
    return tree;
}

/* What a scalar is in the tree if it is written so; false: only a reader of YAML knows. */
static bool read_scalar(const char *written, struct arena *arena, struct text_node *node)
{
    size_t length = strlen(written);
    char quote = written[0];
    bool plain = quote != '"' && quote != '\'';
    if (plain != node->plain) {
        return false;
    }
    if (!plain) {
        if (length < 2 || written[length - 1] != quote || strchr(written, '\\') ||
            strchr(written + 1, quote) != written + length - 1) {
            return false;
        }
        written++;
        length -= 2;
    }
    node->text = arena_copy(arena, written, length);
    node->length = length;
    return true;
}

bool slips_patch_write(const struct slips_tree *tree, const struct slips_slip *slip,
                       struct arena *arena, struct slips_patch *patch)
{
    patch->count = 0;
    for (size_t i = 0; i < slip->edit_count; i++) {
        const struct slips_edit *edit = &slip->edits[i];
        struct text_node *node =
            edit->value == SLIPS_NO_VALUE || !tree->root ? NULL : tree->scalars[edit->value];
        if (node) {
            patch->nodes[patch->count] = node;
            patch->before[patch->count++] = *node;
        }
        if (!node || !read_scalar(edit->text, arena, node)) {
            slips_patch_undo(patch);
            return false;
        }
    }
    return true;
}

void slips_patch_undo(const struct slips_patch *patch)
{
    for (size_t i = 0; i < patch->count; i++) {
        *patch->nodes[i] = patch->before[i];
    }
}
