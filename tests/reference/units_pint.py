"""Prints units_pint.csv: conversions worked out by the units library pint.

    python units_pint.py > units_pint.csv

pint runs on decimals of 50 digits, so `expected` is the exact value rounded
once, to 17 significant digits; trailing noughts are dropped.

Counted revolutions. pint's own `rpm` and `revolution` carry an angle (one
revolution is 2 pi radians). In the notebook language rpm is revolutions
counted, 1/min, without an angle, and a feed in mm/rev is a length. So `rev`
stands for pint's dimensionless `count` here, and rpm for `count / minute`.

Temperatures (degC, degF, K) are absolute, with their zero points.
"""

import csv
import platform
import sys
from decimal import Decimal, getcontext
from itertools import cycle, permutations

getcontext().prec = 50  # before pint reads its definitions

import pint  # noqa: E402

# Notebook symbol -> pint expression, spelt in pint's full names.
PINT = {
    # length
    "m": "meter",
    "mm": "millimeter",
    "cm": "centimeter",
    "km": "kilometer",
    "um": "micrometer",
    "in": "inch",
    "thou": "thou",
    "ft": "foot",
    "yd": "yard",
    # angle
    "rad": "radian",
    "deg": "degree",
    "arcmin": "arcminute",
    "arcsec": "arcsecond",
    # time
    "s": "second",
    "ms": "millisecond",
    "min": "minute",
    "h": "hour",
    # mass; avoirdupois pound and ounce
    "kg": "kilogram",
    "g": "gram",
    "mg": "milligram",
    "t": "metric_ton",
    "lb": "pound",
    "oz": "ounce",
    # force
    "N": "newton",
    "kN": "kilonewton",
    "lbf": "force_pound",
    "kgf": "force_kilogram",
    # torque
    "N*m": "newton * meter",
    "N*mm": "newton * millimeter",
    "lbf*ft": "force_pound * foot",
    "lbf*in": "force_pound * inch",
    # pressure
    "Pa": "pascal",
    "kPa": "kilopascal",
    "MPa": "megapascal",
    "GPa": "gigapascal",
    "N/mm^2": "newton / millimeter ** 2",
    "psi": "pound_force_per_square_inch",
    "ksi": "kip_per_square_inch",
    "bar": "bar",
    "lbf/in^2": "force_pound / inch ** 2",
    # speed
    "m/s": "meter / second",
    "m/min": "meter / minute",
    "mm/min": "millimeter / minute",
    "mm/s": "millimeter / second",
    "ft/min": "foot / minute",
    "in/min": "inch / minute",
    # rotation, counted
    "Hz": "hertz",
    "rpm": "count / minute",
    "rev/s": "count / second",
    # area
    "m^2": "meter ** 2",
    "mm^2": "millimeter ** 2",
    "cm^2": "centimeter ** 2",
    "in^2": "inch ** 2",
    # volume
    "m^3": "meter ** 3",
    "mm^3": "millimeter ** 3",
    "cm^3": "centimeter ** 3",
    "in^3": "inch ** 3",
    "L": "liter",
    "ml": "milliliter",
    # density
    "kg/m^3": "kilogram / meter ** 3",
    "g/cm^3": "gram / centimeter ** 3",
    "lb/in^3": "pound / inch ** 3",
    # power; pint defines horsepower as the mechanical one, 550 ft*lbf/s
    "W": "watt",
    "kW": "kilowatt",
    "hp": "horsepower",
    # energy
    "J": "joule",
    "kJ": "kilojoule",
    # temperature, absolute
    "K": "kelvin",
    "degC": "degree_Celsius",
    "degF": "degree_Fahrenheit",
    # per kelvin
    "K^-1": "1 / kelvin",
    "um/m/K": "micrometer / meter / kelvin",
    # spring rate
    "N/m": "newton / meter",
    "N/mm": "newton / millimeter",
    # removal rate
    "m^3/s": "meter ** 3 / second",
    "mm^3/min": "millimeter ** 3 / minute",
    "in^3/min": "inch ** 3 / minute",
    # feed for each revolution: a length
    "mm/rev": "millimeter / count",
    "in/rev": "inch / count",
    # ratio
    "%": "percent",
    "1": "dimensionless",
}

