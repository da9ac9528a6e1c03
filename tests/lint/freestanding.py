"""Checks that the field reader needs no C library, no 64-bit division and no floating point.

It is compiled for a small processor without an operating system (Arm v6-M) by clang, which needs no
headers or libraries of that processor for it. The objects may then ask for the memory functions
that every compiler may call and for a few integer helpers; anything else would have to come from a
library that a device may not have.
"""

import pathlib
import subprocess
import sys
import tempfile

TARGET = ["--target=thumbv6m-none-eabi", "-std=c99", "-ffreestanding", "-fno-builtin", "-Os",
          "-Wall", "-Wextra", "-Wpedantic", "-Wconversion", "-Werror", "-Isrc"]

# Memory functions, 32-bit division, and 64-bit multiplication and shifts (all without division).
ALLOWED = {"memcpy", "memmove", "memset", "memcmp",
           "__aeabi_memcpy", "__aeabi_memcpy4", "__aeabi_memcpy8", "__aeabi_memmove",
           "__aeabi_memmove4", "__aeabi_memmove8", "__aeabi_memset", "__aeabi_memset4",
           "__aeabi_memset8", "__aeabi_memclr", "__aeabi_memclr4", "__aeabi_memclr8",
           "__aeabi_uidiv", "__aeabi_uidivmod", "__aeabi_idiv", "__aeabi_idivmod",
           "__aeabi_lmul", "__aeabi_llsl", "__aeabi_llsr", "__aeabi_lasr",
           "__aeabi_lcmp", "__aeabi_ulcmp"}


def symbols(objects, kind):
    """The symbols of the objects that nm lists under the given option."""
    listed = subprocess.run(["nm", "--format=just-symbols", kind, *objects], check=True,
                            capture_output=True, text=True).stdout
    return {line.strip() for line in listed.splitlines() if line.strip() and ":" not in line}


def main():
    sources = sorted(pathlib.Path("src/field").glob("*.c"))
    if not sources:
        print("src/field holds no source", file=sys.stderr)
        return 1
    with tempfile.TemporaryDirectory() as scratch:
        objects = []
        for source in sources:
            target = f"{scratch}/{source.stem}.o"
            if subprocess.run(["clang", *TARGET, "-c", "-o", target, source]).returncode != 0:
                return 1
            objects.append(target)
        wanted = symbols(objects, "--undefined-only")
        missing = wanted - symbols(objects, "--defined-only") - ALLOWED
    for name in sorted(missing):
        print(f"src/field asks for '{name}', which a device may not have", file=sys.stderr)
    return 1 if missing else 0


if __name__ == "__main__":
    sys.exit(main())
