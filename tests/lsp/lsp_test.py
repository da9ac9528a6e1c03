"""The language server, with a real client: vscode-languageserver-protocol from npm, over a pipe.

The tests send broken frames and messages as raw bytes.
"""

import json
import os
import pathlib
import shutil
import subprocess
import sys
import tempfile
import unittest

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parent.parent))
import node  # pylint: disable=wrong-import-position

HERE = pathlib.Path(__file__).resolve().parent
PROGRAM = str(pathlib.Path(os.environ.get("ROTORTAB", "build/rotortab")).resolve())
DEMO = pathlib.Path("engines-demo").resolve()
DEVICE = DEMO / "devices/slipway-4.device.yaml"


@unittest.skipIf(node.ABSENT, f"not on this machine: {', '.join(node.ABSENT)}")
class Client(unittest.TestCase):
    """One conversation, from initialize to exit."""

    @classmethod
    def setUpClass(cls):
        with tempfile.TemporaryDirectory() as scratch:
            file = pathlib.Path(scratch) / "quern-12.engine.yaml"
            shutil.copy(DEMO / "engines/quern-12.engine.yaml", file)
            cls.uri = f"file://{file}"
            done = subprocess.run(["node", HERE / "client.js", node.modules("lsp"), PROGRAM, file,
                                   DEVICE], capture_output=True, text=True, timeout=60, check=True)
        cls.answers = json.loads(done.stdout)

    def codes(self, diagnostics):
        return [d["code"] for d in diagnostics]

    def labels(self, name):
        return [item["label"] for item in self.answers[name]]

    def test_order_of_life(self):
        self.assertEqual(self.answers["early"], -32002)
        self.assertEqual(self.answers["initialized"]["serverInfo"]["name"], "rotortab")
        self.assertEqual(self.answers["closed"], [])
        self.assertEqual(self.answers["late"], -32600)
        self.assertEqual(self.answers["status"], 0)

    def test_a_clean_document_has_no_error(self):
        self.assertEqual([d for d in self.answers["clean"] if d["severity"] < 3], [])

    def test_mistakes_are_found_and_mended(self):
        mended = self.answers["mended"]
        for name, code in (("swapped", "ratio-swapped"), ("key", "unknown-key"),
                           ("unit", "wrong-unit"), ("reference", "reference-unknown")):
            with self.subTest(name):
                self.assertIn(code, self.codes(mended[name]["found"]))
                self.assertTrue(any(o["same"] and o["errors"] == 0
                                    for o in mended[name]["offered"]), mended[name]["offered"])
        self.assertEqual([o["title"] for o in mended["unit"]["offered"]],
                         ["Write lbf.ft"])

    def test_diagnostics_are_placed_in_utf_16(self):
        (found,) = [d for d in self.answers["wide"] if d["code"] == "wrong-shape"]
        self.assertEqual(found["range"]["end"]["character"] - found["range"]["start"]["character"],
                         len('{"..": 1}'))

    def test_hover_says_what_follows(self):
        self.assertIn("G = 44321/14616", self.answers["hover"]["contents"]["value"])
        self.assertIn("the table of drive pads", self.answers["hover"]["contents"]["value"])
        self.assertIn("pitch 360 / 31", self.answers["stage"]["contents"]["value"])

    def test_completion(self):
        self.assertIn("backlash", self.labels("keys"))
        self.assertEqual(self.labels("words"), ["both", "cw", "ccw"])
        self.assertEqual(self.labels("ids"), ["HP", "LP"])
        self.assertIn("drives", self.labels("typing"))

    def test_definition_and_symbols(self):
        place = self.answers["definition"]
        text = (DEMO / "engines/quern-12.engine.yaml").read_text().split("\n")
        line = text[place["range"]["start"]["line"]]
        self.assertEqual(line[place["range"]["start"]["character"]:
                              place["range"]["end"]["character"]], "HP")
        self.assertIn("- id: HP", line)
        names = [s["name"] for s in self.answers["symbols"]]
        self.assertEqual(names[0], "HP")
        self.assertIn("crank", names)

    def test_what_it_does_not_know_is_refused(self):
        self.assertEqual(self.answers["unknown"], -32601)
        self.assertEqual(self.answers["lost"], -32602)


