"""The error budgets on the sheet, in `stops` and in `explain`, compared with budget.py.

All of them show the same numbers, for every engine and device of the demonstration and for random
definitions; and `check` finds each stage that is over a policy's budget.
"""

import functools
import json
import random
import re
import sys
import tempfile
import unittest
import xml.etree.ElementTree as ElementTree
from fractions import Fraction
from pathlib import Path

import yaml

import budget
import devices
import generate
import program
import written

sys.path.insert(1, str(Path(__file__).resolve().parents[1]))
import share  # noqa: E402

DEMO = Path(__file__).resolve().parents[2] / "engines-demo"
EMPTY = "empty.policy.yaml"  # so that the limits are the standard ones
DEVICE = "prop.device.yaml"


class Words(unittest.TestCase):
    """The calculation here, by numbers that were worked out by hand."""

    def test_example_of_the_page(self):
        """Windrow 9 without its path on Bobbin 3."""
        pad = {"id": "crank", "spool": "HP", "turns": {"pad": "2.9997", "rotor": 1},
               "backlash": "1.2 deg"}
        definition = {"pads": [pad], "stages": [{"id": "HPC-1", "spool": "HP", "blades": 31}]}
        device = {"stepping": "scheduled", "shaft": {
            "counts-per-motor-turn": 2000, "reduction": {"motor": 81, "output": 1}}}
        stage = budget.stages(definition, device)["crank", "HPC-1"]
        # 360 x 0.00005/2.99965 a turn; 1.25 deg of the pad; 77/155 counts.
        ratio, backlash = Fraction(1800, 299965), Fraction(125000, 299965)
        rounding = Fraction(77, 155) * 360 * 100000 / (162000 * 299965)
        self.assertEqual(stage.places(), [
            (1, 30, [("backlash", backlash), ("ratio", ratio * 30 / 31), ("rounding", rounding)]),
            (193, 193 * 31, [("ratio", ratio * 193), ("backlash", backlash),
                             ("rounding", rounding)])])
        self.assertEqual(list(stage.words())[0], (
            "in the first turn", "at most 0.4231 deg, 3.65 % of the pitch",
            "backlash 0.4168 deg, ratio 0.0059 deg, rounding 0.0004 deg"))

    def test_rounds_up(self):
        self.assertEqual(budget.decimal(budget.at_most(Fraction(1, 3), 4)), "0.3334")
        self.assertEqual(budget.decimal(budget.at_most(Fraction(1, 2), 4)), "0.5")
        self.assertEqual(budget.decimal(budget.at_most(Fraction(12), 2)), "12")


def plain(text):
    return " ".join(text.split())


def of_stops(text):
    """{(pad, stage): [(when, most, parts)]} of the text of `stops`."""
    found = {}
    for line in text.splitlines():
        head = re.match(r"\S+, stage (\S+) through pad (\S+): ", line)
        error = re.match(r"error budget(?: (in .*?))?: (.*?)(?: \((.*)\))?$", line)
        if head:
            rows = found.setdefault((head[2], head[1]), [])
        elif error:
            rows.append((error[1] or "", error[2], error[3] or ""))
    return found


def of_explain(text):
    """The same of `explain`, where each part has a line."""
    found = {}
    for line in text.splitlines():
        pad = re.match(r"\S+, pad (\S+)$", line)
        stage = re.match(r"  stage (\S+), \d+ blade", line)
        error = re.match(r"      error budget(?: (in .*?))?: (.*)$", line)
        part = re.match(r"        (\S.*? deg: .*|backlash not given)$", line)
        if pad:
            name = pad[1]
        elif stage:
            rows = found.setdefault((name, stage[1]), [])
        elif error:
            rows.append((error[1] or "", error[2], ""))
        elif part:
            when, most, parts = rows.pop()
            said = part[1].split(": ")[0]
            rows.append((when, most, f"{parts}, {said}" if parts else said))
    return found


