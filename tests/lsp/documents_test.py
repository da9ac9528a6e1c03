"""Documents of the language server: opened, changed, closed, several at once, of every kind."""

import pathlib
import sys
import unittest

HERE = pathlib.Path(__file__).resolve().parent
sys.path[:0] = [str(HERE), str(HERE.parent)]
import share  # noqa: E402
from server import DEMO, URI, Server  # noqa: E402

INVALID_PARAMS = -32602
GOOD = (DEMO / "engines/quern-12.engine.yaml").read_text(encoding="utf-8")
BAD = GOOD.replace("numbering:", "numbring:")
HOVER = {"textDocument": {"uri": URI}, "position": {"line": 3, "character": 0}}


class Documents(unittest.TestCase):
    """Opened, changed, closed, several at once."""

    OTHER = f"file://{DEMO}/engines/dibble-3.engine.yaml"

    def codes(self, diagnostics):
        return {d["code"] for d in diagnostics if d["severity"] == 1}

    def test_the_last_change_counts(self):
        with Server() as server:
            server.open(GOOD)
            self.assertIn("unknown-key", self.codes(server.change(GOOD, BAD)))
            self.assertEqual(self.codes(server.change(BAD, GOOD)), set())

    def test_what_nobody_sees_is_not_shown(self):
        """Not in the text, which is refused, and not in the name of a document."""
        hidden = "\N{RIGHT-TO-LEFT OVERRIDE}\N{ZERO WIDTH SPACE}\N{TAG LATIN SMALL LETTER A}"
        name = "".join(f"%{byte:02X}" for byte in hidden.encode())
        with Server() as server:
            for text, code in ((GOOD, "id-not-file-name"),
                               (GOOD.replace("HPC", f"HP{hidden}C"), "hidden-character"),
                               (GOOD.replace("name: ", r'name: "\u202e" # ', 1),
                                "hidden-character")):
                diagnostics = server.open(text, f"file:///tmp/{name}.engine.yaml")
                self.assertIn(code, self.codes(diagnostics))
                for diagnostic in diagnostics:
                    self.assertEqual(set(diagnostic["message"]) & set(hidden), set())

    def test_opened_again_it_has_its_new_text(self):
        with Server() as server:
            self.assertEqual(self.codes(server.open(GOOD)), set())
            self.assertIn("unknown-key", self.codes(server.open(BAD)))
            server.notify("textDocument/didClose", {"textDocument": {"uri": URI}})
            self.assertEqual(server.diagnostics(), [])
            self.assertEqual(server.code("textDocument/hover", HOVER), INVALID_PARAMS)
            self.assertEqual(self.codes(server.open(GOOD)), set())
            self.assertTrue(server.request("textDocument/hover", HOVER))

    def test_a_closed_document_is_not_changed(self):
        with Server() as server:
            server.open(GOOD)
            server.notify("textDocument/didClose", {"textDocument": {"uri": URI}})
            self.assertEqual(server.diagnostics(), [])
            server.notify("textDocument/didClose", {"textDocument": {"uri": URI}})
            server.notify("textDocument/didChange", {
                "textDocument": {"uri": URI}, "contentChanges": [{"text": BAD}]})
            self.assertEqual(server.code("textDocument/hover", HOVER), INVALID_PARAMS)

    def test_several_are_kept_apart(self):
        texts = {f"file:///tmp/{n}.engine.yaml": GOOD.replace("id: quern-12", f"id: {n}")
                 .replace("id: crank", f"id: crank-{n}").replace("pad: crank", f"pad: crank-{n}")
                 for n in ("one", "two", "three")}
        def pads(server, uri):
            return [s["name"] for s in server.request("textDocument/documentSymbol", {
                "textDocument": {"uri": uri}}) if s["detail"] == "pad"]
        with Server() as server:
            for uri, text in texts.items():
                self.assertEqual(self.codes(server.open(text, uri)), set())
            for uri in texts:
                self.assertEqual(pads(server, uri), [f"crank-{uri[12:-12]}"])
            for closed in ("two", "one", "three"):
                uri = f"file:///tmp/{closed}.engine.yaml"
                server.notify("textDocument/didClose", {"textDocument": {"uri": uri}})
                self.assertEqual(server.diagnostics(uri), [])
                del texts[uri]
                for left in texts:
                    self.assertEqual(pads(server, left), [f"crank-{left[12:-12]}"])

    def test_a_file_is_known_by_its_name(self):
        def named(uri):
            return "id-not-file-name" not in self.codes(server.open(GOOD, uri))
        with Server() as server:
            self.assertTrue(named("file:///a%20b/quern-12.engine.yaml"))
            self.assertTrue(named("file:///a/quern%2d12.engine.yaml"))
            self.assertTrue(named("file:///a/quern%2D12.engine.yaml"))
            self.assertFalse(named("file:///a/quern%2.engine.yaml"))
            self.assertFalse(named("file:///a/quern%zz12.engine.yaml"))
            self.assertFalse(named("file:///a/quern-12.engine.yaml%"))
            self.assertFalse(named("file:///a/other.engine.yaml"))
            self.assertFalse(named("file:///a/%ff%fe.engine.yaml"), "a name of any bytes")
            self.assertTrue(named("untitled:Untitled-1"), "it has no name yet")
            self.assertTrue(named("git:/a/other.engine.yaml?HEAD"), "it is in no file")

    def test_a_policy_is_found_from_the_file(self):
        with Server() as server:
            text = GOOD.replace("    backlash: 1.2 deg\n", "")
            def weight(uri):
                (found,) = [d for d in server.open(text, uri) if d["code"] == "backlash-missing"]
                return found["severity"]
            self.assertEqual(weight(URI), 1, "as engines-demo's policy has it")
            self.assertEqual(weight("file:///nowhere/quern-12.engine.yaml"), 2)

    def test_every_kind_of_file(self):
        with Server() as server:
            for name in ("devices/skiff-1.device.yaml", "rotortab.policy.yaml",
                         "engines/snath-5.engine.json"):
                text = (DEMO / name).read_text(encoding="utf-8")
                uri = f"file://{DEMO}/{name}"
                self.assertEqual(self.codes(server.open(text, uri)), set(), name)
                self.assertEqual(bool(server.request("textDocument/documentSymbol", {
                    "textDocument": {"uri": uri}})), "engine" in name)

    def test_what_is_no_source(self):
        with Server() as server:
            for text, code in (("", "unknown-kind"), ("\n# nothing\n", "unknown-kind"),
                               ("[1]", "unknown-kind"), ("id: x", "unknown-kind"),
                               ("a: b\0c", "yaml-syntax"), ("a: \x07", "yaml-syntax"),
                               ("a: [", "yaml-syntax"),
                               ("engine-definition: 2\n", "unknown-version"),
                               ("#" * (1 << 20) + "\n", "too-large")):
                with self.subTest(text[:20]):
                    self.assertEqual(self.codes(server.open(text)), {code})
                    for method in ("hover", "definition"):
                        server.at(method, {"line": 0, "character": 1})
                    server.labels("|" + text.replace("|", ""))

    def test_very_many_findings(self):
        count = share.number(80_000, 2000)
        keys = "".join(f"k{i}: 1\n" for i in range(count))
        row = ", ".join(f"k{i}: 1" for i in range(count * 3 // 4))
        with Server() as server:
            for text in (f"engine-definition: 1\n{keys}", f"{{engine-definition: 1, {row}}}"):
                found = server.open(text)
                self.assertEqual(len(found), 1001)
                self.assertRegex(found[-1]["message"], "^[0-9]+ more findings are not shown$")
                self.assertLessEqual(len(server.actions(0, 10 ** 6)), 1000)

    def test_very_many_edits(self):
        letters = "abcdefghijklmnopqrstuvwxyz"
        slips = "".join(f"revisi{a}{b}: 1\n" for a in letters for b in letters + letters.upper()
                        if a + b != "on")
        with Server() as server:
            server.open(f"engine-definition: 1\n{slips}")
            self.assertEqual(len(server.actions(0, 10 ** 6)), 1000)

    def test_very_many_lines(self):
        with Server() as server:
            count = share.number(1_000_000)
            for text in ("\n" * count, "a:\n" * (count // 3),
                         "engine-definition: 1\n" + "- \n" * (count // 3),
                         "".join(" " * n + "a:\n" for n in range(1400))):
                last = text.count("\n") - 1
                server.open(text)
                server.at("hover", {"line": last, "character": 0})
                server.at("completion", {"line": last, "character": 2})


if __name__ == "__main__":
    unittest.main()
