"""Small notebooks with toleranced sizes, made from a seeded generator.

Used by limits_uncertainties.py. A notebook is a list of inputs (sizes with
limits), a list of plain cells and a last cell `y`. The formulas are spelt in
the notebook language; lengths in mm, angles in deg, numbers without a unit.
"""

import random
from dataclasses import dataclass, field
from fractions import Fraction

NAMES = {"length": "abcdfl", "angle": "pqr", "number": "jkn"}
UNITS = {"length": " mm", "angle": " deg", "number": ""}
TOLERANCES = {
    "length": ["0.01", "0.02", "0.05", "0.1", "0.2", "0.013", "0.25"],
    "angle": ["0.05", "0.1", "0.25", "0.5", "1"],
    "number": ["0.005", "0.01", "0.02", "0.05"],
}


@dataclass
class Input:
    """A size with limits; value, low and high are in its written unit."""

    name: str
    kind: str
    size: str
    up: str
    down: str
    spelling: str


    @property
    def value(self):
        return Fraction(self.size)

    @property
    def high(self):
        return self.value + Fraction(self.up)

    @property
    def low(self):
        return self.value - Fraction(self.down)

    def line(self):
        return f"{self.name} = {self.size}{UNITS[self.kind]} {self.spelling}"


@dataclass
class Notebook:
    """Inputs, cells in between (name, formula) and the formula of y."""

    family: str
    inputs: list = field(default_factory=list)
    cells: list = field(default_factory=list)
    result: str = ""

    def text(self):
        lines = [size.line() for size in self.inputs]
        lines += [f"{name} = {formula}" for name, formula in self.cells]
        return "\n".join(lines + [f"y = {self.result}"])


