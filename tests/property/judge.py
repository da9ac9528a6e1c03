"""Which numeric rules a definition breaks, by the independent calculation.

The generator keeps only definitions in which this finds nothing, and a mutation is used only where
this finds exactly the one mistake that was meant. Rule names, thresholds and default severities
are the design's; the checks are written from its words.
"""

from fractions import Fraction
from math import ceil, floor

import geometry
import oracle
from quantity import ANGLE, SPEED, TORQUE, exact, interval

PITCH_PER_TURN = Fraction(1, 10)  # ratio-coarse, and the closure of a fixed device
STOP_OF_PITCH = Fraction(1, 100)
BACKLASH_OF_PITCH = Fraction(1, 4)
BACKLASH_OF_GEARS = Fraction(1, 3600)  # of a pad turn
COUNTS_PER_BLADE = 50
USUAL_RATIO = (Fraction("0.05"), Fraction(50))
USUAL_TEETH = (8, 250)
USUAL_BLADES = (8, 200)
COUNTER_TURNS = 100
TABLE_TURN = 2**30  # counts a rotor turn, with one more for each blade
WORD = 2**62  # the program's rationals are of 64 bits: stay clear of their end

# Test torques in newton metres by size: common practice, no source; they only ever warn.
SQUARES = {
    "1/4 in": 62, "3/8 in": 202, "1/2 in": 512, "3/4 in": 1412, "1 in": 2515,
    "6.3 mm": 62, "10 mm": 202, "12.5 mm": 512, "20 mm": 1412, "25 mm": 2515,
}  # fmt: skip

WARNINGS = {
    "ratio-unusual", "ring-sum", "planets-spacing", "teeth-few", "teeth-many",
    "internal-clearance", "blade-count-unusual", "backlash-missing", "counts-few",
    "torque-above-square", "square-differs", "speed-unusual",
}  # fmt: skip

# Where a table cannot hold the counts, what would be said of them is not said.
BEHIND_TOO_LARGE = {
    "ratio-swapped", "ratio-disagrees", "ratio-coarse", "ratio-unusual", "observation-disagrees",
    "observation-missing", "counter-short", "counts-few", "stop-off-blade", "step-not-whole",
    "backlash-large", "backlash-below-count", "torque-below-device", "speed-below-device",
    "speed-above-device",
}  # fmt: skip

# Left out of some valid definitions: without backlash, or without an adapter's torque limit, the
# program only warns, and the rest must come out all the same.
FORGIVEN = {"backlash-missing", "torque-missing"}


def fits(*numbers):
    return all(abs(n.numerator) < WORD and n.denominator < WORD for n in numbers)


def _gears(path):
    for mesh in path:
        if mesh == "direct":
            continue
        ((kind, given),) = mesh.items()
        if kind == "epicyclic":
            sun, ring, planet = given["sun"], given["ring"], given["planet"]
            teeth = [sun, ring, planet]
            if ring != sun + 2 * planet:
                yield "ring-sum"
            elif geometry.planets_touch(sun, planet, given["planets"]):
                yield "planets-collide"
            elif (sun + ring) % given["planets"]:
                yield "planets-spacing"
            if len({given["in"], given["out"], given["held"]}) != 3:
                yield "epicyclic-members"
        else:
            teeth = given["teeth"] if isinstance(given, dict) else given
            if kind == "internal" and abs(teeth[0] - teeth[1]) <= 8:
                yield "internal-clearance"
        if min(teeth) < USUAL_TEETH[0]:
            yield "teeth-few"
        if max(teeth) > USUAL_TEETH[1]:
            yield "teeth-many"


def _ratio(pad, finest):
    ratio = oracle.pad_ratio(pad)
    if not USUAL_RATIO[0] <= ratio.value <= USUAL_RATIO[1]:
        yield "ratio-unusual"
    if "path" in pad:
        if "turns" in pad:
            turns = pad["turns"]
            if not oracle.stated_ratio(turns).holds(ratio.value):
                swapped = {"pad": turns["rotor"], "rotor": turns["pad"]}
                inverse = oracle.stated_ratio(swapped).holds(ratio.value)
                yield "ratio-swapped" if inverse else "ratio-disagrees"
        return
    if oracle.uncertainty(ratio) > PITCH_PER_TURN / finest:
        yield "ratio-coarse"
    alone = all(str(part).isdigit() for part in pad["turns"].values())
    if alone and ratio.value > 1 and ratio.value.denominator == 1:
        yield "ratio-coarse"


