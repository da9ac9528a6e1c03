/*
 * stops_parts.h - how stops and passes write their numbers, for each other only.
 *
 * JSON is written by hand here: only the mark of a blade needs escapes, and a time is a decimal and
 * never a float.
 */
#ifndef ROTORTAB_REPORT_STOPS_PARTS_H
#define ROTORTAB_REPORT_STOPS_PARTS_H

#include "exact/rational.h"
#include "report/json.h"
#include "text/utf8.h"
#include "words/caution.h"

#include <inttypes.h>
#include <stdio.h>
#include <string.h>

/* A member after others; a value of NULL is null. */
static inline void stops_json_text(FILE *out, const char *key, const char *value)
{
    const char *quote = value ? "\"" : "";
    fprintf(out, ", \"%s\": %s%s%s", key, quote, value ? value : "null", quote);
}

static inline void stops_json_exact(FILE *out, const char *key, struct exact_rational value)
{
    char text[EXACT_TEXT_SIZE];
    fprintf(out, ", \"%s\": \"%s\"", key, exact_to_text(value, text));
}

static inline void stops_json_whole(FILE *out, const char *key, int64_t value)
{
    fprintf(out, ", \"%s\": %" PRId64, key, value);
}

/*
 * The models of the engine, and the sentences that must be read before it turns through the pad.
 * WORDS_ALL: a hand turns the spool.
 */
void stops_json_engine(FILE *out, struct arena *arena, const struct model_engine *engine,
                       size_t spool, size_t pad);

/* The same in lines: the sentences, which come first, and the models. */
void stops_text_before(FILE *out, struct arena *arena, const struct model_engine *engine,
                       size_t spool, size_t pad);
void stops_text_models(FILE *out, struct arena *arena, const struct model_engine *engine);

/* Seconds with three decimals, for JSON and CSV. */
static inline void stops_seconds(FILE *out, int64_t milliseconds)
{
    fprintf(out, "%" PRId64 ".%03" PRId64, milliseconds / 1000, milliseconds % 1000);
}

/* How to recognise the blade of a stop (NULL: it cannot be recognised): the last member of it. */
static inline void stops_json_known(FILE *out, const char *known_by)
{
    fputs(", \"known_by\": ", out);
    report_json(out, known_by ? report_json_text(known_by) : json_null(), JSON_ENCODE_ANY);
}

/* The same at the end of a line. */
static inline void stops_text_known(FILE *out, const char *known_by)
{
    if (known_by) {
        fputs("  known by: ", out);
        text_write_clean(out, known_by, strlen(known_by));
    }
    fputc('\n', out);
}

/* One stop, in exact numbers. */
struct stops_stop {
    int64_t blade;
    struct exact_rational rotor_deg; /* of the blade, from the first row */
    const char *known_by;            /* how to recognise the blade; NULL: it cannot be recognised */
    /* Through a pad only: */
    int64_t count;
    struct exact_rational pad_deg;
    struct exact_rational error; /* counts, actual minus exact */
    int64_t milliseconds;        /* from the first row, at the speed limit, with the pauses */
};

/*
 * The stop after its stage and port, to the end of its object or of its line.  `positive` is the
 * sign of the device's count; 0: a hand turns the spool.
 */
void stops_json_stop(FILE *out, const struct stops_stop *stop, int positive);
void stops_csv_stop(FILE *out, const struct stops_stop *stop, int positive);

/* What the inspector must do at a pad that drives one way only. */
static inline void stops_text_one_way(FILE *out, const struct model_pad *pad)
{
    if (pad->drives.value != MODEL_DRIVES_BOTH) {
        fputs("this pad drives one way only: find blade one again if the rotor ran on\n", out);
    }
}

#endif
