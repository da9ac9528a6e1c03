#include "report/comparison.h"

#include "report/clean.h"
#include "report/finding_json.h"
#include "report/json.h"

static void set(json_t *object, const char *key, json_t *value)
{
    report_set(object, key, value);
}

/* A text, or null. */
static json_t *text(struct arena *arena, const char *given)
{
    return given ? json_string(report_clean(arena, given)) : json_null();
}

static json_t *change_object(struct arena *arena, const struct compare_change *change)
{
    char degrees[EXACT_TEXT_SIZE];
    json_t *object = json_object();
    set(object, "class", json_string(compare_class_name(change->class)));
    set(object, "subject", json_string(compare_subject_name(change->about.subject)));
    set(object, "id", text(arena, change->about.id));
    set(object, "field", json_string(change->about.field));
    set(object, "before", text(arena, change->before));
    set(object, "after", text(arena, change->after));
    set(object, "unit", text(arena, change->unit));
    set(object, "rises", json_boolean(change->rises));
    set(object, "degrees_at_most",
        change->moves ? json_string(exact_to_text(change->degrees, degrees)) : json_null());
    set(object, "each_turn", json_boolean(change->each_turn));
    set(object, "message", json_string(report_comparison_message(arena, change)));
    return object;
}

static json_t *changes_array(struct arena *arena, const struct compare_changes *changes)
{
    json_t *array = json_array();
    for (size_t i = 0; i < changes->count; i++) {
        report_add(array, change_object(arena, &changes->items[i]));
    }
    return array;
}

static json_t *revision(const struct compare_engine *engine)
{
    return engine && !engine->unknown ? json_integer(engine->revision) : json_null();
}

static json_t *engine_object(struct arena *arena, const struct compare_engines *engines)
{
    json_t *object = json_object();
    set(object, "id", text(arena, compare_id(engines)));
    set(object, "fate", json_string(compare_fate_name(engines->fate)));
    set(object, "class", json_string(compare_class_name(engines->changes.worst)));
    set(object, "revision_before", revision(engines->before));
    set(object, "revision_after", revision(engines->after));
    set(object, "changes", changes_array(arena, &engines->changes));
    return object;
}

static void write_value(FILE *out, json_t *value)
{
    report_json(out, value, JSON_COMPACT | JSON_ENCODE_ANY);
}

/* What was found of the result or, where there is none, in the sources. */
static void write_findings(FILE *out, const struct report_comparison *comparison)
{
    const char *before = "\n";
    fputs(",\n\"findings\": [", out);
    for (size_t i = 0; comparison->result && i < comparison->findings->count; i++) {
        fputs(before, out);
        report_finding_json(out, comparison->findings->items[i]);
        before = ",\n";
    }
    for (size_t i = 0; !comparison->result && i < json_array_size(comparison->sink->kept); i++) {
        fputs(before, out);
        write_value(out, json_incref(json_array_get(comparison->sink->kept, i)));
        before = ",\n";
    }
    fputs("\n]", out);
}

static void write_sentences(FILE *out, struct arena *arena, const char *key,
                            const struct report_sentences *sentences)
{
    json_t *array = json_array();
    for (size_t i = 0; i < sentences->count; i++) {
        report_add(array, text(arena, sentences->items[i].sentence));
    }
    fprintf(out, ",\n\"%s\": ", key);
    write_value(out, array);
}

void report_comparison_json(FILE *out, const struct report_comparison *comparison)
{
    static const struct compare_result nothing;
    const struct compare_result *result = comparison->result ? comparison->result : &nothing;
    struct arena arena = {.newest = NULL};
    fputs("{\"before\": ", out);
    write_value(out, text(&arena, comparison->before));
    fputs(", \"after\": ", out);
    write_value(out, text(&arena, comparison->after));
    fputs(", \"class\": ", out);
    write_value(out, text(&arena, comparison->result ? compare_class_name(result->worst) : NULL));
    fprintf(out, ", \"same\": %zu,\n\"table\": ", result->same);
    write_value(out, changes_array(&arena, &result->table));
    fputs(",\n\"engines\": [", out);
    for (size_t i = 0; i < result->count; i++) {
        fputs(i == 0 ? "\n" : ",\n", out);
        write_value(out, engine_object(&arena, &result->engines[i]));
    }
    fputs("\n]", out);
    write_findings(out, comparison);
    write_sentences(out, &arena, "failures", &comparison->sink->failures);
    write_sentences(out, &arena, "remarks", &comparison->sink->remarks);
    fputs("}\n", out);
    arena_free(&arena);
}
