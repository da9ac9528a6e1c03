"""The setup sheet in a browser: on A4 with usual and other fonts, on a desk and on a telephone.

It is skipped without what `make deps-sheet` installs.
"""

import pathlib
import sys
import unittest

import yaml

HERE = pathlib.Path(__file__).resolve().parent
sys.path[1:1] = [str(HERE), str(HERE.parent)]
import share  # noqa: E402
import sheet_test  # noqa: E402
from sheets import DEMO, ENGINES, SLIPWAY, Browser, definition, run, sheet  # noqa: E402


class Layout(Browser):
    """In a browser: on A4, on a desk and on a telephone, light and dark."""

    # Three pads and twenty stages; two pads; an internal mesh.
    SHEETS = ("coulter-70", "dibble-3", "quern-12", "billhook-8")
    SMALLEST = 8  # pixels of a number in a drawing
    LEAST = {"engine": 10, "rest": 8, "drawing": 7}  # points on paper, by what the text is for
    FULL = 0.25  # of a page, at least
    PAGES = {"coulter-70": 5, "dibble-3": 3, "hostile": 4}  # two for all others
    WIDER = {"quern-12": 3}  # in another font, whose letters are wider

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
        paths = []
        none = []
        for engine, source in ENGINES.items():
            for device in sorted((DEMO / "devices").glob("*.device.yaml")):
                paths.append(self.folder / f"{engine} {device.name.split('.')[0]}.html")
                done = run("sheet", "-d", device, "-f", "html", "-o", paths[-1], source)
                if done.returncode != 0:
                    none.append(paths.pop().stem)
        self.assertEqual(none, ["coulter-70 skiff-1"])
        samples = {False: share.sample(paths, least=2), True: share.sample(paths)}
        for fallback, sample in samples.items():
            for view in self.print(sample, fallback):
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


if __name__ == "__main__":
    unittest.main()
