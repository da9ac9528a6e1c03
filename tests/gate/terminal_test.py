"""What a terminal gets: colour, lines of its width, progress; and less of it all with --quiet."""

import fcntl
import os
import re
import shutil
import struct
import subprocess
import termios
import threading
import unittest

from gate_test import PROGRAM, SLIPWAY, Gate

WRONG = ["check", "broken/bad-number.engine.yaml"]
COLOUR = b"\x1b["


END = b"\0"


def on_terminal(arguments, cwd, columns=0, **environment):
    """The output of the program with a terminal at all three streams; None removes a variable."""
    ours, terminal = os.openpty()
    fcntl.ioctl(terminal, termios.TIOCSWINSZ, struct.pack("HHHH", 24, columns, 0, 0))
    env = {"PATH": os.environ["PATH"], "TERM": "xterm", **environment}
    program = subprocess.Popen(
        [PROGRAM, *arguments], cwd=cwd, stdin=terminal, stdout=terminal, stderr=terminal,
        env={name: value for name, value in env.items() if value is not None})

    def end():
        """What is still on its way when the last one closes a terminal can be lost."""
        program.wait()
        os.write(terminal, END)

    ending = threading.Thread(target=end)
    ending.start()
    output = b""
    while not output.endswith(END):
        output += os.read(ours, 65536)
    ending.join()
    os.close(ours)
    os.close(terminal)
    return output.removesuffix(END)


class Terminal(Gate):
    """Colour, width and progress, only on a terminal."""

    def test_colour_in_the_order_of_what_asks_for_it(self):
        """The option, then NO_COLOR, then CLICOLOR_FORCE, then the terminal."""
        for coloured, terminal, piped in (
                ({}, True, False), ({"TERM": "dumb"}, False, False), ({"TERM": None}, False, False),
                ({"TERM": ""}, False, False), ({"NO_COLOR": "1"}, False, False),
                ({"NO_COLOR": ""}, True, False), ({"CLICOLOR_FORCE": "1"}, True, True),
                ({"CLICOLOR_FORCE": "1", "TERM": "dumb"}, True, True),
                ({"CLICOLOR_FORCE": "0"}, True, False), ({"CLICOLOR_FORCE": ""}, True, False),
                ({"CLICOLOR_FORCE": "1", "NO_COLOR": "1"}, False, False)):
            environment = {"NO_COLOR": None, **coloured}
            for word, expected in (("auto", (terminal, piped)), ("always", (True, True)),
                                   ("never", (False, False))):
                with self.subTest(environment=coloured, word=word):
                    line = [*WRONG, f"--color={word}"]
                    shown = on_terminal(line, self.demo, **environment)
                    read = self.run_program(*line, status=1, **environment).stdout
                    self.assertEqual((COLOUR in shown, COLOUR in read), expected)
            self.assertEqual(COLOUR in on_terminal(WRONG, self.demo, **environment), terminal)
        for form in ("json", "sarif"):
            self.assertNotIn(COLOUR, self.run_program(*WRONG, "--color=always", "-f", form,
                                                      status=1).stdout)
        self.assertIn(b"takes auto, always or never, not yes",
                      self.run_program(*WRONG, "--color", "yes", status=2).stderr)

    def test_colour_on_standard_error(self):
        for command in (["compile", "-o", "t.rotor"], ["stops"], ["explain"], ["sheet"], ["index"],
                        ["slips"]):
            wrong = [*command, "-d", SLIPWAY, WRONG[1], "--color"]
            with self.subTest(command):
                self.assertIn(COLOUR, self.run_program(*wrong, "always", status=1).stderr)
                self.assertNotIn(COLOUR, self.run_program(*wrong, "never", status=1).stderr)

    def lines(self, arguments, columns=0, **environment):
        shown = on_terminal([*arguments], self.demo, columns, NO_COLOR="1", **environment)
        return shown.decode().replace("\r\n", "\n").split("\n")

    def test_long_texts_are_broken_at_words(self):
        finding = ["check", "broken/ratio-swapped.engine.yaml"]
        shutil.copytree(self.demo / "engines", self.demo / "later")
        self.edit("later/quern-12.engine.yaml", "blades: 31", "blades: 37")
        for arguments in (finding, ["rules", "ratio-swapped"], ["rules"], ["help"],
                          ["help", "stops"], ["ratio", "a.yaml"], ["ratio"],
                          ["compare", "-q", "engines", "later"]):
            whole = self.lines(arguments)
            for columns, environment in ((60, {}), (100, {"COLUMNS": "60"}),
                                         (0, {"COLUMNS": "60"})):
                with self.subTest(arguments=arguments, environment=environment):
                    broken = self.lines(arguments, columns, **environment)
                    texts = [line for line in broken if not re.match(" *[0-9]* \\| ", line)]
                    self.assertLessEqual(max(map(len, texts)), 60)
                    self.assertEqual(" ".join(broken).split(), " ".join(whole).split())
        self.assertGreater(max(map(len, self.lines(finding))), 100)
        for odd in ("0", "", "x", "-5", "60 "):
            self.assertEqual(self.lines(finding, 0, COLUMNS=odd), self.lines(finding))
        self.assertEqual(self.lines(finding, 1), self.lines(finding, 40))
        piped = self.run_program(*finding, status=1, COLUMNS="60").stdout.decode()
        self.assertEqual(piped.split("\n"), self.lines(finding))

    def test_help_fits_80_columns(self):
        commands = re.findall("^  ([a-z]+) ", self.run_program("help").stdout.decode(), re.M)
        self.assertIn("help", commands)
        for line in [["help"], *(["help", command] for command in commands)]:
            text = self.run_program(*line).stdout
            self.assertLessEqual(max(map(len, text.split(b"\n"))), 80)
            self.assertEqual(text, self.run_program(*line[1:], "--help").stdout)
        self.assertEqual(self.run_program("version").stdout, self.run_program("--version").stdout)
        self.assertIn(b"Did you mean check?", self.run_program("help", "chekc", status=2).stderr)
        self.assertIn(b"only options", self.run_program("version", "2", status=2).stderr)

    def test_progress_over_many_files_leaves_no_trace(self):
        many = self.demo / "many"
        many.mkdir()
        for i in range(500):
            (many / f"p-{i}.policy.yaml").write_text("policy: 1\n")  # what is quickest to check
        shown = on_terminal(["check", "many"], self.demo)
        self.assertIn(b"400 of 500 files", shown)
        last = b"501 policies, 1 source register: 0 errors, 0 warnings, 0 notes\r\n"
        self.assertTrue(shown.endswith(last), shown[-200:])
        self.assertNotIn(b"of 500", self.run_program("check", "many").stderr)
        self.assertEqual(on_terminal(["check", "many"], self.demo, TERM="dumb"), last)
        quiet = on_terminal(["check", "-q", "many"], self.demo)
        self.assertEqual(quiet, b"")
        self.assertEqual(on_terminal(["check", "many"], self.demo, TERM=None), last)

    def test_progress_over_many_engines_leaves_no_trace(self):
        text = (self.demo / "engines/quern-12.engine.yaml").read_text()
        many = self.demo / "many"
        many.mkdir()
        for i in range(101):
            made = text.replace("id: quern-12", f"id: q-{i}", 1)
            made = re.sub("^models: .*$", f"models: [Q {i}]", made, count=1, flags=re.M)
            (many / f"q-{i}.engine.yaml").write_text(made)
        self.edit(SLIPWAY, "table-bytes: 65536", "table-bytes: 655360")
        self.edit(SLIPWAY, "engines: 100", "engines: 101")
        self.run_program("compile", "-d", SLIPWAY, "-o", "t", "many")
        self.assertIn(b"100 of 101 engines", on_terminal(["verify", "t"], self.demo))
        dumb = on_terminal(["verify", "t"], self.demo, TERM="dumb")
        self.assertEqual(dumb.replace(b"\r\n", b"\n"), self.run_program("verify", "t").stdout)
        quiet = on_terminal(["verify", "-q", "t"], self.demo)
        self.assertNotIn(b"of 101 engines", quiet)


