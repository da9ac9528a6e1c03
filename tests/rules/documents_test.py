"""Sources of a definition and the source register: which part rests on which revision."""

import json
import unittest

import checking
from checking import changed

SOURCE = 'source: "Invented for demonstration: training notes of Saltmere Air Ferries"\n'
ONE = "sources:\n  - {id: notes, document: Notes, revision: %s, date: %s}\n"
REGISTER = ("source-register: 1\ndocuments:\n"
            "  - {document: Notes, revision: 12, date: 2026-01-15, withdrawn: [9, 11]}\n"
            "  - {document: Card, revision: C, date: 2025-05-05}\n")
SECOND = ("cross-check: 1\nof: {id: neighbour, revision: 2}\nread-from: x\nread-on: 2026-06-02\n")
PARTS = ["spool HP", "spool LP", "stage FAN", "stage HPC-1", "stage HPC-2", "stage HPT-1",
         "pad crank", "pad starter", "observation 1", "observation 2"]


class Documents(checking.Folder):
    """A definition with sources, below a register."""

    def setUp(self):
        super().setUp()
        self.put("rotortab.sources.yaml", REGISTER)

    def define(self, sources, *pairs):
        self.put("neighbour.engine.yaml", changed((SOURCE, sources), *pairs))

    def told(self, rule, status=0):
        """The findings of the rule; the run ends with the status."""
        ended, found = checking.findings(self.folder, "neighbour.engine.yaml")
        self.assertEqual(ended, status, found)
        return [item for item in found if item["rule"] == rule]

    def parts(self, rule="source-superseded"):
        return [item["message"].split(" rests on ")[0].split(" does not")[0]
                for item in self.told(rule)]


class Standing(Documents):
    """What the register says of one revision."""

    def superseded(self, revision, date):
        self.define(ONE % (revision, date))
        return self.told("source-superseded"), self.told("source-unregistered")

    def test_current(self):
        self.assertEqual(self.superseded(12, "2026-01-15"), ([], []))

    def test_older_at_every_part(self):
        old, unknown = self.superseded(10, "2024-02-02")
        self.assertEqual([item["message"].split(" rests on ")[0] for item in old], PARTS)
        self.assertEqual(unknown, [])
        for item in old:
            self.assertEqual(item["severity"], "warning")
            self.assertIn("revision 10 of Notes; revision 12 of 2026-01-15 is current",
                          item["message"])
            self.assertIn("revision 12", item["remedy"])
            self.assertEqual([place["file"] for place in item["related"]],
                             ["neighbour.engine.yaml", "rotortab.sources.yaml"])

    def test_the_day_of_the_current_revision_decides_what_is_older(self):
        self.assertEqual(len(self.superseded("10", "2026-01-15")[0]), len(PARTS))
        old, unknown = self.superseded("10", "2026-01-16")
        self.assertEqual(old, [])
        self.assertEqual(len(unknown), 1)

    def test_withdrawn_wins_over_the_day(self):
        old, unknown = self.superseded(11, "2027-01-01")
        self.assertEqual(len(old), len(PARTS))
        self.assertIn("which is withdrawn", old[0]["message"])
        self.assertIn("revision 12", old[0]["remedy"])
        self.assertEqual(unknown, [])

    def test_a_whole_document_withdrawn(self):
        self.put("rotortab.sources.yaml", REGISTER.replace("[9, 11]", "[9, 11, 12]"))
        old, _ = self.superseded(12, "2026-01-15")
        self.assertEqual(len(old), len(PARTS))
        self.assertIn("No revision is current", old[0]["remedy"])

    def test_another_day_of_the_current_revision(self):
        old, (unknown,) = self.superseded(12, "2026-01-14")
        self.assertEqual(old, [])
        self.assertIn("is of 2026-01-14 here, and of 2026-01-15", unknown["message"])

    def test_a_document_that_is_not_there(self):
        self.define((ONE % (10, "2024-02-02")).replace("Notes", "Note"))
        (unknown,) = self.told("source-unregistered")
        self.assertEqual(unknown["remedy"], "Did you mean Notes?")
        self.assertEqual(self.parts(), [])

    def test_no_register(self):
        (self.folder / "rotortab.sources.yaml").unlink()
        self.assertEqual(self.superseded(10, "2024-02-02"), ([], []))

    def test_a_draft(self):
        self.define(ONE % (10, "2024-02-02"), ("status: released", "status: draft"))
        self.assertEqual({item["severity"] for item in self.told("source-superseded")}, {"note"})

    def test_a_policy_raises_it(self):
        self.put("rotortab.policy.yaml", "policy: 1\nrules: {source-superseded: error}\n")
        self.define(ONE % (10, "2024-02-02"))
        self.assertEqual(len(self.told("source-superseded", 1)), len(PARTS))

    def test_the_nearest_register(self):
        self.define(ONE % (10, "2024-02-02"))
        self.put("near/neighbour.engine.yaml", (self.folder / "neighbour.engine.yaml").read_text())
        self.put("near/rotortab.sources.yaml", REGISTER.replace("revision: 12", "revision: 10")
                 .replace("2026-01-15", "2024-02-02"))
        self.assertEqual(self.found("near/neighbour.engine.yaml"), [])
        self.assertEqual(len(self.parts()), len(PARTS))


