"""The setup sheet: its words, its HTML and drawings.

Numbers are compared with `stops`, `show` and `explain`, and with calculations made here.
GOLDEN_UPDATE=1 in the environment writes the expected texts anew, for a review with `git diff`.
"""

import fractions
import hashlib
import html.parser
import json
import pathlib
import re
import shutil
import sys
import tempfile
import unittest
import xml.etree.ElementTree as ElementTree

import yaml

sys.path[1:1] = [str(pathlib.Path(__file__).resolve().parent)]
from sheets import (CAPSTAN, DEMO, ENGINES, EXPECTED, SLIPWAY, UPDATE, Scratch,  # noqa: E402
                    angle_of, decimal, definition, drawings, growth_of, has, page, run, sheet,
                    sign, stops)


class Command(Scratch):
    """What the command takes, and where the sheet goes."""

    def test_needs_a_device(self):
        done = run("sheet", ENGINES["quern-12"])
        self.assertEqual((done.returncode, done.stdout), (2, ""))
        self.assertIn("sheet needs --device", done.stderr)

    def test_is_of_one_engine(self):
        done = run("sheet", "--device", SLIPWAY, DEMO / "engines")
        self.assertEqual((done.returncode, done.stdout), (2, ""))
        self.assertIn("for all: billhook-8, coulter-70", done.stderr)

    def test_picks_one_of_several(self):
        done = run("sheet", "--device", SLIPWAY, "--engine", "quern-12", DEMO / "engines")
        self.assertEqual((done.returncode, done.stdout), (0, sheet("quern-12")))

    def test_says_where_there_is_no_such_engine(self):
        for engine, said in (("quern", "there are billhook-8, "), (None, "no engine definition")):
            where = DEMO / "engines" if engine else SLIPWAY
            chosen = ["--engine", engine] if engine else []
            done = run("sheet", "--device", SLIPWAY, *chosen, where)
            self.assertEqual((done.returncode, done.stdout), (2, ""))
            self.assertIn(said, done.stderr)

    def test_writes_a_file(self):
        done = run("sheet", "--device", SLIPWAY, "-o", self.folder / "sheet", ENGINES["quern-12"])
        self.assertEqual((done.returncode, done.stdout), (0, ""))
        self.assertEqual((self.folder / "sheet").read_text(), sheet("quern-12"))
        done = run("sheet", "-d", SLIPWAY, "-o", self.folder / "no" / "sheet", ENGINES["quern-12"])
        self.assertEqual(done.returncode, 2)
        self.assertIn("cannot write", done.stderr)

    def test_writes_nothing_where_an_error_stands(self):
        (self.folder / "sheet").write_text("as it was")
        broken = DEMO / "broken" / "ratio-swapped.engine.yaml"
        done = run("sheet", "--device", SLIPWAY, "-o", self.folder / "sheet", broken)
        self.assertEqual((done.returncode, done.stdout), (1, ""))
        self.assertIn("[ratio-swapped]", done.stderr)
        self.assertEqual((self.folder / "sheet").read_text(), "as it was")

    def test_same_bytes_from_anywhere(self):
        copy = shutil.copy(ENGINES["quern-12"], self.folder)
        shutil.copy(ENGINES["quern-12"].with_name("quern-12.cross-check.yaml"), self.folder)
        for form in ("text", "html"):
            done = run("sheet", "-d", SLIPWAY, "-f", form, copy, cwd=self.folder)
            self.assertEqual(done.stdout, sheet("quern-12", form=form))


    def test_who_read_the_numbers_again(self):
        """Both forms say so; without a cross-check they say that too."""
        for form in ("text", "html"):
            self.assertIn("by nobody", sheet("snath-5", form=form))
            self.assertIn("of revision 5; all values", sheet("winnow-16", form=form))
        copy = shutil.copy(ENGINES["winnow-16"], self.folder)
        second = ENGINES["winnow-16"].with_name("winnow-16.cross-check.yaml").read_text()
        (self.folder / "winnow-16.cross-check.yaml").write_text(
            second.replace("    drives: both\n", "").replace("blades: 90, ", ""))
        for form in ("text", "html"):
            said = run("sheet", "-d", SLIPWAY, "-f", form, copy, cwd=self.folder).stdout
            self.assertRegex(said, r"not\s+read\s+again:\s+stage\s+HPT-1\s+\(blades\);\s+"
                                   r"pad\s+front\s+\(drives\)")


