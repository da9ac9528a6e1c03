"""Checks every source file: line length, white space, and a size that a person can read."""

import pathlib
import sys

COLUMNS = 100
LINES = 800
SUFFIXES = {".c", ".h", ".def", ".py", ".sh"}


def check(path):
    """Yields what is wrong with one file."""
    text = path.read_bytes().decode("utf-8")
    lines = text.split("\n")
    for number, line in enumerate(lines, 1):
        where = f"{path}:{number}"
        if len(line) > COLUMNS:
            yield f"{where}: {len(line)} columns, at most {COLUMNS}"
        if "\t" in line:
            yield f"{where}: a tab"
        if line != line.rstrip():
            yield f"{where}: white space at the end"
    if lines[-1] != "" or lines[-2:-1] == [""]:
        yield f"{path}: must end with one newline"
    if len(lines) > LINES:
        yield f"{path}: {len(lines)} lines, at most {LINES}"


def main():
    wrong = []
    for folder in ("src", "tests", "engines-demo"):
        for path in sorted(pathlib.Path(folder).rglob("*")):
            if path.suffix in SUFFIXES:
                wrong.extend(check(path))
    print("\n".join(wrong), end="\n" if wrong else "", file=sys.stderr)
    return 1 if wrong else 0


if __name__ == "__main__":
    sys.exit(main())
