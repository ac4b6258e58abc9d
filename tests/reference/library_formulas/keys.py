"""A second reckoning of library/functions/keys.job."""

from math import sqrt

from .basis import INCH


def key_torque(shaft, width, height, length, shear, bearing):
    return min(shear * width * length * shaft / 2, bearing * (height / 2) * length * shaft / 2)


def keyway_side_depth(shaft, width, depth):
    bottom = shaft / 2 - depth
    return sqrt((shaft / 2) ** 2 - (width / 2) ** 2) - bottom


def keyseat_far_side(shaft, width, height):
    edge = sqrt((shaft / 2) ** 2 - (width / 2) ** 2)
    return shaft / 2 + edge - height / 2


def hub_keyseat_far_side(shaft, width, height, clearance=0.005 * INCH):
    return keyseat_far_side(shaft, width, height) + height + clearance
