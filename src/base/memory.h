/*
 * memory.h - memory for what lives neither as long as the run nor as long as a file.
 *
 * That is what a library asks for, and the documents that an editor opens and closes.  Everything
 * else comes from an arena.
 */
#ifndef ROTORTAB_BASE_MEMORY_H
#define ROTORTAB_BASE_MEMORY_H

#include <stddef.h>

/* `size` bytes, given back with free; never NULL: without memory the run ends with status 2. */
void *memory_get(size_t size);

#endif
