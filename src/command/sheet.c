/*
 * sheet.c - the setup sheet or the record of one engine on one device, or a folder with the sheets
 * of all.
 */
#include "sheet/sheet.h"
#include "command/command.h"
#include "command/named.h"
#include "run/deliver.h"
#include "table/words.h"
#include "text/stream.h"
#include "text/utf8.h"
#include "words/number.h"

#include <errno.h>
#include <string.h>

struct sheet_request {
    const struct run *run;
    struct command_call *call;
    const char *engine; /* NULL: the only one, or all for a folder */
    const char *folder; /* NULL: one sheet */
    enum sheet_form form;
    bool is_record;
    struct sheet_wanted wanted; /* of a record */
    struct command_named named; /* what is wanted of a record */
    bool overflow;              /* a number of the record does not fit 64 bits */
    size_t stages;              /* of the record */
    struct run_file *files;     /* the sheets */
    size_t count, capacity;
    size_t found;              /* definitions that a sheet is asked of */
    const char *ids;           /* the ids of all engines, for a message */
    struct report_index index; /* of a folder */
};

/* Adds a file; its bytes are copied, because the memory of a definition is used for the next one.
 */
static void add_file(struct sheet_request *request, const char *path,
                     const struct text_stream *text)
{
    struct arena *arena = &request->call->arena;
    request->files = arena_grow(arena, request->files, request->count, &request->capacity,
                                sizeof *request->files);
    request->files[request->count++] =
        (struct run_file){path, arena_copy(arena, text->bytes, text->length), text->length};
}

static const char *digest_of(const struct sheet_request *request)
{
    return words_hex(&request->call->arena, request->run->device_digest, ROTOR_DIGEST_SIZE);
}

/* Writes the sheet into memory, because nothing is written before all definitions are judged. */
static void make_sheet(struct sheet_request *request, const char *path,
                       const struct model_source *source, const struct rules_judging *judging)
{
    uint8_t digest[TEXT_DIGEST_SIZE];
    struct text_stream text = {.arena = NULL};
    const struct model_known_values known = model_known_values(
        source->engine, &judging->derived.facts, rules_second_reading(judging), judging->arena);
    text_digest_source(source->file.bytes, source->file.length, digest);
    struct sheet sheet = {
        .derived = &judging->derived,
        .arena = judging->arena,
        .findings = judging->findings,
        .definition_digest = words_hex(judging->arena, digest, ROTOR_DIGEST_SIZE),
        .device_digest = digest_of(request),
        .cross_check = rules_second_reading(judging),
        .known = request->is_record ? NULL : &known,
    };
    FILE *out = text_stream_open(&text, judging->arena);
    if (request->is_record) {
        request->overflow =
            !sheet_record(out, &sheet, request->form, &request->wanted, &request->stages);
    } else if (request->form == SHEET_HTML) {
        sheet_html(out, &sheet);
    } else {
        sheet_text(out, &sheet);
    }
    text_stream_close(&text, out);
    add_file(request, path, &text);
}

static void take(void *context, const struct model_source *source,
                 const struct rules_judging *judging)
{
    struct sheet_request *request = context;
    struct arena *arena = &request->call->arena;
    const char *id = source->engine->id.text;
    if (request->folder) {
        const char *name = sheet_file_name(arena, id, request->form == SHEET_HTML);
        make_sheet(request, run_in_folder(arena, request->folder, name), source, judging);
        report_index_add(&request->index, &judging->derived);
        request->found++;
        return;
    }
    request->ids = arena_printf(arena, "%s%s%s", request->ids, *request->ids ? ", " : "", id);
    if (request->engine && strcmp(request->engine, id) != 0) {
        return;
    }
    if (request->found++ == 0) {
        command_named_look(&request->named, source->engine);
        const char *output = command_value(request->call, OPTION_OUTPUT_SHEET);
        make_sheet(request, output ? output : "-", source, judging);
    }
}

/* Whether the sheets that were asked for are there; RUN_FAILED after a message if not. */
static int complete(const struct sheet_request *request)
{
    if (request->found == 0 && request->engine) {
        return run_error("there is no engine %s; %s", request->engine,
                         command_there_is(&request->call->arena, request->ids));
    }
    if (request->found == 0) {
        return run_error("there is no engine definition, so there is no sheet to write");
    }
    if (request->found > 1 && !request->folder) {
        return run_error("a sheet shows one engine: choose one with --engine ID, or name a folder "
                         "that exists with --output, for all: %s",
                         request->ids);
    }
    if (request->overflow) {
        return run_error("the exact numbers of a stop do not fit 64 bits");
    }
    if (request->is_record && request->stages == 0) {
        const struct sheet_wanted *wanted = &request->wanted;
        const char *nowhere = command_named_nowhere(&request->named);
        if (nowhere) {
            return run_error("%s", nowhere);
        }
        return run_error("no stage%s%s is turned%s%s", wanted->stage ? " " : "",
                         wanted->stage ? wanted->stage : "", wanted->pad ? " through pad " : "",
                         wanted->pad ? wanted->pad : "");
    }
    return RUN_CLEAN;
}

