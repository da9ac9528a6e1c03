"""A later version's table is read as before; one for later readers only is refused as such."""

import json
import os
import pathlib
import subprocess
import tempfile
import unittest

import newer

ROOT = pathlib.Path(__file__).resolve().parents[2]
PROGRAM = pathlib.Path(os.environ.get("ROTORTAB", ROOT / "build" / "rotortab"))
DEVICES = sorted((ROOT / "engines-demo" / "devices").iterdir())
ENGINE = ROOT / "engines-demo" / "engines" / "quern-12.engine.yaml"


def run(*arguments):
    return subprocess.run([PROGRAM, *arguments], capture_output=True, text=True, check=False)


class Newer(unittest.TestCase):
    def setUp(self):
        scratch = tempfile.TemporaryDirectory()
        self.addCleanup(scratch.cleanup)
        self.path = pathlib.Path(scratch.name, "t.rotor")

    def compiled(self, device):
        done = run("compile", "--device", device, "-o", self.path, ENGINE)
        self.assertEqual(done.returncode, 0, done.stderr)
        return self.path.read_bytes()

    def show(self, table):
        self.path.write_bytes(table)
        done = run("show", "--format", "json", self.path)
        self.assertEqual(done.returncode, 0, done.stderr)
        return json.loads(done.stdout)

    def test_what_is_known_of_it_is_read(self):
        for device in DEVICES:
            with self.subTest(device.name):
                table = self.compiled(device)
                before, later = self.show(table), self.show(newer.grown(table))
                self.assertEqual((later.pop("format_version"), later.pop("bytes")),
                                 (newer.VERSION, len(newer.grown(table))))
                del before["format_version"], before["bytes"]
                self.assertEqual(before, later)
                self.assertEqual(run("verify", self.path).returncode, 0)

    def test_for_later_readers_only(self):
        table = self.compiled(DEVICES[0])
        self.path.write_bytes(newer.grown(table, oldest=2))
        done = run("verify", "--format", "json", self.path)
        self.assertEqual(done.returncode, 1)
        self.assertEqual(json.loads(done.stdout)["status"], "too-new")

    def test_damage_is_found_before_that(self):
        table = bytearray(newer.grown(self.compiled(DEVICES[0]), oldest=2))
        table[40] ^= 1
        self.path.write_bytes(table)
        done = run("verify", "--format", "json", self.path)
        self.assertEqual(json.loads(done.stdout)["status"], "header-crc-wrong")


if __name__ == "__main__":
    unittest.main()
