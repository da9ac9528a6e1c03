"""Mistakes in what a definition says of the engine: gears, senses, limits, measurements."""

import re
from fractions import Fraction

import generate
import geometry
import oracle
from gears import AXES, AXIS_OF
from mistake import derivable, mistake
from quantity import ANGLE, interval
from written import decimal, significant, with_tolerance

# --- ratio --------------------------------------------------------------------------------------


@mistake("ratio-swapped", judged=True)
def ends_of_turns_swapped(case):
    pad = case.pad(lambda p: "path" in p and "turns" in p)
    pad["turns"] = {"pad": pad["turns"]["rotor"], "rotor": pad["turns"]["pad"]}


@mistake("ratio-disagrees", judged=True)
def one_tooth_off(case):
    pad = case.pad(lambda p: "path" in p and "turns" in p)
    teeth = case.mesh(pad, case.rng.choice(("external", "internal", "bevel")))
    teeth = teeth["teeth"] if isinstance(teeth, dict) else teeth
    teeth[case.rng.choice((0, -1))] += case.rng.choice((-1, 1))
    case.forget(pad, "counted", "returned")


@mistake("ratio-disagrees", judged=True)
def digits_transposed(case):
    pad = case.pad(lambda p: "path" in p and "turns" in p)
    end = case.one(k for k, v in pad["turns"].items() if re.fullmatch(r"\d+\.\d+", str(v)))
    text = pad["turns"][end]
    at = case.one(i for i in range(len(text) - 1) if re.match(r"\d\d", text[i:]))
    case.need(text[at] != text[at + 1])
    pad["turns"][end] = text[:at] + text[at + 1] + text[at] + text[at + 2 :]
    case.need(not re.match(r"0\d", pad["turns"][end]))  # not a number as people write it


@mistake("ratio-coarse", judged=True)
def too_few_digits(case):
    pad = case.alone()
    ratio = oracle.pad_ratio(pad).value
    pad["turns"] = {"pad": significant(ratio, case.rng.randint(2, 3)), "rotor": 1}


@mistake("ratio-coarse", judged=True)
def tolerance_too_wide(case):
    pad = case.alone()
    ratio = oracle.pad_ratio(pad).value
    wide = Fraction(case.rng.randint(2, 9), 10 * case.finest(pad))
    pad["turns"] = {"pad": with_tolerance(case.rng, ratio, wide), "rotor": 1}


@mistake("ratio-coarse", judged=True)
def whole_number_alone(case):
    pad = case.alone()
    near = max(2, oracle.round_half_up(oracle.pad_ratio(pad).value))
    pad["turns"] = {"pad": near, "rotor": 1}


@mistake("ratio-unusual", "warning", judged=True)
def ratio_out_of_the_usual(case):
    pad = case.alone()
    pad["turns"] = {"pad": f"50.{case.rng.randint(10000, 90000)}", "rotor": 1}


@mistake("observation-disagrees", judged=True)
def counted_off_by_three_tolerances(case):
    observation = case.observation("counted")
    counted = observation["counted"]
    turned = interval(counted["pad"], ANGLE)
    off = 3 * (turned.hi - turned.value) * case.rng.choice((-1, 1))
    case.need(turned.value + off > 0)
    _, unit = counted["pad"].rsplit(" ", 1)
    number = decimal((turned.value + off) / ANGLE[unit], 6)
    tolerance = decimal((turned.hi - turned.value) / ANGLE[unit], 6)
    counted["pad"] = f"{number} +/- {tolerance} {unit}"
    observation.pop("returned", None)


@mistake("observation-disagrees", judged=True)
def blade_lost_in_counting(case):
    observation = case.observation("returned")
    observation["returned"]["after"] += case.rng.choice((-1, 1))


@mistake("observation-disagrees", judged=True)
def blade_lost_in_counting_by_hand(case):
    passed = case.observation("passed")["passed"]
    passed["blades"] += case.rng.choice((-1, 1))


@mistake("observation-disagrees", judged=True)
def backlash_of_another_gearbox(case):
    observation = case.observation(case.rng.choice(("backlash-as-new", "backlash-at-limit")))
    pad = next(p for p in case.definition["pads"] if p["id"] == observation["pad"])
    ends = interval(pad["backlash"], ANGLE)
    key = case.one(k for k in ("backlash-as-new", "backlash-at-limit") if k in observation)
    end = ends.lo if key == "backlash-as-new" else ends.hi
    factor = case.rng.choice((Fraction(1, 2), Fraction(3, 2)))
    other = factor * end / ANGLE["deg"]
    observation[key] = f"{with_tolerance(case.rng, other, Fraction(1, 9))} deg"


@mistake("observation-order", judged=True)
def blades_in_the_other_order(case):
    order = case.observation("blade-order")["blade-order"]
    order["first"], order["then"] = order["then"], order["first"]


@mistake("observation-order", judged=True)
def blade_passed_over(case):
    order = case.observation("blade-order")["blade-order"]
    stage = next(s for s in case.definition["stages"] if s["id"] == order["stage"])
    order["then"] = case.one({b for b in (1, order["then"] + 1, order["then"] + 2)
                              if b <= stage["blades"]} - {order["then"]})


@mistake("observation-together", judged=True)
def another_blade_was_at_the_port(case):
    at = case.observation("together")["together"][case.rng.randrange(2)]
    stage = next(s for s in case.definition["stages"] if s["id"] == at["stage"])
    blade = at.get("blade", 1)
    at["blade"] = case.one({1 + (blade + off) % stage["blades"] for off in (1, 2, -4)} - {blade})


