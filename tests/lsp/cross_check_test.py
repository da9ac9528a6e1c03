"""A definition and its cross-check in an editor: each is judged with the other, open or not.

A finding is shown in the file where it is.  A disagreement is shown in both.
"""

import os
import pathlib
import shutil
import subprocess
import sys
import tempfile
import unittest

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parent))
from server import DEMO, Server, part  # pylint: disable=wrong-import-position

FIRST = (DEMO / "broken/neighbour.engine.yaml").read_text()
SECOND = (DEMO / "broken/cross-check-stale.cross-check.yaml").read_text().replace(
    "{id: cross-check-stale, revision: 1}", "{id: neighbour, revision: 2}")
SLIP = SECOND.replace("blades: 30", "blades: 31")
BROKEN = SECOND.replace("blades: 30", "blades: 3o")
FIRST_NAME, SECOND_NAME = "neighbour.engine.yaml", "neighbour.cross-check.yaml"
QUIET = "policy: 1\nrules: {count-unproven: off, order-unproven: off}\n"
TEXTS = {FIRST_NAME: FIRST, SECOND_NAME: SECOND}


class Pair(unittest.TestCase):
    """A folder, and a server that has some of the pair open."""

    maxDiff = None

    def setUp(self):
        self.folder = pathlib.Path(tempfile.mkdtemp(prefix="lsp pair-"))
        self.addCleanup(shutil.rmtree, self.folder)
        (self.folder / "rotortab.policy.yaml").write_text(QUIET)
        self.server = Server(cwd=self.folder, stderr=subprocess.DEVNULL)
        self.addCleanup(self.end)
        self.texts = {}

    def end(self):
        self.server.stop()

    def uri(self, name):
        return f"file://{self.folder}/{name}".replace(" ", "%20")

    def on_disk(self, **texts):
        """Writes one of the pair, or both."""
        for key, text in texts.items():
            name = {"first": FIRST_NAME, "second": SECOND_NAME}[key]
            (self.folder / name).write_text(text)

    def all(self):
        """What is published until the server answers a request: {name: [(rule, text at it)]}."""
        self.server.number += 1
        self.server.send({"jsonrpc": "2.0", "id": self.server.number, "method": "nothing"})
        published = {}
        self.full, self.shown = {}, []
        while True:
            message = self.server.receive()
            if message.get("id") == self.server.number:
                return published
            if message["method"] == "window/showMessage":
                self.shown.append(message["params"]["message"])
                continue
            self.assertEqual(message["method"], "textDocument/publishDiagnostics")
            uri = message["params"]["uri"]
            self.assertTrue(uri.startswith(self.uri("")), uri)
            name = uri[len(self.uri("")):]
            self.assertNotIn(name, published, "each once")
            self.full[name] = message["params"]["diagnostics"]
            text = self.text(name)
            published[name] = [(d.get("code"), text and part(text, d["range"]))
                               for d in self.full[name]]

    def text(self, name):
        """The text of a document or a file, "" without one."""
        path = self.folder / name
        return self.texts.get(name) or (path.read_text() if path.is_file() else "")

    def open(self, name, text=None):
        self.texts[name] = TEXTS[name] if text is None else text
        self.server.notify("textDocument/didOpen", {"textDocument": {
            "uri": self.uri(name), "text": self.texts[name]}})
        return self.all()

    def change(self, name, text):
        self.texts[name] = text
        self.server.notify("textDocument/didChange", {
            "textDocument": {"uri": self.uri(name)}, "contentChanges": [{"text": text}]})
        return self.all()

    def look(self):
        self.server.notify("workspace/didChangeWatchedFiles", {"changes": []})
        return self.all()

    def related(self, name):
        """[(the other file, its text there, what is said)] of the only diagnostic."""
        (found,) = self.full[name]
        places = []
        for item in found["relatedInformation"]:
            other = item["location"]["uri"][len(self.uri("")):]
            seen = part(self.text(other), item["location"]["range"])
            places.append((other, seen, item["message"]))
        return places


DISAGREES = "cross-check-disagrees"


