"""What the tests of the setup sheet share: sheets of the demonstration, and a browser."""

import collections
import fractions
import functools
import html
import json
import os
import pathlib
import re
import subprocess
import tempfile
import unittest
import xml.etree.ElementTree as ElementTree

import yaml

import browser

HERE = pathlib.Path(__file__).resolve().parent
ROOT = HERE.parent.parent
DEMO = ROOT / "engines-demo"
EXPECTED = HERE / "expected"
UPDATE = os.environ.get("GOLDEN_UPDATE") == "1"
PROGRAM = pathlib.Path(os.environ.get("ROTORTAB", ROOT / "build" / "rotortab")).resolve()

SLIPWAY = DEMO / "devices" / "slipway-4.device.yaml"
CAPSTAN = DEMO / "devices" / "capstan-2.device.yaml"
ENGINES = {path.name.split(".")[0]: path for path in sorted((DEMO / "engines").glob("*.engine.*"))}


def run(*arguments, cwd=ROOT):
    return subprocess.run([PROGRAM, *arguments], cwd=cwd, capture_output=True, text=True,
                          check=False)


@functools.lru_cache(maxsize=None)
def sheet(engine, device=SLIPWAY, form="text"):
    """The sheet of a demonstration engine, or of the definition at a path."""
    done = run("sheet", "--device", device, "--format", form, ENGINES.get(engine, engine))
    if done.returncode != 0:
        raise AssertionError(done.stderr)
    return done.stdout


def page(engine, device=SLIPWAY):
    """The same as HTML, read as XML, which it must also be."""
    text = sheet(engine, device, "html")
    return ElementTree.fromstring(text.removeprefix("<!DOCTYPE html>"))


def has(element, name):
    return name in element.get("class", "").split()


def drawings(root, name):
    return [svg for svg in root.iter("svg") if has(svg, name)]


@functools.lru_cache(maxsize=None)
def _stops(engine, device):
    return run("stops", "--device", device, "--format", "json", ENGINES[engine]).stdout


def stops(engine, device=SLIPWAY):
    """The stops of all stages that a device turns."""
    return [pair for pair in json.loads(_stops(engine, device)) if pair["pad"]]


def definition(engine):
    return yaml.load(ENGINES[engine].read_text(encoding="utf-8"), yaml.CSafeLoader)


def decimal(value, places):
    """A fraction as the program shows it: half away from zero, no trailing noughts."""
    scaled = abs(fractions.Fraction(value)) * 10 ** places
    whole = int(scaled + fractions.Fraction(1, 2))
    text = f"{whole // 10 ** places}.{whole % 10 ** places:0{places}d}" if places else str(whole)
    text = text.rstrip("0").rstrip(".") if places else text
    return ("-" if value < 0 and whole else "") + text


def sign(rotation):
    """+1 for clockwise aft looking forward."""
    turned = rotation["view"] == "forward-looking-aft"
    return 1 if (rotation["sense"] == "cw") != turned else -1


def angle_of(clock):
    """Degrees from 12 o'clock, aft looking forward."""
    seen = clock if isinstance(clock, str) else clock["at"]
    hour, minute = seen.split(":")
    angle = int(hour) % 12 * 30 + int(minute) / 2
    return -angle % 360 if seen != clock and "forward-looking" in clock["view"] else angle


def growth_of(numbering, rotation):
    """+1 where the blade numbers rise clockwise, aft looking forward."""
    if isinstance(numbering, dict):
        return sign(numbering)
    return rotation if numbering == "with-rotation" else -rotation


class Scratch(unittest.TestCase):
    maxDiff = None

    def setUp(self):
        scratch = tempfile.TemporaryDirectory()
        self.addCleanup(scratch.cleanup)
        self.folder = pathlib.Path(scratch.name)

    def write(self, name, content):
        path = self.folder / name
        path.write_text(json.dumps(content, default=str), encoding="utf-8")
        return path


Word = collections.namedtuple("Word", "left top bottom text")  # on paper, in points


@browser.needed
class Browser(Scratch):
    """Pages as a browser shows and prints them."""

    def look(self, views, fallback=False):
        """
        What a browser shows of each (path, screen, scheme, whether axe is asked). `fallback`: with
        one font alone, which no style sheet names.
        """
        asked = [{"sheet": str(path), "screen": screen, "scheme": scheme, "axe": axe,
                  "pdf": str(pathlib.Path(path).with_suffix(".pdf"))}
                 for path, screen, scheme, axe in views]
        seen = browser.look(asked, fallback)
        for view in seen:
            if view["screen"] == "a4":
                view["paper"] = self.paper(view["sheet"], fallback)
        return seen

    def print(self, paths, fallback=False):
        """The same of sheets on paper, where axe is not asked."""
        return self.look([(path, "a4", "light", False) for path in paths], fallback)

    def paper(self, path, fallback):
        """The words of each page above its foot."""
        pdf = pathlib.Path(path).with_suffix(".pdf")
        fonts = subprocess.run(["pdffonts", pdf], capture_output=True, text=True, check=True).stdout
        self.assertEqual("Liberation" in fonts, not fallback, fonts)
        done = subprocess.run(["pdftotext", "-bbox", pdf, "-"], capture_output=True, text=True,
                              check=True)
        one = r'xMin="([\d.]+)" yMin="([\d.]+)" xMax="[\d.]+" yMax="([\d.]+)">(.*)</word>'
        pages = [[Word(float(left), float(top), float(bottom), html.unescape(text))
                  for left, top, bottom, text in re.findall(one, page)]
                 for page in done.stdout.split("<page ")[1:]]
        return [[word for word in page if word.bottom < self.FOOT] for page in pages]

    FOOT = 842 - 29  # where the margin with the page's number begins

    def check(self, view):
        self.assertEqual(view["asked"], 1)  # the page itself
        self.assertLessEqual(view["scroll"], 0)
        self.assertEqual(view["wide"], [])
        self.assertEqual((view["broken"], view["steps"]), ([], 0))
        self.assertEqual(view["cut"], [])
        self.assertEqual(view["faint"], [])
        self.assertEqual(view["violations"], [])
