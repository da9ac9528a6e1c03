"""Mistakes in names, references, texts and the YAML itself, which the judge does not know."""

import re

import devices
import generate
import judge
from mistake import derivable, mistake
from source_text import as_yaml

# --- identity, provenance, device texts ---------------------------------------------------------

# What an observation saw of stages.
WATCHING = {"returned", "passed", "step", "blade-order", "together"}


@mistake("reference-unknown")
def stage_on_no_spool(case):
    stage = case.stage()
    rest = [s["spool"] for s in case.definition["stages"] if s is not stage]
    case.need(stage["spool"] in rest)
    case.need(all(not w.keys() & WATCHING for w in case.definition.get("observations", [])))
    stage["spool"] = "QP"


@mistake("reference-unknown")
def observation_of_no_pad(case):
    pad = case.pad(derivable)
    observations = case.definition.get("observations", [])
    case.one(w for w in observations if w.get("pad") == pad["id"])["pad"] = "pad-x"


@mistake("reference-unknown")
def blades_of_another_spool_counted(case):
    observation = case.one(w for w in case.definition.get("observations", [])
                           if "spool" in w and "passed" in w)
    driven = case.pad()["spool"]
    observation["passed"]["stage"] = case.one(s["id"] for s in case.definition["stages"]
                                              if s["spool"] == driven)


@mistake("missing-key")
def turns_of_a_pad_that_was_not_there(case):
    observation = case.observation("spool")
    observation["counted"] = {"pad": "9.0 rev", "rotor": "3 rev"}


@mistake("wrong-shape")
def spool_beside_a_pad(case):
    case.observation("pad")["spool"] = case.rng.choice(case.definition["spools"])["id"]


@mistake("reference-unknown")
def observation_of_another_spool(case):
    observation = case.observation("returned")
    stages = {stage["id"]: stage["spool"] for stage in case.definition["stages"]}
    watched = stages[observation["returned"]["stage"]]
    observation["returned"]["stage"] = case.one(i for i,
                                                spool in stages.items() if spool != watched)


@mistake("spool-unreached")
def spool_without_a_pad(case):
    name = case.one(s for s in generate.SPOOLS
                    if s not in [spool["id"] for spool in case.definition["spools"]])
    case.definition["spools"].append(generate.spool_named(case.rng, name))
    case.definition["stages"].append(generate.stage_of(case.rng, name, 8, 60))


@mistake("hand-and-pad")
def pad_on_a_spool_turned_by_hand(case):
    name = case.one({pad["spool"] for pad in case.definition["pads"]})
    case.one(s for s in case.definition["spools"] if s["id"] == name)["turned-by"] = "hand"


@mistake("stage-missing")
def spool_without_a_stage(case):
    pads = [p["spool"] for p in case.definition["pads"]]
    name = case.one(s for s in set(pads) if pads.count(s) == 1 and len(set(pads)) > 1)
    for pad in case.definition["pads"]:
        if pad["spool"] == name:
            case.forget(pad, *WATCHING)
    case.definition["stages"] = [s for s in case.definition["stages"] if s["spool"] != name]


@mistake("id-malformed")
def id_with_a_capital(case):
    wrong = case.rng.choice(("Prop-", "prop_", "pröp-"))
    case.definition["id"] = case.definition["id"].replace("prop-", wrong)
    case.file_name = case.definition["id"] + ".engine.yaml"


@mistake("id-not-file-name")
def file_renamed(case):
    case.file_name = "prop-elsewhere.engine.yaml"


@mistake("id-taken")
def model_of_another(case):
    number = int(case.definition["id"][5:]) + devices.DEVICES
    other = generate.definition("other", number, case.profile)
    case.need(not judge.problems(other, case.profile))
    spellings = (other["id"].upper(), other["models"][0], other["id"].replace("-", " "))
    taken = case.rng.choice(spellings)
    case.definition["models"] = [case.definition["models"][0], taken]
    case.others[other["id"] + ".engine.yaml"] = as_yaml(other, case.rng)


def _known(case):
    """A stage with known blades that differ from each other and from blade one."""
    stage = case.stage()
    stage["blade-one"] = "two locking lugs"
    numbers = case.rng.sample(range(2, stage["blades"] + 1), 2)
    stage["known-blades"] = [{"blade": n, "how": how}
                             for n, how in zip(numbers, ("long root", "balance slot"))]
    return stage


@mistake("known-blade-number")
def known_blade_beyond_the_stage(case):
    stage = _known(case)
    case.rng.choice(stage["known-blades"])["blade"] = stage["blades"] + case.rng.randint(1, 99)


@mistake("known-blade-number")
def blade_one_among_the_known(case):
    case.rng.choice(_known(case)["known-blades"])["blade"] = 1


@mistake("known-blade-twice")
def known_blade_with_two_marks(case):
    known = _known(case)["known-blades"]
    known[0]["blade"] = known[1]["blade"]


@mistake("known-blades-alike", "warning")
def mark_of_blade_one_again(case):
    stage = _known(case)
    case.rng.choice(stage["known-blades"])["how"] = "Two Locking-Lugs"


@mistake("known-blades-alike", "warning")
def one_mark_on_two_blades(case):
    known = _known(case)["known-blades"]
    known[0]["how"] = known[1]["how"]


