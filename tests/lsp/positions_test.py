"""Positions of findings: the same as in `check`, and in texts with unusual lines and characters.

The protocol counts from 0, in UTF-16 units; LF, CR LF and CR end its lines. `check` counts from 1,
in characters; its lines end where YAML ends them.
"""

import json
import pathlib
import random
import subprocess
import sys
import tempfile
import unittest

HERE = pathlib.Path(__file__).resolve().parent
sys.path += [str(HERE), str(HERE.parent / "rules")]
# pylint: disable=wrong-import-position
from checking import expected
from fleet_test import weight
from server import DEMO, PROGRAM, URI, Server, apply, marked, part, units

GOOD = (DEMO / "engines/quern-12.engine.yaml").read_text(encoding="utf-8")
OF_A_SET = {"id-taken"}


def found_by_check(names, *options):
    """The findings of check in each of these files, without those that concern another one.

    A finding is the rule, severity, place (1 for the whole file) and words.
    """
    done = subprocess.run([PROGRAM, "check", "--format", "json", *options, *names],
                          capture_output=True, cwd=DEMO, timeout=60, check=False)
    found = {name: [] for name in names}
    for f in json.loads(done.stdout)["findings"]:
        if f["file"] in found and not (f["rule"] in OF_A_SET and "another" in f["message"]):
            found[f["file"]].append(
                (f["rule"], weight(f),
                 *(f.get(k, 1) for k in ("line", "column", "end_line", "end_column")),
                 "\n".join((f["message"], f["consequence"], f["remedy"]))))
    return found


def shown(diagnostics):
    return [(d["code"], d["severity"], d["range"]["start"]["line"] + 1,
             d["range"]["start"]["character"] + 1, d["range"]["end"]["line"] + 1,
             d["range"]["end"]["character"] + 1, d["message"]) for d in diagnostics]


