"""A gate for a repository of definitions: waivers, formats for machines, tables."""

import atexit
import functools
import hashlib
import itertools
import json
import os
import pathlib
import re
import shutil
import subprocess
import sys
import tempfile
import unittest

import yaml

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parent.parent))
import share  # pylint: disable=wrong-import-position

PROGRAM = str(pathlib.Path(os.environ.get("ROTORTAB", "build/rotortab")).resolve())
DEMO = pathlib.Path("engines-demo").resolve()
SLIPWAY = "devices/slipway-4.device.yaml"
CAPSTAN = "devices/capstan-2.device.yaml"


@functools.cache
def demonstration():
    """Its folders, each with the names of its files and what they hold."""
    return [(os.path.relpath(folder, DEMO),
             [(name, pathlib.Path(folder, name).read_bytes()) for name in names])
            for folder, _, names in os.walk(DEMO)]


def copy_demonstration(to):
    """Writes it to a new folder. It is read once, because every test needs a copy."""
    for folder, files in demonstration():
        os.makedirs(to / folder)
        for name, content in files:
            with open(f"{to}/{folder}/{name}", "wb") as file:
                file.write(content)


def git(folder, *words):
    """What git answers in a folder."""
    done = subprocess.run(["git", "-c", "user.name=A", "-c", "user.email=a@b.example", *words],
                          cwd=folder, check=True, capture_output=True, text=True)
    return done.stdout.strip()


@functools.cache
def kept():
    """A folder for what all tests of a file use; it goes with the last of them."""
    scratch = tempfile.TemporaryDirectory()
    atexit.register(scratch.cleanup)
    return pathlib.Path(scratch.name)


class Gate(unittest.TestCase):
    """A copy of the demonstration."""

    def setUp(self):
        self.scratch = tempfile.TemporaryDirectory()
        self.addCleanup(self.scratch.cleanup)
        self.demo = pathlib.Path(self.scratch.name) / "demo"
        copy_demonstration(self.demo)

    def run_program(self, *arguments, status=0, data=None, folder=None, **environment):
        """Runs the program in a folder, the copy if none is given."""
        done = subprocess.run([PROGRAM, *map(str, arguments)], cwd=folder or self.demo, input=data,
                              capture_output=True, timeout=60,
                              env={name: value for name, value in {
                                  "PATH": os.environ["PATH"], "LC_ALL": "C", **environment}.items()
                                   if value is not None})
        self.assertEqual(done.returncode, status, done.stdout + done.stderr)
        return done

    def edit(self, name, old, new):
        path = self.demo / name
        text = path.read_text()
        self.assertIn(old, text)
        path.write_text(text.replace(old, new, 1))
        return path

    def findings(self, *arguments, status=0):
        done = self.run_program("check", "--format", "json", *arguments, status=status)
        return json.loads(done.stdout)


class Hook(Gate):
    """The command that .pre-commit-hooks.yaml runs before a commit, at the repository's top."""

    def setUp(self):
        super().setUp()
        shutil.rmtree(self.demo / "broken")
        (self.hook,) = yaml.safe_load((DEMO.parent / ".pre-commit-hooks.yaml").read_text())
        (self.demo / "package.json").write_text('{"name": "somebody else\'s"}\n')

    def hooked(self, status):
        command, *arguments = self.hook["entry"].split() + self.hook["args"]
        self.assertEqual(command, "rotortab")
        return self.run_program(*arguments, status=status).stdout.decode()

    def test_sees_what_a_change_does_to_files_that_did_not_change(self):
        self.assertFalse(self.hook["pass_filenames"])
        self.hooked(0)
        other = (self.demo / "engines/quern-12.engine.yaml").read_text()
        (self.demo / "engines/quern-13.engine.yaml").write_text(
            other.replace("id: quern-12\n", "id: quern-13\n"))
        self.assertIn("[id-taken]", self.hooked(1))
        (self.demo / "engines/quern-13.engine.yaml").unlink()
        (self.demo / "rotortab.policy.yaml").write_text(
            "policy: 1\nlimits:\n  blades: {min: 80, max: 200}\n"
            "rules:\n  blade-count-unusual: error\n")
        self.assertIn("[blade-count-unusual]", self.hooked(1))

    def test_runs_on_a_commit_that_only_deletes(self):
        """A deleted file matches no pattern, but a deleted policy judged other files."""
        self.assertIs(self.hook["always_run"], True)
        self.assertNotIn("files", self.hook)

    def test_no_name_is_overlooked(self):
        broken = (DEMO / "broken/backlash-large.engine.yaml").read_text()
        for name in ("whatever.yaml", "deep/down/backlash.yml"):
            (self.demo / name).parent.mkdir(parents=True, exist_ok=True)
            (self.demo / name).write_text(broken)
            self.assertIn("[backlash-large]", self.hooked(1))
            (self.demo / name).unlink()


