"""What is measured on each kind of feature, in words."""

from __future__ import annotations

from typing import assert_never

from pathgen.input.units import Units, between, figure, spoken
from pathgen.job.areas import Facing, Free, Outside, Pocket, Rectangular, Round, Step
from pathgen.job.chamfer import Chamfer
from pathgen.job.holes import Holes
from pathgen.job.job import Area, Feature
from pathgen.job.sizes import Size
from pathgen.job.slot import KeySeat, Slot
from pathgen.job.spheres import Sphere
from pathgen.job.t_slot import TSlot
from pathgen.plan.words import span
from pathgen.reckon.keys import keyway_rise


def sizes_in_words(feature: Feature, units: Units) -> str:
    """Return the sizes of a feature with their limits, in the job's units."""
    match feature:
        case Slot():
            parts = _of_slot(feature, units)
        case TSlot():
            parts = [
                *_of_slot(feature.neck, units),
                f"head width {span(feature.head_width, units)}",
                f"head height {span(feature.head_height, units)}",
            ]
        case Holes():
            parts = _of_holes(feature, units)
        case Chamfer():
            parts = [f"{span(feature.width, units)} wide along the face"]
        case Sphere():
            parts = _of_sphere(feature, units)
        case Pocket() | Outside() | Step() | Facing():
            parts = _of_area(feature, units)
        case _:
            assert_never(feature)
    return f"{feature.name}, {', '.join(parts)}"


def _of_area(area: Area, units: Units) -> list[str]:
    match area:
        case Pocket():
            return _of_pocket(area, units)
        case Outside():
            return [_of_walls("outside", area.departure, units)]
        case Step():
            return _of_step(area, units)
        case Facing():
            return _of_facing(area, units)
        case _:
            assert_never(area)


def _of_facing(facing: Facing, units: Units) -> list[str]:
    parts = [f"thickness {span(facing.thickness, units)}"]
    return [*parts, facing.trial] if facing.trial else parts


def _of_slot(slot: Slot, units: Units) -> list[str]:
    parts = [f"width {span(slot.width, units)}"]
    if not (slot.open_low and slot.open_high):
        parts.append(f"length {span(slot.length, units)}")
    if slot.depth is not None:
        parts.append(f"depth {span(slot.depth, units)}")
    if slot.key is not None and slot.key.across is not None and slot.depth is not None:
        parts.extend(_of_key_in_shaft(slot.key, slot.key.across, slot.depth, units))
    elif slot.key is not None:
        parts.extend(_of_key(slot.key, units))
    return parts


def _of_key(key: KeySeat, units: Units) -> list[str]:
    """Return for which key a slot is, and how its depth compares with that on the round."""
    rise = spoken(keyway_rise(key.shaft, key.width), units)
    size = f"{figure(key.width, units)} x {spoken(key.height, units)}"
    more = "less" if key.part == "shaft" else "more"
    return [
        f"for a key {size} of a shaft of {spoken(key.shaft, units)}",
        f"its depth from the flat: in the round {key.part} itself it is {rise} {more} at its walls",
    ]


def _of_key_in_shaft(key: KeySeat, across: float, depth: Size, units: Units) -> list[str]:
    """Return for which key a keyway in a round shaft is, and how its depth is measured there.

    Args:
        key: which.
        across: the shaft's diameter as measured, mm.
        depth: from the crown.
        units: of the job.
    """
    rise = spoken(keyway_rise(across, key.width), units)
    size = f"{figure(key.width, units)} x {spoken(key.height, units)}"
    left = between(across - depth.high, across - depth.low, units)
    return [
        f"for a key {size} of a shaft of {spoken(key.shaft, units)}",
        f"its depth from the crown, the line that lies highest: at its walls {rise} less",
        f"from its floor to the far side of the shaft {left}",
    ]


def _of_holes(holes: Holes, units: Units) -> list[str]:
    hole = "tapping hole" if holes.tapping is not None else "diameter"
    parts = [f"{hole} {span(holes.bore, units)}"]
    if holes.own_depth is not None:
        begins = "" if holes.floor is None else f" from the floor of {holes.floor.of}"
        parts.append(f"depth {span(holes.own_depth, units)}{begins}")
    if holes.countersink is not None:
        parts.append(f"countersink {span(holes.countersink.diameter, units)}")
    for each in holes.counterbores:
        parts.append(f"{each.word} {span(each.diameter, units)}")
        parts.append(f"its depth {span(each.depth, units)}")
    if holes.tapping is not None:
        depth = holes.tapping.depth
        parts.append(
            f"thread {holes.tapping.thread.designation}, "
            + ("through" if depth is None else f"{spoken(depth, units)} deep by its gauge")
        )
    return parts


def _of_pocket(pocket: Pocket, units: Units) -> list[str]:
    match pocket.shape:
        case Round(diameter=diameter):
            parts = [f"diameter {span(diameter, units)}"]
        case Rectangular(length=length, width=width):
            parts = [f"length {span(length, units)}", f"width {span(width, units)}"]
        case Free(departure=departure):
            parts = [_of_walls("walls", departure, units)]
        case _:
            assert_never(pocket.shape)
    if pocket.depth is not None:
        parts.append(f"depth {span(pocket.depth, units)}")
    return parts


def _of_walls(name: str, departure: Size, units: Units) -> str:
    return f"{name} within {span(departure, units)} of the contour"


def _of_step(step: Step, units: Units) -> list[str]:
    parts = [f"width {span(step.width, units)}"]
    if step.left is not None:
        parts = [f"left standing {span(step.left, units)}"]
    if step.middle is not None:
        axis = 0 if step.edges[0] in ("left", "right") else 1
        low, high = step.box[axis], step.box[axis + 2]
        left = high - low - 2 * step.width.middle if step.left is None else step.left.middle
        parts.append(
            f"from the {step.faces[0]} to the far wall {spoken((high - low + left) / 2, units)}, "
            f"so that it lies in the middle to {spoken(step.middle.high, units)}"
        )
    if step.depth is not None:
        parts.append(f"depth {span(step.depth, units)}")
    return parts


def _of_sphere(sphere: Sphere, units: Units) -> list[str]:
    wide = "chord" if sphere.form == "dish" else "width at the foot"
    deep = "depth" if sphere.form == "dish" else "height"
    return [
        f"radius {span(sphere.radius, units)}",
        f"{wide} {span(sphere.chord, units)}",
        f"{deep} {span(sphere.depth, units)}",
    ]
