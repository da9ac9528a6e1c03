"""Seeded random definitions and device profiles that are valid.

Every definition depends on the seed and its own number alone, so one that fails can be made again
without the others:

    python3 generate.py --seed 1 --index 123            prints prop-000123.engine.yaml
    python3 generate.py --seed 1 --index 123 --device   prints the profile it was made for

A pad is drawn and thrown away until the judge has nothing against it. What is drawn is meant to
reach every branch: all meshes, idlers, chains of bevels ending on the rotor's axis, adapters,
ratios stated as decimals, with tolerances, as fractions or not at all, both senses and all views.
"""

import argparse
import random
from fractions import Fraction

import geometry
import judge
import oracle
from devices import SENSES, SQUARE_NAMES, device, device_number
from gears import AXIS_OF, coaxial, path_between
from quantity import ANGLE, SPEED, TORQUE, exact, interval
from source_text import text_of
from written import decimal, log_uniform, plus_minus, significant, with_tolerance

SPOOLS = ("HP", "IP", "LP")
ROTOR_VIEWS = ("aft-looking-forward", "forward-looking-aft")


def chance(rng, odds):
    return rng.random() < odds


# --- pads ---------------------------------------------------------------------------------------


def _turns_of_path(rng, ratio):
    """How a manual might state an exactly known ratio."""
    kind = rng.randrange(8)
    digits = rng.randint(4, 7)
    if kind < 3:
        turns = {"pad": significant(ratio, digits), "rotor": 1}
    elif kind == 3:
        turns = {"pad": 1, "rotor": significant(1 / ratio, digits)}
    elif kind == 4:
        turns = {"pad": significant(10 * ratio, digits), "rotor": 10}
    elif kind == 5:
        close = Fraction(1, rng.choice((300, 1000, 5000)))
        turns = {"pad": with_tolerance(rng, ratio, close), "rotor": 1}
    elif kind == 6:
        turns = {"pad": f"{ratio.numerator}/{ratio.denominator}", "rotor": 1}
    else:
        turns = {"pad": ratio.numerator, "rotor": ratio.denominator}
    return dict(rng.sample(list(turns.items()), 2))


def _turns_alone(rng):
    """A ratio nothing else is known of: fine enough, or exact and saying so."""
    kind = rng.randrange(7)
    ratio = log_uniform(rng, 0.1, 45)
    digits = rng.randint(5, 7)
    if kind < 2:
        return {"pad": significant(ratio, digits), "rotor": 1}
    if kind == 2:
        return {"pad": 1, "rotor": significant(1 / ratio, digits)}
    if kind == 3:
        return {"pad": significant(100 * ratio, digits + 1), "rotor": 100}
    if kind == 4:
        fine = Fraction(1, rng.choice((4000, 10000, 50000)))
        return {"pad": with_tolerance(rng, ratio, fine), "rotor": 1}
    if kind == 5:
        return {"pad": f"{rng.randint(2, 48)} {plus_minus(rng)} 0", "rotor": 1}
    return {"pad": f"{rng.randint(100, 999)}/{rng.randint(20, 97)}", "rotor": 1}


def _angle(rng, turns):
    """About so many revolutions, in a unit and a form of its own."""
    unit = rng.choice(("deg", "deg", "arcmin"))
    amount = Fraction(turns) / ANGLE[unit]
    kind = rng.randrange(4)
    if kind == 0 and amount > 3:
        return f"{oracle.round_half_up(amount)} {unit}"
    if kind == 1:
        return f"{with_tolerance(rng, amount, Fraction(1, 10))} {unit}"
    if kind == 2:
        return f"{max(1, oracle.round_half_up(amount * 16))}/16 {unit}"
    return f"{significant(amount, rng.randint(2, 3))} {unit}"


def _torque(rng, newton_metres):
    unit = rng.choice(tuple(TORQUE))
    amount = Fraction(newton_metres) / TORQUE[unit]
    return f"{decimal(amount, rng.randint(0, 2))} {unit}"


