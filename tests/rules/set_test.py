"""What only several files together show: names that are taken, files named more than once."""

import os
import unittest

from checking import GOOD, PROFILE, Folder, changed, findings, run


def engine(identity, models):
    """The clean definition under another id and other designations."""
    return changed(("id: neighbour", f"id: {identity}"),
                   ("models: [Hayrake 6, Hayrake 6B]", f"models: [{', '.join(models)}]"))


class Taken(Folder):
    """Two definitions that claim one name."""

    def pair(self, one, other):
        """The findings for two engines, each (id, models)."""
        names = [self.put(f"{where}/{identity}.engine.yaml", engine(identity, models))
                 for where, (identity, models) in (("a", one), ("b", other))]
        return self.found(*names)

    def test_nothing_in_common(self):
        self.assertEqual(self.pair(("one", ["One 1"]), ("two", ["Two 1"])), [])

    def test_id(self):
        self.assertEqual(self.pair(("one", ["One 1"]), ("one", ["Two 1"])), [("id-taken", "error")])

    def test_designation(self):
        for other in ("One 1", "one 1", "ONE-1", "One1", "O n e - 1", "one--1"):
            found = self.pair(("one", ["One 1"]), ("two", ["Two 2", f'"{other}"']))
            self.assertEqual(found, [("id-taken", "error")], other)
        self.assertEqual(self.pair(("one", ["One 1"]), ("two", ["One 1A"])), [])

    def test_id_against_designation(self):
        found = self.pair(("one-1", ["First"]), ("two", ["ONE 1"]))
        self.assertEqual(found, [("id-taken", "error")])

    def test_designation_like_the_own_id(self):
        self.assertEqual(self.pair(("one-1", ["ONE 1"]), ("two", ["Two"])), [])

    def test_place_is_in_the_later_file_and_names_the_earlier(self):
        self.pair(("one", ["One 1"]), ("two", ["Two", "one-1"]))
        finding, = findings(self.folder, "a", "b")[1]
        self.assertEqual((finding["file"], finding["line"]), ("b/two.engine.yaml", 5))
        self.assertEqual(finding["related"][0]["file"], "a/one.engine.yaml")

    def test_three(self):
        for identity in ("one", "two", "three"):
            self.put(f"{identity}.engine.yaml", engine(identity, ["Same"]))
        self.assertEqual(self.found("."), [("id-taken", "error")] * 2)

    def test_copy_is_one_mistake(self):
        found = self.pair(("one", ["One 1", "One 2"]), ("one", ["One 1", "One 2"]))
        self.assertEqual(found, [("id-taken", "error")])

    def test_twice_in_one_definition(self):
        name = self.put("one.engine.yaml", engine("one", ["One 1", "one-1"]))
        self.assertLessEqual(set(self.found(name)), {("id-taken", "error")})


class Profiles(Folder):
    """Two profiles that claim one id."""

    def profile(self, where, identity):
        return self.put(f"{where}/{identity}.device.yaml",
                        PROFILE.replace("id: plain", f"id: {identity}"))

    def test_id(self):
        one, other = self.profile("a", "one"), self.profile("b", "one")
        self.assertEqual(self.found(one, other), [("id-taken", "error")])
        finding, = findings(self.folder, one, other)[1]
        self.assertEqual((finding["file"], finding["related"][0]["file"]), (other, one))
        self.assertEqual(self.found(one, one), [])
        self.assertEqual(self.found("--device", one, one), [])
        self.assertEqual(self.found("--device", one, other), [("id-taken", "error")])
        self.assertEqual(self.found(one, self.profile("b", "two")), [])

    def test_may_be_a_designation(self):
        self.assertEqual(self.found(self.profile("a", "one"),
                                    self.put("one.engine.yaml", engine("one", ["One 1"]))), [])


class Count(Folder):
    """The device's limit of engines holds for those that go into its table."""

    def setUp(self):
        super().setUp()
        self.put("plain.device.yaml", changed(("engines: 100", "engines: 1"), text=PROFILE))

    def engines(self, *statuses):
        """Puts an engine of each status into the folder."""
        for number, status in enumerate(statuses):
            text = engine(f"e-{number}", [f"E {number}"])
            self.put(f"e-{number}.engine.yaml", changed(("released", status), text=text))

    def compiled(self, *options):
        """The exit status of compile."""
        return run(self.folder, "compile", "--device", "plain.device.yaml", "-o", "t.rotor",
                   *options, ".").returncode

    def test_released(self):
        self.engines("released", "released")
        self.assertEqual(self.found("--device", "plain.device.yaml", "."), [("too-many", "error")])
        self.assertEqual(self.compiled(), 1)

    def test_draft_is_left_out(self):
        self.engines("released", "draft", "draft")
        self.assertEqual(self.found("--device", "plain.device.yaml", "."), [])
        self.assertEqual(self.compiled(), 0)
        self.assertEqual(self.compiled("--drafts"), 1)

    def test_withdrawn_is_left_out(self):
        self.engines("released", "withdrawn")
        self.assertEqual(self.found("--device", "plain.device.yaml", "."), [("withdrawn", "note")])


class Once(Folder):
    """A file is judged once, whatever it is called and however often."""

    def test_same_file(self):
        name = self.put("neighbour.engine.yaml", GOOD)
        os.mkdir(self.folder / "sub")
        os.symlink("../" + name, self.folder / "sub" / name)
        for operands in ((name, name), (name, "."), (".", name), ("./" + name, name),
                         (name, "sub"), ("sub", name), ("sub/" + name, ".")):
            self.assertEqual(self.found(*operands), [], operands)
            said = run(self.folder, "check", "--policy", "rotortab.policy.yaml", *operands).stdout
            self.assertIn(b"1 definition", said)

    def test_copies_are_two(self):
        names = [self.put(f"{where}/neighbour.engine.yaml", GOOD) for where in "ab"]
        self.assertIn(("id-taken", "error"), self.found(*names))

    def test_order_and_threads_do_not_matter(self):
        names = []
        for number in range(40):
            text = engine(f"e-{number}", [f"E {number}"]).replace("backlash: 0.5",
                                                                  f"backlash: {number}")
            names.append(self.put(f"e-{number}.engine.yaml", text))
        forms = {run(self.folder, "check", "--format", "json", "--jobs", jobs, *names).stdout
                 for jobs in ("1", "2", "7")}
        self.assertEqual(len(forms), 1)
        ahead, back = (sorted(str(finding) for finding in findings(self.folder, *order)[1])
                       for order in (names, names[::-1]))
        self.assertEqual(ahead, back)


if __name__ == "__main__":
    unittest.main()
