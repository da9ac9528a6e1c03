"""Nothing is forgotten: each scalar of a definition with every key, each byte of a table."""

import itertools
import json
import re
import shutil
import sys
import unittest

import yaml

from definitions import DEVICE, HARROW, ROOT, TERN, Folder, edited, layout

sys.path.insert(1, str(ROOT / "tests"))
import share  # noqa: E402

EVERY_KEY = ROOT / "tests" / "schema"

# What a scalar may become instead, like ones in a row; the program says what it can read.
WORDS = """cw ccw both
    aft-looking-forward forward-looking-aft facing-pad
    fan compressor turbine
    against-rotation with-rotation
    draft released withdrawn
    yes no
    forward aft up down left right
    P2 P3
    HP LP
    HPC-1 HPC-2 FAN
    crank starter
    book drawing
    backlash-small backlash-large torque-missing
    1/4|in 1/2|in 20|mm
    2028-01-31
    11:40
    scheduled fixed
    ascii latin-1 utf-8"""
NUMBER = re.compile(r"[0-9]+(\.[0-9]+)?(?![0-9:/-])")
ROWS = [[word.replace("|", " ") for word in row.split()] for row in WORDS.split("\n")]
# Keys on which no turning and no limit rests.
ASIDE = re.compile(r"\$schema|name|revision|source|role|note|observation|waive|from"
                   r"|path-from")
# Keys that have one value only, or values that cannot be changed one at a time.
ONE_VALUE = re.compile(r"engine-definition|id|spools.turned-by|pads.path|.*epicyclic\."
                       r"(in|out|held)|observations.spool|observations.together.stage")
AT_ONCE = 500  # files that one run reads; it shows no more than 1000 findings
ONLY_WRITING = "only comments, layout or the way numbers are written differ"


def scalars(node, key=""):
    """Each scalar of a tree, with the way to it: ("pads.turns.pad", node)."""
    if isinstance(node, yaml.ScalarNode):
        yield key, node
    elif isinstance(node, yaml.SequenceNode):
        for item in node.value:
            yield from scalars(item, key)
    else:
        for name, value in node.value:
            yield from scalars(value, f"{key}.{name.value}".lstrip("."))


def shape(word):
    """What all words have in common that differ only in their numbers."""
    return re.sub("[0-9]+", "0", word)


def like(value):
    """Other scalars that are likely to be taken at a scalar's place."""
    number = NUMBER.match(value)
    if number:
        digits, rest = number[0], value[number.end():]
        yield digits[:-1] + ("1" if digits[-1] != "1" else "2") + rest
        yield str(int(float(digits)) + 1) + rest
        yield str(max(int(float(digits)) - 1, 1)) + rest
    if "+/- 0.1" in value:
        yield value.replace("+/- 0.1", "+/- 0.2")
    yield value + " again"
    for row in ROWS:
        if is_word(value) and shape(value) in map(shape, row):
            yield from row


def unlike(value):
    """Words of other kinds; some of them may be taken as well."""
    for row in ROWS:
        if is_word(value) and shape(value) not in map(shape, row):
            yield from row


def is_word(value):
    return not NUMBER.match(value) or re.search(" in| mm|[:-]", value)


def others(scalars_):
    """(key, node, other) for each scalar and each value that it gets; part of the unlike ones."""
    scalars_ = list(scalars_)
    return [change for which, part in ((like, list), (unlike, share.sample))
            for change in part((key, node, other) for key, node in scalars_
                               for other in which(node.value) if other != node.value)]


def kind_of_scalar(scalar):
    """Its key; of a name, which few places can change, also the place."""
    key, node = scalar
    return key, node.start_mark.index if key.endswith(("stage", "port.id")) else 0


