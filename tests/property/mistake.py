"""What a mistake is: a function that spoils a valid definition in one place, and its rule."""

import copy

import geometry
import oracle

ALL = []


class NotHere(Exception):
    """This definition has no place for this mistake."""


def mistake(rule, severity="error", judged=False):
    """Register a mistake. A judged one must be what the judge finds too."""

    def register(function):
        ALL.append((function, rule, severity, judged))
        return function

    return register


class Case:
    """A valid definition and its profile, to spoil in one place."""

    def __init__(self, rng, definition, profile):
        self.rng = rng
        self.definition = copy.deepcopy(definition)
        self.profile = copy.deepcopy(profile)
        self.file_name = definition["id"] + ".engine.yaml"
        self.others = {}  # further files, by name
        self.edit_text = None  # text to text or bytes, for mistakes YAML itself can see

    def need(self, condition):
        if not condition:
            raise NotHere

    def one(self, things):
        things = list(things)
        self.need(things)
        return self.rng.choice(things)

    def pad(self, wanted=lambda pad: True):
        return self.one(p for p in self.definition["pads"] if wanted(p))

    def only_pad(self):
        self.need(len(self.definition["pads"]) == 1)
        return self.definition["pads"][0]

    def stage(self):
        return self.one(self.definition["stages"])

    def stage_in_table(self):
        """A stage some pad turns; one turned by hand never reaches the device."""
        reached = {pad["spool"] for pad in self.definition["pads"]}
        return self.one(s for s in self.definition["stages"] if s["spool"] in reached)

    def only_row(self):
        """The pad of a definition with one pad and one stage, which can be wrong only once."""
        self.need(len(self.definition["stages"]) == 1)
        return self.only_pad()

    def spool(self, pad):
        return next(s for s in self.definition["spools"] if s["id"] == pad["spool"])

    def finest(self, pad):
        return max(s["blades"] for s in self.definition["stages"] if s["spool"] == pad["spool"])

    def observation(self, key):
        return self.one(w for w in self.definition.get("observations", []) if key in w)

    def forget(self, pad, *keys):
        """Take out what the pad's observations say, so that only one thing contradicts."""
        kept = []
        for observation in self.definition.get("observations", []):
            if observation.get("pad") == pad["id"]:
                observation = {k: v for k, v in observation.items() if k not in keys}
            if observation.keys() - {"pad", "spool", "note"}:
                kept.append(observation)
        self.definition["observations"] = kept
        if not kept:
            del self.definition["observations"]

    def mesh(self, pad, kind):
        return self.one(m for m in pad.get("path", []) if m != "direct" and kind in m)[kind]

    def alone(self):
        """A pad whose ratio only its stated turns give."""
        pad = self.pad(lambda p: "path" not in p)
        self.forget(pad, "counted", "returned")
        return pad


def derivable(pad):
    try:
        oracle.derived_rotor_sense(pad)
        return True
    except (geometry.NotDerivable, geometry.OffAxis):
        return False