class From(Documents):
    """Which source a part names."""

    TWO = ONE % (12, "2026-01-15") + "  - {id: card, document: Card, revision: A, " \
                                     "date: 2020-01-01}\n"
    ALL = [(f"  - id: {name}\n", f"  - id: {name}\n    from: notes\n")
           for name in ("HP", "LP", "FAN", "HPC-1", "HPC-2", "HPT-1", "starter", "crank")]

    def test_each_part_names_its_own(self):
        for name, part in (("HP", "spool HP"), ("HPC-1", "stage HPC-1"), ("crank", "pad crank")):
            pairs = [(old, new.replace("from: notes", "from: card") if f" {name}\n" in old else new)
                     for old, new in self.ALL]
            self.define(self.TWO, *pairs)
            self.assertEqual(self.parts(), [part])

    def test_the_path_of_a_pad(self):
        pairs = self.ALL[:-1] + [("  - id: crank\n",
                                  "  - id: crank\n    from: notes\n    path-from: card\n")]
        self.define(self.TWO, *pairs)
        self.assertEqual(self.parts(), ["path of pad crank"])

    def test_an_observation(self):
        self.define(self.TWO, *self.ALL, ("  - pad: crank\n", "  - pad: crank\n    from: card\n"))
        self.assertEqual(self.parts(), ["observation 1"])

    def test_the_cross_check(self):
        self.define(self.TWO, *self.ALL)
        self.put("neighbour.cross-check.yaml", SECOND + "from: card\n")
        (old,) = self.told("source-superseded")
        self.assertEqual((old["file"], old["line"]), ("neighbour.cross-check.yaml", 5))
        self.put("neighbour.cross-check.yaml", SECOND + "from: crad\n")
        (lost,) = self.told("reference-unknown", 1)
        self.assertEqual(lost["message"], "the definition has no source crad")
        self.assertEqual(lost["remedy"], "Did you mean card?")

    def test_several_sources_and_none_named(self):
        self.define(self.TWO)
        self.assertEqual(self.parts("source-unnamed"), PARTS[:-2])
        self.assertEqual(self.parts(), [], "nobody knows what rests on it")
        self.define(ONE % (12, "2026-01-15"))
        self.assertEqual(self.parts("source-unnamed"), [])

    def test_without_a_list(self):
        """An id that names nothing is found without a list too."""
        self.define(SOURCE, ("  - id: HPC-1\n", "  - id: HPC-1\n    from: notes\n"))
        (lost,) = self.told("reference-unknown", 1)
        self.assertEqual(lost["message"], "this file has no source notes")

    def test_a_waiver_for_one_stage(self):
        waiver = ("\nwaive:\n  - rule: source-superseded\n    because: it is being compared\n"
                  "    until: 2026-12-31\n    stage: HPC-2\n")
        self.put("neighbour.engine.yaml",
                 changed((SOURCE, ONE % (10, "2024-02-02"))) + waiver)
        waived = [item["message"] for item in self.told("source-superseded") if "waived" in item]
        self.assertEqual([said.split(" rests on ")[0] for said in waived], ["stage HPC-2"])