def of_text_sheet(text, definition):
    """The same of the sheet as text."""
    column = 30  # in which the values of a stage begin
    rows = []
    stage = None
    for line in text.splitlines():
        head = re.match(r"  (\S+), \w+\*?: \d+ blades?\*?$", line)
        if head:
            stage = head[1]
        elif re.match(r"    \S", line) and stage:
            label, value = line[:column].strip(), line[column:]
            if line[column - 2 : column].strip():
                label, value = line.strip(), ""  # too long to have a value beside it
            rows.append((stage, label, [value]))
        elif line.startswith(" " * column) and rows:
            rows[-1][2].append(line)
    found = {}
    for stage, label, lines in rows:
        error = re.match(r"Error(?: (in [^,]*))?(?:, (\S+))?$", label)
        if error:
            pad = error[2] or only_pad(definition, stage)
            most, _, parts = plain(" ".join(lines)).partition("; ")
            found.setdefault((pad, stage), []).append((error[1] or "", most, parts))
    return found


def only_pad(definition, stage):
    pad, = [pad["id"] for pad in definition["pads"]
            if stage in [one["id"] for one in budget.stages_of(definition, pad)]]
    return pad


def of_html_sheet(text):
    """The same of the sheet as HTML: the tables of the steps."""
    found = {}
    root = ElementTree.fromstring(text.removeprefix("<!DOCTYPE html>"))
    for section in root.iter("section"):
        title = "".join(section.find("h2").itertext())
        pad = re.match(r"Steps through pad (\S+)$", title)
        for row in section.iter("tr") if pad else ():
            cells = ["".join(cell.itertext()) for cell in row.iter("td")]
            head = row.find("th[@scope='row']")
            if head is not None:
                rows = found.setdefault((pad[1], head.text), [])
            if cells:
                rows.append(of_cells(cells if head is None else cells[3:], first=head is not None))
    return found


def of_cells(cells, first):
    """A line of the table: turns, then degrees, percent and parts, or a word for all three."""
    when = "in the first turn" if first else f"in {cells[0]} rotor turn"
    when = "" if cells[0] == "any" else when if cells[0] == "1" else f"{when}s"
    if len(cells) == 2:
        return when, cells[1], "backlash not given" if cells[1] == "only the backlash" else ""
    more = ", and the backlash" if "backlash not given" in cells[3] else ""
    most = f"at most {cells[1]} deg, {cells[2]} % of the pitch{more}"
    return when, most, re.sub(r"(\d)(?=,|$)", r"\1 deg", cells[3])


class Batch:
    """Definitions in a folder, each with a file, and the profile of a device."""

    def __init__(self, folder, definitions, profile):
        self.folder = folder
        self.definitions = definitions  # {file name: definition}
        self.profile = profile
        Path(folder, EMPTY).write_text("policy: 1\n", encoding="utf-8")

    def ask(self, command, name, *options):
        done = program.run(self.folder, command, "--policy", EMPTY, "--device", DEVICE, *options,
                           name)
        if done.returncode != 0:
            raise AssertionError(f"{command} {name}: {done.stderr.decode()[:400]}")
        return done.stdout.decode("utf-8")

    def differences(self):
        """What differs, in words, definition by definition and place by place."""
        for name, definition in self.definitions.items():
            stages = budget.stages(definition, self.profile)
            told = {(one["pad"], one["stage"]): one["error_budget"]
                    for one in json.loads(self.ask("stops", name, "--format", "json"))
                    if "error_budget" in one}  # a stage that a hand turns has none
            if told.keys() != stages.keys():
                yield f"{name}: stops has {sorted(told)}, must have {sorted(stages)}"
                continue
            for place, stage in stages.items():
                wrong = budget.difference_in_json(stage, told[place])
                if wrong:
                    yield f"{name} {place}: {wrong}"
            words = {place: list(stage.words()) for place, stage in stages.items()}
            shown = {
                "stops": of_stops(self.ask("stops", name)),
                "explain": of_explain(self.ask("explain", name)),
                "sheet": of_text_sheet(self.ask("sheet", name), definition),
                "html": of_html_sheet(self.ask("sheet", name, "--format", "html")),
            }
            for form, found in shown.items():
                if found.keys() != words.keys():
                    yield f"{name}: {form} has {sorted(found)}, must have {sorted(words)}"
                    continue
                for place, right in words.items():
                    if found[place] != right:
                        yield f"{name} {place}: {form} shows {found[place]}, must show {right}"


