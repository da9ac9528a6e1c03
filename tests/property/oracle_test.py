"""The independent calculation compared with published values. Runs alone, without the program."""

import unittest
from fractions import Fraction as F
from itertools import permutations

import geometry
import oracle
from geometry import FACES, follow
from quantity import ANGLE, SPEED, TORQUE, exact, interval

FORWARD, UP = FACES["forward"], FACES["up"]


def epicyclic(sun, ring, into, out, held, planet=None, planets=1):
    planet = planet or (ring - sun) // 2
    return {
        "epicyclic": {
            "sun": sun,
            "ring": ring,
            "planet": planet,
            "planets": planets,
            "in": into,
            "out": out,
            "held": held,
        }
    }


def turns_same_way(path):
    """Whether the far end, on the near end's axis, turns the way the near end does."""
    return geometry.dot(follow(path, FORWARD), FORWARD) > 0


class GearTrains(unittest.TestCase):
    def test_three_compound_meshes(self):
        # Theory of Machines, ch. 13, ex. 13.1: A20-B50, C25-D75, E26-F65, 975 to 52 rpm, opposite.
        path = [{"external": [20, 50]}, {"external": [25, 75]}, {"external": [26, 65]}]
        self.assertEqual(975 / oracle.path_ratio(path), 52)
        self.assertFalse(turns_same_way(path))

    def test_two_spur_meshes(self):
        # Mott, Machine Elements in Mechanical Design, fig. 8-42: train value 10.5, 166.7 rpm, cw.
        path = [{"external": [20, 70]}, {"external": [18, 54]}]
        self.assertEqual(oracle.path_ratio(path), F(21, 2))
        self.assertAlmostEqual(float(1750 / oracle.path_ratio(path)), 166.7, places=1)
        self.assertTrue(turns_same_way(path))

    def test_step_up(self):
        # Textbook exercise, common: A120-B40, C80-D20, A 30 cw, D 360 cw.
        path = [{"external": [120, 40]}, {"external": [80, 20]}]
        self.assertEqual(30 / oracle.path_ratio(path), 360)
        self.assertTrue(turns_same_way(path))
        self.assertFalse(turns_same_way(path[:1]))

    def test_reverted_train(self):
        # Shigley, ch. 13, from memory; the arithmetic holds: 108/18 x 105/21 = 30.
        path = [{"external": [18, 108]}, {"external": [21, 105]}]
        self.assertEqual(oracle.path_ratio(path), 30)

    def test_idler_changes_the_sense_alone(self):
        plain, idler = [{"external": [27, 44]}], [{"external": [27, 33, 44]}]
        self.assertEqual(oracle.path_ratio(plain), oracle.path_ratio(idler))
        self.assertFalse(turns_same_way(plain))
        self.assertTrue(turns_same_way(idler))

    def test_internal_keeps_the_sense_either_way_round(self):
        self.assertTrue(turns_same_way([{"internal": [20, 80]}]))
        self.assertTrue(turns_same_way([{"internal": [80, 20]}]))
        self.assertEqual(oracle.path_ratio([{"internal": [20, 80]}]), 4)

    def test_direct_changes_nothing(self):
        self.assertEqual(follow(["direct"], FORWARD), FORWARD)
        self.assertEqual(oracle.path_ratio(["direct"]), 1)


