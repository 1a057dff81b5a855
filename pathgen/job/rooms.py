"""The sizes of features that have room in them, for another part to go in."""

from __future__ import annotations

from dataclasses import replace
from typing import assert_never

from pathgen.job.areas import Facing, Free, Outside, Pocket, Rectangular, Round, Step
from pathgen.job.holes import Counterbore, Holes
from pathgen.job.job import Feature
from pathgen.job.sizes import Size
from pathgen.job.slot import Slot
from pathgen.job.spheres import Sphere


def room_sizes(feature: Feature) -> dict[str, Size]:
    """Return the sizes of a feature that have room in them, by the names the check has for them."""
    match feature:
        case Slot():
            sizes = {"width": feature.width}
            if not (feature.open_low and feature.open_high):
                sizes["length"] = feature.length
            if feature.depth is not None:
                sizes["depth"] = feature.depth
            return sizes
        case Holes():
            bores = {} if feature.tapping is not None else {"diameter": feature.bore}
            if feature.counterbore is not None and not feature.counterbore.spotface:
                bores["counterbore"] = feature.counterbore.diameter
            return bores
        case Pocket():
            return _of_pocket(feature)
        case Outside() | Step() | Facing() | Sphere():
            return {}
        case _:  # pragma: no cover
            assert_never(feature)


def _of_pocket(pocket: Pocket) -> dict[str, Size]:
    """Return a pocket's sizes; a free contour has none that a rule could be laid across."""
    sizes: dict[str, Size] = {}
    match pocket.shape:
        case Round(diameter=diameter):
            sizes["diameter"] = diameter
        case Rectangular(length=length, width=width):
            sizes.update(length=length, width=width)
        case Free():
            pass
    if pocket.depth is not None:
        sizes["depth"] = pocket.depth
    return sizes


def with_size(feature: Feature, key: str, size: Size) -> Feature:
    """Return a feature in which one size with room has other limits."""
    match feature, key:
        case Slot(), _:
            return replace(feature, **{key: size})  # type: ignore[arg-type]
        case Holes(), "diameter":
            return replace(feature, bore=size)
        case Holes(counterbore=Counterbore() as mouth), "counterbore":
            return replace(feature, counterbore=replace(mouth, diameter=size))
        case Pocket(), "depth":
            return replace(feature, depth=size)
        case Pocket(shape=Round() | Rectangular() as shape), _:
            return replace(feature, shape=replace(shape, **{key: size}))  # type: ignore[arg-type]
        case _:
            raise AssertionError(f"no size {key!r} with room in it")
