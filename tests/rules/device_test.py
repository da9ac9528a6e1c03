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


if __name__ == "__main__":
    unittest.main()
