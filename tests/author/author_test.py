"""Commands for an author: new, explain, and the questions that stops answers.

The tests calculate the numbers again, with Python's fractions.
"""

import csv
import fractions
import io
import json
import os
import pathlib
import pty
import random
import re
import shutil
import signal
import subprocess
import sys
import tempfile
import unittest

import yaml

sys.path.insert(1, str(pathlib.Path(__file__).resolve().parents[1]))
import share  # noqa: E402

PROGRAM = str(pathlib.Path(os.environ.get("ROTORTAB", "build/rotortab")).resolve())
DEMO = pathlib.Path("engines-demo").resolve()
CAPSTAN = DEMO / "devices/capstan-2.device.yaml"
SLIPWAY = DEMO / "devices/slipway-4.device.yaml"
MATTOCK = DEMO / "engines/mattock-40.engine.yaml"
BILLHOOK = DEMO / "engines/billhook-8.engine.yaml"
QUERN = DEMO / "engines/quern-12.engine.yaml"

FILLED = {
    "name": "Harrow 20", "models": "Harrow 20", "revision": "1",
    "status": "draft", "source": "Invented for a test",
    "spools": "HP", "stages": "HPC-1,HPC-2", "pads": "crank",
    "spools/HP/rotation/sense": "cw", "spools/HP/rotation/view": "aft-looking-forward",
    "spools/HP/max-speed": "120 deg/min",
    "pads/crank/faces": "aft", "pads/crank/rotation/sense": "cw",
    "pads/crank/rotation/view": "facing-pad", "pads/crank/turns/pad": "2.2522",
    "pads/crank/turns/rotor": "1", "pads/crank/drives": "both",
    "pads/crank/torque-limit": "40 lbf.ft",
    "pads/crank/backlash": "1.2 deg",
    "pads/crank/path": "[external: [27, 44], bevel: {teeth: [31, 22], backs: [aft, up]}, "
                       "bevel: {teeth: [19, 37], backs: [down, aft]}]",
}
for stage, blades in (("HPC-1", "31"), ("HPC-2", "40")):
    FILLED.update({f"stages/{stage}/role": "compressor", f"stages/{stage}/blades": blades,
                   f"stages/{stage}/numbering": "against-rotation",
                   f"stages/{stage}/blade-one": "two locking lugs"})


class Author(unittest.TestCase):
    def setUp(self):
        self.scratch = tempfile.TemporaryDirectory()
        self.addCleanup(self.scratch.cleanup)
        self.folder = pathlib.Path(self.scratch.name)

    def run_program(self, *arguments, status=0, data=b""):
        done = subprocess.run([PROGRAM, *map(str, arguments)], cwd=self.folder, input=data,
                              capture_output=True, timeout=60, check=False)
        self.assertEqual(done.returncode, status, done.stdout + done.stderr)
        return done

    def text(self, *arguments, **more):
        return self.run_program(*arguments, **more).stdout.decode()