def frame(body):
    if not isinstance(body, bytes):
        body = json.dumps(body).encode()
    return b"Content-Length: %d\r\n\r\n%s" % (len(body), body)


def talk(*frames, status):
    """Sends raw bytes, closes, and returns the answers."""
    done = subprocess.run([PROGRAM, "lsp"], input=b"".join(frames), capture_output=True,
                          timeout=30, cwd=DEMO)
    assert done.returncode == status, (done.returncode, done.stderr)
    answers, rest = [], done.stdout
    while rest:
        head, rest = rest.split(b"\r\n\r\n", 1)
        length = int(head.split(b":")[1])
        answers.append(json.loads(rest[:length]))
        rest = rest[length:]
    return answers


class Broken(unittest.TestCase):
    """Messages that no client should send."""

    INITIALIZE = frame({"jsonrpc": "2.0", "id": 1, "method": "initialize", "params": {}})
    SHUTDOWN = frame({"jsonrpc": "2.0", "id": 9, "method": "shutdown"})
    EXIT = frame({"jsonrpc": "2.0", "method": "exit"})

    def test_no_json_is_refused_and_the_server_goes_on(self):
        answers = talk(self.INITIALIZE, frame(b"{nonsense"), frame(b"[1]"), frame(b""),
                       self.SHUTDOWN, self.EXIT, status=0)
        self.assertEqual([a.get("error", {}).get("code") for a in answers],
                         [None, -32700, -32700, -32700, None])

    def test_odd_messages(self):
        odd = [{"jsonrpc": "2.0", "id": 2}, {"jsonrpc": "2.0", "id": 3, "method": 7},
               {"jsonrpc": "2.0", "id": 4, "method": "textDocument/hover"},
               {"jsonrpc": "2.0", "id": 5, "method": "textDocument/hover", "params": [1, 2]},
               {"jsonrpc": "2.0", "method": "textDocument/didOpen", "params": {"textDocument": 3}},
               {"jsonrpc": "2.0", "method": "textDocument/didChange", "params": None},
               {"jsonrpc": "2.0", "method": "$/unheardOf"},
               {"jsonrpc": "2.0", "id": 6, "result": 1}]
        answers = talk(self.INITIALIZE, *map(frame, odd), self.SHUTDOWN, self.EXIT, status=0)
        self.assertEqual([a.get("error", {}).get("code") for a in answers[1:-1]],
                         [-32600, -32600, -32602, -32602])

    def test_positions_beyond_the_text(self):
        uri = "file:///x.engine.yaml"
        opened = frame({"jsonrpc": "2.0", "method": "textDocument/didOpen", "params": {
            "textDocument": {"uri": uri, "text": "engine-definition: 1\nid: x\n"}}})
        asks = [frame({"jsonrpc": "2.0", "id": i, "method": f"textDocument/{method}", "params": {
            "textDocument": {"uri": uri}, "position": {"line": line, "character": character}}})
            for i, (method, line, character) in enumerate(
                (m, l, c) for m in ("hover", "completion", "definition")
                for l, c in ((0, 9999), (9999, 0), (-1, 0), (2 ** 40, 1)))]
        answers = talk(self.INITIALIZE, opened, *asks, self.SHUTDOWN, self.EXIT, status=0)
        self.assertEqual(len(answers), 1 + 1 + len(asks) + 1)

    def test_frames_that_cannot_be_followed_end_it(self):
        for bad in (b"Content-Length: -5\r\n\r\n", b"Content-Length: 99999999999\r\n\r\n",
                    b"x\r\n\r\n", b"Content-Length: 50\r\n\r\n{}"):
            with self.subTest(bad):
                talk(self.INITIALIZE, bad, status=2)
        talk(self.INITIALIZE, status=1)

    def test_exit_without_shutdown_is_a_failure(self):
        talk(self.INITIALIZE, self.EXIT, status=1)


if __name__ == "__main__":
    unittest.main()
