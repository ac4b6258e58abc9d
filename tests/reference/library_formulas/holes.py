"""A second reckoning of library/functions/holes.job."""

from math import pi, radians, tan

from .basis import MM, solve


def point_length(diameter, angle=radians(118)):
    return diameter / 2 * tan(pi / 2 - angle / 2)


def drill_depth(full_depth, diameter, angle=radians(118)):
    return point_length(diameter, angle) + full_depth


def through_depth(thickness, diameter, angle=radians(118), beyond=MM):
    return drill_depth(thickness + beyond, diameter, angle)


def countersink_depth(diameter, hole=0, angle=radians(90)):
    return point_length(diameter, angle) - (point_length(hole, angle) if hole else 0)


def countersink_diameter(depth, hole=0, angle=radians(90)):
    return solve(lambda d: countersink_depth(d, hole, angle) - depth, hole, hole + 1000 * depth)


def spot_depth(chamfer_diameter, angle=radians(90)):
    return point_length(chamfer_diameter, angle)
