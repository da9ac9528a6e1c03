/*
 * stops_parts.c - the models for which stops hold, and what a person must know before a rotor
 * turns.
 */
#include "report/stops_parts.h"

#include "report/csv.h"

void stops_json_engine(FILE *out, struct arena *arena, const struct model_engine *engine,
                       size_t spool, size_t pad)
{
    const struct words_cautions before = words_before_turning(arena, engine, spool, pad);
    json_t *models = json_array();
    json_t *sentences = json_array();
    for (size_t i = 0; i < engine->models.count; i++) {
        const struct model_text *model = MODEL_ITEM(engine->models, struct model_text, i);
        report_add(models, report_json_text(model->text));
    }
    for (size_t i = 0; i < before.count; i++) {
        report_add(sentences, report_json_text(before.items[i]));
    }
    fputs(", \"models\": ", out);
    report_json(out, models, 0);
    fputs(", \"before_turning\": ", out);
    report_json(out, sentences, 0);
}

static void write_line(FILE *out, const char *lead, const char *text)
{
    fputs(lead, out);
    text_write_clean(out, text, strlen(text));
    fputc('\n', out);
}

void stops_text_before(FILE *out, struct arena *arena, const struct model_engine *engine,
                       size_t spool, size_t pad)
{
    const struct words_cautions before = words_before_turning(arena, engine, spool, pad);
    if (before.count != 0) {
        fprintf(out, "before a rotor of %s turns:\n", engine->id.text);
    }
    for (size_t i = 0; i < before.count; i++) {
        write_line(out, "  ", before.items[i]);
    }
}

void stops_text_models(FILE *out, struct arena *arena, const struct model_engine *engine)
{
    write_line(out, "this holds for ", words_models(arena, engine));
}

void stops_json_stop(FILE *out, const struct stops_stop *stop, int positive)
{
    if (positive != 0) {
        stops_json_whole(out, "count", stop->count);
        stops_json_whole(out, "device_count", positive * stop->count);
    }
    stops_json_exact(out, "rotor_deg", stop->rotor_deg);
    if (positive != 0) {
        stops_json_exact(out, "pad_deg", stop->pad_deg);
        stops_json_exact(out, "error_counts", stop->error);
        fputs(", \"time_s\": ", out);
        stops_seconds(out, stop->milliseconds);
    }
    stops_json_known(out, stop->known_by);
    fputc('}', out);
}

void stops_csv_stop(FILE *out, const struct stops_stop *stop, int positive)
{
    char rotor[EXACT_TEXT_SIZE];
    char degrees[EXACT_TEXT_SIZE];
    char error[EXACT_TEXT_SIZE];
    exact_to_text(stop->rotor_deg, rotor);
    if (positive != 0) {
        fprintf(out, ",%" PRId64 ",%" PRId64 ",%s,%s,%s,", stop->count, positive * stop->count,
                rotor, exact_to_text(stop->pad_deg, degrees), exact_to_text(stop->error, error));
        stops_seconds(out, stop->milliseconds);
    } else {
        fprintf(out, ",,,%s,,,", rotor);
    }
    fputc(',', out);
    report_csv_text(out, stop->known_by ? stop->known_by : "");
    fputc('\n', out);
}