class Waivers(Gate):
    """A waiver accepts a finding for a reason and until a date."""

    NAME = "broken/backlash-large.engine.yaml"

    def waive(self, rule="backlash-large", until="2027-06-30", more=""):
        path = self.demo / self.NAME
        path.write_text(path.read_text() + f"waive:\n  - rule: {rule}\n"
                        f"    because: measured again\n    until: {until}\n{more}")

    def rules(self, today="2027-06-30", status=0):
        report = self.findings("--today", today, self.NAME, status=status)
        return [(f["rule"], f.get("waived")) for f in report["findings"]], report

    def test_in_date_it_is_reported_and_fails_nothing(self):
        self.waive()
        rules, report = self.rules()
        self.assertEqual(rules, [("backlash-large", "measured again")])
        self.assertEqual((report["errors"], report["waived"]), (0, 1))

    def test_a_day_later_it_fails(self):
        self.waive()
        rules, _ = self.rules(today="2027-07-01", status=1)
        self.assertEqual(rules, [("backlash-large", None), ("waiver-expired", None)])

    def test_the_day_comes_from_the_environment_too(self):
        self.waive()
        arguments = ("check", self.NAME)
        self.run_program(*arguments, SOURCE_DATE_EPOCH="1814313600")              # 2027-06-30
        self.run_program(*arguments, SOURCE_DATE_EPOCH="1814400000", status=1)    # the day after
        for odd in ("tomorrow", "-1", "253402300800", "99999999999999", "67768036191676799"):
            self.run_program(*arguments, SOURCE_DATE_EPOCH=odd, status=2)
        self.run_program("check", "--today", "2027-02-29", self.NAME, status=2)

    def test_for_another_pad_it_suppresses_nothing(self):
        self.waive(more="    pad: starter\n")
        rules, _ = self.rules(status=1)
        self.assertEqual(rules, [("backlash-large", None)], "an unused waiver waits for its error")
        self.edit(self.NAME, "2027-06-30\n    pad: starter\n", "2027-06-30\n    pad: crank\n")
        self.assertEqual(self.rules()[0], [("backlash-large", "measured again")])

    def test_one_that_suppresses_nothing_fails(self):
        self.NAME = "broken/neighbour.engine.yaml"
        self.waive()
        self.assertEqual(self.rules(status=1)[0], [("waiver-unused", None)])

    def test_torque_direction_and_text_are_never_waived(self):
        for rule in ("torque-missing", "sense-disagrees", "missing-key", "id-taken", "too-many"):
            with self.subTest(rule):
                self.NAME = "broken/neighbour.engine.yaml"
                shutil.copy(DEMO / self.NAME, self.demo / self.NAME)
                self.waive(rule=rule)
                self.assertEqual(self.rules(status=1)[0], [("waiver-refused", None)])

    def test_what_needs_a_device_may_be_found_on_another_one(self):
        self.NAME = "broken/counts-few.engine.yaml"
        self.waive(rule="counts-few")
        self.assertEqual(self.rules()[0], [])
        for device, waived in ((SLIPWAY, 0), ("broken/plain.device.yaml", 1)):
            report = self.findings("--today", "2027-01-01", "--device", device, self.NAME)
            self.assertNotIn("waiver-unused", [f["rule"] for f in report["findings"]])
            self.assertEqual(report["waived"], waived)


