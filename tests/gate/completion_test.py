"""Completion: asks each shell what it offers; all three must offer the same."""

import functools
import json
import os
import pathlib
import pty
import re
import select
import shlex
import shutil
import subprocess
import time
import unittest

from gate_test import PROGRAM, Gate, git, kept

KINDS = {"engine-definition", "cross-check", "device-profile", "policy", "source-register"}
SHELLS = {"bash", "zsh", "fish"}
FORMATS = {"text", "json", "sarif"}
NAMED = {"engines", "spools", "stages", "pads", "ports", "documents", "revisions"}

# Names that do something where a shell evaluates them; git allows no blank in a revision.
EVIL_REVISIONS = ["$(touch${IFS}made)", "`touch${IFS}made`", ";touch${IFS}made",
                  "a&touch${IFS}made", "a|b", "it's", '"', "!!", "#a", "a=b", "x>made", "{a,b}"]
EVIL_DOCUMENTS = ["$(touch made)", "`touch made`", "; touch made", "a & touch made", "it's", '"',
                  "$HOME", "!!", "*", "\\", "-x", "~", "a: b", "a=b", "Œuvre 2", "{a,b}", "#a"]
EVIL_FILES = ["$(touch made).yaml", "`touch made`.yaml", "; touch made.yaml", "it's.yaml", '".yaml',
              "a b.yaml", "$HOME.yaml", "#a.yaml"]

# What a shell runs when the line is run, and not when it is completed.
EVIL_LINES = ["index $(touch${IFS}made) --source ", "index `touch${IFS}made` --source ",
              "check $(touch${IFS}made)/", "index --source $(touch${IFS}made)",
              "check (touch made)/",
              "index '$(touch made)' --source ", 'index "$(touch made)" --source ']

# The program under its name; what it is called with other than for names is noted.
NOTING = """#!/bin/sh
[ "$1" = names ] && exec %s "$@"
for word; do printf '%%s\\n' "$word"; done > %s.new
mv %s.new %s
"""

# In zsh, a key completes the typed text and prints what is offered between two marks. No longer key
# begins with it, so zsh waits for none. It knows only its general completions, and not those of
# other programs, because it reads all that it knows.
ZSH = r"""fpath=(%s ${(M)fpath:#*/Completion(|/Base|/Unix)})
autoload -Uz compinit; compinit -d %s -u; LISTMAX=9999
compadd() {
    if [[ ${@[1,(i)(-|--)]} != *-(O|A|D)\ * ]]; then
        local -a caught; builtin compadd -A caught "$@"; offered+=("${(@Q)caught}")
    fi
    builtin compadd "$@"
}
ask() { offered=(); zle complete-word; print -r -- $'\x02'"${(F)offered}"$'\x03'; BUFFER= }
zle -N ask; bindkey '^T' ask; print $'\x02\x03'
"""


@functools.cache
def evil_repository():
    """Where git keeps a repository whose branches are EVIL_REVISIONS and main."""
    git(kept(), "init", "--template=", "-b", "main")
    git(kept(), "commit", "--allow-empty", "-m", "first")
    git(kept(), "fetch", ".", *(f"HEAD:refs/heads/{name}" for name in EVIL_REVISIONS))
    return kept() / ".git"


@functools.cache
def script(shell):
    """What makes the shell complete."""
    return subprocess.run([PROGRAM, "completion", shell], capture_output=True, check=True,
                          text=True).stdout


class Shell(Gate):
    """A shell. `offered` returns what it offers after these words, without quotes."""

    def setUp(self):
        super().setUp()
        shutil.rmtree(self.demo / "broken")  # or each search for names reads all of it
        tools = pathlib.Path(self.scratch.name) / "tools"
        tools.mkdir()
        self.noted = tools / "noted"
        (tools / "rotortab").write_text(NOTING % (PROGRAM, self.noted, self.noted, self.noted))
        (tools / "rotortab").chmod(0o755)
        self.home = pathlib.Path(self.scratch.name) / "home"
        self.home.mkdir()
        self.environment = {"PATH": f"{tools}:{os.environ['PATH']}", "TERM": "vt100",
                            "HOME": str(self.home), "LC_ALL": "C.UTF-8"}

    def offered(self, line):
        raise NotImplementedError

    def start(self, *words):
        """Starts the shell on a terminal."""
        pid, self.terminal = pty.fork()
        if pid == 0:
            os.chdir(self.demo)
            os.execvpe(words[0], words, self.environment)
        self.addCleanup(os.waitpid, pid, 0)
        self.addCleanup(os.close, self.terminal)
        os.set_blocking(self.terminal, True)

    def wait_for(self, mark):
        output = b""
        while mark not in output:
            output += os.read(self.terminal, 65536)
        return output

    def called(self, line):
        """Types a line with tabs in it, and returns the words that the program gets."""
        self.noted.unlink(missing_ok=True)
        os.write(self.terminal, f"rotortab {line}\r".encode())
        shown = b""
        for _ in range(200):
            if self.noted.exists():
                return self.noted.read_text().split("\n")[:-1]
            if select.select([self.terminal], [], [], 0.05)[0]:
                shown += os.read(self.terminal, 65536)
        os.write(self.terminal, b"\x03")
        time.sleep(0.5)
        raise AssertionError(shown)


