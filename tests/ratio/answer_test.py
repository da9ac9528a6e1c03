"""What `ratio` makes of its candidates: the next measurement, distances, what is left, and what
contradicts each other.
"""

import math
import unittest
from fractions import Fraction

from program import ask, ratios, run
from trains import pairs, within

TWO = ["--meshes", "1..2"]  # quicker than up to three
COUNTED = ["--counted", "22.5+/-0.1/10", *TWO]


def fractions(made):
    """The ratios of trains."""
    return [Fraction(*ratio) for ratio in made]


def turns_apart(one, other, uncertainty):
    """By counting: the first number of turns at which readings of both cannot be the same."""
    turns = 1
    while turns * abs(one - other) <= 2 * uncertainty:
        turns += 1
    return turns


class Next(unittest.TestCase):

    def check(self, answer, uncertainty):
        shown = ratios(answer)
        following = answer["next"]
        self.assertEqual(Fraction(following["reading_pad_turns"]), uncertainty)
        apart = [turns_apart(shown[0], other, uncertainty) for other in shown[1:]]
        self.assertEqual([row["turns_to_tell_from_first"] for row in answer["candidates"]],
                         [0, *apart])
        self.assertEqual(following["turns_first_two"], apart[0])
        self.assertEqual(following["turns_first_from_all"], max(apart))
        self.assertEqual([Fraction(pad) for pad in following["pad_turns_first_two"]],
                         [apart[0] * ratio for ratio in shown[:2]])
        closest = min(abs(one - other) for i, one in enumerate(shown) for other in shown[:i])
        self.assertEqual(following["turns_all"], math.floor(2 * uncertainty / closest) + 1)

    def test_tolerance_of_the_count(self):
        self.check(ask(*COUNTED, "--most", 30)[1], Fraction(1, 10))

    def test_widest_tolerance_of_several_counts(self):
        self.check(ask(*COUNTED, "--counted", "45+/-1/20")[1], Fraction(1))
        self.check(ask("--counted", "45+/-1/20", *COUNTED)[1], Fraction(1))

    def test_stated_ratios_say_nothing_of_the_reading(self):
        self.check(ask(*COUNTED, "--turns", "2.25")[1], Fraction(1, 10))
        _, answer = ask("--turns", "2.25", "--meshes", 1)
        self.assertTrue(answer["next"]["reading_assumed"])
        self.check(answer, Fraction(5, 360))

    def test_rounded_count(self):
        self.check(ask("--counted", "22.5/10", *TWO)[1], Fraction(1, 20))

    def test_tolerance_of_the_rotor(self):
        """It reaches the pad through the ratio, at most the greatest one possible."""
        _, answer = ask("--counted", "22.5+/-0.1/10+/-0.01", *TWO)
        high = Fraction("22.6") / Fraction("9.99")
        self.check(answer, Fraction(1, 10) + Fraction(1, 100) * high)

    def test_reading(self):
        _, answer = ask(*COUNTED, "--reading", "5 deg")
        self.assertFalse(answer["next"]["reading_assumed"])
        self.check(answer, Fraction(5, 360))
        self.check(ask(*COUNTED, "--reading", "300 arcmin")[1], Fraction(5, 360))
        self.check(ask(*COUNTED, "--reading", "1/72 rev")[1], Fraction(5, 360))

    def test_exactly_twice_the_uncertainty_is_not_enough(self):
        """2 and 9/4 are 1/4 apart: after n turns n/4, and twice the uncertainty is 1/2."""
        _, answer = ask("--turns", "17/8 +/- 1/8", "--teeth", "4..9", "--meshes", 1, "--reading",
                        "90 deg")
        self.assertEqual(ratios(answer), [2, Fraction(9, 4)])
        self.assertEqual(answer["next"]["turns_first_two"], 3)

    def test_said(self):
        said = run(*COUNTED, "--reading", "5 deg").stdout
        self.assertIn("with the pad read within 5 deg:\n"
                      "Count 3 rotor turns: 6.75 or 6.72 pad turns separate the first two.\n",
                      said)
        self.assertRegex(said, r"\d+ rotor turns separate 9/4 from every other one shown, "
                               r"\d+ separate all")
        self.assertIn("one more --counted", said)

    def test_one_turn_is_said_as_one(self):
        said = run("--turns", "4.5", "--meshes", "1", "--most", 8).stdout
        self.assertIn("Count 1 rotor turn: ", said)
        self.assertIn("1 rotor turn separates 9/2 from every other one", said)

    def test_assumed_reading_is_said(self):
        self.assertIn("within 5 deg (assumed; --reading says otherwise)",
                      run("--turns", 2.25).stdout)

    def test_too_many_turns_are_said_to_be(self):
        said = run("--turns", "2.2522").stdout
        self.assertIn("Count 1090 rotor turns: 2454.87 or 2454.897 pad turns", said)
        self.assertIn("too many to count by hand", said)

    def test_next_count_decides(self):
        """The advice is followed, with either of the two being true."""
        _, answer = ask(*COUNTED)
        turns = answer["next"]["turns_first_two"]
        for truth, other in (ratios(answer)[:2], ratios(answer)[1::-1]):
            for error in (Fraction(1, 10), Fraction(-1, 10)):
                read = turns * truth + error
                _, then = ask(*COUNTED, "--counted", f"{read} +/- 0.1/{turns}")
                self.assertIn(truth, ratios(then))
                self.assertNotIn(other, ratios(then))


