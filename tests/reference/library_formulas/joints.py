"""A second reckoning of library/functions/joints.job."""

from math import pi

from .basis import solve
from .tables import expansion_rate, poisson_ratio, stiffness, stress_area, thread


def hollow(inside, outside, inside_pressure, outside_pressure, young, radius, poisson):
    """Lame's thick tube: hoop stress and radial growth at a radius."""
    a, b = inside / 2, outside / 2
    c1 = (inside_pressure * a**2 - outside_pressure * b**2) / (b**2 - a**2)
    c2 = (inside_pressure - outside_pressure) * a**2 * b**2 / (b**2 - a**2)
    hoop, radial = c1 + c2 / radius**2, c1 - c2 / radius**2
    return hoop, radius * (hoop - poisson * radial) / young


def press_fit(
    diameter,
    length,
    interference,
    hub_outside,
    bore=0,
    shaft_material="mild steel",
    hub_material="mild steel",
    friction=0.12,
):
    radius = diameter / 2

    def overlap(pressure):
        grown = hollow(diameter, hub_outside, pressure, 0, stiffness(hub_material), radius, poisson_ratio(hub_material))[1]
        shrunk = hollow(bore, diameter, 0, pressure, stiffness(shaft_material), radius, poisson_ratio(shaft_material))[1]
        return 2 * (grown - shrunk) - interference

    pressure = solve(overlap, 0, 1e11)
    force = friction * pressure * (2 * pi * radius * length)
    return {
        "pressure": pressure,
        "force": force,
        "torque": force * radius,
        "hub_stress": hollow(diameter, hub_outside, pressure, 0, 1, radius, 0)[0],
        "shaft_stress": abs(hollow(bore, diameter, 0, pressure, 1, bore / 2 if bore else radius, 0)[0]),
    }


def shrink_temperature(diameter, interference, clearance, material, room=293.15):
    wanted = diameter + interference + clearance
    return solve(lambda t: diameter * (1 + expansion_rate(material) * (t - room)) - wanted, room, room + 1e5)


def retained_force(diameter, length, strength):
    return strength * (pi * diameter * length)


def retained_torque(diameter, length, strength):
    return retained_force(diameter, length, strength) * diameter / 2


def pin_shear(diameter, strength, planes=1):
    return planes * strength * pi * (diameter / 2) ** 2


def pin_torque(pin, shaft, strength):
    return 2 * pin_shear(pin, strength) * shaft / 2  # two sections, each at the shaft's radius


def bolt_preload(designation, proof, share=0.75):
    return share * (proof * stress_area(designation))


def bolt_preload_torque(designation, preload, nut_factor=0.2):
    return preload * thread(designation)["major"] * nut_factor
