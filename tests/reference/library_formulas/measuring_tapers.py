"""A second reckoning of library/functions/measuring_tapers.job."""

from math import asin, atan2, cos, pi, sin, sqrt

from .basis import solve
from .tapers import diameter_at, half_angle, length_between


def sine_bar(angle, length):
    return length * cos(pi / 2 - angle)


def angle_from_sine_bar(stack, length):
    return atan2(stack, sqrt(length**2 - stack**2))


def taper_over_rolls(small, half_angle, roll, height=0):
    radius = roll / 2
    # Roll centre at (x, height + radius), a radius from the side through (small/2, 0) along (sin a, cos a).
    def gap(x):
        return (x - small / 2) * cos(half_angle) - (height + radius) * sin(half_angle) - radius

    return 2 * (solve(gap, 0, 10 * (small + roll + height)) + radius)


def small_from_rolls(reading, half_angle, roll, height=0):
    return solve(lambda small: taper_over_rolls(small, half_angle, roll, height) - reading, 0, reading)


def half_angle_from_rolls(lower, upper, height):
    return half_angle((upper - lower) / height)


def half_angle_from_balls(big, small, big_proud, small_depth):
    big_centre = big_proud - big / 2
    small_centre = -small_depth - small / 2
    return asin((big / 2 - small / 2) / (big_centre - small_centre))


def disc_centres(big, small, half_angle):
    return solve(lambda c: asin(min(1, (big - small) / 2 / c)) - half_angle, (big - small) / 2, 1e4 * big)


def indicator_rise(half_angle, travel, along="carriage"):
    if along == "carriage":
        return travel * sin(half_angle) / cos(half_angle)
    return travel * cos(pi / 2 - half_angle)


def angle_correction(rise_wanted, rise_seen, travel, along="carriage"):
    def angle(rise):
        return solve(lambda a: indicator_rise(a, travel, along) - rise, 0, pi / 2 - 1e-9)

    return angle(rise_wanted) - angle(rise_seen)


def stand_off(diameter_error, rate):
    return length_between(diameter_error, 0, rate)


def diameter_to_come_off(stand_off, rate):
    return diameter_at(stand_off, 0, rate)