/* Adds the start page, in the form of the sheets. */
static void add_start(struct sheet_request *request)
{
    struct arena *arena = &request->call->arena;
    struct text_stream text = {.arena = NULL};
    struct sheet_folder folder = {&request->index, request->run->device.device, digest_of(request)};
    FILE *out = text_stream_open(&text, arena);
    if (request->form == SHEET_HTML) {
        sheet_start_html(out, &folder);
    } else {
        report_index_write(out, &request->index, REPORT_INDEX_TEXT);
    }
    text_stream_close(&text, out);
    add_file(request,
             run_in_folder(arena, request->folder,
                           request->form == SHEET_HTML ? "index.html" : "index.txt"),
             &text);
}

/*
 * Names the sheets in the folder that this run does not write.  They are of engines that are no
 * longer among the definitions, and somebody could turn an engine by them.  False after a message
 * if the folder cannot be read.
 */
static bool name_old_sheets(const struct sheet_request *request)
{
    struct arena *arena = &request->call->arena;
    struct text_paths names = {NULL, 0, 0};
    const struct report_index *index = &request->index;
    size_t next = 0;
    if (!text_folder_names(request->folder, sheet_file_name(arena, "", request->form == SHEET_HTML),
                           arena, &names)) {
        run_error("cannot read %s: %s", request->folder, strerror(errno));
        return false;
    }
    for (size_t i = 0; i < names.count; i++) {
        const char *name = names.items[i];
        while (next < index->count && strcmp(index->engines[next].id, name) < 0) {
            next++;
        }
        if (next == index->count || strcmp(index->engines[next].id, name) != 0) {
            const char *file = sheet_file_name(arena, name, request->form == SHEET_HTML);
            run_say("%s is an old sheet: no definition here is %s; delete it",
                    run_in_folder(arena, request->folder, file), name);
        }
    }
    return true;
}

/* Writes the sheets, and for a folder the start page: all of them or none. */
static int deliver(struct sheet_request *request)
{
    const char *done = NULL;
    size_t sheets = request->count;
    if (complete(request) != RUN_CLEAN) {
        return RUN_FAILED;
    }
    if (request->folder) {
        report_index_sort(&request->index);
        if (!name_old_sheets(request)) {
            return RUN_FAILED;
        }
        add_start(request);
        done = text_clean(&request->call->arena,
                          arena_printf(&request->call->arena, "%s: %zu sheet%s and a start page",
                                       request->folder, sheets, words_plural((int64_t)sheets)));
    }
    if (!run_has_said()) {
        return RUN_FAILED; /* a warning is lost, and there is no other place for it */
    }
    const struct run_inputs inputs = {.seen = &request->run->seen,
                                      .name = request->run->options.name};
    int status =
        run_deliver(&request->call->arena, request->files, request->count, &inputs, RUN_EACH_FILE);
    if (done && status == RUN_CLEAN && !request->run->options.sink->quiet) {
        run_confirm(done);
    }
    return status;
}

/* What is wrong with the options together; NULL: nothing. */
static const char *misuse_of(const struct sheet_request *request)
{
    if (!command_value(request->call, OPTION_DEVICE)) {
        return "sheet needs --device FILE: it shows one engine on one device";
    }
    if (!request->is_record && request->form == SHEET_CSV) {
        return "CSV is for a record: add --record, or choose another --format";
    }
    if (!request->is_record && (request->wanted.pad || request->wanted.stage)) {
        return "--pad and --stage choose what a record is for: add --record, or leave them out";
    }
    if (request->is_record && request->folder) {
        return "a record is for one engine: name a file with --output, not a folder";
    }
    if (request->engine && request->folder) {
        return "a folder takes the sheets of all engines: leave out --engine, or name a file with "
               "--output";
    }
    return NULL;
}

int command_sheet(struct command_call *call)
{
    struct report_sink sink = command_sink(call, stderr, REPORT_TEXT);
    struct run_options options;
    struct run run;
    const char *output = command_value(call, OPTION_OUTPUT_SHEET);
    struct sheet_request request = {
        .run = &run,
        .call = call,
        .engine = command_value(call, OPTION_ENGINE),
        .folder = output && text_is_folder(output) ? output : NULL,
        .is_record = call->options[OPTION_RECORD].count != 0,
        .wanted = {command_value(call, OPTION_PAD), command_value(call, OPTION_STAGE)},
        .named.arena = &call->arena,
        .ids = "",
        .index = {.arena = &call->arena}};
    sink.without_notes = true;
    request.form = command_format_is(call, "html")  ? SHEET_HTML
                   : command_format_is(call, "csv") ? SHEET_CSV
                                                    : SHEET_TEXT;
    const char *misuse = misuse_of(&request);
    if (misuse) {
        return run_error("%s", misuse);
    }
    if (!command_run_options(call, &sink, &options)) {
        return RUN_FAILED;
    }
    options.to_be_used = true;
    command_name(&request.named, MODEL_PADS, request.wanted.pad);
    command_name(&request.named, MODEL_STAGES, request.wanted.stage);
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
