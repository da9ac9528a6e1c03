"""What the field reader costs a device: code, static memory, stack, and functions of others.

Each source of src/field is compiled as a firmware would compile it. Code counts constants too. The
stack is the deepest chain of calls, by the compiler's own figures for each function. A call through
a pointer may reach any function of that file that is not called by name. A firmware links only what
it calls, so most firmwares have less than the whole.

    size.py [SOURCE-FOLDER]
"""

import os
import pathlib
import re
import shutil
import subprocess
import sys
import tempfile

ROOT = pathlib.Path(__file__).resolve().parents[2]

TARGETS = {
    "Cortex-M0": ["arm-none-eabi-gcc", "-mcpu=cortex-m0", "-mthumb"],
    "Cortex-M3": ["arm-none-eabi-gcc", "-mcpu=cortex-m3", "-mthumb"],
    "host": ["gcc", "-fno-pic"],
}
FLAGS = ["-std=c99", "-Os", "-ffreestanding", "-nostdlib", "-Isrc"]

# Opening a table and reading its records; moving by it; what a new table changes; and the words for
# a refusal and a verdict. A firmware may leave the last two out.
PARTS = {
    "reading": ["rotor_bytes", "rotor_check", "rotor_crc32", "rotor_read", "rotor_table"],
    "motion": ["rotor_motion"],
    "import": ["rotor_import"],
    "texts": ["rotor_status", "rotor_import_text"],
}

# The most bytes of code on a Cortex-M0: of all that every firmware needs, and of an import.
MOST = {("reading", "motion"): 4608, ("import",): 1024}
STACK_MOST = 256  # bytes, on the small processors

NODE = re.compile(r'^node: { title: "([^"]+)" label: "[^"]*?(\d+) bytes \((\w[\w,]*)\)', re.M)
EDGE = re.compile(r'^edge: { sourcename: "([^"]+)" targetname: "([^"]+)"', re.M)
POINTER = "__indirect_call"


def missing():
    """The compilers that are not there."""
    return sorted({command[0] for command in TARGETS.values() if not shutil.which(command[0])})


def build(command, sources, folder):
    """Compiles the sources into objects, the compiler's notes on stack and calls beside them.

    A compiler cache returns objects without the notes, so it is asked to stay out.
    """
    objects = {}
    for source in sources:
        objects[source.stem] = folder / f"{source.stem}.o"
        subprocess.run([*command, *FLAGS, "-fcallgraph-info=su", "-c", source, "-o",
                        objects[source.stem]], check=True, cwd=ROOT,
                       env={**os.environ, "CCACHE_DISABLE": "1"})
    return objects


def tool(command, name):
    """The binutils program that goes with a compiler."""
    return command[0].removesuffix("gcc") + name


def sections(command, item):
    """Bytes of code with constants, and of static memory."""
    text = subprocess.run([tool(command, "size"), item], check=True, capture_output=True,
                          text=True).stdout.splitlines()[1].split()
    return int(text[0]), int(text[1]) + int(text[2])


def asked_for(command, objects, folder):
    """The functions that the objects together need from others."""
    whole = folder / "whole"
    subprocess.run([tool(command, "ld"), "-r", "-o", whole, *objects.values()], check=True)
    listed = subprocess.run([tool(command, "nm"), "--undefined-only", "--format=just-symbols",
                             whole], check=True, capture_output=True, text=True).stdout
    return sorted(set(listed.split()) - {"_GLOBAL_OFFSET_TABLE_"})


class Calls:
    """Who calls whom, and what each takes of the stack."""

    def __init__(self):
        self.frames = {}
        self.callees = {}

    def add_file(self, text):
        """Adds the compiler's notes on one file."""
        edges = EDGE.findall(text)
        called = {target for _, target in edges}
        own = []
        for title, size, sort in NODE.findall(text):
            if sort != "static":
                raise ValueError(f"{title}: its stack is not fixed")
            self.frames[title] = int(size)
            own.append(title)
        uncalled = [title for title in own if ":" in title and title not in called]
        for source, target in edges:
            targets = uncalled if target == POINTER else [target]
            self.callees.setdefault(source, set()).update(targets)

    def deepest(self, name, trail=()):
        """The most stack from a function on, and the chain that takes it."""
        if name in trail:
            raise ValueError(f"{name} calls itself")
        below = [self.deepest(callee, (*trail, name)) for callee in self.callees.get(name, ())]
        size, chain = max(below, default=(0, []))
        return size + self.frames[name], [name.rsplit(":", 1)[-1], *chain]


def stack(folder):
    """The deepest chain of all, as (bytes, names)."""
    calls = Calls()
    for notes in sorted(folder.glob("*.ci")):
        calls.add_file(notes.read_text())
    return max(calls.deepest(name) for name in calls.frames)


def measure(command, sources):
    """The figures of one processor."""
    with tempfile.TemporaryDirectory() as scratch:
        folder = pathlib.Path(scratch)
        objects = build(command, sources, folder)
        sizes = {name: sections(command, item) for name, item in objects.items()}
        parts = {part: sum(sizes[name][0] for name in names) for part, names in PARTS.items()}
        if set(sizes) != {name for names in PARTS.values() for name in names}:
            raise ValueError(f"the sources are not those of PARTS: {sorted(sizes)}")
        deepest, chain = stack(folder)
        return {"code": parts, "static": sum(size[1] for size in sizes.values()),
                "stack": deepest, "chain": chain,
                "asks for": asked_for(command, objects, folder)}


def main(source_folder=ROOT / "src" / "field"):
    sources = sorted(pathlib.Path(source_folder).glob("*.c"))
    absent = missing()
    if absent:
        print(f"missing: {', '.join(absent)}; run 'make deps-device'", file=sys.stderr)
        return 2
    for name, command in TARGETS.items():
        figures = measure(command, sources)
        bounds = ", ".join(f"{' and '.join(parts)} {most}" for parts, most in MOST.items())
        code = ", ".join(f"{part} {size}" for part, size in figures["code"].items())
        print(f"{name}: {code} bytes of code; {figures['static']} bytes of static memory; "
              f"at most {figures['stack']} bytes of stack")
        print(f"    deepest: {' > '.join(figures['chain'])}")
        if name == "Cortex-M0":
            print(f"    bounds: {bounds} bytes of code; {STACK_MOST} bytes of stack")
        print(f"    asks for: {', '.join(figures['asks for']) or 'nothing'}")
    return 0


if __name__ == "__main__":
    sys.exit(main(*sys.argv[1:]))
