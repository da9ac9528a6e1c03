"""The profile and the policies that judge documents, when one of them is wrong or changes.

Each change shows on every open document that depends on it, without an action of the user.
"""

import pathlib
import shutil
import subprocess
import sys
import tempfile
import unittest

sys.path.insert(0, str(pathlib.Path(__file__).resolve().parent))
from server import DEMO, Server  # pylint: disable=wrong-import-position

DEVICE = "devices/slipway-4.device.yaml"
POLICY = "rotortab.policy.yaml"
WATCHES = {"workspace": {"didChangeWatchedFiles": {"dynamicRegistration": True}}}
ENGINES = ("quern-12", "coulter-70")


class Judged(unittest.TestCase):
    """A copy of the demonstration, with two open definitions without backlash at a pad."""

    def setUp(self):
        self.folder = pathlib.Path(tempfile.mkdtemp(prefix="lsp-"))
        self.addCleanup(shutil.rmtree, self.folder)
        self.demo = self.folder / "demo"
        shutil.copytree(DEMO, self.demo)
        self.texts = {name: (self.demo / f"engines/{name}.engine.yaml").read_text()
                      for name in ENGINES}

    def serve(self, *arguments, **how):
        server = Server(*(arguments or ("--device", DEVICE)), cwd=self.demo,
                        stderr=subprocess.DEVNULL, **how)
        self.addCleanup(server.process.communicate)
        return server

    def uri(self, name):
        return f"file://{self.demo}/{name}" if "." in name else \
            f"file://{self.demo}/engines/{name}.engine.yaml"

    def edit(self, name, old, new):
        """Changes a file on disk, and returns its new text."""
        path = self.demo / name
        text = path.read_text()
        self.assertIn(old, text)
        path.write_text(text.replace(old, new, 1))
        return path.read_text()

    def all(self, server):
        """Every message until the server answers a request: ({uri: errors}, messages shown)."""
        server.number += 1
        server.send({"jsonrpc": "2.0", "id": server.number, "method": "nothing"})
        published, shown = {}, []
        while True:
            message = server.receive()
            if message.get("id") == server.number:
                return published, shown
            if message["method"] == "window/showMessage":
                self.assertEqual(message["params"]["type"], 1)
                shown.append(message["params"]["message"])
            elif message["method"] == "textDocument/publishDiagnostics":
                uri = message["params"]["uri"]
                self.assertNotIn(uri, published, "each once")
                published[uri] = [d["message"] for d in message["params"]["diagnostics"]
                                  if d["severity"] == 1]

    def open(self, server, *names):
        for name in names:
            text = self.texts.get(name) or (self.demo / name).read_text()
            server.notify("textDocument/didOpen",
                          {"textDocument": {"uri": self.uri(name), "text": text}})

    def change(self, server, name, text):
        server.notify("textDocument/didChange", {"textDocument": {"uri": self.uri(name)},
                                                 "contentChanges": [{"text": text}]})
        return self.all(server)

    def watched(self, server):
        server.notify("workspace/didChangeWatchedFiles", {"changes": []})
        return self.all(server)

    def assert_problem(self, errors, *words):
        """One error on every definition, with these words."""
        for name in ENGINES:
            (found,) = errors[self.uri(name)]
            for word in words:
                self.assertIn(word, found)

    def assert_none(self, errors):
        self.assertEqual(errors, {self.uri(name): [] for name in ENGINES})


