"""Tests the generator, the mistakes and the comparison, without the program."""

import copy
import json
import random
import sys
import unittest
from collections import Counter
from fractions import Fraction
from pathlib import Path

import yaml

import devices
import generate
import geometry
import judge
import mutate
import oracle
import property_test
from source_text import as_json, as_yaml

sys.path.insert(1, str(Path(__file__).resolve().parents[1]))
import share  # noqa: E402

SEED = 35  # it soon meets all of WANTED
COUNT = share.number(600, least=50)  # the last kind of WANTED comes with number 39


def as_strings(value):
    if isinstance(value, dict):
        return {key: as_strings(inner) for key, inner in value.items()}
    if isinstance(value, list):
        return [as_strings(inner) for inner in value]
    return str(value)


def features(definition, profile):
    """What a definition exercises, in words to count."""
    for pad in definition["pads"]:
        adapter = pad.get("adapter", {})
        for path in (pad.get("path", []), adapter.get("path", [])):
            yield from (mesh if mesh == "direct" else next(iter(mesh)) for mesh in path)
            for mesh in path:
                if "external" in mesh and len(mesh["external"]) > 2:
                    yield "idler"
                if "epicyclic" in mesh:
                    given = mesh["epicyclic"]
                    yield f"{given['in']} to {given['out']}"
        yield f"{len(pad.get('path', []))} meshes"
        yield f"faces {pad.get('faces')}"
        yield f"pad view {pad['rotation']['view']}"
        yield f"drives {pad.get('drives')}"
        yield "path" if "path" in pad else "turns alone"
        yield "adapter" if "adapter" in pad else "no adapter"
        yield "adapter faces" if "faces" in adapter else "no adapter faces"
        yield "plain coupling" if adapter and "path" not in adapter else "no plain coupling"
        yield f"positive {oracle.positive(profile, pad)}"
        for stage in definition["stages"]:
            step = oracle.counts_per_rotor_turn(profile, pad) / stage["blades"]
            yield "whole step" if step.denominator == 1 else "schedule"
            if step.denominator > oracle.LARGEST_DENOMINATOR:
                yield "approximated"
            if step.denominator % 2 == 0:
                yield "ties"
    for stage in definition["stages"]:
        numbering = stage["numbering"]
        yield numbering if isinstance(numbering, str) else f"numbers {numbering['view']}"
        for port in stage.get("port", []) if isinstance(stage.get("port"), list) else []:
            yield f"clock {port['clock']['view']}" if isinstance(port["clock"], dict) else "clock"
    for spool in definition["spools"]:
        yield f"spool {spool['rotation']['sense']} {spool['rotation']['view']}"
        yield f"turned by {spool.get('turned-by')}"
    for observation in definition.get("observations", []):
        yield from observation


WANTED = (
    ["external", "internal", "bevel", "epicyclic", "direct", "idler", "path", "turns alone"]
    + ["adapter", "adapter faces", "plain coupling"]
    + ["approximated", "ties", "whole step", "schedule"]
    + ["against-rotation", "with-rotation", "counted", "returned", "seen", "passed"]
    + ["turned by hand"]
    + ["positive 1", "positive -1", "drives both", "drives cw", "drives ccw", "faces None"]
    + [f"faces {face}" for face in geometry.FACES]
    + [f"{count} meshes" for count in range(7)]
    + [f"{a} to {b}" for a in geometry.MEMBERS for b in geometry.MEMBERS if a != b]
    + [f"pad view {view}" for view in ("facing-pad", *generate.ROTOR_VIEWS)]
    + [f"{what} {view}" for what in ("numbers", "clock") for view in generate.ROTOR_VIEWS]
    + [f"spool {sense} {view}" for sense in devices.SENSES for view in generate.ROTOR_VIEWS]
)


class Generated(unittest.TestCase):
    def setUp(self):
        self.profiles = [devices.device(SEED, number) for number in range(devices.DEVICES)]

    def one(self, number):
        profile = self.profiles[devices.device_number(number)]
        return generate.definition(SEED, number, profile), profile

    def test_valid_and_of_every_kind(self):
        met = Counter()
        for number in range(COUNT):
            definition, profile = self.one(number)
            broken = {rule for rule, _ in judge.problems(definition, profile)}
            self.assertLessEqual(broken, judge.FORGIVEN, definition["id"])
            self.assertTrue(all("torque-limit" in pad for pad in definition["pads"]))
            self.assertTrue(judge.computable(definition, profile), definition["id"])
            met.update(set(features(definition, profile)))
        self.assertEqual([wanted for wanted in WANTED if not met[wanted]], [])

    def test_the_same_again(self):
        self.assertEqual(self.one(5), self.one(5))
        self.assertNotEqual(self.one(5), self.one(17))

    def test_text_means_the_dict(self):
        for number in range(share.number(150, least=3 * devices.DEVICES)):
            definition, profile = self.one(number)
            for source in (definition, profile):
                text = as_yaml(source, random.Random(number))
                self.assertEqual(yaml.load(text, yaml.CBaseLoader), as_strings(source))
                self.assertEqual(json.loads(as_json(source, random.Random(number))), source)


