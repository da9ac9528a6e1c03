"""The device profiles of a run: few, so that many definitions share a call of the program."""

import random

import oracle
from gears import epicyclic

DEVICES = 12
SENSES = ("cw", "ccw")
SQUARE_NAMES = (("3/8 in", "10 mm"), ("1/2 in", "12.5 mm"), ("3/4 in", "20 mm"))


def device_number(number):
    """Which of the profiles a definition is made for."""
    return number % DEVICES


def _gearing(rng):
    """Motor to output shaft: two numbers in all forms, or a path, motor side first; or both."""
    kind = rng.randrange(6)
    if kind == 0:
        return {"path": [{"external": [rng.randint(15, 25), rng.randint(60, 120)]}] * 2}
    if kind == 1:
        path = [{"epicyclic": epicyclic(rng, "sun", "carrier", "ring")}] * 2
        return {"reduction": {"motor": str(oracle.path_ratio(path)), "output": 1}, "path": path}
    if kind == 2:
        turns = {"motor": rng.randint(150, 900), "output": rng.randint(2, 13)}
    elif kind == 3:
        turns = {"motor": f"{rng.randint(20, 160)}.{rng.randint(1, 99):02}", "output": 1}
    elif kind == 4:
        turns = {"motor": f"{rng.randint(600, 3000)}/{rng.randint(7, 24)}", "output": 1}
    else:
        turns = {"motor": 1, "output": f"0.{rng.randint(12, 48):03}"}
    return {"reduction": turns}


def device(seed, number):
    """One of the run's device profiles; every fourth repeats one whole step."""
    rng = random.Random(f"{seed}/device/{number}")
    while True:
        profile = _device(rng, "fixed" if number % 4 == 3 else "scheduled")
        if 30000 < oracle.counts_per_output_turn(profile) < 400000:
            return profile


def _device(rng, stepping):
    return {
        "device-profile": 1,
        "id": "prop",
        "name": "Property bench",
        "shaft": {
            "counts-per-motor-turn": rng.choice((200, 400, 1000, 1024, 2000, 2048, 4096, 3600)),
            **_gearing(rng),
            "positive": rng.choice(SENSES),
            "square": rng.choice(rng.choice(SQUARE_NAMES)),
        },
        "stepping": stepping,
        "counter-bits": rng.choice((32, 32, 32, 40, 64)),
        "speed": {
            "min": rng.choice(("1 deg/min", "0.5 deg/min", "1/100 rpm")),
            "max": rng.choice(("6 rpm", "12.5 rpm", "40 deg/s")),
            "resolution": rng.choice(("0.1 deg/min", "0.25 deg/min", "1/60 deg/s")),
        },
        "torque": rng.choice(
            (
                {"min": "5 lbf.ft", "max": "60 lbf.ft", "resolution": "0.5 lbf.ft"},
                {"min": "4 N.m", "max": "110 N.m", "resolution": "0.25 N.m"},
                {"min": "50 lbf.in", "max": "900 lbf.in", "resolution": "1 lbf.in"},
                {"min": "1/2 kgf.m", "max": "12 kgf.m", "resolution": "1/20 kgf.m"},
            )
        ),
        "limits": {
            "table-bytes": 16777216,
            "engines": 2000,
            "stages": 24,
            "pads": 8,
            "blades": 255,
            "text-bytes": 40,
            "text": "ascii",
        },
    }
