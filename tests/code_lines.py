#!/usr/bin/env python3
"""Counts lines of code by room: outside comments, blank lines and tests.

    python3 tests/code_lines.py [FOLDER]

FOLDER is the top of the repository (this file's parent's parent by default). A room is a folder of src with the file of its
name. `#[cfg(test)]` items, the files they name, and everything under tests/ count as tests. Definitions and documentation in
library/functions are counted apart: they are code in the language of the notebooks, and its comments.
"""

import pathlib
import re
import sys


def code(text):
    """Lines that hold code, without comments, blanks and items under #[cfg(test)]."""
    text = re.sub(r"/\*.*?\*/", "", text, flags=re.S)
    count, skipping, depth = 0, False, 0
    for line in text.splitlines():
        line = line.strip()
        if skipping:
            depth += line.count("{") - line.count("}")
            if (depth <= 0 and line.endswith("}")) or (depth == 0 and line.endswith(";")):
                skipping = False
        elif line.startswith("#[cfg(test)]"):
            skipping, depth = True, 0
        elif line and not line.startswith("//"):
            count += 1
    return count


def rooms(top):
    """Code lines of each room of src."""
    counts = {}
    source = top / "src"
    for path in sorted(source.rglob("*.rs")):
        parts = path.relative_to(source).parts
        room = parts[0].removesuffix(".rs")
        counts[room] = counts.get(room, 0) + code(path.read_text(encoding="utf-8"))
    return counts


def definitions(top):
    """Lines of definitions in the library of functions, without documentation."""
    lines = [
        line.strip()
        for path in (top / "library" / "functions").glob("*.job")
        for line in path.read_text(encoding="utf-8").splitlines()
    ]
    return sum(1 for line in lines if line and not line.startswith(("#", "[")))


def main():
    top = pathlib.Path(sys.argv[1]) if len(sys.argv) > 1 else pathlib.Path(__file__).resolve().parent.parent
    counts = rooms(top)
    counts["language/natives"] = sum(
        code(path.read_text(encoding="utf-8")) for path in (top / "src" / "language").rglob("natives*.rs")
    ) + sum(code(path.read_text(encoding="utf-8")) for path in (top / "src" / "language" / "natives").rglob("*.rs"))
    for room, count in sorted(counts.items()):
        print(f"{room:20}{count:7}{'  (in language)' if '/' in room else ''}")
    print(f"{'all':20}{sum(count for room, count in counts.items() if '/' not in room):7}")
    print(f"{'library/functions':20}{definitions(top):7}  (not in all)")


if __name__ == "__main__":
    main()
