"""Writes a definition or a profile as source text, in many of the forms people write.

The same dict comes out in block or flow style, quoted or plain, with comments and blank lines,
with either line ending, or as JSON: the meaning must not depend on it.
"""

import json
import re

_PLAIN = re.compile(r"^[A-Za-z0-9][A-Za-z0-9 ./±+-]*$")
COMMENTS = ("checked against the drawing", "as the manual has it", "see sheet 4: note 2", "to do")


class Writer:
    """Lines of source text, styled by a random number generator."""

    def __init__(self, rng):
        self.rng = rng
        self.quoting = rng.random() < 0.2
        self.flow = rng.choice((0.2, 0.8, 1.0))
        self.comments = rng.choice((0, 0, 0.1))
        self.lines = []

    def scalar(self, value):
        text = str(value)
        if not _PLAIN.match(text) or text != text.strip():
            return json.dumps(text, ensure_ascii=False)
        if self.quoting and self.rng.random() < 0.3:
            quote = self.rng.choice("'\"")
            return quote + text + quote
        return text

    def inline(self, value):
        if isinstance(value, dict):
            return "{" + ", ".join(f"{k}: {self.inline(v)}" for k, v in value.items()) + "}"
        if isinstance(value, list):
            return "[" + ", ".join(self.item(part) for part in value) + "]"
        return self.scalar(value)

    def item(self, value):
        # A mapping of one pair may stand in a list without its braces.
        if isinstance(value, dict) and len(value) == 1 and self.rng.random() < 0.5:
            ((key, inner),) = value.items()
            return f"{key}: {self.inline(inner)}"
        return self.inline(value)

    def add(self, line):
        if self.comments and self.rng.random() < self.comments:
            line += "   # " + self.rng.choice(COMMENTS)
        self.lines.append(line)

    def pair(self, key, value, indent, lead=None):
        start = (indent if lead is None else lead) + f"{key}:"
        nested = isinstance(value, (dict, list)) and value
        deep = nested and key in ("spools", "stages", "pads", "observations", "path", "adapter")
        if not nested or self.rng.random() < (self.flow / 4 if deep else self.flow):
            self.add(f"{start} {self.inline(value)}")
        elif isinstance(value, dict):
            self.add(start)
            self.mapping(value, indent + "  ")
        else:
            self.add(start)
            self.sequence(value, indent + "  ")

    def mapping(self, mapping, indent="", lead=None):
        for key, value in mapping.items():
            self.pair(key, value, indent, lead)
            lead = None

    def sequence(self, values, indent):
        for value in values:
            if isinstance(value, dict) and self.rng.random() > self.flow / 4:
                self.mapping(value, indent + "  ", lead=indent + "- ")
            else:
                self.add(f"{indent}- {self.inline(value)}")


def as_json(source, rng):
    return json.dumps(source, indent=rng.choice((None, 2)), ensure_ascii=False) + "\n"


def as_yaml(source, rng):
    writer = Writer(rng)
    for key, value in source.items():
        if writer.lines and rng.random() < 0.2:
            writer.lines.append("")
        writer.pair(key, value, "")
    return "\n".join(writer.lines) + "\n"


def text_of(source, rng):
    text = as_json(source, rng) if rng.random() < 0.05 else as_yaml(source, rng)
    return text.replace("\n", "\r\n") if rng.random() < 0.05 else text
