"""The sizes of features that have room for another part to go in, or that go into one."""

from __future__ import annotations

from dataclasses import replace
from typing import assert_never

from pathgen.job.areas import Facing, Free, Outside, Pocket, Rectangular, Round, Step
from pathgen.job.chamfer import Chamfer
from pathgen.job.holes import Holes
from pathgen.job.job import Feature
from pathgen.job.mating.named import AnyFeature
from pathgen.job.sizes import Size
from pathgen.job.slot import Slot
from pathgen.job.spheres import FOLLOWS, Sphere, with_radius
from pathgen.job.t_slot import TSlot
from pathgen.job.turning.grooves import Groove
from pathgen.job.turning.inside import AxialHole, Bored, Recess
from pathgen.job.turning.rooms import room_with, rooms_turned, solids_turned
from pathgen.job.turning.turned import TurnedFeature


def room_sizes(feature: AnyFeature) -> dict[str, Size]:
    """Return the sizes of a feature that have room in them, by the names the check has for them."""
    return rooms_turned(feature) if isinstance(feature, TurnedFeature) else _of_milled(feature)


def _of_milled(feature: Feature) -> dict[str, Size]:
    """Return those of a milled one."""
    match feature:
        case Slot():
            return _of_slot(feature)
        case TSlot():
            return {
                **_of_slot(feature.neck),
                "head width": feature.head_width,
                "head height": feature.head_height,
            }
        case Holes():
            bores = {} if feature.tapping is not None else {"diameter": feature.bore}
            if feature.counterbore is not None and not feature.counterbore.spotface:
                bores["counterbore"] = feature.counterbore.diameter
            return bores
        case Pocket():
            return _of_pocket(feature)
        case Sphere():
            given = feature.form == "dish" and feature.radius.basis != FOLLOWS
            return {"radius": feature.radius} if given else {}
        case Outside() | Step() | Facing() | Chamfer():
            return {}
        case _:  # pragma: no cover
            assert_never(feature)


def _of_slot(slot: Slot) -> dict[str, Size]:
    """Return a slot's sizes: no length where it runs out of the blank at both ends."""
    sizes = {"width": slot.width}
    if not (slot.open_low and slot.open_high):
        sizes["length"] = slot.length
    if slot.depth is not None:
        sizes["depth"] = slot.depth
    return sizes


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


def solid_sizes(feature: AnyFeature) -> dict[str, Size]:
    """Return the sizes of what a feature leaves standing, for it to go into another part."""
    if isinstance(feature, TurnedFeature):
        return solids_turned(feature)
    match feature:
        case Step():
            return {} if feature.left is None else {"left": feature.left}
        case Facing():
            return {"thickness": feature.thickness}
        case Slot() | TSlot() | Holes() | Pocket() | Outside() | Chamfer() | Sphere():
            return {}
        case _:  # pragma: no cover
            assert_never(feature)


def with_size(feature: AnyFeature, key: str, size: Size) -> AnyFeature:
    """Return a feature in which one size with room has other limits."""
    match feature:
        case Slot():
            return replace(feature, **{key: size})  # type: ignore[arg-type]
        case TSlot():
            return _t_slot_with(feature, key, size)
        case Holes():
            return _holes_with(feature, key, size)
        case Pocket():
            return _pocket_with(feature, key, size)
        case Sphere():
            return with_radius(feature, size)
        case AxialHole() | Bored() | Recess() | Groove():
            return room_with(feature, key, size)
        case _:
            raise AssertionError(f"no size {key!r} with room in it")


def _t_slot_with(t_slot: TSlot, key: str, size: Size) -> TSlot:
    if key == "head width":
        return replace(t_slot, head_width=size)
    if key == "head height":
        return replace(t_slot, head_height=size)
    return replace(t_slot, neck=replace(t_slot.neck, **{key: size}))  # type: ignore[arg-type]


def _holes_with(holes: Holes, key: str, size: Size) -> Holes:
    if key == "diameter":
        return replace(holes, bore=size)
    mouth, *others = holes.counterbores
    return replace(holes, counterbores=(replace(mouth, diameter=size), *others))


def _pocket_with(pocket: Pocket, key: str, size: Size) -> Pocket:
    if key == "depth":
        return replace(pocket, depth=size)
    assert isinstance(pocket.shape, Round | Rectangular)
    return replace(pocket, shape=replace(pocket.shape, **{key: size}))  # type: ignore[arg-type]
