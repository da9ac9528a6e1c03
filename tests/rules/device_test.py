"""What is wrong with a device profile by itself, and that compile takes what check passed."""

import unittest

from checking import GOOD, PROFILE, Folder, changed, findings, run

TORQUE = "torque: {min: 5 lbf.ft, max: 60 lbf.ft, resolution: 0.5 lbf.ft}"
SPEED = "speed: {min: 20 deg/min, max: 6 rpm, resolution: 0.5 deg/min}"

# Through pad crank alone: 2.25 device turns a rotor turn.
ONE_PAD = changed((GOOD[GOOD.index("  - id: starter"):GOOD.index("\nobservations:")], ""),
                  (GOOD[GOOD.index("  - pad: starter"):], ""), text=GOOD)


class OnDevice(Folder):
    """The clean definition on a profile that is changed in a place."""

    def setUp(self):
        super().setUp()
        self.put("neighbour.engine.yaml", GOOD)

    def profile(self, *pairs):
        """Changes the profile."""
        self.put("plain.device.yaml", changed(*pairs, text=PROFILE))

    def on_device(self):
        """[(rule, severity)] of check; compile must agree with it."""
        found = self.found("--device", "plain.device.yaml", "neighbour.engine.yaml")
        done = run(self.folder, "compile", "--device", "plain.device.yaml", "--output", "t.rotor",
                   "neighbour.engine.yaml")
        refused = any(severity == "error" for _, severity in found)
        self.assertEqual(done.returncode, int(refused), done.stderr.decode())
        return found

    def only(self):
        """The one finding there has to be."""
        self.on_device()
        finding, = findings(self.folder, "--device", "plain.device.yaml",
                            "neighbour.engine.yaml")[1]
        return finding


class Spans(OnDevice):
    """What a device can be set to: whole multiples of its resolution, from min to max."""

    def test_none(self):
        for old, new in ((TORQUE, "torque: {min: 5.2 lbf.ft, max: 5.8 lbf.ft, resolution: "
                                  "1 lbf.ft}"),
                         (SPEED, "speed: {min: 0.5 rpm, max: 190 deg/min, resolution: "
                                 "100 deg/min}")):
            self.profile((old, new))
            finding = self.only()
            self.assertEqual((finding["rule"], finding["file"]),
                             ("out-of-range", "plain.device.yaml"))
            self.assertIn("no multiple of this resolution", finding["message"])
            self.assertEqual(len(finding["related"]), 2)

    def test_one(self):
        self.profile((TORQUE, "torque: {min: 5.2 lbf.ft, max: 6 lbf.ft, resolution: 1 lbf.ft}"))
        self.assertEqual(self.on_device(), [("torque-capped", "note")] * 2)

    def test_beyond_a_table(self):
        for old, new, at in (
                ("resolution: 0.5 lbf.ft", "resolution: 0.0000000001 lbf.ft", 14),
                ("resolution: 0.5 lbf.ft", "resolution: 5000000000/9999999999 lbf.ft", 14),
                ("resolution: 0.5 deg/min", "resolution: 0.0000001 deg/min", 13)):
            self.profile((old, new))
            finding = self.only()
            self.assertEqual((finding["rule"], finding["file"], finding["line"]),
                             ("number-too-large", "plain.device.yaml", at))
        # 4294967200 steps fit.
        self.profile((TORQUE, "torque: {min: 5 lbf.ft, max: 42949672 lbf.ft, resolution: "
                              "0.01 lbf.ft}"))
        self.assertNotIn("error", {severity for _, severity in self.on_device()})


class Policy(OnDevice):
    """A profile's findings weigh what the policy says, as a definition's do."""

    def test_name(self):
        self.put("other.device.yaml", PROFILE)
        for told, severity in (("error", "error"), ("warning", "warning"), ("note", "note"),
                               ("off", None)):
            self.put("rotortab.policy.yaml", f"policy: 1\nrules: {{id-not-file-name: {told}}}\n")
            for arguments in (["other.device.yaml"],
                              ["--device", "other.device.yaml", "neighbour.engine.yaml"]):
                self.assertEqual(self.found(*arguments),
                                 [("id-not-file-name", severity)] if severity else [])


