"""The JSON Schemas against the loader: a file that one refuses, the other refuses as well.

The schemas come out of the same field tables as the loader, but a schema can only describe the
form of a value. So an outside test compares them: every file of the demonstration must pass,
and of thousands of changed files the schema must refuse exactly those in which the program reports
a mistake of form. Where they cannot agree, EXCEPTIONS says why.
"""

import functools
import json
import os
import pathlib
import random
import re
import subprocess
import sys
import tempfile
import unittest

import jsonschema

import mistakes
import reading

sys.path.insert(1, str(pathlib.Path(__file__).resolve().parents[1]))
import share  # noqa: E402

HERE = pathlib.Path(__file__).resolve().parent
ROOT = HERE.parent.parent
PROGRAM = pathlib.Path(os.environ.get("ROTORTAB", ROOT / "build" / "rotortab")).resolve()
CHANGES = share.number(3000)  # changed files that are drawn
KINDS = {"engine": "engine-definition", "cross-check": "cross-check", "device": "device-profile",
         "policy": "policy", "sources": "source-register"}
FILES_AT_ONCE = 500

# The changes that the exceptions below need: .ci/run makes all. Of all others some are drawn.
ALWAYS = {"engine": ("waive/0/until:", "pads/1/backlash:", "pads/0/turns/pad:"),
          "cross-check": ("pads/0/turns/pad:",),
          "device": ("speed/min:",),
          "policy": ("policy:", "limits/closure:", "rules/sense-disagrees:"),
          "sources": ("source-register:", "documents/0/date:")}

# Mistakes of the text that come before any schema, and those that only the program can see.
NOT_OF_FORM = {"duplicate-key", "yaml-syntax", "alias-refused", "tag-refused", "too-deep",
               "too-large", "not-utf8", "many-documents", "hidden-character"}


def _ends_at_zero(change, rules):
    return rules == {"out-of-range"} and re.search(r"\+/-|±|\.", str(change.value))


def _no_day(change, rules):
    return rules == {"wrong-shape"} and re.fullmatch(r"\d{4}-\d{2}-\d{2}", str(change.value))


def _above_the_whole(change, rules):
    return rules == {"out-of-range"} and str(change.value).endswith("%")


def _out_of_order(change, rules):
    return rules == {"out-of-range"} and re.search(r"\b(min|max|resolution)\b", change.done)


def _product(_change, rules):
    return "number-too-large" in rules and rules <= {"number-too-large", "out-of-range"}


# Where the program refuses what the schema takes: (why it must be so, whether that is the case).
EXCEPTIONS = (
    ("a tolerance that reaches down to zero: a pattern does not subtract", _ends_at_zero),
    ("a day that its month does not have: a pattern knows no calendar", _no_day),
    ("a share above 100 %: a pattern compares no fractions", _above_the_whole),
    ("a minimum above its maximum: a pattern compares no values", _out_of_order),
    ("a product of numbers that can each be kept: a pattern does not multiply", _product),
)


def run(*arguments, folder=None):
    """Runs the program; the policy of nobody who happens to live above the folder counts."""
    return subprocess.run([PROGRAM, *arguments], cwd=folder, capture_output=True, check=False,
                          env={**os.environ, "NO_COLOR": "1", "SOURCE_DATE_EPOCH": "1782043200"})


def schema_text(kind):
    """The schema of a kind of file, as printed."""
    return run("schema", KINDS[kind]).stdout.decode()


@functools.lru_cache(maxsize=None)
def validators():
    """A validator a kind of file."""
    return {kind: reading.validator(json.loads(schema_text(kind))) for kind in KINDS}


