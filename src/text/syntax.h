/*
 * syntax.h - what is wrong with a text that is not YAML, in an engineer's words.
 *
 * The parser names a fault by its grammar: "did not find expected key".  Here the program looks at
 * the place again, and says what it sees there.
 */
#ifndef ROTORTAB_TEXT_SYNTAX_H
#define ROTORTAB_TEXT_SYNTAX_H

#include "text/file.h"

/* What the parser says. */
struct text_fault {
    const char *problem;
    struct span at;
    const char *context; /* NULL: none */
    struct span context_at;
};

/* Adds the finding for a fault in the file. */
void text_report_fault(struct findings *findings, const struct text_file *file,
                       const struct text_fault *fault);

#endif
