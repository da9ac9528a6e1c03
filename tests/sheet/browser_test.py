"""Pages in a browser: the setup sheet, the record, the start page, and the picture in README.md.

On A4 with usual and other fonts, on a desk and on a telephone. All tests that need a browser are
here: to start one takes longer than to look at several pages.

It is skipped without what `make deps-sheet` installs.
"""

import pathlib
import re
import sys
import tempfile
import unittest

import yaml

HERE = pathlib.Path(__file__).resolve().parent
sys.path[1:1] = [str(HERE), str(HERE.parent)]
import browser  # noqa: E402
import folder_test  # noqa: E402
import record_test  # noqa: E402
import share  # noqa: E402
import sheet_test  # noqa: E402
from picture_test import PICTURE  # noqa: E402
from sheets import DEMO, ENGINES, SLIPWAY, Browser, definition, run, sheet  # noqa: E402


class Sheet(Browser):
    """In a browser: on A4, on a desk and on a telephone, light and dark."""

    # Three pads and twenty stages; two pads; little to print; an internal mesh.
    SHEETS = ("coulter-70", "dibble-3", "billhook-8", "quern-12")
    SMALLEST = 8  # pixels of a number in a drawing
    LEAST = {"engine": 10, "rest": 8, "drawing": 7}  # points on paper, by what the text is for
    FULL = 0.25  # of a page, at least
    PAGES = {"coulter-70": 5, "dibble-3": 3, "hostile": 4}  # two for all others
    WIDER = {"quern-12": 3}  # in another font, whose letters are wider
    NONE = "coulter-70 skiff-1"  # more stages than the device holds

    VIEWS = [(screen, scheme) for screen in ("telephone", "desk") for scheme in ("light", "dark")]
    VIEWS.append(("a4", "light"))

    def check(self, view):
        super().check(view)
        self.assertGreaterEqual(view["smallest"], self.SMALLEST)

    def check_paper(self, view, pages):
        self.assertLessEqual(view["pages"], pages)
        for kind, size in self.LEAST.items():
            found = view["least"][kind]
            self.assertGreaterEqual(found["size"], size - 0.01, found["text"])
        for words in view["paper"]:
            self.assertGreaterEqual(max(word.bottom for word in words), self.FULL * self.FOOT)

    def test_looks_right(self):
        paths = []
        for engine in self.SHEETS:
            paths.append(self.folder / f"{engine}.html")
            paths[-1].write_text(sheet(engine, form="html"), encoding="utf-8")
        hostile = sheet_test.Hostile("test_html")
        hostile.setUp()
        self.addCleanup(hostile.doCleanups)
        paths.append(self.folder / "hostile.html")
        paths[-1].write_text(run("sheet", "-d", hostile.device, "-f", "html",
                                 hostile.path).stdout, encoding="utf-8")
        views = [(path, *view, True) for path in paths for view in self.VIEWS]
        for view in self.look(share.sample(views, kind=lambda view: view[1])):
            name = pathlib.Path(view["sheet"]).stem
            with self.subTest(f"{name} {view['screen']} {view['scheme']}"):
                self.check(view)
                if view["screen"] == "a4":
                    self.check_paper(view, self.PAGES.get(name, 2))

    def test_prints_on_few_pages(self):
        """Every engine of the demonstration on every device that holds it; then another font."""
        devices = sorted((DEMO / "devices").glob("*.device.yaml"))
        pairs = [(self.folder / f"{engine} {device.name.split('.')[0]}.html", source, device)
                 for engine, source in ENGINES.items() for device in devices]
        samples = {False: share.sample(pairs, kind=lambda pair: pair[0].stem == self.NONE, least=2),
                   True: share.sample(pairs)}
        for fallback, sample in samples.items():
            paths = []
            for path, source, device in sample:
                done = run("sheet", "-d", device, "-f", "html", "-o", path, source)
                self.assertEqual(done.returncode != 0, path.stem == self.NONE, done.stderr)
                paths += [path] if done.returncode == 0 else []
            for view in self.print(paths, fallback):
                name = pathlib.Path(view["sheet"]).stem
                with self.subTest(name, fallback=fallback):
                    self.check(view)
                    engine = name.split()[0]
                    pages = self.PAGES.get(engine, 2)
                    self.check_paper(view, self.WIDER.get(engine, pages) if fallback else pages)

    def test_the_order_on_paper(self):
        """Cautions, pads, stages; then what is rounded, and where it all comes from."""
        path = self.folder / "quern-12.html"
        path.write_text(sheet("quern-12", form="html"), encoding="utf-8")
        view, = self.print([path])
        said = " ".join(word.text for page in view["paper"] for word in page)
        places = [said.find(words) for words in
                  ("Before anything turns", "Torque, at most", "Stages of spool HP", "Blade one:",
                   "Order:", "turned by hand", "Steps through pad crank", "Measured on",
                   "Where these numbers")]
        self.assertEqual(places, sorted(places))
        self.assertNotIn(-1, places)

    def test_larger_engines_take_six_at_most(self):
        """Four pads and thirty stages, more than any device of the demonstration holds."""
        engine = definition("coulter-70")
        stages = {stage["id"]: stage for stage in engine["stages"]}
        for base, count in (("HPC-6", 6), ("IPC-7", 4)):
            for index in range(count):
                name = f"{base[0]}{index}"
                engine["stages"].append({**stages[base], "id": name, "blades": 85 + 2 * index,
                                         "port": {"id": f"X{name}", "clock": "4:15"}})
        engine["pads"].append({**engine["pads"][2], "id": "ip-left"})
        device = yaml.safe_load(SLIPWAY.read_text(encoding="utf-8"))
        device["limits"]["stages"] = 99
        path = self.folder / "large.html"
        done = run("sheet", "-d", self.write("slipway-4.device.json", device), "-f", "html",
                   "-o", path, self.write("coulter-70.engine.json", engine))
        self.assertEqual(done.returncode, 0, done.stderr)
        view, = self.print([path])
        self.check(view)
        self.check_paper(view, 6)


