"""The command slips against brute force: every slip made by another program, written and checked.

making.py makes the slips of a definition without the program.  They must be the slips that `slips`
makes, one for one.  Some of each kind, and in the whole run all, are then files in folders of their
own, each beside a copy of its cross-check.  One run of `check` judges them: it must find those that
`slips` calls found, and no others.  What passes is compiled and drawn too, for some: it must differ
from the definition, and what is harmless must not.
"""

import json
import os
import pathlib
import shutil
import subprocess
import sys
import tempfile
import unittest

import making

TESTS = pathlib.Path(__file__).resolve().parents[1]
sys.path[1:1] = [str(TESTS), str(TESTS / "property")]
import generate  # noqa: E402
import devices  # noqa: E402
import share  # noqa: E402

ROOT = TESTS.parent
DEMO = ROOT / "engines-demo"
PROGRAM = pathlib.Path(os.environ.get("ROTORTAB", ROOT / "build" / "rotortab")).resolve()
DEVICE = DEMO / "devices" / "slipway-4.device.yaml"
RANDOM = share.number(160, least=4)   # definitions
SHOWN = share.number(300, least=15)    # slips whose table and sheet are made
EACH = 4    # slips of each kind that are judged at least
ACROSS = {"id-taken", "slip-passes"}   # found over several files, or by slips itself


TWICE = {"cross-check-disagrees"}
OBSERVED = {"observation-disagrees", "observation-sense", "observation-order",
            "observation-together", "reference-unknown"}
CERTAIN = {"ratio-disagrees", "sense-disagrees", "ring-sum", "epicyclic-members"}
MADE = CERTAIN | {"ratio-swapped", "sense-unproven", "spool-unreached", "stage-missing",
                  "backs-off-axis"}


def run(folder, *arguments, statuses=(0, 1)):
    """Runs the program in a folder on a fixed day; its standard output."""
    done = subprocess.run([PROGRAM, *arguments], cwd=folder, capture_output=True, check=False,
                          env={**os.environ, "SOURCE_DATE_EPOCH": "1782043200", "NO_COLOR": "1"})
    if done.returncode not in statuses:
        raise AssertionError(f"{arguments}: status {done.returncode}: {done.stderr.decode()[:500]}")
    return done.stdout


def slips_of(folder, name, *options):
    """{(line, column, written): slip as slips has it}, and the whole object."""
    told = json.loads(run(folder, "slips", "--format", "json", *options, name))["definitions"][0]
    return {(value["line"], value["column"], slip["written"]): slip
            for value in told["values"] for slip in value["slips"]}, told


READ_TWICE = {"spools": ("id", "rotation", "max-speed", "turned-by", "never-backwards"),
              "stages": ("id", "spool", "role", "blades", "numbering", "port", "clocking",
                         "known-blades"),
              "pads": ("id", "spool", "faces", "rotation", "turns", "path", "drives", "square",
                       "torque-limit", "backlash", "adapter")}


def second_reading(source):
    """The cross-check of a reader who made no mistake, of a definition as values."""
    reading = {"cross-check": 1, "of": {"id": source["id"], "revision": source["revision"]},
               "read-from": "the same pages", "read-on": "2026-06-02"}
    for name, keys in READ_TWICE.items():
        parts = [{key: part[key] for key in keys if key in part} for part in source.get(name, [])]
        reading[name] = parts
    return json.dumps(reading)


def kind_of(slip):
    """What kind of slip it is, and what becomes of it."""
    return slip["slip"], slip["fate"], *slip["found_by"]


def weighty(found):
    """{folder: {(rule, pad, stage)}} of the errors and warnings that nobody waived."""
    by_folder = {}
    for finding in found:
        if finding["severity"] in ("error", "warning") and not finding.get("waived") \
                and finding["rule"] not in ACROSS:
            folder = finding["file"].split("/")[0]
            by_folder.setdefault(folder, set()).add(
                (finding["rule"], finding.get("pad"), finding.get("stage")))
    return by_folder


