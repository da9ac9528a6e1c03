"""The depfile, read by make and ninja: when a table is made again, and which names it can hold."""

import os
import pathlib
import re
import shutil
import subprocess
import sys
import tempfile
import time
import unittest

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parent))
from gate_test import CAPSTAN, PROGRAM, SLIPWAY, Gate  # pylint: disable=wrong-import-position

QUERN = "quern-12.engine.yaml"

MAKEFILE = """\
{table}:
\t{program} compile -d {device} -o $@ --depfile d {sources}
-include d
"""
NINJA = """\
rule compile
  command = {program} compile -d {device} -o $out --depfile d {sources}
  depfile = d
build {table}: compile
"""


def wait_for_tick():
    """Waits until a new file has a later time than all files so far."""
    with tempfile.NamedTemporaryFile() as file:
        before = os.stat(file.name).st_mtime_ns
        while os.stat(file.name).st_mtime_ns == before:
            time.sleep(0.001)
            os.utime(file.name)


class Case(Gate):
    """A copy of the demonstration, with a folder inside a folder."""

    def setUp(self):
        super().setUp()
        for path in self.demo.glob("engines/*.cross-check.yaml"):
            path.unlink()  # a definition that is moved away would leave it alone
        (self.demo / "out").mkdir()
        (self.demo / "engines/more").mkdir()
        self.move("dibble-3.engine.yaml", "engines", "engines/more")

    def move(self, name, old, new):
        """A file keeps its time when it is moved; its folders' times change."""
        wait_for_tick()  # or they could equal the time of the table
        (self.demo / old / name).rename(self.demo / new / name)

    def compile(self, *sources, status=0, out="out/t.rotor", devices=(SLIPWAY,), data=None,
                depfile="d"):
        named = [word for device in devices for word in ("-d", device)]
        return self.run_program("compile", *named, "-o", out, "--depfile", depfile, *sources,
                                status=status, data=data)

    def run_tool(self, tool, folder="."):
        """The output of make or ninja, even if one of them runs these tests.

        make has its own rules for many names; to try them takes longer than all else.
        """
        command = ["make", "--no-builtin-rules"] if tool == "make" else [tool]
        done = subprocess.run(command, cwd=self.demo / folder, capture_output=True, text=True,
                              check=False,
                              env={"PATH": os.environ["PATH"], "LC_ALL": "C"})
        self.assertEqual(done.returncode, 0, done.stdout + done.stderr)
        return done.stdout