def _adapter(rng, pad, profile):
    adapter = {}
    meshes = rng.choice((1, 1, 2, 3))
    if chance(rng, 0.08):
        pass  # a plain coupling
    elif "faces" in pad and chance(rng, 0.4):
        face = rng.choice(tuple(geometry.FACES))
        adapter["path"] = path_between(rng, AXIS_OF[face], AXIS_OF[pad["faces"]], meshes)
        bevels = [mesh for mesh in adapter["path"] if "bevel" in mesh]
        adapter["faces"] = face if bevels else pad["faces"]
    else:
        adapter["path"] = [coaxial(rng) for _ in range(meshes)]
    adapter["square"] = profile["shaft"]["square"]
    return adapter


def _squares(square):
    return next(names for names in SQUARE_NAMES if square in names)


def _normal_rotation(rng, pad, spool):
    """The pad's declared rotation: what its gears make of the spool's, where they say it."""
    want = oracle.spool_sense(spool)
    sense = rng.choice(SENSES)
    pad["rotation"] = {"sense": sense, "view": "facing-pad"}
    try:
        proven = True
        if oracle.derived_rotor_sense(pad) != want:
            sense = geometry.opposite(sense)
    except geometry.NotDerivable:
        proven = False
    pad["rotation"]["sense"] = sense
    on_axis = pad.get("faces") in ("aft", "forward")
    if on_axis and chance(rng, 0.15):
        view = rng.choice(ROTOR_VIEWS)
        seen = geometry.sense_facing(
            geometry.VIEWED_FACE[view], geometry.facing(pad["faces"], sense)
        )
        pad["rotation"] = {"sense": seen, "view": view}
    return proven


def _limits(rng, pad, profile, finest):
    """Backlash, torque limits and the drive's sense, all on the safe side."""
    ratio, through = oracle.pad_ratio(pad).lo, oracle.adapter_ratio(pad)
    square_torque = judge.SQUARES[pad["square"]]
    share = log_uniform(rng, 0.01, 0.12) / finest
    stated = not chance(rng, 0.03)
    if stated:
        pad["backlash"] = _angle(rng, max(share * ratio, judge.BACKLASH_OF_GEARS * 11 / 10))
    if "adapter" in pad and not (stated and chance(rng, 0.1)):  # the judge tells a rule once a pad
        pad["adapter"]["backlash"] = _angle(rng, share * ratio * through / 3)
    least = exact(profile["torque"]["min"], TORQUE) * Fraction(5, 4)
    most = min(square_torque * Fraction(9, 10), 3 * exact(profile["torque"]["max"], TORQUE))
    low = max(2, float(least * through))
    pad["torque-limit"] = _torque(rng, log_uniform(rng, low, max(low, float(most))))
    if "adapter" in pad and not chance(rng, 0.05):
        most = judge.SQUARES[pad["adapter"]["square"]] * 0.9
        pad["adapter"]["torque-limit"] = _torque(rng, log_uniform(rng, float(least), most))
    if chance(rng, 0.3):
        pad["drives"] = rng.choice(("both", oracle.pad_sense(pad)))


def blade_order(rng, definition, stage):
    """A blade and the one that followed it."""
    first = rng.choice((1, 1, stage["blades"], rng.randint(1, stage["blades"])))
    then = oracle.blade_after(definition, stage, first)
    return {"stage": stage["id"], "first": first, "then": then}


