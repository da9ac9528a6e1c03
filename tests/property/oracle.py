"""The independent calculation: the numbers that a definition and a device profile must give.

Works on plain dicts with the keys of the source files, in exact fractions. Written from the
design's words and from textbook kinematics, never from the compiler's code, so that a difference
between the two means that one of them is wrong.
"""

import functools
from fractions import Fraction
from math import ceil, floor, gcd, lcm, prod

import geometry
from quantity import ANGLE, SPEED, TORQUE, Interval, exact, interval

LARGEST_DENOMINATOR = 2**31


# --- ratios -------------------------------------------------------------------------------------


def mesh_ratio(mesh):
    """Turns of the near side for one turn of the far side, without its sign."""
    if mesh == "direct":
        return Fraction(1)
    ((kind, given),) = mesh.items()
    if kind == "epicyclic":
        return abs(1 / geometry.epicyclic_speeds(given, 1)[given["out"]])
    if kind == "direct":
        return Fraction(1)
    teeth = given["teeth"] if isinstance(given, dict) else given
    return _teeth_ratio(teeth[0], teeth[-1])


@functools.lru_cache(maxsize=None)
def _teeth_ratio(near, far):
    return Fraction(far, near)


_PATHS = {}  # the ratio of each path met, by its text: the same few are asked about many times


def path_ratio(path):
    text = repr(path)
    if text not in _PATHS:
        ratios = [mesh_ratio(mesh) for mesh in path]
        _PATHS[text] = Fraction(prod(ratio.numerator for ratio in ratios),
                                prod(ratio.denominator for ratio in ratios))
    return _PATHS[text]


def stated_ratio(turns):
    """Pad turns per rotor turn as a manual states it, with what rounding leaves open."""
    return _quotient(str(turns["pad"]), str(turns["rotor"]))


@functools.lru_cache(maxsize=4096)
def _quotient(pad, rotor):
    return interval(pad).over(interval(rotor))


def pad_ratio(pad):
    """G: a path, where there is one, is exact and wins."""
    if "path" in pad:
        ratio = path_ratio(pad["path"])
        return Interval(ratio, ratio, ratio)
    return stated_ratio(pad["turns"])


def adapter_ratio(pad):
    """A: device turns per pad turn."""
    return path_ratio(pad.get("adapter", {}).get("path", []))


def uncertainty(ratio):
    """How far, in turns of the rotor, the stops can be off after one rotor turn."""
    return max((ratio.value - ratio.lo) / ratio.lo, (ratio.hi - ratio.value) / ratio.hi)


# --- senses -------------------------------------------------------------------------------------


def spool_sense(spool):
    """The spool's normal sense, aft looking forward."""
    rotation = spool["rotation"]
    face = geometry.VIEWED_FACE[rotation["view"]]
    return geometry.rotor_sense(geometry.facing(face, rotation["sense"]))


def pad_sense(pad):
    """The pad's declared sense, facing the pad, when the spool turns in its normal direction."""
    rotation = pad["rotation"]
    if rotation["view"] == "facing-pad":
        return rotation["sense"]
    seen_from = geometry.VIEWED_FACE[rotation["view"]]
    return geometry.sense_facing(pad["faces"], geometry.facing(seen_from, rotation["sense"]))


def derived_rotor_sense(pad):
    """The rotor's sense, aft looking forward, for the pad's declared one, by its gears alone."""
    if "path" not in pad or "faces" not in pad:
        raise geometry.NotDerivable("no path or no face")
    spin = geometry.follow(pad["path"], geometry.facing(pad["faces"], pad_sense(pad)))
    return geometry.rotor_sense(spin)


def device_sense(pad):
    """The sense of the side the device couples to, facing it, when the spool turns normally."""
    sense = pad_sense(pad)
    adapter = pad.get("adapter")
    if adapter is None:
        return sense
    pad_face = pad.get("faces", "aft")
    face = adapter.get("faces", pad_face)
    reached = geometry.follow(adapter.get("path", []), geometry.facing(face, "cw"))
    same = geometry.sense_facing(pad_face, reached) == sense
    return "cw" if same else "ccw"


def positive(device, pad):
    """+1 where the device's positive rotation turns the spool in its normal direction."""
    return 1 if device_sense(pad) == device["shaft"]["positive"] else -1


def passing_order(definition, stage):
    """At a fixed port blade 2 comes after blade 1 when the numbers grow against the rotation."""
    numbering = stage["numbering"]
    if isinstance(numbering, str):
        return "rising" if numbering == "against-rotation" else "falling"
    spool = next(s for s in definition["spools"] if s["id"] == stage["spool"])
    return "falling" if spool_sense({"rotation": numbering}) == spool_sense(spool) else "rising"


# --- counts and schedules -----------------------------------------------------------------------


