"""What the language server offers and shows at each position."""

import pathlib
import re
import subprocess
import sys
import unittest

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parent))
# pylint: disable-next=wrong-import-position
from server import DEMO, Server, WithServer, cursor, part

GOOD = (DEMO / "engines/quern-12.engine.yaml").read_text(encoding="utf-8")
JSON = (DEMO / "engines/snath-5.engine.json").read_text(encoding="utf-8")
DEVICE = (DEMO / "devices/capstan-2.device.yaml").read_text(encoding="utf-8")
POLICY = (DEMO / "rotortab.policy.yaml").read_text(encoding="utf-8")
EVERY_KEY = pathlib.Path(__file__).resolve().parent.parent / "schema" / "every-key.engine.yaml"
HEAD = "engine-definition: 1\nid: x\n"
PATH = HEAD + "pads:\n  - id: a\n    path:\n"


class Completion(WithServer):
    """Keys and values."""

    def test_which_kind_of_file(self):
        kinds = ["engine-definition", "cross-check", "device-profile", "policy", "source-register"]
        for text in ("|", "\n|\n", "# of ours\n\n  # more\n|", "eng|", "\r\n|"):
            self.assertEqual(self.server.labels(text), kinds, text)
        for text in ("engine-definiton: 1\n|", "id: x\n\n|", "\n\n- x\n|"):
            self.assertEqual(self.server.labels(text), [], text)

    def test_keys_of_each_record(self):
        for place, some in (("na|me: Quern", {"id", "models", "spools", "waive"}),
                            ("|  - id: HP\n", {"id", "rotation", "turned-by"}),
                            ("  - |id: HP\n", {"id", "rotation", "turned-by"}),
                            ("    |role: fan", {"blades", "blade-one", "port"}),
                            ("port: {|id: P1", {"id", "clock"}),
                            ('id: P1, |clock: "4:30"', {"id", "clock"}),
                            ("drives|: both", {"turns", "drives"}),
                            ("    |faces: aft", {"turns", "path", "backlash"}),
                            ("turns: {|pad", {"pad", "rotor"}),
                            ("      - |external", {"external", "internal", "bevel", "epicyclic"}),
                            ("bevel: {|teeth", {"teeth", "backs"}),
                            ("[29, 23], |backs", {"teeth", "backs"}),
                            ("counted: {|pad: 30.3", {"pad", "rotor"}),
                            ("    |seen: {pad", {"pad", "counted", "seen"})):
            with self.subTest(place):
                labels = self.server.labels(cursor(GOOD, place))
                self.assertLessEqual(some, set(labels))
                self.assertEqual(len(labels), len(set(labels)))

    def test_keys_while_one_is_typed(self):
        for text, some in ((HEAD + "mod|", "models"), (HEAD + "spools:\n  - id: HP\n    rot|",
                                                       "rotation"),
                           (HEAD + "spools:\n  - |", "id"), (HEAD + "spools:\n- i|", "id"),
                           (HEAD + "spools:\n  # the one\n\n  - id: HP\n\n    |", "max-speed"),
                           (HEAD + "pads:\n  - adapter:\n      path:\n        - b|", "bevel"),
                           (PATH + "      - |", "external"), (PATH + "      - bevel: {t|", "teeth"),
                           (PATH + "      - epicyclic: {|", "planets"),
                           (PATH + "      - epicyclic:\n          |", "planets"),
                           (HEAD + "pads:\n  - adapter:\n      path:\n        - epicyclic:\n"
                            "            |", "planets"),
                           (PATH + "      - external: [1, 2]\n    |", "torque-limit"),
                           (HEAD + "spools: [\n  {id: HP},\n  {|", "rotation"),
                           (HEAD + "spools:\n  -   id: HP\n      |", "rotation"),
                           (HEAD + "spools:   # all\r\n  - |", "rotation"),
                           ("device-profile: 1\nshaft:\n  |", "reduction"),
                           ("policy: 1\nlimits:\n  |", "closure"),
                           ("policy: 1\nlimits: {teeth: {|", "min"),
                           ('{"engine-definition": 1, "spools": [{"|', "rotation"),
                           ("{'engine-definition': 1, 'spools': [{'|", "rotation")):
            with self.subTest(text):
                self.assertIn(some, self.server.labels(text))

    def test_values(self):
        for place, labels in (("drives: |both", ["both", "cw", "ccw"]), ("drives: bo|th",
                                                                        ["both", "cw", "ccw"]),
                              ("status: |", ["draft", "released", "withdrawn"]),
                              ("sense: |ccw", ["cw", "ccw"]), ("backlash: 1.2 |deg", ["deg",
                                                                                      "arcmin",
                                                                                 "rev"]),
                              ("torque-limit: 40 |lbf", ["N.m", "lbf.ft", "lbf.in", "kgf.m"]),
                              ("counted: {pad: 30.3 |+/-", ["deg", "arcmin", "rev"]),
                              ("spool: |LP", ["HP", "LP"]), ("pad: |crank", ["crank"]),
                              ("backs: [|aft", ["forward", "aft", "up", "down", "left", "right"]),
                              ("backs: [aft, |down", ["forward", "aft", "up", "down", "left",
                                                     "right"]),
                              ("- external: [24, |35", []), ("teeth: [29, |23", []),
                              ("blades: |22", []), ("name: |Q", []), ("- id: |HP", [])):
            with self.subTest(place):
                self.assertEqual(self.server.labels(cursor(GOOD, place)), labels)

    def test_values_of_other_records(self):
        text = GOOD + "    returned: {stage: FAN, \n"
        for line, labels in (("    returned: {stage: |FAN, turns: 1 rev}\n",
                              ["FAN", "LPT-1", "LPT-2", "HPC-1", "HPC-2", "HPC-3", "HPC-4",
                               "HPC-5", "HPT-1"]),
                             ("waive: [{pad: |crank}]\n", ["crank"]),
                             ("waive:\n  - stage: HPC-1\n    pad: |\n", ["crank"])):
            self.assertEqual(self.server.labels(GOOD + line), labels, line)
        self.assertEqual(self.server.labels(text + "    pad: |"), [], "this can no longer be read")
        rules = self.server.labels(GOOD + "waive:\n  - rule: |\n")
        listed = subprocess.run([self.server.process.args[0], "rules"], capture_output=True,
                                text=True, check=True).stdout
        self.assertGreater(len(rules), 60)
        for rule in rules:
            self.assertIn(rule, listed)

    def test_a_name_that_is_no_id_is_not_offered(self):
        text = GOOD.replace("- id: LP\n", "- id: L P\n")
        self.assertEqual(self.server.labels(cursor(text, "spool: |HP")), ["HP"])

    def test_aliases_are_not_offered(self):
        text = GOOD.replace("turned-by: hand", "never-backwards: |")
        self.assertEqual(self.server.labels(text), ["yes", "no"])

    def test_places_that_are_none(self):
        for text in (HEAD + "nothing:\n  |", HEAD + "nothing: |", HEAD + "nothing: {x: |",
                     HEAD + "spools:\n  - rotation:\n      nothing:\n        |", "x: 1\n|",
                     PATH + "      - external: |", PATH + "      - wrong:\n          |",
                     HEAD + "".join("  " * n + "a:\n" for n in range(20)) + "  " * 20 + "|",
                     HEAD + "a: {" * 30 + "|", HEAD + "b: " + "[" * 30 + "|",
                     HEAD + "id" * 200 + ": |", "engine-definition: 1\n'id: |",
                     HEAD + "- - - |- x", HEAD + "id: }}}]]]|"):
            with self.subTest(text[-40:]):
                self.assertIsInstance(self.server.labels(text), list)
                self.assertIsInstance(self.server.hover(text), str)
        for text in (HEAD + "nothing:\n  |", "engine-definition: 1\n'status: |",
                     HEAD + "pads:\n" + "".join("  " * n + "path:\n" for n in range(1, 14))
                     + "  " * 14 + "|"):
            self.assertEqual(self.server.labels(text), [])
        self.assertEqual(self.server.labels(HEAD + "a: {" * 30 + "|"), [])

    def test_json(self):
        for place, some in (('"drives": "|both"', "cw"), ('{"|id": "crank"', "backlash"),
                            ('{"sense": |"cw", "view": "fac', "ccw"),
                            ('{"|external": [17', "bevel"),
                            ('61]}, {"|external": [19', "bevel"), ('"status": "|rel', "draft"),
                            ('  "|models"', "revision"), ('"spool": |"R"', "R")):
            with self.subTest(place):
                self.assertIn(some, self.server.labels(cursor(JSON, place)))


