"""How a setup is held on one lathe: what of the lathe holds it, and where no tool may come."""

from __future__ import annotations

from collections.abc import Iterator
from dataclasses import dataclass
from typing import NamedTuple, TypeVar, assert_never

from pathgen.input.where import Refusal, nearest
from pathgen.job.centre_holes import cone_length
from pathgen.job.faceplate import FaceplateHold
from pathgen.job.holding import CentresHold, ChuckHold
from pathgen.job.turned import TurnedJob, TurnedSetup
from pathgen.shop.holding import (
    Centre,
    Chuck,
    Collets,
    Dog,
    DrivingPlate,
    Faceplate,
    Holder,
    Named,
    Steady,
    by_name,
)
from pathgen.shop.machines import Machine

FAR = 300.0  # mm: what goes on along the axis beyond all that is drawn or cut
_Any = TypeVar("_Any", bound=Named)


class KeepOut(NamedTuple):
    """Something that no tool may come to, in the half plane: convex, its corners z and x; mm."""

    code: str  # "jaws", "dog", "centre", "steady"
    what: str
    corners: tuple[tuple[float, float], ...]


@dataclass(frozen=True, slots=True, kw_only=True)
class HeldOn:
    """What of a lathe holds and supports the work in a setup."""

    holder: Holder
    dog: Dog | None = None
    centre: Centre | None = None
    steady: Steady | None = None
    quill: float = 0.0  # diameter, mm

    @property
    def most_rpm(self) -> float:
        """Return the fastest that all of it may turn."""
        each = (self.holder, self.centre, self.steady)
        return min(one.most_rpm for one in each if one is not None)


def held_on(setup: TurnedSetup, machine: Machine) -> HeldOn:
    """Return what of a lathe holds a setup.

    Raises:
        Refusal: the machine is no lathe, or has nothing of such a name.
    """
    if machine.lathe is None:
        raise Refusal(
            setup.where.at("machine"), f"turn on {machine.title}: it is no lathe", "name a lathe"
        )
    has, hold = machine.lathe.holding, setup.hold
    find = _Finder(setup, machine)
    centre = find.one("centre", hold.centre, has.centres) if hold.centre else None
    place = hold.steady
    steady = None if place is None else find.one("steady", place.steady, has.steadies)
    dog: Dog | None = None
    match hold:
        case ChuckHold():
            chucks: tuple[Chuck | Collets, ...] = (*machine.lathe.chucks, *has.collets)
            holder: Holder = find.one("chuck", hold.chuck, chucks)
        case CentresHold():
            dog = find.one("dog", hold.dog, has.dogs)
            assert has.driving_plate is not None, "without it a dog is refused where it is read"
            holder = has.driving_plate
        case FaceplateHold():
            if has.faceplate is None:
                raise Refusal(
                    setup.where.at("hold"),
                    f"clamp anything on a faceplate on {machine.title}: its file gives none",
                    "give [lathe.faceplate], or name a lathe that has one",
                )
            holder = has.faceplate
        case _:
            assert_never(hold)
    return HeldOn(holder=holder, dog=dog, centre=centre, steady=steady, quill=has.quill)


@dataclass(frozen=True, slots=True)
class _Finder:
    """Looks up what a setup names among what a lathe has."""

    setup: TurnedSetup
    machine: Machine

    def one(self, what: str, name: str, every: tuple[_Any, ...]) -> _Any:
        """Return the one of a name.

        Raises:
            Refusal: there is none; it names the nearest.
        """
        found = by_name(every, name)
        if found is not None:
            return found
        names = [each.name for each in every]
        has = f"it has {', '.join(names)}" if names else f"its file gives no [[lathe.{what}]]"
        raise Refusal(
            self.setup.where.at("hold"),
            f"hold anything in a {what} called {name!r} on {self.machine.title}",
            nearest(name, names) or has,
        )


def keep_outs(job: TurnedJob, setup: TurnedSetup, held: HeldOn) -> tuple[KeepOut, ...]:
    """Return where no tool may come in a setup.

    Args:
        job: with the blank as it comes to the setup.
        setup: the setup.
        held: what holds it.
    """
    return (
        *_of_holder(job, setup, held),
        *_of_centre(setup, held),
        *_of_steady(job, setup, held),
    )


