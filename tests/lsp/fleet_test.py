"""What concerns several files: the editor shows for a folder what `check` of the folder reports.

The files of a folder count, open or not, and an open text instead of its file. A finding over two
files is shown in both. `make test` opens a tenth of the broken files, and the whole run each.
"""

import json
import os
import pathlib
import random
import shutil
import subprocess
import sys
import tempfile
import unittest

HERE = pathlib.Path(__file__).resolve().parent
sys.path[:0] = [str(HERE), str(HERE.parent)]
import share  # noqa: E402
from server import PROGRAM, Server  # noqa: E402

DEVICE = "devices/slipway-4.device.yaml"
WEIGHTS = {"error": 1, "warning": 2, "note": 3}
# Notes on what the device makes of a definition that is right: hints.
OF_THE_DEVICE = {"step-not-whole", "schedule-approximated", "backlash-below-count",
                 "torque-capped", "speed-above-device"}


def place(item):
    return tuple(item.get(key, 1) for key in ("line", "column", "end_line", "end_column"))


def weight(finding):
    hint = finding.get("waived") or (finding["severity"] == "note"
                                     and finding["rule"] in OF_THE_DEVICE)
    return 4 if hint else WEIGHTS[finding["severity"]]


def is_over_files(finding):
    return finding["rule"] == "id-taken" and "another" in finding["message"] or \
        "engines for a table" in finding["message"]


class Fleet(unittest.TestCase):
    """A folder with sources, and a server that has it open."""

    maxDiff = None

    def setUp(self):
        self.folder = pathlib.Path(tempfile.mkdtemp(prefix="lsp fleet-")).resolve()
        self.addCleanup(shutil.rmtree, self.folder)

    def demo(self, *folders):
        for name in folders:
            shutil.copytree(f"engines-demo/{name}", self.folder / name)
        for name in ("rotortab.policy.yaml", "rotortab.sources.yaml"):
            shutil.copy(f"engines-demo/{name}", self.folder)

    def write(self, name, old="", new=""):
        """Writes a definition of the demonstration under its name, or a changed one."""
        text = pathlib.Path("engines-demo/engines/dibble-3.engine.yaml").read_text("utf-8")
        identity = name.split("/")[-1].split(".")[0]
        text = text.replace("id: dibble-3", f"id: {identity}", 1)
        text = text.replace("models: [", f"models: [{identity} M] #", 1).replace(old, new)
        (self.folder / name).parent.mkdir(exist_ok=True)
        (self.folder / name).write_text(text)
        return text

    def uri(self, name):
        return f"file://{self.folder}/{name}".replace(" ", "%20")

    def serve(self, *options, folders=("",), capabilities=None):
        """A server with these folders open, and what it knows at once."""
        server = Server(*options, cwd=self.folder, initialized=False, stderr=subprocess.DEVNULL)
        self.addCleanup(server.process.communicate)
        server.request("initialize", {
            "capabilities": capabilities or {}, "processId": os.getpid(),
            "workspaceFolders": [{"uri": self.uri(name), "name": name} for name in folders]})
        server.notify("initialized", {})
        self.published, self.shown = {}, []
        self.hear(server)
        return server

    def hear(self, server):
        """Takes what is published until the server answers a request; returns the names."""
        server.number += 1
        server.send({"jsonrpc": "2.0", "id": server.number, "method": "nothing"})
        names = []
        while True:
            message = server.receive()
            if message.get("id") == server.number:
                return names
            if message["method"] == "window/showMessage":
                self.shown.append(message["params"]["message"])
                continue
            name = message["params"]["uri"].replace("%20", " ")
            name = name[len(f"file://{self.folder}/"):]
            names.append(name)
            self.published[name] = message["params"]["diagnostics"]

    def open(self, server, name, text=None):
        text = (self.folder / name).read_bytes().decode() if text is None else text
        server.notify("textDocument/didOpen", {"textDocument": {
            "uri": self.uri(name), "languageId": "yaml", "version": 1, "text": text}})
        return self.hear(server)

    def change(self, server, name, text):
        server.notify("textDocument/didChange", {
            "textDocument": {"uri": self.uri(name), "version": 2},
            "contentChanges": [{"text": text}]})
        return self.hear(server)

    def close(self, server, name):
        server.notify("textDocument/didClose", {"textDocument": {"uri": self.uri(name)}})
        return self.hear(server)

    def look(self, server):
        server.notify("workspace/didChangeWatchedFiles", {"changes": []})
        return self.hear(server)

    def shows(self, rule=None):
        """What is shown now: the file, the rule, the severity, the place, the words."""
        return sorted((name, d["code"], d["severity"], d["range"]["start"]["line"] + 1,
                       d["range"]["start"]["character"] + 1, d["range"]["end"]["line"] + 1,
                       d["range"]["end"]["character"] + 1, d["message"])
                      for name, items in self.published.items() for d in items
                      if rule in (None, d["code"]))

    def reports(self, *options, wanted=lambda finding: True, folder=None):
        """What `check` of the folder reports, in the same form."""
        done = subprocess.run([PROGRAM, "check", "--format", "json", *options, "."],
                              capture_output=True, cwd=folder or self.folder, check=False,
                              timeout=60)
        found = []
        for finding in json.loads(done.stdout)["findings"]:
            if not wanted(finding):
                continue
            words = "\n".join((finding["message"], finding["consequence"], finding["remedy"]))
            places = {finding["file"]: place(finding)}
            for note in finding.get("related", []):
                if is_over_files(finding) or ".cross-check." in note["file"]:
                    places.setdefault(note["file"], place(note))
            for name, at in places.items():
                at = (1, 1, 1, 2) if at == (1, 1, 1, 1) else at
                found.append((os.path.normpath(name), finding["rule"], weight(finding), *at,
                              words))
        return sorted(found)


