"""A second reckoning of library/functions/stock.job."""

from math import pi, radians, tan

from .basis import MM
from .tables import density


def blank_length(finished, facing=MM, cut=1.5 * MM):
    length = facing + finished + facing
    return {"length": length, "from_bar": length + cut}


def pieces_from(bar, blank, cut=1.5 * MM, grip=0):
    count, left, hair = 0, bar, 1e-9
    while left - blank - (cut if grip else 0) >= grip - hair:  # saw one after the other
        left = max(left - blank - cut, 0)
        count += 1
    return {"count": count, "left_over": left}


def weight_tube(outside, bore, length, material):
    return pi * (outside + bore) / 2 * (outside - bore) / 2 * length * density(material)


def weight_round(diameter, length, material):
    return weight_tube(diameter, 0, length, material)


def weight_hex(flats, length, material):
    triangle = flats / 2 * (flats / 2 * tan(pi / 6))  # half a side times the height, twice a side
    return 6 * triangle * length * density(material)


def weight_flat(width, length, thickness, material):
    return density(material) * (width * thickness) * length


def bend_allowance(radius, thickness, angle=radians(90), neutral=0.41):
    return 2 * pi * (radius + neutral * thickness) * angle / (2 * pi)


def bent_blank(first, second, radius, thickness, neutral=0.41):
    straight = first - radius - thickness + second - radius - thickness
    return straight + bend_allowance(radius, thickness, neutral=neutral)


def knurl_blank(pitch, near, take="under"):
    teeth = 0
    while pitch * (teeth + 1) / pi <= near + 1e-12:
        teeth += 1
    if take == "over" and pitch * teeth / pi < near - 1e-12:
        teeth += 1
    return pitch * teeth / pi
