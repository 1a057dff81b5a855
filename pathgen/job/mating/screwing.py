"""Settling mates by a thread: the holes are looked up, and what cannot be screwed is refused."""

from __future__ import annotations

from collections.abc import Mapping

from pathgen.input.where import JobError, Where
from pathgen.job.holes import Holes
from pathgen.job.mating.named import AnyJob, feature_named, job_named
from pathgen.job.mating.screw_cut_mates import refuse_another, screw_named
from pathgen.job.thread_mates import (
    ClearingRef,
    HolesAt,
    NamedScrew,
    ScrewRef,
    ThreadMate,
    WantedThread,
)
from pathgen.reckon.patterns import Laying, Point, laid
from pathgen.reckon.tapping import clearance_hole
from pathgen.reckon.thread_names import thread
from pathgen.reckon.threads import Thread


def thread_mate(jobs: Mapping[str, AnyJob], wanted: WantedThread) -> ThreadMate:
    """Return a mate by a thread with its holes looked up, known to be possible as drawn.

    Raises:
        JobError: the holes are not there, the threads are two, or the holes do not go together.
    """
    ref = wanted.inside
    tapped = _holes(jobs, (ref.job, ref.feature), ref.where)
    tapping = tapped.holes.tapping
    if tapping is None:
        right = f'write tapped = "{wanted.go.thread.designation}" there'
        raise JobError(ref.where, f"{_named(tapped.holes)} is not tapped", right)
    refuse_another(wanted, tapping.thread, f"{_named(tapped.holes)} is tapped for it")
    cleared, turned_over = None, False
    match wanted.outside:
        case NamedScrew(thread=other, said=said, where=where):
            refuse_another(wanted, other, f'the screw is "{said}" ({where})')
        case ScrewRef() as screw:
            cut = screw_named(jobs, screw)
            refuse_another(wanted, cut.thread, f'"{cut.name}" ({cut.where}) is cut so')
        case ClearingRef() as onto:
            cleared = _clearing(jobs, wanted, onto)
            turned_over = _turned_over(wanted, tapped.holes, cleared.holes)
    return ThreadMate(
        name=wanted.name,
        tapped=tapped,
        cleared=cleared,
        thread=tapping.thread,
        outside=wanted.outside.said,
        turned_over=turned_over,
        where=wanted.where,
    )


def screw_thread(name: str) -> Thread:
    """Return the thread of a screw by its name, with or without its head.

    Raises:
        ValueError: there is no such thread; it names the nearest.

    >>> screw_thread("M6 cap screw").designation, screw_thread("2BA screw").designation
    ('M6', '2BA')
    """
    words = name.strip().removesuffix(" screw").strip()
    return thread(words.removesuffix(" cap").removesuffix(" countersunk"))


def places(holes: Holes, *, turned_over: bool = False) -> list[Point]:
    """Return where holes should lie, mm; of a part turned over, as seen through it."""
    return seen([place.at for place in holes.places], turned_over=turned_over)


def seen(points: list[Point], *, turned_over: bool) -> list[Point]:
    """Return places as seen from above, or through the part where it is turned over, mm."""
    return [(-x, y) if turned_over else (x, y) for x, y in points]


# ---------------------------------------------------------------- what is refused


def _holes(jobs: Mapping[str, AnyJob], names: tuple[str, str], where: Where) -> HolesAt:
    """Return the holes of a job by the names of both."""
    job = job_named(jobs, names[0], where)
    setup, feature = feature_named(job, names[1], where)
    if not isinstance(feature, Holes):
        right = 'name a feature of kind "holes"'
        raise JobError(where, f'"{feature.name}" ({feature.where}) is no hole', right)
    return HolesAt(job=job.name, setup=setup.name, holes=feature)


def _named(holes: Holes) -> str:
    return f'"{holes.name}" ({holes.where})'


def _clearing(jobs: Mapping[str, AnyJob], wanted: WantedThread, onto: ClearingRef) -> HolesAt:
    """Return the holes that clear the screw, known to let it through."""
    if onto.job == wanted.inside.job:
        wrong = f'"{onto.said}" is of the part that is tapped'
        raise JobError(onto.where, wrong, "name the holes of the part that is screwed on to it")
    cleared = _holes(jobs, (onto.job, onto.feature), onto.where)
    holes = cleared.holes
    if holes.tapping is not None:
        right = "drill it to clear the screw: a screw through two threads does not draw them up"
        raise JobError(onto.where, f"{_named(holes)} is tapped as well", right)
    if not holes.through:
        right = f'make it depth = "through", {_to_clear(wanted.go.thread)}'
        raise JobError(onto.where, f"{_named(holes)} is blind: no screw comes through it", right)
    if holes.screw is not None:
        refuse_another(wanted, screw_thread(holes.screw), f"{_named(holes)} is for {holes.screw}")
    _refuse_narrow(wanted, onto, holes)
    return cleared


def _refuse_narrow(wanted: WantedThread, onto: ClearingRef, holes: Holes) -> None:
    """Refuse holes that may be no wider than the screw."""
    major = wanted.go.thread.major
    if holes.bore.low <= major:
        raise JobError(
            onto.where,
            f"{_named(holes)} may be {holes.bore.low:.4g} mm, the screw is {major:.4g} mm across "
            f"({wanted.go.thread.designation}, {wanted.where})",
            _to_clear(wanted.go.thread),
        )


def _to_clear(screw: Thread) -> str:
    try:
        hole, source = clearance_hole(screw)
    except ValueError:
        return "drill it wider than the screw"
    return f"drill it {hole:.4g} mm ({source})"


def _turned_over(wanted: WantedThread, tapped: Holes, cleared: Holes) -> bool:
    """Return whether the patterns go together only with the part screwed on turned over.

    One with mouths for heads cannot be. Patterns that go together neither way are refused.
    """
    many, others = len(tapped.places), len(cleared.places)
    if many != others:
        raise JobError(
            wanted.outside.where,
            f"{_named(tapped)} has holes: {many}; {_named(cleared)} has {others}",
            "give both as many; put holes that take no screw into a feature of their own",
        )
    ways: dict[bool, Laying] = {}
    mouth = cleared.countersink is not None or cleared.counterbore is not None
    for over in (False,) if mouth else (False, True):
        ways[over] = laid(places(tapped), places(cleared, turned_over=over))
    room = (cleared.bore.high - wanted.go.thread.major) / 2
    fitting = [over for over, way in ways.items() if way.worst <= room]
    if not fitting:
        _refuse_pattern(wanted, (tapped, cleared), ways[False])
    return fitting[0]


def _refuse_pattern(wanted: WantedThread, both: tuple[Holes, Holes], way: Laying) -> None:
    """Refuse patterns that are two even as they are drawn."""
    tapped, cleared = both
    worst = max(range(len(way.apart)), key=lambda each: way.apart[each])
    one, two = tapped.places[worst].at, cleared.places[way.partners[worst]].at
    need = wanted.go.thread.major + 2 * way.worst
    raise JobError(
        wanted.outside.where,
        f"{_named(cleared)} does not lie on {_named(tapped)}, shift and turn it as one may: the "
        f"hole at {_at(two)} stays {way.worst:.3f} mm off the one at {_at(one)}, and has room for "
        f"{(cleared.bore.high - wanted.go.thread.major) / 2:.3f} mm",
        f"bring both to one pattern, or drill more than {need:.3f} mm",
    )


def _at(point: Point) -> str:
    return f"x {point[0] + 0.0:.4g} y {point[1] + 0.0:.4g}"