class Open(Pair):
    """Either file is open, or both."""

    def test_the_definition(self):
        self.on_disk(first=FIRST, second=SLIP)
        self.assertEqual(self.open(FIRST_NAME), {FIRST_NAME: [(DISAGREES, "30")]})
        self.assertEqual(self.related(FIRST_NAME), [(SECOND_NAME, "31", "the second reading")])
        self.assertEqual(self.change(FIRST_NAME, FIRST.replace("blades: 30", "blades: 31")),
                         {FIRST_NAME: []})
        self.on_disk(second=SECOND)
        self.assertEqual(self.look(), {FIRST_NAME: [(DISAGREES, "31")]})
        (self.folder / SECOND_NAME).unlink()
        self.assertEqual(self.look(), {FIRST_NAME: []})

    def test_the_cross_check(self):
        self.on_disk(first=FIRST)
        self.assertEqual(self.open(SECOND_NAME, SLIP), {SECOND_NAME: [(DISAGREES, "31")]})
        self.assertEqual(self.related(SECOND_NAME), [(FIRST_NAME, "30", "the definition")])
        self.assertEqual(self.change(SECOND_NAME, SECOND), {SECOND_NAME: []})
        self.on_disk(first=FIRST.replace("blades: 30", "blades: 31"))
        self.assertEqual(self.look(), {SECOND_NAME: [(DISAGREES, "30")]})

    def test_how_a_value_is_known(self):
        """Hover counts the cross-check beside a definition, where it agrees."""
        self.on_disk(first=FIRST)
        for second, known in ((SECOND, "read twice"), (SLIP, "read once")):
            self.on_disk(second=second)
            self.open(FIRST_NAME, FIRST)
            line = FIRST[:FIRST.index("blades: 30")].count("\n")
            found = self.server.at("hover", {"line": line, "character": 6}, self.uri(FIRST_NAME))
            self.assertIn(f"How it is known: {known}\n", found["contents"]["value"] + "\n")

    def test_both(self):
        """Neither was ever saved."""
        self.assertEqual(self.open(FIRST_NAME), {FIRST_NAME: []})
        self.assertEqual(self.open(SECOND_NAME, SLIP), {SECOND_NAME: [(DISAGREES, "31")],
                                                        FIRST_NAME: [(DISAGREES, "30")]})
        self.assertEqual(self.change(FIRST_NAME, FIRST.replace("blades: 30", "blades: 31")),
                         {SECOND_NAME: [], FIRST_NAME: []})
        self.assertEqual(self.change(SECOND_NAME, SECOND), {
            SECOND_NAME: [(DISAGREES, "30")], FIRST_NAME: [(DISAGREES, "31")]})

    def test_a_second_reading_ends_the_notes(self):
        """What rests on one reading is a hint at its place, until the second reader has it."""
        (self.folder / "rotortab.policy.yaml").unlink()
        found = self.open(FIRST_NAME)[FIRST_NAME]
        self.assertIn(("count-unproven", "60"), found)
        self.assertEqual({rule for rule, _ in found}, {"count-unproven", "order-unproven"})
        self.assertEqual({item["severity"] for item in self.full[FIRST_NAME]}, {3})
        self.assertEqual(self.open(SECOND_NAME), {SECOND_NAME: [], FIRST_NAME: []})

    def test_texts_are_read_instead_of_files(self):
        self.on_disk(first=FIRST, second=SLIP)
        self.open(FIRST_NAME)
        self.assertEqual(self.open(SECOND_NAME), {FIRST_NAME: [], SECOND_NAME: []})

    def test_a_definition_in_json(self):
        (self.folder / "neighbour.engine.json").write_text("{")
        self.assertEqual(self.open(SECOND_NAME), {SECOND_NAME: []})

    def test_stale_is_shown_in_both(self):
        self.open(FIRST_NAME)
        published = self.open(SECOND_NAME, SECOND.replace("revision: 2", "revision: 1"))
        self.assertEqual(published, {SECOND_NAME: [("cross-check-stale", "1")],
                                     FIRST_NAME: [("cross-check-stale", "2")]})

    def test_ids_of_the_definition_are_offered(self):
        self.on_disk(first=FIRST)
        text = SECOND.replace("spool: LP", "spool: ")
        self.open(SECOND_NAME, text)
        line = text[:text.index("spool: \n")].count("\n")
        items = self.server.at("completion", {"line": line, "character": 11},
                               self.uri(SECOND_NAME))
        self.assertEqual([item["label"] for item in items], ["HP", "LP"])

    def test_alone(self):
        self.assertEqual(self.open(SECOND_NAME), {SECOND_NAME: [("cross-check-alone",
                                                                 "cross-check")]})
        self.on_disk(first=FIRST)
        self.assertEqual(self.look(), {SECOND_NAME: []})


