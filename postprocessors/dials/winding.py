"""How a handle comes to a coordinate: straight, past and up again, or corrected by the slack."""

from __future__ import annotations

from dataclasses import dataclass

from pathgen.moves.moves import Axis, How, Makes, Term
from postprocessors.dials.handles import NOWHERE, Cutting, Handle
from postprocessors.dials.readings import Reading
from postprocessors.dials.scribe import Scribe, Wind, correction, past

EMPTY = How()


@dataclass(frozen=True, slots=True, kw_only=True)
class Going:
    """One coordinate to go to, and what is known about it."""

    axis: Axis
    place: float
    how: How = EMPTY
    makes: Makes = "air"
    cutting: Cutting | None = None
    over: bool = True  # whether the tool may go past the place and come up to it again


def target(scribe: Scribe, going: Going, shift: float = 0.0) -> Reading:
    """Return the reading for a coordinate, ``shift`` mm beside it, with the rule it follows."""
    handle = scribe.handles[going.axis]
    plain = handle.aim(going.place + shift)
    rule = going.how.rule_of(going.axis)
    if rule is None:
        return plain
    measure = scribe.measures.get(rule.measure)
    if measure is None:
        raise ValueError(f"a move follows {rule.measure}, which was not measured before")
    follows = correction(handle, measure, rule.factor, plain.base)
    return Reading(base=follows.base, rule=follows)


def wants_over(scribe: Scribe, going: Going) -> bool:
    """Return whether a coordinate has to be gone past and come up to again."""
    handle = scribe.handles[going.axis]
    if going.makes != "size" or handle.origin is None:
        return False
    return not _straight(scribe, handle, target(scribe, going))


def reach(scribe: Scribe, going: Going) -> None:
    """Put down the winds that take one handle to a coordinate."""
    handle = scribe.handles[going.axis]
    approach(scribe, handle, going, target(scribe, going))
    handle.asked = going.place
    handle.rule = going.how.rule_of(going.axis)
    handle.exact = going.makes != "air"


def approach(scribe: Scribe, handle: Handle, going: Going, plain: Reading) -> None:
    """Put down the winds to a reading, the slack taken care of as the coordinate wants it."""
    wind = Wind(
        makes=going.makes,
        place=handle.place(plain),
        what=going.how.what,
        terms=going.how.sum_of(going.axis),
        cutting=going.cutting,
        to_stop=going.how.to_stop,
    )
    if going.makes == "air" or _straight(scribe, handle, plain):
        scribe.wind(handle, plain, wind)
    elif going.makes == "size" and going.over:
        _past_and_up(scribe, handle, plain, wind)
    else:
        _against(scribe, handle, going, wind)


def _straight(scribe: Scribe, handle: Handle, to: Reading) -> bool:
    """Return whether winding to a reading surely leaves the slack on the chosen side."""
    return all(_straights(scribe, handle, to))


def _straights(scribe: Scribe, handle: Handle, to: Reading) -> list[bool]:
    """Return the same for each value that may be found; a readout has none to leave anywhere."""
    if handle.slide.readout:
        return [True]
    needed = handle.out[handle.side] - NOWHERE
    return [travel * handle.side >= needed for travel in scribe.travels(handle, to)]


def _past_and_up(scribe: Scribe, handle: Handle, to: Reading, wind: Wind) -> None:
    """Wind back past a reading by more than the slack, then up to it from the chosen side."""
    back = past(handle, to)
    beyond = Wind(slack="past", place=handle.place(back))
    scribe.wind(handle, back, beyond)
    up = Wind(makes=wind.makes, slack="up", place=wind.place, what=wind.what, terms=wind.terms)
    scribe.wind(handle, to, up)


def _against(scribe: Scribe, handle: Handle, going: Going, wind: Wind) -> None:
    """Wind against the chosen side to a reading that is corrected by the measured slack."""
    slack = handle.side * handle.slide.lag
    corrected = target(scribe, going, shift=-slack)
    against = [travel * handle.side < 0 for travel in scribe.travels(handle, corrected)]
    if not any(against):
        scribe.wind(handle, target(scribe, going), wind)  # the tool stands within the slack there
        return
    if not all(against) or any(_straights(scribe, handle, target(scribe, going))):
        raise scribe.undecided(handle)
    terms = wind.terms or (Term("to this end", going.place),)
    if slack:
        terms = (*terms, Term("slack, wound the other way", -slack))
    scribe.wind(
        handle,
        corrected,
        Wind(
            makes=wind.makes,
            slack="corrected",
            place=handle.place(corrected) + slack,
            what=wind.what,
            terms=terms,
            cutting=wind.cutting,
        ),
    )
