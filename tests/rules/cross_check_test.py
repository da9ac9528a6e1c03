"""The second reading of a definition: what agrees, what does not, and one finding for one mistake.

The definition and its cross-check are those of the demonstration's broken files without a mistake:
the second reader wrote the same values in other units, from other ends.
"""

import re
import unittest

from checking import BROKEN, GOOD, Folder, changed, findings, rules_by_id

SECOND = (BROKEN / "cross-check-stale.cross-check.yaml").read_text().replace(
    "{id: cross-check-stale, revision: 1}", "{id: neighbour, revision: 2}")
EVIDENCE = {"cross-check-disagrees", "cross-check-partial", "cross-check-stale"}
FIRST_NAME, SECOND_NAME = "neighbour.engine.yaml", "neighbour.cross-check.yaml"


class CrossChecked(Folder):
    """Runs `check` on a definition with its cross-check."""

    maxDiff = None

    def judge(self, first=GOOD, second=SECOND, *options):
        """All findings of the pair, whose status must agree with them."""
        self.put(FIRST_NAME, first)
        self.put(SECOND_NAME, second)
        status, found = findings(self.folder, *options, FIRST_NAME)
        self.assertEqual(status, int(any(item["severity"] == "error" for item in found)), found)
        return found

    def only(self, rule, first=GOOD, second=SECOND):
        """The only finding of the pair, which is of this rule."""
        found = self.judge(first, second)
        self.assertEqual([item["rule"] for item in found], [rule], found)
        return found[0]


class Agreement(CrossChecked):
    """Two persons who read one source."""

    def test_agree(self):
        self.assertEqual(self.judge(), [])

    def test_each_value_of_the_second_reading_is_compared(self):
        """No number, word or sense can be changed in it without a finding."""
        slips = [(r"\b\d+\b", lambda text: str(int(text) + 7)), (r"\bcw\b", lambda _: "ccw"),
                 (r"\bccw\b", lambda _: "cw"), (r"\baft\b(?!-)", lambda _: "forward"),
                 (r"\bup\b", lambda _: "down"), (r"\bdown\b", lambda _: "up"),
                 (r"\bwith-", lambda _: "against-"), (r"\bagainst-", lambda _: "with-"),
                 (r"\bspool: HP\b", lambda _: "spool: LP"), (r"\bboth\b", lambda _: "cw"),
                 (r"forward-looking-aft", lambda _: "aft-looking-forward")]
        body = SECOND.index("spools:")
        tried = 0
        for pattern, slip in slips:
            for found in re.finditer(pattern, SECOND[body:]):
                at = body + found.start()
                second = SECOND[:at] + slip(found.group()) + SECOND[at + len(found.group()):]
                line = SECOND[SECOND.rindex("\n", 0, at) + 1:SECOND.index("\n", at)]
                if re.search(r"- id|id: [PT]\d, clock", line) and found.start() + body < \
                        SECOND.index(line) + line.find("clock"):
                    continue  # a name
                with self.subTest(line=line, to=slip(found.group())):
                    rules = {item["rule"] for item in self.judge(second=second)}
                    self.assertTrue(rules, "nothing was found")
                    tried += 1
        self.assertGreater(tried, 60)

    def test_each_key_left_out_is_told(self):
        policy = self.put("strict.policy.yaml",
                          "policy: 1\nrules: {cross-check-partial: warning}\n")
        lines = SECOND.splitlines(keepends=True)
        start = lines.index("spools:\n")
        for i in range(start, len(lines)):
            key = re.match(r"    (\w[\w-]*): \S", lines[i])
            if key:
                second = "".join(lines[:i] + lines[i + 1:])
                with self.subTest(line=lines[i]):
                    found = self.judge(GOOD, second, "--policy", policy)
                    self.assertEqual([item["rule"] for item in found], ["cross-check-partial"])
                    self.assertIn(key.group(1), found[0]["message"])


class OneMistake(CrossChecked):
    """One mistake, one finding."""

    # What a mistake of writing makes of a line; a policy cannot silence what is found then.
    MISTAKES = (("a key misspelt", r"^( +(?:- )?)(\w)([\w-]*): ", r"\1\2x\3: "),
                ("an unknown key", r"^( +)\w[\w-]*: ", r"\1zzzzzz: "),
                ("a key written twice", r"^(    \w[\w-]*: .*)$", r"\1\n\1"),
                ("no value", r"^( +(?:- )?\w[\w-]*): .*$", r"\1:"),
                ("another shape", r"^( +(?:- )?\w[\w-]*): [^\[{]*$", r"\1: [{a: 1}]"),
                ("no unit", r"(\d) (?:deg|lbf|N|rpm|arcmin).*$", r"\1"),
                ("a tag", r"^( +(?:- )?\w[\w-]*): ", r"\1: !!str "),
                ("an alias", r"^( +(?:- )?\w[\w-]*): .*$", r"\1: *one"),
                ("a dash too few", r"^  - id: ", r"    id: "),
                ("an id twice", r"^(  - id: )(?:HPC-2|HPT-1)", r"\1HPC-1"))

    def each_mistake(self, text):
        """(name, line, text) with one mistake in it."""
        lines = text.splitlines(keepends=True)
        start = lines.index("spools:\n")
        end = lines.index("observations:\n") if "observations:\n" in lines else len(lines)
        for name, pattern, to in self.MISTAKES:
            for i in range(start, end):
                line = re.sub(pattern, to, lines[i].rstrip("\n")) + "\n"
                if line != lines[i]:
                    yield name, lines[i], "".join(lines[:i] + [line] + lines[i + 1:])

    def test_a_mistake_in_the_definition_is_no_disagreement(self):
        read = {row for row, rule in rules_by_id().items() if rule["family"] == "text"}
        read |= {"id-taken", "id-malformed"}
        tried = 0
        for name, line, text in self.each_mistake(GOOD):
            with self.subTest(mistake=name, line=line):
                rules = {item["rule"] for item in self.judge(first=text)}
                if rules & read:
                    tried += 1
                    self.assertEqual(rules & EVIDENCE, set())
        self.assertGreater(tried, 300)

    def test_a_mistake_in_the_cross_check_is_one_finding(self):
        several = {"a dash too few", "no value"}  # two keys of one map can be without one
        tried = 0
        for name, line, text in self.each_mistake(SECOND):
            with self.subTest(mistake=name, line=line):
                found = self.judge(second=text)
                tried += 1
                self.assertTrue(found, "nothing was found")
                self.assertEqual({item["rule"] for item in found} & EVIDENCE, set(), found)
                if name not in several:
                    self.assertEqual(len(found), 1, found)
                self.assertEqual({item["file"] for item in found}, {SECOND_NAME})
        self.assertGreater(tried, 200)


if __name__ == "__main__":
    unittest.main()