class Brute(unittest.TestCase):
    """Each slip as a file."""

    def setUp(self):
        self.folder = pathlib.Path(tempfile.mkdtemp(prefix="slips-"))
        self.addCleanup(shutil.rmtree, self.folder)
        (self.folder / "rotortab.policy.yaml").write_text("policy: 1\n")
        shutil.copy(DEVICE, self.folder)

    def judge(self, name, text, second=None, options=("--device", DEVICE.name)):
        """Compares slips with brute force over one definition; what slips said, and the texts."""
        texts = making.Definition(text).slips
        own = self.folder / "own"
        own.mkdir()
        (own / name).write_text(text)
        files = [f"own/{name}"]
        if second:
            (own / name.replace(".engine.", ".cross-check.")).write_text(second)
        told, whole = slips_of(self.folder, files[0], *options)
        self.assertEqual(set(told), set(texts), name)
        drawn = share.sample(texts, lambda slip: kind_of(told[slip]), EACH)
        for number, slip in enumerate(drawn):
            folder = self.folder / str(number)
            folder.mkdir()
            (folder / name).write_text(texts[slip])
            files.append(f"{number}/{name}")
            if second:
                (folder / name.replace(".engine.", ".cross-check.")).write_text(second)
        found = json.loads(run(self.folder, "check", "--format", "json", *options, *files))
        found = weighty(found["findings"])
        self.check_known(whole)
        known = found.get("own", set())
        for number, slip in enumerate(drawn):
            new = found.get(str(number), set()) - known
            with self.subTest(definition=name, slip=slip):
                self.assertEqual(told[slip]["fate"] == "found", bool(new), (told[slip], new))
        return told, whole, texts

    def check_known(self, whole):
        """How a value is said to be known, by the rules that find its slips.

        A rule can speak before the one that would tell: so a claim needs some rule of its kind. If
        rules that tell for sure find every slip, that needs the claim.
        """
        for value in whole["values"]:
            known = value["known"]
            own = value["written"].strip("'\"")
            slips = [slip for slip in value["slips"] if slip["written"].strip("'\"") != own]
            by = set().union(*(slip["found_by"] for slip in slips))
            quiet = any(slip["fate"] == "passed" for slip in slips)
            few = len(slips) < 3  # one change of a pair or a view can make no difference
            with self.subTest(engine=whole["id"], part=value["id"], key=value["key"],
                              by=sorted(by)):
                if TWICE & by:
                    self.assertTrue(known["read_twice"])
                elif known["read_twice"] and not few:
                    self.assertFalse(quiet)
                if not few and (known["observed"] or known["follows"]):
                    self.assertTrue(by & (OBSERVED | MADE))
                if slips and all(CERTAIN & set(slip["found_by"]) for slip in slips):
                    self.assertTrue(known["observed"] or known["follows"])

    def shown(self, name, text):
        """The table and the sheet of a definition, without what names its file's bytes."""
        own = self.folder / "shown"
        own.mkdir(exist_ok=True)
        (own / name).write_text(text)
        run(self.folder, "compile", "--drafts", "--device", DEVICE.name, "-o", "shown.rotor",
            f"shown/{name}", statuses=(0,))
        table = json.loads(run(self.folder, "show", "--format", "json", "shown.rotor"))
        for engine in table["engines"]:
            engine.pop("sha256")
        sheet = run(self.folder, "sheet", "--device", DEVICE.name, f"shown/{name}").decode()
        lines = [line for line in sheet.splitlines() if "SHA-256" not in line]
        return json.dumps(table, sort_keys=True), lines

    def check_shown(self, name, text, told, texts):
        """What passes shows somewhere, and what is harmless does not."""
        quiet = [slip for slip in texts if told[slip]["fate"] != "found"]
        before = self.shown(name, text)
        for slip in quiet[::max(1, len(quiet) // SHOWN)]:
            with self.subTest(definition=name, slip=slip):
                same = self.shown(name, texts[slip]) == before
                self.assertEqual(told[slip]["fate"] == "harmless", same, told[slip])


class Demo(Brute):
    """The demonstration."""

    def test_every_engine(self):
        paths = sorted((DEMO / "engines").glob("*.engine.yaml"))
        for path in share.sample(paths, least=3):
            second = path.with_name(path.name.replace(".engine.", ".cross-check."))
            told, whole, texts = self.judge(path.name, path.read_text(),
                                            second.read_text() if second.exists() else None)
            counts = whole["counts"]
            self.assertEqual(counts["made"], len(texts))
            self.assertEqual(counts["found"] + counts["harmless"] + sum(counts["passed"].values()),
                             len(texts))
            for folder in self.folder.iterdir():
                if folder.is_dir():
                    shutil.rmtree(folder)

    def test_what_passes_shows(self):
        path = DEMO / "engines" / "dibble-3.engine.yaml"
        told, _, texts = self.judge(path.name, path.read_text())
        self.check_shown(path.name, path.read_text(), told, texts)

    def test_without_device(self):
        path = DEMO / "engines" / "quern-12.engine.yaml"
        self.judge(path.name, path.read_text(), options=())


class Random(Brute):
    """Random definitions, without and with a second reader."""

    def test_random_definitions(self):
        for number in range(RANDOM):
            profile = devices.device(7, devices.device_number(number))
            source = generate.definition(7, number, profile)
            text = generate.definition_text(7, number, source)
            with self.subTest(number=number):
                second = second_reading(source) if number % 2 else None
                self.judge(f"{source['id']}.engine.yaml", text, second, options=())
            for folder in self.folder.iterdir():
                if folder.is_dir():
                    shutil.rmtree(folder)


if __name__ == "__main__":
    unittest.main()