class Text(Scratch):
    """The sheet as text."""

    GOLDEN = {"quern-12": SLIPWAY, "mattock-40": CAPSTAN}

    def test_golden(self):
        for engine, device in self.GOLDEN.items():
            with self.subTest(engine):
                text = sheet(engine, device)
                for path in (ENGINES[engine], device):
                    text = text.replace(hashlib.sha256(path.read_bytes()).hexdigest(),
                                        f"(digest of {path.name})")
                expected = EXPECTED / f"{engine}.txt"
                if UPDATE:
                    expected.write_text(text, encoding="utf-8")
                self.assertEqual(text, expected.read_text(encoding="utf-8"))
                self.assertEqual(text.count("(digest of "), 2)

    def test_width(self):
        for engine in ENGINES:
            for line in sheet(engine).splitlines():
                self.assertLessEqual(len(line), 100, line)
                self.assertEqual(line, line.rstrip())

    def test_width_with_the_longest_ids(self):
        content = definition("quern-12")
        content["spools"][0]["id"] = content["pads"][0]["spool"] = "S" * 60
        content["pads"][0]["id"] = content["observations"][0]["pad"] = "P" * 60
        del content["observations"][1:]
        for stage in content["stages"][3:]:
            stage["spool"] = "S" * 60
        content["stages"][3]["id"] = "T" * 60
        content["stages"][3]["port"] = [{"id": letter * 60, "clock": "4:30"} for letter in "UVW"]
        device = yaml.safe_load(SLIPWAY.read_text(encoding="utf-8"))
        device["limits"]["text-bytes"] = 60
        done = run("sheet", "-d", self.write("slipway-4.device.json", device),
                   self.write("quern-12.engine.json", content))
        self.assertEqual(done.returncode, 0, done.stderr)
        self.assertLessEqual(max(map(len, done.stdout.splitlines())), 100)

    def test_cautions_come_first(self):
        for engine in ENGINES:
            for form in ("text", "html"):
                text = " ".join(re.sub(r"<[^>]*>", " ", sheet(engine, form=form)
                                       .split("</head>")[-1]).replace("&#39;", "'").split())
                places = [text.find(words) for words in
                          ("arithmetic, not airworthiness", "current manual, local rules and "
                           "licensed staff decide", "isolate its starting and ignition, before "
                           "anything is coupled", "Keep hands", "Start at low torque",
                           "turns spool")]
                self.assertNotIn(-1, places)
                self.assertEqual(places, sorted(places))

    def test_what_the_definition_says_is_before_the_cautions(self):
        """The models beside the title, then the sentences: the engine's, a spool's, a pad's."""
        for form in ("text", "html"):
            for engine, said in (
                    ("quern-12", ("Holds for Quern 12, Quern 12A, Quern 12B",
                                  "Wait 45 minutes after the engine has run.",
                                  "Park the aircraft nose into the wind",
                                  "Spool HP: At most 20 turns", "arithmetic, not airworthiness")),
                    ("dibble-3", ("Holds for Dibble 3, Dibble 3C", "Before anything turns",
                                  "Spool GG: Never turn it backwards: the lip of the carbon seal",
                                  "Pad output: Release the rotor brake",
                                  "arithmetic, not airworthiness"))):
                text = " ".join(re.sub(r"<[^>]*>", " ", sheet(engine, form=form)
                                       .split("</head>")[-1]).replace("&#39;", "'").split())
                places = [text.find(words) for words in said]
                self.assertNotIn(-1, places, (form, text[:2000]))
                self.assertEqual(places, sorted(places))
            plain = " ".join(re.sub(r"<[^>]*>", " ", sheet("dibble-3", form=form)).split())
            self.assertRegex(plain, "Note:? only the full vanes of the impeller are counted")

    def test_a_note_of_a_stage_that_is_turned_by_hand(self):
        content = definition("quern-12")
        content["stages"][0]["note"] = "a <blisk>"
        path = self.write("quern-12.engine.json", content)
        self.assertRegex(sheet(path), "Note +a <blisk>")
        self.assertIn("<td>22; a &lt;blisk&gt;</td>", sheet(path, form="html"))

    def test_one_way_pads_and_spools(self):
        for form in ("text", "html"):
            plain = " ".join(sheet("coulter-70", form=form).split())
            self.assertEqual(plain.count("The rotor can run on"), 1)
            self.assertEqual(plain.count("and if the rotor ran on"), 1)
            self.assertIn("an overrunning clutch drives this pad ccw, facing it", plain)
            plain = " ".join(sheet("dibble-3", form=form).split())
            self.assertEqual(plain.count("must not be turned against its normal direction"), 1)
            self.assertNotIn("run on", plain)
            self.assertNotIn("ran on", plain)
            self.assertNotIn("turned by hand, so no device prevents it", plain)

    def test_what_is_open_is_on_paper(self):
        """Warnings, and what is waived with its day: before the pads. Notes are not."""
        engine = definition("quern-12")
        crank = engine["pads"][0]
        crank["backlash"] = "5 deg"
        crank["square"] = "1/2 in"
        engine["waive"] = [{"rule": "backlash-large", "because": "coupling on order",
                            "until": "2099-01-31"}]
        path = self.write("quern-12.engine.json", engine)
        for form in ("text", "html"):
            self.assertNotIn("Open findings", sheet("quern-12", form=form))
            done = run("sheet", "-d", SLIPWAY, "-f", form, path)
            self.assertEqual(done.returncode, 0, done.stderr)
            plain = " ".join(done.stdout.split())
            first, last = plain.index("Open findings"), plain.index("turns spool HP")
            self.assertLess(first, last)
            for words in ("(backlash-large; accepted until 2099-01-31: coupling on order)",
                          "(square-differs)"):
                self.assertEqual(plain[first:last].count(words), 1)
            self.assertNotIn("(step-not-whole)", plain)

    def test_a_spool_that_only_a_hand_guards(self):
        """Its caution comes before all others."""
        engine = definition("coulter-70")
        engine["spools"][0]["never-backwards"] = "yes"
        path = self.write("coulter-70.engine.json", engine)
        for form in ("text", "html"):
            done = run("sheet", "-d", SLIPWAY, "-f", form, path)
            self.assertEqual(done.returncode, 0, done.stderr)
            plain = " ".join(done.stdout.split())
            words = "Never turn spool LP backwards. It is turned by hand"
            self.assertEqual(plain.count(words), 1)
            self.assertLess(plain.index(words), plain.index("This sheet shows checked arithmetic"))

    def test_status(self):
        content = definition("quern-12")
        for status, is_draft in (("released", False), ("draft", True)):
            path = self.write("quern-12.engine.json", {**content, "status": status})
            done = run("sheet", "--device", SLIPWAY, path)
            self.assertEqual(done.returncode, 0, done.stderr)
            self.assertEqual("is not released" in done.stdout, is_draft)

    def test_every_kind_of_observation_is_told(self):
        content = definition("quern-12")
        blades = next(s["blades"] for s in content["stages"] if s["id"] == "HPC-1")
        step = decimal(fractions.Fraction(30324, 10000) * 360 / blades, 1)
        content["observations"] += [
            {"pad": "crank", "passed": {"stage": "HPC-1", "blades": 3 * blades,
                                        "rotor": "3 +/- 0.01 rev"}},
            {"pad": "crank", "step": {"stage": "HPC-1", "pad": f"{step} +/- 0.5 deg"}},
            {"pad": "crank", "backlash": content["pads"][0]["backlash"]}]
        path = self.write("quern-12.engine.json", content)
        for form in ("text", "html"):
            done = run("sheet", "--device", SLIPWAY, "--format", form, path)
            self.assertEqual(done.returncode, 0, done.stderr)
            said = " ".join(done.stdout.split())
            for words in (f"{3 * blades} blades of HPC-1 passed while the rotor turned 3 +/- 0.01",
                          f"the pad turned {step} +/- 0.5 deg from blade to blade of HPC-1",
                          f"a backlash of {content['pads'][0]['backlash']} at the pad"):
                self.assertIn(words, said)

    def test_what_is_not_given_is_said(self):
        content = definition("mattock-40")
        for stage in content["stages"]:
            stage.pop("blade-one", None)
        del content["observations"][1:]
        content["pads"][0].pop("backlash")
        content["pads"][0].pop("square")
        done = run("sheet", "--device", SLIPWAY, self.write("mattock-40.engine.json", content))
        self.assertEqual(done.returncode, 0, done.stderr)
        for words in ("Blade one                 not described",
                      "Backlash                  not given",
                      "which way it faces is not given, square not given",
                      "The gears between pad and rotor are not known."):
            self.assertIn(words, done.stdout)


