"""The synopsis of rotor-field(3): each function of the reader's headers, as the header declares it.

    synopsis.py

A heading of a header, such as `/* ---- moving ---- *`, becomes a subsection. `make install` gives
each function of the synopsis a page of its own name, so no function is without one.
"""

import pathlib
import re

FIELD = pathlib.Path(__file__).resolve().parents[1] / "src" / "field"
HEADERS = ("rotor_field.h", "rotor_import.h")
ROW = 98  # characters of a line of the page

HEADING = r"^/\* ---- (?P<heading>[a-z ]+) -+ \*"
FUNCTION = r"^(?P<type>[a-z][\w ]*[ *])(?P<name>rotor_\w+)\((?P<arguments>[^()]*)\);"
PART = re.compile(f"{HEADING}|{FUNCTION}", re.M)


def function(type_, name, arguments):
    """The lines of one function: its type, and its name with the arguments."""
    arguments = [" ".join(argument.split()) for argument in arguments.split(",")]
    short = f".Fn {name} " + " ".join(f'"{argument}"' for argument in arguments)
    if len(short) > ROW:
        short = "\n".join([f".Fo {name}", *(f'.Fa "{argument}"' for argument in arguments), ".Fc"])
    return f".Ft {type_.strip()}\n{short}\n"


def page(_program=None):
    """What belongs between the lines of the page."""
    lines = []
    for header in HEADERS:
        for part in PART.finditer((FIELD / header).read_text(encoding="utf-8")):
            if part["heading"]:
                heading = part["heading"]
            else:
                above = f".Ss {heading.capitalize()}\n" if heading else ".Pp\n"
                lines.append(above + function(part["type"], part["name"], part["arguments"]))
                heading = None
    return "".join(lines)


if __name__ == "__main__":
    print(page(), end="")
