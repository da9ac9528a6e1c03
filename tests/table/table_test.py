"""show and verify on tables of the demonstration: whole, damaged, and beside their sources."""

import hashlib
import json
import os
import pathlib
import random
import shutil
import struct
import subprocess
import sys
import tempfile
import unittest

sys.path[:0] = [str(folder) for folder in pathlib.Path(__file__).resolve().parents[:2]]
import layout  # noqa: E402
import share  # noqa: E402

ROOT = pathlib.Path(__file__).resolve().parent.parent.parent
PROGRAM = pathlib.Path(os.environ.get("ROTORTAB", ROOT / "build" / "rotortab"))
DAMAGED = share.number(200, least=60)  # tables changed at random


def run(*arguments, environment=None, stdin=None):
    """Runs the program; a signal, or a sanitizer's abort, is an error of the test."""
    result = subprocess.run([PROGRAM, *map(str, arguments)], capture_output=True, check=False,
                            input=stdin, env={**os.environ, **(environment or {})})
    if result.returncode not in (0, 1, 2):
        raise AssertionError(f"{arguments}: status {result.returncode}\n{result.stderr.decode()}")
    return result


class TableTest(unittest.TestCase):
    """A folder with the demonstration, and the table of its released engines."""

    @classmethod
    def setUpClass(cls):
        cls.scratch = tempfile.TemporaryDirectory()
        cls.folder = pathlib.Path(cls.scratch.name)
        shutil.copytree(ROOT / "engines-demo", cls.folder / "demo")
        cls.device = cls.folder / "demo" / "devices" / "slipway-4.device.yaml"
        cls.sources = [path for path in sorted((cls.folder / "demo" / "engines").iterdir())
                       if "status: released" in path.read_text()]
        cls.table = cls.folder / "fleet.rotor"
        cls.compile(cls.table, cls.device, cls.sources)
        cls.bytes = cls.table.read_bytes()

    @classmethod
    def tearDownClass(cls):
        cls.scratch.cleanup()

    @classmethod
    def compile(cls, output, device, sources, environment=None):
        result = run("compile", "--device", device, "-o", output, *sources,
                     environment=environment)
        if result.returncode != 0:
            raise AssertionError(result.stderr.decode())

    def written(self, content):
        """A file with these bytes."""
        path = self.folder / "other.rotor"
        path.write_bytes(content)
        return path

    def show(self, path=None):
        result = run("show", "--format", "json", path or self.table)
        self.assertEqual(result.returncode, 0, result.stderr)
        return json.loads(result.stdout)

    def verify(self, path, *more):
        """Exit status, and the report as text and as JSON."""
        text = run("verify", path, *more)
        result = run("verify", path, *more, "--format", "json")
        self.assertEqual(text.returncode, result.returncode)
        return result.returncode, text.stdout.decode(), json.loads(result.stdout)


