"""Reading a job that is turned from round bar."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from itertools import pairwise

from pathgen.input.getters import Table
from pathgen.input.naming import guard_distinct, guard_name
from pathgen.job.inside import AxialHole, Bored, Recess
from pathgen.job.read_dies import guard_dies, read_die
from pathgen.job.read_grooves import guard_grooves, read_groove, read_undercut
from pathgen.job.read_inside import guard_inside, read_axial_hole, read_bored, read_recess
from pathgen.job.read_knurls import guard_knurls, read_knurl
from pathgen.job.read_material import read_material
from pathgen.job.read_round import turned_round
from pathgen.job.read_turned_edges import (
    guard_edges,
    read_bevel,
    read_crown,
    read_rounded,
    read_taper,
)
from pathgen.job.screwed import Screwed, guard_screwed, read_screwed
from pathgen.job.shoulders import guard_next_diameter, guard_next_place
from pathgen.job.sizes import read_outside_size, read_size
from pathgen.job.turned import (
    ChuckHold,
    Parted,
    RoundBlank,
    Turned,
    TurnedFeature,
    TurnedSetup,
    TurnedStep,
)
from pathgen.job.turned_edges import TurnedEdge
from pathgen.job.walls import thin_walls

MOST_SETUPS = 2  # one for each end
CORNER = 0.5  # mm, where a job does not say how round the corner at a shoulder may be


def read_round_blank(table: Table) -> RoundBlank:
    """Read ``[blank]`` of form round; what is returned is of use only if nothing was wrong."""
    diameter = table.length("diameter", above=0)
    length = table.length("length", above=0)
    material = read_material(table)
    table.no_more()
    return RoundBlank(diameter=diameter, length=length, material=material)


def read_turned_setups(root: Table, blank: RoundBlank, tolerance_class: str) -> list[TurnedSetup]:
    """Read each ``[[setup]]``, one in this version; without those in which something was wrong."""
    tables = root.tables("setup", least=1)
    read: list[tuple[Table, TurnedSetup | None]] = []
    for table in tables:
        before = read[-1][1] if read else None
        read.append((table, _setup(table, blank, tolerance_class, before)))
    if len(tables) > MOST_SETUPS:
        root.wrong("setup", f"{len(tables)} setups of turned work", "give two, or one")
    guard_distinct((table, setup.name) for table, setup in read if setup is not None)
    return [setup for _, setup in read if setup is not None]


def _setup(
    table: Table, blank: RoundBlank, tolerance_class: str, before: TurnedSetup | None
) -> TurnedSetup | None:
    """Read one ``[[setup]]``, of a part that comes from the one before if it is turned round."""
    if table.flag("turned_round", default=False):
        return _setup_round(table, blank, tolerance_class, before)
    if before is not None:
        table.wrong("turned_round", "a second setup from the bar", "say turned_round = true")
    name = table.text("name")
    guard_name(table, "name", name)
    machine = table.text("machine")
    hold = _hold(table.table("hold"))
    facing = table.length("facing", above=0)
    tables = table.tables("feature", least=1)
    known = _features(tables, blank, tolerance_class)
    table.no_more()
    if not table.faulty:
        guard_distinct(zip(tables, (each.name for each in known), strict=True))
        _guard_room(table, hold, facing, blank, known)
        _guard_inside(table, known)
        _guard_threads(table, known)
        guard_edges(tables, known)
        guard_grooves(table, known)
        guard_knurls(table, known)
        guard_dies(table, known)
    setup = TurnedSetup(
        name=name,
        machine=machine,
        hold=hold,
        facing=facing,
        features=known,
        where=table.where(),
    )
    for wrong in () if table.faulty else thin_walls(setup, blank):
        table.wrong("feature", wrong, "leave more metal about it")
    return None if table.faulty else setup


def _setup_round(
    table: Table, blank: RoundBlank, tolerance_class: str, before: TurnedSetup | None
) -> TurnedSetup | None:
    """Read a ``[[setup]]`` for which the part is turned round in the jaws."""
    name = table.text("name")
    guard_name(table, "name", name)
    machine = table.text("machine")
    hold = _hold(table.table("hold"))
    length = read_size(table, "length", table.length("length", above=0), tolerance_class)
    tables = table.tables("feature")
    features = _features(tables, blank, tolerance_class)
    table.no_more()
    if table.faulty:
        return None
    guard_distinct(zip(tables, (each.name for each in features), strict=True))
    found = turned_round(table, hold, length, features, before, blank)
    if found is None:
        return None
    comes, facing = found
    if features:
        _guard_room(table, hold, facing, comes.comes, features)
    if table.faulty:
        return None
    return TurnedSetup(
        name=name,
        machine=machine,
        hold=hold,
        facing=facing,
        features=features,
        round=comes,
        where=table.where(),
    )


def _features(
    tables: Sequence[Table], blank: RoundBlank, tolerance_class: str
) -> tuple[TurnedFeature, ...]:
    """Read each ``[[setup.feature]]``; without those in which something was wrong."""
    read: list[TurnedFeature] = []
    for each in tables:
        feature = _feature(each, blank, tolerance_class, read)
        read += [] if feature is None else [feature]
    return tuple(read)


def _hold(table: Table) -> ChuckHold:
    """Read ``[setup.hold]``."""
    hold = ChuckHold(
        chuck=table.text("chuck"),
        stick_out=table.length("stick_out", above=0),
        lines=table.texts("lines", default=()),
    )
    table.no_more()
    return hold


def _feature(
    table: Table, blank: RoundBlank, tolerance_class: str, before: Sequence[TurnedFeature]
) -> TurnedFeature | None:
    """Read one ``[[setup.feature]]``, which may be of another that comes before it."""
    readers: Mapping[str, Callable[[Table], TurnedFeature | None]] = {
        "turned": lambda each: _turned(each, tolerance_class),
        "parted": lambda each: _parted(each, tolerance_class),
        "drilled": lambda each: read_axial_hole(each, blank, tolerance_class),
        "bored": lambda each: read_bored(each, tolerance_class),
        "recess": lambda each: read_recess(each, tolerance_class),
        "crown": lambda each: read_crown(each, before),
        "rounded": lambda each: read_rounded(each, before),
        "chamfer": lambda each: read_bevel(each, before),
        "screw-cut": read_screwed,
        "taper": lambda each: read_taper(each, before),
        "groove": lambda each: read_groove(each, before, tolerance_class),
        "die": lambda each: read_die(each, before),
        "knurl": lambda each: read_knurl(each, before, tolerance_class),
        "undercut": lambda each: read_undercut(each, before, tolerance_class),
    }
    return table.read_by("kind", readers)


def _turned(table: Table, tolerance_class: str) -> Turned | None:
    """Read diameters from one profile."""
    name = table.text("name")
    corner = table.length("corner", default=CORNER, least=0)
    tables = table.tables("steps", least=1)
    steps = [_step(each, tolerance_class) for each in tables]
    table.no_more()
    if table.faulty:
        return None
    for each, (right, left) in zip(tables[1:], pairwise(steps), strict=True):
        guard_next_diameter(each, right.diameter, left.diameter, corner=corner, grows=True)
        guard_next_place(each, right.to, left.to)
    if table.faulty:
        return None
    return Turned(name=name, steps=tuple(steps), corner=corner, where=table.where())


def _step(table: Table, tolerance_class: str) -> TurnedStep:
    """Read one diameter of a profile."""
    diameter = table.length("diameter", above=0)
    to = table.length("to", above=0)
    step = TurnedStep(
        diameter=read_outside_size(table, "diameter", diameter, tolerance_class),
        to=read_size(table, "to", to, tolerance_class),
    )
    table.no_more()
    return step


def _parted(table: Table, tolerance_class: str) -> Parted | None:
    """Read where the part is cut off."""
    name = table.text("name")
    length = table.length("length", above=0)
    size = read_size(table, "length", length, tolerance_class)
    table.no_more()
    return None if table.faulty else Parted(name=name, length=size, where=table.where())


def _end(feature: TurnedFeature) -> float | None:
    """Return the z to which work outside goes, mm; None of what is inside."""
    match feature:
        case Turned():
            return feature.end
        case Parted():
            return -feature.length.high
        case Screwed():
            return feature.end
        case _:
            return None


def _guard_inside(table: Table, features: tuple[TurnedFeature, ...]) -> None:
    """Record what is wanted inside and has no room."""
    parted = next((each for each in features if isinstance(each, Parted)), None)
    inside = [each for each in features if isinstance(each, AxialHole | Bored | Recess)]
    guard_inside(table, inside, None if parted is None else parted.length.low)


def _guard_threads(table: Table, features: tuple[TurnedFeature, ...]) -> None:
    """Record threads that do not stand on what is turned before them."""
    threads = [index for index, each in enumerate(features) if isinstance(each, Screwed)]
    before = features[: threads[0]] if threads else ()
    turned = next((each for each in before if isinstance(each, Turned)), None)
    first = None if turned is None else (turned.steps[0].diameter, turned.steps[0].to)
    if any(isinstance(each, TurnedEdge) and each.step == 1 for each in before):
        table.wrong(
            "feature",
            "a screw-cut thread behind an edge on its right end",
            "put the edge after the thread: its tool is touched on the square corner",
        )
    guard_screwed(table, (each for each in features if isinstance(each, Screwed)), first)


def _guard_room(
    table: Table,
    hold: ChuckHold,
    facing: float,
    blank: RoundBlank,
    features: tuple[TurnedFeature, ...],
) -> None:
    """Record what the bar has no room for."""
    if hold.stick_out >= blank.length:
        table.wrong(
            "hold",
            f"{table.say(hold.stick_out)} of {table.say(blank.length)} stand out",
            "leave some of the bar in the jaws",
        )
    ends = [end for each in features if (end := _end(each)) is not None]
    if not ends:
        table.wrong("feature", "nothing that is turned outside", "give a feature of kind turned")
        return
    if facing - hold.stick_out >= min(ends):
        table.wrong(
            "hold",
            f"the jaws stand {table.say(hold.stick_out - facing)} from the faced end, the work goes"
            f" to {table.say(-min(ends))}",
            "let it stand out further",
        )
    for each in features:
        if isinstance(each, Turned) and each.steps[-1].diameter.high >= blank.diameter:
            table.wrong(
                "feature",
                f"a diameter of {table.say(each.steps[-1].diameter.nominal)} in a bar of"
                f" {table.say(blank.diameter)}",
                "take a thicker bar",
            )
    parted = [index for index, each in enumerate(features) if isinstance(each, Parted)]
    if parted and parted != [len(features) - 1]:
        table.wrong("feature", "something after the part is cut off", "put parting off last")