def _box(code: str, what: str, z: tuple[float, float], x: tuple[float, float]) -> KeepOut:
    corners = ((z[0], x[0]), (z[1], x[0]), (z[1], x[1]), (z[0], x[1]))
    return KeepOut(code, what, corners)


def _of_holder(job: TurnedJob, setup: TurnedSetup, held: HeldOn) -> Iterator[KeepOut]:
    """Yield what holds the work, from its front to the left."""
    radius, front = job.held(setup) / 2, setup.jaws_at
    what = "the jaws or the chuck"
    match held.holder:
        case Chuck() as chuck:
            behind = front - chuck.jaw_length
            yield _box("jaws", what, (behind, front), (radius, radius + chuck.jaw_depth))
            yield _box("jaws", what, (behind - FAR, behind), (0.0, chuck.body / 2))
        case Collets() as collets:
            nose = (0.0, collets.nose / 2)
            yield _box("jaws", "the collet's nose", (front - FAR, front), nose)
        case DrivingPlate() as plate:
            assert held.dog is not None, "a plate drives a dog"
            left = setup.facing - job.blank.length
            face = left - plate.centre_out
            yield _box("dog", "the dog", (face, front), (radius, held.dog.reach))
            yield _box("dog", "the dog", (face, left), (0.0, held.dog.reach))
            plate_is = (0.0, plate.diameter / 2)
            yield _box("dog", "the driving plate", (face - FAR, face), plate_is)
        case Faceplate() as plate:
            yield from _on_faceplate(job, setup, plate)
        case _:
            assert_never(held.holder)


def _on_faceplate(job: TurnedJob, setup: TurnedSetup, plate: Faceplate) -> Iterator[KeepOut]:
    """Yield the plate, and what goes round on it, each to where it reaches."""
    hold = setup.hold
    assert isinstance(hold, FaceplateHold), "only that is held on one"
    back = -hold.stick_out
    face = back - hold.packing
    yield _box("faceplate", "the faceplate", (face - FAR, face), (0.0, plate.diameter / 2))
    out = max(plate.diameter, job.blank.diameter) / 2
    packing, clamps = (hold.beside_cut(to, out) for to in (hold.packing_to, hold.clamps_to))
    yield _box("packing", "the packing", (face, back), packing)
    yield _box("clamps", "the clamps", (0.0, hold.clamps_high), clamps)
    if hold.counter is not None:
        high = face + hold.counter.high
        inner = hold.counter.inner if hold.hollow else 0.0
        yield _box("weights", "the counterweights", (face, high), (inner, hold.counter.out))


def _of_centre(setup: TurnedSetup, held: HeldOn) -> Iterator[KeepOut]:
    """Yield the tailstock's centre where it stands in its hole, and the quill behind it."""
    centre, carried = held.centre, setup.carried
    if centre is None or carried is None or carried.right.hole is None:
        return
    mouth = min(carried.right.hole.diameter.nominal, centre.body)
    inside = cone_length(mouth)
    cone, quill = centre.cone - inside, centre.length - inside
    what = "the centre"
    corners = ((0.0, 0.0), (0.0, mouth / 2), (cone, centre.body / 2))
    yield KeepOut("centre", what, (*corners, (quill, centre.body / 2), (quill, 0.0)))
    if held.quill:
        what = "the tailstock's quill"
        yield _box("centre", what, (quill, quill + FAR), (0.0, held.quill / 2))


def _of_steady(job: TurnedJob, setup: TurnedSetup, held: HeldOn) -> Iterator[KeepOut]:
    """Yield the steady about the work."""
    steady, place = held.steady, setup.hold.steady
    if steady is None or place is None:
        return
    z = (-place.at - steady.width / 2, -place.at + steady.width / 2)
    outside = job.radius_at(setup, -place.at)
    yield _box("steady", "the steady", z, (outside, steady.outer))
