"""The ids of spools, stages, pads and sources: where they are written, and new ones.

The oracle is the tree that a YAML library reads: after a new name, it differs from the old tree in
the id of the record, and in the values of the keys that name such records. `make test` takes one
record of each kind of a definition, and one of its places.
"""

import functools
import pathlib
import shutil
import subprocess
import sys
import tempfile
import unittest

import yaml

HERE = pathlib.Path(__file__).resolve().parent
sys.path[:0] = [str(HERE), str(HERE.parent)]
import share  # noqa: E402
from server import Server, apply, cursor, marked, part  # noqa: E402

ENGINES = pathlib.Path("engines-demo/engines").resolve()
BROKEN = pathlib.Path("engines-demo/broken").resolve()
EVERY_KEY = pathlib.Path("tests/schema").resolve()
FAILED, INVALID_PARAMS = -32803, -32602
# The list of the records, and the keys that name one.
KINDS = {"spools": ("spool",), "stages": ("stage",), "pads": ("pad",),
         "sources": ("from", "path-from")}
VERSIONED = {"workspace": {"workspaceEdit": {"documentChanges": True}}}


@functools.lru_cache(maxsize=64)
def load(text):
    """The tree, with every value as it is written."""
    return yaml.load(text, yaml.CBaseLoader)


def renamed(tree, kind, old, new):
    """The tree in which the record `old` has the name `new`."""
    def walk(node):
        if isinstance(node, list):
            return [walk(item) for item in node]
        if not isinstance(node, dict):
            return node
        return {key: new if key in KINDS[kind] and value == old else walk(value)
                for key, value in node.items()}
    tree = walk(tree)
    records = tree.get(kind)
    for record in records if isinstance(records, list) else []:
        if record["id"] == old:
            record["id"] = new
    return tree


class Pair(unittest.TestCase):
    """A definition and its cross-check in a folder, and a server."""

    maxDiff = None
    capabilities = None

    def setUp(self):
        self.folder = pathlib.Path(tempfile.mkdtemp(prefix="lsp names-"))
        self.addCleanup(shutil.rmtree, self.folder)
        self.server = Server(cwd=self.folder, stderr=subprocess.DEVNULL,
                             capabilities=self.capabilities)
        self.addCleanup(self.server.stop)

    def uri(self, name):
        return f"file://{self.folder}/{name}".replace(" ", "%20")

    def name_of(self, uri):
        self.assertTrue(uri.startswith(self.uri("")), uri)
        return uri[len(self.uri("")):]

    def write(self, **texts):
        """Writes and opens nothing: {first: text, second: text} are a pair called x."""
        self.texts = {f"x.{kind}.yaml": texts[key] for key, kind in
                      (("first", "engine"), ("second", "cross-check")) if key in texts}
        for name in ("x.engine.yaml", "x.cross-check.yaml"):
            (self.folder / name).unlink(missing_ok=True)
        for name, text in self.texts.items():
            (self.folder / name).write_text(text, encoding="utf-8")

    def open(self, name, text=None):
        """Opens a document and waits for the server; returns its rules and severities."""
        text = self.texts[name] if text is None else text
        self.server.notify("textDocument/didOpen", {"textDocument": {
            "uri": self.uri(name), "languageId": "yaml", "version": 7, "text": text}})
        self.published = {}
        self.answer("nothing", {})
        return self.published.get(name)

    def close(self, name):
        self.server.notify("textDocument/didClose", {"textDocument": {"uri": self.uri(name)}})
        self.answer("nothing", {})

    def answer(self, method, params):
        """The answer to a request; what is published before it is kept."""
        self.server.number += 1
        self.server.send({"jsonrpc": "2.0", "id": self.server.number, "method": method,
                          "params": params})
        while True:
            message = self.server.receive()
            if message.get("id") == self.server.number:
                return message
            if message["method"] == "textDocument/publishDiagnostics":
                self.published[self.name_of(message["params"]["uri"])] = sorted(
                    (d.get("code", ""), d["severity"]) for d in message["params"]["diagnostics"])

    def at(self, method, name, position, **more):
        return self.answer(f"textDocument/{method}", {
            "textDocument": {"uri": self.uri(name)}, "position": position, **more})

    def places(self, name, position, records=True):
        """The references: the file and the range of each."""
        found = self.at("references", name, position,
                        context={"includeDeclaration": records})["result"]
        return [(self.name_of(item["uri"]), item["range"]) for item in found]

    def read(self, places):
        return [part(self.texts[name], at) for name, at in places]

    def rename(self, name, position, new):
        """The texts after a new name, or the reason why there is none."""
        answer = self.at("rename", name, position, newName=new)
        if "error" in answer:
            self.assertEqual(answer["error"]["code"], FAILED)
            return answer["error"]["message"]
        texts = dict(self.texts)
        for uri, edits in answer["result"]["changes"].items():
            texts[self.name_of(uri)] = apply(texts[self.name_of(uri)], edits)
        return texts


