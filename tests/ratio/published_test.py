"""Fractions that others published for gear trains, found among the candidates.

The sources name approximations; where a row's numbers are within one mesh's bounds, it must be
there, in the order of simplicity. Errors and memberships are arithmetic.
"""

import pathlib
import sys
import unittest
from fractions import Fraction

from program import ask, ratios

sys.path.insert(1, str(pathlib.Path(__file__).resolve().parents[1]))
import share  # noqa: E402

ALL = ["--most", 1000]


def about(value, half):
    return ["--turns", f"{value} +/- {half}"]


class Published(unittest.TestCase):

    def assert_found(self, expected, *options):
        """All of them, and in this order."""
        found = ratios(ask(*options, *ALL)[1])
        places = [found.index(Fraction(one)) for one in expected]
        self.assertEqual(places, sorted(places))
        return found

    def test_pi(self):
        """Convergents of pi: OEIS A002485, A002486."""
        pi = Fraction("3.14159265358979")
        one_mesh = ["--meshes", 1, "--teeth", "1..360"]
        self.assert_found(["3", "22/7"], *about(pi, "3/20"), *one_mesh)
        found = self.assert_found(["22/7", "333/106", "355/113"], *about(pi, "1/200"), *one_mesh)
        self.assertEqual(min(found, key=lambda one: abs(one - pi)), Fraction(355, 113))
        # The next two need gears that there are not: 103993 is a prime, 104348 is 76 x 1373.
        most = share.number(360, least=240)
        found = ratios(ask(*about(pi, "1/1000000000"), "--teeth", f"1..{most}", *ALL)[1])
        self.assertGreater(len(found), 0)
        for convergent in (Fraction(103993, 33102), Fraction(104348, 33215)):
            self.assertLess(abs(convergent - pi), Fraction(1, 10**9))
            self.assertNotIn(convergent, found)

    def test_brocot(self):
        """Brocot's 191/23 (B. Hayes, American Scientist, 2000); 23p - 191q is the error."""
        rows = {"8": -7, "9": 16, "17/2": 9, "25/3": 2, "33/4": -5, "58/7": -3, "83/10": -1,
                "108/13": 1}
        for row, error in rows.items():
            ratio = Fraction(row)
            self.assertEqual(23 * ratio.numerator - 191 * ratio.denominator, error)
        found = self.assert_found(["8", "9", "17/2", "25/3", "33/4", "58/7", "83/10", "108/13"],
                                  *about("191/23", "16/23"), "--meshes", 1, "--teeth", "1..120")
        # 191 is a prime: with gears of up to 120 teeth the ratio itself cannot be made ...
        self.assertNotIn(Fraction(191, 23), found)
        # ... and nothing up to his size comes nearer than 83/10 and 108/13.
        near = min(found, key=lambda one: abs(one - Fraction(191, 23)))
        self.assertEqual(near, Fraction(108, 13))

    def test_inch_lead_screw(self):
        """25.4/8: 3, 16/5, 19/6, 54/17, 73/23, 127/40, of which the last is exact."""
        found = self.assert_found(["3", "16/5", "19/6", "54/17", "73/23", "127/40"],
                                  *about("127/40", "7/40"), "--meshes", 1,
                                  "--teeth", "1..127")
        self.assertIn(Fraction("25.4") / 8, found)

    def test_huygens(self):
        """Saturn in Huygens's planetarium: 77708431/2640858 by 206/7; his 206 teeth and 7."""
        exact = Fraction(77708431, 2640858)
        self.assert_found(["29", "59/2", "147/5", "206/7"], *about(exact, "1/2"), "--meshes", 1,
                          "--teeth", "1..206")
        two = ratios(ask(*about(exact, "1/250"), "--meshes", 1, "--teeth", "7..206")[1])
        self.assertEqual(two, [Fraction(206, 7)])

    def test_machinerys_handbook(self):
        """2153/9277 (Machinery's Handbook, from memory; its convergents are arithmetic)."""
        bounds = ["--meshes", 2, "--teeth", "1..300"]
        self.assert_found(["1/4", "3/13"], *about("2153/9277", "1/50"), *bounds)
        self.assert_found(["13/56", "55/237", "68/293", "259/1116"],
                          *about("2153/9277", "1/10000"), *bounds)

    def test_reverted_train(self):
        """108/18 x 105/21 = 30 (Shigley, ch. 13; from memory, the product holds)."""
        _, answer = ask("--turns", "30 +/- 0", "--meshes", 2, "--teeth", "18..108")
        self.assertEqual(ratios(answer), [30])
        self.assertGreaterEqual(answer["candidates"][0]["gear_sets"], 1)

    def test_compound_train(self):
        """20 to 50, 25 to 75, 26 to 65 teeth: 975 rpm make 52 (Theory of Machines, ex. 13.1)."""
        given = ["--counted", "975+/-1/52", "--known", "20/50", "--known", "25/75"]
        self.assertIn(Fraction(975, 52), ratios(ask(*given, "--meshes", 3)[1]))

    def test_planetary(self):
        """za 16, zb 16, zc 48: 4, 4/3 and 3 (SDP/SI Elements of Metric Gear Technology, p. T-118).

        Sun to carrier with the ring held, ring to carrier with the sun held, sun to ring with the
        carrier held.  17 to 47 teeth have no such set.
        """
        for ratio in ("4", "4/3", "3"):
            options = ["--turns", f"{ratio} +/- 0", "--meshes", 1, "--teeth", "16..48"]
            alone = sum(row["gear_sets"] for row in ask(*options)[1]["candidates"])
            _, answer = ask(*options, "--epicyclic", "yes")
            self.assertEqual(answer["candidates"][0]["gear_sets"], alone + 1, ratio)
        _, answer = ask("--turns", "4 +/- 0", "--meshes", 1, "--teeth", "16..48", "--epicyclic",
                        "yes")
        self.assertEqual(answer["candidates"][0]["meshes"],
                         [{"sun": 16, "planet": 16, "ring": 48, "in": "sun", "out": "carrier",
                           "held": "ring"}])


if __name__ == "__main__":
    unittest.main()
