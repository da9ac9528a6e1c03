"""What is wrong with a device profile by itself, and that compile takes what check passed."""

import unittest

from checking import GOOD, PROFILE, Folder, changed, findings, run

TORQUE = "torque: {min: 5 lbf.ft, max: 60 lbf.ft, resolution: 0.5 lbf.ft}"
SPEED = "speed: {min: 20 deg/min, max: 6 rpm, resolution: 0.5 deg/min}"


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


class Steps(OnDevice):
    """The counts from blade to blade that a table holds: 1, and a turn of them up to 2^30."""

    # Through pad crank alone: 2.25 device turns a rotor turn, 40 blades.
    ONE_PAD = changed((GOOD[GOOD.index("  - id: starter"):GOOD.index("\nwitness:")], ""),
                      (GOOD[GOOD.index("  - pad: starter"):], ""), text=GOOD)

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


if __name__ == "__main__":
    unittest.main()