class Definitions(Folder):
    """Each scalar of every-key.engine.yaml is changed, one at a time."""

    def setUp(self):
        super().setUp()
        self.text = (EVERY_KEY / "every-key.engine.yaml").read_text("utf-8")
        self.write("a/every-key.engine.yaml", self.text)

    def changes(self, changed):
        """The report on the changed text; None if it cannot be read."""
        self.write("b/every-key.engine.yaml", changed)
        status, out, err = self.run_program("compare", "a/every-key.engine.yaml",
                                            "b/every-key.engine.yaml")
        if status == 2 and not out:
            return None
        self.assertNotIn(ONLY_WRITING, out)
        self.assertNotIn("no difference", out, changed)
        self.assertIn(status, (1, 2), err)
        return out.splitlines()

    def changed(self, key, node, other):
        """The text with another scalar; the id of a part changes wherever it is used."""
        if key in ("spools.id", "stages.id", "pads.id", "sources.id"):
            return re.sub(rf"(?<![\w-]){node.value}(?![\w-])", node.value + "x", self.text)
        quote = '"' if node.style == '"' else ""
        return (self.text[:node.start_mark.index] + quote + other + quote +
                self.text[node.end_mark.index:])

    def told_of(self, texts):
        """The report on each of these texts that can be read, by its number.

        One run compares them all, so each has another id. A run before it says which are refused.
        """
        def write(side, number, text):
            return self.write(f"{side}/{number}.engine.yaml",
                              edited(text, ("\nid: every-key\n", f"\nid: k{number}\n")))

        for number, text in enumerate(texts):
            write("after", number, text)
        write("before", 0, self.text)
        _, _, err = self.run_program("compare", "before", "after")
        refused = {int(number) for number in re.findall(r"^after/(\d+)\.\S*: error: ", err, re.M)}
        for number in range(len(texts)):
            if number in refused:
                (self.folder / f"after/{number}.engine.yaml").unlink()
            else:
                write("before", number, self.text)
        if 0 in refused:
            (self.folder / "before/0.engine.yaml").unlink()
        _, out, err = self.run_program("compare", "before", "after")
        for side in ("before", "after"):
            shutil.rmtree(self.folder / side)
        self.assertNotIn(ONLY_WRITING, out)
        told = {int(number): [weight, *lines.splitlines()] for number, weight, lines
                in re.findall(r"^k(\d+): (.*)\n((?:  .*\n)*)", out, re.M)}
        self.assertEqual(sorted([*told, *refused]), list(range(len(texts))), err)
        return told

    def test_every_scalar(self):
        tried = [(key, node) for key, node in scalars(yaml.compose(self.text, yaml.CBaseLoader))
                 if not ONE_VALUE.fullmatch(key)]
        # A key that several parts have is changed in some of them; a name that is used, in all.
        changes = [(key, self.changed(key, node, other))
                   for key, node, other in others(share.sample(tried, kind_of_scalar))]
        changed = set()
        count = 0
        for start in range(0, len(changes), AT_ONCE):
            part = changes[start:start + AT_ONCE]
            for number, report in self.told_of([text for _, text in part]).items():
                key = part[number][0]
                changed.add(key)
                count += 1
                aside = ASIDE.match(key.split(".")[0]) or ASIDE.fullmatch(key.split(".")[-1])
                if key != "pads.faces":  # it weighs what it makes of the adapter's sense
                    self.assertIn(report[0], ("text",) if aside else ("limits", "stops"),
                                  (key, report))
                    self.assertGreater(len(report), 1, key)
        self.assertEqual({key for key, _ in changes} - changed, set(),
                         "there was no other value to try")
        self.assertGreater(count, 200)

    def test_members_of_an_epicyclic(self):
        report = self.changes(edited(self.text, ("planets: 4, in: carrier, out: sun, held: ring",
                                               "planets: 4, in: carrier, out: ring, held: sun")))
        self.assertIn("  starter: path[1].epicyclic.out sun -> ring", report)
        self.assertIn("  starter: path[1].epicyclic.held ring -> sun", report)

    def test_keys_that_are_gone(self):
        """Each optional key that has a separate line, taken out."""
        for line in ("    never-backwards: yes\n", "    clocking: 12.5 deg\n", "    drives: both\n",
                     "    turns: {pad: 2.25, rotor: 1}\n",
                     "    note: hand-turned, chalk on the pad\n",
                     "    passed: {stage: HPC-2, blades: 80, rotor: 2 rev}\n",
                     "    backlash: 0.6 +/- 0.1 deg\n", "    pad: crank\n",
                     "      faces: forward\n",
                     "source: Invented for the tests\n"):
            self.assertIsNotNone(self.changes(edited(self.text, (line, ""))), line)

    def test_the_sentences_of_keys(self):
        for edit, sentence in (
                (("planets: 4", "planets: 3"), "  starter: path[1].epicyclic.planets 4 -> 3"),
                (("spool: LP\n    passed: {stage: FAN, blades: 48",
                  "spool: HP\n    passed: {stage: HPC-1, blades: 60"),
                 "  observations[2].spool LP -> HP"),
                (("planets: 3", "planets: 4"),
                 "  starter: adapter.path[5].epicyclic.planets 3 -> 4"),
                (("{pad: 2.25,", "{pad: 2.250,"), "  crank: turns.pad 2.25 -> 2.250"),
                (("      - direct\n", ""),
                 "  starter: path - epicyclic: {sun: 24, ring: 96, planet: 36, planets: 4, in: "
                 "carrier, out: sun, held: ring} - internal: [18, 54] - direct - bevel: [20, 20] - "
                 "bevel: [20, 20] - ... -> - epicyclic: {sun: 24, ring: 96, planet: 36, planets: "
                 "4, in: carrier, out: sun, held: ring} - internal: [18, 54] - bevel: [20, 20] - "
                 "bevel: [20, 20] - external:..."),
                (("counted: {pad: 22.5 +/- 0.1 rev", "counted: {pad: 22.5 +/- 0.2 rev"),
                 "  observations[1].counted.pad 22.5 +/- 0.1 rev -> 22.5 +/- 0.2 rev"),
                (("    pad: crank\n    stage: HPC-1\n", "    pad: crank\n"),
                 "  waive[1].stage HPC-1 -> none"),
                (("models: [Tedder 9, Tedder 9C]", "models: [Tedder 9C, Tedder 9]"),
                 "  models[1] Tedder 9 -> Tedder 9C")):
            self.assertIn(sentence, self.changes(edited(self.text, edit)))

    def test_order(self):
        fan = self.text[self.text.index("  - id: FAN"):self.text.index("pads:")]
        report = self.changes(edited(self.text, (fan, ""), ("stages:\n", "stages:\n" + fan)))
        self.assertEqual(report[:2], ["every-key: text",
                                    "  order of stages HPC-1, HPC-2, FAN -> FAN, HPC-1, HPC-2"])

    def test_another_way_to_write_a_number(self):
        """The same number is the same; of an interval the decimals are a part of it."""
        for old, new, same in (("12.5 deg", "12.50 deg", True), ("12.5 deg", "25/2 deg", True),
                               ("30.5 N.m", "61/2 N.m", True),
                               ("backlash: 0.5 deg", "backlash: 0.50 deg", False),
                               ("22.5 +/- 0.1 rev", "22.50 +/- 1/10 rev", True),
                               ("22.5 +/- 0.1 rev", "8100 +/- 36 deg", True),
                               ("rotor: 10 rev", "rotor: 10.0 rev", False)):
            self.write("b/every-key.engine.yaml", edited(self.text, (old, new)))
            _, out, _ = self.run_program("compare", "a/every-key.engine.yaml",
                                         "b/every-key.engine.yaml")
            self.assertEqual(ONLY_WRITING in out, same, (old, new, out))

    def test_one_meaning_from_either_end(self):
        """A numbering and a clock position are compared by what they mean."""
        for old, new, same in (
                (": against-rotation", ": {sense: ccw, view: aft-looking-forward}", True),
                (": against-rotation", ": {sense: cw, view: forward-looking-aft}", True),
                (": against-rotation", ": {sense: cw, view: aft-looking-forward}", False),
                (": {sense: ccw, view: forward-looking-aft}\n    note", ": with-rotation\n    note",
                 True),
                ('clock: "4:00"', 'clock: {at: "4:00", view: aft-looking-forward}', True),
                ('clock: "4:00"', 'clock: {at: "8:00", view: forward-looking-aft}', True),
                ('clock: "4:00"', 'clock: {at: "4:00", view: forward-looking-aft}', False),
                ('{at: "7:05", view: forward-looking-aft}', '"4:55"', True)):
            self.write("b/every-key.engine.yaml", edited(self.text, (old, new)))
            _, out, _ = self.run_program("compare", "a/every-key.engine.yaml",
                                         "b/every-key.engine.yaml")
            self.assertEqual(ONLY_WRITING in out, same, (old, new, out))

    def test_the_ratio_and_what_it_rests_on(self):
        """Where gears make the ratio, the sentence of the ratio does not hide what is stated."""
        report = self.changes(edited(self.text, ("[16, 36]", "[16, 37]"),
                                   ("pad: 2.25,", "pad: 2.31,")))
        self.assertIn("  crank: path[3].bevel.teeth[2] 36 -> 37", report)
        self.assertIn("  crank: turns.pad 2.25 -> 2.31", report)
        # If only the statement makes the ratio, one change is reported.
        a, b = self.two(HARROW, edited(HARROW, ("0.5655", "0.5657")))
        self.assertFalse(any("turns.pad" in line for line in self.compare(a, b)))

    def test_renamed_parts_change_no_reference(self):
        a, b = self.two(HARROW, edited(HARROW, ("id: HP\n", "id: N2\n"),
                                       ("spool: HP", "spool: N2")))
        self.assertEqual([c["message"] for c in self.report(a, b)["engines"][0]["changes"]],
                         ["N2: renamed, was HP"])

    def test_fields_are_snake_case_but_for_ids(self):
        report = self.report(*self.two(HARROW, edited(HARROW, ("[27, 33, 44]", "[27, 30, 44]"))))
        change, = report["engines"][0]["changes"]
        self.assertEqual((change["subject"], change["id"], change["field"], change["before"],
                          change["after"], change["class"]),
                         ("pad", "crank", "path[1].external[2]", "33", "30", "limits"))
        self.assertEqual([f["rule"] for f in report["findings"]], ["revision-kept"])

    def test_what_holds_anyhow_spelt_out(self):
        report = self.report(*self.two(HARROW, edited(HARROW, (
            "    max-speed", "    never-backwards: no\n    max-speed"))))
        change, = report["engines"][0]["changes"]
        self.assertEqual((change["field"], change["before"], change["after"], change["class"]),
                         ("never_backwards", None, "no", "text"))
        self.assertEqual(report["findings"], [])


