"""The share of a set that a run takes: never none, every kind, all where all are asked for."""

import sys
import unittest
from pathlib import Path

sys.path.insert(1, str(Path(__file__).resolve().parents[1]))
import share  # noqa: E402

COUNTS = (1, 500, 2000, 19999, 20000, 100000)


class Share(unittest.TestCase):
    def test_number(self):
        self.assertEqual([share.number(3000, count=count) for count in COUNTS],
                         [1, 75, 300, 3000, 3000, 3000])
        self.assertEqual(share.number(7, least=3, count=1), 3)
        self.assertEqual(share.number(2, least=3, count=1), 2)
        self.assertEqual(share.number(0, count=1), 0)

    def test_the_tests_in_c_mean_the_same(self):
        header = Path(__file__).resolve().parents[1] / "unit" / "check.h"
        self.assertIn(f"enum {{ SHARE_WHOLE = {share.WHOLE} }};", header.read_text())

    def test_all_are_taken_where_all_are_asked_for(self):
        cases = list(range(101))
        for count in (20000, 100000):
            self.assertEqual(share.sample(cases, lambda case: case % 7, count=count), cases)
            self.assertEqual(share.sample(cases, count=count), cases)

    def test_every_kind_once_and_never_none(self):
        for count in COUNTS:
            taken = share.sample(range(100), lambda case: case % 30, count=count)
            self.assertEqual({case % 30 for case in taken}, set(range(30)))
            self.assertEqual(taken, sorted(set(taken)))
            self.assertTrue(share.sample("a", count=count))
        self.assertEqual(share.sample([], count=1), [])

    def test_it_is_spread(self):
        self.assertEqual(share.sample(range(100), count=2000), list(range(0, 100, 10)))
        product = [(page, view) for page in range(6) for view in range(5)]
        taken = share.sample(product, lambda case: case[0], count=2000)
        self.assertEqual(taken, [(0, 0), (1, 1), (2, 2), (3, 3), (4, 4), (5, 0)])


if __name__ == "__main__":
    unittest.main()
