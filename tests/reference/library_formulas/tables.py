"""What the library takes from tables: materials and threads."""

from math import pi, radians, sqrt, tan

from .basis import INCH, MM


# Typical values of engineering data books, from memory: kg/m3, 1/K, Pa, specific cutting force Pa, Poisson's ratio.
MATERIALS = {
    "mild steel": (7850, 12e-6, 207e9, 2000e6, 0.29),
    "aluminium alloy 6082": (2700, 23.4e-6, 70e9, 700e6, 0.33),
    "alloy steel heat treated": (7850, 11.5e-6, 207e9, 2600e6, 0.29),
    "spring steel": (7850, 11.5e-6, 206e9, 2600e6, 206 / 81.5 / 2 - 1),  # EN 13906-1: E 206 GPa, G 81.5 GPa
}


def density(material):
    return MATERIALS[material][0]


def expansion_rate(material):
    return MATERIALS[material][1]


def stiffness(material):
    return MATERIALS[material][2]


def cutting_force(material):
    return MATERIALS[material][3]


def poisson_ratio(material):
    return MATERIALS[material][4]


def shear_modulus(material):
    return stiffness(material) / (2 * (1 + poisson_ratio(material)))


def iso(major, pitch):
    """ISO 724 and ISO 898-1, also ASME B1.1 for Unified threads: diameters from the triangle of height H."""
    height = pitch * sqrt(3) / 2
    stress = (major - 2 * 3 / 8 * height + major - 2 * 17 / 24 * height) / 2
    return {
        "major": major,
        "pitch": pitch,
        "lead": pitch,
        "angle": radians(60),
        "pitch_diameter": major - 2 * 3 / 8 * height,
        "depth": 17 / 24 * height,
        "minor_internal": major - 2 * 5 / 8 * height,
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
    # ISO 2904: pitch diameter d - p / 2, depth p / 2 + 0.25 mm.
    "Tr 20x8(P4)": {
        "major": 20 * MM,
        "pitch": 4 * MM,
        "lead": 8 * MM,
        "angle": radians(30),
        "pitch_diameter": 18 * MM,
        "depth": 2.25 * MM,
    },
    "Tr 20x4": {"pitch": 4 * MM, "angle": radians(30), "pitch_diameter": 18 * MM},
    "Tr 20x8P4": {"pitch": 4 * MM, "starts": 2, "angle": radians(30), "pitch_diameter": 18 * MM},
    # ASME B1.5: pitch diameter d - p / 2.
    "1/2-10 Acme": {"pitch": INCH / 10, "angle": radians(29), "pitch_diameter": 0.45 * INCH},
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


def stress_area(designation):
    return thread(designation)["stress_area"]

