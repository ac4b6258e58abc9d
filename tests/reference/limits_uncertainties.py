"""Prints limits_uncertainties.csv: what toleranced sizes do to a result.

    python limits_uncertainties.py > limits_uncertainties.csv

For each notebook of limits_notebooks.py:

- nominal, with every input at the middle of its limits, and the least and greatest value over all 2^n corners, by brute
  force. Every corner is worked out in plain floats and again in mpmath with 30
  digits; the two must agree, and the latter is written down.
- shares, rss: the first-order share of each input, |dy/dx| times half its
  width, and the root of the sum of their squares, from the general-purpose
  library `uncertainties` with half widths in place of standard deviations.
- half_swings: half the change in y as one input goes from its low to its
  high limit, the others at the middle of theirs.
- monotone: each input only ever raises y or only ever lowers it. Decided by
  49 samples across each input, the others at every combination of their
  limits, at nominal and at random places inside, and confirmed by the
  derivatives of `uncertainties` at both ends. Notebooks on which the two
  disagree are left out. Where monotone is no, y may lie outside the corners
  for sizes inside their limits, even at nominal.
- hidden: inputs of a monotone formula that have no effect on y while the
  others are nominal, but have one elsewhere (the idle branch of a min or max).
"""

import ast
import csv
import math
import operator
import platform
import random
import re
import sys
from itertools import product

import mpmath
import uncertainties
from uncertainties import nominal_value, ufloat, umath

from limits_notebooks import notebooks

SEED = 20250117
WANTED = 660
SAMPLES = 49
mpmath.mp.dps = 30

NUMBER = re.compile(r"(?<![A-Za-z0-9.])(\d+(?:\.\d+)?)( mm| deg)?(?![\w.])")


def python(formula):
    """The formula as a Python expression; the order of operators is the same."""

    def literal(found):
        value = f"N('{found[1]}')"
        return {" mm": f"({value} / N('1000'))", " deg": f"({value} * pi / N('180'))", None: value}[found[2]]

    return NUMBER.sub(literal, formula).replace("^", "**")


def integer_or_float(text):
    return int(text) if text.isdigit() else float(text)


def space(module, number, pi):
    names = {name: getattr(module, name) for name in ["sin", "cos", "tan", "atan", "sqrt"]}
    return names | {"min": min, "max": max, "N": number, "pi": pi}


FLOATS = space(math, integer_or_float, math.pi)
SPREADS = space(umath, integer_or_float, math.pi) | {
    "min": lambda *values: min(values, key=nominal_value),
    "max": lambda *values: max(values, key=nominal_value),
}
DIGITS = space(mpmath, mpmath.mpf, +mpmath.mp.pi)


def exact(value, kind):
    """A size in its written unit as an mpmath number in SI units."""
    value = mpmath.mpf(value.numerator) / value.denominator
    return {"length": value / 1000, "angle": value * mpmath.mp.pi / 180, "number": value}[kind]


class Watch(ast.NodeTransformer):
    """Turns every division into a call, so that the divisor can be watched."""

    def visit_BinOp(self, node):
        self.generic_visit(node)
        if isinstance(node.op, ast.Div):
            return ast.Call(ast.Name("divide", ast.Load()), [node.left, node.right], [])
        return node


