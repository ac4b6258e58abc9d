"""A second reckoning of library/functions/threads.job."""

from math import atan2, cos, hypot, pi, radians, sin, tan

from .basis import solve
from .tables import thread


def thread_depth(designation):
    return thread(designation)["depth"]


def top_slide_infeed(depth, compound=radians(29.5)):
    return hypot(depth, depth * tan(compound))


def infeed(designation, compound=None):
    t = thread(designation)
    return top_slide_infeed(t["depth"], t["angle"] / 2 - radians(0.5) if compound is None else compound)


def helix_angle(designation, starts=None):
    t = thread(designation)
    return atan2(t.get("lead", t["pitch"]) if starts is None else t["pitch"] * starts, 2 * pi * t["pitch_diameter"] / 2)


def thread_length_for(designation, diameters=1):
    t = thread(designation)
    return {"length": diameters * t["major"], "turns": diameters * t["major"] / t["pitch"]}


def turns_engaged(designation, length):
    return length / thread(designation)["pitch"]


def best_wire(designation):
    t = thread(designation)
    return solve(  # the wire whose points of touch lie a quarter of a pitch from its centre
        lambda wire: wire / 2 * cos(t["angle"] / 2) - t["pitch"] / 4, 0, t["pitch"]
    )


def wire_constant(pitch_diameter, pitch, wire, angle=radians(60), starts=None):
    half = angle / 2
    if starts is None:
        vertex = -pitch / 4 / tan(half)  # where the flanks would meet, from the pitch line
        return 2 * (vertex + wire / 2 / sin(half) + wire / 2)
    # The wire as a roll in the space of a helical gear of `starts` teeth whose axial section is the thread.
    lead_angle = atan2(starts * pitch, pi * pitch_diameter)
    transverse = atan2(tan(half), tan(lead_angle))
    radius = pitch_diameter / 2 * cos(transverse)
    base_helix = atan2(radius * 2 * pi, starts * pitch)  # of the base cylinder, from the axis
    space = pi / starts - (tan(transverse) - transverse) - pitch / 2 / (pitch_diameter * tan(lead_angle))
    wanted = wire / 2 / (radius * cos(base_helix)) - space
    at_wire = solve(lambda a: tan(a) - a - wanted, 0, pi / 2 - 1e-12)
    return 2 * radius / cos(at_wire) + wire - pitch_diameter


def over_three_wires(pitch_diameter, pitch, wire, angle=radians(60), starts=None):
    return pitch_diameter + wire_constant(pitch_diameter, pitch, wire, angle, starts)


def over_wires(designation, wire):
    t = thread(designation)
    return over_three_wires(t["pitch_diameter"], t["pitch"], wire, t["angle"], counted(t))


def counted(t):
    return t.get("starts", 1) if t["angle"] < radians(45) or t.get("starts", 1) > 1 else None


def pitch_diameter_from_wires(designation, wire, measured):
    t = thread(designation)
    return solve(
        lambda d2: over_three_wires(d2, t["pitch"], wire, t["angle"], counted(t)) - measured, measured / 2, 2 * measured
    )