class Slips(Judged):
    """In the profile or in a policy."""

    def test_in_the_profile(self):
        self.edit(DEVICE, "square:", "sqare:")
        server = self.serve()
        self.open(server, *ENGINES, POLICY)
        errors, (shown,) = self.all(server)
        self.assert_problem(errors, f"{DEVICE}:", "sqare", "no rule that needs the device",
                            "Correct the profile")
        self.assertEqual(errors[self.uri(POLICY)], [], "a policy is on no device")
        self.assertIn("sqare", shown)

    def test_in_a_policy(self):
        self.edit(POLICY, "limits:", "limit:")
        server = self.serve()
        self.open(server, *ENGINES, DEVICE)
        errors, (shown,) = self.all(server)
        self.assert_problem(errors, f"{POLICY}:", "limit", "is ignored", "Correct the policy")
        self.assertEqual(len(errors[self.uri(DEVICE)]), 1)
        self.assertIn("limit", shown)

    def test_in_the_policy_of_some(self):
        (self.demo / "engines/rotortab.policy.yaml").write_text("policy: 1\nrule: {}\n")
        (self.demo / "other").mkdir()
        other = shutil.copy(self.demo / "engines/snath-5.engine.json", self.demo / "other")
        server = self.serve()
        self.open(server, *ENGINES, str(pathlib.Path(other).relative_to(self.demo)))
        errors, shown = self.all(server)
        self.assert_problem(errors, "engines/rotortab.policy.yaml:2")
        self.assertEqual(errors[self.uri("other/snath-5.engine.json")], [])
        self.assertEqual(len(shown), 1)

    def test_files_that_cannot_be_read(self):
        server = self.serve("--device", "gone.device.yaml", "--policy", "gone.yaml")
        self.open(server, *ENGINES)
        errors, (shown,) = self.all(server)
        self.assert_problem(errors, "cannot read gone.yaml: No such file")
        self.assertIn("gone.yaml", shown)
        server = self.serve("--device", "gone.device.yaml")
        self.open(server, *ENGINES)
        errors, (shown,) = self.all(server)
        self.assert_problem(errors, "cannot read gone.device.yaml: No such file")

    def test_a_policy_that_is_a_link(self):
        (self.demo / "engines/rotortab.policy.yaml").symlink_to("gone")
        server = self.serve()
        self.open(server, *ENGINES)
        errors, shown = self.all(server)
        self.assert_problem(errors, "engines/rotortab.policy.yaml is a link", "--policy")
        self.assertEqual(len(shown), 1)

    def test_in_the_source_register(self):
        self.edit("rotortab.sources.yaml", "documents:", "docments:")
        server = self.serve()
        self.open(server, *ENGINES, DEVICE, POLICY, "rotortab.sources.yaml")
        errors, (shown,) = self.all(server)
        self.assert_problem(errors, "rotortab.sources.yaml:4", "docments",
                            "Correct the source register")
        self.assertEqual(errors[self.uri(DEVICE)], [], "no source of a profile is compared")
        self.assertEqual(errors[self.uri(POLICY)], [])
        self.assertIn("docments", shown)

    def test_no_profile_at_all(self):
        self.edit(DEVICE, "device-profile: 1", "policy: 1")
        server = self.serve()
        self.open(server, *ENGINES)
        errors, (_,) = self.all(server)
        self.assert_problem(errors, DEVICE, "a policy has no key id")

    def test_told_once_while_it_lasts(self):
        self.edit(DEVICE, "square:", "sqare:")
        server = self.serve()
        self.assertEqual(len(self.all(server)[1]), 1, "before anything is open")
        self.open(server, *ENGINES)
        self.assertEqual(self.all(server)[1], [])
        self.edit(DEVICE, "sqare:", "sqar:")
        errors, shown = self.watched(server)
        self.assert_problem(errors, "sqar")
        self.assertEqual(shown, [])
        self.edit(DEVICE, "sqar:", "square:")
        errors, shown = self.watched(server)
        self.assert_none(errors)
        self.assertEqual(shown, [])
        self.edit(DEVICE, "square:", "sqare:")
        self.assertEqual(len(self.watched(server)[1]), 1)

    def test_hover_goes_by_the_profile_as_it_is(self):
        server = self.serve()
        self.open(server, ENGINES[0], DEVICE)
        self.all(server)
        text = self.texts[ENGINES[0]]
        line = text[:text.index("    blades: 31")].count("\n")
        def numbers():
            return server.at("hover", {"line": line, "character": 6},
                             self.uri(ENGINES[0]))["contents"]["value"]
        before = numbers()
        profile = (self.demo / DEVICE).read_text()
        self.change(server, DEVICE, profile.replace("square:", "sqare:"))
        self.assertNotEqual(numbers(), before)
        self.change(server, DEVICE, profile)
        self.assertEqual(numbers(), before)


