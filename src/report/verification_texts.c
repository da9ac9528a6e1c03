#include "report/verification.h"

#include "report/json.h"

void report_verification_texts(struct report_verification *report, const char *fault)
{
    report->texts_refused = true;
    if (!report->problem) {
        report->problem = arena_printf(report->arena, "refused: %s", fault);
    }
    if (report->json) {
        report_set(report->object, "texts", json_string(fault));
    } else {
        fprintf(report->out, "%s: refused: %s\n", report->path, fault);
    }
}
