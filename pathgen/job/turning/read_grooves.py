"""Reading grooves outside and undercuts at shoulders, and what there is no room for."""

from __future__ import annotations

from collections.abc import Sequence
from itertools import pairwise

from pathgen.input.getters import Table
from pathgen.job.sizes import Size, read_outside_size, read_size
from pathgen.job.turning.edges import TurnedEdge
from pathgen.job.turning.grooves import Groove, left_wall, right_wall
from pathgen.job.turning.inside import AxialHole, Bored, Recess, size_at
from pathgen.job.turning.read_edges import profile_before
from pathgen.job.turning.screwed import Screwed
from pathgen.job.turning.turned import Parted, Turned, TurnedFeature
from pathgen.job.turning.walls import WALL

CORNER = 0.2  # mm that may stay round at the floor, where a job does not say
BESIDE = 0.5  # mm of a diameter that stay beside a groove, at least; our choice
DEEPER = 0.1  # mm that a groove is deep, at least, at the limits; our choice
FACE = (
    "a groove in a face: the outer wall's curve meets the heel of a straight blade, and no tool of"
    " the crib says how far it is ground away"
)


def read_groove(
    table: Table, before: Sequence[TurnedFeature], tolerance_class: str
) -> Groove | None:
    """Read a groove within one diameter of a profile that is turned before it."""
    if table.flag("in_face", default=False):
        table.wrong("in_face", FACE, "turn it on a machine with such a tool; others are planned")
    name, of = table.text("name"), table.text("of")
    start = read_size(table, "start", table.length("start", above=0), tolerance_class)
    width = read_size(table, "width", table.length("width", above=0), tolerance_class)
    turned = profile_before(table, of, 1, before)
    walls = start, left_wall(start, width)
    step = 1 if turned is None else _step_at(table, turned, *walls)
    return _read(table, name, (turned, step), (width, *walls), tolerance_class)


def read_undercut(
    table: Table, before: Sequence[TurnedFeature], tolerance_class: str
) -> Groove | None:
    """Read a groove at the foot of the shoulder that ends a diameter of a profile."""
    name, of = table.text("name"), table.text("of")
    step = table.whole("step", default=1, least=1)
    width = read_size(table, "width", table.length("width", above=0), tolerance_class)
    turned = profile_before(table, of, step, before)
    shoulder = width if turned is None else turned.steps[step - 1].to
    walls = right_wall(shoulder, width), shoulder
    if turned is not None and walls[0].low < begins_at(turned, step) + BESIDE:
        table.wrong(
            "width",
            f"{table.say(width.nominal)} of a diameter that is"
            f" {table.say(shoulder.nominal - begins_at(turned, step))} long",
            f"leave {table.say(BESIDE)} of the diameter beside it",
        )
    return _read(table, name, (turned, step), (width, *walls), tolerance_class)


def _read(
    table: Table,
    name: str,
    at: tuple[Turned | None, int],
    along: tuple[Size, Size, Size],
    tolerance_class: str,
) -> Groove | None:
    """Read the rest of a groove, and guard its depth.

    Args:
        table: of the feature.
        name: of the groove.
        at: the profile, and which of its diameters it is in.
        along: its width, and where its right and its left wall are.
        tolerance_class: of the job.
    """
    turned, step = at
    width, right, left = along
    land = None if turned is None else turned.steps[step - 1].diameter
    floor = _floor(table, land, tolerance_class)
    corner = table.length("corner", default=CORNER, least=0)
    table.no_more()
    if table.faulty or turned is None or land is None:
        return None
    groove = Groove(
        name=name,
        of=turned.name,
        step=step,
        land=land,
        diameter=floor,
        right=right,
        left=left,
        width=width,
        corner=corner,
        foot=left is turned.steps[step - 1].to,
        where=table.where(),
    )
    _guard_depth(table, groove)
    return groove


def _floor(table: Table, land: Size | None, tolerance_class: str) -> Size:
    """Read the diameter of the floor, or how deep it is under the middle of its diameter."""
    if table.has("diameter") == table.has("depth"):
        table.wrong(
            "diameter", "wants one of diameter and depth", "give the floor's diameter, or its depth"
        )
    if not table.has("depth"):
        across = table.length("diameter", default=1.0, above=0)
        return read_outside_size(table, "diameter", across, tolerance_class)
    depth = read_size(table, "depth", table.length("depth", above=0), tolerance_class)
    outside = 0.0 if land is None else land.middle
    return Size(
        nominal=outside - 2 * depth.nominal,
        low=outside - 2 * depth.high,
        high=outside - 2 * depth.low,
        basis=depth.basis,
        where=depth.where,
    )


def begins_at(turned: Turned, step: int) -> float:
    """Return how far from the right face a diameter of a profile begins, at most, mm."""
    return 0.0 if step == 1 else turned.steps[step - 2].to.high


