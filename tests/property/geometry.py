"""Which way a shaft turns, found from the velocity of the teeth where they touch.

A shaft is its angular velocity, a vector. Two gears in mesh have the same velocity at the point
where their pitch circles touch; given one gear's angular velocity and the place of both axes that
settles the other's. No rule of signs is used anywhere: every sign comes out of a cross product.

The engine's axes are right-handed: x forward, y to the left, z up. Turning clockwise when looking
along a direction is turning right-handed about it.
"""

import functools
import math
from fractions import Fraction

FACES = {
    "forward": (1, 0, 0),
    "aft": (-1, 0, 0),
    "left": (0, 1, 0),
    "right": (0, -1, 0),
    "up": (0, 0, 1),
    "down": (0, 0, -1),
}
MEMBERS = ("sun", "ring", "carrier")


class NotDerivable(Exception):
    """The definition does not say enough to follow the rotation."""


class OffAxis(Exception):
    """A gear sits on a shaft whose axis it does not share, or the path ends off the rotor's."""


def cross(a, b):
    return (
        a[1] * b[2] - a[2] * b[1],
        a[2] * b[0] - a[0] * b[2],
        a[0] * b[1] - a[1] * b[0],
    )


def dot(a, b):
    return a[0] * b[0] + a[1] * b[1] + a[2] * b[2]


def times(number, vector):
    """A part that is 0 stays a whole number, which is quicker to go on with than a fraction."""
    return tuple(number * part if part else 0 for part in vector)


def plus(a, b):
    return tuple(x + y for x, y in zip(a, b))


def parallel(a, b):
    return cross(a, b) == (0, 0, 0)


def axis_of(spin):
    """The unit direction a shaft turns right-handed about; every axis is one of the six."""
    return next(face for face in FACES.values() if parallel(face, spin) and dot(face, spin) > 0)


def radial_to(axis):
    """Any unit direction square to the axis."""
    return next(face for face in FACES.values() if dot(face, axis) == 0)


def speed_with(axis, arm, velocity):
    """The speed about `axis` that gives the point at `arm` this velocity."""
    per_unit = cross(axis, arm)
    speed = Fraction(dot(velocity, per_unit), dot(per_unit, per_unit))
    assert times(speed, per_unit) == velocity, "no rotation about this axis gives that velocity"
    return speed


# Each of these takes the axis of a shaft that turns once about it, and gives the axis of the shaft
# at the far end of the mesh and its speed. The same meshes are asked about again and again.


@functools.lru_cache(maxsize=None)
def _external(axis, teeth):
    out = radial_to(axis)
    turns = Fraction(1)
    for a, b in zip(teeth, teeth[1:]):
        # The next centre lies a + b further out: the same point is at +a from one centre and at
        # -b from the other.
        turns *= speed_with(axis, times(-b, out), cross(axis, times(a, out)))
    return axis, turns


@functools.lru_cache(maxsize=None)
def _internal(axis, teeth):
    out = radial_to(axis)
    # The pinion is inside the ring, both centres on the same side of the point of contact.
    return axis, speed_with(axis, times(teeth[1], out), cross(axis, times(teeth[0], out)))


@functools.lru_cache(maxsize=None)
def _bevel(axis, teeth, backs):
    back_a, back_b = (FACES[name] for name in backs)
    a, b = teeth
    if not parallel(back_a, axis) or dot(back_a, back_b) != 0:
        raise OffAxis("a bevel off its shaft")
    # Both pitch cones have their apex where the shafts cross. The gears lie on the sides their
    # backs face, and touch along the line whose distance from each axis is as its gear's teeth.
    touch = plus(times(b, back_a), times(a, back_b))
    return back_b, speed_with(back_b, touch, cross(axis, touch))


def through_bevel(axis, mesh):
    if isinstance(mesh, (list, tuple)) or "backs" not in mesh:
        raise NotDerivable("a bevel without backs")
    return _bevel(axis, tuple(mesh["teeth"]), tuple(mesh["backs"]))


def epicyclic_speeds(mesh, speed):
    """Speeds of sun, ring and carrier about the common axis, the `in` member turning at `speed`.

    A planet is a rigid wheel: its centre moves at the mean of the two rims it rolls on.
    """
    members = mesh["in"], mesh["held"], mesh["out"]
    return dict(zip(members, _speeds(mesh["sun"], mesh["ring"], members, speed)))


@functools.lru_cache(maxsize=None)
def _speeds(sun, ring, members, speed):
    """Those of the members in, held and out; the same gears are asked about again and again."""
    into, held, out_of = members
    axis, out = (1, 0, 0), (0, 0, 1)

    def slip(speeds):
        at_sun = cross(times(speeds["sun"], axis), times(sun, out))
        at_ring = cross(times(speeds["ring"], axis), times(ring, out))
        centre = times(Fraction(1, 2), plus(at_sun, at_ring))
        arm = cross(times(speeds["carrier"], axis), times(Fraction(sun + ring, 2), out))
        return plus(centre, times(-1, arm))[1]

    known = {into: Fraction(speed), held: Fraction(0)}
    at_rest = slip({**known, out_of: Fraction(0)})
    at_one = slip({**known, out_of: Fraction(1)})
    return known[into], known[held], at_rest / (at_rest - at_one)


THROUGH = {
    "external": lambda axis, teeth: _external(axis, tuple(teeth)),
    "internal": lambda axis, teeth: _internal(axis, tuple(teeth)),
    "bevel": through_bevel,
    "epicyclic": lambda axis, mesh: (axis, epicyclic_speeds(mesh, 1)[mesh["out"]]),
    "direct": lambda axis, _: (axis, 1),
}


def follow(path, spin):
    """The angular velocity at the far end of a path whose near end turns with `spin`.

    All velocities in a mesh grow with the speed of its shaft, so each is asked about one turn.
    """
    axis = axis_of(spin)
    speed = dot(axis, spin)
    for mesh in path:
        if mesh != "direct":
            ((kind, given),) = mesh.items()
            axis, turns = THROUGH[kind](axis, given)
            speed *= turns
    return times(speed, axis)


def facing(face, sense):
    """The unit spin of a shaft end that turns `sense` when one faces it (looking at its face)."""
    return times(-1 if sense == "cw" else 1, FACES[face])


def sense_facing(face, spin):
    """The inverse: `cw` or `ccw` for a spin about the axis of `face`."""
    if not parallel(FACES[face], spin):
        raise OffAxis(face)
    return "cw" if dot(FACES[face], spin) < 0 else "ccw"


# Looking forward from aft is facing something that faces aft.
VIEWED_FACE = {"aft-looking-forward": "aft", "forward-looking-aft": "forward"}


def rotor_sense(spin):
    """`cw` or `ccw` aft looking forward."""
    return sense_facing("aft", spin)


def opposite(sense):
    return "ccw" if sense == "cw" else "cw"


def planets_touch(sun, planet, planets):
    """Whether neighbouring planets leave no room between their tips.

    SDP/SI, Elements of Metric Gear Technology, p. T-116, eq. 13-9. Only two and six planets give a
    rational sine; for all others equality cannot be.
    """
    if planets in (2, 6):
        return (sun + planet) * (2 if planets == 2 else 1) <= 2 * (planet + 2)
    return planets > 1 and (sun + planet) * math.sin(math.pi / planets) < planet + 2