class Tables(Folder):
    """Each byte of each record of a table is changed, one at a time."""

    BYTES = ("both tables hold the same values in other bytes: one is signed, or another "
             "version wrote it")

    def setUp(self):
        super().setUp()
        for name, text in (("harrow-20", HARROW), ("tern-5", TERN)):
            self.write(f"a/{name}.engine.yaml", text)
        name = self.table("a.rotor", "a")
        self.bytes = (self.folder / name).read_bytes()

    def records(self):
        """Every byte of the first and the last record of each section, and of all texts."""
        for kind in range(layout.DEVICE, layout.TEXTS + 1):
            offset, count, stride = layout.section(self.bytes, kind)
            records = range(count) if kind == layout.TEXTS else sorted({0, count - 1})
            for index, field in itertools.product(records, range(stride)):
                yield kind, field, offset + index * stride + field

    def test_every_byte(self):
        opened = 0
        unsaid = []
        tried = share.sample(self.records(), kind=lambda byte: byte[:1], least=12)
        for kind, field, at in tried:
            for flip in (0x01, 0x02):
                table = bytearray(self.bytes)
                table[at] ^= flip
                self.write("b.rotor", layout.seal(table))
                status, out, _ = self.run_program("compare", "a.rotor", "b.rotor")
                if not out:
                    continue  # the reader takes no such table
                opened += 1
                self.assertIn(status, (1, 2))
                self.assertNotIn("no difference", out)
                self.assertNotIn("only comments", out)
                if self.BYTES in out:
                    unsaid.append((kind, field))
                break
        self.assertGreater(opened, len(tried) // 2)
        # All that says nothing: a fraction not in lowest terms, and an empty run's first index.
        self.assertLessEqual({kind for kind, _ in unsaid}, {layout.STAGES, layout.PADS,
                                                           layout.LINKS}, unsaid)

    def test_teeth_of_a_planet(self):
        tern = edited(TERN, ("external: [20, 40]",
                             "epicyclic: {sun: 20, ring: 80, planet: 30, planets: 2, in: sun, out: "
                             "carrier, held: ring}"),
                      ("{sense: ccw, view: f", "{sense: cw, view: f"))
        old, new = self.two(tern, edited(tern, ("planets: 2", "planets: 4")), "tern-5")
        lines = self.compare(self.table("old.rotor", old), self.table("new.rotor", new))
        self.assertEqual(lines[:2], ["tern-5: limits", "  nose: gears[1].planets 2 -> 4"])

    def without_errors(self, profiles):
        """The numbers of the profiles in which `check` finds no error."""
        names = [self.write(f"p/{number}.device.yaml", text.replace(
            "\nid: every-key\n", f"\nid: {number}\n")) for number, text in enumerate(profiles)]
        wrong = set()
        for start in range(0, len(names), AT_ONCE):
            _, out, _ = self.run_program("check", "-f", "json", *names[start:start + AT_ONCE])
            wrong |= {finding["file"] for finding in json.loads(out)["findings"]
                      if finding["severity"] == "error"}
        return [number for number, name in enumerate(names) if name not in wrong]

    def test_every_scalar_of_a_profile(self):
        """A value that the table has is reported; for the others, that the profile changed."""
        text = (EVERY_KEY / "every-key.device.yaml").read_text("utf-8")
        engine = self.write("c/tern-5.engine.yaml", edited(TERN, ("revision: 1", "revision: 2")))
        self.write("a/every-key.device.yaml", text)
        status, _, err = self.run_program("compile", "-d", "a/every-key.device.yaml", "-o",
                                          "a.rotor", engine)
        self.assertEqual(status, 0, err)
        changes = [(key, other, text[:node.start_mark.index] + other + text[node.end_mark.index:])
                   for key, node, other in others(
                       scalars(yaml.compose(text, yaml.CBaseLoader)))]
        count = 0
        done = set()
        for number in self.without_errors([changed for _, _, changed in changes]):
            key, other, changed = changes[number]
            self.write("b/every-key.device.yaml", changed)
            if key in done or self.run_program(
                    "compile", "-d", "b/every-key.device.yaml", "-o", "b.rotor", engine)[0]:
                continue
            done.add(key)
            count += 1
            status, out, _ = self.run_program("compare", "a.rotor", "b.rotor")
            self.assertEqual((status, "no difference" in out), (1, False), (key, other, out))
        self.assertGreater(count, 20)


if __name__ == "__main__":
    unittest.main()
