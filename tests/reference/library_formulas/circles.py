"""A second reckoning of library/functions/circles.job."""

from math import acos, asin, atan2, cos, hypot, pi, sin, sqrt, tan

from .basis import integral, solve


def spacing_chord(diameter, count, spaces=1):
    angle = 2 * pi * spaces / count
    return hypot(diameter / 2 * (1 - cos(angle)), diameter / 2 * sin(angle))


def chord(diameter, angle):
    return hypot(diameter / 2 * (1 - cos(angle)), diameter / 2 * sin(angle))


def arc_length(radius, angle):
    return 2 * pi * radius * angle / (2 * pi)


def radius_from_sagitta(chord, height):
    return radius_of_three_points(-chord / 2, 0, chord / 2, 0, 0, height)


def sagitta(radius, chord):
    return radius * (1 - cos(asin(chord / 2 / radius)))


def chord_from_sagitta(radius, height):
    return 2 * radius * sin(acos(1 - height / radius))


def segment_area(radius, height):
    # With x = r cos(t) the root's steep ends go away: 2 r^2 times the integral of sin^2.
    return 2 * radius**2 * integral(lambda t: sin(t) ** 2, 0, acos(1 - height / radius))


def flank_angle(big, small, centres):
    return atan2((big - small) / 2, flank_length(big, small, centres))


def flank_length(big, small, centres):
    return sqrt((centres - (big - small) / 2) * (centres + (big - small) / 2))


def flank_points(big, small, centres):
    # The foot of the radius is where the circle over the segment to the point of similitude meets the boss.
    if big == small:
        return {"big_x": 0, "big_y": big / 2, "small_x": 0, "small_y": small / 2}
    apex = centres * big / (big - small)
    big_x = (big / 2) ** 2 / apex
    small_x = (small / 2) ** 2 / (apex - centres)
    return {
        "big_x": big_x,
        "big_y": sqrt((big / 2) ** 2 - big_x**2),
        "small_x": small_x,
        "small_y": sqrt((small / 2) ** 2 - small_x**2),
    }


def crossed_flank_angle(first, second, centres):
    return atan2((first + second) / 2, crossed_flank_length(first, second, centres))


def crossed_flank_length(first, second, centres):
    return sqrt((centres - (first + second) / 2) * (centres + (first + second) / 2))


def across_corners(flats, sides):
    return hypot(flats, flats * tan(pi / sides))


def across_flats(corners, sides):
    return solve(lambda flats: across_corners(flats, sides) - corners, 0, corners)


def flat_depth(diameter, width):
    return diameter / 2 * (1 - cos(asin(width / diameter)))


def flat_width(diameter, depth):
    return solve(lambda width: flat_depth(diameter, width) - depth, 0, diameter)


def depth_to_flats(diameter, flats):
    return diameter / 2 - flats / 2


def throw_heights(throw, angle, first=0):
    low, high = throw * cos(pi / 2 - first), throw * cos(pi / 2 - first - angle)
    return {"first": low, "second": high, "difference": high - low}


def centre_of_three_points(x1, y1, x2, y2, x3, y3):
    # Two lines of equal distance, a x + b y = c, by Cramer's rule.
    a1, b1, c1 = x2 - x1, y2 - y1, (x2**2 - x1**2 + y2**2 - y1**2) / 2
    a2, b2, c2 = x3 - x1, y3 - y1, (x3**2 - x1**2 + y3**2 - y1**2) / 2
    d = a1 * b2 - a2 * b1
    return {"x": (c1 * b2 - c2 * b1) / d, "y": (a1 * c2 - a2 * c1) / d}


def radius_of_three_points(x1, y1, x2, y2, x3, y3):
    centre = centre_of_three_points(x1, y1, x2, y2, x3, y3)
    return hypot(x1 - centre["x"], y1 - centre["y"])