class Distances(unittest.TestCase):

    def test_from_the_middle(self):
        _, answer = ask(*COUNTED)
        for row in answer["candidates"]:
            ratio = Fraction(row["ratio"])
            self.assertEqual(Fraction(row["off"]), ratio - Fraction("2.25"))
            self.assertEqual(Fraction(row["off_measured"][0]), 10 * ratio - Fraction("22.5"))
            self.assertEqual(Fraction(row["off_rotor_deg"]),
                             360 * (ratio - Fraction("2.25")) / ratio)

    def test_in_each_unit(self):
        _, answer = ask("--counted", "8100+/-36 deg/10", *COUNTED, "--turns", "2.25")
        for row in answer["candidates"]:
            off = Fraction(row["ratio"]) - Fraction("2.25")
            self.assertEqual([Fraction(own) for own in row["off_measured"]],
                             [off, 3600 * off, 10 * off])

    def test_headed_by_the_unit(self):
        self.assertIn("off, rev in 10", run(*COUNTED).stdout)
        said = run("--counted", "8100+/-36 deg/3600 deg", *TWO).stdout
        self.assertIn("off, deg in 3600", said)
        self.assertRegex(said, r"56/25 +2\.24 +-36 +-1\.607143")

    def test_turns_until_a_blade_is_miscounted(self):
        _, answer = ask(*COUNTED, "--blades", 31)
        for row in answer["candidates"]:
            drift = abs(Fraction(row["off_rotor_deg"]))
            self.assertEqual(row["turns_to_miscount"],
                             math.floor(Fraction(180, 31) / drift) if drift else None)
        self.assertIn("blade missed", run(*COUNTED, "--blades", 31).stdout)
        self.assertNotIn("turns_to_miscount", ask(*COUNTED)[1]["candidates"][0])
        self.assertNotIn("blade missed", run(*COUNTED).stdout)

    def test_beyond_64_bits_is_not_said(self):
        _, answer = ask("--turns", "2.25000000000000001", "--teeth", "12..120")
        self.assertEqual(answer["candidates"], [])
        _, answer = ask("--turns", "2.25000000000000001 +/- 0.00001", "--most", 3)
        self.assertIn(None, [row["off"] for row in answer["candidates"]])
        self.assertRegex(run("--turns", "2.25000000000000001 +/- 0.0001", "--turns", "2.25").stdout,
                         r"\d +- +- +\d")


class OneLeft(unittest.TestCase):

    OPTIONS = ["--counted", "22.5+/-0.1/10", "--teeth", "12..30", "--meshes", "1"]

    def test_says_so_and_how_sure(self):
        made = pairs(1, 12, 30)
        low, high = Fraction("2.24"), Fraction("2.26")
        self.assertEqual(within(made, low, high), [Fraction(9, 4)])
        nearest = min((r for r in fractions(made) if not low <= r <= high),
                      key=lambda r: abs(r - Fraction("2.25")))
        status, answer = ask(*self.OPTIONS)
        self.assertEqual((status, answer["total"], answer["next"]), (0, 1, None))
        self.assertEqual(Fraction(answer["outside"]["ratio"]), nearest)
        far = abs(nearest - Fraction("2.25")) / Fraction("0.01")
        self.assertEqual(Fraction(answer["outside"]["tolerances"]), far)
        said = run(*self.OPTIONS).stdout
        self.assertIn("Only 9/4 is left of all such trains.", said)
        self.assertIn(f"The nearest other one is {nearest}, ", said)
        self.assertNotIn("Count ", said)

    def test_the_nearest_other_one_need_not_be_simple(self):
        """On whichever side of the interval it lies, and however many lie there."""
        made = sorted(fractions(pairs(1, 12, 30)))
        for low, ratio, high in list(zip(made, made[1:], made[2:]))[::7]:
            half = min(ratio - low, high - ratio) * Fraction(3, 4)
            _, answer = ask("--turns", f"{ratio} +/- {half}", "--teeth", "12..30", "--meshes", 1)
            self.assertEqual(ratios(answer), [ratio])
            self.assertEqual(abs(Fraction(answer["outside"]["ratio"]) - ratio),
                             min(ratio - low, high - ratio))

    def test_exact(self):
        said = run("--turns", "48").stdout
        self.assertIn("48 exactly pad turns per rotor turn\n"
                      "  taken as exact; if it is rounded, give 48+/-0.5", said)
        self.assertIn("Only 48 is left", said)
        self.assertIn("right if the ratio is exact", said)
        self.assertNotIn("taken as exact", run("--turns", "48 +/- 0", *TWO).stdout)
        self.assertNotIn("taken as exact", run("--turns", "22/7", *TWO).stdout)
        self.assertNotIn("taken as exact", run("--turns", "21/1.0", *TWO).stdout)  # 20 to 22.1
        self.assertIsNone(ask("--turns", "48")[1]["outside"])