class Hover(WithServer):
    """The meaning of a key, and its derived numbers."""

    def test_keys_and_values_of_every_kind(self):
        for text, place, key in ((GOOD, "engine-|definition", "engine-definition"),
                                 (GOOD, "models: [Quern 12, |Quern", "models"),
                                 (GOOD, "status: rel|eased", "status"),
                                 (GOOD, "spools|:", "spools"),
                                 (GOOD, "|  - id: HP", "id"), (GOOD, " | - id: HP", "id"),
                                 (GOOD, "max-speed: 120 d|eg", "max-speed"),
                                 (GOOD, 'clock: "4|:30"', "clock"), (GOOD, "blades: |22", "blades"),
                                 (GOOD, "clocking: 1|2.5 deg", "clocking"),
                                 (GOOD, "turns: {pad: 3.0|3", "pad"), (GOOD, "pat|h:", "path"),
                                 (GOOD, "- exter|nal", "external"), (GOOD, "external: [24, |35",
                                                                     "external"),
                                 (GOOD, "- beve|l", "bevel"), (GOOD, "teeth: [29, |23", "teeth"),
                                 (GOOD, "backs: [aft, |down", "backs"),
                                 (GOOD, "seen: {pad: |ccw", "pad"), (GOOD, "note: ha|nd", "note"),
                                 (DEVICE, "counter-|bits", "counter-bits"),
                                 (DEVICE, "speed: {min: |0.05", "min"),
                                 (POLICY, "closure: 1|0 %", "closure"),
                                 (POLICY, "teeth: {min: 12, m|ax", "max"),
                                 (JSON, '"blad|es"', "blades"),
                                 (JSON, '"turns": {"pad": |16', "pad")):
            with self.subTest(place):
                shown = self.server.hover(cursor(text, place))
                self.assertTrue(shown.startswith(f"**{key}**: "), shown[:60])

    def test_where_such_a_value_is_found(self):
        self.assertIn("\n\nUsually found in: the table of drive pads",
                      self.server.hover(cursor(GOOD, "tur|ns:")))
        self.assertNotIn("Usually found", self.server.hover(cursor(GOOD, "revi|sion:")))

    def test_how_a_value_is_known(self):
        """Without a cross-check beside it; a pair only if all of it is known in one way."""
        good = re.sub(r"(?m)^.*blade-order: \{.*\n", "", GOOD)
        for place, known in (("bla|des: 22", "read once"), ("blades: 22|", "read once"),
                             ("blades: |74", "observed"), ("spo|ol: LP", "read once"),
                             ("turns: {pad: 3.0|324", "observed, follows from others"),
                             ("tur|ns: {pad", "observed, follows from others"),
                             ("external: [2|4", "observed, follows from others"),
                             ("external: [24, 3|5", "read once"), ("squ|are: 3/8", "read once"),
                             ("fac|es: aft", "follows from others"),
                             ("backs: [a|ft", "follows from others"),
                             ("{sense: cc|w, view: fac", "observed, follows from others")):
            with self.subTest(place):
                self.assertIn(f"\n\nHow it is known: {known}\n",
                              self.server.hover(cursor(good, place)) + "\n")
        for place in ("exter|nal: [24", "pa|th:", "i|d: crank", "torque|", "revi|sion", "na|me:"):
            with self.subTest(place):
                text = good.replace("    torque-limit", "    # torque\n    torque-limit")
                self.assertNotIn("How it is known", self.server.hover(cursor(text, place)))

    def test_numbers_that_follow(self):
        pad = self.server.hover(cursor(GOOD, "square|: 3/8"))
        self.assertIn("\n\n```text\nquern-12, pad crank\n", pad)
        self.assertTrue(pad.endswith("\n```\n"))
        stage = self.server.hover(cursor(GOOD, "blades: 31|"))
        self.assertIn("pitch 360 / 31", stage)
        self.assertNotIn("360 / 43", stage)
        self.assertNotIn("```", self.server.hover(cursor(GOOD, "blades: 22|")), "turned by hand")
        self.assertNotIn("```", self.server.hover(cursor(GOOD, "name|: Quern")))

    def test_numbers_without_a_key(self):
        text = GOOD.replace("    backlash: 1.2 deg", "    # thus\n    backlash: 1 deg")
        shown = self.server.hover(cursor(text, "   | # thus"))
        self.assertTrue(shown.startswith("```text\n"), shown[:40])

    def test_no_numbers_that_are_not_known(self):
        for old, new in (("      - external: [24", "      - external: [x"),
                         ("path:\n", "path: 3\n    x:\n"), ("- id: crank", "- id: cr ank"),
                         ("    spool: HP\n    faces", "    spool: HX\n    faces")):
            text = GOOD.replace(old, new)
            self.assertNotIn("pad turns per", self.server.hover(cursor(text, "square|: 3/8")), new)
        text = GOOD.replace("blades: 31", "blades: x")
        self.assertNotIn("pitch 360", self.server.hover(cursor(text, "numbering: agai|nst")))
        text = GOOD.replace("- id: HPC-1", "- id: HPC 1")
        self.assertNotIn("pitch 360", self.server.hover(cursor(text, "blades: 31|")))

    def test_without_a_device_there_are_no_stages(self):
        with Server() as server:
            self.assertNotIn("```", server.hover(cursor(GOOD, "blades: 31|")))
            self.assertIn("G = 44321/14616", server.hover(cursor(GOOD, "square|: 3/8")))

    def test_nothing_is_known(self):
        for text in ("|", "x: |y", "# |x", GOOD.replace("\n\nspools", "\n|\nspools"),
                     cursor(GOOD, "# Que|rn 12:"), "engine-definition: 1\nwrong: |1",
                     PATH + "      - wro|ng: [1, 2]", PATH + "      - spo|ol: x"):
            self.assertEqual(self.server.hover(text), "")