def _observations(definition, pad):
    ratio = oracle.pad_ratio(pad)
    blades = {stage["id"]: stage["blades"] for stage in definition["stages"]}
    measured = []
    for observation in definition.get("observations", []):
        if observation.get("pad") != pad["id"]:
            continue
        if "counted" in observation:
            counted = observation["counted"]
            turned = interval(counted["pad"], ANGLE).over(interval(counted["rotor"], ANGLE))
            measured.append(turned)
            if not turned.meets(ratio):
                yield "observation-disagrees"
        if "returned" in observation:
            returned = observation["returned"]
            right = returned["after"] == blades[returned["stage"]]
            measured.append(interval(returned["pad"], ANGLE))
            if not right or not measured[-1].meets(ratio):
                yield "observation-disagrees"
    if not all(one.meets(other) for one in measured for other in measured):
        yield "observation-disagrees"


def _direction(definition, pad, spool):
    seen = [w["seen"] for w in definition.get("observations", [])
            if w.get("pad") == pad["id"] and "seen" in w]
    normal = (oracle.pad_sense(pad), oracle.spool_sense(spool))
    same = normal[0] == normal[1]
    if any((s["pad"] == s["rotor"]) != same for s in seen):
        yield "observation-sense"
    try:
        if oracle.derived_rotor_sense(pad) != normal[1]:
            yield "sense-disagrees"
    except geometry.NotDerivable:
        if not seen:
            yield "sense-unproven"
    except geometry.OffAxis:
        yield "backs-off-axis"
    if pad.get("drives", "both") not in ("both", normal[0]):
        yield "one-way-against"


def _stops(stages, pad, device, finest):
    per_turn = oracle.counts_per_rotor_turn(device, pad)
    overshoot = Fraction(0)
    if "backlash" in pad:
        backlash = oracle.backlash_counts(device, pad)
        overshoot = backlash + max(1, Fraction(backlash, 4))
    if COUNTER_TURNS * per_turn + overshoot > 2 ** (device["counter-bits"] - 1) - 1:
        yield "counter-short"
    for stage in stages:
        step = per_turn / stage["blades"]
        whole = oracle.round_half_up(step) if device["stepping"] == "fixed" else floor(step)
        if whole < 1 or (whole + 1) * stage["blades"] > TABLE_TURN:
            yield "number-too-large"
        if step < COUNTS_PER_BLADE:
            yield "counts-few"
        elif device["stepping"] == "scheduled":
            worst = oracle.worst_error(per_turn, stage["blades"], COUNTER_TURNS)
            if worst > STOP_OF_PITCH * per_turn / stage["blades"]:
                yield "stop-off-blade"
        if device["stepping"] == "fixed":
            off = abs(oracle.closure(per_turn, stage["blades"]))
            if off > PITCH_PER_TURN * per_turn / finest:
                yield "step-not-whole"


def _backlash(pad, device, finest):
    play = oracle.device_backlash(pad)
    if not oracle.backlash_known(pad):
        yield "backlash-missing"
    if play is None:
        return
    geared = oracle.pad_ratio(pad).value != 1
    if "path" in pad:
        geared = any(mesh != "direct" for mesh in pad["path"])
    if geared and interval(pad["backlash"], ANGLE).hi < BACKLASH_OF_GEARS:
        yield "backlash-small"
        return
    if oracle.rotor_backlash(pad) > BACKLASH_OF_PITCH / finest:
        yield "backlash-large"
    if oracle.backlash_known(pad) and play.lo * oracle.counts_per_output_turn(device) < 1:
        yield "backlash-below-count"


def _torque(pad, device):
    if "torque-limit" not in pad:
        yield "torque-missing"
        return
    if "torque-limit" not in pad.get("adapter", {"torque-limit": None}):
        yield "torque-missing"
    if oracle.torque_limit(device, pad) < exact(device["torque"]["min"], TORQUE):
        yield "torque-below-device"
    if exact(pad["torque-limit"], TORQUE) > SQUARES[pad["square"]]:
        yield "torque-above-square"


def _square(pad, device):
    coupled = pad["adapter"]["square"] if "adapter" in pad else pad["square"]
    if SQUARES[coupled] != SQUARES[device["shaft"]["square"]]:
        yield "square-differs"


def _speed(pad, spool, device):
    if oracle.speed_offered(pad, spool) is None:
        return
    if oracle.speed_limit(device, pad, spool) < exact(device["speed"]["min"], SPEED):
        yield "speed-below-device"


def pad_problems(definition, pad, device):
    """The rules one pad breaks, each once however often it does."""
    spool = next(s for s in definition["spools"] if s["id"] == pad["spool"])
    stages = [s for s in definition["stages"] if s["spool"] == pad["spool"]]
    finest = max(stage["blades"] for stage in stages)
    broken = set(_gears(pad.get("path", [])))
    broken.update(_gears(pad.get("adapter", {}).get("path", [])))
    if "epicyclic-members" in broken:
        return broken
    broken.update(_ratio(pad, finest))
    broken.update(_observations(definition, pad))
    broken.update(_direction(definition, pad, spool))
    broken.update(_stops(stages, pad, device, finest))
    broken.update(_backlash(pad, device, finest))
    broken.update(_torque(pad, device))
    broken.update(_square(pad, device))
    broken.update(_speed(pad, spool, device))
    return broken - BEHIND_TOO_LARGE if "number-too-large" in broken else broken


