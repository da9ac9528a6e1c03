"""The error budget of each stage, calculated independently in exact fractions.

Written from the words of rotor-definition(5), THE ERROR BUDGET. Angles are degrees of the rotor.
"""

from fractions import Fraction
from math import ceil, floor

import oracle
from quantity import ANGLE, Interval, interval

PITCH_SHARE = Fraction(1, 10)  # ratio-coarse and closure, where no policy sets them
BILLION = 10**9
DEGREES, PERCENT = 4, 2  # decimals of a shown number
NAMES = {"closure": "whole steps"}


def at_most(number, places):
    """A number rounded up to so many decimals."""
    return Fraction(ceil(number * 10**places), 10**places)


def decimal(number):
    """The shortest decimal of a number that has few decimals."""
    whole, rest = divmod(number.numerator * 10**DEGREES // number.denominator, 10**DEGREES)
    return f"{whole}.{rest:0{DEGREES}}".rstrip("0").rstrip(".")


# --- what is known ------------------------------------------------------------------------------


def proves(measured, finest):
    """Whether the ratios that a measurement allows are less than a pitch apart in a turn."""
    return (measured.hi - measured.lo) / measured.lo < Fraction(1, finest)


def measurements(definition, pad):
    """Each ratio that was measured through a pad."""
    blades = {stage["id"]: stage["blades"] for stage in definition["stages"]}
    for observation in definition.get("observations", []):
        if observation.get("pad") != pad["id"]:
            continue
        counted, returned = observation.get("counted"), observation.get("returned")
        if counted:
            yield interval(counted["pad"], ANGLE).over(interval(counted["rotor"], ANGLE))
        if returned and returned["after"] == blades[returned["stage"]]:
            yield interval(returned["pad"], ANGLE)


def ratio_of_engine(definition, pad):
    """Where the ratio of the engine lies; `value` is the one that the device uses."""
    stated = oracle.pad_ratio(pad)
    measured = list(measurements(definition, pad))
    if not all(one.meets(stated) for one in measured):
        return stated
    finest = max(stage["blades"] for stage in stages_of(definition, pad))
    known = [stated, *(one for one in measured if proves(one, finest))]
    low, high = max(one.lo for one in known), min(one.hi for one in known)
    return Interval(low, stated.value, high) if low <= high else stated


def stages_of(definition, pad):
    return [stage for stage in definition["stages"] if stage["spool"] == pad["spool"]]


def turns_until_found_again(definition, device, pad):
    """Rotor turns after which the drift is more than its share of the finest pitch; None: never."""
    per_turn = oracle.counts_per_rotor_turn(device, pad)
    blades = [stage["blades"] for stage in stages_of(definition, pad)]
    drift = oracle.uncertainty(oracle.pad_ratio(pad))
    if device["stepping"] == "fixed":
        drift += max(abs(oracle.closure(per_turn, count)) for count in blades) / per_turn
    if drift:
        return max(1, floor(PITCH_SHARE / max(blades) / drift))
    if device["stepping"] == "fixed":
        return None
    plans = [(count, oracle.schedule(per_turn, count)) for count in blades]
    ends = [oracle.turns_until_one_count_off(per_turn, count, plan) for count, plan in plans]
    return min((floor(end) for end in ends if end is not None), default=None)


# --- the parts ----------------------------------------------------------------------------------


class Stage:
    """A stage through a pad on a device."""

    def __init__(self, definition, device, pad, stage):
        self.blades = stage["blades"]
        self.per_turn = oracle.counts_per_rotor_turn(device, pad)
        self.fixed = device["stepping"] == "fixed"
        self.ratio = ratio_of_engine(definition, pad)
        self.observed = self.ratio[::2] != oracle.pad_ratio(pad)[::2]
        self.backlash_known = oracle.backlash_known(pad)
        self.backlash = 360 * oracle.rotor_backlash(pad) if self.backlash_known else Fraction(0)
        self.again = turns_until_found_again(definition, device, pad)
        plan = oracle.schedule(self.per_turn, self.blades)
        end = oracle.turns_until_one_count_off(self.per_turn, self.blades, plan)
        self.nearly = not self.fixed and end is not None

    def counts_off(self, steps, turns):
        """How far the count of a stop can be from its blade."""
        if self.fixed:
            return abs(oracle.closure(self.per_turn, self.blades)) * steps / self.blades
        return oracle.worst_error(self.per_turn, self.blades, turns)

    def parts(self, steps, turns):
        """(name, degrees), the largest first; degrees that are 0 are left out.

        The rotor is at (j/N + e/K) G/G' turns at a stop, instead of at j/N, so both ends of the
        interval are tried.
        """
        used = self.ratio.value
        ends = (self.ratio.lo, self.ratio.hi)
        counts = max(self.counts_off(steps, turns) / self.per_turn * used / end for end in ends)
        drift = max(Fraction(steps, self.blades) * abs(used / end - 1) for end in ends)
        found = [("closure" if self.fixed else "rounding", 360 * counts),
                 ("backlash", self.backlash), ("ratio", 360 * drift)]
        return sorted((part for part in found if part[1]), key=lambda part: -part[1])

    def places(self):
        """(rotor turns, steps, parts) of each place; rotor turns 0: any."""
        first = (1, self.blades - 1)
        grows = (self.ratio.lo != self.ratio.hi or self.ratio.lo != self.ratio.value or self.nearly
                 or self.fixed and oracle.closure(self.per_turn, self.blades) != 0)
        if not grows:
            return [(0, first[1], self.parts(first[1], 1))]
        again = min(self.again, (2**63 - 1) // self.blades)  # no device counts farther
        later = (again, again * self.blades)
        return [(turns, steps, self.parts(steps, turns)) for turns, steps in (first, later)]

    def greatest_share(self):
        """Of the pitch, in the last place."""
        return sum(degrees for _, degrees in self.places()[-1][2]) * self.blades / 360

    # --- in words

    def name(self, part):
        return "observed ratio" if part == "ratio" and self.observed else NAMES.get(part, part)

    def words(self):
        """(when, most, parts) of each place, as sheet, stops and explain have to write them."""
        for index, (turns, _, parts) in enumerate(self.places()):
            when = "" if turns == 0 else "in the first turn" if index == 0 else (
                f"in {turns} rotor turn{'s' if turns > 1 else ''}")
            shown = [(self.name(part), at_most(degrees, DEGREES)) for part, degrees in parts]
            total = sum(degrees for _, degrees in shown)
            share = at_most(total * self.blades / 360 * 100, PERCENT)
            most = f"at most {decimal(total)} deg, {decimal(share)} % of the pitch"
            said = [f"{part} {decimal(degrees)} deg" for part, degrees in shown]
            if not self.backlash_known:
                most = most + ", and the backlash" if parts else "only the backlash"
                said.append("backlash not given")
            elif not parts:
                most = "nothing"
            yield when, most, ", ".join(said)


def stages(definition, device):
    """{(pad, stage): its budget} of a definition."""
    return {(pad["id"], stage["id"]): Stage(definition, device, pad, stage)
            for pad in definition["pads"] for stage in stages_of(definition, pad)}


def difference_in_json(stage, told):
    """The first thing in which the budget that `stops` gives as JSON differs, in words, or None."""
    if told is None:
        return "the budget is not known"
    if told["backlash_known"] != stage.backlash_known:
        return f"backlash_known is {told['backlash_known']}"
    kind = ("observed" if stage.observed else
            "exact" if stage.ratio.lo == stage.ratio.hi else "stated")
    if told["ratio"] != kind:
        return f"ratio is {told['ratio']}, must be {kind}"
    places = stage.places()
    if [(p["rotor_turns"], p["steps"]) for p in told["places"]] != [p[:2] for p in places]:
        return f"the places are {told['places']}, must be {places}"
    # A schedule that is only near the exact one is bounded to a millionth of a count.
    slack = Fraction(1, BILLION)
    if stage.nearly:
        slack += Fraction(3 * 360, 10**6) / stage.per_turn * stage.ratio.value / stage.ratio.lo
    for place, (_, _, parts) in zip(told["places"], places):
        got = [(part["part"], Fraction(part["deg"])) for part in place["parts"]]
        if [part for part, _ in got] != [part for part, _ in parts]:
            return f"the parts are {got}, must be {parts}"
        for (part, degrees), (_, exact) in zip(got, parts):
            if not exact <= degrees < exact + slack:
                return f"{part} is {degrees}, must be {exact}"
        if Fraction(place["deg"]) != sum(degrees for _, degrees in got):
            return f"{place['deg']} is not the sum of {got}"
        if Fraction(place["share_of_pitch"]) != Fraction(place["deg"]) * stage.blades / 360:
            return f"{place['share_of_pitch']} is not the share of {place['deg']}"
    return None