def mistakes_of_form(folder, names):
    """The rules of form that `check` found broken, a set a file."""
    found = {name: set() for name in names}
    for start in range(0, len(names), FILES_AT_ONCE):
        part = names[start:start + FILES_AT_ONCE]
        done = run("check", "--format", "json", *part, folder=folder)
        if done.returncode not in (0, 1):
            raise AssertionError(f"status {done.returncode}: {done.stderr.decode()[:500]}")
        for finding in json.loads(done.stdout)["findings"]:
            of_form = finding["family"] == "text" and finding["rule"] not in NOT_OF_FORM
            if of_form or finding["rule"] == "id-malformed":
                found[finding["file"]].add(finding["rule"])
    return found


def kind_of(path):
    """engine, device or policy, by the file's name."""
    return path.name.split(".")[-2]


def demo_files():
    """The good files of the demonstration."""
    demo = ROOT / "engines-demo"
    broken = [demo / "broken" / name for name in ("neighbour.engine.yaml", "plain.device.yaml")]
    files = [*demo.glob("engines/*"), *demo.glob("devices/*"), *demo.glob("*.yaml"), *broken]
    return sorted(path for path in files if path.suffix in (".yaml", ".json"))


class Committed(unittest.TestCase):
    """The schemas in the tree."""

    def test_are_those_that_the_program_prints(self):
        for path in sorted(ROOT.glob("schemas/*.schema.json")):
            name = path.name.split(".")[0]
            self.assertIn(name, KINDS.values(), path)
            self.assertEqual(path.read_text(), run("schema", name).stdout.decode(), path)

    def test_each_is_a_schema(self):
        """A strict reader says the same of all (strict_test.py), where there is one."""
        for kind in share.sample(KINDS):
            jsonschema.Draft202012Validator.check_schema(json.loads(schema_text(kind)))

    def test_of_another_kind_there_is_none_and_all_kinds_are_named(self):
        done = run("schema", "polcy")
        self.assertEqual((done.returncode, done.stdout), (2, b""))
        self.assertIn(f"Did you mean policy?  ({', '.join(KINDS.values())})",
                      done.stderr.decode())


class Good(unittest.TestCase):
    """Files that are right."""

    def test_demonstration_passes_by_every_reader(self):
        judges = validators()
        files = demo_files()
        self.assertGreater(len(files), 12)
        pairs = [(path, reader) for path in files for reader in reading.READERS]
        for path, reader in share.sample(pairs, lambda pair: (kind_of(pair[0]), pair[1])):
            value = reading.read(path.read_text(), reader)
            with self.subTest(file=path.name, reader=reader):
                self.assertEqual(reading.complaints(judges[kind_of(path)], value), [])

    def test_start_of_the_mistakes_is_right_and_has_every_key(self):
        judges = validators()
        for path in sorted(HERE.glob("every-key.*.yaml")):
            self.assertEqual(mistakes_of_form(HERE, [path.name]), {path.name: set()})
            value = reading.read(path.read_text(), "strings")
            judge = judges[kind_of(path)]
            self.assertEqual(reading.complaints(judge, value), [])
            self.assertEqual(unused(judge.schema, value), [])


def draw():
    """The changed files to try."""
    always, others = [], []
    for kind in KINDS:
        text = (HERE / f"every-key.{kind}.yaml").read_text()
        for change in mistakes.changes(kind, reading.read(text, "strings")):
            (always if change.done.startswith(ALWAYS[kind]) else others).append(change)
    always = share.sample(always, lambda change: (change.kind, change.done.split(":")[0]), 5)
    return always + random.Random(1).sample(others, CHANGES)


def unused(schema, value, where=""):
    """Keys of a schema that no map of the value has (rule ids and mere names aside)."""
    missing = []
    if where == "/rules" or schema is True:
        return missing
    for part in schema.get("anyOf", []):
        missing += unused(part, value, where)
    if "items" in schema:
        lists = [item for item in spread(value) if not isinstance(item, str)]
        missing += unused(schema["items"], lists, where)
    for key, inner in schema.get("properties", {}).items():
        having = [item[key] for item in spread(value) if isinstance(item, dict) and key in item]
        missing += unused(inner, having, f"{where}/{key}") if having else [f"{where}/{key}"]
    return missing


