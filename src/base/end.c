#include "base/end.h"

#include <stdio.h>
#include <unistd.h>

/* Two threads may come here at once, which exit() does not allow. */
__attribute__((noreturn)) static void end(void)
{
    fflush(stderr);
    _exit(2);
}

void end_out_of_memory(void)
{
    fputs("rotortab: out of memory\n", stderr);
    end();
}

void end_unwritten(const char *what, const char *why)
{
    fprintf(stderr, "rotortab: cannot write %s: %s\n", what, why);
    end();
}

void end_unreported(const char *rule)
{
    fprintf(stderr, "rotortab: the rule %s failed without a finding\n", rule);
    end();
}
