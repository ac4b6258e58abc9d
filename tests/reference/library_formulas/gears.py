"""A second reckoning of library/functions/gears.job."""

import math
from math import atan2, cos, pi, radians, tan

from .basis import INCH, integral


def module_from_dp(diametral_pitch):
    return INCH / diametral_pitch


def module_from_outside(outside, teeth):
    return outside / (teeth + 2)


def gear_centres(module, teeth_a, teeth_b):
    return module * teeth_a / 2 + module * teeth_b / 2


def involute(angle):
    return integral(lambda a: tan(a) ** 2, 0, angle)  # d(tan a - a) = tan^2 a da


def span_teeth(teeth, pressure_angle=radians(20)):
    return max(2, math.floor(teeth * pressure_angle / pi + 1))


def span(module, teeth, over, pressure_angle=radians(20), shift=0):
    base = module * teeth * cos(pressure_angle)
    thickness = module * (pi / 2 + 2 * shift * tan(pressure_angle))
    base_thickness = base * (thickness / (module * teeth) + involute(pressure_angle))
    return (over - 1) * pi * base / teeth + base_thickness  # base pitches and one tooth thickness at the base


def backlash_depth(backlash, pressure_angle=radians(20)):
    return backlash / 2 / tan(pressure_angle)


def formative_teeth(teeth, helix):
    return teeth * (1 + tan(helix) ** 2) ** 1.5


def worm(module, starts, diameter):
    lead = starts * pi * module
    return {
        "pitch": pi * module,
        "lead": lead,
        "lead_angle": atan2(lead, pi * diameter),
        "outside": diameter + 2 * module,
        "root": diameter - 2 * 1.25 * module,
        "depth": module + 1.25 * module,
    }


def worm_wheel(module, teeth, worm_diameter):
    pitch_diameter = module * teeth
    centres = worm_diameter / 2 + pitch_diameter / 2
    return {
        "pitch_diameter": pitch_diameter,
        "throat": pitch_diameter + 2 * module,
        "throat_radius": centres - (pitch_diameter + 2 * module) / 2,
        "root": pitch_diameter - 2 * 1.25 * module,
        "depth": 2.25 * module,
        "centres": centres,
    }
