"""The list of all engines, as text, JSON and CSV, compared with the definitions themselves."""

import csv
import fractions
import io
import json
import pathlib
import subprocess
import sys
import unittest

HERE = pathlib.Path(__file__).resolve().parent
sys.path.insert(1, str(HERE))
import sheets  # noqa: E402
from sheets import DEMO, ENGINES, PROGRAM, SLIPWAY, definition  # noqa: E402

WITHDRAWN = DEMO / "broken" / "withdrawn.engine.yaml"


def index(*arguments, status=0):
    """What `index` prints; it must end with the status."""
    done = subprocess.run([PROGRAM, "index", *arguments], capture_output=True, text=True,
                          check=False)
    if done.returncode != status:
        raise AssertionError(f"status {done.returncode}: {done.stderr}")
    return done.stdout


def listed(*arguments):
    return json.loads(index("-f", "json", *arguments))


def table(*arguments):
    return list(csv.DictReader(io.StringIO(index("-f", "csv", *arguments)), strict=True))


class Scratch(sheets.Scratch):
    """Has a folder for definitions."""

    def engine(self, content):
        return self.write(f"{content['id']}.engine.json", content)


class Facts(unittest.TestCase):
    """Each fact of the definitions is in the list, in every form."""

    def test_json_says_what_the_definitions_say(self):
        found = listed(DEMO / "engines")
        self.assertEqual(len(found), len(ENGINES))
        self.assertEqual([engine["id"] for engine in found],
                         sorted(engine["id"] for engine in found))
        for name in ENGINES:
            content = definition(name)
            engine, = [engine for engine in found if engine["id"] == name]
            for key in ("name", "models", "revision", "status"):
                self.assertEqual(engine[key], content[key], name)
            self.assertEqual([spool["id"] for spool in engine["spools"]],
                             [spool["id"] for spool in content["spools"]])
            for spool in engine["spools"]:
                self.check_spool(spool, content)

    def check_spool(self, spool, content):
        self.assertEqual(
            spool["stages"], [{key: stage[key] for key in ("id", "role", "blades")}
                              for stage in content["stages"] if stage["spool"] == spool["id"]])
        pads = [pad for pad in content["pads"] if pad["spool"] == spool["id"]]
        self.assertEqual([pad["id"] for pad in spool["pads"]], [pad["id"] for pad in pads])
        for pad, wanted in zip(spool["pads"], pads):
            limit = pad["torque_limit"]
            self.assertEqual(fractions.Fraction(limit["value"]),
                             fractions.Fraction(wanted["torque-limit"].split()[0]))
            self.assertEqual(limit["unit"], wanted["torque-limit"].split()[1])
            turns = [fractions.Fraction(pad["pad_turns_per_rotor_turn"][end])
                     for end in ("lo", "hi")]
            self.assertLessEqual(turns[0], turns[1])
            self.assertEqual(turns[0] == turns[1], "path" in wanted, pad["id"])

    def test_csv_says_what_json_says(self):
        rows = []
        for engine in listed(DEMO / "engines"):
            for spool in engine["spools"]:
                for pad in spool["pads"] or [None]:
                    rows.append((engine["id"], engine["name"], ", ".join(engine["models"]),
                                 str(engine["revision"]), engine["status"], spool["id"],
                                 pad["id"] if pad else "",
                                 ", ".join(f"{stage['id']} {stage['blades']}"
                                           for stage in spool["stages"])))
        names = ("engine", "name", "models", "revision", "status", "spool", "pad", "stages")
        found = table(DEMO / "engines")
        self.assertEqual([tuple(row[name] for name in names) for row in found], rows)
        for row in found:
            filled = [bool(row[name]) for name in ("pad", "turns_lo", "turns_hi", "torque",
                                                   "torque_unit")]
            self.assertEqual(len(set(filled)), 1, row)

    def test_the_ratio_of_a_book_is_an_interval(self):
        row, _ = table(DEMO / "engines" / "mattock-40.engine.yaml")
        self.assertEqual((row["turns_lo"], row["turns_hi"]), ("4.1265", "4.1275"))
        self.assertIn("4.1265 to 4.1275", index(DEMO / "engines" / "mattock-40.engine.yaml"))

    def test_with_a_device_the_torque_is_that_of_its_sheet(self):
        for engine in listed("-d", SLIPWAY, DEMO / "engines"):
            text = sheets.sheet(engine["id"])
            for spool in engine["spools"]:
                for pad in spool["pads"]:
                    part = text.split(f"Pad {pad['id']} turns")[1]
                    value = fractions.Fraction(pad["torque_limit"]["value"])
                    first = part.split("Torque, at most")[1].split()[:2]
                    self.assertEqual((fractions.Fraction(first[0]), first[1]),
                                     (value, pad["torque_limit"]["unit"]))

    def test_the_order_of_the_files_does_not_matter(self):
        for form in ("text", "json", "csv"):
            paths = list(ENGINES.values())
            self.assertEqual(index("-f", form, *paths), index("-f", form, *reversed(paths)))
            self.assertEqual(index("-f", form, "-j", "1", *paths), index("-f", form, *paths))


