"""The record: pages to fill in, a row for each blade, as text, HTML and CSV.

Numbers are compared with `stops`. browser_test.py looks at the pages.
"""

import csv
import fractions
import functools
import io
import json
import pathlib
import re
import sys
import unittest
import xml.etree.ElementTree as ElementTree

import yaml

HERE = pathlib.Path(__file__).resolve().parent
sys.path.insert(1, str(HERE))
from sheets import (CAPSTAN, DEMO, ENGINES, SLIPWAY, Scratch, decimal, definition,  # noqa: E402
                    has, run)

FIELDS = ("engine,revision,pad,stage,port,blade,count,device_count,pad_deg,rotor_deg,known_by,"
          "finding,remark,engine_serial,date,inspector,at_the_stop").split(",")
TO_FILL_IN = ("finding", "remark", "engine_serial", "date", "inspector", "at_the_stop")


@functools.cache
def record(source, *more, form="text", device=SLIPWAY):
    done = run("sheet", "--record", "-d", device, "-f", form, *more, source)
    if done.returncode != 0:
        raise AssertionError(done.stderr)
    return done.stdout


def rows_of(text):
    return list(csv.DictReader(io.StringIO(text, newline="")))


def root_of(text):
    return ElementTree.fromstring(text.removeprefix("<!DOCTYPE html>"))


def pages_of(root):
    return [part for part in root.iter("section") if has(part, "page")]


def said(part):
    return " ".join("".join(part.itertext()).split())


def all_stops(source, device=SLIPWAY):
    """By stage and pad (an empty text by hand): the stops, as `stops` shows them in CSV."""
    found = {}
    for row in rows_of(run("stops", "-d", device, "-f", "csv", source).stdout):
        found.setdefault((row["pad"], row["stage"]), []).append(row)
    return found


class Command(Scratch):
    def test_what_does_not_go_together(self):
        quern = ENGINES["quern-12"]
        for words, why in (
                (("-f", "csv", quern), "CSV is for a record: add --record"),
                (("--stage", "HPC-1", quern), "add --record, or leave them out"),
                (("--pad", "crank", quern), "add --record, or leave them out"),
                (("--record", "-o", self.folder, quern), "a record is for one engine"),
                (("--record", DEMO / "engines"), "choose one with --engine ID"),
                (("--record", "--stage", "HPC-9", quern),
                 "there is no stage HPC-9; there are FAN, "),
                (("--record", "--pad", "top", quern), "there is no pad top; there is crank\n"),
                (("--record", "--pad", "crank", "--stage", "FAN", quern),
                 "no stage FAN is turned through pad crank\n")):
            done = run("sheet", "-d", SLIPWAY, *words)
            self.assertEqual((done.returncode, done.stdout), (2, ""), words)
            self.assertIn(why, done.stderr)
        self.assertEqual(list(self.folder.iterdir()), [])

    def test_chooses_stages_and_pads(self):
        coulter = ENGINES["coulter-70"]
        everything = rows_of(record(coulter, form="csv"))
        for words, wanted in ((("--stage", "HPC-1"), lambda row: row["stage"] == "HPC-1"),
                              (("--stage", "LPT-2"), lambda row: row["stage"] == "LPT-2"),
                              (("--pad", "crank"), lambda row: row["pad"] == "crank"),
                              (("--pad", "crank", "--stage", "HPC-2"),
                               lambda row: (row["pad"], row["stage"]) == ("crank", "HPC-2"))):
            rows = rows_of(record(coulter, *words, form="csv"))
            self.assertEqual(rows, [row for row in everything if wanted(row)])
            self.assertTrue(rows)
            titles = re.findall(r"(?m)^RECORD: ", record(coulter, *words))
            self.assertEqual(len(titles), len({(row["pad"], row["stage"]) for row in rows}))

    def test_writes_a_file_or_nothing(self):
        path = self.folder / "record.csv"
        done = run("sheet", "--record", "-d", SLIPWAY, "-f", "csv", "-o", path,
                   "-e", "quern-12", DEMO / "engines")
        self.assertEqual((done.returncode, done.stdout), (0, ""))
        self.assertEqual(path.read_text(encoding="utf-8"),
                         record(ENGINES["quern-12"], form="csv"))
        path.write_text("as it was")
        done = run("sheet", "--record", "-d", SLIPWAY, "-f", "csv", "-o", path,
                   DEMO / "broken" / "ratio-swapped.engine.yaml")
        self.assertEqual(done.returncode, 1)
        self.assertEqual(path.read_text(), "as it was")


    def test_numbers_that_do_not_fit(self):
        """Through this adapter, a count near a whole turn is no degree in 64 bits."""
        content = definition("winnow-16")
        content["pads"][0]["adapter"] = {"path": [{"external": [251, 127]}] * 6,
                                         "square": "3/8 in", "torque-limit": "500 N.m",
                                         "backlash": "0 deg"}
        path = self.folder / "record.csv"
        done = run("sheet", "--record", "-d", SLIPWAY, "-f", "csv", "-o", path,
                   self.write("winnow-16.engine.json", content))
        self.assertEqual(done.returncode, 2)
        self.assertIn("the exact numbers of a stop do not fit 64 bits", done.stderr)
        self.assertFalse(path.exists())


