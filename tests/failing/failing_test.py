"""Every call can fail: each allocation, each write, each rename is made to fail in turn.

failing.c is loaded before the program and makes its Nth call fail, either only that one or all from
there on. For every N the run must end in one of two ways. Either the status is 2, with a reason,
and every file is as it was; or output, status and files are those of the undisturbed run.

Part of all N is tried. FAILING_ALL=1 tries each of them, which takes a quarter of an hour.
"""

import concurrent.futures
import json
import mmap
import os
import pathlib
import shutil
import subprocess
import sys
import tempfile
import unittest

HERE = pathlib.Path(__file__).resolve().parent
sys.path.insert(0, str(HERE.parent / "hostile"))
import confined  # pylint: disable=wrong-import-position

ALL = os.environ.get("FAILING_ALL") == "1"
SHARE = 8 if confined.SANITIZED else 100  # runs of a case, for each of the two kinds
SECONDS = 60
AT_ONCE = 2

ENGINE = "dibble-3.engine.yaml"
DEVICE = "slipway-4.device.yaml"
OLD = "the old content\n"

WAIVED = """
waive:
  - {rule: backlash-large, because: nothing here, until: 2030-01-01}
"""
ODD = """engine-definition: 1
id: odd
name: !<tag:y> &a Odd
models: [!!str Odd, *a, "a\\u0007b"]
revision: 0x1f
status: don
source: [
"""


def message(method, number=None, **params):
    """A message of the language server's protocol."""
    content = {"jsonrpc": "2.0", "method": method, "params": params}
    if number is not None:
        content["id"] = number
    body = json.dumps(content)
    return f"Content-Length: {len(body)}\r\n\r\n{body}"


def session(text):
    """The messages of an editor that opens a file, asks, changes it, and ends."""
    uri = "file:///nowhere/dibble-3.engine.yaml"
    lines = text.split("\n")
    pad = next(i for i, line in enumerate(lines) if line.startswith("pads:")) + 1
    place = {"textDocument": {"uri": uri}, "position": {"line": pad, "character": 4}}
    whole = {"start": {"line": 0, "character": 0}, "end": {"line": 900, "character": 0}}
    wrong = text.replace("numbering:", "numbring:").replace("role: compressor", "role: compresor")
    return "".join([
        message("initialize", 1, capabilities={}),
        message("initialized"),
        message("textDocument/didOpen", textDocument={"uri": uri, "text": text}),
        message("textDocument/hover", 2, **place),
        message("textDocument/completion", 3, **place),
        message("textDocument/documentSymbol", 4, **place),
        message("textDocument/definition", 5, textDocument={"uri": uri},
                position={"line": pad + 1, "character": 12}),
        message("textDocument/didChange", textDocument={"uri": uri},
                contentChanges=[{"text": wrong}]),
        message("textDocument/codeAction", 6, textDocument={"uri": uri}, range=whole, context={}),
        message("textDocument/didClose", textDocument={"uri": uri}),
        message("shutdown", 7),
        message("exit"),
    ]).encode()


def fill(folder):
    """Writes the files for the cases."""
    text = (confined.DEMO / "engines" / ENGINE).read_text()
    for name, content in {
            ENGINE: text,
            "odd.engine.yaml": ODD,
            "waived.engine.yaml": text.replace("id: dibble-3", "id: waived") + WAIVED,
            "later/" + ENGINE: text.replace("revision: 7", "revision: 8").replace(
                "blades: 26", "blades: 27"),
            DEVICE: (confined.DEMO / "devices" / DEVICE).read_text(),
            "rotortab.policy.yaml": "policy: 1\n",
            "quiet.policy.yaml": "policy: 1\nrules: {step-not-whole: off}\n",
            "warns.policy.yaml": "policy: 1\nrules: {step-not-whole: warning}\n",
            **{f"many/many-{n}.engine.yaml": text.replace("id: dibble-3", f"id: many-{n}")
               for n in range(12)},
            "out/old.rotor": OLD,
            "out/old.json": OLD,
            "out/old.d": OLD,
            "out/old.html": OLD,
            "sheets/index.html": OLD,
            "sheets/many-3.sheet.html": OLD,
            "sheets/gone.sheet.html": OLD}.items():
        path = folder / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(content)
    subprocess.run([confined.PROGRAM, "compile", "-d", DEVICE, "-o", "table.rotor", ENGINE],
                   cwd=folder, check=True, capture_output=True)


