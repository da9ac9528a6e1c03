"""The plan of `slips`, compared with every other plan of its kind.

Readings: some keys of the plan are left out in turn, and then a slip passes that hurts.
Observations: every offer of the menu is written into the definition, and the smallest set of offers
is looked for among all sets of up to three. Tolerances: at the bound the plan catches what it says,
and one last digit beyond it does not.
"""

import fractions
import itertools
import json
import pathlib
import re
import shutil
import sys
import tempfile
import unittest

import yaml

import brute_test
from brute_test import DEMO, DEVICE, run, second_reading

sys.path[1:1] = [str(pathlib.Path(__file__).resolve().parents[1])]
import generate  # noqa: E402
import devices  # noqa: E402
import share  # noqa: E402

RANDOM = share.number(24, least=2)   # definitions
LEFT_OUT = share.number(6, least=3)  # keys of each definition
TOGETHER = 3                         # offers that are tried in every combination
HARMS = ("backwards", "overload", "miscount", "degrees", "label")
WAYS = ((10, 500), (2, 9))           # finest and widest tolerance, thousandths of a pad turn


def demonstration():
    """(name, text) of the definitions of the demonstration, without their observations."""
    for path in share.sample(sorted((DEMO / "engines").glob("*.engine.yaml")), least=2):
        yield path.name, re.sub(r"(?m)^observations:\n(?:[ #-].*\n|\n)*", "", path.read_text())


def drawn():
    """(name, text) of random definitions, without their observations."""
    for number in range(RANDOM):
        source = generate.definition(11, number, devices.device(11, devices.device_number(number)))
        source.pop("observations", None)
        yield f"{source['id']}.engine.yaml", generate.definition_text(11, number, source)


class Plans(unittest.TestCase):
    """Plans of definitions in a folder."""

    def setUp(self):
        self.folder = pathlib.Path(tempfile.mkdtemp(prefix="plan-"))
        self.addCleanup(shutil.rmtree, self.folder)
        (self.folder / "rotortab.policy.yaml").write_text("policy: 1\n")
        shutil.copy(DEVICE, self.folder)

    def slips(self, name, text, *options, second=None):
        """What slips says of a definition, with a cross-check or without; None: it has errors."""
        beside = self.folder / name.replace(".engine.", ".cross-check.")
        (self.folder / name).write_text(text)
        if second:
            beside.write_text(second)
        told = json.loads(run(self.folder, "slips", "--format", "json", *options, name))
        beside.unlink(missing_ok=True)
        return told["definitions"][0] if told["definitions"] else None

    def hurting(self, told):
        """{(part, id, key, line, column, written)} of the slips that pass and do worse."""
        worse = HARMS[:HARMS.index(told["allowed"])]
        return {(value["part"], value["id"], value["key"], value["line"], value["column"],
                 slip["written"])
                for value in told["values"] for slip in value["slips"]
                if slip["fate"] == "passed" and slip["harm"] in worse}


