/*
 * ending.h - for the tests of what ends the run: in a process of its own, and what it says.
 */
#ifndef ROTORTAB_TESTS_ENDING_H
#define ROTORTAB_TESTS_ENDING_H

#include "unit/check.h"
#include <sys/wait.h>
#include <unistd.h>

/* What a function says before it ends the run with status 2, which it has to. */
static inline void assert_ends(void (*function)(void), const char *expected)
{
    int ends[2];
    char said[128] = "";
    int status = 0;
    ck_assert_int_eq(pipe(ends), 0);
    pid_t child = fork();
    ck_assert_int_ge(child, 0);
    if (child == 0) {
        dup2(ends[1], STDERR_FILENO);
        function();
        _exit(0);
    }
    close(ends[1]);
    ck_assert_int_ge(read(ends[0], said, sizeof said - 1), 0);
    close(ends[0]);
    ck_assert_int_eq(waitpid(child, &status, 0), child);
    ck_assert_str_eq(said, expected);
    ck_assert(WIFEXITED(status));
    ck_assert_int_eq(WEXITSTATUS(status), 2);
}

#endif
