"""Every train within bounds on teeth, made one by one: what the program must find, and no more.

Nothing here is clever. A train is a set of gears on the pad sides and a set on the rotor sides;
an epicyclic is solved from Willis's equation member by member.
"""

import bisect
import itertools
import math
from collections import defaultdict
from fractions import Fraction


def simplicity(ratio):
    """The order in which candidates are shown."""
    return ratio.numerator + ratio.denominator, ratio.numerator


def pairs(meshes, low, high):
    """Ratio: (ways, least sum of teeth) of trains of so many pairs of gears."""
    sides = [(math.prod(side), sum(side))
             for side in itertools.combinations_with_replacement(range(low, high + 1), meshes)]
    made = {}
    for (pad, pad_sum), (rotor, rotor_sum) in itertools.product(sides, repeat=2):
        _enter(made, Fraction(rotor, pad), 1, pad_sum + rotor_sum)
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
                _enter(made, ratio, 1, sun + planet + ring)
    return made


def trains(meshes, low, high, epicyclic=False, known=Fraction(1)):
    """Ratio: (ways, least sum of teeth) of trains of first..last meshes beside the known ones."""
    made = {}
    first, last = meshes
    for count in range(first, last + 1):
        for ratio, (ways, teeth) in pairs(count, low, high).items():
            _enter(made, ratio * known, ways, teeth)
        if not epicyclic or count == 0:
            continue
        others = pairs(count - 1, low, high)
        for one, (one_ways, one_teeth) in epicyclics(low, high).items():
            for ratio, (ways, teeth) in others.items():
                _enter(made, ratio * one * known, ways * one_ways, teeth + one_teeth)
    return made


def within(made, low, high):
    """The ratios of an interval, simplest first."""
    return sorted((ratio for ratio in made if low <= ratio <= high), key=simplicity)


def pairs_within(meshes, teeth, low, high):
    """The ratios that so many pairs make in a narrow interval, simplest first.

    For each product of the pad side it looks up the products of the rotor side that fit.
    """
    products = sorted({math.prod(side) for side in itertools.combinations_with_replacement(
        range(teeth[0], teeth[1] + 1), meshes)})
    found = set()
    for pad in products:
        start = bisect.bisect_left(products, math.ceil(pad * low))
        end = bisect.bisect_right(products, math.floor(pad * high))
        for rotor in products[start:end]:
            common = math.gcd(pad, rotor)
            found.add((rotor // common, pad // common))
    return sorted((Fraction(*pair) for pair in found), key=simplicity)


def ways_of(ratio, meshes, low, high):
    """In how many ways pairs make a ratio, and the least sum of teeth, by their products."""
    products = defaultdict(lambda: (0, 10**9))
    for side in itertools.combinations_with_replacement(range(low, high + 1), meshes):
        ways, teeth = products[math.prod(side)]
        products[math.prod(side)] = ways + 1, min(teeth, sum(side))
    total, least = 0, 10**9
    for pad, (pad_ways, pad_teeth) in list(products.items()):
        rotor = pad * ratio
        if rotor.denominator == 1 and rotor.numerator in products:
            ways, teeth = products[rotor.numerator]
            total += ways * pad_ways
            least = min(least, teeth + pad_teeth)
    return total, least