# Every ordered pair of a family is converted. The first unit is the coherent
# SI unit: into it the value is 1, which pins the factor itself.
FAMILIES = [
    ["m", "mm", "cm", "km", "um", "in", "thou", "ft", "yd"],
    ["rad", "deg", "arcmin", "arcsec"],
    ["s", "ms", "min", "h"],
    ["kg", "g", "mg", "t", "lb", "oz"],
    ["N", "kN", "lbf", "kgf"],
    ["N*m", "N*mm", "lbf*ft", "lbf*in"],
    ["Pa", "kPa", "MPa", "GPa", "N/mm^2", "psi", "ksi", "bar", "lbf/in^2"],
    ["m/s", "m/min", "mm/min", "mm/s", "ft/min", "in/min"],
    ["Hz", "rpm", "rev/s"],
    ["m^2", "mm^2", "cm^2", "in^2"],
    ["m^3", "mm^3", "cm^3", "in^3", "L", "ml"],
    ["kg/m^3", "g/cm^3", "lb/in^3"],
    ["W", "kW", "hp"],
    ["J", "kJ"],
    ["K^-1", "um/m/K"],
    ["N/m", "N/mm"],
    ["m^3/s", "mm^3/min", "in^3/min"],
    ["m", "mm/rev", "in/rev"],
    ["1", "%"],
]
VALUES = ["25.4", "0.5", "3.175", "120", "0.0005", "7", "1000", "0.375", "63.5", "18.25", "-2"]
# Units of one quantity in different spellings: sums, products and energy as
# force times distance or power times time.
SPELLINGS = [
    ("1", "J", "lbf*ft"),
    ("1", "lbf*ft", "J"),
    ("1", "kJ", "N*m"),
    ("12", "mm/rev", "in"),
    ("0.004", "in/rev", "um"),
    ("1", "GPa", "kPa"),
    ("400", "rev/s", "rpm"),
]
TEMPERATURES = [
    ("0", "degC", "K"),
    ("20", "degC", "K"),
    ("-273.15", "degC", "K"),
    ("20", "degC", "degF"),
    ("-40", "degC", "degF"),
    ("100", "degC", "degF"),
    ("0", "degF", "degC"),
    ("32", "degF", "degC"),
    ("68", "degF", "degC"),
    ("-40", "degF", "degC"),
    ("451", "degF", "degC"),
    ("68", "degF", "K"),
    ("-459.67", "degF", "K"),
    ("293.15", "K", "degC"),
    ("300", "K", "degC"),
    ("0", "K", "degC"),
    ("300", "K", "degF"),
    ("0", "K", "degF"),
]


def requests():
    """The conversions to work out: value, from, to."""
    values = cycle(VALUES)
    for family in FAMILIES:
        for start, end in permutations(family, 2):
            yield ("1" if end == family[0] else next(values)), start, end
    yield from SPELLINGS
    yield from TEMPERATURES


def digits17(value):
    """17 significant digits, trailing noughts dropped."""
    if abs(value) < Decimal("1e-40"):  # a zero point that cancels
        return "0"
    mantissa, exponent = f"{value:.16e}".split("e")
    mantissa = mantissa.rstrip("0").rstrip(".")
    if -5 <= int(exponent) <= 15:
        plain = f"{Decimal(f'{mantissa}e{exponent}'):f}"
        return plain.rstrip("0").rstrip(".") if "." in plain else plain
    return f"{mantissa}e{int(exponent)}"


def main():
    registry = pint.UnitRegistry(non_int_type=Decimal)
    print("# title: conversions between the units of a notebook")
    print("# source: pint, a general-purpose units library, with its default definitions (pound and inch of 1959, g 9.80665 m/s^2)")
    print("# units: value in from_unit; expected in to_unit, 17 significant digits; 1 = no unit")
    print("# caution: rpm, rev/s and mm/rev are counted revolutions (pint's count), not pint's 2 pi radians a revolution; degC, degF and K are absolute")
    print(f"# provenance: made by tests/reference/units_pint.py with pint {pint.__version__} on 50-digit decimals, Python {platform.python_version()}")
    out = csv.writer(sys.stdout, lineterminator="\n")
    out.writerow(["value", "from_unit", "to_unit", "expected"])
    for value, start, end in requests():
        quantity = registry.Quantity(Decimal(value), PINT[start])
        out.writerow([value, start, end, digits17(quantity.to(PINT[end]).magnitude)])


if __name__ == "__main__":
    main()
