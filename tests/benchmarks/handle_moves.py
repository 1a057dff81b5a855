"""How many times handles are wound for each demo, against the plain order; it asserts nothing.

    python tests/benchmarks/handle_moves.py [JOB ...]

The plain order takes feature by feature, and hole by hole as the job places them, each feature's
own cutters in turn; ours shares cutters among features and orders holes by what handles cost. Both
are counted on the sheets as written: a wind of one handle is one, so is one that takes slack out.
Jobs that ask for a boring head, a lathe and so on are counted where the machine does them.
"""

import sys
from collections.abc import Callable, Sequence
from contextlib import AbstractContextManager, ExitStack
from pathlib import Path
from unittest.mock import patch

from pathgen.commands.loading import load
from pathgen.input.where import JobErrors, Refusal
from pathgen.job.job import Job, JobSetup
from pathgen.plan.bench import Bench
from pathgen.plan.planners import plan_setup
from pathgen.reckon.holes import Position
from pathgen.shop.machines import Machine
from pathgen.shop.shop import Shop
from postprocessors.dials.steps import WindStep
from postprocessors.dials.writer import write_sheet

JOBS = Path(__file__).parents[2] / "jobs"
MACHINES = ("bench-mill-inch", "bench-mill-metric")
ORDERED = ("pathgen.plan.areas.chain", "pathgen.plan.holes.holes", "pathgen.plan.holes.tapping")


def as_placed(places: Sequence[Position], _: Bench) -> tuple[Position, ...]:
    """Return holes in the order in which the job places them."""
    return tuple(places)


def plainly() -> AbstractContextManager[object]:
    """Return what plans in the plain order for as long as it lasts."""
    with ExitStack() as stack:
        stack.enter_context(patch("pathgen.plan.planners.shared", iter))
        for module in ORDERED:
            stack.enter_context(patch(f"{module}.in_order", as_placed))
        return stack.pop_all()


def winds(job: Job, setup: JobSetup, machine: Machine, shop: Shop) -> int:
    """Return how many times a handle is wound in one setup."""
    plan = plan_setup(job, setup, machine, shop.crib)
    steps = write_sheet(plan, machine, job.units).steps
    return sum(isinstance(step, WindStep) for step in steps)


def both(count: Callable[[], int]) -> tuple[int, int | None]:
    """Return a count as we plan, and in the plain order where that can be planned at all."""
    ours = count()
    try:
        with plainly():
            return ours, count()
    except Refusal:
        return ours, None


def report(file: Path) -> None:
    """Print the counts of one job on each machine with handles that does it."""
    try:
        job, shop = load(file)
    except JobErrors as errors:
        print(f"{file.stem}: {errors}")
        return
    if not isinstance(job, Job):
        return  # turned work, or several jobs: no order of features to choose
    for setup in job.setups:
        for name in MACHINES:
            machine = shop.machines[name]
            try:
                ours, plain = both(lambda: winds(job, setup, machine, shop))  # noqa: B023
            except Refusal as refusal:
                print(f"{file.stem:16} {setup.name:24} {name:18} refused: {str(refusal)[-60:]}")
                continue
            said = "   refused" if plain is None else f"{plain:5d} {ours / plain:5.2f}"
            print(f"{file.stem:16} {setup.name:24} {name:18} {ours:5d} {said}")


def main() -> None:
    """Print the counts of the demos, or of the jobs that are named."""
    files = [Path(each) for each in sys.argv[1:]] or sorted(JOBS.glob("*.toml"))
    print(f"{'job':16} {'setup':24} {'machine':18} {'ours':>5} {'plain':>5} ratio")
    for file in files:
        report(file)


if __name__ == "__main__":
    main()