class Show(TableTest):
    def test_every_engine_is_there(self):
        shown = self.show()
        text = run("show", self.table).stdout.decode()
        self.assertEqual([engine["id"] for engine in shown["engines"]],
                         [path.name.split(".")[0] for path in self.sources])
        self.assertEqual(shown["bytes"], len(self.bytes))
        for engine in shown["engines"]:
            self.assertIn(f"engine {engine['id']}: {engine['name']}", text)
            for designation in engine["designations"]:
                self.assertIn(designation, text)
            for pad in engine["pads"]:
                self.assertIn(f"pad {pad['id']}, turns spool {pad['spool']}", text)
                self.assertIn(pad["counts_per_rotor_turn"], text)

    def test_digests_are_of_the_sources(self):
        shown = self.show()
        self.assertEqual(shown["device"]["sha256"],
                         hashlib.sha256(self.device.read_bytes()).hexdigest())
        for engine, source in zip(shown["engines"], self.sources):
            self.assertEqual(engine["sha256"], hashlib.sha256(source.read_bytes()).hexdigest())

    def test_schedules_are_those_of_stops(self):
        """The table compared with what `stops` calculates from the definition."""
        result = run("stops", "--device", self.device, "--format", "json", *self.sources)
        text = result.stdout.decode()
        self.assertEqual(result.returncode, 0, result.stderr)
        stops = json.loads(text) if text.startswith("[") else [json.loads(text)]
        expected = {(pair["engine"], pair["pad"], pair["stage"]):
                    (pair["counts_per_rotor_turn"], pair["whole"], pair["num"], pair["den"],
                     pair["order"], pair["positive"]) for pair in stops if pair["pad"]}
        found = {(engine["id"], pad["id"], link["stage"]):
                 (pad["counts_per_rotor_turn"], link["whole"], link["num"], link["den"],
                  link["order"], pad["positive"])
                 for engine in self.show()["engines"] for pad in engine["pads"]
                 for link in pad["stages"]}
        self.assertEqual(found, expected)

    def test_a_spool_turned_by_hand_is_not_in_it(self):
        quern = next(engine for engine in self.show()["engines"] if engine["id"] == "quern-12")
        self.assertEqual([spool["id"] for spool in quern["spools"]], ["HP"])
        self.assertNotIn("FAN", [stage["id"] for stage in quern["stages"]])

    def test_texts_that_no_compiler_writes(self):
        """Control bytes, hidden characters, bytes that are not UTF-8, and half of a character."""
        start, count, _ = layout.section(self.bytes, layout.TEXTS)
        at = self.bytes.index(b"Slipway 4\0", start, start + count)
        for wrong, said in ((b"\x1b[2J", "control character U+001B"), (b"\t", "U+0009"),
                            (b"\x7f", "control character U+007F"),
                            ("\u0085".encode(), "control character U+0085"),
                            ("\N{RIGHT-TO-LEFT OVERRIDE}".encode(), "hidden character U+202E"),
                            ("\N{ZERO WIDTH SPACE}".encode(), "hidden character U+200B"),
                            ("\N{TAG LATIN SMALL LETTER A}".encode(), "hidden character U+E0061"),
                            (b"\xff", f"byte {at}, in a text, is not part of any UTF-8"),
                            (b"\xc3S", f"byte {at}, in a text, is not part of any UTF-8")):
            path = self.written(layout.seal(self.bytes[:at] + wrong + self.bytes[at + len(wrong):]))
            self.refused(path, said)
        # The name of the device begins within the letter.
        table = self.bytes[:at] + "\u00e4".encode() + self.bytes[at + 2:]
        self.refused(self.written(layout.put(table, layout.DEVICE, 0, 4, "I", at + 1 - start)),
                     f"a text begins within a character, at byte {at + 1}")
        # Characters that scripts need are allowed.
        for fine in ("\u00e4", "\N{ZERO WIDTH JOINER}", "\N{ARABIC LETTER MARK}"):
            fine = fine.encode()
            path = self.written(layout.seal(self.bytes[:at] + fine + self.bytes[at + len(fine):]))
            self.assertEqual(run("show", path).returncode, 0)
            self.assertEqual(run("verify", path).returncode, 0)

    def refused(self, path, said):
        """Asserts that show and verify both refuse a table for this reason."""
        for form in ("text", "json"):
            shown = run("show", "--format", form, path)
            self.assertEqual(shown.returncode, 1)
            self.assertIn(said, shown.stderr.decode())
            self.assertIn("compile it again", shown.stderr.decode())
            self.assertEqual(shown.stdout, b"")
        verified = run("verify", path)
        self.assertEqual(verified.returncode, 1)
        self.assertIn(said, verified.stdout.decode())
        self.assertIn("do not load this table", verified.stdout.decode())
        report = json.loads(run("verify", "--format", "json", path).stdout)
        self.assertFalse(report["fine"])
        self.assertIn(said, report["texts"])
        self.assertIn(said, report["message"])

    def test_numbers_of_64_bits_are_as_they_are(self):
        """In lowest terms, and whole numbers without a denominator, also beyond 2^63."""
        shown = lambda table: self.show(self.written(table))["engines"][0]["pads"][0][  # noqa: E731
            "counts_per_rotor_turn"]
        for num, den, said in ((1 << 63, 1, "9223372036854775808"),
                               ((1 << 64) - 1, 1, "18446744073709551615"),
                               ((1 << 64) - 2, 2, "9223372036854775807"),
                               ((1 << 64) - 2, 4, "9223372036854775807/2"),
                               ((1 << 64) - 1, 7, "18446744073709551615/7"),
                               (3, (1 << 64) - 1, "1/6148914691236517205")):
            table = layout.put(self.bytes, layout.PADS, 0, 48, "Q", num)
            self.assertEqual(shown(layout.put(table, layout.PADS, 0, 56, "Q", den)), said)

    def test_texts_are_as_they_are(self):
        """Also a separator of lines, which the words for people show as a blank."""
        start, count, _ = layout.section(self.bytes, layout.TEXTS)
        at = self.bytes.index(b"Slipway 4\0", start, start + count)
        for text in ("\u2028\u00e4", 'a"b\\c'):
            wrong = text.encode()
            path = self.written(layout.seal(self.bytes[:at] + wrong + self.bytes[at + len(wrong):]))
            self.assertEqual(self.show(path)["device"]["name"], text + "Slipway 4"[len(wrong):])

    def test_what_cannot_be_read(self):
        for path in (self.folder / "nowhere.rotor", self.folder):
            for command in ("show", "verify"):
                result = run(command, path)
                self.assertEqual(result.returncode, 2)
                self.assertIn(b"cannot read", result.stderr)

    def test_standard_input(self):
        self.assertEqual(run("show", "-", stdin=self.bytes).stdout,
                         run("show", self.table).stdout)


