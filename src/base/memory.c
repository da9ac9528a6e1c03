#include "base/memory.h"

#include "base/end.h"

#include <stdlib.h>

void *memory_get(size_t size)
{
    void *piece = malloc(size != 0 ? size : 1); /* malloc may answer NULL where none is asked for */
    if (!piece) {
        end_out_of_memory();
    }
    return piece;
}
