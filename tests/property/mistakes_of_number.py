"""Mistakes in what a definition says of the engine: gears, senses, limits, measurements."""

import re
from fractions import Fraction

import generate
import geometry
import judge
import oracle
from gears import AXES, AXIS_OF
from mistake import derivable, mistake
from quantity import ANGLE, TORQUE, exact, interval
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


@mistake("witness-disagrees", judged=True)
def counted_off_by_three_tolerances(case):
    witness = case.witness("counted")
    counted = witness["counted"]
    turned = interval(counted["pad"], ANGLE)
    off = 3 * (turned.hi - turned.value) * case.rng.choice((-1, 1))
    case.need(turned.value + off > 0)
    _, unit = counted["pad"].rsplit(" ", 1)
    number = decimal((turned.value + off) / ANGLE[unit], 6)
    tolerance = decimal((turned.hi - turned.value) / ANGLE[unit], 6)
    counted["pad"] = f"{number} +/- {tolerance} {unit}"
    witness.pop("returned", None)


@mistake("witness-disagrees", judged=True)
def blade_lost_in_counting(case):
    witness = case.witness("returned")
    witness["returned"]["after"] += case.rng.choice((-1, 1))


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


@mistake("witness-sense", judged=True)
def seen_the_other_way(case):
    seen = case.witness("seen")["seen"]
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


# --- stops, lash, torque, speed -----------------------------------------------------------------


@mistake("counts-few", "warning", judged=True)
def too_few_counts(case):
    case.only_row()
    pad = case.alone()
    case.need("adapter" not in pad)
    wanted = Fraction(45 * case.finest(pad))
    ratio = wanted / oracle.counts_per_output_turn(case.profile)
    pad["turns"] = {"pad": significant(ratio, 6), "rotor": 1}
    pad["lash"] = significant(ratio * 36 / case.finest(pad), 3) + " deg"
    case.spool(pad).pop("max-speed", None)


@mistake("counter-short", judged=True)
def counter_too_short(case):
    pad = case.only_pad()
    turns = 100 * oracle.counts_per_rotor_turn(case.profile, pad)
    case.profile["counter-bits"] = int(turns).bit_length()
    case.need(case.profile["counter-bits"] >= 16)


@mistake("step-not-whole", judged=True)
def whole_step_does_not_close(case):
    case.only_row()
    case.need(case.profile["stepping"] == "scheduled")
    case.profile["stepping"] = "fixed"


@mistake("lash-large", judged=True)
def lash_beyond_a_quarter_pitch(case):
    pad = case.pad(lambda p: "lash" in p)
    share = Fraction(case.rng.randint(30, 90), 100) / case.finest(pad)
    degrees = share * oracle.pad_ratio(pad).value * 360
    pad["lash"] = significant(degrees, 4) + " deg"


@mistake("lash-missing", "warning", judged=True)
def lash_of_the_adapter_not_stated(case):
    pad = case.pad(lambda p: "lash" in p and "lash" in p.get("adapter", {}))
    del pad["adapter"]["lash"]


@mistake("lash-missing", "warning", judged=True)
def lash_not_stated(case):
    pad = case.pad(lambda p: "lash" in p and "adapter" not in p)
    del pad["lash"]


@mistake("torque-below-device", judged=True)
def pad_too_weak(case):
    pad = case.pad()
    share = Fraction(case.rng.randint(20, 95), 100) * oracle.adapter_ratio(pad)
    newton_metres = exact(case.profile["torque"]["min"], TORQUE) * share
    pad["torque-limit"] = significant(newton_metres, 4) + " N.m"


@mistake("torque-below-device", judged=True)
def adapter_too_weak(case):
    pad = case.pad(lambda p: "adapter" in p)
    newton_metres = exact(case.profile["torque"]["min"], TORQUE) * Fraction(9, 10)
    pad["adapter"]["torque-limit"] = significant(newton_metres, 4) + " N.m"


@mistake("torque-missing", judged=True)
def torque_not_stated(case):
    del case.pad()["torque-limit"]


@mistake("torque-missing", "warning", judged=True)
def adapter_torque_not_stated(case):
    del case.pad(lambda p: "adapter" in p)["adapter"]["torque-limit"]


@mistake("torque-above-square", "warning", judged=True)
def torque_beyond_the_square(case):
    pad = case.pad()
    beyond = judge.SQUARES[pad["square"]] * Fraction(case.rng.randint(105, 300), 100)
    pad["torque-limit"] = significant(beyond, 5) + " N.m"


@mistake("square-differs", "warning", judged=True)
def another_square(case):
    pad = case.pad(lambda p: "adapter" not in p)
    size = judge.SQUARES[pad["square"]]
    pad["square"] = case.one(name for name, torque in judge.SQUARES.items() if torque > size)


@mistake("speed-below-device", judged=True)
def slower_than_the_device_can(case):
    pad = case.only_pad()
    geared = oracle.pad_ratio(pad).lo * oracle.adapter_ratio(pad)
    slowest = exact("0.3 deg/min", {"deg/min": Fraction(1)}) / geared
    case.spool(pad)["max-speed"] = significant(slowest, 4) + " deg/min"


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
    mesh["planets"] = case.one(n for n in (3, 4, 5, 6) if total % n)


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
    for witness in case.definition.get("witness", []):
        case.need(witness.get("returned", {}).get("stage") != stage["id"])
    stage["blades"] = case.rng.choice((5, 6, 7, 201, 215, 230))