class Everywhere(Pair):
    """Each id of the demonstration, from each place where it is written."""

    def cases(self):
        for first in sorted(ENGINES.glob("*.engine.yaml")):
            second = first.with_name(first.name.replace(".engine.", ".cross-check."))
            yield first, second
        yield (EVERY_KEY / "every-key.engine.yaml", EVERY_KEY / "every-key.cross-check.yaml")
        yield (BROKEN / "neighbour.engine.yaml", None)

    def is_record(self, place):
        """Whether the record's own id is written at a place."""
        name, at = place
        line = {"start": {"line": at["start"]["line"], "character": 0}, "end": at["start"]}
        return part(self.texts[name], line).rstrip("\"'").endswith("id: ")

    def look_at(self, name, kind, identity, position):
        """At one place of an id: its places, its definition, a new name."""
        places = self.places(name, position)
        self.assertEqual(set(self.read(places)), {identity})
        self.assertTrue([at for file, at in places if file == name
                         and at["start"]["line"] == position["line"] == at["end"]["line"]
                         and position["character"] in range(at["start"]["character"],
                                                            at["end"]["character"] + 1)])
        lit = self.at("documentHighlight", name, position)["result"]
        self.assertEqual([item["range"] for item in lit],
                         [at for file, at in places if file == name])
        without = self.places(name, position, records=False)
        self.assertEqual(without, [place for place in places if not self.is_record(place)])
        self.assertEqual([(name, item["range"]) for item in lit if item["kind"] == 2],
                         [place for place in without if place[0] == name])
        ready = self.at("prepareRename", name, position)["result"]
        self.assertEqual(ready["placeholder"], identity)
        self.assertEqual(part(self.texts[name], ready["range"]), identity)
        texts = self.rename(name, position, "New-1")
        for file, text in texts.items():
            self.assertEqual(load(text), renamed(load(self.texts[file]), kind, identity, "New-1"))
        return places, texts

    def test_every_id_of_the_demonstration(self):
        count = 0
        for first, second in self.cases():
            texts = {"first": first.read_text(encoding="utf-8")}
            if second and second.exists():
                texts["second"] = second.read_text(encoding="utf-8")
            self.write(**texts)
            tree = load(texts["first"])
            for kind in KINDS:
                records = tree.get(kind, [])
                for record in share.sample(records if isinstance(records, list) else []):
                    with self.subTest(first.name, id=record["id"]):
                        count += self.one(kind, record["id"])
        self.assertGreater(count, share.number(300, least=100))

    def one(self, kind, identity):
        """One id, from the definition and from the cross-check."""
        names = list(self.texts)
        found = self.open(names[0])
        text = self.texts[names[0]]
        begin = text.index(f"\n{kind}:")
        at = begin + text[begin:].index(f"id: {identity}") + 4
        position = marked(text[:at].replace("|", "/") + "|" + text[at:].replace("|", "/"))[1]
        places, after = self.look_at(names[0], kind, identity, position)
        for name, place in share.sample(places):
            if name == names[0]:
                again, _ = self.look_at(name, kind, identity, place["end"])
                self.assertEqual(again, places)
        self.assertEqual(self.rename(names[0], position, identity), self.texts)
        for name in names[1:]:  # it is found there as well
            self.open(name)
            for place in share.sample(place for file, place in places if file == name):
                inside = {**place["start"], "character": place["end"]["character"] - 1}
                self.assertEqual(self.look_at(name, kind, identity, inside)[0], places)
                where = self.at("definition", name, inside)["result"]
                self.assertEqual((self.name_of(where["uri"]), where["range"]), places[0])
            self.close(name)
        # With the new name nothing else is found than before.
        self.close(names[0])
        for name in names[1:]:
            (self.folder / name).write_text(after[name], encoding="utf-8")
        self.assertEqual(self.open(names[0], after[names[0]]), found)
        self.close(names[0])
        for name in names[1:]:
            (self.folder / name).write_text(self.texts[name], encoding="utf-8")
        return len(places)


