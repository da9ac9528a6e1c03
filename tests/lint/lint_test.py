"""Checks the checkers: the lint scripts and the test runner find what they must find."""

import os
import pathlib
import runpy
import sys
import tempfile
import textwrap
import traceback
import unittest

HERE = pathlib.Path(__file__).resolve().parent
RUN_ALL = HERE.parent / "run-all.py"
sys.path.insert(1, str(HERE.parent))  # for what run-all.py imports


def become(script, arguments, folder):
    """Makes this process what a new Python is that runs the script there. Does not return."""
    status = 1
    try:
        os.chdir(folder)
        sys.argv = [str(script), *arguments]
        sys.path[0] = str(script.parent)
        runpy.run_path(str(script), run_name="__main__")
        status = 0
    except SystemExit as end:
        status = end.code or 0
    except BaseException:  # pylint: disable=broad-except
        traceback.print_exc()
    finally:
        sys.stdout.flush()
        sys.stderr.flush()
        os._exit(status)


def run_script(script, arguments, folder):
    """The status and the output of a script, run by a copy of this process: that starts sooner."""
    sys.stdout.flush()
    with tempfile.TemporaryFile() as output:
        process = os.fork()
        if process == 0:
            os.dup2(output.fileno(), 1)
            os.dup2(1, 2)
            become(script, arguments, folder)
        _, status = os.waitpid(process, 0)
        output.seek(0)
        return os.waitstatus_to_exitcode(status), output.read().decode()


class Lint(unittest.TestCase):
    """Runs one script in a folder of its own, holding the files a test names."""

    def run_in(self, files, script, *arguments):
        with tempfile.TemporaryDirectory() as scratch:
            for name, text in files.items():
                path = pathlib.Path(scratch, name)
                path.parent.mkdir(parents=True, exist_ok=True)
                path.write_text(textwrap.dedent(text), encoding="utf-8")
            return run_script(script, arguments, scratch)

    def assert_fails(self, files, script, message, *arguments):
        status, output = self.run_in(files, script, *arguments)
        self.assertIn(message, output)
        self.assertEqual(status, 1)

    def assert_each_fails(self, cases, script, message, named=False):
        """One run over all cases, each a name and a text, says the message of each file.

        Each file has a separate name. `named`: the script gets the names.
        """
        files = {}
        for index, (name, text) in enumerate(cases):
            path = pathlib.Path(name)
            files[str(path.with_name(f"{path.stem}-{index}{path.suffix}"))] = text
        status, output = self.run_in(files, script, *(files if named else ()))
        self.assertEqual(status, 1)
        for name, text in files.items():
            with self.subTest(text):
                told = [line for line in output.splitlines() if line.startswith(f"{name}:")]
                self.assertTrue(any(message in line for line in told), output)


class Includes(Lint):
    """includes.py"""

    SCRIPT = HERE / "includes.py"

    def test_down_is_allowed(self):
        files = {
            "src/main.c": '#include "text/a.h"\n#include <stdio.h>\n',
            "src/text/a.h": '#include "text/b.h"\n',
            "src/text/b.h": '#include "field/c.h"\n',
            "src/field/c.h": "#include <stdint.h>\n",
        }
        self.assertEqual(self.run_in(files, self.SCRIPT), (0, ""))

    def test_up_is_not(self):
        files = {"src/text/a.c": '#include "model/b.h"\n', "src/model/b.h": ""}
        self.assert_fails(files, self.SCRIPT, "src/text/a.c:1: text may not include model")

    def test_field_needs_no_library(self):
        self.assert_fails({"src/field/a.c": "#include <string.h>\n"}, self.SCRIPT,
                          "<string.h> is no freestanding header")

    def test_field_includes_nothing_of_the_compiler(self):
        files = {"src/field/a.c": '#include "base/b.h"\n', "src/base/b.h": ""}
        # field is the lowest folder, so even base stands above it
        self.assert_fails(files, self.SCRIPT, "field may not include base")

    def test_circle(self):
        files = {"src/text/a.h": '#include "text/b.h"\n', "src/text/b.h": '#include "text/a.h"\n'}
        self.assert_fails(files, self.SCRIPT,
                          "circle of includes: src/text/a.h > src/text/b.h > src/text/a.h")

    def test_path_not_from_src(self):
        files = {"src/text/a.c": '#include "b.h"\n', "src/text/b.h": ""}
        self.assert_fails(files, self.SCRIPT, '"b.h" is no path from src/')

    def test_unknown_folder(self):
        self.assert_fails({"src/misc/a.c": ""}, self.SCRIPT, "the folder is not in the order")


