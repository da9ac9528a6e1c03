"""What helps an author: new, explain, and the questions that stops answers.

The numbers are calculated here once more, with Python's fractions.
"""

import csv
import fractions
import io
import json
import os
import pathlib
import pty
import re
import shutil
import subprocess
import tempfile
import unittest

import yaml

PROGRAM = str(pathlib.Path(os.environ.get("ROTORTAB", "build/rotortab")).resolve())
DEMO = pathlib.Path("engines-demo").resolve()
SLIPWAY = DEMO / "devices/slipway-4.device.yaml"
BILLHOOK = DEMO / "engines/billhook-8.engine.yaml"
QUERN = DEMO / "engines/quern-12.engine.yaml"

FILLED = {
    "name": "Harrow 20", "revision": "1", "status": "draft", "source": "Invented for a test",
    "spools": "HP", "stages": "HPC-1,HPC-2", "pads": "crank",
    "spools/HP/rotation/sense": "cw", "spools/HP/rotation/view": "aft-looking-forward",
    "pads/crank/faces": "aft", "pads/crank/rotation/sense": "cw",
    "pads/crank/rotation/view": "facing-pad", "pads/crank/turns/pad": "2.2522",
    "pads/crank/turns/rotor": "1", "pads/crank/torque-limit": "40 lbf.ft",
    "pads/crank/lash": "1.2 deg",
    "pads/crank/path": "[external: [27, 44], bevel: {teeth: [31, 22], backs: [aft, up]}, "
                       "bevel: {teeth: [19, 37], backs: [down, aft]}]",
}
for stage, blades in (("HPC-1", "31"), ("HPC-2", "40")):
    FILLED.update({f"stages/{stage}/role": "compressor", f"stages/{stage}/blades": blades,
                   f"stages/{stage}/numbering": "against-rotation"})


class Author(unittest.TestCase):
    def setUp(self):
        self.scratch = tempfile.TemporaryDirectory()
        self.addCleanup(self.scratch.cleanup)
        self.folder = pathlib.Path(self.scratch.name)

    def run_program(self, *arguments, status=0, data=b""):
        done = subprocess.run([PROGRAM, *map(str, arguments)], cwd=self.folder, input=data,
                              capture_output=True, timeout=60, check=False)
        self.assertEqual(done.returncode, status, done.stdout + done.stderr)
        return done

    def text(self, *arguments, **more):
        return self.run_program(*arguments, **more).stdout.decode()


class New(Author):
    """A definition to fill in."""

    def sets(self, values):
        return [word for item in values.items() for word in ("--set", "=".join(item))]

    def test_is_valid_once_its_blanks_are_filled(self):
        self.run_program("new", "harrow-20", *self.sets(FILLED))
        done = self.run_program("check", "--strict", "harrow-20.engine.yaml")
        self.assertIn(b"0 errors, 0 warnings", done.stdout)

    def test_every_blank_is_a_finding_that_says_what_belongs_there(self):
        self.run_program("new", "harrow-20", "--set", "spools=HP", "--set", "pads=crank")
        done = self.run_program("check", "--format", "json", "harrow-20.engine.yaml", status=1)
        report = json.loads(done.stdout)
        text = (self.folder / "harrow-20.engine.yaml").read_text()
        blanks = len(re.findall(r"(?m)^ *(?:- )?[a-z-]+:(?:  #.*)?$", text)) - len(
            re.findall(r"(?m)^ *(?:spools|stages|pads|rotation|turns):$", text))
        missing = [f for f in report["findings"] if f["rule"] == "missing-key"]
        self.assertEqual(len(missing), blanks)
        self.assertEqual(len(missing), report["errors"])
        for finding in missing:
            self.assertRegex(finding["way_out"], r"^Fill it in \(.+\)\.")
        self.assertTrue(any("Usually found in" in f["way_out"] for f in missing))

    def test_each_kind_can_be_begun(self):
        for kind, name in (("device-profile", "d.device.yaml"), ("policy", "p.policy.yaml")):
            self.run_program("new", name[0], "--kind", kind)
            self.assertTrue((self.folder / name).exists())
        self.run_program("check", "p.policy.yaml")
        self.run_program("new", "x", "--kind", "engine", status=2)

    def test_never_overwrites(self):
        (self.folder / "x.engine.yaml").write_text("mine")
        self.run_program("new", "x", status=2)
        self.assertEqual((self.folder / "x.engine.yaml").read_text(), "mine")

    def test_refuses_what_is_no_id_and_no_setting(self):
        for bad in ("../x", "X", "a b", "-"):
            self.run_program("new", "--", bad, status=2)
        self.run_program("new", "x", "--set", "name", status=2)
        self.assertEqual(list(self.folder.iterdir()), [])

    def test_values_are_quoted_where_yaml_wants_it(self):
        odd = 'a: "b" # \\c'
        self.run_program("new", "x", "--set", f"name={odd}")
        self.assertEqual(yaml.load((self.folder / "x.engine.yaml").read_text(),
                                   yaml.BaseLoader)["name"], odd)

    def test_asks_on_a_terminal(self):
        pid, terminal = pty.fork()
        if pid == 0:
            os.chdir(self.folder)
            os.execv(PROGRAM, [PROGRAM, "new", "x"])
        os.write(terminal, b"Harrow 20\n3\n\nsaid so\nHP\n")
        os.write(terminal, b"cw\n\x04")
        output = b""
        while True:
            try:
                piece = os.read(terminal, 4096)
            except OSError:
                break
            if not piece:
                break
            output += piece
        os.waitpid(pid, 0)
        made = yaml.load((self.folder / "x.engine.yaml").read_text(), yaml.BaseLoader)
        self.assertEqual((made["name"], made["revision"], made["status"], made["source"]),
                         ("Harrow 20", "3", "", "said so"))
        self.assertEqual(made["spools"][0]["rotation"]["sense"], "cw")
        self.assertIn(b"whether it may be used: draft, released, withdrawn", output)


