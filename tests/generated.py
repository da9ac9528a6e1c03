"""Keeps what the program writes about itself in step with the program.

    generated.py --write PROGRAM    writes the generated files anew
    generated.py --check PROGRAM    fails, with the difference, where a committed one is stale

Generated are schemas/KIND.schema.json, the picture in README.md (picture.py), the tables in
tests/vectors (table/vectors.py), and in any man page what stands between two such lines:

    .\\" begin generated: schema policy --format man
    .\\" end generated

The words after the colon are the program's arguments; what it prints belongs between the lines. The
words `by tests/table/listing.py` name one of SCRIPTS instead: its page(program) does.
"""

import difflib
import pathlib
import re
import subprocess
import sys

import picture
import synopsis

sys.path.insert(1, str(pathlib.Path(__file__).resolve().parent / "table"))
import listing  # noqa: E402
import vectors  # noqa: E402

KINDS = ["engine-definition", "cross-check", "device-profile", "policy", "source-register"]
SCRIPTS = {"tests/table/listing.py": listing, "tests/synopsis.py": synopsis}
BLOCK = re.compile(r'(^\.\\" begin generated: ([^\n]+)\n)(.*?)(^\.\\" end generated$)',
                   re.M | re.S)


def ask(program, arguments):
    """What the program prints when it is run with these arguments."""
    done = subprocess.run([program, *arguments], capture_output=True, check=False)
    if done.returncode != 0:
        sys.exit(f"'rotortab {' '.join(arguments)}' failed:\n{done.stderr.decode()}")
    return done.stdout.decode("utf-8")


def block(program, words):
    """What belongs between the lines of a man page."""
    if words.startswith("by "):
        return SCRIPTS[words.removeprefix("by ")].page(program)
    return ask(program, words.split())


def wanted(program):
    """Yields (path, bytes) for every generated file, as the program would have it now."""
    for path, text in wanted_texts(program):
        yield path, text.encode("utf-8")
    yield from vectors.wanted(program)


def wanted_texts(program):
    """Those that are text."""
    for kind in KINDS:
        yield pathlib.Path(f"schemas/{kind}.schema.json"), ask(program, ["schema", kind])
    yield pathlib.Path("engines-demo/sheet.svg"), picture.picture(ask(program, picture.ARGUMENTS))
    for path in sorted(pathlib.Path("man").glob("*.[1-9]")):
        text = path.read_text(encoding="utf-8")
        if BLOCK.search(text):
            yield path, BLOCK.sub(lambda m: m[1] + block(program, m[2]) + m[4], text)


def differ(path, old, new):
    """Prints how a committed file differs from what the program prints."""
    try:
        old, new = old.decode("utf-8"), new.decode("utf-8")
    except UnicodeDecodeError:
        return
    sys.stderr.writelines(difflib.unified_diff(
        old.splitlines(True), new.splitlines(True), f"{path} (committed)",
        f"{path} (what the program prints)"))


def main(mode, program):
    stale = 0
    for path, content in wanted(program):
        old = path.read_bytes() if path.exists() else b""
        if old == content and path.exists():
            continue
        if mode == "--write":
            path.parent.mkdir(exist_ok=True)
            path.write_bytes(content)
            print(f"  wrote {path}")
            continue
        stale = 1
        print(f"{path} is stale: run 'make generated' and commit the result", file=sys.stderr)
        differ(path, old, content)
    return stale


if __name__ == "__main__":
    if len(sys.argv) != 3 or sys.argv[1] not in ("--write", "--check"):
        sys.exit(__doc__)
    sys.exit(main(sys.argv[1], sys.argv[2]))
