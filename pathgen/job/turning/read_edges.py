"""Reading edges of turned work: crowned ends, rounded and chamfered edges."""

from __future__ import annotations

import math
from collections.abc import Callable, Sequence
from dataclasses import replace

from pathgen.input.getters import Table
from pathgen.job.reading.areas import read_file_to_line
from pathgen.job.turning.centre_holes import CentreHole
from pathgen.job.turning.edges import (
    LINE,
    PROVED_OVER,
    Bevel,
    Crown,
    Rounded,
    Shape,
    TurnedEdge,
    Way,
)
from pathgen.job.turning.inside import AxialHole, Bored, Recess
from pathgen.job.turning.turned import Turned, TurnedFeature
from pathgen.reckon.general_tolerances import general_angle
from pathgen.reckon.tapers import half_angle

WAYS: tuple[Way, ...] = ("steps", "compound", "set-over")
BESIDE = 0.5  # mm of a face and of a diameter that stay beside an edge, to measure it by


def read_crown(table: Table, before: Sequence[TurnedFeature]) -> TurnedEdge | None:
    """Read an end that bulges, of a profile that is turned before it."""
    return _read(
        table, before, lambda: Crown(radius=table.length("radius", above=0)), "radius", end=True
    )


def read_rounded(table: Table, before: Sequence[TurnedFeature]) -> TurnedEdge | None:
    """Read an edge that is rounded, of a profile that is turned before it."""
    return _read(table, before, lambda: Rounded(radius=table.length("radius", above=0)), "radius")


def read_bevel(table: Table, before: Sequence[TurnedFeature]) -> TurnedEdge | None:
    """Read an edge that is chamfered: how wide along the axis, and at what angle to it."""

    def shape() -> Bevel:
        width = table.length("width", above=0)
        angle = table.number("angle_deg", default=45.0, least=5, most=85)
        return Bevel(width=width, rise=width * math.tan(math.radians(angle)))

    return _read(table, before, shape, "width")


def read_taper(
    table: Table, before: Sequence[TurnedFeature], tolerance_class: str
) -> TurnedEdge | None:
    """Read a taper that grows towards the chuck: 1 in so much of its length, on the diameter."""
    way = table.choice("way", WAYS, default="steps")
    beside = table.length("line_within", default=LINE, above=0)
    within = table.optional_number("angle_within_deg", above=0, most=1)

    def shape() -> Bevel:
        length = table.length("length", above=0)
        ratio = 1 / table.number("one_in", least=1, most=100)
        return Bevel(width=length, rise=length * math.tan(math.radians(half_angle(ratio))))

    edge = _read(table, before, shape, "length")
    if edge is None:
        return None
    _guard_way(table, edge, way)
    if within is None:
        within = general_angle(edge.along, tolerance_class)
    return replace(edge, way=way, beside=beside, angle_within_deg=within)


def _guard_way(table: Table, edge: TurnedEdge, way: Way) -> None:
    """Record what does not go with the way in which a taper is made on handles."""
    if way == "steps":
        for key in ("line_within", "angle_within_deg"):
            if table.has(key):
                table.wrong(
                    key,
                    "a limit for a taper that is cut along its line, and this one is filed",
                    'say way = "compound", or leave it out: file_to_line is its limit',
                )
        return
    if table.has("file_to_line"):
        table.wrong(
            "file_to_line",
            f'crests to be filed where way = "{way}" leaves none',
            "leave it out; line_within says how far the taper may lie from its line",
        )
    if edge.along < PROVED_OVER:
        table.wrong(
            "length",
            f"{table.say(edge.along)} of taper are too short to measure its angle by",
            f"give {table.say(PROVED_OVER)} or more, or cut it in steps",
        )


def _read(
    table: Table,
    before: Sequence[TurnedFeature],
    shape: Callable[[], Shape],
    size: str,
    *,
    end: bool = False,
) -> TurnedEdge | None:
    """Read what edges have in common, and their shape; ``size`` is the key of how large it is."""
    name, of = table.text("name"), table.text("of")
    step = 1 if end else table.whole("step", default=1, least=1)
    read, granted = shape(), read_file_to_line(table)
    table.no_more()
    turned = profile_before(table, of, step, before)
    if table.faulty or turned is None:
        return None
    edge = TurnedEdge(
        name=name,
        of=of,
        step=step,
        out=turned.steps[step - 1].diameter.middle / 2,
        face=0.0 if step == 1 else -turned.steps[step - 2].to.middle,
        shape=read,
        file_to_line=granted,
        where=table.where(),
    )
    _guard_room(table, edge, turned, size)
    return edge


def profile_before(
    table: Table, of: str, step: int, before: Sequence[TurnedFeature]
) -> Turned | None:
    """Return the profile that an edge or a groove is of; records one that is not there."""
    profiles = [each for each in before if isinstance(each, Turned)]
    turned = next((each for each in profiles if each.name == of), None)
    if table.faulty:
        return None
    if turned is None:
        names = ", ".join(each.name for each in profiles) or "there is none"
        table.wrong("of", f"no profile {of!r} before it", f"name one of kind turned: {names}")
    elif step > len(turned.steps):
        table.wrong(
            "step", f"{step} of {len(turned.steps)} diameters", "count them from the right face"
        )
    return turned


def _guard_room(table: Table, edge: TurnedEdge, turned: Turned, key: str) -> None:
    """Record an edge without room on its face or diameter; ``key`` is that of how large it is."""
    diameter = 2 * edge.out
    if isinstance(edge.shape, Crown) and edge.shape.radius < edge.out:
        table.wrong(
            "radius",
            f"a ball of radius {table.say(edge.shape.radius)} on {table.say(diameter)} across",
            f"give half of the diameter, {table.say(edge.out)}, or more",
        )
        return
    inner = 0.0
    if edge.step > 1:
        inner = turned.steps[edge.step - 2].diameter.high / 2 + turned.corner + BESIDE
    if edge.foot < inner:
        table.wrong(
            key,
            f"it takes {table.say(edge.out - edge.foot)} off a face that ends at"
            f" {table.say(diameter)} across",
            f"leave {table.say(BESIDE)} of the face beside its corner",
        )
    left = edge.face - edge.along - turned.corner - BESIDE
    if left < -turned.steps[edge.step - 1].to.low:
        table.wrong(
            key,
            f"it reaches {table.say(edge.along)} along its diameter",
            f"leave {table.say(BESIDE)} of the diameter beside its corner",
        )


def guard_edges(tables: Sequence[Table], features: Sequence[TurnedFeature]) -> None:
    """Record two shapes of one edge, and a crown on an end with a hole.

    Tools that are fitted after a crown are touched at the middle of the end, where it is as faced.
    """
    shaped: set[tuple[str, int]] = set()
    hollow = any(isinstance(each, AxialHole | Bored | Recess | CentreHole) for each in features)
    for table, feature in zip(tables, features, strict=True):
        if isinstance(feature, TurnedEdge):
            if (feature.of, feature.step) in shaped:
                table.wrong("of", "an edge that has its shape already", "give each edge one shape")
            shaped.add((feature.of, feature.step))
            if hollow and isinstance(feature.shape, Crown):
                table.wrong(
                    "kind",
                    "a crown on an end with a hole, on whose middle no tool can be touched",
                    "bore it in a setup of its own",
                )
