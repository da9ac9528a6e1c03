/*
 * patch.h - a slip written into the tree of the definition, instead of into its text.
 *
 * Most slips replace one whole value.  Then the text with the slip gives the same tree, with other
 * characters in one place, and need not be read again.  Places in findings are those of the
 * definition as it is.
 */
#ifndef ROTORTAB_SLIPS_PATCH_H
#define ROTORTAB_SLIPS_PATCH_H

#include "slips/slip.h"
#include "text/tree.h"

/* The tree of a definition; for one thread at a time. */
struct slips_tree {
    struct text_node *root;
    struct text_node **scalars; /* one a value: where it is written; NULL: it is not one scalar */
};

/* Reads the tree of the list's file; everything is in the arena. */
struct slips_tree slips_tree_read(const struct slips_list *list, struct arena *arena);

/* What a slip replaced in the tree. */
struct slips_patch {
    struct text_node *nodes[SLIPS_EDITS];
    struct text_node before[SLIPS_EDITS];
    size_t count;
};

/*
 * Writes the slip into the tree.  False if it does not only replace whole values; then the tree is
 * as it was.  The texts that are written are in the arena.
 */
bool slips_patch_write(const struct slips_tree *tree, const struct slips_slip *slip,
                       struct arena *arena, struct slips_patch *patch);

/* Takes it back. */
void slips_patch_undo(const struct slips_patch *patch);

#endif
