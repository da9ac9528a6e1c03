#include "report/verification.h"

#include <jansson.h>

void report_verification_texts(struct report_verification *report, const char *fault)
{
    report->texts_refused = true;
    if (!report->problem) {
        report->problem = arena_printf(report->arena, "refused: %s", fault);
    }
    if (report->json) {
        json_object_set_new(report->object, "texts", json_string(fault));
    } else {
        fprintf(report->out, "%s: refused: %s\n", report->path, fault);
    }
}
