/*
 * json_tree.h - JSON as the same tree that YAML becomes.
 *
 * Nearly all JSON is YAML, with one exception: a writer that keeps to ASCII writes a character
 * above U+FFFF as two escapes (\ud83d\ude00), and a YAML parser refuses each.  So a text that is
 * JSON is read as JSON.  Numbers and the words true, false and null are plain scalars, as in YAML.
 */
#ifndef ROTORTAB_TEXT_JSON_TREE_H
#define ROTORTAB_TEXT_JSON_TREE_H

#include "text/tree.h"

/*
 * Reads the file as one JSON object (RFC 8259) with at most `depth` levels.  Returns its root in
 * the arena, or NULL where the text is something else; nothing is reported.  Escapes can be of any
 * character, NUL too, so a text can hold hidden ones.
 */
struct text_node *text_json_read(const struct text_file *file, size_t depth, struct arena *arena);

#endif
