#include "run/say.h"

#include "text/terminal.h"
#include "text/utf8.h"
#include "text/wrap.h"

#include <stdarg.h>
#include <stdio.h>
#include <string.h>

enum { INDENT = 4 }; /* of the further lines on a terminal */

static void say(const char *before, const char *format, va_list arguments)
    __attribute__((format(printf, 2, 0)));

static void say(const char *before, const char *format, va_list arguments)
{
    struct arena arena = {.newest = NULL};
    struct text_wrap wrap = {text_terminal_columns(stderr), INDENT};
    fputs(before, stderr);
    text_write_wrapped(stderr, strlen(before), wrap,
                       text_clean(&arena, arena_vprintf(&arena, format, arguments)));
    arena_free(&arena);
}

int run_error(const char *format, ...)
{
    va_list arguments;
    va_start(arguments, format);
    say("rotortab: ", format, arguments);
    va_end(arguments);
    return RUN_FAILED;
}

void run_say(const char *format, ...)
{
    va_list arguments;
    va_start(arguments, format);
    say("", format, arguments);
    va_end(arguments);
}

bool run_has_said(void)
{
    return fflush(stderr) == 0 && !ferror(stderr);
}

void run_confirm(const char *sentence)
{
    fprintf(stderr, "%s\n", sentence);
    (void)fflush(stderr);
    clearerr(stderr);
}
