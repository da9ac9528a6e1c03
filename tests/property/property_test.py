"""Compares the program with the independent calculation on many random definitions.

    python3 property_test.py --count 20000 --seed 1 --chunk 250 --mutations 2000

Every generated definition is valid, so `check` must have nothing to say against it, `stops` must
print exactly what the oracle computes, key by key and stop by stop, and the table made of it must
verify and carry the oracle's schedules and limits. Then valid definitions
with one mistake each: exactly that mistake must be reported (mutate.py). ROTORTAB names the
program. Ends with the line `N passed, N failed`, and with status 1 where anything failed.
"""

import argparse
import gc
import os
import random
import sys
import tempfile
import time
import unittest
from pathlib import Path

import devices
import generate
import judge
import mutate
import oracle
import program
import tables

sys.path.insert(1, str(Path(__file__).resolve().parents[1]))
import share  # noqa: E402

DEVICE_FILE = "prop.device.yaml"
OF_STAGE = ("port", "clock", "other_ports", "blades", "pitch_deg", "order")
COMPARED = OF_STAGE + (
    "counts_per_rotor_turn",
    "whole",
    "num",
    "den",
    "positive",
)
NUMBERS = (int, float)  # and no truth value, which is an int to Python
SHOWN_FAILURES = 25
SHARE_DRAWN = 0.05  # of the definitions: a pass from a drawn blade, which is a call of its own


class Tally:
    """Counts what passed, and keeps and shows the first failures."""

    def __init__(self):
        self.passed = 0
        self.failed = 0

    def passes(self):
        self.passed += 1

    def fails(self, name, why):
        self.failed += 1
        if self.failed <= SHOWN_FAILURES:
            print(f"FAILED {name}: {why}", flush=True)

    def line(self):
        return f"{self.passed} passed, {self.failed} failed"


def file_name(definition):
    return definition["id"] + ".engine.yaml"


def write(folder, name, text):
    Path(folder, name).write_bytes(text.encode("utf-8"))


def _rows(answer):
    """The stops as the oracle writes them; by hand they have no counts."""
    stops = answer["stops"]
    if answer["pad"] is None:
        for stop in stops:
            if set(stop) != {"blade", "rotor_deg", "known_by"}:
                raise ValueError(f"a stop by hand has {sorted(stop)}")
        return [(stop["blade"], stop["rotor_deg"]) for stop in stops]
    wrong = [s for s in (stop["time_s"] for stop in stops) if type(s) not in NUMBERS or s < 0]
    if wrong:
        raise ValueError(f"time_s is {wrong[0]!r}")
    degrees = [stop["rotor_deg"] for stop in stops]
    if degrees != oracle.degrees_of_stops(answer["blades"])[:len(stops)]:
        raise ValueError(f"rotor_deg is {degrees}")
    sign = answer["positive"]
    wrong = [stop for stop in stops if stop["device_count"] != sign * stop["count"]]
    if wrong:
        raise ValueError(f"device_count is {wrong[0]['device_count']!r}")
    return [(stop["blade"], stop["count"], stop["pad_deg"], stop["error_counts"])
            for stop in stops]


def difference(definition, profile, told):
    """The first thing that differs, in words, or None."""
    answers = oracle.turning(definition, profile) + oracle.by_hand(definition)
    want = {(w["pad"] or "", w["stage"]): w for w in answers}
    got = {(g["pad"] or "", g["stage"]): g for g in told}
    if len(got) != len(told) or want.keys() != got.keys():
        return f"pads and stages are {sorted(got)}, must be {sorted(want)}"
    for place, right in want.items():
        for key in COMPARED if right["pad"] else OF_STAGE:
            answer = got[place][key]
            if answer != right[key] or isinstance(answer, bool):
                return f"{place}: {key} is {answer!r}, must be {right[key]!r}"
        try:
            rows = _rows(got[place])
        except ValueError as error:
            return f"{place}: {error}"
        if rows != right["stops"]:
            if len(rows) != len(right["stops"]):
                return f"{place}: {len(rows)} stops, must be {len(right['stops'])}"
            index = next(i for i, row in enumerate(rows) if row != right["stops"][i])
            return f"{place}: stop {index} is {rows[index]}, must be {right['stops'][index]}"
        known = [(s["blade"], s["known_by"]) for s in got[place]["stops"] if s["known_by"]]
        if sorted(known) != oracle.known_blades(definition, place[1]):
            return f"{place}: the known blades are {known}"
    return None


