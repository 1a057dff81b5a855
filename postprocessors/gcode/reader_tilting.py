"""Records of what tilts and turns beside the axes of a control, and what is due at their stops."""

from __future__ import annotations

import re
from typing import Literal, cast

from pathgen import INCH
from pathgen.moves.actions import SetAngle, SetSweep
from pathgen.moves.moves import TurnWork

UNIT = {"mm": 1.0, "in": INCH}
NUMBER = r"(-?[0-9]+(?:\.[0-9]+)?)"
LENGTH = r"(-?[0-9]+\.[0-9]+ (?:mm|in))"
TILT = re.compile(rf"tilt {NUMBER} deg to the (left|right), within {NUMBER} deg: ?(.*)")
SWEEP = re.compile(
    rf"sweep of cutter ([0-9]+): {LENGTH} over {LENGTH}, looks (outwards|inwards), within {LENGTH}"
)
TURN = re.compile(
    rf"turn work from {NUMBER} to {NUMBER} deg, {NUMBER} deg a minute, (cutting|clear): ?(.*)"
)
PATTERNS = (TILT, SWEEP, TURN)


def tilting_of(text: str) -> SetAngle | SetSweep | TurnWork | None:
    """Return what a record says is tilted, set to a sweep, or turned; None if it says no such."""
    if said := TILT.fullmatch(text):
        return SetAngle(
            part=said.group(4),
            angle_deg=float(said.group(1)),
            towards=cast(Literal["left", "right"], said.group(2)),
            uncertainty_deg=float(said.group(3)),
        )
    if said := SWEEP.fullmatch(text):
        return SetSweep(
            cutter=int(said.group(1)),
            sweep=_length(said.group(2)),
            over=_length(said.group(3)),
            looks=cast(Literal["outwards", "inwards"], said.group(4)),
            uncertainty=_length(said.group(5)),
        )
    if said := TURN.fullmatch(text):
        start, end, rate, cuts, by = said.groups()
        return TurnWork(by, float(start), float(end), float(rate), cuts=cuts == "cutting")
    return None


def due_at(text: str) -> str:
    """Return what the stop for such a record is to show."""
    if said := TILT.fullmatch(text):
        angle, towards, _, part = said.groups()
        return f"Tilt {angle} deg to the {towards}: {part}"
    if said := SWEEP.fullmatch(text):
        number, sweep, over, *_ = said.groups()
        return f"Cutter {number}: sweep {sweep}, over all {over}"
    said = TURN.fullmatch(text)
    assert said is not None
    start, end, rate, cuts, _ = said.groups()
    runs = "spindle on" if cuts == "cutting" else "spindle off"
    return f"Turn the work from {start} to {end} deg, {runs}, {rate} deg a minute"


def _length(text: str) -> float:
    number, unit = text.split()
    return float(number) * UNIT[unit]
