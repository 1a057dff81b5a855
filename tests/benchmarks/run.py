"""How long whole commands take, as ratios of what they cannot do without; it asserts nothing.

    python tests/benchmarks/run.py [ROUNDS]

Machines drift, so each ratio is taken side by side, the two commands in turn, and the median of the
rounds is printed. Times are those of the operating system for the finished process. A first round
is not counted; it leaves compiled modules behind, as an installation does.
"""

import os
import resource
import statistics
import subprocess
import sys
import tempfile
from pathlib import Path

ROOT = Path(__file__).parents[2]
ROUNDS = 9
PATHGEN = [sys.executable, "-c", "from pathgen.cli import run; run()"]
ENVIRONMENT = {k: v for k, v in os.environ.items() if k != "PYTHONDONTWRITEBYTECODE"}
JOB = str(ROOT / "jobs" / "fence-bar.toml")


def seconds(command: list[str]) -> float:
    """Return the processor time of a command, user and system."""
    before = resource.getrusage(resource.RUSAGE_CHILDREN)
    quiet = subprocess.DEVNULL
    subprocess.run(command, check=True, stdout=quiet, stderr=quiet, env=ENVIRONMENT)
    after = resource.getrusage(resource.RUSAGE_CHILDREN)
    return after.ru_utime - before.ru_utime + after.ru_stime - before.ru_stime


def ratio(name: str, command: list[str], beside: list[str], rounds: int) -> None:
    """Print how much longer a command takes than what it is set beside."""
    pairs = [(seconds(command), seconds(beside)) for _ in range(rounds + 1)][1:]
    ratios = [one / other for one, other in pairs]
    print(
        f"{name:44} {statistics.median(ratios):6.2f}   "
        f"({min(ratios):.2f} to {max(ratios):.2f}; {statistics.median(p[0] for p in pairs):.3f} s)"
    )


def imports(*modules: str) -> list[str]:
    """Return the command that imports some modules and ends."""
    return [sys.executable, "-c", "import " + ", ".join(modules)]


def main() -> None:
    """Print the ratios."""
    rounds = int(sys.argv[1]) if len(sys.argv) > 1 else ROUNDS
    heavy = imports("click", "numpy", "shapely", "pint")
    print(f"median of {rounds} rounds, in turn; processor time")
    ratio("--help / import click", [*PATHGEN, "--help"], imports("click"), rounds)
    ratio("reckon --help / import click", [*PATHGEN, "reckon", "--help"], imports("click"), rounds)
    with tempfile.TemporaryDirectory() as folder:
        make = [*PATHGEN, "make", JOB, "--into", folder]
        ratio("make the demo / import the four libraries", make, heavy, rounds)
        for machine in ("converted-mill-lean", "bench-mill-inch", "bench-mill-metric"):
            ratio(f"  the same on {machine}", [*make, "--machine", machine], heavy, rounds)


if __name__ == "__main__":
    main()
