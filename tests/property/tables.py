"""Compiles a batch, shows the table, and compares its limits with those of the oracle.

Limits round toward safe, and a device believes them: torque and speed down to the device's
resolution, backlash up to whole counts. What is compared is read back out of the compiled table.
"""

import json

import oracle
import program
from quantity import SPEED, TORQUE, exact

TABLE_FILE = "prop.table"


def _senses_and_schedules(definition, device, pad):
    per_turn = oracle.counts_per_rotor_turn(device, pad)
    stages = [s for s in definition["stages"] if s["spool"] == pad["spool"]]
    yield "counts_per_rotor_turn", str(per_turn)
    yield "positive", oracle.positive(device, pad)
    yield "rotation", oracle.pad_sense(pad)
    rows = []
    for stage in stages:
        whole, num, den = oracle.schedule(per_turn, stage["blades"], device["stepping"])
        row = {"stage": stage["id"], "whole": whole, "num": num, "den": den}
        row["order"] = oracle.passing_order(definition, stage)
        row["datums"] = oracle.datum_counts(definition, stage, per_turn)
        rows.append(row)
    yield "stages", rows


def expected(definition, device, pad):
    """What the table must say of a pad, by key."""
    spool = next(s for s in definition["spools"] if s["id"] == pad["spool"])
    answer = dict(_senses_and_schedules(definition, device, pad))
    known = oracle.backlash_known(pad)
    answer["backlash_counts"] = oracle.backlash_counts(device, pad) if known else None
    answer["torque_limit"] = oracle.torque_limit(device, pad)
    answer["speed_limit"] = oracle.speed_limit(device, pad, spool)
    return answer


def _limit(told, units):
    return exact(told["value"]) * units[told["unit"]]


def difference(definition, device, told):
    """The first thing in which the table differs, in words, or None."""
    for stage in told["stages"]:
        known = [(blade["blade"], blade["how"]) for blade in stage["known_blades"]]
        if known != oracle.known_blades(definition, stage["id"]):
            return f"{stage['id']} in the table: the known blades are {known}"
    got = {pad["id"]: pad for pad in told["pads"]}
    if sorted(got) != sorted(pad["id"] for pad in definition["pads"]):
        return f"the table has the pads {sorted(got)}"
    for pad in definition["pads"]:
        answer = dict(got[pad["id"]])
        answer["torque_limit"] = _limit(answer["torque_limit"], TORQUE)
        answer["speed_limit"] = _limit(answer["speed_limit"], SPEED)
        for key, right in expected(definition, device, pad).items():
            if answer[key] != right:
                return f"{pad['id']} in the table: {key} is {answer[key]}, must be {right}"
    return None


def compiled(folder, device_file, names):
    """The engines of the table made of these files, by id; ValueError where a step fails."""
    against = [word for name in names for word in ("--against", name)]
    steps = (
        ("compile", "--device", device_file, "-o", TABLE_FILE, *names),
        ("verify", TABLE_FILE, "--device", device_file, *against),
        ("show", "--format", "json", TABLE_FILE),
    )
    for step in steps:
        done = program.run(folder, *step)
        if done.returncode != 0:
            said = (done.stderr + done.stdout).decode("utf-8", "replace")
            errors = [line for line in said.splitlines() if " note: " not in line]
            raise ValueError(f"{step[0]}: status {done.returncode}: {' '.join(errors)[:400]}")
    return {engine["id"]: engine for engine in json.loads(done.stdout)["engines"]}
