"""Definitions of names, and edits that correct findings: applied, and then judged again."""

import itertools
import json
import pathlib
import re
import sys
import unittest

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parent))
# pylint: disable-next=wrong-import-position
from server import DEMO, URI, Server, WithServer, apply, cursor, marked, part

GOOD = (DEMO / "engines/quern-12.engine.yaml").read_text(encoding="utf-8")
FROM_FRONT = GOOD.replace("aft-looking-forward", "forward-looking-aft", 1)
JSON = (DEMO / "engines/snath-5.engine.json").read_text(encoding="utf-8")
DEVICE = (DEMO / "devices/capstan-2.device.yaml").read_text(encoding="utf-8")
POLICY = (DEMO / "rotortab.policy.yaml").read_text(encoding="utf-8")


class Names(WithServer):
    """Definitions and symbols."""

    def defined(self, text):
        text, position = marked(text)
        self.server.open(text)
        place = self.server.at("definition", position)
        if not place:
            return None
        return part(text, place["range"]), text.split("\n")[place["range"]["start"]["line"]]

    def test_definitions(self):
        more = GOOD + "  - pad: crank\n    returned: {stage: HPC-1, turns: 1 rev}\n"
        for text, place, line in ((GOOD, "spool: |LP", "  - id: LP"),
                                  (GOOD, "spool: LP|", "  - id: LP"),
                                  (GOOD, "spool: H|P\n    faces", "  - id: HP"),
                                  (GOOD, "pad: cra|nk", "  - id: crank"),
                                  (more, "stage: HP|C-1", "  - id: HPC-1")):
            self.assertEqual(self.defined(cursor(text, place)),
                             (line.split()[-1], line), place)

    def test_no_definitions(self):
        for place in ("spool:| LP", "|spool: LP", "id: |HP", "na|me", "blades: |22"):
            self.assertIsNone(self.defined(cursor(GOOD, place)), place)
        for old, place in (("spool: LP", "spool: |LX"),
                           ("spool: HP\n    faces", "spool: |HX\n    faces"),
                           ("pad: crank", "pad: |crink")):
            self.assertIsNone(self.defined(GOOD.replace(old, place, 1)), place)
        self.assertIsNone(self.defined(GOOD.replace("spool: LP", "spool: LP |  # low", 1)))
        more = GOOD + "    returned: {stage: |NONE, turns: 1 rev}\n"
        self.assertIsNone(self.defined(more))
        for text in (cursor(DEVICE, "id: |cap"), cursor(POLICY, "pol|icy: 1"), "|", "a: |["):
            self.assertIsNone(self.defined(text))

    def symbols(self, text):
        self.server.open(text)
        return self.server.request("textDocument/documentSymbol", {"textDocument": {"uri": URI}})

    def test_symbols(self):
        for text in (GOOD, JSON):
            for symbol in self.symbols(text):
                self.assertEqual(part(text, symbol["selectionRange"]).strip('"'), symbol["name"])
                (start, end), (first, last) = (
                    [(symbol[at][side]["line"], symbol[at][side]["character"])
                     for side in ("start", "end")] for at in ("range", "selectionRange"))
                self.assertTrue(start <= first < last <= end, symbol)
        self.assertEqual([(s["detail"], s["name"]) for s in self.symbols(JSON)],
                         [("spool", "R"), ("stage", "C-1"), ("stage", "T-1"), ("stage", "T-2"),
                          ("pad", "crank")])

    def test_no_symbols(self):
        self.assertEqual(self.symbols(DEVICE), [])
        self.assertEqual(self.symbols("a: ["), [])
        names = [s["name"] for s in self.symbols(GOOD.replace("- id: FAN", "- id: F AN"))]
        self.assertIn("HPC-1", names)
        self.assertNotIn("F AN", names)


