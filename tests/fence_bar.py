"""The fence bar's job with parts of its text put otherwise, and its plan, for tests."""

from __future__ import annotations

from dataclasses import replace
from pathlib import Path

from pathgen.job.job import Job
from pathgen.moves.moves import Drill
from pathgen.moves.plan import Pass, PlannedSetup
from pathgen.plan.planners import plan_setup
from pathgen.shop.shop import Shop
from tests.read_jobs import changed, job_from

FENCE_BAR = (Path(__file__).parents[1] / "jobs" / "fence-bar.toml").read_text(encoding="utf-8")
OPEN_RIGHT = ("centre = [80, 0]", 'open_at = ["right"]\ncentre_line = 0')


def job_of(*changes: tuple[str, str]) -> Job:
    """Return the fence bar's job with parts of its text put otherwise."""
    return job_from(changed(FENCE_BAR, *changes), "fence-bar")


def planned(shop: Shop, machine: str, *changes: tuple[str, str]) -> PlannedSetup:
    """Return the plan of the fence bar, its text changed, on a machine with the shop's cutters."""
    job = job_of(*changes)
    return plan_setup(job, job.setups[0], shop.machines[machine], shop.crib)


def purposes(plan: PlannedSetup) -> list[str]:
    """Return what each pass is for."""
    return [each.purpose for each in plan.passes]


def the(plan: PlannedSetup, purpose: str) -> Pass:
    """Return the first pass for a purpose."""
    return next(each for each in plan.passes if each.purpose == purpose)


def holes(each: Pass) -> list[Drill]:
    """Return the holes of a pass."""
    return [item for item in each.items if isinstance(item, Drill)]


def way(key: str, value: str) -> tuple[str, str]:
    """Return the change that gives one of the slot's ways."""
    return "position_tolerance = 0.2", f"position_tolerance = 0.2\nways.{key} = {value}\n#"


def with_cutters(shop: Shop, *names: str) -> Shop:
    """Return the shop with no cutters but those named."""
    kept = tuple(each for each in shop.cutters if each.name in names)
    return replace(shop, crib=replace(shop.crib, cutters=kept))
