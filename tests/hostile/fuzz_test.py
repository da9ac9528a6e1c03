"""Sources with a few bytes or lines changed at random: the program always answers.

FUZZ_SEED (default 1) says which.
"""

import os
import random
import unittest

import confined
from hostile_case import HostileCase, share

COUNT = share.number(20000, least=1500)
SEED = os.environ.get("FUZZ_SEED", "1")
AT_ONCE = 250

PIECES = [b"0", b"1", b"-1", b"99999999999999999999", b"1/3", b"3/0", b"0x1f", b"1e9", b"+/-", b"~",
          b": ", b":", b"- ", b"? ", b"#", b" #", b"[", b"]", b"{", b"}", b", ", b"'", b'"', b"|",
          b">", b"&a ", b"*a", b"!x ", b"<<: ", b"---\n", b"...\n", b"%", b"\t", b"\n", b"\r",
          b"\0", b"\xff", b"\xc3", b"\xe2\x80\xa8", b"\xc2\x85", b"\xef\xbb\xbf", b"\\", b'"\\0"',
          b"deg", b" rpm", b"cw", b"ccw", b"sun", b"ring", b"aft", b"up", b"external: [1, 9999]",
          b"direct"]


def sources():
    """The demonstration's files and their kinds, broken ones as well."""
    paths = [*confined.DEMO.rglob("*.yaml"), *confined.DEMO.rglob("*.json")]
    return [(path.name.split(".", 1)[1], path.read_bytes()) for path in sorted(paths)]


class Fuzzer:
    """Changes sources, the same way for the same seed."""

    def __init__(self, seed):
        self.random = random.Random(seed)
        self.sources = sources()

    def byte(self, text):
        at = self.random.randrange(len(text) + 1)
        return text[:at] + bytes([self.random.randrange(256)]) + text[at + 1:]

    def piece(self, text):
        at = self.random.randrange(len(text) + 1)
        end = at + self.random.choice((0, 0, 1, 3))
        return text[:at] + self.random.choice(PIECES) + text[end:]

    def gone(self, text):
        at = self.random.randrange(len(text) + 1)
        return text[:at] + text[at + self.random.choice((1, 2, 10, 100)):]

    def cut(self, text):
        return text[:self.random.randrange(len(text) + 1)]

    def number(self, text):
        digits = [at for at, byte in enumerate(text) if 48 <= byte < 58]
        if not digits:
            return text
        at = self.random.choice(digits)
        return text[:at] + self.random.choice(PIECES[:9]) + text[at + 1:]

    def lines(self, text):
        lines = text.splitlines(keepends=True) or [b""]
        one, other = (self.random.randrange(len(lines)) for _ in range(2))
        what = self.random.randrange(4)
        if what == 0:
            del lines[one]
        elif what == 1:
            lines.insert(other, lines[one])
        elif what == 2:
            lines[one], lines[other] = lines[other], lines[one]
        else:
            lines[one] = b" " * self.random.randrange(8) + lines[one].lstrip()
        return b"".join(lines)

    def splice(self, text):
        other = self.random.choice(self.sources)[1]
        at, start = self.random.randrange(len(text) + 1), self.random.randrange(len(other) + 1)
        return text[:at] + other[start:start + self.random.choice((40, 400, 4000))]

    def draw(self):
        """A changed source and the ending of its name."""
        ending, text = self.random.choice(self.sources)
        ways = (self.byte, self.piece, self.piece, self.gone, self.cut, self.number, self.number,
                self.lines, self.lines, self.splice)
        for _ in range(self.random.choice((1, 1, 2, 5))):
            text = self.random.choice(ways)(text)
        return ending, text


# What is found because the changed sources are all copies of a few, under other names
NAMES = {"id-taken", "id-not-file-name"}


class Fuzz(HostileCase):
    """Thousands of changed sources."""

    def place_is_in(self, finding, texts):
        """Whether a finding's place, if it has one, ends after it starts and is in the file."""
        if "line" not in finding:
            return True
        start = (finding["line"], finding["column"])
        end = (finding["end_line"], finding["end_column"])
        text = texts.get(finding["file"])
        rows = None if text is None else len(text.replace(b"\r\n", b"\n").split(b"\n"))
        rows = None if rows is None else rows + sum(text.count(end) for end in (
            b"\r", b"\xc2\x85", b"\xe2\x80\xa8", b"\xe2\x80\xa9"))
        return (1, 1) <= start < end and (rows is None or start[0] <= rows + 1)

    def test_every_change_is_answered(self):
        fuzzer = Fuzzer(SEED)
        rules = set()
        clean = 0
        for start in range(0, COUNT, AT_ONCE):
            texts = {}
            for number in range(start, min(start + AT_ONCE, COUNT)):
                ending, text = fuzzer.draw()
                texts[self.put(f"{number}.{ending}", text)] = text
            device = () if start % (2 * AT_ONCE) else ("--device", "plain.device.yaml")
            done = self.run_it("check", "--format", "json", *device, *texts)
            findings = done.findings()
            for finding in findings:
                self.assertTrue(self.place_is_in(finding, texts), finding)
                self.assertTrue(finding["message"] and finding["remedy"], finding)
            rules.update(finding["rule"] for finding in findings)
            clean += len(texts) - len({finding["file"] for finding in findings
                                       if finding["rule"] not in NAMES})
            for name in texts:
                os.unlink(self.folder / name)
        self.assertGreater(len(rules), 40, sorted(rules))
        self.assertGreater(clean, COUNT // 100)


if __name__ == "__main__":
    unittest.main()
