#include "command/git_object.h"

#include "command/git_run.h"
#include "exact/quantity.h"

#include <stdlib.h>
#include <string.h>

/* A question to `cat-file`, and what it is asked of: every name once. */
struct question {
    struct arena *arena; /* what git says, and the bytes, live in it */
    const char *top;
    const char *type;            /* that the objects have to be of, where they are measured */
    struct git_object **objects; /* by name, equal ones side by side */
    size_t count;
    bool broke_off; /* git ended before it had answered all */
};

static int by_name(const void *a, const void *b)
{
    const struct git_object *const *left = a;
    const struct git_object *const *right = b;
    return strcmp((*left)->name, (*right)->name);
}

static bool is_new(const struct question *question, size_t i)
{
    return i == 0 || strcmp(question->objects[i - 1]->name, question->objects[i]->name) != 0;
}

/* Asks for all objects, or for those that are wanted. */
static struct question ask_for(struct arena *arena, const char *top, struct git_object *objects,
                               size_t count, bool wanted)
{
    struct question question = {.arena = arena, .top = top};
    question.objects = arena_array(arena, count + 1, sizeof(struct git_object *));
    for (size_t i = 0; i < count; i++) {
        if (!wanted || objects[i].wanted) {
            question.objects[question.count++] = &objects[i];
        }
    }
    qsort(question.objects, question.count, sizeof(struct git_object *), by_name);
    return question;
}

static bool write_names(const struct question *question, FILE *names)
{
    for (size_t i = 0; i < question->count; i++) {
        if (is_new(question, i)) {
            fprintf(names, "%s\n", question->objects[i]->name);
        }
    }
    return fflush(names) == 0 && !ferror(names) && fseek(names, 0, SEEK_SET) == 0;
}

/* Takes git's answer on one object. */
typedef bool take_answer(struct question *question, FILE *in, struct git_object *object);

static bool ask(struct question *question, const char *how, bool quiet, take_answer *take)
{
    struct git git;
    const char *const words[] = {"cat-file", how, NULL};
    FILE *names = question->count == 0 ? NULL : tmpfile();
    if (!names) {
        return question->count == 0;
    }
    bool fine = write_names(question, names) &&
                git_start(&git, question->arena, question->top, words, fileno(names), quiet);
    if (fine) {
        for (size_t i = 0; fine && i < question->count; i++) {
            struct git_object *object = question->objects[i];
            if (is_new(question, i)) {
                fine = take(question, git.out, object);
            } else {
                const char *name = object->name;
                *object = *question->objects[i - 1];
                object->name = name;
            }
        }
        fine = git_finish(&git) && fine;
    }
    fclose(names);
    return fine;
}

/*
 * Reads a line "HASH TYPE SIZE"; of an object that is missing, or of no such type, `there` is
 * false.  Where a fetch would bring it git may end there: then it and all after it count as
 * missing.
 */
static bool take_size(struct question *question, FILE *in, struct git_object *object)
{
    const char *type = question->type;
    const char *line = NULL;
    int64_t size = 0;
    if (!git_read_word(in, question->arena, '\n', &line)) {
        question->broke_off = true;
        return true;
    }
    const char *word = strchr(line, ' ');
    size_t length = strlen(type);
    object->there = word && strncmp(word + 1, type, length) == 0 && word[1 + length] == ' ';
    if (!object->there) {
        return true;
    }
    const char *number = word + 1 + length + 1;
    if (exact_integer_read(number, strlen(number), &size).error != EXACT_QUANTITY_FINE) {
        return false;
    }
    object->size = (size_t)size;
    return true;
}

/* Reads such a line, the bytes and a line end. */
static bool take_bytes(struct question *question, FILE *in, struct git_object *object)
{
    const char *line = NULL;
    if (!git_read_word(in, question->arena, '\n', &line)) {
        return false;
    }
    const char *number = strrchr(line, ' ');
    if (!number || strcmp(number + 1, arena_printf(question->arena, "%zu", object->size)) != 0) {
        return false;
    }
    char *bytes = arena_alloc(question->arena, object->size + 1);
    object->bytes = bytes;
    return fread(bytes, 1, object->size, in) == object->size && getc(in) == '\n';
}

bool git_objects_measure(struct arena *arena, const char *top, const char *type,
                         struct git_object *objects, size_t count)
{
    struct question question = ask_for(arena, top, objects, count, false);
    question.type = type;
    return ask(&question, "--batch-check", true, take_size) || question.broke_off;
}

bool git_objects_read(struct arena *arena, const char *top, struct git_object *objects,
                      size_t count)
{
    struct question question = ask_for(arena, top, objects, count, true);
    return ask(&question, "--batch", false, take_bytes);
}