class SameBytes(TableTest):
    def test_neither_order_nor_place_nor_time_nor_locale(self):
        other = self.folder / "again.rotor"
        shuffled = self.sources[:]
        random.Random(7).shuffle(shuffled)
        for sources in (shuffled, self.sources[::-1]):
            self.compile(other, self.device, sources,
                         {"LC_ALL": "de_DE.UTF-8", "TZ": "Asia/Kolkata", "HOME": "/nowhere"})
            self.assertEqual(other.read_bytes(), self.bytes)

    def test_line_ends_of_a_checkout(self):
        folder = self.folder / "crlf"
        folder.mkdir()
        for path in [self.device, *self.sources]:
            (folder / path.name).write_bytes(path.read_bytes().replace(b"\n", b"\r\n"))
        shutil.copy(self.folder / "demo" / "engines" / ".." / "rotortab.policy.yaml", folder)
        other = self.folder / "crlf.rotor"
        self.compile(other, folder / self.device.name,
                     [folder / path.name for path in self.sources])
        self.assertEqual(other.read_bytes(), self.bytes)

    def test_a_policy_moves_the_recheck_alone(self):
        """Byte 32 of the pads, which a policy decides by rotor-table(5)."""
        policy = self.folder / "demo" / "strict.policy.yaml"
        text = (self.folder / "demo" / "rotortab.policy.yaml").read_text()
        self.assertIn("closure: 10 %", text)
        policy.write_text(text.replace("closure: 10 %", "closure: 20 %"))
        device = self.folder / "demo" / "devices" / "capstan-2.device.yaml"
        source = next(path for path in self.sources if path.name.startswith("quern"))
        tables = []
        for more in ((), ("--policy", policy)):
            table = self.folder / "policy.rotor"
            result = run("compile", "--device", device, "-o", table, source, *more)
            self.assertEqual(result.returncode, 0, result.stderr)
            tables.append(table.read_bytes())
        start, _, _ = layout.section(tables[0], layout.PADS)
        turns = [struct.unpack_from("<I", table, start + 32)[0] for table in tables]
        self.assertGreater(turns[1], turns[0])
        self.assertEqual(layout.put(tables[0], layout.PADS, 0, 32, "I", turns[1]), tables[1])