def spread(value):
    """The maps and values in lists of lists."""
    if isinstance(value, list):
        for item in value:
            yield from spread(item)
    else:
        yield value


class Broken(unittest.TestCase):
    """Files with a mistake in them."""

    maxDiff = None

    def test_broken_demonstration_is_refused_alike(self):
        judges = validators()
        folder = ROOT / "engines-demo" / "broken"
        names = sorted(path.name for path in folder.glob("*.yaml"))
        found = mistakes_of_form(folder, names)
        unreadable = {"alias-refused", "tag-refused", "yaml-syntax", "too-deep", "not-utf8",
                      "many-documents", "hidden-character"}
        readable = [name for name in names if name.split(".")[0] not in unreadable]
        for name in share.sample(readable, lambda name: (kind_of(folder / name),
                                                         *sorted(found[name]))):
            value = reading.read((folder / name).read_text(), "strings")
            complaints = reading.complaints(judges[kind_of(folder / name)], value)
            if not complaints and _product(None, found[name]):
                continue
            with self.subTest(file=name):
                self.assertEqual(bool(complaints), bool(found[name]), (complaints, found[name]))

    def test_program_and_schema_refuse_the_same_changes(self):
        judges = validators()
        drawn = draw()
        self.assertGreater(len(drawn), CHANGES)
        with tempfile.TemporaryDirectory() as folder:
            (pathlib.Path(folder) / "rotortab.policy.yaml").write_text("policy: 1\n")
            names = []
            for number, change in enumerate(drawn):
                change.text = change.text()
                names.append(f"{number}.{change.kind}.yaml")
                (pathlib.Path(folder) / names[-1]).write_text(change.text)
            found = mistakes_of_form(folder, names)
        differing, refused, excused = [], set(), set()
        for name, change in zip(names, drawn):
            rules = found[name]
            refused |= rules
            for difference in self.differences(judges[change.kind], change, rules, excused):
                differing.append(f"{change.kind} {change.done}: {difference}")
        self.assertEqual(differing[:40], [], f"{len(differing)} of {len(drawn)} differ")
        if share.COUNT < share.WHOLE:
            return  # not each exception and rule has a change among those that are tried
        self.assertEqual(excused, {why for why, _ in EXCEPTIONS}, "an exception is not needed")
        self.assertLessEqual(
            {"unknown-key", "missing-key", "wrong-shape", "bad-number", "missing-unit",
             "wrong-unit", "number-too-large", "out-of-range", "unknown-kind", "unknown-version",
             "id-malformed"}, refused)

    def differences(self, judge, change, rules, excused):
        """How the program and the schema differ on a changed file."""
        passed = judge.is_valid(reading.read(change.text, "strings"))
        reason = next((why for why, holds in EXCEPTIONS if rules and holds(change, rules)), None)
        if passed and rules and reason:
            excused.add(reason)
        elif passed and rules:
            yield f"only the program refuses it: {', '.join(sorted(rules))}"
        elif not passed and not rules:
            yield "only the schema refuses it"
        value = reading.read(change.text, "core")
        if not rules and not judge.is_valid(value):
            yield f"the schema refuses it read as numbers: {reading.complaints(judge, value)}"
        if rules and not reason and not lost(change) and judge.is_valid(value):
            yield f"the schema takes it read as numbers: {', '.join(sorted(rules))}"


def lost(change):
    """Whether a reader that knows numbers forgets how this value was written.

    007, 0x1f, 1e3 and TRUE become 7, 31, 1000.0 and true; and 5.0 is a whole number to a schema.
    """
    if not isinstance(change.value, str):
        return False
    typed = reading.read(f"[{mistakes.write(change.value).strip()}]", "core")[0]
    whole = isinstance(typed, float) and typed.is_integer()
    return not isinstance(typed, str) and (json.dumps(typed) != change.value or whole)


if __name__ == "__main__":
    unittest.main()
