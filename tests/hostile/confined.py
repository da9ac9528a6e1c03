"""Runs the program with little memory and time, and says how it ended and what it used."""

import contextlib
import json
import os
import pathlib
import resource
import signal
import subprocess
import tempfile
import threading
import time

ROOT = pathlib.Path(__file__).resolve().parents[2]
DEMO = ROOT / "engines-demo"
PROGRAM = pathlib.Path(os.environ.get("ROTORTAB", ROOT / "build" / "rotortab")).resolve()
SANITIZED = b"__asan_init" in PROGRAM.read_bytes()

MEMORY = 512 << 20  # bytes of address space; a sanitized program takes terabytes of it
SLOWER = 12 if SANITIZED else 1
SIGNS = (b"AddressSanitizer", b"LeakSanitizer", b"runtime error:", b"stack smashing")
NOBODY = 65534


class Run:
    """How a run ended: status (negative: the signal), what it wrote, peak memory."""

    def __init__(self, status, out, err, peak):
        self.status, self.out, self.err = status, out, err
        self.peak = peak

    @property
    def said(self):
        """Standard error as text."""
        return self.err.decode("utf-8", "backslashreplace")

    def findings(self):
        """The findings of a run with --format json."""
        return json.loads(self.out)["findings"]

    def rules(self):
        """The rules of the findings, sorted."""
        return sorted(finding["rule"] for finding in self.findings())


BEGINNING = threading.Lock()
OWN = {kind: resource.getrlimit(kind) for kind in (resource.RLIMIT_AS, resource.RLIMIT_FSIZE)}


@contextlib.contextmanager
def _limits(file_size):
    """What begins in here has limits of memory and of the size of its files.

    They are this process's for that moment, because a child that first sets them itself takes three
    times as long to begin.
    """
    limits = {resource.RLIMIT_AS: None if SANITIZED else MEMORY, resource.RLIMIT_FSIZE: file_size}
    with BEGINNING:
        try:
            for kind, most in limits.items():
                if most is not None:
                    resource.setrlimit(kind, (most, OWN[kind][1]))
            yield
        finally:
            for kind, own in OWN.items():
                resource.setrlimit(kind, own)


def _environment():
    options = "exitcode=99:print_stacktrace=1"
    return {**os.environ, "NO_COLOR": "1", "SOURCE_DATE_EPOCH": "1782043200", "LC_ALL": "C",
            "ASAN_OPTIONS": options + ":allocator_may_return_null=1", "UBSAN_OPTIONS": options}


def run(folder, *arguments, stdin=None, stdout=None, file_size=None, user=None):
    """Runs the program in a folder; `stdin` is bytes or an open file, `stdout` an open file."""
    piped = isinstance(stdin, bytes)
    with tempfile.TemporaryFile() as out, tempfile.TemporaryFile() as err, \
            tempfile.TemporaryFile() as given:
        if piped:
            given.write(stdin)
            given.seek(0)
        with _limits(file_size):
            child = subprocess.Popen(
                [PROGRAM, *arguments], cwd=folder,
                stdin=given if piped else stdin or subprocess.DEVNULL, stdout=stdout or out,
                stderr=err, env=_environment(), user=user, group=user,
                extra_groups=[] if user else None)
        status, usage = _wait(child, 60 * SLOWER)
        out.seek(0)
        err.seek(0)
        return Run(status, out.read(), err.read(), usage.ru_maxrss << 10)


def _wait(child, longest):
    """Status and resources of a child; one that hangs is ended, so that it counts as killed.

    This is the only bound on time. The inputs are so large that a step which grows with their
    square runs into it, and no other does, however busy the machine is.
    """
    deadline = time.monotonic() + longest
    pause = 0.001
    while True:
        pid, status, usage = os.wait4(child.pid, os.WNOHANG)
        if pid:
            child.returncode = os.waitstatus_to_exitcode(status)
            return child.returncode, usage
        if time.monotonic() > deadline:
            os.kill(child.pid, signal.SIGKILL)
        time.sleep(pause)
        pause = min(2 * pause, 0.05)
