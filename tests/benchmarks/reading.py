"""How fast programs are read, beside other readers; run it, it asserts nothing.

    python tests/benchmarks/reading.py [LINES]

Ratios are taken in turn within one process, as machines drift: the median of the rounds.
"""

import argparse
import math
import re
import statistics
import sys
import time
import tracemalloc
from collections.abc import Callable

import numpy as np

from postprocessors.gcode.reader import read_program

ROUNDS = 5
SHARE = 20  # the other reader is slow: it gets one line of so many, and its time is scaled up
NUMBER = re.compile(r"-?[0-9]+\.[0-9]*")


def program(lines: int) -> str:
    """Return a program of lines and arcs like those of a pocket, each with its motion word."""
    rows = ["G17 G21 G40 G49 G54 G80 G90 G94", "G0 X0.0 Y0.0 Z5.0", "G1 Z-1.0 F100.0"]
    for k in range(lines - 4):
        x, y = round(50 * math.cos(k / 97), 3), round(40 * math.sin(k / 89), 3)
        if k % 10 == 9:
            rows.append(f"G2 X{x + 4:.3f} Y{y:.3f} I2.0 J0.0")
        else:
            rows.append(f"G1 X{x:.3f} Y{y:.3f}" + (" F120.0" if k % 50 == 0 else ""))
        if k % 10 == 8:
            x, y = round(50 * math.cos((k + 1) / 97), 3), round(40 * math.sin((k + 1) / 89), 3)
            rows[-1] = f"G1 X{x:.3f} Y{y:.3f}"
    return "\n".join([*rows, "M30", ""])


def seconds(work: Callable[[], object]) -> float:
    """Return how long a piece of work takes."""
    before = time.perf_counter()
    work()
    return time.perf_counter() - before


def numbers_only(text: str) -> object:
    """Turn only the numbers of a text into an array."""
    return np.array(NUMBER.findall(text), dtype=np.float64)


def other_reader(text: str) -> object:
    """Parse with the other reader; nothing is executed."""
    from pygcode import Line  # noqa: PLC0415 - not needed to measure the rest

    return [Line(line) for line in text.splitlines()]


def main() -> None:
    """Print the ratios."""
    parser = argparse.ArgumentParser(description=__doc__)
    parser.add_argument("lines", type=int, nargs="?", default=200_000)
    count = parser.parse_args().lines
    text, part = program(count), program(count // SHARE)
    ours, strict, other, bare = [], [], [], []
    for _ in range(ROUNDS):
        ours.append(seconds(lambda: read_program(text)))
        strict.append(seconds(lambda: read_program(part, fast=False)) * SHARE)
        other.append(seconds(lambda: other_reader(part)) * SHARE)
        bare.append(seconds(lambda: numbers_only(text)))
    tracemalloc.start()
    run = read_program(text)
    peak = tracemalloc.get_traced_memory()[1]
    tracemalloc.stop()
    print(f"{count} lines, {len(run.items)} items", file=sys.stdout)
    print(f"read              {count / statistics.median(ours):10.0f} lines/s")
    print(f"read, strict way  {count / statistics.median(strict):10.0f} lines/s")
    for name, times in (("pygcode's parse", other), ("numpy, numbers only", bare)):
        ratio = statistics.median(b / a for a, b in zip(ours, times, strict=True))
        print(f"time of {name} / ours: {ratio:.2f}")
    print(f"peak memory: {peak / count:.0f} B a line")


if __name__ == "__main__":
    main()
