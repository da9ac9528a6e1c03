"""The language server over two pipes, one message at a time."""

import atexit
import json
import os
import pathlib
import shutil
import subprocess
import tempfile
import unittest

PROGRAM = str(pathlib.Path(os.environ.get("ROTORTAB", "build/rotortab")).resolve())
# A copy of the demonstration in which no fleet definition has a cross-check: the tests put other
# texts under the names of its definitions.
SCRATCH = tempfile.mkdtemp(prefix="lsp-demo-")
DEMO = pathlib.Path(shutil.copytree("engines-demo", f"{SCRATCH}/engines-demo")).resolve()
atexit.register(shutil.rmtree, SCRATCH)
for second in DEMO.glob("engines/*.cross-check.yaml"):
    second.unlink()
URI = f"file://{DEMO}/engines/quern-12.engine.yaml"


def frame(body):
    """A message as bytes with its header; bytes stay as they are."""
    if not isinstance(body, bytes):
        body = json.dumps(body).encode()
    return b"Content-Length: %d\r\n\r\n%s" % (len(body), body)


def units(text):
    """How many UTF-16 units a text has."""
    return len(text.encode("utf-16-le")) // 2


def part(text, at):
    """The text in a range; lines end with LF, CR LF or CR."""
    lines = text.replace("\r\n", "\n").replace("\r", "\n").split("\n")
    lines = lines[at["start"]["line"]:at["end"]["line"] + 1]
    encoded = [line.encode("utf-16-le") for line in lines]
    encoded[-1] = encoded[-1][:2 * at["end"]["character"]]
    encoded[0] = encoded[0][2 * at["start"]["character"]:]
    return "\n".join(line.decode("utf-16-le") for line in encoded)


def apply(text, edits):
    """A text after edits, applied from its end."""
    lines = text.split("\n")
    def offset(position):
        before = lines[position["line"]].encode("utf-16-le")[:2 * position["character"]]
        return (sum(len(line) + 1 for line in lines[:position["line"]])
                + len(before.decode("utf-16-le")))
    for edit in sorted(edits, key=lambda e: offset(e["range"]["start"]), reverse=True):
        start, end = (offset(edit["range"][side]) for side in ("start", "end"))
        text = text[:start] + edit["newText"] + text[end:]
    return text


def marked(text):
    """From a text with a | in it: the text without it, and its place as a Position."""
    before, after = text.split("|")
    line = before.count("\n")
    return before + after, {"line": line, "character": units(before.split("\n")[line])}


def cursor(text, place):
    """The text, with its first `place` replaced by a copy that has a | in it."""
    assert place.replace("|", "") in text, place
    return text.replace("|", "/").replace(place.replace("|", ""), place, 1)


class Server:
    """An initialized server; end it with `stop` or a `with`."""

    def __init__(self, *arguments, cwd=DEMO, initialized=True, stderr=None, capabilities=None):
        self.process = subprocess.Popen([PROGRAM, "lsp", *map(str, arguments)], cwd=cwd,
                                        stdin=subprocess.PIPE, stdout=subprocess.PIPE,
                                        stderr=stderr)
        self.number = 0
        if initialized:
            self.capabilities = self.request("initialize", {
                "capabilities": capabilities or {}})["capabilities"]
            self.notify("initialized", {})

    def __enter__(self):
        return self

    def __exit__(self, kind, *_):
        if kind:
            self.process.kill()
            self.process.communicate()
        else:
            self.stop()

    def stop(self):
        """Ends the server as an editor does."""
        self.request("shutdown", None)
        self.notify("exit", None)
        self.process.communicate(timeout=60)
        assert self.process.returncode == 0, self.process.returncode

    def send(self, body):
        self.process.stdin.write(frame(body))
        self.process.stdin.flush()

    def receive(self):
        head = self.process.stdout.readline()
        assert head.startswith(b"Content-Length: "), head
        assert self.process.stdout.readline() == b"\r\n"
        return json.loads(self.process.stdout.read(int(head.split()[1])))

    def notify(self, method, params):
        self.send({"jsonrpc": "2.0", "method": method, "params": params})

    def answer(self, method, params):
        """The whole answer to a request; it must be the next message."""
        self.number += 1
        self.send({"jsonrpc": "2.0", "id": self.number, "method": method, "params": params})
        answer = self.receive()
        assert answer["id"] == self.number and answer["jsonrpc"] == "2.0", answer
        return answer

    def request(self, method, params):
        """The result of a request."""
        return self.answer(method, params)["result"]

    def code(self, method, params):
        """The error code of a refused request."""
        return self.answer(method, params)["error"]["code"]

    def diagnostics(self, uri=URI):
        """The next message; it must be the findings of that document."""
        message = self.receive()
        assert message["method"] == "textDocument/publishDiagnostics", message
        assert message["params"]["uri"] == uri, message
        return message["params"]["diagnostics"]

    def open(self, text, uri=URI):
        self.notify("textDocument/didOpen", {"textDocument": {
            "uri": uri, "languageId": "yaml", "version": 1, "text": text}})
        return self.diagnostics(uri)

    def change(self, *texts, uri=URI):
        self.notify("textDocument/didChange", {
            "textDocument": {"uri": uri, "version": 2},
            "contentChanges": [{"text": text} for text in texts]})
        return self.diagnostics(uri)

    def close(self, uri=URI):
        """Closes a document, so that it is not judged again at each change of another one."""
        self.notify("textDocument/didClose", {"textDocument": {"uri": uri}})
        assert self.diagnostics(uri) == []

    def at(self, method, position, uri=URI):
        """The result of a request about a position."""
        return self.request(f"textDocument/{method}",
                            {"textDocument": {"uri": uri}, "position": position})

    def ask(self, method, text, uri=URI):
        """The same at the | of a text; the document becomes the text without it."""
        text, position = marked(text)
        self.open(text, uri)
        return self.at(method, position, uri)

    def labels(self, text, uri=URI):
        """The completions at the |."""
        return [item["label"] for item in self.ask("completion", text, uri)]

    def hover(self, text, uri=URI):
        """The hover at the |; "" for none."""
        result = self.ask("hover", text, uri)
        return result["contents"]["value"] if result else ""

    def actions(self, first, last, uri=URI, **context):
        """The actions for a range of lines."""
        return self.request("textDocument/codeAction", {
            "textDocument": {"uri": uri}, "context": {"diagnostics": [], **context},
            "range": {"start": {"line": first, "character": 0},
                      "end": {"line": last, "character": 0}}})


class WithServer(unittest.TestCase):
    """One server for each class, with a device; each test opens its own texts."""

    @classmethod
    def setUpClass(cls):
        cls.server = Server("--device", "devices/slipway-4.device.yaml")
        cls.addClassCleanup(cls.server.__exit__, None)
