"""Texts that nobody should have written: refused with a finding, fast, with little memory.

The whole run writes each mistake up to a hundred thousand times. `make test` writes it more often
than a report shows it, and tries each hidden character, escape and token in one place.
"""

import itertools
import json
import operator
import re
import unittest

import confined
from hostile_case import GOOD, PROFILE, HostileCase, share

HEAD = "engine-definition: 1\n"
POLICY = (confined.DEMO / "rotortab.policy.yaml").read_text()
first = operator.itemgetter(0)


def numbers_in(text):
    """Where the numbers of a source stand, but for those in names and comments."""
    for line in re.finditer(r"(?m)^(?! *#|name|models|source|id).*$", text):
        for number in re.finditer(r"(?<=[ \[])\d+(?:\.\d+)?(?=[ ,}\]]|$)", line[0].split("#")[0]):
            yield line.start() + number.start(), line.start() + number.end()


class NotText(HostileCase):
    """Files that are no definitions at all."""

    def test_empty(self):
        for content in ("", "\n\n", "# nothing but a comment\n", "---\n", "\ufeff"):
            self.refuse(content, "unknown-kind")

    def test_values_without_keys(self):
        for content in ("engine", "[1, 2]", "- engine-definition: 1\n", "{}", "~", "12"):
            self.refuse(content, "unknown-kind")

    def test_binary(self):
        self.refuse(bytes(range(256)) * 40, "yaml-syntax")
        self.refuse(b"\x7fELF\x02\x01\x01" + bytes(9), "yaml-syntax")
        self.refuse(bytes(range(255, 127, -1)) * 40, "not-utf8")
        self.refuse(b"\xff\xd8\xff\xe0\x00\x10JFIF", "not-utf8")

    def test_other_encodings(self):
        for encoding in ("utf-16-le", "utf-16-be", "utf-32-le", "utf-32-be"):
            self.refuse(GOOD.encode(encoding), "yaml-syntax")
        for mark, encoding in ((b"\xff\xfe", "utf-16-le"), (b"\xfe\xff", "utf-16-be"),
                               (b"\xff\xfe\0\0", "utf-32-le")):
            self.refuse(mark + GOOD.encode(encoding), "not-utf8")
        self.refuse(GOOD.replace("locking lug", "f\u00fc\u00dfchen").encode("latin-1"), "not-utf8")

    def test_malformed_utf8(self):
        for wrong in (b"\x80", b"\xc0\xaf", b"\xe0\x80\x80", b"\xed\xa0\x80", b"\xf4\x90\x80\x80",
                      b"\xf8\x88\x80\x80\x80", b"\xc3", b"\xe2\x82"):
            self.refuse(HEAD.encode() + b"name: a" + wrong, "not-utf8")

    def test_characters_that_no_text_has(self):
        for wrong in ("\0", "\a", "\x1b[31m", "\x7f", "\x9b31m", "\ufeff", "\ufffe"):
            self.refuse(HEAD + "name: a" + wrong, "yaml-syntax")

    def test_characters_written_as_escapes(self):
        """A text that ends early for a program in C would be another one for people."""
        name = GOOD.replace("id: neighbour", "id: hostile")
        self.refuse(name.replace("status: released", 'status: "released\\0"'), "yaml-syntax")
        self.refuse(name.replace("role: fan", '"ro\\0le": fan'), "yaml-syntax", "missing-key")
        escapes = (r"\a", r"\b", r"\e", r"\v", r"\f", r"\x01", r"\x1f", r"\x7f", r"\x80",
                   r"\x9f", r"\N", r"\u0007", r"\U0000009b")
        places = (("name: Hayrake 6", 'name: "B{}d"'), ("source: ", 'source: "{}" #'))
        for escape, (old, new) in share.sample(itertools.product(escapes, places), first):
            self.refuse(name.replace(old, new.format(escape)), "yaml-syntax")
        self.put("hostile.engine.yaml",
                 name.replace("source: ", r'source: "a\tb\nc\r\n\u00a0\_\/" #'))
        self.assertEqual(self.check("hostile.engine.yaml"), [])

    HIDDEN = ("\N{ZERO WIDTH SPACE}", "\N{LEFT-TO-RIGHT EMBEDDING}",
              "\N{RIGHT-TO-LEFT OVERRIDE}", "\N{LEFT-TO-RIGHT ISOLATE}",
              "\N{POP DIRECTIONAL ISOLATE}", "\N{WORD JOINER}", "\N{TAG LATIN SMALL LETTER A}",
              "\U000e007f", "\ufdd0", "\U0001fffe")

    def test_characters_that_nobody_sees(self):
        name = GOOD.replace("id: neighbour", "id: hostile")
        places = ((name, "{}" + name), ("name: Hayrake 6", "name: Hay{}rake"),
                  ("    blades:", "    # {}\n    blades:"),
                  ("name: Hayrake 6", 'name: "Hay\\U{:08x}rake"'),
                  ("source: ", 'source: "\\U{:08x}" #'))
        for hidden, (old, new) in share.sample(itertools.product(self.HIDDEN, places), first):
            wrong = name.replace(old, new.replace("{}", hidden).replace("{:08x}",
                                                                        f"{ord(hidden):08x}"), 1)
            self.assertNotEqual(wrong, name)
            self.put("hostile.engine.yaml", wrong)
            done = self.run_it("check", "hostile.engine.yaml", status=1)
            self.assertIn("[hidden-character]", done.out.decode())
            self.assertIn("1 error,", done.out.decode())
            self.assertNotIn(hidden, done.out.decode())
        for hidden in share.sample(self.HIDDEN, least=3):
            self.refuse(name.replace("name: Hayrake 6", f"name: Hay{hidden}rake"),
                        "hidden-character")
            done = self.run_it("check", "-f", "sarif", "hostile.engine.yaml", status=1)
            self.assertNotIn(hidden, done.out.decode())
        for kind, broken in (("device-profile", "d.device.yaml"), ("policy", "p.policy.yaml")):
            self.put(broken, f"{kind}: 1 # {self.HIDDEN[0]}\n")
            self.assertEqual(self.check(broken), ["hidden-character"])

    def test_characters_that_look_like_a_blank(self):
        """They are shown where they make a fault, and are allowed in a text."""
        for blank in "\u00a0\u2007\u202f\u3000":
            for right, wrong in (("blades: 24", f"blades:{blank}24"),
                                 ("blades: 24", f"blades: 24{blank}"),
                                 (" lbf.ft", f"{blank}lbf.ft"), ("{sense: ", f"{{sense:{blank}")):
                text = GOOD.replace(right, wrong, 1)
                line = text[:text.index(blank)].count("\n") + 1
                column = text.index(blank) - text.rfind("\n", 0, text.index(blank))
                self.put("neighbour.engine.yaml", text)
                done = self.run_it("check", "-f", "json", "neighbour.engine.yaml", status=1)
                for found in json.loads(done.out)["findings"]:
                    with self.subTest(wrong=wrong, rule=found["rule"]):
                        self.assertEqual(found["remedy"], "Replace it with a blank.")
                        self.assertIn((line, column, f"(U+{ord(blank):04X})"),
                                      [(note["line"], note["column"], note["message"][-8:])
                                       for note in found["related"]])
        text = GOOD.replace("name: Hayrake 6", "name: Hayrake\u00a06")
        self.put("neighbour.engine.yaml", text)
        self.assertEqual(self.check("neighbour.engine.yaml"), [])

    def test_characters_that_scripts_need(self):
        needed = ("\N{ZERO WIDTH JOINER}", "\N{ZERO WIDTH NON-JOINER}", "\N{LEFT-TO-RIGHT MARK}",
                  "\N{RIGHT-TO-LEFT MARK}", "\N{ARABIC LETTER MARK}", "\N{SOFT HYPHEN}",
                  "\N{VARIATION SELECTOR-16}", "\U000e0100")
        for code in needed:
            self.put("neighbour.engine.yaml",
                     GOOD.replace("name: Hayrake 6", f"name: Hay{code}rake 6 # {code}"))
            self.assertEqual(self.check("neighbour.engine.yaml"), [], code)

    def test_slips_of_the_keyboard_are_known(self):
        for wrong, word in ((GOOD.replace("  - id: HP\n", "\t- id: HP\n", 1),
                            "Replace the tab with blanks"),
                            (GOOD.replace("name: Hayrake 6", "name: é\t\n\tx: y"),
                             "Replace the tab with blanks"),
                            (GOOD.replace("{pad: 2.25,", "{pad: 2,25,"), "Write 2.25.")):
            self.assertNotEqual(wrong, GOOD)
            self.put("neighbour.engine.yaml", wrong)
            done = self.run_it("check", "--format", "json", "neighbour.engine.yaml")
            told = " ".join(f["remedy"] for f in done.findings())
            self.assertIn(word, told)

    def test_byte_order_mark_and_line_ends_are_fine(self):
        bare = GOOD[GOOD.index("engine-definition"):]
        self.put("neighbour.engine.yaml", "\ufeff" + bare.replace("blades: 30", "blads: 30"))
        for finding in self.run_it("check", "--format", "json", "neighbour.engine.yaml").findings():
            self.assertEqual(finding["column"], 5)
        self.put("neighbour.engine.yaml", "\ufeffengine-definitions: 1\n")
        finding, = self.run_it("check", "--format", "json", "neighbour.engine.yaml").findings()
        self.assertEqual((finding["line"], finding["column"]), (1, 1))
        for content in ("\ufeff" + bare, "\ufeff" + GOOD, GOOD.replace("\n", "\r\n"),
                        GOOD.replace("\n", "\r")):
            self.put("neighbour.engine.yaml", content)
            self.assertEqual(self.check("neighbour.engine.yaml"), [])