class Depfile(Case):
    """When a table is made again, and what is in the depfile."""

    def rules(self):
        """Each target of the depfile, with the list of its prerequisites."""
        text = (self.demo / "d").read_text().replace(" \\\n ", "\n")
        rules = {}
        for line in text.split("\n"):
            if line.endswith(":"):
                target = rules.setdefault(line[:-1], [])
            elif line:
                target.append(line)
        return rules

    def is_made(self, tool, table="out/t.rotor", sources="engines"):
        """Whether make or ninja makes the table again."""
        name, text = {"make": ("Makefile", MAKEFILE), "ninja": ("build.ninja", NINJA)}[tool]
        (self.demo / name).write_text(text.format(program=PROGRAM, device=SLIPWAY, table=table,
                                                  sources=sources))
        said = self.run_tool(tool)
        return "up to date" not in said and "no work to do" not in said

    def follow(self, tool):
        self.assertTrue(self.is_made(tool))
        self.assertFalse(self.is_made(tool))
        for name, old, new, held in (("coulter-70.engine.yaml", "engines", "out", False),
                                     ("coulter-70.engine.yaml", "out", "engines", True),
                                     ("dibble-3.engine.yaml", "engines/more", "out", False),
                                     ("dibble-3.engine.yaml", "out", "engines/more", True),
                                     ("more", "engines", "out", False)):
            self.move(name, old, new)
            self.assertTrue(self.is_made(tool), (name, new))
            shown = self.run_program("show", "out/t.rotor").stdout.decode()
            self.assertEqual(name.split(".", maxsplit=1)[0] in shown, held, (name, new))
            self.assertFalse(self.is_made(tool), (name, new))

    def test_make_follows_what_comes_and_goes(self):
        self.follow("make")

    @unittest.skipUnless(shutil.which("ninja"), "ninja is not on this machine")
    def test_ninja_follows_what_comes_and_goes(self):
        self.follow("ninja")

    def test_a_folder_that_is_written_to_makes_nothing_anew(self):
        self.assertTrue(self.is_made("make", "engines/t.rotor"))
        self.assertFalse(self.is_made("make", "engines/t.rotor"))
        self.assertIn("engines/more", self.rules())
        self.assertNotIn("engines", self.rules())
        # Nor a folder that a link leads into, nor the folder of the depfile.
        (self.demo / "link.rotor").symlink_to("engines/more/t.rotor")
        self.compile("engines", out="link.rotor")
        self.assertNotIn("engines/more", self.rules())
        # A folder that is named twice is in the list once.
        self.compile("engines", "./engines", "engines/more")
        self.assertEqual([path for path in self.rules() if (self.demo / path).is_dir()],
                         ["engines", "engines/more"])

    def test_each_table_depends_on_its_own_profile(self):
        self.compile("engines", devices=(SLIPWAY, CAPSTAN), out="out")
        rules = self.rules()
        for mine, other in ((SLIPWAY, CAPSTAN), (CAPSTAN, SLIPWAY)):
            table = "out/" + pathlib.Path(mine).name.replace(".device.yaml", ".rotor")
            self.assertIn(mine, rules[table])
            self.assertNotIn(other, rules[table])
            self.assertEqual(rules[mine], [])

    def test_standard_input_is_no_file(self):
        text = (self.demo / "engines/quern-12.engine.yaml").read_bytes()
        self.compile("-", data=text)
        self.assertEqual(set(self.rules()), {"out/t.rotor", SLIPWAY, "rotortab.policy.yaml",
                                             "rotortab.sources.yaml"})
        self.compile("-", "--name", "engines/quern-12.engine.yaml", data=text)
        self.assertIn("engines/quern-12.engine.yaml", self.rules())
        done = self.compile("engines", out="-", status=2)
        self.assertIn(b"not standard output", done.stderr)
        self.assertEqual(done.stdout, b"")


APART = [text.replace("depfile d", "depfile out/d").replace("include d", "include out/d")
         .replace("depfile = d", "depfile = out/d") for text in (MAKEFILE, NINJA)]
MAKEFILE_APART, NINJA_APART = APART[0], "builddir = out\n" + APART[1]


class Apart(Case):
    """The table and the depfile are in a separate folder."""

    def is_made(self, tool, sources="engines", folder=".", rules=None):
        """Whether the table is made again; it goes to a separate folder, with the depfile."""
        name, text = {"make": ("Makefile", MAKEFILE_APART),
                      "ninja": ("build.ninja", NINJA_APART)}[tool]
        text = (rules or text).format(program=PROGRAM, device=SLIPWAY, table="out/t.rotor",
                                      sources=sources)
        path = self.demo / folder / name
        if not path.exists():
            path.write_text(text)
        wait_for_tick()
        said = self.run_tool(tool, folder)
        wait_for_tick()
        return "up to date" not in said and "no work to do" not in said


