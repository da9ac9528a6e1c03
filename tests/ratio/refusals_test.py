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
        self.check("ratio reads no files", *TURNS, "quern-12.engine.yaml")

    def test_numbers(self):
        self.check("--turns abc: 'abc' is no number", "--turns", "abc")
        self.check("--turns needs a value, not an empty text", "--turns", "")
        self.check("'' is no number", "--turns", "2.25/")
        self.check("'' is no number", "--turns", "/10")
        self.check("'1e3' is no number", "--turns", "1e3")
        self.check("'2,25' is no number", "--turns", "2,25")
        self.check("'1234567890123456789' has more than 18 digits", "--turns",
                   "1234567890123456789")
        self.check("'1/0' divides by zero", "--counted", "1/0+/-1/10")
        self.check("'+/-' is no tolerance", "--counted", "22.5+/-/10")
        self.check("'-1' is no tolerance", "--counted", "22.5+/--1/10")

    def test_zero_and_negative(self):
        for value in ("0", "-2.25", "0.0", "0/5", "1 +/- 1", "1 +/- 2"):
            self.check("pad and rotor have to turn", "--turns", value)
        for value in ("0.1+/-0.1/10", "22.5+/-0.1/0", "22.5+/-0.1/-10", "-1+/-0.1/1",
                      "22.5+/-0.1/10+/-10"):
            self.check("pad and rotor have to turn", "--counted", value)

    def test_units(self):
        self.check("--turns 2.25 furlong: 'furlong' is no unit; possible are deg, arcmin or rev",
                   "--turns", "2.25 furlong")
        self.check("'mm' is no unit of an angle; possible are deg", "--counted",
                   "22.5+/-0.1 mm/10")
        self.check("'N.m' is no unit of an angle; possible are deg", "--counted",
                   "22.5+/-0.1/10 N.m")
        self.check("--reading 5: '5' has no unit; possible are deg", *TURNS, "--reading", "5")
        self.check("'turns' is no unit; possible are deg", *TURNS, "--reading", "5 turns")
        self.check("'%' is no unit of an angle", *TURNS, "--reading", "5 %")

    def test_counts(self):
        self.check("the rotor turns are missing; pad turns / rotor turns", "--counted",
                   "22.5+/-0.1")
        self.check("how well was the pad read? 22+/-0.1, say", "--counted", "22/10")
        self.check("how well was the pad read?", "--counted", "45/2/10")

    def test_reading(self):
        for value in ("0 deg", "-5 deg", "5 +/- 1 deg"):
            self.check("an angle above 0 without a tolerance", *TURNS, "--reading", value)
        self.check("'five' is no number", *TURNS, "--reading", "five")
        self.check("do not fit 64 bits", *TURNS, "--reading", "1/999999999999999999 deg")

    def test_teeth(self):
        self.check("from 120 down to 12; the smaller one stands first", *TURNS, "--teeth",
                   "120..12")
        self.check("'few' is no whole number", *TURNS, "--teeth", "few..12")
        self.check("'' is no whole number", *TURNS, "--teeth", "12..")
        self.check("'1.5' is no whole number", *TURNS, "--teeth", "1.5..12")
        self.check("0 is not within 1 to 400", *TURNS, "--teeth", "0..12")
        self.check("401 is not within 1 to 400", *TURNS, "--teeth", "12..401")
        self.check("'-3' is no whole number", *TURNS, "--teeth", "-3..12")

    def test_meshes(self):
        self.check("from 3 down to 1", *TURNS, "--meshes", "3..1")
        self.check("0 is not within 1 to 9", *TURNS, "--meshes", "0..2")
        self.check("10 is not within 1 to 9", *TURNS, "--meshes", "10")
        self.check("4 of them are not --known, and at most 3 can be searched", *TURNS, "--meshes",
                   "1..4")
        self.check("2 meshes are --known, but a train has at most 1", *TURNS, "--meshes", "1",
                   "--known", "27/44", "--known", "31/22")
        four = ["--known", "27/44"] * 4
        self.check("4 meshes are --known, but a train has at most 3", *TURNS, *four)

    def test_known(self):
        self.check("two tooth counts, pad side first, 27/44", *TURNS, "--known", "27")
        self.check("'' is no whole number", *TURNS, "--known", "27/")
        self.check("'44.5' is no whole number", *TURNS, "--known", "27/44.5")
        self.check("'33/44' is no whole number", *TURNS, "--known", "27/33/44")
        self.check("0 is not within 1 to 9999", *TURNS, "--known", "27/0")
        self.check("10000 is not within 1 to 9999", *TURNS, "--known", "10000/27")

    def test_others(self):
        self.check("--epicyclic maybe: yes or no", *TURNS, "--epicyclic", "maybe")
        self.check("0 is not within 1 to 9999", *TURNS, "--blades", "0")
        self.check("0 is not within 1 to 1000", *TURNS, "--most", "0")
        self.check("1001 is not within 1 to 1000", *TURNS, "--most", "1001")
        self.check("'ten' is no whole number", *TURNS, "--most", "ten")

    def test_beyond_64_bits(self):
        self.check("--turns 0.99999999999999999/9999999999999999.9: its exact numbers do not",
                   "--turns", "0.99999999999999999/9999999999999999.9")
        primes = [("9973", "9967"), ("9949", "9941"), ("9931", "9929"), ("9923", "9907"),
                  ("9901", "9887")]
        known = [word for pair in primes for word in ("--known", "/".join(pair))]
        self.check("the known meshes together do not fit 64 bits", *TURNS, "--meshes", "5..6",
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