def _pass_wrong(definition, profile, answer, right):
    """What is wrong with one object of --pass, or None; `right` is the oracle's pass."""
    begin, stops, parts = right
    if (answer["from_stage"], answer["from_port"], answer["from_blade"]) != begin:
        return f"the pass begins at {answer['from_stage']} {answer['from_port']}, not {begin}"
    order = [(s["stage"], s["port"], s["blade"], s["rotor_deg"]) for s in answer["stops"]]
    must = [(*place, oracle.lowest(360 * part, parts)) for part, *place in stops]
    if order != must:
        return f"the order differs from {next(m for o, m in zip(order, must) if o != m)} on"
    if answer["pad"] is None:
        return None
    pad = next(p for p in definition["pads"] if p["id"] == answer["pad"])
    per_turn = oracle.counts_per_rotor_turn(profile, pad)
    rows = [(s["count"], s["pad_deg"], s["error_counts"]) for s in answer["stops"]]
    per_pad_turn = oracle.counts_per_pad_turn(profile, pad)
    if rows != oracle.pass_stops(stops, parts, per_turn, per_pad_turn):
        return "counts, pad angles or errors differ"
    sign = oracle.positive(profile, pad)
    if [s["device_count"] for s in answer["stops"]] != [sign * s["count"] for s in answer["stops"]]:
        return "the counts of the device have another sign"
    return None


def pass_difference(definition, profile, spool, told, begin=None):
    """The first thing that differs in the passes of a spool, in words, or None."""
    right = oracle.one_pass(definition, spool, begin)
    pads = [p["id"] for p in definition["pads"] if p["spool"] == spool] or [None]
    if [t["pad"] for t in told] != pads:
        return f"passes of {spool} through {[t['pad'] for t in told]}, must be {pads}"
    for answer in told:
        wrong = _pass_wrong(definition, profile, answer, right)
        if wrong:
            return f"pass of {spool} through {answer['pad']}: {wrong}"
    return None


class Batch:
    """Definitions in a folder that share a device, and what the program says of each."""

    def __init__(self, folder, definitions, profile):
        self.folder = folder
        self.definitions = definitions
        self.profile = profile

    def verdicts(self):
        """(definition, what is wrong with the program's answers in words, or None)."""
        wrong = {}
        questions = (
            (self._findings, self._finding_wrong),
            (self._stops, lambda d, told: difference(d, self.profile, told)),
            (self._passes, self._passes_wrong),
            (self._table, lambda d, told: tables.difference(d, self.profile, told)),
        )
        for ask, judged in questions:
            asked = [d for d in self.definitions if d["id"] not in wrong]
            answers = self._each(asked, ask)
            for definition in asked:
                answer = answers.get(definition["id"], ValueError("no answer"))
                failed = isinstance(answer, ValueError)
                said = str(answer) if failed else judged(definition, answer)
                if said:
                    wrong[definition["id"]] = said
        return [(d, wrong.get(d["id"])) for d in self.definitions]

    def _each(self, definitions, ask):
        """The answer to every definition by id; a call that fails is halved to find the culprit."""
        if not definitions:
            return {}
        try:
            return ask([file_name(d) for d in definitions])
        except ValueError as error:
            if len(definitions) == 1:
                return {definitions[0]["id"]: error}
        half = len(definitions) // 2
        return {**self._each(definitions[:half], ask), **self._each(definitions[half:], ask)}

    def _findings(self, names):
        _, found = program.findings(self.folder, DEVICE_FILE, names)
        reported = {name: [] for name in names}
        for finding in program.harmful(found):
            name = os.path.basename(finding["file"])
            if name not in reported:
                raise ValueError(f"{finding['rule']} in {name}: {finding['message']}")
            reported[name].append(finding)
        return {name.partition(".")[0]: said for name, said in reported.items()}

    def _finding_wrong(self, definition, said):
        """A valid definition has no finding but the warnings it was drawn to have."""
        known = sorted(rule for rule, _ in judge.problems(definition, self.profile))
        if [f["severity"] for f in said].count("error") == 0:
            if sorted(f["rule"] for f in said) == known:
                return None
        words = "; ".join(f"{f['severity']} {f['rule']}: {f['message']}" for f in said)
        return words or f"nothing said of {known}"

    def _stops(self, names):
        answers = {}
        for answer in program.stops(self.folder, "--device", DEVICE_FILE, *names):
            answers.setdefault(answer["engine"], []).append(answer)
        return answers

    def _passes(self, names):
        """The passes of every spool that has a port, from where they begin by themselves."""
        definitions = [d for d in self.definitions if file_name(d) in names]
        answers = {d["id"]: [] for d in definitions}
        for spool in generate.SPOOLS:
            asked = [file_name(d) for d in definitions if oracle.has_pass(d, spool)]
            for answer in asked and program.stops(
                self.folder, "--device", DEVICE_FILE, "--pass", spool, *asked
            ):
                answers[answer["engine"]].append(answer)
        return answers

    def _passes_wrong(self, definition, told):
        """Those, and one more pass of a spool, from a blade at a port that is drawn."""
        for spool in (s["id"] for s in definition["spools"]):
            mine = [t for t in told if t["spool"] == spool]
            if not oracle.has_pass(definition, spool):
                continue
            wrong = pass_difference(definition, self.profile, spool, mine)
            if wrong:
                return wrong
        return self._drawn_pass_wrong(definition)

    def _drawn_pass_wrong(self, definition):
        rng = random.Random(definition["id"])
        stages = [s for s in definition["stages"] if oracle.ports_of(s)]
        if not stages or rng.random() > SHARE_DRAWN:
            return None
        stage = rng.choice(stages)
        port, blade = rng.choice(oracle.ports_of(stage)), rng.randint(1, stage["blades"])
        try:
            told = program.stops(
                self.folder, "--device", DEVICE_FILE, "--pass", stage["spool"], "--from-blade",
                f"{stage['id']}:{blade}:{port['id']}", file_name(definition)
            )
        except ValueError as error:
            return str(error)
        return pass_difference(definition, self.profile, stage["spool"], told, (stage, port, blade))

    def _table(self, names):
        return tables.compiled(self.folder, DEVICE_FILE, names)


