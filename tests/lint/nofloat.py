"""Checks that no floating point is used in src/: it decides nothing here, exact numbers do.

Looks for the types, the constants and the functions that bring it in, outside comments and strings.
A file that only prints may be allowed below, with its reason.
"""

import pathlib
import re
import sys

SUFFIXES = {".c", ".h", ".def"}

# File (from src/) and why a float may be printed there.
ALLOWED = {}

SKIP = re.compile(r'//[^\n]*|/\*.*?\*/|"(?:\\.|[^"\\\n])*"|\'(?:\\.|[^\'\\\n])*\'', re.S)
FLOAT = re.compile(
    r"\b(?:float|double|_Complex|strtod|strtof|strtold|atof)\b"
    r"|\b(?:json_real|json_real_value|json_number_value)\b"
    r"|<(?:math|tgmath|complex|fenv|float)\.h>"
    r"|(?<![\w.])(?:\d+\.\d*|\.\d+)(?:[eE][+-]?\d+)?[fFlL]?(?!\w)"
    r"|(?<![\w.])\d+[eE][+-]?\d+")


def blank(match):
    """White space of the same shape, so that line numbers stay right."""
    return re.sub(r"[^\n]", " ", match[0])


def main():
    src = pathlib.Path("src")
    wrong = 0
    for path in sorted(p for p in src.rglob("*") if p.suffix in SUFFIXES):
        if str(path.relative_to(src)) in ALLOWED:
            continue
        text = SKIP.sub(blank, path.read_text(encoding="utf-8"))
        for match in FLOAT.finditer(text):
            line = text.count("\n", 0, match.start()) + 1
            print(f"{path}:{line}: floating point: {match[0]}", file=sys.stderr)
            wrong = 1
    return wrong


if __name__ == "__main__":
    sys.exit(main())
