"""Every call can fail: each allocation, each write, each rename is made to fail in turn.

failing.c is loaded before the program and makes its Nth call fail, either only that one or all from
there on. For every N the run must end in one of two ways. Either the status is 2, with a reason,
and every file is as it was; or output, status and files are those of the undisturbed run.

Part of all N is tried, the first and the last of each case always: in `make test` three alone, and
three with all later ones. FAILING_ALL=1 tries each of them, which takes some minutes.
"""

import functools
import itertools
import json
import operator
import os
import pathlib
import shutil
import socket
import struct
import subprocess
import sys
import tempfile
import unittest

HERE = pathlib.Path(__file__).resolve().parent
sys.path[1:1] = [str(HERE.parent), str(HERE.parent / "hostile")]
import confined  # noqa: E402
import share  # noqa: E402

ALL = os.environ.get("FAILING_ALL") == "1"
COUNTED = b"__gcov_exit" in confined.PROGRAM.read_bytes()  # with COVERAGE=1
# Runs of a case, for each of the two kinds; .ci/run tries 100.
TRIED = 6 if confined.SANITIZED else share.number(100, least=3)
SECONDS = 60
first = operator.itemgetter(0)

ENGINE = "dibble-3.engine.yaml"
DEVICE = "slipway-4.device.yaml"
HAND = "quern-12.engine.yaml"  # with a spool that a hand turns
SMALL = "snath-5.engine.json"  # it has the fewest slips
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


def session(text, folder):
    """The messages of an editor that has a folder: opens a file, asks, changes it, and ends."""
    uri = "file:///nowhere/dibble-3.engine.yaml"
    lines = text.split("\n")
    pad = next(i for i, line in enumerate(lines) if line.startswith("pads:")) + 1
    place = {"textDocument": {"uri": uri}, "position": {"line": pad, "character": 4}}
    whole = {"start": {"line": 0, "character": 0}, "end": {"line": 900, "character": 0}}
    wrong = text.replace("numbering:", "numbring:").replace("role: compressor", "role: compresor")
    return "".join([
        message("initialize", 1, capabilities={}, rootUri=folder.as_uri()),
        message("initialized"),
        message("textDocument/didOpen", textDocument={"uri": uri, "text": text}),
        message("textDocument/hover", 2, **place),
        message("textDocument/completion", 3, **place),
        message("textDocument/documentSymbol", 4, **place),
        message("textDocument/definition", 5, textDocument={"uri": uri},
                position={"line": pad + 1, "character": 12}),
        message("textDocument/references", 8, textDocument={"uri": uri},
                position={"line": pad, "character": 9}, context={"includeDeclaration": True}),
        message("textDocument/rename", 9, textDocument={"uri": uri}, newName="new",
                position={"line": pad, "character": 9}),
        message("textDocument/didChange", textDocument={"uri": uri},
                contentChanges=[{"text": wrong}]),
        message("textDocument/codeAction", 6, textDocument={"uri": uri}, range=whole, context={}),
        message("textDocument/didClose", textDocument={"uri": uri}),
        message("shutdown", 7),
        message("exit"),
    ]).encode()


