"""The picture in README.md: a setup sheet as it prints, as one SVG file.

It is the HTML of the sheet inside an SVG, with its own drawings and its rules for paper. So it is
the same bytes on every machine, sharp at every size, and stale exactly when the sheet is.
"""

import re

ENGINE = "engines-demo/engines/quern-12.engine.yaml"
DEVICE = "engines-demo/devices/slipway-4.device.yaml"
ARGUMENTS = ["sheet", "--format", "html", "--device", DEVICE, ENGINE]

# The paper, in CSS pixels: A4 at 96 to an inch. A sheet that grows can need more height.
WIDTH, HEIGHT = 794, 1123

PAPER = f""".paper{{height:{HEIGHT}px;overflow:hidden;border:1px solid #999;background:var(--paper)}}
.paper body{{width:190mm;margin:5mm auto 0}}
"""


def part(pattern, page):
    return re.search(pattern, page, re.S)[1]


def picture(page):
    """The SVG of a sheet's HTML."""
    style = part(r"<style>\n(.*?)@page", page).replace("@media print{", "@media all{")
    body = part(r"<body>\n(.*?)</body>", page)
    body = body.replace("<svg ", '<svg xmlns="http://www.w3.org/2000/svg" ')
    return (f'<svg xmlns="http://www.w3.org/2000/svg" width="{WIDTH}" height="{HEIGHT}" '
            f'viewBox="0 0 {WIDTH} {HEIGHT}">\n'
            f"<title>{part('<title>(.*?)</title>', page)}</title>\n"
            f"<style>\n{style}{PAPER}</style>\n"
            f'<foreignObject width="{WIDTH}" height="{HEIGHT}">\n'
            f'<div class="paper" xmlns="http://www.w3.org/1999/xhtml"><body>\n{body}</body></div>\n'
            "</foreignObject>\n</svg>\n")
