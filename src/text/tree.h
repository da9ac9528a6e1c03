/*
 * tree.h - YAML or JSON as a tree in which every value knows its place.
 *
 * libyaml's events are turned into nodes and nothing else: no value is given a type here, so 12:30,
 * 0x1f and ~ stay the text they are until a field reads them.  What a reviewer could overlook
 * (anchors, aliases, tags, merge keys, a second document) is refused.
 */
#ifndef ROTORTAB_TEXT_TREE_H
#define ROTORTAB_TEXT_TREE_H

#include "text/file.h"

enum text_kind { TEXT_SCALAR, TEXT_MAP, TEXT_LIST };

struct text_node {
    enum text_kind kind;
    bool plain;   /* a scalar without quotes, so its text is that of the file */
    bool refused; /* an alias or a merge key: it is reported, and has no value */
    struct span at;
    const char *text; /* of a scalar, terminated; it may hold line ends, never NUL */
    size_t length;    /* in bytes */
    size_t count;     /* entries of a map, items of a list */
    struct text_node *first, *next;
    struct text_node *key; /* of a map's entry: a scalar */
};

/*
 * Reads the file into a tree in the arena.  Returns the root, or NULL where there is none: the file
 * is empty, or a finding says why.  A tree is also returned where a finding concerns a part of it
 * only.
 */
struct text_node *text_tree_read(const struct text_file *file, struct arena *arena,
                                 struct findings *findings);

/* The place of the bytes [offset, offset + length) of a scalar's text.  It is the place of the
 * whole scalar if the text is not the same in the file (an escape, more than one line). */
struct span text_part(const struct text_node *node, size_t offset, size_t length);

/* How many bytes of a scalar's text a message shows: a precision for `%.*s`, between characters. */
int text_shown(const struct text_node *node);

#endif
