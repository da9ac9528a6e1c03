#include "run/journal_text.h"

#include "text/digest.h"
#include "text/write.h"

#include <inttypes.h>
#include <stdarg.h>
#include <stdio.h>
#include <string.h>

static const char first_line[] = "rotortab-journal 1 F\n";

enum { ESCAPED = 3, LINE = 96, END = 4 + 2 * TEXT_DIGEST_SIZE + 1 }; /* bytes, at most */

size_t run_journal_room(const struct run_journal_text *text)
{
    size_t room = sizeof first_line + LINE + LINE + END;
    for (size_t i = 0; i < text->folder_count; i++) {
        room += LINE + ESCAPED * strlen(text->folders[i].path);
    }
    for (size_t i = 0; i < text->file_count; i++) {
        room += LINE + ESCAPED * strlen(text->files[i].target);
    }
    return room;
}

/* ---- writing --------------------------------------------------------------------------------- */

struct writer {
    char *out;
    size_t room, length;
};

__attribute__((format(printf, 2, 3))) static void put(struct writer *writer, const char *format,
                                                      ...)
{
    va_list arguments;
    va_start(arguments, format);
    int length =
        vsnprintf(writer->out + writer->length, writer->room - writer->length, format, arguments);
    va_end(arguments);
    writer->length += length > 0 ? (size_t)length : 0;
}

static bool is_plain(unsigned char byte)
{
    return byte > ' ' && byte < 0x7f && byte != '%';
}

static void put_name(struct writer *writer, const char *name)
{
    for (; *name; name++) {
        unsigned char byte = (unsigned char)*name;
        if (is_plain(byte)) {
            put(writer, "%c", byte);
        } else {
            put(writer, "%%%02X", byte);
        }
    }
}

/* The last line; the digest is of the text before it, with F in its first line. */
static void make_end(const char *bytes, size_t length, char end[END + 1])
{
    static const char digits[] = "0123456789abcdef";
    uint8_t digest[TEXT_DIGEST_SIZE];
    text_digest_bytes(bytes, length, digest);
    char *next = stpcpy(end, "end ");
    for (size_t i = 0; i < TEXT_DIGEST_SIZE; i++) {
        *next++ = digits[digest[i] >> 4];
        *next++ = digits[digest[i] & 15];
    }
    *next++ = '\n';
    *next = '\0';
}

size_t run_journal_write(const struct run_journal_text *text, char *out, size_t room)
{
    struct writer writer = {out, room, 0};
    char end[END + 1];
    put(&writer, "%sset %s\npart %zu of %zu\n", first_line, text->id, text->part + 1,
        text->folder_count);
    for (size_t i = 0; i < text->folder_count; i++) {
        put(&writer, "folder %" PRIu64 " ", text->folders[i].inode);
        put_name(&writer, text->folders[i].path);
        put(&writer, "\n");
    }
    for (size_t i = 0; i < text->file_count; i++) {
        const struct run_journal_file *file = &text->files[i];
        put(&writer, "file %" PRIu64 " %" PRIu64 " %s ", file->inode, file->old, file->temporary);
        put_name(&writer, file->target);
        put(&writer, "\n");
    }
    make_end(out, writer.length, end);
    put(&writer, "%s", end);
    out[RUN_JOURNAL_DIRECTION] = text->back ? 'B' : 'F';
    return writer.length;
}

/* ---- reading --------------------------------------------------------------------------------- */

struct reader {
    struct arena *arena;
    const char *next;
};

/* Takes a word that must be there. */
static bool take(struct reader *reader, const char *word)
{
    size_t length = strlen(word);
    bool there = strncmp(reader->next, word, length) == 0;
    reader->next += there ? length : 0;
    return there;
}

/* A whole number below 2^63, and the character after it. */
static bool take_number(struct reader *reader, char after, uint64_t *number)
{
    enum { DIGITS = 18 };
    size_t length = strspn(reader->next, "0123456789");
    if (length == 0 || length > DIGITS || reader->next[length] != after) {
        return false;
    }
    *number = 0;
    for (size_t i = 0; i < length; i++) {
        *number = *number * 10 + (uint64_t)(reader->next[i] - '0');
    }
    reader->next += length + 1;
    return true;
}

/* The value of a digit as it is written here; 16 for any other character. */
static unsigned digit(char character)
{
    static const char digits[] = "0123456789ABCDEF";
    const char *at = character ? strchr(digits, character) : NULL;
    return at ? (unsigned)(at - digits) : 16;
}