class Actions(WithServer):
    """Edits, and the findings that remain after them."""

    # The right text, a slip, its rule (None: any), and the edit that restores the text.
    SLIPS = (
        (GOOD, "numbering:", "numbring:", "unknown-key", "Write numbering"),
        (GOOD, "torque-limit: 40 lbf.ft", "torque-limit: 40 ft-lb", "wrong-unit", "Write lbf.ft"),
        (GOOD, "square: 3/8 in", "square: 3/8\"", "wrong-shape", "Write 3/8 in"),
        (GOOD, "view: aft-looking-forward", "view: ALF", "wrong-shape",
         "Write aft-looking-forward"),
        (FROM_FRONT, "view: forward-looking-aft", "view: fla", "wrong-shape",
         "Write forward-looking-aft"),
        (GOOD, "spool: LP", "spool: LPX", "reference-unknown", "Write LP"),
        (GOOD, "pad: crank", "pad: crnk", "reference-unknown", "Write crank"),
        (GOOD, "status: released", "status: relesed", "wrong-shape", "Write released"),
        (GOOD, "- external: [24", "- externl: [24", "unknown-key", "Write external"),
        (GOOD, "engine-definition: 1", "engine-defintion: 1", "unknown-kind",
         "Write engine-definition"),
        (GOOD, "{pad: 3.0324, rotor: 1}", "{pad: 1, rotor: 3.0324}", "ratio-swapped",
         "Swap pad and rotor"),
        (GOOD, "{pad: 3.0324, rotor: 1}", '{"rotor": 3.0324, "pad": 1}', "ratio-swapped",
         "Swap pad and rotor"),
        (GOOD, "{pad: 3.0324,", "{pad: 3,0324,", "bad-number", "Write 3.0324"),
        (GOOD, "{pad: 30.3 +/- 0.1 rev,", "{pad: 30,3 +/- 0,1 rev,", "bad-number",
         "Write 30.3 +/- 0.1 rev"),
        (JSON, '"status": "released"', '"status": "relesed"', "wrong-shape", "Write released"),
        (JSON, '"36.5 deg"', '"36,5 deg"', "bad-number", "Write 36.5 deg"),
        (JSON, '"numbering": "against-rotation",\n     "blade-one": "balance',
         '"numbring": "against-rotation",\n     "blade-one": "balance', "unknown-key",
         "Write numbering"),
        (JSON, '"90 lbf.in"', '"90\\u0020in-lb"', "wrong-unit", "Write 90 lbf.in"),
        (JSON, '"3/8 in"', '"3/8 inch"', "wrong-shape", "Write 3/8 in"),
        (DEVICE, "positive: ccw", "positve: ccw", "unknown-key", "Write positive"),
        (DEVICE, "max: 70 N.m", "max: 70 Nm", "wrong-unit", "Write N.m"),
        (POLICY, "closure: 10 %", "closre: 10 %", "unknown-key", "Write closure"),
        (POLICY, "backlash-missing: error", "backlash-mising: error", None,
         "Write backlash-missing"),
        (POLICY, "backlash-missing: error", "backlash-missing: eror", None, "Write error"),
    )

    def test_each_mends_its_finding(self):
        for text, right, wrong, rule, title in self.SLIPS:
            with self.subTest(wrong):
                self.assertIn(right, text)
                bad = text.replace(right, wrong, 1)
                found = self.server.open(bad)
                if rule:
                    self.assertIn(rule, [d["code"] for d in found if d["severity"] == 1])
                offered = {a["title"]: a for a in self.server.actions(0, bad.count("\n"))}
                self.assertIn(title, offered)
                action = offered[title]
                self.assertEqual(action["kind"], "quickfix")
                (mended,) = action["diagnostics"]
                self.assertIn(mended, found)
                ((uri, edits),) = action["edit"]["changes"].items()
                self.assertEqual(uri, URI)
                after = apply(bad, edits)
                if "rotor\":" not in wrong:
                    self.assertEqual(after, text)
                if text == JSON:
                    json.loads(after)
                self.assertNotIn(mended["code"], [d["code"] for d in self.server.change(after)])

    def test_no_quantity_is_offered_for_another(self):
        """An edit must not change a quantity: not its unit, not its size, not its number."""
        for right, wrong in (("torque-limit: 40 lbf.ft", "torque-limit: 40"),
                             ("torque-limit: 40 lbf.ft", "torque-limit: 40 lbf.in2"),
                             ("torque-limit: 40 lbf.ft", "torque-limit: 40 deg"),
                             ("backlash: 1.2 deg", "backlash: 1.2 degr"),
                             ("square: 3/8 in", "square: 7/8 in"),
                             ("square: 3/8 in", "square: 8 mm"),
                             ("backlash: 1.2 deg", "backlash: 1,200 deg"),
                             ("torque-limit: 40 lbf.ft", "torque-limit: 1,040 lbf.in"),
                             ("torque-limit: 40 lbf.ft", "torque-limit: 1.040,5 lbf.in"),
                             ("backlash: 1.2 deg", "backlash: 1.0-1.4 deg"),
                             ("backlash: 1.2 deg", "backlash: 72 arcmin +/- 0.1 deg")):
            with self.subTest(wrong):
                self.assertIn(right, GOOD)
                bad = GOOD.replace(right, wrong, 1)
                self.assertTrue(self.server.open(bad))
                self.assertEqual(self.server.actions(0, bad.count("\n")), [])

    def test_every_offer_over_the_broken_files_mends(self):
        offers = 0
        files = sorted((DEMO / "broken").glob("*.yaml"))
        for _, paths in itertools.groupby(files, lambda path: path.name.split(".")[0]):
            # A server for each: it judges all open documents again at each change.
            with Server("--device", "devices/slipway-4.device.yaml") as server:
                offers += sum(self.mended(server, path) for path in paths)
        self.assertGreaterEqual(offers, 5)

    def mended(self, server, path):
        """Applies each edit that is offered for a file; how many there are."""
        text = path.read_bytes().decode("utf-8", "replace")
        uri = f"file://{path}"
        def key(d):
            return d["code"], d["range"]["start"]["line"], d["message"]
        found = {key(d) for d in server.open(text, uri)}
        offered = server.actions(0, text.count("\n"), uri)
        for action in offered:
            self.assertLessEqual({key(d) for d in action["diagnostics"]}, found)
            after = server.change(apply(text, action["edit"]["changes"][uri]), uri=uri)
            for gone in action["diagnostics"]:
                self.assertNotIn(key(gone), {key(d) for d in after}, path.name)
            server.change(text, uri=uri)
        return len(offered)

    def test_each_pad_is_swapped_for_itself(self):
        count = 0
        for path in sorted((DEMO / "engines").glob("*.yaml")):
            text = path.read_text(encoding="utf-8")
            uri = f"file://{path}"
            for turns in re.finditer(r"turns: \{pad: ([\d.]+), rotor: ([\d.]+)\}", text):
                bad = (text[:turns.start()] + f"turns: {{pad: {turns[2]}, rotor: {turns[1]}}}"
                       + text[turns.end():])
                self.server.open(bad, uri)
                for action in self.server.actions(0, bad.count("\n"), uri):
                    if action["title"] == "Swap pad and rotor":
                        self.assertEqual(apply(bad, action["edit"]["changes"][uri]), text)
                        count += 1
        self.assertGreater(count, 7)

    def test_a_pad_without_turns_before(self):
        first = GOOD[GOOD.index("  - id: crank"):GOOD.index("\n\nobservation")]
        first = re.sub("    turns: .*\n", "", first.replace("id: crank", "id: other"))
        text = GOOD.replace("pads:\n", f"pads:\n{first}\n")
        bad = text.replace("{pad: 3.0324, rotor: 1}", "{pad: 1, rotor: 3.0324}")
        self.server.open(bad)
        (action,) = self.server.actions(0, bad.count("\n"))
        self.assertEqual(apply(bad, action["edit"]["changes"][URI]), text)

    def test_only_where_one_asks(self):
        bad = GOOD.replace("torque-limit: 40 lbf.ft", "torque-limit: 40 ft-lb")
        line = next(i for i, l in enumerate(bad.split("\n")) if "torque-limit" in l)
        self.server.open(bad)
        self.assertEqual(len(self.server.actions(line, line)), 1)
        self.assertEqual(len(self.server.actions(line - 1, line + 1)), 1)
        self.assertEqual(self.server.actions(line + 1, line + 9), [])
        self.assertEqual(self.server.actions(0, line - 1), [])

    def test_a_finding_of_several_lines(self):
        bad = GOOD.replace("turns: {pad: 3.0324, rotor: 1}", "turns: {\n      pad: 1,\n"
                           "      rotor: 3.0324\n    }")
        line = next(i for i, l in enumerate(bad.split("\n")) if "turns: {" in l)
        self.server.open(bad)
        for asked in range(line, line + 4):
            (action,) = self.server.actions(asked, asked)
            self.assertEqual(action["title"], "Swap pad and rotor")
        after = self.server.change(apply(bad, action["edit"]["changes"][URI]))
        self.assertNotIn("ratio-swapped", [d["code"] for d in after])

    def test_only_of_the_kinds_asked_for(self):
        self.server.open(GOOD.replace("numbering:", "numbring:"))
        end = GOOD.count("\n")
        for only, some in ((["quickfix"], True), ([""], True), (["source", "quickfix"], True),
                           (None, True), (["source.fixAll"], False), (["refactor"], False),
                           ([], False), ([7, None], False), (["quickfix.other"], False)):
            with self.subTest(only):
                self.assertEqual(bool(self.server.actions(0, end, only=only)), some)


if __name__ == "__main__":
    unittest.main()
