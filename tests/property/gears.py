"""Draws meshes and paths: teeth that could mesh, and bevels that end where they must."""

import geometry
from written import log_uniform

AXES = {"x": ("aft", "forward"), "y": ("left", "right"), "z": ("up", "down")}
AXIS_OF = {face: axis for axis, faces in AXES.items() for face in faces}


def _pair(rng, least=14, most=110):
    """Two tooth counts whose ratio is not extreme, as often up as down."""
    a = rng.randint(least, most)
    b = min(most, max(least, int(a * log_uniform(rng, 0.4, 2.5))))
    return [a, b]


def _internal(rng):
    pinion = rng.randint(14, 60)
    return rng.sample([pinion, pinion + rng.randint(9, 80)], 2)


def epicyclic(rng, *members):
    while True:
        sun, planet = rng.randint(14, 60), rng.randint(14, 50)
        ring = sun + 2 * planet
        fitting = [count for count in (2, 3, 4, 5, 6, 7) if (sun + ring) % count == 0
                   and not geometry.planets_touch(sun, planet, count)]
        if fitting:
            break
    into, out, held = members or rng.sample(geometry.MEMBERS, 3)
    given = {"sun": sun, "ring": ring, "planet": planet, "planets": rng.choice(fitting)}
    return {**given, "in": into, "out": out, "held": held}


def coaxial(rng):
    kind = rng.random()
    if kind < 0.6:
        teeth = _pair(rng)
        for _ in range(rng.choice((0, 0, 0, 1, 1, 2))):
            teeth.insert(1, rng.randint(14, 90))
        return {"external": teeth}
    if kind < 0.75:
        return {"internal": _internal(rng)}
    if kind < 0.95:
        return {"epicyclic": epicyclic(rng)}
    return "direct"


def _bevel_axes(rng, start, end, count):
    """The axes between `start` and `end` over so many right angles, or None if impossible."""
    axes = [start]
    for left in range(count, 0, -1):
        near = [axis for axis in AXES if axis != axes[-1]]
        if left == 1:
            near = [axis for axis in near if axis == end]
        elif left == 2:
            near = [axis for axis in near if axis != end]
        if not near:
            return None
        axes.append(rng.choice(near))
    return axes if axes[-1] == end else None


def path_between(rng, start, end, meshes, backs=True):
    """A path from one axis to another; `backs=False` leaves out what proves its sense."""
    while True:
        bevels = rng.choice((0, 0, 1, 2, 2, 3))
        axes = _bevel_axes(rng, start, end, bevels) if bevels <= meshes else None
        if axes is not None:
            break
        meshes = max(meshes, 2)
    places = set(rng.sample(range(meshes), bevels))
    path = []
    for place in range(meshes):
        if place not in places:
            path.append(coaxial(rng))
            continue
        teeth = _pair(rng)
        if backs:
            faces = [rng.choice(AXES[axes.pop(0)]), rng.choice(AXES[axes[0]])]
            path.append({"bevel": {"teeth": teeth, "backs": faces}})
        else:
            path.append({"bevel": rng.choice((teeth, {"teeth": teeth}))})
    return path
