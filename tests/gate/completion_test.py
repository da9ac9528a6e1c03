"""Completion: asks each shell what it offers; all three must offer the same."""

import os
import pathlib
import pty
import re
import shutil
import subprocess
import tempfile
import unittest

from gate_test import PROGRAM, Gate

KINDS = {"engine-definition", "cross-check", "device-profile", "policy", "source-register"}
SHELLS = {"bash", "zsh", "fish"}
FORMATS = {"text", "json", "sarif"}

# In zsh, a key completes the typed text and prints what is offered between two marks. No longer key
# begins with it, so zsh waits for none.
ZSH = r"""fpath=(%s $fpath)
autoload -Uz compinit; compinit -D -u; LISTMAX=9999
compadd() {
    if [[ ${@[1,(i)(-|--)]} != *-(O|A|D)\ * ]]; then
        local -a found; builtin compadd -A found "$@"; offered+=($found)
    fi
    builtin compadd "$@"
}
ask() { offered=(); zle complete-word; print -r -- $'\x02'"$offered"$'\x03'; BUFFER= }
zle -N ask; bindkey '^T' ask; print $'\x02\x03'
"""


class Shell(Gate):
    """Tests for every shell; `offered` returns what a shell offers after these words."""

    def script(self, shell):
        return self.run_program("completion", shell).stdout.decode()

    def offered(self, line):
        raise NotImplementedError

    def check_all(self):
        commands = set(re.findall(r"^  ([a-z]+) ", self.run_program("--help").stdout.decode(),
                                  re.M))
        rules = set(re.findall(r'"id": "([a-z0-9-]+)"', self.run_program(
            "rules", "-f", "json").stdout.decode()))
        self.assertEqual(self.offered("") - {"--help", "--version"}, commands)
        self.assertEqual(self.offered("--"), {"--help", "--version"})
        for line, words in (
                ("comp", {"compile", "compare", "completion"}),
                ("check --format ", FORMATS), ("check -f s", {"sarif"}),
                ("check --format j", {"json"}), ("schema --format ", {"json", "man"}),
                ("check --format json eng", {"engines"}), ("check eng", {"engines"}),
                ("check --device eng", {"engines"}), ("check --today ", set()),
                ("ratio eng", set()),
                ("rules ", rules), ("rules -f json ratio-s", {"ratio-swapped"}),
                ("schema ", KINDS), ("new --kind ", KINDS), ("completion ", SHELLS),
                ("slips --allow ", {"label", "degrees", "miscount"}),
                ("ratio --epicyclic ", {"yes", "no"}), ("compile --ma", {"--manifest"})):
            with self.subTest(line):
                self.assertEqual(self.offered(line), words)
        self.assertEqual({o.split("=")[-1] for o in self.offered("check --format=j")}, {"json"})


class Bash(Shell):
    """Calls the function as readline does."""

    def offered(self, line):
        words = re.sub("=", " = ", line).split(" ")
        done = subprocess.run(
            ["bash", "-c", 'eval "$1"; shift; compopt() { :; }; COMP_WORDS=("$@"); '
             '(( COMP_CWORD = $# - 1 )); _rotortab; printf "%s\\n" "${COMPREPLY[@]}"', "bash",
             self.script("bash"), "rotortab", *words],
            capture_output=True, text=True, check=True, cwd=self.demo)
        self.assertEqual(done.stderr, "")
        return set(done.stdout.split())

    def test_what_is_offered(self):
        self.check_all()
        self.assertEqual(self.offered("check --format="), FORMATS)


@unittest.skipUnless(shutil.which("fish"), "not on this machine: fish")
class Fish(Shell):
    """fish prints what it would offer."""

    def offered(self, line):
        script = self.script("fish")
        done = subprocess.run(["fish", "-c", f"{script}\ncomplete -C 'rotortab {line}'"],
                              capture_output=True, text=True, check=True, cwd=self.demo,
                              env={**os.environ, "HOME": self.scratch.name})
        self.assertEqual(done.stderr, "")
        return {text.split("\t")[0].rstrip("/") for text in done.stdout.splitlines()}

    def test_what_is_offered(self):
        self.check_all()
        self.assertEqual(self.offered("-"), {"-h", "-V", "--help", "--version"})


@unittest.skipUnless(shutil.which("zsh"), "not on this machine: zsh")
class Zsh(Shell):
    """zsh completes only on a terminal."""

    def setUp(self):
        super().setUp()
        home = pathlib.Path(tempfile.mkdtemp(dir=self.scratch.name))
        (home / "_rotortab").write_text(self.script("zsh"))
        (home / ".zshrc").write_text(ZSH % home)
        pid, self.terminal = pty.fork()
        if pid == 0:
            os.chdir(self.demo)
            os.execvpe("zsh", ["zsh", "-d", "-i"],
                       {"PATH": os.environ["PATH"], "TERM": "vt100", "ZDOTDIR": str(home)})
        self.addCleanup(os.waitpid, pid, 0)
        self.addCleanup(os.close, self.terminal)
        self.said()

    def said(self):
        output = b""
        while b"\x03" not in output:
            output += os.read(self.terminal, 65536)
        return output.decode().split("\x02")[-1].split("\x03")[0]

    def offered(self, line):
        os.write(self.terminal, f"rotortab {line}\x14".encode())
        return set(self.said().split())

    def test_what_is_offered(self):
        self.check_all()


class Every(Gate):
    """Each shell has all options of all commands."""

    def test_every_option_is_there_for_each_shell(self):
        listed = self.run_program("--help").stdout.decode()
        commands = re.findall(r"^  ([a-z]+) ", listed, re.M)
        for shell in ("bash", "zsh", "fish"):
            script = self.run_program("completion", shell).stdout.decode()
            for command in commands:
                options = re.findall(r"--([a-z-]+)",
                                     self.run_program(command, "--help").stdout.decode())
                for option in set(options):
                    self.assertIn(f"-l {option}" if shell == "fish" else f"--{option}", script)
        self.run_program("completion", "csh", status=2)


if __name__ == "__main__":
    unittest.main()
