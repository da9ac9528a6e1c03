"""Runs clang-tidy over source files, two at a time, and shows only what it finds.

The static analyser takes nine tenths of the time. It follows each function with those it calls to
MOST_NODES steps. With the 225000 that it takes if it is not asked, it runs three times as long.

    tidy.py FILE... -- COMPILER-FLAG...
"""

import concurrent.futures
import subprocess
import sys

AT_ONCE = 2
MOST_NODES = 40000
BOUND = ["-Xclang", "-analyzer-config", "-Xclang", f"max-nodes={MOST_NODES}"]


def main(arguments):
    end = arguments.index("--")
    files, flags = arguments[:end], arguments[end:] + BOUND

    def tidy(path):
        return subprocess.run(["clang-tidy", "--quiet", "--warnings-as-errors=*", path, *flags],
                              capture_output=True, text=True, check=False)

    failed = 0
    with concurrent.futures.ThreadPoolExecutor(AT_ONCE) as pool:
        for done in pool.map(tidy, files):
            if done.returncode != 0:
                print(done.stdout + done.stderr, file=sys.stderr)
                failed = 1
    return failed


if __name__ == "__main__":
    sys.exit(main(sys.argv[1:]))
