"""Runs every test program given and closes on one line: `N passed, N failed`.

A test program is a binary built on Check or a Python file built on unittest. Both print how many
checks they ran, and that is what is counted; a program that prints no count, dies or hangs counts
as one failure. The longest begin first; one more runs than there are processors, because some wait.
Their scratch files are in memory where there is room. The output of a program is shown whole where
it failed.

With --sanitized, those of NOT_SANITIZED are left out.

    run-all.py [--sanitized] PROGRAM...
"""

import collections
import contextlib
import importlib
import os
import re
import runpy
import shutil
import signal
import sys
import tempfile
import time

import share

AT_ONCE = 1 + len(os.sched_getaffinity(0))
LONGEST_SECONDS = 1800
MEMORY = "/dev/shm"
ROOM = 1 << 30  # bytes that the scratch files of all tests may take

# What many test files import, loaded once: to load these takes longer than most tests of a file.
# Where one is missing, the test that needs it says so.
LOADED = ("concurrent.futures", "difflib", "fractions", "json", "jsonschema", "pathlib", "random",
          "subprocess", "unittest", "yaml")

# These take longest, in the whole run or in `make test`. They begin first, so that none runs on
# alone.
FIRST = ("property/property_test.py", "install/reproducible_test.py", "compare/import_test.py",
         "sheet/browser_test.py", "slips/brute_test.py", "property/budget_test.py",
         "slips/plan_test.py", "failing/failing_test.py", "lsp/messages_test.py",
         "lsp/editors_test.py", "table/page_test.py", "hostile/bad_input_test.py",
         "schema/schema_test.py", "platform/multitool_test.py", "ratio/candidates_test.py",
         "table/definition_test.py", "compare/every_value_test.py", "compare/strange_test.py",
         "compare/git_test.py", "gate/completion_test.py", "device/device_test.py",
         "lsp/fleet_test.py", "author/author_test.py", "hostile/bad_journal_test.py",
         "failing/killed_test.py", "rules/cross_check_test.py", "rules/unproven_test.py",
         "gate/sarif_test.py", "gate/terminal_test.py", "hostile/found_cross_check_test.py",
         "device/size_test.py", "lsp/memory_test.py", "table/sealed_test.py")

# What runs little or nothing of the build with the sanitizers. The released run has tried it.
# What some of these ask the program, such as to compile the demonstration, other tests ask too.
NOT_SANITIZED = {
    "install/install_test.py": "it installs the released program",
    "install/dist_test.py": "it looks at the archive of the sources",
    "install/reproducible_test.py": "only the released build is the same from every folder",
    "lint/lint_test.py": "it runs the scripts in Python that check the sources",
    "device/device_test.py": "the reader runs on emulated processors, built as for a device",
    "device/size_test.py": "it measures the reader, built as for a device",
    "fuzz/flips_test.py": "its tools are built as for a host and for a device",
    "units/fraction_test.py": "its calculator has the sanitizers in every build",
    "units/quantity_test.py": "its calculator has the sanitizers in every build",
    "units/units_test.py": "its calculator has the sanitizers in every build",
}

CHECK_TOTAL = re.compile(r"^\d+%: Checks: (\d+), Failures: (\d+), Errors: (\d+)$", re.M)
UNITTEST_TOTAL = re.compile(r"^Ran (\d+) tests? in ", re.M)
UNITTEST_SKIPPED = re.compile(r"\.\.\. skipped ['\"](.*)['\"]$", re.M)
UNITTEST_VERDICT = re.compile(r"^(?:OK|FAILED)(?: \((.*)\))?$", re.M)


class Result:
    """What one program did: its counts, its output, and how long it took."""

    def __init__(self, program, status, output, seconds):
        self.program = program
        self.output = output
        self.seconds = seconds
        self.skipped = 0
        self.reasons = set(UNITTEST_SKIPPED.findall(output))
        ran, bad = self._count()
        if ran == 0 and self.skipped == 0:
            bad = max(bad, 1)
        if status != 0 and bad == 0:
            bad = 1
        if status == -signal.SIGALRM:
            self.output += f"\nstopped: still running after {LONGEST_SECONDS} seconds\n"
        elif bad:
            self.output += f"\nexit status {status}\n"
        self.failed = bad
        self.passed = max(ran - bad, 0)

    def _count(self):
        if not self.program.endswith(".py"):
            totals = [[int(n) for n in t] for t in CHECK_TOTAL.findall(self.output)]
            return sum(t[0] for t in totals), sum(t[1] + t[2] for t in totals)
        ran = sum(int(n) for n in UNITTEST_TOTAL.findall(self.output))
        parts = {}
        for verdict in UNITTEST_VERDICT.findall(self.output):
            for name, number in re.findall(r"([a-z ]+)=(\d+)", verdict):
                parts[name.strip()] = parts.get(name.strip(), 0) + int(number)
        self.skipped = parts.get("skipped", 0)
        bad = (parts.get("failures", 0) + parts.get("errors", 0)
               + parts.get("unexpected successes", 0))
        return ran - self.skipped, bad