class Quiet(Gate):
    """--quiet leaves out what nobody has to act on, and nothing else."""

    def test_a_run_without_a_mistake_says_nothing(self):
        for line in (["check", "engines"], ["check", "-d", SLIPWAY, "engines"],
                     ["compile", "-d", SLIPWAY, "-o", "t.rotor", "engines"],
                     ["new", "knoll-1"],
                     ["sheet", "-d", SLIPWAY, "-f", "html", "-o", "sheets", "engines"]):
            (self.demo / "sheets").mkdir(exist_ok=True)
            said = self.run_program(*line)
            self.assertNotEqual(said.stdout + said.stderr, b"", line)
            (self.demo / "knoll-1.engine.yaml").unlink(missing_ok=True)
            done = self.run_program(line[0], "--quiet", *line[1:])
            self.assertEqual(done.stdout + done.stderr, b"", line)
        self.assertTrue((self.demo / "t.rotor").exists())

    def test_mistakes_are_shown(self):
        for name, status in (("ratio-swapped", 1), ("teeth-few", 0)):
            line = ["check", f"broken/{name}.engine.yaml"]
            said = self.run_program(*line, status=status).stdout
            quiet = self.run_program(*line, "-q", status=status).stdout
            self.assertIn(f"[{name}]".encode(), quiet)
            self.assertTrue(said.startswith(quiet))
            self.assertEqual(said.count(b"\n"), quiet.count(b"\n") + 2)
        self.assertIn(b"cannot read", self.run_program("check", "-q", "nowhere", status=2).stderr)

    def test_what_was_asked_for_is_shown(self):
        for line in (["stops", "-d", SLIPWAY, "-s", "HPC-1", "engines/quern-12.engine.yaml"],
                     ["check", "-f", "json", "-d", SLIPWAY, "engines"],
                     ["check", "-f", "sarif", "-d", SLIPWAY, "engines"]):
            self.assertEqual(self.run_program(*line, "-q").stdout, self.run_program(*line).stdout)


if __name__ == "__main__":
    unittest.main()
