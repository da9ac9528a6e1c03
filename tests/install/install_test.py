"""Installs below a temporary folder, then builds a small program with the installed files and runs
it.

`make test` links what the library has compiled, and shows a page under one of its names. The whole
run also lets the linker optimise the whole, and shows the page under every name.
"""

import os
import pathlib
import re
import shutil
import stat
import subprocess
import sys
import tempfile
import unittest

ROOT = pathlib.Path(__file__).resolve().parent.parent.parent
sys.path.insert(1, str(ROOT / "tests"))
import share  # noqa: E402

# With its plugin the linker takes the second form of the library's objects, to optimise them again.
LINKING = ("-fno-use-linker-plugin", "-fuse-linker-plugin")

# Make passes its state and the variables of its command line on in the environment.
BUILD_VARIABLES = {"MAKEFLAGS", "MFLAGS", "MAKELEVEL", "MAKEOVERRIDES", "SANITIZE", "COVERAGE",
                   "CC", "CPPFLAGS", "CFLAGS", "LDFLAGS", "DESTDIR", "PREFIX", "prefix"}

# GNU's name of each directory, and where it is by itself
DIRECTORIES = {
    "prefix": "/usr/local", "exec_prefix": "/usr/local", "bindir": "/usr/local/bin",
    "libdir": "/usr/local/lib", "includedir": "/usr/local/include",
    "datarootdir": "/usr/local/share", "datadir": "/usr/local/share",
    "mandir": "/usr/local/share/man", "docdir": "/usr/local/share/doc/rotortab",
}

# The first lines of a device's firmware.
FIRMWARE = """
#include <stdio.h>
#include <field/rotor_field.h>

int main(void)
{
    struct rotor_table table;
    return puts(rotor_status_text(rotor_table_open(&table, "no table", 8))) < 0;
}
"""

# The same in C++, the language of most firmware for larger devices.
FIRMWARE_CPP = """
#include <cstdio>
#include <field/rotor_bytes.h>
#include <field/rotor_field.h>
#include <field/rotor_import.h>
#include <field/rotor_layout.h>

int main()
{
    rotor_table table;
    rotor_motion motion;
    rotor_import import = rotor_import();
    rotor_position position = rotor_position();
    if (rotor_table_open(&table, "no table", 8) == ROTOR_OK ||
        rotor_motion_open(&motion, &table, 0, 0) != ROTOR_MOVE_NO_PAD ||
        rotor_import_open(&import, &table, &table, "bench-9") != ROTOR_IMPORT_OTHER_DEVICE ||
        !rotor_import_text(import.finding)) {
        return 1;
    }
    return std::printf("%s %u\\n", rotor_status_text(ROTOR_NOT_A_TABLE),
                       unsigned(position.counts) + rotor_crc32(0, nullptr, 0)) < 0;
}
"""


def run(command, **options):
    """Runs a command that must succeed; returns its output."""
    done = subprocess.run(command, stdout=subprocess.PIPE, stderr=subprocess.STDOUT, text=True,
                          check=False, **options)
    if done.returncode != 0:
        raise AssertionError(f"{command} failed:\n{done.stdout}")
    return done.stdout


def user_environment():
    """A user's: without the variables of the make that runs the tests."""
    return {name: value for name, value in os.environ.items() if name not in BUILD_VARIABLES}


def make(*arguments):
    """Runs make as a user does."""
    return run(["make", *arguments], cwd=ROOT, env=user_environment(), umask=0o077)


class Staged(unittest.TestCase):
    """Installs into a separate folder."""

    TARGET = "install"
    WHERE = ("PREFIX=/opt/rotortab",)

    @classmethod
    def setUpClass(cls):
        cls.stage = pathlib.Path(tempfile.mkdtemp())
        cls.addClassCleanup(shutil.rmtree, cls.stage)
        cls.make(cls.TARGET)

    @classmethod
    def make(cls, target):
        make(target, f"DESTDIR={cls.stage}", *cls.WHERE)

    def installed(self, path):
        return self.stage / "opt/rotortab" / path

    def remove(self):
        """`make uninstall` leaves no file."""
        self.make("uninstall")
        self.assertEqual([path for path in self.stage.rglob("*") if path.is_file()], [])


