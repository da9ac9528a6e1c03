/*
 * span.h - a place in a source file.
 *
 * Lines and columns count from 1, columns in characters (code points), as editors show them.  A
 * span reaches up to, not including, its end.  A span without a file (file NULL) is not a place.  A
 * span with line 0 is the whole file.
 */
#ifndef ROTORTAB_BASE_SPAN_H
#define ROTORTAB_BASE_SPAN_H

#include <stdint.h>

struct text_file; /* text/file.h */

struct span {
    const struct text_file *file;
    uint32_t line, column;
    uint32_t end_line, end_column;
};

#endif
