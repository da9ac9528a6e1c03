"""The candidates of `ratio` compared with all trains, made one by one: none missing, none extra.

Both ways of searching are met: all fractions where these are few, and by their simplicity where
the interval is wide.
"""

import itertools
import pathlib
import random
import sys
import unittest
from fractions import Fraction

from program import ask, ratios
from trains import (epicyclics, lowest, pairs, pairs_up_to, pairs_within, simplicity, trains,
                    ways_of, within)

sys.path.insert(1, str(pathlib.Path(__file__).resolve().parents[1]))
import share  # noqa: E402

MOST = 1000  # rows that the program shows at most
KNOWN = {(27, 44): Fraction(44, 27), (13, 7): Fraction(7, 13)}


def given(low, high):
    """Options for an interval whose ends are exact."""
    middle, half = (low + high) / 2, (high - low) / 2
    return ["--turns", f"{middle} +/- {half}"] if middle.denominator != 1 or half == 0 else [
        "--turns", f"{middle.numerator} +/- {half}"]


def bounds(teeth, meshes):
    return ["--teeth", f"{teeth[0]}..{teeth[1]}", "--meshes", f"{meshes[0]}..{meshes[1]}"]


def product(row):
    """What the gears of a row make, and the sum of their teeth."""
    ratio, teeth = Fraction(1), 0
    for mesh in row["meshes"]:
        if "teeth" in mesh:
            ratio *= Fraction(mesh["teeth"][1], mesh["teeth"][0])
            teeth += sum(mesh["teeth"])
            continue
        sun, planet, ring = mesh["sun"], mesh["planet"], mesh["ring"]
        assert ring == sun + 2 * planet
        speeds = {"sun": Fraction(1), "ring": Fraction(-sun, ring), "carrier": Fraction(0)}
        held = speeds[mesh["held"]]
        ratio *= abs((speeds[mesh["in"]] - held) / (speeds[mesh["out"]] - held))
        teeth += sun + planet + ring
    return ratio, teeth


class Small(unittest.TestCase):
    """Bounds so small that every train can be made."""

    def check(self, made, low, high, options):
        expected = within(made, low, high)
        status, answer = ask(*given(low, high), "--most", MOST, *options)
        self.assertEqual(status, 0 if expected else 1, options)
        self.assertEqual(ratios(answer), expected[:MOST], options)
        if answer["total_is_least"]:
            self.assertLessEqual(answer["total"], len(expected))
            self.assertGreater(answer["total"], MOST)
        else:
            self.assertEqual(answer["total"], len(expected), options)
        for row in answer["candidates"]:
            ways, teeth = made[Fraction(row["ratio"]).as_integer_ratio()]
            self.assertEqual(row["gear_sets"], ways, row)
            self.assertEqual(row["teeth"], teeth, row)
        return answer

    def check_gears(self, answer, teeth, known=Fraction(1)):
        for row in answer["candidates"]:
            ratio, total = product(row)
            self.assertEqual(ratio * known, Fraction(row["ratio"]), row)
            self.assertEqual(total, row["teeth"], row)
            gears = itertools.chain.from_iterable(
                mesh.get("teeth") or [mesh["sun"], mesh["planet"], mesh["ring"]]
                for mesh in row["meshes"])
            self.assertTrue(all(teeth[0] <= gear <= teeth[1] for gear in gears), row)

    def intervals(self, made, count, seed):
        """Some intervals: between ratios that are made, at them, and where none is."""
        draw = random.Random(seed)
        made = sorted(made, key=lambda ratio: ratio[0] / ratio[1])  # no two are as near as that
        for _ in range(count):
            first, last = sorted(draw.choices(range(len(made)), k=2))
            low, high = Fraction(*made[first]), Fraction(*made[min(last, first + 1200)])
            yield low, high                                      # ends included
            yield low, low                                       # a single ratio
            if first + 1 < len(made):
                gap = Fraction(*made[first + 1]) - low
                yield low + gap / 3, low + gap / 2               # none
                yield low - low / 999, low + gap / 7

    def run_all(self, teeth, meshes, count, epicyclic=False, known=()):
        factor = Fraction(1)
        options = bounds(teeth, (meshes[0] + len(known), meshes[1] + len(known)))
        for mesh in known:
            factor *= KNOWN[mesh]
            options += ["--known", f"{mesh[0]}/{mesh[1]}"]
        if epicyclic:
            options += ["--epicyclic", "yes"]
        made = trains(meshes, *teeth, epicyclic, factor)
        for low, high in self.intervals(made, share.number(count), str(options)):
            self.check_gears(self.check(made, low, high, options), teeth, factor)

    def test_one_mesh(self):
        self.run_all((8, 40), (1, 1), 12)
        self.run_all((1, 12), (1, 1), 12)
        self.run_all((17, 17), (1, 1), 1)

    def test_two_meshes(self):
        self.run_all((8, 17), (1, 2), 12)
        self.run_all((12, 20), (2, 2), 8)

    def test_three_meshes(self):
        self.run_all((5, 12), (1, 3), 10)
        self.run_all((6, 11), (3, 3), 6)
        self.run_all((1, 6), (2, 3), 6)

    def test_known_meshes(self):
        self.run_all((8, 17), (0, 2), 10, known=[(27, 44)])
        self.run_all((8, 30), (0, 1), 10, known=[(27, 44), (13, 7)])
        self.run_all((5, 9), (3, 3), 4, known=[(13, 7)])

    def test_epicyclics(self):
        self.run_all((8, 44), (1, 1), 10, epicyclic=True)
        self.run_all((4, 17), (1, 2), 10, epicyclic=True)
        self.run_all((2, 8), (1, 3), 6, epicyclic=True)

    def test_epicyclics_and_known_meshes(self):
        self.run_all((4, 17), (0, 1), 10, epicyclic=True, known=[(27, 44)])
        self.run_all((4, 15), (0, 2), 6, epicyclic=True, known=[(27, 44)])

    def test_no_ring_has_room(self):
        self.run_all((12, 30), (1, 1), 3, epicyclic=True)
        self.assertEqual(epicyclics(12, 30), {})