COMPILE = ("compile", "-d", DEVICE, "-o", "out/old.rotor", "--manifest", "out/old.json",
           "--depfile", "out/old.d", ENGINE)
SHEET = ("sheet", "-d", DEVICE, "-f", "html", "-o")
NEW = ("new", "knoll-1", "--set", "name=Knoll", "--set", "spools=HP", "-o")

CASES = [
    ("check", "-d", DEVICE, ENGINE, "waived.engine.yaml", "odd.engine.yaml"),
    ("check", "-f", "json", "-d", DEVICE, "waived.engine.yaml", "odd.engine.yaml"),
    ("check", "-f", "sarif", "waived.engine.yaml", "odd.engine.yaml"),
    ("check", "later"),
    ("check", "-j", "3", "many"),
    COMPILE,
    ("compile", "-d", DEVICE, "-o", "out/new.rotor", "--manifest", "-", ENGINE),
    ("show", "table.rotor"),
    ("show", "-f", "json", "table.rotor"),
    ("verify", "--against", ENGINE, "-d", DEVICE, "table.rotor"),
    ("verify", "-f", "json", "--against", ENGINE, "-d", DEVICE, "table.rotor"),
    ("stops", "-d", DEVICE, ENGINE),
    ("stops", "-f", "json", "-d", DEVICE, ENGINE),
    ("explain", "-d", DEVICE, ENGINE),
    ("sheet", "-d", DEVICE, ENGINE),
    ("sheet", "-f", "html", "-d", DEVICE, ENGINE),
    (*SHEET, "out/old.html", ENGINE),
    (*SHEET, "sheets", "many"),
    ("index", ENGINE, "odd.engine.yaml"),
    ("index", "-d", DEVICE, "-f", "json", "many"),
    ("index", "-f", "csv", "many"),
    (*NEW, "-"),
    (*NEW, "out/new.yaml"),
    ("rules",),
    ("rules", "-f", "json"),
    ("rules", "-f", "man"),
    ("schema", "engine-definition"),
    ("schema", "-f", "man", "policy"),
    ("compare", ENGINE, "later/" + ENGINE),
    ("compare", "-d", DEVICE, "-f", "json", ENGINE, "later/" + ENGINE),
    ("compare", "-d", DEVICE, "-f", "markdown", "table.rotor", "later/" + ENGINE),
    ("ratio", "--turns", "2.25", "--meshes", "1..2", "--teeth", "20..40"),
    ("ratio", "-f", "json", "--turns", "2.25", "--meshes", "1..2", "--teeth", "20..40"),
    ("completion", "bash"),
    ("completion", "zsh"),
    ("completion", "fish"),
    ("--help",),
    ("--version",),
    ("check", "--help"),
    ("chek",),
    ("lsp", "-d", DEVICE),
]

if confined.SANITIZED:  # the thread library needs memory to start a thread, and ends the program
    CASES.remove(("check", "-j", "3", "many"))


def content_of(folder):
    """Every file below a folder, with its content."""
    return {os.path.relpath(os.path.join(where, name), folder):
            pathlib.Path(where, name).read_bytes()
            for where, _, files in os.walk(folder) for name in files}