class Tests:
    """The same for every shell."""

    def settle(self):
        """Waits until a line is completed, in a shell that needs it."""

    def test_what_is_offered(self):
        commands = set(re.findall(r"^  ([a-z]+) ", self.run_program("--help").stdout.decode(),
                                  re.M))
        rules = set(re.findall(r'"id": "([a-z0-9-]+)"', self.run_program(
            "rules", "-f", "json").stdout.decode()))
        self.assertEqual(self.offered("") - {"--help", "--version"}, commands)
        self.assertEqual(self.offered("--"), {"--help", "--version"})
        for line, words in (
                ("comp", {"compile", "compare", "completion"}), ("help ", commands),
                ("help check ", set()),
                ("check --format ", FORMATS), ("check -f s", {"sarif"}),
                ("check --format j", {"json"}), ("schema --format ", {"json", "man"}),
                ("check --format json eng", {"engines"}), ("check eng", {"engines"}),
                ("check --device eng", {"engines"}), ("check --today ", set()),
                ("check --color ", {"auto", "always", "never"}),
                ("ratio eng", set()), ("version ", set()),
                ("rules ", rules), ("rules -f json ratio-s", {"ratio-swapped"}),
                ("rules ratio-swapped ", set()),
                ("schema ", KINDS), ("new --kind ", KINDS), ("completion ", SHELLS),
                ("slips --allow ", {"label", "degrees", "miscount"}), ("names ", NAMED),
                ("names pads eng", {"engines"}),
                ("ratio --epicyclic ", {"yes", "no"}), ("compile --ma", {"--manifest"})):
            with self.subTest(line):
                offered = self.offered(line)
                if not words:  # zsh offers options where no operand fits
                    offered = {word for word in offered if not word.startswith("-")}
                self.assertEqual(offered, words)
        self.assertEqual({o.split("=")[-1] for o in self.offered("check --format=j")}, {"json"})

    def test_tables_only_where_a_table_belongs(self):
        here = self.demo / "here"
        here.mkdir()
        for name in ("a.rotor", "b.yaml", "c.json", "d.txt"):
            (here / name).touch()
        (here / "e").mkdir()
        all_files = {"a.rotor", "b.yaml", "c.json", "d.txt", "e"}
        for line, names in (
                ("show here/", {"a.rotor", "e"}), ("verify here/", {"a.rotor", "e"}),
                ("verify a.rotor here/", {"b.yaml", "c.json", "e"}),
                ("verify -k k here/", {"a.rotor", "e"}),
                ("check here/", {"b.yaml", "c.json", "e"}),
                ("check --device here/", all_files - {"a.rotor"}),
                ("check --device x here/", {"b.yaml", "c.json", "e"}),
                ("compile -o here/", all_files), ("compare here/", all_files),
                ("compare x here/", all_files), ("check here/d", {"d.txt"}),
                ("check here/a", set()), ("show here/d", {"d.txt"})):
            with self.subTest(line):
                self.assertEqual({name.removeprefix("here/") for name in self.offered(line)}, names)

    def test_names_that_are_in_files(self):
        quern, snath = "engines/quern-12.engine.yaml", "engines/snath-5.engine.json"
        stages = {"HPC-1", "HPC-2", "HPC-5", "HPT-1"}
        for line, asked in (
                ("stops --stage ", "stages"), (f"stops {quern} -s ", "stages {0}"),
                (f"stops {quern} {snath} -p ", "pads {0} {1}"),
                (f"stops -d {quern} --pass ", "spools"), (f"stops {quern} --port ", "ports {0}"),
                ("sheet engines -e ", "engines engines"),
                ("index engines --source ", "documents engines")):
            with self.subTest(line):
                asked = asked.format(quern, snath)
                names = self.run_program("names", *asked.split()).stdout.decode().splitlines()
                self.assertTrue(names)
                self.assertEqual(self.offered(line), set(names))
        shutil.copy(self.demo / quern, self.demo / "my engine.yaml")
        self.assertTrue(stages & self.offered(f"stops {quern} --stage H"))
        for words in (r"my\ engine.yaml", "'my engine.yaml'", '"my engine.yaml"'):
            self.assertEqual(self.offered(f"stops {words} --stage H"),
                             self.offered(f"stops {quern} --stage H"))
        shutil.copy(self.demo / quern, self.home)
        self.assertEqual(self.offered("stops ~/quern-12.engine.yaml --stage H"),
                         self.offered(f"stops {quern} --stage H"))
        self.assertEqual(self.offered("stops nowhere --stage "), set())

    def test_names_that_a_shell_could_evaluate(self):
        before = set(os.listdir(self.demo))
        self.write_evil()
        self.assertEqual({name.removeprefix("evil/") for name in self.offered("check evil/")},
                         set(EVIL_FILES))
        self.assertEqual(self.offered("index evil-documents --source "), set(EVIL_DOCUMENTS))
        self.assertEqual(self.offered("compare --base "), {"main", *EVIL_REVISIONS})
        for line in EVIL_LINES:
            self.offered(line)
        self.assertEqual(set(os.listdir(self.demo)) - before, {"evil", "evil-documents", ".git"})

    def write_evil(self):
        for name in EVIL_FILES:
            (self.demo / "evil" / name).parent.mkdir(exist_ok=True)
            (self.demo / "evil" / name).write_text("")
        folder = self.demo / "evil-documents"
        folder.mkdir()
        documents = [{"document": name, "revision": "1"} for name in EVIL_DOCUMENTS]
        (folder / "rotortab.sources.yaml").write_text(
            json.dumps({"source-register": 1, "documents": documents}))
        shutil.copytree(evil_repository(), self.demo / ".git")

    def test_what_is_put_on_the_line(self):
        before = set(os.listdir(self.demo))
        self.write_evil()
        self.start_typing()
        for line in EVIL_LINES:
            os.write(self.terminal, f"rotortab {line}\t\x15".encode())
            self.settle()
        for line, words in (
                ("compare --base \\$\t", ["compare", "--base", EVIL_REVISIONS[0]]),
                ("compare --base '$\t", ["compare", "--base", EVIL_REVISIONS[0]]),
                ("compare --base \\`\t", ["compare", "--base", EVIL_REVISIONS[1]]),
                ("compare --base \\;\t", ["compare", "--base", EVIL_REVISIONS[2]]),
                ("check evil/\\$\\(\t", ["check", "evil/$(touch made).yaml"]),
                ("check 'evil/$(\t", ["check", "evil/$(touch made).yaml"]),
                ("check evil/it\t", ["check", "evil/it's.yaml"]),
                ("compare --base it\t", ["compare", "--base", "it's"]),
                ("compare --base x\t", ["compare", "--base", "x>made"]),
                ("index evil-documents --source '$(\t", ["index", "evil-documents", "--source",
                                                         "$(touch made)"]),
                ("index evil-documents --source=\\;\t", ["index", "evil-documents",
                                                         "--source=; touch made"]),
                ("index evil-documents --source a:\t", ["index", "evil-documents", "--source",
                                                       "a: b"])):
            with self.subTest(line):
                self.assertEqual(self.called(line), words)
        self.assertEqual(set(os.listdir(self.demo)) - before, {"evil", "evil-documents", ".git"})