class NoneLeft(unittest.TestCase):

    def test_says_what_is_near(self):
        made = fractions(pairs(1, 12, 30))
        options = ["--turns", "2.27", "--teeth", "12..30", "--meshes", "1"]
        middle, half = Fraction("2.27"), Fraction("0.005")
        nearest = min(made, key=lambda r: abs(r - middle))
        status, answer = ask(*options)
        self.assertEqual((status, answer["total"], answer["candidates"]), (1, 0, []))
        self.assertEqual(Fraction(answer["outside"]["ratio"]), nearest)
        self.assertEqual(Fraction(answer["outside"]["tolerances"]), abs(nearest - middle) / half)
        done = run(*options)
        self.assertEqual(done.returncode, 1)
        self.assertIn("no train makes this ratio.", done.stdout)
        self.assertIn(f"The nearest one is {nearest}", done.stdout)
        self.assertIn("more --meshes, other --teeth, --epicyclic yes", done.stdout)
        self.assertNotIn("--epicyclic yes", run(*options, "--epicyclic", "yes").stdout)

    def test_digits_cut_off(self):
        """25/11 = 2.2727: rounded that is 2.273, cut off 2.272."""
        options = ["--teeth", "8..30", "--meshes", "1", "--turns"]
        self.assertIn("25/11", run(*options, "2.273").stdout)
        said = run(*options, "2.272").stdout
        self.assertIn("if the digits of --turns 2.272 were cut off instead of rounded", said)
        self.assertNotIn("cut off", run(*options, "2.274").stdout)
        self.assertNotIn("cut off", run(*options, "2.272 +/- 0.0005").stdout)

    def test_nothing_near_at_all(self):
        status, answer = ask("--turns", "0.000123")
        self.assertEqual((status, answer["outside"]), (1, None))


class Several(unittest.TestCase):

    def test_share_an_interval(self):
        given = ["--turns", "2.25", "--counted", "45.1+/-0.1/20", "--counted", "9+/-0.1/4", *TWO]
        self.assertEqual(ask(*given)[1]["within"], ["9/4", "451/200"])
        self.assertIn("together: 2.25 to 2.255", run(*given).stdout)

    def test_a_point_is_shared(self):
        _, answer = ask("--turns", "2 +/- 1/4", "--turns", "5/2 +/- 1/4", *TWO)
        self.assertEqual((answer["within"], ratios(answer)), (["9/4", "9/4"], [Fraction(9, 4)]))

    def test_contradict_each_other_pair_by_pair(self):
        given = ["--turns", "2.20", "--turns", "2.25", "--counted", "22.6+/-0.1/10"]
        status, answer = ask(*given)
        self.assertEqual(status, 1)
        self.assertEqual(answer["contradictions"], [["--turns 2.20", "--turns 2.25"],
                                                    ["--turns 2.20", "--counted 22.6+/-0.1/10"]])
        self.assertNotIn("candidates", answer)
        done = run(*given)
        self.assertEqual(done.returncode, 1)
        self.assertIn("--turns 2.20 and --turns 2.25 contradict each other: "
                      "no ratio is 2.195 to 2.205 and 2.245 to 2.255\n", done.stdout)
        self.assertIn("--turns 2.20 and --counted 22.6+/-0.1/10 contradict", done.stdout)
        self.assertNotIn("--turns 2.25 and", done.stdout)
        self.assertIn("One of them was misread", done.stdout)
        self.assertEqual(ask("--turns", "2.25")[1]["contradictions"], [])

    def test_narrow_intervals_are_told_apart(self):
        self.assertIn("2249999999999/1000000000000 to 2250000000001/1000000000000",
                      run("--turns", "2.25 +/- 0.000000000001").stdout)

    def test_swapped_ends_are_seen(self):
        said = run("--turns", "2.25", "--counted", "4.44+/-0.05/10").stdout
        self.assertIn("they agree if the two ends of one are swapped", said)
        self.assertNotIn("swapped", run("--turns", "2.25", "--turns", "2.3", *TWO).stdout)


if __name__ == "__main__":
    unittest.main()