FIRST = (BROKEN / "neighbour.engine.yaml").read_text(encoding="utf-8")
SECOND = (BROKEN / "cross-check-stale.cross-check.yaml").read_text(encoding="utf-8").replace(
    "{id: cross-check-stale, revision: 1}", "{id: neighbour, revision: 2}")


class Refused(Pair):
    """A new name that cannot be given whole."""

    def reason(self, place, new, first=FIRST, second=SECOND, name="x.engine.yaml"):
        """The reason at the | of a place in the definition, or in the cross-check."""
        self.write(first=first, second=second)
        text, position = marked(cursor(self.texts[name], place))
        self.open(name, text)
        reason = self.rename(name, position, new)
        self.close(name)
        return reason

    def test_what_is_no_id(self):
        for new in ("H P", "-H", "H-", "H--P", "H_P", "H\u00c4", "H: x", "{a", "x" * 61,
                    "H\u202eP", "H\nP", "H\0P"):
            reason = self.reason("id: |HP\n", new)
            self.assertIn("is not an id", reason, new)
            self.assertNotIn("\u202e", reason)
        self.assertEqual(self.reason("id: |HP\n", ""), "the new id is empty; choose another one")
        self.assertIsInstance(self.reason("id: |HP\n", "x" * 60), dict)
        long = self.reason("id: |HP\n", "\u00e4" * 5000)
        self.assertIn("\u00e4" * 60 + "... is not an id", long)
        self.assertNotIn("\u00e4" * 61, long)

    def test_a_document_that_is_too_large(self):
        large = FIRST + "#" * (1 << 20) + "\n"
        self.assertEqual(self.reason("id: |HP\n", "N1", first=large),
                         "the document is larger than any source can be, so its ids are not known; "
                         "find out which file this is")

    def test_a_name_that_is_taken(self):
        for new in ("LP", "lp", "L-P"):
            self.assertEqual(self.reason("id: |HP\n", new),
                             "there is already a spool LP; choose another id")
        self.assertIn("a stage", self.reason("id: |HPC-1", "hpc2"))
        self.assertIn("a pad starter", self.reason("id: |crank", "starter"))
        self.assertIsInstance(self.reason("id: |HP\n", "crank"), dict, "a spool is no pad")
        self.assertIsInstance(self.reason("id: |HP\n", "hp"), dict, "it is its own name")

    def test_a_name_that_only_the_cross_check_has(self):
        second = SECOND.replace("id: LP", "id: XP")
        self.assertIn("a spool XP", self.reason("id: |HP\n", "XP", second=second))

    def test_a_name_that_is_there_twice(self):
        first = FIRST.replace("- id: LP", "- id: HP", 1)
        self.assertIn("two records of the kind spool with the id HP",
                      self.reason("id: |HP\n", "new", first=first))

    def test_errors_can_hide_a_place(self):
        first = FIRST.replace("spool: HP", "spol: HP", 1)
        self.assertIn("the definition has errors", self.reason("id: |HP\n", "new", first=first))
        second = SECOND.replace("blades: 30", "blades: 3o")
        for place, name in (("id: |HP\n", "x.engine.yaml"), ("id: |HP", "x.cross-check.yaml")):
            self.assertIn("the cross-check has errors",
                          self.reason(place, "new", second=second, name=name))
        self.assertIn("the definition has errors",
                      self.reason("id: |HP", "new", first="engine-definition: [\n",
                                  name="x.cross-check.yaml"))

    def test_a_cross_check_that_is_not_read(self):
        self.write(first=FIRST)
        (self.folder / "x.cross-check.yaml").symlink_to("elsewhere")
        text, position = marked(cursor(FIRST, "id: |HP\n"))
        self.open("x.engine.yaml", text)
        self.assertIn("the cross-check", self.rename("x.engine.yaml", position, "new"))
        (self.folder / "x.cross-check.yaml").unlink()

    def test_a_cross_check_that_changed_since_it_was_read(self):
        self.write(first=FIRST, second=SECOND)
        file = self.folder / "x.cross-check.yaml"
        text, position = marked(cursor(FIRST, "id: |HP\n"))
        self.open("x.engine.yaml", text)
        self.texts[file.name] = "# One more line.\n" + SECOND
        file.write_text(self.texts[file.name])
        after = self.rename("x.engine.yaml", position, "R")
        self.assertEqual(load(after[file.name]), renamed(load(SECOND), "spools", "HP", "R"))
        file.write_text(SECOND.replace("blades: 30", "blades: 3o"))
        self.assertIn("the cross-check has errors", self.rename("x.engine.yaml", position, "R"))
        file.unlink()
        after = self.rename("x.engine.yaml", position, "R")
        self.assertEqual(after[file.name], self.texts[file.name], "no edit of a file that is gone")
        self.assertEqual(load(after["x.engine.yaml"]), renamed(load(FIRST), "spools", "HP", "R"))

    def test_where_there_is_no_id(self):
        for place in ("na|me: ", "blades: |", "id: neigh|bour", "|engine-definition",
                      "models: [|"):
            self.assertIn("only these can be renamed", self.reason(place, "new"), place)
            text, position = marked(cursor(FIRST, place))
            self.open("x.engine.yaml", text)
            self.assertEqual(self.at("prepareRename", "x.engine.yaml",
                                     position)["error"]["code"], FAILED)
            self.assertEqual(self.places("x.engine.yaml", position), [])
            self.assertEqual(self.at("documentHighlight", "x.engine.yaml", position)["result"], [])

    def test_a_request_without_a_name(self):
        self.write(first=FIRST)
        self.open("x.engine.yaml")
        answer = self.at("rename", "x.engine.yaml", {"line": 0, "character": 0})
        self.assertEqual(answer["error"]["code"], INVALID_PARAMS)