class Mistakes(unittest.TestCase):
    def test_every_mistake_has_a_place(self):
        """Some of each kind by default: property_test.py makes each, in other definitions."""
        for function, rule, _, judged in share.sample(mutate.MUTATIONS, kind=lambda one: one[2:]):
            case = mutate.make(function, rule, judged, SEED, 0)
            self.assertIsNotNone(case, function.__name__)

    def test_severities_are_the_designs(self):
        for function, rule, severity, judged in mutate.MUTATIONS:
            if judged and rule != "torque-missing":  # an error of a pad, a warning of an adapter
                self.assertEqual(severity == "warning", rule in judge.WARNINGS, function.__name__)


class Judge(unittest.TestCase):
    """The design's own example, invented and consistent: nothing may be found against it."""

    PROFILE = {
        "shaft": {
            "counts-per-motor-turn": 2000,
            "reduction": {"motor": 81, "output": 1},
            "positive": "cw",
            "square": "3/8 in",
        },
        "stepping": "scheduled",
        "counter-bits": 32,
        "speed": {"min": "1 deg/min", "max": "6 rpm", "resolution": "0.1 deg/min"},
        "torque": {"min": "5 lbf.ft", "max": "60 lbf.ft", "resolution": "0.5 lbf.ft"},
    }
    PAD = {
        "id": "crank",
        "spool": "HP",
        "faces": "aft",
        "rotation": {"sense": "cw", "view": "facing-pad"},
        "turns": {"pad": 2.2522, "rotor": 1},
        "path": [
            {"external": [27, 44]},
            {"bevel": {"teeth": [31, 22], "backs": ["aft", "up"]}},
            {"bevel": {"teeth": [19, 37], "backs": ["down", "aft"]}},
        ],
        "drives": "both",
        "square": "3/8 in",
        "torque-limit": "40 lbf.ft",
        "backlash": "1.2 deg",
        "adapter": {
            "path": [{"external": [30, 20]}],
            "square": "3/8 in",
            "torque-limit": "60 lbf.ft",
            "backlash": "0.2 deg",
        },
    }
    SPOOL = {
        "id": "HP",
        "rotation": {"sense": "cw", "view": "aft-looking-forward"},
        "max-speed": "120 deg/min",
    }
    OBSERVATION = {
        "pad": "crank",
        "counted": {"pad": "22.5 +/- 0.1 rev", "rotor": "10 rev"},
        "seen": {"pad": "cw", "rotor": "cw"},
    }

    def broken(self, **changed):
        definition = {
            "spools": [self.SPOOL],
            "stages": [{"id": "HPC-1", "spool": "HP", "blades": 31}],
            "pads": [{**self.PAD, **changed}],
            "observations": [self.OBSERVATION],
        }
        return judge.problems(definition, self.PROFILE)

    def test_the_example(self):
        self.assertEqual(self.broken(), set())

    def test_its_ends_swapped(self):
        turns = {"pad": 1, "rotor": 2.2522}
        self.assertEqual(self.broken(turns=turns), {("ratio-swapped", "crank")})

    def test_an_overrunning_clutch(self):
        self.assertEqual(self.broken(drives="ccw"), {("one-way-against", "crank")})


class Comparison(unittest.TestCase):
    """The comparison must see every key differ, or it proves nothing."""

    def setUp(self):
        self.profile = devices.device(SEED, 0)
        self.definition = generate.definition(SEED, 0, self.profile)
        self.told = oracle.turning(self.definition, self.profile)
        for answer in self.told:
            answer["stops"] = [
                {"blade": b, "count": c, "device_count": answer["positive"] * c, "pad_deg": p,
                 "rotor_deg": str(Fraction(360 * j, answer["blades"])), "error_counts": e,
                 "time_s": 0.5, "known_by": self.known(answer["stage"], b)}
                for j, (b, c, p, e) in enumerate(answer["stops"])
            ]

    def known(self, stage, blade):
        return dict(oracle.known_blades(self.definition, stage)).get(blade)

    def difference(self, told):
        return property_test.difference(self.definition, self.profile, told)

    def test_the_right_answer(self):
        self.assertIsNone(self.difference(self.told))

    def test_each_wrong_answer(self):
        for key in property_test.COMPARED:
            told = copy.deepcopy(self.told)
            told[0][key] = {"order": "sideways", "counts_per_rotor_turn": "7"}.get(key, 7)
            self.assertIn(key, self.difference(told))
        for key in ("blade", "count", "device_count", "rotor_deg", "pad_deg", "error_counts",
                    "time_s", "known_by"):
            told = copy.deepcopy(self.told)
            told[-1]["stops"][3][key] = -1
            self.assertIsNotNone(self.difference(told), key)

    def test_something_missing_or_twice(self):
        self.assertIsNotNone(self.difference(self.told[1:]))
        self.assertIsNotNone(self.difference(self.told + self.told[:1]))
        short = copy.deepcopy(self.told)
        del short[0]["stops"][-1]
        self.assertIn("stops", self.difference(short))


if __name__ == "__main__":
    unittest.main()