def counts_per_output_turn(device):
    shaft = device["shaft"]
    if "path" in shaft:
        gearing = path_ratio(shaft["path"])
    else:
        gearing = stated_gearing(str(shaft["reduction"]["motor"]),
                                 str(shaft["reduction"]["output"]))
    return shaft["counts-per-motor-turn"] * gearing


@functools.lru_cache(maxsize=None)
def stated_gearing(motor, output):
    return exact(motor) / exact(output)


def counts_per_pad_turn(device, pad):
    return counts_per_output_turn(device) * adapter_ratio(pad)


def counts_per_rotor_turn(device, pad):
    return counts_per_pad_turn(device, pad) * pad_ratio(pad).value


def round_half_up(number):
    return floor(number + Fraction(1, 2))


def nearest_below_one(fraction, limit):
    """The nearest r/d to a proper fraction with r < d <= limit."""
    near = fraction.limit_denominator(limit)
    return near if near < 1 else Fraction(limit - 1, limit)


def schedule(per_turn, blades, stepping="scheduled"):
    """K/N as whole counts and a proper fraction (q, r, d) that the device can carry."""
    step = per_turn / blades
    if stepping == "fixed":
        return round_half_up(step), 0, 1
    whole = floor(step)
    part = step - whole
    if part.denominator > LARGEST_DENOMINATOR:
        part = nearest_below_one(part, LARGEST_DENOMINATOR)
    return whole, part.numerator, part.denominator


def closure(per_turn, blades):
    """What a fixed device is off after one rotor turn, in counts."""
    return blades * round_half_up(per_turn / blades) - per_turn