class Homes(Lint):
    """homes.py"""

    SCRIPT = HERE / "homes.py"

    def test_at_home_and_in_comments(self):
        files = {"src/text/stream.c": "FILE *out = fopencookie(to, mode, functions);\n",
                 "src/report/json.c": "json_dumpf(v, out, 0); json_object_set_new(o, k, v);\n",
                 "src/base/arena.c": "void *piece = malloc(size);\n",
                 "src/text/a.c": '/* malloc, json_dumps */ const char *s = "open_memstream";\n'}
        self.assertEqual(self.run_in(files, self.SCRIPT), (0, ""))

    def test_elsewhere(self):
        for call in ("open_memstream(&text, &length)", "json_dumps(value, 0)", "strdup(text)",
                     "json_array_append_new(list, item)", "json_object_set(object, key, value)",
                     "getline(&line, &room, stdin)", "calloc(1, 2)"):
            name = call.partition("(")[0]
            self.assert_fails({"src/report/a.c": f"\nx = {call};\n"}, self.SCRIPT,
                              f"src/report/a.c:2: {name} is called in ")


class NoFloat(Lint):
    """nofloat.py"""

    SCRIPT = HERE / "nofloat.py"

    def test_comments_strings_and_integers_are_no_floats(self):
        text = '/* a double,\n 1.5 */ // float\nchar s[] = "0.5 double"; int a = 0x1e3 + 12;\n'
        self.assertEqual(self.run_in({"src/a.c": text}, self.SCRIPT), (0, ""))

    def test_each_kind_of_float(self):
        texts = ("double d;", "float f;", "#include <math.h>", "x = strtod(s, 0);", "x = 1.5;",
                 "x = .5f;", "x = 1e3;", "json_real(x);")
        self.assert_each_fails([("src/a.c", f"int a;\n{text}\n") for text in texts], self.SCRIPT,
                               ":2: floating point")


class English(Lint):
    """english.py"""

    SCRIPT = HERE / "english.py"
    LONG = "The device " + "very " * 22 + "slowly turns."

    def test_short_and_plain(self):
        for name, text in (
                ("src/a.c", '/* The pad withstands it. */\nsay("The pad turns. It " "does.");\n'),
                ("man/a.1", ".Sh NAME\n.Nm a\nThe device turns the\n.Ic pad .\n"),
                ("a.md", "The device `does this, that and more`.\n\n```sh\nit stands\n```\n")):
            with self.subTest(name):
                self.assertEqual(self.run_in({name: text}, self.SCRIPT, name), (0, ""))

    def test_long_sentences(self):
        cases = (("src/a.c", f'say("{self.LONG}");'), ("src/a.h", f"/* {self.LONG} */"),
                 ("src/a.def", f'ROW(X, "{self.LONG[:60]} "\n    "{self.LONG[60:]}")'),
                 ("man/a.7", f".Sh A\n{self.LONG}\n"), ("a.md", self.LONG))
        self.assert_each_fails(cases, self.SCRIPT, " words: The device very", named=True)

    def test_a_remedy_is_shorter(self):
        long = "Count " + "again " * 18 + "and again."
        for name, text in (("src/a.c", f'finding_remedy(list, finding,\n    "{long}");\n'),
                           ("src/a.def", f'ROW(X, "one fault",\n    "Why.",\n    "{long}")\n')):
            with self.subTest(name):
                self.assert_fails({name: text}, self.SCRIPT, " 21 words: Count again", name)
        both = f'say("{long}");\nROW(X, "{long}",\n    "Count.")\n'
        self.assertEqual(self.run_in({"src/a.def": both}, self.SCRIPT, "src/a.def"), (0, ""))

    def test_every_place(self):
        cases = (("src/a.c", 'say("%s stands there");'), ("src/a.c", 'say("HP stands there");'),
                 ("src/a.c", 'say("<p>It is behind</p>");'), ("src/a.h", "/* It was told. */"),
                 ("src/a.c", 'say("two keys; write: the value behind it");'),
                 ("man/a.1", ".Sh A\n.Bl -tag\n.It Fl a\nIt\n.Ic stands .\n.El\n"),
                 ("a.md", "| a | b |\n|---|---|\n| c | it stands |\n"),
                 ("a.md", "- one\n- it stands\n"), ("a.md", "# It stands\n"))
        self.assert_each_fails(cases, self.SCRIPT, "(write: ", named=True)

    def test_words_that_must_not_come_back(self):
        texts = ("the pad stands 40 N.m", "a unit is behind the number", "this is no number",
                 "it was told", "it is held against the other", "you mend it", "lash",
                 "a witness", "they are shown all the same", "it lets go",
                 "it is not read, nor is it used", "by the definition it turns")
        self.assert_each_fails([("src/a.c", f'say("It says that {text}.");') for text in texts],
                               self.SCRIPT, "(write: ", named=True)


