"""The field library's manual pages against its code: the examples of rotor-field(3) are those that
are compiled and run, and rotor-table(5) gives every field of the layout with its place and type."""

import pathlib
import re
import unittest

ROOT = pathlib.Path(__file__).resolve().parents[2]
LAYOUT = (ROOT / "src/field/rotor_layout.h").read_text(encoding="utf-8")
FIELD = (ROOT / "man/rotor-field.3").read_text(encoding="utf-8")
TABLE = (ROOT / "man/rotor-table.5").read_text(encoding="utf-8")

# The sections of rotor-table(5) and the prefixes of the layout's names
SECTIONS = {
    "HEADER": "HEADER", "DIRECTORY": "ENTRY", "DEVICE": "DEVICE", "DESIGNATIONS": "NAME",
    "ENGINES": "ENGINE", "SPOOLS": "SPOOL", "STAGES": "STAGE", "PORTS": "PORT", "PADS": "PAD",
    "MESHES": "MESH", "SCHEDULES": "SCHEDULE", "LINKS": "LINK", "DATUMS": "DATUM",
}
SIZES = {"u8": 1, "u16": 2, "u32": 4, "u64": 8, "text": 4, "8 bytes": 8, "32 bytes": 32}


def layout_fields(prefix):
    """Offset and type of each field whose name begins so, from its comment in the layout."""
    rows = re.findall(rf"^    ROTOR_{prefix}_\w+ = (\d+),\s*/\* (\w+)([^*]*)", LAYOUT, re.MULTILINE)
    for offset, kind, rest in rows:
        if kind == "SHA":
            yield int(offset), "32 bytes"
        elif kind in SIZES:
            yield int(offset), kind
        elif kind.isdigit():
            yield int(offset), f"{kind} bytes"


def layout_size(prefix):
    return int(re.search(rf"ROTOR_{prefix}_SIZE = (\d+)", LAYOUT).group(1))


def manual_fields(section):
    """Offset and type of each row in this section of the page."""
    body = re.search(rf"^\.Sh {section}$(.*?)^\.Sh ", TABLE, re.MULTILINE | re.DOTALL).group(1)
    return [(int(offset), kind)
            for offset, kind in re.findall(r"^\.It (\d+) Ta (\w+(?: bytes)?) Ta", body,
                                           re.MULTILINE) if kind in SIZES]


class Manual(unittest.TestCase):
    def test_the_examples_are_the_compiled_ones(self):
        printed = FIELD.split(".Sh EXAMPLES\n")[1].split(".Sh ")[0].split(".Bd -literal\n")[1:]
        compiled = [(ROOT / f"tests/unit/field_{name}_test.c").read_text(encoding="utf-8")
                    for name in ("example", "update")]
        self.assertEqual([text.split("/* EXAMPLE BEGINS */\n")[1].split("/* EXAMPLE ENDS */")[0]
                          for text in compiled], [text.split(".Ed\n")[0] for text in printed])

    def test_every_field_is_in_its_place(self):
        for section, prefix in SECTIONS.items():
            with self.subTest(section=section):
                self.assertEqual(manual_fields(section), list(layout_fields(prefix)))

    def test_the_fields_fill_their_record(self):
        for section, prefix in SECTIONS.items():
            with self.subTest(section=section):
                end = 0
                for offset, kind in manual_fields(section):
                    self.assertEqual(offset, end)
                    end += SIZES[kind]
                self.assertEqual(end, layout_size(prefix))

    def test_every_status_is_explained(self):
        headers = [(ROOT / f"src/field/rotor_{name}.h").read_text(encoding="utf-8")
                   for name in ("field", "import")]
        statuses = [status for header in headers for status in
                    re.findall(r"^    (ROTOR_[A-Z_0-9]+)(?: = 0)?,? ", header, re.MULTILINE)]
        self.assertGreater(len(statuses), 35)
        explained = re.findall(r"Dv (ROTOR_\w+)$", FIELD, re.MULTILINE)
        self.assertEqual([status for status in statuses if status not in explained], [])


if __name__ == "__main__":
    unittest.main()
