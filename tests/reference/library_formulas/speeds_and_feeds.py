"""A second reckoning of library/functions/speeds_and_feeds.job."""

from math import acos, pi, sin, sqrt

from .tables import cutting_force


def spindle_speed(cutting_speed, diameter):
    return 1 / (pi * diameter / cutting_speed)  # one turn takes the girth over the speed


def surface_speed(spindle_speed, diameter):
    return 2 * pi * spindle_speed * diameter / 2  # angular speed x radius


def milling_feed(feed_per_tooth, teeth, spindle_speed):
    return feed_per_tooth * (teeth * spindle_speed)


def turning_feed(feed_per_rev, spindle_speed):
    return feed_per_rev * spindle_speed


def feed_per_tooth(feed_rate, teeth, spindle_speed):
    return feed_rate / spindle_speed / teeth


def feed_per_tooth_thinned(feed, width, cutter):
    if width >= cutter / 2:
        return feed
    return feed / sin(acos(1 - 2 * width / cutter))  # chip thickness = feed x sin(engagement angle)


def cutting_time(length, feed_rate, approach=0):
    return length / feed_rate + approach / feed_rate


def removal_rate_turning(cutting_speed, feed, depth):
    return feed * depth * cutting_speed


def removal_rate_milling(width, depth, feed_rate):
    return feed_rate * (width * depth)


def removal_rate_drilling(diameter, feed, spindle_speed):
    return pi * (diameter / 2) ** 2 * (feed * spindle_speed)


def cutting_power(removal_rate, material, efficiency=1):
    return removal_rate * cutting_force(material) / efficiency


def tangential_force(feed, depth, material):
    return depth * feed * cutting_force(material)


def ridge_height(feed, nose_radius):
    return nose_radius - sqrt(nose_radius**2 - feed**2 / 4)  # exact: the sagitta between two passes