class Registers(Documents):
    """The register itself."""

    def test_named_and_counted(self):
        done = checking.run(self.folder, "check", "rotortab.sources.yaml")
        self.assertIn(b"1 policy, 1 source register: 0 errors", done.stdout + done.stderr)
        done = checking.run(self.folder, "check", ".")
        self.assertIn(b"1 source register: 0 errors", done.stdout + done.stderr)

    def test_a_broken_line_leaves_the_others(self):
        """Its findings come once, and every other document is compared."""
        self.put("rotortab.sources.yaml", REGISTER + "  - {document: Third, revision: 1}\n")
        self.define(ONE % (10, "2024-02-02"))
        status, found = checking.findings(self.folder, "neighbour.engine.yaml")
        rules = [item["rule"] for item in found]
        self.assertEqual((status, rules.count("missing-key")), (1, 1))
        self.assertEqual(rules.count("source-superseded"), len(PARTS))

    def test_another_kind_under_its_name(self):
        self.put("rotortab.sources.yaml", "policy: 1\n")
        status, found = checking.findings(self.folder, self.put("x/neighbour.engine.yaml",
                                                                changed()))
        self.assertEqual((status, [item["message"] for item in found]),
                         (1, ["this is policy, not a source register"]))

    def test_many_documents(self):
        """Ten thousand are too many, one less are found by name."""
        line = "  - {document: D%d, revision: 2, date: 2025-05-05}\n"
        head = "source-register: 1\ndocuments:\n"
        self.put("rotortab.sources.yaml", head + "".join(line % i for i in range(9999)))
        self.define((ONE % (1, "2024-02-02")).replace("Notes", "D4711"))
        self.assertEqual(len(self.parts()), len(PARTS))
        self.put("rotortab.sources.yaml", head + "".join(line % i for i in range(10000)))
        self.assertEqual([item["file"] for item in self.told("out-of-range", 1)],
                         ["rotortab.sources.yaml"])


