"""A second reckoning of every function in library/functions, one Python function each.

Values are SI numbers (metres, radians, seconds, kilograms, newtons, kelvin). Where there is another road to the result (a
construction with coordinates, an integral, a search) it is taken, so that a slip in a formula of the library does not repeat
here. Run by library_examples.py.
"""

import math
from math import acos, asin, atan, atan2, cos, hypot, pi, radians, sin, sqrt, tan

INCH = 0.0254
MM = 0.001


def solve(function, low, high):
    """Zero of a function between low and high, by halving."""
    sign = function(low) > 0
    for _ in range(200):
        middle = (low + high) / 2
        if (function(middle) > 0) == sign:
            low = middle
        else:
            high = middle
    return (low + high) / 2


def integral(function, low, high, steps=4000):
    """Simpson's rule."""
    width = (high - low) / steps
    inner = sum((4 if i % 2 else 2) * function(low + i * width) for i in range(1, steps))
    return (function(low) + inner + function(high)) * width / 3


# --- what the library takes from tables --------------------------------------------------------------------------------

# Typical values of engineering data books, from memory: kg/m3, 1/K, Pa, specific cutting force Pa.
MATERIALS = {
    "mild steel": (7850, 12e-6, 207e9, 2000e6),
    "aluminium alloy 6082": (2700, 23.4e-6, 70e9, 700e6),
    "alloy steel heat treated": (7850, 11.5e-6, 207e9, 2600e6),
}


def density(material):
    return MATERIALS[material][0]


def expansion_rate(material):
    return MATERIALS[material][1]


def stiffness(material):
    return MATERIALS[material][2]


def cutting_force(material):
    return MATERIALS[material][3]


def iso(major, pitch):
    """ISO 724 and ISO 898-1, also ASME B1.1 for Unified threads: diameters from the triangle of height H."""
    height = pitch * sqrt(3) / 2
    stress = (major - 2 * 3 / 8 * height + major - 2 * 17 / 24 * height) / 2
    return {
        "major": major,
        "pitch": pitch,
        "angle": radians(60),
        "pitch_diameter": major - 2 * 3 / 8 * height,
        "depth": 17 / 24 * height,
        "stress_area": pi / 4 * stress**2,
    }


def whitworth(major, pitch):
    """BS 84: depth two thirds of the triangle of 55 degrees."""
    depth = 2 / 3 * pitch / 2 / tan(radians(27.5))
    return {"major": major, "pitch": pitch, "angle": radians(55), "pitch_diameter": major - depth, "depth": depth}


# ISO 261 sizes and pitches; ASME B1.1; BS 84; BS 93 for 2 BA (4.7 mm, 0.81 mm, 47.5 deg, depth 0.6 p).
THREADS = {
    "M5": iso(5 * MM, 0.8 * MM),
    "M6": iso(6 * MM, 1 * MM),
    "M8": iso(8 * MM, 1.25 * MM),
    "M10": iso(10 * MM, 1.5 * MM),
    "M12": iso(12 * MM, 1.75 * MM),
    "M16": iso(16 * MM, 2 * MM),
    "1/4-20 UNC": iso(INCH / 4, INCH / 20),
    "1/2-13 UNC": iso(INCH / 2, INCH / 13),
    "3/4-10 UNC": iso(INCH * 3 / 4, INCH / 10),
    "1-8 UNC": iso(INCH, INCH / 8),
    "1/4 BSW": whitworth(INCH / 4, INCH / 20),
    "1/2 BSW": whitworth(INCH / 2, INCH / 12),
    "2 BA": {
        "major": 4.7 * MM,
        "pitch": 0.81 * MM,
        "angle": radians(47.5),
        "pitch_diameter": (4.7 - 0.6 * 0.81) * MM,
        "depth": 0.6 * 0.81 * MM,
    },
}


def thread(designation):
    return THREADS[designation]


# --- speeds and feeds --------------------------------------------------------------------------------------------------


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


# --- threads -----------------------------------------------------------------------------------------------------------


def thread_depth(designation):
    return thread(designation)["depth"]


def top_slide_infeed(depth, compound=radians(29.5)):
    return hypot(depth, depth * tan(compound))


def infeed(designation, compound=radians(29.5)):
    return top_slide_infeed(thread(designation)["depth"], compound)


def helix_angle(designation, starts=1):
    t = thread(designation)
    return atan2(t["pitch"] * starts, 2 * pi * t["pitch_diameter"] / 2)


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


def over_three_wires(pitch_diameter, pitch, wire, angle=radians(60)):
    half = angle / 2
    vertex = pitch_diameter / 2 - pitch / 4 / tan(half)  # where the flanks would meet, from the axis
    centre = vertex + wire / 2 / sin(half)
    return 2 * (centre + wire / 2)


def over_wires(designation, wire):
    t = thread(designation)
    return over_three_wires(t["pitch_diameter"], t["pitch"], wire, t["angle"])


def pitch_diameter_from_wires(designation, wire, measured):
    t = thread(designation)
    return solve(lambda d2: over_three_wires(d2, t["pitch"], wire, t["angle"]) - measured, 0, 2 * measured)


def train_ratio(lead, leadscrew):
    return 1 / (leadscrew / lead)


def pitch_cut(leadscrew, drivers, driven):
    return drivers / driven * leadscrew


def pitch_error(got, wanted, length):
    turns = length / wanted
    return turns * got - turns * wanted


# --- holes -------------------------------------------------------------------------------------------------------------


def point_length(diameter, angle=radians(118)):
    return diameter / 2 * tan(pi / 2 - angle / 2)


