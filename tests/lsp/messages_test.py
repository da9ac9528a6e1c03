"""The life of the language server, and its messages: right ones and wrong ones."""

import itertools
import json
import os
import pathlib
import subprocess
import sys
import time
import unittest

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parent))
from server import DEMO, URI, Server, frame  # pylint: disable=wrong-import-position

PARSE_ERROR, INVALID_REQUEST, NOT_FOUND, INVALID_PARAMS = -32700, -32600, -32601, -32602
NOT_INITIALIZED = -32002

GOOD = (DEMO / "engines/quern-12.engine.yaml").read_text(encoding="utf-8")
BAD = GOOD.replace("numbering:", "numbring:")
HOVER = {"textDocument": {"uri": URI}, "position": {"line": 3, "character": 0}}


class Life(unittest.TestCase):
    """initialize, shutdown, exit."""

    def end(self, server, status):
        server.process.communicate(timeout=60)
        self.assertEqual(server.process.returncode, status)

    def test_before_initialize_only_initialize_is_answered(self):
        server = Server(initialized=False)
        for method in ("textDocument/hover", "shutdown", "textDocument/nothing"):
            self.assertEqual(server.code(method, HOVER), NOT_INITIALIZED)
        server.notify("textDocument/didOpen", {"textDocument": {"uri": URI, "text": BAD}})
        server.request("initialize", {})
        self.assertEqual(server.code("textDocument/hover", HOVER), INVALID_PARAMS,
                         "what was opened too early is not open")
        server.stop()

    def test_capabilities(self):
        with Server() as server:
            self.assertEqual(server.capabilities["renameProvider"], True)
            self.assertEqual(server.capabilities["textDocumentSync"],
                             {"openClose": True, "change": 1, "save": True})
            self.assertEqual(server.capabilities["positionEncoding"], "utf-16")
            self.assertEqual(server.capabilities["codeActionProvider"],
                             {"codeActionKinds": ["quickfix"]})

    def test_a_client_that_asks_before_it_renames(self):
        ability = {"textDocument": {"rename": {"prepareSupport": True}}}
        with Server(capabilities=ability) as server:
            self.assertEqual(server.capabilities["renameProvider"], {"prepareProvider": True})

    def test_everything_that_is_announced_is_answered(self):
        at = {**HOVER, "context": {"diagnostics": []}, "newName": "x",
              "range": {"start": HOVER["position"], "end": HOVER["position"]}}
        with Server() as server:
            server.open(GOOD)
            methods = {name[:-len("Provider")] for name in server.capabilities
                       if name.endswith("Provider")}
            self.assertEqual(len(methods), 8)
            for method in methods:
                answer = server.answer(f"textDocument/{method}", at)
                self.assertNotEqual(answer.get("error", {}).get("code"), NOT_FOUND, method)

    def test_versions_come_back(self):
        with Server() as server:
            def version(method, **document):
                server.notify(f"textDocument/{method}", {
                    "textDocument": {"uri": URI, **document},
                    "contentChanges": [{"text": GOOD}]})
                return server.receive()["params"].get("version")
            self.assertEqual(version("didOpen", version=5, text=BAD), 5)
            self.assertEqual(version("didChange", version=-2), -2)
            self.assertIsNone(version("didChange"))
            self.assertIsNone(version("didChange", version="9"))
            self.assertEqual(version("didChange", version=2 ** 31), 2 ** 31)
            self.assertIsNone(version("didClose"))

    def test_the_process_of_the_client_ends(self):
        """The server ends too, although its input stays open."""
        client = subprocess.Popen(["sleep", "60"])
        server = Server(initialized=False)
        server.request("initialize", {"capabilities": {}, "processId": client.pid})
        server.notify("initialized", {})
        server.open(GOOD)
        time.sleep(1.5)  # it has looked for the process, and waits on
        self.assertTrue(server.request("textDocument/hover", HOVER))
        client.kill()
        client.wait()
        self.assertEqual(server.process.wait(timeout=30), 1)
        server.process.communicate()

    def test_the_process_of_the_client_ends_in_a_message(self):
        client = subprocess.Popen(["sleep", "60"])
        server = Server(initialized=False, stderr=subprocess.PIPE)
        server.request("initialize", {"capabilities": {}, "processId": client.pid})
        server.process.stdin.write(b"Content-Length: 100\r\n\r\n{")
        server.process.stdin.flush()
        client.kill()
        client.wait()
        self.assertEqual(server.process.wait(timeout=30), 2)
        self.assertIn(b"the input ended inside a message", server.process.communicate()[1])

    def test_a_client_without_a_process(self):
        servers = {}
        for process in (None, 0, -1, 2 ** 40, "1", os.getpid()):
            servers[process] = Server(initialized=False)
            servers[process].request("initialize", {"capabilities": {}, "processId": process})
        time.sleep(1.5)  # each has looked for its process
        for process, server in servers.items():
            self.assertIsNone(server.process.poll(), process)
            server.stop()

    def test_initialize_comes_once(self):
        with Server() as server:
            server.open(GOOD)
            self.assertEqual(server.code("initialize", {}), INVALID_REQUEST)
            self.assertTrue(server.request("textDocument/hover", HOVER))

    def test_after_shutdown_every_request_is_refused(self):
        server = Server()
        server.open(GOOD)
        self.assertIsNone(server.request("shutdown", None))
        for method in ("textDocument/hover", "shutdown", "initialize", "nothing"):
            self.assertEqual(server.code(method, HOVER), INVALID_REQUEST)
        server.notify("exit", None)
        self.end(server, 0)

    def test_exit_at_once(self):
        server = Server(initialized=False)
        server.notify("exit", None)
        self.assertEqual(server.process.wait(timeout=60), 1, "while its input is still open")
        server.process.communicate()

    def test_input_that_ends_is_no_order(self):
        server = Server()
        server.request("shutdown", None)
        self.end(server, 1)

    def test_wrong_usage(self):
        server = Server("--today", "someday", initialized=False, stderr=subprocess.DEVNULL)
        self.end(server, 2)