class AgainstCheck(unittest.TestCase):
    """The editor shows what `check` reports."""

    def compare(self, server, text, name, expected):
        # A finding without a line is shown at the first character.
        expected = [e if e[2:6] != (1, 1, 1, 1) else (*e[:2], 1, 1, 1, 2, e[6]) for e in expected]
        uri = f"file://{DEMO}/{name}"
        got = shown(server.open(text, uri))
        server.close(uri)
        self.assertEqual(sorted(got), sorted(expected), name)
        return len(got)

    def test_every_broken_definition(self):
        count = 0
        files = {}  # by the options for check
        for arguments in expected():
            operands = 2 * sum(word.startswith("--") for word in arguments)
            files.setdefault(arguments[:operands], []).extend(arguments[operands:])
        for options, names in files.items():
            found = found_by_check(names, *options)
            with Server(*options, stderr=subprocess.DEVNULL) as server:
                for name in names:
                    if "not-utf8" in name:
                        continue
                    with self.subTest(file=name, options=options):
                        text = (DEMO / name).read_bytes().decode()
                        count += self.compare(server, text, name, found[name])
        self.assertGreater(count, 70)

    def test_the_demonstration(self):
        with Server("--device", "devices/slipway-4.device.yaml") as server:
            names = sorted(f"engines/{path.name}" for path in (DEMO / "engines").iterdir())
            found = found_by_check(names, "--device", "devices/slipway-4.device.yaml")
            for name in names:
                self.compare(server, (DEMO / name).read_text(encoding="utf-8"), name, found[name])

    def test_places_in_other_files_are_not_shown_as_in_this_one(self):
        text = (DEMO / "broken/too-many-3.engine.yaml").read_text(encoding="utf-8")
        with Server("--device", "broken/two-stages.device.yaml") as server:
            (found,) = [d for d in server.open(text) if d["code"] == "too-many"]
            (note,) = found["relatedInformation"]
            self.assertEqual(note["message"], "the device's limit")
            profile = DEMO / "broken/two-stages.device.yaml"
            self.assertEqual(note["location"]["uri"], f"file://{profile}")
            self.assertIn(part(profile.read_text(encoding="utf-8"), note["location"]["range"]),
                          ("stages", "2"))
            text = (DEMO / "broken/ratio-disagrees.engine.yaml").read_text(encoding="utf-8")
            (found,) = [d for d in server.open(text) if d["code"] == "ratio-disagrees"]
            (note,) = [n for n in found["relatedInformation"] if n["message"] == "the path"]
            self.assertEqual(note["location"]["uri"], URI)
            self.assertIn("- external:", part(text, note["location"]["range"]))

    def test_the_place_of_a_text_without_characters(self):
        """It is in the text; of a text that is refused, at its beginning."""
        with Server() as server:
            for text, end in (("", 0), ("\n", 0), ("\r\n# x", 0), ("# x", 1), ("x", 1),
                              ("\ufeff", 0), ("#" * (1 << 20) + "\n", 0)):
                found = server.open(text)[0]
                self.assertEqual(found["range"]["start"], {"line": 0, "character": 0})
                self.assertEqual(found["range"]["end"], {"line": 0, "character": end}, text[:9])

    def test_a_waived_finding_is_a_hint(self):
        text = (DEMO / "broken/backlash-large.engine.yaml").read_text(encoding="utf-8")
        text += "waive: [{rule: backlash-large, because: x, until: 2027-01-01}]\n"
        for day, weight in (("2027-01-01", 4), ("2027-01-02", 1)):
            with Server("--today", day) as server:
                found = {d["code"]: d["severity"]
                         for d in server.open(text,
                                              f"file://{DEMO}/broken/backlash-large.engine.yaml")}
                self.assertEqual(found["backlash-large"], weight)

    def test_what_a_policy_turns_off_is_not_shown(self):
        text = GOOD.replace("blades: 31", "blades: 300").replace("backlash: 1.2", "backlash: 0.2")
        with tempfile.TemporaryDirectory() as scratch:
            folder = pathlib.Path(scratch)
            uri = f"file://{folder}/quern-12.engine.yaml"
            for weight, shown_as in (("off", set()), ("note", {3}), ("error", {1})):
                (folder / "rotortab.policy.yaml").write_text(
                    f"policy: 1\nrules:\n  blade-count-unusual: {weight}\n")
                with Server() as server:
                    self.assertEqual({d["severity"] for d in server.open(text, uri)
                                      if d["code"] == "blade-count-unusual"}, shown_as)

    def test_a_policy_that_changes(self):
        text = GOOD.replace("blades: 31", "blades: 300").replace("backlash: 1.2", "backlash: 0.2")
        with tempfile.TemporaryDirectory() as scratch:
            policy = pathlib.Path(scratch) / "rotortab.policy.yaml"
            uri = f"file://{scratch}/quern-12.engine.yaml"
            with Server() as server:
                def shown(to):
                    if to:
                        policy.write_text(f"policy: 1\nrules:\n  blade-count-unusual: {to}\n")
                    return {d["severity"] for d in server.open(text, uri)
                            if d["code"] == "blade-count-unusual"}
                self.assertEqual(shown(None), {2})
                for to, shown_as in (("off", set()), ("note", {3}), ("error", {1})):
                    self.assertEqual(shown(to), shown_as)
                    self.assertEqual(shown(None), shown_as)
                policy.unlink()
                self.assertEqual(shown(None), {2})

    def test_a_policy_for_the_device_that_changes(self):
        with tempfile.TemporaryDirectory() as scratch:
            policy = pathlib.Path(scratch) / "rotortab.policy.yaml"
            with Server("--device", DEMO / "devices/slipway-4.device.yaml", cwd=scratch) as server:
                def shown():
                    return {d["severity"] for d in server.open(GOOD, URI)
                            if d["code"] == "step-not-whole"}
                self.assertEqual(shown(), {4})
                policy.write_text("policy: 1\nrules: {step-not-whole: warning}\n")
                self.assertEqual(shown(), {2})
                policy.unlink()
                self.assertEqual(shown(), {4})


