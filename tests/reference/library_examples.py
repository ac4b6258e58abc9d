#!/usr/bin/env python3
"""Checks the worked examples of library/functions against a second reckoning.

    python3 tests/reference/library_examples.py

Reads every `## example:` line of library/functions/*.job and every row of worked_examples.csv, works the expression out with
the formulas of library_formulas.py (one Python function per function of the library, by another road where there is one) and
compares it with the value that stands there: an example to half its last printed digit, a row to its tolerance. It also sees
that every function has its documentation lines and its rows of wrong_input.csv. Functions that look up
standards and search, and a few formulas (gears over pins, handwheels, corner blends, rows of tables), have no second
reckoning here: their examples are held to their sources by tests/published. Standard
library only; it shares no code with the program.
"""

import csv
import pathlib
import re
import sys
from decimal import Decimal
from fractions import Fraction
from math import acos, asin, atan, atan2, cos, pi, radians, sin, sqrt, tan

sys.dont_write_bytecode = True
sys.path.insert(0, str(pathlib.Path(__file__).resolve().parent))
import library_formulas as formulas  # noqa: E402

HERE = pathlib.Path(__file__).resolve().parent
LIBRARY = HERE.parent.parent / "library" / "functions"

# Exact definitions: inch 25.4 mm, pound 0.45359237 kg, standard gravity 9.80665 m/s2.
POUND = 0.45359237 * 9.80665
UNITS = {
    "m": 1, "mm": 1e-3, "cm": 1e-2, "in": 0.0254, "inch": 0.0254, "ft": 0.3048, "thou": 0.0254e-3,
    "um": 1e-6, "deg": radians(1), "rad": 1, "min": 60, "s": 1, "rev": 1, "tooth": 1, "rpm": 1 / 60,
    "kg": 1, "lb": 0.45359237, "N": 1, "kN": 1e3, "lbf": POUND, "GPa": 1e9, "MPa": 1e6, "psi": POUND / 0.0254**2,
    "W": 1, "kW": 1e3, "K": 1, "%": 0.01,
}  # fmt: skip

TOKEN = re.compile(
    r'\s*(?:(?P<text>"[^"]*")'
    r"|(?P<number>(?:\d+ )?\d+/\d+(?=\s*(?:in|inch|ft)\b)|\d+(?:\.\d+)?)(?:\s?(?P<unit>(?!as\b)[A-Za-z%][\w%]*(?:[*/][A-Za-z]\w*|\^-?\d+)*))?"
    r"|(?P<name>[A-Za-z_]\w*)|(?P<sign>[-+*/^(),.:\[\]]))"
)


def factor(unit):
    """SI value of a compound unit such as N/mm^2."""
    value = 1.0
    for sign, name, power in re.findall(r"(^|[*/])([A-Za-z%]+)(?:\^(-?\d+))?", unit):
        size = UNITS[name] ** int(power or 1)
        value = value / size if sign == "/" else value * size
    return value


def number(digits, unit):
    value = float(sum(Fraction(part) for part in digits.split()))
    if unit == "degC":
        return value + 273.15
    return value * (factor(unit) if unit else 1)


class Reader:
    """Works out one expression: quantities, arithmetic, calls with positional and named arguments, fields."""

    plain = {"sqrt": sqrt, "sin": sin, "cos": cos, "tan": tan, "asin": asin, "acos": acos, "atan": atan, "atan2": atan2}

    def __init__(self, text):
        self.tokens, place = [], 0
        while text[place:].strip():
            match = TOKEN.match(text, place)
            if not match:
                raise ValueError(f"cannot read {text[place:]!r}")
            self.tokens.append(match)
            place = match.end()
        self.next = 0

    def sign(self, *wanted):
        if self.next < len(self.tokens) and self.tokens[self.next]["sign"] in wanted:
            self.next += 1
            return self.tokens[self.next - 1]["sign"]
        return None

    def value(self):
        value = self.sum()
        if self.next != len(self.tokens):
            raise ValueError(f"left over: {self.tokens[self.next].group()!r}")
        return value

    def sum(self):
        value = self.product()
        while sign := self.sign("+", "-"):
            right = self.product()
            value = value + right if sign == "+" else value - right
        return value

    def product(self):
        value = self.signed()
        while sign := self.sign("*", "/"):
            right = self.signed()
            value = value * right if sign == "*" else value / right
        return value

    def signed(self):
        if self.sign("-"):
            return -self.signed()
        value = self.operand()
        if self.sign("^"):
            value = value ** self.signed()
        return value

    def operand(self):
        if self.sign("("):
            value = self.sum()
            self.sign(")")
            return value
        token = self.tokens[self.next]
        self.next += 1
        if token["text"]:
            return token["text"][1:-1]
        if token["number"]:
            return number(token["number"], token["unit"])
        name = token["name"]
        if name == "pi":
            return pi
        value = self.call(name)
        while self.sign("."):
            value = value[self.tokens[self.next]["name"]]
            self.next += 1
        return next(iter(value.values())) if isinstance(value, dict) else value  # a record counts as its first field

    def call(self, name):
        if not self.sign("("):
            raise ValueError(f"`{name}` is no function")
        places, names = [], {}
        while not self.sign(")"):
            here = self.next
            if self.tokens[here]["name"] and self.tokens[here + 1]["sign"] == ":":
                self.next += 2
                names[self.tokens[here]["name"]] = self.sum()
            else:
                places.append(self.sum())
            self.sign(",")
        return (self.plain.get(name) or getattr(formulas, name))(*places, **names)