class Formula:
    """A notebook made ready to be worked out many times."""

    def __init__(self, book):
        self.inputs = book.inputs
        self.names = [size.name for size in book.inputs]
        self.code, self.watched = [], []
        for name, formula in book.cells + [("y", book.result)]:
            tree = ast.parse(python(formula), mode="eval")
            self.code.append((name, compile(tree, name, "eval")))
            tree = ast.fix_missing_locations(Watch().visit(tree))
            self.watched.append((name, compile(tree, name, "eval")))
        ends = [[exact(end, size.kind) for end in (size.low, size.high)] for size in self.inputs]
        # A size is aimed at the middle of its limits, wherever its drawn figure lies.
        ends = [[low, (low + high) / 2, high] for low, high in ends]
        self.exact_low, self.exact_nominal, self.exact_high = map(list, zip(*ends))
        self.low, self.nominal, self.high = ([float(x) for x in end] for end in zip(*ends))
        self.half_width = [float((high - low) / 2) for low, _, high in ends]

    def at(self, values, names=FLOATS, code=None):
        cells = dict(zip(self.names, values))
        for name, step in code or self.code:
            cells[name] = eval(step, names, cells)
        return cells["y"]

    def inside(self, source):
        return [low + source.random() * (high - low) for low, high in zip(self.low, self.high)]

    def tame(self, source):
        """Whether divisors, roots and tangents stay well away from trouble
        everywhere, and no min or max is undecided at nominal."""
        seen, ties = [], []

        def divide(above, below):
            seen.append(("divide", below))
            return above / below

        def sqrt(x):
            seen.append(("sqrt", x))
            return math.sqrt(x)

        def tan(x):
            seen.append(("tan", x))
            return math.tan(x)

        def extreme(choose):
            def chosen(*values):
                first, second = sorted(values, key=lambda v: abs(v - choose(values)))[:2]
                ties.append(0 < abs(first - second) < 1e-12)
                return choose(values)

            return chosen

        watch = FLOATS | {"divide": divide, "sqrt": sqrt, "tan": tan, "min": extreme(min), "max": extreme(max)}
        places = [self.nominal] + list(product(*zip(self.low, self.high))) + [self.inside(source) for _ in range(40)]
        logs = []
        for number, place in enumerate(places):
            seen.clear()
            try:
                self.at(place, watch, self.watched)
            except (ZeroDivisionError, ValueError):
                return False
            logs.append(list(seen))
            if number == 0 and any(ties):
                return False
        for site in zip(*logs):
            what, values = site[0][0], [value for _, value in site]
            sizes = [abs(value) for value in values]
            if what == "tan" and max(sizes) > 1.3:
                return False
            if what == "sqrt" and (min(values) < 1e-7 or min(values) < 0.3 * max(values)):
                return False
            if what == "divide" and (min(sizes) < 1e-7 or min(sizes) < 0.5 * max(sizes) or min(values) * max(values) < 0):
                return False
        return True

    def corners(self):
        """Nominal, least and greatest corner, as mpmath numbers."""
        found = []
        for place, close in zip(
            [self.nominal] + list(product(*zip(self.low, self.high))),
            [self.exact_nominal] + list(product(*zip(self.exact_low, self.exact_high))),
        ):
            value, check = self.at(close, DIGITS), self.at(place)
            if abs(value - check) > 1e-12 * abs(value) + 1e-14:
                raise ArithmeticError(f"{check} is not {value}")
            found.append(value if abs(value) > 1e-24 else mpmath.mpf(0))
        return found[0], min(found[1:]), max(found[1:])

    def shares(self):
        sizes = [ufloat(x, half) for x, half in zip(self.nominal, self.half_width)]
        result = self.at(sizes, SPREADS) + 0 * sizes[0]  # a constant too has shares: 0
        parts = result.error_components()
        noise = 1e-13 * (abs(result.nominal_value) + result.std_dev)
        clean = [parts.get(size, 0.0) for size in sizes]
        return [x if x > noise else 0.0 for x in clean], result.std_dev if result.std_dev > noise else 0.0

    def half_swings(self):
        found = []
        for at in range(len(self.inputs)):
            low, high = list(self.exact_nominal), list(self.exact_nominal)
            low[at], high[at] = self.exact_low[at], self.exact_high[at]
            swing = abs(self.at(high, DIGITS) - self.at(low, DIGITS)) / 2
            found.append(swing if swing > 1e-24 else mpmath.mpf(0))
        return found

    def slopes(self, source):
        """For each input the signs of its effect, by sampling and by
        derivative: two sets of -1 and 1. The least effect that counts is
        1e-11 of y."""
        found = []
        for at in range(len(self.inputs)):
            sampled, derived = set(), set()
            others = [list(p) for p in product(*zip(self.low, self.high)) if p[at] == self.low[at]]
            others += [list(self.nominal)] + [self.inside(source) for _ in range(8)]
            for place in others:
                row = []
                for step in range(SAMPLES):
                    place[at] = self.low[at] + (self.high[at] - self.low[at]) * step / (SAMPLES - 1)
                    row.append(self.at(place))
                least = 1e-11 * max(map(abs, row)) + 1e-15
                sampled |= {(d > 0) - (d < 0) for d in map(operator.sub, row[1:], row) if abs(d) > least}
                for end in (self.low[at], self.high[at]):
                    size = ufloat(end, self.half_width[at])
                    result = self.at(place[:at] + [size] + place[at + 1 :], SPREADS)
                    slope = getattr(result, "derivatives", {}).get(size, 0.0)
                    if abs(slope) * size.std_dev > SAMPLES * least:
                        derived.add((slope > 0) - (slope < 0))
            found.append((sampled, derived))
        return found