@functools.lru_cache(maxsize=None)
def files():
    """The files for the cases: name and content."""
    text = (confined.DEMO / "engines" / ENGINE).read_text()
    contents = {
        ENGINE: text,
        "odd.engine.yaml": ODD,
        "waived.engine.yaml": text.replace("id: dibble-3", "id: waived") + WAIVED,
        "later/" + ENGINE: text.replace("revision: 7", "revision: 8").replace(
            "blades: 26", "blades: 27"),
        HAND: (confined.DEMO / "engines" / HAND).read_text(),
        SMALL: (confined.DEMO / "engines" / SMALL).read_text(),
        DEVICE: (confined.DEMO / "devices" / DEVICE).read_text(),
        "rotortab.policy.yaml": "policy: 1\n",
        "quiet.policy.yaml": "policy: 1\nrules: {step-not-whole: off, count-unproven: off, "
                             "order-unproven: off}\n",
        "warns.policy.yaml": "policy: 1\nrules: {step-not-whole: warning}\n",
        **{f"many/many-{n}.engine.yaml": text.replace("id: dibble-3", f"id: many-{n}")
           for n in range(12)},
        "out/old.rotor": OLD,
        "out/old.json": OLD,
        "out/old.d": OLD,
        "out/old.html": OLD,
        "sheets/index.html": OLD,
        "sheets/many-3.sheet.html": OLD,
        "sheets/gone.sheet.html": OLD}
    written = {name: content.encode() for name, content in contents.items()}
    with tempfile.TemporaryDirectory(prefix="failing-") as folder:
        fill(folder, {name: written[name] for name in (ENGINE, DEVICE)})
        subprocess.run([confined.PROGRAM, "compile", "-d", DEVICE, "-o", "table.rotor", ENGINE],
                       cwd=folder, check=True, capture_output=True)
        written["table.rotor"] = pathlib.Path(folder, "table.rotor").read_bytes()
    return written


def fill(folder, contents):
    """Writes files below a folder."""
    for name in {os.path.dirname(name) for name in contents}:
        os.makedirs(os.path.join(folder, name), exist_ok=True)
    for name, content in contents.items():
        with open(os.path.join(folder, name), "wb", buffering=0) as file:
            file.write(content)


COMPILE = ("compile", "-d", DEVICE, "-o", "out/old.rotor", "--manifest", "out/old.json",
           "--depfile", "out/old.d", ENGINE)
SHEET = ("sheet", "-d", DEVICE, "-f", "html", "-o")
NEW = ("new", "knoll-1", "--set", "name=Knoll", "--set", "spools=HP", "-o")
DEFINITIONS = ("show", "-f", "definition", "-o", "out", "table.rotor")

# In a repository, whose commit is in the log: git is asked for it.
IN_REPOSITORY = ("check", "-f", "sarif", "odd.engine.yaml")