class Numbers(unittest.TestCase):
    """The numbers are those of the other commands."""

    def test_steps(self):
        for device in (SLIPWAY, CAPSTAN):
            for engine in ENGINES:
                text = " ".join(sheet(engine, device).split())
                for pair in stops(engine, device):
                    step = str(pair["whole"])
                    if pair["num"]:
                        step += f" + {pair['num']}/{pair['den']}"
                    self.assertIn(f" {step} counts; rotor {decimal(self.pitch(pair), 4)} deg",
                                  text)

    @staticmethod
    def pitch(pair):
        return fractions.Fraction(360, pair["blades"])

    def test_no_stop_is_off_by_more(self):
        for engine in ENGINES:
            for pair in stops(engine):
                most = fractions.Fraction(pair["den"] // 2, pair["den"])
                for stop in pair["stops"]:
                    self.assertLessEqual(abs(fractions.Fraction(stop["error_counts"])), most)

    def test_other_ports_are_apart_as_their_clocks(self):
        found = 0
        for engine in ("coulter-70", "billhook-8"):
            text = re.sub(r"\s+", " ", sheet(engine))
            spools = {s["id"]: sign(s["rotation"]) for s in definition(engine)["spools"]}
            turns = {(p["stage"], p["pad"]): fractions.Fraction(p["counts_per_rotor_turn"])
                     for p in stops(engine)}
            for stage in definition(engine)["stages"]:
                first, *others = (stage.get("port") if isinstance(stage.get("port"), list)
                                  else [None])
                for port in others:
                    degrees = fractions.Fraction(spools[stage["spool"]] * (
                        angle_of(port["clock"]) - angle_of(first["clock"]))) % 360
                    blades = degrees * stage["blades"] / 360
                    off = (-blades + fractions.Fraction(1, 2)) % 1 - fractions.Fraction(1, 2)
                    counts = [decimal(turn * degrees / 360, 1) + " counts"
                              for (name, _), turn in turns.items() if name == stage["id"]]
                    self.assertIn(f"{first['id']} at {first['clock']}; for the stops", text)
                    self.assertIn(f"{port['id']} at {port['clock']}, farther by "
                                  f"{decimal(degrees, 1)} deg of rotor, "
                                  f"{decimal(blades, 3)} blades, {counts[0]}", text)
                    for one in counts:
                        self.assertIn(one, text)
                    said = "exact too" if off == 0 else (
                        f"off by {decimal(abs(off), 3)} pitch, "
                        f"{decimal(abs(off) * 360 / stage['blades'], 2)} deg of rotor too "
                        + ("far" if off > 0 else "short"))
                    self.assertIn(f"every stop there is {said}", text)
                    self.assertIn(said, " ".join(page(engine).itertext()))
                    found += 1
        self.assertEqual(found, 4)

    def test_what_a_hand_turns_has_degrees(self):
        text = sheet("quern-12")
        paper = " ".join(page("quern-12").itertext())
        for stage in definition("quern-12")["stages"]:
            if stage["spool"] == "LP":
                blades = stage["blades"]
                pitch = fractions.Fraction(360, blades)
                self.assertEqual(stage["numbering"], "with-rotation")
                rows = (f"1 at 0, {blades} at {decimal(pitch, 2)} ... "
                        f"2 at {decimal(360 - pitch, 2)}")
                self.assertRegex(text, rf"Pitch +{decimal(pitch, 4)} deg\n.*{re.escape(rows)}\n")
                self.assertIn(rows, paper)
                self.assertIn(decimal(pitch, 4), paper)

    def test_limits_are_those_of_the_table(self):
        with tempfile.TemporaryDirectory() as scratch:
            table = pathlib.Path(scratch, "table")
            run("compile", "--drafts", "-d", SLIPWAY, "-o", table, *ENGINES.values())
            shown = json.loads(run("show", "-f", "json", table).stdout)
        self.assertEqual(len(shown["engines"]), len(ENGINES))
        for engine in shown["engines"]:
            text = sheet(engine["id"])
            for pad in engine["pads"]:
                part = text.split(f"Pad {pad['id']} turns spool")[1].split("\nPad ")[0]
                self.check_limits(" ".join(part.split("\nStages")[0].split()), pad)
            self.assertIn(engine["sha256"], text)
            self.assertIn(shown["device"]["sha256"], text)

    def check_limits(self, part, pad):
        torque = fractions.Fraction(pad["torque_limit"]["value"])
        newton = torque * fractions.Fraction("4.4482216152605") * fractions.Fraction("0.3048")
        self.assertIn(f"Torque, at most {decimal(torque, 6)} lbf.ft "
                      f"({decimal(fractions.Fraction(int(newton * 10), 10), 1)} N.m)", part)
        speed = fractions.Fraction(pad["speed_limit"]["value"])
        rpm = fractions.Fraction(int(speed / 360 * 1000), 1000)
        self.assertIn(f"Speed, at most {decimal(speed, 6)} deg/min ({decimal(rpm, 3)} rpm)", part)
        self.assertIn(f"= {pad['backlash_counts']} counts", part)
        per_turn = fractions.Fraction(pad["counts_per_rotor_turn"])
        self.assertIn(f"Counts per rotor turn {decimal(per_turn, 3)}; the count "
                      f"{'rises' if pad['positive'] > 0 else 'falls'}", part)
        seconds = -(-per_turn / 165888 * 360 / speed * 60 // 1)
        self.assertIn(f"takes {seconds // 60} min {seconds % 60} s", part)
        again = (f"again after {pad['recheck_turns']} rotor turns" if pad["recheck_turns"]
                 else "stays exact")
        self.assertIn(again, part)
        for stage in pad["stages"]:
            for datum in stage["datums"]:
                self.assertRegex(part, rf"{stage['stage']} at \S+ {datum}[,.]")

    def test_senses_are_those_of_explain(self):
        """Mesh by mesh, in the same view; and each path of a pad ends in the view of its spool."""
        for engine in ENGINES:
            content = definition(engine)
            spools = {spool["id"]: sign(spool["rotation"]) for spool in content["spools"]}
            explained = run("explain", "-d", SLIPWAY, ENGINES[engine]).stdout
            text = sheet(engine).replace("\n" + 28 * " ", " ")
            for pad in content["pads"]:
                said = re.findall(r"so far (.*); (c?cw looking \w+)",
                                   explained.split(f", pad {pad['id']}\n")[1].split("\n\n")[0])
                part = text.split(f"Pad {pad['id']} turns spool")[1].split("\nPad ")[0]
                written = re.findall(r"  ([1-9][\d/]*(?: = [\d.]+)?); (c?cw looking \w+)", part)
                self.assertEqual(sorted(written), sorted(said), engine)
                if "path" in pad:
                    sense = "cw" if spools[pad["spool"]] > 0 else "ccw"
                    self.assertEqual(written[-1][1], f"{sense} looking forward", pad["id"])

    def test_first_shaft_seen_from_its_other_end(self):
        """The pad of Quern 12 faces aft and turns ccw for a person who faces it."""
        text = " ".join(sheet("quern-12").split())
        self.assertIn("the pad itself cw looking aft; facing it: ccw looking forward", text)
        strip, = [item for item in page("quern-12").iter("ol") if has(item, "drive")]
        said = [[span.text for span in item.iter("span") if has(span, "from")] for item in strip]
        self.assertEqual(said, [[], [], ["pad cw looking aft,"], [], [], []])
        self.assertNotIn('class="from"', sheet("coulter-70", form="html").split("Pad crank")[0])


class Hostile(Scratch):
    """Texts that would do more than be read."""

    NAME = "</title></style><script>alert(1)</script>"
    MARK = "\"><img src=x onerror='alert(2)'> & <b>\N{RIGHT-TO-LEFT MARK}evil"

    def setUp(self):
        super().setUp()
        content = definition("quern-12")
        content["name"] = self.NAME
        content["models"] = [self.NAME, "]]>", "--><!--"]
        content["source"] = "one\n</main>\n<script>two</script>"
        content["stages"][3]["blade-one"] = self.MARK
        content["stages"][0]["blade-one"] = self.MARK
        content["observations"][0]["note"] = "x" * 199
        device = yaml.safe_load(SLIPWAY.read_text(encoding="utf-8"))
        device["name"] = self.NAME
        device["limits"].update({"text-bytes": 250, "text": "utf-8"})
        self.device = self.write("slipway-4.device.json", device)
        self.path = self.write("quern-12.engine.json", content)

    def test_html(self):
        done = run("sheet", "-d", self.device, "-f", "html", self.path)
        self.assertEqual(done.returncode, 0, done.stderr)
        root = ElementTree.fromstring(done.stdout.removeprefix("<!DOCTYPE html>"))
        self.assertEqual({element.tag for element in root.iter()} & {"script", "img"}, set())
        self.assertEqual(root.find("./body/header//h1").text, self.NAME)
        self.assertNotIn("<script", done.stdout)
        cells = ["".join(cell.itertext()) for cell in root.iter("dd")]
        self.assertTrue(any(self.MARK in cell for cell in cells))

    def test_text(self):
        done = run("sheet", "-d", self.device, self.path)
        self.assertEqual(done.returncode, 0, done.stderr)
        self.assertIn("one </main> <script>two</script>", done.stdout)
        self.assertLessEqual(max(map(len, done.stdout.splitlines())), 100)
        self.assertEqual(re.sub(r"\n +", "", done.stdout).count("x" * 199), 1)


class Checker(html.parser.HTMLParser):
    """Reads a page as HTML and keeps what is open."""

    VOID = {"meta", "br"}

    def __init__(self):
        super().__init__()
        self.open = []
        self.wrong = []
        self.levels = []

    def handle_starttag(self, tag, attrs):
        if tag not in self.VOID:
            self.open.append(tag)
        if re.fullmatch(r"h[1-6]", tag):
            self.levels.append(int(tag[1]))

    def handle_endtag(self, tag):
        if tag not in self.VOID and (not self.open or self.open.pop() != tag):
            self.wrong.append(tag)


class Html(unittest.TestCase):
    """The page is complete in itself, and programs read it as well as people."""

    def test_well_formed_with_headings_in_order(self):
        for engine in ENGINES:
            checker = Checker()
            checker.feed(sheet(engine, form="html"))
            checker.close()
            self.assertEqual((checker.wrong, checker.open), ([], []))
            self.assertEqual(checker.levels.count(1), 1)
            for before, after in zip(checker.levels, checker.levels[1:]):
                self.assertLessEqual(after, before + 1)

    def test_stands_alone(self):
        for engine in ENGINES:
            text = sheet(engine, form="html")
            for word in ("http:", "https:", "<script", "<link", "<img", "@import", "url(",
                         " src=", " href=", "javascript"):
                self.assertNotIn(word, text)
            root = page(engine)
            self.assertEqual(root.get("lang"), "en")
            for element in root.iter():
                self.assertFalse([name for name in element.keys() if name.startswith("on")])

    def test_drawings_have_words(self):
        for engine in ENGINES:
            root = page(engine)
            ids = [element.get("id") for element in root.iter() if element.get("id")]
            self.assertEqual(len(ids), len(set(ids)))
            for svg in root.iter("svg"):
                if svg.get("aria-hidden"):  # a sign of the legend, beside its words
                    continue
                title, description = svg.find("title"), svg.find("desc")
                self.assertEqual(svg.get("role"), "img")
                self.assertEqual(svg.get("aria-labelledby").split(),
                                 [title.get("id"), description.get("id")])
                self.assertTrue(title.text and description.text)

    def test_tables_have_scopes(self):
        for engine in ENGINES:
            headers = list(page(engine).iter("th"))
            self.assertTrue(headers)
            for header in headers:
                self.assertIn(header.get("scope"), ("row", "col"))

    def test_says_what_the_text_says(self):
        for engine in ENGINES:
            said = " ".join("".join(page(engine).find("body").itertext()).split())
            for line in ("Torque, at most", "Speed, at most", "Backlash", "Counts per rotor turn"):
                value = re.search(rf"  {line} +([^;]*);", sheet(engine).replace("\n", " "))[1]
                self.assertIn(" ".join(value.split()), said)

    def test_steps_are_those_of_stops(self):
        for engine in ENGINES:
            for device in (SLIPWAY, CAPSTAN):
                pads = {}
                for section in page(engine, device).iter("section"):
                    if has(section, "rounding"):
                        pads[section.find("h2").text.split()[-1]] = {
                            row.find("th").text: [cell.text for cell in row.iter("td")]
                            for row in section.find(".//tbody").iter("tr")
                            if row.find("th") is not None}
                for pair in stops(engine, device):
                    cells = pads[pair["pad"]].pop(pair["stage"])
                    step = str(pair["whole"])
                    if pair["num"]:
                        step += f" + {pair['num']}/{pair['den']}"
                    self.assertEqual(cells[0], step)
                    self.assertEqual(cells[1], decimal(Numbers.pitch(pair), 4))
                self.assertFalse(any(pads.values()))


class Wheels(unittest.TestCase):
    """A mark a blade, each at its place."""

    @staticmethod
    def angle(element):
        return float(re.match(r"rotate\((-?[\d.]+)\)", element.get("transform"))[1])

    def test_blades(self):
        for engine in ENGINES:
            content = definition(engine)
            spools = {spool["id"]: spool for spool in content["spools"]}
            turned = {pad["spool"] for pad in content["pads"]}
            stages = {stage["id"]: stage for stage in content["stages"]
                      if stage["spool"] in turned}
            wheels = drawings(page(engine), "wheel")
            self.assertEqual(len(wheels), len(stages))
            for wheel in wheels:
                stage = stages.pop(wheel.find("title").text.split(",")[0])
                with self.subTest(f"{engine} {stage['id']}"):
                    self.check(wheel, stage, sign(spools[stage["spool"]]["rotation"]))

    def check(self, wheel, stage, rotation):
        ports = stage.get("port", [])
        ports = ports if isinstance(ports, list) else [ports]
        places = [angle_of(port["clock"]) for port in ports]
        place = places[0] if places else 0
        growth = growth_of(stage["numbering"], rotation)
        paths = list(wheel.iter("path"))
        one = [path for path in paths if has(path, "one")]
        self.assertEqual([self.angle(path) for path in one], [place])
        blades = [self.angle(path) for path in paths if has(path, "blade") and path not in one]
        self.assertEqual(len(blades) + 1, stage["blades"])
        for index, angle in enumerate(blades, 1):
            wanted = place + growth * index * 360 / stage["blades"]
            self.assertAlmostEqual((angle - wanted + 180) % 360, 180, delta=0.0001)
        self.assertEqual([self.angle(path) for path in paths if has(path, "port")], places)
        self.check_arrows(wheel, rotation, growth, stage)
        if "clocking" in stage:
            number, unit = stage["clocking"].split()
            clocking = float(fractions.Fraction(number)) / (60 if unit == "arcmin" else 1)
            datum, = [self.angle(path) for path in paths if has(path, "datum")]
            self.assertAlmostEqual((datum + rotation * clocking - place + 180) % 360, 180,
                                   delta=0.0001)

    def check_arrows(self, wheel, rotation, growth, stage):
        mirrored = {}
        for group in wheel.iter("g"):
            for path in group:
                found = re.search(r"scale\((-?1) 1\)", group.get("transform", ""))
                if found:
                    mirrored[path.get("class")] = int(found[1])
        self.assertEqual(mirrored["grow"], growth)
        turn, = [path for path in wheel.iter("path") if has(path, "turn")]
        self.assertEqual(turn.get("d").split(" 0 1 ")[1][0], "1" if rotation > 0 else "0")
        if "port" not in stage:
            self.assertNotIn("pass", mirrored)
            return
        self.assertEqual(mirrored["pass"], rotation)
        following, = [text.text for text in wheel.iter("text") if has(text, "next")]
        self.assertEqual(int(following), 2 if growth != rotation else stage["blades"])


class Legend(unittest.TestCase):
    """Every shape on a sheet is in its legend, and no other."""

    def test_wheels(self):
        for engine in ENGINES:
            root = page(engine)
            legend, = [part for part in root.iter("ul") if has(part, "legend")]
            drawn = {name for wheel in drawings(root, "wheel") for name in self.shapes(wheel)}
            self.assertEqual(drawn - {"casing", "hub", "blade"},
                             {name for sign in legend for name in self.shapes(sign)} - {"blade"})
            for sign in legend:
                self.assertTrue("".join(sign.itertext()).strip())
        self.assertIn("port other", drawn_of("coulter-70"))
        self.assertNotIn("port other", drawn_of("quern-12"))

    @staticmethod
    def shapes(part):
        return {shape.get("class") for shape in part.iter()
                if shape.tag in ("path", "circle", "rect") and shape.get("class")}

    def test_gears(self):
        words = {"idler": ("external", 3), "bevel gear": ("bevel", 0), "ring": ("internal", 0),
                 "planets": ("epicyclic", 0), "direct coupling": ("direct", 0)}
        for engine in ENGINES:
            key = " ".join(part.text for part in page(engine).iter("p") if has(part, "key"))
            meshes = [mesh for pad in definition(engine)["pads"]
                      for mesh in [*pad.get("adapter", {}).get("path", []), *pad.get("path", [])]]
            kinds = {("direct", 0) if mesh == "direct" else (next(iter(mesh)), 0)
                     for mesh in meshes}
            kinds |= {("external", 3) for mesh in meshes
                      if "external" in mesh and len(mesh["external"]) > 2}
            for word, kind in words.items():
                wanted = kind in kinds or (word == "ring" and ("epicyclic", 0) in kinds)
                said = re.search(rf"\b{word}[.;,]", key) is not None
                self.assertEqual(said, wanted, f"{engine} {word}")


def drawn_of(engine):
    return {shape.get("class") for wheel in drawings(page(engine), "wheel")
            for shape in wheel.iter("path")}


class Gears(Scratch):
    """Gears to the scale of their teeth, in the order of the path."""

    @staticmethod
    def teeth_of(mesh):
        if isinstance(mesh, str):
            return []
        kind, value = next(iter(mesh.items()))
        if kind == "epicyclic":
            return [value["ring"], *[value["planet"]] * value["planets"], value["sun"]]
        value = value["teeth"] if isinstance(value, dict) else value
        return sorted(value, reverse=True) if kind == "internal" else value

    def test_teeth(self):
        for engine in ENGINES:
            strips = [item for item in page(engine).iter("ol") if has(item, "drive")]
            pads = definition(engine)["pads"]
            self.assertEqual(len(strips), len(pads))
            for strip, pad in zip(strips, pads):
                paths = [*pad.get("adapter", {}).get("path", []), *pad.get("path", [])]
                wanted = [self.teeth_of(mesh) for mesh in paths]
                meshes = [item for item in strip if has(item, "mesh")]
                drawn = [[circle for circle in mesh.iter("circle") if has(circle, "teeth")]
                         for mesh in meshes]
                self.assertEqual([[int(circle.get("pathLength")) // 2 for circle in row]
                                  for row in drawn], wanted)
                scales = {int(circle.get("r")) * 2 / int(circle.get("pathLength"))
                          for row in drawn for circle in row}
                self.assertLessEqual(len(scales), 1)
                self.assertEqual(len(strip), len(paths) + 3)

    def test_wheels_in_a_row_touch(self):
        first = next(svg for svg in drawings(page("quern-12"), "gear")
                     if svg.find("title").text == "external 24-35-47")
        wheels = [circle for circle in first.iter("circle") if has(circle, "teeth")]
        for left, right in zip(wheels, wheels[1:]):
            self.assertEqual(int(right.get("cx")) - int(left.get("cx")),
                             int(right.get("r")) + int(left.get("r")))

    def epicyclic(self, teeth, *rest):
        """The drawing of an epicyclic alone on a path, or before other meshes."""
        content = definition("dibble-3")
        content["observations"] = []
        pad = content["pads"][1]
        pad["path"] = [{"epicyclic": teeth}, *rest]
        turns = len(rest) + (teeth["held"] == "carrier")
        pad["rotation"]["sense"] = "cw" if turns % 2 else "ccw"
        done = run("sheet", "-d", SLIPWAY, "-f", "html",
                   self.write("dibble-3.engine.json", content))
        self.assertEqual(done.returncode, 0, done.stderr)
        root = ElementTree.fromstring(done.stdout.removeprefix("<!DOCTYPE html>"))
        return next(svg for svg in drawings(root, "gear") if "epicyclic" in svg.find("title").text
                    and f"ring {teeth['ring']}" in svg.find("title").text)

    def test_arrows_of_an_epicyclic_are_apart(self):
        """However small it is beside the other gears."""
        ways = [("sun", "carrier", "ring"), ("carrier", "sun", "ring"), ("ring", "sun", "carrier"),
                ("carrier", "ring", "sun")]
        for sun, planet in ((17, 31), (60, 12), (12, 12), (24, 36)):
            for rest in ((), ({"external": [400, 401]},)):
                for first, last, held in ways:
                    teeth = {"sun": sun, "planet": planet, "ring": sun + 2 * planet, "planets": 3,
                             "in": first, "out": last, "held": held}
                    with self.subTest(teeth=teeth, rest=rest):
                        self.check_apart(self.epicyclic(teeth, *rest))

    def check_apart(self, drawing):
        turns = [path for path in drawing.iter("path") if has(path, "turn")]
        heads = [path for path in drawing.iter("path") if has(path, "head")]
        radii = [int(re.search(r"A(\d+)", path.get("d"))[1]) for path in turns]
        reach = [abs(int(re.search(r"h(-?\d+)z", path.get("d"))[1])) // 2 for path in heads]
        self.assertEqual(len(radii), 2)
        (small, inner), (large, outer) = sorted(zip(radii, reach))
        self.assertGreaterEqual(large - outer, small + inner + 10)
        left, _, width, _ = map(int, drawing.get("viewBox").split())
        for path, radius, head in zip(turns, radii, reach):
            centre = int(re.match(r"M(-?\d+)", path.get("d"))[1])
            self.assertGreaterEqual(centre - radius - head, left)
            self.assertLessEqual(centre + radius + head, left + width)

    def test_arrows_turn_as_named(self):
        for engine in ENGINES:
            for item in page(engine).iter("li"):
                ways = [span.text for span in item.iter("span") if has(span, "way")]
                turns = [path for path in item.iter("path") if has(path, "turn")]
                if ways and not has(item, "mesh"):
                    self.assertEqual(self.sense(turns[-1]), ways[0].split(",")[0].rstrip("*"))
                elif ways and "direct" not in "".join(item.itertext()):
                    self.assertEqual(self.sense(turns[-1]), ways[0].split()[0])

    @staticmethod
    def sense(path):
        return "cw" if path.get("d").split(" 0 1 ")[1][0] == "1" else "ccw"


if __name__ == "__main__":
    unittest.main()