class Record(Browser):
    """The record on screens, and on A4 with usual and other fonts."""

    POINT = 72 / 25.4  # of a millimetre
    ROW = 7  # millimetres to write in
    COLUMN = 20 * POINT  # the column of blades begins before it
    LEAST = {"engine": 10, "rest": 8, "drawing": 7}

    def write_record(self, name, source, *more, device=SLIPWAY):
        path = self.folder / f"{name}.html"
        path.write_text(record_test.record(source, *more, form="html", device=device),
                        encoding="utf-8")
        return path

    def check_paper(self, view, path):
        pages = record_test.pages_of(record_test.root_of(path.read_text(encoding="utf-8")))
        self.assertEqual(view["pages"], len(pages))
        for kind, size in self.LEAST.items():
            found = view["least"][kind]
            self.assertGreaterEqual(found["size"], size - 0.01, found["text"])
        for page, words in zip(pages, view["paper"]):
            self.check_page(page, words)

    def check_page(self, page, words):
        """Head, rows and foot are on their page; rows are high enough."""
        line = " ".join(word.text for word in words)
        for text in ("Record of", page.find("h2").text, "Engine serial", "Finding",
                     [part for part in page.iter("b") if "page " in (part.text or "")][0].text):
            self.assertIn(" ".join(text.split()), line)
        blades = [cell.text.split()[0] for cell in page.iterfind("table/tbody/tr/th")]
        head = max(word.top for word in words if word.text == "Remark")
        column = sorted((word.top, word.text) for word in words
                        if word.top > head + 10 and word.left < self.COLUMN
                        and re.fullmatch(r"\d+", word.text))
        self.assertEqual([text for _, text in column], blades)
        for (above, _), (below, _) in zip(column, column[1:]):
            self.assertGreaterEqual(below - above, self.ROW * self.POINT)

    def test_on_paper(self):
        hostile = record_test.Hostile("test_html")
        hostile.setUp()
        self.addCleanup(hostile.doCleanups)
        engines = [(engine, source, SLIPWAY) for engine, source in ENGINES.items()]
        engines.append(("hostile", hostile.path, hostile.device))
        samples = {False: share.sample(engines, kind=lambda engine: engine[0] == "hostile"),
                   True: share.sample(engines)}
        for fallback, sample in samples.items():
            paths = [self.write_record(engine, source, device=device)
                     for engine, source, device in sample]
            for view in self.print(paths, fallback):
                with self.subTest(pathlib.Path(view["sheet"]).stem, fallback=fallback):
                    self.check(view)
                    self.check_paper(view, pathlib.Path(view["sheet"]))

    def test_on_screens(self):
        paths = [self.write_record("hand", ENGINES["quern-12"], "--stage", "FAN"),
                 self.write_record("known", ENGINES["coulter-70"], "--stage", "HPT-1")]
        views = [(path, screen, scheme, True) for path in paths
                 for screen in ("telephone", "desk") for scheme in ("light", "dark")]
        for view in self.look(share.sample(views, kind=lambda view: view[1])):
            with self.subTest(f"{view['sheet']} {view['screen']} {view['scheme']}"):
                self.check(view)