def _step_at(table: Table, turned: Turned, right: Size, left: Size) -> int:
    """Return in which diameter a groove lies; records one that leaves too little beside it."""
    for number, step in enumerate(turned.steps, start=1):
        if right.nominal >= step.to.nominal:
            continue
        if not table.faulty and right.low < begins_at(turned, number) + BESIDE:
            table.wrong(
                "start",
                f"{table.say(right.nominal)}, its diameter begins at"
                f" {table.say(begins_at(turned, number))}",
                f"leave {table.say(BESIDE)} of the diameter to its right",
            )
        if not table.faulty and left.high > step.to.low - turned.corner - BESIDE:
            table.wrong(
                "width",
                f"its left wall at {table.say(left.nominal)}, its diameter ends at"
                f" {table.say(step.to.nominal)}",
                f"leave {table.say(BESIDE)} beside the corner of the shoulder, or give kind"
                " undercut: a groove at its foot",
            )
        return number
    table.wrong(
        "start",
        f"{table.say(right.nominal)} from the right face, {turned.name} ends at"
        f" {table.say(turned.steps[-1].to.nominal)}",
        "put it on what is turned",
    )
    return 1


def _guard_depth(table: Table, groove: Groove) -> None:
    """Record a floor that is no deeper than its diameter, or beyond the axis."""
    key = "depth" if table.has("depth") else "diameter"
    if groove.diameter.low <= 0:
        table.wrong(key, "a floor at the axis or beyond it", "make it less deep")
    elif groove.diameter.high > groove.land.low - 2 * DEEPER:
        table.wrong(
            key,
            f"a floor of {table.say(groove.diameter.low, groove.diameter.high)} across in"
            f" {table.say(groove.land.low, groove.land.high)}",
            f"make it {table.say(DEEPER)} deep or more whatever the limits make of it",
        )


def guard_grooves(table: Table, features: Sequence[TurnedFeature]) -> None:
    """Record grooves that meet one another, an edge, the end, a hole, or a thread."""
    grooves = [each for each in features if isinstance(each, Groove)]
    for one, other in pairwise(sorted(grooves, key=lambda each: each.right.low)):
        if other.right.low < one.left.high + BESIDE:
            _wrong(table, other, f"meets {one.name}", f"leave {table.say(BESIDE)} between them")
    for index, groove in enumerate(features):
        if not isinstance(groove, Groove):
            continue
        for place, other_one in enumerate(features):
            _guard_beside(table, groove, other_one, later=place > index)


def _guard_beside(  # noqa: C901 - a case a kind
    table: Table, groove: Groove, other: TurnedFeature, *, later: bool
) -> None:
    """Record what another feature of the setup, listed later or not, leaves no room for."""
    match other:
        case TurnedEdge() if (other.of, other.step) == (groove.of, groove.step):
            if groove.right.low < other.along - other.face + BESIDE:
                _wrong(table, groove, f"meets {other.name}", f"leave {table.say(BESIDE)} between")
        case Parted():
            if groove.left.high > other.length.low - BESIDE:
                said = f"reaches the end at {table.say(other.length.nominal)}"
                _wrong(table, groove, said, f"leave {table.say(BESIDE)} beside the end")
        case AxialHole() | Bored():
            hollow = size_at(other, groove.right.low)
            if hollow is not None and hollow.high + 2 * WALL > groove.diameter.low:
                said = f"leaves no wall of {table.say(WALL)} over {other.name}"
                _wrong(table, groove, said, "make it less deep")
        case Recess() if other.end > groove.right.low and other.start.low < groove.left.high:
            if other.diameter.high + 2 * WALL > groove.diameter.low:
                said = f"leaves no wall of {table.say(WALL)} over {other.name}"
                _wrong(table, groove, said, "make it less deep, or move it along")
        case Screwed(inside=False) if groove.step == other.step and groove.right.low < -other.end:
            _guard_run_out(table, groove, other, later=later)
        case _:
            return


def _guard_run_out(table: Table, groove: Groove, thread: Screwed, *, later: bool) -> None:
    """Record a groove into which a thread does not run out as it should."""
    if not later:
        said = f"is cut after {thread.name}, which runs out into it"
        _wrong(table, groove, said, "put it before the thread")
    elif groove.right.middle < thread.full_to:
        said = f"lies within the {table.say(thread.length)} of {thread.name}"
        _wrong(table, groove, said, "let the full thread end where the groove begins")
    elif -thread.end > groove.left.middle:
        said = f"ends at {table.say(groove.left.middle)}, {thread.name} runs out to"
        instead = "give a wider groove or less run_out"
        _wrong(table, groove, f"{said} {table.say(-thread.end)}", instead)
    elif groove.diameter.high > thread.thread.minor_external:
        minor = table.say(thread.thread.minor_external)
        said = f"is {table.say(groove.diameter.high)} across where {thread.name} runs out"
        _wrong(table, groove, said, f"go under its minor diameter, {minor}")


def _wrong(table: Table, groove: Groove, what: str, instead: str) -> None:
    table.wrong("feature", f"{groove.name} {what}", instead)
