"""The second reading of a definition: what agrees, what does not, and one finding for one mistake.

The definition and its cross-check are those of the demonstration's broken files without a mistake:
the second reader wrote the same values in other units, from other ends.

Each mistake of writing is made in every line where it can be; `make test` takes each in some lines.
"""

import operator
import pathlib
import re
import sys
import unittest

from checking import (BROKEN, GOOD, PROFILE, UNPROVEN, Folder, findings, rules_by_id,
                      run)

sys.path.insert(1, str(pathlib.Path(__file__).resolve().parents[1]))
import share  # noqa: E402 pylint: disable=wrong-import-position

SECOND = (BROKEN / "cross-check-stale.cross-check.yaml").read_text().replace(
    "{id: cross-check-stale, revision: 1}", "{id: neighbour, revision: 2}")
EVIDENCE = {"cross-check-disagrees", "cross-check-partial", "cross-check-stale", *UNPROVEN}
FIRST_NAME, SECOND_NAME = "neighbour.engine.yaml", "neighbour.cross-check.yaml"


class CrossChecked(Folder):
    """Runs `check` on a definition with its cross-check."""

    maxDiff = None

    def judge(self, first=GOOD, second=SECOND, *options):
        """All findings of the pair, whose status must agree with them."""
        self.put(FIRST_NAME, first)
        self.put(SECOND_NAME, second)
        status, found = findings(self.folder, *options, FIRST_NAME, unproven=True)
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

    def test_an_old_reading_and_an_old_definition(self):
        """Of two revisions the lower one can be out of date, whichever it is."""
        for revision, remedy in ((1, "Read the changed values again"),
                                 (3, "Use the definition of revision 3.")):
            with self.subTest(revision=revision):
                found = self.only("cross-check-stale", second=SECOND.replace(
                    "revision: 2", f"revision: {revision}"))
                self.assertIn(remedy, found["remedy"])

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

    def each_mistake(self, text, least):
        """(name, line, text) with one mistake in it; `least` or more can be made."""
        mistakes = list(self.mistakes(text))
        self.assertGreater(len(mistakes), least)
        return share.sample(mistakes, operator.itemgetter(0), least=6)

    def mistakes(self, text):
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
        tried = wrong = 0
        for name, line, text in self.each_mistake(GOOD, 350):
            wrong += 1
            with self.subTest(mistake=name, line=line):
                rules = {item["rule"] for item in self.judge(first=text)}
                if rules & read:
                    tried += 1
                    self.assertEqual(rules & EVIDENCE, set())
        self.assertGreater(tried, wrong * 3 // 4)

    def test_a_mistake_in_the_cross_check_is_one_finding(self):
        several = {"a dash too few", "no value"}  # two keys of one map can be without one
        for name, line, text in self.each_mistake(SECOND, 200):
            with self.subTest(mistake=name, line=line):
                found = self.judge(second=text)
                self.assertTrue(found, "nothing was found")
                self.assertEqual({item["rule"] for item in found} & EVIDENCE, set(), found)
                if name not in several:
                    self.assertEqual(len(found), 1, found)
                self.assertEqual({item["file"] for item in found}, {SECOND_NAME})


class Places(CrossChecked):
    """Where the cross-check of a definition is looked for, and what is counted."""

    SLIP = SECOND.replace("blades: 30", "blades: 31")
    SUMMARY = "1 definition, 1 cross-check: 1 error, 0 warnings, 0 notes\n"

    def setUp(self):
        super().setUp()
        (self.folder / "rotortab.policy.yaml").unlink()
        (self.folder / "plain.device.yaml").unlink()

    def counted(self, *arguments, **how):
        """What `check` says of the pair: one disagreement, however it is named."""
        done = run(self.folder, "check", *arguments, **how)
        said = done.stdout.decode()
        self.assertEqual(done.returncode, 1, said + done.stderr.decode())
        self.assertEqual(said.count("[cross-check-disagrees]"), 1, said)
        self.assertTrue(said.endswith(self.SUMMARY), said)

    def test_on_disk(self):
        first = self.put("sub/" + FIRST_NAME, GOOD)
        second = self.put("sub/" + SECOND_NAME, self.SLIP)
        whole = str(self.folder / "sub")
        for names in ((first,), (second,), (first, second), (second, first), ("sub",), (".",),
                      ("sub", first), (second, "sub"), ("./sub/" + SECOND_NAME, "sub"),
                      ("./" + first, second), (whole,), (f"{whole}/{SECOND_NAME}", "sub", first),
                      (second, second, "./" + second)):
            with self.subTest(names):
                self.counted(*names)

    def test_of_each_ending(self):
        for ending in ("yaml", "yml", "json"):
            first = self.put(f"{ending}/neighbour.engine.{ending}", GOOD)
            second = self.put(f"{ending}/{SECOND_NAME}", self.SLIP)
            for names in ((first,), (second,), (ending,)):
                with self.subTest(names):
                    self.counted(*names)

    def test_of_standard_input(self):
        """A name says where it would be; without one there is nothing beside it."""
        self.put("sub/" + SECOND_NAME, self.SLIP)
        self.counted("--name", "sub/" + FIRST_NAME, "-", input=GOOD.encode())
        for name in ((), ("--name", FIRST_NAME), ("--name", "sub/other.engine.yaml")):
            done = run(self.folder, "check", *name, "-", input=GOOD.encode())
            self.assertNotIn(b"cross-check", done.stdout)

    def test_on_standard_input(self):
        """It is judged with the definition beside its name."""
        self.put("sub/" + FIRST_NAME, GOOD)
        self.put("sub/" + SECOND_NAME, "not what is read\n")
        self.counted("--name", "sub/" + SECOND_NAME, "-", input=self.SLIP.encode())
        self.put("sub/" + FIRST_NAME, GOOD.replace("blades: 30", "blades: 31"))
        done = run(self.folder, "check", "--name", "sub/" + SECOND_NAME, "-",
                   input=self.SLIP.encode())
        self.assertEqual((done.returncode, done.stdout),
                         (0, b"1 definition, 1 cross-check: 0 errors, 0 warnings, 0 notes\n"))
        for name in ((), ("--name", SECOND_NAME)):
            done = run(self.folder, "check", *name, "-", input=self.SLIP.encode())
            self.assertIn(b"[cross-check-alone]", done.stdout)

    def test_of_names_in_a_list(self):
        first = self.put("sub/" + FIRST_NAME, GOOD)
        second = self.put("sub/" + SECOND_NAME, self.SLIP)
        for names in ((first,), (second,), (first, second), (second, first), ("sub", second)):
            with self.subTest(names):
                self.counted("--list", input="".join(name + "\0" for name in names).encode())

    def test_alone(self):
        """Whoever moves or renames a definition without it is told so."""
        for name, words in ((SECOND_NAME, "there is no definition beside"),
                            ("neighbour.cross-check.yml", "its name does not end in"),
                            ("neighbour.yaml", "its name does not end in"),
                            ("sub/other.cross-check.yaml", "there is no definition beside")):
            self.put(name, SECOND)
            for operand in (name, name.rpartition("/")[0] or "."):
                with self.subTest(operand):
                    status, found = findings(self.folder, operand)
                    self.assertEqual((status, [item["rule"] for item in found]),
                                     (1, ["cross-check-alone"]))
                    self.assertIn(words, found[0]["message"])
                    self.assertIn("neighbour.engine.yaml", found[0]["remedy"])
            (self.folder / name).unlink()

    def test_in_every_command(self):
        """Each command that judges a definition judges it with its cross-check."""
        device = self.put("plain.device.yaml", PROFILE)
        first = self.put(FIRST_NAME, GOOD)
        self.put(SECOND_NAME, self.SLIP)
        for command in (("check",), ("check", "-d", device), ("explain",), ("stops", "-d", device),
                        ("compile", "-d", device, "-o", "t.rotor"), ("sheet", "-d", device),
                        ("slips",)):
            done = run(self.folder, *command, first)
            self.assertEqual(done.returncode, 1, command)
            self.assertIn(b"[cross-check-disagrees]", done.stdout + done.stderr, command)
        self.assertFalse((self.folder / "t.rotor").exists())


if __name__ == "__main__":
    unittest.main()