class AgainstCheck(Fleet):
    """Everything that `check` of the folder reports, and nothing else."""

    def test_the_demonstration_and_the_broken_files(self):
        self.demo("engines", "devices", "broken")
        (self.folder / "broken/not-utf8.engine.yaml").unlink()  # no message can have its text
        broken = sorted((self.folder / "broken").iterdir())
        for path in set(broken) - set(share.sample(broken, least=len(broken) // 10)):
            path.unlink()
        (self.folder / "foreign.yaml").write_text("services:\n  web: {image: x}\n")
        (self.folder / "foreign.json").write_text("[1, 2")
        server = self.serve("--device", DEVICE)
        for path in sorted(self.folder.rglob("*.*")):
            self.open(server, str(path.relative_to(self.folder)))
        expected = self.reports("--device", DEVICE)
        self.assertGreater(len(expected), 7 * len(list((self.folder / "broken").iterdir())))
        self.assertEqual(self.shows(), expected)
        server.stop()

    def test_nothing_is_open(self):
        self.demo("engines", "devices", "broken")
        server = self.serve("--device", DEVICE)
        expected = self.reports("--device", DEVICE, wanted=is_over_files)
        self.assertGreater(len(expected), 400)
        self.assertEqual(self.shows(), expected)
        server.stop()

    def test_too_many_engines_for_the_device(self):
        self.demo("engines", "broken")
        profile = "broken/tiny-table.device.yaml"
        server = self.serve("--device", profile)
        expected = self.reports("--device", profile, wanted=is_over_files)
        self.assertIn(profile, {item[0] for item in expected})
        self.assertEqual(self.shows(), expected)
        self.open(server, profile)
        self.assertIn("engines for a table", "".join(d["message"] for d in
                                                     self.published[profile]))
        server.stop()

    def test_random_changes_of_open_texts(self):
        """As `check` reports it where all is saved.

        `check` reads no cross-check of a definition that is not readable, while the editor shows
        what is wrong in it. So only one of the two is changed.
        """
        self.demo("engines", "devices")
        server = self.serve("--device", DEVICE)
        texts = {f"engines/{path.name}": path.read_text(encoding="utf-8")
                 for path in sorted((self.folder / "engines").iterdir())}
        for name in texts:
            self.open(server, name)
        saved = self.folder.parent / (self.folder.name + "-saved")
        shutil.copytree(self.folder, saved)
        self.addCleanup(shutil.rmtree, saved)
        pick = random.Random(12)
        ids = ["quern-12", "QUERN 12", "Coulter 70", "dibble3", "nothing else"]
        for _ in range(share.number(200, least=15)):
            name = pick.choice(sorted(texts))
            second = ".cross-check." in name
            first = name.replace(".cross-check.", ".engine.")
            if second and texts[first] != (self.folder / first).read_text(encoding="utf-8"):
                continue
            lines = texts[name].split("\n")
            line = pick.randrange(len(lines))
            how = pick.randrange(3)
            if how == 0:
                del lines[line]
            elif how == 1:
                lines[line] = lines[pick.randrange(len(lines))]
            else:
                lines = [f"models: [{pick.choice(ids)}]" if at.startswith("models:") else at
                         for at in lines]
            text = texts[name] = "\n".join(lines)
            (saved / name).write_text(text)
            self.change(server, name, text)
            self.assertEqual(self.shows(), self.reports("--device", DEVICE, folder=saved), text)
            if second or pick.randrange(4) == 0:  # it is taken back
                texts[name] = (self.folder / name).read_text(encoding="utf-8")
                (saved / name).write_text(texts[name])
                self.change(server, name, texts[name])
        server.stop()


class Files(Fleet):
    """Which files count, and when they are read."""

    def taken(self):
        return [item[0] for item in self.shows("id-taken")]

    def test_a_file_that_is_not_open(self):
        self.write("a/one.engine.yaml")
        text = self.write("b/two.engine.yaml")
        server = self.serve()
        self.open(server, "b/two.engine.yaml")
        self.assertEqual(self.taken(), [])
        self.change(server, "b/two.engine.yaml", text.replace("two M", "ONE m"))
        self.assertEqual(self.taken(), ["a/one.engine.yaml", "b/two.engine.yaml"])
        later, earlier = (
            next(d for d in self.published[name] if d["code"] == "id-taken")
            for name in ("b/two.engine.yaml", "a/one.engine.yaml"))
        self.assertEqual(later["message"], earlier["message"])
        (note,) = later["relatedInformation"]
        self.assertEqual(note["location"], {"uri": self.uri("a/one.engine.yaml"),
                                            "range": earlier["range"]})
        self.assertEqual(note["message"], "one M there")
        (note,) = earlier["relatedInformation"]
        self.assertEqual(note["location"], {"uri": self.uri("b/two.engine.yaml"),
                                            "range": later["range"]})
        self.assertEqual(note["message"], "it is found here")
        self.change(server, "b/two.engine.yaml", text)
        self.assertEqual(self.taken(), [], "it is taken back in both")
        server.stop()

    def test_both_are_open_and_closed(self):
        self.write("one.engine.yaml")
        text = self.write("two.engine.yaml")
        server = self.serve()
        self.open(server, "one.engine.yaml")
        self.open(server, "two.engine.yaml", text.replace("two M", "one M"))
        self.assertEqual(self.taken(), ["one.engine.yaml", "two.engine.yaml"])
        self.close(server, "one.engine.yaml")
        self.assertEqual(self.taken(), ["one.engine.yaml", "two.engine.yaml"])
        self.close(server, "two.engine.yaml")
        self.assertEqual(self.taken(), [], "the file has another text")
        server.stop()

    def test_files_that_change_come_and_go(self):
        text = self.write("one.engine.yaml")
        self.write("two.engine.yaml")
        server = self.serve()
        self.assertEqual(self.taken(), [])
        (self.folder / "two.engine.yaml").write_text(text.replace("id: one", "id: two"))
        self.assertEqual(sorted(self.look(server)), ["one.engine.yaml", "two.engine.yaml"])
        self.assertEqual(self.taken(), ["one.engine.yaml", "two.engine.yaml"])
        self.assertEqual(self.look(server), [], "nothing has changed")
        (self.folder / "one.engine.yaml").rename(self.folder / "three.engine.yaml")
        self.look(server)
        self.assertEqual(self.taken(), ["three.engine.yaml", "two.engine.yaml"])
        (self.folder / "two.engine.yaml").unlink()
        self.look(server)
        self.assertEqual(self.taken(), [])
        server.stop()

    def test_a_change_of_one_keeps_the_names_of_the_others(self):
        for name in ("one", "two", "three"):
            self.write(f"{name}.engine.yaml", f"{name} M", "Same")
        server = self.serve()
        everywhere = ["one.engine.yaml"] * 2 + ["three.engine.yaml", "two.engine.yaml"]
        self.assertEqual(self.taken(), everywhere)
        for _ in range(3):
            path = self.folder / "three.engine.yaml"
            path.write_text(path.read_text() + "# more\n")
            self.look(server)
            self.assertEqual(self.taken(), everywhere)
        server.stop()

    def test_outside_the_folders(self):
        self.write("in/one.engine.yaml")
        self.write("out/one.engine.yaml")
        server = self.serve(folders=("in",))
        self.open(server, "in/one.engine.yaml")
        self.open(server, "out/one.engine.yaml")
        self.assertEqual(self.taken(), [])
        server.notify("workspace/didChangeWorkspaceFolders", {"event": {
            "added": [{"uri": self.uri("out/"), "name": "out"}], "removed": []}})
        self.hear(server)
        self.assertEqual(self.taken(), ["in/one.engine.yaml", "out/one.engine.yaml"])
        server.notify("workspace/didChangeWorkspaceFolders", {"event": {
            "added": [], "removed": [{"uri": self.uri("out"), "name": "out"}]}})
        self.hear(server)
        self.assertEqual(self.taken(), [])
        server.stop()

    def test_a_folder_in_another_and_a_link_to_it(self):
        self.write("in/one.engine.yaml")
        (self.folder / "link").symlink_to("in")
        server = self.serve(folders=("", "in", "link"))
        self.assertEqual(self.taken(), [], "it is one file")
        self.open(server, "link/one.engine.yaml")
        self.assertEqual(self.taken(), [])
        server.stop()

    def test_an_older_client_has_one_folder(self):
        for name in ("one", "two"):
            self.write(f"{name}.engine.yaml", f"{name} M", "Same")
        server = Server(cwd=self.folder, initialized=False)
        server.request("initialize", {"capabilities": {}, "rootUri": self.uri("")})
        server.notify("initialized", {})
        self.published, self.shown = {}, []
        self.hear(server)
        self.assertEqual(self.taken(), ["one.engine.yaml", "two.engine.yaml"])
        server.stop()

    def test_the_profile_of_the_device_is_one_source(self):
        """Whether it is open, and whatever path names it."""
        self.demo("devices")
        server = self.serve("--device", DEVICE)
        self.assertEqual(self.taken(), [])
        self.open(server, DEVICE)
        self.assertEqual(self.taken(), [])
        shutil.copy(self.folder / DEVICE, self.folder / "slipway-4.device.yaml")
        self.look(server)
        self.assertEqual(self.taken(), [DEVICE, "slipway-4.device.yaml"])
        server.stop()

    def test_a_folder_that_cannot_be_read_whole(self):
        self.write("in/one.engine.yaml")
        (self.folder / "in/round").symlink_to("..")
        server = self.serve(folders=("in",))
        self.assertEqual(len(self.shown), 1)
        self.assertIn("cannot read", self.shown[0])
        self.assertIn("not compared with all files", self.shown[0])
        self.look(server)
        self.assertEqual(len(self.shown), 1, "it is shown once")
        server.stop()

    def test_a_folder_with_very_many_files(self):
        """A home folder, say."""
        full = self.folder / "full"
        full.mkdir()
        for number in range(50_000):
            os.symlink("x", f"{full}/x{number}")
        server = self.serve(folders=("full",))
        self.assertIn("more than 50000 files", self.shown[0])
        server.stop()


class Foreign(Fleet):
    """YAML that is not meant for this program."""

    def test_it_has_no_findings(self):
        self.demo()
        (self.folder / "rotortab.policy.yaml").write_text("policy: 1\nlimit: {}\n")
        server = self.serve()
        for name, text in (("compose.yaml", "services: {web: {}}\n"), ("empty.yaml", ""),
                           ("wrong.yml", "a: [\n"), ("package.json", "{"), ("notes.txt", "a"),
                           ("odd.yaml", "\x07"), ("engine.yaml", "engine-definiton: 1\n")):
            self.open(server, name, text)
            self.assertEqual(self.published[name], [], name)
            self.change(server, name, text + "more: 1\n")
            self.assertEqual(self.published[name], [], name)
        self.assertEqual(len(self.shown), 1, "the policy is wrong all the same")
        server.stop()

    def test_it_is_known_by_its_name_or_its_first_key(self):
        server = self.serve()
        for name, text, code in (("x.engine.yaml", "a: 1\n", "unknown-kind"),
                                 ("x.device.json", "", "unknown-kind"),
                                 ("x.yaml", "engine-definition: 2\n", "unknown-version"),
                                 ("y.yaml", "# ours\n\npolicy: [\n", "yaml-syntax")):
            self.open(server, name, text)
            self.assertEqual([d.get("code") for d in self.published[name]], [code], name)
        server.stop()


if __name__ == "__main__":
    unittest.main()
