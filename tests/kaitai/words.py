"""From what the Kaitai description reads to what `rotortab show` prints, in the same words.

The description's enumerations need names that programs can have; these are the ones that differ.
"""

from fractions import Fraction

NONE = 0xffffffff
SQUARES = {"none": None, "quarter_inch": "1/4 in", "three_eighths_inch": "3/8 in",
           "half_inch": "1/2 in", "three_quarters_inch": "3/4 in", "one_inch": "1 in"}
UNITS = {"newton_metre": "N.m", "pound_force_foot": "lbf.ft", "pound_force_inch": "lbf.in",
         "kilogram_force_metre": "kgf.m", "rpm": "rpm", "degrees_per_minute": "deg/min",
         "degrees_per_second": "deg/s"}


def known(word):
    """A direction or a member, or null."""
    return None if word in ("unknown", "none") else word


def fraction(read):
    """An exact string, or null where there is none."""
    return str(Fraction(read["num"], read["den"])) if read["den"] else None


class Table:
    """A table as the description reads it, in the form of `show --format json`."""

    def __init__(self, read):
        self.read = read
        self.sections = read["sections"]
        self.device = self.sections["device"][0]

    def run(self, kind, record, name, many=None):
        """The records of a range: NAME is that of one of them in the record's fields."""
        first = record[f"first_{name}"]
        return self.sections[kind][first:first + record[f"num_{many or name + 's'}"]]

    def steps(self, steps, sort):
        """Multiples of the device's resolution, in its unit."""
        resolution = self.device[f"{sort}_resolution"]
        return str(Fraction(steps * resolution["num"], resolution["den"]))

    def span(self, sort):
        low, high = self.device[f"{sort}_min"], self.device[f"{sort}_max"]
        return {"unit": UNITS[self.device[f"{sort}_unit"]],
                "resolution": fraction(self.device[f"{sort}_resolution"]),
                "min": self.steps(low, sort), "max": self.steps(high, sort),
                "min_steps": low, "max_steps": high}

    def limit(self, steps, sort):
        return {"value": self.steps(steps, sort), "unit": UNITS[self.device[f"{sort}_unit"]],
                "steps": steps}

    def tell_device(self):
        device = self.device
        return {"id": device["id"], "name": device["name"], "sha256": device["digest"],
                "stepping": device["stepping"], "positive": device["positive"],
                "counter_bits": device["counter_bits"],
                "counts_per_shaft_turn": fraction(device["counts"]),
                "square": SQUARES[device["square"]], "torque": self.span("torque"),
                "speed": self.span("speed")}

    def tell_spool(self, spool):
        return {"id": spool["id"], "rotation": spool["rotation"],
                "never_backwards": spool["never_backwards"] == 1}

    def spool_of(self, record):
        return self.sections["spools"][record["spool"]]["id"]

    def known_blades(self, stage):
        """Those of the stage with this index."""
        return [{"blade": known["blade"], "how": known["how"]}
                for known in self.sections.get("known_blades", []) if known["stage"] == stage]

    def tell_stage(self, index, stage):
        ports = [{"id": port["id"],
                  "clock": f"{port['clock'] // 60 or 12}:{port['clock'] % 60:02}"}
                 for port in self.run("ports", stage, "port")]
        return {"id": stage["id"], "spool": self.spool_of(stage), "role": stage["role"],
                "blades": stage["blades"], "numbering": stage["numbering"].replace("_", "-"),
                "blade_one": stage["blade_one"], "clocking_deg": fraction(stage["clocking"]),
                "ports": ports, "known_blades": self.known_blades(index)}

    def tell_mesh(self, mesh):
        told = {"kind": mesh["kind"]}
        if mesh["kind"] == "epicyclic":
            told |= {"sun": mesh["teeth_a"], "ring": mesh["teeth_b"],
                     "planet": mesh["teeth_c"] or None, "planets": mesh["planets"] or None,
                     "in": known(mesh["member_in"]), "out": known(mesh["member_out"]),
                     "held": known(mesh["member_held"])}
        elif mesh["kind"] != "direct":
            told["teeth"] = [mesh["teeth_a"], mesh["teeth_b"]]
        if mesh["kind"] == "bevel":
            told["backs"] = [known(mesh["back_a"]), known(mesh["back_b"])]
        return told

    def tell_link(self, link):
        schedule = self.sections["schedules"][link["schedule"]]
        return {"stage": self.sections["stages"][link["stage"]]["id"], **schedule,
                "order": link["order"],
                "datums": [datum["count"] for datum in self.run("datums", link, "datum")]}

    def tell_pad(self, pad):
        return {"id": pad["id"], "spool": self.spool_of(pad), "faces": known(pad["faces"]),
                "rotation": pad["rotation"], "drives": pad["drives"],
                "positive": 1 if pad["positive"] == "normal" else -1,
                "square": SQUARES[pad["square"]], "own_square": SQUARES[pad["own_square"]],
                "torque_limit": self.limit(pad["torque"], "torque"),
                "speed_limit": self.limit(pad["speed"], "speed"),
                "backlash_counts": None if pad["backlash"] == NONE else pad["backlash"],
                "recheck_turns": pad["recheck"],
                "counts_per_rotor_turn": fraction(pad["counts_per_rotor_turn"]),
                "pad_turns_per_rotor_turn": {"lo": fraction(pad["turns_lo"]),
                                             "hi": fraction(pad["turns_hi"])},
                "device_turns_per_pad_turn": fraction(pad["adapter"]),
                "path": [self.tell_mesh(mesh)
                         for mesh in self.run("meshes", pad, "mesh", "meshes")],
                "adapter_path": [self.tell_mesh(mesh) for mesh in
                                 self.run("meshes", pad, "adapter_mesh", "adapter_meshes")],
                "stages": [self.tell_link(link) for link in self.run("links", pad, "link")]}

    def tell_engine(self, index, engine):
        return {"id": engine["id"], "name": engine["name"],
                "designations": [name["text"] for name in self.sections["names"]
                                 if name["engine"] == index],
                "revision": engine["revision"], "status": engine["status"],
                "sha256": engine["digest"],
                "spools": [self.tell_spool(s) for s in self.run("spools", engine, "spool")],
                "stages": [self.tell_stage(i, s) for i, s in
                           enumerate(self.run("stages", engine, "stage"), engine["first_stage"])],
                "pads": [self.tell_pad(p) for p in self.run("pads", engine, "pad")]}

    def tell(self):
        header = self.read["header"]
        return {"format_version": header["version"], "oldest_reader": header["oldest_reader"],
                "bytes": header["length"], "signed": "signature" in self.sections,
                "device": self.tell_device(),
                "engines": [self.tell_engine(index, engine)
                            for index, engine in enumerate(self.sections["engines"])]}