def _spools(definition):
    """The rules that the greatest speeds of the spools break."""
    turned = {pad["spool"] for pad in definition["pads"]}
    for spool in definition["spools"]:
        if "max-speed" not in spool:
            if spool["id"] in turned:
                yield "speed-missing", spool["id"]
        elif exact(spool["max-speed"], SPEED) > 2:
            yield "speed-unusual", spool["id"]


def _passed(definition):
    """The rule broken by blades that passed a port, with the stage."""
    blades = {stage["id"]: stage["blades"] for stage in definition["stages"]}
    for observation in definition.get("observations", []):
        if "passed" in observation:
            passed = observation["passed"]
            turned = interval(passed["rotor"], ANGLE)
            right = blades[passed["stage"]]
            if not turned.lo * right <= passed["blades"] <= turned.hi * right:
                yield "observation-disagrees", passed["stage"]


def _holds_turn(low, high, turns):
    """Whether an angle is from low to high, whole turns aside."""
    return turns + ceil(low - turns) <= high


def _seen_blades(definition):
    """The rules broken by blades that followed each other, and by two at their ports at once."""
    stages = {stage["id"]: stage for stage in definition["stages"]}
    for observation in definition.get("observations", []):
        if "blade-order" in observation:
            order = observation["blade-order"]
            stage = stages[order["stage"]]
            if order["then"] != oracle.blade_after(definition, stage, order["first"]):
                yield "observation-order", stage["id"]
        if "together" in observation:
            low, high, turns = Fraction(0), Fraction(0), []
            for sign, at in zip((1, -1), observation["together"]):
                stage = stages[at["stage"]]
                half = Fraction(1, 2 * stage["blades"])
                beyond = interval(at["beyond"], ANGLE) if "beyond" in at else (-half, 0, half)
                low += min(sign * beyond[0], sign * beyond[2])
                high += max(sign * beyond[0], sign * beyond[2])
                turns.append(oracle.rotor_with(definition, stage, at["port"], at.get("blade", 1)))
            if not _holds_turn(low, high, turns[1] - turns[0]):
                yield "observation-together", stage["id"]


def _ends_of_backlash(definition):
    """The rule broken where the backlash of a pad begins or ends elsewhere than was measured."""
    pads = {pad["id"]: pad for pad in definition["pads"]}
    for observation in definition.get("observations", []):
        pad = pads.get(observation.get("pad"), {})
        for key, end in (("backlash-as-new", "lo"), ("backlash-at-limit", "hi")):
            if key in observation and "backlash" in pad:
                measured = interval(observation[key], ANGLE)
                if not measured.holds(getattr(interval(pad["backlash"], ANGLE), end)):
                    yield "observation-disagrees", pad["id"]


def problems(definition, device):
    """Every (rule, pad, stage or spool id) the definition breaks."""
    found = set(_spools(definition)) | set(_passed(definition))
    found |= set(_seen_blades(definition)) | set(_ends_of_backlash(definition))
    for pad in definition["pads"]:
        found.update((rule, pad["id"]) for rule in pad_problems(definition, pad, device))
    for stage in definition["stages"]:
        if not USUAL_BLADES[0] <= stage["blades"] <= USUAL_BLADES[1]:
            found.add(("blade-count-unusual", stage["id"]))
    return found


def computable(definition, device):
    """Whether every number on the way stays well inside the program's 64-bit rationals."""
    blades = max(stage["blades"] for stage in definition["stages"])
    for pad in definition["pads"]:
        ratio = oracle.pad_ratio(pad)
        steps = [ratio.lo, ratio.value, ratio.hi]
        so_far = Fraction(1)
        for mesh in pad.get("path", []):
            so_far *= oracle.mesh_ratio(mesh)
            steps.append(so_far)
        per_turn = oracle.counts_per_rotor_turn(device, pad)
        steps += [per_turn * blades, per_turn / blades, per_turn * 360]
        steps.append(Fraction(per_turn.numerator * blades, 1))
        steps.append(Fraction(per_turn.denominator * blades, 1))
        counts = [per_turn * (1 - Fraction(1, parts))
                  for parts in oracle.parts_of_passes(definition, pad["spool"])]
        steps += counts + [Fraction(ceil(count) * count.denominator) for count in counts]
        if not fits(*steps):
            return False
    return True