class Epicyclics(unittest.TestCase):
    def test_ring_fixed(self):
        # Shigley, Mechanical Engineering Design, fig. 13-30 (teeth from memory): 100 to 20 rpm cw.
        path = [epicyclic(20, 80, "sun", "carrier", "ring")]
        self.assertEqual(100 / oracle.path_ratio(path), 20)
        self.assertTrue(turns_same_way(path))
        # Machine Design, ch. 34, p. 715: sun 30, planet 50, annulus 130 fixed, 300 to 56.25 rpm.
        path = [epicyclic(30, 130, "sun", "carrier", "ring")]
        self.assertEqual(300 / oracle.path_ratio(path), F("56.25"))
        # Exercise: sun 20, planet 40, ring 100 fixed, sun 60 ccw, arm 10 ccw.
        path = [epicyclic(20, 100, "sun", "carrier", "ring")]
        self.assertEqual(60 / oracle.path_ratio(path), 10)
        self.assertTrue(turns_same_way(path))
        # Gear-train problem sheet: ring 72 fixed, sun 32, arm 18 ccw, sun 58.5 ccw.
        path = [epicyclic(32, 72, "carrier", "sun", "ring")]
        self.assertEqual(18 / oracle.path_ratio(path), F("58.5"))
        self.assertTrue(turns_same_way(path))

    def test_planetary_solar_and_star(self):
        # SDP/SI Elements of Metric Gear Technology, p. T-118, eqs 13-12, 13-13: za 16, zc 48.
        planetary = [epicyclic(16, 48, "sun", "carrier", "ring")]
        solar = [epicyclic(16, 48, "ring", "carrier", "sun")]
        star = [epicyclic(16, 48, "sun", "ring", "carrier")]
        self.assertEqual([oracle.path_ratio(p) for p in (planetary, solar, star)], [4, F(4, 3), 3])
        self.assertEqual([turns_same_way(p) for p in (planetary, solar, star)], [1, 1, 0])

    def test_all_six_arrangements(self):
        # Textbook (Willis), from memory: 1 + R/S, 1 + S/R, -R/S, and their inverses.
        sun, ring = 21, 57
        known = {
            ("sun", "carrier"): 1 + F(ring, sun),
            ("ring", "carrier"): 1 + F(sun, ring),
            ("sun", "ring"): -F(ring, sun),
        }
        for into, out, held in permutations(geometry.MEMBERS):
            want = known.get((into, out)) or 1 / known[(out, into)]
            path = [epicyclic(sun, ring, into, out, held)]
            self.assertEqual(oracle.path_ratio(path), abs(want), (into, out))
            self.assertEqual(turns_same_way(path), want > 0, (into, out))

    def test_velocity_and_product_agree(self):
        path = [
            {"external": [27, 33, 44]},
            epicyclic(21, 57, "sun", "ring", "carrier"),
            {"bevel": {"teeth": [31, 22], "backs": ["aft", "up"]}},
            {"internal": [19, 64]},
        ]
        spin = follow(path, FORWARD)
        self.assertEqual(1 / oracle.path_ratio(path) ** 2, geometry.dot(spin, spin))


class Bevels(unittest.TestCase):
    def test_mates_turn_oppositely_seen_from_the_apex(self):
        # METU mechanisms notes, ch. 5-3: one wheel cw seen from the apex, its mate ccw. Looking
        # from the apex at a gear is looking along its back's direction: cw is right-handed.
        for one, first in FACES.items():
            for two, second in FACES.items():
                if geometry.dot(first, second) != 0:
                    continue
                spin = follow([{"bevel": {"teeth": [20, 30], "backs": [one, two]}}], first)
                self.assertEqual(spin, geometry.times(F(-2, 3), second))

    def test_off_its_shaft(self):
        with self.assertRaises(geometry.OffAxis):
            follow([{"bevel": {"teeth": [20, 30], "backs": ["up", "aft"]}}], FORWARD)
        with self.assertRaises(geometry.NotDerivable):
            follow([{"bevel": [20, 30]}], FORWARD)

    def test_views(self):
        # US Army subcourse AL0993, fig. 1.9: senses are given looking forward from the rear.
        self.assertEqual(geometry.rotor_sense(FORWARD), "cw")
        spool = {"rotation": {"sense": "cw", "view": "forward-looking-aft"}}
        self.assertEqual(oracle.spool_sense(spool), "ccw")
        # Facing a pad that faces aft is looking forward; one on the front face reads reversed.
        pad = {"faces": "forward", "rotation": {"sense": "cw", "view": "aft-looking-forward"}}
        self.assertEqual(oracle.pad_sense(pad), "ccw")

    def test_pad_to_rotor(self):
        # The design's example: cw at an aft pad, an external mesh, a tower shaft upwards, cw ALF.
        pad = {
            "faces": "aft",
            "rotation": {"sense": "cw", "view": "facing-pad"},
            "path": [
                {"external": [27, 44]},
                {"bevel": {"teeth": [31, 22], "backs": ["aft", "up"]}},
                {"bevel": {"teeth": [19, 37], "backs": ["down", "aft"]}},
            ],
        }
        self.assertEqual(oracle.derived_rotor_sense(pad), "cw")
        self.assertTrue(interval("2.2522").holds(oracle.pad_ratio(pad).value))