class Place:
    """A folder to run in, and the counter of failing.c."""

    def __init__(self, shared, arguments):
        self.folder = pathlib.Path(tempfile.mkdtemp(prefix="failing-"))
        fill(self.folder)
        self.arguments = arguments
        self.given = session((self.folder / ENGINE).read_text()) if arguments[0] == "lsp" else b""
        self.before = content_of(self.folder)
        self.note = self.folder.with_suffix(".note")
        self.note.write_bytes(bytes(8))
        self.environment = {**os.environ, "NO_COLOR": "1", "SOURCE_DATE_EPOCH": "1782043200",
                            "LC_ALL": "C", "LD_PRELOAD": str(shared),
                            "FAILING_NOTE": str(self.note), "ASAN_OPTIONS": "exitcode=99:"
                            "allocator_may_return_null=1:verify_asan_link_order=0",
                            "UBSAN_OPTIONS": "exitcode=99"}

    def run(self, calls, number, once):
        """The status, both outputs, the files, and the number of calls."""
        with open(self.note, "r+b") as file, mmap.mmap(file.fileno(), 8) as count:
            count[:] = bytes(8)
            done = subprocess.run(
                [confined.PROGRAM, *self.arguments], cwd=self.folder, input=self.given,
                env={**self.environment, "FAILING_CALLS": calls, "FAILING_AT": str(number),
                     "FAILING_ONCE": str(int(once))},
                capture_output=True, timeout=SECONDS, check=False)
            counted = int.from_bytes(count[:], sys.byteorder)
        files = content_of(self.folder)
        if files != self.before:
            self.restore(files)
        return done.returncode, done.stdout, done.stderr, files, counted

    def restore(self, files):
        """Restores all files as they were before a run."""
        for name in set(files) - set(self.before):
            os.unlink(self.folder / name)
        for name, content in self.before.items():
            if files.get(name) != content:
                (self.folder / name).write_bytes(content)

    def remove(self):
        shutil.rmtree(self.folder, ignore_errors=True)
        os.unlink(self.note)


def numbers(count, share):
    """The calls that are made to fail: the first and the last ones, and a part of the others."""
    if ALL or count <= share:
        return range(1, count + 1)
    ends = share // 4
    step = (count - 2 * ends) // (share - 2 * ends) + 1
    return sorted({*range(1, ends + 1), *range(ends + 1, count - ends + 1, step),
                   *range(count - ends + 1, count + 1)})


def fault(undisturbed, ended, before):
    """What is wrong with the end of a run, or None."""
    status, out, err, files, _ = ended
    if status < 0:
        return f"ended by signal {-status}"
    for sign in confined.SIGNS:
        if sign in err:
            return "a sanitizer's report: " + err.decode("utf-8", "replace")[-2000:]
    if (status, out, err, files) == undisturbed[:4]:
        return None
    if status != 2:
        what = [name for name, one, other in zip(("status", "output", "messages", "files"),
                                                 undisturbed, ended) if one != other]
        return f"status {status}, with another {' and '.join(what)}"
    said = set(err.split(b"\n")) - set(undisturbed[2].split(b"\n"))
    if not any(line.startswith(b"rotortab: ") for line in said):
        return f"status 2 without a reason: {err!r}"
    if files != before and b"cannot be put back" not in err and b"cannot be removed" not in err:
        changed = sorted(name for name in {*files, *before} if files.get(name) != before.get(name))
        return f"status 2, and these files are not as they were: {', '.join(changed)}"
    return None


def walk(shared, arguments, calls):
    """Makes one call after the other fail; returns the number of calls, and what was wrong."""
    place = Place(shared, arguments)
    try:
        undisturbed = place.run(calls, 0, False)
        wrong = []
        for once in (True, False):
            for number in numbers(undisturbed[4], SHARE):
                problem = fault(undisturbed, place.run(calls, number, once), place.before)
                if problem:
                    wrong.append(f"{' '.join(arguments)}: {calls} call {number} of "
                                 f"{undisturbed[4]}{' alone' if once else ' and later'}: {problem}")
        return undisturbed[4], wrong
    finally:
        place.remove()