class Reduction(OnDevice):
    """A reduction and a path that are both given say the same, exactly."""

    def both(self, reduction, path):
        """Gives the profile both."""
        self.profile(("reduction: {motor: 8, output: 1}",
                      f"reduction: {reduction}\n  path: {path}"))

    def test_agree(self):
        for reduction in ("{motor: 8, output: 1}", "{motor: 4.0, output: 1/2}"):
            self.both(reduction, "[external: [20, 40], external: [20, 80]]")
            self.assertEqual(self.on_device(), [])

    def test_differ(self):
        for reduction, stated in (("{motor: 81, output: 1}", "81"),
                                  ("{motor: 8.000000000001, output: 1}", "8.000000000001"),
                                  ("{motor: 1, output: 8}", "0.125")):
            self.both(reduction, "[external: [20, 40], external: [20, 80]]")
            finding = self.only()
            self.assertEqual((finding["rule"], finding["severity"], finding["line"],
                              finding["column"]), ("ratio-disagrees", "error", 8, 14))
            self.assertIn(f"states {stated} motor turns per output turn; the path makes 8",
                          finding["message"])
            self.assertEqual(finding["related"][0]["line"], 9)

    def test_quotient_beyond_64_bits(self):
        self.both("{motor: 7/999999999999999989, output: 999999999999999877/3}",
                  "[external: [20, 40], external: [20, 80]]")
        self.assertEqual(self.on_device(), [("ratio-disagrees", "error")])

    def test_unread_path_is_one_mistake(self):
        self.both("{motor: 81, output: 1}", "[external: [20, x]]")
        self.assertEqual(self.on_device(), [("bad-number", "error")])


class Texts(OnDevice):
    """Tabs, which no device shows, whatever characters it has: no policy lets one through."""

    def test_tab(self):
        for charset in ("ascii", "latin-1", "utf-8"):
            self.profile(("text: ascii", f"text: {charset}"))
            for name in ("Wind\trow 9", r'"Wind\trow 9"'):
                self.put("neighbour.engine.yaml", changed(("name: Hayrake 6", f"name: {name}")))
                self.assertEqual(self.on_device(), [("wrong-shape", "error")])
                self.assertEqual("name has a tab in its value", self.only()["message"])


class Clocking(OnDevice):
    """A clocking of as many digits as are read has its place in the table."""

    def test_digits(self):
        for angle in ("1.23456789012345673", "0.12345678901234567", "359.999999999999999",
                      "99999999999999999/999999999999999989"):
            self.put("neighbour.engine.yaml", changed(("12.5 deg", f"{angle} deg")))
            self.assertEqual(self.on_device(), [])
            done = run(self.folder, "verify", "t.rotor", "--against", "neighbour.engine.yaml",
                       "--device", "plain.device.yaml")
            self.assertEqual(done.returncode, 0, done.stderr.decode() + done.stdout.decode())


