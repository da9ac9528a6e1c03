"""Every single-bit error, every cut and every byte appended to a demonstration table is refused."""

import os
import pathlib
import subprocess
import tempfile
import unittest

import seeds

PROGRAM = pathlib.Path(os.environ.get("ROTORTAB", seeds.ROOT / "build" / "rotortab"))


class Flips(unittest.TestCase):
    def test_of_every_demonstration_table(self):
        with tempfile.TemporaryDirectory() as scratch:
            folder = pathlib.Path(scratch)
            flips = folder / "flips"
            subprocess.run(["gcc", "-O2", f"-I{seeds.ROOT}/src", "-o", flips,
                            seeds.ROOT / "tests" / "fuzz" / "flips.c",
                            *sorted((seeds.ROOT / "src" / "field").glob("*.c"))], check=True)
            self.assertGreater(seeds.write(PROGRAM.resolve(), folder), 20)
            for table in sorted(folder.glob("*.rotor")):
                size = table.stat().st_size
                done = subprocess.run([flips, table], capture_output=True, text=True, check=False)
                self.assertEqual(done.stdout, f"{9 * size + 256} tried, 0 taken\n",
                                 table.name + done.stderr)


if __name__ == "__main__":
    unittest.main()