@mistake("source-missing")
def source_left_out(case):
    del case.definition["source"]


@mistake("models-missing")
def models_left_out(case):
    del case.definition["models"]


@mistake("port-two-clocks")
def port_noted_from_the_wrong_end(case):
    """A port of two stages, of which one has the clock position in the mirror."""
    case.need(len(case.definition["stages"]) > 1)
    one, other = case.rng.sample(case.definition["stages"], 2)
    case.need(all("together" not in w for w in case.definition.get("observations", [])))
    angle = case.rng.choice((45, 100, 222))
    hour, minute = divmod(2 * angle, 60)
    one["port"] = {"id": "SHARED", "clock": f"{hour or 12}:{minute:02}"}
    view = case.rng.choice(generate.ROTOR_VIEWS)
    mirrored = 720 - 2 * angle if view == "aft-looking-forward" else 2 * angle
    hour, minute = divmod(mirrored, 60)
    other["port"] = {"id": "SHARED", "clock": {"at": f"{hour or 12}:{minute:02}", "view": view}}


@mistake("text-too-long")
def text_beyond_the_device(case):
    case.stage_in_table()["blade-one"] = "x" * case.rng.randint(41, 60)


@mistake("text-not-shown")
def text_the_device_cannot_show(case):
    unseen = ("Nut für Schaufel", "blade №1", "µ mark")
    case.stage_in_table()["blade-one"] = case.rng.choice(unseen)


@mistake("too-many")
def more_blades_than_the_device_keeps(case):
    case.only_row()
    case.profile["limits"]["blades"] = case.stage()["blades"] - 1


# --- the text itself ----------------------------------------------------------------------------


@mistake("unknown-key")
def key_misspelt(case):
    stage = case.stage()
    stage["clokcing"] = "1 deg"


@mistake("missing-key")
def blades_left_out(case):
    del case.stage()["blades"]


@mistake("missing-key")
def revision_left_out(case):
    del case.definition["revision"]


@mistake("missing-key")
def text_of_blanks(case):
    case.definition[case.rng.choice(("name", "source"))] = " " * case.rng.randint(1, 3)


@mistake("wrong-shape")
def blank_at_an_end(case):
    models = case.definition["models"]
    place = case.rng.randrange(len(models))
    models[place] = case.rng.choice((" {}", "{} ", "{}\t")).format(models[place])


@mistake("missing-unit")
def unit_left_out(case):
    pad = case.pad(lambda p: "backlash" in p)
    key = case.rng.choice(("backlash", "torque-limit"))
    pad[key] = pad[key].rsplit(" ", 1)[0]


@mistake("wrong-unit")
def unit_of_another_dimension(case):
    pad = case.pad(lambda p: "backlash" in p)
    key, unit = case.rng.choice((("backlash", "rpm"), ("backlash", "N.m"), ("torque-limit", "deg")))
    pad[key] = pad[key].rsplit(" ", 1)[0] + " " + unit


@mistake("bad-number")
def not_a_number(case):
    case.stage()["blades"] = case.rng.choice(("3..5", "thirty", "0x1f", "1_0", "off"))


@mistake("bad-number")
def teeth_not_a_number(case):
    case.mesh(case.pad(), "external")[0] = case.rng.choice(("twenty", "12:30", "~"))


@mistake("out-of-range")
def no_blades_at_all(case):
    case.stage()["blades"] = 0


@mistake("number-too-large")
def number_beyond_all_words(case):
    case.stage()["blades"] = "9" * case.rng.randint(20, 40)


@mistake("wrong-shape")
def list_for_a_number(case):
    case.stage()["blades"] = [case.rng.randint(20, 90)]


@mistake("clocking-range")
def clocking_of_a_turn_or_more(case):
    case.stage()["clocking"] = f"{case.rng.randint(360, 900)} deg"


@mistake("unknown-version")
def version_of_the_future(case):
    case.definition["engine-definition"] = 2


def _line(case, key, change):
    """Replace the line of a top-level key."""
    case.edit_text = lambda text: re.sub(rf"(?m)^{key}: (.*)$", change, text, count=1)


@mistake("duplicate-key")
def key_given_twice(case):
    _line(case, "revision", r"revision: \1\nrevision: \1")


@mistake("alias-refused")
def anchor(case):
    _line(case, "name", r"name: &n \1")


@mistake("tag-refused")
def tag(case):
    _line(case, "revision", r"revision: !!int \1")


@mistake("unknown-kind")
def kind_misspelt(case):
    _line(case, "engine-definition", r"engine-defintion: \1")


@mistake("yaml-syntax")
def bracket_left_open(case):
    _line(case, "models", r"models: [\1")
    case.definition = {**case.definition, "models": "Prop"}


@mistake("many-documents")
def second_document(case):
    case.edit_text = lambda text: text + "---\n" + text


@mistake("hidden-character")
def direction_overridden(case):
    case.edit_text = lambda text: text.replace("Drawn", "Dr\N{RIGHT-TO-LEFT OVERRIDE}awn")


@mistake("not-utf8")
def latin_1(case):
    case.edit_text = lambda text: text.replace("Drawn", "Dr\u00e4wn").encode("latin-1")
