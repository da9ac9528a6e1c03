#include "report/sink.h"

#include "report/finding_json.h"
#include "report/finding_text.h"

#include <stdlib.h>
#include <string.h>
#include <unistd.h>

struct report_sink report_sink(FILE *out, enum report_format format)
{
    const char *no_colour = getenv("NO_COLOR");
    struct report_sink sink = {.out = out, .format = format};
    sink.colour = format == REPORT_TEXT && (!no_colour || !*no_colour) && isatty(fileno(out));
    return sink;
}

struct ordered {
    struct finding *finding;
    size_t index;
};

static int by_place(const void *a, const void *b)
{
    const struct ordered *left = a;
    const struct ordered *right = b;
    const struct span *l = &left->finding->at;
    const struct span *r = &right->finding->at;
    if (l->file == r->file && l->line != r->line) {
        return l->line < r->line ? -1 : 1;
    }
    if (l->file == r->file && l->column != r->column) {
        return l->column < r->column ? -1 : 1;
    }
    return (left->index > right->index) - (left->index < right->index);
}

static void count(struct report_sink *sink, const struct finding *finding)
{
    sink->errors += finding->severity == SEVERITY_ERROR;
    sink->warnings += finding->severity == SEVERITY_WARNING;
    sink->notes += finding->severity == SEVERITY_NOTE;
}

void report_findings(struct report_sink *sink, struct findings *findings)
{
    struct ordered *order =
        arena_array(findings->arena, findings->count + 1, sizeof *order);
    for (size_t i = 0; i < findings->count; i++) {
        order[i] = (struct ordered){findings->items[i], i};
    }
    qsort(order, findings->count, sizeof *order, by_place);
    for (size_t i = 0; i < findings->count; i++) {
        const struct finding *finding = order[i].finding;
        if (finding->severity == SEVERITY_OFF) {
            continue;
        }
        count(sink, finding);
        if (sink->format == REPORT_JSON) {
            fputs(sink->begun ? ",\n" : "{\"findings\": [\n", sink->out);
            report_finding_json(sink->out, finding);
        } else {
            report_finding_text(sink->out, finding, sink->colour);
        }
        sink->begun = true;
    }
}

void report_close(struct report_sink *sink, const char *checked)
{
    if (sink->format == REPORT_JSON) {
        fputs(sink->begun ? "\n" : "{\"findings\": [", sink->out);
        fprintf(sink->out, "], \"errors\": %zu, \"warnings\": %zu, \"notes\": %zu}\n", sink->errors,
                sink->warnings, sink->notes);
    } else if (checked) {
        fprintf(sink->out, "%s%s: %zu error%s, %zu warning%s, %zu note%s\n",
                sink->begun ? "\n" : "", checked, sink->errors, sink->errors == 1 ? "" : "s",
                sink->warnings, sink->warnings == 1 ? "" : "s", sink->notes,
                sink->notes == 1 ? "" : "s");
    }
}
