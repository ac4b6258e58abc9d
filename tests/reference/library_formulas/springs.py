"""A second reckoning of library/functions/springs.job."""

from math import pi

from .basis import integral
from .tables import shear_modulus, stiffness


def spring_rate(wire, mean_diameter, coils, material="spring steel", rigidity=None):
    modulus = rigidity if rigidity is not None else shear_modulus(material)
    polar = pi * wire**4 / 32  # the wire as a torsion bar of length pi D n on an arm D / 2
    twist_per_force = (mean_diameter / 2) * (pi * mean_diameter * coils) / (modulus * polar)
    return 1 / (twist_per_force * mean_diameter / 2)


def spring_stress(wire, mean_diameter, force):
    index = mean_diameter / wire
    wahl = (4 * index - 1) / (4 * index - 4) + 0.615 / index
    return wahl * (force * mean_diameter / 2) * (wire / 2) / (pi * wire**4 / 32)


def spring_solid_length(wire, total_coils, ends="ground"):
    return wire * total_coils + {"ground": 0, "plain": wire}[ends]


def second_moment(diameter):
    return pi * (diameter / 2) ** 4 / 4


def overhang_deflection(diameter, overhang, force, material):
    # Unit-load integral of the bending moment.
    bending = integral(lambda x: force * x * x, 0, overhang, 100)
    return bending / (stiffness(material) * second_moment(diameter))


def between_centres_deflection(diameter, length, force, material):
    bending = 2 * integral(lambda x: force / 2 * x * x / 2, 0, length / 2, 100)
    return bending / (stiffness(material) * second_moment(diameter))
