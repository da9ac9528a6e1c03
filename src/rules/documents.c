/*
 * documents.c - whether the documents that a definition rests on are still current.
 *
 * The source register says which revision of a document is current.  Without a register nothing is
 * compared, but a definition with several sources must still say which part rests on which.
 */
#include "rules/functions.h"

#include "model/documents.h"
#include "text/near.h"

/* A walk over the parts of a definition. */
struct walking {
    struct rules_judging *judging;
    bool passed;
};

static bool walk(struct rules_judging *judging, model_resting_visit *visit)
{
    struct walking walking = {judging, true};
    model_each_resting(judging->derived.engine, rules_second_reading(judging), visit, &walking);
    return walking.passed;
}

/* A finding that a waiver for this pad or stage can accept. */
static void keep_part(struct finding *finding, const struct model_resting *resting)
{
    finding->pad = resting->pad;
    finding->stage = resting->stage;
}

static struct finding *report_old(struct rules_judging *judging,
                                  const struct model_resting *resting,
                                  const struct model_registered *entry,
                                  enum model_standing standing)
{
    const struct model_document *document = resting->document;
    const char *revision = document->revision.text;
    const char *name = document->document.text;
    const char *part = model_resting_part(judging->arena, resting);
    struct findings *findings = judging->findings;
    bool draft = rules_is_draft(judging->derived.engine);
    if (standing == MODEL_OLDER) {
        return finding_add_case(findings, RULE_SOURCE_SUPERSEDED, draft, resting->at,
                                "%s rests on revision %s of %s; revision %s of %s is current", part,
                                revision, name, entry->revision.text,
                                words_date(judging->arena, entry->date.value));
    }
    return finding_add_case(findings, RULE_SOURCE_SUPERSEDED, draft, resting->at,
                            "%s rests on revision %s of %s, which is withdrawn", part, revision,
                            name);
}

static void judge_part(void *context, const struct model_resting *resting)
{
    struct walking *walking = context;
    struct rules_judging *judging = walking->judging;
    const struct model_document *document = resting->document;
    const struct model_registered *entry = NULL;
    if (!document) {
        return;
    }
    enum model_standing standing = model_standing_of(judging->registered, document, &entry);
    if (standing != MODEL_OLDER && standing != MODEL_RECALLED) {
        return;
    }
    struct finding *finding = report_old(judging, resting, entry, standing);
    keep_part(finding, resting);
    finding_note(judging->findings, finding, document->revision.at.span, "the source");
    finding_note(judging->findings, finding, entry->document.at.span, "the source register");
    bool usable =
        entry->revision.at.state == MODEL_GIVEN && !model_is_recalled(entry, &entry->revision);
    if (usable) {
        finding_remedy(judging->findings, finding,
                       "Compare %s with revision %s and correct it. Then write that revision and "
                       "its date in sources.",
                       model_resting_part(judging->arena, resting), entry->revision.text);
    } else {
        finding_remedy(judging->findings, finding,
                       "No revision is current. Find another source for %s, or measure it.",
                       model_resting_part(judging->arena, resting));
    }
    walking->passed = false;
}

bool rules_SOURCE_SUPERSEDED(struct rules_judging *judging, const struct rules_subject *subject)
{
    (void)subject;
    return !judging->registered || walk(judging, judge_part);
}

static void report_unknown(struct rules_judging *judging, const struct model_document *document)
{
    const struct model_register *known = judging->registered;
    struct text_near near = text_near_start(document->document.text, document->document.length);
    for (size_t i = 0; i < known->sorted_count; i++) {
        text_near_try(&near, known->sorted[i]->document.text);
    }
    struct finding *finding =
        finding_add(judging->findings, RULE_SOURCE_UNREGISTERED, document->document.at.span,
                    "the source register has no document %s", document->document.text);
    if (text_near_best(&near)) {
        finding_guess(judging->findings, finding, text_near_best(&near));
    }
}

static void report_differing(struct rules_judging *judging, const struct model_document *document,
                             const struct model_registered *entry, enum model_standing standing)
{
    const char *here = words_date(judging->arena, document->date.value);
    const char *there = words_date(judging->arena, entry->date.value);
    struct finding *finding =
        standing == MODEL_NEWER
            ? finding_add(judging->findings, RULE_SOURCE_UNREGISTERED, document->revision.at.span,
                          "revision %s of %s is of %s, after revision %s in the source register, "
                          "which is of %s",
                          document->revision.text, document->document.text, here,
                          entry->revision.text, there)
            : finding_add(judging->findings, RULE_SOURCE_UNREGISTERED, document->date.at.span,
                          "revision %s of %s is of %s here, and of %s in the source register",
                          document->revision.text, document->document.text, here, there);
    finding_note(judging->findings, finding, entry->document.at.span, "the source register");
}

bool rules_SOURCE_UNREGISTERED(struct rules_judging *judging, const struct rules_subject *subject)
{
    const struct model_engine *engine = judging->derived.engine;
    bool passed = true;
    (void)subject;
    for (size_t i = 0; judging->registered && i < engine->documents.count; i++) {
        const struct model_document *document = model_document(engine, i);
        const struct model_registered *entry = NULL;
        enum model_standing standing = model_standing_of(judging->registered, document, &entry);
        if (standing == MODEL_NOT_KNOWN) {
            report_unknown(judging, document);
        } else if (standing == MODEL_NEWER || standing == MODEL_REDATED) {
            report_differing(judging, document, entry, standing);
        } else {
            continue;
        }
        passed = false;
    }
    return passed;
}

static void judge_telling(void *context, const struct model_resting *resting)
{
    struct walking *walking = context;
    struct rules_judging *judging = walking->judging;
    if (!resting->must_tell || resting->from->at.state != MODEL_ABSENT) {
        return;
    }
    struct finding *finding = finding_add(judging->findings, RULE_SOURCE_UNNAMED, resting->at,
                                          "%s does not say which of the %zu sources it rests on",
                                          model_resting_part(judging->arena, resting),
                                          judging->derived.engine->documents.count);
    keep_part(finding, resting);
    walking->passed = false;
}

bool rules_SOURCE_UNNAMED(struct rules_judging *judging, const struct rules_subject *subject)
{
    (void)subject;
    return judging->derived.engine->documents.count < 2 || walk(judging, judge_telling);
}
