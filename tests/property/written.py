"""Random numbers, and numbers as people write them down."""

from fractions import Fraction

from oracle import round_half_up


def log_uniform(rng, low, high):
    return Fraction(low * (high / low) ** rng.random()).limit_denominator(10**9)


def decimal(number, places):
    """Rounded half up to so many decimal places, none lost."""
    scaled = round_half_up(number * 10**places)
    if places == 0:
        return str(scaled)
    digits = str(scaled).rjust(places + 1, "0")
    return f"{digits[:-places]}.{digits[-places:]}"


def significant(number, digits):
    """Rounded to so many significant digits, but always a decimal."""
    whole = int(number)
    before = len(str(whole)) if whole else 1 - len(str(int(1 / number)))
    return decimal(number, max(1, digits - before))


def plus_minus(rng):
    return rng.choice(("+/-", "+/-", "±"))


def with_tolerance(rng, number, relative, inside=Fraction(4, 5)):
    """`value +/- tolerance` around, but not on, the number."""
    tolerance = number * relative
    places = 1
    while Fraction(1, 10**places) * 8 > tolerance:
        places += 1
    off = tolerance * inside * Fraction(rng.randint(-100, 100), 125)
    return f"{decimal(number + off, places)} {plus_minus(rng)} {decimal(tolerance, places)}"
