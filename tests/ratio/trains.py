"""Every train within bounds on teeth, made one by one: what the program must find, and no more.

Nothing here is clever. A train is a set of gears on the pad sides and a set on the rotor sides;
an epicyclic is solved from Willis's equation member by member. What is made is kept by its ratio as
(numerator, denominator) in lowest terms: whole numbers are quicker than fractions.
"""

import bisect
import functools
import itertools
import math
from fractions import Fraction


def simplicity(ratio):
    """The order in which candidates are shown."""
    return ratio.numerator + ratio.denominator, ratio.numerator


def lowest(num, den):
    """The fraction in lowest terms: quicker in large numbers than a Fraction is."""
    common = math.gcd(num, den)
    return num // common, den // common


@functools.lru_cache(maxsize=None)
def sides(meshes, low, high):
    """Product: (ways, least sum of teeth) of so many gears, one side of a train."""
    made = {}
    for side in itertools.combinations_with_replacement(range(low, high + 1), meshes):
        product, teeth = math.prod(side), sum(side)
        ways, least = made.get(product, (0, teeth))
        made[product] = ways + 1, teeth if teeth < least else least
    return made


@functools.lru_cache(maxsize=None)
def pairs(meshes, low, high):
    """Ratio: (ways, least sum of teeth) of trains of so many pairs of gears."""
    made = {}
    one_side = sides(meshes, low, high).items()
    for (pad, (pad_ways, pad_sum)), (rotor, (ways, rotor_sum)) in itertools.product(one_side,
                                                                                   repeat=2):
        _enter(made, lowest(rotor, pad), pad_ways * ways, pad_sum + rotor_sum)
    return made


def _enter(made, ratio, ways, teeth):
    had_ways, had_teeth = made.get(ratio, (0, teeth))
    made[ratio] = had_ways + ways, min(had_teeth, teeth)


def _speed(sun, ring, held, member, other):
    """Speed of a member while another one turns once, the held one standing still.

    (ws - wc) Zs = -(wr - wc) Zr, Willis.
    """
    speeds = {held: Fraction(0), other: Fraction(1)}
    s, r, c = (speeds.get(name) for name in ("sun", "ring", "carrier"))
    if member == "sun":
        return c - (r - c) * Fraction(ring, sun)
    if member == "ring":
        return c - (s - c) * Fraction(sun, ring)
    # s Zs + r Zr = c (Zs + Zr)
    return (s * sun + r * ring) / (sun + ring)


@functools.lru_cache(maxsize=None)
def epicyclics(low, high):
    """Ratio: (ways, least sum of teeth) of single epicyclics."""
    made = {}
    for sun in range(low, high + 1):
        for planet in range(low, high + 1):
            ring = sun + 2 * planet
            if ring > high:
                continue
            for pad, rotor, held in itertools.permutations(("sun", "ring", "carrier")):
                ratio = abs(_speed(sun, ring, held, pad, rotor))
                _enter(made, ratio.as_integer_ratio(), 1, sun + planet + ring)
    return made


def trains(meshes, low, high, epicyclic=False, known=Fraction(1)):
    """Ratio: (ways, least sum of teeth) of trains of first..last meshes beside the known ones."""
    made = {}
    first, last = meshes
    for count in range(first, last + 1):
        for (num, den), (ways, teeth) in pairs(count, low, high).items():
            _enter(made, lowest(num * known.numerator, den * known.denominator), ways, teeth)
        if not epicyclic or count == 0:
            continue
        others = pairs(count - 1, low, high)
        for (one_num, one_den), (one_ways, one_teeth) in epicyclics(low, high).items():
            times_num, times_den = one_num * known.numerator, one_den * known.denominator
            for (num, den), (ways, teeth) in others.items():
                _enter(made, lowest(num * times_num, den * times_den), ways * one_ways,
                       teeth + one_teeth)
    return made


def within(made, low, high):
    """The ratios of an interval, simplest first."""
    found = [(num, den) for num, den in made
             if low.numerator * den <= num * low.denominator
             and num * high.denominator <= high.numerator * den]
    return sorted((Fraction(*ratio) for ratio in found), key=simplicity)


def pairs_within(meshes, teeth, low, high):
    """The ratios that so many pairs make in a narrow interval, simplest first, as (num, den).

    For each product of the pad side it looks up the products of the rotor side that fit.
    """
    products = sorted(sides(meshes, *teeth))
    (low_num, low_den), (high_num, high_den) = low.as_integer_ratio(), high.as_integer_ratio()
    found = set()
    for pad in products:
        start = bisect.bisect_left(products, -(-pad * low_num // low_den))
        end = bisect.bisect_right(products, pad * high_num // high_den, start)
        for rotor in products[start:end]:
            common = math.gcd(rotor, pad)
            found.add((rotor // common, pad // common))
    return sorted(found, key=lambda ratio: (sum(ratio), ratio[0]))


def pairs_up_to(meshes, teeth, low, high, total):
    """Those of them whose numerator and denominator add up to `total` at most.

    For each denominator it looks up the products of the pad side that are multiples of it.
    """
    products = sides(meshes, *teeth)
    most = max(products)
    found = []
    for den in range(1, total):
        nums = range(math.ceil(low * den), min(math.floor(high * den), total - den) + 1)
        if not nums:
            continue
        if most // den < len(products):
            times = [pad // den for pad in range(den, most + 1, den) if pad in products]
        else:
            times = [pad // den for pad in products if pad % den == 0]
        for num in nums:
            if math.gcd(num, den) == 1 and any(num * time in products for time in times):
                found.append((num, den))
    return sorted(found, key=lambda ratio: (sum(ratio), ratio[0]))


def ways_of(ratio, meshes, low, high):
    """In how many ways pairs make a ratio, and the least sum of teeth, by their products."""
    products = sides(meshes, low, high)
    total, least = 0, 10**9
    for pad, (pad_ways, pad_teeth) in products.items():
        if pad % ratio.denominator:
            continue
        rotor = pad // ratio.denominator * ratio.numerator
        if rotor in products:
            ways, teeth = products[rotor]
            total += ways * pad_ways
            least = min(least, teeth + pad_teeth)
    return total, least