@mistake("observation-together", judged=True)
def clocking_of_another_stage(case):
    both = case.observation("together")["together"]
    stage = next(s for s in case.definition["stages"] if s["id"] == both[0]["stage"])
    case.need(both[0]["stage"] != both[1]["stage"])
    others = [w for w in case.definition["observations"] if "together" in w]
    case.need(len(others) == 1)
    angle = Fraction(stage["clocking"].split()[0])
    far = Fraction(360, stage["blades"]) + Fraction(360, 8)
    stage["clocking"] = f"{decimal((angle + far) % 360, 1)} deg"


@mistake("observation-missing", "note")
def too_coarse_to_prove_anything(case):
    pad = case.only_pad()
    ratio = oracle.pad_ratio(pad).value
    case.forget(pad, "counted", "returned")
    case.definition.setdefault("observations", []).append({
        "pad": pad["id"],
        "counted": {"pad": f"{with_tolerance(case.rng, 10 * ratio, Fraction(1, 5))} rev",
                    "rotor": "10 rev"}})


# --- direction ----------------------------------------------------------------------------------


@mistake("sense-disagrees", judged=True)
def pad_sense_flipped(case):
    pad = case.pad(derivable)
    case.forget(pad, "seen")
    pad.pop("drives", None)
    pad["rotation"]["sense"] = geometry.opposite(pad["rotation"]["sense"])


@mistake("sense-disagrees", judged=True)
def spool_noted_from_the_wrong_end(case):
    pad = case.only_pad()
    case.need(derivable(pad))
    case.forget(pad, "seen")
    rotation = case.spool(pad)["rotation"]
    rotation["view"] = case.one(v for v in generate.ROTOR_VIEWS if v != rotation["view"])


@mistake("sense-disagrees", judged=True)
def idler_forgotten(case):
    pad = case.pad(derivable)
    case.forget(pad, "seen")
    teeth = case.mesh(pad, "external")
    case.need(len(teeth) > 2)
    del teeth[1]


@mistake("observation-sense", judged=True)
def seen_the_other_way(case):
    seen = case.observation("seen")["seen"]
    end = case.rng.choice(("pad", "rotor"))
    seen[end] = geometry.opposite(seen[end])


@mistake("one-way-against", judged=True)
def drives_the_wrong_way(case):
    pad = case.pad()
    pad["drives"] = geometry.opposite(oracle.pad_sense(pad))


@mistake("sense-unproven", judged=True)
def nothing_proves_the_sense(case):
    pad = case.pad(lambda p: not derivable(p))
    case.forget(pad, "seen")


@mistake("sense-unproven", judged=True)
def face_left_out(case):
    pad = case.pad(lambda p: "faces" in p and "adapter" not in p)
    case.need(pad["rotation"]["view"] == "facing-pad")
    case.forget(pad, "seen")
    del pad["faces"]


@mistake("backs-off-axis", judged=True)
def back_off_its_shaft(case):
    pad = case.pad(derivable)
    bevel = case.mesh(pad, "bevel")
    near, far = (AXIS_OF[face] for face in bevel["backs"])
    third = next(axis for axis in AXES if axis not in (near, far))
    bevel["backs"][0] = case.rng.choice(AXES[third])


# --- gears --------------------------------------------------------------------------------------


def _unstated(case, pad):
    """Only the path shall give the ratio, so that another tooth contradicts nothing."""
    pad.pop("turns", None)
    case.forget(pad, "counted", "returned")


@mistake("ring-sum", "warning", judged=True)
def ring_off(case):
    pad = case.pad(lambda p: "path" in p)
    mesh = case.mesh(pad, "epicyclic")
    mesh["ring"] += mesh["planets"] * case.rng.choice((-1, 1))
    _unstated(case, pad)


@mistake("planets-spacing", "warning", judged=True)
def planets_do_not_space(case):
    mesh = case.mesh(case.pad(), "epicyclic")
    total = mesh["sun"] + mesh["ring"]
    mesh["planets"] = case.one(n for n in (2, 3, 4, 5, 6) if total % n and not
                               geometry.planets_touch(mesh["sun"], mesh["planet"], n))


@mistake("planets-collide", judged=True)
def planets_without_room(case):
    mesh = case.mesh(case.pad(), "epicyclic")
    mesh["planets"] = case.one(n for n in range(3, 20)
                               if geometry.planets_touch(mesh["sun"], mesh["planet"], n))


@mistake("epicyclic-members", judged=True)
def member_named_twice(case):
    mesh = case.mesh(case.pad(), "epicyclic")
    one, other = case.rng.sample(("in", "out", "held"), 2)
    mesh[one] = mesh[other]


@mistake("teeth-few", "warning", judged=True)
def idler_too_small(case):
    teeth = case.mesh(case.pad(), "external")
    case.need(len(teeth) > 2)
    teeth[1] = case.rng.randint(4, 7)


@mistake("teeth-many", "warning", judged=True)
def idler_too_large(case):
    teeth = case.mesh(case.pad(), "external")
    case.need(len(teeth) > 2)
    teeth[1] = case.rng.randint(251, 400)


@mistake("internal-clearance", "warning", judged=True)
def ring_too_tight(case):
    pad = case.pad(lambda p: "path" in p)
    teeth = case.mesh(pad, "internal")
    ring = teeth.index(max(teeth))
    teeth[ring] = min(teeth) + case.rng.randint(1, 8)
    _unstated(case, pad)


@mistake("blade-count-unusual", "warning", judged=True)
def blades_too_many(case):
    stage = case.stage()
    for observation in case.definition.get("observations", []):
        for key in ("returned", "passed", "blade-order"):
            case.need(observation.get(key, {}).get("stage") != stage["id"])
        case.need(all(at["stage"] != stage["id"] for at in observation.get("together", [])))
    case.need("known-blades" not in stage)
    stage["blades"] = case.rng.choice((5, 6, 7, 201, 215, 230))