class Misuse(Gate):
    """Wrong usage is not a clean report: the formats for programs show it too."""

    WRONG = (("--jobs", "0", "engines"), ("--today", "2026-02-29", "engines"), ("--frob",), (),
             ("--jobs", "1", "--jobs", "2", "engines"), ("engines", "--policy"),
             ("--strict=x", "engines"))

    def failures(self, *arguments, **environment):
        """The sentences of the report; each is also on standard error and in SARIF."""
        done = self.run_program("check", *arguments, "--format", "json", status=2, **environment)
        said = json.loads(done.stdout)["failures"]
        for sentence in said:
            self.assertIn(f"rotortab: {sentence}\n", done.stderr.decode())
        log = json.loads(self.run_program("check", *arguments, "-f", "sarif", status=2,
                                          **environment).stdout)
        (invocation,) = log["runs"][0]["invocations"]
        self.assertEqual((invocation["executionSuccessful"], invocation["exitCode"]), (False, 2))
        self.assertEqual([(n["level"], n["message"]["text"])
                          for n in invocation["toolExecutionNotifications"]],
                         [("error", sentence) for sentence in said])
        return said

    def test_is_in_the_report(self):
        for arguments in self.WRONG[:-2]:
            with self.subTest(arguments):
                self.assertEqual(len(self.failures(*arguments)), 1)
        self.assertEqual(len(self.failures("engines", SOURCE_DATE_EPOCH="soon")), 1)

    def test_whatever_stands_first(self):
        for arguments in self.WRONG:
            with self.subTest(arguments):
                done = self.run_program("check", "--format=json", *arguments, status=2)
                self.assertEqual(len(json.loads(done.stdout)["failures"]), 1)

    def test_all_of_it_in_one_run(self):
        said = self.failures("--frob", "--strict=x", "engines")
        self.assertEqual([re.search("--[a-z]+", s)[0] for s in said], ["--frob", "--strict"])

    def test_text_does_not_pretend_to_have_looked(self):
        for arguments in self.WRONG:
            with self.subTest(arguments):
                self.assertEqual(self.run_program("check", *arguments, status=2).stdout, b"")