def run_properties(count, seed, chunk, tally):
    """Check and compare `count` definitions, in batches that share a device."""
    for number in range(min(devices.DEVICES, count)):
        profile = devices.device(seed, number)
        indices = range(number, count, devices.DEVICES)
        for start in range(0, len(indices), chunk):
            with tempfile.TemporaryDirectory(prefix="property-") as folder:
                write(folder, DEVICE_FILE, generate.profile_text(seed, number, profile))
                definitions = []
                for index in indices[start : start + chunk]:
                    definition = generate.definition(seed, index, profile)
                    text = generate.definition_text(seed, index, definition)
                    write(folder, file_name(definition), text)
                    definitions.append(definition)
                for definition, wrong in Batch(folder, definitions, profile).verdicts():
                    if wrong:
                        again = f"--seed {seed} --index {int(definition['id'][5:])}"
                        tally.fails(f"{definition['id']} (generate.py {again})", wrong)
                    else:
                        tally.passes()


class PropertyTest(unittest.TestCase):
    """A short run for the test suite; the command line runs as many as one likes."""

    def test_stops_agree_with_the_oracle(self):
        tally = Tally()
        run_properties(600, seed=2, chunk=50, tally=tally)
        self.assertEqual((tally.passed, tally.failed), (600, 0))

    def test_one_mistake_gives_one_finding(self):
        tally = Tally()
        mutate.run_mutations(3 * len(mutate.MUTATIONS), 2, tally)
        self.assertEqual((tally.passed, tally.failed), (3 * len(mutate.MUTATIONS), 0))


def main():
    parser = argparse.ArgumentParser(description="hold the program against the oracle")
    count = share.COUNT
    parser.add_argument("--count", type=int, default=count, help="valid definitions")
    parser.add_argument("--mutations", type=int, default=max(count // 10, len(mutate.MUTATIONS)),
                        help="definitions with a mistake")
    parser.add_argument("-v", action="store_true", help="taken, as by unittest; adds nothing")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--chunk", type=int, default=250, help="definitions per program call")
    given = parser.parse_args()
    if not os.access(program.path(), os.X_OK):
        sys.exit(f"no program at {program.path()}: build it, or set ROTORTAB")
    # Batches make many objects and hardly a cycle: to look for cycles as often as usual is waste.
    gc.set_threshold(50000)
    tally = Tally()
    started = time.monotonic()
    run_properties(given.count, given.seed, given.chunk, tally)
    mutate.run_mutations(given.mutations, given.seed, tally)
    if tally.failed > SHOWN_FAILURES:
        print(f"and {tally.failed - SHOWN_FAILURES} more")
    # The form of unittest's own report, each definition a test, for what adds up the test programs.
    print(f"Ran {tally.passed + tally.failed} tests in {time.monotonic() - started:.3f}s\n")
    print(f"FAILED (failures={tally.failed})" if tally.failed else "OK")
    print(tally.line())
    return 1 if tally.failed else 0


if __name__ == "__main__":
    sys.exit(main())