class Install(Staged):
    """The files after `make install`."""

    def test_program_runs(self):
        self.assertRegex(run([self.installed("bin/rotortab"), "--version"]), r"\d+\.\d+\.\d+")

    def pkg_config(self, *arguments):
        """What pkg-config says of the reader, in words."""
        environment = dict(os.environ, PKG_CONFIG_PATH=str(self.installed("lib/pkgconfig")))
        return run(["pkg-config", *arguments, "rotor-field"], env=environment).split()

    def test_pkg_config_knows_the_prefix(self):
        for name, value in (("prefix", "/opt/rotortab"), ("libdir", "/opt/rotortab/lib"),
                            ("includedir", "/opt/rotortab/include")):
            self.assertEqual(self.pkg_config(f"--variable={name}"), [value])
        self.assertEqual(self.pkg_config("--define-variable=prefix=/else", "--cflags", "--libs"),
                         ["-I/else/include/rotor-field", "-L/else/lib", "-lrotorfield"])

    def test_every_function_has_a_page(self):
        """That is, each of the library that a header for firmware declares."""
        headers = "".join((ROOT / f"src/field/rotor_{name}.h").read_text(encoding="utf-8")
                          for name in ("field", "import"))
        symbols = run(["nm", "--defined-only", self.installed("lib/librotorfield.a")])
        functions = {name for name in re.findall(r" T (\w+)$", symbols, re.M)
                     if re.search(rf"^\w.*\b{name}\(", headers, re.M)}
        self.assertIn("rotor_table_open", functions)
        pages = {path.stem for path in self.installed("share/man/man3").iterdir()}
        self.assertEqual(pages, functions | {"rotor-field"})
        manual = self.installed("share/man")
        for name in functions:
            self.assertEqual((manual / f"man3/{name}.3").read_text(encoding="utf-8"),
                             ".so man3/rotor-field.3\n", "they are all the same page")
        for name in share.sample(sorted(functions)):
            shown = re.sub(".\b", "", run(["mman", "-M", manual, "-c", name]))
            self.assertEqual([other for other in functions if f"{other}(" not in shown], [], name)

    def build_firmware(self, compiler, language, name, text):
        """Compiles a firmware with the installed files, runs it, and checks that it says something.
        """
        flags = self.pkg_config("--define-prefix", "--cflags", "--libs")
        source = self.stage / name
        source.write_text(text, encoding="utf-8")
        program = source.with_suffix("")
        for linking in share.sample(LINKING):
            run([compiler, language, "-Wall", "-Wextra", "-Wpedantic", "-Werror", linking, source,
                 *flags, "-o", program])
            self.assertTrue(run([program]).strip())

    def test_firmware_builds_against_the_reader(self):
        self.build_firmware("gcc", "-std=c99", "firmware.c", FIRMWARE)

    def test_firmware_in_cpp_builds_against_the_reader(self):
        """Every installed header is also C++11, and its functions link."""
        for header in self.installed("include/rotor-field/field").iterdir():
            self.assertIn(f"<field/{header.name}>", FIRMWARE_CPP)
        self.build_firmware("g++", "-std=c++11", "firmware_cpp.cpp", FIRMWARE_CPP)

    def test_pages_and_schemas_are_there(self):
        for page in ROOT.glob("man/*.[1-9]"):
            path = self.installed(f"share/man/man{page.suffix[1:]}/{page.name}")
            self.assertEqual(path.read_bytes(), page.read_bytes())
        for schema in ROOT.glob("schemas/*.*"):
            path = self.installed(f"share/rotortab/schemas/{schema.name}")
            self.assertEqual(path.read_bytes(), schema.read_bytes())
        self.assertTrue(self.installed("share/doc/rotortab/LICENSE").exists())

    def test_vectors_are_there(self):
        """The tables that rotor-table(5) names, with their index and their sources."""
        installed = self.installed("share/rotortab/vectors")
        kept = [path for path in (ROOT / "tests" / "vectors").rglob("*") if path.is_file()]
        self.assertGreater(len(kept), 100)
        for path in kept:
            place = installed / path.relative_to(ROOT / "tests" / "vectors")
            self.assertEqual(place.read_bytes(), path.read_bytes())

    def test_everybody_may_read_it(self):
        """The permissions do not depend on the umask."""
        for path in (self.stage / "opt").rglob("*"):
            mode = stat.S_IMODE(path.stat().st_mode)
            program = path.is_dir() or path.parent.name == "bin"
            self.assertEqual(oct(mode), oct(0o755 if program else 0o644), path)

    def test_shells_find_what_completes(self):
        for shell, path in (("bash", "bash-completion/completions/rotortab"),
                            ("zsh", "zsh/site-functions/_rotortab"),
                            ("fish", "fish/vendor_completions.d/rotortab.fish")):
            self.assertEqual(self.installed(f"share/{path}").read_text(encoding="utf-8"),
                             run([self.installed("bin/rotortab"), "completion", shell]))


