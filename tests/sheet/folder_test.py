"""The sheets of all engines in a folder, with a start page that lists them and can be searched."""

import base64
import hashlib
import html.parser
import json
import os
import pathlib
import re
import resource
import shutil
import subprocess
import sys
import unittest
import xml.etree.ElementTree as ElementTree

import yaml

HERE = pathlib.Path(__file__).resolve().parent
sys.path[1:1] = [str(HERE), str(HERE.parent)]
import share  # noqa: E402
import sheets  # noqa: E402
from sheets import DEMO, ENGINES, PROGRAM, SLIPWAY, definition  # noqa: E402

BROKEN = DEMO / "broken"


def run(*arguments, **how):
    return subprocess.run([PROGRAM, *arguments], capture_output=True, text=True, check=False,
                          **how)


def index(*sources):
    """The list of the same engines, as JSON."""
    return json.loads(run("index", "-d", SLIPWAY, "-f", "json", *sources).stdout)


def content_of(folder):
    return {path.name: path.read_text(encoding="utf-8") if path.is_file() else None
            for path in folder.iterdir()}


class Scratch(sheets.Scratch):
    """Has a folder for definitions, and one in it for the sheets."""

    def setUp(self):
        super().setUp()
        self.out = self.folder / "out"
        self.out.mkdir()

    def engine(self, content, where="."):
        (self.folder / where).mkdir(exist_ok=True)
        return self.write(f"{where}/{content['id']}.engine.json", content)

    def fleet(self, count):
        """A folder with so many definitions."""
        content = definition("snath-5")
        for number in range(count):
            self.engine({**content, "id": f"snath-{number}", "name": f"Snath {number}",
                        "models": [f"Snath {number}"]}, "fleet")
        return self.folder / "fleet"

    def device(self, name=None, **limits):
        """The profile with other limits."""
        content = yaml.safe_load(SLIPWAY.read_text(encoding="utf-8"))
        content["name"] = name or content["name"]
        content["limits"].update(limits)
        return self.write("slipway-4.device.json", content)

    def sheets(self, *sources, form="html", status=0, device=SLIPWAY, **how):
        """Writes the sheets; returns what was said."""
        done = run("sheet", "-d", device, "-f", form, "-o", self.out, *sources, **how)
        self.assertEqual((done.returncode, done.stdout), (status, ""), done.stderr)
        return done.stderr

    def start(self, *sources):
        """The start page, read as XML, which it must also be."""
        self.sheets(*sources)
        text = (self.out / "index.html").read_text(encoding="utf-8")
        return ElementTree.fromstring(text.removeprefix("<!DOCTYPE html>"))