class New(Author):
    """A definition to fill in."""

    def sets(self, values):
        return [word for item in values.items() for word in ("--set", "=".join(item))]

    def test_is_valid_once_its_blanks_are_filled(self):
        self.run_program("new", "harrow-20", *self.sets(FILLED))
        done = self.run_program("check", "--strict", "harrow-20.engine.yaml")
        self.assertIn(b"0 errors, 0 warnings", done.stdout)

    def test_a_record_is_set_as_a_whole(self):
        sets = {key: value for key, value in FILLED.items()
                if not key.startswith(("pads/crank/turns", "pads/crank/rot", "spools/HP/rot"))}
        sets.update({"pads/crank/turns": "{pad: 2.2522, rotor: 1}",
                     "pads/crank/rotation": "{sense: cw, view: facing-pad}",
                     "spools/HP/rotation": "{sense: cw, view: aft-looking-forward}",
                     "pads/crank/adapter": "{square: 3/8 in, torque-limit: 30 lbf.ft, "
                                           "backlash: 0 deg}",
                     "stages/HPC-1/port": "{id: P1, clock: \"4:30\"}",
                     "stages/HPC-2/numbering": "{sense: ccw, view: aft-looking-forward}",
                     "observations": "[{pad: crank, counted: {pad: 22.5 +/- 0.1 rev, rotor: 10 "
                                     "rev}, seen: {pad: cw, rotor: cw}}]"})
        self.run_program("new", "harrow-20", *self.sets(sets))
        done = self.run_program("check", "--strict", "harrow-20.engine.yaml")
        self.assertIn(b"0 errors, 0 warnings", done.stdout)
        done = self.run_program("new", "x", "--set", "pads=crank", "--set", "pads/crank/turns=2",
                                status=2)
        self.assertIn(b'"turns" takes keys and values', done.stderr)

    def test_each_example_can_be_used(self):
        """Each commented example, without its marks, is read without a finding on its form."""
        for kind in ("engine-definition", "device-profile", "policy", "source-register"):
            bare = {"spools": "HP", "stages": "HPC-1", "pads": "crank"}
            text = self.text("new", "harrow-20", "--kind", kind, "-o", "-", *self.sets(
                bare if kind == "engine-definition" else {}))
            lines = text.split("\n")
            self.assertEqual("models:  # for example: [Harrow 20, Harrow 20A]" in lines,
                             kind == "engine-definition")
            starts = [i for i, line in enumerate(lines) if line.strip() == "# for example:"]
            if kind == "engine-definition":
                keys = {lines[i + 1].split(":")[0].strip("# ") for i in starts}
                self.assertLessEqual({"path", "observations", "port", "adapter", "waive",
                                      "known-blades", "before-turning"}, keys)
            for start in starts:
                used = list(lines)
                mark = used[start].index("#")
                for i in range(start + 1, len(lines)):
                    if i > start + 1 and not used[i][mark:].startswith("#   "):
                        break
                    used[i] = used[i][:mark] + used[i][mark + 2:]
                name = f"harrow-20.{kind.split('-')[0]}.yaml"
                (self.folder / name).write_text("\n".join(used))
                done = self.run_program("check", "--format", "json", name, status=1)
                found = {f["rule"] for f in json.loads(done.stdout)["findings"]
                         if f["family"] in ("text", "identity")}
                self.assertEqual(found, {"missing-key"}, (lines[start + 1], found))

    def test_no_blank_that_another_key_makes_pointless(self):
        hand = self.text("new", "x", "-o", "-", "--set", "spools=HP,LP",
                         "--set", "spools/LP/turned-by=hand")
        self.assertEqual(re.findall(r"(?m)^ +(.*max-speed:)", hand), ["max-speed:", "# max-speed:"])
        path = self.text("new", "x", "-o", "-", "--set", "pads=a,b",
                         "--set", "pads/b/path=[direct]")
        self.assertEqual(re.findall(r"(?m)^ +(.*turns:)$", path), ["turns:", "# turns:"])
        self.assertIn("# turns or path is needed; delete turns if only path is known\n", path)

    def test_every_blank_is_a_finding_that_says_what_belongs_there(self):
        self.run_program("new", "harrow-20", "--set", "spools=HP", "--set", "pads=crank")
        done = self.run_program("check", "--format", "json", "harrow-20.engine.yaml", status=1)
        report = json.loads(done.stdout)
        text = (self.folder / "harrow-20.engine.yaml").read_text()
        blanks = len(re.findall(r"(?m)^ *(?:- )?[a-z-]+:(?:  #.*)?$", text)) - len(
            re.findall(r"(?m)^ *(?:sources|spools|stages|pads|rotation|turns):$", text))
        missing = [f for f in report["findings"] if f["rule"] == "missing-key"]
        self.assertEqual(len(missing), blanks)
        self.assertEqual(len(missing), report["errors"])
        for finding in missing:
            self.assertRegex(finding["remedy"], r"^Write the value \(.+\)\.")
        self.assertTrue(any("Usually found in" in f["remedy"] for f in missing))

    def test_each_kind_can_be_begun(self):
        for kind, name in (("device-profile", "d.device.yaml"), ("policy", "p.policy.yaml"),
                           ("source-register", "s.sources.yaml")):
            self.run_program("new", name[0], "--kind", kind)
            self.assertTrue((self.folder / name).exists())
        done = self.run_program("new", "t", "--kind", "source-register")
        self.assertIn(b"only rotortab.sources.yaml is used", done.stderr)
        self.run_program("check", "p.policy.yaml")
        done = self.run_program("new", "rotortab", "--kind", "source-register")
        self.assertNotIn(b"is used", done.stderr)
        self.run_program("new", "x", "--kind", "engine", status=2)

    def test_never_overwrites(self):
        (self.folder / "x.engine.yaml").write_text("mine")
        self.run_program("new", "x", status=2)
        self.assertEqual((self.folder / "x.engine.yaml").read_text(), "mine")

    def test_refuses_what_is_no_id_and_no_setting(self):
        for bad in ("../x", "X", "a b", "-"):
            self.run_program("new", "--", bad, status=2)
        self.run_program("new", "x", "--set", "name", status=2)
        self.assertEqual(list(self.folder.iterdir()), [])

    def test_what_is_set_is_written_or_refused(self):
        for sets, said in (
                (["nmae=X"], "has no key nmae. Did you mean name?"),
                (["stages=A", "stages/B/blades=31"], "there is no B; add it to --set stages="),
                (["stages/B/blades=31"], "there is no B; add it to --set stages="),
                (["spools=HP", "spools/HP/rotaton/sense=cw"],
                 "Did you mean spools/HP/rotation/sense?"),
                (["pads=p", "pads/p/adapter/backlsh=1 deg"],
                 "Did you mean pads/p/adapter/backlash?"),
                (["quite-another=X"], "has no key quite-another\n"),
                (["id/a/b=X"], "has no key id/a/b"),
                (["spools=HP", "spools/HP/rotation=cw"], '"rotation" takes keys and values'),
                (["engine-definition=2"], "has no key engine-definition"),
                (["=X"], "--set takes KEY=VALUE, not =X"),
                (["id=other"], "the id is x already")):
            with self.subTest(sets):
                words = [word for item in ["name=N", *sets] for word in ("--set", item)]
                for output in ([], ["-o", "-"]):
                    done = self.run_program("new", "x", *words, *output, status=2)
                    self.assertIn(said, done.stderr.decode())
                    self.assertEqual(done.stdout, b"")
                self.assertEqual(list(self.folder.iterdir()), [])
        self.run_program("new", "x", "--set", "id=x", "--set", "name=N", "--set", "name=M")
        self.assertEqual(self.made("x.engine.yaml")["name"], "M")

    def refused(self, said, *sets):
        words = [word for item in sets for word in ("--set", item)]
        for output in ([], ["-o", "-"]):
            done = self.run_program("new", "x", *words, *output, status=2)
            self.assertIn(said, done.stderr.decode())
            self.assertEqual(done.stdout, b"")
            self.assertEqual(list(self.folder.iterdir()), [])

    def test_an_id_is_made_from_a_name(self):
        for name, example in (("Tarn 2", "; for example tarn-2\n"), ("a", None), ("x" * 61, "s\n"),
                              (" Tarn__2.b ", "; for example tarn-2-b\n"), ("T\u00e4rn", "s\n"),
                              (" _ ", "hyphens\n")):
            done = self.run_program("new", "-o", "-", name, status=2 if example else 0)
            self.assertTrue(done.stderr.decode().endswith(example or ""), done.stderr)

    def test_what_is_missing_is_named(self):
        for arguments, said in (
                (["--kind", "policy"], "by its id: rotortab new --kind policy windrow-9\n"),
                (["--kind", "x"], "by its id: rotortab new windrow-9\n"),
                ([], "The kinds for --kind: engine-definition (default), device-profile, policy, "),
                (["--cross-check"], "Name the definition that a second person reads.\n")):
            self.assertIn(said, self.run_program("new", *arguments, status=2).stderr.decode())

    def test_nothing_is_set_that_nobody_sees(self):
        for wrong in ("\x1b[31m", "a\nid: y", "a\rb", "a\tb", "\x7f", "\u0085", "\u2028",
                      "\N{RIGHT-TO-LEFT OVERRIDE}", "\N{ZERO WIDTH SPACE}", "\N{BOM}",
                      "\N{TAG LATIN SMALL LETTER A}", os.fsdecode(b"\xff"), os.fsdecode(b"\xc3")):
            self.refused("has an invisible character in it, or is not UTF-8", f"name=N{wrong}")
        self.refused("has an invisible character", "spools=H\x1bP", "spools/H\x1bP/max-speed=1")
        self.run_program("new", "x", "--set", "name=N\N{ZERO WIDTH JOINER}\N{RIGHT-TO-LEFT MARK}")

    def test_nothing_is_set_that_check_refuses(self):
        for said, *sets in (
                ("[wrong-shape]", "status=done"), ("[bad-number]", "revision=two"),
                ("[number-too-large]", f"revision={'9' * 30}"),
                ("[out-of-range]", f"name={'n' * 300}"), ("[wrong-shape]", "name= N"),
                ("[yaml-syntax]", "models=[A"), ("[alias-refused]", "models=[&a A]"),
                ("[hidden-character]", r'models=["a\u202eb"]'), ("[id-malformed]", "spools=H_P"),
                ("[missing-unit]", "spools=HP", "spools/HP/max-speed=120"),
                ("[reference-unknown]", "spools=HP", "pads=p", "pads/p/spool=LP"),
                ("[ratio-disagrees]", *("=".join(item) for item in
                                        dict(FILLED, **{"pads/crank/turns/pad": "9.1"}).items()))):
            self.refused(said, *sets)
        self.run_program("new", "d", "--kind", "device-profile", "--set", "name=", status=0)
        for kind, bad in (("device-profile", "counts-per-turn=none"),
                          ("policy", "rules={no-such-rule: error}")):
            self.run_program("new", "y", "--kind", kind, "--set", bad, status=2)
        self.assertEqual([path.name for path in self.folder.iterdir()], ["d.device.yaml"])

    def test_blanks_are_no_reason_to_refuse(self):
        values = list(FILLED.items())
        for filled in range(1, len(values)):
            self.run_program("new", "harrow-20", "-o", "-",
                             *self.sets({**dict(values[:filled]), **dict(values[4:7])}))

    def made(self, name):
        return yaml.load((self.folder / name).read_text(), yaml.CBaseLoader)

    def test_blanks_around_commas_are_no_part_of_an_id(self):
        text = self.text("new", "harrow-20", "-o", "-", "--set", "spools=HP , LP ", "--set",
                         "stages=A", "--set", "pads=crank")
        self.assertIn("  - id: HP\n", text)
        self.assertIn("  - id: LP\n", text)

    def test_lists_of_texts_take_commas(self):
        for value, expected in (("A,B", ["A", "B"]), ("Quern 12", ["Quern 12"]),
                                (' A: 1 ,"b", c', ["A: 1", '"b"', "c"]),
                                ("[A, 'B, C']", ["A", "B, C"])):
            with self.subTest(value):
                self.run_program("new", "x", "--set", f"models={value}")
                self.assertEqual(self.made("x.engine.yaml")["models"], expected)
                (self.folder / "x.engine.yaml").unlink()
        values = dict(FILLED, models="Harrow 20, Harrow 20B")
        self.run_program("new", "harrow-20", *self.sets(values))
        self.run_program("check", "--strict", "harrow-20.engine.yaml")

    def test_what_need_not_be_there_can_be_set(self):
        values = dict(FILLED, observations="[{pad: crank, seen: {pad: cw, rotor: cw}}]")
        values["stages/HPC-1/port"] = '{id: P1, clock: "4:30"}'
        values.update({"pads/crank/adapter/path": "[internal: [20, 60]]",
                       "pads/crank/adapter/faces": "aft", "pads/crank/adapter/backlash": "0.1 deg",
                       "pads/crank/adapter/torque-limit": "25 lbf.ft"})
        self.run_program("new", "harrow-20", *self.sets(values))
        made = self.made("harrow-20.engine.yaml")
        self.assertEqual(made["pads"][0]["adapter"]["path"], [{"internal": ["20", "60"]}])
        self.assertEqual(made["stages"][0]["port"]["clock"], "4:30")
        self.run_program("check", "harrow-20.engine.yaml")

    def test_a_policy_says_under_which_name_it_is_found(self):
        done = self.run_program("new", "--kind", "policy", "foo")
        self.assertIn(b"without that only rotortab.policy.yaml is used", done.stderr)
        done = self.run_program("new", "--kind", "policy", "foo", "-o", "rotortab.policy.yaml")
        self.assertNotIn(b"by itself", done.stderr)
        done = self.run_program("new", "rotortab", "--kind", "policy", "--set",
                                "rules={backlash-missing: error}", "-o", "-")
        self.assertIn(b"\nrules: {backlash-missing: error}\n", done.stdout)

    def test_help_says_where_it_writes(self):
        self.assertRegex(self.text("new", "--help"), "-o, --output FILE +the file to write")

    def test_values_are_quoted_where_yaml_wants_it(self):
        odd = 'a: "b" # \\c'
        self.run_program("new", "x", "--set", f"name={odd}")
        self.assertEqual(yaml.load((self.folder / "x.engine.yaml").read_text(),
                                   yaml.CBaseLoader)["name"], odd)

    def on_a_terminal(self, *pieces):
        """The output of `new x` on a terminal where these bytes are typed."""
        pid, terminal = pty.fork()
        if pid == 0:
            signal.signal(signal.SIGINT, signal.SIG_DFL)  # a program in the background ignores it
            signal.alarm(20)
            os.chdir(self.folder)
            os.execv(PROGRAM, [PROGRAM, "new", "x"])
        output = b""
        pending = list(pieces)
        while True:
            try:
                piece = os.read(terminal, 4096)
            except OSError:
                break
            output += piece
            if piece and pending:  # after the question
                os.write(terminal, pending.pop(0))
        os.waitpid(pid, 0)
        os.close(terminal)
        return output

    def test_nothing_is_left_of_what_is_interrupted(self):
        output = self.on_a_terminal(b"Harrow 20\n3\n", b"\x03")
        self.assertIn(b"name (", output)
        self.assertEqual(os.listdir(self.folder), [])

    def test_nothing_is_asked_for_a_file_that_is_there(self):
        (self.folder / "x.engine.yaml").write_text("mine\n")
        output = self.on_a_terminal()
        self.assertIn(b"x.engine.yaml exists already", output)
        self.assertNotIn(b"?", output)
        self.assertEqual((self.folder / "x.engine.yaml").read_text(), "mine\n")

    def test_asks_again_for_what_nobody_sees(self):
        self.on_a_terminal(b"Har\xe2\x80\x8brow\nHar\xffrow\nHarrow 20\nHarrow 20, Harrow 20A\n3\n"
                           b"\nbook\nHarrow line book\n12\n2025-03-01\nHP\n", b"cw\n\x04")
        made = yaml.load((self.folder / "x.engine.yaml").read_text(), yaml.CBaseLoader)
        self.assertEqual((made["name"], made["revision"]), ("Harrow 20", "3"))

    def test_asks_on_a_terminal(self):
        output = self.on_a_terminal(b"Harrow 20\nHarrow 20, Harrow 20A\n3\n\nbook\n"
                                    b"Harrow line book\n12\n2025-03-01\nHP\n", b"cw\n\x04")
        made = yaml.load((self.folder / "x.engine.yaml").read_text(), yaml.CBaseLoader)
        self.assertEqual((made["name"], made["revision"], made["status"]), ("Harrow 20", "3", ""))
        self.assertEqual(made["sources"], [{"id": "book", "document": "Harrow line book",
                                            "revision": "12", "date": "2025-03-01"}])
        self.assertEqual(made["models"], ["Harrow 20", "Harrow 20A"])
        self.assertEqual(made["spools"][0]["rotation"]["sense"], "cw")
        self.assertIn(b"whether the definition may be used: draft, released, withdrawn", output)


