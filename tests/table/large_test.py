"""No table has more than 64 MiB: a larger one is refused, and nothing is written."""

import os
import pathlib
import subprocess
import tempfile
import unittest

ROOT = pathlib.Path(__file__).resolve().parent.parent.parent
PROGRAM = pathlib.Path(os.environ.get("ROTORTAB", ROOT / "build" / "rotortab")).resolve()
MOST = 64 << 20

DEVICE = """\
device-profile: 1
id: bench-9
name: Bench nine
shaft:
  counts-per-motor-turn: 2000
  reduction: {motor: 81, output: 1}
  positive: cw
  square: 3/8 in
stepping: scheduled
counter-bits: 32
speed: {min: 1 deg/min, max: 6 rpm, resolution: 0.1 deg/min}
torque: {min: 5 lbf.ft, max: 60 lbf.ft, resolution: 0.5 lbf.ft}
limits: {table-bytes: 999999999, engines: 9999, stages: 99, pads: 99, blades: 255, text-bytes: 20,
         text: ascii}
"""


def definition(number):
    """An engine with the most stages and pads: each pair of them has a record.

    A step of each stage is a whole number of counts, because a note for each pair takes time.
    """
    stages = "".join(f"  - {{id: C-{i}, spool: N1, role: compressor, blades: 20,"
                     " numbering: with-rotation}\n" for i in range(99))
    pads = "".join(f"  - {{id: p-{i}, spool: N1, faces: aft, rotation: {{sense: ccw, view: "
                   "facing-pad}, path: [external: [20, 40]], torque-limit: 40 N.m, square: 3/8 in,"
                   " backlash: 1 +/- 0 deg}\n" for i in range(99))
    return (f"engine-definition: 1\nid: tern-{number}\nname: Tern {number}\n"
            f"models: [Tern {number}]\nrevision: 1\nstatus: released\nsource: Invented\n"
            "spools:\n  - {id: N1, rotation: {sense: cw, view: aft-looking-forward}, "
            "max-speed: 1 rpm}\n"
            f"stages:\n{stages}pads:\n{pads}")


class Large(unittest.TestCase):
    """As many engines as are needed."""

    def setUp(self):
        scratch = tempfile.TemporaryDirectory()
        self.addCleanup(scratch.cleanup)
        self.folder = pathlib.Path(scratch.name)
        (self.folder / "e").mkdir()
        (self.folder / "bench-9.device.yaml").write_text(DEVICE)

    def compile(self, count):
        for number in range(count):
            (self.folder / "e" / f"tern-{number}.engine.yaml").write_text(definition(number))
        return subprocess.run([PROGRAM, "compile", "-d", "bench-9.device.yaml", "-o", "t.rotor",
                               "e"], cwd=self.folder, capture_output=True, text=True, check=False)

    def test_what_would_be_larger(self):
        done = self.compile(2)
        self.assertEqual(done.returncode, 0, done.stderr)
        table = self.folder / "t.rotor"
        each = table.stat().st_size // 2
        table.unlink()
        done = self.compile(MOST // each + 5)
        self.assertEqual(done.returncode, 1, done.stdout[-300:])
        self.assertIn("the table would have more than 64 MiB", done.stderr + done.stdout)
        self.assertFalse(table.exists())


if __name__ == "__main__":
    unittest.main()
