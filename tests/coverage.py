"""Prints line and branch coverage of src/ by folder, from the notes of gcov beside the objects.

    coverage.py FOLDER-OF-OBJECTS
"""

import collections
import json
import subprocess
import sys


def percent(part, whole):
    """A share to one decimal, in whole numbers."""
    if whole == 0:
        return "-"
    tenths = 1000 * part // whole
    return f"{tenths // 10}.{tenths % 10} %"


def main(objects):
    # gcov works some counts out from others and can come to a negative one, which gcovr refuses.
    report = json.loads(subprocess.run(
        ["gcovr", "--root", ".", "--filter", "src/", "--gcov-ignore-parse-errors",
         "--json-summary", "-", objects],
        check=True, stdout=subprocess.PIPE, stderr=subprocess.DEVNULL).stdout)
    names = ("line_covered", "line_total", "branch_covered", "branch_total")
    folders = collections.defaultdict(lambda: [0, 0, 0, 0])
    for entry in report["files"]:
        parts = entry["filename"].split("/")
        folder = parts[1] if len(parts) > 2 else "main"
        for row in (folders[folder], folders["total"]):
            for i, name in enumerate(names):
                row[i] += entry[name]
    print(f"{'folder':10} {'lines':>8} {'covered':>9}  {'branches':>8} {'covered':>9}")
    for folder in sorted(folders, key=lambda name: (name == "total", name)):
        lines, all_lines, branches, all_branches = folders[folder]
        print(f"{folder:10} {all_lines:8} {percent(lines, all_lines):>9}"
              f"  {all_branches:8} {percent(branches, all_branches):>9}")
    print("\nleast covered files:")
    least = sorted((e for e in report["files"] if e["branch_total"]),
                   key=lambda e: e["branch_covered"] / e["branch_total"])
    for entry in least[:10]:
        print(f"  {percent(entry['branch_covered'], entry['branch_total']):>7} of branches,"
              f" {percent(entry['line_covered'], entry['line_total']):>7} of lines"
              f"  {entry['filename']}")


if __name__ == "__main__":
    main(sys.argv[1])
