"""One browser for all views of a test program: it starts with the first one and ends with the last.
A second one, from the same script, has the font alone that no page names.

It needs chromium-headless-shell, node, poppler-utils and two modules (`make deps-sheet`).
"""

import atexit
import functools
import json
import pathlib
import shutil
import subprocess
import tempfile
import unittest

HERE = pathlib.Path(__file__).resolve().parent
MODULES = HERE.parent.parent / "build" / "sheet" / "node_modules"

FONTS = """<?xml version="1.0"?><!DOCTYPE fontconfig SYSTEM "fonts.dtd">
<fontconfig><dir>/usr/share/fonts/truetype/dejavu</dir><cachedir>{}</cachedir></fontconfig>"""

TOOLS = ("chromium-headless-shell", "node", "pdftotext", "pdffonts")
needed = unittest.skipUnless(
    all(map(shutil.which, TOOLS)) and MODULES.is_dir(),
    "chromium-headless-shell, node, poppler-utils or modules are missing: make deps-sheet")


@functools.lru_cache(maxsize=None)
def _started():
    scratch = tempfile.TemporaryDirectory()
    atexit.register(scratch.cleanup)
    fonts = pathlib.Path(scratch.name, "fonts.conf")
    fonts.write_text(FONTS.format(fonts.parent / "fonts"))
    looking = subprocess.Popen(["node", HERE / "layout.js", MODULES, fonts], text=True,
                               stdin=subprocess.PIPE, stdout=subprocess.PIPE)
    atexit.register(looking.communicate)
    return looking


def look(views, fallback=False):
    """What the browser saw of each view (layout.js). `fallback`: with a font that no page names."""
    looking = _started()
    looking.stdin.write(json.dumps([{**view, "fallback": fallback} for view in views]) + "\n")
    looking.stdin.flush()
    seen = json.loads(looking.stdout.readline())
    if len(seen) != len(views):
        raise AssertionError(f"{len(seen)} views, must be {len(views)}")
    return seen
