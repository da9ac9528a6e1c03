/*
 * stops_answer.h - the answers of `stops`: which stages, ports and pads of a definition they are
 * for.
 *
 * What cannot be answered is left out, and the first reason is kept.
 */
#ifndef ROTORTAB_COMMAND_STOPS_ANSWER_H
#define ROTORTAB_COMMAND_STOPS_ANSWER_H

#include "command/command.h"
#include "command/named.h"
#include "report/pass.h"
#include "report/where.h"

enum stops_question {
    STOPS_ALL,
    STOPS_AT_COUNT, /* the blade at `count` */
    STOPS_CARRY,    /* the blades at the other ports of the spool */
    STOPS_PASS      /* the stops of a spool, merged */
};

/* STAGE:BLADE:PORT, or a part of it. */
struct stops_place {
    const char *stage, *port; /* NULL: not given */
    int64_t blade;            /* 1 or more */
};

/* What the options ask for. */
struct stops_wishes {
    enum report_stops_format format;
    enum stops_question question;
    const char *pad, *stage; /* NULL: all */
    const struct command_values *ports;
    const char *spool;       /* of a pass */
    struct stops_place from; /* count 0 is there; the blade of a carry */
    int64_t pause_s, count;
    bool device;
};

/* The answers of a run. */
struct stops_request {
    struct stops_wishes is;
    struct report_stops stops;
    struct report_where where;
    struct report_pass pass;
    struct command_named named; /* what the wishes name, among the definitions without errors */
    size_t answers;
    size_t unsure; /* of those, answers without a certain blade */
    bool overflow;
    bool no_device;      /* an answer needs one */
    size_t left_out;     /* wanted answers that are missing */
    const char *why;     /* the first reason for that, or NULL */
    struct arena *arena; /* of the reason */
};

/* Writes the answers of a definition. */
void stops_answer(struct stops_request *request, const struct model_derived *derived);

#endif
