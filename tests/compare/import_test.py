"""The device's library and `compare` say the same of two tables.

Pairs of tables of the demonstration, of random definitions with changes, and of tables with one
field changed and both checksums right. `compare` walks every byte of both tables by code of its
own; what it reports of an engine decides what the device must find.
"""

import json
import os
import pathlib
import random
import re
import subprocess
import sys
import tempfile
import unittest

ROOT = pathlib.Path(__file__).resolve().parents[2]
sys.path[1:1] = [str(ROOT / "tests" / name) for name in ("property", "table", "")]
import devices  # noqa: E402
import generate  # noqa: E402
import layout  # noqa: E402
import reader  # noqa: E402
import sealed_test  # noqa: E402
import share  # noqa: E402

PROGRAM = pathlib.Path(os.environ.get("ROTORTAB", ROOT / "build" / "rotortab")).resolve()
IMPORT = pathlib.Path(os.environ.get("ROTORTAB_BUILD", ROOT / "build")) / "tests/compare/import"
DEMO = ROOT / "engines-demo"
(SAME, ADDED, NEWER, GONE, OLDER, OTHER_CONTENT, OTHER_PROFILE, SIGNATURE_MISSING,
 OTHER_DEVICE) = range(9)
# What the device does not act on and a new text of a definition may change
ASIDE = {"status", "text"}
SEED = 14


def run(*arguments):
    return subprocess.run([PROGRAM, *arguments], capture_output=True, text=True, check=False)


def expected(report, ids):
    """The finding of each engine, from what `compare` reports; `ids` are those of the new table."""
    findings = dict.fromkeys(ids, SAME)
    for engine in report["engines"]:
        before, after = engine["revision_before"], engine["revision_after"]
        fields = {change["field"] for change in engine["changes"]}
        if engine["fate"] in ("added", "renamed"):
            findings[engine["id"]] = ADDED
        if engine["fate"] == "gone":
            findings[engine["id"]] = GONE
        elif engine["fate"] == "renamed":
            old, = (c["before"] for c in engine["changes"] if c["field"] == "id")
            findings[old] = GONE
        elif engine["fate"] == "changed" and before != after:
            findings[engine["id"]] = NEWER if after > before else OLDER
        elif engine["fate"] == "changed" and fields - ASIDE:
            findings[engine["id"]] = OTHER_CONTENT
    return findings


def as_shown(text):
    """Bytes of a table's text, as the program shows them: a control character is replaced."""
    return re.sub(r"[\x00-\x1f\x7f]", "\ufffd", text.decode("utf-8", "replace"))


class Names:
    """Whom a table is for and what it holds, by a reader that is not the program's."""

    def __init__(self, path):
        table = reader.Table(path.read_bytes())

        def text(offset):
            return as_shown(table.pool[offset:table.pool.index(b"\0", offset)])

        self.device = text(table.device[0].id)
        self.ids = [text(engine.id) for engine in table.engines]
        found = {(name.engine, text(name.text)) for name in table.names}
        # Each engine is found by its own id, as rotor-table(5) says (W6).
        self.own = found.issuperset(enumerate(self.ids))


class Agreement(unittest.TestCase):
    """What all pairs share."""

    @classmethod
    def setUpClass(cls):
        cls.scratch = tempfile.TemporaryDirectory()
        cls.addClassCleanup(cls.scratch.cleanup)
        cls.folder = pathlib.Path(cls.scratch.name)

    def library(self, profile, pairs):
        """(verdict, finding of each engine) of each pair; None where the device refuses one."""
        done = subprocess.run([IMPORT, profile], input="".join(f"{a} {b}\n" for a, b in pairs),
                              capture_output=True, text=True, check=True)
        answers = []
        for line in done.stdout.splitlines():
            word, _, rest = line.partition(" ")
            if word == "refused":
                answers.append(None)
            elif word == "verdict":
                answers.append((int(rest), {}))
            else:
                finding, _, name = rest.partition(" ")
                answers[-1][1][as_shown(bytes.fromhex(name))] = int(finding)
        self.assertEqual(len(answers), len(pairs))
        return answers

    def agree(self, profile, pairs):
        """Compares both answers on each pair; returns which findings and verdicts there were."""
        met = set()
        tables = {}  # a table is in several pairs
        for (old, new), answer in zip(pairs, self.library(profile, pairs)):
            if answer is None:
                continue
            for path in (old, new):
                if path not in tables:
                    tables[path] = Names(path)
            if not tables[old].own or not tables[new].own:
                continue  # the device looks an engine up by its name, and `compare` by its id
            done = run("compare", "--format", "json", old, new)
            if not done.stdout or "cannot" in done.stderr:
                continue  # no pair that a device or a person could look at
            verdict, findings = answer
            report = json.loads(done.stdout)
            want = expected(report, tables[new].ids)
            profiles = {change["field"] for change in report["table"]} - {"profile", "bytes"}
            with self.subTest(old=old.name, new=new.name):
                if not profiles:  # compare does not report again what follows from the device
                    self.assertEqual(findings, want, done.stdout)
                worst = max([*findings.values(), OTHER_PROFILE if profiles else SAME,
                             SAME if tables[new].device == profile else OTHER_DEVICE])
                self.assertEqual(verdict, worst)
            met.update(findings.values(), [verdict])
        return met


