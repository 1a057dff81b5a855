"""What the motion words of a line do: straight moves, arcs, canned cycles.

Source: NISTIR 6556 (RS274/NGC version 3), 3.5.1, 3.5.2, 3.5.3, 3.5.16, 3.5.17, 3.5.20.
"""

from __future__ import annotations

import math
from collections.abc import Iterator

from pathgen.moves.moves import Arc, Drill, Feed, Rapid, TurnWork
from postprocessors.gcode.reader_arcs import centre_by_radius, is_ill_set, radii_apart
from postprocessors.gcode.reader_codes import ARCS, CYCLES, FED_OUT, IN_STEP, STAYING, g_name
from postprocessors.gcode.reader_planes import LEVEL, PLANES, Plane, Point, straights
from postprocessors.gcode.reader_state import FACTOR, NAN, Cycle, Found, State
from postprocessors.gcode.reader_words import LineError, not_negative, whole

SAME = 1e-9  # mm between two places that are the same
Values = dict[str, float]


def move(state: State, values: Values, found: Found, number: int) -> None:
    """Do the motion of a line that has axis words, by the motion code in force.

    Raises:
        LineError: there is no motion code, or the line lacks what its motion needs.
    """
    code = state.motion
    if code is None:
        raise LineError("axis words without a motion word", "begin with G0 or G1")
    if code == 800:
        raise LineError("axis words after G80", "give a motion word: G0, G1, ...")
    if code in CYCLES:
        _cycle(state, values, found, number)
        return
    if code == IN_STEP:
        _in_step(state, values, found, number)
        return
    _complain_of_feed(state, found, number)
    x, y, z = _target(state, values)
    if code in ARCS:
        found.add(number, *arc_of(state, values, (x, y, z), found, number))
    elif code == 0:
        found.add(number, Rapid(x, y, z))
    else:
        found.add(number, Feed(x, y, z, state.feed))
    state.x, state.y, state.z = x, y, z


def _complain_of_feed(state: State, found: Found, number: int) -> None:
    """Note a feed that was given in other units than those in force."""
    if state.motion != 0 and state.feed_units not in (None, state.units):
        found.trouble(number, "the feed was given in other units", "give F again", "feed units")
        state.feed_units = state.units


def _target(state: State, values: Values) -> tuple[float, float, float]:
    """Return where the axis words lead, mm."""
    factor = state.factor
    at = (state.x, state.y, state.z)
    if state.absolute is False:
        x, y, z = (
            here + values.get(axis, 0.0) * factor for axis, here in zip("XYZ", at, strict=True)
        )
    else:
        x, y, z = (
            values[axis] * factor if axis in values else here
            for axis, here in zip("XYZ", at, strict=True)
        )
    return x, y, z


# ---------------------------------------------------------------------- arcs


def arc_of(
    state: State, values: Values, end: Point, found: Found, number: int
) -> Iterator[Arc | Feed]:
    """Yield the arc of a line: as one in the level plane, in short straights in an upright one."""
    plane = PLANES[state.plane or LEVEL]
    foreign = next((each for each in "IJK" if each in values and each not in plane.offsets), None)
    if foreign is not None:
        by = " and ".join(sorted(plane.offsets))
        raise LineError(
            f"{foreign} in an arc of the {plane.name} plane", f"give its centre by {by}"
        )
    if not any(each in values for each in plane.words):
        words = " and ".join(sorted(plane.words))
        raise LineError(f"an arc without {words}", "give at least one of them")
    start = state.x, state.y, state.z
    clockwise = state.motion == 20
    centre = _centre(state, values, (plane, start, end), found, number)
    if math.isnan(sum(plane.of(start)) + end[plane.across]):
        found.trouble(
            number,
            "an arc from a place that is not known",
            "go to its start first",
            "unknown place",
        )
    if plane is PLANES[LEVEL]:
        yield Arc(*end, *centre, clockwise, state.feed)
        return
    for place in straights(plane, (start, end), centre, clockwise=clockwise):
        yield Feed(*place, state.feed)