class Numbers(unittest.TestCase):
    """Every blade, in the order of `stops`, with its numbers."""

    def test_csv(self):
        for device in (SLIPWAY, CAPSTAN):
            for engine, source in ENGINES.items():
                wanted = all_stops(source, device)
                revision = str(definition(engine)["revision"])
                found = {}
                rows = rows_of(record(source, form="csv", device=device))
                for row in rows:
                    self.assertEqual(list(row), FIELDS)
                    self.assertEqual([row[name] for name in TO_FILL_IN], [""] * 6)
                    self.assertEqual((row["engine"], row["revision"]), (engine, revision))
                    found.setdefault((row["pad"], row["stage"]), []).append(row)
                self.assertEqual(list(found), list(wanted))
                for key, stops in wanted.items():
                    self.check(found[key], stops)

    def check(self, rows, stops):
        same = ("blade", "port", "count", "device_count", "known_by")
        rounded = ("pad_deg", "rotor_deg")
        self.assertEqual([[row[name] for name in same + rounded] for row in rows],
                         [[stop[name] for name in same]
                          + [stop[name] and self.rounded(stop[name]) for name in rounded]
                          for stop in stops])

    @staticmethod
    @functools.cache
    def rounded(exact):
        return decimal(fractions.Fraction(exact), 3)

    def test_html_and_text_have_the_same_rows(self):
        for engine, source in ENGINES.items():
            wanted = {}
            for row in rows_of(record(source, form="csv")):
                degrees = row["pad_deg"] or row["rotor_deg"]
                wanted.setdefault((row["pad"], row["stage"]), []).append(
                    [row["blade"] + " *" * bool(row["known_by"]),
                     *([row["count"]] if row["pad"] else []), degrees])
            self.assertEqual(self.html_rows(source), list(wanted.values()), engine)
            self.assertEqual(self.text_rows(source), list(wanted.values()), engine)

    @staticmethod
    def html_rows(source):
        stages = []
        for page in pages_of(root_of(record(source, form="html"))):
            if "page 1 of" in said(page):
                stages.append([])
            for row in page.find("table/tbody"):
                cells = [cell.text or "" for cell in row]
                if cells[-2:] != ["", ""]:
                    raise AssertionError(cells)
                stages[-1].append(cells[:-2])
        return stages

    @staticmethod
    def text_rows(source):
        stages = []
        for line in record(source).splitlines():
            if line.startswith("RECORD: "):
                stages.append([])
            found = re.fullmatch(r" {2,6}(\d+)(\*| ) {1,12}(\d*) +([\d.]+)  _{33}  _{22}", line)
            if found:
                cells = [found[1] + found[2].replace("*", " *").rstrip(), found[3], found[4]]
                stages[-1].append([cell for cell in cells if cell])
        return stages

    def test_blade_one_again(self):
        for source in ENGINES.values():
            stops = json.loads(run("stops", "-d", SLIPWAY, "-f", "json", source).stdout)
            asked = re.findall(r"Blade one again, at (?:count (\d+)|360 deg): is it at the port\?",
                               record(source))
            wanted = []
            for pair in stops:
                if pair["pad"]:
                    turn = pair["whole"] * pair["den"] + pair["num"]
                    turn = turn * pair["blades"] + pair["den"] // 2
                    wanted.append(str(turn // pair["den"]))
                else:
                    wanted.append("")
            self.assertEqual(asked, wanted)


class Words(Scratch):
    """What comes before the rows."""

    def both(self, source, *more):
        return [" ".join(re.sub(r"<[^>]*>", " ", record(source, *more, form=form)
                                .split("</head>")[-1]).replace("&#39;", "'").split())
                for form in ("text", "html")]

    def test_cautions_come_before_the_rows(self):
        for engine in ENGINES:
            for text in self.both(ENGINES[engine], "--stage",
                                  definition(engine)["stages"][0]["id"]):
                places = [text.find(words) for words in
                          ("current manual, local rules and licensed staff decide",
                           "isolate its starting and ignition", "Move the probe clear",
                           "One person holds the stop", "Start at low torque", "Blade one",
                           "Order", " Remark ", "Blade one again")]
                self.assertNotIn(-1, places)
                self.assertEqual(places, sorted(places))

    def test_cover_and_seal_are_of_a_pad(self):
        for text in self.both(ENGINES["quern-12"], "--stage", "HPC-1"):
            self.assertIn("Put the cover and the seal of the pad back.", text)
            self.assertIn("Torque, at most 40 lbf.ft (54.2 N.m)", text)
            self.assertIn("the device counts down in the normal direction", text)
        for text in self.both(ENGINES["quern-12"], "--stage", "LPT-1"):
            self.assertNotIn("seal of the pad", text)
            self.assertNotIn("Torque", text)
            self.assertIn("Turn the spool cw, seen aft looking forward", text)

    def test_what_stands_out_comes_first(self):
        content = definition("coulter-70")
        content["spools"][0]["never-backwards"] = "yes"
        content["status"] = "draft"
        content["before-turning"] = ["Wait an hour after shutdown."]
        content["spools"][0]["before-turning"] = ["Lock the fan against wind."]
        content["pads"][0]["before-turning"] = ["Ten turns at most without oil."]
        content["pads"][0]["backlash"] = "5 deg"
        content["waive"] = [{"rule": "backlash-large", "because": "x", "until": "2099-01-31"}]
        path = self.write("coulter-70.engine.json", content)
        first = "The engine manufacturer's current manual"
        for stage, sentences in (
                ("LPT-1", ("Wait an hour after shutdown.", "Lock the fan against wind.",
                           "Draft: this definition is not released",
                           "Never turn spool LP backwards. It is turned by hand",
                           "There are open findings: read them on the setup sheet.")),
                ("HPC-1", ("Wait an hour after shutdown.", "Ten turns at most without oil.",
                           "Draft: this definition", "There are open findings",
                           "One way only: an overrunning clutch"))):
            for text in self.both(path, "--stage", stage):
                places = [text.find(words) for words in (*sentences, first)]
                self.assertNotIn(-1, places)
                self.assertEqual(places, sorted(places))
                other = "Ten turns" if stage == "LPT-1" else "Lock the fan"
                self.assertNotIn(other, text)
        for text in self.both(ENGINES["quern-12"], "--stage", "HPC-1"):
            for words in ("Draft", "Never turn", "open findings", "One way"):
                self.assertNotIn(words, text)

    def test_ports_and_known_blades(self):
        for text in self.both(ENGINES["winnow-16"]):
            self.assertRegex(text, r"Known blades, \* \d+, \w+")
        for text in self.both(ENGINES["coulter-70"], "--stage", "HPT-1", "--pad", "crank"):
            self.assertIn("Port T1 at 2:00 Other port T2 at 6:00, farther by", text)
            self.assertIn("Other port T3 at 10:00, farther by", text)
        for text in self.both(ENGINES["quern-12"], "--stage", "FAN"):
            self.assertIn("Port not given", text)

    def test_a_note(self):
        content = definition("quern-12")
        content["stages"][0]["note"] = "shrouds in segments of three"
        path = self.write("quern-12.engine.json", content)
        for text in self.both(path, "--stage", content["stages"][0]["id"]):
            self.assertIn("Note shrouds in segments of three", text)

    def test_width(self):
        for source in ENGINES.values():
            for line in record(source).splitlines():
                self.assertLessEqual(len(line), 100, line)
                self.assertEqual(line, line.rstrip())

    def test_room_to_write(self):
        """In the text, an empty line after each row."""
        lines = record(ENGINES["quern-12"]).splitlines()
        for index, line in enumerate(lines):
            if line.endswith("_" * 22) and "_" * 33 in line:
                self.assertEqual(lines[index + 1], "")


class Hostile(Scratch):
    """Texts that would do more than be read."""

    NAME = "</title></style><script>alert(1)</script>"
    MARK = "\"><img src=x onerror='alert(2)'> & <b>\N{RIGHT-TO-LEFT MARK}evil"
    FORMULAS = ("=HYPERLINK(\"http://x\")", "+1+1", "-2", "@SUM(A1)", "a,\"b\"",
                "\N{FULLWIDTH EQUALS SIGN}1")

    def setUp(self):
        super().setUp()
        content = definition("quern-12")
        content["name"] = self.NAME
        stage = content["stages"][3]
        stage["blade-one"] = self.MARK
        stage["note"] = self.MARK + " x" * 60
        stage["known-blades"] = [{"blade": index + 5, "how": how}
                                 for index, how in enumerate(self.FORMULAS)]
        self.stage = stage["id"]
        device = yaml.safe_load(SLIPWAY.read_text(encoding="utf-8"))
        device["name"] = self.NAME
        device["limits"].update({"text-bytes": 250, "text": "utf-8"})
        self.device = self.write("slipway-4.device.json", device)
        self.path = self.write("quern-12.engine.json", content)

    def test_csv(self):
        text = record(self.path, "--stage", self.stage, form="csv", device=self.device)
        rows = rows_of(text)
        known = {row["blade"]: row["known_by"] for row in rows if row["known_by"]}
        self.assertEqual(sorted(known), sorted(str(index + 5)
                                               for index in range(len(self.FORMULAS))))
        for index, how in enumerate(self.FORMULAS):
            cell = known[str(index + 5)]
            self.assertEqual(cell.lstrip("'").strip(), how.strip())
            if not how.startswith("a"):
                self.assertTrue(cell.startswith("'"), cell)
        for row in rows:
            for name, cell in row.items():
                if name != "known_by" and not re.fullmatch(r"-?[\d.]*", cell):
                    self.assertNotRegex(cell, r"^[=+@-]")

    def test_html(self):
        text = record(self.path, form="html", device=self.device)
        root = root_of(text)
        self.assertEqual({element.tag for element in root.iter()} & {"script", "img"}, set())
        for word in ("<script", "<img"):
            self.assertNotIn(word, text)
        self.assertIn(self.MARK, ["".join(cell.itertext()) for cell in root.iter("strong")])
        self.assertIn(self.NAME, said(root.find(".//h1")))

    def test_text(self):
        text = record(self.path, device=self.device)
        self.assertLessEqual(max(map(len, text.splitlines())), 100)
        self.assertEqual(text.count("RECORD: "), len(definition("quern-12")["stages"]))


class Html(unittest.TestCase):
    def test_pages_are_numbered_by_stage(self):
        for source in ENGINES.values():
            pages = pages_of(root_of(record(source, form="html")))
            before = None
            for page in pages:
                foot, = [part for part in page.iter("p") if has(part, "foot")]
                name, index, count = re.fullmatch(r"(.*), page (\d+) of (\d+)",
                                                  foot.find("b").text).groups()
                if index == "1":
                    self.assertTrue(before is None or before[1] == before[2], before)
                else:
                    self.assertEqual((name, str(int(index) - 1), count), before)
                before = (name, index, count)
            self.assertEqual(before[1], before[2])

    def test_stands_alone(self):
        for engine, source in ENGINES.items():
            text = record(source, form="html")
            for word in ("http:", "https:", "<script", "<link", "<img", "@import", "url(",
                         " src=", " href=", "javascript"):
                self.assertNotIn(word, text)
            root = root_of(text)
            self.assertEqual(len(list(root.iter("h1"))), 1)
            ids = [element.get("id") for element in root.iter() if element.get("id")]
            self.assertEqual(len(ids), len(set(ids)), engine)
            for page in pages_of(root):
                self.assertEqual([field.text for field in page.findall("dl[@class='fields']//dt")],
                                 ["Engine serial", "Date", "Inspector", "At the stop"])


if __name__ == "__main__":
    unittest.main()