def scheduled_count(plan, index):
    """The count of stop `index` by the device's rule: an accumulator that starts at half d."""
    whole, num, den = plan
    return index * whole + (den // 2 + index * num) // den


def turns_until_one_count_off(per_turn, blades, plan):
    """Rotor turns after which an approximated schedule is off by a count; None when it is exact."""
    whole, num, den = plan
    drift = abs(blades * (whole + Fraction(num, den)) - per_turn)
    return None if drift == 0 else 1 / drift


def worst_error(per_turn, blades, turns):
    """How far a stop can be off its blade within so many rotor turns, in counts."""
    plan = schedule(per_turn, blades)
    drift = turns_until_one_count_off(per_turn, blades, plan)
    if drift is None:
        return Fraction(plan[2] // 2, plan[2])
    return Fraction(1, 2) + turns / drift


def lowest(num, den):
    """A fraction as the program writes it: quicker in large numbers than a Fraction is."""
    common = gcd(num, den)
    return str(num // den) if common == den else f"{num // common}/{den // common}"


@functools.lru_cache(maxsize=None)
def degrees_of_stops(blades):
    """How far the rotor has turned at each stop, as the program writes it."""
    return [lowest(360 * index, blades) for index in range(blades)]


def stops(per_turn, blades, plan, per_pad_turn, order):
    """Every stop, blade one first and in passing order: (blade, count, pad_deg, error_counts)."""
    turn_num, turn_den = per_turn.numerator, per_turn.denominator * blades
    deg_num, deg_den = 360 * per_pad_turn.denominator, per_pad_turn.numerator
    rows = []
    for index in range(blades):
        count = scheduled_count(plan, index)
        blade = 1 + (index if order == "rising" else -index % blades)
        pad_deg = lowest(count * deg_num, deg_den)
        error = lowest(count * turn_den - index * turn_num, turn_den)
        rows.append((blade, count, pad_deg, error))
    return rows


def ports_of(stage):
    """The ports of a stage as a list."""
    ports = stage.get("port", [])
    return ports if isinstance(ports, list) else [ports]


def way(definition, spool):
    """+1 where the spool turns cw, aft looking forward, else -1."""
    rotor = next(s for s in definition["spools"] if s["id"] == spool)
    return 1 if spool_sense(rotor) == "cw" else -1


def clock_of(port):
    """The clock position as the program writes it: aft looking forward."""
    minutes = int(2 * port_angle(port))
    return f"{minutes // 60 or 12}:{minutes % 60:02}"


def ports_apart(definition, stage, per_turn):
    """How far the other ports are from the first one, as `stops` shows it.

    The rotor turns on from the first port to the other by the angle between them. Whole blades of
    that change nothing; of the rest, half a pitch at most, the rotor is short or too far.
    """
    first, *others = ports_of(stage) or [None]
    blades = stage["blades"]
    answers = []
    for port in others:
        turns = way(definition, stage["spool"]) * (port_angle(port) - port_angle(first)) / 360 % 1
        beyond = -turns * blades
        beyond -= round_half_up(beyond)
        answers.append(
            {
                "port": port["id"],
                "clock": clock_of(port),
                "rotor_deg": str(360 * turns),
                "blades": str(blades * turns),
                "counts": None if per_turn is None else str(turns * per_turn),
                "off_pitch": str(beyond),
                "off_deg": str(beyond * 360 / blades),
            }
        )
    return answers


def _of_stage(definition, stage, pad, per_turn):
    """What an answer says of the stage, by whatever it is turned."""
    first = next(iter(ports_of(stage)), None)
    return {
        "engine": definition["id"],
        "pad": pad,
        "stage": stage["id"],
        "port": first and first["id"],
        "clock": first and clock_of(first),
        "other_ports": ports_apart(definition, stage, per_turn),
        "blades": stage["blades"],
        "pitch_deg": str(Fraction(360, stage["blades"])),
        "order": passing_order(definition, stage),
    }


def by_hand(definition):
    """What `stops` has to say of every stage that no pad turns: degrees of the rotor."""
    driven = {pad["spool"] for pad in definition["pads"]}
    answers = []
    for stage in definition["stages"]:
        if stage["spool"] not in driven:
            blades = stage["blades"]
            rise = 1 if passing_order(definition, stage) == "rising" else -1
            rows = [(1 + rise * j % blades, degrees)
                    for j, degrees in enumerate(degrees_of_stops(blades))]
            answers.append({**_of_stage(definition, stage, None, None), "stops": rows})
    return answers


def turning(definition, device):
    """What `stops` has to say of every pad and every stage of its spool."""
    answers = []
    for pad in definition["pads"]:
        per_pad_turn = counts_per_pad_turn(device, pad)
        per_turn = counts_per_rotor_turn(device, pad)
        sign = positive(device, pad)
        for stage in definition["stages"]:
            if stage["spool"] != pad["spool"]:
                continue
            plan = schedule(per_turn, stage["blades"], device["stepping"])
            order = passing_order(definition, stage)
            answers.append(
                {
                    **_of_stage(definition, stage, pad["id"], per_turn),
                    "counts_per_rotor_turn": str(per_turn),
                    "whole": plan[0],
                    "num": plan[1],
                    "den": plan[2],
                    "positive": sign,
                    "stops": stops(per_turn, stage["blades"], plan, per_pad_turn, order),
                }
            )
    return answers


# --- one pass -----------------------------------------------------------------------------------


def known_blades(definition, stage):
    """The known blades of a stage and how to recognise each, by their numbers."""
    row = next(s for s in definition["stages"] if s["id"] == stage)
    return sorted((known["blade"], known["how"]) for known in row.get("known-blades", ()))


def _blade_one(definition, stage, port):
    """The rotor's angle, in turns from the datum mark, with blade one at this port."""
    clocking = exact(stage["clocking"], ANGLE) if "clocking" in stage else 0
    return way(definition, stage["spool"]) * port_angle(port) / 360 - clocking


def _blade_turns(definition, stage):
    """The turns of the rotor from a blade at a port to the next number; below 0 where they fall."""
    return Fraction(1 if passing_order(definition, stage) == "rising" else -1, stage["blades"])


def blade_after(definition, stage, blade):
    """The blade that comes to the port directly after another one."""
    rising = passing_order(definition, stage) == "rising"
    return 1 + (blade if rising else blade - 2) % stage["blades"]


def rotor_with(definition, stage, port, blade):
    """Where the rotor is with a blade at a port: turns from the datum mark, in [0, 1)."""
    port = next(p for p in ports_of(stage) if p["id"] == port)
    return (_blade_one(definition, stage, port) + (blade - 1) * _blade_turns(definition, stage)) % 1


def has_pass(definition, spool):
    """Whether a stage of the spool has a port."""
    return any(s["spool"] == spool and ports_of(s) for s in definition["stages"])


def parts_of_passes(definition, spool):
    """Into how many parts the stops of a pass can divide a turn, for any two of its ports."""
    ports = [lcm(_blade_one(definition, stage, port).denominator, stage["blades"])
             for stage in definition["stages"] if stage["spool"] == spool
             for port in ports_of(stage)]
    return {lcm(one, other) for one in ports for other in ports}


def one_pass(definition, spool, begin=None):
    """(place of count 0, stops in order, parts of a turn) of a pass; None: no stage has a port.

    A stop is (parts of a turn from there, stage, port, blade): whole numbers, which are quicker to
    sort and to go on with than fractions. `begin` is (stage, port, blade);
    without it the pass begins with blade one of the first stage with a clocking and a port, or else
    of the first with a port. A stage is in the pass where its clocking and that of the first relate
    the two, and the first itself always is.
    """
    rows = [s for s in definition["stages"] if s["spool"] == spool and ports_of(s)]
    if begin is None:
        first = next((s for s in rows if "clocking" in s), rows[0] if rows else None)
        if first is None:
            return None
        begin = (first, ports_of(first)[0], 1)
    stage, port, blade = begin
    zero = _blade_one(definition, stage, port) + (blade - 1) * _blade_turns(definition, stage)
    probes = [(place, which, _blade_one(definition, stage, port) - zero,
               _blade_turns(definition, stage))
              for place, stage in enumerate(rows)
              if stage is begin[0] or ("clocking" in stage and "clocking" in begin[0])
              for which, port in enumerate(ports_of(stage))]
    parts = lcm(*(turns.denominator for *_, start, step in probes for turns in (start, step)))
    found = []
    for place, which, start, step in probes:
        first, more = int(start * parts), int(step * parts)
        found += [((first + more * index) % parts, place, which, index + 1)
                  for index in range(rows[place]["blades"])]
    ordered = [(part, rows[place]["id"], ports_of(rows[place])[which]["id"], blade)
               for part, place, which, blade in sorted(found)]
    return (begin[0]["id"], begin[1]["id"], begin[2]), ordered, parts


def pass_stops(stops_of_pass, parts, per_turn, per_pad_turn):
    """(count, pad_deg, error_counts) of the stops of a pass: the whole counts nearest to them."""
    deg_num, deg_den = 360 * per_pad_turn.denominator, per_pad_turn.numerator
    den = parts * per_turn.denominator
    rows = []
    for part, *_ in stops_of_pass:
        num = part * per_turn.numerator
        count = (2 * num + den) // (2 * den)  # the nearest, half up
        rows.append((count, lowest(count * deg_num, deg_den), lowest(count * den - num, den)))
    return rows


def port_angle(port):
    """Degrees from 12 o'clock, clockwise aft looking forward."""
    clock = port["clock"]
    seen = clock if isinstance(clock, str) else clock["at"]
    return _clock_angle(seen, seen != clock and clock["view"] == "forward-looking-aft")


@functools.lru_cache(maxsize=None)
def _clock_angle(seen, mirrored):
    hours, minutes = seen.split(":")
    angle = 30 * (int(hours) % 12 + Fraction(int(minutes), 60))
    return -angle % 360 if mirrored else angle


def datum_counts(definition, stage, per_turn):
    """For each port, the count at which blade one stands there, from the datum mark at 12 o'clock.

    The rotor's angle grows in the normal direction. A counterclockwise rotor meets the ports the
    other way.
    """
    if "clocking" not in stage or "port" not in stage:
        return []
    turns = [_blade_one(definition, stage, port) % 1 for port in ports_of(stage)]
    return [round_half_up(turned * per_turn) for turned in turns]


# --- limits -------------------------------------------------------------------------------------


def down_to(resolution, number):
    return floor(number / resolution) * resolution


def device_backlash(pad):
    """The stated play, in revolutions at the device's own side; None without the pad's."""
    if "backlash" not in pad:
        return None
    play = interval(pad["backlash"], ANGLE)
    if "adapter" not in pad:
        return play
    play = play.scaled(adapter_ratio(pad))
    extra = interval(pad["adapter"].get("backlash", "0 deg"), ANGLE)
    return Interval(*(a + b for a, b in zip(play, extra)))


def backlash_known(pad):
    """Whether all play is stated: an adapter's gears, and its square, have some of their own."""
    adapter = pad.get("adapter", {})
    return "backlash" in pad and ("backlash" in adapter or not adapter.keys() & {"path", "square"})


def backlash_counts(device, pad):
    return ceil(device_backlash(pad).hi * counts_per_output_turn(device))


def rotor_backlash(pad):
    """The play at the rotor at its worst, in revolutions."""
    return device_backlash(pad).hi / adapter_ratio(pad) / pad_ratio(pad).lo


def torque_offered(pad):
    """The most the pad and its adapter stand, in newton metres at the device."""
    offered = exact(pad["torque-limit"], TORQUE) / adapter_ratio(pad)
    if "torque-limit" in pad.get("adapter", {}):
        offered = min(offered, exact(pad["adapter"]["torque-limit"], TORQUE))
    return offered


def torque_limit(device, pad):
    torque = device["torque"]
    capped = min(torque_offered(pad), exact(torque["max"], TORQUE))
    return down_to(exact(torque["resolution"], TORQUE), capped)


def speed_offered(pad, spool):
    """The fastest the device may turn by the spool's limit, in revolutions a minute, or None."""
    if "max-speed" not in spool:
        return None
    return exact(spool["max-speed"], SPEED) * pad_ratio(pad).lo * adapter_ratio(pad)


def speed_limit(device, pad, spool):
    speed = device["speed"]
    fastest = exact(speed["max"], SPEED)
    offered = speed_offered(pad, spool)
    capped = fastest if offered is None else min(offered, fastest)
    return down_to(exact(speed["resolution"], SPEED), capped)
