"""Many different valid definitions, made from the demonstration's engines, and the same content in
the languages of other tools."""

import pathlib
import re

import yaml

DEMO = pathlib.Path("engines-demo/engines")


def texts():
    """The demonstration's definitions that are YAML and have no waiver.

    Dates are in quotes, because a reader of YAML 1.1 takes them for another type.
    """
    return [re.sub(r"\b(date: )(\d{4}-\d\d-\d\d)", r'\1"\2"', p.read_text(encoding="utf-8"))
            for p in sorted(DEMO.glob("*.engine.yaml"))]


def make(folder, count):
    """Writes `count` definitions; each has its own id, designations, revision and torque limit."""
    folder.mkdir(parents=True)
    sources = texts()
    size = 0
    for i in range(count):
        text = sources[i % len(sources)]
        text = re.sub(r"(?m)^id: .*$", f"id: bench-{i:06}", text, count=1)
        text = re.sub(r"(?m)^name: .*$", f"name: Bench {i:06}", text, count=1)
        text = re.sub(r"(?m)^models:.*$", f"models: [Bench {i:06}, Bench {i:06}A]", text, count=1)
        text = re.sub(r"(?m)^revision: .*$", f"revision: {i % 90 + 1}", text, count=1)
        text = re.sub(r"(?m)^status: \w+", "status: released", text, count=1)
        (folder / f"bench-{i:06}.engine.yaml").write_text(text, encoding="utf-8")
        size += len(text.encode())
    return size


def load(folder, count):
    """The first `count` definitions as plain data."""
    loader = getattr(yaml, "CBaseLoader", yaml.BaseLoader)
    return [yaml.load(p.read_text(encoding="utf-8"), loader)
            for p in sorted(folder.iterdir())[:count]]


def device_tree(definitions):
    """The same content as a device tree's source."""
    def node(name, value, depth):
        pad = "\t" * depth
        name = "title" if name == "name" else name  # a node's own name there
        if isinstance(value, dict):
            inner = "".join(node(k, v, depth + 1) for k, v in value.items()
                            if not isinstance(v, (dict, list)))
            inner += "".join(node(k, v, depth + 1) for k, v in value.items()
                             if isinstance(v, (dict, list)))
            return f"{pad}{name} {{\n{inner}{pad}}};\n"
        if isinstance(value, list):
            if all(isinstance(v, str) for v in value):
                items = ", ".join('"' + v.replace('"', "'") + '"' for v in value)
                return f"{pad}{name}-list {{ value = {items}; }};\n" if items else ""
            return "".join(node(f"{name}-{i}", v if isinstance(v, (dict, list)) else {"value": v},
                                depth) for i, v in enumerate(value))
        text = str(value).replace("\\", "/").replace('"', "'").replace("\n", " ")
        return f'{pad}{name} = "{text}";\n'
    body = "".join(node(f"engine-{i}", d, 1) for i, d in enumerate(definitions))
    return "/dts-v1/;\n/ {\n" + body + "};\n"


PROTO = """syntax = "proto3";
message Field { string key = 1; string text = 2; repeated Field fields = 3; }
message Table { repeated Field engines = 1; }
"""


def protobuf_text(definitions):
    """The same content in protobuf's text form, for the message of PROTO."""
    def quoted(text):
        return '"' + str(text).replace("\\", "\\\\").replace('"', '\\"').replace("\n", "\\n") + '"'

    def field(name, key, value):
        if isinstance(value, dict):
            inner = " ".join(field("fields", k, v) for k, v in value.items())
        elif isinstance(value, list):
            inner = " ".join(field("fields", str(i), v) for i, v in enumerate(value))
        else:
            inner = f"text: {quoted(value)}"
        return f"{name} {{ key: {quoted(key)} {inner} }}"
    return "\n".join(field("engines", str(i), d) for i, d in enumerate(definitions))