class Answering(Shell):
    """A shell that answers lines as `ask` says; what it complains of is part of an answer."""

    asked = None

    def ask(self):
        """The script of the shell, which prints a mark after each answer."""
        raise NotImplementedError

    def answer(self, *lines):
        """The lines that the shell prints before the mark."""
        if self.asked is None:
            self.asked = subprocess.Popen([type(self).__name__.lower(), "-c", self.ask()],
                                          stdin=subprocess.PIPE, stdout=subprocess.PIPE,
                                          stderr=subprocess.STDOUT, text=True, cwd=self.demo,
                                          env=self.environment)
            self.addCleanup(self.asked.communicate)
        self.asked.stdin.write("".join(f"{line}\n" for line in lines))
        self.asked.stdin.flush()
        answered = []
        for text in self.asked.stdout:
            if text == "\3\n":
                return answered
            answered.append(text.rstrip("\n"))
        raise AssertionError(f"the shell has ended at: {lines}")


class Bash(Tests, Answering):
    """Calls the function as readline does."""

    def ask(self):
        """What answers a line, then its words, then a mark."""
        return f'''{script("bash")}
            compopt() {{ :; }}
            exec 3<&0 </dev/null
            while IFS= read -r -u 3 COMP_LINE; do
                COMP_POINT=${{#COMP_LINE}} COMP_WORDS=() COMPREPLY=()
                while IFS= read -r -u 3 word && [[ $word != $'\3' ]]; do COMP_WORDS+=("$word"); done
                COMP_CWORD=$(( ${{#COMP_WORDS[@]}} - 1 ))
                _rotortab
                (( ${{#COMPREPLY[@]}} == 0 )) || printf '%s\n' "${{COMPREPLY[@]}}"
                printf '\3\n'
            done'''

    def offered(self, line):
        words = re.sub("=", " = ", line).split(" ")
        offered = self.answer(f"rotortab {line}", "rotortab", *words, "\3")
        # readline quotes files
        as_it_is = any("evil/" in text for text in offered) or line[-1:] in ("'", '"')
        return {text if as_it_is else shlex.split(text)[0] for text in offered}

    def start_typing(self):
        (self.home / ".rc").write_text(script("bash") + "printf '\\2\\3'\n")
        self.start("bash", "--rcfile", str(self.home / ".rc"), "-i")
        self.wait_for(b"\x02\x03")

    def test_open_quotes(self):
        """A name is not offered where it would not be itself in the quotes."""
        self.write_evil()
        self.assertEqual(self.offered("check --format="), FORMATS)
        line = "index evil-documents --source "
        for quote, signs in (("'", "'"), ('"', '$`"\\!')):
            words = ["a: b", "Œuvre 2", "; touch made"]
            with self.subTest(quote):
                found = self.offered(line + quote)
                self.assertTrue(found.issuperset(words))
                self.assertEqual(found, {name for name in EVIL_DOCUMENTS
                                         if not any(sign in name for sign in signs)})