class RunAll(Lint):
    """run-all.py: the closing line has to be true."""

    GOOD = """
        import unittest
        class T(unittest.TestCase):
            def test_one(self): pass
            def test_two(self): pass
        unittest.main()
        """

    def closing_line(self, text):
        status, output = self.run_in({"a_test.py": self.GOOD, "b_test.py": text}, RUN_ALL,
                                     "a_test.py", "b_test.py")
        return status, output.splitlines()[-1], output

    def test_all_pass(self):
        self.assertEqual(self.closing_line(self.GOOD)[:2], (0, "4 passed, 0 failed"))

    def test_failures_and_errors_count_and_are_shown(self):
        status, line, output = self.closing_line("""
            import unittest
            class T(unittest.TestCase):
                def test_a(self): self.assertEqual("left", "right")
                def test_b(self): raise OSError
                def test_c(self): pass
            unittest.main()
            """)
        self.assertEqual((status, line), (1, "3 passed, 2 failed"))
        self.assertIn("'left' != 'right'", output)

    def test_skipped_is_not_passed(self):
        status, line, output = self.closing_line("""
            import unittest
            class T(unittest.TestCase):
                @unittest.skip("why")
                def test_a(self): pass
                def test_b(self): pass
            unittest.main()
            """)
        self.assertEqual((status, line), (0, "3 passed, 0 failed"))
        self.assertIn("1 skipped\n  why\n", output)

    def test_what_sanitizers_cannot_look_into_is_left_out(self):
        files = {"unit/a_test.py": self.GOOD, "device/size_test.py": self.GOOD}
        status, output = self.run_in(files, RUN_ALL, "--sanitized", *files)
        self.assertEqual((status, output.splitlines()[-1]), (0, "2 passed, 0 failed"))
        self.assertIn("left out  device/size_test.py: it measures the reader", output)
        self.assertTrue(self.run_in(files, RUN_ALL, *files)[1].endswith("4 passed, 0 failed\n"))

    def test_the_programs_that_it_names_exist(self):
        runner = runpy.run_path(str(RUN_ALL))
        for name in (*runner["FIRST"], *runner["NOT_SANITIZED"]):
            self.assertTrue((HERE.parent / name).is_file(), name)

    def test_a_program_that_dies_or_runs_nothing_fails(self):
        for text in ("import os; os.abort()", "print('fine')", "raise SystemExit(0)"):
            with self.subTest(text):
                self.assertEqual(self.closing_line(text)[:2], (1, "2 passed, 1 failed"))

    def test_totals_of_check_are_added(self):
        script = "#!/bin/sh\necho '50%: Checks: 4, Failures: 1, Errors: 1'\nexit 1\n"
        with tempfile.TemporaryDirectory() as scratch:
            path = pathlib.Path(scratch, "a_test")
            path.write_text(script, encoding="utf-8")
            path.chmod(0o755)
            status, output = run_script(RUN_ALL, [str(path)], scratch)
        self.assertEqual(status, 1)
        self.assertEqual(output.splitlines()[-1], "2 passed, 2 failed")


if __name__ == "__main__":
    unittest.main()