class Wide(unittest.TestCase):
    """Three meshes of many teeth: so many trains that the simplest ones are searched for."""

    def check(self, teeth, low, high, counted_all, by_sums=True):
        _, answer = ask(*given(low, high), *bounds(teeth, (1, 3)), "--most", MOST)
        shown = [ratio.as_integer_ratio() for ratio in ratios(answer)]
        self.assertNotEqual(answer["total_is_least"], counted_all)
        if counted_all:
            expected = pairs_within(3, teeth, low, high)
            self.assertEqual(answer["total"], len(expected))
        else:
            self.assertEqual(answer["searched_to_sum"] is not None, by_sums)
            # All up to that sum were tried; or they are too many to count.
            reached = answer["searched_to_sum"] if by_sums else sum(shown[-1])
            expected = pairs_up_to(3, teeth, low, high, reached)
            self.assertGreater(answer["total"], MOST)
            if by_sums:
                self.assertEqual(answer["total"], len(expected))
            elif share.COUNT >= share.WHOLE:
                self.assertLessEqual(answer["total"], len(pairs_within(3, teeth, low, high)))
        self.assertEqual(shown, expected[:MOST])

    def test_wide(self):
        self.check((12, 60), Fraction("2.2"), Fraction("2.3"), False)

    def test_more_than_are_kept(self):
        """Few enough trains to try each, too many fractions to keep."""
        self.check((12, 60), Fraction("0.3"), Fraction("0.312"), False, by_sums=False)

    def test_narrow(self):
        self.check((12, 120), Fraction("2.25215"), Fraction("2.25216"), True)
        self.check((12, 120), Fraction("0.4321234"), Fraction("0.432125"), True)

    def test_few_candidates_of_many_fractions(self):
        self.check((40, 60), Fraction("2.24"), Fraction("2.26"), True)

    @unittest.skipUnless(share.COUNT >= share.WHOLE, "one search of two seconds: .ci/run")
    def test_a_search_that_is_broken_off(self):
        """What it shows is all up to the sum it names, and nothing beyond."""
        given = ["--counted", "22.5+/-0.002/10", "--most", MOST]
        _, answer = ask(*given, "--epicyclic", "yes")
        self.assertTrue(answer["total_is_least"])
        self.assertLess(answer["total"], MOST)
        shown = ratios(answer)
        self.assertEqual(answer["total"], len(shown))
        self.assertLessEqual(simplicity(shown[-1])[0], answer["searched_to_sum"])
        pairs_alone = ratios(ask(*given)[1])
        self.assertGreater(simplicity(pairs_alone[-1])[0], answer["searched_to_sum"])
        missing = {ratio for ratio in pairs_alone
                   if simplicity(ratio)[0] <= answer["searched_to_sum"]} - set(shown)
        self.assertEqual(missing, set())

    def test_ways_and_teeth(self):
        _, answer = ask("--counted", "22.5+/-0.1/10", "--most", share.number(6, least=2))
        for row in answer["candidates"]:
            ratio = Fraction(row["ratio"])
            counts = [ways_of(ratio, meshes, 12, 120) for meshes in (1, 2, 3)]
            self.assertEqual(row["gear_sets"], sum(ways for ways, _ in counts), row)
            self.assertEqual(row["teeth"], min(teeth for _, teeth in counts), row)
            self.assertEqual(product(row), (ratio, row["teeth"]))

    def check_epicyclics(self, teeth, low, high):
        """Each fraction of the interval up to a sum, tried against all that two meshes make."""
        single = set(pairs(1, *teeth))
        ring = set(epicyclics(*teeth)) - single
        _, answer = ask(*given(low, high), *bounds(teeth, (1, 2)), "--epicyclic", "yes",
                        "--most", MOST)
        self.assertTrue(answer["total_is_least"])
        shown = set(ratios(answer))
        last = min(90, simplicity(ratios(answer)[-1])[0])
        tried = {Fraction(total - den, den) for total in range(2, last) for den in range(1, total)
                 if low * den <= total - den <= high * den}
        for ratio in tried:
            made = any(lowest(ratio.numerator * den, ratio.denominator * num) in single
                       for num, den in itertools.chain(single, ring))
            self.assertEqual(ratio in shown, made, ratio)
        self.assertEqual(ratios(answer), sorted(shown, key=simplicity))
        return answer

    def test_epicyclics_by_simplicity(self):
        answer = self.check_epicyclics((12, 60), Fraction(1, 2), Fraction(15, 2))
        self.assertIsNotNone(answer["searched_to_sum"])

    @unittest.skipUnless(share.COUNT >= share.WHOLE, "one search of a second: .ci/run")
    def test_more_epicyclics_than_are_kept(self):
        answer = self.check_epicyclics((12, 120), Fraction(9), Fraction(14))
        self.assertIsNone(answer["searched_to_sum"])


if __name__ == "__main__":
    unittest.main()