class OddText(unittest.TestCase):
    """A position is right whatever comes before it."""

    WIDE = ("x", "\u00e9", "\u20ac", "\ufffd", "\U0001f527", "\U00010000", "e\u0301")

    def setUp(self):
        self.server = Server()
        self.addCleanup(self.server.__exit__, None)

    def found(self, text, code="unknown-key"):
        return [part(text, d["range"]) for d in self.server.open(text) if d["code"] == code]

    def test_a_byte_order_mark(self):
        text = "\ufeff" + GOOD[GOOD.index("engine-definition"):]
        uri = URI.replace("quern-12", "marked")
        self.server.open(text, uri)
        for line in (0, 1, 5):
            for character in (0, 1, 7):
                at = {"textDocument": {"uri": uri},
                      "position": {"line": line, "character": character}}
                for method in ("hover", "completion", "definition"):
                    self.server.request(f"textDocument/{method}", at)
                self.server.request("textDocument/codeAction", {
                    "textDocument": {"uri": uri}, "context": {"diagnostics": []},
                    "range": {"start": at["position"], "end": at["position"]}})

    def test_characters_of_every_width(self):
        for before in self.WIDE:
            text = GOOD.replace("models: [Quern 12,", f'models: [Quern 12, "{before}"]\n'
                                f'witless: {{"{before * 3}": 1, wrong: 2}} #')
            self.assertEqual(self.found(text), ["witless"])
            text = GOOD.replace("seen: {pad", f"seen: {{'{before * 3}': 1, wrong: 2, pad")
            self.assertEqual(self.found(text), [f"'{before * 3}'", "wrong"])

    def test_line_ends_of_every_kind(self):
        bad = GOOD.replace("numbering:", "numbring:").replace("square:", "sqare:")
        for end in ("\n", "\r\n", "\r"):
            text = bad.replace("\n", end)
            self.assertEqual(self.found(text), ["numbring"] * bad.count("numbring")
                             + ["sqare"] * bad.count("sqare"))
            text = text.replace("Quern 12" + end, "Quern 12 # \U0001f527" + end)
            self.assertEqual(set(self.found(text)), {"numbring", "sqare"})

    def test_line_ends_of_yaml_that_end_no_line_of_an_editor(self):
        bad = GOOD.replace("square:", "sqare:")
        for end in ("\x85", "\u2028", "\u2029"):
            text = bad.replace("\n", f" # odd{end}# \U0001f527\n", 4)
            self.assertEqual(self.found(text), ["sqare"])
            line = next(i for i, l in enumerate(text.split("\n")) if "sqare" in l)
            position = {"line": line, "character": 5}
            self.assertIn("torque-limit", [i["label"] for i in
                                           self.server.at("completion", position)])
            # On one line of the editor, after two lines of YAML.
            text = GOOD.replace("\n    drives: both", f"\n    # \U0001f527{end}    drives: both")
            self.server.open(text)
            line = next(i for i, l in enumerate(text.split("\n")) if "drives" in l)
            row = text.split("\n")[line]
            position = {"line": line, "character": units(row[:row.index("both")])}
            self.assertEqual([i["label"] for i in self.server.at("completion", position)],
                             ["both", "cw", "ccw"])

    def test_a_character_cut_in_two(self):
        text, place = marked(GOOD.replace("[Quern 12,", "[\U0001f527|Quern 12,"))
        self.server.open(text)
        for shift in (-2, -1, 0):
            self.assertIn("**models**", self.server.at("hover", {
                **place, "character": place["character"] + shift})["contents"]["value"])

    def test_behind_the_end_is_the_end(self):
        text = "engine-definition: 1\nid: x\nspools:\n  - id: HP\n    turned-by: "
        self.server.open(text)
        for position in ({"line": 4, "character": 15}, {"line": 4, "character": 2 ** 40},
                         {"line": 5, "character": 0}, {"line": 2 ** 62, "character": 0}):
            self.assertEqual([i["label"] for i in self.server.at("completion", position)], ["hand"])
        self.server.open(text + "\n")
        self.assertIn("id", [i["label"] for i in self.server.at("completion", {
            "line": 9, "character": 9})])
        self.assertEqual([i["label"] for i in self.server.at("completion", {
            "line": 4, "character": 2 ** 40})], ["hand"])

    def test_definition_behind_wide_characters(self):
        text = GOOD.replace("    spool: HP\n    role: compressor\n    blades: 31",
                            "    role: compressor\n    blades: 31\n    spool: HP", 1)
        for odd in self.WIDE:
            line = f'  - {{note: "{odd * 5}", pad: cra|nk}}\n'
            self.server.open(GOOD)
            text, position = marked(GOOD.replace("observations:\n", "observations:\n" + line))
            self.server.open(text)
            place = self.server.at("definition", position)
            self.assertEqual(place["uri"], URI)
            self.assertEqual(part(text, place["range"]), "crank")
            self.assertIsNone(self.server.at("definition", {
                **position, "character": position["character"] - 8}))

    def test_random_texts(self):
        draw = random.Random(12)
        alphabet = ["\n", "\r\n", "\r", "\x85", "\u2028", " ", "x", "\u00e9", "\U0001f527", "#"]
        for _ in range(300):
            noise = "".join(draw.choice(alphabet) for _ in range(draw.randrange(60)))
            # Only comments can be there.
            for end in ("\r\n", "\n", "\r", "\x85", "\u2028"):
                noise = noise.replace(end, end[:-1] + end[-1] + "#") if end != "\r" else noise
            noise = noise.replace("\r", "\r#").replace("\r#\n", "\r\n")
            text = f"#{noise}\nengine-definition: 1\nwrong-{draw.randrange(9)}: 1\n"
            (found,) = [d for d in self.server.open(text) if d["code"] == "unknown-key"]
            self.assertRegex(part(text, found["range"]), "^wrong-[0-9]$", repr(text))

    def test_edits_fit_the_text(self):
        text = GOOD.replace("    numbering: against-rotation",
                            "    port: {id: \U0001f527, numbring: x}", 1)
        text = text.replace("torque-limit: 40 lbf.ft", "torque-limit: 40")
        self.server.open(text)
        for action in self.server.actions(0, text.count("\n")):
            ((uri, edits),) = action["edit"]["changes"].items()
            self.assertEqual(uri, URI)
            self.assertNotEqual(apply(text, edits), text)


if __name__ == "__main__":
    unittest.main()
