/*
 * sheet.c - the setup sheet of one engine on one device.
 */
#include "sheet/sheet.h"
#include "command/command.h"
#include "run/deliver.h"
#include "table/words.h"
#include "text/stream.h"

#include <string.h>

struct sheet_request {
    const struct run *run;
    struct command_call *call;
    const char *engine; /* NULL: the only one */
    bool html;
    struct text_stream text; /* the sheet */
    size_t found;
    const char *ids; /* the ids of all engines, for a message */
};

/* Writes the sheet into memory, because a second engine may still follow. */
static void write_sheet(struct sheet_request *request, const struct model_source *source,
                        const struct rules_judging *judging)
{
    uint8_t digest[TEXT_DIGEST_SIZE];
    text_digest_source(source->file.bytes, source->file.length, digest);
    struct sheet sheet = {
        &judging->derived, judging->arena, judging->findings,
        words_hex(judging->arena, digest, ROTOR_DIGEST_SIZE),
        words_hex(judging->arena, request->run->device_digest, ROTOR_DIGEST_SIZE)};
    FILE *out = text_stream_open(&request->text, &request->call->arena);
    if (request->html) {
        sheet_html(out, &sheet);
    } else {
        sheet_text(out, &sheet);
    }
    text_stream_close(&request->text, out);
}

static void take(void *context, const struct model_source *source,
                 const struct rules_judging *judging)
{
    struct sheet_request *request = context;
    const char *id = source->engine->id.text;
    request->ids =
        arena_printf(&request->call->arena, "%s%s%s", request->ids, *request->ids ? ", " : "", id);
    if (request->engine && strcmp(request->engine, id) != 0) {
        return;
    }
    if (request->found++ == 0) {
        write_sheet(request, source, judging);
    }
}

/* Writes the sheet to its file; after an error nothing is written. */
static int deliver(const struct sheet_request *request)
{
    const char *output = command_value(request->call, OPTION_OUTPUT_FILE);
    if (request->found == 0 && request->engine) {
        return run_error("there is no engine %s; there %s %s", request->engine,
                         strchr(request->ids, ',') ? "are" : "is",
                         *request->ids ? request->ids : "none");
    }
    if (request->found == 0) {
        return run_error("there is no engine definition, so there is no sheet to write");
    }
    if (request->found > 1) {
        return run_error("a sheet shows one engine: choose one with --engine ID: %s", request->ids);
    }
    const struct run_file sheet = {output ? output : "-", request->text.bytes,
                                   request->text.length};
    if (!run_has_said()) {
        return RUN_FAILED; /* a warning is lost, and there is no other place for it */
    }
    const struct run_inputs inputs = {.seen = &request->run->seen,
                                      .name = request->run->options.name};
    return run_deliver(&request->call->arena, &sheet, 1, &inputs);
}

int command_sheet(struct command_call *call)
{
    struct report_sink sink = report_sink(stderr, REPORT_TEXT, &call->arena);
    struct run_options options;
    struct run run;
    struct sheet_request request = {.run = &run,
                                    .call = call,
                                    .engine = command_value(call, OPTION_ENGINE),
                                    .html = command_format_is(call, "html"),
                                    .ids = ""};
    sink.without_notes = true;
    if (!command_value(call, OPTION_DEVICE)) {
        return run_error("sheet needs --device FILE: it shows one engine on one device");
    }
    if (!command_run_options(call, &sink, &options)) {
        return RUN_FAILED;
    }
    options.to_be_used = true;
    if (!run_start(&run, &options)) {
        return run_status(&run);
    }
    run_judge_paths(&run, &call->operands, take, &request);
    int status = run_status(&run);
    if (status == RUN_CLEAN) {
        status = deliver(&request);
    }
    return status;
}
