#include "text/file.h"

#include "text/utf8.h"

#include <errno.h>
#include <fcntl.h>
#include <string.h>
#include <sys/stat.h>
#include <unistd.h>

/* Bytes of the line end at text[0..length); 0 if there is no line end. */
static size_t line_end(const char *text, size_t length)
{
    const unsigned char *byte = (const unsigned char *)text;
    if (byte[0] == '\n') {
        return 1;
    }
    if (byte[0] == '\r') {
        return length > 1 && byte[1] == '\n' ? 2 : 1;
    }
    if (byte[0] == 0xc2 && length > 1 && byte[1] == 0x85) {
        return 2;
    }
    if (byte[0] == 0xe2 && length > 2 && byte[1] == 0x80 && (byte[2] & 0xfe) == 0xa8) {
        return 3;
    }
    return 0;
}

/* How many bytes from the start are ASCII from the blank on, so end no line; eight at a time. */
static size_t inside_line(const char *text, size_t length)
{
    const uint64_t ones = 0x0101010101010101u;
    size_t i = 0;
    for (uint64_t bytes; length - i >= sizeof bytes; i += sizeof bytes) {
        memcpy(&bytes, text + i, sizeof bytes);
        uint64_t printable = (bytes & ones * 0x7f) + ones * (0x80 - ' '); /* no byte carries */
        if (((bytes | ~printable) & ones * 0x80) != 0) {
            break; /* a control character, or one that is not ASCII */
        }
    }
    return i;
}

/* The bytes of a line without its ending, and those of the ending: 0 at the end of the text. */
static size_t line_length(const char *text, size_t length, size_t *ending)
{
    size_t i = inside_line(text, length);
    *ending = 0;
    while (i < length && *ending == 0) {
        *ending = line_end(text + i, length - i);
        i += *ending == 0;
    }
    return i;
}

struct text_identity text_identity_of(const char *path)
{
    struct stat status;
    if (stat(path, &status) != 0) {
        return (struct text_identity){0, 0};
    }
    return (struct text_identity){status.st_dev, status.st_ino};
}

size_t text_file_mark(const struct text_file *file)
{
    return file->length >= 3 && memcmp(file->bytes, "\xef\xbb\xbf", 3) == 0 ? 3 : 0;
}

struct span text_file_span(const struct text_file *file)
{
    return (struct span){.file = file};
}

const char *text_file_line(const struct text_file *file, uint32_t number, size_t *length)
{
    if (!file || !file->bytes || number == 0) {
        return NULL;
    }
    const char *line = file->bytes + text_file_mark(file);
    for (;;) {
        size_t ending = 0;
        *length = line_length(line, (size_t)(file->bytes + file->length - line), &ending);
        if (--number == 0) {
            return line;
        }
        if (ending == 0) {
            return NULL;
        }
        line += *length + ending;
    }
}

/* Whether the character occurs so often in the file. */
static bool has_so_many(const struct text_file *file, char wanted, size_t many)
{
    const char *end = file->bytes + file->length;
    for (const char *at = file->bytes; many != 0; at++, many--) {
        at = at < end ? memchr(at, wanted, (size_t)(end - at)) : NULL;
        if (!at) {
            return false;
        }
    }
    return true;
}

uint32_t text_file_line_beginning(const struct text_file *file, const char *words, size_t nth)
{
    if (!has_so_many(file, words[0], nth)) {
        return 0; /* nearly every file: its lines need not be counted */
    }
    size_t length = strlen(words);
    size_t start = text_file_mark(file);
    uint32_t number = 1;
    for (size_t i = start; i < file->length;) {
        size_t end = line_end(file->bytes + i, file->length - i);
        if (i == start && file->length - i >= length &&
            memcmp(file->bytes + i, words, length) == 0 && --nth == 0) {
            return number;
        }
        i += end != 0 ? end : 1;
        start = end != 0 ? i : start;
        number += end != 0;
    }
    return 0;
}

/* The place of byte `offset`, one character long. */
static struct span span_at(const struct text_file *file, size_t offset)
{
    struct span at = {file, 1, 1, 1, 2};
    for (size_t i = text_file_mark(file); i < offset;) {
        size_t end = line_end(file->bytes + i, file->length - i);
        if (end != 0) {
            at.line++;
            at.column = 1;
            i += end;
        } else {
            at.column += ((unsigned char)file->bytes[i] & 0xc0) != 0x80;
            i++;
        }
    }
    at.end_line = at.line;
    at.end_column = at.column + 1;
    return at;
}

