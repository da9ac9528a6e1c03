"""Readers of YAML, and a validator that reads patterns as JSON Schema means them.

The source files give a value its type by its key; a reader of YAML guesses. What an
editor shows its schema validator depends on that guess, so the schema has to hold for all of them:

    strings   every value stays the text it is
    core      whole numbers, decimals, true and false, as the core schema of YAML 1.2 has them
    safe      what PyYAML makes of it, which follows YAML 1.1: yes, no, on, off, dates, 0o17
"""

import re

import jsonschema
import yaml

BASE = getattr(yaml, "CBaseLoader", yaml.BaseLoader)


class StringReader(BASE):
    """Every value is a string."""


class CoreReader(BASE):
    """Numbers and truth values of YAML 1.2, section 10.3.2; nothing else is guessed."""

    yaml_implicit_resolvers = {}


class SafeReader(getattr(yaml, "CSafeLoader", yaml.SafeLoader)):
    """YAML 1.1 as PyYAML reads it, without its dates (JSON has none)."""

    yaml_implicit_resolvers = {
        first: [(tag, regexp) for tag, regexp in resolvers if not tag.endswith(":timestamp")]
        for first, resolvers in yaml.SafeLoader.yaml_implicit_resolvers.items()
    }


def _core_int(text):
    base = {"0x": 16, "0o": 8}.get(text[:2], 10)
    return int(text[2:] if base != 10 else text, base)


_CORE = (
    ("bool", "true|True|TRUE|false|False|FALSE", "tTfF", lambda text: text[0] in "tT"),
    ("int", "[-+]?[0-9]+|0o[0-7]+|0x[0-9a-fA-F]+", "-+0123456789", _core_int),
    ("float", r"[-+]?(?:\.[0-9]+|[0-9]+(?:\.[0-9]*)?)(?:[eE][-+]?[0-9]+)?", "-+.0123456789", float),
)


def _add_core():
    for name, pattern, first, convert in _CORE:
        tag = f"tag:yaml.org,2002:{name}"
        CoreReader.add_implicit_resolver(tag, re.compile(f"^(?:{pattern})$"), list(first))
        CoreReader.add_constructor(
            tag, lambda reader, node, convert=convert: convert(reader.construct_scalar(node)))


_add_core()

READERS = {"strings": StringReader, "core": CoreReader, "safe": SafeReader}


def read(text, reader):
    """The value that a reader of READERS makes of the text."""
    return yaml.load(text, READERS[reader])


def _pattern(_validator, pattern, instance, _schema):
    # In ECMA-262 `$` is the end of the text; in Python it also stands before a last line end.
    if isinstance(instance, str) and not re.search(re.sub(r"\$$", r"\\Z", pattern), instance):
        yield jsonschema.ValidationError(f"{instance!r} does not match {pattern!r}")


def _remembering(keyword):
    """The same keyword, which does not look again at what it had nothing against."""
    judged = jsonschema.Draft202012Validator.VALIDATORS[keyword]
    fine = {}

    def judge(validator, value, instance, schema):
        # The schema is kept, so that no other one has its identity later.
        seen = fine.setdefault(id(schema), (schema, set()))[1]
        text = repr(instance)
        if text in seen:
            return
        clean = True
        for error in judged(validator, value, instance, schema):
            clean = False
            yield error
        if clean:
            seen.add(text)

    return judge


# Thousands of changed files are alike in all but one place.
_Validator = jsonschema.validators.extend(
    jsonschema.Draft202012Validator,
    {"pattern": _pattern, **{name: _remembering(name) for name in ("items", "properties")}})


def validator(schema):
    """A validator of a schema."""
    return _Validator(schema)


def complaints(judge, value):
    """What the schema has against a value, for people."""
    return [f"{'/'.join(map(str, error.absolute_path))}: {error.message[:200]}"
            for error in judge.iter_errors(value)]
