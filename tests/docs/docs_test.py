"""The documents compared with the program: it prints what they show, and what they name exists.

DOCS_UPDATE=1 in the environment writes into README.md what its commands print now, for a review
with `git diff`.
"""

import os
import pathlib
import re
import shutil
import subprocess
import tempfile
import unittest

import transcript

ROOT = pathlib.Path(__file__).resolve().parent.parent.parent
PROGRAM = pathlib.Path(os.environ.get("ROTORTAB", ROOT / "build" / "rotortab")).resolve()
UPDATE = os.environ.get("DOCS_UPDATE") == "1"

DOCUMENTS = [ROOT / "README.md", ROOT / "DEVELOPERS.md", *sorted(ROOT.glob("man/*.[1-9]"))]

# What belongs to somebody's machine or desk and not into a document.
PRIVATE = re.compile(r"(?<![\w.])/(?:work|tmp|home|root)/|\bsessions?\b|\bissue #", re.I)

MAKE = re.compile(r"(?:^|`|sudo )make ((?:[a-z-]+(?![\w/=]) ?)+)", re.M)

# One line each: `-d, --device FILE  meaning` and `.It Fl d , Fl -device Ar FILE`.
OPTION_OF_HELP = re.compile(r"^  (?:-(\w), |    )--([a-z-]+)(?: ([A-Z|:=]+))?\s{2,}(.*)$", re.M)
OPTION_OF_PAGE = re.compile(r"^\.It (?:Fl (\w) , )?Fl -([a-z-]+)(?: Ar (.+))?$", re.M)
EXAMPLE = re.compile(r"^\.Dl \$ (rotortab .*)\n(?:\.Pq exit status (\d))?", re.M)


def read(name):
    return (ROOT / name).read_text(encoding="utf-8")


def ask(*arguments):
    """What the program prints on standard output."""
    done = subprocess.run([PROGRAM, *arguments], capture_output=True, text=True, check=True)
    return done.stdout


def options_of(command):
    """What --help says of a command's options: (letter, name, argument, meaning) each."""
    unbroken = re.sub(r"\n {29}", " ", ask(command, "--help"))
    return OPTION_OF_HELP.findall(unbroken)


def environment():
    """Where `rotortab` is found, and no colour."""
    kept = {name: os.environ[name] for name in ("ASAN_OPTIONS", "UBSAN_OPTIONS")
            if name in os.environ}
    return {"PATH": f"{PROGRAM.parent}:{os.environ.get('PATH', '/usr/bin:/bin')}",
            "LC_ALL": "C.UTF-8", "NO_COLOR": "1", **kept}


class Scratch(unittest.TestCase):
    """Has a folder with a copy of the demonstration engines and a `build` with the program."""

    maxDiff = None

    def setUp(self):
        scratch = tempfile.TemporaryDirectory()
        self.addCleanup(scratch.cleanup)
        self.folder = pathlib.Path(scratch.name)
        shutil.copytree(ROOT / "engines-demo", self.folder / "engines-demo")
        (self.folder / "build").symlink_to(PROGRAM.parent)


class Readme(Scratch):
    """README.md, followed line by line."""

    def test_shows_what_the_program_prints(self):
        text = read("README.md")
        commands = transcript.play(transcript.read(text), self.folder, environment())
        if UPDATE:
            (ROOT / "README.md").write_text(transcript.updated(text, commands), encoding="utf-8")
            return
        for command in commands:
            self.assertEqual(command.shown, command.printed, f"after $ {command.line}")

    def test_example_checks_clean(self):
        saved = [step for step in transcript.read(read("README.md")) if isinstance(step, tuple)]
        self.assertEqual(len(saved), 1)
        path, content = saved[0]
        (self.folder / "engines-demo" / path).write_text(content, encoding="utf-8")
        done = subprocess.run([PROGRAM, "check", "--strict", path], text=True, capture_output=True,
                              cwd=self.folder / "engines-demo", env=environment(), check=False)
        self.assertEqual(done.returncode, 0, done.stdout + done.stderr)
        self.assertIn("0 errors, 0 warnings", done.stdout)

    def test_is_short(self):
        self.assertLessEqual(read("README.md").count("\n"), 250)

    def test_make_targets_exist(self):
        targets = set(re.findall(r"^([a-z-]+):.*## ", read("Makefile"), re.M))
        named = set()
        for name in ("README.md", "DEVELOPERS.md"):
            for line in MAKE.findall(read(name)):
                named.update(line.split())
        self.assertEqual(named - targets, set())