@unittest.skipUnless(shutil.which("fish"), "not on this machine: fish")
class Fish(Tests, Answering):
    """fish prints what it would offer."""

    def ask(self):
        return f"{script('fish')}\nwhile read -l line; complete -C $line; printf '\\3\\n'; end"

    def offered(self, line):
        return {text.split("\t")[0].rstrip("/") for text in self.answer(f"rotortab {line}")}

    def start_typing(self):
        (self.home / ".config/fish").mkdir(parents=True)
        # Without this folder fish reads all man pages first, also after it is told to end.
        (self.home / ".local/share/fish/generated_completions").mkdir(parents=True)
        (self.home / ".config/fish/config.fish").write_text(
            script("fish") + "printf '\\2\\3'\n")
        self.start("fish", "-i")
        self.wait_for(b"\x02\x03")

    def test_short_options(self):
        self.assertEqual(self.offered("-"), {"-h", "-V", "--help", "--version"})


@functools.cache
def zsh_dump():
    """Where zsh keeps what it finds on the machine; the first one that starts writes it."""
    return kept() / "dump"


@unittest.skipUnless(shutil.which("zsh"), "not on this machine: zsh")
class Zsh(Tests, Shell):
    """zsh completes only on a terminal."""

    def setUp(self):
        super().setUp()
        (self.home / "_rotortab").write_text(script("zsh"))
        (self.home / ".zshrc").write_text(ZSH % (self.home, zsh_dump()))
        self.environment["ZDOTDIR"] = str(self.home)
        self.start("zsh", "-d", "-i")
        self.said()

    def said(self):
        output = self.wait_for(b"\x03").decode()
        return output.split("\x02")[-1].split("\x03")[0]

    def offered(self, line):
        os.write(self.terminal, f"rotortab {line}\x14".encode())
        return set(self.said().splitlines()) - {""}

    def start_typing(self):
        pass  # it was started

    def settle(self):
        """Waits for an answer: zsh can lose a key that comes while it completes."""
        self.offered("")


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