class Budgets(unittest.TestCase):
    """Everywhere the same, and that of the independent calculation."""

    def agree(self, batch):
        self.assertEqual(list(batch.differences()), [])

    def test_demonstration(self):
        for device in sorted((DEMO / "devices").glob("*.device.yaml")):
            profile = yaml.load(device.read_text(encoding="utf-8"), yaml.CSafeLoader)
            held = {path for path in (DEMO / "engines").glob("*.engine.*")
                    if (path.stem.split(".")[0], profile["id"]) != ("coulter-70", "skiff-1")}
            with tempfile.TemporaryDirectory(prefix="budget-") as folder:
                Path(folder, DEVICE).write_text(
                    device.read_text(encoding="utf-8").replace(profile["id"], "prop"),
                    encoding="utf-8")
                definitions = {}
                for path in sorted(held):
                    text = path.read_text(encoding="utf-8")
                    Path(folder, path.name).write_text(text, encoding="utf-8")
                    definitions[path.name] = yaml.load(text, yaml.CSafeLoader)
                self.agree(Batch(folder, definitions, profile))

    def test_random_definitions(self):
        kinds = set()
        for batch in random_batches(share.number(1200, least=5 * devices.DEVICES)):
            self.agree(batch)
            for definition in batch.definitions.values():
                for stage in budget.stages(definition, batch.profile).values():
                    kinds.add((stage.observed, stage.fixed, stage.backlash_known,
                               len(stage.places())))
        # An observation that bounds the ratio, a fixed device, no backlash, one place and two.
        for index, wanted in enumerate(((True, False), (True, False), (True, False), (1, 2))):
            self.assertEqual({kind[index] for kind in kinds}, set(wanted))


class Judged(unittest.TestCase):
    """A policy's budget: one finding for each pad with a stage above it, at its worst stage."""

    LIMIT = Fraction(8, 100)

    def test_random_definitions(self):
        over = 0
        for batch in random_batches(share.number(1200, least=5 * devices.DEVICES)):
            Path(batch.folder, EMPTY).write_text("policy: 1\nlimits: {error-budget: 8 %}\n",
                                                 encoding="utf-8")
            done = program.run(batch.folder, "check", "--format", "json", "--device", DEVICE,
                               "--policy", EMPTY, *batch.definitions)
            found = sorted((finding["file"], finding["pad"], finding["stage"])
                           for finding in json.loads(done.stdout)["findings"]
                           if finding["severity"] == "error")
            self.assertEqual(found, sorted(self.expected(batch)))
            over += len(found)
        self.assertGreater(over, 0)

    def expected(self, batch):
        for name, definition in batch.definitions.items():
            stages = budget.stages(definition, batch.profile)
            for pad in definition["pads"]:
                shares = [(stages[pad["id"], stage["id"]].greatest_share(), -index, stage["id"])
                          for index, stage in enumerate(definition["stages"])
                          if stage["spool"] == pad["spool"]]
                worst, _, stage = max(shares)
                if worst > self.LIMIT:
                    yield name, pad["id"], stage


def count_again(rng, definition):
    """Adds an observation that leaves a part of each rounded ratio, often without what is used."""
    for pad in definition["pads"]:
        known = budget.ratio_of_engine(definition, pad)
        width = (known.hi - known.lo) * 1000  # a thousand rotor turns
        if width:
            middle = known.lo * 1000 + width * Fraction(rng.randint(1, 9), 10)
            counted = f"{written.decimal(middle, 9)} +/- {written.decimal(width / 8, 9)} rev"
            definition.setdefault("observations", []).append(
                {"pad": pad["id"], "counted": {"pad": counted, "rotor": "1000 rev"}})


@functools.cache
def drawn(number, count, seed):
    """The profile of a device, its definitions of so many random ones, and all their texts."""
    profile = devices.device(seed, number)
    definitions, texts = {}, {DEVICE: generate.profile_text(seed, number, profile)}
    for index in range(number, count, devices.DEVICES):
        definition = generate.definition(seed, index, profile)
        if index % 2:
            count_again(random.Random(index), definition)
        name = definition["id"] + ".engine.yaml"
        definitions[name] = definition
        texts[name] = generate.definition_text(seed, index, definition)
    return profile, definitions, texts


def random_batches(count, seed=3):
    """Batches of so many random definitions, one for each device."""
    for number in range(devices.DEVICES):
        profile, definitions, texts = drawn(number, count, seed)
        with tempfile.TemporaryDirectory(prefix="budget-") as folder:
            for name, text in texts.items():
                Path(folder, name).write_bytes(text.encode("utf-8"))
            yield Batch(folder, definitions, profile)


if __name__ == "__main__":
    unittest.main()