class Maker:
    """Makes one notebook after another from one random source."""

    def __init__(self, seed):
        self.random = random.Random(seed)
        self.one_sided = False
        self.book = Notebook("")

    # sizes

    def size(self, kind, nominal=None, tolerance=None):
        """Adds a toleranced size to the notebook and gives its name."""
        taken = {size.name for size in self.book.inputs}
        name = next(n for n in NAMES[kind] if n not in taken)
        if nominal is None:
            nominal = {
                "length": lambda: self.decimal(3, 90, 2),
                "angle": lambda: self.decimal(8, 55, 1),
                "number": lambda: self.decimal(0.6, 4, 2),
            }[kind]()
        up = down = tolerance or self.random.choice(TOLERANCES[kind])
        if self.one_sided and self.random.random() < 0.7:
            down = self.random.choice(TOLERANCES[kind] + ["0"])
            up = self.random.choice(TOLERANCES[kind] + ["0"] * (down != "0"))
        if up == down:
            spelling = self.random.choice(["±", "±", "±", "+-"]) + up
        else:
            spelling = f"({'+' if up != '0' else ''}{up}/{'-' if down != '0' else ''}{down})"
        self.book.inputs.append(Input(name, kind, nominal, up, down, spelling))
        return name

    def decimal(self, low, high, places):
        text = f"{self.random.uniform(low, high):.{self.random.randint(0, places)}f}"
        return text if float(text) >= low else str(low)

    def pick(self, kind):
        """A size already there, or a new one while there is room."""
        there = [size.name for size in self.book.inputs if size.kind == kind]
        room = len(self.book.inputs) < 6 and len(there) < len(NAMES[kind])
        if there and (not room or self.random.random() < 0.35):
            return self.random.choice(there)
        return self.size(kind) if room else None

    # formulas: text and strength (1 sum, 2 product, 3 power, 4 atom)

    def grow(self, kind, depth):
        """A random formula of the kind: number, length, area or angle."""
        if depth <= 0 or self.random.random() < 0.12:
            return self.leaf(kind)
        down = depth - 1
        rules = {
            "number": ["sum", "product", "quotient", "scale", "square", "trig", "root", "extreme", "minus"],
            "length": ["sum", "sum", "product", "over", "scale", "root", "extreme", "trig", "minus"],
            "area": ["sum", "square", "times", "times"],
            "angle": ["sum", "scale", "atan", "atan", "extreme"],
        }
        rule = self.random.choice(rules[kind])
        grow = self.grow
        if rule == "sum":
            left, right = grow(kind, down), grow(kind, down)
            sign = self.random.choice("+-")
            return f"{left[0]} {sign} {wrap(right, 2 if sign == '-' else 1)}", 1
        if rule == "minus":
            return f"-{wrap(grow(kind, down), 3)}", 1
        if rule == "product":
            return f"{wrap(grow(kind, down), 2)} * {wrap(grow('number', down), 3)}", 2
        if rule == "scale":
            sign, factor = self.random.choice("*/"), self.random.choice(["2", "3", "4", "1.5", "pi"])
            return f"{wrap(grow(kind, down), 2)} {sign} {factor}", 2
        if rule == "quotient":
            of = self.random.choice(["length", "length", "number", "area"])
            return f"{wrap(grow(of, down), 2)} / {wrap(grow(of, down), 3)}", 2
        if rule == "over":
            return f"{wrap(grow('area', down), 2)} / {wrap(grow('length', down), 3)}", 2
        if rule == "times":
            return f"{wrap(grow('length', down), 2)} * {wrap(grow('length', down), 3)}", 2
        if rule == "square":
            if kind == "area":
                return f"{wrap(grow('length', down), 4)}^2", 3
            return f"{wrap(grow('number', down), 4)}^{self.random.choice('23')}", 3
        if rule == "trig":
            part = f"{self.random.choice(['sin', 'cos', 'tan'])}({grow('angle', down)[0]})"
            if kind == "number":
                return part, 4
            return f"{wrap(grow('length', down), 2)} {self.random.choice('**/')} {part}", 2
        if rule == "root":
            return f"sqrt({grow('area' if kind == 'length' else 'number', down)[0]})", 4
        if rule == "atan":
            return f"atan({grow('number', down)[0]})", 4
        return f"{self.random.choice(['min', 'max'])}({grow(kind, down)[0]}, {grow(kind, down)[0]})", 4

    def leaf(self, kind):
        if kind == "area":
            return f"{wrap(self.leaf('length'), 4)} * {wrap(self.leaf('length'), 4)}", 2
        name = self.pick(kind) if self.random.random() < 0.9 else None
        if name:
            return name, 4
        literal = {"length": "6 mm", "angle": "10 deg", "number": "1.2"}[kind]
        return literal, (4 if kind == "number" else 2)

    # notebooks

    def start(self, family, one_sided):
        self.book = Notebook(family)
        self.one_sided = one_sided
        return self.book

    def grown(self, one_sided):
        """A random formula, now and then by way of cells in between."""
        book = self.start("grown", one_sided)
        kind = self.random.choice(["number", "length", "length", "area", "angle"])
        if self.random.random() < 0.4:
            part = self.random.choice(["length", "number"])
            book.cells.append(("w", self.grow(part, 2)[0]))
            book.result = f"{wrap(self.grow('length', 2), 2)} + w * {'1' if part == 'length' else '10 mm'}"
        else:
            book.result = self.grow(kind, self.random.randint(1, 4))[0]
        return book

    def stack(self, one_sided):
        """A chain of sizes along a line."""
        book = self.start("stack", one_sided)
        names = [self.size("length") for _ in range(self.random.randint(1, 6))]
        factors = self.random.choices(["", "", "2 * ", "0.5 * "], k=len(names))
        terms = [factor + name for factor, name in zip(factors, names)]
        signs = [self.random.choice([" + ", " - "]) for _ in terms[1:]]
        book.result = terms[0] + "".join(s + t for s, t in zip(signs, terms[1:]))
        return book

    def shaped(self, family, shapes, one_sided):
        """A notebook from a written shape: {L} {A} {K} stand for new sizes,
        `L:12.5:0.05` for a size with that nominal and tolerance. Cells in
        between are separated by semicolons."""
        book = self.start(family, one_sided)
        text, names = self.random.choice(shapes), {}
        kinds = {"L": "length", "A": "angle", "K": "number"}
        while "{" in text:
            before, rest = text.split("{", 1)
            key, after = rest.split("}", 1)
            if key not in names:
                kind, *given = key.split(":")
                names[key] = self.size(kinds[kind[0]], *given)
            text = before + names[key] + after
        *cells, book.result = text.split("; ")
        book.cells = [tuple(cell.split(" = ", 1)) for cell in cells]
        return book