class Refusals(TableTest):
    """What the reader refuses is separated, with a remedy and status 1."""

    def damages(self):
        good = self.bytes
        start = layout.body_start(good)
        newer = bytearray(good)
        struct.pack_into("<HH", newer, 8, 9, 9)
        return {
            "not-a-table": b"engine-definition: 1\n" * 9,
            "text-mode": good.replace(b"\r\n", b"\n"),
            "seven-bit": bytes(byte & 0x7f for byte in good),
            "truncated": good[:-100],
            "appended": good + b"\0",
            "header-crc-wrong": good[:40] + bytes([good[40] ^ 1]) + good[41:],
            "body-crc-wrong": good[:start + 9] + bytes([good[start + 9] ^ 1]) + good[start + 10:],
            "too-new": layout.seal(newer),
            "bad-code": layout.put(good, layout.ENGINES, 0, 30, "B", 7),
            "bad-schedule": layout.put(good, layout.SCHEDULES, 0, 8, "I", 1),
            "bad-reference": layout.put(good, layout.LINKS, 0, 4, "I", 0xffffff),
            "bad-limit": layout.put(good, layout.PADS, 0, 24, "I", 0xffffff),
            "names-unsorted": layout.put(good, layout.NAMES, 0, 0, "I", 0),
        }

    def test_each_has_its_own_words(self):
        words = set()
        for name, content in self.damages().items():
            with self.subTest(name):
                path = self.written(content)
                status, text, report = self.verify(path)
                self.assertEqual(status, 1)
                self.assertEqual(report["status"], name)
                self.assertFalse(report["fine"])
                self.assertTrue(report["remedy"].endswith("."))
                self.assertIn(report["message"], text)
                self.assertIn(report["remedy"], text)
                words.add(report["message"])
                shown = run("show", path)
                self.assertEqual(shown.returncode, 1)
                self.assertEqual(shown.stdout, b"")
                self.assertIn(report["message"].encode(), shown.stderr)
        self.assertEqual(len(words), len(self.damages()))

    def test_an_empty_file(self):
        status, _, report = self.verify(self.written(b""))
        self.assertEqual((status, report["status"]), (1, "not-a-table"))

    def test_a_length_that_is_not_there(self):
        header = bytearray(self.bytes[:64])
        for length, told in ((64 << 20, "truncated"), ((64 << 20) + 1, "bad-header"),
                             (1 << 30, "bad-header"), (0xffffffff, "bad-header")):
            struct.pack_into("<I", header, 12, length)
            status, _, report = self.verify(self.written(bytes(header)))
            self.assertEqual((status, report["status"]), (1, told))

    def test_no_table_crashes(self):
        """Any bytes changed, checksums right or wrong: always an answer, and readable JSON."""
        chance = random.Random(20)
        start = layout.body_start(self.bytes)
        for number in range(DAMAGED):
            table = bytearray(self.bytes)
            for _ in range(chance.choice((1, 1, 2, 8))):
                at = chance.randrange(start, len(table))
                table[at] = chance.choice((0, 1, 0x7f, 0x80, 0xff, chance.randrange(256)))
            if number % 4 == 0:
                table = table[:chance.randrange(len(table))]
            elif number % 4 != 1:
                table = bytearray(layout.seal(table))
            path = self.written(bytes(table))
            form = ("--format", "json") if number % 3 else ()
            for command in (("verify", *form), ("show", *form)):
                result = run(*command, path)
                self.assertIn(result.returncode, (0, 1))
                if "json" in command and result.stdout:
                    json.loads(result.stdout)


