"""Settling mates: the sizes they name are looked up, and get their limits or are held to them."""

from __future__ import annotations

from collections.abc import Iterator, Mapping, Sequence
from dataclasses import dataclass, replace
from typing import assert_never

from pathgen.input.where import JobError, nearest
from pathgen.job.apart import crowding
from pathgen.job.job import Feature, Job, JobSetup
from pathgen.job.mates import (
    NOISE,
    BlankRef,
    IsoFit,
    MadeRef,
    Mate,
    Measured,
    Outside,
    RoomRef,
    WantedMate,
    play_between,
    room_limits,
    wanted_play,
)
from pathgen.job.mating.named import AnyFeature, AnyJob, AnySetup, feature_named, job_named
from pathgen.job.mating.rooms import room_sizes, solid_sizes, with_size
from pathgen.job.mating.screw_cut_mates import nut_of, screw_cut_mate
from pathgen.job.mating.screwing import thread_mate
from pathgen.job.sizes import Size
from pathgen.job.thread_mates import WantedThread
from pathgen.job.turning.turned import RoundBlank, TurnedFeature, TurnedJob
from pathgen.job.turning.walls import thin_walls
from pathgen.reckon.fits import class_limits


@dataclass(frozen=True, slots=True, kw_only=True)
class _Room:
    """A size with room, found: whose it is."""

    job: str  # by the name that refers to it, "" for the only one
    setup: AnySetup
    feature: AnyFeature
    key: str

    @property
    def size(self) -> Size:
        return room_sizes(self.feature)[self.key]

    @property
    def name(self) -> tuple[str, str, str, str]:
        return self.job, self.setup.name, self.feature.name, self.key


@dataclass(frozen=True, slots=True, kw_only=True)
class _Found:
    """A mate whose two sides were found."""

    wanted: WantedMate
    room: _Room
    outside: Measured

    @property
    def mate(self) -> Mate:
        play = wanted_play(self.wanted.go, self.room.size.nominal)
        return Mate(
            name=self.wanted.name,
            setup=self.room.setup.name,
            feature=self.room.feature.name,
            size=self.room.key,
            outside=self.outside,
            wanted=play,
            said=self.wanted.go.said,
            where=self.wanted.where,
        )

    @property
    def limits(self) -> tuple[float, float]:
        """Return what the room may be by this mate alone, mm."""
        return room_limits(self.wanted.go, self.room.size.nominal, self.outside)


def settle(
    jobs: Mapping[str, AnyJob], wanted: Sequence[WantedMate | WantedThread]
) -> tuple[dict[str, AnyJob], tuple[JobError, ...]]:
    """Return the jobs with their mates, and all that is wrong about these.

    A size that has only the general tolerance gets its limits from its mates; one with limits of
    its own is held to what they want.

    Args:
        jobs: by the name that mates refer to; "" for the job that the mates stand in.
        wanted: the mates as read.
    """
    settled: dict[str, AnyJob] = dict(jobs)
    errors: list[JobError] = []
    rooms: dict[tuple[str, str, str, str], list[_Found]] = {}
    for each in (each for each in wanted if isinstance(each, WantedMate)):
        try:
            found = _found(jobs, each)
            rooms.setdefault(found.room.name, []).append(found)
        except JobError as error:
            errors.append(error)
    for mates in rooms.values():
        try:
            name = mates[0].room.job
            settled[name] = _with_mates(settled[name], mates)
        except JobError as error:
            errors.append(error)
    errors.extend(_screw_together(settled, [e for e in wanted if isinstance(e, WantedThread)]))
    return settled, tuple(errors)


def _screw_together(jobs: dict[str, AnyJob], wanted: Sequence[WantedThread]) -> Iterator[JobError]:
    """Give jobs their mates by a thread, and yield what is wrong with these."""
    for each in wanted:
        try:
            jobs[each.inside.job] = _with_thread(jobs, each)
        except JobError as error:
            yield error


def _with_thread(jobs: Mapping[str, AnyJob], wanted: WantedThread) -> AnyJob:
    """Return the job that has a thread inside, with its mate."""
    nut = nut_of(jobs, wanted)
    if nut is not None:
        job = jobs[wanted.inside.job]
        return replace(job, mates=(*job.mates, screw_cut_mate(jobs, wanted, nut)))
    mate = thread_mate(jobs, wanted)
    job = jobs[wanted.inside.job]
    assert isinstance(job, Job), "the holes of turned jobs are not found by a thread"
    return replace(job, threads=(*job.threads, mate))


# ---------------------------------------------------------------- both sides looked up


