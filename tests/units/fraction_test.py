"""Arithmetic, rounding and nearest fractions compared with Python's fractions and decimals."""

import decimal
import pathlib
import random
import sys
import unittest
from fractions import Fraction

from calculator import ask

sys.path.insert(1, str(pathlib.Path(__file__).resolve().parents[1]))
import share  # noqa: E402

LARGEST = 2**63 - 1
DRAWS = share.number(20000, least=4000)


def fits(value):
    return abs(value.numerator) <= LARGEST and value.denominator <= LARGEST


class Fractions(unittest.TestCase):

    def setUp(self):
        self.random = random.Random(63)

    def check(self, cases):
        """Cases are (question, expected answer)."""
        for (question, expected), answer in zip(cases, ask([q for q, _ in cases])):
            self.assertEqual(answer, expected, question)

    def draw(self, bits=63):
        """Not negative; numbers of every size, and the largest ones more often than their share."""
        parts = [self.random.getrandbits(self.random.randint(0, bits)) for _ in range(2)]
        if bits == 63 and self.random.random() < 0.1:
            parts[self.random.randrange(2)] = LARGEST - self.random.randrange(3)
        return Fraction(parts[0], max(parts[1], 1))

    def draw_signed(self):
        return self.draw() * self.random.choice([-1, 1])

    def test_operations(self):
        cases = []
        for _ in range(DRAWS):
            a, b = self.draw_signed(), self.draw_signed()
            for name, result in (("add", a + b), ("sub", a - b), ("mul", a * b),
                                 ("div", a / b if b else None)):
                there = result is not None and fits(result)
                cases.append((f"{name} {a} {b}", str(result) if there else "none"))
        self.check(cases)

    def test_rounding(self):
        cases = []
        for _ in range(DRAWS):
            a = self.draw_signed()
            if self.random.random() < 0.3:
                a = Fraction(self.random.getrandbits(62) * 2 + 1, 2) * self.random.choice([-1, 1])
            half_up = (a + Fraction(1, 2)) // 1
            cases.append((f"round {a}", f"{a // 1} {-(-a // 1)} {half_up} {a % 1}"))
        self.check(cases)

    def test_decimals(self):
        context = decimal.Context(prec=200, rounding=decimal.ROUND_HALF_UP)
        cases = []
        for _ in range(DRAWS):
            a, places = self.draw_signed(), self.random.randint(0, 9)
            if self.random.random() < 0.3:
                a = Fraction(self.random.randint(-10**12, 10**12), 2 * 10**places)
            # A tie must not be hidden: 63-bit denominators cannot come closer than 200 digits tell.
            exact = context.divide(decimal.Decimal(a.numerator), decimal.Decimal(a.denominator))
            shown = f"{exact.quantize(decimal.Decimal(1).scaleb(-places), context=context):f}"
            if "." in shown:
                shown = shown.rstrip("0").rstrip(".")
            cases.append((f"decimal {a} {places}", "0" if shown == "-0" else shown))
        self.check(cases)

    def test_nearest(self):
        cases = []
        for _ in range(DRAWS):
            target = self.draw(self.random.choice([6, 20, 63]))
            most = max(1, self.random.getrandbits(self.random.randint(1, 63)))
            if self.random.random() < 0.3:
                most = max(1, min(LARGEST, target.denominator - self.random.randrange(3)))
            cases.append((f"nearest {target} {most}", str(target.limit_denominator(most))))
        self.check(cases)

    def test_nearest_at_ties(self):
        """Half way between two neighbours of a Farey sequence: the smaller denominator."""
        cases = []
        for bound in range(2, 40):
            a, b, c, d = 0, 1, 1, bound
            while c <= d * 2:
                if b != d:
                    middle = (Fraction(a, b) + Fraction(c, d)) / 2
                    cases.append((f"nearest {middle} {bound}",
                                  str(Fraction(a, b) if b < d else Fraction(c, d))))
                k = (bound + b) // d
                a, b, c, d = c, d, k * c - a, k * d - b
        self.check(cases)

    def test_simplest(self):
        """Against the definition: nothing with a smaller denominator lies in the interval."""
        cases = []
        for _ in range(DRAWS):
            lo, hi = sorted(self.draw(self.random.choice([6, 20, 63])) for _ in range(2))
            if self.random.random() < 0.7:
                hi = (lo + lo / self.random.randint(1, 10**6)).limit_denominator(10**9)
                if hi < lo or not fits(hi):
                    continue
            cases.append((lo, hi))
        for (lo, hi), answer in zip(cases, ask([f"simplest {lo} {hi}" for lo, hi in cases])):
            found = Fraction(answer)
            self.assertTrue(lo <= found <= hi, (lo, hi, answer))
            if found.denominator == 1:
                self.assertEqual(found, -(-lo // 1), (lo, hi, answer))
                continue
            # Its neighbours of smaller denominators, with which it makes the determinant 1, lie
            # outside on either side; between those two every denominator is at least its own.
            p, q = found.numerator, found.denominator
            left_den = pow(p, -1, q)
            left = Fraction((p * left_den - 1) // q, left_den)
            right_den = q - left_den
            self.assertLess(left, lo, (lo, hi, answer))
            right = Fraction(p - left.numerator, right_den)
            self.assertGreater(right, hi, (lo, hi, answer))


if __name__ == "__main__":
    unittest.main()