class Folder(Scratch):
    """Which files are written: all of them or none."""

    def test_a_page_for_each_engine_and_a_start_page(self):
        for form, ending, start in (("html", "html", "index.html"), ("text", "txt", "index.txt")):
            said = self.sheets(DEMO / "engines", form=form)
            self.assertEqual(said, f"{self.out}: {len(ENGINES)} sheets and a start page\n")
            written = content_of(self.out)
            for engine, path in ENGINES.items():
                done = run("sheet", "-d", SLIPWAY, "-f", form, path)
                self.assertEqual(written.pop(f"{engine}.sheet.{ending}"), done.stdout)
            self.assertIn(start, written)
            self.assertEqual({name for name in written if ending in name}, {start})
        self.assertEqual(written["index.txt"],
                         run("index", "-d", SLIPWAY, DEMO / "engines").stdout)

    def test_one_engine_too(self):
        said = self.sheets(ENGINES["quern-12"])
        self.assertEqual(said, f"{self.out}: 1 sheet and a start page\n")
        self.assertEqual(set(content_of(self.out)), {"quern-12.sheet.html", "index.html"})

    def test_the_order_of_the_files_does_not_matter(self):
        self.sheets(*ENGINES.values())
        first = content_of(self.out)
        self.sheets("-j", "1", *reversed(ENGINES.values()))
        self.assertEqual(content_of(self.out), first)

    def test_an_error_leaves_the_folder_as_it_was(self):
        (self.out / "index.html").write_text("as it was")
        for bad, rule in (("ratio-swapped", "ratio-swapped"), ("withdrawn", "withdrawn")):
            said = self.sheets(DEMO / "engines", BROKEN / f"{bad}.engine.yaml", status=1)
            self.assertIn(f"[{rule}]", said)
            self.assertEqual(content_of(self.out), {"index.html": "as it was"})

    def test_two_definitions_of_one_engine(self):
        shutil.copytree(DEMO / "engines", self.folder / "again")
        self.assertIn("[id-taken]", self.sheets(DEMO / "engines", self.folder / "again", status=1))
        self.assertEqual(content_of(self.out), {})

    def test_a_page_that_cannot_be_written(self):
        self.sheets(ENGINES["quern-12"])
        (self.out / "winnow-16.sheet.html").mkdir()
        before = content_of(self.out)
        said = self.sheets(DEMO / "engines", status=2)
        self.assertIn(f"cannot write {self.out}/winnow-16.sheet.html: Is a directory", said)
        self.assertEqual(content_of(self.out), before)

    def test_never_over_an_input(self):
        source = shutil.copy(ENGINES["quern-12"], self.folder)
        (self.out / "quern-12.sheet.html").symlink_to(source)
        said = self.sheets(source, status=2)
        self.assertIn("quern-12.sheet.html is one of the files that this run reads", said)
        self.assertEqual(pathlib.Path(source).read_bytes(), ENGINES["quern-12"].read_bytes())
        self.assertFalse((self.out / "index.html").exists())

    def test_an_engine_called_index(self):
        content = definition("quern-12")
        self.sheets(self.engine({**content, "id": "index"}))
        self.assertEqual(set(content_of(self.out)), {"index.sheet.html", "index.html"})

    def test_an_engine_is_not_chosen(self):
        said = self.sheets("--engine", "quern-12", DEMO / "engines", status=2)
        self.assertIn("leave out --engine", said)
        self.assertEqual(content_of(self.out), {})

    def test_no_engine(self):
        self.assertIn("no engine definition", self.sheets(SLIPWAY, status=2))
        self.assertEqual(content_of(self.out), {})

    def test_a_folder_that_is_not_there(self):
        done = run("sheet", "-d", SLIPWAY, "-o", self.folder / "no", DEMO / "engines")
        self.assertEqual(done.returncode, 2)
        self.assertIn("name a folder that exists with --output", done.stderr)

    def test_old_sheets_are_named(self):
        self.sheets(DEMO / "engines")
        said = self.sheets(*[path for engine, path in ENGINES.items()
                             if engine not in ("billhook-8", "quern-12", "winnow-16")])
        named = re.findall(r"(\S+) is an old sheet: no definition here is (\S+); delete it", said)
        self.assertEqual(named, [(f"{self.out}/{engine}.sheet.html", engine)
                                 for engine in ("billhook-8", "quern-12", "winnow-16")])
        self.assertEqual(len(content_of(self.out)), len(ENGINES) + 1)
        self.assertEqual(self.sheets(*ENGINES.values()).count("\n"), 1)
        os.rename(self.out / "quern-12.sheet.html", self.out / "quern.sheet.html")
        self.assertIn("no definition here is quern;", self.sheets(*ENGINES.values()))

    @unittest.skipIf(os.geteuid() == 0, "root may read every folder")
    def test_a_folder_that_cannot_be_read(self):
        self.out.chmod(0o300)
        self.addCleanup(self.out.chmod, 0o700)
        self.assertIn("cannot read", self.sheets(DEMO / "engines", status=2))

    def test_more_than_the_device_takes(self):
        """As for its table."""
        self.assertIn("[too-many]", self.sheets(self.fleet(101), status=1))
        self.assertEqual(content_of(self.out), {})

    def test_many_at_once(self):
        """More than the limit of open files allows: the program asks for more. 300 are the most."""
        count = share.number(300, least=120)
        fleet = self.fleet(count)
        for soft, hard, status in ((100, 4096, 0), (100, 100, 2)):
            self.tearDownFolder()
            said = self.sheets(
                fleet, status=status, device=self.device(engines=count),
                preexec_fn=lambda limits=(soft, hard): resource.setrlimit(resource.RLIMIT_NOFILE,
                                                                          limits))
            if status == 0:
                self.assertEqual(len(content_of(self.out)), count + 1)
            else:
                self.assertIn("Too many open files", said)
                self.assertEqual(content_of(self.out), {})

    def tearDownFolder(self):
        shutil.rmtree(self.out)
        self.out.mkdir()


class Links(html.parser.HTMLParser):
    """What a page names that is elsewhere, and its scripts."""

    def __init__(self):
        super().__init__()
        self.named = []
        self.scripts = []
        self.handlers = []
        self.in_script = False

    def handle_starttag(self, tag, attrs):
        self.named += [value for name, value in attrs if name in ("href", "src", "action")]
        self.handlers += [name for name, _ in attrs if name.startswith("on")]
        self.in_script = tag == "script"
        if self.in_script:
            self.scripts.append("")

    def handle_endtag(self, tag):
        self.in_script = False

    def handle_data(self, data):
        if self.in_script:
            self.scripts[-1] += data