class Changes(Judged):
    """On disk and in buffers."""

    STRICT = "policy: 1\nrules: {backlash-missing: error}\n"

    def setUp(self):
        super().setUp()
        for name in ENGINES:
            lines = self.texts[name].split("\n")
            self.texts[name] = "\n".join(l for l in lines if not l.startswith("    backlash:"))
            self.assertNotEqual(len(lines), self.texts[name].count("\n") + 1)
        (self.demo / POLICY).write_text("policy: 1\nrules: {backlash-missing: note}\n")

    def strict(self, errors):
        """Checks that the strict policy judges each of the definitions now."""
        self.assertEqual(set(errors), {self.uri(name) for name in ENGINES})
        for found in errors.values():
            self.assertTrue(any("backlash" in message for message in found), found)

    def test_watchers_are_registered_where_the_client_can(self):
        server = self.serve(capabilities=WATCHES)
        ask = server.receive()
        self.assertEqual(ask["method"], "client/registerCapability")
        (registered,) = ask["params"]["registrations"]
        self.assertEqual(registered["method"], "workspace/didChangeWatchedFiles")
        (watcher,) = registered["registerOptions"]["watchers"]
        self.assertEqual(watcher["globPattern"], "**/*.{yaml,yml,json}")
        server.send({"jsonrpc": "2.0", "id": ask["id"], "result": None})
        self.assertEqual(self.all(server), ({}, []))
        for capabilities in ({}, {"workspace": 3}, {"workspace": {"didChangeWatchedFiles": {
                "dynamicRegistration": False}}}):
            self.assertEqual(self.all(self.serve(capabilities=capabilities)), ({}, []))

    def warnings(self, server, name):
        """The messages of the document's diagnostics, whatever they weigh."""
        server.number += 1
        server.send({"jsonrpc": "2.0", "id": server.number, "method": "nothing"})
        said = []
        while True:
            message = server.receive()
            if message.get("id") == server.number:
                return said
            if message.get("params", {}).get("uri") == self.uri(name):
                said = [d["message"] for d in message["params"]["diagnostics"]]

    def test_the_source_register(self):
        """On disk, and then as it is in the editor."""
        server = self.serve()
        self.open(server, "coulter-70")
        self.assertFalse(any("rests on" in said for said in self.warnings(server, "coulter-70")))
        newer = self.edit("rotortab.sources.yaml", "revision: 7", "revision: 8")
        server.notify("workspace/didChangeWatchedFiles", {"changes": []})
        said = self.warnings(server, "coulter-70")
        self.assertEqual(sum("path of pad" in each and "revision 8" in each for each in said), 3)
        text = newer.replace("revision: 8", "revision: 9")
        server.notify("textDocument/didOpen", {"textDocument": {
            "uri": self.uri("rotortab.sources.yaml"), "text": text}})
        said = self.warnings(server, "coulter-70")
        self.assertEqual(sum("path of pad" in each and "revision 9" in each for each in said), 3)

    def test_on_disk(self):
        for event in ("workspace/didChangeWatchedFiles", "textDocument/didSave"):
            server = self.serve()
            self.open(server, *ENGINES)
            self.assert_none(self.all(server)[0])
            before = (self.demo / POLICY).read_text()
            (self.demo / POLICY).write_text(self.STRICT)
            server.notify(event, {"textDocument": {"uri": self.uri(POLICY)}})
            self.strict(self.all(server)[0])
            server.notify(event, {"textDocument": {"uri": self.uri(POLICY)}})
            self.assertEqual(self.all(server), ({}, []), "nothing new is nothing to say")
            (self.demo / "engines/rotortab.policy.yaml").write_text("policy: 1\n")
            server.notify(event, None)
            self.assert_none(self.all(server)[0])
            (self.demo / "engines/rotortab.policy.yaml").unlink()
            (self.demo / POLICY).write_text(before)

    def test_looked_at_anew_with_any_change(self):
        server = self.serve()
        self.open(server, *ENGINES)
        self.assert_none(self.all(server)[0])
        (self.demo / POLICY).write_text(self.STRICT)
        self.strict(self.change(server, ENGINES[0], self.texts[ENGINES[0]] + "# x\n")[0])

    def test_the_profile_on_disk(self):
        server = self.serve()
        self.open(server, *ENGINES)
        self.assert_none(self.all(server)[0])
        text = (self.demo / DEVICE).read_text()
        (self.demo / DEVICE).unlink()
        errors, shown = self.watched(server)
        self.assert_problem(errors, f"cannot read {DEVICE}")
        self.assertEqual(len(shown), 1)
        (self.demo / DEVICE).write_text(text)
        self.assert_none(self.watched(server)[0])

    def test_a_policy_in_a_buffer(self):
        server = self.serve()
        self.open(server, *ENGINES, POLICY)
        self.assertEqual({uri for uri, found in self.all(server)[0].items() if found}, set())
        errors, _ = self.change(server, POLICY, self.STRICT)
        self.assertEqual(errors.pop(self.uri(POLICY)), [])
        self.strict(errors)
        errors, shown = self.change(server, POLICY, "policy: 1\nrule: {}\n")
        self.assertEqual(len(errors.pop(self.uri(POLICY))), 1)
        self.assert_problem(errors, f"{POLICY}:2")
        self.assertEqual(len(shown), 1)
        server.notify("textDocument/didClose", {"textDocument": {"uri": self.uri(POLICY)}})
        errors, _ = self.all(server)
        self.assertEqual(errors.pop(self.uri(POLICY)), [])
        self.assert_none(errors)

    def test_a_profile_in_a_buffer(self):
        server = self.serve()
        self.open(server, *ENGINES, DEVICE)
        self.all(server)
        text = (self.demo / DEVICE).read_text()
        errors, (_,) = self.change(server, DEVICE, text.replace("square:", "sqare:"))
        self.assertTrue(errors.pop(self.uri(DEVICE)))
        self.assert_problem(errors, "sqare")
        errors, _ = self.change(server, DEVICE, text)
        self.assertEqual(errors.pop(self.uri(DEVICE)), [])
        self.assert_none(errors)

    def test_a_profile_named_by_a_link(self):
        (self.demo / "link.yaml").symlink_to(DEVICE)
        server = self.serve("--device", "link.yaml")
        self.open(server, ENGINES[0], DEVICE)
        self.all(server)
        text = (self.demo / DEVICE).read_text()
        errors, _ = self.change(server, DEVICE, text.replace("square:", "sqare:"))
        self.assertIn("sqare", errors[self.uri(ENGINES[0])][0])


if __name__ == "__main__":
    unittest.main()