class Nearest(Apart):
    """A new policy, nearer than the present one or the first one, makes all tables again."""

    NAME = "rotortab.policy.yaml"
    TEXT = "policy: 1\nlimits: {counter-turns: 90}\n"

    def setUp(self):
        super().setUp()
        (self.demo / self.NAME).unlink()

    def appear(self, at, tool, **how):
        """Without a change nothing is made; a new file makes the table once."""
        path = self.demo / at / self.NAME
        self.assertFalse(self.is_made(tool, **how), at)
        path.write_text(self.TEXT)
        os.utime(path, (1, 1))  # a file that is moved there is older than the table
        self.assertTrue(self.is_made(tool, **how), at)
        self.assertFalse(self.is_made(tool, **how), at)
        self.assertIn(self.NAME, (self.demo / "out/d").read_text())

    def follow(self, tool):
        sources = "engines/more/dibble-3.engine.yaml engines/quern-12.engine.yaml"
        self.assertTrue(self.is_made(tool, sources))
        for folder in (".", "engines", "engines/more"):
            self.appear(folder, tool, sources=sources)
        for folder in ("engines/more", "engines", "."):
            (self.demo / folder / self.NAME).unlink()
            self.assertTrue(self.is_made(tool, sources), folder)
            self.assertFalse(self.is_made(tool, sources), folder)

    def follow_in_repository(self, tool):
        """The tool runs beside the definitions, and a new policy is above both."""
        (self.demo / ".git").mkdir()
        (self.demo / "build/out").mkdir(parents=True)
        (self.demo / "out").rmdir()
        (self.demo / "out").symlink_to("build/out")
        (self.demo / "build/devices").symlink_to("../devices")
        how = {"sources": "../engines", "folder": "build"}
        self.assertTrue(self.is_made(tool, **how))
        self.appear(".", tool, **how)

    def test_make(self):
        self.follow("make")

    def test_make_in_a_repository(self):
        self.follow_in_repository("make")

    @unittest.skipUnless(shutil.which("ninja"), "ninja is not on this machine")
    def test_ninja(self):
        self.follow("ninja")

    @unittest.skipUnless(shutil.which("ninja"), "ninja is not on this machine")
    def test_ninja_in_a_repository(self):
        self.follow_in_repository("ninja")

    @unittest.skipUnless(shutil.which("ninja"), "ninja is not on this machine")
    def test_ninja_with_its_log_in_the_working_folder(self):
        """The first build makes the log, so the second one may build again; after that nothing
        changes."""
        rules = NINJA_APART.replace("builddir = out\n", "")
        self.assertTrue(self.is_made("ninja", rules=rules))
        self.is_made("ninja", rules=rules)
        self.appear(".", "ninja", rules=rules)


class Registers(Nearest):
    """The same of a source register."""

    NAME = "rotortab.sources.yaml"
    TEXT = "source-register: 1\ndocuments: []\n"


class Folders(Case):
    """The folders in which a nearer policy or register can appear."""

    def setUp(self):
        super().setUp()
        self.files = [self.demo / "rotortab.policy.yaml", self.demo / "rotortab.sources.yaml"]
        self.texts = [path.read_text() for path in self.files]
        for path in self.files:
            path.unlink()

    def folders(self):
        return [line[:-1] for line in (self.demo / "d").read_text().split("\n")
                if line.endswith(":") and (self.demo / line[:-1]).is_dir()]

    def test_folders_that_are_named(self):
        """Up to the policy, the top of the repository, or the working folder."""
        inside = "engines/more/dibble-3.engine.yaml"
        (self.demo / "sub").mkdir()
        def named(*more, source=inside):
            self.run_program("compile", "-d", SLIPWAY, "-o", "out/t.rotor", "--depfile", "sub/d",
                             *more, source)
            (self.demo / "sub/d").rename(self.demo / "d")
            return self.folders()
        self.assertEqual(named(), [".", "engines/more", "engines"])
        near = [self.demo / "engines" / path.name for path in self.files]
        near[0].write_text(self.texts[0])
        self.assertEqual(named(), [".", "engines/more", "engines"], "a register can appear there")
        near[1].write_text(self.texts[1])
        self.assertEqual(named(), [".", "engines/more"])
        (self.demo / "engines/more" / near[1].name).write_text(self.texts[1])
        policy = ("--policy", "engines/rotortab.policy.yaml")
        self.assertEqual(named(*policy), ["engines/more"], "a cross-check can appear there")
        (self.demo / "engines/more/dibble-3.cross-check.yaml").write_text(
            "cross-check: 1\nof: {id: dibble-3, revision: 7}\nread-from: x\n"
            "read-on: 2026-06-02\n")
        self.assertEqual(named(*policy), [])
        (self.demo / "engines/more/dibble-3.cross-check.yaml").unlink()
        for path in (*near, self.demo / "engines/more" / near[1].name):
            path.unlink()
        outside = self.demo.parent / "other/deep"
        outside.mkdir(parents=True)
        shutil.copy(self.demo / inside, outside)
        name = outside / "dibble-3.engine.yaml"
        self.assertEqual(named(source=name), [".", str(outside)])
        (outside.parent / ".git").mkdir()
        self.assertEqual(named(source=name), [".", str(outside), str(outside.parent)])
        (self.demo.parent / ".git").mkdir()
        self.assertEqual(named(), [".", str(self.demo.parent), "engines/more", "engines"])