class Start(Scratch):
    """The start page: the facts of the list, and nothing from elsewhere."""

    def test_says_what_the_list_says(self):
        root = self.start(DEMO / "engines")
        bodies = list(root.iter("tbody"))
        engines = index(DEMO / "engines")
        self.assertEqual(len(bodies), len(engines))
        for body, engine in zip(bodies, engines):
            said = " ".join("".join(body.itertext()).split())
            self.assertEqual(body.find(".//a").text, engine["name"])
            self.assertIn(f"{engine['id']} holds for {', '.join(engine['models'])} "
                          f"{engine['revision']}, {engine['status']} ", said)
            rows = [[cell.text for cell in row if cell.get("class") in ("pad", "by-hand")]
                    for row in body.iter("tr")]
            self.assertEqual([row[0] for row in rows],
                             [pad["id"] if pad else "by hand" for spool in engine["spools"]
                              for pad in spool["pads"] or [None]])
            for spool in engine["spools"]:
                stages = ", ".join(f"{stage['id']} {stage['blades']}"
                                   for stage in spool["stages"])
                self.assertIn(f"{stages} ", said + " ")
                for pad in spool["pads"]:
                    unit = pad["torque_limit"]["unit"]
                    self.assertRegex(said, rf"{pad['id']} [\d.]+( to [\d.]+)? [\d.]+ {unit} ")

    def test_draft_is_marked(self):
        root = self.start(DEMO / "engines")
        marked = [body.find(".//a").text for body in root.iter("tbody")
                  if [b for b in body.iter("b") if b.get("class") == "alarm"]]
        self.assertEqual(marked, ["Swingle 25"])

    def test_tables_have_scopes_that_hold_all_rows(self):
        for body in self.start(DEMO / "engines").iter("tbody"):
            head, = body.iter("th")
            self.assertEqual(head.get("scope"), "rowgroup")
            self.assertEqual(int(head.get("rowspan", "1")), len(list(body.iter("tr"))))
            columns = [0] * len(list(body.iter("tr")))
            for at, row in enumerate(body.iter("tr")):
                for cell in row:
                    for below in range(int(cell.get("rowspan", "1"))):
                        columns[at + below] += 1
            self.assertEqual(set(columns), {7})

    def test_names_nothing_but_its_sheets(self):
        self.sheets(DEMO / "engines")
        text = (self.out / "index.html").read_text(encoding="utf-8")
        links = Links()
        links.feed(text)
        links.close()
        self.assertEqual(links.named, [f"{engine}.sheet.html" for engine in sorted(ENGINES)])
        self.assertTrue(all((self.out / name).is_file() for name in links.named))
        self.assertEqual(links.handlers, [])
        for word in ("http:", "https:", "@import", "url(", "fetch", "innerHTML", "eval"):
            self.assertNotIn(word, text)

    def test_a_browser_runs_its_script_and_no_other(self):
        self.sheets(DEMO / "engines")
        text = (self.out / "index.html").read_text(encoding="utf-8")
        links = Links()
        links.feed(text)
        script, = links.scripts
        digest = base64.b64encode(hashlib.sha256(script.encode()).digest()).decode()
        policy = re.search(r'Content-Security-Policy" content="([^"]*)"', text)[1]
        self.assertEqual(policy, "default-src 'none'; style-src 'unsafe-inline'; "
                                 f"script-src 'sha256-{digest}'")

    def test_hostile_texts(self):
        name = "</title></a><script>alert(1)</script>"
        content = definition("quern-12")
        content["name"] = name
        content["models"] = [name, "\"><img src=x onerror='alert(2)'>", "]]>", "--><!--", "&amp;"]
        self.sheets(self.engine(content),
                    device=self.device(name, **{"text-bytes": 250, "text": "utf-8"}))
        text = (self.out / "index.html").read_text(encoding="utf-8")
        root = ElementTree.fromstring(text.removeprefix("<!DOCTYPE html>"))
        self.assertEqual(root.find(".//a").text, name)
        self.assertEqual(root.find("./head/title").text, f"Setup sheets: {name}")
        self.assertIn(", ".join(content["models"]), root.findall(".//tbody/tr/th/span")[1].text)
        links = Links()
        links.feed(text)
        self.assertEqual((len(links.scripts), links.named, links.handlers),
                         (1, ["quern-12.sheet.html"], []))


if __name__ == "__main__":
    unittest.main()
