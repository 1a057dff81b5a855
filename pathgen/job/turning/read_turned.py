"""Reading a job that is turned from round bar."""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from itertools import pairwise

from pathgen.input.getters import Table
from pathgen.input.naming import guard_distinct
from pathgen.job.sizes import read_outside_size, read_size
from pathgen.job.turning.ball_neck import BallNeck, guard_balls, read_ball_neck
from pathgen.job.turning.bored_tapers import BoredTaper
from pathgen.job.turning.centre_holes import CentreHole, read_centre_hole
from pathgen.job.turning.dies import DieThread
from pathgen.job.turning.dish import TurnedDish, guard_dishes, read_turned_dish
from pathgen.job.turning.edges import Crown, TurnedEdge
from pathgen.job.turning.grooves import Groove
from pathgen.job.turning.holding import Hold
from pathgen.job.turning.inside import AxialHole, Bored, Recess
from pathgen.job.turning.knurls import Knurl
from pathgen.job.turning.read_bored_tapers import guard_bored_tapers, read_bored_taper
from pathgen.job.turning.read_dies import guard_dies, read_die
from pathgen.job.turning.read_edges import (
    guard_edges,
    profile_before,
    read_bevel,
    read_crown,
    read_rounded,
    read_taper,
)
from pathgen.job.turning.read_grooves import guard_grooves, read_groove, read_undercut
from pathgen.job.turning.read_inside import guard_inside, read_axial_hole, read_bored, read_recess
from pathgen.job.turning.read_knurls import guard_knurls, read_knurl
from pathgen.job.turning.read_screwed import guard_threads, read_screwed
from pathgen.job.turning.screwed import Screwed
from pathgen.job.turning.shoulders import guard_next_diameter, guard_next_place
from pathgen.job.turning.turned import (
    Parted,
    RoundBlank,
    Turned,
    TurnedFeature,
    TurnedStep,
)

CORNER = 0.5  # mm, where a job does not say how round the corner at a shoulder may be


def guard_features(  # what features need to be looked at beside one another
    table: Table,
    tables: Sequence[Table],
    hold: Hold,
    facing: float,
    blank: RoundBlank,
    known: tuple[TurnedFeature, ...],
) -> None:
    """Record features that do not go together, or that the work has no room for."""
    guard_distinct(zip(tables, (each.name for each in known), strict=True))
    _guard_room(table, hold, facing, blank, known)
    _guard_inside(table, known)
    _guard_threads(table, known)
    guard_edges(tables, known)
    guard_grooves(table, known)
    _guard_dishes(tables, known)
    _guard_balls(tables, known)
    guard_knurls(table, known)
    guard_dies(table, known)
    guard_bored_tapers(tables, known)


def features_of(
    tables: Sequence[Table], blank: RoundBlank, tolerance_class: str
) -> tuple[TurnedFeature, ...]:
    """Read each ``[[setup.feature]]``; without those in which something was wrong."""
    read: list[TurnedFeature] = []
    for each in tables:
        feature = _feature(each, blank, tolerance_class, read)
        read += [] if feature is None else [feature]
    return tuple(read)


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
        "screw-cut": lambda each: read_screwed(each, before),
        "taper": lambda each: _taper(each, before, tolerance_class),
        "groove": lambda each: read_groove(each, before, tolerance_class),
        "die": lambda each: read_die(each, before),
        "knurl": lambda each: read_knurl(each, before, tolerance_class),
        "undercut": lambda each: read_undercut(each, before, tolerance_class),
        "ball neck": lambda each: _ball_neck(each, before, tolerance_class),
        "dish": lambda each: read_turned_dish(each, tolerance_class),
        "centre hole": lambda each: read_centre_hole(each, tolerance_class),
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
            return None if feature.inside else feature.end
        case _:
            return None


def _guard_inside(table: Table, features: tuple[TurnedFeature, ...]) -> None:
    """Record what is wanted inside and has no room."""
    parted = next((each for each in features if isinstance(each, Parted)), None)
    inside = [each for each in features if isinstance(each, AxialHole | Bored | Recess)]
    centres = [each for each in features if isinstance(each, CentreHole)]
    if len(centres) + bool(inside) > 1:
        table.wrong("feature", "a centre hole beside another hole", "give one of them")
    guard_inside(table, inside, None if parted is None else parted.length.low)


def _guard_dishes(tables: Sequence[Table], features: tuple[TurnedFeature, ...]) -> None:
    """Record dishes that the right end has no room for."""
    pairs = zip(tables, features, strict=True)
    dished = [(table, each) for table, each in pairs if isinstance(each, TurnedDish)]
    if not dished:
        return
    before = features[: features.index(dished[0][1])]
    turned = next((each for each in before if isinstance(each, Turned)), None)
    first = [e.foot for e in features if isinstance(e, TurnedEdge) and e.step == 1]
    out = None if turned is None else min(first, default=turned.steps[0].diameter.low / 2)
    lengths = [each.length.low for each in features if isinstance(each, Parted)]
    holes = AxialHole | Bored | Recess | CentreHole
    hollow = any(isinstance(each, holes) for each in features)
    guard_dishes(dished, out, min(lengths, default=None), hollow=hollow)


def _taper(
    table: Table, before: Sequence[TurnedFeature], tolerance_class: str
) -> TurnedEdge | BoredTaper | None:
    """Read a taper, outside or in a bore, of what is turned or bored before it."""
    of = table.text("of")
    bored = next((each for each in before if isinstance(each, Bored) and each.name == of), None)
    if bored is not None:
        return read_bored_taper(table, bored, tolerance_class)
    return read_taper(table, before, tolerance_class)


def _ball_neck(
    table: Table, before: Sequence[TurnedFeature], tolerance_class: str
) -> BallNeck | None:
    """Read the back of a ball of a profile that is turned before it."""
    turned = profile_before(table, table.text("of"), 1, before)
    first = None if turned is None else turned.steps[0]
    profile = None if turned is None or first is None else (turned.name, first.diameter, first.to)
    return read_ball_neck(table, profile, tolerance_class)


def _guard_balls(tables: Sequence[Table], features: tuple[TurnedFeature, ...]) -> None:
    """Record the backs of balls whose front is none."""
    edges = [each for each in features if isinstance(each, TurnedEdge) and each.step == 1]
    crowns = [(e.of, e.shape.radius if isinstance(e.shape, Crown) else None) for e in edges]
    pairs = zip(tables, features, strict=True)
    necks = [(table, each) for table, each in pairs if isinstance(each, BallNeck)]
    holes = AxialHole | Bored | Recess | CentreHole
    others = [
        each.name
        for each in features
        if isinstance(each, holes | Screwed | DieThread)
        or (isinstance(each, Groove | Knurl) and each.step == 1)
    ]
    guard_balls(necks, crowns, others)


def _guard_threads(table: Table, features: tuple[TurnedFeature, ...]) -> None:
    """Record threads that do not stand on what is turned before them."""
    threads = [i for i, e in enumerate(features) if isinstance(e, Screwed) and not e.inside]
    before = features[: threads[0]] if threads else ()
    if any(isinstance(each, TurnedEdge) and each.step == 1 for each in before):
        table.wrong(
            "feature",
            "a screw-cut thread behind an edge on its right end",
            "put the edge after the thread: its tool is touched on the square corner",
        )
    guard_threads(table, features)


def _guard_room(
    table: Table,
    hold: Hold,
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
        if not any(isinstance(each, CentreHole | AxialHole | Bored) for each in features):
            turned = "give a feature of kind turned"
            table.wrong("feature", "nothing that is turned outside", turned)
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
