"""Crosses kinds of statements with shapes of what needs what, in two sizes, and marks
with a star what grows faster than its size, or takes more than about 2 s or 400 MB.

    python3 tests/benches/shapes.py target/release/setover [BYTES [KIND…]]

Linux and macOS only. Nothing is written but in a folder of its own below /tmp.
"""

import os
import sys
import tempfile
from pathlib import Path

from hostile import BYTES, SECONDS, spent

# What all rests on.
HEADS = {
    "plain": "a = 40 mm\n",
    "limits": "a = 40 mm ±0.1\n",
    "measured": "a = 40 mm ±0.1\nmeasured a = 40.02 mm\n",
}

# One cell `{n}` that needs `{x}`, with what stands beside it.
KINDS = {
    "sum": "{n} = {x} + 1 mm",
    "quotient": "{n} = {x} * {x} / 40 mm",
    "root": "{n} = cbrt({x} * {x} * a)",
    "arc": "{n} = 40 mm * atan({x} / 40 mm) / 45 deg",
    "cosine": "{n} = {x} * cos(1 deg * {x} / 40 mm)",
    "exp": "{n} = {x} * exp(1 mm / {x} - 0.025)",
    "abs": "{n} = abs({x} - 3 mm) + 1 mm",
    "min": "{n} = min({x}, 50 mm)",
    "round": "{n} = round({x}, 0.01 mm)",
    "inches": "{n} = {x} as in",
    "where": "{n} = w * 1 where w = {x}",
    "if": "{n} = if {x} = a then {x} else a",
    "if of a": "{n} = if a > 39.95 mm then {x} else {x} + 0.001 mm",
    "text": 't{n} = if {x} > 40 mm then "yes" else "no"\n{n} = if t{n} = "yes" then {x} else {x}',
    "first": "{n} = first([{x}, a])",
    "index": "{n} = [{x}, 2 mm][1]",
    "sort": "{n} = sort([{x}, 2 mm])[1]",
    "record": "{n} = record(q: {x}).q",
    "table": "table t{n}\n| u | v |\n| {x} | 1 mm |\n{n} = t{n}[1].u",
    "rows": "{n} = sum((rows for k from 1 to 2 by 1 with y = k * {x} / 3).y)",
    "function": "{n} = f({x})",
    "own": "g{n}(x) = record(p: x, q: {x})\n{n} = g{n}(a).q",
    "library": "{n} = right_triangle(a: {x}, b: 3 mm).a",
    "pattern": "{n} = pitch_circle(3, {x}).x[1] + 41 mm",
    "speed": "{n} = {x} * 1\nspindle{n} = spindle_speed(20 m/min, {n})",
    "thread": '{n} = {x} + thread("M6").pitch',
    "drill": "{n} = {x} * 1\nd{n} = nearest_drill({n})",
    "taper": '{n} = {x} * 1\nd{n} = taper("MT2")',
    "words": '{n} = {x} * 1\nd{n} = speed_for("mild steel", "HSS", "turn")',
    "blocks": "{n} = gauge_blocks({x}).height",
    "size": "{n} = {x} ±0.01",
    "fit": "{n} = {x} * 1\nd{n} = {n} H7",
    "drawn": "{n} = {x}.drawn * 1",
    "aim": "{n} = 40 mm ±30\naim {n} = {x}",
    "reading": "{n} = 40 mm ±0.1\nmeasured {n} = {x}",
    "read result": "{n} = {x} * 1\nmeasured {n} = 40 mm",
    "find": "find {n} between 0 mm and 5000 mm so that {n} * 2 = {x} * 2",
    "find through": "find {n} between 0 mm and 5000 mm so that m{n} = {x}\nm{n} = {n} * 1",
    "check": "{n} = {x} * 1\ncheck {n} > 1 mm",
    "check and": "{n} = {x} * 1\ncheck {n} > 1 mm and {x} > 2 mm and a > 3 mm",
    "check or": "{n} = {x} * 1\ncheck {n} > 1 mm or {x} > 2 mm",
    "check list": "{n} = {x} * 1\ncheck [{n}, {x}, a] > 1 mm",
    "bare": "{n} = {x} * 1\n{n} + 1 mm",
    "remark": "{n} = {x} * 1 # see {x}",
    "op": "{n} = {x} * 1\nop Turn {{{n}}} now",
    "op over": "table t{n}\n| u | v |\n| {x} | 1 mm |\nop for r over t{n}: X {{r.u}}\n{n} = {x} * 1",
    "draw": "{n} = {x} * 1\ndraw lever(big: 26 mm, small: 15 mm, centres: {n} + 10 mm, "
    "cutter: 16 mm, big_bore: 12 mm, small_bore: 8 mm)",
    "graph": "{n} = {x} * 1\ndraw graph of {n} over a from 39 mm to 41 mm by 0.5 mm",
    "vary": "{n} = {x} * 1\nvary a over 39 mm, 41 mm show {n}",
    "named vary": "v{n} = vary a over 39 mm, 41 mm show {x}\n{n} = {x} * 1",
    "wrong": "{n} = {x} + 1 s",
    "unknown": "{n} = {x} + nothere{n}",
}


def linked(need):
    """Returns a maker of notebooks whose cell number i needs `need(i)`."""

    def make(line, head, limit):
        out, size, number = [head, "f(x) = x + 1 mm\n"], 0, 0
        while size < limit:
            text = line.format(n=f"c{number}", x=need(number)) + "\n"
            out.append(text)
            size += len(text)
            number += 1
        return "".join(out)

    return make


SHAPES = {
    "chain": linked(lambda i: f"c{i - 1}" if i else "a"),
    "wide": linked(lambda i: "a"),
    "tree": linked(lambda i: f"c{(i - 1) // 2}" if i else "a"),
    "chains of 50": linked(lambda i: f"c{i - 1}" if i % 50 else "a"),
    "three": linked(lambda i: f"(c{i - 1} + c{i - 2} - c{i - 2})" if i > 1 else "a"),
    # Each needs all before it.
    "triangle": linked(lambda i: f"(({' + '.join(f'c{j}' for j in range(i))}) / {i})" if i else "a"),
}


def main():
    program = os.path.abspath(sys.argv[1])
    size = int(sys.argv[2]) if len(sys.argv) > 2 else 240_000
    with tempfile.TemporaryDirectory() as folder:
        for kind, line in KINDS.items():
            if len(sys.argv) > 3 and kind not in sys.argv[3:]:
                continue
            for shape, make in SHAPES.items():
                for name, head in HEADS.items():
                    Path(folder, "third.job").write_text(make(line, head, size // 3), encoding="utf-8")
                    Path(folder, "whole.job").write_text(make(line, head, size), encoding="utf-8")
                    star, said = " ", []
                    for more in [[], ["--with", "a=41 mm"]]:
                        third, _, _ = spent(program, ["run", "third.job", *more], "", folder)
                        whole, most, status = spent(program, ["run", "whole.job", *more], "", folder)
                        grows = whole > 0.4 and whole > 5 * third
                        if grows or whole > SECONDS or most > BYTES or status not in (0, 1, 2):
                            star = "*"
                        said.append(f"{third:5.2f} {whole:5.2f} s {most / 1e6:4.0f} MB")
                    print(f"{star} {kind:12} {shape:12} {name:9} {'  with '.join(said)}", flush=True)


if __name__ == "__main__":
    main()
