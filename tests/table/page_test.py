"""rotor-table(5) and the program take and refuse the same tables, and for the same reasons.

page_reader.py knows the page alone. Fields of the demonstration's tables are changed one at a time,
with both CRCs right again. The device's reader must refuse a change exactly if the page does, with
a status of a requirement that is broken; and `verify` exactly if the page's writer would not write
it.
"""

import os
import pathlib
import random
import shutil
import subprocess
import sys
import tempfile
import unittest

import layout
import page_reader
import sealed_test

ROOT = pathlib.Path(__file__).resolve().parents[2]
for folder in ("tests", "tests/fuzz"):
    sys.path.insert(1, str(ROOT / folder))
import seeds  # noqa: E402
import share  # noqa: E402

PROGRAM = pathlib.Path(os.environ.get("ROTORTAB", ROOT / "build" / "rotortab")).resolve()
SEALED = pathlib.Path(os.environ.get("ROTORTAB_BUILD", ROOT / "build")) / "tests/table/sealed"
CHANGES = 20000


def random_changes(table, chance, number):
    """So many changes of single fields, as sealed_test has them: each field as often as others."""
    fields = {}
    for field in sealed_test.fields_of(table):
        fields.setdefault((field[2], field[4]), []).append(field)
    systematic = {}
    for change in sealed_test.changes_of(table):
        systematic.setdefault((change[0], change[1]), []).append(change[2])
    while number > 0:
        at, size, section, record, name = chance.choice(fields[chance.choice(list(fields))])
        old = int.from_bytes(table[at:at + size], "little")
        value = chance.choice([chance.choice(systematic[at, size]),
                               old ^ 1 << chance.randrange(8 * size),
                               chance.randrange(1 << chance.randrange(1, 8 * size + 1))])
        if value != old:
            number -= 1
            yield at, size, value, section, record, name


def changed(table, at, size, value):
    """The bytes with one change, sealed as far as they can be."""
    table = table[:at] + value.to_bytes(size, "little") + table[at + size:]
    start, count, entry = (int.from_bytes(table[i:i + 2], "little") for i in (16, 18, 20))
    return seal(table, start + count * entry)


def seal(table, body):
    """Both CRCs made right; as they are where the directory would end beyond the trailer."""
    if body > len(table) - layout.TRAILER:
        return table
    head = bytearray(table[:body])
    head[28:32] = bytes(4)
    crc = page_reader.zlib.crc32(head).to_bytes(4, "little")
    table = bytearray(table)
    table[28:32] = crc
    table[-4:] = page_reader.zlib.crc32(table[body:-4]).to_bytes(4, "little")
    return bytes(table)


class Page(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        scratch = tempfile.TemporaryDirectory()
        cls.addClassCleanup(scratch.cleanup)
        folder = pathlib.Path(scratch.name)
        seeds.write(PROGRAM, folder)
        for path in (ROOT / "tests" / "vectors" / "good").glob("*.rotor"):
            shutil.copy(path, folder)
        cls.tables = sorted(folder.glob("*.rotor"))

    def answers(self, path, changes):
        lines = "".join(f"{at} {size} {value}\n" for at, size, value, *_ in changes)
        done = subprocess.run([SEALED, path], input=lines, capture_output=True, text=True,
                              check=False)
        self.assertEqual(done.returncode, 0, f"{path.name}: {done.stderr}")
        return done.stdout.splitlines()

    def agree(self, table, answer):
        """What is wrong with the answer of the program, or None."""
        said = page_reader.broken(table)
        if said or answer.startswith("status"):
            status = answer.removeprefix("status ")
            return None if status in said.values() else f"page {said}, program {answer}"
        said = page_reader.unwritten(table)
        return None if bool(said) == (answer != "taken") else f"page {said}, program {answer}"

    def test_single_changes(self):
        chance = random.Random(int(os.environ.get("PAGE_SEED", "14")))
        number = share.number(CHANGES)
        apart, tried, broken = [], 0, set()
        for index, path in enumerate(self.tables):
            table = path.read_bytes()
            part = number * (index + 1) // len(self.tables) - number * index // len(self.tables)
            fields = path.stem != "later-version"  # records longer than sealed_test's fields
            changes = list(random_changes(table, chance, part)) if fields else \
                [(at, 1, table[at] ^ 1 << chance.randrange(8), "later", at, "byte")
                 for at in chance.choices([*range(28), *range(32, len(table) - 4)], k=part)]
            for change, answer in zip(changes, self.answers(path, changes)):
                content = changed(table, *change[:3])
                tried += 1
                if what := self.agree(content, answer):
                    apart.append(f"{path.name} {change}: {what}")
                broken |= set(page_reader.broken(content) or page_reader.unwritten(content))
        print(f"{tried} changes, {len(apart)} disagreements, broken: {len(broken)} requirements")
        self.assertEqual(apart, [])
        self.assertEqual(tried, number)
        self.assertGreater(len(broken), 50 if number >= 2000 else 20)


if __name__ == "__main__":
    unittest.main()