class Elsewhere(Pair):
    """What is wrong in a cross-check that is not open is published for that file."""

    def test_a_slip_of_reading(self):
        self.on_disk(first=FIRST, second=BROKEN)
        self.assertEqual(self.open(FIRST_NAME), {FIRST_NAME: [],
                                                 SECOND_NAME: [("bad-number", "3o")]})
        self.assertEqual(self.look(), {}, "nothing has changed")
        self.on_disk(second=SECOND)
        self.assertEqual(self.look(), {SECOND_NAME: []})

    def test_that_is_opened_and_closed(self):
        self.on_disk(first=FIRST, second=BROKEN)
        self.open(FIRST_NAME)
        self.assertEqual(self.open(SECOND_NAME, BROKEN), {SECOND_NAME: [("bad-number", "3o")]})
        self.assertEqual(self.change(SECOND_NAME, SECOND), {SECOND_NAME: []})
        self.server.notify("textDocument/didClose", {"textDocument": {
            "uri": self.uri(SECOND_NAME)}})
        self.assertEqual(self.server.diagnostics(self.uri(SECOND_NAME)), [])
        self.texts.pop(SECOND_NAME)
        self.assertEqual(self.all(), {SECOND_NAME: [("bad-number", "3o")]})
        self.server.notify("textDocument/didClose", {"textDocument": {
            "uri": self.uri(FIRST_NAME)}})
        self.assertEqual(self.all(), {FIRST_NAME: [], SECOND_NAME: []})

    def test_another_engine_and_a_stage_that_is_unknown(self):
        self.on_disk(first=FIRST, second=SECOND.replace("id: neighbour", "id: other"))
        self.assertEqual(self.open(FIRST_NAME), {FIRST_NAME: [],
                                                 SECOND_NAME: [(DISAGREES, "other")]})
        self.on_disk(second=SECOND.replace("id: HPC-1", "id: HPC-9"))
        self.assertEqual(self.look(), {SECOND_NAME: [(DISAGREES, "HPC-9")]})
        self.assertEqual(self.server.actions(0, 999, self.uri(FIRST_NAME)), [])
        text = SECOND.replace("id: HPC-1", "id: HPC-9")
        self.open(SECOND_NAME, text)
        titles = [action["title"] for action in
                  self.server.actions(0, 999, self.uri(SECOND_NAME))]
        self.assertEqual(len(titles), 1)
        self.assertRegex(titles[0], "^Write HPC-[12]$")


class Unusable(Pair):
    """A cross-check that is not read is a problem of the definition."""

    def test_a_link(self):
        self.on_disk(first=FIRST)
        (self.folder / SECOND_NAME).symlink_to("secret")
        (self.folder / "secret").write_text("password: open-sesame\n")
        self.assertEqual([name for name, _ in self.open(FIRST_NAME)[FIRST_NAME]], [None])
        self.assertIn("is a link", self.full[FIRST_NAME][0]["message"])
        self.assertEqual(len(self.shown), 1)
        self.assertNotIn("sesame", str(self.full))
        (self.folder / SECOND_NAME).unlink()
        self.assertEqual(self.look(), {FIRST_NAME: []})

    def test_a_pipe_stops_nothing(self):
        self.on_disk(first=FIRST)
        os.mkfifo(self.folder / SECOND_NAME)
        self.open(FIRST_NAME)
        self.assertIn("is not a regular file", self.full[FIRST_NAME][0]["message"])
        self.open(SECOND_NAME)
        self.texts.pop(FIRST_NAME)
        self.server.notify("textDocument/didClose", {"textDocument": {
            "uri": self.uri(FIRST_NAME)}})
        self.all()
        (self.folder / FIRST_NAME).unlink()
        os.mkfifo(self.folder / FIRST_NAME)
        self.assertEqual(self.look(), {SECOND_NAME: [("cross-check-alone", "cross-check")]})

    def test_odd_names(self):
        """A name is shown with what can be shown of it."""
        name = b"n\xff\n.engine.yaml"
        odd = name.replace(b".engine.", b".cross-check.")
        pathlib.Path(os.fsdecode(os.fsencode(self.folder) + b"/" + odd)).write_text(BROKEN)
        uri = self.uri("n%FF%0A.engine.yaml")
        self.server.notify("textDocument/didOpen", {"textDocument": {"uri": uri, "text": FIRST}})
        published = self.all()
        self.assertEqual([code for code, _ in published["n%FF%0A.engine.yaml"]],
                         ["id-not-file-name"])
        self.assertEqual([code for code, _ in published["n%FF%0A.cross-check.yaml"]],
                         ["bad-number"])


if __name__ == "__main__":
    unittest.main()