class Resting(Documents):
    """`index --source`: definitions, parts, and tables by their manifest."""

    def setUp(self):
        super().setUp()
        self.define(From.TWO, *From.ALL[:-1],
                    ("  - id: crank\n", "  - id: crank\n    from: notes\n    path-from: card\n"))
        done = checking.run(self.folder, "compile", "-d", "plain.device.yaml", "-o", "out.rotor",
                            "--manifest", "out.json", "neighbour.engine.yaml")
        self.assertEqual(done.returncode, 0, done.stderr)

    def index(self, source, *operands, status=0, form="json"):
        done = checking.run(self.folder, "index", "--source", source, "-f", form, *operands)
        self.assertEqual(done.returncode, status, done.stderr)
        return (json.loads(done.stdout) if form == "json" and status == 0
                else (done.stdout + done.stderr).decode())

    def test_parts(self):
        found = self.index("Card", "neighbour.engine.yaml")
        (definition,) = found["definitions"]
        self.assertEqual(definition, {
            "id": "neighbour", "revision": 2, "status": "released", "document": "Card",
            "document_revision": "A", "document_date": "2020-01-01",
            "parts": ["path of pad crank"]})
        self.assertEqual(found["tables"], [])
        (definition,) = self.index("Notes", "neighbour.engine.yaml")["definitions"]
        self.assertEqual(definition["parts"], PARTS[:-2])

    def test_revisions(self):
        self.assertEqual(len(self.index("Card@A", "neighbour.engine.yaml")["definitions"]), 1)
        self.assertEqual(self.index("Card@B", "neighbour.engine.yaml"),
                         {"definitions": [], "tables": []})
        said = self.index("Cart@A", "neighbour.engine.yaml", status=2)
        self.assertIn("names a document Cart@A; did you mean Card?", said)

    def test_a_name_with_the_sign(self):
        self.define((ONE % (1, "2024-02-02")).replace("Notes", "Notes@home"))
        for asked in ("Notes@home", "Notes@home@1"):
            self.assertEqual(len(self.index(asked, "neighbour.engine.yaml")["definitions"]), 1)
        self.index("Notes", "neighbour.engine.yaml", status=2)

    def test_tables(self):
        found = self.index("Card@A", "out.json")
        self.assertEqual(found["definitions"], [])
        (table,) = found["tables"]
        self.assertEqual((table["file"], table["device"]), ("out.rotor", "plain"))
        (engine,) = table["engines"]
        self.assertEqual((engine["id"], engine["revision"], engine["parts"]),
                         ("neighbour", 2, ["path of pad crank"]))
        both = self.index("Card", "out.json", "neighbour.engine.yaml")
        self.assertEqual((len(both["definitions"]), len(both["tables"])), (1, 1))
        said = self.index("Card", "out.json", "neighbour.engine.yaml", form="text")
        self.assertIn("table out.rotor, for plain\n  neighbour, revision 2: Card, revision A of "
                      "2020-01-01\n    path of pad crank\n\n1 definition, 1 table\n", said)
        said = self.index("Card", "out.json", "neighbour.engine.yaml", form="csv")
        self.assertIn('\n"out.rotor","plain","neighbour",2,,"Card","A","2020-01-01",'
                      '"path of pad crank"\n', said)
        self.assertIn('\n,,"neighbour",2,"released","Card","A","2020-01-01","path of pad crank"\n',
                      said)

    def test_the_manifest_names_the_register(self):
        manifest = json.loads((self.folder / "out.json").read_text())
        self.assertEqual([entry["file"] for entry in manifest["registers"]],
                         ["rotortab.sources.yaml"])
        self.assertEqual([entry["file"] for entry in manifest["policies"]],
                         ["rotortab.policy.yaml"])

    def test_manifests_that_are_not_whole(self):
        manifest = json.loads((self.folder / "out.json").read_text())
        document = manifest["sources"][0]["documents"][0]
        for holder, key in ((manifest, "sources"), (manifest["sources"][0], "documents"),
                            (manifest["sources"][0], "id"), (manifest["sources"][0], "compiled"),
                            (document, "date"), (document, "parts"), (document, "document"),
                            (manifest["tables"][0], "file"), (manifest["tables"][0], "device")):
            for value in (None, 3, {}):
                kept = holder[key]
                if value is None:
                    del holder[key]
                else:
                    holder[key] = value
                self.put("half.json", json.dumps(manifest))
                holder[key] = kept
                said = self.index("Card", "half.json", status=2)
                self.assertIn("half.json is not a whole manifest", said, (key, value))
        document["parts"] = [[]]
        self.put("half.json", json.dumps(manifest))
        self.index("Card", "half.json", status=2)
        text = (self.folder / "out.json").read_text()
        self.put("half.json", text[:len(text) // 2])
        self.index("Card", "half.json", status=1)

    def test_a_hostile_manifest(self):
        """Its texts are shown without what they would do to a terminal."""
        manifest = json.loads((self.folder / "out.json").read_text())
        manifest["tables"][0]["file"] = "x\u001b[2J\n"
        manifest["sources"][0]["documents"][1]["parts"] = ["pad \u001b]0;x\u0007"]
        self.put("bad.json", json.dumps(manifest))
        said = self.index("Card", "bad.json", form="text")
        self.assertNotRegex(said, "[\u0000-\u0009\u000b-\u001f]")

    def test_a_draft_that_is_left_out(self):
        """It is a source of the run, but it is not in the table."""
        text = changed((SOURCE, ONE % (10, "2024-02-02")), ("status: released", "status: draft"),
                       ("id: neighbour", "id: other"), ("Hayrake 6, Hayrake 6B", "Other"))
        self.put("other.engine.yaml", text)
        for more, engines in (((), ["neighbour"]), (("--drafts",), ["neighbour", "other"])):
            done = checking.run(self.folder, "compile", "-d", "plain.device.yaml", "-o",
                                "out.rotor", "--manifest", "out.json", *more,
                                "neighbour.engine.yaml", "other.engine.yaml")
            self.assertEqual(done.returncode, 0, done.stderr)
            (table,) = self.index("Notes", "out.json")["tables"]
            self.assertEqual([engine["id"] for engine in table["engines"]], engines)

    def test_a_definition_with_an_error(self):
        self.put("bad.engine.yaml", "engine-definition: 1\n")
        said = self.index("Card", "neighbour.engine.yaml", "bad.engine.yaml", status=1)
        self.assertIn("1 definition with an error is not in the list", said)


if __name__ == "__main__":
    unittest.main()
