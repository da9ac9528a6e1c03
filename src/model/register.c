/*
 * register.c - the field tables of a source register, and what it says of a document.
 */
#include "model/register.h"

#include "model/rows.h"

#include <stdlib.h>
#include <string.h>

static const struct model_field registered_fields[] = {
    TEXT(registered, document, "document", REQUIRED,
         "name or number of the document, as the definitions have it"),
    TEXT(registered, revision, "revision", REQUIRED, "the current revision"),
    DATE(registered, date, "date", REQUIRED, "the day of the current revision"),
    TEXTS(registered, withdrawn, "withdrawn", OPTIONAL, 1, MODEL_WITHDRAWN_MOST,
          "revisions that must not be used any more; the current one too, if the whole document is "
          "withdrawn",
          EXAMPLE("[9, 11]")),
    END};
static const struct model_record registered_record = RECORD_OF(
    registered, "document", "A document, and its current revision.", registered_fields, NULL);

static const struct model_field register_fields[] = {
    VERSION(register, version, "source-register", REQUIRED, "the format's version"),
    RECORDS(register, documents, "documents", REQUIRED, registered_record, 0, MODEL_REGISTERED_MOST,
            "the documents that definitions rest on",
            EXAMPLE("[{document: Harrow line book, revision: 12, date: 2025-03-01}]")),
    SCHEMA(register), END};
const struct model_record model_register_record = RECORD_OF(
    register, "source register", "The current revision of each document that definitions rest on.",
    register_fields, NULL);

static int by_name(const void *a, const void *b)
{
    const struct model_registered *const *one = a;
    const struct model_registered *const *other = b;
    int compared = strcmp((*one)->document.text, (*other)->document.text);
    return compared != 0 ? compared : (*one > *other) - (*one < *other); /* in the file's order */
}

void model_register_sort(struct model_register *known, struct arena *arena,
                         struct findings *findings)
{
    size_t count = 0;
    known->sorted = arena_array(arena, known->documents.count + 1, sizeof *known->sorted);
    for (size_t i = 0; i < known->documents.count; i++) {
        const struct model_registered *entry =
            MODEL_ITEM(known->documents, struct model_registered, i);
        if (entry->document.at.state == MODEL_GIVEN) {
            known->sorted[count++] = entry;
        }
    }
    if (count != 0) {
        qsort(known->sorted, count, sizeof(const void *), by_name);
    }
    for (size_t i = 0; i < count; i++) {
        const struct model_registered *entry = known->sorted[i];
        if (i == 0 ||
            !model_same_text(&entry->document, &known->sorted[known->sorted_count - 1]->document)) {
            known->sorted[known->sorted_count++] = entry;
            continue;
        }
        struct finding *finding = finding_add(findings, RULE_ID_TAKEN, entry->document.at.span,
                                              "%s is in the register twice", entry->document.text);
        finding_note(findings, finding, known->sorted[known->sorted_count - 1]->document.at.span,
                     "the first one");
        finding_consequence(findings, finding,
                            "The program cannot tell which of the two revisions is current.");
        finding_remedy(findings, finding, "Delete one of the two.");
    }
}

static int by_key(const void *key, const void *item)
{
    const struct model_registered *const *entry = item;
    return strcmp(key, (*entry)->document.text);
}

bool model_is_recalled(const struct model_registered *entry, const struct model_text *revision)
{
    for (size_t i = 0; i < entry->withdrawn.count; i++) {
        const struct model_text *withdrawn = MODEL_ITEM(entry->withdrawn, struct model_text, i);
        if (withdrawn->at.state == MODEL_GIVEN && model_same_text(withdrawn, revision)) {
            return true;
        }
    }
    return false;
}

enum model_standing model_standing_of(const struct model_register *known,
                                      const struct model_document *document,
                                      const struct model_registered **entry)
{
    *entry = NULL;
    if (document->document.at.state != MODEL_GIVEN || document->revision.at.state != MODEL_GIVEN ||
        document->date.at.state != MODEL_GIVEN) {
        return MODEL_NOT_READ;
    }
    const struct model_registered **found =
        known->sorted_count == 0 ? NULL
                                 : bsearch(document->document.text, known->sorted,
                                           known->sorted_count, sizeof(const void *), by_key);
    if (!found) {
        return known->whole ? MODEL_NOT_KNOWN : MODEL_NOT_READ;
    }
    *entry = *found;
    if (model_is_recalled(*found, &document->revision)) {
        return MODEL_RECALLED;
    }
    if ((*found)->revision.at.state != MODEL_GIVEN || (*found)->date.at.state != MODEL_GIVEN) {
        return MODEL_NOT_READ;
    }
    if (model_same_text(&(*found)->revision, &document->revision)) {
        return document->date.value == (*found)->date.value ? MODEL_CURRENT : MODEL_REDATED;
    }
    return document->date.value <= (*found)->date.value ? MODEL_OLDER : MODEL_NEWER;
}
