"""Takes a valid definition and makes exactly one mistake in it.

Each mistake is one that people make, and has one rule that must report it, alone: what merely
follows from a mistake stays silent. The judge confirms of every numeric mistake that it is one
and that it breaks nothing else; mistakes of form it does not know, and there it must find nothing.
"""

import functools
import os
import random
import tempfile
from pathlib import Path

import devices
import generate
import judge
import mistake
import mistakes_of_form
import mistakes_of_number
import mistakes_on_device
import program
from source_text import as_yaml

# Each registers its mistakes when it is loaded.
KINDS = (mistakes_of_number, mistakes_on_device, mistakes_of_form)
MUTATIONS = mistake.ALL
ATTEMPTS = 4000
TURNS_EACH = 4  # so many cases in a row begin their search at the same definition
DEVICE_FILE = "prop.device.yaml"


@functools.lru_cache(maxsize=None)
def _valid(seed, number):
    """A definition and its profile, or None where the judge has something against it.

    A case copies them: all mistakes are made in the same definitions.
    """
    profile = devices.device(seed, devices.device_number(number))
    definition = generate.definition(seed, number, profile)
    return None if judge.problems(definition, profile) else (definition, profile)


def _spoiled(function, rule, judged, rng, seed, number):
    """A case with the mistake in it, or None where this definition has no place for it."""
    valid = _valid(seed, number)
    if valid is None:
        return None
    definition, profile = valid
    case = mistake.Case(rng, definition, profile)
    try:
        function(case)
    except mistake.NotHere:
        return None
    if judged:
        broken = judge.problems(case.definition, case.profile)
        if [found for found, _ in broken] != [rule]:
            return None
    return case


def make(function, rule, judged, seed, turn):
    """The `turn`th case of a mistake: the first of a series of definitions it has a place in."""
    rng = random.Random(f"{seed}/{function.__name__}/{turn}")
    first = turn // TURNS_EACH
    for number in range(first, first + ATTEMPTS):
        case = _spoiled(function, rule, judged, rng, f"{seed}/mutation", number)
        if case is not None:
            return case
    raise RuntimeError(f"no definition has a place for {function.__name__}")


def write(folder, case):
    """Write the case's files and return the definitions' names."""
    text = as_yaml(case.definition, case.rng)
    if case.edit_text:
        text = case.edit_text(text)
    data = text if isinstance(text, bytes) else text.encode("utf-8")
    files = {case.file_name: data, DEVICE_FILE: as_yaml(case.profile, case.rng).encode("utf-8")}
    files.update((name, other.encode("utf-8")) for name, other in case.others.items())
    for name, content in files.items():
        Path(folder, name).write_bytes(content)
    return [name for name in files if name != DEVICE_FILE]


def verdict(folder, names, rule, severity):
    """What is wrong with the program's answer, in words, or None."""
    try:
        status, found = program.findings(folder, DEVICE_FILE, names)
    except ValueError as error:
        return str(error)
    if severity == "note":
        found = [f for f in found if f["rule"] == rule] + program.harmful(found)
    else:
        found = program.harmful(found)
    told = [(f["rule"], f["severity"]) for f in found]
    if told != [(rule, severity)]:
        words = "; ".join(f"{f['severity']} {f['rule']}: {f['message']}" for f in found)
        return f"must be one {severity} {rule}, is: {words or 'nothing'}"
    if os.path.basename(found[0]["file"]) not in names:
        return f"reported in {found[0]['file']}"
    want = 1 if severity == "error" else 0
    return None if status == want else f"exit status {status}, must be {want}"


def run_mutations(count, seed, tally):
    """Try `count` mistakes, each kind as often as the next."""
    for turn in range(count):
        function, rule, severity, judged = MUTATIONS[turn % len(MUTATIONS)]
        case = make(function, rule, judged, seed, turn)
        with tempfile.TemporaryDirectory(prefix="mutation-") as folder:
            wrong = verdict(folder, write(folder, case), rule, severity)
        if wrong:
            tally.fails(f"{function.__name__} #{turn} ({case.file_name})", wrong)
        else:
            tally.passes()
