/*
 * texts.h - whether the texts of a table are such as a compiler writes.
 *
 * The device's reader looks at no character: it has no room for that, and shows what its maker has
 * letters for.  A program that shows a table to people, or vouches for it, asks here.
 */
#ifndef ROTORTAB_TABLE_TEXTS_H
#define ROTORTAB_TABLE_TEXTS_H

#include "base/arena.h"
#include "field/rotor_field.h"

/*
 * What is wrong with the texts of an opened table, in words, in the arena: the first byte that is
 * no UTF-8, the first character that `check` refuses in every text, or a text that begins within a
 * character.  NULL where nothing is.
 */
const char *table_text_fault(struct arena *arena, const struct rotor_table *table);

#endif
