"""Runs what a document shows of a terminal, so that the document stays true.

A fenced block marked `console` holds commands, lines that begin with `$ `, each with what it
prints after it (standard output and error together). A fenced block marked `yaml` is a file that
the reader saves. All blocks of a document are one transcript, in their order.
"""

import re
import subprocess

FENCE = re.compile(r"^```(\w*)\n(.*?)^```$", re.M | re.S)
SAVED_AS = re.compile(r"save it as `([^`]+)`")
MARK = "==== command ended ===="


class Command:
    """A command as it is shown: its line, and where its output is in the document."""

    def __init__(self, line, start, end, shown):
        self.line = line
        self.start = start
        self.end = end
        self.shown = shown
        self.printed = ""


def read(text):
    """The transcript of a document: a list of Command and of (path, content) to be saved."""
    steps = []
    for block in FENCE.finditer(text):
        if block[1] == "yaml":
            steps.append((SAVED_AS.findall(text[: block.start()])[-1], block[2]))
        elif block[1] == "console":
            steps.extend(_commands(block[2], block.start(2)))
    return steps


def _commands(body, offset):
    """The commands of one block."""
    lines = list(re.finditer(r"^\$ (.*)\n", body, re.M))
    ends = [line.start() for line in lines[1:]] + [len(body)]
    for line, end in zip(lines, ends):
        yield Command(line[1], offset + line.end(), offset + end, body[line.end():end])


def _save(path, content):
    return f"cat > '{path}' <<'END OF FILE'\n{content}END OF FILE\n"


def _run(command):
    """The command, then a mark on a separate line; the next one can still ask for the status."""
    return f"{command.line}\nstatus=$?\nprintf '\\n%s\\n' '{MARK}'\n(exit $status)\n"


def play(steps, folder, environment):
    """Runs the transcript in a folder and notes in each command what it printed.

    Files are saved relative to the current folder of the transcript.
    """
    script = "".join(_save(*step) if isinstance(step, tuple) else _run(step) for step in steps)
    done = subprocess.run(["sh"], input=script, cwd=folder, env=environment, text=True,
                          stdout=subprocess.PIPE, stderr=subprocess.STDOUT, timeout=120,
                          check=False)
    outputs = done.stdout.split(f"\n{MARK}\n")
    commands = [step for step in steps if isinstance(step, Command)]
    if len(outputs) != len(commands) + 1:
        raise AssertionError(f"the transcript broke off:\n{done.stdout}")
    for command, printed in zip(commands, outputs):
        command.printed = printed
    return commands


def updated(text, commands):
    """The document with what the commands printed in place of what it shows."""
    for command in reversed(commands):
        text = text[: command.start] + command.printed + text[command.end:]
    return text
