"""Keeps the field reader small: code, static memory, stack, and nothing asked of a library."""

import unittest

import size


@unittest.skipIf(size.missing(), f"{', '.join(size.missing())} missing: make deps-device")
class Size(unittest.TestCase):
    @classmethod
    def setUpClass(cls):
        sources = sorted((size.ROOT / "src" / "field").glob("*.c"))
        cls.figures = {name: size.measure(command, sources)
                       for name, command in size.TARGETS.items()}

    def test_code(self):
        code = self.figures["Cortex-M0"]["code"]
        for parts, most in size.MOST.items():
            self.assertLessEqual(sum(code[part] for part in parts), most, parts)
        for part in ("reading", "motion", "import"):
            self.assertGreater(code[part], 500, part)

    def test_no_static_memory(self):
        for name, figures in self.figures.items():
            self.assertEqual(figures["static"], 0, name)

    def test_stack(self):
        for name in ("Cortex-M0", "Cortex-M3"):
            self.assertLessEqual(self.figures[name]["stack"], size.STACK_MOST, name)

    def test_nothing_is_asked_for(self):
        """No memcpy, no division, not even a helper of the compiler's."""
        for name, figures in self.figures.items():
            self.assertEqual(figures["asks for"], [], name)


class Chain(unittest.TestCase):
    """The deepest chain of calls, from notes as the compiler writes them."""

    NOTES = ('node: { title: "a" label: "a\\nx.c:1:1\\n40 bytes (static)" }\n'
             'node: { title: "x.c:b" label: "b\\nx.c:2:1\\n8 bytes (static)" }\n'
             'node: { title: "x.c:c" label: "c\\nx.c:3:1\\n100 bytes (static)" }\n')

    def deepest(self, *edges):
        calls = size.Calls()
        calls.add_file(self.NOTES + "".join(
            f'edge: {{ sourcename: "{source}" targetname: "{target}" label: "x.c:9:9" }}\n'
            for source, target in edges))
        return calls.deepest("a")

    def test_the_larger_of_two_is_taken(self):
        self.assertEqual(self.deepest(("a", "x.c:b"), ("a", "x.c:c")), (140, ["a", "c"]))
        self.assertEqual(self.deepest(("a", "x.c:b"), ("x.c:b", "x.c:c")), (148, ["a", "b", "c"]))

    def test_a_pointer_may_lead_anywhere(self):
        self.assertEqual(self.deepest(("a", "__indirect_call")), (140, ["a", "c"]))

    def test_recursion_has_no_depth(self):
        with self.assertRaises(ValueError):
            self.deepest(("a", "x.c:b"), ("x.c:b", "a"))

    def test_a_frame_of_no_fixed_size(self):
        calls = size.Calls()
        with self.assertRaises(ValueError):
            calls.add_file(self.NOTES.replace("40 bytes (static)", "40 bytes (dynamic)"))


if __name__ == "__main__":
    unittest.main()