class Deep(HostileCase):
    """Structure that grows over every head."""

    def test_nesting(self):
        block = "\n".join(" " * level + "a:" for level in range(1300))
        for content in ("[" * 10000, "[" * 10000 + "]" * 10000, "{a: " * 10000,
                        HEAD + "spools: " + "[" * 10000, HEAD + "spools: " + "{a: " * 10000,
                        "- " * 10000, HEAD + "spools:\n" + "- " * 10000, "? " * 10000, block):
            self.refuse(content, "too-deep")

    def test_many_aliases(self):
        """Each level would double the last: a thousand million values from two kilobytes."""
        lines = ["a0: &a0 [x, x]"] + [f"a{n}: &a{n} [*a{n - 1}, *a{n - 1}]" for n in range(1, 30)]
        self.put("hostile.engine.yaml", HEAD + "\n".join(lines))
        self.assertEqual(self.check("hostile.engine.yaml").count("alias-refused"), 30 + 58)

    def test_alias_to_itself(self):
        self.put("hostile.engine.yaml", HEAD + "spools: &a [*a]\n")
        self.assertIn("alias-refused", self.check("hostile.engine.yaml"))

    def test_many_tag_directives(self):
        """Each is looked for among all before it."""
        for end in ("\n", "\r", "\r\n", "\u0085", "\u2028"):
            def lines(count, end=end):
                return "".join(f"%TAG !a{n}! x{end}" for n in range(count)) + "---\n" + HEAD
            self.put("hostile.engine.yaml", lines(share.number(50000, least=5000)))
            done = self.run_it("check", "--format", "json", "hostile.engine.yaml", status=1)
            self.assertEqual([(f["rule"], f["line"]) for f in done.findings()],
                             [("tag-refused", 101)])
            self.put("hostile.engine.yaml", lines(100))
            self.assertNotIn("tag-refused", self.check("hostile.engine.yaml"))

    def test_tokens_over_and_over(self):
        """Almost a mebibyte of each is read to its end, or refused; `make test` takes a quarter."""
        tokens = ["- ", "? ", "a: ", '"', "'", "| ", "&a ", "!", "*a ", "---\n", "#", "\n", " ",
                  "\t", "a\n", "[],", "[a,", "{a,", "a, ", '"\\n"', "\u2028", "\r", "%A\n", "? a\n"]
        starts = ("", HEAD + "spools: [")
        length = share.number(900000, least=200000)
        for token, start in share.sample(itertools.product(tokens, starts), first):
            self.put("hostile.engine.yaml", start + token * (length // len(token.encode())))
            self.run_it("check", "hostile.engine.yaml", status=1)


class Large(HostileCase):
    """Files and numbers that do not fit."""

    def test_hundred_megabytes(self):
        path = self.folder / "hostile.engine.yaml"
        with open(path, "wb") as file:
            file.truncate(100 << 20)
        self.assertEqual(self.check(path.name), ["too-large"])
        with open(path, "wb") as file:
            mebibyte = (HEAD + "a: b\n" * 209715).encode()[:1 << 20]
            for _ in range(100):
                file.write(mebibyte)
        self.assertEqual(self.check(path.name), ["too-large"])
        with open(path, "rb") as file:
            self.assertEqual(self.check("-", stdin=file), ["too-large"])

    def test_endless_input(self):
        with open("/dev/zero", "rb") as zero:
            self.assertEqual(self.check("-", stdin=zero), ["too-large"])
        self.assertEqual(self.check("/dev/zero"), ["too-large"])

    def test_a_table_that_claims_a_gibibyte(self):
        self.run_it("compile", "-d", "plain.device.yaml", "-o", "t.rotor", "neighbour.engine.yaml",
                    status=0, made=["t.rotor"])
        table = bytearray((self.folder / "t.rotor").read_bytes())
        table[12:16] = (1 << 30).to_bytes(4, "little")
        with open(self.folder / "t.rotor", "wb") as file:
            file.write(table)
            file.truncate(1 << 30)
        for command in ("show", "verify"):
            done = self.run_it(command, "t.rotor", status=1)
            self.assertIn(b"sizes or versions", done.out + done.err)
        self.run_it("compare", "t.rotor", "t.rotor", status=2)

    def test_the_last_byte_that_fits(self):
        for more, rules in ((0, ["unknown-kind"]), (1, ["too-large"])):
            self.put("hostile.engine.yaml", "#" * ((1 << 20) + more))
            self.assertEqual(self.check("hostile.engine.yaml"), rules)

    def test_long_numbers_everywhere(self):
        """20 digits in the place of every number, one file each."""
        names = []
        for file, text in (("neighbour.engine.yaml", GOOD), ("plain.device.yaml", PROFILE),
                           ("fleet.policy.yaml", POLICY)):
            for start, end in numbers_in(text):
                wrong = text[:start] + "12345678901234567890" + text[end:]
                names.append(self.put(f"{len(names)}/{file}", wrong))
        self.assertGreater(len(names), 70)
        done = self.run_it("check", "--format", "json", *names, status=1)
        found = {name: [] for name in names}
        for finding in done.findings():
            if finding["rule"] != "id-taken":
                found[finding["file"]].append(finding["rule"])
        for name, rules in found.items():
            self.assertEqual(rules, ["number-too-large"], (name, rules))

    def test_teeth_of_nothing(self):
        name = GOOD.replace("id: neighbour", "id: hostile")
        for teeth in ("[0, 30]", "[-20, 30]", "[20, 0]", "[20, 10000]", "[-0, 30]"):
            self.refuse(name.replace("[20, 30]", teeth, 1), "out-of-range")
        for blades in ("0", "-30", "10000"):
            self.refuse(name.replace("blades: 30", f"blades: {blades}"), "out-of-range")

    def test_path_of_forty_meshes(self):
        name = GOOD.replace("id: neighbour", "id: hostile")
        mesh = "      - external: [20, 30]\n"
        self.refuse(name.replace(mesh, mesh * 40), "out-of-range")

    def test_products_that_do_not_fit(self):
        """Each number is small; what they amount to is not."""
        mesh = "      - external: [20, 30]\n"
        many = "".join(f"      - external: [{9973 - 2 * n}, {9949 - 2 * n}]\n" for n in range(22))
        name = GOOD.replace("id: neighbour", "id: hostile").replace(mesh, many)
        name = re.sub(r"(?m)^    (turns|rotation): .*pad.*\n", "", name)
        self.put("hostile.engine.yaml", name)
        for device in ((), ("--device", "plain.device.yaml")):
            self.assertIn("number-too-large", self.check(*device, "hostile.engine.yaml"))
        huge = PROFILE.replace("counts-per-motor-turn: 2000", "counts-per-motor-turn: 99999999")
        huge = re.sub(r"motor: \d+, output: \d+",
                      "motor: 999999999999999999, output: 1/999999999999999999", huge)
        self.put("plain.device.yaml", huge)
        self.assertEqual(self.check("plain.device.yaml"), ["number-too-large"])


class Many(HostileCase):
    """Mistakes without end."""

    def every_format(self, content, least):
        """A thousand are shown of each file, then how many more there are; all are counted."""
        self.put("hostile.engine.yaml", content)
        self.bounded(["hostile.engine.yaml"], ["hostile.engine.yaml"], least)

    def bounded(self, arguments, files, least):
        report = json.loads(self.run_it("check", "--format", "json", *arguments, status=1).out)
        said = [f"{name}: {{}} more findings are not shown: {{}} errors, 0 warnings, {{}} notes; "
                "correct the others first" for name in files]
        self.assertGreater(report["errors"], least)
        self.assertEqual(len(report["remarks"]), len(files))
        left = report["errors"] - len([f for f in report["findings"] if f["severity"] == "error"])
        self.assertEqual(sum(int(remark.split(" shown: ")[1].split(" ")[0])
                             for remark in report["remarks"]), left)
        for name, form in zip(files, said):
            shown = [f for f in report["findings"] if f["file"] == name]
            self.assertEqual(len(shown), 1000)
            self.assertTrue(any(remark.startswith(form.split("{", maxsplit=1)[0])
                                for remark in report["remarks"]))
        text = self.run_it("check", *arguments, status=1).out.decode()
        self.assertEqual(text.count(" more findings are not shown: "), len(files))
        self.assertLess(len(text), 300000 * len(files))
        log = json.loads(self.run_it("check", "--format", "sarif", *arguments, status=1).out)
        run = log["runs"][0]
        self.assertEqual(len(run["results"]), 1000 * len(files))
        told = run["invocations"][0]["toolExecutionNotifications"]
        self.assertEqual([(t["level"], t["message"]["text"]) for t in told],
                         [("warning", remark) for remark in report["remarks"]])
        self.assertTrue(run["invocations"][0]["executionSuccessful"])

    def test_policies_and_profiles(self):
        count = share.number(340000, 2000)
        many = ": [" + "*a," * count + "]\n"
        self.put("hostile.policy.yaml", "policy: 1\nlimits" + many)
        self.put("hostile.device.yaml", "device-profile: 1\nid" + many)
        for arguments in (["hostile.policy.yaml", "hostile.device.yaml"],
                          ["-d", "hostile.device.yaml", "--policy", "hostile.policy.yaml",
                           "neighbour.engine.yaml"]):
            self.bounded(arguments, ["hostile.device.yaml", "hostile.policy.yaml"],
                         2 * count)

    def test_compare(self):
        count = share.number(340000, 2000)
        self.put("hostile.engine.yaml", HEAD + "name: [" + "*a," * count + "]\n")
        done = confined.run(self.folder, "compare", "hostile.engine.yaml", "neighbour.engine.yaml")
        self.assertEqual(done.status, 2)
        self.assertEqual(done.said.count("[alias-refused]"), 1000)
        left = re.search("hostile.engine.yaml: error: ([0-9]+) more findings are not", done.said)
        self.assertIn(int(left[1]) + 1000, range(count, count + 9))
        done = confined.run(self.folder, "compare", "-f", "json", "neighbour.engine.yaml",
                            "hostile.engine.yaml")
        report = json.loads(done.out)
        self.assertEqual(len(report["findings"]), 1000)
        self.assertIn(" more findings are not shown", report["remarks"][0])

    def test_thousands_on_one_line(self):
        row = "{" + ", ".join(f"k{n}: x" for n in range(110)) + "}"
        count = share.number(900, 20)
        rows = ", ".join([row] * count)
        self.every_format("{engine-definition: 1, observations: [" + rows + "]}", 100 * count)

    def test_thousands_of_unknown_keys(self):
        """Beside a known key, and in a map without one."""
        keys = [f"k{n}: 1\n" for n in range(share.number(40000, 1000))]
        self.every_format(HEAD + "".join(keys) + "stages:\n  - " + "    ".join(keys),
                          2 * len(keys))

    def test_a_hundred_thousand(self):
        keys = share.number(1012, 20)
        row = ", ".join(f"k{n}: 1" for n in range(keys))
        self.every_format(HEAD + "stages:\n" + f"  - {{{row}}}\n" * 99, 99 * keys)

    def test_one_key_over_and_over(self):
        count = share.number(90000, 2000)
        self.every_format(HEAD + "name: x\n" * count, count * 8 // 9)

    def test_long_word(self):
        name = GOOD.replace("id: neighbour", "id: hostile")
        for word in ("\u00e9" * 300000, "a" + "\u20ac" * 300000, "x" * 900000):
            self.put("hostile.engine.yaml", name.replace("status: released", f"status: {word}"))
            done = self.run_it("check", "--format", "json", "hostile.engine.yaml", status=1)
            self.assertEqual(done.rules(), ["wrong-shape"])
            self.assertLess(len(done.findings()[0]["message"]), 200)

    def test_largest_definition(self):
        """99 pads and stages, each with all that can be said of it."""
        pad = GOOD[GOOD.index("  - id: crank"):GOOD.index("  - id: starter")]
        stage = GOOD[GOOD.index("  - id: HPC-2"):GOOD.index("  - id: HPT-1")]
        pads = "".join(pad.replace("crank", f"crank-{n}") for n in range(97))
        stages = "".join(stage.replace("HPC-2", f"HPC-{n}") for n in range(3, 98))
        text = GOOD.replace(pad, pad + pads).replace(stage, stage + stages)
        self.put("neighbour.engine.yaml", text)
        for name in ("check", "stops"):
            done = self.run_it(name, "--device", "plain.device.yaml", "--format", "json",
                               "neighbour.engine.yaml", status=1)
            self.assertIn(b"too-many", done.out if name == "check" else done.err)


if __name__ == "__main__":
    unittest.main()