class Demonstration(Agreement):
    """Every two of some tables of the demonstration, for one device."""

    def table(self, name, *sources):
        path = self.folder / name
        done = run("compile", "--drafts", "-d", DEMO / "devices" / "slipway-4.device.yaml", "-o",
                   path, *sources)
        self.assertEqual(done.returncode, 0, done.stderr)
        return path

    def edited(self, engine, name, *edits):
        """A copy of a definition, in a folder of that name."""
        source = next((DEMO / "engines").glob(f"{engine}.engine.*"))
        text = source.read_text("utf-8")
        for old, new in edits:
            self.assertIn(old, text)
            text = text.replace(old, new, 1)
        path = self.folder / name / source.name
        path.parent.mkdir(exist_ok=True)
        path.write_text(text, "utf-8")
        return path

    def test_every_two(self):
        engines = DEMO / "engines"
        quern = next(engines.glob("quern-12.*"))
        others = [path for path in sorted(engines.glob("*.engine.*")) if path != quern]
        tables = [
            self.table("all.rotor", engines),
            self.table("others.rotor", *others),
            self.table("quern.rotor", quern),
            self.table("later.rotor", self.edited("quern-12", "later", ("revision: 4",
                                                                        "revision: 5")), *others),
            self.table("edited.rotor", self.edited("quern-12", "edited", ("two locking lugs",
                                                                          "a locking lug"))),
            self.table("comment.rotor", self.edited("quern-12", "comment", ("\n", "\n\n"))),
            self.table("draft.rotor", self.edited("quern-12", "draft", ("released", "draft"))),
        ]
        met = self.agree("slipway-4", [(a, b) for a in tables for b in tables])
        self.assertEqual(met, {SAME, ADDED, NEWER, GONE, OLDER, OTHER_CONTENT})

    def test_signatures_and_devices(self):
        plain = self.table("plain.rotor", DEMO / "engines")
        signed = self.folder / "signed.rotor"
        signed.write_bytes(layout.signed(plain.read_bytes()))
        self.assertEqual([answer[0] for answer in self.library("slipway-4", [
            (plain, signed), (signed, signed), (signed, plain)])], [SAME, SAME, SIGNATURE_MISSING])
        self.assertEqual(self.library("skiff-1", [(plain, plain)])[0][0], OTHER_DEVICE)