class Definition(WithServer):
    def test_every_name_leads_to_its_record(self):
        """Each value of a key that names a spool, stage or pad, in a file with all such keys."""
        text = EVERY_KEY.read_text(encoding="utf-8")
        lists = {"spool": "spools", "stage": "stages", "pad": "pads"}
        names = [(found.start(2), found.group(1), found.group(2)) for found in re.finditer(
            r"\b(spool|stage|pad): ([A-Z][A-Z0-9-]*|crank|starter)\b", text)]
        self.assertEqual(len(names), 16)
        for offset, key, name in names:
            with self.subTest(key=key, name=name, offset=offset):
                found = self.server.ask("definition", text[:offset + 1] + "|" + text[offset + 1:])
                self.assertEqual(part(text, found["range"]), name)
                before = text.split("\n")[:found["range"]["start"]["line"]]
                section = [line for line in before if line and line[0] not in " #"][-1]
                self.assertEqual(section, f"{lists[key]}:")

    def test_nothing_else_does(self):
        text = EVERY_KEY.read_text(encoding="utf-8")
        for place in ("seen: {pad: c|w", "blades: 3|0", "turns: {p|ad", "rule: backlash|-large"):
            self.assertIsNone(self.server.ask("definition", cursor(text, place)))


if __name__ == "__main__":
    unittest.main()
