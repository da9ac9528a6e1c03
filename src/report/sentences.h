/*
 * sentences.h - what is said of a run as a whole, kept for a report for programs.
 */
#ifndef ROTORTAB_REPORT_SENTENCES_H
#define ROTORTAB_REPORT_SENTENCES_H

#include <stddef.h>

struct report_sentence {
    const char *sentence; /* fit to be shown */
    const char *path;     /* of the file that it is about; NULL: it is about none */
};

struct report_sentences {
    struct report_sentence *items;
    size_t count, capacity;
};

#endif