class Stripped(Staged):
    """`make install-strip`"""

    TARGET = "install-strip"

    def test_program_has_no_symbols(self):
        program = self.installed("bin/rotortab")
        self.assertIn(", stripped", run(["file", program]))
        self.assertRegex(run([program, "--version"]), r"\d+\.\d+\.\d+")
        self.assertEqual(stat.S_IMODE(program.stat().st_mode), 0o755)
        self.remove()


class Elsewhere(Staged):
    """Each directory where the packager wants it, in either case of letters"""

    WHERE = ("prefix=/p", "BINDIR=/b", "libdir=/p/lib/cpu", "INCLUDEDIR=/i", "datadir=/d",
             "MANDIR=/m", "docdir=/doc")

    def test_files_are_there(self):
        for path in ("b/rotortab", "p/lib/cpu/librotorfield.a", "i/rotor-field/field/rotor_field.h",
                     "d/rotortab/schemas/policy.schema.json", "d/zsh/site-functions/_rotortab",
                     "d/rotortab/vectors/index.json", "m/man1/rotortab.1", "m/man3/rotor_next.3",
                     "doc/LICENSE"):
            self.assertTrue((self.stage / path).is_file(), path)
        config = (self.stage / "p/lib/cpu/pkgconfig/rotor-field.pc").read_text(encoding="utf-8")
        self.assertIn("libdir=${prefix}/lib/cpu\nincludedir=/i\n", config)
        self.remove()


class Variables(unittest.TestCase):
    """What make is given, and what it makes of it"""

    def values(self, *given):
        """The directories."""
        rule = "values: ; @echo " + " ".join(f"$({name})" for name in DIRECTORIES)
        return dict(zip(DIRECTORIES, make("-s", f"--eval={rule}", "values", *given).split()))

    def test_directories_by_themselves(self):
        self.assertEqual(self.values(), DIRECTORIES)

    def test_directories_in_either_case(self):
        """Each is given a folder of its own, so that none takes another one's."""
        wanted = {name: f"/else/{name}" for name in DIRECTORIES}
        for spelt in (str.lower, str.upper):
            given = [f"{spelt(name)}={folder}" for name, folder in wanted.items()]
            self.assertEqual(self.values(*given), wanted)
        self.assertEqual(self.values("PREFIX=/usr")["mandir"], "/usr/share/man")
        self.assertEqual(self.values("prefix=/usr")["libdir"], "/usr/lib")

    def commands(self, *given):
        """The commands that compile src/main.c and link the program."""
        shown = make("-n", "all", *given).splitlines()
        compiles, = [line for line in shown if line.endswith(" src/main.c")]
        links, = [line for line in shown if " -o build/rotortab " in line]
        return compiles, links

    def test_flags_have_the_last_word(self):
        compiles, links = self.commands("CPPFLAGS=-DONE", "CFLAGS=-Og -fno-lto", "LDFLAGS=-Wl,-O1")
        self.assertRegex(compiles, "-O3 .*-flto.* -DONE -Og -fno-lto -c ")
        self.assertRegex(links, "-flto.* -Og -fno-lto -Wl,-O1 -o ")

    def test_a_packagers_fortification_is_the_only_one(self):
        self.assertIn("-D_FORTIFY_SOURCE=2", self.commands()[0])
        for given in ("CPPFLAGS=-D_FORTIFY_SOURCE=3", "CFLAGS=-O0"):
            self.assertNotIn("-D_FORTIFY_SOURCE=2", self.commands(given)[0])


if __name__ == "__main__":
    unittest.main()
