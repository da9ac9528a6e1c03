"""Makes the slips of a tired pen in a definition, independently of the program.

The definition is read by another YAML reader, which knows the place of each value. What a slip is
follows the table in rotortab(1); none of the program's code or tables is used.
"""

import fractions
import re

import yaml

ROW = "1234567890"
PAD = {"7": "84", "8": "795", "9": "86", "4": "751", "5": "8462", "6": "953", "1": "420",
       "2": "1530", "3": "62", "0": "12"}
UNITS = [("deg", "arcmin", "rev"), ("N.m", "lbf.ft", "lbf.in", "kgf.m"),
         ("deg/min", "deg/s", "rpm")]
SENSES = ["cw", "ccw"]
ROTOR_VIEWS = ["aft-looking-forward", "forward-looking-aft"]
DIRECTIONS = ["forward", "aft", "up", "down", "left", "right"]
MEMBERS = ["sun", "ring", "carrier"]
SQUARES = ["1/4 in", "3/8 in", "1/2 in", "3/4 in", "1 in"]
MILLIMETRES = {"6.3 mm": "1/4 in", "10 mm": "3/8 in", "12.5 mm": "1/2 in", "20 mm": "3/4 in",
               "25 mm": "1 in"}
WORDS = {"sense": SENSES, "faces": DIRECTIONS, "in": MEMBERS, "out": MEMBERS, "held": MEMBERS,
         "role": ["fan", "compressor", "turbine"], "drives": ["both", "cw", "ccw"],
         "numbering": ["against-rotation", "with-rotation"], "never-backwards": ["yes", "no"],
         "square": SQUARES}
NUMBERS = {"blades", "sun", "ring", "planet", "planets", "blade"}
QUANTITIES = {"max-speed", "clocking", "torque-limit", "backlash", "pad", "rotor"}


class Value:
    """A value of the definition: its place in the text, and the way to it."""

    def __init__(self, text, node, part, way):
        self.start, self.end = node.start_mark.index, node.end_mark.index
        self.line, self.column = node.start_mark.line + 1, node.start_mark.column + 1
        self.written = text[self.start:self.end].rstrip()
        self.end = self.start + len(self.written)
        self.part, self.way, self.node = part, way, node


def beside(digit):
    """The digits of the keys beside a digit, on the number row and on the keypad."""
    at = ROW.index(digit)
    row = ROW[max(at - 1, 0):at] + ROW[at + 1:at + 2]
    return set(row + PAD[digit])


def digits(text, length):
    """Every text that differs in one digit or point of the first `length` characters."""
    made = set()
    for i, c in enumerate(text[:length]):
        after = text[i + 1] if i + 1 < len(text) else ""
        before = text[i - 1] if i > 0 else ""
        if c.isdigit():
            made |= {text[:i] + other + text[i + 1:] for other in beside(c)}
            made.add(text[:i] + c + text[i:])
            if after.isdigit():
                made.add(text[:i] + after + c + text[i + 2:])
            if before.isdigit() or after.isdigit():
                made.add(text[:i] + text[i + 1:])
        elif c == ".":
            if before.isdigit():
                whole = "0." if i == 1 or not text[i - 2].isdigit() else "."
                made.add(text[:i - 1] + whole + before + text[i + 1:])
            if after.isdigit():
                rest = text[i + 2:]
                point = "." if rest[:1].isdigit() else ""
                made.add(text[:i] + after + point + rest)
    return made


def unit_of(text):
    """Where the unit begins, and the unit; the end and None without one."""
    found = re.search(r"[A-Za-z][A-Za-z./]*$", text)
    return (found.start(), found[0]) if found else (len(text), None)


def quantity(text, signed):
    """The slips in a number with its unit."""
    at, unit = unit_of(text)
    made = digits(text, at)
    for units in UNITS:
        made |= {text[:at] + other for other in units if unit in units and other != unit}
    if signed:
        made.add(text[1:] if text.startswith("-") else "-" + text)
    return made


def clock(text):
    """The slips in a clock position."""
    hours, minutes = map(int, text.split(":"))
    other = (720 - (hours % 12 * 60 + minutes)) % 720
    mirrored = f"{other // 60 or 12}:{other % 60:02d}"
    return digits(text, len(text)) | {mirrored}


def entries(node):
    """{key: value node} of a map."""
    return {key.value: value for key, value in node.value}