class Messages(unittest.TestCase):
    """Single messages, right and wrong."""

    def setUp(self):
        self.server = Server()
        self.addCleanup(self.server.__exit__, None)
        self.server.open(GOOD)

    def test_ids_are_given_back_as_they_are(self):
        for number in ("seven", "", 0, -1, 2 ** 53, "\u00e9\U0001f527"):
            self.server.send({"jsonrpc": "2.0", "id": number, "method": "nothing"})
            answer = self.server.receive()
            self.assertEqual((answer["id"], answer["error"]["code"]), (number, NOT_FOUND))

    def test_unknown_methods(self):
        self.assertEqual(self.server.code("$/unknown", {}), NOT_FOUND)
        self.assertEqual(self.server.code("workspace/symbol", {"query": ""}), NOT_FOUND)
        self.server.notify("$/cancelRequest", {"id": 1})
        self.server.notify("$/setTrace", {"value": "off"})
        self.server.notify("workspace/didChangeConfiguration", {"settings": None})

    def test_requests_and_notifications_are_not_mixed_up(self):
        self.server.notify("textDocument/hover", HOVER)
        self.server.notify("shutdown", None)
        self.server.send({"jsonrpc": "2.0", "id": 77, "method": "textDocument/didClose",
                          "params": {"textDocument": {"uri": URI}}})
        self.assertTrue(self.server.request("textDocument/hover", HOVER), "still open, still up")

    def test_answers_to_nothing_are_passed_over(self):
        self.server.send({"jsonrpc": "2.0", "id": 5, "result": None})
        self.server.send({"jsonrpc": "2.0", "id": 5, "error": {"code": 1, "message": "x"}})
        self.server.send({"jsonrpc": "2.0"})
        answer = self.server.receive()
        self.assertEqual((answer["id"], answer["error"]["code"]), (None, INVALID_REQUEST))

    def test_wrong_types_in_params(self):
        odd = (None, 7, "x", [], {}, [[]], {"line": 0}, {"line": "0", "character": 0},
               {"line": 0, "character": 0.5}, {"line": -1, "character": 0},
               {"line": 0, "character": -1}, {"line": None, "character": 1})
        for method, position in itertools.product(("hover", "completion", "definition"), odd):
            with self.subTest(method=method, position=position):
                self.assertEqual(self.server.code(f"textDocument/{method}", {
                    "textDocument": {"uri": URI}, "position": position}), INVALID_PARAMS)
        for start, end in itertools.product(odd, odd[:3]):
            self.assertEqual(self.server.code("textDocument/codeAction", {
                "textDocument": {"uri": URI}, "range": {"start": start, "end": end}}),
                INVALID_PARAMS)
        fine = {"line": 0, "character": 0}
        self.assertEqual(self.server.code("textDocument/codeAction", {
            "textDocument": {"uri": URI}, "range": {"start": fine, "end": 3}}), INVALID_PARAMS)

    def test_wrong_documents_in_params(self):
        for method in ("hover", "completion", "definition", "documentSymbol", "codeAction"):
            for document in (None, 3, "x", {}, {"uri": None}, {"uri": 3},
                             {"uri": "file:///nowhere"}):
                with self.subTest(method=method, document=document):
                    self.assertEqual(self.server.code(f"textDocument/{method}", {
                        **HOVER, "textDocument": document}), INVALID_PARAMS)

    def test_notifications_that_say_nothing_change_nothing(self):
        for params in (None, [], {}, {"textDocument": {}}, {"textDocument": {"uri": 3}},
                       {"textDocument": {"uri": URI}},
                       {"textDocument": {"uri": URI, "text": 3}, "contentChanges": [{"text": 3}]},
                       {"textDocument": {"uri": URI}, "contentChanges": []},
                       {"textDocument": {"uri": URI}, "contentChanges": "x"}):
            self.server.notify("textDocument/didOpen", params)
            self.server.notify("textDocument/didChange", params)
            self.server.notify("textDocument/didClose", {**(params or {}), "textDocument": {}}
                               if isinstance(params, dict) else params)
        self.assertTrue(self.server.request("textDocument/hover", HOVER))

    def test_json_that_is_none(self):
        for body in (b"", b"null", b"3", b"[]", b"{", b'{"a":1,"a":2}', b'{"a":"\xff"}',
                     b'{"id":1,"method":"x"} more', b'{"a":"\\ud800"}', b"\xef\xbb\xbf{}"):
            with self.subTest(body):
                self.server.send(body)
                answer = self.server.receive()
                self.assertEqual((answer["id"], answer["error"]["code"]), (None, PARSE_ERROR))