def together(rng, definition, stages):
    """Two blades that were at their ports at the same count; the datum mark relates the two."""
    clocked = [s for s in stages if "clocking" in s and oracle.ports_of(s)]
    if not clocked:
        return {}
    first, second = rng.choices(clocked, k=2)
    ports = [rng.choice(oracle.ports_of(stage))["id"] for stage in (first, second)]
    at = {"stage": first["id"], "port": ports[0]}
    blade = rng.randint(1, first["blades"])
    if blade > 1 or chance(rng, 0.5):
        at["blade"] = blade
    angle = oracle.rotor_with(definition, first, ports[0], blade)
    if chance(rng, 0.5):
        at["beyond"] = "0 +/- 0 deg"
    blades = second["blades"]
    apart = (angle - oracle.rotor_with(definition, second, ports[1], 1)) * blades
    passed = oracle.round_half_up(apart)  # whole pitches; what is left is half a pitch at most
    rising = oracle.passing_order(definition, second) == "rising"
    near = 1 + (passed if rising else -passed) % blades
    other = {"stage": second["id"], "port": ports[1], "blade": near}
    if chance(rng, 0.5):
        off = (apart - passed) / blades
        tenths = oracle.round_half_up(3600 * off)
        sign = "-" if tenths < 0 else ""
        other["beyond"] = f"{sign}{decimal(Fraction(abs(tenths), 10), 1)} +/- 0.1 deg"
    return {"together": rng.sample([at, other], 2)}


def ends_of_backlash(rng, pad):
    """The backlash of a new gearbox and of one at its limit, as the pad's backlash has them."""
    ends = interval(pad["backlash"], ANGLE)
    measured = {}
    for key, end in (("backlash-as-new", ends.lo), ("backlash-at-limit", ends.hi)):
        if chance(rng, 0.7) and end > 0:
            measured[key] = f"{with_tolerance(rng, end / ANGLE['deg'], Fraction(1, 20))} deg"
    return measured


def _observation(rng, definition, pad, must_prove):
    """What might have been measured on an engine: always in agreement."""
    ratio = oracle.pad_ratio(pad).value
    spool = next(s for s in definition["spools"] if s["id"] == pad["spool"])
    stages = [s for s in definition["stages"] if s["spool"] == pad["spool"]]
    observation = {"pad": pad["id"]}
    if chance(rng, 0.4):
        rotor = rng.choice((1, 2, 5, 10, 20))
        turned = ratio * rotor
        unit = rng.choice(("rev", "rev", "deg", "arcmin"))
        amount = turned / ANGLE[unit]
        if chance(rng, 0.7):
            text = with_tolerance(rng, amount, Fraction(1, rng.choice((50, 200, 900))))
        else:
            text = significant(amount, rng.randint(3, 5))
        turns = rng.choice((f"{rotor} rev", f"{rotor * 360} deg"))
        observation["counted"] = {"pad": f"{text} {unit}", "rotor": turns}
    if chance(rng, 0.2):
        stage = rng.choice(stages)
        close = with_tolerance(rng, ratio, Fraction(1, rng.choice((30, 100, 400))))
        observation["returned"] = {
            "stage": stage["id"],
            "after": stage["blades"],
            "pad": f"{close} rev",
        }
    if must_prove or chance(rng, 0.2):
        seen = {"pad": oracle.pad_sense(pad), "rotor": oracle.spool_sense(spool)}
        if chance(rng, 0.4):
            seen = {end: geometry.opposite(sense) for end, sense in seen.items()}
        observation["seen"] = seen
    if chance(rng, 0.2):
        observation["blade-order"] = blade_order(rng, definition, rng.choice(stages))
    if chance(rng, 0.2):
        observation |= together(rng, definition, stages)
    if "backlash" in pad and chance(rng, 0.2):
        observation |= ends_of_backlash(rng, pad)
    if len(observation) > 1:
        if chance(rng, 0.3):
            observation["note"] = rng.choice(("hand-turned", "protractor on the pad", "two people"))
        definition.setdefault("observations", []).append(observation)


def _counted_by_hand(rng, stage):
    """Blades that passed a port while somebody turned the spool."""
    turns = rng.randint(1, 6)
    rotor = rng.choice((f"{turns} rev", f"{turns * 360} deg", f"{turns}.00 +/- 0.002 rev"))
    passed = {"stage": stage["id"], "blades": turns * stage["blades"], "rotor": rotor}
    return {"spool": stage["spool"], "passed": passed}