@unittest.skipUnless(shutil.which("git"), "git is not installed")
class Job(Scratch):
    """The job of README.md, run on a branch while others go on with main."""

    def setUp(self):
        super().setUp()
        self.origin = self.folder / "engines-demo"
        self.clone = self.folder / "clone"
        self.git("init", "-q", "-b", "main")
        self.commit("Engines")
        self.git("clone", "-q", str(self.origin), str(self.clone), folder=self.folder)

    def git(self, *arguments, folder=None):
        own = ["-c", "user.name=Somebody", "-c", "user.email=somebody@example.org"]
        subprocess.run(["git", *own, *arguments], cwd=folder or self.origin, check=True,
                       capture_output=True)

    def commit(self, message, folder=None):
        self.git("add", "-A", folder=folder)
        self.git("commit", "-q", "-m", message, folder=folder)

    def edit(self, folder, name, *edits):
        path = folder / "engines" / f"{name}.engine.yaml"
        text = path.read_text(encoding="utf-8")
        for pattern, new in edits:
            text, count = re.subn(pattern, new, text, count=1, flags=re.M)
            self.assertEqual(count, 1, f"{name}: {pattern}")
        path.write_text(text, encoding="utf-8")
        self.commit(name, folder)

    def test_tells_what_the_branch_did_alone(self):
        job, = [block for block in re.findall(r"^```sh\n(.*?)^```$", read("README.md"), re.M | re.S)
                if "compare" in block]
        self.edit(self.clone, "billhook-8", (r"^name: .*$", "name: By the branch"))
        self.edit(self.origin, "quern-12", (r"^name: .*$", "name: By others"))
        self.git("fetch", "-q", folder=self.clone)
        done = subprocess.run(["sh", "-c", job], cwd=self.clone, env=environment(),
                              capture_output=True, text=True, check=False)
        self.assertEqual(done.returncode, 0, done.stdout + done.stderr)
        comment = (self.clone / "comment.md").read_text(encoding="utf-8")
        self.assertIn("By the branch", comment)
        self.assertNotIn("By others", comment)
        self.assertIn(": 1 changed, ", comment)


class Page(unittest.TestCase):
    """rotortab(1) and --help say the same of every command."""

    @classmethod
    def setUpClass(cls):
        cls.page = read("man/rotortab.1")
        cls.overview = dict(re.findall(r"^  ([a-z]+)  +(\S.*)$", ask("--help"), re.M))

    def section(self, command):
        """The subsection of a command."""
        found = re.search(rf"^\.Ss {command}\n(.*?)(?=^\.S[sh] )", self.page, re.M | re.S)
        self.assertIsNotNone(found, f"rotortab(1) has no subsection {command}")
        return found[1]

    def test_same_commands(self):
        described = set(re.findall(r"^\.Ss ([a-z]+)$", self.page, re.M))
        synopsis = set(re.findall(r"^\.Nm\n\.Cm ([a-z]+)$", self.page, re.M))
        self.assertEqual(described, set(self.overview))
        self.assertEqual(synopsis, set(self.overview))

    def test_same_options(self):
        for command in self.overview:
            helped = {(letter, name, argument.replace("|", " | "))
                      for letter, name, argument, _ in options_of(command)}
            helped.remove(("h", "help", ""))
            paged = {(letter, name, argument.replace(" Ar ", " "))
                     for letter, name, argument in OPTION_OF_PAGE.findall(self.section(command))}
            self.assertEqual(paged, helped, command)

    def test_same_options_in_the_synopsis(self):
        for command in self.overview:
            forms = re.findall(rf"^\.Nm\n\.Cm {command}\n(.*?)(?=^\.(?:Nm|S[sh])\b)", self.page,
                               re.M | re.S)
            named = set(re.findall(r"Fl -([a-z-]+)", "".join(forms)))
            helped = {name for _, name, _, _ in options_of(command)}
            self.assertEqual(named, helped - {"help"}, command)

    def test_same_formats(self):
        for command in self.overview:
            for _, name, _, meaning in options_of(command):
                if name == "format":
                    formats = re.search(r": (.*)$", meaning)[1].split(", ")
                    entry = re.search(r"^\.It .*Fl -format .*\n((?:(?!\.It|\.El).*\n)+)",
                                      self.section(command), re.M)[1]
                    self.assertEqual(re.findall(r"^\.Cm ([a-z]+)", entry, re.M), formats, command)


class Examples(Scratch):
    """The examples of rotortab(1), run in the demonstration folder, one after the other."""

    def test_end_as_they_say(self):
        examples = EXAMPLE.findall(read("man/rotortab.1"))
        self.assertGreater(len(examples), 5)
        for line, status in examples:
            line = line.replace(r"\-", "-")
            done = subprocess.run(["sh", "-c", line], cwd=self.folder / "engines-demo",
                                  env=environment(), capture_output=True, text=True, check=False)
            self.assertEqual(done.returncode, int(status or 0),
                             f"{line}\n{done.stdout}{done.stderr}")


