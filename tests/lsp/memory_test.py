"""Memory of the language server over a day: ten times as many requests leave as much in use.

counting.c counts the live bytes. So the test needs no clock, and does not depend on what the system
gives to the process. Every request judges the whole folder, so it is kept small.
"""

import os
import pathlib
import shutil
import struct
import subprocess
import sys
import tempfile
import unittest

HERE = pathlib.Path(__file__).resolve().parent
sys.path[:0] = [str(HERE), str(HERE.parent / "hostile")]
import confined  # noqa: E402
from server import DEMO, URI, Server  # noqa: E402

FEW, MANY = 12, 120  # as many rounds of all texts
SLACK = 2048  # bytes: the last message may not be freed yet; the least loss is 24 a request
POLICY = f"file://{DEMO}/rotortab.policy.yaml"


@unittest.skipIf(confined.SANITIZED, "a sanitizer counts memory itself")
class Level(unittest.TestCase):
    """Live bytes after FEW and after MANY more of the same request."""

    @classmethod
    def setUpClass(cls):
        cls.folder = pathlib.Path(tempfile.mkdtemp(prefix="lsp-memory-"))
        cls.addClassCleanup(shutil.rmtree, cls.folder)
        counting = cls.folder / "counting.so"
        subprocess.run(["gcc", "-shared", "-fPIC", "-O1", "-Wall", "-Wextra", "-Werror", "-o",
                        counting, HERE / "counting.c"], check=True)
        cls.count = cls.folder / "live"
        cls.text = (DEMO / "engines/quern-12.engine.yaml").read_text(encoding="utf-8")
        cls.policy = (DEMO / "rotortab.policy.yaml").read_text(encoding="utf-8")
        # Two files with one designation are enough for findings that concern several files.
        for folder, names in (("broken", ("id-taken", "neighbour")),
                              ("engines", ("quern-12", "dibble-3"))):
            for path in (DEMO / folder).iterdir():
                if not path.name.startswith(names):
                    path.unlink()
        cls.preload = {"LD_PRELOAD": str(counting), "COUNTING": str(cls.count)}

    def setUp(self):
        before = dict(os.environ)
        os.environ.update(self.preload)
        try:
            self.server = Server("--device", "devices/slipway-4.device.yaml", initialized=False)
        finally:
            os.environ.clear()
            os.environ.update(before)
        self.server.request("initialize", {"capabilities": {}, "rootUri": f"file://{DEMO}"})
        self.server.notify("initialized", {})
        self.tell("textDocument/didOpen", URI, text=self.text)

    def tearDown(self):
        self.server.stop()

    def hear(self):
        """Waits until the server has answered a request."""
        self.server.number += 1
        self.server.send({"jsonrpc": "2.0", "id": self.server.number, "method": "nothing"})
        while self.server.receive().get("id") != self.server.number:
            pass

    def live(self):
        self.hear()
        return struct.unpack("Q", self.count.read_bytes())[0]

    def tell(self, method, uri, **document):
        self.server.notify(method, {
            "textDocument": {"uri": uri, "version": 1, **document},
            "contentChanges": [{"text": document.get("text", "")}]})
        self.hear()

    def level(self, request):
        for number in range(FEW):
            request(number)
        first = self.live()
        for number in range(MANY):
            request(number)
        self.assertLess(abs(self.live() - first), SLACK)

    def at(self, method, **more):
        lines = self.text.count("\n")
        return lambda number: self.server.request(f"textDocument/{method}", {
            "textDocument": {"uri": URI}, "newName": "x", **more,
            "position": {"line": number * 7 % lines, "character": 10}})

    def test_questions_at_a_position(self):
        for method in ("hover", "completion", "definition", "documentHighlight"):
            with self.subTest(method):
                self.level(self.at(method))
        self.level(self.at("references", context={"includeDeclaration": True}))

    def test_new_names(self):
        line = self.text[:self.text.index("id: HP\n")].count("\n")
        for name in ("new", "LP", "no id"):
            self.level(lambda _, name=name: self.server.answer("textDocument/rename", {
                "textDocument": {"uri": URI}, "newName": name,
                "position": {"line": line, "character": 10}}))

    def test_symbols_and_actions(self):
        self.level(lambda _: self.server.request("textDocument/documentSymbol", {
            "textDocument": {"uri": URI}}))
        self.level(lambda _: self.server.actions(0, 99))

    def test_changes(self):
        texts = (self.text, self.text.replace("numbering:", "numbring:"), "a: [",
                 self.text.replace("id: quern-12", "id: dibble-3"))
        self.level(lambda number: self.tell("textDocument/didChange", URI,
                                            text=texts[number % len(texts)]))

    def test_changes_of_a_policy(self):
        self.tell("textDocument/didOpen", POLICY, text=self.policy)
        texts = (self.policy, self.policy + "rules: {step-not-whole: warning}\n", "policy: [\n")
        self.level(lambda number: self.tell("textDocument/didChange", POLICY,
                                            text=texts[number % len(texts)]))

    def test_documents_that_come_and_go(self):
        def request(number):
            uri = f"file://{DEMO}/engines/copy-{number % 7}.engine.yaml"
            self.tell("textDocument/didOpen", uri, text=self.text)
            self.tell("textDocument/didClose", uri)
        self.level(request)

    def test_files_that_change(self):
        path = DEMO / "engines/dibble-3.engine.yaml"
        text = path.read_text(encoding="utf-8")
        self.addCleanup(path.write_text, text)
        def request(number):
            path.write_text(text + "# more\n" * (number % 3), encoding="utf-8")
            self.server.notify("workspace/didChangeWatchedFiles", {"changes": []})
            self.hear()
        self.level(request)

    def test_mistakes(self):
        self.level(lambda _: self.server.answer("textDocument/nothing", {}))
        self.level(lambda _: self.server.answer("textDocument/hover", {}))
        self.level(lambda _: self.tell("textDocument/didChange", "file:///gone", text="x"))


if __name__ == "__main__":
    unittest.main()
