"""Every single-bit error, every cut and every byte appended to a demonstration table is refused.

So it is by the reader that hosts have, whose CRC is quick, and by the one that devices have.
"""

import os
import pathlib
import subprocess
import sys
import tempfile
import unittest

import seeds

sys.path.insert(1, str(pathlib.Path(__file__).resolve().parents[1]))
import share  # noqa: E402

PROGRAM = pathlib.Path(os.environ.get("ROTORTAB", seeds.ROOT / "build" / "rotortab"))
BUILT = pathlib.Path(os.environ.get("ROTORTAB_BUILD", seeds.ROOT / "build")) / "tests/fuzz"


class Flips(unittest.TestCase):
    def test_of_every_demonstration_table(self):
        with tempfile.TemporaryDirectory() as scratch:
            folder = pathlib.Path(scratch)
            self.assertGreater(seeds.write(PROGRAM.resolve(), folder), 20)
            tables = sorted(folder.glob("*.rotor"))
            for flips, least in (("flips", 2), ("flips-plain", 1)):
                for table in share.sample(tables, lambda table: ".signed" in table.name, least):
                    self.refuses_all(BUILT / flips, table)

    def refuses_all(self, flips, table):
        size = table.stat().st_size
        done = subprocess.run([flips, table], capture_output=True, text=True, check=False)
        self.assertEqual(done.stdout, f"{9 * size + 256} tried, 0 taken\n",
                         table.name + done.stderr)


if __name__ == "__main__":
    unittest.main()