/* The characters that YAML 1.1 allows in a stream (section 5.1, c-printable). */
static bool is_allowed(uint32_t code)
{
    return code == '\t' || code == '\n' || code == '\r' || (code >= 0x20 && code <= 0x7e) ||
           code == 0x85 || (code >= 0xa0 && code <= 0xfffd) || code >= 0x10000;
}

static bool starts_with(const struct text_file *file, const char *mark, size_t length)
{
    return file->length >= length && memcmp(file->bytes, mark, length) == 0;
}

/*
 * The high bit of every byte that is neither printable ASCII nor a line end.  The sums are taken of
 * seven bits each, so none runs over into the next byte.
 */
static uint64_t odd_ones(const char *text)
{
    const uint64_t ones = 0x0101010101010101u;
    uint64_t bytes;
    memcpy(&bytes, text, sizeof bytes);
    uint64_t low = bytes & ones * 0x7f;
    uint64_t deleted = low + ones;                      /* 0x7f has become 0x80 */
    uint64_t printable = low + ones * (0x80 - ' ');     /* ' ' and above have reached 0x80 */
    uint64_t other = (low ^ ones * '\n') + ones * 0x7f; /* all but a line end have */
    return (bytes | deleted | (~printable & other)) & (ones * 0x80);
}

/* How many bytes from the start are printable ASCII or line ends: nearly all of a text. */
static size_t plain_length(const char *text, size_t length)
{
    enum { WORD = sizeof(uint64_t), STEP = 2 * WORD };
    size_t i = 0;
    while (length - i >= STEP && (odd_ones(text + i) | odd_ones(text + i + WORD)) == 0) {
        i += STEP;
    }
    while (i < length && ((unsigned char)(text[i] - ' ') <= '~' - ' ' || text[i] == '\n')) {
        i++;
    }
    return i;
}

/* Reports text that nobody could read; true where there is none of it. */
static bool check_characters(const struct text_file *file, struct findings *findings)
{
    if (starts_with(file, "\xff\xfe", 2) || starts_with(file, "\xfe\xff", 2)) {
        finding_add(findings, RULE_NOT_UTF8, span_at(file, 0),
                    "this is UTF-16 text: it begins with the byte order mark of UTF-16");
        return false;
    }
    for (size_t i = plain_length(file->bytes, file->length); i < file->length;
         i += plain_length(file->bytes + i, file->length - i)) {
        uint32_t code = 0;
        size_t size = text_utf8_decode(file->bytes + i, file->length - i, &code);
        if (size == 0) {
            finding_add(findings, RULE_NOT_UTF8, span_at(file, i),
                        "byte 0x%02x is not part of any UTF-8 character",
                        (unsigned)(unsigned char)file->bytes[i]);
            return false;
        }
        if (!is_allowed(code) || (code == 0xfeff && i != 0)) {
            struct finding *finding =
                finding_add(findings, RULE_YAML_SYNTAX, span_at(file, i),
                            "YAML does not allow the character U+%04X", (unsigned)code);
            finding_remedy(findings, finding,
                           "Delete the character. If there are many, this is not a text file.");
            return false;
        }
        if (text_is_hidden(code) && !text_is_control(code) && code != 0xfeff) {
            finding_add(findings, RULE_HIDDEN_CHARACTER, span_at(file, i),
                        "the text has the character U+%04X, which is not visible", (unsigned)code);
            return false;
        }
        i += size;
    }
    return true;
}

/*
 * Reads up to `room` bytes, or the `known` bytes of the file if there are no more.  Returns -1 with
 * errno on failure.
 */
static ssize_t read_up_to(int fd, char *bytes, size_t room, size_t known)
{
    size_t got = 0;
    while (got < room && (got == 0 || got != known)) {
        ssize_t more = read(fd, bytes + got, room - got);
        if (more < 0 && errno == EINTR) {
            continue;
        }
        if (more < 0) {
            return -1;
        }
        if (more == 0) {
            break;
        }
        got += (size_t)more;
    }
    return (ssize_t)got;
}