def _found(jobs: Mapping[str, AnyJob], wanted: WantedMate) -> _Found:
    """Return a mate with both sides looked up, its figures known to be there."""
    room = _room(jobs, wanted.inside)
    outside = _measured(jobs, wanted.outside)
    found = _Found(wanted=wanted, room=room, outside=outside)
    try:
        _ = found.mate, found.limits
    except ValueError as error:
        wrong, _, right = str(error).partition("; ")
        raise JobError(wanted.where, wrong, right) from error
    if isinstance(wanted.go, IsoFit):
        _refuse_outside_class(wanted.go, room.size.nominal, outside)
    return found


def _room(jobs: Mapping[str, AnyJob], ref: RoomRef) -> _Room:
    """Return the size that a mate says has the room."""
    job = job_named(jobs, ref.job, ref.where)
    setup, feature = feature_named(job, ref.feature, ref.where)
    sizes = room_sizes(feature)
    if ref.size not in sizes:
        wrong = f'"{ref.feature}" has no size "{ref.size}" with room in it'
        raise JobError(ref.where, wrong, nearest(ref.size, sizes))
    return _Room(job=ref.job, setup=setup, feature=feature, key=ref.size)


def _measured(jobs: Mapping[str, AnyJob], outside: Outside) -> Measured:
    """Return what goes in, with its size; a blank is as it was measured."""
    match outside:
        case Measured():
            return outside
        case MadeRef():
            return _made(jobs, outside)
        case BlankRef():
            return _blank(job_named(jobs, outside.job, outside.where), outside)
        case _:
            assert_never(outside)


def _blank(job: AnyJob, ref: BlankRef) -> Measured:
    """Return the size of a job's blank, as it was measured."""
    blank = job.blank
    if isinstance(blank, RoundBlank) or blank.is_shaft:
        sizes = {"length": blank.length}
    else:
        sizes = {"width": blank.width, "length": blank.length, "thickness": blank.thickness}
    if ref.size not in sizes:
        raise JobError(ref.where, f"a round bar has no {ref.size}", "give what goes in as measured")
    found = sizes[ref.size]
    return Measured(least=found, most=found, said=ref.said, where=ref.where)


def _made(jobs: Mapping[str, AnyJob], ref: MadeRef) -> Measured:
    """Return what another job leaves standing: anywhere within its limits."""
    job = job_named(jobs, ref.job, ref.where)
    _, feature = feature_named(job, ref.feature, ref.where)
    sizes = solid_sizes(feature)
    if ref.size not in sizes:
        right = nearest(ref.size, sizes) or "give what is left between two steps, with its limits"
        raise JobError(ref.where, f'"{ref.feature}" has no size "{ref.size}" that stands', right)
    size = sizes[ref.size]
    said = f"{ref.said} of {_span((size.low, size.high))}"
    return Measured(least=size.low, most=size.high, said=said, where=ref.where)


def _refuse_outside_class(go: IsoFit, nominal: float, outside: Measured) -> None:
    """Refuse what goes in where it is not within its class of the fit."""
    shaft = class_limits(nominal, go.shaft)
    if outside.least < shaft.smallest - NOISE or outside.most > shaft.largest + NOISE:
        raise JobError(
            outside.where,
            f"{outside.said} is not within {go.shaft} of {nominal:g} mm, which is "
            f"{shaft.smallest:.4g} to {shaft.largest:.4g} mm",
            "bring it there, name another fit, or state the play",
        )


# ---------------------------------------------------------------- limits


def _with_mates(job: AnyJob, found: Sequence[_Found]) -> AnyJob:
    """Return a job with the mates of one of its sizes, and with the limits that they give it."""
    room = found[0].room
    if room.size.own:
        for each in found:
            _refuse_own_limits(each)
    else:
        job = _with_limits(job, room, _limits(found))
    return replace(job, mates=(*job.mates, *(each.mate for each in found)))


def _limits(found: Sequence[_Found]) -> Size:
    """Return the size with the limits that all its mates leave it."""
    room = found[0].room
    for each in found:
        _refuse_wide(each)
    low = max(each.limits[0] for each in found)
    high = min(each.limits[1] for each in found)
    if not low < high:
        both = ", ".join(f'"{e.wanted.name}" wants {_span(e.limits)}' for e in found)
        raise JobError(found[-1].wanted.where, both, "no size can do for all of them; mend one")
    size = room.size
    basis = " and ".join(each.mate.basis for each in found)
    limited = replace(size, low=low, high=high, basis=basis, where=found[0].wanted.where)
    if not low <= size.nominal <= high and not any(isinstance(e.wanted.go, IsoFit) for e in found):
        _refuse_nominal(found, size, limited)
    return limited