CASES = [
    ("check", "-d", DEVICE, ENGINE, "waived.engine.yaml", "odd.engine.yaml"),
    ("check", "-f", "json", "-d", DEVICE, "waived.engine.yaml", "odd.engine.yaml"),
    ("check", "-f", "sarif", "waived.engine.yaml", "odd.engine.yaml"),
    IN_REPOSITORY,
    ("check", "later"),
    ("check", "-j", "3", "many"),
    COMPILE,
    ("compile", "-d", DEVICE, "-o", "out/new.rotor", "--manifest", "-", ENGINE),
    ("show", "table.rotor"),
    ("show", "-f", "json", "table.rotor"),
    DEFINITIONS,
    ("verify", "--against", ENGINE, "-d", DEVICE, "table.rotor"),
    ("verify", "-f", "json", "--against", ENGINE, "-d", DEVICE, "table.rotor"),
    ("stops", "-d", DEVICE, ENGINE),
    ("stops", "-f", "json", "-d", DEVICE, ENGINE),
    ("stops", "-f", "json", "--pass", "GG", "-d", DEVICE, ENGINE),
    ("stops", "-s", "FAN", HAND),
    ("explain", "-d", DEVICE, ENGINE),
    ("sheet", "-d", DEVICE, ENGINE),
    ("sheet", "-f", "html", "-d", DEVICE, ENGINE),
    ("sheet", "--record", "-f", "csv", "-d", DEVICE, ENGINE),
    ("sheet", "--record", "-f", "html", "-d", DEVICE, ENGINE),
    (*SHEET, "out/old.html", ENGINE),
    (*SHEET, "sheets", "many"),
    ("index", ENGINE, "odd.engine.yaml"),
    ("index", "-d", DEVICE, "-f", "json", "many"),
    ("index", "-f", "csv", "many"),
    ("slips", "-d", DEVICE, SMALL),
    ("slips", "-f", "json", "odd.engine.yaml"),
    ("slips", "-f", "man"),
    (*NEW, "-"),
    (*NEW, "out/new.yaml"),
    ("names", "stages", "many"),
    ("names", "documents", ENGINE, "odd.engine.yaml"),
    ("names", "revisions"),
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
    CASES[CASES.index(("slips", "-d", DEVICE, SMALL))] = ("slips", "-j1", "-d", DEVICE, SMALL)


def content_of(folder, below=""):
    """Every file below a folder, with its content."""
    found = {}
    with os.scandir(os.path.join(folder, below)) as entries:
        for entry in entries:
            name = below + entry.name
            if entry.is_dir(follow_symlinks=False):
                found.update(content_of(folder, name + "/"))
            else:
                with open(entry.path, "rb", buffering=0) as file:
                    found[name] = file.read()
    return found


class Place:
    """A folder to run cases in, one after the other."""

    def __init__(self, many, repository, editor):
        self.folder = pathlib.Path(tempfile.mkdtemp(prefix="failing-"))
        self.before = {name: content for name, content in files().items()
                       if many or not name.startswith("many/")}
        fill(self.folder, self.before)
        if repository:
            for words in (("init", "-q"), ("add", "."), ("commit", "-q", "-m", "all")):
                subprocess.run(["git", "-c", "user.name=A", "-c", "user.email=a@b.example", *words],
                               cwd=self.folder, check=True)
            self.before = content_of(self.folder)
        self.given = b""
        if editor:
            self.given = session(files()[ENGINE].decode(), self.folder)
        self.environment = {**os.environ, "NO_COLOR": "1", "SOURCE_DATE_EPOCH": "1782043200",
                            "LC_ALL": "C", "ASAN_OPTIONS": "exitcode=99:"
                            "allocator_may_return_null=1:verify_asan_link_order=0",
                            "UBSAN_OPTIONS": "exitcode=99"}

    def restore(self, found):
        """Restores all files as they were before a run that left these."""
        for name in set(found) - set(self.before):
            os.unlink(self.folder / name)
        fill(self.folder, {name: content for name, content in self.before.items()
                           if found.get(name) != content})

    def remove(self):
        shutil.rmtree(self.folder, ignore_errors=True)


@functools.lru_cache(maxsize=None)
def place_with(**what):
    """The folder for all cases that need the same in it; it goes when all tests have ended."""
    place = Place(**what)
    unittest.addModuleCleanup(place.remove)
    return place


def place_of(case):
    """The folder for a case."""
    return place_with(many="many" in case, repository=case == IN_REPOSITORY,
                      editor=case[0] == "lsp")


class Disturbed:
    """A case that is run with failing calls: failing.c runs it, and is asked through a socket."""

    REQUEST = struct.Struct("=QQ")
    ANSWER = struct.Struct("=QQ")

    def __init__(self, shared, place, arguments, calls):
        self.place = place
        self.given, self.out, self.err = (tempfile.TemporaryFile(buffering=0) for _ in range(3))
        self.given.write(place.given)
        self.socket, other = socket.socketpair(socket.AF_UNIX, socket.SOCK_SEQPACKET)
        with other:
            self.process = subprocess.Popen(
                [confined.PROGRAM, *arguments], cwd=place.folder, stdin=self.given,
                stdout=self.out, stderr=self.err, pass_fds=[other.fileno()],
                env={**place.environment, "LD_PRELOAD": str(shared), "FAILING_CALLS": calls,
                     "FAILING_SOCKET": str(other.fileno())})

    def run(self, number, once):
        """The status, both outputs, the files, and the number of calls."""
        self.socket.send(self.REQUEST.pack(number, once))
        status, counted = self.ANSWER.unpack(self.socket.recv(self.ANSWER.size))
        found = content_of(self.place.folder)
        if found != self.place.before:
            self.place.restore(found)
        out, err = (os.pread(file.fileno(), os.fstat(file.fileno()).st_size, 0)
                    for file in (self.out, self.err))
        return os.waitstatus_to_exitcode(status), out, err, found, counted

    def close(self):
        self.socket.close()
        self.process.wait(SECONDS)
        for file in (self.given, self.out, self.err):
            file.close()


def numbers(count, once):
    """The calls that are made to fail: the first and the last ones, and a part of the others."""
    if ALL or count <= TRIED:
        return range(1, count + 1)
    ends = max(TRIED // 4, 1)
    step = (count - 2 * ends) // (TRIED - 2 * ends) + 1
    start = ends + 1 + step * (1 if once else 2) // 3  # the two kinds do not try the same ones
    return sorted({*range(1, ends + 1), *range(start, count - ends + 1, step),
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
    place = place_of(arguments)
    disturbed = Disturbed(shared, place, arguments, calls)
    try:
        undisturbed = disturbed.run(0, False)
        wrong = []
        for once in (True, False):
            for number in numbers(undisturbed[4], once):
                problem = fault(undisturbed, disturbed.run(number, once), place.before)
                if problem:
                    wrong.append(f"{' '.join(arguments)}: {calls} call {number} of "
                                 f"{undisturbed[4]}{' alone' if once else ' and later'}: {problem}")
        return undisturbed[4], wrong
    finally:
        disturbed.close()


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
        walked = [walk(self.shared, case, calls) for case in CASES]
        wrong = [line for _, lines in walked for line in lines]
        self.assertFalse(wrong, "\n".join(["", *wrong[:60], f"{len(wrong)} in all"]))
        return [case for case, (count, _) in zip(CASES, walked) if count == 0]

    @unittest.skipIf(COUNTED, "what counts the coverage needs memory as the program ends")
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

    @classmethod
    @functools.lru_cache(maxsize=None)
    def undisturbed(cls, case):
        """A run of a case with all that it writes to."""
        return cls.run_with(case)[0]

    @staticmethod
    def run_with(case, script=None, **how):
        """Runs a case, also through the shell; returns the run, and whether files changed."""
        place = place_of(case)
        how = {"stdout": subprocess.PIPE, "stderr": subprocess.PIPE, **how}
        shell = ["sh", "-c", script, "sh"] if script else []
        done = subprocess.run([*shell, confined.PROGRAM, *case],
                              cwd=place.folder, input=place.given, check=False,
                              env=place.environment, timeout=SECONDS, **how)
        found = content_of(place.folder)
        place.restore(found)
        return done, found != place.before

    def test_standard_output(self):
        """`make test` tries one reason for each case."""
        ways = ((b"No space left on device", {"stdout": self.full}),
                (b"Bad file descriptor", {"script": 'exec "$@" >&-'}),
                (b"Broken pipe", {"script": 'trap "" PIPE; exec "$@"', "stdout": self.unread}))
        writing = [case for case in CASES if self.undisturbed(case).stdout]
        for case, (reason, how) in share.sample(itertools.product(writing, ways), first):
            with self.subTest(case=case, reason=reason):
                done, changed = self.run_with(case, **how)
                self.assertEqual(done.returncode, 2, done.stderr)
                self.assertEqual(done.stderr.count(
                    b"rotortab: cannot write to standard output: " + reason), 1, done.stderr)
                self.assertFalse(changed)

    def test_standard_error(self):
        """`make test` tries one reason for each case."""
        ways = ({"stderr": self.full}, {"script": 'exec "$@" 2>&-'})
        writing = [case for case in CASES if case[0] != "new" and case != DEFINITIONS
                   and self.undisturbed(case).stderr]
        for case, how in share.sample(itertools.product(writing, ways), first):
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
                     (*SHEET, "out", ENGINE), DEFINITIONS):
            for how in ({"stderr": self.full}, {"script": 'exec "$@" 2>&-'},
                        {"script": 'exec "$@" 2>&- >&- <&-'}):
                with self.subTest(case=case, how=how):
                    self.assertEqual(self.undisturbed(case).stderr.count(b"\n"), 1)
                    done, changed = self.run_with(case, **how)
                    self.assertEqual((done.returncode, changed), (0, True))


if __name__ == "__main__":
    unittest.main()
