/*
 * journal.c - the set of files that a run writes, and its record in the journals of their folders.
 *
 * The run takes all memory and makes all names before it writes the first byte. After that, only
 * the system can fail. It writes the record of the first folder last. Without that record the
 * others mean nothing.
 */
#include "run/journal_parts.h"

#include "text/folder.h"

#include <errno.h>
#include <limits.h>
#include <stdlib.h>
#include <string.h>
#include <sys/random.h>
#include <unistd.h>

bool run_journal_is_same(const struct stat *one, const struct stat *other)
{
    return one->st_ino == other->st_ino && one->st_dev == other->st_dev;
}

static int by_inode(const void *a, const void *b)
{
    const struct stat *left = &((const struct run_journal_part *)a)->status;
    const struct stat *right = &((const struct run_journal_part *)b)->status;
    int devices = (left->st_dev > right->st_dev) - (left->st_dev < right->st_dev);
    return devices ? devices : (left->st_ino > right->st_ino) - (left->st_ino < right->st_ino);
}

static struct run_journal_part *part_of(const struct run_journal *journal,
                                        const struct stat *folder)
{
    for (size_t i = 0; i < journal->count; i++) {
        if (run_journal_is_same(&journal->parts[i].status, folder)) {
            return &journal->parts[i];
        }
    }
    return NULL;
}

/* A folder that cannot be found is left out: the file in it cannot be written, which is said then.
 */
static void add_folder(struct run_journal *journal, const struct text_writing *writing)
{
    struct arena *arena = journal->arena;
    struct stat status;
    char real[PATH_MAX];
    if (stat(writing->folder, &status) != 0 || part_of(journal, &status) ||
        !realpath(writing->folder, real)) {
        return;
    }
    bool here = strcmp(writing->folder, ".") == 0;
    journal->parts[journal->count++] = (struct run_journal_part){
        .folder = writing->folder,
        .path = arena_printf(arena, "%s%s", here ? "" : writing->folder, TEXT_WRITE_JOURNAL),
        .real = arena_copy(arena, real, strlen(real)),
        .status = status};
}

void run_journal_sync(const struct run_journal *journal)
{
    for (size_t i = 0; i < journal->count; i++) {
        const struct text_writing writing = {.folder = journal->parts[i].folder};
        text_write_sync(&writing);
    }
}

static bool is_member(const struct run_journal *journal, size_t i)
{
    return journal->writings[i].folder != NULL;
}

/* Takes all memory for the record of a part, whose number is `index`. */
static void prepare(struct run_journal *journal, size_t index, const char *id)
{
    struct arena *arena = journal->arena;
    struct run_journal_part *part = &journal->parts[index];
    struct run_journal_text *text = &part->text;
    *text = (struct run_journal_text){.part = index, .folder_count = journal->count};
    memcpy(text->id, id, sizeof text->id);
    text->folders = arena_array(arena, journal->count, sizeof *text->folders);
    for (size_t i = 0; i < journal->count; i++) {
        text->folders[i] =
            (struct run_journal_folder){journal->parts[i].status.st_ino, journal->parts[i].real};
    }
    text->files = arena_array(arena, journal->writing_count, sizeof *text->files);
    part->members = arena_array(arena, journal->writing_count, sizeof *part->members);
    for (size_t i = 0; i < journal->writing_count; i++) {
        struct stat status;
        if (is_member(journal, i) && stat(journal->writings[i].folder, &status) == 0 &&
            run_journal_is_same(&status, &part->status)) {
            part->members[text->file_count] = i;
            text->files[text->file_count++].target = text_path_name(journal->writings[i].target);
        }
    }
    part->room = run_journal_room(text);
    part->bytes = arena_alloc(arena, part->room);
}