/* A name up to a character; NULL if it is empty or not written as put_name does it. */
static const char *take_name(struct reader *reader, char after)
{
    size_t length = 0;
    while (is_plain((unsigned char)reader->next[length]) || reader->next[length] == '%') {
        length++;
    }
    if (length == 0 || reader->next[length] != after) {
        return NULL;
    }
    char *name = arena_alloc(reader->arena, length + 1);
    size_t made = 0;
    for (size_t i = 0; i < length; i++) {
        char byte = reader->next[i];
        if (byte == '%') {
            unsigned high = digit(reader->next[i + 1]);
            unsigned low = high < 16 ? digit(reader->next[i + 2]) : 16;
            if (low == 16 || (high == 0 && low == 0)) {
                return NULL;
            }
            byte = (char)(high * 16 + low);
            i += 2;
        }
        name[made++] = byte;
    }
    reader->next += length + 1;
    return name;
}

static bool take_id(struct reader *reader, char id[RUN_JOURNAL_ID + 1])
{
    if (strspn(reader->next, "0123456789abcdef") != RUN_JOURNAL_ID ||
        reader->next[RUN_JOURNAL_ID] != '\n') {
        return false;
    }
    memcpy(id, reader->next, RUN_JOURNAL_ID);
    reader->next += RUN_JOURNAL_ID + 1;
    return true;
}

static bool take_folders(struct reader *reader, struct run_journal_text *text)
{
    for (size_t i = 0; i < text->folder_count; i++) {
        struct run_journal_folder *folder = &text->folders[i];
        if (!take(reader, "folder ") || !take_number(reader, ' ', &folder->inode)) {
            return false;
        }
        folder->path = take_name(reader, '\n');
        if (!folder->path) {
            return false;
        }
    }
    return true;
}

/* Whether a name can be a target: a file in the folder itself, and none of a run's other files. */
static bool is_target(const char *name)
{
    return !strchr(name, '/') && strcmp(name, ".") != 0 && strcmp(name, "..") != 0 &&
           strncmp(name, ".rotortab-", strlen(".rotortab-")) != 0;
}

static bool take_files(struct reader *reader, struct run_journal_text *text)
{
    size_t capacity = 0;
    while (take(reader, "file ")) {
        struct run_journal_file file;
        if (!take_number(reader, ' ', &file.inode) || !take_number(reader, ' ', &file.old)) {
            return false;
        }
        file.temporary = take_name(reader, ' ');
        file.target = file.temporary ? take_name(reader, '\n') : NULL;
        if (!file.target || !text_write_is_temporary(file.temporary) || !is_target(file.target)) {
            return false;
        }
        text->files = arena_grow(reader->arena, text->files, text->file_count, &capacity,
                                 sizeof *text->files);
        text->files[text->file_count++] = file;
    }
    return true;
}

/* The lines up to the last one. */
static bool take_lines(struct reader *reader, struct run_journal_text *text, size_t length)
{
    uint64_t part = 0;
    uint64_t parts = 0;
    if (!take(reader, "set ") || !take_id(reader, text->id) || !take(reader, "part ") ||
        !take_number(reader, ' ', &part) || !take(reader, "of ") ||
        !take_number(reader, '\n', &parts) || part == 0 || part > parts || parts > length) {
        return false;
    }
    text->part = (size_t)part - 1;
    text->folder_count = (size_t)parts;
    text->folders = arena_array(reader->arena, text->folder_count, sizeof *text->folders);
    return take_folders(reader, text) && take_files(reader, text);
}

enum run_journal_state run_journal_read(struct arena *arena, const char *bytes, size_t length,
                                        struct run_journal_text *text)
{
    char end[END + 1];
    char *copy = arena_copy(arena, bytes, length);
    *text = (struct run_journal_text){.back = length > RUN_JOURNAL_DIRECTION &&
                                              bytes[RUN_JOURNAL_DIRECTION] == 'B'};
    if (text->back) {
        copy[RUN_JOURNAL_DIRECTION] = 'F';
    }
    size_t compared = length < strlen(first_line) ? length : strlen(first_line);
    if (memcmp(copy, first_line, compared) != 0 || memchr(copy, '\0', length)) {
        return RUN_JOURNAL_WRONG;
    }
    if (length < strlen(first_line) + END) {
        return RUN_JOURNAL_BEGUN;
    }
    make_end(copy, length - END, end);
    if (strcmp(copy + length - END, end) != 0) {
        return RUN_JOURNAL_BEGUN;
    }
    struct reader reader = {arena, copy + strlen(first_line)};
    bool right = take_lines(&reader, text, length) && reader.next == copy + length - END;
    return right ? RUN_JOURNAL_WHOLE : RUN_JOURNAL_WRONG;
}