class Verify(TableTest):
    def test_a_good_table(self):
        status, text, report = self.verify(self.table)
        self.assertEqual(status, 0)
        self.assertTrue(report["fine"])
        self.assertEqual(report["faults"], [])
        self.assertGreater(report["stops"], 10000)
        self.assertIn("each within half a count of its blade", text)

    def test_a_damaged_schedule(self):
        """One more in a remainder, checksums right: only the replay finds it."""
        start, _, _ = layout.section(self.bytes, layout.SCHEDULES)
        remainder = struct.unpack_from("<I", self.bytes, start + 4)[0]
        status, text, report = self.verify(
            self.written(layout.put(self.bytes, layout.SCHEDULES, 0, 4, "I", remainder + 1)))
        self.assertEqual(status, 1)
        fault = report["faults"][0]
        self.assertEqual(fault["fault"], "stop-wrong")
        self.assertEqual(fault["found"], fault["expected"] + 1)
        self.assertIn(f"{fault['engine']}, stage {fault['stage']} through pad {fault['pad']}", text)
        self.assertIn("do not load this table into a device", text)

    def test_a_pad_that_would_turn_the_wrong_way(self):
        status, _, report = self.verify(
            self.written(layout.put(self.bytes, layout.PADS, 0, 45, "B", 1)))
        self.assertEqual(status, 1)
        self.assertEqual(report["status"], "bad-sign")
        self.assertIn("against its pad's direction", report["message"])

    def test_counts_that_are_not_those_of_the_ratio(self):
        start, _, _ = layout.section(self.bytes, layout.PADS)
        counts = struct.unpack_from("<Q", self.bytes, start + 48)[0]
        status, _, report = self.verify(
            self.written(layout.put(self.bytes, layout.PADS, 0, 48, "Q", counts + 1)))
        self.assertEqual(status, 1)
        self.assertEqual(report["faults"][0]["fault"], "counts-wrong")
        self.assertEqual(report["message"],
                         "refused: its numbers are not what exact arithmetic says")
        self.assertIsNone(report["faults"][0]["stage"])

    def test_a_table_that_no_compiler_writes(self):
        """Every stop is right, but a mesh of spur gears has a member of an epicyclic."""
        changed = layout.put(self.bytes, layout.MESHES, 0, 1, "B", 2)
        status, text, report = self.verify(self.written(changed))
        self.assertEqual(status, 1)
        self.assertEqual(report["message"], "refused: the compiler never writes such a table")
        (fault,) = report["faults"]
        self.assertEqual([fault[key] for key in ("fault", "section", "record", "engine")],
                         ["form-mesh", "meshes", 0, None])
        self.assertIn(f"meshes, record 0: {fault['message']}; {fault['consequence']}\n", text)
        self.assertIn("do not load this table into a device", text)

    def test_a_fixed_device_says_what_is_left_over(self):
        device = self.folder / "demo" / "devices" / "capstan-2.device.yaml"
        table = self.folder / "fixed.rotor"
        engine = next(path for path in self.sources if "winnow" not in path.name
                      and run("compile", "--device", device, "-o", table, path).returncode == 0)
        status, text, report = self.verify(table)
        self.assertEqual(status, 0)
        self.assertGreater(len(report["closures"]), 0, engine)
        self.assertIn("over after a rotor turn", text)
        self.assertIn("each where its whole steps take it", text)


