"""Settings of a boring head, for tests of writers, readers and the check."""

from __future__ import annotations

from dataclasses import replace
from typing import Any

from pathgen.moves.actions import SetDiameter

HEAD = "boring head, 12 mm bar"


def touched_head(diameter: float) -> SetDiameter:
    """Return a boring head whose tool touches a wall."""
    return SetDiameter(
        head=HEAD,
        diameter=diameter,
        per_division=0.02,
        judged=0.5,
        uncertainty=0.15,
        touched=True,
    )


def set_head(diameter: float, turned: float, **changes: Any) -> SetDiameter:
    """Return a boring head whose dial goes out."""
    turning = replace(touched_head(diameter), touched=False, turned=turned, uncertainty=0.01)
    return replace(turning, **changes)