@browser.needed
class Start(folder_test.Scratch):
    """The start page: how it looks, and what a search finds."""

    LEAST = {"engine": 10, "rest": 8}  # points on paper, by what the text is for

    def look(self, path, *views):
        return browser.look([{"sheet": str(path), "screen": "desk", "scheme": "light", "axe": False,
                              **view} for view in views])

    def check(self, view, engines):
        self.assertEqual(view["asked"], 1)  # the page itself
        self.assertLessEqual(view["scroll"], 0)
        self.assertEqual((view["wide"], view["violations"]), ([], []))
        self.assertEqual(len(view["shown"]), engines)

    def test_looks_right(self):
        self.sheets(DEMO / "engines")
        views = [{"screen": screen, "scheme": scheme, "axe": True}
                 for screen in ("telephone", "desk") for scheme in ("light", "dark")]
        drawn = share.sample(views, kind=lambda view: view["screen"])
        for view in self.look(self.out / "index.html", *drawn, {"screen": "a4"}):
            with self.subTest(f"{view['screen']} {view['scheme']}"):
                self.check(view, len(ENGINES))
                if view["screen"] == "a4":
                    self.assertEqual(view["pages"], 1)
                    for kind, size in self.LEAST.items():
                        self.assertGreaterEqual(view["least"][kind]["size"], size - 0.01)

    def test_long_texts_stay_on_the_page(self):
        content = definition("quern-12")
        content["spools"][0]["id"] = content["pads"][0]["spool"] = "S" * 60
        content["pads"][0]["id"] = "P" * 60
        content["observations"] = [{**content["observations"][0], "pad": "P" * 60}]
        for stage in content["stages"][3:]:
            stage["spool"] = "S" * 60
        content["stages"][3]["id"] = "T" * 60
        content["name"] = content["models"][0] = "M" * 60
        content["id"] = "i" * 60
        self.sheets(self.engine(content), device=self.device(**{"text-bytes": 60}))
        for view in self.look(self.out / "index.html", {"screen": "telephone"}, {},
                              {"screen": "a4"}):
            self.check(view, 1)

    def test_a_search_shows_the_engines_with_all_words(self):
        self.sheets(DEMO / "engines")
        everything = sorted(ENGINES)
        searches = {"": everything, "  ": everything, "dibble": ["dibble-3"],
                    "70 COULTER": ["coulter-70"], "quern 12a": ["quern-12"],
                    "draft": ["swingle-25"], "imp 28": ["dibble-3"], "ip-side": ["coulter-70"],
                    "3.03236": ["quern-12"], "\N{FULLWIDTH DIGIT FOUR}\N{FULLWIDTH DIGIT ZERO} "
                    "matt": ["mattock-40"], "dibble draft": [], "<b>": []}
        views = self.look(self.out / "index.html", *[{"words": words} for words in searches])
        for view, (words, engines) in zip(views, searches.items()):
            with self.subTest(words):
                self.assertEqual(view["shown"], engines)
                self.assertEqual(view["found"], f"{len(engines)} of {len(ENGINES)} engines")
                self.assertTrue(view["searchable"])

    def test_without_scripts_it_is_a_plain_list(self):
        self.sheets(DEMO / "engines")
        view, = self.look(self.out / "index.html", {"plain": True})
        self.check(view, len(ENGINES))
        self.assertFalse(view["searchable"])

    def test_many_engines(self):
        """`make test` lists fewer; three hundred are the most."""
        count = share.number(300, least=60)
        self.sheets(self.fleet(count), device=self.device(engines=count))
        views = self.look(self.out / "index.html", {"words": "snath-29"}, {"screen": "a4"})
        found = sum(str(number).startswith("29") for number in range(count))
        self.assertEqual(views[0]["found"], f"{found} of {count} engines")
        self.check(views[1], count)
        self.assertLessEqual(views[1]["pages"], count // 20 + 1)  # twenty engines on each


@browser.needed
class Picture(unittest.TestCase):
    """The picture in README.md."""

    def test_shows_all_of_it(self):
        """Nothing leaves the sheets of paper: else there are too few, see tests/picture.py."""
        with tempfile.TemporaryDirectory() as folder:
            page = pathlib.Path(folder, "picture.xhtml")
            page.write_text(
                '<html xmlns="http://www.w3.org/1999/xhtml"><head><title>x</title><style>'
                "html>body{margin:0;background:#fff}html>body>svg{width:100%;height:auto}"
                f"</style></head><body>{PICTURE.read_text(encoding='utf-8')}</body></html>",
                encoding="utf-8")
            seen = browser.look([{"sheet": str(page), "screen": "desk", "scheme": scheme,
                                  "axe": False} for scheme in ("light", "dark")])
        for view in seen:
            self.assertEqual((view["asked"], view["wide"], view["cut"], view["faint"]),
                             (1, [], [], []))


if __name__ == "__main__":
    unittest.main()