class Against(TableTest):
    def against(self, table, sources, device=None):
        return self.verify(table, "--device", device or self.device,
                           *(word for path in sources for word in ("--against", path)))

    def edited(self, name, old, new):
        """The sources with one of them changed."""
        folder = self.folder / "edited"
        shutil.rmtree(folder, ignore_errors=True)
        folder.mkdir()
        paths = []
        for path in self.sources:
            text = path.read_text()
            if path.name.startswith(name):
                self.assertIn(old, text)
                text = text.replace(old, new, 1)
            (folder / path.name).write_text(text)
            paths.append(folder / path.name)
        return paths

    def test_its_own_sources(self):
        status, text, report = self.against(self.table, self.sources)
        self.assertEqual(status, 0)
        self.assertTrue(report["same_bytes"])
        self.assertEqual(report["differences"], [])
        self.assertIn("byte for byte", text)
        # as operands after the table as well
        self.assertEqual(self.verify(self.table, "--device", self.device, *self.sources)[0], 0)

    def test_a_torque_limit(self):
        paths = self.edited("quern-12", "torque-limit: 40 lbf.ft", "torque-limit: 30 lbf.ft")
        status, text, report = self.against(self.table, paths)
        self.assertEqual(status, 1)
        self.assertFalse(report["same_bytes"])
        self.assertEqual([(d["engine"], d["place"], d["field"], d["table"], d["sources"])
                          for d in report["differences"] if "digest" not in d["field"]],
                         [("quern-12", "pad crank", "torque limit", "40 lbf.ft", "30 lbf.ft")])
        self.assertIn("quern-12, pad crank, torque limit: 40 lbf.ft in the table, 30 lbf.ft from "
                      "the sources", text)

    def test_a_blade_count(self):
        paths = self.edited("quern-12", "blades: 43", "blades: 41")
        (quern,) = [path for path in paths if path.name.startswith("quern-12")]
        quern.write_text(quern.read_text().replace("first: 43", "first: 41"))  # as was observed
        status, _, report = self.against(self.table, paths)
        self.assertEqual(status, 1)
        places = {(d["place"], d["field"]) for d in report["differences"]}
        self.assertIn(("stage HPC-2", "blades"), places)
        self.assertIn(("stage HPC-2 through pad crank", "counts from blade to blade"), places)

    def test_only_a_comment(self):
        """Nothing a device sees, but the table was made from other bytes."""
        paths = self.edited("quern-12", "# Quern 12", "# The Quern 12")
        status, _, report = self.against(self.table, paths)
        self.assertEqual(status, 1)
        self.assertEqual([(d["place"], d["field"]) for d in report["differences"]],
                         [("", "digest of its definition")])

    def test_an_engine_more_and_one_less(self):
        status, text, report = self.against(self.table, self.sources[1:])
        missing = self.sources[0].name.split(".")[0]
        self.assertEqual(status, 1)
        self.assertEqual([(d["engine"], d["field"], d["sources"]) for d in report["differences"]],
                         [(missing, None, None)])
        self.assertIn(f"{missing} is only in the table", text)
        small = self.folder / "small.rotor"
        self.compile(small, self.device, self.sources[1:])
        self.assertIn(f"{missing} is only in the sources", self.against(small, self.sources)[1])

    def test_a_stage_more(self):
        paths = self.edited("quern-12", "  - id: HPT-1\n",
                            "  - {id: HPC-9, spool: HP, role: compressor, blades: 61, numbering: "
                            "against-rotation}\n  - id: HPT-1\n")
        _, text, _ = self.against(self.table, paths)
        self.assertIn("quern-12, stage HPC-9 is only in the sources", text)
        self.assertIn("quern-12, stage HPC-9 through pad crank is only in the sources", text)

    def test_another_device(self):
        text = self.device.read_text().replace("max: 60 lbf.ft", "max: 55 lbf.ft")
        other = self.folder / "edited-device"
        other.mkdir(exist_ok=True)
        (other / self.device.name).write_text(text)
        status, text, _ = self.against(self.table, self.sources, other / self.device.name)
        self.assertEqual(status, 1)
        self.assertIn("device, greatest torque: 60 lbf.ft in the table, 55 lbf.ft from", text)

    def test_a_signature_is_no_difference(self):
        path = self.written(layout.signed(self.bytes))
        self.assertTrue(self.show(path)["signed"])
        status, text, report = self.against(path, self.sources)
        self.assertEqual(status, 0)
        self.assertFalse(report["same_bytes"])
        self.assertIn("with a signature, which was not checked", text)

    def test_sources_with_errors(self):
        paths = self.edited("quern-12", "blades: 43", "blades: many")
        status, text, report = self.against(self.table, paths)
        self.assertEqual(status, 1)
        self.assertIn("the sources do not make a table", text)
        self.assertFalse(report["fine"])
        self.assertEqual(report["message"], "refused: its sources do not make a table")

    def test_usage(self):
        self.assertEqual(run("verify", self.table, "--against", self.sources[0]).returncode, 2)
        self.assertEqual(run("verify", self.table, "--device", self.device).returncode, 2)
        result = run("verify", self.table, "--device", self.device, "--against", "nowhere")
        self.assertEqual(result.returncode, 2)


if __name__ == "__main__":
    unittest.main()