class Readings(Plans):
    """What a second person is to read."""

    def check(self, name, text):
        told = self.slips(name, text)
        if not told:   # its observations alone prove its ratio
            return 0
        plan = told["plan"]
        keys = {(reading["part"] + "s", reading["id"], key)
                for reading in plan["readings"] for key in reading["keys"]}
        if plan["observations"] or not keys:
            return 0
        self.assertEqual(plan["proof"], "smallest")
        hurting = self.hurting(told)
        self.assertEqual(plan["hurting"], len(hurting))
        whole = json.loads(second_reading(yaml.load(text, yaml.BaseLoader)))

        def left_with(chosen):
            reading = json.loads(json.dumps(whole))
            for part in ("spools", "stages", "pads"):
                for item in reading[part]:
                    for key in set(item) - {"id"}:
                        if (part, item["id"], key) not in chosen:
                            del item[key]
            return len(self.hurting(self.slips(name, text, second=json.dumps(reading))))

        self.assertEqual(left_with(keys), plan["left"])
        for key in sorted(keys)[::max(1, len(keys) // LEFT_OUT)]:
            with self.subTest(definition=name, without=key):
                self.assertGreater(left_with(keys - {key}), plan["left"])
        return 1

    def test_each_reading_is_needed(self):
        checked = sum(self.check(*definition)
                      for definition in itertools.chain(demonstration(), drawn()))
        self.assertGreater(checked, 0)




class Observations(Plans):
    """What is to be observed where there is no second reader."""

    def with_observations(self, text, blocks):
        """The definition with more observations at its end."""
        return text.rstrip("\n") + "\nobservations:\n" + "".join(f"  - {b}\n" for b in blocks)

    def offers(self, name, text):
        """Every offer of the menu, each as exactly as it can be had."""
        source = yaml.load(text, yaml.BaseLoader)
        (self.folder / name).write_text(text)
        index = json.loads(run(self.folder, "index", "--format", "json", name))
        ratios = {pad["id"]: sum(map(fractions.Fraction, pad["pad_turns_per_rotor_turn"].values()))
                  / 2 for engine in index for spool in engine["spools"] for pad in spool["pads"]}
        turned = {}
        for pad in source.get("pads", []):
            turned.setdefault(pad["spool"], f"pad: {pad['id']}")
        blocks = []
        for pad in source.get("pads", []):
            blocks += [f"{{pad: {pad['id']}, seen: {{pad: {p}, rotor: {r}}}}}"
                       for p in ("cw", "ccw") for r in ("cw", "ccw")]
            for finest, _ in WAYS:
                for turns in (1, 2, 5, 10):
                    counted = round(float(ratios[pad["id"]] * turns) * 1000) / 1000
                    blocks.append(f"{{pad: {pad['id']}, counted: {{pad: {counted:.3f} +/- "
                                  f"{finest / 1000} rev, rotor: {turns} rev}}}}")
        for stage in source.get("stages", []):
            by = turned.get(stage["spool"], f"spool: {stage['spool']}")
            blocks.append(f"{{{by}, passed: {{stage: {stage['id']}, blades: {stage['blades']}, "
                          f"rotor: 1 rev}}}}")
        return blocks

    def caught_by(self, name, text, blocks, hurting):
        """The slips that hurt and that the observations catch; None: they contradict it."""
        whole = self.with_observations(text, blocks)
        (self.folder / name).write_text(whole)
        found = json.loads(run(self.folder, "check", "--format", "json", name))["findings"]
        if any(finding["severity"] in ("error", "warning") and not finding.get("waived")
               and finding["line"] > text.count("\n") for finding in found):
            return None
        told = self.slips(name, whole, "--allow", "label")
        return hurting - self.hurting(told) if told else None

    def check(self, name, text):
        told = self.slips(name, text, "--observe", "--allow", "label")
        if not told:
            return 0
        plan, hurting = told["plan"], self.hurting(told)
        chosen = [observation["observation"] for observation in plan["observations"]]
        self.assertEqual(plan["readings"], [])
        self.assertEqual(plan["hurting"], len(hurting))
        sets = [self.caught_by(name, text, [block], hurting) for block in self.offers(name, text)]
        sets = sorted({frozenset(caught) for caught in sets if caught}, key=len, reverse=True)
        every = frozenset().union(*sets)
        with self.subTest(definition=name):
            self.assertEqual(plan["left"], len(hurting) - len(every))
            if chosen:
                self.assertEqual(self.caught_by(name, text, chosen, hurting), every)
            for size in range(min(TOGETHER + 1, len(chosen) if plan["proof"] != "not-all-tried"
                                  else TOGETHER + 1)):
                for few in itertools.combinations(sets, size):
                    self.assertNotEqual(frozenset().union(*few), every, (size, chosen))
        return self.check_bounds(name, text, chosen, hurting, every)

    def check_bounds(self, name, text, chosen, hurting, every):
        """One last digit beyond its tolerance, an observation misses something."""
        checked = 0
        for number, block in enumerate(chosen):
            tolerance = re.search(r"\+/- (\S+) rev", block)
            if not tolerance:
                continue
            steps = fractions.Fraction(tolerance[1]) * 1000
            self.assertEqual(steps.denominator, 1)
            if int(steps) in [widest for _, widest in WAYS]:
                continue
            beyond = block.replace(f"+/- {tolerance[1]} rev", f"+/- {(int(steps) + 1) / 1000} rev")
            wider = chosen[:number] + [beyond] + chosen[number + 1:]
            with self.subTest(definition=name, beyond=beyond):
                self.assertNotEqual(self.caught_by(name, text, wider, hurting), every)
            checked += 1
        return checked

    def test_no_fewer_observations_do_as_much(self):
        bounds = sum(self.check(*definition)
                     for definition in itertools.chain(demonstration(), drawn()))
        self.assertGreater(bounds, 0)


if __name__ == "__main__":
    unittest.main()