class Written(Pair):
    """How the new name is written."""

    def test_in_the_quotes_that_are_there(self):
        first = FIRST.replace("- id: HP\n", "- id: 'HP'\n").replace("spool: HP", 'spool: "HP"', 1)
        self.write(first=first)
        text, position = marked(cursor(first, "id: '|HP'"))
        self.open("x.engine.yaml", text)
        after = self.rename("x.engine.yaml", position, "R")["x.engine.yaml"]
        self.assertIn("- id: 'R'\n", after)
        self.assertIn('spool: "R"', after)
        self.assertEqual(after.replace("'R'", "'HP'").replace('"R"', '"HP"')
                         .replace("spool: R", "spool: HP"), first)

    def test_in_json(self):
        text = (ENGINES / "snath-5.engine.json").read_text(encoding="utf-8")
        name = "x.engine.json"
        self.write()
        self.texts = {name: text}
        self.open(name)
        position = marked(cursor(text, '"id": "|C-1"'))[1]
        after = self.rename(name, position, "C-9")[name]
        self.assertEqual(load(after), renamed(load(text), "stages", "C-1", "C-9"))
        self.assertIn('"id": "C-9"', after)

    def test_a_cross_check_that_is_alone(self):
        self.write(second=SECOND)
        name = "x.cross-check.yaml"
        text, position = marked(cursor(SECOND, "id: |HP"))
        self.open(name, text)
        after = self.rename(name, position, "R")
        self.assertEqual(load(after[name]), renamed(load(SECOND), "spools", "HP", "R"))
        self.assertIsNone(self.at("definition", name, position)["result"])


class Versioned(Pair):
    """A client that takes edits with the versions of the documents they were made for."""

    capabilities = VERSIONED

    def test_open_and_not(self):
        self.write(first=FIRST, second=SECOND)
        text, position = marked(cursor(FIRST, "id: |HP\n"))
        self.open("x.engine.yaml", text)
        changes = self.at("rename", "x.engine.yaml", position,
                          newName="R")["result"]["documentChanges"]
        self.assertEqual([(self.name_of(c["textDocument"]["uri"]), c["textDocument"]["version"])
                          for c in changes],
                         [("x.engine.yaml", 7), ("x.cross-check.yaml", None)])
        for change in changes:
            name = self.name_of(change["textDocument"]["uri"])
            self.assertEqual(load(apply(self.texts[name], change["edits"])),
                             renamed(load(self.texts[name]), "spools", "HP", "R"))


if __name__ == "__main__":
    unittest.main()
