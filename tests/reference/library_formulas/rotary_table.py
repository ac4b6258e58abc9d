"""A second reckoning of library/functions/rotary_table.job."""

from math import atan2, pi, sqrt

from .basis import solve


def table_offset(radius, cutter, side="outside"):
    return radius + {"outside": 1, "inside": -1}[side] * cutter / 2


def table_radius(offset, cutter, side="outside"):
    return solve(lambda radius: table_offset(radius, cutter, side) - offset, 0, 2 * (offset + cutter))


def arc_angle(arc, radius):
    return 2 * pi * arc / (2 * pi * radius)


def cutter_angle(cutter, offset):
    return atan2(cutter / 2, sqrt(offset**2 - cutter**2 / 4))


def crank_speed(feed_rate, radius, ratio=90):
    table = feed_rate / (2 * pi * radius)
    return table * ratio