class Function:
    """One definition with the documentation lines above it."""

    def __init__(self, file, lines, head):
        self.file, self.head = file, head
        self.name, inside = re.match(r"(\w+)\((.*?)\) =", head).groups()
        self.native = head.endswith(") = native")
        parts = [part for part in inside.split(",") if part.strip()]
        self.parameters = [part.partition(":")[0].strip() for part in parts]
        self.required = [part.strip() for part in parts if ":" not in part]
        self.tags, self.arguments, self.prose = {}, [], []
        for line in lines:
            tag = re.match(r"(requires|gives|source|example|caution|\.\w+): (.*)", line)
            argument = re.match(r"(\w+): ([^;]+); (.+)", line)
            if tag:
                self.tags.setdefault(tag[1], []).append(tag[2])
            elif argument:
                self.arguments.append(argument.groups())
            else:
                self.prose.append(line)


def functions():
    found = []
    for path in sorted(LIBRARY.glob("*.job")):
        lines, head = [], ""
        for line in path.read_text(encoding="utf-8").splitlines():
            if line.startswith("##   "):
                lines[-1] += " " + line[5:].strip()
            elif line.startswith("## "):
                lines.append(line[3:])
            elif lines:
                head += " " + line.strip()
                if ") =" in head:
                    found.append(Function(path.name, lines, head.strip()))
                    lines, head = [], ""
    return found


def faults_of(function):
    """What is missing in a function's documentation lines."""
    names = [argument[0] for argument in function.arguments]
    if names != function.parameters:
        yield f"arguments {names} are documented, {function.parameters} defined"
    if not function.prose or not function.prose[0].rstrip().endswith("."):
        yield "no description that ends as a sentence"
    for tag in ("gives", "source", "example"):
        if not function.tags.get(tag):
            yield f"no `{tag}:`"
    for condition in function.tags.get("requires", []):
        message = condition.partition(";")[2].strip()
        if not message or message[0].isupper() or message.endswith("."):
            yield f"`requires:` wants a message in lower case without full stop: {condition!r}"


def example_fault(example):
    """Compares one example with its own value, to half the last digit that is printed."""
    expression, _, stated = example.rpartition(" = ")
    if stated.startswith('"'):
        return None  # a text: it comes from a table
    digits, unit = re.fullmatch(r"(-?\d+(?:\.\d+)?)(?: (\S+))?", stated.strip()).groups()
    value = Reader(expression).value()
    value = value - 273.15 if unit == "degC" else value / (factor(unit) if unit else 1)
    half = float(Decimal(10) ** Decimal(digits).as_tuple().exponent) / 2
    if abs(value - float(digits)) > half * (1 + 1e-6):
        return f"{expression} is {value:.8g} {unit or ''}, not {stated}"
    return None


def rows(name):
    lines = (HERE / name).read_text(encoding="utf-8").splitlines()
    return list(csv.DictReader(line for line in lines if not line.startswith("#")))


def wrong_input_faults(library, wrong):
    """Every argument must be refused once by name, every `requires:` line once by its message."""
    shown = {}
    for row in wrong:
        shown.setdefault(re.match(r"\w+", row["expression"])[0], []).append(row["expected_words"])
    for function in library:
        words = shown.pop(function.name, [])
        messages = [condition.partition(";")[2].strip() for condition in function.tags.get("requires", [])]
        refusable = [name for name, kind, _ in function.arguments if kind not in ("text", "any")]
        for name in set(refusable + function.required) - set(words):
            if name not in ("designation", "material", "shaft_material", "hub_material"):
                yield f"wrong_input.csv: {function.name}: no row refuses `{name}`"
        for message in messages:
            if not any(message.startswith(word) for word in words):
                yield f"wrong_input.csv: {function.name}: no row meets `{message}`"
        for word in words:
            if word not in function.parameters and word not in ("M8y", "unobtainium") and not function.native:
                if not any(message.startswith(word) for message in messages):
                    yield f"wrong_input.csv: {function.name}: nothing says `{word}`"
    for name in shown:
        yield f"wrong_input.csv: `{name}` is no function of the library"


def main():
    faults, examples = [], 0
    library = functions()
    for function in library:
        where = f"{function.file}: {function.name}"
        faults += [f"{where}: {fault}" for fault in faults_of(function)]
        for example in function.tags.get("example", []):
            if not hasattr(formulas, function.name):
                continue
            examples += 1
            if not example.startswith(function.name + "("):
                faults.append(f"{where}: the example shows another function: {example}")
            elif fault := example_fault(example):
                faults.append(f"{where}: {fault}")

    worked = rows("worked_examples.csv")
    for row in worked:
        value = Reader(row["expression"]).value() / (factor(row["unit"]) if row["unit"] else 1)
        if abs(value - float(row["expected"])) > float(row["tolerance"]) + 1e-9 * abs(value):
            faults.append(f"worked_examples.csv: {row['expression']} is {value:.8g} {row['unit']}, not {row['expected']}")

    wrong = rows("wrong_input.csv")
    faults += wrong_input_faults(library, wrong)

    for fault in faults:
        print(fault)
    print(f"{len(library)} functions, {examples} examples, {len(worked)} worked examples, {len(wrong)} wrong inputs")
    return 1 if faults else 0


if __name__ == "__main__":
    sys.exit(main())
