"""A second reckoning of library/functions/tapers.job."""

from math import atan2, cos, pi, sin, sqrt, tan


def taper_rate(big, small, length):
    return big / length - small / length


def half_angle(rate):
    return atan2(rate, 2)


def rate_from_angle(half_angle):
    return 2 * sin(half_angle) / cos(half_angle)


def top_slide_angle(big, small, length):
    return half_angle(taper_rate(big, small, length))


def set_over(big, small, taper_length, overall_length):
    return taper_rate(big, small, taper_length) / 2 * overall_length


def set_over_from_rate(rate, overall_length):
    return rate / 2 * overall_length


def set_over_from_angle(half_angle, overall_length):
    return overall_length * cos(pi / 2 - half_angle)


def diameter_at(distance, small, rate):
    return small + 2 * distance * tan(half_angle(rate))


def small_end(big, length, rate):
    return big - 2 * length * tan(half_angle(rate))


def length_between(big, small, rate):
    return (big - small) / 2 / tan(half_angle(rate))


def infeed_for_diameter(reduction, half_angle, by="cross slide"):
    return {"cross slide": reduction / 2, "carriage": reduction / 2 * cos(half_angle) / sin(half_angle)}[by]


def fine_infeed(reduction, slide_angle):
    return reduction / 2 / cos(pi / 2 - slide_angle)


def slide_angle_for(ratio):
    return atan2(ratio, sqrt(1 - ratio**2))