def _ordered_by_hand(rng, definition, stage):
    """A blade that followed another one while somebody turned the spool."""
    return {"spool": stage["spool"], "blade-order": blade_order(rng, definition, stage)}


def _pad(rng, name, spool, stages, profile):
    finest = max(stage["blades"] for stage in stages)
    pad = {"id": name, "spool": spool["id"]}
    known = rng.random()
    meshes = rng.randint(1, 6)
    if known < 0.6:
        pad["faces"] = rng.choice(tuple(geometry.FACES))
        pad["path"] = path_between(rng, AXIS_OF[pad["faces"]], "x", meshes)
    elif known < 0.7:
        # Not enough to derive the sense: no face, or a bevel that does not say how it lies.
        pad["path"] = path_between(rng, "z", "x", meshes, backs=False)
        if chance(rng, 0.5) and any("bevel" in mesh for mesh in pad["path"]):
            pad["faces"] = "down"
    elif chance(rng, 0.6):
        pad["faces"] = rng.choice(tuple(geometry.FACES))
    if "path" not in pad:
        pad["turns"] = _turns_alone(rng)
    elif chance(rng, 0.6):
        pad["turns"] = _turns_of_path(rng, oracle.path_ratio(pad["path"]))
    proven = _normal_rotation(rng, pad, spool)
    if chance(rng, 0.25):
        pad["square"] = rng.choice(rng.choice(SQUARE_NAMES))
        pad["adapter"] = _adapter(rng, pad, profile)
    else:
        pad["square"] = rng.choice(_squares(profile["shaft"]["square"]))
    _limits(rng, pad, profile, finest)
    return pad, proven


# --- whole definitions --------------------------------------------------------------------------


def spool_named(rng, name):
    rotation = {"sense": rng.choice(SENSES), "view": rng.choice(ROTOR_VIEWS)}
    return {"id": name, "rotation": rotation}


def _numbering(rng):
    if chance(rng, 0.25):
        return {"sense": rng.choice(SENSES), "view": rng.choice(ROTOR_VIEWS)}
    return rng.choice(("against-rotation", "with-rotation"))


def _clock(rng):
    clock = f"{rng.randint(1, 12)}:{rng.choice(('00', '15', '30'))}"
    return {"at": clock, "view": rng.choice(ROTOR_VIEWS)} if chance(rng, 0.25) else clock


def stage_of(rng, spool, number, blades):
    role = rng.choice(("fan", "compressor", "turbine"))
    stage = {
        "id": f"{spool}{role[0].upper()}-{number}",
        "spool": spool,
        "role": role,
        "blades": blades,
        "numbering": _numbering(rng),
    }
    if chance(rng, 0.9):
        stage["blade-one"] = rng.choice(("two locking lugs", "painted root", "etched 1"))
    ports = [
        {"id": f"P{number}{end}", "clock": _clock(rng)}
        for end in ("", "A")
    ]
    if chance(rng, 0.9):
        stage["port"] = rng.choice((ports[0], ports[0], ports))
    if chance(rng, 0.3):
        stage["clocking"] = f"{decimal(Fraction(rng.randrange(3599), 10), 1)} deg"
    if chance(rng, 0.3):
        marks = rng.sample(("long root", "balance slot", "etched mark, \"K\""), rng.randint(1, 3))
        numbers = rng.sample(range(2, blades + 1), len(marks))
        stage["known-blades"] = [{"blade": n, "how": how} for n, how in zip(numbers, marks)]
    return stage


