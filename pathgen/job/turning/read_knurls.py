"""Reading knurls, and what there is no room for."""

from __future__ import annotations

from collections.abc import Sequence

from pathgen.input.getters import Table
from pathgen.job.sizes import read_size
from pathgen.job.turning.dies import DieThread
from pathgen.job.turning.edges import TurnedEdge
from pathgen.job.turning.grooves import Groove
from pathgen.job.turning.knurls import Knurl
from pathgen.job.turning.read_edges import profile_before
from pathgen.job.turning.read_grooves import BESIDE, begins_at
from pathgen.job.turning.screwed import Screwed
from pathgen.job.turning.turned import Parted, Turned, TurnedFeature
from pathgen.reckon.knurls import PATTERNS, teeth_round, whole_within

STANDS_OVER = 1.0  # mm from where a diameter begins, or its edge ends, that the wheels may cover


def read_knurl(table: Table, before: Sequence[TurnedFeature], tolerance_class: str) -> Knurl | None:
    """Read a knurl on one diameter of a profile that is turned before it."""
    name, of = table.text("name"), table.text("of")
    step = table.whole("step", default=1, least=1)
    pattern = table.choice("pattern", PATTERNS)
    pitch = table.length("pitch", above=0)
    start = read_size(table, "start", table.length("start", least=0), tolerance_class)
    width = read_size(table, "width", table.length("width", above=0), tolerance_class)
    turned = profile_before(table, of, step, before)
    table.no_more()
    if table.faulty or turned is None:
        return None
    land = turned.steps[step - 1].diameter
    teeth, _, _ = whole_within(land.low, land.high, pitch, pattern)
    knurl = Knurl(
        name=name,
        of=of,
        step=step,
        land=land,
        pattern=pattern,
        pitch=pitch,
        teeth=teeth,
        start=start,
        width=width,
        open_right=start.nominal - _whole_from(turned, step, before) <= STANDS_OVER,
        where=table.where(),
    )
    _guard_place(table, knurl, turned, _whole_from(turned, step, before))
    _guard_teeth(table, knurl)
    return knurl


def _whole_from(turned: Turned, step: int, before: Sequence[TurnedFeature]) -> float:
    """Return from where a diameter is whole, counted from the right face: behind its edge, mm."""
    edges = [each for each in before if isinstance(each, TurnedEdge)]
    own = [each.along - each.face for each in edges if (each.of, each.step) == (turned.name, step)]
    middle = 0.0 if step == 1 else turned.steps[step - 2].to.middle
    return max([middle, *own])


def _guard_place(table: Table, knurl: Knurl, turned: Turned, whole_from: float) -> None:
    """Record a knurl that does not lie within its diameter."""
    step = turned.steps[knurl.step - 1]
    begins = max(whole_from, 0.0 if knurl.open_right else begins_at(turned, knurl.step))
    if knurl.start.nominal < begins:
        table.wrong(
            "start",
            f"{table.say(knurl.start.nominal)}, its diameter is whole from {table.say(begins)}",
            "begin it there or further along",
        )
    elif knurl.end > step.to.low - turned.corner - BESIDE:
        table.wrong(
            "width",
            f"it reaches to {table.say(knurl.end)}, its diameter ends at"
            f" {table.say(step.to.nominal)}",
            f"leave {table.say(BESIDE)} beside the corner of the shoulder",
        )


def _guard_teeth(table: Table, knurl: Knurl) -> None:
    """Record a diameter that may come out so that the wheels' teeth do not fall into their own."""
    land, pitch, pattern = knurl.land, knurl.pitch, knurl.pattern
    teeth, low, high = whole_within(land.low, land.high, pitch, pattern)
    if low <= land.low and land.high <= high:
        return
    around = [teeth_round(each, pitch, pattern) for each in (land.low, land.high)]
    table.wrong(
        "pitch",
        f"{around[0]:.2f} to {around[1]:.2f} teeth of {table.say(pitch)} on"
        f" {table.say(land.low, land.high)} across: they do not fall into one another",
        f"turn that diameter to diameter_limits within {low:.3f} to {high:.3f} mm ({teeth} teeth),"
        " or take another pitch",
    )


def guard_knurls(table: Table, features: Sequence[TurnedFeature]) -> None:
    """Record knurls that meet something, or after which more is done than parting off."""
    for index, knurl in enumerate(features):
        if isinstance(knurl, Knurl):
            for place, other in enumerate(features):
                _guard_beside(table, knurl, other, later=place > index)


def _guard_beside(table: Table, knurl: Knurl, other: TurnedFeature, *, later: bool) -> None:
    """Record what another feature of the setup, listed later or not, leaves no room for."""
    if later and not isinstance(other, Parted | Knurl | DieThread):
        instead = "put knurls last, before the part is cut off: they are touched on by no tool"
        table.wrong("feature", f"{other.name} after {knurl.name}", instead)
    match other:
        case Parted() if knurl.end > other.length.low:
            said = f"{knurl.name} reaches beyond the end at {table.say(other.length.nominal)}"
            table.wrong("feature", said, "make it less wide")
        case Groove() if _meet((-other.span[1], -other.span[0]), knurl):
            table.wrong("feature", f"{knurl.name} meets {other.name}", "move one of them along")
        case Screwed(inside=False) | DieThread() if (
            knurl.step == other.step and knurl.start.low < -other.end
        ):
            table.wrong("feature", f"{knurl.name} meets {other.name}", "move one of them along")
        case Knurl() if later and _meet((other.start.low, other.end), knurl):
            table.wrong("feature", f"{knurl.name} meets {other.name}", "move one of them along")
        case _:
            return


def _on(thread: Screwed | DieThread) -> int:
    """Return which diameter a thread outside is cut on, from the right."""
    return thread.step if isinstance(thread, Screwed) else 1


def _meet(span: tuple[float, float], knurl: Knurl) -> bool:
    """Return whether a knurl comes to what lies between two places from the right face."""
    return knurl.start.low < span[1] and knurl.end > span[0]
