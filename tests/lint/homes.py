"""Checks that what can lose something without a word is called in one place alone.

A stream into memory, a value of JSON that is written or put into another, and plain memory each
have a module that ends the run where they fail. Nobody else calls the functions below, outside
comments and strings.
"""

import pathlib
import re
import sys

from nofloat import SKIP, SUFFIXES, blank

# What is looked for, the files (from src/) that may have it, and what everybody else calls.
HOMES = [
    (re.compile(r"\b(?:open_memstream|open_wmemstream|fmemopen|fopencookie)\b"),
     {"text/stream.c"}, "text_stream_open"),
    (re.compile(r"\bjson_(?:dump\w+|object_set\w*|array_(?:append|insert|set)\w*)\b"),
     {"report/json.c"}, "report/json.h"),
    (re.compile(r"\b(?:malloc|calloc|realloc|reallocarray|aligned_alloc|posix_memalign|strdup"
                r"|strndup|asprintf|vasprintf|getline|getdelim|scandir)\b"),
     {"base/arena.c"}, "an arena, or memory_get"),
]


def main():
    src = pathlib.Path("src")
    wrong = 0
    for path in sorted(p for p in src.rglob("*") if p.suffix in SUFFIXES):
        text = SKIP.sub(blank, path.read_text(encoding="utf-8"))
        for pattern, homes, instead in HOMES:
            if str(path.relative_to(src)) in homes:
                continue
            for match in pattern.finditer(text):
                line = text.count("\n", 0, match.start()) + 1
                print(f"{path}:{line}: {match[0]} is called in {', '.join(sorted(homes))} alone; "
                      f"here use {instead}", file=sys.stderr)
                wrong = 1
    return wrong


if __name__ == "__main__":
    sys.exit(main())