class CrossChecks(Apart):
    """A cross-check that comes, changes or goes makes the table again: it can refuse one."""

    SOURCES = "engines/more/dibble-3.engine.yaml"
    SECOND = ("cross-check: 1\nof: {id: dibble-3, revision: 7}\nread-from: x\n"
              "read-on: 2026-06-02\n")

    def follow(self, tool):
        path = self.demo / self.SOURCES.replace(".engine.", ".cross-check.")
        path.unlink(missing_ok=True)
        self.assertTrue(self.is_made(tool, self.SOURCES))
        self.assertFalse(self.is_made(tool, self.SOURCES))
        for time_of in ((1, 1), None):
            path.write_text(self.SECOND)
            os.utime(path, time_of)
            self.assertTrue(self.is_made(tool, self.SOURCES), "it has come")
            self.assertFalse(self.is_made(tool, self.SOURCES))
            self.assertIn(str(path.relative_to(self.demo)), (self.demo / "out/d").read_text())
            path.write_text(self.SECOND + "# again\n")
            self.assertTrue(self.is_made(tool, self.SOURCES), "it has changed")
            self.assertFalse(self.is_made(tool, self.SOURCES))
            path.unlink()
            self.assertTrue(self.is_made(tool, self.SOURCES), "it is gone")
            self.assertFalse(self.is_made(tool, self.SOURCES))

    def test_make(self):
        self.follow("make")

    @unittest.skipUnless(shutil.which("ninja"), "ninja is not on this machine")
    def test_ninja(self):
        self.follow("ninja")


class Names(Case):
    """Names of files and folders: make reads them as they are, or they are refused."""

    def put(self, folder):
        (self.demo / folder).mkdir()
        shutil.copy(self.demo / "engines" / QUERN, self.demo / folder)

    def test_those_that_make_can_be_told(self):
        names = ("a b", "a#b", "a$b", "${a}", "$(a)b", "a:b", "a\\b", "a: b #$c", "\u00e4", "#",
                 "(a)", "a(b)c", "a{1,2}", "a!", "a@", "a~", "a&b", "a'b", 'a"b', "include")
        tables = {f"out/t-{number}.rotor": name for number, name in enumerate(names)}
        for table, name in tables.items():
            self.put(name)
            self.compile(name, out=table, depfile=f"{table}.d")
        (self.demo / "Makefile").write_text(f"all: {' '.join(tables)}\n{' '.join(tables)}:\n"
                                            "\t@echo made $@\ninclude out/*.d\n")
        def made():
            """The names whose tables make would make again."""
            said = [line.split() for line in self.run_tool("make").splitlines()]
            return [tables[words[1]] for words in said if words[0] == "made"]
        self.assertEqual(made(), [])
        wait_for_tick()
        for name in names:
            (self.demo / name / QUERN).touch()
        self.assertEqual(made(), list(names))
        for name in names:
            shutil.rmtree(self.demo / name)
        self.assertEqual(made(), list(names))

    def test_those_that_it_cannot_be_told(self):
        for name, what in (("a\nb", "a line break"), ("a\tb", "a tab"), ("a\x01", "a control"),
                           ("a;b", "character ;"), ("a|b", "character |"), ("a=b", "character ="),
                           ("a%b", "character %"), ("a*b", "character *"), ("a?b", "character ?"),
                           ("a[1]", "character ["), ("a\\ b", "a backslash before a blank"),
                           ("a\\", "at the end"), ("a ", "a blank, : or & at the end"),
                           ("a:", "a blank, : or & at the end"), ("a&", ": or & at the end"),
                           ("~a", "~ at the beginning"), ("a (b)", "(...) at the end")):
            with self.subTest(name):
                self.put(name)
                done = self.compile(name, status=2)
                self.assertRegex(done.stderr.decode(), r"cannot name a?.*: make does not accept "
                                 f".*{re.escape(what)}.*; rename the file, or leave out --depfile")
                for left in ("out/t.rotor", "d"):
                    self.assertFalse((self.demo / left).exists())
        # Also for a profile and a table; without a depfile every name is accepted.
        shutil.copy(self.demo / SLIPWAY, self.demo / "a;b")
        for how in ({"devices": (f"a;b/{pathlib.Path(SLIPWAY).name}",)}, {"out": "out/a;b.rotor"}):
            done = self.compile("engines", status=2, **how)
            self.assertIn(b"the depfile cannot name ", done.stderr)
        self.run_program("compile", "-d", SLIPWAY, "-o", "out/a;b.rotor", "a\nb")


if __name__ == "__main__":
    unittest.main()