class Inputs(Gate):
    """Ways to name files, and threads."""

    def test_output_is_the_same_for_any_number_of_threads(self):
        outputs = {self.run_program("check", "-j", jobs, "--device", SLIPWAY, "broken", "engines",
                                    status=1).stdout for jobs in (1, *share.sample((3, 2, 8)))}
        self.assertEqual(len(outputs), 1)
        self.run_program("check", "-j", "0", "engines", status=2)

    def test_names_from_standard_input(self):
        names = b"engines/quern-12.engine.yaml\0engines/quern-12.cross-check.yaml\0" \
                b"devices/skiff-1.device.yaml\0"
        done = self.run_program("check", "-0", data=names)
        self.assertIn(b"1 definition, 1 cross-check, 1 device profile", done.stdout)
        done = self.run_program("check", "-0", "engines/dibble-3.engine.yaml", data=names)
        self.assertIn(b"2 definitions, 2 cross-checks, 1 device profile", done.stdout)
        self.run_program("compile", "-d", SLIPWAY, "-o", "t.rotor", "engines")
        for more, data in (((), b"t.rotor\0engines\0"), (("t.rotor",), b"engines\0")):
            self.run_program("verify", "-d", SLIPWAY, "-0", *more, data=data)
        done = self.run_program("verify", "-d", SLIPWAY, "-0", data=b"", status=2)
        self.assertIn(b"has no name in it", done.stderr)

    def test_an_empty_list_is_no_success(self):
        """The program that writes the names has failed, or searches in the wrong place."""
        commands = (("check",), ("check", "engines"), ("check", "-f", "json"),
                    ("compile", "-d", SLIPWAY, "-o", "out.rotor"),
                    ("compile", "-d", SLIPWAY, "-o", "out.rotor", "engines"),
                    ("stops", "-d", SLIPWAY), ("explain",), ("sheet", "-d", SLIPWAY),
                    ("verify", "t.rotor"), ("verify", "-d", SLIPWAY, "t.rotor"))
        for command, data in share.sample(itertools.product(commands, (b"", b"\0", b"\0\0")),
                                          kind=lambda case: case[0]):
            done = self.run_program(*command, "-0", data=data, status=2)
            self.assertIn(b"the list on standard input has no name in it", done.stderr, command)
            self.assertFalse((self.demo / "out.rotor").exists())
        report = json.loads(self.run_program("check", "-0", "-f", "json", data=b"",
                                             status=2).stdout)
        self.assertIn("has no name in it", report["failures"][0])

    def test_a_list_that_cannot_be_read(self):
        folder = os.open(self.demo, os.O_RDONLY)
        self.addCleanup(os.close, folder)
        done = subprocess.run([PROGRAM, "check", "-0"], stdin=folder, capture_output=True,
                              check=False)
        self.assertEqual(done.returncode, 2)
        self.assertIn(b"cannot read the list of files: Is a directory", done.stderr)

    def test_any_kind_on_standard_input(self):
        for name, said in (("rotortab.policy.yaml", b"2 policies, 1 source register: 0 errors"),
                           (SLIPWAY, b"1 device profile, 1 policy, 1 source register: 0 errors"),
                           ("engines/quern-12.engine.yaml",
                            b"1 definition, 1 policy, 1 source register: 0 errors")):
            text = (self.demo / name).read_bytes()
            done = self.run_program("check", "-", data=text)
            self.assertIn(said, done.stdout + done.stderr)
        done = self.run_program("check", "-", data=b"policy: 1\nruls: {}\n", status=1)
        self.assertIn(b"-:2:1: error: a policy has no key ruls", done.stdout)

    def test_standard_input_has_a_name(self):
        text = (self.demo / "engines/quern-12.engine.yaml").read_bytes()
        self.run_program("check", "-", data=text)
        done = self.run_program("check", "-", "--name", "x/other.engine.yaml", data=text, status=1)
        self.assertIn(b"x/other.engine.yaml:", done.stdout)
        self.assertIn(b"id-not-file-name", done.stdout)

    def refused(self, *arguments, data=None):
        """What is wrong with it, also in the formats for programs."""
        done = self.run_program("check", "-f", "json", *arguments, data=data, status=2)
        (said,) = json.loads(done.stdout)["failures"]
        self.assertEqual(done.stderr.decode(), f"rotortab: {said}\n")
        return said

    def test_a_value_that_is_empty(self):
        for arguments in (("--today", ""), ("--today=",), ("-j", ""), ("--policy=",)):
            self.assertIn("needs a value, not an empty text", self.refused(*arguments, "x"))

    def test_a_name_for_nothing(self):
        source = "engines/quern-12.engine.yaml"
        for more in ((source,), ("--list",)):
            self.assertIn("put - among the sources",
                          self.refused("--name", "x", *more, data=b"engines\0"))
        self.compile_refused("--name", "x")

    def compile_refused(self, *more):
        """A fault that concerns every device is reported once."""
        (self.demo / "out").mkdir()
        done = self.run_program("compile", "-d", SLIPWAY, "-d", CAPSTAN, "-o", "out", *more,
                                "engines", status=2)
        self.assertEqual(done.stderr.count(b"rotortab: "), 1, done.stderr)

    def test_standard_input_is_one_thing(self):
        for arguments, data in ((("-0", "-"), b"engines\0"), (("-0",), b"-\0")):
            self.assertIn("name its file instead of -", self.refused(*arguments, data=data))

    def test_names_that_end_with_line_ends(self):
        for data in (b"engines\n", b"engines\ndevices\n", b"engines\0devices\n"):
            self.assertIn("git ls-files -z", self.refused("-0", data=data))
        (self.demo / "a\nb.yaml").write_bytes(
            (self.demo / "rotortab.policy.yaml").read_bytes())
        self.run_program("check", "-0", data=b"a\nb.yaml\0")

    def test_an_option_of_which_one_is_taken(self):
        source = "engines/quern-12.engine.yaml"
        for arguments in (("check", "-d", SLIPWAY, "-d", CAPSTAN),
                          ("stops", "-d", SLIPWAY, "-s", "HPC-1", "-s", "HPC-2"),
                          ("sheet", "-d", SLIPWAY, "-d", SLIPWAY),
                          ("compile", "-d", SLIPWAY, "-o", "a", "-o", "b"),
                          ("check", "--policy", "rotortab.policy.yaml", "--policy", "x")):
            done = self.run_program(*arguments, source, status=2)
            self.assertRegex(done.stderr.decode(), r"takes --\w+ once, not 2 times")
        self.run_program("check", "--strict", "--strict", source)

    def test_strict_takes_warnings_for_errors(self):
        name = "broken/teeth-few.engine.yaml"
        self.run_program("check", name)
        self.run_program("check", "--strict", name, status=1)