def _centre(
    state: State, values: Values, arc: tuple[Plane, Point, Point], found: Found, number: int
) -> tuple[float, float]:
    """Return the centre of an arc in its plane, by its radius or its offsets."""
    plane, start, end = arc[0], arc[0].of(arc[1]), arc[0].of(arc[2])
    offsets = any(each in values for each in plane.offsets)
    by = " and ".join(sorted(plane.offsets))
    if "R" in values and offsets:
        raise LineError(
            f"R together with {by.replace('and', 'or')}", "give the radius or the centre"
        )
    if "R" in values:
        radius = values["R"] * state.factor
        return _centre_by_radius(state, radius, (start, end), found, number)
    if not offsets:
        raise LineError("an arc without its centre", f"give {by}, or R")
    first, second = (values.get(each, 0.0) * state.factor for each in plane.offsets)
    centre = (start[0] + first, start[1] + second)
    if not math.isnan(centre[0] + centre[1]):
        apart = radii_apart(start, end, centre, state.mismatch)
        if apart:
            found.trouble(number, apart, "mend its ends or its centre; a control stops here", "arc")
    return centre


def _centre_by_radius(
    state: State,
    radius: float,
    ends: tuple[tuple[float, float], tuple[float, float]],
    found: Found,
    number: int,
) -> tuple[float, float]:
    """Return the centre of an arc that is given by its radius."""
    start, end = ends
    if radius == 0:
        raise LineError("R0", "give a radius that is not nought")
    if math.isnan(start[0] + start[1]):
        return NAN, NAN
    centre = centre_by_radius(start, end, radius, clockwise=state.motion == 20)
    if is_ill_set(start, end, radius):
        found.trouble(number, "half a turn by its radius is ill set", "give I and J", "ill set arc")
    return centre


# ---------------------------------------------------------------------- canned cycles


def _cycle(state: State, values: Values, found: Found, number: int) -> None:
    """Do a canned cycle of one line, as often as its L says."""
    if state.plane not in (None, LEVEL):
        raise LineError(f"{g_name(state.motion or 0)} in an upright plane", "give G17 before it")
    cycle = state.cycle
    repeats = whole("L", values.get("L", 1.0), least=1)
    _keep(state, values, cycle)
    if state.to_old_level is None:
        found.trouble(number, "neither G98 nor G99 was given", "give one; read as G98", "modes")
        state.to_old_level = True
    _complain_of_feed(state, found, number)
    old, clear = state.z, cycle.clear
    if math.isnan(old):
        found.trouble(
            number,
            "a cycle from a height that is not known",
            "go to a height first",
            "unknown place",
        )
    if old < clear:
        _rapid(state, found, number, (state.x, state.y, clear))
    back_to = old if state.to_old_level and old > clear + SAME else NAN
    for _ in range(repeats):
        x, y, _z = _target(state, {axis: values[axis] for axis in "XY" if axis in values})
        _hole(state, found, number, (x, y, back_to))


def _hole(state: State, found: Found, number: int, place: tuple[float, float, float]) -> None:
    """Go over one hole, down to the clear plane, and drill it."""
    x, y, back_to = place
    cycle = state.cycle
    if not _same((x, y), (state.x, state.y)):
        _rapid(state, found, number, (x, y, state.z))
    if not _same((state.z,), (cycle.clear,)):
        _rapid(state, found, number, (x, y, cycle.clear))
    drill = Drill(
        x,
        y,
        cycle.bottom,
        cycle.clear,
        state.feed,
        peck=cycle.peck if state.motion == 830 else 0.0,
        dwell_s=cycle.dwell_s if state.motion in STAYING else 0.0,
        feed_out=state.motion in FED_OUT,
        back_to=back_to,
        lead=_lead(state) if state.motion == 840 else 0.0,
    )
    found.add(number, drill)
    state.z = drill.left_at


def _lead(state: State) -> float:
    """Return how far a turn a tapping cycle goes: its feed over the speed, mm."""
    if not state.turning or state.rpm <= 0:
        raise LineError("G84 with the spindle stopped", "start it clockwise first")
    if state.feed <= 0:
        raise LineError("G84 without a feed", "give F: the speed times the lead of the thread")
    return state.feed / state.rpm


def _in_step(state: State, values: Values, found: Found, number: int) -> None:
    """Tap from here to Z and back here, K a turn; the motion has to be named each time."""
    if "K" not in values or values["K"] <= 0:
        raise LineError("G33.1 without a K above 0", "give the lead of the thread by K")
    if not state.turning or state.rpm <= 0:
        raise LineError("G33.1 with the spindle stopped", "start it clockwise first")
    x, y, z = _target(state, values)
    if not _same((x, y), (state.x, state.y)):
        raise LineError("G33.1 that goes across", "go over the hole first")
    if not z < state.z:
        raise LineError(f"G33.1 to z {z:g} mm from {state.z:g} mm", "tap downwards")
    lead = values["K"] * state.factor
    found.add(
        number,
        Drill(x, y, z, state.z, lead * state.rpm, feed_out=True, lead=lead),
    )


