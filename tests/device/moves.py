"""What a device should print in its trial, calculated from the rules without the reader.

Stop j is at j times the step, rounded half up. A move takes the way with less travel, at a tie the
normal one. A way back goes beyond the stop by the backlash and a margin, and returns. The margin is
a quarter of the backlash, rounded up, and at least one count. Where there is no way back, every
move goes in the normal direction. Numbers are Python's fractions, so nothing is rounded by
accident.
"""

import functools
from fractions import Fraction

FIRST_COUNTER = 2147480000  # as in trial.c


def floor(number):
    return number.numerator // number.denominator


def overshoot(backlash):
    """Counts beyond the stop on a way back."""
    return backlash + max(1, -(-backlash // 4))


class Row:
    """One stage as one pad turns it."""

    def __init__(self, blades, step, order, positive, bits=32, backlash=None):
        """`step` in counts; `backlash` in counts, None where the pad must never go back."""
        self.blades, self.step, self.backlash = blades, Fraction(step), backlash
        self.rising, self.positive, self.bits = order == "rising", positive, bits
        self.stop = functools.lru_cache(maxsize=None)(self.stop)

    def stop(self, number):
        """Counts in the normal direction from blade one to any stop, negative numbers too."""
        return floor(number * self.step + Fraction(1, 2))

    def blade(self, number):
        """The blade at the port there."""
        return (number if self.rising else -number) % self.blades + 1

    def counter(self, number):
        """The device's counter there, wrapped."""
        half = 1 << (self.bits - 1)
        return (FIRST_COUNTER + self.positive * self.stop(number) + half) % (2 * half) - half

    def move(self, number, blade):
        """From a stop to a blade: the stop's number there, and the legs in the device's counts."""
        passed = (blade - self.blade(number)) * (1 if self.rising else -1) % self.blades
        forth = number + passed
        back = forth - self.blades if passed else number
        ahead = self.stop(forth) - self.stop(number)
        behind = self.stop(number) - self.stop(back)
        if ahead == 0:
            return number, []
        if self.backlash is None or behind + 2 * overshoot(self.backlash) >= ahead:
            return forth, [self.positive * ahead]
        beyond = overshoot(self.backlash)
        return back, [-self.positive * (behind + beyond), self.positive * beyond]

    def known(self, blade, how):
        """The lines of a known blade: it, and the stop after it, where count 0 is at the blade."""
        after = (blade if self.rising else blade - 2) % self.blades + 1
        return [f"known {blade} {how}", f"from {after} {self.counter(1)}"]

    def steps(self):
        """The lines of one turn there and back."""
        there = [f"{self.blade(n)} {self.counter(n)}" for n in range(self.blades + 1)]
        return [f"stop {line}" for line in there] + [f"back {line}" for line in there[-2::-1]]

    def moves(self):
        """The lines of every move from each blade to each other."""
        lines, number = [], 0
        blades = range(1, self.blades + 1)
        for goal in (goal for a in blades for b in blades if a != b for goal in (a, b)):
            number, legs = self.move(number, goal)
            first, second = (legs + [0, 0])[:2]
            lines.append(f"move {goal} {len(legs)} {first} {second} {self.counter(number)} {goal}")
        return lines


def row_of(pair, shown):
    """A row from an object of `stops` and the table as `show` prints it."""
    engine = next(e for e in shown["engines"] if e["id"] == pair["engine"])
    pad = next(p for p in engine["pads"] if p["id"] == pair["pad"])
    spool = next(s for s in engine["spools"] if s["id"] == pad["spool"])
    one_way = pad["drives"] != "both" or spool["never_backwards"]
    if shown["device"]["stepping"] == "fixed":
        step = pair["whole"]
    else:
        step = Fraction(pair["counts_per_rotor_turn"]) / pair["blades"]
    return Row(pair["blades"], step, pair["order"], pair["positive"],
               shown["device"]["counter_bits"], None if one_way else pad["backlash_counts"])


def expected(pairs, shown):
    """Every line of a trial. The pairs are in the table's order, each pad's together."""
    lines, pad_before = [f"table {shown['bytes']}"], None
    for pair in pairs:
        row = row_of(pair, shown)
        lines.append(f"pair {pair['engine']} {pair['pad']} {pair['stage']} {pair['blades']}")
        for stop in sorted((s for s in pair["stops"] if s["known_by"]), key=lambda s: s["blade"]):
            lines += row.known(stop["blade"], stop["known_by"])
        lines += row.steps()
        if (pair["engine"], pair["pad"]) != pad_before:
            lines += row.moves()
        pad_before = (pair["engine"], pair["pad"])
    return lines + ["end"]