def _max_speed(rng, spool, pads, profile):
    """A usual rotor speed, and one that every pad of the spool can keep with this device if any."""
    slow, fast = (exact(profile["speed"][end], SPEED) for end in ("min", "max"))
    gears = [oracle.pad_ratio(p).lo * oracle.adapter_ratio(p) for p in pads]
    low, high = 2 * slow / min(gears), min(fast / 2 / max(gears), Fraction(19, 10))
    unit = rng.choice(tuple(SPEED))
    speed = log_uniform(rng, float(low), float(max(low, high))) / SPEED[unit]
    spool["max-speed"] = f"{significant(speed, 4)} {unit}"


def _engine(rng, number, profile):
    name = f"prop-{number:06}"
    turned = rng.sample(SPOOLS, rng.choice((1, 1, 1, 2)))
    spools = [spool_named(rng, spool) for spool in turned]
    stages = [
        stage_of(rng, spool, place + 1, rng.randint(8, 200))
        for place, spool in enumerate(turned + rng.choices(turned, k=rng.choice((0, 0, 1, 2))))
    ]
    definition = {
        "engine-definition": 1,
        "id": name,
        "name": f"Prop {number:06}",
        "models": [f"Prop {number:06}", f"Prop {number:06}A"][: rng.randint(1, 2)],
        "revision": rng.randint(1, 40),
        "status": "released",
        "source": "Drawn at random for a test",
        "spools": spools,
        "stages": stages,
        "pads": [],
    }
    reached = turned + ([rng.choice(turned)] if chance(rng, 0.15) else [])
    for place, spool_id in enumerate(reached):
        spool = next(s for s in spools if s["id"] == spool_id)
        rows = [s for s in stages if s["spool"] == spool_id]
        for _ in range(200):
            pad, proven = _pad(rng, f"pad-{place + 1}", spool, rows, profile)
            trial = {**definition, "pads": [pad]}
            trial.pop("observations", None)
            _observation(rng, trial, pad, must_prove=not proven)
            broken = judge.pad_problems(trial, pad, profile) - judge.FORGIVEN
            if not broken and judge.computable(trial, profile):
                definition["pads"].append(pad)
                definition.setdefault("observations", []).extend(trial.get("observations", []))
                break
        else:
            raise RuntimeError(f"no valid pad found for {name}")
    if not definition.get("observations"):
        definition.pop("observations", None)
    for spool in spools:
        pads = [p for p in definition["pads"] if p["spool"] == spool["id"]]
        _max_speed(rng, spool, pads, profile)
        if chance(rng, 0.1):
            spool["never-backwards"] = "yes"
    if len(turned) < len(SPOOLS) and chance(rng, 0.1):
        other = next(s for s in SPOOLS if s not in turned)
        spools.append({**spool_named(rng, other), "turned-by": "hand"})
        stages.append(stage_of(rng, other, 9, rng.randint(8, 200)))
        if chance(rng, 0.7):
            definition.setdefault("observations", []).append(_counted_by_hand(rng, stages[-1]))
        if chance(rng, 0.3):
            seen = _ordered_by_hand(rng, definition, stages[-1])
            definition.setdefault("observations", []).append(seen)
    return definition


def definition(seed, number, profile):
    """A valid definition for the profile."""
    return _engine(random.Random(f"{seed}/{number}"), number, profile)


def main():
    parser = argparse.ArgumentParser(description="print one generated source file")
    parser.add_argument("--seed", type=int, default=1)
    parser.add_argument("--index", type=int, default=0)
    parser.add_argument("--device", action="store_true")
    given = parser.parse_args()
    profile = device(given.seed, device_number(given.index))
    if given.device:
        print(profile_text(given.seed, device_number(given.index), profile), end="")
    else:
        source = definition(given.seed, given.index, profile)
        print(definition_text(given.seed, given.index, source), end="")


def profile_text(seed, number, profile):
    return text_of(profile, random.Random(f"{seed}/device/{number}/text"))


def definition_text(seed, number, source):
    return text_of(source, random.Random(f"{seed}/{number}/text"))


if __name__ == "__main__":
    main()
