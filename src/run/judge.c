#include "run/judge.h"

#include "text/digest.h"

#include <errno.h>
#include <stdlib.h>
#include <string.h>
#include <time.h>

void run_judge_start(struct run_judged *file, struct arena *arena)
{
    *file = (struct run_judged){.arena = arena, .source.kind = MODEL_KINDS};
    findings_start(&file->findings, arena);
}

static void keep_count(struct run_judged *file)
{
    file->read = file->findings.count;
    file->errors = findings_with(&file->findings, SEVERITY_ERROR);
}

bool run_read(struct run_judged *file, const char *path)
{
    bool readable = model_source_load(&file->source, path, file->arena, &file->findings);
    keep_count(file);
    return readable;
}

/* Parses a text whose characters were checked. */
static void parse(struct run_judged *file, enum text_load loaded)
{
    if (loaded == TEXT_LOADED) {
        model_source_parse(&file->source, file->arena, &file->findings);
    }
    keep_count(file);
}

bool run_read_open(struct run_judged *file, const char *path, int fd)
{
    enum text_load loaded =
        text_file_load_open(&file->source.file, path, fd, file->arena, &file->findings);
    parse(file, loaded);
    return loaded != TEXT_UNREADABLE;
}

void run_read_text(struct run_judged *file, const char *path, const char *text, size_t length)
{
    parse(file, text_file_take(&file->source.file, path, text, length, &file->findings));
}

void run_read_tree(struct run_judged *file, const struct text_file *text,
                   const struct text_node *root)
{
    file->source.file = *text;
    model_source_take(&file->source, root, file->arena, &file->findings);
    keep_count(file);
}

void run_judge(struct run_judged *file, const struct run_standard *standard)
{
    struct model_source *source = &file->source;
    file->judging = (struct rules_judging){
        .file = &source->file,
        .cross_check = file->has_cross_check ? &file->cross_check : NULL,
        .cross_check_unread = file->cross_check_problem != NULL,
        .derived.engine = source->engine,
        .derived.device = standard->device,
        .policy = standard->policy,
        .device_policy = standard->device_policy,
        .registered = standard->registered,
        .compiling = standard->compiling,
        .to_be_used = standard->compiling || standard->to_be_used,
        .with_drafts = standard->with_drafts,
        .today = standard->today,
        .arena = file->arena,
        .findings = &file->findings,
    };
    if (source->engine && standard->compiling) {
        uint8_t *digest = arena_alloc(file->arena, TEXT_DIGEST_SIZE);
        text_digest_source(source->file.bytes, source->file.length, digest);
        source->digest = digest;
    }
    if (source->engine) {
        rules_judge_engine(&file->judging);
    } else if (source->device) {
        rules_judge_device(&file->judging, source->device);
    }
}

static bool from_seconds(time_t seconds, int *today)
{
    struct tm parts;
    /* 9999-12-31: a later date does not have four digits in its year */
    if (seconds < 0 || seconds > 253402300799 || !gmtime_r(&seconds, &parts)) {
        return false;
    }
    *today = ((parts.tm_year + 1900) * 100 + parts.tm_mon + 1) * 100 + parts.tm_mday;
    return true;
}

const char *run_today(struct arena *arena, const char *given, int *today)
{
    const char *epoch = getenv("SOURCE_DATE_EPOCH");
    if (given) {
        *today = model_date(given, strlen(given));
        return *today >= 0
                   ? NULL
                   : arena_printf(arena, "--today takes a date like 2027-06-30, not %s", given);
    }
    if (epoch && *epoch) {
        char *end = NULL;
        errno = 0;
        long long seconds = strtoll(epoch, &end, 10);
        if (errno != 0 || *end || !from_seconds((time_t)seconds, today)) {
            return arena_printf(arena, "SOURCE_DATE_EPOCH is not a number of seconds: %s", epoch);
        }
        return NULL;
    }
    return from_seconds(time(NULL), today)
               ? NULL
               : "the clock shows a date before 1970; set the clock, or give --today";
}
