"""Two definitions to change, and the program run on what has become of them. Invented data."""

import json
import os
import pathlib
import re
import subprocess
import sys
import tempfile
import unittest

ROOT = pathlib.Path(__file__).resolve().parent.parent.parent
sys.path.append(str(ROOT / "tests" / "table"))
import layout  # noqa: E402,F401 pylint: disable=wrong-import-position,unused-import

PROGRAM = pathlib.Path(os.environ.get("ROTORTAB", ROOT / "build" / "rotortab")).resolve()

HARROW = """\
engine-definition: 1
id: harrow-20
name: Harrow 20
models: [Harrow 20, Harrow 20A]
revision: 4
status: released
source: Invented
spools:
  - id: LP
    rotation: {sense: cw, view: aft-looking-forward}
    turned-by: hand
  - id: HP
    rotation: {sense: cw, view: aft-looking-forward}
    max-speed: 120 deg/min
stages:
  - {id: FAN, spool: LP, role: fan, blades: 22, numbering: with-rotation}
  - id: HPC-1
    spool: HP
    role: compressor
    blades: 31
    numbering: against-rotation
    blade-one: two locking lugs
    port:
      - {id: P3, clock: "4:30"}
      - {id: P4, clock: "9:00"}
    clocking: 12.5 deg
  - {id: HPC-3, spool: HP, role: compressor, blades: 68, numbering: with-rotation}
pads:
  - id: crank
    spool: HP
    faces: aft
    rotation: {sense: ccw, view: facing-pad}
    path:
      - external: [27, 33, 44]
      - bevel: {teeth: [31, 22], backs: [aft, up]}
      - bevel: {teeth: [19, 37], backs: [down, aft]}
    square: 3/8 in
    torque-limit: 40 lbf.ft
    backlash: 1.2 +/- 0 deg
  - id: starter
    spool: HP
    rotation: {sense: ccw, view: facing-pad}
    turns: {pad: 0.5655, rotor: 1}
    drives: ccw
    square: 1/2 in
    torque-limit: 20 lbf.ft
    backlash: 0.5 +/- 0 deg
    adapter:
      path: [external: [20, 30]]
      square: 3/8 in
      torque-limit: 10 lbf.ft
      backlash: 0.2 +/- 0 deg
observations:
  - pad: starter
    seen: {pad: ccw, rotor: cw}
"""

TERN = """\
engine-definition: 1
id: tern-5
name: Tern 5
models: [Tern 5]
revision: 1
status: released
source: Invented
spools:
  - {id: N1, rotation: {sense: cw, view: aft-looking-forward}, max-speed: 1 rpm}
stages:
  - {id: C-1, spool: N1, role: compressor, blades: 25, numbering: with-rotation}
pads:
  - id: nose
    spool: N1
    faces: aft
    rotation: {sense: ccw, view: facing-pad}
    path: [external: [20, 40]]
    torque-limit: 40 N.m
    square: 3/8 in
    backlash: 1 +/- 0 deg
"""

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
limits: {table-bytes: 65536, engines: 200, stages: 24, pads: 4, blades: 255, text-bytes: 20,
         text: ascii}
"""


def edited(text, *edits):
    """The text with each (old, new) replaced; each old text must be there."""
    for old, new in edits:
        if old not in text:
            raise ValueError(f"{old!r} is not in the definition")
        text = text.replace(old, new)
    return text


class Folder(unittest.TestCase):
    """A scratch folder, and `compare` run in it."""

    maxDiff = None

    def setUp(self):
        scratch = tempfile.TemporaryDirectory()
        self.addCleanup(scratch.cleanup)
        self.folder = pathlib.Path(scratch.name)

    def write(self, name, text):
        """Writes a file below the scratch folder; returns its name."""
        path = self.folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_bytes(text if isinstance(text, bytes) else text.encode("utf-8"))
        return name

    def run_program(self, *arguments, environment=None):
        """Runs the program; returns (status, standard output, standard error)."""
        own = {**os.environ, "NO_COLOR": "1", "LC_ALL": "C.UTF-8", **(environment or {})}
        done = subprocess.run([PROGRAM, *arguments], cwd=self.folder, env=own,
                              stdin=subprocess.DEVNULL, capture_output=True, check=False)
        return (done.returncode, done.stdout.decode("utf-8", "backslashreplace"),
                done.stderr.decode("utf-8", "backslashreplace"))

    def compare(self, *arguments, status=1):
        """The text of a comparison, line by line.  A revision that was kept makes a 1 a 2."""
        got, out, err = self.run_program("compare", *arguments)
        kept = "revision-kept" in out and ("error: " in out or "**error**" in out)
        self.assertEqual(got, 2 if status == 1 and kept else status, out + err)
        return out.splitlines()

    def report(self, *arguments, status=1):
        """The JSON of a comparison.  A revision that was kept makes a 1 a 2."""
        got, out, err = self.run_program("compare", "--format", "json", *arguments)
        report = json.loads(out)
        kept = any(finding["severity"] == "error" for finding in report["findings"])
        self.assertEqual(got, 2 if status == 1 and kept else status, out + err)
        return report

    def two(self, before, after, name="harrow-20"):
        """Writes a definition to either side."""
        return (self.write(f"a/{name}.engine.yaml", before),
                self.write(f"b/{name}.engine.yaml", after))

    def table(self, name, *sources, device=DEVICE):
        """Compiles sources to a table; returns its name."""
        identity = re.search("^id: (.*)$", device, re.M).group(1)
        profile = self.write(f"{name}.profile/{identity}.device.yaml", device)
        status, out, err = self.run_program("compile", "-d", profile, "-o", name, *sources)
        self.assertEqual(status, 0, out + err)
        return name
