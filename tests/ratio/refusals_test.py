"""What `ratio` refuses, and what it says then: status 2, nothing on standard output."""

import unittest

from program import run

TURNS = ["--turns", "2.25"]


class Refusals(unittest.TestCase):

    def check(self, said, *arguments):
        done = run(*arguments)
        self.assertEqual((done.returncode, done.stdout), (2, ""), arguments)
        self.assertTrue(done.stderr.startswith("rotortab: "), done.stderr)
        self.assertIn(said, done.stderr, arguments)

    def test_nothing_known(self):
        self.check("ratio needs --turns or --counted")
        self.check("ratio takes only options, not a.engine.yaml", *TURNS, "a.engine.yaml")
        self.check("Give the ratio with --turns (", "11.999")

    def test_numbers(self):
        self.check("--turns abc: 'abc' is not a number", "--turns", "abc")
        self.check("--turns needs a value, not an empty text", "--turns", "")
        self.check("'' is not a number", "--turns", "2.25/")
        self.check("'' is not a number", "--turns", "/10")
        self.check("'1e3' is not a number", "--turns", "1e3")
        self.check("'2,25' is not a number", "--turns", "2,25")
        self.check("'1234567890123456789' has more than 18 digits", "--turns",
                   "1234567890123456789")
        self.check("'1/0' divides by zero", "--counted", "1/0+/-1/10")
        self.check("'+/-' is not a tolerance", "--counted", "22.5+/-/10")
        self.check("'-1' is not a tolerance", "--counted", "22.5+/--1/10")

    def test_zero_and_negative(self):
        for value in ("0", "-2.25", "0.0", "0/5", "1 +/- 1", "1 +/- 2"):
            self.check("pad and rotor must each turn", "--turns", value)
        for value in ("0.1+/-0.1/10", "22.5+/-0.1/0", "22.5+/-0.1/-10", "-1+/-0.1/1",
                      "22.5+/-0.1/10+/-10"):
            self.check("pad and rotor must each turn", "--counted", value)

    def test_units(self):
        self.check("--turns 2.25 furlong: 'furlong' is not a unit; the units are deg, arcmin",
                   "--turns", "2.25 furlong")
        self.check("'mm' is not a unit; the units are deg", "--counted",
                   "22.5+/-0.1 mm/10")
        self.check("'N.m' is not a unit of an angle; the units are deg", "--counted",
                   "22.5+/-0.1/10 N.m")
        self.check("--reading 5: '5' has no unit; the units are deg", *TURNS, "--reading", "5")
        self.check("'turns' is not a unit; the units are deg", *TURNS, "--reading", "5 turns")
        self.check("'%' is not a unit of an angle", *TURNS, "--reading", "5 %")

    def test_counts(self):
        self.check("the rotor turns are missing; write pad turns / rotor turns", "--counted",
                   "22.5+/-0.1")
        self.check("write it, like 22+/-0.1", "--counted", "22/10")
        self.check("the tolerance of the pad is missing", "--counted", "45/2/10")

    def test_reading(self):
        for value in ("0 deg", "-5 deg", "5 +/- 1 deg"):
            self.check("write an angle above 0, without a tolerance", *TURNS, "--reading", value)
        self.check("'five' is not a number", *TURNS, "--reading", "five")
        self.check("do not fit 64 bits", *TURNS, "--reading", "1/999999999999999999 deg")

    def test_teeth(self):
        self.check("120 is above 12; write the smaller one first", *TURNS, "--teeth",
                   "120..12")
        self.check("'few' is not a whole number", *TURNS, "--teeth", "few..12")
        self.check("'' is not a whole number", *TURNS, "--teeth", "12..")
        self.check("'1.5' is not a whole number", *TURNS, "--teeth", "1.5..12")
        self.check("0 is not within 1 to 400", *TURNS, "--teeth", "0..12")
        self.check("401 is not within 1 to 400", *TURNS, "--teeth", "12..401")
        self.check("'-3' is not a whole number", *TURNS, "--teeth", "-3..12")

    def test_meshes(self):
        self.check("3 is above 1; write the smaller one first", *TURNS, "--meshes", "3..1")
        self.check("0 is not within 1 to 9", *TURNS, "--meshes", "0..2")
        self.check("10 is not within 1 to 9", *TURNS, "--meshes", "10")
        self.check("4 of them are unknown, and the search takes at most 3", *TURNS, "--meshes",
                   "1..4")
        self.check("2 meshes are --known, but the train has at most 1", *TURNS, "--meshes", "1",
                   "--known", "27/44", "--known", "31/22")
        four = ["--known", "27/44"] * 4
        self.check("4 meshes are --known, but the train has at most 3", *TURNS, *four)

    def test_known(self):
        self.check("write two tooth counts, pad side first, like 27/44", *TURNS, "--known", "27")
        self.check("'' is not a whole number", *TURNS, "--known", "27/")
        self.check("'44.5' is not a whole number", *TURNS, "--known", "27/44.5")
        self.check("'33/44' is not a whole number", *TURNS, "--known", "27/33/44")
        self.check("0 is not within 1 to 9999", *TURNS, "--known", "27/0")
        self.check("10000 is not within 1 to 9999", *TURNS, "--known", "10000/27")

    def test_others(self):
        self.check("--epicyclic takes yes or no, not maybe", *TURNS, "--epicyclic", "maybe")
        self.check("0 is not within 1 to 9999", *TURNS, "--blades", "0")
        self.check("0 is not within 1 to 1000", *TURNS, "--most", "0")
        self.check("1001 is not within 1 to 1000", *TURNS, "--most", "1001")
        self.check("'ten' is not a whole number", *TURNS, "--most", "ten")

    def test_beyond_64_bits(self):
        self.check("--turns 0.99999999999999999/9999999999999999.9: its exact numbers do not",
                   "--turns", "0.99999999999999999/9999999999999999.9")
        primes = [("9973", "9967"), ("9949", "9941"), ("9931", "9929"), ("9923", "9907"),
                  ("9901", "9887")]
        known = [word for pair in primes for word in ("--known", "/".join(pair))]
        self.check("the ratio of the known meshes does not fit 64 bits", *TURNS, "--meshes", "5..6",
                   *known)
        self.check("the exact numbers of this search do not fit 64 bits", "--turns",
                   "2.25000000000000001", "--meshes", "5", *known[:8])

    def test_meant_words(self):
        self.check("ratio has no option --turn. Did you mean --turns?", "--turn", "2.25")
        self.check("Did you mean --epicyclic?", *TURNS, "--epicylic", "yes")
        self.check("Did you mean --counted?", "--countd", "22.5+/-0.1/10")
        self.check("ratio has no format jsn. Did you mean json?", *TURNS, "--format", "jsn")
        self.check("--turns needs a value: --turns TURNS", "--turns")


if __name__ == "__main__":
    unittest.main()