class Adapters(unittest.TestCase):
    DEVICE = {
        "shaft": {
            "counts-per-motor-turn": 2000,
            "reduction": {"motor": 81, "output": 1},
            "positive": "cw",
        },
        "torque": {"min": "5 lbf.ft", "max": "60 lbf.ft", "resolution": "0.5 lbf.ft"},
        "speed": {"min": "1 deg/min", "max": "6 rpm", "resolution": "0.1 deg/min"},
    }

    def pad(self, **more):
        pad = {
            "faces": "aft",
            "rotation": {"sense": "cw", "view": "facing-pad"},
            "path": [{"external": [20, 50]}],
            "torque-limit": "40 lbf.ft",
            "backlash": "1.2 deg",
            "adapter": {
                "path": [{"external": [30, 20]}],
                "torque-limit": "62.4 lbf.ft",
                "backlash": "1/5 deg",
            },
        }
        return {**pad, **more}

    def test_ratio_and_counts(self):
        pad = self.pad()
        self.assertEqual(oracle.adapter_ratio(pad), F(2, 3))
        per_turn = oracle.counts_per_rotor_turn(self.DEVICE, pad)
        self.assertEqual(per_turn, 2000 * 81 * F(2, 3) * F(5, 2))
        geared = {"shaft": {"counts-per-motor-turn": 200, "path": [{"external": [20, 60]}]}}
        self.assertEqual(oracle.counts_per_output_turn(geared), 600)

    def test_sense(self):
        self.assertEqual(oracle.positive(self.DEVICE, self.pad()), -1)
        adapter = {"path": [{"external": [30, 31, 20]}]}
        self.assertEqual(oracle.positive(self.DEVICE, self.pad(adapter=adapter)), 1)
        # A right-angle box: device facing down at an aft pad. Facing up at it and turning it cw is
        # right-handed about up; up's gear has its back down, so left-handed about that, hence
        # right-handed about the mate's back, which faces forward: cw facing the pad.
        adapter = {"path": [{"bevel": {"teeth": [20, 20], "backs": ["down", "forward"]}}]}
        adapter["faces"] = "down"
        self.assertEqual(oracle.positive(self.DEVICE, self.pad(adapter=adapter)), 1)

    def test_backlash(self):
        # Hi ends: 1.25 deg at the pad is 2.5/3 deg at the device, and 0.2 deg more of the adapter.
        want = (F("1.25") * F(2, 3) + F("0.2")) / 360 * 162000
        self.assertEqual(oracle.backlash_counts(self.DEVICE, self.pad()), -(-want // 1))
        self.assertEqual(oracle.rotor_backlash(self.pad()) * 360, (F("1.25") + F("0.3")) / F(5, 2))

    def test_limits_round_down(self):
        foot_pound = TORQUE["lbf.ft"]
        # 40 at the pad is 60 at the device; the adapter's 62.4 and the device's 60 do not bind.
        self.assertEqual(oracle.torque_limit(self.DEVICE, self.pad()), 60 * foot_pound)
        weaker = self.pad(**{"torque-limit": "30.2 lbf.ft"})
        self.assertEqual(oracle.torque_limit(self.DEVICE, weaker), 45 * foot_pound)
        spool = {"max-speed": "120.1 deg/min"}
        want = F(2001, 10) / 360  # 120.1 * 5/2 * 2/3 = 200.1666...
        self.assertEqual(oracle.speed_limit(self.DEVICE, self.pad(), spool), want)
        self.assertEqual(oracle.speed_limit(self.DEVICE, self.pad(), {}), 6)


class Quantities(unittest.TestCase):
    def test_intervals(self):
        self.assertEqual(interval("2.2522")[::2], (F("2.25215"), F("2.25225")))
        self.assertEqual(interval("22.5 +/- 0.1 rev", ANGLE), (F("22.4"), F("22.5"), F("22.6")))
        self.assertEqual(interval("22.5 ± 1/10"), interval("22.5 +/- 0.1"))
        self.assertEqual(interval("48 +/- 0")[::2], (48, 48))
        self.assertEqual(interval(3)[::2], (3, 3))
        self.assertEqual(interval("3/8 deg", ANGLE).hi, F(3, 8 * 360))

    def test_units(self):
        # NIST SP 811 App. B gives 1.355818, 0.1129848, 9.80665 and 0.1047198 (rounded).
        self.assertEqual(exact("1 lbf.ft", TORQUE), F("1.3558179483314004"))
        self.assertAlmostEqual(float(exact("1 lbf.in", TORQUE)), 0.1129848, places=7)
        self.assertEqual(exact("1 kgf.m", TORQUE), F("9.80665"))
        self.assertAlmostEqual(float(exact("1 rpm", SPEED)) * 2 * 3.14159265 / 60, 0.1047198, 6)
        self.assertEqual(exact("6 deg/s", SPEED), 1)
        self.assertEqual(exact("360 deg/min", SPEED), 1)


class EvenDistribution(unittest.TestCase):
    # Toussaint, The Euclidean Algorithm Generates Traditional Musical Rhythms, BRIDGES 2005.
    RHYTHMS = {
        (3, 8): "x..x..x.",
        (5, 8): "x.xx.xx.",
        (5, 12): "x..x.x..x.x.",
        (7, 16): "x..x.x.x..x.x.x.",
    }

    def test_long_steps_fall_evenly(self):
        for (ones, steps), rhythm in self.RHYTHMS.items():
            plan = oracle.schedule(F(7 * steps + ones), steps)
            counts = [oracle.scheduled_count(plan, j) for j in range(steps + 1)]
            longs = "".join("x" if b - a == 8 else "." for a, b in zip(counts, counts[1:]))
            self.assertEqual(longs.count("x"), ones)
            self.assertIn(longs, rhythm + rhythm)

    def test_schedule_is_rounding(self):
        # The accumulator and round(j K/N), half up, are one thing for as many turns as one likes.
        for per_turn, blades in ((F(214896000, 589), 31), (F(1000), 16), (F(4001, 2), 28)):
            plan = oracle.schedule(per_turn, blades)
            for j in range(5 * blades):
                exactly = oracle.round_half_up(j * per_turn / blades)
                self.assertEqual(oracle.scheduled_count(plan, j), exactly)

    def test_fraction_that_does_not_fit(self):
        plan = oracle.schedule(3 * F(10**12 + 7, 10**11 + 3), 3)
        self.assertLessEqual(plan[2], 2**31)
        self.assertLess(plan[1], plan[2])
        per_turn = 3 * F(10**12 + 7, 10**11 + 3)
        self.assertGreater(oracle.turns_until_one_count_off(per_turn, 3, plan), 10**6)
        self.assertIsNone(oracle.turns_until_one_count_off(F(10), 4, (2, 1, 2)))
        # Brute force over every denominator, with a small limit in place of 2^31.
        for fraction in (F(355, 1131), F(999, 1000), F(1, 997), F(618, 1001)):
            near = oracle.nearest_below_one(fraction, 40)
            self.assertLess(near, 1)
            best = min(abs(F(r, d) - fraction) for d in range(1, 41) for r in range(d))
            self.assertEqual(abs(near - fraction), best)


class Stops(unittest.TestCase):
    def test_pitch(self):
        # NASA, E3 HPC Detail Design Report, NTRS 19850002690, Table X; the pitches by arithmetic.
        for blades, pitch in ((28, "12.857142857"), (36, "10"), (94, "3.829787234")):
            rows = oracle.stops(F(360 * 10**9), blades, oracle.schedule(F(360 * 10**9), blades),
                                F(360 * 10**9), "rising")
            self.assertAlmostEqual(float(F(rows[1][2])), float(pitch), places=9)

    def test_order_and_errors(self):
        rows = oracle.stops(F(10), 4, oracle.schedule(F(10), 4), F(20), "falling")
        self.assertEqual(rows, [(1, 0, "0", "0"), (4, 3, "54", "1/2"), (3, 5, "90", "0"),
                                (2, 8, "144", "1/2")])
        fixed = oracle.stops(F(10), 4, oracle.schedule(F(10), 4, "fixed"), F(10), "rising")
        self.assertEqual([row[:2] for row in fixed], [(1, 0), (2, 3), (3, 6), (4, 9)])
        self.assertEqual([row[3] for row in fixed], ["0", "1/2", "1", "3/2"])
        self.assertEqual(oracle.closure(F(10), 4), 2)
        self.assertEqual(oracle.passing_order({}, {"numbering": "against-rotation"}), "rising")
        self.assertEqual(oracle.passing_order({}, {"numbering": "with-rotation"}), "falling")
        rotation = {"sense": "cw", "view": "aft-looking-forward"}
        engine = {"spools": [{"id": "HP", "rotation": rotation}]}
        for sense, order in (("cw", "rising"), ("ccw", "falling")):
            seen = {"sense": sense, "view": "forward-looking-aft"}
            stage = {"spool": "HP", "numbering": seen}
            self.assertEqual(oracle.passing_order(engine, stage), order)


class Datum(unittest.TestCase):
    """By hand, from the design's rule: p - phi, with p 30 degrees an hour, negated for ccw."""

    def test_datum(self):
        stage = {"spool": "HP", "clocking": "15 deg", "port": {"id": "P", "clock": "4:30"}}
        for sense, degrees in (("cw", 120), ("ccw", 210)):
            rotation = {"sense": sense, "view": "aft-looking-forward"}
            engine = {"spools": [{"id": "HP", "rotation": rotation}]}
            self.assertEqual(oracle.datum_counts(engine, stage, F(3600)), [10 * degrees])

    def test_two_ports_and_none(self):
        rotation = {"sense": "cw", "view": "aft-looking-forward"}
        engine = {"spools": [{"id": "HP", "rotation": rotation}]}
        ports = [{"id": "P", "clock": "12:00"}, {"id": "Q", "clock": "6:00"}]
        stage = {"spool": "HP", "clocking": "0 deg", "port": ports}
        self.assertEqual(oracle.datum_counts(engine, stage, F(360)), [0, 180])
        self.assertEqual(oracle.datum_counts(engine, {"port": ports}, F(360)), [])

    def test_seen_from_the_other_end(self):
        port = {"id": "P", "clock": {"at": "7:30", "view": "forward-looking-aft"}}
        self.assertEqual(oracle.port_angle(port), oracle.port_angle({"id": "P", "clock": "4:30"}))


def engine_of(sense, *stages):
    rotation = {"sense": sense, "view": "aft-looking-forward"}
    return {"id": "x", "spools": [{"id": "HP", "rotation": rotation}], "stages": list(stages),
            "pads": []}


def stage_named(name, blades, *clocks, **more):
    ports = [{"id": f"{name}{i}", "clock": clock} for i, clock in enumerate(clocks)]
    return {"id": name, "spool": "HP", "blades": blades, "numbering": "against-rotation",
            "port": ports, **more}


class Ports(unittest.TestCase):
    """Two ports, a pass and a stage by hand, with numbers that a person can follow."""

    def test_ports_apart(self):
        # 62 blades, from 2 to 9 o'clock: 210 deg are 36 1/6 pitches.
        stage = stage_named("A", 62, "2:00", "9:00")
        (cw,) = oracle.ports_apart(engine_of("cw", stage), stage, F(7200))
        self.assertEqual(
            (cw["rotor_deg"], cw["blades"], cw["counts"], cw["off_pitch"], cw["off_deg"]),
            ("210", "217/6", "4200", "-1/6", "-30/31"))
        (ccw,) = oracle.ports_apart(engine_of("ccw", stage), stage, None)
        self.assertEqual((ccw["rotor_deg"], ccw["blades"], ccw["counts"], ccw["off_pitch"]),
                         ("150", "155/6", None, "1/6"))

    def test_a_pass(self):
        # Blade one of B passes 12 o'clock 30 deg after that of A, which has its own second port.
        engine = engine_of("cw", stage_named("A", 2, "12:00", "3:00", clocking="0 deg"),
                           stage_named("B", 1, "12:00", clocking="330 deg"),
                           stage_named("C", 3, "12:00"))
        self.assertEqual(oracle.one_pass(engine, "HP"), (
            ("A", "A0", 1),
            [(0, "A", "A0", 1), (1, "B", "B0", 1), (3, "A", "A1", 1), (6, "A", "A0", 2),
             (9, "A", "A1", 2)], 12))
        third = engine["stages"][2]
        begin = (third, third["port"][0], 2)
        self.assertEqual(oracle.one_pass(engine, "HP", begin), (
            ("C", "C0", 2), [(0, "C", "C0", 2), (1, "C", "C0", 3), (2, "C", "C0", 1)], 3))
        self.assertIsNone(oracle.one_pass(engine_of("cw", stage_named("A", 2)), "HP"))
        self.assertEqual(oracle.pass_stops([(1, "C", "C0", 1)], 3, F(100), F(10)),
                         [(33, "1188", "-1/3")])

    def test_by_hand(self):
        stage = stage_named("A", 3, numbering="with-rotation")
        (answer,) = oracle.by_hand(engine_of("cw", stage))
        self.assertEqual(answer["stops"], [(1, "0"), (3, "120"), (2, "240")])


if __name__ == "__main__":
    unittest.main()
