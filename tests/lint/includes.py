"""Checks that includes only ever point down, and that no headers include each other in a circle.

The folders of src/ have one order, each built on those after it; a file may include headers of
its own folder and of lower ones. The field reader depends on nothing but its own folder and the
headers that a freestanding compiler has.
"""

import pathlib
import re
import sys

SUFFIXES = {".c", ".h", ".def"}
ORDER = ["main", "command", "editor", "slips", "run", "rules", "sheet", "report", "compare",
         "table", "words", "model", "turning", "exact", "text", "base", "field"]
FREESTANDING = {"stddef.h", "stdint.h", "stdbool.h", "limits.h", "stdarg.h", "float.h", "iso646.h"}

INCLUDE = re.compile(r'^\s*#\s*include\s*([<"])([^>"]+)[>"]', re.M)


def layer(path, src):
    """The folder of a file, or `main` for src/main.c."""
    parts = path.relative_to(src).parts
    return parts[0] if len(parts) > 1 else "main"


def check_file(path, src, graph):
    """Yields what is wrong with one file's includes and notes them in the graph."""
    mine = layer(path, src)
    text = path.read_text(encoding="utf-8")
    graph[path] = []
    for match in INCLUDE.finditer(text):
        line = text.count("\n", 0, match.start(2)) + 1
        where = f"{path}:{line}"
        name = match[2]
        if match[1] == "<":
            if mine == "field" and name not in FREESTANDING:
                yield f"{where}: <{name}> is no freestanding header"
            continue
        target = src / name
        if not target.exists():
            yield f'{where}: "{name}" is no path from src/'
            continue
        graph[path].append(target)
        theirs = layer(target, src)
        if theirs not in ORDER:
            yield f'{where}: "{name}" is in no known folder'
        elif ORDER.index(theirs) < ORDER.index(mine):
            yield f'{where}: {mine} may not include {theirs} ("{name}"): includes point down'


def circles(graph):
    """Yields each circle of includes once, as a readable chain."""
    state = {}

    def walk(path, trail):
        state[path] = "open"
        for target in graph.get(path, ()):
            if state.get(target) == "open":
                chain = trail[trail.index(target):] + [target]
                yield "circle of includes: " + " > ".join(map(str, chain))
            elif target not in state:
                yield from walk(target, trail + [target])
        state[path] = "done"

    for path in sorted(graph):
        if path not in state:
            yield from walk(path, [path])


def main():
    src = pathlib.Path("src")
    graph = {}
    wrong = []
    for path in sorted(p for p in src.rglob("*") if p.suffix in SUFFIXES):
        if layer(path, src) not in ORDER:
            wrong.append(f"{path}: the folder is not in the order {' > '.join(ORDER)}")
            continue
        wrong.extend(check_file(path, src, graph))
    wrong.extend(circles(graph))
    print("\n".join(wrong), end="\n" if wrong else "", file=sys.stderr)
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())
