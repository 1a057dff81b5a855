"""What touches: refused where its name, its diameter, its paper and the spindle disagree."""

from __future__ import annotations

import pytest

from pathgen.job.job import Datum
from pathgen.moves.actions import FitTouching, Zero
from pathgen.plan.planners import plan_setup
from tests.fence_bar import FENCE_BAR
from tests.read_jobs import changed, job_from, reading, the_shop

X = 'tool = "3 mm cutter"\ntool_diameter = 3\npaper = 0.05\n\n[setup.datum.y]'
END = "\n\n[setup.datum.y]"


def with_x(lines: str) -> str:
    """Return the fence bar's text with other lines for what touches its left end."""
    return changed(FENCE_BAR, (X, lines + END))


def told(lines: str) -> str:
    """Return the one error about what touches, without its place."""
    _, (error,) = reading(with_x(lines), "bar")
    return error.split(" setup[1].datum.x.", 1)[1]


def read(lines: str) -> Datum:
    return job_from(with_x(lines), "bar").setups[0].datum_x


@pytest.mark.parametrize(
    ("lines", "says"),
    [
        ("tool_diameter = 3", "tool: missing"),
        (
            'tool = "edge finder"\ntool_diameter = 10',
            "spindle: not said for 'edge finder': one kind of edge finder turns, another must",
        ),
        (
            'tool = "edge finder"\ntool_diameter = 10\nspindle = "turning"\npaper = 0.05',
            "spindle: turning, with paper held between what touches and the face; say",
        ),
        (
            'tool = "3 mm cutter"\ntool_diameter = 3\nspindle = "running"',
            'spindle: "running" is none of the choices; did you mean "turning"? use "stopped"',
        ),
        (
            'tool = "10 mm edge finder"\ntool_diameter = 3\nspindle = "turning"',
            "tool_diameter: 3 mm for '10 mm edge finder'; give the diameter of the end that",
        ),
        ('tool = "edge finder 10"\ntool_diameter = 4\npaper = 0.05', "tool_diameter: 4 mm for"),
        ('tool = "3/8 in pin"\ntool_diameter = 8', "tool_diameter: 8 mm for '3/8 in pin'"),
        ('tool = "0.2\u2033 pin"\ntool_diameter = 8', "tool_diameter: 8 mm for"),
    ],
)
def test_what_touches_has_to_agree_with_itself(lines: str, says: str) -> None:
    assert told(lines).startswith(says)


@pytest.mark.parametrize(
    ("lines", "spindle"),
    [
        ('tool = "3 mm cutter"\ntool_diameter = 2.97\npaper = 0.05', "stopped"),  # as measured
        ('tool = "3 mm cutter"\ntool_diameter = 3\nspindle = "stopped"', "stopped"),
        ('tool = "edge finder"\ntool_diameter = 10\nspindle = "turning"', "turning"),
        ('tool = "electronic finder"\ntool_diameter = 10\nspindle = "stopped"', "stopped"),
        ('tool = "edge finder"\ntool_diameter = 10\npaper = 0.05', "stopped"),
        (
            'tool = "finder, 10 mm shank, 4 mm tip"\ntool_diameter = 4\nspindle = "turning"',
            "turning",
        ),
        ('tool = "pin No. 2"\ntool_diameter = 6', "stopped"),
        ('tool = "M6 screw"\ntool_diameter = 5.9', "stopped"),
        ('tool = "3/8 in pin"\ntool_diameter = "3/8 in"', "stopped"),
    ],
)
def test_what_agrees_is_taken(lines: str, spindle: str) -> None:
    assert read(lines).spindle == spindle


def zeroing(lines: str, machine: str) -> tuple[list[FitTouching], list[float]]:
    """Return what is fitted to touch with, and the speeds of the touches, in order."""
    job = job_from(with_x(lines), "bar")
    plan = plan_setup(job, job.setups[0], the_shop().machines[machine], the_shop().crib)
    items = plan.before
    zeros = [item for item in items if isinstance(item, Zero)]
    fits = [item for item in items if isinstance(item, FitTouching)]
    return fits, [touch.rpm for zero in zeros for touch in zero.touches]


def test_one_thing_that_touches_is_fitted_once() -> None:
    fits, speeds = zeroing('tool = "3 mm cutter"\ntool_diameter = 3', "bench-mill-metric")
    assert fits == [FitTouching(name="3 mm cutter", diameter=3.0)]
    assert speeds == [0, 0, 0]


@pytest.mark.parametrize(
    ("machine", "rpm"), [("bench-mill-inch", 720.0), ("converted-mill", 1000.0)]
)
def test_a_finder_is_swapped_for_what_touches_next(machine: str, rpm: float) -> None:
    finder = 'tool = "edge finder"\ntool_diameter = 10\nspindle = "turning"'
    fits, speeds = zeroing(finder, machine)
    assert [each.name for each in fits] == ["edge finder", "3 mm cutter"]
    assert speeds[0] == rpm  # the highest speed that the machine has, up to 1000
    assert set(speeds[1:]) == {0.0}
