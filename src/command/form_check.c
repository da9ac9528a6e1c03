#include "command/form_check.h"

#include "command/today.h"
#include "report/sink.h"
#include "rules/rules.h"
#include "text/utf8.h"
#include "text/visible.h"

#include <string.h>

bool command_form_takes(const char *value)
{
    size_t length = strlen(value);
    size_t size = 1;
    for (size_t i = 0; i < length; i += size) {
        uint32_t code = 0;
        size = text_utf8_decode(value + i, length - i, &code);
        if (size == 0 || text_is_hidden(code) || code == 0x2028 || code == 0x2029) {
            return false;
        }
    }
    return true;
}

/*
 * Leaves only the errors that no blank can have caused; how many they are.  The first `read` were
 * found while reading, value by value; what the others contradict or lack may be filled in.
 */
static size_t keep_errors(struct findings *findings, size_t read)
{
    size_t errors = 0;
    bool blank = false;
    for (size_t i = 0; i < read; i++) {
        blank = blank || findings->items[i]->rule == RULE_MISSING_KEY;
    }
    for (size_t i = 0; i < findings->count; i++) {
        struct finding *finding = findings->items[i];
        bool error = finding_counts_as(finding) == SEVERITY_ERROR &&
                     finding->rule != RULE_MISSING_KEY && !(blank && i >= read);
        errors += error;
        if (!error) {
            finding_leave_out(finding);
        }
    }
    return errors;
}

/* Judges the form in source->file; how many findings there were when it was read. */
static size_t judge(struct rules_judging *judging, struct model_source *source)
{
    const struct text_file given = source->file;
    if (text_file_take(&source->file, given.path, given.bytes, given.length, judging->findings) ==
        TEXT_LOADED) {
        model_source_parse(source, judging->arena, judging->findings);
    }
    size_t read = judging->findings->count;
    judging->derived.engine = source->engine;
    if (source->engine) {
        rules_judge_engine(judging);
    } else if (source->device) {
        rules_judge_device(judging, source->device);
    }
    return read;
}

bool command_form_check(struct command_call *call, const char *path, const char *text,
                        size_t length)
{
    struct findings findings;
    struct model_policy policy = {.at = {.state = MODEL_ABSENT}};
    struct report_sink sink = report_sink(stderr, REPORT_TEXT, &call->arena);
    struct model_source source = {.kind = MODEL_KINDS,
                                  .file = {.path = path, .bytes = text, .length = length}};
    struct rules_judging judging = {.file = &source.file,
                                    .policy = &policy,
                                    .device_policy = &policy,
                                    .arena = &call->arena,
                                    .findings = &findings};
    const char *problem = command_today(call, &judging.today);
    if (problem) {
        command_fail("%s", problem);
        return false;
    }
    model_policy_complete(&policy);
    findings_start(&findings, &call->arena);
    if (keep_errors(&findings, judge(&judging, &source)) == 0) {
        return true;
    }
    report_findings(&sink, &findings);
    command_fail("check refuses what --set says; correct it, or leave it out and fill in the "
                 "blank; nothing was written");
    return false;
}
