/*
 * ratio.h - candidate tooth counts for a ratio, and what to measure next, for people and programs.
 */
#ifndef ROTORTAB_REPORT_RATIO_H
#define ROTORTAB_REPORT_RATIO_H

#include "turning/answer.h"
#include "turning/measured.h"

#include <stdio.h>

struct report_ratio {
    const struct turning_measured *measured;
    const char *const *given; /* each as it was given: "--turns 2.2522" */
    size_t measured_count;
    struct exact_interval within; /* what they share; unset where they contradict each other */
    struct turning_space space;
    size_t known_count;                  /* meshes of `space.known` */
    struct exact_rational reading;       /* uncertainty of a pad reading, pad turns */
    bool reading_assumed;                /* nobody said so */
    int64_t blades;                      /* 0: not asked */
    const struct turning_answer *answer; /* NULL where measurements contradict each other */
};

void report_ratio_text(FILE *out, const struct report_ratio *ratio);
void report_ratio_json(FILE *out, const struct report_ratio *ratio);

#endif
