"""Installs below a temporary folder, then builds a small program with the installed files and runs
it."""

import os
import pathlib
import shutil
import stat
import subprocess
import tempfile
import unittest

ROOT = pathlib.Path(__file__).resolve().parent.parent.parent

# Make passes its state and the variables of its command line on in the environment.
BUILD_VARIABLES = {"MAKEFLAGS", "MFLAGS", "MAKELEVEL", "MAKEOVERRIDES", "SANITIZE", "COVERAGE",
                   "CC", "CFLAGS", "LDFLAGS", "DESTDIR", "PREFIX"}

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


class Staged(unittest.TestCase):
    """Installs into a separate folder."""

    @classmethod
    def setUpClass(cls):
        cls.stage = pathlib.Path(tempfile.mkdtemp())
        cls.addClassCleanup(shutil.rmtree, cls.stage)
        cls.make("install")

    @classmethod
    def make(cls, target):
        """Runs make as a user does: without the variables of the make that runs the tests."""
        environment = {name: value for name, value in os.environ.items()
                       if name not in BUILD_VARIABLES}
        run(["make", target, f"DESTDIR={cls.stage}", "PREFIX=/opt/rotortab"], cwd=ROOT,
            env=environment, umask=0o077)

    def installed(self, path):
        return self.stage / "opt/rotortab" / path


class Install(Staged):
    """The files after `make install`."""

    def test_program_runs(self):
        self.assertRegex(run([self.installed("bin/rotortab"), "--version"]), r"\d+\.\d+\.\d+")

    def build_firmware(self, compiler, language, name, text):
        """Compiles a firmware with the installed files, runs it, and returns its output."""
        environment = dict(os.environ, PKG_CONFIG_SYSROOT_DIR=str(self.stage),
                           PKG_CONFIG_PATH=str(self.installed("lib/pkgconfig")))
        flags = run(["pkg-config", "--cflags", "--libs", "rotor-field"], env=environment).split()
        source = self.stage / name
        source.write_text(text, encoding="utf-8")
        program = source.with_suffix("")
        run([compiler, language, "-Wall", "-Wextra", "-Wpedantic", "-Werror", source, *flags,
             "-o", program])
        return run([program]).strip()

    def test_firmware_builds_against_the_reader(self):
        self.assertTrue(self.build_firmware("gcc", "-std=c99", "firmware.c", FIRMWARE))

    def test_firmware_in_cpp_builds_against_the_reader(self):
        """Every installed header is also C++11, and its functions link."""
        for header in self.installed("include/rotor-field/field").iterdir():
            self.assertIn(f"<field/{header.name}>", FIRMWARE_CPP)
        self.assertTrue(self.build_firmware("g++", "-std=c++11", "firmware_cpp.cpp", FIRMWARE_CPP))

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


class Uninstall(Staged):
    """`make uninstall`"""

    def test_nothing_is_left(self):
        self.make("uninstall")
        left = [path for path in self.stage.rglob("*") if path.is_file()]
        self.assertEqual(left, [])


if __name__ == "__main__":
    unittest.main()
