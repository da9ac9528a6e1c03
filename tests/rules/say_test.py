"""A number and the limit that it breaks have enough decimals to show on which side it is."""

import re
import unittest

from checking import GOOD, PROFILE, Folder, changed, findings

DEVICE = ("--device", "plain.device.yaml")


class Beside(Folder):
    """Messages of numbers that are beyond a limit by their last decimal."""

    def message(self, rule, *pairs, device=()):
        """What is said of the one place where the definition is changed."""
        self.put("neighbour.engine.yaml", changed(*pairs))
        told = {finding["message"] for finding in findings(self.folder, *device,
                                                           "neighbour.engine.yaml")[1]
                if finding["rule"] == rule}
        self.assertEqual(len(told), 1, told)
        return told.pop()

    def test_square(self):
        for limit in ("202.001 N.m", "202.00000000000001 N.m", "203 N.m", "148.99 lbf.ft"):
            said = self.message("torque-above-square", ("40 lbf.ft", limit))
            self.assertIn(f"torque limit is {limit}; "
                          "a 3/8 in square is usually tested with 202 N.m", said)

    def test_clocking(self):
        for angle in ("360.001 deg", "360 deg", "361/360 rev", "360.000000000000001 deg"):
            said = self.message("clocking-range", ("12.5 deg", angle))
            self.assertEqual(said, f"a clocking of {angle} is not within one turn")

    def test_teeth(self):
        self.put("rotortab.policy.yaml", "policy: 1\nlimits: {teeth: {min: 16.001, max: 250}}\n")
        said = self.message("teeth-few", ("backlash: 0.5", "backlash: 0.5"))
        self.assertEqual(said, "a gear of 16 teeth; at least 16.001 are usual")

    def test_steps(self):
        for resolution, limit, said in (
                ("0.001", "202.0015 N.m", "202.001 N.m"), ("1/1000", "202.0015 N.m", "202.001 N.m"),
                ("1/3", "202.5 N.m", "202.33 N.m")):
            self.put("plain.device.yaml", changed(
                ("{min: 5 lbf.ft, max: 60 lbf.ft, resolution: 0.5 lbf.ft}",
                 f"{{min: 5 N.m, max: 202 N.m, resolution: {resolution} N.m}}"), text=PROFILE))
            told = self.message("torque-capped", ("40 lbf.ft", limit), device=DEVICE)
            self.assertRegex(told, rf"{re.escape(said)} \([\d.]+ lbf\.ft\) at the device; "
                                   r"the device gives at most 202 N\.m")

    def test_least_torque(self):
        self.put("plain.device.yaml", changed(
            ("{min: 5 lbf.ft, max: 60 lbf.ft, resolution: 0.5 lbf.ft}",
             "{min: 25.000001 lbf.ft, max: 60 lbf.ft, resolution: 0.000001 lbf.ft}"),
            text=PROFILE))
        self.put("neighbour.engine.yaml", GOOD)
        finding, = [finding for finding in findings(self.folder, *DEVICE,
                                                    "neighbour.engine.yaml")[1]
                    if finding["rule"] == "torque-below-device"
                    and "starter" in finding["message"]]
        self.assertIn("the device pushes with at least 25.000001 lbf.ft", finding["message"])
        self.assertIn("25.000001 lbf.ft, but the limit is", finding["consequence"])


if __name__ == "__main__":
    unittest.main()
