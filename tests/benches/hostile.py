"""Runs the program over the notebooks of hostile_notebooks.py, each by every command,
and prints the time of the processor and the most memory, the worst first. Each is to
end within about 2 s and 400 MB, or to say which bound it met.

    python3 tests/benches/hostile.py target/release/setover [COMMAND,…|all] [NAME…]

Linux and macOS only. Nothing is written but in a folder of its own below /tmp.
"""

import os
import re
import resource
import sys
import tempfile
from pathlib import Path

SECONDS = 2.0
BYTES = 400e6
# What stops a child that hangs: it counts as over.
STOP = (30, 4_000_000_000)
NAMES = re.compile(rb"^(\w+) = |^find (\w+) ", re.MULTILINE)


def commands(file, text):
    """Yields the name of each command, its arguments and what is typed into it."""
    yield "run", ["run", file], ""
    yield "json", ["run", "--as", "json", file], ""
    yield "csv", ["run", "--as", "csv", file], ""
    yield "all", ["run", "--all", file], ""
    yield "check", ["check", file], ""
    yield "sheet", ["sheet", file, "-o", "-"], ""
    yield "samples", ["run", "--samples", "10000", file], ""
    names = [(a or b).decode() for a, b in NAMES.findall(text)]
    if names:
        yield "with", ["run", file, "--with", f"{names[0]}=7 mm"], ""
        yield "compare", ["compare", file, file], ""
        yield "explain", ["explain", file, names[0]], ""
        yield "explain-last", ["explain", file, names[-1]], ""
    if b"\ncheck " in text:
        yield "explain-check", ["explain", file, "check 1"], ""
    yield "try", ["try", file], "1 + 1\nq_q = 3 mm\nsheet\n"


def written(folder, only):
    """Writes the notebooks and returns their names. In a process of its own, for what
    this one takes counts for all that it starts."""
    child = os.fork()
    if child == 0:
        from hostile_notebooks import NOTEBOOKS

        for name, text in NOTEBOOKS.items():
            if not only or name in only:
                Path(folder, f"{name}.job").write_text(text, encoding="utf-8", newline="")
        os._exit(0)
    os.waitpid(child, 0)
    return sorted(path.stem for path in Path(folder).glob("*.job"))


def spent(program, arguments, typed, folder):
    """Returns the seconds of the processor, the most bytes and the exit status."""
    said = os.memfd_create("typed") if hasattr(os, "memfd_create") else os.open("/dev/null", os.O_RDWR)
    os.write(said, typed.encode())
    os.lseek(said, 0, os.SEEK_SET)
    child = os.fork()
    if child == 0:
        resource.setrlimit(resource.RLIMIT_CPU, (STOP[0], STOP[0]))
        resource.setrlimit(resource.RLIMIT_AS, (STOP[1], STOP[1]))
        quiet = os.open("/dev/null", os.O_WRONLY)
        os.dup2(said, 0)
        os.dup2(quiet, 1)
        os.dup2(quiet, 2)
        os.chdir(folder)
        os.environ["SETOVER_DATA"] = folder
        os.execv(program, [program, *arguments])
    _, status, used = os.wait4(child, 0)
    os.close(said)
    scale = 1 if sys.platform == "darwin" else 1024
    return used.ru_utime + used.ru_stime, used.ru_maxrss * scale, os.waitstatus_to_exitcode(status)


def main():
    program = os.path.abspath(sys.argv[1])
    wanted = sys.argv[2].split(",") if len(sys.argv) > 2 else ["all"]
    results = []
    with tempfile.TemporaryDirectory() as folder:
        names = written(folder, sys.argv[3:])
        for name in names:
            text = Path(folder, f"{name}.job").read_bytes()
            for command, arguments, typed in commands(f"{name}.job", text):
                if "all" not in wanted and command not in wanted:
                    continue
                seconds, most, status = spent(program, arguments, typed, folder)
                results.append((max(seconds / SECONDS, most / BYTES), seconds, most, status, command, name))
                if seconds > SECONDS or most > BYTES or status not in (0, 1, 2):
                    print(f"OVER {seconds:6.2f} s {most / 1e6:7.1f} MB  exit {status:3}  {command:13} {name}", flush=True)
    results.sort(reverse=True)
    print(f"\n{len(results)} runs of {len(names)} notebooks; the worst")
    for _, seconds, most, status, command, name in results[:60]:
        print(f"{seconds:6.2f} s {most / 1e6:7.1f} MB  exit {status:3}  {command:13} {name}")


if __name__ == "__main__":
    main()
