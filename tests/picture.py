"""The picture in README.md: a setup sheet as it prints, its pages side by side, as one SVG file.

It is the HTML of the sheet inside an SVG, with its own drawings and its rules for paper. So it is
the same bytes on every machine, sharp at every size, and stale exactly when the sheet is.
"""

import re

ENGINE = "engines-demo/engines/quern-12.engine.yaml"
DEVICE = "engines-demo/devices/slipway-4.device.yaml"
ARGUMENTS = ["sheet", "--format", "html", "--device", DEVICE, ENGINE]

# In CSS pixels, 96 to an inch: A4, its margins, and the room between two sheets of paper.
PAGES = 2
PAPER = (794, 1123)
MARGIN, TOP, BOTTOM = 38, 30, 42
BETWEEN = 24
WIDTH = PAGES * PAPER[0] + (PAGES - 1) * BETWEEN
HEIGHT = PAPER[1]

# Columns break where pages do.
COLUMNS = f""".paper{{fill:#fff;stroke:#888}}
.pages{{height:{HEIGHT}px;overflow:hidden;padding:{TOP}px {MARGIN}px {BOTTOM}px}}
.pages body{{width:{WIDTH - 2 * MARGIN}px;height:{HEIGHT - TOP - BOTTOM}px;margin:0;
columns:{PAGES};column-gap:{2 * MARGIN + BETWEEN}px;column-fill:auto;background:none}}
"""


def part(pattern, page):
    return re.search(pattern, page, re.S)[1]


def picture(page):
    """The SVG of a sheet's HTML."""
    style = part(r"<style>\n(.*?)@page", page).replace("@media print{", "@media all{")
    body = part(r"<body>\n(.*?)</body>", page)
    body = body.replace("<svg ", '<svg xmlns="http://www.w3.org/2000/svg" ')
    paper = "".join(f'<rect class="paper" x="{i * (PAPER[0] + BETWEEN) + 0.5}" y="0.5" '
                    f'width="{PAPER[0] - 1}" height="{PAPER[1] - 1}"/>\n' for i in range(PAGES))
    return (f'<svg xmlns="http://www.w3.org/2000/svg" width="{WIDTH}" height="{HEIGHT}" '
            f'viewBox="0 0 {WIDTH} {HEIGHT}">\n'
            f"<title>{part('<title>(.*?)</title>', page)}</title>\n"
            f"<style>\n{style}{COLUMNS}</style>\n{paper}"
            f'<foreignObject width="{WIDTH}" height="{HEIGHT}">\n'
            f'<div class="pages" xmlns="http://www.w3.org/1999/xhtml"><body>\n{body}</body></div>\n'
            "</foreignObject>\n</svg>\n")
