"""The sizes of turned features that take another part, or that go into one."""

from __future__ import annotations

import re
from collections.abc import Sequence
from dataclasses import replace

from pathgen.job.sizes import Size
from pathgen.job.turning.grooves import Groove, with_width
from pathgen.job.turning.inside import AxialHole, Bored, Recess
from pathgen.job.turning.turned import Parted, Turned, TurnedFeature, place_words

OF_SEVERAL = re.compile(r"diameter (\d+)")


def rooms_turned(feature: TurnedFeature) -> dict[str, Size]:
    """Return the sizes that have room in them: bores, by "diameter", or "diameter 2" of several.

    Of several diameters the first is that at the right face.
    """
    match feature:
        case AxialHole():
            return {} if feature.tapping is not None else {"diameter": feature.diameter}
        case Bored():
            return _numbered([step.diameter for step in feature.steps])
        case Recess():
            return {"diameter": feature.diameter, "width": feature.width}
        case Groove():
            return {"width": feature.width}
        case _:
            return {}


def solids_turned(feature: TurnedFeature) -> dict[str, Size]:
    """Return the sizes that go into another part: diameters outside, and the whole length."""
    match feature:
        case Turned():
            return _numbered([step.diameter for step in feature.steps])
        case Parted():
            return {"length": feature.length}
        case _:
            return {}


def _numbered(sizes: Sequence[Size]) -> dict[str, Size]:
    """Return diameters by their names: counted from the right face where there are several."""
    if len(sizes) == 1:
        return {"diameter": sizes[0]}
    return {f"diameter {number}": size for number, size in enumerate(sizes, start=1)}


def room_with(
    feature: AxialHole | Bored | Recess | Groove, key: str, size: Size
) -> AxialHole | Bored | Recess | Groove:
    """Return a feature in which one size with room has other limits."""
    match feature:
        case AxialHole():
            return replace(feature, diameter=size)
        case Recess():
            inside = key == "diameter"
            return replace(feature, diameter=size) if inside else replace(feature, width=size)
        case Groove():
            return with_width(feature, size)
        case Bored():
            said = OF_SEVERAL.fullmatch(key)
            changed = int(said.group(1)) - 1 if said else 0
            steps = [
                replace(step, diameter=size) if index == changed else step
                for index, step in enumerate(feature.steps)
            ]
            return replace(feature, steps=tuple(steps))


def as_judged(feature: str, key: str) -> tuple[str, str]:
    """Return what the check calls a size of a feature, and its quantity.

    >>> as_judged("bore", "diameter 2"), as_judged("way", "width")
    (('bore, second from the right', 'diameter'), ('way', 'width'))
    """
    said = OF_SEVERAL.fullmatch(key)
    if said is None:
        return feature, key
    return f"{feature}, {place_words(int(said.group(1)) - 1)} from the right", "diameter"
