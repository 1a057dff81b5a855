"""Holes of several features in one go: each cutter is fitted once where the order allows it."""

from __future__ import annotations

from collections.abc import Iterable, Iterator
from itertools import groupby
from typing import NamedTuple

from pathgen.job.holes import Holes
from pathgen.job.job import Feature
from pathgen.moves.plan import Purpose
from pathgen.plan.bench import Operation

# The order of the trade at one hole. Holes of different features do not touch one another, so that
# what is done to one may come between what is done to another.
STAGES: dict[Purpose, int] = {
    "spot": 0,
    "pilot": 1,
    "drill": 2,
    "counterbore": 3,
    "spot-face": 3,
    "countersink": 4,
    "ream": 5,
    "tap": 6,
}


class Planned(NamedTuple):
    """An operation and the feature it belongs to."""

    feature: Feature
    operation: Operation


def shared(planned: Iterable[Planned]) -> Iterator[Planned]:
    """Yield operations, those of hole features that follow one another stage by stage.

    Within a stage a smaller cutter comes first, as it must where one hole has two pilots. A bore is
    made in one go, since a boring head holds its setting for one alone.
    """
    for are_holes, row in groupby(planned, key=_are_holes):
        listed = list(row)
        yield from sorted(listed, key=_stage) if are_holes else listed


def _are_holes(each: Planned) -> bool:
    return isinstance(each.feature, Holes) and each.feature.finish != "bored"


def _stage(each: Planned) -> tuple[int, float, str]:
    cutter = each.operation.cutter
    return STAGES[each.operation.purpose], cutter.diameter, cutter.name
