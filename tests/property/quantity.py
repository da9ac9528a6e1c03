"""Numbers as definitions write them, read into exact fractions.

A value is `NUMBER [+/- NUMBER] UNIT`; a NUMBER is an integer, a decimal or a fraction. Turns,
counts and backlash are intervals: a decimal without a tolerance means everything that rounds to it,
half a unit of its last place either way; integers and fractions are exact.
"""

import functools
import re
from fractions import Fraction
from typing import NamedTuple

INCH = Fraction("0.0254")
POUND_FORCE = Fraction("4.4482216152605")
KILOGRAM_FORCE = Fraction("9.80665")


class Units(dict):
    """Each unit of a dimension in terms of its base."""

    __hash__ = object.__hash__  # so that what was read is remembered


# Revolutions, newton metres, revolutions a minute.
ANGLE = Units({"rev": Fraction(1), "deg": Fraction(1, 360), "arcmin": Fraction(1, 21600)})
TORQUE = Units({
    "N.m": Fraction(1),
    "lbf.ft": POUND_FORCE * 12 * INCH,
    "lbf.in": POUND_FORCE * INCH,
    "kgf.m": KILOGRAM_FORCE,
})
SPEED = Units({"rpm": Fraction(1), "deg/min": Fraction(1, 360), "deg/s": Fraction(60, 360)})
BARE = Units({"": Fraction(1)})

_SHAPE = re.compile(r"^\s*(\S+?)(?:\s*(?:\+/-|±)\s*(\S+))?(?:\s+([A-Za-z][A-Za-z./]*))?\s*$")


class Interval(NamedTuple):
    """What a written value can mean: `lo` and `hi` are included, `value` is as written."""

    lo: Fraction
    value: Fraction
    hi: Fraction

    def holds(self, number):
        return self.lo <= number <= self.hi

    def meets(self, other):
        return self.lo <= other.hi and other.lo <= self.hi

    def over(self, other):
        """The quotient of two positive intervals."""
        return Interval(self.lo / other.hi, self.value / other.value, self.hi / other.lo)

    def scaled(self, factor):
        return Interval(self.lo * factor, self.value * factor, self.hi * factor)


def _half_last_place(text):
    places = len(text.partition(".")[2])
    return Fraction(1, 2 * 10**places) if places else Fraction(0)


@functools.lru_cache(maxsize=4096)
def interval(text, units=BARE):
    """Read an interval; the result is in the base unit of `units`."""
    number, tolerance, unit = _SHAPE.match(str(text)).groups()
    value = Fraction(number)
    spread = _half_last_place(number) if tolerance is None else Fraction(tolerance)
    read = Interval(value - spread, value, value + spread)
    return read.scaled(units[unit or ""])


def exact(text, units=BARE):
    """Read a value that is exact as written (limits, profiles, clocking)."""
    return interval(text, units).value


def shown(number):
    """An exact number as the program's JSON writes it: "n" or "n/d" in lowest terms."""
    return str(number)