static enum text_load refuse_size(const struct text_file *file, struct findings *findings)
{
    finding_add(findings, RULE_TOO_LARGE, text_file_span(file), "the file has more than %d bytes",
                TEXT_FILE_LIMIT);
    return TEXT_REFUSED;
}

enum text_load text_file_take(struct text_file *file, const char *path, const char *bytes,
                              size_t length, struct findings *findings)
{
    *file = (struct text_file){.path = path};
    if (length > (size_t)TEXT_FILE_LIMIT) {
        return refuse_size(file, findings);
    }
    file->bytes = bytes;
    file->length = length;
    return check_characters(file, findings) ? TEXT_LOADED : TEXT_REFUSED;
}

/* Reads an open file whose status is known. */
static enum text_load load_open(struct text_file *file, int fd, const struct stat *status,
                                struct arena *arena, struct findings *findings)
{
    bool regular = S_ISREG(status->st_mode);
    if (regular && status->st_size > TEXT_FILE_LIMIT) {
        return refuse_size(file, findings);
    }
    size_t known = regular ? (size_t)status->st_size : 0; /* 0 where the system does not say */
    size_t room = (known != 0 ? known : (size_t)TEXT_FILE_LIMIT) + 1;
    char *bytes = arena_alloc(arena, room);
    ssize_t got = read_up_to(fd, bytes, room, known);
    if (known != 0 && got > (ssize_t)known) { /* it has grown since: from the beginning again */
        room = (size_t)TEXT_FILE_LIMIT + 1;
        bytes = arena_alloc(arena, room);
        got = lseek(fd, 0, SEEK_SET) == 0 ? read_up_to(fd, bytes, room, 0) : -1;
    }
    if (got < 0) {
        return TEXT_UNREADABLE;
    }
    return text_file_take(file, file->path, bytes, (size_t)got, findings);
}

enum text_load text_file_load_open(struct text_file *file, const char *path, int fd,
                                   struct arena *arena, struct findings *findings)
{
    struct stat status;
    *file = (struct text_file){.path = path};
    if (fstat(fd, &status) != 0) {
        return TEXT_UNREADABLE;
    }
    enum text_load result = load_open(file, fd, &status, arena, findings);
    file->identity = (struct text_identity){status.st_dev, status.st_ino};
    return result;
}

enum text_load text_file_load(struct text_file *file, const char *path, struct arena *arena,
                              struct findings *findings)
{
    struct stat status;
    enum text_load result = TEXT_UNREADABLE;
    *file = (struct text_file){.path = path};
    if (strcmp(path, "-") == 0) {
        return fstat(STDIN_FILENO, &status) != 0
                   ? TEXT_UNREADABLE
                   : load_open(file, STDIN_FILENO, &status, arena, findings);
    }
    int fd = open(path, O_RDONLY | O_CLOEXEC | O_NOCTTY);
    int saved = errno;
    bool known = fd < 0 ? stat(path, &status) == 0 : fstat(fd, &status) == 0;
    if (fd >= 0) {
        result = known ? load_open(file, fd, &status, arena, findings) : TEXT_UNREADABLE;
        saved = errno;
        close(fd);
    }
    if (known) {
        file->identity = (struct text_identity){status.st_dev, status.st_ino};
    }
    errno = saved;
    return result;
}

size_t text_file_offset(const struct text_file *file, uint32_t number, uint32_t column)
{
    size_t length = 0;
    const char *line = text_file_line(file, number, &length);
    return line ? (size_t)(line - file->bytes) + text_utf8_bytes(line, length, column - 1) : 0;
}

const char *text_file_at(struct arena *arena, struct span at, bool folded)
{
    const char *from = at.file->bytes + text_file_offset(at.file, at.line, at.column);
    const char *to = at.file->bytes + text_file_offset(at.file, at.end_line, at.end_column);
    char *text = arena_alloc(arena, (to > from ? (size_t)(to - from) : 0) + 1);
    size_t end = 0;
    for (; from < to; from++) {
        bool blank = folded && strchr(" \t\r\n", *from) != NULL;
        if (!blank || (end != 0 && text[end - 1] != ' ')) {
            text[end++] = blank ? ' ' : *from;
        }
    }
    return text;
}

int text_file_open_found(const char *path)
{
    return open(path, O_RDONLY | O_NOFOLLOW | O_NONBLOCK | O_NOCTTY | O_CLOEXEC);
}