def _rapid(state: State, found: Found, number: int, place: tuple[float, float, float]) -> None:
    found.add(number, Rapid(*place))
    state.x, state.y, state.z = place


def _same(one: tuple[float, ...], other: tuple[float, ...]) -> bool:
    """Return whether two places are known and the same."""
    return all(abs(a - b) <= SAME for a, b in zip(one, other, strict=True))


def _keep(state: State, values: Values, cycle: Cycle) -> None:
    """Keep the words of a cycle, which hold until it is ended."""
    factor, name = state.factor, g_name(state.motion or 0)
    if state.absolute is False:
        _keep_steps(state, values, cycle, name)
    else:
        _keep_positions(state, values, cycle, name)
    _guard_depths(state, cycle, name)
    if state.motion in STAYING:
        cycle.dwell_s = _kept("P", not_negative("P", values.get("P", cycle.dwell_s)), name)
    if state.motion == 830:
        cycle.peck = _kept("Q", values["Q"] * factor if "Q" in values else cycle.peck, name)
        if cycle.peck <= 0:
            raise LineError(f"Q{values['Q']:g}", "a peck is deeper than 0")


def _keep_positions(state: State, values: Values, cycle: Cycle, name: str) -> None:
    """Keep R and Z under G90, where both are positions."""
    if "R" in values:
        cycle.clear = values["R"] * state.factor
    if "Z" in values:
        cycle.bottom = values["Z"] * state.factor
    if "R" in values and "Z" in values:
        cycle.by_positions = True
    if not cycle.by_positions:
        raise LineError(f"{name} without R and Z of its own after G91", "give both")


def _keep_steps(state: State, values: Values, cycle: Cycle, name: str) -> None:
    """Keep R and Z under G91: R from here, Z from R; both wanted, as what is kept is not clear."""
    if "R" not in values or "Z" not in values:
        raise LineError(f"{name} under G91 without R and Z", "give both on every line")
    cycle.clear = state.z + values["R"] * state.factor
    cycle.bottom = cycle.clear + values["Z"] * state.factor
    cycle.by_positions = False


def _kept(letter: str, value: float, name: str) -> float:
    if math.isnan(value):
        raise LineError(f"{name} without {letter}", f"give {letter}")
    return value


def _guard_depths(state: State, cycle: Cycle, name: str) -> None:
    """Refuse a cycle without its depths, or with a clear plane below its bottom."""
    unknown = state.absolute is False and math.isnan(state.z)
    if unknown:
        return
    if math.isnan(cycle.bottom):
        raise LineError(f"{name} without Z", "give the bottom by Z")
    if math.isnan(cycle.clear):
        raise LineError(f"{name} without R", "give the clear plane by R")
    if cycle.clear < cycle.bottom:
        raise LineError(
            f"R at {cycle.clear:g} mm is below Z at {cycle.bottom:g} mm", "R takes Z or higher"
        )


# ---------------------------------------------------------------------- the work turned


def turn(state: State, values: Values, found: Found, number: int) -> None:
    """Turn the work by the word A, alone in its line; its feed is then in degrees a minute.

    Source: NISTIR 6556, 2.1.2.5 B: without X, Y and Z a feed is one of the rotary axis.

    Raises:
        LineError: it is a lathe's, it goes with another axis, or not by G0 or G1.
    """
    if state.plane_word != "G17":
        raise LineError("A turns nothing on a lathe", "take it out")
    if any(axis in values for axis in "XYZ"):
        raise LineError("A beside X, Y or Z", "turn the work in a line of its own")
    if state.motion not in (0, 10):
        raise LineError("A without G0 or G1", "give one of them")
    cuts = state.motion == 10
    angle = values["A"] + (state.turned_deg if state.absolute is False else 0.0)
    rate = state.feed / FACTOR[state.feed_units or 210] if cuts else math.inf
    found.add(number, TurnWork("the rotary axis", state.turned_deg, angle, rate, cuts=cuts))
    state.turned_deg = angle