def drill_depth(full_depth, diameter, angle=radians(118)):
    return point_length(diameter, angle) + full_depth


def through_depth(thickness, diameter, angle=radians(118), beyond=MM):
    return drill_depth(thickness + beyond, diameter, angle)


def countersink_depth(diameter, hole=0, angle=radians(90)):
    return point_length(diameter, angle) - (point_length(hole, angle) if hole else 0)


def countersink_diameter(depth, hole=0, angle=radians(90)):
    return solve(lambda d: countersink_depth(d, hole, angle) - depth, hole, hole + 1000 * depth)


def spot_depth(chamfer_diameter, angle=radians(90)):
    return point_length(chamfer_diameter, angle)


# --- tapers ------------------------------------------------------------------------------------------------------------


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


# --- measuring tapers --------------------------------------------------------------------------------------------------


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


# --- circles and marking out -------------------------------------------------------------------------------------------


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


# --- rotary table ------------------------------------------------------------------------------------------------------


def table_offset(radius, cutter, side="outside"):
    return radius + {"outside": 1, "inside": -1}[side] * cutter / 2


def table_radius(offset, cutter, side="outside"):
    return solve(lambda radius: table_offset(radius, cutter, side) - offset, 0, 2 * (offset + cutter))


def arc_angle(arc, radius):
    return 2 * pi * arc / (2 * pi * radius)


def cutter_angle(cutter, offset):
    return atan2(cutter / 2, sqrt(offset**2 - cutter**2 / 4))


def crank_speed(feed_rate, radius, ratio=90):
    table = feed_rate / (2 * pi * radius)
    return table * ratio


# --- gears -------------------------------------------------------------------------------------------------------------


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


# --- joints and keys ---------------------------------------------------------------------------------------------------


def hollow(inside, outside, inside_pressure, outside_pressure, young, radius, poisson=0.3):
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
        grown = hollow(diameter, hub_outside, pressure, 0, stiffness(hub_material), radius)[1]
        shrunk = hollow(bore, diameter, 0, pressure, stiffness(shaft_material), radius)[1]
        return 2 * (grown - shrunk) - interference

    pressure = solve(overlap, 0, 1e11)
    force = friction * pressure * (2 * pi * radius * length)
    return {
        "pressure": pressure,
        "force": force,
        "torque": force * radius,
        "hub_stress": hollow(diameter, hub_outside, pressure, 0, 1, radius)[0],
        "shaft_stress": abs(hollow(bore, diameter, 0, pressure, 1, bore / 2 if bore else radius)[0]),
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
    return share * (proof * thread(designation)["stress_area"])


def bolt_preload_torque(designation, preload, nut_factor=0.2):
    return preload * thread(designation)["major"] * nut_factor


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


# --- measuring ---------------------------------------------------------------------------------------------------------


def dovetail_over_rolls(width, depth, angle, roll, kind="male"):
    # A roll in the sharp corner: its centre lies on the bisector, a radius above the base.
    from_corner = roll / 2 / tan(angle / 2) + roll / 2
    lean = depth * cos(angle) / sin(angle)
    if kind == "male":
        return 2 * (width / 2 - lean + from_corner)
    return 2 * (width / 2 + lean - from_corner)


def dovetail_width_from_rolls(reading, depth, angle, roll, kind="male"):
    far = 10 * (reading + depth / tan(angle) + roll)
    return solve(lambda width: dovetail_over_rolls(width, depth, angle, roll, kind) - reading, -far, far)


def reading_over_rolls(radius, roll):
    # Roll and arc stand on one plate and touch: centres a sum of radii apart.
    across = sqrt((radius + roll / 2) ** 2 - (radius - roll / 2) ** 2)
    return 2 * across + roll


def radius_over_rolls(reading, roll):
    return solve(lambda radius: reading_over_rolls(radius, roll) - reading, 0, 100 * reading**2 / roll)


def vee_centre(diameter, angle=radians(90)):
    return hypot(diameter / 2, diameter / 2 / tan(angle / 2))


def vee_depth(diameter, angle=radians(90)):
    return vee_centre(diameter, angle) + diameter / 2


def expansion(length, material, rise):
    return length * (1 + expansion_rate(material) * rise) - length


def size_at_20(measured, material, temperature):
    rise = temperature - 293.15
    return solve(lambda size: size + expansion(size, material, rise) - measured, 0, 2 * measured)


def left_to_take(measured, wanted, on="diameter", side="outside"):
    left = {"outside": 1, "inside": -1}[side] * (measured - wanted)
    return left / {"diameter": 1, "radius": 2}[on]


def cosine_error(length, angle):
    return 2 * length * sin(angle / 2) ** 2


def true_reading(reading, angle):
    return reading * sin(pi / 2 - angle)


def off_centre(total_reading):
    return 0.5 * total_reading


def centres_from_pins(reading, first, second, taken="over"):
    return reading + {"over": -1, "between": 1}[taken] * (first / 2 + second / 2)


def to_readout(length, step=0.005 * MM):
    return math.floor(length / step + 0.5) * step


# --- stock -------------------------------------------------------------------------------------------------------------


def blank_length(finished, facing=MM, cut=1.5 * MM):
    return facing + finished + facing + cut


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


# --- springs and stiffness ---------------------------------------------------------------------------------------------


def spring_rate(wire, mean_diameter, coils, material="alloy steel heat treated", rigidity=None):
    modulus = rigidity if rigidity is not None else stiffness(material) / (2 * (1 + 0.3))
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