class Definition:
    """A definition with all its values, and the slips in them."""

    def __init__(self, text):
        self.text = text
        self.root = entries(yaml.compose(text, yaml.CBaseLoader))
        self.ids = {name: [entries(item)["id"].value for item in self.root[name].value]
                    for name in ("spools", "stages", "pads") if name in self.root}
        self.slips = {}   # (line, column, what is written there then): the whole text
        self.lines = {}   # (list, way): {index of the part: value}
        for name in ("spools", "stages", "pads"):
            for index, item in enumerate(self.root.get(name, yaml.SequenceNode("", [])).value):
                self.walk_map(item, (name, index), "")
        self.read_other_lines()

    def add(self, value, texts):
        for text in texts:
            if text != value.written:
                whole = self.text[:value.start] + text + self.text[value.end:]
                self.slips[value.line, value.column, text] = whole

    def leaf(self, node, part, way, texts):
        """A value with its slips: `texts` makes them of what is between its quotes."""
        value = Value(self.text, node, part, way)
        self.lines.setdefault((part[0], way), {})[part[1]] = value
        quote = value.written[0] if value.written[0] in "\"'" else ""
        inner = value.written.strip(quote) if quote else value.written
        self.add(value, {quote + text + quote for text in texts(inner)})

    def read_other_lines(self):
        for values in self.lines.values():
            for index, value in values.items():
                self.add(value, {values[other].written for other in (index - 1, index + 1)
                                 if other in values})

    def swap(self, at, one, other):
        """Two values change places; `at` is the node that the slip belongs to."""
        first, second = Value(self.text, one, None, ""), Value(self.text, other, None, "")
        if first.start > second.start:
            first, second = second, first
        if first.written == second.written:
            return
        text = (self.text[:first.start] + second.written + self.text[first.end:second.start] +
                first.written + self.text[second.end:])
        place = Value(self.text, at, None, "")
        written = [Value(self.text, node, None, "").written for node in (other, one)]
        self.slips[place.line, place.column, " and ".join(written)] = text

    def walk_map(self, node, part, above):
        for key, value in entries(node).items():
            self.walk(key, value, part, f"{above}.{key}" if above else key)

    def walk(self, key, node, part, way):
        if key in ("id", "blade-one", "note", "how", "before-turning", "turned-by", "from",
                   "path-from"):
            return
        if key == "path":
            for i, mesh in enumerate(node.value):
                self.walk_mesh(mesh, part, f"{way}[{i + 1}]")
        elif key in ("port", "known-blades"):
            items = node.value if isinstance(node, yaml.SequenceNode) else [node]
            for i, item in enumerate(items):
                self.walk_map(item, part, f"{way}[{i + 1}]")
        elif isinstance(node, yaml.MappingNode):
            if key == "turns":
                self.swap(node, entries(node)["pad"], entries(node)["rotor"])
            self.walk_map(node, part, way)
        else:
            self.leaf(node, part, way, lambda text: self.texts(key, part, way, text))

    def texts(self, key, part, way, text):
        """The texts that can be written for a value by a slip, but for other lines."""
        if key == "spool":
            return set(self.ids["spools"])
        if key in ("clock", "at"):
            return clock(text)
        if key == "view":
            pad = part[0] == "pads" and way == "rotation.view"
            return set(ROTOR_VIEWS + (["facing-pad"] if pad else []))
        if key in WORDS:
            own = MILLIMETRES.get(text, text)
            words = SQUARES if key == "square" else WORDS[key]
            return {word for word in words if word != own}
        if key in NUMBERS:
            return digits(text, len(text))
        assert key in QUANTITIES, key
        return quantity(text, key == "clocking")

    def walk_mesh(self, node, part, way):
        if not isinstance(node, yaml.MappingNode):
            return
        (kind, value), = entries(node).items()
        below = f"{way}.{kind}"
        if kind == "epicyclic":
            inner = entries(value)
            self.swap(node, inner["in"], inner["out"])
            self.walk_map(value, part, below)
        elif kind == "bevel" and isinstance(value, yaml.MappingNode):
            inner = entries(value)
            self.walk_teeth(node, inner["teeth"].value, part, f"{below}.teeth")
            for i, back in enumerate(inner["backs"].value if "backs" in inner else []):
                self.leaf(back, part, f"{below}.backs[{i + 1}]", lambda _: set(DIRECTIONS))
        else:
            if kind == "bevel":   # without backs: the teeth alone
                below += ".teeth"
            self.walk_teeth(node, value.value, part, below, kind == "external")

    def walk_teeth(self, mesh, teeth, part, way, idlers=False):
        for i, tooth in enumerate(teeth):
            self.leaf(tooth, part, f"{way}[{i + 1}]", lambda text: digits(text, len(text)))
        if len(teeth) > 1:
            self.swap(mesh, teeth[0], teeth[-1])
        place = Value(self.text, mesh, None, "")
        for i in range(1, len(teeth) - 1 if idlers else 0):
            start, end = teeth[i].start_mark.index, teeth[i + 1].start_mark.index
            written = f"without {Value(self.text, teeth[i], None, '').written}"
            self.slips[place.line, place.column, written] = self.text[:start] + self.text[end:]
