"""Makes many files out of one: each has one thing changed that may be a mistake.

A source is kept as maps, lists and strings; BLANK stands for a value that is left out. Changes are
made everywhere they can be made, without a thought of whether the result is wrong: that is what the
program and the schema are asked.
"""

import functools
import json
import re

BLANK = None

# Forms of numbers: right ones, odd ones, and those that other notations have.
NUMBERS = """
    0 1 2 3 5 7 007 00 0.0 -0 -0.0 0.5 -1 -3 -2.5 +5 .5 5. 1e3 1E3 0x1f 0o17 1_000 1,000 12:30 1.50
    3/0 3/8 0/5 03/8 3/08 -3/8 3/-8 3/8/2 3//8 1.5/2 ½ 999 9999 10000 99999999 100000000 999999999
    999999 1000000 123456789012345678 1234567890123456789 12345678901234567890
    9223372036854775807 9223372036854775808 0.12345678901234567 0.123456789012345678
    0.1234567890123456789 1234567890.12345678 12345678901.12345678 1/123456789012345678
    1/1234567890123456789 123456789012345678/7 1234567890123456789/7 inf nan NaN .inf infinity
    five - 2-3 5- 5..5 5.5.5
""".split() + ["1 000", "5 5", "- 5", "2.25 ", " 2.25", "2.25\t"]

UNITS = """deg arcmin rev N.m lbf.ft lbf.in kgf.m rpm deg/min deg/s mm in % Nm degrees RPM Deg ft-lb
    °""".split()

TOLERANCES = ["+/- 0.1", "± 0.1", "+/-0.1", "+/- 1/10", "+/- 0", "+/- -0.1", "+/-", "+/- 0.1 0.2",
              "+/- 1e-3", "+- 0.1", "±", "+/- 12345678901234567890", "+/- 007", "+/-\t0.1",
              "+/- .1", "+/- 999", "+/- 0.10 +/- 0.1"]

WORDS = ["cw", "CW", "true", "false", "True", "yes", "no", "off", "on", "null", "~", "direct",
         "aft", "hand", "both", "clockwise", "error", "fatal", "x", "-", "HP-", "H P", "hp_1",
         "HP--1", "é", "backlash-large", "backlash_large", "torque-missing", "a" * 60, "a" * 61,
         "n" * 200,
         "n" * 201, "one\ntwo", "one\rtwo", "one\n", "é" * 200, "é" * 201, "12", "1.5", "!", "#",
         "&a", "*a"]

CLOCKS = ["4:30", "04:30", "0:30", "12:59", "12:60", "13:00", "4:3", "4:030", "4.30", "430",
          "4:30 ", "24:00", "-4:30"]

DATES = ["2027-06-30", "2027-6-30", "2027-13-01", "2027-00-10", "2027-06-31", "2027-02-30",
         "2028-02-29", "2100-02-29", "0000-01-01", "0001-01-01", "27-06-30", "2027/06/30",
         "30.06.2027", "2027-06-30T00:00:00", "20270630", "2027-06-00", "2027-06-32"]

SQUARES = ["3/8 in", "10 mm", "3/8", "0.375 in", "3/8in", "3/8  in", "12.5 mm", "1 in", "25 mm"]

LISTS = [[], ["1"], ["20", "30"], ["20", "30", "40"], ["0", "30"], ["20", "-30"], ["20", "30.5"],
         ["20", "10000"], ["20", "9999"], ["20", BLANK], ["20", ["30"]], ["20"] * 8, ["20"] * 99,
         ["20"] * 100, ["aft"], ["aft", "up"], ["aft", "sideways"], ["aft", "up", "down"],
         ["direct"] * 24, ["direct"] * 25, [{"external": ["20", "30"]}],
         [{"external": ["20", "30"], "internal": ["20", "30"]}], [{"worm": ["1", "40"]}], [{}],
         [{"direct": "yes"}], ["external"], [{"bevel": {"teeth": ["20", "30"]}}],
         [{"bevel": {"backs": ["aft", "up"]}}], [{"bevel": ["20", "30", "40"]}],
         [{"internal": ["20", "60", "20"]}], [{"bevel": "20"}], [{"epicyclic": ["20", "60"]}],
         ["name"], ["name"] * 99, ["name"] * 100, ["one\ntwo"], [""], ["5"], ["true"]]

MAPS = [{}, {"sense": "cw"}, {"min": "1", "max": "2"}, {"min": "1"}, {"min": "2", "max": "1"},
        {"backlash-large": "off"}, {"backlash-large": "fatal"}, {"torque-missing": "warning"},
        {"torque-missing": "error"}, {"no-such-rule": "error"}, {"backlash-large": "false"},
        {"backlash-large": BLANK}, {"id": "P1", "clock": "4:30"}, {"pad": "2", "rotor": "1"},
        {"motor": "5", "output": "2/3"}]


class Change:
    """One changed file: what was done, the value put in (None where none was), and its text."""

    def __init__(self, kind, done, value, text):
        self.kind, self.done, self.value, self.text = kind, done, value, text


