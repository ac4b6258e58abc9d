"""Prints arithmetic_python.csv: expressions and their values, by Python.

    python arithmetic_python.py > arithmetic_python.csv

The cases are those of arithmetic_cases.py and, below, seeded mixtures of
numbers and of lengths. A value is worked out with exact fractions where that
is possible, and with mpmath at 30 digits; where both can, they must agree.
Values are in SI units and radians, to 17 significant digits; a truth is true
or false. Python's own parser settles the order of operators.
"""

import csv
import platform
import random
import re
import sys
from fractions import Fraction
from math import floor

import mpmath

from arithmetic_cases import GROUPS

SEED = 20250118
WANTED = {"mixed numbers": 60, "mixed lengths": 40}
mpmath.mp.dps = 30
NUMBER = re.compile(r"(?<![A-Za-z0-9_.])\d+(?:\.\d+)?")


def names(number):
    """What the Python side of a case may use, over one kind of number."""
    mm, inch = number("0.001"), number("0.0254")
    return {
        "N": number,
        "MM": mm,
        "IN": inch,
        "FT": 12 * inch,
        "YD": 36 * inch,
        "min": min,
        "max": max,
        "abs": abs,
        "true": True,
        "false": False,
    }


EXACT = names(Fraction) | {
    "round_to": lambda x, step: floor(x / step + Fraction(1, 2)) * step,
    "down_to": lambda x, step: floor(x / step) * step,
    "up_to": lambda x, step: -floor(-x / step) * step,
}
DIGITS = names(mpmath.mpf) | {"pi": +mpmath.mp.pi, "DEG": mpmath.mp.pi / 180}
DIGITS |= {name: getattr(mpmath, name) for name in "sin cos tan acos atan atan2 sqrt exp ln log10".split()}


def python(expression):
    """The expression as Python, where it needs no more than other signs."""
    return re.sub(r"(?<![<>!=])=(?!=)", "==", expression.replace("^", "**"))


def value(meaning):
    """The value of the Python text, from fractions or from mpmath."""
    code = compile(NUMBER.sub(lambda found: f"N('{found[0]}')", meaning), meaning, "eval")
    found = []
    for space in (EXACT, DIGITS):
        try:
            result = eval(code, {"__builtins__": {}}, space)
        except NameError:
            continue
        if not isinstance(result, float):  # a fraction to a broken power
            found.append(result)
    if len(found) == 2 and not isinstance(found[0], bool):
        exact = mpmath.mpf(found[0].numerator) / found[0].denominator
        if abs(exact - found[1]) > abs(exact) * mpmath.mpf("1e-26"):
            raise ArithmeticError(f"{meaning}: {exact} is not {found[1]}")
    return found[0]


def written(result):
    if isinstance(result, bool):
        return str(result).lower()
    if isinstance(result, Fraction):
        result = mpmath.mpf(result.numerator) / result.denominator
    text = mpmath.nstr(result, 17, min_fixed=-5, max_fixed=16)
    return text.replace(".0e", "e").removesuffix(".0")


def mixed_number(source):
    """A run of numbers and operators, with a bracket now and then."""
    tight = source.random() < 0.3
    gap = "" if tight else " "
    pieces = []
    for at in range(source.randint(3, 6)):
        if at:
            pieces.append(gap + source.choice("+-**//") + gap)
        minus = "-" if source.random() < 0.2 and not (tight and at) else ""
        piece = source.choice(["2", "3", "4", "5", "7", "12", "0.5", "1.25", "2.4", "10"])
        if source.random() < 0.25:
            inner = f"{piece}{gap}{source.choice('+-*/')}{gap}{source.choice(['1', '3', '6', '0.8'])}"
            piece = f"({inner})"
        if source.random() < 0.3:
            piece += source.choice(["^2", "^2", "^3", "^-1", "^2^2", " ^ 2" if not tight else "^2"])
        pieces.append(minus + piece)
    text = "".join(pieces)
    return text, python(text)


def mixed_length(source):
    """A sum of lengths in several spellings, some times or over a number."""

    def literal():
        whole, half = source.randint(1, 5), source.choice(["1/2", "3/4", "5/8", "7/16", "1/32"])
        size = source.choice(["0.5", "3.175", "12", "40", "6.35"])
        return source.choice(
            [
                (f"{size} mm", f"({size} * MM)"),
                (f"{size}mm", f"({size} * MM)"),
                (f"{half} in", f"(({half}) * IN)"),
                (f'{half}"', f"(({half}) * IN)"),
                (f"{whole} {half} in", f"(({whole} + {half}) * IN)"),
                (f'{whole} {half}"', f"(({whole} + {half}) * IN)"),
                (f"{whole} thou", f"({whole} * IN / 1000)"),
                (f"{size} cm", f"({size} * 10 * MM)"),
                (f"{whole} ft", f"({whole} * FT)"),
            ]
        )

    ours, theirs = "", ""
    for at in range(source.randint(2, 4)):
        text, meaning = literal()
        shape = source.choice(["{}", "{}", "{} * 3", "2 * {}", "{} / 4", "-{}", "0.5 * ({} + 1 mm)", "{} * 2^2 / 3", "({} - 1/8 in) / 2", "3/4 * {}"])
        sign = source.choice([" + ", " - "]) if at else ""
        other = shape.replace("1 mm", "(1 * MM)").replace("1/8 in", "((1/8) * IN)").replace("^", "**")
        ours += sign + shape.format(text)
        theirs += sign + other.format(meaning)
    return ours + source.choice(["", "", " as mm", " as in"]), theirs


def mixtures(source):
    makers = {"mixed numbers": ("number", mixed_number), "mixed lengths": ("length", mixed_length)}
    for group, wanted in WANTED.items():
        kind, make = makers[group]
        made = set()
        while len(made) < wanted:
            ours, theirs = make(source)
            try:
                size = abs(value(theirs))
            except ZeroDivisionError:
                continue
            if ours not in made and 1e-4 < size < 1e5:
                made.add(ours)
                yield group, kind, ours, theirs


def main():
    print("# title: expressions of the notebook language and their values")
    print("# source: Python's parser for the order of operators, its fractions for exact values, mpmath for the rest; inch 25.4 mm exactly")
    print("# units: SI units and radians, 17 significant digits; a truth is true or false")
    print(f"# provenance: made by tests/reference/arithmetic_python.py and arithmetic_cases.py with mpmath {mpmath.__version__}, Python {platform.python_version()}, seed {SEED}")
    cases = [(group, kind, ours, *(rest or [python(ours)])) for group, list_ in GROUPS.items() for kind, ours, *rest in list_]
    cases += mixtures(random.Random(SEED))
    out = csv.writer(sys.stdout, lineterminator="\n")
    out.writerow(["id", "group", "kind", "expression", "value"])
    for number, (group, kind, ours, theirs) in enumerate(cases, 1):
        out.writerow([number, group, kind, ours, written(value(theirs))])


if __name__ == "__main__":
    main()