class Definitions(Scratch):
    """The examples of rotor-definition(5): an engine, a device and a policy."""

    KINDS = {"engine-definition": "engine.yaml", "device-profile": "device.yaml"}

    def written(self):
        """The names of the examples, which are in the folder now."""
        section = read("man/rotor-definition.5").split(".Sh EXAMPLES")[1]
        names = []
        for text in re.findall(r"^\.Bd -literal[^\n]*\n(.*?)^\.Ed$", section, re.M | re.S):
            kind = text.split(":")[0]
            stem = re.search(r"^id: (\S+)", text, re.M)
            names.append(f"{stem[1]}.{self.KINDS[kind]}" if stem else "rotortab.policy.yaml")
            (self.folder / names[-1]).write_text(text.replace(r"\e", "\\"), encoding="utf-8")
        return names

    def test_check_clean_together(self):
        engine, device, policy = self.written()
        done = subprocess.run([PROGRAM, "check", "--strict", "--device", device, engine, policy],
                              cwd=self.folder, env=environment(), capture_output=True, text=True,
                              check=False)
        self.assertEqual(done.returncode, 0, done.stdout + done.stderr)

    def explained(self, engine, device):
        done = subprocess.run([PROGRAM, "explain", "--device", device, engine], cwd=self.folder,
                              env=environment(), capture_output=True, text=True, check=False)
        self.assertEqual(done.returncode, 0, done.stderr)
        return done.stdout

    def test_error_budget_is_the_one_of_explain(self):
        engine, device, _ = self.written()
        section = read("man/rotor-definition.5").split(".Sh THE ERROR BUDGET")[1]
        shown = section.split(".Bd -literal -offset indent\n")[1].split(".Ed\n")[0]
        after = " ".join(section.split(".Ed\n")[1].split(".Sh")[0].split())
        exact = re.search(r"error budget: at most (\S+) deg, (\S+ % of the pitch)",
                          self.explained(engine, device))
        self.assertIn(f"the budget is {exact[1]} degrees, {exact[2]}, in any turn", after)
        source = (self.folder / engine).read_text(encoding="utf-8")
        without = re.sub(r"    path:.*?(?=    square)", "", source, flags=re.S)
        self.assertNotEqual(without, source)
        (self.folder / engine).write_text(without, encoding="utf-8")
        self.assertIn("".join(f"      {line}\n" for line in shown.splitlines()),
                      self.explained(engine, device))


class Documents(unittest.TestCase):
    """All of them."""

    def test_links_lead_somewhere(self):
        for name in ("README.md", "DEVELOPERS.md"):
            for target in re.findall(r"\]\(([^)#]+)\)", read(name)):
                self.assertTrue((ROOT / target).exists(), f"{name} links to {target}")

    def test_paths_exist(self):
        """A word in capitals, such as KIND, is any part of a file's name."""
        paths = r"`((?:src|man|schemas|tests|engines-demo)/[\w./-]*)`"
        for name in ("README.md", "DEVELOPERS.md"):
            for path in re.findall(paths, read(name)):
                self.assertTrue(any(ROOT.glob(re.sub(r"\b[A-Z]{2,}\b", "*", path))),
                                f"{name} names {path}")

    def test_rules_named_in_developers_exist(self):
        rules = set(re.findall(r"^  ([a-z-]+)", ask("rules"), re.M))
        words = set(re.findall(r"\*([a-z]+(?:-[a-z0-9]+)+)\*", read("DEVELOPERS.md")))
        self.assertEqual(words - rules, set())

    def test_pages_referred_to_exist(self):
        for page in ROOT.glob("man/*.[1-9]"):
            text = page.read_text(encoding="utf-8")
            for name, section in re.findall(r"^\.Xr (rotor\S*) (\d)", text, re.M):
                self.assertTrue((ROOT / "man" / f"{name}.{section}").exists(),
                                f"{page.name} refers to {name}({section})")

    def test_nothing_private(self):
        for path in DOCUMENTS:
            found = PRIVATE.search(path.read_text(encoding="utf-8"))
            self.assertIsNone(found, f"{path.name}: {found and found[0]}")

    def test_pages_are_clean(self):
        for page in sorted(ROOT.glob("man/*.[1-9]")):
            done = subprocess.run(["mandoc", "-Tlint", page], capture_output=True, text=True,
                                  check=False)
            said = [line for line in done.stdout.splitlines()
                    if "referenced manual not found" not in line]  # they need not be installed
            self.assertEqual(said, [], page.name)

    def test_the_cautions_are_in_each(self):
        for name in ("README.md", "man/rotortab.1", "man/rotor-definition.5"):
            text = " ".join(read(name).split())
            for words in ("arithmetic, not airworthiness", "current manual, local rules",
                          "isolate its starting and ignition", "hands clear", "low torque"):
                self.assertIn(words, text, name)


if __name__ == "__main__":
    unittest.main()