/* A name for the set that no other set has. */
static bool make_id(char id[RUN_JOURNAL_ID + 1])
{
    static const char digits[] = "0123456789abcdef";
    unsigned char bytes[RUN_JOURNAL_ID];
    if (getrandom(bytes, sizeof bytes, 0) != (ssize_t)sizeof bytes) {
        return false;
    }
    for (size_t i = 0; i < sizeof bytes; i++) {
        id[i] = digits[bytes[i] & 15];
    }
    id[RUN_JOURNAL_ID] = '\0';
    return true;
}

const char *run_journal_open(struct run_journal *journal, struct arena *arena,
                             struct text_writing *writings, size_t count, bool set)
{
    char id[RUN_JOURNAL_ID + 1];
    const char *problem = NULL;
    size_t members = 0;
    *journal = (struct run_journal){.arena = arena, .writings = writings, .writing_count = count};
    journal->parts = arena_array(arena, count + 1, sizeof *journal->parts);
    for (size_t i = 0; i < count; i++) {
        if (is_member(journal, i)) {
            add_folder(journal, &writings[i]);
            members++;
        }
    }
    qsort(journal->parts, journal->count, sizeof *journal->parts, by_inode);
    journal->held = set && members > 1;
    for (size_t i = 0; i < journal->count && !problem; i++) {
        problem = run_journal_hold(journal, &journal->parts[i]);
    }
    problem = problem ? problem : run_journal_finish_left(journal);
    if (!problem && journal->held && !make_id(id)) {
        problem = "cannot name a set of files: the system gives no random bytes";
    }
    for (size_t i = 0; i < journal->count && !problem && journal->held; i++) {
        prepare(journal, i, id);
    }
    if (problem || !journal->held) {
        run_journal_close(journal, true);
    }
    return problem;
}

/* The names and inodes are known now. */
static bool fill_in(const struct run_journal *journal, const struct run_journal_part *part)
{
    for (size_t i = 0; i < part->text.file_count; i++) {
        const struct text_writing *writing = &journal->writings[part->members[i]];
        struct run_journal_file *file = &part->text.files[i];
        struct stat new;
        struct stat old;
        bool there = stat(writing->target, &old) == 0;
        if ((!there && errno != ENOENT) || fstat(writing->locked - 1, &new) != 0) {
            return false;
        }
        file->inode = new.st_ino;
        file->old = there ? old.st_ino : 0;
        file->temporary = text_path_name(writing->temporary);
    }
    return true;
}

static bool record_part(const struct run_journal *journal, const struct run_journal_part *part)
{
    int fd = part->opened - 1;
    if (!fill_in(journal, part)) {
        return false;
    }
    size_t length = run_journal_write(&part->text, part->bytes, part->room);
    return text_write_to(fd, part->bytes, length) && fsync(fd) == 0;
}

bool run_journal_record(struct run_journal *journal)
{
    if (!journal->held) {
        return true;
    }
    run_journal_sync(journal);
    for (size_t i = journal->count; i-- > 0;) {
        if (!record_part(journal, &journal->parts[i])) {
            return false;
        }
    }
    return true;
}

void run_journal_turn_back(struct run_journal *journal)
{
    if (!journal->held) {
        return;
    }
    int fd = journal->parts[0].opened - 1;
    off_t length = lseek(fd, 0, SEEK_END);
    if (length > RUN_JOURNAL_DIRECTION && lseek(fd, RUN_JOURNAL_DIRECTION, SEEK_SET) >= 0) {
        (void)(text_write_to(fd, "B", 1) && fsync(fd) == 0); /* or this run itself takes all back */
    }
}

void run_journal_close(struct run_journal *journal, bool done)
{
    for (size_t i = 0; i < journal->count; i++) {
        struct run_journal_part *part = &journal->parts[i];
        if (part->opened != 0) {
            if (done && part->spent) {
                (void)unlink(part->path); /* one that stays is finished, or empty */
            }
            close(part->opened - 1);
            part->opened = 0;
        }
    }
    journal->held = false;
}