class Explain(Author):
    """The derivation of a number, line by line."""

    def test_ratio_mesh_by_mesh(self):
        text = self.text("explain", "-d", SLIPWAY, QUERN, "--stage", "HPC-1")
        ratio = fractions.Fraction(1)
        for mesh in re.findall(r"x (\d+/\d+) = [\d.]+ +so far (\d+/\d+)", text):
            ratio *= fractions.Fraction(mesh[0])
            self.assertEqual(ratio, fractions.Fraction(mesh[1]))
        self.assertEqual(str(ratio), re.search(r"G = (\S+) =", text)[1])
        counts = 2048 * 81 * ratio
        self.assertEqual(str(counts), re.search(r"K = counts x A x G = (\S+) =", text)[1])
        step = counts / 31
        whole = step.numerator // step.denominator
        self.assertIn(f"step {whole} + {step - whole} counts", text)
        for stop, count in re.findall(r"stop (\d+): .* to (\d+), off", text):
            exact = step * (int(stop) - 1)
            self.assertEqual(int(count), (2 * exact + 1).__floor__() // 2)

    def test_without_a_device_it_ends_with_the_sense(self):
        text = self.text("explain", QUERN)
        self.assertIn("proven by the path", text)
        self.assertNotIn("K =", text)

    def test_an_adapter_and_a_rounded_ratio(self):
        text = self.text("explain", "-d", SLIPWAY, DEMO / "engines")
        self.assertIn("device turns per pad turn through the adapter", text)
        self.assertIn("rounded: the stops are uncertain by", text)
        self.assertIn("proven by an observation", text)

    def test_backlash_with_the_numbers_that_are_used(self):
        calculated = 0
        for file in (DEMO / "broken/neighbour.engine.yaml", DEMO / "engines"):
            for line in re.findall("(?m)^  backlash: .*$", self.text("explain", "-d", SLIPWAY,
                                                                     file)):
                of = {key: fractions.Fraction(found[1]) if found else default
                      for key, pattern, default in (
                          ("pad", r"backlash: (?:at most )?([\d.]+) deg", None),
                          ("A", r"x A (\d\S*)", 1),
                          ("adapter", r"\+ (?:at most )?([\d.]+) deg .*of the adapter", 0),
                          ("counts", r"x (\d+) counts", None), ("up", r"up: (\d+)", None),
                          ("G", r"/ G ([\d.]+)", None), ("rotor", r": ([\d.]+) deg of rotor", None))
                      for found in [re.search(pattern, line)]}
                degrees = of["pad"] * of["A"] + of["adapter"]
                self.assertEqual(-(-degrees * of["counts"] // 360), of["up"], line)
                self.assertAlmostEqual(degrees / of["A"] / of["G"], of["rotor"], 5, line)
                self.assertEqual("of the adapter" in line, of["adapter"] != 0)
                calculated += of["adapter"] != 0
        self.assertGreater(calculated, 0)
        self.assertIn("+ at most 0.35 deg (written 0.3 deg) of the adapter", self.text(
            "explain", "-d", SLIPWAY, "-p", "starter", DEMO / "broken/neighbour.engine.yaml"))

    def test_a_spool_that_no_pad_turns(self):
        text = self.text("explain", QUERN, "--stage", "FAN")
        self.assertTrue(text.startswith("quern-12, spool LP\n  no pad turns it, so it has no ratio "
                                        "and no steps\n\nquern-12, read again\n"), text)
        self.assertRegex(text, r"\n\nquern-12, how its values are known\n"
                               r"(  (spool LP|stage FAN), .*\n)+$")
        self.assertIn("quern-12, spool LP\n", self.text("explain", QUERN))

    def test_what_is_not_there(self):
        profile = DEMO / "devices" / "skiff-1.device.yaml"
        for words, why in (
                ((QUERN, "--stage", "HPC-99"), "there is no stage HPC-99; there are FAN, LPT-1, "),
                ((QUERN, "--pad", "none"), "there is no pad none; there is crank\n"),
                ((DEMO / "engines", "--pad", "none"), "there is no pad none\n"),
                ((QUERN, "-p", "crank", "-s", "FAN"), "pad crank does not turn stage FAN\n"),
                ((DEMO / "engines", "-p", "crank", "-s", "FAN"),
                 "no definition has a pad crank that turns a stage FAN\n"),
                ((profile,), "there is no engine definition to explain\n")):
            done = self.run_program("explain", *words, status=2)
            self.assertEqual(done.stdout, b"")
            self.assertIn(why, done.stderr.decode())


class Stops(Author):
    """Which blade is where, and when."""

    def setUp(self):
        super().setUp()
        self.engine = yaml.load(BILLHOOK.read_text(), yaml.CBaseLoader)

    def stops(self, *more):
        return json.loads(self.text("stops", "-d", SLIPWAY, BILLHOOK, *more, "--format", "json"))

    def test_from_a_blade_on(self):
        (whole,) = self.stops("-s", "C-1")
        (part,) = self.stops("-s", "C-1", "-b", 5)
        order = [s["blade"] for s in whole["stops"]]
        at = order.index(5)
        self.assertEqual([s["blade"] for s in part["stops"]], order[at:] + order[:at])
        self.assertEqual([s["count"] for s in part["stops"]], [s["count"] for s in whole["stops"]])
        self.assertEqual(self.stops("-s", "C-1", "-b", 1), [whole])

    def test_pauses_add_up(self):
        (plain,) = self.stops("-s", "C-1")
        (paused,) = self.stops("-s", "C-1", "--pause", 7)
        for i, (one, other) in enumerate(zip(plain["stops"], paused["stops"])):
            self.assertAlmostEqual(one["time_s"] + 7 * i, other["time_s"], places=3)

    def test_csv_has_the_same_numbers(self):
        rows = list(csv.DictReader(io.StringIO(
            self.text("stops", "-d", SLIPWAY, BILLHOOK, "-s", "C-1", "--format", "csv"))))
        (whole,) = self.stops("-s", "C-1")
        self.assertEqual([(int(r["blade"]), int(r["count"]), r["pad_deg"], r["error_counts"])
                          for r in rows],
                         [(s["blade"], s["count"], s["pad_deg"], s["error_counts"])
                          for s in whole["stops"]])

    def test_the_blade_at_a_count(self):
        (whole,) = self.stops("-s", "C-1")
        counts = fractions.Fraction(whole["counts_per_rotor_turn"])
        for count in (0, 1, 21802, 21803, 43605, 1002917, -1, -21803, 987654321):
            with self.subTest(count):
                (answer,) = self.stops("-s", "C-1", "--at-count", count)
                steps = {j: (2 * j * counts / 23 + 1).__floor__() // 2
                         for j in range(int(count * 23 / counts) - 3, int(count * 23 / counts) + 4)}
                nearest = max(steps, key=lambda j: (-abs(count - steps[j]), j))
                self.assertEqual(answer["off_counts"], count - steps[nearest])
                self.assertEqual(answer["blade"], whole["stops"][nearest % 23]["blade"])
                self.assertEqual(fractions.Fraction(answer["off_deg"]),
                                 360 * (count - steps[nearest]) / counts)

    def angle(self, stage, port=0):
        """The rotor angle with blade one at the port: p - clocking, with -p for a ccw rotor."""
        ports = stage["port"] if isinstance(stage["port"], list) else [stage["port"]]
        hours, minutes = map(int, ports[port]["clock"].split(":"))
        p = 30 * (hours % 12) + fractions.Fraction(minutes, 2)
        self.assertEqual(self.engine["spools"][0]["rotation"]["sense"], "ccw")
        self.assertEqual(self.engine["spools"][0]["rotation"]["view"], "aft-looking-forward")
        number, unit = stage["clocking"].split()
        degrees = {"deg": 1, "rev": 360, "arcmin": fractions.Fraction(1, 60)}[unit]
        return -p - fractions.Fraction(number) * degrees

    def test_carried_over_to_other_stages(self):
        stages = {s["id"]: s for s in self.engine["stages"]}
        for blade in (1, 2, 23):
            answers = self.stops("--carry", f"C-1:{blade}")
            self.assertEqual(len(answers), 4)
            for answer in answers:
                to = stages[answer["stage"]]
                self.assertEqual(to["numbering"], "with-rotation")
                port = [p["id"] for p in (to["port"] if isinstance(to["port"], list)
                                          else [to["port"]])].index(answer["port"])
                pitch = fractions.Fraction(360, int(to["blades"]))
                step = fractions.Fraction(360, 23)
                ahead = (self.angle(stages["C-1"]) + (1 - blade) * step
                         - self.angle(to, port)) % 360
                nearest = ((2 * ahead / pitch + 1).__floor__() // 2)
                self.assertEqual(answer["blade"], (-nearest) % int(to["blades"]) + 1)
                self.assertEqual(fractions.Fraction(answer["off_deg"]), ahead - nearest * pitch)

    def rows(self, *more):
        return list(csv.DictReader(io.StringIO(self.text("stops", *more, "--format", "csv"))))

    def test_csv_of_the_other_questions(self):
        for more in (["-d", SLIPWAY, BILLHOOK, "--at-count", "-777"],
                     ["-d", CAPSTAN, QUERN, "--at-count", "611324138"],
                     ["-d", SLIPWAY, MATTOCK, "--at-count", "25000000"],
                     [BILLHOOK, "--carry", "C-1:2"]):
            with self.subTest(more):
                answers = json.loads(self.text("stops", *more, "--format", "json"))
                self.assertEqual(self.rows(*more), [
                    {key: "" if value is None else str(value) for key, value in answer.items()}
                    for answer in answers])
                self.assertEqual(list(self.rows(*more)[0]), list(answers[0]))

    def test_csv_has_what_json_has_of_each_stop(self):
        coulter = DEMO / "engines" / "coulter-70.engine.yaml"
        for more in (["-d", CAPSTAN, QUERN], [QUERN, "-s", "FAN"], ["-d", SLIPWAY, coulter],
                     ["-d", SLIPWAY, BILLHOOK, "--pass", "N1", "--pause", "9"],
                     ["-d", SLIPWAY, coulter, "--pass", "HP"], [QUERN, "--pass", "LP"]):
            with self.subTest(more):
                rows = iter(self.rows(*more))
                for answer in json.loads(self.text("stops", *more, "--format", "json"),
                                         parse_float=str):
                    for stop in answer["stops"]:
                        both = {**answer, **stop}
                        row = next(rows)
                        self.assertEqual(row, {
                            key: "" if both.get(key) is None else str(both[key]) for key in row})
                self.assertIsNone(next(rows, None))

    def test_a_pause_counts_once_at_each_count(self):
        ask = ["--pass", "N1", "--port", "A", "--port", "C", "--port", "D"]
        (plain,), (paused,) = self.stops(*ask), self.stops(*ask, "--pause", 7)
        counts = []
        for one, other in zip(plain["stops"], paused["stops"]):
            counts += [one["count"]] if one["count"] not in counts else []
            late = 7 * (len(counts) - 1)
            self.assertAlmostEqual(one["time_s"] + late, other["time_s"], places=3)
        self.assertEqual(len(plain["stops"]), 23 + 37 + 37)

    def test_the_other_port_of_a_stage_without_clocking(self):
        text = re.sub("(?m)^ *clocking:.*$", "", BILLHOOK.read_text())
        (self.folder / BILLHOOK.name).write_text(text)
        carried = self.text("stops", "--carry", "C-3:1:D", "-s", "C-3", BILLHOOK.name)
        self.assertRegex(carried, "while blade 1 of C-3 is at D: blade 25 of C-3 at C, "
                                  "1.0135 .* beyond")
        done = self.run_program("stops", "--carry", "C-3:1:D", BILLHOOK.name)
        self.assertEqual(done.stdout.decode(), carried)
        self.assertIn(b"3 answers are missing; stage C-3 has no clocking", done.stderr)
        done = self.run_program("stops", "--pass", "N1", "-b", "C-3:1:D", "-d", SLIPWAY,
                                "--format", "json", BILLHOOK.name)
        self.assertEqual({(s["stage"], s["port"]) for s in json.loads(done.stdout)[0]["stops"]},
                         {("C-3", "C"), ("C-3", "D")})
        self.assertIn(b"3 answers are missing; stage C-3 has no clocking", done.stderr)

    def test_the_sign_of_the_counter(self):
        for device, sign, way in ((SLIPWAY, "-", "down"), (CAPSTAN, "+", "up")):
            for more in (["-s", "C-1"], ["--pass", "N1"]):
                text = self.text("stops", "-d", device, BILLHOOK, *more)
                self.assertIn(f"   count ({sign})", text)
                self.assertIn(f"the device counts {way} in the normal direction", text)

    def test_what_comes_on_top_in_a_pass(self):
        coulter = DEMO / "engines" / "coulter-70.engine.yaml"
        text = self.text("stops", "-d", SLIPWAY, coulter, "--pass", "HP", "-p", "starter")
        self.assertIn("find blade one again if the rotor ran on", text)
        # 0.8 deg and half a unit at the pad, over the ratio 41/30 * 26/33 * 35/22
        ratio = fractions.Fraction(41 * 26 * 35, 30 * 33 * 22)
        self.assertEqual(round(float(fractions.Fraction("0.85") / ratio), 3), 0.496)
        self.assertIn("backlash comes on top of the error of each stop: at most 0.5 deg", text)
        self.assertNotIn("ratio is rounded", text)
        text = self.text("stops", "-d", SLIPWAY, coulter, "--pass", "HP", "-p", "crank")
        self.assertNotIn("ran on", text)
        text = self.text("stops", "-d", SLIPWAY, MATTOCK, "--pass", "HP")
        # 0.0005 of 4.1265: 0.0436 deg, rounded up
        self.assertIn("after this turn a stop is uncertain by at most 0.1 deg", text)
        (self.folder / MATTOCK.name).write_text(
            re.sub("(?m)^ *backlash: .*$", "", MATTOCK.read_text()))
        text = self.text("stops", "-d", SLIPWAY, MATTOCK.name, "--pass", "HP")
        self.assertIn("the backlash is not known, and comes on top", text)

    def test_a_rotor_that_must_not_turn_backwards_by_hand(self):
        text = QUERN.read_text().replace("turned-by: hand", "turned-by: hand\n    never-backwards: "
                                         "yes")
        (self.folder / QUERN.name).write_text(text)
        for more in (["-s", "FAN"], ["--pass", "LP"]):
            self.assertIn("never turn it backwards", self.text("stops", *more, QUERN.name))
            self.assertNotIn("backwards", self.text("stops", *more, QUERN))

    def test_the_blade_at_a_count_from_another_blade(self):
        (whole,) = self.stops("-s", "C-1", "-b", 7)
        for stop in whole["stops"]:
            (answer,) = self.stops("-s", "C-1", "-b", 7, "--at-count", stop["count"] - 3)
            self.assertEqual((answer["blade"], answer["off_counts"], answer["from_blade"]),
                             (stop["blade"], -3, 7))
        text = self.text("stops", "-d", SLIPWAY, "-s", "HPC-1", "-b", 7, "--at-count", 16227, QUERN)
        self.assertIn("from its own blade 7: blade 8 of HPC-1 at P1, 0 counts, exactly", text)

    def drifting(self, counts, blades, numbering="against-rotation"):
        """A device that repeats whole steps, directly on the rotor, and an engine for it."""
        profile = re.sub(r"counts-per-motor-turn: \d+", f"counts-per-motor-turn: {counts}",
                         CAPSTAN.read_text())
        profile = re.sub(r"reduction: .*", "reduction: {motor: 10, output: 10}", profile)
        profile = profile.replace("blades: 200", "blades: 999").replace("capstan-2", "drifter")
        (self.folder / "drifter.device.yaml").write_text(profile)
        engine = yaml.load(QUERN.read_text(), yaml.CBaseLoader)
        del engine["observations"]
        engine["id"] = "drifts"
        engine["spools"] = engine["spools"][:1]
        engine["stages"] = [{"id": "ROW", "spool": "HP", "role": "compressor", "blades": blades,
                             "numbering": numbering}]
        engine["pads"][0].update(path=[{"external": [89, 97]}], backlash="0.01 deg")
        del engine["pads"][0]["turns"]
        (self.folder / "drifts.engine.yaml").write_text(json.dumps(engine))
        (self.folder / "rotortab.policy.yaml").write_text(json.dumps(
            {"policy": 1, "limits": {"closure": "100 %", "counts-few": 1}}))
        return ["-d", "drifter.device.yaml", "drifts.engine.yaml"]

    def test_the_blade_at_a_count_where_whole_steps_drift(self):
        chance = random.Random(4960)
        for _ in range(share.number(25, least=6)):
            turn = chance.randrange(9000, 60000)
            blades = chance.randrange(3, int((2 * turn) ** 0.5))   # closes within a pitch
            falling = chance.random() < 0.5
            files = self.drifting(turn, blades, "with-rotation" if falling else "against-rotation")
            counts = turn * fractions.Fraction(97, 89)
            whole = (2 * counts / blades + 1).__floor__() // 2
            first = chance.randrange(1, blades + 1)

            def blade(step):
                return (first - 1 + (-step if falling else step)) % blades + 1
            for count in (0, 1, whole, -whole, chance.randrange(10 ** 6),
                          chance.randrange(-10 ** 12, 10 ** 12)):
                with self.subTest(turn=turn, blades=blades, first=first, count=count):
                    (answer,) = json.loads(self.text("stops", *files, "-b", first, "--at-count",
                                                     count, "--format", "json"))
                    step = (2 * count * blades / counts + 1).__floor__() // 2
                    off = count - step * counts / blades
                    own = (2 * fractions.Fraction(count, whole) + 1).__floor__() // 2
                    self.assertLessEqual(abs(off), counts / blades / 2)
                    self.assertEqual(answer["blade"], blade(step))
                    self.assertEqual(fractions.Fraction(answer["off_deg"]), 360 * off / counts)
                    self.assertLessEqual(abs(answer["off_counts"] - off), fractions.Fraction(1, 2))
                    self.assertEqual(answer["device_blade"], blade(own))
                    self.assertEqual(answer["device_off_counts"], count - own * whole)

    def test_a_drift_is_told_with_the_answer(self):
        text = self.text("stops", "-d", CAPSTAN, "-s", "HPC-3", "--at-count", 611324138, QUERN)
        self.assertRegex(text, r"blade 1 of HPC-3 at P3, 0\.069 counts, 0\.000028 deg of rotor "
                               "beyond")
        self.assertRegex(text, r"by its own count it is at blade 53, 6816 counts beyond its stop")
        self.assertRegex(text, r"find blade one again after 52 rotor turns; this count is 700\n")
        text = self.text("stops", "-d", CAPSTAN, "-s", "HPC-5", "--at-count", 13035 * 67 * 52,
                         QUERN)
        self.assertIn("blade 1 of HPC-5 at P5, 1289.754 counts, 0.531662 deg of rotor beyond", text)
        self.assertEqual(len(self.text("stops", "-d", CAPSTAN, "-s", "HPC-5", "--at-count", 0,
                                       QUERN).splitlines()), 1)

    def test_a_rounded_ratio_leaves_the_blade_open(self):
        ask = ["stops", "-d", SLIPWAY, "-s", "HPC-7", MATTOCK, "--at-count"]
        ratio, half = fractions.Fraction("4.127"), fractions.Fraction("0.0005")
        (whole,) = json.loads(self.text(*ask[:-1], "--format", "json"))
        turn, blades = fractions.Fraction(whole["counts_per_rotor_turn"]), whole["blades"]
        for count in (0, 1000, -4000000, 12000000, 37170000, 37173000, 50000000):
            with self.subTest(count):
                uncertain = 360 * half / (ratio - half) * abs(count) / turn
                open_ = uncertain > fractions.Fraction(180, blades)
                text = self.text(*ask, count, "--format", "json", status=2 if open_ else 0)
                (answer,) = json.loads(text)
                self.assertEqual(fractions.Fraction(answer["uncertain_deg"]), uncertain)
                self.assertEqual(answer["blade"] is None, open_)
                self.assertEqual(answer["off_deg"] is None, open_)
                beside = "the blade beside it" in self.text(*ask, count, status=2 if open_ else 0)
                self.assertEqual(beside, not open_ and uncertain + abs(fractions.Fraction(
                    answer["off_deg"])) > fractions.Fraction(180, blades))
        done = self.run_program(*ask, 50000000, status=2)
        self.assertIn(b"no blade of HPC-7 can be named", done.stdout)
        self.assertIn(b"at this count the blade at the port is not certain", done.stderr)

    def test_says_what_is_the_matter(self):
        device = ["-d", SLIPWAY]
        for more, reason in (
                ([*device, "-s", "HPC-1", "-b", "32"],
                 "stage HPC-1 has 31 blades, so there is no blade 32"),
                ([*device, "-s", "HPC-1", "-b", "32", "--at-count", "5"],
                 "stage HPC-1 has 31 blades, so there is no blade 32"),
                (["--carry", "HPC-1:32"], "stage HPC-1 has 31 blades, so there is no blade 32"),
                (["--carry", "FAN:1"], "stage FAN has no clocking and no port"),
                (["--carry", "HPC-1:1"], "stage HPC-2 has no clocking"),
                (["--carry", "FAN:1", "-p", "crank"],
                 "stage FAN is on spool LP, which pad crank does not turn"),
                (["--carry", "HPC-1:1", "-s", "FAN"],
                 "stage HPC-1 is on spool HP, stage FAN on LP"),
                (["--carry", "HPC-1:1", "-s", "HPC-1"], "stage HPC-1 has no other port"),
                (["--carry", "HPC-1:1:T9"], "stage HPC-1 has no port T9"),
                (["--carry", "HPC-1:1", "--port", "T9"], "there is no port T9"),
                (["--carry", "HPC-9:1"], "there is no stage HPC-9"),
                (["--carry", "HPC-1:1", "-s", "HPC-9"], "there is no stage HPC-9"),
                (["--carry", "HPC-1:1", "-p", "none"], "there is no pad none"),
                ([*device, "-s", "FAN", "--at-count", "1"],
                 "stage FAN is on spool LP, which no pad turns"),
                ([*device, "-s", "FAN", "--pause", "1"],
                 "spool LP is turned by hand, so there are no times for --pause"),
                (["-s", "FAN", "-b", "23"], "stage FAN has 22 blades, so there is no blade 23"),
                ([], "stops needs --device FILE"),
                (["-s", "FAN", "-p", "crank"], "stops needs --device FILE"),
                (["-s", "HPC-1"], "spool HP is turned through pad crank, so its counts depend"),
                (["--pass", "HP"], "spool HP is turned through pad crank, so its counts depend"),
                ([*device, "--port", "T9"],
                 "there is no port T9; there are L1, L2, P1, P2, P3, P4, P5, T1\n"),
                ([*device, "--port", "P1", "--port", "T9"], "there is no port T9; "),
                ([*device, "--pass", "IP"], "there is no spool IP"),
                ([*device, "--pass", "HP", "-s", "none"], "there is no stage none"),
                ([*device, "--pass", "HP", "--port", "T9"], "there is no port T9"),
                ([*device, "--pass", "HP", "-b", "FAN:1"], "stage FAN is on spool LP, not on HP"),
                ([*device, "--pass", "HP", "-b", "ROW:1"], "there is no stage ROW"),
                ([*device, "--pass", "HP", "-b", "HPC-1:32"],
                 "stage HPC-1 has 31 blades, so there is no blade 32"),
                ([*device, "--pass", "HP", "-b", "HPC-1:1:P2"], "stage HPC-1 has no port P2"),
                ([*device, "--pass", "HP", "-b", "HPC-2:1", "-s", "HPC-1"],
                 "stage HPC-2 has no clocking"),
                ([*device, "--pass", "LP", "-p", "crank"], "pad crank does not turn spool LP"),
                (["--pass", "LP", "--pause", "1"], "there are no times for --pause"),
                (["--pass", "LP", "-s", "FAN"], "spool LP has no stage with a port"),
                ([*device, "--pass", "HP", "--at-count", "5"], "--pass and --at-count cannot"),
                (["--carry", "HPC-1:1", "--pass", "HP"], "--pass and --carry cannot"),
                ([*device, "-b", "HPC-1:1"], "--from-blade takes a stage only with --pass"),
                ([*device, "-s", "FAN", "-p", "crank"],
                 "stage FAN is on spool LP, which pad crank does not turn"),
                ([*device, "-s", "none"], "there is no stage none; there are FAN, LPT-1, LPT-2, "),
                ([*device, "-p", "none"], "there is no pad none; there is crank"),
                (["--carry", "HPC-1:1", "--at-count", "5"], "--carry and --at-count cannot"),
                (["--carry", "HPC-1:1", "-b", "5"], "--carry and --from-blade cannot be used"),
                (["--carry", "HPC-1:1", "--pause", "5"], "--carry and --pause cannot be used"),
                ([*device, "--at-count", "1", "--pause", "5"],
                 "--at-count and --pause cannot be used together")):
            with self.subTest(more):
                done = self.run_program("stops", QUERN, *more, status=2)
                self.assertIn(reason, done.stderr.decode())

    def test_stages_that_are_left_out_are_told(self):
        done = self.run_program("stops", "-d", SLIPWAY, QUERN, "-b", 54, "--format", "json")
        self.assertEqual([a["stage"] for a in json.loads(done.stdout)],
                         ["HPC-4", "HPC-5", "HPT-1", "LPT-1", "LPT-2"])
        self.assertIn(b"4 answers are missing; stage HPC-1 has 31 blades", done.stderr)

    def test_what_cannot_be_asked(self):
        for wrong in (["--pass", "N1", "-b", "C-1:"], ["--pass", "N1", "-b", ":1"],
                      ["--pass", "N1", "-b", "C-1:1:"], ["--pass", "N1", "-b", "C-1:10000"],
                      ["--carry", "C-1"], ["--carry", "C-1:0"], ["--carry", "C-9:1"],
                      ["--carry", "C-1:24"], ["--at-count", "x"], ["-b", "0"], ["-b", "9999"],
                      ["--pause", "-1"], ["--pause", "99999999999999999999"]):
            with self.subTest(wrong):
                self.run_program("stops", "-d", SLIPWAY, BILLHOOK, *wrong, status=2)
        shutil.copy(QUERN, self.folder)
        text = re.sub("(?m)^ *clocking:.*$", "", (self.folder / QUERN.name).read_text())
        (self.folder / QUERN.name).write_text(text)
        done = self.run_program("stops", QUERN.name, "--carry", "HPC-1:1", status=2)
        self.assertIn(b"clocking", done.stderr)


if __name__ == "__main__":
    unittest.main()