class Tables(Gate):
    """Several tables in one run, with a manifest and a depfile."""

    def compile(self, *more, devices=(SLIPWAY, CAPSTAN), sources=("engines",), status=0):
        (self.demo / "out").mkdir(exist_ok=True)
        arguments = [a for d in devices for a in ("--device", d)]
        return self.run_program("compile", *arguments, "-o", "out", *more, *sources, status=status)

    def test_one_for_each_device(self):
        self.compile()
        for device in (SLIPWAY, CAPSTAN):
            name = pathlib.Path(device).name.replace(".device.yaml", ".rotor")
            self.run_program("verify", f"out/{name}", "--against", "engines", "--device", device)

    def test_none_takes_the_place_of_another(self):
        twin = self.demo / "twin"
        twin.mkdir()
        shutil.copy(self.demo / SLIPWAY, twin)
        for again in (SLIPWAY, f"twin/{pathlib.Path(SLIPWAY).name}"):
            done = self.compile(devices=(SLIPWAY, again), status=2)
            self.assertIn(b"devices would write their table to out/slipway-4.rotor", done.stderr)
            self.assertEqual(list((self.demo / "out").iterdir()), [])

    def one(self, *more, status=0, out="t.rotor", **how):
        return self.run_program("compile", "-d", SLIPWAY, "-o", out, *more,
                                "engines/quern-12.engine.yaml", status=status, **how)

    def files(self):
        return {str(p.relative_to(self.demo)): p.read_bytes()
                for p in self.demo.rglob("*") if p.is_file()}

    def test_nothing_is_written_over_what_it_is_made_of(self):
        before = self.files()
        source = "engines/quern-12.engine.yaml"
        os.symlink("engines/quern-12.engine.yaml", self.demo / "link")
        for name in (source, SLIPWAY, "rotortab.policy.yaml", "./" + source, "link"):
            self.assertIn(b"that this run reads", self.one(out=name, status=2).stderr)
            self.assertIn(b"that this run reads", self.one("--manifest", name, status=2).stderr)
            self.assertIn(b"that this run reads", self.one("--depfile", name, status=2).stderr)
            done = self.run_program("sheet", "-d", SLIPWAY, "-o", name, source, status=2)
            self.assertIn(b"that this run reads", done.stderr)
        os.unlink(self.demo / "link")
        self.assertEqual(self.files(), before)

    def test_two_files_have_two_places(self):
        before = self.files()
        for more, out in ((("--manifest", "t.rotor"), "t.rotor"),
                          (("--depfile", "./t.rotor"), "t.rotor"),
                          (("--manifest", "m", "--depfile", "m"), "t.rotor"),
                          (("--manifest", "-"), "-"),
                          (("--manifest", "-", "--depfile", "-"), "t.rotor")):
            done = self.one(*more, out=out, status=2)
            self.assertIn(b"two outputs would be written to", done.stderr)
            self.assertEqual(done.stdout, b"")
        self.assertEqual(self.files(), before)
        self.one("--manifest", "/dev/null", "--depfile", "/dev/null", out="/dev/null")

    def test_places_behind_links(self):
        os.symlink("new.rotor", self.demo / "ln")
        done = self.one("--manifest", "new.rotor", out="ln", status=2)
        self.assertIn(b"two outputs would be written to", done.stderr)
        self.assertFalse((self.demo / "new.rotor").exists())

    def test_standard_input_is_an_input(self):
        source = self.demo / "engines/quern-12.engine.yaml"
        before = source.read_bytes()
        for command in (("compile",), ("sheet",)):
            with open(source, "rb") as text:
                done = subprocess.run([PROGRAM, *command, "-d", SLIPWAY, "-o", source, "-"],
                                      cwd=self.demo, stdin=text, capture_output=True, check=False)
            self.assertEqual(done.returncode, 2, done.stderr)
            self.assertIn(b"that this run reads", done.stderr)
            self.assertEqual(source.read_bytes(), before)

    def test_a_full_output_leaves_the_rest_as_it_was(self):
        with open("/dev/full", "wb") as full:
            done = subprocess.run([PROGRAM, "compile", "-d", SLIPWAY, "-o", "-", "--manifest", "m",
                                   "engines/quern-12.engine.yaml"], cwd=self.demo, stdout=full,
                                  stderr=subprocess.PIPE, check=False)
        self.assertEqual(done.returncode, 2)
        self.assertIn(b"standard output", done.stderr)
        self.assertNotIn(b"bytes", done.stderr)
        self.assertFalse((self.demo / "m").exists())

    def test_what_is_open_and_what_only_looks_so(self):
        self.one()
        table = (self.demo / "t.rotor").read_bytes()
        self.assertEqual(self.one(out="/dev/fd/1").stdout, table)
        for _ in range(2):
            self.one(out="/proc/self/cwd/again.rotor")
            self.assertEqual((self.demo / "again.rotor").read_bytes(), table)

    def test_several_devices_read_no_standard_input(self):
        (self.demo / "out").mkdir()
        both = ("compile", "-d", SLIPWAY, "-d", CAPSTAN, "-o", "out")
        for more, data in ((("-",), b"x"), (("--list",), b"engines\0-\0")):
            done = self.run_program(*both, *more, data=data, status=2)
            self.assertIn(b"more than once", done.stderr)
            self.assertEqual(list((self.demo / "out").iterdir()), [])
        # Names on standard input are allowed: the files they name can be read again.
        self.run_program(*both, "--list", data=b"engines/quern-12.engine.yaml\0engines/")
        listed = self.files()
        self.run_program(*both, "engines")
        self.assertEqual(self.files(), listed)

    def test_all_or_nothing(self):
        (self.demo / "out").mkdir()
        (self.demo / "out/slipway-4.rotor").write_bytes(b"old")
        before = self.files()
        for more in (("--manifest", "no/m.json"), ("--depfile", "/dev/full"),
                     ("--manifest", "engines")):
            self.compile(*more, status=2)
            self.assertEqual(self.files(), before, more)
        (self.demo / "out/capstan-2.rotor").mkdir()
        self.compile(status=2)
        self.assertEqual(self.files(), before)

    def test_links_stay_links(self):
        target = self.demo / "real.rotor"
        os.symlink("real.rotor", self.demo / "link.rotor")
        os.symlink("/proc/self/fd/1", self.demo / "out-link")
        for _ in range(2):  # at first it leads nowhere
            self.one(out="link.rotor")
            self.assertTrue((self.demo / "link.rotor").is_symlink())
        self.one()
        self.assertEqual(target.read_bytes(), (self.demo / "t.rotor").read_bytes())
        self.assertEqual(self.one(out="out-link").stdout, target.read_bytes())
        self.assertEqual(self.one(out="/dev/stdout").stdout, target.read_bytes())
        with open(self.demo / "log", "wb") as log:
            log.write(b"before")
            log.flush()
            subprocess.run([PROGRAM, "compile", "-d", SLIPWAY, "-o", "out-link",
                            "engines/quern-12.engine.yaml"], cwd=self.demo, stdout=log,
                           stderr=subprocess.DEVNULL, check=True)
        self.assertEqual((self.demo / "log").read_bytes(), b"before" + target.read_bytes())
        self.assertTrue((self.demo / "out-link").is_symlink())

    def test_odd_names_stand_in_the_manifest(self):
        odd = os.fsencode(self.demo) + b"/n\xff"
        os.rename(self.demo / "engines", odd)
        done = subprocess.run([PROGRAM, "compile", "-d", SLIPWAY, "-o", b"y\xff.rotor",
                               "--manifest", "m.json", b"n\xff/quern-12.engine.yaml"],
                              cwd=self.demo, capture_output=True, check=False)
        self.assertEqual(done.returncode, 0, done.stderr)
        manifest = json.loads((self.demo / "m.json").read_text())
        self.assertEqual([s["file"] for s in manifest["sources"]],
                         ["n\ufffd/quern-12.engine.yaml"])
        self.assertEqual([t["file"] for t in manifest["tables"]], ["y\ufffd.rotor"])

    def test_what_only_a_further_device_cannot_hold(self):
        profile = (self.demo / SLIPWAY).read_text()
        profile = re.sub("(?m)^id: .*", "id: fine-9", profile)
        profile = re.sub("counts-per-motor-turn: .*", "counts-per-motor-turn: 99999999", profile)
        (self.demo / "fine-9.device.yaml").write_text(profile)
        for devices in (("fine-9.device.yaml",), (SLIPWAY, "fine-9.device.yaml")):
            done = self.compile(devices=devices, sources=("engines/quern-12.engine.yaml",),
                                status=1)
            self.assertIn(b"a table takes up to 1073741824 [number-too-large]", done.stderr)
            self.assertEqual(list((self.demo / "out").iterdir()), [])

    def test_what_no_device_changes_is_said_once(self):
        done = self.compile("broken/ratio-swapped.engine.yaml", status=1)
        for rule in (b"[ratio-swapped]", b"[draft-compiled]"):
            self.assertEqual(done.stderr.count(rule), 1, rule)
        self.assertIn(b"1 error,", done.stderr)

    def test_none_where_one_cannot_be(self):
        self.compile(devices=(CAPSTAN, "devices/skiff-1.device.yaml"), status=1)
        self.assertEqual(list((self.demo / "out").iterdir()), [])

    def test_drafts_are_left_out_unless_asked_for(self):
        self.compile("--manifest", "m.json")
        manifest = json.loads((self.demo / "m.json").read_text())
        compiled = {s["id"]: s["compiled"] for s in manifest["sources"]}
        self.assertFalse(compiled["swingle-25"])
        self.assertTrue(compiled["quern-12"])
        size = (self.demo / "out/slipway-4.rotor").stat().st_size
        self.compile("--drafts")
        self.assertGreater((self.demo / "out/slipway-4.rotor").stat().st_size, size)

    def test_withdrawn_ones_are_refused(self):
        self.edit("engines/quern-12.engine.yaml", "status: released", "status: withdrawn")
        done = self.compile(status=1)
        self.assertIn(b"[withdrawn]", done.stderr)

    def test_manifest_is_reproducible_and_true(self):
        self.compile("--manifest", "one.json")
        self.compile("--manifest", "two.json", sources=sorted(
            (str(p.relative_to(self.demo)) for p in (self.demo / "engines").iterdir()),
            reverse=True))
        one, two = ((self.demo / n).read_text() for n in ("one.json", "two.json"))
        self.assertEqual(one, two)
        manifest = json.loads(one)
        self.assertEqual([p["file"] for p in manifest["policies"]], ["rotortab.policy.yaml"])
        second = [s["cross_check"] for s in manifest["sources"] if "cross_check" in s]
        self.assertEqual([s["file"] for s in second], sorted(
            str(p.relative_to(self.demo)) for p in self.demo.glob("engines/*.cross-check.yaml")))
        for part in (manifest["tables"], manifest["sources"], manifest["policies"], second):
            for entry in part:
                digest = hashlib.sha256((self.demo / entry["file"]).read_bytes()).hexdigest()
                self.assertEqual(entry["sha256"], digest, entry["file"])
        self.assertEqual([s["id"] for s in manifest["sources"]],
                         sorted(s["id"] for s in manifest["sources"]))
        self.assertNotIn(str(self.demo), one)

    def test_manifest_is_the_same_in_any_order_of_devices(self):
        manifests = set()
        orders = itertools.permutations((SLIPWAY, CAPSTAN, "devices/skiff-1.device.yaml"))
        for devices in share.sample(orders, least=2):
            self.compile("--manifest", "m.json", devices=devices,
                         sources=("engines/quern-12.engine.yaml", "engines/dibble-3.engine.yaml"))
            manifests.add((self.demo / "m.json").read_text())
        self.assertEqual(len(manifests), 1)
        (text,) = manifests
        self.assertEqual([t["device"]["id"] for t in json.loads(text)["tables"]],
                         ["capstan-2", "skiff-1", "slipway-4"])
        self.assertIn("step-not-whole", text)


if __name__ == "__main__":
    unittest.main()