class Explain(Author):
    """The derivation of a number, for a pocket calculator."""

    def test_ratio_mesh_by_mesh(self):
        text = self.text("explain", "-d", SLIPWAY, QUERN, "--stage", "HPC-1")
        ratio = fractions.Fraction(1)
        for mesh in re.findall(r"x (\d+/\d+) = [\d.]+ +so far (\d+/\d+)", text):
            ratio *= fractions.Fraction(mesh[0])
            self.assertEqual(ratio, fractions.Fraction(mesh[1]))
        self.assertEqual(str(ratio), re.search(r"G = (\S+) =", text)[1])
        counts = 2048 * 81 * ratio
        self.assertEqual(str(counts), re.search(r"K = counts x A x G = (\S+) =", text)[1])
        step = counts / 31
        whole = step.numerator // step.denominator
        self.assertIn(f"step {whole} + {step - whole} counts", text)
        for stop, count in re.findall(r"stop (\d+): .* to (\d+), off", text):
            exact = step * (int(stop) - 1)
            self.assertEqual(int(count), (2 * exact + 1).__floor__() // 2)

    def test_without_a_device_it_ends_with_the_sense(self):
        text = self.text("explain", QUERN)
        self.assertIn("proven by the path", text)
        self.assertNotIn("K =", text)

    def test_an_adapter_and_a_rounded_ratio(self):
        text = self.text("explain", "-d", SLIPWAY, DEMO / "engines")
        self.assertIn("device turns per pad turn through the adapter", text)
        self.assertIn("rounded: the stops are uncertain by", text)
        self.assertIn("proven by a witness", text)

    def test_names_that_are_not_there(self):
        self.run_program("explain", QUERN, "--stage", "HPC-99", status=2)
        self.run_program("explain", QUERN, "--pad", "none", status=2)


class Stops(Author):
    """Which blade, where, when."""

    def setUp(self):
        super().setUp()
        self.engine = yaml.load(BILLHOOK.read_text(), yaml.BaseLoader)

    def stops(self, *more):
        return json.loads(self.text("stops", "-d", SLIPWAY, BILLHOOK, *more, "--format", "json"))

    def test_from_a_blade_on(self):
        (whole,) = self.stops("-s", "C-1")
        (part,) = self.stops("-s", "C-1", "-b", 5)
        order = [s["blade"] for s in whole["stops"]]
        at = order.index(5)
        self.assertEqual([s["blade"] for s in part["stops"]], order[at:] + order[:at])
        self.assertEqual([s["count"] for s in part["stops"]], [s["count"] for s in whole["stops"]])
        self.assertEqual(self.stops("-s", "C-1", "-b", 1), [whole])

    def test_pauses_add_up(self):
        (plain,) = self.stops("-s", "C-1")
        (paused,) = self.stops("-s", "C-1", "--pause", 7)
        for i, (one, other) in enumerate(zip(plain["stops"], paused["stops"])):
            self.assertAlmostEqual(one["time_s"] + 7 * i, other["time_s"], places=3)

    def test_csv_has_the_same_numbers(self):
        rows = list(csv.DictReader(io.StringIO(
            self.text("stops", "-d", SLIPWAY, BILLHOOK, "-s", "C-1", "--format", "csv"))))
        (whole,) = self.stops("-s", "C-1")
        self.assertEqual([(int(r["blade"]), int(r["count"]), r["pad_deg"], r["error_counts"])
                          for r in rows],
                         [(s["blade"], s["count"], s["pad_deg"], s["error_counts"])
                          for s in whole["stops"]])

    def test_the_blade_at_a_count(self):
        (whole,) = self.stops("-s", "C-1")
        counts = fractions.Fraction(whole["counts_per_rotor_turn"])
        for count in (0, 1, 21802, 21803, 43605, 1002917, -1, -21803, 987654321):
            with self.subTest(count):
                (answer,) = self.stops("-s", "C-1", "--at-count", count)
                steps = {j: (2 * j * counts / 23 + 1).__floor__() // 2
                         for j in range(int(count * 23 / counts) - 3, int(count * 23 / counts) + 4)}
                nearest = max(steps, key=lambda j: (-abs(count - steps[j]), j))
                self.assertEqual(answer["off_counts"], count - steps[nearest])
                self.assertEqual(answer["blade"], whole["stops"][nearest % 23]["blade"])
                self.assertEqual(fractions.Fraction(answer["off_deg"]),
                                 360 * (count - steps[nearest]) / counts)

    def angle(self, stage, port=0):
        """Rotor angle with blade one at the port: p - clocking, p negated for a ccw rotor."""
        ports = stage["port"] if isinstance(stage["port"], list) else [stage["port"]]
        hours, minutes = map(int, ports[port]["clock"].split(":"))
        p = 30 * (hours % 12) + fractions.Fraction(minutes, 2)
        self.assertEqual(self.engine["spools"][0]["rotation"]["sense"], "ccw")
        self.assertEqual(self.engine["spools"][0]["rotation"]["view"], "aft-looking-forward")
        number, unit = stage["clocking"].split()
        degrees = {"deg": 1, "rev": 360, "arcmin": fractions.Fraction(1, 60)}[unit]
        return -p - fractions.Fraction(number) * degrees

    def test_carried_over_to_other_stages(self):
        stages = {s["id"]: s for s in self.engine["stages"]}
        for blade in (1, 2, 23):
            answers = self.stops("--carry", f"C-1:{blade}")
            self.assertEqual(len(answers), 4)
            for answer in answers:
                to = stages[answer["stage"]]
                self.assertEqual(to["numbering"], "with-rotation")
                port = [p["id"] for p in (to["port"] if isinstance(to["port"], list)
                                          else [to["port"]])].index(answer["port"])
                pitch = fractions.Fraction(360, int(to["blades"]))
                step = fractions.Fraction(360, 23)
                ahead = (self.angle(stages["C-1"]) + (1 - blade) * step
                         - self.angle(to, port)) % 360
                nearest = ((2 * ahead / pitch + 1).__floor__() // 2)
                self.assertEqual(answer["blade"], (-nearest) % int(to["blades"]) + 1)
                self.assertEqual(fractions.Fraction(answer["off_deg"]), ahead - nearest * pitch)

    def test_what_cannot_be_asked(self):
        for wrong in (["--carry", "C-1"], ["--carry", "C-1:0"], ["--carry", "C-9:1"],
                      ["--carry", "C-1:24"], ["--at-count", "x"], ["-b", "0"], ["-b", "9999"],
                      ["--pause", "-1"], ["--pause", "99999999999999999999"]):
            with self.subTest(wrong):
                self.run_program("stops", "-d", SLIPWAY, BILLHOOK, *wrong, status=2)
        shutil.copy(QUERN, self.folder)
        text = re.sub("(?m)^ *clocking:.*$", "", (self.folder / QUERN.name).read_text())
        (self.folder / QUERN.name).write_text(text)
        done = self.run_program("stops", QUERN.name, "--carry", "HPC-1:1", status=2)
        self.assertIn(b"clocking", done.stderr)


if __name__ == "__main__":
    unittest.main()