def wrap(part, strength):
    """The text of a part, in brackets when it binds less than required."""
    return part[0] if part[1] >= strength else f"({part[0]})"


# Repeated variables: the spread must not depend on how a formula is written.
CANCEL = [
    "{L} - {L}", "{L1} + {L2} - {L1}", "({L1} + {L2}) - {L1} - {L2}", "{L} / {L}", "{L1} * {L2} / {L2}",
    "2 * {L} - {L}", "{L1} - ({L1} - {L2})", "w = {L1} + {L2}; w - {L1}", "w = {L1} - {L2}; z = {L2} - {L3}; w + z",
    "w = {L1} / 2; {L1} - w", "w = {L1}; w - {L1}", "min({L}, {L})", "max({L1}, {L1} - {L2})", "({K} + 1) / ({K} + 1)",
    "{L1} / ({L1} + {L2})", "({L1} - {L2}) / ({L1} + {L2})", "{L1} * {L2} / ({L1} + {L2})", "{A} - {A}",
    "{A1} + {A2} - {A1}", "sin({A})^2 + cos({A})^2", "tan({A}) * cos({A}) / sin({A})", "sin({A}) / cos({A})", "{L1} * {K} - {L1} * {K} + {L1}",
    "sqrt({L1}^2) + {L2}", "w = {L1}^2; sqrt(w) - {L1} + {L2}", "w = {L1} * {K}; z = w / {K}; z + {L2}", "{L1} + {L1} + {L1}", "atan(tan({A})) + {A}",
    "{L1}^2 - {L1} * {L1}", "w = {L1} + {L2}; z = {L1} - {L2}; w + z", "w = {L1} + {L2}; z = {L1} - {L2}; w * z",
]
# Workshop geometry: tapers, chords, flanks, sine bars, triangles, weights.
GEOMETRY = [
    "atan(({L1:32:0.05} - {L2:20:0.05}) / (2 * {L3}))", "2 * atan({L1} / (2 * {L2}))", "{L} * sin({A})", "{L} / cos({A})", "{L} * tan({A} / 2)",
    "2 * {L} * sin({A} / 2)", "sqrt({L1}^2 + {L2}^2)", "sqrt({L1:60:0.1}^2 - {L2:25:0.1}^2)", "{L1} - 2 * {L2} * tan({A})",
    "{L1} * cos({A}) + {L2} * sin({A})", "{L1} * sin({A1}) / sin({A2})", "sqrt({L1}^2 + {L2}^2 - 2 * {L1} * {L2} * cos({A}))",
    "pi / 4 * {L1}^2", "pi / 4 * ({L1:40:0.1}^2 - {L2:22:0.1}^2) * {L3}", "{L1} * {L2} * {L3}", "{L1} * {L2} / {L3}",
    "{L1}^2 / (8 * {L2}) + {L2} / 2", "{L1} * {K}", "{L1} / {K1} * {K2}", "{L1} * (1 + {K} / 100)", "{K1}^2 * {K2}", "{L1}^3 / {L2}^2",
    "sqrt({L1} * {L2})", "1 / (1 / {L1} + 1 / {L2})", "{L1} + {L2} / {K} - {L3} * cos({A})", "{A1} + atan({L1} / {L2})",
    "w = {L1} * tan({A}); z = {L2} + 2 * w; z", "w = atan({L1} / {L2}); {L3} * sin(w)", "w = ({L1:50:0.1} - {L2:30:0.1}) / 2; sqrt(w^2 + {L3}^2)",
    "180 deg - {A1} - {A2}", "(180 deg - {A}) / 2", "{L1} * ({L2} + {L3}) * {K}", "({L1} + {L2}) / ({L3} + {L4}) * {K}", "-{L1} + {L2}", "-{L1:8:0.05}^2 + {L2:30:0.1}^2",
]
# min and max, with the change of branch inside the limits or at a distance.
EXTREMES = [
    "min({L1}, {L2})", "max({L1}, {L2})", "min({L1:12:0.1}, {L2:12.05:0.2})", "max({L1:12:0.1}, {L2:12.05:0.2})", "max({L1:10:0.1}, {L2:9.95:0.04})",
    "min({L1:10:0.1}, {L2:10.05:0.02})", "min({L1}, {L2}, {L3})", "max({L1:30:0.2}, {L2:29.95:0.1}, {L3:29.9:0.25})", "min({L1}, {L2}) + max({L1}, {L2})",
    "max({L1} - {L2}, 0 mm)", "max({L1:8:0.05} - {L2:8.02:0.05}, 0 mm)", "min({L1} + {L2}, {L1} + {L3})", "min({A1}, {A2}) / 2", "max({K1}, {K2}) * {L1}",
    "min({L1:25:0.25}, 25.1 mm) - {L2}", "w = min({L1:16:0.1}, {L2:16.05:0.1}); {L3} - w", "max({L1:20:0.1}, {L2:19.9:0.02} + {L3:0.02:0.013})", "max({L1} * sin({A}), {L2} * cos({A}))",
]
# Products of a length and an angle: the radian counts as 1.
ARCS = ["{L} * {A} + {L2}", "{L1} - {L2} * {A}", "({L1} + {L2}) * {A} - {L3}", "{L1} * ({A1} + {A2}) + {L2}", "w = {L1} * {A}; w + {L2}"]
# Formulas that turn back inside the limits, or whose slope changes its sign.
TURNING = [
    "({L1:20:0.1} - {L2:20.02:0.1})^2", "({L1:20:0.05} - {L2:20:0.1})^2", "{L:0:0.05}^2", "{L:0.02:0.05}^2 + {L2}^2", "{L1} * cos({A:0:0.5})", "{L1} * cos({A:0.1:0.5})", "{L1} * sin({A:90:1})",
    "{L1} * sin({A:89.8:0.5}) + {L2}", "{L:30:0.25} * (60 mm - {L:30:0.25})", "{L:25:0.2} * ({L2:50.1:0.1} - {L:25:0.2})", "{K:1:0.05} + 1 / {K:1:0.05}", "{K:0.5:0.02} * (1 - {K:0.5:0.02})",
    "sin({A:45:0.5}) * cos({A:45:0.5})", "{L1} * sin({A:45.1:0.5}) * cos({A:45.1:0.5})", "min({L1:15:0.1} - {L2:15.02:0.1}, {L2:15.02:0.1} - {L1:15:0.1})", "max({L1:15:0.1} - {L2:15.05:0.1}, {L2:15.05:0.1} - {L1:15:0.1})",
    "sqrt({L1}^2 + {L2:0:0.2}^2)", "{L1:0:0.05} * {L2:0.01:0.1}", "({L1:10:0.1} - 10 mm) * ({L2:20:0.1} - 20 mm)", "{K:1.5:0.05}^2 - 3 * {K:1.5:0.05}", "{L1} / cos({A:0:1})", "tan({A:0.1:0.5})^2",
    "w = {L1:40:0.2} - {L2:40.05:0.1}; w * w + {L3}^2", "atan({L1:0.01:0.05} * {L1:0.01:0.05} / {L2:5:0.02}^2)", "{K:0.01:0.05}^2 * {L1}", "cos({A1:30:0.5} - {A2:30.1:0.25})",
]


def notebooks(seed):
    """An endless run of notebooks: the family in turn, a third with limits
    that differ above and below."""
    make = Maker(seed)
    count = 0
    while True:
        for family in ["grown", "grown", "geometry", "grown", "cancel", "stack", "grown", "geometry", "extremes", "turning", "grown", ["arc", "geometry", "turning"][count % 3]]:
            one_sided = make.random.random() < 0.33
            if family == "grown":
                yield make.grown(one_sided)
            elif family == "stack":
                yield make.stack(one_sided)
            else:
                shapes = {"geometry": GEOMETRY, "cancel": CANCEL, "extremes": EXTREMES, "arc": ARCS, "turning": TURNING}[family]
                yield make.shaped(family, shapes, one_sided)
        count += 1
