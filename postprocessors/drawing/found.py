"""What the check found, as a drawing tells of it: numbered flags in the view, notes beside it."""

from __future__ import annotations

import math
from collections.abc import Sequence
from typing import Protocol

from postprocessors.drawing.lettering import SMALL, wrapped
from postprocessors.drawing.notes import SWATCH, Entry, heading


class FindingLike(Protocol):
    """What the drawing needs of a finding: where, what, and its code."""

    @property
    def at(self) -> Sequence[float] | None:
        """Return the place (x, y, z) in the setup's frame, mm; None or nan where it has none."""

    @property
    def what(self) -> str:
        """Return what is wrong."""

    @property
    def code(self) -> str:
        """Return the kind of finding."""


def flags(
    findings: Sequence[FindingLike], axes: tuple[int, int] = (0, 1)
) -> list[tuple[str, tuple[float, float]]]:
    """Return the numbers of the findings that have a place, those at one place together.

    Args:
        findings: all that the check found.
        axes: which of x, y and z the view shows across and up.
    """
    found: dict[tuple[float, float], list[str]] = {}
    for number, finding in enumerate(findings, start=1):
        at = () if finding.at is None else tuple(finding.at[axis] for axis in axes)
        if at and all(math.isfinite(each) for each in at):
            found.setdefault((round(at[0], 2), round(at[1], 2)), []).append(str(number))
    return [(_short(numbers), place) for place, numbers in found.items()]


def _short(numbers: list[str]) -> str:
    """Return a few numbers in a row; of many the first and the last."""
    return ",".join(numbers) if len(numbers) < 4 else f"{numbers[0]}...{numbers[-1]}"


def finding_entries(findings: Sequence[FindingLike], width: float) -> list[Entry]:
    """Return the notes of what was found, numbered as its flags are."""
    found = [
        Entry("finding", number, wrapped(f"{each.code}: {each.what}", width - SWATCH, SMALL))
        for number, each in enumerate(findings)
    ]
    return [heading("FINDINGS"), *found] if found else []