class Which(Scratch):
    """Which definitions are in the list."""

    def test_withdrawn_ones_with_their_status(self):
        found = listed(WITHDRAWN)
        self.assertEqual([engine["status"] for engine in found], ["withdrawn"])
        self.assertIn(", withdrawn: ", index(WITHDRAWN))

    def test_none_with_errors(self):
        broken = DEMO / "broken" / "ratio-swapped.engine.yaml"
        done = subprocess.run([PROGRAM, "index", broken, WITHDRAWN, *ENGINES.values()],
                              capture_output=True, text=True, check=False)
        self.assertEqual(done.returncode, 1)
        self.assertIn("[ratio-swapped]", done.stderr)
        self.assertIn("1 definition with an error is not in the list", done.stderr)
        self.assertNotIn("\nratio-swapped,", done.stdout)
        self.assertIn(f"\n{len(ENGINES) + 1} engines\n", done.stdout)

    def test_an_empty_list(self):
        self.assertEqual(listed(SLIPWAY), [])
        self.assertEqual(table(SLIPWAY), [])
        self.assertIn("\n0 engines\n", index(SLIPWAY))

    def test_three_hundred(self):
        content = definition("coulter-70")
        for number in range(300):
            self.engine({**content, "id": f"coulter-{number}", "name": f"Coulter {number}",
                        "models": [f"Coulter {number}"]})
        self.assertEqual(len(listed(self.folder)), 300)
        self.assertIn("\n300 engines\n", index(self.folder))


class Text(Scratch):
    """The list for people."""

    def test_width(self):
        for line in index(DEMO / "engines").splitlines():
            self.assertLessEqual(len(line), 100)
            self.assertEqual(line, line.rstrip())

    def test_a_stage_and_its_blades_are_on_one_line(self):
        text = index(DEMO / "engines")
        self.assertNotIn("\N{NO-BREAK SPACE}", text)
        for name in ENGINES:
            for stage in definition(name)["stages"]:
                self.assertIn(f"{stage['id']} {stage['blades']}", text)

    def test_long_ids_give_the_stages_a_line(self):
        content = definition("quern-12")
        for named, key in [(content["pads"][0], "id"),
                           *((seen, "pad") for seen in content["observations"] if "pad" in seen)]:
            named[key] = "P" * 60
        text = index(self.engine(content))
        self.assertLessEqual(max(map(len, text.splitlines())), 100)
        self.assertIn("\n      HPC-1 31, HPC-2 43, ", text)
        self.assertEqual([line for line in text.splitlines() if line != line.rstrip()], [])

    def test_many_models_are_wrapped(self):
        content = definition("quern-12")
        content["models"] = [f"Quern \N{LATIN SMALL LETTER A WITH DIAERESIS}{number}"
                             for number in range(60)]
        text = index(self.engine(content))
        self.assertLessEqual(max(map(len, text.splitlines())), 100)
        self.assertEqual(" ".join(text.split()).count("Quern \xe4"), 60)


class Hostile(Scratch):
    """Texts that would do more than be read."""

    FORMULAS = ["=cmd|' /C calc'!A0", "+1+1", "-2+3", "@SUM(1,2)", "\N{FULLWIDTH EQUALS SIGN}1+1"]

    def test_a_spreadsheet_calculates_nothing(self):
        content = definition("quern-12")
        for formula in self.FORMULAS:
            path = self.engine({**content, "name": formula, "models": [formula]})
            for row in table(path):
                for name in ("name", "models"):
                    self.assertEqual(row[name], "'" + formula)
            self.assertEqual(listed(path)[0]["name"], formula)

    def test_quotes_and_commas_stay_in_their_cell(self):
        content = definition("quern-12")
        name = 'one "two", three; four'
        path = self.engine({**content, "name": name, "models": [name, '"']})
        for row in table(path):
            self.assertEqual(row["name"], name)
            self.assertEqual(row["models"], name + ', "')
            self.assertIn(row["spool"], ("HP", "LP"))
        self.assertEqual(listed(path)[0]["models"], [name, '"'])


if __name__ == "__main__":
    unittest.main()