class Steps(OnDevice):
    """The counts from blade to blade that a table holds: 1, and a turn of them up to 2^30."""

    def counts(self, rotor_turn, definition=ONE_PAD):
        """Lets a rotor turn have so many counts."""
        self.put("neighbour.engine.yaml", definition)
        self.profile(("counts-per-motor-turn: 200", "counts-per-motor-turn: 1"),
                     ("{motor: 8, output: 1}", f"{{motor: {rotor_turn * 4}, output: 9}}"),
                     ("counter-bits: 32", "counter-bits: 64"))

    def test_as_many_as_a_table_holds(self):
        # 40 blades of 26843545 counts are 2^30 - 24, and a count a blade on top is too many.
        self.counts(2**30 - 25)
        self.assertNotIn("error", {severity for _, severity in self.on_device()})
        self.counts(2**30 - 24)
        self.assertIn("stage HPC-2 has 40 blades", self.only()["message"])

    def test_more(self):
        self.counts(2**30)
        finding = self.only()
        self.assertEqual((finding["rule"], finding["line"]), ("number-too-large", 27))
        self.assertIn("stage HPC-1 has 30 blades", finding["message"])
        self.assertEqual(finding["numbers"]["step_most"], str(2**30 // 30 - 1))
        self.assertEqual([note["message"] for note in finding["related"]],
                         ["the device's counts", "stage HPC-2 too", "stage HPT-1 too"])

    def test_fewer_than_blades(self):
        self.counts(60)
        self.assertNotIn("error", {severity for _, severity in self.on_device()})
        self.counts(59)
        finding = self.only()
        self.assertEqual((finding["rule"], finding["line"]), ("number-too-large", 42))
        self.assertIn("with 0 whole counts", finding["message"])


class TooLarge(OnDevice):
    """What 64 bits cannot keep is told at its own place."""

    def place(self, text):
        """(line, column) of a text in the definition."""
        before = (self.folder / "neighbour.engine.yaml").read_text().split(text)[0]
        return before.count("\n") + 1, len(before) - before.rfind("\n")

    def told(self, *pairs, at, says, text=GOOD):
        """Changes the definition, in which the one mistake has to be told there and so."""
        self.put("neighbour.engine.yaml", changed(*pairs, text=text))
        finding = self.only()
        self.assertEqual(finding["rule"], "number-too-large")
        self.assertEqual((finding["line"], finding["column"]), self.place(at), finding)
        self.assertIn(says, finding["message"])

    def test_torque(self):
        self.profile((TORQUE, TORQUE.replace("0.5 lbf.ft", "0.01 lbf.ft")))
        huge = "350000000000000000 lbf.ft"
        for old in ("torque-limit: 40 lbf.ft", "torque-limit: 25 lbf.ft"):
            self.put("neighbour.engine.yaml", changed((old, f"torque-limit: {huge}")))
            found = [finding for finding in findings(
                self.folder, "--device", "plain.device.yaml", "neighbour.engine.yaml")[1]
                     if finding["severity"] == "error"]
            self.assertEqual([finding["rule"] for finding in found], ["number-too-large"])
            self.assertEqual((found[0]["line"], found[0]["column"]), self.place(huge))
            self.assertIn(f"torque limit of {huge} is too large for 64 bits in steps",
                          found[0]["message"])
            self.assertEqual(found[0]["related"][0]["file"], "plain.device.yaml")

    def test_speed(self):
        self.put("rotortab.policy.yaml", "policy: 1\nrules: {speed-unusual: off}\n")
        self.told(("90 deg/min", "350000000000000000 rpm"), at="350000000000000000",
                  says="greatest speed of 350000000000000000 rpm")

    def test_backlash(self):
        self.profile(("counts-per-motor-turn: 200", "counts-per-motor-turn: 20000000"),
                     ("counter-bits: 32", "counter-bits: 64"))
        self.put("rotortab.policy.yaml", "policy: 1\nrules: {backlash-large: off}\n")
        self.told(("backlash: 0.5 deg", "backlash: 700 deg"), at="700 deg",
                  says="the backlash of pad crank is 311111112 counts", text=ONE_PAD)

    def test_adapter(self):
        row = "[external: [9973, 9967], external: [9949, 9941], external: [9931, 9929], " \
              "external: [9923, 9907], external: [9901, 9887]]"
        self.put("rotortab.policy.yaml", "policy: 1\nrules: {teeth-many: off}\n")
        self.told(("[internal: [20, 60]]", row), at=row,
                  says="the ratio of this pad's adapter")


if __name__ == "__main__":
    unittest.main()