class SingleFields(Agreement):
    """Tables with one field changed, as far as a device opens them and `compare` shows them."""

    def test_changes(self):
        table = self.folder / "base.rotor"
        done = run("compile", "--drafts", "-d", DEMO / "devices" / "slipway-4.device.yaml", "-o",
                   table, DEMO / "engines" / "quern-12.engine.yaml",
                   DEMO / "engines" / "billhook-8.engine.yaml",
                   DEMO / "engines" / "snath-5.engine.json")
        self.assertEqual(done.returncode, 0, done.stderr)
        content = table.read_bytes()
        changes = [change for change in sealed_test.changes_of(content)
                   if change[3] not in ("header", "directory") and
                   change[3:6:2] != ("ENGINES", "id")]  # `compare` then speaks of a renaming
        # Both ways, these four have each answer, whatever else is in the sample.
        counter = layout.section(content, layout.DEVICE)[0] + 42
        revision = layout.section(content, layout.ENGINES)[0] + 8
        telling = {(counter, 64), (revision, content[revision] + 1),
                   (content.index(b"snath-5\0"), ord("s") ^ 1),
                   (content.index(b"Snath 5\0"), ord("S") ^ 1)}
        self.assertLessEqual(telling, {(change[0], change[2]) for change in changes})
        pairs = []
        for number, (at, size, value, *name) in enumerate(share.sample(
                changes, kind=lambda change: (*change[3:6:2], (change[0], change[2]) in telling))):
            changed = bytearray(content)
            changed[at:at + size] = value.to_bytes(size, "little")
            path = self.folder / f"{number}-{'-'.join(map(str, name))}-{value}.rotor"
            path.write_bytes(layout.seal(changed))
            both = [(table, path), (path, table)]
            whole = share.COUNT >= share.WHOLE or (at, value) in telling
            pairs += both if whole else [both[number % 2]]
        met = self.agree("slipway-4", pairs)
        self.assertLessEqual({SAME, ADDED, NEWER, GONE, OLDER, OTHER_CONTENT, OTHER_PROFILE}, met)


class RandomDefinitions(Agreement):
    """Fleets before and after a release: engines come, go, rise, and change with and without it."""

    CHANGES = (
        lambda rng, d: None,
        lambda rng, d: d.update(name=d["name"] + " B"),
        lambda rng, d: d.update(models=d["models"] + [d["name"] + " Z"]),
        lambda rng, d: d.update(source="Another sheet"),
        lambda rng, d: d.update(status="draft"),
        lambda rng, d: d.update(stages=d["stages"][::-1]),
        lambda rng, d: d.update(pads=d["pads"][::-1]),
        lambda rng, d: d.update(spools=d["spools"][::-1]),
        lambda rng, d: rng.choice(d["stages"]).pop("known-blades", None),
        lambda rng, d: rng.choice(d["stages"]).update({"blade-one": "a file mark"}),
        lambda rng, d: rng.choice(d["stages"]).update(role="fan"),
        lambda rng, d: rng.choice(d["stages"]).update(clocking="12.5 deg"),
        lambda rng, d: rng.choice(d["stages"]).pop("clocking", None),
        lambda rng, d: rng.choice(d["spools"]).update({"never-backwards": "yes"}),
        lambda rng, d: rng.choice(d["stages"]).update(port={"id": "P9", "clock": "7:15"}),
        lambda rng, d: rng.choice(d["pads"]).update(drives="both"),
    )

    def fleet(self, rng, base, count, profile, number):
        """The sources of a release, and those of the next one."""
        for name in ("old", "new"):
            folder = self.folder / f"{number}-{name}"
            folder.mkdir()
            for index in range(base, base + count * devices.DEVICES, devices.DEVICES):
                definition = generate.definition(SEED, index, profile)
                if rng.random() < 0.2:
                    continue
                if name == "new":
                    rng.choice(self.CHANGES)(rng, definition)
                    definition["revision"] += rng.choice((0, 0, 0, 0, 1, -1))
                text = generate.definition_text(SEED, index, definition)
                (folder / f"{definition['id']}.engine.yaml").write_text(text, "utf-8")

    def table(self, number, name):
        path = self.folder / f"{number}-{name}.rotor"
        sources = sorted((self.folder / f"{number}-{name}").iterdir())
        done = run("compile", "--drafts", "-d", self.folder / "prop.device.yaml", "-o", path,
                   *sources)
        return path if done.returncode == 0 and sources else None

    def test_releases(self):
        rng = random.Random(SEED)
        pairs = []
        profile = devices.device(SEED, 0)
        (self.folder / "prop.device.yaml").write_text(
            generate.profile_text(SEED, 0, profile), "utf-8")
        wanted = share.number(1500, least=60)
        for number in range(wanted):
            self.fleet(rng, rng.randrange(200) * devices.DEVICES, 4, profile, number)
            pair = (self.table(number, "old"), self.table(number, "new"))
            pairs += [pair] if all(pair) else []
        self.assertGreater(len(pairs), wanted / 2)
        self.assertEqual(self.agree("prop", pairs),
                         {SAME, ADDED, NEWER, GONE, OLDER, OTHER_CONTENT})


if __name__ == "__main__":
    unittest.main()