class Frames(unittest.TestCase):
    """Headers, right and wrong."""

    UNKNOWN = {"jsonrpc": "2.0", "id": "x", "method": "nothing"}

    def code(self, server):
        return server.receive()["error"]["code"]

    def test_headers_that_are_one(self):
        body = json.dumps(self.UNKNOWN).encode()
        length = len(body)
        long_line = b"X-Long: " + b"y" * 1000
        with Server() as server:
            for head in (b"Content-Length: %d\r\nContent-Type: application/vscode-jsonrpc\r\n\r\n",
                         b"Content-Type: x\r\nContent-Length: %d\r\n\r\n",
                         b"content-length:%d\r\n\r\n", b"CONTENT-LENGTH: \t %d \t\r\n\r\n",
                         b"Content-Length: %d\n\n", long_line + b"\r\nContent-Length: %d\r\n\r\n",
                         # The last piece of the line is only a line end, or looks like a field.
                         b"y" * 254 + b"\r\nContent-Length: %d\r\n\r\n",
                         b"y" * 255 + b"\nContent-Length: %d\r\n\r\n",
                         b"Content-Length: %d\r\n" + b"y" * 255 + b"Content-Length: 3\r\n\r\n"):
                with self.subTest(head):
                    server.process.stdin.write(head % length + body)
                    server.process.stdin.flush()
                    self.assertEqual(self.code(server), NOT_FOUND)

    def test_headers_that_are_none_end_it(self):
        good = json.dumps(self.UNKNOWN).encode()
        for head in (b"\r\n\r\n", b"Content-Type: x\r\n\r\n", b"Content-Length:\r\n\r\n",
                     b"Content-Length: \r\n\r\n", b"Content-Length: -1\r\n\r\n",
                     b"Content-Length: +5\r\n\r\n", b"Content-Length: 0x5\r\n\r\n",
                     b"Content-Length: 5 5\r\n\r\n", b"Content-Length: x\r\n\r\n"):
            with self.subTest(head):
                self.lost(head + good, b"no Content-Length, or it is not a number")

    def lost(self, data, reason):
        """The server ends without a message to the client; the reason is on standard error."""
        server = Server(stderr=subprocess.PIPE)
        out, said = server.process.communicate(data, timeout=60)
        self.assertEqual((out, server.process.returncode), (b"", 2))
        self.assertRegex(said, b"^rotortab: .*" + reason + b".*\n$")

    def test_input_that_ends_within_a_message(self):
        for cut in (b"Content-Length: 5", b"Content-Length: 5\r\n", b"C" * 5000,
                    frame(self.UNKNOWN)[:-1], frame(self.UNKNOWN)[:-20],
                    b"Content-Length: 999999999999\r\n\r\n{}",
                    b"Content-Length: 99999999999999999999999\r\n\r\n{}"):
            with self.subTest(cut):
                self.lost(cut, b"the input ended inside a message")

    def test_a_body_too_large_is_passed_over(self):
        with Server() as server:
            for length in (16 * 1024 * 1024 + 1, 20_000_000):
                server.send(b" " * length)
                answer = server.receive()
                self.assertEqual((answer["id"], answer["error"]["code"]), (None, INVALID_REQUEST))
            server.send(b" " * (16 * 1024 * 1024))
            self.assertEqual(self.code(server), PARSE_ERROR)
            server.open(GOOD)


if __name__ == "__main__":
    unittest.main()