class Failing(unittest.TestCase):
    """All cases, with memory and with files."""

    @classmethod
    def setUpClass(cls):
        cls.folder = tempfile.TemporaryDirectory(prefix="failing-")
        cls.shared = pathlib.Path(cls.folder.name, "failing.so")
        subprocess.run(["cc", "-std=c11", "-O1", "-shared", "-fPIC", "-o", cls.shared,
                        HERE / "failing.c", "-ldl"], check=True)

    @classmethod
    def tearDownClass(cls):
        cls.folder.cleanup()

    def walk_all(self, calls):
        with concurrent.futures.ThreadPoolExecutor(AT_ONCE) as pool:
            walked = list(pool.map(lambda case: walk(self.shared, case, calls), CASES))
        wrong = [line for _, lines in walked for line in lines]
        self.assertFalse(wrong, "\n".join(["", *wrong[:60], f"{len(wrong)} in all"]))
        return [case for case, (count, _) in zip(CASES, walked) if count == 0]

    def test_memory(self):
        self.assertEqual(self.walk_all("memory"), [], "where no call was counted")

    def test_files(self):
        self.assertEqual(self.walk_all("files"), [("chek",)], "where no call was counted")


class Streams(unittest.TestCase):
    """Standard output and standard error that cannot be written, for each case."""

    def setUp(self):
        self.full = open("/dev/full", "wb", buffering=0)  # pylint: disable=consider-using-with
        self.addCleanup(self.full.close)
        end, self.unread = os.pipe()
        os.close(end)
        self.addCleanup(os.close, self.unread)

    def run_with(self, case, script='exec "$@"', **how):
        """Runs a case through the shell in a separate folder; returns the run, and what changed."""
        place = Place("", case)
        self.addCleanup(place.remove)
        how = {"stdout": subprocess.PIPE, "stderr": subprocess.PIPE, **how}
        done = subprocess.run(["sh", "-c", script, "sh", confined.PROGRAM, *case],
                              cwd=place.folder, input=place.given, check=False,
                              env={**place.environment, "LD_PRELOAD": ""}, timeout=SECONDS, **how)
        return done, content_of(place.folder) != place.before

    def test_standard_output(self):
        for case in CASES:
            undisturbed, _ = self.run_with(case)
            if not undisturbed.stdout:
                continue
            for reason, how in ((b"No space left on device", {"stdout": self.full}),
                                (b"Bad file descriptor", {"script": 'exec "$@" >&-'}),
                                (b"Broken pipe", {"script": 'trap "" PIPE; exec "$@"',
                                                  "stdout": self.unread})):
                with self.subTest(case=case, reason=reason):
                    done, changed = self.run_with(case, **how)
                    self.assertEqual(done.returncode, 2, done.stderr)
                    self.assertEqual(done.stderr.count(
                        b"rotortab: cannot write to standard output: " + reason), 1, done.stderr)
                    self.assertFalse(changed)

    def test_standard_error(self):
        for case in CASES:
            undisturbed, _ = self.run_with(case)
            if undisturbed.stderr and case[0] != "new":
                for how in ({"stderr": self.full}, {"script": 'exec "$@" 2>&-'}):
                    with self.subTest(case=case):
                        done, changed = self.run_with(case, **how)
                        self.assertEqual((done.returncode, changed), (2, False))

    def test_a_warning_that_is_lost(self):
        """No file is written if its warnings cannot be read."""
        for case in (COMPILE, (*SHEET, "out/old.html", ENGINE), (*SHEET, "sheets", ENGINE)):
            case = (*case, "--policy", "warns.policy.yaml")
            done, changed = self.run_with(case)
            self.assertEqual((done.returncode, changed), (0, True), done.stderr)
            self.assertIn(b"warning: ", done.stderr)
            done, changed = self.run_with(case, stderr=self.full)
            self.assertEqual((done.returncode, changed), (2, False))

    def test_what_is_done_is_done(self):
        """A confirmation that cannot be written is not an error: the files are in place."""
        for case in ((*COMPILE, "--policy", "quiet.policy.yaml"), (*NEW, "out/new.yaml"),
                     (*SHEET, "out", ENGINE)):
            for how in ({"stderr": self.full}, {"script": 'exec "$@" 2>&-'},
                        {"script": 'exec "$@" 2>&- >&- <&-'}):
                with self.subTest(case=case, how=how):
                    self.assertEqual(self.run_with(case)[0].stderr.count(b"\n"), 1)
                    done, changed = self.run_with(case, **how)
                    self.assertEqual((done.returncode, changed), (0, True))


if __name__ == "__main__":
    unittest.main()
