"""How large parts and long programs fare, beside a process that only reads the numbers.

    python tests/benchmarks/large.py [ROUNDS]

It asserts nothing. Each figure is taken in a process of its own, in turn, and the median of the
rounds is printed: processor time, and memory beyond what the imports alone take.
"""

import json
import math
import resource
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path

ROOT = Path(__file__).parents[2]
ROUNDS = 5
SHORT, LONG = 2, 18  # levels of the long program: about 20,000 and 200,000 lines
MEGA = 1024.0  # kB


def used(work: Callable[[], object]) -> dict[str, float]:
    """Return the processor time that a piece of work takes, s, and the memory it adds, MB."""
    before, floor = time.process_time(), resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    work()
    peak = resource.getrusage(resource.RUSAGE_SELF).ru_maxrss
    return {"seconds": time.process_time() - before, "mega": (peak - floor) / MEGA}


def task(name: str, folder: Path) -> dict[str, float]:
    """Return what one task takes; what it needs is imported before."""
    import numpy as np  # noqa: PLC0415 - the tasks run in processes of their own

    if name.startswith("numbers"):
        from tests.benchmarks.reading import numbers_only  # noqa: PLC0415

        text = (folder / f"{name.split()[1]}.ngc").read_text(encoding="ascii")
        return used(lambda: np.asarray(numbers_only(text)))
    from pathgen.commands.proving import prove_job, prove_text  # noqa: PLC0415
    from pathgen.input.where import Faults  # noqa: PLC0415
    from pathgen.job.load import load_job  # noqa: PLC0415
    from tests.benchmarks.large_parts import outline, plain_pocket, pocket  # noqa: PLC0415
    from tests.read_jobs import job_from, the_shop  # noqa: PLC0415

    def proved(text: str) -> object:
        return list(prove_job(job_from(text, "tray"), the_shop(), None, lambda _: None))

    if name == "pocket":
        return used(lambda: proved(pocket()))
    if name == "outline":
        job = folder / "lid.toml"
        job.write_text(outline("PART", folder / "lid.dxf"), encoding="utf-8")

        def made() -> object:
            found = load_job(job, Faults())
            assert found is not None
            return list(prove_job(found, the_shop(), None, lambda _: None))

        return used(made)
    levels = int(name.split()[1])
    place = next(iter(prove_job(job_from(plain_pocket(levels), "tray"), the_shop(), None, print)))
    text = (folder / f"{levels}.ngc").read_text(encoding="ascii")
    return used(lambda: prove_text(place.place, text, "long", lambda _: None))


def write_programs(folder: Path) -> None:
    """Write the long programs, as many lines as they have levels for."""
    from pathgen.commands.proving import prove_job  # noqa: PLC0415
    from tests.benchmarks.large_parts import long_program, plain_pocket  # noqa: PLC0415
    from tests.read_jobs import job_from, the_shop  # noqa: PLC0415

    for levels in (SHORT, LONG):
        job = job_from(plain_pocket(levels), "tray")
        (proof,) = prove_job(job, the_shop(), None, lambda _: None)
        text = long_program(proof.text, levels)
        (folder / f"{levels}.ngc").write_text(text, encoding="ascii")


def run(name: str, folder: Path) -> dict[str, float]:
    """Return what a task takes in a process of its own."""
    command = [sys.executable, __file__, "--task", name, str(folder)]
    done = subprocess.run(command, check=True, capture_output=True, text=True, cwd=ROOT)
    found: dict[str, float] = json.loads(done.stdout.splitlines()[-1])
    return found


def main() -> None:
    """Print the figures."""
    rounds = int(sys.argv[1]) if len(sys.argv) > 1 else ROUNDS
    names = ("pocket", "outline", f"check {SHORT}", f"check {LONG}", f"numbers {LONG}")
    with tempfile.TemporaryDirectory() as name:
        folder = Path(name)
        write_programs(folder)
        lines = {
            levels: len((folder / f"{levels}.ngc").read_text().splitlines())
            for levels in (SHORT, LONG)
        }
        rows = [{each: run(each, folder) for each in names} for _ in range(rounds)]
    for each in names:
        seconds = statistics.median(row[each]["seconds"] for row in rows)
        mega = statistics.median(row[each]["mega"] for row in rows)
        print(f"{each:12} {seconds:8.2f} s {mega:8.1f} MB")
    long, short = f"check {LONG}", f"check {SHORT}"
    ratio = statistics.median(
        row[long]["seconds"] / row[f"numbers {LONG}"]["seconds"] for row in rows
    )
    growth = statistics.median(
        math.log(row[long]["seconds"] / row[short]["seconds"])
        / math.log(lines[LONG] / lines[SHORT])
        for row in rows
    )
    memory = statistics.median(row[long]["mega"] for row in rows) * MEGA**2 / lines[LONG]
    print(f"reading and checking {lines[LONG]} lines / reading only their numbers: {ratio:.1f}")
    print(f"growth exponent from {lines[SHORT]} to {lines[LONG]} lines: {growth:.2f}")
    print(f"memory: {memory:.0f} bytes a line")


if __name__ == "__main__":
    sys.path.insert(0, str(ROOT))
    if sys.argv[1:2] == ["--task"]:
        print(json.dumps(task(sys.argv[2], Path(sys.argv[3]))))
    else:
        main()