def _refuse_wide(found: _Found) -> None:
    """Refuse a part measured so loosely that no room has the wanted play on all it may be."""
    low, high = found.limits
    if 0 < low < high:
        return
    play, part = found.mate.wanted, found.outside
    given = f'"{found.wanted.name}": {part.said} and play of {_span((play.smallest, play.largest))}'
    if low <= 0:
        raise JobError(
            found.wanted.where, f"{given} leave a room of {low:g} mm", "mend the part or the play"
        )
    raise JobError(
        found.wanted.where,
        f"{given}: the room would have to be at least {low:g} mm and at most {high:g} mm",
        f"measure the part to less than {play.largest - play.smallest:.4g} mm, or allow more play",
    )


def _refuse_nominal(found: Sequence[_Found], size: Size, limited: Size) -> None:
    """Refuse limits that leave out the very size that the job states."""
    first, middle = found[0], round(limited.middle, 3)
    who = " and ".join(f'"{each.wanted.name}" ({each.wanted.where})' for each in found)
    raise JobError(
        size.where or first.wanted.where,
        f"{size.nominal:g} mm, but {who} want{'s' if len(found) == 1 else ''} "
        f"{_span((limited.low, limited.high))} ({limited.basis})",
        f'make it {first.room.key} = "{middle:g} mm", or mend the mate',
    )


def _refuse_own_limits(found: _Found) -> None:
    """Refuse limits of a size that let the play be other than the mate wants."""
    size, wanted = found.room.size, found.mate.wanted
    least, most = play_between((size.low, size.high), found.outside)
    if least >= wanted.smallest - NOISE and most <= wanted.largest + NOISE:
        return
    low, high = found.limits
    advice = f"limit it to {_span((low, high))}" if low < high else "measure the part closer"
    raise JobError(
        found.wanted.where,
        f'"{found.wanted.name}" wants play of {_span((wanted.smallest, wanted.largest))} '
        f"({found.wanted.go.said}), but {_named(size)} of {_span((size.low, size.high))} on "
        f"{found.outside.said} let it be {_span((least, most))}",
        f"{advice}, or give it no limits and it takes them from here",
    )


def _named(size: Size) -> str:
    return f"the limits ({size.where})" if size.where is not None else "the limits"


def _span(limits: tuple[float, float]) -> str:
    low, high = (round(each, 4) + 0.0 for each in limits)
    return f"{low:g} to {high:g} mm"


def _with_limits(job: AnyJob, room: _Room, size: Size) -> AnyJob:
    """Return a job in which one size has other limits."""
    if isinstance(job, TurnedJob):
        return _turned_with_limits(job, room, size)
    assert isinstance(room.setup, JobSetup), "the setup is the job's"
    height = job.blank_box(room.setup).height
    if room.key == "depth" and size.high >= height:
        raise JobError(
            size.where or room.setup.where,
            f"{size.basis} lets the depth be {size.high:g} mm in a blank {height:g} mm thick",
            "take a thicker blank, or mend the mate",
        )
    setups = tuple(
        _setup_with_limits(job, each, room, size) if each.name == room.setup.name else each
        for each in job.setups
    )
    return replace(job, setups=setups)


def _setup_with_limits(job: Job, setup: JobSetup, room: _Room, size: Size) -> JobSetup:
    """Return a setup in which one size has other limits, with room for its feature still."""
    name = room.feature.name
    features = tuple(
        _milled(with_size(each, room.key, size)) if each.name == name else each
        for each in setup.features
    )
    changed = next(each for each in features if each.name == name)
    others = [each for each in features if each is not changed]
    crowds = crowding(changed, others, *job.blank_box(setup))
    if crowds:
        raise JobError(
            size.where or setup.where,
            f"{size.basis} lets the {room.key} of {name!r} be {size.high:g} mm: it would {crowds}",
            "move the feature, or mend the mate",
        )
    return replace(setup, features=features)


def _milled(feature: AnyFeature) -> Feature:
    """Return a feature of a milled job as one."""
    assert not isinstance(feature, TurnedFeature)
    return feature


def _turned_with_limits(job: TurnedJob, room: _Room, size: Size) -> TurnedJob:
    """Return a turned job in which one size has other limits, with a wall about it still."""
    name = room.feature.name
    setups = []
    for setup in job.setups:
        features = [
            _turned(with_size(each, room.key, size)) if each.name == name else each
            for each in setup.features
        ]
        changed = replace(setup, features=tuple(features))
        crowds = thin_walls(changed, job.blank)
        if crowds:
            raise JobError(
                size.where or setup.where,
                f"{size.basis} lets the {room.key} of {name!r} be {size.high:g} mm: {crowds[0]}",
                "make the outside thicker, or mend the mate",
            )
        setups.append(changed)
    return replace(job, setups=tuple(setups))


def _turned(feature: AnyFeature) -> TurnedFeature:
    """Return a feature of a turned job as one."""
    assert isinstance(feature, TurnedFeature)
    return feature
