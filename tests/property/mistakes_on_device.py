"""Mistakes that show in what a device does: stops, backlash, torque, speed, squares."""

from fractions import Fraction

import judge
import oracle
from mistake import mistake
from quantity import SPEED, TORQUE, exact
from written import significant


@mistake("counts-few", "warning", judged=True)
def too_few_counts(case):
    case.only_row()
    pad = case.alone()
    case.need("adapter" not in pad)
    shaft = case.profile["shaft"]
    gearing = oracle.counts_per_output_turn(case.profile) / shaft["counts-per-motor-turn"]
    shaft["counts-per-motor-turn"] = max(1, round(8000 / gearing))  # a count is a part of the play
    wanted = Fraction(45 * case.finest(pad))
    ratio = wanted / oracle.counts_per_output_turn(case.profile)
    pad["turns"] = {"pad": significant(ratio, 6), "rotor": 1}
    pad["backlash"] = significant(ratio * 36 / case.finest(pad), 3) + " deg"
    speed = 2 * exact(case.profile["speed"]["min"], SPEED) / ratio
    case.need(speed < 2)
    case.spool(pad)["max-speed"] = significant(speed, 4) + " rpm"


@mistake("counter-short", judged=True)
def counter_too_short(case):
    pad = case.only_pad()
    turns = 100 * oracle.counts_per_rotor_turn(case.profile, pad)
    case.profile["counter-bits"] = int(turns).bit_length()
    case.need(case.profile["counter-bits"] >= 16)


@mistake("number-too-large", judged=True)
def fewer_counts_than_blades(case):
    case.only_pad()
    shaft = case.profile["shaft"]
    case.need("path" not in shaft)
    shaft["counts-per-motor-turn"] = 1
    shaft["reduction"] = {"motor": 1, "output": case.rng.randint(500, 2000)}


@mistake("number-too-large", judged=True)
def more_counts_than_a_table_holds(case):
    pad = case.only_pad()
    shaft = case.profile["shaft"]
    case.need("path" not in shaft)
    shaft["counts-per-motor-turn"] = 1
    case.profile["counter-bits"] = 64
    other = oracle.counts_per_rotor_turn(case.profile, pad) / exact(shaft["reduction"]["motor"])
    motor = 2**30 / other
    shaft["reduction"]["motor"] = str(motor)
    case.need(max(motor.numerator, motor.denominator) < 10**18)  # what a number may be
    case.need(judge.fits(oracle.counts_per_output_turn(case.profile)))


@mistake("step-not-whole", judged=True)
def whole_step_does_not_close(case):
    case.only_row()
    case.need(case.profile["stepping"] == "scheduled")
    case.profile["stepping"] = "fixed"


@mistake("backlash-large", judged=True)
def backlash_beyond_a_quarter_pitch(case):
    pad = case.pad(lambda p: "backlash" in p)
    share = Fraction(case.rng.randint(30, 90), 100) / case.finest(pad)
    degrees = share * oracle.pad_ratio(pad).value * 360
    pad["backlash"] = significant(degrees, 4) + " deg"


@mistake("backlash-small", "note", judged=True)
def backlash_of_less_than_a_mesh(case):
    pad = case.pad(lambda p: "backlash" in p)
    share = Fraction(case.rng.randint(10, 95), 100)
    pad["backlash"] = case.one((significant(share / 10, 3) + " deg",
                                significant(share * 6, 3) + " arcmin"))


@mistake("backlash-missing", "warning", judged=True)
def backlash_of_the_adapter_not_stated(case):
    pad = case.pad(lambda p: "backlash" in p and "backlash" in p.get("adapter", {}))
    del pad["adapter"]["backlash"]


@mistake("backlash-missing", "warning", judged=True)
def backlash_not_stated(case):
    pad = case.pad(lambda p: "backlash" in p and "adapter" not in p)
    del pad["backlash"]


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


@mistake("speed-missing", judged=True)
def no_speed(case):
    case.spool(case.pad()).pop("max-speed")


@mistake("speed-unusual", "warning", judged=True)
def too_fast_to_look(case):
    case.spool(case.pad())["max-speed"] = "725 deg/min"


@mistake("speed-below-device", judged=True)
def slower_than_the_device_can(case):
    pad = case.only_pad()
    geared = oracle.pad_ratio(pad).lo * oracle.adapter_ratio(pad)
    slowest = Fraction("0.3") / geared  # deg/min
    case.spool(pad)["max-speed"] = significant(slowest, 4) + " deg/min"
