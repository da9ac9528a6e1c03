"""The reader of quantities compared with the grammar written as one regular expression."""

import pathlib
import random
import re
import sys
import unittest
from fractions import Fraction

from calculator import ask

sys.path.insert(1, str(pathlib.Path(__file__).resolve().parents[1]))
import share  # noqa: E402

UNITS = {0: [""], 1: ["deg", "arcmin", "rev"], 2: ["N.m", "lbf.ft", "lbf.in", "kgf.m"],
         3: ["rpm", "deg/min", "deg/s"], 4: ["%"]}
ALL_UNITS = [unit for units in UNITS.values() for unit in units]
MOST_DIGITS = 18

NUMBER = r"(?:0|[1-9][0-9]*)(?:\.[0-9]+|/(?:0|[1-9][0-9]*))?"
QUANTITY = re.compile(rf"(-?{NUMBER})(?:[ \t]*(?:\+/-|±)[ \t]*({NUMBER}))?(?:[ \t]*([^ \t].*))?",
                      re.S)


def digits(text):
    """How many digits a text has."""
    return sum(letter.isdigit() for letter in text)


def number(text):
    """The value, or None where it does not fit or divides by nothing."""
    before, stroke, after = text.partition("/")
    if stroke:
        if int(after) == 0 or max(digits(before), digits(after)) > MOST_DIGITS:
            return None
    elif digits(before) > MOST_DIGITS:
        return None
    return Fraction(text)


def expected(text, dimension):
    """The calculator's answer for a text that is a quantity, or None."""
    match = QUANTITY.fullmatch(text)
    if not match or (match[3] or "") not in UNITS[dimension]:
        return None
    stated = number(match[1])
    tolerance = number(match[2]) if match[2] else 0
    if stated is None or tolerance is None:
        return None
    places = len(match[1].partition(".")[2])
    form = 2 if "/" in match[1] else 1 if places else 0
    half = Fraction(0) if form == 2 else Fraction(1, 2 * 10**places)
    shown = tolerance if match[2] else "-"
    return f"0 {stated} {shown} {half} {form} {places} {match[3] or ''}"


class Quantities(unittest.TestCase):

    def setUp(self):
        self.random = random.Random(7)

    def check(self, texts):
        """Reads each text as each dimension; returns how many were quantities."""
        cases = [(text, dimension) for text in texts for dimension in UNITS]
        answers = ask([f"read {dimension} {text.encode().hex() or '-'}"
                       for text, dimension in cases])
        read = 0
        for (text, dimension), answer in zip(cases, answers):
            wanted = expected(text, dimension)
            read += wanted is not None
            if wanted is None:
                self.assertFalse(answer.startswith("0 "), (text, dimension, answer))
            else:
                self.assertEqual(answer, wanted, (text, dimension))
        return read

    def draw_number(self):
        digits = str(self.random.getrandbits(self.random.randint(0, 66)))
        kind = self.random.randrange(6)
        if kind < 2:
            cut = self.random.randint(0, len(digits))
            return (digits[:cut] or "0") + "." + digits[cut:]
        if kind < 3:
            return digits + "/" + str(self.random.getrandbits(self.random.randint(0, 64)))
        return digits

    def blanks(self):
        return self.random.choice(["", "", " ", "\t", "  "])

    def test_made_from_the_grammar(self):
        """Texts that mostly are quantities, some with a byte changed, put in or taken out."""
        texts = []
        count = share.number(8000, least=2000)
        for _ in range(count):
            text = self.random.choice(["", "", "", "-"]) + self.draw_number()
            if self.random.random() < 0.4:
                text += self.blanks() + self.random.choice(["+/-", "±"]) + self.blanks()
                text += self.draw_number()
            text += self.blanks() + self.random.choice(ALL_UNITS)
            if self.random.random() < 0.4:
                at = self.random.randint(0, len(text))
                put = self.random.choice(["", *"0123456789./+-±% _:x\0"])
                text = text[:at] + put + text[at + self.random.randint(0, 1):]
            texts.append(text)
        self.assertGreater(self.check(texts), count // 4)

    def test_any_characters(self):
        count = share.number(12000, least=3000)
        texts = ["".join(self.random.choices("0012589./+-± \tdegrvpmin%ftlb.x_:", k=k % 9))
                 for k in range(count)]
        self.assertGreater(self.check(texts), count // 60)


if __name__ == "__main__":
    unittest.main()