class Running:
    """A program that runs, in a process that begins as a copy of this one.

    A test file in Python stays in the copy, where Python has started and LOADED is loaded.
    """

    def __init__(self, program):
        self.program = program
        self.started = time.monotonic()
        self.output = tempfile.TemporaryFile()
        self.process = os.fork()
        if self.process == 0:
            self._become()

    def _become(self):
        """Makes the copy what `python3 PROGRAM -v`, or the program itself, is. Does not return."""
        signal.alarm(LONGEST_SECONDS)
        with open(os.devnull, "rb") as nothing:
            os.dup2(nothing.fileno(), 0)
        os.dup2(self.output.fileno(), 1)
        os.dup2(1, 2)
        if not self.program.endswith(".py"):
            os.execv(os.path.abspath(self.program), [self.program])
        sys.argv = [self.program, "-v"]
        sys.path[0] = os.path.dirname(os.path.abspath(self.program))
        runpy.run_path(self.program, run_name="__main__")
        sys.exit(0)

    def end(self, status):
        """The result of the program, from the status that os.wait gave."""
        seconds = time.monotonic() - self.started
        self.output.seek(0)
        output = self.output.read().decode("utf-8", "backslashreplace")
        self.output.close()
        return Result(self.program, os.waitstatus_to_exitcode(status), output, seconds)


def name_of(program):
    """A test program's folder and file, as the lists above name it."""
    return "/".join(program.split("/")[-2:])


def without_unsanitized(programs):
    """The programs that the sanitizers can look into; the others are printed with their reason."""
    for program in programs:
        if name_of(program) in NOT_SANITIZED:
            print(f"  left out  {program}: {NOT_SANITIZED[name_of(program)]}", flush=True)
    return [program for program in programs if name_of(program) not in NOT_SANITIZED]


def longest_first(programs):
    """The programs, those of FIRST in its order before all others."""
    places = {name: place for place, name in enumerate(FIRST)}
    return sorted(programs, key=lambda program: places.get(name_of(program), len(FIRST)))


def load():
    """Loads what many test files import."""
    for name in LOADED:
        with contextlib.suppress(ImportError):
            importlib.import_module(name)


def scratch():
    """A new folder for the scratch files: in memory, where programs may run from there."""
    try:
        told = os.statvfs(MEMORY)
        fits = not told.f_flag & os.ST_NOEXEC and told.f_bavail * told.f_frsize >= ROOM
    except OSError:
        fits = False
    fits = fits and os.access(MEMORY, os.W_OK) and "TMPDIR" not in os.environ
    return tempfile.mkdtemp(prefix="rotortab-", dir=MEMORY if fits else None)


def main(programs):
    if programs[:1] == ["--sanitized"]:
        programs = without_unsanitized(programs[1:])
    load()
    os.environ["PROPERTY_COUNT"] = str(share.COUNT)
    os.environ.setdefault("UBSAN_OPTIONS", "print_stacktrace=1")
    folder = scratch()
    os.chmod(folder, 0o711)  # some tests run the program as another user
    os.environ["TMPDIR"] = tempfile.tempdir = folder
    this = os.getpid()
    try:
        return run_all(programs)
    finally:
        if os.getpid() == this:
            shutil.rmtree(folder)


def results(programs):
    """Runs the programs, AT_ONCE together; gives the result of each as it ends."""
    waiting = collections.deque(programs)
    running = {}
    while waiting or running:
        while waiting and len(running) < AT_ONCE:
            begun = Running(waiting.popleft())
            running[begun.process] = begun
        process, status = os.wait()
        yield running.pop(process).end(status)


def run_all(programs):
    passed = failed = skipped = 0
    reasons = set()
    for result in results(longest_first(programs)):
        passed += result.passed
        failed += result.failed
        skipped += result.skipped
        reasons |= result.reasons
        word = "FAIL" if result.failed else "ok"
        note = f", {result.skipped} skipped" if result.skipped else ""
        print(f"  {word:4}  {result.program}  ({result.passed} passed"
              f"{note}, {result.seconds:.1f} s)", flush=True)
        if result.failed:
            print(f"---- {result.program}\n{result.output}----", flush=True)
    if skipped:
        print(f"{skipped} skipped")
        for reason in sorted(reasons):
            print(f"  {reason}")
    print(f"{passed} passed, {failed} failed")
    return 1 if failed or not passed else 0


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
