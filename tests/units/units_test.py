"""Conversions compared with GNU units, and with the definitions by decimal arithmetic.

GNU units computes with doubles, so its answers are good to about 15 digits; ours are exact. The
definitions of the inch, the foot, the pound-force and the kilogram-force: NIST SP 811, appendix B.
"""

import itertools
import pathlib
import random
import subprocess
import sys
import unittest
from fractions import Fraction

from calculator import ask

sys.path.insert(1, str(pathlib.Path(__file__).resolve().parents[1]))
import share  # noqa: E402

DRAWS = share.number(20000, least=4000)

INCH = Fraction("25.4")
POUND_FORCE = Fraction("4.4482216152605")

# Our name: what GNU units calls it, and the definition in the dimension's base unit.
ANGLE = {"deg": ("degree", Fraction(1)), "arcmin": ("arcmin", Fraction(1, 60)),
         "rev": ("turn", Fraction(360))}
TORQUE = {"N.m": ("N m", Fraction(1)),
          "lbf.ft": ("lbf ft", POUND_FORCE * 12 * INCH / 1000),
          "lbf.in": ("lbf in", POUND_FORCE * INCH / 1000),
          "kgf.m": ("kgf m", Fraction("9.80665"))}
SPEED = {"deg/min": ("degree/minute", Fraction(1)), "deg/s": ("degree/s", Fraction(60)),
         "rpm": ("rpm", Fraction(360))}
SHARE = {"%": ("percent", Fraction(1, 100))}
DIMENSIONS = [ANGLE, TORQUE, SPEED, SHARE]

# The last place or two of a double.
CLOSE = Fraction(1, 10**15)

LARGEST = 2**63 - 1


def pairs():
    """Every ordered pair of units of one dimension."""
    for dimension in DIMENSIONS:
        for one, other in itertools.product(dimension, repeat=2):
            yield dimension, one, other


def gnu_units(have, want):
    """The factor that GNU units prints, as the exact value of its decimals."""
    done = subprocess.run(["units", "--terse", "--output-format", "%.17g", "1 " + have, want],
                          capture_output=True, text=True, check=True)
    return Fraction(done.stdout.strip())


class Units(unittest.TestCase):

    def test_factors_against_gnu_units(self):
        cases = list(pairs())
        answers = ask([f"in 1 {one} {other}" for _, one, other in cases])
        for (dimension, one, other), answer in zip(cases, answers):
            with self.subTest(one=one, other=other):
                theirs = gnu_units(dimension[one][0], dimension[other][0])
                ours = Fraction(answer)
                self.assertLess(abs(theirs / ours - 1), CLOSE)

    def test_factors_against_the_definitions(self):
        cases = list(pairs())
        answers = ask([f"in 1 {one} {other}" for _, one, other in cases])
        for (dimension, one, other), answer in zip(cases, answers):
            with self.subTest(one=one, other=other):
                self.assertEqual(Fraction(answer), dimension[one][1] / dimension[other][1])

    def test_foot_pound_is_exact(self):
        """By hand: 4.4482216152605 x 0.3048."""
        self.assertEqual(Fraction(ask(["in 1 lbf.ft N.m"])[0]), Fraction("1.3558179483314004"))


class RandomMeasures(unittest.TestCase):
    """Conversion, comparison and steps against Python's fractions, far out to the limits."""

    def setUp(self):
        self.random = random.Random(20)

    def draw(self):
        num = self.random.getrandbits(self.random.randint(0, 63))
        den = self.random.getrandbits(self.random.randint(0, 63))
        return Fraction(num, max(den, 1))

    def draw_pair(self):
        """Two measures of one dimension, often so near each other that only exactness tells."""
        dimension = self.random.choice(DIMENSIONS)
        one, other = (self.random.choice(list(dimension)) for _ in range(2))
        value = self.draw()
        base = value * dimension[one][1]
        near = (base / dimension[other][1]).limit_denominator(
            self.random.choice([1, 1000, 10**9, LARGEST]))
        if self.random.random() < 0.3 or near.numerator > LARGEST:
            near = self.draw()
        return value, one, near, other, base, near * dimension[other][1]

    def test_in(self):
        cases = []
        for _ in range(DRAWS):
            value, one, _, other, base, _ = self.draw_pair()
            factor = next(d[other][1] for d in DIMENSIONS if other in d)
            cases.append((f"in {value} {one} {other}", base / factor))
        unfit = 0
        for (question, exact), answer in zip(cases, ask([q for q, _ in cases])):
            fits = exact.numerator <= LARGEST and exact.denominator <= LARGEST
            self.assertEqual(answer, str(exact) if fits else "none", question)
            unfit += not fits
        self.assertGreater(unfit, DRAWS // 200)

    def test_compare(self):
        cases = []
        for _ in range(DRAWS):
            value, one, near, other, base, near_base = self.draw_pair()
            cases.append((f"compare {value} {one} {near} {other}",
                          (base > near_base) - (base < near_base)))
        for (question, sign), answer in zip(cases, ask([q for q, _ in cases])):
            self.assertEqual(answer, str(sign), question)

    def test_steps(self):
        cases = []
        while len(cases) < DRAWS // 4:
            value, one, near, other, base, near_base = self.draw_pair()
            if near_base == 0:
                continue
            if self.random.random() < 0.5:
                near /= self.random.randint(1, 1000)
                near_base = near * next(d[other][1] for d in DIMENSIONS if other in d)
                if near.denominator > LARGEST:
                    continue
            quotient = base / near_base
            down, up = quotient.numerator // quotient.denominator, -(-quotient // 1)
            cases.append((f"steps {value} {one} {near} {other}",
                          (str(down) if down <= LARGEST else "no 0") + " "
                          + (str(up) if up <= LARGEST else "none")))
        for (question, steps), answer in zip(cases, ask([q for q, _ in cases])):
            self.assertEqual(answer, steps, question)


if __name__ == "__main__":
    unittest.main()