def digits17(value):
    text = mpmath.nstr(mpmath.mpf(value), 17, min_fixed=-5, max_fixed=16)
    return text.replace(".0e", "e").removesuffix(".0")


def row(book, source):
    """The cells of one notebook's row, or None where it is unfit."""
    if not book.inputs:
        return None
    formula = Formula(book)
    if not formula.tame(source):
        return None
    nominal, low, high = formula.corners()
    slopes = formula.slopes(source)
    if book.family == "grown" and not any(sampled for sampled, _ in slopes):
        return None
    monotone = all(len(sampled) < 2 for sampled, _ in slopes)
    if monotone and any(not derived <= sampled for sampled, derived in slopes):
        return None
    swings = formula.half_swings()
    hidden = ""
    if monotone:
        idle = zip(formula.names, slopes, swings)
        hidden = ";".join(name for name, (sampled, _), swing in idle if sampled and swing == 0)
        pairs = list(zip(slopes, formula.exact_low, formula.exact_high))
        best = [high if 1 in sampled else low for (sampled, _), low, high in pairs]
        worst = [low if 1 in sampled else high for (sampled, _), low, high in pairs]
        for place, corner in [(best, high), (worst, low)]:
            if abs(formula.at(place, DIGITS) - corner) > 1e-11 * abs(corner) + 1e-14:
                raise ArithmeticError(f"{book.text()} is not monotone")
    values, rss = formula.shares()
    shares = ";".join(f"{name}={digits17(v)}" for name, v in zip(formula.names, values))
    rss = digits17(rss)
    halves = ";".join(f"{name}={digits17(v)}" for name, v in zip(formula.names, swings))
    numbers = [digits17(v) for v in (nominal, low, high)]
    return [book.text().replace("\n", "\\n"), *numbers, shares, rss, halves, "yes" if monotone else "no", hidden]


def main():
    print("# title: limits of results worked out from toleranced sizes")
    print("# source: all corners by brute force (Python floats, confirmed with mpmath); first-order shares by the library uncertainties")
    print("# units: SI base units and radians; the notebooks give lengths in mm, angles in deg; \\n in a notebook stands for a new line")
    print("# caution: shares and rss are first order, about the middle of the limits; where monotone is no, y may pass the corners; half_swings and hidden are explained in the script")
    print(
        "# provenance: made by tests/reference/limits_uncertainties.py and limits_notebooks.py with uncertainties "
        f"{uncertainties.__version__}, mpmath {mpmath.__version__}, Python {platform.python_version()}, seed {SEED}"
    )
    out = csv.writer(sys.stdout, lineterminator="\n")
    out.writerow("id family notebook nominal corner_low corner_high shares rss half_swings monotone hidden".split())
    source, seen, count = random.Random(SEED), set(), 0
    for book in notebooks(SEED):
        cells = None if book.text() in seen else row(book, source)
        if cells:
            seen.add(book.text())
            count += 1
            out.writerow([count, book.family, *cells])
        if count == WANTED:
            break


if __name__ == "__main__":
    main()