def places(value, path=()):
    """Every place of a source, as a path of keys and indices."""
    yield path
    items = value.items() if isinstance(value, dict) else enumerate(value)
    if isinstance(value, (dict, list)):
        for key, inner in items:
            yield from places(inner, path + (key,))


def at(value, path):
    """The value at a place."""
    for key in path:
        value = value[key]
    return value


def _scalars(old):
    """What a value may be replaced by; more where it is a number with a unit."""
    yield from ("", BLANK)
    yield from WORDS + CLOCKS + DATES + SQUARES + NUMBERS
    match = re.match(r"([0-9./]+)((?: *(?:\+/-|±) *[0-9./]+)?)( ?[A-Za-z%].*)?$", old)
    if not match:
        return
    number, tolerance, unit = match[1], match[2], match[3] or ""
    for other in NUMBERS:
        yield other + tolerance + unit
        if unit:
            yield other + unit
    for other in UNITS:
        yield f"{number} {other}"
        yield f"{number}{other}"
    for other in TOLERANCES:
        yield f"{number} {other}{unit}"
    yield number
    yield unit.strip()
    yield f"{unit.strip()} {number}"
    yield f"{number}\t{unit.strip()}"
    yield f"{number}   {unit.strip()}"
    yield f"{old} "


def _misspelt(key):
    yield key + "s"
    yield key.replace("-", "_") if "-" in key else key.upper()
    yield key[1:]


def _replaced(source, path, new):
    """The source with another value at a place; what does not lie on the way there is shared."""
    if not path:
        return new
    changed = source.copy()
    changed[path[0]] = _replaced(source[path[0]], path[1:], new)
    return changed


def _without(source, path):
    holder = at(source, path[:-1]).copy()
    del holder[path[-1]]
    return _replaced(source, path[:-1], holder)


def _renamed(source, path, name):
    holder = at(source, path[:-1])
    entries = {name if key == path[-1] else key: inner for key, inner in holder.items()}
    return _replaced(source, path[:-1], entries)


@functools.cache
def _replacements():
    """The lists and maps put anywhere: (what, put in)."""
    return [(f"replaced by {new!r:.60}", new) for new in LISTS + MAPS]


def _structure(source, path, old):
    """Changes of shape at one place: (what, put in, how the result is made)."""
    def put(what, make, new=None):
        return what, new, lambda: _replaced(source, path, make())

    if path:
        yield "deleted", None, lambda: _without(source, path)
    if path and isinstance(path[-1], str):
        for name in _misspelt(path[-1]):
            yield f"renamed {name}", None, lambda name=name: _renamed(source, path, name)
    for what, new in _replacements():
        yield put(what, lambda new=new: new, new)
    yield put("put into a list", lambda: [old])
    yield put("put into a map", lambda: {"value": old})
    if isinstance(old, dict):
        yield put("a key more", lambda: {**old, "colour": "red"})
    if isinstance(old, list):
        yield put("doubled", lambda: old + old)
        yield put("a hundred", lambda: (old * 100)[:100])
        yield put("a thousand", lambda: (old * 1000)[:1000])
        yield put("a blank more", lambda: old + [BLANK])
        yield put("a word more", lambda: old + ["word"])


@functools.cache
def _shown(value):
    return f"{value!r:.60}"


def changes(kind, source):
    """Every change of a source, in an order that is always the same. Few of them are made."""
    for path in places(source):
        old = at(source, path)
        where = "/".join(map(str, path)) or "the whole"
        for done, new, result in _structure(source, path, old):
            yield Change(kind, f"{where}: {done}", new, lambda result=result: write(result()))
        lead = f"{where}: {old!r:.40} replaced by "
        for new in dict.fromkeys(_scalars(old if isinstance(old, str) else "")):
            yield Change(kind, lead + _shown(new), new,
                         lambda path=path, new=new: write(_replaced(source, path, new)))


_PLAIN = re.compile(r"(?:[A-Za-z0-9½é+]|[-.~](?=[^ ])|-?[0-9])[A-Za-z0-9 ./%±°+_,:~½é-]*")


def _scalar(text):
    """A value as it stands in a file: plain wherever that can be."""
    plain = _PLAIN.fullmatch(text) and ": " not in text and text == text.strip()
    return text if plain and not text.endswith(":") else json.dumps(text, ensure_ascii=False)


def _lines(value, indent):
    pad = " " * indent
    if isinstance(value, dict) and value:
        for key, inner in value.items():
            yield from _entry(f"{pad}{_scalar(key)}:", inner, indent)
    elif isinstance(value, list) and value:
        for inner in value:
            yield from _entry(f"{pad}-", inner, indent)
    else:
        yield pad + _inline(value)


def _inline(value):
    if value is BLANK:
        return ""
    return _scalar(value) if isinstance(value, str) else "[]" if isinstance(value, list) else "{}"


def _entry(lead, value, indent):
    if isinstance(value, (dict, list)) and value:
        yield lead
        yield from _lines(value, indent + 2)
    else:
        yield f"{lead} {_inline(value)}".rstrip(" ")


def write(source):
    """A source as YAML in block style."""
    return "\n".join(_lines(source, 0)) + "\n"
