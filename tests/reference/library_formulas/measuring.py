"""A second reckoning of library/functions/measuring.job."""

import math
from math import cos, hypot, pi, radians, sin, sqrt, tan

from .basis import MM, solve
from .tables import expansion_rate


def dovetail_over_rolls(width, depth, angle, roll, kind="male"):
    # A roll in the sharp corner: its centre lies on the bisector, a radius above the base.
    from_corner = roll / 2 / tan(angle / 2) + roll / 2
    lean = depth * cos(angle) / sin(angle)
    if kind == "male":
        return 2 * (width / 2 - lean + from_corner)
    return 2 * (width / 2 + lean - from_corner)


def dovetail_width_from_rolls(reading, depth, angle, roll, kind="male"):
    far = 10 * (reading + depth / tan(angle) + roll)
    return solve(lambda width: dovetail_over_rolls(width, depth, angle, roll, kind) - reading, -far, far)


def reading_over_rolls(radius, roll):
    # Roll and arc stand on one plate and touch: centres a sum of radii apart.
    across = sqrt((radius + roll / 2) ** 2 - (radius - roll / 2) ** 2)
    return 2 * across + roll


def radius_over_rolls(reading, roll):
    return solve(lambda radius: reading_over_rolls(radius, roll) - reading, 0, 100 * reading**2 / roll)


def vee_centre(diameter, angle=radians(90)):
    return hypot(diameter / 2, diameter / 2 / tan(angle / 2))


def vee_depth(diameter, angle=radians(90)):
    return vee_centre(diameter, angle) + diameter / 2


def expansion(length, material, rise):
    return length * (1 + expansion_rate(material) * rise) - length


def size_at_20(measured, material, temperature):
    rise = temperature - 293.15
    return solve(lambda size: size + expansion(size, material, rise) - measured, 0, 2 * measured)


def left_to_take(measured, wanted, on="diameter", side="outside"):
    left = {"outside": 1, "inside": -1}[side] * (measured - wanted)
    return left / {"diameter": 1, "radius": 2}[on]


def cosine_error(length, angle):
    return 2 * length * sin(angle / 2) ** 2


def true_reading(reading, angle):
    return reading * sin(pi / 2 - angle)


def off_centre(total_reading):
    return 0.5 * total_reading


def centres_from_pins(reading, first, second, taken="over"):
    return reading + {"over": -1, "between": 1}[taken] * (first / 2 + second / 2)


def to_readout(length, step=0.005 * MM):
    return math.floor(length / step + 0.5) * step
